//! What goes wrong with a pond, what can be read off it, what is seen. Weights, errors and borders are assumed.

use sim_core::quantity::Dimension;
use sim_core::stage::Grade::Times;
use sim_core::stage::{Fault, Goes, Knob, Reading, Sign, Source, Symptom};

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("pond-silted", "pond filled with mud, so that little of its area settles")
        .knobs(&[Knob::new("area", [Times(0.65), Times(0.4), Times(0.2)])])
        .weight(3.0)
        .look("sound it with a pole from a plank")
        .undo("dig it out, or dig another"),
    Fault::new("clay-hangs", "clay that hangs longer in the water: softer water, no salts")
        .knobs(&[Knob::new("jar_factor", [Times(0.6), Times(0.35), Times(0.15)])])
        .weight(1.0)
        .look("shake a jar of the pond's water with a spoon of the mud, and time it"),
    Fault::new("less-fresh", "less fresh water than planned")
        .knobs(&[Knob::new("fresh", [Times(0.6), Times(0.3), Times(0.0)])])
        .weight(1.0)
        .look("bucket and stopwatch at the inlet")
        .undo("as much fresh water as planned"),
];

/// Readings.
pub(crate) const READINGS: &[Reading] = &[Reading::new(
    "pond-dirt",
    "fines that hang in the pond's water",
    Dimension::Density,
    Source::Measure("returned_fines"),
)
.how("jar of the water at the pump, dried and weighed")
.off(0.15, 0.2)
.tells("how long the clay hangs, how well the pond clears")
.example("6 kg/m3")
.cautions(&["Stand on firm ground at the pond: fresh mud carries nobody."])
.takes(&["clear jar with its volume marked", "stove or sun to dry", "kitchen scale"], 40.0, 0.0)];

/// Symptoms.
pub(crate) const SYMPTOMS: &[Symptom] = &[Symptom::new("thick-pond", "pond water turning thick")
    .also(&["dirty water", "muddy pond", "pond thick", "milky water"])
    .signs(&[Sign::new("pond-dirt", Goes::Up, 0.50, 0.20)])
    .look_anyway(&[
        "water taking a short way from inlet to pump: a curtain or a spit of gravel makes it go round",
        "the pump's strainer lying in the mud",
        "banks sliding in, or wind on shallow water",
    ])
    .cautions(&[
        "pond banks cave in and mud holds a man fast: work from a plank, never alone; discharge limits are set locally",
    ])];
