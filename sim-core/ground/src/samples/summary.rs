//! What the samples say, in numbers for any reader: grade in every unit that it is spoken in, size curve with its band, what
//! rests on few colours, and what further samples would leave open.

use serde::Serialize;
use washgraph_units::constants::{CUBIC_YARD_M3, MG_PER_KG};

use super::money::SampleMoney;
use crate::field::gold_sample::{FINEST_SEEN_M, share_above};
use crate::field::next_sample::{Foresight, Plan};
use crate::ground::{GoldKnown, Ground};
use washgraph_physics::size::ByGold;
use washgraph_physics::size::{GOLD_CLASSES, SOLID_EDGES_M, gold_class};
use washgraph_stats::counts::CLIFTON_GRAINS;
use washgraph_stats::draw::{Input, InputList};
use washgraph_stats::summary::{Summary, over_trials};
use washgraph_units::quantity::UnitChoice;

/// Cubic metres to the cubic yard.
// Source: 1 yd = 0.9144 m exactly.
/// A struck pan of 16 in, 336 in3.
// Source: Wells, BLM Technical Bulletin 4, 1969 (seen).
pub const USUAL_PAN_M3: f64 = 5.506e-3;
/// Numbers of further pans that are looked at.
pub const FURTHER_PANS: [u32; 8] = [1, 2, 5, 10, 20, 40, 80, 160];

/// Grade by one kind of volume.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Grade {
    /// `loose` or `bank`.
    pub volume: &'static str,
    /// `raw` or `fine`.
    pub gold: &'static str,
    /// Milligrams per cubic metre.
    pub mg_per_m3: Summary,
    /// Milligrams per cubic yard.
    pub mg_per_yd3: Summary,
}

/// One class of gold.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GoldClass {
    /// Lower edge, mm.
    pub from_mm: f64,
    /// Upper edge, mm; none for the coarsest.
    pub to_mm: Option<f64>,
    /// Colours that it rests on.
    pub colours: f64,
    /// Raw gold found in it, mg.
    pub weight_mg: f64,
    /// Raw gold per loose m3.
    pub mg_per_m3_loose: Summary,
    /// Share of all gold by weight.
    pub share: Summary,
    /// Share of all gold that is finer than the upper edge.
    pub finer: Summary,
}

/// Gradation at an edge of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Finer {
    /// Size, mm.
    pub size_mm: f64,
    /// Best estimate of the share finer.
    pub finer: f64,
    /// 1 run in 10 falls below.
    pub pctl_10: f64,
    /// 1 run in 10 is above.
    pub pctl_90: f64,
}

/// A sieve test as drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TestCurve {
    /// Pit.
    pub pit: String,
    /// Dry mass, kg.
    pub sample_kg: f64,
    /// Sieve, mm, and share finer.
    pub points: Vec<(f64, f64)>,
}

/// A sample of gold.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SampleLine {
    /// Its name.
    pub name: String,
    /// Loose volume, L.
    pub volume_l_loose: f64,
    /// Colours; none where the gold was weighed without sieves.
    pub colours: Option<f64>,
    /// Raw gold, mg.
    pub weight_mg: f64,
    /// Raw gold per loose m3, as found.
    pub mg_per_m3_loose: f64,
}

/// What a further sample would leave open.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanLine {
    /// In words.
    pub what: String,
    /// Number of pans; none for a bulk sample.
    pub pans: Option<u32>,
    /// Loose volume, m3.
    pub volume_m3: f64,
    /// Spots.
    pub spots: f64,
    /// Width of the band of 8 in 10 over the middle; none when too few possible grounds are left to say.
    pub relative_width: Option<f64>,
}

