//! Rings, lifters, plugging and scattered holes: the fast march against the exact one, and how the grid converges.

use sim_core::drum::{BlankShell, Carried, Lifters, March, Outcome, PointLayout, Section};

use crate::law::{Plate, ScreenSection, Screening, Washing};
use crate::passage::GoldMeasures;
use crate::pegging::Balance;
use crate::worked_example::Example;

const GOLD_M: [f64; 5] = [0.008, 0.004, 0.002, 0.001, 0.000_25];
const LUMPS: ([f64; 3], [f64; 3]) = ([0.015, 0.030, 0.060], [0.2, 0.3, 0.2]);

/// A closed shell with bars.
struct Barred(BlankShell, Lifters, f64);

impl Section for Barred {
    fn length_m(&self) -> f64 {
        self.0.length_m
    }
    fn exit_ring_m(&self) -> f64 {
        self.0.exit_ring_m
    }
    fn lifters(&self) -> Option<Lifters> {
        Some(self.1)
    }
    fn added_water_m3_s(&self) -> f64 {
        self.2
    }
}

/// The worked example with all that a builder adds, solved on a grid; `feed` and `kappa` over those of the example.
fn solve(march: &mut March, rounds: usize, warm: bool, feed: f64, kappa: f64) -> Outcome {
    let base = Example::base();
    let (edges, per_class) = base.classes();
    let layout = PointLayout::near_holes(&edges, &[0.84 * base.hole_m], 5).expect("layout");
    let mut flows = vec![0.0; layout.len()];
    layout.spread(&per_class, &mut flows);
    flows.iter_mut().for_each(|f| *f *= feed);
    let bars = Lifters { height_m: 0.05, share: 0.15 };
    let scrubber = Barred(BlankShell { length_m: 1.5, exit_ring_m: 0.19 }, bars, 0.02);
    let gold: Vec<GoldMeasures> =
        GOLD_M.iter().map(|d| GoldMeasures { intermediate_m: *d, sieve_m: *d, thickness_m: *d }).collect();
    let mut screen = ScreenSection::new(Plate {
        scatter_m: 0.8e-3,
        largest_hole_m: base.hole_m + 3.5 * 0.8e-3,
        straight_m: 0.006,
        exit_ring_m: 0.1,
        lifters: Some(bars),
        ..base.screen(&layout, &GOLD_M).plate
    });
    let balance = Balance { stones_per_hole_m_s: 0.1, peg_chance: 5e-5, clearing_1_s: 9e-5, between_s: 36_000.0 };
    let screening = Screening {
        trials_per_turnover: kappa,
        washing: Washing::ByWater(0.45),
        approach: 0.27,
        balance: Some(balance),
        ..Screening::default()
    };
    screen.set_screening(screening, base.drum().speed_over_critical());
    screen.set_water(0.025);
    screen.set_gravel(layout.size_m());
    screen.set_gold(&gold);
    let sections: [&dyn Section; 2] = [&scrubber, &screen];
    let carried = Carried::gravel(layout.low_m(), layout.high_m(), &flows)
        .and_then(|c| c.with_tracers(gold.len()))
        .and_then(|c| c.with_lumps(&LUMPS.0, &LUMPS.1, 0.04e-3))
        .expect("carried");
    let profile = warm.then(|| march.flow_profile());
    march.solve(&base.drum(), &sections, &carried, rounds, profile.as_ref()).expect("solves").clone()
}

/// Worst relative miss of times, torque, oversize and clay, and worst miss of gold left in points.
fn misses(got: &Outcome, exact: &Outcome) -> (f64, f64) {
    let rel = |f: &dyn Fn(&Outcome) -> f64| (f(got) / f(exact) - 1.0).abs();
    let over = |o: &Outcome| o.sections()[1].gravel_left_kg_s.iter().sum::<f64>();
    let clay = |o: &Outcome| o.sections().iter().map(|s| s.clay_worn_kg_s).sum::<f64>();
    let worst = rel(&|o| o.residence_s()).max(rel(&|o| o.torque_n_m())).max(rel(&|o| over(o))).max(rel(&|o| clay(o)));
    let gold = got.sections()[1].gold_left.iter().zip(&exact.sections()[1].gold_left).take(GOLD_M.len());
    (worst, gold.map(|(a, b)| 100.0 * (a - b).abs()).fold(0.0, f64::max))
}

#[test]
fn property_with_rings_and_lifters_the_grid_converges() {
    let exact = solve(&mut March::new(480, 2), 10, false, 1.0, 2.0);
    assert!(!exact.overloaded);
    let mut last = f64::INFINITY;
    for cells in [12, 24, 48, 96] {
        let (worst, gold) = misses(&solve(&mut March::new(cells, 2), 10, false, 1.0, 2.0), &exact);
        println!("{cells} cells: {worst:.2e}, gold {gold:.4} points");
        assert!(worst < last);
        last = worst;
    }
    assert!(last < 5e-4);
}

#[test]
fn property_with_rings_and_lifters_the_fast_march_is_near_the_exact_one() {
    for (feed, kappa) in [(1.0, 2.0), (0.6, 1.2), (1.15, 3.5), (0.8, 4.0)] {
        let exact = solve(&mut March::new(240, 2), 10, false, feed, kappa);
        let mut march = March::new(12, 2);
        solve(&mut march, 7, false, 1.0, 2.0);
        let (worst, gold) = misses(&solve(&mut march, 3, true, feed, kappa), &exact);
        println!("feed {feed}, kappa {kappa}: {worst:.2e}, gold {gold:.4} points");
        assert!(worst < 0.004 && gold < 0.3, "{worst} {gold}");
    }
}
