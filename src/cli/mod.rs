//! The terminal: arguments, progress, printing.
//!
//! Given arguments; gives an exit code. The only layer that prints, asks the clock and knows JSON.

mod arguments;
mod decisions;
mod examples;
mod figures;
mod help;
mod issued;
mod jobs;
mod key_page;
mod layout_json;
mod made_from;
mod make;
mod many;
mod merchant_file;
mod new;
mod new_firm;
mod open_jobs;
mod own;
mod patterns;
mod price_update;
mod prices;
mod prices_told;
mod record_form;
mod schema;
mod stock;
mod survey_form;
mod table;
mod talk;
mod templates;
mod terminal;
mod told_once;
mod told_together;
mod view;
mod watch;
mod watched_files;
mod work;
mod works_view;

pub use arguments::Arguments;

use crate::checks::finding::Finding;
use crate::documents::{self, DocumentKind, Finished, SiteSheet, drawn, wording};
use crate::job_file;
use crate::job_file::reference::FileKind;
use crate::model::{Level, Problem, limits, refused};
use crate::programme::{Day, Programme};
use crate::records;
use arguments::{Command, Files, Issue, MethodOf, One, Output, SchemaOf};
use clap::{CommandFactory, Parser};
use issued::Refusal;
use jobs::{FoundJobs, JobSource, NamedJob};
use many::Next;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use time::{Date, OffsetDateTime};
use told_once::{ToldOnce, ToldWords};
use work::Stopped;

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// All done.
    Done,
    /// A job has problems.
    Problems,
    /// What was typed cannot be used.
    Usage,
    /// A file could not be written.
    Unwritten,
    /// It was told to end before all was done.
    BrokenOff,
}

impl Outcome {
    /// The number that the shell is given.
    const fn code(self) -> u8 {
        match self {
            Outcome::Done => 0,
            Outcome::Problems => 1,
            Outcome::Usage => 2,
            Outcome::Unwritten => 3,
            // As a shell has it of one that Ctrl-C ends.
            Outcome::BrokenOff => 130,
        }
    }
}

impl From<Outcome> for ExitCode {
    fn from(o: Outcome) -> ExitCode {
        ExitCode::from(o.code())
    }
}

/// Reads what was typed and runs it.
pub fn started() -> Outcome {
    if std::env::args_os().len() <= 1 {
        return terminal::say(examples::FIRST).map_or_else(|lost| report(&lost.into()), |()| Outcome::Done);
    }
    match Arguments::try_parse() {
        Ok(arguments) => run(arguments),
        // Help and version come this way too, to standard output.
        Err(words) => match terminal::tell_of_arguments(&words) {
            Err(error) => report(&Stopped::Lost(error)),
            _ if words.exit_code() == 0 => Outcome::Done,
            _ => Outcome::Usage,
        },
    }
}

