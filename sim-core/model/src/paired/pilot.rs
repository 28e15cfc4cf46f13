//! Several plants run together on the same ground, those without a hope left behind.
//!
//! What all plants draw alike is drawn once ([`run_together`]). After a pilot the plants that more trials could not make the best
//! on average, neither by gold nor by money, stop; the others go on. What a stopped plant is told by rests on the pilot.

use std::sync::atomic::{AtomicU64, Ordering};

use super::design_run::{DesignRun, PilotRun, course};
use sim_core::money::averaging::Averaging;
use sim_core::plant::Plant;
use sim_core::stats::choice::{Choice, choose, choose_after_pilot, far_behind};
use sim_core::trial::{TrialStatistics, run_together};

/// Trials of the pilot. Our choice: with it a share of trials is known to about one in a hundred.
pub const PILOT_TRIALS: usize = 2_000;

/// A pilot pays when at least so many times as many trials follow. Our choice.
const LEAST_GAIN: usize = 2;

/// A plant with its name.
pub type Named<'a> = (&'a str, &'a Plant);

/// Runs the same trials of several plants; draws that they have in common are made once. Each design is what [`DesignRun::run`] gives.
pub fn together(plants: &[Named<'_>], seed: u64, trials: usize, progress: &AtomicU64) -> Vec<DesignRun> {
    let list: Vec<&Plant> = plants.iter().map(|(_, plant)| *plant).collect();
    let tallies = run_together(&list, &course(seed, 0..trials), progress);
    design_runs(plants, seed, trials, tallies)
}

/// The same for a plant and groups of rivals, each group with a winner of its own. Rivals without a hope of winning their group
/// stop after [`PILOT_TRIALS`] trials; `progress` counts what that saves as done. The plant itself always goes on.
pub fn with_pilot(
    present: Named<'_>,
    groups: &[Vec<Named<'_>>],
    seed: u64,
    trials: usize,
    progress: &AtomicU64,
) -> (DesignRun, Vec<Vec<DesignRun>>) {
    let plants: Vec<Named<'_>> = std::iter::once(present).chain(groups.iter().flatten().copied()).collect();
    let all = if trials < LEAST_GAIN * PILOT_TRIALS {
        together(&plants, seed, trials, progress)
    } else {
        heat_and_final(&plants, groups, seed, trials, progress)
    };
    let mut all = all.into_iter();
    let first = all.next().unwrap_or_else(|| DesignRun::run(present.0, present.1, seed, trials, progress));
    (first, groups.iter().map(|group| all.by_ref().take(group.len()).collect()).collect())
}

fn heat_and_final(
    plants: &[Named<'_>],
    groups: &[Vec<Named<'_>>],
    seed: u64,
    trials: usize,
    progress: &AtomicU64,
) -> Vec<DesignRun> {
    let list: Vec<&Plant> = plants.iter().map(|(_, plant)| *plant).collect();
    let mut tallies = run_together(&list, &course(seed, 0..PILOT_TRIALS), progress);
    let pilot = design_runs(plants, seed, PILOT_TRIALS, tallies.clone());
    let mut goes_on = vec![true];
    let mut rivals = pilot.get(1..).unwrap_or_default();
    for group in groups {
        let (these, others) = rivals.split_at(group.len());
        goes_on.extend(without_hope(these).into_iter().map(|out| !out));
        rivals = others;
    }
    let rest: Vec<&Plant> = list.iter().zip(&goes_on).filter(|(_, on)| **on).map(|(plant, _)| *plant).collect();
    progress.fetch_add(((list.len() - rest.len()) * (trials - PILOT_TRIALS)) as u64, Ordering::Relaxed);
    let more = run_together(&rest, &course(seed, PILOT_TRIALS..trials), progress);
    for (statistics, more) in tallies.iter_mut().zip(&goes_on).filter(|(_, on)| **on).map(|(t, _)| t).zip(more) {
        statistics.append(more);
    }
    let mut all = design_runs(plants, seed, trials, tallies);
    // Fed to the first plant, the ground of all, in full and in the pilot.
    let fed = all.first().map(|a| (a.fed_by_class, a.trials() as f64));
    let fed_in_heat = pilot.first().map(|a| (a.fed_by_class, a.trials() as f64));
    for ((design_run, pilot), on) in all.iter_mut().zip(pilot).zip(goes_on) {
        if let (false, Some((full, n)), Some((some, m))) = (on, fed, fed_in_heat) {
            design_run.scale_classes(|g| if some[g] > 0.0 { full[g] / n / (some[g] / m) } else { 1.0 });
        }
        design_run.pilot = Some(PilotRun { steady: pilot.steady, season_net: pilot.season_net, stopped: !on });
    }
    all
}

/// The choice among designs by one of their results, after a pilot run or not: `result` of a design, `in_pilot` the same of its pilot.
pub fn choose_among(
    design_runs: &[DesignRun],
    result: fn(&DesignRun) -> &Vec<f64>,
    in_pilot: fn(&PilotRun) -> &Vec<f64>,
) -> Option<Choice> {
    let pilots: Option<Vec<&PilotRun>> = design_runs.iter().map(|a| a.pilot.as_ref()).collect();
    let lists = || design_runs.iter().map(|a| result(a).clone());
    match pilots {
        Some(pilots) => {
            let full: Vec<Vec<f64>> =
                lists().zip(&pilots).map(|(list, pilot)| if pilot.stopped { Vec::new() } else { list }).collect();
            choose_after_pilot(&pilots.into_iter().map(|h| in_pilot(h).clone()).collect::<Vec<_>>(), &full)
        }
        None => choose(&lists().collect::<Vec<_>>()),
    }
}

/// Which designs could neither bring the most gold nor, where all have money, the most money.
fn without_hope(design_runs: &[DesignRun]) -> Vec<bool> {
    let lists = |of: fn(&DesignRun) -> &Vec<f64>| design_runs.iter().map(|a| of(a).clone()).collect::<Vec<_>>();
    let (gold, money) = (lists(|a| &a.steady), lists(|a| &a.season_net));
    let by_gold = far_behind(&gold);
    if money.iter().any(Vec::is_empty) {
        return by_gold;
    }
    by_gold.into_iter().zip(far_behind(&money)).map(|(gold, money)| gold && money).collect()
}

fn design_runs(plants: &[Named<'_>], seed: u64, trials: usize, tallies: Vec<TrialStatistics>) -> Vec<DesignRun> {
    let Some((_, dealer)) = plants.first() else { return Vec::new() };
    let common = Averaging::kept(&dealer.inputs, seed, trials);
    let design_run = |((name, plant), statistics): (&Named<'_>, TrialStatistics)| {
        if common.suits(&plant.inputs) {
            DesignRun::of(*name, plant, seed, statistics, &common)
        } else {
            DesignRun::of(*name, plant, seed, statistics, &Averaging::kept(&plant.inputs, seed, trials))
        }
    };
    plants.iter().zip(tallies).map(design_run).collect()
}
