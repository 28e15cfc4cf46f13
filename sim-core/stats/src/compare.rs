//! Which of two designs is better, on the same ground and in the same seasons.

use super::average::Moments;
use super::interval::wilson;
use super::normal;
use washgraph_units::check::{Band, Check, Status};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{ANY, POSITIVE, number, result, row};

/// Comparison of two designs over common trials: same ground, same season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// Mean of A minus B.
    pub mean_gap: f64,
    /// Standard error of the mean gap.
    pub gap_error: f64,
    /// Standard deviation of the gap from trial to trial.
    pub gap_sd: f64,
    /// Share of trials in which A beats B, ties counted half.
    pub chance_a: f64,
    /// 95 % Wilson interval of that share.
    pub chance_interval: (f64, f64),
}

/// Compares two designs by their results trial by trial: D_i = Y_A,i - Y_B,i.
///
/// P(A > B) = share of D_i > 0 plus half the ties. `None` when the sets differ in length or hold fewer than two trials.
/// The numbers mean nothing unless trial i of both used the same draws.
pub fn paired(a: &[f64], b: &[f64]) -> Option<Comparison> {
    if a.len() != b.len() || a.len() < 2 {
        return None;
    }
    let gaps: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - b).collect();
    let moments = Moments::of(&gaps);
    let wins = gaps.iter().filter(|d| **d > 0.0).count() as f64;
    let ties = gaps.iter().filter(|d| **d == 0.0).count() as f64;
    let (score, n) = (wins + 0.5 * ties, gaps.len() as f64);
    Some(Comparison {
        mean_gap: moments.mean(),
        gap_error: moments.standard_error(),
        gap_sd: moments.standard_deviation(),
        chance_a: score / n,
        chance_interval: wilson(score, n, 0.95),
    })
}

/// Regret of a choice: E[max_d Y_d - Y_chosen], over common trials. `designs[d][i]` = result of design d in trial i.
///
/// Equals the value of perfect information when the chosen design has the best mean. NaN when `chosen` does not exist or
/// there is no trial; trials beyond the shortest set are ignored.
pub fn regret(designs: &[Vec<f64>], chosen: usize) -> f64 {
    let Some(mine) = designs.get(chosen) else {
        return f64::NAN;
    };
    let trials = designs.iter().map(Vec::len).min().unwrap_or(0);
    let lost: Vec<f64> = mine
        .iter()
        .take(trials)
        .enumerate()
        .map(|(i, y)| designs.iter().filter_map(|d| d.get(i)).copied().fold(f64::NEG_INFINITY, f64::max) - y)
        .collect();
    Moments::of(&lost).mean()
}

/// Share of trials in which each design is the best; ties are shared. Sums to 1.
pub fn chance_best(designs: &[Vec<f64>]) -> Vec<f64> {
    let trials = designs.iter().map(Vec::len).min().unwrap_or(0);
    let mut wins = vec![0.0; designs.len()];
    for i in 0..trials {
        let at = |d: &Vec<f64>| d.get(i).copied().unwrap_or(f64::NEG_INFINITY);
        let best = designs.iter().map(at).fold(f64::NEG_INFINITY, f64::max);
        let sharing = designs.iter().filter(|d| at(d) == best).count() as f64;
        for (win, design) in wins.iter_mut().zip(designs) {
            if at(design) == best {
                *win += 1.0 / sharing;
            }
        }
    }
    wins.iter().map(|w| w / trials as f64).collect()
}

/// Standard deviation of the gap of two designs of equal SD s whose results correlate by r: s sqrt(2 (1-r)).
///
/// This is what common draws buy: at r 0.95, 160 common trials do the work of 3,200 separate ones.
pub fn gap_sd(sd: f64, correlation: f64) -> f64 {
    sd * (2.0 * (1.0 - correlation)).sqrt()
}

/// P(A > B) for normal results: Phi(gap/SD of the gap).
pub fn chance_better(gap: f64, gap_sd: f64) -> f64 {
    normal::cdf(gap / gap_sd)
}

/// Trials for a standard error of the mean gap: (SD/SE)^2.
pub fn trials_for(gap_sd: f64, standard_error: f64) -> f64 {
    let ratio = gap_sd / standard_error;
    ratio * ratio
}

