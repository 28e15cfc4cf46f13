//! Why gold leaves and which single change would save most: text, document, tables and figure.

use std::fmt::Write as _;

use serde_json::{Value, json};
use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use sim_core::quantity::{Dimension, UnitChoice, show};
use washgraph_advice::changes::candidates::{LedgerLine, MISSED, Trials, Tried, most_saved, newly_missed};
use washgraph_advice::plants::base::Base;
use washgraph_advice::plants::contest::{currency, mean};
use washgraph_model::paired::DesignRun;

use crate::contest::gap_json;
use crate::figures::tornado::{Row, Tornado, tornado};
use crate::figures::{Figure, FigureError};
use crate::numbers::{class, three};
use crate::tables::{Cell, TableFile};
use crate::words::{chance, money, percent, percent_of, points, signed};

/// Changes shown in the terminal; the table holds all.
const SHOWN: usize = 8;

/// The numbers as a document.
pub fn document(scenario: &str, seed: u64, found: &Trials, ledger: &[LedgerLine]) -> Value {
    json!({
        "command": "losses", "scenario": scenario, "seed": seed, "trials": found.present.trials(),
        "gold_caught_g_per_h": mean(&found.present.steady) * G_H_PER_KG_S, "recovery": found.present.mean_recovery(),
        "losses": ledger.iter().map(|l| json!({
            "stage": l.note.stage, "reason": l.note.reason.name, "words": l.note.reason.words, "share_of_fed": l.share,
            "size_from_mm": l.sizes.0 * 1e3, "size_to_mm": l.sizes.1 * 1e3,
        })).collect::<Vec<_>>(),
        "changes": found.tried.iter().map(|t| json!({
            "change": t.change.words,
            "settings": t.change.changes.iter().map(|(p, v)| json!({ "path": p.text(), "value": v })).collect::<Vec<_>>(),
            "gold_g_per_h": gap_json(&t.gold, G_H_PER_KG_S),
            "recovery": t.design_run.mean_recovery(),
            "money_season": t.money.as_ref().map(|m| gap_json(m, 1.0)),
        })).collect::<Vec<_>>(),
        "refused": found.refused.iter().map(|(n, r)| json!({ "change": n, "reason": r })).collect::<Vec<_>>(),
    })
}

/// Where the gold goes, as a table.
pub fn ledger_table(ledger: &[LedgerLine]) -> TableFile {
    let mut table =
        TableFile::new("ledger", &["stage", "reason", "words", "share_of_fed", "most_from_mm", "most_to_mm"]);
    for l in ledger {
        table.row([
            l.note.stage.clone().into(),
            l.note.reason.name.into(),
            l.note.reason.words.into(),
            l.share.into(),
            (l.sizes.0 * 1e3).into(),
            (l.sizes.1 * 1e3).into(),
        ]);
    }
    table
}

/// Every change that was tried, as a table.
pub fn changes_table(found: &Trials) -> TableFile {
    let Trials { present, tried, .. } = found;
    let mut table = TableFile::new(
        "changes",
        &[
            "change",
            "gold_gap_mean_g_per_h",
            "gold_gap_1_in_10_below_g_per_h",
            "gold_gap_1_in_10_above_g_per_h",
            "chance_better",
            "recovery_share",
            "recovery_gap_share",
            "water_supply_gap_m3_per_h",
            "water_need_gap_m3_per_h",
            "short_of_water_share_of_runs",
            "money_season_gap_mean",
            "money_season_gap_1_in_10_below",
            "money_season_gap_1_in_10_above",
            "limits_newly_missed",
        ],
    );
    for t in tried {
        let (g, m) = (&t.gold, t.money.as_ref());
        let mut row: Vec<Cell> = vec![t.change.words.clone().into()];
        let numbers = [
            g.comparison.mean_gap * G_H_PER_KG_S,
            g.pctl_10 * G_H_PER_KG_S,
            g.pctl_90 * G_H_PER_KG_S,
            g.comparison.chance_a,
            t.design_run.mean_recovery(),
            t.design_run.mean_recovery() - present.mean_recovery(),
            (mean(&t.design_run.supply) - mean(&present.supply)) * S_PER_H,
            (mean(&t.design_run.need) - mean(&present.need)) * S_PER_H,
            t.design_run.short_share,
        ];
        row.extend(numbers.map(Cell::from));
        row.extend([m.map(|m| m.comparison.mean_gap), m.map(|m| m.pctl_10), m.map(|m| m.pctl_90)].map(Cell::from));
        row.push(newly_missed(present, &t.design_run).join("; ").into());
        table.row(row);
    }
    table
}

