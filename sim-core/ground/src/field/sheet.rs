//! A field sheet with its columns known: which column of the file is which, in which unit, and every cell with its place.
//!
//! The same rows may stand in a list of the scenario; then a cell has its place in the scenario text instead.

use std::collections::BTreeMap;
use std::ops::Range;

use super::source::{RawRow, RawSheet, UNUSABLE};
use washgraph_units::problem::{Problems, Quote, Severity, did_you_mean};
use washgraph_units::quantity::{self, Basis, Dimension};

/// Most problems told of one sheet; a wrong column would else give one a row.
const MOST_TOLD: usize = 20;
/// Rows searched for the headings.
const HEADING_ROWS: usize = 40;
/// Headings of columns that people keep for themselves.
const OWN_COLUMNS: [&str; 12] =
    ["remark", "remarks", "note", "notes", "comment", "comments", "date", "day", "by", "who", "place", "weather"];

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Content {
    /// A quantity with a unit in the cell, in the heading or in a row of units.
    Quantity(Dimension),
    /// A number without unit.
    Number,
    /// A word.
    Text,
}

/// A column that a sheet may have.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Name in lists of the scenario and in templates.
    pub key: &'static str,
    /// Other headings that mean the same, lower case.
    pub also: &'static [&'static str],
    /// What it holds.
    pub content: Content,
    /// A unit that it usually has; empty for what has none.
    pub unit: &'static str,
    /// Meaning in plain words.
    pub meaning: &'static str,
}

/// A cell: its text, and its place when it stands in the scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// What is written.
    pub text: String,
    /// Place in the scenario text.
    pub place: Option<Range<usize>>,
}

/// A row of a sheet or of a list.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Number in the file.
    pub number: usize,
    /// Place in the scenario text.
    pub place: Option<Range<usize>>,
    /// A cell for each declared column.
    pub cells: Vec<Option<Cell>>,
}

/// How plain numbers of a column are to be read.
#[derive(Debug, Clone, PartialEq)]
struct ColumnUnit {
    /// As written.
    text: String,
    /// SI per unit, where that is all there is to it.
    factor: Option<f64>,
    basis: Option<Basis>,
}

/// A sheet or a list, ready to be read cell by cell.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Name of the file (and sheet); empty for a list of the scenario.
    pub name: String,
    /// Place of the setting that names the file, or of the list.
    pub place: Option<Range<usize>>,
    columns: &'static [Column],
    /// Heading as it stands in the file, by declared column.
    headings: Vec<Option<String>>,
    /// The declared columns that it has, in the order of the file.
    order: Vec<usize>,
    units: Vec<Option<ColumnUnit>>,
    decimal_comma: bool,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// A value with what was said beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// SI.
    pub si: f64,
    /// Loose or bank.
    pub basis: Option<Basis>,
}

/// A cell could not be read, and it has been said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Told;

/// Takes down problems of a sheet, up to a bearable number.
pub struct SheetReader<'a> {
    problems: &'a mut Problems,
    told: usize,
    kept_back: usize,
    /// Columns whose missing unit was told.
    without_unit: Vec<usize>,
    /// Cells read before, by column and text: field sheets repeat themselves.
    seen: Vec<BTreeMap<String, Read>>,
}

impl<'a> SheetReader<'a> {
    /// A sheet_reader for one sheet.
    pub fn new(problems: &'a mut Problems) -> Self {
        SheetReader { problems, told: 0, kept_back: 0, without_unit: Vec::new(), seen: Vec::new() }
    }

    /// Errors so far, those kept back included.
    pub fn errors(&self) -> usize {
        self.told + self.kept_back
    }

    /// An error at a cell, at a row (`column` none) or of the sheet (`row` none too).
    pub fn error(
        &mut self,
        sheet: &Sheet,
        row: Option<&Row>,
        column: Option<usize>,
        message: impl AsRef<str>,
        help: impl Into<String>,
    ) {
        if self.told >= MOST_TOLD {
            self.kept_back += 1;
            return;
        }
        self.told += 1;
        let (place, said) = sheet.locate(row, column, message.as_ref());
        self.problems.of_sheet(Severity::Error, place, said, help, sheet.quote(row, column));
    }

