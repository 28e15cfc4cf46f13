//! What the owner can observe on his running plant, one file for each thing looked at.
//!
//! | file | what it does |
//! |---|---|
//! | [`kind`] | what an observation is: its columns, how it is made, what may hurt; the list of all |
//! | [`law`] | how a number scatters: reading, count, weight |
//! | [`observation`] | numbers with their laws and an error that they share: [`crate::tune::Evidence`] |
//! | `places` | the stage, outlet or number that an observation is about, by name |
//! | `gold_found` | classes of gold in a sample |
//! | `clean_up`, `pans`, `oversize` | gold and rock that were weighed and counted |
//! | `cobbles`, `bed_depth`, `drive`, `clay_lumps` | the drum and what is in it |
//! | `outlets`, `box_water`, `jar` | water |
//! | `day` | what the owner sets or does that day: a setting, not knowledge |
//!
//! To add one: a file with a `static ObservationKind` whose `read` turns the cells of an entry into an [`observation::Observation`]
//! (parts, a law for each, how a trial predicts them), and its line in [`kind::ALL`]. Its number must come from the plant
//! ([`sim_core::trial::Worker`]): a measure, a stream, an outlet. Where the plant does not say it yet, the stage gets a measure.

mod gold_found;
pub mod kind;
pub mod law;
pub mod observation;
mod places;

mod bed_depth;
mod box_water;
mod clay_lumps;
mod clean_up;
mod cobbles;
mod day;
mod drive;
mod jar;
mod outlets;
mod oversize;
mod pans;

pub use kind::{ALL, ObservationKind, Seen};
