//! Which jobs were meant, and their bytes.
//!
//! Given what was typed (a file, a folder, a folder of job folders at any depth, or `-`); gives each job's name, bytes and folder,
//! and the folders in which there was none.

use super::arguments::Files;
use crate::job_file::{self, Request, StockFrom};
use crate::model::limits::{self, Most};
use crate::model::refused;
use crate::records::ISSUED;
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// Bytes read of a job file; one that is larger is refused by its reader with a message of its own.
const ENOUGH: u64 = 8 << 20;

/// A job that was named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum JobSource {
    /// A YAML file.
    File(PathBuf),
    /// Standard input.
    Input,
    /// A folder among folders of jobs that surely holds one and cannot be read.
    Unread {
        /// The folder.
        folder: PathBuf,
        /// Why, and what to do.
        words: String,
    },
}

/// A job with the name of its folder among those of many: its place below the folder that was named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NamedJob {
    /// The job.
    pub source: JobSource,
    /// The name.
    pub name: PathBuf,
}

/// What stands behind what was typed.
#[derive(Debug, Default)]
pub(super) struct FoundJobs {
    /// The jobs, each once, in order of name within a folder.
    pub jobs: Vec<NamedJob>,
    /// Folders in which there is none, however deep.
    pub passed_over: Vec<PathBuf>,
}

/// The jobs behind what was typed, in order of name within a folder; each once, however often and by whatever name it was named.
///
/// # Errors
/// What is wrong with a path, in words.
pub(super) fn find(typed: &[PathBuf]) -> Result<Vec<JobSource>, String> {
    Ok(search(typed)?.jobs.into_iter().map(|job| job.source).collect())
}

/// The same, with the folders in which there was none.
///
/// # Errors
/// What is wrong with a path, in words.
pub(super) fn search(typed: &[PathBuf]) -> Result<FoundJobs, String> {
    let mut found = FoundJobs::default();
    for path in typed {
        behind(&as_meant(path), &mut found)?;
    }
    let mut known = BTreeSet::new();
    found.jobs.retain(|job| known.insert(job.source.true_name()));
    found.passed_over.dedup();
    Ok(found)
}

/// A path as Windows writes it, where nothing of that very name is there: folders parted by `\`, and a quote at the end, which
/// stands behind a path that was typed as `"C:\jobs\"`.
fn as_meant(path: &Path) -> PathBuf {
    let there = fs::symlink_metadata(path).is_ok();
    let Some(text) = path.to_str().filter(|_| !there) else { return path.to_path_buf() };
    let unquoted = text.strip_suffix('"').unwrap_or(text);
    let slashes = unquoted.replace('\\', "/");
    [unquoted, &slashes].into_iter().map(PathBuf::from).find(|p| p.exists()).unwrap_or_else(|| path.to_path_buf())
}

fn behind(path: &Path, found: &mut FoundJobs) -> Result<(), String> {
    let mut alone = |source: JobSource| {
        let name = source.short_name().into();
        found.jobs.push(NamedJob { source, name });
        Ok(())
    };
    if path == Path::new("-") {
        return alone(JobSource::Input);
    }
    let there = match fs::metadata(path) {
        Ok(there) => there,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(format!("there is no job at {}; name a job file or its folder", path.display()));
        }
        Err(error) => return Err(unreadable(path, &error)),
    };
    if there.is_file() {
        return alone(JobSource::File(path.into()));
    }
    if !there.is_dir() {
        return Err(format!("{} is neither a file nor a folder; name a job file or its folder", path.display()));
    }
    if let Some(job) = in_folder(path)? {
        return alone(job);
    }
    let seen = BTreeSet::from([true_name(path)]);
    let mut walk = FolderWalk { named: path, seen, many: false, found: FoundJobs::default() };
    walk.below(path, 0).map_err(|error| unreadable(path, &error))?;
    if walk.many {
        let Most { what, most } = limits::FOLDERS;
        return Err(format!("there are more than {most} {what} in {}; name the folder of your jobs", path.display()));
    }
    match walk.found.jobs.is_empty() {
        true => Err(format!(
            "there is no job.yaml in {0}, nor in the folders inside it; name the folder of a job, or begin one with `wetout new {0}`",
            path.display()
        )),
        false => {
            found.jobs.append(&mut walk.found.jobs);
            found.passed_over.append(&mut walk.found.passed_over);
            Ok(())
        }
    }
}

