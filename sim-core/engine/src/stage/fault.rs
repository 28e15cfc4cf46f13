//! What may go wrong with a kind, declared as data beside its settings: each fault a change of a setting in three grades, which the
//! model can run.
//!
//! ```
//! use washgraph_engine::stage::{Fault, Grade, Knob};
//!
//! static SLACK: Fault = Fault::new("jig-belt-slack", "belt of the jig slips")
//!     .knobs(&[Knob::new("strokes", [Grade::Times(0.9), Grade::Times(0.75), Grade::Times(0.5)])])
//!     .weight(1.5)
//!     .look("count the strokes of a minute")
//!     .undo("tighten the belt");
//! assert_eq!(SLACK.knobs[0].key, "strokes");
//! ```

/// How far a setting is moved by a fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Grade {
    /// Times what holds now.
    Times(f64),
    /// To this, as an owner would type it.
    To(&'static str),
    /// More by this, SI.
    Plus(f64),
    /// To this share of another setting of the same table, such as wear as a share of the hole.
    ShareOf(f64, &'static str),
    /// These words more in a list of words, such as fittings of a hose.
    More(&'static str),
}

/// Where a setting starts that the scenario does not give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Start {
    /// Key of the setting at whose value it then stands.
    pub of: &'static str,
    /// What both are taken to be where the scenario gives neither: their ratio alone counts.
    pub or: &'static str,
}

/// A setting that a fault moves.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Knob {
    /// Key among the settings of the kind.
    pub key: &'static str,
    /// Slight, middling, bad.
    pub grades: [Grade; 3],
    /// Key and word of a choice: it counts only where that word holds.
    pub when: Option<(&'static str, &'static str)>,
    /// Where it starts when the scenario does not give it; `None`: it must be given or have a usual value.
    pub start: Option<Start>,
}

impl Knob {
    /// A setting and how far it is moved: slight, middling, bad.
    pub const fn new(key: &'static str, grades: [Grade; 3]) -> Knob {
        Knob { key, grades, when: None, start: None }
    }
    /// Only where a choice of the same table has this word.
    pub const fn when(self, key: &'static str, word: &'static str) -> Knob {
        Knob { when: Some((key, word)), ..self }
    }
    /// Where the scenario does not give it, it stands at the value of another setting; where it gives neither, both are taken to be
    /// `or`, for then their ratio alone counts.
    pub const fn starts_at(self, of: &'static str, or: &'static str) -> Knob {
        Knob { start: Some(Start { of, or }), ..self }
    }
}

/// Something that goes wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Fault {
    /// Name on the command line and in files, kebab-case.
    pub name: &'static str,
    /// What is wrong.
    pub words: &'static str,
    /// What it moves: the first of these that the scenario has a place for.
    pub knobs: &'static [Knob],
    /// How often it happens beside the other faults. A guess of who declares it; owners can set their own.
    pub weight: f64,
    /// How to look at it directly.
    pub look: &'static str,
    /// What undoes it; empty when the owner cannot.
    pub undo: &'static str,
    /// Name of the symptom that it is itself under another name, and so explains nothing of; empty for none.
    pub itself: &'static str,
}

impl Fault {
    /// A fault with its name and what is wrong; as often as one other fault until [`Self::weight`] says more.
    pub const fn new(name: &'static str, words: &'static str) -> Fault {
        Fault { name, words, knobs: &[], weight: 1.0, look: "", undo: "", itself: "" }
    }
    /// What it moves: the first of these that the scenario has a place for.
    pub const fn knobs(self, knobs: &'static [Knob]) -> Fault {
        Fault { knobs, ..self }
    }
    /// How often it happens beside the other faults, at a guess.
    pub const fn weight(self, weight: f64) -> Fault {
        Fault { weight, ..self }
    }
    /// How to look at it directly.
    pub const fn look(self, look: &'static str) -> Fault {
        Fault { look, ..self }
    }
    /// What undoes it.
    pub const fn undo(self, undo: &'static str) -> Fault {
        Fault { undo, ..self }
    }
    /// The symptom that it is itself under another name.
    pub const fn is_itself(self, symptom: &'static str) -> Fault {
        Fault { itself: symptom, ..self }
    }
}
