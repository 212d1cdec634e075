//! The only code that writes files: a set of documents is exchanged as one, whole or not at all.
//!
//! Given finished bytes and a folder; writes them aside, sees to it that they are on the disk, and exchanges them for those of
//! an earlier run. Whenever a run is stopped, whoever looks into the folder sees the files of one run alone: all of them, or
//! those that are there beside a notice that says that some are missing, which the next run puts right.

mod aside;
mod exchange;
mod fault;
mod frozen;
mod lock;
mod made;

pub use fault::{FileState, WriteFault};
pub use frozen::{ISSUED, MANIFEST, freeze, freeze_upon, is_kept};
pub use made::{MADE, made_record};

use aside::Aside;
use lock::FolderLock;
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What was done in a folder.
#[derive(Debug, Default)]
pub struct WrittenSet {
    /// The files that are new, in the order in which they were given.
    pub places: Vec<PathBuf>,
    /// Files of an earlier run that nothing of this one takes the place of, and that were taken away.
    pub taken_away: Vec<PathBuf>,
    /// Files that were left as they are.
    pub kept: Vec<PathBuf>,
}

/// Writes files into a folder, which is made if need be, in place of those that an earlier run wrote there: files of the
/// same names, and those whose names `earlier` knows. All of it or nothing.
///
/// # Errors
/// The first file that could not be written, and what has become of the others.
pub fn write_all<'a>(
    folder: &Path,
    files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
    earlier: impl Fn(&str) -> bool,
) -> Result<WrittenSet, WriteFault> {
    let files: Vec<_> = files.into_iter().collect();
    in_turn(folder, || exchange_set(folder, &files, &earlier))
}

/// Writes those files that are not there yet, all of them or none; what is there is left as it is.
///
/// # Errors
/// As [`write_all`].
pub fn write_new<'a>(
    folder: &Path,
    files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
) -> Result<WrittenSet, WriteFault> {
    let files: Vec<_> = files.into_iter().collect();
    in_turn(folder, || {
        let there = |name: &str| fs::symlink_metadata(folder.join(name)).is_ok();
        let (kept, new): (Vec<_>, Vec<_>) = files.iter().copied().partition(|(name, _)| there(name));
        let written = exchange_set(folder, &new, &|_| false)?;
        Ok(WrittenSet { kept: kept.into_iter().map(|(name, _)| folder.join(name)).collect(), ..written })
    })
}

/// What became of a file that was to be put in the place of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Replaced {
    /// It stands there; what it took the place of is kept here.
    Done(PathBuf),
    /// It was changed by somebody else since it was read: nothing was written.
    ChangedSince,
    /// Every name under which it could be kept is taken: nothing was written.
    NoNameLeft,
}

/// Puts a file in the place of one that was read, which is kept beside it first, under the first of some names that is free or holds the
/// same already. Each of the two comes whole at once: whenever the program is stopped, there is one or the other.
///
/// # Errors
/// What could not be written.
pub fn replace(
    folder: &Path,
    (name, was, new): (&str, &[u8], &[u8]),
    kept_as: &[String],
) -> Result<Replaced, WriteFault> {
    let mut done = Replaced::ChangedSince;
    in_turn(folder, || {
        let there = |name: &str| fs::read(folder.join(name));
        match there(name) {
            Ok(now) if now == was => {}
            Ok(_) => return Ok(WrittenSet::default()),
            Err(cause) => return Err(WriteFault::of(&folder.join(name), cause)),
        }
        let free = |kept: &&String| match there(kept) {
            Ok(bytes) => bytes == was,
            Err(error) => error.kind() == io::ErrorKind::NotFound,
        };
        let Some(kept) = kept_as.iter().find(free) else {
            done = Replaced::NoNameLeft;
            return Ok(WrittenSet::default());
        };
        if fs::symlink_metadata(folder.join(kept)).is_err() {
            exchange_set(folder, &[(kept, was)], &|_| false)?;
        }
        done = Replaced::Done(folder.join(kept));
        exchange_set(folder, &[(name, new)], &|_| false)
    })?;
    Ok(done)
}

/// Takes away a file that an earlier run of this program wrote and that nothing needs any more, where it is there.
///
/// # Errors
/// Where it is there and cannot be taken away.
pub fn take_away(folder: &Path, name: &str) -> Result<(), WriteFault> {
    let path = folder.join(name);
    match fs::remove_file(&path) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(WriteFault::of(&path, error)),
    }
}

