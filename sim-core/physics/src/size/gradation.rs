//! A measured gradation: cumulative share finer against sieve size, from sieves to any size and to the size grid.
//!
//! ```text
//! share finer
//!   1 ┤                      ╭── Dmax, stated by the user
//!     │                 ╭────╯
//!     │            ╭────╯   monotone cubic in ln d between the sieves
//!     │     ╭──────╯
//!   0 ┼─────╯  power law below the finest sieve, down to a stated bound
//!          finest sieve            top sieve
//! ```

use super::entry::row;
use super::grid::SOLID_CLASSES;
use super::models::shares_by_class;
use super::pchip;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::math;

/// What is wrong with the points of a gradation.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum GradationError {
    /// Too few sieves.
    #[error("a gradation needs at least 2 sieves, got {count}")]
    TooFew {
        /// Number of sieves given.
        count: usize,
    },
    /// A size that cannot be a sieve.
    #[error("sieve size must be above zero, got {size_m} m")]
    BadSize {
        /// The size given, m.
        size_m: f64,
    },
    /// A share outside 0..1.
    #[error("share passing must lie between 0 and 1, got {share} at {size_m} m")]
    BadShare {
        /// Sieve size, m.
        size_m: f64,
        /// Share given [-].
        share: f64,
    },
    /// The same sieve twice.
    #[error("sieve {size_m} m appears twice")]
    Twice {
        /// Sieve size, m.
        size_m: f64,
    },
    /// A finer sieve passes more than a coarser one.
    #[error("share passing falls from {finer} to {coarser} at {size_m} m, but a wider sieve cannot pass less")]
    Falls {
        /// Size of the wider sieve, m.
        size_m: f64,
        /// Share passing the finer sieve [-].
        finer: f64,
        /// Share passing the wider sieve [-].
        coarser: f64,
    },
    /// Stones stay on the top sieve and nobody said how large they are.
    #[error("share {retained} stays on the top sieve: state the size of the largest stone")]
    NoLargest {
        /// Share on the top sieve [-].
        retained: f64,
    },
    /// The largest stone is smaller than the top sieve that retains it.
    #[error("largest stone {largest_m} m is not above the top sieve {top_m} m that retains it")]
    LargestTooSmall {
        /// Size given, m.
        largest_m: f64,
        /// Top sieve, m.
        top_m: f64,
    },
    /// The bound below which nothing is said is not below the finest sieve.
    #[error("lower bound {bound_m} m must be above zero and below the finest sieve {finest_m} m")]
    BadBound {
        /// Bound given, m.
        bound_m: f64,
        /// Finest sieve, m.
        finest_m: f64,
    },
}

/// Where a value of the curve comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Between the finest and the coarsest sieve: interpolated measurement.
    Measured,
    /// Below the finest sieve: a power law (assumed).
    BelowFinest,
    /// Between the top sieve and the stated largest stone.
    AboveTop,
}

/// A measured gradation. One that exists is valid: sizes rise, shares do not fall, the last share is 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Gradation {
    ln_size: Vec<f64>,
    share: Vec<f64>,
    slope: Vec<f64>,
    ln_bound: f64,
    ln_top_sieve: f64,
    /// Exponent of the power law below the finest sieve [-].
    fine_exponent: f64,
}

impl Gradation {
    /// Builds the curve from points (sieve size in m, share passing 0..1) in any order.
    ///
    /// `largest_m`: size of the largest stone, needed when less than all passes the top sieve. `bound_m`: size down to
    /// which the power law below the finest sieve is drawn; what it says is still finer counts as of that size or
    /// finer.
    ///
    /// # Errors
    /// All problems at once, each as a [`GradationError`].
    pub fn new(points: &[(f64, f64)], largest_m: Option<f64>, bound_m: f64) -> Result<Gradation, Vec<GradationError>> {
        let mut points = points.to_vec();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut problems = problems_of(&points);
        let ends = points.first().copied().zip(points.last().copied());
        if let Some((finest, top)) = ends {
            if !(bound_m > 0.0 && bound_m < finest.0) {
                problems.push(GradationError::BadBound { bound_m, finest_m: finest.0 });
            }
            match largest_m {
                _ if !(top.1 < 1.0) => {}
                None => problems.push(GradationError::NoLargest { retained: 1.0 - top.1 }),
                Some(largest_m) if !(largest_m > top.0 && largest_m.is_finite()) => {
                    problems.push(GradationError::LargestTooSmall { largest_m, top_m: top.0 });
                }
                Some(largest_m) => points.push((largest_m, 1.0)),
            }
        }
        let Some((_, top)) = ends.filter(|_| problems.is_empty()) else {
            return Err(problems);
        };
        let ln_size: Vec<f64> = points.iter().map(|p| math::ln(p.0)).collect();
        let share: Vec<f64> = points.iter().map(|p| p.1).collect();
        let slope = pchip::slopes(&ln_size, &share);
        let fine_exponent =
            if share[0] > 0.0 { math::ln(share[1] / share[0]) / (ln_size[1] - ln_size[0]) } else { 0.0 };
        Ok(Gradation {
            ln_size,
            share,
            slope,
            ln_bound: math::ln(bound_m),
            ln_top_sieve: math::ln(top.0),
            fine_exponent,
        })
    }

