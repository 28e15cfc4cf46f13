//! Spray bar: a closed pipe with a row of holes, marched from its dead end.
//!
//! ```text
//!   inlet  ==s==o==s==o==s==o ... ==s==o|  dead end          s = L/N, one length of pipe before each hole
//!   total       1     2     3          N                     z rises by `rise` from inlet to dead end
//!   head H    going towards the inlet: + flow of the hole, - regain, + friction, + rise of the segment
//! ```
//! The speed falls at each hole and part of it comes back as pressure (static regain):
//! `dh = eta (V_up^2 - V_dn^2)/2g`. On bars of drum length the regain outweighs friction when `F f L/D < eta`, so the **far**
//! holes get more and the near end is the weak one. A model that drives the holes by total head gets the flow about right and the
//! sign of the unevenness wrong; it is kept here to compare with such models.

use thiserror::Error;

use super::orifice::cross_flow_discharge_coefficient;
use super::pipe::{FrictionLaw, PipeRun};
use super::root::bracketed_root;
use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;

/// What drives the holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HoleDrive {
    /// Pressure, which regains `efficiency` of the fall in velocity head at each hole: 0.8 to 1.
    Regain {
        /// Share of the fall in velocity head that comes back (-).
        efficiency: f64,
    },
    /// Total head, the velocity head counted in: the way of general network programs.
    TotalHead,
}

/// The pipe of a spray bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarTube {
    /// From inlet to last hole (m).
    pub length_m: f64,
    /// Inside diameter (m).
    pub bore_m: f64,
    /// Roughness (m).
    pub roughness_m: f64,
    /// Dead end above inlet (m); the bar of a tilted drum falls or rises with it.
    pub rise_m: f64,
    /// What drives the holes.
    pub drive: HoleDrive,
    /// Slope of the discharge coefficient with cross-flow (-); 0 is off.
    pub cross_flow_slope: f64,
}

/// A row of holes from inlet to dead end, each as an emitter coefficient (m^2.5/s).
pub trait HoleRow {
    /// Number of holes.
    fn count(&self) -> usize;
    /// Emitter coefficient of hole `i`, counted from the inlet; 0 for a plugged one.
    fn coefficient(&self, i: usize) -> f64;
}

/// Equal holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EqualHoles {
    /// Number of holes.
    pub count: usize,
    /// Emitter coefficient of one hole (m^2.5/s). For a share `p` of plugged holes spread evenly take `(1 - p) c`.
    pub coefficient: f64,
}

impl HoleRow for EqualHoles {
    fn count(&self) -> usize {
        self.count
    }
    fn coefficient(&self, _: usize) -> f64 {
        self.coefficient
    }
}

impl HoleRow for [f64] {
    fn count(&self) -> usize {
        self.len()
    }
    fn coefficient(&self, i: usize) -> f64 {
        self[i]
    }
}

/// Water and friction law of a march.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeWater {
    /// Kinematic viscosity (m2/s).
    pub kinematic_viscosity_m2_s: f64,
    /// Friction law.
    pub law: FrictionLaw,
}

/// State at the inlet of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarInlet {
    /// Water into the bar (m3/s).
    pub flow_m3_s: f64,
    /// Total head above the air outside, at the level of the inlet (m).
    pub total_head_m: f64,
    /// Speed at the inlet (m/s).
    pub speed_m_s: f64,
    /// Holes that had no pressure over them: they spray nothing and let air in.
    pub dry_holes: usize,
}

impl BarInlet {
    /// `c` of `Q = c sqrt(H)` for the whole bar as the network sees it (m^2.5/s).
    pub fn coefficient(&self) -> f64 {
        if self.total_head_m > 0.0 { self.flow_m3_s / self.total_head_m.sqrt() } else { 0.0 }
    }
}

