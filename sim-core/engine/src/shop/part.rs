//! A part of the plant as the shop needs it.

use super::drawing::Drawing;
use super::reading::Reading;
use washgraph_units::quantity::Dimension;
use washgraph_units::quantity::Phrase;

/// How sure a number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sure {
    /// The owner set it.
    Given,
    /// Not said by the owner: a usual value was taken.
    Taken,
    /// Follows from the sizes by geometry or a sum.
    Worked,
    /// Comes out of the run.
    Run,
    /// Common practice, no source.
    Practice,
    /// A published value, from memory.
    Memory,
    /// Assumed here.
    Assumed,
}

impl Sure {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Sure::Given => "as set",
            Sure::Taken => "taken, not set",
            Sure::Worked => "from the sizes",
            Sure::Run => "from the run",
            Sure::Practice => "common practice, no source",
            Sure::Memory => "from memory",
            Sure::Assumed => "assumed",
        }
    }
}

/// The number of a row.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// A quantity, SI.
    Size(f64, Dimension),
    /// From one to another, SI.
    Range(f64, f64, Dimension),
    /// So many.
    Count(u64),
    /// Over the runs, SI.
    Run(Reading, Dimension),
    /// Words.
    Words(Phrase),
}

/// A row of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopRow {
    /// What it is.
    pub what: String,
    /// The number.
    pub figure: Figure,
    /// How sure it is.
    pub sure: Sure,
    /// A word more; may be empty.
    pub note: Phrase,
    /// One of the few numbers that the part is built by: shown large.
    pub lead: bool,
}

/// How much of a piece, as it is priced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// So many.
    Count(f64),
    /// m.
    Length(f64),
    /// m2.
    Area(f64),
    /// kg.
    Mass(f64),
}

/// Something to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What is bought, as a price list would call it: `steel plate`.
    pub item: String,
    /// Its size.
    pub size: Phrase,
    /// What for.
    pub used_for: String,
    /// How much.
    pub amount: Amount,
    /// Weight of what is bought, kg; `None` when not known here.
    pub mass_kg: Option<f64>,
}

/// How fast work goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Pieces of work per second: slow, usual and fast.
    pub per_s: [f64; 3],
    /// How sure that is.
    pub sure: Sure,
}

/// Work to do, so many times the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Whose hours, as a price list would call them: `torch work`.
    pub item: String,
    /// What is done.
    pub used_for: String,
    /// How many times.
    pub count: f64,
    /// How fast; the owner may put in his own.
    pub pace: Pace,
}

/// One way to come by a part: make it, or buy it.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// In a few words.
    pub name: String,
    /// What to buy.
    pub pieces: Vec<Piece>,
    /// What to do.
    pub work: Vec<Work>,
}

/// A part of the plant as the shop needs it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ShopPart {
    /// Title.
    pub title: String,
    /// Numbers.
    pub rows: Vec<ShopRow>,
    /// Ways to come by it; the first is what the sum counts, the others are set against it.
    pub ways: Vec<Way>,
    /// Drawings.
    pub drawings: Vec<Drawing>,
    /// How it is made or fitted, step by step.
    pub steps: Vec<Phrase>,
    /// To check before the first start.
    pub checks: Vec<Phrase>,
    /// Where somebody can get hurt, or the part spoilt.
    pub cautions: Vec<Phrase>,
}

impl ShopPart {
    /// A part with nothing in it yet.
    pub fn new(title: impl Into<String>) -> Self {
        ShopPart { title: title.into(), ..ShopPart::default() }
    }

    /// A part of a stage or outlet: its kind in words, and its id where that says more.
    pub fn named(kind: &str, id: &str) -> Self {
        let same = kind.eq_ignore_ascii_case(id);
        ShopPart::new(if same { kind.to_string() } else { format!("{kind} ({id})") })
    }

    /// Adds a row.
    pub fn row(&mut self, what: impl Into<String>, figure: Figure, sure: Sure) -> &mut ShopRow {
        self.push(ShopRow { what: what.into(), figure, sure, note: Phrase::none(), lead: false })
    }

    /// Adds a row that is shown large.
    pub fn lead(&mut self, what: impl Into<String>, figure: Figure, sure: Sure) -> &mut ShopRow {
        self.push(ShopRow { what: what.into(), figure, sure, note: Phrase::none(), lead: true })
    }

    fn push(&mut self, row: ShopRow) -> &mut ShopRow {
        let at = self.rows.len();
        self.rows.push(row);
        &mut self.rows[at]
    }

    /// Adds a way to come by it.
    pub fn way(&mut self, name: impl Into<String>, pieces: Vec<Piece>, work: Vec<Work>) {
        self.ways.push(Way { name: name.into(), pieces, work });
    }
}

impl ShopRow {
    /// Adds a note.
    pub fn note(&mut self, note: impl Into<Phrase>) {
        self.note = note.into();
    }
}
