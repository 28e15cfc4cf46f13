//! Handbook entries and checks of the laws that tuning weighs by.

use super::observe::law::{Expected, Law};
use super::weigh::{effective_of, effective_trials, ln_mixture_weight};
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::field::gold_between::kernel_width;
use sim_core::formula::Formula;
use sim_core::formula::entry::{ANY, Evidence, POSITIVE, SHARE, input, number, result, row};
use sim_core::math::{exp, ln};
use sim_core::quantity::Dimension;
use sim_core::stats::gamma::chi_square_upper_tail;
use sim_core::stats::posterior::ColourDensity;

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "effective-trials",
        "How many equal trials weighted ones are worth",
        "n_eff = (sum w)^2 / sum w^2 = n/(1 + CV^2)",
        |x| vec![effective_of(x[0], x[1])],
    )
    .inputs(&[
        number("trials", "weighted trials", (1.0, f64::INFINITY), None),
        number("weight_cv", "standard deviation of the weights over their mean", (0.0, f64::INFINITY), None),
    ])
    .outputs(&[result("effective", "trials that they are worth")])
    .source("Kish 1965, Survey Sampling (loss by unequal weights)", Status::Memory)
    .limits("a guide to the error of weighted means; tails that no trial reached do not show in it"),
    Formula::new(
        "mixture-weight",
        "Weight of a trial when trials were drawn from two densities and are used together",
        "w = p/(sum n_k q_k / sum n_k), with q_1 = p",
        |x| {
            let terms = [(0.0, x[0]), (ln(x[2]), x[1])];
            vec![exp(ln_mixture_weight(&terms)), (x[0] + x[1]) / x[0]]
        },
    )
    .inputs(&[
        number("first", "trials drawn from the first density p", POSITIVE, None),
        number("second", "trials drawn from another density q", (0.0, f64::INFINITY), None),
        number("density_ratio", "q over p at the trial", (0.0, f64::INFINITY), None),
    ])
    .outputs(&[
        result("weight", "weight of the trial, 1 when all were drawn from p"),
        result("largest", "weight that no trial can exceed"),
    ])
    .source("balance heuristic, Veach and Guibas 1995; as a deterministic mixture, Owen and Zhou 2000", Status::Memory)
    .limits("the first density stays part of the mixture, so that no weight exceeds all trials over the first"),
    Formula::new(
        "reading-law",
        "How a reading scatters that has an error of its own and one in proportion to its size",
        "z = g(seen) - g(expected), g' = 1/sqrt(a^2 + (r x)^2); density phi(z) g'(seen)",
        |x| {
            let law = Law::Reading { absolute: x[2], relative: x[3] };
            let at = Expected::plain(x[1]);
            vec![law.residual(x[0], at), exp(law.ln_density(x[0], at))]
        },
    )
    .inputs(&[
        number("seen", "what was read", ANY, None),
        number("expected", "what the plant gives", ANY, None),
        number("absolute", "error that does not depend on the size (standard deviation)", (0.0, f64::INFINITY), None),
        input("relative", "error over the size (standard deviation)", Dimension::Fraction, "-", (0.0, 10.0), None),
    ])
    .outputs(&[result("score", "distance in standard deviations"), result("density", "density of what was read")])
    .source(
        "normal error on the scale that evens it out (variance-stabilising transform: Bartlett 1947)",
        Status::Memory,
    )
    .limits("lognormal without absolute error (both above 0), normal without relative error"),
    Formula::new(
        "colours-in-a-pan",
        "Chance of a count of colours in a pan of tailings, with what panning loses",
        "N ~ negative binomial of mean kept x expected and variance mean + v mean^2",
        |x| {
            let (mean, extra) = (x[1] * x[2], x[3] * x[3]);
            let chance = exp(Law::Count { extra }.ln_density(x[0], Expected::plain(mean)));
            vec![chance, (1.0 / mean + extra).sqrt()]
        },
    )
    .inputs(&[
        number("counted", "colours counted", (0.0, 1e9), None),
        number("expected", "colours in what was panned", POSITIVE, None),
        input("kept", "share of such colours that the panning keeps", Dimension::Fraction, "-", SHARE, Some(0.95)),
        input(
            "off",
            "what the count is off by besides chance, as a share (standard deviation)",
            Dimension::Fraction,
            "-",
            (0.0, 3.0),
            Some(0.1),
        ),
    ])
    .outputs(&[
        result("chance", "chance of that count"),
        result("relative_sd", "relative standard deviation of the count"),
    ])
    .source("Poisson count with gamma-distributed mean (standard; its use for gold: David 1977)", Status::Memory)
    .limits("independent colours of one class; patches beyond `off` are not in it"),
    Formula::new(
        "weight-of-few-grains",
        "Density of the weight of gold that few grains make",
        "P(0) = (1 + v n)^(-1/v); else gamma with mean p and variance m p + v p^2",
        |x| {
            let law = Law::Weight { extra: x[4] * x[4] };
            let at = Expected { mean: x[1], grains: x[2], grain_kg: x[3] };
            let density = exp(law.ln_density(x[0], at));
            let per_mg = if x[0] == 0.0 { density } else { density * 1e-6 };
            vec![exp(law.ln_density(0.0, at)), per_mg, (x[3] / x[1] + x[4] * x[4]).sqrt()]
        },
    )
    .inputs(&[
        input("weight", "what was weighed", Dimension::Mass, "mg", (0.0, f64::INFINITY), None),
        input("expected", "gold expected", Dimension::Mass, "mg", POSITIVE, None),
        number("grains", "grains expected", POSITIVE, None),
        input("mass_weighted", "mass-weighted mean grain", Dimension::Mass, "mg", POSITIVE, None),
        input(
            "off",
            "what it is off by besides chance, as a share (standard deviation)",
            Dimension::Fraction,
            "-",
            (0.0, 3.0),
            Some(0.05),
        ),
    ])
    .outputs(&[
        result("chance_none", "chance of no grain at all"),
        result("density_per_mg", "density of the weight, per mg; of 0 mg the chance"),
        result("relative_sd", "relative standard deviation"),
    ])
    .source("compound Poisson sum (standard); the shape of a gamma density for it is assumed", Status::Computed)
    .limits("grains of one class; below one grain expected the density is crude"),
    Formula::new(
        "surprise",
        "Chance of an observation at least as far from what is expected, by its distance over all its numbers",
        "P(chi-square of k degrees of freedom > d^2)",
        |x| vec![chi_square_upper_tail(x[1], x[0] * x[0])],
    )
    .inputs(&[
        number("distance", "Mahalanobis' distance d in standard deviations", (0.0, 1e3), None),
        number("numbers", "numbers of the observation, k", (1.0, 1e3), Some(1.0)),
    ])
    .outputs(&[result("chance", "chance of such an observation or one further out")])
    .source("predictive check, Box 1980; distance of normal numbers, Mahalanobis 1936", Status::Memory)
    .limits("for normal scatter; the program counts simulated owners instead, 999 of them"),
    Formula::new(
        "kernel-width",
        "Width of the smooth spread about each of many draws, in their standard deviations",
        "h = (4/(n (d + 2)))^(1/(d + 4))",
        |x| vec![kernel_width(x[0], x[1])],
    )
    .inputs(&[
        number("draws", "number of draws", (1.0, f64::INFINITY), None),
        number("directions", "directions in which they lie", (1.0, 100.0), Some(1.0)),
    ])
    .outputs(&[result("width", "width of the kernel")])
    .source("Silverman 1986, Density Estimation, eq. 4.14", Status::Memory)
    .limits("best for draws that are normal; wide where they are not"),
];

