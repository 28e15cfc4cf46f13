//! Files that a setting names, and lists of tables in them.
//!
//! A kind never opens a file: the scenario reads it, keeps its fingerprint, and hands the text to the kind with the settings.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::{Reader, Setting, Settings, SpreadMeaning};
use washgraph_stats::draw::InputList;
use washgraph_units::problem::{Problems, Severity, did_you_mean};

/// Line of a byte of a text, counted from 1.
fn line_of(text: &str, at: usize) -> usize {
    1 + text.bytes().take(at).filter(|b| *b == b'\n').count()
}

/// Reads the tables `[[list]]` of a file against declared settings, which have no uncertain values.
///
/// `name` is the file as the scenario names it, `place` where it does so. Every problem says file and line and stands at that
/// place. `None` when anything is wrong, or the file has no such table.
pub fn tables_of_file(
    (name, text): (&str, &str),
    list: &str,
    declared: &[Setting],
    place: Option<Range<usize>>,
    problems: &mut Problems,
) -> Option<Vec<Settings>> {
    let mut found = Problems::default();
    let rows = read(text, list, declared, &mut found);
    let sound = !found.has_errors();
    for p in found.in_order() {
        let at = p.span.map_or(String::new(), |span| format!(", line {}", line_of(text, span.start)));
        let message = format!("{name}{at}: {}", p.message);
        match p.severity {
            Severity::Error => problems.error(place.clone(), message, p.help),
            Severity::Warning => problems.warning(place.clone(), message, p.help),
            Severity::Note => problems.note(place.clone(), message, p.help),
        }
    }
    sound.then_some(rows)
}

fn read(text: &str, list: &str, declared: &[Setting], problems: &mut Problems) -> Vec<Settings> {
    let (document, syntax) = DeTable::parse_recoverable(text);
    for error in &syntax {
        problems.error(error.span(), error.message().to_lowercase(), "each line is key = value, texts in quotes");
    }
    if !syntax.is_empty() {
        return Vec::new();
    }
    for key in document.get_ref().keys() {
        let typed: &str = key.get_ref();
        if typed != list {
            let help = match did_you_mean(typed, [list]) {
                Some(_) => format!("did you mean [[{list}]]?"),
                None => format!("this file holds tables [[{list}]] alone"),
            };
            problems.error(key.span(), format!("`{typed}` is not known here"), help);
        }
    }
    let mut inputs = InputList::default();
    let mut reader = Reader { inputs: &mut inputs, problems, meaning: SpreadMeaning::Limits };
    let mut rows = Vec::new();
    match document.get_ref().iter().find(|(k, _)| k.get_ref() == list).map(|(_, value)| (value.get_ref(), value.span()))
    {
        Some((DeValue::Array(items), _)) => {
            for item in items.iter() {
                match item.get_ref() {
                    DeValue::Table(table) => rows.push(reader.read(table, item.span(), declared, list)),
                    _ => reader.problems.error(
                        item.span(),
                        format!("each {list} is a table"),
                        format!("write [[{list}]]"),
                    ),
                }
            }
        }
        Some((_, span)) => {
            reader.problems.error(
                span,
                format!("`{list}` is a list of tables"),
                format!("write [[{list}]] with two brackets"),
            );
        }
        None => reader.problems.error(None, format!("there is no table [[{list}]] in it"), "add one for each"),
    }
    rows
}
