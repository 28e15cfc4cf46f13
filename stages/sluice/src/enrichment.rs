//! How much richer in gold the water is near the riffles than on average over the depth.

use crate::lanes::{each, exp, ln_above_one, one_minus_exp_neg};
use crate::symbols as s;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::Formula;
use sim_core::quantity::Dimension as D;

/// Settling against mixing over the depth.
///
/// Pe = 6 w/(kappa u*)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | w | settling velocity in the slurry | m/s | >= 0 |
/// | u* | shear velocity | m/s | > 0 |
/// | kappa | von Karman's constant | - | 0.40 |
///
/// Source: mean of the parabolic eddy viscosity, kappa u* h/6 (textbook, computed).
#[inline]
pub fn mixing_peclet(settling_m_s: f64, shear_velocity_m_s: f64, von_karman: f64) -> f64 {
    6.0 * settling_m_s / (von_karman * shear_velocity_m_s)
}

/// Rouse number, P = w/(kappa u*) [-]: above 2.5 a grain keeps to the bed, below 0.8 it is carried over the whole depth.
/// Source: Rouse 1937; the bands from memory. Shown only, not used.
pub fn rouse(settling_m_s: f64, shear_velocity_m_s: f64, von_karman: f64) -> f64 {
    settling_m_s / (von_karman * shear_velocity_m_s)
}

/// Near-bed enrichment: concentration near the riffles over the mean of the depth, to a power.
///
/// alpha = (Pe/(1 - e^-Pe))^m
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | Pe | settling against mixing | - | >= 0 |
/// | m | 0 well mixed by the riffles, 1 the undisturbed profile | - | 0-1, default 0.45 |
///
/// Source: settling-diffusion balance with constant mixing (computed); the exponent is a fit with a prior and poorly
/// known. Goes to 1 as Pe goes to 0.
#[inline]
pub fn enrichment(peclet: f64, exponent: f64) -> f64 {
    let [alpha] = enrichment_of([peclet], exponent);
    alpha
}

/// [`enrichment`] of several classes side by side.
#[inline(always)]
pub(crate) fn enrichment_of<const N: usize>(peclet: [f64; N], exponent: f64) -> [f64; N] {
    // The smallest positive number makes 0/0 a 1 and changes no other value.
    let pe = each(peclet, |p| p + f64::MIN_POSITIVE);
    let mut ratio = each(pe, one_minus_exp_neg);
    for (r, p) in ratio.iter_mut().zip(pe) {
        *r = p / *r;
    }
    each(each(ratio, ln_above_one), |l| exp(exponent * l))
}

fn calculate(inputs: &[f64]) -> Vec<f64> {
    let [w, u_star, m] = *inputs else {
        return vec![f64::NAN; 3];
    };
    let kappa = sim_core::constants::VON_KARMAN;
    let pe = mixing_peclet(w, u_star, kappa);
    vec![enrichment(pe, m), rouse(w, u_star, kappa), pe]
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "sluice-enrichment",
    "How much richer in gold the slurry is near the riffles than on average over its depth.",
    "Pe = 6 w/(kappa u*); alpha = (Pe/(1 - e^-Pe))^m; Rouse number P = w/(kappa u*)",
    calculate,
)
.inputs(&[
    s::SETTLING_VELOCITY,
    s::SHEAR_VELOCITY,
    s::symbol("enrichment_exponent", "0 well mixed, 1 undisturbed", D::Number, "-", (0.0, 1.0), Some(0.45)),
])
.outputs(&[
    s::output("enrichment", "near-bed over mean concentration, to the power m", D::Number, "-"),
    s::output("rouse", "Rouse number", D::Number, "-"),
    s::output("peclet", "settling against mixing", D::Number, "-"),
])
.source(
    "settling-diffusion balance with the mean of the parabolic eddy viscosity; exponent fitted here",
    Status::Computed,
)
.limits("riffles disturb the profile; the exponent is poorly known")];

/// Checks of this file.
pub const CHECKS: &[Check] =
    &[Check::new("sluice-enrichment-well-mixed", "sluice enrichment", || enrichment(0.0, 0.45))
        .against(Kind::Identity, "a grain that does not settle is spread evenly", Status::Computed)
        .value(1.0, "-")
        .within(Band::Absolute(0.0))];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("sluice-enrichment-simple-form-178um", || enrichment(mixing_peclet(0.048_38, 0.187_13, 0.40), 0.5)),
        ("sluice-rouse-simple-form-178um", || rouse(0.048_38, 0.187_13, 0.40)),
    ];
}