/// What the samples say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SamplesSummary {
    /// Title of the scenario.
    pub title: String,
    /// `samples` or `belief`.
    pub gold_from: &'static str,
    /// Where gradation and gold come from.
    pub provenance: Vec<String>,
    /// What should be known of the samples.
    pub findings: Vec<String>,
    /// Loose m3 washed.
    pub washed_m3_loose: f64,
    /// Raw gold per loose m3 that the samples hold, all thrown together, before any correction.
    pub found_mg_per_m3_loose: Option<f64>,
    /// Grade with its spread: loose and bank, raw and fine.
    pub grade: Vec<Grade>,
    /// Samples one by one.
    pub samples: Vec<SampleLine>,
    /// Gold by class, finest first.
    pub gold: Vec<GoldClass>,
    /// Classes that hold gold and rest on fewer than 20 colours.
    pub few_colours: Vec<String>,
    /// Gradation with its band.
    pub gradation: Vec<Finer>,
    /// Sieve tests.
    pub tests: Vec<TestCurve>,
    /// Whether stones were counted on a wall beside the tests.
    pub stones_counted: bool,
    /// Width of the band of 8 in 10 of the grade over its middle now.
    pub relative_width: f64,
    /// Further samples.
    pub plans: Vec<PlanLine>,
    /// Histogram of the grade in the bank: lower edges, mg/m3, raw, and share of the chances.
    pub histogram: Vec<(f64, f64)>,
    /// Break-even grade of the season of the plant as it is, before the owner's wage and the plant, middle run, mg raw per bank
    /// m3; none without a plant and its money, or when no grade would pay.
    pub break_even_mg_per_m3_bank: Option<f64>,
    /// What further samples are worth in money; none without a plant and its money.
    pub money: Option<SampleMoney>,
}

/// A bulk sample that is asked about.
#[derive(Debug, Clone, PartialEq)]
pub struct Bulk {
    /// As typed.
    pub words: String,
    /// Loose, m3.
    pub volume_m3: f64,
}

impl SamplesSummary {
    /// Sums up a ground. `pan_m3`: what one further pan holds; `units`: in which the findings are said.
    pub fn new(title: &str, ground: &Ground, inputs: &InputList, pan_m3: f64, bulk: &Bulk, units: UnitChoice) -> Self {
        let loose = grades(ground, inputs);
        let known = &ground.known;
        let mut summary = SamplesSummary {
            title: title.to_string(),
            gold_from: if known.samples.is_some() { "samples" } else { "belief" },
            provenance: known.provenance.clone(),
            findings: known.findings.iter().map(|f| f.say(units)).collect(),
            washed_m3_loose: known.samples.as_ref().map_or(0.0, |s| s.volume_m3()),
            found_mg_per_m3_loose: known.samples.as_ref().map(|s| s.total_kg() / s.volume_m3() * MG_PER_KG),
            grade: grade_table(&loose, ground.fineness),
            samples: sample_lines(ground),
            gold: gold_classes(ground, &loose),
            few_colours: Vec::new(),
            gradation: gradation(ground),
            tests: known
                .tests
                .iter()
                .map(|t| TestCurve {
                    pit: t.pit.clone(),
                    sample_kg: t.sample_kg,
                    points: t.points.iter().map(|(d, p)| (d * 1e3, *p)).collect(),
                })
                .collect(),
            stones_counted: known.stones.is_some(),
            relative_width: f64::NAN,
            plans: Vec::new(),
            histogram: histogram(&loose),
            break_even_mg_per_m3_bank: None,
            money: None,
        };
        summary.few_colours = summary
            .gold
            .iter()
            .filter(|c| c.share.mean > 0.005 && c.colours < CLIFTON_GRAINS)
            .map(gold_class_label)
            .collect();
        summary.foresee(ground, pan_m3, bulk);
        summary
    }

