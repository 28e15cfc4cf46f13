//! The contract between the engine and the stages: what a stage kind declares, and what a stage does in a trial.
//!
//! ```text
//!            inlets ──> ┌───────┐ ──> outlets (what passes on, with notes on gold sent astray)
//!   water of its outlets│ Stage │ ──> caught
//!            draws ───> └───────┘ ──> measures, warnings
//! ```
//! A `Stage` that exists is valid: building is where errors happen.

mod fault;
mod follow;
mod kind;
mod owner;
mod reading;
pub mod reasons;
mod section;
mod symptom;
mod warning;

use std::any::Any;

use crate::curves::Curves;
pub use crate::plumbing::OutletState;
use crate::plumbing::{Fed, LineState, OutletFacts, Supply, Tolerance};
use crate::return_water::{PondBook, ReturnWater, Sweep};
use crate::setting::Settings;
use crate::shop::{OutletSite, ShopPart, StageSite};
use crate::stream::Stream;
use washgraph_ground::ground::GroundDraw;
use washgraph_physics::hydraulics::manifold::Branch;
use washgraph_physics::particle::gold::SettlingTable;
use washgraph_physics::particle::water::WaterState;
use washgraph_physics::size::ByGold;
use washgraph_stats::draw::{Draws, Input, InputList};
use washgraph_units::problem::Problems;
use washgraph_units::quantity::{Dimension, Phrase, UnitChoice};

pub use fault::{Fault, Grade, Knob, Start};
pub use follow::{Assumption, Reset, ResetSite};
pub use kind::{BuildOutlet, BuildSection, BuildStage, OutletKind, SectionKind, StageKind};
pub use owner::{Declared, Owner};
pub use reading::{GAUGE, InLog, OF_THE_PLANT, Reading, Sight, Source};
pub use reasons::{LossClass, Reason};
pub use section::{
    GoldAxes, GravelFed, Holes, SectionBuilder, SectionLaws, SectionPlan, SectionSettings, SectionTrial,
};
pub use symptom::{Goes, Sign, Symptom};
pub use warning::{Severity, Warning};

/// A named inlet or outlet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Port {
    /// Name used in the wiring.
    pub name: &'static str,
    /// What flows there.
    pub meaning: &'static str,
    /// An outlet that need not be wired falls to the tailings; an inlet that need not be wired stays empty.
    pub optional: bool,
}

impl Port {
    /// A port that must be wired.
    pub const fn required(name: &'static str, meaning: &'static str) -> Self {
        Port { name, meaning, optional: false }
    }
    /// A port that may be left unwired.
    pub const fn optional(name: &'static str, meaning: &'static str) -> Self {
        Port { name, meaning, optional: true }
    }
}

/// What a number that a stage reports is for.
#[derive(Debug, Clone, PartialEq)]
pub enum Role {
    /// A plain measure.
    Plain,
    /// One point of a profile, at this position.
    Profile {
        /// Name of the profile.
        profile: &'static str,
        /// Position, in the unit of the profile (m along the drum).
        at: f64,
    },
    /// Water that this stage needs to work as meant, m3/s.
    WaterNeed,
    /// Water that reaches this stage for the need of that name, m3/s.
    WaterAtHand {
        /// Name of the need.
        need: &'static str,
    },
    /// What one rule asks for within a need, m3/s; the largest sets it.
    WaterRule {
        /// Name of the need.
        need: &'static str,
    },
    /// Dry solids that this stage brings into the plant, kg/s.
    DryFeed,
    /// Speed below which this share of the freed clay falls, m/s.
    FallSpeed {
        /// The share.
        share: f64,
    },
    /// Power that an engine must give at its shaft for this stage, W; decides the fuel.
    EnginePower,
    /// Area that holds concentrate until the clean-up, m2.
    CatchArea,
    /// One day of a course over the days of a cut. Written in the trials that are worked out at length alone.
    OverDays {
        /// Name of the course.
        course: &'static str,
        /// Day, counted from the start.
        day: f64,
    },
}

