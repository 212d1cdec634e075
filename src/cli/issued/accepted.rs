//! Which job a document is made from: the job file, or the job as the customer has accepted it.
//!
//! Given a job that was named and a kind of document; gives the file to work from. A quote is always made from the job file; what
//! is ordered and done is what was accepted, at the prices of today's books, for the total that was agreed.

use super::kept::{Frozen, Kept, unread};
use super::manifest::{FrozenAs, date_of};
use super::varied_goods;
use crate::cli::arguments::Files;
use crate::cli::jobs::JobSource;
use crate::cli::work::Stopped;
use crate::documents::DocumentKind;
use crate::job_file;
use time::Date;

/// The job as accepted, in its frozen folder.
pub(crate) const ACCEPTED_JOB: &str = "accepted.yaml";

/// The job that a document is made from.
#[derive(Debug, Clone)]
pub(crate) struct SourceOfWork {
    /// The job.
    pub(crate) job: JobSource,
    /// The revision that was accepted; `None` where it is made from the job file.
    pub(crate) revision: Option<String>,
    /// What is to be said of that.
    pub(crate) said: String,
    /// The orders for its variations that were issued, by their letters and the digests of their manifests.
    pub(crate) besides: Vec<(String, String)>,
    /// The day on which it was accepted.
    pub(crate) accepted_on: Option<Date>,
}

impl SourceOfWork {
    /// What is made of an accepted job is of the day on which it was accepted, where no other is said: its own date is that of the
    /// quote, before anybody had ordered anything.
    pub(crate) fn dated(&self, files: &Files) -> Files {
        Files { date: files.date.or(self.accepted_on), ..files.clone() }
    }
}

/// Refuses to issue or send what a roof is built by after the customer has said no, until another quote is out.
///
/// # Errors
/// The last answer is a no.
pub(crate) fn refuse_after_a_no(kept: &Kept, reference: &str) -> Result<(), Stopped> {
    if kept.accepted(reference).is_some() {
        return Ok(());
    }
    let is_quote = |f: &&Frozen| f.manifest.paper().is_some_and(|paper| paper.document == "quote");
    let Some(last) = kept.of(reference).rev().find(|f| f.manifest.is_answer() || is_quote(f)) else { return Ok(()) };
    let no = match &last.manifest.holds {
        FrozenAs::Declined(answer) => format!("was declined on {}", answer.on),
        FrozenAs::Withdrawn(answer) => format!("was taken back on {}", answer.on),
        _ => return Ok(()),
    };
    Err(Stopped::Usage(format!(
        "revision {} of {reference} {no}: nothing is ordered or built by it. Issue another quote first: `wetout issue JOB quote`",
        last.manifest.revision
    )))
}

/// Finds what a document is made from.
///
/// # Errors
/// What cannot be read.
pub(crate) fn source(named: &JobSource, kind: DocumentKind, files: &Files) -> Result<SourceOfWork, Stopped> {
    let as_it_stands = || SourceOfWork {
        job: named.clone(),
        revision: None,
        said: String::new(),
        besides: Vec::new(),
        accepted_on: None,
    };
    if kind == DocumentKind::Quote || !matches!(named, JobSource::File(_)) {
        return Ok(as_it_stands());
    }
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    if !kept.frozen.iter().any(|f| f.manifest.is_answer()) {
        return Ok(as_it_stands());
    }
    let reference = reference(named, &kept, files)?;
    let Some((at, answer)) = kept.accepted(&reference) else {
        let said = match kept.of(&reference).rev().find(|f| f.manifest.is_answer()) {
            Some(_) => {
                "wetout: the quote of this job was declined or withdrawn; this is made from the job file as it stands\n"
            }
            None => "",
        };
        return Ok(SourceOfWork { said: said.to_owned(), ..as_it_stands() });
    };
    let revision = at.manifest.revision.clone();
    let total = answer.total.as_deref().map_or_else(String::new, |total| format!(", for {total}"));
    let said = format!("made from what was accepted on {}, revision {revision}{total}\n", answer.on);
    let besides = varied_goods::last_of_each(&kept, &reference).into_iter();
    let besides = besides.map(|at| (at.manifest.revision.clone(), at.listed.sha256.clone())).collect();
    Ok(SourceOfWork {
        job: JobSource::File(at.folder.join(ACCEPTED_JOB)),
        revision: Some(revision),
        said,
        besides,
        accepted_on: date_of(&answer.on),
    })
}

/// The reference of a job; of one that cannot be read any more the only one that anything is kept of.
///
/// # Errors
/// What is wrong with the job.
pub(crate) fn reference(named: &JobSource, kept: &Kept, files: &Files) -> Result<String, Stopped> {
    let request = named.request(files).map_err(Stopped::Usage)?;
    match (job_file::load(&request), kept.references().as_slice()) {
        (Ok(loaded), _) => Ok(loaded.job.reference),
        (Err(_), [only]) => Ok((*only).to_owned()),
        (Err(failure), _) => Err(Stopped::Problems(failure.problems, Box::new(failure.sources))),
    }
}
