//! A worked plant: pond, pump, spray bar, hopper nozzles and an open make-up end, with the numbers that four solvers agree on.
//!
//! ```text
//!   pond 0 m --6 m x 6 in-- pump --34 m x 6 in-- manifold --3 m x 3 in--   bar 40 holes of 6 mm, level 5 m
//!                                                         --6 m x 2 in--   5 nozzles of 12 mm,  level 5 m
//!                                                         --4 m x 50 mm--  open end,            level 5 m
//! ```
//! The bar is driven by total head and friction follows Swamee-Jain, as in the general network program that it was first compared with.

use super::manifold::{Branch, ManifoldFlow, Outlet, Trunk, solve_manifold};
use super::orifice::emitter_coefficient;
use super::pipe::{FrictionLaw, PipeRun};
use super::pump::{PumpCurve, PumpDuty};
use super::spray_bar::{BarTube, EqualHoles, HoleDrive, PipeWater};
use washgraph_units::check::{Band, Check, Kind, Status};

/// Points of the pump: flow (m3/s), head (m).
pub(crate) const PUMP_POINTS: [(f64, f64); 3] = [(0.0, 38.0), (0.040, 31.0), (0.080, 12.0)];

/// What may be changed in the worked plant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Worked {
    pub hole_m: f64,
    pub cd: f64,
    pub open_share: f64,
    pub delivery_bore_m: f64,
    pub roughness_m: f64,
    pub kinematic_viscosity_m2_s: f64,
    pub speed_ratio: f64,
    pub law: FrictionLaw,
    pub drive: HoleDrive,
}

/// The plant as described above.
pub(crate) const BASE: Worked = Worked {
    hole_m: 0.006,
    cd: 0.61,
    open_share: 1.0,
    delivery_bore_m: 0.1524,
    roughness_m: 5e-5,
    kinematic_viscosity_m2_s: 1.022e-6,
    speed_ratio: 1.0,
    law: FrictionLaw::SwameeJain,
    drive: HoleDrive::TotalHead,
};

impl Worked {
    pub(crate) fn hole_coefficient(&self) -> f64 {
        self.open_share * emitter_coefficient(self.cd, self.hole_m)
    }

    pub(crate) fn run(&self, length_m: f64, bore_m: f64, loss_coefficient: f64) -> PipeRun {
        PipeRun { length_m, bore_m, roughness_m: self.roughness_m, loss_coefficient }
    }

    pub(crate) fn trunk(&self) -> Trunk {
        Trunk {
            source_head_m: 0.0,
            suction: self.run(6.0, 0.1524, 3.0),
            delivery: self.run(34.0, self.delivery_bore_m, 2.0),
        }
    }

    pub(crate) fn water(&self) -> PipeWater {
        PipeWater { kinematic_viscosity_m2_s: self.kinematic_viscosity_m2_s, law: self.law }
    }

    pub(crate) fn duty(&self) -> PumpDuty {
        PumpDuty { speed_ratio: self.speed_ratio, head_factor: 1.0 }
    }

    pub(crate) fn branches(&self) -> [Branch; 3] {
        let tube = BarTube {
            length_m: 2.4,
            bore_m: 0.0762,
            roughness_m: self.roughness_m,
            rise_m: 0.0,
            drive: self.drive,
            cross_flow_slope: 0.0,
        };
        let holes = EqualHoles { count: 40, coefficient: self.hole_coefficient() };
        let nozzles = Outlet::Nozzles { coefficient: 5.0 * emitter_coefficient(0.95, 0.012) };
        [
            Branch { hose: self.run(3.0, 0.0762, 1.5), elevation_m: 5.0, outlet: Outlet::Bar { tube, holes } },
            Branch { hose: self.run(6.0, 0.0508, 1.5), elevation_m: 5.0, outlet: nozzles },
            Branch { hose: self.run(4.0, 0.050, 1.5), elevation_m: 5.0, outlet: Outlet::Open },
        ]
    }

    pub(crate) fn solve(&self) -> Option<ManifoldFlow> {
        let curve = PumpCurve::from_points(&PUMP_POINTS).ok()?;
        solve_manifold(&self.trunk(), &curve.running(self.duty()), &self.branches(), self.water(), None).ok()
    }
}

/// One number of the solved plant, in L/s and m.
fn read(plant: Worked, what: fn(&ManifoldFlow) -> f64) -> f64 {
    plant.solve().map_or(f64::NAN, |flow| what(&flow))
}