    /// Share by mass finer than a size (m).
    ///
    /// Between the sieves: monotone cubic of the share in ln d (Fritsch and Butland 1984); ordinary cubic splines can
    /// give classes of negative mass. Below the finest sieve d_0: F = F_0 (d/d_0)^m with m from the two finest sieves
    /// (Gates-Gaudin-Schuhmann line), 0 below the stated bound. At and above the largest size: 1.
    pub fn passing(&self, size_m: f64) -> f64 {
        if !(size_m > 0.0) {
            return 0.0;
        }
        let x = math::ln(size_m);
        let (first, last) = (self.ln_size[0], self.ln_size[self.ln_size.len() - 1]);
        if x < self.ln_bound {
            0.0
        } else if x < first {
            self.share[0] * math::exp(self.fine_exponent * (x - first))
        } else if x >= last {
            self.share[self.share.len() - 1]
        } else {
            let k = self.ln_size.partition_point(|&knot| knot <= x) - 1;
            self.on_segment(k, x)
        }
    }

    fn on_segment(&self, k: usize, x: f64) -> f64 {
        pchip::hermite(
            x,
            (self.ln_size[k], self.ln_size[k + 1]),
            (self.share[k], self.share[k + 1]),
            (self.slope[k], self.slope[k + 1]),
        )
    }

    /// Whether the share at a size is measured, or drawn beyond the sieves.
    pub fn basis(&self, size_m: f64) -> Basis {
        let x = math::ln(size_m);
        if x < self.ln_size[0] {
            Basis::BelowFinest
        } else if x > self.ln_top_sieve {
            Basis::AboveTop
        } else {
            Basis::Measured
        }
    }

    /// Size that a share p is finer than, m: the smallest size whose share passing reaches p, not below the stated
    /// bound. NaN unless 0 <= p <= 1.
    pub fn size_at_m(&self, p: f64) -> f64 {
        if !(0.0..=1.0).contains(&p) {
            return f64::NAN;
        }
        if p <= self.share[0] {
            // A flat line (m = 0) puts all that passes the finest sieve at the bound.
            let x = if self.fine_exponent > 0.0 {
                self.ln_size[0] + math::ln(p / self.share[0]) / self.fine_exponent
            } else if p < self.share[0] {
                self.ln_bound
            } else {
                self.ln_size[0]
            };
            return math::exp(x.max(self.ln_bound));
        }
        let above = self.share.partition_point(|&s| s < p);
        let k = above.min(self.share.len() - 1) - 1;
        let (mut lo, mut hi) = (self.ln_size[k], self.ln_size[k + 1]);
        for _ in 0..60 {
            let middle = 0.5 * (lo + hi);
            if self.on_segment(k, middle) < p {
                lo = middle;
            } else {
                hi = middle;
            }
        }
        math::exp(hi)
    }

    /// Mass share of each class of solids; sums to 1.
    pub fn class_shares(&self) -> [f64; SOLID_CLASSES] {
        shares_by_class(|d_m| self.passing(d_m))
    }
}

fn problems_of(points: &[(f64, f64)]) -> Vec<GradationError> {
    let mut problems = Vec::new();
    if points.len() < 2 {
        problems.push(GradationError::TooFew { count: points.len() });
    }
    for &(size_m, share) in points {
        if !(size_m > 0.0 && size_m.is_finite()) {
            problems.push(GradationError::BadSize { size_m });
        }
        if !(0.0..=1.0).contains(&share) {
            problems.push(GradationError::BadShare { size_m, share });
        }
    }
    for pair in points.windows(2) {
        let ((finer_m, finer), (size_m, coarser)) = (pair[0], pair[1]);
        if finer_m == size_m {
            problems.push(GradationError::Twice { size_m });
        } else if coarser < finer {
            problems.push(GradationError::Falls { size_m, finer, coarser });
        }
    }
    problems
}

