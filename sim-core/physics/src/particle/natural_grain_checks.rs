//! Checks of the laws for natural grains, against measured river sand.

use super::entry::{clean, row};
use super::natural_grain::{NATURAL_C1, NATURAL_C2, ferguson_church_m_s};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::QUARTZ_KG_M3;

/// Default law on quartz of a sieve size in mm, 20 °C, m/s.
fn quartz(d_mm: f64) -> f64 {
    let f = clean(20.0);
    ferguson_church_m_s(f.submerged(QUARTZ_KG_M3), f.g, d_mm * 1e-3, f.nu, NATURAL_C1, NATURAL_C2)
}

const MEASURED: (Kind, &str, Status) = (
    Kind::Published,
    "Ferguson and Church 2004, table 2, measured, temperature taken as 20 °C; the authors judged C1 and C2 on this sand among others",
    Status::Seen,
);
/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("settling-river-sand-0p068mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.00425,
        "m/s",
        Band::Relative(0.20),
        || quartz(0.068),
    ),
    row(
        ("settling-river-sand-0p081mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.006,
        "m/s",
        Band::Relative(0.20),
        || quartz(0.081),
    ),
    row(
        ("settling-river-sand-0p096mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.0075,
        "m/s",
        Band::Relative(0.20),
        || quartz(0.096),
    ),
    row(
        ("settling-river-sand-0p115mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.011,
        "m/s",
        Band::Relative(0.20),
        || quartz(0.115),
    ),
    row(
        ("settling-river-sand-0p136mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.0139,
        "m/s",
        Band::Relative(0.20),
        || quartz(0.136),
    ),
    row(
        ("settling-river-sand-0p273mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.0388,
        "m/s",
        Band::Relative(0.15),
        || quartz(0.273),
    ),
    row(
        ("settling-river-sand-0p55mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.0729,
        "m/s",
        Band::Relative(0.20),
        || quartz(0.55),
    ),
    row(
        ("settling-river-sand-0p77mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.093,
        "m/s",
        Band::Relative(0.20),
        || quartz(0.77),
    ),
    row(
        ("settling-river-sand-1p09mm", "Ferguson-Church 2004 18/1.0"),
        MEASURED,
        0.141,
        "m/s",
        Band::Relative(0.15),
        || quartz(1.09),
    ),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::natural_grain::cheng_1997_m_s;
    use super::super::natural_grain::dietrich_m_s;
    use super::super::natural_grain::dietrich_w_star;
    use super::super::natural_grain::rubey_m_s;
    use super::super::natural_grain::soulsby_m_s;
    use super::*;
    use washgraph_units::math;

    /// Root mean square of ln(predicted/measured) over the river sand for a law of the sieve size in mm.
    pub(crate) fn rms_on_river_sand(law: impl Fn(f64) -> f64) -> f64 {
        let sum: f64 = RIVER_SAND
            .iter()
            .map(|&(d_mm, w)| {
                let miss = math::ln(law(d_mm) / w);
                miss * miss
            })
            .sum();
        (sum / RIVER_SAND.len() as f64).sqrt()
    }

    /// Ratio of nominal to sieve diameter of river sand [-].
    // Source: computed from a usual shape (CSF 0.6 to 0.7, square mesh).
    const NOMINAL_OVER_SIEVE: f64 = 1.13;

    /// Rms over the river sand of a law that takes R, g, D, nu, fed `stretch` times the sieve size.
    fn rms_at_20_c(stretch: f64, law: fn(f64, f64, f64, f64) -> f64) -> f64 {
        let f = clean(20.0);
        rms_on_river_sand(|d_mm| law(f.submerged(QUARTZ_KG_M3), f.g, stretch * d_mm * 1e-3, f.nu))
    }

    /// Default law on quartz of a sieve size in mm, 10 °C, cm/s.
    fn quartz_at_10_c(d_mm: f64) -> f64 {
        let f = clean(10.0);
        100.0 * ferguson_church_m_s(f.submerged(QUARTZ_KG_M3), f.g, d_mm * 1e-3, f.nu, NATURAL_C1, NATURAL_C2)
    }

    /// Measured: natural river sand, sieve size mm, fall velocity m/s.
    // Source: Ferguson and Church 2004, table 2 (seen in a copy); the water temperature was not recovered, 20 °C assumed.
    const RIVER_SAND: [(f64, f64); 9] = [
        (0.068, 0.00425),
        (0.081, 0.0060),
        (0.096, 0.0075),
        (0.115, 0.0110),
        (0.136, 0.0139),
        (0.273, 0.0388),
        (0.55, 0.0729),
        (0.77, 0.0930),
        (1.09, 0.141),
    ];

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("settling-ferguson-church-by-hand", || ferguson_church_m_s(1.65, 9.81, 0.25e-3, 1e-6, 18.0, 1.0)),
        ("settling-dietrich-by-hand", || dietrich_w_star(1e4, 0.7, 3.5)),
        ("settling-river-sand-rms", || rms_on_river_sand(quartz)),
        ("settling-river-sand-rms-nominal", || {
            rms_at_20_c(NOMINAL_OVER_SIEVE, |r, g, d, nu| ferguson_church_m_s(r, g, d, nu, 20.0, 1.1))
        }),
        ("settling-river-sand-rms-soulsby", || rms_at_20_c(1.0, |r, g, d, nu| soulsby_m_s(r, g, d, nu, 0.0))),
        ("settling-river-sand-rms-rubey", || rms_at_20_c(1.0, rubey_m_s)),
        ("settling-river-sand-rms-cheng-on-sieve", || rms_at_20_c(1.0, cheng_1997_m_s)),
        ("settling-river-sand-rms-dietrich", || {
            rms_at_20_c(NOMINAL_OVER_SIEVE, |r, g, d, nu| dietrich_m_s(r, g, d, nu, 0.61, 3.5))
        }),
        ("settling-river-sand-rms-dietrich-on-sieve", || {
            rms_at_20_c(1.0, |r, g, d, nu| dietrich_m_s(r, g, d, nu, 0.7, 3.5))
        }),
        ("settling-quartz-3p082mm-10c", || quartz_at_10_c(3.082)),
        ("settling-quartz-0p357mm-10c", || quartz_at_10_c(0.357)),
        ("settling-quartz-0p063mm-10c", || quartz_at_10_c(0.063)),
    ];
}
