//! The answer in words.

use std::fmt::Write as _;

use comfy_table::{ContentArrangement, Table};
use washgraph_advice::next::FEWEST;

use crate::terminal::wrapped;
use crate::words::{money, percent};
use washgraph_advice::next::weigh::{Next, Weighed};

/// Width where the terminal does not say.
const WIDTH: u16 = 80;
/// A worth below this share of the best counts as none.
const SMALL: f64 = 0.01;

/// A band that narrows by less than this is said to stay.
const TELLS: f64 = 0.97;
/// Money below which a worth is not spoken of.
const LEAST: f64 = 1.0;

/// What is said of one plan.
pub fn why(w: &Weighed, currency: &str) -> String {
    let f = &w.foreseen;
    if f.band_after > TELLS * f.band_now && !(f.changes > 0.0 && f.worth > 0.0) {
        return "It is expected to tell little of the recovery of this plant; it may still find what is wrong.".into();
    }
    let mut text = format!(
        "It is expected to narrow the band of recovery (8 runs of 10) from {:.1} to {:.1} points",
        100.0 * f.band_now,
        100.0 * f.band_after.min(f.band_now)
    );
    if f.worth >= LEAST {
        let _ = write!(text, ", and is worth about {} a season in better decisions", money(f.worth, currency));
    }
    text + "."
}

/// The whole text.
pub fn text(title: &str, next: &Next, currency: &str) -> String {
    let mut t = format!("{title}\n\nWhat to observe next on the running plant\n\n");
    let Some(first) = next.list.first() else {
        t += "This plant allows none of the observations that the model knows.\n";
        return t;
    };
    t += &table(next, currency, usize::MAX);
    let say = |text: &str| wrapped(text, usize::from(WIDTH), "", "");
    t.push('\n');
    t += &say(&format!("{}: {}.", first.plan.name, first.plan.words));
    t += &say(&why(first, currency));
    let tells: Vec<&str> = first.plan.kinds.iter().map(|k| k.tells).collect();
    t += &say(&format!("It tells {}.", tells.join("; ")));
    t += "\nCare:\n";
    for caution in first.plan.kinds.iter().flat_map(|k| k.cautions.iter()) {
        t += &wrapped(caution, usize::from(WIDTH), "  - ", "    ");
    }
    if !next.refused.is_empty() {
        t += "\nNot for this plant:\n";
        for (name, reason) in &next.refused {
            t += &wrapped(&format!("{name}: {reason}"), usize::from(WIDTH), "  - ", "    ");
        }
    }
    t.push('\n');
    t += &say(&format!(
        "From {} possible plants, each taken for true in turn, the observation drawn with its errors and all others \
         weighed by it. Minutes are assumed.",
        next.members
    ));
    if !next.decisions.is_empty() {
        t += &say(&format!("Decided between: {}.", next.decisions.join(", ")));
    }
    if first.foreseen.effective < FEWEST {
        let _ = writeln!(t, "So sharp an observation leaves few of them: take the figures for a rough guess.");
    }
    t
}

/// The plans, the first so many of them.
pub fn table(next: &Next, currency: &str, rows: usize) -> String {
    let mut table = Table::new();
    table.load_style(comfy_table::presets::NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    let width = table.width().unwrap_or(WIDTH).clamp(40, 120);
    table.set_width(width);
    let has_money = !next.decisions.is_empty();
    let mut head = vec!["", "Observation", "Minutes", "Band of recovery, points"];
    if has_money {
        head.extend(["Worth a season", "Changes the decision"]);
    }
    table.set_header(head);
    let most = next.list.iter().map(|w| w.foreseen.worth).fold(0.0, f64::max);
    for (i, w) in next.list.iter().take(rows).enumerate() {
        let f = &w.foreseen;
        let stands =
            if w.plan.minutes.1 > 0.0 { format!(" (plant stands {:.0})", w.plan.minutes.1) } else { String::new() };
        let mut row = vec![
            format!("{}.", i + 1),
            w.plan.name.clone(),
            format!("{:.0}{stands}", w.plan.minutes.0),
            format!("{:.1} -> {:.1}", 100.0 * f.band_now, 100.0 * f.band_after.min(f.band_now)),
        ];
        if has_money {
            let small = f.worth <= SMALL * most || f.changes <= 0.0;
            row.push(if small { "nothing".into() } else { money(f.worth, currency) });
            row.push(format!("{} of times", percent(f.changes)));
        }
        table.add_row(row);
    }
    let lines: Vec<String> = table.lines().map(|l| l.trim_end().to_string()).collect();
    lines.join("\n") + "\n"
}
