//! How much water each part of the plant needs, and which part binds.
//!
//! ```text
//!   wash:    the larger of  a x feed  and  b x fines below 75 um
//!   sluice:  the largest of water per width, water that thins the solids, water deep enough to cover the largest
//!            stone, water strong enough to move it
//! ```

use super::open_channel::manning_flow_m3_s;
use washgraph_units::check::Status;
use washgraph_units::constants::{CUBIC_YARD_M3, S_PER_DAY};

/// A figure of practice with its range and source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Practice {
    /// Name, kebab-case.
    pub name: &'static str,
    /// Meaning in plain words.
    pub meaning: &'static str,
    /// Lowest value of the range, SI.
    pub low: f64,
    /// Value to take, SI.
    pub usual: f64,
    /// Highest value of the range, SI.
    pub high: f64,
    /// SI unit.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// How it came to us.
    pub status: Status,
}

/// Spray water on a wash screen.
pub const WASH_WATER: Practice = Practice {
    name: "wash-water",
    meaning: "water on a wash screen per mass of feed, part of it as the slurry of the feed",
    low: 1.25e-3,
    usual: 1.5e-3,
    high: 1.75e-3,
    unit: "m3/kg",
    source: "screen-area reference: 5-7 gpm per short ton an hour",
    status: Status::Seen,
};

/// Water to wash fines.
pub const FINES_WATER: Practice = Practice {
    name: "fines-water",
    meaning: "water per mass of fines below 75 um to be washed out",
    low: 11.4e-3,
    usual: 12.0e-3,
    high: 12.5e-3,
    unit: "m3/kg",
    source: "trade magazine 2017: 50 gpm per ton an hour of minus 200 mesh, 12.5 for a short ton, 11.4 for a tonne",
    status: Status::Seen,
};

/// Least water over expanded metal.
pub const EXPANDED_METAL_WATER: Practice = Practice {
    name: "sluice-water-expanded-metal",
    meaning: "least water per width of sluice over 6 mm expanded metal",
    low: 0.030,
    usual: 0.040,
    high: 0.050,
    unit: "m2/s",
    source: "Yukon practice, 2400 L/min per metre, page quoting Poling 1989 and Clarkson 1990; range assumed",
    status: Status::Seen,
};

/// Least water over angle iron.
pub const ANGLE_IRON_WATER: Practice = Practice {
    name: "sluice-water-angle-iron",
    meaning: "least water per width of sluice over 1 in angle iron",
    low: 0.060,
    usual: 0.080,
    high: 0.100,
    unit: "m2/s",
    source: "Yukon practice, 4800 L/min per metre, page quoting Poling 1989 and Clarkson 1990; range assumed",
    status: Status::Seen,
};

/// Most solids in a sluice.
pub const SLUICE_SOLIDS: Practice = Practice {
    name: "sluice-solids",
    meaning: "most solids by volume of the slurry in a sluice",
    low: 0.09,
    usual: 0.12,
    high: 0.13,
    unit: "-",
    source: "Yukon practice, below 12 %, page quoting Poling 1989 and Clarkson 1990; range assumed",
    status: Status::Seen,
};

/// Solids on a sluice per width.
pub const SLUICE_LOADING: Practice = Practice {
    name: "sluice-loading",
    meaning: "dry solids per width of sluice in pilot runs that caught more than 95 % down to 100 mesh",
    low: 2.48,
    usual: 8.0,
    high: 17.4,
    unit: "kg/s/m",
    source: "Poling & Hamilton, pilot sluice, 100-700 lb a minute per foot, summary; usual value assumed",
    status: Status::Seen,
};

/// Depth that covers the largest stone.
pub const COVER: Practice = Practice {
    name: "sluice-cover",
    meaning: "depth of water over the size of the largest stone",
    low: 0.6,
    usual: 1.0,
    high: 1.2,
    unit: "-",
    source: "old rule: water covers the largest boulder; range assumed",
    status: Status::Seen,
};

/// Which rule asks for the most water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Binding {
    /// Wash water per mass of feed.
    Feed,
    /// Wash water per mass of fines.
    Fines,
    /// Water per width of the sluice.
    Width,
    /// Solids in the sluice too thick.
    Solids,
    /// Stones stand out of the water.
    Cover,
    /// Stones stay where they lie.
    Mobility,
}

impl Binding {
    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Binding::Feed => "wash water for the feed",
            Binding::Fines => "wash water for the fines",
            Binding::Width => "water per width of the sluice",
            Binding::Solids => "water to thin the sluice's solids",
            Binding::Cover => "water to cover the largest stone in the sluice",
            Binding::Mobility => "water to move the largest stone in the sluice",
        }
    }
}

/// A need and the rule that sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Water (m3/s).
    pub water_m3_s: f64,
    /// The rule that asks for it.
    pub binding: Binding,
}

impl Need {
    fn larger(self, other: Need) -> Need {
        if other.water_m3_s > self.water_m3_s { other } else { self }
    }
}

