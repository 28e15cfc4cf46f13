//! Runs of the model for the page: on threads of their own, stopped when nobody waits for them, the last few remembered.

use std::collections::VecDeque;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use sim_core::plant::Plant;
use sim_core::problem::{Problem, Problems, Severity};
use sim_core::trial::{Course, DrawCache, TrialStatistics, run_course_until};
use tokio::sync::Semaphore;
use washgraph_model::result::RunResult;
use washgraph_model::scenario::{Opened, build};

use crate::page::clock::Clock;
use crate::page::routes::Server;

/// Trials behind a figure that follows a moving finger; the report takes as many as the scenario says.
pub(super) const LIVE_TRIALS: u64 = 2_000;
/// Most trials of a report made through the page; the command `run` has no such limit.
const MOST_TRIALS: u64 = 100_000;
/// A run that takes longer is given up.
const LONGEST: Duration = Duration::from_secs(30);
/// Runs at the same time; each uses all cores.
const AT_ONCE: usize = 2;
/// Results remembered: this design, the pinned one, and a few steps back and forth.
const REMEMBERED: usize = 12;

/// A plant that was run.
pub(super) struct Worked {
    pub plant: Arc<Plant>,
    pub outcome: RunResult,
    /// Raw gold caught in each trial, kg/s.
    pub caught: Vec<f64>,
    /// Warnings and notes of the reading.
    pub remarks: Vec<Problem>,
    /// What took how long.
    pub clock: Clock,
}

/// A result, and whether it was worked out for this question.
#[derive(Clone)]
pub(super) struct Found {
    pub worked: Arc<Worked>,
    pub fresh: bool,
}

/// Why there is no result.
pub(super) enum NoResult {
    /// The scenario has errors; warnings and notes are among them.
    Problems(Vec<Problem>),
    /// Valid, but no answer: plain words.
    Impossible(String),
    /// The books of a stage do not close: plain words.
    BrokenBooks(String),
    /// It took too long.
    TooLong,
    /// A fault of the program.
    Fault,
}

impl NoResult {
    /// Plain words.
    pub fn words(&self) -> &str {
        match self {
            NoResult::Problems(_) => "the scenario has problems",
            NoResult::Impossible(why) | NoResult::BrokenBooks(why) => why,
            NoResult::TooLong => "the run took too long and was given up",
            NoResult::Fault => "a fault of the program; nothing is lost, try another value",
        }
    }
}

/// How many trials a run takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trials {
    Live,
    AsSaid,
}

/// The text of a scenario, the state of the files that it names, the number of trials.
type Key = (String, Vec<String>, Trials);

/// The workshop behind the page.
pub(super) struct Work {
    places: Semaphore,
    remembered: Mutex<VecDeque<(Key, Arc<Worked>)>>,
    /// What the last runs on other ground drew: most settings that move leave the ground alone.
    cache: Mutex<Option<Arc<DrawCache>>>,
}

/// Raises the flag when the request that waits for the run is gone.
struct Waiting(Arc<AtomicBool>);

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

impl Work {
    pub fn new() -> Self {
        Work { places: Semaphore::new(AT_ONCE), remembered: Mutex::new(VecDeque::new()), cache: Mutex::new(None) }
    }

    fn recall(&self, key: &Key) -> Option<Arc<Worked>> {
        let list = self.remembered.lock().unwrap_or_else(PoisonError::into_inner);
        list.iter().find(|(k, _)| k == key).map(|(_, w)| w.clone())
    }

    /// Runs a plant for a moving setting: on the draws of the last ground when they are its own too. `None` when stopped.
    fn run_live(&self, plant: &Arc<Plant>, trials: usize, stop: &AtomicBool) -> Option<TrialStatistics> {
        let done = AtomicU64::new(0);
        // What follows a moving setting shows no course over days.
        let course = Course { long_trials: 0, ..Course::first(plant.seed, trials) };
        let cache = self.cache.lock().unwrap_or_else(PoisonError::into_inner).clone();
        if let Some((cache, shared)) =
            cache.and_then(|cache| cache.shared_for(plant, &course).map(|shared| (cache, shared)))
        {
            return cache.run_until(plant, &shared, &done, stop);
        }
        let (cache, statistics) = DrawCache::fill(plant, &course, &done, stop)?;
        *self.cache.lock().unwrap_or_else(PoisonError::into_inner) = Some(Arc::new(cache));
        Some(statistics)
    }

