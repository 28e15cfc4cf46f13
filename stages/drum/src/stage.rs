//! The drum as a stage.

use std::any::Any;

use sim_core::draw::Input;
use sim_core::drum::capacity::rough_capacity_over_feed;
use sim_core::drum::transport::critical_speed_rev_s;
use sim_core::drum::{
    Carried, Drum, ExitRule, Fineness, FlowProfile, MAX_POINTS, MAX_SECTIONS, MAX_TRACERS, March, PointLayout, Section,
    Start, capacity_over_feed, spilled_share,
};
use sim_core::quantity::Dimension;
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES, gold_class, solid_class};
use sim_core::stage::{
    GoldAxes, Holes, Mounted, Port, Ports, SectionBuilder, SectionLaws, SectionPlan, SectionTrial, Stage, StageBuilder,
    StageKind, Trial, reasons,
};
use sim_core::stream::{LUMP_BINS, Stream};

use spray_bar::rinse::{after_bar_kg_m3, coating_left, surface_m2_kg};

use crate::points;
use crate::settings::SETTINGS;

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
    model: "drum 1 (Kramers-Saeman march)",
};

/// Feed opening over drum diameter unless given. Common practice, no source.
const USUAL_OPENING: f64 = 0.6;
/// Share of voids in the loose bed. Assumed.
const VOIDS: f64 = 0.4;
/// Gold and fines below this size travel with the film. Assumed.
const FILM_SIZE_M: f64 = 0.1e-3;
/// Shape factor of gravel in its specific surface. Assumed.
const SURFACE_SHAPE: f64 = 0.8;
/// Below this share of the feed the spill is booked as first estimated, without solving the drum again.
const SMALL_SPILL: f64 = 1.0e-4;

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
    plans: Vec<Box<dyn SectionPlan>>,
    /// Outlets mounted on each section; those mounted on the drum as a whole count with the first.
    water: Vec<Vec<Mounted>>,
    holes: Option<Holes>,
    gravel: PointLayout,
    gold: PointLayout,
    m: Numbers,
}

/// Numbers of the measures and warnings.
struct Numbers {
    section_time: Vec<usize>,
    feed_depth: usize,
    exit_depth: usize,
    feed_fill: usize,
    torque: usize,
    power: usize,
    energy: usize,
    efficiency: usize,
    clay_left: usize,
    oversize: usize,
    capacity: usize,
    spilled: usize,
    wash: usize,
    wash_at_hand: usize,
    wash_by_feed: usize,
    wash_by_fines: usize,
    slurry: usize,
    slurry_by_feed: usize,
    slurry_at_hand: usize,
    profile: Vec<usize>,
    overload: usize,
    spill: usize,
    fast: usize,
    dry: usize,
}

struct Scratch {
    march: March,
    laws: Vec<Box<dyn SectionLaws>>,
    start: Option<FlowProfile>,
    gravel_kg_s: [f64; MAX_POINTS],
    gold_axes: [GoldAxes; MAX_TRACERS],
    gold_kg_s: [f64; MAX_TRACERS],
}

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
    }
}

