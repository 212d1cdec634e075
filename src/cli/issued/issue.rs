//! `issue`: freezes a document under the next letter, with all that it was made from.
//!
//! Given a job and a kind of document; gives a new folder in `issued`, or says that nothing has changed. The letter is printed
//! in the document, so the document is made for it: whoever finds the letter taken by another run makes it anew for the next.

use super::accepted::{self, SourceOfWork};
use super::kept::{Kept, folder_name, refuse_another_jobs, unread};
use super::manifest::{
    BoxToTick, FrozenAs, Inputs, IssuedPaper, KeptFile, Manifest, VariedOrderRecord, day, document_name, program,
};
use super::snapshot::{self, SnapshotFiles};
use super::varied_goods;
use super::varied_order::{self, VariedOrder};
use crate::cli::Outcome;
use crate::cli::arguments::Files as Named;
use crate::cli::jobs::JobSource;
use crate::cli::terminal;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::views::QuoteView;
use crate::documents::{DocumentKind, Finished, offers};
use crate::pdf::returned;
use crate::pricing::terms::ExtraKind;
use crate::records::{self, MANIFEST};
use std::io;
use std::path::PathBuf;

/// How often another run may take the letter away.
const TRIES: usize = 50;

/// Freezes a document; gives the outcome and the notices of the job that it was made from.
///
/// # Errors
/// What keeps it from being made or written.
pub(crate) fn issue(
    named: &JobSource,
    kind: DocumentKind,
    files: &Named,
    (again, variation): (bool, Option<&str>),
) -> Result<(Outcome, PricedJob), Stopped> {
    if variation.is_some() && kind != DocumentKind::Order {
        return Err(Stopped::Usage("`--variation` goes with an order: `wetout issue JOB order --variation 1`".into()));
    }
    let from = accepted::source(named, kind, files)?;
    let files = &if variation.is_some() { files.clone() } else { from.dated(files) };
    let SourceOfWork { job, revision: as_accepted, .. } = from;
    let home = named.folder().join(records::ISSUED);
    // A quote is the same whatever stands in the van.
    let files = &Named { without_stock: kind == DocumentKind::Quote, ..files.clone() };
    let mut priced = work::price(&job, files)?;
    let reference = priced.laid.loaded.job.reference.clone();
    let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
    refuse_another_jobs(&named.folder(), &kept, &reference)?;
    if kind != DocumentKind::Quote {
        accepted::refuse_after_a_no(&kept, &reference)?;
    }
    let files = &match variation {
        Some(typed) => {
            let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
            varied_order::dated(files, (&kept, &reference, typed))?
        }
        None => files.clone(),
    };
    for _ in 0..TRIES {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        let (mut inputs, which) = snapshot::of(&priced.laid.loaded, files.date)?;
        let read = inputs.clone();
        let (mut varied, mut taken) = (None, Vec::new());
        if let Some(typed) = variation {
            // What other orders take from the van is read off what stands there now.
            let VariedOrder { priced: own, record, found, said } =
                varied_order::of(work::price(&job, files)?, &kept, typed)?;
            terminal::say(&said)?;
            inputs.push(found);
            (priced, varied) = (own, Some(record));
        } else if kind != DocumentKind::Quote {
            taken = varied_order::taken_by_variations(&kept, &priced.laid.loaded)?;
            if !taken.is_empty() {
                priced = varied_order::without_taken(work::price(&job, files)?, &taken)?;
            }
        }
        let last = match &varied {
            Some(varied) => varied_goods::last_for(&kept, &reference, &varied.number),
            None => kept.last(&reference, kind),
        };
        if let Some(same) = last.filter(|last| !again && is_unchanged(&last.manifest, &inputs, (&which, &varied))) {
            let (name, what) = (same.folder.display(), document_name(kind));
            terminal::say(&format!(
                "nothing that the {what} is made from has changed since revision {}: {name} stands, and nothing new is \
                 issued; --again issues it all the same\n",
                same.manifest.revision
            ))?;
            return Ok((Outcome::Done, priced));
        }
        let letter = kept.next_letter(&reference)?;
        priced.revision = Some(letter.clone());
        let finished = priced.documents(&[kind])?;
        if finished.is_empty() {
            return Err(work::nothing_ordered());
        }
        if snapshot::of(&priced.laid.loaded, files.date)? != (read, which.clone()) {
            continue; // A template or a font was changed while they were made.
        }
        let paper = IssuedPaper { varied, taken, ..paper(&priced, kind, &finished, which, as_accepted.clone()) };
        let mut all: SnapshotFiles = finished.iter().map(|f| (f.name.clone(), f.bytes.clone())).collect();
        all.extend(inputs);
        let manifest = Manifest {
            program: program(),
            reference: reference.clone(),
            revision: letter.clone(),
            holds: FrozenAs::Issued(Box::new(paper)),
            files: all.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
            before: kept.newest(&reference).map(|before| before.listed.clone()),
        };
        all.push((MANIFEST.to_owned(), manifest.written()));
        match records::freeze(&home, &folder_name(&reference, &letter), &all) {
            Ok(folder) => {
                terminal::say(&told(&folder, &letter, kind, &finished))?;
                if kind == DocumentKind::Order && !priced.pricing.van.taken.is_empty() {
                    terminal::say(&from_van(&reference))?;
                }
                return Ok((Outcome::Done, priced));
            }
            Err(fault) if fault.cause.kind() == io::ErrorKind::AlreadyExists && home.is_dir() => {}
            Err(fault) => return Err(Stopped::Unwritten(fault, "for the job: it is kept beside it")),
        }
    }
    Err(Stopped::Usage(format!("other runs keep issuing in {}; try again when they are done", home.display())))
}

