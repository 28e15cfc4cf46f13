//! The water of one pump frozen in one trial, free to be altered and solved anew.
//!
//! Nothing here draws or runs a stage: a [`WaterCase`] is numbers, [`WaterCase::with`] gives another one, [`WaterCase::solve`] its heads
//! and flows. The plant's own curve (head that the plant asks of a pump at each flow) comes from the same solver: a pump run at other
//! speeds meets the plant's curve at other points, and that curve knows nothing of the pump.

use sim_core::hydraulics::manifold::{Branch, ManifoldFlow, Outlet, Trunk, manifold_network, solve_manifold};
use sim_core::hydraulics::network::{NetworkError, NetworkFlow};
use sim_core::hydraulics::pump::{PumpCurve, PumpDuty};
use sim_core::hydraulics::spray_bar::{BarFlow, EqualHoles, PipeWater, solve_bar};
use sim_core::plant::Plant;
use sim_core::plumbing::{LineState, OutletFacts, Tolerance};
use sim_core::trial::Worker;
use sim_core::water_line::Line;

/// One branch with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseBranch {
    /// Id of the outlet.
    pub id: String,
    /// What is known of the outlet as built.
    pub facts: OutletFacts,
    /// Hose, level and outlet in this trial.
    pub branch: Branch,
    /// Share of its holes that is open; the coefficient of its holes is the mean of open and plugged ones.
    pub open_share: f64,
}

/// The water of one pump in one trial.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterCase {
    /// Id of the pump.
    pub pump: String,
    /// Its curve at the rated speed, new.
    pub curve: PumpCurve,
    /// Its speed and wear.
    pub duty: PumpDuty,
    /// Suction and delivery.
    pub trunk: Trunk,
    /// The branches.
    pub branches: Vec<CaseBranch>,
    /// Viscosity and friction law.
    pub water: PipeWater,
    /// Density of the water (kg/m3).
    pub density_kg_m3: f64,
    /// Pump above the water (m).
    pub lift_m: f64,
    /// Manifold above the water (m).
    pub manifold_m: f64,
    /// True over nominal sizes of the hoses.
    pub tolerance: Tolerance,
}

/// One thing done to the water of a plant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// The pump runs at this share of its present speed.
    Speed(f64),
    /// The pump gives this many times the flow at the same head: a wider pump of the same kind.
    PumpFlow(f64),
    /// The pump gives this many times the head at the same flow.
    PumpHead(f64),
    /// Suction hose of this nominal bore (m).
    SuctionBore(f64),
    /// Delivery hose of this nominal bore (m).
    DeliveryBore(f64),
    /// Hose to a branch of this nominal bore (m).
    HoseBore {
        /// Which branch.
        branch: usize,
        /// Nominal bore (m).
        bore_m: f64,
    },
    /// A branch is shut.
    Close {
        /// Which branch.
        branch: usize,
    },
    /// A valve or orifice with this loss coefficient more is put into the hose of a branch.
    Throttle {
        /// Which branch.
        branch: usize,
        /// Loss coefficient, referred to the speed in the hose.
        loss_coefficient: f64,
    },
    /// An outlet has this many holes or nozzles.
    Holes {
        /// Which branch.
        branch: usize,
        /// How many.
        count: f64,
    },
    /// The holes of an outlet have this diameter (m).
    HoleSize {
        /// Which branch.
        branch: usize,
        /// Diameter (m).
        hole_m: f64,
    },
    /// This share of the holes that were open is plugged.
    Plugged {
        /// Which branch.
        branch: usize,
        /// Share of the open holes (-).
        share: f64,
    },
    /// The pump stands higher above the water by this much (m), or the water lower.
    Lift(f64),
}

impl WaterCase {
    /// The case of a plant's line in the last trial of a worker.
    pub fn of(plant: &Plant, worker: &Worker<'_>, line: usize) -> Option<WaterCase> {
        let (line, state): (&Line, &LineState) = (plant.lines.get(line)?, worker.lines.get(line)?);
        let branches = line
            .outlets
            .iter()
            .zip(state.branches().iter().zip(state.open_shares()))
            .filter_map(|(o, (branch, open_share))| {
                let node = plant.outlets.get(*o)?;
                let facts = node.outlet.facts()?;
                Some(CaseBranch { id: node.id.clone(), facts, branch: *branch, open_share: *open_share })
            })
            .collect();
        Some(WaterCase {
            pump: line.id.clone(),
            curve: line.supply.curve.clone(),
            duty: state.duty,
            trunk: state.trunk,
            branches,
            water: state.water,
            density_kg_m3: worker.ground.water.density_kg_m3,
            lift_m: state.lift_m,
            manifold_m: state.manifold_m,
            tolerance: state.tolerance,
        })
    }

