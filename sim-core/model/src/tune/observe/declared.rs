//! Observations that are readings of the kinds: one number, or a few taken at one time, each with the law that its kind declares.

use std::borrow::Cow;
use std::sync::Arc;

use super::kind::{ObservationKind, Read, SPECIAL, Seen};
use super::law::Law;
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::{COLUMNS, column, numbered};
use crate::tune::log::entry::Entry;
use sim_core::field::{Content, Told};
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::readout::Readout;
use sim_core::registry::Registry;
use sim_core::stage::{Declared, InLog, Owner, Reading, Sight};

/// One number of an observation: its column, and the readings that may stand there, by the kind of the place.
#[derive(Debug, Clone)]
pub struct Number {
    column: usize,
    readings: Vec<Declared<Reading>>,
}

/// The observations that the kinds of a program declare, in their order.
pub fn declared(registry: &Registry) -> Vec<ObservationKind> {
    let mut sights: Vec<(&'static Sight, Vec<Number>)> = Vec::new();
    let mut list = Vec::new();
    for reading in registry.readings() {
        match reading.thing.log {
            InLog::Alone if reading.thing.is_taken() => list.push(alone(reading)),
            InLog::In(sight, key) => {
                let Some(column) = numbered(key) else { continue };
                let at = sights.iter().position(|s| s.0.name == sight.name).unwrap_or_else(|| {
                    sights.push((sight, Vec::new()));
                    sights.len() - 1
                });
                let Some((_, numbers)) = sights.get_mut(at) else { continue };
                match numbers.iter_mut().find(|n| n.column == column) {
                    Some(number) => number.readings.push(reading),
                    None => numbers.push(Number { column, readings: vec![reading] }),
                }
            }
            InLog::Alone | InLog::By(_) | InLog::Never => {}
        }
    }
    let together = sights.into_iter().map(|(sight, numbers)| together(sight, numbers));
    together.chain(list).collect()
}

/// A reading by itself, under its own name.
fn alone(reading: Declared<Reading>) -> ObservationKind {
    let r = reading.thing;
    let number = Number { column: column::VALUE, readings: vec![reading] };
    let example = if r.example.is_empty() { usual_example(r.dimension) } else { r.example.to_string() };
    ObservationKind {
        name: r.name,
        words: r.words,
        tells: if r.tells.is_empty() { r.words } else { r.tells },
        once: Cow::Owned(vec![column::VALUE]),
        rows: Cow::Borrowed(&[]),
        steps: Cow::Owned(vec![r.how]),
        cautions: Cow::Borrowed(r.cautions),
        errors: Cow::Owned(errors_words(std::slice::from_ref(&number))),
        example: Cow::Owned(format!("what = \"{}\"\nvalue = \"{example}\"", r.name)),
        minutes: Some(r.minutes),
        bring: r.bring,
        sets_the_day: false,
        read: Read::Declared(vec![number]),
    }
}

/// Readings that are taken at one time.
fn together(sight: &'static Sight, numbers: Vec<Number>) -> ObservationKind {
    ObservationKind {
        name: sight.name,
        words: sight.words,
        tells: sight.tells,
        once: Cow::Owned(numbers.iter().map(|n| n.column).collect()),
        rows: Cow::Borrowed(&[]),
        steps: Cow::Borrowed(sight.steps),
        cautions: Cow::Borrowed(sight.cautions),
        errors: Cow::Owned(errors_words(&numbers)),
        example: Cow::Owned(format!("what = \"{}\"\n{}", sight.name, sight.example)),
        minutes: Some(sight.minutes),
        bring: sight.bring,
        sets_the_day: false,
        read: Read::Declared(numbers),
    }
}

/// Some number of a kind of quantity, to show how it is written.
fn usual_example(dimension: Dimension) -> String {
    show(if dimension == Dimension::Fraction { 0.1 } else { 1.0 }, dimension, UnitChoice::Us)
}

/// What the numbers may be off by, each said once.
fn errors_words(numbers: &[Number]) -> String {
    let mut all: Vec<String> = Vec::new();
    for reading in numbers.iter().flat_map(|n| &n.readings).map(|r| r.thing) {
        let (share, amount) = reading.error;
        let share = (share > 0.0).then(|| show(share, Dimension::Fraction, UnitChoice::Us));
        let amount = (amount > 0.0).then(|| show(amount, reading.dimension, UnitChoice::Us));
        let words: Vec<String> = amount.into_iter().chain(share).collect();
        let words = format!("{}; {}", words.join(" and "), reading.error_source);
        if !all.contains(&words) {
            all.push(words);
        }
    }
    all.join(", or ")
}

/// Reads an entry of such an observation.
pub fn read(entry: &mut Entry<'_, '_>, numbers: &[Number]) -> Result<Seen, Told> {
    let at = entry.at()?;
    let (mut parts, mut laws, mut readouts): (Vec<Part>, Vec<Law>, Vec<Readout>) = Default::default();
    let mut failed = false;
    for number in numbers {
        if entry.word(number.column)?.is_none() {
            continue;
        }
        match one(entry, at.as_deref(), number) {
            Ok((part, law, readout)) => {
                parts.push(part);
                laws.push(law);
                readouts.push(readout);
            }
            Err(Told) => failed = true,
        }
    }
    if failed {
        return Err(Told);
    }
    if parts.is_empty() {
        let keys = numbers.iter().filter_map(|n| COLUMNS.get(n.column)).map(|c| c.key).collect::<Vec<_>>();
        return Err(entry.error(None, "no number is given", format!("add {}, with its unit", keys.join(" or "))));
    }
    let shared = entry.shared(0.0)?;
    let predict: Predict = Arc::new(move |worker, out| out.extend(readouts.iter().map(|r| r.value(worker))));
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}

fn one(entry: &mut Entry<'_, '_>, at: Option<&str>, number: &Number) -> Result<(Part, Law, Readout), Told> {
    let found = places::reading(entry.plant, at, &number.readings);
    let (reading, place) = entry.placed(found)?;
    let thing = reading.thing;
    let (share, amount) = thing.error;
    let seen = entry.value(number.column, thing.dimension, amount > 0.0)?;
    let law = entry.reading(amount, share)?;
    let words = match reading.owner {
        Owner::Plant => thing.words.to_string(),
        _ => format!("{} ({place})", thing.words),
    };
    let part = Part { words, dimension: thing.dimension, seen };
    Ok((part, law, Readout::at(entry.plant, reading, &place)))
}

/// What is wrong with how the kinds of a program have their readings in the log, in words.
pub fn problems(registry: &Registry) -> Vec<String> {
    let special = |name: &str| SPECIAL.iter().any(|k| k.name == name);
    let mut list = Vec::new();
    let mut sights: Vec<&'static Sight> = Vec::new();
    for Declared { owner, thing } in registry.readings() {
        let mut tell = |fault: String| list.push(format!("{}: reading `{}` {fault}", owner.words(), thing.name));
        match thing.log {
            InLog::Alone if thing.is_taken() && special(thing.name) => {
                tell(
                    "has the name of an observation with a law of its own: rename it, or say that it is taken by that"
                        .into(),
                );
            }
            InLog::By(name) if !special(name) => tell(format!("is taken by `{name}`, which is no observation")),
            InLog::In(sight, key) => {
                let column = numbered(key).and_then(|c| COLUMNS.get(c));
                if !column.is_some_and(|c| c.content == Content::Quantity(thing.dimension)) {
                    tell(format!(
                        "stands in the column `{key}`, which the log has not for a {}",
                        thing.dimension.name()
                    ));
                }
                if special(sight.name) || sights.iter().any(|s| s.name == sight.name && *s != sight) {
                    tell(format!("is part of `{}`, the name of another observation", sight.name));
                }
                sights.push(sight);
            }
            InLog::Alone | InLog::By(_) | InLog::Never => {}
        }
    }
    list
}