/// Runs one command.
pub fn run(arguments: Arguments) -> Outcome {
    terminal::be(arguments.loudness);
    let done = match arguments.command {
        Command::Survey(asked) => day(asked.files.date).and_then(|today| survey_form::survey(&asked, today)),
        Command::New(job) => day(None).and_then(|today| new::new(&job, today)),
        Command::Check { jobs, files } => check(&jobs, &files),
        Command::Takeoff { job, json, why, files } => takeoff(&job, json, why.as_deref(), &files),
        Command::Works { job, json, files } => list_works(&job, json, &files),
        Command::Price { job, out: Some(folder), files, .. } => private(&job, &folder, &files),
        Command::Price { job, json, why, files, .. } => price(&job, json, why.as_deref(), &files),
        Command::Quote(one) => document(DocumentKind::Quote, &one, (false, None)),
        Command::Order(order) => document(DocumentKind::Order, &order.one, (order.ubl, order.variation.as_deref())),
        Command::Method(of) => method(&of),
        Command::Draw { one, svg } => draw(&one, svg),
        Command::Issue(issue) => issue_one(&issue),
        Command::Mail(mail) => kept_beside(&mail.job).and_then(|job| {
            day(None)?;
            issued::mail(&job, &mail, OffsetDateTime::now_utc())
        }),
        Command::Compare { job, before, after, files } => {
            kept_beside(&job).and_then(|job| issued::compare(&job, [&before, &after], &files))
        }
        Command::List { jobs, json, state, today, files } => {
            day(today).and_then(|today| issued::list(&jobs, json, &state, today, &files))
        }
        Command::Accept(accept) => kept_beside(&accept.job).and_then(|job| issued::accept(&job, &accept)),
        Command::Decline(said) => kept_beside(&said.job).and_then(|job| issued::refuse(&job, &said, Refusal::Decline)),
        Command::Withdraw(said) => {
            kept_beside(&said.job).and_then(|job| issued::refuse(&job, &said, Refusal::Withdraw))
        }
        Command::Invoice(invoice) => {
            kept_beside(&invoice.job).and_then(|job| issued::invoice(&job, &invoice, day(invoice.on)?))
        }
        Command::Variation(found) => {
            kept_beside(&found.job).and_then(|job| issued::variation(&job, &found, day(found.on)?))
        }
        Command::Receipt(back) if back.back.is_some() || back.cancel.is_some() => {
            kept_beside(&back.job).and_then(|job| issued::paid_back(&job, &back))
        }
        Command::Receipt(paid) => kept_beside(&paid.job).and_then(|job| issued::receipt(&job, &paid)),
        Command::Account(asked) => {
            kept_beside(&asked.job).and_then(|job| issued::account(&job, &asked, day(asked.today)?))
        }
        Command::Handover(done) => kept_beside(&done.job).and_then(|job| issued::handover(&job, &done, day(done.on)?)),
        Command::Actuals { jobs, json, files } => issued::actuals(&jobs, json, &files),
        Command::Stock(asked) => day(asked.today).and_then(|today| stock::stock(&asked, today)),
        Command::Prices(arguments::Prices::Update(typed)) => day(None).and_then(|today| prices::update(&typed, today)),
        Command::Templates(arguments::Templates::Export { folder }) => templates::export(&folder),
        Command::Help { page: true, .. } => key_page::tell(),
        Command::Help { words, page: false } => help::help(&words),
        Command::Completions { shell } => print_completions(shell),
        Command::Man => print_manual(),
        Command::Licences => print_licences(),
        Command::Schema { file } => print_schema(file),
        Command::Make { jobs, anew, files, output } => make::make(&jobs, &files, &output, anew),
        Command::Watch(asked) => watch::watch(&asked),
    };
    done.unwrap_or_else(|stopped| report(&stopped))
}

fn print_completions(shell: clap_complete::Shell) -> Result<Outcome, Stopped> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "wetout", &mut script);
    terminal::pour(&script)?;
    Ok(Outcome::Done)
}

fn print_manual() -> Result<Outcome, Stopped> {
    let mut page = Vec::new();
    clap_mangen::Man::new(Arguments::command()).render(&mut page)?;
    terminal::pour(&page)?;
    Ok(Outcome::Done)
}

/// What it is built from, as `.ci/licences` has read it off `Cargo.lock`.
fn print_licences() -> Result<Outcome, Stopped> {
    terminal::say(OWN_LICENCE)?;
    terminal::say(include_str!("licences.txt"))?;
    Ok(Outcome::Done)
}

/// Said before those of others.
const OWN_LICENCE: &str = "wetout is under the MIT licence, and its fonts under the SIL Open Font License 1.1 (`fonts/` beside its source). It is \
                           built from these libraries, some of them for other systems alone, each under the licence that its \
                           makers state:\n\n";

fn print_schema(file: SchemaOf) -> Result<Outcome, Stopped> {
    let file = match file {
        SchemaOf::Job => FileKind::Job,
        SchemaOf::Firm => FileKind::Firm,
        SchemaOf::Prices => FileKind::Prices,
        SchemaOf::Found => FileKind::Found,
        SchemaOf::Record => FileKind::Record,
        SchemaOf::Stock => FileKind::Stock,
    };
    terminal::say(&schema::of(file))?;
    Ok(Outcome::Done)
}

