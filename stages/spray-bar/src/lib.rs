//! Water outlets with holes or nozzles: spray bars over the screen, hopper nozzles; and what spray does to
//! washed rock.

mod outlets;
pub mod rinse;
mod shop;

pub use outlets::{NOZZLES, SPRAY_BAR};

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
