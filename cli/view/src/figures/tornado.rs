//! What the answer hangs on: a bar for each input, the longest first.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;

use crate::figures::map::number;
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height, width_of, wrap};
use crate::figures::style::{GOLD, Hatch, INK, LEADING, MARGIN, QUIET, SOLID, STONE, TEXT, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::tables::Table;

const BAR: f64 = 22.0;
const BETWEEN: f64 = 14.0;
const FOOT: f64 = 64.0;

/// One input.
#[derive(Debug, Clone)]
pub struct Row {
    /// Its meaning.
    pub name: String,
    /// What kind of not knowing it is.
    pub group: String,
    /// Result with the input at its 10 % point, all others in the middle.
    pub at_low: f64,
    /// Result with the input at its 90 % point.
    pub at_high: f64,
}

/// The figure.
#[derive(Debug, Clone)]
pub struct Tornado {
    /// What it shows, as a finding.
    pub title: String,
    /// What the numbers are, with their unit.
    pub what: String,
    /// What the two faces of a bar stand for.
    pub key: String,
    /// The result that the bars start from.
    pub middle: f64,
    /// What that is.
    pub middle_name: &'static str,
    /// The inputs, longest bar first.
    pub rows: Vec<Row>,
}

/// Draws the figure with its table.
pub fn tornado(figure: &Tornado) -> Result<Figure, FigureError> {
    let headers = ["Input", "Kind", "At its low end (1 in 10 below)", "At its high end (1 in 10 above)"];
    let rows = figure
        .rows
        .iter()
        .map(|r| vec![r.name.clone(), r.group.clone(), format!("{:.5}", r.at_low), format!("{:.5}", r.at_high)]);
    let table = Table { headers: headers.map(String::from).to_vec(), rows: rows.collect() };
    let said: Vec<String> =
        figure.rows.iter().map(|r| format!("{}: {} to {}", r.name, number(r.at_low), number(r.at_high))).collect();
    let alt =
        format!("{}. {}, each input alone at its low and high end: {}.", figure.title, figure.what, said.join("; "));
    picture("tornado", &figure.title, alt, table, figure)
}

fn lines(row: &Row) -> Vec<String> {
    wrap(&format!("{} ({})", row.name, row.group), TEXT, false, WIDTH - 2.0 * MARGIN)
}

fn row_height(row: &Row) -> f64 {
    lines(row).len() as f64 * TEXT * LEADING + BAR + BETWEEN
}

impl Drawing for Tornado {
    fn height(&self) -> f64 {
        title_height(&self.title) + 8.0 + self.rows.iter().map(row_height).sum::<f64>() + FOOT
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let ends = || self.rows.iter().flat_map(|r| [r.at_low, r.at_high]).filter(|v| v.is_finite());
        let low = ends().fold(self.middle, f64::min);
        let high = ends().fold(self.middle, f64::max);
        let span = if high > low { high - low } else { 1.0 };
        // Room for the numbers at both ends of a bar.
        let (left, right) = (MARGIN + 74.0, WIDTH - MARGIN - 74.0);
        let across = |v: f64| left + (v - low) / span * (right - left);
        let middle = across(self.middle);
        let mut y = top + 8.0;
        for row in &self.rows {
            for line in lines(row) {
                sheet.text(&line, (MARGIN, y + TEXT / 2.0), Hang::Right, INK)?;
                y += TEXT * LEADING;
            }
            for (value, hatch, color) in [(row.at_low, Hatch::Rising, STONE), (row.at_high, Hatch::None, GOLD)] {
                let x = across(value);
                if (x - middle).abs() > 0.5 {
                    sheet.bar((middle.min(x), y), (middle.max(x), y + BAR), color, hatch)?;
                }
            }
            let (a, b) = (row.at_low.min(row.at_high), row.at_low.max(row.at_high));
            sheet.text(&number(a), (across(a).min(middle) - 6.0, y + BAR / 2.0), Hang::Left, QUIET)?;
            sheet.text(&number(b), (across(b).max(middle) + 6.0, y + BAR / 2.0), Hang::Right, QUIET)?;
            sheet.line(&[(middle, y - 4.0), (middle, y + BAR + 4.0)], 1.5, INK, SOLID)?;
            y += BAR + BETWEEN;
        }
        let at = middle.clamp(MARGIN + 60.0, WIDTH - MARGIN - 60.0);
        sheet.text(&format!("{}: {}", self.middle_name, number(self.middle)), (at, y + 14.0), Hang::Middle, INK)?;
        let key = format!("{}; {}", self.what, self.key);
        let em = if width_of(&key, TEXT, false) > WIDTH - 2.0 * MARGIN { TEXT * 0.85 } else { TEXT };
        sheet.text_in(&key, (MARGIN, y + 42.0), Hang::Right, em, false, QUIET)
    }
}
