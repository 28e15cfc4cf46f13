//! What the result says of money: the part `money` of result.json.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sim_core::constants::{MG_PER_KG, S_PER_H};

use super::seasons::{Account, Seasons};
use sim_core::money::cash_flow::{Timing, payback_seasons, present_value};
use sim_core::money::plan::MoneyPlan;
use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, show, with_commas};
use sim_core::stage::Role;
use sim_core::stats::average::Moments;
use sim_core::stats::interval::{none_seen_upper, wilson};
use sim_core::stats::order::percentile_sorted;
use sim_core::stats::summary::{Summary, over_trials};
use sim_core::trial::TrialStatistics;

const G_PER_KG: f64 = 1000.0;
/// Confidence of the intervals of chances.
const CONFIDENCE: f64 = 0.95;
/// Bars of the histogram between its ends.
const BARS: usize = 40;
/// Above this share of seasons below the mean, the mean is explained. A lognormal with sigma 0.25 has it. Our choice.
const SKEWED: f64 = 0.55;
/// Mean grade over middle grade from which on the difference is told. Our choice.
const MEAN_OVER_MIDDLE: f64 = 1.05;
/// A share of the runs worth a word. Our choice.
const OFTEN: f64 = 0.05;

/// Money, in the currency named; every `net` is before the owner's wage and the plant unless it says otherwise.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Money {
    /// Currency of every amount.
    pub currency: String,
    /// Net of the season per hour run.
    pub net_per_h: Summary,
    /// Net of the season.
    pub net_per_season: Summary,
    /// Grade at which the season just pays: raw gold per BANK volume, all costs of the season.
    pub breakeven_mg_per_m3_bank: Summary,
    /// Chance that the season loses money.
    pub chance_of_loss: f64,
    /// 95 % interval of that chance, from the number of trials alone.
    pub chance_of_loss_interval: [f64; 2],
    /// Net per hour run within one period of the scenario, coarse grains and all.
    pub net_per_h_one_period: Summary,
    /// Net of the season per LOOSE m3.
    pub net_per_m3_loose: Summary,
    /// Net of the season per BANK m3.
    pub net_per_m3_bank: Summary,
    /// Net of the season after the owner's wage.
    pub net_after_wage_per_season: Summary,
    /// Net of the season after the owner's wage and the season's share in the plant.
    pub net_after_all_per_season: Summary,
    /// Chance that the season does not pay the owner's wage.
    pub below_wage: Chance,
    /// Chance that the season does not pay the owner's wage and the plant.
    pub below_all: Chance,
    /// Grade at which washing gravel that is already dug just pays: fuel, wages and running costs.
    pub wash_or_waste_mg_per_m3_bank: Summary,
    /// Break-even grade with the owner's wage and the plant.
    pub breakeven_all_mg_per_m3_bank: Summary,
    /// Raw gold per BANK volume over the season.
    pub grade_mg_per_m3_bank: Summary,
    /// Hours run in the season.
    pub run_h: Summary,
    /// Gravel washed in the season, LOOSE.
    pub washed_m3_loose: Summary,
    /// Gravel washed in the season, BANK.
    pub washed_m3_bank: Summary,
    /// Raw gold sold in the season.
    pub sold_g: Summary,
    /// Fuel of the season, m3, mean.
    pub fuel_m3: f64,
    /// The season line by line, means over the trials; what costs money is negative. The lines up to the first `net` add up
    /// to it.
    pub account: Vec<AccountLine>,
    /// Clean-ups.
    pub clean_up: CleanUpSummary,
    /// When the plant is paid off, if what it costs is said.
    pub payback: Option<Payback>,
    /// Present value over the seasons that the plant serves, if a discount rate is said.
    pub present_value: Option<PresentValue>,
    /// Net of the season over the trials, for drawing.
    pub histogram: Histogram,
    /// What should be known to read these numbers.
    pub notes: Vec<String>,
}

/// A chance with its 95 % interval, from the number of trials alone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Chance {
    /// Share of the trials.
    pub share: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Chance {
    /// Chance that a value lies below zero. With none below, or none above, the exact one-sided limit takes the place of
    /// "never" and "always".
    pub fn below_zero(values: &[f64]) -> Chance {
        let known = values.iter().filter(|v| !v.is_nan());
        let (mut n, mut hits) = (0.0_f64, 0.0_f64);
        for value in known {
            n += 1.0;
            hits += f64::from(u8::from(*value < 0.0));
        }
        if n == 0.0 {
            return Chance { share: 0.0, low: 0.0, high: 1.0 };
        }
        let (low, high) = if hits == 0.0 {
            (0.0, none_seen_upper(n, CONFIDENCE))
        } else if hits == n {
            (1.0 - none_seen_upper(n, CONFIDENCE), 1.0)
        } else {
            wilson(hits, n, CONFIDENCE)
        };
        Chance { share: hits / n, low, high }
    }
}

