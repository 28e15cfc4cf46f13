//! Numbers that the stages report, in a result: measures, profiles along a stage, courses over the days of a cut.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Summary, over_trials};
use sim_core::plant::Plant;
use sim_core::quantity::SiUnit;
use sim_core::stage::Role;
use sim_core::trial::TrialStatistics;

/// One measure.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct MeasureSummary {
    /// Stage.
    pub stage: String,
    /// Name.
    pub name: String,
    /// Plain words.
    pub words: String,
    /// SI unit and kind of quantity.
    #[serde(flatten)]
    pub unit: SiUnit,
    /// Value.
    pub value: Summary,
}

/// A profile along a stage.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Profile {
    /// Stage.
    pub stage: String,
    /// Name.
    pub name: String,
    /// SI unit and kind of quantity.
    #[serde(flatten)]
    pub unit: SiUnit,
    /// Positions, m.
    pub at_m: Vec<f64>,
    /// Value at each position.
    pub value: Vec<Summary>,
}

/// A course over the days of a cut.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Course {
    /// Stage.
    pub stage: String,
    /// Name.
    pub name: String,
    /// Plain words.
    pub words: String,
    /// SI unit and kind of quantity.
    #[serde(flatten)]
    pub unit: SiUnit,
    /// Days from the start.
    pub day: Vec<f64>,
    /// Value on each day, over the first trials.
    pub value: Vec<Summary>,
}

fn stage_of(plant: &Plant, measure: usize) -> String {
    plant.nodes.iter().find(|n| n.measures.contains(&measure)).map_or(String::new(), |n| n.id.clone())
}

pub(super) fn measures(plant: &Plant, statistics: &TrialStatistics) -> Vec<MeasureSummary> {
    plant
        .measures
        .iter()
        .enumerate()
        .filter(|(_, m)| {
            matches!(m.role, Role::Plain | Role::DryFeed | Role::FallSpeed { .. } | Role::EnginePower | Role::CatchArea)
        })
        .map(|(i, m)| MeasureSummary {
            stage: stage_of(plant, i),
            name: m.name.clone(),
            words: m.words.clone(),
            unit: m.dimension.into(),
            value: over_trials(&statistics.measures[i], 1.0),
        })
        .collect()
}

pub(super) fn profiles(plant: &Plant, statistics: &TrialStatistics) -> Vec<Profile> {
    let mut list: Vec<Profile> = Vec::new();
    for (i, m) in plant.measures.iter().enumerate() {
        let Role::Profile { profile, at } = m.role else { continue };
        let stage = stage_of(plant, i);
        let value = over_trials(&statistics.measures[i], 1.0);
        match list.iter_mut().find(|p| p.name == profile && p.stage == stage) {
            Some(p) => {
                p.at_m.push(at);
                p.value.push(value);
            }
            None => list.push(Profile {
                stage,
                name: profile.into(),
                unit: m.dimension.into(),
                at_m: vec![at],
                value: vec![value],
            }),
        }
    }
    list
}

pub(super) fn courses(plant: &Plant, statistics: &TrialStatistics) -> Vec<Course> {
    let mut list: Vec<Course> = Vec::new();
    for (i, m) in plant.measures.iter().enumerate() {
        let Role::OverDays { course, day } = m.role else { continue };
        let stage = stage_of(plant, i);
        let value = over_trials(&statistics.measures[i], 1.0);
        match list.iter_mut().find(|c| c.name == course && c.stage == stage) {
            Some(c) => {
                c.day.push(day);
                c.value.push(value);
            }
            None => list.push(Course {
                stage,
                name: course.into(),
                words: m.words.clone(),
                unit: m.dimension.into(),
                day: vec![day],
                value: vec![value],
            }),
        }
    }
    list
}
