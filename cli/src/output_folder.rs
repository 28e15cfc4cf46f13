//! Which files of an output folder are ours, and what becomes of the owner's.
//!
//! Each folder keeps a list of what was written into it, with fingerprints. When the folder is written again, a file that is on the
//! list and still has its fingerprint is ours: it is replaced, or goes when it is no longer written. All else is the owner's and
//! stays: prices filled into `bill.csv`, notes, folders. Where a new file takes the name of one that the owner changed or put there,
//! the owner's is kept beside it: `bill.csv` becomes `bill.yours.csv`, or `bill.yours-2.csv` when that is taken.
//!
//! A folder of an earlier version has no list. Nothing in it is deleted; of the files whose name is written anew those are replaced
//! that this program alone writes: pictures, pages, documents, tables and the copies in `inputs/`. A bill, a workbook with the bill and
//! a tuned file are filled in and edited by hand, so they are kept beside the new ones when they differ.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use sim_core::owner_file;
use sim_core::provenance::sha256_of;

/// Name of the list.
pub(crate) const LIST: &str = ".washgraph-files";
/// Its first line.
const HEADING: &str = "# Written by washgraph: SHA-256 and name. Files that you change or add are kept.";
/// Larger than any file that is written here, bytes; a larger one is the owner's.
const MOST_BYTES: u64 = 200_000_000;
/// Kept files that are named on the screen.
const MOST_NAMED: usize = 8;

/// The list of these files.
pub(crate) fn list_of(files: &[(String, Vec<u8>)]) -> String {
    let mut text = format!("{HEADING}\n");
    // A name of two lines would break the list; left out, such a file counts as the owner's.
    for (name, bytes) in files.iter().filter(|(name, _)| !name.contains(['\n', '\r'])) {
        text += &format!("{}  {name}\n", sha256_of(bytes));
    }
    text
}

/// What stays of a folder that is written again.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Plan {
    /// Folders to make, outermost first: where they stand and where they go.
    folders: Vec<(PathBuf, PathBuf)>,
    /// Files to keep: where they stand and where they go.
    files: Vec<(PathBuf, PathBuf)>,
    /// Names that had to change, old and new.
    renamed: Vec<(PathBuf, PathBuf)>,
}

/// What is known while a folder is looked through.
struct Look<'a> {
    folder: &'a Path,
    /// Fingerprints of what was written; `None` in a folder of an earlier version.
    listed: Option<BTreeMap<PathBuf, String>>,
    /// Fingerprints of what is written now.
    new: BTreeMap<PathBuf, String>,
    /// Folders that the new files need.
    rooms: BTreeSet<PathBuf>,
    plan: Plan,
}

impl Plan {
    /// Looks through a folder, of which nothing is changed.
    pub(crate) fn of(folder: &Path, files: &[(String, Vec<u8>)]) -> io::Result<Plan> {
        let new: BTreeMap<PathBuf, String> =
            files.iter().map(|(name, bytes)| (PathBuf::from(name), sha256_of(bytes))).collect();
        let rooms = new.keys().flat_map(|name| name.ancestors().skip(1)).map(Path::to_path_buf).collect();
        let mut look = Look { folder, listed: listed(folder), new, rooms, plan: Plan::default() };
        look.through(Path::new(""), Path::new(""))?;
        Ok(look.plan)
    }

    /// Puts what stays into the new folder: by a second name of the same file, or as a copy where the file system has no such
    /// thing. The old folder keeps all that it has.
    pub(crate) fn carry_over(&self, folder: &Path, fresh: &Path) -> io::Result<()> {
        for (_, to) in &self.folders {
            fs::create_dir_all(fresh.join(to))?;
        }
        for (from, to) in &self.files {
            let (from, to) = (folder.join(from), fresh.join(to));
            if let Err(cause) = fs::hard_link(&from, &to) {
                if cause.kind() == io::ErrorKind::AlreadyExists || !fs::symlink_metadata(&from)?.is_file() {
                    return Err(cause);
                }
                fs::copy(&from, &to)?;
                let time = fs::metadata(&from)?.modified()?;
                // The day of a copy is worth keeping, but no reason to fail.
                let _ = fs::File::options().write(true).open(&to).and_then(|file| file.set_modified(time));
            }
        }
        // Last and innermost first: a folder may be closed to writing.
        for (from, to) in self.folders.iter().rev() {
            fs::set_permissions(fresh.join(to), fs::metadata(folder.join(from))?.permissions())?;
        }
        Ok(())
    }

