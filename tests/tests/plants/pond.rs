//! What a miner expects of a plant that washes with the water of its own pond.

use std::path::{Path, PathBuf};

use serde_json::Value;
use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::trial::Worker;
use washgraph_model::scenario::{Opened, build};
use washgraph_tests::{repository_file, washgraph};

const CREEK: &str = include_str!("../../broken/sound.toml");
const SEED: u64 = 1;

/// The sound plant with a pond behind its sluice; `pond` are further lines of its table.
fn with_pond(pond: &str) -> String {
    let wired = "\"sluice.tailings -> tailings\"";
    let water = "[[water]]\nid = \"hopper-nozzles\"";
    assert!(CREEK.matches(wired).count() == 1 && CREEK.matches(water).count() == 1);
    CREEK
        .replace(wired, "\"sluice.tailings -> pond.feed\"")
        .replace(water, &format!("[[stage]]\nkind = \"pond\"\ndepth = \"5 ft\"\n{pond}\n\n{water}"))
}

fn plant(text: &str) -> Plant {
    let mut problems = Problems::default();
    let opened = Opened { text: text.to_owned(), folder: PathBuf::new() };
    build(&opened, &washgraph_standard_stages::registry(), &mut problems)
        .unwrap_or_else(|| panic!("{:?}", problems.in_order()))
}

/// Recovery of the gold of these sizes, and the fines in the return water, in the middle case.
struct Middle {
    recovery: Box<dyn Fn(f64, f64) -> f64>,
    returned_kg_m3: f64,
    closes: bool,
    water: f64,
}

fn middle(text: &str) -> Middle {
    let plant = plant(text);
    let worker = Worker::new(&plant, SEED);
    let mut caught = [0.0; GOLD_CLASSES];
    for stage in &worker.caught {
        caught.iter_mut().zip(stage).for_each(|(sum, c)| *sum += c);
    }
    let fed = worker.fed;
    let recovery = move |from_mm: f64, to_mm: f64| {
        let inside = |g: &usize| (1e-3 * from_mm..1e-3 * to_mm).contains(&gold_class(*g).middle_m);
        let sum = |x: &[f64; GOLD_CLASSES]| (0..GOLD_CLASSES).filter(inside).map(|g| x[g]).sum::<f64>();
        sum(&caught) / sum(&fed)
    };
    Middle {
        recovery: Box::new(recovery),
        returned_kg_m3: worker.pond.map_or(0.0, |p| p.return_water.fines_kg_m3),
        closes: worker.pond.is_none_or(|p| p.closes),
        water: worker.residuals().water,
    }
}

/// A small pond for clay that hardly settles.
const DIRTY: &str = "area = \"6000 ft2\"\nclay_grain = \"1 um\"";

#[test]
fn property_a_dirty_pond_costs_fine_gold_and_spares_coarse() {
    let clean = middle(CREEK);
    let dirty = middle(&with_pond(DIRTY));
    assert!(dirty.closes && dirty.returned_kg_m3 > 20.0, "{}", dirty.returned_kg_m3);
    let (before, after) = ((clean.recovery)(0.06, 0.15), (dirty.recovery)(0.06, 0.15));
    assert!(after < before - 0.002, "{before} {after}");
    assert!(((clean.recovery)(1.0, 4.0) - (dirty.recovery)(1.0, 4.0)).abs() < 1e-3);
}

#[test]
fn property_a_larger_pond_a_bleed_and_fresh_water_clean_the_return() {
    let base = middle(&with_pond(DIRTY));
    for better in [
        "area = \"60000 ft2\"\nclay_grain = \"1 um\"",
        "area = \"6000 ft2\"\nclay_grain = \"15 um\"",
        "area = \"6000 ft2\"\nclay_grain = \"1 um\"\nbleed = \"40 US gpm\"",
        "area = \"6000 ft2\"\nclay_grain = \"1 um\"\nrecycled = \"60 %\"",
        "area = \"6000 ft2\"\nclay_grain = \"1 um\"\npile_moisture = \"25 %\"",
    ] {
        let changed = middle(&with_pond(better));
        assert!(changed.returned_kg_m3 < 0.98 * base.returned_kg_m3, "{better}: {}", changed.returned_kg_m3);
        assert!((changed.recovery)(0.06, 0.15) > (base.recovery)(0.06, 0.15), "{better}");
        assert!(changed.water < 1e-12);
    }
}

