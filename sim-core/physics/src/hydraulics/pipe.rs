//! Friction in hose and pipe.
//!
//! ```text
//!   h_f = (f L/D + K) V^2 / 2g          f from Re = V D / nu and the relative roughness e/D
//! ```
//!
//! The solvers use Churchill's f, which covers laminar and turbulent flow in one smooth line. Swamee-Jain and Colebrook are
//! there to reproduce published examples and to test; Hazen-Williams because hose tables are printed in it.
//! The head is in metres of the fluid that runs through the pipe.

use std::f64::consts::PI;

use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;
use washgraph_units::math::{exp, ln, log10, pow};

/// Which law gives the friction factor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FrictionLaw {
    /// Churchill 1977, all Re: the one to use.
    #[default]
    Churchill,
    /// Swamee & Jain 1976 above Re 500, never less than 64/Re, which alone holds below. For reproducing published examples.
    SwameeJain,
}

impl FrictionLaw {
    /// Darcy friction factor (-) at `reynolds` and relative roughness `e/D`.
    #[inline]
    pub fn factor(self, reynolds: f64, relative_roughness: f64) -> f64 {
        match self {
            FrictionLaw::Churchill => friction_churchill(reynolds, relative_roughness),
            // The explicit formula means nothing in laminar flow and blows up near Re 7.
            FrictionLaw::SwameeJain if reynolds < 500.0 => friction_laminar(reynolds),
            FrictionLaw::SwameeJain => {
                friction_laminar(reynolds).max(friction_swamee_jain(reynolds, relative_roughness))
            }
        }
    }
}

/// Reynolds number of a full pipe.
///
/// `Re = V D / nu`; `V` mean speed (m/s), `D` bore (m), `nu` kinematic viscosity (m2/s); result (-).
pub fn reynolds(speed_m_s: f64, bore_m: f64, kinematic_viscosity_m2_s: f64) -> f64 {
    speed_m_s.abs() * bore_m / kinematic_viscosity_m2_s
}

/// Darcy friction factor of laminar flow.
///
/// `f = 64/Re`; valid below Re about 2100. Source: Hagen-Poiseuille. Infinite at Re = 0.
pub fn friction_laminar(reynolds: f64) -> f64 {
    64.0 / reynolds
}

/// Darcy friction factor, laminar to fully rough, in one formula.
///
/// ```text
///   f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12)
///   A = {2.457 ln 1/[(7/Re)^0.9 + 0.27 e/D]}^16,   B = (37530/Re)^16
/// ```
/// `Re` Reynolds number (-), any; `e/D` relative roughness 0-0.05 (-); result (-).
/// Source: S. W. Churchill, Chemical Engineering 84 (24), 1977, p. 91 (from memory).
/// Simplified: the transition from laminar to turbulent is a smooth blend. Against Colebrook +0.65 % at Re 3e5, e/D 5e-4,
/// and at worst +1.9 % of the points tried (Re 5000, e/D 2e-3). Below Re 1 the laminar law is returned.
#[inline]
pub fn friction_churchill(reynolds: f64, relative_roughness: f64) -> f64 {
    if reynolds < 1.0 {
        return friction_laminar(reynolds);
    }
    let a = to_16th(-2.457 * ln(exp(0.9 * ln(7.0 / reynolds)) + 0.27 * relative_roughness));
    let b = to_16th(37_530.0 / reynolds);
    let sum = a + b;
    let turbulent = 8.0 / sum.sqrt().sqrt().sqrt();
    // Share of the laminar term: below rounding in turbulent flow, where the costly root is then spared.
    let laminar = to_4th(8.0 / reynolds);
    let share = laminar * laminar * laminar * sum * sum.sqrt();
    if share < 1e-16 { turbulent } else { turbulent * exp(ln(1.0 + share) / 12.0) }
}

fn to_4th(x: f64) -> f64 {
    let square = x * x;
    square * square
}

fn to_16th(x: f64) -> f64 {
    to_4th(to_4th(x))
}

