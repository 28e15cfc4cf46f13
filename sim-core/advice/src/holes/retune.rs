//! Stages re-set for what other holes let through: each kind has its own rules, and is asked by them in the middle case.
//!
//! The water on a box is what then lacks. Where a pump feeds it, the hose is made wide enough, as far as the pump gives.
//! The drum, the sprays and the feed stay as built; the pitch of the holes keeps its ratio to the hole.

use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, format, parse, show};
use sim_core::stage::ResetSite;
use sim_core::trial::Worker;
use washgraph_model::variant::PathError;

use crate::plants::base::{Base, Change};

/// Bores of hose that are tried, m.
const HOSES_M: (f64, f64) = (0.01, 0.30);
/// Kind of the outlet that gives a box its own water.
const MAKE_UP: &str = "make-up";
/// Halvings of that range: to a thousandth.
const HALVINGS: usize = 12;

/// What the rules leave open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// Depth wanted over the largest rock, c_h; `None` as the box has it.
    pub cover_ratio: Option<f64>,
    /// Least depth, m; `None` as the box has it.
    pub least_depth_m: Option<f64>,
    /// Largest rock over the hole; `None` as the plant's own screen says.
    pub rock_per_hole: Option<f64>,
    /// Whether the water is limited by the pump that feeds the box.
    pub within_pump: bool,
}

/// The usual rules.
pub const USUAL: Rules = Rules { cover_ratio: None, least_depth_m: None, rock_per_hole: None, within_pump: true };

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
            assumed: &|name| match name {
                "cover_ratio" => rules.cover_ratio,
                "least_depth" => rules.least_depth_m,
                _ => None,
            },
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
    fn water(
        &mut self,
        base: &Base<'_>,
        plant: &Plant,
        id: &str,
        wanted_m3_s: f64,
        rules: &Rules,
    ) -> Result<(), PathError> {
        let Some(at) = plant.outlets.iter().position(|o| o.on == id && o.kind == MAKE_UP) else {
            self.words.push(format!("{id}: has no water of its own; its water stays as it comes from the drum"));
            return Ok(());
        };
        let outlet = plant.outlets.get(at).map_or("", |o| o.id.as_str());
        let flow = format!("{outlet}.flow");
        let is_set = base.list.iter().any(|s| s.path == flow && s.given.is_some());
        if is_set || !rules.within_pump {
            let text = format(1e-6 * (wanted_m3_s * 1e6).round(), Dimension::Flow, "m3/s").unwrap_or_default();
            self.changes.push((base.find(&flow)?, text));
            return Ok(());
        }
        // A hose on a pump: its bore by halving, so that the middle case gives the water wanted.
        let bore = base.find(&format!("{outlet}.hose_bore"))?;
        let (mut low, mut high) = HOSES_M;
        for _ in 0..HALVINGS {
            let middle = (low * high).sqrt();
            let mut changes = self.changes.clone();
            changes.push((bore.clone(), written_bore(middle)));
            let given = base.variant(&changes).map(|p| {
                let worker = Worker::new(&p, p.seed);
                worker.outlets.get(at).map_or(0.0, |o| o.flow_m3_s)
            });
            match given {
                Ok(flow) if flow < wanted_m3_s => low = middle,
                // What the network refuses (a hose too wide for the pump) is too wide.
                _ => high = middle,
            }
        }
        self.changes.push((bore, written_bore(low)));
        Ok(())
    }
}

fn written_bore(bore_m: f64) -> String {
    format(1e-5 * (bore_m * 1e5).round(), Dimension::Length, "m").unwrap_or_default()
}

impl Base<'_> {
    /// What holds at a path in SI; NaN when nothing does. Of a spread the middle.
    pub fn si(&self, path: &str) -> f64 {
        let Some(found) = self.list.iter().find(|s| s.path == path) else { return f64::NAN };
        let dimension = found.setting.dimension().unwrap_or(Dimension::Number);
        found.in_force().and_then(|text| parse(text, dimension).ok()).map_or(f64::NAN, |p| p.si)
    }
}
