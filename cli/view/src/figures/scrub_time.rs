//! Time in the drum, and clay left, against the feed.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use crate::figures::sheet::Sheet;
use crate::figures::{FigureError, curve_sheet};
use crate::numbers::percent;
use crate::tables::Table;
use sim_core::quantity::{Dimension, show_both};

const CURVES: &str = "scrub-time";

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

/// Value of a panel's line at the feed of the plan: the position nearest to it, at the speed of the plan (the middle line).
fn at_plan(outcome: &RunResult, words: &str) -> Option<f64> {
    let c = curve_sheet::find(outcome, CURVES)?;
    let now = c.now?;
    let at = (0..c.x.len()).min_by(|a, b| (c.x[*a] - now).abs().total_cmp(&(c.x[*b] - now).abs()))?;
    let panel = c.panels.iter().find(|p| p.up.words == words)?;
    panel.lines.get(panel.lines.len() / 2)?.y.get(at).copied().flatten()
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, units: UnitChoice) -> String {
    let time = at_plan(outcome, "time ahead of the holes").map(|t| show_both(t, Dimension::Time, units));
    match (time, at_plan(outcome, "clay left in lumps")) {
        (Some(time), Some(clay)) => {
            format!(
                "As planned the gravel is scrubbed {time} ahead of the holes, and {} of the clay stays in lumps",
                percent(clay)
            )
        }
        (Some(time), None) => format!("As planned the gravel is scrubbed {time} ahead of the holes"),
        _ => "At this feed the drum is overloaded".into(),
    }
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    format!(
        "{}. Lines for three speeds against the feed; more feed means less time and more clay left. A line ends where the drum \
         carries no more. Middle case.",
        title(outcome, units)
    )
}
