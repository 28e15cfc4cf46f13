//! What to measure next: what each observation is expected to tell, before it is made, and what it would be worth.
//!
//! | file | what it does |
//! |---|---|
//! | `expected` | what an observation is expected to tell |
//! | [`effort`] | what an observation takes: things, minutes, rows |
//! | [`plans`] | the observations that this plant allows |
//! | [`weigh`] | what each is expected to tell, and to be worth |
//! | [`outlook`] | recovery, losses, holes and money before and after a tuning |
//! | [`in_money`] | the plant run on the ground that the samples leave possible |

pub mod effort;
mod expected;
pub mod in_money;
pub mod outlook;
pub mod plans;
pub mod weigh;

pub use expected::*;
