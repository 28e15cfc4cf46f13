//! The water of a run in words: what each part needs and gets, what is missing, and what would help.

use sim_core::constants::S_PER_H;
use std::fmt::Write as _;

use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stats::summary::Summary;
use sim_core::stock::{Item, Stock};
use washgraph_advice::water::{DutyToBuy, Remedy, RemedyOutcome, WaterStudy, plan, remedies};
use washgraph_model::result::RunResult;

use crate::numbers::runs;

/// Short of water in more than this share of the runs is a limit missed.
pub const SHORT: f64 = 0.5;
/// Short in more than this share is tight.
pub const TIGHT: f64 = 0.1;
/// Trials over which remedies are tried.
const STUDY_TRIALS: usize = 200;
/// Remedies shown.
const SHOWN: usize = 5;

fn flow(s: &Summary, units: UnitChoice) -> String {
    show(s.pctl_50 / S_PER_H, Dimension::Flow, units)
}

/// Supply, needs and what reaches them, with the judgement.
pub fn water_lines(outcome: &RunResult, units: UnitChoice) -> String {
    let water = &outcome.water;
    let mut t = format!("Water: {} supplied in the middle run. Needed and at hand:\n", flow(&water.supply_m3_h, units));
    for (name, need) in &water.need_m3_h {
        let at_hand = water.at_hand_m3_h.get(name).map_or(String::new(), |h| flow(h, units));
        let rule = water
            .rules
            .iter()
            .filter(|r| r.need == *name)
            .max_by(|a, b| a.sets_share.total_cmp(&b.sets_share))
            .map_or(String::new(), |r| format!("  set by: {}", r.words));
        let mark = if water.binding.as_ref() == Some(name) { "  (the tightest)" } else { "" };
        let _ = writeln!(t, "  {name:<8} {:>14} needed, {at_hand:>14} at hand{rule}{mark}", flow(need, units));
    }
    let share = runs(water.short_share);
    if water.short_share > SHORT {
        let worst = show(water.shortfall_m3_h.pctl_90 / S_PER_H, Dimension::Flow, units);
        let _ = writeln!(
            t,
            "SHORT OF WATER in {share}: {} missing in the middle run, more than {worst} in 1 run of 10.",
            flow(&water.shortfall_m3_h, units)
        );
    } else if water.short_share > TIGHT {
        let _ = writeln!(t, "Water is tight: short in {share}.");
    } else {
        let _ = writeln!(t, "Enough: short in {share}.");
    }
    t
}

/// What would bring enough water, cheapest effort first, by solving the network anew; empty when the plant has no pump.
pub fn remedy_lines(plant: &Plant, seed: u64) -> String {
    let mut t = String::new();
    for line in 0..plant.lines.len() {
        let Some(study) = WaterStudy::new(plant, line, seed, STUDY_TRIALS) else { continue };
        t += &study_lines(&study, plant.units);
        let _ = writeln!(t, "{}", duty_words(study.duty_to_buy(), plant.units));
    }
    if !t.is_empty() {
        t += "Stop and lock out the pump before you work on it, its hoses or the bars. Taking more water needs the licence for it.\n";
    }
    t
}

/// What would bring enough water to one pump's line.
pub fn study_lines(study: &WaterStudy, units: UnitChoice) -> String {
    let mut t = String::new();
    let list = remedies(study);
    let enough: Vec<&RemedyOutcome> = list.iter().filter(|r| r.meets).take(SHOWN).collect();
    let pump = &study.middle.case.pump;
    if !enough.is_empty() {
        let _ = writeln!(t, "What would do, least effort first (the network of `{pump}` solved anew):");
        for remedy in enough {
            let _ = writeln!(t, "  {}", remedy_words(remedy, study, units));
        }
        return t;
    }
    let steps = plan(study);
    let _ = match steps.last() {
        Some(last) if last.meets => {
            writeln!(t, "No single change is enough at `{pump}`; one after the other these are:")
        }
        Some(_) => writeln!(t, "No change is enough at `{pump}`; one after the other these help most:"),
        None => writeln!(t, "No change of hoses, holes or pump brings more water where it is missing."),
    };
    for (i, remedy) in steps.iter().enumerate() {
        let _ = writeln!(t, "  {}. {}", i + 1, remedy_words(remedy, study, units));
    }
    t
}

