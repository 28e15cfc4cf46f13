//! Flow of each hole along the spray bars.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::{Dimension, UnitChoice, convert_to, preferred, show};

use crate::figures::axis::{Frame, steps};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Point, Sheet, title_height};
use crate::figures::style::{DASHED, DOTTED, GOLD, INK, MARGIN, QUIET, SOLID, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::percent;
use crate::tables::Table;

const PLOT: f64 = 250.0;
const HEAD: f64 = 46.0;
const LINE: f64 = 30.0;

/// One bar in the middle case.
#[derive(Debug, Clone)]
pub struct BarHoles {
    /// Its name.
    pub name: String,
    /// Flow of each hole from the inlet to the dead end, m3/s.
    pub flow_m3_s: Vec<f64>,
}

impl BarHoles {
    /// Weakest hole over the strongest.
    pub fn evenness(&self) -> f64 {
        let most = self.flow_m3_s.iter().copied().fold(0.0, f64::max);
        let least = self.flow_m3_s.iter().copied().fold(f64::INFINITY, f64::min);
        if most > 0.0 { least / most } else { f64::NAN }
    }
}

/// The figure.
#[derive(Debug, Clone)]
pub struct HoleFlows {
    /// Units of the user.
    pub units: UnitChoice,
    /// The bars.
    pub bars: Vec<BarHoles>,
}

/// Draws the figure with its table; `None` without bars.
pub fn hole_flows(figure: &HoleFlows) -> Option<Result<Figure, FigureError>> {
    figure.bars.iter().find(|b| b.flow_m3_s.len() > 1)?;
    let rows = figure.bars.iter().flat_map(|bar| {
        bar.flow_m3_s
            .iter()
            .enumerate()
            .map(|(i, q)| vec![bar.name.clone(), (i + 1).to_string(), show(*q, Dimension::Flow, figure.units)])
    });
    let headers = ["Bar", "Hole from the inlet", "Flow"].map(String::from).to_vec();
    let table = Table { headers, rows: rows.collect() };
    let title = figure.title();
    let said: Vec<String> = figure
        .bars
        .iter()
        .map(|b| {
            format!(
                "{}: {} holes, the weakest gives {} of the strongest",
                b.name,
                b.flow_m3_s.len(),
                percent(b.evenness())
            )
        })
        .collect();
    let alt = format!("{title}. {}.", said.join("; "));
    Some(picture("hole-flows", &title, alt, table, figure))
}

impl HoleFlows {
    fn title(&self) -> String {
        let worst = self.bars.iter().min_by(|a, b| a.evenness().total_cmp(&b.evenness()));
        match worst {
            Some(bar) if bar.evenness() < 0.9 => {
                format!("Along {} the weakest hole gives {} of the strongest", bar.name, percent(bar.evenness()))
            }
            _ => "The holes of each bar spray evenly".into(),
        }
    }
}

impl Drawing for HoleFlows {
    fn height(&self) -> f64 {
        title_height(&self.title()) + HEAD + PLOT + 74.0 + LINE * self.bars.len() as f64
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title())?;
        let unit = preferred(Dimension::Flow, self.units);
        let per = convert_to(1.0, Dimension::Flow, unit).unwrap_or(1.0);
        let flows = self.bars.iter().flat_map(|b| &b.flow_m3_s);
        let ticks = steps(flows.copied().fold(0.0, f64::max) * per);
        let f = Frame {
            left: 92.0,
            right: WIDTH - MARGIN - 20.0,
            top: top + HEAD,
            bottom: top + HEAD + PLOT,
            x: (0.0, 1.0),
            y: (0.0, ticks.last().copied().unwrap_or(1.0)),
            log: false,
        };
        sheet.text(&format!("Flow of a hole, {unit}"), (MARGIN, top + 14.0), Hang::Right, INK)?;
        f.levels(&sheet, &ticks.iter().map(|t| (*t, format!("{t}"))).collect::<Vec<_>>())?;
        sheet.line(&[(f.left, f.bottom), (f.right, f.bottom)], 1.5, INK, SOLID)?;
        sheet.text("inlet", (f.left, f.bottom + 22.0), Hang::Right, INK)?;
        sheet.text("dead end", (f.right, f.bottom + 22.0), Hang::Left, INK)?;
        let looks = [(4.0, GOLD, SOLID), (3.0, INK, DASHED), (2.5, QUIET, DOTTED), (1.5, INK, SOLID)];
        let mut y = f.bottom + 54.0;
        for (bar, (width, color, dash)) in self.bars.iter().zip(looks.iter().cycle()) {
            let last = (bar.flow_m3_s.len().max(2) - 1) as f64;
            let at = |(i, q): (usize, &f64)| -> Point { f.at((i as f64 / last, q * per)) };
            sheet.line(&bar.flow_m3_s.iter().enumerate().map(at).collect::<Vec<_>>(), *width, *color, dash)?;
            sheet.line(&[(f.left, y), (f.left + 44.0, y)], *width, *color, dash)?;
            let text = format!("{}: weakest hole {} of the strongest", bar.name, percent(bar.evenness()));
            sheet.text(&text, (f.left + 54.0, y), Hang::Right, INK)?;
            y += LINE;
        }
        Ok(())
    }
}
