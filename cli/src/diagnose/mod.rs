//! `diagnose`: from what is seen on the plant to what the model finds likely behind it.
//!
//! | file | what it does |
//! |---|---|
//! | `readings` | what can be read off a plant, and how an owner takes it |
//! | `symptoms` | what is seen, as readings that move |
//! | `causes` | what may be wrong, as changes of the scenario |
//! | `judge` | every cause run, ranked, told apart; its remedies tried |
//! | `text`, `command` | the answer |

mod causes;
mod command;
mod judge;
mod readings;
mod symptoms;
#[cfg(test)]
mod tests;
mod text;

pub(crate) use command::{DiagnoseArgs, diagnose};
