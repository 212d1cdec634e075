//! What is read, and what comes of it.
//!
//! Given: the job's bytes and where its other files are looked for. Gives: everything that was read, or every problem
//! with the files to show it in.

use super::read::places::Places;
use crate::model::problem::Source;
use crate::model::silence::Silences;
use crate::model::{Firm, Job, Photo, Problem, Products, Rules, Trade, VanStock};
use crate::pricing::options::{Choices, Together};
use crate::pricing::{Alternative, JobMoney, PriceBook, Terms};
use crate::works::record::SiteRecord;
use std::path::PathBuf;
use std::sync::Arc;
use time::Date;

/// What to read.
#[derive(Debug, Clone, Default)]
pub struct Request {
    /// The job: its name for messages, its text, and the folder from which `firm.yaml`, `prices.yaml` and pictures are
    /// looked for.
    pub name: String,
    /// The job's bytes, as they were read.
    pub bytes: Vec<u8>,
    /// The folder.
    pub folder: PathBuf,
    /// A firm file that was named.
    pub firm: Option<PathBuf>,
    /// Price books that were named.
    pub prices: Vec<PathBuf>,
    /// A date that stands in place of the job's `prepared`.
    pub date: Option<Date>,
    /// The options are left unread: whoever asks prints none.
    pub without_options: bool,
    /// Which list says what stands in the van.
    pub stock: StockFrom,
    /// A price book that is read as it will be, and not as it stands on the disk: its path, and its bytes.
    pub as_will_be: Option<(PathBuf, Vec<u8>)>,
}

/// Which list says what stands in the van.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum StockFrom {
    /// The nearest `stock.yaml` going upward, where there is one.
    #[default]
    Nearest,
    /// One that was named.
    File(PathBuf),
    /// None: what is in the van counts for nothing.
    Nowhere,
}

/// One file as it was read: name, text, and the outline of a YAML file that could be parsed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SourceText {
    /// Name for messages.
    pub name: String,
    /// Text.
    pub text: String,
    pub(super) places: Option<Arc<Places>>,
}

impl SourceText {
    /// A file without an outline.
    pub fn new(name: String, text: String) -> SourceText {
        SourceText { name, text, places: None }
    }

    /// A YAML file with its outline, where it can be parsed.
    pub fn outlined(name: String, text: String) -> SourceText {
        let places = Places::of(&text).ok().map(|(places, _)| Arc::new(places));
        SourceText { name, text, places }
    }
}

/// A file as it was read, byte for byte.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadFile {
    /// Which.
    pub source: Source,
    /// Name for messages.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The files that were read, for showing problems in their place.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sources {
    /// The job.
    pub job: SourceText,
    /// The firm.
    pub firm: Option<SourceText>,
    /// The price books.
    pub prices: Vec<SourceText>,
    /// The list of what stands in the van.
    pub stock: Option<SourceText>,
    /// The merchants' lists, each with the place of its price book.
    pub lists: Vec<(usize, SourceText)>,
    /// The firm's own templates, then its own fonts (without text), as far as they were read.
    pub own: Vec<SourceText>,
    /// The record of what happened on site, where it was read.
    pub record: Option<SourceText>,
}

impl Sources {
    /// The text of every file, the firm's templates and fonts left out.
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        let one = [Some(&self.job), self.firm.as_ref(), self.stock.as_ref(), self.record.as_ref()];
        let lists = self.lists.iter().map(|(_, list)| list);
        one.into_iter().flatten().chain(&self.prices).chain(lists).map(|source| source.text.as_str())
    }
}

/// Everything that was read.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The job.
    pub job: Job,
    /// The firm; `None` when no firm file was found.
    pub firm: Option<Firm>,
    /// The rules: the firm's, or the defaults; the job's own in place of them.
    pub rules: Rules,
    /// The rules that would hold without the job's own.
    pub firm_rules: Rules,
    /// Which rules are the job's own.
    pub own_rules: Vec<&'static str>,
    /// Product sizes: the price books', or the usual ones.
    pub products: Products,
    /// The price books.
    pub books: Vec<PriceBook>,
    /// What stands in the van; nothing where no list was found.
    pub stock: VanStock,
    /// The firm's terms; `None` when no firm file was found.
    pub terms: Option<Terms>,
    /// The job's own sums.
    pub job_money: JobMoney,
    /// The job's options, each a job of its own.
    pub options: Vec<Alternative>,
    /// Which of them can be had together.
    pub together: Together,
    /// The job's photographs, in the order of the file.
    pub photos: Vec<Photo>,
    /// Warnings and assumptions.
    pub notices: Vec<Problem>,
    /// Which warnings the job silences.
    pub silences: Silences,
    /// The files.
    pub sources: Sources,
    /// The job, the firm file, the price books, their lists and the stock list as they were read, whatever was made of them.
    pub read: Vec<ReadFile>,
    /// The folder of the firm's own templates (`templates/` next to the firm file), where there is one.
    pub overrides: Option<PathBuf>,
    /// The folder of the firm's own fonts (`fonts/` next to the firm file), where there is one.
    pub own_fonts: Option<PathBuf>,
}

/// What a firm and its merchants offer to a job that is not written yet.
#[derive(Debug, Clone)]
pub struct OfficeFiles {
    /// The firm; `None` when no firm file was found.
    pub firm: Option<Firm>,
    /// The words of the trade, the firm's own among them.
    pub trade: Trade,
    /// Product sizes: the price books', or the usual ones.
    pub products: Products,
    /// The price books.
    pub books: Vec<PriceBook>,
    /// The folder of the firm's own fonts, where there is one.
    pub own_fonts: Option<PathBuf>,
}

impl Loaded {
    /// What may be chosen of the job.
    pub fn choices(&self) -> Choices<'_> {
        Choices { options: &self.options, together: &self.together }
    }
}

/// What happened on site, as it was read.
#[derive(Debug, Clone)]
pub struct LoadedRecord {
    /// What it says.
    pub record: SiteRecord,
    /// The file, byte for byte.
    pub bytes: Vec<u8>,
    /// The file, for showing problems in their place.
    pub source: SourceText,
}

/// A price book that was read by itself.
#[derive(Debug, Clone)]
pub struct LoadedBook {
    /// What it says.
    pub book: PriceBook,
    /// The file, byte for byte.
    pub bytes: Vec<u8>,
    /// Its text and outline.
    pub source: SourceText,
}

/// Why nothing could be read.
#[derive(Debug, Clone)]
pub struct Failure {
    /// Every problem, in the order of files and lines.
    pub problems: Vec<Problem>,
    /// The files, for showing them.
    pub sources: Sources,
}
