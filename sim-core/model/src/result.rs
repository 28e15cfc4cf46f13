//! The result of a run: what the terminal, the files and the report read. Written as `result.json`, schema version 1.

mod series;
mod warnings;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::money::Seasons;
pub use crate::money::summary::{AccountLine, Chance, CleanUpSummary, Histogram, Money, Payback, PresentValue};
pub use crate::paired::HangsOn;
use crate::paired::RankedInputs;
pub use series::{Course, MeasureSummary, Profile};
use sim_core::constants::S_PER_H;
use sim_core::curves::Curves;
use sim_core::draw::LAYOUT;
use sim_core::need_met::{NeedSeries, NeedsMet};
use sim_core::plant::Plant;
use sim_core::provenance::SourceFile;
use sim_core::provenance::TunedNote;
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::stage::LossClass;
pub use sim_core::stats::summary::{Summary, over_trials};
use sim_core::trial::{TrialStatistics, Worker};
pub use warnings::WarningSummary;

/// Version of the layout of result.json.
pub const SCHEMA_VERSION: u32 = 1;

/// The whole result.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct RunResult {
    /// Version of this layout.
    pub schema_version: u32,
    /// What made it.
    pub provenance: Provenance,
    /// The plant.
    pub plant: PlantSummary,
    /// Gold fed and caught.
    pub gold: Gold,
    /// Where gold leaves, largest first.
    pub losses: Vec<Loss>,
    /// Worst relative residuals over all trials.
    pub balance: Balance,
    /// Water supplied and needed.
    pub water: Water,
    /// Numbers that the stages report.
    pub measures: Vec<MeasureSummary>,
    /// Profiles along a stage.
    pub profiles: Vec<Profile>,
    /// Curves that the stages draw of the middle case.
    #[serde(default)]
    pub curves: Vec<Curves>,
    /// Courses over the days of a cut.
    #[serde(default)]
    pub over_days: Vec<Course>,
    /// Gradation of the feed and of each stream.
    pub gradations: Vec<StreamGradation>,
    /// Money; absent until the scenario has costs.
    pub money: Option<Money>,
    /// Warnings raised in at least one trial in twenty.
    pub warnings: Vec<WarningSummary>,
    /// Inputs that the recovery and the money of the season go with, largest share of the spread first.
    #[serde(default)]
    pub hangs_on: Vec<HangsOn>,
}

/// What made the result.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Provenance {
    /// Name of the program.
    pub tool: String,
    /// Its version.
    pub version: String,
    /// SHA-256 of the scenario and the files that it names.
    pub scenario_sha256: String,
    /// Each file that the scenario names.
    #[serde(default)]
    pub files: Vec<SourceFile>,
    /// Seed.
    pub seed: u64,
    /// Number of trials.
    pub trials: u64,
    /// Layout of the random numbers.
    pub rng_layout: String,
    /// Models used, with their versions.
    pub models: Vec<String>,
    /// The plant's own results that the constants stand on; absent for a plant that was not tuned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tuned: Option<TunedNote>,
}

/// The plant in short.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct PlantSummary {
    /// Title of the scenario.
    pub title: String,
    /// The question that it answers.
    pub question: String,
    /// Stages in the order of flow.
    pub stages: Vec<StageSummary>,
    /// Wires.
    pub wires: Vec<String>,
    /// Loose volume fed, m3/h.
    pub feed_loose_m3_h: Summary,
}

/// A stage in short.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct StageSummary {
    /// Id.
    pub id: String,
    /// Kind.
    pub kind: String,
    /// Share of all gold fed that it catches, gold-weighted.
    pub caught_share: f64,
}

/// Gold fed and caught, raw gold.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Gold {
    /// Raw gold fed, g/h.
    pub fed_g_per_h: Summary,
    /// Raw gold caught, g/h.
    pub caught_g_per_h: Summary,
    /// Standard error of the mean of the gold caught, g/h.
    pub caught_standard_error_g_per_h: f64,
    /// Caught over fed.
    pub recovery: Summary,
    /// Fineness of the raw gold.
    pub fineness: f64,
    /// Raw gold per loose volume, mg/m3.
    pub grade_mg_per_m3_loose: Summary,
    /// By size class, finest first; classes without gold are left out.
    pub recovery_by_size: Vec<SizeRecovery>,
}

/// Recovery of one class.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct SizeRecovery {
    /// Lower edge, mm.
    pub from_mm: f64,
    /// Upper edge, mm; `null` when open.
    pub to_mm: Option<f64>,
    /// Share of all gold fed.
    pub fed_share: f64,
    /// Recovery of the class.
    pub recovery: Summary,
}

