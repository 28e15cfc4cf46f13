//! Uneven feed: the sluice sees loads above and below the mean, and most of the gold comes with the heavy ones.
//!
//! The load l (solids / mean solids, water steady) is lognormal with mean 1. Gold comes with the solids, so a mean over
//! the gold weighs each load by itself. Weighting a lognormal by its own value only moves its logarithm up by s^2, so
//!
//! mean = integral of R(exp(s z + s^2/2)) phi(z) dz, s^2 = ln(1 + CV^2),
//!
//! and Gauss-Hermite nodes do the integral with weights that sum to 1 as they stand.

use sim_core::math::{exp, ln_1p};

/// Most nodes that [`load_nodes`] gives.
pub const MOST_NODES: usize = 7;

/// Largest CV at which five nodes are enough. Above it, seven: with fewer the recovery errs by a point or two at CV 0.6.
pub const FIVE_NODES_UP_TO_CV: f64 = 0.45;

// Nodes and weights of Gauss-Hermite quadrature for the standard normal density (weight e^(-z^2/2)/sqrt(2 pi)): the
// roots of the Hermite polynomials He5 and He7. Abramowitz & Stegun 1964 table 25.10 gives them for the weight e^(-x^2)
// (z = x sqrt 2); recomputed to 17 digits.
const NODES_5: [(f64, f64); 5] = [
    (-2.856_970_013_872_805_7, 0.011_257_411_327_720_689),
    (-1.355_626_179_974_265_9, 0.222_075_922_005_612_64),
    (0.0, 0.533_333_333_333_333_33),
    (1.355_626_179_974_265_9, 0.222_075_922_005_612_64),
    (2.856_970_013_872_805_7, 0.011_257_411_327_720_689),
];
const NODES_7: [(f64, f64); 7] = [
    (-3.750_439_717_725_742_3, 0.000_548_268_855_972_217_8),
    (-2.366_759_410_734_541_3, 0.030_757_123_967_586_497),
    (-1.154_405_394_739_968_1, 0.240_123_178_605_012_71),
    (0.0, 0.457_142_857_142_857_14),
    (1.154_405_394_739_968_1, 0.240_123_178_605_012_71),
    (2.366_759_410_734_541_3, 0.030_757_123_967_586_497),
    (3.750_439_717_725_742_3, 0.000_548_268_855_972_217_8),
];
const NODES_1: [(f64, f64); 1] = [(0.0, 1.0)];

/// One load and the share of the gold that comes with it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Load {
    /// Solids / mean solids [-].
    pub load: f64,
    /// Share of the gold (and of the solids) that comes at this load [-]; sums to 1.
    pub share: f64,
}

/// The loads that stand for an uneven feed.
#[derive(Debug, Clone, Copy)]
pub struct LoadNodes {
    nodes: [Load; MOST_NODES],
    count: usize,
}

impl LoadNodes {
    /// The loads, lightest first.
    pub fn as_slice(&self) -> &[Load] {
        self.nodes.get(..self.count).unwrap_or(&self.nodes)
    }
}

/// Loads of a lognormal feed of mean 1, weighted by solids.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | CV | standard deviation / mean of the solids load as felt at the sluice | - | 0.1-0.6, default 0.30 |
///
/// One node for an even feed (CV <= 0), five up to CV 0.45, seven above. Source: Gauss-Hermite quadrature (Abramowitz &
/// Stegun 1964, 25.4.46); a lognormal load is assumed. Above CV 0.6 seven nodes err by more than a tenth of a point.
pub fn load_nodes(load_cv: f64) -> LoadNodes {
    let table: &[(f64, f64)] = if !(load_cv > 0.0) {
        &NODES_1
    } else if load_cv <= FIVE_NODES_UP_TO_CV {
        &NODES_5
    } else {
        &NODES_7
    };
    let variance = ln_1p(load_cv.max(0.0) * load_cv.max(0.0));
    let s = variance.sqrt();
    let mut nodes = [Load::default(); MOST_NODES];
    for (node, &(z, weight)) in nodes.iter_mut().zip(table) {
        *node = Load { load: exp(s * z + 0.5 * variance), share: weight };
    }
    LoadNodes { nodes, count: table.len() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(cv: f64, power: f64) -> f64 {
        load_nodes(cv).as_slice().iter().map(|n| n.share * sim_core::math::pow(n.load, power)).sum()
    }

    #[test]
    fn identity_nodes_have_the_moments_of_a_load_weighted_lognormal() {
        for cv in [0.0, 0.1, 0.3, 0.45, 0.6] {
            // Weighted by load: mean of l^-1 is 1 (the plain weights), mean of l is 1 + CV^2.
            assert!((moment(cv, 0.0) - 1.0).abs() < 1e-15, "{cv}");
            assert!((moment(cv, -1.0) - 1.0).abs() < 1e-4, "{cv} {}", moment(cv, -1.0));
            assert!((moment(cv, 1.0) / (1.0 + cv * cv) - 1.0).abs() < 1e-4, "{cv}");
        }
    }

    #[test]
    fn identity_hermite_nodes_integrate_even_powers_of_a_normal_exactly() {
        for (table, degree) in [(&NODES_5[..], 8), (&NODES_7[..], 12)] {
            let (mut even, mut expected) = (2, 1.0);
            while even <= degree {
                expected *= f64::from(even - 1);
                let sum: f64 = table.iter().map(|&(z, w)| w * (0..even).fold(1.0, |p, _| p * z)).sum();
                assert!((sum / expected - 1.0).abs() < 1e-13, "{even}");
                even += 2;
            }
        }
    }
}
