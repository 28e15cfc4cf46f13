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
    Symbol { name, meaning, dimension, unit, range, default: None }
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
    Symbol { name, meaning, dimension, unit, range, default: Some(default) }
}

/// An output; its range is open.
pub const fn output(name: &'static str, meaning: &'static str, dimension: Dimension, unit: &'static str) -> Symbol {
    Symbol { name, meaning, dimension, unit, range: (f64::NEG_INFINITY, f64::INFINITY), default: None }
}
