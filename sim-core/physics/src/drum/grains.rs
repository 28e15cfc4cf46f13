//! The downstream half of a round: what is still in the drum, cell by cell.
//!
//! In each cell the rates are looked at twice: at its start, and at its end with a first guess of the state there. The step
//! is the exponential of the mean. Clay lumps shrink with the time spent and may pass once they are small enough.

use super::clay::{power_per_mass_w_kg, wear_m_s};
use super::decay::{decay, mean_decay, rough_decay};
use super::depth::Node;
use super::outcome::SectionOutcome;
use super::points::MAX_POINTS;
use super::section::{Carried, Drum, LocalBed, MAX_LUMPS, MAX_TRACERS, Section};

/// Flow below this share of the feed counts as this much in A/Phi, where a bed that has all gone would give 0/0.
const LEAST_FLOW: f64 = 1e-9;

/// What stays the same during one solve.
pub(crate) struct Case<'a> {
    pub(crate) drum: &'a Drum,
    pub(crate) carried: &'a Carried<'a>,
    /// Factor on all that is fed (for the search of the capacity).
    pub(crate) scale: f64,
    pub(crate) feed_flow_m3_s: f64,
    /// 1/bulk density, m3/kg.
    pub(crate) per_bulk_density: f64,
    /// Gravel points that can leave somewhere; those above keep their mass throughout.
    pub(crate) open: usize,
    /// Whether this is the last round, in which gold rides along and the books are kept.
    pub(crate) last: bool,
}

/// A section as the march passes through it.
struct Passing<'a> {
    section: &'a dyn Section,
    open: usize,
    /// Whether gold leaves the bed here.
    takes_gold: bool,
    wetness: f64,
    /// Wear per lever of the bed's weight, 1/s; wear is in proportion to that lever.
    wear_per_arm: f64,
    /// Length of a cell, m.
    dx_m: f64,
}

/// What the bed at a node offers to the grains.
#[derive(Clone, Copy)]
struct Look {
    bed: LocalBed,
    /// Shrinking of lumps per metre of travel, -.
    shrink_per_m: f64,
}

/// Everything that travels, and the rates at both ends of a cell.
#[derive(Debug, Clone)]
pub(crate) struct Grains {
    gravel: [f64; MAX_POINTS],
    gravel_guess: [f64; MAX_POINTS],
    rate_here: [f64; MAX_POINTS],
    rate_there: [f64; MAX_POINTS],
    /// Mass of this point and all coarser ones, for points that never leave.
    from_above: [f64; MAX_POINTS + 1],
    lump_kept: [f64; MAX_LUMPS],
    lump_kept_guess: [f64; MAX_LUMPS],
    lump_size_m: [f64; MAX_LUMPS],
    per_lump_size: [f64; MAX_LUMPS],
    gravel_kg_s: f64,
    gravel_guess_kg_s: f64,
    lump_rate_here: [f64; MAX_LUMPS],
    lump_rate_there: [f64; MAX_LUMPS],
    shrunk_m: f64,
    worn_kg_s: f64,
    gold_here: [f64; MAX_TRACERS],
    gold_there: [f64; MAX_TRACERS],
    gold_exponent: [f64; MAX_TRACERS],
    gold_left: [f64; MAX_TRACERS],
    freed_left: [f64; MAX_TRACERS],
}

impl Grains {
    pub(crate) fn new() -> Self {
        Grains {
            gravel: [0.0; MAX_POINTS],
            gravel_guess: [0.0; MAX_POINTS],
            rate_here: [0.0; MAX_POINTS],
            rate_there: [0.0; MAX_POINTS],
            from_above: [0.0; MAX_POINTS + 1],
            lump_kept: [0.0; MAX_LUMPS],
            lump_kept_guess: [0.0; MAX_LUMPS],
            lump_size_m: [0.0; MAX_LUMPS],
            per_lump_size: [0.0; MAX_LUMPS],
            gravel_kg_s: 0.0,
            gravel_guess_kg_s: 0.0,
            lump_rate_here: [0.0; MAX_LUMPS],
            lump_rate_there: [0.0; MAX_LUMPS],
            shrunk_m: 0.0,
            worn_kg_s: 0.0,
            gold_here: [0.0; MAX_TRACERS],
            gold_there: [0.0; MAX_TRACERS],
            gold_exponent: [0.0; MAX_TRACERS],
            gold_left: [0.0; MAX_TRACERS],
            freed_left: [0.0; MAX_TRACERS],
        }
    }