/// Folders nested deeper than this are no filing of jobs.
const DEEPEST: usize = 24;

/// A folder of jobs that is gone through. A job's own folder is not: what stands in it belongs to the job.
struct FolderWalk<'a> {
    named: &'a Path,
    /// The folders that were entered, by their true names: links may lead round in a ring.
    seen: BTreeSet<PathBuf>,
    /// There are more of them than are gone through: a whole disk was named.
    many: bool,
    found: FoundJobs,
}

impl FolderWalk<'_> {
    /// Goes through what is in a folder.
    fn below(&mut self, folder: &Path, depth: usize) -> io::Result<()> {
        let mut folders = Vec::new();
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let path = entry.path();
            if entry.file_name().to_string_lossy().starts_with('.') {
                continue;
            }
            // What leads nowhere is no folder; what cannot be looked at may be one.
            match fs::metadata(&path) {
                Ok(there) if !there.is_dir() => {}
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                _ => folders.push(path),
            }
        }
        folders.sort();
        for path in folders {
            match in_folder(&path) {
                Ok(Some(job)) => self.keep(job, &path),
                Ok(None) => self.enter(path, depth + 1),
                Err(words) => self.keep(JobSource::Unread { folder: path.clone(), words }, &path),
            }
        }
        Ok(())
    }

    /// Goes into a folder that holds no job itself; where there is none below it either, it is passed over as one.
    fn enter(&mut self, folder: PathBuf, depth: usize) {
        // What this program writes into.
        let own = ["out", ISSUED].iter().any(|own| folder.file_name().is_some_and(|name| name == *own));
        self.many |= self.seen.len() >= limits::FOLDERS.most;
        if own || self.many || !self.seen.insert(true_name(&folder)) {
            return;
        }
        let before = (self.found.jobs.len(), self.found.passed_over.len());
        let gone = if depth < DEEPEST { self.below(&folder, depth) } else { Ok(()) };
        if let Err(error) = gone {
            self.found.jobs.truncate(before.0);
            let words = unreadable(&folder, &error);
            self.keep(JobSource::Unread { folder: folder.clone(), words }, &folder);
        }
        if self.found.jobs.len() == before.0 {
            self.found.passed_over.truncate(before.1);
            self.found.passed_over.push(folder);
        }
    }

    fn keep(&mut self, source: JobSource, folder: &Path) {
        let name = folder.strip_prefix(self.named).unwrap_or(folder).to_path_buf();
        self.found.jobs.push(NamedJob { source, name });
    }
}

/// Which folders were passed over, in words; nothing where none was.
pub(super) fn told_passed_over(folders: &[PathBuf]) -> String {
    let names: Vec<String> = folders.iter().take(NAMED).map(|folder| folder.display().to_string()).collect();
    match folders.len() {
        0 => String::new(),
        1 => format!("passed over {}: there is no job.yaml in it\n", names.concat()),
        all => {
            let more = if all > NAMED { format!(" and {} more", all - NAMED) } else { String::new() };
            format!("passed over {all} folders in which there is no job.yaml: {}{more}\n", names.join(", "))
        }
    }
}

/// So many folders are named.
const NAMED: usize = 20;

/// A path by which a file or a folder is known, however it was written.
fn true_name(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf())
}

fn unreadable(path: &Path, error: &io::Error) -> String {
    let (fault, cure) = refused::reading(error);
    format!("could not read {}: {fault}; {cure}", path.display())
}

/// The job of a folder; `None` where it has none.
///
/// # Errors
/// Why its job cannot be read, in words.
fn in_folder(folder: &Path) -> Result<Option<JobSource>, String> {
    let file = folder.join("job.yaml");
    match fs::metadata(&file) {
        Ok(there) if there.is_file() => Ok(Some(JobSource::File(file))),
        Ok(_) => Err(format!("{} is not a file; give it another name", file.display())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            match near_job(folder).map_err(|error| unreadable(folder, &error))? {
                Some(near) => Err(format!("{} is not read: call it job.yaml", near.display())),
                None => Ok(None),
            }
        }
        Err(error) => Err(unreadable(folder, &error)),
    }
}

