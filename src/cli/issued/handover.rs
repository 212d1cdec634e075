//! `handover`: freezes what the householder is given when the roof is done, under the next number of a series of its own.
//!
//! Given a job that was accepted and the record of the work beside it; gives a new folder in `issued`, or everything that the
//! record lacks. What was built and what is guaranteed is the job as it was accepted, with the firm file and the price books that were
//! frozen with its quote; name, address and words of the firm are today's. Both are kept, so that it can be made again.

use super::accepted::reference;
use super::agreed_works;
use super::deal::{self, Deal, read_accepted};
use super::kept::{Frozen, IssuedVariation, Kept, VariationState, series_folder, unread};
use super::manifest::{
    FrozenAs, HandoverRecord, Inputs, KeptDay, KeptFile, Manifest, VariedWorkRecord, date_of, program,
};
use super::packs;
use super::snapshot::{self, SnapshotFiles};
use crate::cli::Outcome;
use crate::cli::arguments::Handover;
use crate::cli::jobs::JobSource;
use crate::cli::make::refuse_kept;
use crate::cli::record_form;
use crate::cli::terminal;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::handover::{self, GuaranteeView, HandoverView};
use crate::documents::views::BuiltView;
use crate::documents::words::Words;
use crate::documents::{Finished, IssueStanding, wording};
use crate::job_file::{self, Loaded, LoadedRecord};
use crate::model::firm::{GuaranteeFrom, GuaranteeTerms};
use crate::model::job::Conditions;
use crate::model::problem::Source;
use crate::model::{Firm, Job, Problem, Rules};
use crate::pricing::Money;
use crate::programme::weather::{WeatherVerdict, judge};
use crate::records::{self, MANIFEST};
use crate::works::VariedWork;
use crate::works::record::SiteRecord;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use time::Date;

/// The series of handovers, as folders are named.
const SERIES: &str = "handover";
/// The same in numbers.
const PRINTED: &str = "HAN";
/// How often another run may come between.
const TRIES: usize = 50;
/// What happened on site, beside `job.yaml`.
const RECORD: &str = "record.yaml";
/// The same in a frozen folder, with its photographs beside it.
const KEPT_RECORD: &str = "inputs/record/record.yaml";

/// Hands a roof over, or writes a draft of it, or prints a record to fill in.
///
/// # Errors
/// What keeps it from being handed over, made or written.
pub(crate) fn handover(named: &JobSource, typed: &Handover, today: Date) -> Result<Outcome, Stopped> {
    if typed.files.date.is_some() {
        return Err(Stopped::Usage(
            "say the day of the handover with `--on`; what was built is what was accepted".into(),
        ));
    }
    if typed.output.out.is_some() && !typed.draft {
        let fault = "what is handed over is kept beside the job; `--out` says where a draft goes: add `--draft`";
        return Err(Stopped::Usage(fault.into()));
    }
    let home = named.folder().join(records::ISSUED);
    for _ in 0..TRIES {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        let reference = reference(named, &kept, &typed.files)?;
        let deal = Deal::of(&kept, &reference)?.ok_or_else(|| not_accepted(&reference))?;
        let (built, accepted) = built(&kept, &reference, &deal)?;
        let varied = agreed_works::works(&kept, &reference, &deal.revision, &built.terms)?;
        if typed.form {
            let packs = packs::ordered(&kept, &reference, &built)?;
            terminal::say(&record_form::of(&built, &varied, &packs))?;
            return Ok(Outcome::Done);
        }
        let mut loaded = read_accepted(&deal, &typed.files)?;
        let read = record_beside(&record_place(named), typed.draft)?;
        loaded.sources.record = Some(read.source.clone());
        let on = typed.on.unwrap_or(today);
        let handed = Handed { loaded: &loaded, built: &built, read: &read, varied: &varied };
        refuse_astray(handed, (deal.on, on))?;
        if typed.draft {
            return draft(named, typed, handed, (&reference, &deal, on));
        }
        let lacks = read.record.lacks(&built.laid.layout.take_off.works, &varied);
        let Some(finished) = read.record.finished.filter(|_| lacks.is_empty()) else {
            return Err(Stopped::Problems(lacks, Box::new(loaded.sources)));
        };
        let terms = &built.firm.guarantee_terms;
        let sequence = kept.next_in_series(&reference, SERIES)?;
        let record = HandoverRecord {
            sequence,
            number: format!("{reference}-{PRINTED}-{sequence}"),
            date: KeptDay(on),
            finished: KeptDay(finished),
            guaranteed_from: guaranteed_from(terms.from, (finished, on), &kept, &reference).map(KeptDay),
            accepted_on: KeptDay(deal.on),
            record: KEPT_RECORD.to_owned(),
            variations: varied.iter().cloned().map(VariedWorkRecord::from).collect(),
            inputs: Inputs::default(),
            accepted: Inputs::default(),
        };
        if let Some(said) = freeze(&kept, (&reference, &deal.revision), handed, record, (accepted, typed.again))? {
            terminal::say(&said)?;
            return Ok(Outcome::Done);
        }
    }
    Err(Stopped::Usage(format!("other runs keep issuing in {}; try again when they are done", home.display())))
}

