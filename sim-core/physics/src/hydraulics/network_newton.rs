//! Newton's steps of [`super::network`].

use nalgebra::{DMatrix, DVector};

use super::network::{HEAD_TOLERANCE_M, LinkKind, Network};
use super::pump::RunningPump;
use super::spray_bar::{PipeWater, bar_inlet};

/// Heads and flows on their way to balance.
pub(super) struct Newton<'a> {
    network: &'a Network,
    water: PipeWater,
    pumps: Vec<Option<RunningPump<'a>>>,
    /// Emitter coefficient of each outlet; a bar's is renewed at each step.
    coefficient: Vec<f64>,
    unknown: Vec<Option<usize>>,
    unknowns: usize,
    /// Head of each place (m above datum).
    pub(super) head_m: Vec<f64>,
    /// Flow of each link (m3/s).
    pub(super) flow_m3_s: Vec<f64>,
}

impl<'a> Newton<'a> {
    /// A start: one metre a second in the pipes, the pump in the middle of its curve.
    pub(super) fn start(network: &'a Network, water: PipeWater) -> Newton<'a> {
        let mut unknowns = 0;
        let unknown = network
            .nodes
            .iter()
            .map(|node| {
                let index = unknowns;
                node.fixed_head_m.is_none().then(|| {
                    unknowns += 1;
                    index
                })
            })
            .collect();
        let mut pumps = Vec::with_capacity(network.links.len());
        let mut coefficient = Vec::with_capacity(network.links.len());
        let mut flow_m3_s = Vec::with_capacity(network.links.len());
        for link in &network.links {
            let (pump, c, q) = match &link.kind {
                // One metre a second to start from.
                LinkKind::Pipe { run, .. } => (None, 0.0, run.area_m2()),
                LinkKind::Pump { curve, duty, .. } => {
                    let pump = curve.running(*duty);
                    (Some(pump), 0.0, pump.middle_flow_m3_s())
                }
                LinkKind::Emitter { coefficient, .. } => (None, *coefficient, 3.0 * coefficient),
                LinkKind::Bar { holes, .. } => {
                    let c = holes.count as f64 * holes.coefficient;
                    (None, c, 3.0 * c)
                }
            };
            pumps.push(pump);
            coefficient.push(c);
            flow_m3_s.push(q);
        }
        let head_m = network.nodes.iter().map(|node| node.fixed_head_m.unwrap_or(0.0)).collect();
        Newton { network, water, pumps, coefficient, unknown, unknowns, head_m, flow_m3_s }
    }

    /// Head lost over link `i` at a flow, and its slope (kept above zero).
    fn loss_and_slope(&self, i: usize, flow: f64) -> (f64, f64) {
        let loss = |q: f64| match &self.network.links[i].kind {
            LinkKind::Pipe { run, .. } => run.head_loss_m(q, self.water.kinematic_viscosity_m2_s, self.water.law),
            _ => q * q.abs() / (self.coefficient[i] * self.coefficient[i]),
        };
        if let Some(pump) = &self.pumps[i] {
            let (head, slope) = pump.head_and_slope(flow);
            return (-head, (-slope).max(1e-3 * pump.shutoff_head_m() / pump.middle_flow_m3_s()));
        }
        let step = 1e-5 * flow.abs().max(1e-5);
        let slope = (loss(flow + step) - loss(flow - step)) / (2.0 * step);
        (loss(flow), slope.max(1e-3))
    }

    /// Whether a link is an outlet that is shut.
    fn shut(&self, i: usize) -> bool {
        matches!(self.network.links[i].kind, LinkKind::Emitter { .. } | LinkKind::Bar { .. })
            && !(self.coefficient[i] > 0.0)
    }

    /// Far end of a link: a place, or the level of the outlet.
    fn far_end(&self, i: usize) -> (Option<usize>, f64) {
        match &self.network.links[i].kind {
            LinkKind::Pipe { to, .. } | LinkKind::Pump { to, .. } => (Some(*to), self.head_m[*to]),
            LinkKind::Emitter { elevation_m, .. } | LinkKind::Bar { elevation_m, .. } => (None, *elevation_m),
        }
    }

    /// One Newton step; halved while the balance gets worse, if asked. `None` when the matrix is singular.
    pub(super) fn step(&mut self, may_halve: bool) -> Option<()> {
        let size = self.unknowns;
        let mut matrix = DMatrix::<f64>::zeros(size, size);
        let mut right = DVector::<f64>::zeros(size);
        let mut laws = Vec::with_capacity(self.network.links.len());
        for (i, link) in self.network.links.iter().enumerate() {
            let (loss, slope) =
                if self.shut(i) { (0.0, f64::INFINITY) } else { self.loss_and_slope(i, self.flow_m3_s[i]) };
            laws.push((loss, slope));
            let conductance = 1.0 / slope;
            let known = if self.shut(i) { 0.0 } else { self.flow_m3_s[i] - conductance * loss };
            let (far, far_head) = self.far_end(i);
            let (a, b) = (self.unknown[link.from], far.and_then(|node| self.unknown[node]));
            if let Some(a) = a {
                matrix[(a, a)] += conductance;
                right[a] -= known;
                match b {
                    Some(b) => matrix[(a, b)] -= conductance,
                    None => right[a] += conductance * far_head,
                }
            }
            if let Some(b) = b {
                matrix[(b, b)] += conductance;
                right[b] += known;
                match a {
                    Some(a) => matrix[(b, a)] -= conductance,
                    None => right[b] += conductance * self.head_m[link.from],
                }
            }
        }
        let solution = if size == 0 { right } else { matrix.cholesky()?.solve(&right) };
        let mut head = self.head_m.clone();
        for (node, index) in self.unknown.iter().enumerate() {
            if let Some(index) = index {
                head[node] = solution[*index];
            }
        }
        let mut flow = self.flow_m3_s.clone();
        for (i, link) in self.network.links.iter().enumerate() {
            let far_head = match self.far_end(i) {
                (Some(node), _) => head[node],
                (None, level) => level,
            };
            let (loss, slope) = laws[i];
            flow[i] = if self.shut(i) { 0.0 } else { flow[i] + (head[link.from] - far_head - loss) / slope };
        }
        self.accept(&head, &flow, may_halve);
        Some(())
    }

    fn accept(&mut self, head: &[f64], flow: &[f64], may_halve: bool) {
        let blend = |old: &[f64], new: &[f64], share: f64| -> Vec<f64> {
            old.iter().zip(new).map(|(a, b)| a + share * (b - a)).collect()
        };
        let before = self.residuals(&self.head_m, &self.flow_m3_s).1;
        let mut share = 1.0;
        let (mut new_head, mut new_flow) = (head.to_vec(), flow.to_vec());
        while may_halve && share > 0.02 && self.residuals(&new_head, &new_flow).1 > before.max(HEAD_TOLERANCE_M) {
            share *= 0.5;
            new_head = blend(&self.head_m, head, share);
            new_flow = blend(&self.flow_m3_s, flow, share);
        }
        (self.head_m, self.flow_m3_s) = (new_head, new_flow);
    }

    /// Renews the coefficient of each bar at the head over it. A bar out of reach keeps its last one and shows as a backward flow.
    pub(super) fn refresh_bars(&mut self) {
        for (i, link) in self.network.links.iter().enumerate() {
            if let LinkKind::Bar { tube, holes, elevation_m } = &link.kind
                && let Ok((inlet, _)) = bar_inlet(tube, holes, self.water, self.head_m[link.from] - elevation_m)
                && inlet.flow_m3_s > 0.0
            {
                self.coefficient[i] = inlet.coefficient();
            }
        }
    }

    /// Largest mass and head left over.
    pub(super) fn residuals(&self, head: &[f64], flow: &[f64]) -> (f64, f64) {
        let mut mass = vec![0.0; head.len()];
        let mut worst_head = 0.0_f64;
        for (i, link) in self.network.links.iter().enumerate() {
            mass[link.from] += flow[i];
            let far_head = match self.far_end(i) {
                (Some(node), _) => {
                    mass[node] -= flow[i];
                    head[node]
                }
                (None, level) => level,
            };
            if !self.shut(i) {
                let left = (head[link.from] - far_head - self.loss_and_slope(i, flow[i]).0).abs();
                worst_head = if left > worst_head || left.is_nan() { left } else { worst_head };
            }
        }
        let free = mass.iter().zip(&self.unknown).filter(|(_, unknown)| unknown.is_some());
        (free.map(|(m, _)| m.abs()).fold(0.0, f64::max), worst_head)
    }
}
