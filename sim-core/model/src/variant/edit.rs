//! Reading and changing the text of a scenario at a path. Comments, order and layout stay.

use toml_edit::{DocumentMut, InlineTable, Item, TableLike, Value};

use super::list::{spread_of, tables_of};
use super::path::{PathError, Place, SettingPath, Which};
use super::rows::rows;
use super::spread::moved;
use crate::scenario::Opened;
use sim_core::setting::{Kind, Setting};

pub(super) fn read_document(opened: &Opened) -> Result<DocumentMut, PathError> {
    opened.text.parse::<DocumentMut>().map_err(|e| {
        PathError::new(
            format!("the scenario cannot be read: {}", e.message().to_lowercase()),
            "see `washgraph check` for the place",
        )
    })
}

/// What the scenario says at a path; of a spread the middle. `None` when it says nothing there and the usual value holds.
pub fn current(opened: &Opened, path: &SettingPath) -> Option<String> {
    let document = read_document(opened).ok()?;
    let item = value_in(table_at(&document, &path.place)?, path.setting().key)?;
    match (path.which, spread_of(item)) {
        (Which::Whole, None) => typed_text(item),
        (Which::Whole | Which::Part("mid"), Some([_, mid, _])) => Some(mid),
        (Which::Part("low"), Some([low, _, _])) => Some(low),
        (Which::Part(_), Some([_, _, high])) => Some(high),
        (Which::Part(_), None) => None,
    }
}

/// The scenario with these values at these paths. A key that is absent is added to its table. A plain value for a setting
/// that has a spread moves the spread along; `{ low = "..", mid = "..", high = ".." }` replaces it. Whether the values
/// make sense is for [`crate::scenario::build`] to say.
pub fn with(opened: &Opened, changes: &[(SettingPath, String)]) -> Result<Opened, PathError> {
    let mut document = read_document(opened)?;
    for (path, text) in changes {
        let gone = || PathError::new(format!("`{}` does not lead anywhere in this scenario", path.text()), "");
        let table = table_at_mut(&mut document, &path.place).ok_or_else(gone)?;
        change(table, path, text.trim())?;
    }
    Ok(Opened { text: document.to_string(), folder: opened.folder.clone() })
}

/// The scenario without the setting at a path, so that its usual value holds again. One end of a spread cannot be taken
/// out alone.
pub fn without(opened: &Opened, path: &SettingPath) -> Result<Opened, PathError> {
    let mut document = read_document(opened)?;
    if let Some(table) = table_at_mut(&mut document, &path.place)
        && path.which == Which::Whole
    {
        table.remove(path.setting().key);
    }
    Ok(Opened { text: document.to_string(), folder: opened.folder.clone() })
}

fn change(table: &mut dyn TableLike, path: &SettingPath, text: &str) -> Result<(), PathError> {
    let setting = path.setting();
    let old = value_in(table, setting.key);
    if let Some(spread) = old.and_then(spread_of)
        && !text.starts_with('{')
    {
        let parts = match path.which {
            Which::Whole => moved(&spread, text, setting),
            Which::Part(part) => {
                let mut parts = spread;
                let at = ["low", "mid", "high"].iter().position(|p| *p == part).unwrap_or(1);
                if let Some(value) = parts.get_mut(at) {
                    *value = text.to_string();
                }
                parts
            }
        };
        let held = table.get_mut(setting.key).and_then(Item::as_table_like_mut);
        if let Some(held) = held {
            for (key, part) in ["low", "mid", "high"].into_iter().zip(parts) {
                put(held, key, Value::from(part));
            }
        }
        return Ok(());
    }
    put(table, setting.key, value_of(setting, text, &path.text())?);
    Ok(())
}