/// A number that a stage reports in each trial.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Name, snake_case, e.g. `bed_depth_feed_end`.
    pub name: String,
    /// Plain words.
    pub words: String,
    /// Its dimension; decides the units shown.
    pub dimension: Dimension,
    /// What it is for.
    pub role: Role,
}

/// Something that draws water and is mounted on a stage or on a section of a drum.
pub trait Outlet: Send + Sync {
    /// Flow and pressure in this trial, of an outlet with a pressure or a flow of its own.
    fn state(&self, draws: &Draws, water: &WaterState) -> OutletState;

    /// What a pump is told of it; `None` for an outlet with a pressure or a flow of its own.
    fn facts(&self) -> Option<OutletFacts> {
        None
    }

    /// Share of its holes that is open in this trial.
    fn open_share(&self, _draws: &Draws) -> f64 {
        1.0
    }

    /// Its branch of the manifold in this trial, its level counted from the manifold; `None` as for [`Outlet::facts`].
    fn branch(&self, _draws: &Draws, _tolerance: &Tolerance) -> Option<Branch> {
        None
    }

    /// What the shop needs to know to build it.
    fn shop(&self, _site: &OutletSite<'_>) -> Vec<ShopPart> {
        Vec::new()
    }
}

/// An outlet as the stage sees it that it is mounted on.
#[derive(Debug, Clone, PartialEq)]
pub struct Mounted {
    /// Its id.
    pub id: String,
    /// Its kind.
    pub kind: &'static str,
    /// Name of the section that it is mounted on, when it is not the stage as a whole.
    pub section: Option<String>,
    /// Its number in the plant.
    pub index: usize,
}

/// What a stage sees of a trial.
pub struct Trial<'a> {
    /// Values of the uncertain inputs.
    pub draws: &'a Draws,
    /// The ground and the water of this trial.
    pub ground: &'a GroundDraw,
    /// State of all water outlets.
    pub outlets: &'a [OutletState],
    /// Tabulated settling laws, for water other than that of the ground (mud in the sluice).
    pub settling: &'a SettlingTable,
    /// Loose ground fed to the plant, m3/s.
    pub feed_m3_s: f64,
    /// The water behind this stage, if it pumps.
    pub line: Option<&'a LineState>,
    /// Which way through the plant this is.
    pub sweep: Sweep,
    /// Fines in the water of the outlets; clean until the pond has found them.
    pub return_water: ReturnWater,
    /// Whether stages should work out what takes long and is wanted in some trials only, such as the course over days.
    pub at_length: bool,
}

impl Trial<'_> {
    /// Value of an input in this trial.
    #[inline]
    pub fn get(&self, input: Input) -> f64 {
        input.get(self.draws)
    }
    /// Water from a mounted outlet, m3/s.
    pub fn water_m3_s(&self, mounted: &Mounted) -> f64 {
        self.outlets.get(mounted.index).map_or(0.0, |o| o.flow_m3_s)
    }
}

/// The inlets, outlets and books of a stage in a trial.
pub struct Ports<'a> {
    pub(crate) upstream: &'a [Stream],
    pub(crate) inlets: &'a [Option<usize>],
    pub(crate) outlets: &'a mut [Stream],
    pub(crate) caught: &'a mut ByGold,
    pub(crate) measures: &'a mut [f64],
    pub(crate) warnings: &'a mut [bool],
    pub(crate) scratch: &'a mut Box<dyn Any + Send>,
    pub(crate) note_base: usize,
    pub(crate) pond: &'a mut Option<PondBook>,
}

/// All that a stage works with at once: borrowed apart, so that inlets can be read while outlets are written.
pub struct Work<'a> {
    /// Outlet streams in the order of the kind's ports, emptied before the stage runs.
    pub outlets: &'a mut [Stream],
    /// Gold caught by class, kg/s, zero before the stage runs.
    pub caught: &'a mut ByGold,
    /// Its measures in the order of the builder; NaN before the stage runs.
    pub measures: &'a mut [f64],
    /// Its warnings in the order of the builder.
    pub warnings: &'a mut [bool],
    /// The worker's scratch of this stage, made by [`Stage::scratch`].
    pub scratch: &'a mut Box<dyn Any + Send>,
    /// The book of the plant's pond, for the pond to write.
    pub pond: &'a mut Option<PondBook>,
    note_base: usize,
}