impl DrumStage {
    fn shell(&self, trial: &Trial<'_>) -> Drum {
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

    fn prepare(&self, trial: &Trial<'_>, feed: &Stream, scratch: &mut Scratch, shell: &Drum) {
        self.gravel.spread(&feed.rock_kg_s, &mut scratch.gravel_kg_s);
        self.gold.spread(&feed.gold_kg_s, &mut scratch.gold_kg_s);
        for ((axes, class), size_m) in scratch.gold_axes.iter_mut().zip(self.gold.class()).zip(self.gold.size_m()) {
            let settled = &trial.ground.settling[*class];
            let middle = gold_class(*class).middle_m;
            let at_middle =
                GoldAxes { sieve_m: middle, intermediate_m: settled.intermediate_m, thickness_m: settled.thickness_m };
            *axes = at_middle.scaled(size_m / middle);
        }
        let mut water_m3_s = feed.added_water_m3_s;
        for (laws, mounted) in scratch.laws.iter_mut().zip(&self.water) {
            water_m3_s += mounted.iter().map(|m| trial.water_m3_s(m)).sum::<f64>();
            laws.set_trial(
                trial,
                &SectionTrial {
                    added_water_m3_s: water_m3_s,
                    speed_over_critical: shell.speed_over_critical(),
                    gravel_m: self.gravel.size_m(),
                    gold: &scratch.gold_axes[..self.gold.len()],
                },
            );
        }
    }
}

impl Stage for DrumStage {
    fn scratch(&self) -> Box<dyn Any + Send> {
        Box::new(Scratch {
            march: March::new(Fineness::FAST.cells_per_section, self.plans.len()),
            laws: self.plans.iter().map(|p| p.new_laws()).collect(),
            start: None,
            gravel_kg_s: [0.0; MAX_POINTS],
            gold_axes: [GoldAxes::default(); MAX_TRACERS],
            gold_kg_s: [0.0; MAX_TRACERS],
        })
    }

    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let notes: [usize; 5] = std::array::from_fn(|r| work.note(r));
        let [undersize, oversize, spill] = work.outlets else { return };
        let (Some(feed), Some(scratch)) = (inlet(0), work.scratch.downcast_mut::<Scratch>()) else { return };
        let shell = self.shell(trial);
        self.prepare(trial, feed, scratch, &shell);
        let Scratch { march, laws, start, gravel_kg_s, gold_axes, gold_kg_s } = scratch;
        let mut sections: [&dyn Section; MAX_SECTIONS] =
            [&sim_core::drum::BlankShell { length_m: 1.0, exit_ring_m: 0.0 }; MAX_SECTIONS];
        for (slot, law) in sections.iter_mut().zip(laws.iter()) {
            let section: &dyn Section = law.as_ref();
            *slot = section;
        }
        let sections = &sections[..laws.len()];
        let n = self.gravel.len();
        let carried = Carried::gravel(self.gravel.low_m(), self.gravel.high_m(), &gravel_kg_s[..n])
            .and_then(|c| c.with_tracers(self.gold.len()))
            .and_then(|c| c.with_lumps(&feed.lump_m, &feed.lump_kg_s, trial.ground.clay_wear_m_s));
        let Ok(carried) = carried else { return };
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
        let outcome = march.outcome();
        let Some(last) = outcome.sections().last() else { return };

        spill.add(feed, spilled);
        spill.astray_kg_s.fill([0.0; GOLD_CLASSES]);
        for g in 0..GOLD_CLASSES {
            spill.astray_kg_s[notes[4]][g] = spill.gold_of_class(g);
        }
        let kept = |whole: f64, spilled_part: f64| whole - spilled_part;
        // Rock: what is still in the drum at the end is oversize; the rest of the class fell through.
        let mut left_rock = [0.0; SOLID_CLASSES];
        self.gravel.gather(&last.gravel_left_kg_s[..n], &mut left_rock);
        for (c, left) in left_rock.into_iter().enumerate() {
            let into = kept(feed.rock_kg_s[c], spill.rock_kg_s[c]);
            oversize.rock_kg_s[c] = left.min(into);
            undersize.rock_kg_s[c] = into - oversize.rock_kg_s[c];
        }
        // Clay lumps: left, passed, worn off into the water.
        let lumps_in: f64 = kept(feed.lumps_kg_s(), spill.lumps_kg_s());
        let shrunk_m = last.lump_shrunk_m;
        for b in 0..LUMP_BINS {
            let into = kept(feed.lump_kg_s[b], spill.lump_kg_s[b]);
            let passed: f64 = outcome.sections().iter().map(|s| s.lump_passed_kg_s[b]).sum::<f64>().min(into);
            let (mut number, mut size_mass) = (0.0, 0.0);
            for s in outcome.sections() {
                size_mass += s.lump_passed_kg_s[b] * s.lump_passed_size_m[b];
                number += s.lump_passed_kg_s[b];
            }
            oversize.lump_kg_s[b] = last.lump_left_kg_s[b].min(into - passed);
            undersize.lump_kg_s[b] = passed;
            oversize.lump_m[b] = (feed.lump_m[b] - shrunk_m).max(0.0);
            undersize.lump_m[b] = if number > 0.0 { size_mass / number } else { oversize.lump_m[b] };
        }
        let left_lumps = oversize.lumps_kg_s();
        let worn = lumps_in - left_lumps - undersize.lumps_kg_s();
        undersize.clay_kg_s = kept(feed.clay_kg_s, spill.clay_kg_s) + worn;
        let (left_share, worn_share) =
            if lumps_in > 0.0 { (left_lumps / lumps_in, worn / lumps_in) } else { (0.0, 0.0) };

