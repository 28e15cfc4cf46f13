//! The command `losses`: why gold leaves, and which single change would save most, each tried by running the plant again.

use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use std::fmt::Write as _;
use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use rayon::prelude::*;
use serde_json::json;
use sim_core::plant::{Note, Plant};
use sim_core::quantity::{Dimension, show};
use sim_core::registry::Registry;
use sim_core::size::gold_class;
use washgraph_model::paired::{Arm, Gap, Named, gap};

use super::answer::{Answer, CommonArgs};
use super::base::Base;
use super::contest::{arms_beside, currency, mean};
use super::single_changes::{FEED, SingleChange, single_changes};
use super::words::{chance, money, percent, percent_of, points, signed};
use crate::exit::Exit;
use crate::figures::tornado::{Row, Tornado, tornado};
use crate::figures::words::{class, three};
use crate::progress::watched;
use crate::tables::{Cell, TableFile};

/// Changes shown in the terminal; the table holds all.
const SHOWN: usize = 8;
/// A limit missed in this share of the trials counts as missed.
const MISSED: f64 = 0.5;

/// Arguments of `losses`.
#[derive(Debug, clap::Args)]
pub(crate) struct LossesArgs {
    /// Scenario file
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// A change that was tried.
pub(crate) struct Tried {
    /// What is changed.
    pub change: SingleChange,
    /// The plant with it.
    pub arm: Arm,
    /// Gold caught against the present plant, kg/s.
    pub gold: Gap,
    /// Money of the season against the present plant.
    pub money: Option<Gap>,
}

impl Tried {
    /// Whether it feeds more or less, which changes how much gold comes in.
    pub fn feeds(&self) -> bool {
        self.change.of == FEED
    }
}

/// The single changes of a plant that can be built.
pub(crate) struct Candidates {
    plants: Vec<(SingleChange, Plant)>,
    refused: Vec<(String, String)>,
}

/// The present plant, every change that was tried, most gold first, and what could not be tried with the reason.
pub(crate) struct Trials {
    pub present: Arm,
    pub tried: Vec<Tried>,
    pub refused: Vec<(String, String)>,
}

impl Candidates {
    /// Builds the plant with each change.
    pub fn of(base: &Base<'_>) -> Candidates {
        let mut list = Candidates { plants: Vec::new(), refused: Vec::new() };
        let built: Vec<_> = single_changes(base)
            .into_par_iter()
            .map(|change| {
                let plant = base.variant(&change.changes);
                (change, plant)
            })
            .collect();
        for (change, plant) in built {
            match plant {
                Ok(plant) => list.plants.push((change, plant)),
                Err(reason) => list.refused.push((change.words, reason)),
            }
        }
        list
    }

    /// Number of trials that [`Self::run`] takes in all.
    pub fn total(&self, trials: u64) -> u64 {
        trials * (self.plants.len() as u64 + 1)
    }

