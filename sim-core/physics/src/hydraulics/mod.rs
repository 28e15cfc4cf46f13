//! Orifices, pipes, open channels, ponds.
//!
//! | module | what it holds |
//! |---|---|
//! | [`orifice`] | holes and nozzles: flow, jet speed, push, reach |
//! | [`pipe`], [`fitting`] | friction in hose and pipe; tables of roughness and loss coefficients |
//! | [`spray_bar`] | a row of holes, marched from its dead end with friction and static regain |
//! | [`pump`], [`suction`], [`engine`] | pump curve and power, NPSH, derating and fuel |
//! | [`diagnosis`] | what gauge and flow together say: plugged, worn, or a weak pump |
//! | [`network`], [`manifold`] | the pressurised network: all heads and flows at once; the fast path of the trials |
//! | [`open_channel`] | Manning depth, Froude number, bed shear |
//! | [`pond`], [`pond_time`], [`makeup`] | settling by size, the closed loop, the pond over time, water used up |
//! | [`fines`], [`circuit`], [`pond_days`] | hanging fines by class and the settling jar; the circuit in balance; the pond day by day |
//! | [`need`] | water that each part needs, and which rule binds |

pub mod circuit;
mod circuit_handbook;
pub mod diagnosis;
pub mod engine;
pub mod fines;
pub mod fitting;
pub mod makeup;
pub mod manifold;
pub mod need;
mod need_handbook;
pub mod network;
mod network_newton;
#[cfg(test)]
mod network_oracle;
#[cfg(test)]
mod network_tests;
pub mod open_channel;
pub mod orifice;
mod orifice_handbook;
pub mod pipe;
mod pipe_handbook;
pub mod pond;
mod pond_checks;
pub mod pond_days;
mod pond_handbook;
pub mod pond_time;
pub mod pump;
mod pump_handbook;
mod root;
pub mod spray_bar;
mod spray_bar_handbook;
pub mod suction;
mod symbol;
mod worked_network;

use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    [
        orifice_handbook::FORMULAS,
        pipe_handbook::FORMULAS,
        spray_bar_handbook::FORMULAS,
        pump_handbook::FORMULAS,
        open_channel::FORMULAS,
        pond_handbook::FORMULAS,
        circuit_handbook::FORMULAS,
        need_handbook::FORMULAS,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Published-value checks of this room.
pub fn checks() -> Vec<&'static Check> {
    [
        orifice_handbook::CHECKS,
        pipe_handbook::CHECKS,
        spray_bar_handbook::CHECKS,
        pump_handbook::CHECKS,
        open_channel::CHECKS,
        worked_network::CHECKS,
        pond_checks::CHECKS,
        circuit_handbook::CHECKS,
        need_handbook::CHECKS,
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use washgraph_units::quantity::units_of;

    #[test]
    fn pinned_golden_numbers_of_this_room() {
        let rooms = [
            super::need_handbook::golden_rows::ROWS,
            super::open_channel::golden_rows::ROWS,
            super::orifice_handbook::golden_rows::ROWS,
            super::pipe_handbook::golden_rows::ROWS,
            super::pond_checks::golden_rows::ROWS,
            super::pump_handbook::golden_rows::ROWS,
            super::spray_bar_handbook::golden_rows::ROWS,
            super::worked_network::golden_rows::ROWS,
        ];
        washgraph_golden::compare(concat!(env!("CARGO_MANIFEST_DIR"), "/src/hydraulics/golden.csv"), &rooms);
    }

    #[test]
    fn published_and_other_checks_of_this_room_pass() {
        let failing: Vec<String> = checks()
            .iter()
            .filter(|check| !check.passes((check.computed)()))
            .map(|check| format!("{}: {} against {} {}", check.id, (check.computed)(), check.published, check.unit))
            .collect();
        assert!(failing.is_empty(), "{failing:#?}");
    }

    #[test]
    fn property_handbook_entries_are_whole() {
        let mut names = BTreeSet::new();
        for formula in formulas() {
            assert!(names.insert(formula.name), "{} twice", formula.name);
            for fill in [0.0, 1.0, -1.0, 1e9] {
                let inputs: Vec<f64> = formula.inputs.iter().map(|symbol| symbol.default.unwrap_or(fill)).collect();
                assert_eq!((formula.evaluate)(&inputs).len(), formula.outputs.len(), "{}", formula.name);
                let all = vec![fill; formula.inputs.len()];
                assert_eq!((formula.evaluate)(&all).len(), formula.outputs.len(), "{}", formula.name);
            }
            for symbol in formula.inputs.iter().chain(formula.outputs) {
                let known = units_of(symbol.dimension).any(|unit| unit == symbol.unit);
                assert!(known, "{}: {} in {}", formula.name, symbol.name, symbol.unit);
            }
            for symbol in formula.inputs {
                assert!(symbol.range.0 < symbol.range.1);
                assert!(symbol.default.is_none_or(|d| d >= symbol.range.0 && d <= symbol.range.1), "{}", formula.name);
            }
        }
        let ids: BTreeSet<&str> = checks().iter().map(|check| check.id).collect();
        assert_eq!(ids.len(), checks().len());
    }
}
