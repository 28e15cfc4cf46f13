//! Money on the sound creek: what a miner expects when a price or the ground changes, and books that must agree.

use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::stats::average::Moments;
use sim_core::trial::{TrialStatistics, run_trials};
use washgraph_model::money::Seasons;
use washgraph_model::result::{Money, RunResult};
use washgraph_model::scenario::{Opened, build};

const CREEK: &str = include_str!("../../broken/sound.toml");
/// Invented, each line once.
const MONEY: &str = r#"
[money]
currency = "USD"
gold_price = "$ 2600/ozt"
payable = "97 %"
fuel_price = "$ 1.20/L"
labour = "$ 28/h"
owner_wage = "$ 25/h"
strip_ratio = 0.8
stripping = "$ 2.20/yd3 bank"
build_cost = "$ 75000"
life = 6
discount_rate = "12 %"
[money.clean_up]
interval = "30 h"
stop = "2.5 h"
cost = "$ 40"
loss_growth = "0.0008 1/h"
[[money.machine]]
name = "loader"
fuel = "10 L/h"
[[money.cost]]
name = "repairs"
basis = "per loose volume"
amount = "$ 0.60/yd3 loose"
[[money.cost]]
name = "camp"
basis = "per season"
amount = "$ 18000"
"#;
const TRIALS: usize = 1000;
const SEED: u64 = 3;

fn scenario(changes: &[(&str, &str)]) -> String {
    let mut text = format!("{CREEK}{MONEY}");
    for (old, new) in changes {
        assert_eq!(text.matches(old).count(), 1, "the passage to replace must occur once: {old}");
        text = text.replace(old, new);
    }
    text
}

fn built(text: &str) -> Result<Plant, Problems> {
    let mut problems = Problems::default();
    let opened = Opened { text: text.to_owned(), folder: PathBuf::new() };
    build(&opened, &washgraph_standard_stages::registry(), &mut problems).ok_or(problems)
}

fn run(changes: &[(&str, &str)]) -> (Plant, TrialStatistics) {
    let plant = built(&scenario(changes)).unwrap_or_else(|p| panic!("{:?}", p.in_order()));
    let statistics = run_trials(&plant, SEED, TRIALS, &AtomicU64::new(0));
    (plant, statistics)
}

fn money(changes: &[(&str, &str)]) -> Money {
    let (plant, statistics) = run(changes);
    RunResult::new(&plant, SEED, &statistics).money.expect("money")
}

fn line(m: &Money, name: &str) -> f64 {
    m.account.iter().find(|l| l.name == name).unwrap_or_else(|| panic!("no line {name}")).mean
}

#[test]
fn identity_the_account_adds_up_and_the_plant_without_money_is_the_same_plant() {
    let (plant, statistics) = run(&[]);
    let outcome = RunResult::new(&plant, SEED, &statistics);
    let m = outcome.money.as_ref().expect("money");
    let sum: f64 = m.account.iter().take_while(|l| l.name != "net").map(|l| l.mean).sum();
    assert!((sum - line(m, "net")).abs() < 1e-6 * line(m, "gold"));
    assert!((line(m, "net") - m.net_per_season.mean).abs() < 1e-6 * line(m, "gold"));
    assert!((line(m, "net_after_all") - m.net_after_all_per_season.mean).abs() < 1e-6 * line(m, "gold"));
    // 700 h available; 30 h of running and 2.5 h of standing in turn.
    assert!((m.run_h.mean - 700.0 * 30.0 / 32.5).abs() < 1e-9, "{}", m.run_h.mean);
    assert!((m.clean_up.number * 2.5 + m.run_h.mean - 700.0).abs() < 1e-9);
    // Wages are paid for the 700 h, whether the plant runs or not; the loader burns while it runs.
    assert!((line(m, "labour") + 28.0 * 700.0).abs() < 1e-6);
    // What is burnt beyond the loader turns the drum: a diesel takes 0.25 to 0.45 L for a kWh at its shaft (common practice).
    let engine_kw = statistics.season.iter().map(|s| s.engine_w).sum::<f64>() / TRIALS as f64 / 1000.0;
    let litres_kwh = 1000.0 * (m.fuel_m3 - 0.010 * m.run_h.mean) / (engine_kw * m.run_h.mean);
    assert!(engine_kw > 0.1 && (0.25..0.45).contains(&litres_kwh), "{engine_kw} kW, {litres_kwh} L/kWh");
    let bare = built(CREEK).unwrap_or_else(|p| panic!("{:?}", p.in_order()));
    let bare = run_trials(&bare, SEED, TRIALS, &AtomicU64::new(0));
    assert_eq!(bare.caught, statistics.caught);
    assert!(bare.season.is_empty());
}

