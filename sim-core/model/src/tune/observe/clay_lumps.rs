//! Clay lumps worn in a cement mixer, a slake drum or a jar, and weighed.

use std::borrow::Cow;
use std::sync::Arc;

use super::kind::{ObservationKind, Read, Seen};
use super::law::Law;
use super::observation::{Observation, Predict};
use crate::scenario::clay_test;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::drum::clay::{wear_at_reference_m_s, wear_from_test_m_s};
use sim_core::field::Told;
use sim_core::math::{cbrt, ln};
use sim_core::quantity::Dimension;
use sim_core::stats::normal::Z_90;

/// Lumps weighed after some time in a test.
pub static CLAY_LUMPS: ObservationKind = ObservationKind {
    name: "clay-lumps",
    words: "clay lumps worn in a cement mixer (or slake drum, or jar) with water and weighed after a time",
    tells: "how fast clay wears in the drum: gold that leaves locked in lumps",
    once: Cow::Borrowed(&[column::TEST, column::LUMP]),
    rows: Cow::Borrowed(&[column::TIME, column::LEFT]),
    steps: Cow::Borrowed(&[
        "Pick lumps of about one size from the pay gravel, not dried out. Measure them, weigh them.",
        "Turn them in a cement mixer with water and gravel, stop it, take them out and weigh them again: after 30 s, 1 min, 2 min. \
         Write what is left of the first weight.",
    ]),
    cautions: Cow::Borrowed(&["Stop the mixer and pull its plug before you reach in."]),
    errors: Cow::Borrowed(
        "each weighing: 3 points of the share left, and 10 % of the wear; all together the factor between test and drum, 1.6 \
             either way for a mixer, 3 for slake drum and jar, as in the scenario's clay_test; assumed",
    ),
    example: Cow::Borrowed(
        "what = \"clay-lumps\"\ntest = \"mixer\"\nlump = \"2 in\"\nreadings = [\n  { time = \"1 min\", left = \"92 %\" },\n  { time = \"3 min\", left = \"78 %\" },\n]",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read),
};

/// Error of a share left, and of the wear itself. Assumed.
const LEFT_OFF: f64 = 0.03;
const WEAR_OFF: f64 = 0.10;

fn read(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let test = test(entry);
    let lump = entry.needed(column::LUMP, "\"2 in\"");
    let (test, lump_m) = (test?, lump?);
    let (power_w_kg, factor) = test;
    let rows = entry.rows_with(&[column::TIME, column::LEFT]);
    if rows.is_empty() {
        return Err(entry.error(
            None,
            "no weighing is given",
            "add readings = [{ time = \"2 min\", left = \"80 %\" }]: what is left of the first weight",
        ));
    }
    let own = entry.share(column::ERROR)?;
    let shared = entry.shared(ln(factor) / Z_90)?;
    let (mut parts, mut laws) = (Vec::new(), Vec::new());
    for row in rows {
        let (time, left) = (entry.cell(row, column::TIME, false)?, entry.cell(row, column::LEFT, true)?);
        let (Some(time), Some(left)) = (time, left) else {
            let lacks = if time.is_none() { column::TIME } else { column::LEFT };
            return Err(entry.error(Some((row, lacks)), "a weighing needs its time and what was left", ""));
        };
        let left = left.si;
        if !(left > 0.0 && left < 1.0) {
            return Err(entry.error(
                Some((row, column::LEFT)),
                "what is left must lie between nothing and all",
                "leave a reading out in which nothing was left or nothing was lost: it only bounds the wear",
            ));
        }
        let wear_m_s = wear_at_reference_m_s(wear_from_test_m_s(lump_m, left, time.si), power_w_kg);
        // d(wear)/wear of d(left), from wear in proportion to 1 - left^(1/3).
        let root = cbrt(left);
        let by_weight = LEFT_OFF / (3.0 * root * root * (1.0 - root));
        let relative = own.unwrap_or((by_weight * by_weight + WEAR_OFF * WEAR_OFF).sqrt());
        laws.push(Law::Reading { absolute: 0.0, relative });
        parts.push(Part {
            words: format!("wear of the lumps at the drum's power, by what was left after {:.0} s", time.si),
            dimension: Dimension::Velocity,
            seen: wear_m_s,
        });
    }
    if entry.plant.inputs.middle(entry.plant.ground.inputs.clay_wear_m_s).is_finite()
        && matches!(entry.plant.ground.inputs.clay_wear_m_s, sim_core::draw::Input::Fixed(_))
    {
        entry.warning(
            "the scenario gives the clay's wear as one known value, so that this observation can correct nothing",
            "give clay_wear a spread, or take it out",
        );
    }
    let n = parts.len();
    let predict: Predict = Arc::new(move |worker, out| out.extend(std::iter::repeat_n(worker.ground.clay_wear_m_s, n)));
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}

/// Power (W/kg) and the factor either way of the test.
fn test(entry: &mut Entry<'_, '_>) -> Result<(f64, f64), Told> {
    let word = entry.word(column::TEST)?.unwrap_or_else(|| "mixer".into()).to_lowercase();
    clay_test(&word).ok_or_else(|| {
        let row = entry.rows_with(&[column::TEST]).first().copied().unwrap_or(0);
        entry.error(
            Some((row, column::TEST)),
            format!("`{word}` is not a known test of clay"),
            "one of: mixer, slake, jar",
        )
    })
}
