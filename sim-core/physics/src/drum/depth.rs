//! One upstream step of the bed-depth equation.
//!
//! Written for the depth h, the equation is stiff (Phi/c^3) near the lip and near uniform depth, and explicit steps fail on
//! thin beds. Written for c^5 the stiffness is gone:
//!
//! d(c^5)/dz = 5 sqrt(R^2 - c^2) (K Phi - B c^3),  K = 3 tan(theta)/(4 pi n),  B = tan(beta)/cos(theta)
//!
//! because c dc = sqrt(R^2 - c^2) dh. The implicit trapezoid is solved for c itself, so that no root is taken.

use core::f64::consts::PI;

use super::geometry::half_chord_m;
use super::lifters::{self, Lifters, Spill};
use super::section::{Drum, ExitRule};
use washgraph_units::math::{asin, cbrt, cos, sin, tan};

/// A bed whose surface lies within this share of the radius of the axis, and still rises upstream, is on its way over the
/// axis: there c = R would be a false resting point of the equation.
const NEAR_AXIS: f64 = 0.02;
/// Relative step of c at which the iteration has converged; the error left is of the order of its square, some 1e-8, and
/// four orders below that of the cells.
const CONVERGED: f64 = 1e-4;
/// Iterations allowed; the safeguarded Newton needs 1 to 4.
const MOST_ITERATIONS: usize = 40;

/// Coefficients of the depth equation for one drum.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DepthLaw {
    radius_m: f64,
    radius2_m2: f64,
    /// K, s.
    rise: f64,
    /// B, -.
    fall: f64,
    /// c_0^3/Phi of the lip rule, s.
    lip: f64,
    exit: ExitRule,
    spill: Spill,
    sin_repose: f64,
}

/// Bed at one node of the march.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Node {
    pub(crate) half_chord_m: f64,
    /// Half-angle phi, rad.
    pub(crate) angle_rad: f64,
    pub(crate) area_m2: f64,
    /// pi/phi: turnovers of the bed per turn of the drum, and those of lifters.
    pub(crate) turnovers_per_turn: f64,
    /// Area over wetted arc, m.
    pub(crate) mean_depth_m: f64,
    /// Lever whose moment gives the power into the bed, m: its centre of gravity from the axis, and what lifters add.
    pub(crate) arm_m: f64,
    /// Volume lifted per turn and length times its drop, m3; set only where there are lifters.
    pub(crate) lift_m3: f64,
    /// Factor of lifters on the flow in the depth equation as last found here; 0 where it is not known yet.
    pub(crate) lift_factor: f64,
    /// Bulk flow of the last round.
    pub(crate) flow_m3_s: f64,
    /// Bulk flow of this round.
    pub(crate) next_flow_m3_s: f64,
}

/// Half-chord after a step, and whether the bed ran over the axis.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step {
    pub(crate) half_chord_m: f64,
    pub(crate) overloaded: bool,
}

/// Factor on the flow where so much of the bed at a node is lifted; 1 without a bed.
fn factor_of_lifting(lifted_m2: f64, node: &Node) -> f64 {
    if node.area_m2 > 0.0 {
        lifters::transport_factor(lifters::lifted_share(lifted_m2, node.area_m2, node.angle_rad))
    } else {
        1.0
    }
}

impl DepthLaw {
    pub(crate) fn new(drum: &Drum) -> Self {
        let radius = drum.radius_m();
        let turns = 4.0 * PI * drum.speed_rev_s;
        DepthLaw {
            radius_m: radius,
            radius2_m2: radius * radius,
            rise: 3.0 * tan(drum.repose_rad) / turns,
            fall: drum.slope / cos(drum.repose_rad),
            lip: 3.0 * sin(drum.repose_rad) / (turns * (drum.slope + sin(drum.repose_rad))),
            exit: drum.exit,
            spill: Spill::at(drum.repose_rad),
            sin_repose: sin(drum.repose_rad),
        }
    }

    /// Depth of the bed with half-chord c (not more than half full), m.
    pub(crate) fn depth_m(&self, half_chord_m: f64) -> f64 {
        let c2 = half_chord_m * half_chord_m;
        c2 / (self.radius_m + (self.radius2_m2 - c2).max(0.0).sqrt())
    }

    /// Sets chord, angle and area of a node.
    pub(crate) fn set(&self, node: &mut Node, half_chord_m: f64) {
        let sine = half_chord_m / self.radius_m;
        node.half_chord_m = half_chord_m;
        node.angle_rad = asin(sine);
        // Below 1e-3 the difference loses its digits; a thin segment is (2/3) c^3/R.
        node.area_m2 = if sine < 1e-3 {
            2.0 / 3.0 * half_chord_m * half_chord_m * sine
        } else {
            self.radius2_m2 * (node.angle_rad - sine * (1.0 - sine * sine).max(0.0).sqrt())
        };
        let per_angle = 1.0 / node.angle_rad;
        node.turnovers_per_turn = PI * per_angle;
        node.mean_depth_m = 0.5 * node.area_m2 * per_angle / self.radius_m;
        // A r_cg = (2/3) c^3.
        node.arm_m = 2.0 / 3.0 * half_chord_m * half_chord_m * half_chord_m / node.area_m2;
    }

