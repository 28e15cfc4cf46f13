//! A formula asked: impossible inputs and answers are refused, doubtful ones are answered with a remark.

use super::{Formula, Symbol, Together};
use crate::quantity::Dimension;

/// What a formula says to possible inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Outputs, SI, in the order of the formula. Not finite only where [`Formula::open`] says what that means.
    pub outputs: Vec<f64>,
    /// Inputs outside their valid range, possible all the same.
    pub outside: Vec<Outside>,
    /// What the inputs say together, when the law is used beyond what it was made for.
    pub strained: Option<String>,
}

/// An input outside a range.
#[derive(Debug, Clone, Copy)]
pub struct Outside {
    /// The input.
    pub symbol: &'static Symbol,
    /// Its value, SI.
    pub value: f64,
}

impl PartialEq for Outside {
    fn eq(&self, other: &Self) -> bool {
        self.symbol.name == other.symbol.name && self.value.to_bits() == other.value.to_bits()
    }
}

/// Why a formula does not answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// It was asked with another number of inputs than it has.
    Count {
        /// How many it has.
        wanted: usize,
        /// How many it was given.
        given: usize,
    },
    /// Inputs beyond their possible range, all of them.
    Beyond(Vec<Outside>),
    /// Inputs that cannot stand together, in words.
    Together(String),
    /// It has no answer for these inputs: the first output has no value.
    None,
    /// An output is infinite or has no value, and the formula does not say what that means.
    NotFinite(&'static str),
    /// An output that cannot be, such as a negative weight: name and value, SI.
    Impossible(&'static str, f64),
}

impl Formula {
    /// Asks the formula: values in SI, in the order of [`Formula::inputs`]. The bare [`Formula::evaluate`] asks without looking.
    ///
    /// # Errors
    /// Inputs that are impossible, alone or together; answers that are not finite or that cannot be.
    pub fn answer(&self, values: &[f64]) -> Result<Answer, Trouble> {
        if values.len() != self.inputs.len() {
            return Err(Trouble::Count { wanted: self.inputs.len(), given: values.len() });
        }
        let pairs = || self.inputs.iter().zip(values.iter().copied());
        let within = |value: f64, (low, high): (f64, f64)| value >= low && value <= high;
        let beyond: Vec<Outside> = pairs()
            .filter(|(s, value)| !value.is_finite() || !within(*value, s.possible))
            .map(|(symbol, value)| Outside { symbol, value })
            .collect();
        if !beyond.is_empty() {
            return Err(Trouble::Beyond(beyond));
        }
        let outputs = (self.evaluate)(values);
        let strained = match (self.together)(values, &outputs) {
            Together::Fits => None,
            Together::Strained(words) => Some(words),
            Together::Impossible(words) => return Err(Trouble::Together(words)),
        };
        let is_open = |s: &Symbol| self.open.iter().any(|(name, _)| *name == s.name);
        for (place, symbol) in self.outputs.iter().enumerate() {
            let value = outputs.get(place).copied().unwrap_or(f64::NAN);
            if is_open(symbol) && !value.is_finite() {
                continue;
            }
            if value.is_nan() && place == 0 {
                return Err(Trouble::None);
            }
            if !value.is_finite() {
                return Err(Trouble::NotFinite(symbol.name));
            }
            if !within(value, as_output(symbol)) {
                return Err(Trouble::Impossible(symbol.name, value));
            }
        }
        let outside = pairs()
            .filter(|(s, value)| !within(*value, s.range))
            .map(|(symbol, value)| Outside { symbol, value })
            .collect();
        Ok(Answer { outputs, outside, strained })
    }
}

/// What an output can be. A ratio or a share of something may lie anywhere unless the formula says otherwise.
fn as_output(symbol: &Symbol) -> (f64, f64) {
    let kind = symbol.dimension.possible();
    match symbol.dimension {
        Dimension::Number | Dimension::Fraction if symbol.possible == kind => (f64::NEG_INFINITY, f64::INFINITY),
        _ => symbol.possible,
    }
}
