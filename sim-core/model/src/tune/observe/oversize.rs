//! A cut of the washed oversize: sieved for what should have passed the holes, rinsed for the fines that ride along.

use std::borrow::Cow;
use std::sync::Arc;

use super::kind::{ObservationKind, Read, Seen, caution};
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::math::ln;
use sim_core::quantity::Dimension;
use sim_core::readout::Readout;
use sim_core::size::BySolid;
use sim_core::size::{SOLID_CLASSES, solid_class};
use sim_core::stream::Stream;

/// Undersize left in the oversize.
pub static OVERSIZE_SIEVE: ObservationKind = ObservationKind {
    name: "oversize-sieve",
    words: "a cut of the washed oversize sieved through the size of the holes: what should have passed",
    tells: "how well the screen sorts: hits per turn, plugged holes",
    once: Cow::Borrowed(&[column::SAMPLE, column::SIEVE, column::UNDERSIZE]),
    rows: Cow::Borrowed(&[]),
    steps: Cow::Borrowed(&[
        "Catch the oversize in a tub, several short cuts of the whole stream, 20 kg or more. Let it drain and weigh it.",
        "Pass it over a sieve with openings of the size of the holes (a piece of the same plate does), shaking well. Weigh what \
         goes through.",
    ]),
    cautions: Cow::Borrowed(&[caution::OVERSIZE, caution::TURNING]),
    errors: Cow::Borrowed("15 % of the share that goes through, and half a point; assumed"),
    example: Cow::Borrowed("what = \"oversize-sieve\"\nsample = \"42 kg\"\nsieve = \"1/2 in\"\nundersize = \"7.6 kg\""),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read_sieve),
};

/// Fines rinsed off the oversize.
pub static OVERSIZE_RINSE: ObservationKind = ObservationKind {
    name: "oversize-rinse",
    words: "a cut of the washed oversize rinsed clean, the rinse water dried and weighed",
    tells: "fines, and flour gold with them, carried off in the film on the rocks",
    once: Cow::Borrowed(&[column::SAMPLE, column::FINES]),
    rows: Cow::Borrowed(&[]),
    steps: Cow::Borrowed(&[
        "Catch oversize with what clings to it, weigh it wet, scrub and rinse it in a tub until the water stays clear.",
        "Let the rinse water settle for a day, pour the clear water off, dry the mud on a stove. Weigh what passes a US 140 sieve (0.1 mm): \
         only such fines ride in the film.",
    ]),
    cautions: Cow::Borrowed(&[caution::OVERSIZE, caution::TURNING]),
    errors: Cow::Borrowed("20 %, and half a gram for each 10 kg of rock; assumed"),
    example: Cow::Borrowed("what = \"oversize-rinse\"\nsample = \"22 kg\"\nfines = \"1.5 g\""),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read_rinse),
};

/// Errors of the share through the sieve: share of the whole, share of itself. Assumed.
const SIEVE_OFF: (f64, f64) = (0.005, 0.15);
/// Errors of the fines over the oversize. Assumed.
const RINSE_OFF: (f64, f64) = (5.0e-5, 0.20);
/// Usual name of the outlet.
const PORT: &str = "oversize";

fn read_sieve(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let plant = entry.plant;
    let slot = entry.placed(places::outlet_slot(plant, at.as_deref(), PORT));
    let sample = entry.needed(column::SAMPLE, "\"42 kg\"");
    let sieve = entry.needed(column::SIEVE, "\"1/2 in\"");
    let undersize = entry.amount(column::UNDERSIZE, "\"7.6 kg\"");
    let (slot, sample, sieve_m, undersize) = (slot?, sample?, sieve?, undersize?);
    share_of_sample(entry, column::UNDERSIZE, undersize, sample)?;
    let law = entry.reading(SIEVE_OFF.0, SIEVE_OFF.1)?;
    let part = Part {
        words: "share of the oversize that a sieve of the holes' size lets through".into(),
        dimension: Dimension::Fraction,
        seen: undersize / sample,
    };
    let fed = plant.nodes.iter().find(|n| n.outlets.contains(&slot)).map(|n| n.inlets.clone()).unwrap_or_default();
    let predict: Predict = Arc::new(move |worker, out| {
        let mut rock: BySolid = [0.0; SOLID_CLASSES];
        for stream in fed.iter().flatten().filter_map(|s| worker.stream(*s)) {
            rock.iter_mut().zip(&stream.rock_kg_s).for_each(|(a, b)| *a += b);
        }
        out.push(places::of_stream(worker, slot, |s| undersize_share(s, &rock, sieve_m)));
    });
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), vec![part], vec![law], 0.0, predict))))
}

