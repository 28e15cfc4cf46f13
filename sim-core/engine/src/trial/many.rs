//! Workers in parallel; chunks are folded in order, so that the number of threads cannot matter.

use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};

use rayon::prelude::*;

use super::card::{Card, Hand};
use super::tally::{DETAIL_TRIALS, Tally};
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
pub fn run_trials(plant: &Plant, seed: u64, trials: usize, progress: &AtomicU64) -> Tally {
    run_course(plant, &Course::first(seed, trials), progress)
}

/// The same for any course.
pub fn run_course(plant: &Plant, course: &Course, progress: &AtomicU64) -> Tally {
    // Nobody raises this flag.
    let never = AtomicBool::new(false);
    run_course_until(plant, course, progress, &never).unwrap_or_else(|| Tally::empty(plant))
}

/// The same, given up (`None`) soon after somebody raises `stop`: for a run that nobody waits for any more.
pub fn run_course_until(plant: &Plant, course: &Course, progress: &AtomicU64, stop: &AtomicBool) -> Option<Tally> {
    let watch = Watch { progress, stop };
    let lanes = run_lanes(course, stop, || {
        let mut worker = course.worker(plant);
        move |trials: Range<usize>| (vec![watch.run(&mut worker, trials, Worker::run_trial, |_| {})], ())
    })?;
    Some(folded(lanes, &[plant], course.seed).0.pop().unwrap_or_else(|| Tally::empty(plant)))
}

/// Runs the same trials of several plants in parallel, in the order of the plants. Draws that all have in common are made
/// once, by the first; every outcome is that of its plant run alone. `progress` counts the trials of all.
pub fn run_together(plants: &[&Plant], course: &Course, progress: &AtomicU64) -> Vec<Tally> {
    let Some((dealer, others)) = plants.split_first() else { return Vec::new() };
    let hands: Vec<Hand> = others.iter().map(|p| Hand::of(dealer, p)).collect();
    let never = AtomicBool::new(false);
    let watch = Watch { progress, stop: &never };
    let lanes = run_lanes(course, &never, || {
        let mut first = course.worker(dealer);
        let mut rest: Vec<Worker<'_>> = others.iter().map(|p| course.worker(p)).collect();
        let hands = &hands;
        move |trials: Range<usize>| {
            let mut cards: Vec<Card> = Vec::with_capacity(trials.len());
            let keep = |worker: &Worker<'_>| cards.push(worker.card());
            let mut tallies = vec![watch.run(&mut first, trials.clone(), Worker::run_trial, keep)];
            for (worker, hand) in rest.iter_mut().zip(hands) {
                let mut dealt = cards.iter();
                let run = |worker: &mut Worker<'_>, trial: u64| match dealt.next() {
                    Some(card) => worker.run_dealt(trial, card, hand),
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
pub struct Deck {
    dealer: Arc<Plant>,
    course: Course,
    cards: Vec<Card>,
}

impl Deck {
    /// Runs a plant and keeps its draws, some 5 kB a trial. `None` when stopped.
    pub fn deal(
        dealer: &Arc<Plant>,
        course: &Course,
        progress: &AtomicU64,
        stop: &AtomicBool,
    ) -> Option<(Deck, Tally)> {
        let watch = Watch { progress, stop };
        let lanes = run_lanes(course, stop, || {
            let mut worker = course.worker(dealer);
            move |trials: Range<usize>| {
                let mut cards: Vec<Card> = Vec::with_capacity(trials.len());
                let tally = watch.run(&mut worker, trials, Worker::run_trial, |worker| cards.push(worker.card()));
                (vec![tally], cards)
            }
        })?;
        let (mut tallies, cards) = folded(lanes, &[dealer], course.seed);
        let deck = Deck { dealer: dealer.clone(), course: course.clone(), cards: cards.concat() };
        tallies.pop().map(|tally| (deck, tally))
    }

    /// What a plant may take over from this deck; `None` when it must draw the ground itself.
    pub fn hand_for(&self, plant: &Plant, course: &Course) -> Option<Hand> {
        let hand = Hand::of(&self.dealer, plant);
        (self.course == *course && hand.has_ground()).then_some(hand)
    }

    /// Runs a plant on the draws of this deck; the outcome is that of the plant run alone.
    pub fn run_until(&self, plant: &Plant, hand: &Hand, progress: &AtomicU64, stop: &AtomicBool) -> Option<Tally> {
        let (watch, course) = (Watch { progress, stop }, &self.course);
        let run = |worker: &mut Worker<'_>, trial: u64| match self.cards.get(trial as usize - course.trials.start) {
            Some(card) => worker.run_dealt(trial, card, hand),
            None => worker.run_trial(trial),
        };
        let lanes = run_lanes(course, stop, || {
            let mut worker = course.worker(plant);
            move |trials: Range<usize>| (vec![watch.run(&mut worker, trials, run, |_| {})], ())
        })?;
        Some(folded(lanes, &[plant], course.seed).0.pop().unwrap_or_else(|| Tally::empty(plant)))
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
    ) -> Tally {
        let mut tally = Tally::empty(worker.plant());
        for trial in trials {
            if self.stop.load(Ordering::Relaxed) {
                break;
            }
            run(worker, trial as u64);
            tally.add(worker, trial < DETAIL_TRIALS);
            then(worker);
            self.progress.fetch_add(1, Ordering::Relaxed);
        }
        tally
    }
}

/// Tallies of the plants over all chunks, folded in order, and what each chunk gave beside.
fn folded<T>(chunks: Vec<(Vec<Tally>, T)>, plants: &[&Plant], seed: u64) -> (Vec<Tally>, Vec<T>) {
    let mut all: Vec<Tally> = plants.iter().map(|plant| Tally::empty(plant)).collect();
    let mut beside = Vec::with_capacity(chunks.len());
    for (tallies, more) in chunks {
        all.iter_mut().zip(tallies).for_each(|(sum, tally)| sum.append(tally));
        beside.push(more);
    }
    for (tally, plant) in all.iter_mut().zip(plants) {
        tally.set_middle(&Worker::new(plant, seed));
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
