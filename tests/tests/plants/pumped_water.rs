//! A plant fed by a pump: what moves the water which way, and what a pump must not be told.
//!
//! The plant is the sound one with its water replaced by a worked network (pond, pump, bar of 40 holes, five nozzles, a valve-less
//! make-up) whose numbers were computed apart.

use std::path::PathBuf;

use sim_core::plant::Plant;
use sim_core::problem::{Problems, Severity};
use sim_core::quantity::UnitChoice;
use sim_core::stock::{Item, Stock};
use sim_core::trial::Worker;
use washgraph_advice::water::{Change, Fault, Remedy, WaterCase, WaterStudy, explain, plan, remedies};
use washgraph_model::scenario::{Opened, build, open};

const SOUND: &str = include_str!("../../broken/sound.toml");

/// Pump and outlets of the worked network; every input known.
const WATER: &str = r#"
[[stage]]
kind = "pump"
curve = [["0 L/s", "38 m"], ["40 L/s", "31 m"], ["80 L/s", "12 m"]]
lift = "1.5 m"
manifold_height = "3.5 m"
suction_bore = "152.4 mm"
suction_length = "6 m"
suction_roughness = "0.05 mm"
suction_fittings = ["foot-valve-with-strainer", "elbow-90-threaded"]
delivery_bore = "152.4 mm"
delivery_length = "34 m"
delivery_roughness = "0.05 mm"
delivery_fittings = ["check-valve-swing"]
wear = "0 %"
hose_bore_factor = "1"
roughness_factor = "1"
fitting_factor = "1"
efficiency = "60 %"
npsh_required = "3 m"

[[water]]
id = "spray"
kind = "spray-bar"
on = "drum.screen"
holes = 40
hole = "6 mm"
bore = "76.2 mm"
length = "2.4 m"
pipe = "steel-new"
hose_bore = "76.2 mm"
hose_length = "3 m"
hose_roughness = "0.05 mm"
hose_fittings = ["elbow-90-threaded"]
coefficient = "0.61"
regain = "90 %"
plugged = "0 %"

[[water]]
id = "hopper-nozzles"
kind = "nozzles"
on = "hopper"
count = 5
bore = "12 mm"
hose_bore = "50.8 mm"
hose_length = "6 m"
hose_roughness = "0.05 mm"
hose_fittings = ["elbow-90-threaded"]
coefficient = "0.95"

[[water]]
id = "box-water"
kind = "make-up"
on = "sluice"
hose_bore = "50 mm"
hose_length = "4 m"
hose_roughness = "0.05 mm"
hose_fittings = ["entrance-flush"]
"#;

fn base() -> String {
    let text = SOUND.replace(
        "water_temperature = { low = \"4 C\", mid = \"8 C\", high = \"12 C\" }",
        "water_temperature = \"19.3 C\"",
    );
    let start = text.find("[[water]]").unwrap();
    format!("{}{WATER}", &text[..start])
}

/// The base with some passages replaced, each of which must be there once.
fn with(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(base(), |text, (old, new)| {
        assert_eq!(text.matches(old).count(), 1, "the passage to replace must occur once: {old}");
        text.replace(old, new)
    })
}

fn try_plant(text: &str) -> (Option<Plant>, Problems) {
    let mut problems = Problems::default();
    let opened = Opened { text: text.to_owned(), folder: PathBuf::new() };
    let plant = build(&opened, &washgraph_standard_stages::registry(), &mut problems);
    (plant, problems)
}

fn plant(text: &str) -> Plant {
    let (plant, problems) = try_plant(text);
    plant.unwrap_or_else(|| panic!("{:?}", problems.in_order()))
}

/// Flow of spray, hopper nozzles, make-up, all (L/s), and gauge (kPa) of the middle case.
fn flows(text: &str) -> [f64; 5] {
    let plant = plant(text);
    let worker = Worker::new(&plant, 1);
    let q: Vec<f64> = worker.outlets.iter().map(|o| 1000.0 * o.flow_m3_s).collect();
    let gauge = worker.lines[0].gauge_pa(998.0) / 1000.0;
    [q[0], q[1], q[2], q.iter().sum(), gauge]
}

/// A measure of the pump in the middle case.
fn measure(text: &str, name: &str) -> f64 {
    let plant = plant(text);
    let worker = Worker::new(&plant, 1);
    let node = plant.nodes.iter().find(|n| n.id == "pump").unwrap();
    let i =
        node.measures.clone().find(|i| plant.measures[*i].name == name).unwrap_or_else(|| panic!("no measure {name}"));
    worker.measures[i]
}

