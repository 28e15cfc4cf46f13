//! The gold of a clean-up, whole or by sieve, and the ground washed for it.

use std::borrow::Cow;
use std::sync::Arc;

use super::gold_found::{self, ClassFound};
use super::kind::{ObservationKind, Read, Seen};
use super::law::Law;
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::draw::Input;
use sim_core::field::Told;
use sim_core::money::clean_up::mean_recovery;
use sim_core::quantity::{Basis, Dimension};
use sim_core::size::GOLD_CLASSES;
use sim_core::trial::Worker;

/// Gold in the box after a run.
pub static CLEAN_UP: ObservationKind = ObservationKind {
    name: "clean-up",
    words: "weight of the gold of one clean-up, whole or by sieve, and the ground washed for it",
    tells: "grade of the ground times what the box catches; by sieve, which sizes it catches",
    once: Cow::Borrowed(&[column::WASHED, column::WEIGHT, column::GOLD, column::TIME]),
    rows: Cow::Borrowed(&[column::THROUGH, column::ON, column::WEIGHT]),
    steps: Cow::Borrowed(&[
        "Begin with a clean box. Count the buckets from then on.",
        "Clean up the whole box and work the concentrate down as you always do.",
        "Dry the gold, draw off the magnetic sand, weigh it. Sieve it and weigh each class.",
    ]),
    cautions: Cow::Borrowed(&["Shut the feed and the pump off before you lift riffles.", "Never use mercury or acid."]),
    errors: Cow::Borrowed(
        "each class 5 % (misplaced by the sieves), all together 7 % (buckets 5 %, what the final clean-up and the balance are \
             off by 5 %); assumed",
    ),
    example: Cow::Borrowed(
        "what = \"clean-up\"\nwashed = \"740 yd3 loose\"\ntime = \"30 h\"\nweight = \"91 g\"\nreadings = [\n  { through = \"US 10\", on = \"US 30\", weight = \"42 g\" },\n  { through = \"US 30\", on = \"US 60\", weight = \"33 g\" },\n  { through = \"US 60\", on = \"US 200\", weight = \"15 g\" },\n]",
    ),
    sets_the_day: false,
    minutes: None,
    bring: &[],
    read: Read::Special(read),
};

/// What each class is off by besides chance. Assumed.
const EACH: f64 = 0.05;
/// What all are off by together. Assumed.
const TOGETHER: f64 = 0.07;
/// Classes whose weights may differ from the whole by this much. Assumed: dust and what sticks to the sieves.
const SIEVING_LOSS: f64 = 0.05;

/// What a trial is asked for.
struct Asked {
    nodes: Vec<usize>,
    washed_m3: f64,
    bank: bool,
    run_s: Option<f64>,
    classes: Vec<Vec<(usize, f64)>>,
}

