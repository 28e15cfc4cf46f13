//! The constants of a plant on one scale, and the file that holds those which the plant's own results have corrected.

pub mod constants;
pub mod file;

pub use constants::{Constant, Constants};
pub use file::{TunedConstant, TunedFile};
