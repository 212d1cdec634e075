//! A picture that a file names, in the folder of that file.
//!
//! Given the folder, the name as it was written and the most that it may hold; gives its bytes, or why there are none. Nothing
//! outside of the folder is read, by whatever way a name or a link leads there, since what is read goes to the customer; and
//! no more of it than it may hold.

use crate::model::refused;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};

/// Why there are no bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum NotRead {
    /// There is no such file.
    Missing,
    /// What is wrong, said after the picture's name (`is larger than 30 MB`), and the cure.
    Unfit(String, String),
}

/// Reads a picture of at most so many MB.
pub(crate) fn picture(folder: &Path, name: &str, most: usize) -> Result<Vec<u8>, NotRead> {
    let most_bytes = most as u64 * 1_000_000;
    let large = || not_read(&format!("is larger than {most} MB"), "save it smaller; 2,000 pixels across are plenty");
    let place = within(folder, name)?;
    let there = fs::metadata(&place).map_err(|error| unreadable(&error))?;
    if !there.is_file() {
        return Err(not_read("is not a file", "name a PNG or JPEG file"));
    }
    if there.len() > most_bytes {
        return Err(large());
    }
    let mut bytes = Vec::new();
    let read = File::open(&place).and_then(|file| file.take(most_bytes + 1).read_to_end(&mut bytes));
    read.map_err(|error| unreadable(&error))?;
    // What the system calls empty may be without end.
    if bytes.len() as u64 > most_bytes { Err(large()) } else { Ok(bytes) }
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