fn not_accepted(reference: &str) -> Stopped {
    Stopped::Usage(format!(
        "no quote of {reference} is accepted, so there is nothing to hand over: `wetout accept` records an acceptance"
    ))
}

// ---- What was built, and what happened -----------------------------------------------------------------------------------

/// The job as accepted, worked with what was frozen with its quote, and the date that was given for that.
pub(super) fn built(kept: &Kept, reference: &str, deal: &Deal) -> Result<(PricedJob, Option<Date>), Stopped> {
    let gone = || Stopped::Usage(format!("the quote {reference} revision {} is not there any more", deal.revision));
    let quotes = kept.quotes(reference);
    let quote = quotes.iter().find(|quote| quote.at.manifest.revision == deal.revision).ok_or_else(gone)?;
    let bytes = fs::read(&deal.job).map_err(|error| unread(&deal.job, &error))?;
    let mut loaded = snapshot::load(quote.at, bytes)?;
    // The words of that day are none of what was built.
    (loaded.overrides, loaded.own_fonts) = (None, None);
    let date = quote.paper.inputs.date.as_deref().and_then(date_of);
    Ok((work::price_laid(work::lay_out_loaded(loaded)?)?, date))
}

/// Where the record of a job stands: beside `job.yaml` as `record.yaml`, beside another job file under that one's name, since
/// several may stand in one folder.
pub(super) fn record_place(job: &JobSource) -> PathBuf {
    let name = match job {
        JobSource::File(path) if path.file_name().is_some_and(|name| name != "job.yaml") => {
            format!("{}-{RECORD}", job.short_name())
        }
        _ => RECORD.to_owned(),
    };
    job.folder().join(name)
}

/// The record beside a job; an empty one where a draft is wanted and there is none.
fn record_beside(place: &Path, draft: bool) -> Result<LoadedRecord, Stopped> {
    match fs::metadata(place) {
        Err(error) if error.kind() == io::ErrorKind::NotFound && draft => {
            let (record, source) = Default::default();
            Ok(LoadedRecord { record, bytes: Vec::new(), source })
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => Err(Stopped::Usage(format!(
            "there is no {}: write into it what happened on site. `wetout handover JOB --form` prints one to fill in for this \
             job, `wetout help record` tells every key; `--draft` writes the pages with lines to fill in by hand",
            place.display()
        ))),
        _ if draft => {
            job_file::load_unfilled_record(place).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))
        }
        _ => read_record(place),
    }
}

/// Reads a record.
///
/// # Errors
/// Everything that is wrong with it.
pub(super) fn read_record(place: &Path) -> Result<LoadedRecord, Stopped> {
    job_file::load_record(place).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))
}

