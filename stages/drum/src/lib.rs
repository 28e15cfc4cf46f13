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

mod booking;
mod build;
mod built;
mod curves;
mod drive;
mod numbers;
mod points;
mod prepare;
mod rinse;
mod settings;
mod shop;
mod slurry;
mod stage;
mod trouble;

pub use stage::DRUM;
