//! Which inputs the result hangs on: the trials of a plant with some inputs taken from other trials.
//!
//! Sample A are the trials 0 .. n, sample B the trials n .. 2n. Taking one input of A from B is taking its numbers at
//! trial t from trial t + n; nothing else needs to be stored.

use std::sync::atomic::{AtomicU64, Ordering};

use rayon::prelude::*;

use sim_core::draw::{Nature, Swap, UncertainInput};
use sim_core::plant::Plant;
use sim_core::stats::sensitivity::{Sensitivity, indices_of_runs};
use sim_core::trial::Worker;

/// The vector inputs that say what the ground holds; all others are the luck of the hour (the count of coarse grains).
pub const GROUND_VECTORS: [&str; 2] = ["ground/gold", "ground/gradation"];

/// Trials worked on by one thread at a time.
const CHUNK: usize = 64;

/// Which kind of not knowing an input belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DriverGroup {
    /// What is not known of the ground: more pans and sieves would tell.
    Ground,
    /// Constants of the model that are not known well: the plant's own clean-ups and tailings would tell.
    Constants,
    /// Prices and costs that are not known well: a buyer's offer, a quotation would tell.
    Prices,
    /// What changes from hour to hour, the luck of coarse grains included: it averages out over a season.
    Running,
}

impl DriverGroup {
    /// All of them.
    pub const ALL: [DriverGroup; 4] =
        [DriverGroup::Ground, DriverGroup::Constants, DriverGroup::Prices, DriverGroup::Running];

    /// The group of a scalar input.
    pub fn of(input: &UncertainInput) -> DriverGroup {
        match (input.nature, input.name.starts_with("ground")) {
            (Nature::Variability, _) => DriverGroup::Running,
            (Nature::Ignorance, true) => DriverGroup::Ground,
            (Nature::Ignorance, false) if input.name.starts_with("money") => DriverGroup::Prices,
            (Nature::Ignorance, false) => DriverGroup::Constants,
        }
    }
}

/// One input, or one group, and its share in the spread of the result.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// Name of the input, e.g. `sluice/contact_efficiency`.
    pub name: String,
    /// Meaning in plain words.
    pub meaning: String,
    /// Its group.
    pub group: DriverGroup,
    /// Share of the variance that knowing it would take away.
    pub first: f64,
    /// Share of the variance that would stay if all else were known.
    pub total: f64,
    /// Standard error of `total`.
    pub total_error: f64,
}

/// What the result hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct Drivers {
    /// Mean of the result.
    pub mean: f64,
    /// Standard deviation of the result from trial to trial.
    pub sd: f64,
    /// The groups, in the order of [`DriverGroup::ALL`].
    pub groups: Vec<Driver>,
    /// The single inputs, the one with the greatest total share first.
    pub inputs: Vec<Driver>,
}

/// Variance shares of groups and of single inputs in a result of the plant (Jansen's estimators).
///
/// `result` reads the result off a worker after a trial. `trials` is the number n for the groups, `each` that for the single
/// inputs (below 2: none). Cost: 6 n + (d + 2) each trials. The outcome does not depend on
/// the number of threads.
pub fn drivers(
    plant: &Plant,
    seed: u64,
    trials: usize,
    each: usize,
    result: impl Fn(&Worker<'_>) -> f64 + Sync,
    progress: &AtomicU64,
) -> Drivers {
    let run = |n: usize, swap: Option<&Swap>, from: usize| -> Vec<f64> {
        let starts: Vec<usize> = (0..n).step_by(CHUNK).collect();
        let parts: Vec<Vec<f64>> = starts
            .into_par_iter()
            .map_init(
                || Worker::new(plant, seed),
                |worker, start| {
                    let one = |t: usize| {
                        match swap {
                            Some(swap) => worker.run_trial_swapped(t as u64, (t + n) as u64, swap),
                            None => worker.run_trial((from + t) as u64),
                        }
                        progress.fetch_add(1, Ordering::Relaxed);
                        result(worker)
                    };
                    (start..(start + CHUNK).min(n)).map(one).collect()
                },
            )
            .collect();
        parts.concat()
    };
    let indices = |n: usize, swaps: &[Swap]| -> Sensitivity {
        let (a, b) = (run(n, None, 0), run(n, None, n));
        let ab: Vec<Vec<f64>> = swaps.iter().map(|s| run(n, Some(s), 0)).collect();
        indices_of_runs(&a, &b, &ab)
    };
    let list = &plant.inputs;
    let group_swaps = [
        Swap::of(list, |i| DriverGroup::of(i) == DriverGroup::Ground, &GROUND_VECTORS),
        Swap::of(list, |i| DriverGroup::of(i) == DriverGroup::Constants, &[]),
        Swap::of(list, |i| DriverGroup::of(i) == DriverGroup::Prices, &[]),
        Swap::all_vectors_but(list, |i| DriverGroup::of(i) == DriverGroup::Running, &GROUND_VECTORS),
    ];
    let of_groups = indices(trials, &group_swaps);
    let groups = DriverGroup::ALL
        .iter()
        .enumerate()
        .map(|(g, group)| driver(String::new(), String::new(), *group, &of_groups, g))
        .collect();

    let mut known: Vec<(String, String, DriverGroup)> = Vec::new();
    let mut swaps: Vec<Swap> = Vec::new();
    for input in list.all() {
        known.push((input.name.clone(), input.meaning.clone(), DriverGroup::of(input)));
        swaps.push(Swap::of(list, |i| i.name == input.name, &[]));
    }
    let vectors = [
        ("ground/gold", "gold of each size in the ground, as the colours counted tell"),
        ("ground/gradation", "share of each size of gravel, as the sieves tell"),
    ];
    for (name, meaning) in vectors {
        known.push((name.into(), meaning.into(), DriverGroup::Ground));
        swaps.push(Swap::of(list, |_| false, &[name]));
    }
    let mut inputs: Vec<Driver> = Vec::new();
    if each > 1 {
        let of_inputs = indices(each, &swaps);
        inputs = known.into_iter().enumerate().map(|(i, (n, m, g))| driver(n, m, g, &of_inputs, i)).collect();
        inputs.sort_by(|a, b| b.total.total_cmp(&a.total));
    }
    Drivers { mean: of_groups.mean, sd: of_groups.variance.sqrt(), groups, inputs }
}

fn driver(name: String, meaning: String, group: DriverGroup, s: &Sensitivity, i: usize) -> Driver {
    let at = |list: &[f64]| list.get(i).copied().unwrap_or(f64::NAN);
    Driver { name, meaning, group, first: at(&s.first), total: at(&s.total), total_error: at(&s.total_error) }
}
