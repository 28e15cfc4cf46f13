//! The symptoms: what an owner sees, and which readings of the plant then move, which way, by how much counts.
//!
//! The borders and how sharp they are, are assumed: what a man beside the plant would notice.

use crate::diagnose::{Goes, Sign};

use crate::diagnose::causes::{By, Step};
use crate::diagnose::readings::{READINGS, at};

/// One sign: name of the reading (`|` and another where a plant may lack it), which way, by how much counts, slack.
type Told = (&'static str, Goes, f64, f64);

/// One symptom.
#[derive(Debug)]
pub struct Symptom {
    /// Name on the command line.
    pub name: &'static str,
    /// What is seen.
    pub seen: &'static str,
    /// Other words for it, for suggestions.
    pub also: &'static [&'static str],
    signs: &'static [Told],
    /// What bears on it that is no fault to undo: tried one at a time.
    pub steps: &'static [Step],
    /// A cause that is the symptom itself under another name.
    pub itself: &'static [&'static str],
    /// What the model does not know and common practice looks at.
    pub look_anyway: &'static [&'static str],
    /// Cautions beside those of all.
    pub cautions: &'static [&'static str],
}

impl Symptom {
    /// Its signs, each with what stands in for it where a plant lacks the reading: the first that it has counts.
    pub fn signs(&self) -> Vec<Vec<Sign>> {
        let sign = |s: &Told| -> Vec<Sign> {
            s.0.split('|').map(|name| Sign { reading: at(name), goes: s.1, counts: s.2, slack: s.3 }).collect()
        };
        self.signs.iter().map(sign).collect()
    }
}

/// A sign in words: how it is told.
pub fn sign_words(sign: &Sign) -> String {
    let Some(reading) = READINGS.get(sign.reading) else { return String::new() };
    let share = |x: f64| format!("{:.0} %", 100.0 * x);
    let by = match sign.goes {
        Goes::Up => format!("up by some {} of what it should be", share(sign.counts)),
        Goes::Down => format!("down by some {} of what it should be", share(sign.counts)),
        Goes::UpBy => format!("up by some {:.0} points", 100.0 * sign.counts),
        Goes::DownBy => format!("down by some {:.0} points", 100.0 * sign.counts),
        Goes::Above => format!("above some {}", share(sign.counts)),
        Goes::Below => format!("below some {}", share(sign.counts)),
    };
    format!("{}: {by}", reading.words)
}

const LESS_FEED: Step = Step { words: "feed less", kind: "hopper", key: "rate", by: By::Times(0.8) };
const MORE_BOX_WATER: Step = Step { words: "more water on the box", kind: "make-up", key: "flow", by: By::Times(1.3) };
const WIDER_BOX_HOSE: Step =
    Step { words: "wider hose to the box", kind: "make-up", key: "hose_bore", by: By::Times(1.2) };
const STEEPER_BOX: Step = Step { words: "box steeper", kind: "sluice", key: "slope", by: By::Times(1.15) };
const FLATTER_BOX: Step = Step { words: "box flatter", kind: "sluice", key: "slope", by: By::Times(0.85) };
const NARROWER_BOX: Step = Step { words: "box narrower", kind: "sluice", key: "width", by: By::Times(0.8) };
const WIDER_BOX: Step = Step { words: "box wider", kind: "sluice", key: "width", by: By::Times(1.25) };
const LONGER_BOX: Step = Step { words: "box longer", kind: "sluice", key: "length", by: By::Times(1.5) };
const LESS_BOX_WATER: Step = Step { words: "less water on the box", kind: "make-up", key: "flow", by: By::Times(0.7) };
const NARROWER_BOX_HOSE: Step =
    Step { words: "narrower hose to the box", kind: "make-up", key: "hose_bore", by: By::Times(0.85) };
const FLATTER_DRUM: Step =
    Step { words: "drum flatter: longer in the water", kind: "drum", key: "slope", by: By::Times(0.8) };
const STEEPER_DRUM: Step = Step { words: "drum steeper", kind: "drum", key: "slope", by: By::Times(1.2) };
const FASTER_DRUM: Step = Step { words: "drum faster", kind: "drum", key: "speed", by: By::Times(1.15) };
const SLOWER_DRUM: Step = Step { words: "drum slower", kind: "drum", key: "speed", by: By::Times(0.85) };
const MORE_NOZZLES: Step =
    Step { words: "more nozzles in the hopper", kind: "nozzles", key: "count", by: By::Times(1.5) };
const MORE_SPRAY: Step =
    Step { words: "more holes in the spray bar", kind: "spray-bar", key: "holes", by: By::Times(1.3) };
const SMALLER_HOLES: Step =
    Step { words: "plate with smaller holes", kind: "screen", key: "hole", by: By::Times(0.75) };
