//! Which input matters: variance shares (Sobol indices) of a model of independent inputs.

use super::average::{Moments, pairwise_sum};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{POSITIVE, number, result, row};

/// Variance shares of the inputs of a model.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// Mean of the result.
    pub mean: f64,
    /// Variance of the result.
    pub variance: f64,
    /// First-order share S_i (Jansen): what knowing input i alone would take off the variance.
    pub first: Vec<f64>,
    /// First-order share by Saltelli's estimator, for comparison.
    pub first_saltelli: Vec<f64>,
    /// Total share T_i (Jansen): what stays when all but input i are known.
    pub total: Vec<f64>,
    /// Standard error of the first-order share, the variance taken as known.
    pub first_error: Vec<f64>,
    /// Standard error of the total share, the variance taken as known.
    pub total_error: Vec<f64>,
}

/// Sobol indices of a model by Jansen's estimators (and Saltelli's for the first order).
///
/// A, B = independent samples of the inputs; AB_i = A with column i from B:
/// V_i = V - mean((f_B - f_ABi)^2)/2 (Jansen 1999); V_Ti = mean((f_A - f_ABi)^2)/2 (Jansen 1999);
/// V_i = mean(f_B (f_ABi - f_A)) (Saltelli and others 2010), results centred first. Equations as given in the documentation
/// of SciPy and of the R package `sensitivity`.
///
/// `a(trial, input)` and `b(trial, input)` are uniforms in (0, 1), independent of each other; `model` takes one uniform per
/// input. Cost: n (d + 2) runs of the model. Correlated inputs break the meaning: hand in the independent uniforms in front
/// of the copula. Returns NaN shares when the result does not vary.
pub fn sobol_indices(
    trials: usize,
    inputs: usize,
    a: impl Fn(usize, usize) -> f64,
    b: impl Fn(usize, usize) -> f64,
    mut model: impl FnMut(&[f64]) -> f64,
) -> Sensitivity {
    let mut point = vec![0.0; inputs];
    let mut run = |uniform: &dyn Fn(usize) -> f64| {
        for (i, x) in point.iter_mut().enumerate() {
            *x = uniform(i);
        }
        model(&point)
    };
    let f_a: Vec<f64> = (0..trials).map(|t| run(&|i| a(t, i))).collect();
    let f_b: Vec<f64> = (0..trials).map(|t| run(&|i| b(t, i))).collect();
    let f_ab: Vec<Vec<f64>> = (0..inputs)
        .map(|column| (0..trials).map(|t| run(&|i| if i == column { b(t, i) } else { a(t, i) })).collect())
        .collect();
    indices_of_runs(&f_a, &f_b, &f_ab)
}

/// The same from results that are there already: of sample A, of sample B, and for each input (or group of inputs) of A with
/// that input from B. Lists of one length; NaN shares when the result does not vary.
pub fn indices_of_runs(f_a: &[f64], f_b: &[f64], f_ab: &[Vec<f64>]) -> Sensitivity {
    let trials = f_a.len();
    let all = Moments::of(f_a).merge(Moments::of(f_b));
    let (mean, variance) = (all.mean(), all.variance());
    let average = |terms: &[f64]| pairwise_sum(terms) / trials as f64;
    let (mut first, mut first_saltelli) = (Vec::new(), Vec::new());
    let (mut total, mut first_error, mut total_error) = (Vec::new(), Vec::new(), Vec::new());
    for f_ab in f_ab {
        let terms = |f: &dyn Fn(f64, f64, f64) -> f64| -> Vec<f64> {
            f_a.iter().zip(f_b).zip(f_ab).map(|((a, b), ab)| f(a - mean, b - mean, ab - mean)).collect()
        };
        let alone = terms(&|_, b, ab| (b - ab) * (b - ab));
        let with_others = terms(&|a, _, ab| (a - ab) * (a - ab));
        first.push(1.0 - average(&alone) / (2.0 * variance));
        total.push(average(&with_others) / (2.0 * variance));
        first_error.push(Moments::of(&alone).standard_error() / (2.0 * variance));
        total_error.push(Moments::of(&with_others).standard_error() / (2.0 * variance));
        first_saltelli.push(average(&terms(&|a, b, ab| b * (ab - a))) / variance);
    }
    Sensitivity { mean, variance, first, first_saltelli, total, first_error, total_error }
}

