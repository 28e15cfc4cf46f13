//! Tuning: what the plant's own results say of the constants, held against cases whose answer is known exactly.

use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use rand::Rng;
use sim_core::draw::Input;
use sim_core::plant::Plant;
use sim_core::problem::{Problem, Problems, Severity};
use sim_core::quantity::Dimension;
use sim_core::stats::{Spread, normal};
use sim_core::trial::{Worker, run_trials};
use washgraph_model::result::RunResult;
use washgraph_model::scenario::{Opened, build};
use washgraph_model::tune::{Day, Evidence, Options, Part, Tuning, tune};
use washgraph_model::tuned::file;

const CREEK: &str = include_str!("../../broken/sound.toml");

fn opened(text: &str, folder: PathBuf) -> Opened {
    Opened { text: text.to_owned(), folder }
}

fn built(opened: &Opened) -> (Plant, Vec<String>) {
    let mut problems = Problems::default();
    let plant = build(opened, &washgraph_standard_stages::registry(), &mut problems);
    let list = problems.in_order();
    let plant = plant.unwrap_or_else(|| panic!("{list:?}"));
    // The creek's own pans are warned of as well; here only what concerns the tuned file.
    let of_tuning = |p: &&Problem| p.severity == Severity::Warning && p.message.contains("tuned");
    let warned = list.iter().filter(of_tuning).map(|p| p.message.clone()).collect();
    (plant, warned)
}

fn creek() -> Plant {
    built(&opened(CREEK, PathBuf::new())).0
}

fn index(plant: &Plant, name: &str) -> usize {
    plant.inputs.all().iter().position(|i| i.name == name).unwrap_or_else(|| panic!("no input {name}"))
}

/// A reading of a weighted sum of inputs, with a normal error.
#[derive(Clone)]
struct Reading {
    of: Vec<(usize, f64)>,
    sd: f64,
    parts: Vec<Part>,
}

impl Reading {
    fn boxed(of: Vec<(usize, f64)>, sd: f64, seen: f64) -> Box<dyn Evidence> {
        let part = Part { words: "a reading".into(), dimension: Dimension::Number, seen };
        Box::new(Reading { of, sd, parts: vec![part] })
    }
}

