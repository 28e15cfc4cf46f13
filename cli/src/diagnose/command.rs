//! Arguments of `diagnose`, and the answer.

use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use serde_json::{Value, json};
use sim_core::problem::did_you_mean;
use sim_core::registry::Registry;
use sim_core::stage::{Goes, Symptom};

use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::load_base;
use crate::output::print;
use crate::progress::watched;
use washgraph_advice::diagnose::causes::causes;
use washgraph_advice::diagnose::judge::{
    AS_BUILT_NAME, Judgement, Remedy, Runs, Terms, count, rank, remedies, signs_at_hand,
};
use washgraph_advice::diagnose::readings::Readings;
use washgraph_advice::diagnose::symptoms::sign_words;
use washgraph_advice::plants::contest::currency;
use washgraph_view::diagnose::{CAUTIONS, Said, text};
use washgraph_view::tables::TableFile;

/// Trials of each variant unless the user says otherwise: a chance is then good to about 5 points.
const TRIALS: u64 = 100;

/// Arguments of `diagnose`.
#[derive(Debug, clap::Args)]
pub(crate) struct DiagnoseArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// What is seen, one name or several at once; without any, the names are listed
    pub symptoms: Vec<String>,
    /// How often a cause happens beside the others, e.g. pump-worn=3; 0 rules it out
    #[arg(long = "weight", value_name = "NAME=NUMBER")]
    pub weights: Vec<String>,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// From symptoms to causes.
pub(crate) fn diagnose(registry: &Registry, args: &DiagnoseArgs) -> Exit {
    let (symptoms, weights) = match (find(registry, &args.symptoms), read_weights(registry, &args.weights)) {
        (Ok(symptoms), Ok(weights)) => (symptoms, weights),
        (symptoms, weights) => {
            for message in [symptoms.err(), weights.err()].into_iter().flatten().flatten() {
                anstream::eprintln!("error: {message}");
            }
            return Exit::BadInput;
        }
    };
    if symptoms.is_empty() {
        print(&list(registry));
        return Exit::Done;
    }
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let trials = args.common.trials.unwrap_or(TRIALS) as usize;
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let total = trials as u64 * (count(&base) as u64 + 1);
    let runs = watched(total, |done: &AtomicU64| Runs::new(&base, &Terms { seed, trials, done }));
    let (signs, missing) = signs_at_hand(&symptoms, &runs);
    if signs.is_empty() {
        return cannot_show(&symptoms, &missing, &runs.readings);
    }
    let mut judgement = rank(&runs, &symptoms, signs, &weights);
    judgement.remedies = watched(0, |done| remedies(&judgement, &base, &symptoms, &Terms { seed, trials, done }));
    let recoveries: Vec<(f64, f64)> = judgement.tried.iter().map(|t| judgement.recovery_with(t)).collect();
    let currency = currency(&base.plant);
    let said = Said {
        title: &base.plant.title,
        symptoms: &symptoms,
        missing: &missing,
        judgement: &judgement,
        recoveries: &recoveries,
        units: base.plant.units,
        currency,
        trials,
    };
    let mut document = document(&said);
    if let Some(map) = document.as_object_mut() {
        map.insert("scenario".into(), args.scenario.display().to_string().into());
        map.insert("seed".into(), seed.into());
    }
    let tables = vec![table(&said)];
    Answer { command: "diagnose", text: text(&said), document, tables, figures: Vec::new(), exit: Exit::Done }
        .deliver(&args.scenario, &args.common)
}

fn cannot_show(symptoms: &[&Symptom], missing: &[usize], readings: &Readings) -> Exit {
    let seen: Vec<&str> = symptoms.iter().map(|s| s.seen).collect();
    let words: Vec<&str> = missing.iter().filter_map(|i| readings.get(*i)).map(|r| r.words).collect();
    anstream::eprintln!("error: this scenario cannot show \"{}\": it has no {}", seen.join("; "), words.join(", no "));
    let mut kinds: Vec<&str> = missing.iter().map(|i| readings.kind_of(*i)).filter(|k| !k.is_empty()).collect();
    kinds.dedup();
    anstream::eprintln!("  add the part that shows it (kind = \"{}\"), then ask again", kinds.join("\", \""));
    Exit::BadInput
}

/// What an owner may see at the kinds of the program.
fn symptoms(registry: &Registry) -> Vec<&'static Symptom> {
    registry.symptoms().into_iter().map(|s| s.thing).collect()
}

