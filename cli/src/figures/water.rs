//! Water supplied against the water that each part needs, all on one scale. The needs are not added: the same water serves
//! one part after the other, so the greatest counts.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::result::{Outcome, Summary};

use super::sheet::{Hang, Sheet, title_height};
use super::style::{Hatch, INK, LOST, MARGIN, QUIET, SOLID, STONE, TEXT, WIDTH};
use super::words::{capital, percent};
use super::{FigureError, Table};

const S_PER_H: f64 = 3600.0;
const ROW: f64 = 84.0;
const BAR: f64 = 34.0;
const FOOT: f64 = 34.0;
/// Half the height of the mark at the end of a spread.
const END: f64 = 9.0;

/// The supply, then the needs, greatest first.
fn rows(outcome: &Outcome) -> Vec<(String, Summary)> {
    let water = &outcome.water;
    let mut needs: Vec<(String, Summary)> =
        water.need_m3_h.iter().map(|(name, s)| (format!("Needed for the {}", name.replace('_', " ")), *s)).collect();
    needs.sort_by(|a, b| b.1.pctl_50.total_cmp(&a.1.pctl_50));
    let mut list = vec![("Supplied".to_string(), water.supply_m3_h)];
    list.extend(needs);
    list
}

fn flow(m3_h: f64, units: UnitChoice) -> String {
    show(m3_h / S_PER_H, Dimension::Flow, units)
}

/// Whether there is anything to draw.
pub fn present(outcome: &Outcome) -> bool {
    !outcome.water.need_m3_h.is_empty()
        && rows(outcome).iter().all(|(_, s)| s.pctl_90.is_finite())
        && rows(outcome).iter().any(|(_, s)| s.pctl_90 > 0.0)
}

/// Height of the sheet.
pub fn height(outcome: &Outcome, units: UnitChoice) -> f64 {
    title_height(&title(outcome, units)) + rows(outcome).len() as f64 * ROW + FOOT
}

/// What it shows, as a finding.
pub fn title(outcome: &Outcome, units: UnitChoice) -> String {
    let water = &outcome.water;
    let supply = flow(water.supply_m3_h.pctl_50, units);
    let greatest = rows(outcome).into_iter().skip(1).map(|(_, s)| s.pctl_50).fold(0.0, f64::max);
    let name = water.binding.as_deref().unwrap_or("plant").replace('_', " ");
    let need = flow(greatest, units);
    if water.short_share > 0.5 {
        format!("Short of water: {supply} supplied, the {name} needs {need}")
    } else if water.short_share > 0.1 {
        format!("Water is tight: short of the {name}'s need in {} of runs", percent(water.short_share))
    } else {
        format!("Water suffices: {supply} supplied, the {name} needs {need}")
    }
}

/// The figure in words.
pub fn alt(outcome: &Outcome, units: UnitChoice) -> String {
    let parts: Vec<String> = rows(outcome)
        .iter()
        .map(|(name, s)| {
            format!(
                "{name} {} ({} to {} in 8 runs of 10)",
                flow(s.pctl_50, units),
                flow(s.pctl_10, units),
                flow(s.pctl_90, units)
            )
        })
        .collect();
    format!("{}. Bars of the middle run: {}.", title(outcome, units), parts.join("; "))
}

/// The numbers.
pub fn table(outcome: &Outcome, units: UnitChoice) -> Table {
    let headers = ["Water", "Middle", "1 run in 10 falls below", "1 run in 10 is above"];
    Table {
        headers: headers.map(String::from).to_vec(),
        rows: rows(outcome)
            .into_iter()
            .map(|(name, s)| vec![name, flow(s.pctl_50, units), flow(s.pctl_10, units), flow(s.pctl_90, units)])
            .collect(),
    }
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &Outcome,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let list = rows(outcome);
    let most = list.iter().map(|(_, s)| s.pctl_90.max(s.pctl_50)).fold(0.0, f64::max);
    let (left, right) = (MARGIN, WIDTH - MARGIN - 8.0);
    let across = |v: f64| left + (v.max(0.0) / most) * (right - left);
    let supply = across(list.first().map_or(0.0, |(_, s)| s.pctl_50));
    for (i, (name, s)) in list.iter().enumerate() {
        let y = top + i as f64 * ROW + 16.0;
        sheet.text_in(&capital(name), (left, y), Hang::Right, TEXT, i == 0, INK)?;
        sheet.text_in(&flow(s.pctl_50, units), (right, y), Hang::Left, TEXT, true, INK)?;
        let (bar_top, bar_bottom) = (y + 18.0, y + 18.0 + BAR);
        // The supply is hatched, so that it stands out from the needs in black and white too.
        let (face, hatch) = if i == 0 { (STONE, Hatch::Rising) } else { (LOST, Hatch::None) };
        sheet.bar((left, bar_top), (across(s.pctl_50).max(left + 1.0), bar_bottom), face, hatch)?;
        let middle = (bar_top + bar_bottom) / 2.0;
        let (low, high) = (across(s.pctl_10), across(s.pctl_90));
        // The supply is carried down through the needs, between their texts.
        sheet.line(&[(supply, bar_top - 5.0), (supply, bar_bottom + 5.0)], 3.0, INK, super::style::DASHED)?;
        if high - low > 2.0 {
            sheet.line(&[(low, middle), (high, middle)], 2.0, INK, SOLID)?;
            for x in [low, high] {
                sheet.line(&[(x, middle - END), (x, middle + END)], 2.0, INK, SOLID)?;
            }
        }
    }
    let bottom = top + list.len() as f64 * ROW;
    sheet.text("dashed: the supply; whiskers: 8 runs in 10 lie within", (left, bottom + 14.0), Hang::Right, QUIET)
}
