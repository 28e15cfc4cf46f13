//! One expectation as read from its file, and what may be wrong with it.

use std::path::Path;

use sim_core::quantity::parse;
use sim_core::registry::Registry;
use toml_edit::{DocumentMut, Item, TableLike};

use crate::words::{Way, Words, dimension_of, setting_of};

/// What an expert says of a plant.
pub struct Expectation {
    file: DocumentMut,
}

/// Names of the TOML files of a folder, in order, without their ending.
pub fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("folder").map(|e| e.expect("file").path());
    let mut names: Vec<String> = entries
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .filter_map(|p| p.file_stem().and_then(|s| s.to_str()).map(str::to_string))
        .collect();
    names.sort();
    names
}

/// The text or number at a key, as typed; the middle of a spread.
fn typed(table: &dyn TableLike, key: &str) -> Option<String> {
    let item = table.get(key)?;
    let item = item.as_table_like().and_then(|spread| spread.get("mid")).unwrap_or(item);
    item.as_str().map(str::to_string).or_else(|| item.as_integer().map(|n| n.to_string())).or_else(|| {
        let number = item.as_float()?;
        Some(number.to_string())
    })
}

/// The values of a setting in all parts of a kind: stages, sections of the drum, outlets.
fn values(plant: &DocumentMut, kind: &str, key: &str) -> Vec<String> {
    let mut found = Vec::new();
    for list in ["stage", "water"] {
        for table in plant.get(list).and_then(Item::as_array_of_tables).into_iter().flatten() {
            let sections = table.get("section").and_then(Item::as_array_of_tables).into_iter().flatten();
            for part in std::iter::once(table).chain(sections) {
                if part.get("kind").and_then(Item::as_str) == Some(kind) {
                    found.extend(typed(part, key));
                }
            }
        }
    }
    found
}

impl Expectation {
    /// Reads the file of one plant.
    pub fn read(path: &Path) -> Result<Expectation, String> {
        let text = std::fs::read_to_string(path).map_err(|why| why.to_string())?;
        Ok(Expectation { file: text.parse::<DocumentMut>().map_err(|why| why.to_string())? })
    }

    fn at(&self, path: &str) -> Option<&Item> {
        path.split('.').try_fold(self.file.as_item(), |item, key| item.get(key))
    }

    fn text(&self, path: &str) -> &str {
        self.at(path).and_then(Item::as_str).unwrap_or_default().trim()
    }

    fn list(&self, path: &str) -> Vec<&str> {
        let array = self.at(path).and_then(Item::as_array);
        array.map(|a| a.iter().filter_map(|v| v.as_str()).collect()).unwrap_or_default()
    }

    /// Whether it says that without prices nothing can be said of money.
    pub fn says_no_prices(&self) -> bool {
        self.text("money.says") == "no-prices"
    }

    /// What it leaves out, or says without a reason.
    pub fn gaps(&self) -> Vec<String> {
        let mut gaps = Vec::new();
        for path in ["trouble", "first", "doubt", "next.first", "money.says"] {
            if self.text(path).is_empty() {
                gaps.push(format!("`{path}` is missing"));
            }
        }
        for path in ["also", "wrong", "next.also", "limits.broken"] {
            if self.at(path).and_then(Item::as_array).is_none() {
                gaps.push(format!("`{path}` is missing; an empty list says none"));
            }
        }
        for path in ["why", "hole.why", "next.why", "limits.why", "money.why"] {
            let why = self.text(path);
            if !["physics: ", "practice: "].iter().any(|from| why.len() > from.len() && why.starts_with(from)) {
                gaps.push(format!("`{path}` does not say whether it is physics or practice"));
            }
        }
        if self.at("hole.leave_present").and_then(Item::as_bool).is_none() {
            gaps.push("`hole.leave_present` is missing".into());
        }
        if self.list("wrong").is_empty() {
            gaps.push("`wrong` names no first change that would be wrong: then anything would do".into());
        }
        gaps
    }