    /// Factor of lifters on the flow in the depth equation, where the bed has this half-chord.
    pub(crate) fn lifted_factor(&self, lifters: Lifters, half_chord_m: f64) -> f64 {
        if !(half_chord_m > 0.0) {
            return 1.0;
        }
        let mut node = Node::default();
        self.set(&mut node, half_chord_m);
        let lifted_m2 = lifters::lifted_m2(lifters.share, lifters.height_m, self.radius_m, node.area_m2);
        factor_of_lifting(lifted_m2, &node)
    }

    /// Adds to a node what lifters do there: more turnovers, more power, and the factor for the next round.
    pub(crate) fn lift(&self, node: &mut Node, lifters: Lifters) {
        let sine = node.half_chord_m / self.radius_m;
        let lift = lifters.lift(node.area_m2, (1.0 - sine * sine).max(0.0).sqrt(), self.radius_m, &self.spill);
        node.lift_m3 = lift.lifted_m2 * lift.drop_m;
        node.lift_factor = factor_of_lifting(lift.lifted_m2, node);
        if node.area_m2 > 0.0 {
            node.turnovers_per_turn += lift.lifted_m2 / node.area_m2;
            node.arm_m += node.lift_m3 / (2.0 * PI * node.area_m2 * self.sin_repose);
        }
    }

    /// Half-chord at the exit of a section: the deepest of lip, ring plus lip, and what is imposed from downstream.
    ///
    /// A ring that lies below the downstream bed is drowned and adds nothing. The chord over a ring is that of the shell
    /// at the same depth, not of the ring's opening.
    pub(crate) fn exit(&self, flow_m3_s: f64, ring_m: f64, downstream_half_chord_m: f64) -> Step {
        let lip = match self.exit {
            ExitRule::Lip => cbrt(self.lip * flow_m3_s),
            ExitRule::Depth(depth) => half_chord_m(depth.min(self.radius_m), self.radius_m),
        };
        let mut c = lip.max(downstream_half_chord_m);
        if ring_m > 0.0 && lip < self.radius_m {
            let depth = ring_m + self.depth_m(lip);
            let over_ring = if depth < self.radius_m { half_chord_m(depth, self.radius_m) } else { self.radius_m };
            c = c.max(over_ring);
        }
        let overloaded = !(c < self.radius_m);
        Step { half_chord_m: if overloaded { self.radius_m } else { c }, overloaded }
    }

    /// Half-chord one step of `dz_m` upstream, by the implicit trapezoid in c^5.
    ///
    /// `guess_m` only starts the iteration. A bed that reaches the axis is held at c = R and reported as overloaded.
    pub(crate) fn upstream(&self, half_chord_m: f64, flow_here: f64, flow_there: f64, dz_m: f64, guess_m: f64) -> Step {
        let over = Step { half_chord_m: self.radius_m, overloaded: true };
        let half = 2.5 * dz_m;
        let c2 = half_chord_m * half_chord_m;
        let c3 = c2 * half_chord_m;
        let known = c3 * c2 + half * (self.radius2_m2 - c2).max(0.0).sqrt() * (self.rise * flow_here - self.fall * c3);
        let push = self.rise * flow_there;
        let radius5 = self.radius2_m2 * self.radius2_m2 * self.radius_m;
        if known >= radius5 {
            return over;
        }
        let (mut low, mut high) = (0.0, self.radius_m);
        let mut c = if guess_m > low && guess_m < high { guess_m } else { 0.5 * high };
        for _ in 0..MOST_ITERATIONS {
            let c2 = c * c;
            let c3 = c2 * c;
            let root = (self.radius2_m2 - c2).sqrt();
            let drive = push - self.fall * c3;
            let miss = c3 * c2 - known - half * root * drive;
            if miss > 0.0 {
                high = c;
            } else {
                low = c;
            }
            // Newton's step with both parts times the root: one division.
            let slope = 5.0 * c2 * c2 * root + half * (c * drive + 3.0 * self.fall * c2 * root * root);
            let mut next = c - miss * root / slope;
            if !(next > low && next < high) {
                next = 0.5 * (low + high);
            }
            let change = (next - c).abs();
            c = next;
            if change <= CONVERGED * c {
                break;
            }
        }
        let above_axis = (self.radius2_m2 - c * c).sqrt();
        if above_axis < NEAR_AXIS * self.radius_m && push > self.fall * c * c * c {
            return over;
        }
        Step { half_chord_m: c, overloaded: false }
    }
}
