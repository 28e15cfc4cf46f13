//! Screen sizing rules from the literature: cross-checks; the march does not use them.

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::constants::{STANDARD_GRAVITY_M_S2, T_H_KG_S};
use sim_core::formula::Formula;
use sim_core::math::{exp, ln, pow};
use sim_core::quantity::Dimension;

use sim_core::formula::symbol::{input, input_or, output};

/// Square openings, mm, and basic capacities, t/h per m2 at 1.6 t/m3, of the area-factor method (seen).
const BASIC_CAPACITY: [(f64, f64); 4] = [(5.0, 9.0), (10.0, 16.0), (20.0, 25.0), (40.0, 38.0)];

/// Most that a hole lets through when grains crowd over it, W = 0.58 rho_b sqrt(g) (a - 1.4 d)^2.5, kg/s per hole.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | rho_b | bulk density | kg/m3 | 1300 to 2000 |
/// | a | round hole | m | > 1.4 d |
/// | d | mean grain size of what passes | m | > 0 |
///
/// Source: Beverloo 1961, from memory. 0 when a < 1.4 d. For 12.7 mm holes and 3 mm grains about 62 kg/s per m2 of plate:
/// never the limit in a placer drum.
pub fn beverloo_kg_s(bulk_density_kg_m3: f64, hole_m: f64, grain_m: f64) -> f64 {
    let free = (hole_m - 1.4 * grain_m).max(0.0);
    0.58 * bulk_density_kg_m3 * STANDARD_GRAVITY_M_S2.sqrt() * free * free * free.sqrt()
}

/// Basic capacity of a vibrating screen, kg/s per m2, by square opening (m): 5/10/20/40 mm, 9/16/25/38 t/h m2.
///
/// Source: area-factor method (seen); straight lines in logarithms between the points, and beyond them with the end slopes.
pub fn basic_capacity_kg_s_m2(opening_m: f64) -> f64 {
    let x = ln(1000.0 * opening_m);
    let mut pair = (BASIC_CAPACITY[0], BASIC_CAPACITY[1]);
    for two in BASIC_CAPACITY.windows(2) {
        if let [a, b] = two
            && x >= ln(a.0)
        {
            pair = (*a, *b);
        }
    }
    let ((d0, q0), (d1, q1)) = pair;
    q0 * exp(ln(q1 / q0) * (x - ln(d0)) / ln(d1 / d0)) * T_H_KG_S
}

/// Area of a vibrating screen, undersize in the feed over (basic capacity x factors), m2.
///
/// | factor | range |
/// |---|---|
/// | oversize | 0.8-1.2 (0.33-1.21 elsewhere) |
/// | half-size | 0.7-1.8 (0.40-2.40) |
/// | deck | 0.8-1.0 |
/// | wet | 1.0-1.25 |
///
/// Source: area-factor method (seen). The bed at the discharge should not exceed four openings (from memory).
pub fn screen_area_m2(undersize_kg_s: f64, opening_m: f64, factors: f64) -> f64 {
    undersize_kg_s / (basic_capacity_kg_s_m2(opening_m) * factors)
}

/// Feed that a trommel of given size can take, 0.12 to 0.81 t/(h m2 mm) times whole cylinder area times hole; kg/s.
///
/// Source: Brown 1950, from memory; returns lower and upper bound.
pub fn trommel_capacity_kg_s(cylinder_m2: f64, hole_m: f64) -> (f64, f64) {
    let unit = cylinder_m2 * 1000.0 * hole_m * T_H_KG_S;
    (0.12 * unit, 0.81 * unit)
}

/// What Karra's method needs to know.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KarraCase {
    /// Effective throughfall opening h_T, m (below 51 mm).
    pub opening_m: f64,
    /// Oversize in the feed, share.
    pub oversize: f64,
    /// Finer than half of the opening in the feed, share.
    pub half_size: f64,
    /// Between 0.75 and 1.25 of the opening in the feed, share.
    pub near_mesh: f64,
    /// Undersize load per screen area, kg/s per m2.
    pub load_kg_s_m2: f64,
    /// Product of deck, wet and density factors (their formulas were not recovered); 1 if unknown.
    pub other_factors: f64,
}

