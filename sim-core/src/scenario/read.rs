//! The scenario as a whole: top-level settings, stages with their sections, water outlets, wires.

use std::collections::BTreeSet;
use std::ops::Range;
use std::path::{Path, PathBuf};

use serde_spanned::Spanned;
use toml::de::{DeTable, DeValue};

use super::ground::{Surroundings, read_ground};
use super::money::read_money;
use super::pumps::{check_middle_case, check_pumps};
use super::sources::Sources;
use super::tuned::open_tuned;
use super::understood::rows_of;
use crate::draw::InputList;
use crate::plant::{Node, OutletNode, Part, Plant, Understood, Wire, wire_up};
use crate::plumbing::{Fed, Line};
use crate::problem::{Problems, did_you_mean};
use crate::quantity::{Dimension, UnitChoice};
use crate::registry::Registry;
use crate::setting::{Kind, Preset, Reader, Setting, Settings, SpreadMeaning};
use crate::stage::{Mounted, OutletBuilder, SectionSettings, StageBuilder};

/// Largest scenario or sample file that is read. A scenario is a few kilobytes; the limit guards against a wrong file.
pub const MOST_BYTES: u64 = 20_000_000;

const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// Settings at the top of a scenario.
pub const SCENARIO_SETTINGS: &[Setting] = &[
    Setting {
        key: "title",
        meaning: "name of the plant and ground",
        kind: Kind::Text,
        preset: Preset::Required,
        range: ANY,
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting {
        key: "question",
        meaning: "the question that this scenario answers",
        kind: Kind::Text,
        preset: Preset::Text(""),
        range: ANY,
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting::choice(
        "units",
        &[
            ("us", "inches, yards, US gallons"),
            ("imperial", "inches, yards, imperial gallons"),
            ("metric", "millimetres, metres, litres"),
        ],
        Preset::Text("us"),
        "units in which results are shown",
    ),
    Setting::choice(
        "spread_means",
        &[
            ("1 in 10", "one run in ten falls below low, one in ten above high"),
            ("limits", "nothing falls outside low and high; mid is the most likely"),
        ],
        Preset::Text("1 in 10"),
        "what low and high of a spread mean",
    ),
    Setting {
        key: "trials",
        meaning: "number of trials",
        kind: Kind::Whole,
        preset: Preset::Text("5000"),
        range: (1.0, 10_000_000.0),
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting {
        key: "seed",
        meaning: "seed of the random numbers",
        kind: Kind::Whole,
        preset: Preset::Text("1"),
        range: (0.0, 9_007_199_254_740_992.0),
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting::usual(
        "period",
        Dimension::Time,
        "10 h",
        (60.0, 3.2e7),
        "running time over which gold is averaged; coarse gold is lumpy over a short one",
    ),
    Setting::optional("season", Dimension::Time, (3600.0, 3.2e7), "hours run in a season"),
    Setting {
        key: "tuned",
        meaning: "tuned file: constants as the plant's own results have them (written by `tune`)",
        kind: Kind::Text,
        preset: Preset::Text(""),
        range: ANY,
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting::nested("ground", "what is known of the ground"),
    Setting::nested("money", "prices and costs"),
    Setting::nested("stage", "the stages, one table each"),
    Setting::nested("water", "the water outlets, one table each"),
    Setting::nested("wires", "which outlet leads to which inlet"),
];

/// A scenario file as read from disk.
#[derive(Debug, Clone)]
pub struct Opened {
    /// Its text.
    pub text: String,
    /// Folder that files named in it are relative to.
    pub folder: PathBuf,
}

/// Reads a scenario file; the error says what is wrong in plain words.
pub fn open(path: &Path) -> Result<Opened, String> {
    let shown = path.display();
    let meta = std::fs::metadata(path).map_err(|e| format!("cannot read {shown}: {e}"))?;
    if meta.is_dir() {
        return Err(format!("{shown} is a folder, not a scenario file"));
    }
    if meta.len() > MOST_BYTES {
        return Err(format!("{shown} has {} bytes; a scenario has a few thousand: is it the right file?", meta.len()));
    }
    let bytes = std::fs::read(path).map_err(|e| format!("cannot read {shown}: {e}"))?;
    let text = String::from_utf8(bytes).map_err(|e| {
        format!("{shown} is not plain text in UTF-8 (byte {}): save it as UTF-8", e.utf8_error().valid_up_to())
    })?;
    Ok(Opened { text, folder: path.parent().map(Path::to_path_buf).unwrap_or_default() })
}

/// Builds the plant of a scenario. Problems are recorded; `None` when any of them prevents the run.
pub fn build(opened: &Opened, registry: &Registry, problems: &mut Problems) -> Option<Plant> {
    let (document, syntax) = DeTable::parse_recoverable(&opened.text);
    if !syntax.is_empty() {
        for error in syntax {
            problems.error(
                error.span(),
                error.message().to_lowercase(),
                "each line is key = value, texts and quantities in quotes",
            );
        }
        return None;
    }
    let whole = 0..opened.text.lines().next().map_or(0, str::len);
    let mut inputs = InputList::default();
    let top = Reader { inputs: &mut inputs, problems, meaning: SpreadMeaning::OneInTen }.read(
        document.get_ref(),
        whole.clone(),
        SCENARIO_SETTINGS,
        "the scenario",
    );
    let meaning = if top.word("spread_means") == "limits" { SpreadMeaning::Limits } else { SpreadMeaning::OneInTen };
    let units = match top.word("units") {
        "metric" => UnitChoice::Metric,
        "imperial" => UnitChoice::Imperial,
        _ => UnitChoice::Us,
    };
    let tuned = open_tuned(top.word("tuned"), top.place("tuned"), &opened.folder, problems);
    let mut sources = match &tuned {
        Some(tuned) => tuned.sources(&opened.text),
        None => Sources::of(&opened.text),
    };
    let mut understood = vec![Understood {
        owner: "scenario".into(),
        kind: String::new(),
        rows: rows_of(&top, SCENARIO_SETTINGS, units),
    }];

    let ground = {
        let mut reader = Reader { inputs: &mut inputs, problems, meaning };
        read_ground(
            document.get_ref(),
            whole.clone(),
            &mut reader,
            top.number("period"),
            &mut Surroundings { folder: &opened.folder, units, sources: &mut sources, understood: &mut understood },
        )
    };
    let money = read_money(
        document.get_ref(),
        &mut Reader { inputs: &mut inputs, problems, meaning },
        units,
        &mut understood,
        top.number("season"),
        top.place("season"),
        ground.as_ref(),
    );
    let (outlets, mounts) =
        read_outlets(document.get_ref(), registry, &mut inputs, problems, meaning, units, &mut understood);
    let mut parts =
        read_stages(document.get_ref(), registry, &mounts, &mut inputs, problems, meaning, units, &mut understood);
    check_mounts(&mounts, &parts, problems);
    check_pumps(&mounts, &parts, problems);
    check_ponds(&parts, problems);
    let (wires, wires_place) = read_wires(document.get_ref(), problems, &whole);
    let wiring = wire_up(&parts, &wires, wires_place, problems);
    if problems.has_errors() {
        return None;
    }
    let (ground, wiring) = (ground?, wiring?);

    let named: Vec<_> = wiring.order.iter().filter_map(|&p| parts.get(p).map(|x| (x.id.clone(), x.kind))).collect();
    let (notes, bases) = Plant::notes_of(&named);
    let mut first_slot = vec![0; parts.len()];
    let mut slots = 0;
    for &p in &wiring.order {
        first_slot[p] = slots;
        slots += parts[p].kind.outlets.len();
    }
    let (mut nodes, mut measures, mut warnings, mut tailings, mut feeds) = (vec![], vec![], vec![], vec![], vec![]);
    let mut lines: Vec<Line> = Vec::new();
    for (k, &p) in wiring.order.iter().enumerate() {
        let part = &mut parts[p];
        let stage = part.stage.take()?;
        let (m, w) = (measures.len(), warnings.len());
        measures.append(&mut part.measures);
        warnings.append(&mut part.warnings);
        feeds.extend(stage.feed_m3_s());
        let line = stage.supply().map(|supply| {
            let fed = |o: &OutletNode| o.fed_by.as_deref() == Some(part.id.as_str());
            let outlets = (0..outlets.len()).filter(|o| outlets.get(*o).is_some_and(fed)).collect();
            lines.push(Line { id: part.id.clone(), supply, outlets });
            lines.len() - 1
        });
        for (o, end) in wiring.ends[p].iter().enumerate() {
            if *end {
                tailings.push((first_slot[p] + o, k));
            }
        }
        nodes.push(Node {
            id: part.id.clone(),
            kind: part.kind,
            stage,
            inlets: wiring.feeds[p].iter().map(|f| f.map(|(q, o)| first_slot[q] + o)).collect(),
            outlets: first_slot[p]..first_slot[p] + part.kind.outlets.len(),
            measures: m..measures.len(),
            warnings: w..warnings.len(),
            line,
            note_base: bases[k],
        });
    }
    if feeds.is_empty() {
        problems.error(whole, "nothing feeds the plant", "add a stage of kind hopper");
        return None;
    }
    if !check_middle_case(&lines, &outlets, &inputs, &ground, &parts, problems) {
        return None;
    }
    let tuned = tuned.and_then(|t| t.put_to(&mut inputs, &ground, problems));
    if problems.has_errors() {
        return None;
    }
    let (sha256, files) = sources.finish();
    Some(Plant {
        title: top.word("title").to_string(),
        question: top.word("question").to_string(),
        units,
        trials: top.number("trials") as u64,
        seed: top.number("seed") as u64,
        season_s: top.maybe("season").unwrap_or_else(|| money.as_ref().map_or(f64::NAN, |m| m.middle_run_s(&inputs))),
        money,
        inputs,
        ground,
        nodes,
        outlets,
        lines,
        notes,
        measures,
        warnings,
        slots,
        tailings,
        feeds,
        wires: wiring.wires,
        understood,
        tuned,
        sha256,
        files,
    })
}

/// An outlet's place of mounting, as read.
pub(super) struct Mount {
    pub id: String,
    kind: &'static str,
    on: String,
    pub place: Range<usize>,
    index: usize,
    /// The pump that feeds it, and what the pump is told of it.
    pub fed: Option<(String, Fed)>,
}

/// The tables of a list `[[name]]`, each with its place.
pub(super) fn tables<'t, 'i>(
    document: &'t DeTable<'i>,
    name: &str,
    problems: &mut Problems,
) -> Vec<(&'t DeTable<'i>, Range<usize>)> {
    let Some((_, value)) = document.iter().find(|(k, _)| k.get_ref() == name) else { return Vec::new() };
    let mut list = Vec::new();
    match value.get_ref() {
        DeValue::Array(items) => {
            for item in items.iter() {
                match item.get_ref() {
                    DeValue::Table(table) => list.push((table, item.span())),
                    _ => problems.error(item.span(), format!("each {name} is a table"), format!("write [[{name}]]")),
                }
            }
        }
        _ => problems.error(
            value.span(),
            format!("`{name}` is a list of tables"),
            format!("write [[{name}]] with two brackets"),
        ),
    }
    list
}

fn word_of<'t>(table: &'t DeTable<'_>, key: &str) -> Option<(&'t str, Range<usize>)> {
    let (_, value) = table.iter().find(|(k, _)| k.get_ref() == key)?;
    value.get_ref().as_str().map(|s| (s, value.span()))
}

/// Reads `kind` and looks it up; unknown kinds are recorded with a suggestion.
fn kind_of<K: Copy>(
    table: &DeTable<'_>,
    place: &Range<usize>,
    what: &str,
    known: &[K],
    name: impl Fn(K) -> &'static str,
    problems: &mut Problems,
) -> Option<K> {
    let names = || known.iter().map(|k| name(*k)).collect::<Vec<_>>();
    let Some((word, at)) = word_of(table, "kind") else {
        problems.error(place.clone(), format!("a {what} lacks its `kind`"), format!("one of: {}", names().join(", ")));
        return None;
    };
    let found = known.iter().copied().find(|k| name(*k) == word);
    if found.is_none() {
        let help = match did_you_mean(word, names()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("known: {}", names().join(", ")),
        };
        problems.error(at, format!("there is no {what} of kind `{word}`"), help);
    }
    found
}

/// Keys that the tables of stages, sections and outlets share.
pub const SHARED: [Setting; 5] = [
    Setting {
        key: "id",
        meaning: "name of your own",
        kind: Kind::Text,
        preset: Preset::Absent,
        range: ANY,
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting {
        key: "kind",
        meaning: "what it is",
        kind: Kind::Text,
        preset: Preset::Absent,
        range: ANY,
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting {
        key: "on",
        meaning: "the stage, or stage.section, that it is mounted on",
        kind: Kind::Text,
        preset: Preset::Absent,
        range: ANY,
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting {
        key: "from",
        meaning: "the pump that feeds it, when no pressure or flow is given",
        kind: Kind::Text,
        preset: Preset::Absent,
        range: ANY,
        nature: crate::draw::Nature::Ignorance,
        source: "",
    },
    Setting::nested("section", "sections of a drum, in order"),
];

/// Id of the pump from which an outlet draws that names none.
const USUAL_PUMP: &str = "pump";

fn with_shared(own: &[Setting], keys: &[&str]) -> Vec<Setting> {
    SHARED.iter().filter(|s| keys.contains(&s.key)).chain(own).copied().collect()
}

fn read_outlets(
    document: &DeTable<'_>,
    registry: &Registry,
    inputs: &mut InputList,
    problems: &mut Problems,
    meaning: SpreadMeaning,
    units: UnitChoice,
    understood: &mut Vec<Understood>,
) -> (Vec<OutletNode>, Vec<Mount>) {
    let (mut outlets, mut mounts) = (Vec::new(), Vec::new());
    let mut ids = BTreeSet::new();
    for (table, place) in tables(document, "water", problems) {
        let Some(kind) = kind_of(table, &place, "water outlet", &registry.outlets, |k| k.name, problems) else {
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
        let settings = Reader { inputs, problems, meaning }.read(table, place.clone(), &declared, &id);
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
            rows: rows_of(&settings, kind.settings, units),
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

fn read_stages(
    document: &DeTable<'_>,
    registry: &Registry,
    mounts: &[Mount],
    inputs: &mut InputList,
    problems: &mut Problems,
    meaning: SpreadMeaning,
    units: UnitChoice,
    understood: &mut Vec<Understood>,
) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let list = tables(document, "stage", problems);
    if list.is_empty() {
        problems.error(None, "the scenario has no stages", "add tables [[stage]] with kind = \"hopper\" and so on");
    }
    for (table, place) in list {
        let Some(kind) = kind_of(table, &place, "stage", &registry.stages, |k| k.name, problems) else { continue };
        let id = word_of(table, "id").map_or(kind.name, |w| w.0).to_string();
        if id.is_empty() || id == crate::plant::TAILINGS || id == "ground" || id.contains(['.', '/', '>', ' ']) {
            problems.error(
                place.clone(),
                format!("`{id}` cannot be the id of a stage"),
                "use letters, digits and dashes; `tailings` and `ground` are taken",
            );
            continue;
        }
        if parts.iter().any(|p| p.id == id) {
            problems.error(
                place.clone(),
                format!("two stages are called `{id}`"),
                "give each an id of its own, e.g. id = \"sluice-2\"",
            );
            continue;
        }
        let errors_before = problems.error_count();
        let declared =
            with_shared(kind.settings, if kind.has_sections { &["id", "kind", "section"] } else { &["id", "kind"] });
        let settings = Reader { inputs, problems, meaning }.read(table, place.clone(), &declared, &id);
        understood.push(Understood {
            owner: id.clone(),
            kind: kind.name.into(),
            rows: rows_of(&settings, kind.settings, units),
        });
        let sections = if kind.has_sections {
            read_sections(table, &id, &place, registry, inputs, problems, meaning, units, understood)
        } else {
            Vec::new()
        };
        let mounted: Vec<Mounted> = mounts
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
            mounts.iter().filter_map(|m| m.fed.as_ref()).filter(|f| f.0 == id).map(|f| f.1.clone()).collect();
        let mut part =
            Part { id, place, kind, stage: None, measures: Vec::new(), warnings: Vec::new(), sections, mounted };
        if problems.error_count() == errors_before {
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
    parts
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
        let Some(kind) = kind_of(table, &place, "section", &registry.sections, |k| k.name, problems) else { continue };
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
        let settings: Settings = Reader { inputs, problems, meaning }.read(table, place, &declared, &owner);
        understood.push(Understood { owner, kind: kind.name.into(), rows: rows_of(&settings, kind.settings, units) });
        sections.push(SectionSettings { id, kind, settings });
    }
    sections
}

fn check_mounts(mounts: &[Mount], parts: &[Part], problems: &mut Problems) {
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

/// All outlets draw from one pond: a second one is refused.
fn check_ponds(parts: &[Part], problems: &mut Problems) {
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

fn read_wires(document: &DeTable<'_>, problems: &mut Problems, whole: &Range<usize>) -> (Vec<Wire>, Range<usize>) {
    let Some((_, value)) = document.iter().find(|(k, _)| k.get_ref() == "wires") else {
        problems.error(
            whole.clone(),
            "the scenario has no `wires`",
            "add wires = [\"hopper.feed -> drum.feed\", ...] above the first [table]",
        );
        return (Vec::new(), whole.clone());
    };
    let mut wires = Vec::new();
    match value.get_ref() {
        DeValue::Array(items) => {
            for item in items.iter() {
                match Spanned::get_ref(item) {
                    DeValue::String(text) => wires.push(Wire { text: text.to_string(), place: item.span() }),
                    _ => problems.error(item.span(), "each wire is a text", "write \"stage.outlet -> stage.inlet\""),
                }
            }
        }
        _ => problems.error(value.span(), "`wires` is a list", "write wires = [\"hopper.feed -> drum.feed\", ...]"),
    }
    (wires, value.span())
}
