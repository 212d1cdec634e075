//! What a merchant's list does to a price book: which prices change, which are likely slips, what is left as it is.
//!
//! Given the rows of a list, the articles of a book and what is remembered; gives that as one value, which is told and written.

use super::open_jobs::OpenJob;
use super::work::Stopped;
use crate::job_file::WrittenArticle;
use crate::model::limits;
use crate::pricing::Money;
use crate::survey::{self, BookArticle, KnownBy, ListMatch, ListMemory, MerchantList};
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use std::path::Path;
use time::Date;

/// A price of more than so many hundredths of the one before, or of less than the same part of it, is likely a slip: a pack of
/// another size, a point in the wrong place. Common practice, no source.
const SLIP: i64 = 150;
/// A price that changes.
#[derive(Debug, Clone)]
pub(super) struct BookChange {
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

impl BookChange {
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
pub(super) struct BookUpdate {
    /// The articles of the book.
    pub articles: Vec<WrittenArticle>,
    /// Prices that change and are believed.
    pub changes: Vec<BookChange>,
    /// Those that moved so much that a slip is likely.
    pub slips: Vec<BookChange>,
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
    pub update: &'a BookUpdate,
    /// What it does to open jobs.
    pub jobs: &'a [OpenJob],
    /// Whether it is written.
    pub writes: bool,
}

/// The articles as far as a list can know them.
pub(super) fn known_articles(articles: &[WrittenArticle]) -> Vec<BookArticle> {
    let known = |article: &WrittenArticle| BookArticle {
        role: article.role.clone(),
        code: article.code.clone(),
        description: article.description.clone(),
        pack: article.pack.clone(),
        holds: article.holds.clone(),
    };
    articles.iter().map(known).collect()
}

impl BookUpdate {
    /// What a list does to the articles of a book; `taken` are the codes whose prices are no slips.
    ///
    /// # Errors
    /// A code that the book does not have.
    pub(super) fn of(
        list: &MerchantList,
        articles: Vec<WrittenArticle>,
        memory: &ListMemory,
        taken: &BTreeSet<String>,
    ) -> Result<BookUpdate, Stopped> {
        let strange = taken.iter().find(|code| !articles.iter().any(|article| article.code == **code));
        if let Some(code) = strange {
            return Err(Stopped::Usage(format!("`{code}` behind --take is no code of the price book")));
        }
        let matched = survey::beside_book(&list.rows, &known_articles(&articles), &memory.rows);
        let mut update = BookUpdate { articles, ..BookUpdate::default() };
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
                    let change = BookChange { article: priced.article, place, before, after, by };
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
