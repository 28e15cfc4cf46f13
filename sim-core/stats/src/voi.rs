//! What knowing more would be worth, in money.

use super::average::Moments;
use super::discrete::{negative_binomial_cdf, negative_binomial_probability};
use super::gamma;
use super::normal;
use super::posterior::ColourDensity;
use washgraph_units::check::{Band, Check, Status};
use washgraph_units::formula::entry::{ANY, POSITIVE, input, number, output, result, row};
use washgraph_units::formula::{Formula, Together};
use washgraph_units::quantity::Dimension;

/// Expected value of perfect information from trials: `E[max_d U] - max_d E[U]`; `choices[d][i]` = result of choice d in
/// trial i, all choices on the same draws.
///
/// Only ignorance (what a sample could tell) must vary between the trials, not the season's luck. Never below zero, and
/// exactly zero when one choice is best in every trial. NaN without trials.
pub fn evpi(choices: &[Vec<f64>]) -> f64 {
    let trials = choices.iter().map(Vec::len).min().unwrap_or(0);
    let mean = |d: &Vec<f64>| Moments::of(d.get(..trials).unwrap_or(d)).mean();
    let mut best: Option<(usize, f64)> = None;
    for (d, choice) in choices.iter().enumerate() {
        let m = mean(choice);
        if best.is_none_or(|(_, b)| m > b) {
            best = Some((d, m));
        }
    }
    // As the mean regret of the best choice, so that it comes out as zero and not as noise.
    match best {
        Some((d, _)) => super::compare::regret(choices, d),
        None => f64::NAN,
    }
}

/// A choice over a few states of the ground, with a test that points to them.
#[derive(Debug, Clone, Copy)]
pub struct DiscreteCase<'a> {
    /// Probability of each state; sums to 1.
    pub states: &'a [f64],
    /// `payoffs[d][s]` = result of choice d in state s.
    pub payoffs: &'a [&'a [f64]],
}

impl DiscreteCase<'_> {
    /// Best expected result when the states have these (not necessarily normalised) weights.
    fn best(&self, weights: &[f64]) -> f64 {
        let value = |payoff: &&[f64]| payoff.iter().zip(weights).map(|(u, w)| u * w).sum();
        self.payoffs.iter().map(value).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Result expected from the best choice without any test.
    pub fn without_test(&self) -> f64 {
        self.best(self.states)
    }

    /// Expected value of perfect information.
    pub fn evpi(&self) -> f64 {
        let best_in =
            |s: usize| self.payoffs.iter().filter_map(|p| p.get(s)).copied().fold(f64::NEG_INFINITY, f64::max);
        let known: f64 = self.states.iter().enumerate().map(|(s, p)| p * best_in(s)).sum();
        known - self.without_test()
    }

    /// Expected value of a test: EVSI = sum_outcomes max_d sum_s p_s P(outcome|s) U_d,s - `max_d E[U_d]`.
    ///
    /// `outcomes[o][s]` = chance of outcome o in state s; over the outcomes they sum to 1 for each state. Zero when no
    /// outcome changes the decision.
    pub fn evsi(&self, outcomes: &[&[f64]]) -> f64 {
        let joint = |outcome: &&[f64]| -> f64 {
            let weights: Vec<f64> = self.states.iter().zip(*outcome).map(|(p, l)| p * l).collect();
            self.best(&weights)
        };
        let with: f64 = outcomes.iter().map(joint).sum();
        let gain = with - self.without_test();
        // Rounding of the sums must not pass for value: nothing changes the decision, nothing gained.
        if gain <= 1e-12 * (with.abs() + self.without_test().abs()) { 0.0 } else { gain }
    }
}

/// Unit normal loss: L(x) = phi(x) - x (1 - Phi(x)), x >= 0.
pub fn unit_normal_loss(x: f64) -> f64 {
    normal::density(x) - x * normal::upper_tail(x)
}

