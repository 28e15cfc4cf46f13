//! Grains held up by turbulence.
//!
//! Fine flakes are suspended load in a sluice: a model of bed load alone cannot explain fines in tailings.

use super::entry::{GRAVITY, input, output};
use washgraph_units::check::Status;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Von Karman constant of the suspension profile [-]. Source: textbooks (0.40 to 0.41); the sluice model uses its own.
pub const PROFILE_VON_KARMAN: f64 = 0.41;

/// Shear velocity of a uniform flow, u* = sqrt(g h sin theta), m/s; h depth, theta slope angle.
///
/// Source: balance of weight and bed friction in a wide channel. Over riffles it overstates the turbulence (assumed spread of
/// ln u* 0.3).
pub fn shear_velocity_m_s(g_m_s2: f64, depth_m: f64, slope_rad: f64) -> f64 {
    (g_m_s2 * depth_m * math::sin(slope_rad)).sqrt()
}

/// Ratio beta of grain to momentum diffusion, 1 + 2 (w/u*)^2, between 1 and 1.5 [-].
///
/// Source: van Rijn 1984, J. Hydraul. Eng. 110:1613; the upper bound belongs to the law.
pub fn diffusion_ratio(w_over_u_star: f64) -> f64 {
    (1.0 + 2.0 * w_over_u_star * w_over_u_star).min(1.5)
}

/// Rouse number P = w/(beta kappa u*) [-]. Above 2.5 bed load; 1.2 to 2.5 about half suspended; 0.8 to 1.2 suspended; below
/// 0.8 wash load (bands from memory).
pub fn rouse_number(w_m_s: f64, u_star_m_s: f64, beta: f64, kappa: f64) -> f64 {
    w_m_s / (beta * kappa * u_star_m_s)
}

/// Concentration at height z over that at reference height a, [((h - z)/z)(a/(h - a))]^P [-].
///
/// Source: Rouse 1937, Trans. ASCE 102:463. 0 < a < h, 0 < z <= h.
pub fn profile(z_m: f64, a_m: f64, depth_m: f64, rouse: f64) -> f64 {
    math::pow((depth_m - z_m) / z_m * a_m / (depth_m - a_m), rouse)
}

/// Shear velocity over fall velocity at which suspension begins [-]: 4/D* for D* <= 10, 0.4 above.
///
/// D* = d (R g/nu^2)^(1/3), from 1. Source: van Rijn 1984, J. Hydraul. Eng. 110:1613. Below D* = 1 the line 4/D* is drawn on.
pub fn onset(d_star: f64) -> f64 {
    if d_star <= 10.0 { 4.0 / d_star } else { 0.4 }
}

