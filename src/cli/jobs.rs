//! Which jobs were meant, and their bytes.
//!
//! Given what was typed (a file, a folder, a folder of job folders, or `-`); gives each job's name, bytes and folder.

use super::arguments::Files;
use crate::job_file::Request;
use crate::model::refused;
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

/// The jobs behind what was typed, in order of name within a folder.
///
/// # Errors
/// What is wrong with a path, in words.
pub(super) fn find(typed: &[PathBuf]) -> Result<Vec<JobSource>, String> {
    let mut found = Vec::new();
    for path in typed {
        found.extend(behind(&as_meant(path))?);
    }
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

fn behind(path: &Path) -> Result<Vec<JobSource>, String> {
    if path == Path::new("-") {
        return Ok(vec![JobSource::Input]);
    }
    let there = match fs::metadata(path) {
        Ok(there) => there,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(format!("there is no job at {}; name a job file or its folder", path.display()));
        }
        Err(error) => return Err(unreadable(path, &error)),
    };
    if there.is_file() {
        return Ok(vec![JobSource::File(path.into())]);
    }
    if !there.is_dir() {
        return Err(format!("{} is neither a file nor a folder; name a job file or its folder", path.display()));
    }
    if let Some(job) = in_folder(path)? {
        return Ok(vec![job]);
    }
    let jobs = job_folders(path).map_err(|error| unreadable(path, &error))?;
    match jobs.is_empty() {
        true => Err(format!("there is no job.yaml in {}, nor in the folders inside it", path.display())),
        false => Ok(jobs),
    }
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
            let near = ["job.yml", "job.YAML", "Job.yaml", "job.yaml.txt"].map(|name| folder.join(name));
            match near.iter().find(|file| file.is_file()) {
                Some(near) => Err(format!("{} is not read: call it job.yaml", near.display())),
                None => Ok(None),
            }
        }
        Err(error) => Err(unreadable(folder, &error)),
    }
}

fn job_folders(folder: &Path) -> io::Result<Vec<JobSource>> {
    let mut folders = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        // What leads nowhere is no folder; what cannot be looked at may be one.
        match fs::metadata(&path) {
            Ok(there) if !there.is_dir() => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            _ => folders.push(path),
        }
    }
    folders.sort();
    let job = |folder: PathBuf| match in_folder(&folder) {
        Ok(job) => job,
        Err(words) => Some(JobSource::Unread { folder, words }),
    };
    Ok(folders.into_iter().filter_map(job).collect())
}

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
        })
    }

    /// Whether it is the same job, however it was written.
    pub(super) fn is(&self, other: &JobSource) -> bool {
        match (self, other) {
            (JobSource::File(a), JobSource::File(b)) => fs::canonicalize(a).ok() == fs::canonicalize(b).ok(),
            _ => self == other,
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

fn read_enough(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(ENOUGH).read_to_end(&mut bytes)?;
    Ok(bytes)
}
