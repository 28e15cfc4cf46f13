//! What the next sample is worth in money, end to end: nothing where the choice is clear, much where it stands on the fence,
//! and never more than to know the ground.

use std::fs;
use std::path::Path;

use serde_json::Value;
use washgraph_tests::{repository_file, washgraph};

const DEMO: &str = include_str!("../../../scenarios/juniper-creek.toml");
const PRICE: &str = "gold_price = { low = \"$ 2900/ozt\", mid = \"$ 3300/ozt\", high = \"$ 3700/ozt\" }";
const SEASON: &str = "amount = { low = \"$ 14000\", mid = \"$ 18000\", high = \"$ 25000\" }";

/// The demo with other lines, its sheets beside it.
fn scenario(folder: &Path, changes: &[(&str, &str)]) -> String {
    for sheet in ["juniper-creek-sieves.csv", "juniper-creek-stones.csv", "juniper-creek-pans.csv"] {
        fs::copy(repository_file(&format!("scenarios/{sheet}")), folder.join(sheet)).expect("a sheet");
    }
    let text = changes.iter().fold(DEMO.to_string(), |text, (old, new)| {
        assert!(text.contains(old), "the demo has no `{old}`");
        text.replace(old, new)
    });
    let path = folder.join("ground.toml");
    fs::write(&path, text).expect("a scenario");
    path.to_string_lossy().into_owned()
}

fn money(folder: &Path, changes: &[(&str, &str)], more: &[&str]) -> Value {
    let path = scenario(folder, changes);
    let mut call = vec!["samples", &path, "--trials", "600", "--json"];
    call.extend(more);
    let answer = washgraph(folder, 2, &call);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    let document: Value = serde_json::from_str(&answer.stdout).expect("JSON");
    assert!(document["break_even_mg_per_m3_bank"].as_f64().is_some_and(|x| x > 0.0));
    document["money"].clone()
}

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or(f64::NAN)
}

fn best(m: &Value) -> (String, f64) {
    let at = m["best_now"].as_u64().expect("a number") as usize;
    (m["decisions"][at]["name"].as_str().expect("a name").to_string(), number(&m["decisions"][at]["mean"]))
}

/// Worth of the plan of so many pans.
fn pans(m: &Value, n: u64) -> f64 {
    let plan = m["plans"].as_array().into_iter().flatten().find(|p| p["pans"] == n).expect("a plan");
    number(&plan["worth"])
}

fn never_more_than_to_know(m: &Value) {
    for plan in m["plans"].as_array().expect("plans") {
        let worth = plan["worth"].as_f64();
        assert!(worth.is_none_or(|w| w >= 0.0 && w <= number(&m["perfect"]) * (1.0 + 1e-12)), "{plan}");
    }
}

#[test]
fn property_a_sample_is_worth_nothing_on_clear_ground_and_much_on_the_fence() {
    let folder = tempfile::tempdir().expect("a folder");
    let as_it_is = money(folder.path(), &[], &[]);
    never_more_than_to_know(&as_it_is);
    let (_, now) = best(&as_it_is);
    assert!(number(&as_it_is["perfect"]) > 0.0);

    // Gold at twenty times its price: mined whatever the pans say, and any of the plates near the best will do.
    let dear = "gold_price = \"$ 66000/ozt\"";
    let clear = money(folder.path(), &[(PRICE, dear)], &[]);
    never_more_than_to_know(&clear);
    let (name, rich) = best(&clear);
    assert_ne!(name, "not to mine");
    assert!(pans(&clear, 10) < 0.001 * rich && number(&clear["perfect"]) < 0.02 * rich, "{clear}");

    // Gold at a tenth: never mined; no sample can change that, and then it is worth exactly nothing.
    let hopeless = money(folder.path(), &[(PRICE, "gold_price = \"$ 300/ozt\"")], &[]);
    assert_eq!(best(&hopeless), ("not to mine".to_string(), 0.0));
    assert_eq!((pans(&hopeless, 10), pans(&hopeless, 160)), (0.0, 0.0));

    // A season that costs so much more that mining and not mining are alike.
    let fence = format!("amount = \"$ {:.0}\"", 18_800.0 + now);
    let fence = money(folder.path(), &[(SEASON, &fence)], &["--pan-cost", "$ 15"]);
    never_more_than_to_know(&fence);
    let known = number(&fence["perfect"]);
    assert!(known > number(&as_it_is["perfect"]), "{known}");
    assert!(pans(&fence, 10) > 0.03 * known && pans(&fence, 160) > 0.25 * known, "{fence}");
    assert!(pans(&fence, 160) > pans(&fence, 10));
    let ten = fence["plans"].as_array().into_iter().flatten().find(|p| p["pans"] == 10).expect("a plan");
    assert_eq!(number(&ten["cost"]), 150.0);
    assert!((number(&ten["left"]) - (pans(&fence, 10) - 150.0)).abs() < 1e-9);
}

#[test]
fn property_the_answer_on_samples_is_told_in_words_with_its_tables() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = scenario(folder.path(), &[]);
    let answer = washgraph(folder.path(), 2, &["samples", &path, "--trials", "600", "--out", "s"]);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    for wanted in ["before steel is cut", "To know the gold of the ground exactly", "one standard error"] {
        assert!(answer.stdout.contains(wanted), "{}", answer.stdout);
    }
    for figure in ["sieve-tests", "gold-sizes", "spread-by-pans", "worth-by-pans"] {
        for ending in ["svg", "png", "csv"] {
            assert!(folder.path().join(format!("s/{figure}.{ending}")).exists(), "{figure}.{ending}");
        }
    }
    assert!(folder.path().join("s/samples.xlsx").exists() && folder.path().join("s/choices.csv").exists());
    let wrong = washgraph(folder.path(), 2, &["samples", &path, "--pan-cost", "CAD 15"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.stderr.contains("the money of this scenario is USD"), "{}", wrong.stderr);
    // A plant with a mistake: the ground is told of all the same.
    let broken = scenario(folder.path(), &[("hole = \"1/2 in\"", "hole = \"1/2 psi\"")]);
    let answer = washgraph(folder.path(), 2, &["samples", &broken]);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    assert!(answer.stderr.contains("left out") && answer.stdout.contains("Grade of the ground"));
}
