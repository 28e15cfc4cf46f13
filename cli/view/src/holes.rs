//! What the hole sizes come to, in words.

use std::fmt::Write as _;

use serde_json::json;
use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use sim_core::math::log10;
use sim_core::quantity::{Dimension, show};
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::stats::choice::{Call, Choice};
use washgraph_advice::holes::study::HoleStudy;
use washgraph_advice::plants::contest::{Contest, currency, fine_loss, mean, oversize_loss};
use washgraph_model::paired::{DesignRun, PILOT_TRIALS};

use crate::contest::call_word;
use crate::figures::curves::{Curve, Curves, Panel, curves};
use crate::figures::{Figure, FigureError};
use crate::tables::{Cell, TableFile};
use crate::words::{chance, in_columns, money, percent, percent_of};
use crate::{contest, hole_rule};

/// The title of the figure.
pub fn headline(study: &HoleStudy<'_>) -> String {
    let Some(choice) = decisive(&study.retuned) else { return "Gold caught by the size of the holes".into() };
    let best = name(&study.retuned, choice.best);
    let of = of(&study.retuned);
    match choice.call {
        Call::Clear => format!("{best} holes bring the most {of}"),
        Call::Same | Call::TooClose => {
            let others: Vec<String> = choice.as_good.iter().map(|i| name(&study.retuned, *i)).collect();
            match (others.first(), others.last()) {
                (Some(a), Some(b)) if a != b => format!("Holes from {a} to {b} bring about the same {of}"),
                _ => format!("{best} holes bring the most {of}"),
            }
        }
    }
}

/// The choice that decides: by money where there is money, else by gold.
fn decisive(c: &Contest) -> Option<&Choice> {
    c.money.as_ref().or(c.gold.as_ref())
}

fn of(c: &Contest) -> &'static str {
    if c.money.is_some() { "money" } else { "gold" }
}

fn name(c: &Contest, i: usize) -> String {
    c.design_runs.get(i).map_or(String::new(), |a| a.name.clone())
}

/// What choosing the best would cost on average against knowing which is the best, relative.
fn cost(choice: &Choice) -> String {
    let at = |list: &[f64]| list.get(choice.best).copied().unwrap_or(f64::NAN);
    percent(at(&choice.cost_of_wrong) / at(&choice.means).abs())
}

/// Two sentences: the plate alone, and the box re-set with it.
pub fn recommendation(study: &HoleStudy<'_>) -> String {
    let sentence = |start: &str, c: &Contest| {
        let Some(choice) = decisive(c) else { return format!("{start}: no answer.") };
        let best = name(c, choice.best);
        let what = of(c);
        let trials = c.trials();
        let second = choice.runner_up.map(|r| name(c, r)).unwrap_or_default();
        let Some(lead) = &choice.lead else { return format!("{start}: {best} is the only size.") };
        let behind = percent_of(lead.mean_gap, choice.means.get(choice.best).copied().unwrap_or(f64::NAN));
        let behind = behind.trim_start_matches(['+', '-']);
        let behind = if behind == "0.0 %" { "under 0.1 %" } else { behind };
        match choice.call {
            Call::Clear => format!(
                "{start}, cut {best}: most {what} in {} of runs; the runner-up {second} brings {behind} less.",
                chance(choice.chance_best.get(choice.best).copied().unwrap_or(f64::NAN), trials)
            ),
            Call::Same => format!(
                "{start}, {best} brings the most {what}, but the runner-up {second} comes within {behind}: take what is easier to get."
            ),
            Call::TooClose => format!(
                "{start}, too close to call on this sampling: {best} leads on average, {second} is {behind} behind and the better one in {} of runs; \
                 cutting {best} costs {} on average against knowing better.",
                chance(1.0 - lead.chance_a, trials),
                cost(choice)
            ),
        }
    };
    format!(
        "{} {}",
        sentence("With the plate alone changed", &study.as_built),
        sentence("With the box re-set to suit", &study.retuned)
    )
}

/// The whole answer.
pub fn text(study: &HoleStudy<'_>) -> String {
    let plant = &study.base.plant;
    let units = plant.units;
    let mut t = format!("{}\n", plant.title);
    let shape = study.shape_in_force().map_or(String::new(), |shape| format!(" ({shape})"));
    let _ = writeln!(
        t,
        "Holes of {}{shape}; present hole {}, which catches {:.2} g of raw gold an hour averaged over a season.",
        study.screen(),
        show(study.present_m, Dimension::Length, units),
        mean(&study.present.steady) * G_H_PER_KG_S
    );
    let _ = writeln!(t, "\n{}", recommendation(study));
    for (title, c) in [
        ("Plate alone changed, all else as built", &study.as_built),
        ("Box re-tuned to the bigger or smaller rock", &study.retuned),
    ] {
        let _ = writeln!(t, "\n{title}:");
        t.push_str(&table(study, c));
    }
    let _ = writeln!(
        t,
        "\nover end: gold that leaves over the end of the drum; fine lost: gold under 0.3 mm lost in the box (shares of all gold fed);\n\
         cost of wrong: what that choice costs on average against knowing the best in each case."
    );
    let _ = writeln!(t, "\nThe re-tuned box:");
    for (name, b) in study.names.iter().zip(&study.boxes) {
        let _ = writeln!(
            t,
            "  {name}: {}; {} of its own water wanted",
            b.words.join("; "),
            show(b.box_water_m3_s, Dimension::Flow, units)
        );
    }
    if let Some(rule) = &study.rule {
        let _ = writeln!(t, "\n{}", hole_rule::words(rule, units));
    }
    let early = match study.as_built.stopped() + study.retuned.stopped() {
        0 => String::new(),
        n => format!(
            " ({n} of {} stopped after {PILOT_TRIALS}: too far behind to lead, by gold or by money)",
            study.as_built.design_runs.len() + study.retuned.design_runs.len()
        ),
    };
    let _ = writeln!(
        t,
        "\n{} common trials a plate and setting{early}; the pitch keeps its ratio to the hole. A planning estimate on assumed constants.",
        study.as_built.trials()
    );
    t
}

