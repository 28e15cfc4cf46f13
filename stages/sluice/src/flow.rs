//! Depth and speed of the slurry over riffles: normal depth from the logarithmic law of the wall.
//!
//! The stream in a sluice is shallow, steep and rough: a few riffle heights deep and faster than its own waves
//! (Froude number 1.3 to 5), so that nothing downstream sets its depth and normal depth is reached within a metre or two.

use crate::symbols as s;
use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::Formula;
use sim_core::math::{cbrt, exp, ln, ln_1p};
use sim_core::quantity::Dimension as D;

/// Factor in ln(1 + 11 h/k_s), [-]: 30/e of the rough-wall log law averaged over the depth. Source: Keulegan 1938
/// (from memory); the 1 + keeps the law defined when the flow is shallower than the riffles.
pub const LOG_LAW_FACTOR: f64 = 11.0;

/// Start of the search: U/u* assumed 9 here, near the value over riffles, so that two or three steps are enough.
const START_VELOCITY_RATIO: f64 = 9.0;

/// The search stops once a relative step is below this; the error left is less than its square.
const STEP_TOLERANCE: f64 = 1.0e-7;

/// More steps than the search ever needs: ln q is concave in ln h with a slope between 1.5 and 2.5, so that every step
/// at least halves the error.
const MOST_STEPS: usize = 40;

/// What decides the depth besides the flow itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// Slope, the tangent of the angle [-], > 0.
    pub slope: f64,
    /// Equivalent roughness k_s of the bed (m), > 0; see [`roughness_m`].
    pub roughness_m: f64,
    /// Gravity [m/s2].
    pub gravity_m_s2: f64,
    /// Von Karman's constant [-].
    pub von_karman: f64,
}

/// Equivalent roughness of a riffled bed.
///
/// k_s = c_k h_r
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | c_k | roughness ratio | - | 1-2, default 1.4 |
/// | h_r | riffle height | m | 0.004-0.032 |
///
/// Source: form assumed; c_k fitted to the speed of 1.8-2.2 m/s quoted for angle-iron riffles (Poling 1989 and Clarkson
/// 1990 in a web article on sluice sizing, seen). Recovery hardly depends on it.
pub fn roughness_m(roughness_ratio: f64, riffle_height_m: f64) -> f64 {
    roughness_ratio * riffle_height_m
}

/// Shear velocity of a wide stream.
///
/// u* = sqrt(g h S)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | h | depth | m | 0.005-0.15 |
/// | S | slope, the tangent (not the sine: at 13.5 degrees 0.240 against 0.233) | - | 0.08-0.27 |
///
/// Source: force balance of uniform flow, any text on open channels. Side walls are neglected: a box much wider than
/// the stream is deep.
#[inline]
pub fn shear_velocity_m_s(depth_m: f64, channel: &Channel) -> f64 {
    (channel.gravity_m_s2 * depth_m * channel.slope).sqrt()
}

/// Slurry flow per width that runs at a given depth.
///
/// q = h (u*/kappa) ln(1 + 11 h/k_s)
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | q | slurry flow per width | m2/s | 0.015-0.12 |
/// | h | depth | m | > 0 |
/// | u* | shear velocity, sqrt(g h S) | m/s | |
/// | k_s | roughness, c_k h_r | m | > 0 |
/// | kappa | von Karman's constant | - | 0.40 |
///
/// Source: log law of the wall averaged over depth (Keulegan 1938, from memory); the 1 + is ours. Simplified: the solids
/// do not change the law; standing waves over the riffles are averaged out. Outside the range it stays smooth and rises
/// with depth.
#[inline]
pub fn flow_per_width_m2_s(depth_m: f64, channel: &Channel) -> f64 {
    let y = LOG_LAW_FACTOR * depth_m / channel.roughness_m;
    depth_m * shear_velocity_m_s(depth_m, channel) / channel.von_karman * ln_1p(y)
}

/// Slope of ln q against ln h.
///
/// G = 3/2 + y/((1 + y) ln(1 + y)), y = 11 h/k_s; between 1.5 (deep) and 2.5 (shallower than the riffles).
///
/// Source: derivative of [`flow_per_width_m2_s`], computed. From it dh/dq = h/(q G) and dh/dS = -h/(2 S G).
#[inline]
pub fn flow_exponent(depth_m: f64, channel: &Channel) -> f64 {
    let y = LOG_LAW_FACTOR * depth_m / channel.roughness_m;
    1.5 + y / ((1.0 + y) * ln_1p(y))
}