fn near(a: f64, b: f64, share: f64) {
    assert!((a / b - 1.0).abs() < share, "{a} against {b}");
}

#[test]
fn identity_the_scenario_gives_the_worked_network() {
    let [spray, hopper, makeup, all, _] = flows(&base());
    // Worked apart without static regain and with another friction law: half a percent covers both.
    near(all, 45.75, 0.005);
    near(spray, 13.61, 0.01);
    near(hopper, 9.63, 0.005);
    near(makeup, 22.52, 0.005);
}

#[test]
fn identity_fast_path_and_newton_agree_on_the_plant_and_its_variants() {
    let plant = plant(&base());
    let case = WaterCase::middle(&plant, 0).unwrap();
    let variants: [&[Change]; 7] = [
        &[],
        &[Change::Speed(0.85)],
        &[Change::Close { branch: 2 }],
        &[Change::DeliveryBore(0.1016)],
        &[Change::Plugged { branch: 0, share: 0.5 }],
        &[Change::HoleSize { branch: 0, hole_m: 0.008 }],
        &[Change::PumpFlow(1.5), Change::PumpHead(1.2)],
    ];
    for changes in variants {
        let case = case.with(changes);
        let fast = case.solve().unwrap();
        let (pump, branches, head) = case.solve_reference().unwrap();
        near(fast.pump_flow_m3_s, pump, 5e-5);
        near(fast.manifold_head_m, head, 5e-5);
        for (j, q) in branches.iter().enumerate() {
            assert!((fast.branch_flow_m3_s[j] - q).abs() < 5e-5 * pump, "{changes:?} branch {j}");
        }
    }
}

#[test]
fn property_changes_move_the_water_as_worked_apart() {
    let now = flows(&base());
    // Pump, spray, hopper, make-up over the base, as worked apart.
    type Edits = &'static [(&'static str, &'static str)];
    let cases: [(&str, Edits, [f64; 4]); 6] = [
        ("half plugged", &[("plugged = \"0 %\"", "plugged = \"50 %\"")], [41.12 / 45.75, 7.30 / 13.61, 0.0, 0.0]),
        ("worn", &[("regain", "worn = \"2 mm\"\nregain")], [51.16 / 45.75, 21.31 / 13.61, 8.94 / 9.63, 20.91 / 22.52]),
        (
            "torch-cut",
            &[("coefficient = \"0.61\"", "coefficient = \"0.40\"")],
            [42.67 / 45.75, 9.38 / 13.61, 9.97 / 9.63, 23.32 / 22.52],
        ),
        (
            "4 in delivery",
            &[("delivery_bore = \"152.4 mm\"", "delivery_bore = \"4 in\"")],
            [39.53 / 45.75, 11.76 / 13.61, 8.32 / 9.63, 19.45 / 22.52],
        ),
        (
            "slower",
            &[("lift =", "rated_speed = \"2000 rpm\"\nspeed = \"1800 rpm\"\nlift =")],
            [40.40 / 45.75, 12.02 / 13.61, 8.50 / 9.63, 19.88 / 22.52],
        ),
        (
            "slower yet",
            &[("lift =", "rated_speed = \"2000 rpm\"\nspeed = \"1700 rpm\"\nlift =")],
            [37.69 / 45.75, 11.218 / 13.61, 7.93 / 9.63, 18.54 / 22.52],
        ),
    ];
    for (name, changes, expected) in cases {
        let moved = flows(&with(changes));
        let ratios = [moved[3] / now[3], moved[0] / now[0], moved[1] / now[1], moved[2] / now[2]];
        for (ratio, expected) in ratios.iter().zip(expected).filter(|(_, e)| *e > 0.0) {
            assert!((ratio - expected).abs() < 0.01, "{name}: {ratio} against {expected}");
        }
    }
}