/// The symptoms named; all unknown names at once, each with the nearest.
fn find(registry: &Registry, names: &[String]) -> Result<Vec<&'static Symptom>, Vec<String>> {
    let (mut found, mut wrong): (Vec<&'static Symptom>, Vec<String>) = (Vec::new(), Vec::new());
    let known = symptoms(registry);
    for name in names {
        match known.iter().copied().find(|s| s.name == name.trim() || s.seen == name.trim()) {
            Some(symptom) if !found.iter().any(|f| f.name == symptom.name) => found.push(symptom),
            Some(_) => {}
            None => wrong.push(unknown(&known, name)),
        }
    }
    if wrong.is_empty() { Ok(found) } else { Err(wrong) }
}

fn unknown(known: &[&Symptom], name: &str) -> String {
    let words = known.iter().flat_map(|s| [s.name, s.seen].into_iter().chain(s.also.iter().copied()));
    let near = did_you_mean(name, words)
        .and_then(|near| known.iter().find(|s| s.name == near || s.seen == near || s.also.contains(&near)));
    let names: Vec<&str> = known.iter().map(|s| s.name).collect();
    match near {
        Some(near) => format!("there is no symptom `{name}`; did you mean `{}` ({})?", near.name, near.seen),
        None => format!("there is no symptom `{name}`; known are {}", names.join(", ")),
    }
}

fn read_weights(registry: &Registry, texts: &[String]) -> Result<Vec<(String, f64)>, Vec<String>> {
    let (mut list, mut wrong) = (Vec::new(), Vec::new());
    let known = causes(registry);
    for text in texts {
        let names = || known.iter().map(|c| c.fault.name).chain([AS_BUILT_NAME]);
        let Some((name, number)) = text.split_once('=') else {
            wrong.push(format!("--weight {text}: write NAME=NUMBER, e.g. pump-worn=3"));
            continue;
        };
        if !names().any(|n| n == name.trim()) {
            let near = did_you_mean(name, names()).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
            wrong.push(format!("--weight {text}: there is no cause `{name}`{near}"));
            continue;
        }
        match number.trim().parse::<f64>() {
            Ok(x) if x.is_finite() && x >= 0.0 => list.push((name.trim().to_string(), x)),
            _ => wrong.push(format!("--weight {text}: `{number}` is no number from 0 up")),
        }
    }
    if wrong.is_empty() { Ok(list) } else { Err(wrong) }
}

/// The symptoms by name.
fn list(registry: &Registry) -> String {
    let known = symptoms(registry);
    let width = known.iter().map(|s| s.name.len()).max().unwrap_or(0);
    let lines: Vec<String> = known.iter().map(|s| format!("  {:<width$}  {}", s.name, s.seen)).collect();
    format!(
        "What do you see? Name one, or several that came together:\n\n{}\n\ne.g. washgraph diagnose my-plant.toml {}\n",
        lines.join("\n"),
        known.first().map_or("", |s| s.name)
    )
}

fn document(said: &Said<'_>) -> Value {
    let j: &Judgement<'_> = said.judgement;
    let reading = |i: usize| j.readings.get(i).map_or("", |r| r.name);
    let listed = |list: Option<&Vec<Remedy>>| -> Vec<Value> { list.into_iter().flatten().map(remedy_json).collect() };
    let causes: Vec<Value> = j
        .tried
        .iter()
        .zip(said.recoveries)
        .enumerate()
        .map(|(i, (t, recovery))| {
            let check = j.checks.iter().find(|c| c.one == i);
            let grade = t.likeliest_grade().and_then(|(g, _)| t.candidate.grades.get(g));
            json!({
                "name": t.candidate.cause.name, "words": t.candidate.words(), "setting": t.candidate.path,
                "chance": t.chance, "weight": t.weight, "brings": t.brought.brings, "brings_by_grade": t.brought.by_grade,
                "shown_with": t.brought.with, "shown_without": t.brought.without,
                "likeliest_grade": grade.map(|g| g.1.clone()),
                "recovery_should_be": recovery.0, "recovery_with": recovery.1,
                "look": t.candidate.cause.look,
                "told_from_next": check.map(|c| json!({
                    "next": j.tried.get(c.other).map(|o| o.candidate.cause.name), "reading": reading(c.apart.reading),
                    "this_si": c.apart.one, "next_si": c.apart.other, "should_be_si": c.apart.should, "apart_sd": c.apart.apart,
                })),
                "remedies": listed(j.remedies.get(i).filter(|_| i + 1 < j.remedies.len())),
            })
        })
        .collect();
    json!({
        "command": "diagnose",
        "trials_each": said.trials,
        "symptoms": said.symptoms.iter().map(|s| json!({ "name": s.name, "seen": s.seen })).collect::<Vec<_>>(),
        "signs": j.signs.iter().map(|s| json!({
            "reading": reading(s.reading), "words": sign_words(s, j.readings), "goes": goes(s.goes), "counts": s.counts, "slack": s.slack,
        })).collect::<Vec<_>>(),
        "left_out": said.missing.iter().filter_map(|i| j.readings.get(*i)).map(|r| r.words).collect::<Vec<_>>(),
        "causes": causes,
        "as_built": { "shown": j.as_built.0, "chance": j.as_built.1, "remedies": listed(j.remedies.last()) },
        "bring_nothing": j.idle,
        "refused": j.refused.iter().map(|(n, r)| json!({ "cause": n, "reason": r })).collect::<Vec<_>>(),
        "not_modelled": said.symptoms.iter().flat_map(|s| s.look_anyway).collect::<Vec<_>>(),
        "cautions": said.symptoms.iter().flat_map(|s| s.cautions).chain(&CAUTIONS).collect::<Vec<_>>(),
    })
}

