//! Numbers of the trade for riffled sluices, with where they come from. They feed warnings and advice, not the physics.

use crate::capture::Riffle;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::constants::{CUBIC_YARD_M3, FOOT_M, POUND_KG, S_PER_H};

/// Solids volume / loose volume of gravel [-], pores of 0.40. Assumed middle of 0.60-0.70.
pub const LOOSE_SOLIDS_SHARE: f64 = 0.60;
/// Published upper limit of solids by volume [-]. Source: web article on sluice sizing quoting Poling 1989 and Clarkson
/// 1990 (seen).
pub const MOST_SOLIDS_BY_VOLUME: f64 = 0.12;
/// Slick plate ahead of the riffles (m). Same source.
pub const SLICK_PLATE_M: f64 = 2.0;

/// Rated feed over expanded metal, 8 loose cubic yards per hour and foot of width, as loose volume [m2/s].
/// Source: Clarkson 1990 (from memory).
pub const RATED_FEED_EXPANDED_METAL_LOOSE_M2_S: f64 = 8.0 * CUBIC_YARD_M3 / (S_PER_H * FOOT_M);
/// Rated feed over angle iron, 16 loose cubic yards per hour and foot of width, as loose volume [m2/s]. Same source.
pub const RATED_FEED_ANGLE_IRON_LOOSE_M2_S: f64 = 16.0 * CUBIC_YARD_M3 / (S_PER_H * FOOT_M);

/// Published ranges that depend on what the riffles are made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RiffleRanges {
    /// Riffle heights that the model knows (m).
    pub height_m: (f64, f64),
    /// Velocity in practice [m/s].
    pub velocity_m_s: (f64, f64),
    /// Rated feed, solid volume per width [m2/s].
    pub rated_solids_m2_s: f64,
    /// Slope in practice, tangent [-].
    pub slope: (f64, f64),
}

/// The published ranges for a kind of riffle.
///
/// Sources: velocities from a web article on sluice sizing quoting Poling 1989 and Clarkson 1990 (seen); rated feed and
/// the slope over expanded metal (1.5-2 in/ft) Clarkson 1990 (from memory); slope of angle-iron runs (12-15 degrees)
/// Clarkson 1994, CIM Bulletin 87(979), abstract (seen); heights are those of the tests, widened (assumed).
pub const fn ranges(riffle: Riffle) -> RiffleRanges {
    match riffle {
        Riffle::ExpandedMetal => RiffleRanges {
            height_m: (0.004, 0.010),
            velocity_m_s: (1.5, 1.8),
            rated_solids_m2_s: RATED_FEED_EXPANDED_METAL_LOOSE_M2_S * LOOSE_SOLIDS_SHARE,
            slope: (0.125, 0.167),
        },
        Riffle::AngleIron => RiffleRanges {
            height_m: (0.019, 0.032),
            velocity_m_s: (1.8, 2.2),
            rated_solids_m2_s: RATED_FEED_ANGLE_IRON_LOOSE_M2_S * LOOSE_SOLIDS_SHARE,
            slope: (0.213, 0.268),
        },
    }
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[Check {
    id: "sluice-solids-per-width-unit",
    model: "unit of solids per width",
    kind: Kind::Identity,
    source: "100 lb/min per ft in tonnes per hour and metre",
    status: Status::Computed,
    published: 8.93,
    computed: || 100.0 * POUND_KG * 60.0 / (1000.0 * FOOT_M),
    unit: "t/h/m",
    band: Band::Relative(0.005),
}];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] =
        &[("sluice-rated-solids-expanded-metal", || ranges(Riffle::ExpandedMetal).rated_solids_m2_s)];
}
