//! `make`: the three documents of one job or of many, side by side.
//!
//! Given jobs; writes each job's documents whole or not at all, and reports in the order of the jobs, whichever was
//! ready first. One job's problems do not stop the others.

use super::arguments::{Files, Output};
use super::issued::{self, SourceOfWork};
use super::jobs::{self, JobSource};
use super::terminal::{self, Progress};
use super::work::{self, PricedJob, Stopped};
use super::{Outcome, refuse_stream, remark, report, view};
use crate::documents::{DocumentKind, Finished};
use crate::records::{self, WrittenSet};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// A job of which the documents were made, or why not.
pub(super) type MadeOne = Result<(PricedJob, WrittenSet, SourceOfWork), Stopped>;

/// Makes the documents of every job.
///
/// # Errors
/// What was typed cannot be used. A job's own problems are reported and counted in the outcome.
pub(super) fn make(typed: &[PathBuf], files: &Files, output: &Output) -> Result<Outcome, Stopped> {
    refuse_stream(output)?;
    let jobs = jobs::find(typed).map_err(Stopped::Usage)?;
    let many = jobs.len() > 1;
    refuse_shared_folders(&jobs, output, many)?;
    let results = side_by_side(&jobs, |job| make_one(job, files, output, many));
    let mut worst = Outcome::Done;
    let mut done = 0;
    for (job, result) in jobs.iter().zip(results) {
        match result {
            Ok((priced, written, from)) => {
                done += 1;
                remark(&priced.notices(), &priced.laid.loaded)?;
                terminal::note(&view::made(&job.label(), &priced, &written, many))?;
                terminal::note(&about_source(&from))?;
            }
            Err(stopped) => worst = worst.max(report(&stopped)),
        }
    }
    if many {
        terminal::note(&format!("{done} of {} jobs made\n", jobs.len()))?;
    }
    Ok(worst)
}

/// Two jobs of one name would overwrite each other in a named folder. Names that differ in large and small letters alone are
/// one name on many disks.
fn refuse_shared_folders(jobs: &[JobSource], output: &Output, many: bool) -> Result<(), Stopped> {
    let mut taken: BTreeMap<PathBuf, &JobSource> = BTreeMap::new();
    for job in jobs.iter().filter(|job| !matches!(job, JobSource::Unread { .. })) {
        let folder = work::out_folder(job, output, many);
        if let Some(other) = taken.insert(resolved(&folder), job) {
            let (a, b) = (other.label(), job.label());
            let words = match other.is(job) {
                true => format!("{a} and {b} are one job; name it once"),
                false => format!("{a} and {b} would both write to {}; make them one at a time", folder.display()),
            };
            return Err(Stopped::Usage(words));
        }
    }
    Ok(())
}

/// One path for one folder, however it was written: what is there is asked for its true name, what is not there yet is taken
/// in small letters.
fn resolved(folder: &Path) -> PathBuf {
    let whole = std::path::absolute(folder).unwrap_or_else(|_| folder.to_path_buf());
    let there = whole.ancestors().find_map(|f| Some((f, fs::canonicalize(f).ok()?)));
    let Some((there, named)) = there else { return whole };
    let rest = whole.strip_prefix(there).unwrap_or(Path::new(""));
    if rest.as_os_str().is_empty() { named } else { named.join(rest.to_string_lossy().to_lowercase()) }
}

/// That order and method statement are made from what was accepted.
pub(super) fn about_source(from: &SourceOfWork) -> String {
    match &from.revision {
        Some(_) => format!("The order and the method statement are {}", from.said),
        None => from.said.clone(),
    }
}

/// Makes the documents of a job and writes them.
///
/// # Errors
/// Why none was written.
pub(super) fn make_one(job: &JobSource, files: &Files, output: &Output, many: bool) -> MadeOne {
    let priced = work::price(job, files)?;
    let kinds = [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method];
    let from = issued::source(job, DocumentKind::Order, files)?;
    let finished = match &from.revision {
        None => priced.documents(&kinds)?,
        Some(_) => {
            let accepted = work::price(&from.job, files)?;
            [priced.documents(&kinds[..1])?, accepted.documents(&kinds[1..])?].concat()
        }
    };
    let written = write(&work::out_folder(job, output, many), &kinds, &finished)?;
    Ok((priced, written, from))
}

/// Writes finished files into a folder, all or none, in place of what an earlier run gave of the same kinds: an order to a
/// second merchant does not stay beside the one order that there is now.
pub(super) fn write(folder: &Path, kinds: &[DocumentKind], finished: &[Finished]) -> Result<WrittenSet, Stopped> {
    write_over(folder, |name| kinds.iter().any(|kind| kind.gives(name)), finished)
}

/// The same in place of those files of an earlier run whose names are said to be such.
pub(super) fn write_over(
    folder: &Path,
    earlier: impl Fn(&str) -> bool,
    finished: &[Finished],
) -> Result<WrittenSet, Stopped> {
    refuse_kept(folder)?;
    let files = finished.iter().map(|f| (f.name.as_str(), f.bytes.as_slice()));
    records::write_all(folder, files, earlier).map_err(|fault| Stopped::Unwritten(fault, "with --out"))
}

/// What was issued is never written over.
pub(super) fn refuse_kept(folder: &Path) -> Result<(), Stopped> {
    match records::is_kept(folder) {
        true => Err(Stopped::Usage(format!(
            "{} holds what was issued, and nothing is written over that; name another folder with --out",
            folder.display()
        ))),
        false => Ok(()),
    }
}

/// Does the same to every job on as many threads as there are processors; results in the order of the jobs.
fn side_by_side<R: Send>(jobs: &[JobSource], work: impl Fn(&JobSource) -> R + Sync) -> Vec<R> {
    let workers = thread::available_parallelism().map_or(1, usize::from).min(jobs.len());
    if workers <= 1 {
        return jobs.iter().map(work).collect();
    }
    let progress = Progress::over(jobs.len());
    let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let results: Mutex<BTreeMap<usize, R>> = Mutex::default();
    thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some((i, job)) = take(jobs, &next) {
                    let result = work(job);
                    lock(&results).insert(i, result);
                    progress.at(done.fetch_add(1, Ordering::Relaxed) + 1);
                }
            });
        }
    });
    progress.end();
    results.into_inner().unwrap_or_else(|e| e.into_inner()).into_values().collect()
}

fn take<'a>(jobs: &'a [JobSource], next: &AtomicUsize) -> Option<(usize, &'a JobSource)> {
    let i = next.fetch_add(1, Ordering::Relaxed);
    jobs.get(i).map(|job| (i, job))
}

fn lock<T>(m: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    m.lock().unwrap_or_else(|e| e.into_inner())
}
