//! A table of the report: shown as words in the page, kept as numbers in the workbook and the CSV files.

use maud::Markup;
use sim_core::constants::S_PER_H;
use sim_core::quantity::{Dimension, UnitChoice, show_both};
use sim_core::stats::summary::Summary;

use crate::numbers::{amount, percent, three};
use crate::report::page::table;
use crate::tables::Table;
use crate::tables::{Cell, TableFile};

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Words.
    Words(String),
    /// A number: its value and unit in files, its text in the page.
    Number {
        /// In `unit`.
        value: f64,
        /// Unit in files; empty for none.
        unit: String,
        /// As printed.
        text: String,
    },
}

impl From<&str> for Piece {
    fn from(text: &str) -> Piece {
        Piece::Words(text.to_string())
    }
}

impl From<String> for Piece {
    fn from(text: String) -> Piece {
        Piece::Words(text)
    }
}

/// A number printed with about three figures and its unit.
pub fn number(value: f64, unit: &str) -> Piece {
    let text = if unit.is_empty() { three(value) } else { format!("{} {unit}", three(value)) };
    Piece::Number { value, unit: unit.into(), text }
}

/// A share, in files as a fraction.
pub fn share(value: f64) -> Piece {
    Piece::Number { value, unit: "fraction".into(), text: percent(value) }
}

/// An amount of money; the unit stands in the page where the table says so.
pub fn cash(value: f64, unit: &str) -> Piece {
    Piece::Number { value, unit: unit.into(), text: amount(value) }
}

/// A quantity in SI, printed in the user's units and SI.
pub fn quantity(si: f64, dimension: Dimension, units: UnitChoice) -> Piece {
    Piece::Number { value: si, unit: dimension.si_symbol().into(), text: show_both(si, dimension, units) }
}

/// A flow in m3/h.
pub fn flow(m3_h: f64, units: UnitChoice) -> Piece {
    Piece::Number { value: m3_h, unit: "m3/h".into(), text: show_both(m3_h / S_PER_H, Dimension::Flow, units) }
}

/// A grade in mg/m3.
pub fn grade(mg_m3: f64, units: UnitChoice) -> Piece {
    Piece::Number { value: mg_m3, unit: "mg/m3".into(), text: show_both(mg_m3 * 1e-6, Dimension::Grade, units) }
}

/// Heading in the page, and name of the column in files.
pub type Head = (&'static str, &'static str);

/// The four columns of a spread over the runs.
pub const SPREAD: [Head; 4] = [
    ("Mean", "mean"),
    ("1 run in 10 falls below", "pctl_10"),
    ("Middle", "pctl_50"),
    ("1 run in 10 is above", "pctl_90"),
];

/// The cells of a spread.
pub fn spread(s: &Summary, cell: impl Fn(f64) -> Piece) -> [Piece; 4] {
    [s.mean, s.pctl_10, s.pctl_50, s.pctl_90].map(cell)
}

/// A table.
#[derive(Debug, Clone)]
pub struct Grid {
    /// Name of the sheet and of the CSV file.
    pub name: &'static str,
    /// Headings.
    pub heads: Vec<Head>,
    /// Rows, as wide as the headings.
    pub rows: Vec<Vec<Piece>>,
}

impl Grid {
    /// A table of these columns.
    pub fn new(name: &'static str, heads: &[Head], rows: Vec<Vec<Piece>>) -> Grid {
        Grid { name, heads: heads.to_vec(), rows }
    }

    /// A table whose first column names the row and whose others are its spread.
    pub fn of_spreads(name: &'static str, rows: Vec<(String, [Piece; 4])>) -> Grid {
        let mut heads: Vec<Head> = vec![("", "what")];
        heads.extend(SPREAD);
        let rows = rows.into_iter().map(|(what, cells)| std::iter::once(what.into()).chain(cells).collect());
        Grid { name, heads, rows: rows.collect() }
    }

    /// For the page.
    pub fn html(&self) -> Markup {
        let text = |piece: &Piece| match piece {
            Piece::Words(text) | Piece::Number { text, .. } => text.clone(),
        };
        table(&Table {
            headers: self.heads.iter().map(|h| h.0.to_string()).collect(),
            rows: self.rows.iter().map(|r| r.iter().map(text).collect()).collect(),
        })
    }

    /// Unit of a column: one for all its numbers, none without numbers, `Err` when they differ.
    fn unit_of(&self, column: usize) -> Result<Option<&str>, ()> {
        let mut found: Option<&str> = None;
        for row in &self.rows {
            if let Some(Piece::Number { unit, .. }) = row.get(column) {
                match found {
                    None => found = Some(unit),
                    Some(u) if u == unit => {}
                    Some(_) => return Err(()),
                }
            }
        }
        Ok(found)
    }

    /// For files: numbers plain, with the unit in the heading or, where it changes from row to row, in a column of its own.
    pub fn file(&self) -> TableFile {
        let units: Vec<Result<Option<&str>, ()>> = (0..self.heads.len()).map(|c| self.unit_of(c)).collect();
        let own_column = units.iter().position(Result::is_err);
        let mut columns: Vec<String> = Vec::new();
        for (c, (head, unit)) in self.heads.iter().zip(&units).enumerate() {
            if own_column == Some(c) {
                columns.push("unit".into());
            }
            columns.push(match unit {
                Ok(Some(unit)) if !unit.is_empty() => format!("{} ({unit})", head.1),
                _ => head.1.to_string(),
            });
        }
        let rows = self.rows.iter().map(|row| {
            let mut cells = Vec::new();
            for (c, piece) in row.iter().enumerate() {
                if own_column == Some(c) {
                    cells.push(match piece {
                        Piece::Number { unit, .. } => Cell::Text(unit.clone()),
                        Piece::Words(_) => Cell::Empty,
                    });
                }
                cells.push(match piece {
                    Piece::Words(text) if text.is_empty() => Cell::Empty,
                    Piece::Words(text) => Cell::Text(text.clone()),
                    Piece::Number { value, .. } => Cell::from(*value),
                });
            }
            cells
        });
        TableFile { name: self.name.into(), columns, rows: rows.collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_the_unit_stands_in_the_heading_or_beside_each_row() {
        let s = Summary { mean: 0.5, pctl_10: 0.25, pctl_50: 0.5, pctl_90: 0.75 };
        let same = Grid::of_spreads("same", vec![("a".into(), spread(&s, share)), ("b".into(), spread(&s, share))]);
        assert_eq!(same.file().columns[1], "mean (fraction)");
        assert_eq!(same.file().rows[0][2], Cell::Number(0.25));
        let mixed = Grid::of_spreads(
            "mixed",
            vec![("a".into(), spread(&s, share)), ("b".into(), spread(&s, |v| number(v, "g/h")))],
        );
        let file = mixed.file();
        assert_eq!(file.columns, ["what", "unit", "mean", "pctl_10", "pctl_50", "pctl_90"]);
        assert_eq!(file.rows[1][1], Cell::Text("g/h".into()));
        assert!(file.rows.iter().all(|r| r.len() == file.columns.len()));
        assert!(mixed.html().into_string().contains("0.500 g/h"));
    }
}
