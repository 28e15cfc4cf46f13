//! Gradation of the rock fed, of what goes through the holes and of what goes over the end.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::size::SOLID_EDGES_M;
use washgraph_model::result::{RunResult, StreamGradation};

use crate::figures::FigureError;
use crate::figures::axis::{Frame, SIZES_HEIGHT};
use crate::figures::sheet::{Hang, Sheet, title_height, width_of};
use crate::figures::style::{DASHED, DOTTED, GOLD, INK, MARGIN, QUIET, SOLID, TEXT, WIDTH};
use crate::numbers::{mm, percent, sieve};
use crate::tables::Table;

const PLOT: f64 = 346.0;
const T_H_PER_KG_S: f64 = 3.6;

/// Meaning of a stream that is drawn.
struct Line<'a> {
    stream: &'a StreamGradation,
    words: String,
}

fn lines(outcome: &RunResult) -> Vec<Line<'_>> {
    let mut list = Vec::new();
    for g in outcome.gradations.iter().filter(|g| g.share.len() == SOLID_EDGES_M.len() + 1 && g.rock_t_h > 0.0) {
        let words = match g.stream.rsplit_once('.') {
            None if g.stream == "feed" => "fed".to_string(),
            Some((stage, "undersize")) => format!("through the holes ({stage})"),
            Some((stage, "oversize")) => format!("over the end ({stage})"),
            _ => continue,
        };
        if list.len() < 3 {
            list.push(Line { stream: g, words });
        }
    }
    list
}

/// Share finer than each edge of the grid.
fn passing(g: &StreamGradation) -> Vec<f64> {
    let mut sum = 0.0;
    g.share
        .iter()
        .take(SOLID_EDGES_M.len())
        .map(|s| {
            sum += s;
            sum
        })
        .collect()
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    !lines(outcome).is_empty()
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    title_height(&title(outcome, units)) + key_height(&lines(outcome)) + 46.0 + PLOT + SIZES_HEIGHT
}

fn key_height(list: &[Line<'_>]) -> f64 {
    list.len() as f64 * 27.0
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, _units: UnitChoice) -> String {
    let list = lines(outcome);
    let find = |end: &str| list.iter().find(|l| l.stream.stream.ends_with(end)).map(|l| l.stream.rock_t_h);
    match (find(".undersize"), find(".oversize")) {
        (Some(under), Some(over)) => format!(
            "{} of the rock goes through the holes, {} over the end",
            percent(under / (under + over)),
            percent(over / (under + over))
        ),
        _ => "How coarse the ground is".into(),
    }
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let list: Vec<String> = lines(outcome)
        .iter()
        .map(|l| match half(l.stream) {
            Some(size) => {
                format!("{}, {}, half of it finer than {} mm", l.words, rock(l.stream, units), mm(size))
            }
            None => format!("{}, {}", l.words, rock(l.stream, units)),
        })
        .collect();
    format!("{}. Curves of the share of rock finer than each size: {}.", title(outcome, units), list.join("; "))
}

/// Dry rock of a stream.
fn rock(stream: &StreamGradation, units: UnitChoice) -> String {
    show(stream.rock_t_h / T_H_PER_KG_S, Dimension::MassRate, units)
}

/// First edge below which lies half of the rock, mm.
fn half(g: &StreamGradation) -> Option<f64> {
    passing(g).iter().zip(SOLID_EDGES_M).find(|(p, _)| **p >= 0.5).map(|(_, edge)| edge * 1e3)
}

/// The numbers.
pub fn table(outcome: &RunResult, _units: UnitChoice) -> Table {
    let list = lines(outcome);
    let mut headers = vec!["Sieve, mm".to_string(), "US sieve".to_string()];
    headers.extend(list.iter().map(|l| format!("Finer, {}, %", l.words)));
    let columns: Vec<Vec<f64>> = list.iter().map(|l| passing(l.stream)).collect();
    let rows = SOLID_EDGES_M.iter().enumerate().map(|(i, edge)| {
        let mut row = vec![mm(edge * 1e3), sieve(edge * 1e3).unwrap_or_else(|| "-".into())];
        row.extend(columns.iter().map(|c| c.get(i).map_or("-".into(), |p| format!("{:.1}", 100.0 * p))));
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
    let list = lines(outcome);
    let looks = [(INK, SOLID, 3.0), (GOLD, DASHED, 4.0), (QUIET, DOTTED, 4.0)];
    let first = SOLID_EDGES_M.first().copied().unwrap_or(1e-5) * 1e3;
    let last = SOLID_EDGES_M.last().copied().unwrap_or(0.1) * 1e3;
    let begin = top + key_height(&list) + 46.0;
    let f = Frame {
        left: 92.0,
        right: WIDTH - MARGIN - 16.0,
        top: begin,
        bottom: begin + PLOT,
        x: (first, last),
        y: (0.0, 1.0),
        log: true,
    };
    for (i, (l, (color, dashes, width))) in list.iter().zip(looks).enumerate() {
        let y = top + 10.0 + 27.0 * i as f64;
        sheet.line(&[(MARGIN, y), (MARGIN + 66.0, y)], width, color, dashes)?;
        sheet.text(&l.words, (MARGIN + 80.0, y), Hang::Right, INK)?;
        let x = MARGIN + 92.0 + width_of(&l.words, TEXT, false);
        sheet.text(&format!("{} dry", rock(l.stream, units)), (x, y), Hang::Right, QUIET)?;
    }
    sheet.text("Finer than that size, % of the rock", (MARGIN, begin - 28.0), Hang::Right, INK)?;
    f.levels(&sheet, &[0.0, 0.25, 0.5, 0.75, 1.0].map(|v| (v, format!("{:.0} %", 100.0 * v))))?;
    for (l, (color, dashes, width)) in list.iter().zip(looks) {
        let points: Vec<_> = passing(l.stream)
            .iter()
            .zip(SOLID_EDGES_M)
            .map(|(p, edge)| f.at((edge * 1e3, p.clamp(0.0, 1.0))))
            .collect();
        sheet.line(&points, width, color, dashes)?;
    }
    f.sizes(&sheet, "Size of the rock, mm (US sieve number, inches)")
}
