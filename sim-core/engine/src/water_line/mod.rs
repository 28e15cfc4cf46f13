//! The water of one pump: its line and the outlets on it, put together and solved in each trial, and looked at once before.

mod check;
mod line;

pub use check::check_line;
pub use line::{Line, OutletNode};
