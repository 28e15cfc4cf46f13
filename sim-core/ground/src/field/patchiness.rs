//! Whether samples scatter more than chance: patchy ground.
//!
//! In patchy ground the spots sampled are richer or poorer than the ground as a whole; more colours at the same spots do not
//! help against that, more spots do.

use super::gold_sample::GoldSample;
use washgraph_stats::gamma::chi_square_upper_tail;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, number, result, row};

/// Scatter of the samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patchiness {
    /// Samples compared.
    pub samples: usize,
    /// Probability of so much scatter by chance alone.
    pub chance: f64,
    /// Relative variance of the true density from spot to spot (1/k); 0 when no patchiness is shown.
    pub between: f64,
}

/// Chance below which samples are called patchy. Assumed.
pub const SHOWN_BELOW: f64 = 0.05;

/// Dispersion of counts n_i from volumes V_i: X^2 = sum (n_i - mu_i)^2/mu_i, mu_i = V_i sum n/sum V, against chi-square with
/// N - 1 degrees of freedom; 1/k = (X^2 - (N-1))/(sum mu - sum mu^2/sum mu), not below 0.
///
/// Moment estimator of the negative binomial for unequal exposures (derived as for DerSimonian and Laird 1986: the expected
/// X^2 of such counts is N - 1 + (sum mu - sum mu^2/sum mu)/k); with equal volumes it is k = m^2/(s^2 - m). `None` for fewer
/// than three samples or no colours.
pub fn of(samples: &[GoldSample]) -> Option<Patchiness> {
    let volume: f64 = samples.iter().map(|s| s.volume_m3).sum();
    let colours: f64 = samples.iter().map(|s| s.colours).sum();
    if samples.len() < 3 || !(colours > 0.0 && volume > 0.0) {
        return None;
    }
    let (mut statistic, mut squares) = (0.0, 0.0);
    for s in samples {
        let expected = colours * s.volume_m3 / volume;
        statistic += (s.colours - expected) * (s.colours - expected) / expected;
        squares += expected * expected;
    }
    let freedom = samples.len() as f64 - 1.0;
    Some(Patchiness {
        samples: samples.len(),
        chance: chi_square_upper_tail(freedom, statistic),
        between: ((statistic - freedom) / (colours - squares / colours)).max(0.0),
    })
}

/// Relative variance that patches of variance 1/k leave in the mean of these spots: sum V^2/(k (sum V)^2).
pub fn variance_of_mean(samples: &[GoldSample], between: f64) -> f64 {
    let volume: f64 = samples.iter().map(|s| s.volume_m3).sum();
    between * samples.iter().map(|s| (s.volume_m3 / volume) * (s.volume_m3 / volume)).sum::<f64>()
}

/// Relative standard deviation of a grade from counts at several patchy spots: sqrt(1/N + 1/(k spots)).
///
/// N = colours in all, 1/k = relative variance between spots, equal volumes. Source: negative binomial counts (standard).
pub fn patchy_relative_sd(colours: f64, between: f64, spots: f64) -> f64 {
    (1.0 / colours + between / spots).sqrt()
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "patchy-samples",
    "How well colours from several spots of patchy ground give the grade",
    "RSD = sqrt(1/N + (1/k)/spots)",
    |x| vec![patchy_relative_sd(x[0], x[1], x[2])],
)
.inputs(&[
    number("colours", "colours in all", POSITIVE, None),
    number("between", "relative variance between spots, 1/k", POSITIVE, Some(0.25)),
    number("spots", "spots sampled", (1.0, 1e6), None),
])
.outputs(&[result("relative_sd", "relative standard deviation of the density of colours")])
.source("negative binomial counts", Status::Computed)
.limits("colours of about one mass; k is a guess from few spots")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[row(
    "patchy-samples-one-spot",
    "patchy samples",
    (Kind::Identity, "one spot is a negative binomial count: 20 colours, k 4", Status::Computed),
    (0.547_722_557_5, "-"),
    Band::Absolute(1e-9),
    || patchy_relative_sd(20.0, 0.25, 1.0),
)];

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_stats::counts::{clustering_index, dispersion_test};

    #[test]
    fn identity_equal_volumes_give_the_usual_index_and_test() {
        let counts = [2.0, 31.0, 0.0, 12.0, 7.0, 3.0];
        let samples: Vec<GoldSample> = counts
            .iter()
            .map(|n| GoldSample { name: String::new(), volume_m3: 0.01, colours: *n, gold_kg: 0.0, finest_m: 1e-4 })
            .collect();
        let p = of(&samples).unwrap();
        assert!((1.0 / p.between / clustering_index(&counts).unwrap() - 1.0).abs() < 1e-12);
        assert!((p.chance - dispersion_test(&counts).chance).abs() < 1e-12);
        assert!((variance_of_mean(&samples, p.between) - p.between / 6.0).abs() < 1e-12);
        assert!(of(&samples[..2]).is_none());
    }
}
