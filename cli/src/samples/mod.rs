//! The command `samples`: what the samples of the ground say, and what further ones would tell.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | arguments, and the order of things |

mod command;

pub(crate) use command::{SamplesArgs, samples};
