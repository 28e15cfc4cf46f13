//! Scenarios with one mistake each: the program must name the mistake, its place and the way out, and run nothing.
//!
//! All are `broken/sound.toml` with one change, those of pumps with a pump in place of typed pressures as well. Some stand as files, the rest
//! are made here from a table.

use std::fs;
use std::path::Path;

use washgraph_tests::{Answer, repository_file, washgraph};

/// One broken scenario that stands as a file in `tests/broken`.
struct BrokenFile {
    /// Name without `.toml`.
    name: &'static str,
    /// Line of the mistake; `None` where the whole file is meant.
    line: Option<usize>,
    /// Pieces that the message and its help must hold.
    says: &'static [&'static str],
}

/// One broken scenario made by replacing text in the sound one.
struct BrokenChange {
    name: &'static str,
    /// Pairs of old and new text; the old must occur.
    change: &'static [(&'static str, &'static str)],
    line: Option<usize>,
    says: &'static [&'static str],
}

const FILES: &[BrokenFile] = &[
    BrokenFile {
        name: "unknown-key",
        line: Some(59),
        says: &["`grizly_gap` is not a setting of hopper", "help: did you mean `grizzly_gap`?"],
    },
    BrokenFile {
        name: "psi-for-a-length",
        line: Some(63),
        says: &["`psi` is a pressure, here a length is wanted", "help: e.g. `1/2 in`"],
    },
    BrokenFile {
        name: "bare-gallon",
        line: Some(104),
        says: &["`gal/min` does not say which gallon", "help: say which: `US gpm` or `imp gpm`"],
    },
    BrokenFile {
        name: "negative-length",
        line: Some(69),
        says: &["`length` of -5 ft is out of range", "help: it must lie between 50 mm and 50 m"],
    },
    BrokenFile {
        name: "loop",
        line: None,
        says: &["the wires run in a loop through drum, sluice", "help: gravel must flow one way"],
    },
    BrokenFile {
        name: "unwired-outlet",
        line: None,
        says: &["outlet `sluice.tailings`", "is not wired", "help: add a wire \"sluice.tailings -> tailings\""],
    },
    BrokenFile {
        name: "zero-colours",
        line: Some(48),
        says: &["no gold was found in the pans", "help: with no colour"],
    },
    BrokenFile {
        name: "falling-gradation",
        line: Some(34),
        says: &[
            "only 86.0 % passes 2 in, but 92.0 % passes the finer 1 in: a wider sieve cannot pass less",
            "help: check these two rows",
        ],
    },
    BrokenFile {
        name: "drum-without-screen",
        line: Some(61),
        says: &["the drum has no section with holes", "help: add a [[stage.section]] of kind screen"],
    },
    BrokenFile {
        name: "pitch-below-hole",
        line: Some(75),
        says: &["the pitch is not larger than the hole", "help: pitch is the distance"],
    },
    BrokenFile {
        name: "above-critical-speed",
        line: Some(65),
        says: &[
            "at 60 rpm a drum of this diameter centrifuges",
            "critical speed is 44 rpm",
            "help: 30 to 45 % of critical",
        ],
    },
    BrokenFile { name: "syntax-error", line: Some(9), says: &["extra `=`", "help: each line is key = value"] },
    BrokenFile {
        name: "spread-out-of-order",
        line: Some(22),
        says: &["low, mid and high of `clay` are not in order", "help: low must not be above mid"],
    },
    BrokenFile {
        name: "not-utf-8",
        line: None,
        says: &["not-utf-8.toml is not plain text in UTF-8 (byte", "save it as UTF-8"],
    },
    BrokenFile {
        name: "empty",
        line: Some(1),
        says: &["lacks `title`", "lacks [ground]", "has no `wires`", "has no stages", "help: add wires ="],
    },
    BrokenFile {
        name: "pump-curve-rises",
        line: Some(86),
        says: &["the head must fall as the flow grows", "help: flow and head may be swapped"],
    },
    BrokenFile {
        name: "pump-cannot-lift",
        line: Some(84),
        says: &["cannot lift the water: its head at no flow is 38.0 m, 46.5 m are needed", "help: check heights"],
    },
    BrokenFile {
        name: "pump-lift-too-high",
        line: Some(87),
        says: &["a lift of 34.4 ft is beyond what suction can do", "help: set the pump lower"],
    },
    BrokenFile {
        name: "pump-dry-branch",
        line: Some(84),
        says: &["no water reaches hopper-nozzles", "help: lower it"],
    },
    BrokenFile {
        name: "spray-bar-without-holes",
        line: Some(108),
        says: &["`holes` of 0 is out of range", "help: it must lie between 1 and 5000"],
    },
    BrokenFile {
        name: "outlet-of-unknown-pump",
        line: Some(107),
        says: &["nothing feeds water outlet `spray`: there is no pump `pumpe`", "help: did you mean from = \"pump\"?"],
    },
];

