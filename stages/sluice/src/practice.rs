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

/// A number of the trade, to be shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Practice {
    /// What it is, in plain words.
    pub fact: &'static str,
    /// Lowest usual value, SI.
    pub low: f64,
    /// Highest usual value, SI; the same as `low` for a single number.
    pub high: f64,
    /// SI unit; `-` for none.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// How it came to us.
    pub status: Status,
}

const ARTICLE: &str = "web article on sluice sizing quoting Poling 1989 and Clarkson 1990";
const CLARKSON_1994: &str = "Clarkson 1994, CIM Bulletin 87(979), abstract";
const HAMILTON: &str = "Hamilton 1988, MASc thesis, University of British Columbia, abstract; Poling & Hamilton 1986";
const OLD_TREATISE: &str = "old treatise on placer mining";

const fn practice(
    fact: &'static str,
    range: (f64, f64),
    unit: &'static str,
    source: &'static str,
    status: Status,
) -> Practice {
    Practice { fact, low: range.0, high: range.1, unit, source, status }
}

/// Numbers of the trade.
pub const PRACTICE: &[Practice] = &[
    practice("least water per width, 6 mm expanded metal", (0.040, 0.040), "m2/s", ARTICLE, Status::Seen),
    practice("least water per width, 1 in angle iron", (0.080, 0.080), "m2/s", ARTICLE, Status::Seen),
    practice("most solids by volume", (0.12, 0.12), "-", ARTICLE, Status::Seen),
    practice("velocity over expanded metal", (1.5, 1.8), "m/s", ARTICLE, Status::Seen),
    practice("velocity over angle iron", (1.8, 2.2), "m/s", ARTICLE, Status::Seen),
    practice("slick plate ahead of the riffles", (2.0, 2.0), "m", ARTICLE, Status::Seen),
    practice("riffled run after the slick plate", (2.5, 2.5), "m", ARTICLE, Status::Seen),
    practice(
        "rated feed, expanded metal, loose volume per width",
        (RATED_FEED_EXPANDED_METAL_LOOSE_M2_S, RATED_FEED_EXPANDED_METAL_LOOSE_M2_S),
        "m2/s",
        "Clarkson 1990",
        Status::Memory,
    ),
    practice(
        "rated feed, angle iron, loose volume per width",
        (RATED_FEED_ANGLE_IRON_LOOSE_M2_S, RATED_FEED_ANGLE_IRON_LOOSE_M2_S),
        "m2/s",
        "Clarkson 1990",
        Status::Memory,
    ),
    practice("slope over expanded metal, 1.5-2 in/ft", (0.125, 0.167), "-", "Clarkson 1990", Status::Memory),
    practice("slope over angle iron, 12-15 degrees", (0.213, 0.268), "-", CLARKSON_1994, Status::Seen),
    practice("gap between angle-iron riffles", (0.040, 0.060), "m", CLARKSON_1994, Status::Seen),
    practice("tilt of angle-iron riffles, 15 degrees", (0.262, 0.262), "rad", CLARKSON_1994, Status::Seen),
    practice("riffle spacing / riffle height", (3.5, 3.5), "-", "common practice, no source", Status::CommonPractice),
    practice("dry solids per width in practice", (2.48, 17.4), "kg/s/m", HAMILTON, Status::Seen),
    practice("most dry solids per width tried, 112 t/h per m", (31.2, 31.2), "kg/s/m", HAMILTON, Status::Seen),
    practice("slope of old sluices, usual 6 in per 12 ft", (0.014, 0.083), "-", OLD_TREATISE, Status::Seen),
];

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
    pub(crate) const ROWS: &[golden::Row] =
        &[("sluice-rated-solids-expanded-metal", || ranges(Riffle::ExpandedMetal).rated_solids_m2_s)];
}
