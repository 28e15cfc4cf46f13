//! The symptoms that the kinds declare, with their signs found among the readings.

use sim_core::stage::{Goes, Symptom};

use crate::diagnose::Sign;
use crate::diagnose::readings::Readings;

/// The signs of a symptom, each with what stands in for it where a plant lacks the reading: the first that it has counts.
pub fn signs_of(symptom: &Symptom, readings: &Readings) -> Vec<Vec<Sign>> {
    let found = |s: &sim_core::stage::Sign| -> Vec<Sign> {
        let sign = |name| Sign { reading: readings.at(name), goes: s.goes, counts: s.counts, slack: s.slack };
        s.readings().map(sign).collect()
    };
    symptom.signs.iter().map(found).collect()
}

/// A sign in words: how it is told.
pub fn sign_words(sign: &Sign, readings: &Readings) -> String {
    let Some(reading) = readings.get(sign.reading) else { return String::new() };
    let share = |x: f64| format!("{:.0} %", 100.0 * x);
    let by = match sign.goes {
        Goes::Up => format!("up by some {} of what it should be", share(sign.counts)),
        Goes::Down => format!("down by some {} of what it should be", share(sign.counts)),
        Goes::UpBy => format!("up by some {:.0} points", 100.0 * sign.counts),
        Goes::DownBy => format!("down by some {:.0} points", 100.0 * sign.counts),
        Goes::Above => format!("above some {}", share(sign.counts)),
        Goes::Below => format!("below some {}", share(sign.counts)),
    };
    format!("{}: {by}", reading.words)
}
