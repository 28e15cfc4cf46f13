//! What goes wrong with a drum, what can be read off it, what is seen. Weights, errors and borders are assumed.

use sim_core::quantity::Dimension;
use sim_core::stage::Grade::{Times, To};
use sim_core::stage::{Fault, Goes, InLog, Knob, Reading, Sight, Sign, Source, Symptom};

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("drum-flat", "drum settled flatter")
        .knobs(&[Knob::new("slope", [Times(0.8), Times(0.6), Times(0.4)])])
        .weight(1.5)
        .look("a level on the frame, drum stopped")
        .undo("shim the frame back to its slope"),
    Fault::new("drum-steep", "drum settled steeper")
        .knobs(&[Knob::new("slope", [Times(1.25), Times(1.5), Times(1.9)])])
        .weight(1.0)
        .look("a level on the frame, drum stopped")
        .undo("shim the frame back to its slope"),
    Fault::new("drum-slow", "drum turns slower than planned")
        .knobs(&[Knob::new("speed", [Times(0.85), Times(0.7), Times(0.5)])])
        .weight(1.5)
        .look("count its turns for a minute")
        .undo("set the speed back; look at oil and engine"),
    Fault::new("drum-fast", "drum turns faster than planned")
        .knobs(&[Knob::new("speed", [Times(1.2), Times(1.45), Times(1.75)])])
        .weight(1.0)
        .look("count its turns for a minute")
        .undo("set the speed back"),
    Fault::new("rollers-dry", "rollers, bearings or chain take more than they should")
        .knobs(&[Knob::new("drive_efficiency", [To("72 %"), To("62 %"), To("50 %")])])
        .weight(1.5)
        .look("feel for heat after a stop, look at chain and bearings, locked out")
        .undo("grease, adjust, change what is worn"),
];

/// What the gauge of an oil line may be off by: 20 psi, Pa.
const PSI_20_PA: f64 = 137_900.0;
const TURNING: &str = "Never reach into a turning drum, nor into its feed or its discharge.";
const OVERSIZE: &str = "Catch the oversize with a long-handled shovel or a tub from the side, never under the stacker or within reach of \
                        the drum.";

/// Both pressures of the motor.
static DRIVE: Sight = Sight::new(
    "drive",
    "oil pressure at the drum's motor, running under feed and as it starts loaded",
    "weight and lift of the bed, friction of rollers and motor",
    "pressure = \"500 psi\"\nstarting_pressure = \"1300 psi\"",
)
.steps(&[
    "With the usual feed read the gauge at the motor's pressure side, less the return side if there is a gauge.",
    "After a stop under load read the highest value as the drum starts.",
])
.cautions(&[
    "Hydraulic lines are hot and oil under pressure goes through skin: read the gauge, touch no fitting, loosen nothing.",
    TURNING,
])
.takes(&["gauge in the pressure line, fitted by somebody who knows hydraulics"], 15.0, 5.0);