const DEPTH: Symbol = input("depth", "water depth", Dimension::Length, "mm", (1e-4, 10.0), None);
const W: Symbol = input("velocity", "fall velocity", Dimension::Velocity, "m/s", (0.0, 10.0), None);
const U_STAR: Symbol = input("shear_velocity", "shear velocity u*", Dimension::Velocity, "m/s", (1e-4, 2.0), None);

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new("shear-velocity", "Shear velocity of a uniform flow down a slope", "u* = sqrt(g h sin(theta))", |x| {
        vec![shear_velocity_m_s(x[2], x[0], x[1])]
    })
    .inputs(&[DEPTH, input("slope_angle", "slope angle", Dimension::Angle, "deg", (0.0, 0.5), None), GRAVITY])
    .outputs(&[output("shear_velocity", "shear velocity u*", Dimension::Velocity, "m/s")])
    .source("balance of weight and bed friction", Status::Computed)
    .limits("wide channel"),
    Formula::new(
        "rouse-number",
        "Rouse number: how firmly a grain keeps to the bed",
        "P = w/(beta kappa u*), beta = 1 + 2 (w/u*)^2, between 1 and 1.5",
        |x| vec![rouse_number(x[0], x[1], diffusion_ratio(x[0] / x[1]), x[2])],
    )
    .inputs(&[
        W,
        U_STAR,
        input("von_karman", "von Karman constant", Dimension::Number, "-", (0.38, 0.42), Some(PROFILE_VON_KARMAN)),
    ])
    .outputs(&[output("rouse", "Rouse number", Dimension::Number, "-")])
    .source("Rouse 1937; beta van Rijn 1984, J. Hydraul. Eng. 110:1613", Status::Seen)
    .limits("above 2.5 bed load, below 0.8 wash load"),
    Formula::new(
        "suspension-profile",
        "Concentration of grains at a height over that near the bed",
        "C/Ca = [((h-z)/z)(a/(h-a))]^P",
        |x| vec![profile(x[0], x[1], x[2], x[3])],
    )
    .inputs(&[
        input("height", "height above the bed", Dimension::Length, "mm", (1e-6, 10.0), None),
        input("reference_height", "height at which Ca holds", Dimension::Length, "mm", (1e-6, 10.0), None),
        DEPTH,
        input("rouse", "Rouse number", Dimension::Number, "-", (0.0, 20.0), None),
    ])
    .outputs(&[output("ratio", "concentration over that at the reference height", Dimension::Number, "-")])
    .source("Rouse 1937, Trans. ASCE 102:463", Status::Seen),
    Formula::new(
        "suspension-onset",
        "Shear velocity over fall velocity at which suspension begins",
        "u*/w = 4/D* (1 < D* <= 10); 0.4 (D* > 10)",
        |x| vec![onset(x[0])],
    )
    .inputs(&[input("d_star", "dimensionless grain size", Dimension::Number, "-", (1.0, 1e4), None)])
    .outputs(&[output("ratio", "u*/w", Dimension::Number, "-")])
    .source("van Rijn 1984, J. Hydraul. Eng. 110:1613", Status::Seen),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;
    use washgraph_units::constants::STANDARD_GRAVITY_M_S2;

    /// Sieve size of gold (CSF 0.2, 17000 kg/m3, 10 °C) whose fall velocity is u* at a depth in mm and slope in degrees, mm.
    fn coarsest_held_up_mm(depth_mm: f64, slope_deg: f64) -> f64 {
        let f = crate::particle::entry::clean(10.0);
        let u_star = shear_velocity_m_s(f.g, depth_mm * 1e-3, slope_deg * DEGREE);
        let (mut lo, mut hi) = (1e-5, 1e-1);
        for _ in 0..40 {
            let middle = 0.5 * (lo + hi);
            let p = crate::particle::shape::Proportions::default();
            let w = crate::particle::gold::gold_velocity_exact(middle, 0.2, 17000.0, p, f.rho, f.nu, f.g).w_m_s;
            if w < u_star { lo = middle } else { hi = middle }
        }
        1e3 * lo
    }

    const DEGREE: f64 = std::f64::consts::PI / 180.0;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("shear-velocity-30mm-6deg", || shear_velocity_m_s(STANDARD_GRAVITY_M_S2, 0.030, 6.0 * DEGREE)),
        ("shear-velocity-50mm-7deg", || shear_velocity_m_s(STANDARD_GRAVITY_M_S2, 0.050, 7.0 * DEGREE)),
        ("shear-velocity-80mm-9p5deg", || shear_velocity_m_s(STANDARD_GRAVITY_M_S2, 0.080, 9.5 * DEGREE)),
        ("suspended-gold-30mm-6deg", || coarsest_held_up_mm(30.0, 6.0)),
        ("suspended-gold-50mm-7deg", || coarsest_held_up_mm(50.0, 7.0)),
        ("suspended-gold-80mm-9p5deg", || coarsest_held_up_mm(80.0, 9.5)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_profile_is_one_at_the_reference_and_flat_for_wash_load() {
        assert!((profile(0.005, 0.005, 0.05, 1.3) - 1.0).abs() < 1e-12);
        assert_eq!(profile(0.03, 0.005, 0.05, 0.0), 1.0);
        assert_eq!(profile(0.05, 0.005, 0.05, 1.0), 0.0);
        assert_eq!(diffusion_ratio(0.0), 1.0);
        assert_eq!(diffusion_ratio(2.0), 1.5);
        assert_eq!(onset(10.0), 0.4);
    }
}
