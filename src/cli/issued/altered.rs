//! Whether a frozen folder still holds what was put into it.
//!
//! Given a frozen folder; gives every file that is gone, altered or new, by the digests of its manifest.

use super::kept::{Frozen, is_of_file_manager};
use super::manifest::KeptFile;
use crate::records::MANIFEST;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// What is not as it was, in words.
pub(crate) fn altered_files(frozen: &Frozen) -> Vec<String> {
    let mut found = Vec::new();
    for file in &frozen.manifest.files {
        match fs::read(frozen.folder.join(&file.name)) {
            Ok(bytes) if KeptFile::of(&file.name, &bytes) == *file => {}
            Ok(_) => found.push(format!("{} was altered", file.name)),
            Err(_) => found.push(format!("{} is gone or cannot be read", file.name)),
        }
    }
    let known: BTreeSet<&str> = frozen.manifest.files.iter().map(|f| f.name.as_str()).chain([MANIFEST]).collect();
    let mut there = Vec::new();
    list(&frozen.folder, "", &mut there);
    there.sort();
    found.extend(
        there.iter().filter(|name| !known.contains(name.as_str())).map(|name| format!("{name} was put there since")),
    );
    found
}

/// The files below a folder, by their names from there.
fn list(folder: &Path, above: &str, found: &mut Vec<String>) {
    for entry in fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok) {
        let name = format!("{above}{}", entry.file_name().to_string_lossy());
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => list(&entry.path(), &format!("{name}/"), found),
            _ if is_of_file_manager(&entry.file_name().to_string_lossy()) => {}
            _ => found.push(name),
        }
    }
}
