//! `new`: a job's folder with its job file, from a survey form, from an earlier job, or from what was typed.
//!
//! Given a folder; writes `job.yaml` into it and says what is still missing. A job that is there is never written over.

use super::arguments::NewJob;
use super::make::refuse_kept;
use super::survey_form::office_of;
use super::work::Stopped;
use super::{Outcome, new_firm, talk, terminal};
use crate::model::shape::FOUR_SIDES;
use crate::model::{limits, refused};
use crate::records;
use crate::survey::{self, Ask, Conversation, Draft, Lists, SurveyAnswers, What, anew};
use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};
use time::Date;

const JOB: &str = "job.yaml";

/// Begins a job.
///
/// # Errors
/// What is wrong with what it is made from, or keeps it from being written.
pub(super) fn new(typed: &NewJob, today: Date) -> Result<Outcome, Stopped> {
    let Some(folder) = &typed.folder else { return new_firm::new(typed, today) };
    refuse_kept(folder)?;
    refuse_there(folder)?;
    let office = office_of(folder, &typed.files)?;
    let lists = Lists::of(&office);
    let draft = match &typed.from {
        Some(from) => from_file(&named(from), (typed, folder), &lists, today)?,
        None => match from_words((typed, folder), &lists, today)? {
            Some(draft) => draft,
            None => match from_talk(folder, &lists, today)? {
                Some(draft) => draft,
                None => return broken_off(folder),
            },
        },
    };
    write(folder, &draft)
}

/// The file in which answers are kept until the job is written.
const ANSWERS: &str = "survey-answers.yaml";

/// Talks it through; `None` where it was broken off.
fn from_talk(folder: &Path, lists: &Lists, today: Date) -> Result<Option<Draft>, Stopped> {
    records::try_folder(folder).map_err(|fault| Stopped::Unwritten(fault, "after `new`"))?;
    let kept = fs::read_to_string(folder.join(ANSWERS)).unwrap_or_default();
    let mut talk = Conversation::new(lists, &kept, today.to_string());
    terminal::say(if kept.is_empty() { survey::FIRST } else { GOES_ON })?;
    match talk::lead(&mut talk, folder, ANSWERS)? {
        true => Ok(Some(survey::job_text(&talk.answers, survey::MOST_ROOFS, lists, &pictures_in(folder)))),
        false => Ok(None),
    }
}

const GOES_ON: &str = "It goes on where it was broken off; `<` goes back.\n";

fn broken_off(folder: &Path) -> Result<Outcome, Stopped> {
    terminal::note(&format!("broken off; `wetout new {}` goes on from here\n", folder.display()))?;
    Ok(Outcome::Problems)
}

fn refuse_there(folder: &Path) -> Result<(), Stopped> {
    match fs::symlink_metadata(folder.join(JOB)) {
        Ok(_) => Err(there_already(&folder.join(JOB))),
        Err(_) => Ok(()),
    }
}

fn there_already(path: &Path) -> Stopped {
    Stopped::Usage(format!("{} is there already, and no job is written over: name another folder", path.display()))
}

/// A folder stands for the job in it.
fn named(from: &Path) -> PathBuf {
    if from.is_dir() { from.join(JOB) } else { from.to_owned() }
}

fn from_file(from: &Path, (typed, folder): (&NewJob, &Path), lists: &Lists, today: Date) -> Result<Draft, Stopped> {
    let bytes = read(from)?;
    let refused =
        |fault: String, cure: &str| Stopped::Usage(format!("{} is not taken: {fault}; {cure}", from.display()));
    if bytes.get(..1024.min(bytes.len())).is_some_and(|head| head.windows(5).any(|w| w == b"%PDF-")) {
        let (mut answers, roofs) = survey::read(&bytes).map_err(|(fault, cure)| refused(fault, cure))?;
        take_flags(&mut answers, typed)?;
        return Ok(survey::job_text(&answers, roofs, lists, &pictures_in(folder)));
    }
    let text = String::from_utf8(bytes)
        .map_err(|_| refused("it is neither a PDF nor text in UTF-8".into(), "name a survey form or a job file"))?;
    let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    let mut answers = SurveyAnswers::default();
    answers.say(job(What::SurveyedOn), &today.to_string());
    take_flags(&mut answers, typed)?;
    anew::anew(&text, &answers, lists).map_err(|(fault, cure)| refused(fault, &cure))
}

/// `None` where nothing was typed behind the command.
fn from_words((typed, folder): (&NewJob, &Path), lists: &Lists, today: Date) -> Result<Option<Draft>, Stopped> {
    let mut answers = SurveyAnswers::default();
    answers.say(job(What::SurveyedOn), &today.to_string());
    take_flags(&mut answers, typed)?;
    if answers.said.len() < 2 {
        return Ok(None);
    }
    Ok(Some(survey::job_text(&answers, survey::MOST_ROOFS, lists, &pictures_in(folder))))
}

fn job(what: What) -> Ask {
    Ask { roof: 0, item: 0, what }
}

fn read(path: &Path) -> Result<Vec<u8>, Stopped> {
    let room = limits::RETURNED.most as u64 * 1_000_000;
    let mut bytes = Vec::new();
    let read = File::open(path).and_then(|file| file.take(room + 1).read_to_end(&mut bytes));
    match read {
        Ok(_) => Ok(bytes),
        Err(error) => {
            let (fault, cure) = refused::reading(&error);
            Err(Stopped::Usage(format!("could not read {}: {fault}; {cure}", path.display())))
        }
    }
}

