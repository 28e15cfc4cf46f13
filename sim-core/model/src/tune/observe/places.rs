//! Where an observation was made: a stage, one of its outlets, one of its numbers, a water outlet. No kind of stage and no
//! measure is known here by name; what is looked for is a port, or a reading that a kind declares.

use crate::tune::log::entry::Entry;
use sim_core::plant::{Node, Plant};
use sim_core::problem::did_you_mean;
use sim_core::quantity::Dimension;
use sim_core::readout::{self, Readout};
use sim_core::stage::{Declared, InLog, Measure, Owner, Reading, Role};
use sim_core::stats::normal;
use sim_core::stream::Stream;
use sim_core::trial::Worker;

/// What is wrong with a place, and what would be right.
pub type Lost = (String, String);

/// Number of a stage: the one named, or the only one of the plant that `fits`. `what` says what it must have.
pub fn stage(plant: &Plant, at: Option<&str>, what: &str, fits: impl Fn(&Node) -> bool) -> Result<usize, Lost> {
    let fitting: Vec<&str> = plant.nodes.iter().filter(|n| fits(n)).map(|n| n.id.as_str()).collect();
    let Some(named) = at.map(|a| a.split('.').next().unwrap_or(a).trim()) else {
        return match fitting.as_slice() {
            [one] => plant.nodes.iter().position(|n| n.id == *one).ok_or_else(|| no_stage(what)),
            [] => Err(no_stage(what)),
            many => Err((
                format!("the plant has {} stages with {what}", many.len()),
                format!("say which: at = one of {}", many.join(", ")),
            )),
        };
    };
    match plant.nodes.iter().position(|n| n.id == named) {
        Some(i) if plant.nodes.get(i).is_some_and(&fits) => Ok(i),
        Some(_) => Err((
            format!("`{named}` has no {what}"),
            if fitting.is_empty() {
                "the plant has no stage with it".into()
            } else {
                format!("these have: {}", fitting.join(", "))
            },
        )),
        None => Err(unknown(named, plant.nodes.iter().map(|n| n.id.as_str()), &fitting)),
    }
}

fn no_stage(what: &str) -> Lost {
    (format!("the plant has no stage with {what}"), "take the observation out, or add the stage to the scenario".into())
}

/// A name that the plant does not know, with the nearest that it does.
pub fn unknown<'a>(named: &str, all: impl Iterator<Item = &'a str>, fitting: &[&str]) -> Lost {
    let all: Vec<&str> = all.collect();
    let help = match did_you_mean(named, all.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if fitting.is_empty() => format!("known: {}", all.join(", ")),
        None => format!("known here: {}", fitting.join(", ")),
    };
    (format!("there is no `{named}` in the plant"), help)
}

/// Slot of an outlet: `stage.outlet`, or the outlet of the usual name of the stage named, or of the only stage that has one.
pub fn outlet_slot(plant: &Plant, at: Option<&str>, usual: &'static str) -> Result<usize, Lost> {
    let port = at.and_then(|a| a.split_once('.')).map(|(_, port)| port.trim());
    if let Some(port) = port {
        let node = stage(plant, at, "outlet", |n| !n.outlets.is_empty())?;
        let node = &plant.nodes[node];
        return node.kind.outlets.iter().position(|p| p.name == port).map(|o| node.outlets.start + o).ok_or_else(
            || {
                let names: Vec<&str> = node.kind.outlets.iter().map(|p| p.name).collect();
                (format!("`{}` has no outlet `{port}`", node.id), format!("its outlets: {}", names.join(", ")))
            },
        );
    }
    let has = |n: &Node| n.kind.outlets.iter().position(|p| p.name == usual);
    let node = &plant.nodes[stage(plant, at, &format!("an outlet `{usual}`"), |n| has(n).is_some())?];
    Ok(node.outlets.start + has(node).unwrap_or(0))
}

/// The readings that an observation of this name takes.
pub fn taken_by(entry: &Entry<'_, '_>, name: &'static str) -> Vec<Declared<Reading>> {
    entry.readings.iter().copied().filter(|r| r.thing.log == InLog::By(name)).collect()
}

