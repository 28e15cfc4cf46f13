//! One drum worked out to the last figure, as a guard of the whole march.
//!
//! Drum 0.9 m, 1.5 m scrubber and 1.5 m screen, 4 degrees, 18 rpm, no rings; round holes 12.7 mm at 19.05 mm staggered;
//! psi 0.84, kappa 2, repose 35 degrees; 30 loose m3/h of 1600 kg/m3, well washed. The gradation is assumed. Its values
//! were calculated by two independent solvers; nothing of it was measured. Gold is read like rock here.

use core::f64::consts::PI;
use sim_core::constants::S_PER_H;

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::drum::{
    BlankShell, Carried, ClassEdges, Drum, DrumError, ExitRule, Fineness, March, Outcome, PointLayout, Section,
};
use sim_core::math::{ln, tan};

use crate::law::{Plate, ScreenSection, Screening, Washing};
use crate::open_area::round_staggered;
use crate::passage::{GoldMeasures, HoleShape};

/// Upper class edges, mm, and percent passing.
pub(crate) const PASSING: [(f64, f64); 18] = [
    (0.063, 4.0),
    (0.125, 5.0),
    (0.25, 8.0),
    (0.5, 13.0),
    (1.0, 20.0),
    (2.0, 27.0),
    (4.0, 35.0),
    (5.6, 39.0),
    (8.0, 45.0),
    (10.0, 49.0),
    (11.2, 51.3),
    (12.7, 54.0),
    (16.0, 60.0),
    (22.4, 68.0),
    (31.5, 77.0),
    (45.0, 85.0),
    (63.0, 92.0),
    (100.0, 100.0),
];

/// The same gradation at the apertures of ISO 565 R20/3, read between its points on a logarithmic size axis.
fn standard_passing() -> Vec<(f64, f64)> {
    let apertures_mm = [
        0.045, 0.063, 0.09, 0.125, 0.18, 0.25, 0.355, 0.5, 0.71, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.2, 16.0, 22.4,
        31.5, 45.0, 63.0, 90.0, 125.0,
    ];
    let read = |size: f64| {
        let mut below = (0.03, 0.0);
        for above in PASSING {
            if size <= above.0 {
                return below.1 + (above.1 - below.1) * ln(size / below.0) / ln(above.0 / below.0);
            }
            below = above;
        }
        100.0
    };
    apertures_mm.iter().map(|&size| (size, read(size))).collect()
}

/// Loose feed of the example, m3/s, and its bulk density.
pub(crate) const FEED_M3_S: f64 = 30.0 / S_PER_H;
pub(crate) const BULK_KG_M3: f64 = 1600.0;

/// Everything that may be turned in the example.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Example {
    pub(crate) feed_m3_s: f64,
    pub(crate) slope_deg: f64,
    pub(crate) repose_deg: f64,
    pub(crate) scrub_m: f64,
    pub(crate) screen_m: f64,
    pub(crate) hole_m: f64,
    pub(crate) pitch_m: f64,
    pub(crate) kappa: f64,
    pub(crate) scrub_ring_m: f64,
    pub(crate) screen_ring_m: f64,
    pub(crate) speed_rev_s: f64,
    pub(crate) blinded: f64,
    pub(crate) water_m3_s: Option<f64>,
    pub(crate) pieces: usize,
    /// Classes of the R20/3 sieve series instead of those of the example.
    pub(crate) standard_grid: bool,
    pub(crate) fineness: Fineness,
}

impl Example {
    pub(crate) const fn base() -> Self {
        Example {
            feed_m3_s: FEED_M3_S,
            slope_deg: 4.0,
            repose_deg: 35.0,
            scrub_m: 1.5,
            screen_m: 1.5,
            hole_m: 0.0127,
            pitch_m: 0.01905,
            kappa: 2.0,
            scrub_ring_m: 0.0,
            screen_ring_m: 0.0,
            speed_rev_s: 0.3,
            blinded: 0.0,
            water_m3_s: None,
            pieces: 1,
            standard_grid: false,
            fineness: Fineness::ORACLE,
        }
    }

    pub(crate) fn drum(&self) -> Drum {
        Drum {
            diameter_m: 0.9,
            slope: tan(self.slope_deg * PI / 180.0),
            speed_rev_s: self.speed_rev_s,
            repose_rad: self.repose_deg * PI / 180.0,
            bulk_density_kg_m3: BULK_KG_M3,
            wet_density_kg_m3: 2000.0,
            feed_opening_depth_m: f64::INFINITY,
            transport_factor: 1.0,
            exit: ExitRule::Lip,
        }
    }

