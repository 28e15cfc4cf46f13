//! `[ground.gradation]`: sieve tests and a stone count.

use std::ops::Range;

use toml::de::DeTable;

use super::{Surroundings, register, sheet_of};
use crate::scenario::understood::rows_of;
use sim_core::draw::{Input, Nature};
use sim_core::field::sieve_test::{self, SieveDefaults};
use sim_core::field::{GradationKnown, SheetReader, SieveTest, StoneCount, checks, open_sheet, stone_count};
use sim_core::field::{gradation_posterior, sieve_columns, stone_columns};
use sim_core::plant::Understood;
use sim_core::quantity::{Dimension, show};
use sim_core::setting::{Reader, Settings};
use sim_core::stats::Spread;

use super::settings::GRADATION_SETTINGS;

/// The gradation as read.
pub(super) struct GradationRead {
    pub known: GradationKnown,
    pub tests: Vec<SieveTest>,
    pub stones: Option<StoneCount>,
    pub mean_tilt: Input,
    pub bench_tilt: Input,
    pub provenance: Vec<String>,
}

pub(super) fn read(
    table: &DeTable<'_>,
    place: Range<usize>,
    rock_density: f64,
    reader: &mut Reader<'_>,
    around: &mut Surroundings<'_>,
) -> Option<GradationRead> {
    let settings = reader.read(table, place.clone(), GRADATION_SETTINGS, "ground.gradation");
    around.understood.push(Understood {
        owner: "ground.gradation".into(),
        kind: String::new(),
        rows: rows_of(&settings, GRADATION_SETTINGS, &[], around.units),
    });
    let stones = read_stones(&settings, &place, reader, around);
    let positional = [sieve_columns::SIZE_COLUMN, sieve_columns::PASSING];
    let sheet = sheet_of(
        table,
        "passing",
        &settings,
        (sieve_columns::COLUMNS, &positional, &["sieves", "sieve", "gradation", "sieve tests"]),
        place.clone(),
        reader,
        around,
    )?;
    let defaults = SieveDefaults {
        sample_kg: settings.maybe("sample_mass"),
        wet: settings.word("weighed") == "wet",
        moisture: settings.number("sample_moisture"),
        largest_m: settings.maybe("largest"),
        splice_m: settings.maybe("splice"),
        units: around.units,
    };
    let mut sheet_reader = SheetReader::new(reader.problems);
    let tests = sieve_test::read(&sheet, &defaults, &mut sheet_reader);
    if let Some(tests) = &tests {
        checks::sieve_tests(tests, defaults.splice_m, rock_density, around.units, &sheet, &mut sheet_reader);
    }
    sheet_reader.finish(&sheet);
    let (tests, stones) = (tests?, stones?);
    let known = gradation_posterior::known(&tests, stones.as_ref(), rock_density);
    let mut tilt = |name: &str, meaning: &str, sd: f64, nature| {
        if !(sd > 0.0) {
            return Some(Input::Fixed(0.0));
        }
        register(reader, name, meaning, Dimension::Number, Spread::normal(0.0, sd).ok()?, nature, place.clone())
    };
    let mean_tilt = tilt(
        "ground.gradation/pits",
        "how much coarser the ground is than the mean of the pits (tilt of the curve)",
        known.mean_tilt,
        Nature::Ignorance,
    )?;
    let bench_tilt = tilt(
        "ground.gradation/bench_to_bench",
        "how much coarser a bench is than the ground (tilt of the curve)",
        known.bench_tilt,
        Nature::Variability,
    )?;
    let provenance = in_words(&tests, stones.as_ref(), &known, around);
    Some(GradationRead { known, tests, stones, mean_tilt, bench_tilt, provenance })
}

/// The stone count: `None` after a problem, `Some(None)` when there is none.
fn read_stones(
    settings: &Settings,
    place: &Range<usize>,
    reader: &mut Reader<'_>,
    around: &mut Surroundings<'_>,
) -> Option<Option<StoneCount>> {
    let file = settings.word("stones_file");
    let Some(splice) = settings.maybe("splice") else {
        if !file.is_empty() {
            reader.problems.error(
                settings.place("stones_file"),
                "stones are counted, but not from which size up",
                "add splice = \"2 in\": the smallest size counted; finer ground comes from the sieve tests",
            );
            return None;
        }
        return Some(None);
    };
    if file.is_empty() {
        reader.problems.error(
            settings.place("splice"),
            "`splice` is given without a count of stones",
            "add stones_file = \"stones.csv\", or take `splice` out",
        );
        return None;
    }
    let sheet = open_sheet(
        around.folder,
        file,
        settings.word("stones_sheet"),
        &["stones", "stone count", "wall"],
        stone_columns::COLUMNS,
        settings.place("stones_file").or(Some(place.clone())),
        reader.problems,
        |bytes| around.sources.note(file, bytes),
    )?;
    let mut sheet_reader = SheetReader::new(reader.problems);
    let count =
        stone_count::read(&sheet, splice, settings.word("stones_by") == "face", around.units, &mut sheet_reader);
    sheet_reader.finish(&sheet);
    count.map(Some)
}

fn in_words(
    tests: &[SieveTest],
    stones: Option<&StoneCount>,
    known: &GradationKnown,
    around: &Surroundings<'_>,
) -> Vec<String> {
    let mass: f64 = tests.iter().map(|t| t.sample_kg).sum();
    let sieves = tests.iter().map(|t| t.points.len()).max().unwrap_or(0);
    let pits = if tests.len() == 1 { "one test".to_string() } else { format!("{} tests", tests.len()) };
    let mut lines = vec![format!(
        "gradation from {pits} over {sieves} sieves, {} of dry ground in all",
        show(mass, Dimension::Mass, around.units)
    )];
    if let Some(stones) = stones {
        let coarse: f64 = stones.points.iter().sum();
        lines.push(format!(
            "stones over {} from a count of {:.0} points, {coarse:.0} of them on such stones",
            show(stones.splice_m, Dimension::Length, around.units),
            coarse + stones.finer
        ));
    }
    if tests.len() > 1 {
        lines.push(if known.bench_tilt > 0.0 {
            "the pits differ by more than their samples explain: benches differ, and runs show it".into()
        } else {
            "the pits differ by no more than their samples explain".into()
        });
    } else {
        lines.push("one pit says nothing of how benches differ: that is not in the spread".into());
    }
    lines
}
