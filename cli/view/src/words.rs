//! Gaps, chances and calls in plain words.

use sim_core::stats::choice::{Call, Choice, TOLD_APART};
use sim_core::stats::interval::none_seen_upper;
use washgraph_model::paired::{DriverGroup, Gap};

pub use crate::numbers::{money, percent, points, signed};

/// Rows of cells as columns, two spaces before each: the first to the left, the others to the right.
pub fn in_columns(rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let wide = |c: usize| rows.iter().filter_map(|r| r.get(c)).map(|cell| cell.chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..count).map(wide).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for (c, (cell, width)) in row.iter().zip(&widths).enumerate() {
            line += "  ";
            line += &if c == 0 { format!("{cell:<width$}") } else { format!("{cell:>width$}") };
        }
        text += line.trim_end();
        text.push('\n');
    }
    text
}

/// A chance in words: never 0 or 100 %.
pub fn chance(share: f64, trials: usize) -> String {
    let least = none_seen_upper(trials as f64, 0.95);
    if share <= 0.0 {
        format!("under {}", percent(least.max(0.001)))
    } else if share >= 1.0 {
        format!("over {}", percent(1.0 - least.max(0.001)))
    } else {
        percent(share)
    }
}

/// The gap between two plants with its spread, in grams an hour or the like.
pub fn gap_line(gap: &Gap, unit: &str, trials: usize) -> String {
    format!(
        "{} {unit} ({} on average; 1 run in 10 falls below {}, 1 in 10 is above {}); better in {} of runs",
        signed(gap.comparison.mean_gap),
        percent_of(gap.comparison.mean_gap, gap.from),
        signed(gap.pctl_10),
        signed(gap.pctl_90),
        chance(gap.comparison.chance_a, trials)
    )
}

/// A gap in percent of where it started, with sign.
pub fn percent_of(gap: f64, from: f64) -> String {
    if from.abs() > 0.0 { format!("{:+.1} %", 100.0 * gap / from.abs()) } else { "no value".into() }
}

/// The call in one sentence, the designs named by the caller.
pub fn call(choice: &Choice, name: impl Fn(usize) -> String, trials: usize, of: &str) -> String {
    let best = name(choice.best);
    let others: Vec<String> = choice.as_good.iter().filter(|d| **d != choice.best).map(|d| name(*d)).collect();
    match choice.call {
        Call::Clear => match (choice.runner_up, &choice.lead) {
            (Some(second), Some(lead)) => format!(
                "{best} brings the most {of}; the runner-up {} brings {} less and is beaten in {} of runs.",
                name(second),
                percent_of(lead.mean_gap, choice.means[choice.best]).trim_start_matches('+'),
                chance(lead.chance_a, trials)
            ),
            _ => format!("{best} is the only one."),
        },
        Call::Same => format!(
            "{best} brings the most {of}, but {} within half a percent: take whichever is easier to build.",
            listed(&others, "comes", "come")
        ),
        Call::TooClose => format!(
            "Too close to call on this sampling: {best} brings the most {of} on average, but {} not beaten in {:.0} % of runs.",
            listed(&others, "is", "are"),
            100.0 * TOLD_APART
        ),
    }
}

/// Names in a sentence before a verb; more than three are counted.
fn listed(names: &[String], one: &str, many: &str) -> String {
    match names {
        [] => String::new(),
        [only] => format!("{only} {one}"),
        [a, b, c, rest @ ..] if !rest.is_empty() => format!("{a}, {b}, {c} and {} more {many}", rest.len()),
        [start @ .., last] => format!("{} and {last} {many}", start.join(", ")),
    }
}

/// How an input is measured.
pub fn how_to_narrow(name: &str, group: DriverGroup, meaning: &str) -> String {
    match (name, group) {
        ("ground/gold", _) => "pan more of the ground and count the colours by size".into(),
        ("ground/gradation", _) => "sieve a bigger sample; count the stones of the pit wall".into(),
        (_, DriverGroup::Ground) => format!("measure it on your ground: {meaning}"),
        (_, DriverGroup::Constants) => format!("weigh clean-ups and pan tailings of a known run: {meaning}"),
        (_, DriverGroup::Prices) => format!("ask for a binding figure: {meaning}"),
        (_, DriverGroup::Running) => format!("keep it steady: {meaning}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_never_a_bare_zero_chance() {
        assert_eq!(chance(0.0, 1000), "under 0.3 %");
        assert_eq!(chance(1.0, 1000), "over 99.7 %");
        assert_eq!(chance(0.5, 1000), "50 %");
    }
}
