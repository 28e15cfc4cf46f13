//! What the trials of a run came to.

use crate::plant::Plant;
use crate::stage::Role;
use washgraph_physics::size::{ByGold, BySolid};
use washgraph_physics::size::{GOLD_CLASSES, SOLID_CLASSES};
use washgraph_units::quantity::Phrase;

use super::balance::{BrokenBooks, Residuals};
use super::worker::{SeasonTrial, Worker};

/// Percentiles of details (classes, losses, measures) rest on at most this many of the first trials, so that a run of a
/// million stays small. Means and the headline percentiles rest on all. A 1-in-10 value of a detail then falls, in two runs of
/// three, between the true 9.8 % and 10.2 %.
pub const DETAIL_TRIALS: usize = 20_000;

/// What the trials of a run came to.
#[derive(Debug, Clone)]
pub struct TrialStatistics {
    /// Number of trials.
    pub trials: usize,
    /// Gold fed in each trial, kg/s.
    pub fed: Vec<f64>,
    /// Gold caught in each trial, kg/s.
    pub caught: Vec<f64>,
    /// Water supplied in each trial, m3/s.
    pub supply: Vec<f64>,
    /// Loose volume fed in each trial, m3/s.
    pub feed: Vec<f64>,
    /// Sum over all trials of gold fed by class, kg/s.
    pub fed_by_class: ByGold,
    /// Sum over all trials of gold caught by class, kg/s.
    pub caught_by_class: ByGold,
    /// Sum over all trials of gold lost by note and class, kg/s.
    pub lost_by_class: Vec<ByGold>,
    /// Recovery of each class in the first trials, class by class.
    pub class_recovery: Vec<Vec<f64>>,
    /// Share lost by each note in the first trials, note by note.
    pub loss_share: Vec<Vec<f64>>,
    /// Each measure in the first trials.
    pub measures: Vec<Vec<f64>>,
    /// Flow and pressure of each outlet in the first trials.
    pub outlets: Vec<(Vec<f64>, Vec<f64>)>,
    /// Sum over all trials of the rock fed by class, kg/s.
    pub rock_fed: BySolid,
    /// Sum over all trials of the rock in each stream slot, by class, kg/s.
    pub rock_by_slot: Vec<BySolid>,
    /// Sum over all trials of the gold caught by each stage, kg/s.
    pub caught_by_stage: Vec<f64>,
    /// Sum over all trials of the gold in each stream slot, kg/s.
    pub gold_by_slot: Vec<f64>,
    /// Number of trials in which each warning was raised.
    pub warned: Vec<u64>,
    /// Text of each warning with the numbers of the middle case.
    pub warning_texts: Vec<Phrase>,
    /// Worst residuals over all trials.
    pub residuals: Residuals,
    /// The stage that breaks the books worst; `None` when they close in every trial.
    pub broken: Option<BrokenBooks>,
    /// Gold per loose volume in each trial, kg/m3.
    pub grade_loose: Vec<f64>,
    /// What the money of a season needs of each trial; empty for a plant without money.
    pub season: Vec<SeasonTrial>,
    /// Fresh water taken beside the pond in each trial, m3/s; empty without a pond.
    pub makeup: Vec<f64>,
    /// Trials in which the fines in the pond's water come to no balance.
    pub unclosed: u64,
    /// Whether they do in the middle case; true without a pond.
    pub middle_closes: bool,
}

impl TrialStatistics {
    pub(super) fn empty(plant: &Plant) -> Self {
        TrialStatistics {
            trials: 0,
            fed: Vec::new(),
            caught: Vec::new(),
            supply: Vec::new(),
            feed: Vec::new(),
            fed_by_class: [0.0; GOLD_CLASSES],
            caught_by_class: [0.0; GOLD_CLASSES],
            lost_by_class: vec![[0.0; GOLD_CLASSES]; plant.notes.len()],
            class_recovery: vec![Vec::new(); GOLD_CLASSES],
            loss_share: vec![Vec::new(); plant.notes.len()],
            measures: vec![Vec::new(); plant.measures.len()],
            outlets: vec![(Vec::new(), Vec::new()); plant.outlets.len()],
            rock_fed: [0.0; SOLID_CLASSES],
            rock_by_slot: vec![[0.0; SOLID_CLASSES]; plant.slots],
            caught_by_stage: vec![0.0; plant.nodes.len()],
            gold_by_slot: vec![0.0; plant.slots],
            warned: vec![0; plant.warnings.len()],
            warning_texts: Vec::new(),
            residuals: Residuals::default(),
            broken: None,
            grade_loose: Vec::new(),
            season: Vec::new(),
            makeup: Vec::new(),
            unclosed: 0,
            middle_closes: true,
        }
    }

