//! Who leaves the drum where, and why: by difference, so that every class closes however coarse the march.

use sim_core::math::ln;
use sim_core::size::{ByGold, LUMP_BINS};
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES, solid_class};
use sim_core::stage::GoldAxes;
use sim_core::stream::Stream;

use crate::built::{DrumStage, Scratch};

/// The books of one trial.
pub(crate) struct Books<'a> {
    pub(crate) drum: &'a DrumStage,
    pub(crate) scratch: &'a Scratch,
    pub(crate) feed: &'a Stream,
    pub(crate) spill: &'a Stream,
    pub(crate) undersize: &'a mut Stream,
    pub(crate) oversize: &'a mut Stream,
    pub(crate) caught: &'a mut ByGold,
}

/// What became of the clay lumps, kg/s dry.
pub(crate) struct Clay {
    pub(crate) fed_kg_s: f64,
    pub(crate) left_kg_s: f64,
    pub(crate) worn_kg_s: f64,
}

impl Books<'_> {
    /// Rock: what is still in the drum at the end is oversize; the rest of the class fell through.
    pub(crate) fn rock(&mut self) {
        let Some(last) = self.scratch.march.outcome().sections().last() else { return };
        let mut left = [0.0; SOLID_CLASSES];
        self.drum.gravel.gather(&last.gravel_left_kg_s[..self.drum.gravel.len()], &mut left);
        for (c, left) in left.into_iter().enumerate() {
            let into = self.feed.rock_kg_s[c] - self.spill.rock_kg_s[c];
            self.oversize.rock_kg_s[c] = left.min(into);
            self.undersize.rock_kg_s[c] = into - self.oversize.rock_kg_s[c];
        }
    }

    /// Clay lumps: left, passed, worn off into the water.
    pub(crate) fn clay(&mut self) -> Clay {
        let (feed, spill) = (self.feed, self.spill);
        let sections = self.scratch.march.outcome().sections();
        let fed_kg_s = feed.lumps_kg_s() - spill.lumps_kg_s();
        let Some(last) = sections.last() else { return Clay { fed_kg_s, left_kg_s: 0.0, worn_kg_s: 0.0 } };
        for b in 0..LUMP_BINS {
            let into = feed.lump_kg_s[b] - spill.lump_kg_s[b];
            let (mut passed, mut size_mass) = (0.0, 0.0);
            for s in sections {
                size_mass += s.lump_passed_kg_s[b] * s.lump_passed_size_m[b];
                passed += s.lump_passed_kg_s[b];
            }
            let mean_m = if passed > 0.0 { size_mass / passed } else { 0.0 };
            let passed = passed.min(into);
            self.oversize.lump_kg_s[b] = last.lump_left_kg_s[b].min(into - passed);
            self.undersize.lump_kg_s[b] = passed;
            self.oversize.lump_m[b] = (feed.lump_m[b] - last.lump_shrunk_m).max(0.0);
            self.undersize.lump_m[b] = if mean_m > 0.0 { mean_m } else { self.oversize.lump_m[b] };
        }
        let left_kg_s = self.oversize.lumps_kg_s();
        let worn_kg_s = fed_kg_s - left_kg_s - self.undersize.lumps_kg_s();
        self.undersize.clay_kg_s = feed.clay_kg_s - spill.clay_kg_s + worn_kg_s;
        Clay { fed_kg_s, left_kg_s, worn_kg_s }
    }

    /// Gold, free and freed on the way: through the holes, into a trap, or over the end for a reason.
    pub(crate) fn gold(&mut self, clay: &Clay, notes: &[usize; 5]) {
        let (feed, spill) = (self.feed, self.spill);
        let share = |part: f64| if clay.fed_kg_s > 0.0 { part / clay.fed_kg_s } else { 0.0 };
        let (left_share, worn_share) = (share(clay.left_kg_s), share(clay.worn_kg_s));
        let sections = self.scratch.march.outcome().sections();
        let Some(last) = sections.last() else { return };
        let layout = &self.drum.gold;
        let mut by_class = [GoldFate::default(); GOLD_CLASSES];
        let mut part = [0.0; sim_core::drum::MAX_TRACERS];
        layout.spread(&[1.0; GOLD_CLASSES], &mut part);
        for (p, &share_of_class) in part.iter().enumerate().take(self.drum.gold_points(feed)) {
            let g = layout.class()[p];
            let in_bed = self.scratch.gold_in_bed[p];
            let free_in = (feed.gold_kg_s[g] - spill.gold_kg_s[g]) * share_of_class;
            let locked_in = (feed.locked_kg_s[g] - spill.locked_kg_s[g]) * share_of_class;
            let (held, held_freed) = self.held_of_point(p);
            let left = free_in * in_bed * last.gold_left[p] + locked_in * last.freed_left[p];
            let axes = &self.scratch.gold_axes[p];
            let above = self.drum.share_above_hole(axes, layout.low_m()[p], layout.high_m()[p], layout.size_m()[p]);
            let fate = &mut by_class[g];
            fate.left += left;
            fate.held += free_in * in_bed * held + locked_in * held_freed;
            fate.too_big += left.min((free_in + locked_in * worn_share) * above);
        }
        let (undersize, oversize) = (&mut *self.undersize, &mut *self.oversize);
        for (g, fate) in by_class.into_iter().enumerate() {
            let locked_in = feed.locked_kg_s[g] - spill.locked_kg_s[g];
            let freed = locked_in * worn_share;
            let free = feed.gold_kg_s[g] - spill.gold_kg_s[g] + freed;
            oversize.locked_kg_s[g] = locked_in * left_share;
            undersize.locked_kg_s[g] = locked_in - oversize.locked_kg_s[g] - freed;
            let held = fate.held.min(free);
            self.caught[g] += held;
            oversize.gold_kg_s[g] = fate.left.min(free - held);
            undersize.gold_kg_s[g] = free - held - oversize.gold_kg_s[g];
            oversize.astray_kg_s[notes[0]][g] = fate.too_big.min(oversize.gold_kg_s[g]);
            oversize.astray_kg_s[notes[1]][g] = oversize.gold_kg_s[g] - oversize.astray_kg_s[notes[0]][g];
            oversize.astray_kg_s[notes[2]][g] = oversize.locked_kg_s[g];
        }
    }

    /// Share of a gold point that the traps hold: of that fed free, and of that fed locked (freed on the way).
    fn held_of_point(&self, p: usize) -> (f64, f64) {
        let lumps_fed: f64 = self.feed.lumps_kg_s() - self.spill.lumps_kg_s();
        let (mut free, mut freed) = (0.0, 0.0);
        let (mut before, mut freed_before) = (1.0, 0.0);
        for (section, plan) in self.scratch.march.outcome().sections().iter().zip(&self.drum.plans) {
            if plan.catches() {
                let worn = if lumps_fed > 0.0 { section.clay_worn_kg_s / lumps_fed } else { 0.0 };
                free += before - section.gold_left[p];
                freed += (freed_before + worn - section.freed_left[p]).max(0.0);
            }
            (before, freed_before) = (section.gold_left[p], section.freed_left[p]);
        }
        (free, freed)
    }

    /// Share of the free gold coming into each trap that it holds, in the order of the sections.
    pub(crate) fn held(&self) -> [f64; sim_core::drum::MAX_SECTIONS] {
        let mut shares = [f64::NAN; sim_core::drum::MAX_SECTIONS];
        let mut part = [0.0; sim_core::drum::MAX_TRACERS];
        let layout = &self.drum.gold;
        let traps = (0..self.drum.plans.len()).filter(|i| self.drum.plans[*i].catches());
        for (slot, i) in shares.iter_mut().zip(traps) {
            layout.spread(&self.feed.gold_kg_s, &mut part);
            let sections = self.scratch.march.outcome().sections();
            let came = |p: usize| if i == 0 { 1.0 } else { sections[i - 1].gold_left[p] };
            let into: f64 = (0..layout.len()).map(|p| part[p] * came(p)).sum();
            let out: f64 = (0..layout.len()).map(|p| part[p] * sections[i].gold_left[p]).sum();
            *slot = if into > 0.0 { 1.0 - out / into } else { f64::NAN };
        }
        shares
    }
}

/// Where the gold of a class goes that is not locked, kg/s.
#[derive(Debug, Clone, Copy, Default)]
struct GoldFate {
    left: f64,
    held: f64,
    too_big: f64,
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
            ln(high_m / limit_m) / ln(high_m / low_m)
        }
    }
}

/// Share of a class of solids, even in log size, finer than a size.
pub(crate) fn share_below(class: usize, size_m: f64) -> f64 {
    let class = solid_class(class);
    let (from, to) = (class.finite_from_m(), class.finite_to_m());
    if size_m >= to {
        1.0
    } else if size_m <= from {
        0.0
    } else {
        ln(size_m / from) / ln(to / from)
    }
}
