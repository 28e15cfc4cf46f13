//! What is lost, one row a reason, by the size of the gold; all rows at one scale.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use washgraph_model::result::{Loss, RunResult};

use crate::figures::FigureError;
use crate::figures::axis::{Frame, SIZES_HEIGHT};
use crate::figures::recovery_by_size::edges;
use crate::figures::sheet::{Hang, Sheet, title_height, width_of};
use crate::figures::style::{HATCHES, INK, LOST, MARGIN, QUIET, RULE, SOLID, TEXT, WIDTH};
use crate::numbers::{class, percent};
use crate::tables::Table;

const ROWS: usize = 6;
const LABEL: f64 = 44.0;
/// Tallest bar of all.
const BAR: f64 = 72.0;
/// Room above the tallest bar of a row for its number.
const NUMBER: f64 = 28.0;

/// Losses shown.
fn shown(outcome: &RunResult) -> Vec<&Loss> {
    outcome.losses.iter().filter(|l| l.share_of_fed.mean > 0.0005).take(ROWS).collect()
}

fn lost(outcome: &RunResult) -> f64 {
    outcome.losses.iter().map(|l| l.share_of_fed.mean).sum()
}

fn tallest(l: &Loss) -> f64 {
    l.by_size.iter().copied().fold(0.0, f64::max)
}

/// Height of the bars of each row, with the numbers above them.
fn row_heights(rows: &[&Loss]) -> Vec<f64> {
    let most = rows.iter().map(|l| tallest(l)).fold(1e-9, f64::max);
    rows.iter().map(|l| NUMBER + BAR * tallest(l) / most).collect()
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    let classes = outcome.gold.recovery_by_size.len();
    let rows = shown(outcome);
    classes > 1 && !rows.is_empty() && rows.iter().all(|l| l.by_size.len() == classes)
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    let hidden = outcome.losses.len() > shown(outcome).len();
    title_height(&title(outcome, units))
        + 30.0
        + row_heights(&shown(outcome)).iter().map(|h| h + LABEL).sum::<f64>()
        + SIZES_HEIGHT
        + if hidden { 28.0 } else { 0.0 }
}

/// Name of a loss.
fn name(l: &Loss) -> String {
    if l.stage.is_empty() { l.reason.clone() } else { format!("{}: {}", l.stage, l.reason) }
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, _units: UnitChoice) -> String {
    match outcome.losses.first() {
        Some(l) => format!(
            "{} of what is lost has one cause: {}",
            percent(l.share_of_fed.mean / lost(outcome)),
            if l.stage.is_empty() { l.reason.clone() } else { format!("{} ({})", l.reason, l.stage) }
        ),
        None => "No gold is lost".into(),
    }
}

/// Class in which most is lost that way.
fn peak(l: &Loss, outcome: &RunResult) -> String {
    let best = l.by_size.iter().zip(&outcome.gold.recovery_by_size).max_by(|a, b| a.0.total_cmp(b.0));
    best.map_or(String::new(), |(_, c)| class(c.from_mm, c.to_mm))
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let list: Vec<String> = shown(outcome)
        .iter()
        .map(|l| format!("{} {}, most of it {}", name(l), percent(l.share_of_fed.mean), peak(l, outcome)))
        .collect();
    format!(
        "{}. One row of bars a reason, by size of the gold, as shares of all gold fed: {}.",
        title(outcome, units),
        list.join("; ")
    )
}

/// The numbers.
pub fn table(outcome: &RunResult, _units: UnitChoice) -> Table {
    let mut headers = vec!["Size of gold".to_string()];
    headers.extend(outcome.losses.iter().map(|l| format!("{}, % of all gold fed", name(l))));
    let rows = outcome.gold.recovery_by_size.iter().enumerate().map(|(i, c)| {
        let mut row = vec![class(c.from_mm, c.to_mm)];
        row.extend(outcome.losses.iter().map(|l| l.by_size.get(i).map_or("-".into(), |v| format!("{:.2}", 100.0 * v))));
        row
    });
    Table { headers, rows: rows.collect() }
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let classes = &outcome.gold.recovery_by_size;
    let rows = shown(outcome);
    let most = rows.iter().map(|l| tallest(l)).fold(1e-9, f64::max);
    let x = (classes.first().map_or(0.01, |c| edges(c).0), classes.last().map_or(10.0, |c| edges(c).1));
    let mut frame =
        Frame { left: MARGIN + 22.0, right: WIDTH - MARGIN - 22.0, top, bottom: top, x, y: (0.0, most), log: true };
    sheet.text(
        "Shares of all gold fed; the tallest bar of each row is marked",
        (MARGIN, top + 12.0),
        Hang::Right,
        QUIET,
    )?;
    frame.bottom = top + 30.0;
    for (i, (l, high)) in rows.iter().zip(row_heights(&rows)).enumerate() {
        frame.top = frame.bottom + LABEL;
        frame.bottom = frame.top + high;
        let share = percent(l.share_of_fed.mean);
        sheet.text_in(&share, (frame.left, frame.top - 12.0), Hang::Right, TEXT, true, INK)?;
        sheet.text(&name(l), (frame.left + width_of(&share, TEXT, true) + 12.0, frame.top - 12.0), Hang::Right, INK)?;
        sheet.line(&[(frame.left, frame.bottom), (frame.right, frame.bottom)], 1.0, RULE, SOLID)?;
        let hatch = HATCHES.get(i % HATCHES.len()).copied().unwrap_or(crate::figures::style::Hatch::None);
        let tall = |v: f64| frame.bottom - v / most * BAR;
        let peak = tallest(l);
        let mut marked = false;
        for (c, v) in classes.iter().zip(&l.by_size).filter(|(_, v)| **v > 0.0) {
            let (a, b) = edges(c);
            let (x0, x1) = (frame.across(a), frame.across(b));
            if frame.bottom - tall(*v) >= 0.7 {
                sheet.bar((x0, frame.bottom), (x1, tall(*v)), LOST, hatch)?;
            }
            if *v == peak && !marked {
                marked = true;
                sheet.text(&percent(*v), ((x0 + x1) / 2.0, tall(*v) - 12.0), Hang::Middle, QUIET)?;
            }
        }
    }
    frame.sizes(&sheet, "Size of the gold, mm (US sieve number, inches)")?;
    let rest = lost(outcome) - rows.iter().map(|l| l.share_of_fed.mean).sum::<f64>();
    if outcome.losses.len() > rows.len() {
        sheet.text(
            &format!("Further losses, together {}: see the table", percent(rest.max(0.0))),
            (MARGIN, frame.bottom + SIZES_HEIGHT + 10.0),
            Hang::Right,
            QUIET,
        )?;
    }
    Ok(())
}
