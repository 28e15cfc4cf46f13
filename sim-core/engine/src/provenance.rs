//! What a result stands on beside settings: the program, the files that the scenario names, with their fingerprints, and the tuned
//! file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// The program that makes a result, as results, tuned files and shop sheets name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Program {
    /// Its name, that of the command.
    pub name: &'static str,
    /// Its version.
    pub version: &'static str,
}

impl Program {
    /// washgraph with the standard kinds.
    pub const WASHGRAPH: Program = Program { name: "washgraph", version: env!("CARGO_PKG_VERSION") };
}

impl Default for Program {
    fn default() -> Self {
        Program::WASHGRAPH
    }
}

/// A file that a scenario names, as it was when it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct SourceFile {
    /// Name as the scenario writes it, relative to its folder.
    pub name: String,
    /// SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

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

/// SHA-256 of bytes, in hexadecimal (FIPS 180-4).
pub fn sha256_of(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

/// Bytes in hexadecimal.
pub fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 example: the digest of "abc".
    #[test]
    fn published_digest_of_abc() {
        assert_eq!(sha256_of(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
