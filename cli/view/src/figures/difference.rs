//! The difference between two plants, run by run: how often the change is for the better, and by how much.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::stats::average::Moments;

use crate::figures::axis::{Frame, steps};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height};
use crate::figures::style::{DASHED, GOLD, Hatch, INK, LOST, MARGIN, QUIET, SOLID, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::{percent, three};
use crate::tables::Table;

const BINS: usize = 40;
const PLOT: f64 = 280.0;
/// Share of the runs left out at each end of the axis, so that a few far ones do not squeeze the rest.
const CUT: f64 = 0.005;

struct Difference {
    title: String,
    unit: String,
    /// Edges of the bars.
    edges: Vec<f64>,
    /// Share of the runs in each bar.
    shares: Vec<f64>,
    mean: f64,
    better: f64,
}

/// The figure of the gaps of all runs; `None` when there is no difference to show.
pub fn difference(what: &str, gaps: &[f64], unit: &str) -> Result<Option<Figure>, FigureError> {
    let mut sorted: Vec<f64> = gaps.iter().copied().filter(|g| g.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let at = |share: f64| sorted.get((share * (sorted.len().max(1) - 1) as f64).round() as usize).copied();
    let (Some(low), Some(high)) = (at(CUT), at(1.0 - CUT)) else { return Ok(None) };
    let (low, high) = (low.min(0.0), high.max(0.0));
    if !(high > low) {
        return Ok(None);
    }
    let width = (high - low) / BINS as f64;
    // An edge falls on zero, so that no bar holds both better and worse.
    let start = (low / width).floor();
    let count = ((high / width).ceil() - start) as usize;
    let mut shares = vec![0.0; count];
    for g in &sorted {
        let bin = ((g / width).floor() - start).clamp(0.0, (count - 1) as f64) as usize;
        if let Some(s) = shares.get_mut(bin) {
            *s += 1.0 / sorted.len() as f64;
        }
    }
    let better = sorted.iter().filter(|g| **g > 0.0).count() as f64 / sorted.len() as f64;
    let mean = Moments::of(&sorted).mean();
    let title = format!(
        "{what}: {} in {} of runs, {}{} {unit} on average",
        if mean >= 0.0 { "better" } else { "worse" },
        percent(if mean >= 0.0 { better } else { 1.0 - better }),
        if mean >= 0.0 { "+" } else { "-" },
        three(mean.abs()),
    );
    let figure = Difference {
        title: title.clone(),
        unit: unit.to_string(),
        edges: (0..=count).map(|i| (start + i as f64) * width).collect(),
        shares,
        mean,
        better,
    };
    let rows = figure.edges.windows(2).zip(&figure.shares);
    let table = Table {
        headers: vec![format!("From, {unit}"), format!("To, {unit}"), "Share of runs".into()],
        rows: rows
            .map(|(e, s)| {
                let [from, to] = [e.first(), e.last()].map(|x| x.copied().unwrap_or(f64::NAN));
                vec![format!("{from:.5}"), format!("{to:.5}"), format!("{s:.5}")]
            })
            .collect(),
    };
    let alt = format!("{title}. Bars: share of the runs by the difference; those left of zero are for the worse.");
    picture("difference", &title, alt, table, &figure).map(Some)
}

impl Drawing for Difference {
    fn height(&self) -> f64 {
        title_height(&self.title) + 40.0 + PLOT + 90.0
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let ends = (self.edges.first().copied().unwrap_or(0.0), self.edges.last().copied().unwrap_or(1.0));
        let tallest = self.shares.iter().copied().fold(0.0, f64::max);
        let frame = Frame {
            left: MARGIN + 10.0,
            right: WIDTH - MARGIN - 10.0,
            top: top + 40.0,
            bottom: top + 40.0 + PLOT,
            x: ends,
            y: (0.0, tallest * 1.05),
            log: false,
        };
        for (edge, share) in self.edges.windows(2).zip(&self.shares).filter(|(_, s)| **s > 0.0) {
            let (Some(a), Some(b)) = (edge.first(), edge.last()) else { continue };
            let better = *a >= 0.0;
            let (color, hatch) = if better { (GOLD, Hatch::None) } else { (LOST, Hatch::Falling) };
            sheet.bar((frame.across(*a), frame.bottom), (frame.across(*b), frame.up(*share)), color, hatch)?;
        }
        sheet.line(&[(frame.left, frame.bottom), (frame.right, frame.bottom)], 1.5, INK, SOLID)?;
        let zero = frame.across(0.0);
        sheet.line(&[(zero, frame.top - 8.0), (zero, frame.bottom + 8.0)], 2.0, INK, SOLID)?;
        let mean = frame.across(self.mean);
        sheet.line(&[(mean, frame.top - 8.0), (mean, frame.bottom)], 2.0, QUIET, DASHED)?;
        if zero - frame.left > 90.0 {
            let text = format!("worse: {}", percent(1.0 - self.better));
            sheet.text(&text, (zero - 10.0, frame.top - 16.0), Hang::Left, INK)?;
        }
        if frame.right - zero > 90.0 {
            sheet.text(
                &format!("better: {}", percent(self.better)),
                (zero + 10.0, frame.top - 16.0),
                Hang::Right,
                INK,
            )?;
        }
        let size = (ends.1 - ends.0).max(ends.1.abs()).max(ends.0.abs());
        let step = steps(size).get(1).copied().unwrap_or(size);
        let mut free = f64::NEG_INFINITY;
        let mut k = (ends.0 / step).ceil();
        while k * step <= ends.1 * 1.0001 {
            let x = frame.across(k * step);
            if x > free + 56.0 {
                sheet.line(&[(x, frame.bottom), (x, frame.bottom + 6.0)], 1.5, INK, SOLID)?;
                sheet.text(&trimmed(k * step), (x, frame.bottom + 22.0), Hang::Middle, INK)?;
                free = x;
            }
            k += 1.0;
        }
        let axis = format!("Difference, {} (dashed: mean; height: how many runs)", self.unit);
        sheet.text(&axis, ((frame.left + frame.right) / 2.0, frame.bottom + 56.0), Hang::Middle, INK)
    }
}

/// A number without trailing zeros.
pub fn trimmed(x: f64) -> String {
    let text = format!("{x:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.to_string() }
}