    /// A warning, placed like an error.
    pub fn warning(
        &mut self,
        sheet: &Sheet,
        row: Option<&Row>,
        column: Option<usize>,
        message: impl AsRef<str>,
        help: impl Into<String>,
    ) {
        let (place, said) = sheet.locate(row, column, message.as_ref());
        self.problems.of_sheet(Severity::Warning, place, said, help, sheet.quote(row, column));
    }

    /// Says how many errors were kept back.
    pub fn finish(self, sheet: &Sheet) {
        if self.kept_back > 0 {
            let (place, said) = sheet.locate(None, None, &format!("{} more errors of this kind", self.kept_back));
            self.problems.error(place, said, "mend the first ones; often one column has the wrong unit or name");
        }
    }

    /// A cell as a quantity, SI. `Err` when it cannot be read (said), `Ok(None)` when it is empty.
    pub fn quantity(&mut self, sheet: &Sheet, row: &Row, column: usize) -> Result<Option<Read>, Told> {
        let Some(cell) = row.cells.get(column).and_then(Option::as_ref) else { return Ok(None) };
        if let Some(read) = sheet.plain(column, &cell.text) {
            return Ok(Some(read));
        }
        if self.seen.len() <= column {
            self.seen.resize(column + 1, BTreeMap::new());
        }
        if cell.place.is_none()
            && let Some(read) = self.seen[column].get(&cell.text)
        {
            return Ok(Some(*read));
        }
        if sheet.lacks_unit(column, &cell.text) {
            if !self.without_unit.contains(&column) {
                self.without_unit.push(column);
                let (message, help) = sheet.no_unit(column, &cell.text);
                self.error(sheet, Some(row), Some(column), message, help);
            }
            return Err(Told);
        }
        match sheet.parse(column, &cell.text) {
            Ok((read, note)) => {
                if let Some(note) = note {
                    self.warning(sheet, Some(row), Some(column), note, "");
                }
                self.seen[column].insert(cell.text.clone(), read);
                Ok(Some(read))
            }
            Err((message, help)) => {
                self.error(sheet, Some(row), Some(column), message, help);
                Err(Told)
            }
        }
    }

    /// A cell as a number that is not negative.
    pub fn not_negative(&mut self, sheet: &Sheet, row: &Row, column: usize) -> Result<Option<Read>, Told> {
        let read = self.quantity(sheet, row, column)?;
        if read.is_some_and(|r| r.si < 0.0) {
            self.error(sheet, Some(row), Some(column), "this cannot be less than nothing", "");
            return Err(Told);
        }
        Ok(read)
    }
}

/// Whether no heading is that of a column.
fn misses(columns: &'static [Column], headings: &RawRow, key: &str) -> bool {
    !headings.cells.iter().any(|h| column_of(columns, h).is_some_and(|c| columns.get(c).is_some_and(|c| c.key == key)))
}

impl Sheet {
    /// A list of the scenario.
    pub fn of_list(columns: &'static [Column], place: Range<usize>, rows: Vec<Row>) -> Self {
        Sheet {
            name: String::new(),
            place: Some(place),
            columns,
            headings: vec![None; columns.len()],
            order: Vec::new(),
            units: vec![None; columns.len()],
            decimal_comma: false,
            rows,
        }
    }

