//! The settling pond: what it takes out of the water, size by size.
//!
//! ```text
//!   wash water, fines C_in --> [ area A, flow Q ] --> return water C_ret = (1 - R) C_in
//!                                  | falls at v_s: R = 1 - (1 + x/n)^-n,  x = v_s A/Q
//!                                  v mud
//! ```
//! Depth does not enter: a deeper pond holds more mud, it does not settle more. What settles is mud from then on; it is not stirred up again.

use crate::particle::natural_grain::{NATURAL_C1, NATURAL_C2, ferguson_church_m_s};
use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;
use washgraph_units::math::{exp, ln_1p, pow};

/// Share of a grain size that an ideal pond takes out.
///
/// `R = min(1, v_s A/Q)`; `v_s` fall speed (m/s), `A` area (m2), `Q` flow (m3/s); result (-). Source: Hazen 1904, Camp 1946.
/// Simplified: plug flow, no wind, no short cuts. All is taken out at no flow.
pub fn ideal_removal(fall_m_s: f64, area_m2: f64, flow_m3_s: f64) -> f64 {
    (fall_m_s * area_m2 / flow_m3_s).min(1.0)
}

/// Share of a grain size that a real pond takes out.
///
/// `R = 1 - (1 + x/n)^-n`, `x = v_s A/Q`; `x` 0 and more (-), `n` tanks in a row that the pond is worth (-): 1 poor, 2-3 usual, 8 and more
/// very good, infinite `1 - e^-x`. Source: Hazen 1904 as given by Fair & Geyer (from memory). NaN for a negative `n`.
///
/// ```
/// # use washgraph_physics::hydraulics::pond::tank_removal;
/// assert!((tank_removal(1.0, 1.0) - 0.5).abs() < 1e-15);
/// ```
pub fn tank_removal(overflow_ratio: f64, tanks: f64) -> f64 {
    if tanks.is_infinite() {
        return 1.0 - exp(-overflow_ratio);
    }
    1.0 - exp(-tanks * ln_1p(overflow_ratio / tanks))
}

/// Area that takes out a given share of a grain size.
///
/// `A = (Q/v_s) n [(1 - R)^(-1/n) - 1]`, the inverse of [`tank_removal`]; result (m2). Infinite for `R` = 1.
pub fn area_for_removal_m2(removal: f64, fall_m_s: f64, flow_m3_s: f64, tanks: f64) -> f64 {
    flow_m3_s / fall_m_s * tanks * (pow(1.0 - removal, -1.0 / tanks) - 1.0)
}

/// Tanks in a row that a pond is worth: low, usual, high (-). Usual 2; range assumed from Fair & Geyer's 1 poor, 2-3 typical.
pub const TANKS: (f64, f64, f64) = (1.0, 2.0, 3.0);

/// Fall speed of a fine mineral grain.
///
/// Ferguson & Church with the constants of natural grains (18 and 1), see [`ferguson_church_m_s`]; `d` (m), `nu` (m2/s), densities (kg/m3);
/// result (m/s). It tends to Stokes for small `d`, so it is used throughout, with no switch. Loose single grains: clay that flocculates falls as
/// a larger grain.
pub fn fines_fall_m_s(grain_m: f64, kinematic_viscosity_m2_s: f64, grain_kg_m3: f64, water_kg_m3: f64) -> f64 {
    let submerged = grain_kg_m3 / water_kg_m3 - 1.0;
    ferguson_church_m_s(submerged, G, grain_m, kinematic_viscosity_m2_s, NATURAL_C1, NATURAL_C2)
}

/// Grain that falls at a given speed, by Stokes.
///
/// `d = sqrt(18 nu v/((rho_s/rho - 1) g))`; result (m). Source: Stokes 1851. Fines only: too small by 5 % at 70 um.
pub fn stokes_size_m(fall_m_s: f64, kinematic_viscosity_m2_s: f64, grain_kg_m3: f64, water_kg_m3: f64) -> f64 {
    (18.0 * kinematic_viscosity_m2_s * fall_m_s / ((grain_kg_m3 / water_kg_m3 - 1.0) * G)).sqrt()
}

/// Fall speed read off a jar of site water.
///
/// `v = h/t`; `h` depth from the water line down to the line between clear and dirty (m), `t` time since it was shaken (s); result
/// (m/s). The test that decides whether a closed pond can work: free clay does not clear in a day, flocculated clay does in minutes.
pub fn jar_fall_m_s(cleared_depth_m: f64, time_s: f64) -> f64 {
    cleared_depth_m / time_s
}

