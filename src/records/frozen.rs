//! Freezes a set of files under a name of its own: a folder that is there whole or not at all, and is never written again.
//!
//! Given finished bytes and a name that nothing has yet; gives the folder. All of it is written into a hidden folder, made
//! read-only, flushed, and renamed in one step while the folder that it stands in is locked: of two runs that want one name
//! one has it, and the other is told that it is taken.

use super::aside::{Aside, flush_folder};
use super::fault::WriteFault;
use super::{WrittenSet, in_turn};
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

/// The folder beside a job in which what was issued is kept.
pub const ISSUED: &str = "issued";
/// The list of its files that stands in every frozen folder.
pub const MANIFEST: &str = "manifest.json";

/// Freezes files as `folder/name`. A file's name may lead into folders of the set: `inputs/firm.yaml`.
///
/// # Errors
/// The file that could not be written; [`io::ErrorKind::AlreadyExists`] where the name is taken, in whatever letters.
pub fn freeze(folder: &Path, name: &str, files: &[(String, Vec<u8>)]) -> Result<PathBuf, WriteFault> {
    freeze_beside(folder, None, name, files)
}

/// The same, where what is frozen follows from what stands in the folder already: `seen` are the names that it was judged by.
/// Where another run has put something there since, nothing is frozen, and it must be judged anew.
///
/// # Errors
/// As [`freeze`]; [`io::ErrorKind::AlreadyExists`] where the folder holds other names than were seen.
pub fn freeze_upon(
    folder: &Path,
    seen: &[String],
    name: &str,
    files: &[(String, Vec<u8>)],
) -> Result<PathBuf, WriteFault> {
    freeze_beside(folder, Some(seen), name, files)
}

fn freeze_beside(
    folder: &Path,
    seen: Option<&[String]>,
    name: &str,
    files: &[(String, Vec<u8>)],
) -> Result<PathBuf, WriteFault> {
    let place = folder.join(name);
    let fault = |cause| WriteFault::of(&place, cause);
    if !is_inside(name) || !files.iter().all(|(file, _)| is_inside(file)) {
        return Err(fault(io::ErrorKind::InvalidFilename.into()));
    }
    let written = in_turn(folder, || {
        let there = names_in(folder).map_err(fault)?;
        let moved_on = seen.is_some_and(|seen| there != sorted(seen));
        if moved_on || there.iter().any(|other| other.to_lowercase() == name.to_lowercase()) {
            return Err(fault(io::ErrorKind::AlreadyExists.into()));
        }
        let aside = Aside::within(folder).map_err(fault)?;
        let done = fill(&aside.new_files(), files)
            .and_then(|()| fs::rename(aside.new_files(), &place))
            .and_then(|()| flush_folder(folder));
        aside.clear();
        done.map_err(fault)?;
        Ok(WrittenSet { places: vec![place.clone()], ..WrittenSet::default() })
    });
    written.map(|_| place)
}

/// Whether a folder is one in which what was issued is kept, or is inside of one.
pub fn is_kept(folder: &Path) -> bool {
    let whole = std::path::absolute(folder).unwrap_or_else(|_| folder.to_path_buf());
    let true_name = whole.ancestors().find_map(|f| Some((f, fs::canonicalize(f).ok()?)));
    let resolved = true_name.map(|(there, named)| named.join(whole.strip_prefix(there).unwrap_or(Path::new(""))));
    let kept = |f: &Path| {
        let named = |f: &Path| f.file_name().is_some_and(|n| n.to_string_lossy().eq_ignore_ascii_case(ISSUED));
        f.join(MANIFEST).is_file() && f.parent().is_some_and(named) || named(f) && holds_frozen(f)
    };
    resolved.unwrap_or(whole).ancestors().any(kept)
}

fn holds_frozen(folder: &Path) -> bool {
    let entries = fs::read_dir(folder).into_iter().flatten();
    entries.filter_map(Result::ok).any(|entry| entry.path().join(MANIFEST).is_file())
}

/// A name leads nowhere but down.
fn is_inside(name: &str) -> bool {
    let mut parts = Path::new(name).components().peekable();
    parts.peek().is_some() && parts.all(|part| matches!(part, Component::Normal(_)))
}

/// The names in a folder, hidden ones left out, in order. Names that differ in large and small letters alone are one name on
/// many disks.
fn names_in(folder: &Path) -> io::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder)? {
        names.push(entry?.file_name().to_string_lossy().into_owned());
    }
    names.retain(|name| !name.starts_with('.'));
    Ok(sorted(&names))
}

fn sorted(names: &[String]) -> Vec<String> {
    let mut names = names.to_vec();
    names.sort();
    names
}

/// Writes the files, each read-only, and sees to it that they and their folders are on the disk.
fn fill(within: &Path, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    let mut folders = vec![within.to_path_buf()];
    for (name, bytes) in files {
        let place = within.join(name);
        let above = place.parent().unwrap_or(within).to_path_buf();
        if !folders.contains(&above) {
            fs::create_dir_all(&above)?;
            folders.push(above);
        }
        super::aside::write_new(&place, bytes)?;
        let mut permissions = fs::metadata(&place)?.permissions();
        permissions.set_readonly(true);
        fs::set_permissions(&place, permissions)?;
    }
    folders.iter().try_for_each(|folder| flush_folder(folder))
}
