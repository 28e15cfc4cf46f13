//! The pump as a stage.

use std::any::Any;

use sim_core::constants::STANDARD_GRAVITY_M_S2 as G;
use sim_core::draw::Input;
use sim_core::hydraulics::orifice::{jet_reach_m, jet_speed_m_s};
use sim_core::hydraulics::pipe::pipe_speed_m_s;
use sim_core::hydraulics::pump::{PumpCurve, PumpError, USUAL_BEST_FLOW};
use sim_core::hydraulics::suction::atmospheric_pressure_pa;
use sim_core::particle::water::{density_kg_m3, vapour_pressure_pa};
use sim_core::plumbing::{Fed, Hose, HoseKeys, HoseShop, Supply, hole_spread};
use sim_core::quantity::{Dimension, Phrase, show};
use sim_core::shop::{ShopPart, StageSite};
use sim_core::stage::{Ports, Stage, StageBuilder, StageKind, Trial};

use crate::engine::derating;
use crate::facts::{PumpFacts, Site};
use crate::settings::{LEVERS, SETTINGS};
use crate::shop::ShopPump;
use crate::warnings::{Outside, PumpWarning};

/// The kind `pump`.
pub static PUMP: StageKind =
    StageKind::new("pump", "pump with engine, suction and delivery: feeds the water outlets through a manifold", build)
        .settings(SETTINGS)
        .feeds_outlets()
        .faults(crate::trouble::FAULTS)
        .readings(crate::trouble::READINGS)
        .symptoms(crate::trouble::SYMPTOMS)
        .levers(LEVERS)
        .model("pump 1 (Darcy-Weisbach manifold)");

/// Height from which a level jet is let fall to tell how far it carries, m.
const REACH_FALL_M: f64 = 1.0;
/// Water temperature at which the suction limit is judged before any trial, °C.
const USUAL_WATER_C: f64 = 10.0;

struct Pump {
    supply: Supply,
    shop: Typed,
    altitude_m: f64,
    best_flow_m3_s: f64,
    efficiency: Input,
    npsh_required: Input,
    /// What the engine gives at the site, W.
    engine_power_w: Option<f64>,
    drive_efficiency: f64,
    fuel: Input,
    fed: Vec<Fed>,
    m: Measures,
}

/// What was typed and the shop wants to know.
struct Typed {
    suction: Option<HoseShop>,
    delivery: Option<HoseShop>,
    lift_m: f64,
    speed_rev_s: Option<f64>,
    electric: bool,
}

struct Measures {
    flow: usize,
    head: usize,
    gauge: usize,
    efficiency: usize,
    power: usize,
    engine_load: Option<usize>,
    fuel: usize,
    fuel_per_gravel: usize,
    npsh: usize,
    npsh_margin: usize,
    share_of_best: usize,
    suction_speed: usize,
    delivery_speed: usize,
    outlets: Vec<OutletMeasures>,
}

#[derive(Default)]
struct OutletMeasures {
    hose_speed: Option<usize>,
    first_hole: Option<usize>,
    last_hole: Option<usize>,
    weakest_hole: Option<usize>,
    plugged: Option<usize>,
    reach: Option<usize>,
}

/// What a worker keeps of the last trial for the texts of warnings.
#[derive(Default)]
struct Scratch {
    outside: Option<Outside>,
}

fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    let s = b.settings;
    let curve = read_curve(b)?;
    let (suction, delivery) = (Hose::read(s, HoseKeys::SUCTION, 0.0)?, Hose::read(s, HoseKeys::DELIVERY, 0.0)?);
    if s.maybe("speed").is_some() && s.maybe("rated_speed").is_none() {
        b.problems.error(
            s.place("speed"),
            "the speed of the pump is given, but not the speed for which its curve holds",
            "add rated_speed = \"... rpm\" from the plate",
        );
        return None;
    }
    if b.fed.is_empty() {
        b.problems.error(
            s.place("curve"),
            format!("nothing draws from `{}`: every water outlet has a pressure or flow of its own", b.id),
            "take `pressure` (or `flow`) out of the [[water]] tables that this pump feeds",
        );
        return None;
    }
    let altitude_m = s.number("altitude");
    refuse_impossible_lift(b, altitude_m)?;
    let engine = s.word("engine");
    let share = derating(s.word("derating"), engine, altitude_m, s.number("air_temperature"));
    let engine_power_w = s.maybe("engine_power").map(|p| p * share);
    for warning in PumpWarning::ALL {
        b.warning(warning.id(), warning.severity(), warning.plain());
    }
    let m = declare(b, engine_power_w.is_some(), engine == "electric");
    let s = b.settings;
    Some(Box::new(Pump {
        shop: Typed {
            suction: HoseShop::read(s, HoseKeys::SUCTION),
            delivery: HoseShop::read(s, HoseKeys::DELIVERY),
            lift_m: s.number("lift"),
            speed_rev_s: s.maybe("speed").or_else(|| s.maybe("rated_speed")),
            electric: engine == "electric",
        },
        best_flow_m3_s: s.maybe("best_flow").unwrap_or(USUAL_BEST_FLOW * curve.last_flow_m3_s()),
        supply: Supply {
            curve,
            suction,
            delivery,
            lift: s.input("lift"),
            rise_m: s.number("manifold_height"),
            speed: s.input("speed"),
            rated_speed_rev_s: s.number("rated_speed"),
            wear: s.input("wear"),
            bore_factor: s.input("hose_bore_factor"),
            roughness_factor: s.input("roughness_factor"),
            fitting_factor: s.input("fitting_factor"),
        },
        altitude_m,
        efficiency: s.input("efficiency"),
        npsh_required: s.input("npsh_required"),
        engine_power_w,
        drive_efficiency: s.number("drive_efficiency"),
        fuel: s.input("fuel_use"),
        fed: b.fed.to_vec(),
        m,
    }))
}

fn read_curve(b: &mut StageBuilder<'_>) -> Option<PumpCurve> {
    let s = b.settings;
    let points: Vec<(f64, f64)> =
        s.rows("curve").iter().filter_map(|row| Some((*row.first()?, *row.get(1)?))).collect();
    match PumpCurve::from_points(&points) {
        Ok(curve) => {
            if let Some(droop) = curve.droop() {
                b.problems.warning(
                    s.place("curve"),
                    format!(
                        "the pump curve droops: left of {} the same head comes at two flows, and the pump may hunt",
                        show(droop.peak_flow_m3_s, Dimension::Flow, b.units)
                    ),
                    "keep the working point to the right of the peak; the curve is held level left of it",
                );
            }
            Some(curve)
        }
        Err(error) => {
            let help = match error {
                PumpError::RisingCurve { .. } => {
                    "flow and head may be swapped in a row; a pump whose head rises with its flow has no steady working point"
                }
                PumpError::FlowNotIncreasing { .. } => "put the rows in order of flow, each flow once",
                PumpError::TooFewPoints { .. } => {
                    "give the head at no flow, in the middle, and near the end, e.g. [[\"0 US gpm\", \"125 ft\"], [\"600 US gpm\", \"100 ft\"], [\"1200 US gpm\", \"40 ft\"]]"
                }
                PumpError::BadPoint { .. } => "flow and head are zero or more",
            };
            b.problems.error(s.place("curve"), error.to_string(), help);
            None
        }
    }
}

/// No pump sucks water higher than the air can push it.
fn refuse_impossible_lift(b: &mut StageBuilder<'_>, altitude_m: f64) -> Option<()> {
    let lift_m = b.settings.maybe("lift")?;
    let air_pa = atmospheric_pressure_pa(altitude_m) - vapour_pressure_pa(USUAL_WATER_C);
    let limit_m = air_pa / (density_kg_m3(USUAL_WATER_C) * G);
    if lift_m < limit_m {
        return Some(());
    }
    let shown = |m: f64| show(m, Dimension::Head, b.units);
    b.problems.error(
        b.settings.place("lift"),
        format!(
            "a lift of {} is beyond what suction can do: at {} the air pushes water up {} at the very most",
            shown(lift_m),
            show(altitude_m, Dimension::Head, b.units),
            shown(limit_m)
        ),
        "set the pump lower, best below half of that, or flood it (a negative lift)",
    );
    None
}

