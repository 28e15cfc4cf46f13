//! Flat grains: the law used for gold, and two independent laws that it is tested against.

use std::f64::consts::{LN_10, PI};

use super::entry::{
    DRAG, ELONGATION, FLATNESS, FLUID_DENSITY, GOLD_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, NOMINAL, REYNOLDS,
    TEMPERATURE, VELOCITY, VOLUME_COEFFICIENT, input, output, surroundings,
};
use super::terminal::{FOLD_REYNOLDS, OPEN_REYNOLDS, driving_group, solve_reynolds};
use washgraph_units::check::Status;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Stokes and Newton shape factors of Bagheri and Bonadonna for one grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BagheriShape {
    /// Stokes (slow) shape factor k_S [-], 1 for a sphere.
    pub k_s: f64,
    /// Newton (fast) shape factor k_N [-], 1 for a sphere.
    pub k_n: f64,
}

/// Exponents alpha and beta of the Newton shape factor k_N for a density ratio s = rho_s/rho [-].
///
/// alpha = 0.45 + 10/(exp(2.5 log10 s) + 30), beta = 1 - 37/(exp(3 log10 s) + 100). `exp` of a base-10 logarithm, as
/// printed. Source: see [`bagheri_shape`].
pub fn bagheri_exponents(density_ratio: f64) -> (f64, f64) {
    let l = math::log10(density_ratio);
    (0.45 + 10.0 / (math::exp(2.5 * l) + 30.0), 1.0 - 37.0 / (math::exp(3.0 * l) + 100.0))
}

/// Shape factors of Bagheri and Bonadonna.
///
/// F_S = f e^1.3 c,  F_N = f^2 e c
/// k_S = (F_S^(1/3) + F_S^(-1/3))/2
/// k_N = 10^[alpha (-log10 F_N)^beta], 1 where F_N >= 1
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | f | flatness, short over intermediate axis | - | 0 to 1 |
/// | e | elongation, intermediate over long axis | - | 0 to 1 |
/// | c | nominal diameter cubed over the product of the axes | - | 1 ellipsoid, 1.5 disc, 1.91 block |
/// | s | grain over fluid density | - | > 1 |
///
/// Source: Bagheri and Bonadonna 2016, Powder Technol. 301:526 (the paper from memory, equations from a public
/// implementation). Never feed f = e = 1 for an angular grain: it is then treated as a sphere and comes out 60 to 80 % too
/// fast.
pub fn bagheri_shape(f: f64, e: f64, c: f64, density_ratio: f64) -> BagheriShape {
    let form_s = f * math::pow(e, 1.3) * c;
    let form_n = f * f * e * c;
    let root = math::cbrt(form_s);
    let k_n = if form_n >= 1.0 {
        1.0
    } else {
        let (alpha, beta) = bagheri_exponents(density_ratio);
        math::exp(LN_10 * alpha * math::pow(-math::log10(form_n), beta))
    };
    BagheriShape { k_s: 0.5 * (root + 1.0 / root), k_n }
}

/// Drag over k_N as a function of x = Re k_N/k_S alone [-].
///
/// C_D/k_N = 24/x (1 + 0.125 x^(2/3)) + 0.46/(1 + 5330/x)
///
/// Derived from [`drag_bagheri`]: 24 k_S/Re = 24 k_N/x. That one curve serves all shapes and densities.
pub fn bagheri_reduced_drag(x: f64) -> f64 {
    let root = math::cbrt(x);
    24.0 / x * (1.0 + 0.125 * root * root) + 0.46 / (1.0 + 5330.0 / x)
}

/// Drag by Bagheri and Bonadonna, on the area of the sphere of equal volume, Re = w dn/nu with the *fluid's* viscosity
/// and density.
///
/// C_D = 24 k_S/Re [1 + 0.125 x^(2/3)] + 0.46 k_N/(1 + 5330/x), x = Re k_N/k_S
///
/// Source: as [`bagheri_shape`]; Re below 3e5. Its sphere limit is 11 to 15 % fast for Re 10 to 500: hence the cap of the
/// gold law.
pub fn drag_bagheri(re: f64, shape: BagheriShape) -> f64 {
    shape.k_n * bagheri_reduced_drag(re * shape.k_n / shape.k_s)
}

