//! Where the water goes, drawn to scale: what leaves the pump or the pipe, and the parts that it goes to.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::{Dimension, UnitChoice, show};

use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height};
use crate::figures::style::{GOLD_PALE, INK, MARGIN, QUIET, SOLID, STONE, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::percent;
use crate::tables::Table;

/// Height of all the water.
const WATER: f64 = 260.0;
/// Least distance of two labels.
const LABEL: f64 = 56.0;
const TRUNK_LEFT: f64 = 40.0;
const TRUNK_RIGHT: f64 = 150.0;
const ENDS: f64 = 330.0;

/// One way that water takes.
#[derive(Debug, Clone)]
pub struct Way {
    /// Name of the outlet.
    pub name: String,
    /// Where it is mounted.
    pub on: String,
    /// Middle flow, m3/s.
    pub flow_m3_s: f64,
    /// The pump that feeds it.
    pub fed_by: Option<String>,
}

/// The figure.
#[derive(Debug, Clone)]
pub struct WaterWays {
    /// Units of the user.
    pub units: UnitChoice,
    /// The ways, largest first.
    pub ways: Vec<Way>,
}

/// Draws the figure with its table; `None` without water.
pub fn water_ways(figure: &WaterWays) -> Option<Result<Figure, FigureError>> {
    if !(figure.total() > 0.0) {
        return None;
    }
    let share = |w: &Way| percent(w.flow_m3_s / figure.total());
    let flow = |q: f64| show(q, Dimension::Flow, figure.units);
    let headers = ["Outlet", "On", "Fed by", "Flow", "Share"].map(String::from).to_vec();
    let rows = figure.ways.iter().map(|w| {
        let fed = w.fed_by.clone().unwrap_or_else(|| "as typed".into());
        vec![w.name.clone(), w.on.clone(), fed, flow(w.flow_m3_s), share(w)]
    });
    let said: Vec<String> =
        figure.ways.iter().map(|w| format!("{} to {}, {}", flow(w.flow_m3_s), w.on, share(w))).collect();
    let title = figure.title();
    let alt = format!("{title}. {}.", said.join("; "));
    Some(picture("water-ways", &title, alt, Table { headers, rows: rows.collect() }, figure))
}

impl WaterWays {
    fn total(&self) -> f64 {
        self.ways.iter().map(|w| w.flow_m3_s).sum()
    }

    fn title(&self) -> String {
        let largest = self.ways.iter().max_by(|a, b| a.flow_m3_s.total_cmp(&b.flow_m3_s));
        largest.map_or("Where the water goes".into(), |w| {
            format!("{} of the water goes to {}", percent(w.flow_m3_s / self.total()), w.on)
        })
    }

    /// Room that a way takes at its end: its water or its label, whichever is more.
    fn room(&self, way: &Way) -> f64 {
        (WATER * way.flow_m3_s / self.total()).max(LABEL)
    }
}

impl Drawing for WaterWays {
    fn height(&self) -> f64 {
        title_height(&self.title()) + 40.0 + self.ways.iter().map(|w| self.room(w) + 14.0).sum::<f64>().max(WATER)
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title())?;
        let top = top + 30.0;
        let all = self.ways.iter().map(|w| self.room(w) + 14.0).sum::<f64>();
        let mut start = top + (all.max(WATER) - WATER) / 2.0;
        let total = show(self.total(), Dimension::Flow, self.units);
        sheet.text(&format!("All: {total}"), (TRUNK_LEFT, start - 16.0), Hang::Right, INK)?;
        let mut end = top;
        for (i, way) in self.ways.iter().enumerate() {
            let thick = WATER * way.flow_m3_s / self.total();
            let room = self.room(way);
            let to = end + (room - thick) / 2.0;
            let color = if i % 2 == 0 { STONE } else { GOLD_PALE };
            // A bend of straight pieces: along the trunk, across, along to the label.
            let (a, b) = (TRUNK_RIGHT, ENDS - 40.0);
            let shape = [
                (TRUNK_LEFT, start),
                (a, start),
                (b, to),
                (ENDS, to),
                (ENDS, to + thick),
                (b, to + thick),
                (a, start + thick),
                (TRUNK_LEFT, start + thick),
            ];
            sheet.face(&shape, color)?;
            let mut outline = shape.to_vec();
            outline.push((TRUNK_LEFT, start));
            sheet.line(&outline, 1.0, INK, SOLID)?;
            let middle = end + room / 2.0;
            let flow = show(way.flow_m3_s, Dimension::Flow, self.units);
            let share = percent(way.flow_m3_s / self.total());
            sheet.text(&format!("{flow}, {share}"), (ENDS + 14.0, middle - 12.0), Hang::Right, INK)?;
            sheet.text(&format!("{} on {}", way.name, way.on), (ENDS + 14.0, middle + 14.0), Hang::Right, QUIET)?;
            start += thick;
            end += room + 14.0;
        }
        sheet.text("widths to scale; middle run", (WIDTH - MARGIN, top - 16.0), Hang::Left, QUIET)
    }
}
