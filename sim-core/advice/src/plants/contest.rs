//! Variants run on the same trials and ranked by gold and, where the scenario has money, by the money of the season.

use sim_core::constants::G_H_PER_KG_S;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use sim_core::stage::{Reason, reasons};
use sim_core::stats::choice::Choice;
use sim_core::stats::order::percentile_select;
use sim_core::stats::summary::Summary;
use washgraph_model::paired::{Arm, Heat, Named, choose_among, together};

/// Gold finer than this counts as fine, m: what a sluice loses first. Our choice.
pub const FINE_M: f64 = 0.3e-3;
/// Gold coarser than this counts as coarse, m. Our choice.
pub const COARSE_M: f64 = 1.0e-3;

/// What a variant is judged by: in a trial, and in the heat of a race.
#[derive(Clone, Copy)]
struct Worth {
    of: fn(&Arm) -> &Vec<f64>,
    in_heat: fn(&Heat) -> &Vec<f64>,
    money: bool,
}

impl Worth {
    const GOLD: Worth = Worth { of: |a| &a.steady, in_heat: |h| &h.steady, money: false };
    const MONEY: Worth = Worth { of: |a| &a.season_net, in_heat: |h| &h.season_net, money: true };
}

/// Variants on the same trials.
pub struct Contest {
    /// The variants.
    pub arms: Vec<Arm>,
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
    ) -> (Arm, Contest) {
        let (present_arm, arms) = arms_beside(present, &named(plants), seed, trials, done);
        (present_arm, Contest::of(arms, currency(present)))
    }

    /// Ranks arms that have been run.
    pub fn of(arms: Vec<Arm>, currency: &str) -> Contest {
        let has_money = arms.iter().all(|a| !a.season_net.is_empty());
        let choice = |worth: Worth| choose_among(&arms, worth.of, worth.in_heat);
        Contest {
            gold: choice(Worth::GOLD),
            money: if has_money { choice(Worth::MONEY) } else { None },
            currency: currency.to_string(),
            arms,
        }
    }

    /// Number of trials of each that did not stop early.
    pub fn trials(&self) -> usize {
        self.arms.iter().map(Arm::trials).max().unwrap_or(0)
    }

    /// Number of those that stopped after the heat.
    pub fn stopped(&self) -> usize {
        self.arms.iter().filter(|a| a.heat.as_ref().is_some_and(|h| h.stopped)).count()
    }

    /// Mean and percentiles of the gold caught, g/h, with what changes from hour to hour averaged out.
    pub fn gold_g_h(&self, i: usize) -> Summary {
        self.arms
            .get(i)
            .map_or(nothing(), |a| shifted(summary(&a.steady, G_H_PER_KG_S), self.lift(i, Worth::GOLD) * G_H_PER_KG_S))
    }

    /// The same of the money of a season.
    pub fn season_money(&self, i: usize) -> Option<Summary> {
        let arm = self.arms.get(i).filter(|a| !a.season_net.is_empty())?;
        Some(shifted(summary(&arm.season_net, 1.0), self.lift(i, Worth::MONEY)))
    }

    /// What the trials in full brought the leader more than the heat: a variant that stopped after the heat would have had as
    /// much more, up to the noise of its distance from the leader.
    fn lift(&self, i: usize, worth: Worth) -> f64 {
        let stopped = |a: &&Arm| a.heat.as_ref().is_some_and(|h| h.stopped);
        let choice = if worth.money { &self.money } else { &self.gold };
        let leader = choice.as_ref().and_then(|c| self.arms.get(c.best));
        match (self.arms.get(i).filter(stopped), leader.and_then(|l| l.heat.as_ref().map(|h| (l, h)))) {
            (Some(_), Some((leader, heat))) => mean((worth.of)(leader)) - mean((worth.in_heat)(heat)),
            _ => 0.0,
        }
    }

    /// What each variant brings more than the present plant: gold, g/h, or with `money` the money of a season. Of a variant that
    /// stopped after the heat, over the trials of the heat.
    pub fn against(&self, present: &Arm, money: bool) -> Vec<Summary> {
        let (worth, factor) = if money { (Worth::MONEY, 1.0) } else { (Worth::GOLD, G_H_PER_KG_S) };
        let gap = |arm: &Arm| {
            let (from, to) = match (&present.heat, &arm.heat) {
                (Some(from), Some(to)) if to.stopped => ((worth.in_heat)(from), (worth.in_heat)(to)),
                _ => ((worth.of)(present), (worth.of)(arm)),
            };
            let gaps: Vec<f64> = to.iter().zip(from).map(|(t, f)| t - f).collect();
            summary(&gaps, factor)
        };
        self.arms.iter().map(gap).collect()
    }
}

/// Plants by the names of a list.
pub fn named(plants: &[(String, Plant)]) -> Vec<Named<'_>> {
    plants.iter().map(|(name, plant)| (name.as_str(), plant)).collect()
}

/// The present plant and others on the same trials.
pub fn arms_beside(
    present: &Plant,
    plants: &[Named<'_>],
    seed: u64,
    trials: usize,
    done: &AtomicU64,
) -> (Arm, Vec<Arm>) {
    let all: Vec<Named<'_>> = std::iter::once(("present", present)).chain(plants.iter().copied()).collect();
    let mut arms = together(&all, seed, trials, done);
    let others = arms.split_off(1);
    (arms.swap_remove(0), others)
}

/// Currency of a plant; empty without money.
pub fn currency(plant: &Plant) -> &str {
    plant.money.as_ref().map_or("", |m| m.currency.as_str())
}

/// Share of the gold that leaves over the end of the drum because of its size or because it missed the holes.
pub fn oversize_loss(arm: &Arm) -> f64 {
    arm.lost_share(|n| [reasons::TOO_BIG, reasons::MISSED_HOLES].contains(&n.reason), |_| true)
}

/// Share of all gold fed that is fine and lost in a box: never settled, packed, scoured, bypass.
pub fn fine_loss(arm: &Arm) -> f64 {
    arm.lost_share(|n| BOX_REASONS.contains(&n.reason), |d| d < FINE_M)
}

/// Why a box loses gold that reached it free.
pub const BOX_REASONS: [Reason; 4] = [reasons::NEVER_SETTLED, reasons::PACKED, reasons::SCOURED, reasons::BYPASS];

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
