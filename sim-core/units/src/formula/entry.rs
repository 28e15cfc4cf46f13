//! Short constructors for handbook symbols and check rows, so that a list of them stays readable.

use crate::check::{Band, Check, Kind, Status};
use crate::formula::Symbol;
use crate::quantity::Dimension;

/// Above zero, without an upper end.
pub const POSITIVE: (f64, f64) = (0.0, f64::INFINITY);
/// A share of a whole.
pub const SHARE: (f64, f64) = (0.0, 1.0);
/// Any number.
pub const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// An input of a handbook entry with its valid range (SI) and default (SI).
pub const fn input(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
    default: Option<f64>,
) -> Symbol {
    Symbol::new(name, meaning, dimension, unit).valid(range).usual_or_none(default)
}

/// A bare number as input.
pub const fn number(name: &'static str, meaning: &'static str, range: (f64, f64), default: Option<f64>) -> Symbol {
    input(name, meaning, Dimension::Number, "-", range, default)
}

/// A share (typed as number or percent) as input, shown as a number.
pub const fn share(name: &'static str, meaning: &'static str, default: Option<f64>) -> Symbol {
    input(name, meaning, Dimension::Fraction, "-", SHARE, default)
}

/// An output of a handbook entry.
pub const fn output(name: &'static str, meaning: &'static str, dimension: Dimension, unit: &'static str) -> Symbol {
    input(name, meaning, dimension, unit, ANY, None)
}

/// A bare number as output.
pub const fn result(name: &'static str, meaning: &'static str) -> Symbol {
    output(name, meaning, Dimension::Number, "-")
}

/// What a check compares with: the kind of evidence, its source, and how the value came to us.
pub type Evidence = (Kind, &'static str, Status);

/// One row of checks. `name` is its id, `value` the value of the source with its unit.
pub const fn row(
    id: &'static str,
    model: &'static str,
    (kind, source, status): Evidence,
    (published, unit): (f64, &'static str),
    band: Band,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, model, computed).against(kind, source, status).value(published, unit).within(band)
}
