//! What is kept beside a job: every revision that was issued, and every answer to one, read anew from the folders each time.
//!
//! Given a job's folder; gives the frozen folders that belong to a reference, and the letter that the next revision takes.
//! There is no other record: a folder that is copied or moved takes all of it along. A letter counts as used wherever a name
//! has it, so that nothing that cannot be read is ever numbered a second time.

use super::manifest::{
    AccountRecord, BackRecord, CustomerAnswer, FrozenAs, HandoverRecord, InvoiceRecord, IssuedPaper, KeptFile,
    MailRecord, MailState, Manifest, PaymentRecord, VariationAnswer, VariationRecord, WhatGoesBack, document_name,
};
use crate::cli::work::Stopped;
use crate::documents::DocumentKind;
use crate::model::{limits, refused};
use crate::records::{ISSUED, MANIFEST};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// A frozen folder.
#[derive(Debug, Clone)]
pub(crate) struct Frozen {
    /// Where it stands.
    pub(crate) folder: PathBuf,
    /// Its manifest.
    pub(crate) manifest: Manifest,
    /// That manifest as a file.
    pub(crate) listed: KeptFile,
}

/// Everything that is kept in one folder.
#[derive(Debug, Clone, Default)]
pub(crate) struct Kept {
    /// The folder.
    pub(crate) home: PathBuf,
    /// What can be read, in the order of letters; answers and messages behind what they answer or send.
    pub(crate) frozen: Vec<Frozen>,
    /// What is no revision and might be taken for one, each with why it is not read: folders whose manifest cannot be read, and
    /// copies that a synchroniser has made.
    pub(crate) unread: Vec<(PathBuf, &'static str)>,
    /// Plain files that somebody or some program has put there.
    pub(crate) stray: Vec<PathBuf>,
    /// Every name in it that is not hidden.
    pub(crate) names: Vec<String>,
    /// Names that are hidden, without the point: a synchroniser lets a placeholder stand there for what is not on this disk.
    hidden: Vec<String>,
}

/// A revision of a quote, and how it was answered.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Quoted<'a> {
    /// The revision.
    pub(crate) at: &'a Frozen,
    /// What was issued.
    pub(crate) paper: &'a IssuedPaper,
}

/// A message that was handed over, or was about to be.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mailing<'a> {
    /// What was recorded when it was begun.
    pub(crate) begun: &'a MailRecord,
    /// How it ended; `Begun` where nobody knows.
    pub(crate) state: MailState,
}

/// A variation, and how it was answered.
#[derive(Debug, Clone, Copy)]
pub(crate) struct IssuedVariation<'a> {
    /// Where it stands.
    pub(crate) at: &'a Frozen,
    /// What was issued.
    pub(crate) record: &'a VariationRecord,
    /// How it stands.
    pub(crate) answer: VariationState<'a>,
}

/// How a variation stands.
#[derive(Debug, Clone, Copy)]
pub(crate) enum VariationState<'a> {
    /// It waits for the signature.
    Waiting,
    /// The customer agrees.
    Agreed(&'a VariationAnswer),
    /// The customer does not want it.
    Refused(&'a VariationAnswer),
}

impl Mailing<'_> {
    /// The day.
    pub(crate) fn day(&self) -> &str {
        self.begun.at.split('T').next().unwrap_or_default()
    }
}

impl Kept {
    /// Reads what is kept beside a job.
    ///
    /// # Errors
    /// What the system said; a folder that is not there holds nothing.
    pub(crate) fn beside(job_folder: &Path) -> io::Result<Kept> {
        Kept::within(&job_folder.join(ISSUED))
    }