#[test]
fn property_gauge_and_flow_move_as_the_rule_of_diagnosis_says() {
    let now = flows(&base());
    let moved = |changes: &[(&str, &str)]| {
        let then = flows(&with(changes));
        (then[3] / now[3] - 1.0, then[4] / now[4] - 1.0)
    };
    let (flow, gauge) = moved(&[("plugged = \"0 %\"", "plugged = \"50 %\"")]);
    assert!(flow < -0.02 && gauge > 0.02, "plugged {flow} {gauge}");
    let (flow, gauge) = moved(&[("regain", "worn = \"2 mm\"\nregain")]);
    assert!(flow > 0.02 && gauge < -0.02, "worn {flow} {gauge}");
    let (flow, gauge) = moved(&[("wear = \"0 %\"", "wear = \"15 %\"")]);
    assert!(flow < -0.02 && gauge < -0.02, "weak pump {flow} {gauge}");
}

#[test]
fn property_a_shut_branch_gives_its_water_to_the_others() {
    let plant = plant(&base());
    let case = WaterCase::middle(&plant, 0).unwrap();
    let now = case.solve().unwrap();
    let shut = case.with(&[Change::Close { branch: case.branch("box-water").unwrap() }]).solve().unwrap();
    assert_eq!(shut.branch_flow_m3_s[2], 0.0);
    assert!(shut.branch_flow_m3_s[0] > 1.1 * now.branch_flow_m3_s[0]);
    assert!(shut.branch_flow_m3_s[1] > 1.1 * now.branch_flow_m3_s[1]);
    assert!(shut.pump_flow_m3_s < 0.8 * now.pump_flow_m3_s);
}

#[test]
fn property_the_working_point_lies_on_the_plants_curve_and_on_the_pumps() {
    let plant = plant(&base());
    let case = WaterCase::middle(&plant, 0).unwrap();
    let flow = case.solve().unwrap();
    let on = |points: &[(f64, f64)], q: f64| {
        let k = points.iter().position(|p| p.0 >= q).unwrap();
        let (a, b) = (points[k - 1], points[k]);
        a.1 + (b.1 - a.1) * (q - a.0) / (b.0 - a.0)
    };
    let curve = case.plant_points(1.5 * flow.pump_flow_m3_s, 60);
    assert!(curve.windows(2).all(|w| w[1].0 > w[0].0 && w[1].1 > w[0].1), "the plant's curve rises: {curve:?}");
    near(on(&curve, flow.pump_flow_m3_s), flow.pump_head_m, 0.003);
    near(on(&case.pump_points(200), flow.pump_flow_m3_s), flow.pump_head_m, 0.001);
    // The plant's curve knows nothing of the pump.
    let other = case.with(&[Change::Speed(0.8)]).plant_points(1.5 * flow.pump_flow_m3_s, 60);
    near(on(&other, flow.pump_flow_m3_s), flow.pump_head_m, 0.003);
}

#[test]
fn property_suction_power_and_hoses_are_measured() {
    let text = with(&[("npsh_required = \"3 m\"", "npsh_required = \"3 m\"\naltitude = \"1500 m\"")]);
    // 5.82 m at 10 C by the worked network; 19 C boils a little sooner.
    near(measure(&text, "npsh_available"), 5.72, 0.01);
    assert!(measure(&base(), "npsh_available") > 7.2);
    // 13.0 kW in the water; the efficiency lies on its parabola.
    let efficiency = measure(&base(), "pump_efficiency");
    near(measure(&base(), "engine_power"), 13.0e3 / efficiency, 0.01);
    near(measure(&base(), "delivery_speed"), 2.508, 0.01);
    let (first, last) = (measure(&base(), "spray_first_hole"), measure(&base(), "spray_last_hole"));
    assert!(last > first && last < 1.02 * first, "a wide bar: the far end gets a little more, {first} {last}");
}

/// What a scenario is refused for: words of the message and of the help, and text that the marked place starts with.
fn refused(text: &str, message: &str, help: &str, place: &str) {
    let (plant, problems) = try_plant(text);
    assert!(plant.is_none(), "{message}: accepted");
    let errors: Vec<_> = problems.in_order().into_iter().filter(|p| p.severity == Severity::Error).collect();
    let found = errors.iter().find(|p| p.message.contains(message)).unwrap_or_else(|| panic!("{errors:#?}"));
    assert!(found.help.contains(help), "{}", found.help);
    let at = found.span.clone().map_or("", |s| &text[s]).trim_start_matches('"');
    assert!(at.starts_with(place), "{message}: marks {at:?}");
}

