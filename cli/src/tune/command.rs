//! Arguments of `tune`, the run, and the answer.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use sim_core::problem::Problems;
use sim_core::registry::Registry;
use washgraph_model::scenario::{Opened, build, open};
use washgraph_model::tune::log::{self, FieldLog, LogFile};
use washgraph_model::tune::{Day, Options, TuneError, tune as fit};
use washgraph_model::tuned::constants::Constant;
use washgraph_model::variant::{SettingPath, settables, without};

use crate::books;
use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::{self, books_broken, count};
use crate::progress::watched;
use crate::tune::tuned_file;
use washgraph_advice::next::outlook::Outlook;
use washgraph_advice::next::weigh::{Pains, Run, weigh as weigh_next};
use washgraph_advice::plants::base::Base;
use washgraph_view::figures::tuning::figures;
use washgraph_view::tune::Tuned;
use washgraph_view::tune::{document, words};

/// Arguments of `tune`.
#[derive(Debug, clap::Args)]
pub(crate) struct TuneArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// Field log of what was seen on the running plant: TOML, CSV or XLSX
    pub log: PathBuf,
    /// Write over the tuned file of an earlier tuning in the same folder
    #[arg(long)]
    pub replace: bool,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Tunes the constants of a scenario on a field log.
pub(crate) fn tune(registry: &Registry, args: &TuneArgs) -> Exit {
    let folder = folder_of(args);
    if let Some(folder) = &folder
        && folder.join(tuned_file::NAME).exists()
        && !args.replace
    {
        anstream::eprintln!(
            "error: {} is there already, and a scenario may be using it\n  say --replace to write over it, or name another folder with --out",
            folder.join(tuned_file::NAME).display()
        );
        return Exit::BadInput;
    }
    let base = match untuned(registry, &args.scenario) {
        Ok(base) => base,
        Err(exit) => return exit,
    };
    let Some(log) = read_log(registry, &base, &args.log) else { return Exit::BadInput };
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let days: Vec<Day<'_>> =
        log.cases.iter().map(|c| Day { date: c.date.clone(), plant: &c.plant, evidence: &c.evidence }).collect();
    let mut options = Options::usual(seed);
    if let Some(trials) = args.common.trials {
        options.trials = trials as usize;
    }
    let tuning = match watched(0, |_| fit(&base.plant, &days, &options)) {
        Ok(tuning) => tuning,
        Err(error) => return refuse(&error),
    };
    let (before, after) = match Outlook::before_and_after(&base, &tuning, seed) {
        Ok(pair) => pair,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::Impossible;
        }
    };
    let mut plant = match base.variant(&[]) {
        Ok(plant) => plant,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::Fault;
        }
    };
    washgraph_advice::next::outlook::tuned(&mut plant, &tuning);
    let next = watched(Pains::QUICK.runs(), |done| {
        let run = Run { tuning: &tuning, plates: after.holes.as_ref() };
        weigh_next(&base, &Arc::new(plant), Some(run), (seed, Pains::QUICK), done)
    });
    let in_words = |constant: &Constant, x: f64| words::constant_value(constant, x, base.plant.units);
    let figures = match figures(&tuning, &before.outcome, &after.outcome, base.plant.units, &in_words) {
        Ok(figures) => figures,
        Err(error) => {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    };
    let named = folder.as_ref().map(|f| tuned_file::named_from(&args.scenario, f));
    let log_name = args.log.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let tuned = Tuned { base: &base, log: &log, log_name, tuning, before, after, next, named };
    let file = tuned_file::text(&tuned);
    let answer = Answer {
        command: "tune",
        text: words::screen(&tuned),
        document: document::document(&tuned, &args.scenario.display().to_string(), &args.log.display().to_string()),
        tables: document::tables(&tuned),
        figures,
        exit: Exit::Done,
    };
    answer.deliver_with(&args.scenario, &args.common, vec![(tuned_file::NAME.to_string(), file.into_bytes())])
}

/// Folder that is written; `None` when nothing is.
fn folder_of(args: &TuneArgs) -> Option<PathBuf> {
    args.common.out.clone().or_else(|| (!args.common.json).then(|| Answer::usual_folder(&args.scenario, "tune")))
}

/// The scenario without the tuned file that it may name: it is tuned anew, from its own spreads, so that nothing that was
/// seen counts twice. Problems are printed.
pub(crate) fn untuned<'r>(registry: &'r Registry, path: &Path) -> Result<Base<'r>, Exit> {
    let told = |message: String| {
        anstream::eprintln!("error: {message}");
        Exit::BadInput
    };
    let read = open(path).map_err(told)?;
    let path_of_key = settables(&read, registry).and_then(|list| SettingPath::among("tuned", &list));
    let opened = match path_of_key {
        Ok(key) => without(&read, &key).unwrap_or(read),
        // A scenario that cannot be read is shown with its problems below.
        Err(_) => read,
    };
    let mut problems = Problems::default();
    let plant = build(&opened, registry, &mut problems);
    show(&problems, path, &opened);
    let plant = plant.ok_or(Exit::BadInput)?;
    if let Some(fault) = books::refused([&books_broken(&plant)]) {
        return Err(fault);
    }
    let list = settables(&opened, registry).map_err(|e| told(e.message))?;
    Ok(Base { registry, opened, plant, list })
}

/// Reads the log against the scenario; problems are printed. `None` when any of them prevents tuning.
pub(crate) fn read_log(registry: &Registry, base: &Base<'_>, path: &Path) -> Option<FieldLog> {
    let file: LogFile = log::open(path).map_err(|message| anstream::eprintln!("error: {message}")).ok()?;
    // The log needs a plant of its own to hold on to.
    let plant = Arc::new(base.variant(&[]).map_err(|message| anstream::eprintln!("error: {message}")).ok()?);
    let mut problems = Problems::default();
    let read = log::read(&file, &base.opened, registry, &plant, &mut problems);
    let shown = Opened { text: file.text.clone(), folder: base.opened.folder.clone() };
    show(&problems, path, &shown);
    read
}

fn refuse(error: &TuneError) -> Exit {
    anstream::eprintln!("error: {error}");
    if let TuneError::Impossible { .. } = error {
        anstream::eprintln!(
            "  check the reading and its unit, the settings of that day, and the spreads of the scenario: they allow no such thing"
        );
        return Exit::Impossible;
    }
    Exit::BadInput
}

fn show(problems: &Problems, path: &Path, opened: &Opened) {
    load::show(problems, path, opened);
    if problems.has_errors() {
        anstream::eprintln!("{}", count(problems));
    }
}
