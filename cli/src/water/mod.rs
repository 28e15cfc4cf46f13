//! The command `water`: what the plant needs, what its pump gives, and what would help.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | arguments, the run, the answer |

mod command;

pub(crate) use command::{WaterArgs, water};
