//! Wear of clay lumps: the law that every section of the drum shares.

use core::f64::consts::PI;

use super::symbol::{DRUM_SPEED, REPOSE, input, input_or, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::STANDARD_GRAVITY_M_S2;
use washgraph_units::formula::Formula;
use washgraph_units::math::{cbrt, exp, sin};
use washgraph_units::quantity::Dimension;

/// Power per wet mass of bed at which the reference wear holds, W/kg. Assumed; that of a 0.9 m drum at 18 rpm.
pub const WEAR_REFERENCE_W_KG: f64 = 3.9;
/// Default reference wear of the lump surface, m/s. Assumed; the range 0.001 to 0.1 mm/s is log-uniform.
pub const WEAR_DEFAULT_M_S: f64 = 0.04e-3;
/// Water, m3 per dry tonne, at which wear reaches 63 % of its full value. Assumed.
pub const WEAR_WATER_M3_PER_T: f64 = 0.5;

/// Share of a lump's mass that is left, (1 - 2 w t/D0)^3.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | w | speed at which the surface recedes | m/s | 1e-6 to 1e-4 |
/// | t | time in the drum | s | >= 0 |
/// | D0 | lump size at the start | m | > 0 |
///
/// Source: geometry of a sphere whose surface recedes at a constant speed (dD/dt = -2 w). Breakage into pieces is left out.
/// Once worn away the share is 0.
///
/// ```
/// let left = washgraph_physics::drum::clay::lump_mass_left(0.04e-3, 23.9, 0.060);
/// assert!((left - 0.907).abs() < 0.0045);
/// ```
pub fn lump_mass_left(wear_m_s: f64, time_s: f64, size_m: f64) -> f64 {
    let ratio = (1.0 - 2.0 * wear_m_s * time_s / size_m).max(0.0);
    ratio * ratio * ratio
}

/// Power that the turning bed takes up per wet mass, P/M = omega g r_cg sin(theta), W/kg.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | omega | angular speed | rad/s | > 0 |
/// | r_cg | centre of gravity of the bed from the axis | m | 0 to R |
/// | theta | dynamic angle of repose | rad | 0.5 to 0.7 |
///
/// Source: torque of the tilted bed times angular speed, over its mass.
pub fn power_per_mass_w_kg(omega_rad_s: f64, centroid_radius_m: f64, repose_rad: f64) -> f64 {
    omega_rad_s * STANDARD_GRAVITY_M_S2 * centroid_radius_m * sin(repose_rad)
}

/// Factor of wear by added water, 1 - exp(-W/0.5), W in m3 per dry tonne carried.
///
/// Assumed here: dry clay only rolls, and full wear needs about a cubic metre a tonne.
pub fn wear_wetness(water_m3_per_t: f64) -> f64 {
    1.0 - exp(-water_m3_per_t / WEAR_WATER_M3_PER_T)
}

/// Speed at which a lump's surface recedes, w = w_ref (P/M)/(P/M)_ref (1 - exp(-W/0.5)), m/s.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | w_ref | wear at 3.9 W/kg with plenty of water | m/s | 1e-6 to 1e-4 |
/// | P/M | power per wet mass | W/kg | 0.3 to 20 |
/// | W | added water | m3 per dry tonne | >= 0 |
///
/// Assumed here: wear in proportion to power; no measured law was found. The least certain number of the drum (two decades).
pub fn wear_m_s(wear_ref_m_s: f64, power_w_kg: f64, water_m3_per_t: f64) -> f64 {
    wear_ref_m_s * power_w_kg / WEAR_REFERENCE_W_KG * wear_wetness(water_m3_per_t)
}

/// Wear of the surface from a test that weighs lumps before and after, w = D0 (1 - left^(1/3))/(2 t), m/s.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | D0 | lump size at the start | m | > 0 |
/// | left | share of its mass left | - | 0 to 1 |
/// | t | duration | s | > 0 |
///
/// Source: [`lump_mass_left`] solved for w. A lump that is gone (left = 0) gives the least wear that would do so.
pub fn wear_from_test_m_s(size_m: f64, left: f64, time_s: f64) -> f64 {
    size_m * (1.0 - cbrt(left)) / (2.0 * time_s)
}

/// Wear at the reference power from that at the power of a test, w_ref = w 3.9/(P/M), m/s.
///
/// Assumed here: wear in proportion to power per mass, as in [`wear_m_s`]. The further from the drum's power, the less sure.
pub fn wear_at_reference_m_s(wear_m_s: f64, power_w_kg: f64) -> f64 {
    wear_m_s * WEAR_REFERENCE_W_KG / power_w_kg
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "clay-lump-left",
        "What is left of a clay lump whose surface wears at a constant speed.",
        "D = D0 - 2 w t; mass left = (D/D0)^3",
        |x| vec![(x[2] - 2.0 * x[0] * x[1]).max(0.0), lump_mass_left(x[0], x[1], x[2])],
    )
    .inputs(&[
        input_or(
            "wear",
            "speed at which the surface recedes",
            Dimension::Velocity,
            "mm/s",
            (1e-6, 1e-4),
            WEAR_DEFAULT_M_S,
        ),
        input("time", "time in the drum", Dimension::Time, "s", (0.0, 3600.0)),
        input("lump_size", "size of the lump at the start", Dimension::Length, "mm", (1e-3, 0.5)),
    ])
    .outputs(&[
        output("size_left", "size of the lump afterwards", Dimension::Length, "mm"),
        output("mass_left", "share of its mass that is left", Dimension::Fraction, "%"),
    ])
    .source("sphere wearing at a constant speed", Status::Computed)
    .limits("no breakage into pieces"),
    Formula::new(
        "clay-wear-from-lump-test",
        "Wear of clay lumps from an own test in a cement mixer, jar or slake drum.",
        "w = D0 (1 - left^(1/3))/(2 t); w_ref = w 3.9/(P/M)",
        |x| {
            let w = wear_from_test_m_s(x[0], x[1], x[2]);
            vec![w, wear_at_reference_m_s(w, x[3])]
        },
    )
    .inputs(&[
        input("lump_size", "size of the lumps at the start", Dimension::Length, "mm", (1e-3, 0.5)),
        input("left", "share of their mass left", Dimension::Fraction, "%", (0.0, 1.0)),
        input("time", "duration of the test", Dimension::Time, "s", (1.0, 36_000.0)),
        input_or(
            "power_per_mass",
            "power of the test per wet mass: 3 in a mixer, 0.6 in a slake drum, 1 in a jar",
            Dimension::PowerPerMass,
            "W/kg",
            (0.05, 30.0),
            3.0,
        ),
    ])
    .outputs(&[
        output("wear_in_test", "wear in the test", Dimension::Velocity, "mm/s"),
        output("wear", "wear at 3.9 W/kg, for `clay_wear`", Dimension::Velocity, "mm/s"),
    ])
    .source("shrinking sphere; scaling by power assumed here", Status::Assumed)
    .limits("weigh before the lumps are gone; breakage into pieces counts as wear"),
    Formula::new(
        "clay-wear",
        "Wear of clay lumps in a drum from its power per mass and the added water.",
        "P/M = 2 pi n g r_cg sin(theta); w = w_ref (P/M)/3.9 (1 - exp(-W/0.5))",
        |x| {
            let power = power_per_mass_w_kg(2.0 * PI * x[1], x[2], x[3]);
            vec![power, wear_m_s(x[0], power, 1000.0 * x[4])]
        },
    )
    .inputs(&[
        input_or(
            "wear_ref",
            "wear at 3.9 W/kg and plenty of water",
            Dimension::Velocity,
            "mm/s",
            (1e-6, 1e-4),
            WEAR_DEFAULT_M_S,
        ),
        DRUM_SPEED,
        input("centroid_radius", "centre of gravity of the bed from the axis", Dimension::Length, "m", (0.02, 2.5)),
        REPOSE,
        input_or("water", "added water per dry mass carried", Dimension::WaterPerMass, "m3/t", (0.0, 0.02), 1.5e-3),
    ])
    .outputs(&[
        output("power_per_mass", "power per wet mass of bed", Dimension::PowerPerMass, "W/kg"),
        output("wear", "speed at which the lump surface recedes", Dimension::Velocity, "mm/s"),
    ])
    .source("assumed here; wear rates of placer clay are not published", Status::Assumed)
    .limits("uncertain by a factor of ten either way; measure it in a cement mixer"),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    Check::new("clay-lump-60mm-left", "shrinking lump", || lump_mass_left(0.04e-3, 23.9, 0.060))
        .against(Kind::Identity, "closed form; 60 mm, 0.04 mm/s, 23.9 s", Status::Computed)
        .value(0.907, "-")
        .within(Band::Relative(0.005)),
    Check::new("clay-lump-test-inverts", "wear from a lump test", || {
        1e3 * wear_from_test_m_s(0.060, lump_mass_left(0.04e-3, 120.0, 0.060), 120.0)
    })
    .against(Kind::Identity, "the shrinking lump read backwards: 60 mm, 0.04 mm/s, 120 s", Status::Computed)
    .value(0.04, "mm/s")
    .within(Band::Relative(1e-9)),
    Check::new("clay-lump-20mm-passes-half-inch", "shrinking lump", || {
        20.0 * cbrt(lump_mass_left(0.04e-3, 120.0, 0.020))
    })
    .against(Kind::Identity, "closed form; 20 mm, 0.04 mm/s, 120 s leaves 10.4 mm", Status::Computed)
    .value(10.4, "mm")
    .within(Band::Absolute(0.05)),
];
