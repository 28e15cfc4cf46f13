//! Distributions, quantiles, posteriors, percentiles: everything that turns samples and trials into spreads.
//!
//! | file | what is there |
//! |---|---|
//! | [`distribution`] | the spread of an uncertain input, read by one uniform number |
//! | [`quantile_table`] | an inverse distribution tabulated for use in every trial |
//! | [`normal`], [`gamma`], [`beta`], [`discrete`] | the distributions themselves |
//! | [`grain_mass`], [`counts`], [`gy`] | what one colour weighs and how far a sample of colours may be off |
//! | [`posterior`], [`gradation_error`], [`finney`] | what samples say about the ground |
//! | [`average`], [`order`], [`interval`], [`tails`] | means, percentiles, shares and their errors; warnings |
//! | [`compare`], [`choice`], [`sensitivity`], [`voi`] | which design, which input matters, what a sample is worth |
//! | [`draw`], [`joint`] | addressed random numbers, the list of uncertain inputs, inputs drawn together |
//! | [`summary`] | what many trials of one number come to |
//! | [`volumes`] | bank and loose, pans, boulders, fineness |

mod address;
pub mod average;
pub mod beta;
pub mod choice;
pub mod compare;
pub mod counts;
pub mod discrete;
pub mod distribution;
pub mod draw;
pub mod finney;
mod first_numbers;
pub mod gamma;
pub mod gradation_error;
pub mod grain_mass;
pub mod gy;
pub mod interval;
pub mod joint;
pub mod normal;
pub mod order;
pub mod posterior;
pub mod quantile_table;
pub mod sensitivity;
mod spread_error;
pub mod summary;
pub mod tails;
pub mod voi;
pub mod volumes;

pub use distribution::{Limits, Spread};
pub use quantile_table::QuantileTable;
pub use spread_error::SpreadError;

use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    let lists = [
        distribution::FORMULAS,
        counts::FORMULAS,
        grain_mass::FORMULAS,
        gy::FORMULAS,
        posterior::FORMULAS,
        gradation_error::FORMULAS,
        finney::FORMULAS,
        volumes::FORMULAS,
        interval::FORMULAS,
        order::FORMULAS,
        tails::FORMULAS,
        compare::FORMULAS,
        sensitivity::FORMULAS,
        voi::FORMULAS,
    ];
    lists.into_iter().flatten().collect()
}

/// Checks of this room.
pub fn checks() -> Vec<&'static Check> {
    let lists = [
        normal::CHECKS,
        gamma::CHECKS,
        counts::CHECKS,
        gy::CHECKS,
        volumes::CHECKS,
        compare::CHECKS,
        sensitivity::CHECKS,
        voi::CHECKS,
    ];
    lists.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn pinned_golden_numbers_of_this_room() {
        let rooms = [
            super::compare::golden_rows::ROWS,
            super::counts::golden_rows::ROWS,
            super::finney::golden_rows::ROWS,
            super::gradation_error::golden_rows::ROWS,
            super::grain_mass::golden_rows::ROWS,
            super::gy::golden_rows::ROWS,
            super::interval::golden_rows::ROWS,
            super::order::golden_rows::ROWS,
            super::posterior::golden_rows::ROWS,
            super::sensitivity::golden_rows::ROWS,
            super::tails::golden_rows::ROWS,
            super::voi::golden_rows::ROWS,
            super::volumes::golden_rows::ROWS,
        ];
        washgraph_golden::compare(concat!(env!("CARGO_MANIFEST_DIR"), "/src/golden.csv"), &rooms);
    }

    #[test]
    fn identity_all_checks_of_the_room_pass_and_names_are_unique() {
        let mut names = BTreeSet::new();
        for check in checks() {
            let computed = (check.computed)();
            assert!(check.passes(computed), "{}: {} against {}", check.id, computed, check.published);
            assert!(names.insert(check.id), "{} twice", check.id);
        }
    }

    #[test]
    fn property_calculators_survive_any_input() {
        let mut names = BTreeSet::new();
        for formula in formulas() {
            assert!(names.insert(formula.name), "{} twice", formula.name);
            for value in [0.0, 1.0, -1.0, 0.5, 1e-300, 1e12, -1e12] {
                let inputs = vec![value; formula.inputs.len()];
                assert_eq!((formula.evaluate)(&inputs).len(), formula.outputs.len(), "{}", formula.name);
            }
            for input in formula.inputs {
                let inside = input.default.is_none_or(|d| d >= input.range.0 && d <= input.range.1);
                assert!(inside, "{}: {}", formula.name, input.name);
            }
        }
    }
}