fn declare(b: &mut StageBuilder<'_>, has_engine: bool, electric: bool) -> Measures {
    let outlets = b.fed.to_vec().iter().map(|fed| declare_outlet(b, fed)).collect();
    let power_words = "power that the pump takes from its engine, belts included";
    Measures {
        flow: b.measure("pump_flow", Dimension::Flow, "water through the pump"),
        head: b.measure("pump_head", Dimension::Head, "head that the pump gives"),
        gauge: b.measure("gauge", Dimension::Pressure, "pressure that a gauge on the manifold shows"),
        efficiency: b.measure("pump_efficiency", Dimension::Fraction, "efficiency of the pump where it works"),
        power: if electric {
            b.measure("motor_power", Dimension::Power, power_words)
        } else {
            b.engine_power("engine_power", power_words)
        },
        engine_load: has_engine.then(|| {
            b.measure("engine_load", Dimension::Fraction, "power taken over what the engine gives at the site")
        }),
        fuel: b.measure("fuel", Dimension::Flow, "fuel that the pump's engine burns"),
        fuel_per_gravel: b.measure("fuel_per_gravel", Dimension::WaterPerGravel, "fuel per loose volume of gravel"),
        npsh: b.measure("npsh_available", Dimension::Head, "suction head at hand over boiling (NPSH)"),
        npsh_margin: b.measure("npsh_margin", Dimension::Head, "suction head to spare over what the pump asks for"),
        share_of_best: b.measure("flow_over_best", Dimension::Fraction, "flow over the flow of best efficiency"),
        suction_speed: b.measure("suction_speed", Dimension::Velocity, "speed of the water in the suction hose"),
        delivery_speed: b.measure("delivery_speed", Dimension::Velocity, "speed of the water in the delivery hose"),
        outlets,
    }
}

fn declare_outlet(b: &mut StageBuilder<'_>, fed: &Fed) -> OutletMeasures {
    let name = |what: &str| format!("{}_{what}", fed.id.replace('-', "_"));
    let id = &fed.id;
    let bar = fed.facts.bar_bore_m.is_some();
    OutletMeasures {
        hose_speed: fed.facts.hose_bore_m.map(|_| {
            b.measure(name("hose_speed"), Dimension::Velocity, format!("speed of the water in the hose to {id}"))
        }),
        first_hole: bar
            .then(|| b.measure(name("first_hole"), Dimension::Flow, format!("flow of the first open hole of {id}"))),
        last_hole: bar
            .then(|| b.measure(name("last_hole"), Dimension::Flow, format!("flow of the last open hole of {id}"))),
        weakest_hole: bar.then(|| {
            b.measure(
                name("weakest_hole"),
                Dimension::Fraction,
                format!("flow of the weakest hole of {id} over that of its strongest"),
            )
        }),
        plugged: bar.then(|| b.measure(name("plugged_holes"), Dimension::Number, format!("plugged holes of {id}"))),
        reach: (!fed.facts.open_end).then(|| {
            b.measure(
                name("jet_reach"),
                Dimension::Length,
                format!(
                    "how far a level jet of {id} carries in a fall of {}; small jets half of it or less",
                    show(1.0, Dimension::Length, b.units)
                ),
            )
        }),
    }
}

impl Pump {
    fn site(&self, trial: &Trial<'_>) -> Site {
        Site {
            air_pa: atmospheric_pressure_pa(self.altitude_m),
            best_flow_m3_s: self.best_flow_m3_s,
            best_efficiency: trial.get(self.efficiency),
            npsh_required_m: trial.get(self.npsh_required),
            engine_power_w: self.engine_power_w,
            drive_efficiency: self.drive_efficiency,
            fuel_m3_j: trial.get(self.fuel),
        }
    }
}

