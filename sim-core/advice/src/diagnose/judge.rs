//! The judgement: every cause run against the plant as it should be, ranked, told apart, and its remedies tried.

use std::sync::atomic::AtomicU64;

use crate::diagnose::{Apart, Brought, Reach, Rows, Sign, Suspect, brought, read_trials, seen, tell_apart};
use rayon::prelude::*;
use sim_core::plant::Plant;
use sim_core::stage::{Fault, Source, Symptom};

use crate::diagnose::causes::{Candidate, candidates};
use crate::diagnose::readings::{Reader, Readings};
use crate::diagnose::steps::steps;
use crate::diagnose::symptoms::signs_of;
use crate::plants::base::{Base, Change};

/// A candidate that was run: readings by grade and trial, of the grades that could be built.
pub struct Ran {
    candidate: Candidate,
    rows: Vec<Rows>,
    /// Numbers of those grades in the candidate.
    built: Vec<usize>,
    /// Why the last grade that could not be built could not.
    reason: String,
}

impl Ran {
    /// The cause.
    pub fn cause(&self) -> &'static Fault {
        self.candidate.cause
    }

    /// Its readings by grade and trial.
    pub fn rows(&self) -> &[Rows] {
        &self.rows
    }
}

/// Every cause of a plant, run.
pub struct Runs {
    /// What is read in each trial.
    pub readings: Readings,
    /// The plant as it should be.
    pub off: Rows,
    /// The causes.
    pub ran: Vec<Ran>,
}

impl Runs {
    /// Runs the plant as it should be and with each cause in each grade.
    pub fn new(base: &Base<'_>, terms: &Terms<'_>) -> Runs {
        let readings = Readings::of(base.registry);
        let off = run(&base.plant, &readings, terms);
        let one = |candidate| run_candidate(base, candidate, &readings, terms);
        let ran = candidates(base).into_par_iter().map(one).collect();
        Runs { readings, off, ran }
    }
}

fn run_candidate(base: &Base<'_>, candidate: Candidate, readings: &Readings, terms: &Terms<'_>) -> Ran {
    let mut ran = Ran { candidate, rows: Vec::new(), built: Vec::new(), reason: String::new() };
    for (i, (changes, _)) in ran.candidate.grades.iter().enumerate() {
        match base.variant(changes) {
            Ok(plant) => {
                ran.rows.push(run(&plant, readings, terms));
                ran.built.push(i);
            }
            Err(error) => ran.reason = error,
        }
    }
    ran
}

/// Causes for which remedies are tried and checks are computed.
pub const DETAILED: usize = 4;
/// A cause that brings the symptom in fewer runs than this does not bring it.
pub const BRINGS: f64 = 0.02;

/// A cause that was run and brings the symptom.
pub struct Tried<'r> {
    /// The cause in its place.
    pub candidate: &'r Candidate,
    /// What it does to the symptom.
    pub brought: Brought,
    /// Its weight beside the others.
    pub weight: f64,
    /// Its chance among all causes that were run, "nothing changed" included.
    pub chance: f64,
    /// Its runs.
    ran: &'r Ran,
}

impl Tried<'_> {
    fn suspect(&self) -> Suspect<'_> {
        Suspect { grades: &self.ran.rows, weights: &self.brought.weights }
    }

    /// The grade that the symptom speaks for most: its number in the candidate, and its place among those built.
    pub fn likeliest_grade(&self) -> Option<(usize, usize)> {
        let mut best: Option<(usize, f64)> = None;
        for (i, chance) in self.brought.by_grade.iter().enumerate() {
            if best.is_none_or(|(_, b)| *chance > b) {
                best = Some((i, *chance));
            }
        }
        best.and_then(|(i, _)| Some((*self.ran.built.get(i)?, i)))
    }

    /// Expected value of a reading, given the symptom.
    fn expects(&self, reading: usize) -> f64 {
        let pairs = self.ran.rows.iter().zip(&self.brought.weights).flat_map(|(rows, w)| rows.iter().zip(w));
        let (mut sum, mut weight) = (0.0, 0.0);
        for (row, w) in pairs {
            if let Some(x) = row.get(reading).filter(|x| x.is_finite()) {
                sum += w * x;
                weight += w;
            }
        }
        sum / weight
    }
}

/// The check between two causes.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// Place of the one in the list of those tried.
    pub one: usize,
    /// Place of the other.
    pub other: usize,
    /// The reading that tells them apart best.
    pub apart: Apart,
}

/// A remedy tried with a cause in force.
#[derive(Debug, Clone)]
pub struct Remedy {
    /// What is done.
    pub words: String,
    /// Whether it undoes the cause.
    pub undoes: bool,
    /// Gold caught with the cause alone, and with the remedy, kg/s.
    pub caught: (f64, f64),
    /// Recovery likewise.
    pub recovery: (f64, f64),
    /// Money of a season likewise; NaN without money.
    pub season: (f64, f64),
    /// Chance of the symptom likewise.
    pub symptom: (f64, f64),
}

