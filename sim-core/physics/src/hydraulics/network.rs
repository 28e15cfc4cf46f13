//! The pressurised network, solved for all heads and flows at once.
//!
//! ```text
//!   pond (fixed head) --suction--> (pump) --delivery--> manifold --+--hose--> spray bar   ~ outside, at its level
//!                                                                  +--hose--> nozzles     ~
//!                                                                  +--hose--> open end    ~
//! ```
//! Each link from a to b: `H_a - H_b = h(q)`, with `q` from a to b and `h` growing with `q`; a pump has `h = -H(q)`. Each free node:
//! what flows in flows out. Newton's method on heads and flows together is the global gradient of Todini & Pilati (1988),
//! from memory: with `G = dh/dq`, `A` the incidence (+1 start, -1 end),
//!
//! ```text
//!   A^T G^-1 A H = -A^T (q - G^-1 h) - A^T G^-1 A0 H0        q += G^-1 (A H + A0 H0 - h)
//! ```
//! Plants are trees; a loop is refused, as it is a wiring mistake. This solver explains and tests; the trials run
//! [`super::manifold`], which gives the same numbers.

use thiserror::Error;

use super::network_newton::Newton;
use super::pipe::PipeRun;
use super::pump::{PumpCurve, PumpDuty};
use super::spray_bar::{BarTube, EqualHoles, HoleRow, PipeWater};

/// Most Newton steps.
const MAX_STEPS: usize = 100;
/// Mass balance to reach at each node, m3/s.
const MASS_TOLERANCE_M3_S: f64 = 1e-9;
/// Energy balance to reach on each link, m.
pub(super) const HEAD_TOLERANCE_M: f64 = 1e-6;

/// Why a network has no answer.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NetworkError {
    /// A link joins two places that are joined already.
    #[error("{link} closes a loop: a plant's water must branch out like a tree")]
    Loop {
        /// The link that closes it.
        link: String,
    },
    /// A place that no pond or tank can reach.
    #[error("no water source is connected to {node}")]
    Unfed {
        /// The place.
        node: String,
    },
    /// No outlet that could pass water.
    #[error("the network has no open outlet")]
    NoOutlet,
    /// More branches than the trial path holds.
    #[error("{count} branches on the manifold: at most {limit} are possible")]
    TooManyBranches {
        /// How many.
        count: usize,
        /// How many are possible.
        limit: usize,
    },
    /// The head does not reach an outlet.
    #[error("no water reaches {link}: the head there is {short_m:.2} m short of its level")]
    DryBranch {
        /// The outlet.
        link: String,
        /// Head missing (m).
        short_m: f64,
    },
    /// The pump cannot lift to the lowest outlet.
    #[error("{pump} cannot lift the water: its head at no flow is {shutoff_m:.1} m, {needed_m:.1} m are needed")]
    NoIntersection {
        /// The pump.
        pump: String,
        /// Its head at no flow (m).
        shutoff_m: f64,
        /// Head needed before any water flows (m).
        needed_m: f64,
    },
    /// The iteration stopped short.
    #[error("the water network did not settle in {steps} steps: {mass_m3_s:.1e} m3/s and {head_m:.1e} m are left over")]
    DidNotConverge {
        /// Steps taken.
        steps: usize,
        /// Mass left over (m3/s).
        mass_m3_s: f64,
        /// Head left over (m).
        head_m: f64,
    },
}

/// A place in a [`Network`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NodeId(usize);

/// A link of a [`Network`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LinkId(usize);

#[derive(Debug, Clone)]
pub(super) struct Node {
    name: String,
    pub(super) fixed_head_m: Option<f64>,
}

#[derive(Debug, Clone)]
pub(super) enum LinkKind {
    Pipe { to: usize, run: PipeRun },
    Pump { to: usize, curve: PumpCurve, duty: PumpDuty },
    Emitter { coefficient: f64, elevation_m: f64 },
    Bar { tube: BarTube, holes: EqualHoles, elevation_m: f64 },
}

#[derive(Debug, Clone)]
pub(super) struct Link {
    name: String,
    pub(super) from: usize,
    pub(super) kind: LinkKind,
}

/// Pond, pump, hoses and outlets, put together place by place.
#[derive(Debug, Clone, Default)]
pub struct Network {
    pub(super) nodes: Vec<Node>,
    pub(super) links: Vec<Link>,
}

/// Heads and flows of a solved network.
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkFlow {
    head_m: Vec<f64>,
    flow_m3_s: Vec<f64>,
    /// Newton steps taken.
    pub steps: usize,
    /// Largest mass left over at a node (m3/s).
    pub mass_residual_m3_s: f64,
    /// Largest head left over on a link (m).
    pub head_residual_m: f64,
}

impl NetworkFlow {
    /// Head at a place (m above datum); pressure head is this less its elevation.
    pub fn head_m(&self, node: NodeId) -> f64 {
        self.head_m[node.0]
    }
    /// Flow of a link (m3/s), positive from its first place to its second, or outwards.
    pub fn flow_m3_s(&self, link: LinkId) -> f64 {
        self.flow_m3_s[link.0]
    }
}

impl Network {
    /// A pond, tank or open end whose head is known.
    pub fn fixed_head(&mut self, name: &str, head_m: f64) -> NodeId {
        self.node(name, Some(head_m))
    }