/// Marches from the dead end to the inlet at a given head over the last hole.
///
/// At each hole `q = c sqrt(h)`; then the regain is taken off, friction over one spacing (Darcy-Weisbach) and the rise of the segment
/// are added. `last_head_m` may be negative for a bar that rises above its supply; such holes give nothing and are counted as dry.
/// The friction factor is renewed every `friction_every` holes, at the flow expected in the middle of such a group: 1 is exact; 8
/// changes the flow by 3e-6 of a wide bar, 7e-5 of a 1 in bar with 40 holes. `on_hole(i, flow, head)` is called from the last hole to the first.
pub fn march_bar<R: HoleRow + ?Sized>(
    tube: &BarTube,
    holes: &R,
    water: PipeWater,
    last_head_m: f64,
    friction_every: usize,
    mut on_hole: impl FnMut(usize, f64, f64),
) -> BarInlet {
    let count = holes.count();
    let spacing_m = tube.length_m / count as f64;
    let segment =
        PipeRun { length_m: spacing_m, bore_m: tube.bore_m, roughness_m: tube.roughness_m, loss_coefficient: 0.0 };
    let speed_per_flow = 1.0 / segment.area_m2();
    let velocity_head_per_flow2 = speed_per_flow * speed_per_flow / (2.0 * G);
    let rise_m = tube.rise_m / count as f64;
    let efficiency = match tube.drive {
        HoleDrive::Regain { efficiency } => efficiency,
        HoleDrive::TotalHead => 0.0,
    };
    let group = friction_every.max(1);
    let (mut flow, mut head, mut dry_holes) = (0.0, last_head_m, 0);
    let mut resistance = 0.0;
    let mut until_renewal = 0;
    for i in (0..count).rev() {
        let mut c = holes.coefficient(i);
        let root_head = head.max(0.0).sqrt();
        if tube.cross_flow_slope != 0.0 {
            let passing_m_s = (flow + c * root_head) * speed_per_flow;
            let total_m = match tube.drive {
                HoleDrive::Regain { .. } => head + flow * flow * velocity_head_per_flow2,
                HoleDrive::TotalHead => head,
            };
            c = cross_flow_discharge_coefficient(c, tube.cross_flow_slope, passing_m_s, total_m);
        }
        let q = c * root_head;
        if head <= 0.0 && c > 0.0 {
            dry_holes += 1;
        }
        on_hole(i, q, head);
        let below = flow;
        flow += q;
        if until_renewal == 0 {
            let middle = flow + 0.5 * (group - 1) as f64 * q;
            resistance =
                segment.resistance_s2_m5(segment.friction_factor(middle, water.kinematic_viscosity_m2_s, water.law));
            until_renewal = group;
        }
        until_renewal -= 1;
        let regain = efficiency * (flow - below) * (flow + below) * velocity_head_per_flow2;
        head += resistance * flow * flow - regain + rise_m;
    }
    let velocity_head = match tube.drive {
        HoleDrive::Regain { .. } => flow * flow * velocity_head_per_flow2,
        HoleDrive::TotalHead => 0.0,
    };
    BarInlet { flow_m3_s: flow, total_head_m: head + velocity_head, speed_m_s: flow * speed_per_flow, dry_holes }
}

/// Why a bar cannot be computed.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BarError {
    /// No holes, or a size that is not a positive number.
    #[error("a spray bar needs at least one hole, and a length and a bore above zero")]
    Impossible,
    /// The supply does not reach it.
    #[error("no water reaches the spray bar: the head at its inlet is {head_m:.2} m above its level")]
    Dry {
        /// Total head at the inlet, above the air outside (m).
        head_m: f64,
    },
}

/// Flow of a bar under a given total head at its inlet.
///
/// Finds the head over the last hole from which the march arrives at `total_head_m`. The total head at the inlet grows with
/// it without turning back, so there is one answer. Returns the state of the inlet and the head over the last hole (m).
pub fn bar_inlet<R: HoleRow + ?Sized>(
    tube: &BarTube,
    holes: &R,
    water: PipeWater,
    total_head_m: f64,
) -> Result<(BarInlet, f64), BarError> {
    if holes.count() == 0 || !(tube.length_m > 0.0 && tube.bore_m > 0.0 && total_head_m.is_finite()) {
        return Err(BarError::Impossible);
    }
    if total_head_m <= tube.rise_m.min(0.0) {
        return Err(BarError::Dry { head_m: total_head_m });
    }
    let low = -tube.rise_m.max(0.0);
    let high = total_head_m + (-tube.rise_m).max(0.0);
    let excess = |last: f64| march_bar(tube, holes, water, last, 1, |_, _, _| {}).total_head_m - total_head_m;
    let last = bracketed_root(excess, low, high, 0.0).ok_or(BarError::Dry { head_m: total_head_m })?;
    Ok((march_bar(tube, holes, water, last, 1, |_, _, _| {}), last))
}

/// A bar hole by hole.
#[derive(Debug, Clone, PartialEq)]
pub struct BarFlow {
    /// State at the inlet.
    pub inlet: BarInlet,
    /// Flow of each hole from inlet to dead end (m3/s).
    pub hole_flow_m3_s: Vec<f64>,
    /// Pressure head over each hole (m).
    pub hole_head_m: Vec<f64>,
}