fn check(typed: &[PathBuf], files: &Files) -> Result<Outcome, Stopped> {
    let FoundJobs { jobs, passed_over } = jobs::search(typed).map_err(Stopped::Usage)?;
    terminal::note(&jobs::told_passed_over(&passed_over))?;
    let mut worst = Outcome::Done;
    let mut own_words = false;
    let (mut first, mut doubles) = (BTreeMap::<String, String>::new(), String::new());
    let (mut faults, mut notices) = (ToldOnce::default(), ToldOnce::default());
    // Of one job alone nothing is to be remembered.
    let new = |told: &mut ToldOnce, words: &ToldWords| if jobs.len() == 1 { words.whole() } else { told.of(words) };
    let mut tell = |checked: Result<CheckedWords, (ToldWords, Outcome)>| -> Result<(), Stopped> {
        match checked {
            Ok(checked) => {
                own_words |= checked.own_words;
                let CheckedWords { job, reference, .. } = &checked;
                match first.get(reference) {
                    Some(other) => doubles += &format!("{job}: its reference {reference} is that of {other} too\n"),
                    None => drop(first.insert(reference.clone(), job.clone())),
                }
                terminal::say(&new(&mut notices, &checked.said))?;
            }
            Err((words, outcome)) => worst = worst.max(warned(&new(&mut faults, &words), outcome)),
        }
        Ok(())
    };
    let checked = |job: &JobSource| check_one(job, files).map_err(|stopped| told(&stopped));
    match jobs.as_slice() {
        [only] => tell(checked(&only.source))?,
        all => {
            let each = |job: &NamedJob| checked(&job.source);
            many::in_order(all, each, |_, checked| tell(checked).map(|()| Next::GoOn))?;
        }
    }
    terminal::say(&notices.of_several(jobs.len()))?;
    if !doubles.is_empty() {
        terminal::warn(&(doubles + jobs::ONE_REFERENCE))?;
    }
    if own_words {
        terminal::note(OWN_WORDS)?;
    }
    Ok(worst)
}

/// Said once, however many jobs are checked.
const OWN_WORDS: &str = "The page on cancelling is in this program's own words, not in the official text of the Regulations. To print that, \
                         put it into `templates/cancelling.md` next to the firm file.\n";

/// What is said of a job that was checked.
struct CheckedWords {
    job: String,
    reference: String,
    said: ToldWords,
    /// Its quote would have the program's own words on cancelling.
    own_words: bool,
}

/// A job without a firm file is checked as far as its sizes go.
fn check_one(job: &JobSource, files: &Files) -> Result<CheckedWords, Stopped> {
    let laid = work::lay_out(job, files)?;
    let reference = laid.loaded.job.reference.clone();
    let mut own_words = false;
    let (summary, notices, sources) = match laid.loaded.firm.is_some() {
        true => {
            let priced = work::price_laid(laid)?;
            own_words = !priced.replaces("cancelling.md")?;
            let all = [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method];
            let untold = priced.check_documents(&all)?;
            let mut notices = priced.notices_with(untold);
            notices.extend(priced.laid.loaded.silences.unmet(&notices));
            let mut summary = view::summary(&job.label(), &priced, &notices);
            summary += &issued::lapsing(job, &priced.laid.loaded.job.reference, day(files.date)?)?;
            (summary, notices, priced.laid.loaded.sources)
        }
        false => (view::sizes_only(&job.label(), &laid), laid.notices(), laid.loaded.sources),
    };
    let said = decisions::grouped(&notices, &sources, terminal::out_in_colour()).behind(&summary);
    Ok(CheckedWords { job: job.label(), reference, said, own_words })
}

fn takeoff(job: &Path, json: bool, why: Option<&str>, files: &Files) -> Result<Outcome, Stopped> {
    let laid = work::lay_out(&single(job)?, files)?;
    let text = match why {
        Some(id) => {
            let text = view::why(id, &laid.layout.take_off.lines, &findings(id, &laid)).map_err(Stopped::Usage)?;
            text + &view::from_van(id, &laid.taken_from_van())
        }
        None if json => view::takeoff_json(&laid),
        None => view::takeoff_table(&laid),
    };
    terminal::say(&text)?;
    remark(&laid.notices(), &laid.loaded)?;
    Ok(Outcome::Done)
}

