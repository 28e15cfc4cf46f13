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

/// The outlets of a scenario, as read.
#[derive(Default)]
pub(super) struct Outlets {
    /// Those that could be read.
    pub(super) nodes: Vec<OutletNode>,
    /// Where each is mounted, those included that could not be read.
    pub(super) mounts: Vec<Mount>,
    /// Pumps with an outlet that could not be read: nothing may be said of what they feed.
    pub(super) half_known: BTreeSet<String>,
}

/// Id of the pump from which an outlet draws that names none: the only one, or the one called so where there are several.
const USUAL_PUMP: &str = "pump";

/// The stages that feed outlets, by id, as they stand in the text.
fn pumps(document: &DeTable<'_>, registry: &Registry) -> Vec<String> {
    let stages = tables(document, "stage", &mut Problems::default());
    let feeds = |word: &str| registry.stages().iter().any(|k| k.name == word && k.feeds_outlets);
    stages
        .into_iter()
        .filter_map(|(table, _)| {
            let kind = word_of(table, "kind").map(|w| w.0).filter(|k| feeds(k))?;
            Some(word_of(table, "id").map_or(kind, |w| w.0).to_string())
        })
        .collect()
}

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
) -> Outlets {
    let mut read = Outlets::default();
    let mut ids = BTreeSet::new();
    let usual_pump = match pumps(document, registry).as_slice() {
        [only] => only.clone(),
        _ => USUAL_PUMP.to_string(),
    };
    for (table, place) in tables(document, "water", problems) {
        let errors_before = problems.error_count();
        let from = word_of(table, "from");
        let pump = from.as_ref().map_or(usual_pump.as_str(), |f| f.0).to_string();
        // Until the outlet stands.
        let known_before = read.half_known.contains(&pump);
        read.half_known.insert(pump.clone());
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
        if problems.error_count() > errors_before {
            read.mounts.push(Mount {
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
        let Some(outlet) = (kind.build)(&mut OutletBuilder { settings: &settings, problems }) else {
            continue;
        };
        if !known_before {
            read.half_known.remove(&pump);
        }
        let fed = outlet.facts().map(|facts| (pump, Fed { id: id.clone(), facts }));
        if let (None, Some((pump, at))) = (&fed, from) {
            problems.error(
                at,
                format!("`{id}` has a pressure or flow of its own and is fed by `{pump}` as well"),
                "take one of the two out: fed by a pump, its pressure and flow are computed",
            );
        }
        read.mounts.push(Mount {
            id: id.clone(),
            kind: kind.name,
            on: on.to_string(),
            place: on_place,
            index: read.nodes.len(),
            fed: fed.clone(),
        });
        read.nodes.push(OutletNode {
            id,
            kind: kind.name,
            on: on.to_string(),
            fed_by: fed.map(|(pump, _)| pump),
            outlet,
        });
    }
    read
}

/// Every outlet must be mounted on a stage, or a section, that there is, of a kind that takes water: elsewhere it would vanish.
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
        if !part.kind.takes_water {
            let takers: Vec<&str> = parts.iter().filter(|p| p.kind.takes_water).map(|p| p.id.as_str()).collect();
            let help = match takers.as_slice() {
                [] => "no stage of this plant does: take the outlet out".to_string(),
                takers => format!("stages that do: {}", takers.join(", ")),
            };
            problems.error(
                mount.place.clone(),
                format!("water outlet `{}` is mounted on `{stage}`, and a {} takes no water", mount.id, part.kind.name),
                help,
            );
            continue;
        }
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
