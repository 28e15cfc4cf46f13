//! Drum section with holes: which grains leave the drum, and how soon.
//!
//! | file | what it holds |
//! |---|---|
//! | [`passage`] | the chance of falling through in one meeting |
//! | `holes` | size scatter of the holes and thickness of the plate |
//! | `open_area` | open share of a plate |
//! | `presentation` | how often a grain comes to the plate |
//! | `law` | both together, as a section of the drum |
//! | `efficiency` | measures of the result |
//! | `pegging` | blinding |
//! | `template` | the holes laid out on the flat plate |
//! | `handbook` | sizing rules of the literature |

mod efficiency;
mod handbook;
mod holes;
mod law;
mod open_area;
pub mod passage;
mod pegging;
mod presentation;
mod section_kind;
mod shop;
mod template;
mod trouble;
mod worked_example;

pub use section_kind::SCREEN;

use sim_core::check::Check;
use sim_core::formula::Formula;

/// Handbook entries of this crate.
fn formulas() -> Vec<&'static Formula> {
    let lists = [
        passage::FORMULAS,
        holes::FORMULAS,
        open_area::FORMULAS,
        presentation::FORMULAS,
        efficiency::FORMULAS,
        pegging::FORMULAS,
        handbook::FORMULAS,
    ];
    lists.into_iter().flatten().collect()
}

/// Checks of this crate.
fn checks() -> Vec<&'static Check> {
    let lists =
        [passage::CHECKS, holes::CHECKS, pegging::CHECKS, open_area::CHECKS, handbook::CHECKS, worked_example::CHECKS];
    lists.into_iter().flatten().collect()
}

#[cfg(test)]
mod lifter_tests;
#[cfg(test)]
mod tests;
