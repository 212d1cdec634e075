//! One job taken as far as a command needs it: read, laid out, priced, set.
//!
//! Given a job that was named; gives the values of each layer, or why it stopped. [`crate::estimate`] strings the layers
//! together; what belongs to files (the firm's own words, the folder for the documents) is added here.

use super::arguments::{Files, Output};
use super::jobs::JobSource;
use super::own::{self, Own};
use super::{terminal, told_together};
use crate::checks::finding::Finding;
use crate::documents::drawn::DrawnFile;
use crate::documents::words::Words;
use crate::documents::{self, DocumentKind, Finished, IssueStanding, Overrides, SiteSheet, WholeJob, wording};
use crate::estimate::{self, Crew, Estimate, LaidOut, Office};
use crate::job_file::{self, Loaded, Request, Sources};
use crate::model::van::VanStock;
use crate::model::{Firm, Problem, Whereabouts};
use crate::pricing::options::{Choices, Show, Together};
use crate::pricing::private_sheet::{self, Basis, PrivateSheet};
use crate::pricing::{Alternative, ChangedWords, FromVan, Money, Pricing, Terms};
use crate::programme::Programme;
use crate::records::WriteFault;
use crate::takeoff::Need;
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use time::Date;

/// Why a job went no further.
#[derive(Debug)]
pub(super) enum Stopped {
    /// What was typed cannot be used.
    Usage(String),
    /// The job has problems.
    Problems(Vec<Problem>, Box<Sources>),
    /// A file could not be written; how another folder is named, in words.
    Unwritten(WriteFault, &'static str),
    /// What was printed did not arrive.
    Lost(io::Error),
}

impl From<io::Error> for Stopped {
    fn from(error: io::Error) -> Stopped {
        Stopped::Lost(error)
    }
}

/// A job that has been laid out.
pub(super) struct LaidOutJob {
    /// What was read.
    pub loaded: Loaded,
    /// The layout, with its checks.
    pub layout: LaidOut,
}

/// A job that has been priced.
pub(super) struct PricedJob {
    /// The job as laid out.
    pub laid: LaidOutJob,
    /// The firm.
    pub firm: Firm,
    /// Its terms.
    pub terms: Terms,
    /// The programme.
    pub programme: Programme,
    /// The price.
    pub pricing: Pricing,
    /// Warnings that only an option brings.
    pub option_notices: Vec<Problem>,
    /// What its documents leave out, as far as they were looked at.
    pub left_out: Vec<Problem>,
    /// The letter under which its documents are issued; none while they are drafts.
    pub revision: Option<String>,
    /// The variation for whose goods alone its orders are.
    pub varied: Option<String>,
}

/// Reads a job and lays it out. Sizes only: no firm file and no price are needed.
///
/// # Errors
/// Everything that is wrong with the files or the roof.
pub(super) fn lay_out(named: &JobSource, files: &Files) -> Result<LaidOutJob, Stopped> {
    lay_out_read(&named.request(files).map_err(Stopped::Usage)?)
}

fn lay_out_read(request: &Request) -> Result<LaidOutJob, Stopped> {
    let loaded = job_file::load(request).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))?;
    if terminal::is_verbose() {
        terminal::remark(&files_read(&loaded.sources))?;
    }
    lay_out_loaded(loaded)
}

/// Lays out a job that was read.
///
/// # Errors
/// Everything that is wrong with the roof.
pub(super) fn lay_out_loaded(loaded: Loaded) -> Result<LaidOutJob, Stopped> {
    let crew = Crew::of(loaded.firm.as_ref(), loaded.terms.as_ref());
    match estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, crew) {
        Ok(layout) => Ok(LaidOutJob { loaded, layout }),
        Err(problems) => Err(stop(problems, &loaded)),
    }
}

/// Reads a job, lays it out and prices it.
///
/// # Errors
/// Everything that is wrong with the files, the roof or the price books.
pub(super) fn price(named: &JobSource, files: &Files) -> Result<PricedJob, Stopped> {
    price_laid(lay_out(named, files)?)
}

