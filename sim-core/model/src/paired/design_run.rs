//! A plant's trials boiled down to what comparisons need.

use std::ops::Range;
use std::sync::atomic::AtomicU64;

use crate::money::Seasons;
use sim_core::money::averaging::Averaging;
use sim_core::need_met::NeedsMet;
use sim_core::plant::{Node, Note, Plant};
use sim_core::size::ByGold;
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::stage::{Measure, Severity};
use sim_core::stats::average::Moments;
use sim_core::stats::order::percentile_select;
use sim_core::trial::{BrokenBooks, Course, TrialStatistics, run_course};

/// Trials worked out at length (the pond day by day): enough for the means that comparisons print. Our choice.
const LONG_TRIALS_OF_ARM: u64 = 60;

/// A plant's trials in a pilot run, treated like those of its rivals.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PilotRun {
    /// As [`DesignRun::steady`].
    pub steady: Vec<f64>,
    /// As [`DesignRun::season_net`].
    pub season_net: Vec<f64>,
    /// Whether the plant stopped here.
    pub stopped: bool,
}

/// The trials that a design rests on.
pub(super) fn course(seed: u64, trials: Range<usize>) -> Course {
    Course { seed, trials, long_trials: LONG_TRIALS_OF_ARM }
}

/// The trials of one plant, small enough to keep many of them.
#[derive(Debug, Clone)]
pub struct DesignRun {
    /// Its name for tables.
    pub name: String,
    /// Gold fed in each trial, kg/s.
    pub fed: Vec<f64>,
    /// Gold caught in each trial, kg/s.
    pub caught: Vec<f64>,
    /// The same with what changes from hour to hour averaged out: what the plant would catch on this ground for a season.
    pub steady: Vec<f64>,
    /// Money of each trial's season before the owner's wage and the plant; empty without money in the scenario.
    pub season_net: Vec<f64>,
    /// The same after the owner's wage and the season's share in the plant.
    pub season_after_all: Vec<f64>,
    /// What it came to in the pilot run, before it went on or stopped; `None` without a pilot.
    pub pilot: Option<PilotRun>,
    /// Break-even grade of the season in the middle run, raw kg per BANK m3; NaN without money.
    pub break_even_kg_m3: f64,
    /// Mean time run in a season, s; NaN without money.
    pub season_run_s: f64,
    /// Water supplied in each trial, m3/s.
    pub supply: Vec<f64>,
    /// The greatest need for water in each of the first trials, m3/s.
    pub need: Vec<f64>,
    /// Share of the first trials in which some part gets less water than it needs.
    pub short_share: f64,
    /// Loose volume fed in each trial, m3/s.
    pub feed: Vec<f64>,
    /// Sum over all trials of gold fed by class, kg/s.
    pub fed_by_class: ByGold,
    /// Sum over all trials of gold caught by class, kg/s.
    pub caught_by_class: ByGold,
    /// Sum over all trials of gold lost by note and class, kg/s.
    pub lost_by_class: Vec<ByGold>,
    /// Stage and reason of each loss.
    pub notes: Vec<Note>,
    /// The measures of the plant, each with the id of its stage and its mean.
    pub measures: Vec<(String, Measure, f64)>,
    /// Mean rock that enters each stage, kg/s.
    pub rock_into: Vec<(String, f64)>,
    /// The stage that breaks the books, if they do not close: nothing may rest on such a run.
    pub broken: Option<BrokenBooks>,
    /// Share of the trials in which each limit was missed: stage, name, share.
    pub limits: Vec<(String, &'static str, f64)>,
}

impl DesignRun {
    /// Runs the trials of a plant. Two plants on the same seed see the same ground. `progress` counts the trials done.
    pub fn run(name: impl Into<String>, plant: &Plant, seed: u64, trials: usize, progress: &AtomicU64) -> DesignRun {
        let statistics = run_course(plant, &course(seed, 0..trials), progress);
        DesignRun::of(name, plant, seed, statistics, &Averaging::kept(&plant.inputs, seed, trials))
    }

    /// The trials of a plant boiled down.
    pub(super) fn of(
        name: impl Into<String>,
        plant: &Plant,
        seed: u64,
        statistics: TrialStatistics,
        averaging: &Averaging<'_>,
    ) -> DesignRun {
        let count = statistics.trials.max(1) as f64;
        let owner = |numbers: fn(&Node) -> &std::ops::Range<usize>, i: usize| {
            plant.nodes.iter().find(|n| numbers(n).contains(&i)).map_or(String::new(), |n| n.id.clone())
        };
        let mut seasons = Seasons::averaged(plant, seed, &statistics, averaging);
        let met = NeedsMet::of(plant, &statistics);
        let measures = plant.measures.iter().zip(&statistics.measures).enumerate();
        let limits = plant.warnings.iter().zip(&statistics.warned).enumerate();
        DesignRun {
            name: name.into(),
            pilot: None,
            steady: match &mut seasons {
                Some(seasons) => std::mem::take(&mut seasons.caught_kg_s),
                None => steady(&statistics, averaging),
            },
            season_run_s: seasons.as_ref().map_or(f64::NAN, |s| Moments::of(&s.run_s).mean()),
            break_even_kg_m3: seasons.as_ref().map_or(f64::NAN, |s| middle_of(&s.break_even_kg_m3)),
            season_after_all: seasons.as_mut().map_or_else(Vec::new, |s| std::mem::take(&mut s.after_all)),
            season_net: seasons.map_or_else(Vec::new, |s| s.net),
            need: greatest_need(&met),
            short_share: met.short_share(),
            measures: measures
                .map(|(i, (m, values))| (owner(|n| &n.measures, i), m.clone(), mean_of_finite(values)))
                .collect(),
            rock_into: plant.nodes.iter().map(|n| (n.id.clone(), rock_into(n, &statistics) / count)).collect(),
            limits: limits
                .filter(|(_, (w, raised))| w.severity == Severity::Limit && **raised > 0)
                .map(|(i, (w, raised))| (owner(|n| &n.warnings, i), w.id, *raised as f64 / count))
                .collect(),
            broken: statistics.broken,
            fed: statistics.fed,
            caught: statistics.caught,
            supply: statistics.supply,
            feed: statistics.feed,
            fed_by_class: statistics.fed_by_class,
            caught_by_class: statistics.caught_by_class,
            lost_by_class: statistics.lost_by_class,
            notes: plant.notes.clone(),
        }
    }