const TABLE: Evidence =
    (Kind::Published, "Abramowitz and Stegun 1964, tables 26.1 and 26.8 (normal, chi-square)", Status::Memory);
const SILVERMAN: Evidence = (
    Kind::Published,
    "Silverman 1986, eq. 3.28: 1.06 standard deviations times n^(-1/5); band: the last digit printed",
    Status::Memory,
);
const POISSON: Evidence = (
    Kind::Published,
    "table of the Poisson distribution: 3 of 2 expected, 0.1804 (e.g. Biometrika Tables)",
    Status::Memory,
);
const KISH: Evidence = (Kind::Identity, "Kish 1965: n/(1 + CV^2) is (sum w)^2/sum w^2", Status::Computed);
const BALANCE: Evidence = (
    Kind::Identity,
    "Veach and Guibas 1995: weights of the mixture have mean 1 over what was drawn, and none exceeds all over the first",
    Status::Computed,
);
const CONJUGATE: Evidence = (
    Kind::Identity,
    "Gamma(2, 4 per volume) with 7 colours in 2.5 volumes is Gamma(9, 6.5): conjugate gamma-Poisson (standard)",
    Status::Computed,
);
const COMPOUND: Evidence = (Kind::Identity, "variance of a compound Poisson sum: m_w p + v p^2", Status::Computed);

