//! The kinds `scrubber` and `blank`: both closed shells under the same law; the name says what the builder means them for.

use sim_core::lever::{Effort, Lever, Move, Question, Serves};
use sim_core::setting::Setting;
use sim_core::shell_settings::{self, EXIT_RING, LENGTH, LIFTER_HEIGHT, LIFTER_SHARE, LIFTERS};
use sim_core::stage::{SectionBuilder, SectionKind, SectionLaws, SectionPlan, SectionTrial, Trial};

use crate::law::ScrubberSection;

const SETTINGS: &[Setting] = &[LENGTH, EXIT_RING, LIFTERS, LIFTER_HEIGHT, LIFTER_SHARE];

/// The kind `scrubber`.
pub static SCRUBBER: SectionKind =
    SectionKind::new("scrubber", "closed shell where lumps break up and rock is scrubbed", build)
        .settings(SETTINGS)
        .faults(crate::trouble::FAULTS)
        .levers(&[
            shell_settings::ring_lever(
                "Ring after the scrubber",
                "higher ring at the scrubber",
                "lower ring at the scrubber",
            )
            .beside(Question::Hole),
            Lever::new("length", "Scrubber length")
                .takes(Effort::Build)
                .serves(Serves::Scrubbing)
                .more(Move::times("longer scrubber", 1.5)),
        ])
        .formulas(crate::formulas)
        .checks(crate::checks)
        .model("scrubber 2");

/// The kind `blank`.
pub static BLANK: SectionKind = SectionKind::new(
    "blank",
    "closed length that carries the rock on, such as an end that reaches over the tailings",
    build,
)
.settings(SETTINGS)
.model("blank 1");

fn build(b: &mut SectionBuilder<'_>) -> Option<Box<dyn SectionPlan>> {
    Some(Box::new(ScrubberSection {
        length_m: b.settings.number("length"),
        exit_ring_m: b.settings.number("exit_ring"),
        added_water_m3_s: 0.0,
        lifters: shell_settings::lifters(b.settings, b.drum, b.problems),
    }))
}

impl SectionPlan for ScrubberSection {
    fn new_laws(&self) -> Box<dyn SectionLaws> {
        Box::new(*self)
    }
}

impl SectionLaws for ScrubberSection {
    fn set_trial(&mut self, _trial: &Trial<'_>, state: &SectionTrial<'_>) {
        self.added_water_m3_s = state.added_water_m3_s;
    }
}
