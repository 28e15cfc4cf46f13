//! Money in words: the same sentences stand in the terminal and in the report.

use sim_core::constants::CUBIC_YARD_M3;
use sim_core::quantity::{Dimension, UnitChoice, show, show_both};
use washgraph_model::result::{Chance, Money};

use crate::line::strong;
use crate::numbers::{amount, money, percent};
use crate::terminal::bare;

/// Name of the volume in which this user thinks, and how many m3 it has.
pub fn volume(units: UnitChoice) -> (&'static str, f64) {
    if units == UnitChoice::Metric { ("cubic metre", 1.0) } else { ("yard", CUBIC_YARD_M3) }
}

/// A grade given in mg/m3, in the user's units and SI.
pub fn grade(mg_m3: f64, units: UnitChoice) -> String {
    show_both(mg_m3 * 1e-6, Dimension::Grade, units)
}

/// A chance with its interval: `in 18 % of the runs (17 % to 19 %, as far as so many runs can tell)`; never "never".
pub fn chance(c: &Chance) -> String {
    if c.share > 0.0 && c.share < 1.0 {
        format!("{} ({} to {}, as far as so many runs can tell)", share(c), percent(c.low), percent(c.high))
    } else {
        share(c)
    }
}

/// The same without its interval, but for chances of nothing and of all, which the runs cannot tell.
fn share(c: &Chance) -> String {
    if c.share == 0.0 {
        format!("in none of the runs (which still allows {})", percent(c.high))
    } else if c.share >= 1.0 {
        "in all of the runs".into()
    } else {
        format!("in {} of the runs", percent(c.share))
    }
}

/// The same where runs were named already: `in 40 %`.
fn in_brief(c: &Chance) -> String {
    share(c).replace(" of the runs", "")
}

/// `leaves USD 23,400`, or `loses USD 8,760`.
fn left(value: f64, currency: &str) -> String {
    let word = if value < 0.0 { "loses" } else { "leaves" };
    format!("{word} {currency} {}", amount(value.abs()))
}

/// What the middle season leaves, with its spread.
pub fn left_of_season(m: &Money) -> String {
    let net = &m.net_per_season;
    format!(
        "the middle season {} before the owner's wage and the plant; 1 season in 10 is below {}, 1 in 10 above {}.",
        strong(left(net.pctl_50, &m.currency)),
        amount(net.pctl_10),
        amount(net.pctl_90)
    )
}

/// How likely the season loses money, with the interval of that chance if wanted.
pub fn risk(m: &Money, interval: bool) -> String {
    let loss =
        Chance { share: m.chance_of_loss, low: m.chance_of_loss_interval[0], high: m.chance_of_loss_interval[1] };
    let has = |name: &str| m.account.iter().any(|l| l.name == name);
    let mut text = format!("It loses money {}", strong(if interval { chance(&loss) } else { share(&loss) }));
    if has("owner") {
        text += &format!(", does not pay the owner's wage {}", in_brief(&m.below_wage));
    }
    if has("plant") {
        text += &format!(", nor wage and plant {}", in_brief(&m.below_all));
    }
    text + "."
}

/// From which grade on it pays, against the grade of the ground.
pub fn from_which_grade(m: &Money, units: UnitChoice) -> String {
    format!(
        "It pays where the bank holds {} of raw gold or more; the ground holds {} in the middle run. Gravel already dug is worth washing from {}.",
        grade(m.breakeven_mg_per_m3_bank.pctl_50, units),
        grade(m.grade_mg_per_m3_bank.pctl_50, units),
        grade(m.wash_or_waste_mg_per_m3_bank.pctl_50, units)
    )
}

/// The same in the user's units alone.
pub fn from_which_grade_in_short(m: &Money, units: UnitChoice) -> String {
    let short = |mg_m3: f64| show(mg_m3 * 1e-6, Dimension::Grade, units);
    format!(
        "It pays from {} of raw gold, bank; the ground holds {}.",
        short(m.breakeven_mg_per_m3_bank.pctl_50),
        short(m.grade_mg_per_m3_bank.pctl_50)
    )
}

/// All of it in sentences without marks.
pub fn season(m: &Money, units: UnitChoice) -> Vec<String> {
    let (name, m3) = volume(units);
    let lines = [
        left_of_season(m),
        risk(m, true),
        from_which_grade(m, units),
        format!(
            "Middle run: {} for each hour run, {} for each loose {name}, {} for each bank {name}.",
            money(m.net_per_h.pctl_50, &m.currency),
            money(m.net_per_m3_loose.pctl_50 * m3, &m.currency),
            money(m.net_per_m3_bank.pctl_50 * m3, &m.currency)
        ),
    ];
    lines.iter().map(|l| bare(l)).collect()
}

