//! The kind `screen`: settings, and the laws of [`crate::law`] set to a trial.

use sim_core::draw::{Input, Nature};
use sim_core::drum::{Lifters, LocalBed, MAX_TRACERS, Section};
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::shell_settings::{self, EXIT_RING, LENGTH, LIFTER_HEIGHT, LIFTER_SHARE, LIFTERS};
use sim_core::shop::{Shell, ShopPart};
use sim_core::stage::{GoldAxes, Holes, SectionBuilder, SectionKind, SectionLaws, SectionPlan, SectionTrial, Trial};
use sim_core::stats::distribution::Spread;

use crate::holes::largest_of;
use crate::law::{Plate, ScreenSection, Screening, Washing};
use crate::open_area::{Pattern, holes_per_m2, open_share};
use crate::passage::{GoldMeasures, HoleShape, effective_hole_m};
use crate::pegging::{Balance, near_stones_1_s};
use crate::shop::ShopPlate;

/// The kind `screen`.
pub static SCREEN: SectionKind = SectionKind::new("screen", "perforated shell that lets sand, gold and small gravel through", build).settings(&[
        LENGTH,
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
        Setting::optional(
            "slot_length",
            Dimension::Length,
            (0.002, 2.0),
            "length of a slot; usual is 8 times its width. Counts the slots; bridges between slots are then taken as closed",
        ),
        Setting::optional(
            "plate_thickness",
            Dimension::Length,
            (0.0005, 0.05),
            "thickness of the perforated plate; as the shell when not set",
        ),
        Setting::choice(
            "cut",
            &[
                ("punched", "punched, drilled or cut by machine: even holes"),
                ("torch", "cut by hand with a torch and a template: uneven holes"),
            ],
            Preset::Text("punched"),
            "how the holes were made",
        ),
        Setting::optional(
            "hole_scatter",
            Dimension::Length,
            (0.0, 0.01),
            "standard deviation of the hole size: two holes in three lie within it. Usual is 1.2 % of the hole when punched (plate tolerance 0.4 mm on 12.5), 0.8 mm when cut by hand (assumed): measure twenty",
        ),
        Setting::choice(
            "relief",
            &[
                ("straight", "as wide outside as inside"),
                ("relieved", "narrower inside than outside: tapered, or reamed from the outside"),
            ],
            Preset::Text("straight"),
            "shape of the holes through the plate",
        ),
        Setting::optional(
            "straight_part",
            Dimension::Length,
            (0.0, 0.05),
            "straight part of relieved holes; usual is a quarter of the plate (assumed)",
        ),
        Setting::usual(
            "solid_edge",
            Dimension::Length,
            "1 in",
            (0.0, 0.5),
            "plate without holes at each end, for the shop sheet; the run counts the whole length as perforated",
        ),
        EXIT_RING,
        LIFTERS,
        LIFTER_HEIGHT,
        LIFTER_SHARE,
        Setting::usual(
            "cleaned_every",
            Dimension::Time,
            "10 h",
            (60.0, 3.6e6),
            "running time after which plugged holes are knocked free",
        ),
        Setting::new(
            "blinded",
            Kind::Quantity(Dimension::Fraction),
            "share of the holes that are plugged, counted on the own plate; without it the \
    balance of pegging and clearing tells it",
        )
        .range((0.0, 0.95))
        .nature(Nature::Variability),
        Setting::uncertain(
            "peg_chance",
            Dimension::Number,
            || Spread::log_normal_within(2.0e-5, 0.8, 1.0e-6, 4.0e-4),
            (0.0, 0.1),
            Nature::Ignorance,
            "chance that a stone of near size wedges in a hole when it meets the plate there",
            "assumed: straight holes then plug to some 10 % in a shift; not calibrated",
        ),
        Setting::uncertain(
            "clear_straight",
            Dimension::Number,
            || Spread::log_normal_within(3.0e-4, 0.6, 3.0e-5, 3.0e-3),
            (0.0, 1.0),
            Nature::Ignorance,
            "chance that a plugged straight hole clears in one turn of the drum",
            "assumed; not calibrated",
        ),
        Setting::uncertain(
            "clear_relieved",
            Dimension::Number,
            || Spread::log_normal_within(6.0e-3, 0.6, 6.0e-4, 6.0e-2),
            (0.0, 1.0),
            Nature::Ignorance,
            "chance that a plugged relieved hole clears in one turn of the drum",
            "assumed 20 times that of straight holes; holes narrower inside than outside stay open: common practice, no source",
        ),
        Setting::uncertain(
            "approach",
            Dimension::Angle,
            || Spread::triangular(0.1, 0.26, 0.44),
            (0.0, 1.0),
            Nature::Ignorance,
            "steepest angle to the axis of a hole at which grains are offered it; with thick plate it narrows the hole",
            "assumed 6-25 degrees",
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
    ]).formulas(crate::formulas).checks(crate::checks).model("screen 2 (pegging, scatter, thickness)");

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
    let slot_m = s.maybe("slot_length").unwrap_or(USUAL_SLOT * hole);
    let per_m2 = holes_per_m2(shape, pattern, hole, pitch, slot_m);
    let mut open = open_share(shape, pattern, hole, pitch);
    if shape == HoleShape::Slot && s.was_given("slot_length") {
        open *= slot_m / (slot_m + pitch - hole);
    }
    let torch = s.word("cut") == "torch";
    let scatter_m = s.maybe("hole_scatter").unwrap_or(if torch { TORCH_SCATTER_M } else { PUNCHED_SCATTER * hole });
    if 6.0 * scatter_m > hole {
        b.problems.error(
            s.place("hole_scatter"),
            "the holes scatter by more than a sixth of their size",
            "give the standard deviation: measure twenty holes; two in three should lie within it of the mean",
        );
        return None;
    }
    let relieved = s.word("relief") == "relieved";
    let plate_m = s.maybe("plate_thickness").unwrap_or_else(|| b.drum.number("wall"));
    let straight_m = if relieved { s.maybe("straight_part").unwrap_or(USUAL_STRAIGHT * plate_m) } else { plate_m };
    if straight_m > plate_m {
        b.problems.error(s.place("straight_part"), "the straight part is longer than the plate is thick", "give less");
        return None;
    }
    let holes = per_m2 * std::f64::consts::PI * b.drum.number("diameter") * s.number("length");
    let plate = Plate {
        length_m: s.number("length"),
        exit_ring_m: s.number("exit_ring"),
        shape,
        hole_m: hole,
        scatter_m,
        largest_hole_m: hole + scatter_m * largest_of(holes),
        straight_m,
        open_share: open,
        lifters: shell_settings::lifters(s, b.drum, b.problems),
    };
    let shop = ShopPlate {
        plate,
        pattern,
        pitch_m: pitch,
        slot_m,
        torch,
        relieved,
        thickness_m: s.maybe("plate_thickness"),
        solid_edge_m: s.number("solid_edge"),
        edge_given: s.was_given("solid_edge"),
    };
    Some(Box::new(Plan {
        plate,
        shop,
        holes_per_m2: per_m2,
        between_s: s.number("cleaned_every"),
        middle_factor: s.maybe("round_hole_factor").unwrap_or(0.84),
        counted: s.maybe("blinded").map(|_| s.input("blinded")),
        peg_chance: s.input("peg_chance"),
        clear_chance: s.input(if relieved { "clear_relieved" } else { "clear_straight" }),
        approach: s.input("approach"),
        trials: s.input("trials_per_turnover"),
        round_factor: s.input("round_hole_factor"),
        wet: s.input("wet_screening"),
    }))
}

