//! What a scenario was made of: its own text and the files that it names, with their fingerprints.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// A file that a scenario names, as it was when it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct SourceFile {
    /// Name as the scenario writes it, relative to its folder.
    pub name: String,
    /// SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

/// Collects the files read on the way to a plant, and the fingerprint of all.
#[derive(Debug, Default)]
pub(super) struct Sources {
    whole: Sha256,
    files: Vec<SourceFile>,
}

impl Sources {
    /// Begins with the text of the scenario.
    pub(super) fn of(scenario: &str) -> Sources {
        let mut sources = Sources::default();
        sources.whole.update(scenario.as_bytes());
        sources
    }

    /// Notes a file that was read.
    pub(super) fn note(&mut self, name: &str, bytes: &[u8]) {
        self.whole.update(bytes);
        if !self.files.iter().any(|f| f.name == name) {
            self.files.push(SourceFile { name: name.to_string(), sha256: sha256_of(bytes) });
        }
    }

    /// The fingerprint of everything, and the files in the order of reading.
    pub(super) fn finish(self) -> (String, Vec<SourceFile>) {
        (hexadecimal(&self.whole.finalize()), self.files)
    }
}

/// SHA-256 of bytes, in hexadecimal (FIPS 180-4).
pub fn sha256_of(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

fn hexadecimal(bytes: &[u8]) -> String {
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

    #[test]
    fn identity_the_whole_is_the_digest_of_all_bytes_in_turn() {
        let mut sources = Sources::of("a");
        sources.note("b.csv", b"b");
        sources.note("b.csv", b"c");
        let (whole, files) = sources.finish();
        assert_eq!(whole, sha256_of(b"abc"));
        assert_eq!(files.len(), 1);
        assert_eq!(files[0].sha256, sha256_of(b"b"));
    }
}
