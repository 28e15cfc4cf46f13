//! Measures of how well a screen works.

use sim_core::check::Status;
#[cfg(test)]
use sim_core::drum::ClassEdges;
use sim_core::formula::Formula;
use sim_core::quantity::Dimension;

use sim_core::formula::symbol::{input, output};

/// Undersize recovery from sieve tests, E_u = 100 (f - o)/\[f (100 - o)\] as a share.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | f | undersize in the feed | share | 0 < f <= 1 |
/// | o | undersize in the oversize | share | 0 to f |
///
/// Source: Wills; Taggart, from memory: mass balance with a clean undersize.
pub fn undersize_recovery_from_tests(feed_share: f64, oversize_share: f64) -> f64 {
    (feed_share - oversize_share) / (feed_share * (1.0 - oversize_share))
}

/// Undersize recovery by the nominal hole from flows by size point: passed over fed below the hole.
///
/// A point that straddles the hole counts by its share below it in log size; counting whole classes would make the figure
/// jump as the hole grows. NaN when nothing fed is smaller than the hole. The slices are of one length, edges in m.
#[cfg(test)]
pub(crate) fn undersize_recovery(
    low_m: &[f64],
    high_m: &[f64],
    fed_kg_s: &[f64],
    left_kg_s: &[f64],
    hole_m: f64,
) -> f64 {
    let (mut below, mut passed) = (0.0, 0.0);
    for (((&from_m, &to_m), fed), left) in low_m.iter().zip(high_m).zip(fed_kg_s).zip(left_kg_s) {
        below += fed * ClassEdges { from_m, to_m }.share_below(hole_m);
        passed += fed - left;
    }
    passed / below
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "screen-efficiency-from-tests",
    "Undersize recovery of a screen from sieve tests of feed and oversize.",
    "E_u = (f - o)/[f (1 - o)]",
    |x| vec![undersize_recovery_from_tests(x[0], x[1])],
)
.inputs(&[
    input("feed_undersize", "share of undersize in the feed", Dimension::Fraction, "%", (0.001, 1.0)),
    input("oversize_undersize", "share of undersize in the oversize", Dimension::Fraction, "%", (0.0, 1.0)),
])
.outputs(&[output("efficiency", "share of the undersize that passed", Dimension::Fraction, "%")])
.source("Wills; Taggart", Status::Memory)
.limits("nothing coarser than the hole in the undersize")];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_both_measures_agree_on_a_clean_split() {
        let (fed, left) = ([4.0, 6.0], [1.0, 6.0]);
        let e = undersize_recovery(&[0.001, 0.01], &[0.01, 0.1], &fed, &left, 0.01);
        assert!((e - 0.75).abs() < 1e-15);
        assert!((undersize_recovery_from_tests(0.4, 1.0 / 7.0) - e).abs() < 1e-15);
    }
}
