//! The hidden folder in which a set of files waits until it is exchanged for the one before it.
//!
//! Given a folder that is locked and finished bytes; gives the set written aside, whole and on the disk. The hidden folder has
//! a name that nobody can foretell, is made new and belongs to its maker alone, so that no link planted in it is ever
//! followed.

use std::fs::{self, DirBuilder, File, OpenOptions};
use std::hash::{BuildHasher, Hasher, RandomState};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// How its name begins; sixteen figures follow.
pub(super) const BEGINNING: &str = ".wetout-";
const FIGURES: usize = 16;
/// Names that are tried before something must be wrong.
const TRIES: usize = 100;

/// A set that waits.
#[derive(Debug)]
pub(super) struct Aside {
    /// The folder for which it is meant.
    folder: PathBuf,
    /// Its name in that folder.
    name: String,
}

impl Aside {
    /// Makes one in a folder.
    pub(super) fn within(folder: &Path) -> io::Result<Aside> {
        for _ in 0..TRIES {
            // A name is not what a document says: chance may name it.
            let name = format!("{BEGINNING}{:0FIGURES$x}", RandomState::new().build_hasher().finish());
            match private_folder(&folder.join(&name)) {
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                made => {
                    made?;
                    let aside = Aside { folder: folder.into(), name };
                    let inside = fs::create_dir(aside.new_files()).and_then(|()| fs::create_dir(aside.old_files()));
                    return inside.inspect_err(|_| aside.clear()).map(|()| aside);
                }
            }
        }
        Err(io::ErrorKind::AlreadyExists.into())
    }

    /// Those that dead runs have left in a folder that is locked: whoever is alive holds the lock.
    pub(super) fn left_in(folder: &Path) -> io::Result<Vec<Aside>> {
        let mut left = Vec::new();
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if is_name(&name) && entry.file_type()?.is_dir() {
                left.push(Aside { folder: folder.into(), name });
            }
        }
        Ok(left)
    }

    /// Its name.
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    fn path(&self) -> PathBuf {
        self.folder.join(&self.name)
    }

    /// Where the new files wait.
    pub(super) fn new_files(&self) -> PathBuf {
        self.path().join("new")
    }

    /// Where the files before them go.
    pub(super) fn old_files(&self) -> PathBuf {
        self.path().join("old")
    }

    /// Writes one of the new files.
    pub(super) fn add(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        write_new(&self.new_files().join(name), bytes)
    }

    /// Sees to it that all that was added is on the disk, and not only on its way there.
    pub(super) fn settle(&self) -> io::Result<()> {
        [self.new_files(), self.old_files(), self.path()].iter().try_for_each(|folder| flush_folder(folder))
    }

    /// Puts a file into the folder itself, whole from the first moment.
    pub(super) fn put(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let waiting = self.path().join(name);
        write_new(&waiting, bytes)?;
        fs::rename(waiting, self.folder.join(name))?;
        flush_folder(&self.folder)
    }

    /// The names of the new files that still wait.
    pub(super) fn waiting(&self) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(self.new_files())? {
            let entry = entry?;
            if entry.file_type()?.is_file() {
                names.push(entry.file_name().to_string_lossy().into_owned());
            }
        }
        names.sort_unstable();
        Ok(names)
    }

    /// Whether it is what a run left, and no links to elsewhere.
    pub(super) fn is_whole(&self) -> bool {
        [self.path(), self.new_files(), self.old_files()]
            .iter()
            .all(|folder| fs::symlink_metadata(folder).is_ok_and(|m| m.is_dir()))
    }

    /// Takes it away with all that is in it.
    pub(super) fn clear(&self) {
        // A hidden folder that will not go does no harm; the next run tries again.
        let _ = fs::remove_dir_all(self.path());
    }
}

fn is_name(name: &str) -> bool {
    name.strip_prefix(BEGINNING).is_some_and(|rest| {
        rest.len() == FIGURES && rest.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
    })
}

fn private_folder(path: &Path) -> io::Result<()> {
    let mut builder = DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path)
}

pub(super) fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Sees to it that what was made or renamed in a folder is on the disk. Systems on which a folder cannot be opened as a file do
/// so by themselves.
pub(super) fn flush_folder(folder: &Path) -> io::Result<()> {
    if !cfg!(unix) {
        return Ok(());
    }
    match File::open(folder)?.sync_all() {
        Err(error) if matches!(error.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported) => Ok(()),
        flushed => flushed,
    }
}