#[test]
fn property_a_jar_decides_on_the_clay() {
    // The same clay, once seen to clear within the hour, once milky after a day.
    let clears = "area = \"6000 ft2\"\njar_cleared = [[\"20 min\", \"3 in\"], [\"40 min\", \"6 in\"]]";
    let milky = "area = \"6000 ft2\"\njar_depth = \"4 in\"\njar_hanging = [[\"1 h\", \"95 %\"], [\"24 h\", \"80 %\"]]";
    let (clears, milky) = (middle(&with_pond(clears)), middle(&with_pond(milky)));
    assert!(milky.returned_kg_m3 > 1.5 * clears.returned_kg_m3, "{} {}", milky.returned_kg_m3, clears.returned_kg_m3);
    assert!((milky.recovery)(0.06, 0.15) < (clears.recovery)(0.06, 0.15));
}

#[test]
fn identity_a_pond_that_gives_no_water_back_changes_no_gold() {
    let alone = plant(CREEK);
    let beside = plant(&with_pond("area = \"6000 ft2\"\nrecycled = \"0 %\""));
    let (mut a, mut b) = (Worker::new(&alone, SEED), Worker::new(&beside, SEED));
    for trial in 0..50 {
        a.run_trial(trial);
        b.run_trial(trial);
        let caught = |w: &Worker<'_>| w.caught.iter().flatten().sum::<f64>().to_bits();
        assert_eq!(caught(&a), caught(&b), "trial {trial}");
        assert!(b.residuals().water < 1e-12 && b.residuals().gold < 1e-12 && b.residuals().solids < 1e-12);
    }
}

#[test]
fn property_solids_do_not_depend_on_the_water_that_comes_back() {
    let clear = plant(&with_pond("area = \"60000 ft2\"\nclay_grain = \"15 um\""));
    let dirty = plant(&with_pond("area = \"6000 ft2\"\nclay_grain = \"15 um\""));
    let (mut a, mut b) = (Worker::new(&clear, SEED), Worker::new(&dirty, SEED));
    a.run_trial(3);
    b.run_trial(3);
    for slot in 0..clear.slots {
        let (x, y) = (a.stream(slot).unwrap(), b.stream(slot).unwrap());
        assert_eq!(x.rock_kg_s, y.rock_kg_s);
        assert_eq!(x.clay_kg_s.to_bits(), y.clay_kg_s.to_bits());
    }
}

fn run_json(text: &str, trials: &str) -> (i32, Option<Value>, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pond.toml");
    std::fs::write(&path, text).unwrap();
    run_file(&path, trials)
}

fn run_file(path: &Path, trials: &str) -> (i32, Option<Value>, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = path.to_string_lossy().into_owned();
    let answer = washgraph(folder.path(), 2, &["run", &path, "--json", "--trials", trials]);
    (answer.code, serde_json::from_str(&answer.stdout).ok(), answer.stderr)
}

#[test]
fn property_milky_clay_without_bleed_is_impossible_and_says_so() {
    let milky = "area = \"6000 ft2\"\nclay_grain = \"0.2 um\"\npile_moisture = \"2 %\"\nsilt_curve = \"0.3\"";
    let clayey =
        with_pond(milky).replace(r#"clay = { low = "2 %", mid = "4 %", high = "8 %" }"#, "clay = \"25 %\"").replace(
            r#"clay_wear = { low = "0.004 mm/s", mid = "0.015 mm/s", high = "0.05 mm/s" }"#,
            "clay_wear = \"0.2 mm/s\"",
        );
    let (code, document, talk) = run_json(&clayey, "200");
    assert_eq!(code, 3, "{talk}");
    assert!(talk.contains("never clears"), "{talk}");
    let circuit = &document.unwrap()["water"]["circuit"];
    assert_eq!(circuit["middle_closes"], false);
    assert!(circuit["unclosed_share"].as_f64().unwrap() > 0.5);
    // Let out a quarter of the water, and it clears.
    let bled = clayey.replace(milky, &format!("{milky}\nbleed = \"300 US gpm\""));
    let (code, document, talk) = run_json(&bled, "200");
    assert!(code == 0 || code == 1, "{code}: {talk}");
    assert_eq!(document.unwrap()["water"]["circuit"]["middle_closes"], true);
}

