//! Recovery by the size of the gold, before and after the plant's own results.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use washgraph_model::result::SizeRecovery;

use crate::figures::axis::{Frame, SIZES_HEIGHT};
use crate::figures::recovery_by_size::edges;
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Point, Sheet, title_height};
use crate::figures::style::{DASHED, DOTTED, GOLD, GOLD_PALE, INK, MARGIN, QUIET, RULE, SOLID, STONE, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::{class, percent};
use crate::tables::Table;

const CURVE: f64 = 300.0;
/// Height of a line of the key.
const KEY: f64 = 30.0;
/// Share of the gold fed from which a class is drawn.
const LEAST_DRAWN: f64 = 1e-4;

struct Curves {
    title: String,
    before: Vec<SizeRecovery>,
    after: Vec<SizeRecovery>,
}

/// Draws the figure with its table. Both lists hold the same classes. `None` with fewer than two of them.
pub fn recovery_before_after(before: &[SizeRecovery], after: &[SizeRecovery]) -> Result<Option<Figure>, FigureError> {
    let keep = |list: &[SizeRecovery]| -> Vec<SizeRecovery> {
        list.iter().zip(before).filter(|(_, b)| b.fed_share >= LEAST_DRAWN).map(|(c, _)| c.clone()).collect()
    };
    let figure = Curves { title: title(before, after), before: keep(before), after: keep(after) };
    if figure.before.len() < 2 || figure.after.len() != figure.before.len() {
        return Ok(None);
    }
    let headers = [
        "Size of gold",
        "Before: caught",
        "Before: 1 run in 10 below",
        "Before: 1 run in 10 above",
        "After: caught",
        "After: 1 run in 10 below",
        "After: 1 run in 10 above",
    ];
    let rows = before.iter().zip(after).map(|(b, a)| {
        let mut row = vec![class(b.from_mm, b.to_mm)];
        for r in [&b.recovery, &a.recovery] {
            row.extend([percent(r.mean), percent(r.pctl_10), percent(r.pctl_90)]);
        }
        row
    });
    let table = Table { headers: headers.map(String::from).to_vec(), rows: rows.collect() };
    let step = (figure.before.len() / 5).max(1);
    let said: Vec<String> = figure
        .before
        .iter()
        .zip(&figure.after)
        .step_by(step)
        .map(|(b, a)| {
            format!(
                "{} {} before, {} after",
                class(b.from_mm, b.to_mm),
                percent(b.recovery.mean),
                percent(a.recovery.mean)
            )
        })
        .collect();
    let alt = format!("{}. Share caught by size of the gold: {}.", figure.title, said.join("; "));
    picture("recovery-before-after", &figure.title, alt, table, &figure).map(Some)
}

/// What it shows: the size at which the recovery moves most, weighed by the gold there.
fn title(before: &[SizeRecovery], after: &[SizeRecovery]) -> String {
    let moved = |(b, a): (&SizeRecovery, &SizeRecovery)| b.fed_share * (a.recovery.mean - b.recovery.mean);
    let width = |c: &SizeRecovery| c.fed_share * (c.recovery.pctl_90 - c.recovery.pctl_10);
    let total = |list: &[SizeRecovery]| list.iter().map(width).filter(|w| w.is_finite()).sum::<f64>();
    let all: f64 = before.iter().zip(after).map(moved).sum();
    let most = before.iter().zip(after).max_by(|x, y| moved(*x).abs().total_cmp(&moved(*y).abs()));
    let narrower = 1.0 - total(after) / total(before);
    match most {
        Some((b, a)) if all.abs() > 0.01 => format!(
            "The plant's own results move the recovery most at gold of {}: {} instead of {}",
            class(b.from_mm, b.to_mm),
            percent(a.recovery.mean),
            percent(b.recovery.mean)
        ),
        _ if narrower > 0.05 => {
            format!("The plant's own results bear the curve out and narrow its band by {}", percent(narrower))
        }
        _ => "The plant's own results leave the recovery about as it was".into(),
    }
}

impl Drawing for Curves {
    fn height(&self) -> f64 {
        title_height(&self.title) + 2.0 * KEY + 46.0 + CURVE + SIZES_HEIGHT
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let keys = [("before; band: 8 runs in 10 lie within", QUIET, DASHED, 2.5), ("after", GOLD, SOLID, 4.0)];
        for (i, (words, color, dashes, width)) in keys.into_iter().enumerate() {
            let y = top + 12.0 + i as f64 * KEY;
            sheet.line(&[(MARGIN, y), (MARGIN + 46.0, y)], width, color, dashes)?;
            sheet.text(words, (MARGIN + 56.0, y), Hang::Right, INK)?;
        }
        let ends = (self.before.first().map_or(0.01, |c| edges(c).0), self.before.last().map_or(10.0, |c| edges(c).1));
        let from = top + 2.0 * KEY + 46.0;
        let frame = Frame {
            left: 92.0,
            right: WIDTH - MARGIN - 12.0,
            top: from,
            bottom: from + CURVE,
            x: ends,
            y: (0.0, 1.0),
            log: true,
        };
        sheet.text("Caught, % of the gold of that size", (MARGIN, from - 26.0), Hang::Right, INK)?;
        frame.levels(&sheet, &[0.0, 0.25, 0.5, 0.75, 1.0].map(|v| (v, format!("{:.0} %", 100.0 * v))))?;
        let point = |c: &SizeRecovery, v: f64| -> Point {
            let (a, b) = edges(c);
            frame.at(((a * b).sqrt(), v.clamp(0.0, 1.0)))
        };
        for (list, face) in [(&self.before, STONE), (&self.after, GOLD_PALE)] {
            let mut band: Vec<Point> = list.iter().map(|c| point(c, c.recovery.pctl_90)).collect();
            band.extend(list.iter().rev().map(|c| point(c, c.recovery.pctl_10)));
            sheet.face(&band, face)?;
        }
        for value in [0.25, 0.5, 0.75] {
            let y = frame.up(value);
            sheet.line(&[(frame.left, y), (frame.right, y)], 1.0, RULE, SOLID)?;
        }
        for (list, color, dashes, width) in [(&self.before, QUIET, DASHED, 2.5), (&self.after, GOLD, SOLID, 4.0)] {
            for edge in [0, 1] {
                let of = |c: &SizeRecovery| if edge == 0 { c.recovery.pctl_10 } else { c.recovery.pctl_90 };
                let line: Vec<Point> = list.iter().map(|c| point(c, of(c))).collect();
                sheet.line(&line, 1.0, color, DOTTED)?;
            }
            let line: Vec<Point> = list.iter().map(|c| point(c, c.recovery.mean)).collect();
            sheet.line(&line, width, color, dashes)?;
        }
        frame.sizes(&sheet, "Size of the gold, mm (US sieve number, inches)")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::example;

    #[test]
    fn property_recovery_before_and_after_is_a_whole_picture_and_says_what_moved() {
        let before = example::outcome().gold.recovery_by_size;
        let mut after = before.clone();
        for c in &mut after {
            let r = &mut c.recovery;
            for v in [&mut r.mean, &mut r.pctl_10, &mut r.pctl_50, &mut r.pctl_90] {
                *v *= 0.85;
            }
        }
        let drawn = recovery_before_after(&before, &after).unwrap().unwrap();
        assert!(drawn.title.contains("move the recovery most at gold of"), "{}", drawn.title);
        assert!(drawn.svg.trim_end().ends_with("</svg>") && drawn.png.starts_with(b"\x89PNG"));
        assert_eq!(drawn.table.rows.len(), before.len());
        let same = recovery_before_after(&before, &before).unwrap().unwrap();
        assert!(same.title.contains("about as it was"), "{}", same.title);
        assert!(recovery_before_after(&[], &[]).unwrap().is_none());
        if let Ok(folder) = std::env::var("WASHGRAPH_LOOK") {
            std::fs::write(format!("{folder}/recovery-before-after.png"), &drawn.png).unwrap();
        }
    }
}
