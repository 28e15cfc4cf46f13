//! What the owner does or sets on a day: buckets fed, speed of the pump.
//!
//! Both change from day to day; a count of one day says nothing of the next. So they are no evidence of the constants: they become
//! settings of that day, with the spread of their measurement, and all else that was seen that day is compared with the
//! plant as it ran then.

use super::kind::{ObservationKind, Read, Seen};
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::constants::S_PER_H;
use sim_core::draw::Nature;
use sim_core::field::Told;
use sim_core::plant::Node;
use sim_core::quantity::{Basis, Dimension};
use sim_core::stats::normal::Z_90;
use std::borrow::Cow;

/// Feed rate by buckets.
pub static BUCKETS: ObservationKind = ObservationKind {
    name: "buckets",
    words: "buckets fed in a time, and what a bucket holds: the feed rate of that day",
    tells: "nothing by itself; what else was seen that day is compared at this feed",
    once: Cow::Borrowed(&[column::BUCKETS, column::BUCKET, column::TIME]),
    rows: Cow::Borrowed(&[]),
    steps: Cow::Borrowed(&[
        "Count the buckets of an hour or more of usual running.",
        "Fill one bucket as heaped in use, empty it on a level spot and measure the heap, or weigh ten bucketfuls.",
    ]),
    cautions: Cow::Borrowed(&["Keep out of the swing of the excavator and make sure that its driver sees you."]),
    errors: Cow::Borrowed("10 % (how full the buckets are); assumed"),
    example: Cow::Borrowed("what = \"buckets\"\nbuckets = 62\nbucket = \"0.4 yd3 loose\"\ntime = \"60 min\""),
    sets_the_day: true,
    minutes: None,
    bring: &[],
    read: Read::Special(read_buckets),
};

/// Speed of the pump.
pub static PUMP_SPEED: ObservationKind = ObservationKind {
    name: "pump-speed",
    words: "speed of the pump that day",
    tells: "nothing by itself; the water seen that day is compared at this speed",
    once: Cow::Borrowed(&[column::TURNS]),
    rows: Cow::Borrowed(&[]),
    steps: Cow::Borrowed(&[
        "Read the engine's tachometer, or a hand tachometer on the pump shaft; mind a belt's ratio.",
    ]),
    cautions: Cow::Borrowed(&[
        "Keep sleeves and hair off the shaft and the belt; read the engine's own tachometer rather than touch a shaft.",
    ]),
    errors: Cow::Borrowed("2 %; assumed"),
    example: Cow::Borrowed("what = \"pump-speed\"\nturns = \"1750 rpm\""),
    sets_the_day: true,
    minutes: None,
    bring: &[],
    read: Read::Special(read_pump),
};

const BUCKET_OFF: f64 = 0.10;
const TURNS_OFF: f64 = 0.02;

fn read_buckets(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let plant = entry.plant;
    let node = super::places::stage(plant, at.as_deref(), "feed of its own", |n| n.stage.feed_m3_s().is_some());
    let node = entry.placed(node);
    let buckets = entry.needed(column::BUCKETS, "62");
    let bucket = entry.quantity(column::BUCKET);
    let time = entry.needed(column::TIME, "\"60 min\"");
    let (node, buckets, bucket, time_s) = (node?, buckets?, bucket?, time?);
    let Some((bucket_m3, basis)) = bucket else {
        entry.needed(column::BUCKET, "\"0.4 yd3 loose\"")?;
        return Err(Told);
    };
    if basis == Some(Basis::Bank) {
        let row = entry.rows_with(&[column::BUCKET]).first().copied().unwrap_or(0);
        return Err(entry.error(Some((row, column::BUCKET)), "a bucket holds loose ground", "write loose"));
    }
    let rate_m3_h = buckets * bucket_m3 / time_s * S_PER_H;
    let off = entry.share(column::ERROR)?.unwrap_or(BUCKET_OFF);
    set(entry, node, Dimension::GravelRate, |share| format!("{:.4} m3/h loose", rate_m3_h * share), off)
}

fn read_pump(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let plant = entry.plant;
    let pump = |n: &Node| n.line.is_some();
    let node = entry.placed(super::places::stage(plant, at.as_deref(), "pump", pump));
    let turns = entry.needed(column::TURNS, "\"1750 rpm\"");
    let (node, rev_s) = (node?, turns?);
    let rated = plant.nodes.get(node).and_then(|n| n.line).and_then(|l| plant.lines.get(l));
    if rated.is_none_or(|l| !l.supply.rated_speed_rev_s.is_finite()) {
        return Err(entry.error(
            None,
            "the scenario does not say for which speed the pump's curve holds",
            "add rated_speed to the pump in the scenario, e.g. rated_speed = \"1800 rpm\"",
        ));
    }
    let off = entry.share(column::ERROR)?.unwrap_or(TURNS_OFF);
    set(entry, node, Dimension::RotationSpeed, |share| format!("{:.3} rpm", rev_s * 60.0 * share), off)
}

/// The setting of a stage that has this dimension and changes by itself, as a spread about what was measured.
fn set(
    entry: &mut Entry<'_, '_>,
    node: usize,
    dimension: Dimension,
    text: impl Fn(f64) -> String,
    off: f64,
) -> Result<Seen, Told> {
    let id = entry.plant.nodes.get(node).map_or(String::new(), |n| n.id.clone());
    let found = entry
        .settables
        .iter()
        .find(|s| s.owner == id && s.setting.dimension() == Some(dimension) && s.setting.nature == Nature::Variability);
    let Some(found) = found else {
        return Err(entry.error(
            None,
            format!("`{id}` has no setting for this"),
            "type it as a setting of the day instead",
        ));
    };
    // One in ten below, one in ten above. Scenarios whose spreads are limits take them as such: a little narrower.
    let spread = format!(
        "{{ low = \"{}\", mid = \"{}\", high = \"{}\" }}",
        text(1.0 - Z_90 * off),
        text(1.0),
        text(1.0 + Z_90 * off)
    );
    Ok(Seen::Day(vec![(found.path.clone(), spread)]))
}
