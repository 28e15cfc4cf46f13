//! Tables for other programs: one CSV file each, and all of them as the sheets of one workbook.
//!
//! Numbers are plain (SI or the unit in the heading, decimal point, no thousands mark); a value that does not exist is an
//! empty cell. Same content, same bytes: no clock in the workbook.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words.
    Text(String),
    /// A number; one that is not finite is written as an empty cell.
    Number(f64),
    /// Nothing.
    Empty,
}

impl From<&str> for Cell {
    fn from(text: &str) -> Cell {
        Cell::Text(text.to_string())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Cell {
        Cell::Text(text)
    }
}

impl From<f64> for Cell {
    fn from(number: f64) -> Cell {
        if number.is_finite() { Cell::Number(number) } else { Cell::Empty }
    }
}

impl From<Option<f64>> for Cell {
    fn from(number: Option<f64>) -> Cell {
        number.map_or(Cell::Empty, Cell::from)
    }
}

/// A table for a file.
#[derive(Debug, Clone, PartialEq)]
pub struct TableFile {
    /// Name of the file without ending and of the sheet: letters, digits, dashes.
    pub name: String,
    /// Headings, each with its unit, e.g. `caught_g_per_h`.
    pub columns: Vec<String>,
    /// Rows, as wide as the headings.
    pub rows: Vec<Vec<Cell>>,
}

impl TableFile {
    /// A table without rows.
    pub fn new(name: &str, columns: &[&str]) -> TableFile {
        TableFile { name: name.into(), columns: columns.iter().map(ToString::to_string).collect(), rows: Vec::new() }
    }

    /// The numbers of a figure, as printed. What reads as a plain number becomes one; a unit that all numbers of a column
    /// share (`42 %`, `618 US gpm`) goes into its heading.
    pub fn of_figure(name: &str, table: &Table) -> TableFile {
        let units: Vec<Option<&str>> = (0..table.headers.len()).map(|c| common_unit(table, c)).collect();
        let cell = |(c, text): (usize, &String)| {
            let unit = units.get(c).copied().flatten();
            match split_number(text) {
                Some((x, u)) if u.is_empty() || unit == Some(u) => Cell::from(x),
                _ if text.is_empty() => Cell::Empty,
                _ => Cell::Text(text.clone()),
            }
        };
        let heading = |(header, unit): (&String, &Option<&str>)| match unit {
            Some(unit) if !header.ends_with(unit) => format!("{header} ({unit})"),
            _ => header.clone(),
        };
        TableFile {
            name: name.into(),
            columns: table.headers.iter().zip(&units).map(heading).collect(),
            rows: table.rows.iter().map(|r| r.iter().enumerate().map(cell).collect()).collect(),
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// As CSV (RFC 4180, comma, line feed).
    pub fn csv(&self) -> String {
        let mut text = line(self.columns.iter().map(|c| quoted(c)));
        for row in &self.rows {
            text.push_str(&line(row.iter().map(|cell| match cell {
                Cell::Text(t) => quoted(t),
                Cell::Number(x) => format!("{x}"),
                Cell::Empty => String::new(),
            })));
        }
        text
    }
}

/// A number and what stands behind it: `618 US gpm`, `42 %`, `1,230`.
fn split_number(text: &str) -> Option<(f64, &str)> {
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    // Two units at once, one in brackets, are words. A comma in an amount marks thousands.
    let plain = !unit.contains('(');
    plain.then(|| number.replace(',', "").parse().ok()).flatten().map(|x| (x, unit))
}

/// The unit that all numbers of a column share, if they have one.
fn common_unit(table: &Table, column: usize) -> Option<&str> {
    let mut units = table.rows.iter().filter_map(|r| split_number(r.get(column)?)).map(|(_, unit)| unit);
    let first = units.next().filter(|u| !u.is_empty())?;
    units.all(|u| u == first).then_some(first)
}

fn line(cells: impl Iterator<Item = String>) -> String {
    let mut text = cells.collect::<Vec<_>>().join(",");
    text.push('\n');
    text
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_string() }
}

/// The numbers of a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Heading of each column, with its unit.
    pub headers: Vec<String>,
    /// Rows, as wide as the headings.
    pub rows: Vec<Vec<String>>,
}

/// Something that cannot be put into a file.
#[derive(Debug, thiserror::Error)]
#[error("cannot prepare {what}: {cause}")]
pub struct ContentError {
    /// Which file.
    pub what: &'static str,
    /// Why.
    pub cause: String,
}

/// The files of some tables: a CSV file each and one workbook with a sheet each.
pub fn files(workbook: &str, tables: &[TableFile]) -> Result<Vec<(String, Vec<u8>)>, XlsxError> {
    let mut list: Vec<(String, Vec<u8>)> =
        tables.iter().map(|t| (format!("{}.csv", t.name), t.csv().into_bytes())).collect();
    if !tables.is_empty() {
        list.push((format!("{workbook}.xlsx"), xlsx(tables)?));
    }
    Ok(list)
}

/// Longest name of a sheet that the format allows.
const LONGEST_NAME: usize = 31;

/// All tables as one workbook.
pub fn xlsx(tables: &[TableFile]) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    // A fixed date, so that the same content gives the same bytes.
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?));
    let heading = Format::new().set_bold().set_text_wrap();
    for table in tables {
        let sheet = workbook.add_worksheet();
        sheet.set_name(table.name.chars().take(LONGEST_NAME).collect::<String>())?;
        sheet.set_freeze_panes(1, 0)?;
        for (c, name) in (0_u16..).zip(&table.columns) {
            sheet.write_string_with_format(0, c, name, &heading)?;
            let widest = table.rows.iter().filter_map(|r| r.get(usize::from(c))).map(width).fold(9, usize::max);
            sheet.set_column_width(c, widest.min(60) as f64 + 1.0)?;
        }
        for (r, row) in (1_u32..).zip(&table.rows) {
            for (c, cell) in (0_u16..).zip(row) {
                match cell {
                    Cell::Text(t) => sheet.write_string(r, c, t)?,
                    Cell::Number(x) => sheet.write_number(r, c, *x)?,
                    Cell::Empty => continue,
                };
            }
        }
    }
    workbook.save_to_buffer()
}

