//! Slurry held behind a ring: a level pool on the sloping shell, with gravel lying in it.
//!
//! ```text
//!        level ~~~~~~~~~~~~~~~~~~~~~~~~~|  head over the ring
//!             ~ ~~ bed ~~~~~~~~~~~~~~~~~| ring
//!   ------___________                   |
//!    shell falls to the right -----_____|____ screen
//! ```
//! The bed is marched without the pool; the pool lies on the bed found. It tells how long slurry stays, and takes weight off
//! the bed that stands in it.

use core::f64::consts::PI;

use super::geometry::{half_angle_rad, segment_area_m2};
use super::symbol::{DRUM_DIAMETER, DRUM_SLOPE, input, input_or, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::STANDARD_GRAVITY_M_S2;
use washgraph_units::formula::Formula;
use washgraph_units::math::{cos, sin};
use washgraph_units::quantity::Dimension;

/// Discharge coefficient of a weir. From memory.
pub const WEIR_DISCHARGE: f64 = 0.6;

/// Head of water over a ring, h = sqrt(Q/(C_d (pi/2) sqrt(g r))), m.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | Q | water over the ring | m3/s | >= 0 |
/// | C_d | discharge coefficient, 0.6 | - | 0.5 to 0.7 |
/// | r | radius of the ring's opening | m | > 2 h |
///
/// Source: sharp-crested weir, q = C_d sqrt(2 g (h - y)) per width, over a crest whose width at height y is 2 sqrt(2 r y)
/// (a shallow circle), integrated here. Gravel in the opening and the turning of the drum are left out. A drum end without a
/// ring is taken as a weir of the shell's own radius.
pub fn head_over_ring_m(flow_m3_s: f64, discharge: f64, opening_radius_m: f64) -> f64 {
    (flow_m3_s / (discharge * 0.5 * PI * (STANDARD_GRAVITY_M_S2 * opening_radius_m).sqrt())).sqrt()
}

/// A pool as found.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Pool {
    /// Water level over the shell at the ring, m.
    pub level_m: f64,
    /// Head over the ring, m.
    pub head_m: f64,
    /// How far it reaches upstream, m.
    pub length_m: f64,
    /// Water in it, that between the stones included, m3.
    pub water_m3: f64,
    /// Time that slurry stays in it, s.
    pub slurry_s: f64,
    /// Torque that it takes off the drum, N m.
    pub relief_n_m: f64,
}

/// What a pool is reckoned from.
#[derive(Debug, Clone, Copy)]
pub struct PoolCase {
    /// Inside radius, m.
    pub radius_m: f64,
    /// Tangent of the slope of the axis.
    pub slope: f64,
    /// Height of the ring, m; 0 for an end without one.
    pub ring_m: f64,
    /// Water over the ring, m3/s.
    pub flow_m3_s: f64,
    /// Density of the water, kg/m3.
    pub water_kg_m3: f64,
    /// Angle of repose of the bed, rad.
    pub repose_rad: f64,
    /// Share of voids in the bed.
    pub voids: f64,
}

impl Pool {
    /// The pool upstream of a ring. `upstream` gives the half-angle of the bed (rad) at stations `step_m` apart, beginning at
    /// the ring; the pool ends with them at the latest.
    pub fn behind(case: &PoolCase, step_m: f64, upstream: impl Iterator<Item = f64>) -> Pool {
        let opening_m = (case.radius_m - case.ring_m).max(0.05 * case.radius_m);
        let head_m = head_over_ring_m(case.flow_m3_s, WEIR_DISCHARGE, opening_m);
        let level_m = (case.ring_m + head_m).min(case.radius_m);
        let mut pool = Pool { level_m, head_m, ..Pool::default() };
        let (mut water_before, mut moment_before) = (None, 0.0);
        for (k, bed_rad) in upstream.enumerate() {
            let depth_m = level_m - k as f64 * step_m * case.slope;
            let here = if depth_m > 0.0 { Wet::at(case, depth_m, bed_rad) } else { Wet::default() };
            if let Some(before) = water_before {
                pool.water_m3 += 0.5 * step_m * (before + here.water_m2);
                pool.relief_n_m += 0.5 * step_m * (moment_before + here.moment_m3);
            }
            (water_before, moment_before) = (Some(here.water_m2), here.moment_m3);
            pool.length_m = k as f64 * step_m;
            if depth_m <= 0.0 {
                pool.length_m = level_m / case.slope;
                break;
            }
        }
        pool.relief_n_m *= case.water_kg_m3 * STANDARD_GRAVITY_M_S2;
        pool.slurry_s = if case.flow_m3_s > 0.0 { pool.water_m3 / case.flow_m3_s } else { 0.0 };
        pool
    }
}