    /// Reads a folder in which things are kept.
    ///
    /// # Errors
    /// As [`Kept::beside`].
    pub(crate) fn within(home: &Path) -> io::Result<Kept> {
        let mut kept = Kept { home: home.into(), ..Kept::default() };
        let entries = match fs::read_dir(home) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(kept),
            entries => entries?,
        };
        for entry in entries {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if let Some(hidden) = name.strip_prefix('.') {
                kept.hidden.push(hidden.to_owned());
                continue;
            }
            if entry.path().is_dir() {
                match manifest(&entry.path()) {
                    Some((manifest, _)) if !is_own_name(&name, &manifest) => kept.unread.push((entry.path(), A_COPY)),
                    Some((manifest, listed)) => kept.frozen.push(Frozen { folder: entry.path(), manifest, listed }),
                    None => kept.unread.push((entry.path(), NO_MANIFEST)),
                }
            } else if !is_of_file_manager(&name) {
                kept.stray.push(entry.path());
            }
            kept.names.push(name);
        }
        kept.without_doubles();
        kept.placeholders();
        kept.stray.sort();
        kept.frozen
            .sort_by_key(|f| (f.manifest.reference.clone(), number(&f.manifest.revision), rank(&f.manifest.holds)));
        kept.unread.sort();
        Ok(kept)
    }

    /// Of two folders whose names differ in large and small letters alone, which are one on many disks, the first is read.
    fn without_doubles(&mut self) {
        self.frozen.sort_by(|a, b| a.folder.cmp(&b.folder));
        let mut seen: Vec<String> = Vec::new();
        for frozen in std::mem::take(&mut self.frozen) {
            let name = frozen.listed.name.to_lowercase();
            match seen.contains(&name) {
                true => self.unread.push((frozen.folder, A_COPY)),
                false => self.frozen.push(frozen),
            }
            seen.push(name);
        }
    }

    /// What a synchroniser lets stand for a revision that is not on this disk.
    fn placeholders(&mut self) {
        let beginnings: Vec<String> =
            self.references().iter().map(|r| format!("{}-", file_safe(r)).to_lowercase()).collect();
        let is = |name: &&String| beginnings.iter().any(|b| name.to_lowercase().starts_with(b));
        let found = self.hidden.iter().filter(is).map(|name| (self.home.join(format!(".{name}")), A_PLACEHOLDER));
        let found: Vec<_> = found.collect();
        self.unread.extend(found);
    }

    /// What is told of folders that are not read.
    pub(crate) fn told_unread(&self) -> Vec<String> {
        self.unread.iter().map(|(folder, why)| format!("{} {why}", folder.display())).collect()
    }

    /// The references that anything is kept of.
    pub(crate) fn references(&self) -> Vec<&str> {
        let mut all: Vec<&str> = self.frozen.iter().map(|f| f.manifest.reference.as_str()).collect();
        all.dedup();
        all
    }

    /// What is kept of one reference.
    pub(crate) fn of<'a>(&'a self, reference: &'a str) -> impl DoubleEndedIterator<Item = &'a Frozen> {
        self.frozen.iter().filter(move |f| f.manifest.reference == reference)
    }

    /// The letter of the next revision.
    ///
    /// # Errors
    /// Every letter is used.
    pub(crate) fn next_letter(&self, reference: &str) -> Result<String, Stopped> {
        let beginning = format!("{}-", file_safe(reference)).to_lowercase();
        let letters = self.names.iter().chain(&self.hidden).filter_map(|name| {
            let lower = name.to_lowercase();
            let rest = lower.strip_prefix(&beginning)?.split(['-', '.', ' ']).next()?.to_uppercase();
            Some(number(&rest))
        });
        let last = letters.max().unwrap_or(0);
        if last >= limits::REVISIONS.most as u64 {
            let words = format!(
                "{} has a revision {} in {}, and there is no letter after that: give the job another reference and a folder of its own",
                reference,
                letter(last),
                self.home.display()
            );
            return Err(Stopped::Usage(words));
        }
        Ok(letter(last + 1))
    }

    /// Every invoice and credit note, in the order of their numbers.
    pub(crate) fn invoices<'a>(&'a self, reference: &'a str) -> Vec<(&'a Frozen, &'a InvoiceRecord)> {
        let mut all: Vec<_> = self.of(reference).filter_map(|f| Some((f, f.manifest.invoice()?))).collect();
        all.sort_by_key(|(_, invoice)| invoice.sequence);
        all
    }

    /// Every variation of what was accepted as a revision, in the order of their numbers.
    pub(crate) fn variations<'a>(&'a self, reference: &'a str, revision: &'a str) -> Vec<IssuedVariation<'a>> {
        let answer = |number: &str| {
            let answers = self.of(reference).find_map(|f| match &f.manifest.holds {
                FrozenAs::Agreed(answer) if answer.number == number => Some(VariationState::Agreed(answer)),
                FrozenAs::Refused(answer) if answer.number == number => Some(VariationState::Refused(answer)),
                _ => None,
            });
            answers.unwrap_or(VariationState::Waiting)
        };
        let of_revision = self.of(reference).filter(|f| f.manifest.revision == revision);
        let one = |at: &'a Frozen| {
            let record = at.manifest.variation()?;
            Some(IssuedVariation { at, record, answer: answer(&record.number) })
        };
        let mut all: Vec<IssuedVariation<'_>> = of_revision.filter_map(one).collect();
        all.sort_by_key(|varied| varied.record.sequence);
        all
    }

    /// Every variation, of whatever revision, in the order of their numbers.
    pub(crate) fn all_variations<'a>(&'a self, reference: &'a str) -> Vec<(&'a Frozen, &'a VariationRecord)> {
        let mut all: Vec<_> = self.of(reference).filter_map(|f| Some((f, f.manifest.variation()?))).collect();
        all.sort_by_key(|(_, varied)| varied.sequence);
        all
    }

    /// Every payment that stands, in the order of their numbers.
    pub(crate) fn payments<'a>(&'a self, reference: &'a str) -> Vec<(&'a Frozen, &'a PaymentRecord)> {
        let mut all = self.all_payments(reference);
        all.retain(|(_, payment)| self.taken_back_by(reference, &payment.number).is_none());
        all
    }

    /// Every payment, those too that were taken back, in the order of their numbers.
    pub(crate) fn all_payments<'a>(&'a self, reference: &'a str) -> Vec<(&'a Frozen, &'a PaymentRecord)> {
        let mut all: Vec<_> = self.of(reference).filter_map(|f| Some((f, f.manifest.payment()?))).collect();
        all.sort_by_key(|(_, payment)| payment.sequence);
        all
    }

    /// All that went back of payments, in the order of their numbers.
    pub(crate) fn backs<'a>(&'a self, reference: &'a str) -> Vec<&'a BackRecord> {
        let mut all: Vec<_> = self.of(reference).filter_map(|f| f.manifest.back()).collect();
        all.sort_by_key(|back| back.sequence);
        all
    }

    /// Every refund that stands.
    pub(crate) fn refunds<'a>(&'a self, reference: &'a str) -> Vec<&'a BackRecord> {
        let mut all = self.backs(reference);
        let stands = |back: &&BackRecord| self.taken_back_by(reference, &back.number).is_none();
        all.retain(|back| back.what == WhatGoesBack::Refund && stands(back));
        all
    }

    /// What has taken a receipt or a refund back.
    pub(crate) fn taken_back_by<'a>(&'a self, reference: &'a str, number: &str) -> Option<&'a BackRecord> {
        let takes = |back: &&BackRecord| {
            back.what == WhatGoesBack::Receipt && back.receipts.iter().any(|receipt| receipt.number == number)
        };
        self.of(reference).filter_map(|f| f.manifest.back()).find(takes)
    }

    /// What would be kept without one receipt or refund.
    pub(crate) fn without_receipt(&self, number: &str) -> Kept {
        let mut kept = self.clone();
        kept.frozen.retain(|at| {
            let manifest = &at.manifest;
            let own = manifest.payment().map(|paid| &paid.number).or(manifest.back().map(|back| &back.number));
            own.is_none_or(|own| own != number)
        });
        kept
    }

    /// All that stands in the series of receipts, by their numbers and places, in their order.
    pub(crate) fn receipts<'a>(&'a self, reference: &'a str) -> Vec<(&'a Frozen, &'a str, u32)> {
        let one = |at: &'a Frozen| match &at.manifest.holds {
            FrozenAs::Paid(payment) => Some((at, payment.number.as_str(), payment.sequence)),
            FrozenAs::Back(back) => Some((at, back.number.as_str(), back.sequence)),
            _ => None,
        };
        let mut all: Vec<_> = self.of(reference).filter_map(one).collect();
        all.sort_by_key(|(.., sequence)| *sequence);
        all
    }

    /// Every statement of account that was frozen, in the order of their numbers.
    pub(crate) fn accounts<'a>(&'a self, reference: &'a str) -> Vec<(&'a Frozen, &'a AccountRecord)> {
        let mut all: Vec<_> = self.of(reference).filter_map(|f| Some((f, f.manifest.account()?))).collect();
        all.sort_by_key(|(_, account)| account.sequence);
        all
    }

    /// Every handover, in the order of their numbers.
    pub(crate) fn handovers<'a>(&'a self, reference: &'a str) -> Vec<(&'a Frozen, &'a HandoverRecord)> {
        let mut all: Vec<_> = self.of(reference).filter_map(|f| Some((f, f.manifest.handover()?))).collect();
        all.sort_by_key(|(_, handover)| handover.sequence);
        all
    }

    /// The next number of a series that is counted in folders: `26-041-invoice-3` makes it 4. A number counts as used
    /// wherever a name has it.
    ///
    /// # Errors
    /// A name has a number that no job comes to.
    pub(crate) fn next_in_series(&self, reference: &str, series: &str) -> Result<u32, Stopped> {
        let beginning = format!("{}-{series}-", file_safe(reference)).to_lowercase();
        let numbers = self.names.iter().chain(&self.hidden).filter_map(|name| {
            let lower = name.to_lowercase();
            let figures = lower.strip_prefix(&beginning)?.split(['-', '.', ' ']).next()?;
            // A number that is too long to be one is the largest of all.
            let plain = !figures.is_empty() && figures.bytes().all(|b| b.is_ascii_digit());
            plain.then(|| (figures.parse().unwrap_or(u32::MAX), name))
        });
        let Some((last, name)) = numbers.max() else { return Ok(1) };
        if last as usize >= limits::SERIES.most {
            let (home, most) = (self.home.display(), limits::SERIES.most);
            let words = format!(
                "{home} holds {name}, and no job comes to a number above {most}: take it away if it is not yours; else carry \
                 the job on under another reference"
            );
            return Err(Stopped::Usage(words));
        }
        Ok(last + 1)
    }

    /// The last revision of a kind of document; orders for a variation alone are none of it.
    pub(crate) fn last<'a>(&'a self, reference: &'a str, kind: DocumentKind) -> Option<&'a Frozen> {
        let is =
            |f: &&Frozen| f.manifest.paper().is_some_and(|p| p.document == document_name(kind) && p.varied.is_none());
        self.of(reference).rfind(is)
    }

    /// The last revision of any document.
    pub(crate) fn newest<'a>(&'a self, reference: &'a str) -> Option<&'a Frozen> {
        self.of(reference).rfind(|f| f.manifest.paper().is_some())
    }

    /// Every quote that was issued, the oldest first.
    pub(crate) fn quotes<'a>(&'a self, reference: &'a str) -> Vec<Quoted<'a>> {
        let quoted =
            |at: &'a Frozen| at.manifest.paper().filter(|p| p.document == "quote").map(|paper| Quoted { at, paper });
        self.of(reference).filter_map(quoted).collect()
    }

    /// The answers to a revision.
    pub(crate) fn answers<'a>(&'a self, reference: &'a str, revision: &'a str) -> impl Iterator<Item = &'a Frozen> {
        self.of(reference).filter(move |f| f.manifest.revision == revision && f.manifest.is_answer())
    }

    /// The messages with which a frozen folder was sent, in their order: those that name its manifest.
    pub(crate) fn mailings<'a>(&'a self, at: &'a Frozen) -> Vec<Mailing<'a>> {
        let records = self
            .of(&at.manifest.reference)
            .filter(|f| f.manifest.before.as_ref().is_some_and(|before| before.sha256 == at.listed.sha256))
            .filter_map(|f| if let FrozenAs::Mail(record) = &f.manifest.holds { Some(&**record) } else { None });
        let records: Vec<&MailRecord> = records.collect();
        let end = |begun: &MailRecord| {
            records.iter().copied().find(|r| r.number == begun.number && r.state != MailState::Begun)
        };
        let begun = records.iter().copied().filter(|r| r.state == MailState::Begun);
        begun.map(|begun| Mailing { begun, state: end(begun).map_or(MailState::Begun, |end| end.state) }).collect()
    }

    /// The acceptance that holds: the one of the last revision that was accepted and not withdrawn.
    pub(crate) fn accepted<'a>(&'a self, reference: &'a str) -> Option<(&'a Frozen, &'a CustomerAnswer)> {
        let withdrawn = |revision: &str| {
            self.of(reference)
                .any(|f| f.manifest.revision == revision && matches!(f.manifest.holds, FrozenAs::Withdrawn(_)))
        };
        let mut all = self.of(reference).rev().filter_map(|f| match &f.manifest.holds {
            FrozenAs::Accepted(answer) => Some((f, &**answer)),
            _ => None,
        });
        all.find(|(f, _)| !withdrawn(&f.manifest.revision))
    }

    /// The acceptance that was withdrawn last, and that withdrawal, where none holds.
    pub(crate) fn withdrawn<'a>(
        &'a self,
        reference: &'a str,
    ) -> Option<(&'a Frozen, &'a CustomerAnswer, &'a CustomerAnswer)> {
        if self.accepted(reference).is_some() {
            return None;
        }
        let taken_back = |revision: &'a str| {
            self.answers(reference, revision).find_map(|f| match &f.manifest.holds {
                FrozenAs::Withdrawn(answer) => Some(&**answer),
                _ => None,
            })
        };
        self.of(reference).rev().find_map(|f| match &f.manifest.holds {
            FrozenAs::Accepted(answer) => Some((f, &**answer, taken_back(&f.manifest.revision)?)),
            _ => None,
        })
    }
}

