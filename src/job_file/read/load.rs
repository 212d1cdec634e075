//! The whole reading: find the files, read each, build the model, put every problem in file order.
//!
//! Given a request; gives everything, or every problem of every file. A file that cannot be read does not keep the
//! others from being read. Assumptions are left out of a failure: they matter once the job stands.

use super::find;
use super::guard;
use super::listed::{self, ListedArticle};
use super::places::Places;
use super::price_list::PriceList;
use super::reading::{FromFile, List, Reader, Slot, in_file_order};
use super::render::{source_of, target};
use crate::job_file::build::choices::Shelf;
use crate::job_file::build::options::{self, ReadOptions};
use crate::job_file::build::prices::SizesSold;
use crate::job_file::build::roof::RoofSupplies;
use crate::job_file::build::{firm, found, job, prices, record, stock};
use crate::job_file::loaded::{
    Failure, Loaded, LoadedBook, LoadedRecord, OfficeFiles, ReadFile, Request, SourceText, Sources, StockFrom,
};
use crate::job_file::raw::firm::RawFirm;
use crate::job_file::raw::found::RawFound;
use crate::job_file::raw::homes;
use crate::job_file::raw::job::{RawJob, RawOption};
use crate::job_file::raw::prices::RawPrices;
use crate::job_file::raw::record::RawRecord;
use crate::job_file::raw::rules::{JobRules, of_job};
use crate::job_file::raw::stock::RawStock;
use crate::model::lift::Lift;
use crate::model::limits::{self, Most};
use crate::model::problem::Source;
use crate::model::refused::{self, Refused};
use crate::model::{Job, Level, Problem, Products, Rules, SettingPath, Trade, VanStock, Warned, Whereabouts};
use crate::pricing::PriceBook;
use crate::pricing::variation::FoundOnSite;
use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex};
use time::Date;

/// Most problems that are told at once.
const MOST_TOLD: usize = 100;

/// Reads a job with its firm and price books.
///
/// # Errors
/// Every problem of every file, all at once.
pub fn load(request: &Request) -> Result<Loaded, Box<Failure>> {
    let mut files = FilesRead::default();
    let mut raw_job: Slot<RawJob> = files.read(&request.bytes, request.name.clone(), Source::Job);
    if let (Slot::Given(raw), Some(date)) = (&mut raw_job, request.date) {
        raw.prepared = Slot::Given(date);
    }
    let prepared = raw_job.given().and_then(|j| j.prepared.given().copied());
    let firm = firm_file(request, &mut files);
    let (books, products) = price_books(request, prepared, &mut files);
    let in_van = stock_file(request, &mut files);
    let had_firm = firm.is_some();
    let firm = firm.unwrap_or_else(|| firm::BuiltFirm {
        firm: None,
        terms: None,
        lift: None,
        rules: Rules::default(),
        written: Vec::new(),
        trade: Trade::default(),
    });
    let sold = !files
        .problems
        .iter()
        .any(|p| matches!(p.source, Source::Prices(_) | Source::List(_)) && p.level == Level::Fault);
    let shelf = Shelf { sizes: &products, from_book: !books.is_empty() };
    let own = raw_job.given().and_then(|j| j.rules.given().cloned()).unwrap_or_default();
    let JobRules { rules, own: own_rules } = of_job(&firm.rules, &firm.written, &own, &mut files.problems);
    let holidays = firm.firm.as_ref().map(|firm| firm.holidays.clone()).unwrap_or_default();
    let stock =
        RoofSupplies { rules: &rules, products: sold.then_some(shelf), trade: &firm.trade, holidays: &holidays };
    let asked = raw_job.given().and_then(|j| j.options.given().cloned()).unwrap_or_default();
    let built = raw_job.take().and_then(|raw| job::job(raw, stock, &request.folder, &mut files.problems));
    let base = built.as_ref().map(|b| &b.job);
    let asked_for = if request.without_options { None } else { base };
    let ReadOptions { mut options, mut together } = files.options(&asked, asked_for, stock, &request.folder);
    files.problems.extend(options::without_change(&asked));
    if let Some(date) = request.date {
        options.iter_mut().for_each(|option| option.job.prepared = date);
        together.combined.iter_mut().for_each(|combined| combined.job.prepared = date);
    }
    let built = built.map(|b| lifted(b, firm.lift.as_ref(), &mut files.problems));
    let beside = |name: &str| files.firm_folder.as_ref().map(|f| f.join(name)).filter(|f| f.is_dir());
    let (overrides, own_fonts) = (beside("templates"), beside("fonts"));
    files.misnamed(request);
    files.nothing_found(had_firm, &books);
    files.copies_beside();
    let read = std::mem::take(&mut files.read);
    let (problems, sources, failed) = files.finish();
    match built {
        Some(built) if !failed && (!had_firm || firm.terms.is_some()) => Ok(Loaded {
            job: built.job,
            firm: firm.firm,
            rules,
            firm_rules: firm.rules,
            own_rules,
            products,
            books,
            stock: in_van,
            terms: firm.terms,
            job_money: built.money,
            options,
            together,
            photos: built.photos,
            notices: problems,
            silences: built.silences,
            sources,
            read,
            overrides,
            own_fonts,
        }),
        _ => Err(Box::new(Failure { problems: told(problems), sources })),
    }
}

