//! The rows of a merchant's new list beside the articles of a price book: which row gives the price of which article.
//!
//! Given rows, articles and what somebody said of rows before; gives what is sure, what is not with what it may be, what is new and
//! what is gone. A row is matched by its code; else by its words, sizes and pack. A code alone is not believed where the pack holds
//! something else than it did, or where not one word is the same: then it may have been given to other goods.

use super::list_columns::MerchantRow;
use super::merchant_list::{NONE_OF_THESE, UnsureRow, Vocabularies, is_price, measures, said_to_hold, words_of};
use crate::model::role::{ROLES, Role};
use std::collections::{BTreeMap, BTreeSet};

/// Words are believed where so much of both sides is the same, and so much more than with any other article.
const ALIKE: f64 = 0.75;
const CLEARER: f64 = 0.12;
/// Under another code than the book's they are believed only where all is the same.
const THE_SAME: f64 = 0.98;
/// An article is worth a guess where so much is the same.
const GUESSED: f64 = 0.4;
const GUESSES: usize = 3;
/// No more rows than these are asked of one article that is not found by its code.
const ROWS_OF_ONE: usize = 3;
/// What a pack holds may be rounded by so much.
const ROUNDED: f64 = 0.02;

/// An article of a price book, as far as a list can know it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BookArticle {
    /// The role that it serves.
    pub role: String,
    /// The merchant's code.
    pub code: String,
    /// What it is called.
    pub description: String,
    /// The pack, in words.
    pub pack: String,
    /// What a pack holds, as it is written.
    pub holds: String,
}

/// By what a row was known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KnownBy {
    /// Its code.
    Code,
    /// Its words, sizes and pack.
    Words,
    /// What somebody said.
    Answer,
}

/// An article and the row that gives its price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PricedRow {
    /// The article, by its place in the book.
    pub article: usize,
    /// The row, by its place in the list.
    pub row: usize,
    /// How it was found.
    pub by: KnownBy,
}

/// A row that the book has no article for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewRow {
    /// The row, by its place in the list.
    pub row: usize,
    /// The line by which a price book would sell it.
    pub line: String,
}

/// What came of a list beside a book.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ListMatch {
    /// Articles whose row is sure, in the order of the book.
    pub priced: Vec<PricedRow>,
    /// Rows that are not sure, in the order of the list.
    pub unsure: Vec<UnsureRow>,
    /// Rows of things that the program asks for and the book does not sell.
    pub new: Vec<NewRow>,
    /// How many rows are of other things.
    pub other: usize,
    /// Articles that no row gives a price for, in the order of the book.
    pub gone: Vec<usize>,
}

/// Matches the rows of a list to the articles of a book; `said` is what somebody said of rows by their keys: the code of an article, or
/// that it is none.
pub fn beside_book(rows: &[MerchantRow], articles: &[BookArticle], said: &BTreeMap<String, String>) -> ListMatch {
    let mut matching =
        Matching { rows, articles, taken: BTreeMap::new(), left: BTreeSet::new(), unsure: BTreeMap::new() };
    matching.by_answers(said);
    matching.by_codes();
    matching.by_words();
    matching.finish()
}

/// Why a row is not sure, and the articles that it may be.
type Doubt = (String, Vec<usize>);

struct Matching<'a> {
    rows: &'a [MerchantRow],
    articles: &'a [BookArticle],
    /// Articles with their rows.
    taken: BTreeMap<usize, (usize, KnownBy)>,
    /// Rows that are done with.
    left: BTreeSet<usize>,
    unsure: BTreeMap<usize, Doubt>,
}

