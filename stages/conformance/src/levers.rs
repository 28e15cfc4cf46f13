//! Whether each move of a lever makes a plant that runs.

use rayon::prelude::*;
use sim_core::lever::Move;
use sim_core::problem::Problems;
use washgraph_advice::plants::base::Base;
use washgraph_advice::plants::levers::LeverAt;
use washgraph_model::scenario::build;
use washgraph_model::variant::with;

use crate::Suite;

impl Suite<'_> {
    /// Every move of the levers of the kinds, as `losses` and `diagnose` make it: the plant with it runs and its books close, or it is
    /// refused with words. A move that changes nothing here (a word that holds already) is none.
    pub fn levers(&self) -> Vec<String> {
        let Some(plant) = build(&self.opened, self.registry, &mut Problems::default()) else {
            return vec!["the scenario does not run".into()];
        };
        let base = match Base::of(self.registry, self.opened.clone(), plant) {
            Ok(base) => base,
            Err(error) => return vec![error.to_string()],
        };
        let names = self.names();
        let asked = base.levers().filter(|l| names.contains(&l.at.kind.as_str()));
        let moves: Vec<(LeverAt<'_>, Move)> =
            asked.flat_map(|l| l.lever.moves().map(|m| (l, m)).collect::<Vec<_>>()).collect();
        moves.par_iter().flat_map_iter(|(lever, way)| self.after(&base, lever, *way)).collect()
    }

    /// What is wrong with the plant after a move.
    fn after(&self, base: &Base<'_>, lever: &LeverAt<'_>, way: Move) -> Vec<String> {
        let Some(changes) = base.moved(lever, way.by) else { return Vec::new() };
        let told = |fault: String| format!("{}, {}: {fault}", lever.at.path, way.words);
        match with(&self.opened, &changes) {
            Ok(opened) => self.faults_of(&opened, lever.at).into_iter().map(told).collect(),
            Err(error) => vec![told(error.to_string())],
        }
    }
}
