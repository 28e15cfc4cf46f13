//! What a line of water and its outlets are in a trial.

use washgraph_physics::hydraulics::manifold::{Branch, MAX_BRANCHES, ManifoldFlow, Outlet, Trunk};
use washgraph_physics::hydraulics::network::NetworkError;
use washgraph_physics::hydraulics::pipe::{FrictionLaw, PipeRun};
use washgraph_physics::hydraulics::pump::PumpDuty;
use washgraph_physics::hydraulics::spray_bar::PipeWater;
use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;

use super::hose::Tolerance;

/// State of one water outlet in a trial.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct OutletState {
    /// Flow, m3/s.
    pub flow_m3_s: f64,
    /// Pressure ahead of the holes, Pa (0 for an open pipe).
    pub pressure_pa: f64,
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
    pub(crate) branches: [Branch; MAX_BRANCHES],
    pub(crate) count: usize,
    /// Share of the holes of each branch that is open.
    pub(crate) open_share: [f64; MAX_BRANCHES],
    /// Heads and flows, or why there are none.
    pub flow: Result<ManifoldFlow, NetworkError>,
    /// Answer of the middle case, from which every trial starts.
    pub(crate) start: Option<ManifoldFlow>,
}

const NO_RUN: PipeRun = PipeRun { length_m: 0.0, bore_m: 0.1, roughness_m: 0.0, loss_coefficient: 0.0 };
pub(crate) const NO_BRANCH: Branch =
    Branch { hose: NO_RUN, elevation_m: 0.0, outlet: Outlet::Nozzles { coefficient: 0.0 } };

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
    pub(crate) fn is_alike(&self, other: &LineState) -> bool {
        (self.trunk == other.trunk && self.duty == other.duty && self.water == other.water)
            && (self.branches() == other.branches() && self.start == other.start)
    }

    /// Pressure that a gauge on the manifold shows (Pa).
    pub fn gauge_pa(&self, density_kg_m3: f64) -> f64 {
        self.flow.as_ref().map_or(0.0, |flow| (flow.manifold_head_m - self.manifold_m) * density_kg_m3 * G)
    }
}
