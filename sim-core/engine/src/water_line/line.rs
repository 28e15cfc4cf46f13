//! One pump with all that it feeds, solved trial by trial.

use washgraph_physics::hydraulics::manifold::{Branch, solve_manifold};
use washgraph_physics::hydraulics::pipe::FrictionLaw;
use washgraph_physics::hydraulics::spray_bar::PipeWater;
use washgraph_physics::particle::water::WaterState;
use washgraph_stats::draw::Draws;
use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;

use crate::plumbing::{LineState, NO_BRANCH, OutletState, Supply};
use crate::stage::Outlet;

/// A water outlet in its place.
pub struct OutletNode {
    /// Id in the scenario.
    pub id: String,
    /// Its kind.
    pub kind: &'static str,
    /// The id of the stage, or `stage.section`, that it is mounted on.
    pub on: String,
    /// Id of the pump that feeds it; `None` when its pressure or flow was typed.
    pub fed_by: Option<String>,
    /// The outlet.
    pub outlet: Box<dyn Outlet>,
}

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
