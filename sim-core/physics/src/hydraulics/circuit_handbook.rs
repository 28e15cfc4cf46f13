//! Handbook entries and checks of the closed circuit, its fines and its days.

use super::circuit::{CircuitFlows, Fines, PondBody, balance, returned_kg_m3};
use super::fines::{FINES_CLASSES, SILT_CLASSES, silt_finer_share};
use super::pond::{fines_fall_m_s, return_share, steady_return_kg_m3};
use super::pond_days::{DayPlan, PondHolds};
use super::pond_time::PondShape;
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use crate::particle::water::WaterState;
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{QUARTZ_KG_M3, S_PER_DAY, S_PER_H};
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::quantity::Dimension as D;

const AREA: Symbol = needed("area", "surface of the pond", D::Area, "m2", POSITIVE);
const TANKS: Symbol = preset("tanks", "tanks in a row that the pond is worth", D::Number, "-", (0.5, 1_000.0), 2.0);

/// A circuit with one kind of fines, all flows given.
fn one_kind(fresh_kg_s: f64, fall_m_s: f64, swelling: f64) -> Fines {
    let mut fines = Fines { fresh_kg_s: [0.0; FINES_CLASSES], fall_m_s: [0.0; FINES_CLASSES], clay_swelling: swelling };
    fines.fresh_kg_s[SILT_CLASSES] = fresh_kg_s;
    fines.fall_m_s[SILT_CLASSES] = fall_m_s;
    fines
}

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "pond-returned-class",
        "Fines of one class in the water that leaves the pond, with the water that pile and mud keep",
        "C = (1 - p)(1 - R) F/(Q_c - (1 - p)(1 - R) Q_b)",
        evaluate!(|fresh, removal, carrying, round, pile| {
            let c = returned_kg_m3(fresh, pile, removal, carrying, round);
            [if c.is_finite() { c } else { f64::NAN }]
        }),
    )
    .inputs(&[
        needed("fresh_fines", "fresh fines that reach the pile and the pond", D::MassRate, "t/h", POSITIVE),
        needed("removal", "share that the pond takes out in one pass", D::Fraction, "%", (0.0, 1.0)),
        needed("carrying", "all water that leaves the pond with its fines", D::Flow, "m3/h", POSITIVE),
        needed("round", "the part of it that comes round again", D::Flow, "m3/h", POSITIVE),
        preset("pile_share", "share of the slurry's water that the pile keeps", D::Fraction, "%", (0.0, 1.0), 0.0),
    ])
    .outputs(&[output("returned", "fines in the water that leaves the pond", D::Density, "g/L")])
    .source("mass balance of one class", Status::Computed)
    .limits("Removal is taken as not changed by the mud itself. No answer where nothing settles and nothing leaves."),
    Formula::new(
        "pond-circuit",
        "Return water of a closed plant with one kind of fines, its thickness and its make-up",
        "C as pond-returned-class with R = 1 - (1 + v A/(n Q mu_r))^-n, mu_r by Krieger-Dougherty of C, in rounds",
        evaluate!(|fresh, fall, supplied, area, tanks, pile, bleed, mud, swelling| {
            let flows = CircuitFlows {
                supplied_m3_s: supplied,
                recycled: 1.0,
                arriving_m3_s: supplied,
                arriving_supplied_m3_s: supplied,
                pile_m3_s: pile,
                bleed_m3_s: bleed,
                ..CircuitFlows::default()
            };
            let pond = PondBody { area_m2: area, tanks, mud_dry_density_kg_m3: mud, grain_kg_m3: QUARTZ_KG_M3 };
            let c = balance(&flows, &pond, &one_kind(fresh, fall, swelling));
            if c.closes && pile <= supplied {
                [c.pond_kg_m3.iter().sum::<f64>(), c.thickness, c.fresh_m3_s]
            } else {
                [f64::NAN; 3]
            }
        }),
    )
    .inputs(&[
        needed("fresh_fines", "fresh fines that reach the pile and the pond", D::MassRate, "t/h", POSITIVE),
        needed("fall_speed", "their fall speed in clean water", D::Velocity, "mm/s", POSITIVE),
        needed("supplied", "water of all outlets, drawn from the pond", D::Flow, "m3/h", POSITIVE),
        AREA,
        TANKS,
        preset("pile_water", "water that the pile keeps", D::Flow, "m3/h", POSITIVE, 0.0),
        preset("bleed", "water let out for good", D::Flow, "m3/h", POSITIVE, 0.0),
        preset("mud_dry_density", "dry solids in a volume of mud", D::Density, "kg/m3", (100.0, 1_600.0), 700.0),
        preset("swelling", "volume with bound water over own volume", D::Number, "-", (1.0, 10.0), 1.0),
    ])
    .outputs(&[
        output("returned", "fines in the return water", D::Density, "g/L"),
        output("thickness", "viscosity of the return water over that of clean water", D::Number, "-"),
        output("makeup", "fresh water that keeps the level; below 0 what is left over", D::Flow, "m3/h")
            .possible((-1e6, 1e6)),
    ])
    .source("mass balance; Hazen's tanks; Krieger and Dougherty 1959", Status::Computed)
    .limits(
        "All supplied water reaches the pile and the pond. No answer where the water turns to paste. Without seepage, \
                 evaporation, rain.",
    ),
    Formula::new(
        "silt-finer-share",
        "Share of the silt under 0.045 mm that is finer than a size",
        "F = (d/0.045 mm)^m",
        evaluate!(|size, shape| [silt_finer_share(size, shape)]),
    )
    .inputs(&[
        needed("size", "grain size", D::SieveSize, "um", (0.0, 45e-6)),
        preset("shape", "shape of the curve: 0.4 much fine silt, 1 little", D::Number, "-", (0.1, 3.0), 0.7),
    ])
    .outputs(&[output("finer", "share finer", D::Fraction, "%")])
    .source("form of Gaudin 1926 and Schuhmann 1940 for crushed ore", Status::Memory)
    .limits("Taken over for the silt of gravel, which is assumed."),
];