/// One line of the season's account.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AccountLine {
    /// Name in files.
    pub name: String,
    /// Plain words.
    pub words: String,
    /// Mean over the trials.
    pub mean: f64,
}

/// Clean-ups of a season.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct CleanUpSummary {
    /// Running time between two clean-ups, h; absent when there is but the one after the season.
    pub interval_h: Option<f64>,
    /// Clean-ups in the season, mean.
    pub number: f64,
    /// Hours of the season that the plant stands for clean-ups, mean.
    pub stopped_h: f64,
    /// Concentrate of one clean-up, kg; absent when no stage says what area holds it.
    pub concentrate_kg: Option<Summary>,
    /// Hours of work on the concentrate of one clean-up; absent when the rate of work is not said.
    pub work_up_h: Option<Summary>,
    /// Share of the gold caught by clean riffles that their filling loses.
    pub filling_loss: f64,
    /// Whether the growth of the loss as the riffles fill is known.
    pub filling_known: bool,
    /// Share of the gold in the box that the final clean-up loses.
    pub final_loss: f64,
    /// Share of the gold in each class that the final clean-up loses, by the classes of `recovery_by_size`.
    pub final_loss_by_size: Vec<f64>,
    /// Running time between clean-ups that brings the most money, h; absent when the growth of the loss is not known.
    pub best_interval_h: Option<Summary>,
    /// Money of a season given away by the interval of the scenario against the best one, mean.
    pub lost_by_interval: Option<f64>,
}

/// When the plant is paid off.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Payback {
    /// Money spent before the first season, mean.
    pub capital: f64,
    /// Seasons until it is back, after the owner's wage, over the trials in which it ever is; absent when it never is.
    pub seasons: Option<Summary>,
    /// Seasons until it is back in the middle of all runs; absent when it never is there.
    pub middle_seasons: Option<f64>,
    /// Seasons that the plant serves.
    pub life: u32,
    /// Chance that it is not back in that time.
    pub not_within_life: Chance,
}

/// Present value over several seasons like this one.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct PresentValue {
    /// Discount rate a year.
    pub rate: f64,
    /// Seasons.
    pub seasons: u32,
    /// Present value after the owner's wage, with what is left or owed at the end.
    pub value: Summary,
    /// Chance that it lies below zero.
    pub below_zero: Chance,
}

/// Trials by their net.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Histogram {
    /// Edges of the bars, one more than bars; zero is always an edge. The first and last bar hold all beyond.
    pub edges: Vec<f64>,
    /// Share of the trials in each bar.
    pub share: Vec<f64>,
}

impl Money {
    /// Sums up the seasons of a run; `None` for a plant without money. `present` are the gold classes shown in the result.
    pub fn new(plant: &Plant, seed: u64, statistics: &TrialStatistics, present: &[usize]) -> Option<Money> {
        Money::of(plant, &Seasons::new(plant, seed, statistics)?, statistics, present)
    }

