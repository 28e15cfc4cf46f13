//! Gy's fundamental sampling error, for when only a top size is known.

use super::normal::Z_975;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{Evidence, POSITIVE, input, number, output, result, row, share};
use washgraph_units::quantity::Dimension;

/// Composition factor, kg/m3: m_c = ((1-a)/a) ((1-a) rho_mineral + a rho_gangue).
///
/// a = mass share of the valuable MINERAL (not of the metal), in (0, 1). For gold in parts per million it is rho_gold/a.
/// Source: Gy 1979 (from memory).
pub fn composition_factor(mineral_share: f64, mineral_kg_m3: f64, gangue_kg_m3: f64) -> f64 {
    let a = mineral_share;
    (1.0 - a) / a * ((1.0 - a) * mineral_kg_m3 + a * gangue_kg_m3)
}

/// Liberation factor: l = min(1, sqrt(L/d)); L = liberation size, d = top size, both m. Source: Gy (lecture hand-out).
pub fn liberation_factor(liberation_m: f64, top_m: f64) -> f64 {
    (liberation_m / top_m).sqrt().min(1.0)
}

/// Size-range factor g from d95/d5: 0.25 above 4, 0.5 from 2 to 4, 0.75 from above 1 to 2, 1 for a single size.
///
/// Source: Gy (lecture hand-out).
pub fn size_range_factor(d95_over_d5: f64) -> f64 {
    if d95_over_d5 > 4.0 {
        0.25
    } else if d95_over_d5 >= 2.0 {
        0.5
    } else if d95_over_d5 > 1.0 {
        0.75
    } else {
        1.0
    }
}

/// Sampling constant of Gy's formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gy {
    /// Shape factor f: 0.5 ordinary, 0.2 flat, pi/6 spheres.
    pub shape: f64,
    /// Size-range factor g, see [`size_range_factor`].
    pub size_range: f64,
    /// Liberation factor l, see [`liberation_factor`].
    pub liberation: f64,
    /// Composition factor m_c, kg/m3, see [`composition_factor`].
    pub composition_kg_m3: f64,
    /// Top size d, m; for placer gold the top size of the GOLD.
    pub top_m: f64,
}

impl Gy {
    /// f g l m_c d^3, kg: relative variance times sample mass.
    pub fn variance_mass_kg(&self) -> f64 {
        self.shape * self.size_range * self.liberation * self.composition_kg_m3 * self.top_m * self.top_m * self.top_m
    }

    /// Relative standard deviation of the grade: s^2 = f g l m_c d^3 (1/M_s - 1/M_L).
    ///
    /// M_s = sample mass, M_L = mass of the lot (infinite for ground), kg, M_s <= M_L. Source: Gy 1979 as given in a lecture
    /// hand-out. A crude stand-in for m_w/G when the size curve is known. NaN when the sample exceeds the lot.
    pub fn relative_sd(&self, sample_kg: f64, lot_kg: f64) -> f64 {
        (self.variance_mass_kg() * (1.0 / sample_kg - 1.0 / lot_kg)).sqrt()
    }

    /// Sample mass for a relative standard deviation, kg, from a lot without end.
    pub fn sample_for_kg(&self, relative_sd: f64) -> f64 {
        self.variance_mass_kg() / (relative_sd * relative_sd)
    }
}

