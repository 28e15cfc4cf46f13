//! The scenario that all variants start from.

use sim_core::plant::Plant;
use sim_core::problem::{Problems, Severity};
use sim_core::registry::Registry;
use washgraph_model::scenario::{Opened, build};
use washgraph_model::variant::{PathError, Settable, SettingPath, settables, with};

/// A scenario that has been read and built, and the kinds that it was built with.
pub struct Base<'r> {
    /// The kinds.
    pub registry: &'r Registry,
    /// Its text.
    pub opened: Opened,
    /// Its plant.
    pub plant: Plant,
    /// Its settable paths.
    pub list: Vec<Settable>,
}

/// One change: where, and to what.
pub type Change = (SettingPath, String);

impl<'r> Base<'r> {
    /// A scenario that has been read and built.
    pub fn of(registry: &'r Registry, opened: Opened, plant: Plant) -> Result<Base<'r>, PathError> {
        let list = settables(&opened, registry)?;
        Ok(Base { registry, opened, plant, list })
    }

    /// A path of this scenario.
    pub fn find(&self, text: &str) -> Result<SettingPath, PathError> {
        SettingPath::among(text, &self.list)
    }

    /// What holds at a path: as given, or the usual value.
    pub fn in_force(&self, path: &str) -> Option<&str> {
        self.list.iter().find(|s| s.path == path).and_then(Settable::in_force)
    }

    /// The plant with some changes; the error says in words what prevents it.
    pub fn variant(&self, changes: &[Change]) -> Result<Plant, String> {
        let opened = with(&self.opened, changes).map_err(|e| one_line(&e.message, &e.help))?;
        let mut problems = Problems::default();
        build(&opened, self.registry, &mut problems).ok_or_else(|| {
            let errors = problems.in_order().into_iter().filter(|p| p.severity == Severity::Error);
            errors.map(|p| one_line(&p.message, &p.help)).collect::<Vec<_>>().join("; ")
        })
    }

    /// Stage or section ids of a kind, as owners of paths, in the order of the scenario.
    pub fn owners_of_kind(&self, kind: &str) -> Vec<String> {
        let mut owners: Vec<String> = self.list.iter().filter(|s| s.kind == kind).map(|s| s.owner.clone()).collect();
        owners.dedup();
        owners
    }
}

fn one_line(message: &str, help: &str) -> String {
    if help.is_empty() { message.to_string() } else { format!("{message} ({help})") }
}
