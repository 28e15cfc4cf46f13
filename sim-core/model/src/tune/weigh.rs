//! Weights of trials by what was seen.
//!
//! A trial whose constants make the observations likely weighs much, one that makes them unlikely weighs little:
//!
//! w_m = p(theta_m)/q(theta_m) L_m / sum of the same
//!
//! with L_m the likelihood of all observations under the constants theta_m, p the density of the constants before anything
//! was seen and q the density that they were drawn from (self-normalised importance sampling; common statistics, from
//! memory). So many weighted trials are worth about n_eff = (sum w)^2/sum w^2 (Kish 1965, from memory) independent ones.

use sim_core::math::{exp, ln};

/// Weights that sum to 1 from their logarithms, and the logarithm of their mean before that. The largest logarithm is taken
/// off first, so that nothing overflows. `None` when all of them are zero.
pub fn normalised(ln_weights: &[f64]) -> Option<(Vec<f64>, f64)> {
    let most = ln_weights.iter().copied().filter(|x| !x.is_nan()).fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return None;
    }
    let scaled: Vec<f64> = ln_weights.iter().map(|x| if x.is_nan() { 0.0 } else { exp(x - most) }).collect();
    let sum: f64 = scaled.iter().sum();
    Some((scaled.iter().map(|w| w / sum).collect(), most + ln(sum / ln_weights.len() as f64)))
}

/// Number of independent trials that weighted ones are worth, (sum w)^2/sum w^2.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | w | weights, any scale | - | >= 0 |
///
/// 1 when one trial has all the weight, their number when all weigh the same; 0 when none weighs anything.
pub fn effective_trials(weights: &[f64]) -> f64 {
    let sum: f64 = weights.iter().sum();
    let square: f64 = weights.iter().map(|w| w * w).sum();
    if square > 0.0 { sum * sum / square } else { 0.0 }
}

/// Number of independent trials that `n` trials are worth whose weights scatter by `cv`: n/(1 + CV^2).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | n | trials | - | >= 1 |
/// | cv | standard deviation of the weights over their mean | - | >= 0 |
///
/// Source: Kish 1965 (from memory). The same as [`effective_trials`] of the weights themselves.
pub fn effective_of(n: f64, cv: f64) -> f64 {
    n / (1.0 + cv * cv)
}

/// Logarithm of the weight of a trial that may have been drawn from any of several densities, the first of which is the one that
/// counts: w = p/(sum n_k q_k/sum n_k), q_1 = p.
///
/// `terms` holds ln(q_k/p) at the trial and n_k of each density. Source: balance heuristic, Veach and Guibas 1995; deterministic
/// mixture, Owen and Zhou 2000 (from memory). No weight exceeds sum n_k/n_1.
pub fn ln_mixture_weight(terms: &[(f64, f64)]) -> f64 {
    ln(terms.iter().map(|t| t.1).sum()) - ln_drawn(terms)
}

/// Logarithm of sum n_k q_k/p.
pub(super) fn ln_drawn(terms: &[(f64, f64)]) -> f64 {
    ln_sum(terms.iter().map(|(ln_ratio, n)| ln_ratio + ln(*n)))
}

/// Logarithm of the sum of numbers given by their logarithms: minus infinity when all are zero.
pub fn ln_sum(ln_values: impl Iterator<Item = f64> + Clone) -> f64 {
    let most = ln_values.clone().filter(|x| !x.is_nan()).fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return most;
    }
    most + ln(ln_values.map(|x| if x.is_nan() { 0.0 } else { exp(x - most) }).sum())
}

/// Logarithm of the mean of likelihoods given by their logarithms: minus infinity when all are zero.
pub fn ln_mean(ln_values: impl Iterator<Item = f64> + Clone) -> f64 {
    let count = ln_values.clone().count() as f64;
    if count == 1.0 {
        return ln_values.last().filter(|x| !x.is_nan()).unwrap_or(f64::NEG_INFINITY);
    }
    ln_sum(ln_values) - ln(count)
}

