//! The water of a plant over many trials: how often it is short, what pump would do, and what else would help.
//!
//! ```text
//!   run the plant once a trial  ->  TrialWater { the line as numbers, needs and what reaches them }
//!   then alter and solve the line alone, a few microseconds each: no stage runs again
//! ```
//! Which share of an outlet's water reaches which need is found by giving a little more of it to the middle case. What the streams carry
//! otherwise (moisture, films on rock) is taken from the run. Needs are those of the plant with enough water.

use sim_core::hydraulics::manifold::ManifoldFlow;
use sim_core::plant::Plant;
use sim_core::quantity::UnitChoice;
use sim_core::stage::Role;
use sim_core::trial::Worker;

use super::case::{Change, WaterCase};

/// A need of one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct StageNeed {
    /// Id of the stage.
    pub stage: String,
    /// Name of the need.
    pub need: String,
    /// For each branch of the line: share of its water that reaches this need.
    pub reached_by: Vec<f64>,
}

/// One need in one trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NeedInTrial {
    /// Water needed (m3/s).
    pub need_m3_s: f64,
    /// Water that reaches it beside that of the branches (m3/s): moisture, typed outlets.
    pub beside_m3_s: f64,
}

/// One trial.
#[derive(Debug, Clone)]
pub struct TrialWater {
    /// The line.
    pub case: WaterCase,
    /// Flow of each branch as the run found it (m3/s).
    pub branch_flow_m3_s: Vec<f64>,
    /// The needs in the order of [`WaterStudy::needs`].
    pub needs: Vec<NeedInTrial>,
    /// Loose ground fed (m3/s).
    pub feed_m3_s: f64,
}

/// The water of one line over many trials.
#[derive(Debug, Clone)]
pub struct WaterStudy {
    /// Units of the plant: its shop sells hose and drills by them.
    pub units: UnitChoice,
    /// The middle case.
    pub middle: TrialWater,
    /// Needs by stage.
    pub needs: Vec<StageNeed>,
    /// The trials.
    pub trials: Vec<TrialWater>,
}

/// How well the water does over the trials.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Share of trials in which at least one need is not met.
    pub short_share: f64,
    /// Water missing for the worst need that 9 trials of 10 stay below (m3/s).
    pub shortfall_m3_s: f64,
    /// Flow of the pump in the middle trial (m3/s).
    pub pump_flow_m3_s: f64,
    /// Head of the pump in the middle trial (m).
    pub pump_head_m: f64,
    /// Pressure head on the manifold in the middle trial (m).
    pub gauge_m: f64,
}

impl WaterStudy {
    /// Runs the plant for some trials and keeps what its water is made of. `None` without such a line.
    pub fn new(plant: &Plant, line: usize, seed: u64, trials: usize) -> Option<WaterStudy> {
        let mut worker = Worker::new(plant, seed);
        let mut needs = declared_needs(plant);
        find_shares(plant, &mut worker, line, &mut needs)?;
        let middle = trial_water(plant, &mut worker, line, &needs)?;
        let trials = (0..trials as u64)
            .filter_map(|t| {
                worker.run_trial(t);
                trial_water(plant, &mut worker, line, &needs)
            })
            .collect();
        Some(WaterStudy { units: plant.units, middle, needs: needs.into_iter().map(|n| n.0).collect(), trials })
    }

    /// How the water does with some things changed.
    pub fn standing(&self, changes: &[Change]) -> Standing {
        let mut missing: Vec<f64> = Vec::with_capacity(self.trials.len());
        let (mut flows, mut heads, mut gauges) = (Vec::new(), Vec::new(), Vec::new());
        for trial in &self.trials {
            let case = trial.case.with(changes);
            let solved = case.solve().ok();
            missing.push(self.missing_m3_s(trial, solved.as_ref()));
            if let Some(flow) = solved {
                flows.push(flow.pump_flow_m3_s);
                heads.push(flow.pump_head_m);
                gauges.push(flow.manifold_head_m - case.manifold_m);
            }
        }
        let short = missing.iter().filter(|m| **m > 0.0).count();
        Standing {
            short_share: short as f64 / missing.len().max(1) as f64,
            shortfall_m3_s: quantile(&mut missing, 0.9),
            pump_flow_m3_s: quantile(&mut flows, 0.5),
            pump_head_m: quantile(&mut heads, 0.5),
            gauge_m: quantile(&mut gauges, 0.5),
        }
    }

