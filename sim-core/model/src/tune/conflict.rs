//! Observations held against each other: what each said, what all the others would have expected, and which two of them do
//! not go together.
//!
//! The weights for one observation leave it out: on other days by the likelihood of the whole day, on its own day run by
//! run, since what was seen in the same hours speaks of the same hours.

use super::ensemble::{Day, Ensemble, ln_of_members};
use super::evidence::{Evidence, Part};
use super::surprise::{Expectation, expectation};

/// Chance below which an observation is said to disagree.
pub const DISAGREES: f64 = 0.01;

/// Effective trials below which an expectation is uncertain itself.
pub const FEW: f64 = 30.0;

/// One observation: what was seen, and what was expected of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Observed {
    /// What it is and when.
    pub name: String,
    /// Date, as in the log.
    pub date: String,
    /// Its numbers.
    pub parts: Vec<Part>,
    /// Expected before anything was seen.
    pub before: Option<Expectation>,
    /// Expected from everything else that was seen.
    pub from_the_rest: Option<Expectation>,
    /// Expected after tuning, with this observation among the rest.
    pub after: Option<Expectation>,
}

impl Observed {
    /// Whether it disagrees with everything else.
    pub fn disagrees(&self) -> bool {
        self.from_the_rest.as_ref().is_some_and(|e| e.chance < DISAGREES)
    }

    /// Whether it lies outside what the scenario allows at all, before anything else was seen.
    pub fn unheard_of(&self) -> bool {
        self.before.as_ref().is_none_or(|e| e.chance < DISAGREES)
    }

    /// Whether too few trials were left to judge by.
    pub fn judged_by_few(&self) -> bool {
        self.from_the_rest.as_ref().is_none_or(|e| e.effective_trials < FEW)
    }
}

/// Two observations that do not go together.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// Number of the one that is looked at.
    pub one: usize,
    /// Number of the one that is taken for true.
    pub other: usize,
    /// What the other alone expects of the one.
    pub expected: Expectation,
}

/// Expectations of all observations, and the clashes of those that disagree.
///
/// `ln` holds the logarithm of the likelihood of each observation in each run (`[observation][member runs + run]`), `ln_before`
/// that of the weight of each member before anything was seen, `ln_all` that of the likelihood of all observations.
pub fn observed(
    evidence: &[&dyn Evidence],
    days: &[Day<'_>],
    ensemble: &Ensemble,
    ln: &[Vec<f64>],
    ln_before: &[f64],
    ln_all: &[f64],
    seed: u64,
) -> (Vec<Observed>, Vec<Clash>) {
    let view = View { evidence, ensemble, ln, ln_before };
    let all: Vec<Observed> = (0..evidence.len())
        .map(|o| Observed {
            name: evidence[o].name().to_string(),
            date: days.get(ensemble.day_of[o]).map_or(String::new(), |d| d.date.clone()),
            parts: evidence[o].parts().to_vec(),
            before: view.expect(o, &view.spread_over_runs(ln_before), seed, "before"),
            from_the_rest: view.expect(o, &view.ln_given(o, |other| other != o), seed, "rest"),
            after: view.expect(o, &view.spread_over_runs(&sum(ln_before, ln_all)), seed, "after"),
        })
        .collect();
    let mut clashes = Vec::new();
    for one in (0..all.len()).filter(|o| all[*o].disagrees() && !all[*o].unheard_of()) {
        for other in (0..all.len()).filter(|o| *o != one) {
            let weights = view.ln_given(one, |o| o == other);
            if let Some(expected) = view.expect(one, &weights, seed, "pair").filter(|e| e.chance < DISAGREES) {
                clashes.push(Clash { one, other, expected });
            }
        }
    }
    clashes.sort_by(|a, b| a.expected.chance.total_cmp(&b.expected.chance));
    (all, clashes)
}

fn sum(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(x, y)| x + y).collect()
}

struct View<'a> {
    evidence: &'a [&'a dyn Evidence],
    ensemble: &'a Ensemble,
    ln: &'a [Vec<f64>],
    ln_before: &'a [f64],
}

impl View<'_> {
    fn runs(&self) -> usize {
        self.ensemble.predictions.first().map_or(1, |p| p.runs().max(1))
    }

    fn expect(&self, o: usize, ln_weights: &[f64], seed: u64, purpose: &str) -> Option<Expectation> {
        expectation(self.evidence[o], &self.ensemble.predictions[o], ln_weights, seed, purpose)
    }

    /// The weights of members, for each of their runs.
    fn spread_over_runs(&self, ln_members: &[f64]) -> Vec<f64> {
        let runs = self.runs();
        ln_members.iter().flat_map(|l| std::iter::repeat_n(*l, runs)).collect()
    }

    /// Weights of the runs of one observation's day by those observations that `taken` picks.
    fn ln_given(&self, o: usize, taken: impl Fn(usize) -> bool) -> Vec<f64> {
        let (runs, day) = (self.runs(), self.ensemble.day_of[o]);
        let elsewhere = |other: usize| self.ensemble.day_of[other] != day;
        let others = ln_of_members(self.ln, &self.ensemble.day_of, runs, |x| elsewhere(x) && taken(x));
        let mut weights = self.spread_over_runs(&sum(self.ln_before, &others));
        for other in (0..self.ln.len()).filter(|x| !elsewhere(*x) && taken(*x)) {
            weights.iter_mut().zip(&self.ln[other]).for_each(|(w, l)| *w += l);
        }
        weights
    }
}
