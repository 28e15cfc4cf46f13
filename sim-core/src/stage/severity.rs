//! How much a warning of the running plant matters. Problems of a scenario have a scale of their own
//! ([`crate::problem::Severity`]): they are about what was written, warnings about what the plant does.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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
    /// The word in files and on every face.
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