    /// Puts the feed at the upstream end.
    pub(crate) fn feed(&mut self, case: &Case<'_>) {
        let flows = case.carried.bed_flow_kg_s;
        for (out, flow) in self.gravel.iter_mut().zip(flows) {
            *out = flow * case.scale;
        }
        self.gravel_guess[..flows.len()].copy_from_slice(&self.gravel[..flows.len()]);
        self.from_above[flows.len()] = 0.0;
        for index in (case.open..flows.len()).rev() {
            self.from_above[index] = self.from_above[index + 1] + self.gravel[index];
        }
        self.gravel_kg_s = sum(&self.gravel[..case.open]) + self.from_above[case.open];
        self.gravel_guess_kg_s = self.gravel_kg_s;
        self.lump_kept[..case.carried.lump_size_m.len()].fill(1.0);
        for (per, size) in self.per_lump_size.iter_mut().zip(case.carried.lump_size_m) {
            *per = 1.0 / size;
        }
        self.shrunk_m = 0.0;
        self.gold_left[..case.carried.tracers].fill(1.0);
        self.freed_left[..case.carried.tracers].fill(0.0);
    }

    /// Marches through one section whose nodes hold the bed of this round; leaves the new flow in them, and in the last
    /// round the state at the exit in `books`.
    pub(crate) fn pass(
        &mut self,
        case: &Case<'_>,
        section: &dyn Section,
        nodes: &mut [Node],
        books: &mut SectionOutcome,
    ) {
        let cells = nodes.len() - 1;
        let open = section.open_points().min(case.open);
        let mut flow = self.flow(case, false, self.shrunk_m);
        let solids = flow * case.drum.bulk_density_kg_m3;
        let water_m3_per_t = 1000.0 * section.added_water_m3_s() / solids;
        let arm_power = power_per_mass_w_kg(case.drum.omega_rad_s(), 1.0, case.drum.repose_rad);
        let passing = Passing {
            section,
            open,
            takes_gold: section.takes_gold(),
            wetness: section.wetness(water_m3_per_t),
            wear_per_arm: wear_m_s(case.carried.wear_ref_m_s, arm_power, water_m3_per_t),
            dx_m: section.length_m() / cells as f64,
        };
        let lumps = case.carried.lump_size_m.len();
        let tracers = if case.last { case.carried.tracers } else { 0 };
        if case.last {
            books.solids_in_kg_s = solids;
            books.water_m3_per_t = water_m3_per_t;
            books.lump_passed_kg_s.fill(0.0);
            books.lump_passed_size_m.fill(0.0);
            books.clay_worn_kg_s = 0.0;
            books.middle_bed = LocalBed::default();
            self.gold_exponent[..tracers].fill(0.0);
        }
        nodes[0].next_flow_m3_s = flow;
        let gold = tracers > 0 && passing.takes_gold;
        if open == 0 && lumps == 0 && !gold {
            // Nothing changes along a closed shell without clay.
            for node in nodes.iter_mut() {
                node.next_flow_m3_s = flow;
            }
            if case.last {
                self.close(case, &passing, books);
            }
            return;
        }
        let mut look = self.look(case, &passing, &nodes[0], flow, false);
        if gold {
            section.tracer_rates(&look.bed, &mut self.gold_here[..tracers]);
        }
        let mut scale = 1.0;
        self.rates(case, &passing, &look, false);
        for k in 0..cells {
            self.guess(case, &passing, scale);
            let shrunk_guess = self.shrunk_m + look.shrink_per_m * passing.dx_m;
            flow = self.flow(case, true, shrunk_guess);
            let there = self.look(case, &passing, &nodes[k + 1], flow, true);
            self.rates(case, &passing, &there, true);
            self.step_gravel(case, &passing, scale);
            let shrink = 0.5 * passing.dx_m * (look.shrink_per_m + there.shrink_per_m);
            self.step_lumps(case, &passing, shrink, scale, books);
            flow = self.flow(case, false, self.shrunk_m);
            nodes[k + 1].next_flow_m3_s = flow;
            look = self.look(case, &passing, &nodes[k + 1], flow, false);
            // The rates at the start of the next cell are those found for the guessed state at the same node, brought to
            // the pace of the state found.
            scale = look.bed.turnovers_per_m / there.bed.turnovers_per_m;
            self.rate_here[..open].copy_from_slice(&self.rate_there[..open]);
            self.lump_rate_here[..lumps].copy_from_slice(&self.lump_rate_there[..lumps]);
            if case.last && k + 1 == cells / 2 {
                books.middle_bed = look.bed;
            }
            if gold {
                section.tracer_rates(&look.bed, &mut self.gold_there[..tracers]);
                self.step_gold(case, &passing);
            }
        }
        // Points that can't leave here kept their mass; the guess must agree with that in the next section.
        self.gravel_guess[..case.open].copy_from_slice(&self.gravel[..case.open]);
        if case.last {
            self.close(case, &passing, books);
        }
    }

