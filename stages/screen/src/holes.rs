//! Holes as they are cut: not all of one size, in a plate that is not thin.

use core::f64::consts::PI;

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::Formula;
use sim_core::math::{erfc, exp, ln};
use sim_core::quantity::Dimension;

use crate::passage::{HoleShape, chance_by_shape};
use sim_core::formula::symbol::{input, input_or, output};

/// Standard deviations beyond which a hole of that size is not expected, or not told from the middle one.
const FAR: f64 = 6.0;

/// The holes of a plate as one kind of grain sees them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutHoles {
    /// Shape.
    pub shape: HoleShape,
    /// Effective size in the middle, m.
    pub size_m: f64,
    /// Standard deviation of the effective size, m.
    pub scatter_m: f64,
    /// Open share of the plate with all holes at the middle size.
    pub open_share: f64,
    /// By how much the straight part of the hole narrows the window of a grain at the steepest approach, m: see
    /// [`thickness_factor`].
    pub shade_m: f64,
}

impl CutHoles {
    /// Chance that a grain of this size passes in one meeting.
    pub fn chance(&self, grain_m: f64) -> f64 {
        let gap_m = self.size_m - grain_m;
        let (plain, window_m) = if self.scatter_m > 0.0 && gap_m.abs() < FAR * self.scatter_m {
            let z = gap_m / self.scatter_m;
            match self.shape {
                HoleShape::Slot => {
                    let mean = self.scatter_m * mean_excess(z);
                    (self.open_share * mean / self.size_m, mean)
                }
                _ => {
                    let square = self.scatter_m * self.scatter_m * mean_square_excess(z);
                    (self.open_share * square / (self.size_m * self.size_m), square.sqrt())
                }
            }
        } else {
            (chance_by_shape(self.shape, grain_m, self.size_m, self.open_share), gap_m.max(0.0))
        };
        if plain > 0.0 { plain * thickness_factor(window_m, self.shade_m) } else { 0.0 }
    }
}

/// Mean of max(0, z + x) over a standard normal x: phi(z) + z Phi(z).
///
/// Source: integral of the normal distribution. Holes whose size scatters normally let a grain pass by the mean of
/// (a - d)/s in this way.
pub fn mean_excess(z: f64) -> f64 {
    density(z) + z * below(z)
}

/// Mean of max(0, z + x)^2 over a standard normal x: (z^2 + 1) Phi(z) + z phi(z).
///
/// The open area of a hole grows with its size squared and the chance with (1 - d/a)^2, so a plate of scattered holes passes
/// a grain by the mean of (a - d)^2. Source: integral of the normal distribution.
pub fn mean_square_excess(z: f64) -> f64 {
    ((z * z + 1.0) * below(z) + z * density(z)).max(0.0)
}

fn density(z: f64) -> f64 {
    exp(-0.5 * z * z) / (2.0 * PI).sqrt()
}

fn below(z: f64) -> f64 {
    0.5 * erfc(-z * core::f64::consts::FRAC_1_SQRT_2)
}

/// Factor of the plate's thickness on the chance of passing.
///
/// f = 1 - T/(2 w) for w >= T, w/(2 T) below, with T = t tan(i)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | w | window: hole less grain | m | >= 0 |
/// | t | straight part of the hole | m | 0 to 0.02 |
/// | i | steepest approach of grains that are offered the hole, to its axis | rad | 0 to 0.6 |
///
/// A grain that comes at an angle j must clear the far edge: the window in that direction is w - t tan(j). Taken over all
/// approaches with t tan(j) even from 0 to T, its mean over w is f. Across the direction of travel the window stays w.
/// Source: projection (from memory for one angle), averaged here; the steepest approach is assumed. A relieved hole, wider
/// outside than inside, has only a short straight part.
pub fn thickness_factor(window_m: f64, shade_m: f64) -> f64 {
    if !(shade_m > 0.0) {
        1.0
    } else if window_m >= shade_m {
        1.0 - 0.5 * shade_m / window_m
    } else {
        0.5 * window_m / shade_m
    }
}

