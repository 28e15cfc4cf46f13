//! Intervals for counts and shares.

use super::gamma::quantile as gamma_quantile;
use super::normal;
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{number, result, share};
use washgraph_units::math::pow;

/// Interval for the expected number when `seen` were counted (Poisson), at the given confidence.
///
/// lower = chi2inv(alpha/2; 2n)/2 (0 when n = 0), upper = chi2inv(1-alpha/2; 2n+2)/2, alpha = 1 - confidence. Source:
/// Garwood 1936. n >= 0, confidence in (0, 1); NaN outside.
///
/// ```
/// let (low, high) = washgraph_stats::interval::garwood(20.0, 0.95);
/// assert!((low - 12.2165).abs() < 1e-3 && (high - 30.8884).abs() < 1e-3);
/// ```
pub fn garwood(seen: f64, confidence: f64) -> (f64, f64) {
    let half = 0.5 * (1.0 - confidence);
    let low = if seen == 0.0 { 0.0 } else { gamma_quantile(seen, half) };
    (low, gamma_quantile(seen + 1.0, 1.0 - half))
}

/// One-sided upper limit of the expected number when `seen` were counted: chi2inv(confidence; 2n+2)/2.
///
/// For none seen at 95 % it is 2.9957, the "rule of three".
pub fn poisson_upper(seen: f64, confidence: f64) -> f64 {
    gamma_quantile(seen + 1.0, confidence)
}

/// Wilson interval of a share: `hits` of `n` seen.
///
/// [ph + z^2/(2n) +- z sqrt(ph (1-ph)/n + z^2/(4n^2))]/(1 + z^2/n), ph = hits/n, z = normal score of the confidence.
/// Source: Wilson 1927. 0 <= hits <= n, n > 0; hits may be a half (ties). NaN outside.
pub fn wilson(hits: f64, n: f64, confidence: f64) -> (f64, f64) {
    if !(hits >= 0.0 && hits <= n && n > 0.0) {
        return (f64::NAN, f64::NAN);
    }
    let z = normal::quantile_upper(0.5 * (1.0 - confidence));
    let z2 = z * z;
    let share = hits / n;
    let middle = share + z2 / (2.0 * n);
    let half = z * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
    let whole = 1.0 + z2 / n;
    // Rounding must not take the ends at 0 of n and n of n outside 0..1.
    let low = if hits == 0.0 { 0.0 } else { (middle - half) / whole };
    let high = if hits == n { 1.0 } else { (middle + half) / whole };
    (low, high)
}

/// Upper limit of a share when none of `n` showed it: 1 - (1 - confidence)^(1/n). Exact, one-sided.
///
/// This is what replaces "0 % chance". n > 0.
pub fn none_seen_upper(n: f64, confidence: f64) -> f64 {
    1.0 - pow(1.0 - confidence, 1.0 / n)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "count-interval",
        "Within what expected number a count may have been seen by chance",
        "low = chi2inv(a/2; 2n)/2; high = chi2inv(1-a/2; 2n+2)/2; one-sided = chi2inv(1-a; 2n+2)/2",
        |x| {
            let (low, high) = garwood(x[0], x[1]);
            vec![low, high, poisson_upper(x[0], x[1])]
        },
    )
    .inputs(&[
        number("seen", "number counted", (0.0, 1e9), None),
        share("confidence", "probability that the interval holds the truth", Some(0.95)),
    ])
    .outputs(&[
        result("low", "lower end of the expected number"),
        result("high", "upper end of the expected number"),
        result("one_sided_high", "upper limit when only that side matters"),
    ])
    .source("Garwood 1936", Status::Memory)
    .limits("independent grains: clustered gold has a wider interval"),
    Formula::new(
        "share-interval",
        "Interval of a chance when so many of so many trials showed it",
        "[ph + z^2/(2n) +- z sqrt(ph(1-ph)/n + z^2/(4n^2))]/(1 + z^2/n); none of n: 1 - (1-C)^(1/n)",
        |x| {
            let (low, high) = wilson(x[0], x[1], x[2]);
            vec![low, high, none_seen_upper(x[1], x[2])]
        },
    )
    .inputs(&[
        number("hits", "trials that showed it", (0.0, 1e12), None),
        number("trials", "all trials", (1.0, 1e12), None),
        share("confidence", "probability that the interval holds the truth", Some(0.95)),
    ])
    .outputs(&[
        result("low", "lower end"),
        result("high", "upper end"),
        result("none_seen_high", "one-sided upper limit had none been seen"),
    ])
    .source("Wilson 1927; exact binomial for none seen", Status::Memory)
    .limits("independent trials"),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("garwood-20-low", || garwood(20.0, 0.95).0),
        ("garwood-20-high", || garwood(20.0, 0.95).1),
        ("garwood-3-low", || garwood(3.0, 0.95).0),
        ("garwood-3-high", || garwood(3.0, 0.95).1),
        ("garwood-5-high", || garwood(5.0, 0.95).1),
        ("garwood-0-high", || garwood(0.0, 0.95).1),
        ("garwood-0-one-sided", || poisson_upper(0.0, 0.95)),
        ("wilson-302-of-1000-low", || wilson(302.0, 1e3, 0.95).0),
        ("wilson-302-of-1000-high", || wilson(302.0, 1e3, 0.95).1),
        ("wilson-3017-of-10000-low", || wilson(3017.0, 1e4, 0.95).0),
        ("none-of-1000-high", || none_seen_upper(1000.0, 0.95)),
    ];
}
