//! How one number of an observation scatters about what the plant predicts: a reading, a count of colours, a weight of gold.
//!
//! | law | mean | variance | from |
//! |---|---|---|---|
//! | reading | p | a^2 + (r p)^2 | gauge, tape, watch, balance |
//! | count | p | p + v p^2 | colours, negative binomial; Poisson at v = 0 |
//! | weight | p | m p + v p^2 | gold of few grains, compound Poisson |
//! | weight of n colours | n p | n p^2 (c^2 + n v) + a^2 | the balance, after counting |
//!
//! `p` predicted (of n colours: the mass of one), `a` error of reading in the unit of the number, `r` relative error, `v`
//! variance of what the count, or the mass of a grain, is off by besides chance, `m` mass-weighted mean mass of a grain, `c`
//! relative scatter of the masses of single grains, c^2 = m/p - 1. Each law is used for its density, for drawing, and through
//! the scale on which its scatter is about standard normal: g(x) with g' = 1/standard deviation.
//!
//! Colours both counted and weighed are not two independent numbers: their joint law is that of the count times that of the
//! weight *given the count*, in which the number of grains cancels and only the mass of one of them is left.

use rand::Rng;
use rand_distr::Distribution;

use sim_core::math::{exp, ln, ln_1p, ln_gamma};
use sim_core::stats::normal;

/// How a number scatters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// A reading with an error of its own and one in proportion to the size.
    Reading {
        /// Standard deviation that does not depend on the size, SI.
        absolute: f64,
        /// Standard deviation over the size.
        relative: f64,
    },
    /// A whole number of grains.
    Count {
        /// Variance over the square of the mean, besides chance.
        extra: f64,
    },
    /// The weight of a number of grains.
    Weight {
        /// Variance over the square of the mean, besides chance.
        extra: f64,
    },
    /// The weight of colours that were counted.
    OfCounted {
        /// How many.
        colours: f64,
        /// Variance of the mean mass of a grain over its square, besides chance.
        extra: f64,
    },
}

/// What is predicted for one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The number itself.
    pub mean: f64,
    /// Grains expected; for a weight.
    pub grains: f64,
    /// Mass-weighted mean mass of a grain, kg; for a weight.
    pub grain_kg: f64,
}

impl Expected {
    /// Of a number that is not a weight.
    pub fn plain(mean: f64) -> Expected {
        Expected { mean, grains: 0.0, grain_kg: 0.0 }
    }

    /// All of it times a factor.
    fn times(self, factor: f64) -> Expected {
        Expected { mean: self.mean * factor, grains: self.grains * factor, ..self }
    }
}

/// Root of a count that is about normal with variance 1, its bias mended: 2 sqrt(n + 3/8) of what was counted against
/// 2 sqrt(mean + 1/8) of what was expected. Source: Anscombe 1948 (from memory).
const COUNT_SEEN: f64 = 0.375;
const COUNT_MEAN: f64 = 0.125;
/// Error of a balance for colours, kg: 1 mg. Assumed.
const BALANCE_KG: f64 = 1e-6;
/// Grains inside a class whose number is so small differ in mass by at least this: variance over mean squared. Assumed.
const LEAST_MASS_SCATTER: f64 = 0.05;

/// What of a number seen does not hang on what was expected of it: worked out once, used for thousands of trials.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Sight {
    /// Part of the logarithm of the density.
    ln: f64,
    /// The number on the scale on which it scatters evenly; not of a weight, whose scale hangs on the grains.
    scale: f64,
}

impl Law {
    /// What is expected when all numbers of an observation are off by a factor. The mass of one colour is not.
    pub fn off_by(self, factor: f64, expected: Expected) -> Expected {
        if let Law::OfCounted { .. } = self { expected } else { expected.times(factor) }
    }

