//! `next`: which observation of the running plant would help most, before it is made, and its sheet to fill in.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | the answer |

mod command;
#[cfg(test)]
mod tests;

pub(crate) use command::{NextArgs, next};
