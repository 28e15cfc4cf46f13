//! Sections whose numbers come from the result: each table is a [`Grid`], for the page and for files.

use maud::{Markup, html as markup};
use sim_core::constants::S_PER_H;
use sim_core::quantity::{Dimension, UnitChoice, show_both};
use sim_core::stats::summary::Summary;
use sim_core::trial::MOST_RESIDUAL;
use washgraph_model::result::RunResult;

use crate::numbers::spread as spread_words;
use crate::numbers::{capital, percent, runs, three};
use crate::report::backing::Backing;
use crate::report::grid::{Grid, Piece, SPREAD, flow, grade, number, quantity, share, spread};

/// Gold fed and caught.
pub fn gold_grid(outcome: &RunResult, units: UnitChoice) -> Grid {
    let g = &outcome.gold;
    let feed = |v: f64| quantity(v / S_PER_H, Dimension::GravelRate, units);
    let grams = |v: f64| number(v, "g/h");
    let rows = vec![
        ("Gravel fed, loose volume".to_string(), spread(&outcome.plant.feed_loose_m3_h, feed)),
        ("Raw gold in the loose gravel".into(), spread(&g.grade_mg_per_m3_loose, |v| grade(v, units))),
        ("Raw gold fed".into(), spread(&g.fed_g_per_h, grams)),
        ("Raw gold caught".into(), spread(&g.caught_g_per_h, grams)),
        ("Fine gold caught".into(), spread(&scaled(&g.caught_g_per_h, g.fineness), grams)),
        ("Share caught".into(), spread(&g.recovery, share)),
    ];
    Grid::of_spreads("gold", rows)
}

/// The section on gold.
pub fn gold(outcome: &RunResult, units: UnitChoice) -> Markup {
    let g = &outcome.gold;
    markup! {
        p { "Of all gold fed, " strong { (percent(g.recovery.mean)) } " is caught; " (spread_words(&g.recovery)) ". Raw gold is what lies in the box; fine gold is the pure metal in it (" (three(1000.0 * g.fineness)) " parts in 1000)." }
        (gold_grid(outcome, units).html())
    }
}

fn scaled(s: &Summary, by: f64) -> Summary {
    Summary { mean: s.mean * by, pctl_10: s.pctl_10 * by, pctl_50: s.pctl_50 * by, pctl_90: s.pctl_90 * by }
}

/// Heads of a table with two columns of words ahead of a spread.
fn two_and_spread(
    first: (&'static str, &'static str),
    second: (&'static str, &'static str),
) -> Vec<(&'static str, &'static str)> {
    [first, second].into_iter().chain(SPREAD).collect()
}

/// Every loss with its spread.
pub fn losses_grid(outcome: &RunResult) -> Grid {
    let rows = outcome.losses.iter().map(|l| {
        let words = [Piece::from(l.stage.clone()), Piece::from(capital(&l.words))];
        words.into_iter().chain(spread(&l.share_of_fed, share)).collect()
    });
    Grid::new("losses", &two_and_spread(("Where", "stage"), ("What happens to it", "reason")), rows.collect())
}

/// The section on losses.
pub fn losses(outcome: &RunResult) -> Markup {
    markup! {
        @if outcome.losses.is_empty() { p { "No gold is lost." } } @else {
            p { "Shares of all gold fed:" }
            (losses_grid(outcome).html())
        }
    }
}

/// Rock and gold of each stream.
pub fn gravel_grid(outcome: &RunResult, units: UnitChoice) -> Grid {
    let heads = [("Stream", "stream"), ("Rock, dry", "rock_dry"), ("Gold in it, share of gold fed", "gold_share")];
    let rows = outcome.gradations.iter().map(|g| {
        vec![g.stream.clone().into(), quantity(g.rock_t_h / 3.6, Dimension::MassRate, units), share(g.gold_share)]
    });
    Grid::new("streams", &heads, rows.collect())
}

/// The section on gravel.
pub fn gravel(outcome: &RunResult, units: UnitChoice) -> Markup {
    markup! {
        p { "Gravel fed: " (show_both(outcome.plant.feed_loose_m3_h.mean / S_PER_H, Dimension::GravelRate, units)) ", loose volume. Rock is counted dry." }
        (gravel_grid(outcome, units).html())
        p.quiet { "The way of the gravel: " (outcome.plant.wires.join("; ")) "." }
    }
}

