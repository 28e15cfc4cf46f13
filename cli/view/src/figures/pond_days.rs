//! The pond over the days of the cut: water line and mud above, dirt of the return water below.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::constants::FOOT_M;
use sim_core::quantity::{Dimension, UnitChoice, show, show_both};
use sim_core::stats::summary::Summary;
use washgraph_model::result::{Course, RunResult};

use crate::figures::FigureError;
use crate::figures::axis::{Frame, steps};
use crate::figures::sheet::{Hang, Point, Sheet, title_height};
use crate::figures::style::{DOTTED, INK, LOST, MARGIN, QUIET, SOLID, STONE, WIDTH};
use crate::tables::Table;

const LEVEL: &str = "pond_level";
const MUD: &str = "pond_mud_level";
const FINES: &str = "pond_returned_fines";
const RUNNING: &str = "pond_running";
const PLOT: f64 = 200.0;
/// From the foot of the upper frame to the head of the lower one.
const BETWEEN: f64 = 72.0;
/// Least distance of two names.
const APART: f64 = 26.0;

/// The courses, over the same days.
struct Courses<'a> {
    level: &'a Course,
    mud: &'a Course,
    fines: &'a Course,
    running: Option<&'a Course>,
}

fn courses(outcome: &RunResult) -> Option<Courses<'_>> {
    let find = |name: &str| outcome.over_days.iter().find(|c| c.name == name && c.day.len() == c.value.len());
    let (level, mud, fines) = (find(LEVEL)?, find(MUD)?, find(FINES)?);
    let same = level.day == mud.day && level.day == fines.day && level.day.len() > 1;
    same.then_some(Courses { level, mud, fines, running: find(RUNNING) })
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    courses(outcome).is_some()
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    title_height(&title(outcome, units)) + 46.0 + PLOT + BETWEEN + PLOT + 108.0
}

fn last(c: &Course) -> (f64, Summary) {
    let nothing = Summary { mean: 0.0, pctl_10: 0.0, pctl_50: 0.0, pctl_90: 0.0 };
    (c.day.last().copied().unwrap_or(0.0), c.value.last().copied().unwrap_or(nothing))
}

fn first(c: &Course) -> f64 {
    c.value.first().map_or(0.0, |s| s.pctl_50)
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, units: UnitChoice) -> String {
    let Some(c) = courses(outcome) else { return "The pond over the days".into() };
    let ((days, level), (_, mud), (_, fines)) = (last(c.level), last(c.mud), last(c.fines));
    let dirt = show(fines.pctl_50, Dimension::Density, units);
    if let Some(day) = stands_from(&c) {
        return format!(
            "In the middle run the plant stands from about day {day:.0} for want of water or room in the pond; its water carries {dirt} of fines by then"
        );
    }
    let fall_m = first(c.level) - level.pctl_50;
    let water = if fall_m > 0.02 * first(c.level) {
        format!("the water line falls {}", show(fall_m, Dimension::Length, units))
    } else {
        "the pond keeps its level".into()
    };
    format!(
        "In the middle run {water} over {days:.0} days, mud lies {} deep, and the water comes back with {dirt} of fines",
        show(mud.pctl_50, Dimension::Length, units)
    )
}

/// First day shown on which the plant runs less than half its hours in the middle run.
fn stands_from(c: &Courses<'_>) -> Option<f64> {
    let running = c.running?;
    running.day.iter().zip(&running.value).find(|(_, s)| s.pctl_50 < 0.5).map(|(day, _)| *day)
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let Some(c) = courses(outcome) else { return title(outcome, units) };
    let ((_, level), (_, mud), (_, fines)) = (last(c.level), last(c.mud), last(c.fines));
    let deep = |v: f64| show_both(v, Dimension::Length, units);
    format!(
        "{}. Two curves over the days. Above: the water line ends {} over the bottom (1 run in 10 falls below {}), the mud {}. Below: the fines in the \
         return water when a day's run ends: 1 run in 10 falls below {}, 1 run in 10 is above {}.",
        title(outcome, units),
        deep(level.pctl_50),
        deep(level.pctl_10),
        deep(mud.pctl_50),
        show(fines.pctl_10, Dimension::Density, units),
        show(fines.pctl_90, Dimension::Density, units)
    )
}

/// The numbers.
pub fn table(outcome: &RunResult, units: UnitChoice) -> Table {
    let headers = [
        "Day",
        "Water line, middle",
        "1 run in 10 falls below",
        "Mud, middle",
        "1 run in 10 is above",
        "Fines in the return water, middle",
        "1 run in 10 is above",
    ];
    let deep = |v: f64| show_both(v, Dimension::Length, units);
    let dirt = |v: f64| show_both(v, Dimension::Density, units);
    let rows = courses(outcome).map_or(Vec::new(), |c| {
        let all = c.level.day.iter().zip(&c.level.value).zip(&c.mud.value).zip(&c.fines.value);
        all.map(|(((day, level), mud), fines)| {
            vec![
                format!("{day:.0}"),
                deep(level.pctl_50),
                deep(level.pctl_10),
                deep(mud.pctl_50),
                deep(mud.pctl_90),
                dirt(fines.pctl_50),
                dirt(fines.pctl_90),
            ]
        })
        .collect()
    });
    Table { headers: headers.map(String::from).to_vec(), rows }
}

