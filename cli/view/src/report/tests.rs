use sim_core::plant::{Understood, UnderstoodRow};
use sim_core::quantity::UnitChoice;

use crate::figures::{all, example};
use crate::numbers as words;
use crate::report::{Backing, html};

fn backing(understood: Understood) -> Backing {
    Backing { understood: vec![understood], ..Backing::default() }
}

fn row(key: &'static str, meaning: &str, value: &str, given: bool) -> UnderstoodRow {
    UnderstoodRow { key, serves: None, meaning: meaning.into(), value: value.into(), given }
}

fn understood() -> Understood {
    Understood {
        owner: "drum".into(),
        kind: "drum".into(),
        rows: vec![
            row("hole", "hole size", "1/2 in (12.7 mm)", true),
            row("repose", "angle of repose of wet gravel", "about 37 degrees", false),
        ],
    }
}

#[test]
fn identity_report_says_what_the_result_says() {
    let outcome = example::outcome();
    let figures = all(&outcome, UnitChoice::Us).unwrap();
    let page = html(&outcome, &backing(understood()), &figures, UnitChoice::Us);
    assert!(page.len() < 2_000_000);
    assert!(page.contains(&words::percent(outcome.gold.recovery.mean)));
    for loss in &outcome.losses {
        assert!(
            page.contains(&words::capital(&loss.words)) && page.contains(&words::percent(loss.share_of_fed.mean)),
            "{}",
            loss.reason
        );
    }
    assert!(page.contains(&format!("{} g/h", words::three(outcome.gold.caught_g_per_h.mean))));
    assert!(page.contains(&outcome.provenance.scenario_sha256) && page.contains("assumed") && page.contains("given"));
    assert_eq!(page.matches("<svg ").count(), figures.len());
    assert!(!page.contains("P90") && !page.contains("P10") && !page.contains("http-equiv") && !page.contains("src="));
    if let Ok(folder) = std::env::var("WASHGRAPH_LOOK") {
        std::fs::write(format!("{folder}/report.html"), &page).unwrap();
    }
}

#[test]
fn property_hostile_words_are_escaped() {
    let mut outcome = example::outcome();
    let bad = "<script>alert(1)</script>\"'&";
    outcome.plant.title = bad.into();
    outcome.plant.question = bad.into();
    outcome.losses[0].stage = bad.into();
    outcome.losses[0].reason = bad.into();
    outcome.losses[0].words = bad.into();
    outcome.warnings[0].text = bad.into();
    outcome.profiles[0].stage = bad.into();
    let figures = all(&outcome, UnitChoice::Metric).unwrap();
    let mut settings =
        backing(Understood { owner: bad.into(), kind: bad.into(), rows: vec![row("bad", bad, bad, true)] });
    settings.samples.push(bad.into());
    settings.remedies = format!("{bad}\n  {bad}");
    let page = html(&outcome, &settings, &figures, UnitChoice::Metric);
    assert!(!page.contains("<script"));
}