fn is_unchanged(
    last: &Manifest,
    inputs: &SnapshotFiles,
    (which, varied): (&Inputs, &Option<VariedOrderRecord>),
) -> bool {
    let now: Vec<KeptFile> = inputs.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect();
    let then: Vec<&KeptFile> = last.files.iter().filter(|f| f.name.starts_with("inputs/")).collect();
    now.iter().eq(then) && last.paper().is_some_and(|paper| paper.inputs == *which && paper.varied == *varied)
}

/// That another order must not count on the same.
fn from_van(reference: &str) -> String {
    format!(
        "Some of it is taken from the van (`wetout price` shows what). Write `kept_for: {reference}` behind that in the stock \
         list, so that no other order counts on it, until `wetout stock --after` takes it off.\n"
    )
}

fn told(folder: &std::path::Path, letter: &str, kind: DocumentKind, finished: &[Finished]) -> String {
    let names: Vec<PathBuf> = finished.iter().map(|f| folder.join(&f.name)).collect();
    let wrote: String = names.iter().map(|name| format!("wrote {}\n", name.display())).collect();
    let next = match kind {
        DocumentKind::Quote => {
            "Send this file, not a draft: what comes back is held against it with `wetout accept`.\n"
        }
        DocumentKind::Order => "Send this file and its CSV to the merchant.\n",
        DocumentKind::Method => "Take this file to the site.\n",
    };
    let document = document_name(kind);
    format!(
        "issued the {document} as revision {letter}, with all that it was made from, never to be written over\n{wrote}{next}"
    )
}

fn paper(
    priced: &PricedJob,
    kind: DocumentKind,
    finished: &[Finished],
    inputs: Inputs,
    as_accepted: Option<String>,
) -> IssuedPaper {
    let job = &priced.laid.loaded.job;
    let quote = finished.iter().find(|f| kind == DocumentKind::Quote && f.name == "quote.pdf");
    let read = quote.and_then(|quote| returned::read(&quote.bytes).ok());
    let first = priced.worked().first_day();
    IssuedPaper {
        document: document_name(kind).to_owned(),
        title: job.title.clone(),
        customer: job.customer.name.clone(),
        date: day(job.prepared),
        total: priced.pricing.total.to_string(),
        valid_until: day(job.valid_until()),
        first_day: first.map(day),
        working_days: priced.programme.days.len(),
        inputs,
        pages: read.iter().flat_map(|r| r.pages.iter().map(|page| page.digest.clone())).collect(),
        boxes: if kind == DocumentKind::Quote { boxes(priced, read.as_ref()) } else { Vec::new() },
        as_accepted,
        varied: None,
        taken: Vec::new(),
    }
}

/// What may be chosen, each with the field in which it is ticked.
fn boxes(priced: &PricedJob, read: Option<&returned::ReturnedPdf>) -> Vec<BoxToTick> {
    let worked = priced.worked();
    let words = offers::boxes(QuoteView::of(&worked).price);
    let options = priced.pricing.options.len();
    let extras: Vec<&str> =
        priced.pricing.offers.iter().filter(|o| o.kind == ExtraKind::Optional).map(|o| o.label.as_str()).collect();
    let field = |words: &str| {
        let fields = read.iter().flat_map(|r| &r.fields);
        fields.filter(|f| alike(&f.label, words)).map(|f| f.name.clone()).next()
    };
    let one = |(n, words): (usize, String)| BoxToTick {
        field: field(&words),
        option: (n < options).then_some(n + 1),
        extra: n.checked_sub(options).and_then(|n| extras.get(n)).map(|&name| name.to_owned()),
        words,
    };
    words.into_iter().enumerate().map(one).collect()
}

/// Whether two texts say the same, however their blanks are set.
fn alike(a: &str, b: &str) -> bool {
    a.split_whitespace().eq(b.split_whitespace())
}
