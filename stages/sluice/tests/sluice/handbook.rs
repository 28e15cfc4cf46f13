//! All checks pass; the calculators give the reference values as they stand.

use crate::cases::{SIZE_M, gold};
use washgraph_sluice::reference::{EXPANDED_METAL, PLANT_WIDE_CHECKS, SIMPLE_CHECKS, fate_of};

/// First outputs of a calculator with its defaults, but for the changed inputs; NaN where an input has no default.
fn evaluate(name: &str, change: &[(&str, f64)]) -> Vec<f64> {
    let formulas = washgraph_sluice::formulas();
    let Some(formula) = formulas.iter().find(|f| f.name == name) else {
        return vec![f64::NAN; 5];
    };
    let changed = |symbol: &str| change.iter().find(|(n, _)| *n == symbol).map(|(_, v)| *v);
    let inputs: Vec<f64> = formula.inputs.iter().map(|s| changed(s.name).or(s.default).unwrap_or(f64::NAN)).collect();
    (formula.evaluate)(&inputs)
}

#[test]
fn published_and_identity_checks_pass() {
    let mut failed = Vec::new();
    for check in washgraph_sluice::checks() {
        let value = (check.computed)();
        println!("{:45} {:24} {:>10.5} {:>10.5}", check.id, check.kind.word(), check.published, value);
        if !check.passes(value) {
            failed.push(format!("{}: {} against {}", check.id, value, check.published));
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
}

#[test]
fn identity_names_are_unique_and_entries_answer_their_defaults() {
    let formulas = washgraph_sluice::formulas();
    for (i, f) in formulas.iter().enumerate() {
        assert!(formulas.iter().skip(i + 1).all(|o| o.name != f.name), "{}", f.name);
        let inputs: Vec<f64> = f.inputs.iter().map(|s| s.default.unwrap_or(1.0e5)).collect();
        for (symbol, value) in f.inputs.iter().zip(&inputs) {
            assert!(symbol.range.0 <= *value && *value <= symbol.range.1, "{} {}", f.name, symbol.name);
        }
        let values = (f.evaluate)(&inputs);
        assert_eq!(values.len(), f.outputs.len(), "{}", f.name);
        assert!(values.iter().all(|v| v.is_finite()), "{} {values:?}", f.name);
        assert_eq!((f.evaluate)(&[]).len(), f.outputs.len(), "{}", f.name);
    }
    let checks = washgraph_sluice::checks();
    for (i, c) in checks.iter().enumerate() {
        assert!(checks.iter().skip(i + 1).all(|o| o.id != c.id), "{}", c.id);
    }
}

#[test]
fn pinned_calculators_give_the_reference_recoveries() {
    assert!((evaluate("sluice-recovery", &[])[0] - 0.9324).abs() < 5e-4);
    assert!((evaluate("sluice-recovery-simple-form", &[])[0] - 0.9355).abs() < 5e-4);
    let hundred = evaluate("sluice-recovery-simple-form", &[("gold_size", 100e-6)]);
    for (value, expected) in hundred.iter().zip([0.5890, 0.1972, 0.0520, 0.1219, 0.04]) {
        assert!((value - expected).abs() < 5e-4, "{hundred:?}");
    }
    let thick = evaluate("sluice-recovery-simple-form", &[("solids_by_volume", 0.15)]);
    for (value, expected) in thick.iter().zip([0.7572, 0.0087, 0.1192, 0.0749, 0.04]) {
        assert!((value - expected).abs() < 5e-4, "{thick:?}");
    }
    // Guards cost little in the reference case and much when the box is starved.
    assert!((evaluate("sluice-recovery", &[("guards", 1.0)])[0] - 0.93).abs() < 0.01);
    assert!(evaluate("sluice-recovery", &[("guards", 1.0), ("flow_per_width", 0.004)])[0] < 0.2);
}

#[test]
fn identity_calculator_and_kernel_agree() {
    let (fate, _) = fate_of(&EXPANDED_METAL, &PLANT_WIDE_CHECKS, gold(SIZE_M));
    assert_eq!(evaluate("sluice-recovery", &[])[0], fate.caught);
    assert_ne!(SIMPLE_CHECKS.contact, PLANT_WIDE_CHECKS.contact);
}
