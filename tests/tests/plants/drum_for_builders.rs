//! What a builder of wash drums expects of rings, holes, lifters, speed, slope, trap and drive, on a frozen plant with one
//! thing of the drum altered. Middle case unless it says otherwise.

use std::path::PathBuf;

use proptest::prelude::*;
use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::trial::Worker;
use washgraph_model::scenario::{Opened, build};

const CREEK: &str = include_str!("../../broken/sound.toml");
const SCRUBBER: &str = "kind = \"scrubber\"\n";
const SCREEN: &str = "kind = \"screen\"\n";
const DRUM: &str = "kind = \"drum\"\n";
const HOLE: &str = "hole = \"1/2 in\"\npitch = \"3/4 in\"";

/// Adds lines to the table that has this line.
fn also(text: &str, line: &str, more: &str) -> String {
    assert_eq!(text.matches(line).count(), 1, "{line}");
    text.replace(line, &format!("{line}{more}\n"))
}

fn plant(text: &str) -> Plant {
    let mut problems = Problems::default();
    let opened = Opened { text: text.to_owned(), folder: PathBuf::new() };
    let plant = build(&opened, &washgraph_standard_stages::registry(), &mut problems);
    plant.unwrap_or_else(|| panic!("{:?}", problems.in_order()))
}

/// The middle case of a plant.
struct Case {
    plant: Plant,
    measures: Vec<f64>,
    warnings: Vec<bool>,
    caught: f64,
    largest_to_sluice_m: f64,
    /// Share of the gold of 1 mm and more that does not go over the end of the drum.
    coarse: f64,
}

impl Case {
    fn of(text: &str) -> Case {
        let plant = plant(text);
        let worker = Worker::new(&plant, 1);
        let fed: f64 = worker.fed.iter().sum();
        let caught = worker.caught.iter().flatten().sum::<f64>() / fed;
        let drum = plant.nodes.iter().find(|n| n.id == "drum").map(|n| n.outlets.start).unwrap();
        let largest_to_sluice_m = worker.stream(drum).unwrap().largest_m;
        let coarse_class = |g: &usize| sim_core::size::gold_class(*g).from_m >= 0.999e-3;
        let classes: Vec<usize> = (0..sim_core::size::GOLD_CLASSES).filter(coarse_class).collect();
        let over = worker.stream(drum + 1).unwrap();
        let over_kg_s: f64 = classes.iter().map(|g| over.gold_of_class(*g)).sum();
        let coarse = 1.0 - over_kg_s / classes.iter().map(|g| worker.fed[*g]).sum::<f64>();
        let (measures, warnings) = (worker.measures.clone(), worker.warnings.clone());
        drop(worker);
        Case { plant, measures, warnings, caught, largest_to_sluice_m, coarse }
    }

    fn measure(&self, name: &str) -> f64 {
        let at = self.plant.measures.iter().position(|m| m.name == name);
        self.measures[at.unwrap_or_else(|| panic!("no measure {name}"))]
    }

    fn raised(&self, id: &str) -> bool {
        self.plant.warnings.iter().zip(&self.warnings).any(|(w, raised)| w.id == id && *raised)
    }
}

fn with_drum(more: &str) -> Case {
    Case::of(&also(CREEK, DRUM, more))
}

#[test]
fn property_a_low_ring_ahead_of_the_screen_holds_slurry_and_leaves_the_bed_alone() {
    let plain = Case::of(CREEK);
    let low = Case::of(&also(CREEK, SCRUBBER, "exit_ring = \"2 in\""));
    let bed = |c: &Case| c.measure("scrubber_residence");
    assert!((bed(&low) / bed(&plain) - 1.0).abs() < 0.02, "{} {}", bed(&low), bed(&plain));
    let slurry = |c: &Case| c.measure("scrubber_slurry_time");
    println!("slurry {} s, with the ring {} s", slurry(&plain), slurry(&low));
    assert!(slurry(&low) > 1.3 * slurry(&plain));
    // High enough it stands above the bed and holds gravel.
    let high = Case::of(&also(CREEK, SCRUBBER, "exit_ring = \"8 in\""));
    assert!(bed(&high) > 1.1 * bed(&plain));
    assert!(high.measure("clay_left_in_lumps") < plain.measure("clay_left_in_lumps"));
}

