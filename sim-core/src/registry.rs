//! The explicit list of kinds that a program knows. No link-time magic: what is not in the list is not there.

use crate::check::Check;
use crate::formula::Formula;
use crate::stage::{OutletKind, SectionKind, StageKind};

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
    /// Every handbook entry: those of the engine and those of the kinds.
    pub fn formulas(&self) -> Vec<&'static Formula> {
        let mut list: Vec<&'static Formula> = Vec::new();
        list.extend(crate::quantity::formulas());
        list.extend(crate::size::formulas());
        list.extend(crate::particle::formulas());
        list.extend(crate::drum::formulas());
        list.extend(crate::hydraulics::formulas());
        list.extend(crate::stats::formulas());
        list.extend(crate::field::formulas());
        list.extend(crate::money::formulas());
        list.extend(crate::tune::formulas());
        list.extend(self.stages.iter().flat_map(|k| (k.formulas)()));
        list.extend(self.sections.iter().flat_map(|k| (k.formulas)()));
        list.extend(self.outlets.iter().flat_map(|k| (k.formulas)()));
        let mut seen = std::collections::BTreeSet::new();
        list.retain(|f| seen.insert(f.name));
        list
    }

    /// Every published-value check: those of the engine and those of the kinds.
    pub fn checks(&self) -> Vec<&'static Check> {
        let mut list: Vec<&'static Check> = Vec::new();
        list.extend(crate::quantity::checks());
        list.extend(crate::size::checks());
        list.extend(crate::particle::checks());
        list.extend(crate::drum::checks());
        list.extend(crate::hydraulics::checks());
        list.extend(crate::stats::checks());
        list.extend(crate::field::checks());
        list.extend(crate::money::checks());
        list.extend(crate::tune::checks());
        list.extend(self.stages.iter().flat_map(|k| (k.checks)()));
        list.extend(self.sections.iter().flat_map(|k| (k.checks)()));
        list.extend(self.outlets.iter().flat_map(|k| (k.checks)()));
        let mut seen = std::collections::BTreeSet::new();
        list.retain(|c| seen.insert(c.id));
        list
    }
}
