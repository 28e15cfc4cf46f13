//! How fast gold comes down in the sluice: hindrance by the other solids, and an alternative settling law.
//!
//! The default settling velocity is that of the whole plant (`sim_core::particle`) and reaches the sluice ready made,
//! one value per class. The simple form here is an independent second opinion with its own fit; it is also what the
//! oldest check values of the model were computed with.

use crate::symbols as s;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::{Formula, Symbol};
use sim_core::math::{cbrt, exp, ln, pow};
use sim_core::quantity::Dimension as D;

/// Nominal diameter of the simple form, d_n = d CSF^(1/3) (m).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d | sieve size of the gold | m | 75e-6 to 2e-3 |
/// | CSF | Corey shape factor, thickness/sqrt(length x breadth) | - | 0.15-1 |
///
/// Source: assumed. It takes the sieve size for the mean of length and breadth, so it makes flat grains smaller than the
/// plant-wide law does (1.7 to 2.5 times slower for fine flat gold in the end).
pub fn simple_nominal_m(sieve_m: f64, csf: f64) -> f64 {
    sieve_m * cbrt(csf)
}

/// Settling velocity in still clear water, simple form.
///
/// w0 = R_s g d_n^2/(C1 nu + sqrt(0.75 C2 R_s g d_n^3)), C1 = 18 CSF^-0.35, C2 = 0.4 CSF^-1.3, R_s = rho_g/rho - 1
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d_n | nominal diameter | m | 30e-6 to 2e-3 |
/// | CSF | Corey shape factor | - | 0.15-1 |
/// | rho_g, rho | density of gold and water | kg/m3 | |
/// | nu | kinematic viscosity of the water | m2/s | 0.7e-6 to 2e-6 |
///
/// Source: form of Ferguson & Church 2004 (from memory); the shape exponents are assumed. Not checked against measured
/// gold. Gives 0 for a grain that is no denser than the water.
pub fn simple_settling_m_s(nominal_m: f64, csf: f64, density_ratio: f64, nu_m2_s: f64, gravity_m_s2: f64) -> f64 {
    let drive = (density_ratio - 1.0).max(0.0) * gravity_m_s2 * nominal_m * nominal_m;
    let c1 = 18.0 * pow(csf, -0.35);
    let c2 = 0.4 * pow(csf, -1.3);
    drive / (c1 * nu_m2_s + (0.75 * c2 * drive * nominal_m).sqrt())
}

/// Share of its clear-water speed that a grain keeps among the other solids of the sluice.
///
/// w/w0 = (1 - f_s C_v)^n_h
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | C_v | solids by volume | - | 0-1 |
/// | f_s | share of the solids that hinders (the gravel slides and hinders less) | - | 0.2-0.8, default 0.5 |
/// | n_h | exponent | - | 2.4-4.7, default 3 |
///
/// Source: form of Richardson & Zaki 1954; f_s and n_h assumed. The effect is weak. f_s below 1 keeps it above zero.
#[inline]
pub fn hindrance(solids_by_volume: f64, hindering_share: f64, exponent: f64) -> f64 {
    exp(exponent * ln(1.0 - hindering_share * solids_by_volume))
}

fn calculate_simple(inputs: &[f64]) -> Vec<f64> {
    let [size, csf, density, water, nu] = *inputs else {
        return vec![f64::NAN; 2];
    };
    let nominal = simple_nominal_m(size, csf);
    vec![simple_settling_m_s(nominal, csf, density / water, nu, crate::flow::FIT_GRAVITY_M_S2), nominal]
}

fn calculate_hindrance(inputs: &[f64]) -> Vec<f64> {
    let [w0, c_v, f_s, n_h] = *inputs else {
        return vec![f64::NAN; 2];
    };
    let factor = hindrance(c_v, f_s, n_h);
    vec![w0 * factor, factor]
}

const SHAPE: Symbol = s::symbol(
    "shape_factor",
    "Corey shape factor of the gold: thickness / sqrt(length x breadth)",
    D::Number,
    "-",
    (0.15, 1.0),
    Some(0.4),
);

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "sluice-settling-simple-form",
        "Settling velocity of gold by the simple form, kept as a second opinion to the plant-wide law.",
        "d_n = d CSF^(1/3); w0 = R g d_n^2/(18 CSF^-0.35 nu + sqrt(0.75 x 0.4 CSF^-1.3 R g d_n^3))",
        calculate_simple,
    )
    .inputs(&[s::GOLD_SIZE, SHAPE, s::GOLD_DENSITY, s::WATER_DENSITY, s::KINEMATIC_VISCOSITY])
    .outputs(&[
        s::output("settling_velocity", "settling velocity in still clear water", D::Velocity, "m/s"),
        s::output("nominal_size", "nominal diameter", D::Length, "mm"),
    ])
    .source("form of Ferguson & Church 2004; shape exponents assumed here; g 9.81 m/s2", Status::Assumed)
    .limits("slow for fine flat gold; the plant uses the plant-wide gold law"),
    Formula::new(
        "sluice-hindered-settling",
        "Settling velocity of gold among the other solids of the sluice.",
        "w = w0 (1 - f_s C_v)^n_h",
        calculate_hindrance,
    )
    .inputs(&[
        s::symbol(
            "clear_water_velocity",
            "settling velocity in still clear water",
            D::Velocity,
            "m/s",
            (0.0, 1.5),
            Some(0.090_58),
        ),
        s::SOLIDS_BY_VOLUME,
        s::symbol("hindering_share", "share of the solids that hinders", D::Fraction, "-", (0.2, 0.8), Some(0.5)),
        s::symbol("hindrance_exponent", "exponent", D::Number, "-", (2.4, 4.7), Some(3.0)),
    ])
    .outputs(&[
        s::output("settling_velocity", "settling velocity in the slurry", D::Velocity, "m/s"),
        s::output("factor", "share of the clear-water velocity", D::Number, "-"),
    ])
    .source("form of Richardson & Zaki 1954; constants assumed here", Status::Assumed)
    .limits("weak effect at the solids of a sound sluice"),
];

/// Checks of this file.
pub const CHECKS: &[Check] =
    &[Check::new("sluice-hindrance-clear-water", "sluice hindered settling", || hindrance(0.0, 0.5, 3.0))
        .against(Kind::Identity, "no solids, no hindrance", Status::Computed)
        .value(1.0, "-")
        .within(Band::Absolute(0.0))];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    fn reference_simple() -> f64 {
        simple_settling_m_s(simple_nominal_m(178e-6, 0.4), 0.4, 17.5, 1.3e-6, crate::flow::FIT_GRAVITY_M_S2)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("sluice-simple-settling-178um", reference_simple),
        ("sluice-simple-hindered-178um", || reference_simple() * hindrance(0.076, 0.5, 3.0)),
    ];
}
