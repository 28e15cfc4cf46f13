//! Handbook entries and checks of [`super::spray_bar`].

use super::orifice::emitter_coefficient;
use super::orifice_handbook::COEFFICIENT;
use super::pipe::FrictionLaw;
use super::spray_bar::{BarTube, EqualHoles, HoleDrive, PipeWater, christiansen_factor, hole_to_bore_area, solve_bar};
use super::symbol::{evaluate, needed, output, preset};
use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::formula::Formula;
use washgraph_units::quantity::Dimension as D;

/// Handbook entries.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "spray-bar",
        "Water of a spray bar with equal holes, and how evenly they spray",
        "march from the dead end: q = c sqrt(h); h += f (s/D) V^2/2g - eta (V_up^2 - \
    V_dn^2)/2g + dz; find the last head",
        evaluate!(|h, n, d, bore, l, cd, eta, rise, plugged, e, nu| {
            let count = if (1.0..=1e5).contains(&n) { n as usize } else { 0 };
            let tube = BarTube {
                length_m: l,
                bore_m: bore,
                roughness_m: e,
                rise_m: rise,
                drive: HoleDrive::Regain { efficiency: eta },
                cross_flow_slope: 0.0,
            };
            let holes = EqualHoles { count, coefficient: (1.0 - plugged) * emitter_coefficient(cd, d) };
            let water = PipeWater { kinematic_viscosity_m2_s: nu, law: FrictionLaw::Churchill };
            let ratio = hole_to_bore_area(d, n, bore);
            match solve_bar(&tube, &holes, water, h).ok().and_then(|bar| Some((bar.inlet, bar.evenness()?))) {
                Some((inlet, even)) => [
                    inlet.flow_m3_s,
                    even.last_over_first,
                    even.least_over_most,
                    even.coefficient_of_variation,
                    inlet.speed_m_s,
                    ratio,
                ],
                None => [f64::NAN, f64::NAN, f64::NAN, f64::NAN, f64::NAN, ratio],
            }
        }),
    )
    .inputs(&[
        needed("head", "total head at the inlet above the air outside", D::Head, "m", (0.05, 200.0)),
        needed("holes", "number of holes", D::Number, "-", (1.0, 2_000.0)),
        needed("hole_diameter", "diameter of each hole", D::Length, "mm", (0.001, 0.1)),
        needed("bore", "inside diameter of the bar", D::Length, "mm", (0.01, 0.5)),
        needed("length", "from inlet to last hole", D::Length, "m", (0.1, 50.0)),
        preset("discharge_coefficient", "0.61 drilled, 0.40 torch-cut", D::Number, "-", (0.35, 1.0), 0.61)
            .possible(COEFFICIENT),
        preset(
            "regain",
            "share of the fall in velocity head that comes back, 0.8-1",
            D::Fraction,
            "-",
            (0.0, 1.0),
            0.9,
        ),
        preset("rise", "dead end above the inlet", D::Length, "m", (-10.0, 10.0), 0.0),
        preset("plugged", "share of the holes plugged, spread evenly", D::Fraction, "-", (0.0, 0.99), 0.0),
        preset("roughness", "roughness of the bar", D::Length, "mm", (0.0, 0.005), 5e-5),
        preset("viscosity", "kinematic viscosity of the water", D::KinematicViscosity, "mm2/s", (2e-7, 1e-3), 1.307e-6),
    ])
    .outputs(&[
        output("flow", "water of the bar", D::Flow, "L/s"),
        output("last_over_first", "flow of the last hole over the first", D::Number, "-"),
        output("least_over_most", "flow of the weakest hole over the strongest", D::Number, "-"),
        output("variation", "standard deviation of the hole flows over their mean", D::Fraction, "%"),
        output("inlet_speed", "speed at the inlet", D::Velocity, "m/s"),
        output("hole_to_bore_area", "area of the holes over the bore: keep at 0.5 or less", D::Number, "-"),
    ])
    .source("Darcy-Weisbach, Torricelli and static regain; any manifold text", Status::Computed)
    .limits(
        "Equal holes; the discharge coefficient does not change with the flow past the \
    hole. No answer for a dry bar.",
    ),
    Formula::new(
        "christiansen-factor",
        "Friction of a pipe with equal outlets over that of the same pipe carrying the \
    whole flow to its end",
        "F = 1/(m+1) + 1/(2N) + sqrt(m-1)/(6 N^2)",
        evaluate!(|n, m| [christiansen_factor(n, m)]),
    )
    .inputs(&[
        needed("outlets", "number of equal outlets", D::Number, "-", (1.0, 10_000.0)),
        preset("flow_exponent", "m: 1.852 Hazen-Williams, 2 rough Darcy-Weisbach", D::Number, "-", (1.0, 2.0), 1.852),
    ])
    .outputs(&[output("factor", "F", D::Number, "-")])
    .source("Christiansen 1942", Status::Memory)
    .limits("First outlet a full spacing from the inlet."),
    Formula::new(
        "hole-to-bore-area",
        "Area of all holes over the area of the bore: half or less keeps a bar even \
    within about 4 %",
        "N d^2 / D^2",
        evaluate!(|n, d, bore| [hole_to_bore_area(d, n, bore)]),
    )
    .inputs(&[
        needed("holes", "number of holes", D::Number, "-", (1.0, 10_000.0)),
        needed("hole_diameter", "diameter of each hole", D::Length, "mm", (0.001, 0.1)),
        needed("bore", "inside diameter of the bar", D::Length, "mm", (0.01, 0.5)),
    ])
    .outputs(&[output("ratio", "hole area over bore area", D::Number, "-")])
    .source("geometry; the rule is computed here", Status::Computed)
    .limits("Computed for length over bore of 20 to 100."),
];