#[test]
fn property_impossible_pumps_are_refused_with_words_and_place() {
    let curve = "curve = [[\"0 L/s\", \"38 m\"], [\"40 L/s\", \"31 m\"], [\"80 L/s\", \"12 m\"]]";
    let change = |old: &str, new: &str| with(&[(old, new)]);
    refused(
        &change(curve, "curve = [[\"0 L/s\", \"12 m\"], [\"40 L/s\", \"31 m\"], [\"80 L/s\", \"38 m\"]]"),
        "the head must fall as the flow grows",
        "flow and head may be swapped",
        "[[",
    );
    refused(
        &change(curve, "curve = [[\"0 L/s\", \"38 m\"], [\"80 L/s\", \"12 m\"]]"),
        "at least three points",
        "give the head at no flow",
        "[[",
    );
    refused(
        &change(curve, "curve = [[\"40 L/s\", \"38 m\"], [\"0 L/s\", \"31 m\"], [\"80 L/s\", \"12 m\"]]"),
        "flows of the pump curve must increase",
        "in order of flow",
        "[[",
    );
    refused(
        &change(curve, "curve = [[\"0 L/s\", \"38 m\", \"60 %\"], [\"40 L/s\"]]"),
        "each row of `curve` has 2 texts",
        "write a list of rows",
        "[\"",
    );
    refused(&change(curve, "curve = \"38 m\""), "`curve` is a list of rows", "[[\"", "38 m");
    refused(
        &change("manifold_height = \"3.5 m\"", "manifold_height = \"45 m\""),
        "cannot lift the water: its head at no flow is 38.0 m, 46.5 m are needed",
        "a lower manifold",
        "[[stage]]",
    );
    refused(
        &change("lift = \"1.5 m\"", "lift = \"10.5 m\""),
        "beyond what suction can do",
        "set the pump lower",
        "10.5 m",
    );
    refused(
        &change("count = 5", "height = \"28 m\"\ncount = 5"),
        "no water reaches hopper-nozzles",
        "lower it",
        "[[stage]]",
    );
    refused(&change("holes = 40", "holes = 0"), "`holes` of 0 is out of range", "between 1", "0");
    refused(
        &change("plugged = \"0 %\"", "plugged = \"0 %\"\npressure = \"20 psi\"\nfrom = \"pump\""),
        "has a pressure or flow of its own and is fed by `pump` as well",
        "take one of the two out",
        "pump",
    );
    refused(
        &change("plugged = \"0 %\"", "plugged = \"0 %\"\nfrom = \"pumpe\""),
        "there is no pump `pumpe`",
        "did you mean from = \"pump\"?",
        "drum.screen",
    );
    refused(
        &change("plugged = \"0 %\"", "plugged = \"0 %\"\nfrom = \"sluice\""),
        "there is no pump `sluice`",
        "pumps: pump",
        "drum.screen",
    );
    refused(
        &change("delivery_fittings = [\"check-valve-swing\"]", "delivery_fittings = [\"check-valve-swng\"]"),
        "`check-valve-swng` is not known",
        "did you mean `check-valve-swing`?",
        "check-valve-swng",
    );
    refused(
        &change("wear = \"0 %\"", "wear = \"0 %\"\nspeed = \"1800 rpm\""),
        "not the speed for which its curve holds",
        "rated_speed",
        "1800 rpm",
    );
    let many: String = (0..20)
        .map(|i| {
            format!("\n[[water]]\nid = \"n{i}\"\nkind = \"nozzles\"\non = \"hopper\"\ncount = 1\nbore = \"5 mm\"\n")
        })
        .collect();
    refused(&(base() + &many), "23 branches on the manifold: at most 16", "join outlets", "[[stage]]");
    refused(&change("bore = \"76.2 mm\"\nlength", "length"), "needs `bore` and `length`", "2 in", "40");
    refused(&change("hose_bore = \"50 mm\"\n", ""), "needs `hose_bore`", "`flow`", "[[water]]");
}

#[test]
fn property_without_a_pump_outlets_want_a_pressure() {
    let text = base();
    let (start, end) = (text.find("[[stage]]\nkind = \"pump\"").unwrap(), text.find("[[water]]").unwrap());
    let text = format!("{}{}", &text[..start], &text[end..]);
    refused(&text, "nothing feeds water outlet `spray`: there is no pump `pump`", "give its pressure", "drum.screen");
}

