//! Variants run on the same trials and ranked by gold and, where the scenario has money, by the money of the season.

use sim_core::constants::G_H_PER_KG_S;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use sim_core::stage::LossClass;
use sim_core::stats::choice::Choice;
use sim_core::stats::order::percentile_select;
use sim_core::stats::summary::Summary;
use washgraph_model::paired::{DesignRun, Named, PilotRun, choose_among, together};

/// Gold finer than this counts as fine, m: what a sluice loses first. Our choice.
pub const FINE_M: f64 = 0.3e-3;
/// Gold coarser than this counts as coarse, m. Our choice.
pub const COARSE_M: f64 = 1.0e-3;

/// What a variant is judged by: in a trial, and in the pilot run.
#[derive(Clone, Copy)]
struct Worth {
    of: fn(&DesignRun) -> &Vec<f64>,
    in_pilot: fn(&PilotRun) -> &Vec<f64>,
    money: bool,
}

impl Worth {
    const GOLD: Worth = Worth { of: |a| &a.steady, in_pilot: |h| &h.steady, money: false };
    const MONEY: Worth = Worth { of: |a| &a.season_net, in_pilot: |h| &h.season_net, money: true };
}

/// Variants on the same trials.
pub struct Contest {
    /// The variants.
    pub design_runs: Vec<DesignRun>,
    /// The choice by gold.
    pub gold: Option<Choice>,
    /// The choice by the money of the season, where every variant has one.
    pub money: Option<Choice>,
    /// Currency, where there is money.
    pub currency: String,
}

impl Contest {
    /// Runs named plants on the same trials.
    pub fn run(plants: &[(String, Plant)], seed: u64, trials: usize, done: &AtomicU64) -> Contest {
        Contest::of(together(&named(plants), seed, trials, done), plants.first().map_or("", |(_, p)| currency(p)))
    }

    /// The same beside the present plant.
    pub fn beside(
        present: &Plant,
        plants: &[(String, Plant)],
        seed: u64,
        trials: usize,
        done: &AtomicU64,
    ) -> (DesignRun, Contest) {
        let (present_run, design_runs) = designs_beside(present, &named(plants), seed, trials, done);
        (present_run, Contest::of(design_runs, currency(present)))
    }

    /// Ranks designs that have been run.
    pub fn of(design_runs: Vec<DesignRun>, currency: &str) -> Contest {
        let has_money = design_runs.iter().all(|a| !a.season_net.is_empty());
        let choice = |worth: Worth| choose_among(&design_runs, worth.of, worth.in_pilot);
        Contest {
            gold: choice(Worth::GOLD),
            money: if has_money { choice(Worth::MONEY) } else { None },
            currency: currency.to_string(),
            design_runs,
        }
    }

    /// Number of trials of each that did not stop early.
    pub fn trials(&self) -> usize {
        self.design_runs.iter().map(DesignRun::trials).max().unwrap_or(0)
    }

    /// Number of those that stopped after the pilot.
    pub fn stopped(&self) -> usize {
        self.design_runs.iter().filter(|a| a.pilot.as_ref().is_some_and(|h| h.stopped)).count()
    }

    /// Mean and percentiles of the gold caught, g/h, with what changes from hour to hour averaged out.
    pub fn gold_g_h(&self, i: usize) -> Summary {
        self.design_runs
            .get(i)
            .map_or(nothing(), |a| shifted(summary(&a.steady, G_H_PER_KG_S), self.lift(i, Worth::GOLD) * G_H_PER_KG_S))
    }

    /// The same of the money of a season.
    pub fn season_money(&self, i: usize) -> Option<Summary> {
        let design_run = self.design_runs.get(i).filter(|a| !a.season_net.is_empty())?;
        Some(shifted(summary(&design_run.season_net, 1.0), self.lift(i, Worth::MONEY)))
    }

