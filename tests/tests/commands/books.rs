//! No command answers of a plant with a stage that does not keep its books.

use std::process::Command;

const RENAMED: &str = env!("CARGO_BIN_EXE_washgraph-renamed");

#[test]
fn property_no_command_answers_of_a_plant_whose_books_do_not_close() {
    let folder = tempfile::tempdir().unwrap();
    let sound = washgraph_tests::renamed::scenario(include_str!("../../broken/sound.toml"));
    let stolen = sound
        .replace("hopper.feed-qq -> drum.feed-qq", "hopper.feed-qq -> thief.feed\", \"thief.out -> drum.feed-qq")
        + "\n[[stage]]\nkind = \"thief\"\n";
    for (name, text) in [("sound.toml", &sound), ("stolen.toml", &stolen)] {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let log = "[[seen]]\ndate = 2026-07-01\nwhat = \"outlet\"\n";
    std::fs::write(folder.path().join("log.toml"), log).unwrap();
    let ran = |words: &[&str]| Command::new(RENAMED).args(words).current_dir(folder.path()).output().unwrap();
    for words in [
        ["run", "stolen.toml", "--trials", "50"].as_slice(),
        &["run", "stolen.toml", "--once"],
        &["water", "stolen.toml", "--trials", "50"],
        &["sheet", "stolen.toml"],
        &["losses", "stolen.toml", "--trials", "50"],
        &["holes", "stolen.toml", "--trials", "50"],
        &["best", "stolen.toml", "drum.slope_qq=3 deg..6 deg", "--trials", "50"],
        &["vary", "stolen.toml", "drum.slope_qq=3 deg..6 deg", "--trials", "50"],
        &["compare", "sound.toml", "stolen.toml", "--trials", "50"],
        &["drivers", "stolen.toml", "--trials", "50"],
        &["next", "stolen.toml"],
        &["diagnose", "stolen.toml", "fine-gold-lost", "--trials", "50"],
        &["tune", "stolen.toml", "log.toml"],
    ] {
        let answer = ran(words);
        let said = String::from_utf8_lossy(&answer.stderr);
        assert_eq!(answer.status.code(), Some(70), "{words:?}: {said}");
        assert!(said.contains("books of gold do not close at `thief`"), "{words:?}: {said}");
        assert!(answer.stdout.is_empty(), "{words:?} answers all the same");
    }
}
