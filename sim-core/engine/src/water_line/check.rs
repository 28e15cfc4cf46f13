//! The middle case of a line, looked at once before any trial.

use super::line::{Line, OutletNode};
use crate::plumbing::{LineState, OutletState};
use washgraph_physics::hydraulics::manifold::{MAX_BRANCHES, manifold_network};
use washgraph_physics::hydraulics::network::NetworkError;
use washgraph_physics::particle::water::WaterState;
use washgraph_stats::draw::Draws;

/// Agreement asked of the two ways to solve a line. Very narrow bars come to 1e-4.
const AGREEMENT: f64 = 1e-3;

/// Solves the middle case by Newton on all heads and flows; the error is the message and what would put it right.
pub fn check_line(
    line: &Line,
    draws: &Draws,
    water: &WaterState,
    outlets: &[OutletNode],
) -> Result<(), (String, String)> {
    if line.outlets.len() > MAX_BRANCHES {
        return Err(in_words(&NetworkError::TooManyBranches { count: line.outlets.len(), limit: MAX_BRANCHES }));
    }
    let mut state = LineState::default();
    let mut flows = vec![OutletState::default(); outlets.len()];
    line.solve(draws, water, outlets, &mut state, None, &mut flows);
    let fast = state.flow.as_ref().map_err(in_words)?;
    let names: Vec<&str> = line.outlets.iter().filter_map(|o| outlets.get(*o)).map(|o| o.id.as_str()).collect();
    let (network, pump, _, _) =
        manifold_network(&state.trunk, &line.supply.curve, state.duty, state.branches(), (&line.id, &names));
    for (j, name) in names.iter().enumerate() {
        if fast.dry[j] {
            let short_m = state.branches()[j].elevation_m - fast.manifold_head_m;
            return Err(in_words(&NetworkError::DryBranch { link: (*name).to_owned(), short_m }));
        }
    }
    let reference = network.solve(state.water).map_err(|e| in_words(&e))?;
    let ratio = fast.pump_flow_m3_s / reference.flow_m3_s(pump);
    if (ratio - 1.0).abs() < AGREEMENT {
        return Ok(());
    }
    Err((
        format!("the two ways to solve the water of `{}` differ by {:.2} %", line.id, 100.0 * (ratio - 1.0).abs()),
        "this is a fault of the program; a spray bar with a wider bore is solved well".into(),
    ))
}

fn in_words(error: &NetworkError) -> (String, String) {
    let help = match error {
        NetworkError::NoIntersection { .. } => {
            "check heights (lift, manifold_height) and the points of the curve; else a pump with more head, a faster engine, or a lower manifold"
        }
        NetworkError::DryBranch { .. } => {
            "lower it, close or throttle what lies below it, or take a pump with more head"
        }
        NetworkError::NoOutlet => "open an outlet: holes that are all plugged pass nothing",
        NetworkError::TooManyBranches { .. } => {
            "join outlets of one kind into one with more holes, or add a second pump"
        }
        NetworkError::Loop { .. } => "take out the pipe that closes the ring",
        NetworkError::Unfed { .. } => "join it to the manifold",
        NetworkError::DidNotConverge { .. } => "check bores and lengths for a slip in the unit",
    };
    (error.to_string(), help.into())
}
