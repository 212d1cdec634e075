//! `make`: the three documents of one job or of many, side by side.
//!
//! Given jobs; writes each job's documents whole or not at all. Of many, each job is worked by one thread, which hands back words
//! alone; they are told in the order of the jobs as soon as they can be, and last of all why some could not be made. One job's
//! problems do not stop the others; a full disk does, and Ctrl-C once what is begun is written. What has not changed since its
//! documents were made is not made again.

use super::arguments::{Files, Output};
use super::issued::{self, SourceOfWork};
use super::jobs::{self, FoundJobs, JobSource, NamedJob};
use super::made_from::InputDigests;
use super::many::{self, Next};
use super::terminal;
use super::told_once::{ToldOnce, ToldWords};
use super::work::{self, PricedJob, Stopped};
use super::{Outcome, refuse_stream, remark, told, view, warnings};
use crate::documents::{DocumentKind, Finished};
use crate::records::{self, MADE, WrittenSet};
use std::collections::BTreeMap;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process;
use std::sync::atomic::{AtomicBool, Ordering};

/// The documents of a job.
const KINDS: [DocumentKind; 3] = [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method];

/// Makes the documents of every job; `anew` also of those that have not changed since theirs were made.
///
/// # Errors
/// What was typed cannot be used. A job's own problems are reported and counted in the outcome.
pub(super) fn make(typed: &[PathBuf], files: &Files, output: &Output, anew: bool) -> Result<Outcome, Stopped> {
    refuse_stream(output)?;
    let FoundJobs { jobs, passed_over } = jobs::search(typed).map_err(Stopped::Usage)?;
    terminal::note(&jobs::told_passed_over(&passed_over))?;
    match jobs.as_slice() {
        [only] => make_alone(&only.source, files, output),
        many => make_many(many, files, output, anew),
    }
}

fn make_alone(job: &JobSource, files: &Files, output: &Output) -> Result<Outcome, Stopped> {
    let folder = work::out_folder(job, output, None);
    let made = make_one(job, files, &folder, None)?;
    remark(&made.priced.notices(), &made.priced.laid.loaded)?;
    terminal::note(&view::made(&job.label(), &made.priced, &made.written, false))?;
    terminal::note(&about_source(&made.from))?;
    Ok(Outcome::Done)
}

/// Whether the person, or the system as it goes down, wants the run to end.
static TO_END: AtomicBool = AtomicBool::new(false);

/// Lets Ctrl-C end the run after the jobs that are begun; a second one ends it at once. Where it cannot be set, the first does:
/// what is exchanged then is put right by the next run (`records`).
fn heed_ctrl_c() {
    drop(ctrlc::set_handler(|| {
        if TO_END.swap(true, Ordering::Relaxed) {
            process::exit(Outcome::BrokenOff.code().into());
        }
    }));
}

/// What is told of one job among many.
enum MadeWords {
    /// Its warnings, and what was written.
    Made(ToldWords, String),
    /// Nothing has changed since its documents were made.
    Unchanged,
    /// Why it was not made.
    NotMade(NotMade),
}

struct NotMade {
    words: ToldWords,
    outcome: Outcome,
    /// Nor would any other be: there is no room left.
    none_will: bool,
}

fn make_many(jobs: &[NamedJob], files: &Files, output: &Output, anew: bool) -> Result<Outcome, Stopped> {
    refuse_shared_folders(jobs, output)?;
    let digests = InputDigests::of_this_run();
    let mut tally = Tally { anew, ..Tally::default() };
    heed_ctrl_c();
    let looked_at =
        many::in_order(jobs, |job| made_words(job, files, output, anew, &digests), |job, words| tally.take(job, words));
    if looked_at.is_err() {
        // What was printed did not arrive: whoever reads the errors is told how far it came.
        terminal::warn(&left(tally.looked_at, jobs, anew))?;
    }
    tally.tell(looked_at?, jobs)
}

fn made_words(job: &NamedJob, files: &Files, output: &Output, anew: bool, digests: &InputDigests) -> MadeWords {
    let folder = work::out_folder(&job.source, output, Some(&job.name));
    if !anew && !records::is_kept(&folder) && digests.are_unchanged(&job.source, files, &folder) {
        return MadeWords::Unchanged;
    }
    match make_one(&job.source, files, &folder, Some(digests)) {
        Ok(MadeJob { priced, written, from }) => {
            let made = view::made(&job.source.label(), &priced, &written, true);
            MadeWords::Made(warnings(&priced.notices(), &priced.laid.loaded), made + &about_source(&from))
        }
        Err(stopped) => {
            let none_will = matches!(&stopped, Stopped::Unwritten(fault, _) if is_full(fault.cause.kind()));
            let (words, outcome) = told(&stopped);
            MadeWords::NotMade(NotMade { words, outcome, none_will })
        }
    }
}

fn is_full(kind: ErrorKind) -> bool {
    matches!(kind, ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::ReadOnlyFilesystem)
}

/// How a run over many jobs has gone so far.
#[derive(Default)]
struct Tally {
    /// Whether jobs are made that have not changed.
    anew: bool,
    looked_at: usize,
    made: usize,
    unchanged: usize,
    /// Why some were not made, as far as anybody reads so much at once.
    faults: String,
    faults_told: ToldOnce,
    warnings_told: ToldOnce,
    not_told: Vec<String>,
    not_made: usize,
    worst: Option<Outcome>,
}