/// Why a folder with a manifest is not read.
const A_COPY: &str = "is not read: it has not the name under which it was frozen, as copies have that a synchroniser makes. Where two \
                      computers have issued at once, issue what it holds anew, and take it away";
const A_PLACEHOLDER: &str = "stands for something that is not on this disk: let the synchroniser fetch it; its letter or number is not used again";
const NO_MANIFEST: &str = "cannot be read: its manifest.json is gone, broken, or not on this disk";

/// Whether a folder has the name under which it was frozen: none but letters, figures, `-` and `_`, with what its manifest says in it.
/// Large and small letters are alike on many disks.
fn is_own_name(name: &str, manifest: &Manifest) -> bool {
    let plain = name.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'));
    let is = |whole: String| name.eq_ignore_ascii_case(&whole);
    let ends = |number: u32| name.ends_with(&format!("-{number}"));
    plain
        && match &manifest.holds {
            FrozenAs::Issued(_) => is(folder_name(&manifest.reference, &manifest.revision)),
            FrozenAs::Invoiced(invoice) => ends(invoice.sequence),
            FrozenAs::Paid(payment) => ends(payment.sequence),
            FrozenAs::Back(back) => ends(back.sequence),
            FrozenAs::Account(account) => ends(account.sequence),
            FrozenAs::Varied(variation) => ends(variation.sequence),
            FrozenAs::Handover(handover) => ends(handover.sequence),
            _ => true,
        }
}

