//! What bears on a symptom that is no fault to undo: moves of levers that say they may ease it, tried one at a time.

use crate::plants::base::{Base, Change};

/// The moves against a symptom that this plant has a place for: what each says, and its changes.
pub fn steps(base: &Base<'_>, symptom: &str) -> Vec<(String, Vec<Change>)> {
    let mut list = Vec::new();
    for at in base.levers() {
        for way in at.lever.moves().filter(|m| m.eases.contains(&symptom)) {
            let Some(changes) = base.moved(&at, way.by) else { continue };
            let Some((path, value)) = changes.first() else { continue };
            let now = base.in_force(&path.text()).map_or(String::new(), |now| format!("{now} -> "));
            list.push((format!("{}: {now}{value} ({})", way.words, path.text()), changes));
        }
    }
    list
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use sim_core::lever::Lever;

    #[test]
    fn identity_every_symptom_that_a_move_eases_is_one_that_can_be_seen() {
        let registry = washgraph_standard_stages::registry();
        let known: BTreeSet<&str> = registry.symptoms().iter().map(|s| s.thing.name).collect();
        let stages = registry.stages().iter().flat_map(|k| k.levers);
        let sections = registry.sections().iter().flat_map(|k| k.levers);
        let outlets = registry.outlets().iter().flat_map(|k| k.levers);
        let all: Vec<&Lever> = stages.chain(sections).chain(outlets).collect();
        let eased: BTreeSet<&str> = all.iter().flat_map(|l| l.moves()).flat_map(|m| m.eases.iter().copied()).collect();
        assert!(eased.len() > 10 && eased.is_subset(&known), "{:?}", eased.difference(&known));
    }
}
