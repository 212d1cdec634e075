//! The checks as tables: what was looked at and the answer; the rule and its source stand at the foot of the page.
//!
//! Given findings; gives a table for one reader. Empty checks give no rows, so that a document may ask first.

use super::block::{Span, Table};
use super::cells::{cell, plain, strong, wide};
use super::{Worked, wording};
use crate::takeoff::Finding;
use crate::takeoff::finding::Subject;

/// The findings of these kinds, roof by roof; what is lifted comes from the orders.
pub fn of<'a>(worked: &'a Worked<'_>, kinds: &[Subject]) -> Vec<&'a Finding> {
    let all = worked.take_off.findings.iter().chain(&worked.pricing.lifts);
    all.filter(|f| kinds.contains(&f.kind)).collect()
}

/// What was checked and the answer, with a note of where it comes from.
pub fn table(worked: &Worked<'_>, findings: &[&Finding]) -> Table {
    let many = worked.job.roofs.len() > 1;
    let row = |f: &&Finding| {
        let what = match f.roof.as_ref().filter(|_| many) {
            Some(roof) => format!("{roof}: {}", f.subject),
            None => wording::capital(&f.subject),
        };
        let rule = format!("{} ({}).", wording::capital(&f.design), f.source);
        plain(vec![strong(what), vec![Span::plain(&f.statement), Span::note(cell(rule))]])
    };
    let columns = vec![wide("What we checked", 1), wide("Answer", 4)];
    Table { columns, rows: findings.iter().map(row).collect(), header: true }
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
