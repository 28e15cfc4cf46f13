//! What further samples are worth, in words.

use std::fmt::Write as _;

use sim_core::samples::money::{PlanWorth, SampleMoney, WALK_AWAY};
use sim_core::samples::summary::SamplesSummary;

use crate::numbers::{amount, capital, percent};

/// Share of the most that any number of pans brings from which on more pans bring little more. Our choice.
const NEARLY_ALL: f64 = 0.8;
/// An estimate below so many of its standard errors is not told from nothing.
const TOLD_FROM_NOTHING: f64 = 2.0;

/// Adds the part on money.
pub fn add(t: &mut String, s: &SamplesSummary) {
    let Some(m) = &s.money else {
        if s.gold_from == "samples" {
            let _ = writeln!(
                t,
                "\nWhat a further sample is worth in money can be said once the scenario has a plant and [money]."
            );
        }
        return;
    };
    let _ = writeln!(t, "\nWhat further samples are worth in money, before steel is cut\n");
    let _ = writeln!(t, "  {}", choice_now(m));
    let _ = writeln!(t, "  {}", perfect(m));
    table(t, m);
    let _ = writeln!(t);
    for line in conclusions(m) {
        let _ = writeln!(t, "  {line}");
    }
    let _ = writeln!(t, "  {}", how_counted(m));
}

/// An amount for a column; nothing at all is `0`.
fn cell(x: f64) -> String {
    if x == 0.0 { "0".into() } else { amount(x) }
}

fn currency(m: &SampleMoney, x: f64) -> String {
    let sign = if x < 0.0 { "-" } else { "" };
    format!("{sign}{} {}", m.currency, amount(x.abs()))
}

fn seasons(m: &SampleMoney) -> String {
    if m.seasons == 1.0 { "a season".into() } else { format!("in {:.0} seasons", m.seasons) }
}

fn choice_now(m: &SampleMoney) -> String {
    let plates: Vec<&str> = m.decisions.iter().map(|d| d.name.as_str()).filter(|n| *n != WALK_AWAY).collect();
    let among = match plates.as_slice() {
        [only] => format!("To choose: {only}, or {WALK_AWAY}."),
        [first, .., last] => format!(
            "To choose: one of {} plates with holes from {first} to {last}, the box re-set to suit, or {WALK_AWAY}.",
            plates.len()
        ),
        [] => String::new(),
    };
    let mined = m.decisions.iter().filter(|d| d.name != WALK_AWAY).max_by(|a, b| a.mean.total_cmp(&b.mean));
    let now = if m.best_name() == WALK_AWAY {
        let best = mined.map_or(String::new(), |d| {
            let word = if d.mean < 0.0 { "lose" } else { "bring" };
            format!(" (the best plate, {}, would {word} {} {})", d.name, currency(m, d.mean.abs()), seasons(m))
        });
        format!("With what is known now the best is not to mine{best}.")
    } else {
        format!(
            "With what is known now the best is {}: {} {} on average.",
            m.best_name(),
            currency(m, m.now()),
            seasons(m)
        )
    };
    format!("{among}\n  {now}")
}

fn perfect(m: &SampleMoney) -> String {
    if m.perfect == 0.0 {
        return "Even to know the gold of the ground exactly would change nothing.".into();
    }
    format!(
        "To know the gold of the ground exactly would be worth {} (give or take {}): no sample is worth more.",
        currency(m, m.perfect),
        amount(m.perfect_noise)
    )
}

fn table(t: &mut String, m: &SampleMoney) {
    let costs = m.plans.iter().any(|p| p.cost.is_some());
    let widest = m.plans.iter().map(|p| p.what.chars().count()).max().unwrap_or(0);
    let _ = write!(t, "\n  {:<widest$}{:>12}{:>14}{:>12}{:>16}", "", "worth", "give or take", "each", "changes choice");
    let _ = writeln!(t, "{}", if costs { format!("{:>12}{:>12}", "cost", "leaves") } else { String::new() });
    for p in &m.plans {
        let or = |x: Option<f64>| x.map_or("-".to_string(), cell);
        let _ = write!(t, "  {:<widest$}", capital(&p.what));
        match p.worth {
            Some(worth) => {
                let _ = write!(
                    t,
                    "{:>12}{:>14}{:>12}{:>16}",
                    cell(worth),
                    cell(p.noise),
                    or(p.worth_each.filter(|_| p.pans.is_some())),
                    how_often(p)
                );
            }
            None => {
                let _ = write!(t, "{:>54}", "too far from what is known now to say");
            }
        }
        let _ = writeln!(t, "{}", if costs { format!("{:>12}{:>12}", or(p.cost), or(p.left)) } else { String::new() });
    }
}

