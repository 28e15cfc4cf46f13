//! The one integration of a drum: bed depth upstream from the exit, grains downstream from the feed.
//!
//! ```text
//!   feed -> | section 0 | ring | section 1 | ring | ... -> free exit
//!   (a) depth of the bed, marched UPSTREAM from the exit with the flow profile of the last round
//!   (b) what is still in the drum, marched DOWNSTREAM: each size loses its share in each cell, two looks at the rates
//!   (c) new flow profile = mass still in the drum / bulk density;  back to (a)
//! ```
//! Each round brings the profile 20 to 30 times nearer; no relaxation is needed. Gold rides along in the last round only.
//!
//! Sources: Kramers & Croockewit 1952 and Saeman 1951 for the bed; the coupling to losses through the shell is our own.

use core::f64::consts::PI;

use super::depth::{DepthLaw, Node};
use super::error::DrumError;
use super::geometry::depth_from_half_chord_m;
use super::grains::{Case, Grains};
use super::outcome::{Outcome, Station};
use super::section::{Carried, Drum, MAX_SECTIONS, Section};
use washgraph_units::constants::STANDARD_GRAVITY_M_S2;
use washgraph_units::math::{pow, sin};

/// With more feed a smaller share of it passes the holes: what has passed over what has not goes as feed^-0.15, to start
/// another feed of the same trial from. Computed on the worked example: 45, 43 and 40 % of all passes at 10, 20 and 40 m3/h.
const PASSING_EXPONENT: f64 = 0.15;

/// How finely to march.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fineness {
    /// Cells in each section.
    pub cells_per_section: usize,
    /// Rounds of depth and grains.
    pub rounds: usize,
}

impl Fineness {
    /// For trials, with a warm start from the middle case. Over 20,000 trials of the demonstration recovery differs from that
    /// with one round more by 0.002 points in the mean, by 0.14 in the worst trial.
    pub const FAST: Fineness = Fineness { cells_per_section: 12, rounds: 2 };
    /// The same grid from a cold start, for the middle case.
    pub const COLD: Fineness = Fineness { cells_per_section: 12, rounds: 7 };
    /// For tests: converged in grid and rounds.
    pub const ORACLE: Fineness = Fineness { cells_per_section: 480, rounds: 8 };

    /// Rounds for another feed of the same trial, whose flow profile is nearly in proportion.
    pub fn rounds_nearby(self) -> usize {
        self.rounds / 2
    }
}

/// Flow along the drum as a share of the feed, to start like cases from.
#[derive(Debug, Clone, PartialEq)]
pub struct FlowProfile {
    cells_per_section: usize,
    share: Vec<f64>,
    half_chord_m: Vec<f64>,
    lift_factor: Vec<f64>,
}

/// Where a solve starts from.
#[derive(Debug, Clone, Copy)]
pub enum Start<'a> {
    /// The same flow all along the drum.
    Even,
    /// The profile of a like case.
    Like(&'a FlowProfile),
    /// What the work space holds from its last solve, at another feed: for further solves of the same trial, so that the
    /// answer still depends on that trial alone.
    Here,
    /// What [`March::keep`] put by, at another feed of the same trial.
    Kept,
}

impl<'a> From<Option<&'a FlowProfile>> for Start<'a> {
    fn from(profile: Option<&'a FlowProfile>) -> Self {
        profile.map_or(Start::Even, Start::Like)
    }
}

/// How deep the bed stands.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct BedDepths {
    /// Depth at the feed end, m.
    pub feed_end_m: f64,
    /// Deepest bed, m.
    pub greatest_m: f64,
    /// The bed ran over the axis somewhere.
    pub overloaded: bool,
}

/// Work space and result of a march. Made once per worker; a solve allocates nothing.
#[derive(Debug, Clone)]
pub struct March {
    cells: usize,
    nodes: Vec<Node>,
    grains: Grains,
    outcome: Outcome,
    /// Flow, half-chord and factor of lifters at the nodes, as put by.
    kept: Vec<[f64; 3]>,
    kept_feed_m3_s: f64,
}

