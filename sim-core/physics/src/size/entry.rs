//! Short constructors for handbook symbols and check rows, so that a list of them stays readable.

use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Symbol;
use washgraph_units::quantity::Dimension;

/// An input of a handbook entry with its valid range (SI) and default (SI).
pub(crate) const fn input(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
    default: Option<f64>,
) -> Symbol {
    Symbol::new(name, meaning, dimension, unit).valid(range).usual_or_none(default)
}

/// An output of a handbook entry.
pub(crate) const fn output(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
) -> Symbol {
    Symbol::new(name, meaning, dimension, unit)
}

/// What is tested: name of the row and of the model.
pub(crate) type Tested = (&'static str, &'static str);

/// Where the number comes from: what it is worth, its source and how it came to us.
pub(crate) type Origin = (Kind, &'static str, Status);

/// One check row: what, from where, the number with its unit, the band, and how it is computed here.
pub(crate) const fn row(
    tested: Tested,
    origin: Origin,
    published: f64,
    unit: &'static str,
    band: Band,
    computed: fn() -> f64,
) -> Check {
    Check::new(tested.0, tested.1, computed).against(origin.0, origin.1, origin.2).value(published, unit).within(band)
}
