//! Curves that a stage draws of its middle case: how one of its numbers answers to another.
//!
//! A run tells how numbers spread; a curve tells what a builder would get if he turned one of them. Stages offer them
//! ([`crate::stage::Stage::curves`]); figures draw them by name.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use washgraph_units::quantity::{Dimension, usual_of};

/// Curves over one common axis.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Curves {
    /// Stage.
    pub stage: String,
    /// Name, kebab-case; figures go by it.
    pub name: String,
    /// What they show, in plain words.
    pub words: String,
    /// What runs across.
    pub across: Axis,
    /// Positions across, rising, SI.
    pub x: Vec<f64>,
    /// Where the plant stands now, across, SI.
    pub now: Option<f64>,
    /// Panels, one above the other.
    pub panels: Vec<Panel>,
    /// Things to be drawn in at a place across, such as rings.
    pub marks: Vec<Mark>,
}

/// What an axis shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(from = "AxisAsWritten", into = "AxisAsWritten")]
pub struct Axis {
    /// Plain words.
    pub words: String,
    /// Kind of quantity of the numbers, which stand in SI.
    pub dimension: Dimension,
}

impl Axis {
    /// An axis of a quantity.
    pub fn new(words: impl Into<String>, dimension: Dimension) -> Self {
        Axis { words: words.into(), dimension }
    }
}

/// [`Axis`] as it stands in a file.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
struct AxisAsWritten {
    /// Plain words.
    words: String,
    /// SI unit of the numbers, or "-".
    unit: String,
    /// Kind of quantity in plain words.
    quantity: String,
    /// Kind of quantity, by which the units of the trade are chosen; absent in older files.
    #[serde(default)]
    dimension: Option<Dimension>,
}

impl From<Axis> for AxisAsWritten {
    fn from(axis: Axis) -> Self {
        let d = axis.dimension;
        AxisAsWritten { words: axis.words, unit: d.si_symbol().into(), quantity: d.name().into(), dimension: Some(d) }
    }
}

impl From<AxisAsWritten> for Axis {
    fn from(written: AxisAsWritten) -> Self {
        Axis { words: written.words, dimension: written.dimension.unwrap_or_else(|| usual_of(&written.quantity)) }
    }
}

/// Lines of one quantity.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Panel {
    /// What runs upwards.
    pub up: Axis,
    /// The lines.
    pub lines: Vec<Line>,
}

/// One line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Line {
    /// What it stands for.
    pub words: String,
    /// Values at the positions, SI; `None` where there is none.
    pub y: Vec<Option<f64>>,
}

/// Something at a place across.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mark {
    /// Place across, SI.
    pub at: f64,
    /// Height in the first panel, SI; 0 for a mere border.
    pub height: f64,
    /// What it is.
    pub words: String,
}