    fn foresee(&mut self, ground: &Ground, pan_m3: f64, bulk: &Bulk) {
        let Some(foresight) = foresight(ground) else { return };
        let left = |plan: Plan| {
            let left = foresight.left(plan).relative_width;
            left.is_finite().then_some(left)
        };
        self.relative_width = left(Plan { volume_m3: 0.0, spots: 1.0 }).unwrap_or(f64::NAN);
        for n in FURTHER_PANS {
            let plan = Plan { volume_m3: f64::from(n) * pan_m3, spots: f64::from(n) };
            self.plans.push(PlanLine {
                what: if n == 1 { "1 more pan".into() } else { format!("{n} more pans, each from a spot of its own") },
                pans: Some(n),
                volume_m3: plan.volume_m3,
                spots: plan.spots,
                relative_width: left(plan),
            });
        }
        let plan = Plan { volume_m3: bulk.volume_m3, spots: 1.0 };
        self.plans.push(PlanLine {
            what: format!("one bulk sample of {} from one spot", bulk.words),
            pans: None,
            volume_m3: plan.volume_m3,
            spots: 1.0,
            relative_width: left(plan),
        });
    }
}

/// Foresight over the grounds that the samples leave possible; `None` for a belief.
pub fn foresight(ground: &Ground) -> Option<Foresight<'_>> {
    let (GoldKnown::Sampled(posterior), Some(samples)) = (&ground.gold, &ground.known.samples) else { return None };
    let volume = samples.sieved_volume_m3();
    // Gold that was only weighed so far: further pans are taken as sieved down to fine gold and counted.
    let looked: ByGold =
        std::array::from_fn(
            |g| if volume > 0.0 { samples.looked_m3[g] / volume } else { share_above(g, FINEST_SEEN_M) },
        );
    let between =
        ground.known.patchiness.filter(|p| p.chance < crate::field::patchiness::SHOWN_BELOW).map_or(0.0, |p| p.between);
    Some(Foresight::new(posterior, looked, between))
}

fn gold_class_label(class: &GoldClass) -> String {
    match class.to_mm {
        Some(to) if class.from_mm > 0.0 => format!("{}-{to} mm", class.from_mm),
        Some(to) => format!("under {to} mm"),
        None => format!("over {} mm", class.from_mm),
    }
}

/// Grounds that may be the true one: gold by class, kg per loose m3, washing losses corrected, with the swell of each.
struct Grades {
    rows: Vec<ByGold>,
    loose: Vec<f64>,
    bank: Vec<f64>,
}

/// Every joint draw of the gold with a draw of washing losses and swell; the last two run through their distributions in steps
/// of the golden ratio, so that they go with no grade in particular.
fn grades(ground: &Ground, inputs: &InputList) -> Grades {
    let value = |input: Input, u: f64| match input {
        Input::Fixed(x) => x,
        Input::Drawn(i) => inputs.all().get(i).map_or(f64::NAN, |x| x.spread.quantile(u)),
    };
    let believed;
    let rows = match &ground.gold {
        GoldKnown::Sampled(posterior) => posterior.rows(),
        GoldKnown::Believed(shares) => {
            believed = vec![**shares; crate::field::gold_posterior::DRAWS];
            &believed
        }
    };
    let mut out = Grades { rows: Vec::new(), loose: Vec::new(), bank: Vec::new() };
    for (i, row) in rows.iter().enumerate() {
        let at = |step: f64| (0.5 + i as f64 * step).fract();
        let factor = value(ground.inputs.grade_factor, at(0.618_033_988_749_894_9));
        let swell = value(ground.inputs.swell, at(0.754_877_666_246_692_8));
        let row = row.map(|x| x * factor);
        let loose: f64 = row.iter().sum();
        out.rows.push(row);
        out.loose.push(loose);
        out.bank.push(loose * (1.0 + swell));
    }
    out
}

fn grade_table(grades: &Grades, fineness: f64) -> Vec<Grade> {
    let mut list = Vec::new();
    for (volume, values) in [("loose", &grades.loose), ("bank", &grades.bank)] {
        for (gold, share) in [("raw", 1.0), ("fine", fineness)] {
            list.push(Grade {
                volume,
                gold,
                mg_per_m3: over_trials(values, MG_PER_KG * share),
                mg_per_yd3: over_trials(values, MG_PER_KG * share * CUBIC_YARD_M3),
            });
        }
    }
    list
}

