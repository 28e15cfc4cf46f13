//! What the report says beside the result itself: what was understood, where the ground is known from, what the models rest on,
//! and what single changes would do.

use sim_core::check::Kind;
use sim_core::plant::{Plant, Understood};

use super::changes::Changes;
use super::grid::{Grid, Piece};

/// All of it.
#[derive(Default)]
pub(crate) struct Backing {
    pub understood: Vec<Understood>,
    /// Where gradation and gold come from.
    pub samples: Vec<String>,
    /// What the samples lack.
    pub findings: Vec<String>,
    /// Whether the gold is counted, or only believed.
    pub sampled: bool,
    /// Uncertain inputs: meaning, spread, nature, source.
    pub inputs: Vec<[String; 4]>,
    /// Model, purpose, published sources that it was checked against.
    pub models: Vec<[String; 3]>,
    pub changes: Changes,
    /// What would bring enough water, line by line.
    pub remedies: String,
}

impl Backing {
    /// Of a plant.
    pub fn of(plant: &Plant, changes: Changes, remedies: &str) -> Backing {
        let known = &plant.ground.known;
        let inputs = plant.inputs.all().iter().map(|i| {
            let unit = if i.unit == "-" { "" } else { i.unit };
            let name = format!("{} ({})", i.meaning, i.name);
            [name, i.spread.describe(unit), i.nature.word().to_string(), i.source.clone()]
        });
        Backing {
            understood: plant.understood.clone(),
            samples: known.provenance.clone(),
            findings: known.findings.clone(),
            sampled: known.samples.is_some(),
            inputs: inputs.collect(),
            models: models(plant),
            changes,
            remedies: remedies.to_string(),
        }
    }

    /// The uncertain inputs as a table.
    pub fn inputs_grid(&self) -> Grid {
        let heads =
            [("Input", "input"), ("Taken as", "spread"), ("Because it", "nature"), ("Where from", "source")];
        let rows = self.inputs.iter().map(|r| r.iter().map(|t| Piece::from(t.clone())).collect());
        Grid::new("uncertain-inputs", &heads, rows.collect())
    }

    /// The models as a table.
    pub fn models_grid(&self) -> Grid {
        let heads = [("Model", "model"), ("What it does", "purpose"), ("Checked against", "published_sources")];
        let rows = self.models.iter().map(|r| r.iter().map(|t| Piece::from(t.clone())).collect());
        Grid::new("models", &heads, rows.collect())
    }

    /// What was understood as a table.
    pub fn understood_grid(&self) -> Grid {
        let heads = [("Of", "of"), ("What", "what"), ("Value", "value"), ("Where from", "where_from")];
        let rows = self.understood.iter().flat_map(|u| {
            u.rows.iter().map(|(what, value, given)| {
                let from = if *given { "given" } else { "assumed" };
                vec![u.owner.clone().into(), what.clone().into(), value.clone().into(), from.into()]
            })
        });
        Grid::new("inputs", &heads, rows.collect())
    }
}

fn models(plant: &Plant) -> Vec<[String; 3]> {
    let mut list: Vec<[String; 3]> = Vec::new();
    for node in &plant.nodes {
        if list.iter().any(|m| m[0] == node.kind.model) {
            continue;
        }
        let mut sources: Vec<&str> = Vec::new();
        let mut fitted: Vec<&str> = Vec::new();
        for check in (node.kind.checks)() {
            match check.kind {
                Kind::Published if !sources.contains(&check.source) => sources.push(check.source),
                Kind::PublishedUsedInFit if !fitted.contains(&check.source) => fitted.push(check.source),
                _ => {}
            }
        }
        let mut text = if sources.is_empty() { String::new() } else { sources.join("; ") };
        if !fitted.is_empty() {
            let gap = if text.is_empty() { "" } else { ". " };
            text += &format!("{gap}Calibrated on (no proof): {}", fitted.join("; "));
        }
        if text.is_empty() {
            text = "nothing published: `washgraph stages` and `handbook` say what each law rests on".into();
        }
        list.push([node.kind.model.to_string(), node.kind.purpose.to_string(), text]);
    }
    list
}
