//! The command `holes`: the present plant at other hole sizes, on the same ground.

use std::path::PathBuf;

use sim_core::lever::{Lever, Serves};
use sim_core::registry::Registry;
use washgraph_advice::holes::rule::trade_rule;
use washgraph_advice::holes::study::{HoleStudy, plants, sizes};
use washgraph_advice::plants::contest::{Contest, currency, mean, named};
use washgraph_advice::plants::levers::LeverAt;
use washgraph_model::paired::with_pilot;
use washgraph_view::holes as words;

use crate::books;
use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::{complain, load_base};
use crate::progress::watched;

/// Arguments of `holes`.
#[derive(Debug, clap::Args)]
pub(crate) struct HolesArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// Sizes to try, e.g. "3/8 in; 1/2 in; 5/8 in" (default: plate sizes around the gold and the gravel)
    #[arg(long)]
    pub sizes: Option<String>,
    /// Shape of the holes: round, square or slot (default: as built)
    #[arg(long)]
    pub shape: Option<String>,
    /// The screen section to change, e.g. drum.screen (default: the last one)
    #[arg(long)]
    pub screen: Option<String>,
    /// Leave out how the model stands to the trade's rule on the largest hole, which takes seconds
    #[arg(long)]
    pub no_rule: bool,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// What the registry has with holes, as something to add.
fn with_holes(registry: &Registry) -> String {
    let has = |levers: &[Lever]| levers.iter().any(|l| l.serves == Some(Serves::Hole));
    let sections = registry.sections().iter().filter(|k| has(k.levers));
    let sections = sections.map(|k| format!("a section of kind {} to its drum", k.name));
    let stages = registry.stages().iter().filter(|k| has(k.levers)).map(|k| format!("a stage of kind {}", k.name));
    sections.chain(stages).collect::<Vec<_>>().join(", or ")
}

/// Compares hole sizes.
pub(crate) fn holes(registry: &Registry, args: &HolesArgs) -> Exit {
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let holes: Vec<LeverAt<'_>> = base.levers_that(Serves::Hole).collect();
    let hole = match (&args.screen, holes.last()) {
        (Some(named), Some(_)) => match holes.iter().find(|h| h.at.owner == *named) {
            Some(hole) => *hole,
            None => {
                let known: Vec<&str> = holes.iter().map(|h| h.at.owner.as_str()).collect();
                anstream::eprintln!("error: there is no screen `{named}`\n  screens here: {}", known.join(", "));
                return Exit::BadInput;
            }
        },
        (None, Some(last)) => *last,
        (_, None) => {
            anstream::eprintln!("error: the plant has no screen\n  add {}", with_holes(registry));
            return Exit::BadInput;
        }
    };
    let sizes = match sizes(&base, &hole, args.sizes.as_deref()) {
        Ok(sizes) => sizes,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let lists = match plants(&base, &hole, &sizes, args.shape.as_deref()) {
        Ok(lists) => lists,
        Err(errors) => {
            errors.iter().for_each(complain);
            return Exit::BadInput;
        }
    };
    let trials = args.common.trials.unwrap_or(base.plant.trials);
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let total = trials * (2 * lists.as_built.len() as u64 + 1);
    let n = trials as usize;
    let (present, groups) = watched(total, |done| {
        let groups = [named(&lists.as_built), named(&lists.retuned)];
        with_pilot(("present", &base.plant), &groups, seed, n, done)
    });
    if let Some(fault) = books::refused(groups.iter().flatten().chain([&present]).map(|run| &run.broken)) {
        return fault;
    }
    let mut contests = groups.into_iter().map(|design_runs| Contest::of(design_runs, currency(&base.plant)));
    let (Some(as_built), Some(retuned)) = (contests.next(), contests.next()) else { return Exit::Fault };
    if as_built.gold.is_none() || !(mean(&present.steady) > 0.0) {
        anstream::eprintln!(
            "error: no gold reaches the plant, or the physics has no answer here: check rates and grades"
        );
        return Exit::Impossible;
    }
    let rule = if args.no_rule { None } else { trade_rule(&base, &hole, args.shape.as_deref()) };
    let present_m = base.si(&hole.at.path);
    let study = HoleStudy {
        base: &base,
        hole,
        shape: args.shape.clone(),
        holes_m: sizes.iter().map(|s| s.1).collect(),
        names: sizes.iter().map(|s| s.0.clone()).collect(),
        present_m,
        present,
        as_built,
        retuned,
        boxes: lists.boxes,
        rule,
    };
    let figures = match words::figures(&study) {
        Ok(figures) => figures,
        Err(error) => {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    };
    let document = words::document(&study, &args.scenario.display().to_string(), seed, trials);
    let text = words::text(&study);
    let tables = words::tables(&study);
    Answer { command: "holes", text, document, tables, figures, exit: Exit::Done }.deliver(&args.scenario, &args.common)
}
