//! The order of warnings on every frontend.

use crate::numbers::page;
use crate::reader::{Run, scenario};

/// How much each listed warning matters, in the order of a page: 0 limit, 1 caution, 2 note.
fn listed(html: &str) -> Vec<usize> {
    let marks = ["Limit", "Caution", "Note"].map(|w| format!("<li><strong>{w}</strong>, "));
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (rank, mark) in marks.iter().enumerate() {
        found.extend(html.match_indices(mark.as_str()).map(|(at, _)| (at, rank)));
    }
    found.sort_unstable();
    found.into_iter().map(|(_, rank)| rank).collect()
}

#[test]
fn identity_limits_stand_before_cautions_and_cautions_before_notes() {
    let run = Run::of(&scenario("badger-gulch"), "500");
    let words = ["limit", "caution", "note"];
    let list = run.json["warnings"].as_array().unwrap();
    let rank = |w: &serde_json::Value| words.iter().position(|x| w["severity"] == *x).unwrap();
    let share = |w: &serde_json::Value| w["share_of_trials"].as_f64().unwrap();
    for pair in list.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        assert!(rank(a) < rank(b) || rank(a) == rank(b) && share(a) >= share(b), "{a} before {b}");
    }
    let ranks: Vec<usize> = list.iter().map(rank).collect();
    assert_eq!((ranks.first(), ranks.last()), (Some(&0), Some(&2)), "the bad plant has all kinds");
    assert_eq!(listed(&run.html), ranks, "report");
    // The screen names the first two of them.
    let said = run.screen.split_whitespace().collect::<Vec<_>>().join(" ");
    let at = |i: usize| {
        let text = list[i]["text"].as_str().unwrap();
        let first = text.split(". ").next().unwrap();
        said.find(first).unwrap_or_else(|| panic!("the screen does not say: {first}"))
    };
    assert!(at(0) < at(1) && ranks[1] == 0);
    let on_page = listed(&page("badger-gulch.toml"));
    assert!(on_page.first() == Some(&0) && on_page.is_sorted(), "page: {on_page:?}");
}
