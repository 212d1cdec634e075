//! What a merchant's list gives to its price book: the prices of articles that have none there, and the lines that are articles
//! themselves.
//!
//! Given a price book as it was read and its list; gives the articles of the lines that this job can ask for. A line of the family
//! `own.` is read where the job names its role; without a role it is read where an article of the book has its code.

use super::places::Places;
use super::price_list::{ListLine, PriceList};
use super::reading::{List, Reader, Slot, Word};
use super::tree::Tree;
use crate::job_file::raw::homes;
use crate::job_file::raw::prices::{RawArticle, RawPrices};
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::whereabouts::PathStep;
use crate::model::{Problem, SettingPath, Whereabouts};
use crate::pricing::Money;
use std::collections::BTreeSet;

/// An article of a list, and its line there.
#[derive(Debug)]
pub(crate) struct ListedArticle {
    /// The line, from 1.
    pub(crate) line: usize,
    /// What it says.
    pub(crate) raw: RawArticle,
}

/// So many lines are read in one go.
const AT_ONCE: usize = 500;

/// Takes the prices that a book lacks from its list, which is that of book `n`; gives the list's own articles. `asked` are the roles
/// of the family `own.` that the job names.
pub(crate) fn complete(
    raw: &mut RawPrices,
    list: &PriceList,
    asked: &BTreeSet<String>,
    n: usize,
    found: &mut Vec<Problem>,
) -> Vec<ListedArticle> {
    let name = raw.list.given().and_then(|list| list.file.given()).map_or_else(String::new, |file| file.0.clone());
    if let Slot::Given(articles) = &mut raw.articles {
        for (place, article) in articles.iter_mut().enumerate() {
            let Slot::Given(article) = article else { continue };
            let Some(code) = article.code.given().filter(|_| article.price.is_missing()) else { continue };
            let path = SettingPath::from(["articles"]).entry(place).key("code");
            article.price = match price_of(list, &code.0) {
                Ok(Some(price)) => Slot::Given(price),
                Ok(None) => {
                    let fault = format!(
                        "the list {name} has no code `{}`: this article has no price, and cannot be bought",
                        code.0
                    );
                    let cure = "look the code up in the list, write a `price` here, or take the article out";
                    found.push(Problem::assumed(path, fault, cure).within(Source::Prices(n)));
                    Slot::Bad
                }
                Err(problem) => {
                    found.push(problem.within(Source::List(n)));
                    Slot::Bad
                }
            };
        }
    }
    let wanted = list.roles().filter(|role| !role.starts_with("own.") || asked.contains(*role));
    let lines: Vec<ListLine> = wanted.flat_map(|role| list.with_role(role)).collect();
    let most = limits::ARTICLES;
    if lines.len() > most.most {
        let fault = format!(
            "{} lines of this list have a role: more than {} {} are not read",
            lines.len(),
            most.most,
            most.what
        );
        let cure = "give a role to those lines alone that you buy";
        found.push(Problem::fault(Whereabouts::WholeFile, fault, cure).within(Source::List(n)));
        return Vec::new();
    }
    lines.chunks(AT_ONCE).flat_map(|lines| read(lines, n, found)).collect()
}

/// The price under a code; `None` where it is not there.
fn price_of(list: &PriceList, code: &str) -> Result<Option<Money>, Problem> {
    let lines = list.with_code(code);
    let Some(first) = lines.first() else { return Ok(None) };
    if let Some(other) = lines.iter().find(|other| other.price != first.price) {
        let fault = format!("the code `{code}` stands here and in line {}, each with another price", first.line);
        return Err(at(other.line, Problem::fault(Whereabouts::WholeFile, fault, "ask the merchant which holds")));
    }
    let read = Money::parse(&first.price);
    let wrong = match read {
        Ok(price) if limits::PRICE.limit.holds(price.as_pounds()) => return Ok(Some(price)),
        Ok(price) => (format!("the price {price} lies not {}", limits::PRICE.words()), "check the list".to_owned()),
        Err(_) if first.price.is_empty() => {
            ("this line has no price".to_owned(), "write a `price` in the price book".to_owned())
        }
        Err(wrong) => (wrong.fault, wrong.cure),
    };
    Err(at(first.line, Problem::fault(Whereabouts::WholeFile, wrong.0, wrong.1)))
}

/// Reads lines as the articles of a price book are read.
fn read(lines: &[ListLine], n: usize, found: &mut Vec<Problem>) -> Vec<ListedArticle> {
    let tree = Tree::List(lines.iter().map(|line| line.article.clone()).collect());
    let places = match Places::of_tree(&tree) {
        Ok(places) => places,
        Err(problem) => {
            found.push(problem.within(Source::List(n)));
            return Vec::new();
        }
    };
    let (articles, problems): (Slot<List<RawArticle>>, _) = Reader::new(&places, Source::List(n), homes::of).read();
    let line_of = |problem: &Problem| match &problem.place {
        Whereabouts::Setting(path) => match path.steps().first() {
            Some(PathStep::Entry(n)) => lines.get(*n).map(|line| line.line),
            _ => None,
        },
        _ => None,
    };
    found.extend(problems.into_iter().map(|problem| match line_of(&problem) {
        Some(line) => at(line, problem),
        None => problem,
    }));
    let articles = articles.take().unwrap_or_default().into_iter();
    lines
        .iter()
        .zip(articles)
        .filter_map(|(line, raw)| Some(ListedArticle { line: line.line, raw: raw.take()? }))
        .collect()
}

/// A problem of a line.
pub(crate) fn at(line: usize, problem: Problem) -> Problem {
    Problem { place: Whereabouts::Text { line, column: 1 }, ..problem }
}
