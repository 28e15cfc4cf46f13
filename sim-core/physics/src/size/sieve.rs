//! Sieve series: the openings that laboratories and miners name by a size or by a mesh number.
//!
//! A bare "mesh" means nothing: 35 mesh is 0.500 mm in the US series and 0.425 mm in Tyler's. Every lookup here names its
//! series.

use super::entry::{input, output, row};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::quantity::Dimension;

/// A series of sieves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Series {
    /// ISO 565 / ISO 3310-1, R20/3, named by the opening in mm.
    Iso,
    /// ASTM E11, named in inches down to 1/4 in and by US sieve number below.
    Us,
    /// Tyler mesh; placer reports before about 1970 mostly mean this one (from memory).
    Tyler,
}

/// One sieve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sieve {
    /// Opening of the square mesh, m.
    pub aperture_m: f64,
    /// Mesh number, or `None` for sieves that are named by their opening.
    pub number: Option<f64>,
    /// Name as written on the frame: `No. 30`, `1/2 in`, `0.5 mm`, `Tyler 28`.
    pub name: &'static str,
}

const fn sized(aperture_m: f64, name: &'static str) -> Sieve {
    Sieve { aperture_m, number: None, name }
}

const fn numbered(aperture_m: f64, number: f64, name: &'static str) -> Sieve {
    Sieve { aperture_m, number: Some(number), name }
}

/// Step of the R20/3 series before rounding, 10^(3/20) [-].
// Source: ISO 565 (every third of the 20 preferred numbers of a decade).
pub const R20_3_STEP: f64 = 1.412_537_544_622_754_4;

/// ISO 565 R20/3, finest first. The nominal sizes are rounded, so the table is kept and not the formula.
// Source: ISO 3310-1, R20/3 nominal openings (seen in the table of the Python library `fluids`).
pub const ISO_R20_3: [Sieve; 24] = [
    sized(0.045e-3, "0.045 mm"),
    sized(0.063e-3, "0.063 mm"),
    sized(0.09e-3, "0.09 mm"),
    sized(0.125e-3, "0.125 mm"),
    sized(0.18e-3, "0.18 mm"),
    sized(0.25e-3, "0.25 mm"),
    sized(0.355e-3, "0.355 mm"),
    sized(0.5e-3, "0.5 mm"),
    sized(0.71e-3, "0.71 mm"),
    sized(1.0e-3, "1 mm"),
    sized(1.4e-3, "1.4 mm"),
    sized(2.0e-3, "2 mm"),
    sized(2.8e-3, "2.8 mm"),
    sized(4.0e-3, "4 mm"),
    sized(5.6e-3, "5.6 mm"),
    sized(8.0e-3, "8 mm"),
    sized(11.2e-3, "11.2 mm"),
    sized(16.0e-3, "16 mm"),
    sized(22.4e-3, "22.4 mm"),
    sized(31.5e-3, "31.5 mm"),
    sized(45.0e-3, "45 mm"),
    sized(63.0e-3, "63 mm"),
    sized(90.0e-3, "90 mm"),
    sized(125.0e-3, "125 mm"),
];