impl March {
    /// Work space for drums of up to `sections` sections (at most [`MAX_SECTIONS`]).
    pub fn new(cells_per_section: usize, sections: usize) -> Self {
        let cells = cells_per_section.max(2);
        March {
            cells,
            nodes: vec![Node::default(); (cells + 1) * sections.clamp(1, MAX_SECTIONS)],
            grains: Grains::new(),
            outcome: Outcome::new(),
            kept: vec![[0.0; 3]; (cells + 1) * sections.clamp(1, MAX_SECTIONS)],
            kept_feed_m3_s: 0.0,
        }
    }

    /// Solves the drum. `start` is the flow profile of a like case; without it the flow starts constant.
    ///
    /// The answer depends on the arguments alone, not on what the work space solved before. An empty feed gives an
    /// outcome of zeros. Overload is a flag in the outcome: the bed is then held at half full upstream of the place.
    pub fn solve(
        &mut self,
        drum: &Drum,
        sections: &[&dyn Section],
        carried: &Carried<'_>,
        rounds: usize,
        start: Option<&FlowProfile>,
    ) -> Result<&Outcome, DrumError> {
        self.solve_scaled(drum, sections, carried, rounds, start, 1.0)
    }

    /// As [`Self::solve`] with everything that is fed multiplied by `scale`.
    pub fn solve_scaled(
        &mut self,
        drum: &Drum,
        sections: &[&dyn Section],
        carried: &Carried<'_>,
        rounds: usize,
        start: Option<&FlowProfile>,
        scale: f64,
    ) -> Result<&Outcome, DrumError> {
        self.solve_from(drum, sections, carried, rounds, Start::from(start), scale)
    }

    /// As [`Self::solve_scaled`] from any start.
    pub fn solve_from(
        &mut self,
        drum: &Drum,
        sections: &[&dyn Section],
        carried: &Carried<'_>,
        rounds: usize,
        start: Start<'_>,
        scale: f64,
    ) -> Result<&Outcome, DrumError> {
        let Some(mut case) = self.open(drum, sections, carried, start, scale)? else { return Ok(&self.outcome) };
        let law = DepthLaw::new(drum);
        let rounds = rounds.max(1);
        for round in 0..rounds {
            case.last = round + 1 == rounds;
            self.depth_round(&law, drum.transport_factor, sections);
            self.grain_round(&case, sections);
        }
        self.measure(drum, &law, sections);
        Ok(&self.outcome)
    }

    /// How deep the bed stands with everything that is fed multiplied by `scale`: rounds without gold and without books,
    /// closed by a pass of depths alone. Without any round the flow along the drum is that of the start, in proportion.
    /// [`Self::outcome`] then holds nothing.
    pub fn bed(
        &mut self,
        drum: &Drum,
        sections: &[&dyn Section],
        carried: &Carried<'_>,
        rounds: usize,
        start: Start<'_>,
        scale: f64,
    ) -> Result<BedDepths, DrumError> {
        let Some(case) = self.open(drum, sections, carried, start, scale)? else { return Ok(BedDepths::default()) };
        let law = DepthLaw::new(drum);
        for _ in 0..rounds {
            self.depth_round(&law, drum.transport_factor, sections);
            self.grain_round(&case, sections);
        }
        self.depth_round(&law, drum.transport_factor, sections);
        let used = sections.len() * (self.cells + 1);
        let deepest_m = self.nodes.iter().take(used).map(|n| n.half_chord_m).fold(0.0, f64::max);
        Ok(BedDepths {
            feed_end_m: self.nodes.first().map_or(0.0, |n| law.depth_m(n.half_chord_m)),
            greatest_m: law.depth_m(deepest_m),
            overloaded: self.outcome.overloaded,
        })
    }