const CHANGES: &[BrokenChange] = &[
    BrokenChange {
        name: "bare-ton",
        change: &[(
            "rate = { low = \"27 yd3/h loose\", mid = \"30 yd3/h loose\", high = \"33 yd3/h loose\" }",
            "rate = \"40 ton/h\"",
        )],
        line: Some(58),
        says: &["`ton/h` is a weight per time", "help: a weight rate is no volume"],
    },
    BrokenChange {
        name: "bare-gpm",
        change: &[("\"120 US gpm\"", "\"120 gpm\"")],
        line: Some(104),
        says: &["`gpm` does not say which gallon", "help: say which: `US gpm` or `imp gpm`"],
    },
    BrokenChange {
        name: "out-of-range",
        change: &[("slope = \"4 deg\"", "slope = \"80 deg\"")],
        line: Some(64),
        says: &["`slope` of 80 deg is out of range", "help: it must lie between"],
    },
    BrokenChange {
        name: "inlet-fed-twice",
        change: &[("\"drum.oversize -> tailings\"", "\"drum.oversize -> sluice.feed\"")],
        line: Some(17),
        says: &["inlet `sluice.feed` is fed twice", "help: to bring streams together put a junction in between"],
    },
    BrokenChange {
        name: "outlet-wired-twice",
        change: &[(
            "\"drum.oversize -> tailings\",",
            "\"drum.oversize -> tailings\",\n  \"drum.undersize -> tailings\",",
        )],
        line: Some(18),
        says: &["outlet `drum.undersize` is wired twice", "help: to divide a stream put a splitter in between"],
    },
    BrokenChange {
        name: "unknown-kind",
        change: &[("kind = \"sluice\"", "kind = \"sluise\"")],
        line: Some(78),
        says: &["there is no stage of kind `sluise`", "help: did you mean `sluice`?"],
    },
    BrokenChange {
        name: "unknown-section-kind",
        change: &[("kind = \"scrubber\"", "kind = \"scruber\"")],
        line: Some(68),
        says: &["there is no section of kind `scruber`", "help: did you mean `scrubber`?"],
    },
    BrokenChange {
        name: "unknown-water-kind",
        change: &[("kind = \"spray-bar\"", "kind = \"spray-baar\"")],
        line: Some(94),
        says: &["there is no water outlet of kind `spray-baar`", "help: did you mean `spray-bar`?"],
    },
    BrokenChange {
        name: "same-id",
        change: &[("kind = \"sluice\"\n", "kind = \"sluice\"\nid = \"drum\"\n")],
        line: Some(77),
        says: &["two stages are called `drum`", "help: give each an id of its own"],
    },
    BrokenChange {
        name: "mounted-on-nothing",
        change: &[("on = \"drum.screen\"", "on = \"drum.screeen\"")],
        line: Some(95),
        says: &["`drum` has no section `screeen`", "help: its sections: scrubber, screen"],
    },
    BrokenChange {
        name: "unclosed-quote",
        change: &[("diameter = \"36 in\"", "diameter = \"36 in")],
        line: Some(63),
        says: &["invalid basic string", "help: each line is key = value"],
    },
    BrokenChange {
        name: "spread-not-wanted",
        change: &[("grizzly_gap = \"6 in\"", "grizzly_gap = { low = \"5 in\", mid = \"6 in\", high = \"7 in\" }")],
        line: Some(59),
        says: &["`grizzly_gap` must be one known value, not a spread", "help: give a single value"],
    },
    BrokenChange {
        name: "spread-count",
        change: &[("holes = 50", "holes = { low = 40, mid = 50, high = 60 }")],
        line: Some(96),
        says: &["`holes` cannot be a table", "help: give a whole number"],
    },
    BrokenChange {
        name: "spread-missing-high",
        change: &[(", high = \"9 %\"", "")],
        line: Some(25),
        says: &["the spread of `moisture` lacks high", "help: write { low ="],
    },
    BrokenChange {
        name: "decimal-comma",
        change: &[("\"1.75 in/ft\"", "\"1,75 in/ft\"")],
        line: Some(81),
        says: &["`1,75` has a comma", "help: the decimal mark is a point: write `1.75`"],
    },
    BrokenChange {
        name: "missing-setting",
        change: &[("width = \"36 in\"\n", "")],
        line: Some(77),
        says: &["sluice lacks `width`", "help: add it"],
    },
    BrokenChange {
        name: "wire-unknown-stage",
        change: &[("\"hopper.feed -> drum.feed\"", "\"hopper.feed -> drumm.feed\"")],
        line: Some(15),
        says: &["there is no stage `drumm`", "help: did you mean `drum`?"],
    },
    BrokenChange {
        name: "wire-unknown-port",
        change: &[("\"drum.oversize ->", "\"drum.oversise ->")],
        line: Some(17),
        says: &["`drum` has no outlet `oversise`", "help: did you mean `oversize`?"],
    },
    BrokenChange {
        name: "no-arrow-in-wire",
        change: &[("\"hopper.feed -> drum.feed\"", "\"hopper.feed drum.feed\"")],
        line: Some(15),
        says: &["is not a wire", "help: write \"stage.outlet -> stage.inlet\""],
    },
    BrokenChange {
        name: "no-unit",
        change: &[("diameter = \"36 in\"", "diameter = 36")],
        line: Some(63),
        says: &["the unit is missing: here a length is wanted", "help: write a length such as"],
    },
    BrokenChange {
        name: "unknown-riffle",
        change: &[("\"expanded-metal\"", "\"expanded-metl\"")],
        line: Some(82),
        says: &["`expanded-metl` is not a known", "help: did you mean `expanded-metal`?"],
    },
    BrokenChange {
        name: "misspelt-required-key",
        change: &[("diameter = \"36 in\"", "diametr = \"36 in\"")],
        line: Some(63),
        says: &["`diametr` is not a setting of drum", "help: did you mean `diameter`?", "1 error: nothing was run"],
    },
    BrokenChange {
        name: "partly-loose-partly-bank",
        change: &[("mid = \"30 yd3/h loose\"", "mid = \"30 yd3/h bank\"")],
        line: Some(58),
        says: &[
            "the spread of `rate` is partly loose and partly bank",
            "help: say loose in all three, or bank in all three",
        ],
    },
    BrokenChange {
        name: "zero-trials",
        change: &[("trials = 5000", "trials = 0")],
        line: Some(9),
        says: &["`trials` of 0 is out of range", "help: it must lie between 1 and"],
    },
    BrokenChange {
        name: "negative-count",
        change: &[("holes = 50", "holes = -50")],
        line: Some(96),
        says: &["`holes` of -50 is out of range", "help: it must lie between 1 and 5000"],
    },
    BrokenChange {
        name: "not-a-number",
        change: &[("\"36 in\"\nslope", "\"nan in\"\nslope")],
        line: Some(63),
        says: &["not a finite number", "help: write a length such as"],
    },
    BrokenChange {
        name: "more-than-all-passes",
        change: &[("\"5 in\", \"100 %\"", "\"5 in\", \"130 %\"")],
        line: Some(32),
        says: &["130 % cannot pass: a share lies between 0 and 100 %", "help: write the share of the whole sample"],
    },
    BrokenChange {
        name: "unknown-units",
        change: &[("units = \"us\"", "units = \"uss\"")],
        line: Some(7),
        says: &["`uss` is not a known", "help: did you mean `us`?"],
    },
    BrokenChange {
        name: "zero-period",
        change: &[("period = \"10 h\"", "period = \"0 h\"")],
        line: Some(11),
        says: &["`period` of 0 h is out of range", "help: it must lie between"],
    },
    BrokenChange {
        name: "unknown-key-at-top",
        change: &[("question =", "qestion =")],
        line: Some(6),
        says: &["`qestion` is not a setting of the scenario", "help: did you mean `question`?"],
    },
    BrokenChange {
        name: "unknown-sieve",
        change: &[("\"US 30\", \"16 %\"", "\"US 31\", \"16 %\"")],
        line: Some(39),
        says: &["the US series has no sieve number 31", "help: the nearest are 30 and 35"],
    },
];

