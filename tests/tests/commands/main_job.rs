//! The main job from end to end: a scenario goes in, a result document and a folder come out.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::Value;
use washgraph_tests::{repository_file, washgraph};

const DEMOS: [&str; 2] = ["juniper-creek", "badger-gulch"];

/// Rounding only.
const CLOSED: f64 = 1e-12;

fn demo(name: &str) -> String {
    repository_file(&format!("scenarios/{name}.toml")).to_string_lossy().into_owned()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("valid JSON")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

fn rows(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}

/// The result document of a run without files.
fn result(name: &str, threads: usize, seed: &str, trials: &str) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let scenario = demo(name);
    let answer = washgraph(folder.path(), threads, &["run", &scenario, "--json", "--seed", seed, "--trials", trials]);
    // 1: a limit of the scenario is missed, which is a result like any other.
    assert!(answer.code == 0 || answer.code == 1, "exit code {}: {}", answer.code, answer.stderr);
    assert_eq!(contents(folder.path()), BTreeMap::new(), "--json alone writes no file");
    answer.stdout
}

/// Names and contents of the files of a folder, folders as empty files with a slash.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(folder).expect("read the folder") {
        let entry = entry.expect("entry of the folder");
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_dir() {
            files.insert(format!("{name}/"), Vec::new());
        } else {
            files.insert(name, fs::read(entry.path()).expect("read a file"));
        }
    }
    files
}

#[test]
fn property_result_document_has_the_agreed_keys_and_says_what_made_it() {
    for name in DEMOS {
        let document = json(&result(name, 2, "7", "300"));
        assert_eq!(document["schema_version"], 1);
        for key in [
            "schema_version",
            "provenance",
            "plant",
            "gold",
            "losses",
            "balance",
            "water",
            "measures",
            "money",
            "warnings",
        ] {
            assert!(document.get(key).is_some(), "{name}: `{key}` is missing");
        }
        let provenance = &document["provenance"];
        assert_eq!(provenance["seed"], 7);
        assert_eq!(provenance["trials"], 300);
        assert_eq!(text(&provenance["scenario_sha256"]).len(), 64);
    }
}

#[test]
fn identity_gold_water_and_solids_balance_in_ten_thousand_trials() {
    for name in DEMOS {
        let document = json(&result(name, 2, "1", "10000"));
        let lost: f64 = rows(&document["losses"]).iter().map(|loss| number(&loss["share_of_fed"]["mean"])).sum();
        let sum = number(&document["gold"]["recovery"]["mean"]) + lost;
        assert!((sum - 1.0).abs() < CLOSED, "{name}: recovery and losses add up to {sum}");
        let balance = document["balance"].as_object().expect("the balance");
        assert_eq!(balance.len(), 3);
        for (what, error) in balance {
            assert!(number(error).abs() < CLOSED, "{name}: {what} {error}");
        }
    }
}

#[test]
fn property_result_depends_on_the_seed_and_not_on_the_threads() {
    for name in DEMOS {
        let one = result(name, 1, "5", "500");
        assert!(one == result(name, 2, "5", "500"), "{name}: other bytes with two threads");
        let other = json(&result(name, 2, "6", "500"));
        assert_ne!(json(&one)["gold"]["recovery"]["mean"], other["gold"]["recovery"]["mean"], "{name}");
    }
}

#[test]
fn property_once_prints_the_numbers_between_and_writes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in DEMOS {
        let answer = washgraph(folder.path(), 1, &["run", &demo(name), "--once"]);
        assert_eq!(answer.code, 0, "{}", answer.stderr);
        assert!(answer.stdout.contains("One pass, every input at its middle"), "{}", answer.stdout);
        assert!(answer.stdout.lines().count() > 50, "{}", answer.stdout);
        let answer = washgraph(folder.path(), 1, &["run", &demo(name), "--once", "--json"]);
        assert!(json(&answer.stdout).is_object());
    }
    assert_eq!(contents(folder.path()), BTreeMap::new());
}

#[test]
fn property_output_folder_is_complete_and_made_anew() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |seed: &str| {
        let answer = washgraph(
            folder.path(),
            2,
            &["run", &demo("juniper-creek"), "--trials", "100", "--seed", seed, "--out", "results/first"],
        );
        assert!(answer.code == 0 || answer.code == 1, "{}", answer.stderr);
        assert!(answer.stderr.contains("report.html"), "{}", answer.stderr);
        // Nothing half-made stays beside it.
        let beside: Vec<String> = contents(&folder.path().join("results")).into_keys().collect();
        assert_eq!(beside, ["first/"]);
        contents(&folder.path().join("results/first"))
    };
    let first = run("1");
    for name in ["result.json", "report.html", "verdict.txt", "losses.csv", "losses.svg", "losses.png", "gold-path.svg"]
    {
        assert!(first.get(name).is_some_and(|content| !content.is_empty()), "{name} is missing or empty");
    }
    let document: Value = serde_json::from_slice(&first["result.json"]).expect("valid JSON");
    assert_eq!(document["schema_version"], 1);
    assert_eq!(first, run("1"), "the same run gives the same files");
    let other = run("2");
    assert_ne!(first["result.json"], other["result.json"], "an earlier folder of washgraph is replaced");
}

