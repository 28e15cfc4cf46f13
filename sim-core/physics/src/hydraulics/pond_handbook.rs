//! Handbook entries of the pond, its recirculation and its make-up.

use super::makeup::{DampSolids, carried_water_kg_s, evaporation_m3_s, makeup_m3_s, seepage_m3_s};
use super::pond::{
    SETTLEABLE_LIMIT, area_for_removal_m2, build_up, fines_fall_m_s, ideal_removal, jar_fall_m_s, return_share,
    settleable_solids, steady_return_kg_m3, stokes_size_m, tank_removal,
};
use super::pond_time::{build_up_time_s, fill_time_s};
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use crate::particle::water::WaterState;
use washgraph_units::check::Status;
use washgraph_units::constants::{QUARTZ_KG_M3, S_PER_DAY, WATER_10C_KG_M3};
use washgraph_units::formula::{Formula, Symbol, Together};
use washgraph_units::quantity::Dimension as D;

const FALL: Symbol = needed("fall_speed", "fall speed of the grain size", D::Velocity, "mm/s", POSITIVE);
const AREA: Symbol = needed("area", "surface of the pond", D::Area, "m2", POSITIVE);
const FLOW: Symbol = needed("flow", "wash water through the pond", D::Flow, "L/s", POSITIVE);
const TANKS: Symbol =
    preset("tanks", "tanks in a row: 1 poor, 2-3 usual, 8 very good", D::Number, "-", (0.5, 1e6), 2.0);
const TEMPERATURE: Symbol =
    preset("temperature", "temperature of the water, taken as clean", D::Temperature, "°C", (0.0, 30.0), 10.0);
const GRAIN_DENSITY: Symbol =
    preset("grain_density", "density of the grains", D::Density, "kg/m3", (1_100.0, 20_000.0), QUARTZ_KG_M3);
const WATER_DENSITY: Symbol =
    preset("density", "density of the water", D::Density, "kg/m3", (950.0, 1_500.0), WATER_10C_KG_M3);
const RETURNED: Symbol =
    preset("return_share", "share of the pond's outflow that comes back", D::Fraction, "%", (0.0, 1.0), 0.95);

