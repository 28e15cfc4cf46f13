//! The sluice as a stage.
//!
//! ```text
//!              make-up water
//!                   │
//!   feed ──> slick plate ── riffles ── riffles ──> tailings
//!                            caught     caught
//! ```

use sim_core::constants::QUARTZ_KG_M3;
use std::any::Any;

use sim_core::draw::Input;
use sim_core::particle::shape::Proportions;
use sim_core::particle::water::{THICKEST_MUD, WaterState};
use sim_core::quantity::{Dimension, Phrase};
use sim_core::return_water::Sweep;
use sim_core::shop::{ShopPart, StageSite};
use sim_core::size::{
    GOLD_CLASSES, gold_class, gold_class_of, solid_percentile_size_m, solid_smooth_percentile_size_m,
};
use sim_core::stage::{
    Mounted, Port, Ports, Reset, ResetSite, Severity, Stage, StageBuilder, StageKind, Trial, reasons,
};
use sim_core::stream::Stream;

use crate::capture::{BoxGeometry, Fate, GoldGrain, HydraulicState, SlurryState, capture};
use crate::constants::{BYPASS_EVEN_FEED, BYPASS_UNEVEN_FEED, Constants, UNCERTAIN};
use crate::flow::{Channel, roughness_m};
use crate::model::SettlingForm;
use crate::needs::{BoxDemand, box_needs};
use crate::reset::reset;
use crate::riffles::{RiffleKind, chosen};
use crate::shop::ShopBox;
use crate::stage_settings::{LEVERS, SETTINGS};
use crate::warnings::{Facts, GOLD_RANGE_M, SluiceWarning, SluiceWarnings};

/// The kind `sluice`.
pub static SLUICE: StageKind = StageKind::new("sluice", "catches gold in riffles under running water", build)
    .settings(SETTINGS)
    .levers(LEVERS)
    .inlets(&[Port::required("feed", "slurry")])
    .outlets(&[Port::required("tailings", "all that runs out at the end of the box")])
    .reasons(&[reasons::NEVER_SETTLED, reasons::PACKED, reasons::SCOURED, reasons::BYPASS, reasons::LOCKED_IN_CLAY])
    .takes_water()
    .faults(crate::trouble::FAULTS)
    .readings(crate::trouble::READINGS)
    .symptoms(crate::trouble::SYMPTOMS)
    .assumptions(crate::reset::ASSUMPTIONS)
    .formulas(crate::formulas)
    .checks(crate::checks)
    .model(SettlingForm::PlantWide.model_name());

/// Grain whose shape sets the contact efficiency: the middle of 150-212 um.
const CONTACT_SIZE_M: f64 = 0.178e-3;

/// Number of the warning for mud, after those of [`SluiceWarning`].
const MUD_WARNING: usize = SluiceWarning::ALL.len();
/// Number of the note on riffles without a published recovery; only such a box has it.
const UNPUBLISHED_WARNING: usize = MUD_WARNING + 1;

struct Sluice {
    riffle: RiffleKind,
    /// Factors of the riffles on the constants, in their order.
    factors: Vec<f64>,
    /// Whether no recovery is published over these riffles.
    unpublished: bool,
    geometry: BoxGeometry,
    height_given: bool,
    slick_given: bool,
    constants: Vec<Input>,
    /// Whether the bypass is the owner's own figure.
    bypass_given: bool,
    base: Constants,
    clay_thickening: Input,
    make_up: Vec<Mounted>,
    depth: usize,
    velocity: usize,
    solids: usize,
    flow: usize,
    packing: usize,
    scour: usize,
    need: usize,
    at_hand: usize,
    by_width: usize,
    by_solids: usize,
    by_cover: usize,
    by_motion: usize,
    area: usize,
}

/// What a worker keeps from trial to trial.
struct Scratch {
    grains: [GoldGrain; GOLD_CLASSES],
    fates: [Fate; GOLD_CLASSES],
    facts: Option<Facts>,
}

fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    let s = b.settings;
    let riffle = chosen(s, b.problems)?;
    let geometry = BoxGeometry {
        width_m: s.number("width"),
        length_m: s.number("length"),
        slope: s.number("slope"),
        riffle_height_m: s.maybe("riffle_height").unwrap_or(riffle.usual_height_m),
        runs: s.number("runs") as u32,
        slick_plate_m: s.number("slick_plate"),
    };
    let constants = UNCERTAIN.iter().map(|u| s.input(u.name)).collect();
    for warning in SluiceWarning::ALL {
        b.warning(warning.id(), warning.severity(), Phrase::none());
    }
    b.warning(
        "sluice-mud-too-thick",
        Severity::Limit,
        "the freed clay turns the water into a paste thicker than the viscosity law covers: add water, or settle and bleed the pond",
    );
    // What the owner gives for a constant holds whatever lies in the box.
    let factors = riffle.factors();
    let factors = UNCERTAIN.iter().zip(factors).map(|(u, f)| if s.was_given(u.name) { 1.0 } else { f }).collect();
    let unpublished = riffle.recovery.is_empty();
    if unpublished {
        b.warning(
            "sluice-no-published-recovery",
            Severity::Note,
            format!(
                "no recovery by size is published over {}: what it catches is worked out from its height by a model that was \
                 fitted to other riffles",
                riffle.said
            ),
        );
    }
    Some(Box::new(Sluice {
        riffle,
        factors,
        unpublished,
        geometry,
        height_given: s.was_given("riffle_height"),
        slick_given: s.was_given("slick_plate"),
        constants,
        bypass_given: s.was_given("bypass"),
        base: Constants::plant_wide(),
        clay_thickening: s.input("clay_thickening"),
        make_up: b.mounted.to_vec(),
        depth: b.measure("depth", Dimension::Length, "depth of the slurry over the riffles"),
        velocity: b.measure("velocity", Dimension::Velocity, "mean velocity of the slurry"),
        solids: b.measure("solids_by_volume", Dimension::Fraction, "solids by volume in the slurry"),
        flow: b.measure("flow_per_width", Dimension::FlowPerWidth, "slurry per width of box"),
        packing: b.measure("packing_factor", Dimension::Fraction, "share of the catching rate that packing leaves"),
        scour: b.measure(
            "scour_factor",
            Dimension::Fraction,
            "share of the catching rate that scour leaves for gold of 0.2 mm",
        ),
        need: b.water_need("sluice", "water that the box needs: the most that one of its rules asks for"),
        at_hand: b.water_at_hand("sluice", "water in the slurry of the box"),
        by_width: b.water_rule("sluice", "need_by_width", "the published minimum flow per width"),
        by_solids: b.water_rule("sluice", "need_by_solids", "at most 12 % solids by volume"),
        by_cover: b.water_rule("sluice", "need_by_cover", "water as deep as the largest stone that passes the holes"),
        by_motion: b.water_rule("sluice", "need_by_motion", "water that moves the largest stone that passes the holes"),
        area: b.catch_area("riffled_area", "riffled area of all runs"),
    }))
}

impl Sluice {
    fn constants(&self, trial: &Trial<'_>, load_cv: f64) -> Constants {
        let mut constants = self.base;
        for (number, (input, factor)) in self.constants.iter().zip(&self.factors).enumerate() {
            let value = trial.get(*input);
            if value.is_finite() {
                RiffleKind::write(&mut constants, number, value, *factor);
            }
        }
        constants.load_cv = load_cv;
        if load_cv == 0.0 && !self.bypass_given {
            // The usual bypass is lowered for a feed whose unevenness is reckoned apart; an even feed has the fitted one.
            constants.bypass *= BYPASS_EVEN_FEED / BYPASS_UNEVEN_FEED;
        }
        constants.with_contact_for(trial.ground.corey[gold_class_of(CONTACT_SIZE_M)])
    }
}

