//! Sections whose words come from the result.

use maud::{Markup, html as markup};
use sim_core::plant::Understood;
use sim_core::quantity::{Dimension, UnitChoice, show_both};
use sim_core::result::{Outcome, Summary};

use super::page::table;
use crate::figures::Table;
use crate::figures::words::{capital, percent, spread, three};

const S_PER_H: f64 = 3600.0;

const LOW: &str = "1 run in 10 falls below";
const HIGH: &str = "1 run in 10 is above";

pub(super) fn grid(headers: &[&str], rows: Vec<Vec<String>>) -> Markup {
    table(&Table { headers: headers.iter().map(|h| (*h).to_string()).collect(), rows })
}

fn low_mean_high(s: &Summary, show: impl Fn(f64) -> String) -> [String; 3] {
    [show(s.mean), show(s.pctl_10), show(s.pctl_90)]
}

/// A flow of water in m3/h, in the user's units.
fn flow(m3_h: f64, units: UnitChoice) -> String {
    show_both(m3_h / S_PER_H, Dimension::Flow, units)
}

pub(crate) fn gold(outcome: &Outcome, units: UnitChoice) -> Markup {
    let g = &outcome.gold;
    let row = |name: &str, s: &Summary, show: &dyn Fn(f64) -> String| {
        let [mean, low, high] = low_mean_high(s, show);
        vec![name.to_string(), mean, low, high]
    };
    let grams = |v: f64| format!("{} g/h", three(v));
    let feed = |v: f64| show_both(v / S_PER_H, Dimension::GravelRate, units);
    let rows = vec![
        row("Gravel fed, loose volume", &outcome.plant.feed_loose_m3_h, &feed),
        row("Raw gold in a loose cubic metre", &g.grade_mg_per_m3_loose, &|v| format!("{} mg/m3", three(v))),
        row("Raw gold fed", &g.fed_g_per_h, &grams),
        row("Raw gold caught", &g.caught_g_per_h, &grams),
        row("Fine gold caught", &scaled(&g.caught_g_per_h, g.fineness), &grams),
        row("Share caught", &g.recovery, &percent),
    ];
    markup! {
        p { "Of all gold fed, " strong { (percent(g.recovery.mean)) } " is caught; " (spread(&g.recovery)) ". Raw gold is what lies in the box; fine gold is the pure metal in it (" (three(1000.0 * g.fineness)) " parts in 1000)." }
        (grid(&["", "Mean", LOW, HIGH], rows))
    }
}

fn scaled(s: &Summary, by: f64) -> Summary {
    Summary { mean: s.mean * by, pctl_10: s.pctl_10 * by, pctl_50: s.pctl_50 * by, pctl_90: s.pctl_90 * by }
}

pub(crate) fn losses(outcome: &Outcome) -> Markup {
    let rows: Vec<Vec<String>> = outcome
        .losses
        .iter()
        .map(|l| {
            let [mean, low, high] = low_mean_high(&l.share_of_fed, percent);
            vec![l.stage.clone(), capital(&l.words), mean, low, high]
        })
        .collect();
    markup! {
        @if rows.is_empty() { p { "No gold is lost." } } @else { (grid(&["Where", "What happens to it", "Share of all gold fed", LOW, HIGH], rows)) }
    }
}

pub(crate) fn gravel(outcome: &Outcome, units: UnitChoice) -> Markup {
    let rows = outcome.gradations.iter().map(|g| {
        vec![g.stream.clone(), show_both(g.rock_t_h / 3.6, Dimension::MassRate, units), percent(g.gold_share)]
    });
    markup! {
        p { "Gravel fed: " (show_both(outcome.plant.feed_loose_m3_h.mean / S_PER_H, Dimension::GravelRate, units)) ", loose volume. Rock is counted dry." }
        (grid(&["Stream", "Rock, dry", "Gold in it, share of gold fed"], rows.collect()))
        p.quiet { "The way of the gravel: " (outcome.plant.wires.join("; ")) "." }
    }
}

pub(crate) fn measures(outcome: &Outcome, units: UnitChoice) -> Markup {
    let rows: Vec<Vec<String>> = outcome
        .measures
        .iter()
        .map(|m| {
            let dimension = dimension_of(&m.unit);
            let show = |v: f64| match dimension {
                Some(d) => show_both(v, d, units),
                None if m.unit == "-" => three(v),
                None => format!("{} {}", three(v), m.unit),
            };
            let [mean, low, high] = low_mean_high(&m.value, show);
            vec![m.stage.clone(), m.words.clone(), mean, low, high]
        })
        .collect();
    markup! { @if !rows.is_empty() { (grid(&["Stage", "What", "Mean", LOW, HIGH], rows)) } }
}

/// Kind of quantity of a unit that only one kind uses.
fn dimension_of(unit: &str) -> Option<Dimension> {
    match unit {
        "m" => Some(Dimension::Length),
        "m3/s" => Some(Dimension::Flow),
        "m/s" => Some(Dimension::Velocity),
        "m3" => Some(Dimension::Volume),
        "s" => Some(Dimension::Time),
        "kg/m3" => Some(Dimension::Density),
        "W" => Some(Dimension::Power),
        "kg" => Some(Dimension::Mass),
        "kg/s" => Some(Dimension::MassRate),
        "1/s" => None,
        _ => None,
    }
}

