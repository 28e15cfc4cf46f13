//! One setting by its path: found, read, changed in the text, and built.

use std::path::PathBuf;

use sim_core::problem::Problems;
use washgraph_model::scenario::{Opened, build};
use washgraph_model::variant::{SettingPath, current, settables, with};

const DEMO: &str = include_str!("../../broken/sound.toml");

fn opened(text: &str) -> Opened {
    Opened { text: text.into(), folder: PathBuf::new() }
}

fn path(text: &str, opened: &Opened) -> SettingPath {
    SettingPath::find(text, opened, &washgraph_standard_stages::registry()).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn changed(opened: &Opened, changes: &[(&str, &str)]) -> Opened {
    let changes: Vec<_> = changes.iter().map(|(p, v)| (path(p, opened), v.to_string())).collect();
    with(opened, &changes).expect("changed")
}

/// Lines that differ, as (before, after).
fn difference<'a>(a: &'a str, b: &'a str) -> Vec<(&'a str, &'a str)> {
    a.lines().zip(b.lines()).filter(|(x, y)| x != y).collect()
}

#[test]
fn identity_only_the_changed_line_differs_and_its_comment_stays() {
    let sound = opened(DEMO);
    assert_eq!(with(&sound, &[]).expect("unchanged").text, DEMO);
    let other = changed(&sound, &[("drum.screen.hole", "5/8 in"), ("period", "20 h"), ("trials", "700")]);
    assert_eq!(
        difference(DEMO, &other.text),
        [
            ("trials = 5000", "trials = 700"),
            (
                "period = \"10 h\"               # gold is averaged over a day of running; coarse gold is lumpy over less",
                "period = \"20 h\"               # gold is averaged over a day of running; coarse gold is lumpy over less"
            ),
            ("hole = \"1/2 in\"", "hole = \"5/8 in\"")
        ]
    );
    assert_eq!(current(&other, &path("drum.screen.hole", &other)).as_deref(), Some("5/8 in"));
    assert_eq!(current(&other, &path("spray.holes", &other)).as_deref(), Some("50"));
    assert_eq!(current(&other, &path("drum.feed_opening", &other)), None);
}

#[test]
fn identity_a_spread_moves_along_or_is_replaced() {
    let sound = opened(DEMO);
    let rate = |text: &str| {
        let other = changed(&sound, &[("hopper.rate", text)]);
        let list = settables(&other, &washgraph_standard_stages::registry()).expect("listed");
        let found = list.into_iter().find(|s| s.path == "hopper.rate").expect("rate");
        (found.given.unwrap_or_default(), found.spread)
    };
    // 27 / 30 / 33 at 40.
    let (mid, spread) = rate("40 yd3/h loose");
    assert_eq!(mid, "40 yd3/h loose");
    assert_eq!(spread, Some(["36 yd3/h loose", "40 yd3/h loose", "44 yd3/h loose"].map(String::from)));
    let (_, replaced) = rate("{ low = \"1 yd3/h\", mid = \"2 yd3/h\", high = \"9 yd3/h\" }");
    assert_eq!(replaced, Some(["1 yd3/h", "2 yd3/h", "9 yd3/h"].map(String::from)));
    let one_end = changed(&sound, &[("hopper.rate.low", "20 yd3/h loose")]);
    assert_eq!(difference(DEMO, &one_end.text).len(), 1);
    assert_eq!(current(&one_end, &path("hopper.rate.low", &one_end)).as_deref(), Some("20 yd3/h loose"));
    // Water between freezing and 12 degrees keeps its width in degrees.
    let warm = changed(&sound, &[("ground.water_temperature", "12 C")]);
    assert_eq!(current(&warm, &path("ground.water_temperature.high", &warm)).as_deref(), Some("16 °C"));
}

