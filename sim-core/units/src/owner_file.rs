//! Files of the owner, read with care: what is no plain file, or far too large, is refused in words before a byte is read.
//!
//! A pipe or a device may never end (`/dev/zero`) or never begin (a pipe that nobody writes into); a program that reads it hangs or
//! fills the memory. Every file that an owner names goes through this one door.

use std::fs::{File, Metadata};
use std::io::Read as _;
use std::path::Path;

/// Why a file of the owner was not read; its words are a whole sentence without the full stop.
#[derive(Debug, thiserror::Error)]
pub enum Unread {
    /// The system refused.
    #[error("cannot read {name}: {cause}")]
    System {
        /// The file as shown.
        name: String,
        /// What the system said.
        cause: std::io::Error,
    },
    /// A folder stands there.
    #[error("{name} is a folder, not a {wanted}")]
    Folder {
        /// The file as shown.
        name: String,
        /// What it should be.
        wanted: &'static str,
    },
    /// A pipe, a device or a socket stands there.
    #[error("{name} is a pipe or a device, not a {wanted}: save it as a plain file and name that")]
    NotPlain {
        /// The file as shown.
        name: String,
        /// What it should be.
        wanted: &'static str,
    },
    /// It is larger than any file of its kind.
    #[error("{name} has {megabytes:.1} MB, more than any {wanted}: is it the right file?")]
    TooLarge {
        /// The file as shown.
        name: String,
        /// What it should be.
        wanted: &'static str,
        /// Its size in millions of bytes.
        megabytes: f64,
    },
    /// It is no text.
    #[error("{name} is not plain text in UTF-8 (byte {byte}): save it as UTF-8")]
    NotText {
        /// The file as shown.
        name: String,
        /// Place of the first byte that is no text, counted from 0.
        byte: usize,
    },
}

/// Reads a plain file of at most `most` bytes. `name` is how messages show it, `wanted` what it should be, say `field sheet`.
///
/// # Errors
/// When it cannot be read, is a folder, pipe or device, or is larger.
pub fn read(path: &Path, name: &str, wanted: &'static str, most: u64) -> Result<Vec<u8>, Unread> {
    let refused = |cause| Unread::System { name: name.into(), cause };
    // Opening a pipe that nobody writes into would wait for ever, so the name is looked at first.
    fits(&std::fs::metadata(path).map_err(refused)?, name, wanted, most)?;
    let file = File::open(path).map_err(refused)?;
    fits(&file.metadata().map_err(refused)?, name, wanted, most)?;
    let mut bytes = Vec::new();
    // Some files of the system say a length of 0 and go on and on.
    file.take(most.saturating_add(1)).read_to_end(&mut bytes).map_err(refused)?;
    if bytes.len() as u64 > most {
        return Err(Unread::TooLarge { name: name.into(), wanted, megabytes: bytes.len() as f64 / 1e6 });
    }
    Ok(bytes)
}

/// Reads a plain file as text.
///
/// # Errors
/// As [`read`], and when it is not text in UTF-8.
pub fn read_text(path: &Path, name: &str, wanted: &'static str, most: u64) -> Result<String, Unread> {
    text_of(read(path, name, wanted, most)?, name)
}

/// Bytes of a file as text.
///
/// # Errors
/// When they are not text in UTF-8.
pub fn text_of(bytes: Vec<u8>, name: &str) -> Result<String, Unread> {
    String::from_utf8(bytes).map_err(|e| Unread::NotText { name: name.into(), byte: e.utf8_error().valid_up_to() })
}

fn fits(meta: &Metadata, name: &str, wanted: &'static str, most: u64) -> Result<(), Unread> {
    let name = || name.to_string();
    if meta.is_dir() {
        return Err(Unread::Folder { name: name(), wanted });
    }
    if !meta.is_file() {
        return Err(Unread::NotPlain { name: name(), wanted });
    }
    if meta.len() > most {
        return Err(Unread::TooLarge { name: name(), wanted, megabytes: meta.len() as f64 / 1e6 });
    }
    Ok(())
}