#[test]
fn identity_the_net_is_zero_where_the_ground_holds_the_break_even_grade() {
    // With nothing uncertain in the money, net = (grade - break-even) x bank x share sold x value, season by season.
    let (plant, statistics) = run(&[]);
    let s = Seasons::new(&plant, SEED, &statistics).expect("seasons");
    let value = 0.97 * 2600.0 / 0.031_103_476_8 * plant.ground.fineness;
    for t in 0..TRIALS {
        let share = s.sold_kg[t] / (s.grade_bank_kg_m3[t] * s.bank_m3[t]);
        let net = (s.grade_bank_kg_m3[t] - s.break_even_kg_m3[t]) * s.bank_m3[t] * share * value;
        assert!((net - s.net[t]).abs() < 1e-6 * value * s.sold_kg[t], "{net} {}", s.net[t]);
        assert!(s.wash_or_waste_kg_m3[t] < s.break_even_kg_m3[t]);
        assert!(s.break_even_kg_m3[t] < s.break_even_all_kg_m3[t]);
    }
}

#[test]
fn property_prices_move_the_season_as_a_miner_expects() {
    let base = money(&[]);
    let net = |changes: &[(&str, &str)]| money(changes).net_per_season.mean;
    let plain = base.net_per_season.mean;
    for (what, changes) in [
        ("dear fuel", [("$ 1.20/L", "$ 2.40/L")]),
        ("dear crew", [("labour = \"$ 28/h\"", "labour = \"$ 40/h\"")]),
        ("more waste", [("strip_ratio = 0.8", "strip_ratio = 2")]),
        ("a dear camp", [("$ 18000", "$ 30000")]),
        ("cheap gold", [("$ 2600/ozt", "$ 2000/ozt")]),
        ("a royalty", [("payable", "royalty_gross = \"10 %\"\npayable")]),
        ("a fast filling box", [("0.0008 1/h", "0.004 1/h")]),
        ("long clean-ups", [("stop = \"2.5 h\"", "stop = \"6 h\"")]),
    ] {
        let other = net(&changes);
        assert!(other < plain, "{what}: {other} against {plain}");
    }
    // The owner's wage and the plant change what is left to him, not the net before them.
    let unpaid = money(&[("owner_wage = \"$ 25/h\"", "owner_wage = \"$ 0/h\"")]);
    assert_eq!(unpaid.net_per_season, base.net_per_season);
    assert!((unpaid.net_after_wage_per_season.mean - base.net_after_wage_per_season.mean - 25.0 * 700.0).abs() < 1e-6);
    // Twice the price of fuel costs exactly the fuel once more.
    let dear = money(&[("$ 1.20/L", "$ 2.40/L")]);
    assert!((plain - dear.net_per_season.mean + line(&base, "fuel")).abs() < 1e-6 * plain.abs());
    assert!(dear.breakeven_mg_per_m3_bank.mean > base.breakeven_mg_per_m3_bank.mean);
    assert!(dear.chance_of_loss >= base.chance_of_loss);
    assert!(
        base.chance_of_loss_interval[0] <= base.chance_of_loss
            && base.chance_of_loss <= base.chance_of_loss_interval[1]
    );
}

#[test]
fn property_richer_ground_cleans_up_more_often() {
    // The same pans with half and twice the volume behind them: half and twice the grade. A clean-up that needs hired help.
    let help = ("cost = \"$ 40\"", "cost = \"$ 500\"");
    let poor = money(&[help, ("volume = \"240 L loose\"", "volume = \"480 L loose\"")]);
    let rich = money(&[help, ("volume = \"240 L loose\"", "volume = \"120 L loose\"")]);
    let best = |m: &Money| m.clean_up.best_interval_h.expect("best interval").pctl_50;
    assert!(best(&rich) < best(&poor), "{} {}", best(&rich), best(&poor));
    assert!(rich.chance_of_loss <= poor.chance_of_loss);
    // Without the growth of the loss there is no best interval, and nothing is made up.
    let unknown = money(&[("loss_growth = \"0.0008 1/h\"\n", "")]);
    assert!(unknown.clean_up.best_interval_h.is_none() && !unknown.clean_up.filling_known);
    assert_eq!(unknown.clean_up.filling_loss, 0.0);
}

