//! What to change: single changes of the plant, each tried by running it again.
//!
//! | file | what it does |
//! |---|---|
//! | [`single`] | the changes that a plant allows |
//! | [`candidates`] | each run on common trials; where the gold goes |
//! | [`tried`] | the same on a few trials, for the report: what each does to each loss |

pub mod candidates;
pub mod single;
pub mod tried;
