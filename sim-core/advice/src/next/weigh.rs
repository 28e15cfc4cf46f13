//! What each plan is expected to tell: runs of the plant, and of the plates that it might get instead.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::next::{Foreseen, Known, foresee};
use rayon::prelude::*;
use sim_core::draw::{Nature, Swap};
use sim_core::lever::Serves;
use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, show};
use sim_core::trial::Worker;
use washgraph_model::paired::{DesignRun, GROUND_VECTORS};
use washgraph_model::tune::Tuning;

use crate::holes::study::{hole_changes, plate_sizes};
use crate::next::plans::{Plan, plans};
use crate::plants::base::Base;
use crate::plants::contest::Contest;

/// How much is spent on the answer.
#[derive(Debug, Clone, Copy)]
pub struct Pains {
    /// Sets of constants.
    pub members: usize,
    /// Of them such that are taken for true in turn.
    pub imagined: usize,
    /// Runs of each by which an imagined observation weighs it, at most four.
    pub weighed: usize,
}

impl Pains {
    /// For the command that asks nothing else.
    pub const FULL: Pains = Pains { members: 600, imagined: 100, weighed: RUNS };
    /// For a few lines at the end of another answer.
    pub const QUICK: Pains = Pains { members: 240, imagined: 60, weighed: 2 };

    /// Runs that the bar of progress counts.
    pub fn runs(self) -> u64 {
        (self.members * RUNS * (2 * PLATES + 1)) as u64
    }
}

/// Runs of each, half of them to choose by and half to value by.
const RUNS: usize = 4;
/// First trial that only lends its hours; those before stand for the constants.
const FIRST_HOURS: u64 = 1 << 42;
/// Plate sizes on each side of the present hole that are decided between.
const PLATES: usize = 2;
/// Worths closer than this share of the greatest count as equal, and bands closer than this: the quicker plan goes first.
const EQUAL: (f64, f64) = (0.1, 0.0025);

/// A plan and what is expected of it.
pub struct Weighed {
    /// The plan.
    pub plan: Plan,
    /// What it is expected to do.
    pub foreseen: Foreseen,
}

