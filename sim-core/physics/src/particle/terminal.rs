//! From drag to fall velocity: the two limits, and the exact solution that the tables are tested against.
//!
//! A grain falls steadily when weight under water equals drag. With the drag coefficient C_D on the area pi D^2/4,
//! w^2 = 4 R g D/(3 C_D), which with Re = w D/nu reads
//!
//! Re^2 C_D(Re) = Q,   Q = (4/3) R g D^3/nu^2
//!
//! The right side holds only what is known beforehand: that is why one table of Re against Q serves every grain.

use super::entry::{
    DIAMETER, FLUID_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, SAND_DENSITY, TEMPERATURE, VELOCITY, input, row,
    surroundings,
};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::{Formula, Together};
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Stokes velocity of a small sphere, w = R g d^2/(18 nu), m/s.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | R | submerged specific gravity | - | > 0 |
/// | g | gravity | m/s2 | |
/// | d | diameter | m | Re < 0.1 |
/// | nu | kinematic viscosity | m2/s | > 0 |
///
/// Source: Stokes 1851. Beyond Re 0.1 it is too fast: about 5 % at Re 0.3.
pub fn stokes_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64) -> f64 {
    r * g_m_s2 * d_m * d_m / (18.0 * nu_m2_s)
}

/// Velocity at a constant drag coefficient, w = sqrt(4 R g d/(3 C_D)), m/s.
///
/// C_D about 0.44 for a sphere at Re 1e3 to 1e5, 1.0 for a natural grain, 1.17 for a broadside disc on the disc's area.
/// Source: Newton's law of drag; any textbook.
pub fn newton_m_s(r: f64, g_m_s2: f64, d_m: f64, drag_coefficient: f64) -> f64 {
    (4.0 * r * g_m_s2 * d_m / (3.0 * drag_coefficient)).sqrt()
}

/// Driving group Q = (4/3) R g D^3/nu^2 = Re^2 C_D [-]; see the head of this file. Derived.
pub fn driving_group(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64) -> f64 {
    4.0 / 3.0 * r * g_m_s2 * d_m * d_m * d_m / (nu_m2_s * nu_m2_s)
}

/// Largest Reynolds number up to which drag laws with a fold or overflow beyond are solved [-].
pub const FOLD_REYNOLDS: f64 = 2e5;

/// Largest Reynolds number for the laws that stay flat and safe (Cheng 2009, Bagheri-Bonadonna) [-].
pub const OPEN_REYNOLDS: f64 = 1e10;

/// Reynolds number at which Re^2 C_D(Re) = Q, by bisection on ln Re up to `re_max`.
///
/// NaN when Q is not positive or the root lies beyond `re_max`. Exact to rounding; slow, for checks, the handbook and
/// the making of tables.
pub fn solve_reynolds(q: f64, drag: impl Fn(f64) -> f64, re_max: f64) -> f64 {
    let weight_exceeds_drag = |ln_re: f64| {
        let re = math::exp(ln_re);
        re * re * drag(re) < q
    };
    let (mut lo, mut hi) = (math::ln(1e-15), math::ln(re_max));
    if !weight_exceeds_drag(lo) || weight_exceeds_drag(hi) {
        return f64::NAN;
    }
    for _ in 0..64 {
        let middle = 0.5 * (lo + hi);
        if weight_exceeds_drag(middle) {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    math::exp(0.5 * (lo + hi))
}

/// Fall velocity under a drag law on the diameter D, m/s, by [`solve_reynolds`].
pub fn solve_velocity_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64, drag: impl Fn(f64) -> f64, re_max: f64) -> f64 {
    let q = driving_group(r, g_m_s2, d_m, nu_m2_s);
    solve_reynolds(q, drag, re_max) * nu_m2_s / d_m
}

/// Stokes' law holds while the water creeps round the grain. Above Re 0.3 its error is over 5 %, at Re 10 the drag is more than
/// half again as large (Clift, Grace and Weber's standard curve, from memory), and the answer means nothing.
fn judge_stokes(x: &[f64], outputs: &[f64]) -> Together {
    let (Some(w), Some(d)) = (outputs.first(), x.first()) else { return Together::Fits };
    let reynolds = w.abs() * d / surroundings(x, 2).nu;
    let words =
        || format!("Stokes' law is for Re below 0.1, here Re would be {reynolds:.2e}; take settling-natural-grain");
    match reynolds {
        re if re > 10.0 => Together::Impossible(words()),
        re if re > 0.3 => Together::Strained(words()),
        _ => Together::Fits,
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new("settling-stokes", "Fall velocity of a small sphere (Stokes)", "w = R g d^2/(18 nu)", |x| {
        let f = surroundings(x, 2);
        vec![stokes_m_s(f.submerged(x[1]), f.g, x[0], f.nu)]
    })
    .inputs(&[DIAMETER, SAND_DENSITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
    .outputs(&[VELOCITY])
    .source("Stokes 1851", Status::Memory)
    .limits("Re < 0.1; about 5 % too fast at Re 0.3")
    .together(judge_stokes),
    Formula::new("settling-newton", "Fall velocity at a constant drag coefficient", "w = sqrt(4 R g d/(3 C_D))", |x| {
        let f = surroundings(x, 3);
        vec![newton_m_s(f.submerged(x[1]), f.g, x[0], x[2])]
    })
    .inputs(&[
        DIAMETER,
        SAND_DENSITY,
        input(
            "drag_coefficient",
            "drag coefficient: sphere 0.44, natural grain 1.0, broadside disc 1.17 on its area",
            Dimension::Number,
            "-",
            (0.05, 100.0),
            Some(0.44),
        ),
        TEMPERATURE,
        FLUID_DENSITY,
        KINEMATIC_VISCOSITY,
        GRAVITY,
    ])
    .outputs(&[VELOCITY])
    .source("Newton's law of drag", Status::Memory)
    .limits("coarse grains, Re above about 1000"),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[row(
    ("settling-solver-stokes-drag", "exact solution of C_D = 24/Re"),
    (Kind::Identity, "C_D = 24/Re is Stokes' law", Status::Computed),
    1.0,
    "-",
    Band::Relative(1e-12),
    || {
        let w = solve_velocity_m_s(1.65, 9.81, 5e-5, 1e-6, |re| 24.0 / re, FOLD_REYNOLDS);
        w / stokes_m_s(1.65, 9.81, 5e-5, 1e-6)
    },
)];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_constant_drag_is_newton_and_no_root_is_nan() {
        let w = solve_velocity_m_s(1.65, 9.81, 0.01, 1e-6, |_| 0.44, FOLD_REYNOLDS);
        assert!((w / newton_m_s(1.65, 9.81, 0.01, 0.44) - 1.0).abs() < 1e-12);
        assert!(solve_reynolds(1e30, |_| 0.44, FOLD_REYNOLDS).is_nan());
        assert!(solve_reynolds(-1.0, |_| 0.44, FOLD_REYNOLDS).is_nan());
        assert!(solve_reynolds(f64::NAN, |_| 0.44, FOLD_REYNOLDS).is_nan());
    }
}
