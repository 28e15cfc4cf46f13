//! A drum that cannot be wrong, and the working memory of its trials.

use sim_core::draw::Input;
use sim_core::drum::{Drum, ExitRule, FlowProfile, MAX_POINTS, MAX_SECTIONS, MAX_TRACERS, March, PointLayout, Section};
use sim_core::stage::{GoldAxes, Holes, Mounted, SectionLaws, SectionPlan, Trial};
use sim_core::stream::Stream;

use crate::drive::Drive;
use crate::numbers::Numbers;

/// Share of voids in the loose bed. Assumed.
pub(crate) const VOIDS: f64 = 0.4;

/// What was typed of the shell and the shop wants to know.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Built {
    pub wall_m: f64,
    pub wall_given: bool,
    pub opening_m: f64,
    pub opening_given: bool,
}

/// A drum as built.
pub(crate) struct DrumStage {
    pub(crate) diameter_m: f64,
    pub(crate) slope: f64,
    pub(crate) speed_rev_s: f64,
    pub(crate) opening_depth_m: f64,
    pub(crate) repose: Input,
    pub(crate) residence_factor: Input,
    pub(crate) film_thickness: Input,
    pub(crate) spray_mixing: Input,
    pub(crate) coating: Input,
    pub(crate) coating_wash: Input,
    pub(crate) wash_need: Input,
    pub(crate) fines_need: Input,
    pub(crate) slurry_need: Input,
    /// Size that rides half in the slurry; `None`: all rides in the bed.
    pub(crate) slurry_m: Option<f64>,
    /// Friction on bare steel; `None` where the shell is lined.
    pub(crate) wall_friction: Option<Input>,
    pub(crate) drive: Drive,
    pub(crate) plans: Vec<Box<dyn SectionPlan>>,
    /// Names of the sections.
    pub(crate) names: Vec<String>,
    pub(crate) built: Built,
    /// Outlets mounted on each section; those mounted on the drum as a whole count with the first.
    pub(crate) water: Vec<Vec<Mounted>>,
    pub(crate) holes: Option<Holes>,
    pub(crate) gravel: PointLayout,
    pub(crate) gold: PointLayout,
    pub(crate) m: Numbers,
}

/// Working memory of one worker.
pub(crate) struct Scratch {
    pub(crate) march: March,
    pub(crate) laws: Vec<Box<dyn SectionLaws>>,
    /// Flow profile of the middle case, from which the other trials start.
    pub(crate) start: Option<FlowProfile>,
    pub(crate) gravel_kg_s: [f64; MAX_POINTS],
    pub(crate) gold_axes: [GoldAxes; MAX_TRACERS],
    /// Share of each gold point that stays in the bed; the rest rides in the slurry.
    pub(crate) gold_in_bed: [f64; MAX_TRACERS],
}

/// The laws as the march takes them.
pub(crate) fn as_sections(laws: &[Box<dyn SectionLaws>]) -> [&dyn Section; MAX_SECTIONS] {
    const NONE: sim_core::drum::BlankShell = sim_core::drum::BlankShell { length_m: 1.0, exit_ring_m: 0.0 };
    let mut sections: [&dyn Section; MAX_SECTIONS] = [&NONE; MAX_SECTIONS];
    for (slot, law) in sections.iter_mut().zip(laws) {
        let section: &dyn Section = law.as_ref();
        *slot = section;
    }
    sections
}

impl DrumStage {
    pub(crate) fn shell(&self, trial: &Trial<'_>) -> Drum {
        let bulk = trial.ground.loose_density_kg_m3;
        Drum {
            diameter_m: self.diameter_m,
            slope: self.slope,
            speed_rev_s: self.speed_rev_s,
            repose_rad: trial.get(self.repose),
            bulk_density_kg_m3: bulk,
            wet_density_kg_m3: bulk + VOIDS * trial.ground.water.density_kg_m3,
            feed_opening_depth_m: self.opening_depth_m,
            transport_factor: trial.get(self.residence_factor),
            exit: ExitRule::Lip,
        }
    }

    /// Points of the gold, from the finest, that there is gold for: the coarser ones need no march.
    pub(crate) fn gold_points(&self, feed: &Stream) -> usize {
        let came = |g: &usize| feed.gold_of_class(*g) > 0.0;
        self.gold.class().iter().rposition(came).map_or(0, |last| last + 1)
    }
}
