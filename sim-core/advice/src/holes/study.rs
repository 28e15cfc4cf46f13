//! The present plant at other hole sizes: which sizes, the plants with them, and what they come to.

use rayon::prelude::*;
use sim_core::lever::Serves;
use sim_core::math::log10;
use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, UnitChoice, parse, show};
use sim_core::size::{GOLD_CLASSES, gold_class, solid_percentile_size_m};
use sim_core::stage::Role;
use sim_core::stock::{Item, Stock};
use sim_core::trial::Worker;
use washgraph_model::paired::DesignRun;
use washgraph_model::variant::PathError;

use super::retune::{Retuned, USUAL, retune};
use super::rule::TradeRule;
use crate::plants::base::{Base, Change};
use crate::plants::contest::Contest;
use crate::plants::levers::LeverAt;

/// Fewest and most sizes tried when none are named.
const USUAL_COUNT: (usize, usize) = (6, 10);
/// The smallest hole worth trying over the size that 98 % of the gold is finer than. Assumed.
const LEAST_PER_GOLD: f64 = 3.0;
/// The largest hole worth trying lets through this share of the gravel. Assumed.
const MOST_GRAVEL: f64 = 0.85;

/// What the holes come to.
pub struct HoleStudy<'a> {
    /// The scenario.
    pub base: &'a Base<'a>,
    /// The holes that are compared.
    pub hole: LeverAt<'a>,
    /// Shape of the holes, when another than as built was asked for.
    pub shape: Option<String>,
    /// Holes, rising, m.
    pub holes_m: Vec<f64>,
    /// The same as people write them.
    pub names: Vec<String>,
    /// Hole of the present plant, m.
    pub present_m: f64,
    /// The present plant.
    pub present: DesignRun,
    /// Only the plate changed.
    pub as_built: Contest,
    /// The boxes re-set as well.
    pub retuned: Contest,
    /// What was re-set for each hole.
    pub boxes: Vec<Retuned>,
    /// The trade's rule on the largest hole, where it can be held against the model.
    pub rule: Option<TradeRule>,
}

impl HoleStudy<'_> {
    /// Name of the screen: of the table that has the holes.
    pub fn screen(&self) -> &str {
        &self.hole.at.owner
    }

    /// Shape of the holes: as asked for, or as built.
    pub fn shape_in_force(&self) -> Option<&str> {
        let built = || self.base.in_force(&self.base.lever_of(self.screen(), Serves::HoleShape)?.at.path);
        self.shape.as_deref().or_else(built)
    }

    /// Rock that goes to the boxes, mean, kg/s: to stages with an area that holds concentrate.
    pub fn box_load_kg_s(&self, design_run: &DesignRun) -> f64 {
        let plant = &self.base.plant;
        let holds = |m: usize| plant.measures.get(m).is_some_and(|m| m.role == Role::CatchArea);
        let is_box = |id: &str| plant.nodes.iter().any(|n| n.id == id && n.measures.clone().any(holds));
        design_run.rock_into.iter().filter(|(id, _)| is_box(id)).map(|(_, rock)| rock).sum()
    }
}

/// Sizes to try: as written, and in m, rising. Errors say in words what was typed wrong.
pub fn sizes(base: &Base<'_>, hole: &LeverAt<'_>, typed: Option<&str>) -> Result<Vec<(String, f64)>, String> {
    let mut list: Vec<(String, f64)> = Vec::new();
    if let Some(typed) = typed {
        for text in typed.split(';').map(str::trim).filter(|t| !t.is_empty()) {
            let parsed = parse(text, Dimension::Length).map_err(|e| format!("`{text}`: {e}\n  {}", e.help))?;
            list.push((text.to_string(), parsed.si));
        }
    } else {
        list = usual_sizes(base, base.si(&hole.at.path));
    }
    list.sort_by(|a, b| a.1.total_cmp(&b.1));
    list.dedup_by(|a, b| a.1 == b.1);
    if list.len() < 2 {
        return Err(
            "at least two sizes of hole are needed to compare\n  write e.g. --sizes \"3/8 in; 1/2 in; 3/4 in\"".into(),
        );
    }
    Ok(list)
}

/// Sizes of holes in which plate is made, m, rising.
pub fn plate_sizes(units: UnitChoice) -> &'static [f64] {
    Stock::of(Item::PlateHole, units).sizes_m
}

/// Plate sizes around the gold and the gravel in hand, the present hole among them.
pub fn usual_sizes(base: &Base<'_>, present_m: f64) -> Vec<(String, f64)> {
    let plant = &base.plant;
    let worker = Worker::new(plant, plant.seed);
    let gold_m = gold_finer_than(&worker, 0.98);
    let gravel_m = solid_percentile_size_m(&plant.ground.gradation.share, MOST_GRAVEL);
    let (low, high) = ((LEAST_PER_GOLD * gold_m).min(present_m), gravel_m.max(present_m));
    let plate = plate_sizes(plant.units);
    let mut picked: Vec<f64> = plate.iter().copied().filter(|x| *x >= 0.999 * low && *x <= 1.001 * high).collect();
    // Too few around the gold and the gravel: take in the neighbours on both sides.
    while picked.len() < USUAL_COUNT.0 && picked.len() < plate.len() {
        let (first, last) = (picked.first().copied().unwrap_or(present_m), picked.last().copied().unwrap_or(present_m));
        let below = plate.iter().copied().rfind(|x| *x < first);
        let above = plate.iter().copied().find(|x| *x > last);
        picked.extend(above.or(below).filter(|_| above.is_some() || below.is_some()));
        if let (Some(x), true) = (below, picked.len() < USUAL_COUNT.0) {
            picked.insert(0, x);
        }
    }
    if !picked.iter().any(|x| (x / present_m - 1.0).abs() < 0.01) {
        picked.push(present_m);
        picked.sort_by(f64::total_cmp);
    }
    // Too many: leave out every so many of the ones far from the present hole.
    while picked.len() > USUAL_COUNT.1 {
        let far = |x: f64| (log10(x / present_m)).abs();
        let Some(last) = picked.last().copied() else { break };
        let Some(first) = picked.first().copied() else { break };
        if far(last) >= far(first) {
            picked.pop()
        } else {
            Some(picked.remove(0))
        };
    }
    picked.iter().map(|x| (show(*x, Dimension::Length, plant.units), *x)).collect()
}

