//! Inputs that go together: rank correlations through a Gaussian copula.
//!
//! Only the normal scores are correlated; each input keeps its own spread. Rank correlation is what a user is asked for,
//! because it reaches from -1 to +1 for any pair of spreads, which the ordinary (Pearson) correlation does not.

use std::f64::consts::PI;

use nalgebra::{Cholesky, DMatrix, DVector};
use thiserror::Error;

use super::entry::{POSITIVE, number, result};
use super::normal;
use crate::check::Status;
use crate::formula::Formula;
use crate::math::{asin, expm1, sin};

/// Pivot of the Cholesky factor below which a correlation matrix counts as impossible.
const LEAST_PIVOT: f64 = 1e-10;

/// Spearman rank correlation of a Gaussian copula: (6/pi) asin(r/2), r = correlation of the normal scores, -1..1.
///
/// Source: Pearson 1907 (standard result).
pub fn spearman_from_score(r: f64) -> f64 {
    6.0 / PI * asin(0.5 * r)
}

/// Kendall rank correlation of a Gaussian copula: (2/pi) asin(r). Source: standard result.
pub fn kendall_from_score(r: f64) -> f64 {
    2.0 / PI * asin(r)
}

/// Correlation of the normal scores that gives a Spearman rank correlation: r = 2 sin(pi rho/6).
pub fn score_from_spearman(rho: f64) -> f64 {
    2.0 * sin(PI * rho / 6.0)
}

/// Ordinary (Pearson) correlation of two lognormals: (exp(r s1 s2) - 1)/sqrt((exp(s1^2)-1)(exp(s2^2)-1)).
///
/// s1, s2 = log standard deviations > 0. The ends at r = -1 and +1 stop short of -1 and +1. Source: lognormal moments.
pub fn lognormal_pearson(s1: f64, s2: f64, r: f64) -> f64 {
    expm1(r * s1 * s2) / (expm1(s1 * s1) * expm1(s2 * s2)).sqrt()
}

/// Why a set of correlations can't be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CopulaError {
    /// A correlation is not between -1 and 1, or not a number.
    #[error("the correlation of {first} with {second} is {value}; it must lie between -1 and 1, both ends excluded")]
    OutOfRange {
        /// First input of the pair.
        first: String,
        /// Second input of the pair.
        second: String,
        /// What was given.
        value: f64,
    },
    /// An input is paired with itself, or a pair names an input that does not exist.
    #[error("a correlation needs two different inputs of the list, not numbers {first} and {second}")]
    NoPair {
        /// Place of the first input.
        first: usize,
        /// Place of the second input.
        second: usize,
    },
    /// The correlations contradict each other.
    #[error(
        "the correlations contradict each other: with the others as they are, {first} with {second} can only lie between \
         {low:.2} and {high:.2}, but it is {value}"
    )]
    Contradiction {
        /// First input of the pair.
        first: String,
        /// Second input of the pair.
        second: String,
        /// Rank correlation given.
        value: f64,
        /// Lowest rank correlation that the others allow.
        low: f64,
        /// Highest rank correlation that the others allow.
        high: f64,
    },
}

/// A rank correlation of two inputs, by their places in the list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RankPair {
    /// Place of the first input.
    pub first: usize,
    /// Place of the second input.
    pub second: usize,
    /// Spearman rank correlation, between -1 and 1.
    pub rank: f64,
}

/// Cholesky factor of the correlation of the normal scores: x_i = Finv_i(Phi((L z)_i)).
#[derive(Debug, Clone, PartialEq)]
pub struct Copula {
    size: usize,
    /// Rows of the lower triangle, one after the other.
    factor: Vec<f64>,
}

impl Copula {
    /// Copula of named inputs from their rank correlations; pairs that are not given are independent.
    ///
    /// Contradictory correlations are refused, naming the pair that needs to move least and the range left to it.
    pub fn from_ranks(names: &[&str], pairs: &[RankPair]) -> Result<Self, CopulaError> {
        let mut scores = DMatrix::identity(names.len(), names.len());
        for pair in pairs {
            let (Some(first), Some(second), true) =
                (names.get(pair.first), names.get(pair.second), pair.first != pair.second)
            else {
                return Err(CopulaError::NoPair { first: pair.first, second: pair.second });
            };
            if !(pair.rank.abs() < 1.0) {
                return Err(CopulaError::OutOfRange {
                    first: (*first).to_owned(),
                    second: (*second).to_owned(),
                    value: pair.rank,
                });
            }
            let r = score_from_spearman(pair.rank);
            scores[(pair.first, pair.second)] = r;
            scores[(pair.second, pair.first)] = r;
        }
        Self::from_scores(names, &scores)
    }