/// The checks of the layout; those of lifting too where they are asked for, since they need the packs of the order.
fn findings(id: &str, laid: &work::LaidOutJob) -> Vec<Finding> {
    let mut all = laid.layout.checked.findings.clone();
    if id.starts_with("lift") {
        all.extend(laid.lifts());
    }
    all
}

fn list_works(job: &Path, json: bool, files: &Files) -> Result<Outcome, Stopped> {
    let priced = work::price(&single(job)?, files)?;
    let told = priced.told()?;
    let rows = works_view::rows(&priced, &told);
    terminal::say(&if json { works_view::json(&priced, &rows) } else { works_view::table_of(&priced, &rows) })?;
    remark(&priced.notices(), &priced.laid.loaded)?;
    Ok(Outcome::Done)
}

fn price(job: &Path, json: bool, why: Option<&str>, files: &Files) -> Result<Outcome, Stopped> {
    let priced = work::price(&single(job)?, files)?;
    let text = match why {
        Some(id) => view::why_sum(id, &priced).map_err(Stopped::Usage)?,
        None if json => view::price_json(&priced),
        None => view::price_table(&priced),
    };
    terminal::say(&text)?;
    remark(&priced.notices(), &priced.laid.loaded)?;
    Ok(Outcome::Done)
}

/// Writes the firm's own sheet.
fn private(job: &Path, folder: &Path, files: &Files) -> Result<Outcome, Stopped> {
    if folder == Path::new("-") {
        return Err(Stopped::Usage("the private sheet is written to a folder: name one with --out".into()));
    }
    let priced = work::price(&single(job)?, files)?;
    let written = make::write(folder, &[], &[priced.private()?])?;
    remark(&priced.notices(), &priced.laid.loaded)?;
    terminal::note(&view::written(&written))?;
    Ok(Outcome::Done)
}

fn document(kind: DocumentKind, one: &One, (ubl, variation): (bool, Option<&str>)) -> Result<Outcome, Stopped> {
    let named = single(&one.job)?;
    let from = issued::source(&named, kind, &one.files)?;
    terminal::warn(&from.said)?;
    let mut priced = match (kind, variation) {
        (_, Some(typed)) => {
            let varied = issued::order_for_variation(&named, &from.job, (&one.files, typed))?;
            terminal::warn(&varied.said)?;
            varied.priced
        }
        (DocumentKind::Quote, None) => work::price(&from.job, &one.files)?,
        (DocumentKind::Order | DocumentKind::Method, None) => issued::for_work(&named, &from, &one.files)?,
    };
    let mut finished = priced.documents(&[kind])?;
    if finished.is_empty() {
        return Err(work::nothing_ordered());
    }
    if ubl {
        finished.extend(documents::orders_for_computers(&priced.worked()).ok_or_else(held)?);
    }
    if one.output.out.as_deref() == Some(Path::new("-")) {
        remark(&priced.notices(), &priced.laid.loaded)?;
        if ubl {
            return Err(Stopped::Usage("`--ubl` writes a second file; name a folder with --out".into()));
        }
        return pour(&finished);
    }
    // The job's own order, which stands beside it, is another.
    let besides = match (&one.output.out, &priced.varied) {
        (None, Some(number)) => Some(number.clone()),
        _ => None,
    };
    let folder = work::out_folder(&named, &one.output, None);
    let folder = besides.map_or_else(|| folder.clone(), |number| folder.join(number));
    let written = make::write(&folder, &[kind], &finished)?;
    remark(&priced.notices(), &priced.laid.loaded)?;
    terminal::note(&view::written(&written))?;
    Ok(Outcome::Done)
}