impl Stage for Pump {
    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        let (m, typed) = (&self.m, &self.shop);
        let read = |measure| site.reading(measure);
        ShopPump {
            id: site.id,
            suction: typed.suction.as_ref(),
            delivery: typed.delivery.as_ref(),
            lift_m: typed.lift_m,
            rise_m: self.supply.rise_m,
            flow_m3_s: read(m.flow),
            head_m: read(m.head),
            gauge_pa: read(m.gauge),
            power_w: read(m.power),
            fuel_m3_s: read(m.fuel),
            npsh_margin_m: read(m.npsh_margin),
            suction_m_s: read(m.suction_speed),
            delivery_m_s: read(m.delivery_speed),
            engine_power_w: self.engine_power_w,
            speed_rev_s: typed.speed_rev_s,
            electric: typed.electric,
        }
        .parts()
    }

    fn supply(&self) -> Option<Supply> {
        Some(self.supply.clone())
    }

    fn scratch(&self) -> Box<dyn Any + Send> {
        Box::new(Scratch::default())
    }

    fn warning_text(&self, warning: usize, scratch: &(dyn Any + Send)) -> Option<Phrase> {
        let outside = scratch.downcast_ref::<Scratch>()?.outside.as_ref()?;
        PumpWarning::ALL.get(warning).and_then(|warning| warning.text(outside, &self.fed))
    }

    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (_, work) = ports.split();
        let Some(line) = trial.line else { return };
        let water = &trial.ground.water;
        let Ok(flow) = &line.flow else {
            work.warnings[PumpWarning::NoWater as usize] = true;
            work.measures[self.m.flow] = 0.0;
            work.measures[self.m.gauge] = 0.0;
            return;
        };
        let pump = self.supply.curve.running(line.duty);
        let ends = (pump.past_end(flow.pump_flow_m3_s), pump.unstable(flow.pump_flow_m3_s));
        let site = self.site(trial);
        let facts = PumpFacts::of(line, flow, water, &site, ends);
        let m = &self.m;
        let out = work.measures;
        out[m.flow] = facts.flow_m3_s;
        out[m.head] = facts.head_m;
        out[m.gauge] = facts.gauge_pa;
        out[m.efficiency] = facts.efficiency;
        out[m.power] = facts.engine_w;
        if let Some(load) = m.engine_load {
            out[load] = facts.engine_load;
        }
        out[m.fuel] = facts.fuel_m3_s;
        out[m.fuel_per_gravel] = facts.fuel_m3_s / trial.feed_m3_s;
        out[m.npsh] = facts.npsh_available_m;
        out[m.npsh_margin] = facts.npsh_margin_m;
        out[m.share_of_best] = facts.share_of_best;
        out[m.suction_speed] = facts.suction_m_s;
        out[m.delivery_speed] = facts.delivery_m_s;
        let mut outside = Outside::new(facts, site);
        for (j, ((fed, m), branch)) in self.fed.iter().zip(&m.outlets).zip(line.branches()).enumerate() {
            let q = flow.branch_flow_m3_s[j];
            if flow.dry[j] {
                outside.dry = Some(j);
            }
            let open_share = line.open_shares().get(j).copied().unwrap_or(1.0);
            if let Some(i) = m.plugged {
                out[i] = (1.0 - open_share) * fed.facts.holes;
            }
            if let Some(i) = m.hose_speed {
                out[i] = pipe_speed_m_s(q, branch.hose.bore_m);
                // A throttled open end runs fast on purpose.
                if !fed.facts.open_end {
                    outside.see_hose(j, out[i]);
                }
            }
            let mut weakest_head_m = flow.outlet_head_m[j];
            if let (Some(first), Some(last), Some(weakest)) = (m.first_hole, m.last_hole, m.weakest_hole)
                && let Some(spread) = hole_spread(flow, branch, j, line.water)
            {
                // The march spreads plugged holes evenly; an open one passes more than the mean of both.
                out[first] = spread.first_m3_s / open_share;
                out[last] = spread.last_m3_s / open_share;
                out[weakest] = spread.least_m3_s / spread.most_m3_s;
                weakest_head_m = spread.least_head_m;
                outside.see_bar(j, out[weakest], &fed.facts);
            }
            if let Some(i) = m.reach {
                let speed = jet_speed_m_s(weakest_head_m * water.density_kg_m3 * G, water.density_kg_m3);
                out[i] = jet_reach_m(speed, 0.0, REACH_FALL_M);
                outside.see_jet(j, out[i], &fed.facts);
            }
        }
        for (flag, warning) in work.warnings.iter_mut().zip(PumpWarning::ALL) {
            *flag = warning.raised(&outside);
        }
        if let Some(scratch) = work.scratch.downcast_mut::<Scratch>() {
            scratch.outside = Some(outside);
        }
    }
}
