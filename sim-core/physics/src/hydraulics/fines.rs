//! The fines that hang in wash water: silt by size, and freed clay by how fast it falls.
//!
//! ```text
//!   rock under 0.063 mm ──> 7 classes of silt  ──┐  each with a fall speed
//!   clay freed from lumps ──> 6 classes of clay ─┴──> pond
//! ```
//! Sand from 0.063 mm up stays in the tailings pile or at the mouth of the pond. Clay does not fall as its single plates
//! (about 1 um) but as whatever they clump to, so clay is known by its fall speed, or by the grain that falls as fast.

use super::pond::{fines_fall_m_s, jar_fall_m_s};
use crate::size::BySolid;
use washgraph_units::math::{exp, ln, pow};

/// Classes of silt.
pub const SILT_CLASSES: usize = 7;
/// Classes of freed clay.
pub const CLAY_CLASSES: usize = 6;
/// All classes of fines: silt, finest first, then clay, slowest first.
pub const FINES_CLASSES: usize = SILT_CLASSES + CLAY_CLASSES;

/// A number for each class of fines.
pub type ByFines = [f64; FINES_CLASSES];

/// Largest grain that is silt, m: sand begins here. Source: ISO 14688-1. It is also an edge of the size grid.
pub const SILT_TOP_M: f64 = 63e-6;
/// Number of classes of the size grid that are silt (under 0.045 mm; 0.045-0.063 mm).
const SILT_OF_GRID: usize = 2;
/// Edges inside the finest class of the size grid, m, finest first; steps of about 1.5 to 2. Our choice.
const SILT_EDGES_M: [f64; SILT_CLASSES - 2] = [4e-6, 8e-6, 14e-6, 22e-6, 32e-6];
/// Lower edge of the size grid, m: all finer silt is one class there.
const GRID_BOTTOM_M: f64 = 45e-6;
/// Sizes that stand for the classes of silt, m: geometric means of the edges; for what is under 4 um half of it (assumed).
const SILT_M: [f64; SILT_CLASSES] = [2e-6, 5.657e-6, 10.58e-6, 17.55e-6, 26.53e-6, 37.95e-6, 53.24e-6];
/// Normal scores that halve each of six equal shares: quantiles at 1/12, 3/12, ... 11/12.
const CLAY_SCORES: [f64; CLAY_CLASSES] = [-1.382_994, -0.674_490, -0.210_428, 0.210_428, 0.674_490, 1.382_994];
/// Geometric standard deviation of the clay in grains that fall alike (-). Assumed.
pub const CLAY_SPREAD: f64 = 2.0;
/// What still hangs at the last reading of a jar falls at this share of the slowest speed seen. Assumed.
pub const UNSEEN_SPEED_SHARE: f64 = 0.25;

/// Share of the silt under 0.045 mm that is finer than a size.
///
/// `F = (d/0.045 mm)^m`; `d` (m), 0 to 0.045 mm; `m` shape of the curve (-), 0.4 much fine silt, 1 little; result (-). Form of
/// Gaudin 1926 and Schuhmann 1940 (from memory) for crushed ore; taken over for the silt of gravel, which is assumed: a
/// hydrometer test of the owner's own silt is better. The shape of the whole gradation says nothing about it.
pub fn silt_finer_share(size_m: f64, shape: f64) -> f64 {
    pow(size_m / GRID_BOTTOM_M, shape)
}

/// Silt of a stream by classes, kg/s: what the size grid holds under 0.063 mm, the finest class of it divided by
/// [`silt_finer_share`].
pub fn silt_kg_s(rock_kg_s: &BySolid, shape: f64) -> [f64; SILT_CLASSES] {
    let mut silt = [0.0; SILT_CLASSES];
    let mut below = 0.0;
    for (class, edge_m) in SILT_EDGES_M.iter().chain([&GRID_BOTTOM_M]).enumerate() {
        let finer = silt_finer_share(*edge_m, shape);
        silt[class] = rock_kg_s[0] * (finer - below);
        below = finer;
    }
    silt[SILT_CLASSES - 1] = rock_kg_s[1];
    silt
}

/// Sand and coarser of a stream, kg/s: what stays in the pile.
pub fn sand_kg_s(rock_kg_s: &BySolid) -> f64 {
    rock_kg_s[SILT_OF_GRID..].iter().sum()
}

/// Fall speed of each class of silt in clean water, m/s; see [`fines_fall_m_s`].
pub fn silt_fall_m_s(kinematic_viscosity_m2_s: f64, grain_kg_m3: f64, water_kg_m3: f64) -> [f64; SILT_CLASSES] {
    SILT_M.map(|d| fines_fall_m_s(d, kinematic_viscosity_m2_s, grain_kg_m3, water_kg_m3))
}

/// Fall speeds of six equal shares of the clay, m/s, slowest first, from the grain of middle speed.
///
/// Sizes are lognormal about `grain_m` with [`CLAY_SPREAD`]; each falls as a grain of quartz of that size would.
pub fn clay_fall_m_s(
    grain_m: f64,
    kinematic_viscosity_m2_s: f64,
    grain_kg_m3: f64,
    water_kg_m3: f64,
) -> [f64; CLAY_CLASSES] {
    let step = ln(CLAY_SPREAD);
    CLAY_SCORES.map(|z| fines_fall_m_s(grain_m * exp(step * z), kinematic_viscosity_m2_s, grain_kg_m3, water_kg_m3))
}

/// One reading of a jar of shaken site water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JarReading {
    /// Since it was shaken, s.
    pub after_s: f64,
    /// What was read.
    pub seen: JarSeen,
}

