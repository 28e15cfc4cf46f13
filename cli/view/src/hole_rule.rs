//! The trade's rule on the largest hole, held against the model: words, document, table.

use serde_json::{Map, Value, json};
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stage::Assumption;
use washgraph_advice::holes::rule::{HOLES_MM, ROCK_PER_HOLE, RULE_M, TradeRule};

use crate::tables::{Cell, TableFile};

/// The comparison in words.
pub fn words(rule: &TradeRule, units: UnitChoice) -> String {
    let size = |h: Option<f64>| {
        h.map_or_else(
            || format!("beyond {}", show(HOLES_MM[HOLES_MM.len() - 1] * 1e-3, Dimension::Length, units)),
            |h| show(h, Dimension::Length, units),
        )
    };
    let [low, middle, high] = rule.range();
    let agrees = low.is_some_and(|l| l <= RULE_M) && high.is_none_or(|h| h >= RULE_M);
    let range = |a: &Assumption| {
        let said = |x: Option<&f64>| x.map_or(String::new(), |x| show(*x, a.dimension, units));
        a.words.replace("{}", &format!("{} to {}", said(a.values.first()), said(a.values.last())))
    };
    let over: Vec<String> = rule.over.iter().map(range).collect();
    let over = over.iter().map(|range| format!("{range}, ")).collect::<String>();
    format!(
        "A rule of the trade (common practice, no source) takes about one inch for the largest hole that still catches gold \
         of all sizes. Here the re-tuned box has lost five points more of the gold under 0.3 mm at {} (from {} to {}, over {over}\
         largest rock of {} to {} of the hole): {}",
        size(middle),
        size(low),
        size(high),
        ROCK_PER_HOLE[0],
        ROCK_PER_HOLE[ROCK_PER_HOLE.len() - 1],
        if agrees {
            "the rule lies within that range."
        } else if high.is_some_and(|h| h < RULE_M) {
            "the rule is more generous than this model on this ground; pan your tailings before trusting either."
        } else {
            "the rule is more cautious than this model on this ground; pan your tailings before trusting either."
        }
    )
}

/// For the document.
pub fn document(rule: &TradeRule) -> Value {
    let [low, middle, high] = rule.range();
    json!({
        "rule_m": RULE_M, "source": "common practice, no source",
        "hole_where_fine_loss_has_risen_5_points_m": { "lowest": low, "middle": middle, "highest": high },
        "assumptions": rule.rows.iter().map(|(r, hole, _)| {
            let mut row: Map<String, Value> = r.assumed.iter().map(|(name, x)| (name.to_string(), json!(x))).collect();
            row.insert("rock_per_hole".into(), json!(r.rock_per_hole));
            row.insert("hole_m".into(), json!(hole));
            row
        }).collect::<Vec<_>>(),
    })
}

/// For the files.
pub fn table(rule: &TradeRule) -> TableFile {
    let mut columns: Vec<String> = rule.over.iter().map(|a| a.name.to_string()).collect();
    columns.extend(["rock_per_hole", "hole_at_5_points_mm"].map(String::from));
    columns.extend(HOLES_MM.iter().map(|h| format!("fine_lost_share_at_{h}_mm")));
    let mut table = TableFile { name: "rule-of-the-trade".into(), columns, rows: Vec::new() };
    for (r, hole, losses) in &rule.rows {
        let mut row: Vec<Cell> = r.assumed.iter().map(|(_, x)| Cell::from(*x)).collect();
        row.extend([Cell::from(r.rock_per_hole), Cell::from(hole.map(|h| h * 1e3))]);
        row.extend(losses.iter().map(|l| Cell::from(*l)));
        table.row(row);
    }
    table
}
