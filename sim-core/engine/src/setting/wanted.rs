//! What stands at a place, and what would be right there, in words.

use toml::de::DeValue;

use super::{Kind, Setting};

/// What stands there, in words.
pub(super) fn article(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// What would be right.
pub(super) fn wanted(setting: &Setting) -> String {
    match setting.kind {
        Kind::Known(d) | Kind::Quantity(d) => {
            format!("give {} in quotes with its unit, e.g. \"{}\"", d.name(), d.example())
        }
        Kind::Whole => "give a whole number".into(),
        Kind::Choice(words) => format!("give one of: {}", words.iter().map(|w| w.0).collect::<Vec<_>>().join(", ")),
        Kind::Switch => "give true or false".into(),
        Kind::File { .. } => "give the name of a file beside the scenario, in quotes".into(),
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
