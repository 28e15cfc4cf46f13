//! How often a grain comes to the plate: exposure, percolation, wetness.

use sim_core::check::Status;
use sim_core::formula::Formula;
use sim_core::math::exp;
use sim_core::quantity::Dimension;

use sim_core::formula::symbol::{input, input_or, output};

/// Trials of a grain in the wall layer per turnover of the bed. Assumed; lognormal with 90 % between 1 and 4.
pub const TRIALS_PER_TURNOVER: f64 = 2.0;
/// Size of the throat between the stones of a bed over their median size. 0.155 for touching equal spheres (geometry).
pub const THROAT: f64 = 0.15;
/// Added water at which screening reaches 63 % of its washed state, m3 per dry tonne. Assumed, 0.2 to 0.8.
pub const WET_SCREENING_M3_PER_T: f64 = 0.45;

/// Share of the grains that lie at the shell, E = min(1, d50/h_m).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d50 | median size of the bed here | m | > 0 |
/// | h_m | mean depth of the bed (area over wetted arc) | m | > 0 |
///
/// Assumed here: the wall layer is one median grain thick.
pub fn exposure(median_m: f64, mean_depth_m: f64) -> f64 {
    (median_m / mean_depth_m).min(1.0)
}

/// Share of the grains of one size that sift down between the stones to the shell, pi = 1/\[1 + (d/(0.15 d50))^4\].
///
/// Assumed here (exponent); the throat of touching spheres is 0.155 of their size.
pub fn percolation(grain_m: f64, median_m: f64) -> f64 {
    let ratio = grain_m / (THROAT * median_m);
    let square = ratio * ratio;
    1.0 / (1.0 + square * square)
}

/// Wetness factor, y = 1 - exp(-W/W_0); W added water in m3 per dry tonne, W_0 0.45.
///
/// Percolation is multiplied by y, trials by 0.5 + 0.5 y. In a dry rolling bed fines go to the core, away from the plate;
/// water and sprays carry them through. Assumed here; near 1 at the published practice of 1.25-1.75 m3/t.
pub fn wetness(water_m3_per_t: f64, half_m3_per_t: f64) -> f64 {
    1.0 - exp(-water_m3_per_t / half_m3_per_t)
}

/// Share of a size class that leaves per metre of screen, n (A/Phi)(pi/phi) kappa E_i p_i with
/// E_i = E + (1 - E) y pi_i and kappa scaled by 0.5 + 0.5 y.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | n (A/Phi)(pi/phi) | turnovers of the bed per metre | 1/m | >= 0 |
/// | kappa | trials per turnover of a grain at the wall | - | 1 to 4 |
/// | E, pi_i | exposure and percolation | - | 0 to 1 |
/// | y | wetness factor | - | 0 to 1 |
/// | p_i | passage chance in one trial | - | 0 to f_o |
///
/// Assumed here as a whole; its parts are those of published trommel models (Alter 1980; Stessel 1991, 1996; Wheeler 1989,
/// abstracts seen), all for dry refuse. Nothing published validates it for wet gravel.
pub fn rate_per_m(
    turnovers_per_m: f64,
    trials: f64,
    exposure: f64,
    percolation: f64,
    wetness: f64,
    chance: f64,
) -> f64 {
    let reached = exposure + (1.0 - exposure) * wetness * percolation;
    turnovers_per_m * trials * (0.5 + 0.5 * wetness) * reached * chance
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "screen-rate-per-length",
    "Share of a grain size that leaves through the plate per length of rotating screen.",
    "E = min(1, d50/h_m); pi = 1/[1 + (d/(0.15 d50))^4]; rate = turnovers kappa (0.5 + 0.5 y) [E + (1 - E) y pi] p",
    |x| {
        let e = exposure(x[3], x[4]);
        let s = percolation(x[2], x[3]);
        vec![e, s, rate_per_m(x[0], x[1], e, s, x[6], x[5])]
    },
)
.inputs(&[
    input("turnovers_per_m", "turnovers of the bed per metre", Dimension::Number, "-", (0.0, 1e3)),
    input_or("trials", "trials per turnover at the wall", Dimension::Number, "-", (1.0, 4.0), TRIALS_PER_TURNOVER),
    input("grain", "grain size", Dimension::SieveSize, "mm", (0.0, 0.3)),
    input("median", "median size of the bed", Dimension::SieveSize, "mm", (1e-5, 0.3)),
    input("mean_depth", "bed area over wetted arc", Dimension::Length, "mm", (1e-4, 1.0)),
    input("chance", "passage chance in one trial", Dimension::Fraction, "%", (0.0, 1.0)),
    input_or("wetness", "wetness factor, 1 when well washed", Dimension::Fraction, "%", (0.0, 1.0), 1.0),
])
.outputs(&[
    output("exposure", "share of the grains at the shell", Dimension::Fraction, "%"),
    output("percolation", "share of this size that sifts down", Dimension::Fraction, "%"),
    output("rate", "share that leaves per metre", Dimension::Number, "-"),
])
.source("assumed here, from the parts of Alter 1980, Stessel 1991, Wheeler 1989", Status::Assumed)
.limits("not validated for wet gravel; calibrate the trials by a sieve test of the oversize")];
