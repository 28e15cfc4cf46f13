//! Angular grains described by one number, the sphericity: Haider-Levenspiel and Ganser.
//!
//! Good to about 10 % for equant angular metal (cylinders, prisms). C_D is on the area of the sphere of equal volume,
//! Re = w dn/nu. Sphericity psi = area of the sphere of equal volume / area of the grain.

use std::f64::consts::PI;

use super::entry::{
    DRAG, FLUID_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, NOMINAL, REYNOLDS, SAND_DENSITY, SPHERICITY, TEMPERATURE,
    VELOCITY, input, output, surroundings,
};
use super::terminal::{FOLD_REYNOLDS, solve_velocity_m_s};
use washgraph_units::check::Status;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Drag by Haider and Levenspiel for a sphericity.
///
/// C_D = 24/Re (1 + a Re^b) + k/(1 + m/Re)
/// a = exp(2.3288 - 6.4581 psi + 2.4486 psi^2)
/// b = 0.0964 + 0.5565 psi
/// k = exp(4.905 - 13.8944 psi + 18.4222 psi^2 - 10.2599 psi^3)
/// m = exp(1.4681 + 12.2584 psi - 20.7322 psi^2 + 15.8855 psi^3)
///
/// Source: Haider and Levenspiel 1989, Powder Technol. 58:63; psi 0.026 to 1, Re below 2.5e4 for psi < 0.67. At psi = 1
/// slightly different from their sphere fit. 5 to 30 % fast for flakes of CSF 0.2 to 0.5.
pub fn drag_haider_levenspiel(re: f64, psi: f64) -> f64 {
    let a = math::exp(2.3288 + psi * (-6.4581 + psi * 2.4486));
    let b = 0.0964 + 0.5565 * psi;
    let k = math::exp(4.905 + psi * (-13.8944 + psi * (18.4222 - psi * 10.2599)));
    let m = math::exp(1.4681 + psi * (12.2584 + psi * (-20.7322 + psi * 15.8855)));
    24.0 / re * (1.0 + a * math::pow(re, b)) + k / (1.0 + m / re)
}

/// Ganser's Stokes shape factor, K1 = 1/[da/(3 dn) + (2/3) psi^-0.5] [-].
///
/// da/dn: diameter of the circle of equal projected area over the nominal diameter; 1 for equant ("isometric") grains.
/// The term for a narrow vessel is left out: open water. Source: Ganser 1993, Powder Technol. 77:143.
pub fn ganser_k1(psi: f64, projected_over_nominal: f64) -> f64 {
    1.0 / (projected_over_nominal / 3.0 + 2.0 / 3.0 / psi.sqrt())
}

/// Ganser's Newton shape factor, K2 = 10^[1.8148 (-log10 psi)^0.5743] [-]. Both logarithms are to base 10; a natural one
/// gives two to three times too much drag. Source: Ganser 1993.
pub fn ganser_k2(psi: f64) -> f64 {
    // A sphericity that rounding put above 1 is that of a sphere.
    let flat = (-math::log10(psi)).max(0.0);
    math::pow(10.0, 1.8148 * math::pow(flat, 0.5743))
}

/// Drag by Ganser.
///
/// C_D = 24/(Re K1) [1 + 0.1118 (Re K1 K2)^0.6567] + 0.4305 K2/(1 + 3305/(Re K1 K2))
///
/// Source: Ganser 1993, Powder Technol. 77:143; Re K1 K2 below 1e5.
pub fn drag_ganser(re: f64, k1: f64, k2: f64) -> f64 {
    let x = re * k1 * k2;
    24.0 / (re * k1) * (1.0 + 0.1118 * math::pow(x, 0.6567)) + 0.4305 * k2 / (1.0 + 3305.0 / x)
}

/// Sphericity of an oblate spheroid (a lens) with short over long axis phi, 0 < phi < 1 [-].
///
/// psi = 2 phi^(2/3)/[1 + (1 - eps^2)/eps atanh(eps)], eps^2 = 1 - phi^2
///
/// Source: area of the spheroid, geometry.
pub fn sphericity_of_oblate(phi: f64) -> f64 {
    let eps = (1.0 - phi * phi).sqrt();
    let atanh = 0.5 * (math::ln_1p(eps) - math::ln(1.0 - eps));
    // Area over 2 pi a^2; the equal sphere has area 4 pi a^2 phi^(2/3).
    2.0 * math::cbrt(phi * phi) / (1.0 + phi * phi / eps * atanh)
}

/// Sphericity of a cylinder of height over diameter h [-]: (1.5 h)^(2/3)/(1/2 + h). Geometry.
pub fn sphericity_of_cylinder(height_over_diameter: f64) -> f64 {
    let h = height_over_diameter;
    math::cbrt(2.25 * h * h) / (0.5 + h)
}

/// Diameter of the sphere of volume V, (6 V/pi)^(1/3), m.
pub fn nominal_of_volume_m(volume_m3: f64) -> f64 {
    math::cbrt(6.0 * volume_m3 / PI)
}