/// What is read off a jar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JarSeen {
    /// Depth from the water line down to the line between clear and dirty, m.
    ClearTo(f64),
    /// Share of the dirt that still hangs at a depth (m).
    HangingAt {
        /// Depth of the sample under the water line, m.
        depth_m: f64,
        /// Dirt in it over that of the shaken jar, 0 to 1.
        share: f64,
    },
}

/// Fall speeds of six equal shares of the clay from a jar, m/s, slowest first.
///
/// A grain that still hangs at depth `z` after `t` falls slower than `z/t`, so the readings of "hanging" are points of the
/// curve of fall speeds; between them the logarithm of the speed is taken as straight. What had gone before the first reading is
/// taken to fall no faster than that reading shows; what still hangs at the last falls at [`UNSEEN_SPEED_SHARE`] of it. A
/// clear line goes down with the slowest of what makes it: all the clay then falls at the least `h/t` read. Source: still
/// water; the settling tube of soil testing works so. Readings must go down in share with time; `None` without readings.
pub fn jar_fall_speeds_m_s(readings: &[JarReading]) -> Option<[f64; CLAY_CLASSES]> {
    let line = readings
        .iter()
        .filter_map(|r| match r.seen {
            JarSeen::ClearTo(depth_m) => Some(jar_fall_m_s(depth_m, r.after_s)),
            JarSeen::HangingAt { .. } => None,
        })
        .min_by(f64::total_cmp);
    let curve: Vec<(f64, f64)> = readings
        .iter()
        .filter_map(|r| match r.seen {
            JarSeen::HangingAt { depth_m, share } => Some((share, ln(jar_fall_m_s(depth_m, r.after_s)))),
            JarSeen::ClearTo(_) => None,
        })
        .collect();
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else {
        return line.map(|v| [v; CLAY_CLASSES]);
    };
    Some(std::array::from_fn(|i| {
        let slower = (i as f64 + 0.5) / CLAY_CLASSES as f64;
        if slower >= first.0 {
            return exp(first.1);
        }
        if slower < last.0 {
            return UNSEEN_SPEED_SHARE * exp(last.1);
        }
        let step = curve.windows(2).find(|w| slower >= w[1].0 && slower < w[0].0);
        match step {
            Some(&[(above, fast), (below, slow)]) if above > below => {
                exp(slow + (fast - slow) * (slower - below) / (above - below))
            }
            _ => exp(last.1),
        }
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::size::{SOLID_CLASSES, solid_class};

    #[test]
    fn identity_silt_classes_hold_all_silt_and_nothing_else() {
        let mut rock = [1.0; SOLID_CLASSES];
        rock[0] = 3.0;
        for shape in [0.4, 0.7, 1.0] {
            let silt = silt_kg_s(&rock, shape);
            assert!((silt.iter().sum::<f64>() - 4.0).abs() < 1e-12);
            assert!(silt.iter().all(|s| *s > 0.0));
        }
        assert!((sand_kg_s(&rock) - 23.0).abs() < 1e-12);
        assert_eq!(solid_class(SILT_OF_GRID).from_m, SILT_TOP_M);
        assert_eq!(solid_class(0).to_m, GRID_BOTTOM_M);
        for (middle, edges) in SILT_M[1..5].iter().zip(SILT_EDGES_M.windows(2)) {
            assert!((middle / (edges[0] * edges[1]).sqrt() - 1.0).abs() < 1e-3, "{middle}");
        }
    }

    #[test]
    fn identity_a_jar_of_one_grain_gives_its_speed_back() {
        // Clear line at 0.05 mm/s.
        let line = [600.0, 1200.0].map(|t| JarReading { after_s: t, seen: JarSeen::ClearTo(5e-5 * t) });
        assert!(jar_fall_speeds_m_s(&line).unwrap().iter().all(|v| (v / 5e-5 - 1.0).abs() < 1e-12));
        // Fall speeds spread evenly in the logarithm between 1e-6 and 1e-4 m/s: share slower than v is ln(v/1e-6)/ln 100.
        let curve: Vec<JarReading> = (0..=8)
            .map(|k| {
                let v = 1e-4 * pow(100.0, -f64::from(k) / 8.0);
                JarReading {
                    after_s: 0.1 / v,
                    seen: JarSeen::HangingAt { depth_m: 0.1, share: 1.0 - f64::from(k) / 8.0 },
                }
            })
            .collect();
        let speeds = jar_fall_speeds_m_s(&curve).unwrap();
        for (i, v) in speeds.iter().enumerate() {
            let expected = 1e-6 * pow(100.0, (i as f64 + 0.5) / 6.0);
            assert!((v / expected - 1.0).abs() < 1e-9, "{i}: {v} {expected}");
        }
        assert!(jar_fall_speeds_m_s(&[]).is_none());
    }

    #[test]
    fn property_dirt_that_stays_up_counts_as_slow() {
        let reading = |t: f64, share: f64| JarReading { after_s: t, seen: JarSeen::HangingAt { depth_m: 0.1, share } };
        let speeds = jar_fall_speeds_m_s(&[reading(600.0, 0.9), reading(86_400.0, 0.6)]).unwrap();
        assert!((speeds[0] / (UNSEEN_SPEED_SHARE * 0.1 / 86_400.0) - 1.0).abs() < 1e-12);
        assert!(speeds.windows(2).all(|w| w[0] <= w[1]));
        assert!((speeds[5] / (0.1 / 600.0) - 1.0).abs() < 1e-12);
    }
}