/// Value of perfect information on mine-or-walk-away, profit normal N(m, s) against 0: s L(|m|/s).
///
/// s >= 0; 0 when s = 0. Source: Raiffa and Schlaifer 1961 (from memory).
pub fn normal_evpi(mean: f64, sd: f64) -> f64 {
    if sd == 0.0 { 0.0 } else { sd * unit_normal_loss(mean.abs() / sd) }
}

/// Value of n samples on the same choice: sd replaced by s sqrt(n/(n + n0)), n0 = samples that the prior is worth.
///
/// Source: Raiffa and Schlaifer 1961 (from memory). n >= 0, n0 > 0.
pub fn normal_evsi(mean: f64, sd: f64, samples: f64, prior_samples: f64) -> f64 {
    normal_evpi(mean, sd * (samples / (samples + prior_samples)).sqrt())
}

/// Mine-or-walk-away when the ground is known by a colour count: profit c lambda - F against 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CountCase {
    /// What is known of the density of colours.
    pub ground: ColourDensity,
    /// Money per unit of density: c.
    pub worth: f64,
    /// Cost of mining the block: F.
    pub cost: f64,
}

impl CountCase {
    /// Profit of the better choice as things stand: max(0, c a/b - F).
    pub fn without_sample(&self) -> f64 {
        (self.worth * self.ground.mean() - self.cost).max(0.0)
    }

    /// Value of perfect information: c (a/b) SF_(a+1) - F SF_a - max(0, c a/b - F), SF = upper tail of Gamma at F/c.
    ///
    /// Derived from the partial expectation of the gamma distribution. c, F > 0.
    pub fn evpi(&self) -> f64 {
        let at = self.ground.rate_m3 * self.cost / self.worth;
        let known = self.worth * self.ground.mean() * gamma::upper_tail(self.ground.shape + 1.0, at)
            - self.cost * gamma::upper_tail(self.ground.shape, at);
        (known - self.without_sample()).max(0.0)
    }

    /// Value of a sample of volume V: sum_n NB(n; a, b/(b+V)) max(0, c (a+n)/(b+V) - F) - max(0, c a/b - F).
    ///
    /// Exact, in closed form: mining pays from the count n* on; E[lambda; n >= n*] follows from the same negative binomial with
    /// size a + 1. Exactly zero when no count can change the decision. V >= 0.
    pub fn evsi(&self, volume_m3: f64) -> f64 {
        let ColourDensity { shape: a, rate_m3: b } = self.ground;
        let success = b / (b + volume_m3);
        if !(success < 1.0) {
            return 0.0;
        }
        // Smallest count with c (a+n)/(b+V) > F.
        let least = ((self.cost / self.worth) * (b + volume_m3) - a).floor() + 1.0;
        if least <= 0.0 {
            // Mining pays even after an empty sample.
            return 0.0;
        }
        let below = least - 1.0;
        let mean = self.ground.mean();
        // E[lambda; N <= m] = (a/b) P(N' <= m), N' of size a + 1; E[1; N <= m] = P(N <= m).
        let count = super::counts::as_count(below);
        let low_value = self.worth * mean * negative_binomial_cdf(count, a + 1.0, success)
            - self.cost * negative_binomial_cdf(count, a, success);
        // max over the counts = total - part where mining loses (low_value <= 0).
        let now = self.worth * mean - self.cost;
        if now > 0.0 { (-low_value).max(0.0) } else { (now - low_value).max(0.0) }
    }

