//! What becomes of each size along the screen.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use crate::figures::sheet::Sheet;
use crate::figures::{FigureError, curve_sheet};
use crate::numbers::percent;
use crate::tables::Table;

const CURVES: &str = "screen-fate";

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

/// What it shows, as a finding: what is left of the gold half as large as the holes, the middle one of those followed.
pub fn title(outcome: &RunResult, _units: UnitChoice) -> String {
    let followed = curve_sheet::find(outcome, CURVES).and_then(|c| {
        let gold: Vec<_> = c.panels.first()?.lines.iter().filter(|l| l.words.starts_with("gold")).collect();
        let middle = gold.get(gold.len() / 2)?;
        Some((middle.words.trim_start_matches("gold ").to_string(), middle.y.last().copied().flatten()?))
    });
    match followed {
        Some((size, left)) if left > 0.005 => {
            format!("Of gold of {size}, {} is still in the drum at the end of the screen", percent(left))
        }
        Some((size, _)) => format!("Of gold of {size} hardly any is left in the drum at the end of the screen"),
        None => "Sizes along the screen".into(),
    }
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    format!(
        "{}. Each line is one size; it falls as grains of that size drop through the holes. Middle case.",
        title(outcome, units)
    )
}
