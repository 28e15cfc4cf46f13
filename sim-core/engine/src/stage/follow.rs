//! How a stage is set anew when what comes to it changes: other holes let other rock through, and a box set for gravel of one
//! size catches less under another.

use crate::stream::Stream;
use washgraph_units::quantity::{Dimension, Phrase};

/// What a stage is told when it is asked how it would be set anew.
pub struct ResetSite<'a> {
    /// What comes to its first inlet now, in the middle case.
    pub feed: &'a Stream,
    /// Density of the rock, kg/m3.
    pub rock_density_kg_m3: f64,
    /// Largest rock to set it for, m.
    pub largest_rock_m: f64,
    /// What holds for one of its settings in SI, of a spread the middle; NaN when nothing does.
    pub setting: &'a dyn Fn(&str) -> f64,
    /// The word that holds for one of its settings.
    pub word: &'a dyn Fn(&str) -> Option<String>,
    /// Another value for one of the assumptions of its rules, by name, SI; `None` leaves the usual one.
    pub assumed: &'a dyn Fn(&str) -> Option<f64>,
}

/// A stage set anew.
#[derive(Debug, Clone, PartialEq)]
pub struct Reset {
    /// Settings of its own with their new values, as a scenario writes them.
    pub settings: Vec<(&'static str, String)>,
    /// Water that it then wants of its own outlets, m3/s.
    pub water_m3_s: f64,
    /// What was set, in words.
    pub words: Phrase,
}

/// Something that the rules by which a kind is set anew assume, and the values that it may as well have: who asks how far an
/// answer hangs on it tries them all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumption {
    /// Name by which the stage asks for it, snake_case, with its SI unit where it has one: `least_depth_m`.
    pub name: &'static str,
    /// In plain words, `{}` for its values: `least depth of {}`.
    pub words: &'static str,
    /// Its dimension.
    pub dimension: Dimension,
    /// Values to try, rising, SI.
    pub values: &'static [f64],
}
