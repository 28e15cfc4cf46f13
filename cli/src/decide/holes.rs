//! The command `holes`: the present plant at other hole sizes, on the same ground.

use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use std::path::PathBuf;

use rayon::prelude::*;
use serde_json::json;
use sim_core::math::log10;
use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, Parsed, UnitChoice, like, parse, show};
use sim_core::registry::Registry;
use sim_core::size::{GOLD_CLASSES, gold_class, solid_percentile_size_m};
use sim_core::stock::{Item, Stock};
use sim_core::trial::Worker;
use washgraph_model::paired::{Arm, race};
use washgraph_model::variant::PathError;

use super::answer::{Answer, CommonArgs};
use super::base::{Base, Change, complain};
use super::contest::{Contest, currency, mean, named};
use super::hole_rule::{TradeRule, trade_rule};
use super::hole_words;
use super::retune::{Retuned, USUAL, retune};
use super::vary::call_word;
use crate::exit::Exit;
use crate::figures::curves::{Curve, Curves, Panel, curves};
use crate::figures::{Figure, FigureError};
use crate::progress::watched;
use crate::tables::{Cell, TableFile};

/// Fewest and most sizes tried when none are named.
const USUAL_COUNT: (usize, usize) = (6, 10);
/// The smallest hole worth trying over the size that 98 % of the gold is finer than. Assumed.
const LEAST_PER_GOLD: f64 = 3.0;
/// The largest hole worth trying lets through this share of the gravel. Assumed.
const MOST_GRAVEL: f64 = 0.85;

/// Arguments of `holes`.
#[derive(Debug, clap::Args)]
pub(crate) struct HolesArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// Sizes to try, e.g. "3/8 in; 1/2 in; 5/8 in" (default: plate sizes around the gold and the gravel)
    #[arg(long)]
    pub sizes: Option<String>,
    /// Shape of the holes: round, square or slot (default: as built)
    #[arg(long)]
    pub shape: Option<String>,
    /// The screen section to change, e.g. drum.screen (default: the last one)
    #[arg(long)]
    pub screen: Option<String>,
    /// Leave out how the model stands to the trade's rule on the largest hole, which takes seconds
    #[arg(long)]
    pub no_rule: bool,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// What the holes come to.
pub(crate) struct HoleStudy<'a> {
    pub base: &'a Base<'a>,
    pub screen: String,
    pub shape: Option<String>,
    /// Holes, rising, m, and as people write them.
    pub holes_m: Vec<f64>,
    pub names: Vec<String>,
    pub present_m: f64,
    pub present: Arm,
    /// Only the plate changed.
    pub as_built: Contest,
    /// The boxes re-set as well.
    pub retuned: Contest,
    pub boxes: Vec<Retuned>,
    /// The trade's rule on the largest hole, where it can be held against the model.
    pub rule: Option<TradeRule>,
}

/// Compares hole sizes.
pub(crate) fn holes(registry: &Registry, args: &HolesArgs) -> Exit {
    let Some(base) = Base::load(registry, &args.scenario) else { return Exit::BadInput };
    let screens = base.owners_of_kind("screen");
    let screen = match (&args.screen, screens.last()) {
        (Some(named), _) if screens.contains(named) => named.clone(),
        (Some(named), _) => {
            anstream::eprintln!("error: there is no screen `{named}`\n  screens here: {}", screens.join(", "));
            return Exit::BadInput;
        }
        (None, Some(last)) => last.clone(),
        (None, None) => {
            anstream::eprintln!("error: the plant has no screen\n  add a section of kind screen to its drum");
            return Exit::BadInput;
        }
    };
    let sizes = match sizes(&base, &screen, args.sizes.as_deref()) {
        Ok(sizes) => sizes,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Exit::BadInput;
        }
    };
    let Some(lists) = plants(&base, &screen, &sizes, args.shape.as_deref()) else { return Exit::BadInput };
    let trials = args.common.trials.unwrap_or(base.plant.trials);
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let total = trials * (2 * lists.as_built.len() as u64 + 1);
    let n = trials as usize;
    let (present, groups) = watched(total, |done| {
        let groups = [named(&lists.as_built), named(&lists.retuned)];
        race(("present", &base.plant), &groups, seed, n, done)
    });
    let mut contests = groups.into_iter().map(|arms| Contest::of(arms, currency(&base.plant)));
    let (Some(as_built), Some(retuned)) = (contests.next(), contests.next()) else { return Exit::Fault };
    if as_built.gold.is_none() || !(mean(&present.steady) > 0.0) {
        anstream::eprintln!(
            "error: no gold reaches the plant, or the physics has no answer here: check rates and grades"
        );
        return Exit::Impossible;
    }
    let rule = if args.no_rule { None } else { trade_rule(&base, &screen, args.shape.as_deref()) };
    let present_m = base.si(&format!("{screen}.hole"));
    let study = HoleStudy {
        base: &base,
        screen,
        shape: args.shape.clone(),
        holes_m: sizes.iter().map(|s| s.1).collect(),
        names: sizes.iter().map(|s| s.0.clone()).collect(),
        present_m,
        present,
        as_built,
        retuned,
        boxes: lists.boxes,
        rule,
    };
    let figures = match study.figures() {
        Ok(figures) => figures,
        Err(error) => {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    };
    let document = study.document(args, seed, trials);
    let text = hole_words::text(&study);
    let tables = study.tables();
    Answer { command: "holes", text, document, tables, figures, exit: Exit::Done }.deliver(&args.scenario, &args.common)
}

