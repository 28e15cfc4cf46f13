//! The pond as a stage.

use sim_core::constants::{QUARTZ_KG_M3, S_PER_DAY};
use std::any::Any;

use sim_core::draw::Input;
use sim_core::hydraulics::circuit::{Circuit, CircuitFlows, Fines, PondBody, balance};
use sim_core::hydraulics::fines::{
    CLAY_CLASSES, FINES_CLASSES, SILT_CLASSES, clay_fall_m_s, sand_kg_s, silt_fall_m_s, silt_kg_s,
};
use sim_core::hydraulics::makeup::{carried_water_kg_s, evaporation_m3_s};
use sim_core::hydraulics::pond::{
    IMHOFF_DEPTH_M, IMHOFF_TIME_S, SETTLEABLE_LIMIT, SETTLED_DRY_DENSITY_KG_M3, jar_settled_share, settleable_solids,
};
use sim_core::particle::water::viscosity_pa_s;
use sim_core::quantity::{Dimension, Phrase};
use sim_core::return_water::{PondBook, ReturnWater, Sweep};
use sim_core::stage::{Port, Ports, Stage, StageBuilder, StageKind, Trial};
use sim_core::stream::Stream;

use crate::cut::{Basin, Cut, CutDays};
use crate::jar::{self, Jar};
use crate::settings::{LEVERS, SETTINGS};
use crate::warnings::{Facts, PondWarning};

/// The kind `pond`.
pub static POND: StageKind =
    StageKind::new("pond", "settles the fines of the tailings slurry and gives its water back to the outlets", build)
        .settings(SETTINGS)
        .levers(LEVERS)
        .inlets(&[Port::required("feed", "tailings slurry")])
        .outlets(&[Port::optional("kept", "sand, mud and the water in their pores: they stay here")])
        .faults(crate::trouble::FAULTS)
        .readings(crate::trouble::READINGS)
        .symptoms(crate::trouble::SYMPTOMS)
        .model("pond 1 (tanks in a row, fines in closed form)");

/// Viscosity over that of clean water from which fine gold settles markedly slower. Our choice: a tenth.
const THICK: f64 = 1.1;

struct Pond {
    basin: Basin,
    recycled: f64,
    bleed_m3_s: f64,
    springs_m3_s: f64,
    seepage_carries: f64,
    tanks: Input,
    seepage: Input,
    evaporation: Input,
    rain: Input,
    pile_moisture: Input,
    mud_dry_density: Input,
    silt_curve: Input,
    clay_grain: Input,
    jar: Option<Jar>,
    jar_factor: Input,
    clay_swelling: Input,
    cut: Cut,
    m: Numbers,
}

/// Numbers of the measures.
struct Numbers {
    returned_fines: usize,
    thickness: usize,
    hanging_load: usize,
    on_rock: usize,
    settleable: usize,
    holding: usize,
    makeup: usize,
    makeup_a_day: usize,
    in_pile: usize,
    in_mud: usize,
    seeping: usize,
    evaporating: usize,
    bled: usize,
    spilling: usize,
    gained: usize,
    mud_a_day: usize,
    water_lasts: usize,
    mud_lasts: usize,
    /// Fall speed of the slowest sixth of the clay, of its middle, and of the fastest sixth.
    clay_fall: [usize; 3],
    days: CutDays,
}

/// What a worker keeps from the first sweep to the second.
#[derive(Default)]
struct Scratch {
    kept_water_m3_s: f64,
    facts: Facts,
}

fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    let s = b.settings;
    let area_m2 = s.number("area");
    let capacity_m3 = match (s.maybe("depth"), s.maybe("volume")) {
        (Some(depth_m), None) => depth_m * area_m2,
        (None, Some(volume_m3)) => volume_m3,
        (Some(_), Some(_)) => {
            b.problems.error(
                s.place("volume"),
                "both `depth` and `volume` of the pond are given",
                "give one of the two; the other follows from the surface",
            );
            return None;
        }
        (None, None) => {
            b.problems.error(
                s.span.clone(),
                format!("{} lacks its `depth` or `volume`", b.id),
                "add e.g. `depth = \"5 ft\"`, the mean depth when full",
            );
            return None;
        }
    };
    let cut = Cut {
        days: s.number("cut") / S_PER_DAY,
        run_s: s.number("run_a_day"),
        fresh_limit_m3_s: s.maybe("fresh").unwrap_or(f64::INFINITY),
        start_full: s.number("start_full"),
        old_mud: s.number("old_mud"),
        dig_out_days: s.maybe("dig_out").map_or(f64::INFINITY, |t| (t / S_PER_DAY).round().max(1.0)),
    };
    if cut.old_mud >= cut.start_full {
        b.problems.error(
            s.place("old_mud"),
            "the pond holds no water over its old mud when the cut begins",
            "`start_full` counts water and mud together and must be more than `old_mud`",
        );
        return None;
    }
    let jar = jar::read(b).ok()?;
    for warning in PondWarning::ALL {
        b.warning(warning.id(), warning.severity(), warning.text(&Facts::default()));
    }
    let m = numbers(b, &cut);
    let s = b.settings;
    Some(Box::new(Pond {
        basin: Basin { area_m2, capacity_m3, working_depth_m: s.number("working_depth") },
        recycled: s.number("recycled"),
        bleed_m3_s: s.number("bleed"),
        springs_m3_s: s.number("springs"),
        seepage_carries: s.number("seepage_carries"),
        tanks: s.input("tanks"),
        seepage: s.input("seepage"),
        evaporation: s.input("evaporation"),
        rain: s.input("rain"),
        pile_moisture: s.input("pile_moisture"),
        mud_dry_density: s.input("mud_dry_density"),
        silt_curve: s.input("silt_curve"),
        clay_grain: s.input("clay_grain"),
        jar,
        jar_factor: s.input("jar_factor"),
        clay_swelling: s.input("clay_swelling"),
        cut,
        m,
    }))
}

fn numbers(b: &mut StageBuilder<'_>, cut: &Cut) -> Numbers {
    let flow = Dimension::Flow;
    Numbers {
        returned_fines: b.measure("returned_fines", Dimension::Density, "fines that hang in the water of the outlets"),
        thickness: b.measure(
            "pond_water_thickness",
            Dimension::Number,
            "viscosity of the pond water over that of clean water",
        ),
        hanging_load: b.measure("fines_to_pond", Dimension::MassRate, "fresh silt and clay that reach the pond"),
        on_rock: b.measure(
            "fines_on_rock",
            Dimension::MassRate,
            "fines of the pond that the spray leaves on the washed rock: it cannot rinse cleaner than its own water",
        ),
        settleable: b.measure(
            "settleable_ml_per_l",
            Dimension::Number,
            "settleable solids of the pond water, mL of mud in a litre",
        ),
        holding: b.measure("holding_time", Dimension::Time, "time for which the pond holds its inflow"),
        makeup: b.measure("makeup", flow, "fresh water beside the pond while the plant runs"),
        makeup_a_day: b.measure("makeup_a_day", Dimension::Volume, "fresh water that a day of running and rest takes"),
        in_pile: b.measure("water_in_pile", flow, "water that stays in the tailings pile"),
        in_mud: b.measure("water_in_mud", flow, "water that stays in the pores of the mud"),
        seeping: b.measure("water_seeping", flow, "water that seeps away"),
        evaporating: b.measure("water_evaporating", flow, "water that evaporates"),
        bled: b.measure("water_bled", flow, "water let out for good"),
        spilling: b.measure("water_spilling", flow, "water that runs over because the pond gains"),
        gained: b.measure("water_gained", flow, "water that comes by itself: rain, springs"),
        mud_a_day: b.measure("mud_a_day", Dimension::Volume, "room that the mud of a day takes"),
        water_lasts: b.measure("water_lasts", Dimension::Time, "time that the water lasts, at most the cut"),
        mud_lasts: b.measure(
            "mud_room_lasts",
            Dimension::Time,
            "time until mud leaves less than the working depth, at most the cut",
        ),
        clay_fall: [
            b.fall_speed(1.0 / 12.0, "clay_fall_slow", "fall speed of the clay of which 1 part in 12 falls slower"),
            b.fall_speed(0.5, "clay_fall_middle", "fall speed of the middle of the clay"),
            b.fall_speed(11.0 / 12.0, "clay_fall_fast", "fall speed of the clay of which 11 parts in 12 fall slower"),
        ],
        days: CutDays::declare(b, cut),
    }
}