/// Tries whether files can be written into a folder, which is made for that if need be; nothing of it stays. For what asks a person
/// first and writes then.
///
/// # Errors
/// As [`write_all`] would give them.
pub fn try_folder(folder: &Path) -> Result<(), WriteFault> {
    let missing = missing(folder);
    in_turn(folder, || {
        let aside = Aside::within(folder).map_err(|cause| WriteFault::of(folder, cause))?;
        let tried = aside.add("tried", b"\n");
        aside.clear();
        tried.map(|()| WrittenSet::default()).map_err(|cause| WriteFault::of(folder, cause))
    })?;
    // One that somebody else has put something into meanwhile stays.
    missing.iter().for_each(|folder| drop(fs::remove_dir(folder)));
    Ok(())
}

/// Those of a folder and the folders above it that are not there, the innermost first.
fn missing(folder: &Path) -> Vec<&Path> {
    folder.ancestors().filter(|f| !f.as_os_str().is_empty()).take_while(|f| !f.exists()).collect()
}

/// Does a work in a folder that is made if need be and that no other run writes to, once what dead runs left is put in
/// order. Folders that were made for nothing go again.
fn in_turn(folder: &Path, work: impl FnOnce() -> Result<WrittenSet, WriteFault>) -> Result<WrittenSet, WriteFault> {
    let fault = |cause| WriteFault::of(folder, cause);
    let missing = missing(folder);
    let done = fs::create_dir_all(folder).map_err(fault).and_then(|()| {
        let _lock = FolderLock::of(folder).map_err(fault)?;
        exchange::recover(folder)?;
        work()
    });
    match done {
        // One that is not empty stays.
        Err(_) => missing.iter().for_each(|folder| drop(fs::remove_dir(folder))),
        // That the folder itself is found again after a power cut is left to the system where it cannot be asked for.
        Ok(_) => missing.iter().filter_map(|folder| folder.parent()).for_each(|f| drop(aside::flush_folder(f))),
    }
    done
}

/// Puts in order what dead runs have left in a folder, where any have: a run that was killed when all was done but the clearing up
/// leaves nothing for the next to write, which would do it. What cannot be put in order waits for the next run that writes there.
pub fn sweep(folder: &Path) {
    let names = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok).map(|entry| entry.file_name());
    if names.into_iter().any(|name| name.to_string_lossy().starts_with(aside::BEGINNING)) {
        let _ = in_turn(folder, || Ok(WrittenSet::default()));
    }
}

fn exchange_set(
    folder: &Path,
    files: &[(&str, &[u8])],
    earlier: &dyn Fn(&str) -> bool,
) -> Result<WrittenSet, WriteFault> {
    let places: Vec<PathBuf> = files.iter().map(|(name, _)| folder.join(name)).collect();
    if let Some(blocked) = places.iter().find(|place| fs::symlink_metadata(place).is_ok_and(|m| m.is_dir())) {
        return Err(WriteFault::of(blocked, io::ErrorKind::IsADirectory.into()));
    }
    if files.is_empty() {
        return Ok(WrittenSet::default());
    }
    let new: BTreeSet<&str> = files.iter().map(|(name, _)| *name).collect();
    let goes = superseded(folder, &|name| earlier(name) && !new.contains(name));
    let goes = goes.map_err(|cause| WriteFault::of(folder, cause))?;
    let aside = Aside::within(folder).map_err(|cause| WriteFault::of(folder, cause))?;
    if let Err(fault) = write_aside(folder, &aside, files) {
        aside.clear();
        return Err(fault);
    }
    let taken_away = goes.iter().map(|name| folder.join(name)).collect();
    exchange::begin(folder, &aside, goes)?;
    Ok(WrittenSet { places, taken_away, kept: Vec::new() })
}

fn write_aside(folder: &Path, aside: &Aside, files: &[(&str, &[u8])]) -> Result<(), WriteFault> {
    for (name, bytes) in files {
        aside.add(name, bytes).map_err(|cause| WriteFault::of(&folder.join(name), cause))?;
    }
    aside.settle().map_err(|cause| WriteFault::of(folder, cause))
}

/// The plain files of a folder whose names are known.
fn superseded(folder: &Path, known: &dyn Fn(&str) -> bool) -> io::Result<BTreeSet<String>> {
    let mut found = BTreeSet::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if known(&name) && entry.file_type()?.is_file() {
            found.insert(name);
        }
    }
    Ok(found)
}