    /// The same as the plain sum over counts, for checking [`Self::evsi`].
    fn evsi_by_sum(&self, volume_m3: f64) -> f64 {
        let ColourDensity { shape: a, rate_m3: b } = self.ground;
        let profit = |n: u64| (self.worth * (a + n as f64) / (b + volume_m3) - self.cost).max(0.0);
        let sum: f64 = (0..5000).map(|n| negative_binomial_probability(n, a, b / (b + volume_m3)) * profit(n)).sum();
        sum - self.without_sample()
    }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "value-of-samples-normal",
        "What perfect knowledge, or so many samples, would be worth before deciding to mine",
        "EVPI = s L(|m|/s), L(x) = phi(x) - x(1-Phi(x)); EVSI: s sqrt(n/(n+n0)) for s",
        |x| vec![normal_evpi(x[0], x[1]), normal_evsi(x[0], x[1], x[2], x[3])],
    )
    .inputs(&[
        input("profit", "expected profit of mining; walking away is 0", Dimension::Money, "$", ANY, None),
        input(
            "sd",
            "standard deviation of the profit from ignorance of the ground",
            Dimension::Money,
            "$",
            POSITIVE,
            None,
        ),
        number("samples", "samples to be taken", POSITIVE, Some(1.0)),
        number("prior_samples", "samples that the present knowledge is worth", POSITIVE, Some(5.0)),
    ])
    .outputs(&[
        output("evpi", "value of perfect information", Dimension::Money, "$"),
        output("evsi", "value of the samples, before their cost", Dimension::Money, "$"),
    ])
    .source("Raiffa and Schlaifer 1961", Status::Memory)
    .limits("normal profit, two choices; only ignorance counts, not the season's luck"),
    Formula::new(
        "value-of-washing-a-sample",
        "What washing one more sample and counting its colours would be worth before deciding to mine",
        "EVSI = sum_n NB(n; a, b/(b+V)) max(0, c (a+n)/(b+V) - F) - max(0, c a/b - F)",
        |x| {
            let case = CountCase { ground: ColourDensity { shape: x[0], rate_m3: x[1] }, worth: x[2], cost: x[3] };
            vec![case.evsi(x[4]), case.evpi()]
        },
    )
    .inputs(&[
        number("shape", "a: colours seen so far, plus the prior's", POSITIVE, None),
        input("washed", "b: ground washed so far, plus the prior's", Dimension::Volume, "m3", POSITIVE, None),
        input("worth", "c: money from the block per colour per m3", Dimension::Money, "$", POSITIVE, None),
        input("cost", "F: cost of mining the block", Dimension::Money, "$", POSITIVE, None),
        input("sample", "V: next sample", Dimension::Volume, "m3", POSITIVE, None),
    ])
    .outputs(&[
        output("evsi", "value of the sample, before its cost", Dimension::Money, "$"),
        output("evpi", "value of perfect information", Dimension::Money, "$"),
    ])
    .source("gamma-Poisson decision, derived here", Status::Computed)
    .limits("colours of one size; unclustered"),
    Formula::new(
        "value-of-a-test-pit",
        "What a pit that can read good or bad is worth on ground that is rich, fair or poor",
        "EVSI = sum_o max(0, sum_s p_s P(o|s) U_s) - max(0, sum_s p_s U_s)",
        |x| {
            let states = [x[0], x[1], 1.0 - x[0] - x[1]];
            let good = [x[5], x[6], x[7]];
            let bad = good.map(|p| 1.0 - p);
            let mine = [x[2], x[3], x[4]];
            let case = DiscreteCase { states: &states, payoffs: &[&mine, &[0.0; 3]] };
            let chance = states.iter().zip(&good).map(|(p, l)| p * l).sum();
            vec![case.evpi(), case.evsi(&[&good, &bad]), chance]
        },
    )
    .together(|x, _| match x {
        [rich, fair, ..] if rich + fair > 1.0 + 1e-12 => {
            Together::Impossible("the chances of rich and of fair ground together are above 1".into())
        }
        _ => Together::Fits,
    })
    .inputs(&[
        washgraph_units::formula::entry::share("rich", "chance of rich ground", Some(0.3)),
        washgraph_units::formula::entry::share("fair", "chance of fair ground; the rest is poor", Some(0.4)),
        input("profit_rich", "profit of mining rich ground", Dimension::Money, "$", ANY, None),
        input("profit_fair", "profit of mining fair ground", Dimension::Money, "$", ANY, None),
        input("profit_poor", "profit of mining poor ground", Dimension::Money, "$", ANY, None),
        washgraph_units::formula::entry::share(
            "good_if_rich",
            "chance that the pit reads good on rich ground",
            Some(0.9),
        ),
        washgraph_units::formula::entry::share("good_if_fair", "the same on fair ground", Some(0.6)),
        washgraph_units::formula::entry::share("good_if_poor", "the same on poor ground", Some(0.2)),
    ])
    .outputs(&[
        output("evpi", "value of perfect information", Dimension::Money, "$"),
        output("evsi", "value of the pit, before its cost", Dimension::Money, "$"),
        result("chance_good", "chance that the pit reads good"),
    ])
    .source("Bayes' rule; Raiffa and Schlaifer 1961", Status::Memory),
];

