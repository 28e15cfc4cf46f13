//! Whether a kind says all that it must of itself: words for everything, ranges that hold their own defaults.

use toml::de::DeTable;

use super::lever::levers;
use super::{outlet, section, stage};
use crate::setting::{Kind, Preset, Reader, Setting, SpreadMeaning};
use crate::stage::{OutletKind, Port, SectionKind, StageKind};
use washgraph_stats::draw::InputList;
use washgraph_stats::{Spread, SpreadError};
use washgraph_units::problem::Problems;

/// Keys that the tables of all stages, sections and outlets have: a kind cannot take them for itself.
const KEYS_OF_EVERY_TABLE: [&str; 5] = ["id", "kind", "on", "from", "section"];
/// Shares of a usual spread below which its low and above which its high lies, as typed ones have them.
const ENDS: [f64; 3] = [0.1, 0.5, 0.9];

/// Adds what is wrong with a kind of stage.
pub(super) fn of_stage(kind: &'static StageKind, list: &mut Vec<String>) {
    let mut tell = |fault: String| list.push(format!("{} {fault}", stage(kind)));
    named(kind.name, kind.purpose, &mut tell);
    if kind.model.is_empty() {
        tell("has no model name".into());
    }
    for (what, ports) in [("inlet", kind.inlets), ("outlet", kind.outlets)] {
        ports_named(what, ports, &mut tell);
    }
    for (i, reason) in kind.reasons.iter().enumerate() {
        if reason.name.is_empty() || reason.words.is_empty() {
            tell(format!("has a reason `{}` without words", reason.name));
        }
        if kind.reasons.iter().take(i).any(|r| r.name == reason.name) {
            tell(format!("has two reasons `{}`", reason.name));
        }
    }
    settings(kind.settings, &mut tell);
    levers(kind.settings, kind.levers, &mut tell);
}

/// Adds what is wrong with a kind of section.
pub(super) fn of_section(kind: &'static SectionKind, list: &mut Vec<String>) {
    let mut tell = |fault: String| list.push(format!("{} {fault}", section(kind)));
    named(kind.name, kind.purpose, &mut tell);
    if kind.model.is_empty() {
        tell("has no model name".into());
    }
    settings(kind.settings, &mut tell);
    levers(kind.settings, kind.levers, &mut tell);
}

/// Adds what is wrong with a kind of water outlet.
pub(super) fn of_outlet(kind: &'static OutletKind, list: &mut Vec<String>) {
    let mut tell = |fault: String| list.push(format!("{} {fault}", outlet(kind)));
    named(kind.name, kind.purpose, &mut tell);
    settings(kind.settings, &mut tell);
    levers(kind.settings, kind.levers, &mut tell);
}

fn named(name: &str, purpose: &str, tell: &mut impl FnMut(String)) {
    // The name of a kind is the usual id of its table, which paths and wires are written with.
    if name.is_empty() || name.contains(['.', '/', '>', ' ']) {
        tell("has a name that cannot stand in a scenario: use letters, digits and dashes".into());
    }
    if purpose.is_empty() {
        tell("has no purpose: say in one line what it is for".into());
    }
}

fn ports_named(what: &str, ports: &[Port], tell: &mut impl FnMut(String)) {
    for (i, port) in ports.iter().enumerate() {
        if port.meaning.is_empty() {
            tell(format!("does not say what flows: {what} `{}` has no meaning", port.name));
        }
        if ports.iter().take(i).any(|p| p.name == port.name) {
            tell(format!("has two {what}s `{}`", port.name));
        }
    }
}

fn settings(all: &[Setting], tell: &mut impl FnMut(String)) {
    for (i, s) in all.iter().enumerate() {
        if s.meaning.is_empty() {
            tell(format!("does not explain a setting: `{}` has no meaning", s.key));
        }
        if all.iter().take(i).any(|other| other.key == s.key) {
            tell(format!("has two settings `{}`", s.key));
        }
        if KEYS_OF_EVERY_TABLE.contains(&s.key) {
            tell(format!("has a setting that is taken: `{}` is a key of every table", s.key));
        }
        let (low, high) = s.range;
        if !(low <= high) {
            tell(format!("has a setting that nothing fits: `{}` has no range from low to high", s.key));
        }
        if let Kind::Choice(words) | Kind::Words(words) = s.kind {
            for word in words.iter().filter(|w| w.1.is_empty()) {
                tell(format!("does not explain a word: word `{}` of `{}` has no meaning", word.0, s.key));
            }
        }
        match s.preset {
            Preset::Spread(make) => usual_spread(s, make(), tell),
            Preset::SpreadBy { key, make, .. } => match all.iter().take(i).find(|o| o.key == key).map(|o| o.kind) {
                Some(Kind::Choice(words)) => words.iter().for_each(|w| usual_spread(s, make(w.0), tell)),
                _ => tell(format!("has no words `{key}` before `{}`, whose usual spread goes by them", s.key)),
            },
            Preset::Text(_) => usual_value(s, tell),
            Preset::Required | Preset::Absent => {}
        }
        if matches!(s.preset, Preset::Spread(_) | Preset::SpreadBy { .. }) && s.source.is_empty() {
            tell(format!("does not say where a number comes from: the usual spread of `{}` has no source", s.key));
        }
    }
}

/// Reads the usual value as the program would where a scenario leaves the setting out.
fn usual_value(setting: &Setting, tell: &mut impl FnMut(String)) {
    for message in refused(setting) {
        tell(format!("has a usual value of `{}` that cannot be: {message}", setting.key));
    }
}

/// Why the usual value of a setting cannot be; empty when it can.
pub(super) fn refused(setting: &Setting) -> Vec<String> {
    let (mut inputs, mut problems) = (InputList::default(), Problems::default());
    let mut reader = Reader { inputs: &mut inputs, problems: &mut problems, meaning: SpreadMeaning::default() };
    reader.read(&DeTable::new(), 0..0, std::slice::from_ref(setting), "it");
    problems.in_order().into_iter().map(|p| p.message).collect()
}

fn usual_spread(setting: &Setting, made: Result<Spread, SpreadError>, tell: &mut impl FnMut(String)) {
    match made {
        Ok(spread) => {
            let (low, high) = setting.range;
            if ENDS.iter().map(|u| spread.quantile(*u)).any(|x| !(low..=high).contains(&x)) {
                tell(format!("contradicts itself: the usual spread of `{}` leaves its range", setting.key));
            }
        }
        Err(error) => tell(format!("has a usual spread that cannot be, of `{}`: {error}", setting.key)),
    }
}