/// Cross-section of a pool with a bed in it.
#[derive(Debug, Clone, Copy, Default)]
struct Wet {
    /// Water, m2.
    water_m2: f64,
    /// Moment about the axis of the part of the bed that lies under water, m3.
    moment_m3: f64,
}

impl Wet {
    fn at(case: &PoolCase, depth_m: f64, bed_rad: f64) -> Wet {
        let pool_rad = half_angle_rad(depth_m, case.radius_m);
        let (drowned_m2, moment_m3) = overlap(case.radius_m, pool_rad, bed_rad, case.repose_rad);
        let all_m2 = segment_area_m2(pool_rad, case.radius_m);
        Wet { water_m2: all_m2 - (1.0 - case.voids) * drowned_m2, moment_m3 }
    }
}

/// Area (m2) of the part of a bed that lies under a level water surface, and its moment about the axis (m3).
///
/// Bed and water are segments of the same circle of radius R with half-angles phi_b and phi_w, the bed turned by theta. Going
/// round the overlap (arc, then the two chords), each edge adds the triangle or sector that it spans with the axis: sector
/// R^2/2 (b - a) with moment R^3/3 (cos a - cos b), triangle (P x Q)/2 with moment (P x Q)/6 (P_x + Q_x); angles from the
/// bottom, x towards the rising side.
///
/// Because the water surface is level, all that lies under it as water would have no moment about the axis: the torque of the
/// drum is that of the bed less that of water in the drowned part of the bed. Source: plane geometry, derived here.
fn overlap(radius_m: f64, pool_rad: f64, bed_rad: f64, repose_rad: f64) -> (f64, f64) {
    let r = radius_m;
    let (from, to) = ((repose_rad - bed_rad).max(-pool_rad), (repose_rad + bed_rad).min(pool_rad));
    if !(to > from) {
        return (0.0, 0.0);
    }
    let rim = |angle: f64| (r * sin(angle), -r * cos(angle));
    let (start, end) = (rim(from), rim(to));
    let mut area = 0.5 * r * r * (to - from);
    let mut moment = r * r * r / 3.0 * (cos(from) - cos(to));
    let mut edge = |p: (f64, f64), q: (f64, f64)| {
        let cross = p.0 * q.1 - p.1 * q.0;
        area += 0.5 * cross;
        moment += cross * (p.0 + q.0) / 6.0;
    };
    // Which chord closes the overlap at either end; where they differ the chords meet inside the circle.
    let (bed_first, bed_last) = (repose_rad - bed_rad >= -pool_rad, repose_rad + bed_rad <= pool_rad);
    if bed_first == bed_last {
        edge(end, start);
    } else {
        // Water: y = -R cos(phi_w). Bed: x sin(theta) - y cos(theta) = R cos(phi_b).
        let y = -r * cos(pool_rad);
        let x = (r * cos(bed_rad) + y * cos(repose_rad)) / sin(repose_rad);
        edge(end, (x, y));
        edge((x, y), start);
    }
    (area, moment)
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "drum-ring-pool",
    "Pool of slurry behind a ring without gravel in it: head over the ring, reach, time.",
    "h = sqrt(Q/(C_d (pi/2) sqrt(g (R - ring)))); level = ring + h; reach = level/tan(beta); V = integral of the \
               segment; t = V/Q",
    |x| {
        let r = 0.5 * x[0];
        let head = head_over_ring_m(x[3], x[4], r - x[2]);
        let level = x[2] + head;
        let reach = level / x[1];
        const STEPS: usize = 400;
        let area = |k: usize| {
            let depth = level * (1.0 - k as f64 / STEPS as f64);
            segment_area_m2(half_angle_rad(depth, r), r)
        };
        let inner: f64 = (1..STEPS).map(area).sum();
        let volume = reach / STEPS as f64 * (0.5 * area(0) + inner);
        vec![head, level, reach, volume, volume / x[3]]
    },
)
.inputs(&[
    DRUM_DIAMETER,
    DRUM_SLOPE,
    input("ring", "height of the ring", Dimension::Length, "mm", (0.0, 2.0)),
    input("flow", "water over the ring", Dimension::Flow, "m3/h", (1e-6, 1.0)),
    input_or("discharge", "discharge coefficient", Dimension::Number, "-", (0.4, 0.8), WEIR_DISCHARGE),
])
.outputs(&[
    output("head", "head over the ring", Dimension::Length, "mm"),
    output("level", "water level over the shell at the ring", Dimension::Length, "mm"),
    output("reach", "how far the pool reaches upstream", Dimension::Length, "m"),
    output("volume", "water in the pool", Dimension::Volume, "m3"),
    output("time", "time that slurry stays in it", Dimension::Time, "s"),
])
.source("sharp-crested weir over a circular crest, integrated here; geometry", Status::Computed)
.limits("no gravel, drum at rest; head well below the radius of the opening")
.open(&[
    ("reach", "endless: the drum lies level"),
    ("volume", "by the length of the drum: it lies level"),
    ("time", "by the length of the drum: it lies level"),
])];