/// So many bytes of faults are told; of the jobs behind them no more than the names.
const MOST_TOLD: usize = 400_000;

impl Tally {
    /// Tells what came of a job.
    fn take(&mut self, job: &NamedJob, words: MadeWords) -> Result<Next, Stopped> {
        self.looked_at += 1;
        match words {
            MadeWords::Unchanged => self.unchanged += 1,
            MadeWords::Made(warnings, made) => {
                self.made += 1;
                terminal::remark(&self.warnings_told.of(&warnings))?;
                terminal::note(&made)?;
            }
            MadeWords::NotMade(NotMade { words, outcome, none_will }) => {
                self.not_made += 1;
                self.worst = self.worst.max(Some(outcome));
                let label = job.source.label();
                terminal::note(&format!("{label}: not made; why is told at the end\n"))?;
                let words = self.faults_told.of(&words);
                match self.faults.len() + words.len() <= MOST_TOLD {
                    true => self.faults.push_str(&words),
                    false => self.not_told.push(label),
                }
                if none_will {
                    return Ok(Next::BreakOff);
                }
            }
        }
        Ok(if TO_END.load(Ordering::Relaxed) { Next::BreakOff } else { Next::GoOn })
    }

    /// Tells what came of all of them.
    fn tell(&self, looked_at: usize, jobs: &[NamedJob]) -> Result<Outcome, Stopped> {
        let unchanged = match self.unchanged {
            0 => String::new(),
            n => format!("; {n} as they were, since nothing has changed (--anew makes all)"),
        };
        let not_made = match self.not_made {
            0 => String::new(),
            n => format!("; {n} not made"),
        };
        terminal::note(&format!("{} of {} jobs made{unchanged}{not_made}\n", self.made, jobs.len()))?;
        terminal::warn(&self.faults)?;
        if !self.not_told.is_empty() {
            let (count, names) = (self.not_told.len(), self.not_told.join("\n"));
            terminal::warn(&format!("{count} more jobs were not made; `wetout check` says why:\n{names}\n"))?;
        }
        if looked_at < jobs.len() {
            terminal::warn(&left(looked_at, jobs, self.anew))?;
        }
        let ended = looked_at < jobs.len() && TO_END.load(Ordering::Relaxed);
        Ok(self.worst.max(ended.then_some(Outcome::BrokenOff)).unwrap_or(Outcome::Done))
    }
}

/// What a run that was broken off has left undone.
fn left(looked_at: usize, jobs: &[NamedJob], anew: bool) -> String {
    let again = if anew { "Run it again without --anew" } else { "Run the same again" };
    let first = jobs.get(looked_at).map_or_else(String::new, |job| format!(", from {} on", job.source.label()));
    format!(
        "wetout: broken off after {looked_at} of {} jobs: {} are left{first}. {again}: what is made is not made twice\n",
        jobs.len(),
        jobs.len() - looked_at
    )
}

/// Two jobs of one name would overwrite each other in a named folder. Names that differ in large and small letters alone are
/// one name on many disks.
fn refuse_shared_folders(jobs: &[NamedJob], output: &Output) -> Result<(), Stopped> {
    let mut taken: BTreeMap<PathBuf, &JobSource> = BTreeMap::new();
    for NamedJob { source: job, name } in jobs.iter().filter(|job| !matches!(job.source, JobSource::Unread { .. })) {
        let folder = work::out_folder(job, output, Some(name));
        if let Some(other) = taken.insert(resolved(&folder), job) {
            let (a, b) = (other.label(), job.label());
            let words = format!("{a} and {b} would both write to {}; make them one at a time", folder.display());
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

/// A job whose documents were made.
pub(super) struct MadeJob {
    pub(super) priced: PricedJob,
    pub(super) written: WrittenSet,
    pub(super) from: SourceOfWork,
}

/// Makes the documents of a job and writes them; among many it is written down with them what they were made from.
///
/// # Errors
/// Why none was written.
pub(super) fn make_one(
    job: &JobSource,
    files: &Files,
    folder: &Path,
    digests: Option<&InputDigests>,
) -> Result<MadeJob, Stopped> {
    let mut priced = work::price(job, files)?;
    let from = issued::source(job, DocumentKind::Order, files)?;
    let own = digests.and_then(|digests| Some((digests, digests.own(&priced.laid.loaded)?)));
    let mut finished = match &from.revision {
        None => priced.documents(&KINDS)?,
        Some(_) => {
            let mut accepted = issued::for_work(job, &from, files)?;
            let made = [priced.documents(&KINDS[..1])?, accepted.documents(&KINDS[1..])?].concat();
            priced.left_out.extend(accepted.left_out);
            made
        }
    };
    let loaded = &priced.laid.loaded;
    finished.extend(own.and_then(|(digests, own)| digests.record(loaded, own, &from, files, &finished)));
    let mut written = write(folder, &KINDS, &finished)?;
    written.places.retain(|place| place.file_name().is_none_or(|name| name != MADE));
    Ok(MadeJob { priced, written, from })
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
