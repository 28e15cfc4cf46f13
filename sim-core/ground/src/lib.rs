//! The ground: field sheets and what they say of gradation and gold, and one draw of the ground for each trial.
//!
//! `[ground.gradation]` and `[ground.gold]` of a scenario name field sheets, or hold the same rows as lists; both become a sheet with
//! columns by name, units, and a place for every cell. Sieve tests, stone counts and pans are made of it, the posteriors say what they
//! tell, and checks what is odd about them. Gold is 4,096 joint draws of all classes, poorest first, taken once when the scenario is
//! read; a trial reads one of them, so the ground's gold is a single number. The next sample is weighed on the same draws by counts not
//! yet seen. Gold weighed without sieves is a likelihood of its weight, and picks among drawings of the classes.
//! `tests/recovery_of_truth.rs` shows that the bands hold.

pub mod field;
pub mod ground;
pub mod samples;
