//! The trial loop.
//!
//! | file | what it does |
//! |---|---|
//! | `worker` | one trial after another in place |
//! | `draws` | what a trial draws, handed on to other plants on the same ground |
//! | `statistics` | what the trials of a run came to |
//! | `many` | workers in parallel, chunks folded in order, several plants at once |

mod draws;
mod many;
mod statistics;
mod worker;

pub use draws::{SharedDraws, TrialDraws};
pub use many::{Course, DrawCache, run_course, run_course_until, run_together, run_trials};
pub use statistics::{DETAIL_TRIALS, TrialStatistics};
pub(crate) use worker::relative;
pub use worker::{LONG_TRIALS, Residuals, SeasonTrial, Worker};