/// What the record says of works and variations that the job does not have, and days that cannot be.
fn refuse_astray(handed: Handed<'_>, (accepted, on): (Date, Date)) -> Result<(), Stopped> {
    let Handed { loaded, built, read, varied } = handed;
    let mut found = read.record.astray(&built.laid.layout.take_off.works);
    found.extend(read.record.astray_of(varied));
    let mut tell = |fault: String, cure: &str| {
        found.push(Problem::fault(["finished"], fault, cure).within(Source::Record));
    };
    match read.record.finished {
        Some(finished) if finished < accepted => tell(
            format!("the work was finished on {finished}, before the quote was accepted on {accepted}"),
            "write the day on which all was done",
        ),
        Some(finished) if finished > on => tell(
            format!(
                "the work is finished only on {finished}, after the handover of {on}: no guarantee is dated before the completion"
            ),
            "hand it over when it is finished: `--on` says on which day",
        ),
        _ => {}
    }
    match found.is_empty() {
        true => Ok(()),
        false => Err(Stopped::Problems(found, Box::new(loaded.sources.clone()))),
    }
}

/// The day on which the guarantee begins: never before the work was finished. Where it begins with the last payment, the day of
/// that, once all was asked for and paid.
fn guaranteed_from(from: GuaranteeFrom, (finished, on): (Date, Date), kept: &Kept, reference: &str) -> Option<Date> {
    match from {
        GuaranteeFrom::Completion => Some(finished),
        GuaranteeFrom::Handover => Some(on),
        GuaranteeFrom::Payment => {
            let deal = Deal::of(kept, reference).ok().flatten()?;
            let standing: Vec<_> = deal::standing(kept, reference).into_iter().map(|(_, invoice)| invoice).collect();
            let whole = deal.left(&standing).total <= Money::ZERO;
            let paid = deal::account(kept, reference).balance() <= Money::ZERO;
            let last = kept.payments(reference).into_iter().map(|(_, payment)| payment.date.0).max()?;
            (whole && paid).then(|| last.max(finished))
        }
    }
}

// ---- Making, freezing, making again -------------------------------------------------------------------------------------

/// What a handover is made from.
#[derive(Clone, Copy)]
struct Handed<'a> {
    /// The job as accepted, with the firm of today.
    loaded: &'a Loaded,
    /// The same as it was sold.
    built: &'a PricedJob,
    /// What happened on site.
    read: &'a LoadedRecord,
    /// What was agreed since.
    varied: &'a [VariedWork],
}

/// The days that are printed.
#[derive(Clone, Copy)]
struct HandoverDays<'a> {
    number: Option<&'a str>,
    date: Date,
    begins: Option<Date>,
    accepted_on: Date,
}

/// Makes the document from the job, the record and the days.
fn made(named: (&str, &str), handed: Handed<'_>, days: HandoverDays<'_>) -> Result<Finished, Stopped> {
    let view = view(named, handed, days)?;
    work::made_of(handed.loaded, |own| handover::make(&view, own))
}

/// What is printed.
fn view<'a>(
    (reference, revision): (&'a str, &'a str),
    handed: Handed<'a>,
    days: HandoverDays<'a>,
) -> Result<HandoverView<'a>, Stopped> {
    let Handed { loaded, built, read, varied } = handed;
    let (job, sold) = (&loaded.job, &built.firm);
    let whole = built.worked();
    Ok(HandoverView {
        parties: deal::parties(
            loaded,
            reference,
            days.date,
            if days.number.is_some() { IssueStanding::Numbered } else { IssueStanding::Draft },
        )?,
        co_signers: &job.co_signers,
        number: days.number,
        accepted: (revision, days.accepted_on),
        built: BuiltView::of(&whole),
        record: &read.record,
        varied,
        guarantee: GuaranteeView {
            new: (sold.guarantee_years, &sold.guarantee),
            repair: (sold.repair_years, &sold.repair_guarantee),
            terms: &sold.guarantee_terms,
            begins: days.begins,
        },
    })
}

