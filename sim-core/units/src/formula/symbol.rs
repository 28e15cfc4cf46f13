//! Short spelling for the inputs and outputs of handbook entries.

use super::Symbol;
use crate::quantity::Dimension;

/// An input that must be given.
pub const fn input(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
) -> Symbol {
    Symbol::new(name, meaning, dimension, unit).valid(range)
}

/// An input with a default (SI).
pub const fn input_or(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
    default: f64,
) -> Symbol {
    Symbol::new(name, meaning, dimension, unit).valid(range).usual(default)
}

/// An output; its range is open.
pub const fn output(name: &'static str, meaning: &'static str, dimension: Dimension, unit: &'static str) -> Symbol {
    Symbol::new(name, meaning, dimension, unit)
}