    /// What does not hang on the prediction.
    pub fn sight(self, seen: f64) -> Sight {
        match self {
            Law::Reading { absolute, relative } => Sight {
                ln: -0.5 * ln(absolute * absolute + relative * relative * seen * seen) - HALF_LN_TWO_PI,
                scale: reading_scale(seen, absolute, relative),
            },
            Law::Count { extra } => {
                Sight { ln: ln_count_fixed(seen, extra), scale: reading_root(seen + COUNT_SEEN, extra) }
            }
            Law::Weight { .. } | Law::OfCounted { .. } => Sight::default(),
        }
    }

    /// Logarithm of the density (of the chance, for a count) of what was seen. Minus infinity where it is impossible.
    pub fn ln_density(self, seen: f64, expected: Expected) -> f64 {
        self.ln_density_of(seen, self.sight(seen), expected)
    }

    /// The same with what does not hang on the prediction given.
    pub fn ln_density_of(self, seen: f64, sight: Sight, expected: Expected) -> f64 {
        let mean = expected.mean;
        if !mean.is_finite() {
            return f64::NEG_INFINITY;
        }
        let found = match self {
            Law::Reading { absolute, relative } => {
                let z = sight.scale - reading_scale(mean, absolute, relative);
                -0.5 * z * z + sight.ln
            }
            Law::Count { extra } => ln_count(seen, sight.ln, mean, extra),
            Law::Weight { extra } => ln_weight(seen, expected, extra),
            Law::OfCounted { colours: 0.0, .. } => {
                if seen == 0.0 {
                    0.0
                } else {
                    f64::NEG_INFINITY
                }
            }
            Law::OfCounted { colours, extra } => {
                let (law, median) = of_counted(colours, extra, expected);
                law.ln_density(seen, Expected::plain(median))
            }
        };
        if found.is_nan() { f64::NEG_INFINITY } else { found }
    }

    /// Seen less predicted on the scale on which the scatter is about standard normal.
    pub fn residual(self, seen: f64, expected: Expected) -> f64 {
        self.residual_of(seen, self.sight(seen), expected)
    }

    /// The same with what does not hang on the prediction given.
    pub fn residual_of(self, seen: f64, sight: Sight, expected: Expected) -> f64 {
        let mean = expected.mean;
        match self {
            Law::Reading { absolute, relative } => sight.scale - reading_scale(mean, absolute, relative),
            Law::Count { extra } => sight.scale - reading_root(mean.max(0.0) + COUNT_MEAN, extra),
            Law::Weight { extra } => {
                let m = expected.grain_kg;
                reading_root(seen / m + COUNT_SEEN, extra) - reading_root(mean.max(0.0) / m + COUNT_MEAN, extra)
            }
            Law::OfCounted { colours: 0.0, .. } => 0.0,
            Law::OfCounted { colours, extra } => {
                let (law, median) = of_counted(colours, extra, expected);
                law.residual(seen, Expected::plain(median))
            }
        }
    }

    /// By how much [`Self::residual`] falls when the prediction grows by a small share of itself.
    pub fn slope(self, expected: Expected) -> f64 {
        let mean = expected.mean;
        match self {
            Law::Reading { absolute, relative } => {
                mean / (absolute * absolute + relative * relative * mean * mean).sqrt()
            }
            Law::Count { extra } => root_slope(mean, extra),
            Law::Weight { extra } => root_slope(mean / expected.grain_kg, extra),
            Law::OfCounted { .. } => 0.0,
        }
    }

    /// What another owner would have seen.
    pub fn draw(self, expected: Expected, rng: &mut dyn Rng) -> f64 {
        let mean = expected.mean;
        match self {
            Law::Reading { absolute, relative } => {
                from_reading_scale(reading_scale(mean, absolute, relative) + normal_score(rng), absolute, relative)
            }
            Law::Count { extra } => count(mean, extra, rng),
            Law::Weight { extra } => {
                let n = count(expected.grains, extra, rng);
                let one = mean / expected.grains;
                let scatter = (expected.grain_kg / one - 1.0).max(LEAST_MASS_SCATTER);
                if n > 0.0 { gamma(n / scatter, rng) * one * scatter } else { 0.0 }
            }
            Law::OfCounted { colours: 0.0, .. } => 0.0,
            Law::OfCounted { colours, extra } => {
                let (law, median) = of_counted(colours, extra, expected);
                law.draw(Expected::plain(median), rng).max(0.0)
            }
        }
    }
}

