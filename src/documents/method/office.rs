//! What stands between the words of the office's part: hazards, what is worn, exposure limits, waste, who was briefed.
//!
//! Given what was worked and the data of `safety`; gives tables.

use super::super::cells::{blank, wide};
use super::super::{WholeJob, findings, wording};
use super::vocabulary::checked;
use crate::facts;
use crate::model::covering::OldWaste;
use crate::model::job::Answer;
use crate::model::tipping;
use crate::model::{Flashing, Role};
use crate::pages::block::{Block, Span, Table};
use crate::safety::substances::{ExposureLimit, LIMITS, PROTECTION, Substance};
use crate::safety::waste::{From, WASTES, Waste};
use crate::safety::{self, Circumstances};
use crate::works::WorkKind;
use std::collections::BTreeMap;

/// The blocks of the office's part by the names under which its template calls for them.
pub(super) fn places(worked: &WholeJob<'_>) -> BTreeMap<String, Vec<Block>> {
    let table = |table: Table| vec![Block::Table(table)];
    let many = worked.job.roofs.len() > 1;
    let mut waste = waste(worked);
    let all = [
        ("hazards", hazards(worked)),
        ("protection", protection(worked)),
        ("limits", limits(worked)),
        ("checks", lists(findings::lines(&checked(worked), many))),
        // The first of them stay with the words that lead up to them.
        ("waste", waste.drain(..1).collect()),
        ("more-waste", waste),
        ("briefed", table(briefed())),
    ];
    all.into_iter().map(|(name, blocks)| (name.to_owned(), blocks)).collect()
}

fn hazards(worked: &WholeJob<'_>) -> Vec<Block> {
    let crew = worked.programme.crew;
    let risks = safety::risks(&Circumstances { job: worked.job, take_off: worked.take_off, crew });
    let item = |risk: &safety::Risk| {
        let title = match risk.here.as_str() {
            "" => format!("{}.", risk.hazard.title),
            here => format!("{}: {here}.", risk.hazard.title),
        };
        let harm = Span { text: format!(" {} ", risk.hazard.harm), italic: true, ..Span::default() };
        vec![Span::bold(title), harm, Span::plain(risk.controls.join(" "))]
    };
    let mut blocks = lists(risks.iter().map(item).collect());
    let named = risks.iter().flat_map(|r| r.hazard.source.split("; ")).filter(|s| s.contains("Regulations"));
    let sources = wording::once(named.map(|source| title(source.trim()))).join("; ");
    let note =
        format!("From: {sources}; HSE guidance; product data sheets; common practice. Check the current editions.");
    let note = Block::Paragraph(vec![Span { text: note, italic: true, ..Span::default() }]);
    blocks.push(Block::Keep(vec![note]));
    blocks
}

/// So many items stand in one list, which is not parted where it stands in two columns.
const TOGETHER: usize = 10;

/// Items in lists, each of which may stand in two columns: short words take less paper so than as rows of a table.
fn lists(items: Vec<Vec<Span>>) -> Vec<Block> {
    let list = |part: &[Vec<Span>]| {
        let items = part.iter().map(|words| vec![Block::Paragraph(words.clone())]).collect();
        Block::List { ordered: false, items }
    };
    items.chunks(TOGETHER).map(list).collect()
}

/// A source by its title: `Work at Height Regulations 2005 (SI 2005/735), as amended 2007`.
fn title(words: &str) -> String {
    let source = facts::ALL_SOURCES.iter().find(|source| words.starts_with(source.title));
    source.map_or_else(|| words.split(',').next().unwrap_or(words).trim().to_owned(), |source| source.title.to_owned())
}

fn protection(worked: &WholeJob<'_>) -> Vec<Block> {
    let met = PROTECTION.iter().filter(|(of, ..)| meets(worked, *of));
    lists(met.map(|(_, when, wear)| vec![Span::bold(format!("{when}: ")), Span::plain(facts::filled(wear))]).collect())
}

/// Whether a job has to do with a substance.
fn meets(worked: &WholeJob<'_>, substance: Substance) -> bool {
    match substance {
        Substance::Always => true,
        Substance::Adhesive => worked.take_off.must_have(&Role::Adhesive),
        Substance::Silica => {
            let cut = [WorkKind::Flashing, WorkKind::RenderCutting, WorkKind::TilesBack];
            cut.into_iter().any(|work| worked.take_off.works.has(work))
        }
        Substance::Boards => {
            worked.take_off.roofs.iter().any(|r| r.deck.is_some()) || worked.take_off.works.has(WorkKind::PatchDeck)
        }
    }
}

fn limits(worked: &WholeJob<'_>) -> Vec<Block> {
    let limit = |l: &ExposureLimit| {
        let both = format!("{}; {}.", facts::filled(l.eight_hours), facts::filled(l.fifteen_minutes));
        vec![Span::bold(format!("{}: ", l.what)), Span::plain(both)]
    };
    lists(LIMITS.iter().filter(|l| meets(worked, l.of)).map(limit).collect())
}

fn waste(worked: &WholeJob<'_>) -> Vec<Block> {
    let strips = worked.job.strips();
    // What all goes by van has no skip to go into.
    let van = !strips.is_empty() && strips.iter().all(|strip| strip.tip.key == tipping::VAN);
    let has = |w: &&Waste| match w.from {
        From::Always => true,
        From::Adhesive => worked.take_off.must_have(&Role::Adhesive),
        From::MasonryPrimer => worked.take_off.must_have(&Role::MasonryPrimer),
        From::Mortar => worked.take_off.must_have(&Role::Mortar),
        From::TreatedTimber => !strips.is_empty() || worked.take_off.works.has(WorkKind::PatchDeck),
        From::NewTimber => {
            strips.is_empty() && !worked.job.roofs.is_empty() && !worked.take_off.works.has(WorkKind::PatchDeck)
        }
        From::Tiles => worked.take_off.works.has(WorkKind::TilesBack),
        From::OldLaminate => !worked.job.old_roofs.is_empty(),
        From::OldBoards => worked.take_off.works.has(WorkKind::StripBoards),
        From::Insulation => worked.take_off.roofs.iter().any(|r| r.over.is_some()),
        From::Lead => worked.job.flashings().contains(&Flashing::Lead),
        From::Asbestos => worked.job.gravest_asbestos() != Answer::No,
    };
    let item = |what: &str, code: &str, how: &str| {
        let how = facts::filled(how);
        let how = if van { how.replace("Skip or tip", "Tip").replace("Skip, or", "Tip, or") } else { how };
        vec![Span::bold(format!("{what}, ")), Span::plain(format!("{code}: {how}"))]
    };
    let row = |w: &Waste| item(w.what, &facts::filled(w.code), w.how);
    let mut rows: Vec<Vec<Span>> = WASTES.iter().filter(has).map(row).collect();
    let mut told: Vec<&OldWaste> = Vec::new();
    for old in worked.job.strips().into_iter().map(|strip| &strip.covering.waste) {
        if !told.contains(&old) {
            told.push(old);
        }
    }
    let before_asbestos = rows.len() - usize::from(worked.job.gravest_asbestos() != Answer::No);
    let old = told.into_iter().map(|OldWaste { what, code, how }| item(what, code, how));
    rows.splice(before_asbestos..before_asbestos, old.collect::<Vec<_>>());
    lists(rows)
}

/// So many sign that they know the sheet: a crew and one more.
const BRIEFED: usize = 3;

fn briefed() -> Table {
    let columns = vec![wide("Name", 4), wide("Signature", 4), wide("Date", 2)];
    Table { columns, rows: vec![blank(3); BRIEFED], header: true }
}
