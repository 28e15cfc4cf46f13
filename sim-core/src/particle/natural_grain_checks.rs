//! Checks of the laws for natural grains, against measured river sand.

use super::entry::{WORKED_APART, clean, row};
use super::natural_grain::{
    NATURAL_C1, NATURAL_C2, cheng_1997_m_s, dietrich_m_s, dietrich_w_star, ferguson_church_m_s, rubey_m_s, soulsby_m_s,
};
use crate::check::{Band, Check, Kind, Status};
use crate::math;

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

/// Default law on quartz of a sieve size in mm, 20 °C, m/s.
fn quartz(d_mm: f64) -> f64 {
    let f = clean(20.0);
    ferguson_church_m_s(f.submerged(2650.0), f.g, d_mm * 1e-3, f.nu, NATURAL_C1, NATURAL_C2)
}

/// Root mean square of ln(predicted/measured) over the river sand for a law of the sieve size in mm.
pub(super) fn rms_on_river_sand(law: impl Fn(f64) -> f64) -> f64 {
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
    rms_on_river_sand(|d_mm| law(f.submerged(2650.0), f.g, stretch * d_mm * 1e-3, f.nu))
}

const MEASURED: (Kind, &str, Status) = (
    Kind::Published,
    "Ferguson and Church 2004, table 2, measured, temperature taken as 20 °C; the authors judged C1 and C2 on this sand among others",
    Status::Seen,
);
const RMS: (Kind, &str, Status) = (
    Kind::Pinned,
    "rms of ln(predicted/measured) on Ferguson and Church 2004, table 2, worked apart",
    Status::Computed,
);

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("settling-ferguson-church-by-hand", "Ferguson-Church 2004"),
        WORKED_APART,
        0.03184,
        "m/s",
        Band::Relative(5e-4),
        || ferguson_church_m_s(1.65, 9.81, 0.25e-3, 1e-6, 18.0, 1.0),
    ),
    row(("settling-dietrich-by-hand", "Dietrich 1982"), WORKED_APART, 78.906, "-", Band::Relative(1e-3), || {
        dietrich_w_star(1e4, 0.7, 3.5)
    }),
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
    row(("settling-river-sand-rms", "Ferguson-Church 2004 18/1.0"), RMS, 0.103, "-", Band::Absolute(2e-3), || {
        rms_on_river_sand(quartz)
    }),
    row(
        ("settling-river-sand-rms-nominal", "Ferguson-Church 2004 20/1.1"),
        RMS,
        0.067,
        "-",
        Band::Absolute(2e-3),
        || rms_at_20_c(NOMINAL_OVER_SIEVE, |r, g, d, nu| ferguson_church_m_s(r, g, d, nu, 20.0, 1.1)),
    ),
    row(("settling-river-sand-rms-soulsby", "Soulsby 1997"), RMS, 0.086, "-", Band::Absolute(2e-3), || {
        rms_at_20_c(1.0, |r, g, d, nu| soulsby_m_s(r, g, d, nu, 0.0))
    }),
    row(("settling-river-sand-rms-rubey", "Rubey 1933"), RMS, 0.119, "-", Band::Absolute(2e-3), || {
        rms_at_20_c(1.0, rubey_m_s)
    }),
    row(
        ("settling-river-sand-rms-cheng-on-sieve", "Cheng 1997, wrong diameter"),
        RMS,
        0.271,
        "-",
        Band::Absolute(2e-3),
        || rms_at_20_c(1.0, cheng_1997_m_s),
    ),
    row(
        ("settling-river-sand-rms-dietrich", "Dietrich 1982, CSF 0.61, P 3.5"),
        RMS,
        0.083,
        "-",
        Band::Absolute(2e-3),
        || rms_at_20_c(NOMINAL_OVER_SIEVE, |r, g, d, nu| dietrich_m_s(r, g, d, nu, 0.61, 3.5)),
    ),
    row(
        ("settling-river-sand-rms-dietrich-on-sieve", "Dietrich 1982, CSF 0.7, P 3.5, wrong diameter"),
        RMS,
        0.198,
        "-",
        Band::Absolute(2e-3),
        || rms_at_20_c(1.0, |r, g, d, nu| dietrich_m_s(r, g, d, nu, 0.7, 3.5)),
    ),
    row(
        ("settling-quartz-3p082mm-10c", "Ferguson-Church 2004 18/1.0"),
        WORKED_APART,
        24.81,
        "cm/s",
        Band::Absolute(6e-3),
        || quartz_at_10_c(3.082),
    ),
    row(
        ("settling-quartz-0p357mm-10c", "Ferguson-Church 2004 18/1.0"),
        WORKED_APART,
        4.39,
        "cm/s",
        Band::Absolute(6e-3),
        || quartz_at_10_c(0.357),
    ),
    row(
        ("settling-quartz-0p063mm-10c", "Ferguson-Church 2004 18/1.0"),
        WORKED_APART,
        0.25,
        "cm/s",
        Band::Absolute(6e-3),
        || quartz_at_10_c(0.063),
    ),
];

/// Default law on quartz of a sieve size in mm, 10 °C, cm/s.
fn quartz_at_10_c(d_mm: f64) -> f64 {
    let f = clean(10.0);
    100.0 * ferguson_church_m_s(f.submerged(2650.0), f.g, d_mm * 1e-3, f.nu, NATURAL_C1, NATURAL_C2)
}
