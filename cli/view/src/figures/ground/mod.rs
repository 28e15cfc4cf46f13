//! Figures of the ground and its samples.

mod gold_sizes;
mod grade;
mod sieve_tests;
mod spread;
mod worth;

use sim_core::quantity::UnitChoice;
use sim_core::samples::summary::SamplesSummary;

use crate::figures::{Figure, FigureError};

/// Every figure that the samples have numbers for.
pub fn all(summary: &SamplesSummary, units: UnitChoice) -> Result<Vec<Figure>, FigureError> {
    let mut list = vec![sieve_tests::figure(summary, units)?, gold_sizes::figure(summary, units)?];
    list.push(grade::figure(summary, summary.break_even_mg_per_m3_bank)?);
    if !summary.plans.is_empty() {
        list.push(spread::figure(summary)?);
    }
    if let Some(money) = &summary.money {
        list.push(worth::figure(money)?);
    }
    Ok(list)
}
