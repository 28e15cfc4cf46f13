//! How wrong the settling laws may be: the factor exp(m + sigma N(0,1)) on the fall velocity.
//!
//! One draw per trial and material, not per grain: the law is wrong for all grains together. Corey factor, density and
//! temperature are separate inputs. In the sluice the contact efficiency already carries this error: do not apply it twice.

use super::entry::{input, output};
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::math;
use washgraph_units::quantity::Dimension;

/// Error of a fall velocity: ln(true/law) is normal with this mean and standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModelError {
    /// Mean of ln(true/law) [-].
    pub mean: f64,
    /// Standard deviation of ln(true/law) [-].
    pub sigma: f64,
}

impl ModelError {
    /// Factor on the fall velocity for a standard normal draw z.
    pub fn factor(&self, z: f64) -> f64 {
        math::exp(self.mean + self.sigma * z)
    }
}

/// Natural gravel and sand under Ferguson-Church: their authors' rms error is 6 to 9 %.
pub const GRAVEL_AND_SAND: ModelError = ModelError { mean: 0.0, sigma: 0.10 };

/// Natural magnetite, ilmenite and garnet under Ferguson-Church (assumed: not decided by data).
pub const BLACK_SAND: ModelError = ModelError { mean: 0.0, sigma: 0.16 };

/// Whether elongation and volume coefficient are drawn apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrainProportions {
    /// e and c are uncertain inputs of their own: the error is that of the drag law alone.
    Drawn,
    /// e and c stay at their defaults: the error includes their ranges.
    Fixed,
}

// Spread of the gold law for flakes that fall steadily, Re_D < 100: laws agree within 0.10; c in 1..1.5 gives 0.08 and e in
// 0.6..0.9 gives 0.07. Computed from the comparison of three drag laws.
const SIGMA_STEADY_DRAWN: f64 = 0.10;
const SIGMA_STEADY_FIXED: f64 = 0.16;
// Flakes that tumble, Re_D > 100: faster than the law and less sure. From one datum, a steel plate (Richardson and Zaki 1954).
const SIGMA_TUMBLING_FIXED: f64 = 0.25;
const MEAN_TUMBLING: f64 = 0.10;
// Centre and steepness of the passage. Re_D = 100 is where flutter begins (Willmarth 1964, from memory); the steepness is
// assumed: 10 % to 90 % between Re_D 33 and 300.
const PASSAGE_REYNOLDS: f64 = 100.0;
const PASSAGE_POWER: f64 = 2.0;

/// Error of the gold law for flakes at a broadside Reynolds number.
///
/// t = 1/(1 + (100/Re_D)^2), m = 0.10 t, sigma = sigma_steady + (sigma_tumbling - sigma_steady) t
///
/// | | steady | tumbling |
/// |---|---|---|
/// | proportions fixed | 0.16 | 0.25 |
/// | proportions drawn | 0.10 | sqrt(0.25^2 - 0.16^2 + 0.10^2) = 0.217 |
///
/// Assumed values (see the constants). A step at Re_D = 100 would show in the recovery curve; this passes smoothly. With the
/// proportions drawn, their share 0.16^2 - 0.10^2 is taken off the variance at both ends, so that it is not counted twice.
pub fn gold_flake(reynolds_broadside: f64, proportions: GrainProportions) -> ModelError {
    let shared = SIGMA_STEADY_FIXED * SIGMA_STEADY_FIXED - SIGMA_STEADY_DRAWN * SIGMA_STEADY_DRAWN;
    let (steady, tumbling) = match proportions {
        GrainProportions::Fixed => (SIGMA_STEADY_FIXED, SIGMA_TUMBLING_FIXED),
        GrainProportions::Drawn => (SIGMA_STEADY_DRAWN, (SIGMA_TUMBLING_FIXED * SIGMA_TUMBLING_FIXED - shared).sqrt()),
    };
    let t = 1.0 / (1.0 + math::pow(PASSAGE_REYNOLDS / reynolds_broadside, PASSAGE_POWER));
    ModelError { mean: MEAN_TUMBLING * t, sigma: steady + (tumbling - steady) * t }
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "settling-gold-error",
    "How wrong the gold law may be: mean and spread of ln(true/law), elongation and \
    volume coefficient at their defaults",
    "t = 1/(1 + (100/Re_D)^2); m = 0.10 t; sigma = 0.16 + 0.09 t",
    |x| {
        let error = gold_flake(x[0], GrainProportions::Fixed);
        vec![error.mean, error.sigma]
    },
)
.inputs(&[input(
    "reynolds_broadside",
    "Reynolds number on the broadside diameter",
    Dimension::Number,
    "-",
    (0.0, 1e6),
    None,
)])
.outputs(&[
    output("mean", "mean of ln(true/law)", Dimension::Number, "-"),
    output("sigma", "standard deviation of ln(true/law)", Dimension::Number, "-"),
])
.source("assumed here, from the spread of three drag laws and one falling plate", Status::Assumed)
.limits("flakes; one draw per trial, not per grain")];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_ends_and_middle_of_the_passage() {
        let slow = gold_flake(1e-9, GrainProportions::Fixed);
        assert!(slow.mean.abs() < 1e-9 && (slow.sigma - 0.16).abs() < 1e-9);
        let fast = gold_flake(1e9, GrainProportions::Fixed);
        assert!((fast.mean - 0.10).abs() < 1e-9 && (fast.sigma - 0.25).abs() < 1e-9);
        let drawn = gold_flake(1e9, GrainProportions::Drawn);
        assert!((drawn.sigma - 0.0469f64.sqrt()).abs() < 1e-6);
        assert!((gold_flake(100.0, GrainProportions::Fixed).mean - 0.05).abs() < 1e-12);
        assert_eq!(GRAVEL_AND_SAND.factor(0.0), 1.0);
        // At rest: no error of a fall that does not happen, and no NaN.
        assert_eq!(gold_flake(0.0, GrainProportions::Fixed).mean, 0.0);
    }
}
