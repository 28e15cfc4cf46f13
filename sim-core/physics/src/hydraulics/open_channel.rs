//! Open channel: ditch, flume, slick plate and, roughly, the box of a sluice.
//!
//! Normal depth by Manning in a rectangular box. (The riffled sluice of the plant model uses a logarithmic law instead.)

use super::root::bracketed_root;
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::QUARTZ_KG_M3;
use washgraph_units::constants::STANDARD_GRAVITY_M_S2 as G;
use washgraph_units::formula::Formula;
use washgraph_units::math::{cbrt, pow};
use washgraph_units::quantity::Dimension as D;

/// Hydraulic radius of a rectangular box.
///
/// `R = w y/(w + 2 y)`; width and depth (m); result (m). Geometry.
pub fn hydraulic_radius_m(width_m: f64, depth_m: f64) -> f64 {
    width_m * depth_m / (width_m + 2.0 * depth_m)
}

/// Flow of a rectangular box at a depth.
///
/// `Q = (1/n) w y R^(2/3) S^(1/2)`; `n` 0.010-0.05 (s/m^(1/3)), `w`, `y` (m), `S` slope as tangent 0-0.3 (-); result (m3/s).
/// Source: R. Manning 1891, SI form. Simplified: uniform flow, deep against the roughness (poor over riffles).
pub fn manning_flow_m3_s(manning_n: f64, width_m: f64, depth_m: f64, slope: f64) -> f64 {
    width_m * depth_m / manning_n * pow(hydraulic_radius_m(width_m, depth_m), 2.0 / 3.0) * slope.max(0.0).sqrt()
}

/// Depth at which a rectangular box carries a flow in uniform motion.
///
/// Solves [`manning_flow_m3_s`] for `y` (m). NaN for a flow, width, `n` or slope that is not above zero.
pub fn normal_depth_m(flow_m3_s: f64, width_m: f64, slope: f64, manning_n: f64) -> f64 {
    if !(flow_m3_s > 0.0 && width_m > 0.0 && slope > 0.0 && manning_n > 0.0) {
        return f64::NAN;
    }
    // The wide-channel depth is too small; in a narrow box R tends to w/2, which bounds it from above.
    let wide = pow(flow_m3_s * manning_n / (width_m * slope.sqrt()), 0.6);
    let excess = |y: f64| manning_flow_m3_s(manning_n, width_m, y, slope) / flow_m3_s - 1.0;
    let mut high = 2.0 * wide;
    for _ in 0..200 {
        if excess(high) > 0.0 {
            break;
        }
        high *= 2.0;
    }
    bracketed_root(excess, 0.5 * wide, high, 0.0).unwrap_or(f64::NAN)
}

/// Froude number of a flow of depth `y`.
///
/// `Fr = V/sqrt(g y)`; `V` (m/s), `y` (m); result (-). Above 1 the flow is rapid: what is downstream cannot set the depth. A jump
/// back to slow flow means a loss of scour.
pub fn froude(speed_m_s: f64, depth_m: f64) -> f64 {
    speed_m_s / (G * depth_m).sqrt()
}

/// Depth at which the flow of a rectangular box has the least energy (Fr = 1).
///
/// `y_c = (Q^2/(w^2 g))^(1/3)`; `Q` (m3/s), `w` (m); result (m). Any open-channel text.
pub fn critical_depth_m(flow_m3_s: f64, width_m: f64) -> f64 {
    let per_width = flow_m3_s / width_m;
    cbrt(per_width * per_width / G)
}

/// Drag of the flow on its bed.
///
/// `tau = rho g R S`; `rho` of the slurry (kg/m3), `R` (m), `S` tangent (-); result (Pa). Source: balance of weight and drag.
pub fn bed_shear_pa(density_kg_m3: f64, hydraulic_radius_m: f64, slope: f64) -> f64 {
    density_kg_m3 * G * hydraulic_radius_m * slope
}