/// Reads a job, lays it out and prices it for documents that print none of its options: they are left unread.
///
/// # Errors
/// As [`price`], but for the options.
pub(super) fn price_without_options(named: &JobSource, files: &Files) -> Result<PricedJob, Stopped> {
    let request = named.request(files).map_err(Stopped::Usage)?;
    price_asked(&Request { without_options: true, ..request })
}

/// Lays out and prices what is asked for.
///
/// # Errors
/// As [`price`].
pub(super) fn price_asked(request: &Request) -> Result<PricedJob, Stopped> {
    price_laid(lay_out_read(request)?)
}

/// Prices a job that was laid out, and its options.
///
/// # Errors
/// Everything that is wrong with the price books, the firm's tables or an option.
pub(super) fn price_laid(laid: LaidOutJob) -> Result<PricedJob, Stopped> {
    let Loaded { job, rules, products, books, job_money, .. } = &laid.loaded;
    let (Some(firm), Some(terms)) = (laid.loaded.firm.clone(), laid.loaded.terms.clone()) else {
        return Err(stop(vec![no_firm()], &laid.loaded));
    };
    let stopped = |problems| stop(problems, &laid.loaded);
    let office = Office { rules, products, books, terms: &terms, holidays: &firm.holidays };
    let Estimate { programme, pricing } = estimate::estimate(job, job_money, &laid.layout, office).map_err(stopped)?;
    let known: Vec<Problem> = [&programme.notices, &pricing.notices].into_iter().flatten().cloned().collect();
    let known = [laid.unsilenced(), known].concat();
    let laid_out = (job, &laid.layout.take_off);
    let priced = estimate::price_options(&pricing, laid_out, laid.loaded.choices(), office, &known).map_err(stopped)?;
    let needs = &laid.layout.take_off.needs;
    let basis = Basis { job, rules, needs, programme: &programme, books, terms: &terms, money: job_money };
    let pricing = pricing.with_options(priced.options, priced.totals).with_van(&laid.loaded.stock, basis);
    Ok(PricedJob {
        laid,
        firm,
        terms,
        programme,
        pricing,
        option_notices: priced.notices,
        left_out: Vec::new(),
        revision: None,
        varied: None,
    })
}

/// Which files a job was read with.
fn files_read(sources: &Sources) -> String {
    let firm = sources.firm.as_ref().map_or("no firm file".to_owned(), |f| format!("firm file {}", f.name));
    let books: Vec<String> = sources.prices.iter().map(|book| book.name.clone()).collect();
    let books = match books.is_empty() {
        true => "no price book".to_owned(),
        false => format!("price book {}", wording::list(&books)),
    };
    let stock = sources.stock.as_ref().map_or_else(String::new, |list| format!(", and stock list {}", list.name));
    format!("read {} with {firm} and {books}{stock}\n", sources.job.name)
}

/// An order of which every line stands in the van.
pub(super) fn nothing_ordered() -> Stopped {
    Stopped::Usage("nothing is to be ordered: all that this job takes stands in the van".into())
}

fn no_firm() -> Problem {
    Problem::fault(
        Whereabouts::WholeFile,
        "no firm file was found, and a price needs the firm's rates and terms",
        "put firm.yaml beside the job or in a folder above it, or name one with --firm",
    )
}

fn stop(problems: Vec<Problem>, loaded: &Loaded) -> Stopped {
    Stopped::Problems(problems, Box::new(loaded.sources.clone()))
}

impl LaidOutJob {
    /// What the order comes to in lifts; nothing where the job cannot be priced.
    pub(super) fn lifts(&self) -> Vec<Finding> {
        self.priced().map_or_else(Vec::new, |pricing| pricing.lifts)
    }

    /// What is taken from the van; nothing where the job cannot be priced, or nothing stands there.
    pub(super) fn taken_from_van(&self) -> Vec<FromVan> {
        let none = self.loaded.stock.lines.is_empty();
        self.priced().filter(|_| !none).map_or_else(Vec::new, |pricing| pricing.van.taken)
    }

