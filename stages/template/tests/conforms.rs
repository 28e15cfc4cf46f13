//! The kind does all that every kind must, and the program says what it is.

use bar_screen_plant::BAR_SCREEN;

#[test]
fn property_the_bar_screen_does_what_every_kind_must() {
    let registry = washgraph_standard_stages::registry().stage(&BAR_SCREEN);
    let faults = washgraph_conformance::faults(&registry, include_str!("../scenario.toml"), &["bar-screen"]);
    assert_eq!(faults, Vec::<String>::new());
}

/// What the program prints.
fn said(args: &[&str]) -> String {
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_bar-screen-plant"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    format!("{}{}", String::from_utf8_lossy(&run.stdout), String::from_utf8_lossy(&run.stderr))
}

#[test]
fn identity_losses_tries_both_moves_of_the_bars() {
    let said = said(&["losses", "scenario.toml", "--json", "--trials", "20"]);
    for part in ["bars further apart: from 12 mm to 15 mm", "bars closer together: from 12 mm to 9.6 mm"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn identity_results_name_this_program() {
    let said = said(&["run", "scenario.toml", "--json", "--trials", "20"]);
    for part in
        ["\"tool\": \"bar-screen-plant\"", "\"version\": \"0.1.0\"", "bar screen 1 (assumed cut)", "over the bars"]
    {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn property_what_is_seen_at_the_bars_leads_to_what_is_wrong_with_them() {
    let said = said(&["diagnose", "scenario.toml", "much-over-bars", "--json", "--trials", "20"]);
    for part in ["\"name\": \"bars-bent\"", "push a gauge block", "\"reading\": \"bar-coarse\"", "grass and roots"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn property_what_is_read_at_the_bars_corrects_the_model_of_them() {
    let said = said(&["tune", "scenario.toml", "log.toml", "--json", "--trials", "200"]);
    for part in ["share of the solids that goes over the bars (bar-screen)", "bar-screen/sharpness"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}
