//! Limits that a plant must keep: `short <= 10 %`, `water <= 400 US gpm`, `drum.bed_power <= 5 hp`.

use sim_core::plant::Plant;
use sim_core::problem::did_you_mean;
use sim_core::quantity::{Dimension, UnitChoice, parse, show};
use washgraph_model::paired::DesignRun;
use washgraph_model::variant::PathError;

use crate::plants::contest::{fine_loss, mean, oversize_loss};

/// What is limited.
#[derive(Debug, Clone, PartialEq)]
enum What {
    /// Share of the runs short of water.
    Short,
    /// Water supplied.
    Water,
    /// Greatest need for water.
    Need,
    /// Share of the gold lost over the end of the drum.
    OverEnd,
    /// Share of the gold that is fine and lost in a box.
    FineLost,
    /// The mean of a measure of a stage.
    Measure(String, String),
}

/// A limit.
#[derive(Debug, Clone)]
pub struct Limit {
    what: What,
    dimension: Dimension,
    at_most: bool,
    value: f64,
    /// As typed.
    pub text: String,
}

const NAMED: [(&str, What, Dimension); 5] = [
    ("short", What::Short, Dimension::Fraction),
    ("water", What::Water, Dimension::Flow),
    ("need", What::Need, Dimension::Flow),
    ("over-end", What::OverEnd, Dimension::Fraction),
    ("fine-lost", What::FineLost, Dimension::Fraction),
];

impl Limit {
    /// The limit that always holds: a plant short of water in half of the runs is no plant.
    pub fn supply() -> Limit {
        Limit {
            what: What::Short,
            dimension: Dimension::Fraction,
            at_most: true,
            value: 0.5,
            text: "short of water in at most half of the runs".into(),
        }
    }

    /// Reads a limit for a plant.
    pub fn read(text: &str, plant: &Plant) -> Result<Limit, PathError> {
        let error = |message: String, help: String| PathError { message, help };
        let form = "write e.g. --limit \"short <= 10 %\", --limit \"water <= 400 US gpm\" or --limit \"drum.bed_power <= 5 hp\"";
        if text.split_whitespace().collect::<String>() == "need<=supply" {
            return Ok(Limit::supply());
        }
        let Some((name, at_most, value)) = text
            .split_once("<=")
            .map(|(n, v)| (n, true, v))
            .or_else(|| text.split_once(">=").map(|(n, v)| (n, false, v)))
        else {
            return Err(error(format!("`{text}` is not a limit"), form.into()));
        };
        let name = name.trim();
        let (what, dimension) = match NAMED.iter().find(|n| n.0 == name) {
            Some((_, what, dimension)) => (what.clone(), *dimension),
            None => Limit::measure(name, plant)?,
        };
        let parsed =
            parse(value.trim(), dimension).map_err(|e| error(format!("limit `{text}`: {}", e.message), e.help))?;
        Ok(Limit { what, dimension, at_most, value: parsed.si, text: text.trim().to_string() })
    }

    /// A measure by `stage.name`.
    fn measure(name: &str, plant: &Plant) -> Result<(What, Dimension), PathError> {
        let mut known: Vec<(String, String, Dimension)> = Vec::new();
        for node in &plant.nodes {
            for m in plant.measures.get(node.measures.clone()).unwrap_or_default() {
                if !matches!(m.role, sim_core::stage::Role::Profile { .. }) {
                    known.push((node.id.clone(), m.name.clone(), m.dimension));
                }
            }
        }
        if let Some((stage, measure, dimension)) = known.iter().find(|(s, m, _)| format!("{s}.{m}") == name) {
            return Ok((What::Measure(stage.clone(), measure.clone()), *dimension));
        }
        let names: Vec<String> =
            NAMED.iter().map(|n| n.0.to_string()).chain(known.iter().map(|(s, m, _)| format!("{s}.{m}"))).collect();
        let help = match did_you_mean(name, names.iter().map(String::as_str)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("known: {}", names.join(", ")),
        };
        Err(PathError { message: format!("nothing to limit is called `{name}`"), help })
    }

    fn of(&self, design_run: &DesignRun) -> f64 {
        match &self.what {
            What::Short => design_run.short_share,
            What::Water => mean(&design_run.supply),
            What::Need => mean(&design_run.need),
            What::OverEnd => oversize_loss(design_run),
            What::FineLost => fine_loss(design_run),
            What::Measure(stage, name) => design_run.measure(stage, name),
        }
    }

    /// Whether a plant keeps it.
    pub fn kept(&self, design_run: &DesignRun) -> bool {
        let value = self.of(design_run);
        if self.at_most { value <= self.value * (1.0 + 1e-12) } else { value >= self.value * (1.0 - 1e-12) }
    }

    /// What a plant comes to, in words.
    pub fn shown(&self, design_run: &DesignRun, units: UnitChoice) -> String {
        show(self.of(design_run), self.dimension, units)
    }

    /// How far a plant misses it, relative to the limit; 0 when it is kept. For finding the plant that comes nearest.
    pub fn missed_by(&self, design_run: &DesignRun) -> f64 {
        if self.kept(design_run) { 0.0 } else { (self.of(design_run) - self.value).abs() / self.value.abs().max(1e-9) }
    }
}
