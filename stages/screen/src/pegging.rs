//! Blinding of the plate by grains that wedge in its holes. All of it assumed; the constants are not calibrated.

use sim_core::check::Status;
use sim_core::formula::Formula;
use sim_core::math::exp;
use sim_core::quantity::Dimension;

use crate::symbol::{input, output};

/// Sizes that peg, over the effective hole: 0.75 to 1 needs 16 trials and more, 1 to 1.5 wedges. Assumed.
pub const PEGGING_SIZES: (f64, f64) = (0.75, 1.5);

/// Rate at which the blinded share grows, db/dt = c_p J (1 - b) - mu b, 1/s.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | b | blinded share of the holes | - | 0 to 1 |
/// | J | near-size grains meeting the plate per area and time | kg/(s m2) | >= 0 |
/// | c_p | share of holes pegged per unit of J | m2/kg | not calibrated |
/// | mu | clearing rate: low for straight holes, high for relieved ones | 1/s | not calibrated |
///
/// Assumed here.
pub fn blinding_rate_1_s(blinded: f64, near_kg_s_m2: f64, pegging_m2_kg: f64, clearing_1_s: f64) -> f64 {
    pegging_m2_kg * near_kg_s_m2 * (1.0 - blinded) - clearing_1_s * blinded
}

/// Blinded share after a time from a clean plate, b = b_e (1 - exp(-(c_p J + mu) t)), b_e = c_p J/(c_p J + mu).
///
/// The solution of [`blinding_rate_1_s`]. 0 when neither pegging nor clearing acts.
pub fn blinded_after(time_s: f64, near_kg_s_m2: f64, pegging_m2_kg: f64, clearing_1_s: f64) -> f64 {
    let pegging = pegging_m2_kg * near_kg_s_m2;
    let both = pegging + clearing_1_s;
    if !(both > 0.0) {
        return 0.0;
    }
    pegging / both * (1.0 - exp(-both * time_s))
}

/// Open share with part of the holes blinded, f_o (1 - b).
pub fn open_share_left(open_share: f64, blinded: f64) -> f64 {
    open_share * (1.0 - blinded)
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula {
    name: "screen-pegging",
    meaning: "Share of the holes blinded by wedged grains after a time, and in the long run.",
    equation: "db/dt = c_p J (1 - b) - mu b",
    inputs: &[
        input("time", "time from a clean plate", Dimension::Time, "h", (0.0, 1e6)),
        input("pegging_rate", "c_p J: share of clean holes pegged per time", Dimension::PerTime, "1/h", (0.0, 1.0)),
        input("clearing_rate", "mu: share of pegged holes cleared per time", Dimension::PerTime, "1/h", (0.0, 1.0)),
    ],
    outputs: &[
        output("blinded", "blinded share after the time", Dimension::Fraction, "%"),
        output("in_the_long_run", "blinded share in the long run", Dimension::Fraction, "%"),
    ],
    source: "assumed here",
    status: Status::Assumed,
    limits: "constants not calibrated: count pegged holes on the own plate",
    evaluate: |x| vec![blinded_after(x[0], 1.0, x[1], x[2]), blinded_after(f64::MAX, 1.0, x[1], x[2])],
}];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_long_run_is_a_resting_point() {
        let b = blinded_after(1e9, 2.0, 1e-4, 3e-4);
        assert!(blinding_rate_1_s(b, 2.0, 1e-4, 3e-4).abs() < 1e-15);
        assert!((open_share_left(0.4, b) - 0.4 * 0.6).abs() < 1e-12);
        assert_eq!(blinded_after(1.0, 0.0, 0.0, 0.0), 0.0);
    }
}