    /// Classes of the example with the mass flow of each.
    pub(crate) fn classes(&self) -> (Vec<ClassEdges>, Vec<f64>) {
        let (mut from_mm, mut below) = (0.0, 0.0);
        let (mut edges, mut flows) = (Vec::new(), Vec::new());
        let curve = if self.standard_grid { standard_passing() } else { PASSING.to_vec() };
        for (to_mm, passing) in curve {
            edges.push(ClassEdges { from_m: from_mm * 1e-3, to_m: to_mm * 1e-3 });
            flows.push((passing - below) / 100.0 * self.feed_m3_s * BULK_KG_M3);
            (from_mm, below) = (to_mm, passing);
        }
        (edges, flows)
    }

    pub(crate) fn screen(&self, layout: &PointLayout, gold_m: &[f64]) -> ScreenSection {
        // Gold read like rock: a square hole of the effective size, so that one size serves chance and percolation.
        let effective_m = 0.84 * self.hole_m;
        let mut screen = ScreenSection::new(Plate {
            length_m: self.screen_m,
            exit_ring_m: self.screen_ring_m,
            shape: HoleShape::Square,
            hole_m: effective_m,
            scatter_m: 0.0,
            largest_hole_m: effective_m,
            straight_m: 0.0,
            lifters: None,
            open_share: round_staggered(self.hole_m, self.pitch_m) * (1.0 - self.blinded),
        });
        let screening = Screening {
            trials_per_turnover: self.kappa,
            washing: if self.water_m3_s.is_some() { Washing::ByWater(0.45) } else { Washing::Full },
            ..Screening::default()
        };
        screen.set_screening(screening, self.drum().speed_over_critical());
        screen.set_water(self.water_m3_s.unwrap_or(0.0));
        screen.set_gravel(layout.size_m());
        let gold: Vec<GoldMeasures> =
            gold_m.iter().map(|d| GoldMeasures { intermediate_m: *d, sieve_m: *d, thickness_m: *d }).collect();
        screen.set_gold(&gold);
        screen
    }

    pub(crate) fn scrubber(&self) -> BlankShell {
        BlankShell { length_m: self.scrub_m, exit_ring_m: self.scrub_ring_m }
    }

    pub(crate) fn solve(&self, gold_m: &[f64]) -> Result<Solved, DrumError> {
        let (edges, per_class) = self.classes();
        let layout = PointLayout::near_holes(&edges, &[0.84 * self.hole_m], self.pieces)?;
        let mut flows = vec![0.0; layout.len()];
        layout.spread(&per_class, &mut flows);
        let (scrubber, screen) = (self.scrubber(), self.screen(&layout, gold_m));
        let sections: [&dyn Section; 2] = [&scrubber, &screen];
        let carried = Carried::gravel(layout.low_m(), layout.high_m(), &flows)?.with_tracers(gold_m.len())?;
        let mut march = March::new(self.fineness.cells_per_section, 2);
        let outcome = march.solve(&self.drum(), &sections, &carried, self.fineness.rounds, None)?.clone();
        Ok(Solved {
            outcome,
            flows,
            #[cfg(test)]
            layout,
            #[cfg(test)]
            hole_m: self.hole_m,
        })
    }
}

/// The example solved.
#[derive(Debug)]
pub(crate) struct Solved {
    pub(crate) outcome: Outcome,
    pub(crate) flows: Vec<f64>,
    #[cfg(test)]
    pub(crate) layout: PointLayout,
    #[cfg(test)]
    hole_m: f64,
}

impl Solved {
    fn left(&self) -> &[f64] {
        &self.outcome.sections()[1].gravel_left_kg_s[..self.flows.len()]
    }
}

#[cfg(test)]
impl Solved {
    /// Share passed of what is smaller than the nominal hole.
    pub(crate) fn efficiency(&self) -> f64 {
        crate::efficiency::undersize_recovery(
            self.layout.low_m(),
            self.layout.high_m(),
            &self.flows,
            self.left(),
            self.hole_m,
        )
    }

