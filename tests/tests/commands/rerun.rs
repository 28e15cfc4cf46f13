//! A result repeated from the inputs kept with it: the same bytes, or where they differ.

use std::fs;
use std::path::{Path, PathBuf};

use washgraph_tests::{repository_file, washgraph};

/// A run of a demonstration in `folder`, in `out`; its sheets lie in a folder beside the scenario's, and are moved away after.
fn run_in(folder: &Path) -> PathBuf {
    let plant = folder.join("plant");
    let sheets = folder.join("sheets");
    fs::create_dir_all(&plant).expect("a folder");
    fs::create_dir_all(&sheets).expect("a folder");
    let mut text = fs::read_to_string(repository_file("scenarios/juniper-creek.toml")).expect("the demonstration");
    for name in ["juniper-creek-sieves.csv", "juniper-creek-stones.csv", "juniper-creek-pans.csv"] {
        fs::copy(repository_file(&format!("scenarios/{name}")), sheets.join(name)).expect("copy a sheet");
        text = text.replace(&format!("\"{name}\""), &format!("\"../sheets/{name}\""));
    }
    fs::write(plant.join("creek.toml"), text).expect("write the scenario");
    let answer = washgraph(folder, 2, &["run", "plant/creek.toml", "--out", "out", "--trials", "200", "--seed", "5"]);
    assert!(answer.code == 0 || answer.code == 1, "{}", answer.stderr);
    fs::remove_dir_all(&plant).expect("move the scenario away");
    fs::remove_dir_all(&sheets).expect("move the sheets away");
    folder.join("out")
}

#[test]
fn property_a_result_is_repeated_from_its_folder_alone_with_the_same_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = run_in(folder.path());
    // Another count of threads, another folder.
    let answer = washgraph(&out, 1, &["rerun", "."]);
    assert_eq!(answer.code, 0, "{}{}", answer.stdout, answer.stderr);
    assert!(answer.stdout.contains("200 trials repeated, the same"), "{}", answer.stdout);
    assert!(answer.stdout.contains("report, figures, tables"), "{}", answer.stdout);
    let again = washgraph(folder.path(), 2, &["rerun", "out/result.json", "--out", "again"]);
    assert_eq!(again.code, 0, "{}{}", again.stdout, again.stderr);
    for name in ["result.json", "report.html", "inputs/scenario.toml", "inputs/2-juniper-creek-sieves.csv"] {
        let (a, b) = (fs::read(out.join(name)), fs::read(folder.path().join("again").join(name)));
        assert_eq!(a.expect("first run"), b.expect("repeated run"), "{name}");
    }
}

#[test]
fn property_changed_results_and_changed_inputs_are_told_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = run_in(folder.path());

    // A number of the result was touched.
    let mut result = fs::read_to_string(out.join("result.json")).expect("the result");
    let recovery = result.find("\"recovery\"").expect("recovery");
    let digit = recovery + result[recovery..].find("\"mean\": 0.").expect("its mean") + "\"mean\": 0.".len();
    let other = if result[digit..].starts_with('9') { "8" } else { "9" };
    result.replace_range(digit..=digit, other);
    fs::write(out.join("touched.json"), &result).expect("write beside the inputs");
    fs::write(folder.path().join("touched.json"), &result).expect("write alone");
    let answer = washgraph(folder.path(), 2, &["rerun", "out/touched.json"]);
    assert_eq!(answer.code, 1, "{}{}", answer.stdout, answer.stderr);
    assert!(
        answer.stdout.contains("differs in 1 places") && answer.stdout.contains("gold.recovery.mean"),
        "{}",
        answer.stdout
    );

    // A result alone needs its scenario.
    let alone = washgraph(folder.path(), 2, &["rerun", "touched.json"]);
    assert_eq!(alone.code, 2);
    assert!(alone.stderr.contains("--scenario"), "{}", alone.stderr);

    // A kept sheet was touched; a kept scenario was touched; the file is no result.
    let sheet = out.join("inputs/2-juniper-creek-sieves.csv");
    let text = fs::read_to_string(&sheet).expect("the sheet");
    fs::write(&sheet, format!("{text}\n")).expect("touch it");
    let answer = washgraph(folder.path(), 2, &["rerun", "out"]);
    assert_eq!(answer.code, 2);
    assert!(answer.stderr.contains("2-juniper-creek-sieves.csv was changed"), "{}", answer.stderr);
    fs::write(&sheet, text).expect("mend it");
    let scenario = out.join("inputs/scenario.toml");
    let text = fs::read_to_string(&scenario).expect("the scenario");
    fs::write(&scenario, format!("# a remark\n{text}")).expect("touch it");
    let answer = washgraph(folder.path(), 2, &["rerun", "out"]);
    assert_eq!(answer.code, 2);
    assert!(answer.stderr.contains("the text of the scenario differs"), "{}", answer.stderr);
    let answer = washgraph(folder.path(), 2, &["rerun", "out/verdict.txt"]);
    assert_eq!(answer.code, 2);
    assert!(answer.stderr.contains("is not a result"), "{}", answer.stderr);
}

