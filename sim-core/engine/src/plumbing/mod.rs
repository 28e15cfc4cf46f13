//! From the tables of a scenario to the pressurised water of a trial.
//!
//! ```text
//!   water ──suction──(pump)──delivery──[manifold]──hose──> outlet, outlet, ...      one Line per pump
//!   Supply (from the stage `pump`)      Branch (from each outlet without a pressure or flow of its own)
//! ```
//! A stage that pumps hands over a [`Supply`]; an outlet that says nothing of its pressure or flow says what its branch is.
//! Each trial puts them together and solves one manifold ([`washgraph_physics::hydraulics::manifold`]) from the middle case on, so that the
//! order of trials cannot matter. Once per plant the same manifold is solved by Newton on all heads and flows
//! ([`washgraph_physics::hydraulics::network`]): what it refuses is an error of the scenario, and the two must agree.
//!
//! Levels are metres above the water from which the pump draws.

mod hose;
mod shop;
mod spray;
mod state;
mod supply;

pub use hose::{FITTING_WORDS, HOSE_WORDS, Hose, HoseKeys, Tolerance};
pub use shop::HoseShop;
pub use spray::{HoleSpread, hole_spread};
pub(crate) use state::NO_BRANCH;
pub use state::{LineState, OutletState};
pub use supply::{Fed, OutletFacts, Supply};
