//! The drum as a stage.

use std::any::Any;

use sim_core::curves::Curves;
use sim_core::draw::Input;
use sim_core::drum::capacity::rough_capacity_over_feed;
use sim_core::drum::{
    Carried, Drum, ExitRule, Fineness, FlowProfile, MAX_POINTS, MAX_SECTIONS, MAX_TRACERS, March, PointLayout, Section,
    Start, capacity_over_feed, spilled_share,
};
<<<<<<< HEAD
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES, gold_class};
=======
use sim_core::quantity::Dimension;
use sim_core::shop::{ShopPart, StageSite};
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES, gold_class, solid_class};
>>>>>>> 5e45ea2 (Shop parts: what stages, sections and outlets tell the shop; drum and screen describe themselves)
use sim_core::stage::{
    GoldAxes, GravelFed, Holes, Mounted, Port, Ports, SectionLaws, SectionPlan, SectionTrial, Stage, StageKind, Trial,
    reasons,
};
use sim_core::stream::Stream;

use crate::booking::{Books, share_below};
use crate::build::build;
use crate::drive::{Drive, Load};
use crate::numbers::Numbers;
use crate::settings::SETTINGS;
<<<<<<< HEAD
use crate::slurry::{VOIDS, settling_with_gravel_m, share_in_slurry};
=======
use crate::shop::{self, ShellWords, ShopNumbers};
>>>>>>> 5e45ea2 (Shop parts: what stages, sections and outlets tell the shop; drum and screen describe themselves)

/// The kind `drum`.
pub static DRUM: StageKind = StageKind {
    name: "drum",
    purpose: "rotating drum of sections: scrubs, screens, rinses",
    settings: SETTINGS,
    inlets: &[Port::required("feed", "slurry from the hopper")],
    outlets: &[
        Port::required("undersize", "what falls through the holes, with the water"),
        Port::required("oversize", "what goes over the end"),
        Port::optional("spill", "what runs back over the feed end"),
    ],
    reasons: &[reasons::TOO_BIG, reasons::MISSED_HOLES, reasons::LOCKED_IN_CLAY, reasons::FILM, reasons::SPILLED],
    has_sections: true,
    build,
    formulas: Vec::new,
    checks: Vec::new,
    model: "drum 2 (Kramers-Saeman march, lifters, pools, drive)",
};

/// Below this share of the feed the spill is booked as first estimated, without solving the drum again.
const SMALL_SPILL: f64 = 1.0e-4;
/// Grains below this size count as fines in the need of washing water, m.
const FINES_M: f64 = 75.0e-6;

<<<<<<< HEAD
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
=======
struct DrumStage {
    diameter_m: f64,
    slope: f64,
    speed_rev_s: f64,
    opening_depth_m: f64,
    repose: Input,
    residence_factor: Input,
    film_thickness: Input,
    spray_mixing: Input,
    coating: Input,
    coating_wash: Input,
    wash_need: Input,
    fines_need: Input,
    slurry_need: Input,
    shell: ShellWords,
    plans: Vec<Box<dyn SectionPlan>>,
>>>>>>> 5e45ea2 (Shop parts: what stages, sections and outlets tell the shop; drum and screen describe themselves)
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
    start: Option<FlowProfile>,
    pub(crate) gravel_kg_s: [f64; MAX_POINTS],
    pub(crate) gold_axes: [GoldAxes; MAX_TRACERS],
    /// Share of each gold point that stays in the bed; the rest rides in the slurry.
    pub(crate) gold_in_bed: [f64; MAX_TRACERS],
}