/// The made-up curve of the checks: sizes mm, shares passing.
const TEST_CURVE: [(f64, f64); 6] =
    [(0.075e-3, 0.02), (0.3e-3, 0.08), (1.18e-3, 0.18), (4.75e-3, 0.34), (19e-3, 0.62), (75e-3, 1.0)];

fn on_test_curve(read: fn(&Gradation) -> f64) -> f64 {
    Gradation::new(&TEST_CURVE, None, 0.02e-3).map_or(f64::NAN, |g| read(&g))
}

const AGAINST_SCIPY: (Kind, &str, Status) =
    (Kind::Identity, "scipy PchipInterpolator on the same made-up curve", Status::Computed);

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row(
        ("gradation-pchip-0p15mm", "PCHIP, Fritsch-Butland 1984"),
        AGAINST_SCIPY,
        4.5485,
        "%",
        Band::Absolute(1e-3),
        || on_test_curve(|g| 100.0 * g.passing(0.15e-3)),
    ),
    row(
        ("gradation-pchip-2mm", "PCHIP, Fritsch-Butland 1984"),
        AGAINST_SCIPY,
        23.1473,
        "%",
        Band::Absolute(1e-3),
        || on_test_curve(|g| 100.0 * g.passing(2e-3)),
    ),
    row(
        ("gradation-pchip-50mm", "PCHIP, Fritsch-Butland 1984"),
        AGAINST_SCIPY,
        87.6650,
        "%",
        Band::Absolute(1e-3),
        || on_test_curve(|g| 100.0 * g.passing(50e-3)),
    ),
    row(
        ("gradation-pchip-d10", "PCHIP, Fritsch-Butland 1984"),
        AGAINST_SCIPY,
        0.42007,
        "mm",
        Band::Absolute(1e-5),
        || on_test_curve(|g| 1e3 * g.size_at_m(0.10)),
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn identity_scipy_curve_at_the_other_sizes() {
        let g = Gradation::new(&TEST_CURVE, None, 0.02e-3).unwrap();
        for (d_mm, percent) in [(0.6, 12.4652), (9.5, 46.4909)] {
            assert!((100.0 * g.passing(d_mm * 1e-3) - percent).abs() < 1e-4);
        }
        // Below the finest sieve: slope ln 4/ln 4 = 1 of the two finest sieves.
        assert_relative_eq!(g.passing(0.0375e-3), 0.01, max_relative = 1e-12);
        assert_eq!(g.passing(0.01e-3), 0.0);
        assert_eq!(g.basis(0.04e-3), Basis::BelowFinest);
        assert_eq!(g.basis(1e-3), Basis::Measured);
    }

    #[test]
    fn property_all_problems_are_told_at_once() {
        let wrong = Gradation::new(&[(1e-3, 0.5), (2e-3, 0.4), (4e-3, 1.2)], None, 2e-3);
        assert_eq!(wrong.unwrap_err().len(), 3);
        let open = Gradation::new(&[(1e-3, 0.5), (2e-3, 0.9)], None, 1e-5);
        assert!(matches!(open.unwrap_err()[..], [GradationError::NoLargest { .. }]));
        let short = Gradation::new(&[(1e-3, 0.5), (2e-3, 0.9)], Some(1.5e-3), 1e-5);
        assert!(matches!(short.unwrap_err()[..], [GradationError::LargestTooSmall { .. }]));
        assert!(Gradation::new(&[], None, 1e-5).is_err());
    }

    proptest! {
        #[test]
        fn property_never_negative_and_inverse_returns(
            steps in prop::collection::vec((0.05f64..1.5, 0.0f64..1.0), 3..12),
            p in 0.001f64..0.999,
        ) {
            let total: f64 = steps.iter().map(|s| s.1).sum::<f64>() + 0.1;
            let (mut ln_d, mut f) = (-10.0, 0.05 / total);
            let mut points = vec![(math::exp(ln_d), f)];
            for (dx, df) in steps {
                ln_d += dx;
                f += df / total;
                points.push((math::exp(ln_d), f));
            }
            let largest = math::exp(ln_d + 0.4);
            let g = Gradation::new(&points, Some(largest), 1e-6).unwrap();
            let shares = g.class_shares();
            prop_assert!(shares.iter().all(|&s| s >= -1e-15));
            prop_assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            let d = g.size_at_m(p);
            if d > 1.0001e-6 {
                prop_assert!((g.passing(d) - p).abs() < 1e-9);
            }
        }
    }
}
