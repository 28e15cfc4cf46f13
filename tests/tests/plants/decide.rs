//! Several plants on the same ground: common draws, the direction of the choice of holes, what the result hangs on.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64};

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::stats::choice::{Call, choose};
use sim_core::trial::{Course, DrawCache, Worker, run_course};
use washgraph_model::paired::{DesignRun, PILOT_TRIALS, choose_among, drivers, gap, together, with_pilot};
use washgraph_model::scenario::{Opened, build};
use washgraph_model::variant::{SettingPath, with};

const SOUND: &str = include_str!("../../broken/sound.toml");

fn opened(text: &str) -> Opened {
    Opened { text: text.into(), folder: PathBuf::new() }
}

fn variant(opened: &Opened, changes: &[(&str, &str)]) -> Plant {
    let registry = washgraph_standard_stages::registry();
    let changes: Vec<_> = changes
        .iter()
        .map(|(p, v)| (SettingPath::find(p, opened, &registry).expect("a path"), v.to_string()))
        .collect();
    let mut problems = Problems::default();
    let changed = with(opened, &changes).expect("changed");
    build(&changed, &registry, &mut problems).unwrap_or_else(|| panic!("{:?}", problems.in_order()))
}

fn run(plant: &Plant, seed: u64, trials: usize) -> DesignRun {
    DesignRun::run("x", plant, seed, trials, &AtomicU64::new(0))
}

/// Plates with their pitch, small to large.
const PLATES: [(&str, &str); 6] = [
    ("1/4 in", "3/8 in"),
    ("3/8 in", "9/16 in"),
    ("1/2 in", "3/4 in"),
    ("3/4 in", "1 1/8 in"),
    ("1 in", "1 1/2 in"),
    ("1 1/2 in", "2 1/4 in"),
];

/// Results of every plate on a scenario.
fn plates(scenario: &Opened, seed: u64, trials: usize) -> Vec<Vec<f64>> {
    PLATES
        .iter()
        .map(|(hole, pitch)| {
            let plant = variant(scenario, &[("drum.screen.hole", hole), ("drum.screen.pitch", pitch)]);
            run(&plant, seed, trials).steady
        })
        .collect()
}

fn best_plate(scenario: &Opened) -> usize {
    choose(&plates(scenario, 1, 300)).expect("a choice").best
}

#[test]
fn property_common_draws_save_ten_times_the_trials() {
    let sound = opened(SOUND);
    let (a, b) = (variant(&sound, &[]), variant(&sound, &[("sluice.length", "12 ft")]));
    let (common_a, common_b) = (run(&a, 1, 1500), run(&b, 1, 1500));
    let paired = gap(&common_a.caught, &common_b.caught).expect("a gap");
    assert!(paired.correlation >= 0.9, "correlation {}", paired.correlation);
    assert!(paired.trials_saved >= 10.0, "saved {}", paired.trials_saved);
    // Measured, not only reckoned: the same two plants on draws of their own.
    let apart = gap(&common_a.caught, &run(&b, 2, 1500).caught).expect("a gap");
    let ratio = apart.comparison.gap_sd / paired.comparison.gap_sd;
    let measured = ratio * ratio;
    println!(
        "common draws: correlation {:.4}, trials saved {:.0} reckoned, {measured:.0} measured",
        paired.correlation, paired.trials_saved
    );
    assert!(measured >= 10.0, "measured {measured}");
    assert!(apart.correlation.abs() < 0.1, "other seeds must not correlate: {}", apart.correlation);
}

#[test]
fn property_what_changes_from_hour_to_hour_is_averaged_out() {
    let arm = run(&variant(&opened(SOUND), &[]), 1, 1500);
    let mean = |x: &[f64]| x.iter().sum::<f64>() / x.len() as f64;
    let spread = |x: &[f64]| x.iter().map(|v| (v - mean(x)) * (v - mean(x))).sum::<f64>();
    assert!(spread(&arm.steady) < spread(&arm.caught));
    assert!((mean(&arm.steady) / mean(&arm.caught) - 1.0).abs() < 0.03);
}

/// The ground of the sound plant with a believed grade of a size.
fn ground(median: &str) -> Opened {
    let start = SOUND.find("[ground.gold]").expect("gold");
    let end = SOUND.find("[[stage]]").expect("stages");
    let gold = format!(
        "[ground.gold]\ngrade = \"250 mg/m3 bank\"\nmedian_size = \"{median}\"\nsize_spread = \"1.5\"\nfineness = \"0.86\"\n\n"
    );
    opened(&format!("{}{gold}{}", &SOUND[..start], &SOUND[end..]))
}

#[test]
fn property_nuggety_ground_asks_for_larger_holes_and_flour_for_smaller() {
    let (nuggety, flour) = (best_plate(&ground("8 mm")), best_plate(&ground("0.1 mm")));
    println!("best plate: nuggety {}, flour {}", PLATES[nuggety].0, PLATES[flour].0);
    assert!(nuggety > flour, "nuggety {} flour {}", PLATES[nuggety].0, PLATES[flour].0);
}

#[test]
fn property_little_water_pulls_the_best_hole_down() {
    let base = ground("0.5 mm");
    let with_water = |flow: &str| {
        let registry = washgraph_standard_stages::registry();
        let path = SettingPath::find("box-water.flow", &base, &registry).expect("box water");
        best_plate(&with(&base, &[(path, flow.to_string())]).expect("changed"))
    };
    let (much, little) = (with_water("900 US gpm"), with_water("60 US gpm"));
    println!("best plate: much water {}, little water {}", PLATES[much].0, PLATES[little].0);
    assert!(little <= much);
}