const HALF_LN_TWO_PI: f64 = 0.918_938_533_204_672_8;

/// g(x) = asinh(r x/a)/r, with g' = 1/sqrt(a^2 + (r x)^2); x/a without relative error, (ln x)/r without absolute.
fn reading_scale(x: f64, absolute: f64, relative: f64) -> f64 {
    if relative == 0.0 {
        x / absolute
    } else if absolute == 0.0 {
        ln(x) / relative
    } else {
        let t = relative * x / absolute;
        let up = ln(t.abs() + (t * t + 1.0).sqrt());
        (if t < 0.0 { -up } else { up }) / relative
    }
}

fn from_reading_scale(g: f64, absolute: f64, relative: f64) -> f64 {
    if relative == 0.0 {
        g * absolute
    } else if absolute == 0.0 {
        exp(g * relative)
    } else {
        0.5 * absolute / relative * (exp(g * relative) - exp(-g * relative))
    }
}

/// The same for a variance x + v x^2: 2 asinh(sqrt(v x))/sqrt(v).
fn reading_root(x: f64, extra: f64) -> f64 {
    if extra == 0.0 {
        2.0 * x.sqrt()
    } else {
        let t = (extra * x).sqrt();
        2.0 * ln(t + (t * t + 1.0).sqrt()) / extra.sqrt()
    }
}

fn root_slope(x: f64, extra: f64) -> f64 {
    let x = x.max(0.0);
    x / (x + COUNT_MEAN + extra * x * x).sqrt()
}

/// ln of the chance of a count: Poisson, or negative binomial of index k = 1/extra.
///
/// `fixed + n ln(m/(k+m)) - k ln(1 + m/k)` with `fixed = ln G(n+k) - ln G(k) - ln n!`, G the gamma function, m mean; for
/// extra = 0 `fixed + n ln m - m` with `fixed = -ln n!`. Source: standard.
fn ln_count(n: f64, fixed: f64, mean: f64, extra: f64) -> f64 {
    if n < 0.0 || mean < 0.0 || n != n.round() {
        return f64::NEG_INFINITY;
    }
    if mean == 0.0 {
        return if n == 0.0 { 0.0 } else { f64::NEG_INFINITY };
    }
    let some = if n == 0.0 { 0.0 } else { n * ln(mean) };
    if extra == 0.0 {
        return fixed + some - mean;
    }
    let k = 1.0 / extra;
    let share = ln_1p(mean / k);
    fixed + some - n * (ln(k) + share) - k * share
}

/// What of it the mean does not change: `ln G(n+k) - ln G(k) - ln n!`, or `-ln n!`.
fn ln_count_fixed(n: f64, extra: f64) -> f64 {
    if n < 1.0 || n != n.round() {
        return 0.0;
    }
    let k = 1.0 / extra;
    -ln_gamma(n + 1.0) + if extra == 0.0 { 0.0 } else { ln_gamma(n + k) - ln_gamma(k) }
}

/// The law of the weight of counted colours, and its median.
///
/// n colours of mean mass p weigh n p; their masses scatter by c each, so that the sum has the relative variance c^2/n; the
/// mean mass is off by `extra` besides (shape, hollows), and the balance by [`BALANCE_KG`]. A reading of those errors, whose
/// median lies below its mean by the half of the relative variance.
fn of_counted(colours: f64, extra: f64, expected: Expected) -> (Law, f64) {
    let Expected { mean, grain_kg, .. } = expected;
    let scatter = (grain_kg / mean - 1.0).max(LEAST_MASS_SCATTER);
    let variance = scatter / colours + extra;
    let law = Law::Reading { absolute: BALANCE_KG, relative: variance.sqrt() };
    (law, colours * mean / (1.0 + variance).sqrt())
}