    /// Share passed of the points whose middle is below the effective hole.
    pub(crate) fn efficiency_by_effective_hole(&self) -> f64 {
        let small = |d: &f64| *d < 0.84 * self.hole_m;
        let sizes = self.layout.size_m().iter();
        let (mut fed, mut passed) = (0.0, 0.0);
        for ((_, flow), left) in sizes.zip(&self.flows).zip(self.left()).filter(|((d, _), _)| small(d)) {
            fed += flow;
            passed += flow - left;
        }
        passed / fed
    }

    pub(crate) fn oversize_kg_s(&self) -> f64 {
        self.left().iter().sum()
    }

    pub(crate) fn gold_left(&self, index: usize) -> f64 {
        self.outcome.sections()[1].gold_left[index]
    }
}

fn base_value(pick: fn(&Solved) -> f64) -> f64 {
    Example::base().solve(&[0.008, 0.004, 0.002, 0.001, 0.00025]).map_or(f64::NAN, |solved| pick(&solved))
}

/// Time that the bed spends in a section of the example, s.
fn solved_time(example: Example, section: usize) -> f64 {
    example.solve(&[]).map_or(f64::NAN, |s| s.outcome.sections().get(section).map_or(f64::NAN, |x| x.residence_s))
}

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    Check::new("drum-example-bed-power-against-perry", "torque of the march over Perry's first term", || {
        base_value(|s| {
            let live_kg = s.outcome.hold_up_m3() * 2000.0;
            s.outcome.power_w() / sim_core::drum::drive::perry_bed_w(0.3, 0.9, live_kg)
        })
    })
    .against(Kind::Published, "Perry's handbook, rotary equipment: bhp = N 4.75 d w/100000", Status::Memory)
    .value(1.0, "-")
    .within(Band::Between(0.8, 1.25)),
    Check::new("drum-low-ring-ahead-of-screen", "ring below the natural bed", || {
        let ring = solved_time(Example { scrub_ring_m: 0.0508, ..Example::base() }, 0);
        100.0 * (ring / solved_time(Example::base(), 0) - 1.0)
    })
    .against(
        Kind::Identity,
        "common practice, no source: a ring of about 2 in just ahead of the screen of a \
    small drum only checks the rush of water; change of the bed's time in the \
    scrubber of the example",
        Status::Memory,
    )
    .value(0.0, "%")
    .within(Band::Absolute(2.0)),
    Check::new("drum-outlet-ring-holds-material", "ring above the natural bed", || {
        let ring = solved_time(Example { screen_ring_m: 0.1016, ..Example::base() }, 1);
        ring / solved_time(Example::base(), 1)
    })
    .against(
        Kind::Identity,
        "common practice, no source: a ring of about 4 in at the outlet holds material \
    for washing; time on the screen of the example over that without a ring, well \
    above 1",
        Status::Memory,
    )
    .value(1.5, "-")
    .within(Band::Between(1.2, 2.5)),
    Check::new("drum-example-closes-per-class", "march of the drum with a screen", || {
        base_value(|s| {
            let passed = s.flows.iter().zip(s.left()).map(|(fed, left)| fed - left);
            let rest = s.flows.iter().zip(s.left()).zip(passed).map(|((fed, left), p)| ((fed - left - p) / fed).abs());
            let negative = s.flows.iter().zip(s.left()).any(|(fed, left)| *left < 0.0 || left > fed);
            if negative { f64::NAN } else { rest.fold(0.0, f64::max) }
        })
    })
    .against(Kind::Identity, "feed = oversize + undersize in each class, largest relative residual", Status::Computed)
    .value(0.0, "-")
    .within(Band::Absolute(1e-12)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("drum-example-efficiency", || base_value(Solved::efficiency_by_effective_hole)),
        ("drum-example-efficiency-by-nominal-hole", || base_value(Solved::efficiency)),
        ("drum-example-torque", || base_value(|s| s.outcome.torque_n_m())),
        ("drum-example-scrub-time", || base_value(|s| s.outcome.sections()[0].residence_s)),
        ("drum-example-screen-time", || base_value(|s| s.outcome.sections()[1].residence_s)),
        ("drum-example-gold-4mm-missed", || base_value(|s| 100.0 * s.gold_left(1))),
        ("drum-example-gold-8mm-missed", || base_value(|s| 100.0 * s.gold_left(0))),
        ("drum-example-oversize", || base_value(|s| 3.6 * s.oversize_kg_s())),
    ];
}
