//! Handbook entries and checks of the pump, its suction and its engine.

use super::engine::{
    DIESEL_DENSITY_KG_M3, DIESEL_FUEL_M3_J, NEBRASKA_FUEL_M3_J, derate_continuous, derate_turbo, diesel_fuel_m3_j,
    fuel_rate_m3_s,
};
use super::pump::{PumpCurve, PumpDuty, efficiency_at, fit_three_points, hydraulic_power_w, shaft_power_w};
use super::suction::{atmospheric_pressure_pa, npsh_available_m};
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use crate::particle::water::vapour_pressure_pa;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;
use washgraph_units::constants::{FOOT_M, US_GALLON_M3, WATER_10C_KG_M3};
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::quantity::Dimension as D;

/// Specific consumption of a new 75 kW diesel, kg/J: 215 g/kWh. Source: talle.biz chart (seen).
const DIESEL_CONSUMPTION_KG_J: f64 = 0.215 / 3.6e6;

const DENSITY: Symbol =
    preset("density", "density of what is pumped", D::Density, "kg/m3", (950.0, 1_600.0), WATER_10C_KG_M3);
const FLOW: Symbol = needed("flow", "flow through the pump", D::Flow, "L/s", POSITIVE);
/// A question of yes or no, as 1 or 0.
const SWITCH: (f64, f64) = (0.0, 1.0);
const ALTITUDE: Symbol = preset("altitude", "altitude of the site", D::Length, "m", (-500.0, 6_000.0), 0.0);

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "pump-curve",
        "Head of a pump from three points of its curve, at any speed",
        "H = s^2 H0 - B s^(2-C) Q^C, C = ln[(H0-H2)/(H0-H1)]/ln(Q2/Q1), B = (H0-H1)/Q1^C",
        evaluate!(|h0, q1, h1, q2, h2, q, s| {
            let (b, c) = fit_three_points(h0, (q1, h1), (q2, h2));
            let head = PumpCurve::from_points(&[(0.0, h0), (q1, h1), (q2, h2)]).map_or(f64::NAN, |curve| {
                curve.running(PumpDuty { speed_ratio: s, head_factor: 1.0 }).head_and_slope(q).0
            });
            [head, c, b]
        }),
    )
    .inputs(&[
        needed("shutoff_head", "head at no flow", D::Head, "m", POSITIVE),
        needed("flow_1", "flow at the second point", D::Flow, "L/s", POSITIVE),
        needed("head_1", "head at the second point", D::Head, "m", POSITIVE),
        needed("flow_2", "flow at the third point", D::Flow, "L/s", POSITIVE),
        needed("head_2", "head at the third point", D::Head, "m", POSITIVE),
        FLOW,
        preset("speed_ratio", "speed over the speed of the curve", D::Fraction, "-", (0.3, 1.3), 1.0)
            .possible((0.0, 5.0)),
    ])
    .outputs(&[
        output("head", "head at that flow and speed", D::Head, "m"),
        output("exponent_c", "C", D::Number, "-"),
        output("coefficient_b", "B with Q in m3/s and H in m", D::Number, "-"),
    ])
    .source("EPANET manual (three-point curve) and the affinity laws", Status::Memory)
    .limits("No answer for a curve that does not fall. Past the last point the head is a guess."),
    Formula::new(
        "pump-power",
        "Power that the pump needs at its shaft and what a diesel burns for it",
        "P = rho g Q H / eta;  fuel = P b / rho_fuel",
        evaluate!(|q, h, eta, rho, b| {
            let shaft = shaft_power_w(rho, q, h, eta);
            [hydraulic_power_w(rho, q, h), shaft, shaft * b]
        }),
    )
    .inputs(&[
        FLOW,
        needed("head", "head of the pump, metres of the fluid", D::Head, "m", POSITIVE),
        preset("efficiency", "pump efficiency, 0.5-0.65 for a trash pump", D::Fraction, "-", (0.2, 0.9), 0.60),
        DENSITY,
        preset("fuel_per_energy", "fuel per shaft energy", D::FuelPerEnergy, "L/kWh", (5e-11, 2e-10), DIESEL_FUEL_M3_J),
    ])
    .outputs(&[
        output("hydraulic_power", "power given to the water", D::Power, "kW"),
        output("shaft_power", "power at the shaft", D::Power, "kW"),
        output("fuel", "fuel burnt", D::Flow, "L/h"),
    ])
    .source("definition; consumption of talle.biz chart", Status::Seen)
    .limits("Fuel per energy is taken as constant; it climbs below half load."),
    Formula::new(
        "pump-efficiency",
        "Efficiency of a pump away from its best flow",
        "eta = eta_b q (2 - q), q = Q/Q_b",
        evaluate!(|q, best, eta| [efficiency_at(q / best, eta), q / best]),
    )
    .inputs(&[
        FLOW,
        needed("best_flow", "flow of best efficiency at the running speed", D::Flow, "L/s", POSITIVE),
        preset("best_efficiency", "efficiency there", D::Fraction, "%", (0.05, 0.95), 0.60),
    ])
    .outputs(&[
        output("efficiency", "efficiency at the flow", D::Fraction, "%"),
        output("flow_over_best", "flow over the best flow", D::Fraction, "%"),
    ])
    .source("common practice, no source: a parabola through no flow and the best point", Status::Assumed)
    .limits(
        "near the best flow; from 11 % to 189 % of it the parabola, outside a fifth of \
    the best",
    ),
    Formula::new(
        "atmospheric-pressure",
        "Air pressure at an altitude, and the head of water that it holds up",
        "p = 101325 (1 - 2.25577e-5 z)^5.25588",
        evaluate!(|z, rho| [atmospheric_pressure_pa(z), atmospheric_pressure_pa(z) / (rho * G)]),
    )
    .inputs(&[needed("altitude", "altitude of the site", D::Length, "m", (-500.0, 11_000.0)), DENSITY])
    .outputs(&[
        output("pressure", "air pressure", D::Pressure, "kPa"),
        output("head", "the same in head of the fluid", D::Head, "m"),
    ])
    .source("ISO standard atmosphere", Status::Memory)
    .limits("Standard day."),
    Formula::new(
        "npsh-available",
        "Head that the suction of a pump has to spare over boiling",
        "NPSHa = p_atm/(rho g) - p_vap/(rho g) - z_lift - h_f",
        evaluate!(|z, t, lift, loss, rho| [npsh_available_m(
            atmospheric_pressure_pa(z),
            vapour_pressure_pa(t),
            rho,
            lift,
            loss
        )]),
    )
    .inputs(&[
        ALTITUDE,
        preset("temperature", "water temperature", D::Temperature, "°C", (0.0, 50.0), 10.0),
        needed("lift", "pump above the water; negative when flooded", D::Length, "m", (-20.0, 9.0)),
        preset("suction_loss", "losses of the suction line", D::Head, "m", (0.0, 20.0), 1.0),
        DENSITY,
    ])
    .outputs(&[output("npsh_available", "to compare with the maker's NPSHr plus 0.5 m", D::Head, "m")])
    .source("pump texts; standard atmosphere; Magnus", Status::Seen),
    Formula::new(
        "engine-derate",
        "Share of the rated power that an engine gives at the site",
        "turbo: (1 - 0.01 z/200 m)(1 - 0.05 (T-25)/10 C);  continuous: 1 - 0.20 - 0.03 \
    z/1000 ft - 0.01 (T-60)/10 F - 0.05 - 0.05",
        evaluate!(|z, t, acc, fan| [derate_turbo(z, t), derate_continuous(z, t, acc, fan)]),
    )
    .inputs(&[
        ALTITUDE,
        preset("air_temperature", "air at the engine", D::Temperature, "°C", (-30.0, 50.0), 20.0),
        preset("accessories", "1 with alternator and the like, else 0", D::Number, "-", (0.0, 1.0), 1.0)
            .possible(SWITCH),
        preset("fan", "1 with fan and radiator, else 0", D::Number, "-", (0.0, 1.0), 1.0).possible(SWITCH),
    ])
    .outputs(&[
        output("turbo_share", "turbocharged, rated for the duty", D::Fraction, "-"),
        output("continuous_share", "naturally aspirated, continuous pump duty", D::Fraction, "-"),
    ])
    .source("talle.biz pump and diesel chart; Oklahoma State BAE-1204", Status::Seen),
    Formula::new(
        "diesel-fuel",
        "Fuel of a diesel by shaft power, size and age",
        "fuel = P 0.25 L/kWh (1 + 0.05 (75 - P_rated)/25) (1.2 if very old)",
        evaluate!(|p, rated, old| [p * diesel_fuel_m3_j(rated, old >= 0.5)]),
    )
    .inputs(&[
        needed("shaft_power", "power drawn", D::Power, "kW", POSITIVE),
        preset("rated_power", "rated power of the engine", D::Power, "kW", (3_000.0, 1e6), 75_000.0),
        preset("very_old", "1 for a very old engine, else 0", D::Number, "-", (0.0, 1.0), 0.0).possible(SWITCH),
    ])
    .outputs(&[output("fuel", "fuel burnt", D::Flow, "L/h")])
    .source("talle.biz pump and diesel chart", Status::Seen),
    Formula::new(
        "pumping-fuel-criterion",
        "Diesel that a well-kept pumping set burns for water lifted, by the Nebraska \
    criterion",
        "fuel volume = rho g H V / (12.5 water-hp-h per US gal)",
        evaluate!(|h, v| [WATER_10C_KG_M3 * G * h * v * NEBRASKA_FUEL_M3_J]),
    )
    .inputs(&[
        needed("head", "total head: lift plus pressure plus losses", D::Head, "m", POSITIVE),
        needed("volume", "water pumped", D::Volume, "m3", POSITIVE),
    ])
    .outputs(&[output("fuel", "diesel", D::Volume, "L")])
    .source("Nebraska pumping plant performance criteria", Status::Seen),
];

