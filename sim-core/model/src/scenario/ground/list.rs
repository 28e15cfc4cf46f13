//! Samples written as a list in the scenario, made into the same sheet as a file.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use sim_core::field::{Cell, Column, Row, Sheet};
use sim_core::problem::{Problems, did_you_mean};

/// A list of `[..]` (in the order of `positional`) or `{ key = .. }` rows.
pub(super) fn sheet_of_list(
    value: &DeValue<'_>,
    span: Range<usize>,
    key: &str,
    columns: &'static [Column],
    positional: &[usize],
    problems: &mut Problems,
) -> Option<Sheet> {
    let DeValue::Array(items) = value else {
        problems.error(span, format!("`{key}` is a list"), "write it in square brackets");
        return None;
    };
    let before = problems.error_count();
    let names = columns.iter().map(|c| c.key).collect::<Vec<_>>().join(", ");
    let mut rows = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let mut row = Row { number: i + 1, place: Some(item.span()), cells: vec![None; columns.len()] };
        match item.get_ref() {
            DeValue::Array(list) => {
                if list.len() > positional.len() {
                    problems.error(
                        item.span(),
                        format!("this row has {} entries, {} are known", list.len(), positional.len()),
                        format!("columns: {}", named(columns, positional)),
                    );
                }
                for (column, cell) in positional.iter().zip(list.iter()) {
                    row.cells[*column] = cell_of(cell.get_ref(), cell.span());
                }
            }
            DeValue::Table(table) => fill(&mut row, table, key, columns, &names, problems),
            _ => problems.error(
                item.span(),
                format!("each row of `{key}` is a list or a table"),
                format!("columns: {names}"),
            ),
        }
        rows.push(row);
    }
    (problems.error_count() == before).then(|| Sheet::of_list(columns, span, rows))
}

fn named(columns: &[Column], which: &[usize]) -> String {
    which.iter().filter_map(|c| columns.get(*c)).map(|c| c.key).collect::<Vec<_>>().join(", ")
}

fn fill(row: &mut Row, table: &DeTable<'_>, key: &str, columns: &[Column], names: &str, problems: &mut Problems) {
    for (k, cell) in table.iter() {
        let typed: &str = k.get_ref();
        match columns.iter().position(|c| c.key == typed || c.also.contains(&typed.replace('_', " ").as_str())) {
            Some(i) => row.cells[i] = cell_of(cell.get_ref(), cell.span()),
            None => {
                let help = match did_you_mean(typed, columns.iter().map(|c| c.key)) {
                    Some(word) => format!("did you mean `{word}`? columns: {names}"),
                    None => format!("columns: {names}"),
                };
                problems.error(k.span(), format!("`{typed}` is not a column of {key}"), help);
            }
        }
    }
}

fn cell_of(value: &DeValue<'_>, span: Range<usize>) -> Option<Cell> {
    match value {
        DeValue::String(s) => {
            let inside = span.start + 1..span.end.saturating_sub(1).max(span.start + 1);
            Some(Cell { text: s.to_string(), place: Some(inside) })
        }
        DeValue::Integer(n) => Some(Cell { text: n.as_str().to_string(), place: Some(span) }),
        DeValue::Float(n) => Some(Cell { text: n.as_str().to_string(), place: Some(span) }),
        _ => None,
    }
}
