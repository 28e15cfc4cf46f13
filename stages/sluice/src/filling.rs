//! Riffles that fill over a run. Off by default: its one constant differs from site to site and has no usable default.
//! How often to clean up is decided elsewhere.

use crate::capture::Fate;
use crate::symbols as s;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::{Formula, Symbol};
use sim_core::quantity::Dimension as D;

/// Mean recovery of a run over that of clean riffles.
///
/// R/R0 = 1/(1 + x_f/b_x)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | x_f | feed since the last clean-up | kg | >= 0 |
/// | b_x | feed that halves the mean recovery of the run | kg | > 0 |
///
/// Source: from the saturation curve y = a x_f/(x_f + b_x) of gold caught against feed (assumed form). An infinite b_x
/// switches it off.
pub fn run_mean_factor(feed_kg: f64, half_feed_kg: f64) -> f64 {
    1.0 / (1.0 + feed_kg / half_feed_kg)
}

/// Recovery at the end of a run over that of clean riffles: 1/(1 + x_f/b_x)^2, the slope of the same curve.
pub fn end_of_run_factor(feed_kg: f64, half_feed_kg: f64) -> f64 {
    let f = run_mean_factor(feed_kg, half_feed_kg);
    f * f
}

/// Moves what full riffles do not hold from caught to packed.
pub fn apply(fate: Fate, factor: f64) -> Fate {
    let caught = fate.caught * factor;
    Fate { caught, packed: fate.packed + (fate.caught - caught), ..fate }
}

fn calculate(inputs: &[f64]) -> Vec<f64> {
    let [feed, half] = *inputs else {
        return vec![f64::NAN; 2];
    };
    vec![run_mean_factor(feed, half), end_of_run_factor(feed, half)]
}

const FEED: Symbol = s::symbol("feed", "feed since the last clean-up", D::Mass, "t", (0.0, f64::INFINITY), Some(0.0));
const HALF_FEED: Symbol = s::symbol(
    "half_feed",
    "feed that halves the mean recovery of a run; from the site's own clean-ups",
    D::Mass,
    "t",
    (0.0, f64::INFINITY),
    None,
);

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "sluice-riffle-filling",
    "Recovery of a run, and at its end, over that of clean riffles.",
    "mean 1/(1 + x_f/b_x); end 1/(1 + x_f/b_x)^2",
    calculate,
)
.inputs(&[FEED, HALF_FEED])
.outputs(&[
    s::output("run_mean", "mean of the run / clean riffles", D::Number, "-"),
    s::output("end_of_run", "end of the run / clean riffles", D::Number, "-"),
])
.source(
    "saturation curve of gold caught against feed; assumed form, no usable default for its constant",
    Status::Assumed,
)
.limits("the constant must come from the site's own clean-ups")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[Check::new("sluice-filling-mean-of-the-slope", "sluice riffle filling", || {
    let mut sum = 0.0;
    for i in 0..1000_u32 {
        sum += end_of_run_factor((f64::from(i) + 0.5) / 1000.0 * 800.0, 500.0) / 1000.0;
    }
    sum / run_mean_factor(800.0, 500.0)
})
.against(
    Kind::Identity,
    "the mean of the recovery along a run equals the run's mean: ratio, by midpoint sums",
    Status::Computed,
)
.value(1.0, "-")
.within(Band::Absolute(1e-6))];