/// Largest of N holes whose sizes scatter normally, in standard deviations above the mean:
/// r - (ln ln N + ln 4 pi)/(2 r) - ln(ln 2)/r, r = sqrt(2 ln N).
///
/// Source: asymptotic median of the largest of N normal values (textbook, from memory). Below N = 3: 0.
pub fn largest_of(holes: f64) -> f64 {
    if holes < 3.0 {
        return 0.0;
    }
    let root = (2.0 * ln(holes)).sqrt();
    root - (0.5 * (ln(ln(holes)) + ln(4.0 * PI)) + ln(core::f64::consts::LN_2)) / root
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "screen-cut-holes",
    "Chance of passing holes whose size scatters, in a plate of some thickness, and the largest hole among them.",
    "z = (a - d)/s; p = f_o (s/a)^2 [(z^2 + 1) Phi(z) + z phi(z)] f(t tan i); largest = a + s [r - \
               (ln ln N + ln 4 pi)/(2 r) - ln(ln 2)/r], r = sqrt(2 ln N)",
    |x| {
        let holes = CutHoles {
            shape: HoleShape::Round,
            size_m: x[1],
            scatter_m: x[2],
            open_share: x[3],
            shade_m: x[4] * sim_core::math::tan(x[5]),
        };
        vec![holes.chance(x[0]), x[1] + x[2] * largest_of(x[6])]
    },
)
.inputs(&[
    input("grain", "size of the grain by the criterion of the hole", Dimension::SieveSize, "mm", (0.0, 0.3)),
    input("hole", "effective hole, in the middle", Dimension::Length, "mm", (1e-4, 0.3)),
    input("scatter", "standard deviation of the hole size", Dimension::Length, "mm", (0.0, 0.02)),
    input_or("open_share", "open share of the plate", Dimension::Fraction, "%", (0.0, 1.0), 0.4),
    input_or("straight", "straight part of the hole", Dimension::Length, "mm", (0.0, 0.05), 0.0),
    input_or("approach", "steepest approach of the grains", Dimension::Angle, "deg", (0.0, 1.0), 0.262),
    input_or("holes", "number of holes", Dimension::Number, "-", (1.0, 1e6), 3000.0),
])
.outputs(&[
    output("chance", "chance in one trial", Dimension::Fraction, "%"),
    output("largest", "largest hole to be expected", Dimension::Length, "mm"),
])
.source("Gaudin 1939 averaged over normal scatter and over approaches, derived here", Status::Computed)
.limits("hand-cut holes are also out of round, which is left out")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    Check::new("screen-scatter-middle-hole", "passage through scattered holes", || {
        let holes = CutHoles { shape: HoleShape::Round, size_m: 0.01, scatter_m: 0.001, open_share: 1.0, shade_m: 0.0 };
        holes.chance(0.01)
    })
    .against(
        Kind::Identity,
        "half of the holes are larger than the grain, by s^2 in the mean square: \
    (s/a)^2/2 for a grain as large as the middle hole, a 10 mm, s 1 mm",
        Status::Computed,
    )
    .value(0.005, "-")
    .within(Band::Relative(1e-12)),
    Check::new("normal-largest-of-1000", "largest of N normal values", || largest_of(1000.0))
        .against(
            Kind::Published,
            "expected largest of 1000 standard normal values, tables of order statistics (3.24)",
            Status::Memory,
        )
        .value(3.24, "-")
        .within(Band::Absolute(0.05)),
];

#[cfg(test)]
mod tests {
    use super::*;

    fn holes(scatter_m: f64, shade_m: f64) -> CutHoles {
        CutHoles { shape: HoleShape::Round, size_m: 0.0127, scatter_m, open_share: 0.4, shade_m }
    }

    #[test]
    fn identity_scatter_is_the_sum_over_holes() {
        for shape in [HoleShape::Round, HoleShape::Slot] {
            for d in [0.009, 0.0120, 0.0127, 0.0135] {
                let cut = CutHoles { shape, ..holes(0.0008, 0.0) };
                const N: usize = 4000;
                let step = 12.0 / N as f64;
                let strip = |k: usize| {
                    let x = -6.0 + step * (k as f64 + 0.5);
                    let a = cut.size_m + cut.scatter_m * x;
                    // Open area goes with the size (slot) or its square.
                    let open = cut.open_share
                        * if shape == HoleShape::Slot { a / cut.size_m } else { a * a / (cut.size_m * cut.size_m) };
                    density(x) * step * chance_by_shape(shape, d, a, open)
                };
                let sum: f64 = (0..N).map(strip).sum();
                assert!((cut.chance(d) - sum).abs() < 1e-5 * sum.max(1e-6), "{d}: {} {sum}", cut.chance(d));
            }
        }
    }

    #[test]
    fn identity_thin_even_holes_are_the_square_law_and_thickness_is_smooth() {
        let thin = holes(0.0, 0.0);
        assert_eq!(thin.chance(0.005), crate::passage::chance(0.005, 0.0127, 0.4));
        assert_eq!(thin.chance(0.0127), 0.0);
        assert!((thickness_factor(0.002, 0.002) - 0.5).abs() < 1e-15);
        let slope = |w: f64| (thickness_factor(w + 1e-7, 0.002) - thickness_factor(w - 1e-7, 0.002)) / 2e-7;
        assert!((slope(0.002 * 1.001) / slope(0.002 * 0.999) - 1.0).abs() < 0.01);
        assert!(holes(0.0, 0.002).chance(0.011) < thin.chance(0.011));
        assert!(holes(0.0008, 0.0).chance(0.0135) > 0.0 && thin.chance(0.0135) == 0.0);
    }
}
