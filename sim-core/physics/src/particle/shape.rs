//! From sieve size and flatness to the diameter that settles: how a flat grain passes a square mesh, and what it weighs.
//!
//! ```text
//! square mesh A                     round hole a
//! ┌─────────┐  a thin flake         ╭─────╮  no diagonal to use:
//! │  ╱      │  passes on the        │─────│  it passes when its
//! │ ╱ I     │  diagonal:            ╰─────╯  intermediate axis I
//! └─────────┘  I up to 1.41 A                is at most a
//! ```
//! L >= I >= S are the three axes; f = S/I flatness, e = I/L elongation, CSF = S/sqrt(L I) = f sqrt(e) the Corey shape
//! factor, c = dn^3/(L I S).

use super::entry::{COREY, ELONGATION, GOLD_DENSITY, NOMINAL, SIEVE, VOLUME_COEFFICIENT, input, output};
use crate::size::pchip::hermite;
use washgraph_units::check::Status;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Elongation of gold grains when nothing is known [-]; assumed, 0.75 +- 0.1.
pub const DEFAULT_ELONGATION: f64 = 0.75;

/// Volume coefficient of gold grains when nothing is known [-]; assumed, between the ellipsoid (1) and the disc (1.5).
pub const DEFAULT_VOLUME_COEFFICIENT: f64 = 1.25;

/// How a grain's outline and bulk are proportioned, apart from its flatness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proportions {
    /// Elongation e, intermediate over long axis [-], 0.6 to 0.9 usual.
    pub elongation: f64,
    /// Volume coefficient c [-], 1 ellipsoid to 1.5 disc.
    pub volume_coefficient: f64,
}

impl Default for Proportions {
    fn default() -> Self {
        Proportions { elongation: DEFAULT_ELONGATION, volume_coefficient: DEFAULT_VOLUME_COEFFICIENT }
    }
}

/// Sizes of one grain, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axes {
    /// Long axis L, m.
    pub long_m: f64,
    /// Intermediate axis I, m.
    pub intermediate_m: f64,
    /// Short axis (thickness) S, m.
    pub short_m: f64,
    /// Nominal diameter dn, of the sphere of equal volume, m.
    pub nominal_m: f64,
}

/// Flatness f = CSF/sqrt(e), at most 1 [-]. A Corey factor above sqrt(e) cannot be had with that elongation: such a grain is
/// taken as f = 1.
pub fn flatness(corey: f64, elongation: f64) -> f64 {
    (corey / elongation.sqrt()).min(1.0)
}

/// Intermediate axis of the largest ellipsoid that passes a square opening A on its diagonal, m.
///
/// I = A sqrt(2/(1 + f^2)), from sqrt((I^2 + S^2)/2) <= A
///
/// Source: derived; as Komar and Cui 1984 (from memory).
pub fn intermediate_square_mesh_m(aperture_m: f64, f: f64) -> f64 {
    aperture_m * (2.0 / (1.0 + f * f)).sqrt()
}

/// Nominal diameter from the intermediate axis, dn = I (c f/e)^(1/3), m. Follows from the definition of c.
pub fn nominal_m(intermediate_m: f64, f: f64, proportions: Proportions) -> f64 {
    intermediate_m * math::cbrt(proportions.volume_coefficient * f / proportions.elongation)
}

fn axes(intermediate_m: f64, f: f64, proportions: Proportions) -> Axes {
    Axes {
        long_m: intermediate_m / proportions.elongation,
        intermediate_m,
        short_m: f * intermediate_m,
        nominal_m: nominal_m(intermediate_m, f, proportions),
    }
}

/// Axes of a grain of a sieve size A (square mesh; for a class the geometric mean of its sieves) and Corey factor.
pub fn axes_from_sieve(aperture_m: f64, corey: f64, proportions: Proportions) -> Axes {
    let f = flatness(corey, proportions.elongation);
    axes(intermediate_square_mesh_m(aperture_m, f), f, proportions)
}

/// Axes of a grain that just passes a round hole: I = hole diameter, the hole gives no diagonal.
pub fn axes_from_round_hole(hole_m: f64, corey: f64, proportions: Proportions) -> Axes {
    axes(hole_m, flatness(corey, proportions.elongation), proportions)
}

