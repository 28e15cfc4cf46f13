//! Torque and power of a drum, and the hydraulic motor that turns it.

use core::f64::consts::PI;

use super::symbol::{DRUM_DIAMETER, DRUM_SPEED, REPOSE, input, input_or, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{FOOT_M, HORSEPOWER_W, POUND_KG, STANDARD_GRAVITY_M_S2};
use washgraph_units::formula::Formula;
use washgraph_units::math::{cos, sin};
use washgraph_units::quantity::Dimension;

/// Feet in a metre (international foot, exact).
const FEET_PER_M: f64 = 1.0 / FOOT_M;
/// Pounds in a kilogram (international pound, exact).
const POUNDS_PER_KG: f64 = 1.0 / POUND_KG;

/// Torque of a bed of one cross-section, T = m g r_cg sin(theta), N m.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | m | wet mass of the bed | kg | >= 0 |
/// | r_cg | centre of gravity from the axis | m | 0 to R |
/// | theta | dynamic angle of repose | rad | 0.5 to 0.7 |
///
/// Source: moment of the tilted bed about the axis. The march integrates the same along the drum.
pub fn bed_torque_n_m(wet_mass_kg: f64, centroid_radius_m: f64, repose_rad: f64) -> f64 {
    wet_mass_kg * STANDARD_GRAVITY_M_S2 * centroid_radius_m * sin(repose_rad)
}

/// Torque over running torque when a stuck bed is turned up to the horizontal, 1/sin(theta).
///
/// Source: the same moment with sin = 1. About 1.7.
pub fn stuck_bed_factor(repose_rad: f64) -> f64 {
    1.0 / sin(repose_rad)
}

/// Power of the bed by the first term of Perry's formula, bhp = N 4.75 d w/100000, W.
///
/// N rpm, d shell diameter ft, w live load lb; SI here. It amounts to r_cg sin(theta) = 0.25 d.
/// Source: Perry's handbook, rotary equipment, from memory.
pub fn perry_bed_w(speed_rev_s: f64, diameter_m: f64, live_kg: f64) -> f64 {
    let hp = 60.0 * speed_rev_s * 4.75 * diameter_m * FEET_PER_M * live_kg * POUNDS_PER_KG / 100_000.0;
    hp * HORSEPOWER_W
}

/// Friction power by the other two terms, bhp = N (0.1925 D_r W + 0.33 W)/100000, W.
///
/// D_r riding-ring diameter ft, W total rotating load lb; SI here. Source: Perry's handbook, from memory. Bearings of
/// trunnion rollers only; seals and drive losses are left out.
pub fn perry_friction_w(speed_rev_s: f64, riding_ring_m: f64, rotating_kg: f64) -> f64 {
    let pounds = rotating_kg * POUNDS_PER_KG;
    let hp = 60.0 * speed_rev_s * (0.1925 * riding_ring_m * FEET_PER_M * pounds + 0.33 * pounds) / 100_000.0;
    hp * HORSEPOWER_W
}

/// Torque of a hydraulic motor, T = dp D_m eta_hm/(2 pi), N m.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | dp | pressure drop | Pa | 0 to 30e6 |
/// | D_m | displacement | m3 per turn | > 0 |
/// | eta_hm | hydromechanical efficiency | - | 0.80-0.90 running, 0.6-0.8 starting (orbital motors) |
///
/// Source: energy per turn; efficiencies from makers' sheets (seen in part). Size for the start.
///
/// ```
/// assert!((washgraph_physics::drum::drive::motor_torque_n_m(250e5, 100e-6, 1.0) - 398.0).abs() < 2.0);
/// ```
pub fn motor_torque_n_m(pressure_drop_pa: f64, displacement_m3: f64, efficiency: f64) -> f64 {
    pressure_drop_pa * displacement_m3 * efficiency / (2.0 * PI)
}

/// Pressure drop that a torque needs, dp = 2 pi T/(D_m eta_hm), Pa. [`motor_torque_n_m`] solved for dp.
pub fn motor_pressure_pa(torque_n_m: f64, displacement_m3: f64, efficiency: f64) -> f64 {
    2.0 * PI * torque_n_m / (displacement_m3 * efficiency)
}

/// Oil that a speed needs, Q = n D_m/eta_v, m3/s; eta_v volumetric efficiency, 0.9 to 0.97.
///
/// Source: displacement and leakage.
pub fn motor_oil_m3_s(speed_rev_s: f64, displacement_m3: f64, efficiency: f64) -> f64 {
    speed_rev_s * displacement_m3 / efficiency
}

/// Load on each of four rollers, W/(4 cos(alpha)), N.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | W | weight of drum and bed | N | >= 0 |
/// | alpha | angle from straight down to a roller, seen from the axis | rad | 0.3 to 0.8 |
///
/// Source: equilibrium of a drum that lies evenly on two rollers at each end. The pull of the chain, the tilt of the bed and
/// the end that carries more are left out.
pub fn roller_load_n(weight_n: f64, angle_rad: f64) -> f64 {
    weight_n / (4.0 * cos(angle_rad))
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "drum-bed-torque",
        "Torque and power to turn a bed of one cross-section.",
        "T = m g r_cg sin(theta); P = 2 pi n T; stuck bed: T/sin(theta)",
        |x| {
            let t = bed_torque_n_m(x[0], x[1], x[2]);
            vec![t, 2.0 * PI * x[3] * t, t * stuck_bed_factor(x[2])]
        },
    )
    .inputs(&[
        input("wet_mass", "wet mass of the bed", Dimension::Mass, "kg", (0.0, 1e5)),
        input("centroid_radius", "centre of gravity from the axis", Dimension::Length, "m", (0.01, 2.5)),
        REPOSE,
        DRUM_SPEED,
    ])
    .outputs(&[
        output("torque", "torque of the bed", Dimension::Torque, "N m"),
        output("power", "power of the bed", Dimension::Power, "kW"),
        output("stuck_torque", "torque with the bed stuck to the shell", Dimension::Torque, "N m"),
    ])
    .source("moment of the tilted bed", Status::Computed)
    .limits("start and jam margin of 2 to 2.5 times running is assumed practice"),
    Formula::new(
        "drum-power-perry",
        "Power of a rotating drum on riding rings: bed and friction.",
        "bhp = N (4.75 d w + 0.1925 D_r W + 0.33 W)/100000; ft, lb, rpm",
        |x| {
            let bed = perry_bed_w(x[0], x[1], x[2]);
            let friction = perry_friction_w(x[0], x[4], x[3]);
            vec![bed, friction, bed + friction]
        },
    )
    .inputs(&[
        DRUM_SPEED,
        DRUM_DIAMETER,
        input("live_load", "wet mass of the bed", Dimension::Mass, "kg", (0.0, 1e5)),
        input("rotating_load", "mass of everything that turns, with the bed", Dimension::Mass, "kg", (0.0, 1e6)),
        input("riding_ring", "diameter of the riding rings", Dimension::Length, "m", (0.1, 6.0)),
    ])
    .outputs(&[
        output("bed_power", "power of the bed", Dimension::Power, "kW"),
        output("friction_power", "power of friction", Dimension::Power, "kW"),
        output("power", "both", Dimension::Power, "kW"),
    ])
    .source("Perry's handbook, rotary equipment", Status::Memory)
    .limits("roller bearings; seals and drive losses left out"),
    Formula::new("drum-roller-load", "Load on each of four rollers under a drum.", "F = W/(4 cos(alpha))", |x| {
        vec![roller_load_n(x[0], x[1])]
    })
    .inputs(&[
        input("weight", "weight of drum and bed", Dimension::Force, "kN", (0.0, 1e7)),
        input_or("angle", "angle from straight down to a roller", Dimension::Angle, "deg", (0.0, 1.3), PI / 6.0),
    ])
    .outputs(&[output("load", "load on a roller", Dimension::Force, "kN")])
    .source("equilibrium", Status::Computed)
    .limits("evenly shared; a deep bed at one end loads its rollers more"),
    Formula::new(
        "hydraulic-motor",
        "Pressure and oil that a hydraulic motor needs for a torque at a speed.",
        "dp = 2 pi T/(D_m eta_hm); Q = n D_m/eta_v; P = dp Q",
        |x| {
            let dp = motor_pressure_pa(x[0], x[2], x[3]);
            let q = motor_oil_m3_s(x[1], x[2], x[4]);
            vec![dp, q, dp * q]
        },
    )
    .inputs(&[
        input("torque", "torque at the motor shaft", Dimension::Torque, "N m", (0.0, 1e5)),
        input("speed", "speed of the motor shaft", Dimension::RotationSpeed, "rpm", (0.0, 100.0)),
        input("displacement", "displacement per turn", Dimension::Displacement, "cm3", (1e-6, 1e-2)),
        input_or("efficiency", "hydromechanical efficiency", Dimension::Fraction, "%", (0.5, 1.0), 0.85),
        input_or("volumetric", "volumetric efficiency", Dimension::Fraction, "%", (0.7, 1.0), 0.93),
    ])
    .outputs(&[
        output("pressure", "pressure drop", Dimension::Pressure, "bar"),
        output("oil", "oil flow", Dimension::Flow, "L/min"),
        output("power", "hydraulic power", Dimension::Power, "kW"),
    ])
    .source("energy per turn", Status::Computed)
    .limits("start torque is 10-30 % below running torque for orbital motors: size for the start"),
    Formula::new(
        "hydraulic-motor-torque",
        "Torque of a hydraulic motor from its pressure drop.",
        "T = dp D_m eta_hm/(2 pi)",
        |x| vec![motor_torque_n_m(x[0], x[1], x[2])],
    )
    .inputs(&[
        input("pressure", "pressure drop", Dimension::Pressure, "bar", (0.0, 4e7)),
        input("displacement", "displacement per turn", Dimension::Displacement, "cm3", (1e-6, 1e-2)),
        input_or("efficiency", "hydromechanical efficiency", Dimension::Fraction, "%", (0.5, 1.0), 0.85),
    ])
    .outputs(&[output("torque", "torque at the shaft", Dimension::Torque, "N m")])
    .source("energy per turn", Status::Computed),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    Check::new("hydraulic-motor-100cm3-250bar-ideal", "torque of a hydraulic motor", || {
        motor_torque_n_m(250e5, 100e-6, 1.0)
    })
    .against(Kind::Published, "maker's sheet of a 100 cm3 motor at 250 bar, ideal torque", Status::Seen)
    .value(398.0, "N m")
    .within(Band::Relative(0.005)),
    Check::new("hydraulic-motor-100cm3-250bar-93-percent", "torque of a hydraulic motor", || {
        motor_torque_n_m(250e5, 100e-6, 0.93)
    })
    .against(Kind::Published, "maker's sheet of a 100 cm3 motor at 250 bar, torque at 93 %", Status::Seen)
    .value(370.0, "N m")
    .within(Band::Relative(0.005)),
    Check::new("hydraulic-motor-worked-example-pressure", "pressure of a hydraulic motor", || {
        motor_pressure_pa(110.0, 160e-6, 0.85) / 1e5
    })
    .against(Kind::Identity, "closed form; 110 N m, 160 cm3, efficiency 0.85", Status::Computed)
    .value(51.0, "bar")
    .within(Band::Absolute(0.5)),
];
