//! A tuned file named by a scenario: its joint draws become the inputs of the plant.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use toml::de::DeTable;

use super::read::Opened;
use super::sources::Sources;
use crate::tuned::TunedFile;
use sim_core::draw::InputList;
use sim_core::ground::Ground;
use sim_core::owner_file::{self, Unread};
use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::provenance::TunedNote;

/// Largest tuned file that is read. One of a thousand draws has half a megabyte.
const MOST_BYTES: u64 = 50_000_000;

/// Names shown of a list that may be long.
const MOST_NAMES: usize = 6;

/// A tuned file as read, before the plant is known.
pub(super) struct TunedText {
    name: String,
    place: Option<Range<usize>>,
    bytes: Vec<u8>,
    file: TunedFile,
}

/// Reads the file that a scenario names; `None` when it names none or the file is no good, which is recorded.
pub(super) fn open_tuned(
    name: &str,
    place: Option<Range<usize>>,
    folder: &Path,
    problems: &mut Problems,
) -> Option<TunedText> {
    if name.is_empty() {
        return None;
    }
    let path = folder.join(name);
    let mut refuse = |message: String, help: &str| {
        problems.error(place.clone(), message, help);
        None
    };
    let bytes = match owner_file::read(&path, name, "tuned file", MOST_BYTES) {
        Ok(bytes) => bytes,
        Err(Unread::System { cause, .. }) => {
            return refuse(
                format!("cannot read the tuned file {name}: {cause}"),
                "it is looked for beside the scenario; `washgraph tune` writes it; take the line out to run untuned",
            );
        }
        Err(why) => return refuse(why.to_string(), "name the tuned.toml that `washgraph tune` wrote"),
    };
    let file = std::str::from_utf8(&bytes).map_err(|e| e.to_string()).and_then(TunedFile::read);
    match file {
        Ok(file) => Some(TunedText { name: name.to_string(), place, bytes, file }),
        Err(e) => refuse(format!("the tuned file {name} cannot be read: {e}"), "tune again, or take the line out"),
    }
}

impl TunedText {
    /// Whether the file holds no observations, so that it changes nothing.
    pub fn is_empty(&self) -> bool {
        self.file.rows() == 0
    }

    /// The scenario and this file as the sources of a plant. A file that changes nothing counts as if it were not named: the
    /// result is the same, to the byte.
    pub fn sources(&self, text: &str) -> Sources {
        if !self.is_empty() {
            let mut sources = Sources::of(text);
            sources.note(&self.name, &self.bytes);
            return sources;
        }
        Sources::of(&without_line(text, self.place.clone().map_or(0, |p| p.start)))
    }

    /// Gives the inputs of the plant the joint draws of the file. What does not fit is said; the rest is used.
    pub fn put_to(self, inputs: &mut InputList, ground: &Ground, problems: &mut Problems) -> Option<TunedNote> {
        let name = &self.name;
        let fitted = match self.file.fit(inputs, ground) {
            Ok(fitted) => fitted,
            Err(e) => {
                problems.error(self.place, format!("the tuned file {name} cannot be used: {e}"), "tune again");
                return None;
            }
        };
        if self.is_empty() {
            problems.note(self.place, format!("{name} holds no observations: it changes nothing"), "");
            return None;
        }
        let again = "they are drawn from the scenario as it stands; tune again to let the plant's results bear on them";
        if !fitted.respread.is_empty() {
            let list = few(&fitted.respread);
            let what = format!("changed in the scenario since {name} was made, and no longer tuned: {list}");
            problems.warning(self.place.clone(), what, again);
        }
        if !fitted.gone.is_empty() {
            let list = few(&fitted.gone);
            let what = format!("tuned in {name}, but known or not there in this scenario: {list}");
            problems.warning(self.place.clone(), what, "tune again");
        }
        let Some(joint) = fitted.joint else {
            problems.warning(self.place, format!("nothing of {name} fits this plant: it runs untuned"), "tune again");
            return None;
        };
        let note = self.file.note(name, fitted.used, fitted.respread.len() + fitted.gone.len());
        inputs.set_joint(Some(Arc::new(joint)));
        Some(note)
    }
}

/// The text of a scenario as far as its plant depends on it: without the line that names a tuned file of no observations.
pub fn text_that_counts(opened: &Opened, plant: &Plant) -> String {
    let document = DeTable::parse_recoverable(&opened.text).0;
    let named = document.get_ref().iter().find(|(key, _)| key.get_ref() == "tuned");
    match named {
        Some((_, value)) if !plant.files.iter().any(|f| Some(f.name.as_str()) == value.get_ref().as_str()) => {
            without_line(&opened.text, value.span().start)
        }
        _ => opened.text.clone(),
    }
}

/// The text without the line that byte `at` stands in.
fn without_line(text: &str, at: usize) -> String {
    let at = at.min(text.len());
    let start = text.get(..at).and_then(|t| t.rfind('\n')).map_or(0, |n| n + 1);
    let end = text.get(at..).and_then(|t| t.find('\n')).map_or(text.len(), |n| at + n + 1);
    [text.get(..start).unwrap_or(""), text.get(end..).unwrap_or("")].concat()
}

fn few(names: &[String]) -> String {
    let shown: Vec<&str> = names.iter().take(MOST_NAMES).map(String::as_str).collect();
    match names.len().saturating_sub(MOST_NAMES) {
        0 => shown.join(", "),
        more => format!("{} and {more} more", shown.join(", ")),
    }
}
