//! Natural gravel and sand: explicit settling laws.
//!
//! | law | diameter to feed in |
//! |---|---|
//! | Ferguson-Church 18/1.0 (default) | sieve |
//! | Soulsby 1997, Rubey 1933 | sieve |
//! | Ferguson-Church 20/1.1, Cheng 1997, Dietrich 1982 | nominal; about 1.13 times the sieve size for river sand |
//!
//! Feeding the last group the sieve size makes it 11 to 20 % slow. R is the submerged specific gravity [-], D the
//! diameter (m), nu the kinematic viscosity [m2/s], d* = D (R g/nu^2)^(1/3).

use super::entry::{
    COREY, FLUID_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, NOMINAL, SAND_DENSITY, SIEVE, TEMPERATURE, VELOCITY, input,
    output, surroundings,
};
use washgraph_units::check::Status;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Small-grain constant of the Ferguson-Church law for natural grains on the sieve diameter [-].
// Source: Ferguson and Church 2004.
pub const NATURAL_C1: f64 = 18.0;

/// Large-grain constant (a drag coefficient) of the Ferguson-Church law for natural grains on the sieve diameter [-].
// Source: Ferguson and Church 2004.
pub const NATURAL_C2: f64 = 1.0;

/// Fall velocity by Ferguson and Church, m/s: the default for gravel and sand.
///
/// w = R g D^2/(C1 nu + sqrt(0.75 C2 R g D^3))
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | D | sieve diameter (C1 18, C2 1.0), or nominal (20, 1.1) | m | checked 0.07 to 4.4 mm |
/// | C1 | Stokes constant; 18 natural, 20 on nominal, 24 very angular | - | 18 to 24 |
/// | C2 | drag coefficient of large grains; 0.4 smooth sphere, 1.0, 1.1, 1.2 very angular | - | 0.4 to 1.2 |
///
/// Source: Ferguson and Church 2004, J. Sediment. Res. 74:933. Their rms error: 6 % on their own river sand, 7 to 9 % on
/// Raudkivi's, about 16 % over 115 points of several densities. Coarser gravel is extrapolation to C_D = 1. With C2 = 0.4
/// it is up to 24 % fast for spheres at Re 10 to 100: use [`super::sphere`] for spheres.
#[inline]
pub fn ferguson_church_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64, c1: f64, c2: f64) -> f64 {
    let weight = r * g_m_s2 * d_m * d_m;
    weight / (c1 * nu_m2_s + (0.75 * c2 * weight * d_m).sqrt())
}

/// Dimensionless grain size d* = D (R g/nu^2)^(1/3) [-].
#[inline]
pub fn grain_number(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64) -> f64 {
    d_m * math::cbrt(r * g_m_s2 / (nu_m2_s * nu_m2_s))
}

/// Fall velocity by Soulsby, m/s, sieve diameter; C is the share of grains by volume in the water around (0 for one).
///
/// w = (nu/D) [sqrt(10.36^2 + 1.049 (1 - C)^4.7 d*^3) - 10.36]
///
/// Source: Soulsby 1997, Dynamics of Marine Sands. The exponent 4.7 was not verified.
pub fn soulsby_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64, concentration: f64) -> f64 {
    let d_star = grain_number(r, g_m_s2, d_m, nu_m2_s);
    let cube = d_star * d_star * d_star * math::pow(1.0 - concentration, 4.7);
    nu_m2_s / d_m * ((10.36 * 10.36 + 1.049 * cube).sqrt() - 10.36)
}

/// Fall velocity of natural sand by Cheng 1997, m/s, nominal diameter.
///
/// w = (nu/D) (sqrt(25 + 1.2 d*^2) - 5)^1.5
///
/// Source: Cheng 1997, J. Hydraul. Eng. 123:149 (from memory). Not the sphere law of Cheng 2009.
pub fn cheng_1997_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64) -> f64 {
    let d_star = grain_number(r, g_m_s2, d_m, nu_m2_s);
    let core = (25.0 + 1.2 * d_star * d_star).sqrt() - 5.0;
    nu_m2_s / d_m * core * core.sqrt()
}