    /// Bulk volume still in the drum per second.
    fn flow(&self, case: &Case<'_>, guess: bool, shrunk_m: f64) -> f64 {
        let (mut solids, kept) =
            if guess { (self.gravel_guess_kg_s, &self.lump_kept_guess) } else { (self.gravel_kg_s, &self.lump_kept) };
        let lumps = case.carried.lump_flow_kg_s.iter().zip(&self.per_lump_size).zip(kept);
        for ((fed, per_size), kept) in lumps {
            solids += fed * case.scale * kept * cube_left(*per_size, shrunk_m);
        }
        solids * case.per_bulk_density
    }

    /// The bed at a node with the flow found there.
    fn look(&self, case: &Case<'_>, passing: &Passing<'_>, node: &Node, flow_m3_s: f64, guess: bool) -> Look {
        // Seconds per metre of travel.
        let pace = node.area_m2 / flow_m3_s.max(LEAST_FLOW * case.feed_flow_m3_s);
        let median_m = if passing.open > 0 || passing.takes_gold {
            let gravel = if guess { &self.gravel_guess } else { &self.gravel };
            self.median_m(case, &gravel[..case.open], if guess { self.gravel_guess_kg_s } else { self.gravel_kg_s })
        } else {
            0.0
        };
        Look {
            bed: LocalBed {
                turnovers_per_m: case.drum.speed_rev_s * pace * node.turnovers_per_turn,
                mean_depth_m: node.mean_depth_m,
                median_m,
                wetness: passing.wetness,
            },
            shrink_per_m: 2.0 * passing.wear_per_arm * node.arm_m * pace,
        }
    }

    /// Size that half of the gravel here is smaller than; linear on cumulative mass between the edges of a point.
    ///
    /// Lumps are left out: they are soft and close the gaps between stones. Points that never leave are summed beforehand,
    /// from the coarse end, so that the usual case (half of the bed is coarser than the hole) needs no summing.
    fn median_m(&self, case: &Case<'_>, gravel: &[f64], mass_kg_s: f64) -> f64 {
        let (low, high) = (case.carried.bed_low_m, case.carried.bed_high_m);
        let fixed = self.from_above[case.open];
        let half = 0.5 * mass_kg_s;
        let (point, coarser, mass) = if fixed >= half {
            let mut point = case.open;
            while point + 1 < high.len() && self.from_above[point + 1] >= half {
                point += 1;
            }
            (point, self.from_above[point + 1], self.gravel[point])
        } else {
            let mut coarser = fixed;
            let mut point = case.open.saturating_sub(1);
            while point > 0 && coarser + gravel[point] < half {
                coarser += gravel[point];
                point -= 1;
            }
            (point, coarser, gravel[point])
        };
        let share = if mass > 0.0 { ((half - coarser) / mass).clamp(0.0, 1.0) } else { 0.5 };
        high[point] - (high[point] - low[point]) * share
    }

