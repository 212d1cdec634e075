//! `watch`: the documents of a job, made anew whenever a file that they are made from is saved.
//!
//! Given a job; makes its documents as `make` does, and tells what each save changed. The system says when something is saved
//! (crate `notify`), and the files are looked at every two seconds as well, since some drives say nothing; whether one was
//! saved is told by how it stands, whoever said so. A save that cannot be used is told on the screen; the documents stay.

use super::Outcome;
use super::arguments::WatchedJob;
use super::issued::WorkPrices;
use super::jobs::JobSource;
use super::make::{self, MadeJob};
use super::watched_files::{self, FileStandings, WatchedFiles};
use super::work::{self, PricedJob, Stopped};
use super::{issued, kept_beside, refuse_stream, remark, report, terminal, view};
use crate::documents::wording;
use notify::event::EventKind;
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::mpsc::{self, Receiver, Sender};
use std::time::{Duration, Instant};

/// How often the files are looked at where the system tells of saves.
const NOW_AND_THEN: Duration = Duration::from_secs(2);
/// How often where it does not.
const OFTEN: Duration = Duration::from_millis(700);
/// A save is over once nothing has moved for so long.
const SETTLED: Duration = Duration::from_millis(150);
/// An editor that never settles is not waited for any longer, nor a file that stays away.
const LONGEST: Duration = Duration::from_secs(2);

/// What is waited for.
enum Stir {
    /// Something has moved in a folder.
    Moved,
    /// The person wants to end.
    End,
}

/// Makes the documents, and again at every save, until Ctrl-C.
///
/// # Errors
/// What was typed cannot be used, or nothing more can be printed.
pub(super) fn watch(asked: &WatchedJob) -> Result<Outcome, Stopped> {
    refuse_stream(&asked.output)?;
    let job = kept_beside(&asked.job)?;
    let (speak, hear) = mpsc::channel();
    let end = speak.clone();
    // Where it cannot be set, Ctrl-C ends the program at once: what is exchanged then is put right by the next run (`records`).
    drop(ctrlc::set_handler(move || drop(end.send(Stir::End))));
    let mut ears = Ears::new(speak.clone(), asked.poll);
    let mut watched = WatchedFiles::of(&job, &asked.files, None);
    let mut known = watched.standings();
    let mut last = made_anew(asked, &job, None, &[])?;
    loop {
        watched = match &last {
            Attempt::Made(priced) => WatchedFiles::of(&job, &asked.files, Some(&priced.laid.loaded)),
            Attempt::Failed(_) => WatchedFiles::of(&job, &asked.files, None).and_what_was(&watched, &job),
        };
        ears.turn_to(&watched.folders());
        // What was known before the documents were made is held against what there is now: a save in between is not lost.
        let before = |path: &PathBuf, now| known.get(path).copied().unwrap_or(now);
        known = watched.standings().into_iter().map(|(path, now)| (path.clone(), before(&path, now))).collect();
        if !tell_what_is_watched(&ears, &known)? {
            return Ok(Outcome::Done);
        }
        let Some(now) = next_save(&hear, &watched, &known, ears.pause()) else {
            terminal::note("ended; the documents stand as they were last made\n")?;
            return Ok(Outcome::Done);
        };
        let saved = watched_files::saved(&known, &now);
        known = now;
        last = made_anew(asked, &job, last.priced(), &saved)?;
    }
}

/// What came of making the documents.
enum Attempt {
    /// They are made.
    Made(Box<PricedJob>),
    /// They could not be; what was made before, if anything was.
    Failed(Option<Box<PricedJob>>),
}

impl Attempt {
    fn priced(self) -> Option<Box<PricedJob>> {
        match self {
            Attempt::Made(priced) => Some(priced),
            Attempt::Failed(before) => before,
        }
    }
}

fn made_anew(
    asked: &WatchedJob,
    job: &JobSource,
    before: Option<Box<PricedJob>>,
    saved: &[String],
) -> Result<Attempt, Stopped> {
    let made = make::make_one(job, &asked.files, &work::out_folder(job, &asked.output, None), None);
    terminal::begin_page()?;
    if !saved.is_empty() {
        terminal::say(&format!("\nsaved {}\n", wording::list(saved)))?;
    }
    match made {
        Ok(made) => {
            let priced = tell(job, before.as_deref(), made)?;
            Ok(Attempt::Made(Box::new(priced)))
        }
        Err(stopped) => {
            report(&stopped);
            terminal::say(match before {
                Some(_) => "The documents stay as they were made before. Put this right and save again.\n",
                None => "No document was made. Put this right and save again.\n",
            })?;
            Ok(Attempt::Failed(before))
        }
    }
}

