//! Riffled sluice: what it catches, what it loses and why.
//!
//! | file | idea |
//! |---|---|
//! | [`flow`] | depth and speed over riffles |
//! | [`settling`] | hindered settling; the simple settling form |
//! | [`enrichment`] | gold near the bed |
//! | [`needs`] | water that the box needs, rule by rule |
//! | [`packing`] | too much gravel, slurry too thick |
//! | [`scour`] | gold lifted out again |
//! | [`guards`] | uncovered rock, starved box, bypass by size: honest outside the calibration |
//! | [`uneven`] | loads of an uneven feed |
//! | [`capture`] | the chain: fates of all gold classes |
//! | [`filling`], [`cover`] | riffles that fill over a run; water over the rocks |
//! | [`constants`], [`model`] | constants with ranges and sources; versions and quality of the model |
//! | [`mod@reference`], [`recovery`] | published cases; the whole model as calculators |
//! | [`whole`] | checks of the whole model |
//! | [`riffles`] | kinds of riffle as rows: words, published ranges, constants that differ |
//! | [`practice`], [`warnings`] | numbers of the trade; what to warn of |

pub mod capture;
pub mod constants;
pub mod cover;
pub mod enrichment;
pub mod filling;
pub mod flow;
pub mod guards;
mod lanes;
pub mod model;
pub mod needs;
pub mod packing;
pub mod practice;
pub mod recovery;
pub mod reference;
#[cfg(test)]
mod regression;
mod reset;
pub mod riffles;
pub mod scour;
pub mod settling;
mod shop;
pub mod stage;
mod stage_settings;
mod symbols;
mod trouble;
pub mod uneven;
pub mod warnings;
pub mod whole;

pub use stage::SLUICE;

use sim_core::check::Check;
use sim_core::formula::Formula;

/// Handbook entries of the sluice.
pub fn formulas() -> Vec<&'static Formula> {
    [
        recovery::FORMULAS,
        flow::FORMULAS,
        settling::FORMULAS,
        enrichment::FORMULAS,
        needs::FORMULAS,
        packing::FORMULAS,
        scour::FORMULAS,
        guards::FORMULAS,
        filling::FORMULAS,
        cover::FORMULAS,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Checks of the sluice.
pub fn checks() -> Vec<&'static Check> {
    [
        whole::CHECKS,
        flow::CHECKS,
        settling::CHECKS,
        enrichment::CHECKS,
        packing::CHECKS,
        scour::CHECKS,
        guards::CHECKS,
        filling::CHECKS,
        practice::CHECKS,
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn pinned_golden_numbers_of_this_room() {
        let rooms = [
            super::cover::golden_rows::ROWS,
            super::enrichment::golden_rows::ROWS,
            super::flow::golden_rows::ROWS,
            super::packing::golden_rows::ROWS,
            super::riffles::golden_rows::ROWS,
            super::regression::ROWS,
            super::scour::golden_rows::ROWS,
            super::settling::golden_rows::ROWS,
        ];
        washgraph_golden::compare(concat!(env!("CARGO_MANIFEST_DIR"), "/src/golden.csv"), &rooms);
    }
}