impl Matching<'_> {
    fn take(&mut self, article: usize, row: usize, by: KnownBy) {
        self.taken.insert(article, (row, by));
        self.left.insert(row);
    }

    fn by_answers(&mut self, said: &BTreeMap<String, String>) {
        let places: BTreeMap<&str, usize> = self.articles.iter().zip(0..).map(|(a, n)| (a.code.as_str(), n)).collect();
        for (n, row) in self.rows.iter().enumerate() {
            match said.get(row.key()).map(String::as_str) {
                Some(NONE_OF_THESE) => drop(self.left.insert(n)),
                Some(code) => {
                    if let Some(&article) = places.get(code).filter(|article| !self.taken.contains_key(*article)) {
                        self.take(article, n, KnownBy::Answer);
                    }
                }
                None => {}
            }
        }
    }

    fn by_codes(&mut self) {
        for plain in [str::to_owned as fn(&str) -> String, squeezed] {
            let mut of_code: BTreeMap<String, Vec<usize>> = BTreeMap::new();
            for (n, row) in
                self.rows.iter().enumerate().filter(|(n, row)| !row.code.is_empty() && !self.left.contains(n))
            {
                of_code.entry(plain(&row.code)).or_default().push(n);
            }
            let mut of_book: BTreeMap<String, Vec<usize>> = BTreeMap::new();
            let free = (0..self.articles.len()).filter(|n| !self.taken.contains_key(n));
            free.for_each(|n| of_book.entry(plain(&self.articles[n].code)).or_default().push(n));
            for (code, articles) in of_book {
                let ([article], Some(rows)) = (articles.as_slice(), of_code.get(&code)) else { continue };
                let open: Vec<usize> = rows.iter().copied().filter(|row| !self.unsure.contains_key(row)).collect();
                self.of_one_code(*article, &open);
            }
        }
    }

    fn of_one_code(&mut self, article: usize, rows: &[usize]) {
        let Some(&first) = rows.first() else { return };
        if let Some(&other) = rows.iter().find(|row| self.rows[**row].price != self.rows[first].price) {
            for (row, twin) in [(first, other), (other, first)] {
                let place = &self.rows[twin].place;
                self.unsure.insert(row, (format!("its code stands in {place} too, with another price"), vec![article]));
            }
            self.left.extend(rows);
            return;
        }
        match doubt(&self.rows[first], &self.articles[article]) {
            Some(why) => {
                self.left.extend(rows);
                self.unsure.insert(first, (why, vec![article]));
            }
            None => {
                self.take(article, first, KnownBy::Code);
                self.left.extend(rows);
            }
        }
    }

    /// The articles that a row is like, without those that it surely is not.
    fn scores(&self, row: usize, index: &WordIndex, known: &Vocabularies) -> Vec<(f64, usize)> {
        let row = &self.rows[row];
        let mut scores = index.scores(row);
        if let Some((role, _)) = Some(&scores).filter(|s| !s.is_empty()).and_then(|_| known.article(row, None).ok()) {
            scores.retain(|(_, article)| !is_other(&role, &self.articles[*article].role));
        }
        scores
    }

    fn by_words(&mut self) {
        let asked: BTreeSet<usize> = self.unsure.values().flat_map(|(_, articles)| articles.clone()).collect();
        let free = (0..self.articles.len()).filter(|n| !self.taken.contains_key(n) && !asked.contains(n));
        let free: Vec<usize> = free.collect();
        let index = WordIndex::of(self.articles, &free);
        let known = Vocabularies::new();
        let rows = (0..self.rows.len()).filter(|row| !self.left.contains(row));
        let mut all: Vec<(usize, Vec<(f64, usize)>)> =
            rows.map(|row| (row, self.scores(row, &index, &known))).collect();
        all.retain(|(_, scores)| !scores.is_empty());
        let mut of_article: BTreeMap<usize, Vec<(f64, usize)>> = BTreeMap::new();
        for (row, scores) in &all {
            scores.iter().for_each(|(score, article)| of_article.entry(*article).or_default().push((*score, *row)));
        }
        of_article.values_mut().for_each(|rows| rows.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1))));
        for (row, scores) in all {
            let (best, article) = scores[0];
            let clear = scores.get(1).is_none_or(|(second, _)| best - second >= CLEARER);
            let rivals = &of_article[&article];
            let alone = rivals.iter().find(|(_, other)| *other != row).is_none_or(|(score, _)| best - score >= CLEARER);
            let (here, there) = (&self.rows[row], &self.articles[article]);
            let enough = if here.code.is_empty() { ALIKE } else { THE_SAME };
            if best >= enough && clear && alone && doubt(here, there).is_none() && is_price(&here.price) {
                self.take(article, row, KnownBy::Words);
            }
        }
        let worth = |(row, article): (usize, usize)| {
            of_article.get(&article).is_some_and(|rows| rows.iter().take(ROWS_OF_ONE).any(|(_, other)| *other == row))
        };
        for row in 0..self.rows.len() {
            if self.left.contains(&row) {
                continue;
            }
            let scores = self.scores(row, &index, &known);
            let guesses: Vec<usize> = scores
                .into_iter()
                .map(|(_, article)| article)
                .filter(|article| !self.taken.contains_key(article) && worth((row, *article)))
                .take(GUESSES)
                .collect();
            if let Some(&first) = guesses.first() {
                let (here, there) = (&self.rows[row], &self.articles[first]);
                let why = doubt(here, there).unwrap_or_else(|| {
                    let other = if here.code.is_empty() { "no code is said" } else { "under another code" };
                    format!("it is described nearly as `{}` is, and {other}", there.code)
                });
                self.unsure.insert(row, (why, guesses));
                self.left.insert(row);
            }
        }
    }

    fn finish(self) -> ListMatch {
        let mut found = ListMatch::default();
        let known = Vocabularies::new();
        for (n, row) in self.rows.iter().enumerate().filter(|(n, _)| !self.left.contains(n)) {
            match known.article(row, None) {
                Ok((_, line)) => found.new.push(NewRow { row: n, line }),
                Err(_) => found.other += 1,
            }
        }
        let code = |article: &usize| self.articles[*article].code.clone();
        let unsure = |(row, (why, guesses)): (usize, Doubt)| UnsureRow {
            row: self.rows[row].clone(),
            why,
            guesses: guesses.iter().map(code).collect(),
        };
        found.gone = (0..self.articles.len()).filter(|n| !self.taken.contains_key(n)).collect();
        found.priced = self.taken.iter().map(|(&article, &(row, by))| PricedRow { article, row, by }).collect();
        found.unsure = self.unsure.into_iter().map(unsure).collect();
        found
    }
}

