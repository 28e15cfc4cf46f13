//! Results against a setting, each with its band, and beneath them how likely each value is the best.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;

use crate::figures::axis::{Frame, steps};
use crate::figures::difference::trimmed;
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Point, Sheet, title_height, width_of};
use crate::figures::style::{
    DASHED, DOTTED, GOLD, GOLD_PALE, HATCHES, Hatch, INK, MARGIN, QUIET, RULE, SOLID, STONE, TEXT, WIDTH,
};
use crate::figures::{Figure, FigureError};
use crate::tables::Table;

const CURVE: f64 = 250.0;
const BARS: f64 = 100.0;
const HEAD: f64 = 52.0;
const AXIS: f64 = 84.0;

/// A line over the values of the setting, with its band.
#[derive(Debug, Clone)]
pub struct Curve {
    /// What it stands for.
    pub name: String,
    /// Mean at each value.
    pub mean: Vec<f64>,
    /// 1 run in 10 falls below.
    pub low: Vec<f64>,
    /// 1 run in 10 is above.
    pub high: Vec<f64>,
}

/// Curves that share a unit.
#[derive(Debug, Clone)]
pub struct Panel {
    /// What is drawn, with its unit.
    pub name: String,
    /// The curves; the band of the first alone is drawn.
    pub curves: Vec<Curve>,
}

/// The figure.
#[derive(Debug, Clone)]
pub struct Curves {
    /// Name of its file.
    pub file: &'static str,
    /// What it shows, as a finding.
    pub title: String,
    /// Name of the setting.
    pub axis: String,
    /// Values of the setting, rising.
    pub x: Vec<f64>,
    /// The same as people write them.
    pub names: Vec<String>,
    /// Curves, panel by panel.
    pub panels: Vec<Panel>,
    /// Name of each list of chances, and the chance at each value.
    pub chances: Vec<(String, Vec<f64>)>,
    /// Value of the present plant.
    pub present: Option<f64>,
}

/// Draws the figure with its table.
pub fn curves(figure: &Curves) -> Result<Figure, FigureError> {
    let mut headers = vec![figure.axis.clone()];
    for panel in &figure.panels {
        for c in &panel.curves {
            let name = format!("{}, {}", panel.name, c.name);
            headers.extend([name.clone(), format!("{name}: 1 in 10 below"), format!("{name}: 1 in 10 above")]);
        }
    }
    headers.extend(figure.chances.iter().map(|(n, _)| n.clone()));
    let cell = |list: &[f64], i: usize| list.get(i).map_or(String::new(), |v| format!("{v:.5}"));
    let rows = figure.names.iter().enumerate().map(|(i, name)| {
        let mut row = vec![name.clone()];
        for c in figure.panels.iter().flat_map(|p| &p.curves) {
            row.extend([cell(&c.mean, i), cell(&c.low, i), cell(&c.high, i)]);
        }
        row.extend(figure.chances.iter().map(|(_, v)| cell(v, i)));
        row
    });
    let table = Table { headers, rows: rows.collect() };
    let said: Vec<String> = figure
        .panels
        .iter()
        .flat_map(|p| p.curves.iter().map(move |c| (p, c)))
        .map(|(p, c)| {
            let points: Vec<String> =
                figure.names.iter().zip(&c.mean).map(|(n, m)| format!("{n} {}", number(*m))).collect();
            format!("{}, {}: {}", p.name, c.name, points.join("; "))
        })
        .collect();
    let alt = format!("{}. {}.", figure.title, said.join(". "));
    picture(figure.file, &figure.title, alt, table, figure)
}

fn number(x: f64) -> String {
    if x.abs() >= 1000.0 { format!("{:.0}", x) } else { crate::numbers::three(x) }
}

/// Lowest and highest value worth showing, and round steps between.
fn scale(panel: &Panel) -> ((f64, f64), Vec<f64>) {
    let mut values: Vec<f64> = panel.curves.iter().flat_map(|c| c.mean.iter().copied()).collect();
    if let Some(first) = panel.curves.first() {
        values.extend(first.low.iter().chain(&first.high));
    }
    let low = values.iter().copied().filter(|v| v.is_finite()).fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().filter(|v| v.is_finite()).fold(f64::NEG_INFINITY, f64::max);
    if !(high >= low) {
        return ((0.0, 1.0), vec![0.0, 1.0]);
    }
    let span = if high > low { high - low } else { high.abs().max(1.0) };
    let step = steps(span).get(1).copied().unwrap_or(span);
    let (from, to) = ((low / step).floor(), (high / step).ceil().max((low / step).floor() + 1.0));
    let count = (to - from) as usize;
    let ticks: Vec<f64> = (0..=count).map(|i| (from + i as f64) * step).collect();
    ((from * step, to * step), ticks)
}

impl Curves {
    fn frame(&self, top: f64, height: f64, y: (f64, f64)) -> Frame {
        let (a, b) = (self.x.first().copied().unwrap_or(0.0), self.x.last().copied().unwrap_or(1.0));
        let pad = if b > a { 0.07 * (b - a) } else { 0.5 };
        Frame {
            left: 96.0,
            right: WIDTH - MARGIN - 4.0,
            top,
            bottom: top + height,
            x: (a - pad, b + pad),
            y,
            log: false,
        }
    }