/// One loss.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Loss {
    /// Stage.
    pub stage: String,
    /// Reason, as named in files.
    pub reason: String,
    /// Reason in plain words.
    pub words: String,
    /// What kind of loss it is; absent in older files.
    #[serde(default)]
    pub class: LossClass,
    /// The reason in a few words, beside others of its class; empty in older files.
    #[serde(default)]
    pub short: String,
    /// What to do next where it is the greatest loss; empty where nothing is known to help.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub next_step: String,
    /// Share of all gold fed.
    pub share_of_fed: Summary,
    /// Mean share of all gold fed, by the classes of `recovery_by_size`.
    pub by_size: Vec<f64>,
}

/// Worst relative residuals.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Balance {
    /// Gold, worst class of the worst trial.
    pub gold_rel: f64,
    /// Solids, worst class of the worst trial.
    pub solids_rel: f64,
    /// Water, worst trial.
    pub water_rel: f64,
}

/// Water supplied and needed.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Water {
    /// Supplied, m3/h.
    pub supply_m3_h: Summary,
    /// Needed by each purpose, m3/h.
    pub need_m3_h: std::collections::BTreeMap<String, Summary>,
    /// Water that reaches the part that needs it, by the same names, m3/h.
    pub at_hand_m3_h: std::collections::BTreeMap<String, Summary>,
    /// What is missing for the need that is shortest of water, m3/h; 0 in trials where all are met.
    pub shortfall_m3_h: Summary,
    /// The rules that set the needs.
    pub rules: Vec<WaterRule>,
    /// Purpose that asks for the most of what reaches it, in most trials.
    pub binding: Option<String>,
    /// Share of trials in which at least one need is not met by what reaches it.
    pub short_share: f64,
    /// Fresh water needed beside the pond, m3/h; absent without a pond.
    pub makeup_m3_h: Option<Summary>,
    /// Whether the fines in the pond's water come to a balance; absent without a pond.
    #[serde(default)]
    pub circuit: Option<WaterCircuit>,
    /// Each outlet or branch.
    pub branches: Vec<Branch>,
}

/// A rule that may set a need of water.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct WaterRule {
    /// Stage that has it.
    pub stage: String,
    /// Need that it may set.
    pub need: String,
    /// Name of the rule.
    pub rule: String,
    /// Plain words.
    pub words: String,
    /// What it asks for, m3/h.
    pub asks_m3_h: Summary,
    /// Share of trials in which it asks for the most of all rules of its need.
    pub sets_share: f64,
}

/// Whether the fines that go round with the pond's water come to a balance.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct WaterCircuit {
    /// Share of trials in which they do not: the water turns to paste.
    pub unclosed_share: f64,
    /// Whether they do with every input at its middle.
    pub middle_closes: bool,
}

/// One water outlet or branch.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct Branch {
    /// Name.
    pub name: String,
    /// Where it is mounted.
    pub on: String,
    /// The pump that feeds it; `null` when its pressure or flow was typed.
    pub fed_by: Option<String>,
    /// Flow, m3/h.
    pub flow_m3_h: Summary,
    /// Pressure ahead of the holes, kPa.
    pub pressure_kpa: Summary,
}

/// Gradation of the rock of a stream, mean over trials.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
pub struct StreamGradation {
    /// `feed`, or `stage.outlet`.
    pub stream: String,
    /// Rock, t/h.
    pub rock_t_h: f64,
    /// Share of the rock by class, finest first (25 classes of ISO 565 R20/3).
    pub share: Vec<f64>,
    /// Gold in the stream over gold fed.
    pub gold_share: f64,
}

impl RunResult {
    /// Sums up the trials of a plant.
    pub fn new(plant: &Plant, seed: u64, statistics: &TrialStatistics) -> RunResult {
        RunResult::begin(plant, seed, statistics).finish(plant, seed, statistics)
    }