/// What the plant says of a symptom.
pub struct Judgement<'r> {
    /// What was read.
    pub readings: &'r Readings,
    /// Readings of the plant as it should be.
    pub off: &'r Rows,
    /// Signs that this plant has readings for.
    pub signs: Vec<Sign>,
    /// Causes that bring it, likeliest first.
    pub tried: Vec<Tried<'r>>,
    /// Causes that were run and do not bring it.
    pub idle: Vec<String>,
    /// Causes that this plant cannot be given, with the reason.
    pub refused: Vec<(String, String)>,
    /// Share of the runs that show it with nothing changed, and what that makes of the chance.
    pub as_built: (f64, f64),
    /// Checks between neighbours of the list.
    pub checks: Vec<Check>,
    /// Remedies of the first causes, best first, and (last) of the plant as it is.
    pub remedies: Vec<Vec<Remedy>>,
}

/// How the plant is run.
#[derive(Debug, Clone, Copy)]
pub struct Terms<'a> {
    /// Seed.
    pub seed: u64,
    /// Trials of each variant.
    pub trials: usize,
    /// Counts the trials.
    pub done: &'a AtomicU64,
}

/// Weight of "nothing has changed: the plant is built or fed so", beside the causes. Assumed.
pub const AS_BUILT: f64 = 1.0;
/// Its name on the command line.
pub const AS_BUILT_NAME: &str = "as-built";

/// Signs of some symptoms together that the plant has readings for, and the readings that it lacks.
pub fn signs_at_hand(symptoms: &[&Symptom], runs: &Runs) -> (Vec<Sign>, Vec<usize>) {
    let Runs { readings, off, .. } = runs;
    let has = |reading: usize| off.iter().any(|row| row.get(reading).is_some_and(|x| x.is_finite()));
    let (mut signs, mut missing): (Vec<Sign>, Vec<usize>) = (Vec::new(), Vec::new());
    for symptom in symptoms {
        for options in signs_of(symptom, readings) {
            match options.iter().find(|s| has(s.reading)) {
                // Two symptoms may share a sign.
                Some(sign) if !signs.contains(sign) => signs.push(*sign),
                Some(_) => {}
                None => missing.extend(options.first().map(|s| s.reading)),
            }
        }
    }
    (signs, missing)
}

fn run(plant: &Plant, readings: &Readings, terms: &Terms<'_>) -> Rows {
    let reader = Reader::of(plant, readings);
    read_trials(plant, terms.seed, terms.trials, |worker| reader.read(worker), terms.done)
}

/// Number of variants that will be run, for the progress bar.
pub fn count(base: &Base<'_>) -> usize {
    candidates(base).iter().map(|c| c.grades.len()).sum()
}

/// Ranks the causes that were run. Remedies are not tried yet.
pub fn rank<'r>(runs: &'r Runs, symptoms: &[&Symptom], signs: Vec<Sign>, weights: &[(String, f64)]) -> Judgement<'r> {
    let Runs { readings, off, .. } = runs;
    let itself = |fault: &Fault| symptoms.iter().any(|s| s.name == fault.itself);
    let weight_of =
        |name: &str, usual: f64| weights.iter().rev().find(|(n, _)| n == name).map_or(usual, |(_, weight)| *weight);
    let (mut tried, mut idle, mut refused): (Vec<Tried<'r>>, Vec<String>, Vec<(String, String)>) = Default::default();
    for ran in runs.ran.iter().filter(|r| !itself(r.candidate.cause)) {
        let candidate = &ran.candidate;
        if ran.rows.is_empty() {
            refused.push((candidate.words(), ran.reason.clone()));
            continue;
        }
        let brought = brought(&signs, off, &ran.rows);
        if brought.brings < BRINGS {
            idle.push(candidate.words());
            continue;
        }
        let weight = weight_of(candidate.cause.name, candidate.cause.weight);
        tried.push(Tried { candidate, brought, weight, chance: 0.0, ran });
    }
    let by_itself: f64 = off.iter().map(|row| seen(&signs, row, row)).sum::<f64>() / off.len().max(1) as f64;
    let as_built = weight_of(AS_BUILT_NAME, AS_BUILT) * by_itself;
    let total: f64 = as_built + tried.iter().map(|t| t.weight * t.brought.brings).sum::<f64>();
    for t in &mut tried {
        t.chance = if total > 0.0 { t.weight * t.brought.brings / total } else { 0.0 };
    }
    tried.retain(|t| t.weight > 0.0);
    tried.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    let checks = checks(&tried, off, readings);
    let as_built = (by_itself, if total > 0.0 { as_built / total } else { 0.0 });
    Judgement { readings, signs, off, tried, idle, refused, as_built, checks, remedies: Vec::new() }
}

