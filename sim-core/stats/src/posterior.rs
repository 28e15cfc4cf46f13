//! What samples say about the ground: gamma-Poisson by size class, and the lognormal update for weights.

use super::discrete::{negative_binomial_probability, negative_binomial_quantile};
use super::gamma;
use super::quantile_table::QuantileTable;
use super::spread_error::SpreadError;
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, number, output, result};
use washgraph_units::math::ln_1p;
use washgraph_units::quantity::Dimension;

/// Gamma distribution of an unknown number of colours per volume of ground.
///
/// Source: conjugate prior of the Poisson distribution (standard). The rate is in the unit of the sample size (m3 here; any
/// other works if kept), so rate = volume of ground that the prior is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColourDensity {
    /// Shape: colours seen, plus the prior's.
    pub shape: f64,
    /// Rate, m3: volume washed, plus the prior's.
    pub rate_m3: f64,
}

impl ColourDensity {
    /// Jeffreys' prior: shape 1/2, no volume. Not a distribution until something is washed.
    pub const JEFFREYS: Self = Self { shape: 0.5, rate_m3: 0.0 };

    /// After `count` colours in `volume_m3`: Gamma(a + n, b + V).
    #[must_use]
    pub fn after(self, count: f64, volume_m3: f64) -> Self {
        Self { shape: self.shape + count, rate_m3: self.rate_m3 + volume_m3 }
    }

    /// Mean, colours per m3: a/b.
    pub fn mean(&self) -> f64 {
        self.shape / self.rate_m3
    }

    /// Standard deviation, colours per m3: sqrt(a)/b.
    pub fn standard_deviation(&self) -> f64 {
        self.shape.sqrt() / self.rate_m3
    }

    /// Value below which the density lies with probability p, colours per m3.
    pub fn quantile(&self, p: f64) -> f64 {
        gamma::quantile(self.shape, p) / self.rate_m3
    }

    /// The same tabulated for use in every trial.
    pub fn table(&self) -> Result<QuantileTable, SpreadError> {
        QuantileTable::gamma(self.shape, self.rate_m3)
    }

    /// Number of colours in the next `volume_m3`: negative binomial of size a, success b/(b + V').
    pub fn next_count(&self, volume_m3: f64) -> NextCount {
        NextCount { size: self.shape, success: self.rate_m3 / (self.rate_m3 + volume_m3) }
    }
}

/// Predictive distribution of the next count: negative binomial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextCount {
    /// Size r.
    pub size: f64,
    /// Success probability s.
    pub success: f64,
}

impl NextCount {
    /// Probability of exactly this count.
    pub fn probability(&self, count: u64) -> f64 {
        negative_binomial_probability(count, self.size, self.success)
    }

    /// Smallest count reached or undercut with probability p; `None` outside (0, 1).
    pub fn quantile(&self, p: f64) -> Option<u64> {
        negative_binomial_quantile(p, self.size, self.success)
    }
}

/// Shares in NUMBER of size classes from their shares in mass: (w_j/m_j)/sum(w_i/m_i).
///
/// w_j = share of gold mass, m_j = mass of one colour of the class, kg.
pub fn number_shares(mass_shares: &[f64], colour_kg: &[f64]) -> Vec<f64> {
    let numbers: Vec<f64> = mass_shares.iter().zip(colour_kg).map(|(w, m)| w / m).collect();
    let all: f64 = numbers.iter().sum();
    numbers.iter().map(|n| n / all).collect()
}

/// Volume, m3, that a prior of `strength` colours is worth at an expected grade: b = a0 sum(share_j m_j)/grade.
///
/// Chosen so that the prior's mean grade is `grade_kg_m3`. Shares in number, colour masses in kg.
pub fn prior_volume_m3(strength: f64, number_shares: &[f64], colour_kg: &[f64], grade_kg_m3: f64) -> f64 {
    let mean_colour: f64 = number_shares.iter().zip(colour_kg).map(|(s, m)| s * m).sum();
    strength * mean_colour / grade_kg_m3
}

