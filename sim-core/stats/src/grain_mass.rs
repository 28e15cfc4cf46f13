//! Mass of one grain, and how many grains a mass of a size class holds.

use std::f64::consts::PI;

use washgraph_units::check::Status;
use washgraph_units::constants::{QUARTZ_KG_M3, TROY_OUNCE_KG};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, input, number, output, result};
use washgraph_units::math::{exp, ln};
use washgraph_units::quantity::Dimension;

/// Mass of a disc-shaped colour, kg: m = (pi/4) csf rho d^3.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d | diameter | m | > 0 |
/// | csf | thickness over diameter (Corey shape factor of a disc) | - | 0 to 1 |
/// | rho | density of the gold | kg/m3 | placer gold 15,000 to 18,600 |
///
/// Source: geometry. Simplified: a flat round disc; real flakes have thin edges and weigh less: calibrate on weighed
/// colours.
///
/// ```
/// let m = washgraph_stats::grain_mass::disc_kg(0.601e-3, 0.2, 17_500.0);
/// assert!((m * 1e6 - 0.597).abs() < 1e-3);
/// ```
pub fn disc_kg(diameter_m: f64, shape_factor: f64, density_kg_m3: f64) -> f64 {
    PI / 4.0 * shape_factor * density_kg_m3 * diameter_m * diameter_m * diameter_m
}

/// Mass of a sphere, kg: m = (pi/6) rho d^3, d in m, rho in kg/m3. Source: geometry.
pub fn sphere_kg(diameter_m: f64, density_kg_m3: f64) -> f64 {
    PI / 6.0 * density_kg_m3 * diameter_m * diameter_m * diameter_m
}

/// Number of grains in a mass of a size class whose mass is spread evenly over the logarithm of size.
///
/// N = m (a^-3 - b^-3)/(3 kappa rho ln(b/a)), kappa rho d^3 = mass of one grain (sphere kappa = pi/6, disc pi csf/4).
///
/// a, b = class edges in m, 0 < a <= b; m in kg; rho in kg/m3. Source: integral of d^-3 over the class, derived here. One
/// grain of the geometric mean size would give 4.5 % fewer for an R20/3 step. With a = b grains of that one size; NaN when
/// a > b.
pub fn grains_in_class(mass_kg: f64, lower_m: f64, upper_m: f64, kappa: f64, density_kg_m3: f64) -> f64 {
    if !(lower_m > 0.0 && upper_m >= lower_m) {
        return f64::NAN;
    }
    if upper_m == lower_m {
        return mass_kg / (kappa * density_kg_m3 * lower_m * lower_m * lower_m);
    }
    let inverse_cube = |d: f64| 1.0 / (d * d * d);
    mass_kg * (inverse_cube(lower_m) - inverse_cube(upper_m)) / (3.0 * kappa * density_kg_m3 * ln(upper_m / lower_m))
}

/// Mass-weighted mean grain mass of lognormal gold, kg: m_w = m(d50) exp(+4.5 ln^2 sg).
///
/// m(d50) = mass of a grain of the mass-median size; sg = geometric standard deviation of the size by mass, >= 1. Source:
/// moments of the lognormal distribution (mass grows as d^3). Assumes one shape for all sizes.
pub fn lognormal_mass_weighted_kg(median_grain_kg: f64, geometric_sd: f64) -> f64 {
    let s = ln(geometric_sd);
    median_grain_kg * exp(4.5 * s * s)
}

const GOLD_DENSITY: washgraph_units::formula::Symbol =
    input("density", "density of the placer gold", Dimension::Density, "g/cm3", (10_490.0, 19_300.0), Some(17_000.0));
const DIAMETER: washgraph_units::formula::Symbol =
    input("diameter", "diameter of the colour", Dimension::SieveSize, "mm", POSITIVE, None);

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "colour-mass",
        "Weight of one flake of gold, and how many make an ounce",
        "m = (pi/4) csf rho d^3; as a sphere (pi/6) rho d^3; number = 31.1034768 g / m",
        |x| {
            let m = disc_kg(x[0], x[1], x[2]);
            vec![m, TROY_OUNCE_KG / m, sphere_kg(x[0], x[2])]
        },
    )
    .inputs(&[
        DIAMETER,
        number("shape_factor", "thickness over diameter of the flake", (0.0, 1.0), Some(0.3)).possible((0.0, 1.0)),
        GOLD_DENSITY,
    ])
    .outputs(&[
        output("mass", "mass of one flake", Dimension::Mass, "mg"),
        result("per_ounce", "flakes to a troy ounce"),
        output("sphere_mass", "mass of a ball of that diameter", Dimension::Mass, "mg"),
    ])
    .source("geometry", Status::Computed)
    .limits("a flat round disc; hollows, quartz and thin edges make real colours lighter"),
    Formula::new(
        "grains-in-size-class",
        "How many grains a mass of one sieve class holds",
        "N = m (a^-3 - b^-3)/(3 kappa rho ln(b/a)), kappa = pi/6 for spheres",
        |x| vec![grains_in_class(x[0], x[1], x[2], PI / 6.0, x[3])],
    )
    .inputs(&[
        input("mass", "mass of the class", Dimension::Mass, "g", POSITIVE, None),
        input("lower", "finer sieve", Dimension::SieveSize, "mm", POSITIVE, None),
        input("upper", "coarser sieve", Dimension::SieveSize, "mm", POSITIVE, None),
        input("density", "density of the grains", Dimension::Density, "g/cm3", POSITIVE, Some(QUARTZ_KG_M3)),
    ])
    .outputs(&[result("grains", "number of grains")])
    .source("integral over a class with its mass even in the logarithm of size, derived here", Status::Computed)
    .limits("spheres; lower sieve finer than upper"),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("disc-mass-20-40-mesh", || disc_kg((0.850e-3_f64 * 0.425e-3).sqrt(), 0.2, 17_500.0) * 1e6),
        ("grains-in-r20-step", || grains_in_class(1e-3, 0.25e-3, 0.355e-3, PI / 6.0, 17_500.0)),
        ("lognormal-gold-mass-weighted", || lognormal_mass_weighted_kg(disc_kg(0.4e-3, 0.2, 17_500.0), 1.8) * 1e6),
    ];
}
