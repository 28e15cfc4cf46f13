//! What goes wrong with a pump, what can be read off it, what is seen. Weights, errors and borders are assumed; that of the gauge is
//! common practice.

use sim_core::quantity::Dimension;
use sim_core::stage::Grade::{More, Plus, Times, To};
use sim_core::stage::{Fault, GAUGE, Goes, InLog, Knob, Reading, Sign, Source, Symptom};

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("pump-worn", "pump worn: impeller and wear ring")
        .knobs(&[Knob::new("wear", [To("18 %"), To("28 %"), To("42 %")])])
        .weight(1.5)
        .look("feel the gap between impeller and wear plate with the pump opened, engine key in your pocket")
        .undo("set the wear plate, or a new impeller and ring"),
    Fault::new("engine-slow", "engine turns slower than it should")
        .knobs(&[Knob::new("speed", [Times(0.94), Times(0.86), Times(0.77)]).starts_at("rated_speed", "2000 rpm")])
        .weight(2.0)
        .look("rev counter on the shaft, running under load")
        .undo("filters, fuel, belt, governor: back to the speed of the curve"),
    Fault::new("suction-clogged", "suction strainer or foot valve clogged")
        .knobs(&[Knob::new(
            "suction_fittings",
            [More("3 x gate-valve-half-open"), More("8 x gate-valve-half-open"), More("20 x gate-valve-half-open")],
        )])
        .weight(3.0)
        .look("lift the strainer: weed, leaves, mud; a vacuum gauge at the inlet reads high")
        .undo("clear the strainer, lift it off the mud"),
    Fault::new("delivery-pinched", "delivery hose kinked, or its valve half shut")
        .knobs(&[Knob::new(
            "delivery_fittings",
            [More("4 x gate-valve-half-open"), More("10 x gate-valve-half-open"), More("30 x gate-valve-half-open")],
        )])
        .weight(1.0)
        .look("walk the hose from the pump to the manifold; two gauges, before and behind")
        .undo("lay the hose out, open the valve"),
    Fault::new("water-fell", "water in the pond fallen, so that the pump lifts higher")
        .knobs(&[Knob::new("lift", [Plus(0.6), Plus(1.2), Plus(2.0)])])
        .weight(1.0)
        .look("measure from the pump down to the water")
        .undo("pump lower or pond fuller"),
];

/// A common gauge may be off by 1 psi, Pa.
const PSI_PA: f64 = 6_895.0;

/// Readings.
pub(crate) const READINGS: &[Reading] = &[
    Reading::new("pump-flow", "flow of the pump", Dimension::Flow, Source::Measure("pump_flow"))
        .how("all branches into a tank of known size, with a stopwatch")
        .off(0.05, 0.0)
        .tells("wear of the pump, what all outlets together take")
        .example("450 US gpm")
        .cautions(&["Set hoses and tank with the pump shut down, then start it: a hose under pressure whips."])
        .takes(&["tank of known size", "stopwatch", "somebody at the throttle"], 40.0, 30.0),
    Reading::new("gauge", "gauge on the manifold", Dimension::Pressure, Source::Measure("gauge"))
        .how("read it running, then tap it and read again")
        .off(0.03, PSI_PA)
        .error_source("common practice, no source")
        .log(InLog::In(&GAUGE, "pressure")),
    Reading::new(
        "suction-head",
        "suction head left at the pump's inlet",
        Dimension::Head,
        Source::Measure("npsh_available"),
    )
    .how("vacuum gauge on the inlet: air pressure of the site less the vacuum")
    .off(0.05, 0.3)
    .tells("suction hose and its strainer, lift")
    .example("20 ft")
    .cautions(&["Fit the gauge with the pump shut down."])
    .takes(&["vacuum gauge", "a table of air pressure against height"], 15.0, 5.0),
];

const CAUTIONS: &[&str] = &[
    "stop the engine and take the key before opening hoses or reaching near the pump; a hose under pressure whips",
    "a drained suction line and soft banks: keep off undercut pond banks, they cave in",
];
const WATER: &str = "With gauge and flow read at the same time, `washgraph water SCENARIO --gauge \"..\" --flow \"..\"` says how much \
                     of each fault there must be.";

/// Symptoms.
pub(crate) const SYMPTOMS: &[Symptom] = &[
    Symptom::new("flow-down-gauge-up", "falling flow with rising gauge")
        .also(&["plugged spray", "pressure up", "less water more pressure"])
        .signs(&[Sign::new("pump-flow", Goes::Down, 0.05, 0.02), Sign::new("gauge", Goes::Up, 0.05, 0.02)])
        .look_anyway(&[
            "trash or a stone in the manifold itself, or a gate left half shut after moving",
            "a gauge that sticks: tap it, swap it with another",
        ])
        .cautions(CAUTIONS)
        .ask_also(WATER),
    Symptom::new("flow-down-gauge-down", "falling flow with falling gauge")
        .also(&["weak pump", "pressure lost", "less water less pressure"])
        .signs(&[Sign::new("pump-flow", Goes::Down, 0.05, 0.02), Sign::new("gauge", Goes::Down, 0.08, 0.03)])
        .look_anyway(&[
            "air drawn in at a suction joint, a worn shaft seal or a whirl over the strainer: listen for crackling, wet the joints, sink the strainer",
            "something lodged in the eye of the impeller, or the impeller loose",
            "the engine itself: fuel filter, air filter, belt slip, governor",
        ])
        .cautions(CAUTIONS)
        .ask_also(WATER),
    Symptom::new("flow-up-gauge-down", "rising flow with falling gauge")
        .also(&["worn holes", "burst hose", "pressure lost more water"])
        .signs(&[Sign::new("pump-flow", Goes::Up, 0.04, 0.02), Sign::new("gauge", Goes::Down, 0.06, 0.02)])
        .look_anyway(&["a burst or parted hose, a cap off the end of the bar, a drain left open"])
        .cautions(CAUTIONS)
        .ask_also(WATER),
];
