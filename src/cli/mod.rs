//! The terminal: arguments, progress, printing.
//!
//! Given arguments; gives an exit code. The only layer that prints, asks the clock and knows JSON.

mod arguments;
mod figures;
mod jobs;
mod layout_json;
mod make;
mod own;
mod table;
mod templates;
mod terminal;
mod view;
mod work;
mod works_view;

pub use arguments::Arguments;

use crate::checks::finding::Finding;
use crate::documents::DocumentKind;
use crate::job_file;
use crate::model::{Level, Problem};
use arguments::{Command, Files, One, Output};
use jobs::JobSource;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
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
}

impl From<Outcome> for ExitCode {
    fn from(o: Outcome) -> ExitCode {
        ExitCode::from(match o {
            Outcome::Done => 0,
            Outcome::Problems => 1,
            Outcome::Usage => 2,
            Outcome::Unwritten => 3,
        })
    }
}

/// Runs one command.
pub fn run(arguments: Arguments) -> Outcome {
    let done = match arguments.command {
        Command::Check { jobs, files } => check(&jobs, &files),
        Command::Takeoff { job, json, why, files } => takeoff(&job, json, why.as_deref(), &files),
        Command::Works { job, json, files } => list_works(&job, json, &files),
        Command::Price { job, out: Some(folder), files, .. } => private(&job, &folder, &files),
        Command::Price { job, json, why, files, .. } => price(&job, json, why.as_deref(), &files),
        Command::Quote(one) => document(DocumentKind::Quote, &one),
        Command::Order(one) => document(DocumentKind::Order, &one),
        Command::Method(one) => document(DocumentKind::Method, &one),
        Command::Templates(arguments::Templates::Export { folder }) => templates::export(&folder),
        Command::Make { jobs, files, output } => make::make(&jobs, &files, &output),
    };
    done.unwrap_or_else(|stopped| report(&stopped))
}

fn check(typed: &[PathBuf], files: &Files) -> Result<Outcome, Stopped> {
    let jobs = jobs::find(typed).map_err(Stopped::Usage)?;
    let mut worst = Outcome::Done;
    let mut own_words = false;
    for job in &jobs {
        match check_one(job, files) {
            Ok(words) => own_words |= words,
            Err(stopped) => worst = worst.max(report(&stopped)),
        }
    }
    if own_words {
        terminal::say(OWN_WORDS);
    }
    Ok(worst)
}

/// Said once, however many jobs are checked.
const OWN_WORDS: &str = "The page on cancelling is in this program's own words, not in the official text of the Regulations. To print that, \
                         put it into `templates/cancelling.md` next to the firm file.\n";

/// A job without a firm file is checked as far as its sizes go. Gives whether its quote would have the program's own words
/// on cancelling.
fn check_one(job: &JobSource, files: &Files) -> Result<bool, Stopped> {
    let laid = work::lay_out(job, files)?;
    let mut own_words = false;
    let (summary, notices, sources) = match laid.loaded.firm.is_some() {
        true => {
            let priced = work::price_laid(laid)?;
            own_words = !priced.replaces("cancelling.md")?;
            let all = [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method];
            let untold = priced.check_documents(&all)?;
            let notices = [priced.notices(), untold].concat();
            (view::summary(&job.label(), &priced), notices, priced.laid.loaded.sources)
        }
        false => (view::sizes_only(&job.label(), &laid), laid.notices(), laid.loaded.sources),
    };
    terminal::say(&summary);
    terminal::say(&job_file::render(&notices, &sources, terminal::in_colour()));
    Ok(own_words)
}

fn takeoff(job: &Path, json: bool, why: Option<&str>, files: &Files) -> Result<Outcome, Stopped> {
    let laid = work::lay_out(&single(job)?, files)?;
    let text = match why {
        Some(id) => view::why(id, &laid.layout.take_off.lines, &findings(id, &laid)).map_err(Stopped::Usage)?,
        None if json => view::takeoff_json(&laid),
        None => view::takeoff_table(&laid),
    };
    terminal::say(&text);
    remark(&laid.notices(), &laid.loaded);
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
    terminal::say(&if json { works_view::json(&priced, &rows) } else { works_view::table_of(&priced, &rows) });
    remark(&priced.notices(), &priced.laid.loaded);
    Ok(Outcome::Done)
}

