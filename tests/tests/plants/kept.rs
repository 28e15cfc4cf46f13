//! Files of version 0.1 as they were written then: scenario with its sheets, field log, tuned file (its first draws). They must go on
//! being read, whatever is renamed. The plant is the invented one of the demonstration.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::registry::Registry;
use sim_core::trial::run_trials;
use washgraph_model::scenario::{Opened, build, open};
use washgraph_model::tune::log;

fn kept(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("kept/plant-0.1").join(name)
}

fn plant(opened: &Opened, registry: &Registry) -> Plant {
    let mut problems = Problems::default();
    let plant = build(opened, registry, &mut problems);
    let told: Vec<String> = problems.in_order().iter().map(|p| format!("{}; {}", p.message, p.help)).collect();
    plant.unwrap_or_else(|| panic!("{}", told.join("\n")))
}

#[test]
fn pinned_scenario_of_version_0_1_is_read_and_runs_as_then() {
    let registry = washgraph_standard_stages::registry();
    let plant = plant(&open(&kept("juniper-creek.toml")).expect("file"), &registry);
    let run = run_trials(&plant, plant.seed, 64, &AtomicU64::new(0));
    let recovery = run.caught.iter().sum::<f64>() / run.fed.iter().sum::<f64>();
    // As version 0.1 printed it for 64 trials.
    assert!((recovery - 0.872_163_105_525_514_1).abs() < 1e-12, "{recovery}");
}

#[test]
fn pinned_log_and_tuned_file_of_version_0_1_are_read() {
    let registry = washgraph_standard_stages::registry();
    let opened = open(&kept("juniper-creek.toml")).expect("file");
    let untuned = Arc::new(plant(&opened, &registry));
    for name in ["juniper-creek-log-all.toml", "juniper-creek-log-all.csv"] {
        let mut problems = Problems::default();
        let file = log::open(&kept(name)).expect("file");
        let log = log::read(&file, &opened, &registry, &untuned, &mut problems).expect("a log that is read");
        let seen: usize = log.cases.iter().map(|c| c.evidence.len()).sum();
        assert!(!problems.has_errors() && seen > 10, "{name}: {seen} observations");
    }
    let text = format!("tuned = \"tuned.toml\"\n{}", opened.text);
    let tuned = plant(&Opened { text, folder: opened.folder.clone() }, &registry);
    let note = tuned.tuned.expect("a tuned plant");
    assert!(note.observations == 5 && note.constants > 50 && note.left_out == 0, "{note:?}");
}
