//! The only code that writes files: whole or not at all.
//!
//! Given finished bytes and a folder; writes each to a temporary file beside its place, and renames them all only when
//! every one of them has been written. A failure leaves what was there before untouched.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why a file could not be written.
#[derive(Debug)]
pub struct WriteFault {
    /// Which file or folder.
    pub path: PathBuf,
    /// What the system said.
    pub cause: io::Error,
}

impl std::fmt::Display for WriteFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let place = self.path.display();
        match self.cause.kind() {
            io::ErrorKind::PermissionDenied => {
                write!(f, "could not write {place}: no permission; choose another folder with --out")
            }
            io::ErrorKind::StorageFull => write!(f, "could not write {place}: the disk is full; nothing was changed"),
            io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
                write!(f, "could not write {place}: a file stands where a folder is needed; choose another with --out")
            }
            _ => write!(f, "could not write {place}: {}", self.cause),
        }
    }
}

/// Writes files into a folder, which is made if need be. All of them or none.
///
/// # Errors
/// The first file that could not be written; no file in the folder has changed then, unless a rename itself failed.
pub fn write_all<'a>(
    folder: &Path,
    files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
) -> Result<Vec<PathBuf>, WriteFault> {
    fs::create_dir_all(folder).map_err(|cause| WriteFault { path: folder.into(), cause })?;
    let mut pending = Pending(Vec::new());
    for (name, bytes) in files {
        let place = folder.join(name);
        let waiting = folder.join(format!(".{name}.{}.part", std::process::id()));
        pending.0.push((waiting.clone(), place.clone()));
        write_whole(&waiting, bytes).map_err(|cause| WriteFault { path: place, cause })?;
    }
    pending.put_in_place()
}

/// Writes those files that are not there yet, all of them or none; gives what was written and what was left as it is.
///
/// # Errors
/// As [`write_all`].
pub fn write_new<'a>(
    folder: &Path,
    files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
) -> Result<(Vec<PathBuf>, Vec<PathBuf>), WriteFault> {
    let there = |name: &str| fs::symlink_metadata(folder.join(name)).is_ok();
    let (kept, new): (Vec<_>, Vec<_>) = files.into_iter().partition(|(name, _)| there(name));
    let written = write_all(folder, new)?;
    Ok((written, kept.into_iter().map(|(name, _)| folder.join(name)).collect()))
}

fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.flush()
}

/// Temporary files with the places where they belong; what is not put in place is swept away.
struct Pending(Vec<(PathBuf, PathBuf)>);

impl Pending {
    fn put_in_place(mut self) -> Result<Vec<PathBuf>, WriteFault> {
        let mut placed = Vec::new();
        for (waiting, place) in self.0.iter() {
            fs::rename(waiting, place).map_err(|cause| WriteFault { path: place.clone(), cause })?;
            placed.push(place.clone());
        }
        self.0.clear();
        Ok(placed)
    }
}

impl Drop for Pending {
    fn drop(&mut self) {
        for (waiting, _) in &self.0 {
            // Nothing more can be done about a temporary file that will not go.
            let _ = fs::remove_file(waiting);
        }
    }
}
