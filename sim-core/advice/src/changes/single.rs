//! The single changes that `losses` tries: what an owner can alter about a plant that stands there.

use sim_core::quantity::{Dimension, format, parse, show};

use crate::holes::study::{hole_changes, plate_sizes};
use crate::plants::base::{Base, Change};
use crate::plants::range::scaled_to;
use crate::plants::sold::{next_size, stock_of};

/// One change that may be more than one setting (a hole takes its pitch with it).
#[derive(Debug, Clone)]
pub struct SingleChange {
    /// What is done, e.g. "box longer: from 10 ft to 15 ft".
    pub words: String,
    /// Kind of table and key of the setting that is moved: by these a change is known, never by its words.
    pub of: (&'static str, &'static str),
    /// Whether the setting rises.
    pub rises: bool,
    /// The settings.
    pub changes: Vec<Change>,
}

/// Kind and key of what a plant is fed.
pub const FEED: (&str, &str) = ("hopper", "rate");
/// Kind and key of the length of a scrubber.
pub const SCRUBBER_LENGTH: (&str, &str) = ("scrubber", "length");

/// A ring as high as this share of the drum's diameter is tried where there is none. Assumed.
const NEW_RING: f64 = 0.08;
/// Nobody sets a slope of 5.99 degrees.
const FIGURES: usize = 2;

/// Kind of table, key, factor, words. Steps are a size that an owner would think of; our choice.
const STEPS: [(&str, &str, f64, &str); 22] = [
    ("sluice", "slope", 0.85, "box flatter"),
    ("sluice", "slope", 1.15, "box steeper"),
    ("sluice", "width", 1.25, "box wider"),
    ("sluice", "width", 0.8, "box narrower"),
    ("sluice", "length", 1.5, "box longer"),
    ("make-up", "flow", 1.3, "more water on the box"),
    ("make-up", "flow", 0.7, "less water on the box"),
    ("make-up", "hose_bore", 1.2, "wider hose to the box"),
    ("make-up", "hose_bore", 0.8, "narrower hose to the box"),
    ("spray-bar", "holes", 1.3, "more holes in the spray bar"),
    ("spray-bar", "holes", 0.75, "fewer holes in the spray bar"),
    ("nozzles", "count", 1.5, "more nozzles in the hopper"),
    ("scrubber", "length", 1.5, "longer scrubber"),
    ("scrubber", "exit_ring", 1.5, "higher ring at the scrubber"),
    ("screen", "length", 1.3, "longer screen"),
    ("screen", "exit_ring", 1.5, "higher ring at the screen"),
    ("drum", "slope", 0.8, "drum flatter (more scrubbing)"),
    ("drum", "slope", 1.2, "drum steeper"),
    ("drum", "speed", 0.85, "drum slower (more scrubbing)"),
    ("drum", "speed", 1.15, "drum faster"),
    ("hopper", "rate", 0.8, "feed less"),
    ("hopper", "rate", 1.2, "feed more"),
];

/// Every change that this plant allows.
pub fn single_changes(base: &Base<'_>) -> Vec<SingleChange> {
    let mut list = Vec::new();
    for (kind, key, factor, words) in STEPS {
        for owner in base.owners_of_kind(kind) {
            list.extend(step(base, &owner, (kind, key), factor, words));
        }
    }
    for screen in base.owners_of_kind("screen") {
        list.extend(hole_steps(base, &screen));
    }
    list
}

fn step(
    base: &Base<'_>,
    owner: &str,
    of: (&'static str, &'static str),
    factor: f64,
    words: &str,
) -> Option<SingleChange> {
    let key = of.1;
    let text = format!("{owner}.{key}");
    let found = base.list.iter().find(|s| s.path == text)?;
    let path = base.find(&text).ok()?;
    let now = found.in_force()?;
    let new = if key == "exit_ring" && base.si(&text) == 0.0 {
        let drum = owner.split('.').next()?;
        let height_m = NEW_RING * base.si(&format!("{drum}.diameter"));
        format(1e-3 * (height_m * 1e3).round(), Dimension::Length, "m")?
    } else if let Some(stock) = stock_of(of.0, key, base.plant.units) {
        next_size(stock, base.si(&text), factor)?
    } else {
        scaled_to(now, path.setting(), factor, FIGURES)?
    };
    if new == now {
        return None;
    }
    let shown = |value: &str| match path.setting().dimension().map(|d| (d, parse(value, d))) {
        Some((d, Ok(p))) if key == "exit_ring" => show(p.si, d, base.plant.units),
        _ => value.to_string(),
    };
    Some(SingleChange {
        words: format!("{words}: from {} to {} ({text})", shown(now), shown(&new)),
        of,
        rises: factor > 1.0,
        changes: vec![(path, new)],
    })
}

/// The next plate sizes below and above the present hole.
fn hole_steps(base: &Base<'_>, screen: &str) -> Vec<SingleChange> {
    let now = base.si(&format!("{screen}.hole"));
    let units = base.plant.units;
    let plate = plate_sizes(units);
    let below = plate.iter().copied().rfind(|x| *x < 0.97 * now);
    let above = plate.iter().copied().find(|x| *x > 1.03 * now);
    let change = |(hole_m, words): (f64, &str)| {
        let name = show(hole_m, Dimension::Length, units);
        let changes = hole_changes(base, screen, (&name, hole_m), None).ok()?;
        Some(SingleChange {
            words: format!("{words}: from {} to {name} ({screen}.hole)", show(now, Dimension::Length, units)),
            of: ("screen", "hole"),
            rises: hole_m > now,
            changes,
        })
    };
    let steps = [below.map(|x| (x, "smaller holes")), above.map(|x| (x, "larger holes"))];
    steps.into_iter().flatten().filter_map(change).collect()
}
