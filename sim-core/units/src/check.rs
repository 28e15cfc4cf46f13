//! Checks of the formulas against numbers from outside (and against themselves), printed by `validate`.
//!
//! Each check is a row beside the formula that it tests. Only [`Kind::Published`] counts as validation.

/// What a check is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Against a number published outside this project and not used to set any constant here.
    Published,
    /// Against a published number that was used to set a constant of the model: a calibration, not a validation.
    PublishedUsedInFit,
    /// Against an exact limit, symmetry or conservation law.
    Identity,
}

impl Kind {
    /// The word used in tables and files.
    pub const fn word(self) -> &'static str {
        match self {
            Kind::Published => "published",
            Kind::PublishedUsedInFit => "published, used in fit",
            Kind::Identity => "identity",
        }
    }
}

/// How a value from a source came to us.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Read in the source or in a copy of it.
    Seen,
    /// From memory of the named source, not read again.
    Memory,
    /// Calculated from the stated formula or theory.
    Computed,
    /// Our own judgement.
    Assumed,
    /// Common practice of the trade, no source.
    CommonPractice,
}

impl Status {
    /// The words used in tables and files.
    pub const fn word(self) -> &'static str {
        match self {
            Status::Seen => "seen",
            Status::Memory => "from memory",
            Status::Computed => "computed",
            Status::Assumed => "assumed",
            Status::CommonPractice => "common practice, no source",
        }
    }
}

/// How far the computed value may lie from the published one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Band {
    /// |computed - published| <= this.
    Absolute(f64),
    /// |computed - published| <= this x |published|.
    Relative(f64),
    /// Lowest and highest accepted value.
    Between(f64, f64),
}

/// One row of `validate`.
///
/// ```
/// use washgraph_units::check::{Band, Check, Kind, Status};
/// const HALF: Check = Check::new("half-of-two", "halving", || 2.0 / 2.0)
///     .against(Kind::Identity, "closed form", Status::Computed)
///     .value(1.0, "-")
///     .within(Band::Absolute(0.0));
/// assert!(HALF.passes((HALF.computed)()));
/// ```
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct Check {
    /// Unique name, kebab-case, e.g. `settling-natural-sand-0p273mm`.
    pub id: &'static str,
    /// The model or formula tested, e.g. `Ferguson & Church 2004`.
    pub model: &'static str,
    /// What the check is worth.
    pub kind: Kind,
    /// Author, year, place in the work; or the theory behind an identity.
    pub source: &'static str,
    /// How the value came to us.
    pub status: Status,
    /// The value of the source, in `unit`.
    pub published: f64,
    /// Recomputes the value with the code of this project, in `unit`.
    pub computed: fn() -> f64,
    /// Unit of both values; `-` for none.
    pub unit: &'static str,
    /// Accepted distance.
    pub band: Band,
}

impl Check {
    /// A check with its id, the model or formula tested, and what recomputes the value. Until [`Self::value`] is given nothing
    /// passes it.
    pub const fn new(id: &'static str, model: &'static str, computed: fn() -> f64) -> Self {
        let (kind, status, band) = (Kind::Identity, Status::Assumed, Band::Absolute(0.0));
        Check { id, model, kind, source: "", status, published: f64::NAN, computed, unit: "-", band }
    }
    /// What it is worth, the source, and how the value came to us.
    pub const fn against(mut self, kind: Kind, source: &'static str, status: Status) -> Self {
        self.kind = kind;
        self.source = source;
        self.status = status;
        self
    }
    /// The value of the source with its unit.
    pub const fn value(mut self, published: f64, unit: &'static str) -> Self {
        self.published = published;
        self.unit = unit;
        self
    }
    /// How far the computed value may lie from it.
    pub const fn within(mut self, band: Band) -> Self {
        self.band = band;
        self
    }

    /// Lowest and highest accepted value, in the unit of the check.
    pub fn limits(&self) -> (f64, f64) {
        match self.band {
            Band::Absolute(a) => (self.published - a, self.published + a),
            Band::Relative(r) => {
                let a = r * self.published.abs();
                (self.published - a, self.published + a)
            }
            Band::Between(lo, hi) => (lo, hi),
        }
    }

    /// Whether it is the same row as another, by all that it says. The code behind it has no name to compare.
    pub fn is_same(&self, other: &Check) -> bool {
        let words = |c: &Check| (c.id, c.model, c.kind, c.source, c.status, c.unit, c.published.to_bits());
        words(self) == words(other) && self.band == other.band
    }

    /// Whether a computed value lies within the band. A NaN never passes.
    pub fn passes(&self, computed: f64) -> bool {
        let (lo, hi) = self.limits();
        computed >= lo && computed <= hi
    }
}