/// Whether a row of a role is surely none of an article of another. What a firm names itself may be anything; how boards are called is
/// its own too.
fn is_other(role: &str, of_article: &str) -> bool {
    let family = |role: &str| role.split('.').next().unwrap_or_default().to_owned();
    role != of_article && family(of_article) != "own" && !(family(role) == "board" && family(of_article) == "board")
}

/// A code without the signs and blanks that some programs put in and others leave out, in capitals.
fn squeezed(code: &str) -> String {
    code.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_uppercase()).collect()
}

/// Why a row is not surely an article that is called by its code, or by its words.
fn doubt(row: &MerchantRow, article: &BookArticle) -> Option<String> {
    let same = |a: &str, b: &str| a.trim().eq_ignore_ascii_case(b.trim());
    if same(&row.description, &article.description) && (row.pack.is_empty() || same(&row.pack, &article.pack)) {
        return None;
    }
    if let Some((now, before)) = holds_other(row, article) {
        return Some(format!("its pack holds {now}, and that of `{}` in the price book {before}", article.code));
    }
    let [here, there] = [&row.description, &article.description].map(|text| words_of(text));
    let strange = !here.is_empty() && !there.is_empty() && here.is_disjoint(&there);
    strange.then(|| format!("under that code the price book has “{}”", article.description))
}

/// What a pack of the row and one of the article hold, where they are not the same.
fn holds_other(row: &MerchantRow, article: &BookArticle) -> Option<(String, String)> {
    let role = Role::parse(&article.role)?;
    let words = format!("{} {}", row.description, row.pack).to_lowercase();
    let now = said_to_hold(ROLES[role.place()].unit, &words, &row.pack)?;
    let number = |text: &str| text.split_whitespace().next().and_then(|n| n.parse::<f64>().ok());
    let (new, old) = (number(&now)?, number(&article.holds)?);
    ((new - old).abs() > old * ROUNDED).then(|| (now, article.holds.clone()))
}

/// The words of the articles that wait for a row, each with the articles that have it.
struct WordIndex {
    of_word: BTreeMap<String, (f64, Vec<usize>)>,
    /// How telling a word is that no article has.
    strange: f64,
    /// How telling all words of an article are together.
    whole: BTreeMap<usize, f64>,
}

impl WordIndex {
    fn of(articles: &[BookArticle], free: &[usize]) -> WordIndex {
        let mut of_word: BTreeMap<String, (f64, Vec<usize>)> = BTreeMap::new();
        for &n in free {
            let words = telling(&articles[n].description, &articles[n].pack);
            words.into_iter().for_each(|word| of_word.entry(word).or_default().1.push(n));
        }
        let count = free.len() as f64 + 1.0;
        of_word.values_mut().for_each(|(weight, of)| *weight = (count / of.len() as f64).ln().max(0.1));
        let mut whole: BTreeMap<usize, f64> = BTreeMap::new();
        for (weight, of) in of_word.values() {
            of.iter().for_each(|n| *whole.entry(*n).or_default() += weight);
        }
        WordIndex { of_word, strange: count.ln().max(0.1), whole }
    }

    /// How alike a row is to each article that shares enough with it, the likest first.
    fn scores(&self, row: &MerchantRow) -> Vec<(f64, usize)> {
        let mut scores: BTreeMap<usize, f64> = BTreeMap::new();
        let mut all = 0.0;
        for word in telling(&row.description, &row.pack) {
            let Some((weight, of)) = self.of_word.get(&word) else {
                all += self.strange;
                continue;
            };
            all += weight;
            of.iter().for_each(|n| *scores.entry(*n).or_default() += weight);
        }
        let alike = |(n, same): (usize, f64)| (same / all.max(self.whole[&n]), n);
        let mut scores: Vec<(f64, usize)> = scores.into_iter().map(alike).filter(|(s, _)| *s >= GUESSED).collect();
        scores.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        scores
    }
}

/// The words and the sizes of something, each once.
fn telling(description: &str, pack: &str) -> BTreeSet<String> {
    let text = format!("{description} {pack}");
    let mut all = words_of(&text);
    let sizes = measures(&text.to_lowercase());
    all.extend(sizes.into_iter().map(|(number, unit)| format!("{number}{unit}")));
    all
}
