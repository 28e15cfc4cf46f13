//! A log as CSV or XLSX: a row for each observation, further rows for what was read several times. A row that says `what` begins an
//! observation; the rows below that do not say it belong to it. Without a date it is of the day above, at its settings.

use super::columns::{COLUMNS, column};
use super::file::LogFile;
use super::raw::{MOST_ENTRIES, MOST_ROWS, RawEntry, RawLog, TypedSetting};
use super::toml_file::too_many;
use sim_core::field::{OwnColumn, Row, Sheet, sheet_with_paths};
use sim_core::problem::Problems;

/// Reads the rows.
pub(super) fn raw_log(file: &LogFile, problems: &mut Problems) -> Option<RawLog> {
    let (sheet, paths) = sheet_with_paths(&file.name, &file.bytes, &["log", "seen"], COLUMNS, MOST_ROWS, problems)?;
    if !sheet.has(column::WHAT) {
        problems.error(
            None,
            format!("{} has no column `what`", sheet.name),
            "each observation begins with a row that says what it is, e.g. tailings-pan",
        );
        return None;
    }
    let starts: Vec<usize> = (0..sheet.rows.len())
        .filter(|r| sheet.rows.get(*r).is_some_and(|r| sheet.text(r, column::WHAT).is_some()))
        .collect();
    if starts.len() > MOST_ENTRIES {
        problems.error(
            None,
            format!("{}: {}", sheet.name, too_many(starts.len())),
            "put counts of equal days together, or tune on a part of the log",
        );
        return None;
    }
    // A row that does not say `what` belongs to the one above; one that has a date was meant to begin an observation.
    let dated = |r: &Row| sheet.text(r, column::DATE).is_some() && sheet.text(r, column::WHAT).is_none();
    let lost = sheet.rows.iter().enumerate().find(|(i, r)| dated(r) || *i == 0 && starts.first() != Some(&0));
    if let Some((_, row)) = lost {
        problems.error(
            None,
            format!("{}, row {}: it is not said what was observed", sheet.name, row.number),
            "say in `what` which observation begins in this row; further rows of one observation have no date",
        );
        return None;
    }
    let mut entries: Vec<RawEntry> = Vec::new();
    for (k, start) in starts.iter().enumerate() {
        let end = starts.get(k + 1).copied().unwrap_or(sheet.rows.len());
        let Some(row) = sheet.rows.get(*start) else { continue };
        let typed = settings_of(&sheet, row, &paths);
        let date = sheet.text(row, column::DATE).unwrap_or("").to_string();
        let (date, settings) = match (date.is_empty(), entries.last()) {
            (true, Some(above)) if typed.is_empty() => (above.date.clone(), above.settings.clone()),
            (true, Some(above)) => (above.date.clone(), typed),
            _ => (date, typed),
        };
        let what = sheet.text(row, column::WHAT).unwrap_or("").to_string();
        entries.push(RawEntry { rows: *start..end, date, what, settings });
    }
    Some(RawLog { sheet, entries })
}

fn settings_of(sheet: &Sheet, row: &Row, paths: &[OwnColumn]) -> Vec<TypedSetting> {
    paths
        .iter()
        .filter_map(|column| {
            let cell = column.cells.get(&row.number)?;
            let bare = cell.parse::<f64>().is_ok();
            let text = match &column.unit {
                Some(unit) if bare => format!("{cell} {unit}"),
                _ => cell.clone(),
            };
            Some(TypedSetting {
                path: column.path.clone(),
                text,
                place: None,
                before: format!("{}, row {}, column `{}`: ", sheet.name, row.number, column.path),
            })
        })
        .collect()
}
