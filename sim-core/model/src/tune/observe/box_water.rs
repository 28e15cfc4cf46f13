//! Depth and speed of the water in the sluice.

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
use sim_core::readout::Readout;

/// Water in the box.
pub static BOX_WATER: ObservationKind = ObservationKind {
    name: "box-water",
    words: "depth of the water over the riffles, or its speed by a float, or both",
    tells: "water that reaches the box, roughness of the riffles",
    once: Cow::Borrowed(&[column::DEPTH, column::SPEED, column::SPEED_OF]),
    rows: Cow::Borrowed(&[]),
    steps: Cow::Borrowed(&[
        "In the middle of the box hold a thin rule edge-on into the stream, down to the top of the riffles, at five places; write the \
         mean depth.",
        "Time a chip of wood over a marked length of box, five times; write the mean speed.",
    ]),
    cautions: Cow::Borrowed(&["Stand beside the box on firm ground, never in it.", caution::SLUICE_OUTLET]),
    errors: Cow::Borrowed(
        "depth: 4 mm and 10 %; speed: 10 %. A float shows the surface; the mean is 0.85 of it (common in stream gauging, from \
             memory); assumed",
    ),
    example: Cow::Borrowed("what = \"box-water\"\ndepth = \"1.3 in\"\nspeed = \"6.5 ft/s\"\nspeed_of = \"surface\""),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read),
};

/// Errors of the depth (m, share) and of the speed. Assumed.
const DEPTH_OFF: (f64, f64) = (0.004, 0.10);
const SPEED_OFF: f64 = 0.10;
/// Mean speed over that of the surface. From memory: 0.85 is common in stream gauging with floats.
const MEAN_OVER_SURFACE: f64 = 0.85;

/// The reading of this kind of quantity that the observation takes.
fn taken(entry: &mut Entry<'_, '_>, at: Option<&str>, dimension: Dimension) -> Result<Readout, Told> {
    let mut mine = places::taken_by(entry, "box-water");
    mine.retain(|r| r.thing.dimension == dimension);
    let (reading, place) = entry.placed(places::reading(entry.plant, at, &mine))?;
    Ok(Readout::at(entry.plant, reading, &place))
}

fn read(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let (depth, speed) = (entry.number(column::DEPTH)?, entry.number(column::SPEED)?);
    let of_surface = match entry.word(column::SPEED_OF)?.as_deref() {
        None | Some("surface" | "float") => true,
        Some("mean") => false,
        Some(other) => {
            let row = entry.rows_with(&[column::SPEED_OF]).first().copied().unwrap_or(0);
            return Err(entry.error(
                Some((row, column::SPEED_OF)),
                format!("`{other}` is neither surface nor mean"),
                "surface: timed by a float; mean: flow over depth and width",
            ));
        }
    };
    if depth.is_none() && speed.is_none() {
        return Err(entry.error(
            None,
            "neither depth nor speed is given",
            "add depth = \"1.3 in\" or speed = \"6.5 ft/s\"",
        ));
    }
    let (mut parts, mut laws, mut readouts) = (Vec::new(), Vec::new(), Vec::new());
    if let Some(seen) = depth {
        readouts.push(taken(entry, at.as_deref(), Dimension::Length)?);
        parts.push(Part { words: "depth of the water over the riffles".into(), dimension: Dimension::Length, seen });
        laws.push(entry.reading(DEPTH_OFF.0, DEPTH_OFF.1)?);
    }
    if let Some(seen) = speed {
        readouts.push(taken(entry, at.as_deref(), Dimension::Velocity)?);
        let mean = if of_surface { MEAN_OVER_SURFACE * seen } else { seen };
        parts.push(Part {
            words: "mean speed of the water in the box".into(),
            dimension: Dimension::Velocity,
            seen: mean,
        });
        laws.push(entry.reading(0.0, SPEED_OFF)?);
    }
    let shared = entry.shared(0.0)?;
    let predict: Predict = Arc::new(move |worker, out| out.extend(readouts.iter().map(|r| r.value(worker))));
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}
