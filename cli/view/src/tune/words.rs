//! The screen of `tune`: what was seen against what was expected, what moved, what it changes.

use std::fmt::Write as _;

use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stats::summary::Summary;
use washgraph_model::result::RunResult;
use washgraph_model::tune::observe::all;
use washgraph_model::tune::{Expectation, Move, Observed, Part, Tuning};
use washgraph_model::tuned::constants::{Constant, GOLD};

use super::Tuned;
use crate::terminal::wrapped;
use crate::words::{money, percent};

/// Constants named on the screen.
const MOST_CONSTANTS: usize = 6;
/// A constant is named when what was learned of it is more than so many times what chance alone would seem to teach.
const OVER_CHANCE: f64 = 6.0;
/// Observations named as what to do next.
const NEXT: usize = 3;
/// Width of the words of a number.
const WORDS: usize = 32;
/// Width of the screen that all lines fit.
const WIDTH: usize = 80;

/// The screen.
pub fn screen(t: &Tuned<'_>) -> String {
    let mut s = format!("{}\n", t.base.plant.title);
    if t.tuning.observations.is_empty() {
        let _ = writeln!(s, "The log {} holds no observations: nothing is changed.", t.log_name);
        let _ = writeln!(s, "{}", t.named.as_ref().map_or(String::new(), |_| how_to_use(t)));
        return s;
    }
    s += &head(t);
    s += "\nWhat was seen, and what was expected of it (8 in 10 lie within):\n";
    let _ = writeln!(s, "   {:WORDS$} {:>6}  {:14} {:14}", "", "seen", "before tuning", "after it");
    s.truncate(s.trim_end().len());
    s.push('\n');
    for observed in &t.tuning.observations {
        s += &observation(t, observed);
    }
    s += &conflicts(t);
    s += &constants(t);
    s += &answers(t);
    s += &next(t);
    let _ = writeln!(s, "\n{}", how_to_use(t));
    s += &cautions(t);
    s
}

fn head(t: &Tuned<'_>) -> String {
    let file = t.tuning.file(&t.base.plant, &t.log_name);
    let count = t.tuning.observations.len();
    let trials: usize = t.tuning.rounds.iter().map(|r| r.trials).sum();
    let mut s = format!(
        "Tuned on {} of {}, {} to {}.\n",
        if count == 1 { "1 observation".into() } else { format!("{count} observations") },
        t.log_name,
        file.first,
        file.last
    );
    let again = t.tuning.rounds.len() - 1;
    let redrawn = match again {
        0 => String::new(),
        1 => ", drawn anew once where the log points".into(),
        n => format!(", drawn anew {n} times where the log points"),
    };
    let weighed = format!(
        "{trials} sets of constants weighed{redrawn}: worth {:.0} independent ones.",
        t.tuning.effective_trials
    );
    s += &wrapped(&weighed, WIDTH, "", "");
    if !t.tuning.stands() {
        let _ = writeln!(
            s,
            "CAUTION: {:.0} are asked for. The log points where hardly any trial goes; take the\n\
             spreads below with care, and look first at what does not fit. More trials: --trials {}.",
            t.tuning.options.least_effective,
            4 * t.tuning.options.trials
        );
    }
    s
}

fn observation(t: &Tuned<'_>, o: &Observed) -> String {
    let flag = if o.disagrees() {
        "   <- does not fit the rest"
    } else if o.unheard_of() {
        "   <- the scenario hardly allows it"
    } else {
        ""
    };
    let mut s = format!("  {}{flag}\n", o.name);
    for (i, part) in o.parts.iter().enumerate() {
        let of = |e: &Option<Expectation>| {
            let found = e.as_ref().and_then(|e| e.parts.get(i));
            // What is weighed, counted or measured is no less than nothing, whatever the error of reading it.
            [found.map(|x| x.low), found.map(|x| x.high)].map(|x| x.map(|x| value(t, part, x.max(0.0))))
        };
        let ([low, high], [after_low, after_high]) = (of(&o.before), of(&o.after));
        let list = [Some(value(t, part, part.seen)), low, high, after_low, after_high];
        let (numbers, unit) = unit_once(&list.map(|x| x.unwrap_or_else(|| "-".into())));
        let [seen, low, high, after_low, after_high] = numbers;
        let range = |low: String, high: String| if low == "-" { low } else { format!("{low} to {high}") };
        let (before, after) = (range(low, high), range(after_low, after_high));
        let line = format!("   {:WORDS$} {seen:>6}  {before:14} {after:14} {unit}", shortened(&part.words));
        let _ = writeln!(s, "{}", line.trim_end());
    }
    s
}

/// Values without their unit, and the unit, where all have the same; else the values as they are.
fn unit_once<const N: usize>(values: &[String; N]) -> ([String; N], String) {
    let split = |v: &String| v.split_once(' ').map(|(n, u)| (n.to_string(), u.to_string()));
    // Nothing is nothing in any unit.
    let bare = |v: &String| v == "-" || v.starts_with("0 ");
    let unit = values.iter().filter(|v| !bare(v)).find_map(split).map(|(_, unit)| unit);
    let Some(unit) = unit else { return (values.clone(), String::new()) };
    let same = |v: &String| bare(v) || split(v).is_some_and(|(_, u)| u == unit);
    if !values.iter().all(same) {
        return (values.clone(), String::new());
    }
    (values.clone().map(|v| split(&v).map_or(v.clone(), |(n, _)| n)), unit)
}

