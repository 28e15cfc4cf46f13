//! One pump with all that it feeds, solved trial by trial.

use super::hose::Tolerance;
use super::supply::Supply;
use crate::constants::STANDARD_GRAVITY_M_S2 as G;
use crate::draw::Draws;
use crate::hydraulics::manifold::{Branch, MAX_BRANCHES, ManifoldFlow, Outlet, Trunk, solve_manifold};
use crate::hydraulics::network::NetworkError;
use crate::hydraulics::pipe::{FrictionLaw, PipeRun};
use crate::hydraulics::pump::PumpDuty;
use crate::hydraulics::spray_bar::PipeWater;
use crate::particle::water::WaterState;
use crate::plant::OutletNode;
use crate::stage::OutletState;

/// A pump and the outlets that draw from its manifold.
#[derive(Debug, Clone)]
pub struct Line {
    /// Id of the stage that pumps.
    pub id: String,
    /// The pump with its hoses.
    pub supply: Supply,
    /// Numbers of the outlets in the plant, in order of branches.
    pub outlets: Vec<usize>,
}

/// A line in the last trial.
#[derive(Debug, Clone)]
pub struct LineState {
    /// Suction and delivery.
    pub trunk: Trunk,
    /// Speed and wear of the pump.
    pub duty: PumpDuty,
    /// Level of the manifold above the water (m).
    pub manifold_m: f64,
    /// Level of the pump above the water (m).
    pub lift_m: f64,
    /// True over nominal sizes of the hoses.
    pub tolerance: Tolerance,
    /// Viscosity and friction law.
    pub water: PipeWater,
    /// Branches; the first `count` are in use.
    branches: [Branch; MAX_BRANCHES],
    count: usize,
    /// Share of the holes of each branch that is open.
    open_share: [f64; MAX_BRANCHES],
    /// Heads and flows, or why there are none.
    pub flow: Result<ManifoldFlow, NetworkError>,
    /// Answer of the middle case, from which every trial starts.
    start: Option<ManifoldFlow>,
}

const NO_RUN: PipeRun = PipeRun { length_m: 0.0, bore_m: 0.1, roughness_m: 0.0, loss_coefficient: 0.0 };
const NO_BRANCH: Branch = Branch { hose: NO_RUN, elevation_m: 0.0, outlet: Outlet::Nozzles { coefficient: 0.0 } };

impl Default for LineState {
    fn default() -> Self {
        LineState {
            trunk: Trunk { source_head_m: 0.0, suction: NO_RUN, delivery: NO_RUN },
            duty: PumpDuty::default(),
            manifold_m: 0.0,
            lift_m: 0.0,
            tolerance: Tolerance::NOMINAL,
            water: PipeWater { kinematic_viscosity_m2_s: 1.3e-6, law: FrictionLaw::Churchill },
            branches: [NO_BRANCH; MAX_BRANCHES],
            count: 0,
            open_share: [1.0; MAX_BRANCHES],
            flow: Err(NetworkError::NoOutlet),
            start: None,
        }
    }
}

impl LineState {
    /// The branches.
    pub fn branches(&self) -> &[Branch] {
        &self.branches[..self.count]
    }

    /// Share of the holes of each branch that is open.
    pub fn open_shares(&self) -> &[f64] {
        &self.open_share[..self.count]
    }

    /// Whether another line asks the same question from the same start.
    fn is_alike(&self, other: &LineState) -> bool {
        (self.trunk == other.trunk && self.duty == other.duty && self.water == other.water)
            && (self.branches() == other.branches() && self.start == other.start)
    }

    /// Pressure that a gauge on the manifold shows (Pa).
    pub fn gauge_pa(&self, density_kg_m3: f64) -> f64 {
        self.flow.as_ref().map_or(0.0, |flow| (flow.manifold_head_m - self.manifold_m) * density_kg_m3 * G)
    }
}

impl Line {
    /// Puts the line together for a trial.
    pub(super) fn assemble(&self, draws: &Draws, water: &WaterState, outlets: &[OutletNode], state: &mut LineState) {
        let tolerance = self.supply.tolerance(draws);
        state.tolerance = tolerance;
        state.trunk = self.supply.trunk(&tolerance);
        state.duty = self.supply.duty(draws);
        state.lift_m = self.supply.lift.get(draws);
        state.manifold_m = self.supply.manifold_m(draws);
        state.water =
            PipeWater { kinematic_viscosity_m2_s: water.kinematic_viscosity_m2_s(), law: FrictionLaw::Churchill };
        state.count = 0;
        for (slot, outlet) in state.branches.iter_mut().zip(&self.outlets) {
            let node = outlets.get(*outlet);
            state.open_share[state.count] = node.map_or(1.0, |o| o.outlet.open_share(draws));
            let branch = node.and_then(|o| o.outlet.branch(draws, &tolerance));
            *slot = branch.map_or(NO_BRANCH, |b| Branch { elevation_m: state.manifold_m + b.elevation_m, ..b });
            state.count += 1;
        }
    }

    /// Solves the line for a trial and writes flow and pressure of its outlets. Without an answer they get nothing. `solved`
    /// is a line with the same curve in the same trial, if one is known: when all else is the same, so is its answer.
    pub fn solve(
        &self,
        draws: &Draws,
        water: &WaterState,
        outlets: &[OutletNode],
        state: &mut LineState,
        solved: Option<&LineState>,
        outlet_states: &mut [OutletState],
    ) {
        self.assemble(draws, water, outlets, state);
        let pump = self.supply.curve.running(state.duty);
        let start = if draws.is_middle() { None } else { state.start.as_ref() };
        state.flow = match solved.filter(|s| s.is_alike(state) && !draws.is_middle()) {
            Some(solved) => solved.flow.clone(),
            None => solve_manifold(&state.trunk, &pump, state.branches(), state.water, start),
        };
        if draws.is_middle() {
            state.start = state.flow.as_ref().ok().copied();
        }
        for (j, outlet) in self.outlets.iter().enumerate() {
            let Some(slot) = outlet_states.get_mut(*outlet) else { continue };
            *slot = match &state.flow {
                Ok(flow) => OutletState {
                    flow_m3_s: flow.branch_flow_m3_s[j],
                    pressure_pa: flow.outlet_head_m[j] * water.density_kg_m3 * G,
                },
                Err(_) => OutletState::default(),
            };
        }
    }
}
