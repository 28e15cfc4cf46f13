//! Stages of a scenario with their sections.

use std::ops::Range;

use toml::de::DeTable;

use super::kinds::{kind_of, tables, with_shared, word_of};
use super::named_files::NamedFiles;
use super::outlets::Outlets;
use super::understood::rows_of;
use sim_core::draw::InputList;
use sim_core::plant::{Part, Understood};
use sim_core::plumbing::Fed;
use sim_core::problem::Problems;
use sim_core::quantity::UnitChoice;
use sim_core::registry::Registry;
use sim_core::setting::{Reader, Settings, SpreadMeaning};
use sim_core::stage::{Mounted, SectionSettings, StageBuilder};

/// The stages of a scenario, as read.
pub(super) struct Stages {
    /// Those whose kind and id are known.
    pub(super) parts: Vec<Part>,
    /// Whether these are all: what is wired to a stage that could not be told, or mounted on it, is no second mistake.
    pub(super) all: bool,
}

/// Reads every `[[stage]]` table and builds its stage.
pub(super) fn read_stages(
    document: &DeTable<'_>,
    registry: &Registry,
    water: &Outlets,
    inputs: &mut InputList,
    problems: &mut Problems,
    meaning: SpreadMeaning,
    units: UnitChoice,
    understood: &mut Vec<Understood>,
    files: &mut NamedFiles<'_>,
) -> Stages {
    let mut parts: Vec<Part> = Vec::new();
    let mut all = true;
    let list = tables(document, "stage", problems);
    if list.is_empty() {
        problems.error(None, "the scenario has no stages", "add tables [[stage]] with kind = \"hopper\" and so on");
    }
    for (table, place) in list {
        let Some(kind) = kind_of(table, &place, "stage", registry.stages(), |k| k.name, problems) else {
            all = false;
            continue;
        };
        let id = word_of(table, "id").map_or(kind.name, |w| w.0).to_string();
        if id.is_empty() || id == sim_core::plant::TAILINGS || id == "ground" || id.contains(['.', '/', '>', ' ']) {
            problems.error(
                place.clone(),
                format!("`{id}` cannot be the id of a stage"),
                "use letters, digits and dashes; `tailings` and `ground` are taken",
            );
            all = false;
            continue;
        }
        if parts.iter().any(|p| p.id == id) {
            problems.error(
                place.clone(),
                format!("two stages are called `{id}`"),
                "give each an id of its own, e.g. id = \"sluice-2\"",
            );
            all = false;
            continue;
        }
        let errors_before = problems.error_count();
        let declared =
            with_shared(kind.settings, if kind.has_sections { &["id", "kind", "section"] } else { &["id", "kind"] });
        let mut settings = Reader { inputs, problems, meaning }.read(table, place.clone(), &declared, &id);
        files.read(&mut settings, kind.settings, problems);
        understood.push(Understood {
            owner: id.clone(),
            kind: kind.name.into(),
            rows: rows_of(&settings, kind.settings, kind.levers, units),
        });
        let sections = if kind.has_sections {
            let count = tables(table, "section", &mut Problems::default()).len();
            let read = read_sections(table, &id, &place, registry, inputs, problems, meaning, units, understood, files);
            all &= read.len() == count;
            read
        } else {
            Vec::new()
        };
        let mounted: Vec<Mounted> = water
            .mounts
            .iter()
            .filter_map(|m| {
                let (stage, section) = match m.on.split_once('.') {
                    Some((stage, section)) => (stage, Some(section.to_string())),
                    None => (m.on.as_str(), None),
                };
                (stage == id).then(|| Mounted { id: m.id.clone(), kind: m.kind, section, index: m.index })
            })
            .collect();
        let fed: Vec<Fed> =
            water.mounts.iter().filter_map(|m| m.fed.as_ref()).filter(|f| f.0 == id).map(|f| f.1.clone()).collect();
        let mut part =
            Part { id, place, kind, stage: None, measures: Vec::new(), warnings: Vec::new(), sections, mounted };
        // What a pump feeds is not known where an outlet could not be read: its own mistake has been told.
        if problems.error_count() == errors_before && !water.half_known.contains(&part.id) {
            part.stage = (kind.build)(&mut StageBuilder {
                id: &part.id,
                settings: &settings,
                sections: &part.sections,
                mounted: &part.mounted,
                fed: &fed,
                units,
                inputs,
                problems,
                measures: &mut part.measures,
                warnings: &mut part.warnings,
            });
        }
        parts.push(part);
    }
    Stages { parts, all }
}

fn read_sections(
    table: &DeTable<'_>,
    stage: &str,
    place: &Range<usize>,
    registry: &Registry,
    inputs: &mut InputList,
    problems: &mut Problems,
    meaning: SpreadMeaning,
    units: UnitChoice,
    understood: &mut Vec<Understood>,
    files: &mut NamedFiles<'_>,
) -> Vec<SectionSettings> {
    let mut sections: Vec<SectionSettings> = Vec::new();
    let list = tables(table, "section", problems);
    if list.is_empty() {
        problems.error(
            place.clone(),
            format!("`{stage}` has no sections"),
            "add tables [[stage.section]] with kind = \"scrubber\" or \"screen\"",
        );
    }
    for (table, place) in list {
        let Some(kind) = kind_of(table, &place, "section", registry.sections(), |k| k.name, problems) else { continue };
        let same = sections.iter().filter(|s| s.kind.name == kind.name).count();
        let usual = if same == 0 { kind.name.to_string() } else { format!("{}-{}", kind.name, same + 1) };
        let id = word_of(table, "id").map_or(usual, |w| w.0.to_string());
        if sections.iter().any(|s| s.id == id) {
            problems.error(
                place.clone(),
                format!("two sections of `{stage}` are called `{id}`"),
                "give each an id of its own",
            );
            continue;
        }
        let declared = with_shared(kind.settings, &["id", "kind"]);
        let owner = format!("{stage}.{id}");
        let mut settings: Settings = Reader { inputs, problems, meaning }.read(table, place, &declared, &owner);
        files.read(&mut settings, kind.settings, problems);
        understood.push(Understood {
            owner,
            kind: kind.name.into(),
            rows: rows_of(&settings, kind.settings, kind.levers, units),
        });
        sections.push(SectionSettings { id, kind, settings });
    }
    sections
}

/// All outlets draw from one pond: a second one is refused.
pub(super) fn check_ponds(parts: &[Part], problems: &mut Problems) {
    let mut ponds = parts.iter().filter(|p| p.stage.as_ref().is_some_and(|s| s.is_pond()));
    let Some(first) = ponds.next() else { return };
    for second in ponds {
        problems.error(
            second.place.clone(),
            format!("`{}` is a second pond beside `{}`: the water of the outlets comes from one", second.id, first.id),
            "for ponds in a row give their surface together and more `tanks`; bring streams together with a junction",
        );
    }
}
