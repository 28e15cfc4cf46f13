//! Tuning: what the owner sees on his running plant corrects what the model leaves open.
//!
//! A log of the field holds observations, each made under the settings of its day. An observation is [`Evidence`]: it
//! says what a plant in a given trial predicts for it and how likely the number in the log then is. The constants of
//! nature Ignorance are weighed by it; what changes from hour to hour stays as it was.
//!
//! | file | what it does |
//! |---|---|
//! | [`evidence`] | the contract of an observation |
//! | [`log`](mod@log), [`observe`] | the field log, and every kind of observation |
//! | [`ensemble`] | trials of constants, and what the plant predicts under each |
//! | [`weigh`] | weights of trials |
//! | [`redraw`] | drawing constants anew where the observations point |
//! | [`surprise`], [`conflict`] | how far an observation lies from what the rest expects |
//! | [`method`], [`tuning`] | all of it, and what it comes to |
//! | `handbook` | the laws as calculators, and their checks |
//!
//! Constants are the inputs of nature Ignorance but money, the number of the gold's joint draw and those by which the gold stands aside
//! of it (the 4,096 draws are middles of a smooth spread, or a sieved clean-up would leave a handful of them), and uncertain elements
//! of the gradation, each a number in its spread. Sets of them run through each day under the hours of other trials; likelihoods of one
//! run are multiplied over the day and averaged over its runs. Below 200 effective trials new ones are drawn where a Gauss-Newton fit on
//! the stored trials points, and all rounds are weighed together by their mixture. [`Tuning::joint`] gives equally likely rows, of which a
//! tuned plant draws one a trial. Swaps of single inputs (`drivers`) ignore that constants of a tuned plant go together.

pub mod conflict;
pub mod ensemble;
pub mod evidence;
mod handbook;
pub mod log;
pub mod method;
pub mod observe;
pub mod redraw;
pub mod surprise;
pub mod tuning;
pub mod weigh;

use sim_core::check::Check;
use sim_core::formula::Formula;

pub use crate::tuned::{Constant, Constants, TunedConstant, TunedFile};
pub use conflict::{Clash, Observed};
pub use ensemble::{Day, Ensemble, Members, Predictions};
pub use evidence::{Evidence, Part};
pub use method::{Options, TuneError, tune};
pub use surprise::{Expectation, Expected};
pub use tuning::{Move, Round, Tuning};

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    handbook::FORMULAS.iter().collect()
}

/// Checks of this room.
pub fn checks() -> Vec<&'static Check> {
    handbook::CHECKS.iter().collect()
}
