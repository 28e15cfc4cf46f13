//! Numbers before and after something was learned: two bands for each, and what was seen across them.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;

use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height, width_of, wrap};
use crate::figures::style::{GOLD, Hatch, INK, LEADING, MARGIN, QUIET, SOLID, STONE, TEXT, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::tables::Table;

const BAR: f64 = 18.0;
const GAP: f64 = 6.0;
const BETWEEN: f64 = 20.0;
/// Room for the numbers at both ends of a band.
const ENDS: f64 = 118.0;

/// One number: 1 in 10 below, middle, 1 in 10 above, before and after.
#[derive(Debug, Clone)]
pub struct Row {
    /// What it is.
    pub name: String,
    /// Before; NaN when nothing was expected.
    pub before: [f64; 3],
    /// After.
    pub after: [f64; 3],
    /// What was seen, if anything.
    pub seen: Option<f64>,
    /// The numbers as people write them: before, after, seen.
    pub words: ([String; 3], [String; 3], Option<String>),
}

/// The figure.
#[derive(Debug, Clone)]
pub struct BeforeAfter {
    /// Name of its file.
    pub file: &'static str,
    /// What it shows, as a finding.
    pub title: String,
    /// What the upper and the lower band are, and the mark.
    pub key: Vec<String>,
    /// The numbers.
    pub rows: Vec<Row>,
    /// Rows drawn; the table holds all.
    pub drawn: usize,
}

/// Draws the figure with its table.
pub fn before_after(figure: &BeforeAfter) -> Result<Figure, FigureError> {
    let mut headers = vec!["What".to_string()];
    for when in ["before", "after"] {
        headers.extend(["1 in 10 below", "middle", "1 in 10 above"].map(|p| format!("{when}: {p}")));
    }
    headers.push("Seen".into());
    let rows = figure.rows.iter().map(|r| {
        let mut row = vec![r.name.clone()];
        row.extend(r.words.0.iter().chain(&r.words.1).cloned());
        row.push(r.words.2.clone().unwrap_or_else(|| "-".into()));
        row
    });
    let table = Table { headers, rows: rows.collect() };
    let said: Vec<String> = figure.rows.iter().take(figure.drawn).map(in_words).collect();
    let alt = format!("{}. {}.", figure.title, said.join("; "));
    picture(figure.file, &figure.title, alt, table, figure)
}

fn in_words(r: &Row) -> String {
    let (b, a) = (&r.words.0, &r.words.1);
    let seen = r.words.2.as_ref().map_or(String::new(), |s| format!("seen {s}, "));
    format!("{}: {seen}{} to {} before, {} to {} after", r.name, b[0], b[2], a[0], a[2])
}

fn lines(row: &Row) -> Vec<String> {
    let name = match &row.words.2 {
        Some(seen) => format!("{}: seen {seen}", row.name),
        None => row.name.clone(),
    };
    wrap(&name, TEXT, false, WIDTH - 2.0 * MARGIN)
}

fn row_height(row: &Row) -> f64 {
    lines(row).len() as f64 * TEXT * LEADING + 2.0 * BAR + GAP + BETWEEN
}

impl BeforeAfter {
    /// The lines of the key, each with the number of its sign where the line begins one.
    fn key_lines(&self) -> Vec<(Option<usize>, String)> {
        let of = |(i, words): (usize, &String)| {
            let lines = wrap(words, TEXT * 0.9, false, WIDTH - 2.0 * MARGIN - 44.0);
            lines.into_iter().enumerate().map(move |(l, line)| ((l == 0).then_some(i), line))
        };
        self.key.iter().enumerate().flat_map(of).collect()
    }
}

impl Drawing for BeforeAfter {
    fn height(&self) -> f64 {
        let keys = self.key_lines().len() as f64 * (TEXT * LEADING + 4.0);
        title_height(&self.title) + keys + 12.0 + self.rows.iter().take(self.drawn).map(row_height).sum::<f64>() + 8.0
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, mut y) = Sheet::new(area, &self.title)?;
        for (sign, line) in self.key_lines() {
            let at = y + TEXT / 2.0;
            match sign {
                Some(0) => sheet.bar((MARGIN, at - 10.0), (MARGIN + 32.0, at + 4.0), STONE, Hatch::Rising)?,
                Some(1) => sheet.bar((MARGIN, at - 10.0), (MARGIN + 32.0, at + 4.0), GOLD, Hatch::None)?,
                Some(_) => mark(&sheet, MARGIN + 16.0, (at - 12.0, at + 6.0))?,
                None => {}
            }
            sheet.text_in(&line, (MARGIN + 44.0, at), Hang::Right, TEXT * 0.9, false, QUIET)?;
            y += TEXT * LEADING + 4.0;
        }
        y += 12.0;
        for row in self.rows.iter().take(self.drawn) {
            for line in lines(row) {
                sheet.text(&line, (MARGIN, y + TEXT / 2.0), Hang::Right, INK)?;
                y += TEXT * LEADING;
            }
            draw_row(&sheet, row, y)?;
            y += 2.0 * BAR + GAP + BETWEEN;
        }
        Ok(())
    }
}

