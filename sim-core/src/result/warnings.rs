//! The warnings of a result.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::plant::Plant;
use crate::stage::Severity;
use crate::trial::Tally;

/// A warning that was raised.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct WarningSummary {
    /// Stage.
    pub stage: String,
    /// Name in files.
    pub id: String,
    /// How much it matters.
    pub severity: Severity,
    /// Plain words.
    pub text: String,
    /// Share of trials in which it was raised.
    pub share_of_trials: f64,
}

/// Raised in a smaller share of trials, a warning is not shown. Our choice.
const LEAST_SHARE_WARNED: f64 = 0.05;

/// Those of a plant: limits first, then cautions, then notes; within each the one of most trials first.
pub(super) fn of(plant: &Plant, tally: &Tally) -> Vec<WarningSummary> {
    let mut list: Vec<WarningSummary> = plant
        .warnings
        .iter()
        .enumerate()
        .map(|(i, w)| WarningSummary {
            stage: plant.nodes.iter().find(|n| n.warnings.contains(&i)).map_or(String::new(), |n| n.id.clone()),
            id: w.id.into(),
            severity: w.severity,
            text: tally.warning_texts.get(i).unwrap_or(&w.text).clone(),
            share_of_trials: tally.warned[i] as f64 / tally.trials as f64,
        })
        .filter(|w| w.share_of_trials >= LEAST_SHARE_WARNED)
        .collect();
    // What the samples are worth holds in every trial.
    list.extend(plant.ground.known.findings.iter().map(|text| WarningSummary {
        stage: "ground".into(),
        id: if plant.ground.known.samples.is_some() { "samples".into() } else { "belief".into() },
        severity: Severity::Caution,
        text: text.clone(),
        share_of_trials: 1.0,
    }));
    list.sort_by(|a, b| b.severity.cmp(&a.severity).then(b.share_of_trials.total_cmp(&a.share_of_trials)));
    list
}
