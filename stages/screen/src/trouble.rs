//! What goes wrong with a screen, what can be read off it, what is seen. Weights, errors and borders are assumed.

use sim_core::quantity::Dimension;
use sim_core::shell_settings::EXIT_RING;
use sim_core::stage::Grade::{Times, To};
use sim_core::stage::{Fault, Goes, InLog, Knob, Reading, Sign, Source, Symptom};

/// Stones that wedged and no longer drop out.
const DULL: [sim_core::stage::Grade; 3] = [Times(0.4), Times(0.15), Times(0.05)];

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("ring-high", "ring at the screen higher than planned, or packed with stones")
        .knobs(&[Knob::new(EXIT_RING.key, [Times(1.35), Times(1.8), Times(2.4)])])
        .weight(0.8)
        .look("ruler, drum stopped and locked out")
        .undo("clear it, or cut it down"),
    Fault::new("ring-gone", "ring at the screen worn off or torn out")
        .knobs(&[Knob::new(EXIT_RING.key, [Times(0.6), Times(0.3), To("0 mm")])])
        .weight(0.7)
        .look("ruler, drum stopped and locked out")
        .undo("weld the ring back to its height"),
    Fault::new("screen-plugged", "holes of the screen plugged")
        .knobs(&[Knob::new("blinded", [To("20 %"), To("40 %"), To("60 %")])])
        .weight(3.0)
        .look("count a hundred holes, drum stopped and locked out")
        .undo("knock the holes free")
        .is_itself("screen-plugged"),
    Fault::new("near-size", "more stones just larger than the holes, or slabby ones")
        .knobs(&[Knob::new("peg_chance", [Times(2.5), Times(6.0), Times(15.0)])])
        .weight(2.0)
        .look("sieve a bucket at the hole size and half again: how much lies between?"),
    Fault::new("dull-holes", "holes burred or worn, so that stones no longer drop out")
        .knobs(&[
            Knob::new("clear_relieved", DULL).when("relief", "relieved"),
            Knob::new("clear_straight", DULL).when("relief", "straight"),
        ])
        .weight(1.5)
        .look("run a finger round the inside of ten holes, drum stopped and locked out")
        .undo("ream the holes from the outside"),
    Fault::new("cleaned-late", "screen knocked free too seldom")
        .knobs(&[Knob::new("cleaned_every", [Times(2.0), Times(3.5), Times(6.0)])])
        .weight(2.0)
        .look("when was it last done?")
        .undo("knock it free as planned"),
    // Worn holes keep their pitch.
    Fault::new("holes-wide", "holes of the screen worn or torn wide")
        .knobs(&[Knob::new("hole", [Times(1.1), Times(1.2), Times(1.32)])])
        .weight(1.0)
        .look("callipers in twenty holes; look for a torn plate")
        .undo("a new plate, a patch over the tear"),
];

/// Readings: what the drum measures of its screens.
pub(crate) const READINGS: &[Reading] = &[
    Reading::new(
        "efficiency",
        "undersize that the screen lets through",
        Dimension::Fraction,
        Source::Measure("screen_efficiency"),
    )
    .how("20 kg of oversize, washed and sieved at the hole")
    .off(0.0, 0.03)
    .log(InLog::By("oversize-sieve")),
    Reading::new("plugged", "holes of the screen that are plugged", Dimension::Fraction, Source::Mean("_blinded"))
        .how("drum stopped and locked out: count a hundred holes")
        .off(0.0, 0.05)
        .tells("how easily stones wedge, and drop out again")
        .example("12 %")
        .cautions(&[
            "Lock out engine and hydraulics and chock the drum before you count: a loaded drum can roll by itself.",
        ])
        .takes(&["lock and tag, the key in your pocket", "lamp, chalk"], 20.0, 20.0),
];

/// Cautions before looking at a screen.
const CAUTIONS: &[&str] =
    &["hydraulic oil at pressure goes through skin: no hand near a leak, gauge fitted with the engine off"];

/// Symptoms.
pub(crate) const SYMPTOMS: &[Symptom] = &[
    Symptom::new("dirty-oversize", "wet fines and gravel riding over with the oversize")
        .also(&["fines over", "gravel on the oversize", "dirty rock", "undersize in the oversize"])
        .signs(&[Sign::new("efficiency", Goes::DownBy, 0.05, 0.02)])
        .look_anyway(&["spray jets that no longer hit the bed: turn the bar", "a blank patch welded over the holes"])
        .cautions(CAUTIONS),
    Symptom::new("screen-plugged", "screen plugged with stones")
        .also(&["blinded screen", "pegged holes", "holes plugged", "plugged screen"])
        .signs(&[Sign::new("plugged", Goes::UpBy, 0.12, 0.05)])
        .look_anyway(&[
            "roots and grass that weave into the holes",
            "clay smeared over the holes when the water was off",
            "burrs on the inside of punched holes: file or ream from the outside",
        ])
        .cautions(CAUTIONS),
];