/// The method statement, or the part of it that was asked for, which stands beside it.
fn method(of: &MethodOf) -> Result<Outcome, Stopped> {
    let MethodOf { one, crew, office, day } = of;
    if !crew && !office && day.is_none() {
        return document(DocumentKind::Method, one, (false, None));
    }
    let named = single(&one.job)?;
    let from = issued::source(&named, DocumentKind::Method, &one.files)?;
    terminal::warn(&from.said)?;
    let priced = issued::for_work(&named, &from, &one.files)?;
    let sheet = match day {
        Some(number) => SiteSheet::Day(day_of(&priced.programme, *number)?),
        None if *crew => SiteSheet::Crew,
        None => SiteSheet::Office,
    };
    let finished = [priced.site_sheet(sheet)?];
    remark(&priced.notices(), &priced.laid.loaded)?;
    if one.output.out.as_deref() == Some(Path::new("-")) {
        return pour(&finished);
    }
    let written = make::write(&work::out_folder(&named, &one.output, None), &[], &finished)?;
    terminal::note(&view::written(&written))?;
    Ok(Outcome::Done)
}

/// The drawings, listed or written; of an accepted job as it was accepted.
fn draw(one: &One, svg: bool) -> Result<Outcome, Stopped> {
    let named = single(&one.job)?;
    if svg && one.output.out.as_deref() == Some(Path::new("-")) {
        return Err(Stopped::Usage("the drawings cannot share standard output; name a folder with --out".into()));
    }
    if !svg && one.output.out.is_some() {
        return Err(Stopped::Usage("`draw` only lists the drawings; add --svg, and they are written there".into()));
    }
    let from = issued::source(&named, DocumentKind::Method, &one.files)?;
    terminal::warn(&from.said)?;
    let priced = work::price(&from.job, &from.dated(&one.files))?;
    let drawn = priced.drawings()?;
    remark(&priced.notices(), &priced.laid.loaded)?;
    if !svg {
        terminal::say(&view::drawings(&drawn))?;
        return Ok(Outcome::Done);
    }
    let folder = work::out_folder(&named, &one.output, None);
    let finished: Vec<Finished> = drawn.into_iter().map(Finished::from).collect();
    let written = make::write_over(&folder, drawn::is_drawn, &finished)?;
    terminal::note(&view::written(&written))?;
    Ok(Outcome::Done)
}

/// A day of the programme by its number.
fn day_of(programme: &Programme, number: u32) -> Result<&Day, Stopped> {
    programme.days.iter().find(|day| day.number == number).ok_or_else(|| {
        Stopped::Usage(match programme.days.len() {
            1 => format!("there is no day {number}: the work takes one day; ask for --day 1"),
            days => format!("there is no day {number}: the work takes {days} days; ask for --day 1 to --day {days}"),
        })
    })
}

fn held() -> Stopped {
    Stopped::Usage(
        "an order that is held until asbestos is settled is not put into a form that a computer carries out; leave `--ubl` out, or \
         write `asbestos: no` once the survey says so"
            .into(),
    )
}

/// Freezes a document under the next letter.
fn issue_one(issue: &Issue) -> Result<Outcome, Stopped> {
    let Issue { job, document, again, check, variation, files } = issue;
    if *check {
        return issued::check(job);
    }
    let Some(kind) = document else {
        return Err(Stopped::Usage("name a job and what is issued of it: `wetout issue JOB quote`".into()));
    };
    let named = kept_beside(job)?;
    let (outcome, priced) = issued::issue(&named, (*kind).into(), files, (*again, variation.as_deref()))?;
    remark(&priced.notices(), &priced.laid.loaded)?;
    Ok(outcome)
}

/// A document to standard output, which holds one file.
fn pour(finished: &[Finished]) -> Result<Outcome, Stopped> {
    let of = |ending: &str| finished.iter().filter(|f| f.name.ends_with(ending)).collect::<Vec<_>>();
    let (papers, lists) = (of(".pdf"), of(".csv"));
    let [paper] = papers.as_slice() else {
        let names: Vec<String> = papers.iter().map(|f| f.name.clone()).collect();
        let fault = format!("{} cannot share standard output; name a folder with --out", wording::list(&names));
        return Err(Stopped::Usage(fault));
    };
    terminal::pour(&paper.bytes)?;
    if let [list] = lists.as_slice() {
        let (list, paper) = (&list.name, &paper.name);
        terminal::remark(&format!(
            "{list} is attached to {paper}; as a file of its own it is written with --out FOLDER\n"
        ))?;
    }
    Ok(Outcome::Done)
}