#[test]
fn property_a_folder_of_somebody_else_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out/juniper-creek");
    fs::create_dir_all(&out).expect("make the folder");
    fs::write(out.join("letters.txt"), "mine").expect("write");
    let before = contents(&out);
    // The second is the same folder by its name, the first by default.
    for arguments in [&[][..], &["--out", "out/juniper-creek"][..]] {
        let scenario = demo("juniper-creek");
        let mut call = vec!["run", scenario.as_str(), "--trials", "20"];
        call.extend(arguments);
        let answer = washgraph(folder.path(), 1, &call);
        assert_eq!(answer.code, 2, "{}", answer.stderr);
        assert!(answer.stderr.contains("not a folder written by washgraph"), "{}", answer.stderr);
        assert!(answer.stderr.contains("--out"), "{}", answer.stderr);
        assert_eq!(contents(&out), before);
        assert_eq!(contents(&folder.path().join("out")).len(), 1);
    }
}

#[test]
fn property_a_folder_that_cannot_be_written_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let locked = folder.path().join("locked");
    fs::create_dir(&locked).expect("make the folder");
    let mut rights = fs::metadata(&locked).expect("rights").permissions();
    rights.set_readonly(true);
    fs::set_permissions(&locked, rights).expect("set rights");
    // The superuser may write everywhere: there is nothing to test then.
    if fs::write(locked.join("probe"), "").is_ok() {
        return;
    }
    let answer =
        washgraph(folder.path(), 1, &["run", &demo("juniper-creek"), "--trials", "20", "--out", "locked/results"]);
    assert_eq!(answer.code, 2, "{}", answer.stderr);
    assert!(answer.stderr.contains("error:") && answer.stderr.contains("locked"), "{}", answer.stderr);
}

#[test]
fn property_a_file_in_the_way_of_the_output_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("file"), "mine").expect("write");
    for out in ["file", "file/below"] {
        let answer = washgraph(folder.path(), 1, &["run", &demo("juniper-creek"), "--trials", "20", "--out", out]);
        assert_eq!(answer.code, 2, "{}", answer.stderr);
        assert!(answer.stderr.contains("file"), "{}", answer.stderr);
    }
    assert_eq!(contents(folder.path()), BTreeMap::from([("file".to_owned(), b"mine".to_vec())]));
}

/// A value for an input of a formula: its default, or one inside its range.
fn input_value(input: &Value) -> f64 {
    match (input["default"].as_f64(), input["range"][0].as_f64(), input["range"][1].as_f64()) {
        (Some(default), _, _) => default,
        (None, Some(low), Some(high)) => low + (high - low) / 2.0,
        (None, Some(low), None) => low + 1.0,
        (None, None, Some(high)) => high - 1.0,
        (None, None, None) => 1.0,
    }
}

#[test]
fn property_every_formula_answers_with_its_defaults() {
    let folder = tempfile::tempdir().expect("a folder");
    let list = json(&washgraph(folder.path(), 1, &["handbook", "list", "--json"]).stdout);
    assert!(rows(&list).len() > 150);
    let mut answered = 0;
    for formula in rows(&list) {
        let name = text(&formula["name"]);
        let inputs = rows(&formula["inputs"]);
        let bare = washgraph(folder.path(), 1, &["handbook", name, "--json"]);
        let all_have_defaults = inputs.iter().all(|input| !input["default"].is_null());
        let expected: &[i32] = if all_have_defaults { &[0] } else { &[2] };
        assert!(expected.contains(&bare.code), "{name}: exit code {}: {}", bare.code, bare.stderr);

        let given: Vec<String> = inputs
            .iter()
            .map(|input| {
                let unit = text(&input["unit"]);
                let unit = if unit == "-" { "" } else { unit };
                format!("{}={} {unit}", text(&input["name"]), input_value(input)).trim_end().to_owned()
            })
            .collect();
        let mut call = vec!["handbook", name, "--json"];
        call.extend(given.iter().map(String::as_str));
        let answer = washgraph(folder.path(), 1, &call);
        match answer.code {
            0 => {
                // Of several outputs some may have no answer there.
                assert!(json(&answer.stdout).get("value").is_some(), "{name}");
                answered += 1;
            }
            // No answer there: a sieve number between two sieves, say.
            3 => assert!(json(&answer.stdout)["value"].is_null(), "{name}"),
            code => panic!("{call:?}: exit code {code}: {}", answer.stderr),
        }
    }
    assert!(answered > 150, "only {answered} formulas gave a number");
}

#[test]
fn published_only_the_known_check_fails() {
    let folder = tempfile::tempdir().expect("a folder");
    let answer = washgraph(folder.path(), 1, &["validate", "--json"]);
    let checks = json(&answer.stdout);
    let fields = ["id", "model", "kind", "source", "published", "computed", "unit", "band", "pass"];
    for check in rows(&checks) {
        for field in fields {
            assert!(check.get(field).is_some(), "{check}: `{field}` is missing");
        }
    }
    let failed: Vec<&str> =
        rows(&checks).iter().filter(|check| check["pass"] != true).map(|check| text(&check["id"])).collect();
    assert_eq!(failed, ["gold-alloy-333-fine"]);
    assert_eq!(answer.code, 1);
}

#[test]
fn property_new_writes_a_sound_scenario_and_never_overwrites() {
    let folder = tempfile::tempdir().expect("a folder");
    let answer = washgraph(folder.path(), 1, &["new", "mine.toml"]);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    let written = contents(folder.path());
    let check = washgraph(folder.path(), 1, &["check", "mine.toml"]);
    assert_eq!(check.code, 0, "{}", check.stderr);
    let again = washgraph(folder.path(), 1, &["new", "mine.toml", "--hole", "3/4 in"]);
    assert_eq!(again.code, 2, "{}", again.stderr);
    assert!(again.stderr.contains("mine.toml is there already"), "{}", again.stderr);
    assert_eq!(contents(folder.path()), written);
}