    fn remember(&self, key: Key, worked: &Arc<Worked>) {
        let mut list = self.remembered.lock().unwrap_or_else(PoisonError::into_inner);
        list.retain(|(k, _)| *k != key);
        list.push_front((key, worked.clone()));
        list.truncate(REMEMBERED);
    }
}

/// Runs a scenario, unless it was run just before. `marks` is the state of the files that it names. Dropping the future
/// stops the run.
pub(super) async fn work(
    server: &Arc<Server>,
    opened: Opened,
    marks: &[String],
    trials: Trials,
) -> Result<Found, NoResult> {
    let key = (opened.text.clone(), marks.to_vec(), trials);
    if let Some(worked) = server.work.recall(&key) {
        return Ok(Found { worked, fresh: false });
    }
    let stop = Arc::new(AtomicBool::new(false));
    let _waiting = Waiting(stop.clone());
    let run = async {
        let Ok(_place) = server.work.places.acquire().await else { return Err(NoResult::Fault) };
        let (server, stop) = (server.clone(), stop.clone());
        let done = tokio::task::spawn_blocking(move || calculated(&server, &opened, trials, &stop)).await;
        done.unwrap_or(Err(NoResult::Fault))
    };
    let worked = match tokio::time::timeout(LONGEST, run).await {
        Ok(result) => Arc::new(result?),
        Err(_) => return Err(NoResult::TooLong),
    };
    server.work.remember(key, &worked);
    Ok(Found { worked, fresh: true })
}

fn calculated(server: &Server, opened: &Opened, trials: Trials, stop: &AtomicBool) -> Result<Worked, NoResult> {
    let mut clock = Clock::new();
    let mut problems = Problems::default();
    let plant = build(opened, &server.registry, &mut problems);
    let remarks = problems.in_order();
    let Some(plant) = plant else { return Err(NoResult::Problems(remarks)) };
    clock.lap("plant");
    let number = match trials {
        Trials::Live => LIVE_TRIALS,
        Trials::AsSaid => plant.trials.min(MOST_TRIALS),
    };
    let done = AtomicU64::new(0);
    let plant = Arc::new(plant);
    let statistics = match trials {
        Trials::Live => server.work.run_live(&plant, number as usize, stop),
        Trials::AsSaid => run_course_until(&plant, &Course::first(plant.seed, number as usize), &done, stop),
    };
    let statistics = statistics.ok_or(NoResult::TooLong)?;
    clock.lap("trials");
    // What follows a moving setting shows no curves and does not rank what to measure next.
    let begun = RunResult::begin(&plant, plant.seed, &statistics);
    let outcome = match trials {
        Trials::Live => begun.outcome,
        Trials::AsSaid => begun.finish(&plant, plant.seed, &statistics),
    };
    clock.lap("result");
    if !(outcome.gold.fed_g_per_h.mean > 0.0) || !outcome.gold.recovery.mean.is_finite() {
        return Err(NoResult::Impossible(
            "no gold reaches the plant, or the physics has no answer here: check rates and grades".into(),
        ));
    }
    if let Some(broken) = &statistics.broken {
        return Err(NoResult::BrokenBooks(broken.words()));
    }
    if let Some(why) = washgraph_view::verdict::water_never_clears(&outcome) {
        return Err(NoResult::Impossible(why));
    }
    let remarks = remarks.into_iter().filter(|p| p.severity != Severity::Error).collect();
    Ok(Worked { caught: statistics.caught, outcome, remarks, plant, clock })
}
