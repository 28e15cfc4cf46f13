//! Words with quantities in them: said at the edge, in the units of whoever reads.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::dimension::Dimension;
use super::print::{show, show_both, with_commas};
use super::table::UnitChoice;

/// A piece of a phrase.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Word {
    /// Plain words.
    Text {
        /// The words, with the blanks around them.
        text: String,
    },
    /// A quantity.
    Size {
        /// Value, SI; always a finite number.
        si: f64,
        /// What it is.
        dimension: Dimension,
    },
}

/// A sentence or part of one: words and quantities in turn. In files a list of its pieces.
///
/// ```
/// use washgraph_units::quantity::{Dimension, Phrase, UnitChoice};
/// let size = Phrase::new("plate ").size(0.00635, Dimension::Length).text(" thick");
/// assert_eq!(size.show(UnitChoice::Us), "plate 1/4 in (6.35 mm) thick");
/// let lasts = Phrase::new("the water lasts ").time(20.0 * 86_400.0).text(" in ").share(0.4).text(" of runs");
/// assert_eq!(lasts.say(UnitChoice::Us), "the water lasts 20 days in 40 % of runs");
/// ```
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
#[schemars(description = "A sentence or part of one: words and quantities in turn.")]
pub struct Phrase {
    words: Vec<Word>,
}

impl Phrase {
    /// Starts with words.
    pub fn new(text: impl Into<String>) -> Self {
        Phrase::none().text(text)
    }
    /// Nothing said.
    pub fn none() -> Self {
        Phrase::default()
    }
    /// Starts with a quantity.
    pub fn of(si: f64, dimension: Dimension) -> Self {
        Phrase::none().size(si, dimension)
    }
    /// Adds words.
    pub fn text(mut self, text: impl Into<String>) -> Self {
        let more: String = text.into();
        match self.words.last_mut() {
            _ if more.is_empty() => {}
            Some(Word::Text { text }) => text.push_str(&more),
            _ => self.words.push(Word::Text { text: more }),
        }
        self
    }
    /// Adds a quantity. One that does not exist is said in words, as [`show`] does: files hold finite numbers only.
    pub fn size(mut self, si: f64, dimension: Dimension) -> Self {
        if !si.is_finite() {
            return self.text("no value");
        }
        self.words.push(Word::Size { si, dimension });
        self
    }
    /// Adds a length, m.
    pub fn length(self, m: f64) -> Self {
        self.size(m, Dimension::Length)
    }
    /// Adds a duration, s.
    pub fn time(self, s: f64) -> Self {
        self.size(s, Dimension::Time)
    }
    /// Adds a share of a whole, said in percent.
    pub fn share(self, share: f64) -> Self {
        self.size(share, Dimension::Fraction)
    }
    /// Adds a bare number with so many decimals.
    pub fn number(self, x: f64, decimals: usize) -> Self {
        self.text(format!("{x:.decimals$}"))
    }
    /// Adds a whole number of things.
    pub fn count(self, n: f64) -> Self {
        self.text(with_commas(n))
    }
    /// Adds another phrase.
    pub fn phrase(self, other: Phrase) -> Self {
        other.words.into_iter().fold(self, |all, word| match word {
            Word::Text { text } => all.text(text),
            Word::Size { si, dimension } => all.size(si, dimension),
        })
    }
    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        self.words.is_empty()
    }
    /// Its pieces.
    pub fn words(&self) -> &[Word] {
        &self.words
    }
    /// In the user's units with the metric value in brackets.
    pub fn show(&self, units: UnitChoice) -> String {
        self.shown(|si, dimension| show_both(si, dimension, units))
    }
    /// In the user's units alone, whole days as people say them.
    pub fn say(&self, units: UnitChoice) -> String {
        self.shown(|si, dimension| {
            let said = show(si, dimension, units);
            match said.strip_suffix(" day") {
                Some(number) if dimension == Dimension::Time && number != "1" => format!("{number} days"),
                _ => said,
            }
        })
    }
    /// With each quantity put into words by the caller.
    pub fn shown(&self, quantity: impl Fn(f64, Dimension) -> String) -> String {
        self.words
            .iter()
            .map(|w| match w {
                Word::Text { text } => text.clone(),
                Word::Size { si, dimension } => quantity(*si, *dimension),
            })
            .collect()
    }
}

impl From<&str> for Phrase {
    fn from(text: &str) -> Self {
        Phrase::new(text)
    }
}

impl From<String> for Phrase {
    fn from(text: String) -> Self {
        Phrase::new(text)
    }
}
