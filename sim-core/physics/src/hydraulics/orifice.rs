//! Holes and nozzles: how much water leaves, how fast, how hard it pushes and how far it reaches.
//!
//! Heads are metres of the water itself, above the pressure of the air outside. One hole passes
//!
//! ```text
//!   Q = Cd A sqrt(2 dp / rho) = c sqrt(h),    A = pi d^2 / 4,    c = Cd A sqrt(2 g)
//! ```

use std::f64::consts::PI;

use washgraph_units::check::Status;
use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;
use washgraph_units::math::{cos, sin};

/// How an outlet was made, and the discharge coefficient that goes with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutletKind {
    /// Name used in scenarios, kebab-case.
    pub name: &'static str,
    /// What it looks like, in plain words.
    pub looks: &'static str,
    /// Discharge coefficient to take when nothing better is known (-).
    pub cd: f64,
    /// Lowest coefficient worth sampling (-).
    pub cd_low: f64,
    /// Highest coefficient worth sampling (-).
    pub cd_high: f64,
    /// Where the coefficient comes from.
    pub source: &'static str,
    /// How it came to us.
    pub status: Status,
}

/// Discharge coefficients by the way the outlet was made. The sampling limits are our judgement throughout.
///
/// A torch-cut hole passes a third less than a drilled one of the same size: ask how the holes were made.
pub const OUTLET_KINDS: &[OutletKind] = &[
    OutletKind {
        name: "drilled",
        looks: "drilled hole, or hole in a thin plate with a sharp edge",
        cd: 0.61,
        cd_low: 0.55,
        cd_high: 0.68,
        source: "0.60-0.62 on orifice reference pages and FHWA HEC-22 section 10.8.2; sampling limits assumed",
        status: Status::Seen,
    },
    OutletKind {
        name: "torch-cut",
        looks: "ragged hole cut with a torch",
        cd: 0.40,
        cd_low: 0.35,
        cd_high: 0.50,
        source: "FHWA HEC-22 section 10.8.2 (ragged edge); sampling limits assumed",
        status: Status::Seen,
    },
    OutletKind {
        name: "short-tube",
        looks: "short straight tube, or a square sharp outlet from a barrel",
        cd: 0.80,
        cd_low: 0.75,
        cd_high: 0.85,
        source: "outlet coefficients of hydrant testing (NFPA 291); sampling limits assumed",
        status: Status::Seen,
    },
    OutletKind {
        name: "rounded",
        looks: "smooth, well rounded outlet",
        cd: 0.90,
        cd_low: 0.85,
        cd_high: 0.93,
        source: "NFPA 291 outlet figure, as quoted; sampling limits assumed",
        status: Status::Seen,
    },
    OutletKind {
        name: "flow-tube",
        looks: "smooth-bore nozzle or flow tube",
        cd: 0.95,
        cd_low: 0.92,
        cd_high: 0.98,
        source: "NFPA 291 outlet figure, as quoted; sampling limits assumed",
        status: Status::Seen,
    },
    OutletKind {
        name: "projecting",
        looks: "nipple or tube that sticks into the header or barrel",
        cd: 0.70,
        cd_low: 0.62,
        cd_high: 0.76,
        source: "NFPA 291 outlet figure, as quoted, for hydrants; carrying it to a header nipple is assumed",
        status: Status::Seen,
    },
    OutletKind {
        name: "moulded",
        looks: "moulded plastic or cast spray nozzle",
        cd: 0.95,
        cd_low: 0.92,
        cd_high: 0.97,
        source: "assumed here; the maker's flow at a stated pressure is better",
        status: Status::Assumed,
    },
];

/// Area of a round hole.
///
/// `A = pi d^2 / 4`. `d` diameter (m), 0 or more; result (m2). Geometry.
pub fn hole_area_m2(hole_m: f64) -> f64 {
    0.25 * PI * hole_m * hole_m
}

/// Water through a hole under a pressure difference.
///
/// `Q = Cd A sqrt(2 dp / rho)`; `Cd` 0.4-0.98 (-), `A` hole area (m2), `dp` pressure over the hole (Pa), `rho` density
/// (kg/m3); result (m3/s). Source: Torricelli and the discharge coefficient, any hydraulics text.
/// Simplified: `Cd` does not change with pressure (true above about Re 1e4 in the hole). A pressure below zero gives zero:
/// air is drawn in, water does not come back.
pub fn orifice_flow_m3_s(discharge_coefficient: f64, area_m2: f64, pressure_pa: f64, density_kg_m3: f64) -> f64 {
    discharge_coefficient * area_m2 * (2.0 * pressure_pa.max(0.0) / density_kg_m3).sqrt()
}

/// What a hole passes under one metre of head.
///
/// `c = Cd A sqrt(2 g)`, so that `Q = c sqrt(h)`; result (m^2.5/s). Source: same as [`orifice_flow_m3_s`].
///
/// ```
/// # use washgraph_physics::hydraulics::orifice::emitter_coefficient;
/// // A 6 mm drilled hole.
/// assert!((emitter_coefficient(0.61, 0.006) - 7.638e-5).abs() < 1e-8);
/// ```
pub fn emitter_coefficient(discharge_coefficient: f64, hole_m: f64) -> f64 {
    discharge_coefficient * hole_area_m2(hole_m) * (2.0 * G).sqrt()
}