    /// A sheet of a file: finds the headings, the units, and puts every cell under its declared column.
    pub(super) fn of_file(
        raw: RawSheet,
        columns: &'static [Column],
        place: Option<Range<usize>>,
        problems: &mut Problems,
    ) -> Option<Sheet> {
        let name = raw.name.clone();
        let known = || columns.iter().map(|c| c.key).collect::<Vec<_>>().join(", ");
        let score = |r: &RawRow| r.cells.iter().filter(|c| column_of(columns, c).is_some()).count();
        let best = raw.rows.iter().take(HEADING_ROWS).map(&score).max().unwrap_or(0);
        let Some(at) = raw.rows.iter().take(HEADING_ROWS).position(|r| score(r) == best && best > 0) else {
            let first = raw.rows.first().map_or("nothing".to_string(), |r| r.cells.join(", "));
            problems.error(
                place,
                format!("{name} has no row of headings that is understood; its first row: {}", shortened(&first)),
                format!("name the columns in one row, from: {}", known()),
            );
            return None;
        };
        let mut sheet = Sheet {
            name,
            place,
            columns,
            headings: vec![None; columns.len()],
            order: Vec::new(),
            units: vec![None; columns.len()],
            decimal_comma: raw.decimal_comma,
            rows: Vec::new(),
        };
        let heading_row = &raw.rows[at];
        let mut index: Vec<Option<usize>> = vec![None; columns.len()];
        for (i, heading) in heading_row.cells.iter().enumerate() {
            if heading.is_empty() {
                continue;
            }
            match column_of(columns, heading) {
                Some(c) if index[c].is_some() => {
                    let (at, said) = sheet.locate(None, None, &format!("two columns are `{}`", columns[c].key));
                    problems.error(at, said, "keep one of them, or name the other `remarks`");
                    return None;
                }
                Some(c) => {
                    index[c] = Some(i);
                    sheet.order.push(c);
                    sheet.headings[c] = Some(heading.clone());
                    if let Content::Quantity(dimension) = columns[c].content {
                        sheet.units[c] = unit_of_heading(heading).and_then(|u| column_unit(&u, dimension));
                        if let (Some(u), None) = (unit_of_heading(heading), &sheet.units[c]) {
                            let (at, said) = sheet.locate(
                                None,
                                None,
                                &format!("heading `{heading}`: `{u}` is not a unit of {}", dimension.name()),
                            );
                            problems.error(at, said, format!("write e.g. a cell as `{}`", dimension.example()));
                            return None;
                        }
                    }
                }
                None => {
                    let plain = name_of_heading(heading);
                    if !OWN_COLUMNS.contains(&plain.as_str()) {
                        let near = did_you_mean(&plain, columns.iter().map(|c| c.key));
                        let help = near.map_or(format!("known: {}", known()), |w| {
                            format!("did you mean `{w}`? if not, call it `remarks`")
                        });
                        let (at, said) = sheet.locate(None, None, &format!("column `{heading}` is not read"));
                        if near.is_some_and(|w| misses(columns, heading_row, w)) {
                            // A name with a slip in it: the rows would only say, one by one, what they lack.
                            problems.error(at, said, help);
                            return None;
                        }
                        problems.warning(at, said, help);
                    }
                }
            }
        }
        let mut begin = at + 1;
        if let Some(row) = raw.rows.get(begin)
            && sheet.take_units(row, &index)
        {
            begin += 1;
        }
        sheet.rows = raw
            .rows
            .into_iter()
            .skip(begin)
            .map(|mut r| {
                let mut cell = |i: &Option<usize>| {
                    let text = std::mem::take(r.cells.get_mut((*i)?)?);
                    (!text.is_empty()).then_some(Cell { text, place: None })
                };
                Row { number: r.number, place: None, cells: index.iter().map(&mut cell).collect() }
            })
            .filter(|r| r.cells.iter().any(Option::is_some))
            .collect();
        Some(sheet)
    }

    /// Takes a row as the row of units when no cell begins with a digit and at least one is a unit of its column.
    fn take_units(&mut self, row: &RawRow, index: &[Option<usize>]) -> bool {
        let mut found: Vec<(usize, ColumnUnit)> = Vec::new();
        for (c, i) in index.iter().enumerate() {
            let Some(text) = i.and_then(|i| row.cells.get(i)).filter(|t| !t.is_empty() && *t != "-") else { continue };
            if text.starts_with(|ch: char| ch.is_ascii_digit() || ch == '.') {
                return false;
            }
            let Content::Quantity(dimension) = self.columns[c].content else { return false };
            match column_unit(text.trim_matches(['(', ')', '[', ']']), dimension) {
                Some(unit) => found.push((c, unit)),
                None => return false,
            }
        }
        let any = !found.is_empty();
        for (c, unit) in found {
            self.units[c] = Some(unit);
        }
        any
    }

