//! Percentiles of a set of results, and how sure they are.

use super::discrete::binomial_quantile;
use super::normal;
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{number, result, share};

/// Percentile by linear interpolation between order statistics ("type 7"): h = (n-1) p, between the values ranked
/// floor(h) and floor(h)+1 counted from 0. `sorted` ascending.
///
/// Source: Hyndman and Fan 1996, definition 7 (the default of R and NumPy; from memory). NaN for an empty slice or p
/// outside [0, 1].
///
/// ```
/// let x: Vec<f64> = (1..=10).map(f64::from).collect();
/// let q = washgraph_stats::order::percentile_sorted(&x, 0.1);
/// assert!((q - 1.9).abs() < 1e-12);
/// ```
pub fn percentile_sorted(sorted: &[f64], p: f64) -> f64 {
    let Some((low, share)) = place(sorted.len(), p) else {
        return f64::NAN;
    };
    match (sorted.get(low), sorted.get(low + 1)) {
        (Some(a), Some(b)) => between(*a, *b, share),
        (Some(a), None) => *a,
        _ => f64::NAN,
    }
}

/// The same percentile of unsorted values without sorting them all: the values are rearranged, O(n).
///
/// Values are ordered by `total_cmp`: NaN counts as largest.
pub fn percentile_select(values: &mut [f64], p: f64) -> f64 {
    let Some((low, share)) = place(values.len(), p) else {
        return f64::NAN;
    };
    let (_, a, above) = values.select_nth_unstable_by(low, f64::total_cmp);
    let a = *a;
    match above.iter().copied().min_by(f64::total_cmp) {
        Some(b) => between(a, b, share),
        None => a,
    }
}

/// Rank from 0 and share of the way to the next; `None` when there is no answer.
fn place(n: usize, p: f64) -> Option<(usize, f64)> {
    if n == 0 || !(0.0..=1.0).contains(&p) {
        return None;
    }
    let h = (n - 1) as f64 * p;
    Some((h as usize, h - h.floor()))
}

/// Value the share `s` of the way from a to b; exactly a at s = 0, also when b is infinite.
fn between(a: f64, b: f64, s: f64) -> f64 {
    if s == 0.0 { a } else { a + s * (b - a) }
}

/// Ranks (counted from 1) of the two ordered values that enclose the p-quantile with the given confidence.
///
/// Lower = binomial quantile (1-C)/2 of (n, p); upper = binomial quantile (1+C)/2, plus 1. Free of any assumption on the
/// distribution. Source: order-statistic interval, Conover 1980 (from memory). `None` when the sample is too small for one
/// of the ends (rank 0 or above n) or an argument is outside (0, 1).
pub fn quantile_ranks(n: u64, p: f64, confidence: f64) -> Option<(u64, u64)> {
    let half = 0.5 * (1.0 - confidence);
    let low = binomial_quantile(half, n, p)?;
    let high = binomial_quantile(1.0 - half, n, p)? + 1;
    (low >= 1 && high <= n).then_some((low, high))
}

/// Standard error of a sample quantile: sqrt(p (1-p)/n)/f, f = density of the distribution at the quantile.
///
/// Large-sample result; n >= 30 or so. Source: standard (Kendall and Stuart; from memory). p in (0,1), n > 0, f > 0.
pub fn quantile_standard_error(p: f64, n: f64, density_at_quantile: f64) -> f64 {
    (p * (1.0 - p) / n).sqrt() / density_at_quantile
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "percentile-ranks",
        "Which two ranks of the ordered results enclose a percentile with 95 % confidence",
        "low = binomial quantile 0.025 of (n, p); high = binomial quantile 0.975 of (n, p) + 1",
        |x| match quantile_ranks(super::counts::as_count(x[0]), x[1], 0.95) {
            Some((low, high)) => vec![low as f64, high as f64],
            None => vec![f64::NAN; 2],
        },
    )
    .inputs(&[
        number("trials", "number of results", (1.0, 1e12), None),
        share("p", "share of results at or below the percentile", None),
    ])
    .outputs(&[result("low", "lower rank, counted from 1"), result("high", "upper rank, counted from 1")])
    .source("order-statistic interval, Conover 1980", Status::Memory)
    .limits("no answer when the sample is too small for one of the ends"),
    Formula::new(
        "percentile-standard-error-lognormal",
        "Standard error of a percentile of lognormal results, relative to their median",
        "SE = sqrt(p (1-p)/n)/f(q), q = exp(sigma z_p), f(q) = phi(z_p)/(sigma q)",
        |x| {
            let z = normal::quantile(x[1]);
            let q = washgraph_units::math::exp(x[2] * z);
            vec![q, quantile_standard_error(x[1], x[0], normal::density(z) / (x[2] * q))]
        },
    )
    .inputs(&[
        number("trials", "number of results", (1.0, 1e12), None),
        share("p", "share of results at or below the percentile", None),
        number("sigma_ln", "standard deviation of the natural logarithm", (0.0, 10.0), Some(1.0)),
    ])
    .outputs(&[
        result("percentile", "percentile over median"),
        result("standard_error", "standard error of the percentile over median"),
    ])
    .source("large-sample standard error of a quantile, Kendall and Stuart", Status::Memory)
    .limits("large samples"),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    const ONE_TO_TEN: [f64; 10] = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0];

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("percentile-type7-10", || percentile_sorted(&ONE_TO_TEN, 0.1)),
        ("percentile-type7-50", || percentile_sorted(&ONE_TO_TEN, 0.5)),
        ("percentile-type7-90", || percentile_sorted(&ONE_TO_TEN, 0.9)),
        ("percentile-rank-low-n1000", || quantile_ranks(1000, 0.1, 0.95).map_or(f64::NAN, |r| r.0 as f64)),
        ("percentile-rank-high-n1000", || quantile_ranks(1000, 0.1, 0.95).map_or(f64::NAN, |r| r.1 as f64)),
        ("percentile-se-lognormal-q90", || (FORMULAS[1].evaluate)(&[1.0, 0.9, 1.0])[1]),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn property_selecting_equals_sorting(mut x in prop::collection::vec(-1e6_f64..1e6, 1..60), p in 0.0_f64..=1.0) {
            let mut sorted = x.clone();
            sorted.sort_by(f64::total_cmp);
            prop_assert_eq!(percentile_select(&mut x, p), percentile_sorted(&sorted, p));
        }
    }

    #[test]
    fn property_small_samples_have_no_interval() {
        assert_eq!(quantile_ranks(10, 0.01, 0.95), None);
        assert!(percentile_sorted(&[], 0.5).is_nan());
    }
}