/// ASTM E11, finest first.
// Source: ASTM E11 (seen in an excerpt of E11-01 and in the table of the Python library `fluids`).
pub const ASTM_E11: [Sieve; 56] = [
    numbered(0.02e-3, 635.0, "No. 635"),
    numbered(0.025e-3, 500.0, "No. 500"),
    numbered(0.032e-3, 450.0, "No. 450"),
    numbered(0.038e-3, 400.0, "No. 400"),
    numbered(0.045e-3, 325.0, "No. 325"),
    numbered(0.053e-3, 270.0, "No. 270"),
    numbered(0.063e-3, 230.0, "No. 230"),
    numbered(0.075e-3, 200.0, "No. 200"),
    numbered(0.09e-3, 170.0, "No. 170"),
    numbered(0.106e-3, 140.0, "No. 140"),
    numbered(0.125e-3, 120.0, "No. 120"),
    numbered(0.15e-3, 100.0, "No. 100"),
    numbered(0.18e-3, 80.0, "No. 80"),
    numbered(0.212e-3, 70.0, "No. 70"),
    numbered(0.25e-3, 60.0, "No. 60"),
    numbered(0.3e-3, 50.0, "No. 50"),
    numbered(0.355e-3, 45.0, "No. 45"),
    numbered(0.425e-3, 40.0, "No. 40"),
    numbered(0.5e-3, 35.0, "No. 35"),
    numbered(0.6e-3, 30.0, "No. 30"),
    numbered(0.71e-3, 25.0, "No. 25"),
    numbered(0.85e-3, 20.0, "No. 20"),
    numbered(1.0e-3, 18.0, "No. 18"),
    numbered(1.18e-3, 16.0, "No. 16"),
    numbered(1.4e-3, 14.0, "No. 14"),
    numbered(1.7e-3, 12.0, "No. 12"),
    numbered(2.0e-3, 10.0, "No. 10"),
    numbered(2.36e-3, 8.0, "No. 8"),
    numbered(2.8e-3, 7.0, "No. 7"),
    numbered(3.35e-3, 6.0, "No. 6"),
    numbered(4.0e-3, 5.0, "No. 5"),
    numbered(4.75e-3, 4.0, "No. 4"),
    numbered(5.6e-3, 3.5, "No. 3 1/2"),
    sized(6.3e-3, "1/4 in"),
    sized(6.7e-3, "0.265 in"),
    sized(8.0e-3, "5/16 in"),
    sized(9.5e-3, "3/8 in"),
    sized(11.2e-3, "7/16 in"),
    sized(12.5e-3, "1/2 in"),
    sized(13.2e-3, "0.53 in"),
    sized(16.0e-3, "5/8 in"),
    sized(19.0e-3, "3/4 in"),
    sized(22.4e-3, "7/8 in"),
    sized(25.0e-3, "1 in"),
    sized(26.5e-3, "1.06 in"),
    sized(31.5e-3, "1 1/4 in"),
    sized(37.5e-3, "1 1/2 in"),
    sized(45.0e-3, "1 3/4 in"),
    sized(50.0e-3, "2 in"),
    sized(53.0e-3, "2.12 in"),
    sized(63.0e-3, "2 1/2 in"),
    sized(75.0e-3, "3 in"),
    sized(90.0e-3, "3 1/2 in"),
    sized(100.0e-3, "4 in"),
    sized(106.0e-3, "4.24 in"),
    sized(125.0e-3, "5 in"),
];

/// Tyler mesh, finest first, each with the nominal opening of the equal ASTM sieve. Tyler's own openings step by the
/// square root of 2 (fourth root for the in-between sieves) from 0.0737 mm at 200 mesh and lie within 2 % of these.
// Source: from memory of the Tyler catalogue; meshes 6 to 35 compared with a public table.
pub const TYLER: [Sieve; 31] = [
    numbered(0.038e-3, 400.0, "Tyler 400"),
    numbered(0.045e-3, 325.0, "Tyler 325"),
    numbered(0.053e-3, 270.0, "Tyler 270"),
    numbered(0.063e-3, 250.0, "Tyler 250"),
    numbered(0.075e-3, 200.0, "Tyler 200"),
    numbered(0.09e-3, 170.0, "Tyler 170"),
    numbered(0.106e-3, 150.0, "Tyler 150"),
    numbered(0.125e-3, 115.0, "Tyler 115"),
    numbered(0.15e-3, 100.0, "Tyler 100"),
    numbered(0.18e-3, 80.0, "Tyler 80"),
    numbered(0.212e-3, 65.0, "Tyler 65"),
    numbered(0.25e-3, 60.0, "Tyler 60"),
    numbered(0.3e-3, 48.0, "Tyler 48"),
    numbered(0.355e-3, 42.0, "Tyler 42"),
    numbered(0.425e-3, 35.0, "Tyler 35"),
    numbered(0.5e-3, 32.0, "Tyler 32"),
    numbered(0.6e-3, 28.0, "Tyler 28"),
    numbered(0.71e-3, 24.0, "Tyler 24"),
    numbered(0.85e-3, 20.0, "Tyler 20"),
    numbered(1.0e-3, 16.0, "Tyler 16"),
    numbered(1.18e-3, 14.0, "Tyler 14"),
    numbered(1.4e-3, 12.0, "Tyler 12"),
    numbered(1.7e-3, 10.0, "Tyler 10"),
    numbered(2.0e-3, 9.0, "Tyler 9"),
    numbered(2.36e-3, 8.0, "Tyler 8"),
    numbered(2.8e-3, 7.0, "Tyler 7"),
    numbered(3.35e-3, 6.0, "Tyler 6"),
    numbered(4.0e-3, 5.0, "Tyler 5"),
    numbered(4.75e-3, 4.0, "Tyler 4"),
    numbered(5.6e-3, 3.5, "Tyler 3 1/2"),
    numbered(6.7e-3, 3.0, "Tyler 3"),
];

