//! From a table of the scenario to settings that cannot be wrong, or every problem with its place.

use std::ops::Range;

use serde_spanned::Spanned;
use toml::de::{DeTable, DeValue};

use super::wanted::{article, wanted};
use super::{Kind, Preset, Reader, Setting, Settings, Value};
use washgraph_stats::draw::{Input, UncertainInput};
use washgraph_stats::{Spread, SpreadError};
use washgraph_units::problem::did_you_mean;
use washgraph_units::quantity::{self, Dimension};

impl Reader<'_> {
    /// Reads the settings of one table. `owner` is the name under which its uncertain inputs are known, e.g. `sluice`.
    pub fn read(&mut self, table: &DeTable<'_>, span: Range<usize>, declared: &[Setting], owner: &str) -> Settings {
        let mut settings = Settings { span: Some(span.clone()), ..Settings::default() };
        // Settings that were meant by a misspelt key: what is wrong with them has been said.
        let mut meant: Vec<&str> = Vec::new();
        for key in table.keys() {
            let typed: &str = key.get_ref();
            if !declared.iter().any(|s| s.key == typed) {
                let help = match did_you_mean(typed, declared.iter().map(|s| s.key)) {
                    Some(word) => {
                        meant.push(word);
                        format!("did you mean `{word}`?")
                    }
                    None => format!("known here: {}", declared.iter().map(|s| s.key).collect::<Vec<_>>().join(", ")),
                };
                self.problems.error(key.span(), format!("`{typed}` is not a setting of {owner}"), help);
            }
        }
        for setting in declared {
            if let Some((_, value)) = table.iter().find(|(k, _)| k.get_ref() == setting.key) {
                if let (true, Some(word)) = (is_extended(setting, declared, table), value.get_ref().as_str()) {
                    settings.values.insert(setting.key, (Value::Word(word.to_string()), Some(value.span())));
                } else if let Some(read) = self.value(setting, value, owner) {
                    settings.values.insert(setting.key, (read, Some(value.span())));
                }
            } else if !(matches!(setting.preset, Preset::Required) && meant.contains(&setting.key)) {
                self.preset(setting, table, owner, &span, &mut settings);
            }
        }
        settings
    }

    fn preset(
        &mut self,
        setting: &Setting,
        table: &DeTable<'_>,
        owner: &str,
        span: &Range<usize>,
        settings: &mut Settings,
    ) {
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
            Preset::SpreadBy { unless, .. } if table.keys().any(|k| unless.contains(&k.get_ref().as_ref())) => {}
            Preset::SpreadBy { key, make, .. } => {
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

    pub(super) fn register(
        &mut self,
        setting: &Setting,
        owner: &str,
        spread: Spread,
        source: String,
        span: Range<usize>,
    ) -> Option<Input> {
        let name = format!("{owner}/{}", setting.key);
        let dimension = setting.dimension().unwrap_or(Dimension::Number);
        let input = UncertainInput {
            name,
            meaning: setting.meaning.to_string(),
            dimension,
            spread,
            nature: setting.nature,
            source,
        };
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
            Kind::Text | Kind::File { .. } => Some(Value::Word(text.to_string())),
            Kind::Choice(words) => {
                if words.iter().any(|w| w.0 == text) {
                    return Some(Value::Word(text.to_string()));
                }
                let known = words.iter().map(|w| format!("{} ({})", w.0, w.1)).collect::<Vec<_>>().join(", ");
                let help = match did_you_mean(text, words.iter().map(|w| w.0)) {
                    Some(word) => format!("did you mean `{word}`? known: {known}"),
                    None => format!("known: {known}"),
                };
                self.problems.error(place, format!("`{text}` is not a known word for `{}`", setting.key), help);
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

    pub(super) fn in_range(&mut self, setting: &Setting, si: f64, text: &str, place: Option<Range<usize>>) -> bool {
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
        let is_bare = text.trim().parse::<f64>().is_ok();
        let help = match (setting.dimension(), text.trim()) {
            (Some(Dimension::Fraction), bare) if is_bare && (1.0..=100.0).contains(&si) => {
                format!("{help}; in percent write `{bare} %`")
            }
            (Some(Dimension::Fraction), bare) if is_bare && (100.0..=1000.0).contains(&si) => {
                format!("{help}; for parts of a thousand write `{bare} per mille`")
            }
            _ => help,
        };
        self.problems.error(place, format!("`{}` of {text} is out of range", setting.key), help);
        false
    }
}

/// Whether a choice has further words in a file that the table names.
fn is_extended(setting: &Setting, declared: &[Setting], table: &DeTable<'_>) -> bool {
    let brings = |s: &Setting| matches!(s.kind, Kind::File { words_of } if words_of == setting.key);
    matches!(setting.kind, Kind::Choice(_))
        && declared.iter().any(|s| brings(s) && table.keys().any(|k| k.get_ref() == s.key))
}
