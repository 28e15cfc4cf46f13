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

/// Every check, each id once.
pub fn checks(registry: &Registry) -> Vec<&'static Check> {
    let mut list = registry.checks();
    list.extend(crate::tune::checks());
    let mut seen = std::collections::BTreeSet::new();
    list.retain(|c| seen.insert(c.id));
    list
}
