//! Warnings, measures and constants in the units of the reader, and results of older versions.

use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::trial::{Worker, run_trials};
use washgraph_model::result::RunResult;
use washgraph_model::scenario::{Opened, build, open};
use washgraph_model::tuned::constants::Constants;

/// Metric units of which a user with US units has no feeling. Not here: small grains in mm and um, slow falls in mm/s, gold in
/// mg and g, dirt in g/L, settleable solids in mL/L, the hours and days. They are said alike in all countries.
const METRIC: &[&str] = &[
    "m", "cm", "km", "m2", "m3", "L", "L/s", "L/h", "L/s/m", "m2/s", "m3/s", "m3/h", "m3/t", "m3/m3", "L/m3", "kg",
    "t", "kg/s", "kg/h", "t/h", "t/h/m", "kg/m3", "Pa", "kPa", "MPa", "bar", "N", "kN", "N m", "kN m", "W", "kW",
    "J/kg", "kWh/t", "W/kg", "m/s", "m/s2", "Pa s", "mPa s", "mm2/s", "cm3/rev", "L/kWh", "mg/m3", "°C",
];
/// Units of which a user with metric units has none.
const US: &[&str] = &[
    "in",
    "ft",
    "yd",
    "thou",
    "ft2",
    "yd3",
    "yd3/h",
    "US gal",
    "US gpm",
    "US gpm/ft",
    "US gal/h",
    "US gal/yd3",
    "lb",
    "lb/h",
    "lb/ft3",
    "short ton",
    "short ton/h",
    "psi",
    "lbf",
    "lbf/ft2",
    "lbf ft",
    "ft lbf/lb",
    "hp",
    "hp/short ton",
    "hp h/short ton",
    "ft/s",
    "in/day",
    "in/ft",
    "in3/rev",
    "mg/yd3",
    "°F",
    "cP",
    "cSt",
    "mesh US",
    "in of water",
];

/// Whether a text says a number in a unit: `5 m deep`, but neither `5 mm` nor `1 in 10`.
fn says(text: &str, unit: &str) -> bool {
    let sought = format!(" {unit}");
    text.match_indices(&sought).any(|(at, _)| {
        let (before, after) = (&text[..at], &text[at + sought.len()..]);
        let ends = after.chars().next().is_none_or(|c| !(c.is_alphanumeric() || "/'".contains(c)));
        let a_chance = unit == "in" && after.trim_start().starts_with(|c: char| c.is_ascii_digit());
        before.ends_with(|c: char| c.is_ascii_digit()) && ends && !a_chance
    })
}

fn foreign(units: UnitChoice, text: &str) -> Option<&'static str> {
    let list = if units == UnitChoice::Us { METRIC } else { US };
    let coarse = |text: &str| {
        let numbers = text.split_whitespace().collect::<Vec<_>>();
        numbers.windows(2).any(|w| {
            w[1].trim_end_matches(|c: char| ",.;:)".contains(c)) == "mm" && w[0].parse::<f64>().is_ok_and(|x| x >= 1.6)
        })
    };
    list.iter().copied().find(|u| says(text, u)).or((units == UnitChoice::Us && coarse(text)).then_some("mm"))
}

fn built(opened: &Opened, metric: bool) -> Plant {
    let text = if metric { opened.text.replace("units = \"us\"", "units = \"metric\"") } else { opened.text.clone() };
    let mut problems = Problems::default();
    let opened = Opened { text, folder: opened.folder.clone() };
    let plant = build(&opened, &washgraph_standard_stages::registry(), &mut problems);
    let plant = plant.unwrap_or_else(|| panic!("{:?}", problems.in_order()));
    assert_eq!(plant.units == UnitChoice::Metric, metric, "{}", plant.title);
    plant
}

fn outcome(plant: &Plant) -> RunResult {
    RunResult::new(plant, 1, &run_trials(plant, 1, 200, &AtomicU64::new(0)))
}

fn plants() -> Vec<Opened> {
    let scenarios = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let mut list: Vec<Opened> =
        ["badger-gulch.toml", "juniper-creek.toml"].map(|f| open(&scenarios.join(f)).unwrap()).into();
    list.push(Opened { text: include_str!("../conformance/every-kind.toml").into(), folder: PathBuf::new() });
    list
}

