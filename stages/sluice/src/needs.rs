//! Water that the box needs, rule by rule; the largest one counts.

use crate::cover::cover_depth_m;
use crate::flow::{Channel, flow_per_width_m2_s};
use crate::guards::minimum_flow_m2_s;
use crate::packing::GRAVEL_SUBMERGED_GRAVITY;
use crate::practice::MOST_SOLIDS_BY_VOLUME;
use crate::symbols as s;
use sim_core::check::Status;
use sim_core::formula::Formula;
use sim_core::hydraulics::need::thinning_water_m3_s;
use sim_core::quantity::Dimension as D;

/// Shields number at which a stone on the bed starts to move [-]. Source: Shields 0.045-0.06 (from memory); 0.047 is the low
/// end in use.
pub const STONE_SHIELDS: f64 = 0.047;

/// What the needs of a box rest on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoxDemand {
    /// Width of all runs together (m).
    pub width_m: f64,
    /// Riffle height (m).
    pub riffle_height_m: f64,
    /// The bed.
    pub channel: Channel,
    /// Solids in the feed [m3/s].
    pub solids_m3_s: f64,
    /// The largest stone that the holes pass (m).
    pub largest_stone_m: f64,
    /// Depth wanted over its size [-].
    pub cover_ratio: f64,
}

/// Water by each rule [m3/s], 0 or more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoxNeeds {
    /// Published minimum flow per width.
    pub width_m3_s: f64,
    /// Solids no thicker than the published limit.
    pub solids_m3_s: f64,
    /// Depth that covers the largest stone.
    pub cover_m3_s: f64,
    /// Depth whose bed shear moves the largest stone.
    pub motion_m3_s: f64,
}

impl BoxNeeds {
    /// The largest of them.
    pub fn largest_m3_s(&self) -> f64 {
        self.width_m3_s.max(self.solids_m3_s).max(self.cover_m3_s).max(self.motion_m3_s)
    }
}

/// Depth of water over a slope that moves a stone lying on the bed.
///
/// h = theta_c (rho_s/rho - 1) D/S
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | theta_c | Shields number of first motion | - | 0.045-0.06 |
/// | D | size of the stone | m | 0.005-0.1 |
/// | S | slope | - | 0.02-0.3 |
///
/// Source: Shields; wide stream, bed shear rho g h S. The stone is taken as one of many of its size: one that sticks out of finer
/// gravel moves in less water.
pub fn motion_depth_m(shields: f64, stone_m: f64, slope: f64) -> f64 {
    shields * GRAVEL_SUBMERGED_GRAVITY * stone_m / slope
}

/// Water that a box needs by each rule. Flows at a depth are flows of slurry by the log law of the box; the solids are taken off.
pub fn box_needs(d: &BoxDemand) -> BoxNeeds {
    let at_depth = |depth_m: f64| {
        if depth_m > 0.0 {
            (flow_per_width_m2_s(depth_m, &d.channel) * d.width_m - d.solids_m3_s).max(0.0)
        } else {
            0.0
        }
    };
    BoxNeeds {
        width_m3_s: (minimum_flow_m2_s(d.riffle_height_m) * d.width_m - d.solids_m3_s).max(0.0),
        solids_m3_s: thinning_water_m3_s(d.solids_m3_s, MOST_SOLIDS_BY_VOLUME),
        cover_m3_s: at_depth(cover_depth_m(d.cover_ratio, d.largest_stone_m)),
        motion_m3_s: at_depth(motion_depth_m(STONE_SHIELDS, d.largest_stone_m, d.channel.slope)),
    }
}

fn calculate_motion(inputs: &[f64]) -> Vec<f64> {
    let [stone, slope, riffle, ratio, shields] = *inputs else {
        return vec![f64::NAN; 2];
    };
    let channel = Channel {
        slope,
        roughness_m: crate::flow::roughness_m(ratio, riffle),
        gravity_m_s2: sim_core::constants::STANDARD_GRAVITY_M_S2,
        von_karman: sim_core::constants::VON_KARMAN,
    };
    let depth = motion_depth_m(shields, stone, slope);
    vec![depth, flow_per_width_m2_s(depth, &channel)]
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "sluice-stone-motion",
    "Water over riffles that moves a stone lying on the bed.",
    "h = theta_c (rho_s/rho - 1) D/S; q(h) by the log law of the box",
    calculate_motion,
)
.inputs(&[
    s::symbol("stone", "size of the stone", D::SieveSize, "mm", (0.001, 0.3), Some(0.025)),
    s::SLOPE,
    s::RIFFLE_HEIGHT,
    s::ROUGHNESS_RATIO,
    s::symbol("shields", "Shields number of first motion", D::Number, "-", (0.03, 0.08), Some(STONE_SHIELDS)),
])
.outputs(&[
    s::output("depth", "depth of the slurry", D::Length, "mm"),
    s::output("flow_per_width", "slurry per width", D::FlowPerWidth, "L/s/m"),
])
.source("Shields 0.045-0.06 and the log law of the wall, both from memory", Status::Memory)
.limits("stones among their like; one that sticks out of finer gravel moves in less water")];

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::constants::STANDARD_GRAVITY_M_S2;

    fn demand() -> BoxDemand {
        BoxDemand {
            width_m: 0.9,
            riffle_height_m: 0.006,
            channel: Channel {
                slope: 0.146,
                roughness_m: 0.0084,
                gravity_m_s2: STANDARD_GRAVITY_M_S2,
                von_karman: 0.40,
            },
            solids_m3_s: 0.003,
            largest_stone_m: 0.012,
            cover_ratio: 1.0,
        }
    }

    #[test]
    fn identity_each_need_meets_its_own_rule() {
        let d = demand();
        let n = box_needs(&d);
        assert!(((n.width_m3_s + d.solids_m3_s) / d.width_m - 0.040).abs() < 1e-12);
        assert!((d.solids_m3_s / (d.solids_m3_s + n.solids_m3_s) - MOST_SOLIDS_BY_VOLUME).abs() < 1e-12);
        let depth = crate::flow::normal_depth_m((n.cover_m3_s + d.solids_m3_s) / d.width_m, &d.channel);
        assert!((depth - 0.012).abs() < 1e-9);
        let depth = motion_depth_m(STONE_SHIELDS, d.largest_stone_m, d.channel.slope);
        let shear = 1000.0 * STANDARD_GRAVITY_M_S2 * depth * d.channel.slope;
        assert!(
            (shear / (STONE_SHIELDS * GRAVEL_SUBMERGED_GRAVITY * 1000.0 * STANDARD_GRAVITY_M_S2 * 0.012) - 1.0).abs()
                < 1e-12
        );
    }

    #[test]
    fn property_needs_grow_with_what_asks_for_them() {
        let n = box_needs(&demand());
        let more = |d: BoxDemand| box_needs(&d);
        assert!(more(BoxDemand { width_m: 1.2, ..demand() }).width_m3_s > n.width_m3_s);
        assert!(more(BoxDemand { solids_m3_s: 0.005, ..demand() }).solids_m3_s > n.solids_m3_s);
        let stones = more(BoxDemand { largest_stone_m: 0.025, ..demand() });
        assert!(stones.cover_m3_s > n.cover_m3_s && stones.motion_m3_s >= n.motion_m3_s);
        let flat =
            BoxDemand { channel: Channel { slope: 0.03, ..demand().channel }, largest_stone_m: 0.025, ..demand() };
        assert!(more(flat).motion_m3_s > stones.motion_m3_s, "a flatter box moves its stones with more water");
    }
}
