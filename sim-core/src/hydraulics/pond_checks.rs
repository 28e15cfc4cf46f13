//! Checks of the pond, its recirculation and its make-up.

use super::makeup::{DampSolids, carried_water_kg_s, evaporation_m3_s, makeup_m3_s, seepage_m3_s};
use super::pond::{
    SETTLEABLE_LIMIT, build_up, fines_fall_m_s, jar_fall_m_s, steady_return_kg_m3, stokes_size_m, tank_removal,
};
use super::pond_time::build_up_time_s;
use crate::check::{Band, Check, Kind, Status};

/// Density of clean water at 10 C, kg/m3. Source: water tables.
const WATER_10C_KG_M3: f64 = 999.7;
/// Kinematic viscosity of clean water at 10 C, m2/s. Source: water tables.
const NU_10C_M2_S: f64 = 1.307e-6;
/// Density of quartz and common rock fines, kg/m3. Source: mineral tables.
const QUARTZ_KG_M3: f64 = 2_650.0;
/// One day, s (exact).
const DAY_S: f64 = 86_400.0;
/// One tonne an hour, kg/s (exact).
const T_H_KG_S: f64 = 1.0 / 3.6;

const fn pinned(
    id: &'static str,
    model: &'static str,
    unit: &'static str,
    published: f64,
    band: Band,
    computed: fn() -> f64,
) -> Check {
    Check {
        id,
        model,
        kind: Kind::Pinned,
        source: "calculated apart",
        status: Status::Computed,
        published,
        computed,
        unit,
        band,
    }
}

fn fall_10c_mm_s(grain_um: f64) -> f64 {
    1_000.0 * fines_fall_m_s(1e-6 * grain_um, NU_10C_M2_S, QUARTZ_KG_M3, WATER_10C_KG_M3)
}

/// The closed pond of the example: 60 t/h, 2 % of it in the class, 165 m3/h, 1500 m2, two tanks, 95 % returned, 10 C.
fn example_removal(grain_um: f64) -> f64 {
    tank_removal(1e-3 * fall_10c_mm_s(grain_um) * 1_500.0 / (165.0 / 3_600.0), 2.0)
}

fn example_return_g_l(grain_um: f64) -> f64 {
    steady_return_kg_m3(0.02 * 60.0 * T_H_KG_S, 165.0 / 3_600.0, 0.95, example_removal(grain_um))
}

/// Parts of the make-up of the example, m3/h.
fn example_makeup(part: usize) -> f64 {
    let feed = 60.0 * T_H_KG_S;
    let leaving = [
        DampSolids { dry_kg_s: 0.60 * feed, moisture: 0.06 },
        DampSolids { dry_kg_s: 0.34 * feed, moisture: 0.18 },
        DampSolids { dry_kg_s: 0.06 * feed, moisture: 0.50 },
    ];
    let bank = DampSolids { dry_kg_s: feed, moisture: 0.05 };
    let evaporated = evaporation_m3_s(0.004 / DAY_S, 1_500.0);
    let seeped = seepage_m3_s(1e-7, 1.0, 1_500.0);
    3_600.0
        * match part {
            0 => makeup_m3_s(&leaving, bank, evaporated, seeped, 0.0, 1_000.0),
            1 => leaving.iter().map(|s| carried_water_kg_s(s.dry_kg_s, s.moisture) / 1_000.0).sum(),
            _ => seeped,
        }
}

const FALL_MODEL: &str = "Ferguson-Church fall speed of fines";
const TANK_MODEL: &str = "pond of n tanks";
const LOOP_MODEL: &str = "closed pond";

