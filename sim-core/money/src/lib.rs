//! Money: what the gold brings, what the season costs, when it pays.
//!
//! Money is in the user's own currency throughout. Gold is always said to be raw (as caught) or fine, gravel bank or loose.
//!
//! | file | what is there |
//! |---|---|
//! | [`gold_value`], [`royalty`] | from the price of fine gold to money per raw gram |
//! | [`fuel`] | litres per hour from the load |
//! | [`break_even`] | the grade that pays, chance of a losing season |
//! | [`season`] | hours, gold and money of a season |
//! | [`cash_flow`] | present value, rate of return, payback over several seasons |
//! | [`clean_up`] | how often to stop for a clean-up |
//! | [`plan`] | prices and costs of a scenario; the money of one trial |
//! | `worked_season` | the worked example put through the plan |
//! | [`averaging`] | what changes from hour to hour averaged out |

pub mod averaging;
pub mod break_even;
pub mod cash_flow;
pub mod clean_up;
pub mod fuel;
pub mod gold_value;
pub mod plan;
pub mod royalty;
pub mod season;
mod worked_season;

pub use plan::{MoneyOutcome, MoneyPlan, SeasonFlows};

use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    let lists = [
        gold_value::FORMULAS,
        royalty::FORMULAS,
        fuel::FORMULAS,
        break_even::FORMULAS,
        season::FORMULAS,
        cash_flow::FORMULAS,
        clean_up::FORMULAS,
    ];
    lists.into_iter().flatten().collect()
}

/// Checks of this room.
pub fn checks() -> Vec<&'static Check> {
    let lists = [gold_value::CHECKS, fuel::CHECKS, clean_up::CHECKS, worked_season::CHECKS];
    lists.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn pinned_golden_numbers_of_this_room() {
        let rooms = [
            super::break_even::golden_rows::ROWS,
            super::cash_flow::golden_rows::ROWS,
            super::clean_up::golden_rows::ROWS,
            super::fuel::golden_rows::ROWS,
            super::gold_value::golden_rows::ROWS,
            super::royalty::golden_rows::ROWS,
            super::season::golden_rows::ROWS,
            super::worked_season::golden_rows::ROWS,
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
        let mut names: BTreeSet<_> = washgraph_stats::formulas().iter().map(|f| f.name).collect();
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
