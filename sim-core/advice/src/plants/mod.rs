//! Plants that differ in a few settings, run on the same trials.
//!
//! | file | what it does |
//! |---|---|
//! | [`base`] | the scenario that all variants start from; building a variant |
//! | [`range`] | `path=lo..hi` and `path=a; b; c` |
//! | [`sold`] | settings that are bought in set sizes |
//! | [`contest`] | variants run on the same trials and ranked |

pub mod base;
pub mod contest;
pub mod range;
pub mod sold;
