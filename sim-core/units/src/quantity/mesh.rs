//! Sieve numbers: openings of the US (ASTM E11) and Tyler series.
//!
//! A mesh number says nothing without its series: 28 mesh Tyler is 30 mesh US.

/// US sieve number and nominal opening, mm.
///
/// Source: ASTM E11 nominal openings (seen in a reprint of the table). Above No. 3 1/2 the standard names sieves by
/// their opening in inches, so no number is listed there.
pub const US_NUMBERS_MM: [(f64, f64); 33] = [
    (3.5, 5.6),
    (4.0, 4.75),
    (5.0, 4.0),
    (6.0, 3.35),
    (7.0, 2.8),
    (8.0, 2.36),
    (10.0, 2.0),
    (12.0, 1.7),
    (14.0, 1.4),
    (16.0, 1.18),
    (18.0, 1.0),
    (20.0, 0.85),
    (25.0, 0.71),
    (30.0, 0.6),
    (35.0, 0.5),
    (40.0, 0.425),
    (45.0, 0.355),
    (50.0, 0.3),
    (60.0, 0.25),
    (70.0, 0.212),
    (80.0, 0.18),
    (100.0, 0.15),
    (120.0, 0.125),
    (140.0, 0.106),
    (170.0, 0.09),
    (200.0, 0.075),
    (230.0, 0.063),
    (270.0, 0.053),
    (325.0, 0.045),
    (400.0, 0.038),
    (450.0, 0.032),
    (500.0, 0.025),
    (635.0, 0.02),
];

/// Tyler mesh and the opening of the US sieve that stands for it today, mm.
///
/// Source: correspondence of the Tyler and US series, from memory (6 to 35 mesh seen on a public table). The original
/// Tyler openings form a series of ratio sqrt 2 (with in-between sieves, its fourth root) on 200 mesh = 0.0029 in; they
/// lie within 3 % of the openings here.
pub const TYLER_MESH_MM: [(f64, f64); 31] = [
    (3.0, 6.7),
    (3.5, 5.6),
    (4.0, 4.75),
    (5.0, 4.0),
    (6.0, 3.35),
    (7.0, 2.8),
    (8.0, 2.36),
    (9.0, 2.0),
    (10.0, 1.7),
    (12.0, 1.4),
    (14.0, 1.18),
    (16.0, 1.0),
    (20.0, 0.85),
    (24.0, 0.71),
    (28.0, 0.6),
    (32.0, 0.5),
    (35.0, 0.425),
    (42.0, 0.355),
    (48.0, 0.3),
    (60.0, 0.25),
    (65.0, 0.212),
    (80.0, 0.18),
    (100.0, 0.15),
    (115.0, 0.125),
    (150.0, 0.106),
    (170.0, 0.09),
    (200.0, 0.075),
    (250.0, 0.063),
    (270.0, 0.053),
    (325.0, 0.045),
    (400.0, 0.038),
];

/// Opening in mm of a US sieve number (ASTM E11), or `None` when the standard has no such number.
///
/// ```
/// assert_eq!(washgraph_units::quantity::us_number_mm(30.0), Some(0.6));
/// assert_eq!(washgraph_units::quantity::us_number_mm(31.0), None);
/// ```
pub fn us_number_mm(number: f64) -> Option<f64> {
    opening(&US_NUMBERS_MM, number)
}

/// Opening in mm of the US sieve that stands for a Tyler mesh today, or `None` when the series has no such mesh.
///
/// ```
/// assert_eq!(washgraph_units::quantity::tyler_mesh_mm(28.0), Some(0.6));
/// ```
pub fn tyler_mesh_mm(mesh: f64) -> Option<f64> {
    opening(&TYLER_MESH_MM, mesh)
}

/// US sieve number whose opening lies within the relative distance `tolerance` of `opening_mm`.
pub fn us_number_of_mm(opening_mm: f64, tolerance: f64) -> Option<f64> {
    number(&US_NUMBERS_MM, opening_mm, tolerance)
}

/// Tyler mesh whose present opening lies within the relative distance `tolerance` of `opening_mm`.
pub fn tyler_mesh_of_mm(opening_mm: f64, tolerance: f64) -> Option<f64> {
    number(&TYLER_MESH_MM, opening_mm, tolerance)
}

fn opening(series: &[(f64, f64)], wanted: f64) -> Option<f64> {
    series.iter().find(|(n, _)| *n == wanted).map(|(_, mm)| *mm)
}

fn number(series: &[(f64, f64)], opening_mm: f64, tolerance: f64) -> Option<f64> {
    series.iter().find(|(_, mm)| (opening_mm - mm).abs() <= tolerance * mm).map(|(n, _)| *n)
}

/// The two numbers of a series on either side of one that it lacks, for error messages.
pub(super) fn neighbours(series: &[(f64, f64)], wanted: f64) -> (Option<f64>, Option<f64>) {
    let below = series.iter().map(|(n, _)| *n).filter(|n| *n < wanted).reduce(f64::max);
    let above = series.iter().map(|(n, _)| *n).filter(|n| *n > wanted).reduce(f64::min);
    (below, above)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Base and ratio of the original Tyler series from memory; the openings in use today follow it to 3 %.
    #[test]
    fn identity_tyler_root_two_series() {
        let base_mm = 0.0029 * 25.4;
        let full_steps = [200.0, 150.0, 100.0, 65.0, 48.0, 35.0, 28.0, 20.0, 14.0, 10.0, 8.0, 6.0, 4.0, 3.0];
        for (k, mesh) in full_steps.into_iter().enumerate() {
            let series_mm = base_mm * crate::math::pow(2.0, k as f64 / 2.0);
            let here = tyler_mesh_mm(mesh).unwrap();
            assert!((here / series_mm - 1.0).abs() < 0.03, "{mesh}: {here} against {series_mm}");
        }
    }
}
