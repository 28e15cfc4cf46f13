//! What becomes of each size along the screen.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::quantity::UnitChoice;
use sim_core::result::Outcome;

use super::sheet::Sheet;
use super::words::percent;
use super::{FigureError, Table, curve_sheet};

const CURVES: &str = "screen-fate";

/// Whether there is anything to draw.
pub fn present(outcome: &Outcome) -> bool {
    curve_sheet::find(outcome, CURVES).is_some()
}

/// Height of the sheet.
pub fn height(outcome: &Outcome, units: UnitChoice) -> f64 {
    curve_sheet::find(outcome, CURVES).map_or(100.0, |c| curve_sheet::height(c, &title(outcome, units)))
}

/// The numbers.
pub fn table(outcome: &Outcome, units: UnitChoice) -> Table {
    curve_sheet::find(outcome, CURVES)
        .map_or(Table { headers: Vec::new(), rows: Vec::new() }, |c| curve_sheet::table(c, units))
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &Outcome,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    curve_sheet::find(outcome, CURVES).map_or(Ok(()), |c| curve_sheet::draw(&sheet, top, c, units))
}

/// What it shows, as a finding.
pub fn title(outcome: &Outcome, _units: UnitChoice) -> String {
    let worst = curve_sheet::find(outcome, CURVES).and_then(|c| {
        let gold = c.panels.first()?.lines.iter().filter(|l| l.words.starts_with("gold"));
        gold.filter_map(|l| Some((l.words.as_str(), l.y.last().copied().flatten()?)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(words, left)| (words.to_string(), left))
    });
    match worst {
        Some((words, left)) if left > 0.005 => {
            format!("At the end of the screen {} of the {words} is still in the drum", percent(left))
        }
        Some((words, _)) => format!("The screen is long enough: even of the {words} hardly any is left at its end"),
        None => "Sizes along the screen".into(),
    }
}

/// The figure in words.
pub fn alt(outcome: &Outcome, units: UnitChoice) -> String {
    format!(
        "{}. Each line is one size; it falls as grains of that size drop through the holes. Middle case.",
        title(outcome, units)
    )
}