fn line(f: &Frame, course: &Course, scale: f64, pick: fn(&Summary) -> f64) -> Vec<Point> {
    course.day.iter().zip(&course.value).map(|(d, s)| f.at((*d, pick(s) / scale))).collect()
}

/// The band of 8 runs in 10.
fn band<B: DrawingBackend>(
    sheet: &Sheet<'_, B>,
    f: &Frame,
    course: &Course,
    scale: f64,
    face: plotters::style::RGBColor,
) -> Result<(), FigureError> {
    let (low, high) = (line(f, course, scale, |s| s.pctl_10), line(f, course, scale, |s| s.pctl_90));
    let mut both = high.clone();
    both.extend(low.iter().rev().copied());
    sheet.face(&both, face)?;
    sheet.line(&low, 1.0, QUIET, DOTTED)?;
    sheet.line(&high, 1.0, QUIET, DOTTED)
}

/// The line of the middle runs.
fn middle_line<B: DrawingBackend>(
    sheet: &Sheet<'_, B>,
    f: &Frame,
    course: &Course,
    scale: f64,
) -> Result<(), FigureError> {
    sheet.line(&line(f, course, scale, |s| s.pctl_50), 4.0, INK, SOLID)
}

fn frame(top: f64, days: f64, most: f64, scale: f64) -> (Frame, Vec<f64>) {
    let ticks = steps(most / scale);
    let y = (0.0, ticks.last().copied().unwrap_or(1.0));
    let f = Frame { left: 84.0, right: WIDTH - MARGIN - 70.0, top, bottom: top + PLOT, x: (0.0, days), y, log: false };
    (f, ticks)
}

fn most(course: &Course) -> f64 {
    course.value.iter().map(|s| s.pctl_90).fold(0.0, f64::max)
}

/// Names of the two lines at their right ends, the mud's below the water's even where both lie together.
fn names<B: DrawingBackend>(sheet: &Sheet<'_, B>, f: &Frame, water: f64, mud: f64) -> Result<(), FigureError> {
    let place = |value: f64| f.up(value).clamp(f.top + 10.0, f.bottom - 10.0);
    let at_water = place(water).min(f.bottom - 10.0 - APART);
    let at_mud = place(mud).max(at_water + APART);
    sheet.text("water", (f.right + 8.0, at_water), Hang::Right, INK)?;
    sheet.text("mud", (f.right + 8.0, at_mud), Hang::Right, INK)
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let Some(c) = courses(outcome) else { return Ok(()) };
    let (scale, unit) = if units == UnitChoice::Metric { (1.0, "m") } else { (FOOT_M, "ft") };
    let (days, level_end) = last(c.level);
    let labels = |ticks: &[f64]| ticks.iter().map(|t| (*t, format!("{t}"))).collect::<Vec<_>>();

    let (upper, ticks) = frame(top + 46.0, days, most(c.level), scale);
    sheet.text(&format!("Height over the bottom, {unit}"), (MARGIN, top + 14.0), Hang::Right, INK)?;
    band(&sheet, &upper, c.level, scale, STONE)?;
    band(&sheet, &upper, c.mud, scale, LOST)?;
    upper.levels(&sheet, &labels(&ticks))?;
    middle_line(&sheet, &upper, c.level, scale)?;
    middle_line(&sheet, &upper, c.mud, scale)?;
    sheet.line(&[(upper.left, upper.bottom), (upper.right, upper.bottom)], 1.5, INK, SOLID)?;
    names(&sheet, &upper, level_end.pctl_50 / scale, last(c.mud).1.pctl_50 / scale)?;

    let (lower, ticks) = frame(upper.bottom + BETWEEN, days, most(c.fines), 1.0);
    sheet.text("Fines in the return water, g/L", (MARGIN, lower.top - 32.0), Hang::Right, INK)?;
    band(&sheet, &lower, c.fines, 1.0, STONE)?;
    lower.levels(&sheet, &labels(&ticks))?;
    middle_line(&sheet, &lower, c.fines, 1.0)?;
    sheet.line(&[(lower.left, lower.bottom), (lower.right, lower.bottom)], 1.5, INK, SOLID)?;
    for t in steps(days).into_iter().filter(|t| *t <= days * 1.0001) {
        for f in [&upper, &lower] {
            sheet.line(&[(f.across(t), f.bottom), (f.across(t), f.bottom + 7.0)], 1.5, INK, SOLID)?;
        }
        sheet.text(&format!("{t}"), (lower.across(t), lower.bottom + 22.0), Hang::Middle, INK)?;
    }
    let middle = (lower.left + lower.right) / 2.0;
    sheet.text("Days from the start of the cut", (middle, lower.bottom + 50.0), Hang::Middle, INK)?;
    sheet.text("line: middle of the runs; band: 8 runs in 10", (middle, lower.bottom + 76.0), Hang::Middle, QUIET)
}