/// Sieve size that this share of the gold is finer than, m, in the middle case.
fn gold_finer_than(worker: &Worker<'_>, share: f64) -> f64 {
    let total: f64 = worker.fed.iter().sum();
    let mut sum = 0.0;
    for g in 0..GOLD_CLASSES {
        sum += worker.fed[g];
        if sum >= share * total {
            return gold_class(g).middle_m;
        }
    }
    gold_class(GOLD_CLASSES - 1).middle_m
}

/// The plants among which a plate is chosen before steel is cut: the usual sizes, the box re-set to suit each. `None` for a
/// plant without a screen, or when one of them cannot be built.
pub fn plates_to_choose_from(base: &Base<'_>) -> Option<Vec<(String, Plant)>> {
    let hole = base.levers_that(Serves::Hole).next_back()?;
    let sizes = sizes(base, &hole, None).ok()?;
    plants(base, &hole, &sizes, None).ok().map(|p| p.retuned)
}

/// The plants of a comparison of holes, in the order of the sizes.
pub struct Plants {
    /// Only the plate changed.
    pub as_built: Vec<(String, Plant)>,
    /// The boxes re-set as well.
    pub retuned: Vec<(String, Plant)>,
    /// What was re-set.
    pub boxes: Vec<Retuned>,
}

/// The changes that give a screen another hole: the hole, what keeps its ratio to it, the shape when one is asked for.
pub fn hole_changes(
    base: &Base<'_>,
    hole: &LeverAt<'_>,
    name: &str,
    shape: Option<&str>,
) -> Result<Vec<Change>, PathError> {
    let path = &hole.at.path;
    let mut changes = base.set(hole, name).ok_or_else(|| PathError {
        message: format!("`{name}` cannot be set at `{path}`"),
        help: "write a size, e.g. 3/8 in".into(),
    })?;
    if let Some(shape) = shape {
        let word = base.lever_of(&hole.at.owner, Serves::HoleShape).ok_or_else(|| PathError {
            message: format!("the holes of `{}` have one shape only", hole.at.owner),
            help: "leave the shape out".into(),
        })?;
        changes.push((base.find(&word.at.path)?, shape.to_string()));
    }
    Ok(changes)
}

/// Why a hole cannot be tried.
enum Trouble {
    /// A path of the changes does not stand in the scenario; the same for every hole.
    Path(PathError),
    /// The plant cannot be built, in words.
    Refused(String),
}

/// The plant with another hole, as built and with the boxes re-set.
fn plant_pair(
    base: &Base<'_>,
    hole: &LeverAt<'_>,
    (name, hole_m): (&str, f64),
    shape: Option<&str>,
) -> Result<(Plant, Plant, Retuned), Trouble> {
    let changes = hole_changes(base, hole, name, shape).map_err(Trouble::Path)?;
    let plant = base.variant(&changes).map_err(Trouble::Refused)?;
    let tuned = retune(base, &plant, hole_m, &changes, &USUAL).map_err(Trouble::Path)?;
    let tuned_plant = base.variant(&tuned.changes).map_err(|why| Trouble::Refused(format!("re-tuned: {why}")))?;
    Ok((plant, tuned_plant, tuned))
}

/// Builds every plant twice, the sizes side by side; the errors say in words, one for each size, what prevents it.
pub fn plants(
    base: &Base<'_>,
    hole: &LeverAt<'_>,
    sizes: &[(String, f64)],
    shape: Option<&str>,
) -> Result<Plants, Vec<PathError>> {
    let built: Vec<_> = sizes.par_iter().map(|(name, hole_m)| plant_pair(base, hole, (name, *hole_m), shape)).collect();
    let mut all = Plants { as_built: Vec::new(), retuned: Vec::new(), boxes: Vec::new() };
    let mut errors = Vec::new();
    for ((name, _), built) in sizes.iter().zip(built) {
        match built {
            Ok((plant, tuned_plant, tuned)) => {
                all.as_built.push((name.clone(), plant));
                all.retuned.push((name.clone(), tuned_plant));
                all.boxes.push(tuned);
            }
            // The same for every hole: once is enough.
            Err(Trouble::Path(error)) => return Err(vec![error]),
            Err(Trouble::Refused(reason)) => {
                errors.push(PathError { message: format!("holes of {name}: {reason}"), help: String::new() });
            }
        }
    }
    if errors.is_empty() { Ok(all) } else { Err(errors) }
}
