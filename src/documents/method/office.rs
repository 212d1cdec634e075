//! What stands between the words of the office's part: hazards, what is worn, exposure limits, waste, who was briefed.
//!
//! Given what was worked and the data of `safety`; gives tables.

use super::super::cells::{blank, cell, left, plain, strong, wide};
use super::super::{WholeJob, findings, wording};
use super::vocabulary::{adhesive, checked};
use crate::facts;
use crate::model::Flashing;
use crate::model::covering::OldWaste;
use crate::model::job::Answer;
use crate::pages::block::{Block, Row, Span, Table};
use crate::safety::substances::{ExposureLimit, LIMITS, PROTECTION, Substance};
use crate::safety::waste::{From, WASTES, Waste};
use crate::safety::{self, Circumstances};
use crate::works::WorkKind;
use std::collections::BTreeMap;

/// The blocks of the office's part by the names under which its template calls for them.
pub(super) fn places(worked: &WholeJob<'_>) -> BTreeMap<String, Vec<Block>> {
    let table = |table: Table| vec![Block::Table(table)];
    let many = worked.job.roofs.len() > 1;
    let all = [
        ("hazards", hazards(worked)),
        ("protection", table(protection(worked))),
        ("limits", table(limits(worked))),
        ("checks", table(findings::table(&checked(worked), many))),
        ("waste", table(waste(worked))),
        ("briefed", table(briefed())),
    ];
    all.into_iter().map(|(name, blocks)| (name.to_owned(), blocks)).collect()
}

fn hazards(worked: &WholeJob<'_>) -> Vec<Block> {
    let crew = worked.programme.crew;
    let risks = safety::risks(&Circumstances { job: worked.job, take_off: worked.take_off, crew });
    let rows = risks.iter().map(|risk| {
        let title = match risk.here.as_str() {
            "" => format!("{}.", risk.hazard.title),
            here => format!("{}: {here}.", risk.hazard.title),
        };
        let what = vec![Span::bold(title), Span::plain(format!(" {}", risk.hazard.harm))];
        plain(vec![what, cell(risk.hazard.controls.join(" "))])
    });
    let columns = vec![wide("Hazard", 3), wide("What we do", 6)];
    let table = Table { columns, rows: rows.collect(), header: true };
    let named = risks.iter().flat_map(|r| r.hazard.source.split("; ")).filter(|s| s.contains("Regulations"));
    let sources = wording::once(named.map(|source| source_and_mark(source.trim()))).join("; ");
    let note = format!("From: {sources}; HSE guidance; product data sheets; common practice.");
    let note = Block::Paragraph(vec![Span { text: note, italic: true, ..Span::default() }]);
    vec![Block::Table(table), Block::Keep(vec![note])]
}

/// A source by its title, with how its facts are known: `Work at Height Regulations 2005 (SI 2005/735) (in part from memory)`.
fn source_and_mark(words: &str) -> String {
    let source = facts::ALL_SOURCES.iter().find(|source| words.starts_with(source.title));
    let marked = |source: &&facts::FactSource| match source.known() {
        "" | "published" => source.title.to_owned(),
        mark => format!("{} ({mark})", source.title),
    };
    source.map_or_else(|| words.split(',').next().unwrap_or(words).trim().to_owned(), marked)
}

pub(super) fn pairs(a: &str, b: &str, rows: &[(&str, &str)]) -> Table {
    let rows = rows.iter().map(|(x, y)| plain(vec![strong(*x), cell(facts::filled(y))])).collect();
    Table { columns: vec![wide(a, 2), wide(b, 5)], rows, header: true }
}

fn protection(worked: &WholeJob<'_>) -> Table {
    let met = PROTECTION.iter().filter(|(of, ..)| meets(worked, *of));
    pairs("When", "Wear", &met.map(|&(_, when, wear)| (when, wear)).collect::<Vec<_>>())
}

/// Whether a job has to do with a substance.
fn meets(worked: &WholeJob<'_>, substance: Substance) -> bool {
    match substance {
        Substance::Always => true,
        Substance::Adhesive => adhesive(worked),
        Substance::Chase => worked.take_off.works.has(WorkKind::Flashing),
        Substance::Boards => {
            worked.take_off.roofs.iter().any(|r| r.deck.is_some()) || worked.take_off.works.has(WorkKind::PatchDeck)
        }
    }
}

fn limits(worked: &WholeJob<'_>) -> Table {
    let limit = |l: &ExposureLimit| {
        plain(vec![strong(l.what), cell(facts::filled(l.eight_hours)), cell(facts::filled(l.fifteen_minutes))])
    };
    let rows = LIMITS.iter().filter(|l| meets(worked, l.of)).map(limit).collect();
    Table {
        columns: vec![wide("In the air", 2), wide("Over 8 hours", 2), wide("Over 15 minutes", 2)],
        rows,
        header: true,
    }
}

fn waste(worked: &WholeJob<'_>) -> Table {
    let has = |w: &&Waste| match w.from {
        From::Always => true,
        From::Adhesive => adhesive(worked),
        From::NewRoof => !worked.job.roofs.is_empty(),
        From::OldBoards => worked.take_off.works.has(WorkKind::StripBoards),
        From::Insulation => worked.take_off.roofs.iter().any(|r| r.over.is_some()),
        From::Lead => worked.job.flashings().contains(&Flashing::Lead),
        From::Asbestos => worked.job.gravest_asbestos() != Answer::No,
    };
    let row = |w: &Waste| plain(vec![strong(w.what), cell(facts::filled(w.code)), cell(facts::filled(w.how))]);
    let mut rows: Vec<Row> = WASTES.iter().filter(has).map(row).collect();
    let mut told: Vec<&OldWaste> = Vec::new();
    for old in worked.job.strips().into_iter().map(|strip| &strip.covering.waste) {
        if !told.contains(&old) {
            told.push(old);
        }
    }
    let before_asbestos = rows.len() - usize::from(worked.job.gravest_asbestos() != Answer::No);
    let old = told.into_iter().map(|OldWaste { what, code, how }| plain(vec![strong(what), cell(code), cell(how)]));
    rows.splice(before_asbestos..before_asbestos, old.collect::<Vec<_>>());
    Table { columns: vec![wide("Waste", 2), left("Code"), wide("Where it goes", 3)], rows, header: true }
}

fn briefed() -> Table {
    let columns = vec![wide("Name", 2), wide("Signature", 3), wide("Date", 1)];
    Table { columns, rows: vec![blank(3); 4], header: true }
}
