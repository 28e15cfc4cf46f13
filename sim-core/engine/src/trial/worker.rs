//! One worker runs one trial after another in place.

use std::any::Any;

use super::draws::{SharedDraws, TrialDraws};
use crate::curves::Curves;
use crate::plant::{Node, Plant};
use crate::plumbing::LineState;
use crate::return_water::{PondBook, Sweep};
use crate::stage::{OutletState, Ports, Role, Trial};
use crate::stream::Stream;
use washgraph_ground::ground::GroundDraw;
use washgraph_money::{MoneyPlan, SeasonFlows};
use washgraph_physics::size::{ByGold, BySolid};
use washgraph_physics::size::{GOLD_CLASSES, SOLID_CLASSES};
use washgraph_stats::draw::{Draws, Swap};
use washgraph_stats::joint::Places;
use washgraph_units::quantity::Phrase;

/// Stages work out what takes long (the pond day by day) in the first so many trials only. A percentile over them is off
/// by about 2 points in a hundred.
pub const LONG_TRIALS: u64 = 500;

/// Everything that one worker needs, reused from trial to trial.
pub struct Worker<'p> {
    plant: &'p Plant,
    draws: Draws,
    /// The ground of the last trial.
    pub ground: GroundDraw,
    streams: Vec<Stream>,
    scratch: Vec<Box<dyn Any + Send>>,
    /// State of the water outlets in the last trial.
    pub outlets: Vec<OutletState>,
    /// Pumps with all that they feed, in the last trial.
    pub lines: Vec<LineState>,
    /// Gold caught by stage and class, kg/s.
    pub caught: Vec<ByGold>,
    /// Gold lost by note and class, kg/s.
    pub lost: Vec<ByGold>,
    /// Gold fed by class, kg/s. The streams carry the gold expected; these books hold the grains that came in the period.
    pub fed: ByGold,
    /// Solids fed by class, clay apart, kg/s.
    pub rock_fed: BySolid,
    /// Clay fed, kg/s.
    pub clay_fed: f64,
    /// Measures in the plant's order.
    pub measures: Vec<f64>,
    /// Warnings in the plant's order.
    pub warnings: Vec<bool>,
    /// Water fed with the ground and through the outlets, m3/s.
    pub water_in_m3_s: f64,
    /// What the money of a season needs of the last trial; zeros for a plant without money.
    pub season: SeasonTrial,
    /// The book of the pond, if the plant has one.
    pub pond: Option<PondBook>,
    /// Moisture of the ground fed, m3/s.
    pub(super) moisture_m3_s: f64,
    /// First stage whose gold feels the pond's water; `None` without a pond.
    mud_from: Option<usize>,
    /// Whether this trial is worked out at length.
    at_length: bool,
    /// Trials that are.
    long_trials: u64,
}

/// Gold of a trial averaged over a season, and the engines: what the money of a season needs.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct SeasonTrial {
    /// Gold per loose volume with the grains of a season, kg/m3.
    pub grade_loose_kg_m3: f64,
    /// Gold caught with the grains of a season, kg/s.
    pub caught_kg_s: f64,
    /// Gold of `caught_kg_s` that the final clean-up loses at the middle of its table, kg/s.
    pub clean_up_loss_kg_s: f64,
    /// Power of all engines, W.
    pub engine_w: f64,
    /// Area from which a clean-up takes concentrate, m2.
    pub catch_area_m2: f64,
}

impl<'p> Worker<'p> {
    /// A worker for a plant. It runs the middle case once, so that stages can keep it as a starting point.
    pub fn new(plant: &'p Plant, seed: u64) -> Self {
        let notes = plant.notes.len();
        let mut worker = Worker {
            plant,
            draws: Draws::new(seed, &plant.inputs),
            ground: plant.ground.new_draw(),
            streams: (0..plant.slots).map(|_| Stream::empty(notes)).collect(),
            scratch: plant.nodes.iter().map(|n| n.stage.scratch()).collect(),
            outlets: vec![OutletState::default(); plant.outlets.len()],
            lines: vec![LineState::default(); plant.lines.len()],
            caught: vec![[0.0; GOLD_CLASSES]; plant.nodes.len()],
            lost: vec![[0.0; GOLD_CLASSES]; notes],
            fed: [0.0; GOLD_CLASSES],
            rock_fed: [0.0; SOLID_CLASSES],
            clay_fed: 0.0,
            measures: vec![f64::NAN; plant.measures.len()],
            warnings: vec![false; plant.warnings.len()],
            water_in_m3_s: 0.0,
            season: SeasonTrial::default(),
            pond: None,
            moisture_m3_s: 0.0,
            mud_from: plant
                .nodes
                .iter()
                .any(|n| n.stage.is_pond())
                .then(|| plant.nodes.iter().position(|n| n.stage.feels_mud()))
                .flatten(),
            at_length: true,
            long_trials: LONG_TRIALS,
        };
        worker.run_middle();
        worker
    }