/// Sizes to try: as written, and in m, rising.
fn sizes(base: &Base<'_>, screen: &str, typed: Option<&str>) -> Result<Vec<(String, f64)>, String> {
    let path = format!("{screen}.hole");
    let mut list: Vec<(String, f64)> = Vec::new();
    if let Some(typed) = typed {
        for text in typed.split(';').map(str::trim).filter(|t| !t.is_empty()) {
            let parsed = parse(text, Dimension::Length).map_err(|e| format!("`{text}`: {e}\n  {}", e.help))?;
            list.push((text.to_string(), parsed.si));
        }
    } else {
        list = usual_sizes(base, base.si(&path));
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
pub(crate) fn plate_sizes(units: UnitChoice) -> &'static [f64] {
    Stock::of(Item::PlateHole, units).sizes_m
}

/// Plate sizes around the gold and the gravel in hand, the present hole among them.
pub(crate) fn usual_sizes(base: &Base<'_>, present_m: f64) -> Vec<(String, f64)> {
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
/// plant without a screen, or when one of them cannot be built; that is told.
pub(crate) fn plates_to_choose_from(base: &Base<'_>) -> Option<Vec<(String, Plant)>> {
    let screen = base.owners_of_kind("screen").pop()?;
    let sizes = sizes(base, &screen, None).ok()?;
    plants(base, &screen, &sizes, None).map(|p| p.retuned)
}

struct Plants {
    as_built: Vec<(String, Plant)>,
    retuned: Vec<(String, Plant)>,
    boxes: Vec<Retuned>,
}

/// The changes that give a screen another hole: the hole, its pitch in the same ratio, the shape when one is asked for.
pub(crate) fn hole_changes(
    base: &Base<'_>,
    screen: &str,
    hole: (&str, f64),
    shape: Option<&str>,
) -> Result<Vec<Change>, PathError> {
    let path = |key: &str| base.find(&format!("{screen}.{key}"));
    let ratio = base.si(&format!("{screen}.pitch")) / base.si(&format!("{screen}.hole"));
    let pitch = match parse(hole.0, Dimension::Length) {
        Ok(typed) => written(hole.1 * ratio, &typed),
        Err(_) => format!("{} m", hole.1 * ratio),
    };
    let mut changes = vec![(path("hole")?, hole.0.to_string()), (path("pitch")?, pitch)];
    if let Some(shape) = shape {
        changes.push((path("shape")?, shape.to_string()));
    }
    Ok(changes)
}

fn written(si: f64, typed: &Parsed) -> String {
    like(si, Dimension::Length, typed)
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
    screen: &str,
    (name, hole_m): (&str, f64),
    shape: Option<&str>,
) -> Result<(Plant, Plant, Retuned), Trouble> {
    let changes = hole_changes(base, screen, (name, hole_m), shape).map_err(Trouble::Path)?;
    let plant = base.variant(&changes).map_err(Trouble::Refused)?;
    let tuned = retune(base, &plant, hole_m, &changes, &USUAL).map_err(Trouble::Path)?;
    let tuned_plant = base.variant(&tuned.changes).map_err(|why| Trouble::Refused(format!("re-tuned: {why}")))?;
    Ok((plant, tuned_plant, tuned))
}

/// Builds every plant twice, the sizes side by side; problems are printed.
fn plants(base: &Base<'_>, screen: &str, sizes: &[(String, f64)], shape: Option<&str>) -> Option<Plants> {
    let built: Vec<_> =
        sizes.par_iter().map(|(name, hole_m)| plant_pair(base, screen, (name, *hole_m), shape)).collect();
    let mut all = Plants { as_built: Vec::new(), retuned: Vec::new(), boxes: Vec::new() };
    let mut sound = true;
    for ((name, _), built) in sizes.iter().zip(built) {
        match built {
            Ok((plant, tuned_plant, tuned)) => {
                all.as_built.push((name.clone(), plant));
                all.retuned.push((name.clone(), tuned_plant));
                all.boxes.push(tuned);
            }
            Err(Trouble::Path(error)) => {
                complain(&error);
                return None;
            }
            Err(Trouble::Refused(reason)) => {
                anstream::eprintln!("error: holes of {name}: {reason}");
                sound = false;
            }
        }
    }
    sound.then_some(all)
}

impl HoleStudy<'_> {
    /// Rock that goes to the boxes, mean, kg/s.
    pub fn box_load_kg_s(&self, arm: &Arm) -> f64 {
        let is_box =
            |id: &str| self.base.plant.nodes.iter().any(|n| n.id == id && n.kind.name == washgraph_sluice::SLUICE.name);
        arm.rock_into.iter().filter(|(id, _)| is_box(id)).map(|(_, rock)| rock).sum()
    }

    fn document(&self, args: &HolesArgs, seed: u64, trials: u64) -> serde_json::Value {
        let best = |c: &Contest| {
            let name = |i: usize| c.arms.get(i).map(|a| a.name.clone());
            json!({
                "by_gold": c.gold.as_ref().map(|g| json!({
                    "best": name(g.best), "runner_up": g.runner_up.and_then(name), "call": call_word(g.call),
                    "as_good": g.as_good.iter().filter_map(|i| name(*i)).collect::<Vec<_>>(),
                })),
                "by_money": c.money.as_ref().map(|g| json!({
                    "best": name(g.best), "runner_up": g.runner_up.and_then(name), "call": call_word(g.call),
                    "as_good": g.as_good.iter().filter_map(|i| name(*i)).collect::<Vec<_>>(),
                })),
                "plants": c.document("hole"),
            })
        };
        json!({
            "command": "holes", "scenario": args.scenario.display().to_string(), "seed": seed, "trials": trials,
            "screen": self.screen, "shape": self.shape, "present_hole_m": self.present_m, "holes_m": self.holes_m,
            "present_gold_g_per_h": mean(&self.present.steady) * G_H_PER_KG_S,
            "as_built": best(&self.as_built), "re_tuned": best(&self.retuned),
            "boxes": self.boxes.iter().map(|b| json!({
                "words": b.words, "box_water_m3_h": b.box_water_m3_s * S_PER_H,
                "changes": b.changes.iter().map(|(p, v)| json!({ "path": p.text(), "value": v })).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "recommendation": hole_words::recommendation(self),
            "trade_rule": self.rule.as_ref().map(TradeRule::document),
        })
    }

    fn tables(&self) -> Vec<TableFile> {
        let mut boxes = TableFile::new("boxes-re-tuned", &["hole", "box_water_m3_per_h", "box", "setting", "value"]);
        for (name, b) in self.names.iter().zip(&self.boxes) {
            for (path, value) in &b.changes {
                boxes.row([
                    name.clone().into(),
                    (b.box_water_m3_s * S_PER_H).into(),
                    b.words.join("; ").into(),
                    path.text().into(),
                    value.clone().into(),
                ]);
            }
        }
        let mut list = vec![
            self.as_built.table("as-built", "hole"),
            self.retuned.table("re-tuned", "hole"),
            self.by_size("gold-by-size-as-built", &self.as_built),
            self.by_size("gold-by-size-re-tuned", &self.retuned),
            self.losses("losses-as-built", &self.as_built),
            self.losses("losses-re-tuned", &self.retuned),
            boxes,
        ];
        list.extend(self.rule.as_ref().map(TradeRule::table));
        list
    }

    /// Gold caught an hour by its size, a column for each hole.
    fn by_size(&self, name: &str, c: &Contest) -> TableFile {
        let mut columns = vec!["from_mm".to_string(), "to_mm".into(), "fed_g_per_h".into()];
        columns.extend(c.arms.iter().map(|a| format!("caught at {}, g_per_h", a.name)));
        let mut table = TableFile { name: name.into(), columns, rows: Vec::new() };
        let fed = |g: usize| c.arms.first().map_or(0.0, |a| a.fed_by_class[g] / a.trials() as f64);
        for g in (0..GOLD_CLASSES).filter(|g| fed(*g) > 0.0) {
            let class = gold_class(g);
            let mut row: Vec<Cell> =
                vec![(class.from_m * 1e3).into(), (class.to_m * 1e3).into(), (fed(g) * G_H_PER_KG_S).into()];
            row.extend(c.arms.iter().map(|a| Cell::from(a.caught_by_class[g] / a.trials() as f64 * G_H_PER_KG_S)));
            table.row(row);
        }
        table
    }

    /// Shares of the gold fed by stage and reason, a column for each hole.
    fn losses(&self, name: &str, c: &Contest) -> TableFile {
        let mut columns = vec!["stage".to_string(), "reason".into()];
        columns.extend(c.arms.iter().map(|a| format!("share of fed at {}", a.name)));
        let mut table = TableFile { name: name.into(), columns, rows: Vec::new() };
        let Some(first) = c.arms.first() else { return table };
        for note in &first.notes {
            let share = |a: &Arm| a.lost_share(|n| n == note, |_| true);
            if c.arms.iter().any(|a| share(a) > 1e-9) {
                let mut row: Vec<Cell> = vec![note.stage.clone().into(), note.reason.name.into()];
                row.extend(c.arms.iter().map(|a| Cell::from(share(a))));
                table.row(row);
            }
        }
        table
    }

    fn figures(&self) -> Result<Vec<Figure>, FigureError> {
        let gold = |c: &Contest, name: &str| {
            let s: Vec<_> = (0..c.arms.len()).map(|i| c.gold_g_h(i)).collect();
            curve(name, &s)
        };
        let pair = |name: String, a: Curve, b: Curve| Panel { name, curves: vec![a, b] };
        let against = |c: &Contest, name: &str, money: bool| curve(name, &c.against(&self.present, money));
        let mut panels = vec![
            pair("Raw gold caught, g/h".into(), gold(&self.retuned, "box re-tuned"), gold(&self.as_built, "as built")),
            pair(
                "More (or less) than the present plant, g/h".into(),
                against(&self.retuned, "box re-tuned", false),
                against(&self.as_built, "as built", false),
            ),
        ];
        let chance = |c: &Contest| c.gold.as_ref().map_or_else(Vec::new, |g| g.chance_best.clone());
        let mut chances =
            vec![("re-tuned".to_string(), chance(&self.retuned)), ("as built".to_string(), chance(&self.as_built))];
        if let (Some(a), Some(b)) = (&self.retuned.money, &self.as_built.money) {
            panels.push(pair(
                format!("More (or less) money a season, {}", currency(&self.base.plant)),
                against(&self.retuned, "box re-tuned", true),
                against(&self.as_built, "as built", true),
            ));
            chances = vec![
                ("re-tuned, by money".to_string(), a.chance_best.clone()),
                ("as built, by money".to_string(), b.chance_best.clone()),
            ];
        }
        let x: Vec<f64> = self.holes_m.iter().map(|m| log10(*m)).collect();
        let inside = self.holes_m.first() <= Some(&self.present_m) && Some(&self.present_m) <= self.holes_m.last();
        let figure = curves(&Curves {
            file: "holes",
            title: hole_words::headline(self),
            axis: format!("Hole of {} (dotted: present plant)", self.screen),
            x,
            names: self.names.clone(),
            panels,
            chances,
            present: inside.then(|| log10(self.present_m)),
        })?;
        Ok(vec![figure])
    }
}

fn curve(name: &str, s: &[sim_core::stats::summary::Summary]) -> Curve {
    Curve {
        name: name.into(),
        mean: s.iter().map(|s| s.mean).collect(),
        low: s.iter().map(|s| s.pctl_10).collect(),
        high: s.iter().map(|s| s.pctl_90).collect(),
    }
}
