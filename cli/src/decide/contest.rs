//! Variants run on the same trials and ranked by gold and, where the scenario has money, by the money of the season.

use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use std::sync::atomic::AtomicU64;

use serde_json::{Value, json};
use sim_core::plant::Plant;
use sim_core::stage::{Reason, reasons};
use sim_core::stats::choice::Choice;
use sim_core::stats::order::percentile_select;
use sim_core::stats::summary::Summary;
use washgraph_model::paired::{Arm, Heat, Named, choose_among, together};

use crate::tables::{Cell, TableFile};

/// Gold finer than this counts as fine, m: what a sluice loses first. Our choice.
pub(crate) const FINE_M: f64 = 0.3e-3;
/// Gold coarser than this counts as coarse, m. Our choice.
pub(crate) const COARSE_M: f64 = 1.0e-3;

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
pub(crate) struct Contest {
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

    /// The table with a row for each variant. `first` names its first column.
    pub fn table(&self, name: &str, first: &str) -> TableFile {
        let mut columns = vec![
            first,
            "gold_caught_mean_g_per_h",
            "gold_caught_1_in_10_below_g_per_h",
            "gold_caught_middle_g_per_h",
            "gold_caught_1_in_10_above_g_per_h",
            "recovery_share",
            "caught_finer_than_0.3_mm_g_per_h",
            "caught_0.3_to_1_mm_g_per_h",
            "caught_coarser_than_1_mm_g_per_h",
            "lost_over_the_end_of_the_drum_share",
            "lost_finer_than_0.3_mm_in_the_box_share",
            "water_supplied_m3_per_h",
            "water_needed_m3_per_h",
            "short_of_water_share_of_runs",
            "trials",
            "chance_most_gold",
            "cost_of_being_wrong_g_per_h",
        ];
        if self.money.is_some() {
            columns.extend([
                "money_season_mean",
                "money_season_1_in_10_below",
                "money_season_middle",
                "money_season_1_in_10_above",
                "money_per_hour_run",
                "chance_most_money",
                "cost_of_being_wrong_money",
            ]);
        }
        let mut table = TableFile::new(name, &columns);
        for (i, arm) in self.arms.iter().enumerate() {
            let gold = self.gold_g_h(i);
            let of = |list: Option<&Vec<f64>>| list.and_then(|l| l.get(i)).copied();
            let mut row: Vec<Cell> = vec![arm.name.clone().into()];
            let numbers = [
                gold.mean,
                gold.pctl_10,
                gold.pctl_50,
                gold.pctl_90,
                arm.mean_recovery(),
                arm.caught_of(|d| d < FINE_M) * G_H_PER_KG_S,
                arm.caught_of(|d| (FINE_M..=COARSE_M).contains(&d)) * G_H_PER_KG_S,
                arm.caught_of(|d| d > COARSE_M) * G_H_PER_KG_S,
                oversize_loss(arm),
                fine_loss(arm),
                mean(&arm.supply) * S_PER_H,
                mean(&arm.need) * S_PER_H,
                arm.short_share,
                arm.trials() as f64,
            ];
            row.extend(numbers.map(Cell::from));
            row.push(of(self.gold.as_ref().map(|c| &c.chance_best)).into());
            row.push(of(self.gold.as_ref().map(|c| &c.cost_of_wrong)).map(|x| x * G_H_PER_KG_S).into());
            if let (Some(choice), Some(money)) = (&self.money, self.season_money(i)) {
                row.extend([money.mean, money.pctl_10, money.pctl_50, money.pctl_90].map(Cell::from));
                row.push((money.mean / arm.season_run_s * S_PER_H).into());
                row.push(choice.chance_best.get(i).copied().into());
                row.push(choice.cost_of_wrong.get(i).copied().into());
            }
            table.row(row);
        }
        table
    }

    /// The same as a document: a list with the table's headings as keys.
    pub fn document(&self, first: &str) -> Value {
        let table = self.table("", first);
        let rows = table.rows.iter().map(|row| {
            let pairs = table.columns.iter().zip(row).map(|(c, cell)| {
                let value = match cell {
                    Cell::Text(t) => json!(t),
                    Cell::Number(x) => json!(x),
                    Cell::Empty => Value::Null,
                };
                (c.clone(), value)
            });
            Value::Object(pairs.collect())
        });
        Value::Array(rows.collect())
    }
}

/// Plants by the names of a list.
pub(crate) fn named(plants: &[(String, Plant)]) -> Vec<Named<'_>> {
    plants.iter().map(|(name, plant)| (name.as_str(), plant)).collect()
}

/// The present plant and others on the same trials.
pub(crate) fn arms_beside(
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
pub(crate) fn currency(plant: &Plant) -> &str {
    plant.money.as_ref().map_or("", |m| m.currency.as_str())
}

/// Share of the gold that leaves over the end of the drum because of its size or because it missed the holes.
pub(crate) fn oversize_loss(arm: &Arm) -> f64 {
    arm.lost_share(|n| [reasons::TOO_BIG, reasons::MISSED_HOLES].contains(&n.reason), |_| true)
}

/// Share of all gold fed that is fine and lost in a box: never settled, packed, scoured, bypass.
pub(crate) fn fine_loss(arm: &Arm) -> f64 {
    arm.lost_share(|n| BOX_REASONS.contains(&n.reason), |d| d < FINE_M)
}

/// Why a box loses gold that reached it free.
pub(crate) const BOX_REASONS: [Reason; 4] =
    [reasons::NEVER_SETTLED, reasons::PACKED, reasons::SCOURED, reasons::BYPASS];

fn shifted(s: Summary, by: f64) -> Summary {
    Summary { mean: s.mean + by, pctl_10: s.pctl_10 + by, pctl_50: s.pctl_50 + by, pctl_90: s.pctl_90 + by }
}

fn nothing() -> Summary {
    Summary { mean: f64::NAN, pctl_10: f64::NAN, pctl_50: f64::NAN, pctl_90: f64::NAN }
}

/// Mean of a list.
pub(crate) fn mean(values: &[f64]) -> f64 {
    sim_core::stats::average::Moments::of(values).mean()
}

/// Mean and percentiles of a list times a factor.
pub(crate) fn summary(values: &[f64], factor: f64) -> Summary {
    let mut own: Vec<f64> = values.iter().map(|v| v * factor).collect();
    Summary {
        mean: mean(&own),
        pctl_10: percentile_select(&mut own, 0.1),
        pctl_50: percentile_select(&mut own, 0.5),
        pctl_90: percentile_select(&mut own, 0.9),
    }
}
