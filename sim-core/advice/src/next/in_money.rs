//! The plant and the money of the scenario, run on the ground that the samples leave possible.

use std::sync::atomic::AtomicU64;

use sim_core::field::sample_value::FEWEST_TRIALS;
use sim_core::money::plan::{MoneyPlan, SamplingCost};
use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, parse};
use sim_core::samples::money::{Choices, SampleMoney};
use sim_core::samples::summary::SamplesSummary;

use crate::holes::study::plates_to_choose_from;
use crate::plants::base::Base;
use crate::plants::contest::{designs_beside, named};

/// What is asked of the money of samples.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// Trials of each plant; `None` as the scenario says, at least as many as a value takes.
    pub trials: Option<u64>,
    /// Seed; `None` as the scenario says.
    pub seed: Option<u64>,
    /// Seasons over which a choice counts.
    pub seasons: u32,
    /// What a pan costs, as typed; `None` as the scenario says.
    pub pan_cost: Option<String>,
    /// What a bulk sample costs, likewise.
    pub bulk_cost: Option<String>,
}

/// Adds to a summary what the samples mean in money; nothing for a scenario without money. An error is what was typed
/// wrong, in words.
pub fn add_money(summary: &mut SamplesSummary, base: &Base<'_>, args: &Asked, done: &AtomicU64) -> Result<(), String> {
    let Some(plan) = &base.plant.money else { return Ok(()) };
    let cost = cost_of(plan, args)?;
    let trials = args.trials.unwrap_or(base.plant.trials.max(FEWEST_TRIALS as u64));
    let seed = args.seed.unwrap_or(base.plant.seed);
    let plants = if summary.plans.is_empty() { Vec::new() } else { designs(base) };
    let (present, design_runs) = designs_beside(&base.plant, &named(&plants), seed, trials as usize, done);
    let designs: Vec<_> =
        design_runs.into_iter().map(|design_run| (design_run.name, design_run.season_after_all)).collect();
    let break_even = present.break_even_kg_m3 * 1e6;
    summary.break_even_mg_per_m3_bank = break_even.is_finite().then_some(break_even);
    summary.money = SampleMoney::new(
        &base.plant.ground,
        &summary.plans,
        &Choices {
            designs: &designs,
            inputs: &base.plant.inputs,
            seed,
            currency: &plan.currency,
            seasons: f64::from(args.seasons),
            cost,
            with_plant: plan.build.seasons > 0,
        },
    );
    Ok(())
}

/// Plates to choose from; the present plant where it has no screen.
fn designs(base: &Base<'_>) -> Vec<(String, Plant)> {
    let as_it_is = || base.variant(&[]).map(|plant| vec![("the present plant".to_string(), plant)]);
    plates_to_choose_from(base).unwrap_or_else(|| as_it_is().unwrap_or_default())
}

/// What samples cost: as typed with the command, or else as the scenario says.
fn cost_of(plan: &MoneyPlan, args: &Asked) -> Result<SamplingCost, String> {
    let of = |option: &str, typed: &Option<String>, otherwise: Option<f64>| match typed {
        None => Ok(otherwise),
        Some(text) => money_of(option, text, &plan.currency).map(Some),
    };
    Ok(SamplingCost {
        pan: of("--pan-cost", &args.pan_cost, plan.sampling.pan)?,
        bulk: of("--bulk-cost", &args.bulk_cost, plan.sampling.bulk)?,
    })
}

fn money_of(option: &str, text: &str, currency: &str) -> Result<f64, String> {
    let read = parse(text, Dimension::Money).map_err(|e| format!("{option}: {}\n  {}", e.message, e.help))?;
    if !(read.si >= 0.0 && read.si.is_finite()) {
        return Err(format!("{option}: `{text}` is no cost of a sample\n  write e.g. \"{currency} 25\""));
    }
    let is_dollar = |c: &str| c == "$" || c.ends_with('D');
    match read.currency {
        Some(typed)
            if typed != currency && !((typed == "$" || currency == "$") && is_dollar(typed) && is_dollar(currency)) =>
        {
            Err(format!(
                "{option}: an amount in {typed}, but the money of this scenario is {currency}\n  write it in {currency}"
            ))
        }
        _ => Ok(read.si),
    }
}
