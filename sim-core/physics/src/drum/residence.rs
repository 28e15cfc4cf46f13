//! One-line formulas for time and volume in a drum. Cross-checks of the march, which does not use them.

use core::f64::consts::PI;

use super::symbol::{DRUM_DIAMETER, DRUM_SLOPE, DRUM_SPEED, REPOSE, input, input_or, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{FOOT_M, STANDARD_GRAVITY_M_S2};
use washgraph_units::formula::Formula;
use washgraph_units::math::{atan, pow, sin};
use washgraph_units::quantity::Dimension;

/// Degrees in a radian.
const DEGREES_PER_RAD: f64 = 180.0 / PI;
/// Seconds in a minute.
const SECONDS_PER_MINUTE: f64 = 60.0;
/// Feet in a metre (international foot, exact).
const FEET_PER_M: f64 = 1.0 / FOOT_M;

/// Sullivan's residence time, t = 1.77 sqrt(theta) L f/(s D N), s.
///
/// | symbol | meaning | unit in the formula | range |
/// |---|---|---|---|
/// | theta | angle of repose | degree | 30 to 45 |
/// | L, D | length, diameter | same for both (m here) | > 0 |
/// | s | slope of the axis | degree | 1 to 6 |
/// | N | speed | rpm | 0.2 to 10 |
/// | f | factor of dams | - | 1 without |
/// | t | time | min | |
///
/// Source: Sullivan, Maier & Ralston 1927, from memory. A thin bed without end effects: over-predicts the hold-ups of
/// Kramers & Croockewit by 83 % on average, because draw-down at the exit rules in flat, short, loaded drums.
pub fn sullivan_s(length_m: f64, diameter_m: f64, speed_rev_s: f64, slope: f64, repose_rad: f64) -> f64 {
    let slope_deg = atan(slope) * DEGREES_PER_RAD;
    let speed_rpm = speed_rev_s * SECONDS_PER_MINUTE;
    let minutes = 1.77 * (repose_rad * DEGREES_PER_RAD).sqrt() * length_m / (slope_deg * diameter_m * speed_rpm);
    minutes * SECONDS_PER_MINUTE
}

/// Thin-bed limit of the depth equation, t = L sin(theta)/(pi D n tan(beta)), s.
///
/// Symbols as [`sullivan_s`], n in turns per second, beta the slope. Computed here from Kramers & Croockewit: equals
/// Sullivan's coefficient within 1 % at 36 degrees.
pub fn thin_bed_s(length_m: f64, diameter_m: f64, speed_rev_s: f64, slope: f64, repose_rad: f64) -> f64 {
    length_m * sin(repose_rad) / (PI * diameter_m * speed_rev_s * slope)
}

/// Rule of cement kilns, t = 11.2 L/(N D s), t min, N rpm, s degree; returned in s.
///
/// Source: cement practice (seen). Sullivan's formula at a repose of 40 degrees.
pub fn cement_rule_s(length_m: f64, diameter_m: f64, speed_rev_s: f64, slope: f64) -> f64 {
    let slope_deg = atan(slope) * DEGREES_PER_RAD;
    11.2 * length_m / (speed_rev_s * SECONDS_PER_MINUTE * diameter_m * slope_deg) * SECONDS_PER_MINUTE
}

/// Rotary dryers with lifters, without air: t = 0.23 L/(S N^0.9 D), t min, L and D ft, N rpm, S slope ft/ft; in s.
///
/// Source: Perry's handbook, from memory (term for air flow left out). For a flighted shell at 7-8 % hold-up.
pub fn perry_dryer_s(length_m: f64, diameter_m: f64, speed_rev_s: f64, slope: f64) -> f64 {
    let speed_rpm = speed_rev_s * SECONDS_PER_MINUTE;
    let minutes = 0.23 * (length_m * FEET_PER_M) / (slope * pow(speed_rpm, 0.9) * diameter_m * FEET_PER_M);
    minutes * SECONDS_PER_MINUTE
}

/// Residence of the share that lifters throw, t = L/(f n D tan(beta)), s; f from 2 (light load) to pi (heavy).
///
/// Source: Saeman & Mitchell 1954, from memory.
pub fn cascade_s(length_m: f64, diameter_m: f64, speed_rev_s: f64, slope: f64, load_factor: f64) -> f64 {
    length_m / (load_factor * speed_rev_s * diameter_m * slope)
}

/// Residence of a bare rolling bed in the same form, t = 0.185 L/(n D tan(beta)), s.
///
/// Source: Sullivan 1927 at a repose of about 36 degrees, from memory.
pub fn kiln_s(length_m: f64, diameter_m: f64, speed_rev_s: f64, slope: f64) -> f64 {
    0.185 * length_m / (speed_rev_s * diameter_m * slope)
}

/// Factor of lifters on the flow in the depth equation, f_L = 1/\[1 - x_L (1 - t_kiln/t_casc)\].
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | x_L | share of turnovers made by lifting | - | 0 to 1 |
/// | f | load factor of the cascade | - | 2 to pi |
///
/// Assumed here: velocities of both kinds of motion are averaged, 1/t = (1 - x_L)/t_kiln + x_L/t_casc. With
/// t_kiln/t_casc = 0.185 f, f_L is between 1 and 2.7.
pub fn lifter_factor(lifted_share: f64, load_factor: f64) -> f64 {
    1.0 / (1.0 - lifted_share * (1.0 - 0.185 * load_factor))
}

/// Water over a ring, Q = (2/3) C_d sqrt(2 g) B h^1.5, m3/s; C_d about 0.6, B chord at the ring lip m, h head over it m.
///
/// Source: sharp-crested weir, from memory.
pub fn pool_overflow_m3_s(discharge: f64, chord_m: f64, head_m: f64) -> f64 {
    2.0 / 3.0 * discharge * (2.0 * STANDARD_GRAVITY_M_S2).sqrt() * chord_m * head_m * head_m.sqrt()
}

/// Water through a perforated plate under a depth h, q = C_d f_o sqrt(2 g h), m3/s per m2 of plate.
///
/// C_d discharge coefficient (0.6), f_o open share. Source: orifice law. Example: 0.6, 0.40, 50 mm: 0.24.
pub fn plate_drain_m_s(discharge: f64, open_share: f64, depth_m: f64) -> f64 {
    discharge * open_share * (2.0 * STANDARD_GRAVITY_M_S2 * depth_m).sqrt()
}

/// Time of the slurry in a pool, t = (pool volume - solids volume)/Q, s.
///
/// Source: definition of mean residence.
pub fn slurry_s(pool_m3: f64, solids_m3: f64, flow_m3_s: f64) -> f64 {
    (pool_m3 - solids_m3) / flow_m3_s
}

const LENGTH: washgraph_units::formula::Symbol =
    input("length", "length of the drum", Dimension::Length, "m", (0.1, 100.0));

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "drum-residence-sullivan",
        "Residence time of a thin bed in a drum, Sullivan's formula and its kin.",
        "t = 1.77 sqrt(theta_deg) L/(s_deg D N) min; thin bed: L sin(theta)/(pi D n tan(beta)); \
                   cement: 11.2 L/(N D s_deg) min",
        |x| {
            vec![
                sullivan_s(x[0], x[1], x[2], x[3], x[4]),
                thin_bed_s(x[0], x[1], x[2], x[3], x[4]),
                cement_rule_s(x[0], x[1], x[2], x[3]),
            ]
        },
    )
    .inputs(&[LENGTH, DRUM_DIAMETER, DRUM_SPEED, DRUM_SLOPE, REPOSE])
    .outputs(&[
        output("sullivan", "time by Sullivan's formula", Dimension::Time, "s"),
        output("thin_bed", "thin-bed limit of the depth equation", Dimension::Time, "s"),
        output("cement_rule", "rule of cement kilns", Dimension::Time, "s"),
    ])
    .source("Sullivan, Maier & Ralston 1927; cement practice; limit computed here", Status::Memory)
    .limits("no end effects: almost twice too long for short, flat, loaded drums"),
    Formula::new(
        "drum-residence-lifters",
        "Residence time in a drum with lifters and the factor that they put on the depth equation.",
        "t_casc = L/(f n D tan(beta)); t_kiln = 0.185 L/(n D tan(beta)); f_L = 1/[1 - x_L (1 - t_kiln/t_casc)]; \
                   Perry: 0.23 L/(S N^0.9 D) min, ft",
        |x| {
            vec![
                cascade_s(x[0], x[1], x[2], x[3], x[5]),
                kiln_s(x[0], x[1], x[2], x[3]),
                lifter_factor(x[4], x[5]),
                perry_dryer_s(x[0], x[1], x[2], x[3]),
            ]
        },
    )
    .inputs(&[
        LENGTH,
        DRUM_DIAMETER,
        DRUM_SPEED,
        DRUM_SLOPE,
        input("lifted_share", "share of turnovers made by lifting", Dimension::Fraction, "%", (0.0, 1.0)),
        input_or("load_factor", "2 for light load to 3.14 for heavy", Dimension::Number, "-", (2.0, PI), 2.0),
    ])
    .outputs(&[
        output("cascade", "time of the lifted share", Dimension::Time, "s"),
        output("bare", "time of a bare rolling bed", Dimension::Time, "s"),
        output("lifter_factor", "factor on the flow in the depth equation", Dimension::Number, "-"),
        output("perry", "rotary dryer, Perry", Dimension::Time, "s"),
    ])
    .source("Saeman & Mitchell 1954; Perry's handbook; averaging assumed here", Status::Memory)
    .limits("no air flow"),
    Formula::new("drum-pool-overflow", "Water over a retention ring.", "Q = (2/3) C_d sqrt(2 g) B h^1.5", |x| {
        vec![pool_overflow_m3_s(x[0], x[1], x[2])]
    })
    .inputs(&[
        input_or("discharge", "discharge coefficient", Dimension::Number, "-", (0.4, 0.8), 0.6),
        input("chord", "width of the pool at the ring lip", Dimension::Length, "m", (0.01, 4.0)),
        input("head", "water level over the ring lip", Dimension::Length, "mm", (0.0, 0.5)),
    ])
    .outputs(&[output("flow", "water over the ring", Dimension::Flow, "m3/h")])
    .source("sharp-crested weir", Status::Memory),
    Formula::new(
        "screen-plate-drain",
        "Water that a perforated plate drains under a given depth.",
        "q = C_d f_o sqrt(2 g h)",
        |x| vec![plate_drain_m_s(x[0], x[1], x[2])],
    )
    .inputs(&[
        input_or("discharge", "discharge coefficient", Dimension::Number, "-", (0.4, 0.8), 0.6),
        input("open_share", "open area of the plate", Dimension::Fraction, "%", (0.0, 0.9)),
        input("depth", "depth of water over the plate", Dimension::Length, "mm", (0.0, 0.5)),
    ])
    .outputs(&[output("drain", "flow per area of plate", Dimension::Velocity, "m/s")])
    .source("orifice law", Status::Memory)
    .limits("clear plate; gravel on it slows the drain"),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    Check::new("drum-thin-bed-against-sullivan", "thin-bed limit of the depth equation", || {
        thin_bed_s(1.0, 1.0, 1.0, 1.0, 36.0 / DEGREES_PER_RAD)
    })
    .against(Kind::Published, "Sullivan, Maier & Ralston 1927: 1.77 sqrt(theta)/57.3 at 36 degrees", Status::Memory)
    .value(0.1854, "-")
    .within(Band::Relative(0.02)),
    Check::new("drum-sullivan-against-cement-rule", "Sullivan 1927 at 40 degrees", || {
        let slope = washgraph_units::math::tan(1.0 / DEGREES_PER_RAD);
        sullivan_s(1.0, 1.0, 1.0 / SECONDS_PER_MINUTE, slope, 40.0 / DEGREES_PER_RAD) / SECONDS_PER_MINUTE
    })
    .against(Kind::Published, "cement practice, t = 11.2 L/(N D s)", Status::Seen)
    .value(11.2, "min")
    .within(Band::Relative(0.01)),
    Check::new("screen-plate-drain-50mm", "orifice law", || plate_drain_m_s(0.6, 0.40, 0.050))
        .against(Kind::Identity, "closed form; 0.6, 40 % open, 50 mm", Status::Computed)
        .value(0.24, "m/s")
        .within(Band::Absolute(0.005)),
];
