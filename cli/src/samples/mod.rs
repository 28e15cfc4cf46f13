//! The command `samples`: what the samples of the ground say, and what further ones would tell.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | arguments, and the order of things |
//! | `text` | what is said at the terminal |
//! | `files` | figures, tables and JSON of the output folder |

mod command;
mod files;
mod text;

pub(crate) use command::{SamplesArgs, samples};