fn sound() -> String {
    fs::read_to_string(repository_file("tests/broken/sound.toml")).expect("the sound scenario")
}

/// The text as one line with single blanks, without the frame, so that line breaks of the message do not matter.
fn flat(text: &str) -> String {
    text.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("read the folder")
        .map(|entry| entry.expect("entry of the folder").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Faults found with one answer, empty if all is as it should be.
fn faults(file: &str, answer: &Answer, line: Option<usize>, says: &[&str]) -> Vec<String> {
    let mut faults = Vec::new();
    if answer.code != 2 {
        faults.push(format!("exit code {} instead of 2", answer.code));
    }
    if !answer.stdout.is_empty() {
        faults.push("something on stdout".to_owned());
    }
    let said = flat(&answer.stderr);
    for piece in says {
        if !said.contains(piece) {
            faults.push(format!("`{piece}` is not said"));
        }
    }
    if let Some(line) = line {
        let place = format!("[{file}:{line}:");
        if !said.contains(&place) {
            faults.push(format!("the place `{place}` is not named"));
        }
    }
    faults
}

/// Runs and checks the scenario in a folder that holds it alone; nothing may be added to the folder.
fn assert_refused(name: &str, content: &[u8], line: Option<usize>, says: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = format!("{name}.toml");
    fs::write(folder.path().join(&file), content).expect("write the scenario");
    for command in ["check", "run"] {
        let answer = washgraph(folder.path(), 1, &[command, &file]);
        let faults = faults(&file, &answer, line, says);
        assert!(faults.is_empty(), "{command} {file}: {faults:#?}\n{}{}", answer.stdout, answer.stderr);
    }
    assert_eq!(names_in(folder.path()), [file], "something was written");
}

#[test]
fn property_the_sound_scenario_has_no_problem() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("sound.toml"), sound()).expect("write the scenario");
    let answer = washgraph(folder.path(), 1, &["check", "sound.toml"]);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
}

