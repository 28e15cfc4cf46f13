//! The causes: each a change of the plant or of what is fed to it, in three grades, that the model runs.
//!
//! The weights say how often such a thing happens beside the others. They are assumed, from common practice without a source, and
//! can be set on the command line.

use sim_core::quantity::{Dimension, format, parse};
use sim_core::setting::Kind;

use crate::plants::base::{Base, Change};
use crate::plants::levers::next_size;
use crate::plants::range::scaled;

/// How a setting is moved.
#[derive(Debug, Clone, Copy)]
pub enum By {
    /// Times what holds now.
    Times(f64),
    /// To this.
    To(&'static str),
    /// More by this length, m.
    Plus(f64),
    /// More by this share of another setting of the same table.
    PlusShare(f64, &'static str),
    /// So many more fittings in the list.
    Fittings(&'static str),
}

/// One step: a setting of all tables of a kind that have it, and how it is moved.
#[derive(Debug, Clone, Copy)]
pub struct Step {
    /// What is done.
    pub words: &'static str,
    /// Kind of table; `ground` and `scenario` are the tables of that name.
    pub kind: &'static str,
    /// Setting.
    pub key: &'static str,
    /// How.
    pub by: By,
}

/// Kind, setting, and the three grades: slight, middling, bad.
type Knob = (&'static str, &'static str, [By; 3]);

/// A cause.
#[derive(Debug)]
pub struct Cause {
    /// Name on the command line.
    pub name: &'static str,
    /// What is wrong.
    pub words: &'static str,
    knob: Knob,
    /// How often it happens beside the others. Assumed.
    pub weight: f64,
    /// How to look at it directly.
    pub look: &'static str,
    /// What undoes it; empty when the owner cannot.
    pub undo: &'static str,
}

const fn cause(
    name: &'static str,
    words: &'static str,
    knob: Knob,
    weight: f64,
    look: &'static str,
    undo: &'static str,
) -> Cause {
    Cause { name, words, knob, weight, look, undo }
}

use By::{Fittings, Plus, PlusShare, Times, To};

/// All causes that the model can express.
#[rustfmt::skip]
pub const CAUSES: &[Cause] = &[
    // Water.
    cause("spray-plugged", "holes of the spray bar plugged", ("spray-bar", "plugged", [To("20 %"), To("40 %"), To("65 %")]), 4.0,
        "look along the bar while it runs: count the jets that are missing", "take the end cap off, flush the bar, pick the holes; a screen over the suction keeps it so"),
    cause("nozzles-plugged", "hopper nozzles plugged", ("nozzles", "count", [Times(0.75), Times(0.5), Times(0.25)]), 2.0,
        "look at each nozzle while it runs", "take the nozzles out and clear them"),
    cause("spray-worn", "holes of the spray bar worn wide", ("spray-bar", "worn", [PlusShare(0.12, "hole"), PlusShare(0.25, "hole"), PlusShare(0.45, "hole")]), 1.0,
        "a drill shank of the drilled size as a gauge in ten holes", "a new bar with holes as drilled"),
    cause("nozzles-worn", "hopper nozzles worn wide", ("nozzles", "worn", [PlusShare(0.10, "bore"), PlusShare(0.2, "bore"), PlusShare(0.35, "bore")]), 0.7,
        "a drill shank of the size of the bore as a gauge", "new nozzles"),
    cause("pump-worn", "pump worn: impeller and wear ring", ("pump", "wear", [To("18 %"), To("28 %"), To("42 %")]), 1.5,
        "feel the gap between impeller and wear plate with the pump opened, engine key in your pocket", "set the wear plate, or a new impeller and ring"),
    cause("engine-slow", "engine turns slower than it should", ("pump", "speed", [Times(0.94), Times(0.86), Times(0.77)]), 2.0,
        "rev counter on the shaft, running under load", "filters, fuel, belt, governor: back to the speed of the curve"),
    cause("suction-clogged", "suction strainer or foot valve clogged", ("pump", "suction_fittings", [Fittings("3 x gate-valve-half-open"), Fittings("8 x gate-valve-half-open"), Fittings("20 x gate-valve-half-open")]), 3.0,
        "lift the strainer: weed, leaves, mud; a vacuum gauge at the inlet reads high", "clear the strainer, lift it off the mud"),
    cause("delivery-pinched", "delivery hose kinked, or its valve half shut", ("pump", "delivery_fittings", [Fittings("4 x gate-valve-half-open"), Fittings("10 x gate-valve-half-open"), Fittings("30 x gate-valve-half-open")]), 1.0,
        "walk the hose from the pump to the manifold; two gauges, before and behind", "lay the hose out, open the valve"),
    cause("water-fell", "water in the pond fallen, so that the pump lifts higher", ("pump", "lift", [Plus(0.6), Plus(1.2), Plus(2.0)]), 1.0,
        "measure from the pump down to the water", "pump lower or pond fuller"),
    cause("box-water-low", "valve to the box turned down, or its hose kinked", ("make-up", "", [Times(0.75), Times(0.5), Times(0.3)]), 1.5,
        "walk the hose to the box, count the turns of the valve", "set the valve back"),
    cause("box-water-high", "valve to the box opened too far", ("make-up", "open", [Times(1.2), Times(1.5), Times(2.0)]), 1.5,
        "count the turns of the valve", "set the valve back"),
    // Feed.
    cause("more-feed", "more feed than planned", ("hopper", "rate", [Times(1.2), Times(1.45), Times(1.8)]), 4.0,
        "count buckets for an hour, weigh or measure one", "feed as planned"),
    cause("uneven-feed", "feed in surges", ("hopper", "uneven_feed", [To("0.5"), To("0.7"), To("0.9")]), 2.5,
        "watch the feed end for a quarter of an hour: does it run empty between buckets?", "small buckets, often; a grizzly or a chute that meters"),
    cause("more-clay", "more clay in the ground", ("ground", "clay", [Times(1.7), Times(2.8), Times(4.5)]), 3.0,
        "pick the lumps of ten shovelfuls of feed and weigh them", ""),
    cause("tough-clay", "tougher clay than before", ("ground", "clay_wear", [Times(0.4), Times(0.2), Times(0.08)]), 1.5,
        "weigh lumps turned in a cement mixer with water every half minute", ""),
    cause("big-lumps", "clay in bigger lumps", ("ground", "clay_lump_size", [Times(1.5), Times(2.2), Times(3.0)]), 1.0,
        "measure the ten largest lumps of a bucket", "rip or break the face before loading"),
    cause("flat-gold", "flatter gold than before", ("ground", "gold_shape", [Times(0.85), Times(0.7), Times(0.55)]), 1.0,
        "look under a glass, weigh counted colours of one sieve", ""),
    cause("light-feed", "loose ground heavier by volume: more tonnes in each bucket", ("ground", "loose_density", [Times(1.06), Times(1.12), Times(1.18)]), 0.5,
        "weigh a bucket of known volume", "feed by weight"),
    // Drum.
    cause("drum-flat", "drum settled flatter", ("drum", "slope", [Times(0.8), Times(0.6), Times(0.4)]), 1.5,
        "a level on the frame, drum stopped", "shim the frame back to its slope"),
    cause("drum-steep", "drum settled steeper", ("drum", "slope", [Times(1.25), Times(1.5), Times(1.9)]), 1.0,
        "a level on the frame, drum stopped", "shim the frame back to its slope"),
    cause("drum-slow", "drum turns slower than planned", ("drum", "speed", [Times(0.85), Times(0.7), Times(0.5)]), 1.5,
        "count its turns for a minute", "set the speed back; look at oil and engine"),
    cause("drum-fast", "drum turns faster than planned", ("drum", "speed", [Times(1.2), Times(1.45), Times(1.75)]), 1.0,
        "count its turns for a minute", "set the speed back"),
    cause("ring-high", "ring at the screen higher than planned, or packed with stones", ("screen", "exit_ring", [Times(1.35), Times(1.8), Times(2.4)]), 0.8,
        "ruler, drum stopped and locked out", "clear it, or cut it down"),
    cause("ring-gone", "ring at the screen worn off or torn out", ("screen", "exit_ring", [Times(0.6), Times(0.3), To("0 mm")]), 0.7,
        "ruler, drum stopped and locked out", "weld the ring back to its height"),
    cause("scrub-ring-high", "ring at the scrubber higher than planned, or packed", ("scrubber", "exit_ring", [Times(1.5), Times(2.2), Times(3.0)]), 0.5,
        "ruler, drum stopped and locked out", "clear it, or cut it down"),
    cause("scrub-ring-gone", "ring at the scrubber worn off or torn out", ("scrubber", "exit_ring", [Times(0.6), Times(0.3), To("0 mm")]), 0.5,
        "ruler, drum stopped and locked out", "weld the ring back to its height"),
    cause("bars-gone", "bars or lifters of the scrubber worn off", ("scrubber", "lifter_share", [To("8 %"), To("4 %"), To("1 %")]), 1.0,
        "look in with a lamp, drum stopped and locked out", "weld new bars"),
    cause("screen-plugged", "holes of the screen plugged", ("screen", "blinded", [To("20 %"), To("40 %"), To("60 %")]), 3.0,
        "count a hundred holes, drum stopped and locked out", "knock the holes free"),
    cause("near-size", "more stones just larger than the holes, or slabby ones", ("screen", "peg_chance", [Times(2.5), Times(6.0), Times(15.0)]), 2.0,
        "sieve a bucket at the hole size and half again: how much lies between?", ""),
    cause("dull-holes", "holes burred or worn, so that stones no longer drop out", ("screen", "", [Times(0.4), Times(0.15), Times(0.05)]), 1.5,
        "run a finger round the inside of ten holes, drum stopped and locked out", "ream the holes from the outside"),
    cause("cleaned-late", "screen knocked free too seldom", ("screen", "cleaned_every", [Times(2.0), Times(3.5), Times(6.0)]), 2.0,
        "when was it last done?", "knock it free as planned"),
    cause("holes-wide", "holes of the screen worn or torn wide", ("screen", "hole", [Times(1.1), Times(1.2), Times(1.32)]), 1.0,
        "callipers in twenty holes; look for a torn plate", "a new plate, a patch over the tear"),
    cause("rollers-dry", "rollers, bearings or chain take more than they should", ("drum", "drive_efficiency", [To("72 %"), To("62 %"), To("50 %")]), 1.5,
        "feel for heat after a stop, look at chain and bearings, locked out", "grease, adjust, change what is worn"),
    // Box.
    cause("box-flat", "box settled flatter", ("sluice", "slope", [Times(0.85), Times(0.7), Times(0.5)]), 2.0,
        "a level along the box", "block it up to its slope"),
    cause("box-steep", "box settled steeper", ("sluice", "slope", [Times(1.2), Times(1.45), Times(1.7)]), 1.0,
        "a level along the box", "let it down to its slope"),
    // Pond.
    cause("pond-silted", "pond filled with mud, so that little of its area settles", ("pond", "area", [Times(0.65), Times(0.4), Times(0.2)]), 3.0,
        "sound it with a pole from a plank", "dig it out, or dig another"),
    cause("clay-hangs", "clay that hangs longer in the water: softer water, no salts", ("pond", "jar_factor", [Times(0.6), Times(0.35), Times(0.15)]), 1.0,
        "shake a jar of the pond's water with a spoon of the mud, and time it", ""),
    cause("less-fresh", "less fresh water than planned", ("pond", "fresh", [Times(0.6), Times(0.3), Times(0.0)]), 1.0,
        "bucket and stopwatch at the inlet", "as much fresh water as planned"),
];

/// One table of the plant with a cause, ready to be built: a list of changes for each grade.
#[derive(Debug)]
pub struct Candidate {
    /// The cause.
    pub cause: &'static Cause,
    /// Table that it is switched on in, when there are several of the kind.
    pub owner: Option<String>,
    /// Path of its (first) setting.
    pub path: String,
    /// Changes and words, slight to bad.
    pub grades: Vec<(Vec<Change>, String)>,
}

impl Candidate {
    /// What is wrong, and where when there are several such places.
    pub fn words(&self) -> String {
        match &self.owner {
            Some(owner) => format!("{} ({owner})", self.cause.words),
            None => self.cause.words.to_string(),
        }
    }
}

/// Every cause that this scenario has a place for.
pub fn candidates(base: &Base<'_>) -> Vec<Candidate> {
    let mut list = Vec::new();
    for cause in CAUSES {
        let owners = owners(base, cause.knob.0);
        for owner in &owners {
            let (key, grades) = (cause.knob.1, cause.knob.2);
            let made: Vec<Vec<Change>> =
                grades.iter().filter_map(|by| moved(base, cause.knob.0, owner, key, *by)).collect();
            let Some(path) = made.first().and_then(|c| c.first()).map(|(p, _)| p.text()) else { continue };
            let worded = |changes: Vec<Change>| {
                let words: Vec<String> = changes.iter().map(|(p, v)| format!("{} = {v}", p.text())).collect();
                (changes, words.join(", "))
            };
            list.push(Candidate {
                cause,
                owner: (owners.len() > 1).then(|| owner.clone()),
                path,
                grades: made.into_iter().map(worded).collect(),
            });
        }
    }
    list
}

/// A step tried on this plant: what it says and its changes; `None` where the plant has no such setting.
pub fn step(base: &Base<'_>, step: &Step) -> Option<(String, Vec<Change>)> {
    let owner = owners(base, step.kind).into_iter().next()?;
    let changes = moved(base, step.kind, &owner, step.key, step.by)?;
    let (path, value) = changes.first()?;
    let now = base.in_force(&path.text()).map_or(String::new(), |now| format!("{now} -> "));
    Some((format!("{}: {now}{value} ({})", step.words, path.text()), changes))
}

fn owners(base: &Base<'_>, kind: &str) -> Vec<String> {
    if kind == "ground" { vec!["ground".to_string()] } else { base.owners_of_kind(kind) }
}

/// The changes that move one setting of one table.
fn moved(base: &Base<'_>, kind: &str, owner: &str, key: &str, by: By) -> Option<Vec<Change>> {
    match (kind, key, by) {
        ("pump", "speed", Times(f)) => pump_speed(base, owner, f),
        // A pipe to the box has a flow of its own, or a hose on a manifold that is choked or widened.
        ("make-up", "", Times(_)) if base.in_force(&format!("{owner}.flow")).is_some() => one(base, owner, "flow", by),
        ("make-up", "", Times(f)) => one(base, owner, "hose_bore", Times(bore_for(f))),
        ("make-up", "open", Times(_)) if base.in_force(&format!("{owner}.flow")).is_some() => {
            one(base, owner, "flow", by)
        }
        ("make-up", "open", Times(f)) => one(base, owner, "hose_bore", Times(bore_for(f))),
        // What a remedy buys is a size that is sold; wear, which only widens, is any size.
        ("make-up", "hose_bore", Times(f)) => sold(base, owner, key, f),
        ("screen", "hole", Times(f)) if f < 1.0 => sold(base, owner, key, f),
        ("screen", "", _) => {
            let relieved = base.in_force(&format!("{owner}.relief")) == Some("relieved");
            one(base, owner, if relieved { "clear_relieved" } else { "clear_straight" }, by)
        }
        // A hole takes its pitch along only when the plate is a new one; worn holes keep it.
        _ => one(base, owner, key, by),
    }
}

/// The setting at the size sold about a factor away.
fn sold(base: &Base<'_>, owner: &str, key: &str, factor: f64) -> Option<Vec<Change>> {
    let text = format!("{owner}.{key}");
    let stock = base.stock_at(&text)?;
    Some(vec![(base.find(&text).ok()?, next_size(stock, base.si(&text), factor)?)])
}

/// Factor on a bore that gives about this factor on the flow of an open hose: flow goes with the bore squared.
fn bore_for(flow: f64) -> f64 {
    flow.sqrt()
}

/// A pump at a share of its speed. Where no speed is given, only the share counts: any two numbers of that ratio do.
fn pump_speed(base: &Base<'_>, owner: &str, share: f64) -> Option<Vec<Change>> {
    let rated = format!("{owner}.rated_speed");
    let at = format!("{owner}.speed");
    match (base.in_force(&rated), base.in_force(&at)) {
        (Some(_), Some(_)) => one(base, owner, "speed", Times(share)),
        (Some(rated_now), None) => {
            let path = base.find(&at).ok()?;
            let value = scaled(rated_now, path.setting(), share)?;
            Some(vec![(path, value)])
        }
        _ => Some(vec![
            (base.find(&at).ok()?, format!("{:.0} rpm", 2000.0 * share)),
            (base.find(&rated).ok()?, "2000 rpm".to_string()),
        ]),
    }
}

fn one(base: &Base<'_>, owner: &str, key: &str, by: By) -> Option<Vec<Change>> {
    let text = format!("{owner}.{key}");
    let path = base.find(&text).ok()?;
    let now = base.in_force(&text);
    let metric = |x: f64| format(x, Dimension::Length, "mm");
    let value = match by {
        To(word) => word.to_string(),
        Times(f) => scaled(now?, path.setting(), f)?,
        Plus(more_m) => metric(parse(now?, path.setting().dimension()?).ok()?.si + more_m)?,
        PlusShare(share, of) => metric(1e-5 * (1e5 * share * base.si(&format!("{owner}.{of}"))).round())?,
        Fittings(more) => match now {
            Some(list) if !list.is_empty() && list != "none" => format!("{list}, {more}"),
            _ => more.to_string(),
        },
    };
    // A ring that is not there cannot be worn off; a whole number may not change at all.
    let same = now == Some(value.as_str())
        || (path.setting().kind != Kind::Switch && base.si(&text) == 0.0 && matches!(by, Times(_)));
    (!same).then(|| vec![(path, value)])
}
