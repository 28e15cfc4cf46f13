//! The `[ground]` table: gradation from sieve tests and stone counts, gold from samples or from a belief, and the uncertain
//! rest.

mod faults;
mod gold;
mod gradation;
mod list;
mod settings;

use std::ops::Range;
use std::path::Path;

use toml::de::DeTable;

use super::clay_wear;
use super::sources::Sources;
use super::understood::rows_of;
use sim_core::draw::{Input, Nature, UncertainInput};
use sim_core::field::{Column, Sheet, clay, grain_weight, open_sheet};
use sim_core::ground::{Ground, GroundInputs, Known};
use sim_core::particle::gold::SettlingTable;
use sim_core::particle::shape::default_corey;
use sim_core::plant::Understood;
use sim_core::quantity::{Dimension, UnitChoice};
use sim_core::setting::{Reader, Settings};
use sim_core::size::gold_class;
use sim_core::stats::Spread;

pub use faults::GROUND_FAULTS;
pub use settings::{GOLD_SETTINGS, GRADATION_SETTINGS, GROUND_SETTINGS};

/// What reading the ground needs from its surroundings.
pub(super) struct Surroundings<'a> {
    /// Folder of the scenario.
    pub folder: &'a Path,
    /// Units of the user.
    pub units: UnitChoice,
    /// What was read so far.
    pub sources: &'a mut Sources,
    /// Settings as understood.
    pub understood: &'a mut Vec<Understood>,
}

fn table_at<'t, 'i>(parent: &'t DeTable<'i>, key: &str) -> Option<(&'t DeTable<'i>, Range<usize>)> {
    let (_, value) = parent.iter().find(|(k, _)| k.get_ref() == key)?;
    value.get_ref().as_table().map(|t| (t, value.span()))
}

/// Reads the whole of `[ground]`.
pub(super) fn read_ground(
    document: &DeTable<'_>,
    whole: Range<usize>,
    reader: &mut Reader<'_>,
    period_s: f64,
    around: &mut Surroundings<'_>,
) -> Option<Ground> {
    let Some((table, place)) = table_at(document, "ground") else {
        reader.problems.error(whole, "the scenario lacks [ground]", "say what the ground is: gradation, gold, clay");
        return None;
    };
    let settings = reader.read(table, place.clone(), GROUND_SETTINGS, "ground");
    around.understood.push(Understood {
        owner: "ground".into(),
        kind: String::new(),
        rows: rows_of(&settings, GROUND_SETTINGS, &[], around.units),
    });
    let wear = clay_wear::known(&settings, place.clone(), reader);
    let middle = gold::Middles {
        swell: settings.maybe("swell").unwrap_or(0.18),
        rock_density: settings.maybe("rock_density").unwrap_or(2700.0),
        loose_density: settings.maybe("loose_density").unwrap_or(1600.0),
        gold_density: settings.maybe("gold_density").unwrap_or(17_000.0),
    };
    let gradation = match table_at(table, "gradation") {
        Some((t, at)) => gradation::read(t, at, middle.rock_density, reader, around),
        None => {
            reader.problems.error(
                place.clone(),
                "[ground] lacks its gradation",
                "add [ground.gradation] with sample_mass and passing, or with a file of sieve tests",
            );
            None
        }
    };
    let settling = SettlingTable::new();
    let assumed_kg = grain_weight::assumed_kg(&settling, middle.gold_density);
    let gold = match table_at(table, "gold") {
        Some((t, at)) => gold::read(t, at, &middle, gradation.as_ref(), &assumed_kg, reader, around),
        None => {
            reader.problems.error(
                place.clone(),
                "[ground] lacks its gold",
                "add [ground.gold] with volume and found, with a file of samples, or with a believed grade",
            );
            None
        }
    };
    let clay = read_clay(&settings, table.keys().any(|k| k.get_ref() == "clay"), gradation.as_ref(), place, reader);
    let (gradation, gold, (clay_share, lump_size)) = (gradation?, gold?, clay?);
    let mut shape = settings.input("gold_shape");
    if let (Some((factor, ln_sd)), false) = (gold.flatness, settings.was_given("gold_shape"))
        && let Ok(spread) = Spread::log_normal_within(factor, ln_sd, 0.2, 3.0)
    {
        shape = reader.inputs.respread(shape, spread, "from colours counted and weighed");
    }
    let mut provenance = gradation.provenance;
    provenance.extend(gold.provenance);
    Some(Ground {
        inputs: GroundInputs {
            loose_density_kg_m3: settings.input("loose_density"),
            swell: settings.input("swell"),
            moisture: settings.input("moisture"),
            rock_density_kg_m3: settings.input("rock_density"),
            clay_share,
            lump_size_m: lump_size,
            clay_richness: settings.input("clay_richness"),
            clay_wear_m_s: wear.wear_m_s,
            frost_gain: wear.frost_gain,
            gold_density_kg_m3: settings.input("gold_density"),
            shape_factor: shape,
            water_temperature_c: settings.input("water_temperature"),
            grade_factor: gold.factor,
            day_factor: gold.day_factor,
            mean_tilt: gradation.mean_tilt,
            bench_tilt: gradation.bench_tilt,
        },
        gradation: gradation.known,
        gold: gold.gold,
        grain_kg: gold.grain_kg,
        corey: std::array::from_fn(|g| default_corey(gold_class(g).middle_m)),
        fineness: gold.fineness,
        lump_spread: 2.0,
        clay_is_sticky: wear.sticky,
        period_s,
        known: Known {
            provenance,
            findings: gold.findings,
            tests: gradation.tests,
            stones: gradation.stones,
            samples: gold.samples,
            patchiness: gold.patchiness,
            kept_share: gold.kept_share,
            prior: gold.prior,
        },
        settling,
    })
}

