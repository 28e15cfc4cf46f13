//! The ground: field sheets and what they say of gradation and gold, and one draw of the ground for each trial.

pub mod field;
pub mod ground;
pub mod samples;
