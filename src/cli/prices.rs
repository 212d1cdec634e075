//! `prices update`: a merchant's new list beside the price book.
//!
//! Given a list; tells what it changes, and what that does to open quotes. With `--write` the book has the new prices and the day of
//! the list; nothing else in it changes, and the book as it was stays beside it. A price that moved so much that a slip is likely is
//! taken only where somebody says so.

use super::arguments::PricesUpdate;
use super::make::refuse_kept;
use super::open_jobs;
use super::price_update::{BookChange, BookUpdate, UpdateReport, known_articles};
use super::work::Stopped;
use super::{Outcome, merchant_file, prices_told, talk, terminal};
use crate::job_file::{self, LoadedBook, Sources, WrittenArticle};
use crate::model::limits;
use crate::pricing::Money;
use crate::records::{self, Replaced, WriteFault};
use crate::survey::{self, ListMemory, MerchantList, RowTalk, SlipTalk};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use time::Date;

/// Under so many names a book as it was is kept of one day.
const KEPT_OF_A_DAY: usize = 20;

/// Puts a list beside the book.
///
/// # Errors
/// What cannot be read or written.
pub(super) fn update(typed: &PricesUpdate, today: Date) -> Result<Outcome, Stopped> {
    let path = book_of(typed)?;
    let (home, _) = merchant_file::beside(&path);
    if typed.write {
        refuse_kept(&home)?;
        records::sweep(&home);
    }
    let loaded = job_file::load_book(&path).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))?;
    let memory_file = merchant_file::memory_file(&path);
    let mut memory = merchant_file::memory(&memory_file)?;
    let asks = typed.ask || !typed.json && talk::is_answered();
    if typed.write && asks {
        records::try_folder(&home).map_err(unwritten)?;
    }
    let known = merchant_file::headings(&typed.column, &memory)?;
    let Some(list) = merchant_file::rows(&typed.list, limits::LIST.most, &known, asks)? else {
        return broken_off();
    };
    let before = memory.clone();
    memory.columns.clone_from(&list.headings);
    let articles = job_file::written_articles(&loaded.source);
    if typed.write && asks {
        match said_of(&list, &articles, memory, &memory_file)? {
            Some(said) => memory = said,
            None => return broken_off(),
        }
    }
    let mut update = BookUpdate::of(&list, articles, &memory, &typed.take.iter().cloned().collect())?;
    if typed.write && asks && !take_slips(&mut update)? {
        return broken_off();
    }
    let dated = (loaded.book.dated, typed.dated.unwrap_or(today));
    if typed.write && typed.dated.is_some() && dated.1 < dated.0 && !typed.older {
        return Err(Stopped::Usage(format!(
            "the list is of {}, and {} has the prices of {} already: say `--older` if the older ones are to stand in their place",
            dated.1,
            path.display(),
            dated.0
        )));
    }
    // By the day of the book as it is, so that what changes is what the prices change.
    let as_will_be = repriced(&loaded, &update, dated.0)?;
    let folder = typed.jobs.clone().unwrap_or_else(|| jobs_of(&home));
    let jobs = open_jobs::of(&folder, &path, &as_will_be)?;
    let told = UpdateReport {
        list: &typed.list,
        book: &path,
        merchant: &loaded.book.merchant.name,
        dated,
        rows: &list,
        update: &update,
        jobs: &jobs,
        writes: typed.write,
    };
    // First told, then written: what cannot be told is not done unseen.
    terminal::say(&if typed.json { prices_told::as_json(&told) } else { prices_told::in_words(&told, today) })?;
    if typed.write {
        write(&path, &loaded, &repriced(&loaded, &update, dated.1)?, typed.json)?;
        if memory != before || !merchant_file::is_there(&memory_file) {
            remember(&memory, &memory_file)?;
        }
    }
    Ok(Outcome::Done)
}

fn broken_off() -> Result<Outcome, Stopped> {
    terminal::note("broken off, and nothing was written into the price book; the same command goes on from here\n")?;
    Ok(Outcome::Problems)
}

/// The one book that is meant.
fn book_of(typed: &PricesUpdate) -> Result<PathBuf, Stopped> {
    let found = typed.prices.clone().map_or_else(|| job_file::nearest_prices(Path::new("")), |path| vec![path]);
    match found.as_slice() {
        [book] => Ok(book.clone()),
        [] => Err(Stopped::Usage(
            "there is no prices.yaml in this folder nor above it; name the price book with --prices, or begin one with `wetout new \
             --firm FOLDER --prices LIST.csv`"
                .into(),
        )),
        books => {
            let names: Vec<String> = books.iter().map(|book| book.display().to_string()).collect();
            Err(Stopped::Usage(format!("there are {} price books; name that of this merchant with --prices: {}", names.len(), names.join(", "))))
        }
    }
}