/// Length of a slot over its width unless given. Assumed.
const USUAL_SLOT: f64 = 8.0;
/// Scatter of punched holes over their size: tolerance 0.4 mm on 12.5 mm (plate table, seen) read as 2.5 standard deviations.
const PUNCHED_SCATTER: f64 = 0.012;
/// Scatter of holes cut by hand, m. Assumed.
const TORCH_SCATTER_M: f64 = 0.8e-3;
/// Straight part of relieved holes over the plate's thickness. Assumed.
const USUAL_STRAIGHT: f64 = 0.25;

#[derive(Debug, Clone, Copy)]
struct Plan {
    plate: Plate,
    shop: ShopPlate,
    holes_per_m2: f64,
    between_s: f64,
    middle_factor: f64,
    /// Blinded share as counted by the owner; it replaces the balance.
    counted: Option<Input>,
    peg_chance: Input,
    clear_chance: Input,
    approach: Input,
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
            open_share: self.plate.open_share,
            largest_gravel_m: effective_hole_m(self.plate.shape, self.plate.largest_hole_m, self.middle_factor),
            gold_measure,
        })
    }

    fn shop(&self, shell: &Shell<'_>) -> Vec<ShopPart> {
        self.shop.parts(shell)
    }

    fn new_laws(&self) -> Box<dyn SectionLaws> {
        Box::new(Laws {
            plan: *self,
            counted: 0.0,
            section: ScreenSection::new(self.plate),
            gold: [GoldMeasures::default(); MAX_TRACERS],
        })
    }
}