/// What the stages measure. `of` picks by the kind of the stage.
pub fn measures_grid(outcome: &RunResult, units: UnitChoice, name: &'static str, of: &dyn Fn(&str) -> bool) -> Grid {
    let kind = |id: &str| outcome.plant.stages.iter().find(|s| s.id == id).map_or("", |s| s.kind.as_str());
    let rows = outcome.measures.iter().filter(|m| of(kind(&m.stage))).map(|m| {
        let cell = |v: f64| match m.unit.dimension {
            Dimension::Number => number(v, ""),
            Dimension::Fraction => share(v),
            d => quantity(v, d, units),
        };
        let words = [Piece::from(m.stage.clone()), Piece::from(capital(&m.words))];
        words.into_iter().chain(spread(&m.value, cell)).collect()
    });
    Grid::new(name, &two_and_spread(("Stage", "stage"), ("What", "what")), rows.collect())
}

/// Whether a stage of this kind carries water more than gravel: its measures stand under Water.
pub fn is_wet(kind: &str) -> bool {
    matches!(kind, "pump" | "pond")
}

/// The numbers that the stages report.
pub fn measures(outcome: &RunResult, units: UnitChoice) -> Markup {
    shown(&measures_grid(outcome, units, "measures", &|_| true))
}

/// A table, unless it is empty.
pub fn shown(grid: &Grid) -> Markup {
    markup! { @if !grid.rows.is_empty() { (grid.html()) } }
}

/// A table folded away.
pub fn folded(words: &str, grid: &Grid) -> Markup {
    markup! { @if !grid.rows.is_empty() { details { summary { (words) } (grid.html()) } } }
}

/// Water supplied and needed.
pub fn water_grid(outcome: &RunResult, units: UnitChoice) -> Grid {
    let w = &outcome.water;
    let row = |name: String, s: &Summary| (name, spread(s, |v| flow(v, units)));
    let mut rows = vec![row("Supplied".into(), &w.supply_m3_h)];
    for (name, need) in &w.need_m3_h {
        rows.push(row(format!("Needed: {}", name.replace('_', " ")), need));
        rows.extend(w.at_hand_m3_h.get(name).map(|s| row(format!("At hand for it: {}", name.replace('_', " ")), s)));
    }
    if w.short_share > 0.0 {
        rows.push(row("Missing for the need that is shortest".into(), &w.shortfall_m3_h));
    }
    rows.extend(w.makeup_m3_h.iter().map(|s| row("Fresh water beside the pond".into(), s)));
    Grid::of_spreads("water-balance", rows)
}

/// What sets the needs.
pub fn rules_grid(outcome: &RunResult, units: UnitChoice) -> Grid {
    let heads = [
        ("Need", "need"),
        ("Stage", "stage"),
        ("Rule", "rule"),
        ("Asks for, mean", "asks_mean"),
        ("Sets the need in", "sets_share"),
    ];
    let rows = outcome.water.rules.iter().map(|r| {
        let sets = Piece::Number { value: r.sets_share, unit: "fraction".into(), text: runs(r.sets_share) };
        vec![
            r.need.replace('_', " ").into(),
            r.stage.clone().into(),
            r.words.clone().into(),
            flow(r.asks_m3_h.mean, units),
            sets,
        ]
    });
    Grid::new("water-rules", &heads, rows.collect())
}

/// Flow and pressure of each outlet.
pub fn outlets_grid(outcome: &RunResult, units: UnitChoice) -> Grid {
    let heads = [
        ("Outlet", "outlet"),
        ("On", "on"),
        ("Flow, mean", "flow_mean"),
        ("Pressure ahead of the holes, mean", "pressure_mean"),
        ("1 run in 10 falls below", "pressure_pctl_10"),
    ];
    let kpa =
        |v: f64| Piece::Number { value: v, unit: "kPa".into(), text: show_both(v * 1e3, Dimension::Pressure, units) };
    let rows = outcome.water.branches.iter().map(|b| {
        vec![
            b.name.clone().into(),
            b.on.clone().into(),
            flow(b.flow_m3_h.mean, units),
            kpa(b.pressure_kpa.mean),
            kpa(b.pressure_kpa.pctl_10),
        ]
    });
    Grid::new("outlets", &heads, rows.collect())
}

