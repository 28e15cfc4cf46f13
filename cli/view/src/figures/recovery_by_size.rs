//! Recovery by the size of the gold with its spread, and beneath it how much gold there is of each size.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use washgraph_model::result::{RunResult, SizeRecovery};

use crate::figures::FigureError;
use crate::figures::axis::{Frame, SIZES_HEIGHT, steps};
use crate::figures::sheet::{Hang, Point, Sheet, title_height};
use crate::figures::style::{GOLD, GOLD_PALE, Hatch, INK, MARGIN, QUIET, SOLID, STONE, WIDTH};
use crate::numbers::{class, percent, sieve, size};
use crate::tables::Table;

const CURVE: f64 = 270.0;
const BARS: f64 = 110.0;
const BETWEEN: f64 = 82.0;
/// An open class is drawn this much wider than its one edge. Our choice for the picture alone.
const OPEN: f64 = 1.5;

/// Edges as finite numbers, mm.
pub fn edges(c: &SizeRecovery) -> (f64, f64) {
    let to = c.to_mm.unwrap_or(c.from_mm * OPEN);
    (if c.from_mm > 0.0 { c.from_mm } else { to / OPEN }, to)
}

fn middle(c: &SizeRecovery) -> f64 {
    let (a, b) = edges(c);
    (a * b).sqrt()
}

/// Share of the gold fed from which a class is drawn: below, its curve rests on a handful of grains in all trials.
const LEAST_DRAWN: f64 = 1e-4;

/// The classes worth drawing; the table holds all.
fn drawn(outcome: &RunResult) -> Vec<SizeRecovery> {
    outcome.gold.recovery_by_size.iter().filter(|c| c.fed_share >= LEAST_DRAWN).cloned().collect()
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    drawn(outcome).len() > 1
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    title_height(&title(outcome, units)) + 46.0 + CURVE + BETWEEN + BARS + SIZES_HEIGHT
}

/// Largest size below which no more than half of the gold is caught, with the recovery of the gold below it, mm.
fn half_lost(list: &[SizeRecovery]) -> Option<(f64, f64)> {
    let (mut fed, mut caught, mut found) = (0.0, 0.0, None);
    for c in list {
        fed += c.fed_share;
        caught += c.fed_share * c.recovery.mean;
        if let Some(to) = c.to_mm
            && fed > 0.005
            && caught <= 0.5 * fed
        {
            found = Some((to, caught / fed));
        }
    }
    found
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, units: UnitChoice) -> String {
    let list = &outcome.gold.recovery_by_size;
    if let Some((to, recovery)) = half_lost(list) {
        let part = if recovery > 0.45 { "Half".to_string() } else { percent(1.0 - recovery) };
        return format!("{part} of the gold finer than {} is lost", size(to, units));
    }
    let worst = list.iter().filter(|c| c.fed_share > 0.005).min_by(|a, b| a.recovery.mean.total_cmp(&b.recovery.mean));
    match worst {
        Some(c) if c.recovery.mean > 0.995 => "Gold of every size is caught".into(),
        Some(c) => format!("Gold of {} is caught worst: {}", class(c.from_mm, c.to_mm), percent(c.recovery.mean)),
        None => "Share of the gold caught, by its size".into(),
    }
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let list = &outcome.gold.recovery_by_size;
    let picked: Vec<String> = list
        .iter()
        .step_by((list.len() / 5).max(1))
        .map(|c| format!("{} {}", class(c.from_mm, c.to_mm), percent(c.recovery.mean)))
        .collect();
    format!(
        "{}. Share caught by size of the gold: {}. Bars beneath show how much of the gold fed is of each size.",
        title(outcome, units),
        picked.join("; ")
    )
}

/// The numbers.
pub fn table(outcome: &RunResult, _units: UnitChoice) -> Table {
    let headers = [
        "Size of gold",
        "Finer than US sieve",
        "Share of gold fed",
        "Caught",
        "1 run in 10 falls below",
        "Middle",
        "1 run in 10 is above",
    ];
    let rows = outcome.gold.recovery_by_size.iter().map(|c| {
        let r = &c.recovery;
        let number = c.to_mm.and_then(sieve).unwrap_or_else(|| "-".into());
        vec![
            class(c.from_mm, c.to_mm),
            number,
            percent(c.fed_share),
            percent(r.mean),
            percent(r.pctl_10),
            percent(r.pctl_50),
            percent(r.pctl_90),
        ]
    });
    Table { headers: headers.map(String::from).to_vec(), rows: rows.collect() }
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let list = &drawn(outcome);
    let x = (list.first().map_or(0.01, |c| edges(c).0), list.last().map_or(10.0, |c| edges(c).1));
    let upper = Frame {
        left: 92.0,
        right: WIDTH - MARGIN - 12.0,
        top: top + 46.0,
        bottom: top + 46.0 + CURVE,
        x,
        y: (0.0, 1.0),
        log: true,
    };
    sheet.text("Caught, % of the gold of that size", (MARGIN, top + 14.0), Hang::Right, INK)?;
    upper.levels(&sheet, &[0.0, 0.25, 0.5, 0.75, 1.0].map(|v| (v, format!("{:.0} %", 100.0 * v))))?;
    let point = |c: &SizeRecovery, v: f64| -> Point { upper.at((middle(c), v.clamp(0.0, 1.0))) };
    let mut band: Vec<Point> = list.iter().map(|c| point(c, c.recovery.pctl_90)).collect();
    band.extend(list.iter().rev().map(|c| point(c, c.recovery.pctl_10)));
    sheet.face(&band, GOLD_PALE)?;
    for value in [0.25, 0.5, 0.75] {
        let y = upper.up(value);
        sheet.line(&[(upper.left, y), (upper.right, y)], 1.0, crate::figures::style::RULE, SOLID)?;
    }
    for edge in [0, 1] {
        let line: Vec<Point> =
            list.iter().map(|c| point(c, if edge == 0 { c.recovery.pctl_10 } else { c.recovery.pctl_90 })).collect();
        sheet.line(&line, 1.0, GOLD, crate::figures::style::DOTTED)?;
    }
    sheet.line(&list.iter().map(|c| point(c, c.recovery.mean)).collect::<Vec<_>>(), 4.0, GOLD, SOLID)?;

    let most = list.iter().map(|c| c.fed_share).fold(0.0, f64::max);
    let ticks = steps(most * 100.0);
    let bottom = upper.bottom + BETWEEN + BARS;
    let lower = Frame { top: bottom - BARS, bottom, y: (0.0, ticks.last().copied().unwrap_or(1.0) / 100.0), ..upper };
    sheet.text("band: 8 runs in 10 lie within", (upper.right, upper.bottom + 18.0), Hang::Left, QUIET)?;
    sheet.text("Fed, % of all gold", (MARGIN, lower.top - 28.0), Hang::Right, INK)?;
    let ends: Vec<(f64, String)> =
        [ticks.first(), ticks.last()].into_iter().flatten().map(|t| (t / 100.0, format!("{t} %"))).collect();
    lower.levels(&sheet, &ends)?;
    for c in list {
        let (a, b) = edges(c);
        sheet.bar((lower.across(a), lower.bottom), (lower.across(b), lower.up(c.fed_share)), STONE, Hatch::None)?;
    }
    lower.sizes(&sheet, "Size of the gold, mm (US sieve number, inches)")
}
