//! The command line: one declaration drives parsing and help.

use std::path::PathBuf;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
use sim_core::registry::Registry;

use crate::decide::best::{BestArgs, best};
use crate::decide::compare::{CompareArgs, compare};
use crate::decide::drivers::{DriversArgs, drivers};
use crate::decide::holes::{HolesArgs, holes};
use crate::decide::losses::{LossesArgs, losses};
use crate::decide::vary::{VaryArgs, vary};
use crate::diagnose::{DiagnoseArgs, diagnose};
use crate::exit::Exit;
use crate::next::{NextArgs, next};
use crate::rerun::{RerunArgs, rerun};
use crate::samples::{SamplesArgs, samples};
use crate::sheet;
use crate::tune::command::{TuneArgs, tune};
use crate::water::{WaterArgs, water};
use crate::{handbook, kinds, load, new, page, run, setup, validate};

/// Predicts what a placer gold wash plant will catch, lose, drink and earn, before any steel is cut.
#[derive(Debug, Parser)]
#[command(name = "washgraph", bin_name = "washgraph", version, about, after_help = EXIT_CODES, arg_required_else_help = true)]
struct Args {
    #[command(subcommand)]
    command: Command,
}

const EXIT_CODES: &str = "In the first hour: new, check, samples, run; then holes, water and losses; before you cut, sheet.\n\nExit codes: 0 done; 1 the run worked but a limit is missed; 2 bad usage or bad scenario; \
3 valid but physically impossible; 70 a fault of the program.";

#[derive(Debug, Subcommand)]
enum Command {
    /// Run the plant of a scenario: verdict here, report and figures in a folder
    Run(run::RunArgs),
    /// Repeat the run of a result from the inputs kept with it: the same bytes, or where they differ
    Rerun(RerunArgs),
    /// Read a scenario, report all its problems, and say in words what was understood
    Check {
        /// Scenario file
        scenario: PathBuf,
        /// Print the problems as JSON
        #[arg(long)]
        json: bool,
    },
    /// Write a commented scenario to start from
    New(new::NewArgs),
    /// What the samples of the ground say so far, and what further ones would tell
    Samples(SamplesArgs),
    /// The present plant at other hole sizes, on the same ground: gold, money, and how sure the choice is
    Holes(HolesArgs),
    /// What the plant needs of water, what its pump gives over the feed rate, and what would help
    Water(WaterArgs),
    /// Why gold leaves, and which single change would save most
    Losses(LossesArgs),
    /// From what is seen on the plant to what may be wrong, how to tell, and what to try first
    Diagnose(DiagnoseArgs),
    /// Which observation of the running plant would help most next, with a sheet to print and fill in
    Next(NextArgs),
    /// The best of up to four settings within limits, and how sure that is
    Best(BestArgs),
    /// What the answer hangs on, and what to measure next
    Drivers(DriversArgs),
    /// Two plants on the same ground: what the other brings more, and how sure that is
    Compare(CompareArgs),
    /// One or two settings over a range, on the same ground: where the best is and how flat it is
    Vary(VaryArgs),
    /// Let the plant's own results correct the model: constants tuned on a field log
    Tune(TuneArgs),
    /// List the kinds of stages, sections and water outlets, or describe one
    Stages {
        /// Kind to describe
        kind: Option<String>,
        /// Print as JSON
        #[arg(long)]
        json: bool,
        /// Print the JSON schema of a scenario with these kinds, for editors that check TOML by a schema
        #[arg(long, conflicts_with_all = ["kind", "json"])]
        schema: bool,
    },
    /// Serve the local web page: the same model with settings to move and figures that follow
    Page(page::PageArgs),
    /// Every formula as a calculator: `handbook list`, `handbook NAME input=value ...`
    Handbook {
        /// `list`, or the name of a formula
        name: String,
        /// Inputs as name=value with unit, e.g. hole="1/2 in"
        inputs: Vec<String>,
        /// Print as JSON
        #[arg(long)]
        json: bool,
    },
    /// The numbers for the shop: what to cut, drill, bend and buy, and a hole template at true scale
    Sheet(sheet::SheetArgs),
    /// Print what sets up a machine: completions for a shell, or a page of the manual
    Setup(setup::SetupArgs),
    /// Run all published-value checks and print the table
    Validate {
        /// Print as JSON
        #[arg(long)]
        json: bool,
    },
}

/// The command line as a clap command, for generated help.
pub fn command() -> clap::Command {
    Args::command()
}

/// Parses the arguments and runs the command.
pub(crate) fn dispatch(registry: &Registry) -> Exit {
    let program = registry.made_for();
    let line = command().name(program.name).bin_name(program.name).version(program.version);
    let args = match line.clone().try_get_matches().and_then(|given| Args::from_arg_matches(&given)) {
        Ok(args) => args,
        Err(error) => {
            let printed = error.print();
            if error.use_stderr() {
                return Exit::BadInput;
            }
            crate::output::note(printed);
            return Exit::Done;
        }
    };
    match args.command {
        Command::Run(args) => run::run(registry, &args),
        Command::Rerun(args) => rerun(registry, &args),
        Command::Check { scenario, json } => load::check(registry, &scenario, json),
        Command::New(args) => new::new(registry, &args),
        Command::Samples(args) => samples(registry, &args),
        Command::Page(args) => page::page(registry, &args),
        Command::Holes(args) => holes(registry, &args),
        Command::Water(args) => water(registry, &args),
        Command::Losses(args) => losses(registry, &args),
        Command::Diagnose(args) => diagnose(registry, &args),
        Command::Next(args) => next(registry, &args),
        Command::Best(args) => best(registry, &args),
        Command::Drivers(args) => drivers(registry, &args),
        Command::Compare(args) => compare(registry, &args),
        Command::Vary(args) => vary(registry, &args),
        Command::Tune(args) => tune(registry, &args),
        Command::Stages { schema: true, .. } => kinds::schema(registry),
        Command::Stages { kind, json, .. } => kinds::stages(registry, kind.as_deref(), json),
        Command::Handbook { name, inputs, json } => handbook::handbook(registry, &name, &inputs, json),
        Command::Sheet(args) => sheet::sheet(registry, &args),
        Command::Setup(args) => setup::setup(line, &args),
        Command::Validate { json } => validate::validate(registry, json),
    }
}