<<<<<<< HEAD
/// The laws as the march takes them.
pub(crate) fn as_sections(laws: &[Box<dyn SectionLaws>]) -> [&dyn Section; MAX_SECTIONS] {
    const NONE: sim_core::drum::BlankShell = sim_core::drum::BlankShell { length_m: 1.0, exit_ring_m: 0.0 };
    let mut sections: [&dyn Section; MAX_SECTIONS] = [&NONE; MAX_SECTIONS];
    for (slot, law) in sections.iter_mut().zip(laws) {
        let section: &dyn Section = law.as_ref();
        *slot = section;
=======
fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    let s = b.settings;
    let diameter_m = s.number("diameter");
    let critical = critical_speed_rev_s(diameter_m, 0.0);
    let speed_rev_s = if s.of_critical("speed") { s.number("speed") * critical } else { s.number("speed") };
    if speed_rev_s >= critical {
        b.problems.error(
            s.place("speed"),
            format!(
                "at {:.0} rpm a drum of this diameter centrifuges: its critical speed is {:.0} rpm",
                speed_rev_s * 60.0,
                critical * 60.0
            ),
            "30 to 45 % of critical is usual",
        );
        return None;
    }
    let opening_m = s.maybe("feed_opening").unwrap_or(USUAL_OPENING * diameter_m);
    if opening_m >= diameter_m {
        b.problems.error(
            s.place("feed_opening"),
            "the feed opening is not smaller than the drum",
            "give its diameter; usual is 0.6 of the drum",
        );
        return None;
    }
    if b.sections.len() > MAX_SECTIONS {
        b.problems.error(
            s.span.clone(),
            format!("a drum has at most {MAX_SECTIONS} sections"),
            "join sections of the same kind",
        );
        return None;
    }
    let mut plans = Vec::new();
    for section in b.sections {
        let plan =
            (section.kind.build)(&mut SectionBuilder { settings: &section.settings, drum: s, problems: b.problems });
        plans.push(plan?);
    }
    let water = (0..b.sections.len())
        .map(|i| {
            let here = |m: &&Mounted| match &m.section {
                Some(name) => b.sections.get(i).is_some_and(|x| x.id == *name),
                None => i == 0,
            };
            b.mounted.iter().filter(here).cloned().collect()
        })
        .collect();
    let all: Vec<Holes> = plans.iter().filter_map(|p| p.holes()).collect();
    if all.is_empty() {
        b.problems.error(
            s.span.clone(),
            "the drum has no section with holes: all would go over the end",
            "add a [[stage.section]] of kind screen",
        );
        return None;
    }
    let holes = all.iter().copied().max_by(|x, y| x.hole_m.total_cmp(&y.hole_m));
    let gravel_holes: Vec<f64> = all.iter().map(|h| h.gravel_m).collect();
    let gold_holes: Vec<f64> = all.iter().map(|h| h.gold_m).collect();
    let (gravel, gold) = match (points::gravel(&gravel_holes), points::gold(&gold_holes)) {
        (Ok(gravel), Ok(gold)) => (gravel, gold),
        (Err(error), _) | (_, Err(error)) => {
            b.problems.error(s.span.clone(), format!("the drum: {error}"), "");
            return None;
        }
    };
    let names: Vec<String> = b.sections.iter().map(|x| x.id.clone()).collect();
    let lengths: Vec<f64> = plans.iter().map(|p| p.new_laws().length_m()).collect();
    let m = numbers(b, &names, &lengths);
    let s = b.settings;
    Some(Box::new(DrumStage {
        diameter_m,
        slope: s.number("slope"),
        speed_rev_s,
        opening_depth_m: 0.5 * (diameter_m - opening_m),
        repose: s.input("repose"),
        residence_factor: s.input("residence_factor"),
        film_thickness: s.input("film_thickness"),
        spray_mixing: s.input("spray_mixing"),
        coating: s.input("coating"),
        coating_wash: s.input("coating_wash"),
        wash_need: s.input("wash_need"),
        fines_need: s.input("fines_need"),
        slurry_need: s.input("slurry_need"),
        shell: ShellWords {
            sections: names,
            wall_m: s.number("wall"),
            wall_given: s.was_given("wall"),
            opening_m,
            opening_given: s.was_given("feed_opening"),
        },
        plans,
        water,
        holes,
        gravel,
        gold,
        m,
    }))
}

fn numbers(b: &mut StageBuilder<'_>, names: &[String], lengths: &[f64]) -> Numbers {
    let section_time = names
        .iter()
        .map(|n| {
            b.measure(
                format!("{}_residence", n.replace('-', "_")),
                Dimension::Time,
                format!("time that the rock spends in the {n}"),
            )
        })
        .collect();
    let cells = Fineness::FAST.cells_per_section;
    let mut profile = Vec::new();
    let mut start = 0.0;
    for length in lengths {
        for k in 0..=cells {
            profile.push(b.profile_point("bed_depth", start + length * k as f64 / cells as f64, Dimension::Length));
        }
        start += length;
    }
    Numbers {
        section_time,
        feed_depth: b.measure("bed_depth_feed_end", Dimension::Length, "depth of the bed at the feed end"),
        exit_depth: b.measure("bed_depth_discharge", Dimension::Length, "depth of the bed at the discharge"),
        feed_fill: b.measure("mean_fill", Dimension::Fraction, "share of the drum that the bed fills, on average"),
        torque: b.measure("bed_torque", Dimension::Torque, "torque of the bed, without bearings"),
        power: b.measure("bed_power", Dimension::Power, "power that the bed takes up"),
        energy: b.measure("energy_per_mass", Dimension::EnergyPerMass, "energy into the dry feed"),
        efficiency: b.measure("screen_efficiency", Dimension::Fraction, "undersize that passes, by the nominal hole"),
        clay_left: b.measure("clay_left_in_lumps", Dimension::Fraction, "share of the clay lumps not broken up at the end of the drum"),
        oversize: b.measure("oversize_share", Dimension::Fraction, "share of the dry feed that goes over the end"),
        capacity: b.measure("capacity_over_feed", Dimension::Number, "largest feed that the drum carries over the mean feed"),
        spilled: b.measure("spilled_share", Dimension::Fraction, "share of the feed that spills at the feed end"),
        wash: b.water_need("wash", "water for wet screening and for washing the fines"),
        wash_at_hand: b.water_at_hand("wash", "water added ahead of the end of the screen"),
        wash_by_feed: b.water_rule("wash", "need_by_feed", "wash water for the feed"),
        wash_by_fines: b.water_rule("wash", "need_by_fines", "wash water for the fines below 75 um"),
        slurry: b.water_need("slurry", "water at the feed end of the drum for the charge to run as a slurry"),
        slurry_by_feed: b.water_rule("slurry", "need_for_slurry", "the charge runs as a slurry and clay does not ball"),
        slurry_at_hand: b.water_at_hand("slurry", "water that comes with the feed of the drum and onto its first section"),
        profile,
        overload: b.warning("drum-overloaded", "limit", "the drum cannot carry this feed at its slope and speed: feed less, turn faster, tilt more or build it wider"),
        spill: b.warning("drum-spills", "limit", "more than 1 % of the feed spills back at the feed end: feed less, turn faster or tilt more"),
        fast: b.warning("drum-fast", "caution", "the drum turns above 60 % of critical speed: the bed begins to ride with the shell and screens worse"),
        dry: b.warning("drum-dry", "caution", "less than 0.5 m3 of added water per dry tonne reaches the drum: clay may ball up instead of breaking"),
>>>>>>> 5e45ea2 (Shop parts: what stages, sections and outlets tell the shop; drum and screen describe themselves)
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

    /// Sets sizes, flows and section laws to a trial.
    pub(crate) fn prepare(&self, trial: &Trial<'_>, feed: &Stream, scratch: &mut Scratch, shell: &Drum) {
        self.gravel.spread(&feed.rock_kg_s, &mut scratch.gravel_kg_s);
        for ((axes, class), size_m) in scratch.gold_axes.iter_mut().zip(self.gold.class()).zip(self.gold.size_m()) {
            let settled = &trial.ground.settling[*class];
            let middle = gold_class(*class).middle_m;
            let at_middle =
                GoldAxes { sieve_m: middle, intermediate_m: settled.intermediate_m, thickness_m: settled.thickness_m };
            *axes = at_middle.scaled(size_m / middle);
        }
        scratch.gold_in_bed[..self.gold.len()].fill(1.0);
        if let Some(half_m) = self.slurry_m {
            for (flow, size_m) in scratch.gravel_kg_s.iter_mut().zip(self.gravel.size_m()) {
                *flow *= 1.0 - share_in_slurry(*size_m, half_m);
            }
            for (share, axes) in scratch.gold_in_bed.iter_mut().zip(&scratch.gold_axes) {
                *share = 1.0 - share_in_slurry(settling_with_gravel_m(axes.sieve_m), half_m);
            }
        }
        let mut water_m3_s = feed.added_water_m3_s;
        let gravel = GravelFed {
            size_m: self.gravel.size_m(),
            low_m: self.gravel.low_m(),
            high_m: self.gravel.high_m(),
            flow_kg_s: &scratch.gravel_kg_s[..self.gravel.len()],
            density_kg_m3: trial.ground.rock_density_kg_m3,
        };
        for (laws, mounted) in scratch.laws.iter_mut().zip(&self.water) {
            water_m3_s += mounted.iter().map(|m| trial.water_m3_s(m)).sum::<f64>();
            laws.set_trial(
                trial,
                &SectionTrial {
                    added_water_m3_s: water_m3_s,
                    speed_over_critical: shell.speed_over_critical(),
                    speed_rev_s: shell.speed_rev_s,
                    circumference_m: std::f64::consts::PI * shell.diameter_m,
                    gravel,
                    gold: &scratch.gold_axes[..self.gold.len()],
                },
            );
        }
    }
}

impl Stage for DrumStage {
    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        shop::parts(&self.for_shop(site), &self.shell, &self.plans)
    }

    fn mount_length_m(&self, section: Option<&str>) -> Option<f64> {
        let lengths = self.shell.sections.iter().zip(&self.plans);
        match section {
            Some(name) => lengths.into_iter().find(|(n, _)| *n == name).map(|(_, p)| p.new_laws().length_m()),
            None => Some(lengths.map(|(_, p)| p.new_laws().length_m()).sum()),
        }
    }

    fn scratch(&self) -> Box<dyn Any + Send> {
        Box::new(Scratch {
            march: March::new(Fineness::FAST.cells_per_section, self.plans.len()),
            laws: self.plans.iter().map(|p| p.new_laws()).collect(),
            start: None,
            gravel_kg_s: [0.0; MAX_POINTS],
            gold_axes: [GoldAxes::default(); MAX_TRACERS],
            gold_in_bed: [1.0; MAX_TRACERS],
        })
    }

    fn curves<'a>(
        &self,
        id: &str,
        trial: &Trial<'_>,
        inlet: &dyn Fn(usize) -> Option<&'a Stream>,
        scratch: &mut (dyn Any + Send),
    ) -> Vec<Curves> {
        match (inlet(0), scratch.downcast_mut::<Scratch>()) {
            (Some(feed), Some(scratch)) => crate::curves::curves(self, id, trial, feed, scratch),
            _ => Vec::new(),
        }
    }

    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let notes: [usize; 5] = std::array::from_fn(|r| work.note(r));
        let [undersize, oversize, spill] = work.outlets else { return };
        let (Some(feed), Some(scratch)) = (inlet(0), work.scratch.downcast_mut::<Scratch>()) else { return };
        let shell = self.shell(trial);
        self.prepare(trial, feed, scratch, &shell);
        let n = self.gravel.len();
        let carried = Carried::gravel(self.gravel.low_m(), self.gravel.high_m(), &scratch.gravel_kg_s[..n])
            .and_then(|c| c.with_tracers(self.gold.len()))
            .and_then(|c| c.with_lumps(&feed.lump_m, &feed.lump_kg_s, trial.ground.clay_wear_m_s));
        let Ok(carried) = carried else { return };
        let sections = as_sections(&scratch.laws);
        let sections = &sections[..scratch.laws.len()];
        let (march, start) = (&mut scratch.march, &mut scratch.start);
        let cold = start.is_none() || trial.draws.is_middle();
        let fineness = if cold { Fineness::COLD } else { Fineness::FAST };
        let from = if cold { Start::Even } else { Start::from(start.as_ref()) };
        // The bed alone first: what spills decides on the feed with which gold and books go through.
        let Ok(bed) = march.bed(&shell, sections, &carried, fineness.rounds - 1, from, 1.0) else { return };
        march.keep();
        let rough = rough_capacity_over_feed(bed.feed_end_m, self.opening_depth_m.min(shell.radius_m()));
        let mut capacity = rough;
        let mut spilled = spilled_share(rough, feed.load_cv);
        if bed.overloaded || spilled > SMALL_SPILL {
            let rounds = fineness.rounds_nearby();
            capacity = capacity_over_feed(march, &shell, sections, &carried, rounds, bed).unwrap_or(rough);
            spilled = spilled_share(capacity, feed.load_cv);
        }
        let through = if spilled > SMALL_SPILL { 1.0 - spilled } else { 1.0 };
        // A bed over the axis is no start for one below it: go on from the last probe of the search then.
        let (rounds, from) =
            if bed.overloaded { (fineness.rounds - 1, Start::Here) } else { (fineness.rounds_nearby(), Start::Kept) };
        let Ok(solved) = march.solve_from(&shell, sections, &carried, rounds, from, through) else { return };
        let overloaded = solved.overloaded || bed.overloaded;
        if trial.draws.is_middle() {
            *start = Some(march.flow_profile());
        }
        let scratch = &*scratch;

        spill.add(feed, spilled);
        spill.astray_kg_s.fill([0.0; GOLD_CLASSES]);
        for g in 0..GOLD_CLASSES {
            spill.astray_kg_s[notes[4]][g] = spill.gold_of_class(g);
        }
        let mut books = Books { drum: self, scratch, feed, spill, undersize, oversize, caught: work.caught };
        books.rock();
        let clay = books.clay();
        books.gold(&clay, &notes);
        let held = books.held();

        // Water and what it carries onto the rock.
        let spray: f64 = self.water.iter().flatten().map(|m| trial.water_m3_s(m)).sum();
        let water_in = feed.water_m3_s - spill.water_m3_s + spray;
        let fines_left_kg_s = self.rinse(trial, undersize, oversize, water_in, notes[3]);
        undersize.added_water_m3_s = feed.added_water_m3_s - spill.added_water_m3_s + spray;
        undersize.load_cv = feed.load_cv;
        oversize.load_cv = feed.load_cv;
        oversize.largest_m = feed.largest_m;
        undersize.largest_m = self
            .plans
            .iter()
            .filter_map(|p| p.holes())
            .map(|h| h.largest_gravel_m)
            .fold(0.0, f64::max)
            .min(feed.largest_m);

        let out = work.measures;
        let m = &self.m;
        let outcome = scratch.march.outcome();
        for ((number, section), laws) in m.sections.iter().zip(outcome.sections()).zip(&scratch.laws) {
            out[number.time] = section.residence_s;
            if let (Some((mean, end)), Some((b_mean, b_end))) = (number.blinded, laws.blinded(&section.middle_bed)) {
                (out[mean], out[end]) = (b_mean, b_end);
            }
        }
        for (number, share) in m.sections.iter().filter_map(|s| s.held).zip(held) {
            out[number] = share;
        }
        for (i, depth_m) in m.profile.iter().zip(scratch.march.depths_m(&shell)) {
            out[*i] = depth_m;
        }
        let wet = self.wet(trial, feed, scratch, &shell, out);
        let dry_kg_s = (1.0 - spilled) * (feed.rock_kg_s.iter().sum::<f64>() + feed.lumps_kg_s());
        let length_m: f64 = scratch.laws.iter().map(|l| l.length_m()).sum();
        let volume_m3 = std::f64::consts::PI * shell.radius_m() * shell.radius_m() * length_m;
        let torque_n_m = outcome.torque_n_m() - wet.relief_n_m;
        let power_w = torque_n_m * shell.omega_rad_s();
        out[m.feed_depth] = outcome.feed_end_depth_m();
        out[m.exit_depth] = outcome.sections().last().map_or(f64::NAN, |s| s.exit_depth_m);
        out[m.feed_fill] = outcome.hold_up_m3() / volume_m3;
        out[m.of_critical] = shell.speed_over_critical();
        let froude = sim_core::drum::transport::froude(shell.speed_rev_s, shell.radius_m());
        out[m.froude] = froude;
        out[m.torque] = torque_n_m;
        out[m.relief] = wet.relief_n_m;
        out[m.power] = power_w;
        out[m.energy] = if dry_kg_s > 0.0 { power_w / dry_kg_s } else { f64::NAN };
        out[m.efficiency] = self.efficiency(feed, undersize);
        out[m.clay_left] = if clay.fed_kg_s > 0.0 { clay.left_kg_s / clay.fed_kg_s } else { f64::NAN };
        out[m.oversize] = if dry_kg_s > 0.0 { oversize.solids_kg_s() / dry_kg_s } else { f64::NAN };
        out[m.fines_left] = fines_left_kg_s;
        out[m.capacity] = capacity;
        out[m.spilled] = spilled;
        let fines_kg_s = feed.clay_kg_s
            + clay.worn_kg_s
            + (0..SOLID_CLASSES).map(|c| feed.rock_kg_s[c] * share_below(c, FINES_M)).sum::<f64>();
        out[m.wash_by_feed] = trial.get(self.wash_need) * dry_kg_s;
        out[m.wash_by_fines] = trial.get(self.fines_need) * fines_kg_s;
        out[m.wash] = out[m.wash_by_feed].max(out[m.wash_by_fines]);
        out[m.wash_at_hand] = undersize.added_water_m3_s;
        let first_m3_s: f64 = self.water.first().into_iter().flatten().map(|w| trial.water_m3_s(w)).sum();
        out[m.slurry] = trial.get(self.slurry_need) * dry_kg_s;
        out[m.slurry_by_feed] = out[m.slurry];
        out[m.slurry_at_hand] = feed.water_m3_s - spill.water_m3_s + first_m3_s;
        let load = Load {
            bed_n_m: torque_n_m,
            wet_kg: outcome.hold_up_m3() * shell.wet_density_kg_m3,
            speed_rev_s: shell.speed_rev_s,
        };
        self.drive.report(trial, &load, out, work.warnings);
        let lifted = self.lifted(scratch, &shell, out);

        let raised = work.warnings;
        raised[m.overload] = overloaded;
        raised[m.spill] = spilled > 0.01;
        raised[m.fast] = shell.speed_over_critical() > 0.6;
        raised[m.slow] = froude < 3e-4;
        raised[m.dry] = undersize.added_water_m3_s < 0.5e-3 * dry_kg_s;
        raised[m.slips] = self.slips(trial, scratch, &shell);
        raised[m.balls] = clay.fed_kg_s > 0.0 && trial.ground.clay_is_sticky && froude < BALLING_FROUDE && !lifted;
        raised[m.overrun] = wet.overruns;
        for standing in &m.standing {
            raised[*standing] = true;
        }
    }
}

