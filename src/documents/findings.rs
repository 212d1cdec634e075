//! The checks as tables: what was looked at and the answer; the rule and its source stand at the foot of the page.
//!
//! Given findings; gives a table for one reader. Empty checks give no rows, so that a document may ask first.

use super::cells::{cell, plain, strong, wide};
use super::wording;
use crate::checks::finding::Finding;
use crate::checks::finding::{Subject, Verdict};
use crate::pages::block::{Block, Span, Table};

/// Those of all findings that are of these kinds, in their order.
pub fn of<'a>(all: impl IntoIterator<Item = &'a Finding>, kinds: &[Subject]) -> Vec<&'a Finding> {
    all.into_iter().filter(|f| kinds.contains(&f.kind)).collect()
}

/// What was checked and the answer, with a note of where it comes from. Where there are `many` roofs each is named.
pub fn table(findings: &[&Finding], many: bool) -> Table {
    let row = |f: &&Finding| plain(vec![strong(looked_at(f, many)), answer(f)]);
    let columns = vec![wide("What we\u{a0}checked", 1), wide("Answer", 4)];
    Table { columns, rows: findings.iter().map(row).collect(), header: true }
}

/// The same as a list, for a reader who goes through it once.
pub fn list(findings: &[&Finding], many: bool) -> Block {
    let items = lines(findings, many).into_iter().map(|line| vec![Block::Paragraph(line)]).collect();
    Block::List { ordered: false, items }
}

/// The same as lines of text.
pub fn lines(findings: &[&Finding], many: bool) -> Vec<Vec<Span>> {
    let title = |f: &Finding| Span::bold(format!("{}: ", looked_at(f, many)));
    findings.iter().map(|f| [vec![title(f)], answer(f)].concat()).collect()
}

fn looked_at(f: &Finding, many: bool) -> String {
    match f.roof.as_ref().filter(|_| many) {
        Some(roof) => format!("{roof}: {}", f.subject),
        None => wording::capital(&f.subject),
    }
}

fn answer(f: &Finding) -> Vec<Span> {
    let rule = format!("{}: {}.", wording::capital(&for_readers(&f.design)), for_readers(&f.source));
    let verdict = Span::bold(format!("{}. ", in_words(f.verdict)));
    vec![verdict, Span::plain(for_readers(&f.statement)), Span::note(cell(rule))]
}

/// The verdict as somebody reads it who does not know the word.
const fn in_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Pass => "Good",
        Verdict::Fail => "Not good enough",
        Verdict::Refer => "To be settled",
    }
}

/// A finding's words as they are printed: units with their raised figures. That a figure is from memory stays on paper.
fn for_readers(words: &str) -> String {
    words.replace("m2", "m²").replace("m3", "m³")
}

/// The cautions of these findings, each once.
pub fn cautions(findings: &[&Finding]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for finding in findings {
        if !all.iter().any(|c| c == finding.caution) {
            all.push(finding.caution.to_owned());
        }
    }
    all
}
