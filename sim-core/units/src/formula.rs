//! Handbook entries: every formula of the tool as a calculator, with units, ranges and source.
//!
//! An entry sits in a `FORMULAS` list beside the function that it calls, so that the two are read together:
//!
//! ```
//! use washgraph_units::check::Status;
//! use washgraph_units::formula::{Formula, Symbol};
//! use washgraph_units::quantity::Dimension;
//!
//! const PRESSURE: Formula = Formula::new("wall-load", "Force of water on a wall.", "F = p A", |x| vec![x[0] * x[1]])
//!     .inputs(&[
//!         Symbol::new("pressure", "pressure of the water", Dimension::Pressure, "kPa").valid((0.0, 1e6)),
//!         Symbol::new("area", "wetted area", Dimension::Area, "m2").valid((0.0, 100.0)).usual(1.0),
//!     ])
//!     .outputs(&[Symbol::new("force", "force on the wall", Dimension::Force, "kN")])
//!     .source("definition of pressure", Status::Computed);
//! assert!(PRESSURE.answer(&[-5.0, 1.0]).is_err());
//! ```
//! Later versions may say more of an entry. Whoever builds entries this way need not know.

mod answer;
pub mod entry;
pub mod symbol;
mod typed;
mod words;

pub use answer::{Answer, Outside, Trouble};
pub use typed::Typed;

use crate::check::Status;
use crate::quantity::Dimension;

/// How far beyond an end of the valid range an input may lie before it is refused, as a factor: two powers of ten are more than
/// any law here was ever stretched, and less than a slip of units or of the decimal point by three places.
const STRETCH: f64 = 100.0;

/// One input or output of a formula. Values are SI inside; `unit` is the unit in which the command line shows it.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct Symbol {
    /// Name typed on the command line, snake_case, without unit, e.g. `hole_diameter`.
    pub name: &'static str,
    /// Meaning in plain words.
    pub meaning: &'static str,
    /// What kind of quantity it is; decides which units are accepted.
    pub dimension: Dimension,
    /// Unit shown by default, spelled as the quantity parser reads it, e.g. `mm`; `-` for a bare number.
    pub unit: &'static str,
    /// Valid range in SI, ends included. Leaving it gives a warning, never a silent clamp. Infinite where there is no end.
    pub range: (f64, f64),
    /// Possible range in SI, ends included; holds the valid one. What lies beyond is refused.
    pub possible: (f64, f64),
    /// Value taken when the user gives none (SI), or `None` when the input must be given.
    pub default: Option<f64>,
}

impl Symbol {
    /// A symbol without a valid range and without a usual value; possible is what is possible for its kind of quantity.
    pub const fn new(name: &'static str, meaning: &'static str, dimension: Dimension, unit: &'static str) -> Self {
        let range = (f64::NEG_INFINITY, f64::INFINITY);
        Symbol { name, meaning, dimension, unit, range, possible: dimension.possible(), default: None }
    }
    /// The valid range, SI. Unless [`Self::possible`] says otherwise afterwards, possible is what lies within a hundredfold of
    /// its ends and has their sign, as far as the kind of quantity goes; a share of a whole stays between 0 and 1.
    pub const fn valid(mut self, range: (f64, f64)) -> Self {
        self.range = range;
        let (lowest, highest) = self.dimension.possible();
        let low = match range.0 {
            low if low.is_infinite() => lowest,
            low if low > 0.0 => low / STRETCH,
            low => low * STRETCH,
        };
        let high = match range.1 {
            high if high.is_infinite() => highest,
            high if high < 0.0 => high / STRETCH,
            high => high * STRETCH,
        };
        let low = if matches!(self.dimension, Dimension::Fraction) { lowest } else { low.max(lowest) };
        let high = if matches!(self.dimension, Dimension::Fraction) { highest } else { high.min(highest) };
        self.possible = (low.min(end(range.0, low)), high.max(end(range.1, high)));
        self
    }
    /// The possible range, SI, where the rule of [`Self::valid`] does not say it. It has to hold the valid range.
    pub const fn possible(mut self, possible: (f64, f64)) -> Self {
        self.possible = possible;
        self
    }
    /// The value taken when none is given, SI.
    pub const fn usual(mut self, value: f64) -> Self {
        self.default = Some(value);
        self
    }
    /// The value taken when none is given, SI, if there is one.
    pub const fn usual_or_none(mut self, value: Option<f64>) -> Self {
        self.default = value;
        self
    }
    /// The same symbol under another name.
    pub const fn named(mut self, name: &'static str) -> Self {
        self.name = name;
        self
    }
    /// The same symbol with another meaning.
    pub const fn meaning(mut self, meaning: &'static str) -> Self {
        self.meaning = meaning;
        self
    }
}

