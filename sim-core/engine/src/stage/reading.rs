//! What can be read off a plant, declared by the kind that it is read at: how an owner takes it, what he is off by, and where the
//! model has the number.
//!
//! ```
//! use washgraph_engine::stage::{Reading, Source};
//! use washgraph_units::quantity::Dimension;
//!
//! static BED: Reading = Reading::new("jig-bed", "depth of the bed on the jig", Dimension::Length, Source::Measure("bed_depth"))
//!     .how("ruler down to the grate, at five places")
//!     .off(0.05, 0.005);
//! assert!(BED.is_taken());
//! ```

use super::Reason;
use washgraph_units::quantity::Dimension;

/// Where the model has the number of a reading. Where several stages or outlets of the kind stand in a plant, flows and times are
/// added up, all else is their mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Source {
    /// A measure of the stage by its name; of a section's kind, a measure of the stage that holds the section.
    Measure(&'static str),
    /// The sum of all its measures whose names end so.
    Sum(&'static str),
    /// The mean of them.
    Mean(&'static str),
    /// Flow of the water outlets of this kind.
    Flow,
    /// Mean pressure of the water outlets of this kind.
    Pressure,
    /// The dry solids fed to the plant, found by [`super::Role::DryFeed`], whichever stage reports them.
    DryFeed,
    /// One over the other.
    Ratio(&'static Source, &'static Source),
    /// Clay lumps in an outlet stream of the stage, over the dry feed.
    Lumps(&'static str),
    /// Of the gold that the stage catches or loses for one of these reasons of its own, the share lost for the first of them.
    LostAmong(&'static [Reason]),
    /// Of the gold that the stage holds, the share in the last third of its length; the reasons are those for which it loses gold
    /// that it could have held.
    LastThird(&'static [Reason]),
    /// Flow of all water outlets of the plant.
    Supply,
    /// Share of the gold of the plant between these sizes (m) that is lost.
    LostBetween(f64, f64),
    /// Gold caught over gold fed.
    Recovery,
    /// Gold caught, kg/s.
    Caught,
    /// Money of a season; no value without money in the scenario.
    Season,
}

impl Source {
    /// Whether it is a number of the whole plant, which no kind owns.
    pub const fn is_of_the_plant(&self) -> bool {
        use Source::{Caught, LostBetween, Recovery, Season, Supply};
        matches!(self, Supply | LostBetween(..) | Recovery | Caught | Season)
    }
}

/// Several readings that an owner takes at one time, and writes into the log under one name.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Sight {
    /// Name in the log, kebab-case.
    pub name: &'static str,
    /// What it is, in one line.
    pub words: &'static str,
    /// What it tells the most about.
    pub tells: &'static str,
    /// How it is made, in steps.
    pub steps: &'static [&'static str],
    /// What may hurt.
    pub cautions: &'static [&'static str],
    /// Its lines in a log after date and name, for the empty log and the sheet: invented.
    pub example: &'static str,
    /// What to bring.
    pub bring: &'static [&'static str],
    /// Minutes of work, and of them such that the plant stands. Assumed.
    pub minutes: (f64, f64),
}

impl Sight {
    /// A sight with its name, what it is, what it tells the most about, and its lines in a log.
    pub const fn new(name: &'static str, words: &'static str, tells: &'static str, example: &'static str) -> Sight {
        Sight { name, words, tells, steps: &[], cautions: &[], example, bring: &[], minutes: USUAL_MINUTES }
    }
    /// How it is made, in steps.
    pub const fn steps(self, steps: &'static [&'static str]) -> Sight {
        Sight { steps, ..self }
    }
    /// What may hurt.
    pub const fn cautions(self, cautions: &'static [&'static str]) -> Sight {
        Sight { cautions, ..self }
    }
    /// What to bring, minutes of work, and minutes for which the plant stands. Assumed.
    pub const fn takes(self, bring: &'static [&'static str], minutes: f64, stands: f64) -> Sight {
        Sight { bring, minutes: (minutes, stands), ..self }
    }
}

/// What an observation takes of which nothing is said: half an hour beside the running plant. Assumed.
const USUAL_MINUTES: (f64, f64) = (30.0, 0.0);

/// The gauge of a line of water, wherever one is fitted.
pub static GAUGE: Sight = Sight::new(
    "gauge",
    "pressure at a water outlet or at the pump's manifold",
    "wear of the pump, hoses, plugged holes",
    "at = \"spray\"\npressure = \"23 psi\"",
)
.steps(&["Read the gauge on the bar (`at` = the bar) or on the manifold (`at` = the pump) while all runs as usual."])
.cautions(&[
    "Fit the gauge with the pump shut down.",
    "Never reach into a turning drum, nor into its feed or its discharge.",
])
.takes(&["gauge that reads zero when open"], 5.0, 0.0);