fn sample_lines(ground: &Ground) -> Vec<SampleLine> {
    let Some(samples) = &ground.known.samples else { return Vec::new() };
    let sieved = samples.samples.iter().map(|s| (&s.name, s.volume_m3, Some(s.colours), s.gold_kg));
    let whole = samples.whole.iter().map(|s| (&s.name, s.volume_m3, None, s.gold_kg));
    sieved
        .chain(whole)
        .map(|(name, volume_m3, colours, gold_kg)| SampleLine {
            name: name.clone(),
            volume_l_loose: volume_m3 * 1e3,
            colours,
            weight_mg: gold_kg * MG_PER_KG,
            mg_per_m3_loose: gold_kg / volume_m3 * MG_PER_KG,
        })
        .collect()
}

fn gold_classes(ground: &Ground, grades: &Grades) -> Vec<GoldClass> {
    let mut finer = vec![0.0; grades.rows.len()];
    let mut list = Vec::new();
    for g in 0..GOLD_CLASSES {
        let own: Vec<f64> = grades.rows.iter().map(|r| r[g]).collect();
        let shares: Vec<f64> = own.iter().zip(&grades.loose).map(|(x, all)| x / all).collect();
        for (sum, x) in finer.iter_mut().zip(&shares) {
            *sum += x;
        }
        let class = gold_class(g);
        let (colours, weight) =
            ground.known.samples.as_ref().map_or((0.0, 0.0), |s| (s.colours[g], s.gold_kg[g] * MG_PER_KG));
        let share = over_trials(&shares, 1.0);
        if share.mean < 1e-5 && colours == 0.0 {
            continue;
        }
        let mm = |x: f64| (x * 1e7).round() / 1e4;
        list.push(GoldClass {
            from_mm: mm(class.from_m),
            to_mm: class.to_m.is_finite().then(|| mm(class.to_m)),
            colours,
            weight_mg: weight,
            mg_per_m3_loose: over_trials(&own, MG_PER_KG),
            share,
            finer: over_trials(&finer, 1.0),
        });
    }
    list
}

fn gradation(ground: &Ground) -> Vec<Finer> {
    ground
        .gradation
        .band()
        .into_iter()
        .zip(SOLID_EDGES_M)
        .map(|([low, best, high], edge)| Finer {
            size_mm: (edge * 1e7).round() / 1e4,
            finer: best,
            pctl_10: low,
            pctl_90: high,
        })
        .collect()
}

/// Bars of the histogram, and the share of the chances beyond its upper end that is put into the last bar.
const BARS: usize = 36;
const BEYOND: f64 = 0.01;

fn histogram(grades: &Grades) -> Vec<(f64, f64)> {
    let mut sorted: Vec<f64> = grades.bank.iter().map(|x| x * MG_PER_KG).collect();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    let top = sorted.get(((1.0 - BEYOND) * n as f64) as usize).or(sorted.last()).copied().unwrap_or(1.0);
    let step = nice(top / BARS as f64 * 1.3);
    let bars = (top / step).ceil().max(1.0) as usize;
    let mut counts = vec![0.0; bars];
    for x in &sorted {
        let bar = ((x / step) as usize).min(bars - 1);
        counts[bar] += 1.0 / n as f64;
    }
    counts.into_iter().enumerate().map(|(i, share)| (i as f64 * step, share)).collect()
}

/// The next larger of 1, 2, 2.5, 5 times a power of ten.
fn nice(x: f64) -> f64 {
    let ten = washgraph_units::math::pow(10.0, washgraph_units::math::log10(x.max(1e-12)).floor());
    [1.0, 2.0, 2.5, 5.0, 10.0].iter().map(|f| f * ten).find(|s| *s >= x).unwrap_or(x)
}