    fn panel<B: DrawingBackend>(&self, sheet: &Sheet<'_, B>, top: f64, panel: &Panel) -> Result<(), FigureError> {
        let (y, ticks) = scale(panel);
        let frame = self.frame(top + HEAD, CURVE, y);
        sheet.text(&panel.name, (MARGIN, top + 10.0), Hang::Right, INK)?;
        let at = |i: usize, v: f64| -> Option<Point> { Some(frame.at((*self.x.get(i)?, v))) };
        if let Some(first) = panel.curves.first() {
            let mut band: Vec<Point> = first.high.iter().enumerate().filter_map(|(i, v)| at(i, *v)).collect();
            band.extend(first.low.iter().enumerate().rev().filter_map(|(i, v)| at(i, *v)));
            if band.len() > 3 {
                sheet.face(&band, GOLD_PALE)?;
            }
        }
        frame.levels(sheet, &ticks.iter().map(|t| (*t, label(*t))).collect::<Vec<_>>())?;
        if let Some(x) = self.present {
            let x = frame.across(x);
            sheet.line(&[(x, frame.top), (x, frame.bottom)], 1.5, QUIET, DOTTED)?;
        }
        if y.0 < 0.0 && y.1 > 0.0 {
            sheet.line(&[(frame.left, frame.up(0.0)), (frame.right, frame.up(0.0))], 1.5, INK, SOLID)?;
        }
        let looks = [(4.0, GOLD, SOLID), (3.0, INK, DASHED), (2.5, QUIET, DOTTED), (1.5, INK, SOLID)];
        let mut x = frame.left;
        for (c, (width, color, dash)) in panel.curves.iter().zip(looks) {
            let line: Vec<Point> = c.mean.iter().enumerate().filter_map(|(i, v)| at(i, *v)).collect();
            sheet.line(&line, width, color, dash)?;
            // The key stands in the head of the panel.
            sheet.line(&[(x, top + 34.0), (x + 40.0, top + 34.0)], width, color, dash)?;
            sheet.text(&c.name, (x + 48.0, top + 34.0), Hang::Right, INK)?;
            x += 48.0 + width_of(&c.name, TEXT, false) + 24.0;
        }
        let band = "band: 8 in 10 lie within";
        if x + width_of(band, TEXT, false) < frame.right {
            sheet.text(band, (frame.right, top + 34.0), Hang::Left, QUIET)?;
        }
        Ok(())
    }

    fn ticks<B: DrawingBackend>(&self, sheet: &Sheet<'_, B>, frame: &Frame) -> Result<(), FigureError> {
        sheet.line(&[(frame.left, frame.bottom), (frame.right, frame.bottom)], 1.5, INK, SOLID)?;
        let mut free = f64::NEG_INFINITY;
        for (value, name) in self.x.iter().zip(&self.names) {
            let (x, half) = (frame.across(*value), width_of(name, TEXT, false) / 2.0);
            sheet.line(&[(x, frame.bottom), (x, frame.bottom + 6.0)], 1.5, INK, SOLID)?;
            if x - half > free && x + half < WIDTH {
                sheet.text(name, (x, frame.bottom + 22.0), Hang::Middle, INK)?;
                free = x + half + 8.0;
            }
        }
        sheet.text(&self.axis, ((frame.left + frame.right) / 2.0, frame.bottom + 54.0), Hang::Middle, INK)
    }
}

fn label(x: f64) -> String {
    if x.abs() >= 10_000.0 { format!("{} k", trimmed(x / 1000.0)) } else { trimmed(x) }
}

impl Drawing for Curves {
    fn height(&self) -> f64 {
        let bars = if self.chances.is_empty() { 0.0 } else { HEAD + BARS + 12.0 };
        title_height(&self.title) + self.panels.len() as f64 * (HEAD + CURVE + 18.0) + bars + AXIS
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, mut top) = Sheet::new(area, &self.title)?;
        let mut frame = self.frame(top, 0.0, (0.0, 1.0));
        for panel in &self.panels {
            self.panel(&sheet, top, panel)?;
            top += HEAD + CURVE + 18.0;
            frame = self.frame(top - 18.0, 0.0, (0.0, 1.0));
        }
        if !self.chances.is_empty() {
            frame = self.frame(top + HEAD, BARS, (0.0, 1.0));
            sheet.text("Chance of being the best", (MARGIN, top + 10.0), Hang::Right, INK)?;
            frame.levels(&sheet, &[0.0, 0.5, 1.0].map(|v| (v, format!("{:.0} %", 100.0 * v))))?;
            let gap = self.x.windows(2).map(|w| frame.across(w[1]) - frame.across(w[0])).fold(60.0, f64::min);
            let wide = (gap * 0.8 / self.chances.len() as f64).max(3.0);
            let mut key = frame.left;
            for (k, (name, chances)) in self.chances.iter().enumerate() {
                let hatch = if k == 0 { Hatch::None } else { HATCHES.get(k - 1).copied().unwrap_or(Hatch::Rising) };
                let color = if k == 0 { GOLD } else { STONE };
                sheet.bar((key, top + 28.0), (key + 24.0, top + 42.0), color, hatch)?;
                sheet.text(name, (key + 32.0, top + 34.0), Hang::Right, INK)?;
                key += 32.0 + width_of(name, TEXT, false) + 24.0;
                for (x, chance) in self.x.iter().zip(chances).filter(|(_, c)| **c > 0.0) {
                    let left = frame.across(*x) + (k as f64 - self.chances.len() as f64 / 2.0) * wide;
                    sheet.bar((left, frame.bottom), (left + wide, frame.up(*chance)), color, hatch)?;
                }
            }
            sheet.line(&[(frame.left, frame.bottom), (frame.right, frame.bottom)], 1.0, RULE, SOLID)?;
        }
        self.ticks(&sheet, &frame)
    }
}
