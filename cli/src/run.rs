//! The command `run`.

use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

use sim_core::plant::Plant;
use sim_core::registry::Registry;
use sim_core::result::Outcome;
use sim_core::trial::{Tally, run_trials};

use crate::args::RunArgs;
use crate::exit::Exit;
use crate::{load, once, output, verdict};

/// Progress is shown when a run takes longer than this, on a terminal only.
const QUIET: Duration = Duration::from_secs(1);

/// Runs a scenario.
pub(crate) fn run(registry: &Registry, args: &RunArgs) -> Exit {
    let Some(plant) = load::load(registry, &args.scenario) else { return Exit::BadInput };
    if args.once {
        let once = once::Once::new(&plant);
        output::print(&if args.json { once.json() } else { once.text() });
        return Exit::Done;
    }
    let trials = args.trials.unwrap_or(plant.trials) as usize;
    let seed = args.seed.unwrap_or(plant.seed);
    let tally = with_progress(&plant, seed, trials);
    let outcome = Outcome::new(&plant, seed, &tally);
    if !(outcome.gold.fed_g_per_h.mean > 0.0) || !outcome.gold.recovery.mean.is_finite() {
        anstream::eprintln!(
            "error: no gold reaches the plant, or the physics has no answer here: check rates and grades"
        );
        return Exit::Impossible;
    }
    let missed = verdict::limits_missed(&outcome);
    let stuck = verdict::water_never_clears(&outcome);
    let text = verdict::with_remedies(&outcome, &plant, seed);
    if args.json {
        match serde_json::to_string_pretty(&outcome) {
            Ok(json) => output::print(&json),
            Err(error) => {
                anstream::eprintln!("error: the result cannot be written as JSON: {error}");
                return Exit::Fault;
            }
        }
    } else {
        output::print(&text);
    }
    let folder = args.out.clone().or_else(|| (!args.json).then(|| default_folder(args)));
    if let Some(folder) = folder {
        match output::write_folder(&folder, &outcome, &plant, &text) {
            Ok(()) => anstream::eprintln!("Report: {}", folder.join("report.html").display()),
            Err(error) => {
                anstream::eprintln!("error: {error}");
                return Exit::BadInput;
            }
        }
    }
    if let Some(why) = stuck {
        anstream::eprintln!("error: {why}");
        return Exit::Impossible;
    }
    if missed { Exit::LimitMissed } else { Exit::Done }
}

fn default_folder(args: &RunArgs) -> PathBuf {
    PathBuf::from("out").join(args.scenario.file_stem().unwrap_or_default())
}

fn with_progress(plant: &Plant, seed: u64, trials: usize) -> Tally {
    let done = AtomicU64::new(0);
    let finished = AtomicBool::new(false);
    std::thread::scope(|scope| {
        if std::io::stderr().is_terminal() {
            scope.spawn(|| {
                let start = Instant::now();
                while start.elapsed() < QUIET && !finished.load(Ordering::Relaxed) {
                    std::thread::sleep(Duration::from_millis(20));
                }
                if finished.load(Ordering::Relaxed) {
                    return;
                }
                let bar = indicatif::ProgressBar::new(trials as u64);
                while !finished.load(Ordering::Relaxed) {
                    bar.set_position(done.load(Ordering::Relaxed));
                    std::thread::sleep(Duration::from_millis(100));
                }
                bar.finish_and_clear();
            });
        }
        let tally = run_trials(plant, seed, trials, &done);
        finished.store(true, Ordering::Relaxed);
        tally
    })
}
