//! Depth of the bed in the drum after a crash stop.

use std::borrow::Cow;
use std::sync::Arc;

use super::kind::{ObservationKind, Read, Seen, caution};
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::quantity::{self, Dimension};
use sim_core::trial::Worker;

/// Depths along the drum.
pub static BED_DEPTH: ObservationKind = ObservationKind {
    name: "bed-depth",
    words: "depth of the bed after a crash stop, at feed end, ring, outlet or any distance from the feed end",
    tells: "angle of repose, how fast the drum carries, what the rings hold",
    once: Cow::Borrowed(&[]),
    rows: Cow::Borrowed(&[column::PLACE, column::DEPTH]),
    steps: Cow::Borrowed(&[
        "Under the usual feed stop drum, feed and water at once.",
        "Lock out, chock the drum. With a rod from outside measure from the surface of the bed down to the shell, in the middle of \
         the bed: at the feed end, ahead of the ring, at the outlet.",
    ]),
    cautions: Cow::Borrowed(&[
        caution::LOCK_OUT,
        caution::TURNING,
        "Do not climb in: measure through the open ends with a rod.",
    ]),
    errors: Cow::Borrowed("half an inch and 8 % each (the bed slumps when it stops), all together 5 %; assumed"),
    example: Cow::Borrowed(
        "what = \"bed-depth\"\nreadings = [\n  { place = \"feed end\", depth = \"4.5 in\" },\n  { place = \"ring\", depth = \"3.5 in\" },\n  { place = \"outlet\", depth = \"4.75 in\" },\n]",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read),
};

/// Errors of a depth: m, share, shared share. Assumed.
const OFF: (f64, f64, f64) = (0.0127, 0.08, 0.05);

/// A depth between two points of the profile.
#[derive(Clone, Copy)]
struct Between {
    before: usize,
    after: usize,
    share: f64,
}

impl Between {
    fn read(self, worker: &Worker<'_>) -> f64 {
        let (a, b) = (places::read(worker, self.before), places::read(worker, self.after));
        if self.share == 0.0 { a } else { a + self.share * (b - a) }
    }
}

fn read(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let plant = entry.plant;
    let mine = places::taken_by(entry, "bed-depth");
    let (_, place) = entry.placed(places::reading(plant, at.as_deref(), &mine))?;
    let profile = places::node_of(plant, &place).map_or(Vec::new(), |n| places::profile(plant, n, Dimension::Length));
    let rows = entry.rows_with(&[column::PLACE, column::DEPTH]);
    if rows.is_empty() {
        return Err(entry.error(
            None,
            "no depth is given",
            "add readings = [{ place = \"feed end\", depth = \"7 in\" }, { place = \"outlet\", depth = \"4 in\" }]",
        ));
    }
    let (mut parts, mut points, mut laws) = (Vec::new(), Vec::new(), Vec::new());
    let mut failed = false;
    for row in rows {
        match one(entry, row, &profile) {
            Ok((part, point)) => {
                parts.push(part);
                points.push(point);
                laws.push(entry.reading(OFF.0, OFF.1)?);
            }
            Err(Told) => failed = true,
        }
    }
    if failed {
        return Err(Told);
    }
    let shared = entry.shared(OFF.2)?;
    let predict: Predict = Arc::new(move |worker, out| out.extend(points.iter().map(|p| p.read(worker))));
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}

fn one(entry: &mut Entry<'_, '_>, row: usize, profile: &[(f64, usize)]) -> Result<(Part, Between), Told> {
    let depth = entry.cell(row, column::DEPTH, false)?;
    let word = entry.rows.get(row).and_then(|r| entry.sheet.text(r, column::PLACE)).unwrap_or("").trim().to_string();
    let Some(depth) = depth else {
        return Err(entry.error(Some((row, column::DEPTH)), "a place without a depth", "add e.g. depth = \"7 in\""));
    };
    let (first, last) = (profile.first(), profile.last());
    let at = match word.to_lowercase().as_str() {
        "feed end" | "feed" | "inlet" => first.map(|p| exactly(p.1)),
        "outlet" | "discharge" | "end" => last.map(|p| exactly(p.1)),
        // The first section's end lies at the same place as the second one's start: ahead of the ring is the end.
        "ring" => profile.windows(2).find(|w| w[0].0 == w[1].0).map(|w| exactly(w[0].1)).or(last.map(|p| exactly(p.1))),
        "" => {
            return Err(entry.error(
                Some((row, column::PLACE)),
                "a depth without its place",
                "place = \"feed end\", \"ring\", \"outlet\" or the distance from the feed end, e.g. \"4 ft\"",
            ));
        }
        _ => match quantity::parse(&word, Dimension::Length) {
            Ok(parsed) => profile
                .windows(2)
                .find(|w| w[1].0 > w[0].0 && (w[0].0..=w[1].0).contains(&parsed.si))
                .map(|w| Between { before: w[0].1, after: w[1].1, share: (parsed.si - w[0].0) / (w[1].0 - w[0].0) }),
            Err(_) => {
                return Err(entry.error(
                    Some((row, column::PLACE)),
                    format!("`{word}` is no place along the drum"),
                    "feed end, ring, outlet, or the distance from the feed end, e.g. \"4 ft\"",
                ));
            }
        },
    };
    let Some(point) = at else {
        return Err(entry.error(
            Some((row, column::PLACE)),
            format!("{word} from the feed end is beyond the drum"),
            "measure from the feed end of the shell",
        ));
    };
    Ok((Part { words: format!("depth of the bed, {word}"), dimension: Dimension::Length, seen: depth.si }, point))
}

fn exactly(measure: usize) -> Between {
    Between { before: measure, after: measure, share: 0.0 }
}