impl Pond {
    fn body(&self, trial: &Trial<'_>) -> PondBody {
        PondBody {
            area_m2: self.basin.area_m2,
            tanks: trial.get(self.tanks),
            mud_dry_density_kg_m3: trial.get(self.mud_dry_density),
            grain_kg_m3: QUARTZ_KG_M3,
        }
    }

    fn flows(&self, trial: &Trial<'_>, feed: &Stream) -> CircuitFlows {
        let water_kg_m3 = trial.ground.water.density_kg_m3;
        let pile_kg_s = sand_kg_s(&feed.rock_kg_s) + feed.lumps_kg_s();
        let pile_m3_s = carried_water_kg_s(pile_kg_s, trial.get(self.pile_moisture)) / water_kg_m3;
        CircuitFlows {
            supplied_m3_s: trial.outlets.iter().map(|o| o.flow_m3_s).sum(),
            recycled: self.recycled,
            arriving_m3_s: feed.water_m3_s,
            arriving_supplied_m3_s: feed.added_water_m3_s.min(feed.water_m3_s),
            // A slurry drier than a drained pile keeps all its water.
            pile_m3_s: pile_m3_s.min(feed.water_m3_s),
            bleed_m3_s: self.bleed_m3_s,
            seepage_m3_s: trial.get(self.seepage) * self.basin.area_m2,
            seepage_carrying: self.seepage_carries,
            evaporation_m3_s: evaporation_m3_s(trial.get(self.evaporation), self.basin.area_m2),
            gained_m3_s: trial.get(self.rain) * self.basin.area_m2 + self.springs_m3_s,
        }
    }

    fn fines(&self, trial: &Trial<'_>, feed: &Stream) -> Fines {
        let water = &trial.ground.water;
        let nu = water.kinematic_viscosity_m2_s();
        let mut fines = Fines {
            fresh_kg_s: [0.0; FINES_CLASSES],
            fall_m_s: [0.0; FINES_CLASSES],
            clay_swelling: trial.get(self.clay_swelling),
        };
        let (silt, clay) = fines.fresh_kg_s.split_at_mut(SILT_CLASSES);
        silt.copy_from_slice(&silt_kg_s(&feed.rock_kg_s, trial.get(self.silt_curve)));
        clay.fill(feed.clay_kg_s / CLAY_CLASSES as f64);
        let (silt, clay) = fines.fall_m_s.split_at_mut(SILT_CLASSES);
        silt.copy_from_slice(&silt_fall_m_s(nu, trial.ground.rock_density_kg_m3, water.density_kg_m3));
        clay.copy_from_slice(&match &self.jar {
            // Fines fall as Stokes says: speeds go with 1/viscosity.
            Some(jar) => {
                let factor = trial.get(self.jar_factor) * viscosity_pa_s(jar.temperature_c)
                    / viscosity_pa_s(water.temperature_c);
                jar.fall_m_s.map(|v| v * factor)
            }
            None => clay_fall_m_s(trial.get(self.clay_grain), nu, QUARTZ_KG_M3, water.density_kg_m3),
        });
        // Grains of silt as fine as clay are caught in its flakes: they fall with the middle of the clay if it is faster.
        let flakes = 0.5 * (clay[CLAY_CLASSES / 2 - 1] + clay[CLAY_CLASSES / 2]);
        silt[0] = silt[0].max(flakes);
        fines
    }

