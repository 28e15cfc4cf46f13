//! `diagnose`: from what is seen on the plant to what the model finds likely behind it.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | the answer |

mod command;
#[cfg(test)]
mod tests;

pub(crate) use command::{DiagnoseArgs, diagnose};
