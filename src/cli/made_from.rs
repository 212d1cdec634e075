//! What the documents of a job were made from, by content: every file that was read, the day, and this very program.
//!
//! Given a job; says whether the documents in its folder are those that would be made now, without making them. What is written is
//! the digest of what was read for them, never of what stands there when they are done: a file that is changed meanwhile gives
//! another digest the next time.

use super::arguments::Files;
use super::issued::{self, SourceOfWork};
use super::jobs::{self, JobSource};
use super::own;
use crate::documents::{DocumentKind, Finished};
use crate::job_file::{self, Loaded};
use crate::model::picture::PictureBytes;
use crate::model::problem::Source;
use crate::pdf::returned::hexadecimal;
use crate::records::{self, MADE};
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;

/// The digest of one file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct FileDigest {
    /// What it is: `job`, `firm`, `photograph before.jpg`.
    file: String,
    /// Its SHA-256 (FIPS 180-4), in hexadecimal.
    sha256: String,
}

/// The record of a folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct MadeRecord {
    /// The digest of the program.
    program: String,
    /// The day that was asked for.
    date: Option<String>,
    /// What was read.
    inputs: Vec<FileDigest>,
    /// What was made.
    documents: Vec<FileDigest>,
}

const STOCK: &str = "stock list";
const LOGO: &str = "logo ";
const PHOTOGRAPH: &str = "photograph ";
const PRICE_LIST: &str = "price list of book ";

/// The digests of a run: the program's, and those of files that many jobs share.
pub(super) struct InputDigests {
    program: Option<String>,
    shared: Mutex<BTreeMap<PathBuf, SharedDigest>>,
}

/// The digest of a file that many jobs share, for as long as it has this length and time.
struct SharedDigest {
    length: u64,
    changed: Option<SystemTime>,
    sha256: String,
}

/// The templates and fonts of a job's firm, as they were before its documents were made.
pub(super) struct OwnDigests(Vec<FileDigest>);

impl InputDigests {
    /// Those of this run.
    pub(super) fn of_this_run() -> InputDigests {
        let program = std::env::current_exe().and_then(|program| digest_of_file(&program)).ok();
        InputDigests { program, shared: Mutex::default() }
    }

    /// Whether the documents in a folder are those that would be made of a job now.
    pub(super) fn are_unchanged(&self, job: &JobSource, files: &Files, folder: &Path) -> bool {
        let record = records::made_record(folder).and_then(|bytes| serde_json::from_slice::<MadeRecord>(&bytes).ok());
        let Some(record) = record else { return false };
        let still = |made: &FileDigest| fs::read(folder.join(&made.file)).is_ok_and(|b| digest(&b) == made.sha256);
        self.program.as_ref() == Some(&record.program)
            && record.date == date(files)
            && self.now(job, files, &record.inputs).is_some_and(|now| now == record.inputs)
            && record.documents.iter().all(still)
    }

    /// What a job would be read from now; `before` says which pictures its files name, as long as they have not changed.
    fn now(&self, job: &JobSource, files: &Files, before: &[FileDigest]) -> Option<Vec<FileDigest>> {
        let JobSource::File(path) = job else { return None };
        let folder = job.folder();
        let mut all = vec![of("job", &fs::read(path).ok()?)];
        let firm = files.firm.clone().or_else(|| job_file::nearest_firm(&folder))?;
        all.push(self.shared("firm".into(), &firm)?);
        let books = if files.prices.is_empty() { job_file::nearest_prices(&folder) } else { files.prices.clone() };
        for (n, book) in books.iter().enumerate() {
            all.push(self.shared(book_name(n), book)?);
        }
        if let Some(stock) = jobs::stock_of(files, &folder) {
            all.push(self.shared(STOCK.into(), &stock)?);
        }
        let firms = firm.parent().map(Path::to_path_buf).unwrap_or_default();
        let beside = |name: &str| Some(firms.join(name)).filter(|folder| folder.is_dir());
        all.extend(self.own_in(beside("templates").as_deref(), beside("fonts").as_deref())?);
        for named in before.iter().map(|before| &before.file) {
            if let Some(name) = named.strip_prefix(LOGO) {
                all.push(self.shared(named.clone(), &firms.join(name))?);
            } else if let Some((n, name)) = named.strip_prefix(PRICE_LIST).and_then(|rest| rest.split_once(' ')) {
                let book = books.get(n.parse::<usize>().ok()?)?;
                all.push(self.shared(named.clone(), &book.parent()?.join(name))?);
            } else if let Some(name) = named.strip_prefix(PHOTOGRAPH) {
                all.push(of(named, &fs::read(folder.join(name)).ok()?));
            }
        }
        let from = issued::source(job, DocumentKind::Order, files).ok()?;
        all.extend(accepted(&from)?);
        Some(all)
    }

