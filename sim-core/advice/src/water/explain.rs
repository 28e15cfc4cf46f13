//! Which single fault explains what gauge and flow read today: each is put into the network and sized to fit both readings.
//!
//! The rule of signs ([`sim_core::hydraulics::diagnosis`]) tells plugging from wear from a weak pump at a glance; this tells how much of it there
//! must be, and which outlet fits best. Two readings cannot tell a worn pump from a slow engine: both come out, and the owner looks.

use super::case::{Change, WaterCase};
use sim_core::constants::STANDARD_GRAVITY_M_S2 as G;

/// One fault with its size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// Share of the open holes of a branch that is plugged.
    Plugged {
        /// Which branch.
        branch: usize,
        /// Share (-).
        share: f64,
    },
    /// Holes of a branch wider than thought, as a ratio of diameters.
    Worn {
        /// Which branch.
        branch: usize,
        /// Diameter now over the diameter thought of (-).
        ratio: f64,
    },
    /// A branch shut or pinched by a loss coefficient.
    Pinched {
        /// Which branch.
        branch: usize,
        /// Loss coefficient.
        loss_coefficient: f64,
    },
    /// Share of its head that the pump has lost beside the wear that was thought of.
    WeakPump {
        /// Share (-).
        share: f64,
    },
    /// Speed of the engine over the speed thought of.
    EngineSpeed {
        /// Ratio (-).
        ratio: f64,
    },
}

impl Fault {
    fn changes(self, case: &WaterCase) -> Option<Change> {
        Some(match self {
            Fault::Plugged { branch, share } => Change::Plugged { branch, share },
            Fault::Worn { branch, ratio } => {
                Change::HoleSize { branch, hole_m: ratio * case.branches.get(branch)?.facts.hole_m }
            }
            Fault::Pinched { branch, loss_coefficient } => Change::Throttle { branch, loss_coefficient },
            Fault::WeakPump { share } => Change::PumpHead(1.0 - share),
            Fault::EngineSpeed { ratio } => Change::Speed(ratio),
        })
    }
}

/// A fault sized to fit the readings, and how well it does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Explanation {
    /// The fault.
    pub fault: Fault,
    /// Flow of the pump with it (m3/s).
    pub flow_m3_s: f64,
    /// Gauge on the manifold with it (Pa).
    pub gauge_pa: f64,
    /// Root of the summed squares of the relative misses of flow and gauge (-): 0.02 is as good as readings are.
    pub miss: f64,
}

/// Sizes of a fault that are tried before the best is refined.
const TRIED: usize = 24;
/// Rounds of refinement; each narrows the size to a third.
const ROUNDS: usize = 12;

/// Single faults that explain a reading of the pump's flow and of the gauge on the manifold, best fit first.
///
/// `case` is the plant as it should be. Faults that would need a size outside reason (holes twice as wide, a pump without two thirds of its
/// head) show a large miss. Costs about a thousand solutions of the network a branch.
pub fn explain(case: &WaterCase, flow_m3_s: f64, gauge_pa: f64) -> Vec<Explanation> {
    let mut list: Vec<Explanation> = Vec::new();
    let mut fit = |make: &dyn Fn(f64) -> Fault, low: f64, high: f64| {
        list.extend(best_size(case, make, (low, high), (flow_m3_s, gauge_pa)));
    };
    for (branch, b) in case.branches.iter().enumerate() {
        if b.facts.open_end {
            fit(&|x| Fault::Pinched { branch, loss_coefficient: x / (1.0 - x) * 20.0 }, 0.0, 0.999);
        } else {
            fit(&|share| Fault::Plugged { branch, share }, 0.0, 0.98);
            fit(&|ratio| Fault::Worn { branch, ratio }, 1.0, 2.0);
        }
    }
    fit(&|share| Fault::WeakPump { share }, 0.0, 0.66);
    fit(&|ratio| Fault::EngineSpeed { ratio }, 0.5, 1.3);
    list.sort_by(|a, b| a.miss.total_cmp(&b.miss));
    list
}

/// The size of a fault that fits best: a coarse look over the range, then a search around the best.
fn best_size(
    case: &WaterCase,
    make: &dyn Fn(f64) -> Fault,
    (low, high): (f64, f64),
    readings: (f64, f64),
) -> Option<Explanation> {
    let at = |x: f64| try_fault(case, make(x), readings);
    let step = (high - low) / TRIED as f64;
    let (mut best_x, mut best) = (low, at(low));
    for i in 1..=TRIED {
        let x = low + step * i as f64;
        let tried = at(x);
        if tried.miss < best.miss {
            (best_x, best) = (x, tried);
        }
    }
    let mut width = step;
    for _ in 0..ROUNDS {
        for x in [best_x - width / 3.0, best_x + width / 3.0] {
            let tried = at(x.clamp(low, high));
            if tried.miss < best.miss {
                (best_x, best) = (x.clamp(low, high), tried);
            }
        }
        width *= 0.6;
    }
    best.miss.is_finite().then_some(best)
}

fn try_fault(case: &WaterCase, fault: Fault, (flow_m3_s, gauge_pa): (f64, f64)) -> Explanation {
    let failed = Explanation { fault, flow_m3_s: f64::NAN, gauge_pa: f64::NAN, miss: f64::INFINITY };
    let Some(change) = fault.changes(case) else { return failed };
    let altered = case.with(&[change]);
    let Ok(flow) = altered.solve() else { return failed };
    let gauge = (flow.manifold_head_m - altered.manifold_m) * altered.density_kg_m3 * G;
    let (dq, dp) = (flow.pump_flow_m3_s / flow_m3_s - 1.0, gauge / gauge_pa - 1.0);
    Explanation { fault, flow_m3_s: flow.pump_flow_m3_s, gauge_pa: gauge, miss: (dq * dq + dp * dp).sqrt() }
}