/// Readings.
pub(crate) const READINGS: &[Reading] = &[
    Reading::new(
        "bed-depth",
        "depth of the bed at the feed end",
        Dimension::Length,
        Source::Measure("bed_depth_feed_end"),
    )
    .how("crash stop, lock out, then a ruler")
    .off(0.05, 0.012)
    .log(InLog::By("bed-depth")),
    Reading::new("time-in-drum", "time of the rock in the drum", Dimension::Time, Source::Sum("_residence"))
        .how("painted cobbles and a stopwatch, at least ten")
        .off(0.08, 1.0)
        .log(InLog::By("cobbles")),
    Reading::new(
        "oversize",
        "share of the feed that goes over the end",
        Dimension::Fraction,
        Source::Measure("oversize_share"),
    )
    .how("buckets of oversize against buckets fed")
    .off(0.06, 0.0)
    .tells("how much of the ground is coarse, how well the screen sorts")
    .example("38 %")
    .cautions(&[OVERSIZE])
    .takes(&["tally of buckets", "a bucket of known volume, spring scale"], 60.0, 0.0),
    Reading::new(
        "clay-over",
        "clay balls on the oversize, share of the feed",
        Dimension::Fraction,
        Source::Lumps("oversize"),
    )
    .how("pick and weigh the balls of a shovelful, ten times")
    .off(0.15, 0.001)
    .tells("how fast clay wears in the drum")
    .example("0.4 %")
    .cautions(&[OVERSIZE])
    .takes(&["long-handled shovel, tub", "spring scale"], 45.0, 0.0),
    Reading::new("motor", "oil pressure of the drum's motor", Dimension::Pressure, Source::Measure("motor_pressure"))
        .how("gauge in the pressure line, by somebody who knows hydraulics")
        .off(0.07, PSI_20_PA)
        .log(InLog::In(&DRIVE, "pressure")),
    Reading::new("torque", "torque that turns the drum", Dimension::Torque, Source::Measure("drive_torque"))
        .off(0.1, 0.0),
    Reading::new(
        "start",
        "oil pressure to start the drum",
        Dimension::Pressure,
        Source::Measure("motor_start_pressure"),
    )
    .how("gauge in the pressure line while it starts full")
    .off(0.07, PSI_20_PA)
    .log(InLog::In(&DRIVE, "starting_pressure")),
    Reading::new("film", "fines that ride over on the rock", Dimension::MassRate, Source::Measure("fines_on_oversize"))
        .off(0.20, 0.0)
        .log(InLog::By("oversize-rinse")),
    Reading::new(
        "film-over",
        "fines that ride over on the rock, share of the feed",
        Dimension::Fraction,
        Source::Ratio(&Source::Measure("fines_on_oversize"), &Source::DryFeed),
    )
    .how("rinse 20 kg of oversize, dry the rinse water, weigh")
    .off(0.15, 0.0)
    .log(InLog::By("oversize-rinse")),
    Reading::new(
        "spilled",
        "share of the feed that spills at the feed end",
        Dimension::Fraction,
        Source::Measure("spilled_share"),
    )
    .how("shovel up and count for ten minutes")
    .off(0.1, 0.005)
    .tells("what the drum can carry")
    .example("1.5 %")
    .cautions(&["Shovel from where nothing turns within reach; the feed end of a running drum throws stones."])
    .takes(&["shovel, bucket of known volume, watch"], 20.0, 0.0),
];

/// Cautions before looking at a drum.
const CAUTIONS: &[&str] =
    &["hydraulic oil at pressure goes through skin: no hand near a leak, gauge fitted with the engine off"];

/// Symptoms.
pub(crate) const SYMPTOMS: &[Symptom] = &[
    Symptom::new("rock-rushes-through", "rock rushes through the drum")
        .also(&["drum too fast", "gravel shoots through", "short time in the drum"])
        .signs(&[Sign::new("time-in-drum", Goes::Down, 0.18, 0.07)])
        .look_anyway(&[
            "a ring that has come loose and turns or lies down",
            "the drum stands on frames that have sunk at the outlet",
        ])
        .cautions(CAUTIONS),
    Symptom::new("clay-balls", "clay balls on the oversize")
        .also(&["mud balls", "clay lumps", "balls over the end"])
        .signs(&[Sign::new("clay-over", Goes::Up, 0.30, 0.12)])
        .look_anyway(&[
            "clay dug from one seam and fed by itself: mix it with gravel in the stockpile, the stones do the breaking",
            "frozen clay: lumps that a day in the sun would open",
            "balls that grow instead of shrinking (sticky clay, slow drum, little water): the model only warns of it",
        ])
        .cautions(CAUTIONS),
    Symptom::new("spilling-back", "bed spilling back at the feed end")
        .also(&["spill", "back spill", "overloaded drum", "feed end spills"])
        .signs(&[Sign::new("spilled", Goes::UpBy, 0.02, 0.01)])
        .look_anyway(&[
            "a chute that throws the feed back out, or a scraper plate lost at the feed end",
            "water backing up behind a plugged scrubber end",
        ])
        .cautions(CAUTIONS),
    Symptom::new("drum-stalls", "drum stalls or rolls heavily")
        .also(&["drum heavy", "drum stops", "motor stalls", "drum slow under load"])
        .signs(&[Sign::new("motor|torque", Goes::Up, 0.12, 0.05)])
        .look_anyway(&[
            "a stone jammed between shell and frame, a roller bearing gone, a chain too tight or jumped",
            "oil hot and thin, filter blocked, relief valve worn: feel the tank, not the lines",
            "ice or set gravel after a night: free it by hand with everything locked out",
        ])
        .cautions(CAUTIONS),
];