/// Largest stone that the bed shear moves.
///
/// `d = tau/(theta_c (rho_s - rho) g)`; `tau` (Pa), `theta_c` 0.045-0.06 (-), densities (kg/m3); result (m).
/// Source: Shields 1936 (from memory). Simplified: stones among their like; one that stands up higher in the flow moves sooner.
pub fn mobile_size_m(shear_pa: f64, shields_critical: f64, stone_kg_m3: f64, fluid_kg_m3: f64) -> f64 {
    shear_pa / (shields_critical * (stone_kg_m3 - fluid_kg_m3) * G)
}

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "manning-depth",
        "Depth and speed of water in a rectangular ditch, flume or box",
        "Q = (1/n) w y R^(2/3) S^(1/2), R = w y/(w + 2y);  Fr = V/sqrt(g y);  y_c = \
    (Q^2/(w^2 g))^(1/3);  tau = rho g R S",
        evaluate!(|q, w, s, n, rho| {
            let y = normal_depth_m(q, w, s, n);
            let v = q / (w * y);
            [y, v, froude(v, y), critical_depth_m(q, w), bed_shear_pa(rho, hydraulic_radius_m(w, y), s)]
        }),
    )
    .inputs(&[
        needed("flow", "water and solids", D::Flow, "L/s", POSITIVE),
        needed("width", "inside width", D::Length, "m", (0.02, 50.0)),
        needed("slope", "slope as a tangent", D::Slope, "in/ft", (1e-5, 0.5)),
        needed(
            "manning_n",
            "0.012 smooth steel, 0.024 angle-iron riffles, 0.025 gravelly ditch",
            D::Number,
            "-",
            (0.009, 0.08),
        ),
        preset("density", "density of the slurry", D::Density, "kg/m3", (950.0, 1_800.0), 1_000.0),
    ])
    .outputs(&[
        output("depth", "normal depth", D::Length, "mm"),
        output("speed", "mean speed", D::Velocity, "m/s"),
        output("froude", "Froude number, above 1 is rapid", D::Number, "-"),
        output("critical_depth", "depth at Fr = 1", D::Length, "mm"),
        output("bed_shear", "drag on the bed", D::Stress, "Pa"),
    ])
    .source("Manning 1891; n of sd-w.com tables", Status::Seen)
    .limits("Uniform flow, deep against the roughness; over riffles it is a rough guide."),
    Formula::new(
        "manning-flow",
        "Water that a rectangular ditch, flume or box carries at a depth",
        "Q = (1/n) w y R^(2/3) S^(1/2)",
        evaluate!(|y, w, s, n| {
            let q = manning_flow_m3_s(n, w, y, s);
            [q, q / (w * y)]
        }),
    )
    .inputs(&[
        needed("depth", "depth of the water", D::Length, "mm", (0.001, 10.0)),
        needed("width", "inside width", D::Length, "m", (0.02, 50.0)),
        needed("slope", "slope as a tangent", D::Slope, "in/ft", (1e-5, 0.5)),
        needed(
            "manning_n",
            "0.012 smooth steel, 0.024 angle-iron riffles, 0.025 gravelly ditch",
            D::Number,
            "-",
            (0.009, 0.08),
        ),
    ])
    .outputs(&[output("flow", "water and solids", D::Flow, "L/s"), output("speed", "mean speed", D::Velocity, "m/s")])
    .source("Manning 1891", Status::Seen),
    Formula::new(
        "critical-depth",
        "Depth at which the flow of a rectangular box turns from slow to rapid",
        "y_c = (Q^2/(w^2 g))^(1/3)",
        evaluate!(|q, w| [critical_depth_m(q, w)]),
    )
    .inputs(&[
        needed("flow", "water and solids", D::Flow, "L/s", POSITIVE),
        needed("width", "inside width", D::Length, "m", (0.02, 50.0)),
    ])
    .outputs(&[output("critical_depth", "depth at Fr = 1", D::Length, "mm")])
    .source("open-channel texts", Status::Seen),
    Formula::new(
        "mobile-stone",
        "Largest stone that the drag of the water moves",
        "d = tau/(theta_c (rho_s - rho) g)",
        evaluate!(|tau, theta, rho_s, rho| [mobile_size_m(tau, theta, rho_s, rho)]),
    )
    .inputs(&[
        needed("bed_shear", "drag on the bed", D::Stress, "Pa", POSITIVE),
        preset("shields_critical", "Shields number at the start of motion", D::Number, "-", (0.02, 0.1), 0.047),
        preset("stone_density", "density of the stone", D::Density, "kg/m3", (1_200.0, 20_000.0), QUARTZ_KG_M3),
        preset("density", "density of the slurry", D::Density, "kg/m3", (950.0, 1_800.0), 1_000.0),
    ])
    .outputs(&[output("size", "largest stone moved", D::Length, "mm")])
    .source("Shields 1936", Status::Memory)
    .limits("Stones among their like; one that stands higher moves sooner."),
];