const CLEAN_OFTEN: Step =
    Step { words: "knock the screen free twice as often", kind: "screen", key: "cleaned_every", by: By::Times(0.5) };
const RELIEVED: Step = Step {
    words: "plate with holes narrower inside than outside",
    kind: "screen",
    key: "relief",
    by: By::To("relieved"),
};
const LOWER_RING: Step =
    Step { words: "lower ring at the screen", kind: "screen", key: "exit_ring", by: By::Times(0.6) };
const LOWER_SCRUB_RING: Step =
    Step { words: "lower ring at the scrubber", kind: "scrubber", key: "exit_ring", by: By::Times(0.6) };
const BLEED_POND: Step = Step {
    words: "let water out of the pond for good (where that is allowed), with as much fresh",
    kind: "pond",
    key: "bleed",
    by: By::To("5 %"),
};
const BIGGER_POND: Step = Step { words: "a second pond as large", kind: "pond", key: "area", by: By::Times(2.0) };
const FLOCCULATE: Step = Step {
    words: "clay made to clump (salts of the site, or dosing where that is allowed)",
    kind: "pond",
    key: "clay_grain",
    by: By::To("15 um"),
};

const PUMP_CAUTIONS: &[&str] = &[
    "stop the engine and take the key before opening hoses or reaching near the pump; a hose under pressure whips",
    "a drained suction line and soft banks: keep off undercut pond banks, they cave in",
];
const DRUM_CAUTIONS: &[&str] =
    &["hydraulic oil at pressure goes through skin: no hand near a leak, gauge fitted with the engine off"];
const BOX_CAUTIONS: &[&str] =
    &["sample the outlet of a running box from the side, with a wide stance and somebody watching"];
const POND_CAUTIONS: &[&str] =
    &["pond banks cave in and mud holds a man fast: work from a plank, never alone; discharge limits are set locally"];

const STANDING: &[&str] = &[
    "the box is out of level across, so that one side runs dry: put a level across it in three places",
    "a stone or root jammed under a riffle or at the head of the box",
];

