//! A field sheet as a file: CSV or XLSX, told apart by content. The file is read, never written.
//!
//! Whatever the file, the outcome is the same: rows of texts, each with the number that a spreadsheet shows beside it.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;

use calamine::{DataRef, Reader as _, Xlsx};
use washgraph_units::owner_file::{self, Unread};

/// Largest file that is read. A sheet of 100,000 rows has a few megabytes.
pub const MOST_BYTES: u64 = 20_000_000;
/// Most rows and columns that are read of one sheet: what a spreadsheet holds in rows, and more columns than anyone fills.
const MOST_ROWS: u32 = 1_048_576;
const MOST_COLUMNS: u32 = 64;
/// Most bytes that a workbook may hold when unpacked.
const MOST_UNPACKED: u64 = 400_000_000;

/// Begins the text of a cell that cannot be used, followed by the reason in words; behind a second one the day that it shows, if
/// it shows one (see [`day_shown`]).
pub(super) const UNUSABLE: char = '\u{1}';

/// The day that a cell shows which a spreadsheet keeps as a date: year-month-day.
pub fn day_shown(text: &str) -> Option<&str> {
    text.strip_prefix(UNUSABLE)?.split_once(UNUSABLE).map(|(_, day)| day)
}

/// A row as it stands in the file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawRow {
    /// Number as the spreadsheet or an editor shows it.
    pub number: usize,
    /// Texts, left to right; empty where nothing is written.
    pub cells: Vec<String>,
}

/// The rows of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawSheet {
    /// File name, with the sheet of a workbook.
    pub name: String,
    /// Rows that hold something, top down.
    pub rows: Vec<RawRow>,
    /// Whether 12,5 means twelve and a half: the cells are parted by semicolons.
    pub decimal_comma: bool,
}

/// A column headed by the path of a setting.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnColumn {
    /// The path.
    pub path: String,
    /// Unit in the heading.
    pub unit: Option<String>,
    /// Cells by the number of their row.
    pub cells: BTreeMap<usize, String>,
}

/// Whether a heading is the path of a setting: words joined by points, without spaces.
pub fn is_path(heading: &str) -> bool {
    let name = heading.split(['(', '[']).next().unwrap_or("").trim();
    name.contains('.')
        && name.split('.').all(|w| {
            w.starts_with(|c: char| c.is_ascii_alphabetic())
                && w.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
        })
}

impl RawSheet {
    /// Takes out the columns that are headed by paths of settings.
    pub(super) fn take_paths(&mut self) -> Vec<OwnColumn> {
        let Some(at) = self.rows.iter().take(40).position(|r| r.cells.iter().any(|c| is_path(c))) else {
            return Vec::new();
        };
        let mut taken = Vec::new();
        let headings = self.rows[at].cells.clone();
        for (i, heading) in headings.iter().enumerate().filter(|(_, h)| is_path(h)) {
            let (path, unit) = match heading.split_once(['(', '[']) {
                Some((path, unit)) => (path.trim(), Some(unit.trim_end_matches([')', ']']).trim().to_string())),
                None => (heading.as_str(), None),
            };
            let mut cells = BTreeMap::new();
            for (n, row) in self.rows.iter_mut().enumerate().skip(at) {
                let Some(cell) = row.cells.get_mut(i) else { continue };
                let text = std::mem::take(cell);
                if n > at && !text.is_empty() {
                    cells.insert(row.number, text);
                }
            }
            taken.push(OwnColumn { path: path.to_string(), unit, cells });
        }
        taken
    }
}

/// Why a file is no sheet: what is wrong and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NoSheet {
    pub message: String,
    pub help: String,
}

fn no_sheet(message: impl Into<String>, help: impl Into<String>) -> NoSheet {
    NoSheet { message: message.into(), help: help.into() }
}

/// Reads the bytes of a file, refusing what is no plain file and what is far too large for a sheet.
pub(super) fn bytes_of(path: &Path, shown: &str) -> Result<Vec<u8>, NoSheet> {
    owner_file::read(path, shown, "field sheet", MOST_BYTES).map_err(|why| {
        let help = match why {
            Unread::System { .. } => "files are looked for beside the scenario",
            Unread::Folder { .. } => "name the file in it",
            _ => "name a CSV or XLSX file",
        };
        no_sheet(why.to_string(), help)
    })
}

/// Rows of a file. `wanted` names the sheet of a workbook; `usual` are names that are taken when none is given.
pub(super) fn rows_of(shown: &str, bytes: &[u8], wanted: &str, usual: &[&str]) -> Result<RawSheet, NoSheet> {
    if bytes.starts_with(b"PK\x03\x04") {
        return workbook(shown, bytes, wanted, usual);
    }
    if bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Err(no_sheet(
            format!("{shown} is a workbook of the old kind (.xls)"),
            "save it as .xlsx or as CSV and name that file",
        ));
    }
    if !wanted.is_empty() {
        return Err(no_sheet(
            format!("`sheet` is given, but {shown} is not a workbook"),
            "take `sheet` out, or name an .xlsx file",
        ));
    }
    text(shown, bytes)
}

