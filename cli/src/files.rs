//! The files of an output folder, prepared in memory.

use sim_core::plant::Plant;
use sim_core::registry::Registry;
use washgraph_model::result::RunResult;
use washgraph_model::scenario::Opened;

use std::path::Path;

use crate::kept_inputs;
use crate::output::{OutputError, RESULT_FILE, write_files};
use washgraph_view::report::{Backing, Changes};
use washgraph_view::tables::ContentError;
use washgraph_view::verdict::Verdict;

/// Name and content of every file. What each loss would cost to stop is worked out here, after the verdict is out.
pub(crate) fn all(
    outcome: &RunResult,
    plant: &Plant,
    opened: &Opened,
    registry: &Registry,
    verdict: &Verdict,
) -> Result<Vec<(String, Vec<u8>)>, OutputError> {
    let json = result_json(outcome)?;
    let (figures, changes) = rayon::join(
        || washgraph_view::figures::all(outcome, plant.units),
        || Changes::work_out(registry, opened, outcome.provenance.seed),
    );
    let figures = figures.map_err(|e| ContentError { what: "the figures", cause: e.to_string() })?;
    let backing = Backing::of(plant, registry, changes, &verdict.remedies);
    let report = washgraph_view::report::html(outcome, &backing, &figures, plant.units);
    let mut files: Vec<(String, Vec<u8>)> = vec![
        (RESULT_FILE.into(), json.into_bytes()),
        ("verdict.txt".into(), verdict.plain().into_bytes()),
        ("report.html".into(), report.into_bytes()),
    ];
    let tables = washgraph_view::report::tables(outcome, &backing, &figures, plant.units);
    files.extend(
        washgraph_view::tables::files("tables", &tables)
            .map_err(|e| ContentError { what: "the workbook", cause: e.to_string() })?,
    );
    for figure in figures {
        files.push((format!("{}.svg", figure.name), figure.svg.into_bytes()));
        files.push((format!("{}.png", figure.name), figure.png));
    }
    Ok(files)
}

/// The result document as it stands in `result.json`, with its line end.
pub(crate) fn result_json(outcome: &RunResult) -> Result<String, OutputError> {
    let json =
        serde_json::to_string_pretty(outcome).map_err(|e| ContentError { what: RESULT_FILE, cause: e.to_string() })?;
    Ok(json + "\n")
}

/// Writes report, figures, result, tables and what they were made of into a folder.
pub(crate) fn write_folder(
    folder: &Path,
    outcome: &RunResult,
    plant: &Plant,
    opened: &Opened,
    registry: &Registry,
    verdict: &Verdict,
) -> Result<(), OutputError> {
    write_files(folder, RESULT_FILE, || {
        let mut files = all(outcome, plant, opened, registry, verdict)?;
        files.extend(kept_inputs::of(plant, opened)?);
        Ok(files)
    })
}