/// Darcy friction factor of turbulent flow, explicit.
///
/// `f = 0.25 / [log10(e/(3.7 D) + 5.74/Re^0.9)]^2`; `Re` 5e3-1e8, `e/D` 1e-6-0.05.
/// Source: Swamee & Jain, J. Hydraulics Div. ASCE 102 (1976) 657-664. Within about 2 % of Colebrook in its range;
/// outside it means nothing.
pub fn friction_swamee_jain(reynolds: f64, relative_roughness: f64) -> f64 {
    let x = log10(relative_roughness / 3.7 + 5.74 / pow(reynolds, 0.9));
    0.25 / (x * x)
}

/// Darcy friction factor of turbulent flow by the implicit law that the explicit ones imitate.
///
/// `1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt f))`; `Re` above 4000. Source: C. F. Colebrook, J. Inst. Civil Engineers 11
/// (1939) 133-156. Solved by fixed point from Swamee-Jain; used as a test oracle.
pub fn friction_colebrook(reynolds: f64, relative_roughness: f64) -> f64 {
    let mut inverse_root = 1.0 / friction_swamee_jain(reynolds, relative_roughness).sqrt();
    for _ in 0..40 {
        inverse_root = -2.0 * log10(relative_roughness / 3.7 + 2.51 * inverse_root / reynolds);
    }
    1.0 / (inverse_root * inverse_root)
}

/// Mean speed in a full pipe.
///
/// `V = Q / (pi D^2/4)`; `Q` (m3/s), `D` bore (m); result (m/s).
pub fn pipe_speed_m_s(flow_m3_s: f64, bore_m: f64) -> f64 {
    flow_m3_s / (0.25 * PI * bore_m * bore_m)
}

/// Head lost to friction along a pipe.
///
/// `h_f = f (L/D) V^2/2g`; `f` Darcy factor (-), `L` length (m), `D` bore (m), `V` speed (m/s); result (m of the fluid).
/// Source: Darcy and Weisbach.
pub fn darcy_head_loss_m(friction_factor: f64, length_m: f64, bore_m: f64, speed_m_s: f64) -> f64 {
    friction_factor * length_m / bore_m * speed_m_s * speed_m_s / (2.0 * G)
}

/// Head lost at a fitting.
///
/// `h = K V^2/2g`; `K` loss coefficient (-), `V` speed in the pipe to which `K` refers (m/s); result (m).
pub fn minor_head_loss_m(loss_coefficient: f64, speed_m_s: f64) -> f64 {
    loss_coefficient * speed_m_s * speed_m_s / (2.0 * G)
}

/// Constant of the SI form of Hazen-Williams. Source: engineering tables (10.67 with metres and seconds).
const HAZEN_WILLIAMS_SI: f64 = 10.67;
/// Exponent of the bore in Hazen-Williams. Printed as 4.87 or 4.8704; the difference is 0.1 % at 4 in.
const HAZEN_WILLIAMS_BORE_EXPONENT: f64 = 4.8704;

/// Head lost to friction along a pipe, by the formula of hose and irrigation tables.
///
/// `h_f = 10.67 L Q^1.852 / (C^1.852 D^4.8704)`; `L` (m), `Q` (m3/s), `C` 60-160 (-), `D` bore (m); result (m).
/// Source: Hazen & Williams 1905, SI form of engineering tables. Simplified: water near 15 C, turbulent, speed near 1 m/s;
/// it knows no viscosity. Zero for no flow.
pub fn hazen_williams_head_loss_m(length_m: f64, flow_m3_s: f64, c: f64, bore_m: f64) -> f64 {
    if flow_m3_s <= 0.0 {
        return 0.0;
    }
    HAZEN_WILLIAMS_SI * length_m * pow(flow_m3_s / c, 1.852) / pow(bore_m, HAZEN_WILLIAMS_BORE_EXPONENT)
}

