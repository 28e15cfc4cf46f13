//! The inputs of a run, kept beside its result: the scenario and the files that it names, so that the run can be repeated
//! years later from the folder alone.
//!
//! `inputs/scenario.toml` is the scenario; a sheet that it names stands as `inputs/1-name.csv`, numbered in the order of
//! `provenance.files` of the result.

use std::path::{Component, Path, PathBuf};

use sim_core::owner_file::{self, Unread};
use sim_core::plant::Plant;
use sim_core::provenance::{SourceFile, sha256_of};
use washgraph_model::scenario::{Opened, text_that_counts};

use crate::output::OutputError;
use washgraph_view::tables::ContentError;

/// Folder of the inputs within a result's folder.
const ROOM: &str = "inputs";
/// The scenario in it.
const SCENARIO: &str = "scenario.toml";
/// A name may climb so many folders out of the scenario's own and still find its place when the inputs are laid out.
const MOST_CLIMBS: usize = 8;
/// Largest input that is kept, above what any of them may have when it is read.
const MOST_BYTES: u64 = 60_000_000;

/// Name of the kept copy of the file of this number.
fn kept_name(number: usize, file: &SourceFile) -> String {
    let base = Path::new(&file.name).file_name().map_or_else(|| "file".into(), |n| n.to_string_lossy().into_owned());
    format!("{ROOM}/{}-{base}", number + 1)
}

fn read(path: &Path) -> Result<Vec<u8>, Unread> {
    owner_file::read(path, &path.display().to_string(), "input", MOST_BYTES)
}

/// The inputs as files of the output folder. Fails when a file is no longer what the run read.
pub(crate) fn of(plant: &Plant, opened: &Opened) -> Result<Vec<(String, Vec<u8>)>, OutputError> {
    let mut kept = vec![(format!("{ROOM}/{SCENARIO}"), text_that_counts(opened, plant).into_bytes())];
    for (number, file) in plant.files.iter().enumerate() {
        let path = opened.folder.join(&file.name);
        let bytes = read(&path)?;
        if sha256_of(&bytes) != file.sha256 {
            return Err(ContentError {
                what: "the inputs",
                cause: format!("{} was changed while the run was on: run again", path.display()),
            }
            .into());
        }
        kept.push((kept_name(number, file), bytes));
    }
    Ok(kept)
}

/// Kept inputs laid out in a folder of their own, which is gone when this is dropped.
pub(crate) struct LaidOut {
    /// Path of the scenario.
    pub scenario: PathBuf,
    _folder: tempfile::TempDir,
}

/// Lays the inputs of the result in `folder` out as they stood about their scenario. The error is one sentence.
pub(crate) fn lay_out(folder: &Path, files: &[SourceFile]) -> Result<LaidOut, String> {
    let from = folder.join(ROOM);
    let text = read(&from.join(SCENARIO))
        .map_err(|why| format!("the inputs are not beside the result ({why}); name the scenario with --scenario"))?;
    let cannot = |e: std::io::Error| format!("cannot lay the inputs out in a temporary folder: {e}");
    let temporary = tempfile::tempdir().map_err(cannot)?;
    let mut home = temporary.path().to_path_buf();
    home.extend((0..MOST_CLIMBS).map(|k| k.to_string()));
    std::fs::create_dir_all(&home).map_err(cannot)?;
    let scenario = home.join(SCENARIO);
    std::fs::write(&scenario, text).map_err(cannot)?;
    for (number, file) in files.iter().enumerate() {
        let name = kept_name(number, file);
        let kept = folder.join(&name);
        let bytes = read(&kept).map_err(|why| why.to_string())?;
        if sha256_of(&bytes) != file.sha256 {
            return Err(format!("{} was changed since the result was made: its fingerprint differs", kept.display()));
        }
        let Some(place) = place_of(&home, &file.name) else { continue };
        if let Some(room) = place.parent() {
            std::fs::create_dir_all(room).map_err(cannot)?;
        }
        std::fs::write(&place, bytes).map_err(cannot)?;
    }
    Ok(LaidOut { scenario, _folder: temporary })
}

/// Where a file of this name stands about a scenario in `home`; `None` for an absolute name or one that climbs too far,
/// which is read where it stands.
fn place_of(home: &Path, name: &str) -> Option<PathBuf> {
    let mut place = home.to_path_buf();
    let mut depth = MOST_CLIMBS;
    for part in Path::new(name).components() {
        match part {
            Component::Normal(word) => {
                place.push(word);
                depth += 1;
            }
            Component::ParentDir => {
                depth = depth.checked_sub(1)?;
                place.pop();
            }
            Component::CurDir => {}
            Component::RootDir | Component::Prefix(_) => return None,
        }
    }
    Some(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_names_find_their_place_about_the_scenario_and_never_leave_the_folder() {
        let home = PathBuf::from("/t/0/1/2/3/4/5/6/7");
        assert_eq!(place_of(&home, "pans.csv"), Some("/t/0/1/2/3/4/5/6/7/pans.csv".into()));
        assert_eq!(place_of(&home, "../sheets/./pans.csv"), Some("/t/0/1/2/3/4/5/6/sheets/pans.csv".into()));
        assert_eq!(place_of(&home, "../../../../../../../../a"), Some("/t/a".into()));
        assert_eq!(place_of(&home, "../../../../../../../../../a"), None);
        assert_eq!(place_of(&home, "/etc/passwd"), None);
    }
}
