//! The commands that compare plants, as a person would call them.

use serde_json::Value;
use washgraph_tests::{repository_file, washgraph};

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

/// The demo with other lines, its sheets beside it.
fn changed_demo(folder: &std::path::Path, changes: &[(&str, &str)]) -> String {
    for sheet in ["juniper-creek-sieves.csv", "juniper-creek-stones.csv", "juniper-creek-pans.csv"] {
        std::fs::copy(repository_file(&format!("scenarios/{sheet}")), folder.join(sheet)).expect("a sheet");
    }
    let text = std::fs::read_to_string(demo()).expect("the demo");
    let text = changes.iter().fold(text, |text, (old, new)| {
        assert!(text.contains(old), "the demo has no `{old}`");
        text.replace(old, new)
    });
    let path = folder.join("changed.toml");
    std::fs::write(&path, text).expect("a scenario");
    path.to_string_lossy().into_owned()
}

#[test]
fn property_a_small_pump_pulls_the_best_hole_down() {
    let folder = tempfile::tempdir().expect("a folder");
    let nuggets = (
        "file = \"juniper-creek-pans.csv\"\n",
        "grade = \"250 mg/m3 bank\"\nmedian_size = \"5 mm\"\nsize_spread = \"1.6\"\n",
    );
    let curve = "[[\"0 US gpm\", \"125 ft\"], [\"400 US gpm\", \"108 ft\"], [\"900 US gpm\", \"60 ft\"]]";
    let best_flow = "best_flow = \"600 US gpm\"";
    let best_hole_m = |points: &str, best: &str| {
        let best = format!("best_flow = \"{best}\"");
        let path = changed_demo(folder.path(), &[nuggets, (curve, points), (best_flow, &best)]);
        let call = ["holes", &path, "--sizes", "3/4 in; 1 in; 1 1/2 in", "--trials", "100", "--no-rule", "--json"];
        let answer = washgraph(folder.path(), 2, &call);
        assert_eq!(answer.code, 0, "{}", answer.stderr);
        let d = document(&answer.stdout);
        let best = d["as_built"]["by_gold"]["best"].as_str().expect("a best").to_string();
        let names = d["as_built"]["plants"].as_array().expect("plants");
        let at = names.iter().position(|p| p["hole"] == best.as_str()).expect("its place");
        d["holes_m"][at].as_f64().expect("a size")
    };
    let large = best_hole_m(
        "[[\"0 US gpm\", \"150 ft\"], [\"800 US gpm\", \"130 ft\"], [\"1800 US gpm\", \"70 ft\"]]",
        "1200 US gpm",
    );
    let small = best_hole_m(
        "[[\"0 US gpm\", \"80 ft\"], [\"120 US gpm\", \"66 ft\"], [\"260 US gpm\", \"30 ft\"]]",
        "170 US gpm",
    );
    assert!(small < large, "best hole with the small pump {small} m, with the large one {large} m");
}

#[test]
fn property_holes_recommend_the_same_plate_for_19_of_20_seeds_or_say_too_close() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = demo();
    let mut called: Vec<[(String, String); 2]> = Vec::new();
    for seed in 1..=20 {
        let seed = seed.to_string();
        let sizes = "3/8 in; 1/2 in; 3/4 in; 1 in";
        let call = ["holes", &demo, "--sizes", sizes, "--trials", "120", "--seed", &seed, "--no-rule", "--json"];
        let answer = washgraph(folder.path(), 2, &call);
        assert_eq!(answer.code, 0, "{}", answer.stderr);
        let d = document(&answer.stdout);
        called.push(["as_built", "re_tuned"].map(|set| {
            let choice = &d[set]["by_money"];
            let word = |key: &str| choice[key].as_str().expect("a word").to_string();
            (word("best"), word("call"))
        }));
    }
    for set in 0..2 {
        let agreed = |best: &str| called.iter().filter(|c| c[set].0 == best || c[set].1 != "clear").count();
        let most = called.iter().map(|c| agreed(&c[set].0)).max().unwrap_or(0);
        assert!(most >= 19, "{most} of 20: {called:?}");
    }
}

#[test]
fn property_dear_fuel_favours_less_water() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = repository_file("scenarios/badger-gulch.toml");
    let text = std::fs::read_to_string(&path).expect("the other demo");
    std::fs::copy(path.with_extension("xlsx"), folder.path().join("badger-gulch.xlsx")).expect("its sheets");
    // Badger Gulch is short of water: a faster pump brings more gold, and burns more.
    let best_rpm = |price: &str| {
        let pump = "kind = \"pump\"\nrated_speed = \"1800 rpm\"\nspeed = \"1800 rpm\"";
        let text = text.replace("kind = \"pump\"", pump).replace("fuel_price = \"$ 1.20/L\"", price);
        assert!(text.contains(pump) && text.contains(price));
        let path = folder.path().join("changed.toml");
        std::fs::write(&path, text).expect("a scenario");
        let path = path.to_string_lossy();
        let call = ["vary", &path, "pump.speed=1800 rpm..2400 rpm:3", "--trials", "130", "--json"];
        let answer = washgraph(folder.path(), 2, &call);
        assert_eq!(answer.code, 0, "{}", answer.stderr);
        let best = document(&answer.stdout)["best_by_money"].as_str().expect("a best").to_string();
        best.trim_end_matches(" rpm").parse::<f64>().expect("a speed")
    };
    let (cheap, dear) = (best_rpm("fuel_price = \"$ 1.20/L\""), best_rpm("fuel_price = \"$ 60/L\""));
    assert!(dear < cheap, "best with dear fuel {dear} rpm, with cheap fuel {cheap} rpm");
}
