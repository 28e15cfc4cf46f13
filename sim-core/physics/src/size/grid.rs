//! The fixed size grid of the engine: every mass of gravel, sand and gold is kept by these classes.
//!
//! ```text
//! class of solids   0        1            2       ...      23        24
//!              0 ──────┬────────────┬───────────┬─ ... ─┬────────┬───────────
//! edge, mm           0.045        0.063       0.090     90      125
//! ```
//! Class 0 is the finest. Gold has the same classes above 0.045 mm and three (below 0.020, 0.020-0.032, 0.032-0.045)
//! where the solids have one, because a sluice still catches a little gold there.
//!
//! The edges are the 24 apertures of ISO 565 R20/3 from 0.045 to 125 mm (ISO 3310-1 nominal sizes, step about
//! 10^(3/20) = 1.4125). A class includes its lower edge and excludes its upper edge: what stays on a sieve as wide as
//! itself belongs to the coarser class.

use std::sync::LazyLock;

/// Number of size classes of gravel, sand and silt, both open ends included.
pub const SOLID_CLASSES: usize = 25;

/// Number of size classes of gold, both open ends included.
pub const GOLD_CLASSES: usize = 27;

/// Edges between the classes of solids, finest first, m.
// Source: ISO 3310-1, R20/3 nominal apertures.
pub const SOLID_EDGES_M: [f64; SOLID_CLASSES - 1] = [
    0.045e-3, 0.063e-3, 0.090e-3, 0.125e-3, 0.180e-3, 0.250e-3, 0.355e-3, 0.500e-3, 0.710e-3, 1.0e-3, 1.4e-3, 2.0e-3,
    2.8e-3, 4.0e-3, 5.6e-3, 8.0e-3, 11.2e-3, 16.0e-3, 22.4e-3, 31.5e-3, 45.0e-3, 63.0e-3, 90.0e-3, 125.0e-3,
];

/// Edges between the classes of gold, finest first, m: the edges of the solids and two finer ones.
// Source: ISO 3310-1 R20/3; 0.020 and 0.032 mm from ASTM E11 (No. 635 and No. 450).
pub const GOLD_EDGES_M: [f64; GOLD_CLASSES - 1] = [
    0.020e-3, 0.032e-3, 0.045e-3, 0.063e-3, 0.090e-3, 0.125e-3, 0.180e-3, 0.250e-3, 0.355e-3, 0.500e-3, 0.710e-3,
    1.0e-3, 1.4e-3, 2.0e-3, 2.8e-3, 4.0e-3, 5.6e-3, 8.0e-3, 11.2e-3, 16.0e-3, 22.4e-3, 31.5e-3, 45.0e-3, 63.0e-3,
    90.0e-3, 125.0e-3,
];

// Sizes that stand for the open classes. Assumed: the middle of the class that would follow if the grid went on.
const SOLID_BOTTOM_MIDDLE_M: f64 = 0.030e-3;
const GOLD_BOTTOM_MIDDLE_M: f64 = 0.014e-3;
const TOP_MIDDLE_M: f64 = 160.0e-3;

/// One class of the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeClass {
    /// Aperture that retains the class, m; 0 for the finest class.
    pub from_m: f64,
    /// Aperture that passes the class, m; infinite for the coarsest class.
    pub to_m: f64,
    /// Size that stands for the class, m: geometric mean of the edges. Assumed for the open classes: 0.030 mm for the
    /// finest solids, 0.014 mm for the finest gold, 160 mm for the coarsest class.
    pub middle_m: f64,
}

impl SizeClass {
    /// Lower edge as a finite number, m: for the open finest class the size as far below the middle (in the logarithm) as
    /// the upper edge lies above it. Assumed, for sums that cannot take an open class.
    pub fn finite_from_m(&self) -> f64 {
        if self.from_m > 0.0 { self.from_m } else { self.middle_m * (self.middle_m / self.to_m) }
    }

    /// Upper edge as a finite number, m: for the open coarsest class the size as far above the middle (in the logarithm)
    /// as the lower edge lies below it. Assumed, for sums that cannot take an open class.
    pub fn finite_to_m(&self) -> f64 {
        if self.to_m.is_finite() { self.to_m } else { self.middle_m * (self.middle_m / self.from_m) }
    }

    /// Whether both edges are sieves.
    pub fn is_closed(&self) -> bool {
        self.from_m > 0.0 && self.to_m.is_finite()
    }

