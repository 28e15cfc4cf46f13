//! Handbook entries and checks of [`super::pipe`].

use super::pipe::{
    FrictionLaw, PipeRun, darcy_head_loss_m, fire_hose_loss_psi, friction_churchill, friction_colebrook,
    friction_swamee_jain, hazen_williams_head_loss_m, minor_head_loss_m, pipe_speed_m_s, reynolds,
};
use super::symbol::{POSITIVE, evaluate, needed, output, preset};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{FOOT_M, INCH_M, US_GPM_M3_S};
use washgraph_units::formula::{Formula, Symbol};
use washgraph_units::math::pow;
use washgraph_units::quantity::Dimension as D;

/// psi per metre of water as used in hose tables. Source: 0.4335 psi per foot of water.
const PSI_PER_100FT_PER_M_PER_100M: f64 = 0.4335;
const BORE: Symbol = needed("bore", "inside diameter, under pressure", D::Length, "mm", (0.005, 2.0));
const FLOW: Symbol = needed("flow", "water through the pipe", D::Flow, "L/s", POSITIVE);
const LENGTH: Symbol = preset("length", "length of the run", D::Length, "m", (0.0, 1e5), 100.0);
const ROUGHNESS: Symbol =
    preset("roughness", "0 plastic, 0.02 layflat, 0.045 new steel, 0.15 old steel", D::Length, "mm", (0.0, 0.01), 5e-5);
const VISCOSITY: Symbol =
    preset("viscosity", "kinematic viscosity of the water", D::KinematicViscosity, "mm2/s", (2e-7, 1e-3), 1.307e-6);
const REYNOLDS: Symbol = needed("reynolds", "Reynolds number V D / nu", D::Number, "-", (1.0, 1e9));
const RELATIVE_ROUGHNESS: Symbol =
    preset("relative_roughness", "roughness over bore", D::Number, "-", (0.0, 0.05), 0.0);
