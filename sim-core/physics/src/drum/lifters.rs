//! Bars and high lifters: what they carry up, how far it drops, what that does to the bed.
//!
//! ```text
//!        release, half a repose angle above level
//!           o. .  .
//!       ___/   .     drop
//!      |heap|   .
//!      | /  \    v   surface of the bed, tilted by the repose angle
//! ```
//! A lifter that has risen to the level of the axis holds a heap whose face stands at repose: a triangle as wide on the wall
//! as h tan(theta), h deep. The share of the circumference that such heaps take up, s, and the height say all.

use core::f64::consts::PI;

use super::symbol::{DRUM_DIAMETER, DRUM_SPEED, REPOSE, input, output};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::STANDARD_GRAVITY_M_S2;
use washgraph_units::formula::Formula;
use washgraph_units::math::{cos, sin, tan};
use washgraph_units::quantity::Dimension;

/// Load factor of the cascade, between 2 (light) and pi (heavy): Saeman & Mitchell 1954, from memory; middle taken here.
const CASCADE_LOAD: f64 = 2.5;
/// Lifters higher than this share of the diameter count as high ones. Assumed.
pub const HIGH_SHARE: f64 = 0.1;

/// Lifters of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lifters {
    /// Height above the shell, m.
    pub height_m: f64,
    /// Share of the circumference that their heaps take up, 0 to 1.
    pub share: f64,
}

/// What lifters do to the bed at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Volume carried up per turn and metre of length, m2.
    pub lifted_m2: f64,
    /// Height through which it drops onto the bed, m.
    pub drop_m: f64,
}

/// What the angle of repose makes of a drop; prepared once for a drum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spill {
    /// 1/cos(theta).
    per_cos: f64,
    /// cos(theta/2) tan(theta) - sin(theta/2).
    fall: f64,
}

impl Spill {
    /// For an angle of repose.
    pub fn at(repose_rad: f64) -> Self {
        let half = 0.5 * repose_rad;
        Spill { per_cos: 1.0 / cos(repose_rad), fall: cos(half) * tan(repose_rad) - sin(half) }
    }
}

impl Lifters {
    /// The lift at a place with this bed.
    pub fn lift(self, area_m2: f64, cos_half_angle: f64, radius_m: f64, spill: &Spill) -> Lift {
        Lift {
            lifted_m2: lifted_m2(self.share, self.height_m, radius_m, area_m2),
            drop_m: drop_m(self.height_m, radius_m, cos_half_angle, spill),
        }
    }
}

/// Volume that lifters carry up per turn and metre of length, V = V_0 A/(A + V_0) with V_0 = s 2 pi R h/2, m2.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | s | share of the circumference that the heaps take up | - | 0 to 1 |
/// | h | height of the lifters | m | 0 to R/2 |
/// | R | inside radius | m | > 0 |
/// | A | cross-section of the bed | m2 | >= 0 |
///
/// Source: triangle of the heap, derived here. N lifters take up s = N h tan(theta)/(2 pi R). The bed is lifted at most once a
/// turn (assumed; the fraction brings that in smoothly). Heaps that spill early are left out.
pub fn lifted_m2(share: f64, height_m: f64, radius_m: f64, area_m2: f64) -> f64 {
    let full = share * PI * radius_m * height_m;
    if full > 0.0 { full * area_m2 / (area_m2 + full) } else { 0.0 }
}

/// Height through which lifted gravel drops, H = R cos(phi)/cos(theta) - (R - h/2)(cos(theta/2) tan(theta) - sin(theta/2)), m.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | R, h | inside radius, height of the lifters | m | h < R |
/// | phi | half-angle of the bed | rad | 0 to pi/2 |
/// | theta | angle of repose | rad | 0.5 to 0.7 |
///
/// Source: geometry, derived here. A heap starts to spill when its lifter is level and is empty when the lifter slopes at
/// repose: half way between, the heap's middle stands theta/2 above the axis; H is from there straight down to the surface of
/// the bed. The throw is left out (at 40 % of critical it adds a tenth of the radius). 0 where the surface is above it.
pub fn drop_m(height_m: f64, radius_m: f64, cos_half_angle: f64, spill: &Spill) -> f64 {
    (radius_m * cos_half_angle * spill.per_cos - (radius_m - 0.5 * height_m) * spill.fall).max(0.0)
}

/// Share of the turnovers that lifting makes, x = V/(V + A pi/phi). V lifted and A bed m2, phi half-angle rad.
///
/// Source: volumes turned over per turn, derived here: a rolling bed is turned over pi/phi times.
pub fn lifted_share(lifted_m2: f64, area_m2: f64, half_angle_rad: f64) -> f64 {
    let rolled = area_m2 * PI / half_angle_rad;
    if rolled > 0.0 { lifted_m2 / (lifted_m2 + rolled) } else { 0.0 }
}

/// Factor on the flow in the depth equation where lifters act: that of [`super::residence::lifter_factor`] at a load factor
/// of 2.5.
pub fn transport_factor(lifted_share: f64) -> f64 {
    super::residence::lifter_factor(lifted_share, CASCADE_LOAD)
}

