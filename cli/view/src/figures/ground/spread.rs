//! Spread of the grade against the number of further pans.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::samples::summary::SamplesSummary;

use crate::figures::axis::{Frame, steps};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height};
use crate::figures::style::{GOLD, INK, MARGIN, QUIET, SOLID, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::percent;
use crate::tables::Table;

const PLOT: f64 = 280.0;

struct Spread {
    /// Further pans (0 is now) and width of the band over the middle.
    points: Vec<(f64, f64)>,
    title: String,
}

pub fn figure(summary: &SamplesSummary) -> Result<Figure, FigureError> {
    let mut points = vec![(0.0, summary.relative_width)];
    points.extend(
        summary.plans.iter().filter(|p| p.what.contains("pan")).filter_map(|p| p.relative_width.map(|w| (p.spots, w))),
    );
    let title = match points.iter().find(|p| p.0 == 10.0) {
        Some((_, width)) if points[0].1 - width > 0.005 => {
            format!("Ten more pans narrow the grade from {} to {} of its middle", percent(points[0].1), percent(*width))
        }
        Some(_) => "Ten more pans would tell next to nothing new of the grade".into(),
        None => "What more pans would tell of the grade".into(),
    };
    let alt = format!(
        "{title}. Width of the band that holds the grade in 8 cases of 10, over its middle, against further pans: {}.",
        points.iter().map(|(n, w)| format!("{n:.0} pans {}", percent(*w))).collect::<Vec<_>>().join(", ")
    );
    let rows = points.iter().map(|(n, w)| vec![format!("{n:.0}"), format!("{:.1}", 100.0 * w)]).collect();
    let table = Table { headers: vec!["Further pans".into(), "Width over the middle, %".into()], rows };
    picture("spread-by-pans", &title, alt, table, &Spread { points, title: title.clone() })
}

impl Drawing for Spread {
    fn height(&self) -> f64 {
        title_height(&self.title) + 60.0 + PLOT + 84.0
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let most = self.points.iter().map(|p| p.1).fold(0.0, f64::max);
        let ticks = steps(most);
        let begin = top + 60.0;
        // One pan more on the scale than there are, so that now stands at the left end of a logarithmic axis.
        let last = self.points.last().map_or(10.0, |p| p.0) + 1.0;
        let f = Frame {
            left: 92.0,
            right: WIDTH - MARGIN - 30.0,
            top: begin,
            bottom: begin + PLOT,
            x: (1.0, last),
            y: (0.0, ticks.last().copied().unwrap_or(1.0)),
            log: true,
        };
        sheet.text(
            "Width of the band of 8 in 10, share of the middle grade",
            (MARGIN, begin - 30.0),
            Hang::Right,
            INK,
        )?;
        let levels: Vec<_> = ticks.iter().map(|v| (*v, percent(*v))).collect();
        f.levels(&sheet, &levels)?;
        let line: Vec<_> = self.points.iter().map(|(n, w)| f.at((n + 1.0, *w))).collect();
        sheet.line(&line, 3.0, GOLD, SOLID)?;
        for (x, y) in &line {
            sheet.face(&[(x - 6.0, *y), (*x, y - 6.0), (x + 6.0, *y), (*x, y + 6.0)], GOLD)?;
        }
        sheet.line(&[(f.left, f.bottom), (f.right, f.bottom)], 1.5, INK, SOLID)?;
        for (n, _) in &self.points {
            let x = f.across(n + 1.0);
            let label = if *n == 0.0 { "now".to_string() } else { format!("{n:.0}") };
            sheet.line(&[(x, f.bottom), (x, f.bottom + 7.0)], 1.5, INK, SOLID)?;
            sheet.text(&label, (x, f.bottom + 24.0), Hang::Middle, QUIET)?;
        }
        sheet.text(
            "Further pans, each from a spot of its own",
            ((f.left + f.right) / 2.0, f.bottom + 56.0),
            Hang::Middle,
            INK,
        )
    }
}
