//! What a kind declares of itself: its name, purpose, settings, ports, reasons, formulas, and how it is made.
//!
//! A kind is a `static` made by `new`, which asks for what no kind can be without, and the methods after it, which add the rest:
//!
//! ```
//! use washgraph_engine::stage::{Port, Ports, Stage, StageBuilder, StageKind, Trial};
//!
//! struct Pipe;
//! impl Stage for Pipe {
//!     fn run(&self, _trial: &Trial<'_>, ports: &mut Ports<'_>) {
//!         let (inlet, work) = ports.split();
//!         if let ([out], Some(feed)) = (work.outlets, inlet(0)) {
//!             out.add(feed, 1.0);
//!         }
//!     }
//! }
//!
//! static PIPE: StageKind =
//!     StageKind::new("pipe", "carries a stream on", |_: &mut StageBuilder<'_>| Some(Box::new(Pipe)))
//!         .inlets(&[Port::required("feed", "the stream")])
//!         .outlets(&[Port::required("out", "the same stream")])
//!         .model("pipe 1");
//! assert_eq!((PIPE.name, PIPE.settings.len()), ("pipe", 0));
//! ```
//! Later versions may declare more of a kind. Whoever builds kinds this way need not know.

use super::{Assumption, Outlet, OutletBuilder, Port, Reason, SectionBuilder, SectionPlan, Stage, StageBuilder};
use super::{Fault, Reading, Symptom};
use crate::lever::Lever;
use crate::setting::Setting;
use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