    /// Its price without its options.
    fn priced(&self) -> Option<Pricing> {
        let Loaded { job, rules, products, books, job_money, firm, terms, .. } = &self.loaded;
        let (firm, terms) = (firm.as_ref()?, terms.as_ref()?);
        let office = Office { rules, products, books, terms, holidays: &firm.holidays };
        let Estimate { programme, pricing } = estimate::estimate(job, job_money, &self.layout, office).ok()?;
        let needs = &self.layout.take_off.needs;
        let basis = Basis { job, rules, needs, programme: &programme, books, terms, money: job_money };
        Some(pricing.with_van(&self.loaded.stock, basis))
    }

    /// Every notice of the reading and the layout, in order, those of one sort together, those that the job silences marked as such.
    pub(super) fn notices(&self) -> Vec<Problem> {
        self.told(self.unsilenced())
    }

    /// Notices as they are told.
    fn told(&self, notices: Vec<Problem>) -> Vec<Problem> {
        told_together::of(self.loaded.silences.over(notices), &self.loaded.job)
    }

    /// The same before anything is silenced.
    fn unsilenced(&self) -> Vec<Problem> {
        self.loaded.notices.iter().chain(self.layout.notices()).cloned().collect()
    }
}

impl PricedJob {
    /// Makes documents, side by side. What they leave out in the firm's own words is told with the other notices.
    ///
    /// # Errors
    /// Everything that keeps any of them from being made: no document is half made.
    pub(super) fn documents(&mut self, kinds: &[DocumentKind]) -> Result<Vec<Finished>, Stopped> {
        let mut files = Vec::new();
        for made in self.of_each(kinds, documents::make_and_look)? {
            files.extend(made.files);
            self.left_out.extend(made.left_out);
        }
        Ok(files)
    }

    /// Looks for everything that would keep a document from being made; gives what should be told or said there and is not.
    ///
    /// # Errors
    /// As [`PricedJob::documents`].
    pub(super) fn check_documents(&self, kinds: &[DocumentKind]) -> Result<Vec<Problem>, Stopped> {
        let own = self.own()?;
        let sources = &self.laid.loaded.sources;
        let checked = documents::check(kinds, &self.worked(), &own.overrides, sources.texts());
        Ok(self.told_once(checked, own)?.into_iter().flatten().collect())
    }

    /// What the quote and the method statement tell of, each with its first page, by the keys of works.
    ///
    /// # Errors
    /// As [`PricedJob::documents`].
    pub(super) fn told(&self) -> Result<[BTreeMap<String, usize>; 2], Stopped> {
        let mut told = self.of_each(&[DocumentKind::Quote, DocumentKind::Method], documents::told)?.into_iter();
        Ok([told.next().unwrap_or_default(), told.next().unwrap_or_default()])
    }

