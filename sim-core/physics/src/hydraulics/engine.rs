//! The engine on the pump: what it can give at the site, and what it burns.

use washgraph_units::constants::{FOOT_M, S_PER_H, US_GALLON_M3};

/// Kilowatt-hour, J (exact).
const KWH_J: f64 = 3.6e6;
/// Density of diesel, kg/m3. Assumed; 820-860 by season.
pub const DIESEL_DENSITY_KG_M3: f64 = 840.0;
/// Fuel of a new 75 kW diesel per shaft energy, m3/J: 0.25 L/kWh. Source: pump and diesel chart of talle.biz (seen).
pub const DIESEL_FUEL_M3_J: f64 = 0.25e-3 / KWH_J;
/// Fuel per energy given to the water at the Nebraska pumping criterion, m3/J: 12.5 water-hp-h per US gal of diesel,
/// 0.406 L per water-kWh. Source: Nebraska extension tables (seen; name from memory).
pub const NEBRASKA_FUEL_M3_J: f64 = US_GALLON_M3 / (12.5 * 745.699_872 * S_PER_H);
/// Fuel of a small petrol engine, low and high, kg/J: 330-400 g/kWh. From memory.
pub const PETROL_FUEL_KG_J: (f64, f64) = (0.330 / KWH_J, 0.400 / KWH_J);

/// Fuel burnt per time.
///
/// `fuel = P b / rho_fuel`; `P` shaft power (W), `b` specific consumption (kg/J) (215 g/kWh = 5.97e-8 for a new 75 kW diesel),
/// `rho_fuel` (kg/m3); result (m3/s). Simplified: the same at any load; it climbs below half load.
pub fn fuel_rate_m3_s(shaft_power_w: f64, consumption_kg_j: f64, fuel_density_kg_m3: f64) -> f64 {
    shaft_power_w * consumption_kg_j / fuel_density_kg_m3
}

/// Fuel per shaft energy of a diesel of a given size and age.
///
/// `b = 0.25 L/kWh (1 + 0.05 (75 kW - P)/25 kW below 75 kW) (1.2 if very old)`; `P` rated power (W), 5-75 kW and above;
/// result (m3/J). Source: talle.biz pump and diesel chart (seen). Constant above 75 kW.
pub fn diesel_fuel_m3_j(rated_power_w: f64, very_old: bool) -> f64 {
    let short_of_75_kw = (75_000.0 - rated_power_w).max(0.0) / 25_000.0;
    DIESEL_FUEL_M3_J * (1.0 + 0.05 * short_of_75_kw) * if very_old { 1.2 } else { 1.0 }
}

/// Share of the rated power that a turbocharged engine gives at the site.
///
/// `(1 - 0.01 z/200 m)(1 - 0.05 (T - 25)/10 C above 25 C)`; `z` altitude 0-4000 (m), `T` air 0-45 (C); result (-).
/// Source: talle.biz chart (seen). Never below 0.
pub fn derate_turbo(altitude_m: f64, air_c: f64) -> f64 {
    let thin_air = 1.0 - 0.01 * altitude_m.max(0.0) / 200.0;
    let heat = 1.0 - 0.05 * (air_c - 25.0).max(0.0) / 10.0;
    (thin_air * heat).max(0.0)
}

/// Share of the rated power that a naturally aspirated engine gives in continuous pump duty.
///
/// `1 - 0.20 - 0.03 z/1000 ft - 0.01 (T - 60 F)/10 F - 0.05 accessories - 0.05 fan`; `z` 0-4000 (m), `T` air 0-45 (C), accessories
/// and fan 1 when fitted, else 0; result (-). Source: Oklahoma State extension BAE-1204 (seen).
/// The losses are added, as the leaflet lists them. Never below 0.
pub fn derate_continuous(altitude_m: f64, air_c: f64, accessories: f64, fan: f64) -> f64 {
    let thin_air = 0.03 * altitude_m.max(0.0) / (1_000.0 * FOOT_M);
    let heat = 0.01 * ((air_c * 1.8 + 32.0) - 60.0).max(0.0) / 10.0;
    (1.0 - 0.20 - thin_air - heat - 0.05 * accessories - 0.05 * fan).max(0.0)
}

/// Fuel per volume of gravel washed.
///
/// `b = fuel / gravel`; fuel (m3/s), gravel (m3/s, loose or bank as the caller means); result (m3/m3). Infinite for no gravel.
pub fn fuel_per_gravel(fuel_m3_s: f64, gravel_m3_s: f64) -> f64 {
    fuel_m3_s / gravel_m3_s
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_engine_gives_less_high_and_hot() {
        assert!((derate_turbo(2_000.0, 25.0) - 0.90).abs() < 1e-12);
        assert!((derate_continuous(0.0, 15.0, 1.0, 1.0) - 0.70).abs() < 1e-12);
        assert!(derate_continuous(1_000.0, 30.0, 1.0, 1.0) < derate_continuous(0.0, 30.0, 1.0, 1.0));
        assert!(diesel_fuel_m3_j(25_000.0, false) > diesel_fuel_m3_j(75_000.0, false));
    }
}