fn unit(rng: &mut dyn Rng) -> f64 {
    ((rng.next_u64() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
}

impl Evidence for Reading {
    fn name(&self) -> &str {
        "a reading"
    }

    fn parts(&self) -> &[Part] {
        &self.parts
    }

    fn predict(&self, worker: &mut Worker<'_>, out: &mut Vec<f64>) {
        out.push(self.of.iter().map(|(i, share)| share * worker.input(*i)).sum());
    }

    fn ln_likelihood(&self, predicted: &[f64]) -> f64 {
        let r = (self.parts[0].seen - predicted[0]) / self.sd;
        -0.5 * r * r
    }

    fn residuals(&self, predicted: &[f64], out: &mut Vec<f64>) {
        out.push((self.parts[0].seen - predicted[0]) / self.sd);
    }

    fn simulate(&self, predicted: &[f64], rng: &mut dyn Rng) -> Box<dyn Evidence> {
        Reading::boxed(self.of.clone(), self.sd, predicted[0] + self.sd * normal::quantile(unit(rng)))
    }
}

/// A count with an input as its mean in one unit of volume.
#[derive(Clone)]
struct Count {
    of: usize,
    volume: f64,
    parts: Vec<Part>,
}

impl Evidence for Count {
    fn name(&self) -> &str {
        "a count"
    }

    fn parts(&self) -> &[Part] {
        &self.parts
    }

    fn predict(&self, worker: &mut Worker<'_>, out: &mut Vec<f64>) {
        out.push(self.volume * worker.input(self.of));
    }

    fn ln_likelihood(&self, predicted: &[f64]) -> f64 {
        self.parts[0].seen * sim_core::math::ln(predicted[0]) - predicted[0]
    }

    fn residuals(&self, predicted: &[f64], out: &mut Vec<f64>) {
        out.push(2.0 * (self.parts[0].seen.sqrt() - predicted[0].sqrt()));
    }

    fn simulate(&self, predicted: &[f64], rng: &mut dyn Rng) -> Box<dyn Evidence> {
        let n = sim_core::stats::discrete::poisson_quantile(unit(rng), predicted[0]).unwrap_or(0);
        let parts = vec![Part { seen: n as f64, ..self.parts[0].clone() }];
        Box::new(Count { parts, ..self.clone() })
    }
}

fn day<'a>(plant: &'a Plant, evidence: &'a [Box<dyn Evidence>]) -> Day<'a> {
    Day { date: "2026-06-12".into(), plant, evidence }
}

fn options(trials: usize, runs: usize) -> Options {
    Options { trials, runs, ..Options::usual(1) }
}

/// Mean and standard deviation of a constant after tuning.
fn moments(tuning: &Tuning, name: &str) -> (f64, f64) {
    let column = tuning.constants.column(name).expect("a constant");
    let constant = &tuning.constants.all()[column];
    let values = tuning.ensemble.members.column(column).map(|u| constant.value(u));
    washgraph_model::tune::weigh::weighted_moments(values, &tuning.weights)
}

/// The creek with a constant of this normal spread, and another that changes by the hour.
fn with_normals(swell: (f64, f64), moisture: (f64, f64)) -> (Plant, usize, usize) {
    let mut plant = creek();
    let (s, m) = (index(&plant, "ground/swell"), index(&plant, "ground/moisture"));
    plant.inputs.respread(Input::Drawn(s), Spread::normal(swell.0, swell.1).unwrap(), "test");
    plant.inputs.respread(Input::Drawn(m), Spread::normal(moisture.0, moisture.1).unwrap(), "test");
    (plant, s, m)
}

/// Posterior of a normal constant with a normal reading: precisions add up.
fn conjugate(prior: (f64, f64), seen: f64, sd: f64) -> (f64, f64) {
    let (p, q) = (1.0 / (prior.1 * prior.1), 1.0 / (sd * sd));
    ((p * prior.0 + q * seen) / (p + q), (1.0 / (p + q)).sqrt())
}

#[test]
fn identity_a_normal_constant_with_a_normal_reading_has_the_conjugate_posterior() {
    let prior = (0.2, 0.03);
    let (plant, s, m) = with_normals(prior, (0.06, 0.01));
    let evidence = [Reading::boxed(vec![(s, 1.0)], 0.02, 0.25)];
    let tuning = tune(&plant, &[day(&plant, &evidence)], &options(1500, 1)).unwrap();
    let (mean, sd) = moments(&tuning, "ground/swell");
    let exact = conjugate(prior, 0.25, 0.02);
    assert_eq!(tuning.rounds.len(), 1);
    assert!((mean - exact.0).abs() < 4.0 * exact.1 / tuning.effective_trials.sqrt(), "{mean} {exact:?}");
    assert!((sd / exact.1 - 1.0).abs() < 0.1, "{sd} {exact:?}");
    // The one that the reading is of was learned most of, and lies where the draws of the file have it.
    let moved = &tuning.moves[0];
    assert_eq!(tuning.constants.all()[moved.column].name, "ground/swell");
    assert!((moved.narrowing - exact.1 / prior.1).abs() < 0.06, "{moved:?}");
    let rows: Vec<f64> = tuning.draws.column(moved.column).map(|u| prior.0 + prior.1 * normal::quantile(u)).collect();
    let of_file = rows.iter().sum::<f64>() / rows.len() as f64;
    assert!((of_file - mean).abs() < 0.003, "{of_file} {mean}");

    // The same reading blurred by what changes from hour to hour: that blur is part of its error, and nothing is learned of
    // the hours.
    let evidence = [Reading::boxed(vec![(s, 1.0), (m, 2.0)], 0.02, 0.25 + 2.0 * 0.06)];
    let tuning = tune(&plant, &[day(&plant, &evidence)], &options(1500, 6)).unwrap();
    let exact = conjugate(prior, 0.25, (0.02_f64 * 0.02 + 0.02 * 0.02).sqrt());
    let (mean, sd) = moments(&tuning, "ground/swell");
    assert!((mean - exact.0).abs() < 5.0 * exact.1 / tuning.effective_trials.sqrt(), "{mean} {exact:?}");
    assert!((sd / exact.1 - 1.0).abs() < 0.1, "{sd} {exact:?}");
    assert!(tuning.constants.column("ground/moisture").is_none());
}

/// Gamma(2, 4 per volume) before, 7 seen in a volume of 2.5: Gamma(9, 6.5) with its closed quantiles.
#[test]
fn identity_a_gamma_constant_with_a_count_has_the_conjugate_posterior() {
    let mut plant = creek();
    let i = index(&plant, "ground/clay_richness");
    let prior = sim_core::stats::posterior::ColourDensity { shape: 2.0, rate_m3: 4.0 };
    plant.inputs.respread(Input::Drawn(i), Spread::table(prior.table().unwrap()), "test");
    let part = Part { words: "colours".into(), dimension: Dimension::Number, seen: 7.0 };
    let evidence: [Box<dyn Evidence>; 1] = [Box::new(Count { of: i, volume: 2.5, parts: vec![part] })];
    let tuning = tune(&plant, &[day(&plant, &evidence)], &options(2500, 1)).unwrap();
    let moved = &tuning.moves[0];
    assert_eq!(tuning.constants.all()[moved.column].name, "ground/clay_richness");
    for (got, exact) in moved.after.iter().zip([0.835_764, 1.333_685, 1.999_186]) {
        assert!((got / exact - 1.0).abs() < 0.08, "{:?} at {}", moved.after, tuning.effective_trials);
    }
}

/// Five standard deviations from where the first trials lie, and a second constant tied to the first by a sum.
#[test]
fn identity_constants_are_drawn_anew_where_the_first_trials_miss() {
    let prior = (0.2, 0.03);
    let (mut plant, s, _) = with_normals(prior, (0.06, 0.01));
    let d = index(&plant, "ground/rock_density");
    plant.inputs.respread(Input::Drawn(d), Spread::normal(2700.0, 30.0).unwrap(), "test");
    let evidence =
        [Reading::boxed(vec![(s, 1.0)], 0.004, 0.35), Reading::boxed(vec![(s, 1000.0), (d, 1.0)], 4.0, 350.0 + 2650.0)];
    let tuning = tune(&plant, &[day(&plant, &evidence)], &options(1000, 1)).unwrap();
    assert!(tuning.rounds[0].effective_trials < 3.0, "{:?}", tuning.rounds);
    assert!(tuning.stands() && tuning.rounds.len() <= 5, "{:?}", tuning.rounds);
    // Exact: precision matrix of (swell, density).
    let (p, q) = (1.0 / (prior.1 * prior.1), 1.0 / 900.0);
    let (a, b, c) = (p + 62_500.0 + 62_500.0, 62.5, q + 0.0625);
    let (x, y) = (p * 0.2 + 62_500.0 * 0.35 + 62.5 * 3000.0, q * 2700.0 + 0.0625 * 3000.0);
    let det = a * c - b * b;
    let exact = [((x * c - y * b) / det, (c / det).sqrt()), ((y * a - x * b) / det, (a / det).sqrt())];
    for (name, (mean, sd)) in ["ground/swell", "ground/rock_density"].into_iter().zip(exact) {
        let got = moments(&tuning, name);
        assert!((got.0 - mean).abs() < 4.0 * sd / tuning.effective_trials.sqrt(), "{name} {got:?} {mean} {sd}");
        assert!((got.1 / sd - 1.0).abs() < 0.15, "{name} {got:?} {sd}");
    }
    // Others stay as they were.
    let (z, one) = {
        let column = tuning.constants.column("sluice/hiding").unwrap();
        let z = tuning.ensemble.members.column(column).map(normal::quantile);
        washgraph_model::tune::weigh::weighted_moments(z, &tuning.weights)
    };
    assert!(z.abs() < 4.0 / tuning.effective_trials.sqrt() && (one - 1.0).abs() < 0.2, "{z} {one}");
}

#[test]
fn property_readings_that_contradict_each_other_are_named_and_those_that_agree_are_not() {
    let (plant, s, m) = with_normals((0.2, 0.03), (0.06, 0.01));
    let one = [Reading::boxed(vec![(s, 1.0)], 0.003, 0.17)];
    let two = [Reading::boxed(vec![(s, 1.0)], 0.003, 0.23), Reading::boxed(vec![(m, 1.0)], 0.01, 0.065)];
    let tuning = tune(&plant, &[day(&plant, &one), day(&plant, &two)], &options(1500, 2)).unwrap();
    let [a, b, c] = tuning.observations.as_slice() else { panic!("three observations") };
    assert!(a.disagrees() && b.disagrees() && !c.disagrees());
    assert!(!a.unheard_of() && !b.unheard_of());
    let pairs: Vec<(usize, usize)> = tuning.clashes.iter().map(|c| (c.one, c.other)).collect();
    assert!(pairs.contains(&(0, 1)) && pairs.contains(&(1, 0)) && pairs.iter().all(|p| *p != (0, 2)), "{pairs:?}");
    // The size of the disagreement is there: 0.17 where the other expects about 0.23.
    let rest = a.from_the_rest.as_ref().unwrap();
    assert!(rest.parts[0].low > 0.21 && rest.parts[0].high < 0.25, "{rest:?}");
}

#[test]
fn property_a_tuned_file_is_read_by_the_scenario_and_what_no_longer_fits_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let (mut plant, s, _) = with_normals((0.2, 0.03), (0.06, 0.01));
    // The file is for the creek as written, so its own spread stands there.
    plant.inputs = creek().inputs;
    let evidence = [Reading::boxed(vec![(s, 1.0)], 0.005, 0.24)];
    let tuning = tune(&plant, &[day(&plant, &evidence)], &options(1000, 1)).unwrap();
    let text = tuning.file(&plant, "log.toml").text(&["Tuned constants of an invented creek".into()]);
    std::fs::write(folder.path().join("tuned.toml"), &text).unwrap();
    let named = format!("tuned = \"tuned.toml\"\n{CREEK}");
    let (tuned, warned) = built(&opened(&named, folder.path().into()));
    assert!(warned.is_empty(), "{warned:?}");
    assert_eq!(tuned.inputs.joint().map(|j| j.as_ref().clone()), tuning.joint(&plant));
    assert_eq!(tuned.tuned.as_ref().unwrap().observations, 1);
    let mut worker = Worker::new(&tuned, 1);
    assert!((worker.input(s) - 0.24).abs() < 0.01);
    let values: Vec<f64> = (0..300)
        .map(|t| {
            worker.run_trial(t);
            worker.input(s)
        })
        .collect();
    let mean = values.iter().sum::<f64>() / 300.0;
    assert!((mean - 0.238).abs() < 0.004, "{mean}");
    assert_ne!(tuned.sha256, plant.sha256);

    // A spread typed since, one that is gone, and a ground that has changed: said, and the rest is used.
    let respread =
        named.replace("[ground]\n", "[ground]\nswell = { low = \"5 %\", mid = \"10 %\", high = \"15 %\" }\n");
    let (tuned, warned) = built(&opened(&respread, folder.path().into()));
    assert!(warned.iter().any(|w| w.contains("changed in the scenario") && w.contains("ground/swell")), "{warned:?}");
    assert_eq!(tuned.tuned.as_ref().map(|t| t.left_out), Some(1));
    let known = named.replace(
        "clay_wear = { low = \"0.004 mm/s\", mid = \"0.015 mm/s\", high = \"0.05 mm/s\" }",
        "clay_wear = \"0.015 mm/s\"",
    );
    let (_, warned) = built(&opened(&known, folder.path().into()));
    assert!(warned.iter().any(|w| w.contains("known or not there") && w.contains("ground/clay_wear")), "{warned:?}");
    let pans = named.replace("volume = \"240 L loose\"", "volume = \"200 L loose\"");
    let (_, warned) = built(&opened(&pans, folder.path().into()));
    assert!(warned.iter().any(|w| w.contains("ground/gold")), "{warned:?}");

    // A file that was cut is refused.
    std::fs::write(
        folder.path().join("tuned.toml"),
        text.replacen("0\n", "\n", 1).replacen("draws = \"\"\"\n", "draws = \"\"\"\n12\n", 1),
    )
    .unwrap();
    let mut problems = Problems::default();
    assert!(
        build(&opened(&named, folder.path().into()), &washgraph_standard_stages::registry(), &mut problems).is_none()
    );
    assert!(problems.in_order().iter().any(|p| p.message.contains("cannot be")), "{:?}", problems.in_order());
}

#[test]
fn identity_a_log_without_observations_changes_nothing_to_the_byte() {
    let folder = tempfile::tempdir().unwrap();
    let plant = creek();
    let tuning = tune(&plant, &[], &options(1000, 1)).unwrap();
    let written = tuning.file(&plant, "log.toml").text(&[]);
    assert_eq!(file::TunedFile::read(&written).unwrap().rows(), 0);
    std::fs::write(folder.path().join("tuned.toml"), written).unwrap();
    let json = |text: &str| {
        let (plant, warned) = built(&opened(text, folder.path().into()));
        assert!(warned.is_empty(), "{warned:?}");
        let outcome = RunResult::new(&plant, 1, &run_trials(&plant, 1, 200, &AtomicU64::new(0)));
        serde_json::to_string_pretty(&outcome).unwrap()
    };
    let line = "spread_means = \"1 in 10\"";
    assert!(CREEK.contains(line));
    assert_eq!(json(CREEK), json(&CREEK.replacen(line, &format!("tuned = \"tuned.toml\"\n{line}"), 1)));
}

/// The demonstration creek and its invented log: a clean-up that weighs less than the pans of the ground promised, cobbles that
/// take longer than the middle of the law.
#[test]
fn property_the_log_of_the_demonstration_moves_its_constants_the_way_it_points() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let opened = washgraph_model::scenario::open(&folder.join("juniper-creek.toml")).unwrap();
    let plant = std::sync::Arc::new(built(&opened).0);
    let file = washgraph_model::tune::log::open(&folder.join("juniper-creek-log.toml")).unwrap();
    let mut problems = Problems::default();
    let log =
        washgraph_model::tune::log::read(&file, &opened, &washgraph_standard_stages::registry(), &plant, &mut problems);
    let log = log.unwrap_or_else(|| panic!("{:?}", problems.in_order()));
    let days: Vec<Day<'_>> =
        log.cases.iter().map(|c| Day { date: c.date.clone(), plant: &c.plant, evidence: &c.evidence }).collect();
    let tuning = tune(&plant, &days, &Options { trials: 1000, runs: 2, ..Options::usual(1) }).unwrap();
    let first = tuning.rounds[0].effective_trials;
    assert!(tuning.effective_trials > 10.0 * first.max(5.0), "{:?}", tuning.rounds);
    let moved = |name: &str| {
        let column = tuning.constants.column(name).unwrap();
        tuning.moves.iter().find(|m| m.column == column).unwrap().clone()
    };
    let (gold, time) = (moved("ground/gold"), moved("drum/residence_factor"));
    assert!(gold.after[1] < gold.before[1] && gold.narrowing < 0.6, "{gold:?}");
    assert!(time.after[1] > time.before[1] && time.narrowing < 0.95, "{time:?}");
    assert!(tuning.observations.iter().all(|o| !o.disagrees()), "one draw of the plant contradicts itself");
}
