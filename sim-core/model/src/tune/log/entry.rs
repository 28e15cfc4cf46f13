//! One observation of the log as it stands there: its rows, read cell by cell, with the plant of its day.

use std::ops::Range;

use super::columns::{COLUMNS, column};
use crate::tune::observe::law::Law;
use crate::variant::Settable;
use sim_core::field::{Content, Row, Sheet, SheetReader, Told};
use sim_core::plant::Plant;
use sim_core::quantity::{Basis, Dimension, parse};
use sim_core::stage::{Declared, Reading};

/// An observation being read.
pub struct Entry<'a, 'c> {
    /// The log.
    pub sheet: &'a Sheet,
    /// Its rows; the first holds what is said once.
    pub rows: &'a [Row],
    /// The plant as it was set that day.
    pub plant: &'a Plant,
    /// What can be read off the kinds of the program.
    pub readings: &'a [Declared<Reading>],
    /// Settings of the scenario.
    pub settables: &'a [Settable],
    /// Takes down problems.
    pub sheet_reader: &'a mut SheetReader<'c>,
    /// What it is and when, for its name.
    pub title: String,
}

impl Entry<'_, '_> {
    /// Records an error at a cell of a row; at the observation as a whole without a row.
    pub fn error(&mut self, at: Option<(usize, usize)>, message: impl AsRef<str>, help: impl Into<String>) -> Told {
        let (row, column) = at.map_or((0, None), |(row, column)| (row, Some(column)));
        self.sheet_reader.error(self.sheet, self.rows.get(row), column, message, help);
        Told
    }

    /// Records that it can be read but may not be what was meant.
    pub fn warning(&mut self, message: impl AsRef<str>, help: impl Into<String>) {
        self.sheet_reader.warning(self.sheet, self.rows.first(), None, message, help);
    }

    /// What is said once: the first row that has the column. Two rows that differ are an error.
    fn said(&mut self, column: usize) -> Result<Option<usize>, Told> {
        let text = |r: &Row| r.cells.get(column).and_then(Option::as_ref).map(|c| c.text.clone());
        let Some(first) = self.rows.iter().position(|r| text(r).is_some()) else { return Ok(None) };
        let value = self.rows.get(first).and_then(text);
        if let Some(other) = self.rows.iter().position(|r| text(r).is_some() && text(r) != value) {
            return Err(self.error(
                Some((other, column)),
                format!("`{}` is said twice for one observation, and differently", COLUMNS[column].key),
                "keep one; a new observation begins with its own `what`",
            ));
        }
        Ok(Some(first))
    }

    /// A word that is said once.
    pub fn word(&mut self, column: usize) -> Result<Option<String>, Told> {
        let at = self.said(column)?;
        Ok(at.and_then(|r| self.rows.get(r)).and_then(|r| self.sheet.text(r, column)).map(|t| t.trim().to_string()))
    }

    /// A quantity above zero that is said once, SI, with what was said of loose and bank.
    pub fn quantity(&mut self, column: usize) -> Result<Option<(f64, Option<Basis>)>, Told> {
        let Some(at) = self.said(column)? else { return Ok(None) };
        self.cell(at, column, false).map(|r| r.map(|r| (r.si, r.basis)))
    }

    /// The same, loose or bank not asked for.
    pub fn number(&mut self, column: usize) -> Result<Option<f64>, Told> {
        Ok(self.quantity(column)?.map(|q| q.0))
    }

    /// The same, of something that must be there.
    pub fn needed(&mut self, column: usize, example: &str) -> Result<f64, Told> {
        match self.number(column)? {
            Some(value) => Ok(value),
            None => Err(self.error(
                None,
                format!("`{}` is missing: {}", COLUMNS[column].key, COLUMNS[column].meaning),
                format!("add e.g. {} = {example}", COLUMNS[column].key),
            )),
        }
    }

    /// The same of an amount that may be nothing.
    pub fn amount(&mut self, column: usize, example: &str) -> Result<f64, Told> {
        let none = |at: usize, e: &mut Self| e.cell(at, column, true).map(|r| r.map_or(0.0, |r| r.si));
        match self.said(column)? {
            Some(at) => none(at, self),
            None => self.needed(column, example),
        }
    }

