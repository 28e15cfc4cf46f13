//! Printing, and writing the output folder so that it is there whole or not at all, with the owner's own files in it.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use sim_core::owner_file::Unread;
use washgraph_view::tables::ContentError;

use crate::exit::Exit;
use crate::output_folder::{self, Plan};

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
    /// The program was started in it.
    #[error(
        "{0} is the folder that you stand in, which cannot be exchanged for a new one: go out of it first or choose \
         another with --out"
    )]
    StoodIn(PathBuf),
    /// The result cannot be put into a file.
    #[error(transparent)]
    Content(#[from] ContentError),
    /// An input that is kept with the result cannot be read.
    #[error(transparent)]
    Input(#[from] Unread),
}

/// Why stdout could not be written to, the first time.
static UNPRINTED: OnceLock<std::io::Error> = OnceLock::new();

/// Prints to stdout. A reader that has gone away (a closed pipe) is a quiet success; any other failure is kept for
/// [`after_printing`].
pub(crate) fn print(text: &str) {
    let mut out = anstream::stdout().lock();
    let end: &[u8] = if text.ends_with('\n') { b"" } else { b"\n" };
    note(out.write_all(text.as_bytes()).and_then(|()| out.write_all(end)).and_then(|()| out.flush()));
}

/// Keeps how printing went.
pub(crate) fn note(printed: std::io::Result<()>) {
    match printed {
        Err(cause) if cause.kind() != std::io::ErrorKind::BrokenPipe => drop(UNPRINTED.set(cause)),
        _ => {}
    }
}

/// How the program ends: a command that did its work but could not print it has failed, and says so.
pub(crate) fn after_printing(exit: Exit) -> Exit {
    let Some(cause) = UNPRINTED.get() else { return exit };
    anstream::eprintln!("error: cannot write to standard output: {cause}");
    match exit {
        Exit::Done | Exit::LimitMissed => Exit::BadInput,
        worse => worse,
    }
}

/// Name of the file by which a folder of `run` is known as ours.
pub(crate) const RESULT_FILE: &str = "result.json";

/// Writes files into a folder, whole or not at all: they are prepared in memory, written to a new folder beside the target,
/// and put in place by renaming. A folder that is there already is written into only when it is empty or holds a file of the
/// name `mark`, by which the command knows its own folders; what the owner keeps in it stays (see [`output_folder`]).
///
/// A kill at any moment leaves the old folder or the new one, each with the owner's files. Where the system cannot exchange two
/// folders in one step, there is a moment with neither; the next writing then finds the old one and begins by putting it back.
pub(crate) fn write_files(
    folder: &Path,
    mark: &str,
    files: impl FnOnce() -> Result<Vec<(String, Vec<u8>)>, OutputError>,
) -> Result<(), OutputError> {
    let io = |path: &Path| {
        let path = path.to_path_buf();
        move |cause| OutputError::Io { path, cause }
    };
    // The folder itself is exchanged, not a link that leads to it.
    let target = folder.canonicalize().unwrap_or_else(|_| folder.to_path_buf());
    let parent = match target.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let aside = parent.join(aside_name(&target));
    if !target.exists() && aside.is_dir() {
        std::fs::rename(&aside, &target).map_err(io(&target))?;
    }
    if target.exists() && !target.join(mark).exists() && !is_empty_folder(&target) {
        return Err(OutputError::InTheWay(folder.to_path_buf()));
    }
    let here = std::env::current_dir().and_then(|here| here.canonicalize());
    if target.exists() && here.is_ok_and(|here| here.starts_with(&target)) {
        return Err(OutputError::StoodIn(folder.to_path_buf()));
    }
    let files = files()?;
    std::fs::create_dir_all(&parent).map_err(io(&parent))?;
    let fresh = tempfile::Builder::new().prefix(".washgraph-").tempdir_in(&parent).map_err(io(&parent))?;
    for (name, bytes) in &files {
        let path = fresh.path().join(name);
        if let Some(room) = path.parent() {
            std::fs::create_dir_all(room).map_err(io(room))?;
        }
        std::fs::write(&path, bytes).map_err(io(&path))?;
    }
    let list = fresh.path().join(output_folder::LIST);
    std::fs::write(&list, output_folder::list_of(&files)).map_err(io(&list))?;

    if !target.exists() {
        let fresh = fresh.keep();
        return std::fs::rename(&fresh, &target).map_err(|cause| {
            let _ = std::fs::remove_dir_all(&fresh);
            OutputError::Io { path: folder.to_path_buf(), cause }
        });
    }
    let plan = Plan::of(&target, &files).map_err(io(&target))?;
    plan.carry_over(&target, fresh.path()).map_err(io(&target))?;
    let permissions = std::fs::metadata(&target).map_err(io(&target))?.permissions();
    std::fs::set_permissions(fresh.path(), permissions).map_err(io(fresh.path()))?;
    let fresh = fresh.keep();
    match put_in_place(&fresh, &target, &aside) {
        Ok(old) => {
            // What the owner saved into it since it was looked through would go with it.
            let same = Plan::of(&old, &files).is_ok_and(|again| again == plan);
            if !same || std::fs::remove_dir_all(&old).is_err() {
                let (folder, old) = (folder.display(), old.display());
                anstream::eprintln!(
                    "What stood in {folder} is left in {old}: it changed meanwhile or cannot be removed"
                );
            }
        }
        Err(cause) => {
            let _ = std::fs::remove_dir_all(&fresh);
            return Err(OutputError::Io { path: folder.to_path_buf(), cause });
        }
    }
    if let Some(said) = plan.renamed() {
        anstream::eprintln!("Your own files are kept: {said}");
    }
    Ok(())
}

/// Puts the new folder where the old one stands; returns where the old one is then.
fn put_in_place(fresh: &Path, target: &Path, aside: &Path) -> std::io::Result<PathBuf> {
    #[cfg(target_os = "linux")]
    if rustix::fs::renameat_with(rustix::fs::CWD, fresh, rustix::fs::CWD, target, rustix::fs::RenameFlags::EXCHANGE)
        .is_ok()
    {
        return Ok(fresh.to_path_buf());
    }
    // What stands aside from long ago may be the owner's by now.
    let mut aside = aside.to_path_buf();
    while aside.exists() {
        aside.as_mut_os_string().push("-");
    }
    std::fs::rename(target, &aside)?;
    if let Err(cause) = std::fs::rename(fresh, target) {
        let _ = std::fs::rename(&aside, target);
        return Err(cause);
    }
    Ok(aside)
}

/// Name beside the folder under which the old one stands for a moment.
fn aside_name(target: &Path) -> String {
    format!(".washgraph-old-{}", target.file_name().unwrap_or_default().to_string_lossy())
}

fn is_empty_folder(folder: &Path) -> bool {
    std::fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_none())
}