    /// Copula from a full matrix of score correlations with ones on the diagonal.
    fn from_scores(names: &[&str], scores: &DMatrix<f64>) -> Result<Self, CopulaError> {
        let n = names.len();
        // Grown by one input at a time, so that the first input that does not fit is known.
        for k in 1..=n {
            let part = scores.view((0, 0), (k, k)).into_owned();
            let sound = Cholesky::new(part).is_some_and(|c| (0..k).all(|i| c.l_dirty()[(i, i)] > LEAST_PIVOT.sqrt()));
            if !sound {
                return Err(contradiction(names, scores, k - 1));
            }
        }
        let Some(cholesky) = Cholesky::new(scores.clone()) else {
            return Err(contradiction(names, scores, n - 1));
        };
        let l = cholesky.l();
        let factor = (0..n).flat_map(|i| (0..=i).map(move |j| (i, j))).map(|at| l[at]).collect();
        Ok(Self { size: n, factor })
    }

    /// Number of inputs.
    pub fn size(&self) -> usize {
        self.size
    }

    /// Entry of the Cholesky factor, row >= column; 0 outside.
    pub fn factor(&self, row: usize, column: usize) -> f64 {
        if column > row || row >= self.size {
            return 0.0;
        }
        self.factor.get(row * (row + 1) / 2 + column).copied().unwrap_or(0.0)
    }

    /// Turns independent normal scores into correlated ones in place: z <- L z. Entries beyond the size are left alone.
    pub fn correlate_scores(&self, z: &mut [f64]) {
        // From the last row up: row i needs only entries 0..=i, none of them changed yet.
        let mut end = self.factor.len();
        for i in (0..self.size).rev() {
            let start = end - (i + 1);
            if let (Some(row), Some(part)) = (self.factor.get(start..end), z.get_mut(..=i)) {
                let sum = row.iter().zip(part.iter()).map(|(l, z)| l * z).sum();
                if let Some(last) = part.last_mut() {
                    *last = sum;
                }
            }
            end = start;
        }
    }

    /// Turns independent uniforms in (0, 1) into correlated uniforms in place.
    pub fn correlate_uniforms(&self, u: &mut [f64]) {
        for x in u.iter_mut().take(self.size) {
            *x = normal::quantile(*x);
        }
        self.correlate_scores(u);
        for x in u.iter_mut().take(self.size) {
            *x = normal::cdf(*x);
        }
    }
}