/// The names of the pictures that lie in a folder, in order.
fn pictures_in(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let name = |entry: fs::DirEntry| entry.file_name().into_string().ok();
    let is_picture = |name: &String| {
        let lower = name.to_lowercase();
        [".jpg", ".jpeg", ".png"].iter().any(|ending| lower.ends_with(ending))
    };
    let mut names: Vec<String> = entries.flatten().filter_map(name).filter(is_picture).collect();
    names.sort_unstable();
    names.truncate(limits::PHOTOS.most);
    names
}

// ---- What was typed ------------------------------------------------------------------------------------------------------

/// Takes what was typed behind the command; it stands in place of what a form says.
fn take_flags(answers: &mut SurveyAnswers, typed: &NewJob) -> Result<(), Stopped> {
    let own = [
        (What::Reference, &typed.reference),
        (What::Title, &typed.title),
        (What::CustomerName, &typed.customer),
        (What::CustomerAddress, &typed.address),
        (What::CustomerPhone, &typed.phone),
        (What::CustomerEmail, &typed.email),
        (What::SiteAddress, &typed.site),
    ];
    for (what, words) in own {
        if let Some(words) = words {
            answers.say(job(what), words);
        }
    }
    if let Some(date) = typed.files.date {
        answers.say(job(What::SurveyedOn), &date.to_string());
    }
    if let Some(rectangle) = &typed.rectangle {
        take_rectangle(answers, rectangle, &typed.edge)?;
    }
    for (side, item) in typed.side.iter().zip(1..) {
        take_side(answers, side, item)?;
    }
    typed.answer.iter().try_for_each(|said| take_answer(answers, said))
}

fn of_side(item: u8, what: What) -> Ask {
    Ask { roof: 1, item, what }
}

/// `5.2x3.4m`, `5.2 m x 3.4 m`.
fn take_rectangle(answers: &mut SurveyAnswers, words: &str, edges: &[String]) -> Result<(), Stopped> {
    let wrong = || Stopped::Usage(format!("`{words}` is not a rectangle: write --rectangle 5.2x3.4m"));
    let (width, depth) = words.split_once(['x', '×', 'X']).ok_or_else(wrong)?;
    let (width, depth) = (width.trim(), depth.trim());
    let unit = depth.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').trim();
    let bare = width.chars().all(|c| c.is_ascii_digit() || c == '.');
    let width = if bare { format!("{width} {unit}") } else { width.to_owned() };
    for (item, length) in [(1, width.as_str()), (2, depth), (3, width.as_str()), (4, depth)] {
        answers.say(of_side(item, What::SideLength), length);
    }
    for edge in edges {
        let (side, finish) = edge.split_once('=').ok_or_else(|| {
            Stopped::Usage(format!("`{edge}` is not a side with its finish: write --edge front=drip"))
        })?;
        let place = FOUR_SIDES.iter().position(|name| *name == side.trim());
        let place = place.ok_or_else(|| {
            Stopped::Usage(format!("`{side}` is not a side of a rectangle: write front, right, back or left"))
        })?;
        answers.say(of_side(place as u8 + 1, What::SideFinish), finish);
    }
    Ok(())
}

/// `5.2 m drip`, `left 2.6 m raised`, `right 45 0.9 m wall`.
fn take_side(answers: &mut SurveyAnswers, words: &str, item: u8) -> Result<(), Stopped> {
    let wrong = || {
        Stopped::Usage(format!(
            "`{words}` is not a side: write --side \"5.2 m drip\", and --side \"left 3.4 m raised\" behind it"
        ))
    };
    let mut parts: Vec<&str> = words.split_whitespace().collect();
    let finish = parts.pop().filter(|_| parts.len() >= 2).ok_or_else(wrong)?;
    let length = parts.split_off(parts.len().saturating_sub(2)).join(" ");
    if !length.starts_with(|c: char| c.is_ascii_digit()) || !finish.starts_with(char::is_alphabetic) {
        return Err(wrong());
    }
    answers.say(of_side(item, What::SideTurn), &parts.join(" "));
    answers.say(of_side(item, What::SideLength), &length);
    answers.say(of_side(item, What::SideFinish), finish);
    Ok(())
}

/// `Roof 1: Falls to side=A`.
fn take_answer(answers: &mut SurveyAnswers, said: &str) -> Result<(), Stopped> {
    let (name, words) = said
        .split_once('=')
        .ok_or_else(|| Stopped::Usage(format!("`{said}` is not an answer: write --answer \"QUESTION=ANSWER\"")))?;
    let all = survey::questions(survey::MOST_ROOFS);
    let question = all.iter().find(|question| question.name.eq_ignore_ascii_case(name.trim())).ok_or_else(|| {
        Stopped::Usage(format!("`{}` is not a question; `wetout survey --questions` lists them", name.trim()))
    })?;
    answers.say(question.ask, words);
    Ok(())
}

// ---- What is written -----------------------------------------------------------------------------------------------------

fn write(folder: &Path, draft: &Draft) -> Result<Outcome, Stopped> {
    let written = records::write_new(folder, [(JOB, draft.text.as_bytes())])
        .map_err(|fault| Stopped::Unwritten(fault, "after `new`"))?;
    if let Some(kept) = written.kept.first() {
        return Err(there_already(kept));
    }
    records::take_away(folder, ANSWERS).map_err(|fault| Stopped::Unwritten(fault, "after `new`"))?;
    let mut said = String::new();
    for gap in &draft.gaps {
        let _ = writeln!(said, "  {gap}");
    }
    if !said.is_empty() {
        terminal::say(&format!("still to be seen to, in {}:\n{said}", folder.join(JOB).display()))?;
    }
    if !draft.empty.is_empty() && terminal::is_verbose() {
        terminal::note(&format!("left empty, which can be: {}\n", draft.empty.join("; ")))?;
    }
    terminal::note(&format!("wrote {}\nnext: wetout check {}\n", folder.join(JOB).display(), folder.display()))?;
    Ok(Outcome::Done)
}