/// Fall velocity by Rubey, m/s, sieve diameter; only for reproducing old tables.
///
/// w = F sqrt(R g D), F = sqrt(2/3 + k) - sqrt(k), k = 36 nu^2/(g D^3 R)
///
/// Source: Rubey 1933, Am. J. Sci. 25:325. F tends to 0.79 above 1 mm, where it is much too slow.
pub fn rubey_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64) -> f64 {
    let k = 36.0 * nu_m2_s * nu_m2_s / (g_m_s2 * d_m * d_m * d_m * r);
    ((2.0 / 3.0 + k).sqrt() - k.sqrt()) * (r * g_m_s2 * d_m).sqrt()
}

/// Corey shape factor below which Dietrich's law is refused [-]: its shape term is singular at 0.15, and at 0.2 it is
/// already 25 to 45 % below the other laws. Below 0.3 it deserves a warning.
pub const DIETRICH_LEAST_COREY: f64 = 0.2;

/// Largest D* of Dietrich's law [-].
// Source: Dietrich 1982.
pub const DIETRICH_LARGEST_D_STAR: f64 = 5e9;

/// Dimensionless fall velocity W* = w^3/(R g nu) of Dietrich from D* = R g dn^3/nu^2 [-].
///
/// x = log10 D*
/// R1 = -3.76715 + 1.92944 x - 0.09815 x^2 - 0.00575 x^3 + 0.00056 x^4
/// R2 = log10[1 - (1 - CSF)/0.85] - (1 - CSF)^2.3 tanh(x - 4.6) + 0.3 (0.5 - CSF)(1 - CSF)^2 (x - 4.6)
/// R3 = [0.65 - (CSF/2.83) tanh(x - 4.6)]^(1 + (3.5 - P)/2.5)
/// W* = R3 10^(R1 + R2); at D* <= 0.05 W* = 1.71e-4 D*^2
///
/// | symbol | meaning | range |
/// |---|---|---|
/// | D* | R g dn^3/nu^2 | up to 5e9 |
/// | CSF | Corey shape factor | 0.2 to 1; doubtful below 0.3 |
/// | P | Powers roundness; 6 perfectly round, 3.5 natural | 2 to 6 |
///
/// Source: Dietrich 1982, Water Resour. Res. 18:1615. About 10 % slow for spheres at Re 1 to 5. **Not for gold flakes.**
/// NaN below CSF 0.2 and above D* 5e9.
pub fn dietrich_w_star(d_star: f64, corey: f64, powers: f64) -> f64 {
    if !(corey >= DIETRICH_LEAST_COREY && d_star <= DIETRICH_LARGEST_D_STAR) {
        return f64::NAN;
    }
    if d_star <= 0.05 {
        return 1.71e-4 * d_star * d_star;
    }
    let x = math::log10(d_star);
    let flat = 1.0 - corey;
    let bend = math::tanh(x - 4.6);
    let r1 = -3.76715 + x * (1.92944 + x * (-0.09815 + x * (-0.00575 + x * 0.00056)));
    let r2 =
        math::log10(1.0 - flat / 0.85) - math::pow(flat, 2.3) * bend + 0.3 * (0.5 - corey) * flat * flat * (x - 4.6);
    let r3 = math::pow(0.65 - corey / 2.83 * bend, 1.0 + (3.5 - powers) / 2.5);
    r3 * math::pow(10.0, r1 + r2)
}

/// Fall velocity by Dietrich, m/s, nominal diameter: w = (W* R g nu)^(1/3). See [`dietrich_w_star`].
pub fn dietrich_m_s(r: f64, g_m_s2: f64, nominal_m: f64, nu_m2_s: f64, corey: f64, powers: f64) -> f64 {
    let d_star = r * g_m_s2 * nominal_m * nominal_m * nominal_m / (nu_m2_s * nu_m2_s);
    math::cbrt(dietrich_w_star(d_star, corey, powers) * r * g_m_s2 * nu_m2_s)
}

/// Fall velocity by the polynomial shortcut of Dietrich's law, m/s: **a sphere's**, though handed down for natural grains.
///
/// w/sqrt(R g D) = exp(-b1 + b2 L - b3 L^2 - b4 L^3 + b5 L^4), L = ln Re_p, Re_p = sqrt(R g D) D/nu
///
/// Source: after ASCE Manual 110 (Garcia 2008), where it is said to hold for natural grains. It is Dietrich's R1 alone, that
/// is CSF = 1 and P = 6, in other variables: with x = 2 L/ln 10 and (w/sqrt(R g D))^3 = W*/Re_p,
/// b1 = 3.76715 ln 10/3 = 2.8914, b2 = (2 * 1.92944 - 1)/3 = 0.95296, and so on. So it is 13 % faster than the full law for
/// CSF 0.7, P 3.5 at 0.1 mm quartz and 25 % at 1 mm.
pub fn dietrich_polynomial_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64) -> f64 {
    let scale = (r * g_m_s2 * d_m).sqrt();
    let l = math::ln(scale * d_m / nu_m2_s);
    let exponent = -2.891394 + l * (0.95296 + l * (-0.056835 + l * (-0.002892 + l * 0.000245)));
    scale * math::exp(exponent)
}

