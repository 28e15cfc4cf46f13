//! Handbook entries and checks of [`super::orifice`].

use std::f64::consts::PI;
use washgraph_units::constants::{INCH_M, US_GPM_M3_S};

use super::orifice::{
    cross_flow_discharge_coefficient, emitter_coefficient, emitter_flow_m3_s, hole_area_m2, hydrant_outlet_flow_gpm,
    jet_reach_m, jet_speed_m_s, jet_thrust_n, orifice_flow_m3_s,
};
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::quantity::Dimension as D;

/// One pound-force per square inch, Pa. Source: exact from the pound, the inch and standard gravity, to seven digits.
const PSI_PA: f64 = 6_894.757;

/// Possible discharge coefficients: no hole gives more than an ideal nozzle and the play of a measurement.
pub(super) const COEFFICIENT: (f64, f64) = (0.01, 1.2);

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "orifice-flow",
        "Water through a round hole or nozzle under a pressure, with the speed and push of its jet",
        "Q = n Cd (pi/4) d^2 sqrt(2 dp/rho);  v = sqrt(2 dp/rho);  F = rho Q v",
        evaluate!(|d, dp, cd, n, rho| {
            let flow = n * orifice_flow_m3_s(cd, hole_area_m2(d), dp, rho);
            let speed = jet_speed_m_s(dp, rho);
            [flow, speed, jet_thrust_n(rho, flow, speed)]
        }),
    )
    .inputs(&[
        needed("hole_diameter", "diameter of the hole", D::Length, "mm", (0.0005, 0.3)),
        needed("pressure", "pressure over the hole", D::Pressure, "kPa", (0.0, 2e6)),
        preset(
            "discharge_coefficient",
            "0.61 drilled, 0.40 torch-cut, 0.80 short tube, 0.95 nozzle",
            D::Number,
            "-",
            (0.35, 1.0),
            0.61,
        )
        .possible(COEFFICIENT),
        preset("holes", "number of equal holes", D::Number, "-", (1.0, 10_000.0), 1.0),
        preset("density", "density of the water", D::Density, "kg/m3", (950.0, 1_600.0), 999.7),
    ])
    .outputs(&[
        output("flow", "water through all the holes", D::Flow, "L/s"),
        output("jet_speed", "speed of the jet", D::Velocity, "m/s"),
        output("thrust", "push of all the jets together", D::Force, "N"),
    ])
    .source(
        "Torricelli with a discharge coefficient; coefficients of FHWA HEC-22 section 10.8.2 and NFPA 291",
        Status::Seen,
    )
    .limits("Cd is taken not to change with pressure. A negative pressure gives zero flow."),
    Formula::new(
        "emitter-flow",
        "Water through a round hole or nozzle under a head of water",
        "c = Cd (pi/4) d^2 sqrt(2 g);  Q = n c sqrt(h)",
        evaluate!(|d, h, cd, n| {
            let c = n * emitter_coefficient(cd, d);
            [emitter_flow_m3_s(c, h), c]
        }),
    )
    .inputs(&[
        needed("hole_diameter", "diameter of the hole", D::Length, "mm", (0.0005, 0.3)),
        needed("head", "head over the hole", D::Head, "m", (0.0, 200.0)),
        preset(
            "discharge_coefficient",
            "0.61 drilled, 0.40 torch-cut, 0.80 short tube, 0.95 nozzle",
            D::Number,
            "-",
            (0.35, 1.0),
            0.61,
        )
        .possible(COEFFICIENT),
        preset("holes", "number of equal holes", D::Number, "-", (1.0, 10_000.0), 1.0),
    ])
    .outputs(&[
        output("flow", "water through all the holes", D::Flow, "L/s"),
        output("emitter_coefficient", "flow of all the holes at one metre of head, m^2.5/s", D::Number, "-"),
    ])
    .source("Torricelli with a discharge coefficient", Status::Seen)
    .limits("A negative head gives zero flow."),
    Formula::new(
        "hole-for-flow",
        "Hole diameter that passes a wanted flow under a pressure",
        "d = sqrt(4 Q / (n pi Cd sqrt(2 dp/rho)))",
        evaluate!(|q, dp, cd, n, rho| { [(4.0 * q / (n * PI * cd * jet_speed_m_s(dp, rho))).sqrt()] }),
    )
    .inputs(&[
        needed("flow", "water through all the holes", D::Flow, "L/s", POSITIVE),
        needed("pressure", "pressure over the holes", D::Pressure, "kPa", (1.0, 2e6)),
        preset(
            "discharge_coefficient",
            "0.61 drilled, 0.40 torch-cut, 0.80 short tube, 0.95 nozzle",
            D::Number,
            "-",
            (0.35, 1.0),
            0.61,
        )
        .possible(COEFFICIENT),
        preset("holes", "number of equal holes", D::Number, "-", (1.0, 10_000.0), 1.0),
        preset("density", "density of the water", D::Density, "kg/m3", (950.0, 1_600.0), 999.7),
    ])
    .outputs(&[output("hole_diameter", "diameter of each hole", D::Length, "mm")])
    .source("Torricelli with a discharge coefficient, turned round", Status::Seen),
    Formula::new(
        "jet-reach",
        "How far a jet flies before it drops to its target; an upper bound",
        "x = v cos(a)/g (v sin(a) + sqrt(v^2 sin(a)^2 + 2 g z))",
        evaluate!(|v, a, z| [jet_reach_m(v, a, z)]),
    )
    .inputs(&[
        needed("jet_speed", "speed at the outlet", D::Velocity, "m/s", (0.0, 60.0)),
        preset("angle", "angle of the jet above level", D::Angle, "deg", (-1.571, 1.571), 0.0),
        preset("height", "outlet above the target", D::Length, "m", (-50.0, 50.0), 0.0),
    ])
    .outputs(&[output("reach", "level distance to the target", D::Length, "m")])
    .source("free flight without air drag", Status::Computed)
    .limits("No drag and no break-up: small jets reach half of it or less. No answer when the target is too high."),
    Formula::new(
        "hydrant-outlet-flow",
        "Outlet flow in the form used in hydrant tests",
        "Q[gpm] = 29.83 c d[in]^2 sqrt(P[psi])",
        evaluate!(|d, p, cd| [hydrant_outlet_flow_gpm(cd, d / INCH_M, p / PSI_PA) * US_GPM_M3_S]),
    )
    .inputs(&[
        needed("outlet_diameter", "diameter of the outlet", D::Length, "in", (0.003, 0.5)),
        needed("pressure", "pressure at the outlet", D::Pressure, "psi", (0.0, 2e6)),
        preset(
            "discharge_coefficient",
            "0.90 smooth and rounded, 0.80 square, 0.70 projecting",
            D::Number,
            "-",
            (0.35, 1.0),
            0.9,
        )
        .possible(COEFFICIENT),
    ])
    .outputs(&[output("flow", "outlet flow", D::Flow, "US gpm")])
    .source("NFPA 291", Status::Seen),
    Formula::new(
        "cross-flow-discharge-coefficient",
        "Discharge coefficient of a hole past which the header's water runs",
        "Cd = Cd0 max(0.4, 1 - k (V^2/2g)/E)",
        evaluate!(|cd0, k, v, e| [cross_flow_discharge_coefficient(cd0, k, v, e)]),
    )
    .inputs(&[
        preset("still_coefficient", "coefficient without cross-flow", D::Number, "-", (0.35, 1.0), 0.61)
            .possible(COEFFICIENT),
        preset("slope", "relative slope k: 0 off, 0.58 proposed, 0.92 diffuser fit", D::Number, "-", (0.0, 1.0), 0.58),
        needed("header_speed", "speed in the header before the hole", D::Velocity, "m/s", (0.0, 20.0)),
        needed("head", "head over the hole, pressure and speed together", D::Head, "m", (0.0, 200.0)),
    ])
    .outputs(&[output("discharge_coefficient", "coefficient with cross-flow", D::Number, "-")])
    .source("diffuser and manifold practice; floor assumed", Status::Memory)
    .limits("No measured curve was at hand: off by default."),
];