fn draft(
    named: &JobSource,
    typed: &Handover,
    handed: Handed<'_>,
    (reference, deal, on): (&str, &Deal, Date),
) -> Result<Outcome, Stopped> {
    let Handed { built, read, varied, .. } = handed;
    let folder = work::out_folder(named, &typed.output, None);
    refuse_kept(&folder)?;
    let begins = read.record.finished.filter(|_| built.firm.guarantee_terms.from == GuaranteeFrom::Completion);
    let days = HandoverDays { number: None, date: on, begins, accepted_on: deal.on };
    let Finished { name, bytes } = made((reference, &deal.revision), handed, days)?;
    let written = records::write_all(&folder, [(name.as_str(), bytes.as_slice())], |_| false)
        .map_err(|fault| Stopped::Unwritten(fault, "with --out"))?;
    let places: String = written.places.iter().map(|place| format!("wrote {}\n", place.display())).collect();
    let missing = match read.record.lacks(&built.laid.layout.take_off.works, varied).len() {
        0 => "The record says all that is needed; without --draft it is handed over.\n".to_owned(),
        n => format!(
            "{} missing in the record: lines to fill in by hand stand there. Without --draft each is told.\n",
            wording::plural(n, "thing is", "things are")
        ),
    };
    terminal::say(&format!("{places}{missing}"))?;
    Ok(Outcome::Done)
}

/// Freezes it; `None` where another run came between. Gives what is to be said.
fn freeze(
    kept: &Kept,
    (reference, revision): (&str, &str),
    handed: Handed<'_>,
    record: HandoverRecord,
    (dated, again): (Option<Date>, bool),
) -> Result<Option<String>, Stopped> {
    let (inputs, which) = snapshot::of(handed.loaded, None)?;
    let (files, accepted) = kept_inputs(handed, &inputs, dated)?;
    let record = HandoverRecord { inputs: which.clone(), accepted, ..record };
    let last = kept.handovers(reference).last().copied();
    if let Some((at, before)) = last.filter(|(at, before)| !again && is_unchanged(at, before, &files, &record)) {
        return Ok(Some(format!(
            "nothing has changed since {} was handed over on {}: {} stands, and nothing new is issued; --again does it all the \
             same\n",
            before.number,
            before.date.0,
            at.folder.display()
        )));
    }
    let finished = made((reference, revision), handed, days_of(&record))?;
    if snapshot::of(handed.loaded, None)? != (inputs, which) {
        return Ok(None); // A template or a font was changed while it was made.
    }
    let told = told(&record, handed, kept, (reference, revision));
    let pdf = finished.name.clone();
    let mut all: SnapshotFiles = vec![(finished.name, finished.bytes)];
    all.extend(files);
    let name = series_folder(reference, SERIES, record.sequence);
    let manifest = Manifest {
        program: program(),
        reference: reference.to_owned(),
        revision: revision.to_owned(),
        files: all.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
        holds: FrozenAs::Handover(Box::new(record)),
        before: last.map(|(at, _)| at.listed.clone()),
    };
    all.push((MANIFEST.to_owned(), manifest.written()));
    match records::freeze_upon(&kept.home, &kept.names, &name, &all) {
        Ok(folder) => Ok(Some(format!("{told}wrote {}\n", folder.join(pdf).display()))),
        Err(fault) if fault.cause.kind() == io::ErrorKind::AlreadyExists && kept.home.is_dir() => Ok(None),
        Err(fault) => Err(Stopped::Unwritten(fault, "for the job: it is kept beside it")),
    }
}

