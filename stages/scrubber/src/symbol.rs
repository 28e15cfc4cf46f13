//! Short spelling for the inputs and outputs of the handbook entries of this crate.

use sim_core::formula::Symbol;
use sim_core::quantity::Dimension;

/// An input that must be given.
pub(crate) const fn input(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
) -> Symbol {
    Symbol { name, meaning, dimension, unit, range, default: None }
}

/// An input with a default (SI).
pub(crate) const fn input_or(
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
pub(crate) const fn output(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
) -> Symbol {
    Symbol { name, meaning, dimension, unit, range: (f64::NEG_INFINITY, f64::INFINITY), default: None }
}