    /// Sums up seasons that have been worked out.
    pub(crate) fn of(
        plant: &Plant,
        seasons: &Seasons,
        statistics: &TrialStatistics,
        present: &[usize],
    ) -> Option<Money> {
        let plan = plant.money.as_ref()?;
        let s = seasons;
        let per = |values: &[f64], by: &[f64]| -> Vec<f64> { values.iter().zip(by).map(|(v, b)| v / b).collect() };
        let chance = Chance::below_zero(&s.net);
        Some(Money {
            currency: plan.currency.clone(),
            net_per_h: over_trials(&per(&s.net, &s.run_s), S_PER_H),
            net_per_season: over_trials(&s.net, 1.0),
            breakeven_mg_per_m3_bank: over_trials(&s.break_even_kg_m3, MG_PER_KG),
            chance_of_loss: chance.share,
            chance_of_loss_interval: [chance.low, chance.high],
            net_per_h_one_period: over_trials(&s.period_net_per_s, S_PER_H),
            net_per_m3_loose: over_trials(&per(&s.net, &s.loose_m3), 1.0),
            net_per_m3_bank: over_trials(&per(&s.net, &s.bank_m3), 1.0),
            net_after_wage_per_season: over_trials(&s.after_wage, 1.0),
            net_after_all_per_season: over_trials(&s.after_all, 1.0),
            below_wage: Chance::below_zero(&s.after_wage),
            below_all: Chance::below_zero(&s.after_all),
            wash_or_waste_mg_per_m3_bank: over_trials(&s.wash_or_waste_kg_m3, MG_PER_KG),
            breakeven_all_mg_per_m3_bank: over_trials(&s.break_even_all_kg_m3, MG_PER_KG),
            grade_mg_per_m3_bank: over_trials(&s.grade_bank_kg_m3, MG_PER_KG),
            run_h: over_trials(&s.run_s, 1.0 / S_PER_H),
            washed_m3_loose: over_trials(&s.loose_m3, 1.0),
            washed_m3_bank: over_trials(&s.bank_m3, 1.0),
            sold_g: over_trials(&s.sold_kg, G_PER_KG),
            fuel_m3: s.account.fuel_m3,
            account: account(&s.account, plan),
            clean_up: clean_up(plan, s, statistics, present),
            payback: payback(plan, s),
            present_value: value(plan, s),
            histogram: histogram(&s.net),
            notes: notes(plant, plan, s),
        })
    }
}

fn account(a: &Account, plan: &MoneyPlan) -> Vec<AccountLine> {
    let costs = a.royalty + a.fuel + a.labour + a.running + a.stripping + a.fixed + a.clean_ups;
    let net = a.income - costs;
    let lines = [
        ("gold", "gold sold, after payable share and refining", a.income),
        ("royalty", "royalty", -a.royalty),
        ("fuel", "fuel of engines and machines", -a.fuel),
        ("labour", "wages without the owner's", -a.labour),
        ("running", "your costs by the hour and the yard", -a.running),
        ("stripping", "stripping", -a.stripping),
        ("season", "your costs by the season", -a.fixed),
        ("clean_ups", "clean-ups beside wages", -a.clean_ups),
        ("net", "left of the season", net),
        ("owner", "the owner's wage", -a.owner),
        ("plant", "share of the season in the plant", -a.build_share),
        ("net_after_all", "left after wage and plant", net - a.owner - a.build_share),
    ];
    let whole = a.owner != 0.0 || a.build_share != 0.0 || plan.build.seasons > 0;
    lines
        .into_iter()
        .filter(|(name, _, mean)| *mean != 0.0 || *name == "net" || (*name == "net_after_all" && whole))
        .filter(|(name, ..)| *name != "net_after_all" || whole)
        .map(|(name, words, mean)| AccountLine { name: name.into(), words: words.into(), mean })
        .collect()
}

fn mean_of(values: &[f64]) -> f64 {
    Moments::of(values).mean()
}

/// Mean and percentiles of the values that exist; `None` when none does.
fn where_known(values: &[f64], factor: f64) -> Option<Summary> {
    values.iter().any(|v| v.is_finite()).then(|| over_trials(values, factor))
}

fn clean_up(plan: &MoneyPlan, s: &Seasons, statistics: &TrialStatistics, present: &[usize]) -> CleanUpSummary {
    let c = &plan.clean_up;
    let caught: f64 = statistics.season.iter().map(|t| t.caught_kg_s).sum();
    // Gold of clean riffles over the same running time, for the share that filling takes.
    let clean: f64 = statistics.season.iter().zip(&s.run_s).map(|(t, run)| t.caught_kg_s * run).sum();
    let boxed: f64 = s.boxed_kg.iter().sum();
    let sold: f64 = s.sold_kg.iter().sum();
    let run = mean_of(&s.run_s);
    let final_loss = if boxed > 0.0 { 1.0 - sold / boxed } else { 0.0 };
    let by_table: f64 = statistics.season.iter().map(|t| t.clean_up_loss_kg_s).sum();
    // The factor on the table is common to all classes.
    let factor = if by_table > 0.0 { final_loss * caught / by_table } else { 1.0 };
    let number = if c.interval_s.is_finite() && c.interval_s < run { run / c.interval_s } else { 1.0 };
    let known = match c.loss_growth_per_s {
        sim_core::draw::Input::Fixed(b) => !b.is_nan(),
        sim_core::draw::Input::Drawn(_) => true,
    };
    CleanUpSummary {
        interval_h: c.interval_s.is_finite().then_some(c.interval_s / S_PER_H),
        number,
        stopped_h: if c.interval_s < run { number * c.stop_s / S_PER_H } else { 0.0 },
        concentrate_kg: where_known(&s.concentrate_kg, 1.0).filter(|k| k.mean > 0.0),
        work_up_h: where_known(&s.work_up_s, 1.0 / S_PER_H).filter(|h| h.mean > 0.0),
        filling_loss: if known && clean > 0.0 { 1.0 - boxed / clean } else { 0.0 },
        filling_known: known,
        final_loss,
        final_loss_by_size: present.iter().map(|g| (factor * c.loss_by_class[*g]).min(1.0)).collect(),
        best_interval_h: where_known(&s.best_interval_s, 1.0 / S_PER_H),
        lost_by_interval: where_known(&s.lost_by_interval, 1.0).map(|l| l.mean),
    }
}