/// Checks.
pub const CHECKS: &[Check] = &[
    row("effective-trials-by-cv", "effective trials", KISH, (0.0, "-"), Band::Absolute(1e-12), || {
        let weights = [0.2, 1.0, 3.0, 0.7, 0.1];
        let n = weights.len() as f64;
        let mean = weights.iter().sum::<f64>() / n;
        let variance = weights.iter().map(|w| (w - mean) * (w - mean)).sum::<f64>() / n;
        effective_trials(&weights) - effective_of(n, variance.sqrt() / mean)
    }),
    row("mixture-weights-mean", "mixture weight", BALANCE, (1.0, "-"), Band::Absolute(1e-9), || mixture().0),
    row("mixture-weights-largest", "mixture weight", BALANCE, (4.0, "-"), Band::Between(3.9, 4.0 + 1e-12), || {
        mixture().1
    }),
    row("reading-law-normal", "law of a reading", TABLE, (0.241_970_72, "-"), Band::Absolute(1e-8), || {
        exp(Law::Reading { absolute: 1.0, relative: 0.0 }.ln_density(3.0, Expected::plain(2.0)))
    }),
    row("count-law-poisson", "law of a count", POISSON, (0.1804, "-"), Band::Absolute(5e-5), || {
        exp(Law::Count { extra: 0.0 }.ln_density(3.0, Expected::plain(2.0)))
    }),
    row("count-law-conjugate-mean", "law of a count", CONJUGATE, (9.0 / 6.5, "-"), Band::Absolute(1e-6), || {
        conjugate().0
    }),
    row("count-law-conjugate-sd", "law of a count", CONJUGATE, (3.0 / 6.5, "-"), Band::Absolute(1e-6), || {
        conjugate().1
    }),
    row("weight-law-mean", "law of a weight", COMPOUND, (30.0, "mg"), Band::Relative(2e-3), || weight().0),
    row("weight-law-sd", "law of a weight", COMPOUND, (weight_sd_mg(), "mg"), Band::Relative(5e-3), || weight().1),
    row("surprise-2-numbers-at-5-percent", "surprise", TABLE, (0.05, "-"), Band::Absolute(1e-5), || {
        chi_square_upper_tail(2.0, 5.991_46)
    }),
    row("surprise-1-number-at-1-percent", "surprise", TABLE, (0.01, "-"), Band::Absolute(1e-5), || {
        chi_square_upper_tail(1.0, 6.634_90)
    }),
    row("kernel-width-one-direction", "kernel width", SILVERMAN, (1.06, "-"), Band::Absolute(0.005), || {
        kernel_width(1.0, 1.0)
    }),
];

/// A quarter of the trials from a standard normal density, the others from one at 2 with half its width: mean of the weights
/// over all that is drawn, and the largest.
fn mixture() -> (f64, f64) {
    let density = |x: f64, sd: f64| exp(-0.5 * x * x / (sd * sd)) / (sd * (2.0 * std::f64::consts::PI).sqrt());
    let (mut mean, mut largest) = (0.0, 0.0_f64);
    let step = 0.001;
    for i in -9000..=9000 {
        let x = step * f64::from(i);
        let (p, q) = (density(x, 1.0), density(x - 2.0, 0.5));
        let weight = exp(ln_mixture_weight(&[(0.0, 250.0), (ln(q / p), 750.0)]));
        mean += step * weight * (0.25 * p + 0.75 * q);
        largest = largest.max(weight);
    }
    (mean, largest)
}

/// Mean and standard deviation of a colour density, from its gamma spread and the law of a count on a fine grid.
fn conjugate() -> (f64, f64) {
    let before = ColourDensity { shape: 2.0, rate_m3: 4.0 };
    let (mut sum, mut mean, mut square) = (0.0, 0.0, 0.0);
    for i in 1..20_000 {
        let x = 5e-4 * f64::from(i);
        let prior = exp((before.shape - 1.0) * ln(x) - before.rate_m3 * x);
        let w = prior * exp(Law::Count { extra: 0.0 }.ln_density(7.0, Expected::plain(2.5 * x)));
        sum += w;
        mean += w * x;
        square += w * x * x;
    }
    mean /= sum;
    (mean, (square / sum - mean * mean).sqrt())
}

const GRAINS: f64 = 30.0;
const MASS_WEIGHTED_MG: f64 = 1.4;
const OFF: f64 = 0.2;

const fn weight_variance_mg2() -> f64 {
    MASS_WEIGHTED_MG * GRAINS + OFF * OFF * GRAINS * GRAINS
}

/// Of thirty grains of 1 mg, mg: sqrt(1.4 x 30 + 0.04 x 900).
const fn weight_sd_mg() -> f64 {
    // A const fn cannot take a root: 78 mg2 by Newton.
    let mut root = 9.0;
    let mut i = 0;
    while i < 20 {
        root = 0.5 * (root + weight_variance_mg2() / root);
        i += 1;
    }
    root
}

/// Mean and standard deviation of the weight of thirty grains by its density, mg.
fn weight() -> (f64, f64) {
    let law = Law::Weight { extra: OFF * OFF };
    let at = Expected { mean: GRAINS * 1e-6, grains: GRAINS, grain_kg: MASS_WEIGHTED_MG * 1e-6 };
    let (mut sum, mut mean, mut square) = (exp(law.ln_density(0.0, at)), 0.0, 0.0);
    for i in 0..30_000 {
        let mg = 0.005 * (f64::from(i) + 0.5);
        let w = 0.005e-6 * exp(law.ln_density(mg * 1e-6, at));
        sum += w;
        mean += w * mg;
        square += w * mg * mg;
    }
    mean /= sum;
    (mean, (square / sum - mean * mean).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_all_checks_of_tuning_pass() {
        for check in CHECKS {
            let computed = (check.computed)();
            assert!(check.passes(computed), "{}: {} against {}", check.id, computed, check.published);
        }
    }

    #[test]
    fn property_calculators_of_tuning_survive_any_input() {
        for formula in FORMULAS {
            for value in [0.0, 1.0, -1.0, 0.5, 1e-300, 1e12, -1e12] {
                let inputs = vec![value; formula.inputs.len()];
                assert_eq!((formula.evaluate)(&inputs).len(), formula.outputs.len(), "{}", formula.name);
            }
        }
    }
}