/// Checks of this file.
pub const CHECKS: &[Check] = &[Check::new("drum-ring-weir-by-strips", "head over a ring", || {
    const STRIPS: usize = 4000;
    let (h, r) = (0.020, 1.0);
    let strip = |k: usize| {
        let y = h * (k as f64 + 0.5) / STRIPS as f64;
        let width = 2.0 * (2.0 * r * y - y * y).sqrt();
        width * (2.0 * STANDARD_GRAVITY_M_S2 * (h - y)).sqrt() * h / STRIPS as f64
    };
    let flow: f64 = WEIR_DISCHARGE * (0..STRIPS).map(strip).sum::<f64>();
    head_over_ring_m(flow, WEIR_DISCHARGE, r)
})
.against(
    Kind::Identity,
    "the weir law summed over 4000 strips of a circular opening of 1 m under a head of 20 mm, against the closed form",
    Status::Computed,
)
.value(0.020, "m")
.within(Band::Relative(0.005))];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drum::geometry::centroid_radius_m;

    #[test]
    fn identity_overlap_of_bed_and_pool() {
        let (r, theta) = (0.45, 0.61);
        // A pool that covers the whole bed: the bed itself.
        let (area, moment) = overlap(r, 2.0, 0.6, theta);
        let bed = segment_area_m2(0.6, r);
        assert!((area - bed).abs() < 1e-14);
        assert!((moment - bed * centroid_radius_m(0.6, r) * sin(theta)).abs() < 1e-14);
        // A bed that holds the whole pool: the pool itself, without moment.
        let (area, moment) = overlap(r, 0.3, 1.4, theta);
        assert!((area - segment_area_m2(0.3, r)).abs() < 1e-14 && moment.abs() < 1e-15);
        // No repose: the smaller of both. A pool too shallow to reach a thin, turned bed: nothing.
        assert!((overlap(r, 0.5, 0.7, 1e-9).0 - segment_area_m2(0.5, r)).abs() < 1e-9);
        assert_eq!(overlap(r, 0.2, 0.2, theta).0, 0.0);
        // Crossing chords, counted on a grid.
        let (pool, bed) = (0.7, 0.75);
        let (area, moment) = overlap(r, pool, bed, theta);
        let (mut counted, mut turned) = (0.0, 0.0);
        const N: usize = 900;
        let cell = 2.0 * r / N as f64;
        for i in 0..N {
            for j in 0..N {
                let (x, y) = (-r + cell * (i as f64 + 0.5), -r + cell * (j as f64 + 0.5));
                let wet = y < -r * cos(pool);
                let in_bed = x * sin(theta) - y * cos(theta) > r * cos(bed);
                if x * x + y * y < r * r && wet && in_bed {
                    counted += cell * cell;
                    turned += x * cell * cell;
                }
            }
        }
        assert!((area / counted - 1.0).abs() < 0.01, "{area} {counted}");
        assert!((moment / turned - 1.0).abs() < 0.02, "{moment} {turned}");
    }

    #[test]
    fn property_a_ring_holds_slurry_back() {
        let time = |ring_m: f64| {
            let case = PoolCase {
                radius_m: 0.457,
                slope: 0.0875,
                ring_m,
                flow_m3_s: 0.011,
                water_kg_m3: 1000.0,
                repose_rad: 0.61,
                voids: 0.4,
            };
            Pool::behind(&case, 0.05, (0..31).map(|_| 0.7)).slurry_s
        };
        assert!(time(0.05) > 1.5 * time(0.0) && time(0.1) > time(0.05));
    }
}
