//! Geometry of the bed's cross-section: a segment of a circle, lying below its chord.
//!
//! R inside radius, h depth at mid-chord, c half-chord, phi half of the angle under which the chord is seen from the axis.

use core::f64::consts::PI;

use super::symbol::{DRUM_DIAMETER, input, output};
use washgraph_units::check::Status;
use washgraph_units::formula::Formula;
use washgraph_units::math::{acos, sin};
use washgraph_units::quantity::Dimension;

/// Half-angle of the bed seen from the axis, phi = acos(1 - h/R).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | h | depth at mid-chord | m | 0 to 2R |
/// | R | inside radius | m | > 0 |
///
/// Source: plane geometry. Outside the range: NaN.
pub fn half_angle_rad(depth_m: f64, radius_m: f64) -> f64 {
    acos(1.0 - depth_m / radius_m)
}

/// Area of the bed's cross-section, A = R^2 (phi - sin phi cos phi), m2. R radius m, phi half-angle rad (0 to pi).
///
/// Source: plane geometry.
pub fn segment_area_m2(half_angle_rad: f64, radius_m: f64) -> f64 {
    radius_m * radius_m * (half_angle_rad - 0.5 * sin(2.0 * half_angle_rad))
}

/// Share of the drum's cross-section that the bed fills, F = A/(pi R^2).
///
/// Source: definition.
pub fn fill(area_m2: f64, radius_m: f64) -> f64 {
    area_m2 / (PI * radius_m * radius_m)
}

/// Half-chord of the bed surface, c = sqrt(2 R h - h^2), m; h depth m (0 to 2R), R radius m.
///
/// Source: plane geometry.
pub fn half_chord_m(depth_m: f64, radius_m: f64) -> f64 {
    (2.0 * radius_m * depth_m - depth_m * depth_m).sqrt()
}

/// Depth of a bed less than half full from its half-chord, h = R - sqrt(R^2 - c^2), m.
///
/// Written as c^2/(R + sqrt(R^2 - c^2)), which keeps its digits for thin beds. Source: plane geometry. For c > R: NaN.
pub fn depth_from_half_chord_m(half_chord_m: f64, radius_m: f64) -> f64 {
    let c2 = half_chord_m * half_chord_m;
    c2 / (radius_m + (radius_m * radius_m - c2).sqrt())
}

/// Distance of the bed's centre of gravity from the axis, r_cg = (2/3) R sin^3 phi/(phi - sin phi cos phi), m.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | phi | half-angle of the bed | rad | 0 < phi <= pi |
/// | R | inside radius | m | > 0 |
///
/// Source: plane geometry. Below phi = 1e-3, where numerator and denominator cancel, the limit R (1 - phi^2/10 ...) is
/// within 1e-6 of R and R is returned.
pub fn centroid_radius_m(half_angle_rad: f64, radius_m: f64) -> f64 {
    if half_angle_rad < 1e-3 {
        return radius_m;
    }
    let s = sin(half_angle_rad);
    (2.0 / 3.0) * radius_m * s * s * s / (half_angle_rad - 0.5 * sin(2.0 * half_angle_rad))
}

/// Mean depth of the bed measured from the shell, h_m = A/(2 R phi), m: area over wetted arc.
///
/// Source: definition. For an empty section: NaN.
pub fn mean_depth_m(area_m2: f64, half_angle_rad: f64, radius_m: f64) -> f64 {
    area_m2 / (2.0 * radius_m * half_angle_rad)
}

/// Handbook entry.
pub const BED_SECTION: Formula = Formula::new(
    "drum-bed-section",
    "Cross-section of the bed in a drum from its depth.",
    "phi = acos(1 - h/R); A = R^2 (phi - sin phi cos phi); F = A/(pi R^2); c = sqrt(2 R h - h^2); \
               r_cg = (2/3) R sin^3 phi/(phi - sin phi cos phi); h_m = A/(2 R phi)",
    |x| {
        let r = 0.5 * x[0];
        let phi = half_angle_rad(x[1], r);
        let a = segment_area_m2(phi, r);
        vec![a, fill(a, r), half_chord_m(x[1], r), phi, centroid_radius_m(phi, r), mean_depth_m(a, phi, r)]
    },
)
.inputs(&[DRUM_DIAMETER, input("depth", "bed depth at mid-chord", Dimension::Length, "mm", (0.0, 2.5))])
.outputs(&[
    output("area", "area of the cross-section", Dimension::Area, "m2"),
    output("fill", "share of the drum's cross-section that is filled", Dimension::Fraction, "%"),
    output("half_chord", "half-chord of the bed surface", Dimension::Length, "mm"),
    output("half_angle", "half of the angle filled, seen from the axis", Dimension::Angle, "deg"),
    output("centroid_radius", "distance of the centre of gravity from the axis", Dimension::Length, "mm"),
    output("mean_depth", "area over wetted arc", Dimension::Length, "mm"),
])
.source("plane geometry", Status::Computed)
.limits("depth from 0 to the diameter; NaN outside");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_half_full_and_thin_limits() {
        let r = 0.45;
        assert!((fill(segment_area_m2(half_angle_rad(r, r), r), r) - 0.5).abs() < 1e-14);
        assert!((centroid_radius_m(0.5 * PI, r) - 4.0 * r / (3.0 * PI)).abs() < 1e-14);
        assert!((centroid_radius_m(1.1e-3, r) / centroid_radius_m(0.9e-3, r) - 1.0).abs() < 1e-5);
        let h = 0.177;
        assert!((depth_from_half_chord_m(half_chord_m(h, r), r) - h).abs() < 1e-14);
    }
}
