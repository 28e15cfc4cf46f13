//! Owners of simulated plants: a plant, a log, and what its owner would have seen.

use std::path::PathBuf;
use std::sync::Arc;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use sim_core::plant::Plant;
use sim_core::problem::Problems;
use washgraph_model::scenario::{Opened, build};
use washgraph_model::tune::log::{self, FieldLog, LogFile};
use washgraph_model::tune::{Day, Ensemble, Evidence};

/// A sound plant, frozen.
pub const CREEK: &str = include_str!("../../broken/sound.toml");

/// The plant of a scenario's text; `folder` has the files that it names.
pub fn plant_of(text: &str, folder: PathBuf) -> (Opened, Arc<Plant>) {
    let opened = Opened { text: text.into(), folder };
    let mut problems = Problems::default();
    let plant = build(&opened, &washgraph_standard_stages::registry(), &mut problems);
    (opened, Arc::new(plant.unwrap_or_else(|| panic!("{:?}", problems.in_order()))))
}

/// A log read against a plant.
pub fn read(text: &str, opened: &Opened, plant: &Arc<Plant>) -> FieldLog {
    let file = LogFile::of_bytes("log.toml", text.as_bytes().to_vec()).unwrap();
    let mut problems = Problems::default();
    let log = log::read(&file, opened, &washgraph_standard_stages::registry(), plant, &mut problems);
    log.unwrap_or_else(|| panic!("{:?}", problems.in_order()))
}

/// The days of a log.
pub fn days<'a>(log: &'a FieldLog) -> Vec<Day<'a>> {
    log.cases.iter().map(|c| Day { date: c.date.clone(), plant: &c.plant, evidence: &c.evidence }).collect()
}

/// The owner whose plant is member `truth` of an ensemble: what he sees.
pub fn seen_by(truth: usize, of: &Ensemble, asked: &[&dyn Evidence]) -> Vec<Box<dyn Evidence>> {
    let mut rng = ChaCha8Rng::seed_from_u64(99);
    rng.set_stream(truth as u64);
    asked.iter().zip(&of.predictions).map(|(e, p)| e.simulate(p.of(truth, 0), &mut rng)).collect()
}
