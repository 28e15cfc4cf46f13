//! Spheres: shot, tracers, and the cap on the gold law.
//!
//! C_D is on the area pi d^2/4 and Re = w d/nu.

use super::entry::{
    DIAMETER, DRAG, FLUID_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, REYNOLDS, SAND_DENSITY, TEMPERATURE, VELOCITY, clean,
    row, surroundings,
};
use super::terminal::{FOLD_REYNOLDS, OPEN_REYNOLDS, solve_velocity_m_s};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math;

/// Drag of a sphere, the default law.
///
/// C_D = 24/Re (1 + 0.27 Re)^0.43 + 0.47 [1 - exp(-0.04 Re^0.38)]
///
/// Source: Cheng 2009, Powder Technol. 189:395. Re below 2e5; flat (0.47) beyond, where a real sphere's drag drops.
/// Lies within 2.5 % of the median of ten published laws. Not the sand law of Cheng 1997.
pub fn drag_cheng_2009(re: f64) -> f64 {
    24.0 / re * math::pow(1.0 + 0.27 * re, 0.43) - 0.47 * math::expm1(-0.04 * math::pow(re, 0.38))
}

/// Drag of a sphere, C_D = 24/Re (1 + 0.1806 Re^0.6459) + 0.4251/(1 + 6880.95/Re).
///
/// Source: Haider and Levenspiel 1989, Powder Technol. 58:63. Re below 2.6e5.
pub fn drag_haider_levenspiel_sphere(re: f64) -> f64 {
    24.0 / re * (1.0 + 0.1806 * math::pow(re, 0.6459)) + 0.4251 / (1.0 + 6880.95 / re)
}

/// Drag of a sphere, C_D = 24/Re (1 + 0.15 Re^0.687) + 0.42/(1 + 42500 Re^-1.16).
///
/// Source: Clift and Gauvin 1970 (from memory). Re below 3e5.
pub fn drag_clift_gauvin(re: f64) -> f64 {
    24.0 / re * (1.0 + 0.15 * math::pow(re, 0.687)) + 0.42 / (1.0 + 42500.0 * math::pow(re, -1.16))
}

/// Fall velocity of a sphere by Cheng 2009, exact, m/s. R submerged specific gravity, d diameter, nu kinematic viscosity.
pub fn cheng_2009_m_s(r: f64, g_m_s2: f64, d_m: f64, nu_m2_s: f64) -> f64 {
    solve_velocity_m_s(r, g_m_s2, d_m, nu_m2_s, drag_cheng_2009, OPEN_REYNOLDS)
}

const SPHERE_INPUTS: &[Symbol] = &[DIAMETER, SAND_DENSITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY];