    /// The same without what takes long and no first answer needs: the curves of the stages and what the result goes with.
    pub fn begin(plant: &Plant, seed: u64, statistics: &TrialStatistics) -> Begun {
        let total_fed: f64 = statistics.fed.iter().sum();
        let present: Vec<usize> =
            (0..GOLD_CLASSES).filter(|g| statistics.fed_by_class[*g] > 1e-9 * total_fed).collect();
        let money = || {
            let seasons = Seasons::new(plant, seed, statistics)?;
            let money = Money::of(plant, &seasons, statistics, &present);
            Some((seasons, money))
        };
        let (paid, (gold, measures)) = rayon::join(money, || {
            rayon::join(|| gold(plant, statistics, total_fed, &present), || series::measures(plant, statistics))
        });
        let (seasons, money) = paid.map_or((None, None), |(seasons, money)| (Some(seasons), money));
        let outcome = RunResult {
            schema_version: SCHEMA_VERSION,
            provenance: provenance(plant, seed, statistics),
            plant: plant_summary(plant, statistics, total_fed),
            gold,
            losses: losses(plant, statistics, total_fed, &present),
            balance: Balance {
                gold_rel: statistics.residuals.gold,
                solids_rel: statistics.residuals.solids,
                water_rel: statistics.residuals.water,
            },
            water: water(plant, statistics),
            measures,
            profiles: series::profiles(plant, statistics),
            curves: Vec::new(),
            over_days: series::courses(plant, statistics),
            gradations: gradations(plant, statistics, total_fed),
            money,
            warnings: warnings::of(plant, statistics),
            hangs_on: Vec::new(),
        };
        Begun { outcome, seasons }
    }
}

/// A result that says all that a first answer says; curves and what the result goes with are still empty.
pub struct Begun {
    /// The result so far.
    pub outcome: RunResult,
    seasons: Option<Seasons>,
}

impl Begun {
    /// Works out the rest, from the same plant, seed and statistics.
    pub fn finish(self, plant: &Plant, seed: u64, statistics: &TrialStatistics) -> RunResult {
        let (curves, hangs_on) = rayon::join(
            || Worker::new(plant, seed).curves(),
            || hangs_on(plant, seed, statistics, self.seasons.as_ref()),
        );
        RunResult { curves, hangs_on, ..self.outcome }
    }
}

fn provenance(plant: &Plant, seed: u64, statistics: &TrialStatistics) -> Provenance {
    let mut models: Vec<String> = Vec::new();
    for node in &plant.nodes {
        if !models.iter().any(|m| m == node.kind.model) {
            models.push(node.kind.model.to_string());
        }
    }
    Provenance {
        tool: plant.program.name.into(),
        version: plant.program.version.into(),
        scenario_sha256: plant.sha256.clone(),
        files: plant.files.clone(),
        seed,
        trials: statistics.trials as u64,
        rng_layout: LAYOUT.into(),
        models,
        tuned: plant.tuned.clone(),
    }
}

fn plant_summary(plant: &Plant, statistics: &TrialStatistics, total_fed: f64) -> PlantSummary {
    PlantSummary {
        title: plant.title.clone(),
        question: plant.question.clone(),
        stages: plant
            .nodes
            .iter()
            .zip(&statistics.caught_by_stage)
            .map(|(n, caught)| StageSummary {
                id: n.id.clone(),
                kind: n.kind.name.into(),
                caught_share: caught / total_fed,
            })
            .collect(),
        wires: plant.wires.clone(),
        feed_loose_m3_h: over_trials(&statistics.feed, S_PER_H),
    }
}

fn gold(plant: &Plant, statistics: &TrialStatistics, total_fed: f64, present: &[usize]) -> Gold {
    let g_per_h = 1000.0 * S_PER_H;
    let recoveries: Vec<f64> =
        statistics.fed.iter().zip(&statistics.caught).filter(|(f, _)| **f > 0.0).map(|(f, c)| c / f).collect();
    let caught: f64 = statistics.caught.iter().sum();
    let mean = caught / statistics.trials as f64;
    let variance =
        statistics.caught.iter().map(|c| (c - mean) * (c - mean)).sum::<f64>() / (statistics.trials.max(2) - 1) as f64;
    Gold {
        fed_g_per_h: over_trials(&statistics.fed, g_per_h),
        caught_g_per_h: over_trials(&statistics.caught, g_per_h),
        caught_standard_error_g_per_h: (variance / statistics.trials as f64).sqrt() * g_per_h,
        recovery: Summary { mean: caught / total_fed, ..over_trials(&recoveries, 1.0) },
        fineness: plant.ground.fineness,
        grade_mg_per_m3_loose: over_trials(&statistics.grade_loose, 1e6),
        recovery_by_size: present
            .iter()
            .map(|&g| {
                let class = gold_class(g);
                SizeRecovery {
                    from_mm: millimetres(class.from_m),
                    to_mm: class.to_m.is_finite().then_some(millimetres(class.to_m)),
                    fed_share: statistics.fed_by_class[g] / total_fed,
                    recovery: Summary {
                        mean: statistics.caught_by_class[g] / statistics.fed_by_class[g],
                        ..over_trials(&statistics.class_recovery[g], 1.0)
                    },
                }
            })
            .collect(),
    }
}

