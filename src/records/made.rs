//! What the documents of a folder were made from, kept beside them: by it a later run knows what has not changed.
//!
//! Given a folder; gives the record that was written with its documents, as one of their set. Whoever makes them says what stands
//! in it.

use super::exchange::NOTICE;
use std::fs;
use std::path::Path;

/// The file.
pub const MADE: &str = ".wetout-made";

/// No record is larger, in bytes.
const LARGEST: u64 = 1_000_000;

/// The record of a folder; none while its documents are exchanged, or where a run was stopped on the way.
pub fn made_record(folder: &Path) -> Option<Vec<u8>> {
    let place = folder.join(MADE);
    let there = fs::symlink_metadata(&place).ok()?;
    let usable = there.is_file() && there.len() <= LARGEST && fs::symlink_metadata(folder.join(NOTICE)).is_err();
    if usable { fs::read(place).ok() } else { None }
}
