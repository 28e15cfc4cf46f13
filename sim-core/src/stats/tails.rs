//! Heavy tails: when the mean of the trials can't be trusted.

use super::average::{Moments, pairwise_sum};
use super::entry::{number, result};
use super::normal;
use crate::check::Status;
use crate::formula::Formula;
use crate::math::{exp, ln};

/// Share of the sum above which one trial is worth a warning. Our choice.
const LARGEST_SHARE: f64 = 0.05;
/// Share of the trials that the Hill index looks at. Our choice.
const HILL_SHARE: f64 = 0.05;
/// Standard errors by which the halves of the trials may differ. Our choice.
const HALVES_APART: f64 = 4.0;

/// Why a mean over trials should be read with care.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TailWarning {
    /// One trial makes up more than 5 % of the sum.
    OneTrialRules {
        /// Its share of the sum.
        share: f64,
    },
    /// Hill index below 2: the standard error is unreliable; below 1: so is the mean.
    HeavyTail {
        /// Hill index of the largest 5 %.
        index: f64,
    },
    /// Mean and median have opposite signs: a few good seasons hide that most lose.
    MeanAgainstMedian {
        /// Mean.
        mean: f64,
        /// Median.
        median: f64,
    },
    /// The two halves of the trials differ by more than four standard errors.
    HalvesDiffer {
        /// Mean of the first half.
        first: f64,
        /// Mean of the second half.
        second: f64,
    },
}

/// Hill index of the k largest of positive values: alpha = k/sum_(i<=k) ln(x_(i)/x_(k+1)), descending order.
///
/// Source: Hill 1975 (from memory). `None` unless 1 <= k < n and the value after the k largest is above zero. Larger = lighter tail; the variance
/// exists for alpha > 2, the mean for alpha > 1. The values are rearranged.
pub fn hill_index(values: &mut [f64], k: usize) -> Option<f64> {
    if k == 0 || k >= values.len() {
        return None;
    }
    let (largest, next, _) = values.select_nth_unstable_by(k, |a, b| b.total_cmp(a));
    if !(*next > 0.0) {
        return None;
    }
    // Sorted, so that the order of the sum does not depend on how the selection moved the values.
    largest.sort_unstable_by(f64::total_cmp);
    let sum: f64 = largest.iter().map(|x| ln(x / *next)).sum();
    Some(k as f64 / sum)
}

/// Warnings about the tail of a set of results in trial order. The thresholds are our choice.
pub fn tail_warnings(values: &[f64]) -> Vec<TailWarning> {
    let mut warnings = Vec::new();
    let n = values.len();
    if n < 2 {
        return warnings;
    }
    let all = Moments::of(values);
    let largest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let smallest = values.iter().copied().fold(f64::INFINITY, f64::min);
    let sum = pairwise_sum(values);
    if smallest >= 0.0 && sum > 0.0 && largest > LARGEST_SHARE * sum {
        warnings.push(TailWarning::OneTrialRules { share: largest / sum });
    }
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let median = super::order::percentile_sorted(&sorted, 0.5);
    // The index is defined for positive data only.
    let k = (HILL_SHARE * n as f64) as usize;
    if smallest > 0.0
        && let Some(index) = hill_index(&mut sorted, k)
        && index < 2.0
    {
        warnings.push(TailWarning::HeavyTail { index });
    }
    if all.mean() * median < 0.0 {
        warnings.push(TailWarning::MeanAgainstMedian { mean: all.mean(), median });
    }
    let (a, b) = values.split_at(n / 2);
    let (a, b) = (Moments::of(a), Moments::of(b));
    let apart = (a.mean() - b.mean()).abs();
    let error = (a.standard_error() * a.standard_error() + b.standard_error() * b.standard_error()).sqrt();
    if apart > HALVES_APART * error {
        warnings.push(TailWarning::HalvesDiffer { first: a.mean(), second: b.mean() });
    }
    warnings
}

