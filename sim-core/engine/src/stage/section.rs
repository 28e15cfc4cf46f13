//! Sections of a drum: what is built of a kind of section, and its laws in a trial.

use crate::setting::Settings;
use crate::shop::{Shell, ShopPart};
use washgraph_units::problem::Problems;
use washgraph_units::quantity::Phrase;

use super::{SectionKind, Trial};

/// A section of a drum as read from the scenario.
#[derive(Debug, Clone)]
pub struct SectionSettings {
    /// Name of the section: the kind, or `kind-2` for a second one of that kind, or its own `id`.
    pub id: String,
    /// Its kind.
    pub kind: &'static SectionKind,
    /// Its settings, checked against the kind's list.
    pub settings: Settings,
}

/// A drum section that has been built: valid for all trials.
pub trait SectionPlan: Send + Sync {
    /// Its holes; `None` for a closed shell.
    fn holes(&self) -> Option<Holes> {
        None
    }
    /// Whether gold that leaves the bed here is caught here, instead of falling through to the undersize.
    fn catches(&self) -> bool {
        false
    }
    /// A caution that goes with having this section at all: name in files, words.
    fn standing_caution(&self) -> Option<(&'static str, Phrase)> {
        None
    }
    /// The section's laws for one worker, to be set to each trial in turn.
    fn new_laws(&self) -> Box<dyn SectionLaws>;

    /// What the shop needs to know to build it beside its shell and ring, which the drum describes.
    fn shop(&self, _shell: &Shell<'_>) -> Vec<ShopPart> {
        Vec::new()
    }
}

/// What a section is told of a trial beside its own settings.
#[derive(Debug, Clone, Copy)]
pub struct SectionTrial<'a> {
    /// Added water that reaches the section (hopper and sprays, not the moisture of the ground), m3/s.
    pub added_water_m3_s: f64,
    /// Speed of the drum over its critical speed.
    pub speed_over_critical: f64,
    /// Turns of the drum per second.
    pub speed_rev_s: f64,
    /// Inside circumference of the shell, m.
    pub circumference_m: f64,
    /// Gravel fed, by size point, small to large.
    pub gravel: GravelFed<'a>,
    /// Axes of the gold points, small to large.
    pub gold: &'a [GoldAxes],
}

/// Gravel fed to a drum, by size point; slices of one length, small to large.
#[derive(Debug, Clone, Copy, Default)]
pub struct GravelFed<'a> {
    /// Size, m.
    pub size_m: &'a [f64],
    /// Lower edge, m.
    pub low_m: &'a [f64],
    /// Upper edge, m.
    pub high_m: &'a [f64],
    /// Dry mass flow, kg/s.
    pub flow_kg_s: &'a [f64],
    /// Density of the stones, kg/m3.
    pub density_kg_m3: f64,
}

/// Measures of a gold grain that decide which holes it passes, m.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GoldAxes {
    /// Square sieve that it passes.
    pub sieve_m: f64,
    /// Intermediate axis.
    pub intermediate_m: f64,
    /// Thickness.
    pub thickness_m: f64,
}

impl GoldAxes {
    /// The same shape at another size.
    pub fn scaled(self, factor: f64) -> GoldAxes {
        GoldAxes {
            sieve_m: self.sieve_m * factor,
            intermediate_m: self.intermediate_m * factor,
            thickness_m: self.thickness_m * factor,
        }
    }
}

/// Holes of a section, as the drum needs to know them.
#[derive(Debug, Clone, Copy)]
pub struct Holes {
    /// Largest sieve size of gravel that passes in the middle case, m: decides where classes are split into finer points.
    pub gravel_m: f64,
    /// Square sieve size of gold that just passes in the middle case, m: likewise.
    pub gold_m: f64,
    /// Diameter or width of the hole, m.
    pub hole_m: f64,
    /// Open share of the plate, without blinding.
    pub open_share: f64,
    /// Sieve size of the largest stone that the largest hole lets through, m.
    pub largest_gravel_m: f64,
    /// Which measure of a gold grain counts against the hole.
    pub gold_measure: fn(&GoldAxes) -> f64,
}

/// The laws of a section in the hands of one worker.
pub trait SectionLaws: washgraph_physics::drum::Section + Send {
    /// Sets the laws to a trial.
    fn set_trial(&mut self, trial: &Trial<'_>, state: &SectionTrial<'_>);

    /// Share of the holes that stones plug where the bed is like this: mean between two cleanings, and just before the next.
    /// `None` for a section without holes.
    fn blinded(&self, _bed: &washgraph_physics::drum::LocalBed) -> Option<(f64, f64)> {
        None
    }
}

/// What a section's builder works with.
pub struct SectionBuilder<'a> {
    /// Its settings.
    pub settings: &'a Settings,
    /// Settings of the drum.
    pub drum: &'a Settings,
    /// Where problems go.
    pub problems: &'a mut Problems,
}
