//! The single changes that `losses` tries: what an owner can alter about a plant that stands there.

use sim_core::lever::Lever;

use crate::plants::base::{Base, Change};

/// One change that may be more than one setting (a hole takes its pitch with it).
#[derive(Debug, Clone)]
pub struct SingleChange {
    /// What is done, e.g. "box longer: from 10 ft to 15 ft".
    pub words: String,
    /// The lever that is moved: by what it serves a change is known, never by its words.
    pub lever: Lever,
    /// Whether the setting rises.
    pub rises: bool,
    /// The settings.
    pub changes: Vec<Change>,
}

/// Every change that this plant allows: each move of each lever that its kinds want tried.
pub fn single_changes(base: &Base<'_>) -> Vec<SingleChange> {
    let mut list = Vec::new();
    for at in base.levers() {
        for way in at.lever.moves().filter(|m| m.tried) {
            let Some(changes) = base.moved(&at, way.by) else { continue };
            let Some((_, to)) = changes.first() else { continue };
            let words = base.move_words(&at, way, to);
            list.push(SingleChange { words, lever: at.lever, rises: at.lever.more == Some(way), changes });
        }
    }
    list
}