/// Water through an outlet of known emitter coefficient.
///
/// `Q = c sqrt(h)`; `c` (m^2.5/s), `h` head over the outlet (m); result (m3/s). Zero for a head below zero.
pub fn emitter_flow_m3_s(emitter_coefficient: f64, head_m: f64) -> f64 {
    emitter_coefficient * head_m.max(0.0).sqrt()
}

/// Speed of a jet at the outlet.
///
/// `v = sqrt(2 dp / rho)`; result (m/s). Source: Torricelli. Simplified: no loss in the outlet (the true speed is 2-3 %
/// less for a sharp hole). Zero for a pressure below zero.
pub fn jet_speed_m_s(pressure_pa: f64, density_kg_m3: f64) -> f64 {
    (2.0 * pressure_pa.max(0.0) / density_kg_m3).sqrt()
}

/// Push of a jet on what stops it, and on the nozzle that holds it.
///
/// `F = rho Q v`; `rho` (kg/m3), `Q` (m3/s), `v` (m/s); result (N). Source: momentum law. The jet is taken to be stopped
/// dead or turned square to its path.
pub fn jet_thrust_n(density_kg_m3: f64, flow_m3_s: f64, speed_m_s: f64) -> f64 {
    density_kg_m3 * flow_m3_s * speed_m_s
}

/// How far a jet flies before it has dropped to the level of its target.
///
/// `x = v cos(a)/g (v sin(a) + sqrt(v^2 sin(a)^2 + 2 g z))`; `v` speed at the outlet (m/s), `a` angle above level (rad),
/// `z` height of the outlet over the target (m); result (m). Source: free flight, any mechanics text.
/// Simplified: no air drag and no break-up, so it is an upper bound; small jets reach half of it or less. NaN when the
/// target lies higher than the jet can climb.
pub fn jet_reach_m(speed_m_s: f64, angle_rad: f64, outlet_above_target_m: f64) -> f64 {
    let up_m_s = speed_m_s * sin(angle_rad);
    let along_m_s = speed_m_s * cos(angle_rad);
    along_m_s / G * (up_m_s + (up_m_s * up_m_s + 2.0 * G * outlet_above_target_m).sqrt())
}

/// Hydrant-test form of the outlet flow, in its own US units.
///
/// `Q[gpm] = 29.83 c d[in]^2 sqrt(P[psi])`; result in US gal/min. Source: NFPA 291 (29.83 or 29.84 by edition).
/// Used only to test the SI form; the rest of the tool calls [`orifice_flow_m3_s`].
pub fn hydrant_outlet_flow_gpm(discharge_coefficient: f64, outlet_in: f64, pressure_psi: f64) -> f64 {
    29.83 * discharge_coefficient * outlet_in * outlet_in * pressure_psi.max(0.0).sqrt()
}

/// Lowest share of the coefficient that cross-flow may leave (-). Assumed.
pub const CROSS_FLOW_FLOOR: f64 = 0.4;

/// Discharge coefficient of a hole past which the header's water runs.
///
/// `Cd = Cd0 max(0.4, 1 - k (V^2/2g)/E)`; `Cd0` coefficient without cross-flow (-), `k` slope (-) (0 off, 0.58 proposed,
/// 0.92 from a fit to diffusers), `V` speed in the header just before the hole (m/s), `E` head over the
/// hole, pressure and speed together (m); result (-). Source: diffuser and manifold practice, from memory; no curve could be verified,
/// so `k` is 0 unless the user sets it, and the floor is assumed.
pub fn cross_flow_discharge_coefficient(cd0: f64, slope: f64, header_speed_m_s: f64, head_m: f64) -> f64 {
    if slope == 0.0 || head_m <= 0.0 {
        return cd0;
    }
    let share = header_speed_m_s * header_speed_m_s / (2.0 * G) / head_m;
    cd0 * (1.0 - slope * share).max(CROSS_FLOW_FLOOR)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_jet_power_is_pressure_times_flow() {
        let (dp, rho) = (140_000.0, 999.0);
        let speed = jet_speed_m_s(dp, rho);
        let flow = orifice_flow_m3_s(1.0, 1e-4, dp, rho);
        assert!((0.5 * jet_thrust_n(rho, flow, speed) * speed - dp * flow).abs() < 1e-9 * dp * flow);
    }

    #[test]
    fn property_each_outlet_kind_lies_in_its_own_range() {
        for kind in OUTLET_KINDS {
            assert!(kind.cd_low < kind.cd && kind.cd < kind.cd_high, "{}", kind.name);
        }
    }

    #[test]
    fn identity_level_jet_falls_as_a_stone() {
        let reach = jet_reach_m(10.0, 0.0, 1.0);
        assert!((reach - 10.0 * (2.0 / G).sqrt()).abs() < 1e-12);
    }
}
