//! What a colour of each class weighs, and what the weights say of its shape.
//!
//! Before anything is weighed the mass follows from the assumed shape (sieve size to nominal diameter). Colours that were
//! counted and weighed together correct it: a common shift of all classes (shape), and each class beside it.

use washgraph_physics::particle::gold::SettlingTable;
use washgraph_physics::particle::shape::{
    Proportions, corey_from_nominal_over_sieve, default_corey, nominal_from_weight_m,
};
use washgraph_physics::particle::water::WaterState;
use washgraph_physics::size::ByGold;
use washgraph_physics::size::{GOLD_CLASSES, gold_class};
use washgraph_units::math::{exp, ln};

/// Spread of the logarithm of grain mass that the assumed shape leaves open for all classes together. Assumed: flaky gold
/// weighs less than half of what old counts to the ounce say of chunky gold.
pub const SHAPE_LN_SD: f64 = 0.5;
/// The same for one class beside the others. Assumed: flatness changes with size.
pub const CLASS_LN_SD: f64 = 0.4;
/// Spread of the logarithm of the mass of single grains within a class. Computed for a sieve step of the square root of two
/// (0.3) with shapes that differ from grain to grain (assumed 0.5).
pub const GRAIN_LN_SD: f64 = 0.6;
/// Relative change of flatness per relative change of grain mass, from dn/A 1.002 at a Corey factor of 0.2 to 1.113 at 0.3.
const FLATNESS_PER_MASS: f64 = 1.29;
/// Colours weighed together below which the shape is not taken from them.
const ENOUGH_COLOURS: f64 = 20.0;

/// Grain masses with what is not known of them.
#[derive(Debug, Clone)]
pub struct GrainWeights {
    /// Mean mass of a colour by class, kg.
    pub kg: ByGold,
    /// Standard deviation of its logarithm in this class alone.
    pub ln_sd: ByGold,
    /// How far a class follows the common shift: 1 when it was not weighed, near 0 when its own weights are many.
    pub follows: ByGold,
    /// Standard deviation of the logarithm of the common shift.
    pub common_ln_sd: f64,
    /// Factor on the flatness that the weights ask for, with the spread of its logarithm; `None` when too few were weighed.
    pub flatness: Option<(f64, f64)>,
}

/// Mean grain mass by class of the assumed shape, kg.
pub fn assumed_kg(settling: &SettlingTable, gold_kg_m3: f64) -> ByGold {
    let water = WaterState::clean(10.0);
    std::array::from_fn(|g| {
        let size = gold_class(g).middle_m;
        let nominal_m = settling.gold_velocity(size, default_corey(size), gold_kg_m3, &water).nominal_m;
        std::f64::consts::PI / 6.0 * gold_kg_m3 * nominal_m * nominal_m * nominal_m
    })
}

/// Corrects the assumed masses by colours counted and weighed together.
///
/// With r_j = ln(measured/assumed) of class j, variance v_j = c^2 + s^2/n_j (c class beside the others, s single grains):
/// common shift d ~ Normal(0, S^2) updated by all r_j; class shift beside it Normal(0, c^2) updated by its own r_j. Normal
/// updates (standard).
pub fn from_weights(assumed: &ByGold, colours: &ByGold, weight_kg: &ByGold, gold_kg_m3: f64) -> GrainWeights {
    let ratio: [Option<(f64, f64)>; GOLD_CLASSES] = std::array::from_fn(|g| {
        (colours[g] > 0.05 && weight_kg[g] > 0.0)
            .then(|| (ln(weight_kg[g] / colours[g] / assumed[g]), GRAIN_LN_SD * GRAIN_LN_SD / colours[g]))
    });
    let (mut precision, mut sum) = (1.0 / (SHAPE_LN_SD * SHAPE_LN_SD), 0.0);
    for (r, grains) in ratio.iter().flatten() {
        let w = 1.0 / (CLASS_LN_SD * CLASS_LN_SD + grains);
        precision += w;
        sum += w * r;
    }
    let common = sum / precision;
    let mut kg = *assumed;
    let mut ln_sd = [CLASS_LN_SD; GOLD_CLASSES];
    let mut follows = [1.0; GOLD_CLASSES];
    for g in 0..GOLD_CLASSES {
        let (mut p, mut s) = (1.0 / (CLASS_LN_SD * CLASS_LN_SD), 0.0);
        if let Some((r, grains)) = ratio[g] {
            p += 1.0 / grains;
            s += (r - common) / grains;
        }
        kg[g] *= exp(common + s / p);
        ln_sd[g] = 1.0 / p.sqrt();
        follows[g] = 1.0 / (CLASS_LN_SD * CLASS_LN_SD) / p;
    }
    let weighed: f64 = colours.iter().sum();
    let flatness = (weighed >= ENOUGH_COLOURS && weight_kg.iter().sum::<f64>() > 0.0)
        .then(|| flatness_of(colours, weight_kg, gold_kg_m3, precision));
    GrainWeights { kg, ln_sd, follows, common_ln_sd: 1.0 / precision.sqrt(), flatness }
}

/// Flatness of the weighed colours over the assumed one: weighted mean of the logarithms, classes by their colours.
fn flatness_of(colours: &ByGold, weight_kg: &ByGold, gold_kg_m3: f64, precision: f64) -> (f64, f64) {
    let (mut weights, mut sum) = (0.0, 0.0);
    for g in 0..GOLD_CLASSES {
        if !(colours[g] > 0.05 && weight_kg[g] > 0.0) {
            continue;
        }
        let size = gold_class(g).middle_m;
        let nominal = nominal_from_weight_m(weight_kg[g], colours[g], gold_kg_m3) / size;
        let default = default_corey(size);
        // Heavier than any shape of these proportions: as thick as they come.
        let corey = corey_from_nominal_over_sieve(nominal, Proportions::default()).unwrap_or(0.6);
        let w = 1.0 / (CLASS_LN_SD * CLASS_LN_SD + GRAIN_LN_SD * GRAIN_LN_SD / colours[g]);
        weights += w;
        sum += w * ln(corey.max(0.02) / default);
    }
    (exp(sum / weights), (FLATNESS_PER_MASS / precision.sqrt()).max(0.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_weights_of_the_assumed_shape_change_nothing() {
        let assumed = assumed_kg(&SettlingTable::new(), 17_000.0);
        let colours: ByGold = std::array::from_fn(|g| if (8..16).contains(&g) { 50.0 } else { 0.0 });
        let weight: ByGold = std::array::from_fn(|g| colours[g] * assumed[g]);
        let w = from_weights(&assumed, &colours, &weight, 17_000.0);
        for (found, assumed) in w.kg.iter().zip(&assumed) {
            assert!((found / assumed - 1.0).abs() < 1e-12);
        }
        let (factor, sd) = w.flatness.unwrap();
        assert!((factor - 1.0).abs() < 0.01 && sd < 0.3, "{factor} {sd}");
        let lighter = weight.map(|x| 0.6 * x);
        assert!(from_weights(&assumed, &colours, &lighter, 17_000.0).flatness.unwrap().0 < 0.85);
    }
}