#[test]
fn property_a_ring_at_the_outlet_holds_material_and_buys_coarse_gold() {
    let plain = Case::of(CREEK);
    let ring = Case::of(&also(CREEK, SCREEN, "exit_ring = \"4 in\""));
    println!("screen {} s, with a 4 in ring {} s", plain.measure("screen_residence"), ring.measure("screen_residence"));
    assert!(ring.measure("screen_residence") > 1.25 * plain.measure("screen_residence"));
    assert!(ring.measure("screen_efficiency") > plain.measure("screen_efficiency"));
    assert!(ring.coarse > plain.coarse);
    assert!(ring.measure("drive_torque") > plain.measure("drive_torque"));
}

#[test]
fn property_a_ring_above_the_feed_opening_spills_back() {
    let high = Case::of(&also(CREEK, SCRUBBER, "exit_ring = \"14 in\""));
    assert!(high.raised("drum-spills") && high.measure("spilled_share") > 0.2, "{}", high.measure("spilled_share"));
    assert!(high.caught < Case::of(CREEK).caught);
}

#[test]
fn property_scrub_time_is_capped_by_volume_over_flow() {
    let c = Case::of(CREEK);
    let drum = c.plant.nodes.iter().position(|n| n.id == "drum").unwrap();
    let worker = Worker::new(&c.plant, 1);
    let solids: f64 = worker.rock_fed.iter().sum::<f64>() + worker.clay_fed;
    let flow_m3_s = solids / worker.ground.loose_density_kg_m3;
    assert!(drum > 0);
    // Sound drum: 36 in across, 5 ft of scrubber.
    let volume_m3 = std::f64::consts::PI / 4.0 * 0.9144 * 0.9144 * 1.524;
    assert!(c.measure("scrubber_residence") < volume_m3 / flow_m3_s);
}

#[test]
fn property_a_slower_drum_holds_more_and_a_steeper_one_less() {
    let fill = |text: &str| Case::of(text).measure("mean_fill");
    let speed = |rpm: &str| fill(&CREEK.replace("speed = \"18 rpm\"", &format!("speed = \"{rpm} rpm\"")));
    let slope = |deg: &str| fill(&CREEK.replace("slope = \"4 deg\"", &format!("slope = \"{deg} deg\"")));
    assert!(CREEK.contains("speed = \"18 rpm\"") && CREEK.contains("slope = \"4 deg\""));
    assert!(speed("14") > speed("18") && speed("18") > speed("22"));
    assert!(slope("3") > slope("4") && slope("4") > slope("6"));
}

#[test]
fn property_relieved_holes_stay_open_and_plugged_ones_cost_coarse_gold() {
    let straight = Case::of(CREEK);
    let relieved = Case::of(&also(CREEK, SCREEN, "relief = \"relieved\""));
    println!(
        "blinded: straight {}, relieved {}",
        straight.measure("screen_blinded"),
        relieved.measure("screen_blinded")
    );
    assert!(relieved.measure("screen_blinded") < 0.3 * straight.measure("screen_blinded"));
    assert!(straight.measure("screen_blinded_at_cleaning") > straight.measure("screen_blinded"));
    assert!(relieved.coarse > straight.coarse);
    let often = Case::of(&also(CREEK, SCREEN, "cleaned_every = \"1 h\""));
    assert!(often.measure("screen_blinded") < straight.measure("screen_blinded"));
    let counted = Case::of(&also(CREEK, SCREEN, "blinded = \"40 %\""));
    assert!((counted.measure("screen_blinded") - 0.4).abs() < 1e-12 && counted.coarse < straight.coarse);
}

