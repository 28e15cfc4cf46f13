//! The scenario as a whole: top-level settings, stages with their sections, water outlets, wires.

use std::ops::Range;
use std::path::{Path, PathBuf};

use serde_spanned::Spanned;
use toml::de::{DeTable, DeValue};

use super::ground::{Surroundings, read_ground};
use super::money::read_money;
use super::named_files::NamedFiles;
use super::outlets::{check_mounts, read_outlets};
use super::pumps::{check_middle_case, check_pumps};
use super::sources::Sources;
use super::stages::{check_ponds, read_stages};
use super::tuned::open_tuned;
use super::understood::rows_of;
use sim_core::draw::InputList;
use sim_core::owner_file;
use sim_core::plant::{Node, OutletNode, Plant, Understood, Wire, wire_up};
use sim_core::problem::{Problems, did_you_mean};
use sim_core::quantity::{Dimension, UnitChoice};
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Preset, Reader, Setting, SpreadMeaning};
use sim_core::water_line::Line;

/// Largest scenario or sample file that is read. A scenario is a few kilobytes; the limit guards against a wrong file.
pub const MOST_BYTES: u64 = 20_000_000;

const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// Settings at the top of a scenario.
pub const SCENARIO_SETTINGS: &[Setting] = &[
    Setting::new("title", Kind::Text, "name of the plant and ground")
        .preset(Preset::Required)
        .range(ANY)
        .nature(sim_core::draw::Nature::Ignorance),
    Setting::new("question", Kind::Text, "the question that this scenario answers")
        .preset(Preset::Text(""))
        .range(ANY)
        .nature(sim_core::draw::Nature::Ignorance),
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
    Setting::new("trials", Kind::Whole, "number of trials")
        .preset(Preset::Text("5000"))
        .range((1.0, 10_000_000.0))
        .nature(sim_core::draw::Nature::Ignorance),
    Setting::new("seed", Kind::Whole, "seed of the random numbers")
        .preset(Preset::Text("1"))
        .range((0.0, 9_007_199_254_740_992.0))
        .nature(sim_core::draw::Nature::Ignorance),
    Setting::usual(
        "period",
        Dimension::Time,
        "10 h",
        (60.0, 3.2e7),
        "running time over which gold is averaged; coarse gold is lumpy over a short one",
    ),
    Setting::optional("season", Dimension::Time, (3600.0, 3.2e7), "hours run in a season"),
    Setting::new("tuned", Kind::Text, "tuned file: constants as the plant's own results have them (written by `tune`)")
        .preset(Preset::Text(""))
        .range(ANY)
        .nature(sim_core::draw::Nature::Ignorance),
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
    let shown = path.display().to_string();
    let text = owner_file::read_text(path, &shown, "scenario file", MOST_BYTES).map_err(|why| why.to_string())?;
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
    let files = &mut NamedFiles { folder: &opened.folder, sources: &mut sources };
    let water =
        read_outlets(document.get_ref(), registry, &mut inputs, problems, meaning, units, &mut understood, files);
    let stages = read_stages(
        document.get_ref(),
        registry,
        &water,
        &mut inputs,
        problems,
        meaning,
        units,
        &mut understood,
        files,
    );
    let (outlets, mounts) = (water.nodes, water.mounts);
    let mut parts = stages.parts;
    let (wires, wires_place) = read_wires(document.get_ref(), problems, &whole);
    let wiring = if stages.all {
        check_mounts(&mounts, &parts, problems);
        check_pumps(&mounts, &parts, problems);
        check_ponds(&parts, problems);
        wire_up(&parts, &wires, wires_place, problems)
    } else {
        None
    };
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
        program: registry.made_for(),
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

fn read_wires(document: &DeTable<'_>, problems: &mut Problems, whole: &Range<usize>) -> (Vec<Wire>, Range<usize>) {
    let Some((_, value)) = document.iter().find(|(k, _)| k.get_ref() == "wires") else {
        // A misspelt key has been told already.
        let known = |key: &str| SCENARIO_SETTINGS.iter().any(|s| s.key == key);
        let misspelt =
            |key: &str| !known(key) && did_you_mean(key, SCENARIO_SETTINGS.iter().map(|s| s.key)) == Some("wires");
        if !document.keys().any(|k| misspelt(k.get_ref())) {
            problems.error(
                whole.clone(),
                "the scenario has no `wires`",
                "add wires = [\"hopper.feed -> drum.feed\", ...] above the first [table]",
            );
        }
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
