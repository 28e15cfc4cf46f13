//! A made-up result for tests. Invented numbers; no plant is meant.

use sim_core::curves::{Axis, Curves, Line, Mark, Panel};
use sim_core::math::{exp, ln};
use sim_core::quantity::Dimension;
use sim_core::size::{SOLID_EDGES_M, gold_classes};
use sim_core::stage::LossClass;
use sim_core::stage::Severity;
use washgraph_model::result::*;

fn around(mean: f64, spread: f64) -> Summary {
    Summary { mean, pctl_10: mean * (1.0 - spread), pctl_50: mean * 0.99, pctl_90: mean * (1.0 + spread) }
}

fn share(mean: f64) -> Summary {
    Summary {
        mean,
        pctl_10: (mean * 0.7).max(0.0),
        pctl_50: mean,
        pctl_90: (mean * 1.35).min(1.0 - (1.0 - mean) * 0.5),
    }
}

fn bell(x_mm: f64, middle_mm: f64, width: f64) -> f64 {
    let z = ln(x_mm / middle_mm) / width;
    exp(-z * z / 2.0)
}

fn normal(mut list: Vec<f64>) -> Vec<f64> {
    let sum: f64 = list.iter().sum();
    list.iter_mut().for_each(|x| *x /= sum);
    list
}

