//! What a machine catches by its own test: a line through the tested sizes, moved as a whole by how far the test may be off.

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::entry::{input, number, result};
use sim_core::formula::{Formula, Symbol};
use sim_core::math::{exp, ln};
use sim_core::quantity::Dimension;

/// A share as near to all or nothing as a test can tell.
const NEAREST: f64 = 1.0e-6;

/// Share caught of grains of a size: straight between the tested sizes over the logarithm of the size, level outside them.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | d | size of the grain | m | > 0 |
/// | d_i, c_i | tested sizes, rising, and shares caught | m, - | d_i > 0, 0 to 1 |
///
/// Source: our choice. Level outside: a test says nothing of sizes that were not in it, and the stage warns where much gold is there.
pub fn tested_share(size_m: f64, tested: &[(f64, f64)]) -> f64 {
    let above = tested.iter().position(|(d, _)| *d >= size_m);
    match above {
        None => tested.last().map_or(0.0, |(_, c)| *c),
        Some(0) => tested.first().map_or(0.0, |(_, c)| *c),
        Some(i) => {
            let ((d0, c0), (d1, c1)) = (tested[i - 1], tested[i]);
            c0 + (c1 - c0) * (ln(size_m / d0) / ln(d1 / d0))
        }
    }
}

/// The share when the whole test is off, c' = 1/(1 + (1/c - 1) e^(-4 s)).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | c | share by the test | - | 0 to 1 |
/// | s | how far the test is off | - | -0.5 to 0.5 |
///
/// Where half is caught s moves the share by s, less towards all and nothing, and never past them: a machine that missed one grain in
/// a hundred is not made to catch more than all. Source: our choice (the logistic scale, whose slope at one half is a quarter).
pub fn moved_share(share: f64, off: f64) -> f64 {
    if share <= NEAREST || share >= 1.0 - NEAREST {
        return share.clamp(0.0, 1.0);
    }
    1.0 / (1.0 + (1.0 / share - 1.0) * exp(-4.0 * off))
}

const INPUTS: &[Symbol] = &[
    input("share", "share caught by the test", Dimension::Fraction, "%", (0.0, 1.0), Some(0.6)),
    number("off", "how far the test is off, as a share", (-0.5, 0.5), Some(0.1)),
];

/// Handbook entries.
pub(crate) static FORMULAS: [Formula; 1] = [Formula::new(
    "catch-table-moved",
    "Share caught when a whole test is off.",
    "c' = 1/(1 + (1/c - 1) e^(-4 s))",
    |x| vec![moved_share(x[0], x[1])],
)
.inputs(INPUTS)
.outputs(&[result("caught", "share caught")])
.source("our choice: a shift on the logistic scale, whose slope at one half is a quarter", Status::Assumed)
.limits("moves all sizes together; a second test tells more than this")];

/// Checks.
pub(crate) static CHECKS: [Check; 2] = [
    Check::new("catch-table-nothing-off", "catch table", || moved_share(0.37, 0.0))
        .against(Kind::Identity, "closed form: a test that is not off says what it says", Status::Computed)
        .value(0.37, "-")
        .within(Band::Absolute(1e-12)),
    Check::new("catch-table-middle-of-two", "catch table", || tested_share(0.4e-3, &[(0.1e-3, 0.2), (1.6e-3, 0.8)]))
        .against(
            Kind::Identity,
            "closed form: at the geometric mean of two tested sizes, the mean of their shares",
            Status::Computed,
        )
        .value(0.5, "-")
        .within(Band::Absolute(1e-12)),
];
