//! Owners with a known fault, and what they are told.

use std::path::Path;
use std::sync::atomic::AtomicU64;

use sim_core::stage::Symptom;
use washgraph_advice::diagnose::seen;

use crate::load::load_base;
use washgraph_advice::diagnose::causes::causes;
use washgraph_advice::diagnose::judge::{Runs, Terms, rank, signs_at_hand};

fn scenario(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(name)
}

/// What became of the owners of one plant.
#[derive(Debug, Default)]
struct Tally {
    /// Owners who see something, weighted by how often their fault happens.
    owners: f64,
    first: f64,
    first_two: f64,
    /// Owners whose fault would be among the first two if the likeliest faults were named blindly.
    blind: f64,
    /// Faults that nobody sees on this plant.
    unseen: Vec<&'static str>,
}

/// Owners on other trials than those that the judgement rests on, each with one fault; each names what he sees.
fn owners(name: &str) -> Tally {
    let registry = washgraph_standard_stages::registry();
    let base = load_base(&registry, &scenario(name)).unwrap();
    let done = AtomicU64::new(0);
    let symptoms = registry.symptoms();
    let known = Runs::new(&base, &Terms { seed: base.plant.seed, trials: 60, done: &done });
    let truths = Runs::new(&base, &Terms { seed: base.plant.seed + 77, trials: 4, done: &done });
    let sees = |symptom: &Symptom, off: &[f64], on: &[f64]| {
        let (signs, missing) = signs_at_hand(&[symptom], &known);
        missing.is_empty() && seen(&signs, off, on) > 0.5
    };
    let mut blind: Vec<(&str, f64)> = causes(&registry).iter().map(|c| (c.fault.name, c.fault.weight)).collect();
    blind.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut tally = Tally::default();
    for truth in &truths.ran {
        let cause = truth.cause();
        let mut anybody = false;
        for (off, on) in truth.rows().iter().flat_map(|grade| truths.off.iter().zip(grade)) {
            let named: Vec<&Symptom> =
                symptoms.iter().map(|s| s.thing).filter(|s| s.name != cause.itself && sees(s, off, on)).collect();
            if named.is_empty() {
                continue;
            }
            anybody = true;
            let (signs, _) = signs_at_hand(&named, &known);
            let told = rank(&known, &named, signs, &[]);
            let place = told.tried.iter().position(|t| t.candidate.cause.name == cause.name);
            tally.owners += cause.weight;
            tally.first += if place == Some(0) { cause.weight } else { 0.0 };
            tally.first_two += if place.is_some_and(|p| p < 2) { cause.weight } else { 0.0 };
            tally.blind += if blind.iter().take(2).any(|b| b.0 == cause.name) { cause.weight } else { 0.0 };
        }
        if !anybody {
            tally.unseen.push(cause.name);
        }
    }
    eprintln!(
        "{name}: first {:.2}, first two {:.2}, blind {:.2} of {:.0}; unseen {:?}",
        tally.first / tally.owners,
        tally.first_two / tally.owners,
        tally.blind / tally.owners,
        tally.owners,
        tally.unseen
    );
    tally
}

#[test]
fn property_the_fault_of_an_owner_is_among_the_first_two_causes_in_most_cases() {
    for name in ["tests/broken/sound.toml", "scenarios/juniper-creek.toml"] {
        let tally = owners(name);
        assert!(tally.owners > 50.0, "{name}: {tally:?}");
        assert!(tally.first > 0.4 * tally.owners, "{name}: {tally:?}");
        assert!(tally.first_two > 0.7 * tally.owners, "{name}: {tally:?}");
        assert!(tally.first_two > 2.0 * tally.blind, "{name}: {tally:?}");
    }
}