    /// The firm's own templates and fonts of a job.
    pub(super) fn own(&self, loaded: &Loaded) -> Option<OwnDigests> {
        self.own_in(loaded.overrides.as_deref(), loaded.own_fonts.as_deref()).map(OwnDigests)
    }

    fn own_in(&self, templates: Option<&Path>, fonts: Option<&Path>) -> Option<Vec<FileDigest>> {
        let one = |path: &PathBuf| self.shared(format!("own {}", path.file_name()?.to_string_lossy()), path);
        own::files(templates, fonts).ok()?.iter().map(one).collect()
    }

    /// The record of documents that were made, to be written with them; none where something could not be digested.
    pub(super) fn record(
        &self,
        loaded: &Loaded,
        own: OwnDigests,
        from: &SourceOfWork,
        files: &Files,
        made: &[Finished],
    ) -> Option<Finished> {
        let mut inputs = Vec::new();
        for read in &loaded.read {
            let name = match read.source {
                Source::Job => "job".to_owned(),
                Source::Firm => "firm".to_owned(),
                Source::Prices(n) => book_name(n),
                Source::Stock => STOCK.to_owned(),
                Source::List(_) | Source::Own(_) | Source::Record => continue,
            };
            inputs.push(of(&name, &read.bytes));
        }
        inputs.extend(own.0);
        if let Some(logo) = loaded.firm.as_ref().and_then(|firm| firm.logo.as_ref()) {
            inputs.push(of(&format!("{LOGO}{}", logo.name), &logo.bytes.whole().ok()?));
        }
        for read in &loaded.read {
            if let Source::List(n) = read.source {
                inputs.push(of(&format!("{PRICE_LIST}{n} {}", read.name), &read.bytes));
            }
        }
        // A photograph that no document shows was not read, and changes nothing.
        let shown = loaded.photos.iter().filter_map(|photo| match &photo.picture.bytes {
            PictureBytes::Stored(store) => Some((&photo.file, store.digest()?)),
            PictureBytes::Held(_) => None,
        });
        inputs.extend(
            shown.map(|(name, sum)| FileDigest { file: format!("{PHOTOGRAPH}{name}"), sha256: hexadecimal(&sum) }),
        );
        inputs.extend(accepted(from)?);
        let documents = made.iter().map(|made| of(&made.name, &made.bytes)).collect();
        let record = MadeRecord { program: self.program.clone()?, date: date(files), inputs, documents };
        Some(Finished { name: MADE.to_owned(), bytes: serde_json::to_vec_pretty(&record).ok()? })
    }

    /// The digest of a file that many jobs share.
    fn shared(&self, name: String, path: &Path) -> Option<FileDigest> {
        let there = fs::metadata(path).ok()?;
        let (length, changed) = (there.len(), there.modified().ok());
        let mut shared = self.shared.lock().unwrap_or_else(PoisonError::into_inner);
        let known = shared.get(path).filter(|known| (known.length, known.changed) == (length, changed));
        if let Some(known) = known {
            return Some(FileDigest { file: name, sha256: known.sha256.clone() });
        }
        let sha256 = digest(&fs::read(path).ok()?);
        shared.insert(path.to_path_buf(), SharedDigest { length, changed, sha256: sha256.clone() });
        Some(FileDigest { file: name, sha256 })
    }
}

/// The job as it was accepted, where it was, and the orders for its variations: nothing where it was not, `None` where that cannot
/// be read.
fn accepted(from: &SourceOfWork) -> Option<Vec<FileDigest>> {
    let (Some(revision), JobSource::File(path)) = (&from.revision, &from.job) else { return Some(Vec::new()) };
    let mut all = vec![of(&format!("accepted, revision {revision}"), &fs::read(path).ok()?)];
    all.extend(from.besides.iter().map(|(letter, sha256)| FileDigest {
        file: format!("order for a variation, revision {letter}"),
        sha256: sha256.clone(),
    }));
    Some(all)
}

fn book_name(n: usize) -> String {
    format!("price book {}", n + 1)
}

fn date(files: &Files) -> Option<String> {
    files.date.map(|date| date.to_string())
}

fn of(name: &str, bytes: &[u8]) -> FileDigest {
    FileDigest { file: name.to_owned(), sha256: digest(bytes) }
}

/// The digest of a file that is larger than anybody needs to hold.
fn digest_of_file(path: &Path) -> io::Result<String> {
    let (mut file, mut sum, mut part) = (File::open(path)?, Sha256::new(), vec![0; 1 << 16]);
    loop {
        match file.read(&mut part)? {
            0 => return Ok(hexadecimal(&sum.finalize())),
            read => sum.update(&part[..read]),
        }
    }
}

fn digest(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}
