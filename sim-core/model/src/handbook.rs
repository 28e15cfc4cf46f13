//! Every formula and every check of a program: those of the engine and the kinds, and those of this crate.

use sim_core::check::Check;
use sim_core::formula::Formula;
use sim_core::registry::Registry;

/// Every handbook entry, each name once.
pub fn formulas(registry: &Registry) -> Vec<&'static Formula> {
    let mut list = registry.formulas();
    list.extend(crate::tune::formulas());
    let mut seen = std::collections::BTreeSet::new();
    list.retain(|f| seen.insert(f.name));
    list
}

/// What is wrong with a registry: [`Registry::problems`], and formulas or checks that have a name of this crate.
pub fn problems(registry: &Registry) -> Vec<String> {
    let mut list = registry.problems();
    let (formulas, checks) = (registry.formulas(), registry.checks());
    for own in crate::tune::formulas() {
        if formulas.iter().any(|f| f.name == own.name && !f.is_same(own)) {
            list.push(format!("a formula of a kind is called `{}`, which is one of the engine: rename it", own.name));
        }
    }
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