/// Messages stand behind answers, by their numbers, each begun one before its end; then invoices, payments, variations and
/// handovers by theirs.
fn rank(holds: &FrozenAs) -> (u8, usize, bool) {
    match holds {
        FrozenAs::Issued(_) => (0, 0, false),
        FrozenAs::Declined(_) => (1, 0, false),
        FrozenAs::Accepted(_) => (2, 0, false),
        FrozenAs::Withdrawn(_) => (3, 0, false),
        FrozenAs::Mail(record) => (4, record.number, record.state != MailState::Begun),
        FrozenAs::Invoiced(invoice) => (5, invoice.sequence as usize, false),
        FrozenAs::Paid(payment) => (6, payment.sequence as usize, false),
        FrozenAs::Back(back) => (6, back.sequence as usize, false),
        FrozenAs::Account(account) => (9, account.sequence as usize, false),
        FrozenAs::Varied(variation) => (7, variation.sequence as usize, false),
        FrozenAs::Agreed(answer) | FrozenAs::Refused(answer) => (7, answer.sequence as usize, true),
        FrozenAs::Handover(handover) => (8, handover.sequence as usize, false),
    }
}

/// The manifest of a folder, and what it is as a file.
fn manifest(folder: &Path) -> Option<(Manifest, KeptFile)> {
    let mut bytes = Vec::new();
    File::open(folder.join(MANIFEST))
        .ok()?
        .take(limits::MANIFEST.most as u64 * 1_000_000)
        .read_to_end(&mut bytes)
        .ok()?;
    let manifest = serde_json::from_slice(&bytes).ok()?;
    let name = folder.file_name()?.to_string_lossy().into_owned();
    Some((manifest, KeptFile::of(&name, &bytes)))
}

