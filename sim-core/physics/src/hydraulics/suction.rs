//! The suction side of a pump: what the air can push up the pipe, and what is left at the impeller.

use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;
use washgraph_units::math::pow;

/// Air pressure at an altitude.
///
/// `p = 101325 (1 - 2.25577e-5 z)^5.25588`; `z` altitude -500 to 11,000 (m); result (Pa).
/// Source: ISO standard atmosphere (from memory). Simplified: standard day; weather moves it by 3 %. NaN above 44 km.
pub fn atmospheric_pressure_pa(altitude_m: f64) -> f64 {
    101_325.0 * pow(1.0 - 2.255_77e-5 * altitude_m, 5.255_88)
}

/// Head that the suction of a pump has to spare over boiling.
///
/// `NPSHa = p_atm/(rho g) - p_vap/(rho g) - z_lift - h_f`; pressures (Pa), `rho` (kg/m3), `z_lift` pump above the water (m)
/// (negative when flooded), `h_f` losses of the suction line (m); result (m of the fluid).
/// Source: common to all pump texts. Compare with the maker's NPSHr; keep [`NPSH_MARGIN_M`] in hand.
pub fn npsh_available_m(
    atmospheric_pa: f64,
    vapour_pa: f64,
    density_kg_m3: f64,
    lift_m: f64,
    suction_loss_m: f64,
) -> f64 {
    (atmospheric_pa - vapour_pa) / (density_kg_m3 * G) - lift_m - suction_loss_m
}

/// Least NPSH to keep in hand (m). Source: pump selection guides (seen).
pub const NPSH_MARGIN_M: f64 = 0.5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::particle::water::vapour_pressure_pa;

    #[test]
    fn property_npsh_falls_with_altitude_heat_and_lift() {
        let npsh = |z, t, lift| npsh_available_m(atmospheric_pressure_pa(z), vapour_pressure_pa(t), 999.7, lift, 1.0);
        assert!(npsh(0.0, 10.0, 3.0) > npsh(100.0, 10.0, 3.0));
        assert!(npsh(0.0, 10.0, 3.0) > npsh(0.0, 15.0, 3.0));
        assert!(npsh(0.0, 10.0, 3.0) > npsh(0.0, 10.0, 3.5));
    }
}
