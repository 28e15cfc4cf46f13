//! What the report says beside the result itself: what was understood, where the ground is known from, what the models rest on,
//! and what single changes would do.

use sim_core::check::Kind;
use sim_core::plant::{Plant, Understood};
use sim_core::quantity::show;
use sim_core::registry::Registry;

use crate::report::grid::{Grid, Piece};
use washgraph_advice::changes::tried::Changes;

/// All of it.
#[derive(Default)]
pub struct Backing {
    /// What was understood of the scenario.
    pub understood: Vec<Understood>,
    /// Where gradation and gold come from.
    pub samples: Vec<String>,
    /// What the samples lack.
    pub findings: Vec<String>,
    /// Whether the gold is counted, or only believed.
    pub sampled: bool,
    /// Uncertain inputs: meaning, spread, nature, source.
    pub inputs: Vec<[String; 4]>,
    /// Model and purpose of each stage.
    pub models: Vec<[String; 2]>,
    /// Laws of the whole program, published sources, and what the comparison is worth.
    pub sources: Vec<Source>,
    /// Single changes, each tried.
    pub changes: Changes,
    /// What would bring enough water, line by line.
    pub remedies: String,
}

impl Backing {
    /// Of a plant.
    pub fn of(plant: &Plant, registry: &Registry, changes: Changes, remedies: &str) -> Backing {
        let known = &plant.ground.known;
        let inputs = plant.inputs.all().iter().map(|i| {
            let name = format!("{} ({})", i.meaning, i.name);
            [
                name,
                i.spread.describe(|x| show(x, i.dimension, plant.units)),
                i.nature.word().to_string(),
                i.source.clone(),
            ]
        });
        Backing {
            understood: plant.understood.clone(),
            samples: known.provenance.clone(),
            findings: known.findings.iter().map(|f| f.say(plant.units)).collect(),
            sampled: known.samples.is_some(),
            inputs: inputs.collect(),
            models: plant.nodes.iter().map(|n| [n.kind.model.into(), n.kind.purpose.into()]).collect(),
            sources: sources(registry),
            changes,
            remedies: remedies.to_string(),
        }
    }

    /// The uncertain inputs as a table.
    pub fn inputs_grid(&self) -> Grid {
        let heads = [("Input", "input"), ("Taken as", "spread"), ("Because it", "nature"), ("Where from", "source")];
        let rows = self.inputs.iter().map(|r| r.iter().map(|t| Piece::from(t.clone())).collect());
        Grid::new("uncertain-inputs", &heads, rows.collect())
    }

    /// The models as a table.
    pub fn models_grid(&self) -> Grid {
        let heads = [("Model", "model"), ("What it does", "purpose")];
        let rows = self.models.iter().map(|r| r.iter().map(|t| Piece::from(t.clone())).collect());
        Grid::new("models", &heads, rows.collect())
    }

    /// The sources as a table.
    pub fn sources_grid(&self) -> Grid {
        let heads = [("Law", "law"), ("Published in", "source"), ("It was", "worth")];
        let rows = self.sources.iter().map(|s| {
            let worth = if s.set_on_it { "set on it: no proof" } else { "checked against it" };
            vec![s.model.into(), s.source.into(), worth.into()]
        });
        Grid::new("sources", &heads, rows.collect())
    }

    /// What was understood as a table.
    pub fn understood_grid(&self) -> Grid {
        let heads = [("Of", "of"), ("What", "what"), ("Value", "value"), ("Where from", "where_from")];
        let rows = self.understood.iter().flat_map(|u| {
            u.rows.iter().map(|r| {
                let from = if r.given { "given" } else { "assumed" };
                vec![u.owner.clone().into(), r.meaning.clone().into(), r.value.clone().into(), from.into()]
            })
        });
        Grid::new("inputs", &heads, rows.collect())
    }
}

/// A published source that a law was compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    pub model: &'static str,
    pub source: &'static str,
    /// Whether a constant was set on it, so that the comparison proves nothing.
    pub set_on_it: bool,
}

/// Each law that was checked against something published, with its source, once.
fn sources(registry: &Registry) -> Vec<Source> {
    let mut list: Vec<Source> = Vec::new();
    for check in washgraph_model::handbook::checks(registry) {
        let set_on_it = match check.kind {
            Kind::Published => false,
            Kind::PublishedUsedInFit => true,
            Kind::Identity => continue,
        };
        let source = Source { model: check.model, source: check.source, set_on_it };
        if !list.contains(&source) {
            list.push(source);
        }
    }
    list
}