fn payback(plan: &MoneyPlan, s: &Seasons) -> Option<Payback> {
    let capital = mean_of(&s.capital);
    if !(capital > 0.0) || plan.build.seasons == 0 {
        return None;
    }
    let life = plan.build.seasons;
    let seasons: Vec<f64> = s
        .capital
        .iter()
        .zip(&s.after_wage)
        .map(|(c, flow)| if *flow > 0.0 { c / flow } else { f64::INFINITY })
        .collect();
    let late: Vec<f64> = s
        .capital
        .iter()
        .zip(&s.after_wage)
        .map(|(c, flow)| {
            let flows = vec![*flow; life as usize];
            if payback_seasons(*c, &flows).is_some() { 1.0 } else { -1.0 }
        })
        .collect();
    let mut sorted: Vec<f64> = seasons.iter().copied().filter(|s| !s.is_nan()).collect();
    sorted.sort_by(f64::total_cmp);
    let middle = percentile_sorted(&sorted, 0.5);
    Some(Payback {
        capital,
        middle_seasons: middle.is_finite().then_some(middle),
        seasons: where_known(&seasons, 1.0),
        life,
        not_within_life: Chance::below_zero(&late),
    })
}

fn value(plan: &MoneyPlan, s: &Seasons) -> Option<PresentValue> {
    let rate = plan.build.discount?;
    let seasons = plan.build.seasons;
    if seasons == 0 {
        return None;
    }
    // Present value is a sum: what one unit of money a season is worth, and one unit in the last season.
    let each = present_value(0.0, &vec![1.0; seasons as usize], rate, Timing::MidSeason);
    let mut last = vec![0.0; seasons as usize];
    if let Some(flow) = last.last_mut() {
        *flow = 1.0;
    }
    let last = present_value(0.0, &last, rate, Timing::MidSeason);
    let values: Vec<f64> =
        s.capital.iter().zip(&s.after_wage).map(|(c, flow)| flow * each + plan.build.at_the_end * last - c).collect();
    Some(PresentValue { rate, seasons, value: over_trials(&values, 1.0), below_zero: Chance::below_zero(&values) })
}

/// Bars of one round width between the 1st and the 99th of a hundred seasons, with an edge at zero.
fn histogram(net: &[f64]) -> Histogram {
    let mut sorted: Vec<f64> = net.iter().copied().filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let (low, high) = (percentile_sorted(&sorted, 0.005), percentile_sorted(&sorted, 0.995));
    if !(high > low) {
        return Histogram { edges: Vec::new(), share: Vec::new() };
    }
    let width = round_step((high - low) / BARS as f64);
    let first = (low / width).floor();
    let bars = ((high / width).ceil() - first).max(1.0) as usize;
    let edges: Vec<f64> = (0..=bars).map(|i| (first + i as f64) * width).collect();
    let mut share = vec![0.0; bars];
    for v in &sorted {
        let at = (v / width).floor() - first;
        let bar = if at < 0.0 { 0 } else { (at as usize).min(bars - 1) };
        share[bar] += 1.0 / sorted.len() as f64;
    }
    Histogram { edges, share }
}

/// The round number 1, 2 or 5 times a power of ten at or above x.
fn round_step(x: f64) -> f64 {
    let ten = sim_core::math::pow(10.0, sim_core::math::log10(x).floor());
    [1.0, 2.0, 5.0, 10.0].iter().map(|f| f * ten).find(|s| *s >= x * 0.999_999).unwrap_or(10.0 * ten)
}