    /// Words that no list has, and changes that it calls both right and wrong.
    pub fn unknown_words(&self, words: &Words) -> Vec<String> {
        let first = [self.text("first")];
        let right: Vec<&str> = first.into_iter().chain(self.list("also")).collect();
        let wrong = self.list("wrong");
        let mut faults: Vec<String> = right
            .iter()
            .chain(&wrong)
            .filter(|w| !words.changes.contains_key(**w))
            .map(|w| format!("no change is called `{w}`"))
            .collect();
        faults.extend(right.iter().filter(|w| wrong.contains(w)).map(|w| format!("`{w}` is both right and wrong")));
        let grouped = [
            ("measure", [vec![self.text("next.first")], self.list("next.also")].concat()),
            ("limit", self.list("limits.broken")),
            ("money", vec![self.text("money.says")]),
        ];
        for (group, used) in grouped {
            faults.extend(used.iter().filter(|w| !words.has(group, w)).map(|w| format!("no {group} is called `{w}`")));
        }
        faults
    }

    /// Low and high end of a range, in SI.
    fn range(&self, path: &str, registry: &Registry, kind: &str, key: &str) -> Result<(f64, f64), String> {
        let dimension = setting_of(registry, kind, key).and_then(dimension_of);
        let dimension = dimension.ok_or_else(|| format!("`{kind}.{key}` is no quantity"))?;
        match self.list(path).as_slice() {
            [low, high] => {
                let si = |text: &str| parse(text, dimension).map(|p| p.si).map_err(|why| format!("`{path}`: {why}"));
                let (low, high) = (si(low)?, si(high)?);
                if low < high { Ok((low, high)) } else { Err(format!("`{path}` does not rise")) }
            }
            _ => Err(format!("`{path}` is no range of two")),
        }
    }

    /// Values of a setting in the plant, in SI.
    fn present(plant: &DocumentMut, registry: &Registry, kind: &str, key: &str) -> Vec<f64> {
        let Some(dimension) = setting_of(registry, kind, key).and_then(dimension_of) else { return Vec::new() };
        values(plant, kind, key).iter().filter_map(|text| parse(text, dimension).ok()).map(|p| p.si).collect()
    }

    /// A plate that may stay lies in the range of those that are as good, and one that must go does not.
    pub fn hole_misfits(&self, plant: &DocumentMut, registry: &Registry) -> Vec<String> {
        let (low, high) = match self.range("hole.as_good", registry, "screen", "hole") {
            Ok(range) => range,
            Err(why) => return vec![why],
        };
        let holes = Self::present(plant, registry, "screen", "hole");
        let inside = !holes.is_empty() && holes.iter().all(|hole| (low..=high).contains(hole));
        let leave = self.at("hole.leave_present").and_then(Item::as_bool);
        if leave == Some(inside) {
            Vec::new()
        } else {
            vec![format!("holes {holes:?} m, as good {low} to {high}, leave: {leave:?}")]
        }
    }

    /// The first change leads from what is typed in the plant to another value, the way that its word says.
    pub fn first_change_misfits(&self, plant: &DocumentMut, registry: &Registry, words: &Words) -> Vec<String> {
        let Some(change) = words.changes.get(self.text("first")) else { return vec!["no first change".into()] };
        let (Some(kind), Some(key), Some(way @ (Way::Up | Way::Down))) = (&change.kind, &change.setting, change.way)
        else {
            return match self.at("to") {
                Some(_) => vec!["`to` is given, and the first change moves no quantity".into()],
                None => Vec::new(),
            };
        };
        let (low, high) = match self.range("to", registry, kind, key) {
            Ok(range) => range,
            Err(why) => return vec![why],
        };
        let from = Self::present(plant, registry, kind, key);
        let moves = |from: f64| if way == Way::Down { from > high } else { from < low };
        if from.iter().any(|from| moves(*from)) {
            Vec::new()
        } else {
            vec![format!("`{kind}.{key}` is {from:?} and should go {way:?} to {low} to {high}")]
        }
    }
}
