//! Handbook symbols that many entries of this room share, and the reading of the fluid from them.
//!
//! Every settling entry ends with the same four inputs, [`TEMPERATURE`], [`FLUID_DENSITY`], [`KINEMATIC_VISCOSITY`] and
//! [`GRAVITY`], so that a check can either say "water at 10 °C" or set density and viscosity as its source did.

use super::water;
pub(super) use crate::size::entry::{Origin, input, output, row};
use washgraph_units::constants::{QUARTZ_KG_M3, STANDARD_GRAVITY_M_S2};
use washgraph_units::formula::Symbol;
use washgraph_units::quantity::Dimension;

pub(super) const SIEVE: Symbol = input(
    "sieve_size",
    "sieve size of the grain (for a class: geometric mean of its two sieves)",
    Dimension::SieveSize,
    "mm",
    (1e-6, 0.5),
    None,
);
pub(super) const DIAMETER: Symbol = input("diameter", "diameter", Dimension::Length, "mm", (1e-6, 0.5), None);
pub(super) const NOMINAL: Symbol =
    input("nominal_diameter", "diameter of the sphere of equal volume", Dimension::Length, "mm", (1e-6, 0.5), None);
pub(super) const SAND_DENSITY: Symbol =
    input("solid_density", "density of the grain", Dimension::Density, "kg/m3", (1000.0, 23000.0), Some(QUARTZ_KG_M3));
pub(super) const GOLD_DENSITY: Symbol = input(
    "solid_density",
    "density of the grain; placer gold about 17000",
    Dimension::Density,
    "kg/m3",
    (1000.0, 23000.0),
    Some(17000.0),
);
/// Ratios of axes and of areas that are 1 for a sphere and less for all else; a grain has some thickness.
const AT_MOST_1: (f64, f64) = (1e-4, 1.0);

pub(super) const COREY: Symbol = input(
    "corey_shape",
    "Corey shape factor, short axis over the root of long x intermediate",
    Dimension::Number,
    "-",
    (0.03, 1.0),
    None,
)
.possible(AT_MOST_1);
pub(super) const FLATNESS: Symbol =
    input("flatness", "short over intermediate axis", Dimension::Number, "-", (0.03, 1.0), None).possible(AT_MOST_1);
pub(super) const ELONGATION: Symbol = input(
    "elongation",
    "intermediate over long axis",
    Dimension::Number,
    "-",
    (0.3, 1.0),
    Some(super::shape::DEFAULT_ELONGATION),
)
.possible(AT_MOST_1);
pub(super) const VOLUME_COEFFICIENT: Symbol = input(
    "volume_coefficient",
    "cube of the nominal diameter over the product of the axes: ellipsoid 1, disc 1.5",
    Dimension::Number,
    "-",
    (0.8, 1.91),
    Some(super::shape::DEFAULT_VOLUME_COEFFICIENT),
);
pub(super) const SPHERICITY: Symbol = input(
    "sphericity",
    "area of the sphere of equal volume over the area of the grain",
    Dimension::Number,
    "-",
    (0.026, 1.0),
    None,
)
.possible(AT_MOST_1);
pub(super) const REYNOLDS: Symbol =
    input("reynolds", "grain Reynolds number on the diameter of the law", Dimension::Number, "-", (1e-6, 2e5), None);
pub(super) const TEMPERATURE: Symbol =
    input("temperature", "water temperature", Dimension::Temperature, "°C", (0.0, 30.0), Some(20.0));
pub(super) const FLUID_DENSITY: Symbol = input(
    "fluid_density",
    "density of the water or mud; 0 takes clean water at the temperature",
    Dimension::Density,
    "kg/m3",
    (0.0, 2000.0),
    Some(0.0),
);
pub(super) const KINEMATIC_VISCOSITY: Symbol = input(
    "kinematic_viscosity",
    "kinematic viscosity; 0 takes clean water at the temperature",
    Dimension::KinematicViscosity,
    "mm2/s",
    (0.0, 1e-3),
    Some(0.0),
);
pub(super) const GRAVITY: Symbol = input(
    "gravity",
    "acceleration of gravity",
    Dimension::Acceleration,
    "m/s2",
    (9.7, 9.9),
    Some(STANDARD_GRAVITY_M_S2),
);
pub(super) const VELOCITY: Symbol = output("velocity", "terminal fall velocity", Dimension::Velocity, "m/s");
pub(super) const DRAG: Symbol = output("drag_coefficient", "drag coefficient", Dimension::Number, "-");

/// Fluid and gravity as a settling law needs them.
pub(super) struct Surroundings {
    /// Fluid density, kg/m3.
    pub rho: f64,
    /// Kinematic viscosity, m2/s.
    pub nu: f64,
    /// Gravity, m/s2.
    pub g: f64,
}

impl Surroundings {
    /// Submerged specific gravity R = (rho_s - rho)/rho of a grain [-].
    pub fn submerged(&self, rho_s_kg_m3: f64) -> f64 {
        rho_s_kg_m3 / self.rho - 1.0
    }
}

/// Reads temperature, fluid density, kinematic viscosity and gravity, in that order, starting at input `k`.
pub(super) fn surroundings(x: &[f64], k: usize) -> Surroundings {
    let (t_c, rho, nu, g) = (x[k], x[k + 1], x[k + 2], x[k + 3]);
    let clean = water::WaterState::clean(t_c);
    Surroundings {
        rho: if rho > 0.0 { rho } else { clean.density_kg_m3 },
        nu: if nu > 0.0 { nu } else { clean.kinematic_viscosity_m2_s() },
        g,
    }
}

/// Clean water at a temperature under standard gravity, for the checks.
pub(super) fn clean(t_c: f64) -> Surroundings {
    surroundings(&[t_c, 0.0, 0.0, STANDARD_GRAVITY_M_S2], 0)
}