    /// The middle case of a plant's line, every input at its middle.
    pub fn middle(plant: &Plant, line: usize) -> Option<WaterCase> {
        WaterCase::of(plant, &Worker::new(plant, plant.seed), line)
    }

    /// Number of the branch of an outlet.
    pub fn branch(&self, id: &str) -> Option<usize> {
        self.branches.iter().position(|b| b.id == id)
    }

    /// The case with some things changed. A branch that does not exist changes nothing.
    #[must_use]
    pub fn with(&self, changes: &[Change]) -> WaterCase {
        let mut case = self.clone();
        for change in changes {
            case.apply(*change);
        }
        case
    }

    fn apply(&mut self, change: Change) {
        let bore = self.tolerance.bore;
        match change {
            Change::Speed(ratio) => self.duty.speed_ratio *= ratio,
            Change::PumpFlow(factor) => self.curve = self.curve.wider(factor),
            Change::PumpHead(factor) => self.duty.head_factor *= factor,
            Change::SuctionBore(bore_m) => self.trunk.suction.bore_m = bore_m * bore,
            Change::DeliveryBore(bore_m) => self.trunk.delivery.bore_m = bore_m * bore,
            Change::Lift(more_m) => {
                self.lift_m += more_m;
                self.manifold_m += more_m;
                self.branches.iter_mut().for_each(|b| b.branch.elevation_m += more_m);
            }
            Change::HoseBore { branch, bore_m } => {
                if let Some(b) = self.branches.get_mut(branch) {
                    b.branch.hose.bore_m = bore_m * bore;
                }
            }
            Change::Close { branch } => {
                if let Some(b) = self.branches.get_mut(branch) {
                    b.branch.outlet = Outlet::Nozzles { coefficient: 0.0 };
                }
            }
            Change::Throttle { branch, loss_coefficient } => {
                if let Some(b) = self.branches.get_mut(branch) {
                    b.branch.hose.loss_coefficient += loss_coefficient;
                }
            }
            Change::Holes { branch, count } => {
                if let Some(b) = self.branches.get_mut(branch) {
                    let ratio = count / b.facts.holes;
                    b.facts.holes = count;
                    match &mut b.branch.outlet {
                        // A bar has whole holes; what a part of a hole would pass goes to all.
                        Outlet::Bar { holes, .. } => {
                            let whole = count.round().max(1.0);
                            *holes =
                                EqualHoles { count: whole as usize, coefficient: holes.coefficient * count / whole };
                        }
                        Outlet::Nozzles { coefficient } => *coefficient *= ratio,
                        Outlet::Open => {}
                    }
                }
            }
            Change::HoleSize { branch, hole_m } => {
                if let Some(b) = self.branches.get_mut(branch) {
                    let ratio = hole_m / b.facts.hole_m;
                    b.facts.hole_m = hole_m;
                    scale_holes(&mut b.branch.outlet, ratio * ratio);
                }
            }
            Change::Plugged { branch, share } => {
                if let Some(b) = self.branches.get_mut(branch) {
                    b.open_share *= 1.0 - share;
                    scale_holes(&mut b.branch.outlet, 1.0 - share);
                }
            }
        }
    }

    /// Branches without their names.
    fn bare(&self) -> Vec<Branch> {
        self.branches.iter().map(|b| b.branch).collect()
    }

    /// Heads and flows by the fast path.
    pub fn solve(&self) -> Result<ManifoldFlow, NetworkError> {
        solve_manifold(&self.trunk, &self.curve.running(self.duty), &self.bare(), self.water, None)
    }

    /// Heads and flows by Newton on all of them at once: flow of the pump and of each branch (m3/s), head at the manifold (m).
    pub fn solve_reference(&self) -> Result<(f64, Vec<f64>, f64), NetworkError> {
        let names: Vec<&str> = self.branches.iter().map(|b| b.id.as_str()).collect();
        let (network, pump, manifold, outlets) =
            manifold_network(&self.trunk, &self.curve, self.duty, &self.bare(), (&self.pump, &names));
        let flow: NetworkFlow = network.solve(self.water)?;
        Ok((flow.flow_m3_s(pump), outlets.iter().map(|o| flow.flow_m3_s(*o)).collect(), flow.head_m(manifold)))
    }

