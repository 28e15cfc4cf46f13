//! Blinding of the plate by grains that wedge in its holes. All of it assumed; the constants are not calibrated.

use core::f64::consts::PI;
use sim_core::constants::S_PER_H;

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::drum::decay::{decay, mean_decay};
use sim_core::formula::Formula;
use sim_core::math::ln;
use sim_core::quantity::Dimension;

use sim_core::formula::symbol::{input, output};

/// Sizes that peg, over the effective hole: 0.75 to 1 needs 16 trials and more, 1 to 1.5 wedges. Assumed.
pub const PEGGING_SIZES: (f64, f64) = (0.75, 1.5);

/// Blinded share after a time from a clean plate, b = b_e (1 - exp(-(P + C) t)), b_e = P/(P + C).
///
/// The solution of db/dt = P (1 - b) - C b from b = 0. 0 when neither pegging nor clearing acts.
pub fn blinded_after(time_s: f64, pegging_1_s: f64, clearing_1_s: f64) -> f64 {
    let both = pegging_1_s + clearing_1_s;
    if !(both > 0.0) {
        return 0.0;
    }
    pegging_1_s / both * (1.0 - decay(both * time_s))
}

/// Mean blinded share from a clean plate to a time, b_e (1 - (1 - exp(-x))/x), x = (P + C) t.
///
/// The mean of [`blinded_after`] over time. 0 when neither pegging nor clearing acts.
pub fn blinded_mean(time_s: f64, pegging_1_s: f64, clearing_1_s: f64) -> f64 {
    let both = pegging_1_s + clearing_1_s;
    if !(both > 0.0) {
        return 0.0;
    }
    let x = both * time_s;
    pegging_1_s / both * (1.0 - mean_decay(x, decay(x)))
}

/// Stones of near size fed per second: mass of the classes between 0.75 and 1.5 of the effective hole, over the mass of a
/// sphere as large as the hole, 1/s.
///
/// Classes are even in log size, so that the count changes smoothly with the hole. Assumed here.
pub fn near_stones_1_s(low_m: &[f64], high_m: &[f64], flow_kg_s: &[f64], hole_m: f64, density_kg_m3: f64) -> f64 {
    let (from, to) = (PEGGING_SIZES.0 * hole_m, PEGGING_SIZES.1 * hole_m);
    let mut mass_kg_s = 0.0;
    for ((&low, &high), &flow) in low_m.iter().zip(high_m).zip(flow_kg_s) {
        if high <= from || low >= to {
            continue;
        }
        let inside = if low >= from && high <= to {
            1.0
        } else if low > 0.0 && high.is_finite() {
            ln(high.min(to) / low.max(from)) / ln(high / low)
        } else {
            continue;
        };
        mass_kg_s += flow * inside;
    }
    mass_kg_s / (density_kg_m3 * PI / 6.0 * hole_m * hole_m * hole_m)
}

/// How a plate pegs and clears in a trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Near-size stones per second over the number of holes per metre of drum, m/s.
    pub stones_per_hole_m_s: f64,
    /// Chance that a near-size stone wedges in the hole that it meets.
    pub peg_chance: f64,
    /// Share of the pegged holes that clear per second.
    pub clearing_1_s: f64,
    /// Time between two cleanings, s.
    pub between_s: f64,
}

impl Balance {
    /// Pegging per time where a stone meets the plate so many times per metre of travel.
    fn pegging_1_s(&self, meetings_per_m: f64) -> f64 {
        self.peg_chance * self.stones_per_hole_m_s * meetings_per_m
    }

    /// Mean blinded share between two cleanings.
    pub fn mean(&self, meetings_per_m: f64) -> f64 {
        blinded_mean(self.between_s, self.pegging_1_s(meetings_per_m), self.clearing_1_s)
    }

    /// Blinded share just before the next cleaning.
    pub fn at_end(&self, meetings_per_m: f64) -> f64 {
        blinded_after(self.between_s, self.pegging_1_s(meetings_per_m), self.clearing_1_s)
    }
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "screen-pegging",
    "Share of the holes blinded by wedged grains after a time, on average until then, and in the long run.",
    "db/dt = P (1 - b) - C b",
    |x| vec![blinded_after(x[0], x[1], x[2]), blinded_mean(x[0], x[1], x[2]), blinded_after(f64::MAX, x[1], x[2])],
)
.inputs(&[
    input("time", "time from a clean plate", Dimension::Time, "h", (0.0, 1e6)),
    input("pegging_rate", "P: share of clean holes pegged per time", Dimension::PerTime, "1/h", (0.0, 1.0)),
    input("clearing_rate", "C: share of pegged holes cleared per time", Dimension::PerTime, "1/h", (0.0, 1.0)),
])
.outputs(&[
    output("blinded", "blinded share after the time", Dimension::Fraction, "%"),
    output("mean", "mean blinded share until then", Dimension::Fraction, "%"),
    output("in_the_long_run", "blinded share in the long run", Dimension::Fraction, "%"),
])
.source("assumed here", Status::Assumed)
.limits("constants not calibrated: count pegged holes on the own plate")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[Check::new("screen-pegging-long-run", "balance of pegging and clearing", || {
    100.0 * blinded_after(1e9, 1.0 / S_PER_H, 3.0 / S_PER_H)
})
.against(
    Kind::Identity,
    "closed form: pegging 1, clearing 3 per hour leave a quarter blinded in the long run",
    Status::Computed,
)
.value(25.0, "%")
.within(Band::Relative(1e-9))];

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::constants::QUARTZ_KG_M3;

    #[test]
    fn identity_long_run_is_a_resting_point_and_the_mean_is_the_mean() {
        assert!((blinded_after(1e9, 2e-4, 3e-4) - 0.4).abs() < 1e-12);
        assert_eq!(blinded_after(1.0, 0.0, 0.0), 0.0);
        const N: usize = 2000;
        let sum: f64 = (0..N).map(|k| blinded_after(7200.0 * (k as f64 + 0.5) / N as f64, 2e-4, 3e-4)).sum();
        assert!((blinded_mean(7200.0, 2e-4, 3e-4) - sum / N as f64).abs() < 1e-7);
        assert!(blinded_mean(7200.0, 2e-4, 3e-4) < blinded_after(7200.0, 2e-4, 3e-4));
    }

    #[test]
    fn property_near_stones_change_smoothly_with_the_hole() {
        let edges = [0.004, 0.0056, 0.008, 0.0112, 0.016, 0.0224, 0.0315];
        let flow = [1.0; 6];
        let count = |hole: f64| near_stones_1_s(&edges[..6], &edges[1..], &flow, hole, QUARTZ_KG_M3);
        let mut hole = 0.009;
        while hole < 0.014 {
            assert!((count(hole * 1.001) / count(hole) - 1.0).abs() < 0.01);
            hole *= 1.001;
        }
    }
}
