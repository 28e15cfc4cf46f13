//! Every settable path of a scenario.

use toml_edit::{DocumentMut, Item, TableLike};

use super::edit::{read_document, table_at, typed_text, value_in};
use super::path::{PathError, Place};
use super::rows::listed;
use crate::money::settings::{HOURLY_COST, MACHINE_SETTINGS, VOLUME_COST, WHOLE_COST};
use crate::scenario::{Opened, TABLES};
use sim_core::lever::Lever;
use sim_core::quantity::{UnitChoice, show};
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Preset, Setting};

/// A setting that can be changed by its path.
#[derive(Debug, Clone)]
pub struct Settable {
    /// Its path, e.g. `drum.screen.hole`.
    pub path: String,
    /// Other spellings of it: `money.cost[2].amount`, and with the name as typed in place of `money.cost.fuel-truck.amount`.
    pub also: Vec<String>,
    /// The table that holds it, e.g. `drum.screen`; empty for the scenario itself.
    pub owner: String,
    /// Kind of that table, e.g. `screen`; empty for the scenario and the ground.
    pub kind: String,
    /// The setting: meaning, what may be typed, range.
    pub setting: Setting,
    /// How it may be moved, where its kind or its table says so.
    pub lever: Option<Lever>,
    /// What the scenario says, of a spread the middle; `None` when it says nothing.
    pub given: Option<String>,
    /// Low, mid and high, when the scenario gives a spread.
    pub spread: Option<[String; 3]>,
    /// What holds when the scenario says nothing: the usual value, or the middle of the usual spread.
    pub usual: Option<String>,
    pub(super) place: Place,
}

impl Settable {
    /// What holds now: what the scenario says, or else the usual value.
    pub fn in_force(&self) -> Option<&str> {
        self.given.as_deref().or(self.usual.as_deref())
    }
}

/// Lists every setting of a scenario that can be changed by its path, in the order of the scenario, the given ones and
/// those that stand at their usual value. Sub-tables and lists that
/// their owner reads itself (sieves, pans, wires) are not among them.
pub fn settables(opened: &Opened, registry: &Registry) -> Result<Vec<Settable>, PathError> {
    let document = read_document(opened)?;
    let units = match document.get("units").and_then(Item::as_str) {
        Some("metric") => UnitChoice::Metric,
        Some("imperial") => UnitChoice::Imperial,
        _ => UnitChoice::Us,
    };
    let mut all = Lister { list: Vec::new(), units };
    for table in TABLES {
        if table.name.starts_with("money") && document.get("money").is_none() {
            continue;
        }
        let place = Place::Table(table.name);
        all.table(table.name, ("", table.settings, table.levers), table_at(&document, &place), &place);
    }
    money_lists(&document, &mut all);
    stages(&document, registry, &mut all);
    for (i, table) in tables_of(document.get("water")).into_iter().enumerate() {
        if let Some(kind) = registry.outlets().iter().find(|k| Some(k.name) == word(table, "kind")) {
            let id = word(table, "id").unwrap_or(kind.name);
            all.table(id, (kind.name, kind.settings, kind.levers), Some(table), &Place::InList("water", i));
        }
    }
    Ok(all.list)
}

fn stages(document: &DocumentMut, registry: &Registry, all: &mut Lister) {
    for (i, table) in tables_of(document.get("stage")).into_iter().enumerate() {
        let Some(kind) = registry.stages().iter().find(|k| Some(k.name) == word(table, "kind")) else { continue };
        let id = word(table, "id").unwrap_or(kind.name);
        all.table(id, (kind.name, kind.settings, kind.levers), Some(table), &Place::InList("stage", i));
        let mut seen: Vec<&str> = Vec::new();
        for (s, table) in tables_of(table.get("section")).into_iter().enumerate() {
            let Some(kind) = registry.sections().iter().find(|k| Some(k.name) == word(table, "kind")) else { continue };
            // A second section of a kind is called `screen-2` unless it has a name of its own.
            let same = seen.iter().filter(|k| **k == kind.name).count();
            seen.push(kind.name);
            let usual = if same == 0 { kind.name.to_string() } else { format!("{}-{}", kind.name, same + 1) };
            let section = word(table, "id").map_or(usual, str::to_string);
            let of = (kind.name, kind.settings, kind.levers);
            all.table(&format!("{id}.{section}"), of, Some(table), &Place::Section(i, s));
        }
    }
}