/// An end of a range, or the other value where there is no end.
const fn end(of_range: f64, other: f64) -> f64 {
    if of_range.is_finite() { of_range } else { other }
}

/// What the inputs of a formula say together, when none is wrong alone.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Together {
    /// Nothing.
    Fits,
    /// The law is used beyond what it was made for; the words say how far.
    Strained(String),
    /// They cannot stand together, or the law says nothing there; the words say why.
    Impossible(String),
}

/// Looks at inputs and outputs together, SI.
pub type Judge = fn(&[f64], &[f64]) -> Together;

/// One handbook entry.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
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
    /// Outputs that may be infinite or without a value, by name, and what that means. All others are finite or the answer is
    /// refused.
    pub open: &'static [(&'static str, &'static str)],
    /// What the inputs say together.
    pub together: Judge,
    /// SI inputs in, SI outputs out. Must not panic for any finite input; NaN marks "no answer".
    pub evaluate: fn(&[f64]) -> Vec<f64>,
}

impl Formula {
    /// A formula with a name, its meaning in one sentence, its equation and the code; without inputs, outputs and source.
    pub const fn new(
        name: &'static str,
        meaning: &'static str,
        equation: &'static str,
        evaluate: fn(&[f64]) -> Vec<f64>,
    ) -> Self {
        Formula {
            name,
            meaning,
            equation,
            inputs: &[],
            outputs: &[],
            source: "",
            status: Status::Assumed,
            limits: "",
            open: &[],
            together: |_, _| Together::Fits,
            evaluate,
        }
    }
    /// Its inputs, in the order in which the code takes them.
    pub const fn inputs(mut self, inputs: &'static [Symbol]) -> Self {
        self.inputs = inputs;
        self
    }
    /// Its outputs, in the order in which the code returns them.
    pub const fn outputs(mut self, outputs: &'static [Symbol]) -> Self {
        self.outputs = outputs;
        self
    }
    /// Where it comes from, and how it came to us.
    pub const fn source(mut self, source: &'static str, status: Status) -> Self {
        self.source = source;
        self.status = status;
        self
    }
    /// What is simplified and what happens outside the range.
    pub const fn limits(mut self, limits: &'static str) -> Self {
        self.limits = limits;
        self
    }
    /// Outputs that may be infinite or without a value, each with what that means.
    pub const fn open(mut self, open: &'static [(&'static str, &'static str)]) -> Self {
        self.open = open;
        self
    }
    /// What looks at inputs and outputs together.
    pub const fn together(mut self, judge: Judge) -> Self {
        self.together = judge;
        self
    }

    /// Whether it is the same entry as another, by all that it says. The code behind it has no name to compare.
    pub fn is_same(&self, other: &Formula) -> bool {
        let words = |f: &Formula| (f.name, f.meaning, f.equation, f.source, f.status, f.limits);
        let symbols = |f: &Formula| -> Vec<_> {
            f.inputs.iter().chain(f.outputs).map(|s| (s.name, s.meaning, s.dimension, s.unit)).collect()
        };
        words(self) == words(other) && self.inputs.len() == other.inputs.len() && symbols(self) == symbols(other)
    }
}
