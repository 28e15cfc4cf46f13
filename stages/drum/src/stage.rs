//! The drum as a stage.

use std::any::Any;

use sim_core::curves::Curves;
use sim_core::drum::capacity::rough_capacity_over_feed;
use sim_core::drum::{
    Carried, Drum, Fineness, MAX_POINTS, MAX_TRACERS, March, Start, capacity_over_feed, spilled_share,
};
use sim_core::shop::{ShopPart, StageSite};
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES};
use sim_core::stage::{GoldAxes, Port, Ports, Stage, StageKind, Trial, reasons};
use sim_core::stream::Stream;

use crate::booking::{Books, share_below};
use crate::build::build;
use crate::built::{DrumStage, Scratch, as_sections};
use crate::drive::Load;
use crate::numbers::LEAST_WATER_M3_KG;
use crate::settings::{LEVERS, SETTINGS};
use crate::shop;

/// The kind `drum`.
pub static DRUM: StageKind =
    StageKind::new("drum", "rotating drum of sections: scrubs, screens, rinses", |b| Some(Box::new(build(b)?)))
        .settings(SETTINGS)
        .faults(crate::trouble::FAULTS)
        .readings(crate::trouble::READINGS)
        .symptoms(crate::trouble::SYMPTOMS)
        .levers(LEVERS)
        .inlets(&[Port::required("feed", "slurry from the hopper")])
        .outlets(&[
            Port::required("undersize", "what falls through the holes, with the water"),
            Port::required("oversize", "what goes over the end"),
            Port::optional("spill", "what runs back over the feed end"),
        ])
        .reasons(&[reasons::TOO_BIG, reasons::MISSED_HOLES, reasons::LOCKED_IN_CLAY, reasons::FILM, reasons::SPILLED])
        .with_sections()
        .takes_water()
        .model("drum 2 (Kramers-Saeman march, lifters, pools, drive)");

/// Below this share of the feed the spill is booked as first estimated, without solving the drum again.
const SMALL_SPILL: f64 = 1.0e-4;
/// Grains below this size count as fines in the need of washing water, m.
const FINES_M: f64 = 75.0e-6;

impl Stage for DrumStage {
    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        shop::parts(self, site)
    }

    fn mount_length_m(&self, section: Option<&str>) -> Option<f64> {
        let lengths = self.names.iter().zip(&self.plans);
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
            .and_then(|c| c.with_tracers(self.gold_points(feed)))
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
            // The search takes depths alone, but for a bed over the axis, whose flow says nothing of a smaller feed's.
            let rounds = if cold || bed.overloaded { fineness.rounds_nearby() } else { 0 };
            capacity = capacity_over_feed(march, &shell, sections, &carried, rounds, bed).unwrap_or(rough);
            spilled = spilled_share(capacity, feed.load_cv);
        }
        let through = if spilled > SMALL_SPILL { 1.0 - spilled } else { 1.0 };
        // A bed over the axis is no start for one below it: go on from the last probe of the search then.
        let (rounds, from) =
            if bed.overloaded { (fineness.rounds, Start::Here) } else { (fineness.rounds_nearby(), Start::Kept) };
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
        raised[m.dry] = undersize.added_water_m3_s < LEAST_WATER_M3_KG * dry_kg_s;
        raised[m.slips] = self.slips(trial, scratch, &shell);
        raised[m.balls] = clay.fed_kg_s > 0.0 && trial.ground.clay_is_sticky && froude < BALLING_FROUDE && !lifted;
        raised[m.overrun] = wet.overruns;
        for standing in &m.standing {
            raised[*standing] = true;
        }
    }
}

/// Froude number below which sticky clay rolls into balls in a drum without lifters. Assumed.
const BALLING_FROUDE: f64 = 0.05;

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
