//! The trade's rule on the largest hole, held against the model: words, document, table.

use serde_json::{Value, json};
use sim_core::quantity::{Dimension, UnitChoice, show};
use washgraph_advice::holes::rule::{HOLES_MM, RULE_M, TradeRule};

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
    format!(
        "A rule of the trade (common practice, no source) takes about one inch for the largest hole that still catches gold \
         of all sizes. Here the re-tuned box has lost five points more of the gold under 0.3 mm at {} (from {} to {}, over water \
         cover of 0.6 to 1.2 of the largest rock, least depth of 18 to 30 mm, largest rock of 0.8 to 1 of the hole): {}",
        size(middle),
        size(low),
        size(high),
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
        "assumptions": rule.rows.iter().map(|(r, hole, _)| json!({
            "cover_ratio": r.cover_ratio, "least_depth_m": r.least_depth_m, "rock_per_hole": r.rock_per_hole, "hole_m": hole,
        })).collect::<Vec<_>>(),
    })
}

/// For the files.
pub fn table(rule: &TradeRule) -> TableFile {
    let mut columns: Vec<String> =
        ["cover_ratio", "least_depth_mm", "rock_per_hole", "hole_at_5_points_mm"].map(String::from).to_vec();
    columns.extend(HOLES_MM.iter().map(|h| format!("fine_lost_share_at_{h}_mm")));
    let mut table = TableFile { name: "rule-of-the-trade".into(), columns, rows: Vec::new() };
    for (r, hole, losses) in &rule.rows {
        let mut row: Vec<Cell> = vec![
            r.cover_ratio.into(),
            r.least_depth_m.map(|d| d * 1e3).into(),
            r.rock_per_hole.into(),
            hole.map(|h| h * 1e3).into(),
        ];
        row.extend(losses.iter().map(|l| Cell::from(*l)));
        table.row(row);
    }
    table
}
