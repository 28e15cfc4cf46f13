//! The trial loop.
//!
//! | file | what it does |
//! |---|---|
//! | `worker` | one trial after another in place |
//! | `draws` | what a trial draws, handed on to other plants on the same ground |
//! | `statistics` | what the trials of a run came to |
//! | `balance` | whether the books close, and the stage that breaks them |
//! | `many` | workers in parallel, chunks folded in order, several plants at once |

mod balance;
mod draws;
mod many;
mod statistics;
mod worker;

pub use balance::{BrokenBooks, MOST_RESIDUAL, Residuals};
pub(crate) use balance::{relative, worse};
pub use draws::{SharedDraws, TrialDraws};
pub use many::{Course, DrawCache, run_course, run_course_until, run_together, run_trials};
pub use statistics::{DETAIL_TRIALS, TrialStatistics};
pub use worker::{LONG_TRIALS, SeasonTrial, Worker};
