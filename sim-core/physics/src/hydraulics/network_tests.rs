//! Tests of the water network: three solvers against each other and against the worked plant.

use super::manifold::{manifold_network, solve_manifold};
use super::network::{Network, NetworkError};
use super::network_oracle::solve_nested;
use super::orifice::emitter_coefficient;
use super::pipe::FrictionLaw;
use super::pump::PumpCurve;
use super::spray_bar::HoleDrive;
use super::worked_network::golden_rows::{
    CHURCHILL, HALF_PLUGGED, NARROW, ROUGH, SLOW, SLOWER, THICK, TORCH_CUT, WORN,
};
use super::worked_network::{BASE, PUMP_POINTS, Worked};
use proptest::prelude::*;

fn curve() -> PumpCurve {
    PumpCurve::from_points(&PUMP_POINTS).unwrap()
}

const CASES: [Worked; 12] = [
    BASE,
    CHURCHILL,
    HALF_PLUGGED,
    WORN,
    TORCH_CUT,
    NARROW,
    ROUGH,
    THICK,
    SLOW,
    SLOWER,
    Worked { drive: HoleDrive::Regain { efficiency: 0.9 }, ..BASE },
    Worked { drive: HoleDrive::Regain { efficiency: 1.0 }, law: FrictionLaw::Churchill, hole_m: 0.010, ..BASE },
];

#[test]
fn identity_three_solvers_agree() {
    for (case, plant) in CASES.iter().enumerate() {
        let (curve, branches) = (curve(), plant.branches());
        let pump = curve.running(plant.duty());
        let (head, nested) = solve_nested(&plant.trunk(), &pump, &branches, plant.water()).unwrap();
        let (network, _, manifold, outlets) =
            manifold_network(&plant.trunk(), &curve, plant.duty(), &branches, ("pump", &[]));
        let newton = network.solve(plant.water()).unwrap();
        let fast = plant.solve().unwrap();
        let near = |a: f64, b: f64, limit: f64| assert!((a / b - 1.0).abs() < limit, "case {case}: {a} {b}");
        near(newton.head_m(manifold), head, 1e-6);
        near(fast.manifold_head_m, head, 1e-5);
        for (j, q) in nested.iter().enumerate() {
            near(newton.flow_m3_s(outlets[j]), *q, 1e-6);
            near(fast.branch_flow_m3_s[j], *q, 2e-5);
        }
        assert!(newton.steps < 12, "{}", newton.steps);
        assert!(fast.steps < 12, "{}", fast.steps);
    }
}

/// Every segment and hole of the bar as a link of its own.
#[test]
fn identity_bar_as_forty_emitters_gives_the_same() {
    let plant = BASE;
    let mut network = Network::default();
    let pond = network.fixed_head("pond", 0.0);
    let (p1, p2, manifold) = (network.junction("p1"), network.junction("p2"), network.junction("manifold"));
    network.pipe("suction", pond, p1, plant.trunk().suction);
    let pump = network.pump("pump", p1, p2, curve(), plant.duty());
    network.pipe("delivery", p2, manifold, plant.trunk().delivery);
    let mut here = network.junction("s0");
    network.pipe("bar hose", manifold, here, plant.run(3.0, 0.0762, 1.5));
    let mut last = here;
    for _ in 0..40 {
        last = network.junction("hole");
        network.pipe("segment", here, last, plant.run(0.06, 0.0762, 0.0));
        network.emitter("hole", last, plant.hole_coefficient(), 5.0);
        here = last;
    }
    let hopper = network.junction("hopper");
    network.pipe("hopper hose", manifold, hopper, plant.run(6.0, 0.0508, 1.5));
    network.emitter("nozzles", hopper, 5.0 * emitter_coefficient(0.95, 0.012), 5.0);
    let end = network.fixed_head("open end", 5.0);
    let makeup = network.pipe("make-up", manifold, end, plant.run(4.0, 0.050, 1.5));
    let flow = network.solve(plant.water()).unwrap();
    let fast = plant.solve().unwrap();
    assert!((flow.flow_m3_s(pump) / fast.pump_flow_m3_s - 1.0).abs() < 1e-5);
    assert!((flow.flow_m3_s(makeup) / fast.branch_flow_m3_s[2] - 1.0).abs() < 1e-5);
    assert!((flow.head_m(last) - 5.0 - 19.812).abs() < 0.002, "{}", flow.head_m(last));
    assert!((flow.flow_m3_s(pump) - 0.045753).abs() < 2e-6, "{}", flow.flow_m3_s(pump));
    assert!(flow.steps <= 8, "{}", flow.steps);
}

#[test]
fn identity_energy_closes() {
    let fast = CHURCHILL.solve().unwrap();
    let curve = curve();
    let (pump_head, _) = curve.running(CHURCHILL.duty()).head_and_slope(fast.pump_flow_m3_s);
    assert!((fast.pump_head_m / pump_head - 1.0).abs() < 1e-6);
    // Power of the pump = lifted + lost + left at the outlets.
    let trunk = CHURCHILL.trunk();
    let nu = CHURCHILL.kinematic_viscosity_m2_s;
    let mut spent = fast.pump_flow_m3_s
        * (trunk.suction.head_loss_m(fast.pump_flow_m3_s, nu, CHURCHILL.law)
            + trunk.delivery.head_loss_m(fast.pump_flow_m3_s, nu, CHURCHILL.law));
    for (j, branch) in CHURCHILL.branches().iter().enumerate() {
        let q = fast.branch_flow_m3_s[j];
        spent += q * (branch.elevation_m + branch.hose.head_loss_m(q, nu, CHURCHILL.law) + fast.outlet_head_m[j]);
    }
    assert!((spent / (fast.pump_flow_m3_s * pump_head) - 1.0).abs() < 1e-6);
}

