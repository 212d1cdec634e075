//! `prices update`: a merchant's new list beside the price book.
//!
//! Given a list; tells what it changes, and what that does to open quotes. With `--write` the book has the new prices and the day of
//! the list; nothing else in it changes, and the book as it was stays beside it. A price that moved so much that a slip is likely is
//! taken only where somebody says so.

use super::arguments::PricesUpdate;
use super::make::refuse_kept;
use super::open_jobs::{self, OpenJob};
use super::work::Stopped;
use super::{Outcome, merchant_file, prices_told, talk, terminal};
use crate::job_file::{self, LoadedBook, Sources, WrittenArticle};
use crate::model::limits;
use crate::pricing::Money;
use crate::records::{self, Replaced};
use crate::survey::{self, BookArticle, KnownBy, ListMatch, ListMemory, MerchantList, RowTalk, SlipTalk};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use time::Date;

/// A price of more than so many hundredths of the one before, or of less than the same part of it, is likely a slip: a pack of
/// another size, a point in the wrong place. Common practice, no source.
const SLIP: i64 = 150;
/// Under so many names a book as it was is kept of one day.
const KEPT_OF_A_DAY: usize = 20;

/// A price that changes.
#[derive(Debug, Clone)]
pub(super) struct PriceChange {
    /// The article, by its place in the book.
    pub article: usize,
    /// Where the list says so.
    pub place: String,
    /// The price in the book.
    pub before: Money,
    /// The price in the list.
    pub after: Money,
    /// How the row was known.
    pub by: KnownBy,
}

impl PriceChange {
    /// How much more it is.
    pub(super) fn more(&self) -> Money {
        self.after - self.before
    }

    /// How much more it is, in hundredths of what it was, to a tenth.
    pub(super) fn percent(&self) -> Decimal {
        match self.before.as_pounds().is_zero() {
            true => Decimal::ZERO,
            false => (self.more().as_pounds() * Decimal::ONE_HUNDRED / self.before.as_pounds()).round_dp(1),
        }
    }

    fn is_slip(&self) -> bool {
        let (before, after) = (self.before.as_pounds(), self.after.as_pounds());
        let most = Decimal::new(SLIP, 2);
        after > before * most || after * most < before
    }
}

/// What a list does to a book.
#[derive(Debug, Clone, Default)]
pub(super) struct Update {
    /// The articles of the book.
    pub articles: Vec<WrittenArticle>,
    /// Prices that change and are believed.
    pub changes: Vec<PriceChange>,
    /// Those that moved so much that a slip is likely.
    pub slips: Vec<PriceChange>,
    /// How many stay as they are.
    pub same: usize,
    /// Rows whose price cannot be read: the article, where, and what stands there.
    pub unpriced: Vec<(usize, String, String)>,
    /// Articles that have no price of their own in the book.
    pub without: Vec<usize>,
    /// What came of the rows.
    pub matched: ListMatch,
}

/// Everything that is told of an update.
#[derive(Debug)]
pub(super) struct UpdateReport<'a> {
    /// The list.
    pub list: &'a Path,
    /// The book.
    pub book: &'a Path,
    /// Who sells.
    pub merchant: &'a str,
    /// The day of the book and of the list.
    pub dated: (Date, Date),
    /// The rows of the list.
    pub rows: &'a MerchantList,
    /// What it does.
    pub update: &'a Update,
    /// What it does to open jobs.
    pub jobs: &'a [OpenJob],
    /// Whether it is written.
    pub writes: bool,
}

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
    let mut update = Update::of(&list, articles, &memory, &typed.take.iter().cloned().collect())?;
    if typed.write && asks && !take_slips(&mut update)? {
        return broken_off();
    }
    let dated = (loaded.book.dated, typed.dated.unwrap_or(today));
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
fn take_slips(update: &mut Update) -> Result<bool, Stopped> {
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
    update.changes.extend::<Vec<PriceChange>>(right);
    Ok(true)
}

fn known_articles(articles: &[WrittenArticle]) -> Vec<BookArticle> {
    let known = |article: &WrittenArticle| BookArticle {
        role: article.role.clone(),
        code: article.code.clone(),
        description: article.description.clone(),
        pack: article.pack.clone(),
        holds: article.holds.clone(),
    };
    articles.iter().map(known).collect()
}

impl Update {
    fn of(
        list: &MerchantList,
        articles: Vec<WrittenArticle>,
        memory: &ListMemory,
        taken: &BTreeSet<String>,
    ) -> Result<Update, Stopped> {
        let strange = taken.iter().find(|code| !articles.iter().any(|article| article.code == **code));
        if let Some(code) = strange {
            return Err(Stopped::Usage(format!("`{code}` behind --take is no code of the price book")));
        }
        let matched = survey::beside_book(&list.rows, &known_articles(&articles), &memory.rows);
        let mut update = Update { articles, ..Update::default() };
        for priced in &matched.priced {
            let (row, article) = (&list.rows[priced.row], &update.articles[priced.article]);
            let sum = row.price.parse().ok().map(Money::pounds);
            let sum = sum.filter(|sum| sum.as_pounds().scale() <= 2 && limits::PRICE.limit.holds(sum.as_pounds()));
            match (article.price, sum) {
                (None, _) => update.without.push(priced.article),
                (Some(_), None) => {
                    update.unpriced.push((priced.article, row.place.clone(), row.price.clone()));
                }
                (Some(before), Some(after)) if before == after => update.same += 1,
                (Some(before), Some(after)) => {
                    let (place, by) = (row.place.clone(), priced.by);
                    let change = PriceChange { article: priced.article, place, before, after, by };
                    match change.is_slip() && !taken.contains(&article.code) {
                        true => update.slips.push(change),
                        false => update.changes.push(change),
                    }
                }
            }
        }
        update.matched = matched;
        Ok(update)
    }
}

/// The bytes of the book with the new prices, of a day.
fn repriced(loaded: &LoadedBook, update: &Update, dated: Date) -> Result<Vec<u8>, Stopped> {
    let prices: BTreeMap<usize, Money> = update.changes.iter().map(|change| (change.article, change.after)).collect();
    job_file::repriced((&loaded.bytes, &loaded.source), &prices, dated).map_err(|problem| {
        let job = loaded.source.clone();
        Stopped::Problems(vec![*problem], Box::new(Sources { job, ..Sources::default() }))
    })
}

/// Puts the book in the place of the one that was read, which is kept beside it.
fn write(path: &Path, loaded: &LoadedBook, new: &[u8], quietly: bool) -> Result<(), Stopped> {
    let unwritten = |fault| Stopped::Unwritten(fault, "for the price book");
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
    records::write_all(&folder, [(name.as_str(), memory.text().as_bytes())], |_| false)
        .map_err(|fault| Stopped::Unwritten(fault, "for the price book"))?;
    Ok(())
}