/// Normal depth of the slurry (m): the h that solves [`flow_per_width_m2_s`] = q.
///
/// Newton's method in ln h: ln h <- ln h - ln(q(h)/q)/G from h = (q/(9 sqrt(g S)))^(2/3).
///
/// Needs q, slope and roughness above zero; gives 0 otherwise (a box without running water has no stream).
pub fn normal_depth_m(flow_per_width_m2_s: f64, channel: &Channel) -> f64 {
    if !(flow_per_width_m2_s > 0.0 && channel.slope > 0.0 && channel.roughness_m > 0.0) {
        return 0.0;
    }
    let c = (channel.gravity_m_s2 * channel.slope).sqrt() / (channel.von_karman * flow_per_width_m2_s);
    let per_roughness = LOG_LAW_FACTOR / channel.roughness_m;
    let start = 1.0 / (START_VELOCITY_RATIO * channel.von_karman * c);
    let mut h = cbrt(start * start);
    for _ in 0..MOST_STEPS {
        let y = per_roughness * h;
        let l = ln_1p(y);
        let step = ln(c * h * h.sqrt() * l) / (1.5 + y / ((1.0 + y) * l));
        h *= exp(-step);
        if step.abs() < STEP_TOLERANCE {
            break;
        }
    }
    h
}

/// [`normal_depth_m`] from a depth near the answer (that of a slightly different flow); all inputs above zero.
///
/// Newton's method on q itself: h <- h (1 - (1 - q/q(h))/G). It needs one logarithm a step; q is convex in h, so that it
/// converges from any start, only slowly from far away.
#[inline]
pub(crate) fn normal_depth_near(start_m: f64, flow: f64, channel: &Channel) -> f64 {
    let c = (channel.gravity_m_s2 * channel.slope).sqrt() / (channel.von_karman * flow);
    let per_roughness = LOG_LAW_FACTOR / channel.roughness_m;
    let mut h = start_m;
    for _ in 0..MOST_STEPS {
        let y = per_roughness * h;
        let l = ln_1p(y);
        let relative = c * h * h.sqrt() * l;
        let step = (1.0 - 1.0 / relative) / (1.5 + y / ((1.0 + y) * l));
        h *= 1.0 - step;
        if step.abs() < STEP_TOLERANCE {
            break;
        }
    }
    h
}

/// Froude number, U/sqrt(g h) [-]: above 1 the stream runs faster than its own waves. Source: any text on open channels.
#[inline]
pub fn froude(velocity_m_s: f64, depth_m: f64, gravity_m_s2: f64) -> f64 {
    velocity_m_s / (gravity_m_s2 * depth_m).sqrt()
}

/// Shear stress on the bed, tau_b = rho u*^2 (Pa). Source: definition of the shear velocity.
#[inline]
pub fn bed_shear_pa(water_density_kg_m3: f64, shear_velocity_m_s: f64) -> f64 {
    water_density_kg_m3 * shear_velocity_m_s * shear_velocity_m_s
}

/// Gravity used by the published rows and the fit [m/s2]; the plant uses the standard value.
pub(crate) const FIT_GRAVITY_M_S2: f64 = 9.81;

fn channel_at(slope: f64, riffle_height_m: f64, ratio: f64, gravity_m_s2: f64) -> Channel {
    Channel {
        slope,
        roughness_m: roughness_m(ratio, riffle_height_m),
        gravity_m_s2,
        von_karman: sim_core::constants::VON_KARMAN,
    }
}

fn calculate_depth(inputs: &[f64]) -> Vec<f64> {
    let [q, slope, riffle, ratio, rho, g] = *inputs else {
        return vec![f64::NAN; 6];
    };
    let channel = channel_at(slope, riffle, ratio, g);
    let h = normal_depth_m(q, &channel);
    if !(h > 0.0) {
        return vec![f64::NAN; 6];
    }
    let u_star = shear_velocity_m_s(h, &channel);
    let u = q / h;
    vec![h, u, u_star, froude(u, h, g), bed_shear_pa(rho, u_star), flow_exponent(h, &channel)]
}

fn calculate_flow(inputs: &[f64]) -> Vec<f64> {
    let [h, slope, riffle, ratio, g] = *inputs else {
        return vec![f64::NAN; 2];
    };
    let q = flow_per_width_m2_s(h, &channel_at(slope, riffle, ratio, g));
    vec![q, q / h]
}

const GRAVITY: sim_core::formula::Symbol =
    s::symbol("gravity", "acceleration of gravity", D::Acceleration, "m/s2", (9.7, 9.9), Some(FIT_GRAVITY_M_S2));