/// All plans, the best first.
pub struct Next {
    /// Sets of constants behind it.
    pub members: usize,
    /// The plans.
    pub list: Vec<Weighed>,
    /// Kinds that this plant does not allow, with the reason.
    pub refused: Vec<(&'static str, String)>,
    /// What is decided between; empty without money.
    pub decisions: Vec<String>,
    /// Number of the decision that is best now.
    pub best_now: usize,
}

/// Which runs: constants of trial m, hours of another.
fn one(worker: &mut Worker<'_>, swap: &Swap, m: usize, r: usize) {
    worker.run_trial_swapped(m as u64, FIRST_HOURS + (m * RUNS + r) as u64, swap);
}

/// What changes by itself is taken from another trial; what is not known of plant, ground and prices stays.
fn hours_of(plant: &Plant) -> Swap {
    Swap::all_vectors_but(&plant.inputs, |i| i.nature == Nature::Variability, &GROUND_VECTORS)
}

/// Readings of all runs of a plant, member by member, run by run.
fn runs_of<T: Send>(
    plant: &Plant,
    (seed, members): (u64, usize),
    done: &AtomicU64,
    read: impl Fn(&mut Worker<'_>) -> T + Sync,
) -> Vec<Vec<T>> {
    const CHUNK: usize = 50;
    let swap = hours_of(plant);
    let starts: Vec<usize> = (0..members).step_by(CHUNK).collect();
    let parts: Vec<Vec<Vec<T>>> = starts
        .into_par_iter()
        .map_init(
            || Worker::new(plant, seed),
            |worker, start| {
                let member = |m: usize| {
                    let run = |r: usize| {
                        one(worker, &swap, m, r);
                        done.fetch_add(1, Ordering::Relaxed);
                        read(worker)
                    };
                    (0..RUNS).map(run).collect()
                };
                (start..(start + CHUNK).min(members)).map(member).collect()
            },
        )
        .collect();
    parts.into_iter().flatten().collect()
}

/// Money of the present plant and of other plates, by half of the runs, decision and member; and walking away.
struct Money {
    names: Vec<String>,
    halves: [Vec<Vec<f64>>; 2],
}

/// What is tuned already, and the plates that were run with it: their seasons are not run again.
#[derive(Clone, Copy)]
pub struct Run<'a> {
    /// The tuning.
    pub tuning: &'a Tuning,
    /// Plates on the trials of the tuned plant; `None` without a screen.
    pub plates: Option<&'a Contest>,
}

impl Money {
    /// Of plates that were run on the same sets of constants: what changes by itself is averaged out of each season already,
    /// so that there is no luck of the hours to be taken for worth, and both halves are the same.
    fn of_plates(plates: &Contest, members: usize) -> Option<Money> {
        let enough = |a: &DesignRun| a.season_net.len() >= members;
        if plates.money.is_none() || !plates.design_runs.iter().all(enough) {
            return None;
        }
        let seasons = plates.design_runs.iter().map(|a| a.season_net.iter().take(members).copied().collect());
        let list: Vec<Vec<f64>> = seasons.chain([vec![0.0; members]]).collect();
        let names =
            plates.design_runs.iter().map(|a| format!("holes of {}", a.name)).chain(["stop".to_string()]).collect();
        Some(Money { names, halves: [list.clone(), list] })
    }
}

/// Weighs every plan for a plant: the scenario's, or the same with the constants of a tuning that its file does not name yet.
pub fn weigh(
    base: &Base<'_>,
    plant: &Arc<Plant>,
    run: Option<Run<'_>>,
    (seed, pains): (u64, Pains),
    done: &AtomicU64,
) -> Next {
    let members = pains.members;
    let (plans, refused) = plans(base, plant);
    let base_runs = runs_of(plant, (seed, members), done, |worker| {
        let mut predicted: Vec<Vec<f64>> = Vec::with_capacity(plans.len());
        for plan in &plans {
            let mut numbers = Vec::new();
            plan.evidence.predict(worker, &mut numbers);
            predicted.push(numbers);
        }
        let (fed, caught) = (worker.fed.iter().sum::<f64>(), worker.caught_kg_s());
        (predicted, fed, caught, worker.season_net())
    });
    let recovery: Vec<f64> = base_runs
        .iter()
        .map(|runs| runs.iter().map(|r| r.2).sum::<f64>() / runs.iter().map(|r| r.1).sum::<f64>())
        .collect();
    let present: Vec<Vec<f64>> = base_runs.iter().map(|runs| runs.iter().map(|r| r.3).collect()).collect();
    let of_plates = run.and_then(|run| Money::of_plates(run.plates?, members));
    let money =
        of_plates.unwrap_or_else(|| money(base, plant, run.map(|run| run.tuning), (seed, members), done, present));
    let weights = vec![1.0 / members as f64; members];
    let known = Known {
        weights: &weights,
        recovery: &recovery,
        money: [money.halves[0].as_slice(), money.halves[1].as_slice()],
    };
    let mut list: Vec<Weighed> = plans
        .into_iter()
        .enumerate()
        .map(|(p, plan)| {
            let predicted = |m: usize, r: usize| -> &[f64] {
                base_runs.get(m).and_then(|runs| runs.get(r)).and_then(|r| r.0.get(p)).map_or(&[], Vec::as_slice)
            };
            let foreseen = foresee(plan.evidence.as_ref(), predicted, pains.weighed, &known, pains.imagined, seed);
            Weighed { plan, foreseen }
        })
        .collect();
    sort(&mut list);
    let mean = |d: &Vec<f64>| d.iter().sum::<f64>() / d.len().max(1) as f64;
    let means: Vec<f64> = money.halves[0].iter().zip(&money.halves[1]).map(|(a, b)| mean(a) + mean(b)).collect();
    let best_now = (0..means.len()).fold(0, |best, i| if means[i] > means[best] { i } else { best });
    Next { members, list, refused, decisions: money.names, best_now }
}

impl Next {
    /// Takes the owner's own minutes for plans of these names; the order follows.
    pub fn take_minutes(&mut self, minutes: &[(String, f64)]) {
        for w in &mut self.list {
            if let Some((_, own)) = minutes.iter().rev().find(|(name, _)| *name == w.plan.name) {
                w.plan.minutes.0 = *own;
            }
        }
        sort(&mut self.list);
    }
}

/// Most worth first, then the narrowest band, then the quickest; what is about equal counts as equal.
fn sort(list: &mut [Weighed]) {
    let most = list.iter().map(|w| w.foreseen.worth).fold(0.0, f64::max);
    let worth = |w: &Weighed| if most > 0.0 { (w.foreseen.worth / (EQUAL.0 * most)).round() as i64 } else { 0 };
    let band = |w: &Weighed| (w.foreseen.band_after / EQUAL.1).round() as i64;
    let key = |w: &Weighed| (-worth(w), band(w), w.plan.minutes.0.round() as i64);
    list.sort_by_key(key);
}

fn money(
    base: &Base<'_>,
    plant: &Plant,
    tuning: Option<&Tuning>,
    (seed, members): (u64, usize),
    done: &AtomicU64,
    present: Vec<Vec<f64>>,
) -> Money {
    if plant.money.is_none() {
        return Money { names: Vec::new(), halves: [Vec::new(), Vec::new()] };
    }
    let mut names = vec!["the plant as it is".to_string()];
    let mut all = vec![present];
    if let Some(hole) = base.levers_that(Serves::Hole).next() {
        let now = base.si(&hole.at.path);
        let plates = plate_sizes(plant.units);
        let below = plates.iter().copied().filter(|x| *x < 0.97 * now).rev().take(PLATES);
        let above = plates.iter().copied().filter(|x| *x > 1.03 * now).take(PLATES);
        for hole_m in below.chain(above) {
            let name = show(hole_m, Dimension::Length, plant.units);
            let Ok(changes) = hole_changes(base, &hole, &name, None) else { continue };
            let Ok(mut other) = base.variant(&changes) else { continue };
            if let Some(joint) = tuning.and_then(|t| t.joint(&other)) {
                other.inputs.set_joint(Some(Arc::new(joint)));
            }
            all.push(runs_of(&other, (seed, members), done, |worker| worker.season_net()));
            names.push(format!("holes of {name}"));
        }
    }
    names.push("stop".to_string());
    let half = |from: usize| -> Vec<Vec<f64>> {
        let of = |runs: &Vec<f64>| runs.iter().skip(from).step_by(2).sum::<f64>() / (RUNS / 2) as f64;
        let mut list: Vec<Vec<f64>> = all.iter().map(|of_plant| of_plant.iter().map(of).collect()).collect();
        list.push(vec![0.0; members]);
        list
    };
    Money { names, halves: [half(0), half(1)] }
}