/// Gy's formula for loose placer gold: f 0.2, g 0.25, l 1, m_c = rho_gold/grade (constants from memory).
pub fn placer_gold(gold_top_m: f64, grade_kg_kg: f64, gold_kg_m3: f64) -> Gy {
    Gy { shape: 0.2, size_range: 0.25, liberation: 1.0, composition_kg_m3: gold_kg_m3 / grade_kg_kg, top_m: gold_top_m }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "gy-sampling-error",
        "Fundamental error of a sample of broken ore, from its top size",
        "s^2 = f g l m_c d^3 (1/M_s - 1/M_L); m_c = ((1-a)/a)((1-a) rho_m + a rho_g); l = min(1, sqrt(L/d))",
        |x| {
            let gy = Gy {
                shape: x[6],
                size_range: x[7],
                liberation: liberation_factor(x[3], x[0]),
                composition_kg_m3: composition_factor(x[1], x[4], x[5]),
                top_m: x[0],
            };
            vec![gy.relative_sd(x[2], f64::INFINITY), x[9] * gy.sample_for_kg(x[8])]
        },
    )
    .inputs(&[
        input("top_size", "size that 95 % passes", Dimension::SieveSize, "mm", POSITIVE, None),
        share("mineral_share", "mass share of the mineral (not of the metal)", None),
        input("sample", "sample mass", Dimension::Mass, "kg", POSITIVE, None),
        input("liberation_size", "size at which the mineral comes free", Dimension::SieveSize, "mm", POSITIVE, None),
        input("mineral_density", "density of the mineral", Dimension::Density, "g/cm3", POSITIVE, None),
        input("gangue_density", "density of the rest", Dimension::Density, "g/cm3", POSITIVE, Some(QUARTZ_KG_M3)),
        number("shape", "f: 0.5 ordinary, 0.2 flat", (0.0, 1.0), Some(0.5)),
        number("size_range", "g: 0.25 wide, 0.5 medium, 0.75 narrow, 1 single size", (0.0, 1.0), Some(0.25))
            .possible((0.0, 1.0)),
        input(
            "wanted_relative_sd",
            "relative standard deviation wanted",
            Dimension::Fraction,
            "-",
            (0.0, 10.0),
            Some(0.1),
        ),
        number("factor", "sampling stages of equal variance times safety factor", (1.0, 1e3), Some(1.0)),
    ])
    .outputs(&[
        result("relative_sd", "relative standard deviation of the grade"),
        output("sample_needed", "sample for the wanted error", Dimension::Mass, "kg"),
    ])
    .source("Gy 1979, as given in a lecture hand-out and in Wills", Status::Seen)
    .limits("the lot is taken as endless; segregation and handling come on top"),
    Formula::new(
        "gy-placer-gold",
        "Fundamental error of a sample of placer ground, from the top size of its gold",
        "s^2 = 0.2 x 0.25 x (rho_gold/grade) d^3/M; M = f g m_c d^3/s^2",
        |x| {
            let gy = placer_gold(x[0], x[1], x[3]);
            vec![gy.relative_sd(x[2], f64::INFINITY), gy.sample_for_kg(x[4])]
        },
    )
    .inputs(&[
        input("gold_top_size", "size that 95 % of the gold is finer than", Dimension::SieveSize, "mm", POSITIVE, None),
        input("grade", "gold per mass of ground", Dimension::Fraction, "ppm", POSITIVE, None),
        input("sample", "sample mass", Dimension::Mass, "kg", POSITIVE, None),
        input("density", "density of the gold", Dimension::Density, "g/cm3", POSITIVE, Some(17_000.0)),
        input(
            "wanted_relative_sd",
            "relative standard deviation wanted",
            Dimension::Fraction,
            "-",
            (0.0, 10.0),
            Some(0.15),
        ),
    ])
    .outputs(&[
        result("relative_sd", "relative standard deviation of the grade"),
        output("sample_needed", "sample for the wanted error", Dimension::Mass, "kg"),
    ])
    .source("Gy 1979 with the constants for alluvial gold", Status::Memory)
    .limits("crude beside gold-sampling-error, which knows the size curve"),
];

/// Sample mass of the worked example in Wills' Mineral Processing Technology, kg, at a top size in m.
///
/// Metal 5 %, mineral 86.6 % metal, relative error 2 % at 95 %, liberation size 0.015 cm, densities 7.5 and 2.65, d95/d5 = 5,
/// four stages of equal variance, safety factor 2.
fn wills_example_kg(top_m: f64) -> f64 {
    let gy = Gy {
        shape: 0.5,
        size_range: size_range_factor(5.0),
        liberation: liberation_factor(0.015e-2, top_m),
        composition_kg_m3: composition_factor(0.05 / 0.866, 7500.0, 2650.0),
        top_m,
    };
    2.0 * 4.0 * gy.sample_for_kg(0.02 / Z_975)
}

/// The case in which Gy's formula and the Poisson count must agree: spheres of one size, f = pi/6, g = 1.
fn one_size_spheres() -> Gy {
    Gy {
        shape: std::f64::consts::PI / 6.0,
        size_range: 1.0,
        liberation: 1.0,
        composition_kg_m3: 17_500.0 / 0.5e-6,
        top_m: 0.5e-3,
    }
}

const WILLS: Evidence = (
    Kind::Published,
    "Wills, Mineral Processing Technology, worked example: 0.07 g at 0.004 cm; band: half a digit",
    Status::Seen,
);

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row("gy-wills-0p004cm", "Gy's fundamental error", WILLS, (0.07, "g"), Band::Absolute(0.005), || {
        wills_example_kg(0.004e-2) * 1e3
    }),
    row(
        "gy-equals-poisson",
        "Gy's fundamental error",
        (
            Kind::Identity,
            "spheres of one size: relative SD = 1/sqrt(number), 0.5 ppm of 0.5 mm in 100 kg",
            Status::Computed,
        ),
        (0.151_352, "-"),
        Band::Absolute(1e-6),
        || one_size_spheres().relative_sd(100.0, f64::INFINITY),
    ),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("gy-wills-2p5cm", || wills_example_kg(2.5e-2) * 1e3),
        ("gy-placer-gold-1mm-10kg", || placer_gold(1e-3, 0.5e-6, 17_500.0).relative_sd(10.0, f64::INFINITY)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::counts::poisson_relative_sd;
    use crate::grain_mass::sphere_kg;

    #[test]
    fn identity_one_size_spheres_are_poisson() {
        let n = 0.5e-6 * 100.0 / sphere_kg(0.5e-3, 17_500.0);
        let gy = one_size_spheres().relative_sd(100.0, f64::INFINITY);
        assert!((gy / poisson_relative_sd(n) - 1.0).abs() < 1e-12);
        assert_eq!(one_size_spheres().relative_sd(5.0, 5.0), 0.0);
    }
}
