//! The gold law as one explicit formula: Ferguson-Church on the nominal diameter with constants fitted to the default law.

use super::entry::{
    COREY, FLUID_DENSITY, GOLD_DENSITY, GRAVITY, KINEMATIC_VISCOSITY, NOMINAL, TEMPERATURE, VELOCITY, surroundings,
};
use super::natural_grain::ferguson_church_m_s;
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::math;

/// CSF, C1, C2 of the fit.
// Source: computed by least squares against the default gold law (17000 kg/m3, e 0.75, c 1.25, dn 0.05 to 4 mm, 5 and 20 °C):
// rms 4 %, worst 8 %.
const FIT: [(f64, f64, f64); 6] =
    [(0.05, 30.3, 7.20), (0.1, 25.6, 4.21), (0.2, 22.3, 2.35), (0.3, 20.9, 1.61), (0.5, 19.6, 0.95), (0.7, 19.1, 0.62)];

/// Constants C1, C2 of the Ferguson-Church form for gold of a Corey factor, on the nominal diameter.
///
/// ln C straight in ln CSF between the fitted points; CSF 0.05 to 0.7, NaN outside. Good for dn 0.05 to 4 mm.
pub fn gold_fit_constants(corey: f64) -> (f64, f64) {
    for pair in FIT.windows(2) {
        let ((s0, a0, b0), (s1, a1, b1)) = (pair[0], pair[1]);
        if (s0..=s1).contains(&corey) {
            let t = math::ln(corey / s0) / math::ln(s1 / s0);
            return (a0 * math::pow(a1 / a0, t), b0 * math::pow(b1 / b0, t));
        }
    }
    (f64::NAN, f64::NAN)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "settling-gold-fit",
    "Fall velocity of gold by one explicit formula fitted to the gold law; for hand calculation",
    "w = R g dn^2/(C1 nu + sqrt(0.75 C2 R g dn^3)), C1 and C2 by CSF",
    |x| {
        let f = surroundings(x, 3);
        let (c1, c2) = gold_fit_constants(x[1]);
        vec![ferguson_church_m_s(f.submerged(x[2]), f.g, x[0], f.nu, c1, c2)]
    },
)
.inputs(&[NOMINAL, COREY, GOLD_DENSITY, TEMPERATURE, FLUID_DENSITY, KINEMATIC_VISCOSITY, GRAVITY])
.outputs(&[VELOCITY])
.source("fitted here to settling-gold", Status::Computed)
.limits("CSF 0.05 to 0.7, dn 0.05 to 4 mm; worst 8 % off the law")];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::particle::gold::SettlingTable;
    use crate::particle::shape::{Proportions, sieve_from_nominal_m};
    use crate::particle::water::WaterState;
    use washgraph_units::constants::STANDARD_GRAVITY_M_S2;

    #[test]
    fn property_fit_stays_within_its_stated_error() {
        let table = SettlingTable::new();
        for t in [5.0, 20.0] {
            let water = WaterState::clean(t);
            let nu = water.kinematic_viscosity_m2_s();
            let r = 17000.0 / water.density_kg_m3 - 1.0;
            for (corey, c1, c2) in FIT {
                for k in 0..=20 {
                    let dn = 0.05e-3 * math::pow(80.0, f64::from(k) / 20.0);
                    let sieve = sieve_from_nominal_m(dn, corey, Proportions::default());
                    let law = table.gold_velocity(sieve, corey, 17000.0, &water).w_m_s;
                    let fit = ferguson_church_m_s(r, STANDARD_GRAVITY_M_S2, dn, nu, c1, c2);
                    assert!((fit / law - 1.0).abs() < 0.095, "{corey} {dn} {fit} {law}");
                }
            }
        }
        assert!(gold_fit_constants(0.04).0.is_nan());
        assert!((gold_fit_constants(0.2).0 - 22.3).abs() < 1e-9);
    }
}