/// The folder whose jobs buy by a book: its own, or the one above `prices`.
fn jobs_of(home: &Path) -> PathBuf {
    let whole = fs::canonicalize(home).unwrap_or_else(|_| home.to_path_buf());
    match whole.file_name().is_some_and(|name| name == "prices") {
        true => home.join(".."),
        false => home.to_path_buf(),
    }
}

/// Asks about the rows that are not sure; `None` where that was broken off.
fn said_of(
    list: &MerchantList,
    articles: &[WrittenArticle],
    memory: ListMemory,
    file: &Path,
) -> Result<Option<ListMemory>, Stopped> {
    let mut unsure = survey::beside_book(&list.rows, &known_articles(articles), &memory.rows).unsure;
    unsure.retain(|row| !memory.rows.contains_key(row.row.key()));
    let about = |article: &WrittenArticle| {
        let price = article.price.map_or_else(String::new, |price| format!(", {price}"));
        (article.code.clone(), format!("{}, {}{price}", article.description, article.pack))
    };
    let names: BTreeMap<String, String> = articles.iter().map(about).collect();
    let mut asked = RowTalk::new(&unsure, &names, memory);
    Ok(merchant_file::ask(&mut asked, file)?.then_some(asked.memory))
}

/// Asks about the prices that moved much, and takes those that are right; gives whether it came to its end.
fn take_slips(update: &mut BookUpdate) -> Result<bool, Stopped> {
    let slips: Vec<(String, String)> = update
        .slips
        .iter()
        .map(|slip| {
            let article = &update.articles[slip.article];
            let words = format!(
                "{}, {}, {}: {} before, {} in {} ({:+} %)",
                article.code,
                article.description,
                article.pack,
                slip.before,
                slip.after,
                slip.place,
                slip.percent()
            );
            (article.code.clone(), words)
        })
        .collect();
    let mut asked = SlipTalk::new(&slips);
    if !talk::lead(&mut asked, Path::new("."), "")? || asked.stopped {
        return Ok(false);
    }
    let taken = asked.taken;
    let (right, wrong) = std::mem::take(&mut update.slips)
        .into_iter()
        .partition(|slip| taken.contains(&update.articles[slip.article].code));
    update.slips = wrong;
    update.changes.extend::<Vec<BookChange>>(right);
    Ok(true)
}

/// The bytes of the book with the new prices, of a day.
fn repriced(loaded: &LoadedBook, update: &BookUpdate, dated: Date) -> Result<Vec<u8>, Stopped> {
    let prices: BTreeMap<usize, Money> = update.changes.iter().map(|change| (change.article, change.after)).collect();
    job_file::repriced((&loaded.bytes, &loaded.source), &prices, dated).map_err(|problem| {
        let job = loaded.source.clone();
        Stopped::Problems(vec![*problem], Box::new(Sources { job, ..Sources::default() }))
    })
}

/// Puts the book in the place of the one that was read, which is kept beside it.
fn write(path: &Path, loaded: &LoadedBook, new: &[u8], quietly: bool) -> Result<(), Stopped> {
    let say = |words: &str| if quietly { Ok(()) } else { terminal::note(words) };
    if new == loaded.bytes {
        return Ok(say(&format!("{} stays as it is\n", path.display()))?);
    }
    let (folder, name) = merchant_file::beside(path);
    let (stem, ending) = name.rsplit_once('.').unwrap_or((&name, "yaml"));
    let kept = format!("{stem}.before-{}", loaded.book.dated);
    let kept_as: Vec<String> = (1..=KEPT_OF_A_DAY)
        .map(|n| if n == 1 { format!("{kept}.{ending}") } else { format!("{kept}-{n}.{ending}") })
        .collect();
    match records::replace(&folder, (&name, &loaded.bytes, new), &kept_as).map_err(unwritten)? {
        Replaced::Done(kept) => {
            Ok(say(&format!("wrote {}; as it was it is kept as {}\n", path.display(), kept.display()))?)
        }
        Replaced::ChangedSince => {
            Err(Stopped::Usage(format!("{} was changed in the meantime: try it again", path.display())))
        }
        Replaced::NoNameLeft => Err(Stopped::Usage(format!(
            "{KEPT_OF_A_DAY} books are kept as {kept}… already, and nothing is written over them; take them away"
        ))),
    }
}

fn remember(memory: &ListMemory, file: &Path) -> Result<(), Stopped> {
    let (folder, name) = merchant_file::beside(file);
    records::write_all(&folder, [(name.as_str(), memory.text().as_bytes())], |_| false).map_err(unwritten)?;
    Ok(())
}

fn unwritten(fault: WriteFault) -> Stopped {
    Stopped::Unwritten(fault, "for the price book")
}