/// Clay share and lump size: as given, or from lumps picked off the sieves. `typed` is whether something stands there for the share.
fn read_clay(
    settings: &Settings,
    typed: bool,
    gradation: Option<&gradation::GradationRead>,
    place: Range<usize>,
    reader: &mut Reader<'_>,
) -> Option<(Input, Input)> {
    let known = gradation.and_then(|g| clay::known(&g.tests));
    let mut size = settings.input("clay_lump_size");
    if let (Some(k), false) = (&known, settings.was_given("clay_lump_size"))
        && let Ok(spread) = k.size_spread()
    {
        size = reader.inputs.respread(size, spread, "from clay lumps picked off the sieves");
    }
    if settings.was_given("clay") {
        return Some((settings.input("clay"), size));
    }
    if typed {
        // What was typed cannot be read, and that has been said.
        return None;
    }
    let Some(known) = known else {
        reader.problems.error(
            place,
            "ground lacks `clay`: clay in lumps, share of the dry mass",
            "add it, e.g. `clay = { low = \"2 %\", mid = \"4 %\", high = \"8 %\" }`, or weigh the lumps on each sieve (column clay_lumps)",
        );
        return None;
    };
    let spread = known.share_spread().ok()?;
    let input = register(
        reader,
        "ground/clay",
        "clay in lumps, share of the dry mass",
        Dimension::Fraction,
        spread,
        Nature::Ignorance,
        place,
    )?;
    Some((input, size))
}

/// Adds an uncertain input that follows from the samples.
fn register(
    reader: &mut Reader<'_>,
    name: &str,
    meaning: &str,
    dimension: Dimension,
    spread: Spread,
    nature: Nature,
    place: Range<usize>,
) -> Option<Input> {
    let input = UncertainInput {
        name: name.into(),
        meaning: meaning.into(),
        dimension,
        spread,
        nature,
        source: "from the samples".into(),
    };
    match reader.inputs.add(input) {
        Ok(input) => Some(input),
        Err(other) => {
            reader.problems.error(
                place,
                format!("the uncertain input {name} clashes with {other}"),
                "rename that stage",
            );
            None
        }
    }
}

/// The sheet of a table: a list of the scenario under `key`, or the file that it names.
fn sheet_of(
    table: &DeTable<'_>,
    key: &str,
    settings: &Settings,
    (columns, positional, usual): (&'static [Column], &[usize], &[&str]),
    place: Range<usize>,
    reader: &mut Reader<'_>,
    around: &mut Surroundings<'_>,
) -> Option<Sheet> {
    let file = settings.word("file");
    if let Some((_, value)) = table.iter().find(|(k, _)| k.get_ref() == key) {
        if !file.is_empty() {
            reader.problems.error(
                settings.place("file"),
                format!("both `file` and `{key}` are given"),
                "keep one of the two",
            );
            return None;
        }
        return list::sheet_of_list(value.get_ref(), value.span(), key, columns, positional, reader.problems);
    }
    if file.is_empty() {
        reader.problems.error(
            place,
            format!("`{key}` is missing"),
            format!("give {key} = [ ... ] or file = \"samples.csv\" (or .xlsx)"),
        );
        return None;
    }
    open_sheet(
        around.folder,
        file,
        settings.word("sheet"),
        usual,
        columns,
        settings.place("file"),
        reader.problems,
        |bytes| around.sources.note(file, bytes),
    )
}
