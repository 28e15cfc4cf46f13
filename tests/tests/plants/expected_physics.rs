//! What a miner expects of a plant when one thing is changed, on the demonstration creek with one line of it altered.
//!
//! Directions, not amounts: the amounts are the business of the published checks. Unless it says otherwise a test looks at
//! the middle case, every input at its middle; both sides of a comparison differ in the one thing named.

use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::trial::{TrialStatistics, Worker, run_trials};
use washgraph_model::scenario::{Opened, build};

const CREEK: &str = include_str!("../../broken/sound.toml");
const HOLE: &str = "hole = \"1/2 in\"\npitch = \"3/4 in\"";
const RATE: &str = r#"rate = { low = "27 yd3/h loose", mid = "30 yd3/h loose", high = "33 yd3/h loose" }"#;
const CLAY: &str = r#"clay = { low = "2 %", mid = "4 %", high = "8 %" }"#;
const BOX_WATER: &str = "flow = \"120 US gpm\"";
/// The sluice alone has expanded metal, so lines are added to it here.
const RIFFLES: &str = "riffles = \"expanded-metal\"";
const TRIALS: usize = 400;
const SEED: u64 = 1;

/// The text with one passage replaced; a passage that is not there, or there twice, is a broken test.
fn with(text: &str, old: &str, new: &str) -> String {
    assert_eq!(text.matches(old).count(), 1, "the passage to replace must occur once: {old}");
    text.replace(old, new)
}

fn creek(old: &str, new: &str) -> String {
    with(CREEK, old, new)
}

fn hole_mm(hole: f64) -> String {
    creek(HOLE, &format!("hole = \"{hole} mm\"\npitch = \"{} mm\"", 1.5 * hole))
}

/// The text without the table `[[...]]` that has this line, up to the next table.
fn without_table(text: &str, line: &str) -> String {
    let at = text.find(line).unwrap();
    let start = text[..at].rfind("\n[[").unwrap() + 1;
    let end = text[at..].find("\n[[").map_or(text.len(), |n| at + n + 1);
    format!("{}{}", &text[..start], &text[end..])
}

fn plant(text: &str) -> Plant {
    let mut problems = Problems::default();
    let opened = Opened { text: text.to_owned(), folder: PathBuf::new() };
    let plant = build(&opened, &washgraph_standard_stages::registry(), &mut problems);
    plant.unwrap_or_else(|| panic!("{:?}", problems.in_order()))
}

fn trials(text: &str) -> (Plant, TrialStatistics) {
    let plant = plant(text);
    let statistics = run_trials(&plant, SEED, TRIALS, &AtomicU64::new(0));
    (plant, statistics)
}

fn no_gold() -> [f64; GOLD_CLASSES] {
    [0.0; GOLD_CLASSES]
}

/// The middle case of a plant.
struct Middle {
    fed: [f64; GOLD_CLASSES],
    caught: [f64; GOLD_CLASSES],
    /// Stage, reason, gold lost by class.
    lost: Vec<(String, &'static str, [f64; GOLD_CLASSES])>,
    /// Stage, name, value.
    measures: Vec<(String, String, f64)>,
}

impl Middle {
    fn of(text: &str) -> Self {
        let plant = plant(text);
        let worker = Worker::new(&plant, SEED);
        let mut caught = no_gold();
        for stage in &worker.caught {
            caught.iter_mut().zip(stage).for_each(|(sum, c)| *sum += c);
        }
        let lost = plant.notes.iter().zip(&worker.lost).map(|(n, l)| (n.stage.clone(), n.reason.name, *l)).collect();
        let mut measures = Vec::new();
        for node in &plant.nodes {
            for i in node.measures.clone() {
                measures.push((node.id.clone(), plant.measures[i].name.clone(), worker.measures[i]));
            }
        }
        Middle { fed: worker.fed, caught, lost, measures }
    }

    fn recovery(&self) -> f64 {
        self.caught.iter().sum::<f64>() / self.fed.iter().sum::<f64>()
    }