/// Outlet flow in US gal/min from the SI formula, with US inputs.
fn outlet_gpm(cd: f64, outlet_in: f64, pressure_psi: f64, density_kg_m3: f64) -> f64 {
    orifice_flow_m3_s(cd, hole_area_m2(outlet_in * INCH_M), pressure_psi * PSI_PA, density_kg_m3) / US_GPM_M3_S
}

/// Checks.
pub const CHECKS: &[Check] = &[
    Check::new("outlet-2in5-40psi", "outlet flow", || outlet_gpm(0.9, 2.5, 40.0, 998.2))
        .against(
            Kind::Published,
            "worked hydrant flow test, engineering forum (eng-tips): 2.5 in outlet, c 0.9, 40 psi",
            Status::Seen,
        )
        .value(1061.0, "US gpm")
        .within(Band::Relative(0.002)),
    Check::new("outlet-4in-10psi", "outlet flow", || 0.83 * outlet_gpm(0.9, 4.0, 10.0, 998.2))
        .against(
            Kind::Published,
            "worked hydrant flow test, engineering forum (eng-tips): 4 in outlet, c 0.9, 10 psi, factor 0.83",
            Status::Seen,
        )
        .value(1127.0, "US gpm")
        .within(Band::Relative(0.003)),
    Check::new("orifice-10mm-0m1", "emitter flow, Cd 0.609", || {
        emitter_flow_m3_s(emitter_coefficient(0.609, 0.010), 0.1)
    })
    .against(
        Kind::PublishedUsedInFit,
        "OMAFRA drainage table 3.1: 10 mm orifice under 0.1 m (the Cd was read back from this table)",
        Status::Seen,
    )
    .value(6.70e-5, "m3/s")
    .within(Band::Relative(0.005)),
    Check::new("orifice-10mm-0m4", "emitter flow, drilled hole Cd 0.61", || {
        emitter_flow_m3_s(emitter_coefficient(0.61, 0.010), 0.4)
    })
    .against(Kind::Published, "OMAFRA drainage table 3.1: 10 mm orifice under 0.4 m", Status::Seen)
    .value(1.34e-4, "m3/s")
    .within(Band::Relative(0.005)),
    Check::new("hydrant-constant-si", "outlet flow, SI against US form", || outlet_gpm(1.0, 1.0, 1.0, 999.0))
        .against(Kind::Identity, "the constant 29.83 of NFPA 291 from SI units at 999.0 kg/m3", Status::Computed)
        .value(29.839, "-")
        .within(Band::Absolute(0.002)),
    Check::new("hydrant-form-against-si", "outlet flow, US form over SI form", || {
        hydrant_outlet_flow_gpm(0.61, 0.25, 20.0) / outlet_gpm(0.61, 0.25, 20.0, 998.2)
    })
    .against(Kind::Identity, "NFPA 291 form against the SI form at 998.2 kg/m3", Status::Computed)
    .value(1.0, "-")
    .within(Band::Absolute(0.001)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("hole-quarter-inch-20psi", || outlet_gpm(0.61, 0.25, 20.0, 999.7)),
        ("hole-half-inch-40psi", || 1000.0 * US_GPM_M3_S * outlet_gpm(0.61, 0.5, 40.0, 999.7)),
        ("nozzle-half-inch-20psi", || 1000.0 * US_GPM_M3_S * outlet_gpm(0.95, 0.5, 20.0, 999.7)),
        ("jet-speed-20psi", || jet_speed_m_s(20.0 * PSI_PA, 998.2)),
        ("jet-speed-40psi", || jet_speed_m_s(40.0 * PSI_PA, 998.2)),
    ];
}