    /// Rates of gravel and lumps at one end of a cell.
    fn rates(&mut self, case: &Case<'_>, passing: &Passing<'_>, look: &Look, there: bool) {
        if passing.open == 0 {
            return;
        }
        let gravel = if there { &mut self.rate_there } else { &mut self.rate_here };
        passing.section.gravel_rates(&look.bed, &mut gravel[..passing.open]);
        let lumps = case.carried.lump_size_m.len();
        if lumps == 0 {
            return;
        }
        let shrunk = if there { self.shrunk_m + look.shrink_per_m * passing.dx_m } else { self.shrunk_m };
        for (now, fed) in self.lump_size_m.iter_mut().zip(case.carried.lump_size_m) {
            *now = (fed - shrunk).max(0.0);
        }
        let rates = if there { &mut self.lump_rate_there } else { &mut self.lump_rate_here };
        passing.section.lump_rates(&look.bed, &self.lump_size_m[..lumps], &mut rates[..lumps]);
    }

    /// First guess of the state at the end of the cell.
    fn guess(&mut self, case: &Case<'_>, passing: &Passing<'_>, scale: f64) {
        let open = passing.open;
        let dx = scale * passing.dx_m;
        for ((guess, now), rate) in self.gravel_guess[..open].iter_mut().zip(&self.gravel).zip(&self.rate_here) {
            *guess = now * rough_decay(rate * dx);
        }
        if open > 0 {
            self.gravel_guess_kg_s = sum(&self.gravel_guess[..case.open]) + self.from_above[case.open];
        } else {
            self.gravel_guess_kg_s = self.gravel_kg_s;
        }
        let lumps = case.carried.lump_size_m.len();
        if open == 0 {
            self.lump_kept_guess[..lumps].copy_from_slice(&self.lump_kept[..lumps]);
            return;
        }
        for ((guess, now), rate) in
            self.lump_kept_guess[..lumps].iter_mut().zip(&self.lump_kept).zip(&self.lump_rate_here)
        {
            *guess = now * rough_decay(rate * dx);
        }
    }

    fn step_gravel(&mut self, case: &Case<'_>, passing: &Passing<'_>, scale: f64) {
        if passing.open == 0 {
            return;
        }
        let half = 0.5 * passing.dx_m;
        let rates = self.rate_here.iter().zip(&self.rate_there);
        for (now, (here, there)) in self.gravel[..passing.open].iter_mut().zip(rates) {
            *now *= decay(half * (scale * here + there));
        }
        self.gravel_kg_s = sum(&self.gravel[..case.open]) + self.from_above[case.open];
    }

    /// Lumps shrink, and some pass; what has worn off is booked by difference.
    fn step_lumps(
        &mut self,
        case: &Case<'_>,
        passing: &Passing<'_>,
        shrink_m: f64,
        scale: f64,
        books: &mut SectionOutcome,
    ) {
        let after_m = self.shrunk_m + shrink_m;
        let lumps = case.carried.lump_size_m.len();
        let half = 0.5 * passing.dx_m;
        let next = &mut self.lump_kept_guess[..lumps];
        if passing.open > 0 {
            let rates = self.lump_rate_here.iter().zip(&self.lump_rate_there);
            for ((next, kept), (here, there)) in next.iter_mut().zip(&self.lump_kept).zip(rates) {
                *next = kept * decay(half * (scale * here + there));
            }
        }
        if case.last {
            self.worn_kg_s = 0.0;
            for (i, (&size, fed)) in case.carried.lump_size_m.iter().zip(case.carried.lump_flow_kg_s).enumerate() {
                let (kept, next) = (self.lump_kept[i], self.lump_kept_guess[i]);
                let before = cube_left(self.per_lump_size[i], self.shrunk_m);
                let after = cube_left(self.per_lump_size[i], after_m);
                let passed = 0.5 * fed * case.scale * (kept - next) * (before + after);
                self.worn_kg_s += fed * case.scale * (kept * before - next * after) - passed;
                books.lump_passed_kg_s[i] += passed;
                books.lump_passed_size_m[i] += passed * (size - 0.5 * (self.shrunk_m + after_m)).max(0.0);
            }
            books.clay_worn_kg_s += self.worn_kg_s;
        }
        self.lump_kept[..lumps].copy_from_slice(&self.lump_kept_guess[..lumps]);
        self.shrunk_m = after_m;
    }