    /// Label for tables and figure axes, in mm: `0.25-0.355 mm`, `under 0.045 mm`, `over 125 mm`.
    pub fn label(&self) -> String {
        let from = millimetres(self.from_m);
        let to = millimetres(self.to_m);
        if !(self.from_m > 0.0) {
            format!("under {to} mm")
        } else if !self.to_m.is_finite() {
            format!("over {from} mm")
        } else {
            format!("{from}-{to} mm")
        }
    }
}

/// A size in mm without trailing zeros, to a tenth of a micrometre.
pub(super) fn millimetres(size_m: f64) -> String {
    let text = format!("{:.4}", size_m * 1e3);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

static SOLIDS: LazyLock<[SizeClass; SOLID_CLASSES]> =
    LazyLock::new(|| classes_between(&SOLID_EDGES_M, SOLID_BOTTOM_MIDDLE_M));

static GOLD: LazyLock<[SizeClass; GOLD_CLASSES]> =
    LazyLock::new(|| classes_between(&GOLD_EDGES_M, GOLD_BOTTOM_MIDDLE_M));

fn classes_between<const N: usize>(edges_m: &[f64], bottom_middle_m: f64) -> [SizeClass; N] {
    std::array::from_fn(|i| {
        let from_m = if i == 0 { 0.0 } else { edges_m[i - 1] };
        let to_m = edges_m.get(i).copied().unwrap_or(f64::INFINITY);
        let middle_m = if i == 0 {
            bottom_middle_m
        } else if i == edges_m.len() {
            TOP_MIDDLE_M
        } else {
            (from_m * to_m).sqrt()
        };
        SizeClass { from_m, to_m, middle_m }
    })
}

/// All classes of gravel, sand and silt, finest first.
pub fn solid_classes() -> &'static [SizeClass; SOLID_CLASSES] {
    &SOLIDS
}

/// All classes of gold, finest first.
pub fn gold_classes() -> &'static [SizeClass; GOLD_CLASSES] {
    &GOLD
}

/// Class `i` of gravel, sand and silt; 0 is the finest.
///
/// # Panics
/// When `i >= SOLID_CLASSES`: class numbers come from loops over the grid, never from a user.
pub fn solid_class(i: usize) -> SizeClass {
    SOLIDS[i]
}

/// Class `i` of gold; 0 is the finest.
///
/// # Panics
/// When `i >= GOLD_CLASSES`: class numbers come from loops over the grid, never from a user.
pub fn gold_class(i: usize) -> SizeClass {
    GOLD[i]
}

/// Number of the class of solids that holds a size (m). Sizes of zero or less, and NaN, fall in the finest class.
pub fn solid_class_of(size_m: f64) -> usize {
    SOLID_EDGES_M.iter().filter(|&&e| size_m >= e).count()
}

/// Number of the class of gold that holds a size (m). Sizes of zero or less, and NaN, fall in the finest class.
pub fn gold_class_of(size_m: f64) -> usize {
    GOLD_EDGES_M.iter().filter(|&&e| size_m >= e).count()
}

/// Class of solids that holds class `i` of gold. The three finest classes of gold lie in the finest class of solids.
pub fn solid_class_of_gold(i: usize) -> usize {
    i.saturating_sub(GOLD_CLASSES - SOLID_CLASSES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_middle_lies_in_its_own_class() {
        for (i, c) in solid_classes().iter().enumerate() {
            assert_eq!(solid_class_of(c.middle_m), i);
            assert!(c.finite_from_m() < c.middle_m && c.middle_m < c.finite_to_m());
        }
        for (i, c) in gold_classes().iter().enumerate() {
            assert_eq!(gold_class_of(c.middle_m), i);
            assert!(c.finite_from_m() < c.middle_m && c.middle_m < c.finite_to_m());
            let solid = solid_class(solid_class_of_gold(i));
            assert!(solid.from_m <= c.from_m && c.to_m <= solid.to_m);
        }
    }

    #[test]
    fn pinned_labels_and_edges() {
        assert_eq!(solid_class(0).label(), "under 0.045 mm");
        assert_eq!(solid_class(6).label(), "0.25-0.355 mm");
        assert_eq!(solid_class(24).label(), "over 125 mm");
        assert_eq!(gold_class(2).label(), "0.032-0.045 mm");
        assert_eq!(solid_class_of(1.0e-3), 10);
        assert_eq!(solid_class(10).from_m, 1.0e-3);
        assert!(!solid_class(24).is_closed() && solid_class(23).is_closed());
    }
}
