//! Histogram of the grade, with the break-even grade when money is known.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::samples::summary::SamplesSummary;

use crate::figures::axis::{Frame, steps};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height};
use crate::figures::style::{DASHED, GOLD_PALE, Hatch, INK, LOST, MARGIN, QUIET, SOLID, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::{percent, three};
use crate::tables::Table;

const PLOT: f64 = 300.0;

struct GradeBars<'a> {
    summary: &'a SamplesSummary,
    break_even: Option<f64>,
    title: String,
}

/// `break_even`: raw gold per bank m3 at which the season just pays, mg.
pub fn figure(summary: &SamplesSummary, break_even: Option<f64>) -> Result<Figure, FigureError> {
    let bank = summary.grade.iter().find(|g| g.volume == "bank" && g.gold == "raw").map(|g| g.mg_per_m3);
    let middle = bank.map_or(f64::NAN, |b| b.pctl_50);
    let title = match break_even {
        Some(x) => format!(
            "The ground holds about {} mg of raw gold per bank m3; the season pays above {}",
            three(middle),
            three(x)
        ),
        None => format!("The ground holds about {} mg of raw gold per bank m3", three(middle)),
    };
    let alt = format!(
        "{title}. Histogram of the grade: {}.",
        bank.map_or(String::new(), |b| format!(
            "1 run in 10 falls below {}, 1 in 10 is above {} mg per bank m3",
            three(b.pctl_10),
            three(b.pctl_90)
        ))
    );
    let rows =
        summary.histogram.iter().map(|(from, share)| vec![three(*from), format!("{:.2}", 100.0 * share)]).collect();
    let table = Table { headers: vec!["From, mg raw per bank m3".into(), "Chance, %".into()], rows };
    picture("grade", &title, alt, table, &GradeBars { summary, break_even, title: title.clone() })
}

impl Drawing for GradeBars<'_> {
    fn height(&self) -> f64 {
        title_height(&self.title) + 46.0 + PLOT + 84.0
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let bars = &self.summary.histogram;
        let step = bars.get(1).map_or(1.0, |b| b.0);
        let most = bars.iter().map(|b| b.1).fold(0.0, f64::max);
        let ticks = steps(most);
        let end = (bars.len() as f64 * step).max(self.break_even.unwrap_or(0.0) * 1.05);
        let begin = top + 46.0;
        let f = Frame {
            left: 92.0,
            right: WIDTH - MARGIN - 16.0,
            top: begin,
            bottom: begin + PLOT,
            x: (0.0, end),
            y: (0.0, ticks.last().copied().unwrap_or(1.0)),
            log: false,
        };
        sheet.text("Chance of a grade within each bar", (MARGIN, begin - 28.0), Hang::Right, INK)?;
        let levels: Vec<_> = ticks.iter().map(|v| (*v, percent(*v))).collect();
        f.levels(&sheet, &levels)?;
        for (from, share) in bars {
            if *share > 0.0 {
                let poor = self.break_even.is_some_and(|x| from + 0.5 * step < x);
                let (color, hatch) = if poor { (LOST, Hatch::Rising) } else { (GOLD_PALE, Hatch::None) };
                sheet.bar(f.at((*from, *share)), f.at((from + step, 0.0)), color, hatch)?;
            }
        }
        sheet.line(&[(f.left, f.bottom), (f.right, f.bottom)], 1.5, INK, SOLID)?;
        if let Some(x) = self.break_even {
            let at = f.across(x);
            sheet.line(&[(at, f.top), (at, f.bottom)], 2.5, INK, DASHED)?;
            let hang = if at > 0.6 * WIDTH { Hang::Left } else { Hang::Right };
            let shift = if hang == Hang::Left { -8.0 } else { 8.0 };
            sheet.text("break-even", (at + shift, f.top + 10.0), hang, INK)?;
        }
        for x in steps(end) {
            if x <= end {
                sheet.line(&[(f.across(x), f.bottom), (f.across(x), f.bottom + 7.0)], 1.5, INK, SOLID)?;
                sheet.text(&three(x), (f.across(x), f.bottom + 24.0), Hang::Middle, QUIET)?;
            }
        }
        sheet.text(
            "Raw gold, mg per bank m3 (last bar: and more)",
            ((f.left + f.right) / 2.0, f.bottom + 56.0),
            Hang::Middle,
            INK,
        )
    }
}
