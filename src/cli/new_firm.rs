//! `new --firm FOLDER`: a firm file and a price book, talked through; the book from a merchant's list where there is one.
//!
//! Given a folder; writes `firm.yaml` and `prices.yaml` into it, and says what is missing and which rows of the list are not sure.
//! What is there is never written over.

use super::arguments::NewJob;
use super::make::refuse_kept;
use super::work::Stopped;
use super::{Outcome, talk, terminal};
use crate::model::{limits, refused};
use crate::records;
use crate::survey::{self, Draft, FirmTalk, MatchedList};
use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use time::Date;

const FIRM: &str = "firm.yaml";
const BOOK: &str = "prices.yaml";
const ANSWERS: &str = "firm-answers.yaml";

/// Begins a firm.
///
/// # Errors
/// What cannot be read or written; a firm file or price book that is there.
pub(super) fn new(typed: &NewJob, today: Date) -> Result<Outcome, Stopped> {
    let Some(folder) = typed.files.firm.as_deref() else {
        return Err(Stopped::Usage("name a folder: `wetout new FOLDER`, or `wetout new --firm FOLDER`".into()));
    };
    if typed.from.is_some() || typed.customer.is_some() || typed.rectangle.is_some() || !typed.side.is_empty() {
        return Err(Stopped::Usage("name the folder of the job: `wetout new FOLDER` and then the rest".into()));
    }
    refuse_kept(folder)?;
    if folder.is_file() {
        return Err(Stopped::Usage(format!("{} is a file; name the folder of the job as well", folder.display())));
    }
    for name in [FIRM, BOOK] {
        if fs::symlink_metadata(folder.join(name)).is_ok() {
            let place = folder.join(name);
            let words = format!("{} is there already, and is not written over: name another folder", place.display());
            return Err(Stopped::Usage(words));
        }
    }
    let list = match typed.files.prices.as_slice() {
        [] => None,
        [list] => Some(read_list(list)?),
        _ => return Err(Stopped::Usage("name one merchant's list with --prices".into())),
    };
    let kept = fs::read_to_string(folder.join(ANSWERS)).unwrap_or_default();
    let mut firm = FirmTalk::new(&kept);
    terminal::say(survey::FIRM_FIRST)?;
    if !talk::lead(&mut firm, folder, ANSWERS)? {
        terminal::note(&format!("broken off; `wetout new --firm {}` goes on from here\n", folder.display()))?;
        return Ok(Outcome::Problems);
    }
    write(folder, &firm, list.as_ref(), today)
}

fn read_list(path: &Path) -> Result<MatchedList, Stopped> {
    let wrong = |fault: &str, cure: &str| Stopped::Usage(format!("{} is not read: {fault}; {cure}", path.display()));
    let mut bytes = Vec::new();
    let most = limits::NEW_LIST.most;
    let room = most as u64 * 1_000_000;
    let read = File::open(path).and_then(|file| file.take(room + 1).read_to_end(&mut bytes));
    if let Err(error) = read {
        let (fault, cure) = refused::reading(&error);
        return Err(wrong(&fault, &cure));
    }
    if bytes.len() as u64 > room {
        return Err(wrong(&format!("it is larger than {most} MB"), "take out what you do not buy"));
    }
    let text = String::from_utf8(bytes).map_err(|_| wrong("it is not text in UTF-8", "save it as CSV in UTF-8"))?;
    survey::matched(&text).map_err(|(fault, cure)| wrong(&fault, &cure))
}

fn write(folder: &Path, firm: &FirmTalk, list: Option<&MatchedList>, today: Date) -> Result<Outcome, Stopped> {
    let Draft { text, gaps, .. } = firm.firm_file();
    let book = book(firm, list, today);
    let written = records::write_new(folder, [(FIRM, text.as_bytes()), (BOOK, book.as_bytes())])
        .map_err(|fault| Stopped::Unwritten(fault, "after `--firm`"))?;
    if let Some(kept) = written.kept.first() {
        return Err(Stopped::Usage(format!("{} is there already, and was not written over", kept.display())));
    }
    records::take_away(folder, ANSWERS).map_err(|fault| Stopped::Unwritten(fault, "after `--firm`"))?;
    let mut said = String::new();
    for gap in &gaps {
        let _ = writeln!(said, "  {gap}");
    }
    if !said.is_empty() {
        terminal::say(&format!("still to be filled in, in {}:\n{said}", folder.join(FIRM).display()))?;
    }
    if let Some(list) = list {
        let mut said = format!("{} rows of the list are sold, {} are not sure:\n", list.sure, list.unsure.len());
        for row in &list.unsure {
            let _ = writeln!(said, "  {row}");
        }
        if !list.unserved.is_empty() {
            let _ = writeln!(said, "nothing of the list serves: {}", list.unserved.join(", "));
        }
        terminal::say(&said)?;
    }
    terminal::note(&format!("wrote {} and {}\n", folder.join(FIRM).display(), folder.join(BOOK).display()))?;
    Ok(Outcome::Done)
}

/// The price book: the rows of a list, or the demo's articles as remarks.
fn book(firm: &FirmTalk, list: Option<&MatchedList>, today: Date) -> String {
    let (head, lines) = match list {
        Some(list) => (FROM_LIST, list.lines.clone()),
        None => (FROM_TEMPLATE, survey::template()),
    };
    let begun = if list.is_some_and(|list| list.sure > 0) { "articles:\n" } else { "articles: []\n" };
    format!("{head}\n{}{begun}{}\n", firm.book_head(&today.to_string()), lines.join("\n"))
}

const FROM_LIST: &str = "\
# What one merchant sells, from the merchant's list. A row that is a remark was not sure: give it its role, or leave it. Look at
# every role, and at what a pack holds, before you order by it. `wetout help prices` lists every key.
";

const FROM_TEMPLATE: &str = "\
# What one merchant sells, by role. The articles below are remarks, with invented codes, prices and weights: write what your
# merchant sells in their place, without the # in front, and `articles:` without the brackets. `wetout help prices` lists every key.
";
