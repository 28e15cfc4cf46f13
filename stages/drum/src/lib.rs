//! The rotating drum as a node of the plant graph.
//!
//! ```text
//!                 sprays
//!            |  |  |  |  |  |
//!   feed ──> scrubber │ screen ──> oversize
//!    └─ spill              └────> undersize
//! ```
//! The bed is marched once over all sections (`sim_core::drum`); this crate brings the streams to it and books what comes
//! of it: who leaves through the holes, who goes over the end, and why.

mod points;
mod rinse;
mod settings;
mod stage;

pub use stage::DRUM;

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