/// Cut size of a vibrating screen, d50 = h_T G K^-0.148, m.
///
/// A = 12.13 h_T^0.3162 - 10.30 (t/h m2, h_T mm); B = 1.6 - 0.012 Q; C = 0.012 R + 0.7 (R <= 30), 0.1528 R^0.564 (to 55),
/// 0.0061 R^1.37 (to 80), 0.05 R - 1.5 (above); G = 0.975 (1 - X_n)^0.511; K = load/(A B C D E F). Q, R in percent.
/// Source: Karra 1979, from memory. For comparing the shape of partition curves only.
pub fn karra_cut_m(case: KarraCase) -> f64 {
    let (q, r) = (100.0 * case.oversize, 100.0 * case.half_size);
    let a = 12.13 * pow(1000.0 * case.opening_m, 0.3162) - 10.30;
    let b = 1.6 - 0.012 * q;
    let c = if r <= 30.0 {
        0.012 * r + 0.7
    } else if r <= 55.0 {
        0.1528 * pow(r, 0.564)
    } else if r <= 80.0 {
        0.0061 * pow(r, 1.37)
    } else {
        0.05 * r - 1.5
    };
    let g = 0.975 * pow(1.0 - case.near_mesh, 0.511);
    let k = case.load_kg_s_m2 / T_H_KG_S / (a * b * c * case.other_factors);
    case.opening_m * g * pow(k, -0.148)
}

