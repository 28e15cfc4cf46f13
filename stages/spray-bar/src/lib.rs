//! Water outlets with holes or nozzles: spray bars over the screen, hopper nozzles.

pub mod rinse;
mod symbol;

use sim_core::check::Check;
use sim_core::formula::Formula;

/// Handbook entries of this crate.
pub fn formulas() -> Vec<&'static Formula> {
    rinse::FORMULAS.iter().collect()
}

/// Checks of this crate.
pub fn checks() -> Vec<&'static Check> {
    rinse::CHECKS.iter().collect()
}
