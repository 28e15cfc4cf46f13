//! What many trials of one number come to.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::order::percentile_select;

/// Mean and three percentiles over the trials. `pctl_10` is the value that 1 trial in 10 falls below.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Summary {
    /// Mean over trials; of shares, gold-weighted (total grams over all trials).
    pub mean: f64,
    /// 1 trial in 10 falls below.
    pub pctl_10: f64,
    /// Half of the trials fall below.
    pub pctl_50: f64,
    /// 1 trial in 10 is above.
    pub pctl_90: f64,
}

/// Mean and percentiles of values times a factor; values that do not exist (NaN) are left out. Zeros when none exists.
pub fn over_trials(values: &[f64], factor: f64) -> Summary {
    let mut known: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    if known.is_empty() {
        return Summary { mean: 0.0, pctl_10: 0.0, pctl_50: 0.0, pctl_90: 0.0 };
    }
    // The mean is taken in the order of the trials, before sorting: same bytes for any number of threads.
    let mean = known.iter().sum::<f64>() / known.len() as f64;
    let [low, middle, high] = [0.1, 0.5, 0.9].map(|p| percentile_select(&mut known, p));
    Summary { mean: mean * factor, pctl_10: low * factor, pctl_50: middle * factor, pctl_90: high * factor }
}
