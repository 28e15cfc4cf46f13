//! Water outlets of a scenario, and what each is mounted on.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::DeTable;

use super::kinds::{kind_of, tables, with_shared, word_of};
use super::named_files::NamedFiles;
use super::understood::rows_of;
use sim_core::draw::InputList;
use sim_core::plant::{OutletNode, Part, Understood};
use sim_core::plumbing::Fed;
use sim_core::problem::{Problems, did_you_mean};
use sim_core::quantity::UnitChoice;
use sim_core::registry::Registry;
use sim_core::setting::{Reader, SpreadMeaning};
use sim_core::stage::OutletBuilder;

/// An outlet's place of mounting, as read.
pub(super) struct Mount {
    pub(super) id: String,
    pub(super) kind: &'static str,
    pub(super) on: String,
    pub(super) place: Range<usize>,
    pub(super) index: usize,
    /// The pump that feeds it, and what the pump is told of it.
    pub(super) fed: Option<(String, Fed)>,
}

/// Id of the pump from which an outlet draws that names none.
const USUAL_PUMP: &str = "pump";

/// Reads every `[[water]]` table; what it is mounted on is checked by [`check_mounts`] once the stages are known.
pub(super) fn read_outlets(
    document: &DeTable<'_>,
    registry: &Registry,
    inputs: &mut InputList,
    problems: &mut Problems,
    meaning: SpreadMeaning,
    units: UnitChoice,
    understood: &mut Vec<Understood>,
    files: &mut NamedFiles<'_>,
) -> (Vec<OutletNode>, Vec<Mount>) {
    let (mut outlets, mut mounts) = (Vec::new(), Vec::new());
    let mut ids = BTreeSet::new();
    for (table, place) in tables(document, "water", problems) {
        let Some(kind) = kind_of(table, &place, "water outlet", registry.outlets(), |k| k.name, problems) else {
            continue;
        };
        let id = word_of(table, "id").map_or(kind.name, |w| w.0).to_string();
        let Some((on, on_place)) = word_of(table, "on") else {
            problems.error(
                place,
                format!("water outlet `{id}` lacks `on`"),
                "say where it is mounted, e.g. on = \"drum.screen\" or on = \"sluice\"",
            );
            continue;
        };
        if !ids.insert(id.clone()) {
            problems.error(place, format!("two water outlets are called `{id}`"), "give each an id of its own");
            continue;
        }
        let declared = with_shared(kind.settings, &["id", "kind", "on", "from"]);
        let mut settings = Reader { inputs, problems, meaning }.read(table, place.clone(), &declared, &id);
        files.read(&mut settings, kind.settings, problems);
        if problems.has_errors() {
            mounts.push(Mount {
                id,
                kind: kind.name,
                on: on.to_string(),
                place: on_place,
                index: usize::MAX,
                fed: None,
            });
            continue;
        }
        understood.push(Understood {
            owner: id.clone(),
            kind: kind.name.into(),
            rows: rows_of(&settings, kind.settings, kind.levers, units),
        });
        if let Some(outlet) = (kind.build)(&mut OutletBuilder { settings: &settings, problems }) {
            let from = word_of(table, "from");
            let fed = outlet.facts().map(|facts| {
                let pump = from.as_ref().map_or(USUAL_PUMP, |f| f.0).to_string();
                (pump, Fed { id: id.clone(), facts })
            });
            if let (None, Some((pump, at))) = (&fed, from) {
                problems.error(
                    at,
                    format!("`{id}` has a pressure or flow of its own and is fed by `{pump}` as well"),
                    "take one of the two out: fed by a pump, its pressure and flow are computed",
                );
            }
            mounts.push(Mount {
                id: id.clone(),
                kind: kind.name,
                on: on.to_string(),
                place: on_place,
                index: outlets.len(),
                fed: fed.clone(),
            });
            outlets.push(OutletNode {
                id,
                kind: kind.name,
                on: on.to_string(),
                fed_by: fed.map(|(pump, _)| pump),
                outlet,
            });
        }
    }
    (outlets, mounts)
}

/// Every outlet must be mounted on a stage, or a section, that there is.
pub(super) fn check_mounts(mounts: &[Mount], parts: &[Part], problems: &mut Problems) {
    for mount in mounts {
        let (stage, section) = match mount.on.split_once('.') {
            Some((stage, section)) => (stage, Some(section)),
            None => (mount.on.as_str(), None),
        };
        let Some(part) = parts.iter().find(|p| p.id == stage) else {
            let help = match did_you_mean(stage, parts.iter().map(|p| p.id.as_str())) {
                Some(word) => format!("did you mean `{word}`?"),
                None => format!("stages: {}", parts.iter().map(|p| p.id.as_str()).collect::<Vec<_>>().join(", ")),
            };
            problems.error(
                mount.place.clone(),
                format!("water outlet `{}` is mounted on `{stage}`, which does not exist", mount.id),
                help,
            );
            continue;
        };
        if let Some(section) = section
            && !part.sections.iter().any(|s| s.id == section)
        {
            let names = part.sections.iter().map(|s| s.id.as_str()).collect::<Vec<_>>().join(", ");
            let help = if names.is_empty() {
                format!("`{stage}` has no sections: write on = \"{stage}\"")
            } else {
                format!("its sections: {names}")
            };
            problems.error(mount.place.clone(), format!("`{stage}` has no section `{section}`"), help);
        }
    }
}