fn falling(x: &[f64], drag: fn(f64) -> f64, re_max: f64) -> f64 {
    let f = surroundings(x, 2);
    solve_velocity_m_s(f.submerged(x[1]), f.g, x[0], f.nu, drag, re_max)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "drag-sphere-cheng",
        "Drag coefficient of a sphere, Cheng 2009",
        "C_D = 24/Re (1 + 0.27 Re)^0.43 + 0.47 [1 - exp(-0.04 Re^0.38)]",
        |x| vec![drag_cheng_2009(x[0])],
    )
    .inputs(&[REYNOLDS])
    .outputs(&[DRAG])
    .source("Cheng 2009, Powder Technol. 189:395", Status::Seen)
    .limits("Re < 2e5; flat beyond"),
    Formula::new(
        "settling-sphere-cheng",
        "Fall velocity of a sphere, Cheng 2009",
        "w^2 = 4 R g d/(3 C_D); C_D = 24/Re (1 + 0.27 Re)^0.43 + 0.47 [1 - exp(-0.04 Re^0.38)]",
        |x| vec![falling(x, drag_cheng_2009, OPEN_REYNOLDS)],
    )
    .inputs(SPHERE_INPUTS)
    .outputs(&[VELOCITY])
    .source("Cheng 2009, Powder Technol. 189:395", Status::Seen)
    .limits("Re < 2e5; flat beyond"),
    Formula::new(
        "drag-sphere-haider-levenspiel",
        "Drag coefficient of a sphere, Haider-Levenspiel 1989",
        "C_D = 24/Re (1 + 0.1806 Re^0.6459) + 0.4251/(1 + 6880.95/Re)",
        |x| vec![drag_haider_levenspiel_sphere(x[0])],
    )
    .inputs(&[REYNOLDS])
    .outputs(&[DRAG])
    .source("Haider and Levenspiel 1989, Powder Technol. 58:63", Status::Seen)
    .limits("Re < 2e5; no answer beyond"),
    Formula::new(
        "settling-sphere-haider-levenspiel",
        "Fall velocity of a sphere, Haider-Levenspiel 1989",
        "w^2 = 4 R g d/(3 C_D); C_D = 24/Re (1 + 0.1806 Re^0.6459) + 0.4251/(1 + 6880.95/Re)",
        |x| vec![falling(x, drag_haider_levenspiel_sphere, FOLD_REYNOLDS)],
    )
    .inputs(SPHERE_INPUTS)
    .outputs(&[VELOCITY])
    .source("Haider and Levenspiel 1989, Powder Technol. 58:63", Status::Seen)
    .limits("Re < 2e5; no answer beyond"),
    Formula::new(
        "drag-sphere-clift-gauvin",
        "Drag coefficient of a sphere, Clift-Gauvin 1970",
        "C_D = 24/Re (1 + 0.15 Re^0.687) + 0.42/(1 + 42500 Re^-1.16)",
        |x| vec![drag_clift_gauvin(x[0])],
    )
    .inputs(&[REYNOLDS])
    .outputs(&[DRAG])
    .source("Clift and Gauvin 1970", Status::Memory)
    .limits("Re < 2e5; no answer beyond"),
    Formula::new(
        "settling-sphere-clift-gauvin",
        "Fall velocity of a sphere, Clift-Gauvin 1970",
        "w^2 = 4 R g d/(3 C_D); C_D = 24/Re (1 + 0.15 Re^0.687) + 0.42/(1 + 42500 Re^-1.16)",
        |x| vec![falling(x, drag_clift_gauvin, FOLD_REYNOLDS)],
    )
    .inputs(SPHERE_INPUTS)
    .outputs(&[VELOCITY])
    .source("Clift and Gauvin 1970", Status::Memory)
    .limits("Re < 2e5; no answer beyond"),
];