struct Laws {
    plan: Plan,
    /// Blinded share counted by the owner, in this trial.
    counted: f64,
    section: ScreenSection,
    gold: [GoldMeasures; MAX_TRACERS],
}

impl Laws {
    fn balance(&self, trial: &Trial<'_>, state: &SectionTrial<'_>, round_factor: f64) -> Option<Balance> {
        if self.plan.counted.is_some() {
            return None;
        }
        let hole_m = effective_hole_m(self.plan.plate.shape, self.plan.plate.hole_m, round_factor);
        let g = &state.gravel;
        let stones_1_s = near_stones_1_s(g.low_m, g.high_m, g.flow_kg_s, hole_m, g.density_kg_m3);
        Some(Balance {
            stones_per_hole_m_s: stones_1_s / (self.plan.holes_per_m2 * state.circumference_m),
            peg_chance: trial.get(self.plan.peg_chance),
            clearing_1_s: trial.get(self.plan.clear_chance) * state.speed_rev_s,
            between_s: self.plan.between_s,
        })
    }
}

impl SectionLaws for Laws {
    fn set_trial(&mut self, trial: &Trial<'_>, state: &SectionTrial<'_>) {
        let round_factor = trial.get(self.plan.round_factor);
        let screening = Screening {
            trials_per_turnover: trial.get(self.plan.trials),
            round_factor,
            // The law takes water per tonne.
            washing: Washing::ByWater(trial.get(self.plan.wet) * 1000.0),
            approach: sim_core::math::tan(trial.get(self.plan.approach)),
            balance: self.balance(trial, state, round_factor),
        };
        self.counted = self.plan.counted.map_or(0.0, |input| trial.get(input));
        self.section.set_open_share(self.plan.plate.open_share * (1.0 - self.counted));
        self.section.set_screening(screening, state.speed_over_critical);
        self.section.set_gravel(state.gravel.size_m);
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

    fn blinded(&self, bed: &LocalBed) -> Option<(f64, f64)> {
        let (mean, end) = self.section.blinded(bed);
        let with_counted = |share: f64| 1.0 - (1.0 - self.counted) * (1.0 - share);
        Some((with_counted(mean), with_counted(end)))
    }
}

impl Section for Laws {
    fn length_m(&self) -> f64 {
        self.section.length_m()
    }
    fn exit_ring_m(&self) -> f64 {
        self.section.exit_ring_m()
    }
    fn lifters(&self) -> Option<Lifters> {
        self.section.lifters()
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