impl Work<'_> {
    /// Number of a note (stage and reason) for [`Stream::astray_kg_s`]; `reason` counts in the kind's list.
    pub fn note(&self, reason: usize) -> usize {
        self.note_base + 1 + reason
    }
}

impl<'a> Ports<'a> {
    /// The inlet streams (`None` where an optional inlet is not wired) and everything that the stage may write to.
    pub fn split(&mut self) -> (impl Fn(usize) -> Option<&'a Stream> + use<'a>, Work<'_>) {
        let (upstream, inlets) = (self.upstream, self.inlets);
        let inlet = move |i: usize| inlets.get(i).copied().flatten().and_then(|slot| upstream.get(slot));
        let work = Work {
            outlets: self.outlets,
            caught: self.caught,
            measures: self.measures,
            warnings: self.warnings,
            scratch: self.scratch,
            pond: self.pond,
            note_base: self.note_base,
        };
        (inlet, work)
    }
}

/// A stage of the plant, ready to run.
pub trait Stage: Send + Sync {
    /// Passes the inlets on to the outlets. For each class of gold and of solids, what goes in must come out, be caught, or
    /// (clay) be freed; what goes astray is noted with its reason.
    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>);

    /// Loose volume of ground that this stage brings into the plant per second, if it is a source.
    fn feed_m3_s(&self) -> Option<Input> {
        None
    }

    /// The pump that this stage is, with its hoses.
    fn supply(&self) -> Option<Supply> {
        None
    }

    /// Whether it is the pond from which the water of the outlets comes; it writes [`Work::pond`]. A plant has one at most.
    fn is_pond(&self) -> bool {
        false
    }

    /// Whether its gold depends on the fines in [`Trial::return_water`].
    fn feels_mud(&self) -> bool {
        false
    }

    /// Text of a warning with the numbers of the last trial that the scratch has seen; `None` keeps the builder's text.
    fn warning_text(&self, _warning: usize, _scratch: &(dyn Any + Send)) -> Option<Phrase> {
        None
    }

    /// Curves of the middle case. `inlet` gives the streams of that case; `scratch` is working memory of this stage.
    fn curves<'a>(
        &self,
        _id: &str,
        _trial: &Trial<'_>,
        _inlet: &dyn Fn(usize) -> Option<&'a Stream>,
        _scratch: &mut (dyn Any + Send),
    ) -> Vec<Curves> {
        Vec::new()
    }

    /// The stage set anew for what comes to it; `None` for a stage that needs no setting.
    fn reset(&self, _site: &ResetSite<'_>) -> Option<Reset> {
        None
    }

    /// Working memory for one worker.
    fn scratch(&self) -> Box<dyn Any + Send> {
        Box::new(())
    }

    /// What the shop needs to know to build it, its sections included.
    fn shop(&self, _site: &StageSite<'_>) -> Vec<ShopPart> {
        Vec::new()
    }

    /// Length along which a water outlet can be mounted on it or on one of its sections, m.
    fn mount_length_m(&self, _section: Option<&str>) -> Option<f64> {
        None
    }
}

/// What a stage's builder works with.
pub struct StageBuilder<'a> {
    /// Id of the stage in the scenario.
    pub id: &'a str,
    /// Its settings, checked against the kind's list.
    pub settings: &'a Settings,
    /// Sections of a drum, in order, each with its settings.
    pub sections: &'a [SectionSettings],
    /// Water outlets mounted on it.
    pub mounted: &'a [Mounted],
    /// Water outlets that draw from it.
    pub fed: &'a [Fed],
    /// Units in which problems speak to the user. Warnings need none: they are phrases.
    pub units: UnitChoice,
    /// The uncertain inputs of the plant.
    pub inputs: &'a InputList,
    /// Where problems go.
    pub problems: &'a mut Problems,
    /// The measures it will write.
    pub measures: &'a mut Vec<Measure>,
    /// The warnings it may raise.
    pub warnings: &'a mut Vec<Warning>,
}

