//! `run --draws`: the table of trials is that of the run, whatever the number of threads, and takes no file of the owner's.

use std::fs;

use washgraph_tests::{repository_file, washgraph};

#[test]
fn identity_table_of_trials_has_the_same_bytes_at_any_thread_count_and_the_means_of_the_result() {
    let folder = tempfile::tempdir().expect("a folder");
    let scenario = repository_file("scenarios/juniper-creek.toml").to_string_lossy().into_owned();
    let run = |threads: usize, table: &str| {
        let call = ["run", &scenario, "--json", "--trials", "300", "--draws", table];
        let answer = washgraph(folder.path(), threads, &call);
        assert!(answer.code <= 1, "{}", answer.stderr);
        (answer.stdout, fs::read(folder.path().join(table)).expect("table"))
    };
    let (result, one) = run(1, "one.csv");
    let (_, two) = run(2, "two.csv");
    assert!(one == two, "one thread and two write another table");

    let mut table = csv::Reader::from_reader(one.as_slice());
    let heading: Vec<String> = table.headers().expect("heading").iter().map(String::from).collect();
    let rows: Vec<Vec<f64>> = table
        .records()
        .map(|row| row.expect("row").iter().map(|cell| cell.parse().expect("number")).collect())
        .collect();
    assert_eq!(rows.len(), 300);
    let column = |name: &str| {
        let place = heading.iter().position(|h| h == name).unwrap_or_else(|| panic!("no `{name}` in {heading:?}"));
        rows.iter().map(|row| row[place]).collect::<Vec<f64>>()
    };
    let mean = |list: &[f64]| list.iter().sum::<f64>() / list.len() as f64;
    let result: serde_json::Value = serde_json::from_str(&result).expect("JSON");
    let (fed, caught) = (column("gold fed (g/h)"), column("gold caught (g/h)"));
    let expected = result["gold"]["fed_g_per_h"]["mean"].as_f64().expect("mean");
    assert!((mean(&fed) / expected - 1.0).abs() < 1e-9, "{expected}");
    let recovery = result["gold"]["recovery"]["mean"].as_f64().expect("mean");
    assert!((mean(&caught) / mean(&fed) - recovery).abs() < 1e-9, "{recovery}");
    let net = result["money"]["net_per_season"]["mean"].as_f64().expect("money");
    assert!((mean(&column("net (season)")) / net - 1.0).abs() < 1e-9, "{net}");
    // Each uncertain input, drawn anew in each trial.
    let inputs = &heading[1..heading.iter().position(|h| h == "recovery").expect("recovery")];
    assert!(inputs.len() > 50 && inputs.iter().all(|name| column(name).windows(2).any(|w| w[0] != w[1])), "{inputs:?}");

    fs::write(folder.path().join("two.csv"), "my notes\n").expect("write");
    let refused = washgraph(folder.path(), 1, &["run", &scenario, "--json", "--trials", "10", "--draws", "two.csv"]);
    assert!(refused.code == 2 && refused.stderr.contains("two.csv"), "{}", refused.stderr);
    assert_eq!(fs::read(folder.path().join("two.csv")).expect("notes"), b"my notes\n");
}
