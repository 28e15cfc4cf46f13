//! Every calculator of the handbook answers where its inputs stand in the middle of their ranges.

use sim_core::formula::{Formula, Symbol};

/// Sane values where the middle of the ranges is none: numbers that a series has, a pump whose curve falls, a drum that holds
/// its feed, fewer hits than trials, more scatter than chance.
const OWN: &[(&str, &[f64])] = &[
    ("mesh-us-opening", &[40.0]),
    ("us-sieve-opening", &[40.0]),
    ("mesh-tyler-opening", &[35.0]),
    ("tyler-sieve-opening", &[35.0]),
    ("drum-uniform-depth", &[0.9, 0.004, 0.3, 0.087]),
    ("pump-curve", &[30.0, 0.02, 26.0, 0.05, 14.0, 0.03]),
    ("clustering-from-scatter", &[5.0, 4.0]),
    ("share-interval", &[302.0, 1000.0]),
];

/// A sane value: the usual one, or one well inside the range.
fn middle(s: &Symbol) -> f64 {
    if let Some(usual) = s.default {
        return usual;
    }
    let (low, high) = s.range;
    match (low.is_finite(), high.is_finite()) {
        (true, true) if low > 0.0 => (low * high).sqrt(),
        (true, true) if low == 0.0 => (low + high) / 10.0,
        (true, true) => 0.5 * (low + high),
        (true, false) => (2.0 * low).max(1.0),
        (false, true) => (0.5 * high).min(1.0),
        (false, false) => 1.0,
    }
}

/// Inputs in the middle of their ranges; with a lean, each next input larger (or smaller) than the one before, for formulas
/// that want sizes in order.
fn inputs(f: &Formula, lean: f64) -> Vec<f64> {
    let own = OWN.iter().find(|o| o.0 == f.name).map_or(&[][..], |o| o.1);
    let leaning = |(i, s): (usize, &Symbol)| match own.get(i) {
        Some(x) => *x,
        None => (middle(s) * (1.0 + lean * i as f64)).clamp(s.range.0, s.range.1),
    };
    f.inputs.iter().enumerate().map(leaning).collect()
}

#[test]
fn property_every_calculator_answers_for_sane_inputs() {
    let registry = washgraph_standard_stages::registry();
    let mut silent = Vec::new();
    for f in washgraph_model::handbook::formulas(&registry) {
        let answers: Vec<Vec<f64>> = [0.0, 0.15, -0.08].iter().map(|l| (f.evaluate)(&inputs(f, *l))).collect();
        let says_when =
            ["no answer", "NaN", "no value"].iter().any(|w| f.limits.to_lowercase().contains(&w.to_lowercase()));
        for (k, output) in f.outputs.iter().enumerate() {
            let silent_at = |a: &Vec<f64>| a.get(k).is_none_or(|y| y.is_nan());
            // A formula that says when it has no answer must have one somewhere; any other has one in the middle.
            let fails = if says_when { answers.iter().all(silent_at) } else { answers.first().is_none_or(silent_at) };
            if fails {
                let x = inputs(f, 0.0);
                let given: Vec<String> = f.inputs.iter().zip(x).map(|(s, x)| format!("{} {x:.4e}", s.name)).collect();
                silent.push(format!("{}: no {} at {}", f.name, output.name, given.join(", ")));
            }
        }
    }
    assert!(silent.is_empty(), "{} outputs without an answer:\n{}", silent.len(), silent.join("\n"));
}
