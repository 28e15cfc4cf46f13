//! Symbols shared by the handbook entries of the sluice, so that one name means one thing in all of them.
//!
//! Every input has a default: the reference case over expanded metal (see [`crate::reference`]).

use sim_core::formula::Symbol;
use sim_core::quantity::Dimension as D;

/// An input or output of a handbook entry; `None` as default makes it an output or a compulsory input.
pub(crate) const fn symbol(
    name: &'static str,
    meaning: &'static str,
    dimension: D,
    unit: &'static str,
    range: (f64, f64),
    default: Option<f64>,
) -> Symbol {
    Symbol::new(name, meaning, dimension, unit).valid(range).usual_or_none(default)
}

/// An output: no range and no default.
pub(crate) const fn output(name: &'static str, meaning: &'static str, dimension: D, unit: &'static str) -> Symbol {
    symbol(name, meaning, dimension, unit, (f64::NEG_INFINITY, f64::INFINITY), None)
}

pub(crate) const FLOW_PER_WIDTH: Symbol = symbol(
    "flow_per_width",
    "slurry (water and solids) per width of box",
    D::FlowPerWidth,
    "L/s/m",
    (0.015, 0.12),
    Some(0.040),
);
pub(crate) const SLOPE: Symbol =
    symbol("slope", "slope of the box, the tangent of its angle", D::Slope, "m/m", (0.08, 0.27), Some(0.146));
pub(crate) const RIFFLE_HEIGHT: Symbol =
    symbol("riffle_height", "height of the riffles over their floor", D::Length, "mm", (0.004, 0.032), Some(0.006));
pub(crate) const ROUGHNESS_RATIO: Symbol =
    symbol("roughness_ratio", "roughness of the riffled bed / riffle height", D::Number, "-", (1.0, 2.0), Some(1.4));
pub(crate) const LENGTH: Symbol =
    symbol("length", "riffled length of the box", D::Length, "m", (1.2, 12.0), Some(2.44));
pub(crate) const SOLIDS_BY_VOLUME: Symbol =
    symbol("solids_by_volume", "solids volume / slurry volume", D::Fraction, "%", (0.0, 0.15), Some(0.076));
pub(crate) const GRAVEL_SIZE: Symbol = symbol(
    "gravel_size",
    "median size of the gravel entering the sluice",
    D::SieveSize,
    "mm",
    (0.001, 0.010),
    Some(0.005),
);
pub(crate) const GOLD_SIZE: Symbol =
    symbol("gold_size", "sieve size of the gold", D::SieveSize, "mm", (75.0e-6, 2.0e-3), Some(178.0e-6));
pub(crate) const GOLD_DENSITY: Symbol = symbol(
    "gold_density",
    "density of the placer gold grain",
    D::Density,
    "kg/m3",
    (16_000.0, 19_300.0),
    Some(17_500.0),
);
pub(crate) const WATER_DENSITY: Symbol = symbol(
    "water_density",
    "density of the water with its suspended fines",
    D::Density,
    "kg/m3",
    (990.0, 1_200.0),
    Some(1_000.0),
);
pub(crate) const KINEMATIC_VISCOSITY: Symbol = symbol(
    "kinematic_viscosity",
    "kinematic viscosity of the water",
    D::KinematicViscosity,
    "mm2/s",
    (0.7e-6, 10.0e-6),
    Some(1.3e-6),
);
pub(crate) const SHEAR_VELOCITY: Symbol =
    symbol("shear_velocity", "shear velocity, sqrt(g h S)", D::Velocity, "m/s", (0.02, 0.6), Some(0.187));
pub(crate) const SETTLING_VELOCITY: Symbol = symbol(
    "settling_velocity",
    "settling velocity of the gold in the slurry",
    D::Velocity,
    "m/s",
    (0.0, 1.5),
    Some(0.0806),
);
pub(crate) const DEPTH: Symbol =
    symbol("depth", "depth of the slurry over the riffles", D::Length, "mm", (0.005, 0.15), Some(0.02445));