fn losses(plant: &Plant, statistics: &TrialStatistics, total_fed: f64, present: &[usize]) -> Vec<Loss> {
    let mut list: Vec<Loss> = plant
        .notes
        .iter()
        .enumerate()
        .filter(|(n, _)| statistics.lost_by_class[*n].iter().any(|x| *x != 0.0))
        .map(|(n, note)| {
            let lost = &statistics.lost_by_class[n];
            Loss {
                stage: note.stage.clone(),
                reason: note.reason.name.into(),
                words: note.reason.words.into(),
                class: note.reason.class,
                short: note.reason.short.into(),
                next_step: note.reason.next_step.into(),
                share_of_fed: Summary {
                    mean: lost.iter().sum::<f64>() / total_fed,
                    ..over_trials(&statistics.loss_share[n], 1.0)
                },
                by_size: present.iter().map(|&g| lost[g] / total_fed).collect(),
            }
        })
        .collect();
    list.retain(|l| l.share_of_fed.mean.abs() > 1e-15);
    list.sort_by(|a, b| b.share_of_fed.mean.total_cmp(&a.share_of_fed.mean));
    list
}

fn water(plant: &Plant, statistics: &TrialStatistics) -> Water {
    let met = NeedsMet::of(plant, statistics);
    let by_name = |values: fn(&NeedSeries) -> &Vec<f64>| {
        met.needs.iter().map(|(name, need)| (name.clone(), over_trials(values(need), S_PER_H))).collect()
    };
    let rules = met.rules.iter().map(|rule| WaterRule {
        stage: rule.stage.clone(),
        need: rule.need.clone(),
        rule: rule.rule.clone(),
        words: rule.words.clone(),
        asks_m3_h: over_trials(&rule.asks_m3_s, S_PER_H),
        sets_share: rule.sets_share,
    });
    Water {
        supply_m3_h: over_trials(&statistics.supply, S_PER_H),
        need_m3_h: by_name(|n| &n.need_m3_s),
        at_hand_m3_h: by_name(|n| &n.at_hand_m3_s),
        shortfall_m3_h: over_trials(&met.shortfall_m3_s(), S_PER_H),
        rules: rules.collect(),
        binding: met.binding(),
        short_share: met.short_share(),
        makeup_m3_h: (!statistics.makeup.is_empty()).then(|| over_trials(&statistics.makeup, S_PER_H)),
        circuit: (!statistics.makeup.is_empty()).then(|| WaterCircuit {
            unclosed_share: statistics.unclosed as f64 / statistics.trials.max(1) as f64,
            middle_closes: statistics.middle_closes,
        }),
        branches: plant
            .outlets
            .iter()
            .zip(&statistics.outlets)
            .map(|(node, (flow, pressure))| Branch {
                name: node.id.clone(),
                on: node.on.clone(),
                fed_by: node.fed_by.clone(),
                flow_m3_h: over_trials(flow, S_PER_H),
                pressure_kpa: over_trials(pressure, 1e-3),
            })
            .collect(),
    }
}

fn gradations(plant: &Plant, statistics: &TrialStatistics, total_fed: f64) -> Vec<StreamGradation> {
    let entry = |stream: String, rock: &[f64], gold_share: f64| {
        let sum: f64 = rock.iter().sum();
        StreamGradation {
            stream,
            rock_t_h: sum / statistics.trials as f64 * 3.6,
            share: rock.iter().map(|r| if sum > 0.0 { r / sum } else { 0.0 }).collect(),
            gold_share,
        }
    };
    let mut list = vec![entry("feed".into(), &statistics.rock_fed, 1.0)];
    for node in &plant.nodes {
        for (port, slot) in node.kind.outlets.iter().zip(node.outlets.clone()) {
            list.push(entry(
                format!("{}.{}", node.id, port.name),
                &statistics.rock_by_slot[slot],
                statistics.gold_by_slot[slot] / total_fed,
            ));
        }
    }
    list
}

fn hangs_on(plant: &Plant, seed: u64, statistics: &TrialStatistics, seasons: Option<&Seasons>) -> Vec<HangsOn> {
    let ranked = RankedInputs::new(plant, seed, statistics);
    let recovery: Vec<f64> = statistics.fed.iter().zip(&statistics.caught).map(|(f, c)| c / f).collect();
    let mut list = ranked.of("recovery", &recovery);
    list.extend(seasons.into_iter().flat_map(|s| ranked.of("season", &s.net)));
    list
}

/// A sieve size in mm, to the nanometre, so that 0.18 mm is written as 0.18.
fn millimetres(size_m: f64) -> f64 {
    (size_m * 1e9).round() / 1e6
}
