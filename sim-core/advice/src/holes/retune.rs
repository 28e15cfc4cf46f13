//! Stages re-set for what other holes let through: each kind has its own rules, and is asked by them in the middle case.
//!
//! The water on a box is what then lacks. Where a pump feeds it, the hose is the narrowest sold that is wide enough, as far as
//! the pump gives, with a valve closed as far as the water allows.
//! The drum, the sprays and the feed stay as built; the pitch of the holes keeps its ratio to the hole.

use sim_core::hydraulics::fitting::GATE_VALVE;
use sim_core::lever::Serves;
use sim_core::plant::{OutletNode, Plant};
use sim_core::quantity::{Dimension, format, parse, show};
use sim_core::stage::ResetSite;
use sim_core::stock::{Item, Stock};
use sim_core::trial::Worker;
use washgraph_model::variant::PathError;

use crate::plants::base::{Base, Change};

/// What the rules leave open.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules {
    /// Other values for what the kinds assume in their rules, each by its name, SI; what is not here is as they have it.
    pub assumed: Vec<(&'static str, f64)>,
    /// Largest rock over the hole; `None` as the plant's own screen says.
    pub rock_per_hole: Option<f64>,
    /// Whether the water is limited by the pump that feeds the box.
    pub within_pump: bool,
}

/// The usual rules.
pub const USUAL: Rules = Rules { assumed: Vec::new(), rock_per_hole: None, within_pump: true };

/// Re-set boxes.
#[derive(Debug, Clone, Default)]
pub struct Retuned {
    /// The changes.
    pub changes: Vec<Change>,
    /// What was changed, box by box, in words.
    pub words: Vec<String>,
    /// Water that the rules want on the boxes, m3/s.
    pub box_water_m3_s: f64,
}

/// Re-sets the boxes of a plant whose holes have been changed. `plant` is that plant, `hole_m` its hole; `changes` made it.
pub fn retune(
    base: &Base<'_>,
    plant: &Plant,
    hole_m: f64,
    changes: &[Change],
    rules: &Rules,
) -> Result<Retuned, PathError> {
    let units = plant.units;
    let worker = Worker::new(plant, plant.seed);
    let mut out = Retuned { changes: changes.to_vec(), ..Retuned::default() };
    // The largest rock anywhere in the plant: no hole lets through more than comes.
    let top_m = (0..plant.slots).filter_map(|s| worker.stream(s)).map(|s| s.largest_m).fold(0.0, f64::max);
    for node in &plant.nodes {
        let Some(feed) = node.inlets.first().copied().flatten().and_then(|slot| worker.stream(slot)) else { continue };
        let id = node.id.as_str();
        let site = ResetSite {
            feed,
            rock_density_kg_m3: worker.ground.rock_density_kg_m3,
            largest_rock_m: rules.rock_per_hole.map_or(feed.largest_m, |f| (f * hole_m).min(top_m)),
            setting: &|key| base.si(&format!("{id}.{key}")),
            word: &|key| base.in_force(&format!("{id}.{key}")).map(str::to_string),
            assumed: &|name| rules.assumed.iter().find(|a| a.0 == name).map(|a| a.1),
        };
        let Some(reset) = node.stage.reset(&site) else { continue };
        out.box_water_m3_s += reset.water_m3_s;
        for (key, value) in reset.settings {
            out.changes.push((base.find(&format!("{id}.{key}"))?, value));
        }
        out.water(base, plant, id, reset.water_m3_s, rules)?;
        out.words.push(format!("{id}: {}", reset.words.shown(|si, d| show(si, d, units))));
    }
    Ok(out)
}

