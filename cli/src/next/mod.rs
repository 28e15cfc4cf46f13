//! `next`: which observation of the running plant would help most, before it is made, and its sheet to fill in.
//!
//! | file | what it does |
//! |---|---|
//! | `plans` | the observations that this plant allows |
//! | `weigh` | what each is expected to tell, and to be worth |
//! | `text`, `command` | the answer |

mod command;
mod plans;
#[cfg(test)]
mod tests;
pub(crate) mod text;
pub(crate) mod weigh;

pub(crate) use command::{NextArgs, next};