fn price(job: &Path, json: bool, why: Option<&str>, files: &Files) -> Result<Outcome, Stopped> {
    let priced = work::price(&single(job)?, files)?;
    let text = match why {
        Some(id) => view::why_sum(id, &priced).map_err(Stopped::Usage)?,
        None if json => view::price_json(&priced),
        None => view::price_table(&priced),
    };
    terminal::say(&text);
    remark(&priced.notices(), &priced.laid.loaded);
    Ok(Outcome::Done)
}

/// Writes the firm's own sheet.
fn private(job: &Path, folder: &Path, files: &Files) -> Result<Outcome, Stopped> {
    if folder == Path::new("-") {
        return Err(Stopped::Usage("the private sheet is written to a folder: name one with --out".into()));
    }
    let priced = work::price(&single(job)?, files)?;
    let places = make::write(folder, &[priced.private()?])?;
    remark(&priced.notices(), &priced.laid.loaded);
    terminal::say(&view::written(&places));
    Ok(Outcome::Done)
}

fn document(kind: DocumentKind, one: &One) -> Result<Outcome, Stopped> {
    let named = single(&one.job)?;
    let priced = work::price(&named, &one.files)?;
    let finished = priced.documents(&[kind])?;
    if one.output.out.as_deref() == Some(Path::new("-")) {
        return pour(&finished);
    }
    let folder = work::out_folder(&named, &one.output, false);
    let places = make::write(&folder, &finished)?;
    remark(&priced.notices(), &priced.laid.loaded);
    terminal::say(&view::written(&places));
    Ok(Outcome::Done)
}

fn pour(finished: &[crate::documents::Finished]) -> Result<Outcome, Stopped> {
    let Some(first) = finished.iter().find(|f| f.name.ends_with(".pdf")) else {
        return Ok(Outcome::Done);
    };
    match terminal::pour(&first.bytes) {
        Ok(()) => Ok(Outcome::Done),
        Err(_) => Ok(Outcome::Unwritten),
    }
}

/// Exactly one job.
fn single(typed: &Path) -> Result<JobSource, Stopped> {
    let mut found = jobs::find(&[typed.into()]).map_err(Stopped::Usage)?;
    match found.len() {
        1 => Ok(found.remove(0)),
        n => Err(Stopped::Usage(format!("{} holds {n} jobs; name one of them", typed.display()))),
    }
}

/// Warnings in full on standard error, and a word on how many things were assumed.
fn remark(notices: &[Problem], loaded: &job_file::Loaded) {
    let warnings: Vec<Problem> = notices.iter().filter(|p| p.level == Level::Warning).cloned().collect();
    if !warnings.is_empty() {
        terminal::warn(&job_file::render(&warnings, &loaded.sources, terminal::in_colour()));
    }
}

fn report(stopped: &Stopped) -> Outcome {
    match stopped {
        Stopped::Usage(words) => {
            terminal::warn(&format!("wetout: {words}\n"));
            Outcome::Usage
        }
        Stopped::Problems(problems, sources) => {
            terminal::warn(&job_file::render(problems, sources, terminal::in_colour()));
            Outcome::Problems
        }
        Stopped::Unwritten(fault) => {
            terminal::warn(&format!("wetout: {fault}\n"));
            Outcome::Unwritten
        }
    }
}

/// Whether an output folder was named that cannot be one.
fn refuse_stream(output: &Output) -> Result<(), Stopped> {
    match output.out.as_deref() == Some(Path::new("-")) {
        true => Err(Stopped::Usage("three documents cannot share standard output; name a folder with --out".into())),
        false => Ok(()),
    }
}