    /// Points of the pump's curve as it runs: flow (m3/s), head (m), from no flow to the last typed point.
    pub fn pump_points(&self, count: usize) -> Vec<(f64, f64)> {
        let pump = self.curve.running(self.duty);
        let end = self.duty.speed_ratio * self.curve.last_flow_m3_s();
        (0..count)
            .map(|i| {
                let q = end * i as f64 / count.saturating_sub(1).max(1) as f64;
                (q, pump.head_and_slope(q).0)
            })
            .collect()
    }

    /// Points of the plant's own curve: flow (m3/s) and the head (m) that suction, delivery, heights, hoses and outlets ask for it, up to
    /// about `most_flow_m3_s`. Empty when no branch is open.
    pub fn plant_points(&self, most_flow_m3_s: f64, count: usize) -> Vec<(f64, f64)> {
        let mut points = Vec::with_capacity(count);
        let lift_m = self.branches.iter().map(|b| b.branch.elevation_m).fold(f64::INFINITY, f64::min);
        if !lift_m.is_finite() {
            return points;
        }
        let lift_m = lift_m - self.trunk.source_head_m;
        points.push((0.0, lift_m));
        let strong = self.with(&[Change::PumpFlow(FLAT)]);
        let least = (lift_m / self.curve.running(self.duty).shutoff_head_m()).max(0.0);
        let most = self.head_factor_at(most_flow_m3_s).max(1.001 * least);
        for i in 1..count {
            // Flow goes about with the root of the head above the lift.
            let share = i as f64 / (count - 1).max(1) as f64;
            let factor = least + (most - least) * share * share;
            if let Ok(flow) = strong.with(&[Change::PumpHead(factor)]).solve() {
                points.push((flow.pump_flow_m3_s, flow.pump_head_m));
            }
        }
        points
    }

    /// Factor on the pump's head at which the plant takes a flow.
    fn head_factor_at(&self, flow_m3_s: f64) -> f64 {
        // A pump far stronger than needed, to bracket from above.
        let (mut low, mut high) = (1e-3, 1.0);
        let enough = |factor: f64| {
            self.with(&[Change::PumpFlow(FLAT), Change::PumpHead(factor)])
                .solve()
                .is_ok_and(|flow| flow.pump_flow_m3_s >= flow_m3_s)
        };
        while !enough(high) && high < MOST_HEAD_FACTOR {
            low = high;
            high *= 2.0;
        }
        for _ in 0..BISECTIONS {
            let middle = 0.5 * (low + high);
            if enough(middle) { high = middle } else { low = middle }
        }
        high
    }

    /// Flow and head on the plant's own curve at which a condition on the flows is met for the first time; `None` when no head
    /// within reason meets it. The condition must not turn back as the head grows.
    pub fn duty_for(&self, met: impl Fn(&ManifoldFlow) -> bool) -> Option<(f64, f64)> {
        let strong = self.with(&[Change::PumpFlow(FLAT)]);
        let at = |factor: f64| strong.with(&[Change::PumpHead(factor)]).solve().ok();
        let good = |factor: f64| at(factor).is_some_and(|flow| met(&flow));
        let (mut low, mut high) = (0.0, 1.0);
        while !good(high) {
            low = high;
            high *= 2.0;
            if high > MOST_HEAD_FACTOR {
                return None;
            }
        }
        for _ in 0..BISECTIONS {
            let middle = 0.5 * (low + high);
            if good(middle) { high = middle } else { low = middle }
        }
        at(high).map(|flow| (flow.pump_flow_m3_s, flow.pump_head_m))
    }

    /// Each hole of a bar from inlet to dead end, in the solved case; `None` when the branch is no bar or gets no water.
    pub fn holes_of(&self, flow: &ManifoldFlow, branch: usize) -> Option<BarFlow> {
        let Outlet::Bar { tube, holes } = self.branches.get(branch)?.branch.outlet else { return None };
        solve_bar(&tube, &holes, self.water, *flow.outlet_head_m.get(branch)?).ok()
    }
}

/// A pump so wide that its head hardly falls with the flow: its head alone is then the unknown.
const FLAT: f64 = 100.0;
/// Most heads of the present pump that are tried.
const MOST_HEAD_FACTOR: f64 = 64.0;
/// Halvings of a bracket: to a millionth.
const BISECTIONS: usize = 24;

fn scale_holes(outlet: &mut Outlet, factor: f64) {
    match outlet {
        Outlet::Bar { holes, .. } => holes.coefficient *= factor,
        Outlet::Nozzles { coefficient } => *coefficient *= factor,
        Outlet::Open => {}
    }
}
