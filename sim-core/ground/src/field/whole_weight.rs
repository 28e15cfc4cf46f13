//! Gold weighed as a whole, without sieves, and how likely a grade makes its weight.

use washgraph_units::math::{ln, ln_gamma};

/// Gold of samples that was weighed as a whole, without sieves, thrown together.
///
/// The weight W of volume V of ground of grade G is a sum of grains of many sizes (compound Poisson): mean G V, relative
/// variance m_w/(G V), m_w the mean mass of a grain by mass. Taken as gamma distributed with that mean and variance, to
/// which the scale and, on the grid, what is not known of classes and grain masses given the curve are added:
///
/// ```text
/// r^2 = m_w/(G V) + s^2 [ + sum w_j^2 (1/(k + n_j) + c_j^2) + c^2 ]     density ~ Gamma(shape 1/r^2, mean G V) at W
/// ```
/// w_j share of class j by mass, c_j and c the errors of its grain mass and of all of them, s = 3 % (assumed). Volumes may be
/// thrown together because gammas of one scale (m_w) add up to a gamma. The gamma for the compound Poisson is exact in mean
/// and variance, and for grains with an exponential spread of masses near enough in the tails; it is poor where less than one
/// grain is expected. The size of the gold follows from the other samples and from what is usual.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Whole {
    /// Loose ground, m3; 0 for none.
    pub volume_m3: f64,
    /// Raw gold, kg.
    pub gold_kg: f64,
}

/// Relative error of weighing the gold of a sample. Assumed.
const SCALE_ERROR: f64 = 0.03;

impl Whole {
    /// Logarithm of the likelihood of the weight, up to a constant.
    pub(super) fn ln_likelihood(&self, grade_kg_m3: f64, grain_by_mass_kg: f64, more_variance: f64) -> f64 {
        let mean = grade_kg_m3 * self.volume_m3;
        if !(mean > 0.0) {
            return f64::NEG_INFINITY;
        }
        let a = 1.0 / (grain_by_mass_kg / mean + SCALE_ERROR * SCALE_ERROR + more_variance);
        a * ln(a / mean) + (a - 1.0) * ln(self.gold_kg) - a * self.gold_kg / mean - ln_gamma(a)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_weight_of_equal_grains_is_as_likely_as_their_count() {
        // Grains of one mass, many of them: the gamma is the normal of the count within a few percent.
        let whole = Whole { volume_m3: 1.0, gold_kg: 400e-9 };
        let at = |grade: f64| whole.ln_likelihood(grade, 1e-9, -SCALE_ERROR * SCALE_ERROR);
        let poisson = |mean: f64| 400.0 * ln(mean) - mean;
        let (gamma, count) = (at(420e-9) - at(400e-9), poisson(420.0) - poisson(400.0));
        assert!((gamma - count).abs() < 0.1 * count.abs(), "{gamma} {count}");
    }
}
