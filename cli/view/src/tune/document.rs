//! `tune.json` and the tables.

use serde_json::{Value, json};
use sim_core::stats::summary::Summary;
use washgraph_model::tune::{Expectation, Observed};

use super::Tuned;
use crate::tables::{Cell, TableFile};
use washgraph_advice::next::outlook::Outlook;

/// The numbers as a document.
pub fn document(t: &Tuned<'_>, scenario: &str, log: &str) -> Value {
    let tuning = &t.tuning;
    let name = |c: usize| tuning.constants.all().get(c).map(|c| c.name.clone());
    json!({
        "command": "tune", "scenario": scenario, "log": log,
        "scenario_sha256": t.base.plant.sha256, "seed": tuning.options.seed, "trials": tuning.options.trials,
        "runs_of_each_day": tuning.options.runs, "effective_trials": tuning.effective_trials,
        "least_effective_trials": tuning.options.least_effective, "stands": tuning.stands(),
        "rounds": tuning.rounds.iter().map(|r| json!({ "trials": r.trials, "effective_trials": r.effective_trials })).collect::<Vec<_>>(),
        "observations": tuning.observations.iter().map(observation).collect::<Vec<_>>(),
        "clashes": tuning.clashes.iter().map(|c| json!({
            "observation": c.one, "taken_for_true": c.other, "chance": c.expected.chance,
        })).collect::<Vec<_>>(),
        "constants": tuning.moves.iter().map(|m| json!({
            "name": name(m.column), "before": three(&m.before), "after": three(&m.after), "shift_sd": m.shift,
            "spread_left": m.narrowing, "learned_nat": m.learned,
        })).collect::<Vec<_>>(),
        "before": outlook(&t.before), "after": outlook(&t.after), "tuned_file": t.named,
    })
}

fn three(v: &[f64; 3]) -> Value {
    json!({ "pctl_10": v[0], "pctl_50": v[1], "pctl_90": v[2] })
}

fn observation(o: &Observed) -> Value {
    let expected = |e: &Option<Expectation>, i: usize| {
        e.as_ref()
            .and_then(|e| e.parts.get(i))
            .map(|p| json!({ "pctl_10": p.low, "pctl_50": p.middle, "pctl_90": p.high }))
    };
    json!({
        "name": o.name, "date": o.date, "disagrees": o.disagrees(), "outside_the_scenario": o.unheard_of(),
        "chance_before": o.before.as_ref().map(|e| e.chance),
        "chance_by_the_rest": o.from_the_rest.as_ref().map(|e| e.chance),
        "effective_trials_of_the_rest": o.from_the_rest.as_ref().map(|e| e.effective_trials),
        "numbers": o.parts.iter().enumerate().map(|(i, p)| json!({
            "words": p.words, "unit": p.dimension.si_symbol(), "dimension": p.dimension, "seen": p.seen, "before": expected(&o.before, i),
            "by_the_rest": expected(&o.from_the_rest, i), "after": expected(&o.after, i),
        })).collect::<Vec<_>>(),
    })
}

fn outlook(o: &Outlook) -> Value {
    let result = &o.outcome;
    json!({
        "recovery": result.gold.recovery, "caught_g_per_h": result.gold.caught_g_per_h,
        "recovery_by_size": result.gold.recovery_by_size,
        "losses": result.losses.iter().map(|l| json!({
            "stage": l.stage, "reason": l.reason, "share_of_fed": l.share_of_fed,
        })).collect::<Vec<_>>(),
        "best_hole": o.best_hole(),
        "holes": o.hole_chances().iter().map(|(n, c)| json!({ "hole": n, "chance_best": c })).collect::<Vec<_>>(),
        "money_season": result.money.as_ref().map(|m| json!({
            "net": m.net_per_season, "chance_of_loss": m.chance_of_loss,
        })),
    })
}

/// The tables.
pub fn tables(t: &Tuned<'_>) -> Vec<TableFile> {
    vec![observations(t), constants(t), answers(t)]
}