/// The sieves of a series, finest first.
pub const fn sieves(series: Series) -> &'static [Sieve] {
    match series {
        Series::Iso => &ISO_R20_3,
        Series::Us => &ASTM_E11,
        Series::Tyler => &TYLER,
    }
}

/// The sieve with a mesh number, e.g. 30, or 3.5 for No. 3 1/2. `None` when the series has no such number.
pub fn by_number(series: Series, number: f64) -> Option<&'static Sieve> {
    sieves(series).iter().find(|s| s.number == Some(number))
}

/// The sieve whose opening is nearest to a size in the logarithm. `None` unless the size is positive and finite.
pub fn nearest(series: Series, size_m: f64) -> Option<&'static Sieve> {
    if !(size_m > 0.0 && size_m.is_finite()) {
        return None;
    }
    // The farther of the two ratios, so that no logarithm is needed.
    let ratio = |s: &Sieve| (s.aperture_m / size_m).max(size_m / s.aperture_m);
    sieves(series).iter().min_by(|a, b| ratio(a).total_cmp(&ratio(b)))
}

const OPENING: washgraph_units::formula::Symbol =
    output("opening", "opening of the square mesh", Dimension::Length, "mm");

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new("us-sieve-opening", "Opening of a US sieve (ASTM E11) with a given number", "table", |x| {
        vec![by_number(Series::Us, x[0]).map_or(f64::NAN, |s| s.aperture_m)]
    })
    .inputs(&[input("sieve_number", "US sieve number, 3.5 for No. 3 1/2", Dimension::Number, "-", (3.5, 635.0), None)])
    .outputs(&[OPENING])
    .source("ASTM E11", Status::Seen)
    .limits("no answer for a number that the series does not have"),
    Formula::new(
        "tyler-sieve-opening",
        "Opening of a Tyler sieve with a given mesh, as the equal ASTM opening",
        "table",
        |x| vec![by_number(Series::Tyler, x[0]).map_or(f64::NAN, |s| s.aperture_m)],
    )
    .inputs(&[input("mesh", "Tyler mesh number, 3.5 for 3 1/2 mesh", Dimension::Number, "-", (3.0, 400.0), None)])
    .outputs(&[OPENING])
    .source("Tyler catalogue", Status::Memory)
    .limits("no answer for a mesh that the series does not have"),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("sieve-r20-3-step", "ISO 565 R20/3"),
        (Kind::Identity, "10^(3/20)", Status::Computed),
        1.412538,
        "-",
        Band::Absolute(1e-6),
        || R20_3_STEP,
    ),
    row(
        ("sieve-us-no-30", "ASTM E11"),
        (Kind::Published, "ASTM E11, No. 30", Status::Seen),
        0.600,
        "mm",
        Band::Relative(1e-9),
        || by_number(Series::Us, 30.0).map_or(f64::NAN, |s| s.aperture_m * 1e3),
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_series_rise_and_names_are_unique() {
        for series in [Series::Iso, Series::Us, Series::Tyler] {
            for w in sieves(series).windows(2) {
                assert!(w[0].aperture_m < w[1].aperture_m);
                assert_ne!(w[0].name, w[1].name);
            }
        }
    }

    #[test]
    fn identity_iso_series_is_its_rounded_formula_and_part_of_astm() {
        for (k, s) in ISO_R20_3.iter().enumerate() {
            let exact = 1e-3 * washgraph_units::math::pow(10.0, 3.0 * (k as f64 - 9.0) / 20.0);
            assert!((s.aperture_m / exact - 1.0).abs() < 0.02, "{}", s.name);
            assert!(ASTM_E11.iter().any(|a| a.aperture_m == s.aperture_m));
            assert!(crate::size::SOLID_EDGES_M[k] == s.aperture_m);
        }
    }

    #[test]
    fn published_tyler_and_us_numbers_differ_where_they_should() {
        let opening = |series, n| by_number(series, n).map(|s| s.aperture_m);
        assert_eq!(opening(Series::Tyler, 35.0), Some(0.425e-3));
        assert_eq!(opening(Series::Us, 35.0), Some(0.5e-3));
        assert_eq!(opening(Series::Us, 31.0), None);
        // Square root of 2 from 0.0737 mm at 200 mesh.
        for (mesh, steps) in [(28.0, 6.0), (10.0, 9.0), (4.0, 12.0)] {
            let own = 0.0737e-3 * washgraph_units::math::pow(2.0, steps / 2.0);
            let table = opening(Series::Tyler, mesh).unwrap();
            assert!((own / table - 1.0).abs() < 0.02, "{mesh}");
        }
    }
}
