//! The part of the report on money.

use maud::{Markup, html as markup};
use sim_core::quantity::UnitChoice;
use sim_core::result::{Money, Outcome, Summary};

use super::sections::grid;
use crate::figures::words::{amount, capital, class, percent, three};
use crate::money_words;

const HEADERS: [&str; 5] = ["", "Mean", "1 season in 10 falls below", "Middle", "1 season in 10 is above"];

fn row(name: impl Into<String>, s: &Summary, show: &dyn Fn(f64) -> String) -> Vec<String> {
    vec![name.into(), show(s.mean), show(s.pctl_10), show(s.pctl_50), show(s.pctl_90)]
}

pub(crate) fn money(outcome: &Outcome, m: &Money, picture: Option<Markup>, units: UnitChoice) -> Markup {
    let (name, m3) = money_words::volume(units);
    let plain = |v: f64| amount(v);
    let per_volume = |v: f64| amount(v * m3);
    let metric = units == UnitChoice::Metric;
    let grade = |v: f64| if metric { three(v) } else { format!("{} ({})", three(v * m3), three(v)) };
    let grade_unit = if metric {
        "mg of raw gold in a bank cubic metre"
    } else {
        "mg of raw gold in a bank cubic yard (in a bank cubic metre)"
    };
    let c = &m.currency;
    let rows = vec![
        row(format!("Left of the season, {c}"), &m.net_per_season, &plain),
        row(format!("Left after the owner's wage, {c}"), &m.net_after_wage_per_season, &plain),
        row(format!("Left after wage and plant, {c}"), &m.net_after_all_per_season, &plain),
        row(format!("Left per hour run, {c}"), &m.net_per_h, &plain),
        row(format!("Left per hour in one period by itself, {c}"), &m.net_per_h_one_period, &plain),
        row(format!("Left per loose {name}, {c}"), &m.net_per_m3_loose, &per_volume),
        row(format!("Left per bank {name}, {c}"), &m.net_per_m3_bank, &per_volume),
        row("Raw gold sold, g", &m.sold_g, &|v| amount(v)),
        row("Hours run", &m.run_h, &|v| three(v)),
    ];
    let grades = vec![
        row("The ground over the season", &m.grade_mg_per_m3_bank, &grade),
        row("Wash or waste: gravel already dug", &m.wash_or_waste_mg_per_m3_bank, &grade),
        row("Mine or not: all costs of the season", &m.breakeven_mg_per_m3_bank, &grade),
        row("The same with the owner's wage and the plant", &m.breakeven_all_mg_per_m3_bank, &grade),
    ];
    let account = m.account.iter().map(|l| vec![capital(&l.words), amount(l.mean)]).collect();
    let sizes: Vec<Vec<String>> = outcome
        .gold
        .recovery_by_size
        .iter()
        .zip(&m.clean_up.final_loss_by_size)
        .map(|(s, loss)| {
            vec![class(s.from_mm, s.to_mm), percent(s.recovery.mean), percent(s.recovery.mean * (1.0 - loss))]
        })
        .collect();
    markup! {
        p { "With your prices, " (money_words::season(m, units).join(" ")) }
        @if let Some(text) = money_words::plant(m) { p { (text) } }
        @for note in &m.notes { p.quiet { (note) } }
        p.quiet { "Royalties, licence fees and taxes are set where you are; only those that you typed are counted." }
        @if let Some(p) = picture { (p) }
        (grid(&HEADERS, rows))
        p.quiet { "Each run stands for one season: what is not known stays as drawn for all of it, what changes from hour to hour averages out. In one period by itself the coarse grains of that period count." }
        h3 { "From which grade on it pays" }
        p.quiet { (capital(grade_unit)) ", that is in place." }
        (grid(&HEADERS, grades))
        h3 { "The season line by line" }
        (grid(&["Mean of all runs", c], account))
        h3 { "Clean-up" }
        @for line in money_words::clean_up(m, units) { p { (capital(&line)) } }
        p { "Waiting a little too long costs less than stopping too often, until the riffles pack hard; safekeeping and knowing early how the ground runs speak for sooner. Never use mercury or acid on the concentrate: the vapour and the fumes kill. Pan, small box, table or wheel, with clean water." }
        details {
            summary { "Caught and sold by size of the gold" }
            (grid(&["Size of gold", "In the box, clean riffles", "Left after the final clean-up"], sizes))
        }
    }
}
