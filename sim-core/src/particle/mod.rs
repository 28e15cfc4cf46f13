//! Water properties, settling and threshold laws, grain shape.

use crate::check::Check;
use crate::formula::Formula;

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    Vec::new()
}

/// Published-value checks of this room.
pub fn checks() -> Vec<&'static Check> {
    Vec::new()
}
