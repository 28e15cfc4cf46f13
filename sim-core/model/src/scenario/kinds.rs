//! Tables of a list, each of a kind: found, and looked up among the kinds that are known.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use sim_core::problem::{Problems, did_you_mean};
use sim_core::setting::{Kind, Setting};

const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// The tables of a list `[[name]]`, each with its place.
pub(super) fn tables<'t, 'i>(
    document: &'t DeTable<'i>,
    name: &str,
    problems: &mut Problems,
) -> Vec<(&'t DeTable<'i>, Range<usize>)> {
    let Some((_, value)) = document.iter().find(|(k, _)| k.get_ref() == name) else { return Vec::new() };
    let mut list = Vec::new();
    match value.get_ref() {
        DeValue::Array(items) => {
            for item in items.iter() {
                match item.get_ref() {
                    DeValue::Table(table) => list.push((table, item.span())),
                    _ => problems.error(item.span(), format!("each {name} is a table"), format!("write [[{name}]]")),
                }
            }
        }
        _ => problems.error(
            value.span(),
            format!("`{name}` is a list of tables"),
            format!("write [[{name}]] with two brackets"),
        ),
    }
    list
}

/// A text at a key, with its place.
pub(super) fn word_of<'t>(table: &'t DeTable<'_>, key: &str) -> Option<(&'t str, Range<usize>)> {
    let (_, value) = table.iter().find(|(k, _)| k.get_ref() == key)?;
    value.get_ref().as_str().map(|s| (s, value.span()))
}

/// Reads `kind` and looks it up; unknown kinds are recorded with a suggestion.
pub(super) fn kind_of<K: Copy>(
    table: &DeTable<'_>,
    place: &Range<usize>,
    what: &str,
    known: &[K],
    name: impl Fn(K) -> &'static str,
    problems: &mut Problems,
) -> Option<K> {
    let names = || known.iter().map(|k| name(*k)).collect::<Vec<_>>();
    let Some((word, at)) = word_of(table, "kind") else {
        problems.error(place.clone(), format!("a {what} lacks its `kind`"), format!("one of: {}", names().join(", ")));
        return None;
    };
    let found = known.iter().copied().find(|k| name(*k) == word);
    if found.is_none() {
        let help = match did_you_mean(word, names()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("known: {}", names().join(", ")),
        };
        problems.error(at, format!("there is no {what} of kind `{word}`"), help);
    }
    found
}

/// Keys that the tables of stages, sections and outlets share.
pub const SHARED: [Setting; 5] = [
    Setting::new("id", Kind::Text, "name of your own").range(ANY).nature(sim_core::draw::Nature::Ignorance),
    Setting::new("kind", Kind::Text, "what it is").range(ANY).nature(sim_core::draw::Nature::Ignorance),
    Setting::new("on", Kind::Text, "the stage, or stage.section, that it is mounted on")
        .range(ANY)
        .nature(sim_core::draw::Nature::Ignorance),
    Setting::new("from", Kind::Text, "the pump that feeds it, when no pressure or flow is given")
        .range(ANY)
        .nature(sim_core::draw::Nature::Ignorance),
    Setting::nested("section", "sections of a drum, in order"),
];

/// The settings of a kind with those that all such tables share.
pub(super) fn with_shared(own: &[Setting], keys: &[&str]) -> Vec<Setting> {
    SHARED.iter().filter(|s| keys.contains(&s.key)).chain(own).copied().collect()
}
