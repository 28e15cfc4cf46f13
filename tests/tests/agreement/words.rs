//! The words of `words.toml`: changes, measurements, limits, money.

use std::collections::BTreeMap;
use std::path::Path;

use sim_core::quantity::Dimension;
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Setting};
use toml_edit::{DocumentMut, Item, TableLike};

/// Which way a change goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    Up,
    Down,
    /// To another word or another set of values.
    To,
    /// A part that is not there yet.
    Add,
}

/// A change as a word of the trade: what it does to which setting of which kind of part.
#[derive(Debug, Clone)]
pub struct Change {
    /// Kind of stage, section or outlet; `None` where nothing of the plant is changed.
    pub kind: Option<String>,
    /// Its setting; `None` where the part itself is new.
    pub setting: Option<String>,
    /// Way it goes.
    pub way: Option<Way>,
}

/// All words.
#[derive(Debug)]
pub struct Words {
    /// Changes.
    pub changes: BTreeMap<String, Change>,
    /// Measurements, limits and sentences on money, by group.
    groups: BTreeMap<&'static str, Vec<String>>,
}

fn text(table: &dyn TableLike, key: &str) -> Option<String> {
    table.get(key).and_then(Item::as_str).map(str::to_string)
}

fn change(name: &str, table: &dyn TableLike) -> Change {
    assert!(text(table, "says").is_some_and(|s| !s.is_empty()), "`{name}` says nothing");
    let way = text(table, "way").map(|way| match way.as_str() {
        "up" => Way::Up,
        "down" => Way::Down,
        "to" => Way::To,
        "add" => Way::Add,
        other => panic!("`{name}` goes `{other}`"),
    });
    Change { kind: text(table, "kind"), setting: text(table, "setting"), way }
}

impl Words {
    /// Reads the file.
    pub fn read(path: &Path) -> Words {
        let text = std::fs::read_to_string(path).expect("words");
        let file = text.parse::<DocumentMut>().expect("words as TOML");
        let group = |name: &str| file.get(name).and_then(Item::as_table_like).expect("group of words");
        let changes = group("change").iter();
        let changes =
            changes.map(|(name, item)| (name.to_string(), change(name, item.as_table_like().expect("table"))));
        let groups = ["measure", "limit", "money"];
        Words {
            changes: changes.collect(),
            groups: groups.map(|g| (g, group(g).iter().map(|(word, _)| word.to_string()).collect())).into(),
        }
    }

    /// Whether a group other than the changes has a word.
    pub fn has(&self, group: &str, word: &str) -> bool {
        self.groups.get(group).is_some_and(|words| words.iter().any(|w| w == word))
    }

    /// Changes of parts or settings that the program does not know.
    pub fn unmet(&self, registry: &Registry) -> Vec<String> {
        let mut faults = Vec::new();
        for (name, change) in &self.changes {
            let fits = match (&change.kind, &change.setting, change.way) {
                (None, None, None) => true,
                (Some(kind), None, Some(Way::Add)) => settings_of(registry, kind).is_some(),
                (Some(kind), Some(key), Some(way)) => setting_of(registry, kind, key).is_some_and(|setting| {
                    // Only a number has an up and a down.
                    way == Way::To || dimension_of(setting).is_some()
                }),
                _ => false,
            };
            if !fits {
                faults.push(format!("`{name}`: {change:?}"));
            }
        }
        faults
    }
}

fn settings_of(registry: &Registry, kind: &str) -> Option<&'static [Setting]> {
    let stage = registry.stages().iter().find(|k| k.name == kind).map(|k| k.settings);
    let section = || registry.sections().iter().find(|k| k.name == kind).map(|k| k.settings);
    let outlet = || registry.outlets().iter().find(|k| k.name == kind).map(|k| k.settings);
    stage.or_else(section).or_else(outlet)
}

/// The setting of a kind of stage, section or outlet.
pub fn setting_of(registry: &Registry, kind: &str, key: &str) -> Option<&'static Setting> {
    settings_of(registry, kind)?.iter().find(|s| s.key == key)
}

/// What a setting measures; `None` for words, lists and texts.
pub fn dimension_of(setting: &Setting) -> Option<Dimension> {
    match setting.kind {
        Kind::Known(dimension) | Kind::Quantity(dimension) => Some(dimension),
        Kind::Whole => Some(Dimension::Number),
        _ => None,
    }
}