const PROJECTED: Symbol = input(
    "projected_over_nominal",
    "diameter of the circle of equal projected area over the nominal diameter; 1 for equant grains",
    Dimension::Number,
    "-",
    (0.8, 3.0),
    Some(1.0),
);

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "drag-haider-levenspiel",
        "Drag coefficient of a grain of given sphericity",
        "C_D = 24/Re (1 + a Re^b) + k/(1 + m/Re), a, b, k, m of the sphericity",
        |x| vec![drag_haider_levenspiel(x[0], x[1])],
    )
    .inputs(&[REYNOLDS, SPHERICITY])
    .outputs(&[DRAG])
    .source("Haider and Levenspiel 1989, Powder Technol. 58:63", Status::Seen)
    .limits("5 to 30 % fast for flakes of CSF 0.2 to 0.5"),
    Formula::new(
        "settling-haider-levenspiel",
        "Fall velocity of a grain of given sphericity (Haider-Levenspiel)",
        "w^2 = 4 R g dn/(3 C_D)",
        |x| {
            let f = surroundings(x, 3);
            let drag = |re| drag_haider_levenspiel(re, x[2]);
            vec![solve_velocity_m_s(f.submerged(x[1]), f.g, x[0], f.nu, drag, FOLD_REYNOLDS)]
        },
    )
    .inputs(&[NOMINAL, SAND_DENSITY, SPHERICITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
    .outputs(&[VELOCITY])
    .source("Haider and Levenspiel 1989, Powder Technol. 58:63", Status::Seen)
    .limits("Re < 2e5; no answer beyond"),
    Formula::new(
        "drag-ganser",
        "Drag coefficient of a grain of given sphericity (Ganser)",
        "C_D = 24/(Re K1) [1 + 0.1118 (Re K1 K2)^0.6567] + 0.4305 K2/(1 + 3305/(Re K1 K2))",
        |x| vec![drag_ganser(x[0], ganser_k1(x[1], x[2]), ganser_k2(x[1]))],
    )
    .inputs(&[REYNOLDS, SPHERICITY, PROJECTED])
    .outputs(&[DRAG])
    .source("Ganser 1993, Powder Technol. 77:143", Status::Seen)
    .limits("Re K1 K2 < 1e5; open water"),
    Formula::new(
        "settling-ganser",
        "Fall velocity of a grain of given sphericity (Ganser)",
        "w^2 = 4 R g dn/(3 C_D)",
        |x| {
            let f = surroundings(x, 4);
            let (k1, k2) = (ganser_k1(x[2], x[3]), ganser_k2(x[2]));
            let drag = |re| drag_ganser(re, k1, k2);
            vec![solve_velocity_m_s(f.submerged(x[1]), f.g, x[0], f.nu, drag, FOLD_REYNOLDS)]
        },
    )
    .inputs(&[NOMINAL, SAND_DENSITY, SPHERICITY, PROJECTED, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
    .outputs(&[VELOCITY])
    .source("Ganser 1993, Powder Technol. 77:143", Status::Seen)
    .limits("Re < 2e5; no answer beyond; open water"),
    Formula::new(
        "ganser-shape-factors",
        "Stokes and Newton shape factors of Ganser",
        "K1 = 1/[da/(3 dn) + (2/3) psi^-0.5], K2 = 10^[1.8148 (-log10 psi)^0.5743]",
        |x| vec![ganser_k1(x[0], x[1]), ganser_k2(x[0])],
    )
    .inputs(&[SPHERICITY, PROJECTED])
    .outputs(&[
        output("k1", "Stokes shape factor", Dimension::Number, "-"),
        output("k2", "Newton shape factor", Dimension::Number, "-"),
    ])
    .source("Ganser 1993, Powder Technol. 77:143", Status::Seen),
    Formula::new(
        "sphericity-oblate",
        "Sphericity of a lens (oblate spheroid)",
        "psi = 2 phi^(2/3)/[1 + (1 - eps^2)/eps atanh(eps)], eps^2 = 1 - phi^2",
        |x| vec![sphericity_of_oblate(x[0])],
    )
    .inputs(&[
        input("flatness", "short over long axis", Dimension::Number, "-", (0.001, 0.999), None).possible((1e-5, 1.0))
    ])
    .outputs(&[output("sphericity", "sphericity", Dimension::Number, "-")])
    .source("geometry", Status::Computed),
    Formula::new("sphericity-cylinder", "Sphericity of a cylinder or disc", "psi = (1.5 h)^(2/3)/(1/2 + h)", |x| {
        vec![sphericity_of_cylinder(x[0])]
    })
    .inputs(&[input("height_over_diameter", "height over diameter", Dimension::Number, "-", (0.001, 100.0), None)])
    .outputs(&[output("sphericity", "sphericity", Dimension::Number, "-")])
    .source("geometry", Status::Computed),
];
