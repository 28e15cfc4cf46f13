//! The kind `screen`: settings, and the laws of [`crate::law`] set to a trial.

use sim_core::draw::{Input, Nature};
use sim_core::drum::{LocalBed, MAX_TRACERS, Section};
use sim_core::quantity::Dimension;
use sim_core::setting::{Preset, Setting};
use sim_core::stage::{GoldAxes, Holes, SectionBuilder, SectionKind, SectionLaws, SectionPlan, SectionTrial, Trial};
use sim_core::stats::distribution::Spread;

use crate::law::{Plate, ScreenSection, Screening, Washing};
use crate::open_area::{Pattern, open_share};
use crate::passage::{GoldMeasures, HoleShape, effective_hole_m};

/// The kind `screen`.
pub static SCREEN: SectionKind = SectionKind {
    name: "screen",
    purpose: "perforated shell that lets sand, gold and small gravel through",
    settings: &[
        Setting::required("length", Dimension::Length, (0.05, 50.0), "length along the axis"),
        Setting::required(
            "hole",
            Dimension::Length,
            (0.001, 0.2),
            "diameter of a round hole, side of a square one, width of a slot",
        ),
        Setting::required(
            "pitch",
            Dimension::Length,
            (0.0015, 0.5),
            "distance between the middles of neighbouring holes",
        ),
        Setting::choice(
            "shape",
            &[
                ("round", "punched, drilled or cut round holes"),
                ("square", "square holes or woven mesh"),
                ("slot", "long slots"),
            ],
            Preset::Text("round"),
            "shape of the holes",
        ),
        Setting::choice(
            "pattern",
            &[("staggered", "each row set off by half a pitch, 60 degrees"), ("in-line", "holes in square rows")],
            Preset::Text("staggered"),
            "how the holes stand",
        ),
        Setting::usual("exit_ring", Dimension::Length, "0 mm", (0.0, 2.0), "height of the ring at its end; 0 for none"),
        Setting::uncertain(
            "blinded",
            Dimension::Fraction,
            || Spread::triangular(0.0, 0.05, 0.20),
            (0.0, 0.95),
            Nature::Variability,
            "share of the holes that are plugged by stones",
            "assumed 0-20 % over a shift",
        ),
        Setting::uncertain(
            "trials_per_turnover",
            Dimension::Number,
            || Spread::log_normal_within(2.0, 0.42, 0.5, 8.0),
            (0.1, 20.0),
            Nature::Ignorance,
            "meetings with a hole per turnover of the bed",
            "assumed median 2, nine in ten within 1-4",
        ),
        Setting::uncertain(
            "round_hole_factor",
            Dimension::Number,
            || Spread::triangular(0.80, 0.84, 0.87),
            (0.5, 1.0),
            Nature::Ignorance,
            "sieve size of a stone over the round hole that it just passes",
            "0.80-0.87 natural gravel, from memory",
        ),
        Setting::uncertain(
            "wet_screening",
            Dimension::WaterPerMass,
            || Spread::triangular(0.2e-3, 0.45e-3, 0.8e-3),
            (0.0, 0.01),
            Nature::Ignorance,
            "added water per dry mass at which screening is 63 % of fully wet",
            "assumed; near full at the published 1.25-1.75 m3/t",
        ),
    ],
    build,
    formulas: crate::formulas,
    checks: crate::checks,
    model: "screen 1",
};

fn build(b: &mut SectionBuilder<'_>) -> Option<Box<dyn SectionPlan>> {
    let s = b.settings;
    let (hole, pitch) = (s.number("hole"), s.number("pitch"));
    let shape = match s.word("shape") {
        "square" => HoleShape::Square,
        "slot" => HoleShape::Slot,
        _ => HoleShape::Round,
    };
    if pitch <= hole {
        b.problems.error(
            s.place("pitch"),
            "the pitch is not larger than the hole: no steel would be left",
            "pitch is the distance between the middles of two holes, e.g. 1.5 times the hole",
        );
        return None;
    }
    if 2.0 * hole > b.drum.number("diameter") {
        b.problems.error(s.place("hole"), "the hole is larger than half the drum", "check the unit of `hole`");
        return None;
    }
    let pattern = if s.word("pattern") == "in-line" { Pattern::InLine } else { Pattern::Staggered };
    let plate = Plate {
        length_m: s.number("length"),
        exit_ring_m: s.number("exit_ring"),
        shape,
        hole_m: hole,
        open_share: open_share(shape, pattern, hole, pitch),
    };
    Some(Box::new(Plan {
        plate,
        middle_factor: s.maybe("round_hole_factor").unwrap_or(0.84),
        blinded: s.input("blinded"),
        trials: s.input("trials_per_turnover"),
        round_factor: s.input("round_hole_factor"),
        wet: s.input("wet_screening"),
    }))
}