fn how_often(p: &PlanWorth) -> String {
    if p.changes == 0.0 { "never".into() } else { format!("{} of times", percent(p.changes)) }
}

/// Worth of the pans that can be said: number and plan.
fn pans(m: &SampleMoney) -> Vec<(u32, &PlanWorth, f64)> {
    m.plans.iter().filter_map(|p| Some((p.pans?, p, p.worth?))).collect()
}

/// The finding in one sentence, without its full stop.
pub fn finding(m: &SampleMoney) -> String {
    let pans = pans(m);
    let Some((_, most, most_worth)) = pans.iter().max_by(|a, b| a.2.total_cmp(&b.2)).copied() else {
        return "What further samples are worth in money".into();
    };
    if pans.iter().all(|p| p.2 == 0.0) {
        return format!("More pans are worth nothing: whatever they find, the choice stays {}", m.best_name());
    }
    if most_worth < TOLD_FROM_NOTHING * most.noise {
        return format!(
            "What more pans are worth is within the noise of the estimate ({} {})",
            currency(m, most.noise),
            seasons(m)
        );
    }
    let told = pans.iter().rfind(|p| p.0 <= 10 && p.2 > 0.0).copied().or(pans.iter().find(|p| p.2 > 0.0).copied());
    let first = told.map_or(String::new(), |(n, _, worth)| {
        let each = if n > 1 { format!(", {} a pan", currency(m, worth / f64::from(n))) } else { String::new() };
        let pan = if n == 1 { "pan is" } else { "pans are" };
        format!("{n} more {pan} worth about {} {}{each}", currency(m, worth), seasons(m))
    });
    let enough = pans.iter().find(|p| p.2 >= NEARLY_ALL * most_worth).map_or(0, |p| p.0);
    let worth = match pans.last() {
        Some(last) if enough < last.0 => format!("{first}; beyond {enough} pans little more"),
        Some(last) => format!("{first}, and the worth still grows at {}", last.0),
        None => first,
    };
    let idle = pans.iter().take_while(|p| p.2 == 0.0).last();
    match idle {
        Some((1, _, _)) => format!("One more pan cannot change the choice; {worth}"),
        Some((n, _, _)) => format!("Up to {n} more pans cannot change the choice; {worth}"),
        None => worth,
    }
}

/// What it comes to.
fn conclusions(m: &SampleMoney) -> Vec<String> {
    let mut lines = vec![format!("{}.", finding(m))];
    if let Some(bulk) = m.plans.iter().find(|p| p.pans.is_none())
        && let Some(worth) = bulk.worth
    {
        lines.push(if worth == 0.0 {
            format!("{} is worth nothing: it cannot change the choice.", capital(&bulk.what))
        } else {
            format!("{} is worth about {}.", capital(&bulk.what), currency(m, worth))
        });
    }
    let known = m.plans.iter().any(|p| p.cost.is_some());
    lines.push(match m.best_plan() {
        Some(best) => {
            let left = best.left.unwrap_or(f64::NAN);
            format!(
                "At what they cost you, best is: {}, worth {}, cost {}, which leaves {}{}.",
                best.what,
                currency(m, best.worth.unwrap_or(f64::NAN)),
                currency(m, best.cost.unwrap_or(f64::NAN)),
                currency(m, left),
                if left < TOLD_FROM_NOTHING * best.noise { ", no more than the noise of the estimate" } else { "" }
            )
        }
        None if known => "At what they cost you, none of these samples is worth taking for this choice.".into(),
        None => "Give pan_cost and bulk_sample_cost in [money], or --pan-cost \"$ 25\", to set their cost against it."
            .into(),
    });
    lines
}

fn how_counted(m: &SampleMoney) -> String {
    let plant = if m.with_plant {
        "after the owner's wage and the season's share in the plant"
    } else {
        "after the owner's wage; without life in [money] the plant itself is not counted"
    };
    let more = if m.seasons == 1.0 { " Ground for three seasons makes it three times that (--seasons 3)." } else { "" };
    let explained = m.decisions.iter().filter(|d| d.name != WALK_AWAY).map(|d| d.explained).fold(0.0, f64::max);
    format!(
        "Counted is the money of {}, {plant},\n  \
         on {} common runs of each plate.{more}\n  \
         Of the scatter of that money from run to run the gold of the ground makes {}; prices, costs and the plant make\n  \
         the rest, and no sample tells of those. Give or take: one standard error, from the number of runs and of samples\n  \
         imagined.",
        if m.seasons == 1.0 { "one season".to_string() } else { format!("{:.0} seasons", m.seasons) },
        m.trials,
        percent(explained)
    )
}
