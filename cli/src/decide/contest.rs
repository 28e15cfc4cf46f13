//! Variants run on the same trials and ranked by gold and, where the scenario has money, by the money of the season.

use std::sync::atomic::AtomicU64;

use serde_json::{Value, json};
use sim_core::paired::Arm;
use sim_core::plant::Plant;
use sim_core::result::Summary;
use sim_core::stats::choice::{Choice, choose};
use sim_core::stats::order::percentile_select;

use crate::tables::{Cell, TableFile};

const G_PER_H: f64 = 3.6e6;
const S_PER_H: f64 = 3600.0;

/// Gold finer than this counts as fine, m: what a sluice loses first. Our choice.
pub(crate) const FINE_M: f64 = 0.3e-3;
/// Gold coarser than this counts as coarse, m. Our choice.
pub(crate) const COARSE_M: f64 = 1.0e-3;

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
    /// Runs named plants, one after the other, each over all trials in parallel.
    pub fn run(plants: &[(String, Plant)], seed: u64, trials: usize, done: &AtomicU64) -> Contest {
        let arms = plants.iter().map(|(name, plant)| Arm::run(name.clone(), plant, seed, trials, done)).collect();
        Contest::of(arms, plants.first().map_or("", |(_, p)| currency(p)))
    }

    /// Ranks arms that have been run.
    pub fn of(arms: Vec<Arm>, currency: &str) -> Contest {
        let gold: Vec<Vec<f64>> = arms.iter().map(|a| a.steady.clone()).collect();
        let money: Vec<Vec<f64>> = arms.iter().map(|a| a.season_net.clone()).collect();
        let has_money = money.iter().all(|m| !m.is_empty());
        Contest {
            gold: choose(&gold),
            money: if has_money { choose(&money) } else { None },
            currency: currency.to_string(),
            arms,
        }
    }

    /// Number of trials of each.
    pub fn trials(&self) -> usize {
        self.arms.first().map_or(0, Arm::trials)
    }

    /// Mean and percentiles of the gold caught, g/h, with what changes from hour to hour averaged out.
    pub fn gold_g_h(&self, i: usize) -> Summary {
        self.arms.get(i).map_or(nothing(), |a| summary(&a.steady, G_PER_H))
    }

    /// The same of the money of a season.
    pub fn season_money(&self, i: usize) -> Option<Summary> {
        self.arms.get(i).filter(|a| !a.season_net.is_empty()).map(|a| summary(&a.season_net, 1.0))
    }

    /// What each variant brings more than the present plant: gold, g/h, or with `money` the money of a season.
    pub fn against(&self, present: &Arm, money: bool) -> Vec<Summary> {
        let gap = |arm: &Arm| {
            let (from, to, f) = if money {
                (&present.season_net, &arm.season_net, 1.0)
            } else {
                (&present.steady, &arm.steady, G_PER_H)
            };
            let gaps: Vec<f64> = to.iter().zip(from).map(|(t, f)| t - f).collect();
            summary(&gaps, f)
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
                arm.caught_of(|d| d < FINE_M) * G_PER_H,
                arm.caught_of(|d| (FINE_M..=COARSE_M).contains(&d)) * G_PER_H,
                arm.caught_of(|d| d > COARSE_M) * G_PER_H,
                oversize_loss(arm),
                fine_loss(arm),
                mean(&arm.supply) * S_PER_H,
                mean(&arm.need) * S_PER_H,
                arm.short_share,
            ];
            row.extend(numbers.map(Cell::from));
            row.push(of(self.gold.as_ref().map(|c| &c.chance_best)).into());
            row.push(of(self.gold.as_ref().map(|c| &c.cost_of_wrong)).map(|x| x * G_PER_H).into());
            if let (Some(choice), Some(money)) = (&self.money, self.season_money(i)) {
                row.extend([money.mean, money.pctl_10, money.pctl_50, money.pctl_90].map(Cell::from));
                row.push((mean(&arm.season_net) / arm.season_run_s * S_PER_H).into());
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

/// Currency of a plant; empty without money.
pub(crate) fn currency(plant: &Plant) -> &str {
    plant.money.as_ref().map_or("", |m| m.currency.as_str())
}

/// Share of the gold that leaves over the end of the drum because of its size or because it missed the holes.
pub(crate) fn oversize_loss(arm: &Arm) -> f64 {
    arm.lost_share(|n| matches!(n.reason.name, "too big for the holes" | "missed the holes"), |_| true)
}

/// Share of all gold fed that is fine and lost in a box: never settled, packed, scoured, bypass.
pub(crate) fn fine_loss(arm: &Arm) -> f64 {
    arm.lost_share(|n| BOX_REASONS.contains(&n.reason.name), |d| d < FINE_M)
}

/// Why a box loses gold that reached it free.
pub(crate) const BOX_REASONS: [&str; 4] = ["never settled", "packed riffles", "scoured out", "bypass"];

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