    /// Multiplies the sums of gold by class, fed, caught and lost: what few trials fed by chance is brought to what many fed.
    pub(super) fn scale_classes(&mut self, factor: impl Fn(usize) -> f64) {
        let books = std::iter::once(&mut self.fed_by_class)
            .chain(std::iter::once(&mut self.caught_by_class))
            .chain(&mut self.lost_by_class);
        for book in books {
            for (g, gold) in book.iter_mut().enumerate() {
                *gold *= factor(g);
            }
        }
    }

    /// Number of trials.
    pub fn trials(&self) -> usize {
        self.caught.len()
    }

    /// Recovery in each trial; 0 where no gold was fed.
    pub fn recovery(&self) -> Vec<f64> {
        self.caught.iter().zip(&self.fed).map(|(c, f)| if *f > 0.0 { c / f } else { 0.0 }).collect()
    }

    /// Caught over fed, all trials together.
    pub fn mean_recovery(&self) -> f64 {
        self.caught.iter().sum::<f64>() / self.fed.iter().sum::<f64>()
    }

    /// Gold caught in grains that `sizes` picks by their middle size in m, mean over the trials, kg/s.
    pub fn caught_of(&self, sizes: impl Fn(f64) -> bool) -> f64 {
        self.of_sizes(&self.caught_by_class, &sizes) / self.trials() as f64
    }

    /// Share of the gold fed lost for a reason that `which` picks, in grains that `sizes` picks by their middle size in m.
    pub fn lost_share(&self, which: impl Fn(&Note) -> bool, sizes: impl Fn(f64) -> bool) -> f64 {
        let fed: f64 = self.fed_by_class.iter().sum();
        let lost = self.notes.iter().zip(&self.lost_by_class).filter(|(n, _)| which(n));
        let picked: f64 = lost.map(|(_, l)| self.of_sizes(l, &sizes)).sum();
        picked / fed
    }

    /// Mean of a measure, by stage kind or id and name; NaN when there is none.
    pub fn measure(&self, stage: &str, name: &str) -> f64 {
        self.measures.iter().find(|(s, m, _)| s == stage && m.name == name).map_or(f64::NAN, |(_, _, mean)| *mean)
    }

    fn of_sizes(&self, gold: &ByGold, sizes: &impl Fn(f64) -> bool) -> f64 {
        (0..GOLD_CLASSES).filter(|g| sizes(gold_class(*g).middle_m)).map(|g| gold[g]).sum()
    }
}

/// Rock that enters a stage, summed over the trials, kg/s.
fn rock_into(node: &Node, statistics: &TrialStatistics) -> f64 {
    node.inlets.iter().flatten().filter_map(|slot| statistics.rock_by_slot.get(*slot)).flatten().sum()
}

/// Gold caught in each trial with what changes from hour to hour averaged out, kg/s, of a plant without money. Averaged is
/// the volume of ground whose gold is caught per second, which does not depend on how rich the trial's ground is.
fn steady(statistics: &TrialStatistics, averaging: &Averaging<'_>) -> Vec<f64> {
    let volume =
        statistics.caught.iter().zip(&statistics.grade_loose).map(|(c, g)| if *g > 0.0 { c / g } else { f64::NAN });
    let mut series = [volume.collect::<Vec<f64>>()];
    averaging.average_out(&mut series);
    let [volume] = series;
    volume.iter().zip(&statistics.grade_loose).map(|(v, g)| if v.is_finite() { v * g } else { 0.0 }).collect()
}

/// Middle of a list; infinite values (nothing that the ground could hold would pay) count as such.
fn middle_of(values: &[f64]) -> f64 {
    let mut known: Vec<f64> = values.iter().copied().filter(|v| !v.is_nan()).collect();
    if known.is_empty() { f64::NAN } else { percentile_select(&mut known, 0.5) }
}

fn mean_of_finite(values: &[f64]) -> f64 {
    let finite: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    Moments::of(&finite).mean()
}

/// The greatest of the needs in each of the first trials.
fn greatest_need(met: &NeedsMet) -> Vec<f64> {
    let greatest = |t: usize| met.needs.values().filter_map(|n| n.need_m3_s.get(t)).fold(0.0_f64, |a, b| a.max(*b));
    if met.needs.is_empty() { Vec::new() } else { (0..met.trials).map(greatest).collect() }
}