/// One bar of a tornado: the result with one input at its 10 % and at its 90 % point, all others at their medians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Place of the input.
    pub input: usize,
    /// Result at the input's 10 % point.
    pub at_low: f64,
    /// Result at the input's 90 % point.
    pub at_high: f64,
}

impl Bar {
    /// Length of the bar.
    pub fn swing(&self) -> f64 {
        (self.at_high - self.at_low).abs()
    }
}

/// Tornado: bars of all inputs, longest first (ties by place). `model` takes one uniform per input.
pub fn tornado(inputs: usize, mut model: impl FnMut(&[f64]) -> f64) -> Vec<Bar> {
    let mut point = vec![0.5; inputs];
    let mut bars = Vec::with_capacity(inputs);
    for input in 0..inputs {
        let mut at = |u: f64| {
            if let Some(x) = point.get_mut(input) {
                *x = u;
            }
            model(&point)
        };
        let (at_low, at_high) = (at(0.1), at(0.9));
        at(0.5);
        bars.push(Bar { input, at_low, at_high });
    }
    bars.sort_by(|a, b| b.swing().total_cmp(&a.swing()));
    bars
}

/// Exact variance and shares of Ishigami's function sin x1 + a sin^2 x2 + b x3^4 sin x1, x uniform in (-pi, pi).
///
/// Returns (V, [S1, S2, S3], [T1, T2, T3]). V1 = (1 + b pi^4/5)^2/2; V2 = a^2/8; V13 = 8 b^2 pi^8/225. Source: Ishigami and
/// Homma 1990. It is the usual test of such estimators.
pub fn ishigami_exact(a: f64, b: f64) -> (f64, [f64; 3], [f64; 3]) {
    let pi4 = std::f64::consts::PI * std::f64::consts::PI * std::f64::consts::PI * std::f64::consts::PI;
    let v1 = 0.5 * (1.0 + b * pi4 / 5.0) * (1.0 + b * pi4 / 5.0);
    let v2 = a * a / 8.0;
    let v13 = 8.0 * b * b * pi4 * pi4 / 225.0;
    let v = v1 + v2 + v13;
    (v, [v1 / v, v2 / v, 0.0], [(v1 + v13) / v, v2 / v, v13 / v])
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "ishigami-shares",
    "Exact variance shares of Ishigami's function, the usual test of sensitivity estimators",
    "V1 = (1 + b pi^4/5)^2/2; V2 = a^2/8; V13 = 8 b^2 pi^8/225",
    |x| {
        let (v, s, t) = ishigami_exact(x[0], x[1]);
        vec![v, s[0], s[1], t[0], t[1], t[2]]
    },
)
.inputs(&[
    number("a", "weight of sin^2 x2", POSITIVE, Some(7.0)),
    number("b", "weight of x3^4 sin x1", POSITIVE, Some(0.1)),
])
.outputs(&[
    result("variance", "variance"),
    result("first_1", "share of x1 alone"),
    result("first_2", "share of x2 alone"),
    result("total_1", "total share of x1"),
    result("total_2", "total share of x2"),
    result("total_3", "total share of x3"),
])
.source("Ishigami and Homma 1990", Status::Memory)];

/// A point of an evenly covering sequence: fractional part of n sqrt(prime). Deterministic; for the checks here.
fn even_point(n: usize, dimension: usize) -> f64 {
    const PRIMES: [f64; 8] = [2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0];
    let step = PRIMES.get(dimension).map_or(f64::NAN, |p| p.sqrt());
    (step * (n as f64 + 0.5)).fract()
}

/// The estimators run on Ishigami's function, 8192 points.
fn ishigami_estimated() -> Sensitivity {
    let model = |u: &[f64]| {
        let x = |i: usize| std::f64::consts::PI * (2.0 * u.get(i).copied().unwrap_or(f64::NAN) - 1.0);
        let (s1, s2, x3) = (washgraph_units::math::sin(x(0)), washgraph_units::math::sin(x(1)), x(2));
        s1 + 7.0 * s2 * s2 + 0.1 * x3 * x3 * x3 * x3 * s1
    };
    sobol_indices(8192, 3, even_point, |n, i| even_point(n, i + 3), model)
}

/// Weights of the inputs of the g-function in the checks.
const G_WEIGHTS: [f64; 4] = [0.0, 1.0, 4.5, 9.0];

/// The estimators run on the g-function, 8192 points.
fn g_function_estimated() -> Sensitivity {
    let model = |u: &[f64]| G_WEIGHTS.iter().zip(u).map(|(a, u)| ((4.0 * u - 2.0).abs() + a) / (1.0 + a)).product();
    sobol_indices(8192, 4, even_point, |n, i| even_point(n, i + 4), model)
}

