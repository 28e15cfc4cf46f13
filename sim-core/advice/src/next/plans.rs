//! The observations that could be made next on a plant: each kind as its example has it, and two pairs.

use std::sync::Arc;

use crate::next::Together;
use sim_core::plant::Plant;
use sim_core::problem::{Problems, Severity};
use sim_core::trial::Worker;
use washgraph_model::tune::Evidence;
use washgraph_model::tune::log::{LogFile, read};
use washgraph_model::tune::observe::{ObservationKind, all};

use super::effort::effort;
use crate::plants::base::Base;

/// One that could be made.
pub struct Plan {
    /// Name, as the observation's in the log.
    pub name: String,
    /// What it is.
    pub words: String,
    /// Kinds that it is made of.
    pub kinds: Vec<ObservationKind>,
    /// Minutes of work, and of them such that the plant stands. Assumed.
    pub minutes: (f64, f64),
    /// It, with numbers that do not matter.
    pub evidence: Box<dyn Evidence>,
}

/// Pairs that say more together. Name, words, kinds.
const PAIRS: [(&str, &str, &[&str]); 3] = [
    ("two tailings-pan", "two samples of the tailings, on one day", &["tailings-pan", "tailings-pan"]),
    ("tailings-pan and clean-up", "a sample of the tailings and a clean-up", &["tailings-pan", "clean-up"]),
    ("gauge and bucket-flow", "gauge and flow of a spray bar", &["gauge", "bucket-flow"]),
];

/// Every plan that this plant allows; of the others what prevents it.
pub fn plans(base: &Base<'_>, plant: &Arc<Plant>) -> (Vec<Plan>, Vec<(&'static str, String)>) {
    let (mut list, mut refused): (Vec<Plan>, Vec<(&'static str, String)>) = (Vec::new(), Vec::new());
    let known = all(base.registry);
    for kind in known.iter().filter(|k| !k.sets_the_day) {
        match example(base, plant, kind) {
            Ok(evidence) => {
                let e = effort(kind);
                list.push(Plan {
                    name: kind.name.to_string(),
                    words: kind.words.to_string(),
                    kinds: vec![kind.clone()],
                    minutes: (e.minutes, e.stopped),
                    evidence,
                });
            }
            Err(reason) => refused.push((kind.name, reason)),
        }
    }
    let mut worker = Worker::new(plant, plant.seed);
    for (name, words, parts) in PAIRS {
        let kinds: Vec<&ObservationKind> = parts.iter().filter_map(|p| known.iter().find(|k| k.name == *p)).collect();
        let evidence: Vec<Box<dyn Evidence>> = kinds.iter().filter_map(|k| example(base, plant, k).ok()).collect();
        if evidence.len() < parts.len() {
            continue;
        }
        let efforts = kinds.iter().map(|k| effort(k));
        let minutes = efforts.fold((0.0, 0.0), |sum, e| (sum.0 + e.minutes, sum.1 + e.stopped));
        let mut distinct: Vec<ObservationKind> = Vec::new();
        for kind in kinds {
            if !distinct.iter().any(|d| d.name == kind.name) {
                distinct.push(kind.clone());
            }
        }
        list.push(Plan {
            name: name.to_string(),
            words: words.to_string(),
            kinds: distinct,
            minutes,
            evidence: Box::new(Together::new(name, evidence, &mut worker)),
        });
    }
    (list, refused)
}

/// The example of a kind, read as an entry of a log of this plant. Its place is the first that fits.
fn example(base: &Base<'_>, plant: &Arc<Plant>, kind: &ObservationKind) -> Result<Box<dyn Evidence>, String> {
    let lines: Vec<&str> = kind.example.lines().filter(|l| !l.starts_with("at = ")).collect();
    let bare = lines.join("\n");
    let places = plant.outlets.iter().map(|o| o.id.as_str()).chain(plant.nodes.iter().map(|n| n.id.as_str()));
    let tries = std::iter::once(bare.clone()).chain(places.map(|id| format!("{bare}\nat = \"{id}\"")));
    let mut reason = String::new();
    for text in tries {
        match entry(base, plant, &text) {
            Ok(evidence) => return Ok(evidence),
            Err(error) if reason.is_empty() => reason = error,
            Err(_) => {}
        }
    }
    Err(reason)
}

fn entry(base: &Base<'_>, plant: &Arc<Plant>, entry: &str) -> Result<Box<dyn Evidence>, String> {
    let text = format!("[[seen]]\ndate = 2026-06-01\n{entry}\n");
    let file = LogFile::of_bytes("example.toml", text.into_bytes())?;
    let mut problems = Problems::default();
    let log = read(&file, &base.opened, base.registry, plant, &mut problems);
    let first = log.and_then(|l| l.cases.into_iter().next()).and_then(|c| c.evidence.into_iter().next());
    first.ok_or_else(|| {
        let errors = problems.in_order().into_iter().filter(|p| p.severity == Severity::Error);
        errors.map(|p| p.message.clone()).next().unwrap_or_else(|| "it says nothing of this plant".into())
    })
}
