use sim_core::quantity::UnitChoice;

use crate::figures::{all, example};

#[test]
fn property_figures_are_whole_pictures() {
    let outcome = example::outcome();
    for units in [UnitChoice::Us, UnitChoice::Imperial, UnitChoice::Metric] {
        let figures = all(&outcome, units).unwrap();
        let names: Vec<&str> = figures.iter().map(|f| f.name).collect();
        assert_eq!(
            names,
            [
                "gold-path",
                "recovery-by-size",
                "losses",
                "water",
                "bed-depth",
                "screen-fate",
                "scrub-time",
                "drum-power",
                "gradation",
                "season-money",
                "pond-days",
                "in-short"
            ]
        );
        for f in &figures {
            assert!(
                f.svg.starts_with("<svg") && f.svg.trim_end().ends_with("</svg>") && f.svg.matches("<text").count() > 5,
                "{}",
                f.name
            );
            assert!(f.png.starts_with(b"\x89PNG") && f.png.len() > 5_000, "{}", f.name);
            assert!(!f.alt.is_empty() && !f.table.rows.is_empty(), "{}", f.name);
            assert!(f.table.rows.iter().all(|r| r.len() == f.table.headers.len()), "{}", f.name);
        }
        if let Ok(folder) = std::env::var("WASHGRAPH_LOOK") {
            for f in &figures {
                std::fs::write(format!("{folder}/{}-{units:?}.png", f.name), &f.png).unwrap();
            }
        }
    }
}

#[test]
fn identity_numbers_in_the_table_are_those_of_the_result() {
    let outcome = example::outcome();
    let figures = all(&outcome, UnitChoice::Us).unwrap();
    let path = &figures[0].table;
    assert_eq!(path.rows.len(), outcome.losses.len() + 1);
    assert_eq!(path.rows.last().unwrap()[2], crate::numbers::percent(outcome.gold.recovery.mean));
    assert_eq!(
        figures[8].table.rows.last().unwrap()[2],
        format!("{:.1}", 100.0 * (1.0 - outcome.gradations[0].share[24]))
    );
}

#[test]
fn property_poor_results_are_drawn_or_left_out() {
    let mut outcome = example::outcome();
    outcome.profiles.clear();
    outcome.curves.clear();
    outcome.over_days.clear();
    outcome.gradations.clear();
    outcome.losses.clear();
    outcome.gold.recovery_by_size.clear();
    outcome.water.need_m3_h.clear();
    outcome.money = None;
    assert_eq!(all(&outcome, UnitChoice::Metric).unwrap().len(), 2);
    outcome.gold.fed_g_per_h.mean = 0.0;
    assert!(all(&outcome, UnitChoice::Metric).unwrap().is_empty());
}

#[test]
fn property_one_loss_of_everything_is_drawn() {
    let mut outcome = example::outcome();
    outcome.losses.truncate(1);
    outcome.losses[0].share_of_fed.mean = 1.0;
    outcome.losses[0].stage = "a <very> long & hostile name of a stage".into();
    outcome.gold.recovery.mean = 0.0;
    let figures = all(&outcome, UnitChoice::Us).unwrap();
    assert!(!figures[0].svg.contains("<very>"));
}
