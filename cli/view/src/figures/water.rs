//! The water that each part needs against the water that reaches it, all on one scale. Needs are not added: the same water
//! serves one part after the other.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::constants::S_PER_H;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stats::summary::Summary;
use washgraph_model::result::RunResult;

use crate::figures::FigureError;
use crate::figures::sheet::{Hang, Sheet, title_height};
use crate::figures::style::{Hatch, INK, LOST, MARGIN, QUIET, SOLID, STONE, TEXT, WIDTH};
use crate::numbers::{capital, percent};
use crate::tables::Table;

const BAR: f64 = 30.0;
/// Height of the name of a need, and of the bars below it with the space to the next.
const NAME: f64 = 34.0;
const ROW: f64 = NAME + 2.0 * BAR + 22.0;
const FOOT: f64 = 34.0;
/// Left end of the bars, behind their labels.
const LEFT: f64 = 118.0;
/// Room for the numbers on the right.
const NUMBERS: f64 = 166.0;
/// Half the height of the mark at the end of a spread.
const END: f64 = 8.0;

/// A need, what it asks for, and what reaches it.
struct Row {
    name: String,
    need: Summary,
    at_hand: Summary,
}

/// The needs, tightest first.
fn rows(outcome: &RunResult) -> Vec<Row> {
    let water = &outcome.water;
    let at_hand = |name: &str| water.at_hand_m3_h.get(name).copied().unwrap_or(water.supply_m3_h);
    let mut list: Vec<Row> = water
        .need_m3_h
        .iter()
        .map(|(name, need)| Row { name: name.replace('_', " "), need: *need, at_hand: at_hand(name) })
        .collect();
    let tightness = |r: &Row| r.at_hand.pctl_50 / r.need.pctl_50;
    list.sort_by(|a, b| tightness(a).total_cmp(&tightness(b)));
    list
}

fn flow(m3_h: f64, units: UnitChoice) -> String {
    show(m3_h / S_PER_H, Dimension::Flow, units)
}

fn most(list: &[Row]) -> f64 {
    list.iter().flat_map(|r| [r.need.pctl_90, r.need.pctl_50, r.at_hand.pctl_90, r.at_hand.pctl_50]).fold(0.0, f64::max)
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    let most = most(&rows(outcome));
    most > 0.0 && most.is_finite()
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    title_height(&title(outcome, units)) + rows(outcome).len() as f64 * ROW + FOOT
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, units: UnitChoice) -> String {
    let water = &outcome.water;
    let list = rows(outcome);
    let Some(first) = list.first() else { return "No part says how much water it needs".into() };
    let (need, at_hand) = (flow(first.need.pctl_50, units), flow(first.at_hand.pctl_50, units));
    if water.short_share > 0.5 {
        format!("Short of water: {at_hand} reach the {}, which needs {need}", first.name)
    } else if water.short_share > 0.1 {
        format!("Water is tight: short in {} of runs, most often for the {}", percent(water.short_share), first.name)
    } else {
        format!("Water suffices: {at_hand} reach the {}, which needs {need}", first.name)
    }
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let eight = |s: &Summary| {
        format!("{} ({} to {} in 8 runs of 10)", flow(s.pctl_50, units), flow(s.pctl_10, units), flow(s.pctl_90, units))
    };
    let parts: Vec<String> = rows(outcome)
        .iter()
        .map(|r| format!("the {} needs {} and gets {}", r.name, eight(&r.need), eight(&r.at_hand)))
        .collect();
    format!("{}. Bars of the middle run: {}.", title(outcome, units), parts.join("; "))
}

/// The numbers.
pub fn table(outcome: &RunResult, units: UnitChoice) -> Table {
    let headers = ["For", "Water", "Middle", "1 run in 10 falls below", "1 run in 10 is above"];
    let row = |name: &str, what: &str, s: &Summary| {
        let [middle, low, high] = [s.pctl_50, s.pctl_10, s.pctl_90].map(|v| flow(v, units));
        vec![name.to_string(), what.to_string(), middle, low, high]
    };
    let both = |r: &Row| [row(&r.name, "needed", &r.need), row(&r.name, "at hand", &r.at_hand)];
    Table { headers: headers.map(String::from).to_vec(), rows: rows(outcome).iter().flat_map(both).collect() }
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let list = rows(outcome);
    let most = most(&list);
    let right = WIDTH - MARGIN - NUMBERS;
    let across = |v: f64| LEFT + (v.max(0.0) / most) * (right - LEFT);
    for (i, row) in list.iter().enumerate() {
        let y = top + i as f64 * ROW + 16.0;
        sheet.text_in(&capital(&row.name), (MARGIN, y), Hang::Right, TEXT, true, INK)?;
        // What is at hand is hatched, so that the two are told apart in black and white.
        let bars = [("needed", row.need, LOST, Hatch::None), ("at hand", row.at_hand, STONE, Hatch::Rising)];
        for (j, (what, s, face, hatch)) in bars.into_iter().enumerate() {
            let bar_top = y + NAME - 16.0 + j as f64 * (BAR + 4.0);
            let middle = bar_top + BAR / 2.0;
            sheet.text(what, (MARGIN, middle), Hang::Right, INK)?;
            sheet.text_in(&flow(s.pctl_50, units), (WIDTH - MARGIN, middle), Hang::Left, TEXT, true, INK)?;
            sheet.bar((LEFT, bar_top), (across(s.pctl_50).max(LEFT + 1.0), bar_top + BAR), face, hatch)?;
            let (low, high) = (across(s.pctl_10), across(s.pctl_90));
            if high - low > 2.0 {
                sheet.line(&[(low, middle), (high, middle)], 2.0, INK, SOLID)?;
                for x in [low, high] {
                    sheet.line(&[(x, middle - END), (x, middle + END)], 2.0, INK, SOLID)?;
                }
            }
        }
    }
    let bottom = top + list.len() as f64 * ROW;
    sheet.text("whiskers: 8 runs in 10 lie within", (MARGIN, bottom + 14.0), Hang::Right, QUIET)
}