    /// Tries every change on the same trials.
    pub fn run(self, base: &Base<'_>, seed: u64, trials: u64, done: &AtomicU64) -> Trials {
        let plants: Vec<Named<'_>> = self.plants.iter().map(|(c, plant)| (c.words.as_str(), plant)).collect();
        let (present, arms) = arms_beside(&base.plant, &plants, seed, trials as usize, done);
        let mut tried: Vec<Tried> = Vec::new();
        for ((change, _), arm) in self.plants.into_iter().zip(arms) {
            if let Some(gold) = gap(&present.steady, &arm.steady) {
                let money = gap(&present.season_net, &arm.season_net);
                tried.push(Tried { change, arm, gold, money });
            }
        }
        tried.sort_by(|a, b| b.gold.comparison.mean_gap.total_cmp(&a.gold.comparison.mean_gap));
        Trials { present, tried, refused: self.refused }
    }
}

/// Lists the losses and tries the changes.
pub(crate) fn losses(registry: &Registry, args: &LossesArgs) -> Exit {
    let Some(base) = Base::load(registry, &args.scenario) else { return Exit::BadInput };
    let trials = args.common.trials.unwrap_or(base.plant.trials);
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let candidates = Candidates::of(&base);
    let Trials { present, tried, refused } =
        watched(candidates.total(trials), |done| candidates.run(&base, seed, trials, done));
    if !(mean(&present.steady) > 0.0) {
        anstream::eprintln!("error: no gold is caught, or the physics has no answer here: check rates and grades");
        return Exit::Impossible;
    }
    let ledger = ledger(&present);
    let text = text(&base, &present, &ledger, &tried, &refused);
    let figures = match figure(&present, &tried) {
        Ok(figure) => vec![figure],
        Err(error) => {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    };
    let document = json!({
        "command": "losses", "scenario": args.scenario.display().to_string(), "seed": seed, "trials": trials,
        "gold_caught_g_per_h": mean(&present.steady) * G_H_PER_KG_S, "recovery": present.mean_recovery(),
        "losses": ledger.iter().map(|l| json!({
            "stage": l.note.stage, "reason": l.note.reason.name, "words": l.note.reason.words, "share_of_fed": l.share,
            "size_from_mm": l.sizes.0 * 1e3, "size_to_mm": l.sizes.1 * 1e3,
        })).collect::<Vec<_>>(),
        "changes": tried.iter().map(|t| json!({
            "change": t.change.words,
            "settings": t.change.changes.iter().map(|(p, v)| json!({ "path": p.text(), "value": v })).collect::<Vec<_>>(),
            "gold_g_per_h": super::compare::gap_json(&t.gold, G_H_PER_KG_S),
            "recovery": t.arm.mean_recovery(),
            "money_season": t.money.as_ref().map(|m| super::compare::gap_json(m, 1.0)),
        })).collect::<Vec<_>>(),
        "refused": refused.iter().map(|(n, r)| json!({ "change": n, "reason": r })).collect::<Vec<_>>(),
    });
    let tables = vec![ledger_table(&ledger), changes_table(&present, &tried)];
    Answer { command: "losses", text, document, tables, figures, exit: Exit::Done }
        .deliver(&args.scenario, &args.common)
}

/// One line of the ledger.
struct LedgerLine {
    note: Note,
    share: f64,
    /// Sizes between which four fifths of it lie, m.
    sizes: (f64, f64),
}

fn ledger(arm: &Arm) -> Vec<LedgerLine> {
    let fed: f64 = arm.fed_by_class.iter().sum();
    let mut list: Vec<LedgerLine> = Vec::new();
    for (note, lost) in arm.notes.iter().zip(&arm.lost_by_class) {
        let total: f64 = lost.iter().sum();
        if total / fed < 1e-6 {
            continue;
        }
        let (mut sum, mut from, mut to) = (0.0, None, None);
        for (g, own) in lost.iter().enumerate() {
            sum += own;
            if from.is_none() && sum > 0.1 * total {
                from = Some(gold_class(g).from_m);
            }
            if to.is_none() && sum >= 0.9 * total {
                to = Some(gold_class(g).to_m);
            }
        }
        let sizes = (from.unwrap_or(0.0), to.unwrap_or(f64::INFINITY));
        list.push(LedgerLine { note: note.clone(), share: total / fed, sizes });
    }
    list.sort_by(|a, b| b.share.total_cmp(&a.share));
    list
}

fn ledger_table(ledger: &[LedgerLine]) -> TableFile {
    let mut table =
        TableFile::new("ledger", &["stage", "reason", "words", "share_of_fed", "most_from_mm", "most_to_mm"]);
    for l in ledger {
        table.row([
            l.note.stage.clone().into(),
            l.note.reason.name.into(),
            l.note.reason.words.into(),
            l.share.into(),
            (l.sizes.0 * 1e3).into(),
            (l.sizes.1 * 1e3).into(),
        ]);
    }
    table
}

fn changes_table(present: &Arm, tried: &[Tried]) -> TableFile {
    let mut table = TableFile::new(
        "changes",
        &[
            "change",
            "gold_gap_mean_g_per_h",
            "gold_gap_1_in_10_below_g_per_h",
            "gold_gap_1_in_10_above_g_per_h",
            "chance_better",
            "recovery_share",
            "recovery_gap_share",
            "water_supply_gap_m3_per_h",
            "water_need_gap_m3_per_h",
            "short_of_water_share_of_runs",
            "money_season_gap_mean",
            "money_season_gap_1_in_10_below",
            "money_season_gap_1_in_10_above",
            "limits_newly_missed",
        ],
    );
    for t in tried {
        let (g, m) = (&t.gold, t.money.as_ref());
        let mut row: Vec<Cell> = vec![t.change.words.clone().into()];
        let numbers = [
            g.comparison.mean_gap * G_H_PER_KG_S,
            g.pctl_10 * G_H_PER_KG_S,
            g.pctl_90 * G_H_PER_KG_S,
            g.comparison.chance_a,
            t.arm.mean_recovery(),
            t.arm.mean_recovery() - present.mean_recovery(),
            (mean(&t.arm.supply) - mean(&present.supply)) * S_PER_H,
            (mean(&t.arm.need) - mean(&present.need)) * S_PER_H,
            t.arm.short_share,
        ];
        row.extend(numbers.map(Cell::from));
        row.extend([m.map(|m| m.comparison.mean_gap), m.map(|m| m.pctl_10), m.map(|m| m.pctl_90)].map(Cell::from));
        row.push(newly_missed(present, &t.arm).join("; ").into());
        table.row(row);
    }
    table
}

/// Limits that the change makes the plant miss.
pub(crate) fn newly_missed(present: &Arm, arm: &Arm) -> Vec<String> {
    let missed = |a: &Arm, id: &str| a.limits.iter().any(|l| l.1 == id && l.2 > MISSED);
    let mut list: Vec<String> = Vec::new();
    for (stage, id, _) in arm.limits.iter().filter(|l| l.2 > MISSED && !missed(present, l.1)) {
        list.push(format!("{stage}: {id}"));
    }
    if arm.short_share > MISSED && present.short_share <= MISSED {
        list.push("short of water".into());
    }
    list
}

fn text(
    base: &Base<'_>,
    present: &Arm,
    ledger: &[LedgerLine],
    tried: &[Tried],
    refused: &[(String, String)],
) -> String {
    let trials = present.trials();
    let units = base.plant.units;
    let mut t = format!("{}\n", base.plant.title);
    let _ = writeln!(
        t,
        "Of the gold fed, {} is caught ({:.2} g of raw gold an hour, averaged over a season). The rest goes:",
        percent(present.mean_recovery()),
        mean(&present.steady) * G_H_PER_KG_S
    );
    for l in ledger.iter().filter(|l| l.share >= 0.0005) {
        let to = l.sizes.1.is_finite().then_some(l.sizes.1 * 1e3);
        let _ = writeln!(
            t,
            "  {:>6}  at the {}: {}; most of it {}",
            percent(l.share),
            l.note.stage,
            l.note.reason.words,
            class(l.sizes.0 * 1e3, to)
        );
    }
    let feeds = |x: &&Tried| x.feeds();
    let _ = writeln!(t, "\nSingle changes that save the most gold, each tried on the same ground, all else as it is:");
    for x in tried.iter().filter(|x| !feeds(x) && x.gold.comparison.mean_gap > 0.0).take(SHOWN) {
        t.push_str(&line(base, present, x, trials, units));
    }
    let _ = writeln!(t, "Another feed changes how much gold comes in as well as how much of it is lost:");
    for x in tried.iter().filter(feeds) {
        t.push_str(&line(base, present, x, trials, units));
    }
    let none = tried.iter().filter(|x| x.gold.comparison.mean_gap <= 0.0).count();
    let _ = writeln!(
        t,
        "{none} of {} changes bring less gold than now (changes.csv). What a change costs to make is not counted.",
        tried.len()
    );
    for (words, reason) in refused {
        let _ = writeln!(t, "Not tried, {words}: {reason}");
    }
    if present.short_share > MISSED {
        let _ =
            writeln!(t, "This plant is short of water in {} of runs: see to that first.", percent(present.short_share));
    }
    let _ = writeln!(t, "{trials} common trials a change. A planning estimate on assumed constants, not a promise.");
    t
}

fn line(base: &Base<'_>, present: &Arm, x: &Tried, trials: usize, units: sim_core::quantity::UnitChoice) -> String {
    let g = &x.gold;
    let mut t = format!(
        "  {} g/h ({}): {}\n      1 run in 10 falls below {}, 1 in 10 is above {}; better in {} of runs; caught {} ({})",
        signed(g.comparison.mean_gap * G_H_PER_KG_S),
        percent_of(g.comparison.mean_gap, g.from),
        x.change.words,
        signed(g.pctl_10 * G_H_PER_KG_S),
        signed(g.pctl_90 * G_H_PER_KG_S),
        chance(g.comparison.chance_a, trials),
        percent(x.arm.mean_recovery()),
        points(x.arm.mean_recovery() - present.mean_recovery()),
    );
    let mut side: Vec<String> = Vec::new();
    if let Some((stage, reason, saved)) = most_saved(present, &x.arm) {
        side.push(format!("saves mostly from \"{reason}\" at the {stage} ({})", points(-saved)));
    }
    let water = mean(&x.arm.supply) - mean(&present.supply);
    if water.abs() > 0.005 * mean(&present.supply) {
        let more = if water > 0.0 { "more" } else { "less" };
        side.push(format!("{} {more} water supplied", show(water.abs(), Dimension::Flow, units)));
    }
    let need = mean(&x.arm.need) - mean(&present.need);
    if need.abs() > 0.005 * mean(&present.need) {
        let more = if need > 0.0 { "more" } else { "less" };
        side.push(format!("{} {more} water needed", show(need.abs(), Dimension::Flow, units)));
    }
    if let Some(m) = &x.money {
        let gap = m.comparison.mean_gap;
        let word = if gap < 0.0 { "less" } else { "more" };
        side.push(format!("{} {word} a season", money(gap.abs(), currency(&base.plant))));
    }
    side.extend(newly_missed(present, &x.arm).iter().map(|l| format!("BUT {l}")));
    if !side.is_empty() {
        let _ = write!(t, "\n      {}", side.join("; "));
    }
    t.push('\n');
    t
}

/// The loss that the change reduces most: stage, reason, share of the gold fed.
fn most_saved(present: &Arm, arm: &Arm) -> Option<(String, String, f64)> {
    present
        .notes
        .iter()
        .map(|note| {
            let share = |a: &Arm| a.lost_share(|n| n == note, |_| true);
            (note.stage.clone(), note.reason.name.to_string(), share(present) - share(arm))
        })
        .filter(|x| x.2 > 5e-4)
        .max_by(|a, b| a.2.total_cmp(&b.2))
}

fn figure(present: &Arm, tried: &[Tried]) -> Result<crate::figures::Figure, crate::figures::FigureError> {
    let now = mean(&present.steady) * G_H_PER_KG_S;
    let own: Vec<&Tried> = tried.iter().filter(|t| !t.feeds()).collect();
    let rows: Vec<Row> = own
        .iter()
        .take(SHOWN)
        .map(|t| Row {
            name: t.change.words.clone(),
            group: format!("better in {} of runs", chance(t.gold.comparison.chance_a, present.trials())),
            at_low: now + t.gold.pctl_10 * G_H_PER_KG_S,
            at_high: now + t.gold.pctl_90 * G_H_PER_KG_S,
        })
        .collect();
    let title = match own.first() {
        Some(t) if t.gold.comparison.mean_gap > 0.0 => format!(
            "The change that saves most: {}, {} g/h",
            t.change.words.split(" (").next().unwrap_or(""),
            signed(t.gold.comparison.mean_gap * G_H_PER_KG_S)
        ),
        _ => "No single change saves gold".to_string(),
    };
    tornado(&Tornado {
        title,
        what: format!("Raw gold, g/h; now {}", three(now)),
        key: "each bar spans 8 runs in 10".into(),
        middle: now,
        middle_name: "now",
        rows,
    })
}