/// Checks.
pub const CHECKS: &[Check] = &[Check::new("critical-depth-froude-one", "critical depth", || {
    let y = critical_depth_m(0.04, 0.6);
    froude(0.04 / (0.6 * y), y)
})
.against(Kind::Identity, "Fr = 1 at critical depth", Status::Computed)
.value(1.0, "-")
.within(Band::Absolute(1e-12))];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    fn speed_m_s(q: f64, w: f64, s: f64, n: f64) -> f64 {
        q / (w * normal_depth_m(q, w, s, n))
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("manning-0m6-40ls-1in6-depth", || normal_depth_m(0.040, 0.6, 1.0 / 6.0, 0.020)),
        ("manning-0m6-40ls-1in6-speed", || speed_m_s(0.040, 0.6, 1.0 / 6.0, 0.020)),
        ("manning-0m6-40ls-1in6-froude", || {
            let y = normal_depth_m(0.040, 0.6, 1.0 / 6.0, 0.020);
            froude(0.040 / (0.6 * y), y)
        }),
        ("manning-0m6-40ls-1in12-n15", || speed_m_s(0.040, 0.6, 1.0 / 12.0, 0.015)),
        ("manning-0m6-40ls-1in12-n40", || speed_m_s(0.040, 0.6, 1.0 / 12.0, 0.040)),
        ("manning-0m6-80ls-1in6-n25", || speed_m_s(0.080, 0.6, 1.0 / 6.0, 0.025)),
        ("manning-0m9-40ls-1in6-n30", || speed_m_s(0.040, 0.9, 1.0 / 6.0, 0.030)),
        ("mobile-stone-25pa", || 1_000.0 * mobile_size_m(25.0, 0.047, QUARTZ_KG_M3, 1_000.0)),
        ("mobile-stone-40pa", || 1_000.0 * mobile_size_m(40.0, 0.047, QUARTZ_KG_M3, 1_000.0)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_depth_and_flow_are_inverse() {
        for (q, w) in [(0.001, 0.3), (0.04, 0.6), (0.5, 0.05), (3.0, 2.0)] {
            let y = normal_depth_m(q, w, 0.1, 0.02);
            assert!((manning_flow_m3_s(0.02, w, y, 0.1) / q - 1.0).abs() < 1e-12);
        }
        assert!(normal_depth_m(0.0, 1.0, 0.1, 0.02).is_nan());
    }

    #[test]
    fn property_depth_moves_the_right_way() {
        let y = |q, w, s, n| normal_depth_m(q, w, s, n);
        let base = y(0.04, 0.6, 0.1, 0.02);
        assert!(y(0.05, 0.6, 0.1, 0.02) > base && y(0.04, 0.7, 0.1, 0.02) < base);
        assert!(y(0.04, 0.6, 0.12, 0.02) < base && y(0.04, 0.6, 0.1, 0.025) > base);
    }
}
