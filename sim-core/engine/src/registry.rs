//! The explicit list of kinds that a program knows. No link-time magic: what is not in the list is not there.

use crate::stage::{OutletKind, SectionKind, StageKind};
use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

/// Kinds of stages, drum sections and water outlets.
#[derive(Debug, Default)]
pub struct Registry {
    /// Stages: nodes of the graph.
    pub stages: Vec<&'static StageKind>,
    /// Sections of a drum.
    pub sections: Vec<&'static SectionKind>,
    /// Water outlets.
    pub outlets: Vec<&'static OutletKind>,
}

impl Registry {
    /// Every handbook entry: those of the crates below this one and those of the kinds.
    pub fn formulas(&self) -> Vec<&'static Formula> {
        let mut list: Vec<&'static Formula> = Vec::new();
        list.extend(washgraph_units::handbook::formulas());
        list.extend(washgraph_physics::size::formulas());
        list.extend(washgraph_physics::particle::formulas());
        list.extend(washgraph_physics::drum::formulas());
        list.extend(washgraph_physics::hydraulics::formulas());
        list.extend(washgraph_stats::formulas());
        list.extend(washgraph_ground::field::formulas());
        list.extend(washgraph_money::formulas());
        list.extend(self.stages.iter().flat_map(|k| (k.formulas)()));
        list.extend(self.sections.iter().flat_map(|k| (k.formulas)()));
        list.extend(self.outlets.iter().flat_map(|k| (k.formulas)()));
        let mut seen = std::collections::BTreeSet::new();
        list.retain(|f| seen.insert(f.name));
        list
    }

    /// Every published-value check: those of the crates below this one and those of the kinds.
    pub fn checks(&self) -> Vec<&'static Check> {
        let mut list: Vec<&'static Check> = Vec::new();
        list.extend(washgraph_units::handbook::checks());
        list.extend(washgraph_physics::size::checks());
        list.extend(washgraph_physics::particle::checks());
        list.extend(washgraph_physics::drum::checks());
        list.extend(washgraph_physics::hydraulics::checks());
        list.extend(washgraph_stats::checks());
        list.extend(washgraph_ground::field::checks());
        list.extend(washgraph_money::checks());
        list.extend(self.stages.iter().flat_map(|k| (k.checks)()));
        list.extend(self.sections.iter().flat_map(|k| (k.checks)()));
        list.extend(self.outlets.iter().flat_map(|k| (k.checks)()));
        let mut seen = std::collections::BTreeSet::new();
        list.retain(|c| seen.insert(c.id));
        list
    }
}
