//! Transport along a rotating drum.
//!
//! | file | what it holds |
//! |---|---|
//! | [`geometry`] | the cross-section of the bed |
//! | [`transport`] | critical speed, regimes, the depth equation and its limits |
//! | [`residence`] | one-line residence formulas: cross-checks |
//! | [`lifters`] | what bars and high lifters carry up, and how far it drops |
//! | [`pool`] | slurry held behind a ring |
//! | [`clay`] | wear of clay lumps |
//! | [`rinse`] | film and coating on washed rock, and what sprays take off them |
//! | [`shell_pieces`] | a section cut into pieces, to follow what is left |
//! | [`section`] | the seam: drum, feed and the trait that sections implement |
//! | [`points`] | size classes as points, cut near holes |
//! | [`march`], [`outcome`] | the integration and what it finds |
//! | [`capacity`] | what the drum can carry, and what it spills |
//! | [`drive`], [`chain`], [`flight`] | torque, motor, chain; thrown grains |
//! | [`hold_up`] | measured hold-ups of a kiln |

pub mod capacity;
pub mod chain;
pub mod clay;
pub mod decay;
mod depth;
pub mod drive;
mod error;
pub mod flight;
pub mod geometry;
mod grains;
pub mod hold_up;
pub mod lifters;
pub mod march;
pub mod outcome;
pub mod points;
pub mod pool;
pub mod residence;
pub mod rinse;
pub mod section;
pub mod shell_pieces;
mod symbol;
pub mod transport;

pub use capacity::{capacity_over_feed, spilled_share};
pub use error::DrumError;
pub use lifters::Lifters;
pub use march::{BedDepths, Fineness, FlowProfile, March, Start};
pub use outcome::{Outcome, SectionOutcome, Station};
pub use points::{ClassEdges, MAX_POINTS, PointLayout};
pub use section::{BlankShell, Carried, Drum, ExitRule, LocalBed, MAX_LUMPS, MAX_SECTIONS, MAX_TRACERS, Section};

use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    let lists = [
        transport::FORMULAS,
        residence::FORMULAS,
        lifters::FORMULAS,
        pool::FORMULAS,
        clay::FORMULAS,
        rinse::FORMULAS,
        capacity::FORMULAS,
        drive::FORMULAS,
        chain::FORMULAS,
        flight::FORMULAS,
    ];
    core::iter::once(&geometry::BED_SECTION).chain(lists.into_iter().flatten()).collect()
}

/// Published-value checks of this room.
pub fn checks() -> Vec<&'static Check> {
    let lists = [
        transport::CHECKS,
        residence::CHECKS,
        lifters::CHECKS,
        pool::CHECKS,
        clay::CHECKS,
        rinse::CHECKS,
        capacity::CHECKS,
        drive::CHECKS,
        chain::CHECKS,
        flight::CHECKS,
        hold_up::CHECKS,
    ];
    lists.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn pinned_golden_numbers_of_this_room() {
        let rooms = [super::hold_up::golden_rows::ROWS];
        washgraph_golden::compare(concat!(env!("CARGO_MANIFEST_DIR"), "/src/drum/golden.csv"), &rooms);
    }

    #[test]
    fn published_and_other_checks_of_this_room_pass() {
        for check in super::checks() {
            let value = (check.computed)();
            assert!(check.passes(value), "{}: {} against {}", check.id, value, check.published);
        }
    }

    #[test]
    fn property_handbook_entries_answer_with_as_many_numbers_as_they_promise() {
        let mut names = std::collections::BTreeSet::new();
        for entry in super::formulas() {
            assert!(names.insert(entry.name), "{} twice", entry.name);
            let inputs: Vec<f64> = entry
                .inputs
                .iter()
                .map(|s| s.default.unwrap_or(s.range.0 + 0.1 * (s.range.1 - s.range.0).min(1e6)))
                .collect();
            assert_eq!((entry.evaluate)(&inputs).len(), entry.outputs.len(), "{}", entry.name);
            for symbol in entry.inputs.iter().chain(entry.outputs) {
                let known = washgraph_units::quantity::convert_to(1.0, symbol.dimension, symbol.unit);
                assert!(known.is_some(), "{}: {} in {}", entry.name, symbol.name, symbol.unit);
            }
        }
    }
}