#[test]
fn property_impossible_networks_are_refused() {
    let weak = Worked { speed_ratio: 0.3, ..BASE };
    let curve = curve();
    let pump = curve.running(weak.duty());
    let fast = solve_manifold(&weak.trunk(), &pump, &weak.branches(), weak.water(), None);
    assert!(matches!(fast, Err(NetworkError::NoIntersection { .. })), "{fast:?}");
    let (network, ..) = manifold_network(&weak.trunk(), &curve, weak.duty(), &weak.branches(), ("pump", &[]));
    let newton = network.solve(weak.water());
    assert!(matches!(newton, Err(NetworkError::NoIntersection { .. })), "{newton:?}");

    let mut high = BASE.branches();
    high[1].elevation_m = 34.0;
    let (network, ..) = manifold_network(&BASE.trunk(), &curve, BASE.duty(), &high, ("pump", &[]));
    let newton = network.solve(BASE.water());
    assert!(matches!(newton, Err(NetworkError::DryBranch { .. })), "{newton:?}");
    let full = curve.running(BASE.duty());
    let fast = solve_manifold(&BASE.trunk(), &full, &high, BASE.water(), None).unwrap();
    assert!(fast.dry[1] && !fast.dry[0] && fast.branch_flow_m3_s[1] == 0.0);

    let mut ring = Network::default();
    let (a, b) = (ring.fixed_head("a", 10.0), ring.junction("b"));
    ring.pipe("one", a, b, BASE.run(1.0, 0.1, 0.0));
    ring.pipe("two", a, b, BASE.run(1.0, 0.1, 0.0));
    assert_eq!(ring.solve(BASE.water()), Err(NetworkError::Loop { link: "two".to_owned() }));
    let mut island = Network::default();
    let lonely = island.junction("nowhere");
    island.emitter("hole", lonely, 1e-3, 0.0);
    assert_eq!(island.solve(BASE.water()), Err(NetworkError::Unfed { node: "nowhere".to_owned() }));
    assert_eq!(solve_manifold(&BASE.trunk(), &full, &[], BASE.water(), None), Err(NetworkError::NoOutlet));
}

#[test]
fn property_what_ifs_move_as_the_trade_expects() {
    let base = BASE.solve().unwrap();
    let moved = |plant: Worked| {
        let flow = plant.solve().unwrap();
        let gauge = flow.manifold_head_m - base.manifold_head_m;
        (flow.branch_flow_m3_s[0] - base.branch_flow_m3_s[0], gauge, flow.pump_flow_m3_s - base.pump_flow_m3_s)
    };
    let (spray, gauge, _) = moved(HALF_PLUGGED);
    assert!(spray < 0.0 && gauge > 0.0);
    let (spray, gauge, _) = moved(SLOW);
    assert!(spray < 0.0 && gauge < 0.0);
    let (_, gauge, pump) = moved(WORN);
    assert!(pump > 0.0 && gauge < 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn property_flow_is_monotone_in_every_lever(
        hole in 0.003_f64..0.012, cd in 0.4_f64..0.9, bore in 0.08_f64..0.2,
        eps in 1e-5_f64..5e-4, nu in 0.8e-6_f64..2e-6, speed in 0.7_f64..1.1, eta in 0.0_f64..1.0,
    ) {
        let plant = Worked {
            hole_m: hole, cd, open_share: 1.0, delivery_bore_m: bore, roughness_m: eps,
            kinematic_viscosity_m2_s: nu, speed_ratio: speed, law: FrictionLaw::Churchill,
            drive: HoleDrive::Regain { efficiency: eta },
        };
        let pump = |plant: Worked| plant.solve().unwrap().pump_flow_m3_s;
        let base = pump(plant);
        let changed = pump(Worked { hole_m: 1.05 * hole, ..plant });
        prop_assert!(changed > base);
        let changed = pump(Worked { open_share: 0.9, ..plant });
        prop_assert!(changed < base);
        let changed = pump(Worked { delivery_bore_m: 1.05 * bore, ..plant });
        prop_assert!(changed > base);
        let changed = pump(Worked { roughness_m: 1.5 * eps, ..plant });
        prop_assert!(changed < base);
        let changed = pump(Worked { speed_ratio: 1.02 * speed, ..plant });
        prop_assert!(changed > base);
        // A start from another case lands on the same answer.
        let far = BASE.solve().unwrap();
        let curve = curve();
        let warm = solve_manifold(
            &plant.trunk(), &curve.running(plant.duty()), &plant.branches(), plant.water(), Some(&far),
        ).unwrap();
        prop_assert!((warm.pump_flow_m3_s / base - 1.0).abs() < 1e-4);
        let (_, nested) = solve_nested(
            &plant.trunk(), &curve.running(plant.duty()), &plant.branches(), plant.water(),
        ).unwrap();
        prop_assert!((nested.iter().sum::<f64>() / base - 1.0).abs() < 1e-4);
    }
}
