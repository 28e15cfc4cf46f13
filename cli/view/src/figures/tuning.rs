//! The figures of a tuning: constants, observations, recovery, each before and after.

use sim_core::quantity::{UnitChoice, show};
use washgraph_model::result::RunResult;
use washgraph_model::tune::{Expected, Observed, Tuning};
use washgraph_model::tuned::constants::Constant;

use crate::figures::before_after::{BeforeAfter, Row, before_after};
use crate::figures::recovery_before_after::recovery_before_after;
use crate::figures::{Figure, FigureError};

/// Constants drawn.
const CONSTANTS: usize = 8;
/// Numbers of observations drawn.
const NUMBERS: usize = 14;
/// A constant of which less was learned than this (nat) has not moved.
const LEARNED: f64 = 0.02;

/// A value of a constant as the user reads it, from its name, SI unit and value.
pub type InWords<'a> = dyn Fn(&Constant, f64) -> String + 'a;

/// All that a tuning has numbers for. `before` and `after` are runs of the plant with the constants before and after.
pub fn figures(
    tuning: &Tuning,
    before: &RunResult,
    after: &RunResult,
    units: UnitChoice,
    in_words: &InWords<'_>,
) -> Result<Vec<Figure>, FigureError> {
    let mut list = Vec::new();
    if let Some(figure) = constants(tuning, in_words) {
        list.push(before_after(&figure)?);
    }
    if let Some(figure) = observations(&tuning.observations, units) {
        list.push(before_after(&figure)?);
    }
    list.extend(recovery_before_after(&before.gold.recovery_by_size, &after.gold.recovery_by_size)?);
    Ok(list)
}

/// Constants that moved, most first.
fn constants(tuning: &Tuning, in_words: &InWords<'_>) -> Option<BeforeAfter> {
    let all = tuning.constants.all();
    let moved = tuning.moves.iter().filter(|m| m.learned >= LEARNED);
    let rows: Vec<Row> = moved
        .filter_map(|m| {
            let constant = all.get(m.column)?;
            let words = |v: [f64; 3]| v.map(|x| in_words(constant, x));
            Some(Row {
                name: format!("{} ({})", constant.meaning, constant.name),
                before: m.before,
                after: m.after,
                seen: None,
                words: (words(m.before), words(m.after), None),
            })
        })
        .collect();
    let first = tuning.moves.first().and_then(|m| Some((m, all.get(m.column)?)))?;
    let title = match rows.len() {
        0 => return None,
        _ => format!(
            "The plant's own results say most of: {} ({}, {})",
            first.1.meaning,
            if first.0.shift.abs() < 0.25 {
                "as thought"
            } else if first.0.after[1] > first.0.before[1] {
                "higher than thought"
            } else {
                "lower than thought"
            },
            narrowed(first.0.narrowing)
        ),
    };
    Some(BeforeAfter {
        file: "constants-before-after",
        title,
        key: vec![
            "as the scenario has it: 8 runs in 10 lie within, a stroke in the middle".into(),
            "with the plant's own results".into(),
        ],
        drawn: CONSTANTS.min(rows.len()),
        rows,
    })
}

fn narrowed(narrowing: f64) -> String {
    if narrowing < 0.95 { format!("band {:.0} % narrower", 100.0 * (1.0 - narrowing)) } else { "band as wide".into() }
}

/// Seen against expected, those farthest off first.
fn observations(list: &[Observed], units: UnitChoice) -> Option<BeforeAfter> {
    let band = |e: Option<&Expected>| e.map_or([f64::NAN; 3], |e| [e.low, e.middle, e.high].map(|x| x.max(0.0)));
    let mut rows: Vec<(f64, Row)> = Vec::new();
    let mut outside = 0;
    for o in list {
        for (i, part) in o.parts.iter().enumerate() {
            let of = |e: &Option<washgraph_model::tune::Expectation>| band(e.as_ref().and_then(|e| e.parts.get(i)));
            let score = o.before.as_ref().and_then(|e| e.parts.get(i)).map_or(f64::INFINITY, |e| e.score.abs());
            let (before, after) = (of(&o.before), of(&o.after));
            outside += usize::from(part.seen < before[0] || part.seen > before[2]);
            let words = |v: [f64; 3]| v.map(|x| show(x, part.dimension, units));
            let fits = if o.disagrees() { "DOES NOT FIT THE REST: " } else { "" };
            let row = Row {
                name: format!("{fits}{}: {}", o.name, part.words),
                before,
                after,
                seen: Some(part.seen),
                words: (words(before), words(after), Some(show(part.seen, part.dimension, units))),
            };
            rows.push((score, row));
        }
    }
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    let rows: Vec<Row> = rows.into_iter().map(|r| r.1).collect();
    if rows.is_empty() {
        return None;
    }
    let title = match (outside, rows.len()) {
        (0, n) => format!("All {n} numbers of the log lie where the model expected them"),
        (k, n) => format!("{k} of the {n} numbers of the log lie where the model expected only 2 runs in 10"),
    };
    Some(BeforeAfter {
        file: "seen-and-expected",
        title,
        key: vec![
            "expected before, with the errors of the observation: 8 owners in 10 would see a number within".into(),
            "expected with the plant's own results".into(),
            "seen".into(),
        ],
        drawn: NUMBERS.min(rows.len()),
        rows,
    })
}
