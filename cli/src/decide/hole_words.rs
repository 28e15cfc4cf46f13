//! What the hole sizes come to, in words.

use std::fmt::Write as _;

use sim_core::constants::G_H_PER_KG_S;
use sim_core::quantity::{Dimension, show};
use sim_core::stats::choice::{Call, Choice};
use washgraph_model::paired::HEAT_TRIALS;

use super::contest::{Contest, fine_loss, mean, oversize_loss};
use super::holes::HoleStudy;
use super::words::{chance, in_columns, money, percent, percent_of};

/// The title of the figure.
pub(crate) fn headline(study: &HoleStudy<'_>) -> String {
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
    c.arms.get(i).map_or(String::new(), |a| a.name.clone())
}

/// What choosing the best would cost on average against knowing which is the best, relative.
fn cost(choice: &Choice) -> String {
    let at = |list: &[f64]| list.get(choice.best).copied().unwrap_or(f64::NAN);
    percent(at(&choice.cost_of_wrong) / at(&choice.means).abs())
}

/// Two sentences: the plate alone, and the box re-set with it.
pub(crate) fn recommendation(study: &HoleStudy<'_>) -> String {
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
pub(crate) fn text(study: &HoleStudy<'_>) -> String {
    let plant = &study.base.plant;
    let units = plant.units;
    let mut t = format!("{}\n", plant.title);
    let shape = study.shape.as_deref().or(study.base.in_force(&format!("{}.shape", study.screen))).unwrap_or("round");
    let _ = writeln!(
        t,
        "Holes of {} ({shape}); present hole {}, which catches {:.2} g of raw gold an hour averaged over a season.",
        study.screen,
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
        let _ = writeln!(t, "\n{}", rule.words(units));
    }
    let early = match study.as_built.stopped() + study.retuned.stopped() {
        0 => String::new(),
        n => format!(
            " ({n} of {} stopped after {HEAT_TRIALS}: too far behind to lead, by gold or by money)",
            study.as_built.arms.len() + study.retuned.arms.len()
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
    for (i, arm) in c.arms.iter().enumerate() {
        let gold = c.gold.as_ref();
        let at = |list: Option<&Vec<f64>>| list.and_then(|l| l.get(i)).copied().unwrap_or(f64::NAN);
        let mut row = vec![
            arm.name.clone(),
            format!("{:.3}", c.gold_g_h(i).mean),
            chance(at(gold.map(|g| &g.chance_best)), arm.trials()),
            format!("{:.3} g/h", at(gold.map(|g| &g.cost_of_wrong)) * G_H_PER_KG_S),
            percent(oversize_loss(arm)),
            percent(fine_loss(arm)),
            show(study.box_load_kg_s(arm), Dimension::MassRate, units),
            show(mean(&arm.need), Dimension::Flow, units),
        ];
        if let (Some(choice), Some(season)) = (&c.money, c.season_money(i)) {
            row.push(money(season.mean, &c.currency));
            row.push(chance(choice.chance_best.get(i).copied().unwrap_or(f64::NAN), arm.trials()));
        }
        rows.push(row);
    }
    let table = in_columns(&rows);
    // Remarks stand behind the line of their plant.
    let remarks = std::iter::once(String::new()).chain(c.arms.iter().map(|arm| {
        let short = if arm.short_share > 0.5 { "  short of water" } else { "" };
        let limit = arm.limits.iter().find(|l| l.2 > 0.5).map_or(String::new(), |l| format!("  limit: {}", l.1));
        format!("{short}{limit}")
    }));
    table.lines().zip(remarks).map(|(line, remark)| format!("{line}{remark}\n")).collect()
}