    /// Gold: exponents are summed and taken once at the end; only gold freed on the way needs a step of its own.
    fn step_gold(&mut self, case: &Case<'_>, passing: &Passing<'_>) {
        let tracers = case.carried.tracers;
        let half = 0.5 * passing.dx_m;
        let rates = self.gold_here[..tracers].iter().zip(&self.gold_there);
        for (exponent, (here, there)) in self.gold_exponent.iter_mut().zip(rates) {
            *exponent += half * (here + there);
        }
        let lumps_fed: f64 = case.carried.lump_flow_kg_s.iter().sum::<f64>() * case.scale;
        if lumps_fed > 0.0 {
            let freed = self.worn_kg_s / lumps_fed;
            let rates = self.gold_here[..tracers].iter().zip(&self.gold_there);
            for (left, (here, there)) in self.freed_left.iter_mut().zip(rates) {
                let x = half * (here + there);
                let e = decay(x);
                *left = *left * e + freed * mean_decay(x, e);
            }
        }
        core::mem::swap(&mut self.gold_here, &mut self.gold_there);
    }

    /// State at the exit of a section.
    fn close(&mut self, case: &Case<'_>, passing: &Passing<'_>, books: &mut SectionOutcome) {
        let carried = case.carried;
        let lumps_fed: f64 = carried.lump_flow_kg_s.iter().sum::<f64>() * case.scale;
        for i in 0..carried.tracers {
            if passing.takes_gold {
                self.gold_left[i] *= decay(self.gold_exponent[i]);
            } else if lumps_fed > 0.0 {
                self.freed_left[i] += books.clay_worn_kg_s / lumps_fed;
            }
        }
        let points = carried.bed_flow_kg_s.len();
        books.gravel_left_kg_s[..points].copy_from_slice(&self.gravel[..points]);
        books.gold_left[..carried.tracers].copy_from_slice(&self.gold_left[..carried.tracers]);
        books.freed_left[..carried.tracers].copy_from_slice(&self.freed_left[..carried.tracers]);
        for (i, fed) in carried.lump_flow_kg_s.iter().enumerate() {
            books.lump_left_kg_s[i] =
                fed * case.scale * self.lump_kept[i] * cube_left(self.per_lump_size[i], self.shrunk_m);
            if books.lump_passed_kg_s[i] > 0.0 {
                books.lump_passed_size_m[i] /= books.lump_passed_kg_s[i];
            }
        }
        books.lump_shrunk_m = self.shrunk_m;
    }
}

/// Share of a lump's mass left when its size has shrunk by `shrunk_m`.
fn cube_left(per_size_1_m: f64, shrunk_m: f64) -> f64 {
    let ratio = (1.0 - shrunk_m * per_size_1_m).max(0.0);
    ratio * ratio * ratio
}

/// Sum in four strands, always in the same order: the strands don't wait for each other.
fn sum(values: &[f64]) -> f64 {
    let mut strand = [0.0; 4];
    let chunks = values.chunks_exact(4);
    let rest = chunks.remainder();
    for four in chunks {
        for (s, v) in strand.iter_mut().zip(four) {
            *s += v;
        }
    }
    let mut total = (strand[0] + strand[1]) + (strand[2] + strand[3]);
    for v in rest {
        total += v;
    }
    total
}
