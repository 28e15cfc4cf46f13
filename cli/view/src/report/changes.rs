//! What each loss would cost to stop, in words and as a table.

use sim_core::constants::S_PER_H;
use sim_core::quantity::{Dimension, UnitChoice, show};
use washgraph_advice::changes::tried::{Change, Changes, NO_GOLD, OFF};
use washgraph_model::result::Loss;

use super::grid::{Grid, Head, Piece, cash, flow, share};
use crate::numbers::{money, percent, runs, signed};

/// A change of water below this share of the supply is not worth a word.
const LEAST_WATER: f64 = 0.01;

/// What a change is worth: gold, money, limits.
fn worth(changes: &Changes, c: &Change) -> String {
    let mut text = format!("{} g/h of raw gold", signed(c.gold_g_h[0]));
    if c.gold_g_h[0].abs() < NO_GOLD {
        text = "no more gold".into();
    }
    if let Some(season) = c.season {
        let sign = if season > 0.0 { "+" } else { "" };
        text += &format!(", {sign}{} a season", money(season, &changes.currency));
    }
    text
}

/// What would stop a loss, in a line.
pub fn in_short(changes: &Changes, loss: &Loss) -> Option<String> {
    if changes.list.is_empty() {
        return None;
    }
    let none = format!("none of {} single changes takes a tenth off it", changes.list.len());
    Some(match changes.against(loss) {
        Some((c, off)) if off >= OFF.0 => {
            format!("{}: {} off it; in all {}{}", c.words, percent(off), worth(changes, c), but(c))
        }
        _ => none,
    })
}

/// The same in sentences.
pub fn sentence(changes: &Changes, loss: &Loss, units: UnitChoice) -> String {
    if changes.list.is_empty() {
        return String::new();
    }
    let Some((c, off)) = changes.against(loss) else {
        return format!(
            "None of the {} single changes tried takes anything off it without losing gold.",
            changes.list.len()
        );
    };
    let start = match (off >= OFF.0, costs_gold(c)) {
        (true, false) => "What takes most off it",
        (true, true) => "Stopping it costs more gold than it saves. What takes most off it",
        (false, _) => "Hard to stop. What takes most off it",
    };
    let season = if c.season.is_some() { ", before what it costs to make" } else { "" };
    let mut text = format!("{start}, {} of it: {}. In all {}{season}", percent(off), c.words, worth(changes, c));
    for (gap, what) in [(c.water_m3_h.0, "supplied"), (c.water_m3_h.1, "needed")] {
        if gap.abs() > LEAST_WATER * changes.supply_m3_h {
            let word = if gap > 0.0 { "more" } else { "less" };
            text += &format!(", {} {word} water {what}", show(gap.abs() / S_PER_H, Dimension::Flow, units));
        }
    }
    text + &missed(c) + "."
}

/// All changes in numbers.
pub fn grid(changes: &Changes, units: UnitChoice) -> Grid {
    let mut heads: Vec<Head> = vec![
        ("Change", "change"),
        ("Raw gold against now", "gold_gap_mean"),
        ("1 run in 10 falls below", "gold_gap_pctl_10"),
        ("1 run in 10 is above", "gold_gap_pctl_90"),
        ("Better in", "better"),
        ("Share caught", "recovery"),
        ("Water supplied", "supply_gap"),
        ("Water needed", "need_gap"),
    ];
    let has_money = changes.list.iter().any(|c| c.season.is_some());
    if has_money {
        heads.push(("Season against now, mean", "season_gap_mean"));
    }
    heads.push(("Limits newly missed", "limits_newly_missed"));
    let rows = changes.list.iter().map(|c| {
        let gold = |v: f64| Piece::Number { value: v, unit: "g/h".into(), text: format!("{} g/h", signed(v)) };
        let mut row: Vec<Piece> = vec![c.words.clone().into()];
        row.extend(c.gold_g_h.map(gold));
        row.push(Piece::Number { value: c.better, unit: "fraction".into(), text: runs(c.better) });
        row.push(share(c.recovery));
        row.push(flow(c.water_m3_h.0, units));
        row.push(flow(c.water_m3_h.1, units));
        if has_money {
            row.push(cash(c.season.unwrap_or(f64::NAN), &changes.currency));
        }
        row.push(c.missed.join("; ").into());
        row
    });
    Grid::new("changes", &heads, rows.collect())
}

/// What speaks against a change.
fn but(c: &Change) -> String {
    missed(c) + if costs_gold(c) { "; so it costs more gold than it saves" } else { "" }
}

fn missed(c: &Change) -> String {
    if c.missed.is_empty() { String::new() } else { format!("; but then a limit is missed: {}", c.missed.join(", ")) }
}

fn costs_gold(c: &Change) -> bool {
    c.gold_g_h[0] < -NO_GOLD
}