/// A riffle of one's own, invented: higher and rougher than any built in.
const OWN_RIFFLE: &str = "[[riffle]]\nname = \"slotted-mat\"\nsaid = \"slotted mat\"\nwords = \"slotted mat, bare\"\n\
    usual_height = \"8 mm\"\nroughness_ratio = \"1.6\"\nsource = \"invented\"\n";

#[test]
fn property_a_file_of_own_riffles_is_kept_with_the_run_and_told_as_unpublished() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    for name in ["juniper-creek-sieves.csv", "juniper-creek-stones.csv", "juniper-creek-pans.csv"] {
        fs::copy(repository_file(&format!("scenarios/{name}")), at(name)).expect("copy a sheet");
    }
    let demo = fs::read_to_string(repository_file("scenarios/juniper-creek.toml")).expect("the demonstration");
    let with = |word: &str| {
        let lines = format!("riffles = \"{word}\"\nriffle_file = \"own.toml\"");
        fs::write(at("creek.toml"), demo.replacen("riffles = \"expanded-metal\"", &lines, 1))
            .expect("write the scenario");
    };
    fs::write(at("own.toml"), OWN_RIFFLE).expect("write the riffles");

    with("slotted-mat");
    let answer = washgraph(folder.path(), 2, &["run", "creek.toml", "--out", "out", "--trials", "200"]);
    assert!(answer.code == 0 || answer.code == 1, "{}", answer.stderr);
    let result = fs::read_to_string(at("out/result.json")).expect("the result");
    assert!(result.contains("no recovery by size is published over slotted mat"));
    assert_eq!(fs::read_to_string(at("out/inputs/4-own.toml")).expect("the kept riffles"), OWN_RIFFLE);

    // A built-in kind beside the file is what it is without it.
    let caught = |name: &str| {
        let text = fs::read_to_string(at(name)).expect("a result");
        let from = text.find("\"recovery\"").expect("recovery");
        text[from..from + 200].to_string()
    };
    with("expanded-metal");
    fs::write(at("plain.toml"), &demo).expect("write the plain scenario");
    for name in ["creek", "plain"] {
        let answer = washgraph(
            folder.path(),
            2,
            &["run", &format!("{name}.toml"), "--out", &format!("{name}-out"), "--trials", "200"],
        );
        assert!(answer.code == 0 || answer.code == 1, "{}", answer.stderr);
    }
    assert_eq!(caught("creek-out/result.json"), caught("plain-out/result.json"));
    assert_ne!(caught("out/result.json"), caught("plain-out/result.json"));

    // The run is repeated from its folder alone, without the file it was read from.
    fs::remove_file(at("own.toml")).expect("move the riffles away");
    let answer = washgraph(folder.path(), 1, &["rerun", "out"]);
    assert_eq!(answer.code, 0, "{}{}", answer.stdout, answer.stderr);

    // Neither a missing file nor a misspelt word is taken for another riffle.
    let answer = washgraph(folder.path(), 1, &["check", "creek.toml"]);
    assert!(answer.code == 2 && answer.stderr.contains("cannot read own.toml"), "{}", answer.stderr);
    fs::write(at("own.toml"), OWN_RIFFLE).expect("write the riffles again");
    with("sloted-mat");
    let answer = washgraph(folder.path(), 1, &["check", "creek.toml"]);
    assert!(answer.code == 2 && answer.stderr.contains("did you mean `slotted-mat`?"), "{}", answer.stderr);
    fs::write(at("own.toml"), OWN_RIFFLE.replacen("8 mm", "8 gpm", 1)).expect("write wrong riffles");
    let answer = washgraph(folder.path(), 1, &["check", "creek.toml"]);
    assert!(answer.code == 2 && answer.stderr.contains("own.toml, line 5: "), "{}", answer.stderr);
}