<<<<<<< HEAD
/// Froude number below which sticky clay rolls into balls in a drum without lifters. Assumed.
const BALLING_FROUDE: f64 = 0.05;
=======
impl DrumStage {
    fn for_shop(&self, site: &StageSite<'_>) -> ShopNumbers {
        ShopNumbers {
            diameter_m: self.diameter_m,
            slope: self.slope,
            speed_rev_s: self.speed_rev_s,
            torque_n_m: site.reading(self.m.torque),
            power_w: site.reading(self.m.power),
        }
    }

    /// Share of a gold point, even in log size, whose measure is above the largest hole.
    fn share_above_hole(&self, axes: &GoldAxes, low_m: f64, high_m: f64, size_m: f64) -> f64 {
        let Some(holes) = self.holes else { return 1.0 };
        let per_size = (holes.gold_measure)(axes) / size_m;
        let limit_m = holes.hole_m / per_size;
        if !(low_m > 0.0) || limit_m >= high_m {
            0.0
        } else if limit_m <= low_m || !high_m.is_finite() {
            1.0
        } else {
            sim_core::math::ln(high_m / limit_m) / sim_core::math::ln(high_m / low_m)
        }
    }
>>>>>>> 5e45ea2 (Shop parts: what stages, sections and outlets tell the shop; drum and screen describe themselves)

impl DrumStage {
    /// Undersize of the nominal hole that passes, over that fed; the class that straddles the hole is split in log size.
    fn efficiency(&self, feed: &Stream, undersize: &Stream) -> f64 {
        let Some(holes) = self.holes else { return f64::NAN };
        let fine: f64 = (0..SOLID_CLASSES).map(|c| feed.rock_kg_s[c] * share_below(c, holes.hole_m)).sum();
        let passed: f64 = undersize.rock_kg_s.iter().sum();
        if fine > 0.0 { (passed / fine).min(1.0) } else { f64::NAN }
    }

    /// Whether the bed slips on a closed section of bare steel without lifters.
    fn slips(&self, trial: &Trial<'_>, scratch: &Scratch, shell: &Drum) -> bool {
        let Some(friction) = self.wall_friction else { return false };
        let friction_rad = trial.get(friction);
        let sections = scratch.march.outcome().sections().iter().zip(&scratch.laws);
        let mut bare = sections.filter(|(_, laws)| laws.open_points() == 0 && laws.lifters().is_none());
        bare.any(|(section, _)| {
            let depth_m = 0.5 * (section.entry_depth_m + section.exit_depth_m);
            let phi = sim_core::drum::geometry::half_angle_rad(depth_m, shell.radius_m());
            let lever = sim_core::drum::geometry::centroid_radius_m(phi, shell.radius_m()) / shell.radius_m();
            sim_core::drum::transport::slips(friction_rad, lever, shell.repose_rad)
        })
    }
}