/// Driving group of the reduced law, B = x^2 (C_D/k_N) = Q k_N/k_S^2 with Q = (4/3) R g dn^3/nu^2 [-].
///
/// Derivation: Re^2 C_D = Q; put Re = x k_S/k_N and C_D = k_N F(x): x^2 (k_S/k_N)^2 k_N F(x) = Q.
pub fn bagheri_group(q: f64, shape: BagheriShape) -> f64 {
    q * shape.k_n / (shape.k_s * shape.k_s)
}

/// Fall velocity by Bagheri and Bonadonna, exact, not capped, m/s.
pub fn bagheri_m_s(r: f64, g_m_s2: f64, nominal_m: f64, nu_m2_s: f64, shape: BagheriShape) -> f64 {
    let group = bagheri_group(driving_group(r, g_m_s2, nominal_m, nu_m2_s), shape);
    let x = solve_reynolds(group, bagheri_reduced_drag, OPEN_REYNOLDS);
    x * shape.k_s / shape.k_n * nu_m2_s / nominal_m
}

/// Drag of a thin disc falling broadside, on the area pi D^2/4, Re_D = w D/nu.
///
/// Re_D <= 1.5: C_D = 64/(pi Re_D) (1 + 10^y), y = -0.883 + 0.906 log10 Re_D - 0.025 (log10 Re_D)^2
/// to 133:      C_D = 64/(pi Re_D) (1 + 0.138 Re_D^0.792)
/// above:       C_D = 1.17
///
/// Source: Clift, Grace and Weber 1978 (middle form seen, the others from memory). Above Re_D of about 100 discs flutter or
/// tumble, and dense ones fall 40 to 50 % faster than this.
pub fn drag_broadside_disc(re_d: f64) -> f64 {
    let stokes = 64.0 / (PI * re_d);
    if re_d <= 1.5 {
        let l = math::log10(re_d);
        stokes * (1.0 + math::pow(10.0, -0.883 + l * (0.906 - 0.025 * l)))
    } else if re_d <= 133.0 {
        stokes * (1.0 + 0.138 * math::pow(re_d, 0.792))
    } else {
        1.17
    }
}

/// Fall velocity of a broadside disc, w = sqrt(2 R g T/C_D), m/s; D diameter, T thickness. See [`drag_broadside_disc`].
pub fn broadside_disc_m_s(r: f64, g_m_s2: f64, diameter_m: f64, thickness_m: f64, nu_m2_s: f64) -> f64 {
    let q = 2.0 * r * g_m_s2 * thickness_m * diameter_m * diameter_m / (nu_m2_s * nu_m2_s);
    solve_reynolds(q, drag_broadside_disc, FOLD_REYNOLDS) * nu_m2_s / diameter_m
}

/// Drag of an oblate spheroid falling broadside in Stokes flow over that of the sphere of equal volume [-].
///
/// F = 3 pi mu dn w K
/// K = phi^(-1/3) (8/3)/{2 phi/(1 - phi^2) + [2 (1 - 2 phi^2)/(1 - phi^2)^1.5] atan(sqrt(1 - phi^2)/phi)}
///
/// phi: short over long axis, 0 < phi < 1. K tends to 0.8488 phi^(-1/3) as phi -> 0 and to 1 as phi -> 1.
/// Source: Happel and Brenner 1965 (from memory; limits checked). Exact for Re -> 0.
pub fn oblate_stokes_factor(phi: f64) -> f64 {
    let flat = 1.0 - phi * phi;
    let root = flat.sqrt();
    let bracket = 2.0 * phi / flat + 2.0 * (1.0 - 2.0 * phi * phi) / (flat * root) * math::atan(root / phi);
    8.0 / 3.0 / (math::cbrt(phi) * bracket)
}

const DENSITY_RATIO: Symbol =
    input("density_ratio", "grain over fluid density", Dimension::Number, "-", (1.0, 1000.0), Some(17.0));
