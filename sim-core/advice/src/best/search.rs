//! Finding the best of several settings when every trial has its luck: all plants on the same draws, few trials for many plants
//! first, many trials for few plants last, and the last comparison on draws that nothing was chosen by.
//!
//! 1. An evenly spread set of plants, and the present one, on an eighth of the trials; the best of those within the limits stay.
//! 2. From the best a step up and down in each setting, again and again, halving the step when nothing is better, on a quarter
//!    of the trials.
//! 3. The best few and the present plant on all trials of another seed: what is left of the lead there is what is reported,
//!    since the best of many on one set of draws owes part of its lead to luck.

use std::collections::BTreeMap;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use washgraph_model::paired::DesignRun;

use crate::best::limit::Limit;
use crate::plants::base::{Base, Change};
use crate::plants::contest::{Contest, currency, designs_beside, mean, named};
use crate::plants::range::Varied;

/// Plants of the first round for each setting.
const FIRST_PER_SETTING: usize = 12;
/// First step, share of the range, and how often it is halved.
const STEP: f64 = 0.125;
const HALVINGS: usize = 3;
/// Most plants of the second round.
const MOST_STEPS: usize = 60;
/// Plants in the last round, beside the present one.
const FINALISTS: usize = 4;
/// Finalists differ by this share of the range in some setting: neighbours would only tell that the top is flat.
const APART: f64 = 0.06;
/// Fewest trials of the early rounds.
const LEAST_TRIALS: usize = 128;
/// A stage's limit that is missed in more than this share of the runs is missed.
const MISSED: f64 = 0.5;

/// What is sought.
pub struct Search<'a> {
    /// The scenario.
    pub base: &'a Base<'a>,
    /// Settings that may move.
    pub varied: &'a [Varied],
    /// Limits to keep.
    pub limits: &'a [Limit],
    /// Seed.
    pub seed: u64,
    /// Trials of the last round.
    pub trials: usize,
}

/// What was found.
pub struct Found {
    /// Plants of the last round, the present one first; those that miss a limit there are left out.
    pub contest: Contest,
    /// Settings of each of them; empty for the present plant.
    pub settings: Vec<Vec<String>>,
    /// Plants tried in all.
    pub tried: usize,
    /// Plants that could not be built, with the reason, one for each reason.
    pub refused: Vec<(String, String)>,
}

/// A plant by its settings, with its trials.
pub type Candidate = (Vec<String>, DesignRun);

/// Nothing keeps the limits: the plant that comes nearest, and what it misses.
pub struct NoneFits {
    /// The plant that comes nearest.
    pub nearest: Option<Box<Candidate>>,
    /// Plants that could not be built, with the reason, one for each reason.
    pub refused: Vec<(String, String)>,
}

struct Point {
    values: Vec<String>,
    shares: Vec<f64>,
    worth: f64,
}

struct Rounds<'s, 'a> {
    search: &'s Search<'a>,
    done: &'s AtomicU64,
    /// Plants seen, by their values: a plant is run once in each round.
    seen: BTreeMap<(usize, Vec<String>), Option<f64>>,
    tried: usize,
    refused: Vec<(String, String)>,
    nearest: Option<(f64, Box<Candidate>)>,
}

impl Search<'_> {
    /// Runs the search.
    pub fn run(&self, done: &AtomicU64) -> Result<Found, NoneFits> {
        let mut rounds =
            Rounds { search: self, done, seen: BTreeMap::new(), tried: 0, refused: Vec::new(), nearest: None };
        let early = (self.trials / 8).max(LEAST_TRIALS).min(self.trials);
        let middle = (self.trials / 4).max(LEAST_TRIALS).min(self.trials);
        let mut points: Vec<Point> =
            self.first_round().into_iter().filter_map(|shares| rounds.point(shares, early)).collect();
        points.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        points.truncate(FINALISTS);
        let starts: Vec<Vec<f64>> = points.into_iter().map(|p| p.shares).collect();
        let mut finalists: Vec<Point> = starts.into_iter().filter_map(|s| rounds.point(s, middle)).collect();
        finalists.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        if let Some(best) = finalists.first() {
            let (shares, worth) = (best.shares.clone(), best.worth);
            finalists.extend(rounds.climb(shares, worth, middle));
        }
        finalists.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        let mut apart: Vec<Point> = Vec::new();
        for point in finalists {
            let near = |other: &Point| point.shares.iter().zip(&other.shares).all(|(a, b)| (a - b).abs() < APART);
            if apart.len() < FINALISTS && !apart.iter().any(near) {
                apart.push(point);
            }
        }
        rounds.last_round(apart)
    }

    fn changes(&self, values: &[String]) -> Vec<Change> {
        self.varied.iter().zip(values).map(|(v, value)| (v.path.clone(), value.clone())).collect()
    }

    /// Places of the first plants: an even covering (fractional parts of n sqrt(prime)), and the present plant when it is inside.
    fn first_round(&self) -> Vec<Vec<f64>> {
        const PRIMES: [f64; 4] = [2.0, 3.0, 5.0, 7.0];
        let count = FIRST_PER_SETTING * self.varied.len();
        let mut list: Vec<Vec<f64>> = (0..count)
            .map(|n| {
                let spread = |p: &f64| (p.sqrt() * (n as f64 + 0.5)).fract();
                self.varied.iter().zip(&PRIMES).map(|(_, p)| spread(p)).collect()
            })
            .collect();
        let present: Option<Vec<f64>> = self.varied.iter().map(|v| v.share_of(self.base.si(&v.path.text()))).collect();
        list.extend(present);
        list
    }
}

