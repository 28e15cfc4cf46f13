//! The plant's water in a trial: one unknown, the head at the manifold.
//!
//! ```text
//!   pond --suction-- pump --delivery--[ manifold, head H ]--branch 1 .. n, each a hose and an outlet
//!   each branch:  q_j = sqrt((H - z_j)/R_j),   R_j = r_hose + 1/c_j^2
//!   one equation: pond + H_pump(Q) - r_trunk Q^2 - H = 0,   Q = sum q_j          (falls as H grows: one root)
//! ```
//! Friction factors stand still within a Newton step and are renewed after it where the flow has moved, a bar's `c` is marched twice on the
//! way. No allocation. The start must not depend
//! on the trial before, or results would depend on how trials are shared among threads: start every trial from the same
//! middle case.

use super::network::{LinkId, Network, NetworkError, NodeId};
use super::pipe::PipeRun;
use super::pump::{PumpCurve, PumpDuty, RunningPump};
use super::spray_bar::{BarTube, EqualHoles, PipeWater, march_bar};

/// Most branches on a manifold.
pub const MAX_BRANCHES: usize = 16;
/// Most Newton steps of a trial.
const MAX_STEPS: usize = 60;
/// Steps before which a bar's coefficient is renewed.
const BAR_STEPS: [usize; 2] = [1, 3];
/// Change of head at which a trial has settled, as a share of the head available.
const SETTLED: f64 = 1e-7;
/// Change of a flow, as a share, from which its friction factor is renewed; a factor moves by a tenth of it or so.
const RENEW_FRICTION: f64 = 1e-4;
/// Holes of a bar between two renewals of its friction factor.
pub const HOLES_PER_FRICTION: usize = 8;

/// From the pond to the manifold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trunk {
    /// Level of the pond (m above datum).
    pub source_head_m: f64,
    /// Suction line with strainer and foot valve.
    pub suction: PipeRun,
    /// Delivery hose up to the manifold.
    pub delivery: PipeRun,
}

/// What a branch ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outlet {
    /// Nozzles or holes with this emitter coefficient together (m^2.5/s); 0 when shut.
    Nozzles {
        /// Sum of the emitter coefficients (m^2.5/s).
        coefficient: f64,
    },
    /// An open hose end; its exit loss belongs to the hose's loss coefficient.
    Open,
    /// A spray bar.
    Bar {
        /// The pipe.
        tube: BarTube,
        /// Its holes.
        holes: EqualHoles,
    },
}

/// A branch of the manifold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Hose from the manifold to the outlet.
    pub hose: PipeRun,
    /// Level of the outlet, of a bar its inlet (m above datum).
    pub elevation_m: f64,
    /// The outlet.
    pub outlet: Outlet,
}

/// Heads and flows of the plant's water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ManifoldFlow {
    /// Head at the manifold (m above datum).
    pub manifold_head_m: f64,
    /// Flow through the pump (m3/s).
    pub pump_flow_m3_s: f64,
    /// Head of the pump (m).
    pub pump_head_m: f64,
    /// Loss of the suction line (m).
    pub suction_loss_m: f64,
    /// Loss of the delivery (m).
    pub delivery_loss_m: f64,
    /// Flow of each branch (m3/s); 0 for one that is shut or that the head does not reach.
    pub branch_flow_m3_s: [f64; MAX_BRANCHES],
    /// Head at each outlet above its level (m).
    pub outlet_head_m: [f64; MAX_BRANCHES],
    /// Whether the head fails to reach an open branch.
    pub dry: [bool; MAX_BRANCHES],
    /// Steps taken.
    pub steps: usize,
    /// Emitter coefficient of each outlet (m^2.5/s); infinite for an open end.
    coefficient: [f64; MAX_BRANCHES],
    /// Of a bar: head over the last hole over head at the inlet, both above the level of the last hole.
    last_share: [f64; MAX_BRANCHES],
}

impl ManifoldFlow {
    /// Head over the last hole of the bar on branch `j` (m); `None` when it gets no water.
    pub fn last_hole_head_m(&self, j: usize, tube: &BarTube) -> Option<f64> {
        let above_end = self.outlet_head_m.get(j)? - tube.rise_m;
        (above_end > 0.0).then(|| self.last_share[j] * above_end)
    }

    /// A start without knowledge of a similar case.
    fn cold(trunk: &Trunk, pump: &RunningPump<'_>, branches: &[Branch], lowest_m: f64) -> ManifoldFlow {
        let mut flow = ManifoldFlow {
            manifold_head_m: lowest_m + 0.6 * (trunk.source_head_m + pump.shutoff_head_m() - lowest_m),
            pump_flow_m3_s: pump.middle_flow_m3_s(),
            pump_head_m: 0.0,
            suction_loss_m: 0.0,
            delivery_loss_m: 0.0,
            branch_flow_m3_s: [0.0; MAX_BRANCHES],
            outlet_head_m: [0.0; MAX_BRANCHES],
            dry: [false; MAX_BRANCHES],
            steps: 0,
            coefficient: [f64::INFINITY; MAX_BRANCHES],
            last_share: [1.0; MAX_BRANCHES],
        };
        for (j, branch) in branches.iter().enumerate() {
            // Two metres a second in the hose.
            flow.branch_flow_m3_s[j] = 2.0 * branch.hose.area_m2();
            if let Outlet::Bar { holes, .. } = branch.outlet {
                flow.coefficient[j] = holes.count as f64 * holes.coefficient;
            }
        }
        flow
    }
}

