//! The text of a scenario with a design's changes. Comments and layout stay.

use sim_core::quantity::{like, parse};
use sim_core::registry::Registry;
use sim_core::setting::Kind;
use washgraph_model::scenario::Opened;
use washgraph_model::variant::{Settable, SettingPath, settables, with, without};

use crate::page::design::{Changes, Design};
use crate::page::sieve;

/// Something about one field: its path, what is wrong, what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Complaint {
    pub path: String,
    pub message: String,
    pub help: String,
}

/// A setting that moves along with a changed one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Along {
    /// Path of the changed one.
    pub leader: String,
    /// Its own path.
    pub path: String,
    /// Its value.
    pub text: String,
}

/// A scenario with a design's changes made in it.
pub(super) struct Edited {
    pub opened: Opened,
    /// Its settings after the changes.
    pub list: Vec<Settable>,
    /// Its settings as they stand in the file.
    pub file_list: Vec<Settable>,
    /// Changes that could not be made.
    pub complaints: Vec<Complaint>,
    /// Settings that moved along with a changed one.
    pub along: Vec<Along>,
}

/// Ends of a spread in the paths of a form.
const ENDS: [&str; 2] = [".low", ".high"];

/// Makes the changes of a design. `Err` when the file itself cannot be read as a scenario at all.
pub(super) fn edited(file: Opened, design: &Design, registry: &Registry) -> Result<Edited, (Opened, String)> {
    let file_list = match settables(&file, registry) {
        Ok(list) => list,
        Err(error) => return Err((file, error.message)),
    };
    let mut opened = file;
    let mut complaints = Vec::new();
    let along = moved_along(&file_list, &design.changes);
    let with_it = along.iter().map(|a| (&a.path, &a.text));
    for (path, text) in design.changes.iter().map(|(p, t)| (p, t)).chain(with_it) {
        let changed = if path == sieve::PATH {
            sieve::put(&opened, text)
        } else if ENDS.iter().any(|e| path.ends_with(e)) && !has_spread(&file_list, path) {
            continue;
        } else {
            one(&opened, path, &with_ends(path, text, &design.changes, &file_list), &file_list)
        };
        match changed {
            Ok(next) => opened = next,
            Err((message, help)) => complaints.push(Complaint { path: path.clone(), message, help }),
        }
    }
    for (path, _) in &design.changes {
        complaints.extend(lone_end(path, &design.changes, &file_list));
    }
    let list = settables(&opened, registry).unwrap_or_else(|_| file_list.clone());
    Ok(Edited { opened, list, file_list, complaints, along })
}

/// What keeps its ratio to a changed setting, unless it is changed itself: a plate with wider holes at the old pitch would be
/// another plate, and in the end no plate at all.
pub(super) fn moved_along(file_list: &[Settable], changes: &Changes) -> Vec<Along> {
    let mut list = Vec::new();
    for (leader, text) in changes {
        let Some(at) = found(file_list, leader) else { continue };
        for key in at.lever.map_or(&[][..], |l| l.follows) {
            let path = format!("{}.{key}", at.owner);
            list.extend(found(file_list, &path).filter(|_| !changes.iter().any(|(p, _)| *p == path)).and_then(
                |follower| {
                    let read =
                        |s: &Settable, text: &str| parse(text, s.setting.dimension()?).ok().filter(|p| p.si > 0.0);
                    let (old, own) = (read(at, at.given.as_deref()?)?, read(follower, follower.given.as_deref()?)?);
                    let new = read(at, text)?;
                    let text = like(own.si / old.si * new.si, follower.setting.dimension()?, &new);
                    Some(Along { leader: leader.clone(), path, text })
                },
            ));
        }
    }
    list
}

/// The changes without those of settings that only keep their ratio to another.
pub(super) fn leading(list: &[Settable], changes: &Changes) -> Changes {
    let follows = |path: &str| {
        let (owner, key) = path.rsplit_once('.').unwrap_or(("", path));
        list.iter().any(|s| s.owner == owner && s.lever.is_some_and(|l| l.follows.contains(&key)))
    };
    changes.iter().filter(|(path, _)| !follows(path)).cloned().collect()
}

fn one(opened: &Opened, path: &str, text: &str, list: &[Settable]) -> Result<Opened, (String, String)> {
    let plain = |e: washgraph_model::variant::PathError| (e.message, e.help);
    let at = SettingPath::among(path, list).map_err(plain)?;
    if text.trim().is_empty() {
        without(opened, &at).map_err(plain)
    } else {
        with(opened, &[(at, text.to_string())]).map_err(plain)
    }
}

fn found<'l>(list: &'l [Settable], path: &str) -> Option<&'l Settable> {
    list.iter().find(|s| s.path == path)
}

fn base_of(path: &str) -> &str {
    ENDS.iter().find_map(|e| path.strip_suffix(e)).unwrap_or(path)
}

fn has_spread(list: &[Settable], path: &str) -> bool {
    found(list, base_of(path)).is_some_and(|s| s.spread.is_some())
}

fn typed<'c>(changes: &'c Changes, path: &str) -> Option<&'c str> {
    changes.iter().find(|(p, _)| p == path).map(|(_, v)| v.trim()).filter(|v| !v.is_empty())
}

/// A single value becomes a spread when both ends are typed beside it.
fn with_ends(path: &str, text: &str, changes: &Changes, list: &[Settable]) -> String {
    let may = found(list, path).is_some_and(|s| matches!(s.setting.kind, Kind::Quantity(_)) && s.spread.is_none());
    let end = |e| typed(changes, &format!("{path}{e}"));
    match (may && !text.trim().is_empty(), end(ENDS[0]), end(ENDS[1])) {
        (true, Some(low), Some(high)) => {
            let quoted = |t: &str| toml::Value::String(t.trim().to_string()).to_string();
            format!("{{ low = {}, mid = {}, high = {} }}", quoted(low), quoted(text), quoted(high))
        }
        _ => text.to_string(),
    }
}

/// One end of a spread without the other, or without a middle, says too little.
fn lone_end(path: &str, changes: &Changes, list: &[Settable]) -> Option<Complaint> {
    let base = base_of(path);
    if base == path || has_spread(list, path) || typed(changes, path).is_none() {
        return None;
    }
    let whole = typed(changes, base).is_some() && ENDS.iter().all(|e| typed(changes, &format!("{base}{e}")).is_some());
    (!whole).then(|| Complaint {
        path: base.to_string(),
        message: "a spread needs its middle and both of its ends".into(),
        help: "type all three, or leave both ends empty for one known value".into(),
    })
}