fn table(study: &HoleStudy<'_>, c: &Contest) -> String {
    let units = study.base.plant.units;
    let mut head =
        vec!["hole", "gold g/h", "best in", "cost of wrong", "over end", "fine lost", "to the box", "water need"];
    if c.money.is_some() {
        head.extend(["season's money", "best in"]);
    }
    let mut rows = vec![head.into_iter().map(String::from).collect::<Vec<_>>()];
    for (i, design_run) in c.design_runs.iter().enumerate() {
        let gold = c.gold.as_ref();
        let at = |list: Option<&Vec<f64>>| list.and_then(|l| l.get(i)).copied().unwrap_or(f64::NAN);
        let mut row = vec![
            design_run.name.clone(),
            format!("{:.3}", c.gold_g_h(i).mean),
            chance(at(gold.map(|g| &g.chance_best)), design_run.trials()),
            format!("{:.3} g/h", at(gold.map(|g| &g.cost_of_wrong)) * G_H_PER_KG_S),
            percent(oversize_loss(design_run)),
            percent(fine_loss(design_run)),
            show(study.box_load_kg_s(design_run), Dimension::MassRate, units),
            show(mean(&design_run.need), Dimension::Flow, units),
        ];
        if let (Some(choice), Some(season)) = (&c.money, c.season_money(i)) {
            row.push(money(season.mean, &c.currency));
            row.push(chance(choice.chance_best.get(i).copied().unwrap_or(f64::NAN), design_run.trials()));
        }
        rows.push(row);
    }
    let table = in_columns(&rows);
    // Remarks stand behind the line of their plant.
    let remarks = std::iter::once(String::new()).chain(c.design_runs.iter().map(|design_run| {
        let short = if design_run.short_share > 0.5 { "  short of water" } else { "" };
        let limit = design_run.limits.iter().find(|l| l.2 > 0.5).map_or(String::new(), |l| format!("  limit: {}", l.1));
        format!("{short}{limit}")
    }));
    table.lines().zip(remarks).map(|(line, remark)| format!("{line}{remark}\n")).collect()
}