/// Flow of each hole of a bar under a given total head at its inlet.
pub fn solve_bar<R: HoleRow + ?Sized>(
    tube: &BarTube,
    holes: &R,
    water: PipeWater,
    total_head_m: f64,
) -> Result<BarFlow, BarError> {
    let (_, last) = bar_inlet(tube, holes, water, total_head_m)?;
    let mut hole_flow_m3_s = vec![0.0; holes.count()];
    let mut hole_head_m = vec![0.0; holes.count()];
    let inlet = march_bar(tube, holes, water, last, 1, |i, q, h| {
        hole_flow_m3_s[i] = q;
        hole_head_m[i] = h;
    });
    Ok(BarFlow { inlet, hole_flow_m3_s, hole_head_m })
}

/// How evenly the open holes of a bar spray.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evenness {
    /// Last open hole over first (-).
    pub last_over_first: f64,
    /// Least over most (-).
    pub least_over_most: f64,
    /// Standard deviation over mean (-).
    pub coefficient_of_variation: f64,
}

impl BarFlow {
    /// Evenness over the holes that spray; `None` when none does.
    pub fn evenness(&self) -> Option<Evenness> {
        let open = || self.hole_flow_m3_s.iter().copied().filter(|&q| q > 0.0);
        let (first, last) = (open().next()?, open().next_back()?);
        let (mut count, mut sum, mut least, mut most) = (0.0, 0.0, f64::INFINITY, 0.0_f64);
        for q in open() {
            count += 1.0;
            sum += q;
            least = least.min(q);
            most = most.max(q);
        }
        let mean = sum / count;
        let variance = open().map(|q| (q - mean) * (q - mean)).sum::<f64>() / count;
        Some(Evenness {
            last_over_first: last / first,
            least_over_most: least / most,
            coefficient_of_variation: variance.sqrt() / mean,
        })
    }
}

/// Friction of a pipe with equal outlets over that of the same pipe carrying the whole flow to its end.
///
/// `F = 1/(m+1) + 1/(2N) + sqrt(m-1)/(6 N^2)`; `N` outlets, the first a full spacing from the inlet; `m` exponent of the flow in the
/// friction law, 1.852 (Hazen-Williams) or 2 (rough Darcy-Weisbach) (-); result (-).
/// Source: J. E. Christiansen, Irrigation by Sprinkling, 1942 (formula from memory). Exact for m = 2, where it is
/// `(N+1)(2N+1)/(6 N^2)`; for 1.852 within 0.01 % from ten outlets on, 0.45 % for one. Simplified: equal outlets; the error of that is at most about 3 % of the friction.
///
/// ```
/// # use washgraph_physics::hydraulics::spray_bar::christiansen_factor;
/// assert!((christiansen_factor(10.0, 2.0) - 0.385).abs() < 1e-12);
/// ```
pub fn christiansen_factor(outlets: f64, flow_exponent: f64) -> f64 {
    1.0 / (flow_exponent + 1.0) + 0.5 / outlets + (flow_exponent - 1.0).max(0.0).sqrt() / (6.0 * outlets * outlets)
}

/// Area of all holes over the area of the bore (-).
///
/// Half or less keeps first and last hole within about 4 % of each other, a quarter within 1 %: computed here for bars of drum
/// length.
pub fn hole_to_bore_area(hole_m: f64, holes: f64, bore_m: f64) -> f64 {
    holes * hole_m * hole_m / (bore_m * bore_m)
}

