//! A rule of the trade held against the model: about one inch is the largest hole that still catches gold of all sizes.
//!
//! The rule is common practice without a source. The model has no such number in it; what it says depends on how deep the
//! re-tuned box must run, so the answer is given over the whole range of the assumptions and nothing is tuned to meet it.

use sim_core::constants::INCH_M;
use std::collections::BTreeMap;

use rayon::prelude::*;
use sim_core::lever::Serves;
use sim_core::math::ln;
use sim_core::plant::Plant;
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::stage::{Assumption, LossClass};
use sim_core::trial::Worker;

use super::study::hole_changes;
use crate::holes::retune::{Rules, retune};
use crate::plants::base::{Base, Change};
use crate::plants::contest::FINE_M;
use crate::plants::levers::LeverAt;

/// The rule, m.
pub const RULE_M: f64 = INCH_M;
/// Holes at which the loss is worked out, mm; between them it is drawn straight over the logarithm.
pub const HOLES_MM: [f64; 9] = [8.0, 10.0, 12.5, 16.0, 20.0, 25.0, 31.5, 40.0, 50.0];
/// Largest rock over the hole: the range for natural gravel at round holes (from memory), and the hole itself.
pub const ROCK_PER_HOLE: [f64; 3] = [0.80, 0.87, 1.0];
/// Rise of the loss that counts.
const RISE: f64 = 0.05;

/// What the model says on the rule.
#[derive(Debug, Clone)]
pub struct TradeRule {
    /// What was assumed over its range.
    pub over: Vec<Assumption>,
    /// For each set of assumptions the hole at which the loss has risen, `None` when it does not rise so far within the holes
    /// tried, and the losses.
    pub rows: Vec<(Rules, Option<f64>, Vec<f64>)>,
}

/// Works the rule out in the middle case; `None` when the plant has no box with water of its own, or a plant cannot be built.
pub fn trade_rule(base: &Base<'_>, hole: &LeverAt<'_>, shape: Option<&str>) -> Option<TradeRule> {
    let mut plants: Vec<(f64, Vec<Change>, Plant)> = Vec::new();
    for mm in HOLES_MM {
        let changes = hole_changes(base, hole, &format!("{mm} mm"), shape).ok()?;
        let plant = base.variant(&changes).ok()?;
        plants.push((mm * 1e-3, changes, plant));
    }
    let mut over: Vec<Assumption> = Vec::new();
    for assumption in base.plant.nodes.iter().flat_map(|n| n.kind.assumptions) {
        if !over.iter().any(|known| known.name == assumption.name) {
            over.push(*assumption);
        }
    }
    let sets = sets(&over);
    let losses = losses(base, &plants, &sets)?;
    let holes: Vec<f64> = plants.iter().map(|p| p.0).collect();
    let rows = sets.into_iter().zip(losses).map(|(rules, losses)| (rules, risen_at(&holes, &losses), losses));
    Some(TradeRule { over, rows: rows.collect() })
}