/// Makes a stage of checked settings, or records problems and returns `None`.
pub type BuildStage = fn(&mut StageBuilder<'_>) -> Option<Box<dyn Stage>>;
/// Makes a section of checked settings, or records problems and returns `None`.
pub type BuildSection = fn(&mut SectionBuilder<'_>) -> Option<Box<dyn SectionPlan>>;
/// Makes a water outlet of checked settings, or records problems and returns `None`.
pub type BuildOutlet = fn(&mut OutletBuilder<'_>) -> Option<Box<dyn Outlet>>;

/// A kind of stage.
#[derive(Debug)]
#[non_exhaustive]
pub struct StageKind {
    /// Name in scenarios.
    pub name: &'static str,
    /// Purpose in one line.
    pub purpose: &'static str,
    /// Its settings, uncertain inputs included.
    pub settings: &'static [Setting],
    /// Which of them may be moved, and how.
    pub levers: &'static [Lever],
    /// Its inlets.
    pub inlets: &'static [Port],
    /// Its outlets.
    pub outlets: &'static [Port],
    /// The reasons for which it sends gold astray.
    pub reasons: &'static [Reason],
    /// What the rules assume by which it is set anew.
    pub assumptions: &'static [Assumption],
    /// Whether it takes sections.
    pub has_sections: bool,
    /// Whether water outlets may be mounted on it or its sections.
    pub takes_water: bool,
    /// Whether water outlets draw from it: a pump.
    pub feeds_outlets: bool,
    /// What may go wrong with it.
    pub faults: &'static [Fault],
    /// What can be read off it.
    pub readings: &'static [Reading],
    /// What an owner may see at it that makes him ask.
    pub symptoms: &'static [Symptom],
    /// Makes the stage.
    pub build: BuildStage,
    /// Its handbook entries.
    pub formulas: fn() -> Vec<&'static Formula>,
    /// Its published-value checks.
    pub checks: fn() -> Vec<&'static Check>,
    /// Name and version of its model, for provenance.
    pub model: &'static str,
}

impl StageKind {
    /// A kind with a name, a purpose in one line and what makes its stages; no settings, no ports. Its model has the name of the
    /// kind until [`Self::model`] says more.
    pub const fn new(name: &'static str, purpose: &'static str, build: BuildStage) -> Self {
        StageKind {
            name,
            purpose,
            settings: &[],
            levers: &[],
            inlets: &[],
            outlets: &[],
            reasons: &[],
            assumptions: &[],
            has_sections: false,
            takes_water: false,
            feeds_outlets: false,
            faults: &[],
            readings: &[],
            symptoms: &[],
            build,
            formulas: Vec::new,
            checks: Vec::new,
            model: name,
        }
    }
    /// Its settings, uncertain inputs included.
    pub const fn settings(mut self, settings: &'static [Setting]) -> Self {
        self.settings = settings;
        self
    }
    /// Which of its settings may be moved, and how. On the page they stand in the order of the settings.
    pub const fn levers(mut self, levers: &'static [Lever]) -> Self {
        self.levers = levers;
        self
    }
    /// Its inlets, in the order in which the stage counts them.
    pub const fn inlets(mut self, inlets: &'static [Port]) -> Self {
        self.inlets = inlets;
        self
    }
    /// Its outlets, in the order in which the stage counts them.
    pub const fn outlets(mut self, outlets: &'static [Port]) -> Self {
        self.outlets = outlets;
        self
    }
    /// The reasons for which it sends gold astray, in the order of [`super::Work::note`].
    pub const fn reasons(mut self, reasons: &'static [Reason]) -> Self {
        self.reasons = reasons;
        self
    }
    /// What the rules assume by which it is set anew ([`Stage::reset`]).
    pub const fn assumptions(mut self, assumptions: &'static [Assumption]) -> Self {
        self.assumptions = assumptions;
        self
    }
    /// It takes sections, as a drum does.
    pub const fn with_sections(mut self) -> Self {
        self.has_sections = true;
        self
    }
    /// Water outlets may be mounted on it or on its sections: its stages bring [`super::Trial::water_m3_s`] of all of them
    /// ([`StageBuilder::mounted`]) into their outlet streams. On another kind an outlet is refused.
    pub const fn takes_water(mut self) -> Self {
        self.takes_water = true;
        self
    }
    /// Water outlets draw from it, as from a pump: its stages have a [`super::Stage::supply`].
    pub const fn feeds_outlets(mut self) -> Self {
        self.feeds_outlets = true;
        self
    }
    /// What may go wrong with it.
    pub const fn faults(mut self, faults: &'static [Fault]) -> Self {
        self.faults = faults;
        self
    }
    /// What can be read off it.
    pub const fn readings(mut self, readings: &'static [Reading]) -> Self {
        self.readings = readings;
        self
    }
    /// What an owner may see at it that makes him ask.
    pub const fn symptoms(mut self, symptoms: &'static [Symptom]) -> Self {
        self.symptoms = symptoms;
        self
    }
    /// Its handbook entries.
    pub const fn formulas(mut self, formulas: fn() -> Vec<&'static Formula>) -> Self {
        self.formulas = formulas;
        self
    }
    /// Its checks.
    pub const fn checks(mut self, checks: fn() -> Vec<&'static Check>) -> Self {
        self.checks = checks;
        self
    }
    /// Name and version of its model, for provenance.
    pub const fn model(mut self, model: &'static str) -> Self {
        self.model = model;
        self
    }
}

/// A kind of drum section.
#[derive(Debug)]
#[non_exhaustive]
pub struct SectionKind {
    /// Name in scenarios.
    pub name: &'static str,
    /// Purpose in one line.
    pub purpose: &'static str,
    /// Its settings, uncertain inputs included.
    pub settings: &'static [Setting],
    /// What may go wrong with it.
    pub faults: &'static [Fault],
    /// What can be read off it.
    pub readings: &'static [Reading],
    /// What an owner may see at it that makes him ask.
    pub symptoms: &'static [Symptom],
    /// Which of them may be moved, and how.
    pub levers: &'static [Lever],
    /// Makes the section's local laws.
    pub build: BuildSection,
    /// Its handbook entries.
    pub formulas: fn() -> Vec<&'static Formula>,
    /// Its published-value checks.
    pub checks: fn() -> Vec<&'static Check>,
    /// Name and version of its model, for provenance.
    pub model: &'static str,
}

impl SectionKind {
    /// A kind with a name, a purpose in one line and what makes its sections. Its model has the name of the kind until
    /// [`Self::model`] says more.
    pub const fn new(name: &'static str, purpose: &'static str, build: BuildSection) -> Self {
        SectionKind {
            name,
            purpose,
            settings: &[],
            faults: &[],
            readings: &[],
            symptoms: &[],
            levers: &[],
            build,
            formulas: Vec::new,
            checks: Vec::new,
            model: name,
        }
    }
    /// Its settings, uncertain inputs included.
    pub const fn settings(mut self, settings: &'static [Setting]) -> Self {
        self.settings = settings;
        self
    }
    /// What may go wrong with it.
    pub const fn faults(mut self, faults: &'static [Fault]) -> Self {
        self.faults = faults;
        self
    }
    /// What can be read off it.
    pub const fn readings(mut self, readings: &'static [Reading]) -> Self {
        self.readings = readings;
        self
    }
    /// What an owner may see at it that makes him ask.
    pub const fn symptoms(mut self, symptoms: &'static [Symptom]) -> Self {
        self.symptoms = symptoms;
        self
    }
    /// Which of its settings may be moved, and how. On the page they stand in the order of the settings.
    pub const fn levers(mut self, levers: &'static [Lever]) -> Self {
        self.levers = levers;
        self
    }
    /// Its handbook entries.
    pub const fn formulas(mut self, formulas: fn() -> Vec<&'static Formula>) -> Self {
        self.formulas = formulas;
        self
    }
    /// Its checks.
    pub const fn checks(mut self, checks: fn() -> Vec<&'static Check>) -> Self {
        self.checks = checks;
        self
    }
    /// Name and version of its model, for provenance.
    pub const fn model(mut self, model: &'static str) -> Self {
        self.model = model;
        self
    }
}

/// A kind of water outlet.
#[derive(Debug)]
#[non_exhaustive]
pub struct OutletKind {
    /// Name in scenarios.
    pub name: &'static str,
    /// Purpose in one line.
    pub purpose: &'static str,
    /// Its settings, uncertain inputs included.
    pub settings: &'static [Setting],
    /// What may go wrong with it.
    pub faults: &'static [Fault],
    /// What can be read off it.
    pub readings: &'static [Reading],
    /// What an owner may see at it that makes him ask.
    pub symptoms: &'static [Symptom],
    /// Which of them may be moved, and how.
    pub levers: &'static [Lever],
    /// Makes the outlet.
    pub build: BuildOutlet,
    /// Its handbook entries.
    pub formulas: fn() -> Vec<&'static Formula>,
    /// Its published-value checks.
    pub checks: fn() -> Vec<&'static Check>,
}

impl OutletKind {
    /// A kind with a name, a purpose in one line and what makes its outlets.
    pub const fn new(name: &'static str, purpose: &'static str, build: BuildOutlet) -> Self {
        OutletKind {
            name,
            purpose,
            settings: &[],
            faults: &[],
            readings: &[],
            symptoms: &[],
            levers: &[],
            build,
            formulas: Vec::new,
            checks: Vec::new,
        }
    }
    /// Its settings, uncertain inputs included.
    pub const fn settings(mut self, settings: &'static [Setting]) -> Self {
        self.settings = settings;
        self
    }
    /// What may go wrong with it.
    pub const fn faults(mut self, faults: &'static [Fault]) -> Self {
        self.faults = faults;
        self
    }
    /// What can be read off it.
    pub const fn readings(mut self, readings: &'static [Reading]) -> Self {
        self.readings = readings;
        self
    }
    /// What an owner may see at it that makes him ask.
    pub const fn symptoms(mut self, symptoms: &'static [Symptom]) -> Self {
        self.symptoms = symptoms;
        self
    }
    /// Which of its settings may be moved, and how. On the page they stand in the order of the settings.
    pub const fn levers(mut self, levers: &'static [Lever]) -> Self {
        self.levers = levers;
        self
    }
    /// Its handbook entries.
    pub const fn formulas(mut self, formulas: fn() -> Vec<&'static Formula>) -> Self {
        self.formulas = formulas;
        self
    }
    /// Its checks.
    pub const fn checks(mut self, checks: fn() -> Vec<&'static Check>) -> Self {
        self.checks = checks;
        self
    }
}
