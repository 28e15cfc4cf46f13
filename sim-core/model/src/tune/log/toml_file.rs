//! A log in TOML: a list `[[seen]]`, one table for each observation.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::columns::{COLUMNS, column};
use super::file::LogFile;
use super::raw::{MOST_ENTRIES, RawEntry, RawLog, TypedSetting};
use sim_core::field::{Cell, Row, Sheet};
use sim_core::problem::{Problems, did_you_mean};

/// Names of the list of rows within an observation.
const ROW_LISTS: [&str; 2] = ["readings", "rows"];

/// Reads the tables; problems have places in the text.
pub(super) fn raw_log(file: &LogFile, problems: &mut Problems) -> Option<RawLog> {
    let (document, syntax) = DeTable::parse_recoverable(&file.text);
    if !syntax.is_empty() {
        for error in syntax {
            problems.error(
                error.span(),
                error.message().to_lowercase(),
                "each line is key = value, texts and quantities in quotes",
            );
        }
        return None;
    }
    let before = problems.error_count();
    let mut seen: &[_] = &[];
    for (key, value) in document.get_ref().iter() {
        match (key.get_ref().as_ref(), value.get_ref()) {
            ("seen", DeValue::Array(list)) => seen = list,
            ("seen", _) => {
                problems.error(value.span(), "`seen` is a list of tables", "write [[seen]] with two brackets")
            }
            ("title", DeValue::String(_)) => {}
            (other, _) => problems.error(
                key.span(),
                format!("a log has no `{other}`"),
                match did_you_mean(other, ["seen", "title"]) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "begin each observation with [[seen]] and put what belongs to it below".into(),
                },
            ),
        }
    }
    if seen.len() > MOST_ENTRIES {
        problems.error(None, too_many(seen.len()), "put counts of equal days together, or tune on a part of the log");
        return None;
    }
    let mut rows = Vec::new();
    let mut entries = Vec::new();
    for item in seen {
        match item.get_ref() {
            DeValue::Table(table) => entry(table, item.span(), &mut rows, &mut entries, problems),
            _ => problems.error(item.span(), "each observation is a table", "write [[seen]]"),
        }
    }
    let whole = 0..file.text.lines().next().map_or(0, str::len);
    (problems.error_count() == before).then(|| RawLog { sheet: Sheet::of_list(COLUMNS, whole, rows), entries })
}

/// What is said of a log with too many observations.
pub(super) fn too_many(count: usize) -> String {
    format!("the log has {count} observations; at most {MOST_ENTRIES} are weighed")
}

fn entry(
    table: &DeTable<'_>,
    span: Range<usize>,
    rows: &mut Vec<Row>,
    entries: &mut Vec<RawEntry>,
    problems: &mut Problems,
) {
    let first = rows.len();
    let mut head = empty_row(1, span.clone());
    let mut settings = Vec::new();
    let mut more = Vec::new();
    for (key, value) in table.iter() {
        let typed: &str = key.get_ref();
        match value.get_ref() {
            DeValue::Table(list) if typed == "settings" => settings = typed_settings(list, problems),
            DeValue::Array(list) if ROW_LISTS.contains(&typed) => {
                for (i, item) in list.iter().enumerate() {
                    let mut row = empty_row(i + 2, item.span());
                    match item.get_ref() {
                        DeValue::Table(cells) => {
                            for (key, value) in cells.iter() {
                                put(&mut row, key.get_ref(), key.span(), value.get_ref(), value.span(), problems);
                            }
                        }
                        _ => problems.error(
                            item.span(),
                            format!("each of `{typed}` is a table"),
                            "write e.g. { through = \"US 60\", on = \"US 100\", colours = 3 }",
                        ),
                    }
                    more.push(row);
                }
            }
            other => put(&mut head, typed, key.span(), other, value.span(), problems),
        }
    }
    let text = |c: usize| head.cells.get(c).and_then(Option::as_ref).map_or(String::new(), |c| c.text.clone());
    let (date, what) = (text(column::DATE), text(column::WHAT));
    rows.push(head);
    rows.extend(more);
    entries.push(RawEntry { rows: first..rows.len(), date, what, settings });
}

fn empty_row(number: usize, place: Range<usize>) -> Row {
    Row { number, place: Some(place), cells: vec![None; COLUMNS.len()] }
}

fn typed_settings(list: &DeTable<'_>, problems: &mut Problems) -> Vec<TypedSetting> {
    let mut settings = Vec::new();
    for (key, value) in list.iter() {
        let text = match value.get_ref() {
            DeValue::String(s) => s.to_string(),
            DeValue::Integer(n) => n.as_str().to_string(),
            DeValue::Float(n) => n.as_str().to_string(),
            DeValue::Boolean(b) => b.to_string(),
            _ => {
                problems.error(
                    value.span(),
                    "a setting of the day is one value in quotes, its path in quotes before it",
                    "write settings = { \"drum.speed\" = \"20 rpm\" }",
                );
                continue;
            }
        };
        settings.push(TypedSetting {
            path: key.get_ref().to_string(),
            text,
            place: Some(key.span().start..value.span().end),
            before: String::new(),
        });
    }
    settings
}

/// Puts a value under its column.
fn put(
    row: &mut Row,
    typed: &str,
    key: Range<usize>,
    value: &DeValue<'_>,
    span: Range<usize>,
    problems: &mut Problems,
) {
    let plain = typed.replace('_', " ");
    let Some(i) = COLUMNS.iter().position(|c| c.key == typed || c.also.contains(&plain.as_str())) else {
        let help = match did_you_mean(typed, COLUMNS.iter().map(|c| c.key).chain(["settings", "readings"])) {
            Some(word) => format!("did you mean `{word}`?"),
            None if typed.contains('.') => format!("settings of the day: settings = {{ \"{typed}\" = \"..\" }}"),
            None => format!("known: {}", COLUMNS.iter().map(|c| c.key).collect::<Vec<_>>().join(", ")),
        };
        problems.error(key, format!("`{typed}` is not part of an observation"), help);
        return;
    };
    let (text, place) = match value {
        DeValue::String(s) => (s.to_string(), span.start + 1..span.end.saturating_sub(1).max(span.start + 1)),
        DeValue::Integer(n) => (n.as_str().to_string(), span),
        DeValue::Float(n) => (n.as_str().to_string(), span),
        DeValue::Datetime(d) => (d.to_string(), span),
        _ => {
            problems.error(span, format!("`{typed}` is one value"), "write a quantity with its unit in quotes");
            return;
        }
    };
    if let Some(cell) = row.cells.get_mut(i) {
        *cell = (!text.trim().is_empty()).then_some(Cell { text, place: Some(place) });
    }
}