/// Tells of documents that were made: what the save changed, else what there is.
fn tell(
    job: &JobSource,
    before: Option<&PricedJob>,
    MadeJob { priced, written, from }: MadeJob,
) -> Result<PricedJob, Stopped> {
    remark(&priced.notices(), &priced.laid.loaded)?;
    match before {
        None => terminal::say(&view::made(&job.label(), &priced, &written, false))?,
        Some(before) => terminal::say(&(what_changed(before, &priced) + &view::made_again(&priced, &written)))?,
    }
    terminal::note(&make::about_source(&from))?;
    Ok(priced)
}

/// The differences as `compare` words them, of what has changed alone.
fn what_changed(before: &PricedJob, now: &PricedJob) -> String {
    let parts = issued::differences(before, now, WorkPrices::Untold);
    let changed: String = parts.iter().filter(|(_, lines)| !lines.is_empty()).map(issued::told).collect();
    match changed.is_empty() {
        true => "nothing changed in what is done, what is ordered, the price or the days\n".into(),
        false => changed + "\n",
    }
}

/// Says for what is waited; whether anybody reads it.
fn tell_what_is_watched(ears: &Ears, known: &FileStandings) -> Result<bool, Stopped> {
    let files = watched_files::there(known);
    let shown = match files.as_slice() {
        [a, b, c, d, rest @ ..] if rest.len() > 1 => {
            format!("{a}, {b}, {c}, {d} and {} more", wording::plural(rest.len(), "file", "files"))
        }
        few => wording::list(few),
    };
    let how = if ears.hears() { "" } else { ", looked at every second" };
    Ok(terminal::heard(&format!("watching {shown}{how}; Ctrl-C ends\n"))?)
}

/// Waits until a file stands otherwise and has come to rest; none where the person wants to end.
fn next_save(
    hear: &Receiver<Stir>,
    watched: &WatchedFiles,
    known: &FileStandings,
    pause: Duration,
) -> Option<FileStandings> {
    loop {
        let now = watched.standings();
        if watched_files::saved(known, &now).is_empty() {
            if ends(hear, pause) {
                return None;
            }
            continue;
        }
        let now = at_rest(hear, watched, known, now)?;
        // What was put back as it was in the meantime is no save.
        if !watched_files::saved(known, &now).is_empty() {
            return Some(now);
        }
    }
}

/// Waits until nothing moves any more and no file is away or empty that was not so before: an editor may empty a file before
/// it writes, or take it away before it puts the new one there.
fn at_rest(
    hear: &Receiver<Stir>,
    watched: &WatchedFiles,
    known: &FileStandings,
    from: FileStandings,
) -> Option<FileStandings> {
    let (began, mut now) = (Instant::now(), from);
    loop {
        if ends(hear, SETTLED) {
            return None;
        }
        let next = watched.standings();
        if next == now && !watched_files::half_saved(known, &next) || began.elapsed() > LONGEST {
            return Some(next);
        }
        now = next;
    }
}

/// Waits so long, or until something moves; whether the person wants to end.
fn ends(hear: &Receiver<Stir>, pause: Duration) -> bool {
    let first = hear.recv_timeout(pause);
    first.into_iter().chain(hear.try_iter()).any(|stir| matches!(stir, Stir::End))
}

/// What tells of saves.
struct Ears {
    told: Option<RecommendedWatcher>,
    folders: BTreeSet<PathBuf>,
}

impl Ears {
    fn new(to: Sender<Stir>, poll: bool) -> Ears {
        let moved = move |event: notify::Result<Event>| {
            // Reading a file is no save, and this program reads them itself.
            if event.is_ok_and(|e| !matches!(e.kind, EventKind::Access(_))) {
                drop(to.send(Stir::Moved));
            }
        };
        let told = if poll { None } else { notify::recommended_watcher(moved).ok() };
        Ears { told, folders: BTreeSet::new() }
    }

    /// Whether the system tells of saves.
    fn hears(&self) -> bool {
        self.told.is_some()
    }

    fn pause(&self) -> Duration {
        if self.hears() { NOW_AND_THEN } else { OFTEN }
    }

    /// Listens to these folders and to no others; a system that tells of none of them is not listened to any more.
    fn turn_to(&mut self, folders: &BTreeSet<PathBuf>) {
        let Some(told) = &mut self.told else { return };
        self.folders.difference(folders).for_each(|gone| drop(told.unwatch(gone)));
        // One that stands there anew is listened to anew.
        let mut heard = |folder: &PathBuf| told.watch(folder, RecursiveMode::NonRecursive).is_ok();
        if folders.iter().filter(|folder| heard(folder)).count() < folders.len() {
            self.told = None;
        }
        self.folders.clone_from(folders);
    }
}