fn text(shown: &str, bytes: &[u8]) -> Result<RawSheet, NoSheet> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(no_sheet(format!("{shown} is UTF-16 text"), "save it as CSV in UTF-8"));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.iter().take(8192).any(|b| *b == 0) {
        return Err(no_sheet(
            format!("{shown} is neither text nor a workbook"),
            "name a CSV or XLSX file; pictures and PDF cannot be read",
        ));
    }
    let content = std::str::from_utf8(bytes).map_err(|e| {
        let line = bytes[..e.valid_up_to()].iter().filter(|b| **b == b'\n').count() + 1;
        no_sheet(
            format!("{shown}, row {line}: a letter that is not UTF-8"),
            "save the sheet as CSV in UTF-8, or as XLSX",
        )
    })?;
    let delimiter = delimiter_of(content);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .delimiter(delimiter)
        .from_reader(bytes);
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    // Lines are counted here: the reader's own count stops before comments and empty lines.
    let (mut counted, mut lines) = (0, 1);
    loop {
        match reader.read_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {
                let end = (reader.position().byte() as usize).min(bytes.len());
                let end = if bytes[..end].ends_with(b"\n") { end - 1 } else { end };
                lines += bytes.get(counted..end).unwrap_or(&[]).iter().filter(|b| **b == b'\n').count();
                counted = end;
                let number = lines;
                if record.len() > MOST_COLUMNS as usize {
                    return Err(no_sheet(
                        format!("{shown}, row {number} has {} cells", record.len()),
                        "is it the right file? one row a sieve or a class, cells parted by commas",
                    ));
                }
                if record.iter().any(|cell| !cell.is_empty()) {
                    rows.push(RawRow { number, cells: record.iter().map(str::to_string).collect() });
                }
            }
            Err(error) => return Err(no_sheet(format!("{shown}: {error}"), "write it as CSV in UTF-8")),
        }
    }
    Ok(RawSheet { name: shown.to_string(), rows, decimal_comma: delimiter == b';' })
}

/// The sign between cells: whichever of comma, semicolon and tab stands most often in the first rows.
fn delimiter_of(content: &str) -> u8 {
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    for line in content.lines().filter(|l| !l.starts_with('#')).take(20) {
        for (sign, count) in &mut counts {
            *count += line.bytes().filter(|b| b == sign).count();
        }
    }
    // Of equals the first: a comma.
    counts.iter().rev().max_by_key(|(_, count)| *count).map_or(b',', |(sign, _)| *sign)
}

fn workbook(shown: &str, bytes: &[u8], wanted: &str, usual: &[&str]) -> Result<RawSheet, NoSheet> {
    if unpacked_size(bytes).is_none_or(|size| size > MOST_UNPACKED) {
        return Err(no_sheet(
            format!("{shown} is damaged, or unpacks to more than any field sheet"),
            "open it in a spreadsheet program and save it again",
        ));
    }
    let damaged = |e: String| no_sheet(format!("{shown} cannot be read as a workbook: {e}"), "save it again as .xlsx");
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|e: calamine::XlsxError| damaged(e.to_string()))?;
    let names = book.sheet_names();
    let same = |a: &str, b: &str| a.trim().eq_ignore_ascii_case(b.trim());
    let chosen = if wanted.is_empty() {
        names.iter().find(|n| usual.iter().any(|u| same(n, u))).or(names.first())
    } else {
        names.iter().find(|n| same(n, wanted))
    };
    let Some(sheet) = chosen.cloned() else {
        return Err(no_sheet(format!("{shown} has no sheet `{wanted}`"), format!("its sheets: {}", names.join(", "))));
    };
    let mut cells = book.worksheet_cells_reader(&sheet).map_err(|e| damaged(e.to_string()))?;
    let mut rows: Vec<RawRow> = Vec::new();
    loop {
        let cell = match cells.next_cell() {
            Ok(Some(cell)) => cell,
            Ok(None) => break,
            Err(e) => return Err(damaged(e.to_string())),
        };
        let (row, column) = cell.get_position();
        let content = cell_text(cell.get_value());
        if content.is_empty() {
            continue;
        }
        if row >= MOST_ROWS || column >= MOST_COLUMNS {
            return Err(no_sheet(
                format!("{shown}, sheet {sheet}: something stands in row {}, column {}", row + 1, column + 1),
                "a field sheet has few columns; clear what does not belong to it",
            ));
        }
        let number = row as usize + 1;
        if rows.last().is_none_or(|r| r.number != number) {
            rows.push(RawRow { number, cells: Vec::new() });
        }
        if let Some(last) = rows.last_mut() {
            last.cells.resize(last.cells.len().max(column as usize + 1), String::new());
            if let Some(slot) = last.cells.get_mut(column as usize) {
                *slot = content;
            }
        }
    }
    rows.retain(|r| !r.cells.first().is_some_and(|c| c.starts_with('#')));
    Ok(RawSheet { name: format!("{shown}, sheet {sheet}"), rows, decimal_comma: false })
}