/// Head beyond which no usual single-stage pump of a wash plant goes, m. Common practice, no source.
const USUAL_HEAD_M: f64 = 70.0;

/// The duty to buy.
pub fn duty_words(duty: Option<DutyToBuy>, units: UnitChoice) -> String {
    let Some(duty) = duty else {
        return "No pump alone brings enough water through these hoses and holes in 9 runs of 10.".into();
    };
    let (flow, head) = (show(duty.flow_m3_s, Dimension::Flow, units), show(duty.head_m, Dimension::Head, units));
    if duty.head_m > USUAL_HEAD_M {
        return format!(
            "Through the hoses and holes as they are it would take {flow} at {head} of head, which no usual pump gives: open up hoses and holes first."
        );
    }
    format!(
        "Pump duty to buy, with hoses and holes as they are: {flow} at {head} of head meets the need in 9 runs of 10."
    )
}

/// A remedy and what it comes to.
pub fn remedy_words(outcome: &RemedyOutcome, study: &WaterStudy, units: UnitChoice) -> String {
    let case = &study.middle.case;
    let name = |j: usize| case.branches.get(j).map_or("?", |b| b.id.as_str());
    let length = |m: f64| show(m, Dimension::Length, units);
    let stocked = |item: Item, m: f64| Stock::of(item, study.units).say(m);
    let holes = |j: usize| case.branches.get(j).map_or(f64::NAN, |b| b.facts.holes);
    let size = |j: usize| length(case.branches.get(j).map_or(f64::NAN, |b| b.facts.hole_m));
    let what = match outcome.remedy {
        Remedy::FasterEngine(s) => {
            format!(
                "run the engine {:.0} % faster (power grows by {:.0} %)",
                100.0 * (s - 1.0),
                100.0 * (s * s * s - 1.0)
            )
        }
        Remedy::CloseBranch(j) => format!("close {}", name(j)),
        Remedy::ThrottleBranch(j, k) => format!("throttle {} with a gate valve (loss coefficient {k})", name(j)),
        Remedy::FewerHoles(j, n) => format!("plug holes of {}: {n:.0} instead of {:.0}", name(j), holes(j)),
        Remedy::MoreHoles(j, n) => format!("more holes in {}: {n:.0} instead of {:.0}", name(j), holes(j)),
        Remedy::SmallerHoles(j, d) | Remedy::LargerHoles(j, d) => {
            format!("holes of {} in {} instead of {}", stocked(Item::Drill, d), name(j), size(j))
        }
        Remedy::WiderSuction(d) => format!("suction hose of {}", stocked(Item::HoseBore, d)),
        Remedy::WiderDelivery(d) => format!("delivery hose of {}", stocked(Item::HoseBore, d)),
        Remedy::WiderHose(j, d) => format!("hose of {} to {}", stocked(Item::HoseBore, d), name(j)),
        Remedy::WiderPump(f) => format!("a pump with {:.0} % more flow at the same head", 100.0 * (f - 1.0)),
        Remedy::BiggerPump(f) => format!("a pump with {:.0} % more flow and head", 100.0 * (f - 1.0)),
    };
    let standing = &outcome.standing;
    let effect = if outcome.meets {
        format!("short in {}", runs(standing.short_share))
    } else {
        format!("still short of {} in 1 run of 10", show(standing.shortfall_m3_s, Dimension::Flow, units))
    };
    format!(
        "{what}: {effect}, {} through the pump ({})",
        show(standing.pump_flow_m3_s, Dimension::Flow, units),
        outcome.remedy.effort().words()
    )
}