    /// Recovery of the gold between two sieve sizes.
    fn recovery_of(&self, from_mm: f64, to_mm: f64) -> f64 {
        let of = |gold: &[f64; GOLD_CLASSES]| sum_between(gold, from_mm, to_mm);
        of(&self.caught) / of(&self.fed)
    }

    /// Share of all gold fed that is lost for a reason, at any stage.
    fn loss(&self, reason: &str) -> f64 {
        self.loss_of(reason, 0.0, f64::INFINITY)
    }

    /// Share of the gold fed between two sieve sizes that is lost for a reason, at any stage.
    fn loss_of(&self, reason: &str, from_mm: f64, to_mm: f64) -> f64 {
        let of = |gold: &[f64; GOLD_CLASSES]| sum_between(gold, from_mm, to_mm);
        self.lost.iter().filter(|(_, r, _)| *r == reason).map(|(.., gold)| of(gold)).sum::<f64>() / of(&self.fed)
    }

    /// Coarse gold (1 mm and up) that goes over the end of the screen.
    fn over_the_screen(&self) -> f64 {
        ["too big for the holes", "missed the holes"].iter().map(|r| self.loss_of(r, 1.0, f64::INFINITY)).sum()
    }

    fn measure(&self, stage: &str, name: &str) -> f64 {
        self.measures.iter().find(|(s, n, _)| s == stage && n == name).map(|m| m.2).unwrap()
    }
}

fn sum_between(gold: &[f64; GOLD_CLASSES], from_mm: f64, to_mm: f64) -> f64 {
    let inside = |i: usize| {
        let class = gold_class(i);
        class.from_m >= 0.9999e-3 * from_mm && class.to_m <= 1.0001e-3 * to_mm
    };
    (0..GOLD_CLASSES).filter(|&i| inside(i)).map(|i| gold[i]).sum()
}

#[track_caller]
fn assert_rising(what: &str, values: &[f64]) {
    assert!(values.windows(2).all(|w| w[0] < w[1]), "{what} must rise: {values:?}");
}

#[track_caller]
fn assert_falling(what: &str, values: &[f64]) {
    assert!(values.windows(2).all(|w| w[0] > w[1]), "{what} must fall: {values:?}");
}

fn list(cases: &[Middle], f: impl Fn(&Middle) -> f64) -> Vec<f64> {
    cases.iter().map(f).collect()
}

fn middles<T: Copy>(values: &[T], text: impl Fn(T) -> String) -> Vec<Middle> {
    values.iter().map(|&v| Middle::of(&text(v))).collect()
}

/// True when the largest value is neither the first nor the last.
fn peaks_inside(values: &[f64]) -> bool {
    let best = (0..values.len()).fold(0, |b, i| if values[i] > values[b] { i } else { b });
    best > 0 && best + 1 < values.len()
}

#[test]
fn property_a_bigger_hole_passes_more_coarse_gold_and_costs_fine_gold_as_built() {
    // Ground that may hold gold coarser than any that was found.
    let coarse = |text: String| with(&text, "[ground.gold]\n", "[ground.gold]\nlargest_gold = \"16 mm\"\n");
    let cases = middles(&[12.7, 19.0, 25.0, 32.0, 40.0], |mm| coarse(hole_mm(mm)));
    assert_falling("coarse gold over the end of the screen", &list(&cases, Middle::over_the_screen));
    // Up to 32 mm; beyond, the riffles of a box left as it was pack, and that takes gold of every size.
    assert_rising("recovery of 8-16 mm gold", &list(&cases[..4], |m| m.recovery_of(8.0, 16.0)));
    // The box and its water stay as they were, and more and bigger rock comes to it.
    assert_falling("recovery of 63-125 um gold", &list(&cases, |m| m.recovery_of(0.063, 0.125)));
    assert_rising("packed riffles", &list(&cases, |m| m.loss("packed riffles")));
    assert_falling("packing factor", &list(&cases, |m| m.measure("sluice", "packing_factor")));
}

#[test]
fn property_a_bigger_hole_does_the_same_over_the_trials() {
    let over_the_screen = |(plant, statistics): &(Plant, TrialStatistics)| {
        let is_screen = |name: &str| name == "too big for the holes" || name == "missed the holes";
        let notes = plant.notes.iter().zip(&statistics.lost_by_class).filter(|(n, _)| is_screen(n.reason.name));
        notes.map(|(_, lost)| sum_between(lost, 1.0, f64::INFINITY)).sum::<f64>()
            / sum_between(&statistics.fed_by_class, 1.0, f64::INFINITY)
    };
    let fine = |(_, statistics): &(Plant, TrialStatistics)| {
        sum_between(&statistics.caught_by_class, 0.063, 0.125) / sum_between(&statistics.fed_by_class, 0.063, 0.125)
    };
    let runs: Vec<_> = [8.0, 12.7, 19.0, 25.0, 40.0].iter().map(|&h| trials(&hole_mm(h))).collect();
    assert_falling("coarse gold over the end of the screen", &runs.iter().map(over_the_screen).collect::<Vec<_>>());
    assert_falling("recovery of 63-125 um gold", &runs.iter().map(fine).collect::<Vec<_>>());
}

#[test]
fn property_efficiency_and_coarse_loss_are_smooth_in_the_hole() {
    let holes: Vec<f64> = (0..=84).map(|i| 8.0 + 0.5 * f64::from(i)).collect();
    let cases = middles(&holes, hole_mm);
    let smooth = |what: &str, values: Vec<f64>| {
        for (w, hole) in values.windows(3).zip(&holes[1..]) {
            let bend = w[0] - 2.0 * w[1] + w[2];
            assert!(bend.abs() < 0.002, "{what} bends by {bend} at {hole} mm");
        }
    };
    smooth("screen efficiency", list(&cases, |m| m.measure("drum", "screen_efficiency")));
    smooth(
        "gold over the end of the screen",
        list(&cases, |m| m.loss("too big for the holes") + m.loss("missed the holes")),
    );
    smooth("oversize", list(&cases, |m| m.measure("drum", "oversize_share")));
}

#[test]
fn property_more_clay_or_less_scrubber_loses_more_gold_in_lumps() {
    let clay = middles(&[1, 4, 10, 20], |c| creek(CLAY, &format!("clay = \"{c} %\"")));
    assert_rising("locked in clay", &list(&clay, |m| m.loss("locked in clay")));
    assert_falling("recovery", &list(&clay, Middle::recovery));
    let scrubber = middles(&[2, 5, 10, 15], |c| creek("length = \"5 ft\"", &format!("length = \"{c} ft\"")));
    assert_falling("locked in clay", &list(&scrubber, |m| m.loss("locked in clay")));
    assert_falling("clay left in lumps", &list(&scrubber, |m| m.measure("drum", "clay_left_in_lumps")));
}

#[test]
fn property_flatter_gold_is_lost_first() {
    let cases = middles(&["0.6", "1", "1.4"], |s| creek("moisture =", &format!("gold_shape = \"{s}\"\nmoisture =")));
    assert_falling("never settled", &list(&cases, |m| m.loss("never settled")));
    assert_falling("scoured out", &list(&cases, |m| m.loss("scoured out")));
    assert_rising("recovery", &list(&cases, Middle::recovery));
    // Shape matters to fine gold, which lags the water, far more than to coarse gold, which drops at once.
    let gain = |from, to| cases[2].recovery_of(from, to) - cases[0].recovery_of(from, to);
    assert!(gain(0.063, 0.125) > 10.0 * gain(0.25, 1.4).abs());
}

#[test]
fn property_overfeeding_packs_the_riffles() {
    let cases = middles(&[20, 30, 40, 60, 90, 130], |r| creek(RATE, &format!("rate = \"{r} yd3/h loose\"")));
    assert_falling("packing factor", &list(&cases, |m| m.measure("sluice", "packing_factor")));
    let of_what_came = |m: &Middle| m.loss("packed riffles") / (m.recovery() + m.loss("packed riffles"));
    assert_rising("packed riffles", &list(&cases[1..], of_what_came));
}

#[test]
fn property_feed_beyond_the_drum_spills_and_is_lost() {
    let rates = [20.0, 30.0, 40.0, 60.0, 90.0, 130.0];
    let cases = middles(&rates, |r| creek(RATE, &format!("rate = \"{r} yd3/h loose\"")));
    assert_rising("spilled", &list(&cases, |m| m.loss("spilled at the feed end")));
    assert_falling("recovery", &list(&cases, Middle::recovery));
    assert_falling("capacity over feed", &list(&cases, |m| m.measure("drum", "capacity_over_feed")));
    // The drum takes no more than it can carry, however much is thrown at it.
    let taken = |i: usize| rates[i] * (1.0 - cases[i].loss("spilled at the feed end"));
    assert!((taken(5) / taken(4) - 1.0).abs() < 0.03, "{} {}", taken(4), taken(5));
    assert!(cases[0].loss("spilled at the feed end") < 0.005);
}

#[test]
fn property_a_longer_screen_saves_coarse_gold() {
    let cases = middles(&[2, 4, 6, 9, 12], |l| creek("length = \"6 ft\"", &format!("length = \"{l} ft\"")));
    assert_falling("coarse gold over the end of the screen", &list(&cases, Middle::over_the_screen));
    assert_rising("screen efficiency", &list(&cases, |m| m.measure("drum", "screen_efficiency")));
}

#[test]
fn property_a_wider_box_settles_more_packs_sooner_and_stops_paying() {
    let cases = middles(&[36, 72, 144], |w| creek("width = \"36 in\"", &format!("width = \"{w} in\"")));
    assert_falling("never settled", &list(&cases, |m| m.loss("never settled")));
    assert_rising("packed riffles", &list(&cases, |m| m.loss("packed riffles")));
    let wide = middles(&[12, 18, 24, 36, 48, 72, 144], |w| creek("width = \"36 in\"", &format!("width = \"{w} in\"")));
    assert!(peaks_inside(&list(&wide, Middle::recovery)), "{:?}", list(&wide, Middle::recovery));
}

#[test]
fn property_less_water_first_helps_the_fines_and_then_hurts() {
    let flows = [0, 60, 120, 180, 240, 400, 700, 1000, 1500, 2000];
    // Gold of the usual flatness: the weighed colours of this creek are leaves, which even the least water carries off.
    let usual = |text: &str| with(text, "[ground]\n", "[ground]\ngold_shape = \"1\"\n");
    let cases = middles(&flows, |f| usual(&creek(BOX_WATER, &format!("flow = \"{f} US gpm\""))));
    assert_rising("never settled", &list(&cases, |m| m.loss("never settled")));
    assert_falling("packed riffles", &list(&cases, |m| m.loss("packed riffles")));
    assert!(peaks_inside(&list(&cases, Middle::recovery)), "{:?}", list(&cases, Middle::recovery));
    // With the hose nozzles off as well, the box has less water yet, and the fines go with the rest.
    let starved = usual(&without_table(&without_table(CREEK, "id = \"hopper-nozzles\""), "id = \"box-water\""));
    let mut fines = vec![Middle::of(&starved).recovery_of(0.063, 0.125)];
    fines.extend(list(&cases, |m| m.recovery_of(0.063, 0.125)));
    assert!(peaks_inside(&fines), "{fines:?}");
}

#[test]
fn property_dry_feed_screens_and_scrubs_worse() {
    let no_nozzles = without_table(CREEK, "id = \"hopper-nozzles\"");
    let dry = without_table(&no_nozzles, "id = \"spray\"");
    let cases = [Middle::of(CREEK), Middle::of(&no_nozzles), Middle::of(&dry)];
    assert_falling("screen efficiency", &list(&cases, |m| m.measure("drum", "screen_efficiency")));
    assert_rising("clay left in lumps", &list(&cases, |m| m.measure("drum", "clay_left_in_lumps")));
    assert_rising("missed the holes", &list(&cases, |m| m.loss("missed the holes")));
    assert_rising("film on the rocks", &list(&cases, |m| m.loss("film on the rocks")));
    assert_falling("recovery", &list(&cases, Middle::recovery));
}

#[test]
fn property_a_stage_on_the_oversize_line_changes_no_trial_by_a_bit() {
    let wired = creek(
        "\"drum.oversize -> tailings\",",
        "\"drum.oversize -> split.feed\", \"split.a -> join.a\", \"split.b -> join.b\", \"join.out -> tailings\",",
    );
    let longer = wired
        + "\n[[stage]]\nid = \"split\"\nkind = \"splitter\"\nshare_a = \"30 %\"\n\n[[stage]]\nid = \"join\"\nkind = \"junction\"\n";
    let ((_, plain), (_, longer)) = (trials(CREEK), trials(&longer));
    let bits = |values: &[f64]| values.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
    assert_eq!(bits(&plain.caught), bits(&longer.caught));
    assert_eq!(bits(&plain.fed), bits(&longer.fed));
    assert_eq!(bits(&plain.caught_by_class), bits(&longer.caught_by_class));
}

/// The table of the sluice under another id.
fn sluice(id: &str) -> String {
    let start = CREEK.find("[[stage]]\nkind = \"sluice\"").unwrap();
    let end = CREEK.find("[[water]]").unwrap();
    with(&CREEK[start..end], "kind = \"sluice\"", &format!("id = \"{id}\"\nkind = \"sluice\""))
}

#[test]
fn property_two_boxes_in_series_catch_more_than_one() {
    let text =
        creek("\"sluice.tailings -> tailings\"", "\"sluice.tailings -> second.feed\", \"second.tailings -> tailings\"");
    let two = text + "\n" + &sluice("second");
    assert!(Middle::of(&two).recovery() > Middle::of(CREEK).recovery());
    let ((_, one), (_, two)) = (trials(CREEK), trials(&two));
    // The first box is the same box in the same trial, and the second can only add to it.
    assert!(one.caught.iter().zip(&two.caught).all(|(a, b)| a < b));
}

#[test]
fn identity_two_parallel_boxes_are_one_box_of_two_runs() {
    let runs = Middle::of(&creek(RIFFLES, &format!("{RIFFLES}\nruns = 2")));
    let wired = creek(
        "\"drum.undersize -> sluice.feed\",",
        "\"drum.undersize -> split.feed\", \"split.a -> sluice.feed\", \"split.b -> second.feed\", \"second.tailings -> tailings\",",
    );
    let halved = with(&wired, BOX_WATER, "flow = \"60 US gpm\"");
    let two = halved
        + "\n[[stage]]\nid = \"split\"\nkind = \"splitter\"\n\n"
        + &sluice("second")
        + "[[water]]\nid = \"second-water\"\nkind = \"make-up\"\non = \"second\"\nflow = \"60 US gpm\"\n";
    let two = Middle::of(&two);
    let wide = Middle::of(&creek("width = \"36 in\"", "width = \"72 in\""));
    for g in 0..GOLD_CLASSES {
        let near = |other: f64| (other - runs.caught[g]).abs() <= 1e-12 * runs.fed[g];
        assert!(near(two.caught[g]) && near(wide.caught[g]), "class {g}");
    }
}

#[test]
fn identity_gold_closes_in_every_class_of_every_trial() {
    let overfed = creek(RATE, "rate = \"90 yd3/h loose\"");
    for text in [CREEK, &overfed, &hole_mm(8.0), &hole_mm(50.0)] {
        let (_, statistics) = trials(text);
        assert!(statistics.residuals.gold < 1e-12, "{:?}", statistics.residuals);
    }
}