#[test]
fn property_typed_and_pumped_water_may_be_mixed_and_check_says_so() {
    let text = with(&[(
        "hose_bore = \"50 mm\"\nhose_length = \"4 m\"\nhose_roughness = \"0.05 mm\"\nhose_fittings = [\"entrance-flush\"]",
        "flow = \"10 L/s\"",
    )]);
    let (plant, problems) = try_plant(&text);
    let plant = plant.unwrap();
    let note = "`box-water` has a pressure or flow of its own";
    assert!(problems.in_order().iter().any(|p| p.severity == Severity::Note && p.message.contains(note)));
    let worker = Worker::new(&plant, 1);
    assert!((worker.outlets[2].flow_m3_s - 0.010).abs() < 1e-12);
    assert_eq!(worker.lines[0].branches().len(), 2);
}

#[test]
fn property_two_pumps_feed_their_own_outlets() {
    let text = with(&[("id = \"spray\"", "id = \"spray\"\nfrom = \"second\"")]);
    let start = text.find("[[stage]]\nkind = \"pump\"").unwrap();
    let end = text.find("[[water]]").unwrap();
    let second = text[start..end].replace("kind = \"pump\"", "kind = \"pump\"\nid = \"second\"");
    let text = format!("{}{second}{}", &text[..end], &text[end..]);
    let plant = plant(&text);
    let worker = Worker::new(&plant, 1);
    assert_eq!(worker.lines.len(), 2);
    let alone = WaterCase::middle(&plant, 1).unwrap();
    assert_eq!(alone.branches.len(), 1);
    assert!((alone.solve().unwrap().pump_flow_m3_s - worker.outlets[0].flow_m3_s).abs() < 1e-9);
    assert!(worker.residuals().water < 1e-12);
}

#[test]
fn identity_water_closes_and_trials_do_not_depend_on_their_order() {
    let plant = plant(&with(&[("wear = \"0 %\"", ""), ("plugged = \"0 %\"", ""), ("coefficient = \"0.61\"", "")]));
    let mut forward = Worker::new(&plant, 3);
    let mut lone = Worker::new(&plant, 3);
    for trial in 0..200 {
        forward.run_trial(trial);
        assert!(forward.residuals().water < 1e-12, "trial {trial}: {:?}", forward.residuals());
    }
    lone.run_trial(199);
    for (a, b) in forward.outlets.iter().zip(&lone.outlets) {
        assert_eq!(a.flow_m3_s.to_bits(), b.flow_m3_s.to_bits());
    }
}

#[test]
fn property_remedies_meet_the_need_that_the_present_pump_misses() {
    // A pump of a third of the flow.
    let small = with(&[(
        "curve = [[\"0 L/s\", \"38 m\"], [\"40 L/s\", \"31 m\"], [\"80 L/s\", \"12 m\"]]",
        "curve = [[\"0 L/s\", \"38 m\"], [\"13 L/s\", \"31 m\"], [\"26 L/s\", \"12 m\"]]",
    )]);
    let plant = plant(&small);
    let study = WaterStudy::new(&plant, 0, 1, 60).unwrap();
    // The make-up of the box washes no rock, the spray reaches box and screen, the hopper all.
    let reach = |stage: &str, need: &str, id: &str| {
        let n = study.needs.iter().find(|n| n.stage == stage && n.need == need).unwrap();
        n.reached_by[study.middle.case.branch(id).unwrap()]
    };
    assert_eq!(reach("drum", "wash", "box-water"), 0.0);
    assert!(reach("drum", "wash", "spray") > 0.99 && reach("sluice", "sluice", "spray") > 0.99);
    // More spray moves the charge a little, and with it what spills at the feed end.
    assert!(reach("drum", "slurry", "spray").abs() < 0.01);
    assert!(reach("drum", "slurry", "hopper-nozzles") > 0.9);
    let now = study.standing(&[]);
    assert!(now.short_share > 0.9, "{now:?}");
    let list = remedies(&study);
    let best = list.first().unwrap();
    assert!(best.meets, "{list:#?}");
    for pair in list.windows(2) {
        assert!(pair[0].meets || !pair[1].meets, "those that meet the need stand first");
        assert!(!pair[1].meets || pair[0].remedy.effort() <= pair[1].remedy.effort());
    }
    // What the network says of a remedy is what it says when asked again.
    let again = study.standing(&best.remedy.changes());
    assert_eq!(again, best.standing);
    // The duty to buy meets the need: a pump through that point, flat to the left of it.
    let duty = study.duty_to_buy().unwrap();
    assert!(duty.share >= 0.9 && duty.flow_m3_s > now.pump_flow_m3_s, "{duty:?}");
    let curve = format!(
        "curve = [[\"0 m3/s\", \"{} m\"], [\"{} m3/s\", \"{} m\"], [\"{} m3/s\", \"1 m\"]]",
        duty.head_m * 1.02,
        duty.flow_m3_s,
        duty.head_m * 1.001,
        2.0 * duty.flow_m3_s
    );
    let bought = with(&[("curve = [[\"0 L/s\", \"38 m\"], [\"40 L/s\", \"31 m\"], [\"80 L/s\", \"12 m\"]]", &curve)]);
    let study = WaterStudy::new(&self::plant(&bought), 0, 1, 60).unwrap();
    assert!(study.standing(&[]).short_share <= 0.1, "{:?}", study.standing(&[]));
}

