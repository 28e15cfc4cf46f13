//! What the bars let through.

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::entry::{POSITIVE, input, number, result};
use sim_core::formula::{Formula, Symbol};
use sim_core::math::pow;
use sim_core::quantity::Dimension;

/// Share of the grains of a size that falls through bars, p = 1/(1 + (d/a)^n).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d | size of the grain | m | >= 0 |
/// | a | clear gap | m | > 0 |
/// | n | sharpness of the cut | - | 1 to 20 |
///
/// Source: assumed here; a curve in common use for the cut of a separator. Half of the grains as large as the gap pass, whatever n.
pub fn passing_share(size_m: f64, gap_m: f64, sharpness: f64) -> f64 {
    1.0 / (1.0 + pow(size_m / gap_m, sharpness))
}

/// Share of the water that goes over with the coarse, w/(w + Q), w = c m.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | m | dry coarse over the bars | kg/s | >= 0 |
/// | c | water that clings to a weight of it | m3/kg | 0 to 0.001 |
/// | Q | water of the feed | m3/s | >= 0 |
///
/// Source: assumed here. With much water it is c m/Q; it never passes 1, and is 0 without coarse.
pub fn sticking_share(coarse_kg_s: f64, clinging_m3_kg: f64, water_m3_s: f64) -> f64 {
    let clings = coarse_kg_s * clinging_m3_kg;
    if clings > 0.0 { clings / (clings + water_m3_s) } else { 0.0 }
}

const INPUTS: &[Symbol] = &[
    input("size", "size of the grain", Dimension::SieveSize, "mm", POSITIVE, Some(0.005)),
    input("gap", "clear gap between the bars", Dimension::Length, "mm", (0.001, 0.1), Some(0.01)),
    number("sharpness", "sharpness of the cut", (1.0, 20.0), Some(5.0)),
];

/// Handbook entries.
pub(crate) static FORMULAS: [Formula; 1] = [Formula::new(
    "bar-screen-passing",
    "Share of the grains of a size that falls through sloping bars.",
    "p = 1/(1 + (d/a)^n)",
    |x| vec![passing_share(x[0], x[1], x[2])],
)
.inputs(INPUTS)
.outputs(&[result("share", "share that falls through")])
.source("assumed here; a curve in common use for the cut of a separator", Status::Assumed)
.limits("sieve both products of your own screen")];

/// Checks.
pub(crate) static CHECKS: [Check; 1] =
    [Check::new("bar-screen-half-at-the-gap", "bar screen", || passing_share(0.012, 0.012, 7.3))
        .against(Kind::Identity, "closed form: half of the grains as large as the gap pass", Status::Computed)
        .value(0.5, "-")
        .within(Band::Absolute(1e-12))];
