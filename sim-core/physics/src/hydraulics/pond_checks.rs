//! Checks of the pond, its recirculation and its make-up.

use super::pond::{SETTLEABLE_LIMIT, jar_fall_m_s, stokes_size_m};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{FOOT_M, QUARTZ_KG_M3, S_PER_H, WATER_10C_KG_M3};

/// Kinematic viscosity of clean water at 10 C, m2/s. Source: water tables.
const NU_10C_M2_S: f64 = 1.307e-6;
/// Checks.
pub const CHECKS: &[Check] = &[
    Check::new("six-feet-in-six-hours", "Stokes size of what falls 6 ft in 6.5 h at 10 C", || {
        1e6 * stokes_size_m(jar_fall_m_s(6.0 * FOOT_M, 6.5 * S_PER_H), NU_10C_M2_S, QUARTZ_KG_M3, WATER_10C_KG_M3)
    })
    .against(
        Kind::Published,
        "Montana DEQ 2016: fine silt settles 6 ft in about 6.5 h; fine silt is 7.8-15.6 um (Wentworth 1922)",
        Status::Seen,
    )
    .value(10.7, "um")
    .within(Band::Between(7.8, 15.6)),
    Check::new("settleable-limit", "settleable solids", || 1_000.0 * SETTLEABLE_LIMIT)
        .against(
            Kind::PublishedUsedInFit,
            "40 CFR 440.142, seen in a copy; the constant is taken from it",
            Status::Seen,
        )
        .value(0.2, "mL/L")
        .within(Band::Absolute(1e-12)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::pond::build_up;
    use super::super::pond_time::build_up_time_s;
    use super::*;
    use crate::hydraulics::makeup::{DampSolids, carried_water_kg_s, evaporation_m3_s, makeup_m3_s, seepage_m3_s};
    use crate::hydraulics::pond::{fines_fall_m_s, steady_return_kg_m3, tank_removal};
    use washgraph_units::constants::{S_PER_DAY, T_H_KG_S};

    /// Parts of the make-up of the example, m3/h.
    fn example_makeup(part: usize) -> f64 {
        let feed = 60.0 * T_H_KG_S;
        let leaving = [
            DampSolids { dry_kg_s: 0.60 * feed, moisture: 0.06 },
            DampSolids { dry_kg_s: 0.34 * feed, moisture: 0.18 },
            DampSolids { dry_kg_s: 0.06 * feed, moisture: 0.50 },
        ];
        let bank = DampSolids { dry_kg_s: feed, moisture: 0.05 };
        let evaporated = evaporation_m3_s(0.004 / S_PER_DAY, 1_500.0);
        let seeped = seepage_m3_s(1e-7, 1.0, 1_500.0);
        S_PER_H
            * match part {
                0 => makeup_m3_s(&leaving, bank, evaporated, seeped, 0.0, 1_000.0),
                1 => leaving.iter().map(|s| carried_water_kg_s(s.dry_kg_s, s.moisture) / 1_000.0).sum(),
                _ => seeped,
            }
    }

    fn fall_10c_mm_s(grain_um: f64) -> f64 {
        1_000.0 * fines_fall_m_s(1e-6 * grain_um, NU_10C_M2_S, QUARTZ_KG_M3, WATER_10C_KG_M3)
    }

    fn example_return_g_l(grain_um: f64) -> f64 {
        steady_return_kg_m3(0.02 * 60.0 * T_H_KG_S, 165.0 / S_PER_H, 0.95, example_removal(grain_um))
    }

    /// The closed pond of the example: 60 t/h, 2 % of it in the class, 165 m3/h, 1500 m2, two tanks, 95 % returned, 10 C.
    fn example_removal(grain_um: f64) -> f64 {
        tank_removal(1e-3 * fall_10c_mm_s(grain_um) * 1_500.0 / (165.0 / S_PER_H), 2.0)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("pond-n2-x3", || tank_removal(3.0, 2.0)),
        ("pond-n3-x1", || tank_removal(1.0, 3.0)),
        ("pond-n8-x1", || tank_removal(1.0, 8.0)),
        ("pond-n8-x3", || tank_removal(3.0, 8.0)),
        ("pond-n2-x5", || tank_removal(5.0, 2.0)),
        ("fines-5um-10c", || fall_10c_mm_s(5.0)),
        ("fines-10um-10c", || fall_10c_mm_s(10.0)),
        ("fines-20um-10c", || fall_10c_mm_s(20.0)),
        ("fines-75um-10c", || fall_10c_mm_s(75.0)),
        ("fines-50um-5c", || 1_000.0 * fines_fall_m_s(50e-6, 1.519e-6, QUARTZ_KG_M3, 999.97)),
        ("fines-50um-20c", || 1_000.0 * fines_fall_m_s(50e-6, 1.004e-6, QUARTZ_KG_M3, 998.2)),
        ("pond-ideal-area-10um", || 0.04575 / (1e-3 * fall_10c_mm_s(10.0))),
        ("pond-ideal-area-50um", || 0.04575 / (1e-3 * fall_10c_mm_s(50.0))),
        ("six-feet-stokes-size", || {
            1e6 * stokes_size_m(jar_fall_m_s(6.0 * FOOT_M, 6.5 * S_PER_H), NU_10C_M2_S, QUARTZ_KG_M3, WATER_10C_KG_M3)
        }),
        ("recycle-5um-removal", || example_removal(5.0)),
        ("recycle-5um-return", || example_return_g_l(5.0)),
        ("recycle-10um-return", || example_return_g_l(10.0)),
        ("recycle-20um-return", || example_return_g_l(20.0)),
        ("recycle-1um-return", || example_return_g_l(1.0)),
        ("recycle-1um-build-up", || build_up(0.95, example_removal(1.0))),
        ("recycle-flocculated-return", || example_return_g_l(15.0)),
        ("build-up-time", || build_up_time_s(2_250.0, 8.0 / S_PER_H) / S_PER_H),
        ("makeup-example", || example_makeup(0)),
        ("makeup-carried-out", || example_makeup(1)),
        ("makeup-seepage", || example_makeup(2)),
    ];
}
