//! Settings of a scenario table: one declared list drives reading, range checks, help, the schema and the forms.
//!
//! A stage declares its settings as a table of [`Setting`]; [`Reader::read`] turns a table of the scenario into [`Settings`] that
//! cannot be wrong, or records every problem with its place.

mod file;
mod list;
mod read;
mod spread;
mod wanted;

pub use file::tables_of_file;

use std::collections::BTreeMap;
use std::ops::Range;

use washgraph_stats::draw::{Input, InputList, Nature};
use washgraph_stats::{Spread, SpreadError};
use washgraph_units::problem::Problems;
use washgraph_units::quantity::{Basis, Dimension};

/// What may be typed for a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A quantity that must be one known value, such as the size of a hole.
    Known(Dimension),
    /// A quantity that may be given as a spread `{ low, mid, high }`.
    Quantity(Dimension),
    /// A whole number.
    Whole,
    /// One of a few words, each with its meaning.
    Choice(&'static [(&'static str, &'static str)]),
    /// true or false.
    Switch,
    /// Free text.
    Text,
    /// A list of rows of quantities, one dimension a column, such as the points of a pump curve.
    Rows(&'static [Dimension]),
    /// A list of known words, each with its meaning; `2 x word` counts it twice.
    Words(&'static [(&'static str, &'static str)]),
    /// Name of a file beside the scenario, which reads it and hands its text to the owner ([`Settings::file`]). The file may
    /// bring further words for a choice of the same table: with the file given any word is read there, and the owner
    /// refuses those it does not know.
    File {
        /// Key of that choice; empty for none.
        words_of: &'static str,
    },
    /// Read by the owner of the table itself (lists and sub-tables).
    Nested,
}

/// What holds when the setting is not given.
#[derive(Debug, Clone, Copy)]
pub enum Preset {
    /// It must be given.
    Required,
    /// It may be absent.
    Absent,
    /// This value, as a user would type it.
    Text(&'static str),
    /// An uncertain value.
    Spread(fn() -> Result<Spread, SpreadError>),
    /// An uncertain value that goes by the word of another setting, which stands before this one.
    SpreadBy {
        /// Key of the other setting.
        key: &'static str,
        /// The spread for its word.
        make: fn(&str) -> Result<Spread, SpreadError>,
        /// Settings that take its place: with one of them given it is absent.
        unless: &'static [&'static str],
    },
}

/// One setting. Made by [`Setting::new`] or one of the short forms, and the methods after it; later versions may declare more.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct Setting {
    /// Key in the scenario, snake_case.
    pub key: &'static str,
    /// Meaning in plain words.
    pub meaning: &'static str,
    /// What may be typed.
    pub kind: Kind,
    /// What holds when it is not given.
    pub preset: Preset,
    /// Allowed range, SI, ends included.
    pub range: (f64, f64),
    /// For an uncertain value: unknown, or changing by itself.
    pub nature: Nature,
    /// Where the preset comes from; empty for things only the owner knows.
    pub source: &'static str,
}

impl Setting {
    /// A setting that may be absent, of any size.
    pub const fn new(key: &'static str, kind: Kind, meaning: &'static str) -> Self {
        let range = (f64::NEG_INFINITY, f64::INFINITY);
        Setting { key, meaning, kind, preset: Preset::Absent, range, nature: Nature::Ignorance, source: "" }
    }
    /// What holds when it is not given.
    pub const fn preset(mut self, preset: Preset) -> Self {
        self.preset = preset;
        self
    }
    /// Allowed range, SI, ends included.
    pub const fn range(mut self, range: (f64, f64)) -> Self {
        self.range = range;
        self
    }
    /// What may be typed.
    pub const fn kind(mut self, kind: Kind) -> Self {
        self.kind = kind;
        self
    }
    /// For an uncertain value: unknown, or changing by itself.
    pub const fn nature(mut self, nature: Nature) -> Self {
        self.nature = nature;
        self
    }
    /// Where the preset comes from.
    pub const fn source(mut self, source: &'static str) -> Self {
        self.source = source;
        self
    }
    /// A known quantity that must be given.
    pub const fn required(key: &'static str, dimension: Dimension, range: (f64, f64), meaning: &'static str) -> Self {
        Self::new(key, Kind::Known(dimension), meaning).preset(Preset::Required).range(range)
    }
    /// A known quantity with a usual value.
    pub const fn usual(
        key: &'static str,
        dimension: Dimension,
        preset: &'static str,
        range: (f64, f64),
        meaning: &'static str,
    ) -> Self {
        Self::new(key, Kind::Known(dimension), meaning).preset(Preset::Text(preset)).range(range)
    }
    /// A known quantity that may be absent.
    pub const fn optional(key: &'static str, dimension: Dimension, range: (f64, f64), meaning: &'static str) -> Self {
        Self::new(key, Kind::Known(dimension), meaning).range(range)
    }
    /// A quantity that may be uncertain, with a default spread and its source.
    pub const fn uncertain(
        key: &'static str,
        dimension: Dimension,
        preset: fn() -> Result<Spread, SpreadError>,
        range: (f64, f64),
        nature: Nature,
        meaning: &'static str,
        source: &'static str,
    ) -> Self {
        Setting { key, meaning, kind: Kind::Quantity(dimension), preset: Preset::Spread(preset), range, nature, source }
    }
    /// One of a few words.
    pub const fn choice(
        key: &'static str,
        words: &'static [(&'static str, &'static str)],
        preset: Preset,
        meaning: &'static str,
    ) -> Self {
        Self::new(key, Kind::Choice(words), meaning).preset(preset)
    }
    /// A list or table that its owner reads itself.
    pub const fn nested(key: &'static str, meaning: &'static str) -> Self {
        Self::new(key, Kind::Nested, meaning)
    }
    /// The dimension of a quantity setting.
    pub const fn dimension(&self) -> Option<Dimension> {
        match self.kind {
            Kind::Known(d) | Kind::Quantity(d) => Some(d),
            _ => None,
        }
    }
}

/// A value that has been read and checked.
#[derive(Debug, Clone)]
pub enum Value {
    /// A quantity, SI.
    Number {
        /// The value, or the number of the uncertain input.
        input: Input,
        /// Middle value, SI.
        middle: f64,
        /// The words "loose" or "bank" when they were given.
        basis: Option<Basis>,
        /// A speed of turning that was given as a share of critical.
        of_critical: bool,
        /// Currency as typed, where one was.
        currency: Option<&'static str>,
        /// What was typed.
        text: String,
    },
    /// A word.
    Word(String),
    /// true or false.
    Switch(bool),
    /// Rows of quantities, SI.
    Rows(Vec<Vec<f64>>),
    /// Words, in order.
    Words(Vec<String>),
}

/// The settings of one table, checked.
#[derive(Debug, Clone, Default)]
pub struct Settings {
    values: BTreeMap<&'static str, (Value, Option<Range<usize>>)>,
    files: BTreeMap<&'static str, String>,
    /// Place of the table in the scenario.
    pub span: Option<Range<usize>>,
}

impl Settings {
    /// A quantity as an input of the trials; NaN when the setting is absent.
    pub fn input(&self, key: &str) -> Input {
        match self.values.get(key) {
            Some((Value::Number { input, .. }, _)) => *input,
            _ => Input::Fixed(f64::NAN),
        }
    }
    /// A known quantity, SI; NaN when absent.
    pub fn number(&self, key: &str) -> f64 {
        self.maybe(key).unwrap_or(f64::NAN)
    }
    /// A known quantity, SI, or its middle when it is uncertain; `None` when absent.
    pub fn maybe(&self, key: &str) -> Option<f64> {
        match self.values.get(key) {
            Some((Value::Number { middle, .. }, _)) => Some(*middle),
            _ => None,
        }
    }
    /// Whether the word loose or bank was given.
    pub fn basis(&self, key: &str) -> Option<Basis> {
        match self.values.get(key) {
            Some((Value::Number { basis, .. }, _)) => *basis,
            _ => None,
        }
    }
    /// The currency as typed, where one was.
    pub fn currency(&self, key: &str) -> Option<&'static str> {
        match self.values.get(key) {
            Some((Value::Number { currency, .. }, _)) => *currency,
            _ => None,
        }
    }
    /// Whether a speed was given as a share of critical.
    pub fn of_critical(&self, key: &str) -> bool {
        matches!(self.values.get(key), Some((Value::Number { of_critical: true, .. }, _)))
    }
    /// A word; empty when absent.
    pub fn word(&self, key: &str) -> &str {
        match self.values.get(key) {
            Some((Value::Word(word), _)) => word,
            _ => "",
        }
    }
    /// Name and text of the file that a setting names; `None` when absent.
    pub fn file(&self, key: &str) -> Option<(&str, &str)> {
        self.files.get(key).map(|text| (self.word(key), text.as_str()))
    }
    /// Keeps the text of the file that a setting names.
    pub fn put_file(&mut self, key: &'static str, text: String) {
        self.files.insert(key, text);
    }
    /// Rows of quantities, SI; empty when absent.
    pub fn rows(&self, key: &str) -> &[Vec<f64>] {
        match self.values.get(key) {
            Some((Value::Rows(rows), _)) => rows,
            _ => &[],
        }
    }
    /// A list of words; empty when absent.
    pub fn words(&self, key: &str) -> &[String] {
        match self.values.get(key) {
            Some((Value::Words(words), _)) => words,
            _ => &[],
        }
    }
    /// A switch; false when absent.
    pub fn switch(&self, key: &str) -> bool {
        matches!(self.values.get(key), Some((Value::Switch(true), _)))
    }
    /// Place of a setting in the scenario, or of its table when it was not given.
    pub fn place(&self, key: &str) -> Option<Range<usize>> {
        self.values.get(key).and_then(|(_, span)| span.clone()).or_else(|| self.span.clone())
    }
    /// Whether a setting was given in the scenario.
    pub fn was_given(&self, key: &str) -> bool {
        self.values.get(key).is_some_and(|(_, span)| span.is_some())
    }
    /// The same settings under other keys, for a kind that is made of another one and calls its settings differently.
    pub fn with_keys(&self, new: impl Fn(&'static str) -> &'static str) -> Settings {
        Settings {
            values: self.values.iter().map(|(k, v)| (new(k), v.clone())).collect(),
            files: self.files.iter().map(|(k, text)| (new(k), text.clone())).collect(),
            span: self.span.clone(),
        }
    }
    /// All values that were read, with what was typed, for "inputs as understood".
    pub fn all(&self) -> impl Iterator<Item = (&'static str, &Value)> {
        self.values.iter().map(|(k, (v, _))| (*k, v))
    }
}

/// What `low` and `high` of a spread mean in this scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SpreadMeaning {
    /// One run in ten falls below low, one in ten above high, half below mid.
    #[default]
    OneInTen,
    /// Nothing falls outside low and high; mid is the most likely.
    Limits,
}

/// What the reading of a table needs from its surroundings.
pub struct Reader<'a> {
    /// Where uncertain inputs are registered.
    pub inputs: &'a mut InputList,
    /// Where problems go.
    pub problems: &'a mut Problems,
    /// What low and high mean.
    pub meaning: SpreadMeaning,
}
