//! Factors that keep the model honest outside its calibration: rock that sticks out of the water, a starved box, and a
//! bypass that nuggets do not share. (Thick slurry is in [`crate::packing`].)
//!
//! Without them the model says that an ever wider, thinner box always wins and that 4 % of the nuggets go over the end.
//! All are assumed, have ranges, and are off in the check values of the fitted model.

use crate::flow::{Channel, normal_depth_m};
use crate::symbols as s;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::constants::{FOOT_M, US_GALLON_M3};
use sim_core::formula::Formula;
use sim_core::quantity::Dimension as D;

/// Published minimum water per width over 6 mm expanded metal [m2/s]: 2400 L/min per m.
/// Source: web article on sluice sizing quoting Poling 1989 and Clarkson 1990 (seen).
pub const MINIMUM_FLOW_EXPANDED_METAL_M2_S: f64 = 0.040;
/// Published minimum water per width over 1 in (25 mm) angle iron [m2/s]: 4800 L/min per m. Same source.
pub const MINIMUM_FLOW_ANGLE_IRON_M2_S: f64 = 0.080;
const EXPANDED_METAL_HEIGHT_M: f64 = 0.006;
const ANGLE_IRON_HEIGHT_M: f64 = 0.025;

/// Published minimum flow per width, drawn straight between (and past) its two points.
///
/// q_min = 0.040 + 0.040 (h_r - 6 mm)/(25 mm - 6 mm) m2/s
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | h_r | riffle height | m | 0.004-0.032 |
///
/// Source: web article on sluice sizing quoting Poling 1989 and Clarkson 1990 (seen); the straight line is assumed. The
/// source means water; here it is compared with slurry, about 8 % more at rated feed.
pub fn minimum_flow_m2_s(riffle_height_m: f64) -> f64 {
    let per_height = (MINIMUM_FLOW_ANGLE_IRON_M2_S - MINIMUM_FLOW_EXPANDED_METAL_M2_S)
        / (ANGLE_IRON_HEIGHT_M - EXPANDED_METAL_HEIGHT_M);
    MINIMUM_FLOW_EXPANDED_METAL_M2_S + per_height * (riffle_height_m - EXPANDED_METAL_HEIGHT_M)
}

/// Depth below which the box does not work as one stream any more.
///
/// D_c = \[(r_c D_98)^32 + (r_m h_min)^32\]^(1/32)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | D_98 | 98 % passing size of the sluice feed | m | 0.006-0.04 |
/// | r_c | share of it that must be covered | - | 0.4-0.9, default 0.6 |
/// | h_min | normal depth at [`minimum_flow_m2_s`] | m | |
/// | r_m | share of it | - | 0.5 |
///
/// Source: assumed: the larger of the two, blended where they are within a tenth of each other (2 % more where they are
/// alike), so that no corner stands in the results as the holes grow.
#[inline]
pub fn critical_cover_m(cover_share: f64, d98_m: f64, starved_share: f64, minimum_depth_m: f64) -> f64 {
    let (rock, water) = (cover_share * d98_m, starved_share * minimum_depth_m);
    let most = rock.max(water);
    if !(most > 0.0) {
        return most;
    }
    // Over the larger, so that the power keeps its digits.
    let less = rock.min(water) / most;
    let squared = |x: f64| x * x;
    let to_the_32 = squared(squared(squared(squared(squared(less)))));
    most * (1.0 + to_the_32).sqrt().sqrt().sqrt().sqrt().sqrt()
}

/// Cap on the recovery when rock sticks out of the stream or the box is starved; booked under packed riffles.
///
/// A_c = 1/(1 + (D_c/h)^8), and R = A_c (1 - b)(1 - e^(-K L))
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | D_c | [`critical_cover_m`] | m | |
/// | h | depth | m | > 0 |
///
/// It caps the recovery and not the rate K: K L grows with the width of the box and would hide it. Source: assumed.
/// D_c = 0 switches it off; no depth gives 0.
#[inline]
pub fn cover_factor(critical_cover_m: f64, depth_m: f64) -> f64 {
    let r = critical_cover_m / depth_m;
    let r2 = r * r;
    let r4 = r2 * r2;
    1.0 / (1.0 + r4 * r4)
}

/// Share of a class that splash and surge carry over the box.
///
/// b(d) = b/(1 + (d/d_b)^2)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | b | bypass of the finest gold | - | 0.01-0.10 |
/// | d | sieve size of the gold | m | > 0 |
/// | d_b | size at which it is halved | m | 4 mm |
///
/// Source: assumed: nuggets do not splash. An infinite d_b gives b for all sizes.
#[inline]
pub fn bypass_of_size(bypass: f64, sieve_m: f64, half_size_m: f64) -> f64 {
    let r = sieve_m / half_size_m;
    bypass / (1.0 + r * r)
}