#[derive(Debug, Clone, Copy)]
struct Plan {
    plate: Plate,
    middle_factor: f64,
    blinded: Input,
    trials: Input,
    round_factor: Input,
    wet: Input,
}

impl SectionPlan for Plan {
    fn holes(&self) -> Option<Holes> {
        let hole_m = self.plate.hole_m;
        // Sieve size of a typical flake that just passes: I = 1.37 A at a Corey factor of 0.2 to 0.3, thickness 0.4 A.
        let (gold_m, gold_measure): (f64, fn(&GoldAxes) -> f64) = match self.plate.shape {
            HoleShape::Round => (hole_m / 1.36, |g| g.intermediate_m),
            HoleShape::Square => (hole_m, |g| g.sieve_m),
            HoleShape::Slot => (hole_m / 0.4, |g| g.thickness_m),
        };
        Some(Holes {
            gravel_m: effective_hole_m(self.plate.shape, hole_m, self.middle_factor),
            gold_m,
            hole_m,
            gold_measure,
        })
    }

    fn new_laws(&self) -> Box<dyn SectionLaws> {
        Box::new(Laws {
            plan: *self,
            section: ScreenSection::new(self.plate),
            gold: [GoldMeasures::default(); MAX_TRACERS],
        })
    }
}

struct Laws {
    plan: Plan,
    section: ScreenSection,
    gold: [GoldMeasures; MAX_TRACERS],
}

impl SectionLaws for Laws {
    fn set_trial(&mut self, trial: &Trial<'_>, state: &SectionTrial<'_>) {
        let screening = Screening {
            trials_per_turnover: trial.get(self.plan.trials),
            round_factor: trial.get(self.plan.round_factor),
            // The law takes water per tonne.
            washing: Washing::ByWater(trial.get(self.plan.wet) * 1000.0),
            transport_factor: 1.0,
        };
        self.section.set_open_share(self.plan.plate.open_share * (1.0 - trial.get(self.plan.blinded)));
        self.section.set_screening(screening, state.speed_over_critical);
        self.section.set_gravel(state.gravel_m);
        let n = state.gold.len().min(MAX_TRACERS);
        for (measures, axes) in self.gold.iter_mut().zip(state.gold) {
            *measures = GoldMeasures {
                intermediate_m: axes.intermediate_m,
                sieve_m: axes.sieve_m,
                thickness_m: axes.thickness_m,
            };
        }
        self.section.set_gold(&self.gold[..n]);
        self.section.set_water(state.added_water_m3_s);
    }
}

impl Section for Laws {
    fn length_m(&self) -> f64 {
        self.section.length_m()
    }
    fn exit_ring_m(&self) -> f64 {
        self.section.exit_ring_m()
    }
    fn transport_factor(&self) -> f64 {
        self.section.transport_factor()
    }
    fn added_water_m3_s(&self) -> f64 {
        self.section.added_water_m3_s()
    }
    fn open_points(&self) -> usize {
        self.section.open_points()
    }
    fn wetness(&self, water_m3_per_t: f64) -> f64 {
        self.section.wetness(water_m3_per_t)
    }
    fn gravel_rates(&self, bed: &LocalBed, rate_per_m: &mut [f64]) {
        self.section.gravel_rates(bed, rate_per_m);
    }
    fn tracer_rates(&self, bed: &LocalBed, rate_per_m: &mut [f64]) {
        self.section.tracer_rates(bed, rate_per_m);
    }
    fn lump_rates(&self, bed: &LocalBed, size_m: &[f64], rate_per_m: &mut [f64]) {
        self.section.lump_rates(bed, size_m, rate_per_m);
    }
}