impl StageBuilder<'_> {
    /// Declares a plain measure and returns its number.
    pub fn measure(&mut self, name: impl Into<String>, dimension: Dimension, words: impl Into<String>) -> usize {
        self.measures.push(Measure { name: name.into(), words: words.into(), dimension, role: Role::Plain });
        self.measures.len() - 1
    }
    /// Declares a water need (m3/s) and returns its number.
    pub fn water_need(&mut self, name: impl Into<String>, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: name.into(),
            words: words.into(),
            dimension: Dimension::Flow,
            role: Role::WaterNeed,
        });
        self.measures.len() - 1
    }
    /// Declares the water that reaches this stage for a need (m3/s) and returns its number.
    pub fn water_at_hand(&mut self, need: &'static str, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: format!("{need}_at_hand"),
            words: words.into(),
            dimension: Dimension::Flow,
            role: Role::WaterAtHand { need },
        });
        self.measures.len() - 1
    }
    /// Declares what one rule asks for within a need (m3/s) and returns its number.
    pub fn water_rule(&mut self, need: &'static str, name: impl Into<String>, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: name.into(),
            words: words.into(),
            dimension: Dimension::Flow,
            role: Role::WaterRule { need },
        });
        self.measures.len() - 1
    }
    /// Declares the dry solids that this stage brings into the plant (kg/s) and returns its number.
    pub fn dry_feed(&mut self, name: impl Into<String>, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: name.into(),
            words: words.into(),
            dimension: Dimension::MassRate,
            role: Role::DryFeed,
        });
        self.measures.len() - 1
    }
    /// Declares the speed below which this share of the freed clay falls (m/s) and returns its number.
    pub fn fall_speed(&mut self, share: f64, name: impl Into<String>, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: name.into(),
            words: words.into(),
            dimension: Dimension::Velocity,
            role: Role::FallSpeed { share },
        });
        self.measures.len() - 1
    }
    /// Declares the power that an engine must give at its shaft for this stage (W) and returns its number.
    pub fn engine_power(&mut self, name: impl Into<String>, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: name.into(),
            words: words.into(),
            dimension: Dimension::Power,
            role: Role::EnginePower,
        });
        self.measures.len() - 1
    }
    /// Declares the area that holds concentrate until the clean-up (m2) and returns its number.
    pub fn catch_area(&mut self, name: impl Into<String>, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: name.into(),
            words: words.into(),
            dimension: Dimension::Area,
            role: Role::CatchArea,
        });
        self.measures.len() - 1
    }
    /// Declares one point of a profile and returns its number.
    pub fn profile_point(&mut self, profile: &'static str, at: f64, dimension: Dimension) -> usize {
        self.measures.push(Measure {
            name: profile.into(),
            words: String::new(),
            dimension,
            role: Role::Profile { profile, at },
        });
        self.measures.len() - 1
    }
    /// Declares one day of a course over the days of a cut and returns its number.
    pub fn day(&mut self, course: &'static str, day: f64, dimension: Dimension, words: impl Into<String>) -> usize {
        self.measures.push(Measure {
            name: course.into(),
            words: words.into(),
            dimension,
            role: Role::OverDays { course, day },
        });
        self.measures.len() - 1
    }
    /// Declares a warning and returns its number.
    pub fn warning(&mut self, id: &'static str, severity: Severity, text: impl Into<Phrase>) -> usize {
        self.warnings.push(Warning { id, severity, text: text.into() });
        self.warnings.len() - 1
    }
}

/// What an outlet's builder works with.
pub struct OutletBuilder<'a> {
    /// Its settings.
    pub settings: &'a Settings,
    /// Where problems go.
    pub problems: &'a mut Problems,
}
