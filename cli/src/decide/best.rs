//! The command `best`: up to four settings within limits.

use sim_core::constants::G_H_PER_KG_S;
use std::fmt::Write as _;
use std::path::PathBuf;

use serde_json::json;
use sim_core::registry::Registry;
use sim_core::stats::choice::Choice;
use washgraph_model::paired::gap;

use crate::books;
use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::complain;
use crate::load::load_base;
use crate::progress::watched;
use washgraph_advice::best::limit::Limit;
use washgraph_advice::best::search::{Found, NoneFits, Search};
use washgraph_advice::plants::base::Base;
use washgraph_advice::plants::contest::{currency, mean};
use washgraph_advice::plants::range::{USUAL_STEPS, Varied};
use washgraph_view::contest::{call_word, document, table};
use washgraph_view::figures;
use washgraph_view::words::{call, chance, money, percent, percent_of};

/// Trials counted for the progress bar: about so many times those of one plant.
const ABOUT: u64 = 20;

/// Arguments of `best`.
#[derive(Debug, clap::Args)]
pub(crate) struct BestArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// One to four settings: path=lo..hi or path="a; b; c", e.g. sluice.slope="1 in/ft..2 in/ft"
    #[arg(required = true, num_args = 1..=4)]
    pub settings: Vec<String>,
    /// A limit to keep, e.g. "short <= 10 %", "water <= 400 US gpm", "drum.bed_power <= 5 hp"; may be repeated.
    /// Water supply not below need in half of the runs is always a limit
    #[arg(long = "limit")]
    pub limits: Vec<String>,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Searches.
pub(crate) fn best(registry: &Registry, args: &BestArgs) -> Exit {
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let mut wrong = false;
    let mut keep = |error: washgraph_model::variant::PathError| {
        complain(&error);
        wrong = true;
    };
    let mut varied: Vec<Varied> = Vec::new();
    for text in &args.settings {
        match Varied::read(text, &base, USUAL_STEPS) {
            Ok(v) => varied.push(v.as_sold(&base)),
            Err(error) => keep(error),
        }
    }
    let mut limits = vec![Limit::supply()];
    for text in &args.limits {
        match Limit::read(text, &base.plant) {
            Ok(limit) => limits.push(limit),
            Err(error) => keep(error),
        }
    }
    if wrong {
        return Exit::BadInput;
    }
    let trials = args.common.trials.unwrap_or(base.plant.trials);
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let search = Search { base: &base, varied: &varied, limits: &limits, seed, trials: trials as usize };
    let found = match watched(trials * ABOUT, |done| search.run(done)) {
        Ok(found) => found,
        Err(none) => return nothing_fits(&base, &none, &limits),
    };
    if let Some(fault) = books::refused(found.contest.design_runs.iter().map(|run| &run.broken)) {
        return fault;
    }
    let Some(choice) = found.contest.money.as_ref().or(found.contest.gold.as_ref()) else {
        anstream::eprintln!(
            "error: no gold reaches the plant, or the physics has no answer here: check rates and grades"
        );
        return Exit::Impossible;
    };
    let text = text(&base, &found, choice, &varied, &limits);
    let (present, winner) = (found.contest.design_runs.first(), found.contest.design_runs.get(choice.best));
    let mut figures = Vec::new();
    if let (Some(present), Some(winner)) = (present, winner) {
        let gaps: Vec<f64> = present.steady.iter().zip(&winner.steady).map(|(a, b)| (b - a) * G_H_PER_KG_S).collect();
        match figures::difference::difference("The best found against the present plant", &gaps, "g/h") {
            Ok(figure) => figures.extend(figure),
            Err(error) => {
                anstream::eprintln!("error: {error}");
                return Exit::Fault;
            }
        }
    }
    let document = json!({
        "command": "best", "scenario": args.scenario.display().to_string(), "seed": seed, "trials": trials,
        "settings": varied.iter().map(|v| v.path.text()).collect::<Vec<_>>(),
        "limits": limits.iter().map(|l| l.text.clone()).collect::<Vec<_>>(),
        "by": if found.contest.money.is_some() { "money" } else { "gold" },
        "best": found.settings.get(choice.best), "call": call_word(choice.call), "plants_tried": found.tried,
        "plants": document(&found.contest, "settings"),
    });
    let tables = vec![table(&found.contest, "finalists", "settings")];
    Answer { command: "best", text, document, tables, figures, exit: Exit::Done }.deliver(&args.scenario, &args.common)
}