const A_DATE: &str = "the spreadsheet has made a date of what was typed";

/// Day of a spreadsheet's serial number, in which 25569 is 1 January 1970, as year-month-day. Empty where it is no day.
///
/// Days of the calendar by counting eras of 400 years from 1 March of year 0. Source: standard, from memory; tested.
fn day_of_serial(serial: f64) -> String {
    if !(61.0..2_958_466.0).contains(&serial) {
        return String::new();
    }
    let days = serial.floor() as i64 - 25_569 + 719_468;
    let era_day = days.rem_euclid(146_097);
    let year_of_era = (era_day - era_day / 1_460 + era_day / 36_524 - era_day / 146_096) / 365;
    let day_of_year = era_day - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month + 2) / 5 + 1;
    let month = if month < 10 { month + 3 } else { month - 9 };
    let year = year_of_era + 400 * days.div_euclid(146_097) + i64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

fn cell_text(value: &DataRef<'_>) -> String {
    match value {
        DataRef::Int(n) => n.to_string(),
        DataRef::Float(x) => x.to_string(),
        DataRef::String(s) => s.trim().to_string(),
        DataRef::SharedString(s) => s.trim().to_string(),
        DataRef::Bool(b) => b.to_string(),
        DataRef::DateTime(date) => format!("{UNUSABLE}{A_DATE}{UNUSABLE}{}", day_of_serial(date.as_f64())),
        DataRef::DateTimeIso(iso) => {
            format!("{UNUSABLE}{A_DATE}{UNUSABLE}{}", iso.get(..10).unwrap_or_default())
        }
        DataRef::DurationIso(_) => format!("{UNUSABLE}{A_DATE}"),
        DataRef::Error(e) => format!("{UNUSABLE}the spreadsheet shows the error {e}"),
        DataRef::Empty => String::new(),
    }
}

/// Bytes that a zip archive unpacks to, from its central directory; `None` when there is none.
fn unpacked_size(bytes: &[u8]) -> Option<u64> {
    let number = |at: usize, len: usize| -> Option<u64> {
        let part = bytes.get(at..at + len)?;
        Some(part.iter().rev().fold(0, |n, b| n << 8 | u64::from(*b)))
    };
    let tail = bytes.len().saturating_sub(66_000);
    let end = (tail..bytes.len().saturating_sub(21)).rev().find(|i| bytes[*i..].starts_with(b"PK\x05\x06"))?;
    let (entries, mut at) = (number(end + 10, 2)?, number(end + 16, 4)? as usize);
    let mut total = 0;
    for _ in 0..entries {
        if !bytes.get(at..)?.starts_with(b"PK\x01\x02") {
            return None;
        }
        total += number(at + 24, 4)?;
        at += 46 + (number(at + 28, 2)? + number(at + 30, 2)? + number(at + 32, 2)?) as usize;
    }
    Some(total)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_csv_of_any_delimiter_gives_the_same_cells() {
        for (content, comma) in [("a,b\n1.5,2\n", false), ("a;b\n1,5;2\n", true), ("# x\na\tb\n1.5\t2\n", false)] {
            let sheet = rows_of("s.csv", content.as_bytes(), "", &[]).unwrap();
            assert_eq!(sheet.rows.len(), 2);
            assert_eq!(sheet.rows[0].cells, ["a", "b"]);
            assert_eq!(sheet.decimal_comma, comma);
        }
        let sheet = rows_of("s.csv", b"# invented\n\na,b\n\n3,4\n", "", &[]).unwrap();
        assert_eq!(sheet.rows.iter().map(|r| r.number).collect::<Vec<_>>(), [3, 5]);
    }

    #[test]
    fn published_serial_numbers_are_days_of_the_calendar() {
        // 1 January 1970, 29 February 2000, 12 June 2026 as any spreadsheet shows them.
        for (serial, day) in [(25_569.0, "1970-01-01"), (36_585.0, "2000-02-29"), (46_185.4, "2026-06-12")] {
            assert_eq!(day_of_serial(serial), day);
        }
        assert_eq!(day_of_serial(f64::NAN), "");
        assert_eq!(day_shown("\u{1}a date\u{1}2026-06-12"), Some("2026-06-12"));
        assert_eq!(day_shown("2026-06-12"), None);
    }

    #[test]
    fn property_wrong_files_are_refused_in_words() {
        let says = |bytes: &[u8]| rows_of("x", bytes, "", &[]).unwrap_err().message;
        assert!(says(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR").contains("neither text nor a workbook"));
        assert!(says(&[0xd0, 0xcf, 0x11, 0xe0, 0, 0]).contains("old kind"));
        assert!(says(b"PK\x03\x04 nothing more").contains("damaged"));
        assert!(says(b"size,passing\n\xb5m,1\n").contains("row 2"));
        assert!(says(&[0xff, 0xfe, 65, 0]).contains("UTF-16"));
    }
}