/// Every combination of what may be assumed.
fn sets(over: &[Assumption]) -> Vec<Rules> {
    let mut sets: Vec<Vec<(&'static str, f64)>> = vec![Vec::new()];
    for assumption in over {
        let with = |set: &Vec<(&'static str, f64)>, value: &f64| {
            set.iter().copied().chain([(assumption.name, *value)]).collect::<Vec<_>>()
        };
        sets = sets.iter().flat_map(|set| assumption.values.iter().map(move |value| with(set, value))).collect();
    }
    let rules = |assumed: &Vec<(&'static str, f64)>, per_hole: &f64| Rules {
        assumed: assumed.clone(),
        rock_per_hole: Some(*per_hole),
        within_pump: false,
    };
    sets.iter().flat_map(|set| ROCK_PER_HOLE.iter().map(move |f| rules(set, f))).collect()
}

/// For each set of rules the losses at each hole. Where the rules differ but come to the same box (a depth that rock decides
/// asks for no least depth, and the other way about) the plant is built and run once.
fn losses(base: &Base<'_>, plants: &[(f64, Vec<Change>, Plant)], sets: &[Rules]) -> Option<Vec<Vec<f64>>> {
    let cases: Vec<_> = sets.iter().flat_map(|rules| plants.iter().map(move |p| (rules, p))).collect();
    let boxes: Option<Vec<Vec<Change>>> = cases
        .into_par_iter()
        .map(|(rules, (hole, changes, plant))| {
            let tuned = retune(base, plant, *hole, changes, rules).ok()?;
            // Without water of its own the box cannot be set to a depth.
            let is_flow = |path: &str| base.levers_that(Serves::OwnWater).any(|l| l.at.path == path);
            tuned.changes.iter().any(|(p, _)| is_flow(&p.text())).then_some(tuned.changes)
        })
        .collect();
    let boxes = boxes?;
    let name = |changes: &[Change]| changes.iter().map(|(p, v)| format!("{} = {v}\n", p.text())).collect::<String>();
    let mut different: BTreeMap<String, &[Change]> = BTreeMap::new();
    for changes in &boxes {
        different.insert(name(changes), changes);
    }
    let found: Option<BTreeMap<String, f64>> =
        different.into_par_iter().map(|(name, changes)| Some((name, loss(base, changes)?))).collect();
    let found = found?;
    let all: Option<Vec<f64>> = boxes.iter().map(|changes| found.get(&name(changes)).copied()).collect();
    all.map(|all| all.chunks(plants.len().max(1)).map(<[f64]>::to_vec).collect())
}

/// Share of the fine gold fed that the boxes of a plant lose in the middle case.
fn loss(base: &Base<'_>, changes: &[Change]) -> Option<f64> {
    let plant = base.variant(changes).ok()?;
    let worker = Worker::new(&plant, plant.seed);
    let fine =
        |gold: &[f64]| (0..GOLD_CLASSES).filter(|g| gold_class(*g).middle_m < FINE_M).map(|g| gold[g]).sum::<f64>();
    let lost = plant.notes.iter().zip(&worker.lost).filter(|(n, _)| n.reason.class == LossClass::InTheBox);
    Some(lost.map(|(_, l)| fine(l)).sum::<f64>() / fine(&worker.fed))
}

/// The hole at which the loss has risen by five points above the least loss at any smaller hole.
fn risen_at(holes: &[f64], losses: &[f64]) -> Option<f64> {
    let mut least = f64::INFINITY;
    for (pair, loss) in holes.windows(2).zip(losses.windows(2)) {
        let ([a, b], [x, y]) = (pair, loss) else { continue };
        least = least.min(*x);
        if *y >= least + RISE {
            let f = ((least + RISE - x) / (y - x)).clamp(0.0, 1.0);
            return Some(sim_core::math::exp(ln(*a) + f * ln(b / a)));
        }
    }
    None
}

impl TradeRule {
    /// Smallest, middle and largest hole over all assumptions; `None` for one beyond the holes tried.
    pub fn range(&self) -> [Option<f64>; 3] {
        let mut holes: Vec<f64> = self.rows.iter().map(|r| r.1.unwrap_or(f64::INFINITY)).collect();
        holes.sort_by(f64::total_cmp);
        let at = |i: usize| holes.get(i).copied().filter(|h| h.is_finite());
        [at(0), at(holes.len() / 2), at(holes.len().saturating_sub(1))]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_the_rise_is_read_between_the_holes() {
        let holes = [0.010, 0.020, 0.040];
        assert_eq!(risen_at(&holes, &[0.10, 0.10, 0.12]), None);
        let at = risen_at(&holes, &[0.12, 0.10, 0.20]).unwrap();
        // Half of the way from 20 to 40 mm on the logarithm.
        assert!((at / (0.020 * 2.0_f64.sqrt()) - 1.0).abs() < 1e-12, "{at}");
        let at = risen_at(&holes, &[0.10, 0.15, 0.20]).unwrap();
        assert!((at / 0.020 - 1.0).abs() < 1e-12, "{at}");
    }
}
