//! The water of an outlet: a gauge, and a bucket with a stop-watch.

use std::sync::Arc;

use super::kind::{ObservationKind, Seen, caution};
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::quantity::Dimension;

/// Pressure.
pub static GAUGE: ObservationKind = ObservationKind {
    name: "gauge",
    words: "pressure at a spray bar or at the pump's manifold",
    tells: "wear of the pump, hoses, plugged holes",
    once: &[column::PRESSURE],
    rows: &[],
    steps: &[
        "Read the gauge on the bar (`at` = the bar) or on the manifold (`at` = the pump) while all runs as usual.",
    ],
    cautions: &["Fit the gauge with the pump shut down.", caution::TURNING],
    errors: "1 psi and 3 % of the reading; assumed",
    example: "what = \"gauge\"\nat = \"spray\"\npressure = \"23 psi\"",
    sets_the_day: false,
    read: read_gauge,
};

/// Flow by bucket and stop-watch.
pub static BUCKET_FLOW: ObservationKind = ObservationKind {
    name: "bucket-flow",
    words: "flow of a water outlet, by bucket and stop-watch, of all its holes or of some",
    tells: "hole coefficient, plugged holes, what the outlet really gets",
    once: &[column::VOLUME, column::TIME, column::HOLES],
    rows: &[],
    steps: &[
        "Of a bar in or over the drum: drum stopped and locked out, the pump running as usual.",
        "Catch the outlet in a bucket of known volume and time the filling, three times; write the mean.",
        "Of a long bar catch a stretch of holes and count them, plugged ones among them (`holes`).",
    ],
    cautions: &[caution::LOCK_OUT, caution::JET, caution::TURNING],
    errors: "7 %; assumed",
    example: "what = \"bucket-flow\"\nat = \"spray\"\nvolume = \"5 US gal\"\ntime = \"9.5 s\"\nholes = 6",
    sets_the_day: false,
    read: read_flow,
};

/// Error of a common gauge, Pa: 1 psi. Assumed.
const GAUGE_PA: f64 = 6_895.0;
const GAUGE_SHARE: f64 = 0.03;
/// Error of a flow timed with a bucket. Assumed.
const BUCKET_SHARE: f64 = 0.07;

fn read_gauge(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let pressure = entry.needed(column::PRESSURE, "\"23 psi\"");
    let plant = entry.plant;
    // A water outlet of that name, else a stage with a gauge.
    let outlet = at.as_deref().and_then(|id| plant.outlets.iter().position(|o| o.id == id));
    let (words, predict): (String, Predict) = match outlet {
        Some(i) => (
            format!("pressure at {}", plant.outlets[i].id),
            Arc::new(move |worker, out| out.push(worker.outlets.get(i).map_or(f64::NAN, |o| o.pressure_pa))),
        ),
        None => {
            let stages = plant.nodes.iter().map(|n| n.id.as_str());
            let known: Vec<&str> = plant.outlets.iter().map(|o| o.id.as_str()).chain(stages).collect();
            if let Some(named) = at.as_deref().filter(|a| !known.contains(a)) {
                return entry.placed(Err(places::unknown(named, known.into_iter(), &[])));
            }
            let m = entry.placed(places::measure(plant, at.as_deref(), "gauge", "a gauge on its manifold"))?;
            ("pressure at the manifold".into(), Arc::new(move |worker, out| out.push(places::read(worker, m))))
        }
    };
    let part = Part { words, dimension: Dimension::Pressure, seen: pressure? };
    let law = entry.reading(GAUGE_PA, GAUGE_SHARE)?;
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), vec![part], vec![law], 0.0, predict))))
}

fn read_flow(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let outlet = entry.placed(places::water_outlet(entry.plant, at.as_deref()));
    let volume = entry.needed(column::VOLUME, "\"5 US gal\"");
    let time = entry.needed(column::TIME, "\"9.5 s\"");
    let (outlet, volume, time) = (outlet?, volume?, time?);
    let node = &entry.plant.outlets[outlet];
    let (id, all) = (node.id.clone(), node.outlet.facts().map(|f| f.holes));
    let share = match (entry.number(column::HOLES)?, all) {
        (None, _) => 1.0,
        (Some(n), Some(all)) if n <= all => n / all,
        (Some(n), Some(all)) => {
            let row = entry.rows_with(&[column::HOLES]).first().copied().unwrap_or(0);
            return Err(entry.error(
                Some((row, column::HOLES)),
                format!("{n} holes were caught, {id} has {all}"),
                "count the holes over the bucket",
            ));
        }
        (Some(_), None) => {
            let row = entry.rows_with(&[column::HOLES]).first().copied().unwrap_or(0);
            return Err(entry.error(
                Some((row, column::HOLES)),
                format!("the scenario does not say how many holes {id} has"),
                "catch all of its water, or give the outlet its holes in the scenario",
            ));
        }
    };
    let words = if share == 1.0 { format!("water of {id}") } else { format!("water of the holes caught at {id}") };
    let part = Part { words, dimension: Dimension::Flow, seen: volume / time };
    let law = entry.reading(0.0, BUCKET_SHARE)?;
    let predict: Predict =
        Arc::new(move |worker, out| out.push(share * worker.outlets.get(outlet).map_or(f64::NAN, |o| o.flow_m3_s)));
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), vec![part], vec![law], 0.0, predict))))
}
