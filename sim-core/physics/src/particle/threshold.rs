//! Threshold of motion of a bed of one size.

use super::entry::{
    DIAMETER, FLUID_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, SAND_DENSITY, TEMPERATURE, input, output, row, surroundings,
};
use super::natural_grain::grain_number;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Critical Shields number of Soulsby and Whitehouse [-].
///
/// theta_cr = 0.30/(1 + 1.2 D*) + 0.055 [1 - exp(-0.020 D*)]
///
/// D* = d (R g/nu^2)^(1/3) (Dietrich's D* is the cube of this). Source: Soulsby and Whitehouse 1997. The sign in the
/// exponential is minus; one public code has plus. Definitions of the gravel threshold differ: spread of ln theta 0.25.
pub fn shields_soulsby_whitehouse(d_star: f64) -> f64 {
    0.30 / (1.0 + 1.2 * d_star) - 0.055 * math::expm1(-0.020 * d_star)
}

/// Critical Shields number of Brownlie [-].
///
/// theta_cr = 0.22 y + 0.06 10^(-7.7 y), y = Re_p^-0.6, Re_p = sqrt(R g d) d/nu
///
/// Source: Brownlie 1981. Parker et al. 2003 halve it for gravel (to 0.03).
pub fn shields_brownlie(re_p: f64) -> f64 {
    let y = math::pow(re_p, -0.6);
    0.22 * y + 0.06 * math::pow(10.0, -7.7 * y)
}

/// Bed stress at the threshold, tau_c = theta_cr (rho_s - rho) g d, Pa. Definition of the Shields number.
pub fn critical_stress_pa(shields: f64, rho_s_kg_m3: f64, rho_kg_m3: f64, g_m_s2: f64, d_m: f64) -> f64 {
    shields * (rho_s_kg_m3 - rho_kg_m3) * g_m_s2 * d_m
}

const D_STAR: Symbol =
    input("d_star", "dimensionless grain size d (R g/nu^2)^(1/3)", Dimension::Number, "-", (0.1, 1e4), None);
const SHIELDS: Symbol = output("shields", "critical Shields number", Dimension::Number, "-");

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new("dimensionless-grain-size", "Dimensionless grain size", "D* = d (R g/nu^2)^(1/3)", |x| {
        let f = surroundings(x, 2);
        vec![grain_number(f.submerged(x[1]), f.g, x[0], f.nu)]
    })
    .inputs(&[DIAMETER, SAND_DENSITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
    .outputs(&[output("d_star", "dimensionless grain size", Dimension::Number, "-")])
    .source("van Rijn 1984; Soulsby 1997", Status::Seen)
    .limits("Dietrich's D* is the cube of this"),
    Formula::new(
        "threshold-soulsby-whitehouse",
        "Critical Shields number from the dimensionless grain size",
        "theta_cr = 0.30/(1 + 1.2 D*) + 0.055 [1 - exp(-0.020 D*)]",
        |x| vec![shields_soulsby_whitehouse(x[0])],
    )
    .inputs(&[D_STAR])
    .outputs(&[SHIELDS])
    .source("Soulsby and Whitehouse 1997", Status::Seen)
    .limits("spread of ln theta 0.25"),
    Formula::new(
        "threshold-brownlie",
        "Critical Shields number from the grain Reynolds number",
        "theta_cr = 0.22 Re_p^-0.6 + 0.06 10^(-7.7 Re_p^-0.6), Re_p = sqrt(R g d) d/nu",
        |x| vec![shields_brownlie(x[0])],
    )
    .inputs(&[input("reynolds_explicit", "sqrt(R g d) d/nu", Dimension::Number, "-", (1.0, 1e7), None)])
    .outputs(&[SHIELDS])
    .source("Brownlie 1981", Status::Seen)
    .limits("halved for gravel by Parker et al. 2003"),
    Formula::new(
        "threshold-stress",
        "Bed stress at which grains of a bed of one size begin to move (Soulsby-Whitehouse)",
        "tau_c = theta_cr (rho_s - rho) g d",
        |x| {
            let f = surroundings(x, 2);
            let theta = shields_soulsby_whitehouse(grain_number(f.submerged(x[1]), f.g, x[0], f.nu));
            vec![critical_stress_pa(theta, x[1], f.rho, f.g, x[0])]
        },
    )
    .inputs(&[DIAMETER, SAND_DENSITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
    .outputs(&[output("stress", "critical bed stress", Dimension::Stress, "Pa")])
    .source("Soulsby and Whitehouse 1997", Status::Seen)
    .limits("bed of one size; see the hiding laws for mixtures"),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[row(
    ("threshold-shields-coarse", "Soulsby-Whitehouse 1997"),
    (Kind::Identity, "limit D* -> infinity", Status::Computed),
    0.055,
    "-",
    Band::Relative(0.01),
    || shields_soulsby_whitehouse(1e6),
)];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::entry::clean;
    use super::*;
    use washgraph_units::constants::QUARTZ_KG_M3;

    /// Critical stress in clean water at 20 °C by Soulsby-Whitehouse, Pa; size in mm.
    fn stress(rho_s: f64, d_mm: f64) -> f64 {
        let f = clean(20.0);
        let d_m = d_mm * 1e-3;
        let theta = shields_soulsby_whitehouse(grain_number(f.submerged(rho_s), f.g, d_m, f.nu));
        critical_stress_pa(theta, rho_s, f.rho, f.g, d_m)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("threshold-shields-d-star-25", || shields_soulsby_whitehouse(25.26)),
        ("threshold-quartz-0p25mm", || stress(QUARTZ_KG_M3, 0.25)),
        ("threshold-quartz-1mm", || stress(QUARTZ_KG_M3, 1.0)),
        ("threshold-quartz-10mm", || stress(QUARTZ_KG_M3, 10.0)),
        ("threshold-magnetite-0p25mm", || stress(5180.0, 0.25)),
        ("threshold-gold-0p1mm", || stress(17000.0, 0.1)),
        ("threshold-gold-0p25mm", || stress(17000.0, 0.25)),
        ("threshold-gold-1mm", || stress(17000.0, 1.0)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_the_two_threshold_curves_agree_in_shape() {
        // Both fall from fine grains to a dip in the sand range and rise to 0.055-0.06 for gravel.
        for law in [|d| shields_soulsby_whitehouse(d), |d: f64| shields_brownlie(d * d.sqrt())] {
            assert!(law(1.0) > law(15.0) && law(15.0) < law(300.0));
            assert!((law(1000.0) / 0.0575 - 1.0).abs() < 0.07);
        }
    }
}
