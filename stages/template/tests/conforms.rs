//! The kind does all that every kind must, and the program says what it is.

use bar_screen_plant::BAR_SCREEN;

#[test]
fn property_the_bar_screen_does_what_every_kind_must() {
    let registry = washgraph_standard_stages::registry().stage(&BAR_SCREEN);
    let faults = washgraph_conformance::faults(&registry, include_str!("../scenario.toml"), &["bar-screen"]);
    assert_eq!(faults, Vec::<String>::new());
}

#[test]
fn identity_results_name_this_program() {
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_bar-screen-plant"))
        .args(["run", "scenario.toml", "--json", "--trials", "20"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let said = String::from_utf8(run.stdout).unwrap();
    for part in
        ["\"tool\": \"bar-screen-plant\"", "\"version\": \"0.1.0\"", "bar screen 1 (assumed cut)", "over the bars"]
    {
        assert!(said.contains(part), "{part}: {said} {}", String::from_utf8_lossy(&run.stderr));
    }
}