/// Share of a grain size that has reached the bottom of a jar that was shaken.
///
/// `min(1, v t/h)`; `v` fall speed (m/s), `t` (s), `h` depth of the jar (m); result (-). Follows from still water, even at the start.
pub fn jar_settled_share(fall_m_s: f64, time_s: f64, depth_m: f64) -> f64 {
    (fall_m_s * time_s / depth_m).min(1.0)
}

/// Depth of an Imhoff cone (m). Common size, about 0.4 m.
pub const IMHOFF_DEPTH_M: f64 = 0.4;
/// Time of the settleable-solids test (s): one hour.
pub const IMHOFF_TIME_S: f64 = 3_600.0;
/// Dry solids in a volume of settled mud in the cone: low, usual, high (kg/m3). Assumed.
pub const SETTLED_DRY_DENSITY_KG_M3: (f64, f64, f64) = (400.0, 500.0, 600.0);
/// Limit of settleable solids in the discharge of US open-cut and dredge placer mines (m3/m3): 0.2 ml/L at any moment.
/// Source: 40 CFR 440.142 (seen in a copy). Local rules decide.
pub const SETTLEABLE_LIMIT: f64 = 0.2e-3;

/// Settleable solids of water, by volume.
///
/// `SS = C/rho_settled`; `C` solids that reach the bottom of the cone in an hour, grains above about 11 um (kg/m3), `rho_settled` dry solids in settled
/// mud, 400-600 (kg/m3); result (m3/m3), 1e-3 is 1 ml/L. Assumed bridge between grain size and the cone.
pub fn settleable_solids(settling_kg_m3: f64, settled_dry_density_kg_m3: f64) -> f64 {
    settling_kg_m3 / settled_dry_density_kg_m3
}

/// Share of the pond's outflow that comes back to the plant.
///
/// `r = Q_ret/(Q_ret + Q_seep' + Q_disch)`; `Q_seep'` seepage that carries fines (m3/s) (0 unless known, assumed); result (-).
pub fn return_share(return_m3_s: f64, carrying_seepage_m3_s: f64, discharge_m3_s: f64) -> f64 {
    return_m3_s / (return_m3_s + carrying_seepage_m3_s + discharge_m3_s)
}

/// Fines of one size in the return water when plant and pond have come to balance.
///
/// `C_in = (F/Q)/(1 - r (1 - R))`, `C_ret = (1 - R) C_in`; `F` fresh fines of that size set free in the plant (kg/s), `Q` wash flow (m3/s),
/// `r` share returned (-), `R` removal (-); result (kg/m3). Source: mass balance. Takes `R` as not changed by the mud itself.
/// Infinite when all is returned and nothing settles.
pub fn steady_return_kg_m3(fresh_kg_s: f64, flow_m3_s: f64, returned: f64, removal: f64) -> f64 {
    (1.0 - removal) * fresh_kg_s / flow_m3_s / (1.0 - returned * (1.0 - removal))
}

/// How many times over the fines of one pass build up in the wash water.
///
/// `1/(1 - r (1 - R))`; (-). Source: mass balance, as [`steady_return_kg_m3`].
pub fn build_up(returned: f64, removal: f64) -> f64 {
    1.0 / (1.0 - returned * (1.0 - removal))
}

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_units::constants::QUARTZ_KG_M3;

    #[test]
    fn identity_many_tanks_are_plug_flow_with_mixing() {
        assert!((tank_removal(2.0, 1e9) - tank_removal(2.0, f64::INFINITY)).abs() < 1e-8);
        let area = area_for_removal_m2(0.9, 1e-4, 0.05, 2.0);
        assert!((tank_removal(1e-4 * area / 0.05, 2.0) - 0.9).abs() < 1e-12);
        assert!((fines_fall_m_s(1e-6, 1.3e-6, QUARTZ_KG_M3, 999.7) / 6.9e-7 - 1.0).abs() < 0.01);
    }

    #[test]
    fn identity_balance_of_the_closed_loop() {
        // Fresh fines = mud + what leaves for good.
        let (fresh, flow, r, removal) = (0.3, 0.05, 0.9, 0.4);
        let back = steady_return_kg_m3(fresh, flow, r, removal);
        let into_pond = back / (1.0 - removal);
        assert!((fresh - flow * into_pond * removal - flow * back * (1.0 - r)).abs() < 1e-12);
        assert!((into_pond - build_up(r, removal) * fresh / flow).abs() < 1e-12);
    }

    #[test]
    fn property_dirtier_with_more_return_and_less_pond() {
        let back = |r: f64, area: f64| steady_return_kg_m3(0.3, 0.05, r, tank_removal(2e-5 * area / 0.05, 2.0));
        assert!(back(0.95, 1_500.0) > back(0.90, 1_500.0));
        assert!(back(0.95, 1_000.0) > back(0.95, 1_500.0));
    }
}