    /// The number of a reading that is said once, in a column of its own or in one that holds any kind of quantity.
    pub fn value(&mut self, column: usize, dimension: Dimension, zero: bool) -> Result<f64, Told> {
        let missing =
            |e: &mut Self| e.error(None, format!("`{}` is missing", COLUMNS[column].key), COLUMNS[column].meaning);
        let Some(at) = self.said(column)? else { return Err(missing(self)) };
        if COLUMNS[column].content != Content::Text {
            return self.cell(at, column, zero)?.map(|r| r.si).ok_or_else(|| missing(self));
        }
        let text = self.rows.get(at).and_then(|r| self.sheet.text(r, column)).unwrap_or("").trim().to_string();
        match parse(&text, dimension) {
            Ok(read) if read.si > 0.0 || zero && read.si == 0.0 => Ok(read.si),
            Ok(_) => Err(self.error(
                Some((at, column)),
                "this must be more than nothing",
                "leave it out when it was not read",
            )),
            Err(e) => Err(self.error(Some((at, column)), format!("`{text}`: {}", e.message), e.help)),
        }
    }

    /// Cell of a row as a quantity; not below zero, and above it unless `zero` is fine.
    pub fn cell(&mut self, row: usize, column: usize, zero: bool) -> Result<Option<sim_core::field::Read>, Told> {
        let Some(r) = self.rows.get(row) else { return Ok(None) };
        let read = self.sheet_reader.quantity(self.sheet, r, column)?;
        if let Some(read) = read
            && !(read.si.is_finite() && (read.si > 0.0 || zero && read.si == 0.0))
        {
            let (said, help) = if read.si < 0.0 {
                ("this cannot be less than nothing", "")
            } else {
                ("this must be more than nothing", "leave the cell empty when it was not measured")
            };
            return Err(self.error(Some((row, column)), said, help));
        }
        Ok(read)
    }

    /// Rows that hold any of these columns.
    pub fn rows_with(&self, columns: &[usize]) -> Vec<usize> {
        let holds = |r: &Row| columns.iter().any(|c| r.cells.get(*c).is_some_and(Option::is_some));
        (0..self.rows.len()).filter(|r| self.rows.get(*r).is_some_and(holds)).collect()
    }

    /// Stage or water outlet that is named.
    pub fn at(&mut self) -> Result<Option<String>, Told> {
        self.word(column::AT)
    }

    /// What a place came to, or its error taken down.
    pub fn placed<T>(&mut self, found: Result<T, (String, String)>) -> Result<T, Told> {
        let row = self.rows.iter().position(|r| r.cells.get(column::AT).is_some_and(Option::is_some));
        found.map_err(|(message, help)| self.error(row.map(|r| (r, column::AT)), message, help))
    }

    /// A reading whose relative error is the one typed in the log, or the usual one; what gauge, rule and balance are off by
    /// stays.
    pub fn reading(&mut self, absolute: f64, relative: f64) -> Result<Law, Told> {
        let relative = self.share(column::ERROR)?.unwrap_or(relative);
        Ok(Law::Reading { absolute, relative })
    }

    /// A typed error, as a share; one of more than all is refused.
    pub fn share(&mut self, column: usize) -> Result<Option<f64>, Told> {
        let Some(share) = self.number(column)? else { return Ok(None) };
        if share > 1.0 {
            let row = self.rows_with(&[column]).first().copied().unwrap_or(0);
            return Err(self.error(
                Some((row, column)),
                "an error of more than 100 %",
                "it is the standard deviation over the value: 10 % means that 1 in 3 is further off than that",
            ));
        }
        Ok(Some(share))
    }

    /// What all numbers share, typed or usual.
    pub fn shared(&mut self, usual: f64) -> Result<f64, Told> {
        Ok(self.share(column::SHARED_ERROR)?.unwrap_or(usual))
    }

    /// Place in the log, for the case.
    pub fn place(&self) -> Option<Range<usize>> {
        self.rows.first().and_then(|r| r.place.clone())
    }
}
