//! Every table of the report for other programs: a CSV file each and the sheets of one workbook.

use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use super::changes;
use crate::figures::Figure;
use crate::report::backing::Backing;
use crate::report::grid::{Grid, Piece, share, spread};
use crate::report::{ground, money, next, sections, sizes};
use crate::tables::TableFile;

/// Recovery by size class in plain numbers, for curves of one's own.
fn by_size(outcome: &RunResult) -> Grid {
    let heads = [
        ("From, mm", "from_mm"),
        ("To, mm", "to_mm"),
        ("Of all gold fed", "fed_share"),
        ("Caught, mean", "recovery_mean"),
        ("1 run in 10 falls below", "recovery_pctl_10"),
        ("Middle", "recovery_pctl_50"),
        ("1 run in 10 is above", "recovery_pctl_90"),
    ];
    let rows = outcome.gold.recovery_by_size.iter().map(|c| {
        let edge = |v: f64| Piece::Number { value: v, unit: String::new(), text: crate::numbers::mm(v) };
        let mut row = vec![edge(c.from_mm), edge(c.to_mm.unwrap_or(f64::INFINITY)), share(c.fed_share)];
        row.extend(spread(&c.recovery, share));
        row
    });
    Grid::new("recovery-by-size", &heads, rows.collect())
}

/// What made the result.
fn provenance(outcome: &RunResult) -> Grid {
    let p = &outcome.provenance;
    let rows = [
        ("title", outcome.plant.title.clone()),
        ("tool", format!("{} {}", p.tool, p.version)),
        ("scenario_sha256", p.scenario_sha256.clone()),
        ("seed", p.seed.to_string()),
        ("runs", p.trials.to_string()),
        ("rng_layout", p.rng_layout.clone()),
        ("models", p.models.join("; ")),
        ("note", "planning estimate on assumed constants; local codes and licensed practice decide".into()),
    ];
    let rows = rows.into_iter().map(|(what, value)| vec![what.into(), value.into()]);
    Grid::new("provenance", &[("What", "what"), ("Value", "value")], rows.collect())
}

/// All tables: those of the report, then the numbers of each figure beside it. Empty ones are left out.
pub fn tables(outcome: &RunResult, backing: &Backing, figures: &[Figure], units: UnitChoice) -> Vec<TableFile> {
    let mut grids = vec![
        sections::gold_grid(outcome, units),
        sections::losses_grid(outcome),
        by_size(outcome),
        sizes::grid(outcome),
        changes::grid(&backing.changes, units),
        sections::gravel_grid(outcome, units),
        sections::measures_grid(outcome, units, "measures", &|_| true),
        sections::water_grid(outcome, units),
        sections::rules_grid(outcome, units),
        sections::outlets_grid(outcome, units),
    ];
    grids.extend(money::grids(outcome, units));
    grids.extend([
        ground::grid(outcome, units),
        next::grid(outcome),
        sections::warnings_grid(outcome),
        backing.understood_grid(),
        backing.inputs_grid(),
        backing.models_grid(),
        backing.sources_grid(),
        provenance(outcome),
    ]);
    let of_figures = figures.iter().map(|f| TableFile::of_figure(&format!("{}-numbers", f.name), &f.table));
    grids.iter().filter(|g| !g.rows.is_empty()).map(Grid::file).chain(of_figures).collect()
}
