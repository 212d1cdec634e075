//! The method statement of a job of several roofs, old laminates beside new ones: each roof is signed for on its own days and told under
//! its own heading, and every pot has a day.
//!
//! Given the job with a work of every kind and those of many roofs; looks at the blocks, the pages and the cards of their statements.

use crate::demo::Demo;
use crate::drawings::text_of;
use crate::site_sheets::{job, jobs, of_part, paper, words};
use std::collections::BTreeSet;
use wetout::documents::method::{MethodPart, day_card};
use wetout::pages::block::{Block, DayBoxes, Document, RowKind, Span, Table};
use wetout::pages::page::{Item, NodeRole, Paper};
use wetout::programme::Operation;

const EVERYTHING: &str = "jobs_for_sweep/everything.yaml";

/// All blocks with those that stand in them, in reading order.
fn all(blocks: &[Block]) -> Vec<&Block> {
    let mut found = Vec::new();
    for block in blocks {
        found.push(block);
        found.extend(block.within().into_iter().flat_map(all));
    }
    found
}

fn plain(spans: &[Span]) -> String {
    spans.iter().map(|span| span.text.as_str()).collect()
}

/// The boxes of days under a heading of the second level, up to the next.
fn boxes_under<'a>(document: &'a Document, title: &str) -> Vec<&'a DayBoxes> {
    let blocks = all(&document.blocks).into_iter();
    let from = blocks.skip_while(|block| !matches!(block, Block::Heading { text, .. } if plain(text) == title));
    let part = from.skip(1).take_while(|block| !matches!(block, Block::Heading { level: 1 | 2, .. }));
    part.filter_map(|block| if let Block::Days(boxes) = block { Some(boxes) } else { None }).collect()
}

fn headed(days: &BTreeSet<u32>) -> Vec<String> {
    days.iter().map(|day| format!("Day {day}")).collect()
}

/// The days on which a roof is coated: those of its pots, which the list has by their roofs.
fn coated(job: &Demo, is_of: impl Fn(&str) -> bool) -> BTreeSet<u32> {
    let programme = &job.programme;
    let first = programme.coats.iter().filter(|coat| is_of(&coat.roof)).map(|coat| coat.day);
    let strews = |i: usize| {
        let work = &programme.work[i];
        work.operation == Operation::Topcoat
            && work.is_on_topcoat()
            && work.parts.iter().any(|part| part.roof.as_deref().is_some_and(&is_of))
    };
    let second = programme.days.iter().filter(|day| day.work.iter().any(|(i, _)| strews(*i))).map(|day| day.number);
    first.chain(second).collect()
}

#[test]
fn each_kind_of_roof_is_signed_for_on_the_days_of_its_own_coat() {
    let job = job(EVERYTHING);
    let (crew, old) = (of_part(MethodPart::Crew, &job), &job.take_off.old_roofs);
    let is_old = |roof: &str| old.iter().any(|of| of.name == roof);
    let (of_new, of_old) = (coated(&job, |roof| !is_old(roof)), coated(&job, is_old));
    assert!(!of_old.is_empty() && of_old != of_new && of_old.is_subset(&of_new), "{of_old:?} {of_new:?}");
    for (title, days) in [("Topcoat", &of_new), ("Topcoat over the old roof", &of_old)] {
        let boxes = boxes_under(&crew, title);
        let signed: Vec<_> = boxes.iter().filter(|of| !of.rows[0].words.contains("slope")).collect();
        assert!(signed.len() == 2 && signed.iter().all(|of| of.days == headed(days)), "{title}: {signed:?} {days:?}");
    }
    // The card of the day names it with the others, and no other card does.
    for day in &job.programme.days {
        let card = text_of(&day_card::document(day, &job.worked(), &words()).unwrap());
        let first = job.programme.coats.iter().any(|coat| coat.day == day.number && is_old(&coat.roof));
        assert_eq!(card.contains("Larder roof all over"), first, "day {}: {card}", day.number);
    }
}

