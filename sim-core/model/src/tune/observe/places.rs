//! Where an observation was made: a stage, one of its outlets, one of its numbers, a water outlet. No kind of stage is known here;
//! what is looked for is the port or the number by its name.

use sim_core::plant::{Node, Plant};
use sim_core::problem::did_you_mean;
use sim_core::stage::Role;
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

/// Number of a measure by its name.
pub fn measure(plant: &Plant, at: Option<&str>, name: &str, words: &str) -> Result<usize, Lost> {
    let find = |n: &Node| {
        n.measures.clone().find(|m| plant.measures.get(*m).is_some_and(|x| x.name == name && plain(&x.role)))
    };
    let node = stage(plant, at, words, |n| find(n).is_some())?;
    find(&plant.nodes[node]).ok_or_else(|| no_stage(words))
}

fn plain(role: &Role) -> bool {
    !matches!(role, Role::Profile { .. } | Role::OverDays { .. })
}

/// Measures of a stage whose names end so.
pub fn measures_ending(plant: &Plant, node: usize, end: &str) -> Vec<usize> {
    let Some(node) = plant.nodes.get(node) else { return Vec::new() };
    node.measures
        .clone()
        .filter(|m| plant.measures.get(*m).is_some_and(|x| x.name.ends_with(end) && plain(&x.role)))
        .collect()
}

/// Points of a profile of a stage: position and number of the measure, in order.
pub fn profile(plant: &Plant, node: usize, name: &str) -> Vec<(f64, usize)> {
    let Some(node) = plant.nodes.get(node) else { return Vec::new() };
    node.measures
        .clone()
        .filter_map(|m| match plant.measures.get(m)?.role {
            Role::Profile { profile, at } if profile == name => Some((at, m)),
            _ => None,
        })
        .collect()
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
