//! Trials of constants, and what the plant predicts under each for every observation.
//!
//! One member of the ensemble is one set of constants. For each day of the log it is run several times, each time with
//! other weather, feed and luck of grains (the inputs that change by themselves come from other trials), under the
//! settings of that day. The likelihood of the day is averaged over these runs: what changes from hour to hour is
//! integrated out, and never taken for knowledge of the constants. All that was seen on one day was seen in the same hours:
//! within a run the likelihoods of the day's observations are multiplied, then averaged.

use rayon::prelude::*;

use super::evidence::Evidence;
use super::weigh::ln_mean;
use crate::tuned::constants::Constants;
use sim_core::draw::Draws;
use sim_core::plant::Plant;
use sim_core::trial::Worker;

/// First trial whose hours are used; those before stand for the constants of members and for ordinary runs.
const FIRST_HOURS: u64 = 1 << 40;

/// Members worked on by one thread at a time.
const CHUNK: usize = 32;

/// What was seen on one day, with the plant as it was set that day.
pub struct Day<'a> {
    /// Date, as in the log.
    pub date: String,
    /// The plant under the settings of the day.
    pub plant: &'a Plant,
    /// What was seen.
    pub evidence: &'a [Box<dyn Evidence>],
}

/// Sets of constants, each a row of numbers between 0 and 1.
#[derive(Debug, Clone, Default)]
pub struct Members {
    width: usize,
    numbers: Vec<f64>,
}

impl Members {
    /// Without any.
    pub fn empty(width: usize) -> Members {
        Members { width, numbers: Vec::new() }
    }

    /// The constants of the trials `first .. first + count` of a seed: as a run of that seed has them.
    pub fn of_trials(constants: &Constants, plant: &Plant, seed: u64, first: u64, count: usize) -> Members {
        let places = constants.places(plant);
        let width = constants.len();
        let mut draws = Draws::new(seed, &plant.inputs);
        let mut numbers = vec![0.5; width * count];
        for (i, row) in numbers.chunks_mut(width.max(1)).enumerate() {
            draws.numbers_at(first + i as u64, &plant.inputs, &places, row);
        }
        Members { width, numbers }
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.numbers.len().checked_div(self.width).unwrap_or(0)
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The numbers of one.
    pub fn row(&self, m: usize) -> &[f64] {
        self.numbers.get(m * self.width..(m + 1) * self.width).unwrap_or(&[])
    }

    /// One constant of all of them.
    pub fn column(&self, c: usize) -> impl Iterator<Item = f64> + Clone + '_ {
        self.numbers.iter().skip(c).step_by(self.width.max(1)).copied()
    }

    /// Adds one.
    pub fn push(&mut self, row: &[f64]) {
        self.numbers.extend_from_slice(row);
    }

    /// Adds others behind.
    pub fn append(&mut self, mut more: Members) {
        self.numbers.append(&mut more.numbers);
    }
}

/// What is predicted for one observation in each run of each member.
#[derive(Debug, Clone, Default)]
pub struct Predictions {
    size: usize,
    runs: usize,
    numbers: Vec<f64>,
}

impl Predictions {
    /// Runs of each member.
    pub fn runs(&self) -> usize {
        self.runs
    }

    /// Members.
    pub fn members(&self) -> usize {
        self.numbers.len() / (self.size * self.runs).max(1)
    }

    /// What is predicted in run `r` of member `m`.
    pub fn of(&self, m: usize, r: usize) -> &[f64] {
        let at = (m * self.runs + r) * self.size;
        self.numbers.get(at..at + self.size).unwrap_or(&[])
    }

    /// Logarithm of the likelihood of an observation in each run of each member from member `first` on.
    pub fn ln_likelihoods_from(&self, first: usize, evidence: &dyn Evidence) -> Vec<f64> {
        (first * self.runs..self.members() * self.runs)
            .map(|i| {
                let ln = evidence.ln_likelihood(self.of(i / self.runs, i % self.runs));
                if ln.is_nan() { f64::NEG_INFINITY } else { ln }
            })
            .collect()
    }

    fn append(&mut self, more: &Predictions) {
        (self.size, self.runs) = (more.size, more.runs);
        self.numbers.extend_from_slice(&more.numbers);
    }
}

