//! A result over two settings: a tile for each pair of values, darker for more.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use plotters::style::RGBColor;

use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height, width_of};
use crate::figures::style::{GOLD, INK, MARGIN, PAPER, QUIET, SOLID, TEXT, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::three;
use crate::tables::Table;

const LEFT: f64 = 120.0;
const TILE: f64 = 46.0;
const FOOT: f64 = 108.0;

/// The figure.
#[derive(Debug, Clone)]
pub struct Map {
    /// What it shows, as a finding.
    pub title: String,
    /// What the numbers are, with their unit.
    pub what: String,
    /// Name of the setting across, and its values.
    pub across: (String, Vec<String>),
    /// Name of the setting upwards, and its values.
    pub up: (String, Vec<String>),
    /// Results, row by row of `up`; `None` where the plant cannot be built.
    pub values: Vec<Vec<Option<f64>>>,
    /// Tiles that cannot be told from the best (row, column).
    pub as_good: Vec<(usize, usize)>,
}

/// Draws the figure with its table.
pub fn map(figure: &Map) -> Result<Figure, FigureError> {
    let mut headers = vec![format!("{} \\ {}", figure.up.0, figure.across.0)];
    headers.extend(figure.across.1.iter().cloned());
    let rows = figure.up.1.iter().zip(&figure.values).map(|(name, row)| {
        let mut cells = vec![name.clone()];
        cells.extend(row.iter().map(|v| v.map_or(String::new(), |x| format!("{x:.5}"))));
        cells
    });
    let table = Table { headers, rows: rows.collect() };
    let alt = format!(
        "{}. A table of tiles: {} across, {} upwards; darker tiles bring more, framed ones cannot be told from the best.",
        figure.title, figure.across.0, figure.up.0
    );
    picture("map", &figure.title, alt, table, figure)
}

/// Between paper and gold.
fn shade(f: f64) -> RGBColor {
    let mix = |a: u8, b: u8| (f64::from(a) + f * (f64::from(b) - f64::from(a))).round().clamp(0.0, 255.0) as u8;
    RGBColor(mix(PAPER.0, GOLD.0), mix(PAPER.1, GOLD.1), mix(PAPER.2, GOLD.2))
}

impl Drawing for Map {
    fn height(&self) -> f64 {
        title_height(&self.title) + 36.0 + self.up.1.len() as f64 * TILE + FOOT
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        sheet.text(&format!("{} (upwards)", self.up.0), (MARGIN, top + 10.0), Hang::Right, INK)?;
        let top = top + 36.0;
        let columns = self.across.1.len().max(1);
        let wide = (WIDTH - MARGIN - LEFT) / columns as f64;
        let all = || self.values.iter().flatten().filter_map(|v| *v);
        let low = all().fold(f64::INFINITY, f64::min);
        let high = all().fold(f64::NEG_INFINITY, f64::max);
        let rows = self.up.1.len();
        let corner = |r: usize, c: usize| (LEFT + c as f64 * wide, top + (rows - 1 - r) as f64 * TILE);
        for (r, row) in self.values.iter().enumerate() {
            let (_, y) = corner(r, 0);
            if let Some(name) = self.up.1.get(r) {
                sheet.text(name, (LEFT - 8.0, y + TILE / 2.0), Hang::Left, QUIET)?;
            }
            for (c, value) in row.iter().enumerate() {
                let (x, y) = corner(r, c);
                let f = value.map_or(0.0, |v| if high > low { (v - low) / (high - low) } else { 1.0 });
                let face = [(x, y), (x + wide, y), (x + wide, y + TILE), (x, y + TILE)];
                sheet.face(&face, shade(0.05 + 0.9 * f))?;
                let text = value.map_or("-".to_string(), number);
                if width_of(&text, TEXT, false) < wide - 4.0 {
                    let color = if f > 0.6 { PAPER } else { INK };
                    sheet.text(&text, (x + wide / 2.0, y + TILE / 2.0), Hang::Middle, color)?;
                }
            }
        }
        for (r, c) in &self.as_good {
            let (x, y) = corner(*r, *c);
            let (x0, y0, x1, y1) = (x + 2.0, y + 2.0, x + wide - 2.0, y + TILE - 2.0);
            sheet.line(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)], 2.5, INK, SOLID)?;
        }
        let foot = top + rows as f64 * TILE;
        let mut free = f64::NEG_INFINITY;
        for (c, name) in self.across.1.iter().enumerate() {
            let (x, half) = (LEFT + (c as f64 + 0.5) * wide, width_of(name, TEXT, false) / 2.0);
            if x - half > free && x + half < WIDTH {
                sheet.text(name, (x, foot + 20.0), Hang::Middle, QUIET)?;
                free = x + half + 8.0;
            }
        }
        sheet.text(&self.across.0, (LEFT + (WIDTH - MARGIN - LEFT) / 2.0, foot + 48.0), Hang::Middle, INK)?;
        let foot_text = format!("{}; framed: cannot be told from the best", self.what);
        sheet.text(&foot_text, (MARGIN, foot + 82.0), Hang::Right, QUIET)
    }
}

/// A number with three figures, thousands as k.
pub fn number(x: f64) -> String {
    if x.abs() >= 9_950.0 { format!("{} k", three(x / 1000.0)) } else { three(x) }
}