pub(crate) fn water(outcome: &Outcome, units: UnitChoice) -> Markup {
    let w = &outcome.water;
    let show = |v: f64| flow(v, units);
    let row = |name: String, s: &Summary| {
        let [mean, low, high] = low_mean_high(s, show);
        vec![name, mean, low, high]
    };
    let mut rows = vec![row("Supplied".into(), &w.supply_m3_h)];
    for (name, need) in &w.need_m3_h {
        rows.push(row(format!("Needed: {}", name.replace('_', " ")), need));
        rows.extend(w.at_hand_m3_h.get(name).map(|s| row(format!("At hand for it: {}", name.replace('_', " ")), s)));
    }
    if w.short_share > 0.0 {
        rows.push(row("Missing for the need that is shortest".into(), &w.shortfall_m3_h));
    }
    rows.extend(w.makeup_m3_h.iter().map(|s| row("Fresh water beside the pond".into(), s)));
    let rules = w
        .rules
        .iter()
        .map(|r| {
            vec![
                r.need.replace('_', " "),
                r.stage.clone(),
                r.words.clone(),
                show(r.asks_m3_h.mean),
                format!("{} of the runs", percent(r.sets_share)),
            ]
        })
        .collect();
    let branches = w.branches.iter().map(|b| {
        let kpa = |v: f64| show_both(v * 1e3, Dimension::Pressure, units);
        vec![
            b.name.clone(),
            b.on.clone(),
            show(b.flow_m3_h.mean),
            kpa(b.pressure_kpa.mean),
            kpa(b.pressure_kpa.pctl_10),
        ]
    });
    markup! {
        @if let Some(binding) = &w.binding {
            p { "The tightest need is: " strong { (binding.replace('_', " ")) } ". Water is short for at least one need in " strong { (percent(w.short_share)) } " of the runs." }
        } @else {
            p { "No stage says how much water it needs." }
        }
        (grid(&["", "Mean", LOW, HIGH], rows))
        @if !w.rules.is_empty() {
            h3 { "What sets the needs" }
            (grid(&["Need", "Stage", "Rule", "Asks for, mean", "Sets the need in"], rules))
        }
        @if !w.branches.is_empty() {
            h3 { "Outlets" }
            (grid(&["Outlet", "On", "Flow, mean", "Pressure ahead of the holes, mean", LOW], branches.collect()))
        }
    }
}

/// What to know of the pond before reading its figure; nothing without one.
pub(super) fn pond(outcome: &Outcome) -> Markup {
    let Some(circuit) = &outcome.water.circuit else { return markup! {} };
    markup! {
        h3 { "The pond" }
        @if circuit.unclosed_share > 0.0 {
            p { strong { "In " (percent(circuit.unclosed_share)) " of the runs the water never clears: " } "the fines come in faster than they settle or leave, and the water thickens to a paste. Those runs are counted with water as thick as the law of mud goes, so the gold caught in them means little." }
        }
        p { "The gold is worked out with the water as dirty as it gets in the end. It acts on the sluice through its density and thickness; silt packed into riffles, clay that balls up and plugged spray holes are not in it." }
        p { "Settleable solids are an example of what a discharge is measured by: 40 CFR 440.142 allows US placer mines 0.2 mL/L at any moment. What holds for your pond, your own authority decides. A bank or dam that gives way endangers everyone below: have it laid out and checked by a licensed engineer." }
    }
}

pub(super) fn inputs(understood: &[Understood]) -> Markup {
    markup! {
        p { "Given stands in the scenario. Assumed was not said there: the program took its usual value, which you should check against your own plant and ground." }
        @for u in understood {
            h3 { (u.owner) @if !u.kind.is_empty() && u.kind != u.owner { " (" (u.kind) ")" } }
            (grid(&["What", "Value", "Where from"], u.rows.iter().map(|(what, value, given)| {
                vec![what.clone(), value.clone(), if *given { "given" } else { "assumed" }.to_string()]
            }).collect()))
        }
    }
}

pub(crate) fn warnings(outcome: &Outcome) -> Markup {
    markup! {
        @if outcome.warnings.is_empty() {
            p { "None: every model was used within the range that it was made for, in at least 19 runs of 20." }
        } @else {
            ul { @for w in &outcome.warnings {
                li { strong { (capital(&w.severity)) } ", " (w.stage) ": " (w.text) " (in " (percent(w.share_of_trials)) " of the runs)" }
            } }
        }
    }
}

pub(super) fn provenance(outcome: &Outcome) -> Markup {
    let p = &outcome.provenance;
    let b = &outcome.balance;
    markup! {
        p { (p.tool) " " (p.version) ", seed " (p.seed) ", " (p.trials) " runs, random layout " (p.rng_layout) ", layout of results " (outcome.schema_version) ". The same scenario, seed and version give the same numbers." }
        p { "Models: " (p.models.join(", ")) "." }
        @if let Some(tuned) = &p.tuned { p { (tuned.words()) } }
        p { "Books: in each run, gold, rock and water in equal what comes out; worst miss " (format!("{:.0e}", b.gold_rel)) ", " (format!("{:.0e}", b.solids_rel)) " and " (format!("{:.0e}", b.water_rel)) " of what was fed. The mean of the gold caught is known to " (three(outcome.gold.caught_standard_error_g_per_h)) " g/h (one standard error of the calculation, not of the ground)." }
        p { "Scenario and its files (SHA-256):" br; span.hash { (p.scenario_sha256) } }
    }
}