/// Members and predictions, observation by observation in the order of the days.
#[derive(Debug, Clone, Default)]
pub struct Ensemble {
    /// The sets of constants.
    pub members: Members,
    /// Predictions for each observation.
    pub predictions: Vec<Predictions>,
    /// Day of each observation.
    pub day_of: Vec<usize>,
}

impl Ensemble {
    /// For the observations of these days, without members.
    pub fn empty(days: &[Day<'_>]) -> Ensemble {
        Ensemble { day_of: day_of(days), ..Ensemble::default() }
    }

    /// Runs members through all days, each `runs` times.
    pub fn run(days: &[Day<'_>], constants: &Constants, seed: u64, runs: usize, members: Members) -> Ensemble {
        let mut all = Ensemble::empty(days);
        all.extend(days, constants, seed, runs, members);
        all
    }

    /// Runs further members.
    pub fn extend(&mut self, days: &[Day<'_>], constants: &Constants, seed: u64, runs: usize, members: Members) {
        let first = self.members.len();
        let mut at = 0;
        for (d, day) in days.iter().enumerate() {
            let hours = |m: usize, r: usize| FIRST_HOURS + (((first + m) * days.len() + d) * runs + r) as u64;
            for new in predict(day, constants, seed, runs, &members, hours) {
                match self.predictions.get_mut(at) {
                    Some(old) => old.append(&new),
                    None => self.predictions.push(new),
                }
                at += 1;
            }
        }
        self.members.width = members.width;
        self.members.append(members);
    }
}

/// Day of each observation.
fn day_of(days: &[Day<'_>]) -> Vec<usize> {
    days.iter().enumerate().flat_map(|(d, day)| day.evidence.iter().map(move |_| d)).collect()
}

/// Logarithm of the likelihood of those observations that `taken` picks, in each member: mean over the runs of a day of the
/// product over its observations, then the product over the days.
pub fn ln_of_members(ln: &[Vec<f64>], day_of: &[usize], runs: usize, taken: impl Fn(usize) -> bool) -> Vec<f64> {
    let members = ln.first().map_or(0, |l| l.len() / runs.max(1));
    let days = day_of.last().map_or(0, |d| d + 1);
    let by_day: Vec<Vec<&[f64]>> = (0..days)
        .map(|d| (0..ln.len()).filter(|o| day_of.get(*o) == Some(&d) && taken(*o)).map(|o| ln[o].as_slice()).collect())
        .collect();
    (0..members)
        .map(|m| {
            let of_day =
                |seen: &Vec<&[f64]>| ln_mean((0..runs).map(|r| seen.iter().map(|l| l[m * runs + r]).sum::<f64>()));
            by_day.iter().filter(|seen| !seen.is_empty()).map(of_day).sum()
        })
        .collect()
}

/// Predictions of a day's observations for members. `hours` names the trial whose hours a run of a member has.
pub fn predict(
    day: &Day<'_>,
    constants: &Constants,
    seed: u64,
    runs: usize,
    members: &Members,
    hours: impl Fn(usize, usize) -> u64 + Sync,
) -> Vec<Predictions> {
    let places = constants.places(day.plant);
    let starts: Vec<usize> = (0..members.len()).step_by(CHUNK).collect();
    let parts: Vec<Vec<Vec<f64>>> = starts
        .into_par_iter()
        .map_init(
            || Worker::new(day.plant, seed),
            |worker, start| {
                let mut lists: Vec<Vec<f64>> = vec![Vec::new(); day.evidence.len()];
                for m in start..(start + CHUNK).min(members.len()) {
                    for r in 0..runs {
                        worker.run_given(hours(m, r), &places, members.row(m));
                        for (list, evidence) in lists.iter_mut().zip(day.evidence) {
                            evidence.predict(worker, list);
                        }
                    }
                }
                lists
            },
        )
        .collect();
    let rows = (members.len() * runs).max(1);
    (0..day.evidence.len())
        .map(|e| {
            let numbers: Vec<f64> = parts.iter().filter_map(|p| p.get(e)).flatten().copied().collect();
            Predictions { size: numbers.len() / rows, runs, numbers }
        })
        .collect()
}
