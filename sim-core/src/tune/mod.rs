//! Tuning: what the owner sees on his running plant corrects what the model leaves open.
//!
//! A log of the field holds observations, each made under the settings of its day. An observation is [`Evidence`]: it
//! says what a plant in a given trial predicts for it and how likely the number in the log then is. The constants of
//! nature Ignorance are weighed by it; what changes from hour to hour stays as it was.

pub mod evidence;
pub mod log;
pub mod observe;

pub use evidence::{Evidence, Part};