#[test]
fn property_each_broken_file_is_refused_with_words_and_place() {
    for broken in FILES {
        let path = repository_file(&format!("tests/broken/{}.toml", broken.name));
        let content = fs::read(&path).expect("read the broken scenario");
        assert_refused(broken.name, &content, broken.line, broken.says);
    }
}

#[test]
fn property_every_file_of_the_folder_is_in_the_table() {
    let mut known: Vec<String> = FILES.iter().map(|broken| format!("{}.toml", broken.name)).collect();
    known.extend(["five-mistakes.toml".to_owned(), "sound.toml".to_owned()]);
    known.sort();
    assert_eq!(names_in(&repository_file("tests/broken")), known);
}

#[test]
fn property_each_changed_scenario_is_refused_with_words_and_place() {
    for broken in CHANGES {
        let mut text = sound();
        for (old, new) in broken.change {
            assert!(text.contains(old), "{}: the sound scenario has no `{old}`", broken.name);
            text = text.replacen(old, new, 1);
        }
        assert_refused(broken.name, text.as_bytes(), broken.line, broken.says);
    }
}

#[test]
fn property_without_stages_the_scenario_is_refused() {
    let text = sound();
    let (head, rest) = text.split_once("[[stage]]").expect("stages");
    let (_, water) = rest.split_once("[[water]]").expect("water");
    let text = format!("{head}[[water]]{water}");
    assert_refused("no-stages", text.as_bytes(), None, &["the scenario has no stages", "help: add tables [[stage]]"]);
}

#[test]
fn property_five_mistakes_are_all_told_in_one_go() {
    let content = fs::read(repository_file("tests/broken/five-mistakes.toml")).expect("read the scenario");
    let places = [34, 59, 65, 81, 104].map(|line| format!("[five-mistakes.toml:{line}:"));
    let mut says: Vec<&str> = places.iter().map(String::as_str).collect();
    says.extend([
        "a wider sieve cannot pass less",
        "`grizly_gap` is not a setting of hopper",
        "`psi` is a pressure",
        "`1,75` has a comma",
        "`gpm` does not say which gallon",
        "5 errors: nothing was run",
    ]);
    assert_refused("five-mistakes", &content, None, &says);
}

#[test]
fn property_a_missing_file_and_a_folder_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("folder.toml")).expect("make a folder");
    for command in ["check", "run"] {
        let missing = washgraph(folder.path(), 1, &[command, "missing.toml"]);
        assert_eq!(faults("missing.toml", &missing, None, &["cannot read missing.toml"]), Vec::<String>::new());
        let directory = washgraph(folder.path(), 1, &[command, "folder.toml"]);
        let says = ["folder.toml is a folder, not a scenario file"];
        assert_eq!(faults("folder.toml", &directory, None, &says), Vec::<String>::new());
    }
    assert_eq!(names_in(folder.path()), ["folder.toml"], "something was written");
}
