//! Workers in parallel; chunks are folded in order, so that the number of threads cannot matter.

use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};

use rayon::prelude::*;

use super::draws::{SharedDraws, TrialDraws};
use super::statistics::{DETAIL_TRIALS, TrialStatistics};
use super::worker::{LONG_TRIALS, Worker};
use crate::plant::Plant;

/// Trials are cut into at most this many chunks, whose sums are folded in order.
const MOST_CHUNKS: usize = 64;
const LEAST_CHUNK: usize = 64;

/// Which trials to run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Course {
    /// Seed of the draws.
    pub seed: u64,
    /// Numbers of the trials.
    pub trials: Range<usize>,
    /// Trials below this number are worked out at length.
    pub long_trials: u64,
}

impl Course {
    /// The first trials of a seed.
    pub fn first(seed: u64, trials: usize) -> Course {
        Course { seed, trials: 0..trials, long_trials: LONG_TRIALS }
    }

    fn worker<'p>(&self, plant: &'p Plant) -> Worker<'p> {
        Worker::new(plant, self.seed).with_long_trials(self.long_trials)
    }

    fn chunks(&self) -> Vec<Range<usize>> {
        let size = self.trials.len().div_ceil(MOST_CHUNKS).max(LEAST_CHUNK);
        self.trials.clone().step_by(size).map(|start| start..(start + size).min(self.trials.end)).collect()
    }
}

/// Runs the trials of a plant in parallel. The outcome depends on plant, seed and number of trials alone. `progress` counts
/// the trials done.
pub fn run_trials(plant: &Plant, seed: u64, trials: usize, progress: &AtomicU64) -> TrialStatistics {
    run_course(plant, &Course::first(seed, trials), progress)
}

/// The same for any course.
pub fn run_course(plant: &Plant, course: &Course, progress: &AtomicU64) -> TrialStatistics {
    // Nobody raises this flag.
    let never = AtomicBool::new(false);
    run_course_until(plant, course, progress, &never).unwrap_or_else(|| TrialStatistics::empty(plant))
}

/// The same, given up (`None`) soon after somebody raises `stop`: for a run that nobody waits for any more.
pub fn run_course_until(
    plant: &Plant,
    course: &Course,
    progress: &AtomicU64,
    stop: &AtomicBool,
) -> Option<TrialStatistics> {
    let watch = Watch { progress, stop };
    let lanes = run_lanes(course, stop, || {
        let mut worker = course.worker(plant);
        move |trials: Range<usize>| (vec![watch.run(&mut worker, trials, Worker::run_trial, |_| {})], ())
    })?;
    Some(folded(lanes, &[plant], course.seed).0.pop().unwrap_or_else(|| TrialStatistics::empty(plant)))
}

/// Runs the same trials of several plants in parallel, in the order of the plants. Draws that all have in common are made
/// once, by the first; every outcome is that of its plant run alone. `progress` counts the trials of all.
pub fn run_together(plants: &[&Plant], course: &Course, progress: &AtomicU64) -> Vec<TrialStatistics> {
    let Some((first, others)) = plants.split_first() else { return Vec::new() };
    let shared: Vec<SharedDraws> = others.iter().map(|p| SharedDraws::of(first, p)).collect();
    let never = AtomicBool::new(false);
    let watch = Watch { progress, stop: &never };
    let lanes = run_lanes(course, &never, || {
        let mut first = course.worker(first);
        let mut rest: Vec<Worker<'_>> = others.iter().map(|p| course.worker(p)).collect();
        let shared = &shared;
        move |trials: Range<usize>| {
            let mut drawn: Vec<TrialDraws> = Vec::with_capacity(trials.len());
            let keep = |worker: &Worker<'_>| drawn.push(worker.drawn());
            let mut tallies = vec![watch.run(&mut first, trials.clone(), Worker::run_trial, keep)];
            for (worker, shared) in rest.iter_mut().zip(shared) {
                let mut left = drawn.iter();
                let run = |worker: &mut Worker<'_>, trial: u64| match left.next() {
                    Some(drawn) => worker.run_shared(trial, drawn, shared),
                    None => worker.run_trial(trial),
                };
                tallies.push(watch.run(worker, trials.clone(), run, |_| {}));
            }
            (tallies, ())
        }
    });
    lanes.map(|lanes| folded(lanes, plants, course.seed).0).unwrap_or_default()
}

/// The draws of a run, kept so that other plants on the same ground can be run on them later.
pub struct DrawCache {
    first: Arc<Plant>,
    course: Course,
    drawn: Vec<TrialDraws>,
}

