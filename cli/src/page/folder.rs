//! The scenarios of one folder. Nothing outside it is read or written: names are plain file names, links are not
//! followed, and a scenario that names a file elsewhere is refused.

use std::io::Write;
use std::ops::Range;
use std::path::{Path, PathBuf};

use serde_spanned::Spanned;
use toml::de::{DeTable, DeValue};
use washgraph_model::scenario::Opened;

/// Largest scenario that the page opens; a scenario is a few kilobytes.
const MOST_BYTES: u64 = 1_000_000;
/// Most scenarios that are listed.
const MOST_LISTED: usize = 300;
const LONGEST_NAME: usize = 100;
const ENDING: &str = ".toml";
/// Names that some systems give to devices.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// A folder whose scenarios the page opens.
pub(super) struct Folder {
    root: PathBuf,
}

/// A scenario as listed.
#[derive(Debug)]
pub(super) struct Entry {
    pub name: String,
    pub title: String,
    pub question: String,
}

/// What a scenario says of files.
#[derive(Debug, Default)]
pub(super) struct Survey {
    /// Places that name something outside the folder, or that is no plain file.
    pub strays: Vec<Range<usize>>,
    /// State of each file that is named: a result is remembered until one of them changes.
    pub marks: Vec<String>,
}

/// Why a scenario was not saved.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum SaveError {
    /// The name cannot be used.
    Name(String),
    /// A file of that name is there; the mark says which one, for a replacement that the user asks for.
    Exists(String),
    /// The system refused.
    System(String),
}

/// A plain name of a scenario file, or what is wrong with it.
pub(super) fn file_name(name: &str) -> Result<&str, String> {
    let stem = name.strip_suffix(ENDING).unwrap_or_default();
    let device = stem.split('.').next().unwrap_or_default().to_lowercase();
    let device = device.trim_end_matches(|c: char| c.is_ascii_digit());
    let plain = |c: char| c.is_alphanumeric() || " -_.()+,".contains(c);
    if stem.is_empty() {
        Err("the name of a scenario ends in .toml, e.g. my-plant.toml".into())
    } else if name.len() > LONGEST_NAME {
        Err("the name is too long".into())
    } else if stem.starts_with(['.', ' ']) || stem.ends_with(['.', ' ']) || !name.chars().all(plain) {
        Err("use letters, digits, dashes and underscores only, e.g. my-plant.toml".into())
    } else if DEVICES.contains(&device) {
        Err("some systems keep this name for a device: choose another".into())
    } else {
        Ok(name)
    }
}

impl Folder {
    /// Opens a folder.
    pub fn open(path: &Path) -> Result<Folder, String> {
        let root = path.canonicalize().map_err(|e| format!("cannot open {}: {e}", path.display()))?;
        Ok(Folder { root })
    }

    /// The folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Its scenarios, by name.
    pub fn scenarios(&self) -> Vec<Entry> {
        let mut names: Vec<String> = std::fs::read_dir(&self.root)
            .into_iter()
            .flatten()
            .flatten()
            .filter_map(|e| e.file_name().into_string().ok())
            .filter(|n| file_name(n).is_ok())
            .collect();
        names.sort();
        names.truncate(MOST_LISTED);
        names
            .into_iter()
            .filter_map(|name| {
                let opened = self.read(&name).ok()?;
                let (document, _) = DeTable::parse_recoverable(&opened.text);
                let table = document.get_ref();
                // Other programs keep .toml files too.
                let is_scenario = ["stage", "ground", "wires"].iter().any(|k| table.contains_key(*k));
                let word = |key: &str| {
                    table.get(key).and_then(|v| v.get_ref().as_str()).map(str::to_string).unwrap_or_default()
                };
                is_scenario.then(|| Entry { title: word("title"), question: word("question"), name })
            })
            .collect()
    }

    /// Reads a scenario.
    pub fn read(&self, name: &str) -> Result<Opened, String> {
        let name = file_name(name)?;
        let path = self.root.join(name);
        let meta = std::fs::symlink_metadata(&path).map_err(|_| format!("there is no {name} in this folder"))?;
        if !meta.is_file() {
            return Err(format!("{name} is not a plain file; links are not followed"));
        }
        if meta.len() > MOST_BYTES {
            return Err(format!("{name} has {} bytes, too many for a scenario", meta.len()));
        }
        let mut opened =
            washgraph_model::scenario::open(&path).map_err(|e| e.replace(&path.display().to_string(), name))?;
        opened.folder = self.root.clone();
        Ok(opened)
    }

    /// What a scenario says of files.
    pub fn survey(&self, text: &str) -> Survey {
        let (document, _) = DeTable::parse_recoverable(text);
        let mut survey = Survey::default();
        for (_, value) in document.get_ref().iter() {
            self.look_at(value, &mut survey);
        }
        survey
    }

    fn look_at(&self, value: &Spanned<DeValue<'_>>, survey: &mut Survey) {
        match value.get_ref() {
            DeValue::String(word) => {
                // Any text might be the name of a file; one that leads to no file is none.
                let Ok(path) = self.root.join(word.as_ref()).canonicalize() else { return };
                let meta = std::fs::metadata(&path).ok();
                match meta.filter(|m| path.starts_with(&self.root) && (m.is_file() || m.is_dir())) {
                    Some(meta) if meta.is_file() => survey.marks.push(format!("{word} {}", mark_of(&meta))),
                    Some(_) => {}
                    None => survey.strays.push(value.span()),
                }
            }
            DeValue::Array(items) => items.iter().for_each(|v| self.look_at(v, survey)),
            DeValue::Table(table) => table.iter().for_each(|(_, v)| self.look_at(v, survey)),
            _ => {}
        }
    }

