//! Feed hopper with an optional grizzly: where the ground enters the plant.
//!
//! ```text
//!   bucket ──> ═══ grizzly bars ═══ ──> reject (boulders, what clings to them)
//!                    │
//!   nozzles ──> ──── hopper ─────────> feed (slurry, with its unevenness)
//! ```
//! All flows are positive in the direction of the arrows. Gold on the reject is booked as "off the grizzly".

mod grizzly;
mod settings;
mod shop;
mod stage;
mod trouble;

pub use stage::HOPPER;