    /// The files whose names had to change, on one line; `None` when there are none.
    pub(crate) fn renamed(&self) -> Option<String> {
        let named = self.renamed.iter().take(MOST_NAMED);
        let named: Vec<String> = named.map(|(old, new)| format!("{} as {}", old.display(), new.display())).collect();
        let more = self.renamed.len().saturating_sub(MOST_NAMED);
        let rest = if more > 0 { format!(", and {more} more as *.yours.*") } else { String::new() };
        (!named.is_empty()).then(|| format!("{}{rest}", named.join(", ")))
    }
}

impl Look<'_> {
    /// Looks through the folder `from` (within the whole), which goes to `to`. Says whether it held nothing but files of ours.
    fn through(&mut self, from: &Path, to: &Path) -> io::Result<bool> {
        let mut entries = fs::read_dir(self.folder.join(from))?.collect::<io::Result<Vec<_>>>()?;
        entries.sort_by_key(fs::DirEntry::file_name);
        let mut only_ours = !entries.is_empty();
        for entry in entries {
            let name = from.join(entry.file_name());
            if entry.file_type()?.is_dir() {
                let in_the_way = from == to && self.new.contains_key(&name);
                let place = if in_the_way { self.beside(&name) } else { to.join(entry.file_name()) };
                let at = self.plan.folders.len();
                self.plan.folders.push((name.clone(), place.clone()));
                if self.through(&name, &place)? {
                    self.plan.folders.remove(at);
                } else {
                    only_ours = false;
                }
            } else if !self.goes(&name) {
                only_ours = false;
                let in_the_way = from == to && (self.new.contains_key(&name) || self.rooms.contains(&name));
                let place = if in_the_way { self.beside(&name) } else { to.join(entry.file_name()) };
                self.plan.files.push((name, place));
            }
        }
        Ok(only_ours)
    }

    /// Whether a file is ours, or the same as the new one, so that nothing is lost with it.
    fn goes(&self, name: &Path) -> bool {
        if name == Path::new(LIST) {
            return true;
        }
        let (old, new) = (self.listed.as_ref().and_then(|listed| listed.get(name)), self.new.get(name));
        if old.is_none() && new.is_none() {
            return false;
        }
        let Some(is) = self.fingerprint(name) else { return false };
        Some(&is) == old || Some(&is) == new || (self.listed.is_none() && is_generated(name))
    }

    /// Fingerprint of a plain file that can be read; links, pipes and the like are never ours.
    fn fingerprint(&self, name: &Path) -> Option<String> {
        let path = self.folder.join(name);
        if !fs::symlink_metadata(&path).ok()?.is_file() {
            return None;
        }
        owner_file::read(&path, "", "file", MOST_BYTES).ok().map(|bytes| sha256_of(&bytes))
    }

    /// A free name beside one that is needed; it is noted.
    fn beside(&mut self, name: &Path) -> PathBuf {
        let (stem, ending) = (name.file_stem().unwrap_or_default(), name.extension());
        let mut number = 1;
        loop {
            let mut free = stem.to_os_string();
            free.push(if number == 1 { ".yours".into() } else { format!(".yours-{number}") });
            if let Some(ending) = ending {
                free.push(".");
                free.push(ending);
            }
            let free = name.with_file_name(free);
            let taken = self.plan.renamed.iter().any(|(_, to)| *to == free) || self.new.contains_key(&free);
            if !taken && fs::symlink_metadata(self.folder.join(&free)).is_err() {
                self.plan.renamed.push((name.to_path_buf(), free.clone()));
                return free;
            }
            number += 1;
        }
    }
}

/// What the list of a folder says; `None` when there is none that can be read.
fn listed(folder: &Path) -> Option<BTreeMap<PathBuf, String>> {
    let text = owner_file::read_text(&folder.join(LIST), LIST, "list", MOST_BYTES).ok()?;
    let lines = text.strip_prefix(HEADING)?.lines();
    Some(lines.filter_map(|l| l.split_once("  ")).map(|(sha, name)| (PathBuf::from(name), sha.to_string())).collect())
}

/// Whether a file of this name is written by the program alone, and never filled in or edited by hand.
fn is_generated(name: &Path) -> bool {
    if ["bill.csv", "sheet.xlsx"].map(Path::new).contains(&name) {
        return false;
    }
    let ending = name.extension().and_then(|e| e.to_str()).unwrap_or_default();
    name.starts_with("inputs") || ["png", "svg", "html", "json", "csv", "xlsx", "txt"].contains(&ending)
}
