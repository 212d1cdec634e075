//! A price book with other prices, as a text in which nothing else has changed: every remark, blank and order stays.
//!
//! Given the outline of a book and the new prices; gives its bytes with these in the place of the old. What was written is read again
//! and held against what was meant, so that a price which another line refers to is never changed unseen.

use crate::job_file::loaded::SourceText;
use crate::job_file::read::guard;
use crate::job_file::read::places::Places;
use crate::job_file::read::reading::Word;
use crate::job_file::read::tree::Tree;
use crate::model::whereabouts::PathStep;
use crate::model::{Problem, SettingPath, Whereabouts};
use crate::pricing::Money;
use std::collections::BTreeMap;
use std::ops::Range;
use time::Date;

/// An article as it stands in the file of a price book.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WrittenArticle {
    /// Its role.
    pub role: String,
    /// Its code.
    pub code: String,
    /// What it is called.
    pub description: String,
    /// The pack, in words.
    pub pack: String,
    /// What a pack holds, as it is written.
    pub holds: String,
    /// Its price; `None` where it has none here.
    pub price: Option<Money>,
    /// Whether it has lower prices from so many packs on.
    pub breaks: bool,
}

/// The articles of a price book, in the order of the file.
pub fn written_articles(book: &SourceText) -> Vec<WrittenArticle> {
    let Some(places) = &book.places else { return Vec::new() };
    let tree = places.tree(0);
    let Some(Tree::List(articles)) = tree.get("articles") else { return Vec::new() };
    let article = |tree: &Tree| {
        let said = |key: &str| match tree.get(key) {
            Some(Tree::Text(words)) => words.trim().to_owned(),
            _ => String::new(),
        };
        WrittenArticle {
            role: said("role"),
            code: said("code"),
            description: said("description"),
            pack: said("pack"),
            holds: said("holds"),
            price: Money::parse(&said("price")).ok(),
            breaks: tree.get("breaks").is_some(),
        }
    };
    articles.iter().map(article).collect()
}

/// The bytes of a book with other prices, by the places of their articles, and another date.
///
/// # Errors
/// A price or a date that is written by reference, and so is not one of this article alone.
pub fn repriced(
    (bytes, book): (&[u8], &SourceText),
    prices: &BTreeMap<usize, Money>,
    dated: Date,
) -> Result<Vec<u8>, Box<Problem>> {
    let Some(places) = &book.places else { return Ok(bytes.to_vec()) };
    let price_of = |n: usize| SettingPath::from(["articles"]).entry(n).key("price");
    let mut changes: Vec<(SettingPath, String)> =
        prices.iter().map(|(n, price)| (price_of(*n), format!("{:.2}", price.as_pounds()))).collect();
    changes.push((SettingPath::from(["dated"]), dated.to_string()));
    let mut wanted = places.tree(0);
    let mut spans: Vec<(Range<usize>, &str)> = Vec::new();
    for (path, value) in &changes {
        put(&mut wanted, path.steps(), value);
        // Named as a fault of the value, so that the value is meant and not its key.
        let span = places.find(path, "").filter(|span| !span.is_empty()).ok_or_else(|| by_reference(path))?;
        spans.push((span, value));
    }
    spans.sort_by_key(|(span, _)| span.start);
    let skipped = bytes.len() - bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes).len();
    let mut new = Vec::with_capacity(bytes.len() + spans.len() * 2);
    let mut done = 0;
    for (span, value) in spans {
        let (from, to) = (span.start + skipped, span.end + skipped);
        let Some(between) = bytes.get(done..from) else { return Err(by_reference(&changes[0].0)) };
        new.extend_from_slice(between);
        new.extend_from_slice(value.as_bytes());
        done = to;
    }
    new.extend_from_slice(bytes.get(done..).unwrap_or_default());
    let read = guard::text(&new).and_then(|text| Ok(Places::of(&text)?.0.tree(0)));
    if read.as_ref().is_ok_and(|tree| *tree == wanted) {
        return Ok(new);
    }
    let other = read.ok().and_then(|tree| {
        let articles = |tree: &Tree| match tree.get("articles") {
            Some(Tree::List(articles)) => articles.clone(),
            _ => Vec::new(),
        };
        let (now, meant) = (articles(&tree), articles(&wanted));
        now.iter().zip(&meant).position(|(now, meant)| now != meant)
    });
    Err(by_reference(&other.map_or_else(|| SettingPath::from(["dated"]), price_of)))
}

fn by_reference(path: &SettingPath) -> Box<Problem> {
    let fault = "this cannot be changed by itself: it is written by reference (`&`, `*`), or over several lines";
    Box::new(Problem::fault(Whereabouts::from(path), fault, "write the value out here, and try it again"))
}

/// Puts a value into a tree.
fn put(tree: &mut Tree, steps: &[PathStep], value: &str) {
    match (tree, steps) {
        (tree, []) => *tree = Tree::Text(value.to_owned()),
        (Tree::List(entries), [PathStep::Entry(n), rest @ ..]) => {
            entries.get_mut(*n).into_iter().for_each(|entry| put(entry, rest, value));
        }
        (Tree::Group(settings), [PathStep::Key(key), rest @ ..]) => {
            settings.iter_mut().filter(|(k, _)| key == k).for_each(|(_, setting)| put(setting, rest, value));
        }
        _ => {}
    }
}