#[test]
fn identity_the_water_of_the_demos_closes_in_every_trial() {
    for demo in ["juniper-creek", "badger-gulch"] {
        let (code, document, talk) = run_file(&repository_file(&format!("scenarios/{demo}.toml")), "2000");
        assert!(code == 0 || code == 1, "{demo} {code}: {talk}");
        let document = document.unwrap();
        let water = &document["water"];
        assert_eq!(water["circuit"]["unclosed_share"], 0.0, "{demo}");
        assert!(water["makeup_m3_h"]["mean"].as_f64().unwrap() > 0.0, "{demo}");
        assert!(document["balance"]["water_rel"].as_f64().unwrap() < 1e-12, "{demo}");
        let courses = document["over_days"].as_array().unwrap();
        assert_eq!(courses.len(), 4, "{demo}");
        for course in courses {
            assert_eq!(course["day"].as_array().unwrap().len(), course["value"].as_array().unwrap().len());
        }
    }
}

/// The mistakes of a pond, each with its line (the table begins in line 84) and what must be said.
const MISTAKES: &[(&str, usize, &[&str])] = &[
    ("", 84, &["pond lacks `area`", "help: add it, e.g. `area = \"12 ft2\"`"]),
    ("area = \"90 ft\"", 87, &["`ft` is a length, here an area is wanted"]),
    ("area = \"1000 m2\"\nvolume = \"900 m3\"", 88, &["both `depth` and `volume` of the pond are given", "give one"]),
    ("area = \"1000 m2\"\nrecycled = \"120 %\"", 88, &["`recycled` of 120 % is out of range"]),
    (
        "area = \"1000 m2\"\nstart_full = \"40 %\"\nold_mud = \"60 %\"",
        89,
        &["the pond holds no water over its old mud", "must be more than `old_mud`"],
    ),
    ("area = \"1000 m2\"\nrun_a_day = \"30 h\"", 88, &["`run_a_day` of 30 h is out of range"]),
    ("area = \"1000 m2\"\nflocculant = true", 88, &["`flocculant` is not a setting of pond"]),
    (
        "area = \"1000 m2\"\njar_hanging = [[\"1 h\", \"50 %\"], [\"10 min\", \"80 %\"]]",
        88,
        &["`jar_hanging` needs `jar_depth`", "the times of `jar_hanging` do not grow", "goes the wrong way"],
    ),
    (
        "area = \"1000 m2\"\nclay_grain = \"5 um\"\njar_cleared = [[\"1 h\", \"2 in\"]]",
        88,
        &["both `clay_grain` and a settling jar say how the clay falls", "keep the jar"],
    ),
    (
        "area = \"1000 m2\"\njar_cleared = [[\"2 in\", \"1 h\"]]",
        88,
        &["here a time is wanted", "here a length is wanted"],
    ),
    (
        "area = \"1000 m2\"\n[[stage]]\nkind = \"pond\"\nid = \"upper\"\narea = \"500 m2\"\ndepth = \"1 m\"",
        88,
        &["`upper` is a second pond beside `pond`", "nothing feeds `upper.feed`"],
    ),
];

#[test]
fn property_mistakes_of_a_pond_are_told_with_place_and_remedy() {
    for (lines, line, says) in MISTAKES {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("pond.toml"), with_pond(lines)).unwrap();
        let answer = washgraph(folder.path(), 1, &["check", "pond.toml"]);
        let said: String = answer.stderr.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(answer.code, 2, "{lines}: {said}");
        for piece in *says {
            assert!(said.contains(piece), "{lines}: `{piece}` is not in {said}");
        }
        assert!(said.contains(&format!("[pond.toml:{line}:")), "{lines}: line {line} is not in {said}");
    }
}
