//! The part of the report on money.

use maud::{Markup, html as markup};
use sim_core::quantity::UnitChoice;
use sim_core::stats::summary::Summary;
use washgraph_model::result::{Money, RunResult};

use crate::money_words;
use crate::numbers::{capital, class, three};
use crate::report::grid::{Grid, Head, Piece, cash, share, spread};

const SPREAD: [Head; 5] = [
    ("", "what"),
    ("Mean", "mean"),
    ("1 season in 10 falls below", "pctl_10"),
    ("Middle", "pctl_50"),
    ("1 season in 10 is above", "pctl_90"),
];

fn of_spreads(name: &'static str, rows: Vec<(String, [Piece; 4])>) -> Grid {
    let rows = rows.into_iter().map(|(what, cells)| std::iter::once(what.into()).chain(cells).collect());
    Grid::new(name, &SPREAD, rows.collect())
}

/// What is left, by every measure of it.
pub fn money_grid(m: &Money, units: UnitChoice) -> Grid {
    let (name, m3) = money_words::volume(units);
    let c = &m.currency;
    let volume = if units == UnitChoice::Metric { "m3" } else { "yd3" };
    let row = |what: String, s: &Summary, by: f64, unit: String| (what, spread(s, |v| cash(v * by, &unit)));
    of_spreads(
        "money",
        vec![
            row(format!("Left of the season, {c}"), &m.net_per_season, 1.0, c.clone()),
            row(format!("Left after the owner's wage, {c}"), &m.net_after_wage_per_season, 1.0, c.clone()),
            row(format!("Left after wage and plant, {c}"), &m.net_after_all_per_season, 1.0, c.clone()),
            row(format!("Left per hour run, {c}"), &m.net_per_h, 1.0, format!("{c}/h")),
            row(format!("Left per hour in one period by itself, {c}"), &m.net_per_h_one_period, 1.0, format!("{c}/h")),
            row(format!("Left per loose {name}, {c}"), &m.net_per_m3_loose, m3, format!("{c}/{volume} loose")),
            row(format!("Left per bank {name}, {c}"), &m.net_per_m3_bank, m3, format!("{c}/{volume} bank")),
            row("Raw gold sold, g".into(), &m.sold_g, 1.0, "g".into()),
            ("Hours run".into(), spread(&m.run_h, |v| Piece::Number { value: v, unit: "h".into(), text: three(v) })),
        ],
    )
}

/// From which grade on it pays.
pub fn grades_grid(m: &Money, units: UnitChoice) -> Grid {
    let (_, m3) = money_words::volume(units);
    let metric = units == UnitChoice::Metric;
    let cell = |v: f64| Piece::Number {
        value: v,
        unit: "mg/m3 bank".into(),
        text: if metric { three(v) } else { format!("{} ({})", three(v * m3), three(v)) },
    };
    let row = |what: &str, s: &Summary| (what.to_string(), spread(s, cell));
    of_spreads(
        "break-even",
        vec![
            row("The ground over the season", &m.grade_mg_per_m3_bank),
            row("Wash or waste: gravel already dug", &m.wash_or_waste_mg_per_m3_bank),
            row("Mine or not: all costs of the season", &m.breakeven_mg_per_m3_bank),
            row("The same with the owner's wage and the plant", &m.breakeven_all_mg_per_m3_bank),
        ],
    )
}

/// The season line by line. The heading of the amounts is the currency, which a table of fixed headings cannot say.
pub fn account_grid(m: &Money) -> Grid {
    let rows = m.account.iter().map(|l| vec![capital(&l.words).into(), cash(l.mean, &m.currency)]);
    Grid::new("account", &[("Mean of all runs", "line"), ("Amount", "mean")], rows.collect())
}

/// Caught in the box and left after the final clean-up, by size.
pub fn clean_up_grid(outcome: &RunResult, m: &Money) -> Grid {
    let heads = [
        ("Size of gold", "size"),
        ("In the box, clean riffles", "in_the_box"),
        ("Left after the final clean-up", "after_clean_up"),
    ];
    let sizes = outcome.gold.recovery_by_size.iter().zip(&m.clean_up.final_loss_by_size);
    let rows = sizes.map(|(s, loss)| {
        let recovery = s.recovery.mean;
        vec![class(s.from_mm, s.to_mm).into(), share(recovery), share(recovery * (1.0 - loss))]
    });
    Grid::new("clean-up", &heads, rows.collect())
}

/// Names and tables of the part on money, for files.
pub fn grids(outcome: &RunResult, units: UnitChoice) -> Vec<Grid> {
    let Some(m) = &outcome.money else { return Vec::new() };
    vec![money_grid(m, units), grades_grid(m, units), account_grid(m), clean_up_grid(outcome, m)]
}

/// The section on money.
pub fn money(outcome: &RunResult, m: &Money, picture: Option<Markup>, units: UnitChoice) -> Markup {
    let grade_unit = if units == UnitChoice::Metric {
        "milligrams of raw gold in a bank cubic metre"
    } else {
        "milligrams of raw gold in a bank cubic yard (in a bank cubic metre)"
    };
    markup! {
        p { "With your prices, " (money_words::season(m, units).join(" ")) }
        @if let Some(text) = money_words::plant(m) { p { (text) } }
        @for note in &m.notes { p.quiet { (note) } }
        p.quiet { "Royalties, licence fees and taxes are set where you are; only those that you typed are counted." }
        @if let Some(p) = picture { (p) }
        (money_grid(m, units).html())
        p.quiet { "Each run stands for one season: what is not known stays as drawn for all of it, what changes from hour to hour averages out. In one period by itself the coarse grains of that period count." }
        h3 { "From which grade on it pays" }
        p.quiet { (capital(grade_unit)) ", that is as it lies in place." }
        (grades_grid(m, units).html())
        h3 { "The season line by line" }
        p.quiet { "Amounts in " (m.currency) "." }
        (account_grid(m).html())
        h3 { "Clean-up" }
        @for line in money_words::clean_up(m, units) { p { (capital(&line)) } }
        p { "Waiting a little too long costs less than stopping too often, until the riffles pack hard; safekeeping and knowing early how the ground runs speak for sooner. Never use mercury or acid on the concentrate: the vapour and the fumes kill. Pan, small box, table or wheel, with clean water." }
        details {
            summary { "Caught and sold by size of the gold" }
            (clean_up_grid(outcome, m).html())
        }
    }
}