const THICKNESS: Symbol = input("thickness", "thickness of the disc", Dimension::Length, "mm", (1e-7, 0.1), None);

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "bagheri-bonadonna-shape-factors",
        "Stokes and Newton shape factors of a flat or long grain",
        "k_S = (F_S^(1/3) + F_S^(-1/3))/2, F_S = f e^1.3 c; k_N = 10^[alpha (-log10 F_N)^beta], F_N = f^2 e c",
        |x| {
            let shape = bagheri_shape(x[0], x[1], x[2], x[3]);
            vec![shape.k_s, shape.k_n]
        },
    )
    .inputs(&[FLATNESS, ELONGATION, VOLUME_COEFFICIENT, DENSITY_RATIO])
    .outputs(&[
        output("k_s", "Stokes shape factor", Dimension::Number, "-"),
        output("k_n", "Newton shape factor", Dimension::Number, "-"),
    ])
    .source("Bagheri and Bonadonna 2016, Powder Technol. 301:526", Status::Seen)
    .limits("not for equant angular grains"),
    Formula::new(
        "drag-bagheri-bonadonna",
        "Drag coefficient of a flat or long grain",
        "C_D = 24 k_S/Re [1 + 0.125 x^(2/3)] + 0.46 k_N/(1 + 5330/x), x = Re k_N/k_S",
        |x| vec![drag_bagheri(x[0], bagheri_shape(x[1], x[2], x[3], x[4]))],
    )
    .inputs(&[REYNOLDS, FLATNESS, ELONGATION, VOLUME_COEFFICIENT, DENSITY_RATIO])
    .outputs(&[DRAG])
    .source("Bagheri and Bonadonna 2016, Powder Technol. 301:526", Status::Seen)
    .limits("not for equant angular grains"),
    Formula::new(
        "settling-bagheri-bonadonna",
        "Fall velocity of a flat or long grain, without the sphere cap",
        "w^2 = 4 R g dn/(3 C_D)",
        |x| {
            let f = surroundings(x, 5);
            let shape = bagheri_shape(x[2], x[3], x[4], x[1] / f.rho);
            vec![bagheri_m_s(f.submerged(x[1]), f.g, x[0], f.nu, shape)]
        },
    )
    .inputs(&[
        NOMINAL,
        GOLD_DENSITY,
        FLATNESS,
        ELONGATION,
        VOLUME_COEFFICIENT,
        TEMPERATURE,
        FLUID_DENSITY,
        KINEMATIC_VISCOSITY,
        GRAVITY,
    ])
    .outputs(&[VELOCITY])
    .source("Bagheri and Bonadonna 2016, Powder Technol. 301:526", Status::Seen)
    .limits("11 to 15 % fast near the sphere at Re 10 to 500"),
    Formula::new(
        "drag-broadside-disc",
        "Drag coefficient of a thin disc falling broadside, on the area of the disc",
        "C_D = 64/(pi Re_D)(1 + 10^y) to 1.5; 64/(pi Re_D)(1 + 0.138 Re_D^0.792) to 133; 1.17 above",
        |x| vec![drag_broadside_disc(x[0])],
    )
    .inputs(&[REYNOLDS])
    .outputs(&[DRAG])
    .source("Clift, Grace and Weber 1978, Bubbles, Drops and Particles", Status::Memory)
    .limits("dense discs tumble and fall faster above Re_D of about 100"),
    Formula::new(
        "settling-broadside-disc",
        "Fall velocity of a thin disc falling broadside",
        "w = sqrt(2 R g T/C_D)",
        |x| {
            let f = surroundings(x, 3);
            vec![broadside_disc_m_s(f.submerged(x[2]), f.g, x[0], x[1], f.nu)]
        },
    )
    .inputs(&[
        super::entry::DIAMETER,
        THICKNESS,
        GOLD_DENSITY,
        TEMPERATURE,
        FLUID_DENSITY,
        KINEMATIC_VISCOSITY,
        GRAVITY,
    ])
    .outputs(&[VELOCITY])
    .source("Clift, Grace and Weber 1978, Bubbles, Drops and Particles", Status::Memory)
    .limits("dense discs tumble and fall faster above Re_D of about 100"),
    Formula::new(
        "oblate-stokes-factor",
        "Drag of a slowly falling lens over that of the sphere of equal volume",
        "K = phi^(-1/3)(8/3)/{2 phi/(1-phi^2) + [2(1-2 phi^2)/(1-phi^2)^1.5] atan(sqrt(1-phi^2)/phi)}",
        |x| vec![oblate_stokes_factor(x[0])],
    )
    .inputs(&[
        input("flatness", "short over long axis", Dimension::Number, "-", (0.001, 0.999), None).possible((1e-5, 1.0))
    ])
    .outputs(&[output("factor", "drag factor K", Dimension::Number, "-")])
    .source("Happel and Brenner 1965, Low Reynolds Number Hydrodynamics", Status::Memory)
    .limits("Re -> 0, broadside"),
];