        // Gold.
        let mut left_free = [0.0; GOLD_CLASSES];
        let mut too_big = [0.0; GOLD_CLASSES];
        let mut freed_left = [0.0; GOLD_CLASSES];
        let mut per_class = [0.0; GOLD_CLASSES];
        self.gold.spread(&[1.0; GOLD_CLASSES], gold_kg_s);
        for p in 0..self.gold.len() {
            let g = self.gold.class()[p];
            let share = gold_kg_s[p];
            per_class[g] += share;
            let above = self.share_above_hole(
                &gold_axes[p],
                self.gold.low_m()[p],
                self.gold.high_m()[p],
                self.gold.size_m()[p],
            );
            let free = kept(feed.gold_kg_s[g], spill.gold_kg_s[g]) * share * last.gold_left[p];
            let freed = kept(feed.locked_kg_s[g], spill.locked_kg_s[g]) * share * last.freed_left[p];
            left_free[g] += free;
            freed_left[g] += freed;
            let whole = kept(feed.gold_kg_s[g], spill.gold_kg_s[g]) * share
                + kept(feed.locked_kg_s[g], spill.locked_kg_s[g]) * share * worn_share;
            too_big[g] += (free + freed).min(whole * above);
        }
        for g in 0..GOLD_CLASSES {
            let free_in = kept(feed.gold_kg_s[g], spill.gold_kg_s[g]);
            let locked_in = kept(feed.locked_kg_s[g], spill.locked_kg_s[g]);
            oversize.locked_kg_s[g] = locked_in * left_share;
            let freed = locked_in * worn_share;
            undersize.locked_kg_s[g] = locked_in - oversize.locked_kg_s[g] - freed;
            oversize.gold_kg_s[g] = left_free[g].min(free_in) + freed_left[g].min(freed);
            undersize.gold_kg_s[g] = free_in + freed - oversize.gold_kg_s[g];
            oversize.astray_kg_s[notes[0]][g] = too_big[g].min(oversize.gold_kg_s[g]);
            oversize.astray_kg_s[notes[1]][g] = oversize.gold_kg_s[g] - oversize.astray_kg_s[notes[0]][g];
            oversize.astray_kg_s[notes[2]][g] = oversize.locked_kg_s[g];
        }

        // Water and what it carries onto the rock.
        let spray: f64 = self.water.iter().flatten().map(|m| trial.water_m3_s(m)).sum();
        let water_in = kept(feed.water_m3_s, spill.water_m3_s) + spray;
        self.rinse(trial, undersize, oversize, water_in, notes[3]);
        undersize.added_water_m3_s = kept(feed.added_water_m3_s, spill.added_water_m3_s) + spray;
        undersize.load_cv = feed.load_cv;
        oversize.load_cv = feed.load_cv;
        oversize.largest_m = feed.largest_m;
        undersize.largest_m =
            self.plans.iter().filter_map(|p| p.holes()).map(|h| h.gravel_m).fold(0.0, f64::max).min(feed.largest_m);

        let m = &self.m;
        let out = work.measures;
        for (i, section) in m.section_time.iter().zip(outcome.sections()) {
            out[*i] = section.residence_s;
        }
        for (i, depth_m) in m.profile.iter().zip(march.depths_m(&shell)) {
            out[*i] = depth_m;
        }
        let dry_kg_s = outcome.solids_fed_kg_s;
        let volume =
            std::f64::consts::PI * shell.radius_m() * shell.radius_m() * laws.iter().map(|l| l.length_m()).sum::<f64>();
        let power_w = outcome.power_w();
        out[m.feed_depth] = outcome.feed_end_depth_m();
        out[m.exit_depth] = last.exit_depth_m;
        out[m.feed_fill] = outcome.hold_up_m3() / volume;
        out[m.torque] = outcome.torque_n_m();
        out[m.power] = power_w;
        out[m.energy] = if dry_kg_s > 0.0 { power_w / dry_kg_s } else { f64::NAN };
        out[m.efficiency] = self.efficiency(feed, undersize);
        out[m.clay_left] = if feed.lumps_kg_s() > 0.0 { left_lumps / lumps_in } else { f64::NAN };
        out[m.oversize] = if dry_kg_s > 0.0 { oversize.solids_kg_s() / dry_kg_s } else { f64::NAN };
        out[m.capacity] = capacity;
        out[m.spilled] = spilled;
        let fines_kg_s = feed.clay_kg_s
            + worn
            + (0..SOLID_CLASSES).map(|c| feed.rock_kg_s[c] * share_below(c, 75.0e-6)).sum::<f64>();
        out[m.wash_by_feed] = trial.get(self.wash_need) * dry_kg_s;
        out[m.wash_by_fines] = trial.get(self.fines_need) * fines_kg_s;
        out[m.wash] = out[m.wash_by_feed].max(out[m.wash_by_fines]);
        out[m.wash_at_hand] = undersize.added_water_m3_s;
        let first_m3_s: f64 = self.water.first().into_iter().flatten().map(|w| trial.water_m3_s(w)).sum();
        out[m.slurry] = trial.get(self.slurry_need) * dry_kg_s;
        out[m.slurry_by_feed] = out[m.slurry];
        out[m.slurry_at_hand] = kept(feed.water_m3_s, spill.water_m3_s) + first_m3_s;
        work.warnings[m.overload] = overloaded;
        work.warnings[m.spill] = spilled > 0.01;
        work.warnings[m.fast] = shell.speed_over_critical() > 0.6;
        work.warnings[m.dry] = undersize.added_water_m3_s < 0.5e-3 * dry_kg_s;
    }
}

