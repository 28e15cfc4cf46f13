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
//! | [`constants`] | the constants of a plant, all on one scale |
//! | [`ensemble`] | trials of constants, and what the plant predicts under each |
//! | [`weigh`] | weights of trials |
//! | [`redraw`] | drawing constants anew where the observations point |
//! | [`surprise`], [`conflict`] | how far an observation lies from what the rest expects |
//! | [`method`], [`tuning`] | all of it, and what it comes to |
//! | [`diagnose`] | from what is seen to what may bring it |
//! | [`next`] | what the next observation is expected to tell |
//! | `handbook` | the laws as calculators, and their checks |
//! | [`file`](mod@file), `note` | the tuned file, and what a result says of it |

pub mod conflict;
pub mod constants;
pub mod diagnose;
pub mod ensemble;
pub mod evidence;
pub mod file;
mod handbook;
pub mod log;
pub mod method;
pub mod next;
mod note;
pub mod observe;
pub mod redraw;
pub mod surprise;
pub mod tuning;
pub mod weigh;

use crate::check::Check;
use crate::formula::Formula;

pub use conflict::{Clash, Observed};
pub use constants::{Constant, Constants};
pub use ensemble::{Day, Ensemble, Members, Predictions};
pub use evidence::{Evidence, Part};
pub use file::{TunedConstant, TunedFile};
pub use method::{Options, TuneError, tune};
pub use note::TunedNote;
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
