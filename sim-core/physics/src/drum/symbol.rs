//! Short spelling for the inputs and outputs of the handbook entries of this room.

use washgraph_units::formula::Symbol;
use washgraph_units::quantity::Dimension;

pub(crate) use washgraph_units::formula::symbol::{input, input_or, output};

/// Inside diameter of the drum, as most entries ask for it.
pub(crate) const DRUM_DIAMETER: Symbol =
    input("diameter", "inside diameter of the drum", Dimension::Length, "m", (0.1, 5.0));

/// Speed of the drum, as most entries ask for it.
pub(crate) const DRUM_SPEED: Symbol =
    input("speed", "speed of the drum", Dimension::RotationSpeed, "rpm", (0.005, 2.0));

/// Slope of the drum axis.
pub(crate) const DRUM_SLOPE: Symbol =
    input("slope", "slope of the drum axis, as the tangent of its angle", Dimension::Slope, "deg", (0.0, 0.21));

/// Dynamic angle of repose.
pub(crate) const REPOSE: Symbol = input_or(
    "repose",
    "dynamic angle of repose of the bed",
    Dimension::Angle,
    "deg",
    (0.35, 0.9),
    0.610_865_238_198_015_3,
)
.possible((0.01, 1.5));

/// Bulk flow of the bed.
pub(crate) const BED_FLOW: Symbol =
    input("flow", "loose volume of solids passing per time", Dimension::GravelRate, "m3/h", (0.0, 0.2));
