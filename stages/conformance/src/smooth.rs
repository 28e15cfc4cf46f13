//! Whether a setting jumps: a small step is halved, and the half that changes more is halved again. What is smooth changes half as
//! much each time, and a bend or a steep start soon does; a jump stays as large as it was.

use rayon::prelude::*;
use sim_core::problem::Problems;
use sim_core::setting::Kind;
use sim_core::trial::Worker;
use washgraph_model::scenario::build;
use washgraph_model::variant::Settable;

use crate::Suite;
use crate::values::{now, typed};

/// A small step, as a share of the value.
const STEP: f64 = 0.01;
/// A change of gold caught or lost (share of the gold fed), or of water (share of the water), that nobody would see.
const UNSEEN: f64 = 1e-5;
/// Share of a change that the larger half of a smooth step keeps at most. A straight line keeps 0.5, a square root at its start 0.71.
const SMOOTH: f64 = 0.75;
/// Halvings after which a change that was never smooth is a jump.
const HALVINGS: usize = 10;

impl Suite<'_> {
    /// The settings of the kinds that jump in a small step from what holds, from half and from twice of it, in the middle case, all
    /// else as it is. The ground is not asked: its middle is one of many draws of the samples.
    pub fn smoothness(&self) -> Vec<String> {
        let asked = match self.asked() {
            Ok(asked) => asked,
            Err(faults) => return faults,
        };
        let names = self.names();
        let of_kinds: Vec<&Settable> = asked.iter().filter(|s| names.contains(&s.kind.as_str())).collect();
        of_kinds.par_iter().filter_map(|s| self.jump(s, &asked)).collect()
    }

    /// Where a setting jumps, and by how much.
    fn jump(&self, settable: &Settable, all: &[Settable]) -> Option<String> {
        let (Kind::Known(dimension) | Kind::Quantity(dimension)) = settable.setting.kind else { return None };
        let (low, high) = settable.setting.range;
        let now = now(settable, dimension)?;
        let span = if high.is_finite() && low.is_finite() { high - low } else { f64::NAN };
        let starts = if now == 0.0 { vec![0.0] } else { vec![now, 0.5 * now, 2.0 * now] };
        starts.into_iter().filter(|x| (low..=high).contains(x)).find_map(|start| {
            let step = if start == 0.0 { STEP * span } else { STEP * start };
            let end = if (low..=high).contains(&(start + step)) { start + step } else { start - step };
            let outlook = |x: f64| self.outlook(settable, &typed(x, dimension), all);
            let (mut from, mut to) = ((start, outlook(start)?), (end, outlook(end)?));
            let mut change = difference(&from.1, &to.1);
            for _ in 0..HALVINGS {
                if change < UNSEEN {
                    return None;
                }
                let middle = 0.5 * (from.0 + to.0);
                // A value that is refused between two that are not has a reason of its own, and words.
                let between = (middle, outlook(middle)?);
                let (first, second) = (difference(&from.1, &between.1), difference(&between.1, &to.1));
                if first.max(second) <= SMOOTH * change {
                    return None;
                }
                change = first.max(second);
                if first >= second { to = between } else { from = between }
            }
            let words = |x: f64| typed(x, dimension);
            Some(format!("{} jumps between {} and {}: {change:.2e}", settable.path, words(from.0), words(to.0)))
        })
    }

    /// Gold caught, gold lost for each reason (shares of the gold fed), and the water, in the middle case. `None` when refused.
    fn outlook(&self, settable: &Settable, value: &str, all: &[Settable]) -> Option<Vec<f64>> {
        let opened = self.changed(settable, value, all).ok()?;
        let plant = build(&opened, self.registry, &mut Problems::default())?;
        let worker = Worker::new(&plant, 1);
        let fed: f64 = worker.fed.iter().sum();
        let lost = worker.lost.iter().map(|by_class| by_class.iter().sum::<f64>() / fed);
        Some([worker.recovery(), worker.water_in_m3_s].into_iter().chain(lost).collect())
    }
}

/// Largest change from one outlook to another.
fn difference(a: &[f64], b: &[f64]) -> f64 {
    let change = |(i, (a, b)): (usize, (&f64, &f64))| if i == WATER { (a - b).abs() / a.abs() } else { (a - b).abs() };
    a.iter().zip(b).enumerate().map(change).fold(0.0, f64::max)
}

/// Place of the water in an outlook.
const WATER: usize = 1;