/// The section on water.
pub fn water(outcome: &RunResult, units: UnitChoice) -> Markup {
    let w = &outcome.water;
    markup! {
        @if let Some(binding) = &w.binding {
            p { "The tightest need is: " strong { (binding.replace('_', " ")) } ". Water is short for at least one need in " strong { (runs(w.short_share)) } "." }
        } @else {
            p { "No stage says how much water it needs." }
        }
        (water_grid(outcome, units).html())
        @if !w.rules.is_empty() {
            h3 { "What sets the needs" }
            (rules_grid(outcome, units).html())
        }
        @if !w.branches.is_empty() {
            h3 { "Outlets" }
            (outlets_grid(outcome, units).html())
        }
    }
}

/// What would bring enough water.
pub fn remedies(backing: &Backing) -> Markup {
    markup! {
        @if !backing.remedies.is_empty() {
            h3 { "What would bring enough" }
            @for line in backing.remedies.lines() {
                @if let Some(item) = line.strip_prefix("  ") { p.step { (item) } } @else { p { (line) } }
            }
        }
    }
}

/// What to know of the pond before reading its figure; nothing without one.
pub fn pond(outcome: &RunResult) -> Markup {
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

/// The inputs as understood: a short table for each table of the scenario, folded away.
pub fn inputs(backing: &Backing) -> Markup {
    markup! {
        p { "Given stands in the scenario. Assumed was not said there: the program took its usual value, which you should check against your own plant and ground." }
        p.on-paper.quiet { "The list is folded in the file from which this was printed: unfold there what you want on paper." }
        @for u in &backing.understood {
            @let assumed = u.rows.iter().filter(|r| !r.given).count();
            details {
                summary { (u.owner) @if !u.kind.is_empty() && u.kind != u.owner { " (" (u.kind) ")" } ": " (u.rows.len() - assumed) " given, " (assumed) " assumed" }
                (Grid::new("inputs", &[("What", "what"), ("Value", "value"), ("Where from", "where_from")], u.rows.iter().map(|r| {
                    vec![r.meaning.clone().into(), r.value.clone().into(), if r.given { "given" } else { "assumed" }.into()]
                }).collect()).html())
            }
        }
    }
}

/// The warnings as a table for files.
pub fn warnings_grid(outcome: &RunResult) -> Grid {
    let heads = [("Stage", "stage"), ("Kind", "severity"), ("What", "text"), ("In", "share_of_runs")];
    let rows = outcome.warnings.iter().map(|w| {
        vec![w.stage.clone().into(), w.severity.word().into(), w.text.clone().into(), share(w.share_of_trials)]
    });
    Grid::new("warnings", &heads, rows.collect())
}

/// The warnings.
pub fn warnings(outcome: &RunResult) -> Markup {
    markup! {
        @if outcome.warnings.is_empty() {
            p { "None: every model was used within the range that it was made for, in at least 19 runs of 20." }
        } @else {
            ul { @for w in &outcome.warnings {
                li { strong { (capital(w.severity.word())) } ", " (w.stage) ": " (w.text) " (in " (runs(w.share_of_trials)) ")" }
            } }
        }
    }
}

pub fn provenance(outcome: &RunResult) -> Markup {
    let p = &outcome.provenance;
    let b = &outcome.balance;
    markup! {
        p { (p.tool) " " (p.version) ", seed " (p.seed) ", " (p.trials) " runs, random layout " (p.rng_layout) ", layout of results " (outcome.schema_version) ". The same scenario, seed and version give the same numbers: " code { "washgraph rerun" } " on the folder of this report repeats the run and must give the same bytes." }
        p { "Models: " (p.models.join(", ")) "." }
        @if let Some(tuned) = &p.tuned { p { (tuned.words()) } }
        p { "Books: "
            @if [b.gold_rel, b.solids_rel, b.water_rel].iter().all(|r| *r <= MOST_RESIDUAL) { "in each run, gold, rock and water in equal what comes out; worst miss " }
            @else { "what goes in and what comes out are NOT equal in each run; gold, rock and water miss at worst by " }
             (format!("{:.0e}", b.gold_rel)) ", " (format!("{:.0e}", b.solids_rel)) " and " (format!("{:.0e}", b.water_rel)) " of what was fed. The mean of the gold caught is known to " (three(outcome.gold.caught_standard_error_g_per_h)) " g/h (one standard error of the calculation, not of the ground)." }
        p { "Scenario and its files (SHA-256):" br; span.hash { (p.scenario_sha256) } }
    }
}
