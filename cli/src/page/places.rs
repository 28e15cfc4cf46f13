//! Where each setting stands in the text of a scenario, so that a problem is put beside its field.

use std::ops::Range;

use serde_spanned::Spanned;
use sim_core::problem::Problem;
use toml::de::{DeTable, DeValue};

type Value<'i> = Spanned<DeValue<'i>>;

/// A table of settings: its name as in paths, and the text that it takes.
struct Place {
    owner: String,
    /// Its header, or the whole of an inline table.
    span: Range<usize>,
    /// Each key with the text from key to value.
    keys: Vec<(String, Range<usize>)>,
}

/// Where settings stand.
pub(super) struct Places {
    list: Vec<Place>,
}

/// What a problem is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum About {
    /// One setting, by its path.
    Setting(String),
    /// A table, by its name.
    Table(String),
    /// The scenario as a whole, or something that has no field.
    Whole,
}

impl Places {
    /// Finds all tables of a scenario.
    pub fn of(text: &str) -> Places {
        let (document, _) = DeTable::parse_recoverable(text);
        let root = document.get_ref();
        let mut places = Places { list: Vec::new() };
        places.table("", &(0..text.lines().next().map_or(0, str::len)), root);
        for (key, value) in root.iter() {
            if value.get_ref().is_table() {
                places.nested(key.get_ref(), value);
            }
        }
        for (table, span) in tables(root, "water") {
            let id = word(table, "id").or_else(|| word(table, "kind")).unwrap_or_default();
            places.table(id, &span, table);
        }
        for (table, span) in tables(root, "stage") {
            let id = word(table, "id").or_else(|| word(table, "kind")).unwrap_or_default();
            places.table(id, &span, table);
            let mut seen: Vec<&str> = Vec::new();
            for (section, span) in tables(table, "section") {
                let kind = word(section, "kind").unwrap_or_default();
                let same = seen.iter().filter(|k| **k == kind).count();
                seen.push(kind);
                let usual = if same == 0 { kind.to_string() } else { format!("{kind}-{}", same + 1) };
                let name = word(section, "id").map_or(usual, str::to_string);
                places.table(&format!("{id}.{name}"), &span, section);
            }
        }
        places
    }

    fn nested(&mut self, name: &str, value: &Value<'_>) {
        let DeValue::Table(table) = value.get_ref() else { return };
        self.table(name, &value.span(), table);
        for (key, inner) in table.iter() {
            if inner.get_ref().is_table() {
                self.nested(&format!("{name}.{}", key.get_ref()), inner);
            }
        }
    }

    fn table(&mut self, owner: &str, span: &Range<usize>, table: &DeTable<'_>) {
        let keys = table.iter().map(|(k, v)| (k.get_ref().to_string(), k.span().start..v.span().end));
        let keys = keys.filter(|(_, r)| r.start < r.end).collect();
        self.list.push(Place { owner: owner.to_string(), span: span.clone(), keys });
    }

    /// What a problem is about: the setting whose text it points into, the setting that its table lacks, or the table.
    pub fn about(&self, problem: &Problem, known: &dyn Fn(&str) -> bool) -> About {
        let Some(span) = &problem.span else { return About::Whole };
        let path = |owner: &str, key: &str| if owner.is_empty() { key.to_string() } else { format!("{owner}.{key}") };
        // Tables within tables come later in the list: the innermost counts.
        let inside = self.list.iter().rev().find_map(|place| {
            let within = |r: &Range<usize>| r.start <= span.start && span.start < r.end;
            let key = place.keys.iter().find(|(k, r)| within(r) && known(&path(&place.owner, k)))?;
            Some(path(&place.owner, &key.0))
        });
        if let Some(found) = inside {
            return About::Setting(found);
        }
        let holder = self.list.iter().find(|p| p.span == *span || !p.owner.is_empty() && p.span.contains(&span.start));
        match holder {
            Some(place) => {
                let lacking = problem.message.split('`').skip(1).step_by(2).map(|key| path(&place.owner, key));
                match lacking.into_iter().find(|p| known(p)) {
                    Some(found) => About::Setting(found),
                    None if place.owner.is_empty() => About::Whole,
                    None => About::Table(place.owner.clone()),
                }
            }
            None => About::Whole,
        }
    }
}

fn word<'t>(table: &'t DeTable<'_>, key: &str) -> Option<&'t str> {
    table.get(key).and_then(|v| v.get_ref().as_str())
}

fn tables<'t, 'i>(table: &'t DeTable<'i>, name: &str) -> Vec<(&'t DeTable<'i>, Range<usize>)> {
    let items = table.get(name).and_then(|v| v.get_ref().as_array());
    let one = |item: &'t Value<'i>| item.get_ref().as_table().map(|t| (t, item.span()));
    items.into_iter().flat_map(|a| a.iter()).filter_map(one).collect()
}