/// Share of a size that stays on the screen, Y = 1 - exp(-0.693 (d/d50)^5.846).
///
/// Source: Karra 1979, from memory.
pub fn karra_partition(grain_m: f64, cut_m: f64) -> f64 {
    1.0 - exp(-0.693 * pow(grain_m / cut_m, 5.846))
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "hole-flow-limit",
        "Most that a hole lets through when grains crowd over it.",
        "W = 0.58 rho_b sqrt(g) (a - 1.4 d)^2.5",
        |x| vec![beverloo_kg_s(x[0], x[1], x[2])],
    )
    .inputs(&[
        input_or("bulk_density", "bulk density", Dimension::Density, "kg/m3", (1000.0, 2500.0), 1600.0),
        input("hole", "diameter of the hole", Dimension::Length, "mm", (1e-4, 0.3)),
        input("grain", "mean size of what passes", Dimension::SieveSize, "mm", (1e-5, 0.1)),
    ])
    .outputs(&[output("flow", "flow through one hole", Dimension::MassRate, "kg/s")])
    .source("Beverloo 1961", Status::Memory)
    .limits("0 when the hole is smaller than 1.4 grains"),
    Formula::new(
        "vibrating-screen-area",
        "Area of a vibrating screen by the area-factor method.",
        "area = undersize/(basic capacity x factors); basic 9/16/25/38 t/h m2 at 5/10/20/40 mm square",
        |x| vec![screen_area_m2(x[0], x[1], x[2] * x[3] * x[4] * x[5])],
    )
    .inputs(&[
        input("undersize", "undersize in the feed", Dimension::MassRate, "t/h", (0.0, 1e3)),
        input("opening", "square opening", Dimension::Length, "mm", (0.002, 0.1)),
        input_or("oversize_factor", "factor by oversize share", Dimension::Number, "-", (0.33, 1.21), 1.0),
        input_or("half_size_factor", "factor by half-size share", Dimension::Number, "-", (0.40, 2.40), 1.0),
        input_or("deck_factor", "factor by deck", Dimension::Number, "-", (0.8, 1.0), 1.0),
        input_or("wet_factor", "factor of wet screening", Dimension::Number, "-", (1.0, 1.25), 1.0),
    ])
    .outputs(&[output("area", "screen area", Dimension::Area, "m2")])
    .source("area-factor method, handbook practice", Status::Seen)
    .limits("1.6 t/m3; discharge bed not deeper than four openings"),
    Formula::new(
        "trommel-unit-capacity",
        "Feed that a trommel screen takes by area and hole, lower and upper bound.",
        "0.12 to 0.81 t/(h m2 mm) x whole cylinder area x hole",
        |x| {
            let (low, high) = trommel_capacity_kg_s(core::f64::consts::PI * x[0] * x[1], x[2]);
            vec![low, high]
        },
    )
    .inputs(&[
        input("diameter", "diameter of the screen", Dimension::Length, "m", (0.1, 5.0)),
        input("length", "length of the screen", Dimension::Length, "m", (0.1, 20.0)),
        input("hole", "hole", Dimension::Length, "mm", (1e-4, 0.3)),
    ])
    .outputs(&[
        output("low", "lower bound", Dimension::MassRate, "t/h"),
        output("high", "upper bound", Dimension::MassRate, "t/h"),
    ])
    .source("Brown 1950", Status::Memory)
    .limits("a wide handbook range"),
    Formula::new(
        "screen-cut-karra",
        "Cut size of a vibrating screen and the share of a size that stays on it.",
        "d50 = h_T G K^-0.148; K = load/(A B C other); G = 0.975 (1 - X_n)^0.511; Y = 1 - exp(-0.693 (d/d50)^5.846)",
        |x| {
            let cut = karra_cut_m(KarraCase {
                opening_m: x[0],
                oversize: x[1],
                half_size: x[2],
                near_mesh: x[3],
                load_kg_s_m2: x[4] * T_H_KG_S,
                other_factors: x[5],
            });
            vec![cut, karra_partition(x[6], cut)]
        },
    )
    .inputs(&[
        input("opening", "throughfall opening h_T", Dimension::Length, "mm", (0.001, 0.051)),
        input("oversize", "oversize in the feed", Dimension::Fraction, "%", (0.0, 1.0)),
        input("half_size", "finer than half the opening", Dimension::Fraction, "%", (0.0, 1.0)),
        input("near_mesh", "between 0.75 and 1.25 of the opening", Dimension::Fraction, "%", (0.0, 0.9)),
        input("load", "undersize load in t/h per m2", Dimension::Number, "-", (0.1, 200.0)),
        input_or("other_factors", "deck, wet and density factors together", Dimension::Number, "-", (0.1, 10.0), 1.0),
        input("grain", "size asked for", Dimension::SieveSize, "mm", (1e-5, 0.3)),
    ])
    .outputs(&[
        output("cut", "size of which half stays", Dimension::SieveSize, "mm"),
        output("stays", "share of the size asked for that stays", Dimension::Fraction, "%"),
    ])
    .source("Karra 1979", Status::Memory)
    .limits("for comparing partition shapes only; factors D, E, F not recovered"),
];

/// Checks of this file.
pub const CHECKS: &[Check] =
    &[Check::new("trommel-unit-capacity-half-inch", "Brown 1950", || trommel_capacity_kg_s(1.0, 0.0127).1 / T_H_KG_S)
        .against(Kind::Identity, "0.81 x 12.7 mm, t/h per m2", Status::Computed)
        .value(10.3, "t/h m2")
        .within(Band::Absolute(0.05))];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[("screen-hole-flow-limit-half-inch", || {
        let holes_per_m2 = 2.0 / (3.0_f64.sqrt() * 0.01905 * 0.01905);
        beverloo_kg_s(1600.0, 0.0127, 0.003) * holes_per_m2
    })];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_tables_and_halves() {
        assert!((basic_capacity_kg_s_m2(0.020) * 3.6 - 25.0).abs() < 1e-9);
        assert!(basic_capacity_kg_s_m2(0.004) < basic_capacity_kg_s_m2(0.005));
        assert!((karra_partition(0.01, 0.01) - 0.5).abs() < 1e-4);
    }
}