/// When the plant is paid off.
pub fn paid_off(m: &Money) -> Option<String> {
    let p = m.payback.as_ref()?;
    let when = match p.middle_seasons {
        Some(seasons) => format!("paid off after {seasons:.1} seasons in the middle run, the owner's wage paid"),
        None => "not paid off in the middle run, the owner's wage paid".into(),
    };
    Some(format!(
        "The plant, {}, is {when}; not within its {} seasons {}.",
        money(p.capital, &m.currency),
        p.life,
        share(&p.not_within_life)
    ))
}

/// When the plant is paid off and what it is worth.
pub fn plant(m: &Money) -> Option<String> {
    let mut text = paid_off(m)?;
    if let Some(v) = &m.present_value {
        text += &format!(
            " Present value over them at {} a year: {} in the middle run, 1 run in 10 below {}, 1 in 10 above {}; below zero {}.",
            percent(v.rate),
            amount(v.value.pctl_50),
            amount(v.value.pctl_10),
            amount(v.value.pctl_90),
            share(&v.below_zero)
        );
    }
    Some(text)
}

/// When the plant is paid off, in one line.
pub fn paid_off_in_short(m: &Money) -> Option<String> {
    let p = m.payback.as_ref()?;
    let plant = money(p.capital, &m.currency);
    let late = in_brief(&p.not_within_life);
    Some(match p.middle_seasons {
        Some(seasons) => {
            format!("Plant ({plant}): paid off after {seasons:.1} seasons; not within its {} {late}.", p.life)
        }
        None => format!("Plant ({plant}): not paid off within its {} seasons {late}.", p.life),
    })
}

/// An interval within this share of the best is as good. Our choice.
const AS_GOOD: f64 = 0.2;

/// How often to clean up, where that is known and surely another interval than now, in one sentence.
pub fn interval(m: &Money) -> Option<String> {
    let c = &m.clean_up;
    let known = c.best_interval_h.as_ref().filter(|_| c.filling_known)?;
    let best = known.pctl_50;
    let sure = |now: &f64| *now < known.pctl_10 || *now > known.pctl_90;
    let now = c.interval_h.filter(sure).filter(|now| (now / best - 1.0).abs() > AS_GOOD)?;
    let lost = c.lost_by_interval.map_or(String::new(), |v| format!(": some {} a season", money(v, &m.currency)));
    Some(format!("Clean up after about {} h of running, not {} h{lost}.", hours(best), hours(now)))
}

/// Hours without more digits than anyone plans by.
fn hours(h: f64) -> String {
    if h < 10.0 && h.fract() != 0.0 { format!("{h:.1}") } else { format!("{h:.0}") }
}

/// Clean-ups: what comes out of the box, what is lost on the way to the buyer, how often is best.
pub fn clean_up(m: &Money, units: UnitChoice) -> Vec<String> {
    let c = &m.clean_up;
    let mut lines = Vec::new();
    let mut first = match c.interval_h {
        Some(h) => format!(
            "after every {} h of running, {:.0} in the season; the plant stands {:.0} h for them",
            hours(h),
            c.number,
            c.stopped_h
        ),
        None => "once, after the season".into(),
    };
    if let Some(kg) = &c.concentrate_kg {
        first += &format!("; about {} of concentrate each time", show(kg.pctl_50, Dimension::Mass, units));
    }
    if let Some(h) = &c.work_up_h {
        first += &format!(", {:.1} h of work", h.pctl_50);
    }
    lines.push(first + ".");
    lines.push(format!(
        "Gold in the box is not gold sold: the final clean-up loses {} of it, most of it the finest.",
        percent(c.final_loss)
    ));
    if c.filling_known {
        let mut text = format!("Riffles that fill lose {} of what clean ones would catch", percent(c.filling_loss));
        if let Some(best) = &c.best_interval_h {
            text += &format!(
                ". The interval that brings most is about {} h ({} to {} in 8 runs of 10)",
                hours(best.pctl_50),
                hours(best.pctl_10),
                hours(best.pctl_90)
            );
            if let Some(lost) = c.lost_by_interval {
                text += &format!("; the present one gives away about {} {} a season", m.currency, amount(lost));
            }
            let within = c.interval_h.is_some_and(|h| best.pctl_10 <= h && h <= best.pctl_90);
            text += if within {
                ", no more than the spread of that: leave it. A clean-up somewhat late costs less than many too early; theft and early news of the ground speak for sooner"
            } else {
                ". A clean-up somewhat late costs less than many too early; theft and early news of the ground speak for sooner"
            };
        }
        lines.push(text + ".");
    } else {
        lines.push(
            "How fast the riffles fill is not known, so no best interval can be said: pan the last riffles just before and just after a clean-up, and give loss_growth.".into(),
        );
    }
    lines
}