impl Retuned {
    /// Sets the water on a box.
    fn water<'p>(
        &mut self,
        base: &Base<'_>,
        plant: &'p Plant,
        id: &str,
        wanted_m3_s: f64,
        rules: &Rules,
    ) -> Result<(), PathError> {
        let own = plant.outlets.iter().enumerate().filter(|(_, o)| o.on == id);
        let with_flow =
            |(at, o): (usize, &'p OutletNode)| Some((at, o.id.as_str(), base.lever_of(&o.id, Serves::OwnWater)?));
        let Some((at, outlet, flow)) = own.filter_map(with_flow).next() else {
            self.words.push(format!("{id}: has no water of its own; its water stays as it comes from the drum"));
            return Ok(());
        };
        if flow.at.given.is_some() || !rules.within_pump {
            let text = format(1e-6 * (wanted_m3_s * 1e6).round(), Dimension::Flow, "m3/s").unwrap_or_default();
            self.changes.push((base.find(&flow.at.path)?, text));
            return Ok(());
        }
        let Some(hose) = base.lever_of(outlet, Serves::OwnHose) else {
            self.words.push(format!("{outlet}: has no hose that could be another; its water stays as it is"));
            return Ok(());
        };
        let given_m3_s = |changes: &[Change]| -> Option<f64> {
            let plant = base.variant(changes).ok()?;
            let worker = Worker::new(&plant, plant.seed);
            Some(worker.outlets.get(at).map_or(0.0, |o| o.flow_m3_s))
        };
        let stock = base.stock_at(&hose.at.path).unwrap_or(Stock::of(Item::HoseBore, plant.units));
        let bore = base.find(&hose.at.path)?;
        let with_hose =
            |m: f64| -> Vec<Change> { self.changes.iter().cloned().chain([(bore.clone(), stock.say(m))]).collect() };
        // The narrowest hose sold that gives the water wanted in the middle case. What the network refuses (a hose too
        // wide for the pump) is too wide: the one below it has to do.
        let mut sound = stock.sizes_m.first().map_or_else(Vec::new, |m| with_hose(*m));
        let (mut low, mut high) = (0, stock.sizes_m.len());
        let mut is_enough = false;
        let mut hose_m = stock.sizes_m.first().copied().unwrap_or(f64::NAN);
        while low < high {
            let middle = (low + high) / 2;
            let Some(size_m) = stock.sizes_m.get(middle).copied() else { break };
            let changes = with_hose(size_m);
            match given_m3_s(&changes) {
                Some(flow) if flow < wanted_m3_s => {
                    low = middle + 1;
                    if !is_enough {
                        (sound, hose_m) = (changes, size_m);
                    }
                }
                Some(_) => {
                    high = middle;
                    (sound, hose_m, is_enough) = (changes, size_m, true);
                }
                None => high = middle,
            }
        }
        // More than is wanted is taken back by a valve, as far as it can be closed.
        let mut valve = "";
        if let Some(fittings) = base.lever_of(outlet, Serves::OwnFittings) {
            let path = base.find(&fittings.at.path)?;
            let fitted = base.in_force(&path.text()).unwrap_or_default();
            let is_valve = |w: &str| GATE_VALVE.iter().any(|v| w.ends_with(v.0));
            let words = fitted.split(',').map(str::trim).filter(|w| !w.is_empty() && *w != "none" && !is_valve(w));
            let others: Vec<&str> = words.collect();
            let open = sound.clone();
            for (word, said) in GATE_VALVE.into_iter().skip(1).filter(|_| is_enough) {
                let list = others.iter().copied().chain([word]).collect::<Vec<_>>().join(", ");
                let changes: Vec<Change> = open.iter().cloned().chain([(path.clone(), list)]).collect();
                if given_m3_s(&changes).is_none_or(|flow| flow < wanted_m3_s) {
                    break;
                }
                (sound, valve) = (changes, said);
            }
        }
        self.changes = sound;
        let valve = if valve.is_empty() { String::new() } else { format!(", its valve {valve}") };
        self.words.push(format!("{outlet}: hose of {}{valve}", stock.say(hose_m)));
        Ok(())
    }
}

impl Base<'_> {
    /// What holds at a path in SI; NaN when nothing does. Of a spread the middle.
    pub fn si(&self, path: &str) -> f64 {
        let Some(found) = self.list.iter().find(|s| s.path == path) else { return f64::NAN };
        let dimension = found.setting.dimension().unwrap_or(Dimension::Number);
        found.in_force().and_then(|text| parse(text, dimension).ok()).map_or(f64::NAN, |p| p.si)
    }
}
