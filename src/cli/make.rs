//! `make`: the three documents of one job or of many, side by side.
//!
//! Given jobs; writes each job's documents whole or not at all, and reports in the order of the jobs, whichever was
//! ready first. One job's problems do not stop the others.

use super::arguments::{Files, Output};
use super::jobs::{self, JobSource};
use super::terminal::{self, Progress};
use super::work::{self, PricedJob, Stopped};
use super::{Outcome, refuse_stream, remark, report, view};
use crate::documents::{DocumentKind, Finished};
use crate::records;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

type Made = Result<(PricedJob, Vec<PathBuf>), Stopped>;

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
            Ok((priced, places)) => {
                done += 1;
                remark(&priced.notices(), &priced.laid.loaded);
                terminal::say(&view::made(&job.label(), &priced, &places, many));
            }
            Err(stopped) => worst = worst.max(report(&stopped)),
        }
    }
    if many {
        terminal::say(&format!("{done} of {} jobs made\n", jobs.len()));
    }
    Ok(worst)
}

/// Two jobs of one name would overwrite each other in a named folder.
fn refuse_shared_folders(jobs: &[JobSource], output: &Output, many: bool) -> Result<(), Stopped> {
    let mut taken: BTreeMap<PathBuf, &JobSource> = BTreeMap::new();
    for job in jobs {
        let folder = work::out_folder(job, output, many);
        if let Some(other) = taken.insert(folder.clone(), job) {
            let (a, b) = (other.label(), job.label());
            let words = format!("{a} and {b} would both write to {}; make them one at a time", folder.display());
            return Err(Stopped::Usage(words));
        }
    }
    Ok(())
}

fn make_one(job: &JobSource, files: &Files, output: &Output, many: bool) -> Made {
    let priced = work::price(job, files)?;
    let finished = priced.documents(&[DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method])?;
    let places = write(&work::out_folder(job, output, many), &finished)?;
    Ok((priced, places))
}

/// Writes finished files into a folder, all or none.
pub(super) fn write(folder: &Path, finished: &[Finished]) -> Result<Vec<PathBuf>, Stopped> {
    let files = finished.iter().map(|f| (f.name.as_str(), f.bytes.as_slice()));
    records::write_all(folder, files).map_err(Stopped::Unwritten)
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