/// Handbook entries of the flow over riffles.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "sluice-depth",
        "Depth, speed and bed shear of slurry over riffles at a given flow per width.",
        "q = h (u*/kappa) ln(1 + 11 h/k_s), u* = sqrt(g h S), k_s = c_k h_r, solved for h",
        calculate_depth,
    )
    .inputs(&[s::FLOW_PER_WIDTH, s::SLOPE, s::RIFFLE_HEIGHT, s::ROUGHNESS_RATIO, s::WATER_DENSITY, GRAVITY])
    .outputs(&[
        s::output("depth", "depth of the slurry", D::Length, "mm"),
        s::output("velocity", "mean velocity", D::Velocity, "m/s"),
        s::output("shear_velocity", "shear velocity", D::Velocity, "m/s"),
        s::output("froude", "Froude number", D::Number, "-"),
        s::output("bed_shear", "shear stress on the bed", D::Stress, "Pa"),
        s::output("flow_exponent", "d ln q / d ln h", D::Number, "-"),
    ])
    .source(
        "log law of the wall averaged over depth (Keulegan 1938); c_k fitted to published sluice velocities",
        Status::Memory,
    )
    .limits("wide box, steady uniform flow, side walls neglected; solids do not change the law"),
    Formula::new(
        "sluice-flow-at-depth",
        "Slurry per width of box that runs at a given depth over riffles.",
        "q = h (u*/kappa) ln(1 + 11 h/k_s), u* = sqrt(g h S), k_s = c_k h_r",
        calculate_flow,
    )
    .inputs(&[s::DEPTH, s::SLOPE, s::RIFFLE_HEIGHT, s::ROUGHNESS_RATIO, GRAVITY])
    .outputs(&[
        s::output("flow_per_width", "slurry per width", D::FlowPerWidth, "L/s/m"),
        s::output("velocity", "mean velocity", D::Velocity, "m/s"),
    ])
    .source(
        "log law of the wall averaged over depth (Keulegan 1938); c_k fitted to published sluice velocities",
        Status::Memory,
    )
    .limits("wide box, steady uniform flow, side walls neglected"),
];

/// Tangent of 13.5 degrees, the middle of the published 12 to 15 degrees of angle-iron runs.
fn tangent_13_5_degrees() -> f64 {
    sim_core::math::tan(13.5_f64.to_radians())
}

fn velocity(q: f64, slope: f64, riffle_height_m: f64) -> f64 {
    q / normal_depth_m(q, &channel_at(slope, riffle_height_m, 1.4, FIT_GRAVITY_M_S2))
}

fn em_channel() -> Channel {
    channel_at(0.146, 0.006, 1.4, FIT_GRAVITY_M_S2)
}

const MODEL: &str = "sluice depth, log law";

/// Checks of the flow over riffles.
pub const CHECKS: &[Check] = &[
    Check::new("sluice-velocity-expanded-metal", MODEL, || velocity(0.040, 0.146, 0.006))
        .against(
            Kind::Published,
            "web article on sluice sizing quoting Poling 1989 and Clarkson 1990: 1.5-1.8 m/s over 6 mm expanded \
                 metal at 2400 L/min per m; slope 1.75 in/ft from memory",
            Status::Seen,
        )
        .value(1.65, "m/s")
        .within(Band::Absolute(0.15)),
    Check::new("sluice-velocity-angle-iron", MODEL, || velocity(0.080, tangent_13_5_degrees(), 0.025))
        .against(
            Kind::PublishedUsedInFit,
            "same article and Clarkson 1994 (CIM Bulletin 87(979), abstract): 1.8-2.2 m/s over 1 in angle iron at \
                 4800 L/min per m, 12-15 degrees; it set the roughness ratio",
            Status::Seen,
        )
        .value(2.0, "m/s")
        .within(Band::Absolute(0.2)),
    Check::new("sluice-depth-closes", MODEL, || {
        let channel = em_channel();
        let mut worst = 0.0_f64;
        let mut q = 1.0e-4;
        while q < 10.0 {
            let back = flow_per_width_m2_s(normal_depth_m(q, &channel), &channel);
            worst = worst.max((back / q - 1.0).abs());
            q *= 1.7;
        }
        worst
    })
    .against(
        Kind::Identity,
        "flow computed back from the solved depth, worst relative error over q 1e-4 to 10 m2/s",
        Status::Computed,
    )
    .value(0.0, "-")
    .within(Band::Absolute(1.0e-12)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    fn em_depth() -> f64 {
        normal_depth_m(0.040, &em_channel())
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("sluice-depth-em", em_depth),
        ("sluice-mean-velocity-em", || 0.040 / em_depth()),
        ("sluice-shear-velocity-em", || shear_velocity_m_s(em_depth(), &em_channel())),
        ("sluice-flow-exponent-em", || flow_exponent(em_depth(), &em_channel())),
        ("sluice-bed-shear-em", || bed_shear_pa(1000.0, shear_velocity_m_s(em_depth(), &em_channel()))),
        ("sluice-bed-shear-angle-iron", || {
            let channel = channel_at(tangent_13_5_degrees(), 0.025, 1.4, FIT_GRAVITY_M_S2);
            bed_shear_pa(1000.0, shear_velocity_m_s(normal_depth_m(0.080, &channel), &channel))
        }),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_no_water_no_depth_and_never_nan() {
        assert_eq!(normal_depth_m(0.0, &em_channel()), 0.0);
        assert_eq!(normal_depth_m(-1.0, &em_channel()), 0.0);
        assert_eq!(normal_depth_m(0.04, &Channel { slope: 0.0, ..em_channel() }), 0.0);
        for q in [1e-12, 1e-6, 1e-3, 1.0, 1e3] {
            assert!(normal_depth_m(q, &em_channel()).is_finite());
        }
    }
}
