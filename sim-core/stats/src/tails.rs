//! Heavy tails: when the mean of the trials can't be trusted.

use super::normal;
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{input, number, result};
use washgraph_units::math::{exp, ln};
use washgraph_units::quantity::Dimension;

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
    washgraph_units::math::expm1(sigma_ln * sigma_ln).sqrt()
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "lognormal-spread",
    "What a lognormal spread of ground or seasons does to its mean",
    "mean/median = exp(s^2/2); P(X < mean) = Phi(s/2); CV = sqrt(exp(s^2)-1); top share = Phi(s - z)",
    |x| {
        let cv = lognormal_variation(x[0]);
        vec![
            lognormal_mean_over_median(x[0]),
            lognormal_below_mean(x[0]),
            cv,
            lognormal_top_share(x[0], x[1]),
            cv * cv / (x[2] * x[2]),
        ]
    },
)
.inputs(&[
    number("sigma_ln", "standard deviation of the natural logarithm", (0.0, 10.0), None),
    washgraph_units::formula::entry::share("top", "the richest share of the values", Some(0.01)),
    input(
        "wanted_relative_error",
        "relative standard error wanted of the mean",
        Dimension::Fraction,
        "-",
        (0.0, 10.0),
        Some(0.05),
    ),
])
.outputs(&[
    result("mean_over_median", "mean over median"),
    result("chance_below_mean", "chance of a value below the mean"),
    result("variation", "standard deviation over mean"),
    result("top_share", "share of the total held by the richest"),
    result("trials", "trials for the wanted error of the mean"),
])
.source("moments of the lognormal distribution", Status::Computed)];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
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
            (0..n).map(|i| washgraph_units::math::pow((f64::from(i) + 0.5) / f64::from(n), -1.0 / 1.5)).collect();
        let index = hill_index(&mut x, 1000).unwrap();
        assert!((index - 1.5).abs() < 0.02, "{index}");
        assert_eq!(hill_index(&mut [1.0, 2.0], 2), None);
        assert_eq!(hill_index(&mut [-1.0, 2.0], 1), None);
    }
}
