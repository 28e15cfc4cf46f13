//! A kind of observation, and the list of all.

use std::borrow::Cow;

use super::declared::{self, Number};
use crate::tune::evidence::Evidence;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::registry::Registry;

/// What an entry of the log comes to.
pub enum Seen {
    /// Something that the plant predicts.
    Evidence(Box<dyn Evidence>),
    /// Settings of that day: path and text as in the scenario. What changes from day to day is not learned from one day.
    Day(Vec<(String, String)>),
}

/// How an entry is read.
#[derive(Debug, Clone)]
pub enum Read {
    /// By a law of its own; problems are taken down.
    Special(fn(&mut Entry<'_, '_>) -> Result<Seen, Told>),
    /// As readings that the kinds of the program declare.
    Declared(Vec<Number>),
}

/// A kind of observation.
#[derive(Debug, Clone)]
pub struct ObservationKind {
    /// Name in the log.
    pub name: &'static str,
    /// What it is, in one line.
    pub words: &'static str,
    /// What it tells the most about.
    pub tells: &'static str,
    /// Columns that are said once.
    pub once: Cow<'static, [usize]>,
    /// Columns of its rows.
    pub rows: Cow<'static, [usize]>,
    /// How it is made, in steps.
    pub steps: Cow<'static, [&'static str]>,
    /// What may hurt.
    pub cautions: Cow<'static, [&'static str]>,
    /// What it may be off by when the log does not say, and where that comes from.
    pub errors: Cow<'static, str>,
    /// An example for the log, without date: invented.
    pub example: Cow<'static, str>,
    /// Whether it only says how the plant was set that day.
    pub sets_the_day: bool,
    /// Minutes of work, and of them such that the plant stands, where its kind says so. Assumed.
    pub minutes: Option<(f64, f64)>,
    /// What to bring, where its kind says so.
    pub bring: &'static [&'static str],
    /// How an entry is read.
    pub read: Read,
}

impl ObservationKind {
    /// Reads an entry; problems are taken down.
    pub fn take(&self, entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
        match &self.read {
            Read::Special(read) => read(entry),
            Read::Declared(numbers) => declared::read(entry, numbers),
        }
    }

    /// Whether it has a law of its own.
    pub fn is_special(&self) -> bool {
        matches!(self.read, Read::Special(_))
    }
}

/// Every observation of a program: those with laws of their own, then the readings that its kinds declare.
pub fn all(registry: &Registry) -> Vec<ObservationKind> {
    SPECIAL.iter().map(|k| (*k).clone()).chain(declared::declared(registry)).collect()
}

/// Cautions that several observations share.
pub mod caution {
    /// The drum.
    pub const TURNING: &str = "Never reach into a turning drum, nor into its feed or its discharge.";
    /// Before work at a standing drum.
    pub const LOCK_OUT: &str =
        "Lock out engine and hydraulics and chock the drum before you measure in it: a loaded drum can roll by itself.";
    /// Sampling at the sluice.
    pub const SLUICE_OUTLET: &str = "At the outlet of a running sluice stand at the side on firm ground, feet wide apart, and pass \
                                     the bucket once through the whole stream; let go of it rather than be pulled.";
    /// Water under pressure.
    pub const JET: &str = "Set hose and bucket with the pump shut down, then start it: a jet under pressure knocks a bucket out of \
                           your hands. A full bucket weighs 20 kg.";
    /// At the feed.
    pub const FEED: &str = "Throw what you feed from where you stand safely; never lean over hopper or feed chute, and stay out of the machine's swing.";
    /// Under the discharge.
    pub const OVERSIZE: &str = "Catch the oversize with a long-handled shovel or a tub from the side, never under the stacker or \
                                within reach of the drum.";
}

/// Those with laws of their own.
pub(crate) static SPECIAL: &[&ObservationKind] = &[
    &super::clean_up::CLEAN_UP,
    &super::pans::TAILINGS_PAN,
    &super::oversize::OVERSIZE_SIEVE,
    &super::pans::OVERSIZE_PAN,
    &super::oversize::OVERSIZE_RINSE,
    &super::cobbles::COBBLES,
    &super::bed_depth::BED_DEPTH,
    &super::clay_lumps::CLAY_LUMPS,
    &super::outlets::BUCKET_FLOW,
    &super::box_water::BOX_WATER,
    &super::jar::JAR,
    &super::day::BUCKETS,
    &super::day::PUMP_SPEED,
];
