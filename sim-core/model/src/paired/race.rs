//! Several plants run together on the same ground, those without a hope left behind.
//!
//! What all plants draw alike is drawn once ([`run_together`]). After a heat the plants that more trials could not make the best
//! on average, neither by gold nor by money, stop; the others go on. What a stopped plant is told by rests on the heat.

use std::sync::atomic::{AtomicU64, Ordering};

use super::arm::{Arm, Heat, course};
use sim_core::money::averaging::Averaging;
use sim_core::plant::Plant;
use sim_core::stats::choice::{Choice, choose, choose_after_heat, hopeless};
use sim_core::trial::{Tally, run_together};

/// Trials of the heat. Our choice: with it a share of trials is known to about one in a hundred.
pub const HEAT_TRIALS: usize = 2_000;

/// A heat pays when at least so many times as many trials follow. Our choice.
const LEAST_GAIN: usize = 2;

/// A plant with its name.
pub type Named<'a> = (&'a str, &'a Plant);

/// Runs the same trials of several plants; draws that they have in common are made once. Each arm is what [`Arm::run`] gives.
pub fn together(plants: &[Named<'_>], seed: u64, trials: usize, progress: &AtomicU64) -> Vec<Arm> {
    let list: Vec<&Plant> = plants.iter().map(|(_, plant)| *plant).collect();
    let tallies = run_together(&list, &course(seed, 0..trials), progress);
    arms(plants, seed, trials, tallies)
}

/// The same for a plant and groups of rivals, each group with a winner of its own. Rivals without a hope of winning their group
/// stop after [`HEAT_TRIALS`] trials; `progress` counts what that saves as done. The plant itself always goes on.
pub fn race(
    present: Named<'_>,
    groups: &[Vec<Named<'_>>],
    seed: u64,
    trials: usize,
    progress: &AtomicU64,
) -> (Arm, Vec<Vec<Arm>>) {
    let plants: Vec<Named<'_>> = std::iter::once(present).chain(groups.iter().flatten().copied()).collect();
    let all = if trials < LEAST_GAIN * HEAT_TRIALS {
        together(&plants, seed, trials, progress)
    } else {
        heat_and_final(&plants, groups, seed, trials, progress)
    };
    let mut all = all.into_iter();
    let first = all.next().unwrap_or_else(|| Arm::run(present.0, present.1, seed, trials, progress));
    (first, groups.iter().map(|group| all.by_ref().take(group.len()).collect()).collect())
}

fn heat_and_final(
    plants: &[Named<'_>],
    groups: &[Vec<Named<'_>>],
    seed: u64,
    trials: usize,
    progress: &AtomicU64,
) -> Vec<Arm> {
    let list: Vec<&Plant> = plants.iter().map(|(_, plant)| *plant).collect();
    let mut tallies = run_together(&list, &course(seed, 0..HEAT_TRIALS), progress);
    let heat = arms(plants, seed, HEAT_TRIALS, tallies.clone());
    let mut goes_on = vec![true];
    let mut rivals = heat.get(1..).unwrap_or_default();
    for group in groups {
        let (these, others) = rivals.split_at(group.len());
        goes_on.extend(without_hope(these).into_iter().map(|out| !out));
        rivals = others;
    }
    let rest: Vec<&Plant> = list.iter().zip(&goes_on).filter(|(_, on)| **on).map(|(plant, _)| *plant).collect();
    progress.fetch_add(((list.len() - rest.len()) * (trials - HEAT_TRIALS)) as u64, Ordering::Relaxed);
    let more = run_together(&rest, &course(seed, HEAT_TRIALS..trials), progress);
    for (tally, more) in tallies.iter_mut().zip(&goes_on).filter(|(_, on)| **on).map(|(t, _)| t).zip(more) {
        tally.append(more);
    }
    let mut all = arms(plants, seed, trials, tallies);
    // Fed to the first plant, the ground of all, in full and in the heat.
    let fed = all.first().map(|a| (a.fed_by_class, a.trials() as f64));
    let fed_in_heat = heat.first().map(|a| (a.fed_by_class, a.trials() as f64));
    for ((arm, heat), on) in all.iter_mut().zip(heat).zip(goes_on) {
        if let (false, Some((full, n)), Some((some, m))) = (on, fed, fed_in_heat) {
            arm.scale_classes(|g| if some[g] > 0.0 { full[g] / n / (some[g] / m) } else { 1.0 });
        }
        arm.heat = Some(Heat { steady: heat.steady, season_net: heat.season_net, stopped: !on });
    }
    all
}

/// The choice among arms by one of their results, of a race or not: `result` of an arm, `in_heat` the same of its heat.
pub fn choose_among(arms: &[Arm], result: fn(&Arm) -> &Vec<f64>, in_heat: fn(&Heat) -> &Vec<f64>) -> Option<Choice> {
    let heats: Option<Vec<&Heat>> = arms.iter().map(|a| a.heat.as_ref()).collect();
    let lists = || arms.iter().map(|a| result(a).clone());
    match heats {
        Some(heats) => {
            let full: Vec<Vec<f64>> =
                lists().zip(&heats).map(|(list, heat)| if heat.stopped { Vec::new() } else { list }).collect();
            choose_after_heat(&heats.into_iter().map(|h| in_heat(h).clone()).collect::<Vec<_>>(), &full)
        }
        None => choose(&lists().collect::<Vec<_>>()),
    }
}

/// Which arms could neither bring the most gold nor, where all have money, the most money.
fn without_hope(arms: &[Arm]) -> Vec<bool> {
    let lists = |of: fn(&Arm) -> &Vec<f64>| arms.iter().map(|a| of(a).clone()).collect::<Vec<_>>();
    let (gold, money) = (lists(|a| &a.steady), lists(|a| &a.season_net));
    let by_gold = hopeless(&gold);
    if money.iter().any(Vec::is_empty) {
        return by_gold;
    }
    by_gold.into_iter().zip(hopeless(&money)).map(|(gold, money)| gold && money).collect()
}

fn arms(plants: &[Named<'_>], seed: u64, trials: usize, tallies: Vec<Tally>) -> Vec<Arm> {
    let Some((_, dealer)) = plants.first() else { return Vec::new() };
    let common = Averaging::kept(&dealer.inputs, seed, trials);
    let arm = |((name, plant), tally): (&Named<'_>, Tally)| {
        if common.suits(&plant.inputs) {
            Arm::of(*name, plant, seed, tally, &common)
        } else {
            Arm::of(*name, plant, seed, tally, &Averaging::kept(&plant.inputs, seed, trials))
        }
    };
    plants.iter().zip(tallies).map(arm).collect()
}