    /// Water missing for the worst need of a trial (m3/s) at these flows; without an answer the branches give nothing.
    pub fn missing_m3_s(&self, trial: &TrialWater, flow: Option<&ManifoldFlow>) -> f64 {
        self.needs.iter().zip(&trial.needs).fold(0.0_f64, |worst, (stage, need)| {
            let at_hand = need.beside_m3_s + flow.map_or(0.0, |f| reaching(stage, &f.branch_flow_m3_s));
            let short = need.need_m3_s - at_hand;
            if short > ROUNDING * need.need_m3_s { worst.max(short) } else { worst }
        })
    }

    /// The duty to buy: flow (m3/s) and head (m) such that any pump whose falling curve passes through or above that point meets every
    /// need in at least 9 trials of 10, with the hoses and outlets as they are. `share` is the share of trials that it meets.
    ///
    /// In each trial the least flow and head on the plant's own curve that meet all needs are found. A falling curve through (Q, H) gives
    /// at least H at every smaller flow, so it meets each trial whose own point lies below and left of (Q, H).
    pub fn duty_to_buy(&self) -> Option<DutyToBuy> {
        let points: Vec<Option<(f64, f64)>> = self
            .trials
            .iter()
            .map(|trial| trial.case.duty_for(|flow| !(self.missing_m3_s(trial, Some(flow)) > 0.0)))
            .collect();
        let met: Vec<(f64, f64)> = points.iter().flatten().copied().collect();
        let out_of_reach = 1.0 - met.len() as f64 / points.len().max(1) as f64;
        let (mut flows, mut heads): (Vec<f64>, Vec<f64>) = met.iter().copied().unzip();
        for level in [0.90, 0.91, 0.92, 0.93, 0.94, 0.95, 0.96, 0.97, 0.98, 0.99, 1.0] {
            let (q, h) = (quantile(&mut flows, level), quantile(&mut heads, level));
            let share = met.iter().filter(|p| p.0 <= q && p.1 <= h).count() as f64 / points.len().max(1) as f64;
            if share >= WANTED_SHARE {
                return Some(DutyToBuy { flow_m3_s: q, head_m: h, share, out_of_reach });
            }
        }
        None
    }
}

/// Flow and head that a pump must give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DutyToBuy {
    /// Flow (m3/s).
    pub flow_m3_s: f64,
    /// Head (m).
    pub head_m: f64,
    /// Share of the trials that it meets.
    pub share: f64,
    /// Share of the trials that no pump meets with these hoses and outlets.
    pub out_of_reach: f64,
}

/// Share of the trials that a duty must meet.
pub const WANTED_SHARE: f64 = 0.9;
/// Short by less than this share of the need is rounding.
const ROUNDING: f64 = 1e-9;

/// More water by which an outlet is nudged (m3/s).
const NUDGE_M3_S: f64 = 1e-6;

fn reaching(stage: &StageNeed, flows: &[f64]) -> f64 {
    stage.reached_by.iter().zip(flows).map(|(share, q)| share * q).sum()
}

/// A need of a stage, its measures by number.
struct Numbers {
    need: usize,
    at_hand: usize,
}

/// The needs of all stages that say what reaches them, with the numbers of their measures.
fn declared_needs(plant: &Plant) -> Vec<(StageNeed, Numbers)> {
    let mut list = Vec::new();
    for node in &plant.nodes {
        for at_hand in node.measures.clone() {
            let Some(Role::WaterAtHand { need: name }) = plant.measures.get(at_hand).map(|m| &m.role) else { continue };
            let is_need =
                |i: &usize| plant.measures.get(*i).is_some_and(|m| m.role == Role::WaterNeed && m.name == *name);
            if let Some(need) = node.measures.clone().find(is_need) {
                let stage = StageNeed { stage: node.id.clone(), need: name.to_string(), reached_by: Vec::new() };
                list.push((stage, Numbers { need, at_hand }));
            }
        }
    }
    list
}