/// Sieve size (square mesh) of a grain of a nominal diameter, m: inverse of [`axes_from_sieve`].
pub fn sieve_from_nominal_m(nominal_m: f64, corey: f64, proportions: Proportions) -> f64 {
    nominal_m / axes_from_sieve(1.0, corey, proportions).nominal_m
}

/// Nominal diameter of grains from their count and total mass, dn = (6 m/(pi rho_s N))^(1/3), m.
pub fn nominal_from_weight_m(mass_kg: f64, count: f64, density_kg_m3: f64) -> f64 {
    math::cbrt(6.0 * mass_kg / (std::f64::consts::PI * density_kg_m3 * count))
}

/// Flatness at which dn/A is largest, 1/sqrt(2): from d/df [f^(1/3) (1 + f^2)^(-1/2)] = 0.
const FLATNESS_OF_HEAVIEST: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// Corey shape factor from weighed grains of one sieve class: the CSF whose dn/A equals `nominal_over_sieve`.
///
/// dn/A rises with CSF up to CSF = sqrt(e/2) (0.61 at e 0.75) and falls a little beyond; the rising branch is taken. `None`
/// when the grains are heavier than any shape of these proportions allows, or the ratio is not positive.
pub fn corey_from_nominal_over_sieve(nominal_over_sieve: f64, proportions: Proportions) -> Option<f64> {
    let most = FLATNESS_OF_HEAVIEST * proportions.elongation.sqrt();
    let ratio = |corey: f64| axes_from_sieve(1.0, corey, proportions).nominal_m;
    if !(nominal_over_sieve > 0.0 && nominal_over_sieve <= ratio(most)) {
        return None;
    }
    let (mut lo, mut hi) = (0.0, most);
    for _ in 0..60 {
        let middle = 0.5 * (lo + hi);
        if ratio(middle) < nominal_over_sieve {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    Some(0.5 * (lo + hi))
}

/// The prior of the Corey factor: sieve size m, CSF. Assumed; no table of CSF by size was reached, and grains that others
/// recovered are rounder than those that they lost.
pub const DEFAULT_COREY_POINTS: [(f64, f64); 4] = [(0.07e-3, 0.30), (0.17e-3, 0.25), (0.50e-3, 0.30), (2.0e-3, 0.35)];

/// Corey shape factor of gold of a sieve size (m) when nothing is known [-].
///
/// Monotone cubic through [`DEFAULT_COREY_POINTS`] in the logarithm of the size, level at both ends and outside them, so
/// that neither the curve nor its slope has a step (a step would put a shelf in the recovery curve). Slope at 0.17 mm 0
/// (lowest point), at 0.5 mm the Fritsch-Butland mean. Assumed; the user's weighed grains replace it. Plausible range 0.6 to
/// 1.7 times.
pub fn default_corey(sieve_m: f64) -> f64 {
    let [(d0, c0), (d1, c1), (d2, c2), (d3, c3)] = DEFAULT_COREY_POINTS;
    if !(sieve_m > d0) {
        return c0;
    }
    if sieve_m >= d3 {
        return c3;
    }
    let x = math::ln(sieve_m);
    let knots = [math::ln(d0), math::ln(d1), math::ln(d2), math::ln(d3)];
    if sieve_m < d1 {
        return hermite(x, (knots[0], knots[1]), (c0, c1), (0.0, 0.0));
    }
    let (h1, h2) = (knots[2] - knots[1], knots[3] - knots[2]);
    let (s1, s2) = ((c2 - c1) / h1, (c3 - c2) / h2);
    let (w1, w2) = (2.0 * h2 + h1, h2 + 2.0 * h1);
    let slope = (w1 + w2) / (w1 / s1 + w2 / s2);
    if sieve_m < d2 {
        hermite(x, (knots[1], knots[2]), (c1, c2), (0.0, slope))
    } else {
        hermite(x, (knots[2], knots[3]), (c2, c3), (slope, 0.0))
    }
}

const AXES_OUT: &[Symbol] = &[
    output("nominal_diameter", "diameter of the sphere of equal volume", Dimension::Length, "mm"),
    output("intermediate_axis", "intermediate axis", Dimension::Length, "mm"),
    output("thickness", "short axis", Dimension::Length, "mm"),
    output("long_axis", "long axis", Dimension::Length, "mm"),
];

fn axes_out(a: Axes) -> Vec<f64> {
    vec![a.nominal_m, a.intermediate_m, a.short_m, a.long_m]
}

fn proportions_of(elongation: f64, volume_coefficient: f64) -> Proportions {
    Proportions { elongation, volume_coefficient }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "nominal-diameter",
        "Nominal diameter and axes of a flat grain from its sieve size (square mesh)",
        "f = CSF/sqrt(e); I = A sqrt(2/(1+f^2)); S = f I; L = I/e; dn = I (c f/e)^(1/3)",
        |x| axes_out(axes_from_sieve(x[0], x[1], proportions_of(x[2], x[3]))),
    )
    .inputs(&[SIEVE, COREY, ELONGATION, VOLUME_COEFFICIENT])
    .outputs(AXES_OUT)
    .source("derived; as Komar and Cui 1984", Status::Computed)
    .limits("f at most 1"),
    Formula::new(
        "nominal-diameter-round-hole",
        "Nominal diameter and axes of a flat grain that just passes a round hole",
        "I = hole; f = CSF/sqrt(e); S = f I; L = I/e; dn = I (c f/e)^(1/3)",
        |x| axes_out(axes_from_round_hole(x[0], x[1], proportions_of(x[2], x[3]))),
    )
    .inputs(&[
        input("hole_diameter", "diameter of the round hole", Dimension::Length, "mm", (1e-6, 0.5), None),
        COREY,
        ELONGATION,
        VOLUME_COEFFICIENT,
    ])
    .outputs(AXES_OUT)
    .source("derived", Status::Computed)
    .limits("f at most 1"),
    Formula::new(
        "sieve-size-from-nominal",
        "Sieve size of a flat grain from its nominal diameter",
        "A = dn sqrt((1+f^2)/2) (e/(c f))^(1/3)",
        |x| vec![sieve_from_nominal_m(x[0], x[1], proportions_of(x[2], x[3]))],
    )
    .inputs(&[NOMINAL, COREY, ELONGATION, VOLUME_COEFFICIENT])
    .outputs(&[output("sieve_size", "square opening that the grain just passes", Dimension::SieveSize, "mm")])
    .source("derived", Status::Computed),
    Formula::new(
        "nominal-diameter-from-weight",
        "Nominal diameter of grains from their count and total mass",
        "dn = (6 m/(pi rho_s N))^(1/3)",
        |x| vec![nominal_from_weight_m(x[0], x[1], x[2])],
    )
    .inputs(&[MASS, COUNT, GOLD_DENSITY])
    .outputs(&[output("nominal_diameter", "nominal diameter", Dimension::Length, "mm")])
    .source("volume of the sphere", Status::Computed),
    Formula::new(
        "corey-from-weight",
        "Corey shape factor of grains of one sieve class from their count and total mass",
        "dn = (6 m/(pi rho_s N))^(1/3); CSF such that dn/A = sqrt(2/(1+f^2)) (c f/e)^(1/3)",
        |x| {
            let ratio = nominal_from_weight_m(x[1], x[2], x[3]) / x[0];
            let corey = corey_from_nominal_over_sieve(ratio, proportions_of(x[4], x[5]));
            vec![corey.unwrap_or(f64::NAN)]
        },
    )
    .inputs(&[SIEVE, MASS, COUNT, GOLD_DENSITY, ELONGATION, VOLUME_COEFFICIENT])
    .outputs(&[output("corey_shape", "Corey shape factor", Dimension::Number, "-")])
    .source("derived", Status::Computed)
    .limits("rising branch, CSF up to sqrt(e/2); no answer for heavier grains"),
    Formula::new(
        "default-corey-shape",
        "Corey shape factor of gold when nothing is known",
        "monotone cubic in log size through 0.30, 0.25, 0.30, 0.35 at 0.07, 0.17, 0.5, 2 mm; level outside",
        |x| vec![default_corey(x[0])],
    )
    .inputs(&[SIEVE])
    .outputs(&[output("corey_shape", "Corey shape factor", Dimension::Number, "-")])
    .source("assumed here", Status::Assumed)
    .limits("replace it by weighing counted grains; plausible range 0.6 to 1.7 times"),
];

const MASS: Symbol = input("mass", "total mass of the grains", Dimension::Mass, "mg", (0.0, 1.0), None);
const COUNT: Symbol = input("count", "number of grains", Dimension::Number, "-", (1.0, 1e9), None);