/// One posterior per size class: prior shape a0 share_j and rate b, counts n_j found in V m3.
///
/// Classes are independent; the grade is sum lambda_j m_j. Size shares follow by themselves, and coarse classes in which
/// nothing was found keep some gold through the prior. Shares are in NUMBERS, from a regional size curve.
pub fn by_class(
    strength: f64,
    prior_volume_m3: f64,
    number_shares: &[f64],
    counts: &[f64],
    volume_m3: f64,
) -> Vec<ColourDensity> {
    let update = |(share, n): (&f64, &f64)| {
        ColourDensity { shape: strength * share, rate_m3: prior_volume_m3 }.after(*n, volume_m3)
    };
    number_shares.iter().zip(counts).map(update).collect()
}

/// Mean and standard deviation of the grade sum lambda_j m_j, kg/m3, for independent classes.
pub fn grade_moments(classes: &[ColourDensity], colour_kg: &[f64]) -> (f64, f64) {
    let (mut mean, mut variance) = (0.0, 0.0);
    for (class, m) in classes.iter().zip(colour_kg) {
        mean += class.mean() * m;
        let sd = class.standard_deviation() * m;
        variance += sd * sd;
    }
    (mean, variance.sqrt())
}

/// Log standard deviation of a measurement with this relative standard deviation: sqrt(ln(1 + RSD^2)). Standard result.
pub fn log_sd_of_measurement(relative_sd: f64) -> f64 {
    ln_1p(relative_sd * relative_sd).sqrt()
}

/// A lognormal belief: natural log of the median, and log standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogBelief {
    /// ln of the median.
    pub ln_median: f64,
    /// Standard deviation of the logarithm.
    pub sigma_ln: f64,
}

impl LogBelief {
    /// After a measurement: precisions add, medians are weighted by them in logs.
    ///
    /// sigma = (s0^-2 + sm^-2)^-1/2. Source: normal-normal conjugate update (standard). Used when the gold was only weighed.
    #[must_use]
    pub fn after(self, measured: Self) -> Self {
        let (a, b) = (1.0 / (self.sigma_ln * self.sigma_ln), 1.0 / (measured.sigma_ln * measured.sigma_ln));
        Self { ln_median: (a * self.ln_median + b * measured.ln_median) / (a + b), sigma_ln: 1.0 / (a + b).sqrt() }
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "colours-per-volume",
        "What a count of colours says about the ground, and what the next sample should show",
        "lambda ~ Gamma(a + n, b + V); next count negative binomial, size a + n, success (b+V)/(b+V+V')",
        |x| {
            let d = ColourDensity { shape: x[2], rate_m3: x[3] }.after(x[0], x[1]);
            let q = |p| d.quantile(p);
            vec![
                d.mean(),
                d.standard_deviation(),
                q(0.025),
                q(0.1),
                q(0.5),
                q(0.9),
                q(0.975),
                d.next_count(x[4]).probability(0),
            ]
        },
    )
    .inputs(&[
        number("count", "colours counted", (0.0, 1e9), None),
        washgraph_units::formula::entry::input(
            "volume",
            "ground washed, bank",
            Dimension::Volume,
            "m3",
            POSITIVE,
            None,
        ),
        number("prior_shape", "prior: colours it is worth (1/2 = Jeffreys)", POSITIVE, Some(0.5)),
        washgraph_units::formula::entry::input(
            "prior_volume",
            "prior: ground it is worth",
            Dimension::Volume,
            "m3",
            POSITIVE,
            Some(0.0),
        ),
        washgraph_units::formula::entry::input(
            "next_volume",
            "next sample",
            Dimension::Volume,
            "m3",
            POSITIVE,
            Some(1.0),
        ),
    ])
    .outputs(&[
        result("mean", "colours per m3, mean"),
        result("sd", "its standard deviation, colours per m3"),
        result("pctl_2_5", "1 in 40 below, colours per m3"),
        result("pctl_10", "1 in 10 below, colours per m3"),
        result("pctl_50", "middle, colours per m3"),
        result("pctl_90", "1 in 10 above, colours per m3"),
        result("pctl_97_5", "1 in 40 above, colours per m3"),
        result("chance_next_empty", "chance that the next sample holds none"),
    ])
    .source("gamma-Poisson conjugate update", Status::Computed)
    .limits("one patch of ground: holes that differ must not be pooled"),
    Formula::new(
        "weighed-grade-update",
        "A believed grade corrected by one weighed sample",
        "sm = sqrt(ln(1+RSD^2)); sigma = (s0^-2 + sm^-2)^-1/2; ln median weighted by the precisions",
        |x| {
            let sm = log_sd_of_measurement(x[3]);
            let after = LogBelief { ln_median: washgraph_units::math::ln(x[0]), sigma_ln: x[1] }
                .after(LogBelief { ln_median: washgraph_units::math::ln(x[2]), sigma_ln: sm });
            vec![washgraph_units::math::exp(after.ln_median), after.sigma_ln, sm]
        },
    )
    .inputs(&[
        washgraph_units::formula::entry::input(
            "believed",
            "median grade believed before",
            Dimension::Grade,
            "mg/m3",
            POSITIVE,
            None,
        ),
        number("sigma_ln", "log standard deviation of the belief", POSITIVE, Some(0.8)),
        washgraph_units::formula::entry::input(
            "measured",
            "grade of the sample",
            Dimension::Grade,
            "mg/m3",
            POSITIVE,
            None,
        ),
        number("relative_sd", "relative standard deviation of the sample", POSITIVE, None),
    ])
    .outputs(&[
        output("median", "median grade after", Dimension::Grade, "mg/m3"),
        result("sigma_ln_after", "log standard deviation after"),
        result("sigma_ln_sample", "log standard deviation of the sample"),
    ])
    .source("normal update of the logarithm", Status::Computed)
    .limits("an empty sample cannot be used so: count its colours instead"),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    fn textbook() -> ColourDensity {
        ColourDensity { shape: 2.0, rate_m3: 4.0 }.after(7.0, 2.5)
    }

