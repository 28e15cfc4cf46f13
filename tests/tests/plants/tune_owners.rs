//! Simulated owners: each has a plant whose constants are one draw of what the scenario leaves open, makes his observations
//! with their errors, and tunes. What he is then told must hold as often as it says.

use std::path::PathBuf;

use crate::owners::{CREEK, days, plant_of, read, seen_by};
use rand::Rng;
use rayon::prelude::*;
use sim_core::quantity::Dimension;
use sim_core::trial::Worker;
use washgraph_model::tune::weigh::{effective_trials, normalised, weighted_quantiles};
use washgraph_model::tune::{Constants, Day, Ensemble, Evidence, Members, Part, ensemble};

const SEED: u64 = 1;
const RUNS: usize = 2;

/// Two samples of the tailings and one clean-up, on three days. What they say is drawn for each owner; the numbers here only
/// say what is observed.
const LOG: &str = r#"
[[seen]]
date = 2026-06-15
what = "tailings-pan"
volume = "60 L loose"
cuts = 12
washed_with = "pan"
readings = [
  { through = "US 60", on = "US 100", colours = 4 },
  { through = "US 100", on = "US 200", colours = 40 },
]

[[seen]]
date = 2026-06-18
what = "tailings-pan"
volume = "60 L loose"
cuts = 12
washed_with = "pan"
readings = [
  { through = "US 60", on = "US 100", colours = 4 },
  { through = "US 100", on = "US 200", colours = 40 },
]

[[seen]]
date = 2026-06-20
what = "clean-up"
washed = "745 yd3 loose"
time = "30 h"
weight = "80 g"
gold = "raw"
"#;

/// Reads the recovery off a run; it is never weighed.
struct Recovery(Vec<Part>);

impl Recovery {
    fn boxed() -> Box<dyn Evidence> {
        Box::new(Recovery(vec![Part { words: "recovery".into(), dimension: Dimension::Fraction, seen: 0.0 }]))
    }
}

impl Evidence for Recovery {
    fn name(&self) -> &str {
        "recovery"
    }

    fn parts(&self) -> &[Part] {
        &self.0
    }

    fn predict(&self, worker: &mut Worker<'_>, out: &mut Vec<f64>) {
        out.push(worker.recovery());
    }

    fn ln_likelihood(&self, _: &[f64]) -> f64 {
        0.0
    }

    fn residuals(&self, _: &[f64], out: &mut Vec<f64>) {
        out.push(0.0);
    }

    fn simulate(&self, _: &[f64], _: &mut dyn Rng) -> Box<dyn Evidence> {
        Recovery::boxed()
    }
}

/// What one owner is told.
struct Told {
    effective: f64,
    /// Whether the band of 8 in 10 holds the truth: of each constant, then of the recovery.
    holds: Vec<bool>,
    /// Width of the band of the recovery over that before.
    narrowing: f64,
}

