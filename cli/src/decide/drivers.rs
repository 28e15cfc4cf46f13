//! The command `drivers`: which inputs the answer hangs on, and what to measure next.

use sim_core::constants::G_H_PER_KG_S;
use std::fmt::Write as _;
use std::path::PathBuf;

use serde_json::{Value, json};
use sim_core::draw::Nature;
use sim_core::plant::Plant;
use sim_core::registry::Registry;
use sim_core::trial::Worker;
use washgraph_model::paired::{Driver, DriverGroup, Drivers, drivers as shares};

use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::load_base;
use crate::progress::watched;
use washgraph_advice::plants::base::Base;
use washgraph_advice::plants::contest::currency;
use washgraph_view::figures::tornado::{Row, Tornado, tornado};
use washgraph_view::tables::{Cell, TableFile};
use washgraph_view::words::{how_to_narrow, money, percent};

/// Trials for the groups, and for each single input, unless the user says otherwise.
const USUAL: (u64, u64) = (2048, 512);
/// Bars of the figure.
const BARS: usize = 10;
/// Inputs named as what to measure next.
const NEXT: usize = 5;
/// A share of the spread below this is not worth measuring. Our choice.
const WORTH_MEASURING: f64 = 0.02;

/// Arguments of `drivers`.
#[derive(Debug, clap::Args)]
pub(crate) struct DriversArgs {
    /// Scenario file
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// A result that is looked at.
struct Looked {
    name: &'static str,
    what: String,
    drivers: Drivers,
    bars: Tornado,
}

/// Finds what the results hang on.
pub(crate) fn drivers(registry: &Registry, args: &DriversArgs) -> Exit {
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let plant = &base.plant;
    let (groups, each) = match args.common.trials {
        Some(n) => (n, (n / 4).max(2)),
        None => USUAL,
    };
    let seed = args.common.seed.unwrap_or(plant.seed);
    let inputs = plant.inputs.all().len() as u64 + 2;
    let has_money = plant.money.is_some();
    let total = (6 * groups + (inputs + 2) * each) * (1 + u64::from(has_money));
    type Result = fn(&Worker<'_>) -> f64;
    let mut results: Vec<(&'static str, String, Result)> =
        vec![("recovery", "Share of the gold fed that is caught, %".into(), |w| 100.0 * w.recovery())];
    if has_money {
        results.push(("money", format!("Money of a season, {}", currency(plant)), |w| w.season_net()));
    } else {
        results.push(("gold", "Raw gold caught, g/h".into(), |w| w.caught_kg_s() * G_H_PER_KG_S));
    }
    let looked: Vec<Looked> = watched(total, |done| {
        results
            .into_iter()
            .map(|(name, what, result)| {
                let found = shares(plant, seed, groups as usize, each as usize, result, done);
                let bars = bars(plant, seed, name, &what, result);
                Looked { name, what, drivers: found, bars }
            })
            .collect()
    });
    if looked.iter().any(|l| !l.drivers.mean.is_finite()) {
        anstream::eprintln!("error: the physics has no answer here: check rates and grades");
        return Exit::Impossible;
    }
    let mut figures = Vec::new();
    for (l, name) in looked.iter().zip(["tornado-recovery", "tornado-second"]) {
        match tornado(&l.bars) {
            Ok(mut figure) => {
                figure.name = match l.name {
                    "money" => "tornado-money",
                    "gold" => "tornado-gold",
                    _ => name,
                };
                figures.push(figure);
            }
            Err(error) => {
                anstream::eprintln!("error: {error}");
                return Exit::Fault;
            }
        }
    }
    let document = json!({
        "command": "drivers", "scenario": args.scenario.display().to_string(), "seed": seed,
        "trials_of_groups": groups, "trials_of_each_input": each,
        "results": looked.iter().map(document).collect::<Vec<_>>(),
    });
    let text = text(&base, &looked);
    let tables = looked.iter().map(table).collect();
    Answer { command: "drivers", text, document, tables, figures, exit: Exit::Done }
        .deliver(&args.scenario, &args.common)
}

/// The result with each input alone at its low and high end, the longest bars first.
fn bars(plant: &Plant, seed: u64, name: &str, what: &str, result: fn(&Worker<'_>) -> f64) -> Tornado {
    let mut worker = Worker::new(plant, seed);
    let middle = result(&worker);
    let mut rows: Vec<Row> = Vec::new();
    for (i, input) in plant.inputs.all().iter().enumerate() {
        worker.run_middle_but(i, 0.1);
        let at_low = result(&worker);
        worker.run_middle_but(i, 0.9);
        let at_high = result(&worker);
        if at_low != middle || at_high != middle {
            let kind = if input.nature == Nature::Variability { "changes by itself" } else { "not known well" };
            rows.push(Row { name: input.meaning.clone(), group: format!("{}, {kind}", input.name), at_low, at_high });
        }
    }
    rows.sort_by(|a, b| (b.at_high - b.at_low).abs().total_cmp(&(a.at_high - a.at_low).abs()));
    rows.truncate(BARS);
    let title = match rows.first() {
        Some(row) => format!("The {name} hangs most on: {}", row.name),
        None => format!("Nothing moves the {name}"),
    };
    let key = "hatched: input at its low end, gold: at its high end".to_string();
    Tornado { title, what: what.to_string(), key, middle, middle_name: "all in the middle", rows }
}

fn group_words(group: DriverGroup) -> (&'static str, &'static str) {
    match group {
        DriverGroup::Ground => ("the ground", "more pans and sieves would tell"),
        DriverGroup::Constants => {
            ("constants of the model", "your own clean-up weights and tailings samples would tell")
        }
        DriverGroup::Prices => ("prices and costs", "a buyer's offer and quotations would tell"),
        DriverGroup::Running => ("hour to hour, and the luck of nuggets", "averages out over a season"),
    }
}

fn text(base: &Base<'_>, looked: &[Looked]) -> String {
    let mut t = format!("{}\n", base.plant.title);
    for l in looked {
        let d = &l.drivers;
        let number = |x: f64| match l.name {
            "money" => money(x, currency(&base.plant)),
            "recovery" => format!("{x:.1} %"),
            _ => format!("{x:.2} g/h"),
        };
        let _ = writeln!(
            t,
            "\n{}: {} on average, give or take {} from run to run. Of that spread (variance):",
            l.what,
            number(d.mean),
            number(d.sd)
        );
        for g in &d.groups {
            let (words, remedy) = group_words(g.group);
            if g.total.abs() > 1e-9 {
                let _ = writeln!(t, "  {:>7}  hangs on {words} ({remedy})", percent(g.total.max(0.0)));
            }
        }
        let _ = writeln!(t, "What to measure next, largest share first:");
        let mut any = false;
        let known =
            |i: &&Driver| i.group != DriverGroup::Running && i.total > WORTH_MEASURING && i.total > 2.0 * i.total_error;
        for i in d.inputs.iter().filter(known).take(NEXT) {
            any = true;
            let _ =
                writeln!(t, "  {:>7}  {} ({})", percent(i.total), how_to_narrow(&i.name, i.group, &i.meaning), i.name);
        }
        if !any {
            let _ = writeln!(t, "  nothing single stands out");
        }
    }
    let _ = writeln!(
        t,
        "\nA share says how much of the spread would stay if all else were known; shares of inputs that act together add up to more \
         than the whole. Pans and sieves are in the shares, but not in the bars, which move one number at a time."
    );
    t
}

fn document(l: &Looked) -> Value {
    let driver = |d: &Driver| {
        json!({
            "name": d.name, "meaning": d.meaning, "group": group_words(d.group).0,
            "first_order": d.first, "total": d.total, "total_error": d.total_error,
        })
    };
    json!({
        "of": l.name, "what": l.what, "mean": l.drivers.mean, "sd": l.drivers.sd,
        "groups": l.drivers.groups.iter().map(driver).collect::<Vec<_>>(),
        "inputs": l.drivers.inputs.iter().map(driver).collect::<Vec<_>>(),
    })
}

fn table(l: &Looked) -> TableFile {
    let name = format!("shares-{}", l.name);
    let columns = ["input", "meaning", "group", "first_order_share", "total_share", "total_share_standard_error"];
    let mut table = TableFile::new(&name, &columns);
    for d in l.drivers.groups.iter().chain(&l.drivers.inputs) {
        let group = group_words(d.group).0;
        let name = if d.name.is_empty() { format!("all of: {group}") } else { d.name.clone() };
        let mut row: Vec<Cell> = vec![name.into(), d.meaning.clone().into(), group.into()];
        row.extend([d.first, d.total, d.total_error].map(Cell::from));
        table.row(row);
    }
    table
}
