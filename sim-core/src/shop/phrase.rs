//! Words with quantities in them.

use crate::quantity::{Dimension, UnitChoice, show_both};

/// A piece of a phrase.
#[derive(Debug, Clone, PartialEq)]
pub enum Word {
    /// Plain words.
    Text(String),
    /// A quantity, SI.
    Size(f64, Dimension),
}

/// A sentence or part of one: words and quantities in turn.
///
/// ```
/// use sim_core::quantity::{Dimension, UnitChoice};
/// use sim_core::shop::Phrase;
/// let size = Phrase::new("plate ").size(0.00635, Dimension::Length).text(" thick");
/// assert_eq!(size.show(UnitChoice::Us), "plate 1/4 in (6.35 mm) thick");
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Phrase {
    words: Vec<Word>,
}

impl Phrase {
    /// Starts with words.
    pub fn new(text: impl Into<String>) -> Self {
        Phrase { words: vec![Word::Text(text.into())] }
    }
    /// Nothing said.
    pub fn none() -> Self {
        Phrase::default()
    }
    /// Starts with a quantity.
    pub fn of(si: f64, dimension: Dimension) -> Self {
        Phrase { words: vec![Word::Size(si, dimension)] }
    }
    /// Adds words.
    pub fn text(mut self, text: impl Into<String>) -> Self {
        self.words.push(Word::Text(text.into()));
        self
    }
    /// Adds a quantity.
    pub fn size(mut self, si: f64, dimension: Dimension) -> Self {
        self.words.push(Word::Size(si, dimension));
        self
    }
    /// Adds a length, m.
    pub fn length(self, m: f64) -> Self {
        self.size(m, Dimension::Length)
    }
    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        self.words.is_empty()
    }
    /// In the user's units with the metric value in brackets.
    pub fn show(&self, units: UnitChoice) -> String {
        self.shown(|si, dimension| show_both(si, dimension, units))
    }
    /// With each quantity put into words by the caller.
    pub fn shown(&self, quantity: impl Fn(f64, Dimension) -> String) -> String {
        self.words
            .iter()
            .map(|w| match w {
                Word::Text(text) => text.clone(),
                Word::Size(si, dimension) => quantity(*si, *dimension),
            })
            .collect()
    }
}

impl From<&str> for Phrase {
    fn from(text: &str) -> Self {
        if text.is_empty() { Phrase::none() } else { Phrase::new(text) }
    }
}

impl From<String> for Phrase {
    fn from(text: String) -> Self {
        if text.is_empty() { Phrase::none() } else { Phrase::new(text) }
    }
}
