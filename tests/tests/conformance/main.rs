//! What every kind of stage, section and water outlet must do, asked of all kinds in the registry. A crate from outside runs
//! the same with its own registry and a scenario that holds its kind.

use std::path::PathBuf;

use rayon::prelude::*;
use sim_core::draw::Nature;
use sim_core::problem::Problems;
use sim_core::quantity;
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::trial::Worker;
use washgraph_model::scenario::{Opened, build};
use washgraph_model::variant::{Settable, SettingPath, settables, with};

const EVERY_KIND: &str = include_str!("every-kind.toml");
/// Trials for each value tried.
const TRIALS: u64 = 6;
/// Rounding only.
const CLOSED: f64 = 1e-12;
/// The pond's water goes round until it changes by less than this.
const CLOSED_POND_WATER: f64 = 1e-9;

fn opened() -> Opened {
    Opened { text: EVERY_KIND.into(), folder: PathBuf::new() }
}

/// Name, purpose, settings of every kind.
fn kinds(registry: &Registry) -> Vec<(&'static str, &'static str, &'static [Setting])> {
    let stages = registry.stages.iter().map(|k| (k.name, k.purpose, k.settings));
    let sections = registry.sections.iter().map(|k| (k.name, k.purpose, k.settings));
    let outlets = registry.outlets.iter().map(|k| (k.name, k.purpose, k.settings));
    stages.chain(sections).chain(outlets).collect()
}

#[test]
fn property_every_kind_says_what_it_is_and_where_its_ranges_come_from() {
    let registry = washgraph_standard_stages::registry();
    let mut missing = Vec::new();
    for (name, purpose, settings) in kinds(&registry) {
        if purpose.is_empty() {
            missing.push(format!("{name}: purpose"));
        }
        for s in settings {
            if s.meaning.is_empty() {
                missing.push(format!("{name}.{}: meaning", s.key));
            }
            if matches!(s.preset, Preset::Spread(_) | Preset::SpreadBy { .. }) && s.source.is_empty() {
                missing.push(format!("{name}.{}: where the usual spread comes from", s.key));
            }
            if let Kind::Choice(words) | Kind::Words(words) = s.kind {
                missing.extend(words.iter().filter(|w| w.1.is_empty()).map(|w| format!("{name}.{}: {}", s.key, w.0)));
            }
        }
    }
    for k in &registry.stages {
        for port in k.inlets.iter().chain(k.outlets).filter(|p| p.meaning.is_empty()) {
            missing.push(format!("{}: port {}", k.name, port.name));
        }
        missing.extend(k.reasons.iter().filter(|r| r.words.is_empty()).map(|r| format!("{}: {}", k.name, r.name)));
        if k.model.is_empty() {
            missing.push(format!("{}: model", k.name));
        }
    }
    assert_eq!(missing, Vec::<String>::new());
}

#[test]
fn property_the_plant_of_every_kind_has_every_kind() {
    let registry = washgraph_standard_stages::registry();
    let absent: Vec<_> = kinds(&registry)
        .into_iter()
        .map(|k| k.0)
        .filter(|name| !EVERY_KIND.contains(&format!("kind = \"{name}\"")))
        .collect();
    assert_eq!(absent, Vec::<&str>::new());
}

/// Values to try in place of what holds: each word, both ends of the range, and half and twice of what holds.
fn trials_of(settable: &Settable) -> Vec<String> {
    let setting = &settable.setting;
    let (low, high) = setting.range;
    match setting.kind {
        Kind::Choice(words) => words.iter().map(|w| w.0.to_string()).collect(),
        Kind::Switch => vec!["true".into(), "false".into()],
        Kind::Known(dimension) | Kind::Quantity(dimension) => {
            let unit = dimension.si_symbol();
            let now = settable.in_force().and_then(|text| quantity::parse(text, dimension).ok()).map(|p| p.si);
            let near = now.into_iter().flat_map(|x| [0.5 * x, 2.0 * x]).filter(|x| (low..=high).contains(x));
            let ends = [low, high].into_iter().filter(|x| x.is_finite());
            let basis = if dimension.takes_basis() { " loose" } else { "" };
            ends.chain(near).map(|x| format!("{x} {unit}{basis}")).collect()
        }
        Kind::Whole => [low, high].into_iter().filter(|x| x.is_finite() && *x < 1e6).map(|x| format!("{x}")).collect(),
        Kind::Text | Kind::File { .. } | Kind::Rows(_) | Kind::Words(_) | Kind::Nested => Vec::new(),
    }
}