    fn write(
        &self,
        m: &mut [f64],
        flows: &CircuitFlows,
        fines: &Fines,
        circuit: &Circuit,
        body: &PondBody,
        hanging_kg_m3: f64,
    ) -> Facts {
        let n = &self.m;
        let round_m3_s = flows.recycled * flows.arriving_supplied_m3_s;
        let into_pond_m3_s = flows.arriving_m3_s - flows.pile_m3_s;
        let settling: f64 = circuit
            .pond_kg_m3
            .iter()
            .zip(&fines.fall_m_s)
            .map(|(c, v)| c * jar_settled_share(*v, IMHOFF_TIME_S, IMHOFF_DEPTH_M))
            .sum();
        let settleable = settleable_solids(settling, SETTLED_DRY_DENSITY_KG_M3.1);
        let holding_s = if into_pond_m3_s > 0.0 { self.basin.capacity_m3 / into_pond_m3_s } else { f64::INFINITY };
        let lasting = self.cut.lasting(&self.basin, flows, circuit, body);
        let fresh_direct_m3_s = (1.0 - flows.recycled) * flows.supplied_m3_s;
        m[n.returned_fines] = flows.recycled * hanging_kg_m3;
        m[n.thickness] = circuit.thickness;
        m[n.hanging_load] = fines.fresh_kg_s.iter().sum();
        m[n.on_rock] = (flows.returned_m3_s() - round_m3_s) * hanging_kg_m3;
        m[n.settleable] = 1e3 * settleable;
        m[n.holding] = holding_s;
        m[n.makeup] = fresh_direct_m3_s + circuit.fresh_m3_s;
        m[n.makeup_a_day] = fresh_direct_m3_s * self.cut.run_s + lasting.need_a_day_m3.max(0.0);
        m[n.in_pile] = flows.pile_m3_s;
        m[n.in_mud] = circuit.mud_water_m3_s;
        m[n.seeping] = flows.seepage_m3_s;
        m[n.evaporating] = flows.evaporation_m3_s;
        m[n.bled] = flows.bleed_m3_s;
        m[n.spilling] = circuit.spill_m3_s;
        m[n.gained] = flows.gained_m3_s;
        m[n.mud_a_day] = lasting.mud_a_day_m3;
        m[n.water_lasts] = lasting.water_s;
        m[n.mud_lasts] = lasting.mud_s;
        let clay = &fines.fall_m_s[SILT_CLASSES..];
        let middle_m_s = (clay[CLAY_CLASSES / 2 - 1] * clay[CLAY_CLASSES / 2]).sqrt();
        for (m_s, at) in [clay[0], middle_m_s, clay[CLAY_CLASSES - 1]].into_iter().zip(n.clay_fall) {
            m[at] = m_s;
        }
        Facts {
            closes: circuit.closes,
            lasting,
            cut_s: self.cut.days * S_PER_DAY,
            holding_s,
            settleable,
            lets_out: flows.bleed_m3_s + circuit.spill_m3_s > 0.0,
            over_limit: settleable > SETTLEABLE_LIMIT,
            thick: circuit.thickness > THICK,
            thickness: circuit.thickness,
            returned_kg_m3: flows.recycled * hanging_kg_m3,
        }
    }
}

impl Stage for Pond {
    fn is_pond(&self) -> bool {
        true
    }

    fn scratch(&self) -> Box<dyn Any + Send> {
        Box::new(Scratch::default())
    }

    fn warning_text(&self, warning: usize, scratch: &(dyn Any + Send)) -> Option<Phrase> {
        let facts = &scratch.downcast_ref::<Scratch>()?.facts;
        PondWarning::ALL.get(warning).map(|w| w.text(facts))
    }

    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let [out] = work.outlets else { return };
        let (Some(feed), Some(scratch)) = (inlet(0), work.scratch.downcast_mut::<Scratch>()) else { return };
        out.copy_from(feed);
        if trial.sweep != Sweep::Gold {
            let (flows, fines, body) = (self.flows(trial, feed), self.fines(trial, feed), self.body(trial));
            let circuit = balance(&flows, &body, &fines);
            let hanging_kg_m3: f64 = circuit.pond_kg_m3.iter().sum();
            *work.pond = Some(PondBook {
                return_water: ReturnWater { fines_kg_m3: hanging_kg_m3, volume_share: circuit.volume_share }
                    .thinned(self.recycled),
                makeup_m3_s: (1.0 - flows.recycled) * flows.supplied_m3_s + circuit.fresh_m3_s,
                gained_m3_s: flows.gained_m3_s,
                lost_m3_s: flows.seepage_m3_s + flows.evaporation_m3_s + flows.bleed_m3_s + circuit.spill_m3_s,
                closes: circuit.closes,
            });
            scratch.kept_water_m3_s = flows.pile_m3_s + circuit.mud_water_m3_s;
            scratch.facts = self.write(work.measures, &flows, &fines, &circuit, &body, hanging_kg_m3);
            for (flag, warning) in work.warnings.iter_mut().zip(PondWarning::ALL) {
                *flag = warning.is_raised(&scratch.facts);
            }
            if trial.at_length {
                self.m.days.work(&self.cut, &self.basin, &flows, &fines, &body, work.measures);
            }
        }
        out.water_m3_s = scratch.kept_water_m3_s;
        out.added_water_m3_s = out.added_water_m3_s.min(out.water_m3_s);
    }
}
