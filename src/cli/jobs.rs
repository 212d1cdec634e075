//! Which jobs were meant, and their bytes.
//!
//! Given what was typed (a file, a folder, a folder of job folders, or `-`); gives each job's name, bytes and folder.

use super::arguments::Files;
use crate::job_file::Request;
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
}

/// The jobs behind what was typed, in order of name within a folder.
///
/// # Errors
/// What is wrong with a path, in words.
pub(super) fn find(typed: &[PathBuf]) -> Result<Vec<JobSource>, String> {
    let mut found = Vec::new();
    for path in typed {
        found.extend(behind(path)?);
    }
    Ok(found)
}

fn behind(path: &Path) -> Result<Vec<JobSource>, String> {
    if path == Path::new("-") {
        return Ok(vec![JobSource::Input]);
    }
    if path.is_file() {
        return Ok(vec![JobSource::File(path.into())]);
    }
    if !path.exists() {
        return Err(format!("there is no job at {}; name a job file or its folder", path.display()));
    }
    if path.join("job.yaml").is_file() {
        return Ok(vec![JobSource::File(path.join("job.yaml"))]);
    }
    let jobs = job_folders(path).map_err(|e| format!("could not look into {}: {e}", path.display()))?;
    match jobs.is_empty() {
        true => Err(format!("there is no job.yaml in {}, nor in the folders inside it", path.display())),
        false => Ok(jobs),
    }
}

fn job_folders(folder: &Path) -> io::Result<Vec<JobSource>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let file = entry?.path().join("job.yaml");
        if file.is_file() {
            files.push(file);
        }
    }
    files.sort();
    Ok(files.into_iter().map(JobSource::File).collect())
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
        };
        Ok(Request {
            name: self.label(),
            bytes: bytes.map_err(|e| format!("could not read {}: {e}", self.label()))?,
            folder: self.folder(),
            firm: files.firm.clone(),
            prices: files.prices.clone(),
            date: files.date,
        })
    }

    /// What it is called in messages.
    pub(super) fn label(&self) -> String {
        match self {
            JobSource::File(path) => path.display().to_string(),
            JobSource::Input => "standard input".into(),
        }
    }

    /// The folder that it stands in; the current one for standard input.
    pub(super) fn folder(&self) -> PathBuf {
        match self {
            JobSource::File(path) => path.parent().map(Path::to_path_buf).unwrap_or_default(),
            JobSource::Input => PathBuf::new(),
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
            JobSource::Input => None,
        };
        name.map_or_else(|| "job".into(), |n| n.to_string_lossy().into_owned())
    }
}

fn read_enough(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(ENOUGH).read_to_end(&mut bytes)?;
    Ok(bytes)
}