/// Machines and costs of the owner, each by its name in small letters with dashes (`money.cost.fuel-truck.amount`), or by its
/// number in the list, counted from 1 (`money.cost[2].amount`).
fn money_lists(document: &DocumentMut, all: &mut Lister) {
    for (list, key) in [("money.machine", "machine"), ("money.cost", "cost")] {
        let item = document.get("money").and_then(|m| m.get(key));
        let mut taken: Vec<String> = Vec::new();
        for (i, table) in tables_of(item).into_iter().enumerate() {
            let settings = match (key, word(table, "basis")) {
                ("machine", _) => MACHINE_SETTINGS,
                (_, Some("per hour")) => HOURLY_COST,
                (_, Some("per loose volume" | "per bank volume")) => VOLUME_COST,
                _ => WHOLE_COST,
            };
            let name = word(table, "name").unwrap_or(key);
            let mut short = dashed(name);
            if taken.contains(&short) {
                short = format!("{short}-{}", i + 1);
            }
            let also = [format!("{list}[{}]", i + 1), format!("{list}.{name}")];
            all.named(&format!("{list}.{short}"), &also, (key, settings, &[]), Some(table), &Place::InList(list, i));
            taken.push(short);
        }
    }
}

/// A name as a part of a path: small letters and digits, a dash for all else.
fn dashed(name: &str) -> String {
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    words.map(str::to_lowercase).collect::<Vec<_>>().join("-")
}

/// The tables of a list, whether written `[[name]]` or as an array of inline tables.
pub(super) fn tables_of(item: Option<&Item>) -> Vec<&dyn TableLike> {
    match item {
        Some(Item::ArrayOfTables(list)) => list.iter().map(|t| t as &dyn TableLike).collect(),
        Some(Item::Value(toml_edit::Value::Array(list))) => {
            list.iter().filter_map(|v| v.as_inline_table()).map(|t| t as &dyn TableLike).collect()
        }
        _ => Vec::new(),
    }
}

fn word<'t>(table: &'t dyn TableLike, key: &str) -> Option<&'t str> {
    table.get(key).and_then(Item::as_str)
}

/// Name of a kind (empty for a table without one), its settings and its levers.
type Declared<'d> = (&'d str, &'d [Setting], &'d [Lever]);

struct Lister {
    list: Vec<Settable>,
    units: UnitChoice,
}

impl Lister {
    fn table(&mut self, owner: &str, of: Declared<'_>, table: Option<&dyn TableLike>, place: &Place) {
        self.named(owner, &[], of, table, place);
    }

    /// The same for a table that has other names as well.
    fn named(
        &mut self,
        owner: &str,
        also: &[String],
        (kind, settings, levers): Declared<'_>,
        table: Option<&dyn TableLike>,
        place: &Place,
    ) {
        for setting in settings.iter().filter(|s| s.kind != Kind::Nested) {
            let path = if owner.is_empty() { setting.key.to_string() } else { format!("{owner}.{}", setting.key) };
            let item = table.and_then(|t| value_in(t, setting.key));
            let spread = item.and_then(spread_of);
            let given = match &spread {
                Some([_, mid, _]) => Some(mid.clone()),
                None => item.and_then(|i| typed_text(i).or_else(|| listed(i))),
            };
            self.list.push(Settable {
                path,
                also: also.iter().map(|a| format!("{a}.{}", setting.key)).collect(),
                owner: owner.to_string(),
                kind: kind.to_string(),
                setting: *setting,
                lever: levers.iter().find(|l| l.key == setting.key).copied(),
                given,
                spread,
                usual: self.usual(setting, table, settings),
                place: place.clone(),
            });
        }
    }

    fn usual(&self, setting: &Setting, table: Option<&dyn TableLike>, settings: &[Setting]) -> Option<String> {
        match setting.preset {
            Preset::SpreadBy { unless, .. } if unless.iter().any(|k| table.is_some_and(|t| t.get(k).is_some())) => None,
            Preset::SpreadBy { key, make, .. } => {
                let preset = settings.iter().find(|s| s.key == key).and_then(|s| match s.preset {
                    Preset::Text(text) => Some(text),
                    _ => None,
                });
                let word = table.and_then(|t| word(t, key)).or(preset).unwrap_or("");
                Some(show(make(word).ok()?.middle(), setting.dimension()?, self.units))
            }
            Preset::Text(text) => Some(text.to_string()),
            Preset::Spread(make) => {
                let middle = make().ok()?.middle();
                Some(show(middle, setting.dimension()?, self.units))
            }
            Preset::Required | Preset::Absent => None,
        }
    }
}

/// Low, mid and high of a value that is a spread.
pub(super) fn spread_of(item: &Item) -> Option<[String; 3]> {
    let table = item.as_table_like()?;
    let part = |key| table.get(key).and_then(typed_text);
    Some([part("low")?, part("mid")?, part("high")?])
}
