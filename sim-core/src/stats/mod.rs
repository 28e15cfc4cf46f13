//! Distributions, quantiles, posteriors, percentiles.

pub mod beta;
pub mod discrete;
pub mod distribution;
pub mod gamma;
pub mod normal;
pub mod quantile_table;

pub use distribution::{Limits, Spread, SpreadError};
pub use quantile_table::QuantileTable;

use crate::check::Check;
use crate::formula::Formula;

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    Vec::new()
}

/// Published-value checks of this room.
pub fn checks() -> Vec<&'static Check> {
    normal::CHECKS.iter().collect()
}