/// Fall velocity of a sphere in clean water by Cheng 2009, m/s; size in mm.
fn in_water(rho_s: f64, d_mm: f64, t_c: f64) -> f64 {
    let f = clean(t_c);
    cheng_2009_m_s(f.submerged(rho_s), f.g, d_mm * 1e-3, f.nu)
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("sphere-cheng-gold-0p25mm-ten-laws", "Cheng 2009"),
        (Kind::Published, "median of ten published sphere laws, gold 17500 kg/m3, 20 °C, evaluated", Status::Computed),
        0.179,
        "m/s",
        Band::Relative(0.06),
        || in_water(17500.0, 0.25, 20.0),
    ),
    row(
        ("sphere-steel-ball-quarter-inch", "Cheng 2009"),
        (
            Kind::Published,
            "Richardson and Zaki 1954, steel ball 1/4 in, 7740 kg/m3, water at 20 °C, measured",
            Status::Seen,
        ),
        1.127,
        "m/s",
        Band::Relative(0.05),
        || in_water(7740.0, 6.35, 20.0),
    ),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;
    use washgraph_units::constants::QUARTZ_KG_M3;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("drag-sphere-haider-levenspiel-re-100", || drag_haider_levenspiel_sphere(100.0)),
        ("drag-sphere-cheng-re-100", || drag_cheng_2009(100.0)),
        ("sphere-cheng-quartz-0p063mm-20c", || in_water(QUARTZ_KG_M3, 0.063, 20.0)),
        ("sphere-cheng-quartz-0p15mm-20c", || in_water(QUARTZ_KG_M3, 0.15, 20.0)),
        ("sphere-cheng-quartz-0p25mm-20c", || in_water(QUARTZ_KG_M3, 0.25, 20.0)),
        ("sphere-cheng-quartz-0p25mm-5c", || in_water(QUARTZ_KG_M3, 0.25, 5.0)),
        ("sphere-cheng-quartz-0p5mm-20c", || in_water(QUARTZ_KG_M3, 0.5, 20.0)),
        ("sphere-cheng-quartz-2mm-20c", || in_water(QUARTZ_KG_M3, 2.0, 20.0)),
        ("sphere-cheng-quartz-2mm-5c", || in_water(QUARTZ_KG_M3, 2.0, 5.0)),
        ("sphere-cheng-quartz-8mm-20c", || in_water(QUARTZ_KG_M3, 8.0, 20.0)),
        ("sphere-cheng-quartz-8mm-5c", || in_water(QUARTZ_KG_M3, 8.0, 5.0)),
        ("sphere-cheng-magnetite-0p063mm-20c", || in_water(5180.0, 0.063, 20.0)),
        ("sphere-cheng-magnetite-0p5mm-20c", || in_water(5180.0, 0.5, 20.0)),
        ("sphere-cheng-magnetite-8mm-20c", || in_water(5180.0, 8.0, 20.0)),
        ("sphere-cheng-magnetite-8mm-5c", || in_water(5180.0, 8.0, 5.0)),
        ("sphere-cheng-gold-17500-0p03mm-20c", || in_water(17500.0, 0.03, 20.0)),
        ("sphere-cheng-gold-17500-0p03mm-5c", || in_water(17500.0, 0.03, 5.0)),
        ("sphere-cheng-gold-17500-0p1mm-20c", || in_water(17500.0, 0.1, 20.0)),
        ("sphere-cheng-gold-17500-0p25mm-20c", || in_water(17500.0, 0.25, 20.0)),
        ("sphere-cheng-gold-17500-0p25mm-5c", || in_water(17500.0, 0.25, 5.0)),
        ("sphere-cheng-gold-17500-2mm-20c", || in_water(17500.0, 2.0, 20.0)),
        ("sphere-cheng-gold-17500-2mm-5c", || in_water(17500.0, 2.0, 5.0)),
        ("sphere-cheng-gold-19300-0p25mm-20c", || in_water(19300.0, 0.25, 20.0)),
        ("sphere-cheng-gold-19300-0p25mm-5c", || in_water(19300.0, 0.25, 5.0)),
        ("sphere-cheng-gold-19300-2mm-20c", || in_water(19300.0, 2.0, 20.0)),
        ("sphere-cheng-gold-19300-2mm-5c", || in_water(19300.0, 2.0, 5.0)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::particle::terminal::stokes_m_s;
    use washgraph_units::constants::QUARTZ_KG_M3;

    #[test]
    fn identity_small_spheres_obey_stokes() {
        for drag in [drag_cheng_2009, drag_haider_levenspiel_sphere, drag_clift_gauvin] {
            let w = solve_velocity_m_s(1.65, 9.81, 2e-6, 1e-6, drag, FOLD_REYNOLDS);
            assert!((w / stokes_m_s(1.65, 9.81, 2e-6, 1e-6) - 1.0).abs() < 3e-3);
        }
    }

    #[test]
    fn property_warmer_water_is_faster_only_below_re_4000() {
        for d_mm in [0.05, 0.2, 1.0, 3.0] {
            assert!(in_water(QUARTZ_KG_M3, d_mm, 20.0) > in_water(QUARTZ_KG_M3, d_mm, 2.0));
        }
        let (cold, warm) = (in_water(QUARTZ_KG_M3, 16.0, 0.0), in_water(QUARTZ_KG_M3, 16.0, 20.0));
        assert!(warm < cold && warm > 0.97 * cold);
    }
}
