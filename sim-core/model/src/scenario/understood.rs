//! Settings as understood, in words, for `check` and the report.

use sim_core::lever::Lever;
use sim_core::plant::UnderstoodRow;
use sim_core::quantity::{Dimension, UnitChoice, show, show_both};
use sim_core::setting::{Kind, Preset, Setting, Settings, Value};

/// One row a setting that has a value.
pub(super) fn rows_of(
    settings: &Settings,
    declared: &[Setting],
    levers: &[Lever],
    units: UnitChoice,
) -> Vec<UnderstoodRow> {
    let mut rows = Vec::new();
    for setting in declared {
        let Some((_, value)) = settings.all().find(|(key, _)| *key == setting.key) else { continue };
        let given = settings.was_given(setting.key);
        let words = match value {
            Value::Word(word) => word.clone(),
            Value::Words(list) if list.is_empty() => "none".to_string(),
            Value::Words(list) => list.join(", "),
            Value::Rows(list) => rows_in_words(list, setting, units),
            Value::Switch(on) => (if *on { "yes" } else { "no" }).to_string(),
            Value::Number { middle, text, input, .. } => {
                let shown = match setting.dimension() {
                    // Nobody reckons a season of 700 h in days: a time is said as it was typed.
                    Some(Dimension::Time) if given && matches!(input, sim_core::draw::Input::Fixed(_)) => text.clone(),
                    Some(dimension) => show_both(*middle, dimension, units),
                    None => text.clone(),
                };
                match input {
                    sim_core::draw::Input::Drawn(_) if text.is_empty() => format!("about {shown} (uncertain)"),
                    sim_core::draw::Input::Drawn(_) => format!("about {shown} ({text})"),
                    sim_core::draw::Input::Fixed(_) => shown,
                }
            }
        };
        let assumed = !given && !matches!(setting.preset, Preset::Required);
        let source =
            if assumed && !setting.source.is_empty() { format!("; {}", setting.source) } else { String::new() };
        let value = format!("{words}{source}");
        let serves = levers.iter().find(|l| l.key == setting.key).and_then(|l| l.serves);
        rows.push(UnderstoodRow { key: setting.key, serves, meaning: setting.meaning.to_string(), value, given });
    }
    rows
}

/// Rows of quantities, `at` between the columns.
fn rows_in_words(rows: &[Vec<f64>], setting: &Setting, units: UnitChoice) -> String {
    let Kind::Rows(columns) = setting.kind else { return String::new() };
    let words = |row: &Vec<f64>| {
        row.iter()
            .zip(columns)
            .map(|(value, dimension)| show(*value, *dimension, units))
            .collect::<Vec<_>>()
            .join(" at ")
    };
    rows.iter().map(words).collect::<Vec<_>>().join(", ")
}