/// Whether it is what a file manager leaves in every folder that it shows: it says nothing of what is kept there.
pub(crate) fn is_of_file_manager(name: &str) -> bool {
    name.starts_with('.') || ["desktop.ini", "thumbs.db"].iter().any(|known| name.eq_ignore_ascii_case(known))
}

/// What could not be read.
pub(crate) fn unread(place: &Path, error: &io::Error) -> Stopped {
    let (fault, cure) = refused::reading(error);
    Stopped::Usage(format!("could not read {}: {fault}; {cure}", place.display()))
}

/// Refuses a reference under which a job in a folder beside this one has issued papers, where this one has none: two invoices
/// would have one number.
pub(crate) fn refuse_another_jobs(job_folder: &Path, kept: &Kept, reference: &str) -> Result<(), Stopped> {
    if kept.of(reference).next().is_some() {
        return Ok(());
    }
    let here = if job_folder.as_os_str().is_empty() { Path::new(".") } else { job_folder };
    let Ok(own) = here.canonicalize() else { return Ok(()) };
    // A job with a firm file of its own has none of the same firm beside it.
    if own.join("firm.yaml").exists() {
        return Ok(());
    }
    let beside = own.parent().and_then(|parent| fs::read_dir(parent).ok()).into_iter().flatten().flatten();
    let other = beside
        .map(|entry| entry.path())
        .find(|other| *other != own && other.join(ISSUED).join(folder_name(reference, &letter(1))).is_dir());
    let Some(other) = other else { return Ok(()) };
    let name = other.file_name().unwrap_or_default().to_string_lossy();
    Err(Stopped::Usage(format!(
        "{reference} is the reference of the job in `{name}` beside this one too, and its papers are issued: two orders and two \
         invoices would have one number. Write another `reference` in this job"
    )))
}

