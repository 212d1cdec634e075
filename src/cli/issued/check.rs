//! `issue --check`: every frozen folder held against its manifest, and every document made again from its own inputs.
//!
//! Given jobs, or a folder in which things are kept; says of each whether it is as it was. A file that was altered is a fault. A
//! document that this program draws otherwise than the one that issued it is none: what was sent is what was frozen.

use super::account;
use super::altered::altered_files;
use super::handover;
use super::invoice;
use super::kept::{Frozen, Kept, unread};
use super::manifest::{KeptFile, kind_of, program};
use super::paid_back;
use super::receipt;
use super::snapshot;
use super::variation;
use crate::cli::Outcome;
use crate::cli::jobs;
use crate::cli::terminal;
use crate::cli::work::Stopped;
use crate::documents::Finished;
use crate::job_file;
use crate::records::{ISSUED, MANIFEST};
use std::path::{Path, PathBuf};

/// Checks what is kept beside the jobs that were named.
///
/// # Errors
/// What was typed cannot be used.
pub(crate) fn check(typed: &Path) -> Result<Outcome, Stopped> {
    let (mut worst, mut seen) = (Outcome::Done, 0);
    for home in homes(typed)? {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        for fault in kept.told_unread() {
            terminal::say(&format!("{fault}\n"))?;
            worst = worst.max(Outcome::Problems);
        }
        for file in &kept.stray {
            terminal::say(&format!("{} was put there since: it is no revision, and is not read\n", file.display()))?;
        }
        for frozen in &kept.frozen {
            seen += 1;
            let faults = faults(frozen, &kept);
            let told: String = faults.iter().map(|fault| format!("  {fault}\n")).collect();
            let verdict = match faults.is_empty() {
                true => again(frozen),
                false => format!("ALTERED\n{told}"),
            };
            terminal::say(&format!("{}: {verdict}", frozen.folder.display()))?;
            worst = worst.max(if faults.is_empty() { Outcome::Done } else { Outcome::Problems });
        }
    }
    if seen == 0 && worst == Outcome::Done {
        terminal::say(&format!("nothing was issued in {}\n", typed.display()))?;
    }
    Ok(worst)
}

/// The folders in which things are kept: beside each job, or the one that was named.
fn homes(typed: &Path) -> Result<Vec<PathBuf>, Stopped> {
    if typed.file_name().is_some_and(|name| name == ISSUED) && typed.is_dir() {
        return Ok(vec![typed.to_path_buf()]);
    }
    let jobs = jobs::find(&[typed.into()]).map_err(Stopped::Usage)?;
    let mut homes: Vec<PathBuf> = jobs.iter().map(|job| job.folder().join(ISSUED)).collect();
    homes.dedup();
    Ok(homes)
}

/// What is not as it was: files, and the revision before it, which its manifest names by its digest.
fn faults(frozen: &Frozen, kept: &Kept) -> Vec<String> {
    let mut found = altered_files(frozen);
    if let Some(before) = &frozen.manifest.before {
        match kept.frozen.iter().find(|other| other.listed.name == before.name) {
            Some(other) if other.listed == *before => {}
            Some(_) => found.push(format!("the {MANIFEST} of {} was altered since this was issued", before.name)),
            None => found.push(format!("{} was there when this was issued, and is gone", before.name)),
        }
    }
    found
}

/// Makes a document again from what it was made from.
fn again(frozen: &Frozen) -> String {
    let made = match (frozen.manifest.paper(), frozen.manifest.invoice()) {
        (Some(paper), _) => match kind_of(&paper.document) {
            Some(kind) => snapshot::work_again(frozen).and_then(|mut priced| priced.documents(&[kind])),
            None => {
                let what = &paper.document;
                return format!("its files are as they were; this program makes no document called {what}\n");
            }
        },
        (None, Some(invoice)) => invoice::again(frozen, invoice),
        (None, None) => match (frozen.manifest.payment(), frozen.manifest.variation(), frozen.manifest.handover()) {
            (Some(payment), ..) => receipt::again(frozen, payment),
            (None, Some(varied), _) => variation::again(frozen, varied),
            (None, None, Some(handover)) => handover::again(frozen, handover),
            (None, None, None) => match (frozen.manifest.back(), frozen.manifest.account()) {
                (Some(back), _) => paid_back::again(frozen, back),
                (None, Some(statement)) => account::again(frozen, statement),
                (None, None) => return "as recorded\n".into(),
            },
        },
    };
    match made {
        Ok(finished) => compared(frozen, &finished),
        Err(stopped) => format!("its files are as they were; it cannot be made again: {}\n", why(&stopped)),
    }
}

fn compared(frozen: &Frozen, finished: &[Finished]) -> String {
    let entry = |made: &Finished| KeptFile::of(&made.name, &made.bytes);
    let other: Vec<&str> =
        finished.iter().filter(|made| !frozen.manifest.files.contains(&entry(made))).map(|m| m.name.as_str()).collect();
    match other.is_empty() {
        true => "as issued, and made again byte for byte\n".into(),
        false => format!(
            "as issued; {} would draw {} otherwise than {} did: what was issued stands\n",
            program(),
            other.join(", "),
            frozen.manifest.program
        ),
    }
}

fn why(stopped: &Stopped) -> String {
    match stopped {
        Stopped::Usage(words) => words.clone(),
        Stopped::Problems(problems, sources) => job_file::render(problems, sources, false),
        Stopped::Unwritten(fault, elsewhere) => fault.told(elsewhere),
        Stopped::Lost(error) => error.to_string(),
    }
}
