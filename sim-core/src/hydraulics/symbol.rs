//! Short constructors for the inputs and outputs of this room's handbook entries.

use crate::formula::Symbol;
use crate::quantity::Dimension;

/// No limit on either side.
pub(crate) const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);
/// Zero or more.
pub(crate) const POSITIVE: (f64, f64) = (0.0, f64::INFINITY);

/// An input that the user must give.
pub(crate) const fn needed(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
) -> Symbol {
    Symbol { name, meaning, dimension, unit, range, default: None }
}

/// An input with a default (SI).
pub(crate) const fn preset(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
    default: f64,
) -> Symbol {
    Symbol { name, meaning, dimension, unit, range, default: Some(default) }
}

/// An output.
pub(crate) const fn output(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
) -> Symbol {
    Symbol { name, meaning, dimension, unit, range: ANY, default: None }
}

/// Wraps a formula as the `evaluate` of a handbook entry: named inputs, an array of outputs. A wrong number of inputs gives
/// no outputs.
macro_rules! evaluate {
    (|$($x:ident),+| $outputs:expr) => {
        |x: &[f64]| match *x {
            [$($x),+] => $outputs.to_vec(),
            _ => Vec::new(),
        }
    };
}
pub(crate) use evaluate;
