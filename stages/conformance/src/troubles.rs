//! What the kinds say goes wrong with them, and what can be read off them: whether the plant can have it.

use rayon::prelude::*;
use sim_core::problem::Problems;
use sim_core::readout::Readout;
use sim_core::stage::Source;
use sim_core::trial::Worker;
use washgraph_advice::diagnose::causes::{Candidate, candidates};
use washgraph_advice::plants::base::{Base, Change};
use washgraph_model::scenario::build;
use washgraph_model::variant::with;

use crate::Suite;
use crate::plant::TRIALS;

impl Suite<'_> {
    /// Each fault of the kinds has something to move, and its three grades run with all books closed, or are refused with words.
    pub fn troubles(&self) -> Vec<String> {
        let plant = build(&self.opened, self.registry, &mut Problems::default());
        let base = plant.and_then(|plant| Base::of(self.registry, self.opened.clone(), plant).ok());
        let Some(base) = base else { return vec!["the scenario does not run".into()] };
        let asked: Vec<_> = self.registry.faults().into_iter().filter(|f| self.asks_of(f.owner.name())).collect();
        let mine = |c: &Candidate| asked.iter().any(|f| f.thing.name == c.cause.name);
        let tried: Vec<Candidate> = candidates(&base).into_iter().filter(mine).collect();
        let idle = asked.iter().filter(|f| !tried.iter().any(|c| c.cause.name == f.thing.name));
        let mut list: Vec<String> =
            idle.map(|f| format!("fault `{}` has nothing to move here", f.thing.name)).collect();
        let graded = |c: &Candidate| -> Vec<String> {
            let grades = c.grades.iter().filter_map(|(changes, words)| Some((words, self.fault_with(changes)?)));
            let mut found: Vec<String> =
                grades.map(|(words, fault)| format!("fault `{}`, {words}: {fault}", c.cause.name)).collect();
            if c.grades.len() < c.cause.knobs.first().map_or(0, |k| k.grades.len()) {
                found.push(format!("fault `{}`: one of its grades moves nothing", c.cause.name));
            }
            found
        };
        list.extend(tried.par_iter().flat_map_iter(graded).collect::<Vec<_>>());
        list
    }

    /// What is wrong with the trials of a plant that was changed; nothing when it is refused with words.
    fn fault_with(&self, changes: &[Change]) -> Option<String> {
        let opened = match with(&self.opened, changes) {
            Ok(opened) => opened,
            Err(error) => return error.message.is_empty().then(|| "refused without a word".into()),
        };
        let mut problems = Problems::default();
        let Some(plant) = build(&opened, self.registry, &mut problems) else {
            let said = problems.in_order().iter().any(|p| !p.message.is_empty());
            return (!said).then(|| "refused without a word".into());
        };
        let mut worker = Worker::new(&plant, 1);
        (0..TRIALS).find_map(|trial| {
            worker.run_trial(trial);
            self.fault_of(&worker).map(|fault| format!("trial {trial}: {fault}"))
        })
    }

    /// Each reading of the kinds finds what it is read from, and has a number in the middle case.
    pub fn readings(&self) -> Vec<String> {
        let Some(plant) = build(&self.opened, self.registry, &mut Problems::default()) else {
            return vec!["the scenario does not run".into()];
        };
        let worker = Worker::new(&plant, 1);
        let mut list = Vec::new();
        for reading in self.registry.readings().into_iter().filter(|r| self.asks_of(r.owner.name())) {
            let (readout, name) = (Readout::of(&plant, reading), reading.thing.name);
            let value = readout.value(&worker);
            if !readout.is_there() {
                list.push(format!("reading `{name}` finds nothing to be read from: {:?}", reading.thing.source));
            } else if !value.is_finite() && !self.may_be_silent(&reading.thing.source) {
                list.push(format!("reading `{name}` is {value} in the middle case"));
            }
        }
        list
    }

    fn may_be_silent(&self, source: &Source) -> bool {
        match source {
            Source::Measure(name) => self.silent.contains(name),
            Source::Ratio(a, b) => self.may_be_silent(a) || self.may_be_silent(b),
            _ => *source == Source::Season,
        }
    }
}
