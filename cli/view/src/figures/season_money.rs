//! What is left of a season over the runs: bars, the losing part hatched.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use washgraph_model::result::{Money, RunResult};

use crate::figures::FigureError;
use crate::figures::axis::Frame;
use crate::figures::sheet::{Hang, Sheet, title_height, width_of};
use crate::figures::style::{DASHED, GOLD, Hatch, INK, LOST, MARGIN, QUIET, RULE, SOLID, TEXT, WIDTH};
use crate::numbers::{amount, percent};
use crate::tables::Table;

const PLOT: f64 = 300.0;
/// Above the plot: two rows of the key, the words of the axis, and room for the mark of the middle.
const HEAD: f64 = 124.0;
const FOOT: f64 = 108.0;

fn shown(outcome: &RunResult) -> Option<&Money> {
    outcome
        .money
        .as_ref()
        .filter(|m| m.histogram.share.len() > 1 && m.histogram.edges.len() == m.histogram.share.len() + 1)
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    shown(outcome).is_some()
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    title_height(&title(outcome, units)) + HEAD + PLOT + FOOT
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, _units: UnitChoice) -> String {
    let Some(m) = shown(outcome) else { return String::new() };
    let middle = m.net_per_season.pctl_50;
    let word = if middle < 0.0 { "loses" } else { "leaves" };
    let risk = if m.chance_of_loss == 0.0 {
        "no run loses money".to_string()
    } else {
        format!("{} of the runs lose money", percent(m.chance_of_loss))
    };
    format!("The middle season {word} {} {}; {risk}", m.currency, amount(middle.abs()))
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let Some(m) = shown(outcome) else { return String::new() };
    let s = &m.net_per_season;
    format!(
        "{}. Bars of the share of the runs by what is left of the season before the owner's wage and the plant, the losing part hatched: 1 season in 10 is below {} {}, 1 in 10 above {}.",
        title(outcome, units),
        m.currency,
        amount(s.pctl_10),
        amount(s.pctl_90)
    )
}

/// The numbers.
pub fn table(outcome: &RunResult, _units: UnitChoice) -> Table {
    let Some(m) = shown(outcome) else { return Table { headers: Vec::new(), rows: Vec::new() } };
    let headers = vec![
        format!("Left of the season from, {}", m.currency),
        "to".to_string(),
        "Share of the runs, %".to_string(),
        "So far, %".to_string(),
    ];
    let last = m.histogram.share.len() - 1;
    let mut sum = 0.0;
    let rows = m.histogram.edges.windows(2).zip(&m.histogram.share).enumerate().map(|(i, (edges, share))| {
        sum += share;
        let from = if i == 0 { "all below".into() } else { edges.first().map_or(String::new(), |e| amount(*e)) };
        let to = if i == last { "all above".into() } else { edges.last().map_or(String::new(), |e| amount(*e)) };
        vec![from, to, format!("{:.1}", 100.0 * share), format!("{:.1}", 100.0 * sum)]
    });
    Table { headers, rows: rows.collect() }
}

/// Round places on the axis of money, zero among them where it is inside.
fn ticks(from: f64, to: f64) -> Vec<f64> {
    let step = crate::figures::axis::steps(to - from).get(1).copied().unwrap_or(to - from);
    let mut at = (from / step).ceil() * step;
    let mut list = Vec::new();
    while at <= to + 1e-9 * step && list.len() < 12 {
        list.push(if at.abs() < 1e-9 * step { 0.0 } else { at });
        at += step;
    }
    list
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let Some(m) = shown(outcome) else { return Ok(()) };
    let h = &m.histogram;
    let (from, to) = (h.edges.first().copied().unwrap_or(0.0), h.edges.last().copied().unwrap_or(1.0));
    let most = h.share.iter().copied().fold(1e-9, f64::max);
    let f = Frame {
        left: 86.0,
        right: WIDTH - MARGIN - 22.0,
        top: top + HEAD,
        bottom: top + HEAD + PLOT,
        x: (from, to),
        y: (0.0, most * 1.05),
        log: false,
    };
    for (i, (color, hatch, words)) in
        [(LOST, Hatch::Rising, "the season loses money"), (GOLD, Hatch::None, "the season earns money")]
            .into_iter()
            .enumerate()
    {
        let y = top + 12.0 + 27.0 * i as f64;
        sheet.bar((MARGIN, y - 9.0), (MARGIN + 44.0, y + 9.0), color, hatch)?;
        let share = if i == 0 { m.chance_of_loss } else { 1.0 - m.chance_of_loss };
        sheet.text(&format!("{words}: {} of the runs", percent(share)), (MARGIN + 58.0, y), Hang::Right, INK)?;
    }
    sheet.text("Share of the runs in each bar", (MARGIN, f.top - 44.0), Hang::Right, INK)?;
    let levels: Vec<(f64, String)> =
        crate::figures::axis::steps(most).into_iter().filter(|v| *v <= most * 1.05).map(|v| (v, percent(v))).collect();
    f.levels(&sheet, &levels)?;
    for (edges, share) in h.edges.windows(2).zip(&h.share).filter(|(_, s)| **s > 0.0) {
        let [a, b] = [edges[0], edges[1]];
        let (color, hatch) = if b <= 1e-9 * (to - from) { (LOST, Hatch::Rising) } else { (GOLD, Hatch::None) };
        sheet.bar((f.across(a), f.bottom), (f.across(b), f.up(*share)), color, hatch)?;
    }
    sheet.line(&[(f.left, f.bottom), (f.right, f.bottom)], 1.5, INK, SOLID)?;
    let mut free = f64::NEG_INFINITY;
    for tick in ticks(from, to) {
        let (x, label) = (f.across(tick), amount(tick));
        let label = if tick == 0.0 { "0".to_string() } else { label };
        sheet.line(&[(x, f.bottom), (x, f.bottom + 7.0)], 1.5, INK, SOLID)?;
        let half = width_of(&label, TEXT, false) / 2.0;
        if x - half >= free && x + half <= WIDTH - 2.0 {
            sheet.text(&label, (x, f.bottom + 24.0), Hang::Middle, INK)?;
            free = x + half + 10.0;
        }
    }
    let name = format!("Left of the season before wage and plant, {}", m.currency);
    sheet.text(&name, ((f.left + f.right) / 2.0, f.bottom + 56.0), Hang::Middle, INK)?;
    let ends = "The bars at the two ends hold all seasons beyond";
    sheet.text(ends, ((f.left + f.right) / 2.0, f.bottom + 84.0), Hang::Middle, QUIET)?;
    if from < 0.0 && to > 0.0 {
        let x = f.across(0.0);
        sheet.line(&[(x, f.top - 6.0), (x, f.bottom)], 3.0, INK, DASHED)?;
        let hang = if x > WIDTH / 2.0 { Hang::Left } else { Hang::Right };
        let at = if hang == Hang::Left { x - 6.0 } else { x + 6.0 };
        sheet.text("breaks even", (at, f.top - 16.0), hang, QUIET)?;
    }
    sheet.line(&[(f.left, f.top), (f.left, f.bottom)], 1.0, RULE, SOLID)
}
