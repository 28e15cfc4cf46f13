//! Plants that differ in a few settings, run on the same trials.
//!
//! | file | what it does |
//! |---|---|
//! | [`base`] | the scenario that all variants start from; building a variant |
//! | [`levers`] | what may be moved about a plant, as its kinds declare it |
//! | [`range`] | `path=lo..hi` and `path=a; b; c` |
//! | [`contest`] | variants run on the same trials and ranked |

pub mod base;
pub mod contest;
pub mod levers;
pub mod range;
