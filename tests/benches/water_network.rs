//! Time of the water network in a trial of the demonstration: `cargo bench -p washgraph-tests --bench water_network`.
//!
//! Plain wall time, best of five. The fast path is timed as the trials run it (from the middle case), the reference (Newton on all heads and
//! flows) beside it.

use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

use sim_core::draw::Draws;
use sim_core::particle::water::WaterState;
use sim_core::plant::Plant;
use sim_core::plumbing::LineState;
use sim_core::problem::Problems;
use sim_core::stage::OutletState;
use washgraph_advice::water::WaterCase;
use washgraph_model::scenario::{build, open};

/// Trials looked at, each solved so many times.
const TRIALS: u64 = 50;
const TIMES: usize = 200;

fn best_of_five_us(count: usize, mut work: impl FnMut()) -> f64 {
    let seconds = (0..5)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min);
    seconds / count as f64 * 1e6
}

fn demo() -> Option<Plant> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/juniper-creek.toml");
    build(&open(&path).ok()?, &washgraph_standard_stages::registry(), &mut Problems::default())
}

fn main() {
    let Some(plant) = demo() else {
        eprintln!("the demonstration does not build");
        std::process::exit(1);
    };
    let Some(line) = plant.lines.first() else {
        eprintln!("the demonstration has no pump");
        std::process::exit(1);
    };
    let water = WaterState::clean(8.0);
    let mut draws = Draws::new(1, &plant.inputs);
    let mut state = LineState::default();
    let mut outlets = vec![OutletState::default(); plant.outlets.len()];
    draws.set_middle(&plant.inputs);
    line.solve(&draws, &water, &plant.outlets, &mut state, None, &mut outlets);
    let mut steps = 0;
    let mut total = 0.0;
    for trial in 0..TRIALS {
        draws.set_trial(trial, &plant.inputs);
        total += best_of_five_us(TIMES, || {
            for _ in 0..TIMES {
                line.solve(black_box(&draws), &water, &plant.outlets, &mut state, None, &mut outlets);
            }
        });
        steps += state.flow.as_ref().map_or(0, |f| f.steps);
    }
    let trials = TRIALS as f64;
    println!("network in a trial: {:.2} us, {:.1} steps", total / trials, steps as f64 / trials);
    if let Some(case) = WaterCase::middle(&plant, 0) {
        let reference = best_of_five_us(TIMES, || {
            for _ in 0..TIMES {
                let _ = black_box(case.solve_reference());
            }
        });
        println!("reference, Newton on all heads and flows: {reference:.1} us");
    }
}
