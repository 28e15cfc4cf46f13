//! Invented plants, most with one planned trouble, and beside each what an expert would say of it.
//!
//! `plants/NAME.toml` is a whole scenario, `expected/NAME.toml` what is expected: first change, hole, next measurement, broken limits,
//! money, each with its reason. The reason starts with `physics:` (a calculation by hand) or `practice:` (common practice, no source).
//! All words that they may use stand in `words.toml`. The expectations were written before the program's advice on these plants was
//! seen; where the two differ, a note in the file says who is right and why, and the expectation stays as it was written.
//!
//! Here only the plants and the expectations themselves are checked.

mod expectation;
mod words;

use std::path::PathBuf;

use expectation::{Expectation, names};
use sim_core::problem::{Problems, Severity};
use sim_core::registry::Registry;
use washgraph_model::scenario::{build, open};
use words::Words;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/agreement")
}

/// Calls `look` with each plant and its expectation; what it finds wrong is told for all of them at once.
#[track_caller]
fn each(look: impl Fn(&str, &Expectation, &Registry, &Words) -> Vec<String>) {
    let registry = washgraph_standard_stages::registry();
    let words = Words::read(&folder().join("words.toml"));
    let mut faults = Vec::new();
    for name in names(&folder().join("plants")) {
        match Expectation::read(&folder().join(format!("expected/{name}.toml"))) {
            Ok(expected) => {
                faults.extend(look(&name, &expected, &registry, &words).into_iter().map(|f| format!("{name}: {f}")))
            }
            Err(why) => faults.push(format!("{name}: {why}")),
        }
    }
    assert!(faults.is_empty(), "{} wrong:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn identity_each_plant_has_its_expectation_and_each_expectation_its_plant() {
    let (plants, expected) = (names(&folder().join("plants")), names(&folder().join("expected")));
    assert_eq!(plants, expected);
    assert!(plants.len() >= 20, "{} plants", plants.len());
}

#[test]
fn property_every_plant_is_read_without_errors_and_says_that_it_is_invented() {
    each(|name, _, registry, _| {
        let mut faults = Vec::new();
        let opened = open(&folder().join(format!("plants/{name}.toml"))).expect("plant");
        if !opened.text.lines().next().is_some_and(|first| first.contains("invented")) {
            faults.push("its first line does not say that it is invented".to_string());
        }
        let mut problems = Problems::default();
        let plant = build(&opened, registry, &mut problems);
        let errors = problems.in_order().into_iter().filter(|p| p.severity == Severity::Error);
        faults.extend(errors.map(|p| format!("{}; {}", p.message, p.help)));
        if plant.is_none() && faults.is_empty() {
            faults.push("no plant, and no error that says why".into());
        }
        faults
    });
}

#[test]
fn property_every_expectation_is_complete_and_uses_known_words() {
    each(|_, expected, _, words| [expected.gaps(), expected.unknown_words(words)].concat());
}

/// A change that goes down must start above the range that it leads to, and a plate that may stay must lie in the range of good ones:
/// else plant and expectation are not of one another.
#[test]
fn property_every_expectation_fits_its_plant() {
    each(|name, expected, registry, words| {
        let text = std::fs::read_to_string(folder().join(format!("plants/{name}.toml"))).expect("plant");
        let plant = text.parse::<toml_edit::DocumentMut>().expect("TOML");
        let mut faults = expected.hole_misfits(&plant, registry);
        faults.extend(expected.first_change_misfits(&plant, registry, words));
        if expected.says_no_prices() == plant.contains_key("money") {
            faults.push("what is said of money does not go with the prices of the plant".into());
        }
        faults
    });
}

/// A word for a change that names a setting which no kind has could never be met.
#[test]
fn property_every_word_for_a_change_names_a_setting_that_there_is() {
    let faults = Words::read(&folder().join("words.toml")).unmet(&washgraph_standard_stages::registry());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
