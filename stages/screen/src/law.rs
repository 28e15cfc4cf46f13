//! The screen as a section of the drum: chances prepared once, rates asked for in every cell.

use sim_core::drum::transport::riding_factor;
use sim_core::drum::{Lifters, LocalBed, MAX_POINTS, MAX_TRACERS, Section};

use crate::holes::CutHoles;
use crate::passage::{GoldMeasures, HoleShape, effective_hole_m};
use crate::pegging::Balance;
use crate::presentation::{THROAT, TRIALS_PER_TURNOVER, WET_SCREENING_M3_PER_T, exposure, wetness};

/// How water acts on screening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Washing {
    /// Always as well as washed gravel (the worked example).
    Full,
    /// By the added water; the constant in m3 per dry tonne.
    ByWater(f64),
}

/// A perforated length of drum, as built.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Length along the axis, m.
    pub length_m: f64,
    /// Ring at the exit, m.
    pub exit_ring_m: f64,
    /// Shape of the holes.
    pub shape: HoleShape,
    /// Hole diameter or width, m.
    pub hole_m: f64,
    /// Standard deviation of the hole size, m.
    pub scatter_m: f64,
    /// Largest hole to be expected among all, m.
    pub largest_hole_m: f64,
    /// Straight part of the holes, m: the plate's thickness, less what is relieved.
    pub straight_m: f64,
    /// Open share of the plate, after the blinding that is known beforehand.
    pub open_share: f64,
    /// Lifters on the plate.
    pub lifters: Option<Lifters>,
}

/// What is uncertain about how a plate screens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screening {
    /// Trials per turnover of a grain at the wall, kappa.
    pub trials_per_turnover: f64,
    /// Sieve size of gravel over a round hole that it just passes, psi.
    pub round_factor: f64,
    /// How water acts.
    pub washing: Washing,
    /// Tangent of the steepest approach of grains to a hole: with the straight part of the hole it narrows the window.
    pub approach: f64,
    /// Pegging and clearing; without it the plate stays as open as it is given.
    pub balance: Option<Balance>,
}

impl Default for Screening {
    fn default() -> Self {
        Screening {
            trials_per_turnover: TRIALS_PER_TURNOVER,
            round_factor: crate::passage::ROUND_HOLE_FACTOR,
            washing: Washing::ByWater(WET_SCREENING_M3_PER_T),
            approach: 0.0,
            balance: None,
        }
    }
}

/// A screen section ready for a trial.
#[derive(Debug, Clone)]
pub struct ScreenSection {
    pub(crate) plate: Plate,
    screening: Screening,
    effective_hole_m: f64,
    /// kappa times the riding factor.
    trials: f64,
    added_water_m3_s: f64,
    open_points: usize,
    gravel_chance: [f64; MAX_POINTS],
    gravel_fourth_m4: [f64; MAX_POINTS],
    gold_chance: [f64; MAX_TRACERS],
    gold_fourth_m4: [f64; MAX_TRACERS],
}

impl ScreenSection {
    /// A section with its plate; gravel, gold and conditions are set by the other methods.
    pub fn new(plate: Plate) -> Self {
        let mut section = ScreenSection {
            plate,
            screening: Screening::default(),
            effective_hole_m: 0.0,
            trials: 0.0,
            added_water_m3_s: 0.0,
            open_points: 0,
            gravel_chance: [0.0; MAX_POINTS],
            gravel_fourth_m4: [0.0; MAX_POINTS],
            gold_chance: [0.0; MAX_TRACERS],
            gold_fourth_m4: [0.0; MAX_TRACERS],
        };
        section.set_screening(Screening::default(), 0.0);
        section
    }

    /// Sets what is uncertain and the speed of the drum over its critical speed. Set gravel and gold again afterwards.
    pub fn set_screening(&mut self, screening: Screening, speed_over_critical: f64) {
        self.screening = screening;
        self.effective_hole_m = effective_hole_m(self.plate.shape, self.plate.hole_m, screening.round_factor);
        self.trials = screening.trials_per_turnover * riding_factor(speed_over_critical);
    }

    /// Sets the open share of the plate that is left after blinding. Set gravel and gold again afterwards.
    pub fn set_open_share(&mut self, open_share: f64) {
        self.plate.open_share = open_share;
    }

    /// Holes as grains see them whose size counts against `factor` of the hole.
    fn cut_holes(&self, factor: f64) -> CutHoles {
        CutHoles {
            shape: self.plate.shape,
            size_m: factor * self.plate.hole_m,
            scatter_m: factor * self.plate.scatter_m,
            open_share: self.plate.open_share,
            shade_m: self.plate.straight_m * self.screening.approach,
        }
    }

