//! When the gravel packs the riffles: feed against what the water can carry, and slurry too thick to sort.

use crate::symbols as s;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::{Formula, Symbol};
use sim_core::math::{exp, ln, ln_1p};
use sim_core::quantity::Dimension as D;

/// Submerged specific gravity of gravel, (2650 - 1000)/1000 [-]. Common value for quartz-rich gravel.
pub const GRAVEL_SUBMERGED_GRAVITY: f64 = 1.65;
/// Dimensionless shear at which gravel starts to move [-]. Source: Meyer-Peter & Mueller 1948.
pub const GRAVEL_THRESHOLD: f64 = 0.047;
/// Factor of the transport law [-]. Source: Meyer-Peter & Mueller 1948.
pub const TRANSPORT_FACTOR: f64 = 8.0;
/// Width of the rounding at the threshold of motion [-]. Assumed; the reference cases lie far above the threshold.
pub const THRESHOLD_ROUNDING: f64 = 0.005;

/// x above zero and 0 below, with the corner rounded over a width: width ln(1 + e^(x/width)).
///
/// Written so that it neither overflows nor loses digits; a width of 0 gives the sharp corner.
#[inline]
pub fn softplus(x: f64, width: f64) -> f64 {
    x.max(0.0) + width * ln_1p(exp(-(x / width).abs()))
}

/// Dimensionless shear on the gravel, theta = u*^2/(1.65 g D_g) [-]. Source: Shields 1936.
pub fn gravel_shields(shear_velocity_m_s: f64, gravel_size_m: f64, gravity_m_s2: f64) -> f64 {
    shear_velocity_m_s * shear_velocity_m_s / (GRAVEL_SUBMERGED_GRAVITY * gravity_m_s2 * gravel_size_m)
}

/// Volume of gravel that the stream can carry, per width and time.
///
/// q_MPM = 8 sp(theta - 0.047)^1.5 sqrt(1.65 g D_g^3), theta = u*^2/(1.65 g D_g)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | u* | shear velocity | m/s | > 0 |
/// | D_g | median gravel size | m | 0.001-0.01 |
/// | sp | [`softplus`] of width 0.005 in place of max(x, 0) | - | |
///
/// Source: Meyer-Peter & Mueller 1948; the rounding is assumed and does not show in the reference cases. A law for
/// loose beds in rivers: over riffles it is a scale, not a measurement. Solid volume, without pores. Written in u*^2, so
/// that it stays defined for D_g = 0 (then 8 u*^3/(1.65 g)).
#[inline]
pub fn transport_capacity_m2_s(shear_velocity_m_s: f64, gravel_size_m: f64, gravity_m_s2: f64) -> f64 {
    let weight = GRAVEL_SUBMERGED_GRAVITY * gravity_m_s2;
    let scale = weight * gravel_size_m;
    let excess =
        softplus(shear_velocity_m_s * shear_velocity_m_s - GRAVEL_THRESHOLD * scale, THRESHOLD_ROUNDING * scale);
    TRANSPORT_FACTOR * excess * excess.sqrt() / weight
}

/// Share of the riffles that works when the gravel comes near what the water can carry.
///
/// A_p = 1/(1 + (c_E E)^-n_p), E = q_MPM/(C_v q)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | E | transport capacity / solids flow | - | > 0 |
/// | c_E | scale | - | 1-4, default 2 |
/// | n_p | sharpness | - | 2-4, default 3 |
///
/// Source: form assumed; c_E and n_p chosen so that the published rated feed leaves the riffles about 85 % effective.
/// Without solids it is 1.
#[inline]
pub fn packing_factor(capacity_m2_s: f64, solids_m2_s: f64, scale: f64, exponent: f64) -> f64 {
    1.0 / (1.0 + exp(exponent * ln(solids_m2_s / (scale * capacity_m2_s))))
}

/// Loss of sorting in thick slurry; multiplies the capture rate, booked under packed riffles.
///
/// A_v = 1/(1 + (C_v/C_max)^6)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | C_v | solids by volume | - | 0-1 |
/// | C_max | solids at which the capture rate is halved | - | 0.13-0.22, default 0.16 |
///
/// Source: form and constants assumed, so that it hardly matters at rated feed, takes 15 % at the published limit of
/// 12 % solids by volume and nearly everything at 25 %. An infinite C_max switches it off.
#[inline]
pub fn thick_slurry_factor(solids_by_volume: f64, half_at: f64) -> f64 {
    let r = solids_by_volume / half_at;
    let r3 = r * r * r;
    1.0 / (1.0 + r3 * r3)
}

