//! Grains thrown clear of the bed in a fast drum.
//!
//! A grain rides with the shell until the inward pull of its weight exceeds what its circle needs, then flies a parabola.
//! Valid without slip above Fr about 0.3. Source of all: Davis 1919, from memory, derived again here.

use core::f64::consts::PI;

use super::symbol::{DRUM_DIAMETER, DRUM_SPEED, output};
use super::transport::froude;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::math::{acos, sin};
use washgraph_units::quantity::Dimension;

/// Angle from the vertical at which a grain leaves the shell, cos(alpha) = Fr. Fr from 0.3 to 1; above 1: NaN (centrifuged).
pub fn departure_rad(froude: f64) -> f64 {
    acos(froude)
}

/// Drop from the place of departure to impact over the radius, 4 sin^2(alpha) cos(alpha).
///
/// ```
/// let alpha = washgraph_physics::drum::flight::departure_rad(0.5);
/// assert!((washgraph_physics::drum::flight::drop_over_radius(alpha) - 1.5).abs() < 1e-12);
/// ```
pub fn drop_over_radius(departure_rad: f64) -> f64 {
    let s = sin(departure_rad);
    4.0 * s * s * washgraph_units::math::cos(departure_rad)
}

/// Horizontal throw over the radius, 4 sin(alpha) cos^2(alpha).
pub fn throw_over_radius(departure_rad: f64) -> f64 {
    let c = washgraph_units::math::cos(departure_rad);
    4.0 * sin(departure_rad) * c * c
}

/// Time of flight, 2 sin(2 alpha)/omega, s; omega rad/s.
pub fn flight_s(departure_rad: f64, omega_rad_s: f64) -> f64 {
    2.0 * sin(2.0 * departure_rad) / omega_rad_s
}

/// Impacts of a grain per turn of the drum, pi/(pi - 2 alpha + sin 2 alpha).
pub fn impacts_per_turn(departure_rad: f64) -> f64 {
    PI / (PI - 2.0 * departure_rad + sin(2.0 * departure_rad))
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "drum-thrown-grains",
    "Flight of grains thrown clear of the bed in a fast drum.",
    "cos(alpha) = Fr; drop = 4 R sin^2(alpha) cos(alpha); throw = 4 R sin(alpha) cos^2(alpha); \
               flight = 2 sin(2 alpha)/omega; impacts per turn = pi/(pi - 2 alpha + sin 2 alpha)",
    |x| {
        let r = 0.5 * x[0];
        let alpha = departure_rad(froude(x[1], r));
        let omega = 2.0 * PI * x[1];
        vec![
            alpha,
            r * drop_over_radius(alpha),
            r * throw_over_radius(alpha),
            flight_s(alpha, omega),
            impacts_per_turn(alpha),
        ]
    },
)
.inputs(&[DRUM_DIAMETER, DRUM_SPEED])
.outputs(&[
    output("departure", "angle from the vertical at departure", Dimension::Angle, "deg"),
    output("drop", "drop from departure to impact", Dimension::Length, "m"),
    output("throw", "horizontal throw", Dimension::Length, "m"),
    output("flight", "time of flight", Dimension::Time, "s"),
    output("impacts", "impacts per turn", Dimension::Number, "-"),
])
.source("Davis 1919", Status::Memory)
.limits("no slip; Froude number above about 0.3 and below 1")];

const fn davis_check(id: &'static str, value: f64, unit: &'static str, computed: fn() -> f64) -> Check {
    Check::new(id, "Davis 1919", computed)
        .against(Kind::Identity, "closed form at a Froude number of 0.5", Status::Computed)
        .value(value, unit)
        .within(Band::Relative(0.002))
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    davis_check("drum-flight-departure", 60.0, "deg", || departure_rad(0.5) * 180.0 / PI),
    davis_check("drum-flight-drop", 1.5, "-", || drop_over_radius(departure_rad(0.5))),
    davis_check("drum-flight-impacts", 1.642, "-", || impacts_per_turn(departure_rad(0.5))),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_flight_time_covers_the_throw() {
        // Horizontal speed at departure is omega R cos(alpha); over the flight it must cover the throw.
        let alpha = departure_rad(0.6);
        let omega = 3.0;
        let covered = omega * washgraph_units::math::cos(alpha) * flight_s(alpha, omega);
        assert!((covered - throw_over_radius(alpha)).abs() < 1e-12);
    }
}
