//! Roller chains that turn the drum.
//!
//! The rating formulas are those of the chain standard; they are written in inches, rpm and horsepower, and the pitch must
//! go in as inches. Functions here take and give SI.

use core::f64::consts::PI;
use washgraph_units::constants::{HORSEPOWER_W, INCH_M};

use super::symbol::{input, input_or, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::math::{pow, sin};
use washgraph_units::quantity::Dimension;

/// Inches in a metre (exact).
const INCHES_PER_M: f64 = 1.0 / INCH_M;
/// Newtons in a pound-force (exact).
const NEWTONS_PER_LBF: f64 = 4.448_221_615_260_5;

/// Rating of one strand by the strength of the link plates, H1 = 0.004 N1^1.08 n1^0.9 p^(3 - 0.07 p) hp, in W.
///
/// | symbol | meaning | unit in the formula | range |
/// |---|---|---|---|
/// | N1 | teeth of the pinion | - | 9 to 60 |
/// | n1 | speed of the pinion | rpm | 10 to 3000 |
/// | p | pitch | in | 0.25 to 3 |
///
/// Source: ASME B29.1 as given by Shigley, from memory. The tooth factor (N1/17)^1.08 is already in it.
pub fn plate_rating_w(teeth: f64, speed_rev_s: f64, pitch_m: f64) -> f64 {
    let p = pitch_m * INCHES_PER_M;
    0.004 * pow(teeth, 1.08) * pow(60.0 * speed_rev_s, 0.9) * pow(p, 3.0 - 0.07 * p) * HORSEPOWER_W
}

/// Rating of one strand by the impact of rollers, H2 = 1000 K_r N1^1.5 p^0.8/n1^1.5 hp, in W.
///
/// K_r = 29 (No 25, 35), 3.4 (No 41), 17 (No 40 to 240). Other symbols and source as [`plate_rating_w`]. Rules only fast
/// chains; at rest it is infinite.
pub fn roller_rating_w(teeth: f64, speed_rev_s: f64, pitch_m: f64, roller_factor: f64) -> f64 {
    let p = pitch_m * INCHES_PER_M;
    let n = 60.0 * speed_rev_s;
    1000.0 * roller_factor * pow(teeth, 1.5) * pow(p, 0.8) / pow(n, 1.5) * HORSEPOWER_W
}

/// Factor of several strands, K2 = 1, 1.7, 2.5, 3.3 for 1 to 4. Source: ASME B29.1, from memory. NaN for other counts.
pub fn strand_factor(strands: f64) -> f64 {
    match strands.round() {
        1.0 => 1.0,
        2.0 => 1.7,
        3.0 => 2.5,
        4.0 => 3.3,
        _ => f64::NAN,
    }
}

/// Least ultimate strength of one strand, 12500 p^2 lbf with p in inches, in N. Source: ASME B29.1, from memory.
pub fn ultimate_strength_n(pitch_m: f64) -> f64 {
    let p = pitch_m * INCHES_PER_M;
    12_500.0 * p * p * NEWTONS_PER_LBF
}

/// Pitch diameter of a sprocket, p/sin(180 degrees/N), m. Source: geometry of a polygon.
pub fn pitch_diameter_m(pitch_m: f64, teeth: f64) -> f64 {
    pitch_m / sin(PI / teeth)
}

/// Roller factor K_r by pitch: 29 for No 25 and 35 (up to 3/8 in), 17 for No 40 and larger. Source: ASME B29.1, from memory.
/// No 41, of the pitch of No 40, has 3.4 and is not meant here.
pub fn roller_factor(pitch_m: f64) -> f64 {
    if pitch_m * INCHES_PER_M < 0.45 { 29.0 } else { 17.0 }
}

/// What a pinion that only touches a chain laid round the drum takes off its rating: one of 2 to 3 teeth carries half of the
/// pull. Common practice, no source; the figure of 2 is assumed.
pub const TOUCHING_DERATE: f64 = 2.0;
/// Teeth in mesh where the pinion only touches: 2 to 3. Common practice, no source.
pub const TOUCHING_TEETH: f64 = 2.5;

/// Teeth of the pinion that carry the chain: N wrap/360 degrees in a loop, 2 to 3 where it only touches.
///
/// N teeth, wrap rad. Source: geometry; common practice, no source.
pub fn teeth_in_mesh(teeth: f64, wrap_rad: f64, touching: bool) -> f64 {
    if touching { TOUCHING_TEETH } else { teeth * wrap_rad / (2.0 * PI) }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "roller-chain-rating",
        "Power that a roller chain may carry, by its link plates and its rollers.",
        "H1 = 0.004 N1^1.08 n1^0.9 p^(3 - 0.07 p); H2 = 1000 K_r N1^1.5 p^0.8/n1^1.5; allowed = min(H1, H2) K2; \
                   hp, rpm, in",
        |x| {
            let h1 = plate_rating_w(x[0], x[1], x[2]);
            let h2 = roller_rating_w(x[0], x[1], x[2], x[3]);
            vec![h1, h2, h1.min(h2) * strand_factor(x[4])]
        },
    )
    .inputs(&[
        input("teeth", "teeth of the pinion", Dimension::Number, "-", (9.0, 60.0)),
        input("speed", "speed of the pinion", Dimension::RotationSpeed, "rpm", (0.1, 50.0)),
        input("pitch", "pitch of the chain", Dimension::Length, "in", (0.006, 0.0762)),
        input_or(
            "roller_factor",
            "29 for No 25 and 35, 3.4 for 41, 17 for 40 to 240",
            Dimension::Number,
            "-",
            (3.4, 29.0),
            17.0,
        ),
        input_or("strands", "number of strands", Dimension::Number, "-", (1.0, 4.0), 1.0),
    ])
    .outputs(&[
        output("plate_rating", "rating of one strand by its link plates", Dimension::Power, "hp"),
        output("roller_rating", "rating of one strand by its rollers", Dimension::Power, "hp"),
        output("allowed", "power allowed, before the service factor", Dimension::Power, "hp"),
    ])
    .source("ASME B29.1 as given by Shigley", Status::Memory)
    .limits("service factor 1.3 to 1.5; below about 0.25 m/s choose by pull: 1/7 to 1/8 of the ultimate strength"),
    Formula::new(
        "roller-chain-pull",
        "Pull in a chain from the torque of its sprocket, against its strength.",
        "diameter = p/sin(180/N); pull = 2 T/diameter; strength = 12500 p^2 lbf, p in",
        |x| {
            let d = pitch_diameter_m(x[1], x[2]);
            let pull = 2.0 * x[0] / d;
            let strength = ultimate_strength_n(x[1]);
            vec![d, pull, strength, strength / pull]
        },
    )
    .inputs(&[
        input("torque", "torque of the sprocket", Dimension::Torque, "N m", (0.0, 1e6)),
        input("pitch", "pitch of the chain", Dimension::Length, "in", (0.006, 0.0762)),
        input("teeth", "teeth of the sprocket", Dimension::Number, "-", (9.0, 400.0)),
    ])
    .outputs(&[
        output("pitch_diameter", "pitch diameter of the sprocket", Dimension::Length, "mm"),
        output("pull", "pull in the chain", Dimension::Force, "kN"),
        output("strength", "least ultimate strength of one strand", Dimension::Force, "kN"),
        output("margin", "strength over pull; 7 to 8 wanted with the service factor", Dimension::Number, "-"),
    ])
    .source("geometry; ASME B29.1", Status::Memory)
    .limits(
        "a chain laid round the drum as a rack engages 2-3 teeth and one takes 50-60 % of the pull: halve its rating",
    ),
];

