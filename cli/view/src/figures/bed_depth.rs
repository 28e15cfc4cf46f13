//! Depth of the gravel along the drum, with its rings and the feed opening, and the share of the drum that it fills.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::constants::{FOOT_M, INCH_M};
use sim_core::curves::{Curves, Mark};
use sim_core::quantity::{Dimension, UnitChoice, show, show_both};
use sim_core::stats::summary::Summary;
use washgraph_model::result::{Profile, RunResult};

use crate::figures::axis::{Frame, steps};
use crate::figures::sheet::{Hang, Point, Sheet, title_height};
use crate::figures::style::{DOTTED, INK, MARGIN, QUIET, RULE, SOLID, STONE, WIDTH};
use crate::figures::{FigureError, curve_sheet};
use crate::numbers::{percent, three};
use crate::tables::Table;

/// Name of the profile in results.
const PROFILE: &str = "bed_depth";
const PLOT: f64 = 260.0;

fn profile(outcome: &RunResult) -> Option<&Profile> {
    outcome.profiles.iter().find(|p| p.name == PROFILE && p.at_m.len() > 1 && p.at_m.len() == p.value.len())
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    profile(outcome).is_some_and(|p| {
        p.at_m.iter().all(|x| x.is_finite())
            && p.at_m.first() < p.at_m.last()
            && p.value.iter().any(|v| v.pctl_50 > 0.0)
    })
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    title_height(&title(outcome, units)) + 46.0 + PLOT + 84.0
}

/// The bed of the middle case with the marks of the shell.
fn shell(outcome: &RunResult) -> Option<&Curves> {
    curve_sheet::find(outcome, "drum-along")
}

/// Rings that are there, with the feed opening.
fn rings(outcome: &RunResult) -> impl Iterator<Item = &Mark> {
    shell(outcome).into_iter().flat_map(|c| &c.marks).filter(|m| m.height > 0.0)
}

/// Share of the drum filled at a place along it, in the middle case.
fn fill_at(outcome: &RunResult, at_m: f64) -> Option<f64> {
    let c = shell(outcome)?;
    let nearest = (0..c.x.len()).min_by(|a, b| (c.x[*a] - at_m).abs().total_cmp(&(c.x[*b] - at_m).abs()))?;
    c.panels.get(1)?.lines.first()?.y.get(nearest).copied().flatten()
}

fn deepest(p: &Profile) -> Option<(f64, &Summary)> {
    p.at_m.iter().copied().zip(&p.value).max_by(|a, b| a.1.pctl_50.total_cmp(&b.1.pctl_50))
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, units: UnitChoice) -> String {
    let Some((p, (at, depth))) = profile(outcome).and_then(|p| deepest(p).map(|d| (p, d))) else {
        return "Depth of the bed".into();
    };
    let first = p.at_m.first().copied().unwrap_or(0.0);
    let length = p.at_m.last().copied().unwrap_or(0.0) - first;
    let place = if at - first < 0.1 * length {
        "at the feed end".to_string()
    } else if at - first > 0.9 * length {
        "at the discharge end".to_string()
    } else {
        format!("{} from the feed end", show_both(at, Dimension::Length, units))
    };
    format!(
        "The gravel in the {} lies deepest {place}: {}",
        p.stage,
        show_both(depth.pctl_50, Dimension::Length, units)
    )
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let end = profile(outcome).and_then(|p| p.value.last()).map_or(String::new(), |s| {
        format!(" At the discharge end it is {} deep.", show_both(s.pctl_50, Dimension::Length, units))
    });
    let rings: Vec<String> = rings(outcome)
        .filter(|m| m.at > 0.0)
        .map(|m| format!(" {}: {}.", crate::numbers::capital(&m.words), show_both(m.height, Dimension::Length, units)))
        .collect();
    let end = format!("{end}{}", rings.concat());
    format!("{}.{end} The line is the middle of all runs; within the band lie 8 runs in 10.", title(outcome, units))
}