/// Time in which a quartz grain falls 10 cm in clean water, h.
fn fall_10_cm_h(grain_um: f64, temperature_c: f64) -> f64 {
    let water = WaterState::clean(temperature_c);
    let speed = fines_fall_m_s(1e-6 * grain_um, water.kinematic_viscosity_m2_s(), QUARTZ_KG_M3, water.density_kg_m3);
    0.1 / speed / S_PER_H
}

/// A closed plant for the books: 165 m3/h, one kind of fines.
fn example() -> (CircuitFlows, PondBody, Fines) {
    let q = 165.0 / S_PER_H;
    let flows = CircuitFlows {
        supplied_m3_s: q,
        recycled: 1.0,
        arriving_m3_s: q,
        arriving_supplied_m3_s: 0.99 * q,
        pile_m3_s: 0.03 * q,
        bleed_m3_s: 0.02 * q,
        ..CircuitFlows::default()
    };
    let pond = PondBody { area_m2: 1_500.0, tanks: 2.0, mud_dry_density_kg_m3: 700.0, grain_kg_m3: QUARTZ_KG_M3 };
    (flows, pond, one_kind(0.3, 1e-5, 4.0))
}

/// Fines that leave the circuit over those that come in: 1 in balance.
fn example_books() -> f64 {
    let (flows, pond, fines) = example();
    let c = balance(&flows, &pond, &fines);
    let hanging: f64 = c.pond_kg_m3.iter().sum();
    let wet_rock_m3_s = flows.supplied_m3_s - flows.arriving_supplied_m3_s;
    (c.settled_kg_s + c.pile_kg_s + hanging * (c.mud_water_m3_s + flows.bleed_m3_s + c.spill_m3_s + wet_rock_m3_s))
        / 0.3
}

/// Fines after many days without rest over those of the circuit in balance: 1 but for the water of the mud.
fn example_days() -> f64 {
    let (flows, pond, fines) = example();
    let shape = PondShape {
        area_m2: pond.area_m2,
        capacity_m3: 2_250.0,
        tanks: pond.tanks,
        working_depth_m: 0.6,
        mud_dry_density_kg_m3: pond.mud_dry_density_kg_m3,
    };
    let plan = DayPlan { run_s: S_PER_DAY, fresh_limit_m3_s: f64::INFINITY, fill_to: 1.0, dig_out_days: 1.0 };
    let mut holds = PondHolds::filled(&shape, 1.0, 0.0);
    let mut last = 0.0;
    for day in 1..=200 {
        last = holds.work_day(&shape, &flows, &fines, QUARTZ_KG_M3, &plan, day).fines_kg_m3;
    }
    last / balance(&flows, &pond, &fines).pond_kg_m3.iter().sum::<f64>()
}

const PIPETTE: &str = "pipette analysis of soils as in ISO 11277: quartz falls 10 cm in water of 20 C";

const fn pipette(id: &'static str, hours: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "Ferguson-Church fall speed of fines", computed)
        .against(Kind::Published, PIPETTE, Status::Memory)
        .value(hours, "h")
        .within(Band::Relative(0.03))
}

const fn identity(
    id: &'static str,
    model: &'static str,
    source: &'static str,
    band: f64,
    computed: fn() -> f64,
) -> Check {
    Check::new(id, model, computed)
        .against(Kind::Identity, source, Status::Computed)
        .value(1.0, "-")
        .within(Band::Relative(band))
}

/// Checks.
pub const CHECKS: &[Check] = &[
    pipette("pipette-2um-20c", 7.73, || fall_10_cm_h(2.0, 20.0)),
    pipette("pipette-20um-20c", 0.0773, || fall_10_cm_h(20.0, 20.0)),
    identity(
        "circuit-one-class",
        "closed circuit",
        "without pores and fresh water it is the closed pond",
        1e-12,
        || {
            let (q, bleed) = (0.05, 0.004);
            returned_kg_m3(0.3, 0.0, 0.4, q, q - bleed)
                / steady_return_kg_m3(0.3, q, return_share(q - bleed, 0.0, bleed), 0.4)
        },
    ),
    identity("circuit-books", "closed circuit", "fines in = mud, pile, bleed, wet rock", 1e-9, example_books),
    identity("circuit-days", "pond day by day", "ends at the circuit in balance", 0.03, example_days),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_checks_of_this_file_pass() {
        for check in CHECKS {
            let value = (check.computed)();
            assert!(check.passes(value), "{}: {value} against {}", check.id, check.published);
        }
    }

    #[test]
    fn identity_a_circuit_without_answer_gives_none() {
        let entry = FORMULAS.iter().find(|f| f.name == "pond-circuit").unwrap();
        // A kilogram a second of clay that does not fall, and little water that leaves.
        let stuck = (entry.evaluate)(&[1.0, 0.0, 0.05, 1_500.0, 2.0, 0.001, 0.0, 700.0, 4.0]);
        assert!(stuck.iter().all(|x| x.is_nan()));
        let works = (entry.evaluate)(&[0.1, 2e-5, 0.05, 1_500.0, 2.0, 0.001, 0.0, 700.0, 4.0]);
        assert!(works.iter().all(|x| x.is_finite() && *x > 0.0), "{works:?}");
    }
}