/// How the field log has a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InLog {
    /// By itself: one number (`value`) under the name of the reading. So it is for every reading that is taken, unless it says
    /// otherwise.
    Alone,
    /// As one number of a sight, in the column of this key.
    In(&'static Sight, &'static str),
    /// By an observation of this name that the engine knows, with a law of its own: several stones timed, a sample panned.
    By(&'static str),
    /// Not at all.
    Never,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Reading {
    /// Name in files, kebab-case.
    pub name: &'static str,
    /// What it is.
    pub words: &'static str,
    /// How an owner takes it; empty for what he cannot read directly.
    pub how: &'static str,
    /// Kind of quantity.
    pub dimension: Dimension,
    /// Standard deviation of taking it, as a share of it and as an amount, SI.
    pub error: (f64, f64),
    /// Where that error comes from.
    pub error_source: &'static str,
    /// Where the model has it.
    pub source: Source,
    /// How the field log has it.
    pub log: InLog,
    /// What it tells the most about; empty for itself.
    pub tells: &'static str,
    /// What may hurt an owner who takes it.
    pub cautions: &'static [&'static str],
    /// A value as it stands in a log: invented. Some value of its kind of quantity where it is empty.
    pub example: &'static str,
    /// What to bring.
    pub bring: &'static [&'static str],
    /// Minutes of work, and of them such that the plant stands. Assumed.
    pub minutes: (f64, f64),
}

impl Reading {
    /// A reading that an owner cannot take until [`Self::how`] says how.
    pub const fn new(name: &'static str, words: &'static str, dimension: Dimension, source: Source) -> Reading {
        Reading {
            name,
            words,
            how: "",
            dimension,
            error: (0.0, 0.0),
            error_source: "assumed",
            source,
            log: InLog::Alone,
            tells: "",
            cautions: &[],
            example: "",
            bring: &[],
            minutes: USUAL_MINUTES,
        }
    }
    /// How an owner takes it.
    pub const fn how(self, how: &'static str) -> Reading {
        Reading { how, ..self }
    }
    /// Standard deviation of taking it, as a share of it and as an amount, SI. Assumed, unless [`Self::error_source`] says more.
    pub const fn off(self, share: f64, amount: f64) -> Reading {
        Reading { error: (share, amount), ..self }
    }
    /// Where the error comes from, e.g. `common practice, no source`.
    pub const fn error_source(self, error_source: &'static str) -> Reading {
        Reading { error_source, ..self }
    }
    /// How the field log has it.
    pub const fn log(self, log: InLog) -> Reading {
        Reading { log, ..self }
    }
    /// What it tells the most about.
    pub const fn tells(self, tells: &'static str) -> Reading {
        Reading { tells, ..self }
    }
    /// What may hurt an owner who takes it.
    pub const fn cautions(self, cautions: &'static [&'static str]) -> Reading {
        Reading { cautions, ..self }
    }
    /// A value as it stands in a log, invented.
    pub const fn example(self, example: &'static str) -> Reading {
        Reading { example, ..self }
    }
    /// What to bring, minutes of work, and minutes for which the plant stands. Assumed.
    pub const fn takes(self, bring: &'static [&'static str], minutes: f64, stands: f64) -> Reading {
        Reading { bring, minutes: (minutes, stands), ..self }
    }
    /// Whether an owner can take it.
    pub const fn is_taken(&self) -> bool {
        !self.how.is_empty()
    }
}

/// Readings of the whole plant, which no kind owns. Errors of taking them are assumed.
pub const OF_THE_PLANT: &[Reading] = &[
    Reading::new("water-in-all", "water from all outlets", Dimension::Flow, Source::Supply).off(0.05, 0.0),
    Reading::new(
        "coarse-lost",
        "share of the gold above 1 mm that is lost",
        Dimension::Fraction,
        Source::LostBetween(1.0e-3, f64::INFINITY),
    )
    .how("pan the tailings and the oversize, colours above 1 mm")
    .off(0.3, 0.01)
    .log(InLog::By("tailings-pan")),
    Reading::new(
        "fine-lost",
        "share of the gold under 0.3 mm that is lost",
        Dimension::Fraction,
        Source::LostBetween(0.0, 0.3e-3),
    )
    .how("pan the tailings, colours under 0.3 mm, against those of the feed")
    .off(0.2, 0.02)
    .log(InLog::By("tailings-pan")),
    Reading::new("recovery", "recovery", Dimension::Fraction, Source::Recovery),
    Reading::new("caught", "gold caught", Dimension::MassRate, Source::Caught),
    Reading::new("season", "money of a season", Dimension::Money, Source::Season),
];
