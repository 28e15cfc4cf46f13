//! A pump's curve with the plant's own, where they meet in each run, and the duty to buy.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::{Dimension, UnitChoice, convert_to, preferred, show};

use crate::figures::axis::{Frame, steps};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Point, Sheet, title_height};
use crate::figures::style::{DASHED, GOLD, INK, MARGIN, QUIET, SOLID, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::tables::Table;

const PLOT: f64 = 330.0;
const HEAD: f64 = 50.0;
const KEY: f64 = 150.0;
/// Runs whose working points are drawn.
const MOST_POINTS: usize = 150;

/// Flow (m3/s) and head (m).
pub type Duty = (f64, f64);

/// The figure.
#[derive(Debug, Clone)]
pub struct PumpCurveFigure {
    /// What it shows, as a finding.
    pub title: String,
    /// Units of the user.
    pub units: UnitChoice,
    /// The pump as it runs, in the middle case.
    pub pump: Vec<Duty>,
    /// Head that the plant asks for at each flow, in the middle case.
    pub plant: Vec<Duty>,
    /// Working point of each run.
    pub working: Vec<Duty>,
    /// Working point of the middle case.
    pub middle: Duty,
    /// What a pump must give to meet the need in 9 runs of 10.
    pub buy: Option<Duty>,
}

/// Draws the figure with its table.
pub fn pump_curve(figure: &PumpCurveFigure) -> Result<Figure, FigureError> {
    let both = |(q, h): &Duty| vec![show(*q, Dimension::Flow, figure.units), show(*h, Dimension::Head, figure.units)];
    let mut rows = Vec::new();
    let mut add = |what: &str, points: &[Duty]| {
        rows.extend(points.iter().map(|p| {
            let mut row = vec![what.to_string()];
            row.extend(both(p));
            row
        }));
    };
    add("pump", &figure.pump);
    add("plant", &figure.plant);
    add("working point, middle", &[figure.middle]);
    add("duty to buy", figure.buy.as_slice());
    let headers = ["Curve", "Flow", "Head"].map(String::from).to_vec();
    let [q, h] = [both(&figure.middle)[0].clone(), both(&figure.middle)[1].clone()];
    let alt =
        format!("{}. The pump's curve falls and the plant's rises; they meet at {q} and {h} of head.", figure.title);
    picture("pump-curve", &figure.title, alt, Table { headers, rows }, figure)
}

impl PumpCurveFigure {
    fn scale(&self, dimension: Dimension) -> (f64, &'static str) {
        let unit = preferred(dimension, self.units);
        (convert_to(1.0, dimension, unit).unwrap_or(1.0), unit)
    }

    fn all(&self) -> impl Iterator<Item = &Duty> {
        self.pump.iter().chain(&self.plant).chain(&self.working).chain(self.buy.as_slice())
    }
}

impl Drawing for PumpCurveFigure {
    fn height(&self) -> f64 {
        title_height(&self.title) + HEAD + PLOT + KEY
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let ((per_q, q_name), (per_h, h_name)) = (self.scale(Dimension::Flow), self.scale(Dimension::Head));
        let most_q = self.all().map(|p| p.0).filter(|x| x.is_finite()).fold(0.0, f64::max) * per_q;
        // The plant's curve may run far above the pump's: it is cut where it leaves the sheet.
        let shown = self.pump.iter().chain(&self.working).chain(self.buy.as_slice());
        let most_h = 1.1 * shown.map(|p| p.1).filter(|x| x.is_finite()).fold(0.0, f64::max) * per_h;
        let (q_ticks, h_ticks) = (steps(most_q), steps(most_h));
        let last = |ticks: &[f64]| ticks.last().copied().unwrap_or(1.0);
        let f = Frame {
            left: 92.0,
            right: WIDTH - MARGIN - 20.0,
            top: top + HEAD,
            bottom: top + HEAD + PLOT,
            x: (0.0, last(&q_ticks)),
            y: (0.0, last(&h_ticks)),
            log: false,
        };
        sheet.text(&format!("Head, {h_name}"), (MARGIN, top + 14.0), Hang::Right, INK)?;
        f.levels(&sheet, &h_ticks.iter().map(|t| (*t, format!("{t}"))).collect::<Vec<_>>())?;
        sheet.line(&[(f.left, f.bottom), (f.right, f.bottom)], 1.5, INK, SOLID)?;
        for t in &q_ticks {
            let x = f.across(*t);
            sheet.line(&[(x, f.bottom), (x, f.bottom + 7.0)], 1.5, INK, SOLID)?;
            sheet.text(&format!("{t}"), (x, f.bottom + 22.0), Hang::Middle, INK)?;
        }
        let middle_x = (f.left + f.right) / 2.0;
        sheet.text(&format!("Flow through the pump, {q_name}"), (middle_x, f.bottom + 50.0), Hang::Middle, INK)?;
        let at = |(q, h): &Duty| -> Point { f.at((q * per_q, h * per_h)) };
        let inside = |p: &&Duty| p.1 * per_h <= last(&h_ticks) && p.1.is_finite();
        for p in self.working.iter().filter(inside).take(MOST_POINTS) {
            cross(&sheet, at(p))?;
        }
        let line = |points: &[Duty]| -> Vec<Point> { points.iter().filter(inside).map(at).collect() };
        sheet.line(&line(&self.pump), 4.0, INK, SOLID)?;
        sheet.line(&line(&self.plant), 3.0, INK, DASHED)?;
        disc(&sheet, at(&self.middle))?;
        if let Some(buy) = &self.buy {
            corner(&sheet, at(buy))?;
        }
        let y = f.bottom + 82.0;
        sheet.line(&[(f.left, y), (f.left + 44.0, y)], 4.0, INK, SOLID)?;
        sheet.text("the pump as it runs", (f.left + 54.0, y), Hang::Right, INK)?;
        sheet.line(&[(middle_x, y), (middle_x + 44.0, y)], 3.0, INK, DASHED)?;
        sheet.text("what the plant asks for", (middle_x + 54.0, y), Hang::Right, INK)?;
        let y = y + 30.0;
        disc(&sheet, (f.left + 12.0, y))?;
        cross(&sheet, (f.left + 34.0, y))?;
        sheet.text("middle run, other runs", (f.left + 54.0, y), Hang::Right, INK)?;
        if self.buy.is_some() {
            corner(&sheet, (middle_x + 12.0, y + 10.0))?;
            sheet.text("duty to buy: at least this", (middle_x + 54.0, y), Hang::Right, INK)?;
        }
        Ok(())
    }
}

fn cross<B: DrawingBackend>(sheet: &Sheet<'_, B>, (x, y): Point) -> Result<(), FigureError> {
    sheet.line(&[(x - 4.0, y - 4.0), (x + 4.0, y + 4.0)], 1.0, QUIET, SOLID)?;
    sheet.line(&[(x - 4.0, y + 4.0), (x + 4.0, y - 4.0)], 1.0, QUIET, SOLID)
}

/// A filled eight-sided mark.
fn disc<B: DrawingBackend>(sheet: &Sheet<'_, B>, (x, y): Point) -> Result<(), FigureError> {
    const R: f64 = 8.0;
    const C: f64 = 5.7;
    let corners = [(R, 0.0), (C, C), (0.0, R), (-C, C), (-R, 0.0), (-C, -C), (0.0, -R), (C, -C)];
    sheet.face(&corners.map(|(dx, dy)| (x + dx, y + dy)), GOLD)
}

/// Two edges that bound a field from below and from the left.
fn corner<B: DrawingBackend>(sheet: &Sheet<'_, B>, (x, y): Point) -> Result<(), FigureError> {
    sheet.line(&[(x, y - 26.0), (x, y), (x + 26.0, y)], 4.0, GOLD, SOLID)
}