    /// From now on only so many of the first trials are worked out at length.
    pub fn with_long_trials(mut self, long_trials: u64) -> Self {
        self.long_trials = long_trials;
        self
    }

    /// The plant that it runs.
    pub fn plant(&self) -> &'p Plant {
        self.plant
    }

    /// Runs a trial; the outcome stands in the public fields until the next.
    pub fn run_trial(&mut self, trial: u64) {
        self.draws.set_trial(trial, &self.plant.inputs);
        self.at_length = trial < self.long_trials;
        self.run();
    }

    /// Runs a trial on what another plant drew in it, as far as `shared` lets it. The outcome is that of [`Self::run_trial`].
    pub fn run_shared(&mut self, trial: u64, drawn: &TrialDraws, shared: &SharedDraws) {
        self.draws.set_shared(trial, &self.plant.inputs, drawn.values(), shared.values());
        self.at_length = trial < self.long_trials;
        let feed_m3_s = self.feed_m3_s();
        if shared.has_ground() {
            self.ground.clone_from(drawn.ground());
            if feed_m3_s != drawn.feed_m3_s() {
                self.plant.ground.count_grains(&mut self.draws, feed_m3_s, &mut self.ground);
            }
        } else {
            self.plant.ground.draw(&mut self.draws, feed_m3_s, &mut self.ground);
        }
        self.take_water(|k| shared.line(k, drawn));
        self.pass(feed_m3_s);
    }

    /// What the last trial drew, for other plants on the same ground.
    pub fn drawn(&self) -> TrialDraws {
        TrialDraws::new(self.draws.values(), &self.ground, self.feed_m3_s(), &self.lines)
    }

    /// Runs a trial in which some inputs have the numbers that they have in another trial.
    pub fn run_trial_swapped(&mut self, trial: u64, other: u64, swap: &Swap) {
        self.draws.set_trial_swapped(trial, other, swap, &self.plant.inputs);
        self.at_length = false;
        self.run();
    }

    /// Runs a trial in which the inputs of `places` take the numbers of `row`: the constants of one trial under the hours of
    /// another.
    pub fn run_given(&mut self, trial: u64, places: &Places, row: &[f64]) {
        self.draws.set_given(trial, &self.plant.inputs, places, row);
        self.at_length = false;
        self.run();
    }

    /// Runs one pass with every input at its middle and nothing left to chance.
    pub fn run_middle(&mut self) {
        self.draws.set_middle(&self.plant.inputs);
        self.at_length = true;
        self.run();
    }

    /// The same with one input at the value that it falls below with chance `u`.
    pub fn run_middle_but(&mut self, index: usize, u: f64) {
        self.draws.set_middle_but(&self.plant.inputs, index, u);
        self.run();
    }

    /// Gold caught over gold fed in the last trial; 0 when none was fed.
    pub fn recovery(&self) -> f64 {
        let fed: f64 = self.fed.iter().sum();
        if fed > 0.0 { self.caught_kg_s() / fed } else { 0.0 }
    }

    /// Gold caught in the last trial, kg/s.
    pub fn caught_kg_s(&self) -> f64 {
        self.caught.iter().flatten().sum()
    }

    /// Money of a season that runs like the last trial throughout, before the owner's wage and the plant; NaN without money.
    pub fn season_net(&self) -> f64 {
        let Some(plan) = &self.plant.money else { return f64::NAN };
        let feed_m3_s: f64 = self.plant.feeds.iter().map(|f| f.get(&self.draws)).sum();
        let season = &self.season;
        let flows = SeasonFlows {
            loose_m3_s: feed_m3_s,
            swell: self.ground.swell,
            fed_kg_s: feed_m3_s * season.grade_loose_kg_m3,
            caught_kg_s: season.caught_kg_s,
            clean_up_loss: if season.caught_kg_s > 0.0 { season.clean_up_loss_kg_s / season.caught_kg_s } else { 0.0 },
            engine_w: season.engine_w,
        };
        plan.trial(&flows, &self.draws).net
    }

    /// The stream of a slot after the last trial.
    pub fn stream(&self, slot: usize) -> Option<&Stream> {
        self.streams.get(slot)
    }

    /// All streams after the last trial, by slot.
    pub(super) fn streams(&self) -> &[Stream] {
        &self.streams
    }

    /// Loose ground that a source has brought in the last trial, m3/s.
    pub(super) fn source_m3_s(&self, node: &Node) -> f64 {
        node.stage.feed_m3_s().map_or(0.0, |feed| feed.get(&self.draws))
    }

    /// Value of an uncertain input in the last trial.
    pub fn input(&self, index: usize) -> f64 {
        washgraph_stats::draw::Input::Drawn(index).get(&self.draws)
    }

    /// Runs the stages of the last trial once more with other water from the outlets than they give.
    pub fn pass_again_with(&mut self, alter: impl FnOnce(&mut [OutletState])) {
        alter(&mut self.outlets);
        self.pass(self.feed_m3_s());
    }

    /// Loose ground fed in the last trial, m3/s.
    pub fn feed_m3_s(&self) -> f64 {
        self.plant.feeds.iter().map(|f| f.get(&self.draws)).sum()
    }

    fn run(&mut self) {
        let feed_m3_s = self.draw_ground_and_water();
        self.pass(feed_m3_s);
    }

    fn draw_ground_and_water(&mut self) -> f64 {
        let feed_m3_s = self.feed_m3_s();
        self.plant.ground.draw(&mut self.draws, feed_m3_s, &mut self.ground);
        self.take_water(|_| None);
        feed_m3_s
    }

    /// Water of all outlets; `solved` may know how the same trial of another plant's pump came out.
    fn take_water<'c>(&mut self, solved: impl Fn(usize) -> Option<&'c LineState>) {
        let plant = self.plant;
        for (state, node) in self.outlets.iter_mut().zip(&plant.outlets) {
            *state = node.outlet.state(&self.draws, &self.ground.water);
        }
        for (k, (state, line)) in self.lines.iter_mut().zip(&plant.lines).enumerate() {
            line.solve(&self.draws, &self.ground.water, &plant.outlets, state, solved(k), &mut self.outlets);
        }
    }

    fn pass(&mut self, feed_m3_s: f64) {
        let plant = self.plant;
        self.measures.fill(f64::NAN);
        self.warnings.fill(false);
        self.pond = None;
        let sweep = if self.mud_from.is_some() { Sweep::Solids } else { Sweep::Only };
        for (k, node) in plant.nodes.iter().enumerate() {
            self.run_node(k, node, feed_m3_s, sweep);
        }
        if let Some(from) = self.mud_from {
            for (k, node) in plant.nodes.iter().enumerate().skip(from) {
                self.run_node(k, node, feed_m3_s, Sweep::Gold);
            }
        }
        self.book(feed_m3_s);
    }

    fn run_node(&mut self, k: usize, node: &Node, feed_m3_s: f64, sweep: Sweep) {
        let plant = self.plant;
        let (before, rest) = self.streams.split_at_mut(node.outlets.start);
        let outlets = &mut rest[..node.outlets.len()];
        outlets.iter_mut().for_each(Stream::clear);
        self.caught[k] = [0.0; GOLD_CLASSES];
        let trial = Trial {
            draws: &self.draws,
            ground: &self.ground,
            outlets: &self.outlets,
            settling: &plant.ground.settling,
            feed_m3_s,
            line: node.line.and_then(|l| self.lines.get(l)),
            sweep,
            return_water: self.pond.map(|p| p.return_water).unwrap_or_default(),
            at_length: self.at_length,
        };
        let mut ports = Ports {
            upstream: before,
            inlets: &node.inlets,
            outlets,
            caught: &mut self.caught[k],
            measures: &mut self.measures[node.measures.clone()],
            warnings: &mut self.warnings[node.warnings.clone()],
            scratch: &mut self.scratch[k],
            note_base: node.note_base,
            pond: &mut self.pond,
        };
        node.stage.run(&trial, &mut ports);
    }

    /// Books what has reached the tailings as lost, by note; gold there without a note was sent there untreated.
    fn book(&mut self, feed_m3_s: f64) {
        let ground = &self.ground;
        let feed_kg_s = feed_m3_s * ground.loose_density_kg_m3;
        for g in 0..GOLD_CLASSES {
            self.fed[g] = feed_kg_s * (ground.gold[g] + ground.locked[g]);
        }
        for c in 0..SOLID_CLASSES {
            self.rock_fed[c] = feed_kg_s * ground.rock[c];
        }
        self.clay_fed = feed_kg_s * ground.lumps.iter().sum::<f64>();
        self.moisture_m3_s = feed_kg_s * ground.moisture / (1.0 - ground.moisture) / ground.water.density_kg_m3;
        self.water_in_m3_s = self.moisture_m3_s + self.outlets.iter().map(|o| o.flow_m3_s).sum::<f64>();
        self.lost.fill([0.0; GOLD_CLASSES]);
        for &(slot, node) in &self.plant.tailings {
            let stream = &self.streams[slot];
            let untreated = self.plant.nodes[node].note_base;
            let mut noted = [0.0; GOLD_CLASSES];
            for (lost, astray) in self.lost.iter_mut().zip(&stream.astray_kg_s) {
                for ((lost, noted), astray) in lost.iter_mut().zip(&mut noted).zip(astray) {
                    *lost += astray;
                    *noted += astray;
                }
            }
            for (g, (lost, noted)) in self.lost[untreated].iter_mut().zip(noted).enumerate() {
                // Rounding can leave a trace either way; it is booked where it arises, so that every class closes.
                *lost += stream.gold_of_class(g) - noted;
            }
        }
        if let Some(money) = &self.plant.money {
            self.book_season(money, feed_m3_s);
        }
        self.count_grains();
    }

    /// Books the gold of a season: the books of the expected gold times the grains of a season over those expected.
    fn book_season(&mut self, money: &MoneyPlan, feed_m3_s: f64) {
        let plant = self.plant;
        // The grade of the ground of one period differs from that of the season, which is the mean of many.
        let day = plant.ground.inputs.day_factor.get(&self.draws);
        let over_day = if self.draws.is_middle() { 1.0 } else { money.mean_day_factor / day };
        let volume_m3 = feed_m3_s * plant.season_s * over_day;
        let mut grains = plant.ground.grains_of_season(&mut self.draws, &self.ground, feed_m3_s, volume_m3);
        grains.iter_mut().for_each(|g| *g *= over_day);
        let mut season = SeasonTrial::default();
        for (g, grains) in grains.iter().enumerate() {
            let caught = grains * self.caught.iter().map(|c| c[g]).sum::<f64>();
            season.grade_loose_kg_m3 += grains * self.fed[g] / feed_m3_s;
            season.caught_kg_s += caught;
            season.clean_up_loss_kg_s += caught * money.clean_up.loss_by_class[g];
        }
        for (measure, value) in plant.measures.iter().zip(&self.measures) {
            match measure.role {
                Role::EnginePower => season.engine_w += value,
                Role::CatchArea => season.catch_area_m2 += value,
                _ => {}
            }
        }
        self.season = season;
    }

    /// Multiplies the books of the expected gold by the grains that came in the period over those expected.
    fn count_grains(&mut self) {
        let grains = &self.ground.grains;
        for books in std::iter::once(&mut self.fed).chain(&mut self.caught).chain(&mut self.lost) {
            for (gold, grains) in books.iter_mut().zip(grains) {
                *gold *= grains;
            }
        }
    }

    /// Curves of all stages in the middle case, which becomes the last trial.
    pub fn curves(&mut self) -> Vec<Curves> {
        self.run_middle();
        let feed_m3_s = self.feed_m3_s();
        let mut all = Vec::new();
        for (node, scratch) in self.plant.nodes.iter().zip(&mut self.scratch) {
            let trial = Trial {
                draws: &self.draws,
                ground: &self.ground,
                outlets: &self.outlets,
                settling: &self.plant.ground.settling,
                feed_m3_s,
                line: node.line.and_then(|l| self.lines.get(l)),
                sweep: Sweep::Only,
                return_water: self.pond.map(|p| p.return_water).unwrap_or_default(),
                at_length: false,
            };
            let inlet = |i: usize| node.inlets.get(i).copied().flatten().and_then(|slot| self.streams.get(slot));
            all.extend(node.stage.curves(&node.id, &trial, &inlet, scratch.as_mut()));
        }
        all
    }

    /// Texts of all warnings with the numbers of the last trial.
    pub fn warning_texts(&self) -> Vec<Phrase> {
        let mut texts: Vec<Phrase> = self.plant.warnings.iter().map(|w| w.text.clone()).collect();
        for (node, scratch) in self.plant.nodes.iter().zip(&self.scratch) {
            for (i, text) in texts[node.warnings.clone()].iter_mut().enumerate() {
                if let Some(better) = node.stage.warning_text(i, scratch.as_ref()) {
                    *text = better;
                }
            }
        }
        texts
    }
}