/// What is wrong with a plant's trials; empty when all is well.
fn faults(text: Opened, registry: &Registry) -> Vec<String> {
    let mut problems = Problems::default();
    let Some(plant) = build(&text, registry, &mut problems) else {
        // Refused: it must say why, and what to do.
        let list = problems.in_order();
        return match list.iter().find(|p| p.message.is_empty()) {
            _ if list.is_empty() => vec!["refused without a word".into()],
            Some(_) => vec!["refused with an empty message".into()],
            None => Vec::new(),
        };
    };
    let mut worker = Worker::new(&plant, 1);
    let mut list = Vec::new();
    for trial in 0..TRIALS {
        worker.run_trial(trial);
        let (recovery, left) = (worker.recovery(), worker.residuals());
        if !(0.0..=1.0 + CLOSED).contains(&recovery) {
            list.push(format!("trial {trial}: recovery {recovery}"));
        }
        let closes = left.gold < CLOSED && left.solids < CLOSED && left.water < CLOSED_POND_WATER;
        if !closes {
            list.push(format!("trial {trial}: {left:?}"));
        }
        if !worker.season_net().is_finite() {
            list.push(format!("trial {trial}: net {}", worker.season_net()));
        }
    }
    list.truncate(1);
    list
}

#[test]
fn property_every_setting_at_the_ends_of_its_range_runs_and_closes_or_is_refused_with_words() {
    let registry = washgraph_standard_stages::registry();
    let list = settables(&opened(), &registry).expect("settings");
    assert!(list.len() > 150, "{} settings", list.len());
    let tried = list.iter().filter(|s| !["seed", "trials", "units"].contains(&s.path.as_str()));
    let changes: Vec<(&Settable, String)> =
        tried.flat_map(|s| trials_of(s).into_iter().map(move |value| (s, value))).collect();
    let wrong: Vec<String> = changes
        .par_iter()
        .flat_map_iter(|(settable, value)| {
            let path = SettingPath::among(&settable.path, &list).expect("its own path");
            let found = match with(&opened(), &[(path, value.clone())]) {
                Ok(changed) => faults(changed, &registry),
                Err(error) => vec![format!("{error:?}")],
            };
            found.into_iter().map(|f| format!("{} = {value}: {f}", settable.path)).collect::<Vec<_>>()
        })
        .collect();
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn property_every_uncertain_input_at_its_far_ends_runs_and_closes() {
    let registry = washgraph_standard_stages::registry();
    let mut problems = Problems::default();
    let plant = build(&opened(), &registry, &mut problems).expect("the plant of every kind");
    let mut worker = Worker::new(&plant, 1);
    let mut wrong = Vec::new();
    for (k, input) in plant.inputs.all().iter().enumerate() {
        assert!(!input.source.is_empty(), "{}: no source", input.name);
        assert!(input.nature == Nature::Ignorance || input.nature == Nature::Variability);
        for u in [1e-4, 0.9999] {
            worker.run_middle_but(k, u);
            let left = worker.residuals();
            let closes = left.gold < CLOSED && left.solids < CLOSED && left.water < CLOSED_POND_WATER;
            if !closes || !(0.0..=1.0 + CLOSED).contains(&worker.recovery()) {
                wrong.push(format!("{} at {u}: recovery {} {left:?}", input.name, worker.recovery()));
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}