/// `owners` owners against `members` trials that none of them is among.
fn told_to(owners: usize, members: usize) -> Vec<Told> {
    let (opened, plant) = plant_of(CREEK, PathBuf::new());
    let log = read(LOG, &opened, &plant);
    let constants = Constants::of(&plant);
    let asked: Vec<&dyn Evidence> = log.cases.iter().flat_map(|c| c.evidence.iter().map(|e| e.as_ref())).collect();
    let probe = [Recovery::boxed()];
    let mut all = days(&log);
    all.push(Day { date: String::new(), plant: &plant, evidence: &probe });
    let everyone = Members::of_trials(&constants, &plant, SEED, 0, members + owners);
    let run = Ensemble::run(&all, &constants, SEED, RUNS, everyone);
    let recovery = |m: usize| {
        let p = &run.predictions[asked.len()];
        (0..RUNS).map(|r| p.of(m, r)[0]).sum::<f64>() / RUNS as f64
    };
    let recoveries: Vec<f64> = (0..members).map(recovery).collect();
    let flat = vec![1.0; members];
    let [low, high] = weighted_quantiles(&recoveries, &flat, [0.1, 0.9]);
    let columns: Vec<Vec<f64>> = (0..constants.len()).map(|c| run.members.column(c).take(members).collect()).collect();
    let told = |truth: usize| {
        let seen = seen_by(truth, &run, &asked);
        let ln: Vec<Vec<f64>> = seen
            .iter()
            .zip(&run.predictions)
            .map(|(e, p)| (0..members * RUNS).map(|i| e.ln_likelihood(p.of(i / RUNS, i % RUNS))).collect())
            .collect();
        let ln = ensemble::ln_of_members(&ln, &run.day_of[..asked.len()], RUNS, |_| true);
        let (weights, _) = normalised(&ln).expect("a likely trial");
        let holds = |values: &[f64], truth: f64| {
            let [a, b] = weighted_quantiles(values, &weights, [0.1, 0.9]);
            a <= truth && truth <= b
        };
        let mut list: Vec<bool> =
            columns.iter().enumerate().map(|(c, v)| holds(v, run.members.row(truth)[c])).collect();
        list.push(holds(&recoveries, recovery(truth)));
        let [a, b] = weighted_quantiles(&recoveries, &weights, [0.1, 0.9]);
        Told { effective: effective_trials(&weights), holds: list, narrowing: (b - a) / (high - low) }
    };
    (members..members + owners).into_par_iter().map(told).collect()
}

/// Share of the owners whose band of the recovery holds, and of all bands of constants that do; middle narrowing of the
/// recovery, middle effective trials.
fn coverage(told: &[Told]) -> [f64; 4] {
    let share = |list: &[bool]| list.iter().filter(|h| **h).count() as f64 / list.len() as f64;
    let recovery: Vec<bool> = told.iter().filter_map(|t| t.holds.last().copied()).collect();
    let constants: Vec<bool> = told.iter().flat_map(|t| t.holds[..t.holds.len() - 1].to_vec()).collect();
    let middle = |mut list: Vec<f64>| {
        list.sort_by(f64::total_cmp);
        list[list.len() / 2]
    };
    [
        share(&recovery),
        share(&constants),
        middle(told.iter().map(|t| t.narrowing).collect()),
        middle(told.iter().map(|t| t.effective).collect()),
    ]
}

/// Band for 80 % over `n` owners: 5 points, and two and a half standard errors for so few.
fn band(n: usize) -> f64 {
    0.05_f64.max(2.5 * (0.16 / n as f64).sqrt())
}

#[test]
fn property_bands_of_eight_in_ten_hold_for_eight_owners_in_ten() {
    let told = told_to(100, 2500);
    let [recovery, constants, narrowing, effective] = coverage(&told);
    println!(
        "recovery {recovery:.3}, constants {constants:.3}, narrowing {narrowing:.3}, effective trials {effective:.0}"
    );
    assert!((recovery - 0.8).abs() < band(told.len()), "{recovery}");
    // Some eighty constants an owner.
    assert!((constants - 0.8).abs() < 0.05, "{constants}");
    assert!(narrowing < 0.93 && effective > 50.0, "{narrowing} {effective}");
}

/// The same with 500 owners, and no constant for itself outside 75 to 85 % but by chance.
#[test]
#[ignore = "takes minutes: cargo test -p washgraph-tests --test plants five_hundred -- --ignored --nocapture"]
fn property_five_hundred_owners() {
    let told = told_to(500, 8000);
    let [recovery, constants, narrowing, effective] = coverage(&told);
    println!(
        "recovery {recovery:.3}, constants {constants:.3}, narrowing {narrowing:.3}, effective trials {effective:.0}"
    );
    let each: Vec<f64> = (0..told[0].holds.len())
        .map(|c| told.iter().filter(|t| t.holds[c]).count() as f64 / told.len() as f64)
        .collect();
    let outside = each.iter().filter(|x| (**x - 0.8).abs() > 0.05).count();
    println!("{} of {} outside 75 to 85 %: {each:.3?}", outside, each.len());
    assert!((recovery - 0.8).abs() < 0.05 && (constants - 0.8).abs() < 0.02);
    // 2.8 standard errors: about one constant in two hundred by chance.
    assert!(outside <= 3, "{outside}");
}