#[test]
fn property_holes_cut_by_torch_pass_bigger_stones() {
    let punched = Case::of(CREEK);
    let torch = Case::of(&also(CREEK, SCREEN, "cut = \"torch\""));
    println!("largest stone: punched {} m, torch {} m", punched.largest_to_sluice_m, torch.largest_to_sluice_m);
    assert!(torch.largest_to_sluice_m > 1.1 * punched.largest_to_sluice_m);
    let even = Case::of(&also(CREEK, SCREEN, "hole_scatter = \"0 mm\""));
    assert!(even.largest_to_sluice_m < punched.largest_to_sluice_m);
    // Thick straight plate narrows the holes; relieved plate of the same thickness hardly does.
    let eff = |more: &str| Case::of(&also(CREEK, SCREEN, more)).measure("screen_efficiency");
    assert!(eff("plate_thickness = \"12 mm\"") < eff("plate_thickness = \"3 mm\""));
}

#[test]
fn property_lifters_wash_clay_and_high_ones_beat_the_barrel() {
    let plain = Case::of(CREEK);
    let bars = Case::of(&also(CREEK, SCRUBBER, "lifters = \"bars\""));
    let high = Case::of(&also(CREEK, SCRUBBER, "lifters = \"high\""));
    let clay = |c: &Case| c.measure("clay_left_in_lumps");
    assert!(clay(&bars) < clay(&plain) && clay(&high) < clay(&bars));
    assert!(
        plain.measure("bed_torque") < bars.measure("bed_torque")
            && bars.measure("bed_torque") < high.measure("bed_torque")
    );
    assert!(bars.measure("scrubber_residence") > plain.measure("scrubber_residence"));
    assert!(high.raised("drum-high-lifters") && !bars.raised("drum-high-lifters"));
    assert!(high.measure("lifted_landing_speed") > 1.0);
    assert!(!bars.raised("drum-slips"));
}

#[test]
fn property_a_trap_holds_coarse_gold_that_went_over_the_end() {
    // Holes too small for the coarsest gold, with a trap behind the screen.
    let small = CREEK.replace(HOLE, "hole = \"6 mm\"\npitch = \"10 mm\"");
    let at = small.find("[[stage]]\nkind = \"sluice\"").unwrap();
    let trap = |length: &str| {
        let table = format!("[[stage.section]]\nkind = \"nugget-trap\"\nlength = \"{length}\"\n\n");
        Case::of(&format!("{}{table}{}", &small[..at], &small[at..]))
    };
    let (without, short, long) = (Case::of(&small), trap("1 ft"), trap("4 ft"));
    println!(
        "coarse gold: {} {} {}; held {}",
        without.coarse,
        short.coarse,
        long.coarse,
        long.measure("nugget_trap_held")
    );
    assert!(without.coarse < short.coarse && short.coarse < long.coarse);
    assert!(long.raised("nugget-trap-care"));
    assert!(long.measure("nugget_trap_held") > 0.0 && long.measure("nugget_trap_held") < 1.0);
}

#[test]
fn property_drive_stalls_and_chains_overrate_when_undersized() {
    let large = with_drum("motor = \"400 cm3/rev\"");
    assert!(!large.raised("drum-motor-stalls") && !large.raised("drum-motor-no-start"));
    assert!(with_drum("motor = \"10 cm3/rev\"").raised("drum-motor-stalls"));
    assert!(with_drum("oil_flow = \"1 L/min\"").raised("drum-oil-short"));
    let weak = with_drum("chain_pitch = \"3/8 in\"\npinion_teeth = 11");
    assert!(weak.raised("drum-chain-overrated") && weak.measure("chain_rating_used") > 1.0);
    let touching = with_drum("chain_layout = \"touching\"");
    assert!(touching.raised("drum-chain-mesh") && touching.measure("chain_teeth_in_mesh") <= 3.0);
    let (loop_used, touching_used) = (large.measure("chain_rating_used"), touching.measure("chain_rating_used"));
    assert!((touching_used / loop_used - 2.0).abs() < 1e-9);
    let c = Case::of(CREEK);
    assert!(!c.raised("drum-chain-overrated") && c.measure("engine_power") > c.measure("drive_power"));
    assert!(c.measure("start_torque") > 1.9 * c.measure("drive_torque"));
    // A motor of the size to buy needs just the relief pressure to start.
    assert!((c.measure("motor_start_pressure") / (2000.0 * 6894.757) - 1.0).abs() < 1e-3);
}

