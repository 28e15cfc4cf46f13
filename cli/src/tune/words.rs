//! The screen of `tune`: what was seen against what was expected, what moved, what it changes.

use std::fmt::Write as _;

use sim_core::quantity::{Dimension, show};
use sim_core::result::{Outcome, Summary};
use sim_core::tune::observe::ALL;
use sim_core::tune::{Expectation, Move, Observed, Part, Tuning};

use super::command::Tuned;
use crate::decide::base::Base;
use crate::decide::words::{money, percent};

/// Constants named on the screen.
const MOST_CONSTANTS: usize = 6;
/// A constant is named when what was learned of it is more than so many times what chance alone would seem to teach.
const OVER_CHANCE: f64 = 6.0;
/// Observations named as what to do next.
const NEXT: usize = 3;
/// Width of the words of a number.
const WORDS: usize = 34;

/// The screen.
pub(super) fn screen(t: &Tuned<'_>) -> String {
    let mut s = format!("{}\n", t.base.plant.title);
    if t.tuning.observations.is_empty() {
        let _ = writeln!(s, "The log {} holds no observations: nothing is changed.", t.log_name);
        let _ = writeln!(s, "{}", t.named.as_ref().map_or(String::new(), |_| how_to_use(t)));
        return s;
    }
    s += &head(t);
    s += "\nWhat was seen, and what was expected of it (8 in 10 lie within):\n";
    let _ = writeln!(s, "  {:WORDS$} {:>12}   {:24} with all that was seen", "", "seen", "before tuning");
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
    let _ = writeln!(
        s,
        "{trials} sets of constants weighed{redrawn}: worth {:.0} independent ones.",
        t.tuning.effective_trials
    );
    if !t.tuning.stands() {
        let _ = writeln!(
            s,
            "CAUTION: {:.0} are asked for. The log points where hardly any trial goes; take the spreads below with care,\n\
             and look first at what does not fit. More trials: --trials {}.",
            t.tuning.options.least_effective,
            4 * t.tuning.options.trials
        );
    }
    s
}

fn observation(t: &Tuned<'_>, o: &Observed) -> String {
    let flag = if o.disagrees() { "   <- does not fit the rest" } else { "" };
    let mut s = format!("  {}{flag}\n", o.name);
    for (i, part) in o.parts.iter().enumerate() {
        let of = |e: &Option<Expectation>| e.as_ref().map_or("-".into(), |e| range(t, part, e, i));
        let _ = writeln!(
            s,
            "    {:w$} {:>12}   {:24} {}",
            shortened(&part.words),
            value(t, part, part.seen),
            of(&o.before),
            of(&o.after),
            w = WORDS - 2
        );
    }
    s
}

/// Words cut to the width of their column.
fn shortened(words: &str) -> String {
    if words.chars().count() <= WORDS - 2 {
        return words.to_string();
    }
    let kept: String = words.chars().take(WORDS - 4).collect();
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
pub(super) fn one_in(chance: f64) -> String {
    if chance <= 0.0015 { "under 1 in 700".into() } else { format!("about 1 in {:.0}", 1.0 / chance) }
}

/// What does not fit, with its size; empty when all fits.
fn conflicts(t: &Tuned<'_>) -> String {
    let odd: Vec<(usize, &Observed)> =
        t.tuning.observations.iter().enumerate().filter(|(_, o)| o.disagrees()).collect();
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
    let Some(rest) = &o.from_the_rest else { return String::new() };
    let mut s = format!("  {}\n", o.name);
    if let Some((part, i)) = o.farthest().and_then(|i| o.parts.get(i).map(|p| (p, i))) {
        let _ = writeln!(
            s,
            "    {}: {}; everything else together expects {}. Chance of such an observation: {}.",
            part.words,
            value(t, part, part.seen),
            range(t, part, rest, i),
            one_in(rest.chance)
        );
    }
    if o.unheard_of() {
        s += "    The scenario alone hardly allows it: check reading, unit and settings of that day; then its spreads, or a\n    \
              thing on the plant that the model does not know.\n";
    }
    for clash in t.tuning.clashes.iter().filter(|c| c.one == number).take(2) {
        if let Some(other) = t.tuning.observations.get(clash.other) {
            let _ = writeln!(
                s,
                "    It goes least with: {} ({} by that alone).",
                other.name,
                one_in(clash.expected.chance)
            );
        }
    }
    if o.judged_by_few() {
        let _ = writeln!(s, "    Judged by few trials ({:.0} effective): take it as a hint.", rest.effective_trials);
    }
    s
}

/// Constants of which more was learned than chance alone would seem to teach, most first.
pub(super) fn moved(tuning: &Tuning) -> Vec<&Move> {
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
        let _ = writeln!(s, "  {}", constant_line(t, m));
    }
    s
}