/// Stage, reason, words, share lost by size in mm.
type Way = (&'static str, &'static str, &'static str, Box<dyn Fn(f64) -> f64>);

/// The result.
pub fn outcome() -> RunResult {
    let classes: Vec<_> = gold_classes().iter().filter(|c| c.middle_m < 4e-3).collect();
    let fed = normal(classes.iter().map(|c| bell(c.middle_m * 1e3, 0.25, 0.95)).collect());
    let ways: [Way; 8] = [
        (
            "sluice",
            "never settled",
            "water too fast or too deep for such a grain to come down in the length of the box",
            Box::new(|x| 0.75 * exp(-x / 0.12)),
        ),
        (
            "drum",
            "missed the holes",
            "small enough, but never met a hole before the end of the screen",
            Box::new(|_| 0.06),
        ),
        ("drum", "locked in clay", "left inside clay lumps that did not break up", Box::new(|_| 0.045)),
        ("sluice", "scoured out", "settled, then lifted out again by fast water", Box::new(|x| 0.12 * exp(-x / 0.2))),
        ("sluice", "bypass", "carried past by surges, splash and uneven feed", Box::new(|_| 0.03)),
        (
            "drum",
            "film on the rocks",
            "carried off in the wet film and coating on washed rock",
            Box::new(|x| 0.08 * exp(-x / 0.08)),
        ),
        (
            "sluice",
            "packed riffles",
            "more gravel than the water could carry: riffle pockets full",
            Box::new(|_| 0.004),
        ),
        ("hopper", "off the grizzly", "went off the grizzly with the boulders", Box::new(|_| 0.001)),
    ];
    let mut losses: Vec<Loss> = ways
        .iter()
        .map(|(stage, reason, words, law)| {
            let by_size: Vec<f64> = classes.iter().zip(&fed).map(|(c, f)| f * law(c.middle_m * 1e3)).collect();
            Loss {
                stage: (*stage).into(),
                reason: (*reason).into(),
                words: (*words).into(),
                class: LossClass::default(),
                short: (*reason).into(),
                next_step: String::new(),
                share_of_fed: share(by_size.iter().sum()),
                by_size,
            }
        })
        .collect();
    losses.sort_by(|a, b| b.share_of_fed.mean.total_cmp(&a.share_of_fed.mean));
    let recovery_by_size: Vec<SizeRecovery> = classes
        .iter()
        .enumerate()
        .map(|(i, c)| {
            let lost: f64 = losses.iter().map(|l| l.by_size[i]).sum();
            SizeRecovery {
                from_mm: c.from_m * 1e3,
                to_mm: c.to_m.is_finite().then_some(c.to_m * 1e3),
                fed_share: fed[i],
                recovery: share(1.0 - lost / fed[i]),
            }
        })
        .collect();
    let recovery = 1.0 - losses.iter().map(|l| l.share_of_fed.mean).sum::<f64>();
    let ground =
        normal((0..25).map(|i| bell(if i < 24 { SOLID_EDGES_M[i] * 900.0 } else { 150.0 }, 9.0, 2.1)).collect());
    let through = |i: usize| {
        if i < 16 {
            0.93
        } else if i == 16 {
            0.4
        } else {
            0.0
        }
    };
    let under: Vec<f64> = ground.iter().enumerate().map(|(i, g)| g * through(i)).collect();
    let over: Vec<f64> = ground.iter().zip(&under).map(|(g, u)| g - u).collect();
    let tonnes = |part: &[f64]| 42.0 * part.iter().sum::<f64>();
    let gradation = |stream: &str, part: &[f64], gold_share: f64| StreamGradation {
        stream: stream.into(),
        rock_t_h: tonnes(part),
        share: normal(part.to_vec()),
        gold_share,
    };
    RunResult {
        schema_version: SCHEMA_VERSION,
        provenance: Provenance {
            tool: "washgraph".into(),
            version: "0.1.0".into(),
            scenario_sha256: "ab12".repeat(16),
            files: Vec::new(),
            seed: 7,
            trials: 5000,
            rng_layout: "1".into(),
            models: vec!["drum 1".into(), "sluice 1".into()],
            tuned: None,
        },
        plant: PlantSummary {
            title: "Made-up creek".into(),
            question: "Which hole size suits this ground?".into(),
            stages: [("hopper", 0.0), ("drum", 0.0), ("sluice", recovery)]
                .map(|(id, caught_share)| StageSummary { id: id.into(), kind: id.into(), caught_share })
                .to_vec(),
            wires: ["hopper.out -> drum.feed", "drum.undersize -> sluice.feed", "drum.oversize -> tailings"]
                .map(String::from)
                .to_vec(),
            feed_loose_m3_h: around(26.8, 0.1),
        },
        gold: Gold {
            fed_g_per_h: around(11.3, 0.5),
            caught_g_per_h: around(11.3 * recovery, 0.55),
            caught_standard_error_g_per_h: 0.04,
            recovery: share(recovery),
            fineness: 0.86,
            grade_mg_per_m3_loose: around(422.0, 0.5),
            recovery_by_size,
        },
        balance: Balance { gold_rel: 3e-15, solids_rel: 2e-15, water_rel: 1e-14 },
        water: Water {
            supply_m3_h: around(102.0, 0.06),
            need_m3_h: [("sluice", 95.0), ("washing", 61.0)]
                .map(|(k, v)| (k.to_string(), around(v, 0.1)))
                .into_iter()
                .collect(),
            at_hand_m3_h: [("sluice", 100.0), ("washing", 70.0)]
                .map(|(k, v)| (k.to_string(), around(v, 0.1)))
                .into_iter()
                .collect(),
            shortfall_m3_h: around(2.0, 0.5),
            rules: Vec::new(),
            binding: Some("sluice".into()),
            short_share: 0.18,
            makeup_m3_h: None,
            circuit: None,
            branches: vec![Branch {
                name: "bar".into(),
                on: "drum.screen".into(),
                fed_by: None,
                flow_m3_h: around(66.0, 0.05),
                pressure_kpa: around(140.0, 0.08),
            }],
        },
        measures: vec![MeasureSummary {
            stage: "drum".into(),
            name: "fill".into(),
            words: "share of the drum filled".into(),
            unit: Dimension::Fraction.into(),
            value: share(0.11),
        }],
        over_days: [
            ("pond_level", Dimension::Length, [1.5, 1.46, 1.4, 1.3, 1.2]),
            ("pond_mud_level", Dimension::Length, [0.0, 0.15, 0.3, 0.45, 0.6]),
            ("pond_returned_fines", Dimension::Density, [0.0, 6.0, 9.0, 10.5, 11.0]),
        ]
        .map(|(name, unit, value)| Course {
            stage: "pond".into(),
            name: name.into(),
            words: String::new(),
            unit: unit.into(),
            day: vec![0.0, 15.0, 30.0, 45.0, 60.0],
            value: value.map(|v| around(v, 0.2)).to_vec(),
        })
        .to_vec(),
        profiles: vec![Profile {
            stage: "drum".into(),
            name: "bed_depth".into(),
            unit: Dimension::Length.into(),
            at_m: (0..13).map(|i| 0.3 * f64::from(i)).collect(),
            value: (0..13).map(|i| around(0.15 - 0.008 * f64::from(i), 0.18)).collect(),
        }],
        curves: vec![
            curves(
                "drum-along",
                &[
                    ("depth of the bed", Dimension::Length, 0.15),
                    ("share of the drum filled", Dimension::Fraction, 0.12),
                ],
            ),
            curves("screen-fate", &[("share still in the drum", Dimension::Fraction, 1.0)]),
            curves(
                "scrub-time",
                &[("time ahead of the holes", Dimension::Time, 20.0), ("clay left in lumps", Dimension::Fraction, 0.9)],
            ),
            curves(
                "drum-power",
                &[("torque at the shell", Dimension::Torque, 900.0), ("power at the shell", Dimension::Power, 1700.0)],
            ),
        ],
        gradations: vec![
            gradation("feed", &ground, 1.0),
            gradation("drum.undersize", &under, 0.9),
            gradation("drum.oversize", &over, 0.1),
        ],
        losses,
        money: Some(money()),
        warnings: vec![WarningSummary {
            stage: "sluice".into(),
            id: "thick".into(),
            severity: Severity::Caution,
            text: "slurry thicker than the factors were measured for".into(),
            parts: "slurry thicker than the factors were measured for".into(),
            share_of_trials: 0.23,
        }],
        hangs_on: vec![HangsOn {
            of: "recovery".into(),
            input: "ground/gold".into(),
            meaning: "gold in the ground".into(),
            group: "ground".into(),
            share: 0.4,
            rises: true,
        }],
    }
}

/// Curves over 0 to 3.6 m that fall from a value to a third of it; the last line ends early.
fn curves(name: &str, panels: &[(&str, Dimension, f64)]) -> Curves {
    let x: Vec<f64> = (0..7).map(|i| 0.6 * f64::from(i)).collect();
    let line = |words: &str, most: f64, values: usize| Line {
        words: words.into(),
        y: (0..7).map(|i| (i < values).then(|| most * (1.0 - i as f64 / 9.0))).collect(),
    };
    Curves {
        stage: "drum".into(),
        name: name.into(),
        words: "invented".into(),
        across: Axis::new("along the drum from the feed end", Dimension::Length),
        x,
        now: Some(1.8),
        panels: panels
            .iter()
            .map(|(words, dimension, most)| Panel {
                up: Axis::new(*words, *dimension),
                lines: vec![
                    line("gold 1 mm", *most, 7),
                    line("gold 4 mm", 0.8 * most, 7),
                    line("18 rpm", 0.5 * most, 5),
                ],
            })
            .collect(),
        marks: vec![
            Mark { at: 0.0, height: 0.18, words: "edge of the feed opening".into() },
            Mark { at: 1.8, height: 0.05, words: "ring at the end of the scrubber".into() },
            Mark { at: 3.6, height: 0.1, words: "ring at the end of the screen".into() },
        ],
    }
}
/// A season that may lose money.
fn money() -> Money {
    let edges: Vec<f64> = (-4..=16).map(|i| 5000.0 * f64::from(i)).collect();
    let share = normal((0..20).map(|i| bell(f64::from(i) + 1.0, 8.0, 0.5)).collect());
    let lost = share.iter().take(4).sum();
    let chance = |share: f64| Chance { share, low: share * 0.95, high: (share * 1.05).min(1.0) };
    let line = |name: &str, words: &str, mean: f64| AccountLine { name: name.into(), words: words.into(), mean };
    Money {
        currency: "USD".into(),
        net_per_h: around(34.0, 1.4),
        net_per_season: around(23_400.0, 1.4),
        breakeven_mg_per_m3_bank: around(310.0, 0.1),
        chance_of_loss: lost,
        chance_of_loss_interval: [lost * 0.95, lost * 1.05],
        net_per_h_one_period: around(33.0, 2.0),
        net_per_m3_loose: around(1.8, 1.4),
        net_per_m3_bank: around(2.1, 1.4),
        net_after_wage_per_season: around(400.0, 80.0),
        net_after_all_per_season: around(-11_000.0, 3.0),
        below_wage: chance(0.47),
        below_all: chance(0.71),
        wash_or_waste_mg_per_m3_bank: around(190.0, 0.1),
        breakeven_all_mg_per_m3_bank: around(420.0, 0.1),
        grade_mg_per_m3_bank: around(498.0, 0.4),
        run_h: around(690.0, 0.1),
        washed_m3_loose: around(13_000.0, 0.1),
        washed_m3_bank: around(11_000.0, 0.1),
        sold_g: around(3200.0, 0.4),
        fuel_m3: 21.0,
        account: vec![
            line("gold", "gold sold, after payable share and refining", 210_000.0),
            line("fuel", "fuel of engines and machines", -25_000.0),
            line("net", "left of the season", 23_400.0),
            line("owner", "the owner's wage", -23_000.0),
            line("plant", "share of the season in the plant", -11_400.0),
            line("net_after_all", "left after wage and plant", -11_000.0),
        ],
        clean_up: CleanUpSummary {
            interval_h: Some(30.0),
            number: 23.0,
            stopped_h: 57.0,
            concentrate_kg: Some(around(46.0, 0.5)),
            work_up_h: Some(around(1.5, 0.5)),
            filling_loss: 0.013,
            filling_known: true,
            final_loss: 0.04,
            final_loss_by_size: vec![0.05; classes_shown()],
            best_interval_h: Some(around(44.0, 0.5)),
            lost_by_interval: Some(900.0),
        },
        payback: Some(Payback {
            capital: 75_000.0,
            seasons: Some(around(3.4, 0.6)),
            middle_seasons: Some(5.1),
            life: 6,
            not_within_life: chance(0.52),
        }),
        present_value: Some(PresentValue {
            rate: 0.12,
            seasons: 6,
            value: around(-14_000.0, 4.0),
            below_zero: chance(0.6),
        }),
        histogram: Histogram { edges, share },
        notes: vec!["Royalties are set where you are.".into()],
    }
}

/// Classes of the made-up result.
fn classes_shown() -> usize {
    gold_classes().iter().filter(|c| c.middle_m < 4e-3).count()
}
