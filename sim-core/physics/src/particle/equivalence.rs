//! Hydraulic equivalence: the quartz that falls as fast as a grain of gold.
//!
//! It breaks down once grains lie on a bed, where small heavies hide between big lights (Slingerland 1977, from memory).

use super::entry::{input, output, row};
use super::natural_grain::{NATURAL_C1, NATURAL_C2, ferguson_church_m_s};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::quantity::Dimension;

/// Quartz over gold diameter at equal velocity in Stokes fall, sqrt(R_gold/R_quartz) [-]. Follows from Stokes' law.
pub fn ratio_slow(rho_gold_kg_m3: f64, rho_quartz_kg_m3: f64, rho_kg_m3: f64) -> f64 {
    ratio_fast(rho_gold_kg_m3, rho_quartz_kg_m3, rho_kg_m3).sqrt()
}

/// Quartz over gold diameter at equal velocity in fast fall with equal drag, R_gold/R_quartz [-]. Follows from Newton's law.
pub fn ratio_fast(rho_gold_kg_m3: f64, rho_quartz_kg_m3: f64, rho_kg_m3: f64) -> f64 {
    (rho_gold_kg_m3 - rho_kg_m3) / (rho_quartz_kg_m3 - rho_kg_m3)
}

/// Sieve size of the natural grain that falls at a velocity by Ferguson-Church (18/1.0), m, by bisection from 1 um to 10 m.
///
/// NaN when the velocity is not within that range.
pub fn natural_size_m(w_m_s: f64, r: f64, g_m_s2: f64, nu_m2_s: f64) -> f64 {
    let speed = |d_m| ferguson_church_m_s(r, g_m_s2, d_m, nu_m2_s, NATURAL_C1, NATURAL_C2);
    let (mut lo, mut hi) = (1e-6_f64, 10.0_f64);
    if !(w_m_s >= speed(lo) && w_m_s <= speed(hi)) {
        return f64::NAN;
    }
    for _ in 0..60 {
        let middle = (lo * hi).sqrt();
        if speed(middle) < w_m_s {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    (lo * hi).sqrt()
}

const GOLD: Symbol =
    input("gold_density", "density of the gold", Dimension::Density, "kg/m3", (2000.0, 23000.0), Some(17000.0));
const QUARTZ: Symbol = input(
    "quartz_density",
    "density of the light grain",
    Dimension::Density,
    "kg/m3",
    (1500.0, 6000.0),
    Some(QUARTZ_KG_M3),
);
const FLUID: Symbol =
    input("fluid_density", "density of the water", Dimension::Density, "kg/m3", (900.0, 2000.0), Some(1000.0));
const SIZE_RATIO: Symbol = output("ratio", "quartz over gold diameter", Dimension::Number, "-");

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "equivalence-ratio-slow",
        "Quartz over gold diameter at equal fall velocity, small grains",
        "sqrt(R_gold/R_quartz)",
        |x| vec![ratio_slow(x[0], x[1], x[2])],
    )
    .inputs(&[GOLD, QUARTZ, FLUID])
    .outputs(&[SIZE_RATIO])
    .source("Stokes' law", Status::Computed)
    .limits("equal shapes"),
    Formula::new(
        "equivalence-ratio-fast",
        "Quartz over gold diameter at equal fall velocity, large grains",
        "R_gold/R_quartz",
        |x| vec![ratio_fast(x[0], x[1], x[2])],
    )
    .inputs(&[GOLD, QUARTZ, FLUID])
    .outputs(&[SIZE_RATIO])
    .source("Newton's law", Status::Computed)
    .limits("equal shapes"),
    Formula::new(
        "equivalence-natural-size",
        "Sieve size of the natural grain that falls at a given velocity",
        "Ferguson-Church 18/1.0 solved for D",
        |x| {
            let f = super::entry::surroundings(x, 2);
            vec![natural_size_m(x[0], f.submerged(x[1]), f.g, f.nu)]
        },
    )
    .inputs(&[
        input("velocity", "fall velocity", Dimension::Velocity, "m/s", (1e-6, 5.0), None),
        super::entry::SAND_DENSITY,
        super::entry::TEMPERATURE,
        super::entry::FLUID_DENSITY,
        super::entry::KINEMATIC_VISCOSITY,
        super::entry::GRAVITY,
    ])
    .outputs(&[output("sieve_size", "sieve size", Dimension::SieveSize, "mm")])
    .source("Ferguson and Church 2004, J. Sediment. Res. 74:933", Status::Seen),
];

const RATIO_OF_LIMITS: (Kind, &str, Status) = (Kind::Identity, "Stokes' and Newton's laws", Status::Computed);

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(("equivalence-slow-19300", "Stokes limit"), RATIO_OF_LIMITS, 3.33, "-", Band::Absolute(0.01), || {
        ratio_slow(19300.0, 2650.0, 1000.0)
    }),
    row(("equivalence-fast-19300", "Newton limit"), RATIO_OF_LIMITS, 11.1, "-", Band::Absolute(0.05), || {
        ratio_fast(19300.0, 2650.0, 1000.0)
    }),
    row(("equivalence-slow-17500", "Stokes limit"), RATIO_OF_LIMITS, 3.16, "-", Band::Absolute(0.01), || {
        ratio_slow(17500.0, 2650.0, 1000.0)
    }),
    row(("equivalence-fast-17500", "Newton limit"), RATIO_OF_LIMITS, 10.0, "-", Band::Absolute(0.05), || {
        ratio_fast(17500.0, 2650.0, 1000.0)
    }),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::flake::bagheri_m_s;
    use super::super::flake::bagheri_shape;
    use super::super::sphere::drag_haider_levenspiel_sphere;
    use super::super::terminal::FOLD_REYNOLDS;
    use super::super::terminal::solve_velocity_m_s;
    use super::*;
    use crate::particle::entry::clean;
    use washgraph_units::constants::QUARTZ_KG_M3;

    /// Quartz (sieve) over gold (nominal) size at equal velocity, 15 °C, gold 17500 kg/m3; the gold's size in mm.
    fn quartz_over_gold(dn_mm: f64, corey: Option<f64>) -> f64 {
        let f = clean(15.0);
        let dn_m = dn_mm * 1e-3;
        let r = f.submerged(17500.0);
        let w = match corey {
            None => solve_velocity_m_s(r, f.g, dn_m, f.nu, drag_haider_levenspiel_sphere, FOLD_REYNOLDS),
            Some(corey) => {
                let flat = crate::particle::shape::flatness(corey, 0.75);
                bagheri_m_s(r, f.g, dn_m, f.nu, bagheri_shape(flat, 0.75, 1.0, 17500.0 / f.rho))
            }
        };
        natural_size_m(w, f.submerged(QUARTZ_KG_M3), f.g, f.nu) / dn_m
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("equivalence-sphere-0p1mm", || quartz_over_gold(0.1, None)),
        ("equivalence-sphere-2mm", || quartz_over_gold(2.0, None)),
        ("equivalence-csf-0p5-0p5mm", || quartz_over_gold(0.5, Some(0.5))),
        ("equivalence-csf-0p2-1mm", || quartz_over_gold(1.0, Some(0.2))),
        ("equivalence-csf-0p1-0p05mm", || quartz_over_gold(0.05, Some(0.1))),
    ];
}