/// ln of the density of a weight of few grains: the chance of no grain at all for a weight of nothing; else that of some, times
/// a gamma density with the mean and variance that the weight has when there is a grain.
///
/// Compound Poisson (see [`sim_core::stats::counts::gold_relative_sd`]); the gamma shape is assumed.
fn ln_weight(kg: f64, expected: Expected, extra: f64) -> f64 {
    let Expected { mean, grains, grain_kg } = expected;
    if kg < 0.0 {
        return f64::NEG_INFINITY;
    }
    if !(mean > 0.0 && grains > 0.0 && grain_kg > 0.0) {
        return if kg == 0.0 { 0.0 } else { f64::NEG_INFINITY };
    }
    let none = if extra == 0.0 { -grains } else { -ln_1p(grains * extra) / extra };
    if kg == 0.0 {
        return none;
    }
    let some = -sim_core::math::expm1(none);
    let one = mean / grains;
    let m = grain_kg.max(one * (1.0 + LEAST_MASS_SCATTER));
    let square = mean * m + (1.0 + extra) * mean * mean;
    let mean_if_some = mean / some;
    let variance = (square / some - mean_if_some * mean_if_some).max(LEAST_MASS_SCATTER * one * one);
    let shape = mean_if_some * mean_if_some / variance;
    let scale = variance / mean_if_some;
    ln(some) + (shape - 1.0) * ln(kg / scale) - kg / scale - ln_gamma(shape) - ln(scale)
}