#[test]
fn a_sheet_over_the_open_slope_is_asked_for_while_it_lies_open() {
    let job = job(EVERYTHING);
    let programme = &job.programme;
    let lifts = programme.stops.iter().find(|stop| stop.roof == "Dormer").unwrap().first_day;
    let is_back = |i: usize| {
        let parts = &programme.work[i].parts;
        parts.iter().any(|part| part.work == wetout::works::WorkKind::TilesBack)
    };
    let back = programme.days.iter().rfind(|day| day.work.iter().any(|(i, _)| is_back(*i))).unwrap().number;
    let open: BTreeSet<u32> = (lifts..back).collect();
    assert!(lifts > 1 && open.len() > 2, "{open:?}");
    let coats = coated(&job, |roof| job.take_off.roofs.iter().any(|of| of.shape.name == roof));
    let asked: BTreeSet<u32> = coats.intersection(&open).copied().collect();
    let crew = of_part(MethodPart::Crew, &job);
    let boxes = boxes_under(&crew, "Topcoat");
    let slope: Vec<_> = boxes.iter().filter(|of| of.rows[0].words.starts_with("Opening up the slope")).collect();
    assert!(asked.len() < coats.len(), "{coats:?}");
    assert!(slope.len() == 1 && slope[0].days == headed(&asked), "{slope:?} {asked:?}");
    for day in &programme.days {
        let card = text_of(&day_card::document(day, &job.worked(), &words()).unwrap());
        let told = card.contains("Where the slope above is open");
        assert_eq!(told, open.contains(&day.number), "day {}: {card}", day.number);
    }
}

/// The list of pots.
fn pot_list(document: &Document) -> Option<&Table> {
    let tables = all(&document.blocks).into_iter().filter_map(|block| match block {
        Block::Table(table) => Some(table),
        _ => None,
    });
    tables.into_iter().find(|table| table.columns.iter().any(|column| column.heading == "Lays"))
}

#[test]
fn every_pot_of_a_list_that_has_days_has_its_day_and_topcoat_is_numbered_by_them() {
    let mut seen = 0;
    for (name, job) in jobs().into_iter().chain([(EVERYTHING.to_owned(), job(EVERYTHING))]) {
        let crew = of_part(MethodPart::Crew, &job);
        let Some(list) = pot_list(&crew).filter(|list| list.columns[1].heading == "Day") else { continue };
        for row in list.rows.iter().filter(|row| row.kind != RowKind::Group) {
            let day = plain(&row.cells[1]);
            let (first, pot) = (day.split([',', ' ']).next().unwrap().parse::<u32>(), plain(&row.cells[2]));
            assert!(first.is_ok_and(|day| day <= job.programme.days.len() as u32), "{name}, {pot}: “{day}”");
            seen += 1;
        }
        let coats = list.rows.iter().skip_while(|row| plain(&row.cells[0]) != "Topcoat").skip(1);
        let days: Vec<u32> = coats.map(|row| plain(&row.cells[1]).parse().unwrap()).collect();
        assert!(days.is_sorted(), "{name}: {days:?}");
    }
    assert!(seen > 40, "{seen}");
}

/// Where the words of a mark that begin like this stand: page and height.
fn place_of(paper: &Paper, is_it: impl Fn(&str) -> bool) -> Option<(usize, f64)> {
    let marks = paper.pages.iter().zip(0..).flat_map(|(page, number)| page.marks.iter().map(move |m| (number, m)));
    let mut texts = marks.filter_map(|(number, mark)| match &mark.item {
        Item::Text(text) if mark.owner.is_some() => Some((number, text.y, text.words())),
        _ => None,
    });
    texts.find(|(.., words)| is_it(words)).map(|(page, y, _)| (page, y))
}

#[test]
fn the_layers_of_new_roofs_stand_under_their_own_heading() {
    let paper = paper(&of_part(MethodPart::Crew, &job(EVERYTHING)));
    let place = |start: &str| place_of(&paper, |words| words.starts_with(start)).unwrap_or_else(|| panic!("{start}"));
    let layers = place("Dormer, from the left:");
    assert!(place("The roofs") < layers, "{layers:?}");
    let old = place("Larder roof: the old laminate stays");
    assert!(layers < old, "{layers:?} after {old:?}");
}

/// Who cuts has all plans before him when the list begins.
#[test]
fn no_list_of_trims_begins_before_the_last_of_their_plans() {
    let mut several = 0;
    for (name, job) in jobs().into_iter().chain([(EVERYTHING.to_owned(), job(EVERYTHING))]) {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        let is_plan =
            |node: usize| matches!(&paper.nodes[node].role, NodeRole::Figure { alt } if alt.starts_with("Trims of "));
        let mut plans = Vec::new();
        for (page, number) in paper.pages.iter().zip(0..) {
            for mark in page.marks.iter().filter(|mark| mark.owner.is_some_and(is_plan)) {
                if let Item::Drawing { area, .. } = &mark.item {
                    plans.push((number, area.y));
                }
            }
        }
        let Some(list) = place_of(&paper, |words| words.starts_with("Cut on the ground.")) else {
            assert!(plans.is_empty() && job.loaded.job.roofs.is_empty(), "{name}");
            continue;
        };
        assert!(!plans.is_empty() && plans.iter().all(|plan| *plan < list), "{name}: {plans:?}, the list at {list:?}");
        several += usize::from(plans.len() > 1);
    }
    assert!(several > 2, "{several}");
}