/// The mark of what was seen: a stout line with a head at both ends, told from bands by its shape.
fn mark<B: DrawingBackend>(sheet: &Sheet<'_, B>, x: f64, (top, bottom): (f64, f64)) -> Result<(), FigureError> {
    sheet.line(&[(x, top), (x, bottom)], 4.0, INK, SOLID)?;
    for y in [top, bottom] {
        sheet.line(&[(x - 6.0, y), (x + 6.0, y)], 3.0, INK, SOLID)?;
    }
    Ok(())
}

fn draw_row<B: DrawingBackend>(sheet: &Sheet<'_, B>, row: &Row, y: f64) -> Result<(), FigureError> {
    let all = || row.before.iter().chain(&row.after).chain(&row.seen).copied().filter(|v| v.is_finite());
    let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    let span = if high > low { high - low } else { 1.0 };
    let (left, right) = (MARGIN + ENDS, WIDTH - MARGIN - ENDS);
    let across = |v: f64| left + (v - low) / span * (right - left);
    let bands = [(&row.before, &row.words.0, STONE, Hatch::Rising), (&row.after, &row.words.1, GOLD, Hatch::None)];
    for (i, (band, words, color, hatch)) in bands.into_iter().enumerate() {
        let top = y + i as f64 * (BAR + GAP);
        if band.iter().any(|v| !v.is_finite()) {
            continue;
        }
        let (a, m, b) = (across(band[0]), across(band[1]), across(band[2]).max(across(band[0]) + 2.0));
        sheet.bar((a, top), (b, top + BAR), color, hatch)?;
        sheet.line(&[(m, top - 3.0), (m, top + BAR + 3.0)], 2.5, INK, SOLID)?;
        for (word, at, hang) in [(&words[0], a - 7.0, Hang::Left), (&words[2], b + 7.0, Hang::Right)] {
            let em = TEXT * (ENDS / width_of(word, TEXT, false)).min(0.9);
            sheet.text_in(word, (at, top + BAR / 2.0), hang, em, false, QUIET)?;
        }
    }
    match row.seen {
        Some(seen) if seen.is_finite() => mark(sheet, across(seen), (y - 5.0, y + 2.0 * BAR + GAP + 5.0)),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_before_and_after_is_a_whole_picture_with_all_its_numbers() {
        let words = |v: [f64; 3]| v.map(|x| format!("{x:.2} US gpm"));
        let row = |name: &str, before: [f64; 3], after: [f64; 3], seen: Option<f64>| Row {
            name: name.into(),
            before,
            after,
            seen,
            words: (words(before), words(after), seen.map(|s| format!("{s:.2} US gpm"))),
        };
        let figure = BeforeAfter {
            file: "seen-and-expected",
            title: "2 of the 4 numbers of the log lie where the model expected only 2 runs in 10".into(),
            key: vec![
                "expected before, with the errors of the observation: 8 owners in 10 would see a number within".into(),
                "expected with the plant's own results".into(),
                "seen".into(),
            ],
            rows: vec![
                row(
                    "bucket-flow, 2026-06-12: flow of six holes of the spray bar",
                    [20.0, 24.0, 29.0],
                    [25.0, 26.0, 27.5],
                    Some(26.2),
                ),
                row(
                    "DOES NOT FIT THE REST: gauge, 2026-06-12: pressure",
                    [12.0, 14.0, 16.0],
                    [13.0, 14.0, 15.0],
                    Some(24.0),
                ),
                row("nothing expected", [f64::NAN; 3], [1.0, 1.0, 1.0], Some(1.0)),
                row("clean-up", [80.0, 100.0, 130.0], [90.0, 95.0, 101.0], None),
            ],
            drawn: 4,
        };
        let drawn = before_after(&figure).unwrap();
        assert!(drawn.svg.starts_with("<svg") && drawn.svg.trim_end().ends_with("</svg>"));
        assert!(drawn.png.starts_with(b"\x89PNG") && drawn.alt.contains("seen 26.20 US gpm"));
        assert_eq!(drawn.table.rows.len(), 4);
        assert!(drawn.table.rows.iter().all(|r| r.len() == drawn.table.headers.len()));
        if let Ok(folder) = std::env::var("WASHGRAPH_LOOK") {
            std::fs::write(format!("{folder}/before-after.png"), &drawn.png).unwrap();
        }
    }
}