/// Rounded to three figures, for sentences.
fn three_figures(x: f64) -> f64 {
    let digits = 2 - sim_core::math::log10(x.abs().max(1e-300)).floor() as i32;
    let ten = sim_core::math::pow(10.0, f64::from(digits));
    (x * ten).round() / ten
}

/// Mean and middle grade of the ground, where taking one for the other would mislead.
fn mean_grade(plant: &Plant, s: &Seasons) -> Option<String> {
    let mut grades: Vec<f64> = s.grade_bank_kg_m3.iter().copied().filter(|v| v.is_finite()).collect();
    grades.sort_by(f64::total_cmp);
    let (mean, middle) = (mean_of(&grades), percentile_sorted(&grades, 0.5));
    let told = |x: f64| show(x, Dimension::Grade, plant.units);
    (mean > MEAN_OVER_MIDDLE * middle).then(|| {
        format!(
            "The mean grade, {} bank, is above the middle one, {}: most ground like this holds less than the mean. A grade in your own sums must say which of the two it is.",
            told(mean),
            told(middle)
        )
    })
}

fn notes(plant: &Plant, plan: &MoneyPlan, s: &Seasons) -> Vec<String> {
    let mut notes = Vec::new();
    let mut sorted: Vec<f64> = s.net.iter().copied().filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let mean = mean_of(&s.net);
    let middle = percentile_sorted(&sorted, 0.5);
    let below = sorted.partition_point(|v| *v < mean) as f64 / sorted.len().max(1) as f64;
    let money = |x: f64| format!("{} {}", plan.currency, with_commas(x));
    if mean * middle < 0.0 {
        notes.push(format!(
            "The mean season {} {}, the middle season {} {}: a few rich runs carry the mean, and {:.0} of 100 seasons end below it. Judge by the middle and by the chance of a loss.",
            if mean > 0.0 { "earns" } else { "loses" },
            money(three_figures(mean.abs())),
            if middle > 0.0 { "earns" } else { "loses" },
            money(three_figures(middle.abs())),
            100.0 * below
        ));
    } else if below > SKEWED {
        notes.push(format!(
            "{:.0} of 100 seasons end below the mean, {}: a few rich runs carry it. The middle season, {}, is the better guess for one season, the mean for many.",
            100.0 * below,
            money(three_figures(mean)),
            money(three_figures(middle))
        ));
    }
    notes.extend(mean_grade(plant, s));
    if !plant.measures.iter().any(|m| m.role == Role::EnginePower) {
        notes.push("No stage says what power it takes: the fuel holds only the machines that you listed.".into());
    } else if s.account.fuel_m3.is_nan() {
        notes.push("A stage could not say what power it takes: the fuel, and with it the money, has no value.".into());
    }
    if plan.owner_per_s == sim_core::draw::Input::Fixed(0.0)
        || matches!(plan.owner_per_s, sim_core::draw::Input::Fixed(w) if w.is_nan())
    {
        notes.push("No wage for the owner is counted: what is left is his pay.".into());
    }
    if s.account.box_full > OFTEN {
        notes.push(format!(
            "In {:.0} of 100 runs the riffles are full, and catch nothing more, before the clean-up comes: clean up sooner.",
            100.0 * s.account.box_full
        ));
    }
    if !plan.clean_up.interval_s.is_finite() {
        notes.push("No clean-up interval was given: the time that clean-ups take is not counted.".into());
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_the_bars_hold_all_trials_and_zero_is_an_edge() {
        let net: Vec<f64> = (0..5000).map(|i| -31_234.0 + 17.3 * f64::from(i)).collect();
        let h = histogram(&net);
        assert!((h.share.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        assert_eq!(h.edges.len(), h.share.len() + 1);
        assert!(h.edges.contains(&0.0), "{:?}", h.edges);
        let lost: f64 = h.edges.iter().zip(&h.share).filter(|(e, _)| **e < 0.0).map(|(_, s)| s).sum();
        assert!((lost - Chance::below_zero(&net).share).abs() < 1e-9);
    }

    #[test]
    fn identity_a_chance_is_never_said_to_be_nil() {
        let none = Chance::below_zero(&[1.0; 1000]);
        assert!(none.share == 0.0 && (none.high - 0.002_99).abs() < 1e-5);
        let all = Chance::below_zero(&[-1.0; 1000]);
        assert!(all.share == 1.0 && all.low < 1.0);
    }
}
