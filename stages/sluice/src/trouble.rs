//! What goes wrong with a box, what can be read off it, what is seen. Weights, errors and borders are assumed.

use sim_core::quantity::Dimension;
use sim_core::stage::Grade::Times;
use sim_core::stage::reasons::{NEVER_SETTLED, PACKED, SCOURED};
use sim_core::stage::{Fault, Goes, InLog, Knob, Reading, Sign, Source, Symptom};

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("box-flat", "box settled flatter")
        .knobs(&[Knob::new("slope", [Times(0.85), Times(0.7), Times(0.5)])])
        .weight(2.0)
        .look("a level along the box")
        .undo("block it up to its slope"),
    Fault::new("box-steep", "box settled steeper")
        .knobs(&[Knob::new("slope", [Times(1.2), Times(1.45), Times(1.7)])])
        .weight(1.0)
        .look("a level along the box")
        .undo("let it down to its slope"),
];

const OUTLET: &str = "At the outlet of a running sluice stand at the side on firm ground, feet wide apart, and pass the bucket once \
                      through the whole stream; let go of it rather than be pulled.";

const AT_HAND: Source = Source::Measure("sluice_at_hand");

/// Readings.
pub(crate) const READINGS: &[Reading] = &[
    Reading::new("depth", "depth of the slurry in the box", Dimension::Length, Source::Measure("depth"))
        .how("ruler held on edge, at five places")
        .off(0.10, 0.004)
        .log(InLog::By("box-water")),
    Reading::new("speed", "speed of the slurry in the box", Dimension::Velocity, Source::Measure("velocity"))
        .how("chip of wood over a measured length, ten times")
        .off(0.10, 0.0)
        .log(InLog::By("box-water")),
    Reading::new("solids", "solids by volume in the box", Dimension::Fraction, Source::Measure("solids_by_volume"))
        .how("bucket swept across the whole outlet from the side, left to settle, or weighed")
        .off(0.10, 0.004)
        .tells("gravel and water that reach the box")
        .example("9 %")
        .cautions(&[OUTLET])
        .takes(&["bucket with a line at a known volume", "spring scale"], 20.0, 0.0),
    Reading::new(
        "rock-cover",
        "water wanted to cover the largest stone over the water in the box",
        Dimension::Number,
        Source::Ratio(&Source::Measure("need_by_cover"), &AT_HAND),
    )
    .off(0.1, 0.0),
    Reading::new(
        "rock-motion",
        "water wanted to move the largest stone over the water in the box",
        Dimension::Number,
        Source::Ratio(&Source::Measure("need_by_motion"), &AT_HAND),
    )
    .off(0.1, 0.0),
    Reading::new(
        "packed",
        "gold that comes down on riffles packed full",
        Dimension::Fraction,
        Source::LostAmong(&[PACKED, SCOURED]),
    )
    .off(0.1, 0.0),
    Reading::new(
        "scoured",
        "gold that was in the riffles and is lifted out again",
        Dimension::Fraction,
        Source::LostAmong(&[SCOURED]),
    )
    .off(0.1, 0.0),
    Reading::new(
        "last-third",
        "share of the box's gold that lies in its last third",
        Dimension::Fraction,
        Source::LastThird(&[NEVER_SETTLED, PACKED, SCOURED]),
    )
    .how("clean up the thirds apart and weigh")
    .off(0.15, 0.01)
    .tells("how fast the box catches: its length against its load")
    .example("14 %")
    .takes(&["three tubs with labels", "scale for the gold"], 90.0, 60.0),
];

const CAUTIONS: &[&str] =
    &["sample the outlet of a running box from the side, with a wide stance and somebody watching"];
const STANDING: &[&str] = &[
    "the box is out of level across, so that one side runs dry: put a level across it in three places",
    "a stone or root jammed under a riffle or at the head of the box",
];

/// Symptoms.
pub(crate) const SYMPTOMS: &[Symptom] = &[
    Symptom::new("rocks-in-box", "rocks standing in the box")
        .also(&["stones stand", "rocks stuck", "boulders in the sluice"])
        .signs(&[Sign::new("rock-motion", Goes::Up, 0.25, 0.10)])
        .look_anyway(STANDING)
        .cautions(CAUTIONS),
    Symptom::new("packed-riffles", "riffles packed hard with gravel and black sand")
        .also(&["packed", "hard riffles", "full riffles", "cemented"])
        .signs(&[Sign::new("packed", Goes::UpBy, 0.03, 0.012)])
        .look_anyway(&[
            "the clean-up is overdue: heavy sand fills the riffles by itself; the model does not fill them hour by hour",
            "more black sand in this cut than in the last: pan a bucket of feed",
            "riffles upside down or too close after the last clean-up",
        ])
        .cautions(CAUTIONS),
    Symptom::new("boiling-riffles", "riffles boiling: scoured clean down to the mat")
        .also(&["scoured", "boiling", "too fast", "washed out"])
        .signs(&[Sign::new("scoured", Goes::UpBy, 0.03, 0.012)])
        .look_anyway(&[
            "riffles not held down tight on the mat: water runs under them and lifts everything",
            "a lip or step at the head of the box that makes the water plunge",
        ])
        .cautions(CAUTIONS),
    Symptom::new("gold-in-last-third", "much gold in the last third of the box")
        .also(&["gold at the end", "gold low in the box", "gold in the tail"])
        .signs(&[Sign::new("last-third", Goes::Up, 0.40, 0.15)])
        .look_anyway(&[
            "gold flatter or finer than in the last cut: look at it under a glass, weigh counted grains",
            "grease or a floating film on the gold: a drop of dish soap in the pan tells",
            "the head of the box disturbed at the last clean-up, gold carried down by hand",
        ])
        .cautions(CAUTIONS),
    Symptom::new("thin-water-in-box", "water thin in the box: riffle tops show")
        .also(&["shallow box", "little water in the box", "dry riffles"])
        .signs(&[Sign::new("depth", Goes::Down, 0.12, 0.05)])
        .look_anyway(STANDING)
        .cautions(CAUTIONS),
    Symptom::new("deep-water-in-box", "water deep in the box")
        .also(&["box runs full", "box too full", "deep box"])
        .signs(&[Sign::new("depth", Goes::Up, 0.12, 0.05)])
        .look_anyway(&[
            "gravel piled up at the outlet that backs the water up: dig it away from below, never from in front",
        ])
        .cautions(CAUTIONS),
    Symptom::new("fine-gold-lost", "more fine gold in the tailings than before")
        .also(&["flour gold lost", "fines lost", "colours in the tailings", "fine gold in tailings"])
        .signs(&[Sign::new("fine-lost", Goes::UpBy, 0.06, 0.03)])
        .look_anyway(&[
            "grease or a floating film on the gold: a drop of dish soap in the pan tells",
            "the clean-up is overdue: full riffles hold no fine gold",
            "the mat under the riffles clogged or worn flat",
        ])
        .cautions(CAUTIONS),
    Symptom::new("coarse-gold-lost", "coarse gold in the tailings or in the oversize")
        .also(&["nuggets lost", "coarse gold in tailings", "coarse gold"])
        .signs(&[Sign::new("coarse-lost", Goes::UpBy, 0.03, 0.015)])
        .look_anyway(&[
            "surges: a bucket dumped at once carries coarse gold over the riffles; the model knows that only as unevenness",
            "gold still inside cemented gravel or clay balls: break some and pan them",
            "gold larger than the holes goes over the end: a nugget trap, or a metal detector over the oversize",
        ])
        .cautions(CAUTIONS),
];