/// Every file that it is made from, and which of them are the job as it was sold.
fn kept_inputs(
    handed: Handed<'_>,
    inputs: &SnapshotFiles,
    dated: Option<Date>,
) -> Result<(SnapshotFiles, Inputs), Stopped> {
    let (sold, which) = snapshot::of(&handed.built.laid.loaded, dated)?;
    let moved = |name: &str| name.replacen("inputs/", "inputs/accepted/", 1);
    let accepted = Inputs {
        job: moved(&which.job),
        firm: moved(&which.firm),
        prices: which.prices.iter().map(|name| moved(name)).collect(),
        stock: which.stock.as_deref().map(moved),
        ..which
    };
    let mut files = inputs.clone();
    files.extend(sold.into_iter().map(|(name, bytes)| (moved(&name), bytes)));
    files.push((KEPT_RECORD.to_owned(), handed.read.bytes.clone()));
    let folder = PathBuf::from(KEPT_RECORD);
    let folder = folder.parent().unwrap_or(Path::new(""));
    for photo in &handed.read.record.photos {
        let name = folder.join(snapshot::plain(&photo.file)).to_string_lossy().into_owned();
        if !files.iter().any(|(there, _)| *there == name) {
            files.push((name, snapshot::fetched(&photo.picture)?));
        }
    }
    Ok((files, accepted))
}

fn is_unchanged(at: &Frozen, before: &HandoverRecord, files: &SnapshotFiles, now: &HandoverRecord) -> bool {
    let files: Vec<KeptFile> = files.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect();
    let then: Vec<&KeptFile> = at.manifest.files.iter().filter(|f| f.name.starts_with("inputs/")).collect();
    files.iter().eq(then)
        && (&before.inputs, before.guaranteed_from, &before.variations)
            == (&now.inputs, now.guaranteed_from, &now.variations)
}

fn told(record: &HandoverRecord, handed: Handed<'_>, kept: &Kept, (reference, revision): (&str, &str)) -> String {
    let HandoverRecord { number, date, finished, .. } = record;
    let mut text = format!("handed over as {number} on {}; finished on {}\n", date.0, finished.0);
    let sold = &handed.built.firm;
    text += &guarantee_told(sold, &handed.loaded.job, record.guaranteed_from.map(|day| day.0));
    text += &weather_told(&handed.read.record, &handed.built.laid.loaded.rules);
    text += &variations_told(handed.varied, kept, (reference, revision));
    let not_passed = handed.read.record.not_passed();
    if not_passed > 0 {
        let checks = wording::plural(not_passed, "check has", "checks have");
        text += &format!("{checks} not passed: the householder reads what is done about it\n");
    }
    if sold.guarantee_terms.transfer.is_none() && (sold.guarantee_years > 0 || sold.repair_years > 0) {
        text += "The certificate does not say what a new owner has of the guarantee: `transfer:` under `guarantee` in the firm \
                 file, for the quotes that you issue from now on.\n";
    }
    let next = Deal::of(kept, reference).ok().flatten().and_then(|deal| {
        let standing = deal::standing(kept, reference);
        let open = |n: &usize| standing.iter().all(|(_, invoice)| invoice.stage != n + 1);
        (0..deal.stages.len()).find(open).map(|n| n + 1)
    });
    text + &next.map_or_else(String::new, |n| format!("Next: `wetout invoice JOB --stage {n}`.\n"))
}

/// What was agreed since and goes with it, and what waits and does not.
fn variations_told(varied: &[VariedWork], kept: &Kept, (reference, revision): (&str, &str)) -> String {
    let with = varied.iter().map(|varied| format!("with variation order {}\n", varied.number)).collect::<String>();
    let waits = |varied: &IssuedVariation<'_>| matches!(varied.answer, VariationState::Waiting);
    let waiting = kept
        .variations(reference, revision)
        .into_iter()
        .filter(waits)
        .map(|varied| format!("{} waits for its signature, and is not handed over\n", varied.record.number));
    with + &waiting.collect::<String>()
}

