//! Settings of a scenario table: one declared list drives reading, range checks, help, the schema and the forms.
//!
//! A stage declares its settings as a table of [`Setting`]; [`Reader::read`] turns a table of the scenario into [`Settings`] that
//! cannot be wrong, or records every problem with its place.

mod list;

use std::collections::BTreeMap;
use std::ops::Range;

use serde_spanned::Spanned;
use toml::de::{DeTable, DeValue};

use crate::draw::{Input, InputList, Nature, UncertainInput};
use crate::problem::{Problems, did_you_mean};
use crate::quantity::{self, Basis, Dimension};
use crate::stats::{Spread, SpreadError};

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
    },
}

/// One setting.
#[derive(Debug, Clone, Copy)]
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
    /// A known quantity that must be given.
    pub const fn required(key: &'static str, dimension: Dimension, range: (f64, f64), meaning: &'static str) -> Self {
        Setting {
            key,
            meaning,
            kind: Kind::Known(dimension),
            preset: Preset::Required,
            range,
            nature: Nature::Ignorance,
            source: "",
        }
    }
    /// A known quantity with a usual value.
    pub const fn usual(
        key: &'static str,
        dimension: Dimension,
        preset: &'static str,
        range: (f64, f64),
        meaning: &'static str,
    ) -> Self {
        Setting {
            key,
            meaning,
            kind: Kind::Known(dimension),
            preset: Preset::Text(preset),
            range,
            nature: Nature::Ignorance,
            source: "",
        }
    }
    /// A known quantity that may be absent.
    pub const fn optional(key: &'static str, dimension: Dimension, range: (f64, f64), meaning: &'static str) -> Self {
        Setting {
            key,
            meaning,
            kind: Kind::Known(dimension),
            preset: Preset::Absent,
            range,
            nature: Nature::Ignorance,
            source: "",
        }
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
        Setting {
            key,
            meaning,
            kind: Kind::Choice(words),
            preset,
            range: (f64::NEG_INFINITY, f64::INFINITY),
            nature: Nature::Ignorance,
            source: "",
        }
    }
    /// A list or table that its owner reads itself.
    pub const fn nested(key: &'static str, meaning: &'static str) -> Self {
        Setting {
            key,
            meaning,
            kind: Kind::Nested,
            preset: Preset::Absent,
            range: (f64::NEG_INFINITY, f64::INFINITY),
            nature: Nature::Ignorance,
            source: "",
        }
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

impl Reader<'_> {
    /// Reads the settings of one table. `owner` is the name under which its uncertain inputs are known, e.g. `sluice`.
    pub fn read(&mut self, table: &DeTable<'_>, span: Range<usize>, declared: &[Setting], owner: &str) -> Settings {
        let mut settings = Settings { values: BTreeMap::new(), span: Some(span.clone()) };
        for key in table.keys() {
            let typed: &str = key.get_ref();
            if !declared.iter().any(|s| s.key == typed) {
                let help = match did_you_mean(typed, declared.iter().map(|s| s.key)) {
                    Some(word) => format!("did you mean `{word}`?"),
                    None => format!("known here: {}", declared.iter().map(|s| s.key).collect::<Vec<_>>().join(", ")),
                };
                self.problems.error(key.span(), format!("`{typed}` is not a setting of {owner}"), help);
            }
        }
        for setting in declared {
            if let Some((_, value)) = table.iter().find(|(k, _)| k.get_ref() == setting.key) {
                if let Some(read) = self.value(setting, value, owner) {
                    settings.values.insert(setting.key, (read, Some(value.span())));
                }
            } else {
                self.preset(setting, owner, &span, &mut settings);
            }
        }
        settings
    }

    fn preset(&mut self, setting: &Setting, owner: &str, span: &Range<usize>, settings: &mut Settings) {
        match setting.preset {
            Preset::Required => {
                let example = match setting.kind {
                    Kind::Known(d) | Kind::Quantity(d) => format!("`{} = \"{}\"`", setting.key, d.example()),
                    Kind::Choice(words) => {
                        format!("one of: {}", words.iter().map(|w| w.0).collect::<Vec<_>>().join(", "))
                    }
                    Kind::Rows(_) => wanted(setting),
                    _ => format!("`{} = ...`", setting.key),
                };
                self.problems.error(
                    span.clone(),
                    format!("{owner} lacks `{}`: {}", setting.key, setting.meaning),
                    format!("add it, e.g. {example}"),
                );
            }
            Preset::Absent => {}
            Preset::Text(text) => {
                if let Some(read) = self.text(setting, text, 0..0, true) {
                    settings.values.insert(setting.key, (read, None));
                }
            }
            Preset::Spread(make) => self.preset_spread(setting, owner, span, make(), settings),
            Preset::SpreadBy { key, make } => {
                let made = make(settings.word(key));
                self.preset_spread(setting, owner, span, made, settings);
            }
        }
    }

    fn preset_spread(
        &mut self,
        setting: &Setting,
        owner: &str,
        span: &Range<usize>,
        spread: Result<Spread, SpreadError>,
        settings: &mut Settings,
    ) {
        match spread {
            Ok(spread) => {
                let middle = spread.middle();
                if let Some(input) = self.register(setting, owner, spread, setting.source.to_string(), span.clone()) {
                    let value = Value::Number {
                        input,
                        middle,
                        basis: None,
                        of_critical: false,
                        currency: None,
                        text: String::new(),
                    };
                    settings.values.insert(setting.key, (value, None));
                }
            }
            Err(error) => self.problems.error(
                span.clone(),
                format!("preset of `{}`: {error}", setting.key),
                "this is a fault of the program",
            ),
        }
    }

    fn register(
        &mut self,
        setting: &Setting,
        owner: &str,
        spread: Spread,
        source: String,
        span: Range<usize>,
    ) -> Option<Input> {
        let name = format!("{owner}/{}", setting.key);
        let unit = setting.dimension().map_or("-", Dimension::si_symbol);
        let input =
            UncertainInput { name, meaning: setting.meaning.to_string(), unit, spread, nature: setting.nature, source };
        match self.inputs.add(input) {
            Ok(input) => Some(input),
            Err(other) => {
                self.problems.error(
                    span,
                    format!("the uncertain input {owner}/{} clashes with {other}", setting.key),
                    "give one of the two stages another id",
                );
                None
            }
        }
    }

    fn value(&mut self, setting: &Setting, value: &Spanned<DeValue<'_>>, owner: &str) -> Option<Value> {
        let span = value.span();
        match (setting.kind, value.get_ref()) {
            (Kind::Nested, _) => None,
            (Kind::Switch, DeValue::Boolean(b)) => Some(Value::Switch(*b)),
            (Kind::Switch, _) => {
                self.problems.error(
                    span,
                    format!("`{}` is a switch", setting.key),
                    "write true or false, without quotes",
                );
                None
            }
            (Kind::Rows(columns), DeValue::Array(items)) => self.rows(setting, columns, items).map(Value::Rows),
            (Kind::Words(known), DeValue::Array(items)) => {
                let mut words = Vec::new();
                for item in items.iter() {
                    let Some(text) = item.get_ref().as_str() else {
                        self.problems.error(
                            item.span(),
                            format!("`{}` is a list of words", setting.key),
                            wanted(setting),
                        );
                        return None;
                    };
                    self.counted_word(setting, known, text, Some(item.span()), &mut words)?;
                }
                Some(Value::Words(words))
            }
            (Kind::Quantity(_), DeValue::Table(table)) => self.spread(setting, table, span, owner),
            (Kind::Known(_), DeValue::Table(_)) => {
                self.problems.error(
                    span,
                    format!("`{}` must be one known value, not a spread", setting.key),
                    "give a single value; what is built has one size",
                );
                None
            }
            (_, DeValue::String(text)) => {
                let inner = span.start + 1..span.end.saturating_sub(1).max(span.start + 1);
                self.text(setting, text, inner, false)
            }
            (_, DeValue::Integer(number)) => self.text(setting, number.as_str(), span, false),
            (_, DeValue::Float(number)) => self.text(setting, number.as_str(), span, false),
            (_, other) => {
                self.problems.error(span, format!("`{}` cannot be {}", setting.key, article(other)), wanted(setting));
                None
            }
        }
    }

    fn text(&mut self, setting: &Setting, text: &str, span: Range<usize>, preset: bool) -> Option<Value> {
        let place = if preset { None } else { Some(span.clone()) };
        match setting.kind {
            Kind::Text => Some(Value::Word(text.to_string())),
            Kind::Choice(words) => {
                if words.iter().any(|w| w.0 == text) {
                    return Some(Value::Word(text.to_string()));
                }
                let known = words.iter().map(|w| format!("{} ({})", w.0, w.1)).collect::<Vec<_>>().join(", ");
                let help = match did_you_mean(text, words.iter().map(|w| w.0)) {
                    Some(word) => format!("did you mean `{word}`? known: {known}"),
                    None => format!("known: {known}"),
                };
                self.problems.error(place, format!("`{text}` is not a known {}", setting.key), help);
                None
            }
            Kind::Whole => match text.trim().replace('_', "").parse::<f64>() {
                Ok(n) if n == n.trunc() => self.number(setting, n, text, place),
                _ => {
                    self.problems.error(
                        place,
                        format!("`{}` must be a whole number, not `{text}`", setting.key),
                        "write it without a unit, e.g. 40",
                    );
                    None
                }
            },
            Kind::Known(dimension) | Kind::Quantity(dimension) => {
                let parsed = self.parse(text, dimension, &span, place.clone())?;
                let value = self.number(setting, parsed.si, text, place)?;
                Some(match value {
                    Value::Number { input, middle, text, .. } => Value::Number {
                        input,
                        middle,
                        basis: parsed.basis,
                        of_critical: parsed.of_critical,
                        currency: parsed.currency,
                        text,
                    },
                    other => other,
                })
            }
            Kind::Words(known) => {
                let mut words = Vec::new();
                for word in text.split(',').map(str::trim).filter(|w| !w.is_empty()) {
                    self.counted_word(setting, known, word, place.clone(), &mut words)?;
                }
                Some(Value::Words(words))
            }
            Kind::Rows(_) => {
                self.problems.error(place, format!("`{}` is a list of rows", setting.key), wanted(setting));
                None
            }
            Kind::Switch | Kind::Nested => None,
        }
    }

    /// Reads one quantity outside a declared setting (rows of lists), with its place in the text.
    pub fn parse(
        &mut self,
        text: &str,
        dimension: Dimension,
        span: &Range<usize>,
        place: Option<Range<usize>>,
    ) -> Option<quantity::Parsed> {
        match quantity::parse(text, dimension) {
            Ok(parsed) => {
                if let (Some(note), Some(place)) = (&parsed.note, &place) {
                    self.problems.warning(place.clone(), note.clone(), "");
                }
                Some(parsed)
            }
            Err(error) => {
                let at = place.map(|_| {
                    span.start + error.span.start
                        ..(span.start + error.span.end).min(span.end).max(span.start + error.span.start)
                });
                self.problems.error(at, error.message, error.help);
                None
            }
        }
    }

    fn number(&mut self, setting: &Setting, si: f64, text: &str, place: Option<Range<usize>>) -> Option<Value> {
        if !self.in_range(setting, si, text, place) {
            return None;
        }
        Some(Value::Number {
            input: Input::Fixed(si),
            middle: si,
            basis: None,
            of_critical: false,
            currency: None,
            text: text.to_string(),
        })
    }

    fn in_range(&mut self, setting: &Setting, si: f64, text: &str, place: Option<Range<usize>>) -> bool {
        let (low, high) = setting.range;
        if si >= low && si <= high {
            return true;
        }
        let show = |x: f64| match setting.dimension() {
            Some(d) if x.is_finite() => quantity::show(x, d, quantity::UnitChoice::Metric),
            _ => format!("{x}"),
        };
        let help = match (low.is_finite(), high.is_finite()) {
            (true, true) => format!("it must lie between {} and {}", show(low), show(high)),
            (true, false) => format!("it must be at least {}", show(low)),
            _ => format!("it must be at most {}", show(high)),
        };
        self.problems.error(place, format!("`{}` of {text} is out of range", setting.key), help);
        false
    }

    fn spread(&mut self, setting: &Setting, table: &DeTable<'_>, span: Range<usize>, owner: &str) -> Option<Value> {
        let dimension = setting.dimension()?;
        let mut points = [f64::NAN; 3];
        let mut texts: [String; 3] = Default::default();
        let mut basis = None;
        let mut currency = None;
        for key in table.keys() {
            if !["low", "mid", "high"].contains(&key.get_ref().as_ref()) {
                self.problems.error(
                    key.span(),
                    format!("a spread has low, mid and high, not `{}`", key.get_ref()),
                    "write { low = \"..\", mid = \"..\", high = \"..\" }",
                );
                return None;
            }
        }
        for (i, name) in ["low", "mid", "high"].into_iter().enumerate() {
            let Some((_, value)) = table.iter().find(|(k, _)| k.get_ref() == name) else {
                self.problems.error(
                    span,
                    format!("the spread of `{}` lacks {name}", setting.key),
                    "write { low = \"..\", mid = \"..\", high = \"..\" }",
                );
                return None;
            };
            let at = value.span();
            let (text, inner) = match value.get_ref() {
                DeValue::String(s) => (s.to_string(), at.start + 1..at.end.saturating_sub(1)),
                DeValue::Integer(n) => (n.as_str().to_string(), at.clone()),
                DeValue::Float(n) => (n.as_str().to_string(), at.clone()),
                other => {
                    self.problems.error(at, format!("{name} cannot be {}", article(other)), wanted(setting));
                    return None;
                }
            };
            let parsed = self.parse(&text, dimension, &inner, Some(inner.clone()))?;
            if !self.in_range(setting, parsed.si, &text, Some(inner)) {
                return None;
            }
            points[i] = parsed.si;
            texts[i] = text;
            basis = basis.or(parsed.basis);
            if let (Some(first), Some(other)) = (currency, parsed.currency)
                && first != other
            {
                self.problems.error(
                    span,
                    format!("the spread of `{}` is in {first} and in {other}", setting.key),
                    "use one currency; there are no exchange rates here",
                );
                return None;
            }
            currency = currency.or(parsed.currency);
        }
        let [low, mid, high] = points;
        if !(low <= mid && mid <= high) {
            self.problems.error(
                span,
                format!("low, mid and high of `{}` are not in order", setting.key),
                "low must not be above mid, nor mid above high",
            );
            return None;
        }
        let spread = if low == high {
            Spread::fixed(mid)
        } else if self.meaning == SpreadMeaning::Limits {
            Spread::triangular(low, mid, high)
        } else if low > 0.0 && low < mid && mid < high {
            Spread::split_log_normal(low, mid, high)
        } else {
            Spread::split_normal(low, mid, high)
        };
        match spread.map(|s| s.within(setting.range.0, setting.range.1)) {
            Ok(spread) => {
                let middle = spread.middle();
                let text = texts.join(" / ");
                let input = self.register(setting, owner, spread, "given in the scenario".into(), span)?;
                Some(Value::Number { input, middle, basis, of_critical: false, currency, text })
            }
            Err(error) => {
                self.problems.error(span, format!("the spread of `{}`: {error}", setting.key), "");
                None
            }
        }
    }
}

fn article(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

fn wanted(setting: &Setting) -> String {
    match setting.kind {
        Kind::Known(d) | Kind::Quantity(d) => {
            format!("give {} in quotes with its unit, e.g. \"{}\"", d.name(), d.example())
        }
        Kind::Whole => "give a whole number".into(),
        Kind::Choice(words) => format!("give one of: {}", words.iter().map(|w| w.0).collect::<Vec<_>>().join(", ")),
        Kind::Switch => "give true or false".into(),
        Kind::Text => "give a text in quotes".into(),
        Kind::Rows(columns) => {
            let row = columns.iter().map(|d| format!("\"{}\"", d.example())).collect::<Vec<_>>().join(", ");
            format!("write a list of rows such as [[{row}], [{row}]]")
        }
        Kind::Words(words) => {
            format!("give a list of words such as [\"{}\"]", words.first().map_or("", |w| w.0))
        }
        Kind::Nested => String::new(),
    }
}