/// Both demonstrations, their pump cut to a share of its flow and head so that remedies are looked for.
#[test]
fn property_hoses_and_holes_of_remedies_are_sold() {
    for name in ["juniper-creek", "badger-gulch"] {
        let path = PathBuf::from(format!("{}/../scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR")));
        let opened = open(&path).unwrap();
        for units in [UnitChoice::Us, UnitChoice::Metric] {
            let mut opened = opened.clone();
            if units == UnitChoice::Metric {
                opened.text = opened.text.replacen("units = \"us\"", "units = \"metric\"", 1);
            }
            let registry = washgraph_standard_stages::registry();
            let plant = build(&opened, &registry, &mut Problems::default()).unwrap();
            let mut study = WaterStudy::new(&plant, 0, 1, 20).unwrap();
            for trial in &mut study.trials {
                trial.case = trial.case.with(&[Change::PumpFlow(0.5), Change::PumpHead(0.5)]);
            }
            let (hoses, drills) = (Stock::of(Item::HoseBore, units), Stock::of(Item::Drill, units));
            let mut bought = 0;
            for outcome in remedies(&study).iter().chain(&plan(&study)) {
                let size = match outcome.remedy {
                    Remedy::WiderSuction(m) | Remedy::WiderDelivery(m) | Remedy::WiderHose(_, m) => Some((hoses, m)),
                    Remedy::SmallerHoles(_, m) | Remedy::LargerHoles(_, m) => Some((drills, m)),
                    _ => None,
                };
                if let Some((stock, size_m)) = size {
                    assert!(stock.has(size_m), "{name}: {} is not sold", stock.say(size_m));
                    bought += 1;
                }
            }
            assert!(bought > 0, "{name}: nothing to buy was proposed");
        }
    }
}

#[test]
fn property_readings_of_a_fault_are_explained_by_that_fault() {
    let plant = plant(&base());
    let case = WaterCase::middle(&plant, 0).unwrap();
    let read = |change: Change| {
        let altered = case.with(&[change]);
        let flow = altered.solve().unwrap();
        (flow.pump_flow_m3_s, (flow.manifold_head_m - altered.manifold_m) * altered.density_kg_m3 * 9.80665)
    };
    let (flow, gauge) = read(Change::Plugged { branch: 0, share: 0.4 });
    let list = explain(&case, flow, gauge);
    let of = |wanted: &dyn Fn(&Fault) -> bool| list.iter().find(|e| wanted(&e.fault)).unwrap();
    let plugged = of(&|f| matches!(f, Fault::Plugged { branch: 0, .. }));
    assert!(plugged.miss < 1e-3, "{list:#?}");
    assert!(matches!(plugged.fault, Fault::Plugged { share, .. } if (share - 0.4).abs() < 0.01), "{plugged:?}");
    assert!(of(&|f| matches!(f, Fault::WeakPump { .. })).miss > 0.05, "{list:#?}");
    assert!(of(&|f| matches!(f, Fault::Worn { .. })).miss > 0.05, "{list:#?}");

    let (flow, gauge) = read(Change::PumpHead(0.8));
    let list = explain(&case, flow, gauge);
    assert!(matches!(list[0].fault, Fault::WeakPump { .. } | Fault::EngineSpeed { .. }), "{list:#?}");
    assert!(list[0].miss < 1e-3);

    let (flow, gauge) = read(Change::HoleSize { branch: 0, hole_m: 0.0075 });
    let list = explain(&case, flow, gauge);
    assert!(matches!(list[0].fault, Fault::Worn { .. }) && list[0].miss < 1e-3, "{list:#?}");
}
