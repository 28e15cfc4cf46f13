//! Arguments of `next`, and the answer.

use std::path::PathBuf;
use std::sync::Arc;

use serde_json::json;
use sim_core::problem::did_you_mean;
use sim_core::registry::Registry;
use washgraph_model::tune::observe::{ObservationKind, all};

use crate::exit::Exit;
use crate::load::load_base;
use crate::output::{OutputError, print, write_files};
use crate::progress::watched;
use washgraph_advice::next::weigh::{Next, Pains, weigh};
use washgraph_advice::plants::contest::currency;
use washgraph_view::field_sheet::{Sheet, html};
use washgraph_view::next::{text, why};
use washgraph_view::tables::{Cell, ContentError, TableFile, files};

/// File by which a folder of this command is known.
const MARK: &str = "next.json";

/// Arguments of `next`.
#[derive(Debug, clap::Args)]
pub(crate) struct NextArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// Write the field sheet of this observation instead of the one that helps most (`all`: of each)
    #[arg(long, value_name = "OBSERVATION")]
    pub sheet: Option<String>,
    /// What an observation takes you, instead of the minutes assumed, e.g. tailings-pan=90
    #[arg(long = "minutes", value_name = "OBSERVATION=MINUTES")]
    pub minutes: Vec<String>,
    /// Seed of the random numbers (default: as the scenario says)
    #[arg(long)]
    pub seed: Option<u64>,
    /// Folder for the field sheet and tables (default: out/NAME-next)
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Print the result document alone to stdout; write files only with --out
    #[arg(long)]
    pub json: bool,
}