const G_FUNCTION: &str = "Jansen's estimators on the g-function, 8192 points";
const G_THEORY: washgraph_units::formula::entry::Evidence =
    (Kind::Identity, "Saltelli and Sobol 1995, closed form", Status::Computed);

const ESTIMATED: &str = "Jansen's estimators on Ishigami's function, 8192 points";
const THEORY: washgraph_units::formula::entry::Evidence =
    (Kind::Identity, "Ishigami and Homma 1990, closed form", Status::Computed);

const fn estimated(id: &'static str, exact: f64, computed: fn() -> f64) -> Check {
    row(id, ESTIMATED, THEORY, (exact, "-"), Band::Absolute(0.01), computed)
}

fn at(values: &[f64], i: usize) -> f64 {
    values.get(i).copied().unwrap_or(f64::NAN)
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    estimated("jansen-first-1", 0.313_905, || at(&ishigami_estimated().first, 0)),
    estimated("jansen-first-2", 0.442_411, || at(&ishigami_estimated().first, 1)),
    estimated("jansen-first-3", 0.0, || at(&ishigami_estimated().first, 2)),
    estimated("jansen-total-1", 0.557_589, || at(&ishigami_estimated().total, 0)),
    estimated("jansen-total-2", 0.442_411, || at(&ishigami_estimated().total, 1)),
    estimated("jansen-total-3", 0.243_684, || at(&ishigami_estimated().total, 2)),
    row("g-function-total-1", G_FUNCTION, G_THEORY, (0.787_370, "-"), Band::Absolute(0.02), || {
        at(&g_function_estimated().total, 0)
    }),
    row("g-function-total-2", G_FUNCTION, G_THEORY, (0.242_268, "-"), Band::Absolute(0.02), || {
        at(&g_function_estimated().total, 1)
    }),
    row("g-function-total-4", G_FUNCTION, G_THEORY, (0.010_463, "-"), Band::Absolute(0.01), || {
        at(&g_function_estimated().total, 3)
    }),
    row(
        "mean-of-kinked-sum",
        "mean over 65,536 even points",
        (Kind::Identity, "E max(0, sum of 6 uniforms - 3) = 1434/5040 (Irwin-Hall)", Status::Computed),
        (0.284_524, "-"),
        Band::Absolute(1e-3),
        || {
            let kinked = |n: usize| ((0..6).map(|i| even_point(n, i)).sum::<f64>() - 3.0).max(0.0);
            Moments::of(&(0..65_536).map(kinked).collect::<Vec<_>>()).mean()
        },
    ),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("ishigami-variance", || ishigami_exact(7.0, 0.1).0),
        ("ishigami-first-1", || ishigami_exact(7.0, 0.1).1[0]),
        ("ishigami-total-1", || ishigami_exact(7.0, 0.1).2[0]),
        ("ishigami-total-3", || ishigami_exact(7.0, 0.1).2[2]),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normal;
    use washgraph_units::math::{exp, expm1};

    #[test]
    fn identity_exponential_of_two_normals() {
        let s = sobol_indices(
            8192,
            2,
            even_point,
            |n, i| even_point(n, i + 2),
            |u| exp(0.5 * normal::quantile(u[0]) + 0.3 * normal::quantile(u[1])),
        );
        let all = expm1(0.34);
        for (i, sigma) in [0.5_f64, 0.3].into_iter().enumerate() {
            let first = expm1(sigma * sigma) / all;
            assert!((s.first[i] - first).abs() < 0.02, "{i}: {} {first}", s.first[i]);
            assert!((s.first_saltelli[i] - first).abs() < 0.02);
            assert!((s.total[i] - (1.0 - expm1(0.34 - sigma * sigma) / all)).abs() < 0.02);
        }
    }

    #[test]
    fn property_tornado_puts_the_longest_bar_first() {
        let bars = tornado(3, |u| u[0] + 5.0 * u[1] - 2.0 * u[2]);
        assert_eq!(bars.iter().map(|b| b.input).collect::<Vec<_>>(), vec![1, 2, 0]);
        assert!((bars[1].at_high - bars[1].at_low + 1.6).abs() < 1e-12);
        assert!(sobol_indices(4, 1, |_, _| 0.5, |_, _| 0.5, |_| 1.0).total[0].is_nan());
    }
}
