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
//! | `declared` | readings that the kinds of the program declare: one law for all |
//! | `cobbles`, `bed_depth`, `clay_lumps` | the drum and what is in it |
//! | `outlets`, `box_water`, `jar` | water |
//! | `day` | what the owner sets or does that day: a setting, not knowledge |
//!
//! To add one that is a plain number: a [`sim_core::stage::Reading`] of the kind that it is read at, which is in the log by itself.
//! To add one with a law of its own: a file with a `static ObservationKind` whose `read` turns the cells of an entry into an
//! [`observation::Observation`] (parts, a law for each, how a trial predicts them), and its line in `kind::SPECIAL`. Its number must
//! come from the plant ([`sim_core::trial::Worker`]): a stream, an outlet, or a reading that says in its kind that this observation
//! takes it ([`sim_core::stage::InLog::By`]); no measure is known by its name here.

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
mod declared;
mod jar;
mod outlets;
mod oversize;
mod pans;

pub(crate) use declared::problems;
pub use kind::{ObservationKind, Seen, all};
