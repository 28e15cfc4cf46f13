//! What bears on a symptom that is no fault to undo: changes tried one at a time.

use sim_core::stage::Grade;

use crate::diagnose::causes::moved;
use crate::plants::base::{Base, Change};
use crate::plants::sold::{next_size, stock_of};

/// One step: a setting of the first table of a kind that has it, and how it is moved.
#[derive(Debug, Clone, Copy)]
struct Step {
    words: &'static str,
    kind: &'static str,
    key: &'static str,
    by: Grade,
}

const LESS_FEED: Step = Step { words: "feed less", kind: "hopper", key: "rate", by: Grade::Times(0.8) };
const MORE_BOX_WATER: Step =
    Step { words: "more water on the box", kind: "make-up", key: "flow", by: Grade::Times(1.3) };
const WIDER_BOX_HOSE: Step =
    Step { words: "wider hose to the box", kind: "make-up", key: "hose_bore", by: Grade::Times(1.2) };
const STEEPER_BOX: Step = Step { words: "box steeper", kind: "sluice", key: "slope", by: Grade::Times(1.15) };
const FLATTER_BOX: Step = Step { words: "box flatter", kind: "sluice", key: "slope", by: Grade::Times(0.85) };
const NARROWER_BOX: Step = Step { words: "box narrower", kind: "sluice", key: "width", by: Grade::Times(0.8) };
const WIDER_BOX: Step = Step { words: "box wider", kind: "sluice", key: "width", by: Grade::Times(1.25) };
const LONGER_BOX: Step = Step { words: "box longer", kind: "sluice", key: "length", by: Grade::Times(1.5) };
const LESS_BOX_WATER: Step =
    Step { words: "less water on the box", kind: "make-up", key: "flow", by: Grade::Times(0.7) };
const NARROWER_BOX_HOSE: Step =
    Step { words: "narrower hose to the box", kind: "make-up", key: "hose_bore", by: Grade::Times(0.85) };
const FLATTER_DRUM: Step =
    Step { words: "drum flatter: longer in the water", kind: "drum", key: "slope", by: Grade::Times(0.8) };
const STEEPER_DRUM: Step = Step { words: "drum steeper", kind: "drum", key: "slope", by: Grade::Times(1.2) };
const FASTER_DRUM: Step = Step { words: "drum faster", kind: "drum", key: "speed", by: Grade::Times(1.15) };
const SLOWER_DRUM: Step = Step { words: "drum slower", kind: "drum", key: "speed", by: Grade::Times(0.85) };
const MORE_NOZZLES: Step =
    Step { words: "more nozzles in the hopper", kind: "nozzles", key: "count", by: Grade::Times(1.5) };
const MORE_SPRAY: Step =
    Step { words: "more holes in the spray bar", kind: "spray-bar", key: "holes", by: Grade::Times(1.3) };
const SMALLER_HOLES: Step =
    Step { words: "plate with smaller holes", kind: "screen", key: "hole", by: Grade::Times(0.75) };
const CLEAN_OFTEN: Step =
    Step { words: "knock the screen free twice as often", kind: "screen", key: "cleaned_every", by: Grade::Times(0.5) };
const RELIEVED: Step = Step {
    words: "plate with holes narrower inside than outside",
    kind: "screen",
    key: "relief",
    by: Grade::To("relieved"),
};
const LOWER_RING: Step =
    Step { words: "lower ring at the screen", kind: "screen", key: "exit_ring", by: Grade::Times(0.6) };
const LOWER_SCRUB_RING: Step =
    Step { words: "lower ring at the scrubber", kind: "scrubber", key: "exit_ring", by: Grade::Times(0.6) };
const BLEED_POND: Step = Step {
    words: "let water out of the pond for good (where that is allowed), with as much fresh",
    kind: "pond",
    key: "bleed",
    by: Grade::To("5 %"),
};
const BIGGER_POND: Step = Step { words: "a second pond as large", kind: "pond", key: "area", by: Grade::Times(2.0) };
const FLOCCULATE: Step = Step {
    words: "clay made to clump (salts of the site, or dosing where that is allowed)",
    kind: "pond",
    key: "clay_grain",
    by: Grade::To("15 um"),
};

const STEPS: &[(&str, &[Step])] = &[
    ("rocks-in-box", &[MORE_BOX_WATER, WIDER_BOX_HOSE, NARROWER_BOX, STEEPER_BOX, SMALLER_HOLES]),
    ("packed-riffles", &[LESS_FEED, MORE_BOX_WATER, WIDER_BOX_HOSE, STEEPER_BOX, NARROWER_BOX, WIDER_BOX]),
    ("boiling-riffles", &[LESS_BOX_WATER, NARROWER_BOX_HOSE, FLATTER_BOX, WIDER_BOX]),
    (
        "gold-in-last-third",
        &[
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
    ),
    ("thin-water-in-box", &[MORE_BOX_WATER, WIDER_BOX_HOSE, NARROWER_BOX, FLATTER_BOX]),
    ("deep-water-in-box", &[LESS_BOX_WATER, NARROWER_BOX_HOSE, WIDER_BOX, STEEPER_BOX]),
    (
        "fine-gold-lost",
        &[
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
    ),
    ("rock-rushes-through", &[FLATTER_DRUM, SLOWER_DRUM, LESS_FEED]),
    ("clay-balls", &[LESS_FEED, FLATTER_DRUM, FASTER_DRUM, MORE_NOZZLES, MORE_SPRAY]),
    ("spilling-back", &[LESS_FEED, STEEPER_DRUM, FASTER_DRUM, LOWER_SCRUB_RING, LOWER_RING]),
    ("dirty-oversize", &[LESS_FEED, MORE_SPRAY, CLEAN_OFTEN, RELIEVED, FLATTER_DRUM, SLOWER_DRUM]),
    ("screen-plugged", &[CLEAN_OFTEN, RELIEVED, FASTER_DRUM, LESS_FEED]),
    ("thick-pond", &[LESS_FEED, BLEED_POND, BIGGER_POND, FLOCCULATE]),
    ("drum-stalls", &[LESS_FEED, STEEPER_DRUM, FASTER_DRUM, LOWER_RING, LOWER_SCRUB_RING]),
    (
        "coarse-gold-lost",
        &[LESS_FEED, FLATTER_DRUM, FASTER_DRUM, MORE_NOZZLES, LESS_BOX_WATER, NARROWER_BOX_HOSE, FLATTER_BOX],
    ),
];

/// The steps against a symptom that this plant has a place for: what each says, and its changes.
pub fn steps(base: &Base<'_>, symptom: &str) -> Vec<(String, Vec<Change>)> {
    let list = STEPS.iter().find(|s| s.0 == symptom).map_or(&[][..], |s| s.1);
    list.iter().filter_map(|s| tried(base, s)).collect()
}

fn tried(base: &Base<'_>, step: &Step) -> Option<(String, Vec<Change>)> {
    let owner = base.owners_of_kind(step.kind).into_iter().next()?;
    let text = format!("{owner}.{}", step.key);
    // What a remedy buys is a size that is sold.
    let stock = stock_of(step.kind, step.key, base.plant.units);
    let changes = match (stock, step.by) {
        (Some(stock), Grade::Times(f)) => vec![(base.find(&text).ok()?, next_size(stock, base.si(&text), f)?)],
        _ => moved(base, &owner, step.key, step.by, None)?,
    };
    let (path, value) = changes.first()?;
    let now = base.in_force(&path.text()).map_or(String::new(), |now| format!("{now} -> "));
    Some((format!("{}: {now}{value} ({})", step.words, path.text()), changes))
}
