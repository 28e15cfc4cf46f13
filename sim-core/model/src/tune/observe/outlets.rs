//! The water of an outlet: a bucket with a stop-watch.

use std::borrow::Cow;
use std::sync::Arc;

use super::kind::{ObservationKind, Read, Seen, caution};
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::quantity::Dimension;

/// Flow by bucket and stop-watch.
pub static BUCKET_FLOW: ObservationKind = ObservationKind {
    name: "bucket-flow",
    words: "flow of a water outlet, by bucket and stop-watch, of all its holes or of some",
    tells: "hole coefficient, plugged holes, what the outlet really gets",
    once: Cow::Borrowed(&[column::VOLUME, column::TIME, column::HOLES]),
    rows: Cow::Borrowed(&[]),
    steps: Cow::Borrowed(&[
        "Of a bar in or over the drum: drum stopped and locked out, the pump running as usual.",
        "Catch the outlet in a bucket of known volume and time the filling, three times; write the mean.",
        "Of a long bar catch a stretch of holes and count them, plugged ones among them (`holes`).",
    ]),
    cautions: Cow::Borrowed(&[caution::LOCK_OUT, caution::JET, caution::TURNING]),
    errors: Cow::Borrowed("7 %; assumed"),
    example: Cow::Borrowed(
        "what = \"bucket-flow\"\nat = \"spray\"\nvolume = \"5 US gal\"\ntime = \"9.5 s\"\nholes = 6",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read_flow),
};

/// Error of a flow timed with a bucket. Assumed.
const BUCKET_SHARE: f64 = 0.07;

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
