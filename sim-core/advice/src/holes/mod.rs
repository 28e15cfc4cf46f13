//! Which hole: the plant at other hole sizes.
//!
//! | file | what it does |
//! |---|---|
//! | [`study`] | sizes, plants, what they come to |
//! | [`retune`] | a box re-set for other rock |
//! | [`rule`] | the trade's rule on the largest hole, held against the model |

pub mod retune;
pub mod rule;
pub mod study;
