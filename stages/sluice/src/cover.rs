//! Water over the rocks: how deep the stream must be for the largest rock that comes through the holes.

use crate::flow::{Channel, flow_per_width_m2_s};
use crate::symbols as s;
use sim_core::check::Status;
use sim_core::formula::{Formula, Symbol};
use sim_core::quantity::Dimension as D;

/// Least depth of the design sweep (m): about the depth of the published minimum flow over expanded metal. Assumed.
pub const LEAST_DESIGN_DEPTH_M: f64 = 0.024;

/// Factor of the Isbash formula for a stone on top of others (not embedded) [-]. Source: Isbash 1936 (from memory).
pub const ISBASH_EXPOSED: f64 = 0.86;

/// Depth that covers the largest rock.
///
/// h = c_h D_max
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | D_max | the largest rock that the holes pass | m | 0.006-0.05 |
/// | c_h | depth wanted / rock size | - | 0.6-1.2, default 1 |
///
/// Source: old rule of the trade, that the water cover the largest boulder (seen in an old treatise); range assumed.
pub fn cover_depth_m(cover_ratio: f64, largest_rock_m: f64) -> f64 {
    cover_ratio * largest_rock_m
}

/// Depth to which a re-tuned box is set when the holes change: max(c_h D_max, 24 mm).
///
/// The corner where the rule changes hands is meant: below it the riffles need their minimum water, above it the rocks
/// do. Source: assumed.
pub fn design_depth_m(cover_ratio: f64, largest_rock_m: f64) -> f64 {
    cover_depth_m(cover_ratio, largest_rock_m).max(LEAST_DESIGN_DEPTH_M)
}

/// Flow per width to which a re-tuned box is set: the flow that runs at [`design_depth_m`].
pub fn design_flow_m2_s(cover_ratio: f64, largest_rock_m: f64, channel: &Channel) -> f64 {
    flow_per_width_m2_s(design_depth_m(cover_ratio, largest_rock_m), channel)
}

/// Velocity at which a loose rock starts to roll.
///
/// U = 0.86 sqrt(2 g 1.65 D)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | D | rock size | m | 0.01-0.3 |
///
/// Source: Isbash 1936 (from memory). On the usual slopes the depth that covers the rock binds, not this.
pub fn loose_rock_velocity_m_s(rock_m: f64, gravity_m_s2: f64) -> f64 {
    ISBASH_EXPOSED * (2.0 * gravity_m_s2 * crate::packing::GRAVEL_SUBMERGED_GRAVITY * rock_m).sqrt()
}

const ROCK: Symbol =
    s::symbol("largest_rock", "largest rock that the holes pass", D::SieveSize, "mm", (0.006, 0.05), Some(0.025));

fn calculate_design(inputs: &[f64]) -> Vec<f64> {
    let [rock, cover, slope, riffle, ratio] = *inputs else {
        return vec![f64::NAN; 3];
    };
    let channel = Channel {
        slope,
        roughness_m: crate::flow::roughness_m(ratio, riffle),
        gravity_m_s2: crate::flow::FIT_GRAVITY_M_S2,
        von_karman: sim_core::constants::VON_KARMAN,
    };
    let depth = design_depth_m(cover, rock);
    let q = flow_per_width_m2_s(depth, &channel);
    vec![q, depth, q / depth]
}

fn calculate_rock(inputs: &[f64]) -> Vec<f64> {
    let [rock] = *inputs else {
        return vec![f64::NAN];
    };
    vec![loose_rock_velocity_m_s(rock, crate::flow::FIT_GRAVITY_M_S2)]
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "sluice-design-flow",
        "Slurry per width of box that covers the largest rock from the screen.",
        "h = max(c_h D_max, 24 mm); q = h (u*/kappa) ln(1 + 11 h/k_s)",
        calculate_design,
    )
    .inputs(&[
        ROCK,
        s::symbol("cover_ratio", "depth wanted / rock size", D::Number, "-", (0.6, 1.2), Some(1.0)),
        s::SLOPE,
        s::RIFFLE_HEIGHT,
        s::ROUGHNESS_RATIO,
    ])
    .outputs(&[
        s::output("flow_per_width", "slurry per width", D::FlowPerWidth, "L/s/m"),
        s::output("depth", "depth", D::Length, "mm"),
        s::output("velocity", "mean velocity", D::Velocity, "m/s"),
    ])
    .source(
        "old rule that the water cover the largest boulder; log law of the wall; least depth assumed here",
        Status::Seen,
    )
    .limits("g 9.81 m/s2; above 38 mm rock good for ranking only"),
    Formula::new(
        "loose-rock-velocity",
        "Velocity of water at which a loose rock starts to roll.",
        "U = 0.86 sqrt(2 g 1.65 D)",
        calculate_rock,
    )
    .inputs(&[s::symbol("rock_size", "rock size", D::SieveSize, "mm", (0.01, 0.3), Some(0.05))])
    .outputs(&[s::output("velocity", "velocity", D::Velocity, "m/s")])
    .source("Isbash 1936", Status::Memory)
    .limits("g 9.81 m/s2, rock of 2650 kg/m3 in clear water"),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// A run at slope 0.146 with riffles of a quarter of the hole, within 6 and 32 mm.
    fn trade_off_channel(hole_m: f64) -> Channel {
        Channel {
            slope: 0.146,
            roughness_m: crate::flow::roughness_m(1.4, (0.25 * hole_m).clamp(0.006, 0.032)),
            gravity_m_s2: crate::flow::FIT_GRAVITY_M_S2,
            von_karman: sim_core::constants::VON_KARMAN,
        }
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("loose-rock-25mm", || loose_rock_velocity_m_s(0.025, 9.81)),
        ("loose-rock-50mm", || loose_rock_velocity_m_s(0.050, 9.81)),
        ("loose-rock-100mm", || loose_rock_velocity_m_s(0.100, 9.81)),
        ("sluice-design-flow-12mm", || design_flow_m2_s(1.0, 0.012, &trade_off_channel(0.012))),
        ("sluice-design-flow-25mm", || design_flow_m2_s(1.0, 0.025, &trade_off_channel(0.025))),
        ("sluice-design-flow-38mm", || design_flow_m2_s(1.0, 0.038, &trade_off_channel(0.038))),
        ("sluice-design-flow-50mm", || design_flow_m2_s(1.0, 0.050, &trade_off_channel(0.050))),
        ("sluice-design-flow-75mm", || design_flow_m2_s(1.0, 0.075, &trade_off_channel(0.075))),
    ];
}
