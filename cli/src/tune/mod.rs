//! The command `tune`: what the plant's own results say of its constants.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | arguments, the way from scenario and log to the answer |
//! | `tuned_file` | the tuned file with its comments, and how a scenario names it |

pub(crate) mod command;
mod tuned_file;
