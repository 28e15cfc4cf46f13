//! Open area of perforated plate by its pattern.

use core::f64::consts::PI;

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::Formula;
use sim_core::quantity::Dimension;

use crate::passage::HoleShape;
use sim_core::formula::symbol::{input, output};

/// Lay-out of the holes on the plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// Rows shifted by half a pitch, 60 degrees: each hole has six neighbours at one pitch.
    Staggered,
    /// Rows in line both ways.
    InLine,
}

/// Open share of round holes staggered at 60 degrees, pi/(2 sqrt 3) (d/p)^2 = 0.9069 (d/p)^2; d hole, p pitch, same unit.
///
/// Source: geometry. Above d = p holes run into each other and the result means nothing.
pub fn round_staggered(hole_m: f64, pitch_m: f64) -> f64 {
    let ratio = hole_m / pitch_m;
    PI / (2.0 * 3.0_f64.sqrt()) * ratio * ratio
}

/// Open share of round holes in line, (pi/4) (d/p)^2. Source: geometry.
pub fn round_in_line(hole_m: f64, pitch_m: f64) -> f64 {
    let ratio = hole_m / pitch_m;
    0.25 * PI * ratio * ratio
}

/// Open share of square holes, (w/p)^2: the same in line and staggered. Source: geometry.
pub fn square(hole_m: f64, pitch_m: f64) -> f64 {
    let ratio = hole_m / pitch_m;
    ratio * ratio
}

/// Open share of long slots, w/p, with w their width and p the pitch across them; bridges along the slot left out.
///
/// Source: geometry.
pub fn slot(width_m: f64, pitch_m: f64) -> f64 {
    width_m / pitch_m
}

/// Open share by shape and pattern.
pub fn open_share(shape: HoleShape, pattern: Pattern, hole_m: f64, pitch_m: f64) -> f64 {
    match (shape, pattern) {
        (HoleShape::Round, Pattern::Staggered) => round_staggered(hole_m, pitch_m),
        (HoleShape::Round, Pattern::InLine) => round_in_line(hole_m, pitch_m),
        (HoleShape::Square, _) => square(hole_m, pitch_m),
        (HoleShape::Slot, _) => slot(hole_m, pitch_m),
    }
}

/// Holes per area of plate, 1/m2: staggered 2/(sqrt 3 p^2), in line 1/p^2; slots 1/(p (l + p - w)) with their length l, and
/// bridges as wide as the steel between them.
///
/// Source: geometry.
pub fn holes_per_m2(shape: HoleShape, pattern: Pattern, hole_m: f64, pitch_m: f64, slot_length_m: f64) -> f64 {
    match (shape, pattern) {
        (HoleShape::Slot, _) => 1.0 / (pitch_m * (slot_length_m + pitch_m - hole_m)),
        (_, Pattern::Staggered) => 2.0 / (3.0_f64.sqrt() * pitch_m * pitch_m),
        (_, Pattern::InLine) => 1.0 / (pitch_m * pitch_m),
    }
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "plate-open-area",
    "Open share of a perforated plate by hole and pitch.",
    "round, 60 degrees: 0.9069 (d/p)^2; round in line: 0.7854 (d/p)^2; square: (w/p)^2; slot: w/p",
    |x| vec![round_staggered(x[0], x[1]), round_in_line(x[0], x[1]), square(x[0], x[1]), slot(x[0], x[1])],
)
.inputs(&[
    input("hole", "hole diameter or clear width", Dimension::Length, "mm", (1e-4, 0.3)),
    input("pitch", "distance of hole centres", Dimension::Length, "mm", (1e-4, 0.6)),
])
.outputs(&[
    output("round_staggered", "round holes, 60 degree stagger", Dimension::Fraction, "%"),
    output("round_in_line", "round holes in line", Dimension::Fraction, "%"),
    output("square", "square holes", Dimension::Fraction, "%"),
    output("slot", "long slots without bridges", Dimension::Fraction, "%"),
])
.source("geometry", Status::Computed)
.limits("pitch above hole")];

const fn plate(id: &'static str, percent: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "open area of perforated plate", computed)
        .against(Kind::Published, "maker's table of perforated plate (type ISO 7806)", Status::Seen)
        .value(percent, "%")
        .within(Band::Absolute(1.0))
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    plate("plate-round-pitch-1p25", 58.0, || 100.0 * round_staggered(1.0, 1.25)),
    plate("plate-round-pitch-1p6", 35.0, || 100.0 * round_staggered(1.0, 1.6)),
    plate("plate-round-pitch-2", 23.0, || 100.0 * round_staggered(1.0, 2.0)),
    plate("plate-square-pitch-1p25", 64.0, || 100.0 * square(1.0, 1.25)),
    plate("plate-square-pitch-1p6", 39.0, || 100.0 * square(1.0, 1.6)),
    plate("plate-square-pitch-2", 25.0, || 100.0 * square(1.0, 2.0)),
];