    /// Does the same for each kind of document, side by side, and tells every problem once.
    fn of_each<T: Send>(
        &self,
        kinds: &[DocumentKind],
        work: fn(DocumentKind, &WholeJob<'_>, &Overrides) -> Result<T, Vec<Problem>>,
    ) -> Result<Vec<T>, Stopped> {
        let own = self.own()?;
        let worked = self.worked();
        let (worked, overrides) = (&worked, &own.overrides);
        let made = documents::side_by_side(kinds, |kind| work(kind, worked, overrides));
        self.told_once(made, own)
    }

    /// What was made of each kind of document, or every problem once.
    fn told_once<T>(&self, made: Vec<Result<T, Vec<Problem>>>, own: Own) -> Result<Vec<T>, Stopped> {
        let (mut done, mut problems) = (Vec::new(), Vec::new());
        for one in made {
            match one {
                Ok(made) => done.push(made),
                Err(more) => {
                    // A character is told once, though each document has other words around it.
                    let told = |p: &Problem, known: &Problem| p == known || p.about.is_some() && p.about == known.about;
                    let new = more.into_iter().filter(|p| !problems.iter().any(|known| told(p, known)));
                    problems.extend(new.collect::<Vec<_>>());
                }
            }
        }
        if problems.is_empty() { Ok(done) } else { Err(self.stopped(problems, own)) }
    }

    /// Takes orders for the goods of a variation in the place of its own.
    ///
    /// # Errors
    /// What of them cannot be ordered.
    pub(super) fn order_besides(
        &mut self,
        number: &str,
        goods: &[Need],
        van: &VanStock,
        until: Option<Date>,
    ) -> Result<(), Stopped> {
        let Loaded { job, rules, books, job_money, .. } = &self.laid.loaded;
        let basis =
            Basis { job, rules, needs: goods, programme: &self.programme, books, terms: &self.terms, money: job_money };
        let ordered = self.pricing.clone().ordering(goods, van, until, basis);
        self.pricing = ordered.map_err(|problems| stop(problems, &self.laid.loaded))?;
        self.varied = Some(number.to_owned());
        Ok(())
    }

    /// The total of the same job read otherwise, as an option of it is priced.
    ///
    /// # Errors
    /// Everything that keeps it from being laid out or priced.
    pub(super) fn total_of(&self, other: Loaded, label: &str) -> Result<Money, Stopped> {
        let Loaded { rules, products, books, .. } = &self.laid.loaded;
        let office = Office { rules, products, books, terms: &self.terms, holidays: &self.firm.holidays };
        let alternative = Alternative {
            label: label.to_owned(),
            show: Show::default(),
            job: other.job,
            money: other.job_money,
            words: ChangedWords::default(),
            places: Vec::new(),
            needs: Vec::new(),
            excludes: Vec::new(),
        };
        let choices = Choices { options: &[alternative], together: &Together::default() };
        let laid = (&self.laid.loaded.job, &self.laid.layout.take_off);
        let priced = estimate::price_options(&self.pricing, laid, choices, office, &[]);
        match priced.map(|priced| priced.options.first().map(|option| option.total)) {
            Ok(total) => Ok(total.unwrap_or(self.pricing.total)),
            Err(problems) => Err(Stopped::Problems(problems, Box::new(other.sources))),
        }
    }

    /// Whether the firm has words of its own in place of a built-in template.
    ///
    /// # Errors
    /// What is wrong with the firm's own files.
    pub(super) fn replaces(&self, template: &str) -> Result<bool, Stopped> {
        Ok(self.own()?.overrides.templates.iter().any(|(name, _)| name == template))
    }

    /// The firm's own words and fonts.
    pub(super) fn own(&self) -> Result<Own, Stopped> {
        own_of(&self.laid.loaded)
    }

    fn stopped(&self, problems: Vec<Problem>, own: Own) -> Stopped {
        stopped_in(&self.laid.loaded, problems, own)
    }

    /// Makes something of the firm's words.
    ///
    /// # Errors
    /// What is wrong with the firm's own files, or with what is made of them.
    pub(super) fn with_words<T>(&self, make: impl FnOnce(&Words) -> Result<T, Vec<Problem>>) -> Result<T, Stopped> {
        with_words_of(&self.laid.loaded, make)
    }

    /// The values that documents are made from.
    pub(super) fn worked(&self) -> WholeJob<'_> {
        let Loaded { job, rules, products, .. } = &self.laid.loaded;
        WholeJob {
            job,
            firm: &self.firm,
            rules,
            products,
            terms: &self.terms,
            take_off: &self.laid.layout.take_off,
            findings: &self.laid.layout.checked.findings,
            programme: &self.programme,
            pricing: &self.pricing,
            photos: &self.laid.loaded.photos,
            date: job.prepared,
            standing: match (self.revision.as_deref(), self.varied.as_deref()) {
                (None, _) => IssueStanding::Draft,
                (Some(letter), None) => IssueStanding::Revision(letter),
                (Some(letter), Some(number)) => IssueStanding::OfVariation(number, letter),
            },
            varied: self.varied.as_deref(),
        }
    }

    /// Every notice of every layer, in order, those of one sort together, those that the job silences marked as such.
    pub(super) fn notices(&self) -> Vec<Problem> {
        self.notices_with(Vec::new())
    }

    /// The same with more, such as those of the documents.
    pub(super) fn notices_with(&self, more: Vec<Problem>) -> Vec<Problem> {
        self.laid.told([self.unsilenced(), more].concat())
    }

    fn unsilenced(&self) -> Vec<Problem> {
        if self.varied.is_some() {
            // What is to be said of the job was said with its own order.
            return [&self.pricing.notices[..], &self.left_out].concat();
        }
        let own = [&self.programme.notices, &self.pricing.notices, &self.option_notices, &self.left_out];
        let mut all = self.laid.unsilenced();
        for notice in own.into_iter().flatten().filter(|p| !self.laid.loaded.notices.contains(p)) {
            all.push(notice.clone());
        }
        all
    }