fn read(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let nodes = match &at {
        None => (0..entry.plant.nodes.len()).collect(),
        Some(_) => vec![entry.placed(places::stage(entry.plant, at.as_deref(), "inlet", |n| !n.inlets.is_empty()))?],
    };
    let washed = entry.quantity(column::WASHED);
    let Some((washed_m3, basis)) = washed? else {
        entry.needed(column::WASHED, "\"740 yd3 loose\"")?;
        return Err(Told);
    };
    if basis.is_none() {
        entry.warning("the ground washed is taken as loose, as the bucket carries it", "write e.g. \"740 yd3 loose\"");
    }
    let run_s = entry.number(column::TIME)?;
    let mut found = gold_found::classes(entry, false)?;
    let whole = whole_weight(entry, &found)?;
    if whole.unwrap_or_else(|| found.iter().filter_map(|c| c.kg).sum()) == 0.0 {
        let row = entry.rows_with(&[column::WEIGHT]).first().copied().unwrap_or(0);
        return Err(entry.error(
            Some((row, column::WEIGHT)),
            "a clean-up without any gold",
            "check the weight and its unit; without gold there is nothing to tune by",
        ));
    }
    let (mut parts, mut grids) = (Vec::new(), Vec::new());
    let part = |words: String, kg: f64| Part { words, dimension: Dimension::Mass, seen: kg };
    if found.is_empty() {
        let kg = whole.unwrap_or(0.0);
        parts.push(part("raw gold of the clean-up".into(), kg));
        grids.push((0..GOLD_CLASSES).map(|g| (g, 1.0)).collect());
    } else {
        share_out(entry, &mut found, whole)?;
        for class in found {
            parts.push(part(format!("raw gold {}", class.words), class.kg.unwrap_or(0.0)));
            grids.push(class.grid);
        }
    }
    let each = entry.share(column::ERROR)?.unwrap_or(EACH);
    let shared = entry.shared(TOGETHER)?;
    let laws = vec![Law::Weight { extra: each * each }; parts.len()];
    let asked = Asked { nodes, washed_m3, bank: basis == Some(Basis::Bank), run_s, classes: grids };
    let grain_kg = gold_found::grain_masses(entry.plant);
    let plan = entry.plant.money.as_ref().map(|m| m.clean_up.clone());
    let caught = CatchOf::of(entry, &asked.nodes);
    let predict: Predict = Arc::new(move |worker, out| {
        let mut kg = caught.per_loose_m3(worker);
        let run_s = asked.run_s.unwrap_or(asked.washed_m3 / worker.feed_m3_s());
        let volume_m3 = if asked.bank { asked.washed_m3 * (1.0 + worker.ground.swell) } else { asked.washed_m3 };
        let mut factor = volume_m3 * caught.steadier(worker, run_s);
        if let Some(plan) = &plan {
            let recovery = caught.recovery(worker, &kg);
            let filled = mean_recovery(recovery, value(worker, plan.loss_growth_per_s), run_s);
            factor *= if recovery > 0.0 { filled / recovery } else { 1.0 };
            let loss = value(worker, plan.loss_factor);
            for (kg, lost) in kg.iter_mut().zip(&plan.loss_by_class) {
                *kg *= (1.0 - loss * lost).max(0.0);
            }
        }
        let (mut means, mut more) = (Vec::new(), Vec::new());
        for grid in &asked.classes {
            let (kg, grains, grain) = gold_found::expected(grid, &grain_kg, |g| factor * kg[g]);
            means.push(kg);
            more.extend([grains, grain]);
        }
        out.extend(means);
        out.extend(more);
    });
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}

/// The weight of the whole: in the row that names no class.
fn whole_weight(entry: &mut Entry<'_, '_>, found: &[ClassFound]) -> Result<Option<f64>, Told> {
    let fine = gold_found::is_fine(entry)?;
    let sieved = entry.rows_with(&[column::THROUGH, column::ON]);
    let rows = entry.rows_with(&[column::WEIGHT]);
    let Some(row) = rows.into_iter().find(|r| !sieved.contains(r)) else {
        if found.is_empty() {
            return Err(entry.error(
                None,
                "`weight` is missing: the gold of the clean-up",
                "add e.g. weight = \"96 g\", or readings with the weight of each class",
            ));
        }
        return Ok(None);
    };
    let kg = entry.cell(row, column::WEIGHT, true)?.map(|w| w.si);
    Ok(kg.map(|kg| if fine { kg / entry.plant.ground.fineness } else { kg }))
}

/// Brings the weights of the classes up to that of the whole, of which they may be a part.
fn share_out(entry: &mut Entry<'_, '_>, found: &mut [ClassFound], whole: Option<f64>) -> Result<(), Told> {
    let sum: f64 = found.iter().filter_map(|c| c.kg).sum();
    let Some(whole) = whole else { return Ok(()) };
    if sum > whole * (1.0 + SIEVING_LOSS) {
        let row = entry.rows_with(&[column::WEIGHT]).first().copied().unwrap_or(0);
        return Err(entry.error(
            Some((row, column::WEIGHT)),
            "the classes weigh more than the whole",
            "the first `weight` is that of all gold of the clean-up; check the units",
        ));
    }
    if sum > 0.0 {
        for class in found {
            class.kg = class.kg.map(|kg| kg * whole / sum);
        }
    }
    Ok(())
}

/// Correlation of the grades of two periods of one run: they are dug side by side. Assumed.
const NEIGHBOURS_ALIKE: f64 = 0.3;

