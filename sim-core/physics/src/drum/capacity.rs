//! What a drum can carry, and what an uneven feed spills at its feed end.

use core::f64::consts::SQRT_2;

use super::error::DrumError;
use super::march::{BedDepths, March, Start};
use super::section::{Carried, Drum, Section};
use super::symbol::{input, input_or, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::math::{erfc, ln, ln_1p, pow};
use washgraph_units::quantity::Dimension;

/// Exponent of feed-end depth on feed, good enough to start the search. Computed on the worked example.
const DEPTH_EXPONENT: f64 = 0.7;
/// A drum whose capacity is more than this many times the feed spills next to nothing; it is not searched further.
const AMPLE: f64 = 3.0;
/// The bed counts as over the axis from this share of the radius, where the depth law ends.
const AXIS_SHARE: f64 = 0.95;
/// Relative error of the capacity at which the search stops.
const CLOSE_ENOUGH: f64 = 1e-3;
/// The same once the slope is that of a secant: the step itself may be larger, since what is left after it is the step
/// times the change of slope, some percent of it.
const CLOSE_ENOUGH_BY_SECANT: f64 = 0.03;
/// Most solutions spent on one search.
const MOST_SOLUTIONS: usize = 12;

/// Capacity of a drum over its present feed, whose bed is `now`.
///
/// The largest feed of the same make-up whose bed stays below the edge of the feed opening and below the axis. Found by a
/// secant on log(depth over limit) against log(feed), from depth ~ feed^0.7. Where the first estimate is above 3 it is
/// returned as it is (the spill there is below 1e-4). A drum whose rings alone raise the bed over the limit has a capacity
/// near 0: the search ends at a thousandth of the feed.
///
/// `march` must come with the solution of the feed itself ([`March::bed`]); each probe takes `rounds` rounds from the probe
/// before. With none it takes the depth alone, over the flow put by with [`March::keep`] and brought to its feed: two to four
/// times as fast, the capacity within some tenths of a percent. `march` is left at the feed of the last probe.
pub fn capacity_over_feed(
    march: &mut March,
    drum: &Drum,
    sections: &[&dyn Section],
    carried: &Carried<'_>,
    rounds: usize,
    now: BedDepths,
) -> Result<f64, DrumError> {
    // Log of the worst depth over its limit; None where the bed ran over the axis.
    let opening_m = drum.feed_opening_depth_m.min(AXIS_SHARE * drum.radius_m());
    let axis_m = AXIS_SHARE * drum.radius_m();
    let of = |bed: BedDepths| {
        let worst = (bed.feed_end_m / opening_m).max(bed.greatest_m / axis_m);
        if bed.overloaded { None } else { Some(ln(worst.max(1e-12))) }
    };
    let start = if rounds == 0 { Start::Kept } else { Start::Here };
    let mut load = |scale: f64| march.bed(drum, sections, carried, rounds, start, scale).map(of);
    let mut at_here = of(now);
    let mut here = 1.0;
    let mut spent = 0;
    // A bed over the axis has no depth to go by: halve until it has.
    while at_here.is_none() && spent < MOST_SOLUTIONS {
        here *= 0.5;
        at_here = load(here)?;
        spent += 1;
    }
    let Some(mut load_here) = at_here else {
        return Ok(here);
    };
    let mut slope = DEPTH_EXPONENT;
    let mut close_enough = CLOSE_ENOUGH;
    let mut too_much = f64::INFINITY;
    while spent < MOST_SOLUTIONS && here > 1e-3 {
        let mut next = here * washgraph_units::math::exp(-load_here / slope);
        if here == 1.0 && next > AMPLE {
            return Ok(next);
        }
        if next >= too_much {
            next = (here * too_much).sqrt();
        }
        if (next / here - 1.0).abs() < close_enough {
            return Ok(next);
        }
        spent += 1;
        match load(next)? {
            None => too_much = too_much.min(next),
            Some(load_next) => {
                let found = (load_next - load_here) / ln(next / here);
                // Rings make the depth nearly independent of the feed; a flat secant would throw the search far off.
                let sound = found > 0.05 && found < 5.0;
                slope = if sound { found } else { DEPTH_EXPONENT };
                close_enough = if sound { CLOSE_ENOUGH_BY_SECANT } else { CLOSE_ENOUGH };
                here = next;
                load_here = load_next;
            }
        }
    }
    Ok(here.max(1e-3))
}

/// Share of an uneven feed that a drum spills at its feed end.
///
/// s^2 = ln(1 + CV^2); d1 = (s^2/2 - ln k)/s; share = Phi_N(d1) - k Phi_N(d1 - s)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | k | capacity over mean feed | - | > 0 |
/// | CV | coefficient of variation of the feed | - | 0 to 1.5 |
/// | Phi_N | cumulative normal distribution | - | |
///
/// Expected excess of a lognormal feed over the capacity; derived here (the same integral prices a call option). All sizes
/// spill alike. The drum is taken to follow the feed at once, so short surges are overrated. CV = 0 gives max(0, 1 - k).
///
/// ```
/// let share = washgraph_physics::drum::capacity::spilled_share(1.0, 0.3);
/// assert!((share - 0.12).abs() < 0.005);
/// ```
pub fn spilled_share(capacity_over_feed: f64, variation: f64) -> f64 {
    if !(capacity_over_feed > 0.0) {
        return 1.0;
    }
    let s = ln_1p(variation * variation).sqrt();
    if s < 1e-9 {
        return (1.0 - capacity_over_feed).max(0.0);
    }
    let d1 = (0.5 * s * s - ln(capacity_over_feed)) / s;
    let normal = |x: f64| 0.5 * erfc(-x / SQRT_2);
    (normal(d1) - capacity_over_feed * normal(d1 - s)).max(0.0)
}

/// First estimate of capacity over feed from the feed-end depth alone, (h_limit/h)^(1/0.7).
///
/// Source: power law of the worked example, computed. Good to some 20 % within a factor of 3.
pub fn rough_capacity_over_feed(feed_end_depth_m: f64, limit_m: f64) -> f64 {
    pow(limit_m / feed_end_depth_m, 1.0 / DEPTH_EXPONENT)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "drum-feed-spill",
    "Share of an uneven feed that spills at the feed end of a drum near its capacity.",
    "s^2 = ln(1 + CV^2); d1 = (s^2/2 - ln k)/s; share = Phi_N(d1) - k Phi_N(d1 - s)",
    |x| vec![spilled_share(x[0], x[1])],
)
.inputs(&[
    input("capacity_ratio", "capacity over mean feed, k", Dimension::Number, "-", (0.01, 20.0)),
    input_or("variation", "coefficient of variation of the feed", Dimension::Fraction, "%", (0.0, 1.5), 0.3)
        .possible((0.0, 10.0)),
])
.outputs(&[output("spilled", "share of the feed that spills", Dimension::Fraction, "%")])
.source("expected excess of a lognormal feed, derived here", Status::Computed)
.limits("the drum is taken to follow the feed at once")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    spill_check("drum-spill-k-1p25", 4.0, || 100.0 * spilled_share(1.25, 0.3)),
    spill_check("drum-spill-k-1p1", 8.0, || 100.0 * spilled_share(1.1, 0.3)),
    spill_check("drum-spill-k-1", 12.0, || 100.0 * spilled_share(1.0, 0.3)),
    spill_check("drum-spill-k-0p9", 17.0, || 100.0 * spilled_share(0.9, 0.3)),
];

const fn spill_check(id: &'static str, percent: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "lognormal feed against capacity", computed)
        .against(
            Kind::Identity,
            "closed form, coefficient of variation 0.3, rounded to whole percent",
            Status::Computed,
        )
        .value(percent, "%")
        .within(Band::Absolute(0.6))
}