impl Rounds<'_, '_> {
    /// Runs a plant; `None` when it cannot be built or misses a limit.
    fn point(&mut self, shares: Vec<f64>, trials: usize) -> Option<Point> {
        let values: Vec<String> = self.search.varied.iter().zip(&shares).map(|(v, s)| v.at(*s)).collect();
        let key = (trials, values.clone());
        let worth = match self.seen.get(&key) {
            Some(known) => *known,
            None => {
                let worth = self.worth(&values, trials);
                self.seen.insert(key, worth);
                worth
            }
        };
        worth.map(|worth| Point { values, shares, worth })
    }

    fn worth(&mut self, values: &[String], trials: usize) -> Option<f64> {
        let plant = match self.search.base.variant(&self.search.changes(values)) {
            Ok(plant) => plant,
            Err(reason) => {
                if !self.refused.iter().any(|r| r.1 == reason) {
                    self.refused.push((values.join(", "), reason));
                }
                return None;
            }
        };
        self.tried += 1;
        let design_run = DesignRun::run(values.join(", "), &plant, self.search.seed, trials, self.done);
        let missed = missed_by(&design_run, self.search.limits);
        if missed > 0.0 {
            if self.nearest.as_ref().is_none_or(|(least, _)| missed < *least) {
                self.nearest = Some((missed, Box::new((values.to_vec(), design_run))));
            }
            return None;
        }
        Some(worth_of(&design_run))
    }

    /// Steps from a plant as long as one of the neighbours is better.
    fn climb(&mut self, mut at: Vec<f64>, mut worth: f64, trials: usize) -> Vec<Point> {
        let (mut found, mut step, mut halved) = (Vec::new(), STEP, 0);
        while halved <= HALVINGS && found.len() < MOST_STEPS {
            let mut better: Option<Point> = None;
            for d in 0..at.len() {
                for sign in [-1.0, 1.0] {
                    let mut next = at.clone();
                    if let Some(x) = next.get_mut(d) {
                        *x = (*x + sign * step).clamp(0.0, 1.0);
                    }
                    if next == at {
                        continue;
                    }
                    let Some(point) = self.point(next, trials) else { continue };
                    if point.worth > better.as_ref().map_or(worth, |b| b.worth) {
                        better = Some(point);
                    }
                }
            }
            match better {
                Some(point) => {
                    at.clone_from(&point.shares);
                    worth = point.worth;
                    found.push(point);
                }
                None => {
                    step *= 0.5;
                    halved += 1;
                }
            }
        }
        found
    }

    fn last_round(self, finalists: Vec<Point>) -> Result<Found, NoneFits> {
        let search = self.search;
        let fresh = search.seed.wrapping_add(1);
        let built = finalists.into_iter().filter_map(|point| {
            let plant = search.base.variant(&search.changes(&point.values)).ok()?;
            Some((point, plant))
        });
        let (points, plants): (Vec<Point>, Vec<(String, Plant)>) = built
            .map(|(point, plant)| {
                let name = point.values.join(", ");
                (point, (name, plant))
            })
            .unzip();
        let (present, tried) = designs_beside(&search.base.plant, &named(&plants), fresh, search.trials, self.done);
        let (mut design_runs, mut settings) = (vec![present], vec![Vec::new()]);
        for (point, design_run) in points.into_iter().zip(tried) {
            if missed_by(&design_run, search.limits) == 0.0 {
                design_runs.push(design_run);
                settings.push(point.values);
            }
        }
        if design_runs.len() < 2 {
            let nearest = self.nearest.map(|(_, plant)| plant);
            return Err(NoneFits { nearest, refused: self.refused });
        }
        let contest = Contest::of(design_runs, currency(&search.base.plant));
        Ok(Found { contest, settings, tried: self.tried, refused: self.refused })
    }
}

/// What a plant is worth: the money of a season where there is money, else the gold.
fn worth_of(design_run: &DesignRun) -> f64 {
    if design_run.season_net.is_empty() { mean(&design_run.steady) } else { mean(&design_run.season_net) }
}

/// How far a plant misses the limits and those of its stages, added up; 0 when it keeps all.
fn missed_by(design_run: &DesignRun, limits: &[Limit]) -> f64 {
    let own: f64 = design_run.limits.iter().filter(|l| l.2 > MISSED).map(|l| l.2).sum();
    limits.iter().map(|l| l.missed_by(design_run)).sum::<f64>() + own
}
