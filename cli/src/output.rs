//! Printing, and writing the output folder so that it is there whole or not at all.

use std::io::Write;
use std::path::{Path, PathBuf};

use washgraph_view::tables::ContentError;

/// Why an output folder could not be written.
#[derive(Debug, thiserror::Error)]
pub(crate) enum OutputError {
    /// The system refused.
    #[error("cannot write {path}: {cause}")]
    Io {
        /// What was being written.
        path: PathBuf,
        /// What the system said.
        cause: std::io::Error,
    },
    /// Something else stands there.
    #[error("{0} is there already and is not a folder written by washgraph: choose another with --out")]
    InTheWay(PathBuf),
    /// The result cannot be put into a file.
    #[error(transparent)]
    Content(#[from] ContentError),
}

/// Prints to stdout. A reader that has gone away (a closed pipe) is a quiet success.
pub(crate) fn print(text: &str) {
    let mut out = anstream::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    if !text.ends_with('\n') {
        let _ = out.write_all(b"\n");
    }
    let _ = out.flush();
}

/// Name of the file by which a folder of `run` is known as ours.
pub(crate) const RESULT_FILE: &str = "result.json";

/// Writes files into a folder, whole or not at all: they are prepared in memory, written to a new folder beside the target,
/// and put in place by renaming. A folder that is there already is replaced only when it is empty or holds a file of the
/// name `mark`, by which the command knows its own folders.
pub(crate) fn write_files(
    folder: &Path,
    mark: &str,
    files: impl FnOnce() -> Result<Vec<(String, Vec<u8>)>, OutputError>,
) -> Result<(), OutputError> {
    if folder.exists() && !folder.join(mark).exists() && !is_empty_folder(folder) {
        return Err(OutputError::InTheWay(folder.to_path_buf()));
    }
    let files = files()?;
    let parent = match folder.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let io = |path: &Path| {
        let path = path.to_path_buf();
        move |cause| OutputError::Io { path, cause }
    };
    std::fs::create_dir_all(&parent).map_err(io(&parent))?;
    let fresh = tempfile::Builder::new().prefix(".washgraph-").tempdir_in(&parent).map_err(io(&parent))?;
    for (name, bytes) in &files {
        let path = fresh.path().join(name);
        if let Some(room) = path.parent() {
            std::fs::create_dir_all(room).map_err(io(room))?;
        }
        std::fs::write(&path, bytes).map_err(io(&path))?;
    }
    let old = parent.join(format!(".washgraph-old-{}", std::process::id()));
    if folder.exists() {
        std::fs::rename(folder, &old).map_err(io(folder))?;
    }
    let fresh_path = fresh.keep();
    if let Err(cause) = std::fs::rename(&fresh_path, folder) {
        let _ = std::fs::rename(&old, folder);
        let _ = std::fs::remove_dir_all(&fresh_path);
        return Err(OutputError::Io { path: folder.to_path_buf(), cause });
    }
    let _ = std::fs::remove_dir_all(&old);
    Ok(())
}

fn is_empty_folder(folder: &Path) -> bool {
    std::fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_none())
}
