//! How a spray bar spreads its water over its holes, from the solved manifold, without allocation.

use washgraph_physics::hydraulics::manifold::{Branch, HOLES_PER_FRICTION, ManifoldFlow, Outlet};
use washgraph_physics::hydraulics::spray_bar::{PipeWater, march_bar};

/// Flow of the holes of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleSpread {
    /// Flow of the first open hole (m3/s).
    pub first_m3_s: f64,
    /// Flow of the last open hole (m3/s).
    pub last_m3_s: f64,
    /// Flow of the weakest hole (m3/s).
    pub least_m3_s: f64,
    /// Flow of the strongest hole (m3/s).
    pub most_m3_s: f64,
    /// Mean flow of a hole (m3/s).
    pub mean_m3_s: f64,
    /// Head over the weakest hole (m).
    pub least_head_m: f64,
    /// Which hole is the weakest, counted from 0 at the inlet.
    pub weakest: usize,
    /// Holes without pressure.
    pub dry_holes: usize,
}

/// Marches branch `j` of a solved manifold once more; `None` when it is no bar or gets no water.
///
/// Holes carry the mean of open and plugged ones: an open hole passes `1/(1 - plugged)` times as much.
pub fn hole_spread(flow: &ManifoldFlow, branch: &Branch, j: usize, water: PipeWater) -> Option<HoleSpread> {
    let Outlet::Bar { tube, holes } = branch.outlet else { return None };
    let last_head_m = flow.last_hole_head_m(j, &tube)?;
    let mut spread = HoleSpread {
        first_m3_s: 0.0,
        last_m3_s: 0.0,
        least_m3_s: f64::INFINITY,
        most_m3_s: 0.0,
        mean_m3_s: 0.0,
        least_head_m: 0.0,
        weakest: 0,
        dry_holes: 0,
    };
    let end = holes.count.checked_sub(1)?;
    let inlet = march_bar(&tube, &holes, water, last_head_m, HOLES_PER_FRICTION, |i, q, head| {
        if i == end {
            spread.last_m3_s = q;
        }
        spread.first_m3_s = q;
        if q < spread.least_m3_s {
            spread.least_m3_s = q;
            spread.least_head_m = head;
            spread.weakest = i;
        }
        spread.most_m3_s = spread.most_m3_s.max(q);
    });
    spread.mean_m3_s = inlet.flow_m3_s / holes.count as f64;
    spread.dry_holes = inlet.dry_holes;
    Some(spread)
}
