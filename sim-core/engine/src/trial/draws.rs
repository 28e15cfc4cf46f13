//! What a trial draws, handed on to other plants on the same ground.
//!
//! Draws are addressed, so a plant with another hole or slope draws the same ground, trial by trial. Drawing costs a third of a
//! trial; when many plants are compared it is done once. A plant takes over only what is certain to be the same: the outcome
//! is, to the last bit, that of the plant run alone.

use crate::plant::Plant;
use crate::plumbing::LineState;
use washgraph_ground::ground::GroundDraw;
use washgraph_stats::draw::{Input, InputList};

/// The draws of one trial.
#[derive(Debug, Clone)]
pub struct TrialDraws {
    values: Vec<f64>,
    ground: GroundDraw,
    feed_m3_s: f64,
    lines: Vec<LineState>,
}

impl TrialDraws {
    pub(super) fn new(values: &[f64], ground: &GroundDraw, feed_m3_s: f64, lines: &[LineState]) -> TrialDraws {
        TrialDraws { values: values.to_vec(), ground: ground.clone(), feed_m3_s, lines: lines.to_vec() }
    }

    pub(super) fn values(&self) -> &[f64] {
        &self.values
    }

    pub(super) fn ground(&self) -> &GroundDraw {
        &self.ground
    }

    pub(super) fn feed_m3_s(&self) -> f64 {
        self.feed_m3_s
    }
}

/// What a plant may take over from the draws of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedDraws {
    /// For each scalar input its number in the other plant's list.
    values: Vec<Option<usize>>,
    ground: bool,
    /// For each pump its number in the other plant.
    lines: Vec<Option<usize>>,
}

impl SharedDraws {
    /// What `plant` may take over from the draws of `first`.
    pub fn of(first: &Plant, plant: &Plant) -> SharedDraws {
        let together = first.inputs.joint() == plant.inputs.joint();
        let mut values = plant.inputs.places_in(&first.inputs);
        // Inputs drawn together come as a whole or not at all.
        if !together || (plant.inputs.joint().is_some() && values.contains(&None)) {
            values.fill(None);
        }
        let same = |(a, b): (Input, Input)| is_same(&plant.inputs, a, &first.inputs, b);
        let scalars = plant.ground.inputs.all().into_iter().zip(first.ground.inputs.all());
        let ground = together && plant.ground.is_drawn_like(&first.ground) && scalars.into_iter().all(same);
        let line = |l: &crate::water_line::Line| first.lines.iter().position(|d| d.supply.curve == l.supply.curve);
        SharedDraws { values, ground, lines: plant.lines.iter().map(line).collect() }
    }

    pub(super) fn values(&self) -> &[Option<usize>] {
        &self.values
    }

    /// Whether the ground is the same.
    pub fn has_ground(&self) -> bool {
        self.ground
    }

    pub(super) fn line<'c>(&self, k: usize, drawn: &'c TrialDraws) -> Option<&'c LineState> {
        drawn.lines.get((*self.lines.get(k)?)?)
    }
}

/// Whether two inputs of two plants have the same value in every trial.
fn is_same(list: &InputList, a: Input, other: &InputList, b: Input) -> bool {
    match (a, b) {
        (Input::Fixed(a), Input::Fixed(b)) => a == b,
        (Input::Drawn(a), Input::Drawn(b)) => match (list.all().get(a), other.all().get(b)) {
            (Some(a), Some(b)) => a.name == b.name && a.spread == b.spread,
            _ => false,
        },
        _ => false,
    }
}