    /// Writes a scenario whole or not at all. One that is there is replaced only if the user said so, having seen that
    /// very file: `replace` is its mark.
    pub fn save(&self, name: &str, text: &str, replace: Option<&str>) -> Result<(), SaveError> {
        let name = file_name(name).map_err(SaveError::Name)?;
        let path = self.root.join(name);
        let there = match std::fs::symlink_metadata(&path) {
            Ok(meta) if !meta.is_file() => {
                return Err(SaveError::Name("something else of that name is there: choose another".into()));
            }
            Ok(meta) => Some(mark_of(&meta)),
            Err(_) => None,
        };
        if let Some(mark) = &there
            && replace != Some(mark.as_str())
        {
            return Err(SaveError::Exists(mark.clone()));
        }
        let system = |e: std::io::Error| SaveError::System(format!("cannot write {name}: {e}"));
        let mut fresh = tempfile::Builder::new().prefix(".washgraph-").tempfile_in(&self.root).map_err(system)?;
        fresh.write_all(text.as_bytes()).and_then(|()| fresh.as_file().sync_all()).map_err(system)?;
        readable(&fresh).map_err(system)?;
        if there.is_some() {
            fresh.persist(&path).map(|_| ()).map_err(|e| system(e.error))
        } else {
            fresh.persist_noclobber(&path).map(|_| ()).map_err(|e| match e.error.kind() {
                // Somebody wrote it just now.
                std::io::ErrorKind::AlreadyExists => SaveError::Exists(String::new()),
                _ => system(e.error),
            })
        }
    }
}

/// Tells one state of a file from another: its length, the time of its last change (coarse: two saves may share it), and
/// where the system keeps its number of a file, that number, which saving changes.
fn mark_of(meta: &std::fs::Metadata) -> String {
    let since = meta.modified().ok().and_then(|t| t.duration_since(std::time::UNIX_EPOCH).ok()).unwrap_or_default();
    format!("{}-{}-{}", meta.len(), since.as_nanos(), number_of(meta))
}

#[cfg(unix)]
fn number_of(meta: &std::fs::Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::ino(meta)
}

#[cfg(not(unix))]
fn number_of(_meta: &std::fs::Metadata) -> u64 {
    0
}

/// A file made for a moment is for its maker alone; a scenario is an ordinary file.
#[cfg(unix)]
fn readable(file: &tempfile::NamedTempFile) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.as_file().set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable(_file: &tempfile::NamedTempFile) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_names_that_lead_elsewhere_are_refused() {
        for good in ["my-plant.toml", "Bench 2 (new).toml", "Grönö_1.toml"] {
            assert_eq!(file_name(good), Ok(good));
        }
        for bad in [
            "",
            ".toml",
            "plant",
            "../plant.toml",
            "a/b.toml",
            "a\\b.toml",
            "/etc/plant.toml",
            ".hidden.toml",
            "c:x.toml",
            "nul.toml",
            "COM1.toml",
            "x\0.toml",
            "x .toml",
            "a\n.toml",
            "..toml",
            "x%2f.toml",
        ] {
            assert!(file_name(bad).is_err(), "{bad:?}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn property_links_and_strays_are_not_followed() {
        let outside = tempfile::tempdir().unwrap();
        std::fs::write(outside.path().join("secret.csv"), "x").unwrap();
        std::fs::write(outside.path().join("secret.toml"), "wires = []").unwrap();
        let inside = tempfile::tempdir().unwrap();
        let folder = Folder::open(inside.path()).unwrap();
        std::os::unix::fs::symlink(outside.path().join("secret.toml"), inside.path().join("link.toml")).unwrap();
        std::os::unix::fs::symlink(outside.path().join("secret.csv"), inside.path().join("link.csv")).unwrap();
        std::fs::write(inside.path().join("own.csv"), "x").unwrap();
        assert!(folder.read("link.toml").is_err());
        assert!(folder.scenarios().is_empty());
        assert!(matches!(folder.save("link.toml", "x", None), Err(SaveError::Name(_))));
        let far = outside.path().join("secret.csv");
        let text = format!(
            "a = \"own.csv\"\nb = \"link.csv\"\nc = [{{ file = \"{}\" }}]\nd = \"../x\"\ne = \"1/2 in\"\nf = \"/dev/zero\"",
            far.display()
        );
        let strays: Vec<&str> = folder.survey(&text).strays.into_iter().map(|r| text.get(r).unwrap()).collect();
        assert_eq!(strays.len(), 3, "{strays:?}");
        assert!(strays[0].contains("link.csv") && strays[1].contains("secret.csv") && strays[2].contains("zero"));
    }

    #[test]
    fn property_a_scenario_is_replaced_only_when_asked() {
        let inside = tempfile::tempdir().unwrap();
        let folder = Folder::open(inside.path()).unwrap();
        let there = || std::fs::read_to_string(inside.path().join("a.toml")).unwrap();
        assert_eq!(folder.save("a.toml", "one", None), Ok(()));
        let Err(SaveError::Exists(mark)) = folder.save("a.toml", "two", None) else { panic!("it was overwritten") };
        assert!(matches!(folder.save("a.toml", "two", Some("7-7")), Err(SaveError::Exists(_))));
        assert_eq!(there(), "one");
        assert_eq!(folder.save("a.toml", "two", Some(&mark)), Ok(()));
        assert_eq!(there(), "two");
        // The mark is of the old file: what was written since is not replaced.
        assert!(matches!(folder.save("a.toml", "three", Some(&mark)), Err(SaveError::Exists(_))));
        assert_eq!(std::fs::read_dir(inside.path()).unwrap().count(), 1);
    }
}