/// Reads the file of what was found on site; gives it with its text, in which what the pricing finds wrong is shown.
///
/// # Errors
/// Every problem of the file.
pub fn load_found(name: String, bytes: &[u8]) -> Result<(FoundOnSite, SourceText), Box<Failure>> {
    let mut files = FilesRead { of_found: true, ..FilesRead::default() };
    let raw: Slot<RawFound> = files.read(bytes, name, Source::Job);
    let mut told = Vec::new();
    let built = raw.take().and_then(|raw| found::found(raw, &mut told));
    files.problems.extend(told);
    let (problems, sources, failed) = files.finish();
    match built {
        Some(found) if !failed => Ok((found, sources.job)),
        _ => Err(Box::new(Failure { problems: self::told(problems), sources })),
    }
}

/// Reads the record of what happened on site.
///
/// # Errors
/// Every problem of it, all at once. What it does not say is none: who asks for it knows what he needs.
pub fn load_record(path: &Path) -> Result<LoadedRecord, Box<Failure>> {
    record_of(path, FilesRead::default())
}

/// The same of a form that is not yet filled in: where its `…` still stands, nothing is said.
///
/// # Errors
/// As [`load_record`].
pub fn load_unfilled_record(path: &Path) -> Result<LoadedRecord, Box<Failure>> {
    record_of(path, FilesRead { of_form: true, ..FilesRead::default() })
}

fn record_of(path: &Path, mut files: FilesRead) -> Result<LoadedRecord, Box<Failure>> {
    let raw: Slot<RawRecord> = files.open(path, Source::Record);
    let mut found = Vec::new();
    let record = raw.take().map(|raw| record::record(raw, &find::folder_of(path), &mut found));
    files.problems.extend(found.into_iter().map(|p| p.within(Source::Record)));
    let bytes = files.read.first().map(|read| read.bytes.clone()).unwrap_or_default();
    let (problems, sources, failed) = files.finish();
    match (record, &sources.record) {
        (Some(record), Some(source)) if !failed => Ok(LoadedRecord { record, bytes, source: source.clone() }),
        _ => Err(Box::new(Failure { problems: told(problems), sources })),
    }
}

/// Reads the firm file and the price books for a job that is not written yet.
///
/// # Errors
/// Every problem of these files.
pub fn office(request: &Request) -> Result<OfficeFiles, Box<Failure>> {
    let mut files = FilesRead::default();
    let built = firm_file(request, &mut files);
    let (books, products) = price_books(request, request.date, &mut files);
    let own_fonts = files.firm_folder.as_ref().map(|folder| folder.join("fonts")).filter(|folder| folder.is_dir());
    let (problems, sources, failed) = files.finish();
    if failed {
        return Err(Box::new(Failure { problems: told(problems), sources }));
    }
    let (firm, trade) = built.map_or_else(|| (None, Trade::default()), |built| (built.firm, built.trade));
    Ok(OfficeFiles { firm, trade, products, books, own_fonts })
}

/// The job with the firm's way of lifting and its payload, where it gives none of its own.
fn lifted(mut built: job::BuiltJob, firms: Option<&Lift>, found: &mut Vec<Problem>) -> job::BuiltJob {
    let unsaid = built.job.lift.is_none() && firms.is_none();
    if let Some(own) = &mut built.job.lift {
        own.payload = own.payload.or(firms.and_then(|f| f.payload));
    }
    built.job.lift = built.job.lift.or_else(|| firms.cloned());
    if unsaid {
        found.push(Problem::assumed(
            ["lift"],
            "how packs are lifted is not said: through every height, close to the body, by the women's column of the \
             filter, which holds for nearly everybody, is taken",
            "add `lift: {zones: [elbow to knuckle], reach: close, column: men}` to the job or the firm file",
        ));
    }
    built
}

