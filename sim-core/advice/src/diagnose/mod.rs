//! What is wrong: from what is seen on the plant to what the model finds likely behind it.
//!
//! | file | what it does |
//! |---|---|
//! | `compare` | trials with a cause against the same trials without it |
//! | [`readings`] | what can be read off a plant, and how an owner takes it |
//! | [`symptoms`] | what is seen, as readings that move |
//! | [`causes`] | what may be wrong, as changes of the scenario |
//! | [`judge`] | every cause run, ranked, told apart; its remedies tried |

pub mod causes;
mod compare;
pub mod judge;
pub mod readings;
pub mod symptoms;

pub use compare::*;
