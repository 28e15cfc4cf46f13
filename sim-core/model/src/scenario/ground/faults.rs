//! What may be otherwise about the ground than the scenario has it. Weights are assumed.

use sim_core::stage::Grade::Times;
use sim_core::stage::{Fault, Knob};

/// Faults of `[ground]`.
pub const GROUND_FAULTS: &[Fault] = &[
    Fault::new("more-clay", "more clay in the ground")
        .knobs(&[Knob::new("clay", [Times(1.7), Times(2.8), Times(4.5)])])
        .weight(3.0)
        .look("pick the lumps of ten shovelfuls of feed and weigh them"),
    Fault::new("tough-clay", "tougher clay than before")
        .knobs(&[Knob::new("clay_wear", [Times(0.4), Times(0.2), Times(0.08)])])
        .weight(1.5)
        .look("weigh lumps turned in a cement mixer with water every half minute"),
    Fault::new("big-lumps", "clay in bigger lumps")
        .knobs(&[Knob::new("clay_lump_size", [Times(1.5), Times(2.2), Times(3.0)])])
        .weight(1.0)
        .look("measure the ten largest lumps of a bucket")
        .undo("rip or break the face before loading"),
    Fault::new("flat-gold", "flatter gold than before")
        .knobs(&[Knob::new("gold_shape", [Times(0.85), Times(0.7), Times(0.55)])])
        .weight(1.0)
        .look("look under a glass, weigh counted colours of one sieve"),
    Fault::new("light-feed", "loose ground heavier by volume: more tonnes in each bucket")
        .knobs(&[Knob::new("loose_density", [Times(1.06), Times(1.12), Times(1.18)])])
        .weight(0.5)
        .look("weigh a bucket of known volume")
        .undo("feed by weight"),
];
