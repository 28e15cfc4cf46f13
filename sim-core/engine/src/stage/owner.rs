//! Who declares a thing: one of the kinds, or nobody but the plant as a whole.

use super::{OutletKind, SectionKind, StageKind};

/// Who declares something.
#[derive(Debug, Clone, Copy)]
pub enum Owner {
    /// The plant as a whole.
    Plant,
    /// A kind of stage.
    Stage(&'static StageKind),
    /// A kind of drum section.
    Section(&'static SectionKind),
    /// A kind of water outlet.
    Outlet(&'static OutletKind),
}

impl Owner {
    /// Name of the kind; empty for the plant.
    pub fn name(&self) -> &'static str {
        match self {
            Owner::Plant => "",
            Owner::Stage(kind) => kind.name,
            Owner::Section(kind) => kind.name,
            Owner::Outlet(kind) => kind.name,
        }
    }

    /// In words, e.g. ``stage `pump` ``.
    pub fn words(&self) -> String {
        match self {
            Owner::Plant => "the engine".to_string(),
            Owner::Stage(kind) => format!("stage `{}`", kind.name),
            Owner::Section(kind) => format!("section `{}`", kind.name),
            Owner::Outlet(kind) => format!("water outlet `{}`", kind.name),
        }
    }
}

/// Something that is declared, and by whom.
#[derive(Debug)]
pub struct Declared<T: 'static> {
    /// Who declares it.
    pub owner: Owner,
    /// The thing.
    pub thing: &'static T,
}

impl<T> Clone for Declared<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Declared<T> {}
