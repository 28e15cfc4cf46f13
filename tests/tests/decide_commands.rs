//! The commands that compare plants, as a person would call them.

use serde_json::Value;

mod program;
use program::{repository_file, washgraph};

fn sound() -> String {
    repository_file("tests/broken/sound.toml").to_string_lossy().into_owned()
}

fn demo() -> String {
    repository_file("scenarios/juniper-creek.toml").to_string_lossy().into_owned()
}

fn document(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

#[test]
fn property_vary_writes_its_folder_and_the_same_bytes_for_any_number_of_threads() {
    let folder = tempfile::tempdir().expect("a folder");
    let sound = sound();
    let call = ["vary", &sound, "drum.screen.hole=3/8 in..5/8 in:3", "--trials", "130", "--out", "v"];
    let one = washgraph(folder.path(), 1, &call);
    assert_eq!(one.code, 0, "{}", one.stderr);
    let names: Vec<String> = std::fs::read_dir(folder.path().join("v"))
        .expect("the folder")
        .map(|e| e.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    for wanted in ["vary.json", "vary.csv", "vary.png", "vary.svg", "values.csv", "tables.xlsx", "answer.txt"] {
        assert!(names.iter().any(|n| n == wanted), "{wanted} is missing in {names:?}");
    }
    let bytes = |name: &str| std::fs::read(folder.path().join("v").join(name)).expect("a file");
    let first: Vec<Vec<u8>> = names.iter().map(|n| bytes(n)).collect();
    let two = washgraph(folder.path(), 2, &call);
    assert_eq!((two.code, &two.stdout), (0, &one.stdout));
    let second: Vec<Vec<u8>> = names.iter().map(|n| bytes(n)).collect();
    assert!(first == second, "the files differ between one thread and two");
}

#[test]
fn property_two_settings_make_a_map_and_the_present_plant_differs_from_none() {
    let folder = tempfile::tempdir().expect("a folder");
    let call = [
        "vary",
        &sound(),
        "sluice.width=30 in..42 in:3",
        "sluice.slope=1 in/ft..2 in/ft:2",
        "--trials",
        "70",
        "--json",
    ];
    let answer = washgraph(folder.path(), 2, &call);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    let d = document(&answer.stdout);
    assert_eq!(d["plants"].as_array().map(Vec::len), Some(6));
    // A plant against itself: no gap, every time.
    let same = washgraph(folder.path(), 2, &["compare", &sound(), &sound(), "--trials", "70", "--json"]);
    let d = document(&same.stdout);
    assert_eq!(d["gold_g_per_h"]["mean"], 0.0);
    assert_eq!(d["gold_g_per_h"]["chance_better"], 0.5);
    assert_eq!(d["differences"].as_array().map(Vec::len), Some(0));
}

#[test]
fn property_holes_give_both_answers_and_a_recommendation() {
    let folder = tempfile::tempdir().expect("a folder");
    let call = ["holes", &demo(), "--sizes", "3/8 in; 1/2 in; 3/4 in", "--trials", "150", "--json", "--out", "h"];
    let answer = washgraph(folder.path(), 2, &call);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    let d = document(&answer.stdout);
    for set in ["as_built", "re_tuned"] {
        let plants = d[set]["plants"].as_array().expect("plants");
        assert_eq!(plants.len(), 3);
        let chances: f64 = plants.iter().filter_map(|p| p["chance_most_gold"].as_f64()).sum();
        assert!((chances - 1.0).abs() < 1e-9, "{set}: {chances}");
        for p in plants {
            let parts =
                ["caught_finer_than_0.3_mm_g_per_h", "caught_0.3_to_1_mm_g_per_h", "caught_coarser_than_1_mm_g_per_h"];
            assert!(parts.iter().all(|k| p[k].as_f64().is_some_and(|x| x > 0.0)), "{p}");
        }
    }
    // Smaller holes send more gold over the end.
    let over = |i: usize| d["as_built"]["plants"][i]["lost_over_the_end_of_the_drum_share"].as_f64().expect("a share");
    assert!(over(0) >= over(2));
    assert!(d["recommendation"].as_str().is_some_and(|t| t.len() > 40));
    assert!(d["trade_rule"]["assumptions"].as_array().is_some_and(|a| a.len() == 36));
    assert!(folder.path().join("h/holes.png").exists());
}

#[test]
fn property_losses_best_and_drivers_answer() {
    let folder = tempfile::tempdir().expect("a folder");
    let losses = washgraph(folder.path(), 2, &["losses", &sound(), "--trials", "70", "--json"]);
    assert_eq!(losses.code, 0, "{}", losses.stderr);
    let d = document(&losses.stdout);
    let shares: f64 = d["losses"].as_array().expect("losses").iter().filter_map(|l| l["share_of_fed"].as_f64()).sum();
    assert!((shares + d["recovery"].as_f64().expect("recovery") - 1.0).abs() < 1e-4, "{shares}");
    assert!(d["changes"].as_array().is_some_and(|c| c.len() > 10));
    let best = washgraph(
        folder.path(),
        2,
        &[
            "best",
            &demo(),
            "sluice.slope=1 in/ft..2.5 in/ft",
            "--limit",
            "water <= 700 US gpm",
            "--trials",
            "130",
            "--json",
        ],
    );
    assert_eq!(best.code, 0, "{}", best.stderr);
    assert!(document(&best.stdout)["plants_tried"].as_u64().is_some_and(|n| n > 10));
    let drivers = washgraph(folder.path(), 2, &["drivers", &sound(), "--trials", "64", "--json"]);
    assert_eq!(drivers.code, 0, "{}", drivers.stderr);
    assert!(document(&drivers.stdout)["results"][0]["inputs"].as_array().is_some_and(|i| i.len() > 20));
}

#[test]
fn property_bad_paths_empty_ranges_and_impossible_limits_are_told_plainly() {
    let folder = tempfile::tempdir().expect("a folder");
    let sound = sound();
    let cases: [(&[&str], &str); 9] = [
        (&["vary", &sound, "drum.slop=2 deg..4 deg"], "did you mean `drum.slope`?"),
        (&["vary", &sound, "drum.slope=4 deg..2 deg"], "is empty"),
        (&["vary", &sound, "drum.slope"], "does not say which values"),
        (&["vary", &sound, "drum.slope=2 psi..4 psi"], "pressure"),
        (&["vary", &sound, "sluice.riffles=a..b"], "is no number"),
        (&["holes", &sound, "--sizes", "1/2 in"], "at least two sizes"),
        (&["holes", &sound, "--sizes", "1/2 in; 30 in"], "30 in"),
        (
            &["best", &sound, "sluice.width=30 in..40 in", "--limit", "water <= 1 US gpm", "--trials", "70"],
            "keeps the limits",
        ),
        (
            &["best", &sound, "sluice.width=30 in..40 in", "--limit", "drum.bed_powr <= 5 hp"],
            "did you mean `drum.bed_power`?",
        ),
    ];
    for (call, wanted) in cases {
        let answer = washgraph(folder.path(), 2, call);
        assert_eq!(answer.code, 2, "{call:?}: {}", answer.stderr);
        assert!(answer.stderr.contains(wanted), "{call:?}: {}", answer.stderr);
        assert!(answer.stdout.is_empty());
    }
}
