//! Painted cobbles timed through the drum.

use std::borrow::Cow;
use std::sync::Arc;

use super::kind::{ObservationKind, Read, Seen, caution};
use super::law::Law;
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::quantity::Dimension;
use sim_core::readout::Readout;

/// Cobbles through the drum.
pub static COBBLES: ObservationKind = ObservationKind {
    name: "cobbles",
    words: "painted cobbles timed through the drum, one row each",
    tells: "how long the gravel stays in the drum",
    once: Cow::Borrowed(&[]),
    rows: Cow::Borrowed(&[column::TIME]),
    steps: Cow::Borrowed(&[
        "Paint twenty cobbles larger than the holes in a bright colour.",
        "With the plant under its usual feed, drop them in with the gravel one by one and time each from the feed end to the \
         discharge. Two people and a shout, or two phones filming.",
    ]),
    cautions: Cow::Borrowed(&[caution::TURNING, caution::FEED, "Stand clear of the discharge: cobbles fly."]),
    errors: Cow::Borrowed(
        "the mean of the times: their own scatter over the root of their number, and 10 % because cobbles are not the mean rock; \
             assumed",
    ),
    example: Cow::Borrowed(
        "what = \"cobbles\"\nreadings = [\n  { time = \"34 s\" }, { time = \"41 s\" }, { time = \"29 s\" }, { time = \"38 s\" }, { time = \"45 s\" },\n  { time = \"33 s\" }, { time = \"36 s\" }, { time = \"40 s\" },\n]",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read),
};

/// How far the mean of cobbles may be from that of the rock. Assumed.
const NOT_THE_MEAN_ROCK: f64 = 0.10;
/// Fewest cobbles of which a mean is taken.
const FEWEST: usize = 3;

fn read(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let mine = places::taken_by(entry, "cobbles");
    let (reading, place) = entry.placed(places::reading(entry.plant, at.as_deref(), &mine))?;
    let times = entry.rows_with(&[column::TIME]);
    let mut seconds = Vec::new();
    for row in times {
        if let Some(read) = entry.cell(row, column::TIME, false)? {
            seconds.push(read.si);
        }
    }
    if seconds.len() < FEWEST {
        return Err(entry.error(
            None,
            format!("{} cobbles are too few", seconds.len()),
            "time at least three, better twenty: a row with `time` for each",
        ));
    }
    let n = seconds.len() as f64;
    let mean = seconds.iter().sum::<f64>() / n;
    let scatter = (seconds.iter().map(|t| (t - mean) * (t - mean)).sum::<f64>() / (n - 1.0)).sqrt() / mean;
    let off = entry.share(column::ERROR)?.unwrap_or(NOT_THE_MEAN_ROCK);
    let law = Law::Reading { absolute: 0.0, relative: (scatter * scatter / n + off * off).sqrt() };
    let part =
        Part { words: format!("mean time of {n} cobbles through the drum"), dimension: Dimension::Time, seen: mean };
    let readout = Readout::at(entry.plant, reading, &place);
    let predict: Predict = Arc::new(move |worker, out| out.push(readout.value(worker)));
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), vec![part], vec![law], 0.0, predict))))
}
