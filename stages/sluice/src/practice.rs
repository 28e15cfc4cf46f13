//! Numbers of the trade for riffled sluices, with where they come from. They feed warnings and advice, not the physics.

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::constants::{FOOT_M, POUND_KG};

/// Solids volume / loose volume of gravel [-], pores of 0.40. Assumed middle of 0.60-0.70.
pub const LOOSE_SOLIDS_SHARE: f64 = 0.60;
/// Published upper limit of solids by volume [-]. Source: web article on sluice sizing quoting Poling 1989 and Clarkson
/// 1990 (seen).
pub const MOST_SOLIDS_BY_VOLUME: f64 = 0.12;
/// Slick plate ahead of the riffles (m). Same source.
pub const SLICK_PLATE_M: f64 = 2.0;

/// Checks of this file.
pub const CHECKS: &[Check] = &[Check::new("sluice-solids-per-width-unit", "unit of solids per width", || {
    100.0 * POUND_KG * 60.0 / (1000.0 * FOOT_M)
})
.against(Kind::Identity, "100 lb/min per ft in tonnes per hour and metre", Status::Computed)
.value(8.93, "t/h/m")
.within(Band::Relative(0.005))];