fn normal_score(rng: &mut dyn Rng) -> f64 {
    normal::quantile(((rng.next_u64() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0)
}

/// A common factor drawn: its normal score.
pub(super) fn score(rng: &mut dyn Rng) -> f64 {
    normal_score(rng)
}

fn gamma(shape: f64, rng: &mut dyn Rng) -> f64 {
    rand_distr::Gamma::new(shape, 1.0).map_or(shape, |g| g.sample(rng))
}

fn count(mean: f64, extra: f64, rng: &mut dyn Rng) -> f64 {
    let mean = if extra > 0.0 && mean > 0.0 { mean * gamma(1.0 / extra, rng) * extra } else { mean };
    rand_distr::Poisson::new(mean).map_or(mean.max(0.0).round(), |p| p.sample(rng))
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::stats::discrete::{negative_binomial_probability, poisson_probability};

    /// Poisson: P(3 | mean 2) = 0.1804 (any table, e.g. Abramowitz and Stegun). Negative binomial of mean 20 and index 4: the
    /// chance of at most 5 is 0.048021 and of none (1 + 20/4)^-4.
    #[test]
    fn published_counts_have_their_chances() {
        let chance = |n: f64, mean: f64, extra: f64| Law::Count { extra }.ln_density(n, Expected::plain(mean));
        assert!((exp(chance(3.0, 2.0, 0.0)) - 0.1804).abs() < 5e-5);
        assert!((exp(chance(0.0, 3.0, 0.0)) - 0.0498).abs() < 5e-5);
        let few: f64 = (0..=5).map(|n| exp(chance(f64::from(n), 20.0, 0.25))).sum();
        assert!((few - 0.048_021).abs() < 1e-5, "{few}");
        assert!((exp(chance(0.0, 20.0, 0.25)) - 1.0 / 1296.0).abs() < 1e-12);
    }

    #[test]
    fn identity_counts_agree_with_the_room_of_statistics() {
        for n in [0_u64, 1, 7, 40] {
            let poisson = Law::Count { extra: 0.0 }.ln_density(n as f64, Expected::plain(9.0));
            assert!((exp(poisson) - poisson_probability(n, 9.0)).abs() < 1e-12);
            let k = 2.5;
            let patchy = Law::Count { extra: 1.0 / k }.ln_density(n as f64, Expected::plain(9.0));
            assert!((exp(patchy) - negative_binomial_probability(n, k, k / (k + 9.0))).abs() < 1e-12);
        }
    }

    #[test]
    fn identity_a_reading_is_normal_or_lognormal_at_its_ends() {
        let at = Expected::plain(2.0);
        let plain = Law::Reading { absolute: 0.1, relative: 0.0 };
        assert!((plain.residual(2.2, at) - 2.0).abs() < 1e-12);
        let share = Law::Reading { absolute: 0.0, relative: 0.1 };
        assert!((share.residual(2.0 * exp(0.1), at) - 1.0).abs() < 1e-12);
        // The density integrates to one for both kinds of error together.
        let both = Law::Reading { absolute: 0.1, relative: 0.05 };
        let step = 1e-3;
        let sum: f64 = (0..6000).map(|i| exp(both.ln_density(-1.0 + step * f64::from(i), at)) * step).sum();
        assert!((sum - 1.0).abs() < 1e-6, "{sum}");
    }

    #[test]
    fn identity_a_weight_has_all_its_chance_and_its_mean() {
        // 0.4 grains of 1 mg, 3, 30; the density of some weight and the chance of none make one, and the mean is that expected.
        for grains in [0.4, 3.0, 30.0] {
            let expected = Expected { mean: grains * 1e-6, grains, grain_kg: 1.4e-6 };
            let law = Law::Weight { extra: 0.04 };
            let step = 2e-9;
            let (mut sum, mut mean) = (exp(law.ln_density(0.0, expected)), 0.0);
            for i in 0..100_000 {
                let kg = step * (f64::from(i) + 0.5);
                let chance = exp(law.ln_density(kg, expected)) * step;
                sum += chance;
                mean += kg * chance;
            }
            assert!((sum - 1.0).abs() < 2e-3, "{grains}: {sum}");
            assert!((mean / expected.mean - 1.0).abs() < 2e-3, "{grains}: {mean}");
        }
    }

    /// Colours of a class, counted and weighed: the joint chance is that of the count times the density of the weight given it.
    /// Drawn one after the other, the weight alone has the mean of all colours together, and given the count only the mass of one
    /// colour is left to be told.
    #[test]
    fn identity_a_weight_of_counted_colours_tells_of_one_colour_and_not_of_their_number() {
        use rand::SeedableRng;
        let one = Expected { mean: 1e-6, grains: 1.0, grain_kg: 1.3e-6 };
        let law = |colours: f64| Law::OfCounted { colours, extra: 0.0625 };
        assert_eq!(law(12.0).off_by(2.0, one), one);
        assert_eq!((law(0.0).ln_density(0.0, one), law(0.0).ln_density(1e-6, one)), (0.0, f64::NEG_INFINITY));
        // The density makes one, and the mean is n grains.
        let (mut sum, mut mean) = (0.0, 0.0);
        for i in 0..60_000 {
            let kg = -10e-6 + 2e-9 * f64::from(i);
            let chance = exp(law(12.0).ln_density(kg, one)) * 2e-9;
            sum += chance;
            mean += kg * chance;
        }
        assert!((sum - 1.0).abs() < 1e-3 && (mean / 12e-6 - 1.0).abs() < 0.02, "{sum} {mean}");
        // Drawn: count first, then the weight of that many.
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(3);
        let (mut kg, draws) = (0.0, 4000);
        for _ in 0..draws {
            let n = Law::Count { extra: 0.0 }.draw(Expected::plain(12.0), &mut rng);
            kg += law(n).draw(one, &mut rng) / f64::from(draws);
        }
        assert!((kg / 12e-6 - 1.0).abs() < 0.03, "{kg}");
    }

    #[test]
    fn property_nothing_expected_is_no_number_to_stumble_over() {
        for law in
            [Law::Reading { absolute: 0.0, relative: 0.1 }, Law::Count { extra: 0.1 }, Law::Weight { extra: 0.1 }]
        {
            for mean in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
                let expected = Expected { mean, grains: mean, grain_kg: 1e-6 };
                for seen in [0.0, 1.0, 1e9] {
                    assert!(!law.ln_density(seen, expected).is_nan(), "{law:?} {mean} {seen}");
                }
            }
        }
    }
}