fn nothing_fits(base: &Base<'_>, none: &NoneFits, limits: &[Limit]) -> Exit {
    anstream::eprintln!("error: no plant within these settings keeps the limits");
    for (values, reason) in none.refused.iter().take(3) {
        anstream::eprintln!("  {values} cannot be built: {reason}");
    }
    if let Some((values, design_run)) = none.nearest.as_deref() {
        anstream::eprintln!("  the nearest is {}:", values.join(", "));
        for limit in limits.iter().filter(|l| !l.kept(design_run)) {
            anstream::eprintln!("    {}: it comes to {}", limit.text, limit.shown(design_run, base.plant.units));
        }
        for (stage, id, share) in design_run.limits.iter().filter(|l| l.2 > 0.5) {
            anstream::eprintln!("    {stage}: {id} in {} of runs", percent(*share));
        }
    }
    anstream::eprintln!("  widen the ranges, or loosen a limit");
    Exit::BadInput
}

fn text(base: &Base<'_>, found: &Found, choice: &Choice, varied: &[Varied], limits: &[Limit]) -> String {
    let c = &found.contest;
    let trials = c.trials();
    let of = if c.money.is_some() { "money" } else { "gold" };
    let mut t = format!("{}\n", base.plant.title);
    let name = |i: usize| {
        c.design_runs.get(i).map_or(String::new(), |a| if i == 0 { "the present plant".into() } else { a.name.clone() })
    };
    if choice.best == 0 {
        let _ = writeln!(t, "Nothing better than the present plant was found ({} plants tried).", found.tried);
    } else {
        let _ = writeln!(t, "The best of {} plants tried, by {of}:", found.tried);
        for (v, value) in varied.iter().zip(found.settings.get(choice.best).into_iter().flatten()) {
            let now = base.in_force(&v.path.text()).unwrap_or("not set");
            let _ = writeln!(t, "  {} = {value}   (now {now}; {})", v.path.text(), v.meaning());
        }
    }
    let _ = writeln!(t, "{}", call(choice, name, trials, of));
    if let (Some(present), Some(best)) = (c.design_runs.first(), c.design_runs.get(choice.best))
        && choice.best != 0
    {
        if let Some(g) = gap(&present.steady, &best.steady) {
            let _ = writeln!(
                t,
                "Against now: {:.2} g of raw gold an hour instead of {:.2} ({}), better in {} of runs; {} of the gold fed is caught instead of {}.",
                g.to * G_H_PER_KG_S,
                g.from * G_H_PER_KG_S,
                percent_of(g.comparison.mean_gap, g.from),
                chance(g.comparison.chance_a, trials),
                percent(best.mean_recovery()),
                percent(present.mean_recovery())
            );
        }
        if let Some(g) = gap(&present.season_net, &best.season_net) {
            let cur = currency(&base.plant);
            let _ = writeln!(
                t,
                "Money of a season before wage and plant: {} instead of {}; better in {} of seasons. What the change costs to make is not counted.",
                money(g.to, cur),
                money(g.from, cur),
                chance(g.comparison.chance_a, trials)
            );
        }
    }
    let _ = writeln!(t, "\nLimits kept:");
    if let Some(best) = c.design_runs.get(choice.best) {
        for l in limits {
            let _ = writeln!(t, "  {} (it comes to {})", l.text, l.shown(best, base.plant.units));
        }
    }
    let _ = writeln!(t, "\nThe last round, on draws that nothing was chosen by:");
    for (i, design_run) in c.design_runs.iter().enumerate() {
        let season = c.season_money(i).map_or(String::new(), |m| format!(", {} a season", money(m.mean, &c.currency)));
        let _ = writeln!(t, "  {:.3} g/h{season}: {}", mean(&design_run.steady) * G_H_PER_KG_S, name(i));
    }
    for (values, reason) in found.refused.iter().take(3) {
        let _ = writeln!(t, "Not every plant can be built, e.g. {values}: {reason}");
    }
    let _ = writeln!(
        t,
        "{trials} common trials each in the last round. A search may miss a better corner: vary each setting around the answer."
    );
    t
}