/// Which observation would help most next.
pub(crate) fn next(registry: &Registry, args: &NextArgs) -> Exit {
    let minutes = match args.minutes.iter().map(|m| read_minutes(m)).collect::<Result<Vec<_>, String>>() {
        Ok(minutes) => minutes,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let asked = match args.sheet.as_deref().map(|name| sheets_asked(registry, name)).transpose() {
        Ok(asked) => asked,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let plant = match base.variant(&[]) {
        Ok(plant) => Arc::new(plant),
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let seed = args.seed.unwrap_or(plant.seed);
    let mut found = watched(Pains::FULL.runs(), |done| weigh(&base, &plant, None, (seed, Pains::FULL), done));
    found.take_minutes(&minutes);
    if let Some((name, _)) = minutes.iter().find(|(n, _)| !found.list.iter().any(|w| w.plan.name == *n)) {
        let names = found.list.iter().map(|w| w.plan.name.as_str());
        let near = did_you_mean(name, names).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
        anstream::eprintln!("error: --minutes: this plant has no observation `{name}`{near}");
        return Exit::BadInput;
    }
    let currency = currency(&plant);
    let said = text(&plant.title, &found, currency);
    let document = document(&found, &args.scenario.display().to_string(), seed);
    let document = match serde_json::to_string_pretty(&document) {
        Ok(text) => text + "\n",
        Err(error) => {
            anstream::eprintln!("error: the result cannot be written as JSON: {error}");
            return Exit::Fault;
        }
    };
    print(if args.json { &document } else { &said });
    let usual = || {
        let stem = args.scenario.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        PathBuf::from("out").join(format!("{stem}-next"))
    };
    let Some(folder) = args.out.clone().or_else(|| (!args.json).then(usual)) else { return Exit::Done };
    let list = asked.unwrap_or_else(|| found.list.first().map_or(Vec::new(), |w| w.plan.kinds.clone()));
    let content = || -> Result<Vec<(String, Vec<u8>)>, OutputError> {
        let mut all = vec![(MARK.to_string(), document.into_bytes()), ("answer.txt".into(), said.into_bytes())];
        for kind in &list {
            let alone = found.list.iter().find(|w| w.plan.name == kind.name);
            let mine = alone.or_else(|| found.list.iter().find(|w| w.plan.kinds.iter().any(|k| k.name == kind.name)));
            let why = mine.map_or(String::new(), |w| why(w, currency));
            let page = html(&Sheet { plant: &plant.title, kind, why: &why, units: plant.units });
            all.push((format!("field-sheet-{}.html", kind.name), page.into_bytes()));
        }
        let tables = files("tables", &[table(&found)]);
        all.extend(tables.map_err(|e| ContentError { what: "the workbook", cause: e.to_string() })?);
        Ok(all)
    };
    match write_files(&folder, MARK, content) {
        Ok(()) => {
            let names: Vec<String> = list.iter().map(|k| format!("field-sheet-{}.html", k.name)).collect();
            anstream::eprintln!("To print and fill in, in {}: {}", folder.display(), names.join(", "));
            Exit::Done
        }
        Err(error) => {
            anstream::eprintln!("error: {error}");
            Exit::BadInput
        }
    }
}

/// `name=minutes`.
fn read_minutes(text: &str) -> Result<(String, f64), String> {
    let wrong = || format!("--minutes {text}: write OBSERVATION=MINUTES, e.g. tailings-pan=90");
    let (name, number) = text.split_once('=').ok_or_else(wrong)?;
    match number.trim().parse::<f64>() {
        Ok(x) if x.is_finite() && x >= 0.0 => Ok((name.trim().to_string(), x)),
        _ => Err(wrong()),
    }
}

/// The kinds whose sheets are asked for.
fn sheets_asked(registry: &Registry, name: &str) -> Result<Vec<ObservationKind>, String> {
    let known = all(registry);
    if name == "all" {
        return Ok(known);
    }
    let names = || known.iter().map(|k| k.name);
    match known.iter().find(|k| k.name == name) {
        Some(kind) => Ok(vec![kind.clone()]),
        None => Err(match did_you_mean(name, names()) {
            Some(near) => format!("--sheet: there is no observation `{name}`; did you mean `{near}`?"),
            None => {
                format!(
                    "--sheet: there is no observation `{name}`; known: all, {}",
                    names().collect::<Vec<_>>().join(", ")
                )
            }
        }),
    }
}

fn document(next: &Next, scenario: &str, seed: u64) -> serde_json::Value {
    json!({
        "command": "next", "scenario": scenario, "seed": seed,
        "decisions": next.decisions, "best_now": next.decisions.get(next.best_now),
        "observations": next.list.iter().map(|w| {
            let f = &w.foreseen;
            json!({
                "name": w.plan.name, "words": w.plan.words, "kinds": w.plan.kinds.iter().map(|k| k.name).collect::<Vec<_>>(),
                "minutes_assumed": w.plan.minutes.0, "minutes_plant_stands_assumed": w.plan.minutes.1,
                "recovery_band_now": f.band_now, "recovery_band_after": f.band_after,
                "recovery_sd_now": f.sd.0, "recovery_sd_after": f.sd.1,
                "worth_season": if next.decisions.is_empty() { None } else { Some(f.worth) },
                "changes_decision_share": f.changes, "effective_members_after": f.effective,
            })
        }).collect::<Vec<_>>(),
        "refused": next.refused.iter().map(|(n, r)| json!({ "name": n, "reason": r })).collect::<Vec<_>>(),
    })
}

fn table(next: &Next) -> TableFile {
    let mut table = TableFile::new(
        "observations",
        &[
            "observation",
            "words",
            "minutes_assumed",
            "minutes_plant_stands_assumed",
            "recovery_band_now_share",
            "recovery_band_after_share",
            "worth_season",
            "changes_decision_share",
            "effective_members_after",
        ],
    );
    for w in &next.list {
        let f = &w.foreseen;
        let worth = if next.decisions.is_empty() { Cell::Empty } else { f.worth.into() };
        table.row([
            w.plan.name.clone().into(),
            w.plan.words.clone().into(),
            w.plan.minutes.0.into(),
            w.plan.minutes.1.into(),
            f.band_now.into(),
            f.band_after.into(),
            worth,
            f.changes.into(),
            f.effective.into(),
        ]);
    }
    table
}