/// Mean over median of a lognormal: exp(sigma^2/2).
pub fn lognormal_mean_over_median(sigma_ln: f64) -> f64 {
    exp(0.5 * sigma_ln * sigma_ln)
}

/// Chance that a lognormal value lies below its mean: Phi(sigma/2).
pub fn lognormal_below_mean(sigma_ln: f64) -> f64 {
    normal::cdf(0.5 * sigma_ln)
}

/// Share of the total that the largest `top` share of lognormal values holds: Phi(sigma - z), z = quantile(1 - top).
pub fn lognormal_top_share(sigma_ln: f64, top: f64) -> f64 {
    normal::cdf(sigma_ln - normal::quantile_upper(top))
}

/// Coefficient of variation of a lognormal: sqrt(exp(sigma^2) - 1).
pub fn lognormal_variation(sigma_ln: f64) -> f64 {
    crate::math::expm1(sigma_ln * sigma_ln).sqrt()
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula {
    name: "lognormal-spread",
    meaning: "What a lognormal spread of ground or seasons does to its mean",
    equation: "mean/median = exp(s^2/2); P(X < mean) = Phi(s/2); CV = sqrt(exp(s^2)-1); top share = Phi(s - z)",
    inputs: &[
        number("sigma_ln", "standard deviation of the natural logarithm", (0.0, 10.0), None),
        super::entry::share("top", "the richest share of the values", Some(0.01)),
        number("wanted_relative_error", "relative standard error wanted of the mean", (0.0, 10.0), Some(0.05)),
    ],
    outputs: &[
        result("mean_over_median", "mean over median"),
        result("chance_below_mean", "chance of a value below the mean"),
        result("variation", "standard deviation over mean"),
        result("top_share", "share of the total held by the richest"),
        result("trials", "trials for the wanted error of the mean"),
    ],
    source: "moments of the lognormal distribution",
    status: Status::Computed,
    limits: "",
    evaluate: |x| {
        let cv = lognormal_variation(x[0]);
        vec![
            lognormal_mean_over_median(x[0]),
            lognormal_below_mean(x[0]),
            cv,
            lognormal_top_share(x[0], x[1]),
            cv * cv / (x[2] * x[2]),
        ]
    },
}];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[golden::Row] = &[
        ("lognormal-1p5-mean-over-median", || lognormal_mean_over_median(1.5)),
        ("lognormal-1p5-below-mean", || lognormal_below_mean(1.5)),
        ("lognormal-1p5-top-share", || lognormal_top_share(1.5, 0.01)),
        ("lognormal-2-trials", || (FORMULAS[0].evaluate)(&[2.0, 0.01, 0.05])[4]),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_hill_index_of_a_pareto_sample() {
        // Quantiles of a Pareto with index 1.5.
        let n = 20_000;
        let mut x: Vec<f64> =
            (0..n).map(|i| crate::math::pow((f64::from(i) + 0.5) / f64::from(n), -1.0 / 1.5)).collect();
        let index = hill_index(&mut x, 1000).unwrap();
        assert!((index - 1.5).abs() < 0.02, "{index}");
        assert_eq!(hill_index(&mut [1.0, 2.0], 2), None);
        assert_eq!(hill_index(&mut [-1.0, 2.0], 1), None);
        assert!(tail_warnings(&x).iter().any(|w| matches!(w, TailWarning::HeavyTail { .. })));
    }

    #[test]
    fn property_calm_results_give_no_warning() {
        let calm: Vec<f64> = (0..1000).map(|i| 5.0 + f64::from(i * 37 % 1000) / 1000.0).collect();
        assert_eq!(tail_warnings(&calm), vec![]);
        let mut wild = vec![-1.0; 100];
        wild[7] = 1e4;
        assert!(tail_warnings(&wild).iter().any(|w| matches!(w, TailWarning::MeanAgainstMedian { .. })));
    }
}
