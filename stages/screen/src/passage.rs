//! The chance that a grain which meets the plate once falls through.

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::Formula;
use sim_core::math::{cos, sin};
use sim_core::quantity::Dimension;

use sim_core::formula::symbol::{input, input_or, output};

/// Sieve size of natural gravel that just passes a round hole, over the hole. From memory, 0.80 to 0.87.
pub const ROUND_HOLE_FACTOR: f64 = 0.84;
/// Sieve size of natural gravel that just passes a long slot, over its width. Assumed: gravel of Corey shape 0.6-0.7 is
/// 0.8 to 0.9 as thick as the square sieve that it just passes.
pub const SLOT_FACTOR: f64 = 1.15;

/// Shape of the holes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HoleShape {
    /// Round punched or drilled holes; the size is the diameter.
    Round,
    /// Square holes or woven mesh; the size is the clear opening.
    Square,
    /// Slots much longer than the grains; the size is the width.
    Slot,
}

/// Measures of a gold grain that decide which holes it passes.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GoldMeasures {
    /// Intermediate axis, m: against round holes.
    pub intermediate_m: f64,
    /// Square sieve size, m: against square holes.
    pub sieve_m: f64,
    /// Thickness, m: against slots.
    pub thickness_m: f64,
}

impl GoldMeasures {
    /// The measure that counts for holes of a shape, m.
    pub fn against(self, shape: HoleShape) -> f64 {
        match shape {
            HoleShape::Round => self.intermediate_m,
            HoleShape::Square => self.sieve_m,
            HoleShape::Slot => self.thickness_m,
        }
    }
}

/// Chance of passing a plate of round or square holes in one meeting, p = f_o (1 - d/a)^2; 0 for d >= a.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | f_o | open share of the plate | - | 0 to 0.9 |
/// | d | size of the grain by the criterion of the hole | m | >= 0 |
/// | a | effective hole | m | > 0 |
///
/// Source: Gaudin 1939, from memory. A grain falling at right angles, without rebound; rim hits that still pass raise the
/// chance and crowding lowers it, which the number of trials per turnover has to cover.
///
/// ```
/// assert!((washgraph_screen::passage::chance(0.3, 1.0, 1.0) - 0.49).abs() < 1e-12);
/// ```
pub fn chance(grain_m: f64, hole_m: f64, open_share: f64) -> f64 {
    let miss = (1.0 - grain_m / hole_m).max(0.0);
    open_share * miss * miss
}

/// Chance of passing a plate of long slots in one meeting, p = f_o (1 - d/a); 0 for d >= a. a is the slot width.
///
/// Source: the same argument as [`chance`] in one direction. Slot ends are left out.
pub fn slot_chance(grain_m: f64, slot_m: f64, open_share: f64) -> f64 {
    open_share * (1.0 - grain_m / slot_m).max(0.0)
}

/// Chance for holes of a given shape.
pub fn chance_by_shape(shape: HoleShape, grain_m: f64, hole_m: f64, open_share: f64) -> f64 {
    match shape {
        HoleShape::Round | HoleShape::Square => chance(grain_m, hole_m, open_share),
        HoleShape::Slot => slot_chance(grain_m, hole_m, open_share),
    }
}

/// Largest sieve size of gravel that passes a hole, m: round 0.84 a, square a, slot 1.15 of its width.
///
/// Round: from memory; slot: assumed. Gold is not measured so: see [`GoldMeasures`].
pub fn effective_hole_m(shape: HoleShape, hole_m: f64, round_factor: f64) -> f64 {
    match shape {
        HoleShape::Round => round_factor * hole_m,
        HoleShape::Square => hole_m,
        HoleShape::Slot => SLOT_FACTOR * hole_m,
    }
}

/// Hole seen by a grain that meets a sloping plate, a cos(i) - t sin(i), m; i slope of the plate to the grain's path's
/// normal rad, t plate thickness m. Source: projection, from memory. Never below 0.
pub fn projected_hole_m(hole_m: f64, incline_rad: f64, plate_m: f64) -> f64 {
    (hole_m * cos(incline_rad) - plate_m * sin(incline_rad)).max(0.0)
}