/// The reading that tells each of the first causes from the next.
fn checks(tried: &[Tried<'_>], off: &Rows, readings: &Readings) -> Vec<Check> {
    let reach: Vec<Reach> = readings
        .all()
        .enumerate()
        .filter(|(_, r)| r.is_taken())
        .map(|(i, r)| Reach { reading: i, error_share: r.error.0, error: r.error.1 })
        .collect();
    let pairs = tried.iter().zip(tried.iter().skip(1)).take(DETAILED).enumerate();
    pairs
        .filter_map(|(i, (one, other))| {
            let apart = tell_apart(&reach, off, &one.suspect(), &other.suspect())?;
            Some(Check { one: i, other: i + 1, apart })
        })
        .collect()
}

/// Mean over the runs that show the symptom.
fn over(rows: &Rows, weights: &[f64], reading: usize) -> f64 {
    let (mut sum, mut total) = (0.0, 0.0);
    for (row, w) in rows.iter().zip(weights) {
        if let Some(x) = row.get(reading).filter(|x| x.is_finite()) {
            sum += w * x;
            total += w;
        }
    }
    sum / total
}

/// Tries the remedies of each of the first causes, and (last) of the plant as it is.
pub fn remedies(j: &Judgement<'_>, base: &Base<'_>, symptoms: &[&Symptom], terms: &Terms<'_>) -> Vec<Vec<Remedy>> {
    let (off, tried) = (j.off, &j.tried);
    let all_steps = || -> Vec<(String, Vec<Change>)> {
        let mut list: Vec<(String, Vec<Change>)> = Vec::new();
        for (words, changes) in symptoms.iter().flat_map(|s| steps(base, s.name)) {
            if !list.iter().any(|(w, _)| *w == words) {
                list.push((words, changes));
            }
        }
        list
    };
    let mut all = Vec::new();
    for t in tried.iter().take(DETAILED) {
        let Some((grade, place)) = t.likeliest_grade() else { continue };
        let (Some(rows), Some(weights)) = (t.ran.rows.get(place), t.brought.weights.get(place)) else { continue };
        let compare = |after: &Rows, words: String, undoes: bool| remedy(j, words, undoes, (rows, after), weights);
        let mut list = Vec::new();
        if !t.candidate.cause.undo.is_empty() {
            list.push(compare(off, t.candidate.cause.undo.to_string(), true));
        }
        let changes = t.candidate.grades.get(grade).map(|g| g.0.clone()).unwrap_or_default();
        // What the cause itself has moved is undone, not moved further.
        let moved = |more: &[Change]| more.iter().any(|(p, _)| changes.iter().any(|(q, _)| p.text() == q.text()));
        let others: Vec<(String, Vec<Change>)> = all_steps().into_iter().filter(|(_, more)| !moved(more)).collect();
        let tried_steps = others.into_par_iter().filter_map(|(words, more)| {
            let both: Vec<Change> = changes.iter().cloned().chain(more).collect();
            let plant = base.variant(&both).ok()?;
            Some(compare(&run(&plant, j.readings, terms), words, false))
        });
        list.extend(tried_steps.collect::<Vec<_>>());
        sort(&mut list);
        all.push(list);
    }
    let even = vec![1.0; off.len()];
    let mut list: Vec<Remedy> = all_steps()
        .into_par_iter()
        .filter_map(|(words, changes)| {
            let plant = base.variant(&changes).ok()?;
            Some(remedy(j, words, false, (off, &run(&plant, j.readings, terms)), &even))
        })
        .collect();
    sort(&mut list);
    all.push(list);
    all
}

/// What undoes the cause first; then by the gold that each brings.
fn sort(list: &mut [Remedy]) {
    list.sort_by(|a, b| b.undoes.cmp(&a.undoes).then((b.caught.1 - b.caught.0).total_cmp(&(a.caught.1 - a.caught.0))));
}

fn remedy(j: &Judgement<'_>, words: String, undoes: bool, (before, after): (&Rows, &Rows), weights: &[f64]) -> Remedy {
    let both = |of: Source| {
        let at = j.readings.of_the_plant(of);
        (over(before, weights, at), over(after, weights, at))
    };
    let symptom = |rows: &Rows| {
        let (mut sum, mut total) = (0.0, 0.0);
        for ((row, base), w) in rows.iter().zip(j.off).zip(weights) {
            sum += w * seen(&j.signs, base, row);
            total += w;
        }
        sum / total
    };
    Remedy {
        words,
        undoes,
        caught: both(Source::Caught),
        recovery: both(Source::Recovery),
        season: both(Source::Season),
        symptom: (symptom(before), symptom(after)),
    }
}

impl Judgement<'_> {
    /// What a cause does to the recovery: as it should be, and with it, in the runs that show the symptom.
    pub fn recovery_with(&self, t: &Tried<'_>) -> (f64, f64) {
        let reading = self.readings.of_the_plant(Source::Recovery);
        let mut should = (0.0, 0.0);
        for weights in &t.brought.weights {
            for (row, w) in self.off.iter().zip(weights) {
                if let Some(x) = row.get(reading).filter(|x| x.is_finite()) {
                    should = (should.0 + w * x, should.1 + w);
                }
            }
        }
        (should.0 / should.1, t.expects(reading))
    }
}