impl DrumStage {
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

    /// Undersize of the nominal hole that passes, over that fed; the class that straddles the hole is split in log size.
    fn efficiency(&self, feed: &Stream, undersize: &Stream) -> f64 {
        let Some(holes) = self.holes else { return f64::NAN };
        let fine: f64 = (0..SOLID_CLASSES).map(|c| feed.rock_kg_s[c] * share_below(c, holes.hole_m)).sum();
        let passed: f64 = undersize.rock_kg_s.iter().sum();
        if fine > 0.0 { (passed / fine).min(1.0) } else { f64::NAN }
    }

    /// Moves the film and the coating, with the fines and fine gold in them, to the oversize.
    fn rinse(&self, trial: &Trial<'_>, undersize: &mut Stream, oversize: &mut Stream, water_in: f64, note: usize) {
        let ground = trial.ground;
        let mut surface_m2_s = 0.0;
        for c in 0..SOLID_CLASSES {
            let class = solid_class(c);
            if class.middle_m > FILM_SIZE_M {
                surface_m2_s +=
                    oversize.rock_kg_s[c] * surface_m2_kg(ground.rock_density_kg_m3, class.middle_m, SURFACE_SHAPE);
            }
        }
        let rock_kg_s: f64 = oversize.rock_kg_s.iter().sum();
        let film_m3_s = (surface_m2_s * trial.get(self.film_thickness)).min(water_in);
        // Spray on the sections with holes rinses the rock; the pressure is that of the strongest bar.
        let mut spray_m3_s = 0.0;
        let mut pressure_pa: f64 = 0.0;
        for (plan, mounted) in self.plans.iter().zip(&self.water) {
            if plan.holes().is_some() {
                for m in mounted {
                    spray_m3_s += trial.water_m3_s(m);
                    pressure_pa = pressure_pa.max(trial.outlets.get(m.index).map_or(0.0, |o| o.pressure_pa));
                }
            }
        }
        // Clean spray on liquor of strength 1: what is left of the fines in the film.
        let rinsed = if film_m3_s > 0.0 {
            after_bar_kg_m3(film_m3_s, 1.0, spray_m3_s, 0.0, trial.get(self.spray_mixing))
        } else {
            0.0
        };
        let in_film = if water_in > 0.0 { film_m3_s / water_in } else { 0.0 } * rinsed;
        let fines_kg_s: f64 = undersize.clay_kg_s
            + (0..SOLID_CLASSES)
                .filter(|c| solid_class(*c).middle_m < FILM_SIZE_M)
                .map(|c| undersize.rock_kg_s[c])
                .sum::<f64>();
        let spray_l_kg = if rock_kg_s > 0.0 { 1000.0 * spray_m3_s / rock_kg_s } else { 0.0 };
        let coat_kg_s =
            trial.get(self.coating) * rock_kg_s * coating_left(trial.get(self.coating_wash), spray_l_kg, pressure_pa);
        let in_coat = if fines_kg_s > 0.0 { coat_kg_s / fines_kg_s } else { 0.0 };
        let moved = (in_film + in_coat).min(1.0);
        for c in 0..SOLID_CLASSES {
            if solid_class(c).middle_m < FILM_SIZE_M {
                let kg_s = undersize.rock_kg_s[c] * moved;
                undersize.rock_kg_s[c] -= kg_s;
                oversize.rock_kg_s[c] += kg_s;
            }
        }
        let clay = undersize.clay_kg_s * moved;
        undersize.clay_kg_s -= clay;
        oversize.clay_kg_s += clay;
        for g in 0..GOLD_CLASSES {
            if gold_class(g).middle_m < FILM_SIZE_M {
                let kg_s = undersize.gold_kg_s[g] * moved;
                undersize.gold_kg_s[g] -= kg_s;
                oversize.gold_kg_s[g] += kg_s;
                oversize.astray_kg_s[note][g] += kg_s;
            }
        }
        oversize.water_m3_s = film_m3_s;
        undersize.water_m3_s = water_in - film_m3_s;
    }
}

/// Share of a class of solids, even in log size, finer than a size.
fn share_below(class: usize, size_m: f64) -> f64 {
    let class = solid_class(class);
    let (from, to) = (class.finite_from_m(), class.finite_to_m());
    if size_m >= to {
        1.0
    } else if size_m <= from {
        0.0
    } else {
        sim_core::math::ln(size_m / from) / sim_core::math::ln(to / from)
    }
}
