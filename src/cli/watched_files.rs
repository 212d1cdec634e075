//! Which files a job is made from, and whether one of them was saved.
//!
//! Given a job as it was last read, or that it could not be; gives the files and folders to look at, and how each file stands.
//! A file is told by its size and times, never by its name alone: whether an editor writes into it or puts a new one in its place,
//! it stands otherwise than before.

use super::arguments::Files;
use super::jobs::JobSource;
use crate::job_file::Loaded;
use std::collections::{BTreeMap, BTreeSet};
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// How the names of pictures end.
const PICTURES: [&str; 3] = ["jpg", "jpeg", "png"];

/// How a file stands: nothing where it is not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct FileStanding {
    size: u64,
    changed: Option<SystemTime>,
    made: Option<SystemTime>,
}

/// How each file stands.
pub(super) type FileStandings = BTreeMap<PathBuf, Option<FileStanding>>;

/// What a job is made from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct WatchedFiles {
    /// Files that were read, or that would be read if they were there.
    files: BTreeSet<PathBuf>,
    /// Folders of which every file with such an ending is read.
    folders: BTreeMap<PathBuf, &'static [&'static str]>,
}

impl WatchedFiles {
    /// The files of a job: where it could be read, its pictures and its firm's own words and fonts too.
    pub(super) fn of(job: &JobSource, given: &Files, loaded: Option<&Loaded>) -> WatchedFiles {
        let mut watched = WatchedFiles::default();
        if let JobSource::File(path) = job {
            watched.files.insert(path.clone());
        }
        let folder = job.folder();
        watched.files.extend(given.firm.iter().chain(&given.prices).cloned());
        for above in upward(&folder) {
            let (firm, prices, books) = (above.join("firm.yaml"), above.join("prices.yaml"), above.join("prices"));
            let ends = firm.is_file() && (prices.is_file() || books.is_dir());
            if given.firm.is_none() {
                watched.files.insert(firm);
            }
            if given.prices.is_empty() {
                watched.files.insert(prices);
                watched.folders.insert(books, &["yaml"]);
            }
            if ends {
                break;
            }
        }
        let Some(loaded) = loaded else { return watched };
        watched.files.extend(loaded.photos.iter().map(|photo| folder.join(&photo.file)));
        let firm = loaded.sources.firm.as_ref().and_then(|firm| Path::new(&firm.name).parent()).map(Path::to_path_buf);
        if let Some(firm) = firm {
            let logo = loaded.firm.as_ref().and_then(|f| f.logo.as_ref());
            watched.files.extend(logo.map(|logo| firm.join(&logo.name)));
            watched.folders.insert(firm.join("templates"), &["md"]);
            watched.folders.insert(firm.join("fonts"), &super::own::FONT_ENDINGS);
        }
        watched
    }

    /// The same with what stood there when the job could still be read, and with every picture beside it: one of them may be
    /// the cure.
    pub(super) fn and_what_was(mut self, before: &WatchedFiles, job: &JobSource) -> WatchedFiles {
        self.files.extend(before.files.iter().cloned());
        self.folders.extend(before.folders.iter().map(|(folder, endings)| (folder.clone(), *endings)));
        self.folders.entry(job.folder()).or_insert(&PICTURES);
        self
    }

    /// How every file stands now.
    pub(super) fn standings(&self) -> FileStandings {
        let listed = self.folders.iter().flat_map(|(folder, endings)| with_endings(folder, endings));
        let all: BTreeSet<PathBuf> = self.files.iter().cloned().chain(listed).collect();
        all.into_iter().map(|path| (path.clone(), standing(&path))).collect()
    }

    /// The folders in which something is saved when one of them is, those that are there.
    pub(super) fn folders(&self) -> BTreeSet<PathBuf> {
        let there = self.files.iter().filter(|file| file.is_file()).map(|file| folder_of(file));
        there.chain(self.folders.keys().cloned()).map(here).filter(|folder| folder.is_dir()).collect()
    }
}

/// The names of the files that stand otherwise than before.
pub(super) fn saved(before: &FileStandings, now: &FileStandings) -> Vec<String> {
    let paths: BTreeSet<&PathBuf> = before.keys().chain(now.keys()).collect();
    let stood = |all: &FileStandings, path: &PathBuf| all.get(path).copied().flatten();
    let moved = paths.into_iter().filter(|path| stood(before, path) != stood(now, path));
    moved.map(|path| path.display().to_string()).collect()
}

/// Whether a file is away or empty that was not so before.
pub(super) fn half_saved(before: &FileStandings, now: &FileStandings) -> bool {
    let whole = |standing: &Option<FileStanding>| standing.is_some_and(|s| s.size > 0);
    before.iter().any(|(path, was)| whole(was) && !now.get(path).is_some_and(whole))
}

/// The files that are there.
pub(super) fn there(standings: &FileStandings) -> Vec<String> {
    standings.iter().filter(|(_, s)| s.is_some()).map(|(path, _)| path.display().to_string()).collect()
}

fn standing(path: &Path) -> Option<FileStanding> {
    let there = fs::metadata(path).ok().filter(fs::Metadata::is_file)?;
    Some(FileStanding { size: there.len(), changed: there.modified().ok(), made: there.created().ok() })
}

fn with_endings(folder: &Path, endings: &[&str]) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(here(folder.to_path_buf())) else { return Vec::new() };
    let paths = entries.filter_map(|entry| Some(folder.join(entry.ok()?.file_name())));
    let ends = |path: &PathBuf| path.extension().is_some_and(|e| endings.iter().any(|end| e.eq_ignore_ascii_case(end)));
    paths.filter(ends).collect()
}

/// A job's folder and those above it, by short names below the current one.
fn upward(folder: &Path) -> Vec<PathBuf> {
    let whole = fs::canonicalize(here(folder.to_path_buf())).unwrap_or_else(|_| folder.to_path_buf());
    let current = env::current_dir().and_then(fs::canonicalize).ok();
    let short = |path: &Path| match current.as_ref().and_then(|c| path.strip_prefix(c).ok()) {
        Some(short) => short.to_path_buf(),
        None => path.to_path_buf(),
    };
    whole.ancestors().map(short).collect()
}

fn folder_of(file: &Path) -> PathBuf {
    file.parent().map(Path::to_path_buf).unwrap_or_default()
}

/// The current folder where none is named.
fn here(folder: PathBuf) -> PathBuf {
    if folder.as_os_str().is_empty() { ".".into() } else { folder }
}