    /// Ten 1 kg samples with twelve colours in all (Ingamells, in a lecture by Pitard), Jeffreys' prior; "volume" in kg.
    fn ten_samples() -> ColourDensity {
        ColourDensity::JEFFREYS.after(12.0, 10.0)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("ten-samples-mean", || ten_samples().mean()),
        ("ten-samples-low", || ten_samples().quantile(0.025)),
        ("ten-samples-high", || ten_samples().quantile(0.975)),
        ("ten-samples-next-empty", || ten_samples().next_count(1.0).probability(0)),
        ("ten-samples-next-three", || {
            let next = ten_samples().next_count(1.0);
            1.0 - next.probability(0) - next.probability(1) - next.probability(2)
        }),
        ("gamma-poisson-mean", || textbook().mean()),
        ("gamma-poisson-sd", || textbook().standard_deviation()),
        ("gamma-poisson-pctl10", || textbook().quantile(0.1)),
        ("gamma-poisson-pctl50", || textbook().quantile(0.5)),
        ("gamma-poisson-pctl90", || textbook().quantile(0.9)),
        ("weighed-update-sigma", || {
            let prior = LogBelief { ln_median: 0.0, sigma_ln: 0.8 };
            prior.after(LogBelief { ln_median: 0.0, sigma_ln: log_sd_of_measurement(0.45) }).sigma_ln
        }),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_prior_grade_is_the_grade_asked_for() {
        let masses = [1e-9, 1e-7, 1e-5];
        let shares = number_shares(&[0.3, 0.5, 0.2], &masses);
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-15);
        let b = prior_volume_m3(4.0, &shares, &masses, 3e-4);
        let classes = by_class(4.0, b, &shares, &[0.0; 3], 0.0);
        let (mean, sd) = grade_moments(&classes, &masses);
        assert!((mean / 3e-4 - 1.0).abs() < 1e-12 && sd > 0.0);
        // Mass shares come back from number shares.
        let share = classes[2].mean() * masses[2] / mean;
        assert!((share - 0.2).abs() < 1e-12);
    }

    #[test]
    fn property_empty_coarse_class_keeps_gold_but_less() {
        let (masses, shares) = ([1e-9, 1e-5], [0.99, 0.01]);
        let before = by_class(10.0, 1.0, &shares, &[0.0, 0.0], 0.0);
        let after = by_class(10.0, 1.0, &shares, &[9.0, 0.0], 1.0);
        assert!(after[1].mean() > 0.0 && after[1].mean() < before[1].mean());
        assert!(grade_moments(&after, &masses).0 < grade_moments(&before, &masses).0);
    }
}