/// Share of the water of a stream that came through the outlets, and with it the fines of the pond.
fn share_from_outlets(stream: &Stream) -> f64 {
    if stream.water_m3_s > 0.0 { (stream.added_water_m3_s / stream.water_m3_s).min(1.0) } else { 0.0 }
}

impl Stage for Sluice {
    fn reset(&self, site: &ResetSite<'_>) -> Option<Reset> {
        reset(site)
    }

    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        let shop = ShopBox {
            riffle: &self.riffle,
            geometry: self.geometry,
            height_given: self.height_given,
            slick_given: self.slick_given,
            depth_m: site.reading(self.depth),
            velocity_m_s: site.reading(self.velocity),
            flow_m2_s: site.reading(self.flow),
        };
        shop.parts(site.id)
    }

    fn scratch(&self) -> Box<dyn Any + Send> {
        Box::new(Scratch {
            grains: [GoldGrain::default(); GOLD_CLASSES],
            fates: [Fate::default(); GOLD_CLASSES],
            facts: None,
        })
    }

    fn feels_mud(&self) -> bool {
        true
    }

    fn warning_text(&self, warning: usize, scratch: &(dyn Any + Send)) -> Option<Phrase> {
        let facts = scratch.downcast_ref::<Scratch>()?.facts.as_ref()?;
        SluiceWarning::ALL.get(warning).map(|c| c.text(facts, &self.riffle))
    }

    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let notes: [usize; 5] = std::array::from_fn(|r| work.note(r));
        let [out] = work.outlets else { return };
        let (Some(feed), Some(scratch)) = (inlet(0), work.scratch.downcast_mut::<Scratch>()) else { return };
        out.copy_from(feed);
        out.astray_kg_s.fill([0.0; GOLD_CLASSES]);
        let make_up: f64 = self.make_up.iter().map(|m| trial.water_m3_s(m)).sum();
        out.water_m3_s += make_up;
        out.added_water_m3_s += make_up;
        if trial.sweep == Sweep::Solids {
            // Gold follows when the return water is known.
            return;
        }

        let ground = trial.ground;
        let rock_m3_s = feed.rock_kg_s.iter().sum::<f64>() / ground.rock_density_kg_m3;
        let clay_m3_s = (feed.lumps_kg_s() + feed.clay_kg_s) / QUARTZ_KG_M3;
        let solids_m3_s = rock_m3_s + clay_m3_s;
        let slurry_m3_s = out.water_m3_s + solids_m3_s;
        let clay_kg_m3 = if out.water_m3_s > 0.0 { feed.clay_kg_s / out.water_m3_s } else { 0.0 };
        let returned = trial.return_water.thinned(share_from_outlets(out));
        let volume_share = trial.get(self.clay_thickening) * clay_kg_m3 / QUARTZ_KG_M3 + returned.volume_share;
        // Past this the viscosity law has no value: the slurry is a paste. The warning for thick mud says so.
        work.warnings[MUD_WARNING] = volume_share > THICKEST_MUD;
        let within = if volume_share > THICKEST_MUD { THICKEST_MUD / volume_share } else { 1.0 };
        let water = WaterState::suspension(
            ground.water.temperature_c,
            within * (clay_kg_m3 + returned.fines_kg_m3),
            QUARTZ_KG_M3,
            within * volume_share,
        );
        let constants = self.constants(trial, feed.load_cv);
        // Classes coarser than any gold that came need no fate.
        let used = (0..GOLD_CLASSES).rfind(|g| feed.gold_kg_s[*g] > 0.0).map_or(0, |g| g + 1);
        let law = trial.settling.gold_law(ground.gold_density_kg_m3, &water, Proportions::default());
        for (g, (grain, form)) in scratch.grains.iter_mut().zip(&ground.forms).enumerate().take(used) {
            let settling = law.fall(form);
            *grain = GoldGrain {
                settling_m_s: settling.w_m_s,
                nominal_m: settling.nominal_m,
                sieve_m: gold_class(g).middle_m,
                density_kg_m3: ground.gold_density_kg_m3,
            };
        }
        scratch.fates[used..].fill(Fate::default());
        // A box that gets nothing but water: one of two behind a splitter that is shut.
        let gravel = rock_m3_s > 0.0;
        let slurry = SlurryState {
            flow_m3_s: self.geometry.flow_of_one_run_m3_s(slurry_m3_s),
            solids_by_volume: if slurry_m3_s > 0.0 { solids_m3_s / slurry_m3_s } else { 0.0 },
            d50_m: if gravel { solid_percentile_size_m(&feed.rock_kg_s, 0.5) } else { 0.0 },
            d98_m: if gravel { solid_smooth_percentile_size_m(&feed.rock_kg_s, 0.98) } else { 0.0 },
            d_max_m: feed.largest_m,
            water_density_kg_m3: water.density_kg_m3,
        };
        let state: HydraulicState =
            capture(&self.geometry, &slurry, &constants, &scratch.grains[..used], &mut scratch.fates);
        let mut outside = 0.0;
        let mut total = 0.0;
        for g in 0..GOLD_CLASSES {
            let (free, fate) = (feed.gold_kg_s[g], &scratch.fates[g]);
            let caught = free * fate.caught;
            work.caught[g] = caught;
            out.gold_kg_s[g] = free - caught;
            for (note, share) in notes.iter().zip([fate.never_settled, fate.packed, fate.scoured]) {
                out.astray_kg_s[*note][g] = free * share;
            }
            let noted: f64 = notes[..3].iter().map(|n| out.astray_kg_s[*n][g]).sum();
            out.astray_kg_s[notes[3]][g] = out.gold_kg_s[g] - noted;
            out.astray_kg_s[notes[4]][g] = feed.locked_kg_s[g];
            total += free;
            let size = gold_class(g).middle_m;
            if size < GOLD_RANGE_M.0 || size > GOLD_RANGE_M.1 {
                outside += free;
            }
        }
        let facts = Facts {
            geometry: self.geometry,
            slurry,
            constants,
            state,
            gold_outside_share: if total > 0.0 { outside / total } else { 0.0 },
        };
        let warnings = SluiceWarnings::of(&facts, &self.riffle);
        if self.unpublished {
            work.warnings[UNPUBLISHED_WARNING] = true;
        }
        for (flag, warning) in work.warnings.iter_mut().zip(SluiceWarning::ALL) {
            *flag = warnings.contains(warning);
        }
        scratch.facts = Some(facts);
        let m = work.measures;
        m[self.depth] = state.depth_m;
        m[self.velocity] = state.velocity_m_s;
        m[self.solids] = slurry.solids_by_volume;
        m[self.flow] = state.flow_per_width_m2_s;
        m[self.packing] = state.packing * state.thick * state.cover;
        m[self.scour] = state.scour;
        let needs = box_needs(&BoxDemand {
            width_m: self.geometry.width_m * f64::from(self.geometry.runs.max(1)),
            riffle_height_m: self.geometry.riffle_height_m,
            channel: Channel {
                slope: self.geometry.slope,
                roughness_m: roughness_m(constants.roughness_ratio, self.geometry.riffle_height_m),
                gravity_m_s2: constants.gravity_m_s2,
                von_karman: constants.von_karman,
            },
            solids_m3_s,
            largest_stone_m: feed.largest_m,
            cover_ratio: constants.cover_ratio,
        });
        m[self.need] = needs.largest_m3_s();
        m[self.at_hand] = out.water_m3_s;
        m[self.by_width] = needs.width_m3_s;
        m[self.by_solids] = needs.solids_m3_s;
        m[self.by_cover] = needs.cover_m3_s;
        m[self.by_motion] = needs.motion_m3_s;
        let all_runs_m = self.geometry.width_m * f64::from(self.geometry.runs.max(1));
        m[self.area] = all_runs_m * self.geometry.length_m;
    }
}