fn width(cell: &Cell) -> usize {
    match cell {
        Cell::Text(t) => t.chars().count(),
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> TableFile {
        let mut table = TableFile::new("holes", &["hole", "caught_g_per_h"]);
        table.row(["1/2 in, \"round\"".into(), 1.25.into()]);
        table.row(["a\nb".into(), f64::NAN.into()]);
        table
    }

    #[test]
    fn identity_csv_quotes_what_needs_it_and_leaves_gaps_empty() {
        assert_eq!(table().csv(), "hole,caught_g_per_h\n\"1/2 in, \"\"round\"\"\",1.25\n\"a\nb\",\n");
    }

    #[test]
    fn identity_a_shared_unit_goes_into_the_heading() {
        let text = |rows: &[&[&str]]| crate::tables::Table {
            headers: vec!["size".into(), "caught".into(), "flow".into()],
            rows: rows.iter().map(|r| r.iter().map(ToString::to_string).collect()).collect(),
        };
        let file = TableFile::of_figure(
            "f",
            &text(&[&["0.25-0.355 mm", "42 %", "6 ft (1.83 m)"], &["over 2 mm", "under 0.1 %", "7 ft (1.83 m)"]]),
        );
        assert_eq!(file.columns, ["size", "caught (%)", "flow"]);
        assert_eq!(file.rows[0], ["0.25-0.355 mm".into(), Cell::Number(42.0), "6 ft (1.83 m)".into()]);
        assert_eq!(file.rows[1][1], "under 0.1 %".into());
    }

    #[test]
    fn identity_same_content_same_bytes() {
        let files = files("tables", &[table()]).unwrap();
        assert_eq!(files.iter().map(|f| f.0.as_str()).collect::<Vec<_>>(), ["holes.csv", "tables.xlsx"]);
        assert_eq!(xlsx(&[table()]).unwrap(), xlsx(&[table()]).unwrap());
        assert!(files[1].1.starts_with(b"PK"));
    }
}
