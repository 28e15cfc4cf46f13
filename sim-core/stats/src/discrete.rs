//! Counts: Poisson, binomial and negative binomial probabilities and quantiles.

use super::beta;
use super::gamma::{self, poisson_term};
use super::normal;
use washgraph_units::math::{exp, ln, ln_1p, ln_gamma};

/// Largest count that the searches reach: beyond it a double no longer counts in ones.
const LARGEST_COUNT: u64 = 1 << 52;

/// Poisson probability of exactly `count` when `mean` is expected: mean^n e^-mean/n!. mean >= 0.
pub fn poisson_probability(count: u64, mean: f64) -> f64 {
    if count == 0 {
        exp(-mean)
    } else if mean > 0.0 {
        poisson_term(count as f64, mean)
    } else {
        0.0
    }
}

/// Poisson probability of `count` or fewer when `mean` is expected: Q(count + 1, mean). mean >= 0.
pub fn poisson_cdf(count: u64, mean: f64) -> f64 {
    gamma::upper_tail(count as f64 + 1.0, mean)
}

/// Smallest count that is reached or undercut with probability `p` or more, Poisson with this mean. p in (0, 1).
///
/// `None` when the mean is negative or not a number, or p is not in (0, 1).
pub fn poisson_quantile(p: f64, mean: f64) -> Option<u64> {
    if !(p > 0.0 && p < 1.0 && mean >= 0.0 && mean < LARGEST_COUNT as f64) {
        return None;
    }
    smallest_reaching(p, mean + mean.sqrt() * normal::quantile(p), LARGEST_COUNT, |k| poisson_cdf(k, mean))
}

/// Binomial probability of `count` or fewer in `trials`, each with probability `chance`: I_(1-chance)(n-k, k+1).
pub fn binomial_cdf(count: u64, trials: u64, chance: f64) -> f64 {
    if count >= trials {
        return if (0.0..=1.0).contains(&chance) { 1.0 } else { f64::NAN };
    }
    beta::tails((trials - count) as f64, count as f64 + 1.0, 1.0 - chance, chance).0
}

/// Smallest count that is reached or undercut with probability `p` or more, binomial. p and chance in (0, 1).
///
/// `None` outside.
pub fn binomial_quantile(p: f64, trials: u64, chance: f64) -> Option<u64> {
    if !(p > 0.0 && p < 1.0 && chance > 0.0 && chance < 1.0) || trials > LARGEST_COUNT {
        return None;
    }
    let mean = trials as f64 * chance;
    let guess = mean + (mean * (1.0 - chance)).sqrt() * normal::quantile(p);
    smallest_reaching(p, guess, trials, |k| binomial_cdf(k, trials, chance))
}

/// Negative binomial probability of exactly `count`, with `size` r > 0 and success probability s in (0, 1]:
/// Gamma(r+n)/(Gamma(r) n!) s^r (1-s)^n. Mean r (1-s)/s.
pub fn negative_binomial_probability(count: u64, size: f64, success: f64) -> f64 {
    let n = count as f64;
    let failure_part = if count == 0 { 0.0 } else { n * ln_1p(-success) };
    exp(ln_gamma(size + n) - ln_gamma(size) - ln_gamma(n + 1.0) + size * ln(success) + failure_part)
}

/// Negative binomial probability of `count` or fewer: I_s(r, n+1). Arguments as [`negative_binomial_probability`].
pub fn negative_binomial_cdf(count: u64, size: f64, success: f64) -> f64 {
    beta::tails(size, count as f64 + 1.0, success, 1.0 - success).0
}

/// Smallest count that is reached or undercut with probability `p` or more, negative binomial. `None` outside the range.
pub fn negative_binomial_quantile(p: f64, size: f64, success: f64) -> Option<u64> {
    if !(p > 0.0 && p < 1.0 && size > 0.0 && success > 0.0 && success <= 1.0) {
        return None;
    }
    let mean = size * (1.0 - success) / success;
    smallest_reaching(p, mean, LARGEST_COUNT, |k| negative_binomial_cdf(k, size, success))
}

