//! The kind `nugget-trap`.

use sim_core::draw::{Input, Nature};
use sim_core::drum::{Lifters, LocalBed, MAX_TRACERS, Section};
use sim_core::quantity::{Dimension, Phrase};
use sim_core::setting::Setting;
use sim_core::shell_settings::{self, EXIT_RING, LENGTH, LIFTER_HEIGHT, LIFTER_SHARE, LIFTERS};
use sim_core::stage::{SectionBuilder, SectionKind, SectionLaws, SectionPlan, SectionTrial, Trial};
use sim_core::stats::distribution::Spread;

use crate::law::{chance_into_pocket, held_share};

/// The kind `nugget-trap`.
pub static NUGGET_TRAP: SectionKind = SectionKind::new(
    "nugget-trap",
    "closed length behind the screen with pockets that hold gold too coarse for the holes",
    build,
)
.settings(&[
    LENGTH,
    EXIT_RING,
    LIFTERS,
    LIFTER_HEIGHT,
    LIFTER_SHARE,
    Setting::usual("pocket", Dimension::Length, "1 in", (0.003, 0.2), "clear opening of the pockets or riffles"),
    Setting::usual("pocket_share", Dimension::Fraction, "25 %", (0.01, 0.9), "share of the shell that is open pocket"),
    Setting::usual(
        "clean_out",
        Dimension::Time,
        "15 min",
        (0.0, 36_000.0),
        "time that two people need to empty it, with the drum locked out",
    ),
    Setting::uncertain(
        "hold",
        Dimension::Fraction,
        || Spread::triangular(0.2, 0.5, 0.9),
        (0.0, 1.0),
        Nature::Ignorance,
        "share of the large pieces in its pockets that stays until the clean-out",
        "assumed; no measurement is known",
    ),
    Setting::uncertain(
        "half_size",
        Dimension::Length,
        || Spread::split_log_normal(0.0015, 0.003, 0.006),
        (0.0001, 0.05),
        Nature::Ignorance,
        "size of gold that stays half as well as large pieces",
        "assumed 1.5-6 mm",
    ),
])
.formulas(|| crate::law::FORMULAS.iter().collect())
.checks(|| crate::law::CHECKS.iter().collect())
.model("nugget trap 1 (assumed capture)");

fn build(b: &mut SectionBuilder<'_>) -> Option<Box<dyn SectionPlan>> {
    let s = b.settings;
    Some(Box::new(Plan {
        length_m: s.number("length"),
        exit_ring_m: s.number("exit_ring"),
        pocket_m: s.number("pocket"),
        pocket_share: s.number("pocket_share"),
        clean_out_s: s.number("clean_out"),
        hold: s.input("hold"),
        half: s.input("half_size"),
        lifters: shell_settings::lifters(s, b.drum, b.problems),
    }))
}

#[derive(Debug, Clone, Copy)]
struct Plan {
    length_m: f64,
    exit_ring_m: f64,
    pocket_m: f64,
    pocket_share: f64,
    clean_out_s: f64,
    hold: Input,
    half: Input,
    lifters: Option<Lifters>,
}

impl SectionPlan for Plan {
    fn catches(&self) -> bool {
        true
    }

    fn standing_caution(&self) -> Option<(&'static str, Phrase)> {
        let words = Phrase::new(
            "the nugget trap holds the largest gold of the day: how much is an assumption. Keep it covered and locked, \
             empty it every day with two people present, about ",
        )
        .time(self.clean_out_s)
        .text(" each time, with the drive locked out and the drum chocked");
        Some(("nugget-trap-care", words))
    }

    fn new_laws(&self) -> Box<dyn SectionLaws> {
        Box::new(Laws { plan: *self, added_water_m3_s: 0.0, chance: [0.0; MAX_TRACERS] })
    }
}

struct Laws {
    plan: Plan,
    added_water_m3_s: f64,
    /// Chance that a piece which comes to the shell falls in and stays, by gold point.
    chance: [f64; MAX_TRACERS],
}

impl SectionLaws for Laws {
    fn set_trial(&mut self, trial: &Trial<'_>, state: &SectionTrial<'_>) {
        self.added_water_m3_s = state.added_water_m3_s;
        let (hold, half) = (trial.get(self.plan.hold), trial.get(self.plan.half));
        for (chance, axes) in self.chance.iter_mut().zip(state.gold) {
            *chance = chance_into_pocket(axes.intermediate_m, self.plan.pocket_m, self.plan.pocket_share)
                * held_share(axes.sieve_m, hold, half);
        }
    }
}

impl Section for Laws {
    fn length_m(&self) -> f64 {
        self.plan.length_m
    }
    fn exit_ring_m(&self) -> f64 {
        self.plan.exit_ring_m
    }
    fn lifters(&self) -> Option<Lifters> {
        self.plan.lifters
    }
    fn added_water_m3_s(&self) -> f64 {
        self.added_water_m3_s
    }
    fn takes_gold(&self) -> bool {
        true
    }
    /// Turnovers of the bed, times the share of the grains that lie at the shell (one median stone thick), times the chance.
    fn tracer_rates(&self, bed: &LocalBed, rate_per_m: &mut [f64]) {
        let at_shell = if bed.mean_depth_m > 0.0 { (bed.median_m / bed.mean_depth_m).min(1.0) } else { 1.0 };
        let pace = bed.turnovers_per_m * at_shell;
        for (rate, chance) in rate_per_m.iter_mut().zip(&self.chance) {
            *rate = pace * chance;
        }
    }
}