/// The numbers as a document.
pub fn document(study: &HoleStudy<'_>, scenario: &str, seed: u64, trials: u64) -> serde_json::Value {
    let best = |c: &Contest| {
        let name = |i: usize| c.design_runs.get(i).map(|a| a.name.clone());
        json!({
            "by_gold": c.gold.as_ref().map(|g| json!({
                "best": name(g.best), "runner_up": g.runner_up.and_then(name), "call": call_word(g.call),
                "as_good": g.as_good.iter().filter_map(|i| name(*i)).collect::<Vec<_>>(),
            })),
            "by_money": c.money.as_ref().map(|g| json!({
                "best": name(g.best), "runner_up": g.runner_up.and_then(name), "call": call_word(g.call),
                "as_good": g.as_good.iter().filter_map(|i| name(*i)).collect::<Vec<_>>(),
            })),
            "plants": contest::document(c, "hole"),
        })
    };
    json!({
        "command": "holes", "scenario": scenario, "seed": seed, "trials": trials,
        "screen": study.screen(), "shape": study.shape, "present_hole_m": study.present_m, "holes_m": study.holes_m,
        "present_gold_g_per_h": mean(&study.present.steady) * G_H_PER_KG_S,
        "as_built": best(&study.as_built), "re_tuned": best(&study.retuned),
        "boxes": study.boxes.iter().map(|b| json!({
            "words": b.words, "box_water_m3_h": b.box_water_m3_s * S_PER_H,
            "changes": b.changes.iter().map(|(p, v)| json!({ "path": p.text(), "value": v })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "recommendation": recommendation(study),
        "trade_rule": study.rule.as_ref().map(hole_rule::document),
    })
}

/// Tables for the files.
pub fn tables(study: &HoleStudy<'_>) -> Vec<TableFile> {
    let mut boxes = TableFile::new("boxes-re-tuned", &["hole", "box_water_m3_per_h", "box", "setting", "value"]);
    for (name, b) in study.names.iter().zip(&study.boxes) {
        for (path, value) in &b.changes {
            boxes.row([
                name.clone().into(),
                (b.box_water_m3_s * S_PER_H).into(),
                b.words.join("; ").into(),
                path.text().into(),
                value.clone().into(),
            ]);
        }
    }
    let mut list = vec![
        contest::table(&study.as_built, "as-built", "hole"),
        contest::table(&study.retuned, "re-tuned", "hole"),
        by_size("gold-by-size-as-built", &study.as_built),
        by_size("gold-by-size-re-tuned", &study.retuned),
        losses("losses-as-built", &study.as_built),
        losses("losses-re-tuned", &study.retuned),
        boxes,
    ];
    list.extend(study.rule.as_ref().map(hole_rule::table));
    list
}

/// Gold caught an hour by its size, a column for each hole.
fn by_size(name: &str, c: &Contest) -> TableFile {
    let mut columns = vec!["from_mm".to_string(), "to_mm".into(), "fed_g_per_h".into()];
    columns.extend(c.design_runs.iter().map(|a| format!("caught at {}, g_per_h", a.name)));
    let mut table = TableFile { name: name.into(), columns, rows: Vec::new() };
    let fed = |g: usize| c.design_runs.first().map_or(0.0, |a| a.fed_by_class[g] / a.trials() as f64);
    for g in (0..GOLD_CLASSES).filter(|g| fed(*g) > 0.0) {
        let class = gold_class(g);
        let mut row: Vec<Cell> =
            vec![(class.from_m * 1e3).into(), (class.to_m * 1e3).into(), (fed(g) * G_H_PER_KG_S).into()];
        row.extend(c.design_runs.iter().map(|a| Cell::from(a.caught_by_class[g] / a.trials() as f64 * G_H_PER_KG_S)));
        table.row(row);
    }
    table
}

/// Shares of the gold fed by stage and reason, a column for each hole.
fn losses(name: &str, c: &Contest) -> TableFile {
    let mut columns = vec!["stage".to_string(), "reason".into()];
    columns.extend(c.design_runs.iter().map(|a| format!("share of fed at {}", a.name)));
    let mut table = TableFile { name: name.into(), columns, rows: Vec::new() };
    let Some(first) = c.design_runs.first() else { return table };
    for note in &first.notes {
        let share = |a: &DesignRun| a.lost_share(|n| n == note, |_| true);
        if c.design_runs.iter().any(|a| share(a) > 1e-9) {
            let mut row: Vec<Cell> = vec![note.stage.clone().into(), note.reason.name.into()];
            row.extend(c.design_runs.iter().map(|a| Cell::from(share(a))));
            table.row(row);
        }
    }
    table
}

/// The figure.
pub fn figures(study: &HoleStudy<'_>) -> Result<Vec<Figure>, FigureError> {
    let gold = |c: &Contest, name: &str| {
        let s: Vec<_> = (0..c.design_runs.len()).map(|i| c.gold_g_h(i)).collect();
        curve(name, &s)
    };
    let pair = |name: String, a: Curve, b: Curve| Panel { name, curves: vec![a, b] };
    let against = |c: &Contest, name: &str, money: bool| curve(name, &c.against(&study.present, money));
    let mut panels = vec![
        pair("Raw gold caught, g/h".into(), gold(&study.retuned, "box re-tuned"), gold(&study.as_built, "as built")),
        pair(
            "More (or less) than the present plant, g/h".into(),
            against(&study.retuned, "box re-tuned", false),
            against(&study.as_built, "as built", false),
        ),
    ];
    let chance = |c: &Contest| c.gold.as_ref().map_or_else(Vec::new, |g| g.chance_best.clone());
    let mut chances =
        vec![("re-tuned".to_string(), chance(&study.retuned)), ("as built".to_string(), chance(&study.as_built))];
    if let (Some(a), Some(b)) = (&study.retuned.money, &study.as_built.money) {
        panels.push(pair(
            format!("More (or less) money a season, {}", currency(&study.base.plant)),
            against(&study.retuned, "box re-tuned", true),
            against(&study.as_built, "as built", true),
        ));
        chances = vec![
            ("re-tuned, by money".to_string(), a.chance_best.clone()),
            ("as built, by money".to_string(), b.chance_best.clone()),
        ];
    }
    let x: Vec<f64> = study.holes_m.iter().map(|m| log10(*m)).collect();
    let inside = study.holes_m.first() <= Some(&study.present_m) && Some(&study.present_m) <= study.holes_m.last();
    let figure = curves(&Curves {
        file: "holes",
        title: headline(study),
        axis: format!("Hole of {} (dotted: present plant)", study.screen()),
        x,
        names: study.names.clone(),
        panels,
        chances,
        present: inside.then(|| log10(study.present_m)),
    })?;
    Ok(vec![figure])
}

fn curve(name: &str, s: &[sim_core::stats::summary::Summary]) -> Curve {
    Curve {
        name: name.into(),
        mean: s.iter().map(|s| s.mean).collect(),
        low: s.iter().map(|s| s.pctl_10).collect(),
        high: s.iter().map(|s| s.pctl_90).collect(),
    }
}