/// That another kind of file was given: then none of its keys is worth a word.
fn other_file(places: &Places, source: Source, of_found: bool) -> Option<Problem> {
    let (wanted, cure) = match source {
        Source::Job if of_found => (homes::FOUND, "name the file in which you wrote down what was found"),
        Source::Job => {
            ("a job", "name the job file, or its folder; the firm file and price books are found by themselves")
        }
        Source::Firm => (
            "a firm file",
            "put the firm file in its place, or name that after `--firm`; else the nearest `firm.yaml` is taken",
        ),
        Source::Prices(_) => (
            "a price book",
            "put a price book in its place, or name one after `--prices`; else the nearest `prices.yaml` is taken",
        ),
        Source::Record => ("a record of the work", "write what happened on site into `record.yaml` beside the job"),
        Source::Stock => (
            "a stock list",
            "put a stock list in its place, or name one after `--stock`; else the nearest `stock.yaml` is taken",
        ),
        Source::List(_) | Source::Own(_) => return None,
    };
    let found = homes::file_of(places.children(0).iter().filter_map(|&node| places.key(node)))?;
    (found != wanted).then(|| Problem::fault(Whereabouts::WholeFile, format!("this is {found}, not {wanted}"), cure))
}

/// Leaves out assumptions, and the end of a list that nobody could work through at once.
fn told(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.retain(|p| p.level != Level::Assumed);
    if problems.len() > MOST_TOLD {
        problems.truncate(MOST_TOLD);
        let fault = format!("there are more problems than these {MOST_TOLD}");
        problems.push(Problem::fault(Whereabouts::WholeFile, fault, "put these right first, then look again"));
    }
    problems
}

fn firm_file(request: &Request, files: &mut FilesRead) -> Option<firm::BuiltFirm> {
    let path = request.firm.clone().or_else(|| find::firm(&request.folder))?;
    let folder = find::folder_of(&path);
    let raw: Slot<RawFirm> = files.open(&path, Source::Firm);
    let mut found = Vec::new();
    let built = raw.take().map(|raw| firm::firm(raw, &folder, &mut found));
    files.problems.extend(found.into_iter().map(|p| p.within(Source::Firm)));
    files.firm_folder = Some(folder);
    built
}

fn stock_file(request: &Request, files: &mut FilesRead) -> VanStock {
    let path = match &request.stock {
        StockFrom::Nearest => find::stock(&request.folder),
        StockFrom::File(path) => Some(path.clone()),
        StockFrom::Nowhere => None,
    };
    path.map(|path| files.stock(&path)).unwrap_or_default()
}

/// Where the stock list of a folder stands: the nearest going upward.
pub fn nearest_stock(folder: &Path) -> Option<PathBuf> {
    find::stock(folder)
}

/// Reads a stock list by itself; gives it with its text.
///
/// # Errors
/// Every problem of it.
pub fn load_stock(path: &Path) -> Result<(VanStock, SourceText), Box<Failure>> {
    let mut files = FilesRead::default();
    let read = files.stock(path);
    let (problems, sources, failed) = files.finish();
    match failed {
        true => Err(Box::new(Failure { problems: told(problems), sources })),
        false => Ok((read, sources.stock.unwrap_or_default())),
    }
}

fn price_books(request: &Request, prepared: Option<Date>, files: &mut FilesRead) -> (Vec<PriceBook>, Products) {
    let paths: Vec<PathBuf> = match request.prices.is_empty() {
        true => find::prices(&request.folder),
        false => request.prices.clone(),
    };
    let most = limits::BOOKS.most;
    if paths.len() > most {
        let fault = format!("there are {} price books: more than {most} are not read", paths.len());
        files.problems.push(Problem::fault(
            Whereabouts::WholeFile,
            fault,
            "keep those of the merchants that you would use",
        ));
        return (Vec::new(), Products::default());
    }
    let asked = files.own_roles();
    let mut sold = SizesSold::default();
    let mut books = Vec::new();
    for (n, path) in paths.iter().enumerate() {
        let raw: Slot<RawPrices> = match &request.as_will_be {
            Some((other, bytes)) if find::is_same(other, path) => {
                files.read(bytes, find::name(path), Source::Prices(n))
            }
            _ => files.open(path, Source::Prices(n)),
        };
        let Some(mut raw) = raw.take() else { continue };
        if let Some(same) = files.same_book(n) {
            let fault = format!("this price book says the same as {same}, word for word");
            let cure = "name each price book once; keep one of the two";
            files.problems.push(Problem::fault(Whereabouts::WholeFile, fault, cure).within(Source::Prices(n)));
            continue;
        }
        let listed = files.list(&mut raw, path, n, &asked);
        let from = prices::BookFile { file: &find::name(path), at: n, prepared };
        books.extend(prices::book(raw, listed, from, &mut sold, &mut files.problems));
    }
    files.problems.extend(sold.left_out());
    (books, sold.products())
}