#[test]
fn property_own_clay_tests_decide_how_clay_wears() {
    let at = CREEK.find("clay_wear").unwrap();
    let end = at + CREEK[at..].find('\n').unwrap() + 1;
    let with_clay = |lines: &str| format!("{}{lines}\n{}", &CREEK[..at], &CREEK[end..]);
    let left = |lines: &str| Case::of(&with_clay(lines)).measure("clay_left_in_lumps");
    let test = |share: &str| {
        format!(
            "clay_test = \"mixer\"\nclay_test_lump = \"2 in\"\nclay_test_time = \"5 min\"\nclay_test_left = \"{share}\""
        )
    };
    assert!(left(&test("20 %")) < left(&test("80 %")));
    assert!(left("clay_class = \"easy\"") < left("clay_class = \"medium\""));
    assert!(left("clay_class = \"medium\"") < left("clay_class = \"hard\""));
    assert!(left("clay_class = \"hard\"\nfrost = \"winter\"") < left("clay_class = \"hard\""));
    // Sticky clay in a slow drum without lifters balls.
    let slow = with_clay("clay_class = \"hard\"").replace("speed = \"18 rpm\"", "speed = \"9 rpm\"");
    assert!(Case::of(&slow).raised("clay-balls"));
    assert!(!Case::of(&also(&slow, SCRUBBER, "lifters = \"bars\"")).raised("clay-balls"));
    assert!(!Case::of(CREEK).raised("clay-balls"));
}

/// A section of a random drum.
#[derive(Debug, Clone, Copy)]
struct Part {
    kind: usize,
    feet: f64,
    ring_in: f64,
    lifters: usize,
    hole_in: f64,
}

fn part() -> impl Strategy<Value = Part> {
    (0..4_usize, 0.5..5.0, 0.0..6.0, 0..3_usize, 0.2..1.5).prop_map(|(kind, feet, ring_in, lifters, hole_in)| Part {
        kind,
        feet,
        ring_in,
        lifters,
        hole_in,
    })
}

fn drum_of(parts: &[Part], slurry: bool) -> String {
    let from = CREEK.find("[[stage.section]]").unwrap();
    let to = CREEK.find("[[stage]]\nkind = \"sluice\"").unwrap();
    let mut sections = String::new();
    for (i, p) in parts.iter().enumerate() {
        let kind = ["scrubber", "screen", "blank", "nugget-trap"][p.kind];
        let lifters = ["none", "bars", "high"][p.lifters];
        sections += &format!(
            "[[stage.section]]\nkind = \"{kind}\"\nid = \"part-{i}\"\nlength = \"{:.3} ft\"\nexit_ring = \"{:.3} in\"\nlifters = \"{lifters}\"\n",
            p.feet, p.ring_in
        );
        if kind == "screen" {
            let cut = if p.lifters == 1 { "torch" } else { "punched" };
            sections +=
                &format!("hole = \"{:.3} in\"\npitch = \"{:.3} in\"\ncut = \"{cut}\"\n", p.hole_in, 1.5 * p.hole_in);
        }
        sections += "\n";
    }
    let text = format!("{}{sections}{}", &CREEK[..from], &CREEK[to..]);
    // The spray bar hangs on the last part.
    let text = text.replace("on = \"drum.screen\"", &format!("on = \"drum.part-{}\"", parts.len() - 1));
    if slurry { also(&text, DRUM, "slurry_size = \"0.7 mm\"") } else { text }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Each class of gold and rock, and the water, close to 1e-12 through any sequence of sections.
    #[test]
    fn property_every_class_closes_through_any_sequence_of_sections(
        before in prop::collection::vec(part(), 0..3),
        mut screen in part(),
        after in prop::collection::vec(part(), 0..3),
        slurry in any::<bool>(),
    ) {
        screen.kind = 1;
        let parts: Vec<Part> = before.into_iter().chain([screen]).chain(after).collect();
        let plant = plant(&drum_of(&parts, slurry));
        let mut worker = Worker::new(&plant, 7);
        for trial in 0..4 {
            worker.run_trial(trial);
            let r = worker.residuals();
            prop_assert!(r.gold < 1e-12 && r.solids < 1e-12 && r.water < 1e-12, "{r:?}");
            prop_assert!(worker.caught.iter().flatten().all(|c| *c >= 0.0));
        }
    }
}
