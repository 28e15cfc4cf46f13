//! What a result says of the tuning that it stands on.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::TunedFile;

/// The tuned file behind a result.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TunedNote {
    /// Name of the file.
    pub file: String,
    /// Observations of the plant that it stands on.
    pub observations: usize,
    /// Date of the first; empty when not given.
    pub first: String,
    /// Date of the last.
    pub last: String,
    /// How many independent trials the tuning is worth.
    pub effective_trials: f64,
    /// Constants that it bears on.
    pub constants: usize,
    /// Constants of the file that are not used, because the scenario has been changed since.
    pub left_out: usize,
}

impl TunedNote {
    pub(crate) fn new(name: &str, file: &TunedFile, constants: usize, left_out: usize) -> TunedNote {
        TunedNote {
            file: name.to_string(),
            observations: file.observations,
            first: file.first.clone(),
            last: file.last.clone(),
            effective_trials: file.effective_trials,
            constants,
            left_out,
        }
    }

    /// One line for verdict and report.
    pub fn words(&self) -> String {
        let dates = match (self.first.as_str(), self.last.as_str()) {
            ("", "") => String::new(),
            (a, b) if a == b || b.is_empty() => format!(", {a}"),
            (a, b) => format!(", {a} to {b}"),
        };
        let count = match self.observations {
            1 => "1 observation".to_string(),
            n => format!("{n} observations"),
        };
        let left = match self.left_out {
            0 => String::new(),
            n => format!(" {n} constants changed since are not tuned."),
        };
        format!("Constants tuned on {count} of the plant{dates} ({}).{left}", self.file)
    }
}