/// The answer for the terminal.
pub fn text(base: &Base<'_>, found: &Trials, ledger: &[LedgerLine]) -> String {
    let Trials { present, tried, refused } = found;
    let trials = present.trials();
    let units = base.plant.units;
    let mut t = format!("{}\n", base.plant.title);
    let _ = writeln!(
        t,
        "Of the gold fed, {} is caught ({:.2} g of raw gold an hour, averaged over a season). The rest goes:",
        percent(present.mean_recovery()),
        mean(&present.steady) * G_H_PER_KG_S
    );
    for l in ledger.iter().filter(|l| l.share >= 0.0005) {
        let to = l.sizes.1.is_finite().then_some(l.sizes.1 * 1e3);
        let _ = writeln!(
            t,
            "  {:>6}  at the {}: {}; most of it {}",
            percent(l.share),
            l.note.stage,
            l.note.reason.words,
            class(l.sizes.0 * 1e3, to)
        );
    }
    let feeds = |x: &&Tried| x.feeds();
    let _ = writeln!(t, "\nSingle changes that save the most gold, each tried on the same ground, all else as it is:");
    for x in tried.iter().filter(|x| !feeds(x) && x.gold.comparison.mean_gap > 0.0).take(SHOWN) {
        t.push_str(&line(base, present, x, trials, units));
    }
    let _ = writeln!(t, "Another feed changes how much gold comes in as well as how much of it is lost:");
    for x in tried.iter().filter(feeds) {
        t.push_str(&line(base, present, x, trials, units));
    }
    let none = tried.iter().filter(|x| x.gold.comparison.mean_gap <= 0.0).count();
    let _ = writeln!(
        t,
        "{none} of {} changes bring less gold than now (changes.csv). What a change costs to make is not counted.",
        tried.len()
    );
    for (words, reason) in refused {
        let _ = writeln!(t, "Not tried, {words}: {reason}");
    }
    if present.short_share > MISSED {
        let _ =
            writeln!(t, "This plant is short of water in {} of runs: see to that first.", percent(present.short_share));
    }
    let _ = writeln!(t, "{trials} common trials a change. A planning estimate on assumed constants, not a promise.");
    t
}

fn line(base: &Base<'_>, present: &DesignRun, x: &Tried, trials: usize, units: UnitChoice) -> String {
    let g = &x.gold;
    let mut t = format!(
        "  {} g/h ({}): {}\n      1 run in 10 falls below {}, 1 in 10 is above {}; better in {} of runs; caught {} ({})",
        signed(g.comparison.mean_gap * G_H_PER_KG_S),
        percent_of(g.comparison.mean_gap, g.from),
        x.change.words,
        signed(g.pctl_10 * G_H_PER_KG_S),
        signed(g.pctl_90 * G_H_PER_KG_S),
        chance(g.comparison.chance_a, trials),
        percent(x.design_run.mean_recovery()),
        points(x.design_run.mean_recovery() - present.mean_recovery()),
    );
    let mut side: Vec<String> = Vec::new();
    if let Some((stage, reason, saved)) = most_saved(present, &x.design_run) {
        side.push(format!("saves mostly from \"{reason}\" at the {stage} ({})", points(-saved)));
    }
    let water = mean(&x.design_run.supply) - mean(&present.supply);
    if water.abs() > 0.005 * mean(&present.supply) {
        let more = if water > 0.0 { "more" } else { "less" };
        side.push(format!("{} {more} water supplied", show(water.abs(), Dimension::Flow, units)));
    }
    let need = mean(&x.design_run.need) - mean(&present.need);
    if need.abs() > 0.005 * mean(&present.need) {
        let more = if need > 0.0 { "more" } else { "less" };
        side.push(format!("{} {more} water needed", show(need.abs(), Dimension::Flow, units)));
    }
    if let Some(m) = &x.money {
        let gap = m.comparison.mean_gap;
        let word = if gap < 0.0 { "less" } else { "more" };
        side.push(format!("{} {word} a season", money(gap.abs(), currency(&base.plant))));
    }
    side.extend(newly_missed(present, &x.design_run).iter().map(|l| format!("BUT {l}")));
    if !side.is_empty() {
        let _ = write!(t, "\n      {}", side.join("; "));
    }
    t.push('\n');
    t
}

/// The changes that save most, as bars.
pub fn figure(found: &Trials) -> Result<Figure, FigureError> {
    let Trials { present, tried, .. } = found;
    let now = mean(&present.steady) * G_H_PER_KG_S;
    let own: Vec<&Tried> = tried.iter().filter(|t| !t.feeds()).collect();
    let rows: Vec<Row> = own
        .iter()
        .take(SHOWN)
        .map(|t| Row {
            name: t.change.words.clone(),
            group: format!("better in {} of runs", chance(t.gold.comparison.chance_a, present.trials())),
            at_low: now + t.gold.pctl_10 * G_H_PER_KG_S,
            at_high: now + t.gold.pctl_90 * G_H_PER_KG_S,
        })
        .collect();
    let title = match own.first() {
        Some(t) if t.gold.comparison.mean_gap > 0.0 => format!(
            "The change that saves most: {}, {} g/h",
            t.change.words.split(" (").next().unwrap_or(""),
            signed(t.gold.comparison.mean_gap * G_H_PER_KG_S)
        ),
        _ => "No single change saves gold".to_string(),
    };
    tornado(&Tornado {
        title,
        what: format!("Raw gold, g/h; now {}", three(now)),
        key: "each bar spans 8 runs in 10".into(),
        middle: now,
        middle_name: "now",
        rows,
    })
}