const fn davis(id: &'static str, head: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "standard atmosphere", computed)
        .against(Kind::Published, "Davis, Water and Wastewater Engineering, table 3-7", Status::Seen)
        .value(head, "m")
        .within(Band::Relative(0.003))
}

fn air_head_m(altitude_m: f64) -> f64 {
    atmospheric_pressure_pa(altitude_m) / (WATER_10C_KG_M3 * G)
}

/// Checks.
pub const CHECKS: &[Check] = &[
    davis("air-head-500m", 9.74, || air_head_m(500.0)),
    davis("air-head-1000m", 9.17, || air_head_m(1_000.0)),
    davis("air-head-2000m", 8.11, || air_head_m(2_000.0)),
    davis("air-head-2500m", 7.62, || air_head_m(2_500.0)),
    Check::new("diesel-acre-inch", "Nebraska pumping criterion", || {
        // One acre-inch is 102.790 m3; 35 psi of pressure is added to the lift.
        let head_m = 125.0 * FOOT_M + 35.0 * 6_894.757 / (WATER_10C_KG_M3 * G);
        WATER_10C_KG_M3 * G * head_m * 102.790 * NEBRASKA_FUEL_M3_J / US_GALLON_M3
    })
    .against(
        Kind::Published,
        "Nebraska extension: 125 ft lift and 35 psi, 12.5 water-hp-h per gallon, US gal per acre-inch",
        Status::Seen,
    )
    .value(1.88, "US gal")
    .within(Band::Relative(0.01)),
    Check::new("diesel-per-ml-per-m", "pump power and diesel fuel", || {
        1_000.0 * shaft_power_w(1_000.0, 1_000.0, 1.0, 1.0) * DIESEL_FUEL_M3_J
    })
    .against(
        Kind::Published,
        "talle.biz pump and diesel chart: litres per megalitre and metre at 0.25 L/kWh, efficiency 1",
        Status::Seen,
    )
    .value(0.683, "L")
    .within(Band::Relative(0.005)),
    Check::new("diesel-volume-from-mass", "fuel rate", || {
        fuel_rate_m3_s(3.6e9, DIESEL_CONSUMPTION_KG_J, DIESEL_DENSITY_KG_M3)
    })
    .against(
        Kind::Published,
        "talle.biz chart gives 215 g/kWh and 0.25 L/kWh for the same engine; with diesel of 0.84 kg/L",
        Status::Seen,
    )
    .value(0.25, "L/kWh")
    .within(Band::Relative(0.03)),
    Check::new("nebraska-per-water-kwh", "Nebraska pumping criterion in SI", || NEBRASKA_FUEL_M3_J * 3.6e9)
        .against(Kind::Identity, "12.5 water-hp-h per US gal", Status::Computed)
        .value(0.406, "L/kWh")
        .within(Band::Absolute(0.0005)),
    Check::new("pump-fit-exponent", "three-point pump curve", || {
        fit_three_points(38.0, (0.040, 31.0), (0.080, 12.0)).1
    })
    .against(Kind::Identity, "(0, 38 m), (40 L/s, 31 m), (80 L/s, 12 m): ln(26/7)/ln 2", Status::Computed)
    .value(1.893_08, "-")
    .within(Band::Relative(1e-5)),
    Check::new("pump-fit-coefficient", "three-point pump curve", || {
        fit_three_points(38.0, (0.040, 31.0), (0.080, 12.0)).0
    })
    .against(Kind::Identity, "(0, 38 m), (40 L/s, 31 m), (80 L/s, 12 m): 7 / 0.04^C", Status::Computed)
    .value(3_101.11, "-")
    .within(Band::Relative(1e-5)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    fn npsh_3m(altitude_m: f64, temperature_c: f64, density_kg_m3: f64) -> f64 {
        let air = atmospheric_pressure_pa(altitude_m);
        npsh_available_m(air, vapour_pressure_pa(temperature_c), density_kg_m3, 3.0, 1.0)
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("npsh-0m-10c", || npsh_3m(0.0, 10.0, 999.7)),
        ("npsh-1000m-20c", || npsh_3m(1_000.0, 20.0, 998.2)),
        ("npsh-2000m-5c", || npsh_3m(2_000.0, 5.0, 999.97)),
    ];
}