/// Checks.
pub const CHECKS: &[Check] = &[
    pinned("pond-n2-x3", TANK_MODEL, "-", 0.840, Band::Absolute(0.001), || tank_removal(3.0, 2.0)),
    pinned("pond-n3-x1", TANK_MODEL, "-", 0.578, Band::Absolute(0.001), || tank_removal(1.0, 3.0)),
    pinned("pond-n8-x1", TANK_MODEL, "-", 0.610, Band::Absolute(0.001), || tank_removal(1.0, 8.0)),
    pinned("pond-n8-x3", TANK_MODEL, "-", 0.922, Band::Absolute(0.001), || tank_removal(3.0, 8.0)),
    pinned("pond-n2-x5", TANK_MODEL, "-", 0.92, Band::Absolute(0.005), || tank_removal(5.0, 2.0)),
    pinned("fines-5um-10c", FALL_MODEL, "mm/s", 0.0172, Band::Relative(0.01), || fall_10c_mm_s(5.0)),
    pinned("fines-10um-10c", FALL_MODEL, "mm/s", 0.0685, Band::Relative(0.005), || fall_10c_mm_s(10.0)),
    pinned("fines-20um-10c", FALL_MODEL, "mm/s", 0.272, Band::Relative(0.005), || fall_10c_mm_s(20.0)),
    pinned("fines-75um-10c", FALL_MODEL, "mm/s", 3.53, Band::Relative(0.005), || fall_10c_mm_s(75.0)),
    pinned("fines-50um-5c", FALL_MODEL, "mm/s", 1.42, Band::Relative(0.005), || {
        1_000.0 * fines_fall_m_s(50e-6, 1.519e-6, QUARTZ_KG_M3, 999.97)
    }),
    pinned("fines-50um-20c", FALL_MODEL, "mm/s", 2.10, Band::Relative(0.005), || {
        1_000.0 * fines_fall_m_s(50e-6, 1.004e-6, QUARTZ_KG_M3, 998.2)
    }),
    pinned("pond-ideal-area-10um", "ideal pond", "m2", 668.0, Band::Relative(0.005), || {
        0.04575 / (1e-3 * fall_10c_mm_s(10.0))
    }),
    pinned("pond-ideal-area-50um", "ideal pond", "m2", 28.0, Band::Absolute(0.5), || {
        0.04575 / (1e-3 * fall_10c_mm_s(50.0))
    }),
    Check {
        id: "six-feet-in-six-hours",
        model: "Stokes size of what falls 6 ft in 6.5 h at 10 C",
        kind: Kind::Published,
        source: "Montana DEQ 2016: fine silt settles 6 ft in about 6.5 h; fine silt is 7.8-15.6 um (Wentworth 1922)",
        status: Status::Seen,
        published: 10.7,
        computed: || {
            1e6 * stokes_size_m(jar_fall_m_s(6.0 * 0.3048, 6.5 * 3_600.0), NU_10C_M2_S, QUARTZ_KG_M3, WATER_10C_KG_M3)
        },
        unit: "um",
        band: Band::Between(7.8, 15.6),
    },
    pinned("six-feet-stokes-size", "Stokes size", "um", 10.7, Band::Relative(0.05), || {
        1e6 * stokes_size_m(jar_fall_m_s(6.0 * 0.3048, 6.5 * 3_600.0), NU_10C_M2_S, QUARTZ_KG_M3, WATER_10C_KG_M3)
    }),
    Check {
        id: "settleable-limit",
        model: "settleable solids",
        kind: Kind::PublishedUsedInFit,
        source: "40 CFR 440.142, seen in a copy; the constant is taken from it",
        status: Status::Seen,
        published: 0.2,
        computed: || 1_000.0 * SETTLEABLE_LIMIT,
        unit: "mL/L",
        band: Band::Absolute(1e-12),
    },
    pinned("recycle-5um-removal", LOOP_MODEL, "-", 0.391, Band::Relative(0.01), || example_removal(5.0)),
    pinned("recycle-5um-return", LOOP_MODEL, "g/L", 10.5, Band::Relative(0.01), || example_return_g_l(5.0)),
    pinned("recycle-10um-return", LOOP_MODEL, "g/L", 2.05, Band::Relative(0.01), || example_return_g_l(10.0)),
    pinned("recycle-20um-return", LOOP_MODEL, "g/L", 0.25, Band::Absolute(0.006), || example_return_g_l(20.0)),
    pinned("recycle-1um-return", LOOP_MODEL, "g/L", 100.0, Band::Relative(0.01), || example_return_g_l(1.0)),
    pinned("recycle-1um-build-up", LOOP_MODEL, "-", 14.0, Band::Absolute(0.5), || build_up(0.95, example_removal(1.0))),
    pinned("recycle-flocculated-return", LOOP_MODEL, "g/L", 0.64, Band::Absolute(0.006), || example_return_g_l(15.0)),
    pinned("build-up-time", LOOP_MODEL, "h", 281.0, Band::Absolute(0.5), || {
        build_up_time_s(2_250.0, 8.0 / 3_600.0) / 3_600.0
    }),
    pinned("makeup-example", "make-up water", "m3/h", 8.0, Band::Absolute(0.05), || example_makeup(0)),
    pinned("makeup-carried-out", "make-up water", "m3/h", 10.4, Band::Absolute(0.05), || example_makeup(1)),
    pinned("makeup-seepage", "make-up water", "m3/h", 0.54, Band::Absolute(0.005), || example_makeup(2)),
];