const FACTOR: Symbol = output("friction_factor", "Darcy friction factor", D::Number, "-");
const LOSS: Symbol = output("head_loss", "head lost, metres of the fluid", D::Head, "m");

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "pipe-head-loss",
        "Head lost in a run of pipe or hose with its fittings",
        "h = (f L/D + K) V^2/2g, f by Churchill",
        evaluate!(|q, d, l, e, k, nu| {
            let run = PipeRun { length_m: l, bore_m: d, roughness_m: e, loss_coefficient: k };
            let v = pipe_speed_m_s(q, d);
            let f = run.friction_factor(q, nu, FrictionLaw::Churchill);
            [run.head_loss_m(q, nu, FrictionLaw::Churchill), v, f, reynolds(v, d, nu)]
        }),
    )
    .inputs(&[
        FLOW,
        BORE,
        LENGTH,
        ROUGHNESS,
        preset("loss_coefficient", "sum of K of the fittings", D::Number, "-", (0.0, 1e4), 0.0),
        VISCOSITY,
    ])
    .outputs(&[
        LOSS,
        output("speed", "mean speed", D::Velocity, "m/s"),
        FACTOR,
        output("reynolds", "Reynolds number", D::Number, "-"),
    ])
    .source("Darcy-Weisbach; Churchill 1977 for f", Status::Memory)
    .limits("Full pipe, steady. Above 3 to 4 m/s loss and wear climb steeply."),
    Formula::new(
        "hazen-williams",
        "Head lost in a pipe by the formula of hose and irrigation tables",
        "h = 10.67 L Q^1.852 / (C^1.852 D^4.8704)",
        evaluate!(|q, d, l, c| [hazen_williams_head_loss_m(l, q, c, d), pipe_speed_m_s(q, d)]),
    )
    .inputs(&[
        FLOW,
        BORE,
        LENGTH,
        preset(
            "c",
            "Hazen-Williams C: 150 smooth plastic, 140 new steel, 120 old steel",
            D::Number,
            "-",
            (60.0, 160.0),
            140.0,
        ),
    ])
    .outputs(&[LOSS, output("speed", "mean speed", D::Velocity, "m/s")])
    .source("Hazen & Williams 1905, SI form of engineering tables", Status::Seen)
    .limits("Water near 15 C, turbulent, speeds near 1 m/s."),
    Formula::new(
        "fitting-head-loss",
        "Head lost at a fitting",
        "h = K V^2/2g",
        evaluate!(|q, d, k| [minor_head_loss_m(k, pipe_speed_m_s(q, d))]),
    )
    .inputs(&[
        FLOW,
        BORE,
        needed(
            "loss_coefficient",
            "K: elbow 0.3-1.5, tee branch 1-2, entrance 0.5, exit 1",
            D::Number,
            "-",
            (0.0, 1e4),
        ),
    ])
    .outputs(&[LOSS])
    .source("engineering tables of K", Status::Seen),
    Formula::new(
        "friction-factor-churchill",
        "Darcy friction factor, laminar to rough",
        "f = 8[(8/Re)^12 + (A+B)^-1.5]^(1/12), A = {2.457 ln 1/[(7/Re)^0.9 + 0.27 e/D]}^16, B = (37530/Re)^16",
        evaluate!(|re, e| [friction_churchill(re, e)]),
    )
    .inputs(&[REYNOLDS, RELATIVE_ROUGHNESS])
    .outputs(&[FACTOR])
    .source("Churchill 1977", Status::Memory),
    Formula::new(
        "friction-factor-swamee-jain",
        "Darcy friction factor of turbulent flow, explicit",
        "f = 0.25/[log10(e/(3.7 D) + 5.74/Re^0.9)]^2",
        evaluate!(|re, e| [friction_swamee_jain(re, e)]),
    )
    .inputs(&[REYNOLDS, RELATIVE_ROUGHNESS])
    .outputs(&[FACTOR])
    .source("Swamee & Jain 1976", Status::Seen)
    .limits("Re 5e3 to 1e8."),
    Formula::new(
        "friction-factor-colebrook",
        "Darcy friction factor of turbulent flow, implicit law",
        "1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt(f)))",
        evaluate!(|re, e| [friction_colebrook(re, e)]),
    )
    .inputs(&[REYNOLDS, RELATIVE_ROUGHNESS])
    .outputs(&[FACTOR])
    .source("Colebrook 1939", Status::Seen)
    .limits("Re above 4000."),
    Formula::new(
        "hose-loss-fire-service",
        "Pressure lost in hose by the fire-service form",
        "FL[psi] = C (Q[gpm]/100)^2 (L[ft]/100)",
        evaluate!(|c, q, l| [fire_hose_loss_psi(c, q / US_GPM_M3_S, l / FOOT_M) * 6_894.757]),
    )
    .inputs(&[
        needed(
            "coefficient",
            "C: 2 for 2.5 in, 0.2 for 4 in, 0.1 for 4.5 in, 0.08 for 5 in",
            D::Number,
            "-",
            (0.01, 30.0),
        ),
        FLOW,
        LENGTH,
    ])
    .outputs(&[output("pressure_loss", "pressure lost", D::Pressure, "psi")])
    .source("fire-service teaching slides", Status::Seen)
    .limits("The value 0.05 printed for 6 in does not scale with the bore; do not use it."),
];

/// Head loss per 100 m of `bore_in` at `flow_gpm` by Darcy-Weisbach with Colebrook's f, water near 10 C.
fn darcy_per_100m(bore_in: f64, flow_gpm: f64, roughness_m: f64, nu: f64) -> f64 {
    let bore_m = bore_in * INCH_M;
    let v = pipe_speed_m_s(flow_gpm * US_GPM_M3_S, bore_m);
    let f = friction_colebrook(reynolds(v, bore_m, nu), roughness_m / bore_m);
    darcy_head_loss_m(f, 100.0, bore_m, v)
}

/// Same by Hazen-Williams.
fn hazen_per_100m(bore_in: f64, flow_gpm: f64, c: f64) -> f64 {
    hazen_williams_head_loss_m(100.0, flow_gpm * US_GPM_M3_S, c, bore_in * INCH_M)
}

