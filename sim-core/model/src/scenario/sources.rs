//! What a scenario was made of: its own text and the files that it names, with their fingerprints.

use sha2::{Digest, Sha256};

use sim_core::provenance::{SourceFile, hexadecimal, sha256_of};

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

#[cfg(test)]
mod tests {
    use super::*;

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
