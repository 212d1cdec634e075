//! A picture that a file names, in the folder of that file.
//!
//! Given the folder, the name as it was written and the most that it may hold; gives where its bytes are read when they are
//! asked for, or why there are none. Nothing
//! outside of the folder is read, by whatever way a name or a link leads there, since what is read goes to the customer; and
//! no more of it than it may hold.

use crate::model::picture::{PictureStore, Unfetched};
use crate::model::refused;
use sha2::{Digest as _, Sha256};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::sync::Mutex;

/// Why there are no bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum NotRead {
    /// There is no such file.
    Missing,
    /// What is wrong, said after the picture's name (`is larger than 30 MB`), and the cure.
    Unfit(String, String),
}

/// A picture that was found, and is read when it is asked for.
#[derive(Debug)]
pub(crate) struct PictureBeside {
    place: PathBuf,
    /// How many bytes it has.
    pub(crate) length: u64,
    /// How many MB it may have.
    most: usize,
    digest: Mutex<Option<[u8; 32]>>,
}

/// Finds a picture of at most so many MB.
pub(crate) fn picture(folder: &Path, name: &str, most: usize) -> Result<PictureBeside, NotRead> {
    let place = within(folder, name)?;
    let there = fs::metadata(&place).map_err(|error| unreadable(&error))?;
    if !there.is_file() {
        return Err(not_read("is not a file", "name a PNG or JPEG file"));
    }
    let length = there.len();
    if length > bytes_of(most) {
        return Err(large(most));
    }
    Ok(PictureBeside { place, length, most, digest: Mutex::new(None) })
}

fn bytes_of(mb: usize) -> u64 {
    mb as u64 * 1_000_000
}

fn large(most: usize) -> NotRead {
    not_read(&format!("is larger than {most} MB"), "save it smaller; 2,000 pixels across are plenty")
}

impl PictureBeside {
    /// Its bytes, or the first so many of them.
    pub(crate) fn read(&self, first: Option<usize>) -> Result<Vec<u8>, NotRead> {
        let room = first.map_or(bytes_of(self.most) + 1, |first| first as u64);
        let mut bytes = Vec::with_capacity(self.length.min(room) as usize + 1);
        let read = File::open(&self.place).and_then(|file| file.take(room).read_to_end(&mut bytes));
        read.map_err(|error| unreadable(&error))?;
        // What the system calls empty may be without end.
        if bytes.len() as u64 > bytes_of(self.most) { Err(large(self.most)) } else { Ok(bytes) }
    }
}

impl PictureStore for PictureBeside {
    fn fetch(&self, most: Option<usize>) -> Result<Vec<u8>, Unfetched> {
        let bytes = self.read(most).map_err(|not_read| match not_read {
            NotRead::Missing => ("is not there any more".to_owned(), "put it back, then run this again".to_owned()),
            NotRead::Unfit(fault, cure) => (fault, cure),
        })?;
        if most.is_none() {
            *self.digest.lock().unwrap_or_else(|e| e.into_inner()) = Some(Sha256::digest(&bytes).into());
        }
        Ok(bytes)
    }

    fn digest(&self) -> Option<[u8; 32]> {
        *self.digest.lock().unwrap_or_else(|e| e.into_inner())
    }
}

/// Where a name leads, if that is inside of the folder.
fn within(folder: &Path, name: &str) -> Result<PathBuf, NotRead> {
    // Written on Windows, read elsewhere.
    let slashes = name.replace('\\', "/");
    let name = if folder.join(name).exists() { name } else { &slashes };
    let plain = Path::new(name).components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir));
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    if !plain {
        return Err(outside());
    }
    let place = folder.join(name);
    let true_folder = fs::canonicalize(folder).map_err(|error| unreadable(&error))?;
    let true_place = fs::canonicalize(&place).map_err(|error| unreadable(&error))?;
    if true_place.starts_with(&true_folder) { Ok(true_place) } else { Err(outside()) }
}

fn outside() -> NotRead {
    not_read("lies outside of the folder of this file", "copy the picture into the folder, and name it from there")
}

fn unreadable(error: &io::Error) -> NotRead {
    if error.kind() == io::ErrorKind::NotFound {
        return NotRead::Missing;
    }
    let (fault, cure) = refused::reading(error);
    NotRead::Unfit(format!("cannot be read: {fault}"), cure)
}

fn not_read(fault: &str, cure: &str) -> NotRead {
    NotRead::Unfit(fault.to_owned(), cure.to_owned())
}