/// Exactly one job.
fn single(typed: &Path) -> Result<JobSource, Stopped> {
    let mut found = jobs::find(&[typed.into()]).map_err(Stopped::Usage)?;
    match found.len() {
        1 => Ok(found.remove(0)),
        n => Err(Stopped::Usage(format!("{} holds {n} jobs; name one of them", typed.display()))),
    }
}

/// The day that was said, or today by this machine's clock, in universal time.
fn day(said: Option<Date>) -> Result<Date, Stopped> {
    said.map_or_else(|| believed(OffsetDateTime::now_utc().date()).map_err(Stopped::Usage), Ok)
}

/// The day that a clock tells, unless it was never set: nothing is to be dated 1970 for ever.
///
/// # Errors
/// What is wrong with it, and what to do.
pub fn believed(clock: Date) -> Result<Date, String> {
    match limits::YEARS.limit.holds(clock.year().into()) {
        true => Ok(clock),
        false => Err(format!("by this computer's clock it is {clock}: set its date and time, then run this again")),
    }
}

/// Exactly one job that stands in a folder, with what is kept beside it in order.
fn kept_beside(typed: &Path) -> Result<JobSource, Stopped> {
    match single(typed)? {
        JobSource::Input => {
            Err(Stopped::Usage("what is issued is kept beside its job: name a job file or its folder".into()))
        }
        named => {
            records::sweep(&named.folder().join(records::ISSUED));
            Ok(named)
        }
    }
}

/// Warnings in full on standard error; where much is to be told, all else that was noticed too.
fn remark(notices: &[Problem], loaded: &job_file::Loaded) -> Result<(), Stopped> {
    Ok(terminal::remark(&warnings(notices, loaded).whole())?)
}

/// The words of that; nothing where there is nothing to tell.
fn warnings(notices: &[Problem], loaded: &job_file::Loaded) -> ToldWords {
    let told = |p: &&Problem| p.level == Level::Warning || terminal::is_verbose();
    let warnings: Vec<Problem> = notices.iter().filter(told).cloned().collect();
    ToldWords::of(warnings, &loaded.sources, terminal::in_colour())
}

fn report(stopped: &Stopped) -> Outcome {
    let (words, outcome) = told(stopped);
    warned(&words.whole(), outcome)
}

/// Why it went no further, in words.
fn told(stopped: &Stopped) -> (ToldWords, Outcome) {
    let (words, outcome) = match stopped {
        Stopped::Problems(problems, sources) => {
            return (ToldWords::of(problems.clone(), sources, terminal::in_colour()), Outcome::Problems);
        }
        Stopped::Usage(words) => (words.clone(), Outcome::Usage),
        Stopped::Unwritten(fault, elsewhere) => (fault.told(elsewhere), Outcome::Unwritten),
        Stopped::Lost(error) => {
            let (fault, cure) = refused::printing(error);
            (format!("not all of the output arrived: {fault}; {cure}"), Outcome::Unwritten)
        }
    };
    (ToldWords::plain(format!("wetout: {words}\n")), outcome)
}

/// Tells it; where nobody can be told, whoever reads the exit code is.
fn warned(words: &str, outcome: Outcome) -> Outcome {
    match terminal::warn(words) {
        Ok(()) => outcome,
        Err(_) => outcome.max(Outcome::Unwritten),
    }
}

/// Whether an output folder was named that cannot be one.
fn refuse_stream(output: &Output) -> Result<(), Stopped> {
    match output.out.as_deref() == Some(Path::new("-")) {
        true => Err(Stopped::Usage("three documents cannot share standard output; name a folder with --out".into())),
        false => Ok(()),
    }
}