/// Puts a value at a key; what stands around an old value there (spaces, a comment behind it) stays.
fn put(table: &mut dyn TableLike, key: &str, mut value: Value) {
    match table.get_mut(key) {
        Some(Item::Value(old)) => {
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        _ => {
            table.insert(key, Item::Value(value));
        }
    }
}

/// A typed text as a value of the file: numbers without quotes, switches as true and false, the rest in quotes.
fn value_of(setting: &Setting, text: &str, path: &str) -> Result<Value, PathError> {
    if text.starts_with('{') {
        let table = text.parse::<Value>().ok().and_then(|v| v.as_inline_table().cloned());
        let wrong = || {
            PathError::new(
                format!("`{text}` for `{path}` is not a spread"),
                "write { low = \"..\", mid = \"..\", high = \"..\" }",
            )
        };
        return table.map(|t: InlineTable| Value::InlineTable(t)).ok_or_else(wrong);
    }
    Ok(match setting.kind {
        Kind::Rows(_) => return rows(text, path),
        Kind::Whole => text.replace('_', "").parse::<i64>().map_or_else(|_| Value::from(text.to_string()), Value::from),
        Kind::Switch => match text {
            "true" | "yes" | "on" => Value::from(true),
            "false" | "no" | "off" => Value::from(false),
            _ => {
                return Err(PathError::new(format!("`{path}` is a switch, not `{text}`"), "write true or false"));
            }
        },
        _ => Value::from(text.to_string()),
    })
}

/// What stands at a key, if anything.
pub(super) fn value_in<'t>(table: &'t dyn TableLike, key: &str) -> Option<&'t Item> {
    table.get(key).filter(|item| !item.is_none())
}

/// A simple value as it was typed, without quotes.
pub(super) fn typed_text(item: &Item) -> Option<String> {
    match item.as_value()? {
        Value::String(s) => Some(s.value().clone()),
        Value::Boolean(b) => Some(b.value().to_string()),
        other @ (Value::Integer(_) | Value::Float(_)) => Some(other.to_string().trim().to_string()),
        _ => None,
    }
}

pub(super) fn table_at<'d>(document: &'d DocumentMut, place: &Place) -> Option<&'d dyn TableLike> {
    match place {
        Place::Table(names) => {
            let mut table: &dyn TableLike = document.as_table();
            for name in names.split('.').filter(|n| !n.is_empty()) {
                table = table.get(name)?.as_table_like()?;
            }
            Some(table)
        }
        Place::InList(name, i) => {
            let item = match name.split_once('.') {
                Some((table, list)) => document.get(table)?.get(list),
                None => document.get(name),
            };
            tables_of(item).into_iter().nth(*i)
        }
        Place::Section(stage, i) => {
            let stage = tables_of(document.get("stage")).into_iter().nth(*stage)?;
            tables_of(stage.get("section")).into_iter().nth(*i)
        }
    }
}

/// The same for changing. A table at the top of the scenario that is not there yet is made.
fn table_at_mut<'d>(document: &'d mut DocumentMut, place: &Place) -> Option<&'d mut dyn TableLike> {
    match place {
        Place::Table(names) => {
            let mut table: &mut dyn TableLike = document.as_table_mut();
            for name in names.split('.').filter(|n| !n.is_empty()) {
                table = table.entry(name).or_insert_with(toml_edit::table).as_table_like_mut()?;
            }
            Some(table)
        }
        Place::InList(name, i) => match name.split_once('.') {
            Some((table, list)) => nth_mut(document.get_mut(table)?.get_mut(list)?, *i),
            None => nth_mut(document.get_mut(name)?, *i),
        },
        Place::Section(stage, i) => nth_mut(nth_mut(document.get_mut("stage")?, *stage)?.get_mut("section")?, *i),
    }
}

fn nth_mut(item: &mut Item, i: usize) -> Option<&mut dyn TableLike> {
    match item {
        Item::ArrayOfTables(list) => list.get_mut(i).map(|t| t as &mut dyn TableLike),
        Item::Value(Value::Array(list)) => {
            list.iter_mut().filter_map(|v| v.as_inline_table_mut()).nth(i).map(|t| t as &mut dyn TableLike)
        }
        _ => None,
    }
}
