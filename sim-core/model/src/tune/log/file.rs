//! The file of a log as it is on disk.

use std::path::Path;

use sim_core::owner_file;

/// Largest log that is read as TOML, and as a sheet.
const MOST_TOML: u64 = 2_000_000;
const MOST_SHEET: u64 = sim_core::field::MOST_BYTES;

/// A log as read from disk, not yet understood.
#[derive(Debug, Clone)]
pub struct LogFile {
    /// Name as shown.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Its text when it is TOML: problems have places in it. Empty for a sheet, whose problems name row and column.
    pub text: String,
    /// Whether it is TOML.
    pub(super) is_toml: bool,
}

impl LogFile {
    /// A log from its bytes; TOML if the name ends so, else a sheet.
    pub fn of_bytes(name: &str, bytes: Vec<u8>) -> Result<LogFile, String> {
        let is_toml = name.to_lowercase().ends_with(".toml");
        let text = if is_toml {
            owner_file::text_of(bytes.clone(), name).map_err(|why| why.to_string())?
        } else {
            String::new()
        };
        Ok(LogFile { name: name.to_string(), bytes, text, is_toml })
    }
}

/// Reads a log file; the error says what is wrong in plain words.
pub fn open(path: &Path) -> Result<LogFile, String> {
    let shown = path.display().to_string();
    let most = if shown.to_lowercase().ends_with(".toml") { MOST_TOML } else { MOST_SHEET };
    let bytes = owner_file::read(path, &shown, "log", most).map_err(|why| why.to_string())?;
    LogFile::of_bytes(&shown, bytes)
}
