//! Why files could not be written, and what has become of each.
//!
//! Given by the writers; said on the terminal. Whatever went wrong, nobody has to guess which run a file is from.

use crate::model::refused;
use crate::model::words::list;
use std::io;
use std::path::{Path, PathBuf};

/// What has become of a file of a set that could not be exchanged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FileState {
    /// What was there before this run, if anything was.
    AsBefore,
    /// The new one.
    New,
    /// It was taken away, as nothing of this run takes its place.
    Gone,
    /// Neither: it waits in the hidden folder, from which the next run puts it in its place.
    Waiting,
}

/// Why files could not be written.
#[derive(Debug)]
pub struct WriteFault {
    /// Which file or folder.
    pub path: PathBuf,
    /// What the system said.
    pub cause: io::Error,
    /// The files that are no longer as they were, each with its state; empty where nothing has changed.
    pub states: Vec<(String, FileState)>,
}

impl WriteFault {
    /// A fault by which nothing has changed.
    pub(super) fn of(path: &Path, cause: io::Error) -> WriteFault {
        WriteFault { path: path.into(), cause, states: Vec::new() }
    }
}

impl WriteFault {
    /// In words; `elsewhere` is how another folder is named: `with --out`.
    pub fn told(&self, elsewhere: &str) -> String {
        let (fault, cure) = refused::writing(&self.cause, elsewhere);
        let begun = format!("could not write {}: {fault}; {cure}", self.path.display());
        if self.states.iter().all(|(_, state)| *state == FileState::AsBefore) {
            return format!("{begun}. Nothing that was there has changed");
        }
        let of = |wanted| self.states.iter().filter(move |s| s.1 == wanted).map(|s| s.0.clone()).collect::<Vec<_>>();
        let said = [
            (FileState::New, "new"),
            (FileState::AsBefore, "as before"),
            (FileState::Gone, "taken away"),
            (FileState::Waiting, "missing until the next run puts it there"),
        ];
        let said = said.map(|(state, words)| (of(state), words));
        let said: Vec<String> =
            said.iter().filter(|s| !s.0.is_empty()).map(|(f, w)| format!("{w}: {}", list(f))).collect();
        format!("{begun}. What stands there now: {}", said.join("; "))
    }
}