/// Most hole area over bore area for an even bar (-). Computed here.
pub const HOLE_TO_BORE_LIMIT: f64 = 0.5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydraulics::orifice::emitter_coefficient;
    use proptest::prelude::*;

    const WATER: PipeWater = PipeWater { kinematic_viscosity_m2_s: 1.022e-6, law: FrictionLaw::Churchill };

    fn tube(bore_m: f64, rise_m: f64) -> BarTube {
        BarTube {
            length_m: 2.4,
            bore_m,
            roughness_m: 5e-5,
            rise_m,
            drive: HoleDrive::Regain { efficiency: 1.0 },
            cross_flow_slope: 0.0,
        }
    }

    fn holes(count: usize) -> EqualHoles {
        EqualHoles { count, coefficient: emitter_coefficient(0.61, 0.006) }
    }

    #[test]
    fn identity_christiansen_is_the_sum_over_the_outlets() {
        for n in [1_u32, 3, 40] {
            for m in [1.852, 2.0] {
                let nf = f64::from(n);
                let sum: f64 = (1..=n).map(|i| washgraph_units::math::pow(f64::from(i) / nf, m)).sum::<f64>() / nf;
                let limit = if m == 2.0 { 1e-12 } else { 5e-3 / (nf * nf) };
                assert!((christiansen_factor(nf, m) / sum - 1.0).abs() < limit, "{n} {m}");
            }
        }
    }

    #[test]
    fn identity_wide_bar_is_forty_holes() {
        let (inlet, _) = bar_inlet(&tube(2.0, 0.0), &holes(40), WATER, 10.0).unwrap();
        assert!((inlet.flow_m3_s / (40.0 * holes(1).coefficient * 10.0_f64.sqrt()) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn identity_level_of_each_hole_counts() {
        // A wide bar that rises 2 m towards its end: each hole sees the static head left at its own level.
        let bar = solve_bar(&tube(1.0, 2.0), &holes(20), WATER, 5.0).unwrap();
        for (i, h) in bar.hole_head_m.iter().enumerate() {
            assert!((h - (5.0 - 0.1 * (i + 1) as f64)).abs() < 1e-4, "{i} {h}");
        }
        let starved = solve_bar(&tube(1.0, 2.0), &holes(20), WATER, 1.01).unwrap();
        assert_eq!(starved.inlet.dry_holes, 10);
        assert!(bar_inlet(&tube(1.0, 2.0), &holes(20), WATER, -0.1).is_err());
    }

    #[test]
    fn identity_energy_closes_with_full_regain() {
        // With full regain total head is lost to friction alone.
        let bar = tube(0.04, 0.0);
        let mut friction = 0.0;
        let solved = solve_bar(&bar, &holes(40), WATER, 12.0).unwrap();
        let run = PipeRun { length_m: 0.06, bore_m: 0.04, roughness_m: 5e-5, loss_coefficient: 0.0 };
        let mut flow = solved.inlet.flow_m3_s;
        for q in &solved.hole_flow_m3_s {
            friction += run.head_loss_m(flow, 1.022e-6, FrictionLaw::Churchill);
            flow -= q;
        }
        assert!(flow.abs() < 1e-12);
        assert!((solved.inlet.total_head_m - friction - solved.hole_head_m[39]).abs() < 1e-9);
    }

    #[test]
    fn pinned_grouped_friction_changes_little() {
        for bore in [0.0254, 0.0508, 0.0762] {
            let exact = march_bar(&tube(bore, 0.0), &holes(40), WATER, 10.0, 1, |_, _, _| {});
            let grouped = march_bar(&tube(bore, 0.0), &holes(40), WATER, 10.0, 8, |_, _, _| {});
            let off = grouped.coefficient() / exact.coefficient() - 1.0;
            assert!(off.abs() < 1e-4, "{bore}: {off}");
        }
    }

    #[test]
    fn property_plugged_and_worn_holes_move_the_flow_their_way() {
        let c = holes(1).coefficient;
        let mut row = vec![c; 40];
        let base = solve_bar(&tube(0.05, 0.0), row.as_slice(), WATER, 14.0).unwrap().inlet.flow_m3_s;
        row[5] = 0.0;
        let plugged = solve_bar(&tube(0.05, 0.0), row.as_slice(), WATER, 14.0).unwrap();
        assert!(plugged.inlet.flow_m3_s < base && plugged.hole_flow_m3_s[5] == 0.0 && plugged.inlet.dry_holes == 0);
        row[5] = 1.5 * c;
        assert!(solve_bar(&tube(0.05, 0.0), row.as_slice(), WATER, 14.0).unwrap().inlet.flow_m3_s > base);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        #[test]
        fn property_flow_grows_with_head_bore_and_hole(
            head in 0.5_f64..40.0, bore in 0.025_f64..0.1, hole in 0.003_f64..0.012, count in 5_usize..80,
        ) {
            let flow = |head: f64, bore: f64, hole: f64| {
                let row = EqualHoles { count, coefficient: emitter_coefficient(0.61, hole) };
                bar_inlet(&tube(bore, 0.0), &row, WATER, head).unwrap().0
            };
            let base = flow(head, bore, hole);
            prop_assert!((base.total_head_m - head).abs() < 1e-9 * head.max(1.0));
            prop_assert!(flow(1.05 * head, bore, hole).flow_m3_s > base.flow_m3_s);
            prop_assert!(flow(head, 1.05 * bore, hole).flow_m3_s > base.flow_m3_s);
            prop_assert!(flow(head, bore, 1.05 * hole).flow_m3_s > base.flow_m3_s);
        }
    }
}
