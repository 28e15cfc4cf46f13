//! The warnings of a result.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use sim_core::plant::Plant;
use sim_core::quantity::Phrase;
use sim_core::stage::Severity;
use sim_core::trial::TrialStatistics;

/// A warning that was raised.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct WarningSummary {
    /// Stage.
    pub stage: String,
    /// Name in files.
    pub id: String,
    /// How much it matters.
    pub severity: Severity,
    /// Plain words, in the units of the scenario.
    pub text: String,
    /// The same in pieces, quantities as values in SI, for readers with other units; empty in older files.
    #[serde(default)]
    pub parts: Phrase,
    /// Share of trials in which it was raised.
    pub share_of_trials: f64,
}

/// Raised in a smaller share of trials, a warning is not shown. Our choice.
const LEAST_SHARE_WARNED: f64 = 0.05;

/// Those of a plant: limits first, then cautions, then notes; within each the one of most trials first.
pub(super) fn of(plant: &Plant, statistics: &TrialStatistics) -> Vec<WarningSummary> {
    let count = statistics.trials as f64;
    let raised = plant.warnings.iter().zip(&statistics.warned).enumerate().map(|(i, (w, raised))| {
        let node = plant.nodes.iter().find(|n| n.warnings.contains(&i));
        let parts = statistics.warning_texts.get(i).unwrap_or(&w.text).clone();
        WarningSummary {
            stage: node.map_or(String::new(), |n| n.id.clone()),
            id: w.id.into(),
            severity: w.severity,
            text: parts.say(plant.units),
            parts,
            share_of_trials: *raised as f64 / count,
        }
    });
    let mut list: Vec<WarningSummary> = raised.filter(|w| w.share_of_trials >= LEAST_SHARE_WARNED).collect();
    // What the samples are worth holds in every trial.
    list.extend(plant.ground.known.findings.iter().map(|parts| WarningSummary {
        stage: "ground".into(),
        id: if plant.ground.known.samples.is_some() { "samples".into() } else { "belief".into() },
        severity: Severity::Caution,
        text: parts.say(plant.units),
        parts: parts.clone(),
        share_of_trials: 1.0,
    }));
    list.sort_by(|a, b| b.severity.cmp(&a.severity).then(b.share_of_trials.total_cmp(&a.share_of_trials)));
    list
}
