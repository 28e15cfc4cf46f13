//! Torque and power of the drum against feed and speed.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use crate::figures::sheet::Sheet;
use crate::figures::{FigureError, curve_sheet};
use crate::tables::Table;
use sim_core::quantity::{Dimension, show_both};

const CURVES: &str = "drum-power";

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    curve_sheet::find(outcome, CURVES).is_some()
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    curve_sheet::find(outcome, CURVES).map_or(100.0, |c| curve_sheet::height(c, &title(outcome, units)))
}

/// The numbers.
pub fn table(outcome: &RunResult, units: UnitChoice) -> Table {
    curve_sheet::find(outcome, CURVES)
        .map_or(Table { headers: Vec::new(), rows: Vec::new() }, |c| curve_sheet::table(c, units))
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    curve_sheet::find(outcome, CURVES).map_or(Ok(()), |c| curve_sheet::draw(&sheet, top, c, units))
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, units: UnitChoice) -> String {
    let value = |panel: usize| {
        let c = curve_sheet::find(outcome, CURVES)?;
        let now = c.now?;
        let at = (0..c.x.len()).min_by(|a, b| (c.x[*a] - now).abs().total_cmp(&(c.x[*b] - now).abs()))?;
        let lines = &c.panels.get(panel)?.lines;
        lines.get(lines.len() / 2)?.y.get(at).copied().flatten()
    };
    match (value(0), value(1)) {
        (Some(torque), Some(power)) => format!(
            "As planned the drum takes {} at the shell: a torque of {}",
            show_both(power, Dimension::Power, units),
            show_both(torque, Dimension::Torque, units)
        ),
        _ => "At this feed the drum is overloaded".into(),
    }
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    format!(
        "{}. Lines for three speeds against the feed: a slower drum holds more and needs more torque. Starting takes more than \
         twice as much. Middle case, losses of motor and pump not included.",
        title(outcome, units)
    )
}