const fn christiansen(id: &'static str, source: &'static str, published: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "Christiansen factor", computed)
        .against(Kind::Identity, source, Status::Computed)
        .value(published, "-")
        .within(Band::Absolute(5e-5))
}

/// Checks.
pub const CHECKS: &[Check] = &[
    christiansen("christiansen-40-1852", "exact sum over the outlets, N 40, m 1.852", 0.363_23, || {
        christiansen_factor(40.0, 1.852)
    }),
    christiansen("christiansen-40-2", "exact sum over the outlets, N 40, m 2", 0.345_94, || {
        christiansen_factor(40.0, 2.0)
    }),
    christiansen("christiansen-10-1852", "exact sum over the outlets, N 10, m 1.852", 0.402_2, || {
        christiansen_factor(10.0, 1.852)
    }),
    christiansen("christiansen-10-2", "exact sum over the outlets, N 10, m 2", 0.385_0, || {
        christiansen_factor(10.0, 2.0)
    }),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::spray_bar::BarFlow;
    use super::*;

    fn bar_flow_l_s(bore_m: f64, drive: HoleDrive) -> f64 {
        table_bar(bore_m, drive).map_or(f64::NAN, |bar| 1_000.0 * bar.inlet.flow_m3_s)
    }

    fn bar_last_over_first(bore_m: f64, drive: HoleDrive) -> f64 {
        table_bar(bore_m, drive).and_then(|bar| bar.evenness()).map_or(f64::NAN, |even| even.last_over_first)
    }

    fn bar_variation_percent(bore_m: f64, drive: HoleDrive) -> f64 {
        table_bar(bore_m, drive).and_then(|bar| bar.evenness()).map_or(f64::NAN, |e| 100.0 * e.coefficient_of_variation)
    }

    const FULL: HoleDrive = HoleDrive::Regain { efficiency: 1.0 };

    const MOST: HoleDrive = HoleDrive::Regain { efficiency: 0.8 };

    /// The bar of the table: 40 holes of 6 mm over 2.4 m, 14.07 m at the inlet.
    fn table_bar(bore_m: f64, drive: HoleDrive) -> Option<BarFlow> {
        let tube = BarTube { length_m: 2.4, bore_m, roughness_m: 5e-5, rise_m: 0.0, drive, cross_flow_slope: 0.0 };
        let holes = EqualHoles { count: 40, coefficient: emitter_coefficient(0.61, 0.006) };
        let water = PipeWater { kinematic_viscosity_m2_s: 1.022e-6, law: FrictionLaw::SwameeJain };
        solve_bar(&tube, &holes, water, 14.07).ok()
    }

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("bar-25mm-speed", || table_bar(0.0254, MOST).map_or(f64::NAN, |b| b.inlet.speed_m_s)),
        ("bar-25mm-flow", || bar_flow_l_s(0.0254, FULL)),
        ("bar-25mm-last-first", || bar_last_over_first(0.0254, FULL)),
        ("bar-25mm-last-first-regain-0v8", || bar_last_over_first(0.0254, MOST)),
        ("bar-25mm-last-first-total-head", || bar_last_over_first(0.0254, HoleDrive::TotalHead)),
        ("bar-25mm-least-most", || {
            table_bar(0.0254, FULL).and_then(|b| b.evenness()).map_or(f64::NAN, |e| e.least_over_most)
        }),
        ("bar-25mm-variation", || bar_variation_percent(0.0254, FULL)),
        ("bar-51mm-speed", || table_bar(0.0508, MOST).map_or(f64::NAN, |b| b.inlet.speed_m_s)),
        ("bar-51mm-flow", || bar_flow_l_s(0.0508, FULL)),
        ("bar-51mm-last-first", || bar_last_over_first(0.0508, FULL)),
        ("bar-51mm-last-first-regain-0v8", || bar_last_over_first(0.0508, MOST)),
        ("bar-51mm-last-first-total-head", || bar_last_over_first(0.0508, HoleDrive::TotalHead)),
        ("bar-51mm-variation", || bar_variation_percent(0.0508, FULL)),
        ("bar-76mm-flow", || bar_flow_l_s(0.0762, FULL)),
        ("bar-76mm-last-first", || bar_last_over_first(0.0762, FULL)),
        ("bar-76mm-variation", || bar_variation_percent(0.0762, FULL)),
    ];
}
