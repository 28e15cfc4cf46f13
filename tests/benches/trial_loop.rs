//! Time of the whole plant's trial loop on the demonstration, and of what a moved setting costs before its first trial:
//! `cargo bench -p washgraph-tests`.
//!
//! Plain wall time, best of five, one thread and all threads: the machine's noise is larger than what a statistics harness
//! would resolve.
//!
//! Of a trial of the demonstration, some 75 us on one core, the drum takes 40 % (grains 20, depths 12, books and drive 8), scalar inputs
//! 14, the ground with settling and counts 9, network and bar 13, the sluice 11, the pond 5, the books of the trial 5. Where draws are
//! shared with another plant, inputs, ground and most of the network fall away.

use std::path::Path;
use std::sync::atomic::AtomicU64;
use std::time::Instant;

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::trial::{Worker, run_trials};
use washgraph_model::scenario::{build, open};

const TRIALS: usize = 20_000;

fn best_of_five(mut work: impl FnMut()) -> f64 {
    (0..5)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
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
    let mut worker = Worker::new(&plant, 1);
    let one = best_of_five(|| (0..TRIALS as u64).for_each(|t| worker.run_trial(t)));
    let all = best_of_five(|| {
        let _ = run_trials(&plant, 1, TRIALS, &AtomicU64::new(0));
    });
    // The first build weighs the samples; those after it find that in memory, as a page or `holes` does.
    let again = best_of_five(|| drop(demo()));
    let middle = best_of_five(|| drop(Worker::new(&plant, 1)));
    println!("plant built again on the same ground: {:.2} ms, its middle case: {:.2} ms", again * 1e3, middle * 1e3);
    println!("one thread:  {:.1} us a trial", one / TRIALS as f64 * 1e6);
    println!("all threads: {:.1} us a trial, statistics included", all / TRIALS as f64 * 1e6);
}
