//! The trial loop.
//!
//! | file | what it does |
//! |---|---|
//! | `worker` | one trial after another in place |
//! | `card` | what a trial draws, handed on to other plants on the same ground |
//! | `tally` | what the trials of a run came to |
//! | `many` | workers in parallel, chunks folded in order, several plants at once |

mod card;
mod many;
mod tally;
mod worker;

pub use card::{Card, Hand};
pub use many::{Course, Deck, run_course, run_course_until, run_together, run_trials};
pub use tally::{DETAIL_TRIALS, Tally};
pub(crate) use worker::relative;
pub use worker::{LONG_TRIALS, Residuals, SeasonTrial, Worker};
