//! What one observation of the running plant says about it.

use rand::Rng;

use sim_core::quantity::Dimension;
use sim_core::trial::Worker;

/// One number of an observation that the plant predicts.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is, e.g. "colours of 0.3 to 0.6 mm".
    pub words: String,
    /// What kind of quantity, for printing.
    pub dimension: Dimension,
    /// What was seen, SI.
    pub seen: f64,
}

/// One observation, ready to be compared with what a plant predicts.
///
/// Its likelihood is written with the formulas of the plant and with the errors of the observation alone (counts,
/// panning losses, reading of a gauge, and what the formula is known to be off by). What differs from hour to hour in the
/// plant is not part of it: the caller averages the likelihood over several trials that share the constants.
pub trait Evidence: Send + Sync {
    /// What it is and when, e.g. "pans of the sluice tailings, 12 June".
    fn name(&self) -> &str;

    /// Its numbers, as seen.
    fn parts(&self) -> &[Part];

    /// What the plant predicts in the last trial of the worker: appends the same count of numbers each time, first one
    /// for each of [`Self::parts`], then any others that the likelihood needs.
    fn predict(&self, worker: &mut Worker<'_>, out: &mut Vec<f64>);

    /// Natural logarithm of the likelihood of what was seen, up to a constant that does not depend on the prediction.
    /// Minus infinity where it is impossible; NaN never.
    fn ln_likelihood(&self, predicted: &[f64]) -> f64;

    /// Seen less predicted over the standard deviation, one for each part, on the scale on which the error is about
    /// normal (logarithm of a size, root of a count): what a least-squares step works on.
    fn residuals(&self, predicted: &[f64], out: &mut Vec<f64>);

    /// The same observation as another owner would have made it on a plant that predicts this, with its errors drawn.
    fn simulate(&self, predicted: &[f64], rng: &mut dyn Rng) -> Box<dyn Evidence>;
}