fn observations(t: &Tuned<'_>) -> TableFile {
    let mut table = TableFile::new(
        "observations",
        &[
            "date",
            "observation",
            "number",
            "si_unit",
            "seen",
            "before_1_in_10_below",
            "before_middle",
            "before_1_in_10_above",
            "by_the_rest_1_in_10_below",
            "by_the_rest_middle",
            "by_the_rest_1_in_10_above",
            "after_1_in_10_below",
            "after_middle",
            "after_1_in_10_above",
            "chance_by_the_rest",
            "disagrees",
        ],
    );
    for o in &t.tuning.observations {
        for (i, p) in o.parts.iter().enumerate() {
            let mut row: Vec<Cell> = vec![
                o.date.clone().into(),
                o.name.clone().into(),
                p.words.clone().into(),
                p.dimension.si_symbol().into(),
                p.seen.into(),
            ];
            for e in [&o.before, &o.from_the_rest, &o.after] {
                let of = e.as_ref().and_then(|e| e.parts.get(i));
                row.extend([of.map(|p| p.low), of.map(|p| p.middle), of.map(|p| p.high)].map(Cell::from));
            }
            row.push(o.from_the_rest.as_ref().map(|e| e.chance).into());
            row.push((if o.disagrees() { "yes" } else { "no" }).into());
            table.row(row);
        }
    }
    table
}

fn constants(t: &Tuned<'_>) -> TableFile {
    let mut table = TableFile::new(
        "constants",
        &[
            "constant",
            "meaning",
            "si_unit",
            "before_1_in_10_below",
            "before_middle",
            "before_1_in_10_above",
            "after_1_in_10_below",
            "after_middle",
            "after_1_in_10_above",
            "shift_in_standard_deviations",
            "spread_left_share",
        ],
    );
    for m in &t.tuning.moves {
        let Some(c) = t.tuning.constants.all().get(m.column) else { continue };
        let mut row: Vec<Cell> = vec![c.name.clone().into(), c.meaning.clone().into(), c.dimension.si_symbol().into()];
        row.extend(m.before.iter().chain(&m.after).map(|x| Cell::from(*x)));
        row.extend([m.shift, m.narrowing].map(Cell::from));
        table.row(row);
    }
    table
}

fn answers(t: &Tuned<'_>) -> TableFile {
    let mut table = TableFile::new(
        "answers",
        &[
            "answer",
            "unit",
            "before_mean",
            "before_1_in_10_below",
            "before_middle",
            "before_1_in_10_above",
            "after_mean",
            "after_1_in_10_below",
            "after_middle",
            "after_1_in_10_above",
        ],
    );
    let mut row = |what: String, unit: &str, a: Option<&Summary>, b: Option<&Summary>| {
        let four = |s: Option<&Summary>| {
            [s.map(|s| s.mean), s.map(|s| s.pctl_10), s.map(|s| s.pctl_50), s.map(|s| s.pctl_90)].map(Cell::from)
        };
        let head = [Cell::from(what), Cell::from(unit)];
        table.row(head.into_iter().chain(four(a)).chain(four(b)));
    };
    let (a, b) = (&t.before.outcome, &t.after.outcome);
    row("recovery".into(), "share", Some(&a.gold.recovery), Some(&b.gold.recovery));
    row("gold caught".into(), "g_per_h", Some(&a.gold.caught_g_per_h), Some(&b.gold.caught_g_per_h));
    for loss in &b.losses {
        let before = a.losses.iter().find(|l| l.stage == loss.stage && l.reason == loss.reason);
        let name = format!("lost at {}: {}", loss.stage, loss.reason);
        row(name, "share of fed", before.map(|l| &l.share_of_fed), Some(&loss.share_of_fed));
    }
    if let (Some(x), Some(y)) = (&a.money, &b.money) {
        row("net of a season".into(), "money", Some(&x.net_per_season), Some(&y.net_per_season));
    }
    table
}