/// Picks `count` trials by their weights, which sum to 1, with equal steps from a start `u` (0 to 1): a trial of weight w is
/// picked w count times, give or take one (systematic resampling, Kitagawa 1996, from memory).
pub fn systematic(weights: &[f64], count: usize, u: f64) -> Vec<usize> {
    let mut picked = Vec::with_capacity(count);
    let mut reached = 0.0;
    for (m, w) in weights.iter().enumerate() {
        reached += w * count as f64;
        while picked.len() < count && picked.len() as f64 + u < reached {
            picked.push(m);
        }
    }
    // Rounding of the sum may leave the last step open.
    let last = weights.iter().rposition(|w| *w > 0.0);
    while let Some(m) = last.filter(|_| picked.len() < count) {
        picked.push(m);
    }
    picked
}

/// Values that the shares `at` of the weight lie below, each the midpoint rule between its neighbours. NaN without weight.
pub fn weighted_quantiles<const K: usize>(values: &[f64], weights: &[f64], at: [f64; K]) -> [f64; K] {
    let mut order: Vec<usize> = (0..values.len().min(weights.len())).filter(|i| weights[*i] > 0.0).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let total: f64 = order.iter().map(|i| weights[*i]).sum();
    at.map(|p| {
        let mut below = 0.0;
        let mut last: Option<(f64, f64)> = None;
        for &i in &order {
            let middle = (below + 0.5 * weights[i]) / total;
            below += weights[i];
            if middle >= p {
                return match last {
                    Some((m, v)) if middle > m => v + (p - m) / (middle - m) * (values[i] - v),
                    _ => values[i],
                };
            }
            last = Some((middle, values[i]));
        }
        last.map_or(f64::NAN, |(_, v)| v)
    })
}

/// Weighted mean and standard deviation.
pub fn weighted_moments(values: impl Iterator<Item = f64> + Clone, weights: &[f64]) -> (f64, f64) {
    let total: f64 = weights.iter().sum();
    let mean = values.clone().zip(weights).map(|(v, w)| v * w).sum::<f64>() / total;
    let variance = values.zip(weights).map(|(v, w)| w * (v - mean) * (v - mean)).sum::<f64>() / total;
    (mean, variance.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::stats::normal;

    #[test]
    fn identity_equal_weights_are_worth_their_number_and_one_alone_is_worth_one() {
        assert_eq!(effective_trials(&[0.25; 4]), 4.0);
        assert_eq!(effective_trials(&[0.0, 3.0, 0.0]), 1.0);
        assert_eq!(effective_trials(&[]), 0.0);
        // Half of the trials with all the weight.
        assert!((effective_trials(&[1.0, 1.0, 0.0, 0.0]) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn identity_weights_do_not_feel_a_common_factor_however_large() {
        let (a, mean) = normalised(&[0.0, -1.0, f64::NEG_INFINITY]).unwrap();
        let (b, far) = normalised(&[-90_000.0, -90_001.0, f64::NEG_INFINITY]).unwrap();
        for (x, y) in a.iter().zip(&b) {
            assert!((x - y).abs() < 1e-12);
        }
        assert!((mean - far - 90_000.0).abs() < 1e-9);
        assert!(normalised(&[f64::NEG_INFINITY, f64::NAN]).is_none());
        assert!((ln_mean([0.0, f64::NEG_INFINITY].into_iter()) - ln(0.5)).abs() < 1e-15);
    }

    #[test]
    fn identity_picking_by_weight_picks_each_as_often_as_it_weighs() {
        let weights = [0.1, 0.0, 0.55, 0.35];
        for u in [0.0, 0.3, 0.999] {
            let picked = systematic(&weights, 1000, u);
            assert_eq!(picked.len(), 1000);
            for (m, w) in weights.iter().enumerate() {
                let count = picked.iter().filter(|p| **p == m).count() as f64;
                assert!((count - w * 1000.0).abs() <= 1.0, "{m} {count}");
            }
        }
    }

    #[test]
    fn identity_quantiles_of_a_weighted_normal_grid() {
        let x: Vec<f64> = (0..4001).map(|i| -5.0 + f64::from(i) * 0.0025).collect();
        let w: Vec<f64> = x.iter().map(|x| normal::density(x - 0.5)).collect();
        let [low, mid, high] = weighted_quantiles(&x, &w, [0.1, 0.5, 0.9]);
        assert!((low - 0.5 + normal::Z_90).abs() < 1e-4, "{low}");
        assert!((mid - 0.5).abs() < 1e-4 && (high - 0.5 - normal::Z_90).abs() < 1e-4);
        let (mean, sd) = weighted_moments(x.iter().copied(), &w);
        assert!((mean - 0.5).abs() < 1e-4 && (sd - 1.0).abs() < 1e-3);
    }
}
