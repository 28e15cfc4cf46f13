//! What washed rock carries over the end of the screen: the water film with its fines, and what sticks to the stones.

use super::symbol::{input, input_or, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::formula::Formula;
use washgraph_units::math::exp;
use washgraph_units::quantity::Dimension;

/// Shape factor of gravel in the film surface (surface of a sphere over that of the grain). Assumed.
pub const SHAPE_FACTOR: f64 = 0.8;
/// Thickness of the water film on drained gravel, m. Gives 1.5 % moisture on the example oversize. Assumed.
const FILM_M: f64 = 0.1e-3;
/// Share of the spray that mixes with the liquor carried. Assumed, 0.05 to 0.2.
const SPRAY_SHARE: f64 = 0.1;
/// Pressure at which the coating law is written, Pa (2 bar).
const COATING_PRESSURE_PA: f64 = 2e5;

/// Surface of gravel per mass, one size: 6/(rho d psi_s), m2/kg. Sum over sizes times their mass shares.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | rho | density of the stone | kg/m3 | 2400 to 3200 |
/// | d | size | m | > 0 |
/// | psi_s | shape factor | - | 0.6 to 1 |
///
/// Source: geometry.
pub fn surface_m2_kg(density_kg_m3: f64, size_m: f64, shape_factor: f64) -> f64 {
    6.0 / (density_kg_m3 * size_m * shape_factor)
}

/// Water film on drained gravel as mass of water per dry mass, u = S delta rho_w.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | S | surface per mass | m2/kg | 0.01 to 10 |
/// | delta | film thickness | m | 0.05e-3 to 0.3e-3 |
/// | rho_w | density of water | kg/m3 | 1000 |
///
/// Assumed here; drained gravel of 1-2 % is from memory. Fine sand holds more by capillarity: use for gravel above 2 mm.
pub fn film_moisture(surface_m2_kg: f64, film_m: f64, water_kg_m3: f64) -> f64 {
    surface_m2_kg * film_m * water_kg_m3
}

/// Solids in the liquor after a spray bar, C_j = (q_c C_(j-1) + e q_s C_s)/(q_c + e q_s), kg/m3.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | q_c | liquor carried by the rock | m3/s | > 0 |
/// | C_(j-1) | solids in it before the bar | kg/m3 | 0 to 500 |
/// | q_s | flow of the bar | m3/s | >= 0 |
/// | C_s | solids in the spray water (dirty pond water sets a floor) | kg/m3 | 0 to 100 |
/// | e | share of the spray that mixes | - | 0.05 to 0.2 |
///
/// Assumed here: mixing by mass balance. Without liquor and spray: NaN.
///
/// ```
/// let c = washgraph_physics::drum::rinse::after_bar_kg_m3(0.28, 50.0, 10.0, 0.0, 0.05);
/// assert!((0.28 * c - 5.0).abs() < 0.1);
/// ```
pub fn after_bar_kg_m3(liquor_m3_s: f64, before_kg_m3: f64, spray_m3_s: f64, spray_kg_m3: f64, share: f64) -> f64 {
    let mixing = share * spray_m3_s;
    (liquor_m3_s * before_kg_m3 + mixing * spray_kg_m3) / (liquor_m3_s + mixing)
}

/// Coating left on the stones after spraying, share of what was there: exp(-k_w W J), J = sqrt(dp/2 bar).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | k_w | wash-off | kg/L | 1 to 3 |
/// | W | spray per oversize | L/kg | >= 0 |
/// | dp | pressure at the holes | Pa | >= 0 |
///
/// Assumed here; no published law was found. Coating before washing: 0.2-2 % of the oversize.
pub fn coating_left(wash_off_kg_l: f64, spray_l_kg: f64, pressure_pa: f64) -> f64 {
    exp(-wash_off_kg_l * spray_l_kg * (pressure_pa / COATING_PRESSURE_PA).sqrt())
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "rinse-film-moisture",
        "Water film that drained rock of one size carries.",
        "S = 6/(rho d psi_s); u = S delta rho_w",
        |x| {
            let s = surface_m2_kg(x[1], x[0], x[2]);
            vec![s, film_moisture(s, x[3], 1000.0)]
        },
    )
    .inputs(&[
        input("size", "size of the rock", Dimension::SieveSize, "mm", (0.002, 0.3)),
        input_or("density", "density of the rock", Dimension::Density, "kg/m3", (2000.0, 4000.0), QUARTZ_KG_M3),
        input_or("shape", "shape factor", Dimension::Number, "-", (0.5, 1.0), SHAPE_FACTOR),
        input_or("film", "film thickness", Dimension::Length, "mm", (1e-5, 1e-3), FILM_M),
    ])
    .outputs(&[
        output("surface", "surface in m2 per kg", Dimension::Number, "-"),
        output("moisture", "water per dry mass", Dimension::Fraction, "%"),
    ])
    .source("geometry; film thickness assumed here", Status::Assumed)
    .limits("gravel above 2 mm; sand holds more by capillarity"),
    Formula::new(
        "rinse-spray-bar",
        "Solids in the film on the rocks after one spray bar.",
        "C = (q_c C0 + e q_s C_s)/(q_c + e q_s)",
        |x| {
            let c = after_bar_kg_m3(x[0], x[1], x[2], x[3], x[4]);
            vec![c, x[0] * c]
        },
    )
    .inputs(&[
        input("liquor", "water carried by the rock", Dimension::Flow, "m3/h", (1e-7, 0.1)),
        input("before", "solids in it before the bar", Dimension::Density, "kg/m3", (0.0, 1000.0)),
        input("spray", "flow of the bar", Dimension::Flow, "m3/h", (0.0, 1.0)),
        input_or("spray_solids", "solids in the spray water", Dimension::Density, "kg/m3", (0.0, 200.0), 0.0),
        input_or("share", "share of the spray that mixes", Dimension::Fraction, "%", (0.01, 1.0), SPRAY_SHARE),
    ])
    .outputs(&[
        output("after", "solids in it after the bar", Dimension::Density, "kg/m3"),
        output("carried", "fines carried off", Dimension::MassRate, "kg/h"),
    ])
    .source("mass balance; mixing share assumed here", Status::Assumed),
    Formula::new(
        "rinse-coating",
        "Share of the coating that spraying leaves on the rocks.",
        "left = exp(-k_w W J); J = sqrt(dp/2 bar)", // Cubic metres per kilogram are a thousand litres per kilogram.
        |x| vec![coating_left(x[0], 1000.0 * x[1], x[2])],
    )
    .inputs(&[
        input_or("wash_off", "wash-off k_w in kg per L", Dimension::Number, "-", (1.0, 3.0), 2.0),
        input("spray", "spray per mass of oversize", Dimension::WaterPerMass, "m3/t", (0.0, 0.02)),
        input("pressure", "pressure at the holes", Dimension::Pressure, "bar", (0.0, 2e6)),
    ])
    .outputs(&[output("left", "share of the coating left", Dimension::Fraction, "%")])
    .source("assumed here", Status::Assumed)
    .limits("no published law was found"),
];

