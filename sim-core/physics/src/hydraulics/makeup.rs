//! The water that a plant really uses up: what leaves wet, evaporates and seeps, less what comes with the gravel and the rain.

/// Water carried by damp solids.
///
/// `W = S m/(1 - m)`; `S` dry solids (kg/s), `m` water over **wet** mass (-), below 1; result (kg/s).
/// Mud of 50 % carries one tonne of water for each tonne of solids. Infinite for `m` = 1.
pub fn carried_water_kg_s(dry_solids_kg_s: f64, moisture: f64) -> f64 {
    dry_solids_kg_s * moisture / (1.0 - moisture)
}

/// Water that evaporates from a pond.
///
/// `E = e A`; `e` (m/s) (4 mm a day is 4.6e-8), `A` (m2); result (m3/s). Little against what seeps and leaves wet. Measured: 200-387 mm a
/// summer on Mackenzie delta lakes; 5.05-7.12 in a month in the pan at Fort Collins, May to September, of which lakes lose 0.70.
pub fn evaporation_m3_s(evaporation_m_s: f64, area_m2: f64) -> f64 {
    evaporation_m_s * area_m2
}

/// Water that seeps out of a pond.
///
/// `Q = k i A`; `k` conductivity of the bed (m/s), 1e-7 tight silt to 1e-5 sandy, `i` gradient, about 1 (-), `A` (m2); result (m3/s).
/// Source: Darcy 1856. The one item that can sink a water plan: it grows tenfold with each step of the soil.
pub fn seepage_m3_s(conductivity_m_s: f64, gradient: f64, area_m2: f64) -> f64 {
    conductivity_m_s * gradient * area_m2
}

/// One stream of damp solids.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DampSolids {
    /// Dry solids (kg/s).
    pub dry_kg_s: f64,
    /// Water over wet mass (-).
    pub moisture: f64,
}

/// Make-up water.
///
/// `make-up = water out with oversize, tailings and mud - water in with the bank gravel + evaporation + seepage - rain`; flows of
/// water (m3/s), density of water (kg/m3); result (m3/s). Negative when the pond gains.
pub fn makeup_m3_s(
    leaving: &[DampSolids],
    bank: DampSolids,
    evaporation_m3_s: f64,
    seepage_m3_s: f64,
    rain_m3_s: f64,
    water_kg_m3: f64,
) -> f64 {
    let out_kg_s: f64 = leaving.iter().map(|stream| carried_water_kg_s(stream.dry_kg_s, stream.moisture)).sum();
    let in_kg_s = carried_water_kg_s(bank.dry_kg_s, bank.moisture);
    (out_kg_s - in_kg_s) / water_kg_m3 + evaporation_m3_s + seepage_m3_s - rain_m3_s
}