    /// Whether the sheet has a column.
    pub fn has(&self, column: usize) -> bool {
        if self.name.is_empty() {
            self.rows.iter().any(|r| r.cells.get(column).is_some_and(Option::is_some))
        } else {
            self.headings.get(column).is_some_and(Option::is_some)
        }
    }

    /// Text of a cell.
    pub fn text<'r>(&self, row: &'r Row, column: usize) -> Option<&'r str> {
        row.cells.get(column).and_then(Option::as_ref).map(|c| c.text.as_str())
    }

    /// The cells of a row that are read, in the order of the file, with the cell that is meant in it.
    fn quote(&self, row: Option<&Row>, column: Option<usize>) -> Option<Quote> {
        let row = row.filter(|_| !self.name.is_empty())?;
        let (mut text, mut part) = (String::new(), 0..0);
        for (i, c) in self.order.iter().enumerate() {
            text += if i > 0 { ", " } else { "" };
            let start = text.len();
            text += row.cells.get(*c).and_then(Option::as_ref).map_or("", |cell| cell.text.as_str());
            if column == Some(*c) {
                part = start..text.len();
            }
        }
        Some(Quote { file: self.name.clone(), row: row.number, text, part })
    }

    fn locate(&self, row: Option<&Row>, column: Option<usize>, message: &str) -> (Option<Range<usize>>, String) {
        if self.name.is_empty() {
            let cell = row.zip(column).and_then(|(r, c)| r.cells.get(c)).and_then(Option::as_ref);
            let place = cell
                .and_then(|c| c.place.clone())
                .or_else(|| row.and_then(|r| r.place.clone()))
                .or_else(|| self.place.clone());
            return (place, message.to_string());
        }
        let mut said = self.name.clone();
        if let Some(row) = row {
            said += &format!(", row {}", row.number);
        }
        if let Some(column) = column {
            let heading = self.headings.get(column).and_then(Option::as_deref);
            said += &format!(", column `{}`", heading.unwrap_or(self.columns[column].key));
        }
        (self.place.clone(), format!("{said}: {message}"))
    }

    /// A plain number with the unit of its column: the usual cell, read without ado.
    fn plain(&self, column: usize, text: &str) -> Option<Read> {
        if text.len() > 24 || !text.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
            return None;
        }
        let value: f64 = text.parse().ok()?;
        match (self.columns.get(column)?.content, self.units.get(column)?) {
            (Content::Number, _) => Some(Read { si: value, basis: None }),
            (_, Some(ColumnUnit { factor: Some(factor), basis, .. })) => {
                Some(Read { si: value * factor, basis: *basis })
            }
            _ => None,
        }
    }

    /// Whether a cell is a number without a unit where one is needed and neither heading nor row of units says it.
    fn lacks_unit(&self, column: usize, text: &str) -> bool {
        let Some(declared) = self.columns.get(column) else { return false };
        let Content::Quantity(dimension) = declared.content else { return false };
        !self.name.is_empty()
            && !declared.unit.is_empty()
            && self.units[column].is_none()
            && is_bare(&text.replace(',', "."))
            && quantity::parse(text, dimension).is_err()
    }

    fn no_unit(&self, column: usize, text: &str) -> (String, String) {
        let heading = self.headings[column].as_deref().unwrap_or(self.columns[column].key);
        (
            format!("`{text}` has no unit"),
            format!(
                "put the unit into the heading, e.g. `{heading} ({})`, or into the cell",
                self.columns[column].unit
            ),
        )
    }

    fn parse(&self, column: usize, text: &str) -> Result<(Read, Option<String>), (String, String)> {
        if let Some(reason) = text.strip_prefix(UNUSABLE) {
            let reason = reason.split(UNUSABLE).next().unwrap_or_default();
            return Err((reason.to_string(), "type the value again as text or as a plain number".into()));
        }
        let dimension = match self.columns[column].content {
            Content::Quantity(dimension) => dimension,
            _ => Dimension::Number,
        };
        let comma;
        let mut typed = text;
        if self.decimal_comma && text.matches(',').count() == 1 {
            comma = text.replace(',', ".");
            typed = &comma;
        }
        let unit = self.units[column].as_ref();
        let whole = match unit {
            Some(unit) if is_bare(typed) => format!("{typed} {}", unit.text),
            _ => typed.to_string(),
        };
        match quantity::parse(&whole, dimension) {
            Ok(p) => Ok((Read { si: p.si, basis: p.basis.or(unit.and_then(|u| u.basis)) }, p.note)),
            Err(error) => Err((error.message, error.help)),
        }
    }
}