/// Checks of this file.
pub const CHECKS: &[Check] = &[row(
    "voi-count-evsi-equals-sum",
    "value of information, colour counts",
    (
        washgraph_units::check::Kind::Identity,
        "closed form equals the sum over counts (here the share of one in the other)",
        Status::Computed,
    ),
    (1.0, "-"),
    Band::Absolute(1e-9),
    || {
        let case = CountCase { ground: ColourDensity { shape: 9.0, rate_m3: 6.5 }, worth: 100.0, cost: 130.0 };
        case.evsi(3.0) / case.evsi_by_sum(3.0)
    },
)];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Ground rich, fair or poor; mining pays 200, 30 or -150 k$, walking away 0. Invented.
    pub(super) const GROUND: DiscreteCase =
        DiscreteCase { states: &[0.3, 0.4, 0.3], payoffs: &[&[200.0, 30.0, -150.0], &[0.0; 3]] };

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("voi-discrete-evpi", || GROUND.evpi()),
        ("voi-discrete-evsi", || GROUND.evsi(&[&[0.9, 0.6, 0.2], &[0.1, 0.4, 0.8]])),
        ("voi-discrete-good", || GROUND.states.iter().zip([0.9, 0.6, 0.2]).map(|(p, l)| p * l).sum()),
        ("voi-normal-evpi", || normal_evpi(10.0, 50.0)),
        ("voi-normal-evpi-30", || normal_evpi(30.0, 50.0)),
        ("voi-normal-evpi-loss", || normal_evpi(-20.0, 50.0)),
        ("voi-normal-evsi-1", || normal_evsi(10.0, 50.0, 1.0, 5.0)),
        ("voi-normal-evsi-20", || normal_evsi(10.0, 50.0, 20.0, 5.0)),
    ];
}

#[cfg(test)]
mod tests {
    use super::golden_rows::GROUND;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn property_a_sample_is_worth_between_nothing_and_everything(
            shape in 0.3_f64..40.0, rate in 0.5_f64..30.0, cost_over_mean in 0.2_f64..4.0, volume in 0.01_f64..20.0,
        ) {
            let ground = ColourDensity { shape, rate_m3: rate };
            let case = CountCase { ground, worth: 50.0, cost: 50.0 * ground.mean() * cost_over_mean };
            let (evsi, evpi) = (case.evsi(volume), case.evpi());
            prop_assert!(evsi >= 0.0 && evsi <= evpi * (1.0 + 1e-9) + 1e-9);
            prop_assert!((evsi - case.evsi_by_sum(volume)).abs() < 1e-7 * case.cost);
        }
    }

    #[test]
    fn property_a_sample_that_changes_nothing_is_worth_exactly_nothing() {
        // Even an empty sample of 0.1 m3 leaves mining profitable.
        let case = CountCase { ground: ColourDensity { shape: 9.0, rate_m3: 6.5 }, worth: 100.0, cost: 10.0 };
        assert_eq!(case.evsi(0.1), 0.0);
        assert_eq!(GROUND.evsi(&[&[0.5, 0.5, 0.5], &[0.5, 0.5, 0.5]]), 0.0);
        assert_eq!(evpi(&[vec![2.0, 3.0], vec![1.0, 1.0]]), 0.0);
        assert!(evpi(&[]).is_nan());
        assert_eq!(normal_evpi(1.0, 0.0), 0.0);
    }
}
