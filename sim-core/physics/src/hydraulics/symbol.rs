//! Short constructors for the inputs and outputs of this room's handbook entries.

/// Zero or more.
pub(crate) const POSITIVE: (f64, f64) = (0.0, f64::INFINITY);

pub(crate) use washgraph_units::formula::symbol::{input as needed, input_or as preset, output};

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