/// The name of the folder of a number in a series.
pub(crate) fn series_folder(reference: &str, series: &str, number: u32) -> String {
    format!("{}-{series}-{number}", file_safe(reference))
}

/// The name of the folder of a revision.
pub(crate) fn folder_name(reference: &str, revision: &str) -> String {
    format!("{}-{revision}", file_safe(reference))
}

/// A reference as every file system takes it.
fn file_safe(reference: &str) -> String {
    let safe = |c: char| if c.is_ascii_alphanumeric() || matches!(c, '-' | '_') { c } else { '-' };
    reference.chars().map(safe).collect()
}

/// `A` for 1, `Z` for 26, `AA` for 27.
fn letter(mut n: u64) -> String {
    let mut letters = Vec::new();
    while n > 0 {
        letters.push(b'A' + ((n - 1) % 26) as u8);
        n = (n - 1) / 26;
    }
    letters.reverse();
    String::from_utf8_lossy(&letters).into_owned()
}

/// The number of a letter, or of two; 0 where it is none: `26-041-plan.pdf` takes no letter.
fn number(letters: &str) -> u64 {
    if letters.is_empty() || letters.len() > 2 || !letters.bytes().all(|b| b.is_ascii_uppercase()) {
        return 0;
    }
    letters.bytes().fold(0, |n, b| n * 26 + u64::from(b - b'A') + 1)
}