    /// Sets the sizes of the gravel points, small to large (m). Points beyond [`MAX_POINTS`] are not taken.
    pub fn set_gravel(&mut self, size_m: &[f64]) {
        let holes = self.cut_holes(self.effective_hole_m / self.plate.hole_m);
        let largest_m = self.plate.largest_hole_m * self.effective_hole_m / self.plate.hole_m;
        let arrays = self.gravel_chance.iter_mut().zip(self.gravel_fourth_m4.iter_mut());
        for (&d, (chance, fourth)) in size_m.iter().zip(arrays) {
            *chance = holes.chance(d);
            *fourth = d * d * d * d;
        }
        self.open_points = size_m.iter().take(MAX_POINTS).filter(|d| **d < largest_m).count();
    }

    /// Sets the gold. Each grain goes by the measure that counts for the shape of the hole, against the hole itself.
    pub fn set_gold(&mut self, gold: &[GoldMeasures]) {
        let (shape, holes) = (self.plate.shape, self.cut_holes(1.0));
        let arrays = self.gold_chance.iter_mut().zip(self.gold_fourth_m4.iter_mut());
        for (grain, (chance, fourth)) in gold.iter().zip(arrays) {
            let d = grain.against(shape);
            *chance = holes.chance(d);
            *fourth = d * d * d * d;
        }
    }

    /// Sets the added water that washes this section, m3/s.
    pub fn set_water(&mut self, added_water_m3_s: f64) {
        self.added_water_m3_s = added_water_m3_s;
    }

    /// Share of the holes that stones plug where the bed is like this: mean between two cleanings, and just before the next.
    pub fn blinded(&self, bed: &LocalBed) -> (f64, f64) {
        let meetings = bed.turnovers_per_m
            * self.trials
            * (0.5 + 0.5 * bed.wetness)
            * exposure(bed.median_m, bed.mean_depth_m.max(f64::MIN_POSITIVE));
        self.screening.balance.map_or((0.0, 0.0), |b| (b.mean(meetings), b.at_end(meetings)))
    }

    /// Rate = pace x chance x (E + (1 - E) y pi), the terms of [`crate::presentation::rate_per_m`] arranged so that a
    /// grain costs one division.
    fn terms(&self, bed: &LocalBed) -> (f64, f64, f64) {
        let e = exposure(bed.median_m, bed.mean_depth_m);
        let mut pace = bed.turnovers_per_m * self.trials * (0.5 + 0.5 * bed.wetness);
        if let Some(balance) = &self.screening.balance {
            pace *= 1.0 - balance.mean(pace * e);
        }
        let throat = THROAT * bed.median_m;
        let throat2 = throat * throat;
        (pace * e, pace * (1.0 - e) * bed.wetness, 1.0 / (throat2 * throat2))
    }
}

impl Section for ScreenSection {
    fn length_m(&self) -> f64 {
        self.plate.length_m
    }

    fn exit_ring_m(&self) -> f64 {
        self.plate.exit_ring_m
    }

    fn lifters(&self) -> Option<Lifters> {
        self.plate.lifters
    }

    fn added_water_m3_s(&self) -> f64 {
        self.added_water_m3_s
    }

    fn open_points(&self) -> usize {
        self.open_points
    }

    fn wetness(&self, water_m3_per_t: f64) -> f64 {
        match self.screening.washing {
            Washing::Full => 1.0,
            Washing::ByWater(half) => wetness(water_m3_per_t, half),
        }
    }

    fn gravel_rates(&self, bed: &LocalBed, rate_per_m: &mut [f64]) {
        let (wall, sifted, per_throat4) = self.terms(bed);
        let grains = self.gravel_chance.iter().zip(&self.gravel_fourth_m4);
        for (rate, (chance, fourth)) in rate_per_m.iter_mut().zip(grains) {
            *rate = chance * (wall + sifted / (1.0 + fourth * per_throat4));
        }
    }

    fn tracer_rates(&self, bed: &LocalBed, rate_per_m: &mut [f64]) {
        let (wall, sifted, per_throat4) = self.terms(bed);
        let grains = self.gold_chance.iter().zip(&self.gold_fourth_m4);
        for (rate, (chance, fourth)) in rate_per_m.iter_mut().zip(grains) {
            *rate = chance * (wall + sifted / (1.0 + fourth * per_throat4));
        }
    }

    fn lump_rates(&self, bed: &LocalBed, size_m: &[f64], rate_per_m: &mut [f64]) {
        let (wall, sifted, per_throat4) = self.terms(bed);
        let (shape, hole, open) = (self.plate.shape, self.effective_hole_m, self.plate.open_share);
        // The chance of crate::passage with one division for all lumps: 1 - d/a, once or squared.
        let per_hole = 1.0 / hole;
        let squared = shape != HoleShape::Slot;
        for (rate, &d) in rate_per_m.iter_mut().zip(size_m) {
            let square = d * d;
            let miss = (1.0 - d * per_hole).max(0.0);
            let chance = open * miss * if squared { miss } else { 1.0 };
            *rate = chance * (wall + sifted / (1.0 + square * square * per_throat4));
        }
    }
}