    pub(super) fn add(&mut self, worker: &Worker<'_>, with_details: bool) {
        self.trials += 1;
        let fed: f64 = worker.fed.iter().sum();
        let mut caught_class = [0.0; GOLD_CLASSES];
        for (k, stage) in worker.caught.iter().enumerate() {
            self.caught_by_stage[k] += stage.iter().sum::<f64>();
            for (sum, c) in caught_class.iter_mut().zip(stage) {
                *sum += c;
            }
        }
        self.fed.push(fed);
        self.caught.push(caught_class.iter().sum());
        self.supply.push(worker.outlets.iter().map(|o| o.flow_m3_s).sum());
        self.feed.push(worker.feed_m3_s());
        self.grade_loose.push(worker.ground.grade_loose_kg_m3);
        if worker.plant().money.is_some() {
            self.season.push(worker.season);
        }
        if let Some(pond) = &worker.pond {
            self.makeup.push(pond.makeup_m3_s);
            self.unclosed += u64::from(!pond.closes);
        }
        for (g, caught) in caught_class.iter().enumerate() {
            self.fed_by_class[g] += worker.fed[g];
            self.caught_by_class[g] += caught;
        }
        for (sum, lost) in self.lost_by_class.iter_mut().zip(&worker.lost) {
            for (s, l) in sum.iter_mut().zip(lost) {
                *s += l;
            }
        }
        for (s, r) in self.rock_fed.iter_mut().zip(&worker.rock_fed) {
            *s += r;
        }
        for (slot, stream) in worker.streams().iter().enumerate() {
            for (s, r) in self.rock_by_slot[slot].iter_mut().zip(&stream.rock_kg_s) {
                *s += r;
            }
            for (g, grains) in worker.ground.grains.iter().enumerate() {
                self.gold_by_slot[slot] += grains * stream.gold_of_class(g);
            }
        }
        for (count, raised) in self.warned.iter_mut().zip(&worker.warnings) {
            *count += u64::from(*raised);
        }
        self.residuals = self.residuals.worst(worker.residuals());
        self.broken = BrokenBooks::worst(self.broken.take(), worker.broken_books());
        if with_details {
            for (g, caught) in caught_class.iter().enumerate() {
                self.class_recovery[g].push(if worker.fed[g] > 0.0 { caught / worker.fed[g] } else { f64::NAN });
            }
            for (list, lost) in self.loss_share.iter_mut().zip(&worker.lost) {
                list.push(if fed > 0.0 { lost.iter().sum::<f64>() / fed } else { f64::NAN });
            }
            for ((list, value), measure) in self.measures.iter_mut().zip(&worker.measures).zip(&worker.plant().measures)
            {
                // A course over days is there in the trials at length only; the gaps of the others are not kept.
                if value.is_finite() || !matches!(measure.role, Role::OverDays { .. }) {
                    list.push(*value);
                }
            }
            for ((flow, pressure), state) in self.outlets.iter_mut().zip(&worker.outlets) {
                flow.push(state.flow_m3_s);
                pressure.push(state.pressure_pa);
            }
        }
    }

    /// Takes texts and balance from a worker that has run the middle case.
    pub(super) fn set_middle(&mut self, middle: &Worker<'_>) {
        self.warning_texts = middle.warning_texts();
        self.middle_closes = middle.pond.is_none_or(|p| p.closes);
    }

    /// Adds the trials that follow.
    pub fn append(&mut self, mut other: TrialStatistics) {
        self.trials += other.trials;
        self.fed.append(&mut other.fed);
        self.caught.append(&mut other.caught);
        self.supply.append(&mut other.supply);
        self.feed.append(&mut other.feed);
        self.grade_loose.append(&mut other.grade_loose);
        self.season.append(&mut other.season);
        self.makeup.append(&mut other.makeup);
        self.unclosed += other.unclosed;
        let add = |a: &mut [f64], b: &[f64]| a.iter_mut().zip(b).for_each(|(x, y)| *x += y);
        add(&mut self.fed_by_class, &other.fed_by_class);
        add(&mut self.caught_by_class, &other.caught_by_class);
        add(&mut self.rock_fed, &other.rock_fed);
        add(&mut self.caught_by_stage, &other.caught_by_stage);
        add(&mut self.gold_by_slot, &other.gold_by_slot);
        for (a, b) in self.lost_by_class.iter_mut().zip(&other.lost_by_class) {
            add(a, b);
        }
        for (a, b) in self.rock_by_slot.iter_mut().zip(&other.rock_by_slot) {
            add(a, b);
        }
        for (lists, mut more) in [
            (&mut self.class_recovery, other.class_recovery),
            (&mut self.loss_share, other.loss_share),
            (&mut self.measures, other.measures),
        ] {
            for (list, values) in lists.iter_mut().zip(&mut more) {
                list.append(values);
            }
        }
        for ((flow, pressure), (more_flow, more_pressure)) in self.outlets.iter_mut().zip(&mut other.outlets) {
            flow.append(more_flow);
            pressure.append(more_pressure);
        }
        for (a, b) in self.warned.iter_mut().zip(&other.warned) {
            *a += b;
        }
        self.residuals = self.residuals.worst(other.residuals);
        self.broken = BrokenBooks::worst(self.broken.take(), other.broken);
    }
}