/// Reads a price book by itself; gives it with its text.
///
/// # Errors
/// Every problem of it, and of the list that it names.
pub fn load_book(path: &Path) -> Result<LoadedBook, Box<Failure>> {
    let mut files = FilesRead::default();
    let request = Request { prices: vec![path.to_owned()], ..Request::default() };
    let (mut books, _) = price_books(&request, None, &mut files);
    let bytes = files.read.first().map(|read| read.bytes.clone()).unwrap_or_default();
    let (problems, sources, failed) = files.finish();
    match (books.pop(), sources.prices.first()) {
        (Some(book), Some(source)) if !failed => Ok(LoadedBook { book, bytes, source: source.clone() }),
        _ => Err(Box::new(Failure { problems: told(problems), sources })),
    }
}

/// What [`Places::of`] gave.
type SurveyedFile = (Arc<Places>, Vec<Problem>);

/// The firm files and price books that were surveyed last, by their texts: the jobs of a folder share them.
static SURVEYED: Mutex<Vec<(String, SurveyedFile)>> = Mutex::new(Vec::new());
/// So many of them are kept.
const SURVEYS_KEPT: usize = 4;

/// The places of a file, and what the text alone shows to be wrong in it.
fn known_places(text: &str, source: Source) -> Result<SurveyedFile, Box<Problem>> {
    let shared = matches!(source, Source::Firm | Source::Prices(_));
    let surveyed = || SURVEYED.lock().unwrap_or_else(|e| e.into_inner());
    if shared && let Some((_, known)) = surveyed().iter().find(|(known, _)| known == text) {
        return Ok(known.clone());
    }
    let (places, problems) = Places::of(text)?;
    let known = (Arc::new(places), problems);
    if shared {
        let mut all = surveyed();
        all.truncate(SURVEYS_KEPT - 1);
        all.insert(0, (text.to_owned(), known.clone()));
    }
    Ok(known)
}

/// The text of a list beside its price book, where `before` bytes of other lists were read.
fn list_text(folder: &Path, name: &str, before: usize) -> Result<String, Refused> {
    let plain = Path::new(name).components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir));
    if !plain {
        let fault = format!("the list `{name}` lies outside of the folder of this file");
        return Err((fault, "copy the list into the folder, and name it from there".to_owned()));
    }
    let large = |most: Most| {
        let fault = format!("with the list `{name}` there are more than {} {}", most.most, most.what);
        (fault, "keep those of its lines that you would buy".to_owned())
    };
    let cannot = |error: &io::Error| {
        let (fault, cure) = refused::reading(error);
        (format!("the list `{name}` cannot be read: {fault}"), cure)
    };
    let room = limits::LIST.most as u64 * 1_000_000;
    let file = File::open(folder.join(name)).map_err(|error| cannot(&error))?;
    let there = file.metadata().map_err(|error| cannot(&error))?;
    if !there.is_file() {
        return Err((format!("the list `{name}` is not a file"), "name a file, a table saved as CSV".to_owned()));
    }
    let mut bytes = Vec::with_capacity(there.len().min(room) as usize + 1);
    file.take(room + 1).read_to_end(&mut bytes).map_err(|error| cannot(&error))?;
    if bytes.len() as u64 > room {
        return Err(large(limits::LIST));
    }
    if before + bytes.len() > limits::ALL_LISTS.most * 1_000_000 {
        return Err(large(limits::ALL_LISTS));
    }
    String::from_utf8(bytes).map_err(|error| {
        let bytes = error.as_bytes().get(..error.utf8_error().valid_up_to()).unwrap_or_default();
        let line = bytes.iter().filter(|byte| **byte == b'\n').count() + 1;
        let fault = format!("the list `{name}` is not UTF-8 text from its line {line} on");
        (fault, "save it again as CSV in UTF-8".to_owned())
    })
}

/// The files of one reading, with what was found wrong in them.
#[derive(Default)]
struct FilesRead {
    sources: Sources,
    read: Vec<ReadFile>,
    problems: Vec<Problem>,
    firm_folder: Option<PathBuf>,
    /// What was found on site is read, and no job.
    of_found: bool,
    /// What a form leaves to be filled in counts as not said.
    of_form: bool,
}

