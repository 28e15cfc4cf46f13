//! Needs of water against what reaches the part that has them, trial by trial.
//!
//! A need is compared with the water that gets to its own part of the plant: make-up at the head of a sluice washes no rock.
//! A need whose part does not say what reaches it is compared with all the water supplied.

use std::collections::BTreeMap;

use crate::plant::Plant;
use crate::stage::Role;
use crate::trial::{DETAIL_TRIALS, TrialStatistics};

/// One need over the trials that are kept in detail.
#[derive(Debug, Clone, Default)]
pub struct NeedSeries {
    /// Water needed, m3/s.
    pub need_m3_s: Vec<f64>,
    /// Water at hand for it, m3/s.
    pub at_hand_m3_s: Vec<f64>,
}

/// A rule that may set a need.
#[derive(Debug, Clone)]
pub struct RuleSeries {
    /// Stage that has it.
    pub stage: String,
    /// The need that it may set.
    pub need: String,
    /// Name of the rule.
    pub rule: String,
    /// Plain words.
    pub words: String,
    /// What it asks for in each trial, m3/s.
    pub asks_m3_s: Vec<f64>,
    /// Share of trials in which it asks for the most of all rules of its need and stage.
    pub sets_share: f64,
}

/// Needs by name, and the rules that set them.
#[derive(Debug, Clone, Default)]
pub struct NeedsMet {
    /// By name.
    pub needs: BTreeMap<String, NeedSeries>,
    /// In the order of stages.
    pub rules: Vec<RuleSeries>,
    /// Trials looked at.
    pub trials: usize,
}

/// Short by less than this share of the need is rounding.
const ROUNDING: f64 = 1e-9;

fn add(sum: &mut Vec<f64>, values: &[f64]) {
    sum.resize(values.len().max(sum.len()), 0.0);
    for (s, v) in sum.iter_mut().zip(values) {
        *s += if v.is_finite() { *v } else { 0.0 };
    }
}

impl NeedsMet {
    /// Gathers the needs of a plant's trials.
    pub fn of(plant: &Plant, statistics: &TrialStatistics) -> NeedsMet {
        let mut all = NeedsMet { trials: statistics.supply.len().min(DETAIL_TRIALS), ..NeedsMet::default() };
        for node in &plant.nodes {
            for i in node.measures.clone() {
                let (Some(measure), Some(values)) = (plant.measures.get(i), statistics.measures.get(i)) else {
                    continue;
                };
                match measure.role {
                    Role::WaterNeed => {
                        add(&mut all.needs.entry(measure.name.clone()).or_default().need_m3_s, values);
                    }
                    Role::WaterAtHand { need } => {
                        add(&mut all.needs.entry(need.to_string()).or_default().at_hand_m3_s, values);
                    }
                    Role::WaterRule { need } => all.rules.push(RuleSeries {
                        stage: node.id.clone(),
                        need: need.to_string(),
                        rule: measure.name.clone(),
                        words: measure.words.clone(),
                        asks_m3_s: values.clone(),
                        sets_share: 0.0,
                    }),
                    _ => {}
                }
            }
        }
        for need in all.needs.values_mut().filter(|n| n.at_hand_m3_s.is_empty()) {
            need.at_hand_m3_s = statistics.supply.iter().take(DETAIL_TRIALS).copied().collect();
        }
        all.count_setters();
        all
    }

    fn count_setters(&mut self) {
        let mut wins = vec![0usize; self.rules.len()];
        for (r, rule) in self.rules.iter().enumerate() {
            let rivals = || self.rules.iter().enumerate().filter(|(_, o)| o.need == rule.need && o.stage == rule.stage);
            for (t, asks) in rule.asks_m3_s.iter().enumerate() {
                let first_of_the_largest = rivals().all(|(o, other)| {
                    let rival = other.asks_m3_s.get(t).copied().unwrap_or(f64::NAN);
                    o == r || rival < *asks || rival.is_nan() || (rival == *asks && o > r)
                });
                wins[r] += usize::from(first_of_the_largest);
            }
        }
        for (rule, wins) in self.rules.iter_mut().zip(wins) {
            rule.sets_share = wins as f64 / rule.asks_m3_s.len().max(1) as f64;
        }
    }

    /// How much water is missing for the need that is shortest of it, in each trial (m3/s); 0 where all are met.
    pub fn shortfall_m3_s(&self) -> Vec<f64> {
        (0..self.trials)
            .map(|t| {
                self.needs.values().fold(0.0_f64, |worst, n| {
                    let (Some(need), Some(at_hand)) = (n.need_m3_s.get(t), n.at_hand_m3_s.get(t)) else { return worst };
                    if *at_hand < need * (1.0 - ROUNDING) { worst.max(need - at_hand) } else { worst }
                })
            })
            .collect()
    }

    /// Share of the trials in which at least one need is not met.
    pub fn short_share(&self) -> f64 {
        self.shortfall_m3_s().iter().filter(|s| **s > 0.0).count() as f64 / self.trials.max(1) as f64
    }

    /// The need that asks for the most of what reaches it in most trials.
    pub fn binding(&self) -> Option<String> {
        let mut wins: BTreeMap<&str, usize> = BTreeMap::new();
        for t in 0..self.trials {
            let tightness = |n: &NeedSeries| match (n.need_m3_s.get(t), n.at_hand_m3_s.get(t)) {
                (Some(need), Some(at_hand)) if *at_hand > 0.0 => need / at_hand,
                (Some(need), _) if *need > 0.0 => f64::INFINITY,
                _ => 0.0,
            };
            if let Some((name, _)) = self.needs.iter().max_by(|a, b| tightness(a.1).total_cmp(&tightness(b.1))) {
                *wins.entry(name).or_default() += 1;
            }
        }
        // The first name of those with the most trials.
        let most = wins.values().copied().max()?;
        wins.into_iter().find(|(_, n)| *n == most).map(|(name, _)| name.to_string())
    }
}
