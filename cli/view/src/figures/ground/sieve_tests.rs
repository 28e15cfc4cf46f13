//! Gradation: every sieve test, what is taken from them, and its band.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use sim_core::samples::summary::SamplesSummary;

use crate::figures::axis::{Frame, SIZES_HEIGHT};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height};
use crate::figures::style::{DASHED, DOTTED, INK, MARGIN, QUIET, SOLID, STONE, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::{mm, percent, sieve, size};
use crate::tables::Table;

const PLOT: f64 = 346.0;

struct SieveTests<'a> {
    summary: &'a SamplesSummary,
    title: String,
}

pub fn figure(summary: &SamplesSummary, units: UnitChoice) -> Result<Figure, FigureError> {
    let half = summary.gradation.iter().find(|f| f.finer >= 0.5);
    let title = match half {
        Some(f) => format!("Half of the ground is finer than about {}", size(f.size_mm, units)),
        None => "Most of the ground is coarser than the sieves".into(),
    };
    let widest = summary
        .gradation
        .iter()
        .max_by(|a, b| (a.pctl_90 - a.pctl_10).total_cmp(&(b.pctl_90 - b.pctl_10)))
        .map_or(String::new(), |f| {
            format!(
                " Least sure at {}: 1 run in 10 falls below {}, 1 in 10 is above {}.",
                size(f.size_mm, units),
                percent(f.pctl_10),
                percent(f.pctl_90)
            )
        });
    let alt = format!(
        "{title}. Curve of the share finer than each size, with the band that holds it in 8 cases of 10 and the points of {} sieve tests.{widest}",
        summary.tests.len()
    );
    let headers: Vec<String> =
        ["Sieve, mm", "US sieve", "Finer, %", "1 in 10 below, %", "1 in 10 above, %"].map(String::from).to_vec();
    let rows = summary
        .gradation
        .iter()
        .map(|f| {
            let p = |x: f64| format!("{:.1}", 100.0 * x);
            vec![mm(f.size_mm), sieve(f.size_mm).unwrap_or_else(|| "-".into()), p(f.finer), p(f.pctl_10), p(f.pctl_90)]
        })
        .collect();
    let drawing = SieveTests { summary, title: title.clone() };
    picture("sieve-tests", &title, alt, Table { headers, rows }, &drawing)
}

impl SieveTests<'_> {
    fn key_rows(&self) -> f64 {
        3.0
    }
}

impl Drawing for SieveTests<'_> {
    fn height(&self) -> f64 {
        title_height(&self.title) + 27.0 * self.key_rows() + 46.0 + PLOT + SIZES_HEIGHT
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let s = self.summary;
        let begin = top + 27.0 * self.key_rows() + 46.0;
        let last = s.gradation.last().map_or(125.0, |f| f.size_mm);
        let first = s.gradation.first().map_or(0.045, |f| f.size_mm);
        let f = Frame {
            left: 92.0,
            right: WIDTH - MARGIN - 16.0,
            top: begin,
            bottom: begin + PLOT,
            x: (first, last),
            y: (0.0, 1.0),
            log: true,
        };
        let key = |i: f64| top + 10.0 + 27.0 * i;
        sheet.face(
            &[
                (MARGIN, key(0.0) - 9.0),
                (MARGIN + 66.0, key(0.0) - 9.0),
                (MARGIN + 66.0, key(0.0) + 9.0),
                (MARGIN, key(0.0) + 9.0),
            ],
            STONE,
        )?;
        sheet.text("holds it in 8 cases of 10", (MARGIN + 80.0, key(0.0)), Hang::Right, INK)?;
        sheet.line(&[(MARGIN, key(1.0)), (MARGIN + 66.0, key(1.0))], 3.0, INK, SOLID)?;
        sheet.text("taken for the ground", (MARGIN + 80.0, key(1.0)), Hang::Right, INK)?;
        sheet.line(&[(MARGIN, key(2.0)), (MARGIN + 66.0, key(2.0))], 2.0, QUIET, DOTTED)?;
        let tests = s.tests.len();
        let mut words = match tests {
            1 => "the sieve test".to_string(),
            n => format!("the {n} sieve tests"),
        };
        if s.stones_counted {
            words += ", before the stones of the wall are added";
        }
        sheet.text(&words, (MARGIN + 80.0, key(2.0)), Hang::Right, INK)?;
        sheet.text("Finer than that size, % by weight", (MARGIN, begin - 28.0), Hang::Right, INK)?;
        let mut band: Vec<_> = s.gradation.iter().map(|g| f.at((g.size_mm, g.pctl_90))).collect();
        band.extend(s.gradation.iter().rev().map(|g| f.at((g.size_mm, g.pctl_10))));
        sheet.face(&band, STONE)?;
        f.levels(&sheet, &[0.0, 0.25, 0.5, 0.75, 1.0].map(|v| (v, format!("{:.0} %", 100.0 * v))))?;
        for (i, test) in s.tests.iter().enumerate() {
            let points: Vec<_> = test
                .points
                .iter()
                .filter(|p| p.0 >= first && p.0 <= last)
                .map(|p| f.at((p.0, p.1.clamp(0.0, 1.0))))
                .collect();
            sheet.line(&points, 2.0, QUIET, if i % 2 == 0 { DOTTED } else { DASHED })?;
            for (x, y) in points {
                sheet.face(&[(x - 4.0, y), (x, y - 4.0), (x + 4.0, y), (x, y + 4.0)], QUIET)?;
            }
        }
        let curve: Vec<_> = s.gradation.iter().map(|g| f.at((g.size_mm, g.finer))).collect();
        sheet.line(&curve, 3.0, INK, SOLID)?;
        f.sizes(&sheet, "Size, mm (US sieve number, inches)")
    }
}