fn calculate_cover(inputs: &[f64]) -> Vec<f64> {
    let [depth, d98, slope, riffle, ratio, share, starved] = *inputs else {
        return vec![f64::NAN; 3];
    };
    let channel = Channel {
        slope,
        roughness_m: crate::flow::roughness_m(ratio, riffle),
        gravity_m_s2: sim_core::constants::STANDARD_GRAVITY_M_S2,
        von_karman: sim_core::constants::VON_KARMAN,
    };
    let minimum = normal_depth_m(minimum_flow_m2_s(riffle), &channel);
    let critical = critical_cover_m(share, d98, starved, minimum);
    vec![cover_factor(critical, depth), critical, minimum]
}

fn calculate_bypass(inputs: &[f64]) -> Vec<f64> {
    let [b, size, half] = *inputs else {
        return vec![f64::NAN];
    };
    vec![bypass_of_size(b, size, half)]
}

fn calculate_minimum(inputs: &[f64]) -> Vec<f64> {
    let [riffle] = *inputs else {
        return vec![f64::NAN];
    };
    vec![minimum_flow_m2_s(riffle)]
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "sluice-minimum-flow",
        "Published minimum water per width of sluice for a riffle height.",
        "q_min = 40 L/s/m + 40 L/s/m x (h_r - 6 mm)/(25 mm - 6 mm)",
        calculate_minimum,
    )
    .inputs(&[s::RIFFLE_HEIGHT])
    .outputs(&[s::output("flow_per_width", "minimum flow per width", D::FlowPerWidth, "L/s/m")])
    .source(
        "web article on sluice sizing quoting Poling 1989 and Clarkson 1990 (two points); straight line assumed",
        Status::Seen,
    )
    .limits("two published points: 6 mm expanded metal and 25 mm angle iron"),
    Formula::new(
        "sluice-cover-factor",
        "Share of the catch left when rock sticks out of the stream or the box is starved of water.",
        "A_c = 1/(1 + (D_c/h)^8), D_c^32 = (r_c D_98)^32 + (r_m h_min)^32",
        calculate_cover,
    )
    .inputs(&[
        s::DEPTH,
        s::symbol("d98", "98 % passing size of the sluice feed", D::SieveSize, "mm", (0.006, 0.040), Some(0.019)),
        s::SLOPE,
        s::RIFFLE_HEIGHT,
        s::ROUGHNESS_RATIO,
        s::symbol("cover_share", "share r_c of D_98", D::Fraction, "-", (0.4, 0.9), Some(0.6)),
        s::symbol("starved_share", "share r_m of the minimum depth", D::Fraction, "-", (0.0, 1.0), Some(0.5)),
    ])
    .outputs(&[
        s::output("cover_factor", "share of the catch left", D::Number, "-"),
        s::output("critical_depth", "depth at which half is lost", D::Length, "mm"),
        s::output("minimum_depth", "depth at the published minimum flow", D::Length, "mm"),
    ])
    .source("assumed here", Status::Assumed)
    .limits("keeps an ever wider, thinner box from always winning; not measured"),
    Formula::new(
        "sluice-bypass-by-size",
        "Share of a gold size that splash and surge carry over the box.",
        "b(d) = b/(1 + (d/d_b)^2)",
        calculate_bypass,
    )
    .inputs(&[
        s::symbol("bypass", "bypass of the finest gold", D::Fraction, "%", (0.0, 0.10), Some(0.04)),
        s::GOLD_SIZE,
        s::symbol("half_size", "size at which it is halved", D::SieveSize, "mm", (1e-3, 10e-3), Some(4e-3)),
    ])
    .outputs(&[s::output("bypass_of_size", "bypass at this size", D::Fraction, "%")])
    .source("assumed here", Status::Assumed),
];

const fn unit_check(
    id: &'static str,
    source: &'static str,
    published: f64,
    unit: &'static str,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, "sluice minimum flow", computed)
        .against(Kind::Identity, source, Status::Computed)
        .value(published, unit)
        .within(Band::Relative(0.01))
}

/// Imperial gallon [m3]: 4.54609 L, exact.
const IMPERIAL_GALLON_M3: f64 = 4.546_09e-3;

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    unit_check(
        "sluice-minimum-flow-us",
        "2400 L/min per m in US gallons per minute and foot",
        193.0,
        "US gpm/ft",
        || minimum_flow_m2_s(EXPANDED_METAL_HEIGHT_M) * 60.0 * FOOT_M / US_GALLON_M3,
    ),
    unit_check(
        "sluice-minimum-flow-imperial",
        "2400 L/min per m in imperial gallons per minute and foot",
        161.0,
        "imp gpm/ft",
        || minimum_flow_m2_s(EXPANDED_METAL_HEIGHT_M) * 60.0 * FOOT_M / IMPERIAL_GALLON_M3,
    ),
    unit_check(
        "sluice-minimum-flow-angle-iron",
        "4800 L/min per m in US gallons per minute and foot",
        387.0,
        "US gpm/ft",
        || minimum_flow_m2_s(ANGLE_IRON_HEIGHT_M) * 60.0 * FOOT_M / US_GALLON_M3,
    ),
    Check::new("sluice-bypass-halves", "sluice bypass by size", || bypass_of_size(0.04, 4e-3, 4e-3))
        .against(Kind::Identity, "half the bypass at the half size", Status::Computed)
        .value(0.02, "-")
        .within(Band::Absolute(1e-15)),
];