fn pump_l_s(flow: &ManifoldFlow) -> f64 {
    1_000.0 * flow.pump_flow_m3_s
}
fn spray_l_s(flow: &ManifoldFlow) -> f64 {
    1_000.0 * flow.branch_flow_m3_s[0]
}
fn hopper_l_s(flow: &ManifoldFlow) -> f64 {
    1_000.0 * flow.branch_flow_m3_s[1]
}
fn makeup_l_s(flow: &ManifoldFlow) -> f64 {
    1_000.0 * flow.branch_flow_m3_s[2]
}

const fn peer(id: &'static str, unit: &'static str, published: f64, computed: fn() -> f64) -> Check {
    Check::new(id, "water network", computed)
        .against(
            Kind::Identity,
            "worked plant solved by another program: EPANET through wntr (its g is 32.2 ft/s2, worth 0.02 %)",
            Status::Computed,
        )
        .value(published, unit)
        .within(Band::Relative(0.001))
}

/// Checks.
pub const CHECKS: &[Check] = &[
    peer("network-epanet-pump-flow", "L/s", 45.762, || read(BASE, pump_l_s)),
    peer("network-epanet-pump-head", "m", 28.969, || read(BASE, |flow| flow.pump_head_m)),
    peer("network-epanet-spray", "L/s", 13.608, || read(BASE, spray_l_s)),
    peer("network-epanet-hopper", "L/s", 9.628, || read(BASE, hopper_l_s)),
    peer("network-epanet-makeup", "L/s", 22.527, || read(BASE, makeup_l_s)),
    peer("network-epanet-manifold", "m", 20.940, || read(BASE, |flow| flow.manifold_head_m - 5.0)),
    peer("network-epanet-bar-inlet", "m", 19.911, || read(BASE, |flow| flow.outlet_head_m[0])),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::super::pump::hydraulic_power_w;
    use super::*;
    use crate::hydraulics::manifold::manifold_network;
    use crate::hydraulics::suction::{atmospheric_pressure_pa, npsh_available_m};
    use crate::particle::water::vapour_pressure_pa;

    pub(crate) const ROUGH: Worked = Worked { roughness_m: 5e-4, ..BASE };

    /// What Newton's method on all heads and flows gives: pump and branches (L/s), head of the pump and at the manifold (m).
    struct Reference {
        pump_l_s: f64,
        branch_l_s: [f64; 3],
        pump_head_m: f64,
        manifold_m: f64,
    }

    pub(crate) const WORN: Worked = Worked { hole_m: 0.008, ..BASE };

    pub(crate) const HALF_PLUGGED: Worked = Worked { open_share: 0.5, ..BASE };

    pub(crate) const NARROW: Worked = Worked { delivery_bore_m: 0.1016, ..BASE };

    pub(crate) const TORCH_CUT: Worked = Worked { cd: 0.40, ..BASE };

    fn worked_npsh_m(flow: &ManifoldFlow, altitude_m: f64) -> f64 {
        let air = atmospheric_pressure_pa(altitude_m);
        npsh_available_m(air, vapour_pressure_pa(10.0), 999.7, 1.5, flow.suction_loss_m)
    }

    pub(crate) const THICK: Worked = Worked { kinematic_viscosity_m2_s: 1.5 * 1.022e-6, ..BASE };

    pub(crate) const SLOW: Worked = Worked { speed_ratio: 0.90, ..BASE };

    /// One number of the plant as Newton solves it.
    fn newton(plant: Worked, what: fn(&Reference) -> f64) -> f64 {
        let reference = || -> Option<Reference> {
            let curve = PumpCurve::from_points(&PUMP_POINTS).ok()?;
            let (network, pump, manifold, outlets) =
                manifold_network(&plant.trunk(), &curve, plant.duty(), &plant.branches(), ("pump", &[]));
            let flow = network.solve(plant.water()).ok()?;
            let [spray, hopper, makeup] = outlets[..] else { return None };
            let l_s = |link| 1_000.0 * flow.flow_m3_s(link);
            Some(Reference {
                pump_l_s: l_s(pump),
                branch_l_s: [l_s(spray), l_s(hopper), l_s(makeup)],
                pump_head_m: curve.running(plant.duty()).head_and_slope(flow.flow_m3_s(pump)).0,
                manifold_m: flow.head_m(manifold) - 5.0,
            })
        };
        reference().map_or(f64::NAN, |r| what(&r))
    }

    pub(crate) const SLOWER: Worked = Worked { speed_ratio: 0.85, ..BASE };

    pub(crate) const CHURCHILL: Worked = Worked { law: FrictionLaw::Churchill, ..BASE };

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("network-pump-flow", || read(BASE, pump_l_s)),
        ("network-pump-head", || read(BASE, |flow| flow.pump_head_m)),
        ("network-spray", || read(BASE, spray_l_s)),
        ("network-hopper", || read(BASE, hopper_l_s)),
        ("network-makeup", || read(BASE, makeup_l_s)),
        ("network-manifold", || read(BASE, |flow| flow.manifold_head_m - 5.0)),
        ("network-bar-inlet", || read(BASE, |flow| flow.outlet_head_m[0])),
        ("network-newton-pump-flow", || newton(BASE, |r| r.pump_l_s)),
        ("network-newton-pump-head", || newton(BASE, |r| r.pump_head_m)),
        ("network-newton-spray", || newton(BASE, |r| r.branch_l_s[0])),
        ("network-newton-hopper", || newton(BASE, |r| r.branch_l_s[1])),
        ("network-newton-makeup", || newton(BASE, |r| r.branch_l_s[2])),
        ("network-newton-manifold", || newton(BASE, |r| r.manifold_m)),
        ("network-newton-speed-090-pump", || newton(SLOW, |r| r.pump_l_s)),
        ("network-newton-4in-delivery-pump", || newton(NARROW, |r| r.pump_l_s)),
        ("network-newton-half-plugged-pump", || newton(HALF_PLUGGED, |r| r.pump_l_s)),
        ("network-newton-worn-pump", || newton(WORN, |r| r.pump_l_s)),
        ("network-suction-loss", || read(BASE, |flow| flow.suction_loss_m)),
        ("network-delivery-loss", || read(BASE, |flow| flow.delivery_loss_m)),
        ("network-churchill-pump-flow", || read(CHURCHILL, pump_l_s)),
        ("network-churchill-makeup", || read(CHURCHILL, makeup_l_s)),
        ("network-npsh-sea-level", || read(BASE, |flow| worked_npsh_m(flow, 0.0))),
        ("network-npsh-1500m", || read(BASE, |flow| worked_npsh_m(flow, 1_500.0))),
        ("network-hydraulic-power", || {
            read(BASE, |flow| 1e-3 * hydraulic_power_w(999.7, flow.pump_flow_m3_s, flow.pump_head_m))
        }),
        ("network-half-plugged-pump", || read(HALF_PLUGGED, pump_l_s)),
        ("network-half-plugged-spray", || read(HALF_PLUGGED, spray_l_s)),
        ("network-half-plugged-hopper", || read(HALF_PLUGGED, hopper_l_s)),
        ("network-half-plugged-makeup", || read(HALF_PLUGGED, makeup_l_s)),
        ("network-worn-pump", || read(WORN, pump_l_s)),
        ("network-worn-spray", || read(WORN, spray_l_s)),
        ("network-worn-hopper", || read(WORN, hopper_l_s)),
        ("network-worn-makeup", || read(WORN, makeup_l_s)),
        ("network-torch-cut-pump", || read(TORCH_CUT, pump_l_s)),
        ("network-torch-cut-spray", || read(TORCH_CUT, spray_l_s)),
        ("network-torch-cut-hopper", || read(TORCH_CUT, hopper_l_s)),
        ("network-torch-cut-makeup", || read(TORCH_CUT, makeup_l_s)),
        ("network-4in-delivery-pump", || read(NARROW, pump_l_s)),
        ("network-4in-delivery-spray", || read(NARROW, spray_l_s)),
        ("network-4in-delivery-hopper", || read(NARROW, hopper_l_s)),
        ("network-4in-delivery-makeup", || read(NARROW, makeup_l_s)),
        ("network-rough-pump", || read(ROUGH, pump_l_s)),
        ("network-rough-spray", || read(ROUGH, spray_l_s)),
        ("network-rough-hopper", || read(ROUGH, hopper_l_s)),
        ("network-rough-makeup", || read(ROUGH, makeup_l_s)),
        ("network-viscous-pump", || read(THICK, pump_l_s)),
        ("network-speed-090-pump", || read(SLOW, pump_l_s)),
        ("network-speed-090-spray", || read(SLOW, spray_l_s)),
        ("network-speed-090-hopper", || read(SLOW, hopper_l_s)),
        ("network-speed-090-makeup", || read(SLOW, makeup_l_s)),
        ("network-speed-085-pump", || read(SLOWER, pump_l_s)),
        ("network-speed-085-spray", || read(SLOWER, spray_l_s)),
        ("network-speed-085-hopper", || read(SLOWER, hopper_l_s)),
        ("network-speed-085-makeup", || read(SLOWER, makeup_l_s)),
    ];
}