fn is_open(branch: &Branch) -> bool {
    match branch.outlet {
        Outlet::Nozzles { coefficient } => coefficient > 0.0,
        Outlet::Open => true,
        Outlet::Bar { holes, .. } => holes.count > 0 && holes.coefficient > 0.0,
    }
}

/// Heads and flows of a manifold plant.
///
/// `start` is the answer of a similar case with the same branches (the middle case), or `None`. A branch that the head does not reach
/// is marked dry and passes nothing. Agrees with [`Network::solve`] within 2e-5 on bars of usual
/// bore, within 1e-4 on very narrow ones.
pub fn solve_manifold(
    trunk: &Trunk,
    pump: &RunningPump<'_>,
    branches: &[Branch],
    water: PipeWater,
    start: Option<&ManifoldFlow>,
) -> Result<ManifoldFlow, NetworkError> {
    let count = branches.len();
    if count > MAX_BRANCHES {
        return Err(NetworkError::TooManyBranches { count, limit: MAX_BRANCHES });
    }
    let mut lowest_m = f64::INFINITY;
    for branch in branches.iter().filter(|branch| is_open(branch)) {
        lowest_m = lowest_m.min(branch.elevation_m);
    }
    if !lowest_m.is_finite() {
        return Err(NetworkError::NoOutlet);
    }
    let highest_m = trunk.source_head_m + pump.shutoff_head_m();
    if !(highest_m > lowest_m) {
        return Err(NetworkError::NoIntersection {
            pump: "the pump".to_owned(),
            shutoff_m: pump.shutoff_head_m(),
            needed_m: lowest_m - trunk.source_head_m,
        });
    }
    let mut state = match start {
        Some(start) => *start,
        None => ManifoldFlow::cold(trunk, pump, branches, lowest_m),
    };
    for (j, branch) in branches.iter().enumerate() {
        match branch.outlet {
            Outlet::Nozzles { coefficient } => state.coefficient[j] = coefficient,
            Outlet::Open => state.coefficient[j] = f64::INFINITY,
            Outlet::Bar { .. } => {}
        }
    }
    let mut friction = Frictions::default();
    let mut change_m = f64::INFINITY;
    for step in 0..MAX_STEPS {
        if BAR_STEPS.contains(&step) {
            renew_bars(&mut state, branches, water);
        }
        change_m = newton_step(&mut state, &mut friction, trunk, pump, branches, water, (lowest_m, highest_m));
        state.steps = step + 1;
        if step >= BAR_STEPS[1] && change_m.abs() < SETTLED * (highest_m - lowest_m) {
            return Ok(state);
        }
    }
    Err(NetworkError::DidNotConverge { steps: MAX_STEPS, mass_m3_s: 0.0, head_m: change_m })
}

/// Resistance of a run as last computed.
#[derive(Debug, Clone, Copy, Default)]
struct Friction {
    flow_m3_s: f64,
    resistance_s2_m5: f64,
}