/// One constant before and after, in the user's units.
pub(super) fn constant_line(t: &Tuned<'_>, m: &Move) -> String {
    let Some(constant) = t.tuning.constants.all().get(m.column) else { return String::new() };
    let owner = constant.name.split_once('/').map_or("", |(owner, _)| owner);
    let with = |v: [f64; 3]| {
        let [low, middle, high] = v.map(|x| constant_value(t.base, &constant.name, &constant.unit, x));
        format!("{middle} ({low} to {high})")
    };
    format!("{owner}, {}: {}, was {}", constant.meaning, with(m.after), with(m.before))
}

/// A value of a constant in the user's units.
pub(super) fn constant_value(base: &Base<'_>, name: &str, unit: &str, si: f64) -> String {
    if name == sim_core::tune::constants::GOLD {
        return format!("{} loose", show(si, Dimension::Grade, base.plant.units));
    }
    let path = name.replace('/', ".");
    let dimension = base.list.iter().find(|s| s.path == path).and_then(|s| s.setting.dimension());
    match (dimension, unit) {
        (Some(Dimension::Number) | None, "-") => three_figures(si),
        (Some(d), _) => show(si, d, base.plant.units),
        (None, unit) => format!("{} {unit}", three_figures(si)),
    }
}

/// Recovery, losses, holes, money: before and after.
fn answers(t: &Tuned<'_>) -> String {
    let (a, b) = (&t.before, &t.after);
    let mut s = format!("\n  {:38} {:28} {}\n", "", "before tuning", "after");
    let mut row = |what: &str, x: String, y: String| {
        let _ = writeln!(s, "  {what:38} {x:28} {y}");
    };
    let share = |r: &Summary| format!("{} ({} to {})", percent(r.mean), percent(r.pctl_10), percent(r.pctl_90));
    row("gold caught, of what is fed", share(&a.outcome.gold.recovery), share(&b.outcome.gold.recovery));
    for loss in b.outcome.losses.iter().filter(|l| l.share_of_fed.mean >= 0.005).take(4) {
        let words = format!("lost, {}: {}", loss.stage, loss.words);
        let before = a.outcome.losses.iter().find(|l| l.stage == loss.stage && l.reason == loss.reason);
        let cut: String = words.chars().take(38).collect();
        row(&cut, before.map_or("-".into(), |l| share(&l.share_of_fed)), share(&loss.share_of_fed));
    }
    if let (Some(x), Some(y)) = (a.best_hole(), b.best_hole()) {
        let of = |o: &super::outlook::Outlook, best: &str| {
            let chance = o.hole_chances().into_iter().find(|(n, _)| n == best).map_or(0.0, |(_, c)| c);
            format!("{best} (best in {} of runs)", percent(chance))
        };
        row("best hole, only the plate changed", of(a, x), of(b, y));
    }
    let currency = crate::decide::contest::currency(&t.base.plant);
    let net = |o: &Outcome| {
        let m = o.money.as_ref()?;
        let n = &m.net_per_season;
        let [low, mid, high] = [n.pctl_10, n.pctl_50, n.pctl_90].map(|x| money(x, currency));
        Some((format!("{mid} ({low} to {high})"), percent(m.chance_of_loss)))
    };
    if let (Some((x, p)), Some((y, q))) = (net(&a.outcome), net(&b.outcome)) {
        let _ = writeln!(
            s,
            "  a season leaves, before wage and plant:\n    {:36} {x}\n    {:36} {y}",
            "before tuning", "after"
        );
        let _ = writeln!(s, "  {:38} {p:28} {q}", "chance that the season loses money");
    }
    s
}

/// What to observe next, the best first.
fn next(t: &Tuned<'_>) -> String {
    let currency = crate::decide::contest::currency(&t.base.plant);
    let table = crate::next::text::table(&t.next, currency, NEXT);
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
    let mut list: Vec<&str> = Vec::new();
    let kinds = t.log.cases.iter().flat_map(|c| c.kinds.iter().copied());
    for kind in kinds {
        for caution in ALL.iter().filter(|k| k.name == kind).flat_map(|k| k.cautions) {
            if !list.contains(caution) {
                list.push(caution);
            }
        }
    }
    let mut s = String::from("Before you measure again (local rules and your own judgement come first):\n");
    for caution in list {
        let _ = writeln!(s, "  {caution}");
    }
    s
}