const fn spray(id: &'static str, kg_h: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "mixing at a spray bar", computed)
        .against(Kind::Identity, "closed form: 0.28 m3/h of liquor at 50 kg/m3, mixing share 0.05", Status::Computed)
        .value(kg_h, "kg/h")
        .within(Band::Absolute(0.1))
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    spray("rinse-no-spray", 14.0, || 0.28 * after_bar_kg_m3(0.28, 50.0, 0.0, 0.0, 0.05)),
    spray("rinse-spray-10-m3-h", 5.1, || 0.28 * after_bar_kg_m3(0.28, 50.0, 10.0, 0.0, 0.05)),
    spray("rinse-spray-40-m3-h", 1.7, || 0.28 * after_bar_kg_m3(0.28, 50.0, 40.0, 0.0, 0.05)),
    Check::new("rinse-film-example-oversize", "film moisture", || 100.0 * film_moisture(0.15, FILM_M, 1000.0))
        .against(Kind::Identity, "0.15 m2/kg and 0.1 mm of film", Status::Computed)
        .value(1.5, "%")
        .within(Band::Absolute(0.01)),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_limits_of_rinsing_hold() {
        assert_eq!(coating_left(2.0, 0.0, 2e5), 1.0);
        assert!(coating_left(2.0, 1.0, 4e5) < coating_left(2.0, 1.0, 2e5));
        // Much dirty spray brings the film to the solids of the spray, never below.
        assert!((after_bar_kg_m3(1e-4, 50.0, 1e3, 2.0, 0.1) - 2.0).abs() < 1e-3);
    }
}