/// A file that was surely meant to be the job.
fn near_job(folder: &Path) -> io::Result<Option<PathBuf>> {
    let mut near = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().to_lowercase();
        if NEAR.contains(&name.as_str()) && entry.path().is_file() {
            near.push(entry.path());
        }
    }
    near.sort();
    Ok(near.into_iter().next())
}

/// Said once, whatever references stand twice.
pub(super) const ONE_REFERENCE: &str =
    "Two orders and two invoices would have one number: give each job its own `reference`.\n";

/// Names, in small letters, that a job gets by an editor's or a system's habit.
const NEAR: [&str; 6] = ["job.yaml", "job.yml", "job.yaml.txt", "job.yml.txt", "job.yaml.yaml", "job.txt"];

impl JobSource {
    /// Reads the job.
    ///
    /// # Errors
    /// Why it cannot be read, in words.
    pub(super) fn request(&self, files: &Files) -> Result<Request, String> {
        let bytes = match self {
            JobSource::File(path) => File::open(path).and_then(read_enough),
            JobSource::Input => read_enough(io::stdin().lock()),
            JobSource::Unread { words, .. } => return Err(words.clone()),
        };
        Ok(Request {
            name: self.label(),
            bytes: bytes.map_err(|error| unreadable(Path::new(&self.label()), &error))?,
            folder: self.folder(),
            firm: files.firm.clone(),
            prices: files.prices.clone(),
            date: files.date,
            without_options: false,
            stock: stock_from(files),
            as_will_be: None,
        })
    }

    /// The path by which it is known, however it was written.
    fn true_name(&self) -> PathBuf {
        match self {
            JobSource::File(path) => true_name(path),
            JobSource::Input => "-".into(),
            JobSource::Unread { folder, .. } => true_name(folder),
        }
    }

    /// What it is called in messages.
    pub(super) fn label(&self) -> String {
        match self {
            JobSource::File(path) => path.display().to_string(),
            JobSource::Input => "standard input".into(),
            JobSource::Unread { folder, .. } => folder.display().to_string(),
        }
    }

    /// The folder that it stands in; the current one for standard input.
    pub(super) fn folder(&self) -> PathBuf {
        match self {
            JobSource::File(path) => path.parent().map(Path::to_path_buf).unwrap_or_default(),
            JobSource::Input => PathBuf::new(),
            JobSource::Unread { folder, .. } => folder.clone(),
        }
    }

    /// The folder for its documents: `out` beside `job.yaml`; a file of another name gets a folder of its own in `out`,
    /// so that two jobs of one folder do not overwrite each other.
    pub(super) fn out_folder(&self) -> PathBuf {
        let out = self.folder().join("out");
        match self {
            JobSource::File(path) if path.file_name().is_some_and(|n| n != "job.yaml") => out.join(self.short_name()),
            _ => out,
        }
    }

    /// A short name for a folder among many: the job folder's name, or the file's without its ending.
    pub(super) fn short_name(&self) -> String {
        let name = match self {
            JobSource::File(path) if path.file_name().is_some_and(|n| n == "job.yaml") => {
                fs::canonicalize(self.folder()).ok().and_then(|f| f.file_name().map(|n| n.to_owned()))
            }
            JobSource::File(path) => path.file_stem().map(|n| n.to_owned()),
            JobSource::Input | JobSource::Unread { .. } => None,
        };
        name.map_or_else(|| "job".into(), |n| n.to_string_lossy().into_owned())
    }
}

/// Which stock list counts.
fn stock_from(files: &Files) -> StockFrom {
    match &files.stock {
        _ if files.without_stock => StockFrom::Nowhere,
        Some(named) => StockFrom::File(named.clone()),
        None => StockFrom::Nearest,
    }
}

/// The stock list that counts for a job in a folder; `None` where there is none.
pub(super) fn stock_of(files: &Files, folder: &Path) -> Option<PathBuf> {
    match stock_from(files) {
        StockFrom::Nowhere => None,
        StockFrom::File(named) => Some(named),
        StockFrom::Nearest => job_file::nearest_stock(folder),
    }
}

fn read_enough(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(ENOUGH).read_to_end(&mut bytes)?;
    Ok(bytes)
}