/// Nudges each outlet of a line in the middle case and notes what more reaches each need. Leaves the worker in the middle case.
fn find_shares(plant: &Plant, worker: &mut Worker<'_>, line: usize, needs: &mut [(StageNeed, Numbers)]) -> Option<()> {
    let value =
        |worker: &Worker<'_>, i: usize| worker.measures.get(i).copied().filter(|x| x.is_finite()).unwrap_or(0.0);
    let base: Vec<f64> = needs.iter().map(|n| value(worker, n.1.at_hand)).collect();
    for outlet in &plant.lines.get(line)?.outlets {
        worker.run_middle();
        worker.pass_again_with(|states| {
            if let Some(state) = states.get_mut(*outlet) {
                state.flow_m3_s += NUDGE_M3_S;
            }
        });
        for ((stage, numbers), base) in needs.iter_mut().zip(&base) {
            let share = (value(worker, numbers.at_hand) - base) / NUDGE_M3_S;
            // What is a share but for rounding is one.
            stage.reached_by.push((share * 1e6).round() / 1e6);
        }
    }
    worker.run_middle();
    Some(())
}

/// Rounds in which a plant short of water is given more, to see what it needs when it has enough.
const ENOUGH_ROUNDS: usize = 2;

/// Needs in the worker's last pass, and what reaches them beside the branches of these flows.
fn needs_of(worker: &Worker<'_>, needs: &[(StageNeed, Numbers)], flows: &[f64]) -> Vec<NeedInTrial> {
    let value = |i: usize| worker.measures.get(i).copied().filter(|x| x.is_finite()).unwrap_or(0.0);
    needs
        .iter()
        .map(|(stage, numbers)| NeedInTrial {
            need_m3_s: value(numbers.need),
            beside_m3_s: value(numbers.at_hand) - reaching(stage, flows),
        })
        .collect()
}

fn trial_water(
    plant: &Plant,
    worker: &mut Worker<'_>,
    line: usize,
    needs: &[(StageNeed, Numbers)],
) -> Option<TrialWater> {
    let case = WaterCase::of(plant, worker, line)?;
    let flows: Vec<f64> =
        plant.lines.get(line)?.outlets.iter().map(|o| worker.outlets.get(*o).map_or(0.0, |s| s.flow_m3_s)).collect();
    // Needs are those of the plant with enough water: short of it the drum spills or screens less, and seems to need less.
    let mut found = needs_of(worker, needs, &flows);
    for _ in 0..ENOUGH_ROUNDS {
        let factor = needs.iter().zip(&found).fold(1.0_f64, |most, ((stage, _), need)| {
            let reached = reaching(stage, &flows);
            if reached > 0.0 { most.max((need.need_m3_s - need.beside_m3_s) / reached) } else { most }
        });
        if factor <= 1.0 {
            break;
        }
        let outlets = &plant.lines.get(line)?.outlets;
        worker.pass_again_with(|states| {
            for (outlet, q) in outlets.iter().zip(&flows) {
                if let Some(state) = states.get_mut(*outlet) {
                    state.flow_m3_s = factor * q;
                }
            }
        });
        let scaled: Vec<f64> = flows.iter().map(|q| factor * q).collect();
        found = needs_of(worker, needs, &scaled);
    }
    Some(TrialWater { case, branch_flow_m3_s: flows, needs: found, feed_m3_s: worker.feed_m3_s() })
}

/// A quantile of a list, by the next trial up; NaN when it is empty.
fn quantile(values: &mut [f64], level: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let last = values.len().checked_sub(1);
    last.map_or(f64::NAN, |last| values[((level * values.len() as f64).ceil() as usize).clamp(1, last + 1) - 1])
}