    /// What the trials in full brought the leader more than the pilot: a variant that stopped after the pilot would have had as
    /// much more, up to the noise of its distance from the leader.
    fn lift(&self, i: usize, worth: Worth) -> f64 {
        let stopped = |a: &&DesignRun| a.pilot.as_ref().is_some_and(|h| h.stopped);
        let choice = if worth.money { &self.money } else { &self.gold };
        let leader = choice.as_ref().and_then(|c| self.design_runs.get(c.best));
        match (self.design_runs.get(i).filter(stopped), leader.and_then(|l| l.pilot.as_ref().map(|h| (l, h)))) {
            (Some(_), Some((leader, pilot))) => mean((worth.of)(leader)) - mean((worth.in_pilot)(pilot)),
            _ => 0.0,
        }
    }

    /// What each variant brings more than the present plant: gold, g/h, or with `money` the money of a season. Of a variant that
    /// stopped after the pilot, over the trials of the pilot.
    pub fn against(&self, present: &DesignRun, money: bool) -> Vec<Summary> {
        let (worth, factor) = if money { (Worth::MONEY, 1.0) } else { (Worth::GOLD, G_H_PER_KG_S) };
        let gap = |design_run: &DesignRun| {
            let (from, to) = match (&present.pilot, &design_run.pilot) {
                (Some(from), Some(to)) if to.stopped => ((worth.in_pilot)(from), (worth.in_pilot)(to)),
                _ => ((worth.of)(present), (worth.of)(design_run)),
            };
            let gaps: Vec<f64> = to.iter().zip(from).map(|(t, f)| t - f).collect();
            summary(&gaps, factor)
        };
        self.design_runs.iter().map(gap).collect()
    }
}

/// Plants by the names of a list.
pub fn named(plants: &[(String, Plant)]) -> Vec<Named<'_>> {
    plants.iter().map(|(name, plant)| (name.as_str(), plant)).collect()
}

/// The present plant and others on the same trials.
pub fn designs_beside(
    present: &Plant,
    plants: &[Named<'_>],
    seed: u64,
    trials: usize,
    done: &AtomicU64,
) -> (DesignRun, Vec<DesignRun>) {
    let all: Vec<Named<'_>> = std::iter::once(("present", present)).chain(plants.iter().copied()).collect();
    let mut design_runs = together(&all, seed, trials, done);
    let others = design_runs.split_off(1);
    (design_runs.swap_remove(0), others)
}

/// Currency of a plant; empty without money.
pub fn currency(plant: &Plant) -> &str {
    plant.money.as_ref().map_or("", |m| m.currency.as_str())
}

/// Share of the gold that leaves over the end of the drum because of its size or because it missed the holes.
pub fn oversize_loss(design_run: &DesignRun) -> f64 {
    design_run.lost_share(|n| n.reason.class == LossClass::OverTheHoles, |_| true)
}

/// Share of all gold fed that is fine and lost in a box: never settled, packed, scoured, bypass.
pub fn fine_loss(design_run: &DesignRun) -> f64 {
    design_run.lost_share(|n| n.reason.class == LossClass::InTheBox, |d| d < FINE_M)
}

fn shifted(s: Summary, by: f64) -> Summary {
    Summary { mean: s.mean + by, pctl_10: s.pctl_10 + by, pctl_50: s.pctl_50 + by, pctl_90: s.pctl_90 + by }
}

fn nothing() -> Summary {
    Summary { mean: f64::NAN, pctl_10: f64::NAN, pctl_50: f64::NAN, pctl_90: f64::NAN }
}

/// Mean of a list.
pub fn mean(values: &[f64]) -> f64 {
    sim_core::stats::average::Moments::of(values).mean()
}

/// Mean and percentiles of a list times a factor.
pub fn summary(values: &[f64], factor: f64) -> Summary {
    let mut own: Vec<f64> = values.iter().map(|v| v * factor).collect();
    Summary {
        mean: mean(&own),
        pctl_10: percentile_select(&mut own, 0.1),
        pctl_50: percentile_select(&mut own, 0.5),
        pctl_90: percentile_select(&mut own, 0.9),
    }
}