fn calculate_packing(inputs: &[f64]) -> Vec<f64> {
    let [u_star, q, c_v, size, c_e, n_p] = *inputs else {
        return vec![f64::NAN; 4];
    };
    let g = crate::flow::FIT_GRAVITY_M_S2;
    let capacity = transport_capacity_m2_s(u_star, size, g);
    let solids = c_v * q;
    vec![packing_factor(capacity, solids, c_e, n_p), capacity / solids, capacity, gravel_shields(u_star, size, g)]
}

fn calculate_thick(inputs: &[f64]) -> Vec<f64> {
    let [c_v, half_at] = *inputs else {
        return vec![f64::NAN];
    };
    vec![thick_slurry_factor(c_v, half_at)]
}

pub(crate) const PACKING_SCALE: Symbol =
    s::symbol("packing_scale", "scale c_E of the packing factor", D::Number, "-", (1.0, 4.0), Some(2.0));
pub(crate) const PACKING_EXPONENT: Symbol =
    s::symbol("packing_exponent", "sharpness n_p of the packing factor", D::Number, "-", (2.0, 4.0), Some(3.0));

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "sluice-packing",
        "Gravel that the stream can carry against the gravel fed, and the share of the riffles that works.",
        "q_MPM = 8 (theta - 0.047)^1.5 sqrt(1.65 g D^3); E = q_MPM/(C_v q); A_p = 1/(1 + (c_E E)^-n_p)",
        calculate_packing,
    )
    .inputs(&[
        s::SHEAR_VELOCITY,
        s::FLOW_PER_WIDTH,
        s::SOLIDS_BY_VOLUME,
        s::GRAVEL_SIZE,
        PACKING_SCALE,
        PACKING_EXPONENT,
    ])
    .outputs(&[
        s::output("packing_factor", "share of the riffles that works", D::Number, "-"),
        s::output("transport_ratio", "capacity / solids fed", D::Number, "-"),
        s::output("capacity", "solid volume of gravel per width and time", D::FlowPerWidth, "L/s/m"),
        s::output("shields", "dimensionless shear on the gravel", D::Number, "-"),
    ])
    .source("Meyer-Peter & Mueller 1948; packing form assumed here, scaled to the published rated feed", Status::Memory)
    .limits("a law for loose river beds, used over riffles as a scale"),
    Formula::new(
        "sluice-thick-slurry",
        "Share of the capture rate that is left in thick slurry.",
        "A_v = 1/(1 + (C_v/C_max)^6)",
        calculate_thick,
    )
    .inputs(&[
        s::SOLIDS_BY_VOLUME,
        s::symbol(
            "half_at",
            "solids by volume at which the capture rate is halved",
            D::Fraction,
            "%",
            (0.13, 0.22),
            Some(0.16),
        ),
    ])
    .outputs(&[s::output("factor", "share of the capture rate left", D::Number, "-")])
    .source("assumed here, shaped on the published limit of 12 % solids by volume", Status::Assumed)
    .limits("keeps more feed from always paying; not measured"),
];

const MODEL: &str = "sluice packing";

const fn row(
    id: &'static str,
    kind: Kind,
    source: &'static str,
    published: f64,
    unit: &'static str,
    band: Band,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, MODEL, computed).against(kind, source, Status::Computed).value(published, unit).within(band)
}

/// Checks of this file.
pub const CHECKS: &[Check] =
    &[row("sluice-packing-no-solids", Kind::Identity, "nothing to pack with", 1.0, "-", Band::Absolute(0.0), || {
        packing_factor(transport_capacity_m2_s(0.187, 0.005, 9.81), 0.0, 2.0, 3.0)
    })];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("sluice-transport-ratio-em", || transport_capacity_m2_s(0.187_13, 0.005, 9.81) / (0.076 * 0.040)),
        ("sluice-packing-em", || {
            packing_factor(transport_capacity_m2_s(0.187_13, 0.005, 9.81), 0.076 * 0.040, 2.0, 3.0)
        }),
        ("sluice-capacity-em-6mm", || transport_capacity_m2_s(0.187_13, 0.006, 9.81)),
        ("sluice-thick-slurry-12-percent", || thick_slurry_factor(0.12, 0.16)),
        ("sluice-thick-slurry-25-percent", || thick_slurry_factor(0.25, 0.16)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_capacity_in_shear_form_equals_the_shields_form() {
        for (u, d) in [(0.05, 0.005), (0.187, 0.005), (0.3, 0.02), (0.187, 0.05)] {
            let theta = gravel_shields(u, d, 9.81);
            let sp = softplus(theta - GRAVEL_THRESHOLD, THRESHOLD_ROUNDING);
            let by_shields = 8.0 * sp * sp.sqrt() * (1.65 * 9.81 * d * d * d).sqrt();
            let here = transport_capacity_m2_s(u, d, 9.81);
            assert!((here / by_shields - 1.0).abs() < 1e-11, "{u} {d}");
        }
        assert!(transport_capacity_m2_s(0.2, 0.0, 9.81).is_finite());
    }
}