/// Smallest k in 0..=limit with cdf(k) >= p: doubles away from the guess until the answer is enclosed, then halves.
fn smallest_reaching(p: f64, guess: f64, limit: u64, cdf: impl Fn(u64) -> f64) -> Option<u64> {
    let mut middle = if guess > 0.0 { guess as u64 } else { 0 }.min(limit);
    let mut width = 1;
    // `too_few` is exclusive: every count below it misses p.
    let (mut too_few, mut enough);
    if cdf(middle) >= p {
        enough = middle;
        loop {
            if enough == 0 {
                return Some(0);
            }
            middle = enough.saturating_sub(width);
            if cdf(middle) >= p {
                enough = middle;
                width *= 2;
            } else {
                too_few = middle;
                break;
            }
        }
    } else {
        too_few = middle;
        loop {
            if too_few >= limit {
                return None;
            }
            middle = too_few.saturating_add(width).min(limit);
            if cdf(middle) >= p {
                enough = middle;
                break;
            }
            too_few = middle;
            width = width.saturating_mul(2);
        }
    }
    while enough - too_few > 1 {
        let k = too_few + (enough - too_few) / 2;
        if cdf(k) >= p { enough = k } else { too_few = k }
    }
    Some(enough)
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{Binomial, Discrete, DiscreteCDF, NegativeBinomial, Poisson};

    #[test]
    fn identity_counts_agree_with_statrs() {
        for mean in [0.01, 0.7, 3.0, 20.0, 333.0, 5e4] {
            let oracle = Poisson::new(mean).unwrap();
            for p in [0.001, 0.025, 0.1, 0.5, 0.9, 0.975, 0.9999] {
                let k = poisson_quantile(p, mean).unwrap();
                assert!(poisson_cdf(k, mean) >= p && (k == 0 || poisson_cdf(k - 1, mean) < p));
                assert!((poisson_cdf(k, mean) - oracle.cdf(k)).abs() < 1e-9);
                assert!((poisson_probability(k, mean) / oracle.pmf(k) - 1.0).abs() < 1e-7);
            }
        }
        for (n, chance) in [(1, 0.3), (10, 0.5), (1000, 0.1), (100_000, 0.003)] {
            let oracle = Binomial::new(chance, n).unwrap();
            for p in [0.001, 0.025, 0.3, 0.5, 0.975, 0.9999] {
                let k = binomial_quantile(p, n, chance).unwrap();
                assert!(binomial_cdf(k, n, chance) >= p && (k == 0 || binomial_cdf(k - 1, n, chance) < p));
                assert!((binomial_cdf(k, n, chance) - oracle.cdf(k)).abs() < 1e-9);
            }
        }
        for (size, success) in [(0.3, 0.2), (4.0, 1.0 / 6.0), (12.5, 10.0 / 11.0), (50.0, 0.001)] {
            let oracle = NegativeBinomial::new(size, success).unwrap();
            for p in [0.025, 0.5, 0.975] {
                let k = negative_binomial_quantile(p, size, success).unwrap();
                assert!((negative_binomial_cdf(k, size, success) - oracle.cdf(k)).abs() < 1e-8);
                assert!((negative_binomial_probability(k, size, success) / oracle.pmf(k) - 1.0).abs() < 1e-7);
                assert!(k == 0 || negative_binomial_cdf(k - 1, size, success) < p);
            }
        }
        assert_eq!(negative_binomial_quantile(0.025, 4.0, 1.0 / 6.0), Some(4));
        assert_eq!(negative_binomial_quantile(0.975, 4.0, 1.0 / 6.0), Some(46));
        assert_eq!(poisson_quantile(0.5, 0.0), Some(0));
        assert_eq!(poisson_quantile(0.5, -1.0), None);
        assert_eq!(binomial_quantile(1.0, 10, 0.5), None);
    }
}