/// The reading among some that the place named has, or the only place of the plant that has one; and that place. Where nothing
/// is named, stages count before sections and water outlets.
pub fn reading(
    plant: &Plant,
    at: Option<&str>,
    readings: &[Declared<Reading>],
) -> Result<(Declared<Reading>, String), Lost> {
    let what = readings.first().map_or("", |r| r.thing.words);
    let mut fits: Vec<(Declared<Reading>, String)> = Vec::new();
    for r in readings {
        let places =
            if matches!(r.owner, Owner::Plant) { vec![String::new()] } else { readout::places(plant, r.owner) };
        fits.extend(places.into_iter().filter(|p| Readout::at(plant, *r, p).is_there()).map(|p| (*r, p)));
    }
    let ids = |list: &[(Declared<Reading>, String)]| list.iter().map(|f| f.1.as_str()).collect::<Vec<_>>().join(", ");
    let only = |list: Vec<(Declared<Reading>, String)>| match list.as_slice() {
        [one] => Ok(one.clone()),
        many => Err((
            format!("the plant has {} places with {what}", many.len()),
            format!("say which: at = one of {}", ids(many)),
        )),
    };
    if fits.is_empty() && at.is_none() {
        return Err(no_stage(what));
    }
    let Some(named) = at.map(str::trim) else {
        let stages: Vec<_> = fits.iter().filter(|f| matches!(f.0.owner, Owner::Stage(_))).cloned().collect();
        return only(if stages.is_empty() { fits } else { stages });
    };
    let stage = named.split('.').next().unwrap_or(named);
    let exact = |f: &&(Declared<Reading>, String)| f.1 == named || matches!(f.0.owner, Owner::Plant);
    if let Some(found) = fits.iter().find(exact) {
        return Ok(found.clone());
    }
    // The stage of an outlet (`drum.oversize`), or the sections of a stage.
    let near: Vec<_> =
        fits.iter().filter(|f| f.1 == stage || f.1.split_once('.').is_some_and(|(s, _)| s == named)).cloned().collect();
    if !near.is_empty() {
        return only(near);
    }
    let known = || plant.nodes.iter().map(|n| n.id.as_str()).chain(plant.outlets.iter().map(|o| o.id.as_str()));
    if !known().any(|id| id == stage) {
        return Err(unknown(named, known(), &fits.iter().map(|f| f.1.as_str()).collect::<Vec<_>>()));
    }
    let help =
        if fits.is_empty() { "nothing in the plant has it".to_string() } else { format!("these have: {}", ids(&fits)) };
    Err((format!("`{named}` has no {what}"), help))
}

/// Number of the stage of a place.
pub fn node_of(plant: &Plant, place: &str) -> Option<usize> {
    let stage = place.split('.').next().unwrap_or(place);
    plant.nodes.iter().position(|n| n.id == stage)
}

/// Points of a profile of this kind of quantity along a stage: position and number of the measure, in order.
pub fn profile(plant: &Plant, node: usize, dimension: Dimension) -> Vec<(f64, usize)> {
    let Some(node) = plant.nodes.get(node) else { return Vec::new() };
    let point = |m: usize| match plant.measures.get(m)? {
        Measure { role: Role::Profile { at, .. }, dimension: d, .. } if *d == dimension => Some((*at, m)),
        _ => None,
    };
    node.measures.clone().filter_map(point).collect()
}

/// Speeds at which clay falls in a stage: normal score of the share that falls slower, and number of the measure, slow to fast.
pub fn fall_speeds(plant: &Plant, node: &Node) -> Vec<(f64, usize)> {
    let speed = |m: usize| match plant.measures.get(m)?.role {
        Role::FallSpeed { share } => Some((normal::quantile(share), m)),
        _ => None,
    };
    let mut list: Vec<(f64, usize)> = node.measures.clone().filter_map(speed).collect();
    list.sort_by(|a, b| a.0.total_cmp(&b.0));
    list
}

/// Number of a water outlet.
pub fn water_outlet(plant: &Plant, at: Option<&str>) -> Result<usize, Lost> {
    let ids: Vec<&str> = plant.outlets.iter().map(|o| o.id.as_str()).collect();
    match (at.map(str::trim), ids.as_slice()) {
        (None, [_]) => Ok(0),
        (None, []) => Err(("the plant has no water outlets".into(), String::new())),
        (None, _) => Err(("it is not said at which water outlet".into(), format!("at = one of {}", ids.join(", ")))),
        (Some(named), _) => {
            ids.iter().position(|id| *id == named).ok_or_else(|| unknown(named, ids.iter().copied(), &ids))
        }
    }
}

/// A measure of the last trial.
pub fn read(worker: &Worker<'_>, measure: usize) -> f64 {
    worker.measures.get(measure).copied().unwrap_or(f64::NAN)
}

/// Something of a stream of the last trial; not a number where there is no such stream.
pub fn of_stream(worker: &Worker<'_>, slot: usize, value: impl Fn(&Stream) -> f64) -> f64 {
    worker.stream(slot).map_or(f64::NAN, value)
}
