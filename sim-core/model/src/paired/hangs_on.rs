//! What a result goes with, read off the trials that were run anyway: the cheap sister of `drivers`, which runs more of them.

use rayon::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::drivers::DriverGroup;
use sim_core::draw::{Draws, Input};
use sim_core::plant::Plant;
use sim_core::trial::TrialStatistics;

/// Trials looked at: a share is then known to about 0.03 (one standard error of a correlation of 0.5), enough to rank by.
const TRIALS: usize = 1000;
/// Trials drawn by one thread at a time.
const CHUNK: usize = 125;
/// A share below this is not told from chance: four standard errors of a correlation of nothing, squared. Computed.
const LEAST_SHARE: f64 = 16.0 / TRIALS as f64;
/// Inputs listed for each result. Our choice.
const LISTED: usize = 10;

/// An input that a result goes with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HangsOn {
    /// The result: `recovery`, or `season` for the money of the season.
    pub of: String,
    /// Name of the input, e.g. `sluice/contact_efficiency`.
    pub input: String,
    /// Its meaning in plain words.
    pub meaning: String,
    /// `ground`, `constants`, `prices` or `running`.
    pub group: String,
    /// Share of the spread of the result that goes with the input: squared rank correlation over the first trials.
    pub share: f64,
    /// Whether the result rises with the input.
    pub rises: bool,
}

/// The ranks of every input over the first trials of a run.
pub(crate) struct RankedInputs {
    trials: usize,
    /// Name, meaning, group, ranks about their mean.
    inputs: Vec<(String, String, DriverGroup, Vec<f64>)>,
}

impl RankedInputs {
    /// Draws the inputs of the first trials once more.
    pub fn new(plant: &Plant, seed: u64, statistics: &TrialStatistics) -> Self {
        let trials = statistics.trials.min(TRIALS);
        let list = plant.inputs.all();
        let starts: Vec<usize> = (0..trials).step_by(CHUNK).collect();
        let rows: Vec<Vec<f64>> = starts
            .into_par_iter()
            .flat_map_iter(|start| {
                let mut draws = Draws::new(seed, &plant.inputs);
                let row = |t: usize| {
                    draws.set_trial(t as u64, &plant.inputs);
                    (0..list.len()).map(|i| Input::Drawn(i).get(&draws)).collect::<Vec<f64>>()
                };
                (start..(start + CHUNK).min(trials)).map(row).collect::<Vec<_>>()
            })
            .collect();
        let column = |i: usize| rows.iter().map(|r| r.get(i).copied().unwrap_or(f64::NAN)).collect::<Vec<f64>>();
        let mut inputs: Vec<_> = (0..list.len())
            .into_par_iter()
            .filter_map(|i| {
                let input = &list[i];
                Some((input.name.clone(), input.meaning.clone(), DriverGroup::of(input), ranks(&column(i))?))
            })
            .collect();
        // The gold of the ground is one joint draw of all sizes; its grade stands for it.
        if let Some(ranks) = statistics.grade_loose.get(..trials).and_then(ranks) {
            let meaning = "gold in the ground, as the colours counted tell";
            inputs.push(("ground/gold".into(), meaning.into(), DriverGroup::Ground, ranks));
        }
        RankedInputs { trials, inputs }
    }

    /// The inputs that a series over the trials goes with, the largest share first.
    pub fn of(&self, of: &str, series: &[f64]) -> Vec<HangsOn> {
        let Some(result) = series.get(..self.trials).and_then(ranks) else { return Vec::new() };
        let mut list: Vec<HangsOn> = self
            .inputs
            .iter()
            .map(|(name, meaning, group, ranks)| {
                let r = correlation(ranks, &result);
                HangsOn {
                    of: of.into(),
                    input: name.clone(),
                    meaning: meaning.clone(),
                    group: word(*group).into(),
                    share: r * r,
                    rises: r > 0.0,
                }
            })
            .filter(|h| h.share > LEAST_SHARE)
            .collect();
        list.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.input.cmp(&b.input)));
        list.truncate(LISTED);
        list
    }
}

fn word(group: DriverGroup) -> &'static str {
    match group {
        DriverGroup::Ground => "ground",
        DriverGroup::Constants => "constants",
        DriverGroup::Prices => "prices",
        DriverGroup::Running => "running",
    }
}

/// Ranks about their mean; `None` when a value does not exist or all are alike. Ties keep the order of the trials.
fn ranks(values: &[f64]) -> Option<Vec<f64>> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]).then(a.cmp(b)));
    let (first, last) = (*order.first()?, *order.last()?);
    if !values.iter().all(|v| v.is_finite()) || values[first] == values[last] {
        return None;
    }
    let middle = 0.5 * (values.len() - 1) as f64;
    let mut list = vec![0.0; values.len()];
    for (rank, at) in order.into_iter().enumerate() {
        list[at] = rank as f64 - middle;
    }
    Some(list)
}

/// Correlation of two lists of ranks about their mean.
fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let dot = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(p, q)| p * q).sum::<f64>();
    dot(a, b) / (dot(a, a) * dot(b, b)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::{correlation, ranks};

    #[test]
    fn identity_ranks_see_any_rising_curve_as_a_line() {
        let x: Vec<f64> = (0..50).map(|i| f64::from((i * 37) % 50)).collect();
        let cubed: Vec<f64> = x.iter().map(|v| v * v * v).collect();
        let falling: Vec<f64> = x.iter().map(|v| -v).collect();
        let r = |y: &[f64]| correlation(&ranks(&x).unwrap(), &ranks(y).unwrap());
        assert!((r(&cubed) - 1.0).abs() < 1e-12 && (r(&falling) + 1.0).abs() < 1e-12);
        assert!(ranks(&[2.0, 2.0, 2.0]).is_none() && ranks(&[1.0, f64::NAN]).is_none() && ranks(&[]).is_none());
    }
}