#[test]
fn property_a_setting_that_is_absent_is_added_and_understood() {
    let sound = opened(DEMO);
    let other = changed(
        &sound,
        &[("drum.scrubber.exit_ring", "4 in"), ("drum.repose", "35 deg"), ("sluice.runs", "2"), ("seed", "9")],
    );
    let mut problems = Problems::default();
    let plant = build(&other, &washgraph_standard_stages::registry(), &mut problems).expect("builds");
    assert_eq!(plant.seed, 9);
    let rows: Vec<_> = plant.understood.iter().filter(|u| u.owner == "drum.scrubber").flat_map(|u| &u.rows).collect();
    assert!(rows.iter().any(|r| r.key == "exit_ring" && r.value.contains("4 in") && r.given));
    // Every settable path of the list is found by its own name, and most have a value.
    let list = settables(&other, &washgraph_standard_stages::registry()).expect("listed");
    for s in &list {
        let found = SettingPath::among(&s.path, &list).unwrap_or_else(|e| panic!("{}: {e}", s.path));
        assert_eq!(current(&other, &found), s.given);
        assert!(s.spread.is_none() || s.given.is_some());
    }
    let bad = changed(&sound, &[("drum.screen.hole", "5 psi")]);
    let mut problems = Problems::default();
    assert!(build(&bad, &washgraph_standard_stages::registry(), &mut problems).is_none());
    assert!(problems.in_order().iter().any(|p| p.message.contains("pressure")), "{problems:?}");
}

#[test]
fn property_a_path_that_leads_nowhere_says_what_was_meant() {
    let sound = opened(DEMO);
    let help = |text: &str| match SettingPath::find(text, &sound, &washgraph_standard_stages::registry()) {
        Err(error) => format!("{error}: {}", error.help),
        Ok(found) => panic!("{text} was found as {}", found.text()),
    };
    for (typed, meant) in [
        ("drum.slop", "did you mean `drum.slope`"),
        ("drumm.slope", "did you mean `drum.slope`"),
        ("drum.hole", "it has:"),
        ("hole", "drum.screen.hole"),
        ("trails", "did you mean `trials`"),
        ("spray.presure", "did you mean `spray.pressure`"),
        ("drum.slope.low", "one known value"),
        ("sluice.clay_thickening.low", "no spread"),
        ("ground.gradation.passing", "has no setting"),
        ("", "drum.slope"),
    ] {
        assert!(help(typed).contains(meant), "{typed}: {}", help(typed));
    }
    let list = opened("stage = 3");
    assert!(SettingPath::find("drum.slope", &list, &washgraph_standard_stages::registry()).is_err());
    let broken = opened("title = \"x");
    let error = SettingPath::find("drum.slope", &broken, &washgraph_standard_stages::registry()).unwrap_err();
    assert!(error.message.contains("cannot be read"), "{error}");
}

const COSTS: &str = "\n[money]\ngold_price = \"$ 2600/ozt\"\nlabour = \"$ 0/h\"\ndays = 90\nhours_per_day = \"10 h\"\navailability = \"75 %\"\n\
[[money.cost]]\nname = \"Fuel truck\"\nbasis = \"per season\"\namount = \"$ 6000\"   # hired\n\
[[money.cost]]\nname = \"wear, No. 2\"\nbasis = \"per loose volume\"\namount = \"$ 0.60/yd3 loose\"\n";

#[test]
fn identity_a_table_in_a_list_is_found_by_its_name_or_its_number() {
    let money = opened(&format!("{DEMO}{COSTS}"));
    for typed in ["money.cost.fuel-truck.amount", "money.cost[1].amount", "money.cost.Fuel truck.amount"] {
        let found = path(typed, &money);
        assert_eq!(found.text(), "money.cost.fuel-truck.amount", "{typed}");
        assert_eq!(current(&money, &found).as_deref(), Some("$ 6000"));
    }
    let other = changed(&money, &[("money.cost[2].amount", "$ 0.75/yd3 loose")]);
    assert_eq!(
        difference(&money.text, &other.text),
        [("amount = \"$ 0.60/yd3 loose\"", "amount = \"$ 0.75/yd3 loose\"")]
    );
    let registry = washgraph_standard_stages::registry();
    let wrong = |text: &str| SettingPath::find(text, &money, &registry).expect_err("a wrong path");
    assert!(
        wrong("money.cost[3].amount").help.contains("the list has 2, counted from 1"),
        "{}",
        wrong("money.cost[3].amount")
    );
    assert!(wrong("money.cost.fuel-truk.amount").help.contains("`money.cost.fuel-truck.amount`"));
    assert!(wrong("money.cost[1].amont").message.contains("amont"));
}
