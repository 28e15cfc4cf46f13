//! What further samples are worth in money, plan by plan, against what they cost.

use rayon::prelude::*;
use serde::Serialize;

use super::summary::{PlanLine, foresight};
use crate::field::next_sample::Plan;
use crate::field::sample_value::Decisions;
use crate::ground::{GoldKnown, Ground};
use washgraph_money::plan::SamplingCost;
use washgraph_stats::draw::InputList;

/// Name of the decision not to mine.
pub const WALK_AWAY: &str = "not to mine";

/// A decision and the money that it is expected to bring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DecisionLine {
    /// Its name.
    pub name: String,
    /// Mean money with what is known now.
    pub mean: f64,
    /// Share of the scatter of its money that the gold of the ground explains; the rest is prices, running and constants.
    pub explained: f64,
}

/// A plan of further samples.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanWorth {
    /// In words.
    pub what: String,
    /// Number of pans; none for a bulk sample.
    pub pans: Option<u32>,
    /// What it is worth before its cost; none when so few possible grounds are left that it cannot be said.
    pub worth: Option<f64>,
    /// One standard error of that.
    pub noise: f64,
    /// The same for each sample of the plan.
    pub worth_each: Option<f64>,
    /// Share of the samples that may be found after which another decision is best.
    pub changes: f64,
    /// What it costs, where the owner has said.
    pub cost: Option<f64>,
    /// Worth less cost.
    pub left: Option<f64>,
}

/// Worth of further samples.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SampleMoney {
    /// Currency.
    pub currency: String,
    /// Seasons that the money is counted over.
    pub seasons: f64,
    /// Trials that it rests on.
    pub trials: usize,
    /// Whether the season's share in the plant is known and in the money.
    pub with_plant: bool,
    /// The decisions, the last being not to mine.
    pub decisions: Vec<DecisionLine>,
    /// Number of the best with what is known now.
    pub best_now: usize,
    /// Worth of knowing the gold of the ground exactly: no sample is worth more.
    pub perfect: f64,
    /// One standard error of that.
    pub perfect_noise: f64,
    /// The plans.
    pub plans: Vec<PlanWorth>,
}

/// What the worth is worked out from: named designs with the money of a season in every trial, after the owner's wage and the
/// season's share in the plant.
pub struct Choices<'a> {
    /// Names and money.
    pub designs: &'a [(String, Vec<f64>)],
    /// The plant's uncertain inputs.
    pub inputs: &'a InputList,
    /// Seed of the trials.
    pub seed: u64,
    /// Currency.
    pub currency: &'a str,
    /// Seasons on this ground.
    pub seasons: f64,
    /// What samples cost.
    pub cost: SamplingCost,
    /// Whether the season's share in the plant is in the money.
    pub with_plant: bool,
}

impl SampleMoney {
    /// Weighs every plan; `None` for a belief, or with too few trials.
    pub fn new(ground: &Ground, plans: &[PlanLine], choices: &Choices<'_>) -> Option<SampleMoney> {
        let (GoldKnown::Sampled(posterior), Some(foresight)) = (&ground.gold, foresight(ground)) else { return None };
        let trials = choices.designs.first().map_or(0, |d| d.1.len());
        let drawn = ground.gold_draws(choices.inputs, choices.seed, trials);
        let money: Vec<Vec<f64>> =
            choices.designs.iter().map(|d| d.1.iter().map(|m| m * choices.seasons).collect()).collect();
        let mut decisions = Decisions::fit(posterior, &drawn, &money)?;
        decisions.add_walking_away();
        let worth = decisions.worth();
        let names = choices.designs.iter().map(|d| d.0.as_str()).chain([WALK_AWAY]);
        let lines = names.zip(decisions.means()).zip(&decisions.explained);
        Some(SampleMoney {
            currency: choices.currency.to_string(),
            seasons: choices.seasons,
            trials,
            with_plant: choices.with_plant,
            decisions: lines
                .map(|((name, mean), explained)| DecisionLine { name: name.into(), mean, explained: *explained })
                .collect(),
            best_now: worth.best_now,
            perfect: worth.perfect,
            perfect_noise: worth.noise,
            plans: plans
                .par_iter()
                .map(|plan| {
                    let of = Plan { volume_m3: plan.volume_m3, spots: plan.spots };
                    PlanWorth::new(plan, decisions.worth_of(&foresight, of), choices.cost)
                })
                .collect(),
        })
    }

    /// Name of the best decision with what is known now.
    pub fn best_name(&self) -> &str {
        self.decisions.get(self.best_now).map_or("", |d| d.name.as_str())
    }

    /// Its money.
    pub fn now(&self) -> f64 {
        self.decisions.get(self.best_now).map_or(f64::NAN, |d| d.mean)
    }

    /// The plan of pans that leaves the most after its cost, where that is more than nothing.
    pub fn best_plan(&self) -> Option<&PlanWorth> {
        let paying = self.plans.iter().filter(|p| p.left.is_some_and(|x| x > 0.0));
        paying.max_by(|a, b| a.left.unwrap_or(0.0).total_cmp(&b.left.unwrap_or(0.0)))
    }
}

impl PlanWorth {
    fn new(plan: &PlanLine, found: crate::field::sample_value::SampleWorth, cost: SamplingCost) -> Self {
        let worth = found.worth.is_finite().then_some(found.worth);
        let number = plan.pans.map_or(1.0, f64::from);
        let cost = if plan.pans.is_some() { cost.pan.map(|c| c * number) } else { cost.bulk };
        PlanWorth {
            what: plan.what.clone(),
            pans: plan.pans,
            worth,
            noise: found.noise,
            worth_each: worth.map(|w| w / number),
            changes: found.changes,
            cost,
            left: worth.zip(cost).map(|(w, c)| w - c),
        }
    }
}
