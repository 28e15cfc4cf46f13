//! Water beside a run: the line of one pump in one trial as numbers, changed and solved without the stages; many trials of
//! it; what would mend a shortage; which fault a gauge and a flow reading show.
//!
//! | file | what is there |
//! |---|---|
//! | `case` | the line of one pump in one trial, and changes to it |
//! | `study` | the same line in many trials: how it stands, which duty to buy |
//! | `remedy` | what would mend a shortage, tried one by one and together |
//! | [`feed_sweep`] | flow that the pump must give over the feed rate |
//! | `explain` | the fault that a gauge and a flow reading show, sized |

mod case;
mod explain;
pub mod feed_sweep;
mod remedy;
mod study;

pub use case::{CaseBranch, Change, WaterCase};
pub use explain::{Explanation, Fault, explain};
pub use remedy::{Effort, Remedy, RemedyOutcome, plan, remedies};
pub use study::{DutyToBuy, NeedInTrial, StageNeed, Standing, TrialWater, WANTED_SHARE, WaterStudy};