/// Pressure lost along a hose by the fire-service form, in its own US units.
///
/// `FL[psi] = C (Q[gpm]/100)^2 (L[ft]/100)`; `C` about 2 for 2.5 in, 0.2 for 4 in, 0.1 for 4.5 in, 0.08 for 5 in.
/// Source: fire-service teaching slides. The value 0.05 printed there for 6 in does not scale with the bore (D^-5 from 4 in gives
/// 0.026) and should not be used.
pub fn fire_hose_loss_psi(coefficient: f64, flow_gpm: f64, length_ft: f64) -> f64 {
    let hundreds = flow_gpm / 100.0;
    coefficient * hundreds * hundreds * length_ft / 100.0
}

/// A run of pipe or hose with its fittings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeRun {
    /// Length (m), 0 or more.
    pub length_m: f64,
    /// Bore under pressure (m), above 0. Layflat grows under pressure: 3 % of bore is 15 % of loss.
    pub bore_m: f64,
    /// Roughness (m), 0 for smooth plastic.
    pub roughness_m: f64,
    /// Sum of the loss coefficients of the fittings (-).
    pub loss_coefficient: f64,
}

impl PipeRun {
    /// Area of the bore (m2).
    pub fn area_m2(&self) -> f64 {
        0.25 * PI * self.bore_m * self.bore_m
    }

    /// Friction factor at a flow (-).
    #[inline]
    pub fn friction_factor(&self, flow_m3_s: f64, kinematic_viscosity_m2_s: f64, law: FrictionLaw) -> f64 {
        let re = reynolds(pipe_speed_m_s(flow_m3_s, self.bore_m), self.bore_m, kinematic_viscosity_m2_s);
        // At rest any finite factor gives no loss.
        law.factor(re.max(1e-9), self.roughness_m / self.bore_m)
    }

    /// `r` of `h = r Q^2` with a given friction factor (s2/m5).
    #[inline]
    pub fn resistance_s2_m5(&self, friction_factor: f64) -> f64 {
        let area = self.area_m2();
        (friction_factor * self.length_m / self.bore_m + self.loss_coefficient) / (2.0 * G * area * area)
    }

    /// Head lost at a flow, with the sign of the flow (m).
    pub fn head_loss_m(&self, flow_m3_s: f64, kinematic_viscosity_m2_s: f64, law: FrictionLaw) -> f64 {
        let f = self.friction_factor(flow_m3_s, kinematic_viscosity_m2_s, law);
        self.resistance_s2_m5(f) * flow_m3_s * flow_m3_s.abs()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_churchill_is_laminar_when_slow() {
        for re in [1e-3, 1.0, 50.0, 1_000.0] {
            assert!((friction_churchill(re, 1e-3) * re / 64.0 - 1.0).abs() < 1e-3, "{re}");
        }
    }

    #[test]
    fn property_churchill_stays_near_colebrook() {
        for re in [5e3, 2e4, 1e5, 3e5, 1e6, 1e7] {
            for e in [1e-6, 1e-4, 5e-4, 2e-3, 1e-2] {
                let ratio = friction_churchill(re, e) / friction_colebrook(re, e);
                assert!((0.97..1.04).contains(&ratio), "{re} {e} {ratio}");
            }
        }
    }

    #[test]
    fn property_loss_grows_with_flow_and_falls_with_bore() {
        for law in [FrictionLaw::Churchill, FrictionLaw::SwameeJain] {
            let mut last = 0.0;
            for step in 1..200 {
                let q = 1e-6 * washgraph_units::math::exp(0.06 * f64::from(step));
                let run = PipeRun { length_m: 30.0, bore_m: 0.1, roughness_m: 5e-5, loss_coefficient: 2.0 };
                let h = run.head_loss_m(q, 1.3e-6, law);
                assert!(h > last);
                last = h;
                let wider = PipeRun { bore_m: 0.11, ..run };
                assert!(wider.head_loss_m(q, 1.3e-6, law) < h);
            }
        }
    }
}
