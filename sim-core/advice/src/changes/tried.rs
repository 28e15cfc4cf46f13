//! What each loss would cost to stop: single changes of the plant, each run again on a few common trials.

use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use std::sync::atomic::AtomicU64;

use sim_core::lever::Serves;
use sim_core::problem::Problems;
use sim_core::registry::Registry;
use sim_core::stats::average::Moments;
use washgraph_model::result::Loss;
use washgraph_model::scenario::{Opened, build};

use super::candidates::{Candidates, Trials, Tried, newly_missed};
use crate::plants::base::Base;

/// Trials of each change. Two plants on the same ground differ so evenly that the mean of these is known to a tenth of the
/// spread from run to run.
const TRIALS: u64 = 128;
/// A change that takes less than this off a loss does not stop it, and one that takes less than the second does nothing to it.
/// Our choice.
pub const OFF: (f64, f64) = (0.1, 0.005);
/// Less gold than this is none, g/h.
pub const NO_GOLD: f64 = 5e-4;

/// A single change and what it did.
#[derive(Debug, Clone)]
pub struct Change {
    /// What is done.
    pub words: String,
    /// What the setting that is moved serves, where that counts.
    pub serves: Option<Serves>,
    /// Whether it feeds more: that moves shares of losses without stopping any.
    pub feeds_more: bool,
    /// Raw gold caught against now, g/h: mean, 1 run in 10 below, 1 run in 10 above.
    pub gold_g_h: [f64; 3],
    /// Share of the runs in which it catches more.
    pub better: f64,
    /// Share of the gold caught.
    pub recovery: f64,
    /// Water supplied and water needed against now, m3/h.
    pub water_m3_h: (f64, f64),
    /// Money of the season against now, mean.
    pub season: Option<f64>,
    /// Limits missed that are not missed now.
    pub missed: Vec<String>,
    /// Share of the gold fed lost by stage and reason: now, and with the change.
    pub losses: Vec<(String, String, f64, f64)>,
}

/// All of them.
#[derive(Debug, Clone, Default)]
pub struct Changes {
    /// The changes.
    pub list: Vec<Change>,
    /// Trials of each.
    pub trials: u64,
    /// Currency of the money; empty without.
    pub currency: String,
    /// Water supplied now, m3/h, to tell what is worth a word.
    pub supply_m3_h: f64,
}

impl Changes {
    /// Tries the changes of a scenario; none when it cannot be built.
    pub fn work_out(registry: &Registry, opened: &Opened, seed: u64) -> Changes {
        let Some(plant) = build(opened, registry, &mut Problems::default()) else { return Changes::default() };
        let Ok(base) = Base::of(registry, opened.clone(), plant) else { return Changes::default() };
        let found = Candidates::of(&base).run(&base, seed, TRIALS, &AtomicU64::new(0));
        let mean = |values: &[f64]| Moments::of(values).mean();
        Changes {
            list: found.tried.iter().map(|t| change(&found, t)).filter(|c| c.gold_g_h[0].is_finite()).collect(),
            trials: TRIALS,
            currency: base.plant.money.as_ref().map_or(String::new(), |m| m.currency.clone()),
            supply_m3_h: mean(&found.present.supply) * S_PER_H,
        }
    }

    /// The change that takes most off a loss, and what share of it: among those that bring gold in all, or else one that takes a
    /// good part of it whatever it does to the rest. Feeding less counts where the plant then catches more in an hour; feeding more
    /// stops nothing.
    pub fn against(&self, loss: &Loss) -> Option<(&Change, f64)> {
        let off = |c: &Change| {
            let of = c.losses.iter().find(|l| l.0 == loss.stage && l.1 == loss.reason)?;
            (of.2 > 0.0).then(|| (of.2 - of.3) / of.2)
        };
        let most = |least: f64, keep: &dyn Fn(&Change) -> bool| {
            let list = self.list.iter().filter(|c| keep(c)).filter_map(|c| Some((c, off(c)?)));
            list.filter(|(_, v)| *v >= least).max_by(|a, b| a.1.total_cmp(&b.1))
        };
        most(OFF.0, &|c| c.gold_g_h[0] > 0.0 && !c.feeds_more)
            .or_else(|| most(OFF.0, &|c| !c.feeds_more))
            .or_else(|| most(OFF.1, &|c| c.gold_g_h[0] > 0.0 && !c.feeds_more))
    }
}

fn change(found: &Trials, t: &Tried) -> Change {
    let present = &found.present;
    let mean = |values: &[f64]| Moments::of(values).mean() * S_PER_H;
    let lost = |design_run: &washgraph_model::paired::DesignRun, note: &sim_core::plant::Note| {
        design_run.lost_share(|n| n == note, |_| true)
    };
    Change {
        words: t.change.words.clone(),
        serves: t.change.lever.serves,
        feeds_more: t.feeds() && t.change.rises,
        gold_g_h: [t.gold.comparison.mean_gap, t.gold.pctl_10, t.gold.pctl_90].map(|v| v * G_H_PER_KG_S),
        better: t.gold.comparison.chance_a,
        recovery: t.design_run.mean_recovery(),
        water_m3_h: (
            mean(&t.design_run.supply) - mean(&present.supply),
            mean(&t.design_run.need) - mean(&present.need),
        ),
        season: t.money.as_ref().map(|m| m.comparison.mean_gap),
        missed: newly_missed(present, &t.design_run).into_iter().map(|l| l.replace('-', " ")).collect(),
        losses: present
            .notes
            .iter()
            .map(|note| {
                (note.stage.clone(), note.reason.name.to_string(), lost(present, note), lost(&t.design_run, note))
            })
            .collect(),
    }
}