#[test]
fn property_hours_average_out_over_the_season_and_ignorance_does_not() {
    let (plant, statistics) = run(&[]);
    let s = Seasons::new(&plant, SEED, &statistics).expect("seasons");
    let spread = |values: &[f64]| Moments::of(values).standard_deviation();
    // The feed changes from hour to hour; its season mean is all but fixed.
    assert!(spread(&s.loose_m3) / Moments::of(&s.loose_m3).mean() < 0.01);
    assert!(spread(&statistics.feed) / Moments::of(&statistics.feed).mean() > 0.05);
    // One period is lumpier than the season, by the hour.
    let hourly: Vec<f64> = s.net.iter().zip(&s.run_s).map(|(n, t)| n / t).collect();
    assert!(spread(&s.period_net_per_s) > spread(&hourly));
    // What is not known of the ground stays: the season's grade still spreads.
    assert!(spread(&s.grade_bank_kg_m3) / Moments::of(&s.grade_bank_kg_m3).mean() > 0.1);
    let mean = |v: &[f64]| Moments::of(v).mean();
    assert!((mean(&s.period_net_per_s) / mean(&hourly) - 1.0).abs() < 0.1);
}

#[test]
fn property_the_number_of_threads_changes_no_byte_of_the_money() {
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("pool");
        pool.install(|| {
            let (plant, statistics) = run(&[]);
            serde_json::to_string(&RunResult::new(&plant, SEED, &statistics).money).expect("json")
        })
    };
    assert_eq!(on(1), on(3));
}

#[test]
fn property_faulty_money_is_refused_with_the_remedy() {
    let cases: &[(&[(&str, &str)], &str)] = &[
        (&[("gold_price = \"$ 2600/ozt\"\n", "")], "money lacks `gold_price`"),
        (&[("fuel_price = \"$ 1.20/L\"\n", "")], "`fuel_price` is missing (`loader` burns it)"),
        (&[("labour = \"$ 28/h\"\n", "")], "money lacks `labour`"),
        (&[("\"$ 2600/ozt\"", "\"CAD 3600/ozt\"")], "an amount in CAD, but the money of this scenario is USD"),
        (&[("\"$ 40\"", "\"€ 40\"")], "an amount in EUR, but the money of this scenario is USD"),
        (&[("\"$ 1.20/L\"", "{ low = \"USD 1/L\", mid = \"CAD 1.2/L\", high = \"CAD 2/L\" }")], "is in USD and in CAD"),
        (&[("stripping = \"$ 2.20/yd3 bank\"\n", "")], "`strip_ratio` is given but not `stripping`"),
        (&[("yd3 bank", "yd3 loose")], "stripping is counted by the bank volume of waste"),
        (&[("basis = \"per loose volume\"", "basis = \"per bank volume\"")], "says loose or bank otherwise"),
        (&[("basis = \"per season\"", "basis = \"per hour\"")], "here a cost per time is wanted"),
        (&[("basis = \"per season\"", "basis = \"a season\"")], "is not a known word for `basis`"),
        (&[("build_cost = \"$ 75000\"\n", "")], "a present value needs what the plant costs"),
        (&[("life = 6\n", "")], "what is paid once must be shared out over seasons"),
        (&[("interval = \"30 h\"\n", "")], "a clean-up stops the plant, but not how often"),
        (&[("payable = \"97 %\"", "payable = \"97 %\"\ndays = 90")], "the season lacks hours_per_day and availability"),
        (
            &[(
                "payable = \"97 %\"",
                "payable = \"97 %\"\ndays = 90\nhours_per_day = \"10 h\"\navailability = \"70 %\"",
            )],
            "two lengths of a season: 700 h at the top, 630 h",
        ),
        (&[("season = \"700 h\"\n", "")], "money needs to know how long a season is"),
        (&[("name = \"camp\"", "name = \"repairs\"")], "`repairs` stands there twice"),
        (&[("payable = \"97 %\"", "payable = \"197 %\"")], "is out of range"),
        (&[("labour = \"$ 28/h\"", "labour = \"$ -28/h\"")], "out of range"),
        (&[("labour = \"$ 28/h\"", "labor = \"$ 28/h\"")], "`labor` is not a setting of money"),
        (&[("loss_growth", "recovered = [[\"0.1 mm\", \"120 %\"]]\nloss_growth")], "a share from 0 to 100 %"),
        (&[("loss_growth", "recovered = []\nloss_growth")], "`recovered` is empty"),
    ];
    for (changes, says) in cases {
        let Err(problems) = built(&scenario(changes)) else { panic!("accepted: {says}") };
        let texts: Vec<String> = problems.in_order().into_iter().map(|p| p.message).collect();
        assert!(texts.iter().any(|t| t.contains(says)), "{says}: {texts:?}");
    }
}