/// Kinematic viscosity (m2/s) and density (kg/m3) of clean water at a temperature (C).
fn clean_water(temperature_c: f64) -> (f64, f64) {
    let water = WaterState::clean(temperature_c);
    (water.viscosity_pa_s / water.density_kg_m3, water.density_kg_m3)
}

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "pond-removal",
        "Share of a grain size that a pond takes out",
        "R = 1 - (1 + x/n)^-n, x = v_s A/Q;  ideal: min(1, x)",
        evaluate!(|v, a, q, n| [tank_removal(v * a / q, n), ideal_removal(v, a, q), v * a / q]),
    )
    .inputs(&[FALL, AREA, FLOW, TANKS])
    .outputs(&[
        output("removal", "share taken out by a pond worth n tanks", D::Fraction, "%"),
        output("ideal_removal", "share taken out by an ideal pond", D::Fraction, "%"),
        output("overflow_ratio", "x", D::Number, "-"),
    ])
    .source("Hazen 1904; Fair & Geyer", Status::Memory)
    .limits("Depth does not enter; nothing is stirred up again."),
    Formula::new(
        "pond-removal-of-size",
        "Share of a grain size that a pond takes out, from its diameter",
        "v = R_s g d^2/(18 nu + sqrt(0.75 R_s g d^3));  R = 1 - (1 + v A/(n Q))^-n",
        evaluate!(|d, a, q, n, t, rho_s| {
            let (nu, rho) = clean_water(t);
            let v = fines_fall_m_s(d, nu, rho_s, rho);
            [tank_removal(v * a / q, n), v, q / v]
        }),
    )
    .inputs(&[
        needed("grain_size", "diameter of the grains", D::SieveSize, "um", (1e-7, 2e-3)),
        AREA,
        FLOW,
        TANKS,
        TEMPERATURE,
        GRAIN_DENSITY,
    ])
    .outputs(&[
        output("removal", "share taken out", D::Fraction, "%"),
        output("fall_speed", "fall speed", D::Velocity, "mm/s"),
        output("ideal_area", "surface of an ideal pond that takes all of it", D::Area, "m2"),
    ])
    .source("Ferguson & Church 2004; Hazen 1904; Fair & Geyer", Status::Memory)
    .limits("Loose single grains; flocculated clay falls as a larger grain."),
    Formula::new(
        "pond-area",
        "Surface of a pond that takes out a wanted share of a grain size",
        "A = (Q/v_s) n [(1 - R)^(-1/n) - 1]",
        evaluate!(|r, v, q, n| [area_for_removal_m2(r, v, q, n)]),
    )
    .inputs(&[needed("removal", "share to take out", D::Fraction, "%", (0.0, 0.9999)), FALL, FLOW, TANKS])
    .outputs(&[output("area", "surface", D::Area, "m2")])
    .source("Hazen 1904; Fair & Geyer, turned round", Status::Memory),
    Formula::new(
        "pond-recycle",
        "Fines of one size in the return water when plant and pond have come to balance",
        "C_ret = (1 - R) (F/Q)/(1 - r (1 - R))",
        evaluate!(|f, q, removal, r| {
            [steady_return_kg_m3(f, q, r, removal), build_up(r, removal) * f / q, build_up(r, removal)]
        }),
    )
    .inputs(&[
        needed("fresh_fines", "fines of that size set free in the plant", D::MassRate, "t/h", POSITIVE),
        FLOW,
        needed("removal", "share that the pond takes out", D::Fraction, "%", (0.0, 1.0)),
        RETURNED,
    ])
    .outputs(&[
        output("return_concentration", "fines in the return water", D::Density, "g/L"),
        output("inflow_concentration", "fines in the water that enters the pond", D::Density, "g/L"),
        output("build_up", "times over the fines of one pass", D::Number, "-"),
    ])
    .source("mass balance", Status::Computed)
    .limits("Removal is taken as not changed by the mud itself."),
    Formula::new(
        "pond-return-share",
        "Share of the pond's outflow that comes back to the plant",
        "r = Q_ret/(Q_ret + Q_seep + Q_disch)",
        evaluate!(|ret, seep, out| [return_share(ret, seep, out)]),
    )
    .inputs(&[
        needed("return_flow", "water back to the plant", D::Flow, "L/s", POSITIVE),
        preset("carrying_seepage", "seepage that carries fines", D::Flow, "L/s", POSITIVE, 0.0),
        preset("discharge", "water let out", D::Flow, "L/s", POSITIVE, 0.0),
    ])
    .outputs(&[output("return_share", "share returned", D::Fraction, "%")])
    .source("definition", Status::Computed),
    Formula::new(
        "pond-build-up-time",
        "Time in which fines that do not settle build up, and time in which mud fills the pond",
        "t = V/Q_bleed;  t_fill = V_mud rho_mud/F",
        evaluate!(|v, q, room, rho, f| [build_up_time_s(v, q), fill_time_s(room, rho, f)]),
    )
    .inputs(&[
        needed("volume", "water in the circuit", D::Volume, "m3", POSITIVE),
        needed("bleed", "water that leaves for good with its fines", D::Flow, "m3/h", POSITIVE),
        preset("mud_room", "room for mud", D::Volume, "m3", POSITIVE, 1_000.0),
        preset("mud_dry_density", "dry solids in a volume of mud", D::Density, "kg/m3", (100.0, 1_600.0), 700.0),
        preset("settling_fines", "fines that settle", D::MassRate, "t/h", POSITIVE, 1.0),
    ])
    .outputs(&[
        output("build_up_time", "time to 63 % of the end", D::Time, "h"),
        output("fill_time", "time to fill the room", D::Time, "h"),
    ])
    .source("mass balance", Status::Computed)
    .open(&[("build_up_time", "never: no water leaves"), ("fill_time", "never: nothing settles")]),
    Formula::new(
        "settling-jar",
        "What a jar of site water says: fall speed and grain size of what has cleared",
        "v = h/t;  d = sqrt(18 nu v/((rho_s/rho - 1) g))",
        evaluate!(|h, time, t, rho_s| {
            let v = jar_fall_m_s(h, time);
            let (nu, rho) = clean_water(t);
            [v, stokes_size_m(v, nu, rho_s, rho)]
        }),
    )
    .inputs(&[
        needed("cleared_depth", "from the water line down to the dirty water", D::Length, "mm", (0.001, 2.0)),
        needed("time", "since the jar was shaken", D::Time, "min", (1.0, 1e7)),
        TEMPERATURE,
        GRAIN_DENSITY,
    ])
    .outputs(&[
        output("fall_speed", "fall speed", D::Velocity, "mm/s"),
        output("grain_size", "grain that falls so, by Stokes", D::SieveSize, "um"),
    ])
    .source("still water; Stokes 1851", Status::Computed)
    .limits("Fines only."),
    Formula::new(
        "settleable-solids",
        "Settleable solids of water in an Imhoff cone, from what settles in an hour",
        "SS = C/rho_settled",
        evaluate!(|c, rho| [settleable_solids(c, rho), settleable_solids(c, rho) / SETTLEABLE_LIMIT]),
    )
    .inputs(&[
        needed("settling_solids", "solids coarser than about 11 um", D::Density, "mg/L", POSITIVE),
        preset("settled_density", "dry solids in settled mud", D::Density, "kg/m3", (200.0, 1_000.0), 500.0),
    ])
    .outputs(&[
        output("settleable", "volume of mud per volume of water; 0.001 is 1 mL/L", D::Number, "-"),
        output("over_limit", "over the US placer limit of 0.2 mL/L", D::Number, "-"),
    ])
    .source("assumed bridge; limit of 40 CFR 440.142", Status::Assumed)
    .limits("Local rules decide what may leave the pond."),
    Formula::new(
        "carried-water",
        "Water that leaves with damp solids",
        "W = S m/(1 - m)/rho",
        evaluate!(|s, m, rho| [carried_water_kg_s(s, m) / rho]),
    )
    .inputs(&[
        needed("solids", "dry solids", D::MassRate, "t/h", POSITIVE),
        needed("moisture", "water over wet mass", D::Fraction, "%", (0.0, 0.95)),
        WATER_DENSITY,
    ])
    .outputs(&[output("water", "water carried", D::Flow, "m3/h")])
    .source("definition", Status::Computed)
    .limits("Moisture is over wet mass: 50 % is one tonne of water a tonne of solids."),
    Formula::new(
        "makeup-water",
        "Water that a plant with a closed pond uses up",
        "out with oversize, tailings and mud - in with the bank + evaporation + seepage - rain",
        evaluate!(|feed, over, mud, m_o, m_t, m_m, m_b, area, evap, k, i, rain| {
            let leaving = [
                DampSolids { dry_kg_s: feed * over, moisture: m_o },
                DampSolids { dry_kg_s: feed * (1.0 - over - mud), moisture: m_t },
                DampSolids { dry_kg_s: feed * mud, moisture: m_m },
            ];
            let bank = DampSolids { dry_kg_s: feed, moisture: m_b };
            let out: f64 = leaving.iter().map(|s| carried_water_kg_s(s.dry_kg_s, s.moisture) / 1_000.0).sum();
            let evaporated = evaporation_m3_s(evap / S_PER_DAY, area);
            let seeped = seepage_m3_s(k, i, area);
            let total = makeup_m3_s(&leaving, bank, evaporated, seeped, rain / S_PER_DAY * area, 1_000.0);
            [total, out, carried_water_kg_s(feed, m_b) / 1_000.0, evaporated, seeped]
        }),
    )
    .inputs(&[
        needed("feed", "dry feed", D::MassRate, "t/h", POSITIVE),
        preset("oversize_share", "share of the feed that goes over the screen", D::Fraction, "%", (0.0, 1.0), 0.60),
        preset("mud_share", "share of the feed that ends as pond mud", D::Fraction, "%", (0.0, 1.0), 0.06),
        preset("oversize_moisture", "water over wet mass", D::Fraction, "%", (0.0, 0.9), 0.06),
        preset("tailings_moisture", "water over wet mass", D::Fraction, "%", (0.0, 0.9), 0.18),
        preset("mud_moisture", "water over wet mass", D::Fraction, "%", (0.0, 0.9), 0.50),
        preset("bank_moisture", "water over wet mass", D::Fraction, "%", (0.0, 0.9), 0.05),
        preset("pond_area", "surface of the pond", D::Area, "m2", POSITIVE, 1_500.0),
        preset("evaporation", "fall of the water line a day by evaporation", D::Length, "mm", (0.0, 0.05), 0.004),
        preset("conductivity", "of the bed: 1e-7 m/s tight, 1e-5 m/s sandy", D::Velocity, "m/s", (0.0, 1e-3), 1e-7),
        preset("gradient", "of the seepage", D::Number, "-", (0.0, 10.0), 1.0),
        preset("rain", "rise of the water line a day by rain", D::Length, "mm", (0.0, 0.5), 0.0),
    ])
    .together(|x, _| match x {
        [_, over, mud, ..] if over + mud > 1.0 + 1e-12 => {
            Together::Impossible("oversize and mud together are more than the feed".into())
        }
        _ => Together::Fits,
    })
    .outputs(&[
        output("makeup", "make-up water; below 0 what is left over", D::Flow, "m3/h").possible((-1e6, 1e6)),
        output("carried_out", "water out with the solids", D::Flow, "m3/h"),
        output("brought_in", "water in with the gravel", D::Flow, "m3/h"),
        output("evaporated", "evaporation", D::Flow, "m3/h"),
        output("seeped", "seepage", D::Flow, "m3/h"),
    ])
    .source("water balance; moistures assumed; Darcy for seepage", Status::Computed)
    .limits("Negative when the pond gains. Water at 1000 kg/m3."),
];
