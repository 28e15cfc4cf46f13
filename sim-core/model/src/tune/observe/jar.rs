//! A jar of pond water, shaken and watched.

use std::borrow::Cow;
use std::sync::Arc;

use super::kind::{ObservationKind, Read, Seen};
use super::law::Law;
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::hydraulics::pond::jar_fall_m_s;
use sim_core::math::{exp, ln};
use sim_core::plant::Node;
use sim_core::quantity::Dimension;
use sim_core::stats::normal;

/// Jar test.
pub static JAR: ObservationKind = ObservationKind {
    name: "jar",
    words: "a jar of the plant's own dirty water shaken and left to stand: what hangs at a depth, or how deep it has cleared",
    tells: "how fast freed clay falls: how dirty the water comes back from the pond",
    once: Cow::Borrowed(&[column::DEPTH]),
    rows: Cow::Borrowed(&[column::TIME, column::HANGING, column::CLEARED]),
    steps: Cow::Borrowed(&[
        "Fill a tall clear jar at the mouth of the pond, cap it, shake it, stand it in the shade.",
        "After 5 min, 30 min, 3 h, 24 h: draw a spoonful at the same depth each time, dry and weigh it against the first; or measure \
         from the water line down to the line between clear and dirty.",
    ]),
    cautions: Cow::Borrowed(&["Stand on firm ground at the pond: fresh mud carries nobody."]),
    errors: Cow::Borrowed(
        "each reading 20 % of the fall speed; all together 25 % (one jar, one day's water, a calm that a pond does not have); assumed",
    ),
    example: Cow::Borrowed(
        "what = \"jar\"\ndepth = \"4 in\"\nreadings = [\n  { time = \"1 h\", hanging = \"55 %\" },\n  { time = \"6 h\", hanging = \"25 %\" },\n]",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read),
};

const EACH: f64 = 0.20;
const TOGETHER: f64 = 0.25;
/// A clear line goes down with the slowest of the clay: the share that falls slower. Assumed.
const CLEAR_LINE: f64 = 1.0 / 12.0;

fn read(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let plant = entry.plant;
    let falls = |n: &Node| places::fall_speeds(plant, n);
    let has = |n: &Node| falls(n).len() > 1;
    let node = entry.placed(places::stage(plant, at.as_deref(), "clay that settles in it", has))?;
    let speeds: Vec<(f64, usize)> = plant.nodes.get(node).map_or(Vec::new(), falls);
    let depth_m = entry.number(column::DEPTH)?;
    let rows = entry.rows_with(&[column::TIME, column::HANGING, column::CLEARED]);
    if rows.is_empty() {
        return Err(entry.error(
            None,
            "the jar has no readings",
            "add readings = [{ time = \"30 min\", hanging = \"55 %\" }], or with cleared = \"2 in\"",
        ));
    }
    let each = entry.share(column::ERROR)?.unwrap_or(EACH);
    let (mut parts, mut laws, mut scores) = (Vec::new(), Vec::new(), Vec::new());
    for row in rows {
        let (part, score) = one(entry, row, depth_m)?;
        parts.push(part);
        scores.push(score);
        laws.push(Law::Reading { absolute: 0.0, relative: each });
    }
    let shared = entry.shared(TOGETHER)?;
    let predict: Predict = Arc::new(move |worker, out| {
        let known: Vec<(f64, f64)> = speeds.iter().map(|(z, m)| (*z, ln(places::read(worker, *m)))).collect();
        out.extend(scores.iter().map(|z| exp(along(&known, *z))));
    });
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}

/// A reading: the fall speed that it shows, and the normal score of the share of the clay that falls slower.
///
/// What hangs at depth z after t falls slower than z/t. A clear line goes down with the slowest.
fn one(entry: &mut Entry<'_, '_>, row: usize, depth_m: Option<f64>) -> Result<(Part, f64), Told> {
    let time = entry.cell(row, column::TIME, false)?;
    let (hanging, cleared) = (entry.cell(row, column::HANGING, true)?, entry.cell(row, column::CLEARED, false)?);
    let Some(time) = time else {
        return Err(entry.error(
            Some((row, column::TIME)),
            "a reading of the jar without its time",
            "since it was shaken",
        ));
    };
    let (fall_m_s, share) = match (hanging, cleared) {
        (Some(share), None) => {
            if !(share.si > 0.0 && share.si < 1.0) {
                return Err(entry.error(
                    Some((row, column::HANGING)),
                    "what hangs must lie between nothing and all",
                    "leave a reading of 0 % or 100 % out: it only bounds the speed",
                ));
            }
            let Some(depth_m) = depth_m else {
                return Err(entry.error(
                    None,
                    "`depth` is missing: how deep under the water line the jar was sampled",
                    "add e.g. depth = \"4 in\"",
                ));
            };
            (jar_fall_m_s(depth_m, time.si), share.si)
        }
        (None, Some(depth)) => (jar_fall_m_s(depth.si, time.si), CLEAR_LINE),
        (Some(_), Some(_)) => {
            return Err(entry.error(
                Some((row, column::CLEARED)),
                "a reading says what hangs or how deep it has cleared, not both",
                "make two rows of it",
            ));
        }
        (None, None) => {
            return Err(entry.error(
                Some((row, column::HANGING)),
                "a reading without what was seen",
                "hanging or cleared",
            ));
        }
    };
    let words = format!("fall speed of the clay of which {:.0} % falls slower", 100.0 * share);
    Ok((Part { words, dimension: Dimension::Velocity, seen: fall_m_s }, normal::quantile(share)))
}

/// Straight between points, and on beyond the ends.
fn along(known: &[(f64, f64)], z: f64) -> f64 {
    let pairs = known.windows(2).filter_map(|w| w.first().zip(w.last()));
    let mut found = f64::NAN;
    for (i, (a, b)) in pairs.enumerate() {
        if i == 0 || z >= a.0 {
            found = a.1 + (z - a.0) / (b.0 - a.0) * (b.1 - a.1);
        }
    }
    found
}