const fn chain_check(id: &'static str, value: f64, unit: &'static str, computed: fn() -> f64) -> Check {
    Check::new(id, "ASME B29.1 roller chain", computed)
        .against(Kind::Identity, "the formula worked out by hand: 15 teeth, 1 in pitch, 138.5 rpm", Status::Computed)
        .value(value, unit)
        .within(Band::Relative(0.005))
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    Check::new("roller-chain-touching-teeth", "teeth in mesh", || teeth_in_mesh(15.0, 0.0, true))
        .against(
            Kind::Identity,
            "common practice, no source: a chain that only touches the drum sprocket has 2 to 3 teeth in mesh",
            Status::Memory,
        )
        .value(2.5, "-")
        .within(Band::Absolute(0.5)),
    chain_check("roller-chain-plate-rating", 6.30, "hp", || plate_rating_w(15.0, 138.5 / 60.0, INCH_M) / HORSEPOWER_W),
    chain_check("roller-chain-roller-rating", 606.0, "hp", || {
        roller_rating_w(15.0, 138.5 / 60.0, INCH_M, 17.0) / HORSEPOWER_W
    }),
    chain_check("roller-chain-pitch-diameter", 122.2, "mm", || 1000.0 * pitch_diameter_m(INCH_M, 15.0)),
    chain_check("roller-chain-strength", 55.6, "kN", || ultimate_strength_n(INCH_M) / 1000.0),
];
