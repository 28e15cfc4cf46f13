//! Files that the settings of a stage, a section or an outlet name: read here, so that provenance and `rerun` keep them.

use std::path::Path;

use super::sources::Sources;
use sim_core::owner_file;
use sim_core::problem::Problems;
use sim_core::setting::{Kind, Setting, Settings};

/// Largest file that a setting may name, bytes. Such a file has some tables; the limit guards against a wrong one.
const MOST_BYTES: u64 = 1_000_000;

/// Where files are looked for, and who notes what was read.
pub(super) struct NamedFiles<'a> {
    /// Folder of the scenario.
    pub(super) folder: &'a Path,
    /// What was read so far.
    pub(super) sources: &'a mut Sources,
}

impl NamedFiles<'_> {
    /// Reads the files that a table names and keeps their texts with its settings.
    pub(super) fn read(&mut self, settings: &mut Settings, declared: &[Setting], problems: &mut Problems) {
        for setting in declared.iter().filter(|s| matches!(s.kind, Kind::File { .. })) {
            let name = settings.word(setting.key).to_string();
            if !settings.was_given(setting.key) {
                continue;
            }
            match owner_file::read_text(&self.folder.join(&name), &name, "file of tables", MOST_BYTES) {
                Ok(text) => {
                    self.sources.note(&name, text.as_bytes());
                    settings.put_file(setting.key, text);
                }
                Err(why) => {
                    problems.error(settings.place(setting.key), why.to_string(), "it is looked for beside the scenario")
                }
            }
        }
    }
}
