//! Handbook entries: every formula of the tool as a calculator, with units, valid range and source.
//!
//! An entry sits in a `FORMULAS` list beside the function that it calls, so that the two are read together.

pub mod entry;
pub mod symbol;

use crate::check::Status;
use crate::quantity::Dimension;

/// One input or output of a formula. Values are SI inside; `unit` is the unit in which the command line shows it.
#[derive(Debug, Clone, Copy)]
pub struct Symbol {
    /// Name typed on the command line, snake_case, without unit, e.g. `hole_diameter`.
    pub name: &'static str,
    /// Meaning in plain words.
    pub meaning: &'static str,
    /// What kind of quantity it is; decides which units are accepted.
    pub dimension: Dimension,
    /// Unit shown by default, spelled as the quantity parser reads it, e.g. `mm`; `-` for a bare number.
    pub unit: &'static str,
    /// Valid range in SI. Leaving it gives a warning, never a silent clamp. Use infinities where there is none.
    pub range: (f64, f64),
    /// Value taken when the user gives none (SI), or `None` when the input must be given.
    pub default: Option<f64>,
}

/// One handbook entry.
#[derive(Debug, Clone, Copy)]
pub struct Formula {
    /// Unique name, kebab-case.
    pub name: &'static str,
    /// Meaning in one sentence.
    pub meaning: &'static str,
    /// The equation in plain ASCII or Unicode text.
    pub equation: &'static str,
    /// Inputs in the order in which `evaluate` takes them.
    pub inputs: &'static [Symbol],
    /// Outputs in the order in which `evaluate` returns them.
    pub outputs: &'static [Symbol],
    /// Author, year, equation or page; or "common practice, no source"; or "assumed here".
    pub source: &'static str,
    /// How the equation came to us.
    pub status: Status,
    /// What is simplified and what happens outside the range; empty when nothing needs saying.
    pub limits: &'static str,
    /// SI inputs in, SI outputs out. Must not panic for any finite input; NaN marks "no answer".
    pub evaluate: fn(&[f64]) -> Vec<f64>,
}

impl Formula {
    /// Whether it is the same entry as another, by all that it says. The code behind it has no name to compare.
    pub fn is_same(&self, other: &Formula) -> bool {
        let words = |f: &Formula| (f.name, f.meaning, f.equation, f.source, f.status, f.limits);
        let symbols = |f: &Formula| -> Vec<_> {
            f.inputs.iter().chain(f.outputs).map(|s| (s.name, s.meaning, s.dimension, s.unit)).collect()
        };
        words(self) == words(other) && self.inputs.len() == other.inputs.len() && symbols(self) == symbols(other)
    }
}
