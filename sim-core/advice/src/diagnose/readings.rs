//! What can be read off a plant: the model's number for each, and how an owner takes it.

use sim_core::math::cbrt;
use sim_core::plant::Plant;
use sim_core::quantity::Dimension as D;
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::stage::{Reason, reasons};
use sim_core::trial::Worker;

/// Where the number comes from.
#[derive(Debug, Clone, Copy)]
pub enum Source {
    /// A measure of a kind of stage, mean over the stages of that kind.
    Measure(&'static str, &'static str),
    /// The sum of all measures of a kind of stage whose name ends so.
    Sum(&'static str, &'static str),
    /// The mean of them.
    Mean(&'static str, &'static str),
    /// Flow of all outlets of a kind.
    Flow(&'static str),
    /// Mean pressure of all outlets of a kind.
    Pressure(&'static str),
    /// Flow of all outlets.
    Supply,
    /// One over the other.
    Ratio(&'static Source, &'static Source),
    /// Clay lumps in an outlet stream of a kind of stage, over the dry feed.
    Lumps(&'static str, &'static str),
    /// Share of the gold between these sizes (m) that is lost.
    LostBetween(f64, f64),
    /// Of the gold that comes down in the boxes and reaches so far, the share lost for the first of these reasons.
    BoxLoss(&'static [Reason]),
    /// Share of the gold that a box holds which lies in its last third.
    LastThird,
    /// Gold caught over gold fed.
    Recovery,
    /// Gold caught, kg/s.
    Caught,
    /// Money of a season; no value without money in the scenario.
    Season,
}

/// One reading.
#[derive(Debug, Clone, Copy)]
pub struct Reading {
    /// Name in files.
    pub name: &'static str,
    /// What it is.
    pub words: &'static str,
    /// How an owner takes it; empty for what he cannot read directly.
    pub how: &'static str,
    /// For printing.
    pub dimension: D,
    /// Standard deviation of taking it, as a share and as an amount (the larger counts). Assumed.
    pub error: (f64, f64),
    /// Where the model has it.
    pub source: Source,
}

const fn reading(
    name: &'static str,
    words: &'static str,
    how: &'static str,
    dimension: D,
    error: (f64, f64),
    source: Source,
) -> Reading {
    Reading { name, words, how, dimension, error, source }
}

const COVER: Source = Source::Measure("sluice", "need_by_cover");
const MOTION: Source = Source::Measure("sluice", "need_by_motion");
const IN_BOX: Source = Source::Measure("sluice", "sluice_at_hand");
const FILM: Source = Source::Measure("drum", "fines_on_oversize");
const FEED: Source = Source::Measure("hopper", "dry_feed");
const TORQUE: Source = Source::Measure("drum", "drive_torque");
const START: Source = Source::Measure("drum", "motor_start_pressure");

/// All readings. The errors of taking them are assumed; that of gauge and bucket is common practice.
pub const READINGS: &[Reading] = &[
    reading(
        "pump-flow",
        "flow of the pump",
        "all branches into a tank of known size, with a stopwatch",
        D::Flow,
        (0.05, 0.0),
        Source::Measure("pump", "pump_flow"),
    ),
    reading(
        "gauge",
        "gauge on the manifold",
        "read it running, then tap it and read again",
        D::Pressure,
        (0.03, 7.0e3),
        Source::Measure("pump", "gauge"),
    ),
    reading(
        "suction-head",
        "suction head left at the pump's inlet",
        "vacuum gauge on the inlet: air pressure of the site less the vacuum",
        D::Head,
        (0.05, 0.3),
        Source::Measure("pump", "npsh_available"),
    ),
    reading(
        "spray-flow",
        "flow of the spray bar",
        "bucket and stopwatch under the bar, drum stopped and locked out",
        D::Flow,
        (0.05, 0.0),
        Source::Flow("spray-bar"),
    ),
    reading(
        "nozzle-flow",
        "flow of the hopper nozzles",
        "bucket and stopwatch at each nozzle",
        D::Flow,
        (0.05, 0.0),
        Source::Flow("nozzles"),
    ),
    reading(
        "box-water",
        "water piped to the box",
        "bucket and stopwatch at the pipe",
        D::Flow,
        (0.05, 0.0),
        Source::Flow("make-up"),
    ),
    reading(
        "spray-pressure",
        "pressure in the spray bar",
        "gauge at the bar",
        D::Pressure,
        (0.03, 7.0e3),
        Source::Pressure("spray-bar"),
    ),
    reading("water-in-all", "water from all outlets", "", D::Flow, (0.05, 0.0), Source::Supply),
    reading(
        "depth",
        "depth of the slurry in the box",
        "ruler held on edge, at five places",
        D::Length,
        (0.08, 0.002),
        Source::Measure("sluice", "depth"),
    ),
    reading(
        "speed",
        "speed of the slurry in the box",
        "chip of wood over a measured length, ten times",
        D::Velocity,
        (0.08, 0.0),
        Source::Measure("sluice", "velocity"),
    ),
    reading(
        "solids",
        "solids by volume in the box",
        "bucket swept across the whole outlet from the side, left to settle, or weighed",
        D::Fraction,
        (0.10, 0.004),
        Source::Measure("sluice", "solids_by_volume"),
    ),
    reading(
        "bed-depth",
        "depth of the bed at the feed end",
        "crash stop, lock out, then a ruler",
        D::Length,
        (0.05, 0.012),
        Source::Measure("drum", "bed_depth_feed_end"),
    ),
    reading(
        "time-in-drum",
        "time of the rock in the drum",
        "painted cobbles and a stopwatch, at least ten",
        D::Time,
        (0.08, 1.0),
        Source::Sum("drum", "_residence"),
    ),
    reading(
        "efficiency",
        "undersize that the screen lets through",
        "20 kg of oversize, washed and sieved at the hole",
        D::Fraction,
        (0.0, 0.03),
        Source::Measure("drum", "screen_efficiency"),
    ),
    reading(
        "plugged",
        "holes of the screen that are plugged",
        "drum stopped and locked out: count a hundred holes",
        D::Fraction,
        (0.0, 0.05),
        Source::Mean("drum", "_blinded"),
    ),
    reading(
        "oversize",
        "share of the feed that goes over the end",
        "buckets of oversize against buckets fed",
        D::Fraction,
        (0.06, 0.0),
        Source::Measure("drum", "oversize_share"),
    ),
    reading(
        "clay-over",
        "clay balls on the oversize, share of the feed",
        "pick and weigh the balls of a shovelful, ten times",
        D::Fraction,
        (0.15, 0.001),
        Source::Lumps("drum", "oversize"),
    ),
    reading(
        "motor",
        "oil pressure of the drum's motor",
        "gauge in the pressure line, by somebody who knows hydraulics",
        D::Pressure,
        (0.04, 1.0e5),
        Source::Measure("drum", "motor_pressure"),
    ),
    reading("torque", "torque that turns the drum", "", D::Torque, (0.1, 0.0), TORQUE),
    reading(
        "start",
        "oil pressure to start the drum",
        "gauge in the pressure line while it starts full",
        D::Pressure,
        (0.06, 2.0e5),
        START,
    ),
    reading("feed", "dry feed", "buckets per hour times what one holds", D::MassRate, (0.05, 0.0), FEED),
    reading(
        "pond-dirt",
        "fines that hang in the pond's water",
        "jar of the water at the pump, dried and weighed",
        D::Density,
        (0.15, 0.2),
        Source::Measure("pond", "returned_fines"),
    ),
    reading(
        "film-over",
        "fines that ride over on the rock, share of the feed",
        "rinse 20 kg of oversize, dry the rinse water, weigh",
        D::Fraction,
        (0.15, 0.0),
        Source::Ratio(&FILM, &FEED),
    ),
    reading(
        "spilled",
        "share of the feed that spills at the feed end",
        "shovel up and count for ten minutes",
        D::Fraction,
        (0.1, 0.005),
        Source::Measure("drum", "spilled_share"),
    ),
    reading(
        "rock-cover",
        "water wanted to cover the largest stone over the water in the box",
        "",
        D::Number,
        (0.1, 0.0),
        Source::Ratio(&COVER, &IN_BOX),
    ),
    reading(
        "rock-motion",
        "water wanted to move the largest stone over the water in the box",
        "",
        D::Number,
        (0.1, 0.0),
        Source::Ratio(&MOTION, &IN_BOX),
    ),
    reading(
        "packed",
        "gold that comes down on riffles packed full",
        "",
        D::Fraction,
        (0.1, 0.0),
        Source::BoxLoss(&[reasons::PACKED, reasons::SCOURED]),
    ),
    reading(
        "scoured",
        "gold that was in the riffles and is lifted out again",
        "",
        D::Fraction,
        (0.1, 0.0),
        Source::BoxLoss(&[reasons::SCOURED]),
    ),
    reading(
        "last-third",
        "share of the box's gold that lies in its last third",
        "clean up the thirds apart and weigh",
        D::Fraction,
        (0.15, 0.01),
        Source::LastThird,
    ),
    reading(
        "coarse-lost",
        "share of the gold above 1 mm that is lost",
        "pan the tailings and the oversize, colours above 1 mm",
        D::Fraction,
        (0.3, 0.01),
        Source::LostBetween(1.0e-3, f64::INFINITY),
    ),
    reading(
        "fine-lost",
        "share of the gold under 0.3 mm that is lost",
        "pan the tailings, colours under 0.3 mm, against those of the feed",
        D::Fraction,
        (0.2, 0.02),
        Source::LostBetween(0.0, 0.3e-3),
    ),
    reading("recovery", "recovery", "", D::Fraction, (0.0, 0.0), Source::Recovery),
    reading("caught", "gold caught", "", D::MassRate, (0.0, 0.0), Source::Caught),
    reading("season", "money of a season", "", D::Money, (0.0, 0.0), Source::Season),
];

/// Number of a reading by its name. The tables of this room name readings that exist: a test sees to it.
pub fn at(name: &str) -> usize {
    READINGS.iter().position(|r| r.name == name).unwrap_or(usize::MAX)
}

/// Reads all of [`READINGS`] off a worker of one plant.
pub struct Reader {
    list: Vec<Resolved>,
}

/// A source with its numbers in one plant.
enum Resolved {
    Mean(Vec<usize>),
    Sum(Vec<usize>),
    Outlets(Vec<usize>),
    Pressures(Vec<usize>),
    Supply,
    Ratio(Box<Resolved>, Box<Resolved>),
    Lumps(Vec<usize>, Box<Resolved>),
    LostBetween(f64, f64),
    /// Boxes, each with its notes: of the first reason, and of all.
    BoxLoss(Vec<(usize, Vec<usize>, Vec<usize>)>),
    /// Boxes, each with the notes of the gold that came to the riffles and was not held.
    LastThird(Vec<(usize, Vec<usize>)>),
    Recovery,
    Caught,
    Season,
}

impl Reader {
    /// The readings of a plant.
    pub fn of(plant: &Plant) -> Reader {
        Reader { list: READINGS.iter().map(|r| resolve(&r.source, plant)).collect() }
    }

    /// All readings of the last trial; NaN for what the plant does not have.
    pub fn read(&self, worker: &Worker<'_>) -> Vec<f64> {
        self.list.iter().map(|r| r.value(worker)).collect()
    }
}

fn measures(plant: &Plant, kind: &str, wanted: impl Fn(&str) -> bool) -> Vec<usize> {
    let of_kind = plant.nodes.iter().filter(|n| n.kind.name == kind).flat_map(|n| n.measures.clone());
    of_kind.filter(|i| plant.measures.get(*i).is_some_and(|m| wanted(&m.name))).collect()
}

fn outlets(plant: &Plant, kind: &str) -> Vec<usize> {
    plant.outlets.iter().enumerate().filter(|(_, o)| o.kind == kind).map(|(i, _)| i).collect()
}

fn resolve(source: &Source, plant: &Plant) -> Resolved {
    match *source {
        Source::Measure(kind, name) => Resolved::Mean(measures(plant, kind, |n| n == name)),
        Source::Sum(kind, end) => Resolved::Sum(measures(plant, kind, |n| n.ends_with(end))),
        Source::Mean(kind, end) => Resolved::Mean(measures(plant, kind, |n| n.ends_with(end))),
        Source::Flow(kind) => Resolved::Outlets(outlets(plant, kind)),
        Source::Pressure(kind) => Resolved::Pressures(outlets(plant, kind)),
        Source::Supply => Resolved::Supply,
        Source::Ratio(a, b) => Resolved::Ratio(Box::new(resolve(a, plant)), Box::new(resolve(b, plant))),
        Source::Lumps(kind, port) => {
            let slots = plant.nodes.iter().filter(|n| n.kind.name == kind).filter_map(|n| {
                let at = n.kind.outlets.iter().position(|p| p.name == port)?;
                Some(n.outlets.start + at)
            });
            Resolved::Lumps(slots.collect(), Box::new(resolve(&FEED, plant)))
        }
        Source::LostBetween(from_m, to_m) => Resolved::LostBetween(from_m, to_m),
        Source::BoxLoss(reached) => {
            let first = reached.get(..1).unwrap_or_default();
            Resolved::BoxLoss(
                boxes(plant).map(|(k, id)| (k, notes(plant, id, first), notes(plant, id, reached))).collect(),
            )
        }
        Source::LastThird => {
            let came = [reasons::NEVER_SETTLED, reasons::PACKED, reasons::SCOURED];
            Resolved::LastThird(boxes(plant).map(|(k, id)| (k, notes(plant, id, &came))).collect())
        }
        Source::Recovery => Resolved::Recovery,
        Source::Caught => Resolved::Caught,
        Source::Season => Resolved::Season,
    }
}

/// Number and id of each box.
fn boxes(plant: &Plant) -> impl Iterator<Item = (usize, &str)> {
    plant.nodes.iter().enumerate().filter(|(_, n)| n.kind.name == "sluice").map(|(k, n)| (k, n.id.as_str()))
}

/// The notes of a stage for some reasons.
fn notes(plant: &Plant, stage: &str, wanted: &[Reason]) -> Vec<usize> {
    let mine = plant.notes.iter().enumerate().filter(|(_, n)| n.stage == stage && wanted.contains(&n.reason));
    mine.map(|(i, _)| i).collect()
}

fn mean(values: &[usize], of: impl Fn(usize) -> f64) -> f64 {
    values.iter().map(|i| of(*i)).sum::<f64>() / values.len() as f64
}

impl Resolved {
    fn value(&self, worker: &Worker<'_>) -> f64 {
        let measure = |i: usize| worker.measures.get(i).copied().unwrap_or(f64::NAN);
        let outlet = |i: usize| worker.outlets.get(i).copied().unwrap_or_default();
        match self {
            Resolved::Mean(list) => mean(list, measure),
            Resolved::Sum(list) => list.len() as f64 * mean(list, measure),
            Resolved::Outlets(list) => list.len() as f64 * mean(list, |i| outlet(i).flow_m3_s),
            Resolved::Pressures(list) => mean(list, |i| outlet(i).pressure_pa),
            Resolved::Supply => worker.outlets.iter().map(|o| o.flow_m3_s).sum(),
            Resolved::Ratio(a, b) => a.value(worker) / b.value(worker),
            Resolved::Lumps(slots, feed) => {
                let lumps = mean(slots, |s| worker.stream(s).map_or(f64::NAN, |x| x.lumps_kg_s()));
                slots.len() as f64 * lumps / feed.value(worker)
            }
            Resolved::LostBetween(from_m, to_m) => lost_between(worker, *from_m, *to_m),
            Resolved::BoxLoss(boxes) => box_loss(worker, boxes),
            Resolved::LastThird(boxes) => last_third(worker, boxes),
            Resolved::Recovery => worker.recovery(),
            Resolved::Caught => worker.caught_kg_s(),
            Resolved::Season => worker.season_net(),
        }
    }
}

fn lost_between(worker: &Worker<'_>, from_m: f64, to_m: f64) -> f64 {
    let wanted = (0..GOLD_CLASSES).filter(|g| (from_m..to_m).contains(&gold_class(*g).middle_m));
    let (mut lost, mut fed) = (0.0, 0.0);
    for g in wanted {
        lost += worker.lost.iter().map(|l| l[g]).sum::<f64>();
        fed += worker.fed[g];
    }
    lost / fed
}

/// Lost for the first reason over lost for all reasons and held.
fn box_loss(worker: &Worker<'_>, boxes: &[(usize, Vec<usize>, Vec<usize>)]) -> f64 {
    let sum = |notes: &[usize]| -> f64 { notes.iter().filter_map(|n| worker.lost.get(*n)).flatten().sum() };
    let (mut first, mut all) = (0.0, 0.0);
    for (node, one, reached) in boxes {
        first += sum(one);
        all += sum(reached) + worker.caught.get(*node).map_or(0.0, |c| c.iter().sum());
    }
    first / all
}

/// Share of the gold held that lies in the last third of the boxes: (e^(-2KL/3) - e^(-KL))/(1 - e^(-KL)) by class.
///
/// K L is the one rate that holds as much of the gold as the box does, what is carried past apart: e^(-KL) = lost/(lost + held).
/// One rate stands for a feed that surges, whose heavy hours have a lower rate. left^(2/3) - left is concave, so that one rate
/// never says less than the hours together: 12.9 % against 11.4 % of the gold held where K L is 1.5, 2.5 and 4 in a
/// quarter, a half and a quarter of it (computed). The owner's own error of 15 % is larger, and a symptom is a change of it.
fn last_third(worker: &Worker<'_>, boxes: &[(usize, Vec<usize>)]) -> f64 {
    let (mut late, mut all) = (0.0, 0.0);
    for (node, notes) in boxes {
        let Some(caught) = worker.caught.get(*node) else { continue };
        for (g, held) in caught.iter().enumerate().filter(|(_, held)| **held > 0.0) {
            let lost: f64 = notes.iter().filter_map(|n| worker.lost.get(*n)).map(|l| l[g].max(0.0)).sum();
            let left = lost / (lost + held);
            late += held * (cbrt(left * left) - left) / (1.0 - left);
            all += held;
        }
    }
    late / all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_every_reading_has_its_own_name() {
        for (i, r) in READINGS.iter().enumerate() {
            assert_eq!(at(r.name), i, "{}", r.name);
        }
    }
}