/// Words cut to the width of their column.
fn shortened(words: &str) -> String {
    if words.chars().count() <= WORDS {
        return words.to_string();
    }
    let kept: String = words.chars().take(WORDS - 2).collect();
    format!("{}..", kept.trim_end())
}

fn value(t: &Tuned<'_>, part: &Part, si: f64) -> String {
    match part.dimension {
        Dimension::Number => three_figures(si),
        d => show(si, d, t.base.plant.units),
    }
}

fn range(t: &Tuned<'_>, part: &Part, e: &Expectation, i: usize) -> String {
    e.parts.get(i).map_or("-".into(), |x| format!("{} to {}", value(t, part, x.low), value(t, part, x.high)))
}

/// A plain number with three figures; whole numbers as they are.
fn three_figures(x: f64) -> String {
    if x.fract() == 0.0 && x.abs() < 1e6 {
        return format!("{x:.0}");
    }
    let a = x.abs();
    match a {
        _ if a >= 100.0 => format!("{x:.0}"),
        _ if a >= 10.0 => format!("{x:.1}"),
        _ if a >= 1.0 => format!("{x:.2}"),
        _ if a >= 0.01 => format!("{x:.3}"),
        _ => format!("{x:.2e}"),
    }
}

/// A chance below one, as "1 in N".
pub fn one_in(chance: f64) -> String {
    if chance <= 0.0015 { "under 1 in 700".into() } else { format!("about 1 in {:.0}", 1.0 / chance) }
}

/// What does not fit, with its size; empty when all fits.
fn conflicts(t: &Tuned<'_>) -> String {
    let list = || t.tuning.observations.iter().enumerate();
    let odd: Vec<(usize, &Observed)> = list().filter(|(_, o)| o.disagrees() || o.unheard_of()).collect();
    if odd.is_empty() {
        return "\nNo observation contradicts the rest (each is held against all the others).\n".into();
    }
    let mut s = String::from("\nDoes not fit (kept in the tuning all the same; decide yourself):\n");
    for (number, o) in odd {
        s += &conflict(t, number, o);
    }
    s
}

fn conflict(t: &Tuned<'_>, number: usize, o: &Observed) -> String {
    let mut lines: Vec<String> = Vec::new();
    let against = |e: &Expectation, of: &str| {
        let i = e.farthest()?;
        let part = o.parts.get(i)?;
        let expected = range(t, part, e, i);
        let chance = one_in(e.chance);
        Some(format!(
            "{}: {}; {of} expects {expected}. Chance of such an observation: {chance}.",
            part.words,
            value(t, part, part.seen)
        ))
    };
    if let Some(rest) = o.from_the_rest.as_ref().filter(|_| o.disagrees()) {
        lines.extend(against(rest, "everything else together"));
    } else if let Some(before) = &o.before {
        lines.extend(against(before, "the scenario"));
    }
    if o.unheard_of() {
        lines.push(
            "The scenario alone hardly allows it: check reading, unit and settings of that day; then its spreads, or a thing on \
             the plant that the model does not know."
                .into(),
        );
    }
    for clash in t.tuning.clashes.iter().filter(|c| c.one == number).take(2) {
        if let Some(other) = t.tuning.observations.get(clash.other) {
            let chance = one_in(clash.expected.chance);
            lines.push(format!("It goes least with: {} ({chance} by that alone).", other.name));
        }
    }
    if let Some(rest) = o.from_the_rest.as_ref().filter(|_| o.disagrees() && o.judged_by_few()) {
        lines.push(format!("Judged by few trials ({:.0} effective): take it as a hint.", rest.effective_trials));
    }
    let told = lines.iter().map(|l| wrapped(l, WIDTH, "    ", "    ")).collect::<String>();
    format!("  {}\n{told}", o.name)
}

/// Constants of which more was learned than chance alone would seem to teach, most first.
pub fn moved(tuning: &Tuning) -> Vec<&Move> {
    let least = OVER_CHANCE / tuning.effective_trials.max(1.0);
    tuning.moves.iter().filter(|m| m.learned > least).take(MOST_CONSTANTS).collect()
}

fn constants(t: &Tuned<'_>) -> String {
    let list = moved(&t.tuning);
    if list.is_empty() {
        return "\nNo constant moved by more than chance would move it.\n".into();
    }
    let mut s = String::from("\nWhat moved most, middle (1 run in 10 below to 1 in 10 above):\n");
    for m in list {
        let [words, numbers] = constant_lines(t, m);
        s += &wrapped(&words, WIDTH, "  ", "    ");
        let _ = writeln!(s, "      {numbers}");
    }
    s
}