    /// A place whose head is to be found.
    pub fn junction(&mut self, name: &str) -> NodeId {
        self.node(name, None)
    }

    fn node(&mut self, name: &str, fixed_head_m: Option<f64>) -> NodeId {
        self.nodes.push(Node { name: name.to_owned(), fixed_head_m });
        NodeId(self.nodes.len() - 1)
    }

    fn link(&mut self, name: &str, from: NodeId, kind: LinkKind) -> LinkId {
        self.links.push(Link { name: name.to_owned(), from: from.0, kind });
        LinkId(self.links.len() - 1)
    }

    /// A run of pipe or hose.
    pub fn pipe(&mut self, name: &str, from: NodeId, to: NodeId, run: PipeRun) -> LinkId {
        self.link(name, from, LinkKind::Pipe { to: to.0, run })
    }

    /// A pump from its suction to its delivery.
    pub fn pump(&mut self, name: &str, from: NodeId, to: NodeId, curve: PumpCurve, duty: PumpDuty) -> LinkId {
        self.link(name, from, LinkKind::Pump { to: to.0, curve, duty })
    }

    /// Nozzles or holes of emitter coefficient `c` together, spraying into the air at an elevation.
    pub fn emitter(&mut self, name: &str, from: NodeId, coefficient: f64, elevation_m: f64) -> LinkId {
        self.link(name, from, LinkKind::Emitter { coefficient, elevation_m })
    }

    /// A spray bar whose inlet lies at an elevation.
    pub fn spray_bar(
        &mut self,
        name: &str,
        from: NodeId,
        tube: BarTube,
        holes: EqualHoles,
        elevation_m: f64,
    ) -> LinkId {
        self.link(name, from, LinkKind::Bar { tube, holes, elevation_m })
    }

    /// Steady heads and flows.
    pub fn solve(&self, water: PipeWater) -> Result<NetworkFlow, NetworkError> {
        self.check_tree()?;
        let mut state = Newton::start(self, water);
        let (mut mass, mut head) = (f64::INFINITY, f64::INFINITY);
        for step in 1..=MAX_STEPS {
            let Some(()) = state.step(step > 1) else {
                break;
            };
            state.refresh_bars();
            (mass, head) = state.residuals(&state.head_m, &state.flow_m3_s);
            if mass < MASS_TOLERANCE_M3_S && head < HEAD_TOLERANCE_M {
                self.check_flows(&state)?;
                return Ok(NetworkFlow {
                    head_m: state.head_m,
                    flow_m3_s: state.flow_m3_s,
                    steps: step,
                    mass_residual_m3_s: mass,
                    head_residual_m: head,
                });
            }
        }
        Err(NetworkError::DidNotConverge { steps: MAX_STEPS, mass_m3_s: mass, head_m: head })
    }

    /// Refuses loops, places without a source and networks without an outlet.
    fn check_tree(&self) -> Result<(), NetworkError> {
        let mut group: Vec<usize> = (0..self.nodes.len()).collect();
        let mut open = false;
        for link in &self.links {
            match &link.kind {
                LinkKind::Pipe { to, .. } | LinkKind::Pump { to, .. } => {
                    let (a, b) = (group[link.from], group[*to]);
                    if a == b {
                        return Err(NetworkError::Loop { link: link.name.clone() });
                    }
                    group.iter_mut().filter(|g| **g == b).for_each(|g| *g = a);
                    open |= self.nodes[*to].fixed_head_m.is_some();
                }
                LinkKind::Emitter { coefficient, .. } => open |= *coefficient > 0.0,
                LinkKind::Bar { holes, .. } => open |= holes.count() > 0 && holes.coefficient > 0.0,
            }
        }
        for (i, node) in self.nodes.iter().enumerate() {
            let fed = self.nodes.iter().zip(&group).any(|(other, g)| *g == group[i] && other.fixed_head_m.is_some());
            if !fed {
                return Err(NetworkError::Unfed { node: node.name.clone() });
            }
        }
        if open { Ok(()) } else { Err(NetworkError::NoOutlet) }
    }

    /// Refuses answers in which water runs backwards through the pump or into an outlet.
    fn check_flows(&self, state: &Newton<'_>) -> Result<(), NetworkError> {
        for (i, link) in self.links.iter().enumerate() {
            if let LinkKind::Pump { to, curve, duty } = &link.kind
                && state.flow_m3_s[i] <= 0.0
            {
                return Err(NetworkError::NoIntersection {
                    pump: link.name.clone(),
                    shutoff_m: curve.running(*duty).shutoff_head_m(),
                    needed_m: state.head_m[*to] - state.head_m[link.from],
                });
            }
        }
        for (i, link) in self.links.iter().enumerate() {
            let (elevation_m, open) = match &link.kind {
                LinkKind::Emitter { coefficient, elevation_m } => (*elevation_m, *coefficient > 0.0),
                LinkKind::Bar { holes, elevation_m, .. } => (*elevation_m, holes.coefficient > 0.0),
                _ => continue,
            };
            if open && state.flow_m3_s[i] <= 0.0 {
                let short_m = elevation_m - state.head_m[link.from];
                return Err(NetworkError::DryBranch { link: link.name.clone(), short_m });
            }
        }
        Ok(())
    }
}
