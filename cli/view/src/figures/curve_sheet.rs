//! Curves of a stage on a sheet: one frame per panel, lines told apart by dash and by a name at their end.

use plotters::prelude::DrawingBackend;
use sim_core::curves::{Axis, Curves, Panel};
use sim_core::quantity::{Dimension, UnitChoice, convert_to, preferred, show_both};
use washgraph_model::result::RunResult;

use crate::figures::FigureError;
use crate::figures::axis::{Frame, steps};
use crate::figures::sheet::{Hang, Point, Sheet, title_height, width_of};
use crate::figures::style::{DASHED, DOTTED, INK, MARGIN, QUIET, SOLID, TEXT, WIDTH};
use crate::tables::Table;

const PLOT: f64 = 210.0;
/// Space above a frame for its name, and below the last one for the axis.
const ABOVE: f64 = 62.0;
const BELOW: f64 = 84.0;
/// Least distance of the names of two lines.
const BETWEEN_NAMES: f64 = 23.0;
/// Length of the sample of a line beside its name.
const SAMPLE: f64 = 44.0;
const LONG_DASH: &[f64] = &[26.0, 8.0];
const DASH_DOT: &[f64] = &[14.0, 6.0, 3.0, 6.0];
/// Width and dash of lines, in the order in which they are given out.
const STROKES: [(f64, &[f64]); 6] =
    [(3.5, SOLID), (3.0, LONG_DASH), (3.0, DASHED), (3.0, DASH_DOT), (3.0, DOTTED), (1.5, SOLID)];

/// The curves of that name, when they can be drawn.
pub fn find<'a>(outcome: &'a RunResult, name: &str) -> Option<&'a Curves> {
    outcome.curves.iter().find(|c| {
        let finite = c.x.len() > 1 && c.x.iter().all(|x| x.is_finite()) && c.x.first() < c.x.last();
        c.name == name && finite && c.panels.iter().any(|p| p.lines.iter().any(|l| l.y.iter().flatten().count() > 1))
    })
}

/// Height of the sheet.
pub fn height(curves: &Curves, title: &str) -> f64 {
    title_height(title) + curves.panels.len() as f64 * (ABOVE + PLOT) + BELOW
}

/// Unit of an axis and its size in SI. Long ways are told in feet or metres.
fn unit(axis: &Axis, across: bool, units: UnitChoice) -> (&'static str, f64) {
    let dimension = axis.dimension;
    let symbol = match (dimension, across, units) {
        (Dimension::Length, true, UnitChoice::Metric) => "m",
        (Dimension::Length, true, _) => "ft",
        _ => preferred(dimension, units),
    };
    match convert_to(1.0, dimension, symbol) {
        Some(per_si) if per_si > 0.0 => (symbol, 1.0 / per_si),
        _ => ("", 1.0),
    }
}

fn named(axis: &Axis, symbol: &str) -> String {
    if symbol.is_empty() || symbol == "-" { axis.words.clone() } else { format!("{}, {symbol}", axis.words) }
}

/// The numbers: a row per position, a column per line.
pub fn table(curves: &Curves, units: UnitChoice) -> Table {
    let lines = || curves.panels.iter().flat_map(|p| p.lines.iter().map(move |l| (p, l)));
    let mut headers = vec![crate::numbers::capital(&curves.across.words)];
    headers.extend(lines().map(|(p, l)| crate::numbers::capital(&format!("{}, {}", p.up.words, l.words))));
    let rows = curves.x.iter().enumerate().map(|(i, x)| {
        let mut row = vec![show_both(*x, curves.across.dimension, units)];
        row.extend(lines().map(|(p, l)| match l.y.get(i).copied().flatten() {
            Some(y) => show_both(y, p.up.dimension, units),
            None => "more than the drum carries".into(),
        }));
        row
    });
    Table { headers, rows: rows.collect() }
}