#[test]
fn identity_each_reader_finds_his_own_units_alone() {
    let (mut warnings, mut numbers) = (0, 0);
    for opened in plants() {
        for metric in [false, true] {
            let plant = built(&opened, metric);
            let units = plant.units;
            let hold = |what: &str, text: &str| {
                let found = foreign(units, text);
                assert!(found.is_none(), "{}, {units:?}, {what}: `{text}` says {}", plant.title, found.unwrap_or(""));
            };
            // Every warning that may be raised, as declared and with the numbers of the middle case.
            for phrase in plant.warnings.iter().map(|w| w.text.clone()).chain(Worker::new(&plant, 1).warning_texts()) {
                hold("a warning", &phrase.say(units));
                warnings += 1;
            }
            let outcome = outcome(&plant);
            for w in &outcome.warnings {
                hold(&w.id, &w.text);
                assert_eq!(w.parts.say(units), w.text);
            }
            let mut number = |what: &str, si: f64, dimension: Dimension| {
                hold(what, &show(si, dimension, units));
                numbers += 1;
            };
            for m in &outcome.measures {
                number(&m.name, m.value.pctl_50, m.unit.dimension);
                hold(&m.name, &m.words);
            }
            outcome
                .profiles
                .iter()
                .for_each(|p| p.value.iter().for_each(|v| number(&p.name, v.mean, p.unit.dimension)));
            outcome
                .over_days
                .iter()
                .for_each(|c| c.value.iter().for_each(|v| number(&c.name, v.mean, c.unit.dimension)));
            for input in plant.inputs.all() {
                number(&input.name, input.spread.quantile(0.5), input.dimension);
            }
            for c in Constants::of(&plant).all() {
                number(&c.name, c.before()[1], c.dimension);
            }
        }
    }
    assert!(warnings > 300 && numbers > 600, "{warnings} warnings, {numbers} numbers");
}

#[test]
fn identity_the_walk_would_find_what_it_looks_for() {
    for (units, text) in [
        (UnitChoice::Us, "the stream is 16 mm deep"),
        (UnitChoice::Us, "23.3 L/s of slurry"),
        (UnitChoice::Us, "179062 Pa"),
        (UnitChoice::Metric, "keep it below 9.84 ft/s."),
        (UnitChoice::Metric, "about 1/4 in over"),
    ] {
        assert!(foreign(units, text).is_some(), "{text}");
    }
    assert_eq!(foreign(UnitChoice::Metric, "less than 1 in 1000, above 2 mm"), None);
    assert_eq!(foreign(UnitChoice::Us, "finer than 0.075 mm, 0.02 mm/s, 5 g/L"), None);
}

/// A result of the version before kinds of quantity stood in results, lists cut short.
const OLDER: &str = include_str!("../../kept/result-without-kinds.json");

#[test]
fn identity_an_older_result_is_read() {
    let older: RunResult = serde_json::from_str(OLDER).unwrap();
    assert!(older.warnings.len() > 5 && older.warnings.iter().all(|w| w.parts.is_empty() && !w.text.is_empty()));
    let of = |name: &str| older.measures.iter().find(|m| m.name == name).map(|m| m.unit.dimension);
    assert_eq!(of("motor_oil"), Some(Dimension::Flow));
    assert_eq!(of("energy_per_mass"), Some(Dimension::EnergyPerMass));
    assert_eq!(of("flow_per_width"), Some(Dimension::FlowPerWidth));
    assert_eq!(older.curves[0].across.dimension, Dimension::Length);
    assert_eq!(older.profiles[0].unit.dimension, Dimension::Length);
    // What is written now comes back as it was written.
    let now = outcome(&built(&plants()[1], false));
    let again: RunResult = serde_json::from_str(&serde_json::to_string(&now).unwrap()).unwrap();
    let units = |o: &RunResult| o.measures.iter().map(|m| m.unit.dimension).collect::<Vec<_>>();
    assert_eq!(units(&again), units(&now));
    assert!(now.warnings.len() > 3 && again.warnings.iter().all(|w| w.parts.say(UnitChoice::Us) == w.text));
}