impl FilesRead {
    /// Opens a file and reads it; no more of it than a file of its kind can hold.
    fn open<T: FromFile>(&mut self, path: &Path, source: Source) -> Slot<T> {
        let name = find::name(path);
        let mut bytes = Vec::new();
        let read = File::open(path).and_then(|f| f.take(guard::LARGEST as u64 + 1).read_to_end(&mut bytes));
        match read {
            Ok(_) => self.read(&bytes, name, source),
            Err(error) => {
                let (fault, cure) = refused::reading(&error);
                let fault = format!("this file cannot be read: {fault}");
                self.keep(source, SourceText::new(name, String::new()));
                self.problems.push(Problem::fault(Whereabouts::WholeFile, fault, cure).within(source));
                Slot::Bad
            }
        }
    }

    /// Reads the list of what stands in the van.
    fn stock(&mut self, path: &Path) -> VanStock {
        let raw: Slot<RawStock> = self.open(path, Source::Stock);
        let mut found = Vec::new();
        let built = raw.take().map(|raw| stock::stock(raw, &mut found));
        self.problems.extend(found.into_iter().map(|p| p.within(Source::Stock)));
        built.unwrap_or_default()
    }

    /// The roles of the family `own.` that the job names, wherever in it.
    fn own_roles(&self) -> BTreeSet<String> {
        let places = self.sources.job.places.iter();
        places.flat_map(|places| places.texts()).filter(|text| text.starts_with("own.")).map(str::to_owned).collect()
    }

    /// What the list of a price book gives: the prices that its articles lack, and articles of its own.
    fn list(&mut self, raw: &mut RawPrices, book: &Path, n: usize, asked: &BTreeSet<String>) -> Vec<ListedArticle> {
        let Some((named, file)) = raw.list.given().and_then(|list| Some((list, list.file.given()?.0.clone()))) else {
            return Vec::new();
        };
        let headings = named.headings();
        let there = SettingPath::from(["list"]);
        let mut tell = |(fault, cure): (String, String)| {
            self.problems.push(Problem::fault(&there, fault, cure).within(Source::Prices(n)));
            Vec::new()
        };
        if self.sources.lists.iter().any(|(_, list)| list.name == file) {
            let fault = format!("another price book has a list called `{file}` too");
            return tell((fault, "give each merchant's list a name of its own".to_owned()));
        }
        let read: usize = self.sources.lists.iter().map(|(_, list)| list.text.len()).sum();
        let text = match list_text(&find::folder_of(book), &file, read) {
            Ok(text) => text,
            Err(refused) => return tell(refused),
        };
        self.read.push(ReadFile { source: Source::List(n), name: file.clone(), bytes: text.clone().into_bytes() });
        let text = text.trim_start_matches('\u{feff}').to_owned();
        let list = PriceList::of(&text, headings);
        self.sources.lists.push((n, SourceText::new(file, text)));
        match list {
            Ok(list) => listed::complete(raw, &list, asked, n, &mut self.problems),
            Err(problem) => {
                self.problems.push(problem.within(Source::List(n)));
                Vec::new()
            }
        }
    }

    /// The price book before this one that holds the same text, by name.
    fn same_book(&self, n: usize) -> Option<&str> {
        let (before, book) = (self.sources.prices.get(..n)?, self.sources.prices.get(n)?);
        before.iter().find(|other| other.text == book.text).map(|other| other.name.as_str())
    }

    fn read<T: FromFile>(&mut self, bytes: &[u8], name: String, source: Source) -> Slot<T> {
        self.read.push(ReadFile { source, name: name.clone(), bytes: bytes.to_vec() });
        let text = match guard::text(bytes) {
            Ok(text) => text,
            Err(problem) => {
                let shown = bytes.get(..guard::LARGEST.min(bytes.len())).unwrap_or_default();
                let text = if bytes.len() > guard::LARGEST {
                    String::new()
                } else {
                    String::from_utf8_lossy(shown).into_owned()
                };
                self.keep(source, SourceText::new(name, text.trim_start_matches('\u{feff}').to_owned()));
                self.problems.push(problem.within(source));
                return Slot::Bad;
            }
        };
        let mut kept = SourceText::new(name, text);
        let value = match known_places(&kept.text, source) {
            Err(problem) => {
                self.problems.push(problem.within(source));
                Slot::Bad
            }
            Ok((mut places, problems)) => {
                if self.of_form {
                    Arc::make_mut(&mut places).leave_unfilled_out();
                }
                self.problems.extend(problems.into_iter().map(|p| p.within(source)));
                // Where a key of another file stands helps nobody who writes down what was found.
                let homes: fn(&str) -> Vec<&'static str> = if self.of_found { |_| Vec::new() } else { homes::of };
                let (value, problems) = match other_file(&places, source, self.of_found) {
                    Some(problem) => (Slot::Bad, vec![problem.within(source)]),
                    None => Reader::new(&places, source, homes).read(),
                };
                self.problems.extend(problems);
                kept.places = Some(places);
                value
            }
        };
        self.keep(source, kept);
        value
    }