    /// Puts the bed of the last solve by, to start from again with [`Start::Kept`].
    pub fn keep(&mut self) {
        for (kept, node) in self.kept.iter_mut().zip(&self.nodes) {
            *kept = [node.flow_m3_s, node.half_chord_m, node.lift_factor];
        }
        self.kept_feed_m3_s = self.outcome.feed_flow_m3_s;
    }

    /// Checks and sets up a solve; `None` when nothing is fed.
    fn open<'a>(
        &mut self,
        drum: &'a Drum,
        sections: &[&dyn Section],
        carried: &'a Carried<'a>,
        start: Start<'_>,
        scale: f64,
    ) -> Result<Option<Case<'a>>, DrumError> {
        let most = self.nodes.len() / (self.cells + 1);
        if sections.is_empty() || sections.len() > most {
            return Err(DrumError::TooMany { what: "drum sections", found: sections.len(), most });
        }
        let (open, points) = (sections.iter().map(|s| s.open_points()).max().unwrap_or(0), carried.bed_flow_kg_s.len());
        if open > points {
            return Err(DrumError::Unequal { what: "gravel points open to a section", first: open, second: points });
        }
        let fed_kg_s = scale * (carried.bed_flow_kg_s.iter().sum::<f64>() + carried.lump_flow_kg_s.iter().sum::<f64>());
        let per_bulk_density = 1.0 / drum.bulk_density_kg_m3;
        let feed_flow_m3_s = fed_kg_s * per_bulk_density;
        let flow_before_m3_s = self.outcome.feed_flow_m3_s;
        self.outcome.reset(sections.len(), carried, feed_flow_m3_s, fed_kg_s);
        if !(fed_kg_s > 0.0) {
            return Ok(None);
        }
        self.start_flow(feed_flow_m3_s, flow_before_m3_s, sections.len(), start);
        Ok(Some(Case { drum, carried, scale, feed_flow_m3_s, per_bulk_density, open, last: false }))
    }

    /// Flow profile of the last solve, to start like cases from.
    pub fn flow_profile(&self) -> FlowProfile {
        let feed = self.outcome.feed_flow_m3_s;
        let used = self.outcome.sections().len() * (self.cells + 1);
        let share = |node: &Node| if feed > 0.0 { node.flow_m3_s / feed } else { 1.0 };
        FlowProfile {
            cells_per_section: self.cells,
            share: self.nodes.iter().take(used).map(share).collect(),
            half_chord_m: self.nodes.iter().take(used).map(|n| n.half_chord_m).collect(),
            lift_factor: self.nodes.iter().take(used).map(|n| n.lift_factor).collect(),
        }
    }

    /// Result of the last solve.
    pub fn outcome(&self) -> &Outcome {
        &self.outcome
    }

    /// The bed at the nodes of the last solve, from the feed end to the exit, for figures.
    pub fn stations(&self, drum: &Drum, sections: &[&dyn Section]) -> Vec<Station> {
        let law = DepthLaw::new(drum);
        let section_area_m2 = PI * drum.radius_m() * drum.radius_m();
        let mut stations = Vec::with_capacity(self.nodes.len());
        let mut start_m = 0.0;
        for (index, (section, nodes)) in sections.iter().zip(self.nodes.chunks(self.cells + 1)).enumerate() {
            let length_m = section.length_m();
            for (k, node) in nodes.iter().enumerate() {
                stations.push(Station {
                    section: index,
                    from_feed_m: start_m + length_m * k as f64 / self.cells as f64,
                    depth_m: law.depth_m(node.half_chord_m),
                    fill: node.area_m2 / section_area_m2,
                    flow_m3_s: node.flow_m3_s,
                });
            }
            start_m += length_m;
        }
        stations
    }

    /// Depth at the nodes of the last solve, from the feed end to the exit, m, in the order of [`Self::stations`]. Makes no
    /// list, so that it may be used in every trial.
    pub fn depths_m(&self, drum: &Drum) -> impl Iterator<Item = f64> + '_ {
        let radius_m = drum.radius_m();
        let used = self.outcome.sections().len() * (self.cells + 1);
        self.nodes.iter().take(used).map(move |node| depth_from_half_chord_m(node.half_chord_m, radius_m))
    }

    /// Half-angles of the bed (rad) at every third node of the last solve, from the exit of a section to its feed end, and
    /// the distance of these nodes, m. Makes no list.
    pub fn half_angles_upstream(&self, section: usize, length_m: f64) -> (f64, impl Iterator<Item = f64> + '_) {
        const EVERY: usize = 3;
        let nodes = self.nodes.chunks(self.cells + 1).nth(section).unwrap_or(&[]);
        let step_m = length_m / self.cells as f64 * EVERY as f64;
        (step_m, nodes.iter().rev().step_by(EVERY).map(|node| node.angle_rad))
    }

    fn start_flow(&mut self, feed_flow_m3_s: f64, flow_before_m3_s: f64, sections: usize, start: Start<'_>) {
        let used = sections * (self.cells + 1);
        let nodes = self.nodes.iter_mut().take(used);
        match start {
            Start::Here if flow_before_m3_s > 0.0 => {
                let ratio = feed_flow_m3_s / flow_before_m3_s;
                nodes.for_each(|node| node.flow_m3_s *= ratio);
            }
            Start::Like(p) if p.cells_per_section == self.cells && p.share.len() == used => {
                for (((node, share), c), lift) in nodes.zip(&p.share).zip(&p.half_chord_m).zip(&p.lift_factor) {
                    node.flow_m3_s = feed_flow_m3_s * share;
                    node.half_chord_m = *c;
                    node.lift_factor = *lift;
                }
            }
            Start::Kept if self.kept_feed_m3_s > 0.0 => {
                let passing = pow(feed_flow_m3_s / self.kept_feed_m3_s, -PASSING_EXPONENT);
                for (node, [flow, c, lift]) in nodes.zip(&self.kept) {
                    let passed = (self.kept_feed_m3_s - flow) * passing;
                    node.flow_m3_s = feed_flow_m3_s * flow / (flow + passed);
                    node.half_chord_m = *c;
                    node.lift_factor = *lift;
                }
            }
            Start::Even | Start::Like(_) | Start::Here | Start::Kept => nodes.for_each(|node| {
                node.flow_m3_s = feed_flow_m3_s;
                node.half_chord_m = 0.0;
                node.lift_factor = 0.0;
            }),
        }
    }

    /// (a) Depth upstream from the exit.
    fn depth_round(&mut self, law: &DepthLaw, transport_factor: f64, sections: &[&dyn Section]) {
        let mut downstream_m = 0.0;
        self.outcome.overloaded = false;
        for (section, nodes) in sections.iter().zip(self.nodes.chunks_mut(self.cells + 1)).rev() {
            let plain = transport_factor * section.transport_factor();
            let lifters = section.lifters();
            // From the last round or the profile given, where it is known; else from the guess of the depth.
            let factor = |node: &Node, guess_m: f64| match lifters {
                None => plain,
                Some(_) if node.lift_factor > 0.0 => plain * node.lift_factor,
                Some(l) => plain * law.lifted_factor(l, guess_m),
            };
            let dz_m = section.length_m() / self.cells as f64;
            // From the last round or the profile given, never from an earlier solve: the last digits would depend on it.
            let known = nodes[self.cells].half_chord_m;
            let guess = if known > 0.0 { known } else { downstream_m };
            let mut factor_here = factor(&nodes[self.cells], guess);
            let flow = nodes[self.cells].flow_m3_s * factor_here;
            let mut step = law.exit(flow, section.exit_ring_m(), downstream_m);
            law.set(&mut nodes[self.cells], step.half_chord_m);
            for k in (0..self.cells).rev() {
                if !step.overloaded {
                    let known = nodes[k].half_chord_m;
                    let guess = if known > 0.0 { known } else { step.half_chord_m };
                    let (here, factor_there) = (nodes[k + 1].flow_m3_s * factor_here, factor(&nodes[k], guess));
                    let there = nodes[k].flow_m3_s * factor_there;
                    factor_here = factor_there;
                    step = law.upstream(step.half_chord_m, here, there, dz_m, guess);
                }
                law.set(&mut nodes[k], step.half_chord_m);
            }
            if let Some(lifters) = lifters {
                nodes.iter_mut().for_each(|node| law.lift(node, lifters));
            }
            self.outcome.overloaded |= step.overloaded;
            downstream_m = step.half_chord_m;
        }
    }

    /// (b) and (c): grains downstream, then the new flow.
    fn grain_round(&mut self, case: &Case<'_>, sections: &[&dyn Section]) {
        self.grains.feed(case);
        let nodes = self.nodes.chunks_mut(self.cells + 1);
        for ((section, nodes), books) in sections.iter().zip(nodes).zip(self.outcome.sections.iter_mut()) {
            self.grains.pass(case, *section, nodes, books);
            for node in nodes {
                node.flow_m3_s = node.next_flow_m3_s;
            }
        }
    }

    /// Integrals over the bed found: residence, hold-up, torque, power.
    ///
    /// Torque per length is rho_w g A r_cg sin(theta) = (2/3) rho_w g c^3 sin(theta), and that of lifters V rho_w g H/(2 pi).
    fn measure(&mut self, drum: &Drum, law: &DepthLaw, sections: &[&dyn Section]) {
        let section_area_m2 = PI * drum.radius_m() * drum.radius_m();
        let torque_per_c3 = 2.0 / 3.0 * drum.wet_density_kg_m3 * STANDARD_GRAVITY_M_S2 * sin(drum.repose_rad);
        let least_flow = 1e-9 * self.outcome.feed_flow_m3_s;
        let mut deepest_m = 0.0_f64;
        let nodes = self.nodes.chunks(self.cells + 1);
        for ((section, nodes), out) in sections.iter().zip(nodes).zip(self.outcome.sections.iter_mut()) {
            let length_m = section.length_m();
            let dx_m = length_m / self.cells as f64;
            let (mut time, mut volume, mut cubes) = (0.0, 0.0, 0.0);
            for (k, node) in nodes.iter().enumerate() {
                let weight = if k == 0 || k == self.cells { 0.5 } else { 1.0 };
                let c = node.half_chord_m;
                time += weight * node.area_m2 / node.flow_m3_s.max(least_flow);
                volume += weight * node.area_m2;
                cubes += weight * c * c * c;
                deepest_m = deepest_m.max(c);
            }
            out.residence_s = time * dx_m;
            out.turns = out.residence_s * drum.speed_rev_s;
            out.hold_up_m3 = volume * dx_m;
            out.mean_fill = out.hold_up_m3 / (section_area_m2 * length_m);
            out.torque_n_m = torque_per_c3 * cubes * dx_m;
            if section.lifters().is_some() {
                let lifted = |node: &Node| node.lift_m3;
                let sum: f64 =
                    nodes.iter().map(lifted).sum::<f64>() - 0.5 * (lifted(&nodes[0]) + lifted(&nodes[self.cells]));
                out.torque_n_m += drum.wet_density_kg_m3 * STANDARD_GRAVITY_M_S2 / (2.0 * PI) * sum * dx_m;
            }
            out.power_w = out.torque_n_m * drum.omega_rad_s();
            out.entry_depth_m = nodes.first().map_or(0.0, |n| law.depth_m(n.half_chord_m));
            out.exit_depth_m = nodes.last().map_or(0.0, |n| law.depth_m(n.half_chord_m));
        }
        self.outcome.greatest_depth_m = law.depth_m(deepest_m);
    }
}
