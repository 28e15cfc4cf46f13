//! Pans of the sluice's tailings and of the washed oversize: the gold that got away, colour by colour.

use std::borrow::Cow;
use std::sync::Arc;

use super::clean_up;
use super::gold_found::{self, ClassFound};
use super::kind::{ObservationKind, Read, Seen, caution};
use super::law::Law;
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::{Told, WashedWith};
use sim_core::hydraulics::fines::sand_kg_s;
use sim_core::math::ln;
use sim_core::quantity::{Basis, Dimension};
use sim_core::stats::normal::Z_90;
use sim_core::stream::Stream;

const GOLD_ROWS: &[usize] = &[column::THROUGH, column::ON, column::COLOURS, column::WEIGHT, column::KEPT];

/// Tailings of the box.
pub static TAILINGS_PAN: ObservationKind = ObservationKind {
    name: "tailings-pan",
    words: "gold panned from what leaves the sluice: volume, colours and weights by sieve",
    tells: "what the box loses, and at which sizes",
    once: Cow::Borrowed(&[
        column::VOLUME,
        column::PANS,
        column::PAN_VOLUME,
        column::CUTS,
        column::WASHED_WITH,
        column::LUMPS,
        column::GOLD,
    ]),
    rows: Cow::Borrowed(GOLD_ROWS),
    steps: Cow::Borrowed(&[
        "While the plant runs as usual, pass a bucket once through the whole stream at the end of the box. Let it settle, pour \
         the water off, put the gravel into a tub. Six or more cuts, some minutes apart, make a sample.",
        "Measure the volume of settled gravel. Rub clay lumps to mud. Pan all of it.",
        "Sieve the colours, count and weigh each class. Write 0 for a class without any: it tells as well.",
    ]),
    cautions: Cow::Borrowed(&[caution::SLUICE_OUTLET, caution::TURNING]),
    errors: Cow::Borrowed(
        "each class 10 % (misplaced by the sieves); all together: the panning (5 % for a pan, 16 % for a small sluice, as in the \
             ground's field sheets), the volume 8 %, uneven feed 30 % over the root of the cuts; assumed",
    ),
    example: Cow::Borrowed(
        "what = \"tailings-pan\"\nvolume = \"60 L loose\"\ncuts = 12\nwashed_with = \"pan\"\nreadings = [\n  { through = \"US 30\", on = \"US 60\", colours = 0 },\n  { through = \"US 60\", on = \"US 100\", colours = 3 },\n  { through = \"US 100\", on = \"US 200\", colours = 45 },\n]",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(|entry| read(entry, From::Tailings)),
};

/// Washed oversize.
pub static OVERSIZE_PAN: ObservationKind = ObservationKind {
    name: "oversize-pan",
    words: "gold panned from the washed oversize: mass of the cut, colours and weights by sieve",
    tells: "gold that missed the holes, stayed in clay or in the film on the rocks",
    once: Cow::Borrowed(&[column::SAMPLE, column::CUTS, column::WASHED_WITH, column::LUMPS, column::GOLD]),
    rows: Cow::Borrowed(GOLD_ROWS),
    steps: Cow::Borrowed(&[
        "Catch the oversize in a tub, several short cuts of the whole stream, 20 kg or more. Let it drain and weigh it.",
        "Rub clay lumps to mud, scrub the rocks over a tub, pan what comes off.",
        "Sieve the colours, count and weigh each class. Write 0 for a class without any.",
    ]),
    cautions: Cow::Borrowed(&[caution::OVERSIZE, caution::TURNING]),
    errors: Cow::Borrowed("as for pans of the tailings, the mass instead of the volume"),
    example: Cow::Borrowed(
        "what = \"oversize-pan\"\nsample = \"65 kg\"\ncuts = 5\nreadings = [\n  { through = \"1/4 in\", on = \"US 18\", colours = 0 },\n  { through = \"US 18\", on = \"US 60\", colours = 1 },\n  { through = \"US 60\", on = \"US 200\", colours = 4 },\n]",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(|entry| read(entry, From::Oversize)),
};

#[derive(Clone, Copy, PartialEq)]
enum From {
    Tailings,
    Oversize,
}

/// Dry mass of settled sand and gravel per volume, kg/m3. Assumed: 1450 to 1750 under water.
const SETTLED_KG_M3: f64 = 1600.0;
/// What that and the volume are off by. Assumed.
const VOLUME_OFF: f64 = 0.08;
/// How much one cut of a bucket-fed plant differs from the mean. Assumed: as the uneven feed felt at the sluice.
const CUT_OFF: f64 = 0.3;
/// What each class is off by besides chance. Assumed.
const EACH: f64 = 0.10;
/// What the mean mass of a colour of a class is off by besides chance and the shape of all gold: where it lies in its class, how
/// much flatter the lost gold is than the caught. Assumed.
const GRAIN_OFF: f64 = 0.25;

fn read(entry: &mut Entry<'_, '_>, from: From) -> Result<Seen, Told> {
    let at = entry.at()?;
    let usual = if from == From::Tailings { "tailings" } else { "oversize" };
    let slot = entry.placed(places::outlet_slot(entry.plant, at.as_deref(), usual));
    let kg = match from {
        From::Tailings => volume_m3(entry).map(|v| v * SETTLED_KG_M3),
        From::Oversize => entry.needed(column::SAMPLE, "\"65 kg\""),
    };
    let tool = tool(entry);
    let broken = broken(entry);
    let cuts = entry.number(column::CUTS);
    let classes = gold_found::classes(entry, true);
    let (slot, kg, tool, broken, cuts, classes) = (slot?, kg?, tool?, broken?, cuts?, classes?);
    if classes.is_empty() {
        return Err(entry.error(
            None,
            "no class of gold is given",
            "name the classes looked at, each with through, on and colours; colours = 0 where there was none",
        ));
    }
    let each = entry.share(column::ERROR)?.unwrap_or(EACH);
    let (usual_kept, pan_off) = panning(tool);
    let volume_off = if from == From::Tailings { VOLUME_OFF } else { 0.02 };
    let cut_off = CUT_OFF / cuts.unwrap_or(1.0).max(1.0).sqrt();
    let shared = entry.shared((pan_off * pan_off + volume_off * volume_off + cut_off * cut_off).sqrt())?;
    let (mut parts, mut laws) = (Vec::new(), Vec::new());
    for (part, law) in classes.iter().flat_map(|class| seen(class, each * each)) {
        parts.push(part);
        laws.push(law);
    }
    let grain_kg = gold_found::grain_masses(entry.plant);
    let (shape, usual_shape) = gold_found::shape(entry.plant);
    let predict: Predict = Arc::new(move |worker, out| {
        let solids = places::of_stream(worker, slot, |s| settled_kg_s(s, from));
        let (mut means, mut more) = (Vec::new(), Vec::new());
        for class in &classes {
            let share = class.kept.unwrap_or(usual_kept) * kg / solids;
            let gold = |g: usize| share * places::of_stream(worker, slot, |s| gold_of(s, g, broken));
            let (kg, grains, grain) = gold_found::expected(&class.grid, &grain_kg, gold);
            match (class.colours, class.kg) {
                (Some(_), None) => means.push(grains),
                (Some(_), Some(_)) => {
                    // Gold flatter than the middle is lighter at the same sieve: thickness goes with the shape factor.
                    let flatter = clean_up::value(worker, shape) / usual_shape;
                    let one = if grains > 0.0 { kg / grains } else { grain };
                    means.extend([grains, one * flatter]);
                    more.extend([1.0, grain * flatter]);
                }
                (None, _) => {
                    means.push(kg);
                    more.extend([grains, grain]);
                }
            }
        }
        out.extend(means);
        out.extend(more);
    });
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}

/// The count, then what its colours weigh; the weight alone where they were not counted.
///
/// For what a box loses the count is nearly all there is to know. On the demonstration 72 colours of 75 to 150 um weigh some
/// 0.2 mg on a balance of 1 mg: with their weight in the log the middle recovery and the shape of the gold stay within
/// 0.2 point and 0.05 standard deviations (computed, within the noise of 300 effective trials). A weight begins to tell, of
/// the shape of the gold, where a class weighs some milligrams.
fn seen(class: &ClassFound, extra: f64) -> Vec<(Part, Law)> {
    let part = |what: &str, dimension: Dimension, seen: f64| Part {
        words: format!("{what} {}", class.words),
        dimension,
        seen,
    };
    let count = |n: f64| (part("colours", Dimension::Number, n), Law::Count { extra });
    match (class.colours, class.kg) {
        (Some(n), None) => vec![count(n)],
        (Some(n), Some(kg)) => {
            let law = Law::OfCounted { colours: n, extra: GRAIN_OFF * GRAIN_OFF };
            vec![count(n), (part("their weight,", Dimension::Mass, kg), law)]
        }
        (None, kg) => vec![(part("raw gold", Dimension::Mass, kg.unwrap_or(0.0)), Law::Weight { extra })],
    }
}

/// What the bucket keeps of a stream, kg/s: silt and freed clay go off with the water.
fn settled_kg_s(stream: &Stream, from: From) -> f64 {
    match from {
        From::Tailings => sand_kg_s(&stream.rock_kg_s) + stream.lumps_kg_s(),
        From::Oversize => stream.rock_kg_s.iter().sum::<f64>() + stream.lumps_kg_s(),
    }
}

fn gold_of(stream: &Stream, class: usize, lumps_broken: bool) -> f64 {
    if lumps_broken { stream.gold_of_class(class) } else { stream.gold_kg_s.get(class).copied().unwrap_or(0.0) }
}

/// Share of the gold that the tool keeps, and what that is off by (logarithm).
fn panning(tool: WashedWith) -> (f64, f64) {
    let (low, middle, high) = tool.true_over_found();
    (1.0 / middle, 0.5 * ln(high / low) / Z_90)
}

fn tool(entry: &mut Entry<'_, '_>) -> Result<WashedWith, Told> {
    let Some(word) = entry.word(column::WASHED_WITH)? else { return Ok(WashedWith::Pan) };
    WashedWith::of(&word).ok_or_else(|| {
        let row = entry.rows_with(&[column::WASHED_WITH]).first().copied().unwrap_or(0);
        entry.error(
            Some((row, column::WASHED_WITH)),
            format!("`{word}` is not a known way of washing"),
            format!("one of: {}", WashedWith::WORDS.iter().map(|w| w.0).collect::<Vec<_>>().join(", ")),
        )
    })
}

fn broken(entry: &mut Entry<'_, '_>) -> Result<bool, Told> {
    match entry.word(column::LUMPS)?.as_deref() {
        None | Some("broken") => Ok(true),
        Some("left") => Ok(false),
        Some(other) => {
            let row = entry.rows_with(&[column::LUMPS]).first().copied().unwrap_or(0);
            Err(entry.error(
                Some((row, column::LUMPS)),
                format!("`{other}` is neither broken nor left"),
                "broken: clay lumps were rubbed to mud before panning; left: they were thrown out",
            ))
        }
    }
}

/// Volume of the sample, m3 of settled gravel.
fn volume_m3(entry: &mut Entry<'_, '_>) -> Result<f64, Told> {
    let (volume, pans, pan) =
        (entry.quantity(column::VOLUME)?, entry.number(column::PANS)?, entry.quantity(column::PAN_VOLUME)?);
    let bank = |q: Option<(f64, Option<Basis>)>| q.is_some_and(|q| q.1 == Some(Basis::Bank));
    if bank(volume) || bank(pan) {
        let column = if bank(volume) { column::VOLUME } else { column::PAN_VOLUME };
        let row = entry.rows_with(&[column]).first().copied().unwrap_or(0);
        return Err(entry.error(
            Some((row, column)),
            "tailings are not in the bank",
            "write loose: as it settles in the bucket",
        ));
    }
    match (volume, pans, pan) {
        (Some(_), Some(_), _) => Err(entry.error(None, "both a volume and pans are given", "give one of the two")),
        (Some(v), None, _) => Ok(v.0),
        (None, Some(n), Some(p)) => Ok(n * p.0),
        (None, Some(_), None) => Err(entry.error(
            None,
            "pans are counted, but what a pan holds is not said",
            "add pan_volume = \"5.5 L loose\": fill the pan with a measuring jug",
        )),
        (None, None, _) => Err(entry.error(
            None,
            "`volume` is missing: the settled gravel that was panned",
            "add e.g. volume = \"60 L loose\", or pans = 11 and pan_volume = \"5.5 L loose\"",
        )),
    }
}