    /// The firm's own sheet.
    pub(super) fn sheet(&self) -> PrivateSheet {
        let Loaded { job, rules, books, job_money, .. } = &self.laid.loaded;
        let (needs, programme, terms) = (&self.laid.layout.take_off.needs, &self.programme, &self.terms);
        let mut sheet =
            private_sheet::sheet(&self.pricing, Basis { job, rules, needs, programme, books, terms, money: job_money });
        let own = (&self.laid.loaded.own_rules[..], &self.laid.loaded.firm_rules);
        let products = &self.laid.loaded.products;
        let office = Office { rules, products, books, terms, holidays: &self.firm.holidays };
        let costs = estimate::rule_costs(job, job_money, own, office);
        sheet.own_rules = costs.into_iter().map(|cost| (cost.name, cost.by_firms)).collect();
        sheet
    }

    /// A part of the method statement, or the card of a day.
    ///
    /// # Errors
    /// Everything that keeps it from being made.
    pub(super) fn site_sheet(&self, sheet: SiteSheet<'_>) -> Result<Finished, Stopped> {
        let own = self.own()?;
        let made = documents::make_site_sheet(sheet, &self.worked(), &own.overrides);
        made.map_err(|p| self.stopped(p, own))
    }

    /// The drawings of its documents.
    ///
    /// # Errors
    /// What keeps the documents from being made.
    pub(super) fn drawings(&self) -> Result<Vec<DrawnFile>, Stopped> {
        let own = self.own()?;
        let made = documents::drawn::drawings(&self.worked(), &own.overrides);
        made.map_err(|p| self.stopped(p, own))
    }

    /// The firm's own sheet as a PDF.
    ///
    /// # Errors
    /// What keeps it from being printed.
    pub(super) fn private(&self) -> Result<Finished, Stopped> {
        let own = self.own()?;
        let made = documents::private::make(&self.worked(), &self.sheet(), &own.overrides);
        made.map_err(|p| self.stopped(p, own))
    }
}

/// The words and fonts of a job's firm.
///
/// # Errors
/// What is wrong with them.
pub(super) fn own_of(loaded: &Loaded) -> Result<Own, Stopped> {
    let mut own = own::read(loaded);
    match own.problems.is_empty() {
        true => Ok(own),
        false => Err(stopped_in(loaded, std::mem::take(&mut own.problems), own)),
    }
}

/// Makes something of the words of a job's firm.
///
/// # Errors
/// What is wrong with the firm's own files, or with what is made of them.
pub(super) fn with_words_of<T>(
    loaded: &Loaded,
    make: impl FnOnce(&Words) -> Result<T, Vec<Problem>>,
) -> Result<T, Stopped> {
    let own = own_of(loaded)?;
    let made = Words::new(&own.overrides).and_then(|words| make(&words));
    made.map_err(|problems| stopped_in(loaded, problems, own))
}

/// Makes a document that needs no layout and no price.
///
/// # Errors
/// What is wrong with the firm's own files, or keeps it from being printed.
pub(super) fn made_of(
    loaded: &Loaded,
    make: impl FnOnce(&Overrides) -> Result<Finished, Vec<Problem>>,
) -> Result<Finished, Stopped> {
    let own = own_of(loaded)?;
    make(&own.overrides).map_err(|problems| stopped_in(loaded, problems, own))
}

fn stopped_in(loaded: &Loaded, mut problems: Vec<Problem>, own: Own) -> Stopped {
    let sources = Sources { own: own.sources, ..loaded.sources.clone() };
    job_file::find_characters(&mut problems, &sources);
    Stopped::Problems(problems, Box::new(sources))
}

/// The folder for a job's documents: what was asked for (a folder of its own in it, by its name among many), or `out`.
pub(super) fn out_folder(named: &JobSource, output: &Output, among_many: Option<&Path>) -> PathBuf {
    match (&output.out, among_many) {
        (Some(out), Some(name)) => out.join(name),
        (Some(out), None) => out.clone(),
        (None, _) => named.out_folder(),
    }
}
