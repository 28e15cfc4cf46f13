//! Clay share and lump size from lumps picked off the sieves.

use super::sieve_test::SieveTest;
use washgraph_stats::{Spread, SpreadError};
use washgraph_units::math::{exp, ln};

/// Density of a clay lump, kg/m3 dry; assumed.
const LUMP_KG_M3: f64 = 1700.0;
/// Least spread of the logarithm of a clay share from sieves. Assumed: lumps break when they are handled.
const LEAST_LN_SD: f64 = 0.25;
/// Spread of the logarithm of the median lump size from day to day. Assumed.
const SIZE_LN_SD: f64 = 0.4;

/// What the lumps say.
#[derive(Debug, Clone)]
pub struct ClayKnown {
    /// Clay lumps over all dry mass.
    pub share: f64,
    /// Spread of the logarithm of the share.
    pub share_ln_sd: f64,
    /// Median size of the lumps by mass, m.
    pub median_m: f64,
    /// Lumps that it rests on, about.
    pub lumps: f64,
}

impl ClayKnown {
    /// Share as an uncertain input.
    pub fn share_spread(&self) -> Result<Spread, SpreadError> {
        Spread::log_normal_within(self.share, self.share_ln_sd, 1e-5, 0.6)
    }
    /// Median size as an uncertain input.
    pub fn size_spread(&self) -> Result<Spread, SpreadError> {
        Spread::log_normal(self.median_m, SIZE_LN_SD)
    }
}

/// Share and size over all tests; `None` when no lumps were weighed.
///
/// A lump that stays on a sieve is taken as 1.2 times its opening (middle of a step of 1.4, assumed). The relative variance
/// of the share is 1 over the number of lumps of the mass-weighted mean mass, as for colours of mixed mass.
pub fn known(tests: &[SieveTest]) -> Option<ClayKnown> {
    let solids: f64 = tests.iter().map(|t| t.sample_kg).sum();
    let lumps: Vec<(f64, f64)> = tests.iter().flat_map(|t| t.lumps.iter().copied()).collect();
    let clay: f64 = lumps.iter().map(|l| l.1).sum();
    if !(clay > 0.0) {
        return None;
    }
    let mass_of = |size: f64| std::f64::consts::PI / 6.0 * LUMP_KG_M3 * size * size * size;
    let mean_ln = lumps.iter().map(|(size, kg)| kg * ln(1.2 * size)).sum::<f64>() / clay;
    let weighted_kg = lumps.iter().map(|(size, kg)| kg * mass_of(1.2 * size)).sum::<f64>() / clay;
    let count = clay / weighted_kg;
    Some(ClayKnown {
        share: clay / (solids + clay),
        share_ln_sd: (1.0 / count + LEAST_LN_SD * LEAST_LN_SD).sqrt().min(1.0),
        median_m: exp(mean_ln),
        lumps: count,
    })
}
