//! The shop sheet from end to end: what is written, what is refused, what a plant without a drum gets.

use std::fs;

use serde_json::Value;
use washgraph_tests::{repository_file, washgraph};

fn demo() -> String {
    repository_file("tests/broken/sound.toml").to_string_lossy().into_owned()
}

fn document(folder: &std::path::Path, arguments: &[&str]) -> Value {
    let answer = washgraph(folder, 2, arguments);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    serde_json::from_str(&answer.stdout).expect("valid JSON")
}

/// The numbers of the sheet are those of the run with the same seed and trials.
#[test]
fn identity_numbers_of_the_run_are_those_of_the_result() {
    let folder = tempfile::tempdir().expect("a folder");
    let sheet = document(folder.path(), &["sheet", &demo(), "--json", "--trials", "200"]);
    let run = washgraph(folder.path(), 2, &["run", &demo(), "--json", "--trials", "200"]);
    let run: Value = serde_json::from_str(&run.stdout).expect("valid JSON");
    let torque =
        run["measures"].as_array().expect("measures").iter().find(|m| m["name"] == "drive_torque").expect("torque");
    let rows =
        sheet["parts"].as_array().expect("parts").iter().flat_map(|p| p["rows"].as_array().expect("rows").clone());
    let row = rows
        .into_iter()
        .find(|r| r["what"].as_str().is_some_and(|w| w == "torque at the shell, running"))
        .expect("row");
    assert_eq!(row["si"], torque["value"]["pctl_50"]);
    assert_eq!(fs::read_dir(folder.path()).expect("folder").count(), 0, "--json alone writes no file");
}

#[test]
fn property_writes_sheet_template_and_tables_and_the_same_bytes_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let read = |name: &str| fs::read(folder.path().join("shop").join(name)).expect(name);
    for threads in [1, 2] {
        let answer =
            washgraph(folder.path(), threads, &["sheet", &demo(), "--out", "shop", "--trials", "150", "--paper", "a4"]);
        assert_eq!(answer.code, 0, "{}", answer.stderr);
        let before = ["sheet.html", "template.html", "numbers.csv", "bill.csv", "sheet.xlsx", "sheet.json"].map(read);
        let again =
            washgraph(folder.path(), 2, &["sheet", &demo(), "--out", "shop", "--trials", "150", "--paper", "a4"]);
        assert_eq!(again.code, 0, "{}", again.stderr);
        let after = ["sheet.html", "template.html", "numbers.csv", "bill.csv", "sheet.xlsx", "sheet.json"].map(read);
        assert!(before == after);
    }
    // The bill, filled in, is the price list of the next sheet.
    let bill = String::from_utf8(read("bill.csv")).expect("text");
    let priced: String = bill.lines().map(|l| l.replacen(",lb,,", ",lb,1.25,", 1) + "\n").collect();
    assert_ne!(bill, priced);
    fs::write(folder.path().join("prices.csv"), priced).expect("write");
    let sheet = document(folder.path(), &["sheet", &demo(), "--json", "--trials", "50", "--prices", "prices.csv"]);
    assert!(sheet["bill"]["sum"].as_f64().expect("sum") > 0.0);
}

#[test]
fn property_refuses_what_it_cannot_use_and_says_why() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("prices.csv"), "item,price\nsteel plate,-1\npipe,abc\n").expect("write");
    fs::write(folder.path().join("in-the-way"), "a file").expect("write");
    fs::create_dir(folder.path().join("mine")).expect("folder");
    fs::write(folder.path().join("mine/letter.txt"), "keep me").expect("write");
    let cases: [(&[&str], &[&str]); 5] = [
        (&["--prices", "prices.csv"], &["row 2, column price: `-1`", "row 3, column price: `abc`"]),
        (&["--prices", "nowhere.csv"], &["cannot read nowhere.csv"]),
        (&["--out", "in-the-way/sheet"], &["cannot write in-the-way"]),
        (&["--out", "mine"], &["mine is there already"]),
        (&["--paper", "foolscap"], &["foolscap"]),
    ];
    for (arguments, says) in cases {
        let scenario = demo();
        let all: Vec<&str> = ["sheet", scenario.as_str(), "--trials", "20"].iter().chain(arguments).copied().collect();
        let answer = washgraph(folder.path(), 2, &all);
        assert_eq!(answer.code, 2, "{arguments:?}: {}", answer.stderr);
        for words in says {
            assert!(answer.stderr.contains(words), "{arguments:?}: {}", answer.stderr);
        }
    }
    assert_eq!(fs::read_to_string(folder.path().join("mine/letter.txt")).expect("kept"), "keep me");
}

#[test]
fn property_a_plant_without_a_drum_has_a_sheet() {
    let sound = fs::read_to_string(demo()).expect("the sound plant");
    let (head, rest) = sound.split_once("[[stage]]\nkind = \"drum\"").expect("a drum");
    let (_, sluice) = rest.split_once("[[stage]]\nkind = \"sluice\"").expect("a sluice");
    let head = head
        .replace("\"hopper.feed -> drum.feed\"", "\"hopper.feed -> sluice.feed\"")
        .replace("  \"drum.undersize -> sluice.feed\",\n", "")
        .replace("  \"drum.oversize -> tailings\",\n", "");
    let tables: String = sluice
        .split("[[water]]")
        .enumerate()
        .filter(|(i, t)| *i == 0 || !t.contains("on = \"drum"))
        .map(|(i, t)| if i == 0 { t.to_string() } else { format!("[[water]]{t}") })
        .collect();
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("plain.toml"), format!("{head}[[stage]]\nkind = \"sluice\"{tables}")).expect("write");
    let answer = washgraph(folder.path(), 2, &["sheet", "plain.toml", "--trials", "50"]);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    assert!(answer.stdout.contains("Sluice") && !answer.stdout.contains("Template"));
    let files: Vec<_> = fs::read_dir(folder.path().join("out/plain-sheet")).expect("folder").collect();
    assert_eq!(files.len(), 7, "no template without holes, and the list of what was written");
}
