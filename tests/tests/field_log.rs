//! The field log: read against the demo, every kind of observation with its example.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use rand::SeedableRng;
use sim_core::plant::Plant;
use sim_core::problem::{Problems, Severity};
use sim_core::scenario::{Opened, build, open};
use sim_core::trial::Worker;
use sim_core::tune::log::{FieldLog, LogFile, read};
use sim_core::tune::observe::{ALL, ObservationKind};

fn repository_file(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

fn demo() -> (Opened, Arc<Plant>) {
    let opened = open(&repository_file("scenarios/juniper-creek.toml")).expect("demo");
    let mut problems = Problems::default();
    let plant = build(&opened, &standard_stages::registry(), &mut problems).expect("sound");
    (opened, Arc::new(plant))
}

fn try_log(name: &str, text: &str) -> (Option<FieldLog>, Problems) {
    let (opened, plant) = demo();
    let file = LogFile::of_bytes(name, text.as_bytes().to_vec()).expect("text");
    let mut problems = Problems::default();
    let log = read(&file, &opened, &standard_stages::registry(), &plant, &mut problems);
    (log, problems)
}

fn messages(problems: &Problems) -> String {
    problems.in_order().iter().map(|p| format!("{}: {}; {}\n", p.severity.word(), p.message, p.help)).collect()
}

fn log_of(name: &str, text: &str) -> FieldLog {
    let (log, problems) = try_log(name, text);
    log.unwrap_or_else(|| panic!("{text}\n{}", messages(&problems)))
}

fn example(kind: &ObservationKind) -> String {
    format!("[[seen]]\ndate = 2026-06-12\n{}\n", kind.example)
}

#[test]
fn property_every_example_reads_on_the_demo_without_a_word() {
    for kind in ALL {
        let mut text = example(kind);
        if kind.sets_the_day {
            text += "[[seen]]\ndate = 2026-06-12\nwhat = \"gauge\"\nat = \"spray\"\npressure = \"14 psi\"\n";
        }
        let (log, problems) = try_log("log.toml", &text);
        let told = messages(&problems);
        assert_eq!(told, "", "{}", kind.name);
        let log = log.expect("a log");
        assert_eq!(log.observations(), 1, "{}", kind.name);
        assert_eq!(log.cases[0].settings.is_empty(), !kind.sets_the_day, "{}", kind.name);
    }
}

/// Three hundred owners on a plant in its middle case: the squares of their residuals have mean 1, and on average the likelihood
/// is greatest at what the plant predicts.
#[test]
fn identity_every_observation_weighs_itself_right() {
    for kind in ALL.iter().filter(|k| !k.sets_the_day) {
        let log = log_of("log.toml", &example(kind));
        let case = &log.cases[0];
        let evidence = &case.evidence[0];
        let mut worker = Worker::new(&case.plant, 1);
        let mut predicted = Vec::new();
        evidence.predict(&mut worker, &mut predicted);
        let parts = evidence.parts().len();
        let told: Vec<String> =
            evidence.parts().iter().zip(&predicted).map(|(p, x)| format!("{} {} {x}", p.words, p.seen)).collect();
        println!("{}: {told:?}", kind.name);
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(5);
        let (mut squares, mut likely) = (0.0, [0.0; 3]);
        for _ in 0..300 {
            let seen = evidence.simulate(&predicted, &mut rng);
            let mut r = Vec::new();
            seen.residuals(&predicted, &mut r);
            assert_eq!(r.len(), parts, "{}", kind.name);
            squares += r.iter().map(|x| x * x).sum::<f64>();
            for (sum, factor) in likely.iter_mut().zip([1.0, 1.25, 0.8]) {
                let other: Vec<f64> = predicted.iter().map(|p| p * factor).collect();
                *sum += seen.ln_likelihood(&other);
            }
        }
        let mean = squares / (300.0 * parts as f64);
        // Where hardly a grain is expected a count cannot scatter by one standard deviation.
        let least = if kind.name.ends_with("-pan") { 0.5 } else { 0.75 };
        assert!(mean > least && mean < 1.25, "{}: {mean}", kind.name);
        assert!(likely[0] > likely[1] && likely[0] > likely[2], "{}: {likely:?}", kind.name);
    }
}

#[test]
fn identity_an_empty_log_has_no_cases() {
    let log = log_of("log.toml", "title = \"nothing yet\"\n");
    assert!(log.cases.is_empty());
}

#[test]
fn property_settings_of_the_day_make_the_plant_of_the_day() {
    let text = "[[seen]]\ndate = 2026-06-12\nwhat = \"gauge\"\nat = \"spray\"\npressure = \"14 psi\"\n\
                settings = { \"drum.speed\" = \"20 rpm\", \"hopper.rate\" = \"24 yd3/h loose\" }\n";
    let log = log_of("log.toml", text);
    let case = &log.cases[0];
    assert_eq!(case.settings.len(), 2);
    assert!(!case.plant.inputs.all().iter().any(|i| i.name == "hopper/rate"), "the rate of that day is known");
    let (_, problems) = try_log("log.toml", &text.replace("drum.speed", "drum.sped"));
    let told = messages(&problems);
    assert!(told.contains("`drum` has no setting `sped`; did you mean `drum.speed`?"), "{told}");
    assert!(problems.in_order().iter().all(|p| p.severity != Severity::Error || p.span.is_some()), "{told}");
}
