//! Exchanges the documents of a folder for newer ones, as one set.
//!
//! Given a set that waits aside in a locked folder; gives the folder with the new set, or with the one before it. Every file
//! of the old set goes before the first of the new one comes, so that no two runs are ever mixed; and from before the first
//! goes until after the last has come a file that anyone can see says so, by which the next run ends what a dead one began.

use super::aside::{Aside, flush_folder};
use super::fault::{FileState, WriteFault};
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Component, Path};

/// The file that stands in a folder while its documents are exchanged.
pub(super) const NOTICE: &str = "unfinished-documents.txt";

const WORDS: &str = "The documents in this folder are being exchanged for newer ones. This takes less than a second. If this file stays, the \
                     program was stopped on the way, and some of the documents are missing here: make them again. Nothing is \
                     lost; what is here is put in order first.";

/// What a folder says while its documents are exchanged: where the new ones wait, and what goes without anything in its
/// place.
#[derive(Debug, PartialEq, Eq)]
struct Notice {
    aside: String,
    goes: BTreeSet<String>,
}

impl Notice {
    fn text(&self) -> String {
        let goes: String = self.goes.iter().map(|name| format!("goes {name}\n")).collect();
        format!("{WORDS}\n\nwaiting in {}\n{goes}", self.aside)
    }

    /// Reads it back; `None` where it is none, or names anything but a file of its own folder.
    fn read(text: &str) -> Option<Notice> {
        let line = |beginning: &'static str| {
            text.lines().filter_map(move |line| line.strip_prefix(beginning)).filter(|name| is_plain(name))
        };
        let aside = line("waiting in ").next()?.to_owned();
        Some(Notice { aside, goes: line("goes ").map(str::to_owned).collect() })
    }
}

fn is_plain(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    matches!((parts.next(), parts.next()), (Some(Component::Normal(only)), None) if only == name)
}

/// Ends what dead runs began in a locked folder, and takes away what they left.
pub(super) fn recover(folder: &Path) -> Result<(), WriteFault> {
    let place = folder.join(NOTICE);
    let fault = |cause| WriteFault::of(folder, cause);
    let notice = match fs::symlink_metadata(&place) {
        Ok(there) if there.is_file() => fs::read_to_string(&place).ok().and_then(|text| Notice::read(&text)),
        _ => None,
    };
    for aside in Aside::left_in(folder).map_err(fault)? {
        match &notice {
            Some(notice) if notice.aside == aside.name() && aside.is_whole() => {
                exchange(folder, &aside, &notice.goes, Failing::OnlyOn)?;
            }
            _ => aside.clear(),
        }
    }
    match fs::remove_file(&place) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(fault(error)),
        _ => Ok(()),
    }
}

/// Exchanges the set, with the notice up while it is not whole. A file alone changes places with the one before it at once.
pub(super) fn begin(folder: &Path, aside: &Aside, goes: BTreeSet<String>) -> Result<(), WriteFault> {
    let come = aside.waiting().map_err(|cause| WriteFault::of(folder, cause))?;
    if let ([only], true) = (come.as_slice(), goes.is_empty()) {
        let place = folder.join(only);
        let moved = fs::rename(aside.new_files().join(only), &place).and_then(|()| flush_folder(folder));
        aside.clear();
        return moved.map_err(|cause| WriteFault::of(&place, cause));
    }
    let notice = Notice { aside: aside.name().to_owned(), goes };
    if let Err(cause) = aside.put(NOTICE, notice.text().as_bytes()) {
        let _ = fs::remove_file(folder.join(NOTICE));
        aside.clear();
        return Err(WriteFault::of(folder, cause));
    }
    exchange(folder, aside, &notice.goes, Failing::BackIfNeedBe)
}

/// What is done where a file cannot be moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Failing {
    /// All that was moved is moved back.
    BackIfNeedBe,
    /// It stays as far as it has come: what was there before may have been moved by another run.
    OnlyOn,
}

fn exchange(folder: &Path, aside: &Aside, goes: &BTreeSet<String>, way: Failing) -> Result<(), WriteFault> {
    let come = aside.waiting().map_err(|cause| WriteFault::of(folder, cause))?;
    let mut moves = Moves { folder, aside, gone: Vec::new(), come: Vec::new() };
    if let Err((name, cause)) = moves.all(&come, goes) {
        let undone = way == Failing::BackIfNeedBe && moves.back();
        let states = if undone { Vec::new() } else { moves.states(&come, goes) };
        if undone {
            let _ = fs::remove_file(folder.join(NOTICE));
            aside.clear();
        }
        return Err(WriteFault { path: folder.join(name), cause, states });
    }
    let flushed =
        flush_folder(folder).and_then(|()| fs::remove_file(folder.join(NOTICE))).and_then(|()| flush_folder(folder));
    let states = || come.iter().map(|name| (name.clone(), FileState::New)).collect();
    flushed.map_err(|cause| WriteFault { path: folder.into(), cause, states: states() })?;
    aside.clear();
    Ok(())
}

/// What has been moved so far.
struct Moves<'a> {
    folder: &'a Path,
    aside: &'a Aside,
    gone: Vec<String>,
    come: Vec<String>,
}

impl Moves<'_> {
    fn all(&mut self, come: &[String], goes: &BTreeSet<String>) -> Result<(), (String, io::Error)> {
        for name in come.iter().chain(goes) {
            match fs::rename(self.folder.join(name), self.aside.old_files().join(name)) {
                Ok(()) => self.gone.push(name.clone()),
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => return Err((name.clone(), error)),
            }
        }
        for name in come {
            let moved = fs::rename(self.aside.new_files().join(name), self.folder.join(name));
            moved.map_err(|error| (name.clone(), error))?;
            self.come.push(name.clone());
        }
        Ok(())
    }

    /// Moves everything back, the last first; whether all of it is as it was.
    fn back(&mut self) -> bool {
        while let Some(name) = self.come.last() {
            if fs::rename(self.folder.join(name), self.aside.new_files().join(name)).is_err() {
                return false;
            }
            self.come.pop();
        }
        while let Some(name) = self.gone.last() {
            if fs::rename(self.aside.old_files().join(name), self.folder.join(name)).is_err() {
                return false;
            }
            self.gone.pop();
        }
        true
    }

    fn states(&self, come: &[String], goes: &BTreeSet<String>) -> Vec<(String, FileState)> {
        let state = |name: &String| match () {
            () if self.come.contains(name) => FileState::New,
            () if come.contains(name) && !self.folder.join(name).exists() => FileState::Waiting,
            () if self.gone.contains(name) => FileState::Gone,
            () => FileState::AsBefore,
        };
        come.iter().chain(goes).map(|name| (name.clone(), state(name))).collect()
    }
}