/// How many times fewer trials common draws need for the same error of the gap of means: (Var A + Var B)/Var(A - B).
///
/// 1/(1 - r) for equal spreads: 10 at a correlation of 0.9, 20 at 0.95. Infinite when the two never differ by chance; NaN
/// for sets of different length or with fewer than two trials.
pub fn trials_saved(a: &[f64], b: &[f64]) -> f64 {
    if a.len() != b.len() {
        return f64::NAN;
    }
    let gaps: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - b).collect();
    (Moments::of(a).variance() + Moments::of(b).variance()) / Moments::of(&gaps).variance()
}

/// Correlation of the results of two designs over common trials; NaN as for [`trials_saved`], or when one does not vary.
pub fn correlation(a: &[f64], b: &[f64]) -> f64 {
    if a.len() != b.len() {
        return f64::NAN;
    }
    let sums: Vec<f64> = a.iter().zip(b).map(|(a, b)| a + b).collect();
    let (va, vb, vs) = (Moments::of(a).variance(), Moments::of(b).variance(), Moments::of(&sums).variance());
    (vs - va - vb) / (2.0 * (va * vb).sqrt())
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "design-comparison",
    "Chance that one design beats another on the same ground, and trials to tell them apart",
    "SD_D = s sqrt(2(1-r)); P(A>B) = Phi(gap/SD_D); n = (SD_D/SE)^2",
    |x| {
        let sd = gap_sd(x[1], x[2]);
        vec![chance_better(x[0], sd), sd, trials_for(sd, x[3])]
    },
)
.inputs(&[
    number("gap", "mean of A minus mean of B", ANY, None),
    number("sd", "standard deviation of each design's results", POSITIVE, None),
    number("correlation", "correlation of the results over common trials", (-1.0, 1.0), Some(0.95))
        .possible((-1.0, 1.0)),
    number("wanted_error", "standard error wanted of the gap", POSITIVE, Some(0.5)),
])
.outputs(&[
    result("chance_a", "chance that A beats B"),
    result("gap_sd", "standard deviation of the gap"),
    result("trials", "trials for the wanted error"),
])
.source("variance of a difference; normal results", Status::Computed)
.limits("of many designs the best on few trials owes part of its lead to luck: run it again on fresh draws")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[row(
    "common-draws-saved",
    "trials saved by common draws, two series of correlation 0.9",
    (washgraph_units::check::Kind::Identity, "1/(1 - r) for equal spreads", Status::Computed),
    (10.0, "-"),
    Band::Relative(0.02),
    || {
        let score = |n: usize, prime: f64| normal::quantile((prime.sqrt() * (n as f64 + 0.5)).fract());
        let a: Vec<f64> = (0..4096).map(|n| score(n, 2.0)).collect();
        let b: Vec<f64> = (0..4096).map(|n| 0.9 * score(n, 2.0) + 0.19_f64.sqrt() * score(n, 3.0)).collect();
        trials_saved(&a, &b)
    },
)];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("common-draws-chance", || chance_better(5.0, gap_sd(20.0, 0.95))),
        ("common-draws-sd", || gap_sd(20.0, 0.95)),
        ("common-draws-chance-r0", || chance_better(5.0, gap_sd(20.0, 0.0))),
        ("common-draws-trials", || trials_for(gap_sd(20.0, 0.95), 0.5)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_ties_count_half_and_regret_is_perfect_information() {
        let (a, b) = (vec![1.0, 2.0, 3.0, 9.0], vec![1.0, 3.0, 2.0, 1.0]);
        let c = paired(&a, &b).unwrap();
        assert!((c.chance_a - 2.5 / 4.0).abs() < 1e-15);
        assert!((c.mean_gap - 2.0).abs() < 1e-15);
        let designs = [a, b];
        assert!((regret(&designs, 0) - super::super::voi::evpi(&designs)).abs() < 1e-15);
        assert!((regret(&designs, 1) - 2.25).abs() < 1e-15);
        assert_eq!(chance_best(&designs), vec![0.625, 0.375]);
        assert!(regret(&designs, 5).is_nan() && paired(&[1.0], &[1.0]).is_none());
    }
}