/// Power that lifting takes per metre of drum, n V rho_w g H, W/m.
///
/// n turns per second, V lifted m2, rho_w wet density kg/m3, H drop m. Source: weight times height, per turn.
pub fn lift_power_w_m(speed_rev_s: f64, lifted_m2: f64, wet_density_kg_m3: f64, drop_m: f64) -> f64 {
    speed_rev_s * lifted_m2 * wet_density_kg_m3 * STANDARD_GRAVITY_M_S2 * drop_m
}

/// Speed at which dropped stones land, sqrt(2 g H), m/s. Source: free fall; the throw is left out.
pub fn landing_speed_m_s(drop_m: f64) -> f64 {
    (2.0 * STANDARD_GRAVITY_M_S2 * drop_m).sqrt()
}

/// Whether what drops lands on the bare shell beside the bed: (1 - h/(2R)) cos(theta/2) > sin(theta + phi).
///
/// Symbols as [`drop_m`]. Source: geometry; the upper end of the bed stands at theta + phi from the bottom. Past a right
/// angle the bed reaches under the drop.
pub fn beats_the_shell(height_m: f64, radius_m: f64, half_angle_rad: f64, repose_rad: f64) -> bool {
    let top = repose_rad + half_angle_rad;
    top < 0.5 * PI && (1.0 - 0.5 * height_m / radius_m) * cos(0.5 * repose_rad) > sin(top)
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "drum-lifters",
    "What lifters carry up, how far it drops, and the power that it takes.",
    "V_0 = s pi R h; V = V_0 A/(A + V_0); H = R cos(phi)/cos(theta) - (R - h/2)(cos(theta/2) tan(theta) - \
               sin(theta/2)); x = V/(V + A pi/phi); P = n V rho g H; v = sqrt(2 g H)",
    |x| {
        let r = 0.5 * x[0];
        let phi = super::geometry::half_angle_rad(x[4], r);
        let area = super::geometry::segment_area_m2(phi, r);
        let lift = Lifters { height_m: x[2], share: x[3] }.lift(area, cos(phi), r, &Spill::at(x[5]));
        vec![
            x[3] * 2.0 * PI * r / (x[2] * tan(x[5])),
            lift.lifted_m2,
            lifted_share(lift.lifted_m2, area, phi),
            lift.drop_m,
            lift_power_w_m(x[1], lift.lifted_m2, 2000.0, lift.drop_m),
            landing_speed_m_s(lift.drop_m),
        ]
    },
)
.inputs(&[
    DRUM_DIAMETER,
    DRUM_SPEED,
    input("height", "height of the lifters", Dimension::Length, "mm", (0.0, 1.0)),
    input("share", "share of the circumference under their heaps", Dimension::Fraction, "%", (0.0, 1.0)),
    input("depth", "depth of the bed at mid-chord", Dimension::Length, "mm", (1e-3, 2.0)),
    REPOSE,
])
.outputs(&[
    output("count", "lifters round the shell that make this share", Dimension::Number, "-"),
    output("lifted", "volume lifted per turn and length", Dimension::Area, "m2"),
    output("lifted_share", "share of the turnovers made by lifting", Dimension::Fraction, "%"),
    output("drop", "height of the drop", Dimension::Length, "mm"),
    output("power_per_m", "power of lifting per metre of drum, bed of 2000 kg/m3 wet", Dimension::Power, "kW"),
    output("landing", "speed at which stones land", Dimension::Velocity, "m/s"),
])
.source("geometry of the heap, derived here", Status::Assumed)
.limits("no throw; the bed is lifted at most once a turn")];

/// Checks of this file.
pub const CHECKS: &[Check] = &[Check::new("drum-lifters-level-bed-drop", "drop from lifters", || {
    drop_m(0.1, 1.0, cos(PI / 3.0), &Spill::at(1e-9))
})
.against(
    Kind::Identity,
    "closed form: a bed that lies level (repose 0) under lifters level with the \
    axis: drop R cos(phi) = R/2 at 60 degrees",
    Status::Computed,
)
.value(0.5, "m")
.within(Band::Absolute(1e-8))];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_limits_of_lifting() {
        assert_eq!(lifted_m2(0.0, 0.1, 0.45, 0.05), 0.0);
        assert_eq!(lifted_m2(0.3, 0.1, 0.45, 0.0), 0.0);
        // Far more pocket than bed: the bed is lifted once a turn; far more bed than pocket: the pockets are full.
        assert!((lifted_m2(1.0, 0.4, 0.45, 1e-6) / 1e-6 - 1.0).abs() < 1e-4);
        assert!((lifted_m2(0.01, 0.01, 0.45, 10.0) / (0.01 * PI * 0.45 * 0.01) - 1.0).abs() < 1e-4);
        assert!((transport_factor(0.0) - 1.0).abs() < 1e-15);
        // A thinner bed means a longer drop, and at last one onto the shell.
        let drop = |phi: f64| drop_m(0.15, 0.45, cos(phi), &Spill::at(0.61));
        assert!(drop(0.3) > drop(0.6) && drop(0.6) > drop(0.9));
        assert!(beats_the_shell(0.05, 0.45, 0.2, 0.61) && !beats_the_shell(0.15, 0.45, 0.9, 0.61));
    }
}
