//! `new --firm FOLDER`: a firm file and a price book, talked through; the book from a merchant's list where there is one.
//!
//! Given a folder; writes `firm.yaml` and `prices.yaml` into it, and says what is missing and which rows of the list are not sure.
//! What is there is never written over.

use super::arguments::NewJob;
use super::make::refuse_kept;
use super::work::Stopped;
use super::{Outcome, merchant_file, talk, terminal};
use crate::model::limits;
use crate::records;
use crate::survey::{self, Draft, FirmTalk, ListMemory, MatchedList, MerchantList, RowTalk};
use std::fmt::Write as _;
use std::fs;
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
    records::try_folder(folder).map_err(|fault| Stopped::Unwritten(fault, "after `--firm`"))?;
    let file = merchant_file::memory_file(&folder.join(BOOK));
    let mut memory = merchant_file::memory(&file)?;
    let asks = typed.ask || talk::is_answered();
    let headings = merchant_file::headings(&typed.column, &memory)?;
    let list = match typed.files.prices.as_slice() {
        [] => None,
        [list] => match merchant_file::rows(list, limits::NEW_LIST.most, &headings, asks)? {
            Some(rows) => Some(few(list, rows)?),
            None => return broken_off(folder),
        },
        _ => return Err(Stopped::Usage("name one merchant's list with --prices".into())),
    };
    let kept = fs::read_to_string(folder.join(ANSWERS)).unwrap_or_default();
    let mut firm = FirmTalk::new(&kept);
    terminal::say(survey::FIRM_FIRST)?;
    if !talk::lead(&mut firm, folder, ANSWERS)? {
        return broken_off(folder);
    }
    if let Some(list) = list.as_ref().filter(|_| asks) {
        memory.columns.clone_from(&list.headings);
        match said_of(list, memory, &file)? {
            Some(said) => memory = said,
            None => return broken_off(folder),
        }
    }
    let matched = list.as_ref().map(|list| survey::matched(list, &memory.rows));
    write(folder, &firm, matched.as_ref(), today)?;
    if let Some(list) = list {
        // What was said to be something stands in the book now, under its code.
        memory.rows.retain(|_, said| said == survey::NONE_OF_THESE);
        memory.columns = list.headings;
        let (folder, name) = merchant_file::beside(&file);
        records::write_all(&folder, [(name.as_str(), memory.text().as_bytes())], |_| false)
            .map_err(|fault| Stopped::Unwritten(fault, "as another folder"))?;
    }
    Ok(Outcome::Done)
}

/// No more rows than a price book has articles.
fn few(path: &Path, list: MerchantList) -> Result<MerchantList, Stopped> {
    let most = limits::ARTICLES.most;
    match list.rows.len() > most {
        true => Err(Stopped::Usage(format!(
            "{} is not read: it has {} rows, and a price book has at most {most} articles; take out what you do not buy",
            path.display(),
            list.rows.len()
        ))),
        false => Ok(list),
    }
}

fn broken_off(folder: &Path) -> Result<Outcome, Stopped> {
    terminal::note(&format!("broken off; `wetout new --firm {}` goes on from here\n", folder.display()))?;
    Ok(Outcome::Problems)
}

/// Asks about the rows of a list that may be something, and are not sure; `None` where that was broken off. What was said is kept beside
/// the book to come.
fn said_of(list: &MerchantList, memory: ListMemory, file: &Path) -> Result<Option<ListMemory>, Stopped> {
    let mut unsure = survey::matched(list, &memory.rows).unsure;
    unsure.retain(|row| !row.guesses.is_empty() && !memory.rows.contains_key(row.row.key()));
    let names = survey::role_names();
    let mut asked = RowTalk::new(&unsure, &names, memory);
    Ok(merchant_file::ask(&mut asked, file)?.then_some(asked.memory))
}

fn write(folder: &Path, firm: &FirmTalk, list: Option<&MatchedList>, today: Date) -> Result<(), Stopped> {
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
            let _ = writeln!(said, "  {}", row.told());
        }
        if !list.unserved.is_empty() {
            let _ = writeln!(said, "nothing of the list serves: {}", list.unserved.join(", "));
        }
        terminal::say(&said)?;
    }
    terminal::note(&format!("wrote {} and {}\n", folder.join(FIRM).display(), folder.join(BOOK).display()))?;
    Ok(())
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
