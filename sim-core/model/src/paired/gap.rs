//! One plant against another on the same trials.

use sim_core::stats::average::Moments;
use sim_core::stats::compare::{Comparison, correlation, paired, trials_saved};
use sim_core::stats::order::percentile_select;

/// What changing from one plant to the other does to a result, trial by trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Mean of the plant compared with.
    pub from: f64,
    /// Mean of the plant.
    pub to: f64,
    /// Mean gap with its error, and the chance that the gap is positive.
    pub comparison: Comparison,
    /// 1 trial in 10 has a smaller gap.
    pub pctl_10: f64,
    /// Half of the trials have a smaller gap.
    pub pctl_50: f64,
    /// 1 trial in 10 has a larger gap.
    pub pctl_90: f64,
    /// Correlation of both over the common trials.
    pub correlation: f64,
    /// How many times more trials it would take without common draws.
    pub trials_saved: f64,
}

/// Compares results of common trials; `None` for lists of different length or with fewer than two trials.
pub fn gap(from: &[f64], to: &[f64]) -> Option<Gap> {
    let comparison = paired(to, from)?;
    let mut gaps: Vec<f64> = to.iter().zip(from).map(|(t, f)| t - f).collect();
    Some(Gap {
        from: Moments::of(from).mean(),
        to: Moments::of(to).mean(),
        comparison,
        pctl_10: percentile_select(&mut gaps, 0.1),
        pctl_50: percentile_select(&mut gaps, 0.5),
        pctl_90: percentile_select(&mut gaps, 0.9),
        correlation: correlation(from, to),
        trials_saved: trials_saved(from, to),
    })
}