const POWERS: Symbol = input(
    "roundness",
    "Powers roundness: 6 perfectly round, 3.5 natural",
    Dimension::Number,
    "-",
    (0.0, 6.0),
    Some(3.5),
);
const DIETRICH_COREY: Symbol = COREY.valid((0.3, 1.0)).usual(0.7);
const C1: Symbol = input("c1", "small-grain constant C1", Dimension::Number, "-", (18.0, 24.0), Some(NATURAL_C1));
const C2: Symbol = input("c2", "large-grain constant C2", Dimension::Number, "-", (0.4, 1.2), Some(NATURAL_C2));

/// Inputs of the laws that know nothing of shape: size, density, fluid.
const PLAIN_SIEVE: &[Symbol] = &[SIEVE, SAND_DENSITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY];
const PLAIN_NOMINAL: &[Symbol] = &[NOMINAL, SAND_DENSITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY];

fn plain(x: &[f64], law: fn(f64, f64, f64, f64) -> f64) -> Vec<f64> {
    let f = surroundings(x, 2);
    vec![law(f.submerged(x[1]), f.g, x[0], f.nu)]
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "settling-natural-grain",
        "Fall velocity of a natural grain of gravel or sand (Ferguson-Church)",
        "w = R g D^2/(C1 nu + sqrt(0.75 C2 R g D^3))",
        |x| {
            let f = surroundings(x, 4);
            vec![ferguson_church_m_s(f.submerged(x[1]), f.g, x[0], f.nu, x[2], x[3])]
        },
    )
    .inputs(&[SIEVE, SAND_DENSITY, C1, C2, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
    .outputs(&[VELOCITY])
    .source("Ferguson and Church 2004, J. Sediment. Res. 74:933", Status::Seen)
    .limits("checked 0.07 to 4.4 mm; C1 20, C2 1.1 with the nominal diameter"),
    Formula::new(
        "settling-soulsby",
        "Fall velocity of natural sand, alone or in a crowd (Soulsby 1997)",
        "w = (nu/D) [sqrt(10.36^2 + 1.049 (1-C)^4.7 d*^3) - 10.36], d* = D (R g/nu^2)^(1/3)",
        |x| {
            let f = surroundings(x, 3);
            vec![soulsby_m_s(f.submerged(x[1]), f.g, x[0], f.nu, x[2])]
        },
    )
    .inputs(&[
        SIEVE,
        SAND_DENSITY,
        input("concentration", "share of grains by volume", Dimension::Fraction, "-", (0.0, 0.4), Some(0.0)),
        TEMPERATURE,
        FLUID_DENSITY,
        KINEMATIC_VISCOSITY,
        GRAVITY,
    ])
    .outputs(&[VELOCITY])
    .source("Soulsby 1997, Dynamics of Marine Sands", Status::Seen)
    .limits("the exponent 4.7 was not verified"),
    Formula::new(
        "settling-cheng-1997",
        "Fall velocity of natural sand (Cheng 1997), nominal diameter",
        "w = (nu/D) (sqrt(25 + 1.2 d*^2) - 5)^1.5",
        |x| plain(x, cheng_1997_m_s),
    )
    .inputs(PLAIN_NOMINAL)
    .outputs(&[VELOCITY])
    .source("Cheng 1997, J. Hydraul. Eng. 123:149", Status::Memory)
    .limits("needs the nominal diameter"),
    Formula::new(
        "settling-rubey",
        "Fall velocity of sand (Rubey 1933), for reproducing old tables",
        "w = F sqrt(R g D), F = sqrt(2/3 + k) - sqrt(k), k = 36 nu^2/(g D^3 R)",
        |x| plain(x, rubey_m_s),
    )
    .inputs(PLAIN_SIEVE)
    .outputs(&[VELOCITY])
    .source("Rubey 1933, Am. J. Sci. 25:325", Status::Seen)
    .limits("much too slow above 1 mm"),
    Formula::new(
        "settling-dietrich",
        "Fall velocity of a natural grain by size, shape and roundness (Dietrich 1982)",
        "w = (W* R g nu)^(1/3), W* = R3 10^(R1 + R2)",
        |x| {
            let f = surroundings(x, 4);
            vec![dietrich_m_s(f.submerged(x[1]), f.g, x[0], f.nu, x[2], x[3])]
        },
    )
    .inputs(&[NOMINAL, SAND_DENSITY, DIETRICH_COREY, POWERS, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
    .outputs(&[VELOCITY])
    .source("Dietrich 1982, Water Resour. Res. 18:1615", Status::Seen)
    .limits("not for flakes: refused below CSF 0.2; D* up to 5e9"),
    Formula::new(
        "settling-dietrich-dimensionless",
        "Dimensionless fall velocity of Dietrich from his dimensionless size",
        "W* = R3 10^(R1 + R2), D* = R g dn^3/nu^2, W* = w^3/(R g nu)",
        |x| vec![dietrich_w_star(x[0], x[1], x[2])],
    )
    .inputs(&[
        input("d_star", "dimensionless size D*", Dimension::Number, "-", (0.0, DIETRICH_LARGEST_D_STAR), None),
        DIETRICH_COREY,
        POWERS,
    ])
    .outputs(&[output("w_star", "dimensionless fall velocity W*", Dimension::Number, "-")])
    .source("Dietrich 1982, Water Resour. Res. 18:1615", Status::Seen)
    .limits("not for flakes: refused below CSF 0.2"),
    Formula::new(
        "settling-dietrich-polynomial",
        "Fall velocity by the polynomial shortcut of Dietrich's law; a sphere's curve",
        "w/sqrt(R g D) = exp(-2.891394 + 0.95296 L - 0.056835 L^2 - 0.002892 L^3 + \
    0.000245 L^4), L = ln(sqrt(R g D) D/nu)",
        |x| plain(x, dietrich_polynomial_m_s),
    )
    .inputs(PLAIN_NOMINAL)
    .outputs(&[VELOCITY])
    .source("after ASCE Manual 110", Status::Seen)
    .limits("13 to 25 % fast for natural grains of 0.1 to 1 mm"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::particle::entry::clean;
    use washgraph_units::constants::QUARTZ_KG_M3;

    #[test]
    fn identity_ferguson_church_ends_in_stokes_and_newton() {
        let small = ferguson_church_m_s(1.65, 9.81, 1e-6, 1e-6, 18.0, 1.0);
        assert!((small / super::super::terminal::stokes_m_s(1.65, 9.81, 1e-6, 1e-6) - 1.0).abs() < 1e-3);
        let large = ferguson_church_m_s(1.65, 9.81, 0.2, 1e-6, 18.0, 1.0);
        assert!((large / super::super::terminal::newton_m_s(1.65, 9.81, 0.2, 1.0) - 1.0).abs() < 1e-3);
    }

    #[test]
    fn property_dietrich_refuses_flakes_and_ignores_roundness_of_spheres() {
        assert!(dietrich_w_star(1e4, 0.19, 3.5).is_nan());
        assert!(dietrich_w_star(6e9, 0.7, 3.5).is_nan());
        // Perfectly round: the roundness term is 1 whatever the shape.
        assert!((dietrich_w_star(1e4, 1.0, 6.0) / math::pow(10.0, 2.15557) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn identity_polynomial_shortcut_is_the_curve_of_a_perfect_sphere() {
        for d_mm in [0.1, 0.3, 1.0, 5.0] {
            let sphere = dietrich_m_s(1.65, 9.81, d_mm * 1e-3, 1e-6, 1.0, 6.0);
            let short = dietrich_polynomial_m_s(1.65, 9.81, d_mm * 1e-3, 1e-6);
            assert!((short / sphere - 1.0).abs() < 1e-3, "{d_mm} {sphere} {short}");
        }
    }

    #[test]
    fn property_warmer_water_is_always_faster() {
        let mut last = 0.0;
        for t in 0..30 {
            let f = clean(f64::from(t));
            let w = ferguson_church_m_s(f.submerged(QUARTZ_KG_M3), f.g, 0.03, f.nu, 18.0, 1.0);
            assert!(w > last);
            last = w;
        }
    }
}
