//! A second way to solve a manifold plant, written apart to test the first two: scalars nested in scalars, each bracketed.
//!
//! The flow of a branch grows with the head at the manifold, and so does their sum; what the trunk can hold up at that sum falls. So each
//! is found between bounds, with no derivative and no linear algebra.

use super::manifold::{Branch, Outlet, Trunk};
use super::pump::RunningPump;
use super::root::bracketed_root;
use super::spray_bar::{PipeWater, bar_inlet};

/// Manifold head and branch flows.
pub(crate) fn solve_nested(
    trunk: &Trunk,
    pump: &RunningPump<'_>,
    branches: &[Branch],
    water: PipeWater,
) -> Option<(f64, Vec<f64>)> {
    let flows = |head: f64| -> Vec<f64> { branches.iter().map(|b| branch_flow(b, head, water)).collect() };
    let nu = water.kinematic_viscosity_m2_s;
    let excess = |head: f64| {
        let q: f64 = flows(head).iter().sum();
        let lost = trunk.suction.head_loss_m(q, nu, water.law) + trunk.delivery.head_loss_m(q, nu, water.law);
        trunk.source_head_m + pump.head_and_slope(q).0 - lost - head
    };
    let low = branches.iter().map(|b| b.elevation_m).fold(f64::INFINITY, f64::min);
    let head = bracketed_root(excess, low, trunk.source_head_m + pump.shutoff_head_m(), 1e-12)?;
    Some((head, flows(head)))
}

/// Flow of a branch at a manifold head.
fn branch_flow(branch: &Branch, manifold_head_m: f64, water: PipeWater) -> f64 {
    let over = manifold_head_m - branch.elevation_m;
    if over <= 0.0 {
        return 0.0;
    }
    let hose_loss = |q: f64| branch.hose.head_loss_m(q, water.kinematic_viscosity_m2_s, water.law);
    let outlet_flow = |head: f64| match branch.outlet {
        Outlet::Nozzles { coefficient } => coefficient * head.max(0.0).sqrt(),
        Outlet::Bar { tube, holes } => bar_inlet(&tube, &holes, water, head).map_or(0.0, |(inlet, _)| inlet.flow_m3_s),
        Outlet::Open => 0.0,
    };
    // Twenty metres a second is more than any hose of a plant runs.
    let high = 20.0 * branch.hose.area_m2();
    let excess = |q: f64| match branch.outlet {
        Outlet::Open => over - hose_loss(q),
        _ => outlet_flow(over - hose_loss(q)) - q,
    };
    bracketed_root(excess, 0.0, high, 1e-15).unwrap_or(0.0)
}
