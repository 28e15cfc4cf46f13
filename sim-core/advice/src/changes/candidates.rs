//! Single changes of a plant, each run on the same trials as the plant as it is.

use std::sync::atomic::AtomicU64;

use rayon::prelude::*;
use sim_core::lever::Serves;
use sim_core::plant::{Note, Plant};
use sim_core::size::gold_class;
use washgraph_model::paired::{DesignRun, Gap, Named, gap};

use super::single::{SingleChange, single_changes};
use crate::plants::base::Base;
use crate::plants::contest::designs_beside;

/// A limit missed in this share of the trials counts as missed.
pub const MISSED: f64 = 0.5;

/// A change that was tried.
pub struct Tried {
    /// What is changed.
    pub change: SingleChange,
    /// The plant with it.
    pub design_run: DesignRun,
    /// Gold caught against the present plant, kg/s.
    pub gold: Gap,
    /// Money of the season against the present plant.
    pub money: Option<Gap>,
}

impl Tried {
    /// Whether it feeds more or less, which changes how much gold comes in.
    pub fn feeds(&self) -> bool {
        self.change.lever.serves == Some(Serves::Feed)
    }
}

/// The single changes of a plant that can be built.
pub struct Candidates {
    plants: Vec<(SingleChange, Plant)>,
    refused: Vec<(String, String)>,
}

/// The present plant, every change that was tried, most gold first, and what could not be tried with the reason.
pub struct Trials {
    /// The present plant.
    pub present: DesignRun,
    /// Every change that was tried, most gold first.
    pub tried: Vec<Tried>,
    /// What could not be tried, with the reason.
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
        let (present, design_runs) = designs_beside(&base.plant, &plants, seed, trials as usize, done);
        let mut tried: Vec<Tried> = Vec::new();
        for ((change, _), design_run) in self.plants.into_iter().zip(design_runs) {
            if let Some(gold) = gap(&present.steady, &design_run.steady) {
                let money = gap(&present.season_net, &design_run.season_net);
                tried.push(Tried { change, design_run, gold, money });
            }
        }
        tried.sort_by(|a, b| b.gold.comparison.mean_gap.total_cmp(&a.gold.comparison.mean_gap));
        Trials { present, tried, refused: self.refused }
    }
}

/// One line of the ledger.
pub struct LedgerLine {
    /// Stage and reason.
    pub note: Note,
    /// Share of the gold fed.
    pub share: f64,
    /// Sizes between which four fifths of it lie, m.
    pub sizes: (f64, f64),
}

/// Where the gold of a plant goes, largest loss first; less than a millionth is left out.
pub fn ledger(design_run: &DesignRun) -> Vec<LedgerLine> {
    let fed: f64 = design_run.fed_by_class.iter().sum();
    let mut list: Vec<LedgerLine> = Vec::new();
    for (note, lost) in design_run.notes.iter().zip(&design_run.lost_by_class) {
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

/// Limits that the change makes the plant miss.
pub fn newly_missed(present: &DesignRun, design_run: &DesignRun) -> Vec<String> {
    let missed = |a: &DesignRun, id: &str| a.limits.iter().any(|l| l.1 == id && l.2 > MISSED);
    let mut list: Vec<String> = Vec::new();
    for (stage, id, _) in design_run.limits.iter().filter(|l| l.2 > MISSED && !missed(present, l.1)) {
        list.push(format!("{stage}: {id}"));
    }
    if design_run.short_share > MISSED && present.short_share <= MISSED {
        list.push("short of water".into());
    }
    list
}

/// The loss that the change reduces most: stage, reason, share of the gold fed.
pub fn most_saved(present: &DesignRun, design_run: &DesignRun) -> Option<(String, String, f64)> {
    present
        .notes
        .iter()
        .map(|note| {
            let share = |a: &DesignRun| a.lost_share(|n| n == note, |_| true);
            (note.stage.clone(), note.reason.name.to_string(), share(present) - share(design_run))
        })
        .filter(|x| x.2 > 5e-4)
        .max_by(|a, b| a.2.total_cmp(&b.2))
}
