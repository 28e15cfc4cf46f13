//! A plant of changed settings: built, run, looked over.

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::stage::Role;
use sim_core::trial::Worker;
use washgraph_model::scenario::{Opened, build};
use washgraph_model::variant::{Settable, SettingPath, with};

use crate::Suite;

/// Trials for each value tried.
pub(crate) const TRIALS: u64 = 6;
/// Rounding only.
const CLOSED: f64 = 1e-12;
/// The pond's water goes round until it changes by less than this.
const CLOSED_POND_WATER: f64 = 1e-9;

impl Suite<'_> {
    /// The scenario with one setting changed.
    pub(crate) fn changed(&self, settable: &Settable, value: &str, all: &[Settable]) -> Result<Opened, String> {
        let path = SettingPath::among(&settable.path, all).map_err(|e| e.to_string())?;
        with(&self.opened, &[(path, value.to_string())]).map_err(|e| e.to_string())
    }

    /// What is wrong with a plant's trials, and with the draws of the input that was set, which must lie in its range. Empty when all
    /// is well, or the plant is refused with words.
    pub(crate) fn faults_of(&self, opened: &Opened, settable: &Settable) -> Vec<String> {
        let mut problems = Problems::default();
        let Some(plant) = build(opened, self.registry, &mut problems) else {
            let list = problems.in_order();
            return match list.iter().find(|p| p.message.is_empty()) {
                _ if list.is_empty() => vec!["refused without a word".into()],
                Some(_) => vec!["refused with an empty message".into()],
                None => Vec::new(),
            };
        };
        let name = format!("{}/{}", settable.owner, settable.setting.key);
        let own = plant.inputs.all().iter().position(|input| input.name == name);
        let (low, high) = settable.setting.range;
        let mut worker = Worker::new(&plant, 1);
        for trial in 0..TRIALS {
            worker.run_trial(trial);
            let drawn = own.map(|k| worker.input(k)).filter(|x| !(low..=high).contains(x));
            let outside = drawn.map(|x| format!("draws {x}, which is not between {low} and {high}"));
            if let Some(fault) = outside.or_else(|| self.fault_of(&worker)) {
                return vec![format!("trial {trial}: {fault}")];
            }
        }
        Vec::new()
    }

    /// What is wrong with the last trial.
    pub(crate) fn fault_of(&self, worker: &Worker<'_>) -> Option<String> {
        let (recovery, left) = (worker.recovery(), worker.residuals());
        let closes = left.gold < CLOSED && left.solids < CLOSED && left.water < CLOSED_POND_WATER;
        if !(0.0..=1.0 + CLOSED).contains(&recovery) {
            return Some(format!("recovery {recovery}"));
        }
        if !closes {
            return Some(format!("{left:?}"));
        }
        if worker.plant().money.is_some() && !worker.season_net().is_finite() {
            return Some(format!("net {}", worker.season_net()));
        }
        self.silent_measure(worker.plant(), worker)
    }

    /// A measure of the kinds asked that is not a number.
    fn silent_measure(&self, plant: &Plant, worker: &Worker<'_>) -> Option<String> {
        let nodes = plant.nodes.iter().filter(|n| self.asks_of(n.kind.name));
        let mut measures = nodes.flat_map(|n| n.measures.clone().map(move |m| (n, m)));
        let may_be_silent = |m: usize| {
            let measure = plant.measures.get(m);
            measure.is_some_and(|m| matches!(m.role, Role::OverDays { .. }) || self.silent.contains(&m.name.as_str()))
        };
        let silent = |m: usize| worker.measures.get(m).is_none_or(|x| x.is_nan()) && !may_be_silent(m);
        let (node, m) = measures.find(|(_, m)| silent(*m))?;
        Some(format!("measure `{}` of {} is not a number", plant.measures.get(m).map_or("", |m| &m.name), node.id))
    }
}