fn goes(goes: Goes) -> &'static str {
    match goes {
        Goes::Up => "up by a share",
        Goes::Down => "down by a share",
        Goes::UpBy => "up by an amount",
        Goes::DownBy => "down by an amount",
        Goes::Above => "above a level",
        Goes::Below => "below a level",
    }
}

fn remedy_json(r: &Remedy) -> Value {
    json!({
        "words": r.words, "undoes_the_cause": r.undoes,
        "caught_before_g_per_h": r.caught.0 * 3.6e6, "caught_after_g_per_h": r.caught.1 * 3.6e6,
        "recovery_before": r.recovery.0, "recovery_after": r.recovery.1,
        "season_before": r.season.0, "season_after": r.season.1,
        "symptom_before": r.symptom.0, "symptom_after": r.symptom.1,
    })
}

fn table(said: &Said<'_>) -> TableFile {
    let mut table = TableFile::new(
        "causes",
        &[
            "cause",
            "words",
            "setting",
            "chance",
            "weight_assumed",
            "brings_share_of_runs",
            "shown_with_share",
            "shown_without_share",
            "recovery_should_be",
            "recovery_with",
        ],
    );
    for (t, recovery) in said.judgement.tried.iter().zip(said.recoveries) {
        table.row([
            t.candidate.cause.name.into(),
            t.candidate.words().into(),
            t.candidate.path.clone().into(),
            t.chance.into(),
            t.weight.into(),
            t.brought.brings.into(),
            t.brought.with.into(),
            t.brought.without.into(),
            recovery.0.into(),
            recovery.1.into(),
        ]);
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_unknown_symptoms_are_all_named_with_the_nearest_known_one() {
        let names = ["packed-rifles", "screen plugged", "wobble"].map(String::from);
        let registry = washgraph_standard_stages::registry();
        let wrong = find(&registry, &names).unwrap_err();
        assert_eq!(wrong.len(), 3, "{wrong:?}");
        assert!(wrong[0].contains("did you mean `packed-riffles`"), "{wrong:?}");
        assert!(wrong[1].contains("did you mean `screen-plugged`"), "{wrong:?}");
        assert!(wrong[2].contains("known are ") && wrong[2].contains("flow-down-gauge-up"), "{wrong:?}");
        let twice = ["thick-pond", "pond water turning thick"].map(String::from);
        assert_eq!(find(&registry, &twice).unwrap().len(), 1);
    }

    #[test]
    fn identity_weights_are_read_or_refused_with_the_reason() {
        let registry = washgraph_standard_stages::registry();
        let good = read_weights(&registry, &["pump-worn=3".into(), "as-built=0".into()]).unwrap();
        assert_eq!(good, [("pump-worn".to_string(), 3.0), ("as-built".to_string(), 0.0)]);
        let wrong =
            read_weights(&registry, &["pump-warn=3".into(), "more-clay".into(), "more-clay=-1".into()]).unwrap_err();
        assert!(wrong[0].contains("did you mean `pump-worn`"), "{wrong:?}");
        assert!(wrong[1].contains("NAME=NUMBER") && wrong[2].contains("from 0 up"), "{wrong:?}");
    }
}