/// Share of an oversize that a sieve lets through: `sum of the classes below + what of the class astride is below`.
///
/// Rock of the class astride that is coarser than the sieve stays on the screen whole, so that what lies below is the
/// oversize of that class less the part of the feed above the sieve (even in log size). Exact for a sieve of the size of the
/// holes or coarser.
fn undersize_share(oversize: &Stream, fed_kg_s: &BySolid, sieve_m: f64) -> f64 {
    let mut below = 0.0;
    for (c, kg_s) in oversize.rock_kg_s.iter().enumerate() {
        let class = solid_class(c);
        let (low, high) = (class.finite_from_m(), class.finite_to_m());
        if high <= sieve_m {
            below += kg_s;
        } else if low < sieve_m {
            let above = ln(high / sieve_m) / ln(high / low);
            below += (kg_s - above * fed_kg_s.get(c).copied().unwrap_or(0.0)).max(0.0);
        }
    }
    below / (oversize.rock_kg_s.iter().sum::<f64>() + oversize.lumps_kg_s())
}

fn read_rinse(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let plant = entry.plant;
    let slot = entry.placed(places::outlet_slot(plant, at.as_deref(), PORT));
    let mut mine = places::taken_by(entry, "oversize-rinse");
    mine.retain(|r| r.thing.dimension == Dimension::MassRate);
    let fines_on = entry.placed(places::reading(plant, at.as_deref(), &mine));
    let sample = entry.needed(column::SAMPLE, "\"22 kg\"");
    let fines = entry.amount(column::FINES, "\"1.5 g\"");
    let (slot, (reading, place), sample, fines) = (slot?, fines_on?, sample?, fines?);
    let fines_on = Readout::at(plant, reading, &place);
    share_of_sample(entry, column::FINES, fines, sample)?;
    let law = entry.reading(RINSE_OFF.0, RINSE_OFF.1)?;
    let part = Part {
        words: "fines on the oversize over its mass".into(),
        dimension: Dimension::Fraction,
        seen: fines / sample,
    };
    let predict: Predict = Arc::new(move |worker, out| {
        out.push(fines_on.value(worker) / places::of_stream(worker, slot, Stream::solids_kg_s));
    });
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), vec![part], vec![law], 0.0, predict))))
}

/// A part of the sample cannot weigh more than the sample.
fn share_of_sample(entry: &mut Entry<'_, '_>, column: usize, part: f64, sample: f64) -> Result<(), Told> {
    if part < sample {
        return Ok(());
    }
    let row = entry.rows_with(&[column]).first().copied().unwrap_or(0);
    Err(entry.error(
        Some((row, column)),
        "this weighs as much as the whole sample or more",
        "check the two masses and their units",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_a_perfect_screen_leaves_no_undersize() {
        let mut fed = [1.0; SOLID_CLASSES];
        fed[SOLID_CLASSES - 1] = 0.0;
        let sieve_m = 0.0127;
        let mut oversize = Stream::empty(0);
        for (c, kg_s) in oversize.rock_kg_s.iter_mut().enumerate() {
            let class = solid_class(c);
            let (low, high) = (class.finite_from_m(), class.finite_to_m());
            *kg_s = if low >= sieve_m {
                fed[c]
            } else if high > sieve_m {
                fed[c] * ln(high / sieve_m) / ln(high / low)
            } else {
                0.0
            };
        }
        assert!(undersize_share(&oversize, &fed, sieve_m) < 1e-12);
        // All of one class below left on the screen: its share of the oversize.
        oversize.rock_kg_s[5] = 1.0;
        let all: f64 = oversize.rock_kg_s.iter().sum();
        assert!((undersize_share(&oversize, &fed, sieve_m) - 1.0 / all).abs() < 1e-12);
    }
}
