//! Sieve series, the size grid, gradation curves.

use crate::check::Check;
use crate::formula::Formula;

mod grid;

pub use grid::{
    GOLD_CLASSES, GOLD_EDGES_M, SOLID_CLASSES, SOLID_EDGES_M, SizeClass, gold_class, gold_class_of,
    gold_classes, solid_class, solid_class_of, solid_class_of_gold, solid_classes,
};

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    Vec::new()
}

/// Published-value checks of this room.
pub fn checks() -> Vec<&'static Check> {
    Vec::new()
}
