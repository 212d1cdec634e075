//! `survey`: the form for the ladder, or the names of its questions.
//!
//! Given how many roofs; writes `survey.pdf`. A form that lies there already may have been filled in: it is left as it is.

use super::arguments::{Files, SurveyAsked};
use super::make::refuse_kept;
use super::work::Stopped;
use super::{Outcome, own, terminal};
use crate::documents::Finished;
use crate::job_file::{self, OfficeFiles, Request, Sources};
use crate::pages::own_fonts;
use crate::survey::{self, Lists};
use crate::{pdf, records};
use std::path::Path;
use time::Date;

/// The name of the form's file.
const FORM: &str = "survey.pdf";

/// Writes the form.
///
/// # Errors
/// What is wrong with the firm's files, or keeps the form from being written.
pub(super) fn survey(asked: &SurveyAsked, date: Date) -> Result<Outcome, Stopped> {
    let office = office_of(Path::new("."), &asked.files)?;
    let lists = Lists::of(&office);
    if asked.questions {
        terminal::say(&survey::listing(&lists, asked.roofs))?;
        return Ok(Outcome::Done);
    }
    let form = form(&office, &lists, asked.roofs, date)?;
    let folder = asked.out.as_deref().unwrap_or(Path::new("."));
    if folder == Path::new("-") {
        terminal::pour(&form.bytes)?;
        return Ok(Outcome::Done);
    }
    refuse_kept(folder)?;
    let written = records::write_new(folder, [(FORM, form.bytes.as_slice())])
        .map_err(|fault| Stopped::Unwritten(fault, "with --out"))?;
    if let Some(kept) = written.kept.first() {
        return Err(Stopped::Usage(format!(
            "{} is there already, and may be filled in: move it, or name another folder with --out",
            kept.display()
        )));
    }
    terminal::note(&format!("wrote {}\n", folder.join(FORM).display()))?;
    Ok(Outcome::Done)
}

fn form(office: &OfficeFiles, lists: &Lists, roofs: u8, date: Date) -> Result<Finished, Stopped> {
    let stopped = |problems, own: Vec<_>| Stopped::Problems(problems, Box::new(Sources { own, ..Sources::default() }));
    let own = own::read_in(None, office.own_fonts.as_deref());
    if !own.problems.is_empty() {
        return Err(stopped(own.problems, own.sources));
    }
    let document = survey::document(lists, office.firm.as_ref(), roofs, date);
    let fonts = own_fonts::fonts(&own.overrides.fonts, 0);
    match fonts.and_then(|fonts| pdf::print_in(fonts, &document)) {
        Ok(bytes) => Ok(Finished { name: FORM.to_owned(), bytes }),
        Err(problems) => Err(stopped(problems, own.sources)),
    }
}

/// The firm file and the price books that a folder's job would be read with.
///
/// # Errors
/// What is wrong with them.
pub(super) fn office_of(folder: &Path, files: &Files) -> Result<OfficeFiles, Stopped> {
    let Files { firm, prices, date, .. } = files.clone();
    let request = Request { folder: folder.to_owned(), firm, prices, date, ..Request::default() };
    job_file::office(&request).map_err(|failure| Stopped::Problems(failure.problems, Box::new(failure.sources)))
}