/// What is left, over a run of n periods, of the departure of one period's grade from the mean: sqrt((1 + (n - 1) rho)/n), the
/// standard deviation of a mean of n numbers that go together by rho (common statistics).
///
/// It never falls below sqrt(rho): however long a run, its ground is one patch. Two clean-ups have each its own patch: they
/// are taken as independent, since the next run is dug further on. A log of many clean-ups of one corner of the ground says
/// less of the rest than this has it; the spread of the ground's samples stands beside it.
fn departure_left(periods: f64) -> f64 {
    ((1.0 + (periods - 1.0) * NEIGHBOURS_ALIKE) / periods).sqrt()
}

/// An input of the last trial.
pub(super) fn value(worker: &Worker<'_>, input: Input) -> f64 {
    match input {
        Input::Fixed(value) => value,
        Input::Drawn(i) => worker.input(i),
    }
}

/// Gold that stages catch, as expected: without the chance of single grains, which the law of the weight has.
struct CatchOf {
    /// Slots that lead into the stages, and those that lead out.
    into: Vec<usize>,
    out: Vec<usize>,
    /// Whether gold enters with the ground at one of the stages.
    source: bool,
    day_factor: Input,
    mean_day_factor: f64,
    period_s: f64,
}

impl CatchOf {
    fn of(entry: &Entry<'_, '_>, nodes: &[usize]) -> CatchOf {
        let plant = entry.plant;
        let mine: Vec<_> = nodes.iter().filter_map(|n| plant.nodes.get(*n)).collect();
        CatchOf {
            into: mine.iter().flat_map(|n| n.inlets.iter().flatten().copied()).collect(),
            out: mine.iter().flat_map(|n| n.outlets.clone()).collect(),
            source: mine.iter().any(|n| n.stage.feed_m3_s().is_some()),
            day_factor: plant.ground.inputs.day_factor,
            mean_day_factor: plant.inputs.mean(plant.ground.inputs.day_factor),
            period_s: plant.ground.period_s,
        }
    }

    /// Gold caught per loose volume fed, kg/m3.
    fn per_loose_m3(&self, worker: &Worker<'_>) -> [f64; GOLD_CLASSES] {
        let feed_m3_s = worker.feed_m3_s();
        let all = |slots: &[usize], g: usize| -> f64 {
            slots.iter().map(|s| places::of_stream(worker, *s, |x| x.gold_of_class(g))).sum()
        };
        let fed = feed_m3_s * worker.ground.loose_density_kg_m3;
        std::array::from_fn(|g| {
            let ground = if self.source { fed * (worker.ground.gold[g] + worker.ground.locked[g]) } else { 0.0 };
            (ground + all(&self.into, g) - all(&self.out, g)).max(0.0) / feed_m3_s
        })
    }

    /// Share of the ground's gold that they catch.
    fn recovery(&self, worker: &Worker<'_>, caught_kg_m3: &[f64; GOLD_CLASSES]) -> f64 {
        let ground = &worker.ground;
        let fed: f64 =
            (0..GOLD_CLASSES).map(|g| ground.gold[g] + ground.locked[g]).sum::<f64>() * ground.loose_density_kg_m3;
        if fed > 0.0 { (caught_kg_m3.iter().sum::<f64>() / fed).min(1.0) } else { 0.0 }
    }

    /// A run longer than the period goes through more ground, whose grade lies nearer to the mean: see [`departure_left`].
    fn steadier(&self, worker: &Worker<'_>, run_s: f64) -> f64 {
        let day = value(worker, self.day_factor);
        let left = departure_left((run_s / self.period_s).max(1.0));
        let mean = self.mean_day_factor;
        if day > 0.0 { (mean + (day - mean) * left) / day } else { 1.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_one_period_departs_as_itself_and_no_run_is_steadier_than_its_patch() {
        assert_eq!(departure_left(1.0), 1.0);
        assert!(departure_left(3.0) < 0.75 && departure_left(3.0) > (1.0_f64 / 3.0).sqrt());
        assert!((departure_left(1e9) - NEIGHBOURS_ALIKE.sqrt()).abs() < 1e-6);
    }
}
