//! The causes: what the kinds say may go wrong with them, and what may be otherwise about the ground, each a change of the plant in
//! three grades that the model runs.

use sim_core::quantity::{Dimension, format, parse};
use sim_core::registry::Registry;
use sim_core::setting::Kind;
use sim_core::stage::{Fault, Grade, Knob, Start};
use washgraph_model::scenario::FAULTS_OF_TABLES;

use crate::plants::base::{Base, Change};
use crate::plants::range::scaled;

/// A fault and where it happens.
#[derive(Debug, Clone, Copy)]
pub struct Cause {
    /// The fault.
    pub fault: &'static Fault,
    home: Home,
}

/// The tables that a fault may happen in.
#[derive(Debug, Clone, Copy)]
enum Home {
    /// Every table of this kind.
    Kind(&'static str),
    /// The table of this name.
    Table(&'static str),
}

/// All causes that the model can express with these kinds.
pub fn causes(registry: &Registry) -> Vec<Cause> {
    let kinds = registry.faults().into_iter().map(|f| Cause { fault: f.thing, home: Home::Kind(f.owner.name()) });
    let of_table = |(name, faults): &(&'static str, &'static [Fault])| {
        let home = Home::Table(name);
        faults.iter().map(move |fault| Cause { fault, home })
    };
    kinds.chain(FAULTS_OF_TABLES.iter().flat_map(of_table)).collect()
}

/// One table of the plant with a cause, ready to be built: a list of changes for each grade.
#[derive(Debug)]
pub struct Candidate {
    /// The cause.
    pub cause: &'static Fault,
    /// Table that it is switched on in, when there are several of the kind.
    pub owner: Option<String>,
    /// Path of its (first) setting.
    pub path: String,
    /// Changes and words, slight to bad.
    pub grades: Vec<(Vec<Change>, String)>,
}

impl Candidate {
    /// What is wrong, and where when there are several such places.
    pub fn words(&self) -> String {
        match &self.owner {
            Some(owner) => format!("{} ({owner})", self.cause.words),
            None => self.cause.words.to_string(),
        }
    }
}

/// Every cause that this scenario has a place for.
pub fn candidates(base: &Base<'_>) -> Vec<Candidate> {
    let mut list = Vec::new();
    for cause in causes(base.registry) {
        let owners = match cause.home {
            Home::Kind(kind) => base.owners_of_kind(kind),
            Home::Table(name) => vec![name.to_string()],
        };
        for owner in &owners {
            let made = cause.fault.knobs.iter().map(|knob| turned(base, owner, knob)).find(|made| !made.is_empty());
            let Some(made) = made else { continue };
            let Some(path) = made.first().and_then(|c| c.first()).map(|(p, _)| p.text()) else { continue };
            let worded = |changes: Vec<Change>| {
                let words: Vec<String> = changes.iter().map(|(p, v)| format!("{} = {v}", p.text())).collect();
                (changes, words.join(", "))
            };
            list.push(Candidate {
                cause: cause.fault,
                owner: (owners.len() > 1).then(|| owner.clone()),
                path,
                grades: made.into_iter().map(worded).collect(),
            });
        }
    }
    list
}

/// The grades of a knob as changes of one table; empty where the scenario has no place for it.
pub fn turned(base: &Base<'_>, owner: &str, knob: &Knob) -> Vec<Vec<Change>> {
    let holds = |(key, word): (&str, &str)| base.in_force(&format!("{owner}.{key}")) == Some(word);
    if !knob.when.is_none_or(holds) {
        return Vec::new();
    }
    knob.grades.iter().filter_map(|grade| moved(base, owner, knob.key, *grade, knob.start)).collect()
}

/// The changes that move one setting of one table; `None` where it is not there to be moved, or would not move.
pub fn moved(base: &Base<'_>, owner: &str, key: &str, grade: Grade, start: Option<Start>) -> Option<Vec<Change>> {
    let text = format!("{owner}.{key}");
    let path = base.find(&text).ok()?;
    let now = base.in_force(&text);
    if let (Some(start), Grade::Times(factor)) = (start, grade) {
        let from = format!("{owner}.{}", start.of);
        match (base.in_force(&from), now) {
            (Some(_), Some(_)) => {}
            (Some(from_now), None) => {
                let value = scaled(from_now, path.setting(), factor)?;
                return Some(vec![(path, value)]);
            }
            // Where neither is given only their ratio counts: any two numbers of that ratio do.
            (None, _) => {
                let value = scaled(start.or, path.setting(), factor)?;
                return Some(vec![(path, value), (base.find(&from).ok()?, start.or.to_string())]);
            }
        }
    }
    let dimension = path.setting().dimension();
    let typed = |si: f64| {
        let dimension = dimension?;
        let unit = if dimension == Dimension::Length { "mm" } else { dimension.si_symbol() };
        format(si, dimension, unit)
    };
    let value = match grade {
        Grade::To(word) => word.to_string(),
        Grade::Times(f) => scaled(now?, path.setting(), f)?,
        Grade::Plus(more) => typed(parse(now?, dimension?).ok()?.si + more)?,
        // To a hundredth of a millimetre, where it is a length.
        Grade::ShareOf(share, of) => typed(1e-5 * (1e5 * share * base.si(&format!("{owner}.{of}"))).round())?,
        Grade::More(more) => match now {
            Some(list) if !list.is_empty() && list != "none" => format!("{list}, {more}"),
            _ => more.to_string(),
        },
    };
    // What is not there cannot be worn off; a whole number may not change at all.
    let same = now == Some(value.as_str())
        || (path.setting().kind != Kind::Switch && base.si(&text) == 0.0 && matches!(grade, Grade::Times(_)));
    (!same).then(|| vec![(path, value)])
}
