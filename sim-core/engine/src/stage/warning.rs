//! Warnings of the running plant and how much each matters. Problems of a scenario have a scale of their own
//! ([`washgraph_units::problem::Severity`]): they are about what was written, warnings about what the plant does.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use washgraph_units::quantity::Phrase;

/// How much a warning matters, least first. Written in files as the lower-case word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// The result is less sure than it looks, or gold is lost.
    Caution,
    /// The plant does not work as meant.
    Limit,
}

impl Severity {
    /// The word in files and on every frontend.
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Caution => "caution",
            Severity::Limit => "limit",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A warning that a stage may raise in a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct Warning {
    /// Name in files, kebab-case.
    pub id: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Plain words with remedy; quantities stand as values, so that each frontend says them in the units of its reader.
    pub text: Phrase,
}