/// One constant before and after, in the user's units: what it is, and its numbers.
pub fn constant_lines(t: &Tuned<'_>, m: &Move) -> [String; 2] {
    let Some(constant) = t.tuning.constants.all().get(m.column) else { return Default::default() };
    let owner = constant.name.split_once('/').map_or("", |(owner, _)| owner);
    let [a, b, c] = m.before;
    let [d, e, f] = m.after;
    let values = [a, b, c, d, e, f].map(|x| constant_value(constant, x, t.base.plant.units));
    let ([low, middle, high, after_low, after_middle, after_high], unit) = unit_once(&values);
    let unit = if unit.is_empty() { unit } else { format!(" {unit}") };
    [
        format!("{owner}: {}", constant.meaning),
        format!("{after_middle} ({after_low} to {after_high}), was {middle} ({low} to {high}){unit}"),
    ]
}

/// A value of a constant in the user's units.
pub fn constant_value(constant: &Constant, si: f64, units: UnitChoice) -> String {
    let said = show(si, constant.dimension, units);
    if constant.name == GOLD { format!("{said} loose") } else { said }
}

/// Recovery, losses, holes, money: before and after.
fn answers(t: &Tuned<'_>) -> String {
    let (a, b) = (&t.before, &t.after);
    let mut s = format!("\n  {:36} {:20} {}\n", "", "before tuning", "after it");
    let mut row = |what: &str, x: &Summary, y: &Summary| {
        let three = |r: &Summary| {
            let [m, l, h] = [r.mean, r.pctl_10, r.pctl_90].map(|x| percent(x).trim_end_matches(" %").to_string());
            format!("{m} ({l} to {h})")
        };
        let _ = writeln!(s, "  {what:36} {:20} {} %", three(x), three(y));
    };
    row("gold caught, of what is fed", &a.outcome.gold.recovery, &b.outcome.gold.recovery);
    for loss in b.outcome.losses.iter().filter(|l| l.share_of_fed.mean >= 0.005).take(4) {
        let words = format!("lost, {}: {}", loss.stage, loss.words);
        let cut: String = words.chars().take(36).collect();
        let before = a.outcome.losses.iter().find(|l| l.stage == loss.stage && l.reason == loss.reason);
        row(&cut, before.map_or(&loss.share_of_fed, |l| &l.share_of_fed), &loss.share_of_fed);
    }
    if let (Some(x), Some(y)) = (a.best_hole(), b.best_hole()) {
        let of = |o: &washgraph_advice::next::outlook::Outlook, best: &str| {
            let chance = o.hole_chances().into_iter().find(|(n, _)| n == best).map_or(0.0, |(_, c)| c);
            format!("{best} (best in {} of runs)", percent(chance))
        };
        let _ = writeln!(
            s,
            "  best hole, only the plate changed:\n    {:34} {}\n    {:34} {}",
            "before tuning",
            of(a, x),
            "after it",
            of(b, y)
        );
    }
    let currency = washgraph_advice::plants::contest::currency(&t.base.plant);
    let net = |o: &RunResult| {
        let m = o.money.as_ref()?;
        let n = &m.net_per_season;
        let [low, mid, high] = [n.pctl_10, n.pctl_50, n.pctl_90].map(|x| money(x, currency));
        Some((format!("{mid} ({low} to {high})"), percent(m.chance_of_loss)))
    };
    if let (Some((x, p)), Some((y, q))) = (net(&a.outcome), net(&b.outcome)) {
        let _ = writeln!(
            s,
            "  a season leaves, before wage and plant:\n    {:34} {x}\n    {:34} {y}",
            "before tuning", "after it"
        );
        let _ = writeln!(s, "  {:36} {p:20} {q}", "chance that the season loses money");
    }
    s
}

/// What to observe next, the best first.
fn next(t: &Tuned<'_>) -> String {
    let currency = washgraph_advice::plants::contest::currency(&t.base.plant);
    let table = crate::next::table(&t.next, currency, NEXT);
    format!("\nWhat to observe next (sheet to print: washgraph next SCENARIO):\n{table}")
}

fn how_to_use(t: &Tuned<'_>) -> String {
    match &t.named {
        Some(path) => format!(
            "To use it, put this line above the first [table] of the scenario:\n  tuned = \"{path}\"\nrun, holes, water, losses, best, page then stand on it."
        ),
        None => "No tuned file was written: name a folder with --out.".into(),
    }
}

/// Cautions of the kinds of observation in the log, each once.
fn cautions(t: &Tuned<'_>) -> String {
    let known = all(t.base.registry);
    let mut list: Vec<&str> = Vec::new();
    let kinds = t.log.cases.iter().flat_map(|c| c.kinds.iter().copied());
    for kind in kinds {
        for caution in known.iter().filter(|k| k.name == kind).flat_map(|k| k.cautions.iter()) {
            if !list.contains(caution) {
                list.push(caution);
            }
        }
    }
    let mut s = String::from("Before you measure again (local rules and your own judgement come first):\n");
    for caution in list {
        s += &wrapped(caution, WIDTH, "  - ", "    ");
    }
    s
}
