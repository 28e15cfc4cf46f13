//! The engine on the pump.

use sim_core::hydraulics::engine::{DIESEL_FUEL_M3_J, PETROL_FUEL_KG_J, derate_continuous, derate_turbo};
use sim_core::stats::SpreadError;
use sim_core::stats::distribution::Spread;

/// What may drive a pump.
pub(crate) const ENGINES: &[(&str, &str)] =
    &[("diesel", "diesel engine"), ("petrol", "petrol engine"), ("electric", "electric motor: no fuel here")];

/// How the rated power is counted at the site.
pub(crate) const DERATINGS: &[(&str, &str)] = &[
    ("continuous", "rated for short bursts, naturally aspirated, with fan and alternator"),
    ("turbo", "rated for the duty, turbocharged"),
    ("none", "the power given is what it gives at the site"),
];

/// Density of petrol, kg/m3. From memory; 720-775.
const PETROL_KG_M3: f64 = 740.0;
/// Fuel of a usual and of a small or old diesel over that of a large new one. Assumed: 0.29 and 0.35 L/kWh.
const DIESEL_USUAL: f64 = 1.16;
const DIESEL_WORST: f64 = 1.40;

/// Fuel per shaft energy by kind of engine, m3/J.
pub(crate) fn fuel_spread(engine: &str) -> Result<Spread, SpreadError> {
    match engine {
        "electric" => Spread::fixed(0.0),
        "petrol" => {
            let (low, high) = (PETROL_FUEL_KG_J.0 / PETROL_KG_M3, PETROL_FUEL_KG_J.1 / PETROL_KG_M3);
            Spread::triangular(low, 0.5 * (low + high), high)
        }
        _ => Spread::triangular(DIESEL_FUEL_M3_J, DIESEL_USUAL * DIESEL_FUEL_M3_J, DIESEL_WORST * DIESEL_FUEL_M3_J),
    }
}

/// Share of the rated power at the site.
pub(crate) fn derating(word: &str, engine: &str, altitude_m: f64, air_c: f64) -> f64 {
    match (engine, word) {
        ("electric", _) | (_, "none") => 1.0,
        (_, "turbo") => derate_turbo(altitude_m, air_c),
        _ => derate_continuous(altitude_m, air_c, 1.0, 1.0),
    }
}