/// All symptoms.
pub const SYMPTOMS: &[Symptom] = &[
    Symptom {
        name: "flow-down-gauge-up",
        seen: "falling flow with rising gauge",
        also: &["plugged spray", "pressure up", "less water more pressure"],
        signs: &[("pump-flow", Goes::Down, 0.05, 0.02), ("gauge", Goes::Up, 0.05, 0.02)],
        steps: &[],
        itself: &[],
        look_anyway: &[
            "trash or a stone in the manifold itself, or a gate left half shut after moving",
            "a gauge that sticks: tap it, swap it with another",
        ],
        cautions: PUMP_CAUTIONS,
    },
    Symptom {
        name: "flow-down-gauge-down",
        seen: "falling flow with falling gauge",
        also: &["weak pump", "pressure lost", "less water less pressure"],
        signs: &[("pump-flow", Goes::Down, 0.05, 0.02), ("gauge", Goes::Down, 0.08, 0.03)],
        steps: &[],
        itself: &[],
        look_anyway: &[
            "air drawn in at a suction joint, a worn shaft seal or a whirl over the strainer: listen for crackling, wet the joints, sink the strainer",
            "something lodged in the eye of the impeller, or the impeller loose",
            "the engine itself: fuel filter, air filter, belt slip, governor",
        ],
        cautions: PUMP_CAUTIONS,
    },
    Symptom {
        name: "flow-up-gauge-down",
        seen: "rising flow with falling gauge",
        also: &["worn holes", "burst hose", "pressure lost more water"],
        signs: &[("pump-flow", Goes::Up, 0.04, 0.02), ("gauge", Goes::Down, 0.06, 0.02)],
        steps: &[],
        itself: &[],
        look_anyway: &["a burst or parted hose, a cap off the end of the bar, a drain left open"],
        cautions: PUMP_CAUTIONS,
    },
    Symptom {
        name: "rocks-in-box",
        seen: "rocks standing in the box",
        also: &["stones stand", "rocks stuck", "boulders in the sluice"],
        signs: &[("rock-motion", Goes::Up, 0.25, 0.10)],
        steps: &[MORE_BOX_WATER, WIDER_BOX_HOSE, NARROWER_BOX, STEEPER_BOX, SMALLER_HOLES],
        itself: &[],
        look_anyway: STANDING,
        cautions: BOX_CAUTIONS,
    },
    Symptom {
        name: "packed-riffles",
        seen: "riffles packed hard with gravel and black sand",
        also: &["packed", "hard riffles", "full riffles", "cemented"],
        signs: &[("packed", Goes::UpBy, 0.03, 0.012)],
        steps: &[LESS_FEED, MORE_BOX_WATER, WIDER_BOX_HOSE, STEEPER_BOX, NARROWER_BOX, WIDER_BOX],
        itself: &[],
        look_anyway: &[
            "the clean-up is overdue: heavy sand fills the riffles by itself; the model does not fill them hour by hour",
            "more black sand in this cut than in the last: pan a bucket of feed",
            "riffles upside down or too close after the last clean-up",
        ],
        cautions: BOX_CAUTIONS,
    },
    Symptom {
        name: "boiling-riffles",
        seen: "riffles boiling: scoured clean down to the mat",
        also: &["scoured", "boiling", "too fast", "washed out"],
        signs: &[("scoured", Goes::UpBy, 0.03, 0.012)],
        steps: &[LESS_BOX_WATER, NARROWER_BOX_HOSE, FLATTER_BOX, WIDER_BOX],
        itself: &[],
        look_anyway: &[
            "riffles not held down tight on the mat: water runs under them and lifts everything",
            "a lip or step at the head of the box that makes the water plunge",
        ],
        cautions: BOX_CAUTIONS,
    },
    Symptom {
        name: "gold-in-last-third",
        seen: "much gold in the last third of the box",
        also: &["gold at the end", "gold low in the box", "gold in the tail"],
        signs: &[("last-third", Goes::Up, 0.40, 0.15)],
        steps: &[
            LESS_FEED,
            MORE_BOX_WATER,
            WIDER_BOX_HOSE,
            LESS_BOX_WATER,
            NARROWER_BOX_HOSE,
            STEEPER_BOX,
            FLATTER_BOX,
            WIDER_BOX,
            LONGER_BOX,
        ],
        itself: &[],
        look_anyway: &[
            "gold flatter or finer than in the last cut: look at it under a glass, weigh counted grains",
            "grease or a floating film on the gold: a drop of dish soap in the pan tells",
            "the head of the box disturbed at the last clean-up, gold carried down by hand",
        ],
        cautions: BOX_CAUTIONS,
    },
    Symptom {
        name: "thin-water-in-box",
        seen: "water thin in the box: riffle tops show",
        also: &["shallow box", "little water in the box", "dry riffles"],
        signs: &[("depth", Goes::Down, 0.12, 0.05)],
        steps: &[MORE_BOX_WATER, WIDER_BOX_HOSE, NARROWER_BOX, FLATTER_BOX],
        itself: &[],
        look_anyway: STANDING,
        cautions: BOX_CAUTIONS,
    },
    Symptom {
        name: "deep-water-in-box",
        seen: "water deep in the box",
        also: &["box runs full", "box too full", "deep box"],
        signs: &[("depth", Goes::Up, 0.12, 0.05)],
        steps: &[LESS_BOX_WATER, NARROWER_BOX_HOSE, WIDER_BOX, STEEPER_BOX],
        itself: &[],
        look_anyway: &[
            "gravel piled up at the outlet that backs the water up: dig it away from below, never from in front",
        ],
        cautions: BOX_CAUTIONS,
    },
    Symptom {
        name: "fine-gold-lost",
        seen: "more fine gold in the tailings than before",
        also: &["flour gold lost", "fines lost", "colours in the tailings", "fine gold in tailings"],
        signs: &[("fine-lost", Goes::UpBy, 0.06, 0.03)],
        steps: &[
            LESS_FEED,
            MORE_BOX_WATER,
            WIDER_BOX_HOSE,
            LESS_BOX_WATER,
            NARROWER_BOX_HOSE,
            FLATTER_BOX,
            STEEPER_BOX,
            WIDER_BOX,
            LONGER_BOX,
        ],
        itself: &[],
        look_anyway: &[
            "grease or a floating film on the gold: a drop of dish soap in the pan tells",
            "the clean-up is overdue: full riffles hold no fine gold",
            "the mat under the riffles clogged or worn flat",
        ],
        cautions: BOX_CAUTIONS,
    },
    Symptom {
        name: "rock-rushes-through",
        seen: "rock rushes through the drum",
        also: &["drum too fast", "gravel shoots through", "short time in the drum"],
        signs: &[("time-in-drum", Goes::Down, 0.18, 0.07)],
        steps: &[FLATTER_DRUM, SLOWER_DRUM, LESS_FEED],
        itself: &[],
        look_anyway: &[
            "a ring that has come loose and turns or lies down",
            "the drum stands on frames that have sunk at the outlet",
        ],
        cautions: DRUM_CAUTIONS,
    },
    Symptom {
        name: "clay-balls",
        seen: "clay balls on the oversize",
        also: &["mud balls", "clay lumps", "balls over the end"],
        signs: &[("clay-over", Goes::Up, 0.30, 0.12)],
        steps: &[LESS_FEED, FLATTER_DRUM, FASTER_DRUM, MORE_NOZZLES, MORE_SPRAY],
        itself: &[],
        look_anyway: &[
            "clay dug from one seam and fed by itself: mix it with gravel in the stockpile, the stones do the breaking",
            "frozen clay: lumps that a day in the sun would open",
            "balls that grow instead of shrinking (sticky clay, slow drum, little water): the model only warns of it",
        ],
        cautions: DRUM_CAUTIONS,
    },
    Symptom {
        name: "spilling-back",
        seen: "bed spilling back at the feed end",
        also: &["spill", "back spill", "overloaded drum", "feed end spills"],
        signs: &[("spilled", Goes::UpBy, 0.02, 0.01)],
        steps: &[LESS_FEED, STEEPER_DRUM, FASTER_DRUM, LOWER_SCRUB_RING, LOWER_RING],
        itself: &[],
        look_anyway: &[
            "a chute that throws the feed back out, or a scraper plate lost at the feed end",
            "water backing up behind a plugged scrubber end",
        ],
        cautions: DRUM_CAUTIONS,
    },
    Symptom {
        name: "dirty-oversize",
        seen: "wet fines and gravel riding over with the oversize",
        also: &["fines over", "gravel on the oversize", "dirty rock", "undersize in the oversize"],
        signs: &[("efficiency", Goes::DownBy, 0.05, 0.02)],
        steps: &[LESS_FEED, MORE_SPRAY, CLEAN_OFTEN, RELIEVED, FLATTER_DRUM, SLOWER_DRUM],
        itself: &[],
        look_anyway: &["spray jets that no longer hit the bed: turn the bar", "a blank patch welded over the holes"],
        cautions: DRUM_CAUTIONS,
    },
    Symptom {
        name: "screen-plugged",
        seen: "screen plugged with stones",
        also: &["blinded screen", "pegged holes", "holes plugged", "plugged screen"],
        signs: &[("plugged", Goes::UpBy, 0.12, 0.05)],
        steps: &[CLEAN_OFTEN, RELIEVED, FASTER_DRUM, LESS_FEED],
        itself: &["screen-plugged"],
        look_anyway: &[
            "roots and grass that weave into the holes",
            "clay smeared over the holes when the water was off",
            "burrs on the inside of punched holes: file or ream from the outside",
        ],
        cautions: DRUM_CAUTIONS,
    },
    Symptom {
        name: "thick-pond",
        seen: "pond water turning thick",
        also: &["dirty water", "muddy pond", "pond thick", "milky water"],
        signs: &[("pond-dirt", Goes::Up, 0.50, 0.20)],
        steps: &[LESS_FEED, BLEED_POND, BIGGER_POND, FLOCCULATE],
        itself: &[],
        look_anyway: &[
            "water taking a short way from inlet to pump: a curtain or a spit of gravel makes it go round",
            "the pump's strainer lying in the mud",
            "banks sliding in, or wind on shallow water",
        ],
        cautions: POND_CAUTIONS,
    },
    Symptom {
        name: "drum-stalls",
        seen: "drum stalls or rolls heavily",
        also: &["drum heavy", "drum stops", "motor stalls", "drum slow under load"],
        signs: &[("motor|torque", Goes::Up, 0.12, 0.05)],
        steps: &[LESS_FEED, STEEPER_DRUM, FASTER_DRUM, LOWER_RING, LOWER_SCRUB_RING],
        itself: &[],
        look_anyway: &[
            "a stone jammed between shell and frame, a roller bearing gone, a chain too tight or jumped",
            "oil hot and thin, filter blocked, relief valve worn: feel the tank, not the lines",
            "ice or set gravel after a night: free it by hand with everything locked out",
        ],
        cautions: DRUM_CAUTIONS,
    },
    Symptom {
        name: "coarse-gold-lost",
        seen: "coarse gold in the tailings or in the oversize",
        also: &["nuggets lost", "coarse gold in tailings", "coarse gold"],
        signs: &[("coarse-lost", Goes::UpBy, 0.03, 0.015)],
        steps: &[LESS_FEED, FLATTER_DRUM, FASTER_DRUM, MORE_NOZZLES, LESS_BOX_WATER, NARROWER_BOX_HOSE, FLATTER_BOX],
        itself: &[],
        look_anyway: &[
            "surges: a bucket dumped at once carries coarse gold over the riffles; the model knows that only as unevenness",
            "gold still inside cemented gravel or clay balls: break some and pan them",
            "gold larger than the holes goes over the end: a nugget trap, or a metal detector over the oversize",
        ],
        cautions: BOX_CAUTIONS,
    },
];