impl Friction {
    /// Resistance of a run at a flow (s2/m5), computed anew if the flow has moved.
    #[inline]
    fn at(&mut self, run: &PipeRun, flow_m3_s: f64, water: PipeWater) -> f64 {
        if (flow_m3_s - self.flow_m3_s).abs() > RENEW_FRICTION * self.flow_m3_s || self.resistance_s2_m5 == 0.0 {
            let f = run.friction_factor(flow_m3_s, water.kinematic_viscosity_m2_s, water.law);
            *self = Friction { flow_m3_s, resistance_s2_m5: run.resistance_s2_m5(f) };
        }
        self.resistance_s2_m5
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct Frictions {
    suction: Friction,
    delivery: Friction,
    hose: [Friction; MAX_BRANCHES],
}

/// One step on the manifold head with the friction factors of the last flows; returns the change of head (m).
fn newton_step(
    state: &mut ManifoldFlow,
    friction: &mut Frictions,
    trunk: &Trunk,
    pump: &RunningPump<'_>,
    branches: &[Branch],
    water: PipeWater,
    (lowest_m, highest_m): (f64, f64),
) -> f64 {
    let pump_flow = state.pump_flow_m3_s;
    let suction = friction.suction.at(&trunk.suction, pump_flow, water);
    let delivery = friction.delivery.at(&trunk.delivery, pump_flow, water);
    let head = state.manifold_head_m;
    let (mut flow, mut slope) = (0.0, 0.0);
    let mut whole = [f64::INFINITY; MAX_BRANCHES];
    for (j, branch) in branches.iter().enumerate() {
        if !is_open(branch) {
            continue;
        }
        let c = state.coefficient[j];
        whole[j] = friction.hose[j].at(&branch.hose, state.branch_flow_m3_s[j], water) + 1.0 / (c * c);
        let over = head - branch.elevation_m;
        if over > 0.0 {
            let q = (over / whole[j]).sqrt();
            flow += q;
            slope += 0.5 * q / over;
        }
    }
    let (pump_head, pump_slope) = pump.head_and_slope(flow);
    let trunk_resistance = suction + delivery;
    let excess = trunk.source_head_m + pump_head - trunk_resistance * flow * flow - head;
    let excess_slope = (pump_slope - 2.0 * trunk_resistance * flow) * slope - 1.0;
    let mut next = head - excess / excess_slope;
    // The root lies between the lowest outlet and the head at no flow; the excess falls with the head.
    if !(next > lowest_m && next < highest_m) {
        next = 0.5 * (head + if excess > 0.0 { highest_m } else { lowest_m });
    }
    state.manifold_head_m = next;
    state.pump_flow_m3_s = 0.0;
    for (j, branch) in branches.iter().enumerate() {
        let over = next - branch.elevation_m;
        let q = if over > 0.0 { (over / whole[j]).sqrt() } else { 0.0 };
        let open = is_open(branch);
        state.dry[j] = open && over <= 0.0;
        state.branch_flow_m3_s[j] = q;
        state.outlet_head_m[j] = if open { q * q / (state.coefficient[j] * state.coefficient[j]) } else { 0.0 };
        state.pump_flow_m3_s += q;
    }
    let q2 = state.pump_flow_m3_s * state.pump_flow_m3_s;
    state.suction_loss_m = suction * q2;
    state.delivery_loss_m = delivery * q2;
    state.pump_head_m = next + suction * q2 + delivery * q2 - trunk.source_head_m;
    next - head
}

/// Marches each bar once, from the head over its last hole that fits the head at its inlet, and takes its new coefficient.
fn renew_bars(state: &mut ManifoldFlow, branches: &[Branch], water: PipeWater) {
    for (j, branch) in branches.iter().enumerate() {
        let Outlet::Bar { tube, holes } = &branch.outlet else {
            continue;
        };
        let inlet_head = state.outlet_head_m[j];
        let above_end = inlet_head - tube.rise_m;
        if !(inlet_head > 0.0 && above_end > 0.0) {
            continue;
        }
        let last = state.last_share[j] * above_end;
        let inlet = march_bar(tube, holes, water, last, HOLES_PER_FRICTION, |_, _, _| {});
        if inlet.total_head_m > tube.rise_m && inlet.flow_m3_s > 0.0 {
            state.last_share[j] = last / (inlet.total_head_m - tube.rise_m);
            state.coefficient[j] = inlet.coefficient();
        }
    }
}

/// The same plant as a [`Network`], to be solved by the other method or looked at place by place: network, pump, branch outlets.
/// `names` are those of the pump and of the branches, for messages; a branch without one is called by its number.
pub fn manifold_network(
    trunk: &Trunk,
    curve: &PumpCurve,
    duty: PumpDuty,
    branches: &[Branch],
    (pump_name, names): (&str, &[&str]),
) -> (Network, LinkId, NodeId, Vec<LinkId>) {
    let mut network = Network::default();
    let pond = network.fixed_head("the pond", trunk.source_head_m);
    let pump_in = network.junction("the pump's suction");
    let pump_out = network.junction("the pump's delivery");
    let manifold = network.junction("the manifold");
    network.pipe("the suction line", pond, pump_in, trunk.suction);
    let pump = network.pump(pump_name, pump_in, pump_out, curve.clone(), duty);
    network.pipe("the delivery", pump_out, manifold, trunk.delivery);
    let outlets = branches
        .iter()
        .enumerate()
        .map(|(j, branch)| {
            let name = names.get(j).map_or_else(|| format!("branch {}", j + 1), |name| (*name).to_owned());
            if branch.outlet == Outlet::Open {
                let end = network.fixed_head(&name, branch.elevation_m);
                return network.pipe(&name, manifold, end, branch.hose);
            }
            let end = network.junction(&name);
            network.pipe(&name, manifold, end, branch.hose);
            match branch.outlet {
                Outlet::Bar { tube, holes } => network.spray_bar(&name, end, tube, holes, branch.elevation_m),
                Outlet::Nozzles { coefficient } => network.emitter(&name, end, coefficient, branch.elevation_m),
                Outlet::Open => network.emitter(&name, end, 0.0, branch.elevation_m),
            }
        })
        .collect();
    (network, pump, manifold, outlets)
}