impl DrawCache {
    /// Runs a plant and keeps its draws, some 5 kB a trial. `None` when stopped.
    pub fn fill(
        first: &Arc<Plant>,
        course: &Course,
        progress: &AtomicU64,
        stop: &AtomicBool,
    ) -> Option<(DrawCache, TrialStatistics)> {
        let watch = Watch { progress, stop };
        let lanes = run_lanes(course, stop, || {
            let mut worker = course.worker(first);
            move |trials: Range<usize>| {
                let mut drawn: Vec<TrialDraws> = Vec::with_capacity(trials.len());
                let statistics = watch.run(&mut worker, trials, Worker::run_trial, |worker| drawn.push(worker.drawn()));
                (vec![statistics], drawn)
            }
        })?;
        let (mut tallies, drawn) = folded(lanes, &[first], course.seed);
        let cache = DrawCache { first: first.clone(), course: course.clone(), drawn: drawn.concat() };
        tallies.pop().map(|statistics| (cache, statistics))
    }

    /// What a plant may take over from this cache; `None` when it must draw the ground itself.
    pub fn shared_for(&self, plant: &Plant, course: &Course) -> Option<SharedDraws> {
        let shared = SharedDraws::of(&self.first, plant);
        (self.course == *course && shared.has_ground()).then_some(shared)
    }

    /// Runs a plant on the draws of this cache; the outcome is that of the plant run alone.
    pub fn run_until(
        &self,
        plant: &Plant,
        shared: &SharedDraws,
        progress: &AtomicU64,
        stop: &AtomicBool,
    ) -> Option<TrialStatistics> {
        let (watch, course) = (Watch { progress, stop }, &self.course);
        let run = |worker: &mut Worker<'_>, trial: u64| match self.drawn.get(trial as usize - course.trials.start) {
            Some(drawn) => worker.run_shared(trial, drawn, shared),
            None => worker.run_trial(trial),
        };
        let lanes = run_lanes(course, stop, || {
            let mut worker = course.worker(plant);
            move |trials: Range<usize>| (vec![watch.run(&mut worker, trials, run, |_| {})], ())
        })?;
        Some(folded(lanes, &[plant], course.seed).0.pop().unwrap_or_else(|| TrialStatistics::empty(plant)))
    }
}

/// Who looks at a run from outside.
#[derive(Clone, Copy)]
struct Watch<'a> {
    progress: &'a AtomicU64,
    stop: &'a AtomicBool,
}

impl Watch<'_> {
    /// Tallies some trials of a worker; `then` sees it after each.
    fn run<'p>(
        self,
        worker: &mut Worker<'p>,
        trials: Range<usize>,
        mut run: impl FnMut(&mut Worker<'p>, u64),
        mut then: impl FnMut(&Worker<'p>),
    ) -> TrialStatistics {
        let mut statistics = TrialStatistics::empty(worker.plant());
        for trial in trials {
            if self.stop.load(Ordering::Relaxed) {
                break;
            }
            run(worker, trial as u64);
            statistics.add(worker, trial < DETAIL_TRIALS);
            then(worker);
            self.progress.fetch_add(1, Ordering::Relaxed);
        }
        statistics
    }
}

/// Tallies of the plants over all chunks, folded in order, and what each chunk gave beside.
fn folded<T>(chunks: Vec<(Vec<TrialStatistics>, T)>, plants: &[&Plant], seed: u64) -> (Vec<TrialStatistics>, Vec<T>) {
    let mut all: Vec<TrialStatistics> = plants.iter().map(|plant| TrialStatistics::empty(plant)).collect();
    let mut beside = Vec::with_capacity(chunks.len());
    for (tallies, more) in chunks {
        all.iter_mut().zip(tallies).for_each(|(sum, statistics)| sum.append(statistics));
        beside.push(more);
    }
    for (statistics, plant) in all.iter_mut().zip(plants) {
        statistics.set_middle(&Worker::new(plant, seed));
    }
    (all, beside)
}

/// Takes the chunks of a course through one lane for each thread; what they give comes in the order of the chunks. `lane`
/// makes what runs a chunk. `None` when stopped.
fn run_lanes<F, T>(course: &Course, stop: &AtomicBool, lane: impl Fn() -> F + Sync) -> Option<Vec<T>>
where
    F: FnMut(Range<usize>) -> T,
    T: Send,
{
    let chunks = course.chunks();
    let next = AtomicUsize::new(0);
    let lanes = rayon::current_num_threads().min(chunks.len());
    let mut done: Vec<(usize, T)> = (0..lanes)
        .into_par_iter()
        .flat_map_iter(|_| {
            let mut run = lane();
            let mut done = Vec::new();
            while !stop.load(Ordering::Relaxed) {
                let k = next.fetch_add(1, Ordering::Relaxed);
                let Some(trials) = chunks.get(k) else { break };
                done.push((k, run(trials.clone())));
            }
            done
        })
        .collect();
    if stop.load(Ordering::Relaxed) {
        return None;
    }
    done.sort_by_key(|(k, _)| *k);
    Some(done.into_iter().map(|(_, given)| given).collect())
}