/// The readings at which the method statement says stop: the householder reads the figures too.
fn weather_told(record: &SiteRecord, rules: &Rules) -> String {
    let mut text = String::new();
    for log in &record.weather {
        let (air, humidity, surface) = (Some(log.air), Some(log.humidity), Some(log.surface));
        let stated = Conditions { air, humidity, surface, ..Conditions::default() };
        for check in judge(&stated, rules).checks.iter().filter(|check| check.verdict == WeatherVerdict::Stop) {
            let (what, read) = (check.measured.words(), check.stated.as_deref().unwrap_or_default());
            text += &format!("the log of {}: {what} {read}; the limit is {}\n", log.day, check.limit);
        }
    }
    text
}

fn guarantee_told(firm: &Firm, job: &Job, begins: Option<Date>) -> String {
    let new = (!job.roofs.is_empty()).then_some(firm.guarantee_years);
    let repair = (!job.old_roofs.is_empty()).then_some(firm.repair_years);
    let one = |(years, what): (u32, &str)| {
        let long = wording::plural(years as usize, "year", "years");
        match begins {
            Some(day) => format!("guaranteed{what} for {long}, to {}\n", GuaranteeTerms::last_day(day, years)),
            None => format!("guaranteed{what} for {long}, from the day on which the last of the price is paid\n"),
        }
    };
    let kinds = [(new, ""), (repair, " (repairs)")];
    kinds.into_iter().filter_map(|(years, what)| Some((years.filter(|years| *years > 0)?, what))).map(one).collect()
}

/// What a frozen folder was made from, read again.
struct HandedAgain {
    loaded: Loaded,
    built: PricedJob,
    read: LoadedRecord,
    varied: Vec<VariedWork>,
}

impl HandedAgain {
    fn of(frozen: &Frozen, record: &HandoverRecord) -> Result<HandedAgain, Stopped> {
        let mut loaded = snapshot::read_again(frozen)?;
        let job = frozen.folder.join(&record.accepted.job);
        let bytes = fs::read(&job).map_err(|error| unread(&job, &error))?;
        let mut sold = snapshot::load_from(frozen, &record.accepted, bytes)?;
        (sold.overrides, sold.own_fonts) = (None, None);
        let built = work::price_laid(work::lay_out_loaded(sold)?)?;
        let read = read_record(&frozen.folder.join(&record.record))?;
        loaded.sources.record = Some(read.source.clone());
        let varied = record.variations.iter().cloned().map(VariedWork::from).collect();
        Ok(HandedAgain { loaded, built, read, varied })
    }

    fn handed(&self) -> Handed<'_> {
        Handed { loaded: &self.loaded, built: &self.built, read: &self.read, varied: &self.varied }
    }
}

fn days_of(record: &HandoverRecord) -> HandoverDays<'_> {
    HandoverDays {
        number: Some(&record.number),
        date: record.date.0,
        begins: record.guaranteed_from.map(|day| day.0),
        accepted_on: record.accepted_on.0,
    }
}

/// Makes the document of a frozen folder again from what is kept in it.
///
/// # Errors
/// What cannot be read or made any more.
pub(super) fn again(frozen: &Frozen, record: &HandoverRecord) -> Result<Vec<Finished>, Stopped> {
    let kept = HandedAgain::of(frozen, record)?;
    let named = (frozen.manifest.reference.as_str(), frozen.manifest.revision.as_str());
    Ok(vec![made(named, kept.handed(), days_of(record))?])
}

/// What is printed of a handover that is frozen, given to whoever writes a message of it.
///
/// # Errors
/// What cannot be read any more, and whatever is wrong with what is made of it.
pub(super) fn told_of<T>(
    frozen: &Frozen,
    record: &HandoverRecord,
    make: impl FnOnce(&HandoverView<'_>, &Words) -> Result<T, Vec<Problem>>,
) -> Result<T, Stopped> {
    let kept = HandedAgain::of(frozen, record)?;
    let named = (frozen.manifest.reference.as_str(), frozen.manifest.revision.as_str());
    let view = view(named, kept.handed(), days_of(record))?;
    work::with_words_of(&kept.loaded, |words| make(&view, words))
}
