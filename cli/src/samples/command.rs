//! Arguments of `samples`, and the order of things.

use std::path::PathBuf;

use sim_core::field::summary::{Bulk, M3_PER_YD3, SamplesSummary, USUAL_PAN_M3};
use sim_core::problem::{Problems, Severity};
use sim_core::quantity::{self, Basis, Dimension, UnitChoice};
use sim_core::registry::Registry;
use sim_core::scenario::{build_ground, open};

use super::{files, text};
use crate::exit::Exit;
use crate::{load, output};

/// Arguments of `samples`.
#[derive(Debug, clap::Args)]
pub(crate) struct SamplesArgs {
    /// Scenario file; a plant is not needed
    pub scenario: PathBuf,
    /// A bulk sample to ask about, e.g. "1 yd3 loose" (default: 1 loose yard or cubic metre)
    #[arg(long, value_name = "VOLUME")]
    pub bulk: Option<String>,
    /// What one further pan holds (default: 336 in3, a struck 16 inch pan)
    #[arg(long, value_name = "VOLUME")]
    pub pan: Option<String>,
    /// Folder for figures, tables and samples.json
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Print the result as JSON
    #[arg(long)]
    pub json: bool,
}

/// Runs the command.
pub(crate) fn samples(_registry: &Registry, args: &SamplesArgs) -> Exit {
    let opened = match open(&args.scenario) {
        Ok(opened) => opened,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let mut problems = Problems::default();
    let ground = build_ground(&opened, &mut problems);
    let shown: Vec<_> = problems.in_order().into_iter().filter(|p| p.severity != Severity::Note).collect();
    if !shown.is_empty() {
        anstream::eprint!("{}", load::render(&shown, &args.scenario, &opened));
    }
    let Some(ground) = ground else {
        anstream::eprintln!("{}", load::count(&problems));
        return Exit::BadInput;
    };
    let (Some(bulk), Some(pan_m3)) = (bulk_of(args, ground.units), pan_of(args)) else { return Exit::BadInput };
    let summary = SamplesSummary::new(&ground.title, &ground.ground, &ground.inputs, pan_m3, &bulk);
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
        match output::write_files(folder, files::MARK, || files::all(&summary, ground.units, &said)) {
            Ok(()) => anstream::eprintln!("Figures and tables: {}", folder.display()),
            Err(error) => {
                anstream::eprintln!("error: {error}");
                return Exit::BadInput;
            }
        }
    }
    Exit::Done
}

/// The bulk sample asked about; `None` after a problem, which is told.
fn bulk_of(args: &SamplesArgs, units: UnitChoice) -> Option<Bulk> {
    let Some(typed) = &args.bulk else {
        return Some(match units {
            UnitChoice::Metric => Bulk { words: "1 m3 loose".into(), volume_m3: 1.0 },
            _ => Bulk { words: "1 yd3 loose".into(), volume_m3: M3_PER_YD3 },
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
