//! The command `samples`: what the samples of the ground say, and what further ones would tell.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | arguments, and the order of things |
//! | `in_money` | the plant run on the ground that the samples leave possible |
//! | `money_text` | what further samples are worth, in words |
//! | `text` | what is said at the terminal |
//! | `files` | figures, tables and JSON of the output folder |

mod command;
mod files;
mod in_money;
mod money_text;
mod text;

pub(crate) use command::{SamplesArgs, samples};
pub(crate) use money_text::finding;
