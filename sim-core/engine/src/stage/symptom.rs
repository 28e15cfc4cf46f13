//! What an owner sees that makes him ask, declared by the kind that it is seen at: which readings of the plant then move, which way,
//! and by how much counts.
//!
//! ```
//! use washgraph_engine::stage::{Goes, Sign, Symptom};
//!
//! static HARD: Symptom = Symptom::new("jig-bed-hard", "bed of the jig set hard")
//!     .also(&["jig packed", "bed does not dance"])
//!     .signs(&[Sign::new("jig-bed", Goes::Up, 0.2, 0.08)])
//!     .look_anyway(&["a grate bent up, so that stones lie on it"])
//!     .cautions(&["stop the jig and lock it out before you reach in"]);
//! assert_eq!(HARD.signs.len(), 1);
//! ```

/// Which way a reading must go for a sign to be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goes {
    /// Above what it should be, by a share of that.
    Up,
    /// Below what it should be, by a share of that.
    Down,
    /// Above what it should be, by an amount.
    UpBy,
    /// Below what it should be, by an amount.
    DownBy,
    /// Above a level, whatever it should be.
    Above,
    /// Below a level, whatever it should be.
    Below,
}

/// One sign of a symptom: a reading that moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sign {
    /// Name of the reading; `|` and another where a plant may lack it: the first that it has counts.
    pub reading: &'static str,
    /// Which way it goes.
    pub goes: Goes,
    /// By how much it counts: half of all owners would call it so here. A share, an amount or a level, by [`Goes`].
    pub counts: f64,
    /// How sharp that border is: standard deviation of where an owner draws it, in the same measure. Above 0.
    pub slack: f64,
}

impl Sign {
    /// A sign. Where it counts and how sharp that is, are the guess of who declares it.
    pub const fn new(reading: &'static str, goes: Goes, counts: f64, slack: f64) -> Sign {
        Sign { reading, goes, counts, slack }
    }
    /// Names of the readings, the first that a plant has counts.
    pub fn readings(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.reading.split('|')
    }
}

/// What is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Symptom {
    /// Name on the command line, kebab-case.
    pub name: &'static str,
    /// What is seen.
    pub seen: &'static str,
    /// Other words for it, for suggestions.
    pub also: &'static [&'static str],
    /// Its signs, all of which must be there.
    pub signs: &'static [Sign],
    /// What the model does not know and common practice looks at.
    pub look_anyway: &'static [&'static str],
    /// Cautions that go with looking.
    pub cautions: &'static [&'static str],
    /// What else the program can be asked about it, as a sentence; empty for nothing.
    pub ask_also: &'static str,
}

impl Symptom {
    /// A symptom with its name and what is seen.
    pub const fn new(name: &'static str, seen: &'static str) -> Symptom {
        Symptom { name, seen, also: &[], signs: &[], look_anyway: &[], cautions: &[], ask_also: "" }
    }
    /// Other words for it.
    pub const fn also(self, also: &'static [&'static str]) -> Symptom {
        Symptom { also, ..self }
    }
    /// Its signs.
    pub const fn signs(self, signs: &'static [Sign]) -> Symptom {
        Symptom { signs, ..self }
    }
    /// What the model does not know and common practice looks at.
    pub const fn look_anyway(self, look_anyway: &'static [&'static str]) -> Symptom {
        Symptom { look_anyway, ..self }
    }
    /// Cautions that go with looking.
    pub const fn cautions(self, cautions: &'static [&'static str]) -> Symptom {
        Symptom { cautions, ..self }
    }
    /// What else the program can be asked about it.
    pub const fn ask_also(self, ask_also: &'static str) -> Symptom {
        Symptom { ask_also, ..self }
    }
}