/// A number, or a fraction such as 1/2, without anything else.
fn is_bare(text: &str) -> bool {
    text.parse::<f64>().is_ok()
        || text.contains('/') && text.bytes().all(|b| b.is_ascii_digit() || b == b'/' || b == b' ' || b == b'-')
}

fn shortened(text: &str) -> String {
    if text.chars().count() > 60 { format!("{}...", text.chars().take(60).collect::<String>()) } else { text.into() }
}

/// The unit of a heading: in brackets, after a last comma, or a lone per cent sign.
fn unit_of_heading(heading: &str) -> Option<String> {
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let (Some(a), Some(b)) = (heading.find(open), heading.rfind(close))
            && a < b
        {
            return Some(heading[a + 1..b].trim().to_string());
        }
    }
    if heading.contains('%') {
        return Some("%".into());
    }
    heading.rsplit_once(',').map(|(_, unit)| unit.trim().to_string())
}

/// The name of a heading: lower case, without unit, one space between words.
fn name_of_heading(heading: &str) -> String {
    let cut = heading.find(['(', '[', ',']).unwrap_or(heading.len());
    let plain = heading[..cut].replace(['_', '-', '%', '.', ':'], " ").to_lowercase();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn column_of(columns: &[Column], heading: &str) -> Option<usize> {
    let name = name_of_heading(heading);
    if name.is_empty() {
        return None;
    }
    columns.iter().position(|c| c.key.replace('_', " ") == name || c.also.contains(&name.as_str()))
}

fn column_unit(text: &str, dimension: Dimension) -> Option<ColumnUnit> {
    if dimension == Dimension::SieveSize {
        let lower = text.to_lowercase();
        if lower.contains("mesh") || lower.contains("no.") || lower == "us" || lower == "tyler" || lower == "#" {
            let series = if lower.contains("tyler") {
                "mesh Tyler"
            } else if lower.contains("us") || lower.contains("astm") || lower.contains("no.") {
                "mesh US"
            } else {
                "mesh"
            };
            return Some(ColumnUnit { text: series.into(), factor: None, basis: None });
        }
    }
    let one = quantity::parse(&format!("1 {text}"), dimension).ok()?;
    Some(ColumnUnit { text: text.to_string(), factor: Some(one.si), basis: one.basis })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_headings_are_read_as_people_write_them() {
        for (heading, name, unit) in [
            ("mass retained (g)", "mass retained", Some("g")),
            ("Weight [mg]", "weight", Some("mg")),
            ("% passing", "passing", Some("%")),
            ("Passing, %", "passing", Some("%")),
            ("sieve_size", "sieve size", None),
            ("volume, L loose", "volume", Some("L loose")),
        ] {
            assert_eq!(name_of_heading(heading), name);
            assert_eq!(unit_of_heading(heading).as_deref(), unit);
        }
        assert_eq!(column_unit("L loose", Dimension::Volume).unwrap().basis, Some(Basis::Loose));
        assert!(column_unit("parrots", Dimension::Volume).is_none());
    }
}