/// Checks.
pub const CHECKS: &[Check] = &[
    Check::new("churchill-against-colebrook", "Churchill over Colebrook", || {
        friction_churchill(3e5, 5e-4) / friction_colebrook(3e5, 5e-4)
    })
    .against(Kind::Identity, "the law that it imitates, Re 3e5, e/D 5e-4", Status::Computed)
    .value(1.0065, "-")
    .within(Band::Absolute(0.0005)),
    Check::new("swamee-jain-against-colebrook", "Swamee-Jain over Colebrook", || {
        friction_swamee_jain(3e5, 5e-4) / friction_colebrook(3e5, 5e-4)
    })
    .against(Kind::Identity, "the law that it imitates, Re 3e5, e/D 5e-4", Status::Computed)
    .value(1.0065, "-")
    .within(Band::Absolute(0.0005)),
    Check::new("hose-4in-500gpm-darcy", "Darcy-Weisbach, smooth hose 0.01 mm", || {
        PSI_PER_100FT_PER_M_PER_100M * darcy_per_100m(4.0, 500.0, 1e-5, 1.0e-6)
    })
    .against(Kind::Published, "fire-service slides: 4 in hose, C 0.2, 500 gpm", Status::Seen)
    .value(5.0, "psi per 100 ft")
    .within(Band::Relative(0.03)),
    Check::new("hose-4in-500gpm-hazen", "Hazen-Williams, C 150", || {
        PSI_PER_100FT_PER_M_PER_100M * hazen_per_100m(4.0, 500.0, 150.0)
    })
    .against(Kind::Published, "fire-service slides: 4 in hose, C 0.2, 500 gpm", Status::Seen)
    .value(5.0, "psi per 100 ft")
    .within(Band::Relative(0.03)),
    Check::new("hose-2in5-coefficient-hazen", "Hazen-Williams, C 150, as a fire-service coefficient", || {
        PSI_PER_100FT_PER_M_PER_100M * hazen_per_100m(2.5, 250.0, 150.0) / fire_hose_loss_psi(1.0, 250.0, 100.0)
    })
    .against(
        Kind::Published,
        "fire-service slides: C 2 for 2.5 in hose, printed to one digit; at 250 gpm",
        Status::Seen,
    )
    .value(2.0, "-")
    .within(Band::Between(1.5, 2.5)),
    Check::new("hazen-williams-us-form", "Hazen-Williams, SI over US form", || {
        let us_psi_per_100ft = 452.0 * pow(400.0 / 140.0, 1.85) / pow(4.0, 4.87);
        PSI_PER_100FT_PER_M_PER_100M * hazen_per_100m(4.0, 400.0, 140.0) / us_psi_per_100ft
    })
    .against(Kind::Identity, "4.52 Q^1.85/(C^1.85 d^4.87), psi per ft, 400 gpm, 4 in, C 140", Status::Computed)
    .value(1.0, "-")
    .within(Band::Absolute(0.01)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Viscosity of clean water near 10 C used by the tables below, m2/s. Source: water tables.
    const NU_10C_M2_S: f64 = 1.300e-6;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("colebrook-3e5", || friction_colebrook(3e5, 5e-4)),
        ("pipe-4in-400gpm-0mm01", || darcy_per_100m(4.0, 400.0, 1e-5, NU_10C_M2_S)),
        ("pipe-4in-400gpm-0mm05", || darcy_per_100m(4.0, 400.0, 5e-5, NU_10C_M2_S)),
        ("pipe-4in-800gpm-0mm15", || darcy_per_100m(4.0, 800.0, 1.5e-4, NU_10C_M2_S)),
        ("pipe-6in-800gpm-0mm5", || darcy_per_100m(6.0, 800.0, 5e-4, NU_10C_M2_S)),
        ("pipe-4in-400gpm-hw150", || hazen_per_100m(4.0, 400.0, 150.0)),
        ("pipe-4in-800gpm-hw140", || hazen_per_100m(4.0, 800.0, 140.0)),
        ("pipe-6in-800gpm-hw120", || hazen_per_100m(6.0, 800.0, 120.0)),
    ];
}