/// The numbers.
pub fn table(outcome: &RunResult, units: UnitChoice) -> Table {
    let headers =
        ["From the feed end", "1 run in 10 falls below", "Middle", "1 run in 10 is above", "Share of the drum filled"];
    let both = |v: f64| show_both(v, Dimension::Length, units);
    let rows = profile(outcome).map_or(Vec::new(), |p| {
        p.at_m
            .iter()
            .zip(&p.value)
            .map(|(x, s)| {
                let fill = fill_at(outcome, *x).map_or("no value".into(), percent);
                vec![both(*x), both(s.pctl_10), both(s.pctl_50), both(s.pctl_90), fill]
            })
            .collect()
    });
    Table { headers: headers.map(String::from).to_vec(), rows }
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let Some(p) = profile(outcome) else {
        return Ok(());
    };
    let (deep, along, deep_name, along_name) = match units {
        UnitChoice::Metric => (1e-3, 1.0, "mm", "m"),
        _ => (INCH_M, FOOT_M, "in", "ft"),
    };
    let tallest = rings(outcome).map(|m| m.height).fold(0.0, f64::max);
    let most = p.value.iter().map(|s| s.pctl_90).fold(tallest, f64::max) / deep;
    let ticks = steps(most);
    let (from, to) = (p.at_m.first().copied().unwrap_or(0.0), p.at_m.last().copied().unwrap_or(1.0));
    let f = Frame {
        left: 92.0,
        right: WIDTH - MARGIN - if units == UnitChoice::Metric { 12.0 } else { 64.0 },
        top: top + 46.0,
        bottom: top + 46.0 + PLOT,
        x: (from.min(0.0) / along, to / along),
        y: (0.0, ticks.last().copied().unwrap_or(1.0)),
        log: false,
    };
    sheet.text(&format!("Depth of the bed, {deep_name}"), (MARGIN, top + 14.0), Hang::Right, INK)?;
    f.levels(&sheet, &ticks.iter().map(|t| (*t, format!("{t}"))).collect::<Vec<_>>())?;
    if units != UnitChoice::Metric {
        sheet.text("mm", (WIDTH - MARGIN, top + 14.0), Hang::Left, QUIET)?;
        for t in &ticks {
            sheet.text(&format!("{:.0}", t * deep * 1e3), (f.right + 10.0, f.up(*t)), Hang::Right, QUIET)?;
        }
    }
    let point = |(x, v): (&f64, f64)| -> Point { f.at((x / along, v / deep)) };
    let line =
        |pick: fn(&Summary) -> f64| -> Vec<Point> { p.at_m.iter().zip(p.value.iter().map(pick)).map(point).collect() };
    let (low, high) = (line(|s| s.pctl_10), line(|s| s.pctl_90));
    let mut band = high.clone();
    band.extend(low.iter().rev().copied());
    sheet.face(&band, STONE)?;
    for t in &ticks {
        sheet.line(&[(f.left, f.up(*t)), (f.right, f.up(*t))], 1.0, RULE, SOLID)?;
    }
    sheet.line(&low, 1.0, QUIET, DOTTED)?;
    sheet.line(&high, 1.0, QUIET, DOTTED)?;
    sheet.line(&line(|s| s.pctl_50), 4.0, INK, SOLID)?;
    for mark in rings(outcome) {
        // A ring is a bar on the shell; the feed opening hangs at the left.
        let (x, top) = f.at((mark.at / along, mark.height / deep));
        let x = x.clamp(f.left + 4.0, f.right - 4.0);
        sheet.face(&[(x - 4.0, top), (x + 4.0, top), (x + 4.0, f.bottom), (x - 4.0, f.bottom)], INK)?;
        let (hang, to) = if mark.at > 0.0 { (Hang::Left, x - 8.0) } else { (Hang::Right, x + 8.0) };
        let words = if mark.at > 0.0 { "ring " } else { "feed opening " };
        let level = if mark.at > 0.0 { (top + f.bottom) / 2.0 } else { top - 12.0 };
        sheet.text(&format!("{words}{}", show(mark.height, Dimension::Length, units)), (to, level), hang, INK)?;
    }
    sheet.line(&[(f.left, f.bottom), (f.right, f.bottom)], 1.5, INK, SOLID)?;
    for t in steps(f.x.1).into_iter().filter(|t| *t <= f.x.1 * 1.0001) {
        let x = f.across(t);
        sheet.line(&[(x, f.bottom), (x, f.bottom + 7.0)], 1.5, INK, SOLID)?;
        sheet.text(&format!("{t}"), (x, f.bottom + 22.0), Hang::Middle, INK)?;
    }
    let name = match units {
        UnitChoice::Metric => format!("Along the drum from the feed end, {along_name}"),
        _ => format!("Along the drum from the feed end, {along_name} (to {} m)", three(to)),
    };
    sheet.text(&name, ((f.left + f.right) / 2.0, f.bottom + 50.0), Hang::Middle, INK)?;
    sheet.text(
        "line: middle of the runs; band: 8 runs in 10; bars: rings",
        ((f.left + f.right) / 2.0, f.bottom + 74.0),
        Hang::Middle,
        QUIET,
    )
}
