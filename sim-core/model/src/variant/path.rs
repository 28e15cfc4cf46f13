//! A checked path to a setting.

use super::list::{Settable, settables};
use crate::scenario::Opened;
use sim_core::problem::did_you_mean;
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Setting};

/// What is wrong with a path or with changing what stands there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct PathError {
    /// What is wrong, as a lowercase fragment in plain words.
    pub message: String,
    /// What would be right; may be empty.
    pub help: String,
}

impl PathError {
    pub(super) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        PathError { message: message.into(), help: help.into() }
    }
}

/// Where a table stands in the text of a scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Place {
    /// A table at the top of the scenario by its dotted name; empty for the scenario itself.
    Table(&'static str),
    /// Number in the list `[[name]]`, which may stand in a table: `money.cost`.
    InList(&'static str, usize),
    /// Section of a stage: number of the stage, number of the section.
    Section(usize, usize),
}

/// Which value of a setting is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    /// The setting as a whole; of a spread the middle, with which low and high move along.
    Whole,
    /// One end, or the middle, of a spread, alone.
    Part(&'static str),
}

/// A path that leads to a setting of a scenario.
#[derive(Debug, Clone)]
pub struct SettingPath {
    text: String,
    setting: Setting,
    pub(super) place: Place,
    pub(super) which: Which,
}

impl SettingPath {
    /// Finds a path in a scenario. `drum.screen.hole` is the setting `hole` of the section `screen` of the stage `drum`;
    /// `spray.holes` a setting of the water outlet `spray`; `hopper.rate.low` the low end of a spread;
    /// `money.cost.fuel-truck.amount` or `money.cost[2].amount` a setting of a table in a list.
    pub fn find(text: &str, opened: &Opened, registry: &Registry) -> Result<SettingPath, PathError> {
        SettingPath::among(text, &settables(opened, registry)?)
    }

    /// Finds a path among the settable ones of a scenario.
    pub fn among(text: &str, list: &[Settable]) -> Result<SettingPath, PathError> {
        let typed = text.trim();
        let find = |path: &str| list.iter().find(|s| s.path == path || s.also.iter().any(|a| a == path));
        if let Some(found) = find(typed) {
            return Ok(SettingPath::of(found));
        }
        if let Some((start, end)) = typed.rsplit_once('.')
            && let Some(part) = ["low", "mid", "high"].into_iter().find(|p| *p == end)
            && let Some(found) = find(start)
        {
            return match (found.setting.kind, &found.spread) {
                (Kind::Quantity(_), Some(_)) => Ok(SettingPath { which: Which::Part(part), ..SettingPath::of(found) }),
                (Kind::Quantity(_), None) => Err(PathError::new(
                    format!("`{start}` has no spread in the scenario, so no `{part}`"),
                    format!("set `{start}` itself, e.g. to {{ low = \"..\", mid = \"..\", high = \"..\" }}"),
                )),
                _ => Err(PathError::new(format!("`{start}` is one known value, not a spread"), "")),
            };
        }
        Err(unknown(typed, list))
    }

    pub(super) fn of(found: &Settable) -> SettingPath {
        SettingPath {
            text: found.path.clone(),
            setting: found.setting,
            place: found.place.clone(),
            which: Which::Whole,
        }
    }

    /// The path as typed.
    pub fn text(&self) -> String {
        match self.which {
            Which::Whole => self.text.clone(),
            Which::Part(part) => format!("{}.{part}", self.text),
        }
    }

    /// The setting that it leads to.
    pub fn setting(&self) -> &Setting {
        &self.setting
    }

    /// The table that holds the setting, e.g. `drum.screen`; empty for the scenario itself.
    pub fn owner(&self) -> &str {
        self.text.rsplit_once('.').map_or("", |(owner, _)| owner)
    }
}

/// The error for a path that leads nowhere, with the nearest that does.
fn unknown(typed: &str, list: &[Settable]) -> PathError {
    if typed.is_empty() {
        return PathError::new("no setting is named", "write its path, e.g. drum.slope");
    }
    let (owner, key) = typed.rsplit_once('.').unwrap_or(("", typed));
    let here: Vec<&str> = list.iter().filter(|s| s.owner == owner).map(|s| s.setting.key).collect();
    if !owner.is_empty() && !here.is_empty() {
        let help = match did_you_mean(key, here.iter().copied()) {
            Some(near) => format!("did you mean `{owner}.{near}`?"),
            None => format!("it has: {}", here.join(", ")),
        };
        return PathError::new(format!("`{owner}` has no setting `{key}`"), help);
    }
    if let Some((name, _)) = owner.split_once('[') {
        let mut there: Vec<&str> = list
            .iter()
            .map(|s| s.owner.as_str())
            .filter(|o| o.strip_prefix(name).is_some_and(|r| r.starts_with('.')))
            .collect();
        there.dedup();
        if !there.is_empty() {
            return PathError::new(
                format!("there is no `{owner}` with a setting `{key}`"),
                format!("the list has {}, counted from 1: {}", there.len(), there.join(", ")),
            );
        }
    }
    let mut owners: Vec<&str> = list.iter().map(|s| s.owner.as_str()).filter(|o| !o.is_empty()).collect();
    owners.dedup();
    // A key typed without its table: say where it is to be found.
    let homes: Vec<&str> = list.iter().filter(|s| s.setting.key == key).map(|s| s.path.as_str()).take(4).collect();
    let help = if !homes.is_empty() {
        format!("did you mean `{}`?", homes.join("` or `"))
    } else if owner.is_empty() {
        match did_you_mean(key, list.iter().map(|s| s.path.as_str())) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("tables here: {}; a path is table.setting, e.g. drum.slope", owners.join(", ")),
        }
    } else {
        match did_you_mean(owner, owners.iter().copied()) {
            Some(near) => format!("did you mean `{near}.{key}`?"),
            None => format!("tables here: {}", owners.join(", ")),
        }
    };
    let what = if owner.is_empty() { "there is no setting" } else { "nothing in the scenario has the path" };
    PathError::new(format!("{what} `{typed}`"), help)
}