/// The pair of input `last` with an earlier one that must move least for the first `last`+1 inputs to fit together.
///
/// With the other earlier inputs S fixed, r(k, last) may lie within c +- sqrt((1 - R2_k)(1 - R2_last)), where
/// c = r_kS Sigma_S^-1 r_S,last and R2 = r_S' Sigma_S^-1 r_S (partial correlation between -1 and 1).
fn contradiction(names: &[&str], scores: &DMatrix<f64>, last: usize) -> CopulaError {
    let name = |i: usize| names.get(i).map_or_else(String::new, |n| (*n).to_owned());
    let mut best: Option<(f64, usize, f64, f64)> = None;
    for k in 0..last {
        let others: Vec<usize> = (0..last).filter(|i| *i != k).collect();
        let matrix = DMatrix::from_fn(others.len(), others.len(), |i, j| scores[(others[i], others[j])]);
        let column = |of: usize| DVector::from_iterator(others.len(), others.iter().map(|i| scores[(*i, of)]));
        let (to_k, to_last) = (column(k), column(last));
        let Some(cholesky) = Cholesky::new(matrix) else {
            continue;
        };
        let solved = cholesky.solve(&to_last);
        let centre = to_k.dot(&solved);
        let left = (1.0 - to_k.dot(&cholesky.solve(&to_k))) * (1.0 - to_last.dot(&solved));
        if !(left > 0.0) {
            // The input contradicts the others even without this pair.
            continue;
        }
        let (low, high) = (centre - left.sqrt(), centre + left.sqrt());
        let value = scores[(k, last)];
        let excess = (low - value).max(value - high);
        if best.is_none_or(|(least, ..)| excess < least) {
            best = Some((excess, k, low, high));
        }
    }
    // No single pair of the last input can mend it: name its strongest one.
    let strongest = || {
        let mut found = 0;
        for k in 0..last {
            if scores[(k, last)].abs() > scores[(found, last)].abs() {
                found = k;
            }
        }
        (0.0, found, 0.0, 0.0)
    };
    let (_, k, low, high) = best.unwrap_or_else(strongest);
    CopulaError::Contradiction {
        first: name(k),
        second: name(last),
        value: spearman_from_score(scores[(k, last)]),
        low: spearman_from_score(low.clamp(-1.0, 1.0)),
        high: spearman_from_score(high.clamp(-1.0, 1.0)),
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula {
        name: "rank-correlation",
        meaning: "Rank correlations that belong to a correlation of normal scores, and back",
        equation: "Spearman = (6/pi) asin(r/2); Kendall = (2/pi) asin(r); r = 2 sin(pi Spearman/6)",
        inputs: &[number("r", "correlation (of the scores; for the last output: Spearman)", (-1.0, 1.0), None)],
        outputs: &[
            result("spearman", "Spearman rank correlation"),
            result("kendall", "Kendall rank correlation"),
            result("score_for_spearman", "score correlation that gives a Spearman correlation of r"),
        ],
        source: "Pearson 1907; standard results of the bivariate normal",
        status: Status::Computed,
        limits: "",
        evaluate: |x| vec![spearman_from_score(x[0]), kendall_from_score(x[0]), score_from_spearman(x[0])],
    },
    Formula {
        name: "lognormal-correlation",
        meaning: "Ordinary correlation of two lognormal quantities, with the ends that it can reach",
        equation: "(exp(r s1 s2) - 1)/sqrt((exp(s1^2)-1)(exp(s2^2)-1))",
        inputs: &[
            number("s1", "log standard deviation of the first", POSITIVE, None),
            number("s2", "log standard deviation of the second", POSITIVE, None),
            number("r", "correlation of the logarithms", (-1.0, 1.0), None),
        ],
        outputs: &[
            result("correlation", "ordinary correlation"),
            result("lowest", "lowest that can be reached"),
            result("highest", "highest that can be reached"),
        ],
        source: "moments of the lognormal distribution",
        status: Status::Computed,
        limits: "",
        evaluate: |x| [x[2], -1.0, 1.0].iter().map(|r| lognormal_pearson(x[0], x[1], *r)).collect(),
    },
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[golden::Row] = &[
        ("copula-spearman-0p6", || spearman_from_score(0.6)),
        ("copula-kendall-0p6", || kendall_from_score(0.6)),
        ("copula-score-for-0p5", || score_from_spearman(0.5)),
        ("lognormal-pearson", || lognormal_pearson(1.0, 0.5, 0.6)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: [&str; 3] = ["clay", "swell", "boulders"];

    fn scores(a: f64, b: f64, c: f64) -> DMatrix<f64> {
        DMatrix::from_row_slice(3, 3, &[1.0, a, b, a, 1.0, c, b, c, 1.0])
    }

    #[test]
    fn pinned_cholesky_of_three() {
        let c = Copula::from_scores(&NAMES, &scores(0.6, 0.3, 0.5)).unwrap();
        for (at, value) in [((1, 0), 0.6), ((1, 1), 0.8), ((2, 0), 0.3), ((2, 1), 0.4), ((2, 2), 0.866_025_403_784)] {
            assert!((c.factor(at.0, at.1) - value).abs() < 1e-11);
        }
        let mut z = [1.0, 2.0, 3.0];
        c.correlate_scores(&mut z);
        assert!((z[1] - 2.2).abs() < 1e-14 && (z[2] - (0.3 + 0.8 + 3.0 * 0.866_025_403_784)).abs() < 1e-10);
    }

    #[test]
    fn identity_simulated_ranks_are_the_ones_asked_for() {
        let c = Copula::from_ranks(&["a", "b"], &[RankPair { first: 0, second: 1, rank: 0.5 }]).unwrap();
        let n = 100_000_u32;
        let mut sum = 0.0;
        for i in 0..n {
            let mut u = [2.0_f64, 3.0].map(|p| (p.sqrt() * f64::from(i) + 0.25).fract());
            c.correlate_uniforms(&mut u);
            // For uniforms the ordinary correlation is the rank correlation: 12 E[(u-1/2)(v-1/2)].
            sum += 12.0 * (u[0] - 0.5) * (u[1] - 0.5);
        }
        assert!((sum / f64::from(n) - 0.5).abs() < 2e-3);
    }

    #[test]
    fn property_contradictions_name_the_pair_and_its_range() {
        let pair = |first, second, rank| RankPair { first, second, rank };
        let pairs = [pair(0, 1, 0.9), pair(0, 2, 0.9), pair(1, 2, -0.5)];
        match Copula::from_ranks(&NAMES, &pairs).unwrap_err() {
            CopulaError::Contradiction { first, second, value, low, high } => {
                assert_eq!(second, "boulders");
                assert!(["clay", "swell"].contains(&first.as_str()));
                // The range named is right: just inside is accepted, just outside refused.
                assert!(value < low || value > high);
                let k = usize::from(first == "swell");
                let with = |rank| {
                    let mut p = pairs;
                    p[k + 1] = pair(k, 2, rank);
                    Copula::from_ranks(&NAMES, &p).is_ok()
                };
                assert!(
                    with(0.5 * (low + high)) && with(low + 0.02 * (high - low)) && with(high - 0.02 * (high - low))
                );
                assert!(!with(low - 0.02) || low < -0.98);
            }
            other => panic!("{other}"),
        }
        assert!(Copula::from_ranks(&NAMES, &[pair(0, 0, 0.1)]).is_err());
        assert!(Copula::from_ranks(&NAMES, &[pair(0, 7, 0.1)]).is_err());
        assert!(Copula::from_ranks(&NAMES, &[pair(0, 1, f64::NAN)]).is_err());
        assert_eq!(Copula::from_ranks(&NAMES, &[]).unwrap().factor(2, 1), 0.0);
    }
}
