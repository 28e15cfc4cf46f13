//! What is wrong: from what is seen on the plant to what the model finds likely behind it.
//!
//! | file | what it does |
//! |---|---|
//! | `compare` | trials with a cause against the same trials without it |
//! | [`readings`] | what the kinds say can be read off a plant |
//! | [`symptoms`] | what the kinds say is seen, as readings that move |
//! | [`causes`] | what the kinds say may be wrong, as changes of the scenario |
//! | [`steps`] | what bears on a symptom beside its causes |
//! | [`judge`] | every cause run, ranked, told apart; its remedies tried |

pub mod causes;
mod compare;
pub mod judge;
pub mod readings;
pub mod steps;
pub mod symptoms;

pub use compare::*;
