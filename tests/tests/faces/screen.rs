//! The verdict fits one screen and is plain when piped; the report needs nothing else and is small.

use crate::reader::{Run, scenario};

#[test]
fn property_the_verdict_is_one_plain_screen_and_the_report_stands_alone() {
    for name in ["juniper-creek", "badger-gulch"] {
        let run = Run::of(&scenario(name), "300");
        let lines: Vec<&str> = run.screen.lines().collect();
        assert!((24..=40).contains(&lines.len()), "{name}: {} lines\n{}", lines.len(), run.screen);
        assert!(lines.iter().all(|l| l.chars().count() <= 80), "{}", run.screen);
        assert!(!run.screen.contains('\u{1b}') && run.screen.chars().all(|c| c == '\n' || !c.is_control()));
        let at = |words: &str| run.screen.find(words).unwrap_or_else(|| panic!("{words}: {}", run.screen));
        let questions = ["Which hole size?", "How much water", "Why do fines leave", "Does it pay?"].map(at);
        assert!(questions.is_sorted(), "{questions:?}");
        let html = &run.html;
        assert!(html.len() < 2_000_000, "{}", html.len());
        for outside in ["src=", "<script", "<link", "@import", "url(", "http-equiv"] {
            assert!(!html.contains(outside), "{name}: {outside}");
        }
        // Every address in it leads to a place in itself.
        for link in html.split("href=\"").skip(1).filter_map(|l| l.split('"').next()) {
            assert!(link.starts_with('#') && html.contains(&format!("id=\"{}\"", &link[1..])), "{link}");
        }
    }
}
