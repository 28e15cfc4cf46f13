//! Every formula and every check of a program: those of the engine and the kinds, and those of this crate.

use sim_core::check::Check;
use sim_core::formula::Formula;
use sim_core::registry::{Registry, faults_of_fault};

use crate::scenario::{FAULTS_OF_TABLES, TABLES};

/// Every handbook entry, each name once.
pub fn formulas(registry: &Registry) -> Vec<&'static Formula> {
    let mut list = registry.formulas();
    list.extend(crate::tune::formulas());
    let mut seen = std::collections::BTreeSet::new();
    list.retain(|f| seen.insert(f.name));
    list
}

/// What is wrong with a registry: [`Registry::problems`], and formulas, checks or faults that have a name of this crate.
pub fn problems(registry: &Registry) -> Vec<String> {
    let mut list = registry.problems();
    let (formulas, checks) = (registry.formulas(), registry.checks());
    for own in crate::tune::formulas() {
        if formulas.iter().any(|f| f.name == own.name && !f.is_same(own)) {
            list.push(format!("a formula of a kind is called `{}`, which is one of the engine: rename it", own.name));
        }
    }
    for (table, faults) in FAULTS_OF_TABLES {
        let settings = TABLES.iter().find(|t| t.name == *table).map_or(&[][..], |t| t.settings);
        for own in *faults {
            list.extend(
                faults_of_fault(own, settings).into_iter().map(|f| format!("[{table}]: fault `{}` {f}", own.name)),
            );
            if registry.faults().iter().any(|f| f.thing.name == own.name) {
                list.push(format!("a fault of a kind is called `{}`, which is one of [{table}]: rename it", own.name));
            }
        }
    }
    list.extend(crate::tune::observe::problems(registry));
    for own in crate::tune::checks() {
        if checks.iter().any(|c| c.id == own.id && !c.is_same(own)) {
            list.push(format!("a check of a kind has the id `{}`, which is one of the engine: rename it", own.id));
        }
    }
    list
}

/// Every check, each id once.
pub fn checks(registry: &Registry) -> Vec<&'static Check> {
    let mut list = registry.checks();
    list.extend(crate::tune::checks());
    let mut seen = std::collections::BTreeSet::new();
    list.retain(|c| seen.insert(c.id));
    list
}
