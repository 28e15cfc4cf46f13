//! Arguments of `samples`, and the order of things.

use std::path::PathBuf;

use sim_core::constants::CUBIC_YARD_M3;
use sim_core::field::sample_value::FEWEST_TRIALS;
use sim_core::problem::Problems;
use sim_core::quantity::{self, Basis, Dimension, UnitChoice};
use sim_core::registry::Registry;
use sim_core::samples::summary::{Bulk, SamplesSummary, USUAL_PAN_M3};
use toml::de::DeTable;
use washgraph_model::scenario::{Opened, build, build_ground, open};
use washgraph_model::variant::settables;

use crate::exit::Exit;
use crate::progress::watched;
use crate::{books, load, output};
use washgraph_advice::next::in_money::{Asked, add_money};
use washgraph_advice::plants::base::Base;
use washgraph_view::samples::{files, text};

/// Arguments of `samples`.
#[derive(Debug, clap::Args)]
pub(crate) struct SamplesArgs {
    /// Scenario file; without a plant and [money] it tells of the ground alone
    pub scenario: PathBuf,
    /// A bulk sample to ask about, e.g. "1 yd3 loose" (default: 1 loose yard or cubic metre)
    #[arg(long, value_name = "VOLUME")]
    pub bulk: Option<String>,
    /// What one further pan holds (default: 336 in3, a struck 16 inch pan)
    #[arg(long, value_name = "VOLUME")]
    pub pan: Option<String>,
    /// What one more pan costs you, e.g. "$ 25": dug, carried, washed, counted (default: pan_cost in [money])
    #[arg(long, value_name = "MONEY")]
    pub pan_cost: Option<String>,
    /// What the bulk sample costs you (default: bulk_sample_cost in [money])
    #[arg(long, value_name = "MONEY")]
    pub bulk_cost: Option<String>,
    /// Seasons on this ground that the money is counted over
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100))]
    pub seasons: u32,
    /// Trials of each plate, 500 or more (default: as the scenario says)
    #[arg(long, value_parser = clap::value_parser!(u64).range(FEWEST_TRIALS as u64..=10_000_000))]
    pub trials: Option<u64>,
    /// Seed of the random numbers (default: as the scenario says)
    #[arg(long)]
    pub seed: Option<u64>,
    /// Folder for figures, tables and samples.json
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Print the result as JSON
    #[arg(long)]
    pub json: bool,
}

/// Runs the command.
pub(crate) fn samples(registry: &Registry, args: &SamplesArgs) -> Exit {
    let opened = match open(&args.scenario) {
        Ok(opened) => opened,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let mut problems = Problems::default();
    let ground = build_ground(&opened, &mut problems);
    let Some(ground) = ground else {
        show_problems(&problems, args, &opened);
        anstream::eprintln!("{}", load::count(&problems));
        return Exit::BadInput;
    };
    let base = if has_plant_and_money(&opened.text) {
        base_of(registry, args, &opened)
    } else {
        show_problems(&problems, args, &opened);
        None
    };
    let (Some(bulk), Some(pan_m3)) = (bulk_of(args, ground.units), pan_of(args)) else { return Exit::BadInput };
    let mut summary = SamplesSummary::new(&ground.title, &ground.ground, &ground.inputs, pan_m3, &bulk, ground.units);
    if let Some(base) = &base
        && let Err(wrong) = watched(0, |done| add_money(&mut summary, base, &asked(args), done))
    {
        anstream::eprintln!("error: {wrong}");
        return Exit::BadInput;
    }
    let said = text::text(&summary, ground.units);
    if args.json {
        match serde_json::to_string_pretty(&summary) {
            Ok(json) => output::print(&json),
            Err(error) => {
                anstream::eprintln!("error: the result cannot be written as JSON: {error}");
                return Exit::Fault;
            }
        }
    } else {
        output::print(&said);
    }
    if let Some(folder) = &args.out {
        match output::write_files(folder, files::MARK, || Ok(files::all(&summary, ground.units, &said)?)) {
            Ok(()) => anstream::eprintln!("Figures and tables: {}", folder.display()),
            Err(error) => {
                anstream::eprintln!("error: {error}");
                return Exit::BadInput;
            }
        }
    }
    Exit::Done
}

/// What is asked of the money of samples.
fn asked(args: &SamplesArgs) -> Asked {
    Asked {
        trials: args.trials,
        seed: args.seed,
        seasons: args.seasons,
        pan_cost: args.pan_cost.clone(),
        bulk_cost: args.bulk_cost.clone(),
    }
}

fn show_problems(problems: &Problems, args: &SamplesArgs, opened: &Opened) {
    load::show(problems, &args.scenario, opened);
}

/// Whether the scenario goes beyond the ground, so that samples can be set against money.
fn has_plant_and_money(text: &str) -> bool {
    let (document, _) = DeTable::parse_recoverable(text);
    let has = |name: &str| document.get_ref().keys().any(|k| k.get_ref() == name);
    has("stage") && has("money")
}

/// The plant of a scenario whose ground is sound; its problems are told, and without it the ground is told of alone.
fn base_of<'r>(registry: &'r Registry, args: &SamplesArgs, opened: &Opened) -> Option<Base<'r>> {
    let mut problems = Problems::default();
    let plant = build(opened, registry, &mut problems);
    show_problems(&problems, args, opened);
    let sound = plant.filter(|plant| books::refused([&load::books_broken(plant)]).is_none());
    let base = sound.and_then(|plant| {
        let list = settables(opened, registry).ok()?;
        let opened = Opened { text: opened.text.clone(), folder: opened.folder.clone() };
        Some(Base { registry, opened, plant, list })
    });
    if base.is_none() {
        anstream::eprintln!("the plant has errors, so what samples are worth in money is left out");
    }
    base
}

/// The bulk sample asked about; `None` after a problem, which is told.
fn bulk_of(args: &SamplesArgs, units: UnitChoice) -> Option<Bulk> {
    let Some(typed) = &args.bulk else {
        return Some(match units {
            UnitChoice::Metric => Bulk { words: "1 m3 loose".into(), volume_m3: 1.0 },
            _ => Bulk { words: "1 yd3 loose".into(), volume_m3: CUBIC_YARD_M3 },
        });
    };
    let volume = volume_of("--bulk", typed)?;
    if volume.basis == Some(Basis::Bank) {
        anstream::eprintln!("error: --bulk: give the loose volume, as it lies in the bucket");
        return None;
    }
    let words = if volume.basis.is_none() { format!("{typed} loose") } else { typed.clone() };
    Some(Bulk { words, volume_m3: volume.si })
}

fn pan_of(args: &SamplesArgs) -> Option<f64> {
    match &args.pan {
        None => Some(USUAL_PAN_M3),
        Some(typed) => volume_of("--pan", typed).map(|v| v.si),
    }
}

fn volume_of(option: &str, typed: &str) -> Option<quantity::Parsed> {
    match quantity::parse(typed, Dimension::Volume) {
        Ok(volume) if volume.si > 1e-6 && volume.si < 1e6 => Some(volume),
        Ok(_) => {
            anstream::eprintln!("error: {option}: `{typed}` is no volume of a sample; e.g. \"1 yd3 loose\"");
            None
        }
        Err(error) => {
            anstream::eprintln!("error: {option}: {}; {}", error.message, error.help);
            None
        }
    }
}