/// Draws them below a title.
pub fn draw<B: DrawingBackend>(
    sheet: &Sheet<'_, B>,
    top: f64,
    curves: &Curves,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let names =
        curves.panels.iter().flat_map(|p| &p.lines).map(|l| width_of(&l.words, TEXT, false)).fold(0.0, f64::max);
    let several = curves.panels.iter().any(|p| p.lines.len() > 1);
    let right = WIDTH - MARGIN - if several { (names + SAMPLE + 20.0).min(0.45 * WIDTH) } else { 12.0 };
    let (across, x_size) = unit(&curves.across, true, units);
    let (from, to) = (curves.x.first().copied().unwrap_or(0.0), curves.x.last().copied().unwrap_or(1.0));
    let from = if from < 0.35 * to { 0.0 } else { from };
    let mut bottom = top;
    for (k, panel) in curves.panels.iter().enumerate() {
        let (up, y_size) = unit(&panel.up, false, units);
        let most = panel.lines.iter().flat_map(|l| l.y.iter().flatten()).copied().fold(0.0, f64::max) / y_size;
        let ticks = steps(most);
        let frame = Frame {
            left: 92.0,
            right,
            top: bottom + ABOVE,
            bottom: bottom + ABOVE + PLOT,
            x: (from / x_size, to / x_size),
            y: (0.0, ticks.last().copied().unwrap_or(1.0)),
            log: false,
        };
        bottom = frame.bottom;
        sheet.text(&crate::numbers::capital(&named(&panel.up, up)), (MARGIN, frame.top - 30.0), Hang::Right, INK)?;
        frame.levels(sheet, &ticks.iter().map(|t| (*t, format!("{t}"))).collect::<Vec<_>>())?;
        if let Some(now) = curves.now {
            let x = frame.across(now / x_size);
            sheet.line(&[(x, frame.top), (x, frame.bottom)], 1.5, QUIET, DOTTED)?;
            if k == 0 {
                sheet.text("as planned", (x, frame.top - 12.0), Hang::Middle, QUIET)?;
            }
        }
        panel_lines(sheet, &frame, panel, &curves.x, (x_size, y_size))?;
        sheet.line(&[(frame.left, frame.bottom), (frame.right, frame.bottom)], 1.5, INK, SOLID)?;
        for t in steps(to / x_size).into_iter().filter(|t| *t >= frame.x.0 * 0.999 && *t <= frame.x.1 * 1.0001) {
            let x = frame.across(t);
            sheet.line(&[(x, frame.bottom), (x, frame.bottom + 7.0)], 1.5, INK, SOLID)?;
            if k + 1 == curves.panels.len() {
                sheet.text(&format!("{t}"), (x, frame.bottom + 20.0), Hang::Middle, INK)?;
            }
        }
    }
    let name = crate::numbers::capital(&named(&curves.across, across));
    sheet.text(&name, ((92.0 + right) / 2.0, bottom + 52.0), Hang::Middle, INK)
}

/// The lines of a panel, each broken where it has no value, with their names at the right.
fn panel_lines<B: DrawingBackend>(
    sheet: &Sheet<'_, B>,
    frame: &Frame,
    panel: &Panel,
    x: &[f64],
    (x_size, y_size): (f64, f64),
) -> Result<(), FigureError> {
    let mut names: Vec<(f64, usize)> = Vec::new();
    for (i, line) in panel.lines.iter().enumerate() {
        let (width, dashes) = STROKES[i % STROKES.len()];
        let mut piece: Vec<Point> = Vec::new();
        let mut last = None;
        for (x, y) in x.iter().zip(&line.y) {
            match y {
                Some(y) if y.is_finite() => {
                    piece.push(frame.at((x / x_size, y / y_size)));
                    last = piece.last().copied();
                }
                _ => {
                    if piece.len() > 1 {
                        sheet.line(&piece, width, INK, dashes)?;
                    }
                    piece.clear();
                }
            }
        }
        if piece.len() > 1 {
            sheet.line(&piece, width, INK, dashes)?;
        }
        if let Some((_, y)) = last {
            names.push((y, i));
        }
    }
    if panel.lines.len() < 2 {
        return Ok(());
    }
    // Names keep their distance: pushed down from above, then up again when they leave the frame.
    names.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = frame.top;
    for (y, _) in &mut names {
        *y = y.max(free);
        free = *y + BETWEEN_NAMES;
    }
    let mut free = frame.bottom;
    for (y, _) in names.iter_mut().rev() {
        *y = y.min(free);
        free = *y - BETWEEN_NAMES;
    }
    for (y, i) in names {
        let (width, dashes) = STROKES[i % STROKES.len()];
        let (from, to) = (frame.right + 8.0, frame.right + 8.0 + SAMPLE);
        sheet.line(&[(from, y), (to, y)], width, INK, dashes)?;
        sheet.text(&panel.lines[i].words, (to + 6.0, y), Hang::Right, INK)?;
    }
    Ok(())
}
