//! Settings as understood, in words, for `check` and the report.

use crate::quantity::{UnitChoice, show_both};
use crate::setting::{Preset, Setting, Settings, Value};

/// One row a setting that has a value: meaning, value in words, whether it was given in the scenario.
pub(super) fn rows_of(settings: &Settings, declared: &[Setting], units: UnitChoice) -> Vec<(String, String, bool)> {
    let mut rows = Vec::new();
    for setting in declared {
        let Some((_, value)) = settings.all().find(|(key, _)| *key == setting.key) else { continue };
        let given = settings.was_given(setting.key);
        let words = match value {
            Value::Word(word) => word.clone(),
            Value::Switch(on) => (if *on { "yes" } else { "no" }).to_string(),
            Value::Number { middle, text, input, .. } => {
                let shown = match setting.dimension() {
                    Some(dimension) => show_both(*middle, dimension, units),
                    None => text.clone(),
                };
                match input {
                    crate::draw::Input::Drawn(_) if text.is_empty() => format!("about {shown} (uncertain)"),
                    crate::draw::Input::Drawn(_) => format!("about {shown} ({text})"),
                    crate::draw::Input::Fixed(_) => shown,
                }
            }
        };
        let assumed = !given && !matches!(setting.preset, Preset::Required);
        let source =
            if assumed && !setting.source.is_empty() { format!("; {}", setting.source) } else { String::new() };
        rows.push((setting.meaning.to_string(), format!("{words}{source}"), given));
    }
    rows
}