/// Share that is left after M independent trials, (1 - p)^M.
///
/// Source: probability. e^(-M p) is the limit for small p.
pub fn left_after_trials(chance: f64, trials: f64) -> f64 {
    sim_core::math::exp(trials * sim_core::math::ln_1p(-chance))
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "screen-passage-chance",
        "Chance that a grain falls through a plate of round or square holes, once and in several trials.",
        "p = f_o (1 - d/a)^2; left = (1 - p)^M",
        |x| {
            let p = chance(x[0], x[1], x[2]);
            vec![p, left_after_trials(p, x[3])]
        },
    )
    .inputs(&[
        input("grain", "size of the grain by the criterion of the hole", Dimension::SieveSize, "mm", (0.0, 0.3)),
        input("hole", "effective hole", Dimension::Length, "mm", (1e-4, 0.3)),
        input_or("open_share", "open share of the plate", Dimension::Fraction, "%", (0.0, 1.0), 1.0),
        input_or("trials", "number of trials", Dimension::Number, "-", (0.0, 1e4), 1.0),
    ])
    .outputs(&[
        output("chance", "chance in one trial", Dimension::Fraction, "%"),
        output("left", "share that is left after the trials", Dimension::Fraction, "%"),
    ])
    .source("Gaudin 1939", Status::Memory)
    .limits("falls at right angles, no rebound; 0 at and above the hole"),
    Formula::new(
        "screen-slot-chance",
        "Chance that a grain falls through a plate of long slots.",
        "p = f_o (1 - d/a)",
        |x| vec![slot_chance(x[0], x[1], x[2])],
    )
    .inputs(&[
        input("grain", "thickness (gold) or sieve size over 1.15 (gravel)", Dimension::SieveSize, "mm", (0.0, 0.3)),
        input("slot", "width of the slot", Dimension::Length, "mm", (1e-4, 0.3)),
        input_or("open_share", "open share of the plate", Dimension::Fraction, "%", (0.0, 1.0), 1.0),
    ])
    .outputs(&[output("chance", "chance in one trial", Dimension::Fraction, "%")])
    .source("the argument of Gaudin 1939 in one direction", Status::Computed)
    .limits("slot ends left out"),
    Formula::new(
        "screen-effective-hole",
        "Largest gravel, by square sieve, that passes a round hole; and the hole as seen on a slope.",
        "a_eff = psi a; projected: a cos(i) - t sin(i)",
        |x| vec![effective_hole_m(HoleShape::Round, x[0], x[1]), projected_hole_m(x[0], x[2], x[3])],
    )
    .inputs(&[
        input("hole", "diameter of the hole", Dimension::Length, "mm", (1e-4, 0.3)),
        input_or(
            "round_factor",
            "sieve size over round hole, psi",
            Dimension::Number,
            "-",
            (0.80, 0.87),
            ROUND_HOLE_FACTOR,
        ),
        input_or("incline", "slope of the plate", Dimension::Angle, "deg", (0.0, 1.2), 0.0),
        input_or("plate", "thickness of the plate", Dimension::Length, "mm", (0.0, 0.05), 0.0),
    ])
    .outputs(&[
        output("effective", "effective hole for gravel", Dimension::Length, "mm"),
        output("projected", "hole as seen on the slope", Dimension::Length, "mm"),
    ])
    .source("psi for natural gravel; projection", Status::Memory)
    .limits("gold goes by its intermediate axis against the hole itself, without psi"),
];

const fn table(id: &'static str, per_thousand: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "Gaudin 1939", computed)
        .against(Kind::Published, "table of passage chances, Taggart; Wills", Status::Memory)
        .value(per_thousand, "per 1000")
        .within(Band::Relative(0.01))
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    table("screen-chance-d-over-a-0p1", 810.0, || 1000.0 * chance(0.1, 1.0, 1.0)),
    table("screen-chance-d-over-a-0p3", 490.0, || 1000.0 * chance(0.3, 1.0, 1.0)),
    table("screen-chance-d-over-a-0p5", 250.0, || 1000.0 * chance(0.5, 1.0, 1.0)),
    table("screen-chance-d-over-a-0p8", 40.0, || 1000.0 * chance(0.8, 1.0, 1.0)),
];