/// Water that washing and screening need.
///
/// `Q = max(a F, b F_75)`; `F` dry feed (kg/s), `F_75` of it below 75 um (kg/s), `a` 1.25-1.75e-3, `b` 11.4-12.5e-3 (m3/kg); result
/// (m3/s). Joining the two rules by the larger one is assumed.
pub fn wash_need(feed_kg_s: f64, fines_kg_s: f64, per_feed_m3_kg: f64, per_fines_m3_kg: f64) -> Need {
    Need { water_m3_s: per_feed_m3_kg * feed_kg_s, binding: Binding::Feed }
        .larger(Need { water_m3_s: per_fines_m3_kg * fines_kg_s, binding: Binding::Fines })
}

/// Water that brings solids down to a share by volume.
///
/// `Q_w = Q_s (1 - c)/c`; `Q_s` volume of the dry solids (m3/s), `c` share of solids in the slurry (-); result (m3/s).
pub fn thinning_water_m3_s(solids_m3_s: f64, solids_share: f64) -> f64 {
    solids_m3_s * (1.0 - solids_share) / solids_share
}

/// Share of solids by volume of a slurry.
///
/// `c = Q_s/(Q_s + Q_w)`; (-).
pub fn solids_by_volume(solids_m3_s: f64, water_m3_s: f64) -> f64 {
    solids_m3_s / (solids_m3_s + water_m3_s)
}

/// The sluice as far as its need of water goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SluiceDemand {
    /// Inside width (m).
    pub width_m: f64,
    /// Slope as a tangent (-).
    pub slope: f64,
    /// Manning's n of the riffled bed.
    pub manning_n: f64,
    /// Least water per width (m2/s).
    pub per_width_m2_s: f64,
    /// Dry solids by volume (m3/s).
    pub solids_m3_s: f64,
    /// Most solids by volume of the slurry (-).
    pub most_solids: f64,
    /// Largest stone in the sluice feed (m).
    pub largest_stone_m: f64,
    /// Depth over the size of the largest stone (-).
    pub cover: f64,
    /// Shields number at which it moves (-).
    pub shields_critical: f64,
    /// Density of the stone (kg/m3).
    pub stone_kg_m3: f64,
    /// Density of the slurry (kg/m3).
    pub slurry_kg_m3: f64,
}

/// The four needs of a sluice (m3/s of water).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SluiceNeed {
    /// By width.
    pub width_m3_s: f64,
    /// By solids.
    pub solids_m3_s: f64,
    /// By cover of the largest stone.
    pub cover_m3_s: f64,
    /// By motion of the largest stone; NaN when no depth of this box moves it.
    pub mobility_m3_s: f64,
}

impl SluiceNeed {
    /// The largest of them. A stone that no depth moves does not count here: it is a matter of slope, and the caller warns.
    pub fn need(&self) -> Need {
        Need { water_m3_s: self.width_m3_s, binding: Binding::Width }
            .larger(Need { water_m3_s: self.solids_m3_s, binding: Binding::Solids })
            .larger(Need { water_m3_s: self.cover_m3_s, binding: Binding::Cover })
            .larger(Need { water_m3_s: self.mobility_m3_s, binding: Binding::Mobility })
    }
}

/// Water that a sluice needs by each rule.
///
/// Width: `q w`. Solids: [`thinning_water_m3_s`]. Cover: Manning's flow at a depth of `cover` stones. Motion: Manning's flow at the depth whose
/// bed shear moves the stone, `R = theta_c (rho_s - rho) D/(rho S)`. The last two are flows of slurry, from which the solids are taken off.
/// Source: rules of practice above; Manning and Shields. Rough: Manning over riffles is a guide, and the plant's sluice uses another law.
pub fn sluice_need(demand: &SluiceDemand) -> SluiceNeed {
    let flow_at = |depth: f64| manning_flow_m3_s(demand.manning_n, demand.width_m, depth, demand.slope);
    let water = |slurry_m3_s: f64| (slurry_m3_s - demand.solids_m3_s).max(0.0);
    let radius = demand.shields_critical * (demand.stone_kg_m3 - demand.slurry_kg_m3) * demand.largest_stone_m
        / (demand.slurry_kg_m3 * demand.slope);
    // R = w y/(w + 2y) never exceeds w/2.
    let depth = if radius < 0.5 * demand.width_m {
        radius * demand.width_m / (demand.width_m - 2.0 * radius)
    } else {
        f64::NAN
    };
    SluiceNeed {
        width_m3_s: demand.per_width_m2_s * demand.width_m,
        solids_m3_s: thinning_water_m3_s(demand.solids_m3_s, demand.most_solids),
        cover_m3_s: water(flow_at(demand.cover * demand.largest_stone_m)),
        mobility_m3_s: if depth.is_nan() { f64::NAN } else { water(flow_at(depth)) },
    }
}

/// Water of old practice per volume of gravel.
///
/// `W = 86400 Q_mi/(0.764555 duty)`; `Q_mi` one miner's inch (m3/s) (say which), `duty` cubic yards washed by one miner's inch in 24 h, 1-5 or
/// more; result (m3 of water per m3 of gravel). Source: old treatises.
pub fn water_per_gravel_from_duty(miners_inch_m3_s: f64, duty_yd3_per_day: f64) -> f64 {
    miners_inch_m3_s * S_PER_DAY / (CUBIC_YARD_M3 * duty_yd3_per_day)
}
