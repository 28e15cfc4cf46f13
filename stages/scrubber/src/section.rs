//! The kind `scrubber`.

use sim_core::drum::Section;
use sim_core::quantity::Dimension;
use sim_core::setting::Setting;
use sim_core::stage::{SectionBuilder, SectionKind, SectionLaws, SectionPlan, SectionTrial, Trial};

/// The kind `scrubber`.
pub static SCRUBBER: SectionKind = SectionKind {
    name: "scrubber",
    purpose: "closed shell where lumps break up and rock is scrubbed",
    settings: &[
        Setting::required("length", Dimension::Length, (0.05, 50.0), "length along the axis"),
        Setting::usual("exit_ring", Dimension::Length, "0 mm", (0.0, 2.0), "height of the ring at its end; 0 for none"),
    ],
    build: |b: &mut SectionBuilder<'_>| {
        Some(Box::new(Scrubber {
            length_m: b.settings.number("length"),
            exit_ring_m: b.settings.number("exit_ring"),
            water_m3_s: 0.0,
        }))
    },
    formulas: crate::formulas,
    checks: crate::checks,
    model: "scrubber 1",
};

#[derive(Debug, Clone, Copy)]
struct Scrubber {
    length_m: f64,
    exit_ring_m: f64,
    water_m3_s: f64,
}

impl SectionPlan for Scrubber {
    fn new_laws(&self) -> Box<dyn SectionLaws> {
        Box::new(*self)
    }
}

impl SectionLaws for Scrubber {
    fn set_trial(&mut self, _trial: &Trial<'_>, state: &SectionTrial<'_>) {
        self.water_m3_s = state.added_water_m3_s;
    }
}

impl Section for Scrubber {
    fn length_m(&self) -> f64 {
        self.length_m
    }
    fn exit_ring_m(&self) -> f64 {
        self.exit_ring_m
    }
    fn added_water_m3_s(&self) -> f64 {
        self.water_m3_s
    }
}