    /// Reads the options of a job in which nothing is wrong: each fault of the job itself would be told once an option.
    fn options(
        &mut self,
        asked: &List<RawOption>,
        base: Option<&Job>,
        stock: RoofSupplies<'_>,
        folder: &Path,
    ) -> ReadOptions {
        let stands = !self.problems.iter().any(|p| p.level == Level::Fault && p.source == Source::Job);
        let places = self.sources.job.places.clone().filter(|_| stands && !asked.is_empty());
        let Some((places, base)) = places.zip(base) else { return ReadOptions::default() };
        let (options, found) = options::read(&places, asked, stock, folder, (base, &self.problems));
        self.problems.extend(found);
        options
    }

    /// Tells of copies of the files that were read which a synchroniser has left beside them, and which are not.
    fn copies_beside(&mut self) {
        for read in &self.read {
            for copy in find::copies_of(Path::new(&read.name)) {
                let fault = format!(
                    "{} lies beside this file, as a synchroniser leaves it, and is not read",
                    find::name(&copy)
                );
                let cure = "see which of the two is right, and take the other away";
                self.problems
                    .push(Problem::warning(Warned::Copy, Whereabouts::WholeFile, fault, cure).within(read.source));
            }
        }
    }

    /// Tells of a firm file, price book or stock list that lies there under a name by which it is not found.
    fn misnamed(&mut self, request: &Request) {
        let unstocked = self.sources.stock.is_none() && request.stock == StockFrom::Nearest;
        for (is_open, stem, what) in [
            (self.sources.firm.is_none(), "firm", "firm file"),
            (self.sources.prices.is_empty(), "prices", "price book"),
            (unstocked, "stock", "stock list"),
        ] {
            if let Some(near) = find::misnamed(&request.folder, stem).filter(|_| is_open) {
                let fault = format!("{} is not read, and no other {what} was found", find::name(&near));
                self.problems.push(Problem::fault(Whereabouts::WholeFile, fault, format!("call it {stem}.yaml")));
            }
        }
    }

    /// Tells what is taken where there is no firm file or no price book.
    fn nothing_found(&mut self, had_firm: bool, books: &[PriceBook]) {
        if !had_firm && self.sources.firm.is_none() {
            let fault = "no firm file was found: the usual rules are taken, and nothing can be priced";
            self.problems.push(Problem::assumed(
                Whereabouts::WholeFile,
                fault,
                "keep a `firm.yaml` in the job's folder or above it, or name one",
            ));
        }
        if books.is_empty() && self.sources.prices.is_empty() {
            let fault = "no price book was found: the usual sizes are taken, and nothing can be priced";
            self.problems.push(Problem::assumed(
                Whereabouts::WholeFile,
                fault,
                "keep a `prices.yaml` in the job's folder or above it, or name one",
            ));
        }
    }

    fn keep(&mut self, source: Source, text: SourceText) {
        match source {
            Source::Job => self.sources.job = text,
            Source::Firm => self.sources.firm = Some(text),
            Source::Prices(_) => self.sources.prices.push(text),
            Source::Stock => self.sources.stock = Some(text),
            Source::List(n) => self.sources.lists.push((n, text)),
            Source::Own(_) => self.sources.own.push(text),
            Source::Record => self.sources.record = Some(text),
        }
    }

    /// The problems in file order, the texts, and whether anything stops the job.
    fn finish(self) -> (Vec<Problem>, Sources, bool) {
        let FilesRead { sources, mut problems, .. } = self;
        let offset = |p: &Problem| source_of(&sources, p.source).and_then(|s| target(p, s)).map_or(0, |at| at.start);
        in_file_order(&mut problems, offset);
        let failed = problems.iter().any(|p| p.level == Level::Fault);
        (problems, sources, failed)
    }
}
