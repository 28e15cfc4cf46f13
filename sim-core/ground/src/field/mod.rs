//! Field sheets: what was dug, sieved, counted and panned, and what it says about the ground.
//!
//! ```text
//! CSV, XLSX --source--> raw rows --sheet--> columns, units, places --sieve_test, stone_count, gold_sample--> samples
//! list in the scenario -------------------------^                                     |
//!                                          gradation_posterior, gold_posterior, clay <'--> checks (warnings with numbers)
//! ```
//! | file | what it does |
//! |---|---|
//! | `source` | a file, CSV or XLSX, to rows of texts; wrong files refused in words |
//! | `sheet`, `columns` | which column is which, in which unit; every cell with its place for messages |
//! | [`sieve_test`] | sieve tests to shares passing |
//! | [`stone_count`] | stones counted on a wall, for sizes that a bucket cannot represent |
//! | [`gold_sample`] | pans and bulk samples to colours and weights by class |
//! | [`clay`] | clay share and lump size from lumps picked off the sieves |
//! | [`grain_weight`] | what a colour weighs; flatness from weighed colours |
//! | [`patchiness`] | whether samples scatter more than chance, and by how much |
//! | [`gradation_posterior`], [`gold_posterior`] | what the samples say, with spread |
//! | [`gold_between`] | gold between the joint draws, for tuning |
//! | [`whole_weight`] | gold weighed without sieves: how likely a grade makes its weight |
//! | [`sample_value`] | what a sample is worth in money, before steel is cut |
//! | [`next_sample`] | what another sample would tell |
//! | [`mod@checks`] | warnings about the data |
//! | [`templates`] | the sheets that `new` writes |

pub mod checks;
pub mod clay;
mod columns;
pub mod gold_between;
pub mod gold_posterior;
mod gold_row;
pub mod gold_sample;
pub mod gradation_posterior;
pub mod grain_weight;
pub mod next_sample;
pub mod patchiness;
pub mod sample_value;
mod sheet;
pub mod sieve_test;
mod source;
pub mod stone_count;
pub mod templates;
pub mod whole_weight;

pub use columns::{gold as gold_columns, sieves as sieve_columns, stones as stone_columns};
pub use gold_posterior::GoldPosterior;
pub use gold_sample::{GoldSample, GoldSamples, WashedWith};
pub use gradation_posterior::GradationKnown;
pub use sheet::{Cell, Column, Content, Read, Row, Sheet, SheetReader, Told};
pub use sieve_test::SieveTest;
pub use source::MOST_BYTES;
pub use source::{OwnColumn, day_shown, is_path};
pub use stone_count::StoneCount;

use std::ops::Range;
use std::path::Path;
use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

use washgraph_units::problem::Problems;

/// Reads a sheet from a file beside the scenario. Its bytes are handed to `note_bytes` (for the fingerprint of the inputs).
/// `None` after a problem, which is recorded.
pub fn open_sheet(
    folder: &Path,
    file: &str,
    sheet: &str,
    usual: &[&str],
    columns: &'static [Column],
    place: Option<Range<usize>>,
    problems: &mut Problems,
    mut note_bytes: impl FnMut(&[u8]),
) -> Option<Sheet> {
    match source::bytes_of(&folder.join(file), file) {
        Ok(bytes) => {
            note_bytes(&bytes);
            sheet_of_bytes(file, &bytes, sheet, usual, columns, place, problems)
        }
        Err(error) => {
            problems.error(place, error.message, error.help);
            None
        }
    }
}

/// Reads a sheet from the bytes of a file, CSV or XLSX, that is shown under this name. `None` after a problem.
pub fn sheet_of_bytes(
    name: &str,
    bytes: &[u8],
    sheet: &str,
    usual: &[&str],
    columns: &'static [Column],
    place: Option<Range<usize>>,
    problems: &mut Problems,
) -> Option<Sheet> {
    match source::rows_of(name, bytes, sheet, usual) {
        Ok(raw) => Sheet::of_file(raw, columns, place, problems),
        Err(error) => {
            problems.error(place, error.message, error.help);
            None
        }
    }
}

/// The same with columns headed by the path of a setting (`drum.speed`) apart: they are not among the declared ones. More rows than
/// `most_rows` are refused.
pub fn sheet_with_paths(
    name: &str,
    bytes: &[u8],
    usual: &[&str],
    columns: &'static [Column],
    most_rows: usize,
    problems: &mut Problems,
) -> Option<(Sheet, Vec<OwnColumn>)> {
    let mut too_long = |name: &str, rows: usize| {
        problems.error(
            None,
            format!("{name} has {rows} rows; at most {most_rows} are read"),
            "is it the right file? a log has one row for each number that was read",
        );
    };
    // Counting lines is far quicker than reading them.
    let is_row = |line: &&[u8]| line.first().is_some_and(|b| !b"#\r".contains(b));
    let lines = if bytes.starts_with(b"PK") { 0 } else { bytes.split(|b| *b == b'\n').filter(is_row).count() };
    if lines > most_rows {
        too_long(name, lines);
        return None;
    }
    match source::rows_of(name, bytes, "", usual) {
        Ok(raw) if raw.rows.len() > most_rows => {
            too_long(&raw.name, raw.rows.len());
            None
        }
        Ok(mut raw) => {
            let paths = raw.take_paths();
            Some((Sheet::of_file(raw, columns, None, problems)?, paths))
        }
        Err(error) => {
            problems.error(None, error.message, error.help);
            None
        }
    }
}

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    [checks::FORMULAS, stone_count::FORMULAS, patchiness::FORMULAS].into_iter().flatten().collect()
}

/// Checks of this room.
pub fn checks() -> Vec<&'static Check> {
    [stone_count::CHECKS, patchiness::CHECKS].into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn pinned_golden_numbers_of_this_room() {
        let rooms = [super::checks::golden_rows::ROWS];
        washgraph_golden::compare(concat!(env!("CARGO_MANIFEST_DIR"), "/src/field/golden.csv"), &rooms);
    }
}
