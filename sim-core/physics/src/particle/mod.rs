//! Water properties, settling and threshold laws, grain shape.
//!
//! | want | module |
//! |---|---|
//! | clean and muddy water | [`water`] |
//! | gold: sieve size and flatness to fall velocity | [`gold`], [`shape`], error [`model_error`] |
//! | gravel and sand | [`natural_grain`] |
//! | spheres, flakes, angular grains | [`sphere`], [`flake`], [`sphericity`]; solver [`terminal`] |
//! | densities and grain masses | [`material`] |
//! | crowds, turbulence, beds | [`hindered`], [`suspension`], [`threshold`], [`hiding`], [`equivalence`] |

use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

mod entry;
pub mod equivalence;
pub mod flake;
mod flake_checks;
pub mod gold;
mod gold_checks;
pub mod gold_fit;
pub mod hiding;
pub mod hindered;
mod log_table;
pub mod material;
pub mod model_error;
pub mod natural_grain;
mod natural_grain_checks;
pub mod shape;
pub mod sphere;
pub mod sphericity;
pub mod suspension;
pub mod terminal;
pub mod threshold;
pub mod water;

pub use gold::{GoldLaw, GoldSettling, SettlingTable};
pub use model_error::ModelError;
pub use shape::Proportions;
pub use water::WaterState;

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    let files = [
        water::FORMULAS,
        terminal::FORMULAS,
        sphere::FORMULAS,
        natural_grain::FORMULAS,
        sphericity::FORMULAS,
        flake::FORMULAS,
        shape::FORMULAS,
        gold::FORMULAS,
        gold_fit::FORMULAS,
        model_error::FORMULAS,
        material::FORMULAS,
        hindered::FORMULAS,
        suspension::FORMULAS,
        threshold::FORMULAS,
        hiding::FORMULAS,
        equivalence::FORMULAS,
    ];
    files.into_iter().flatten().collect()
}

/// Published-value checks of this room.
pub fn checks() -> Vec<&'static Check> {
    let files = [
        water::CHECKS,
        terminal::CHECKS,
        sphere::CHECKS,
        natural_grain_checks::CHECKS,
        flake_checks::CHECKS,
        gold_checks::CHECKS,
        material::CHECKS,
        hindered::CHECKS,
        threshold::CHECKS,
        hiding::CHECKS,
        equivalence::CHECKS,
    ];
    files.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    /// Checks that fail and are shown as failing: the measured density at 333 fine is out of line with its neighbours.
    const KNOWN_MISSES: [&str; 1] = ["gold-alloy-333-fine"];

    #[test]
    fn pinned_golden_numbers_of_this_room() {
        let rooms = [
            super::equivalence::golden_rows::ROWS,
            super::flake_checks::golden_rows::ROWS,
            super::gold_checks::golden_rows::ROWS,
            super::hiding::golden_rows::ROWS,
            super::hindered::golden_rows::ROWS,
            super::natural_grain_checks::golden_rows::ROWS,
            super::sphere::golden_rows::ROWS,
            super::suspension::golden_rows::ROWS,
            super::threshold::golden_rows::ROWS,
            super::water::golden_rows::ROWS,
        ];
        washgraph_golden::compare(concat!(env!("CARGO_MANIFEST_DIR"), "/src/particle/golden.csv"), &rooms);
    }

    #[test]
    fn published_all_checks_of_this_room_pass_but_the_known_misses() {
        let missed: Vec<String> = super::checks()
            .into_iter()
            .filter(|check| check.passes((check.computed)()) == KNOWN_MISSES.contains(&check.id))
            .map(|check| format!("{}: {} against {}", check.id, (check.computed)(), check.published))
            .collect();
        assert!(missed.is_empty(), "{missed:#?}");
    }

    #[test]
    fn property_entries_are_unique_complete_and_answer_inside_their_ranges() {
        let mut names = BTreeSet::new();
        for formula in super::formulas().into_iter().chain(crate::size::formulas()) {
            assert!(names.insert(formula.name), "{} twice", formula.name);
            let x: Vec<f64> = formula
                .inputs
                .iter()
                .map(|i| {
                    i.default.unwrap_or_else(|| {
                        let (lo, hi) = i.range;
                        if lo > 0.0 { (lo * hi).sqrt() } else { 0.1 * hi }
                    })
                })
                .collect();
            let out = (formula.evaluate)(&x);
            assert_eq!(out.len(), formula.outputs.len(), "{}", formula.name);
            // No panic on anything finite.
            for odd in [0.0, -1.0, 1e300, 1e-300, f64::NAN] {
                (formula.evaluate)(&vec![odd; x.len()]);
            }
            let table = formula.name.ends_with("sieve-opening");
            assert!(table || out.iter().all(|y| y.is_finite()), "{} {x:?} {out:?}", formula.name);
        }
        let ids: BTreeSet<_> = super::checks().into_iter().chain(crate::size::checks()).map(|c| c.id).collect();
        assert_eq!(ids.len(), super::checks().len() + crate::size::checks().len());
    }
}
