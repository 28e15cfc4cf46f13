//! Gold by size: share finer with its band, and the colours that each class rests on.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use sim_core::samples::summary::{GoldClass, SamplesSummary};

use crate::figures::axis::{Frame, SIZES_HEIGHT};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height, width_of};
use crate::figures::style::{GOLD, GOLD_PALE, INK, MARGIN, QUIET, SOLID, TEXT, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::{class, mm, percent, size, three};
use crate::tables::Table;

const PLOT: f64 = 330.0;
const COUNTS: f64 = 34.0;

struct GoldSizes<'a> {
    classes: Vec<&'a GoldClass>,
    title: String,
    counted: bool,
}

pub fn figure(summary: &SamplesSummary, units: UnitChoice) -> Result<Figure, FigureError> {
    let classes: Vec<&GoldClass> =
        summary.gold.iter().filter(|c| c.to_mm.is_some() && (c.share.mean > 1e-4 || c.colours > 0.0)).collect();
    let half = classes.iter().find(|c| c.finer.pctl_50 >= 0.5).and_then(|c| c.to_mm);
    let title = match half {
        Some(x) => format!("Half of the gold by weight is finer than about {}", size(x, units)),
        None => "Gold by size".into(),
    };
    let few: f64 = classes.iter().filter(|c| c.colours < 20.0).map(|c| c.share.mean).sum();
    let counted = summary.gold_from == "samples";
    let alt = if counted {
        format!(
            "{title}. Curve of the share finer with the band of 8 in 10. Classes with fewer than 20 colours carry {} of the gold.",
            percent(few)
        )
    } else {
        format!("{title}. A belief: nothing was counted.")
    };
    let headers = [
        "Size, mm",
        "Colours",
        "Weight, mg raw",
        "Share, %",
        "Finer than upper size, %",
        "1 in 10 below, %",
        "1 in 10 above, %",
    ];
    let rows = classes
        .iter()
        .map(|c| {
            let p = |x: f64| format!("{:.1}", 100.0 * x);
            vec![
                class(c.from_mm, c.to_mm),
                format!("{:.0}", c.colours),
                three(c.weight_mg),
                p(c.share.mean),
                p(c.finer.pctl_50),
                p(c.finer.pctl_10),
                p(c.finer.pctl_90),
            ]
        })
        .collect();
    let table = Table { headers: headers.map(String::from).to_vec(), rows };
    let drawing = GoldSizes { classes, title: title.clone(), counted };
    picture("gold-sizes", &title, alt, table, &drawing)
}

impl Drawing for GoldSizes<'_> {
    fn height(&self) -> f64 {
        title_height(&self.title) + 27.0 + 40.0 + PLOT + COUNTS + 40.0 + SIZES_HEIGHT
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let begin = top + 27.0 + 40.0;
        let first = self.classes.iter().map(|c| c.from_mm).find(|x| *x > 0.0).unwrap_or(0.02);
        let last = self.classes.last().and_then(|c| c.to_mm).unwrap_or(10.0);
        let f = Frame {
            left: 92.0,
            right: WIDTH - MARGIN - 16.0,
            top: begin,
            bottom: begin + PLOT,
            x: (first, last),
            y: (0.0, 1.0),
            log: true,
        };
        let y = top + 10.0;
        sheet.face(
            &[(MARGIN, y - 9.0), (MARGIN + 66.0, y - 9.0), (MARGIN + 66.0, y + 9.0), (MARGIN, y + 9.0)],
            GOLD_PALE,
        )?;
        sheet.line(&[(MARGIN, y), (MARGIN + 66.0, y)], 3.0, GOLD, SOLID)?;
        sheet.text("middle, and what holds it in 8 cases of 10", (MARGIN + 80.0, y), Hang::Right, INK)?;
        sheet.text("Gold finer than that size, % by weight", (MARGIN, begin - 24.0), Hang::Right, INK)?;
        let at = |value: fn(&GoldClass) -> f64| -> Vec<(f64, f64)> {
            self.classes.iter().filter_map(|c| Some(f.at((c.to_mm?, value(c).clamp(0.0, 1.0))))).collect()
        };
        let mut band = at(|c| c.finer.pctl_90);
        band.extend(at(|c| c.finer.pctl_10).into_iter().rev());
        sheet.face(&band, GOLD_PALE)?;
        f.levels(&sheet, &[0.0, 0.25, 0.5, 0.75, 1.0].map(|v| (v, format!("{:.0} %", 100.0 * v))))?;
        sheet.line(&at(|c| c.finer.pctl_50), 3.0, GOLD, SOLID)?;
        let axis = Frame { bottom: f.bottom + COUNTS + 40.0, ..f };
        if self.counted {
            self.counts(&sheet, &f)?;
        }
        axis.sizes(&sheet, &format!("Size of the gold, mm (US sieve number); up to {} mm", mm(last)))
    }
}

impl GoldSizes<'_> {
    /// Colours of each class under the curve, as many as find room.
    fn counts<B: DrawingBackend>(&self, sheet: &Sheet<'_, B>, f: &Frame) -> Result<(), FigureError> {
        sheet.text("Colours counted in each class", (MARGIN, f.bottom + 22.0), Hang::Right, QUIET)?;
        let y = f.bottom + 50.0;
        let mut free = f64::NEG_INFINITY;
        for c in &self.classes {
            let (Some(to), true) = (c.to_mm, c.from_mm > 0.0) else { continue };
            let x = 0.5 * (f.across(c.from_mm) + f.across(to));
            let label = match c.colours {
                n if n >= 9.5 => format!("{n:.0}"),
                n if n >= 0.05 => format!("{n:.1}"),
                _ => "0".into(),
            };
            let half = width_of(&label, TEXT, false) / 2.0;
            if x - half < free {
                continue;
            }
            free = x + half + 6.0;
            sheet.text(&label, (x, y), Hang::Middle, if c.colours < 20.0 { INK } else { QUIET })?;
        }
        Ok(())
    }
}
