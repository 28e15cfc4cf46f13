//! The command `losses`: why gold leaves, and which single change would save most, each tried by running the plant again.

use std::path::PathBuf;

use sim_core::registry::Registry;
use washgraph_advice::changes::candidates::{Candidates, ledger};
use washgraph_advice::plants::contest::mean;
use washgraph_view::losses as words;

use crate::books;
use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::load_base;
use crate::progress::watched;

/// Arguments of `losses`.
#[derive(Debug, clap::Args)]
pub(crate) struct LossesArgs {
    /// Scenario file
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Lists the losses and tries the changes.
pub(crate) fn losses(registry: &Registry, args: &LossesArgs) -> Exit {
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let trials = args.common.trials.unwrap_or(base.plant.trials);
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let candidates = Candidates::of(&base);
    let found = watched(candidates.total(trials), |done| candidates.run(&base, seed, trials, done));
    if !(mean(&found.present.steady) > 0.0) {
        anstream::eprintln!("error: no gold is caught, or the physics has no answer here: check rates and grades");
        return Exit::Impossible;
    }
    let tried = found.tried.iter().map(|tried| &tried.design_run);
    if let Some(fault) = books::refused(tried.chain([&found.present]).map(|run| &run.broken)) {
        return fault;
    }
    let ledger = ledger(&found.present);
    let text = words::text(&base, &found, &ledger);
    let figures = match words::figure(&found) {
        Ok(figure) => vec![figure],
        Err(error) => {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    };
    let document = words::document(&args.scenario.display().to_string(), seed, &found, &ledger);
    let tables = vec![words::ledger_table(&ledger), words::changes_table(&found)];
    Answer { command: "losses", text, document, tables, figures, exit: Exit::Done }
        .deliver(&args.scenario, &args.common)
}
