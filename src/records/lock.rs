//! A folder is written by one run at a time.
//!
//! Given a folder; gives a lock on it, which the system takes back when its process ends, however it ends. The file by which
//! runs find each other is taken away with the lock; one that a dead run has left is used again.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

/// The file that is locked.
pub(super) const LOCK: &str = ".wetout-lock";

/// How often, and how long each time, another run is waited for: twenty seconds in all. It holds the lock only while it
/// writes, not while it works.
const TURNS: usize = 2000;
const TURN: Duration = Duration::from_millis(10);

/// A folder that nobody else writes to.
#[derive(Debug)]
pub(super) struct FolderLock {
    path: PathBuf,
    _file: File,
}

impl FolderLock {
    /// Takes the lock, or waits for it.
    ///
    /// # Errors
    /// What the system said; [`io::ErrorKind::WouldBlock`] where another run does not let go.
    pub(super) fn of(folder: &Path) -> io::Result<FolderLock> {
        let path = folder.join(LOCK);
        for _ in 0..TURNS {
            let Some(file) = open(&path)? else { continue };
            match file.try_lock() {
                // Another run may have taken its file away between the opening and the locking.
                Ok(()) if still_there(&file, &path) => return Ok(FolderLock { path, _file: file }),
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => thread::sleep(TURN),
                Err(TryLockError::Error(error)) => return Err(error),
            }
        }
        Err(io::ErrorKind::WouldBlock.into())
    }
}

impl Drop for FolderLock {
    fn drop(&mut self) {
        if cfg!(unix) {
            // While it is locked: whoever waits finds that it has gone, and makes a new one.
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// Makes the file, or opens the one that is there; `None` where it went away in between, or where something else stood in its
/// place and was taken away: a link is not followed.
fn open(path: &Path) -> io::Result<Option<File>> {
    match OpenOptions::new().write(true).create_new(true).open(path) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
        made => return made.map(Some),
    }
    let opened = match fs::symlink_metadata(path) {
        Ok(there) if there.is_file() => File::open(path),
        Ok(_) => return fs::remove_file(path).map(|()| None),
        Err(error) => Err(error),
    };
    match opened {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        opened => opened.map(Some),
    }
}

#[cfg(unix)]
fn still_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(held), Ok(there)) = (file.metadata(), fs::metadata(path)) else { return false };
    (held.dev(), held.ino()) == (there.dev(), there.ino())
}

#[cfg(not(unix))]
fn still_there(_: &File, _: &Path) -> bool {
    true
}
