//! The command `run`.

use std::path::PathBuf;

use sim_core::registry::Registry;
use sim_core::trial::run_trials;
use washgraph_model::result::RunResult;

use crate::exit::Exit;
use crate::progress::watched;
use crate::{books, files, load, output, trial_table};
use washgraph_view::{once, terminal, verdict};

/// Arguments of `run`.
#[derive(Debug, clap::Args)]
pub(crate) struct RunArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// Number of trials (default: as the scenario says)
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=10_000_000))]
    pub trials: Option<u64>,
    /// Seed of the random numbers (default: as the scenario says)
    #[arg(long)]
    pub seed: Option<u64>,
    /// Folder for report, figures and tables (default: out/NAME)
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Print the result document alone to stdout; write files only with --out
    #[arg(long)]
    pub json: bool,
    /// Write a row a trial into this CSV file: every uncertain input as drawn, in SI, then recovery, gold and money
    #[arg(long, value_name = "FILE")]
    pub draws: Option<PathBuf>,
    /// One pass with every input at its middle, with all numbers between, to check by hand
    #[arg(long, conflicts_with_all = ["trials", "seed", "out", "draws"])]
    pub once: bool,
}

/// Runs a scenario.
pub(crate) fn run(registry: &Registry, args: &RunArgs) -> Exit {
    let (opened, plant) = match load::load_with_text(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    if args.once {
        let once = once::Once::new(&plant);
        output::print(&if args.json { once.json() } else { once.text() });
        return books::refused([&once.broken_books()]).unwrap_or(Exit::Done);
    }
    let trials = args.trials.unwrap_or(plant.trials) as usize;
    let seed = args.seed.unwrap_or(plant.seed);
    let statistics = watched(trials as u64, |done| run_trials(&plant, seed, trials, done));
    // The verdict stands on the screen before what only the files need is worked out.
    let begun = RunResult::begin(&plant, seed, &statistics);
    let outcome = &begun.outcome;
    if !(outcome.gold.fed_g_per_h.mean > 0.0) || !outcome.gold.recovery.mean.is_finite() {
        anstream::eprintln!(
            "error: no gold reaches the plant, or the physics has no answer here: check rates and grades"
        );
        return Exit::Impossible;
    }
    if let Some(fault) = books::refused([&statistics.broken]) {
        return fault;
    }
    let missed = verdict::limits_missed(outcome);
    let stuck = verdict::water_never_clears(outcome);
    let said = verdict::with_remedies(outcome, &plant, seed);
    if !args.json {
        output::print(&said.screen(terminal::width()));
    }
    let outcome = begun.finish(&plant, seed, &statistics);
    if args.json {
        match files::result_json(&outcome) {
            Ok(json) => output::print(&json),
            Err(error) => {
                anstream::eprintln!("error: {error}");
                return Exit::Fault;
            }
        }
    }
    let folder = args.out.clone().or_else(|| (!args.json).then(|| default_folder(args)));
    if let Some(folder) = folder {
        match files::write_folder(&folder, &outcome, &plant, &opened, registry, &said) {
            Ok(()) => anstream::eprintln!("Report: {}", folder.join("report.html").display()),
            Err(error) => {
                anstream::eprintln!("error: {error}");
                return Exit::BadInput;
            }
        }
    }
    if let Some(file) = &args.draws {
        match trial_table::write(file, &plant, seed, &statistics) {
            Ok(()) => anstream::eprintln!("Trials: {}", file.display()),
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