#[test]
fn property_another_seed_gives_the_same_recommendation_or_says_too_close() {
    let sound = opened(SOUND);
    let mut called = Vec::new();
    for seed in 1..=20 {
        let choice = choose(&plates(&sound, seed, 200)).expect("a choice");
        called.push((choice.best, choice.call));
    }
    let most = |best: usize| called.iter().filter(|c| c.0 == best || c.1 != Call::Clear).count();
    let agreed = (0..PLATES.len()).map(most).max().unwrap_or(0);
    assert!(agreed >= 19, "{called:?}");
}

#[test]
fn identity_shares_of_what_is_driven_by_one_group_alone() {
    // The grade of a believed ground is the only thing that moves the gold fed per loose volume.
    let plant = variant(&ground("0.3 mm"), &[]);
    let found = drivers(&plant, 1, 512, 0, |w: &Worker<'_>| w.ground.water.temperature_c, &AtomicU64::new(0));
    let totals: Vec<f64> = found.groups.iter().map(|g| g.total).collect();
    // Water temperature changes by itself: the last group alone.
    assert!(totals[..3].iter().all(|t| t.abs() < 1e-12), "{totals:?}");
    assert!((totals[3] - 1.0).abs() < 0.15, "{totals:?}");
    assert!(found.inputs.is_empty());
    let each = drivers(&plant, 1, 8, 256, |w: &Worker<'_>| w.ground.water.temperature_c, &AtomicU64::new(0));
    assert_eq!(each.inputs.first().map(|d| d.name.as_str()), Some("ground/water_temperature"));
}

/// The demonstration: pumps, a pond, sampled gold, money.
fn demonstration() -> Opened {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios/juniper-creek.toml");
    washgraph_model::scenario::open(&path).expect("the demonstration")
}

/// Changes that leave alone all, some or nothing of what a trial draws.
const CHANGES: [&[(&str, &str)]; 6] = [
    &[],
    &[("drum.screen.hole", "3/4 in"), ("drum.screen.pitch", "1 1/8 in")],
    &[("hopper.rate", "20 yd3/h")],
    &[("sluice.slope", "1.5 in/ft")],
    &[("pump.speed", "1500 rpm")],
    &[("ground.moisture", "5 %")],
];

#[test]
fn identity_plants_run_together_are_those_run_alone() {
    let demonstration = demonstration();
    let plants: Vec<Plant> = CHANGES.iter().map(|c| variant(&demonstration, c)).collect();
    let named: Vec<(&str, &Plant)> = plants.iter().map(|p| ("x", p)).collect();
    let all = together(&named, 3, 150, &AtomicU64::new(0));
    assert_eq!(all.len(), plants.len());
    for ((arm, plant), change) in all.iter().zip(&plants).zip(CHANGES) {
        assert_eq!(format!("{arm:?}"), format!("{:?}", run(plant, 3, 150)), "{change:?}");
    }
    // And on a cache that was dealt before.
    let (done, never) = (AtomicU64::new(0), AtomicBool::new(false));
    let course = Course::first(3, 150);
    let first = Arc::new(variant(&demonstration, &[]));
    let (cache, _) = DrawCache::fill(&first, &course, &done, &never).expect("filled");
    let (other_ground, same_ground) = plants.split_last().expect("plants");
    assert!(cache.shared_for(other_ground, &course).is_none());
    for (plant, change) in same_ground.iter().zip(CHANGES) {
        let hand = cache.shared_for(plant, &course).expect("the same ground");
        let dealt = cache.run_until(plant, &hand, &done, &never).expect("run");
        assert_eq!(format!("{dealt:?}"), format!("{:?}", run_course(plant, &course, &done)), "{change:?}");
    }
}

#[test]
fn property_plates_stopped_early_leave_the_choice_as_it_is() {
    let sound = opened(SOUND);
    let plants: Vec<Plant> = PLATES
        .iter()
        .map(|(hole, pitch)| variant(&sound, &[("drum.screen.hole", hole), ("drum.screen.pitch", pitch)]))
        .collect();
    let named: Vec<(&str, &Plant)> = PLATES.iter().zip(&plants).map(|((hole, _), p)| (*hole, p)).collect();
    let trials = 2 * PILOT_TRIALS + 500;
    let done = AtomicU64::new(0);
    let (_, groups) = with_pilot(("present", &variant(&sound, &[])), std::slice::from_ref(&named), 1, trials, &done);
    assert_eq!(done.into_inner(), (trials * (PLATES.len() + 1)) as u64);
    let raced = &groups[0];
    let stopped = raced.iter().filter(|a| a.trials() == PILOT_TRIALS).count();
    assert!(stopped > 0 && raced.iter().any(|a| a.trials() == trials), "{stopped}");
    let full = together(&named, 1, trials, &AtomicU64::new(0));
    let choice = |arms: &[DesignRun]| choose_among(arms, |a| &a.steady, |h| &h.steady).expect("a choice");
    let (some, all) = (choice(raced), choice(&full));
    assert_eq!((some.best, some.call, some.as_good), (all.best, all.call, all.as_good));
    // The gap to a plate far behind is known from the pilot.
    for (some, all) in some.means.iter().zip(&all.means) {
        assert!((some / all - 1.0).abs() < 5e-3, "{some} {all}");
    }
    // Of a plate that stopped, a chance of one third is known to one point: three of them are allowed.
    for (some, all) in some.chance_best.iter().zip(&all.chance_best) {
        assert!((some - all).abs() < 0.035, "{some} {all}");
    }
}
