//! The method statement as a crew holds it: how many pages, in which type, how full, what stands whole on a page; nothing
//! of what it said before it was set in two parts is lost; and a card for each day.

use crate::demo::{self, Demo};
use crate::drawings::text_of;
use crate::support::asked;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use wetout::documents::drawings::day_chart;
use wetout::documents::method::{self, CREW_SIZE, MethodPart, day_card};
use wetout::documents::words::Words;
use wetout::documents::{Overrides, wording};
use wetout::geometry::region::Region;
use wetout::geometry::ring::sides;
use wetout::geometry::segment::distance;
use wetout::model::job::Answer;
use wetout::model::{Edge, Length, Level, Roof};
use wetout::pages::block::{Block, Document, Fitting, Span};
use wetout::pages::lesser::LESSER_SIZES;
use wetout::pages::page::{Item, NodeId, NodeRole, Page, Paper, Text};
use wetout::pages::{fitting, masthead};
use wetout::programme::{Day, Labour, Operation, Stop};
use wetout::takeoff::layout::{BoardPiece, RoofLayout, RunPlace, TrimRun};
use wetout::works::WorkKind;

pub fn words() -> Words {
    Words::new(&Overrides::default()).unwrap()
}

/// A job of a folder of the tests, worked.
pub fn job(file: &str) -> Demo {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(file);
    demo::work(&asked(&fs::read_to_string(file).unwrap()))
}

/// Every demo job, and the smallest and the largest of the tests.
pub fn jobs() -> Vec<(String, Demo)> {
    let demos = demo::names().into_iter().map(|name| (name.clone(), demo::work(&demo::request(&name))));
    let others = ["big_jobs/tiny-roof.yaml", "jobs_for_sweep/porch.yaml", "big_jobs/twelve-roofs.yaml"];
    demos.chain(others.map(|file| (file.to_owned(), job(file)))).collect()
}

pub fn of_part(part: MethodPart, job: &Demo) -> Document {
    method::part(part, &job.worked(), &words()).unwrap()
}

pub fn paper(document: &Document) -> Paper {
    fitting::lay_out(document).unwrap()
}

/// The most pages of the whole statement and of the crew's set, by the job; common practice, no source: what is carried in a
/// pocket is read, a file is not.
const MOST: [(&str, usize, usize); 11] = [
    ("balcony", 18, 15),
    ("bay", 12, 10),
    ("dormer", 16, 13),
    ("garage-utility", 27, 24),
    ("kitchen-extension", 18, 15),
    ("neighbours", 25, 22),
    ("parapet", 21, 18),
    ("patch-and-coat", 10, 8),
    ("big_jobs/tiny-roof.yaml", 12, 10),
    ("jobs_for_sweep/porch.yaml", 12, 10),
    ("big_jobs/twelve-roofs.yaml", 48, 45),
];

#[test]
fn no_method_statement_takes_more_pages_than_a_crew_reads() {
    for (name, job) in jobs() {
        let count = |part| paper(&of_part(part, &job)).pages.len();
        let (whole, crew) = (count(MethodPart::Whole), count(MethodPart::Crew));
        let (_, most, most_crew) =
            MOST.iter().find(|most| most.0 == name).unwrap_or_else(|| panic!("no limit: {name}"));
        assert!(whole <= *most && crew <= *most_crew, "{name}: {whole} pages, {crew} of them the crew's");
    }
}

fn texts(page: &Page) -> impl Iterator<Item = (&Text, Option<usize>)> {
    page.marks.iter().filter_map(|mark| if let Item::Text(text) = &mark.item { Some((text, mark.owner)) } else { None })
}

/// Sizes of running text: of items of lists, and of paragraphs that fill most of a line.
fn body_sizes(document: &Document) -> BTreeSet<i64> {
    let paper = paper(document);
    let runs = |role: &NodeRole, text: &Text| match role {
        NodeRole::Body => true,
        NodeRole::Paragraph => text.width > masthead::WIDE_TEXT.width * 0.75,
        _ => false,
    };
    let sizes = paper.pages.iter().flat_map(texts).filter_map(|(text, owner)| {
        let role = &paper.nodes[owner?].role;
        runs(role, text).then(|| (text.size * 100.0).round() as i64)
    });
    sizes.collect()
}

/// Lists are read on the roof as text is: what stands in the rows of a table is hardly smaller. What is only written in has labels.
#[test]
fn the_crew_reads_tables_hardly_smaller_than_text() {
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        let is_cell = |node: usize| matches!(paper.nodes[node].role, NodeRole::Cell { .. });
        let cells = paper
            .pages
            .iter()
            .flat_map(texts)
            .filter(|(text, owner)| owner.is_some_and(is_cell) && !text.words().starts_with("Day "));
        // Days and times that are written in have labels.
        let (small, large): (Vec<&Text>, Vec<&Text>) = cells.map(|(text, _)| text).partition(|text| text.size < 10.8);
        let letters = |texts: &[&Text]| texts.iter().map(|text| text.words().len()).sum::<usize>();
        assert!(letters(&small) * 6 < letters(&large), "{name}: {} beside {}", letters(&small), letters(&large));
    }
}

#[test]
fn running_text_has_one_size_for_the_crew_and_a_lesser_one_for_the_desk() {
    let hundredths = |size: f64| (size * 100.0).round() as i64;
    let crew = hundredths(CREW_SIZE);
    assert!(crew >= 1150);
    for (name, job) in jobs() {
        assert_eq!(body_sizes(&of_part(MethodPart::Crew, &job)), BTreeSet::from([crew]), "{name}");
        let both: Vec<i64> = body_sizes(&of_part(MethodPart::Whole, &job)).into_iter().collect();
        let [desk, larger] = both.as_slice() else { panic!("{name}: {both:?}") };
        let of_the_row = LESSER_SIZES.iter().any(|size| hundredths(*size) == *desk);
        assert!(*larger == crew && of_the_row && *desk >= 800, "{name}: {both:?}");
        // Two pages are enough for the desk beside a set of ten; beside a longer one it has a page more, and is larger.
        let pages = paper(&of_part(MethodPart::Crew, &job)).pages.len();
        assert!(pages <= 10 || *desk >= 900, "{name}: {both:?} beside {pages} pages");
    }
}

/// How much of its last page a document takes, as a share of what it may.
fn share_of_last(paper: &Paper, fitting: Fitting) -> f64 {
    let bounds = masthead::bounds_of(fitting);
    let foot = |item: &Item| match item {
        Item::Text(text) => text.y,
        Item::Field { area, .. } => area.y + area.height,
        Item::Rule { to, .. } => to.1,
        _ => 0.0,
    };
    let marks = paper.pages.last().unwrap().marks.iter().map(|mark| foot(&mark.item));
    (marks.filter(|y| *y <= bounds.bottom).fold(0.0, f64::max) - bounds.top) / (bounds.bottom - bounds.top)
}

/// Part of a page that is more than signatures.
const MORE_THAN_SIGNATURES: f64 = 0.28;

#[test]
fn no_statement_ends_with_a_page_of_signatures_alone() {
    for (name, job) in jobs() {
        let document = of_part(MethodPart::Whole, &job);
        let share = share_of_last(&paper(&document), document.fitting);
        let smallest = *body_sizes(&document).first().unwrap() == 800;
        assert!(share > MORE_THAN_SIGNATURES || smallest, "{name}: {share:.2} of the last page");
    }
}

/// The type of the desk's part is the largest of its row: in the next size it would take more pages than it may, or leave its
/// last nearly empty.
#[test]
fn no_larger_type_leaves_the_desks_part_on_its_pages() {
    for (name, job) in jobs() {
        let document = of_part(MethodPart::Whole, &job);
        let (all, size) = (paper(&document).pages.len(), *body_sizes(&document).first().unwrap());
        let crew = paper(&of_part(MethodPart::Crew, &job)).pages.len();
        let place = LESSER_SIZES.iter().position(|s| (s * 100.0).round() as i64 == size).unwrap();
        let may = (crew as f64 / 5.0).ceil().max(2.0) as usize;
        assert!(all - crew <= may, "{name}: {} pages for the desk beside {crew}", all - crew);
        let Some(larger) = place.checked_sub(1).map(|larger| LESSER_SIZES[larger]) else { continue };
        // Alone, in the larger size, as the running text of a document of its own.
        let place = document.blocks.iter().position(|block| matches!(block, Block::Small(_))).unwrap();
        let Block::Small(blocks) = document.blocks[place].clone() else { panic!("{name}") };
        let title = Block::Heading { level: 1, text: vec![Span::plain("-")] };
        let blocks = [vec![title, Block::PageBreak], blocks].concat();
        let alone = Document { blocks, text_size: larger, fitting: Fitting::OneSize, ..document };
        let (alone, fitting) = (paper(&alone), alone.fitting);
        let ends_short = share_of_last(&alone, fitting) < 0.32;
        assert!(alone.pages.len() - 1 > may || ends_short, "{name}: {larger} pt would do");
    }
}

/// Pages that end with a heading and a few words of which the drawing stands on the next.
fn parted_from_their_drawings(paper: &Paper) -> Vec<usize> {
    let pages = paper.pages.windows(2).enumerate();
    let parted = pages.filter(|(_, pair)| {
        let mut said: Vec<NodeId> = texts(&pair[0]).filter_map(|(_, owner)| owner).collect();
        said.dedup();
        let roles: Vec<&NodeRole> = said.iter().rev().take(2).map(|node| &paper.nodes[*node].role).collect();
        let led_up = matches!(roles[..], [NodeRole::Paragraph, NodeRole::Heading(_)]);
        let drawn = pair[1].marks.iter().find(|mark| mark.owner.is_some());
        led_up && drawn.is_some_and(|mark| matches!(mark.item, Item::Drawing { .. }))
    });
    parted.map(|(place, _)| place + 1).collect()
}

#[test]
fn a_heading_and_a_sentence_stand_on_the_page_of_their_plan() {
    for (name, job) in jobs() {
        let parted = parted_from_their_drawings(&paper(&of_part(MethodPart::Crew, &job)));
        assert_eq!(parted, [0_usize; 0], "{name}");
    }
}

/// What leads up to the plans of roofs and mat is read in one piece: no page ends within it.
#[test]
fn the_words_before_a_plan_are_not_torn_over_two_pages() {
    let mut seen = 0;
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        let pages: Vec<String> = paper
            .pages
            .iter()
            .map(|page| {
                bare(
                    &texts(page).filter(|(_, owner)| owner.is_some()).map(|(text, _)| text.words()).collect::<String>(),
                )
            })
            .collect();
        let page_of = |words: &str| pages.iter().position(|page| page.contains(&bare(words)));
        for (first, last) in
            [("Way off. ", "never shut yourself in"), ("Sizes include laps", "Pots are worked for what is left")]
        {
            let (Some(from), Some(to)) = (page_of(first), page_of(last)) else { continue };
            assert_eq!(from, to, "{name}: {first}");
            seen += 1;
        }
    }
    assert!(seen > 12, "{seen}");
}

/// A roof of one board has neither joints nor laps, a kept deck those of its old boards, and one of several colours has a drum of each.
#[test]
fn no_step_is_told_for_what_the_job_has_not() {
    let said = |file: &str| text_of(&of_part(MethodPart::Crew, &job(file)));
    let (porch, many) = (said("jobs_for_sweep/porch.yaml"), said("big_jobs/twelve-roofs.yaml"));
    let tiny = said("big_jobs/tiny-roof.yaml");
    assert!(many.contains("over every board joint") && porch.contains("over every trim lap"));
    assert!(
        porch.contains("over every board joint of the old deck")
            && !tiny.contains("over every board joint")
            && !tiny.contains("over every trim lap"),
        "{tiny}"
    );
    assert!(many.contains("on every drum of a colour") && many.contains("One colour on each roof"));
    assert!(porch.contains("One batch number on every drum.") && porch.contains("One colour, no"), "{porch}");
}

/// What is alike of twelve roofs stands there once, with the figures of each.
#[test]
fn what_twelve_roofs_have_alike_is_said_once() {
    let job = job("big_jobs/twelve-roofs.yaml");
    let whole = text_of(&of_part(MethodPart::Whole, &job));
    assert!(whole.contains("Roofs 1, 3, 5, 7, 9 and 11: at "), "{whole}");
    assert_eq!(whole.matches("what is stripped off is not deducted").count(), 1);
    let weights = job.worked().findings.iter().filter(|f| f.subject == "dead weight").count();
    assert_eq!((weights, whole.matches("On each square metre the new roof weighs").count()), (12, 1));
    assert_eq!(whole.matches(" kN/m²) for ").count() + whole.matches(" kN/m2) for ").count(), 12, "{whole}");
}

/// Two coats of one roof are two rows of the pot list, each by its name.
#[test]
fn no_two_pots_of_topcoat_are_told_alike() {
    let job = job("jobs_for_sweep/everything.yaml");
    let pots = &job.programme.pots.as_ref().unwrap().topcoat;
    let coats: Vec<_> =
        pots.iter().flat_map(|pot| &pot.parts).map(|part| (&part.roof, part.share, part.coat)).collect();
    let once: BTreeSet<String> = coats.iter().map(|coat| format!("{coat:?}")).collect();
    assert_eq!(once.len(), coats.len(), "{coats:?}");
    let whole = text_of(&of_part(MethodPart::Crew, &job));
    let colour = &job.loaded.job.topcoat_of("Porch").unwrap().colour;
    assert!(
        whole.contains(&format!("Porch, {colour}, first coat"))
            && whole.contains(&format!("Porch, {colour}, second coat, aggregate")),
        "{whole}"
    );
}

/// A job that is laid on several days numbers its pots by the days, and says on which each is; a short one does not.
#[test]
fn a_pot_of_a_job_of_several_days_stands_beside_its_day() {
    let balcony = demo::work(&demo::request("balcony"));
    let crew = text_of(&of_part(MethodPart::Crew, &balcony));
    let lines: Vec<&str> = crew.lines().collect();
    let days = &balcony.programme.days;
    for (pot, strip, day) in [("3", "3", 1), ("4", "2", 2), ("7", "5", 2)] {
        assert!(days[day - 1].strips.iter().any(|s| s.mark == strip), "{days:?}");
        let row = [pot, &day.to_string(), &format!("Strip {strip}")];
        assert!(lines.windows(3).any(|cells| cells == row), "{row:?} in {crew}");
    }
    let coat = days
        .iter()
        .find(|day| day.work.iter().any(|(i, _)| balcony.programme.work[*i].operation == Operation::Topcoat));
    let coat = coat.unwrap().number.to_string();
    assert!(lines.windows(3).any(|cells| cells[1] == coat && cells[2].starts_with("First coat")), "{coat} in {crew}");
    // A box gutter is lined on the first day on which its roof is.
    let parapet = text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request("parapet"))));
    let lines: Vec<&str> = parapet.lines().collect();
    assert!(lines.windows(3).any(|cells| cells == ["3\u{a0}to\u{a0}4", "1", "Strip G12, in halves"]), "{parapet}");
    let porch = text_of(&of_part(MethodPart::Crew, &job("jobs_for_sweep/porch.yaml")));
    assert!(!porch.lines().any(|line| line == "Day"), "{porch}");
}

/// Layer on layer, day by day: strip 3 of the second layer comes before strip 2 of the first, so that the pots tell the order, in the
/// words and under both plans. Once strip 2 is wet nobody stands on bare deck; the door is a place to reach 4 and 5 from. A roof
/// without a door has none to shut.
#[test]
fn strips_of_several_layers_and_days_have_one_order() {
    let crew = text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request("balcony"))));
    assert_eq!(crew.matches("Lay in the order of the pots.").count(), 2, "{crew}");
    for told in [
        "Strips in the order of the pots: layer on layer, day by day.",
        "Once 2 is wet no bare deck is left: 4 and 5 from indoors, a ladder or a board that rests on nothing wet.",
        "shut the door to it and hang a note on it",
    ] {
        assert!(crew.contains(told), "{told}: {crew}");
    }
    let long = text_of(&of_part(MethodPart::Crew, &job("big_jobs/long-names.yaml")));
    assert!(long.contains("ladder away, a note where it stood") && !long.contains("shut the door"), "{long}");
    assert!(long.contains("Lay in the order of the bold numbers."), "{long}");
}

/// The order of work of many roofs stands with their plans, and a patch is drawn no larger than it is worth.
#[test]
fn the_order_of_work_shares_its_page_with_the_plans_of_many_roofs() {
    let paper = paper(&of_part(MethodPart::Crew, &job("jobs_for_sweep/everything.yaml")));
    assert!(used(&paper.pages[1]) > 0.8, "{:.2}", used(&paper.pages[1]));
    let drawn = |page: &Page| {
        let height = |item: &Item| match item {
            Item::Drawing { area, scene, .. } => Some((area.height, scene.scale.is_some())),
            _ => None,
        };
        page.marks.iter().filter_map(|mark| height(&mark.item)).collect::<Vec<(f64, bool)>>()
    };
    // The chart and the first plan; then those of three roofs more, none of them a dot.
    let plans = [&drawn(&paper.pages[1])[..], &drawn(&paper.pages[2])[..]];
    assert!(plans[0].len() >= 2 && plans[1].len() >= 3, "{plans:?}");
    // The layers of the roofs, which have no scale, stand small under them.
    let (scaled, others): (Vec<_>, Vec<_>) = plans.concat().into_iter().partition(|(_, to_scale)| *to_scale);
    assert!(scaled.len() == 4 && scaled.iter().all(|(height, _)| *height > 100.0) && others.len() == 5, "{plans:?}");
}

/// How far down a page its last mark stands, as a share of its text.
fn used(page: &Page) -> f64 {
    let bounds = masthead::bounds_of(wetout::pages::block::Fitting::OneSize);
    let ends = page.marks.iter().filter_map(|mark| match &mark.item {
        Item::Text(text) => mark.owner.map(|_| text.y),
        Item::Drawing { area, .. } | Item::Field { area, .. } | Item::Panel { area, .. } => Some(area.y + area.height),
        Item::Rule { from, .. } => (from.1 > bounds.top && from.1 < bounds.bottom).then_some(from.1),
        Item::Picture { .. } => None,
    });
    (ends.fold(bounds.top, f64::max) - bounds.top) / (bounds.bottom - bounds.top)
}

/// Whether a page begins with an operation, a card or another part: with a heading of the second level or above.
fn begins_anew(paper: &Paper, page: &Page) -> bool {
    let first = texts(page).find_map(|(_, owner)| owner);
    first.is_some_and(|owner| matches!(paper.nodes[owner].role, NodeRole::Heading(1 | 2)))
}

#[test]
fn no_page_of_the_crew_is_less_than_half_full_unless_an_operation_ends_there() {
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        for (number, pair) in paper.pages.windows(2).enumerate() {
            let used = used(&pair[0]);
            let ends = begins_anew(&paper, &pair[1]);
            // A plan and its list are not parted: among the plans of many roofs a page may end before them.
            let least = if job.loaded.job.roofs.len() > 2 { 0.4 } else { 0.5 };
            assert!(used > least || ends, "{name}: page {} is filled to {:.0} %", number + 1, used * 100.0);
        }
    }
}

/// The parts of a statement under its headings of the second level, in reading order: title, pages, and whether there is a hold
/// point in it.
fn sections(paper: &Paper) -> Vec<(String, BTreeSet<usize>, bool)> {
    let titled = |node: &usize| matches!(paper.nodes[*node].role, NodeRole::Heading(2));
    let begins: Vec<usize> = (0..paper.nodes.len()).filter(titled).collect();
    let place_of = |owner: usize| begins.partition_point(|begin| *begin <= owner).checked_sub(1);
    let mut all = vec![(String::new(), BTreeSet::new(), false); begins.len()];
    for (number, page) in paper.pages.iter().enumerate() {
        for mark in &page.marks {
            let Some((owner, place)) = mark.owner.and_then(|owner| Some((owner, place_of(owner)?))) else { continue };
            let (title, pages, holds) = &mut all[place];
            pages.insert(number);
            if let Item::Text(text) = &mark.item {
                *holds |= text.words().contains("Hold point: Before");
                if owner == begins[place] {
                    title.push_str(&text.words());
                }
            }
        }
    }
    all
}

/// Operations, and lists of what is cut, that no leaf holds with their drawings, or that one would hold only if the crew's set were
/// longer than it may be: what they are of, and where.
const OVER_A_LEAF: [(&str, &str); 7] = [
    ("big_jobs/tiny-beside-large.yaml", "Where each trim goes, and what is cut"),
    ("big_jobs/twelve-roofs.yaml", "Deck"),
    ("big_jobs/twelve-roofs.yaml", "Mat plan, strips to cut"),
    ("big_jobs/twelve-roofs.yaml", "Where each trim goes, and what is cut"),
    ("jobs_for_sweep/everything.yaml", "Bandage"),
    ("jobs_for_sweep/everything.yaml", "Deck"),
    ("jobs_for_sweep/everything.yaml", "Where each trim goes, and what is cut"),
];

/// A job's statement as the tests of leaves read it: the crew's jobs and three of many parts more.
fn jobs_on_leaves() -> impl Iterator<Item = (String, Demo)> {
    let more = ["big_jobs/long-names.yaml", "big_jobs/tiny-beside-large.yaml", "jobs_for_sweep/everything.yaml"];
    jobs().into_iter().chain(more.map(|file| (file.to_owned(), job(file))))
}

/// Lists and drawings that nobody signs.
fn is_list(title: &str) -> bool {
    ["what is cut", "Mat plan", "Corners of the trims"].iter().any(|words| title.contains(words))
}

#[test]
fn every_operation_and_every_list_lies_on_the_front_and_the_back_of_one_leaf() {
    let (mut over, mut signed, mut lists) = (Vec::new(), 0, 0);
    for (name, job) in jobs_on_leaves() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        for (title, pages, holds) in sections(&paper) {
            let leaves: BTreeSet<usize> = pages.iter().map(|page| page / 2).collect();
            signed += usize::from(holds);
            lists += usize::from(is_list(&title));
            if leaves.len() > 1 && (holds || is_list(&title)) {
                over.push((name.clone(), title));
            }
        }
    }
    over.sort();
    let known = OVER_A_LEAF.map(|(name, title)| (name.to_owned(), title.to_owned()));
    assert!(signed > 90 && lists > 30 && over == known, "{signed}, {lists}: {over:?}");
}

/// Cards that come after the first operation that mixes resin, since that costs no page more.
const LATE_CARDS: [(&str, &str); 2] = [("bay", "Mix card"), ("big_jobs/tiny-beside-large.yaml", "Pots")];

/// Whoever mixes has read how much by then: the pots, the mix card and the weather log stand before the first operation that mixes resin,
/// or on its page.
#[test]
fn what_is_mixed_stands_before_the_work_that_mixes_it() {
    let (mut late, mut seen) = (Vec::new(), 0);
    for (name, job) in jobs_on_leaves() {
        let all = sections(&paper(&of_part(MethodPart::Crew, &job)));
        let begins = |title: &str| all.iter().find(|(of, ..)| of == title).and_then(|(_, pages, _)| pages.first());
        let work = ["Bandage", "Patches", "Topcoat over the old roof"].iter().find_map(|work| begins(work)).unwrap();
        for card in ["Mix card", "Pots", "Weather log"] {
            seen += 1;
            if begins(card).is_some_and(|page| page > work) {
                late.push((name.clone(), card.to_owned()));
            }
        }
    }
    late.sort();
    let known = LATE_CARDS.map(|(name, card)| (name.to_owned(), card.to_owned()));
    assert!(seen > 40 && late == known, "{seen}: {late:?}");
}

/// Jobs whose crew's set ends on the front of a leaf: a bare back would be a page more.
const OFFICE_ON_A_BACK: [&str; 4] = ["balcony", "kitchen-extension", "patch-and-coat", "big_jobs/long-names.yaml"];

/// The crew's set is pinned up, the office's part is filed: they share a leaf only where that saves one.
#[test]
fn the_offices_part_begins_on_a_front() {
    let on_a_back: Vec<String> = jobs_on_leaves()
        .filter(|(_, job)| paper(&of_part(MethodPart::Crew, job)).pages.len() % 2 == 1)
        .map(|(name, _)| name)
        .collect();
    assert_eq!(on_a_back, OFFICE_ON_A_BACK);
}

/// Cards are pinned up and carried: they stand where they leave the operations whole, each once, and are read in the order of the pages.
#[test]
fn cards_stand_before_the_office_each_once_and_are_read_where_they_stand() {
    let mut early = 0;
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        let all = sections(&paper);
        for card in ["Mix card", "Weather: go or stop", "Weather log", "Emergency"] {
            let places: Vec<usize> = (0..all.len()).filter(|place| all[*place].0 == card).collect();
            assert_eq!(places.len(), 1, "{name}: {card}");
            early += usize::from(all[places[0]..].iter().any(|(.., holds)| *holds));
        }
        let firsts: Vec<usize> = all.iter().filter_map(|(_, pages, _)| pages.first().copied()).collect();
        assert!(firsts.is_sorted(), "{name}: {firsts:?}");
        let outline: Vec<usize> = paper.outline.iter().map(|entry| entry.page).collect();
        assert!(outline.is_sorted(), "{name}: {outline:?}");
    }
    assert!(early > 12, "{early}");
}

/// Where the pieces of a trim use its lengths up, no sample is asked for; and nobody cuts an old deck back for the gap at a wall.
#[test]
fn no_sample_is_cut_of_a_trim_that_has_none_to_spare_nor_a_gap_in_an_old_deck() {
    let porch = job("jobs_for_sweep/porch.yaml");
    let without: Vec<_> =
        porch.take_off.profiles.iter().filter(|profile| profile.bars.iter().all(|bar| !bar.sample)).collect();
    let crew = text_of(&of_part(MethodPart::Crew, &porch));
    assert_eq!(without.len(), 2);
    assert!(
        crew.contains("Of drip trim and wall fillet trim there is none to spare: offer a whole length up, uncut."),
        "{crew}"
    );
    assert_eq!(crew.matches("No sample: nothing is left over").count(), 2, "{crew}");
    assert!(crew.contains("wall and old deck: the gap as found") && !crew.contains("between deck and wall"), "{crew}");
    let kitchen = text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request("kitchen-extension"))));
    assert!(
        kitchen.contains("gap 25 mm between deck and wall") && !kitchen.contains("none to spare: offer"),
        "{kitchen}"
    );
}

/// A short list of strips is read down, in the order in which they are laid.
#[test]
fn a_short_list_of_strips_is_read_down_in_the_order_of_laying() {
    let crew = text_of(&of_part(MethodPart::Crew, &job("jobs_for_sweep/porch.yaml")));
    let (_, list) = crew.split_once("Mat plan").unwrap();
    let lines: Vec<&str> = list.lines().collect();
    let marks: Vec<&str> = lines.iter().copied().filter(|line| ["1a", "2a", "1b", "2b"].contains(line)).collect();
    assert!(marks.ends_with(&["1a", "2a", "1b", "2b"]), "{marks:?}");
}

/// How much of the crew's paper is printed at least, over all its pages: an operation keeps to its leaf, and what that leaves free of
/// the page before is less than a quarter of the whole; common practice, no source.
const MEAN_FILL: f64 = 0.75;

#[test]
fn the_pages_of_the_crew_are_three_quarters_full_over_all() {
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        let all: Vec<f64> = paper.pages.iter().map(used).collect();
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        assert!(mean >= MEAN_FILL, "{name}: {mean:.2} of {all:.2?}");
    }
}

/// What is filled in and signed before an operation stands beside the title of its hold point, and is heard after all that
/// is to be ticked.
#[test]
fn a_hold_point_is_signed_in_its_head_and_heard_after_its_ticks() {
    let job = demo::work(&demo::request("bay"));
    let paper = paper(&of_part(MethodPart::Crew, &job));
    let texts_of = |words: &str| {
        let all = paper.pages.iter().flat_map(texts);
        all.filter(|(text, _)| text.words().contains(words))
            .map(|(text, owner)| (text.y, owner.unwrap()))
            .collect::<Vec<_>>()
    };
    let (title, tick) = (texts_of("Before you start"), texts_of("Trims signed. Deck swept"));
    let (signed, tick) = (texts_of("Checked by"), tick[0]);
    let of_it = title.iter().filter(|(y, node)| *y < tick.0 && *node < tick.1).max_by(|a, b| a.1.cmp(&b.1)).unwrap();
    let after = signed.iter().filter(|(_, node)| *node > tick.1).min_by_key(|(_, node)| *node).unwrap();
    assert!((after.0 - of_it.0).abs() < 6.0, "{of_it:?} {tick:?} {after:?}");
}

/// Every temperature that a surface must have stands in the table, in degrees that its first heading names.
#[test]
fn the_table_of_surfaces_holds_every_air_and_humidity() {
    let job = demo::work(&demo::request("bay"));
    let whole = bare(&text_of(&of_part(MethodPart::Crew, &job)));
    let rows = &job.programme.least_surfaces;
    let tenth = |value: rust_decimal::Decimal| format!("{:.1}", value.round_dp(1));
    let said = rows.iter().map(|row| {
        let least: Vec<String> = row.least.iter().map(|(_, least)| tenth(*least)).collect();
        bare(&format!("{} °C {}", row.air.normalize(), least.concat()))
    });
    let said: String = said.collect();
    assert!(!rows.is_empty() && whole.contains(&bare("all in °C")) && whole.contains(&said), "{said}");
}

/// Letters and figures alone: where a line ends, how a sign is drawn and which word begins makes no difference.
fn bare(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// What the statements of the demo jobs said before they were set in two parts: every paragraph, item, cell and label of their
/// tagged PDFs, read by pikepdf and pdfplumber, once, by the first job that says it. Left out are the letterhead, the scales of
/// sections, and “any limit above” of the weather log, which stands on a page before them now.
const SAID: &str = include_str!("goldens/kept-words.txt");

#[test]
fn everything_that_the_statement_said_is_said_still() {
    let mut said: BTreeMap<&str, String> = BTreeMap::new();
    let mut lost = Vec::new();
    for line in SAID.lines() {
        let (name, words) = line.split_once('\t').unwrap();
        let whole = said
            .entry(name)
            .or_insert_with(|| bare(&text_of(&of_part(MethodPart::Whole, &demo::work(&demo::request(name))))));
        if !whole.contains(&bare(words)) {
            lost.push(line);
        }
    }
    assert!(lost.is_empty(), "{} are lost:\n{}", lost.len(), lost.join("\n"));
}

#[test]
fn a_part_alone_holds_its_part_and_not_the_other() {
    let job = demo::work(&demo::request("kitchen-extension"));
    let [crew, office] = [MethodPart::Crew, MethodPart::Office].map(|part| text_of(&of_part(part, &job)));
    for (words, of_crew) in [
        ("Hold point", true),
        ("Mix card", true),
        ("First aid", true),
        ("Weather log", true),
        ("Hazards and what we do", false),
        ("What may be in the air", false),
        ("Waste carrier's number, until", false),
        ("Site plan and rules", false),
    ] {
        let words = bare(words);
        let held = [&crew, &office].map(|text| bare(text).contains(&words));
        assert!(held == [of_crew, !of_crew] || words == bare("Hold point"), "{words}: {held:?}");
    }
}

#[test]
fn the_card_of_each_day_stands_on_one_page_and_holds_what_is_done_on_it() {
    for (name, job) in jobs() {
        let (days, programme) = (&job.programme.days, &job.programme);
        for day in days {
            let card = day_card::document(day, &job.worked(), &words()).unwrap();
            let paper = paper(&card);
            assert_eq!(paper.pages.len(), 1, "{name}, day {}", day.number);
            // Initials and a time are written with a thick pencil: 20 mm.
            let left_of = |start: &str| {
                let found = paper.pages[0].marks.iter().find_map(|mark| match &mark.item {
                    Item::Text(text) if text.words().starts_with(start) => Some(text.x),
                    _ => None,
                });
                found.unwrap_or_else(|| panic!("{name}: {start}"))
            };
            assert!(left_of("Signed,") - left_of("Checked") >= 56.0, "{name}, day {}", day.number);
            let text = text_of(&card);
            // The card and the chart say of the same days that the crew comes back on them.
            let timetable = programme.timetable();
            let charted = day_chart::day_in_words(&timetable, &timetable.days[day.number as usize - 1]);
            assert_eq!(text.contains("Return visit: "), charted.contains("(return visit)"), "{name}: {charted}");
            for (index, _) in &day.work {
                let work = &programme.work[*index];
                let label = &work.label;
                // Of a job's works a day may do some alone.
                let last =
                    |name: &str| name.split_once(' ').map_or(name, |(_, of)| of).trim_end_matches('s').to_owned();
                let part = label.split(", ").any(|part| text.to_lowercase().contains(&part.to_lowercase()));
                let some = part || work.parts.iter().any(|part| text.to_lowercase().contains(&last(part.work.name())));
                assert!(text.contains(label.as_str()) || some, "{name}, day {}: {label}", day.number);
            }
            let others = (0..programme.work.len()).filter(|i| !day.work.iter().any(|(index, _)| index == i));
            for label in others.map(|i| &programme.work[i].label) {
                let same = day
                    .work
                    .iter()
                    .any(|(index, _)| programme.work[*index].label.to_lowercase().contains(&label.to_lowercase()));
                assert!(same || !text.contains(&format!("{label}:")), "{name}, day {}: not {label}", day.number);
            }
            for stop in programme.stops.iter().filter(|stop| stop.day == day.number) {
                let area = match stop.box_gutters {
                    true => "the box gutter alone".to_owned(),
                    false => wording::square_metres(stop.opened),
                };
                let ends = stop.opens.iter().map(|(_, to)| *to).filter(|to| *to != stop.extent);
                assert!(text.to_lowercase().contains(&area), "{name}: {area} in {text}");
                for end in ends.map(wording::metres) {
                    assert!(text.contains(&format!("to {end} ")), "{name}, day {}: {end} in {text}", day.number);
                }
            }
            assert!(text.contains("signed") && text.contains("Weather"), "{name}: {text}");
        }
    }
}

/// A roof that is opened in parts: each trim is on a card, each board over its deck on one, and what is done at its low edge or at its
/// wall is on the card of the day that reaches it.
#[test]
fn a_card_names_the_works_and_the_pieces_of_its_day() {
    let (mut trims, mut boards, mut sawn) = (0, 0, 0);
    for (name, job) in jobs() {
        let programme = &job.programme;
        let card = |day: &Day| text_of(&day_card::document(day, &job.worked(), &words()).unwrap());
        let cards: Vec<String> = programme.days.iter().map(card).collect();
        let on = |mark: &str| {
            let is_it = |word: &str| word == mark;
            let holds = |card: &&String| card.split(|c: char| !c.is_alphanumeric()).any(is_it);
            cards.iter().filter(holds).count()
        };
        for roof in &job.take_off.roofs {
            let stops: Vec<_> =
                programme.stops.iter().filter(|s| s.roof == roof.shape.name && !s.box_gutters).collect();
            let in_days = stops.iter().all(|s| s.first_day == s.day);
            if stops.len() < 2 || !in_days {
                continue;
            }
            let of_roof =
                |run: &&TrimRun| matches!(run.place, RunPlace::Side { roof: at, .. } if at == roof.shape.index);
            let runs = job.take_off.profiles.iter().flat_map(|plan| &plan.runs);
            for piece in runs.filter(of_roof).flat_map(|run| &run.pieces) {
                trims += 1;
                assert!(on(&piece.mark) > 0, "{name}: {}", piece.mark);
            }
            let over = roof.over.iter().filter(|_| job.take_off.roofs.len() == 1);
            for piece in over.flat_map(|over| &over.insulation.pieces) {
                boards += 1;
                // What is sawn off at a day's line is laid on both of its days.
                let lies = crate::stops::places(roof, &piece.rings[0], stops[0].from_left);
                let (low, high) = lies.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), p| (a.min(*p), b.max(*p)));
                let meets = |from: f64, to: f64| low < to - 2.0 && from + 2.0 < high;
                let reaches = |s: &&&Stop| s.opens.iter().any(|(a, b)| meets(a.as_mm() as f64, b.as_mm() as f64));
                let days = stops.iter().filter(reaches).count();
                sawn += usize::from(days > 1);
                assert_eq!(on(&piece.mark), days, "{name}: {}", piece.mark);
            }
        }
    }
    assert!(trims > 20 && boards > 5 && sawn > 0, "{trims} trims, {boards} boards, {sawn} of them sawn");
    let kitchen = demo::work(&demo::request("kitchen-extension"));
    let card =
        |day: usize| text_of(&day_card::document(&kitchen.programme.days[day], &kitchen.worked(), &words()).unwrap());
    let last = kitchen.programme.stops.iter().map(|s| s.day).max().unwrap() as usize - 1;
    for (work, first_day, last_day) in
        [("lift the old flashing", false, true), ("fix wall fillets", false, true), ("fix drip trims", true, false)]
    {
        assert_eq!((card(0).contains(work), card(last).contains(work)), (first_day, last_day), "{work}");
    }
}

/// The cards of all days together take the resin of the whole pot list, the lining of a box gutter with it.
#[test]
fn every_pot_of_the_mat_stands_on_the_card_of_its_day() {
    let mut gutters = 0;
    for (name, job) in jobs() {
        let Some(plan) = &job.programme.pots else { continue };
        let of_day = |day| {
            let text = text_of(&day_card::document(day, &job.worked(), &words()).unwrap());
            let told = text.split("The mat takes ").nth(1).and_then(|rest| rest.split(" kg").next());
            // A pot that lays strips of two days is named on both cards, which say so.
            let shared = text.contains("names another day");
            (told.map_or(0.0, |kg| kg.trim().parse::<f64>().unwrap()), shared)
        };
        let cards: Vec<(f64, bool)> = job.programme.days.iter().map(of_day).collect();
        let all: f64 = plan.pots.iter().map(|pot| pot.resin.as_kg().to_string().parse::<f64>().unwrap()).sum();
        let told: f64 = cards.iter().map(|card| card.0).sum();
        gutters += usize::from(plan.pots.iter().any(|pot| pot.parts.iter().any(|part| part.mark.starts_with('G'))));
        let rounding = 0.05 * cards.len() as f64 + 0.01;
        let shared = cards.iter().any(|card| card.1);
        assert!(told >= all - rounding && (shared || told <= all + rounding), "{name}: {told} of {all} kg");
    }
    assert!(gutters > 0, "no job with a box gutter");
}

/// What is cut from one length of trim is listed on one page: its number stands at the first piece, what is left at the last.
#[test]
fn what_is_cut_from_one_length_is_listed_on_one_page() {
    let mut over = 0;
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        let said = |page: &Page| texts(page).map(|(text, _)| text.words()).collect::<BTreeSet<String>>();
        let lists =
            paper.pages.iter().map(said).filter(|said| ["Start", "End", "Over"].iter().all(|&c| said.contains(c)));
        let lists: Vec<BTreeSet<String>> = lists.collect();
        over += usize::from(lists.len() > 1);
        for bar in job.take_off.profiles.iter().flat_map(|profile| &profile.bars) {
            let whole = |list: &BTreeSet<String>| bar.cuts.iter().all(|mark| list.contains(mark));
            assert!(lists.iter().any(whole), "{name}: {:?} are listed on two pages", bar.cuts);
        }
    }
    assert!(over > 2, "{over} cut lists go on to another page");
}

/// The list of what is cut for one of several roofs names no roof: it never stands before the plan that does.
#[test]
fn no_list_of_one_of_several_roofs_stands_before_its_plan() {
    for file in ["jobs_for_sweep/everything.yaml", "big_jobs/tiny-beside-large.yaml"] {
        let paper = paper(&of_part(MethodPart::Crew, &job(file)));
        let is_mat = |page: &&Page| texts(page).any(|(text, _)| text.words() == "Strip");
        let marks = || paper.pages.iter().zip(0..).flat_map(|(page, n)| page.marks.iter().map(move |mark| (n, mark)));
        let list = marks().filter(|(n, _)| is_mat(&&paper.pages[*n])).find_map(|(n, mark)| match &mark.item {
            Item::Text(text) if text.words() == "Cut, mm" => Some((n, text.y)),
            _ => None,
        });
        let plan = marks().find_map(|(n, mark)| match &mark.item {
            Item::Drawing { area, texts, .. } => {
                let mat = texts.iter().any(|(_, text)| text.words().contains("your way off"));
                mat.then_some((n, area.y))
            }
            _ => None,
        });
        assert!(plan.unwrap() <= list.unwrap(), "{file}: the plan at {plan:?}, its list at {list:?}");
    }
}

/// A board of four corners that is no rectangle is listed with the length of each of its sides.
#[test]
fn a_board_that_tapers_is_listed_with_the_lengths_of_its_sides() {
    let mut listed = BTreeSet::new();
    for (name, job) in jobs() {
        let text = text_of(&of_part(MethodPart::Crew, &job));
        for deck in job.take_off.roofs.iter().filter_map(|roof| roof.deck.as_ref()) {
            for piece in deck.pieces.iter().filter(|p| !p.whole && p.rings[0].len() == 4) {
                let spans = sides(&piece.rings[0]).map(|(a, b)| (a.x - b.x).abs().max((a.y - b.y).abs()));
                let spans: Vec<i64> = spans.collect();
                if spans[0].abs_diff(spans[2]) <= 2 && spans[1].abs_diff(spans[3]) <= 2 {
                    continue;
                }
                let row = format!("\n{}\n", piece.mark);
                let mut cells = text.match_indices(&row).filter_map(|(at, _)| text[at + row.len()..].lines().next());
                let says_all = |cell: &str| {
                    let said: Vec<i64> = cell.split([' ', ',']).filter_map(|word| word.parse().ok()).collect();
                    spans.iter().all(|span| said.iter().any(|n| n.abs_diff(*span) <= 2))
                };
                assert!(cells.any(says_all), "{name}, {}: nowhere {spans:?}", piece.mark);
                listed.insert(name.clone());
            }
        }
    }
    assert!(listed.contains("dormer") && listed.contains("neighbours"), "{listed:?}");
}

/// A man who cuts a plain rectangle finds a kerb in it: what is missing from each board with level sides is listed.
#[test]
fn a_board_that_is_cut_round_an_opening_is_listed_with_what_is_cut_out_of_it() {
    let mut listed = BTreeMap::new();
    for (name, job) in jobs() {
        let text = text_of(&of_part(MethodPart::Crew, &job));
        for deck in job.take_off.roofs.iter().filter_map(|roof| roof.deck.as_ref()) {
            for piece in &deck.pieces {
                let level = piece.rings.iter().all(|ring| sides(ring).all(|(a, b)| a.x == b.x || a.y == b.y));
                let board = Region::of_rings(piece.rings.iter().map(Vec::as_slice)).area();
                let missing = (piece.length * piece.width - board).as_mm2();
                if !level || missing == 0 || piece.whole {
                    continue;
                }
                let rectangle = format!("{} × {} less ", piece.length.as_mm(), piece.width.as_mm());
                let row = format!("\n{}\n{rectangle}", piece.mark);
                let (_, cell) =
                    text.split_once(&row).unwrap_or_else(|| panic!("{name}: nothing less of {}", piece.mark));
                let cell = cell.lines().next().unwrap();
                let area = |cut: &str| {
                    let size: Vec<i64> = cut.split(' ').filter_map(|word| word.parse().ok()).collect();
                    size[0] * size[1]
                };
                assert_eq!(cell.split(" less ").map(area).sum::<i64>(), missing, "{name}, {}: {cell}", piece.mark);
                listed.insert((name.clone(), piece.mark.clone()), cell.to_owned());
            }
        }
    }
    // By hand: row 4 lies from 1770 to 2360 up the kitchen's roof, its first joint is at 1200; the rooflight begins at 1800 and ends
    // at 2800, and ends at 2100.
    let kitchen = listed.get(&("kitchen-extension".to_owned(), "11".to_owned()));
    assert_eq!(kitchen.map(String::as_str), Some("1000 × 330 at front right"));
    assert!(listed.len() > 2, "{listed:?}");
}

/// The dormer was measured with both diagonals, 3062 and 3034 mm, of which the first is laid out; the crew measures against those
/// that are, their corners on whole millimetres. A rectangle has none to tell; the bay has both alike: (1400 + 636) by 636.
#[test]
fn the_diagonals_of_a_roof_that_is_no_rectangle_stand_where_they_are_measured_again() {
    let said = |name: &str| {
        let text = text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request(name))));
        let told = text.lines().find(|line| line.contains("Measure sides and diagonals again")).unwrap().to_owned();
        told.split_once("ring first.").unwrap().1.trim().to_owned()
    };
    let dormer = &demo::work(&demo::request("dormer")).take_off.roofs[0].shape.ring();
    let other = distance(dormer[1], dormer[3]);
    assert!((other.as_mm() - 3034).abs() < 10, "{other}");
    assert_eq!(
        said("dormer"),
        format!("Diagonals: front left to back right 3061 mm, front right to back left {other}.")
    );
    assert_eq!(said("bay"), "Diagonals: front left to back right 2133 mm, front right to back left 2133 mm.");
    assert_eq!(said("kitchen-extension"), "");
}

/// The back of the balcony is three stretches of wall, and the door is in the second.
#[test]
fn of_stretches_of_one_name_the_crew_leaves_by_the_one_with_the_door() {
    let job = demo::work(&demo::request("balcony"));
    let shape = &job.take_off.roofs[0].shape;
    assert!(shape.sides[shape.way_off].sill.is_some(), "{}", shape.sides[shape.way_off].label);
    let text = text_of(&of_part(MethodPart::Crew, &job));
    assert!(text.contains(&format!("at the {}", shape.sides[shape.way_off].label)), "{text}");
}

/// Which gutters come off is said where there are several, and not where there is but one.
#[test]
fn several_gutters_are_named_where_they_come_down() {
    let mut several = 0;
    for (name, job) in jobs().into_iter().filter(|(_, job)| !job.loaded.job.roofs.is_empty()) {
        let roofs = &job.loaded.job.roofs;
        let gutters = |roof: &Roof| -> Vec<String> {
            roof.outline.edges.iter().filter(|edge| edge.gutter.is_some()).map(Edge::label).collect()
        };
        let text = text_of(&of_part(MethodPart::Crew, &job));
        let told: Vec<&str> = text.split("lengths numbered, downpipes capped. Where: ").skip(1).collect();
        let count: usize = roofs.iter().map(|roof| gutters(roof).len()).sum();
        assert_eq!(told.len(), usize::from(count > 1), "{name}");
        for roof in roofs.iter().filter(|_| count > 1) {
            let (bare, name_of) = (told[0].replace("No. ", "No "), roof.name.replace("No. ", "No "));
            let told = bare.split('.').next().unwrap();
            let of_roof = roofs.len() == 1 || told.contains(" of each roof") || told.contains(&name_of);
            assert!(of_roof && gutters(roof).iter().all(|edge| told.contains(edge.as_str())), "{name}: {told}");
        }
        several += usize::from(count > 1);
    }
    assert!(several > 3, "{several}");
}

/// The yard's edge lies 2.60 m up the roof: its gutter stays until the day that opens it, and so does that of the neighbour's roof.
#[test]
fn a_gutter_comes_down_on_the_day_that_opens_its_edge() {
    let down = |name: &str| {
        let job = demo::work(&demo::request(name));
        let text = text_of(&of_part(MethodPart::Crew, &job));
        let told = text.split("downpipes capped. Where: ").nth(1).unwrap();
        (told.chars().take(80).collect::<String>(), job)
    };
    let (told, garage) = down("garage-utility");
    let shape = &garage.take_off.roofs[0].shape;
    let yard = shape.sides.iter().find(|side| side.label == "yard").unwrap();
    let up = Length::mm(yard.from.y.max(yard.to.y));
    let opens = garage.programme.stops.iter().find(|stop| stop.opens.iter().any(|(from, to)| *from <= up && up < *to));
    let day = opens.unwrap().first_day;
    assert!(day > 1 && told.starts_with(&format!("front on day 1; yard on day {day}. ")), "{day}: {told}");
    let (told, neighbours) = down("neighbours");
    let opens = |roof: &str| neighbours.programme.stops.iter().find(|stop| stop.roof == roof).unwrap().first_day;
    assert!(opens("No. 12") != opens("No. 14"));
    assert!(told.starts_with("front of each roof, on the day that opens it. "), "{told}");
}

/// The chart has the gutter back before the flashing; so has the text.
#[test]
fn the_gutter_is_told_before_the_flashing() {
    let mut both = 0;
    for (name, job) in jobs() {
        let text = text_of(&of_part(MethodPart::Crew, &job));
        let (gutter, flashing) = (text.find("Refit to a fall on new brackets"), text.find("Chase the bed joint"));
        if let (Some(gutter), Some(flashing)) = (gutter, flashing) {
            assert!(gutter < flashing, "{name}");
            both += 1;
        }
    }
    assert!(both > 3, "{both}");
}

/// Where the crew is on site after the topcoat is hard, gutters go up then; where that takes a day more, how the wet edge is kept is told.
#[test]
fn no_gutter_goes_up_under_a_wet_topcoat_where_the_crew_comes_after_it() {
    let (mut after, mut under) = (0, 0);
    let small = "jobs_for_sweep/parapet.yaml";
    for (name, job) in jobs().into_iter().chain([(small.to_owned(), job(small))]) {
        let programme = &job.programme;
        let on = |is: &dyn Fn(&Labour) -> bool| -> Option<u32> {
            let does = |day: &&Day| day.work.iter().any(|(i, _)| is(&programme.work[*i]));
            programme.days.iter().rfind(does).map(|day| day.number)
        };
        let Some(gutter) = on(&Labour::refits_gutter) else { continue };
        let coat = on(&|labour| labour.operation == Operation::Topcoat).unwrap();
        let text = text_of(&of_part(MethodPart::Crew, &job));
        let told = text.contains("its brackets before the coat");
        // What waits two days for a coat with aggregate would take a day of its own.
        assert!(told == (gutter == coat) && (!told || name == small), "{name}: {gutter} {coat}");
        after += usize::from(gutter > coat);
        under += usize::from(told);
    }
    assert!(after > 3 && under > 0, "{after} {under}");
}

/// What was reckoned before the job is no word on the day.
#[test]
fn the_mix_card_marks_what_was_planned_and_never_says_today() {
    let text = text_of(&of_part(MethodPart::Crew, &job("jobs_for_sweep/porch.yaml")));
    assert!(!text.contains("today ▶"));
    let balcony = demo::work(&demo::request("balcony"));
    assert!(text_of(&of_part(MethodPart::Crew, &balcony)).contains("planned ▶"));
}

#[test]
fn no_two_sentences_of_the_statement_stand_two_spaces_apart() {
    for (name, job) in jobs() {
        let text = text_of(&of_part(MethodPart::Whole, &job));
        let wide: Vec<&str> = text.lines().filter(|line| line.contains(".  ")).collect();
        assert!(wide.is_empty(), "{name}: {wide:?}");
    }
}

/// The sections of edges stand row by row: the first of them fill the page of the bandage, where it has room for them.
#[test]
fn the_first_sections_of_edges_fill_the_page_of_the_bandage() {
    let shares = |job: &Demo| {
        let paper = paper(&of_part(MethodPart::Crew, job));
        let page = |title: &str| paper.outline.iter().find(|entry| entry.title == title).map(|entry| entry.page);
        page("Bandage").is_some() && page("Edges as built, trim and laminate drawn thicker") == page("Bandage")
    };
    let sweep = ["parapet", "small", "skew", "tied", "wedge"].map(|name| job(&format!("jobs_for_sweep/{name}.yaml")));
    let all = jobs().into_iter().map(|(_, job)| job).chain(sweep);
    let sharing = all.filter(|job| shares(job)).count();
    assert!(sharing >= 2, "{sharing} statements");
}

/// Every strip of mat is laid on one day and no other, where the days are divided by strips.
#[test]
fn the_strips_of_the_days_are_those_of_the_mat_once_each() {
    for (name, job) in jobs().into_iter().filter(|(_, job)| job.programme.days.iter().any(|day| !day.strips.is_empty()))
    {
        let mut laid: Vec<(String, String)> = Vec::new();
        for strip in job.programme.days.iter().flat_map(|day| &day.strips) {
            laid.push((strip.roof.clone(), strip.mark.clone()));
        }
        let all = job.take_off.roofs.iter().flat_map(|roof| {
            let linings = roof.box_gutters.iter().flat_map(|gutter| &gutter.mat).map(|piece| &piece.mark);
            let marks = roof.mat.pieces.iter().map(|piece| &piece.mark).chain(linings);
            marks.map(|mark| (roof.shape.name.clone(), mark.clone()))
        });
        let all: BTreeSet<(String, String)> = all.collect();
        assert_eq!(laid.len(), all.len(), "{name}");
        assert_eq!(laid.into_iter().collect::<BTreeSet<_>>(), all, "{name}");
    }
}

/// The ticks of the hold points of a statement, hold by hold: what stands between the title and the fields to sign in.
fn holds(text: &str) -> Vec<String> {
    text.split("Before you start").skip(1).map(|hold| hold.split("\nTime\n").next().unwrap().to_owned()).collect()
}

/// What is looked at before anybody works on a roof stands in the first hold point, whichever that is.
#[test]
fn the_first_hold_point_of_every_job_has_edges_rooms_cables_openings_and_asbestos() {
    let mut opened = 0;
    for (name, job) in jobs() {
        let text = text_of(&of_part(MethodPart::Crew, &job));
        let first = &holds(&text)[0];
        let new = !job.loaded.job.roofs.is_empty();
        let always = if new {
            vec![
                "ground below roped off, rooms below empty",
                "Cables, flues and aerials",
                "Sheet on site",
                "Photographs",
            ]
        } else {
            vec!["Edges guarded", "stand on boards laid across its joists"]
        };
        for words in always {
            assert!(first.contains(words), "{name}: {words}: {first}");
        }
        assert_eq!(first.matches("rooms below empty").count(), 1, "{name}");
        // It holds again where the cover of a new kerb is taken out, and nowhere else.
        let again = text.matches("Topcoat hard, rooms below empty").count();
        assert_eq!(again, usize::from(name == "neighbours"), "{name}");
        assert_eq!(text.matches("rooms below empty").count(), 1 + again, "{name}");
        let gutter = job.loaded.job.roofs.iter().flat_map(|r| &r.outline.edges).any(|e| e.gutter.is_some());
        assert_eq!(first.contains("Gutter water tested"), gutter, "{name}");
        let old = matches!(job.loaded.job.site.built_before_2000, Some(Answer::Yes | Answer::NotKnown));
        let sure = job.loaded.job.gravest_asbestos() == Answer::No;
        assert_eq!(first.contains("asbestos answered “no”"), new && old && sure, "{name}: {first}");
        // What is still to be cut guards nobody before there is anything to tick.
        let cut: Vec<String> = job.take_off.roofs.iter().flat_map(|r| r.built_openings(false)).collect();
        let holes = job.take_off.roofs.iter().flat_map(|r| &r.shape.holes).filter(|h| h.is_opening()).map(|h| &h.name);
        let holes = holes.filter(|name| !cut.contains(name));
        let old = job.take_off.old_roofs.iter().flat_map(|r| &r.openings).filter(|o| o.is_opening()).map(|o| &o.name);
        for hole in holes.chain(old) {
            let marked = first.split("ragile").nth(1).unwrap_or_else(|| panic!("{name}: {hole}: {first}"));
            assert!(marked.contains(hole) && marked.contains("HOLE BELOW"), "{name}: {marked}");
            opened += 1;
        }
    }
    assert!(opened > 2, "{opened}");
}

/// A pipe that lands on a joist is looked for before anything is cut, by the number of its joist: joists lie every 400 mm from the
/// front of the garage, so that the one at 5.20 m is the fourteenth. The list of firrings goes by joists, and names the one that takes none.
#[test]
fn a_pipe_on_a_joist_and_a_joist_without_a_firring_are_told_by_their_numbers() {
    let garage = demo::work(&demo::request("garage-utility"));
    let text = text_of(&of_part(MethodPart::Crew, &garage));
    let first = &holds(&text)[0];
    assert!(
        first.contains("By the plan the soil pipe stands on joist 14 from the front: look before cutting, ring"),
        "{first}"
    );
    assert_eq!(text.matches("stands on joist").count(), 1);
    let list = text.split("Which joist takes which").nth(1).unwrap();
    assert!(list.contains("Joist 1: no firring; packed up 2 mm."), "{list}");
    let [second, last] = ["12", "142"].map(|deep| list.find(&format!("\n{deep}\n")).unwrap());
    assert!(second < last, "{list}");
}

/// All depths of firrings rest on level joists: that is measured first, and the fall where it can be, over the firrings. Where the
/// fall that is there stays, it is measured before.
#[test]
fn joists_are_levelled_before_a_firring_is_fixed_and_the_fall_measured_over_it() {
    let crew = |name: &str| text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request(name))));
    let kitchen = crew("kitchen-extension");
    let at = |said: &str| kitchen.find(said).unwrap_or_else(|| panic!("{said}: {kitchen}"));
    assert!(
        at("tops measured before a firring is fixed: level to 5 mm both ways") < at("Fix the firrings"),
        "{kitchen}"
    );
    assert!(at("Fix the firrings") < at("every joist falls 1:80 or more to the low edge"), "{kitchen}");
    at("Fall over the firrings, 1 in");
    assert!(!kitchen.contains("Fall measured: at least"), "{kitchen}");
    let dormer = crew("dormer");
    assert!(dormer.contains("Fall measured: at least") && !dormer.contains("1:80 or more"), "{dormer}");
}

/// An operation, its days, and its rows, each with whether it is signed.
type DayBoxes = (String, Vec<u32>, Vec<(String, bool)>);

/// The boxes of days of the crew's sheets, under the heading of the operation that they stand in.
fn boxes_of_days(blocks: &[Block], under: &mut String, found: &mut Vec<DayBoxes>) {
    for block in blocks {
        match block {
            Block::Heading { level: 2, text } => *under = text.iter().map(|span| span.text.as_str()).collect(),
            Block::Days(boxes) => {
                let days = boxes.days.iter().map(|day| day.trim_start_matches("Day ").parse().unwrap());
                let rows = boxes.rows.iter().map(|row| (row.words.clone(), row.signed));
                found.push((under.clone(), days.collect(), rows.collect()));
            }
            other => other.within().into_iter().for_each(|blocks| boxes_of_days(blocks, under, found)),
        }
    }
}

/// What is done on several days has a box for each of them, and for none on which nothing of it is done: before it is begun, with the
/// initials of whoever looked, and where it is signed. What was measured has its box beside them.
#[test]
fn what_is_done_on_several_days_is_checked_and_signed_day_by_day() {
    let mut several = BTreeSet::new();
    for (name, job) in jobs() {
        let mut boxes = Vec::new();
        boxes_of_days(&of_part(MethodPart::Crew, &job).blocks, &mut String::new(), &mut boxes);
        // One colour has one batch, which is written down once.
        let colours: BTreeSet<&str> = job.loaded.job.topcoats().map(|coat| coat.colour.as_str()).collect();
        let text = text_of(&of_part(MethodPart::Crew, &job));
        assert_eq!(text.contains("\nBatch, "), colours.len() > 1, "{name}");
        let programme = &job.programme;
        let of = |operation: Operation| -> Vec<u32> {
            let does = |d: &&Day| d.work.iter().any(|(i, _)| programme.work[*i].operation == operation);
            programme.days.iter().filter(does).map(|d| d.number).collect()
        };
        for (title, operation) in [
            ("Strip", Operation::Strip),
            ("Prepare", Operation::Prepare),
            ("Deck", Operation::Deck),
            ("Insulation", Operation::Insulate),
            ("Trims", Operation::Trims),
            ("Bandage", Operation::Bandage),
            ("Laminate", Operation::Laminate),
            ("Cut back", Operation::Repair),
            ("Patches", Operation::Repair),
            ("Wash", Operation::Wash),
            ("Abrade", Operation::Renew),
            ("Topcoat", Operation::Topcoat),
            ("Finish", Operation::Finish),
        ] {
            let mut days = of(operation);
            if operation == Operation::Bandage && name == "parapet" {
                // Its box gutter is bandaged before its roof is begun.
                days.insert(0, 1);
            }
            let here: Vec<_> = boxes.iter().filter(|(under, ..)| under.starts_with(title)).collect();
            let counts = if days.len() > 1 { here.len() >= 2 } else { here.is_empty() };
            assert!(counts, "{name}, {title}: {days:?}: {here:?}");
            assert!(here.iter().all(|(_, of, _)| *of == days), "{name}, {title}: {days:?}: {here:?}");
            let Some((first, last)) = here.first().zip(here.last()) else { continue };
            assert!(
                first.2.iter().any(|(row, signed)| *signed && row.ends_with(": initials")),
                "{name}, {title}: {first:?}"
            );
            assert!(last.2.iter().any(|(_, signed)| *signed), "{name}, {title}: {last:?}");
            several.insert(title);
        }
    }
    assert!(several.len() > 8, "{several:?}");
}

/// Where a day's line leaves the old roof well below the new one a sheet laid down on it holds the rain: it goes over timbers, and the
/// firm is told of it once. By hand: the garage's last line with old roof behind it lies 3.30 m up a fall of 1:40, 83 mm of firring and 18 mm of deck under 178 mm
/// of build-up, and 4.25 m up 106 mm: of the boards that cross that one only some reach the high edge, and old roof lies beside them. The kitchen's
/// boards end 2.36 m up its own, 59 mm on a toe of 6 under 18 mm of deck; on both the new boards take the place of as much of old ones. Of the
/// neighbours' roofs one is closed in a day, and the other, new on bare joists, has its boards 1.18 m up: 30 mm on a toe of 6 under 18 mm of deck.
#[test]
fn a_warm_roof_of_several_days_is_sheeted_over_timbers() {
    for (name, step) in [
        ("garage-utility", Some("285 mm")),
        ("kitchen-extension", Some("65 mm")),
        ("neighbours", Some("54 mm")),
        ("bay", None),
    ] {
        let job = demo::work(&demo::request(name));
        let text = text_of(&of_part(MethodPart::Crew, &job));
        let told = step.is_some_and(|step| {
            text.contains(&format!("what lies beyond the line is up to {step} below the new roof"))
        });
        assert_eq!(told, step.is_some(), "{name}: {text}");
        assert_eq!(text.contains("one every 600 mm (firrings and battens will do)"), step.is_some(), "{name}");
        let bare = text.contains("Firrings that go on past today’s boards over bare joists stay whole");
        assert_eq!(bare, name == "neighbours", "{name}: {text}");
        let noted = job.programme.notices.iter().filter(|n| n.fault.contains("is carried over timbers"));
        let noted: Vec<_> = noted.map(|n| n.level).collect();
        // The crew copes: it is noted once, and nobody has to decide on it.
        assert_eq!(noted, step.map(|_| Level::Assumed).into_iter().collect::<Vec<_>>(), "{name}");
        assert!(!text.contains("Strip only what you can close today"), "{name}");
    }
}

/// A strip of vapour layer is wider than what a day insulates: the sheet and the card of each day that ends at a line say what becomes of
/// the rest of it.
#[test]
fn what_of_a_vapour_layer_goes_past_the_days_line_is_rolled_back_onto_boards() {
    let rolled = "is rolled back onto today’s boards, tied, kept dry under the sheet";
    let garage = demo::work(&demo::request("garage-utility"));
    let text = text_of(&of_part(MethodPart::Crew, &garage));
    assert!(text.contains(rolled) && text.contains("Cut instead, 150 mm of it stays past the insulation"), "{text}");
    for day in &garage.programme.days {
        let card = text_of(&day_card::document(day, &garage.worked(), &words()).unwrap());
        let ends_at_a_line = |stop: &Stop| {
            let over = garage.take_off.roofs.iter().find(|roof| roof.shape.name == stop.roof).unwrap().over.as_ref();
            stop.day == day.number && stop.divides_roof() && over.is_some_and(|over| !over.vapour.is_empty())
        };
        assert_eq!(card.contains(rolled), garage.programme.stops.iter().any(ends_at_a_line), "{}: {card}", day.number);
    }
    let kitchen = text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request("kitchen-extension"))));
    assert!(!kitchen.contains(rolled), "it has none");
}

/// What the steps ask for is on the van: boards to stand on where joists lie bare, props and what carries the sheet where trims go on past
/// a day's line, packers where a joist is too low for the thinnest firring.
#[test]
fn the_tools_name_what_the_steps_of_bare_joists_and_open_nights_ask_for() {
    let said = |name: &str| text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request(name))));
    let kitchen = said("kitchen-extension");
    let night = "night sheet (blocks, wall batten, screws, plugs, bit), hammer, boards to stand on, props";
    assert!(kitchen.contains(night), "{kitchen}");
    let bay = said("bay");
    assert!(bay.contains("driver, hammer, boards to stand on") && !bay.contains("wall batten"), "{bay}");
    assert!(!said("dormer").contains("boards to stand on"), "its old deck stays");
    let garage = said("garage-utility");
    assert!(garage.contains("driver, hammer, packers"), "{garage}");
    let packed = "Joist 1 takes packers of 2 mm: in place of a firring, one under every fixing of the boards.";
    assert!(garage.contains(packed), "{garage}");
    assert!(!kitchen.contains("packers"), "{kitchen}");
}

/// Off a roof between two parapets one goes over a wet top; where the last strip lies along the whole edge, by its end that has none.
#[test]
fn the_way_off_between_parapets_is_clear_of_a_wet_top() {
    let request = demo::request("parapet");
    let text = String::from_utf8(request.bytes.clone()).unwrap();
    let left = text.find("      left: #").unwrap();
    let bare =
        format!("{}      left: {{finish: raised}}\n{}", &text[..left], &text[text.find("    falls_to").unwrap()..]);
    for (text, words) in [
        (text, "on the right, over the parapet, on a board clear of its wet top."),
        (bare.replace("way_off: right", "way_off: back"), "at the back, by a ladder at its left end."),
    ] {
        let job = demo::work(&wetout::job_file::Request { bytes: text.into_bytes(), ..demo::request("parapet") });
        let said = text_of(&of_part(MethodPart::Crew, &job));
        let way = said.split("Way off. ").nth(1).unwrap().split("Work towards").next().unwrap();
        assert!(way.contains(words), "{way}");
    }
}

/// A roof of one strip is told of no strip below another; one whose deck is sealed is told of that before the mat.
#[test]
fn strips_are_told_as_many_as_there_are_on_board_that_is_sealed_first() {
    let said = |file: &str| text_of(&of_part(MethodPart::Crew, &job(file)));
    let (tiny, many) = (said("big_jobs/tiny-roof.yaml"), said("big_jobs/twelve-roofs.yaml"));
    assert!(tiny.contains("The crew leaves at the front.") && !tiny.contains("One strip."), "{tiny}");
    for words in ["Side laps", "order of their list", "none begun on one roof", "lowest first"] {
        assert!(!tiny.contains(words) && many.contains(words), "{words}");
    }
    assert!(many.contains("Each piece comes whole out of a roll") && !many.contains("whole out of one roll"), "{many}");
    for text in [&tiny, &many] {
        let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}: {text}"));
        let strip = if text == &tiny { "the strip" } else { "each strip" };
        let sealed = format!("Seal the bare board just ahead of {strip}: 0.15 kg/m²");
        assert!(at(&sealed) < at("Lay the mat in it"));
    }
    for (of_one, of_several) in [
        ("The strip comes whole out of a roll", "Each piece comes whole"),
        ("the strip to cut", "strips to cut"),
        ("cut the strip dry.", "cut every strip dry"),
        ("The strip takes", "The strips take"),
        ("Where the board goes", "Where each board goes"),
        ("short of the wall.", "short of walls."),
        ("Upstand at the wall", "Upstand at walls"),
        ("Drip edge: 2 layers", "Drip edges: 2 layers"),
    ] {
        assert!(tiny.contains(of_one) && !tiny.contains(of_several), "{of_one}: {tiny}");
        assert!(!many.contains(of_one), "{of_one}: {many}");
    }
    assert!(tiny.contains("a pack on the joist, screwed through its side"), "{tiny}");
}

/// Where a deck on firrings or insulation stands well above the old roof, or the bare joists, behind the line of the night, crew and office
/// are told; where nothing rises, neither is.
#[test]
fn no_water_is_held_behind_a_deck_that_rises() {
    let (mut over_timbers, mut flat) = (0, 0);
    for (name, job) in jobs() {
        let divided = job.programme.stops.iter().any(|stop| !stop.whole_roof);
        let rises = job.take_off.works.has(wetout::works::WorkKind::Firrings)
            || job.take_off.roofs.iter().any(|roof| roof.over.is_some());
        let said = text_of(&of_part(MethodPart::Crew, &job)).contains("a sheet on it would hold the rain");
        let noted = job.programme.notices.iter().filter(|n| n.fault.contains("is carried over timbers")).count();
        assert_eq!(said, noted > 0, "{name}");
        assert!(!said || divided && rises, "{name}");
        over_timbers += usize::from(said);
        flat += usize::from(!said);
    }
    assert!(over_timbers > 2 && flat > 0, "{over_timbers} {flat}");
}

/// Where strips run up the fall the old roof lies beside the new one: timbers from the high edge would cover nothing of it.
#[test]
fn a_roof_that_is_laid_from_end_to_end_is_sheeted_from_beside_it() {
    let crew = |job: &Demo| text_of(&of_part(MethodPart::Crew, job));
    let (forward, beside) = ("wall batten at the high edge", "from a row of blocks beyond all that is bare");
    let many = crew(&job("big_jobs/twelve-roofs.yaml"));
    assert!(many.contains(forward) && many.contains(beside), "{many}");
    assert!(
        many.contains(
            "Roof 10 over the workshop: strips run up the fall, so the old roof lies beside the new one, up to"
        )
    );
    let kitchen = demo::request("kitchen-extension");
    let text = String::from_utf8(kitchen.bytes.clone()).unwrap();
    assert!(text.contains("way_off: left"), "{text}");
    let turned = text.replace("way_off: left", "way_off: front");
    let up = crew(&demo::work(&wetout::job_file::Request { bytes: turned.into_bytes(), ..kitchen.clone() }));
    assert!(up.contains(beside) && !up.contains(forward), "{up}");
    let along = crew(&demo::work(&kitchen));
    assert!(along.contains(forward) && !along.contains(beside), "{along}");
}

/// Twelve roofs' battens are found by the roof, in a table; those of one or two are told in the step.
#[test]
fn the_battens_of_many_roofs_are_listed_by_roof() {
    let many = text_of(&of_part(MethodPart::Crew, &job("big_jobs/twelve-roofs.yaml")));
    let (_, list) = many.split_once("\nBattens to cut\n").unwrap();
    let close = |text: &str| text.replace('\u{a0}', " ");
    for roof in 1..=12 {
        assert!(list.contains(&format!("\nRoof {roof}\n4.80 m\n")), "{roof}: {list}");
    }
    assert!(!many.contains("Battens in mm, cut in this order"), "{many}");
    // Roof 10, 6.85 by 3.99 m: two layers in front, their joints 400 mm apart at least; the sides end behind them, 50 mm shorter.
    assert!(close(list).contains("front 2970 + 3880, 920 + 4800 + 1130; right 3540 + 400; left 3940"), "{list}");
    // Two layers have their joints near one place but where one is turned: of the wedge's front 4600 and 4400 mm from its end, or 600.
    let wedge = text_of(&of_part(MethodPart::Crew, &job("jobs_for_sweep/wedge.yaml")));
    assert!(close(&wedge).contains("front 4600 + 400, 4400 + 600 from the other end"), "{wedge}");
    let one = text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request("kitchen-extension"))));
    assert!(one.contains("Battens in mm, cut in this order") && !one.contains("Battens to cut"), "{one}");
}

/// Words of a cold deck do not stand in the steps of a warm one, and what stands in a box gutter is named where that is built.
#[test]
fn each_layer_is_told_what_lies_on_it_and_a_box_gutter_is_first() {
    let said = |name: &str| text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request(name))));
    let warm = said("garage-utility");
    let at = |text: &str, words: &str| text.find(words).unwrap_or_else(|| panic!("{words}: {text}"));
    assert!(at(&warm, "Mark the joints' line") > at(&warm, "Snap the joists' lines"), "{warm}");
    assert!(warm.contains("Deck, insulation and boards over it signed."), "{warm}");
    let walled = said("parapet");
    assert!(
        walled.contains("W1, W4, D1, D4, L1, L3 and L5") && walled.contains("tops under stones are levelled on day 1")
    );
    assert!(at(&walled, "Box gutter first, as under “Box gutter”: bearers") < at(&walled, "Row 1 "));
    assert!(at(&walled, "Roof outlets") < at(&walled, "Fix in this order"), "{walled}");
    assert!(walled.contains("Box gutter first. Cut in trims"), "{walled}");
}

/// What is washed and ground off an old laminate, and treated board let into it, go somewhere too; water is poured from the ladder.
#[test]
fn the_waste_of_an_old_roof_has_its_wash_water_and_its_timber() {
    let job = demo::work(&demo::request("patch-and-coat"));
    let text = text_of(&of_part(MethodPart::Whole, &job));
    for words in ["Wash water with cleaner, grinding sludge", "Treated timber", "Topcoat hard: water from the ladder"] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let new = text_of(&of_part(MethodPart::Whole, &demo::work(&demo::request("bay"))));
    assert!(!new.contains("Wash water") && !new.contains("water from the ladder"), "{new}");
    assert!(new.contains("at 67.5° to their length") && new.contains("at 67.5° to its length"), "{new}");
    let lift = new.split("Heaviest single lift: ").nth(1).unwrap();
    let (most, others) = lift.split_once(" kg too: ").unwrap();
    assert!(!others.split(". Two people").next().unwrap().contains(most.split(';').next().unwrap()), "{lift}");
    // Every figure of the surfaces has its tenth.
    let table = job.programme.least_surfaces.iter().flat_map(|row| &row.least);
    for (_, least) in table {
        assert!(text.contains(&format!("{least:.1}").replace('-', "−")), "{least}");
    }
}

/// A dormer whose boards reach under the tiles on the first day, while its last strip comes on the second: whoever signs for the
/// first day's stripping signs for the tiles too.
#[test]
fn tiles_that_come_off_for_the_boards_stand_on_a_card() {
    let dormer = "reference: 26-915\ntitle: Dormer\nprepared: 2026-11-25\nstart: 2027-04-12\nasbestos: no\nflashing: us\n\
        customer: {name: A. Householder, address: [1 Example Street, Anytown]}\n\
        site: {address: same, eaves_height: 6.1 m, built_before_2000: no}\nstrip: {covering: felt, tip: skip}\n\
        conditions: {air: 9 C to 15 C, humidity: 72 %, surface: 10 C}\n\
        roofs:\n  - name: Dormer\n    outline: 4.60 m x 2.30 m\n    edges:\n      front: {finish: drip}\n      right: raised\n\
        \x20     back: {finish: step, under: {covering: plain tiles, pitch: 40°, by: us}}\n      left: raised\n\
        \x20   falls_to: front\n    fall: existing 1:50\n    joists: {run: front to back, spacing: 400 mm, section: 47 × 170 mm}\n\
        \x20   measured_to: fascia\n    way_off: right\n    deck: {action: overlay, board: osb3-11}\n\
        \x20   laminate: {mat: 450, layers: 1}\n    topcoat: {colour: brick red, finish: smooth}\n";
    let job = demo::work(&crate::support::asked(dormer));
    let cards: Vec<String> = cards_of_job(&job).iter().map(|text| text.to_lowercase()).collect();
    let step = job.programme.stops.iter().filter(|stop| !stop.box_gutters).map(|stop| stop.day).max().unwrap();
    assert!(step > 1, "one day opens all of it: {:?}", job.programme.stops);
    let lifted: Vec<usize> = (0..cards.len()).filter(|n| cards[*n].contains("lift tiles or slates")).collect();
    assert_eq!(lifted, [0], "{cards:#?}");
}

fn cards_of(name: &str) -> Vec<String> {
    cards_of_job(&demo::work(&demo::request(name)))
}

/// Each gutter is told on the card of the day that takes it down, and on no other.
#[test]
fn a_gutter_comes_down_on_one_card() {
    for (name, down) in [("kitchen-extension", vec![(1, "front")]), ("garage-utility", vec![(1, "front"), (3, "yard")])]
    {
        let cards = cards_of(name);
        let told = cards.iter().zip(1..).filter(|(card, _)| card.contains("gutter and brackets down:"));
        let told: Vec<(usize, &str)> = told
            .map(|(card, day)| (day, card.split("brackets down: ").nth(1).unwrap().split('.').next().unwrap()))
            .collect();
        assert_eq!(told, down, "{name}");
    }
    assert!(cards_of("parapet").iter().all(|card| !card.contains("gutter and brackets down:")), "a box gutter stays");
}

/// Of the parapet a box gutter is lined first: what hung over it is off before, and the wall at the back is bared on its own day.
#[test]
fn the_parapet_of_a_box_gutter_is_bare_before_it_is_lined() {
    let cards = cards_of("parapet");
    let lifted = |card: &String| card.to_lowercase().contains("old flashing");
    let days: Vec<usize> = (0..cards.len()).filter(|n| lifted(&cards[*n])).collect();
    let lined = cards.iter().position(|card| card.contains("G11")).unwrap();
    assert_eq!(days, [lined, 3], "{cards:#?}");
    assert!(cards[lined].contains("the box gutter: arrises and joints, not the lip"), "{}", cards[lined]);
    // The lip comes with the first of the deck behind it.
    let stops = demo::work(&demo::request("parapet")).programme.stops;
    let deck = stops.iter().filter(|stop| !stop.box_gutters).map(|stop| stop.day as usize - 1).min().unwrap();
    let lips: Vec<usize> = (0..cards.len()).filter(|n| cards[*n].contains("the lip of the box gutter")).collect();
    assert_eq!(lips, [deck], "{cards:#?}");
    assert!(deck > lined);
}

/// Holes are closed on the day that cuts them; the opening up a slope is sheeted from the day that may open it until tiles lie again.
#[test]
fn a_card_tells_what_must_not_stay_open() {
    let cut = "Every hole that is cut today is dried, patched and closed today";
    let patched = cards_of("patch-and-coat");
    assert!(patched[0].contains(cut) && patched.iter().skip(1).all(|card| !card.contains(cut)), "{patched:#?}");
    let slope = "Where the slope above is open";
    let told: Vec<bool> = cards_of("dormer").iter().map(|card| card.contains(slope)).collect();
    assert_eq!(told, [true, true, false]);
    assert!(cards_of("kitchen-extension").iter().all(|card| !card.contains(slope)));
}

fn cards_of_job(job: &Demo) -> Vec<String> {
    job.programme.days.iter().map(|day| text_of(&day_card::document(day, &job.worked(), &words()).unwrap())).collect()
}

/// What is sold is on a card: the sill of a door where it is sealed, loose grains where some are strewn; a sheet leaves a pipe open.
#[test]
fn cards_have_the_sills_of_doors_loose_grains_and_pipes_that_stay_open() {
    let (balcony, kitchen, garage) = (cards_of("balcony"), cards_of("kitchen-extension"), cards_of("garage-utility"));
    assert_eq!(cards_with(&balcony, "water poured against it"), [balcony.len()], "on the last");
    assert!(cards_with(&kitchen, "water poured against it").is_empty());
    assert!(!cards_with(&balcony, "loose grains are taken up").is_empty());
    assert!(cards_with(&kitchen, "loose grains are taken up").is_empty());
    assert!(!cards_with(&garage, "soil pipe: the sheet goes round it").is_empty(), "{garage:?}");
    assert!(cards_with(&garage, "soil pipe: the sheet goes over").is_empty());
}

/// The numbers of the cards that hold some words.
fn cards_with(cards: &[String], said: &str) -> Vec<usize> {
    (1..=cards.len()).filter(|day| cards[day - 1].contains(said)).collect()
}

/// Mat does not bond to topcoat: where a coat comes before the strips that lap what is coated, the card says when, and how much of the
/// edge stays bare. A lap is 50 mm, and 50 mm more stay bare.
#[test]
fn a_card_says_what_stays_bare_of_a_coat_before_strips() {
    let twelve = cards_of_job(&job("big_jobs/twelve-roofs.yaml"));
    let first = "Boards, trims and bandage, then the coat, 100 mm bare along the edge that the next strip laps: mat does not bond \
        to topcoat. Then the strips, from bare deck";
    assert_eq!(cards_with(&twelve, first), [4, 24, 25, 26, 29], "{}", twelve[3]);
    assert!(twelve[3].contains("Roof 3, strips 1 to 4 (before the day’s strips)"), "{}", twelve[3]);
    assert!(!twelve[0].contains("(before the day’s strips)"), "{}", twelve[0]);
    let tiny = cards_of_job(&job("big_jobs/tiny-beside-large.yaml"));
    assert!(tiny[4].contains("on the 100 mm left bare along the edge, clear of the coat"), "{}", tiny[4]);
    assert!(!tiny[3].contains("left bare along the edge"), "{}", tiny[3]);
}

/// The rooflight of No. 14 is fitted on the fifth day, and joists are cut for it on the second: three nights its hole is closed by hand.
#[test]
fn a_card_says_that_a_new_kerb_is_boarded_over_until_its_cover_is_on() {
    let kerb = "New kerb, until what goes on it is on: boarded over below its top, screwed, marked HOLE BELOW; sheeted before you leave.";
    let cards = cards_of("neighbours");
    assert_eq!(cards_with(&cards, kerb), [2, 3, 4], "{}", cards[1]);
    assert!(cards_of("kitchen-extension").iter().all(|card| !card.contains("HOLE BELOW; sheeted")));
}

/// A strip that takes two days is decked on the first, which laminates nothing: its sheet has no laminate to fall onto.
#[test]
fn a_card_of_a_day_that_decks_alone_tells_no_laminate() {
    let cards = cards_of_job(&job("big_jobs/tiny-beside-large.yaml"));
    let sheet = "The sheet falls forward over all of the bare deck, onto the laminate below it or down over the low edge, sides down";
    let decked = "Hall: boards from low edge to 1.00 m up, no laminate today; boards reach 1.18 m";
    assert!(cards[0].contains(decked) && cards[0].contains(sheet), "{}", cards[0]);
    assert!(!cards[0].contains("laminate low edge") && !cards[0].contains("forward onto the laminate"), "{}", cards[0]);
    assert!(cards[1].contains("Hall: laminate low edge to 1.00 m up, 13.6 m²; boards reach 1.18 m"), "{}", cards[1]);
    assert!(cards[1].contains("The sheet falls forward onto the laminate, sides down"), "{}", cards[1]);
    assert_eq!(cards_with(&cards, "no laminate today"), [1, 3, 7, 10, 13, 17]);
}

/// Days off are told on the card of the day before them, whatever is done on it, and of the method statement under that day.
#[test]
fn the_card_before_a_weekend_says_who_looks_after_the_sheet() {
    let tiny = job("big_jobs/tiny-beside-large.yaml");
    let cards = cards_of_job(&tiny);
    assert_eq!(cards_with(&cards, "agree who looks after that"), [5, 10, 15]);
    let coated = "The roof lies under its sheet until Monday 25 January 2027: agree who looks after that.";
    assert!(cards[4].contains(coated), "{}", cards[4]);
    let bare = "Hall: the bare deck lies under its sheet until Monday 1 February 2027: agree who looks after that.";
    assert!(cards[9].contains(bare) && !cards[10].contains("lies under its sheet"), "{} {}", cards[9], cards[10]);
    let crew = text_of(&of_part(MethodPart::Crew, &tiny));
    assert!(crew.contains("Day 5: Hall: the roof lies under its sheet until Monday 25 January 2027"), "{crew}");
    assert!(crew.contains(&format!("Day 10: {bare}")), "{crew}");
}

/// Each night by itself: the garage's lines leave the old roof further below from day to day, as its firrings deepen; behind the last one
/// boards lie up to the high edge, and what is sawn off stands 178 mm over them. By hand, at 1:40 on a toe of 6 mm under 18 mm of deck: 3.30 m up
/// are 83 mm, 261 with the build-up, since old boards as thick as the deck come up, and 4.25 m up 106 and 284.5, which rounds up:
/// there some of the boards end 4.45 m up, beside others that reach the high edge.
#[test]
fn a_card_tells_the_step_and_the_cuts_of_its_own_night() {
    let garage = demo::work(&demo::request("garage-utility"));
    let cards = cards_of("garage-utility");
    let (build_up, deck, lifted) = (178, 18, 18);
    let mut steps = Vec::new();
    for (card, day) in cards.iter().zip(1..) {
        let Some(stop) = garage.programme.stops.iter().find(|s| s.day == day && s.divides_roof()) else { continue };
        let told: i64 = card.split("is up to ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
        let line = stop.opens.iter().map(|(_, to)| to.as_mm()).max().unwrap();
        // Where boards of one row end that others pass, old roof lies beside them.
        let begun = boards_of(&garage.take_off.roofs[0]).filter(|(from, _)| *from < line as f64 - 2.0);
        let is_left =
            begun.filter(|(_, to)| *to > line as f64 - 2.0).any(|(_, to)| to < stop.extent.as_mm() as f64 - 100.0);
        let at_line = (6.0 + line as f64 / 40.0).round() as i64 + deck - lifted + build_up;
        let wanted = if is_left { at_line } else { build_up };
        assert!((told - wanted).abs() <= 8, "day {day}: {told}, {wanted}");
        assert!(card.contains("What lies over the deck is sawn off at the line"), "day {day}: {card}");
        assert!(!card.contains("screws more"), "day {day}: {card}");
        assert!(!card.contains("Saw a firring through"), "its firrings lie along the line, day {day}: {card}");
        steps.push(told);
    }
    assert!(steps.contains(&261) && steps.contains(&285), "{steps:?}");
    let told = |card: &String| card.contains("4.45 m to high edge");
    assert_eq!(cards.iter().filter(|card| told(card)).count(), 1, "{cards:#?}");
    let method = text_of(&of_part(MethodPart::Crew, &garage));
    let (_, days) = method.split_once("\nNight step\n").unwrap();
    for step in &steps {
        assert!(days.contains(&format!("\n{step} mm\n")), "{step}: {days}");
    }
    let kitchen = cards_of("kitchen-extension");
    assert!(kitchen[0].contains("Saw a firring through on its joist where today’s boards end."), "{}", kitchen[0]);
    assert!(kitchen[0].contains("To stand on, and as the way off: boards across bare joists."), "{}", kitchen[0]);
    assert!(kitchen[0].contains("past the line, whole and propped, the old edge off as far: R1, "), "{}", kitchen[0]);
    assert!(kitchen.iter().all(|card| !card.contains("is sawn off at the line")), "{kitchen:#?}");
}

/// From where to where each board of a roof's deck goes up its fall, mm.
fn boards_of(roof: &RoofLayout) -> impl Iterator<Item = (f64, f64)> {
    let span = |piece: &BoardPiece| {
        let places = crate::stops::places(roof, &piece.rings[0], false);
        (places.iter().copied().fold(f64::INFINITY, f64::min), places.iter().copied().fold(0.0, f64::max))
    };
    roof.deck.iter().flat_map(|deck| &deck.pieces).map(span).collect::<Vec<_>>().into_iter()
}

/// Copings are off and mortar is fresh from the day on which a box gutter is lined alone; the old roof above it drains to its lip.
#[test]
fn the_card_of_a_gutter_lined_alone_sheets_the_wall_tops_and_turns_the_old_roof_away() {
    let cards = cards_of("parapet");
    for said in [
        "the box gutter alone: first old roof off over it, all copings off, tops under stones levelled; then it is built and lined",
        "All bare wall tops sheeted, mortar too, weighted on both sides of the wall.",
        "upper edge sealed down on the old covering, or tucked under it; lower edge hanging into the gutter, outlet clear",
    ] {
        assert!(cards[0].to_lowercase().contains(&said.to_lowercase()), "{said}: {}", cards[0]);
        assert!(cards.iter().skip(1).all(|card| !card.contains(said)), "{said}");
    }
    assert!(cards[1].contains("what is bare of their tops is sheeted, mortar too"), "{}", cards[1]);
}

/// A card says who is in charge, what is mixed on its day and no more, what is laid on it, and on the last day what ends the job.
#[test]
fn a_card_has_what_its_day_needs_and_no_more() {
    let kitchen = cards_of("kitchen-extension");
    let last = kitchen.len() - 1;
    for (card, day) in kitchen.iter().zip(0..) {
        assert!(card.contains("In charge: ") && card.contains("Emergency: 999."), "{card}");
        assert!(!card.contains("Opened and closed today"), "{card}");
        assert_eq!(card.contains("Hand over"), day == last, "{card}");
        let (resin, coat) = (card.contains("1 kg of resin: "), card.contains("1 kg of topcoat: "));
        assert!(!resin || card.contains("Bandage and bare boards first, besides: small pots"), "{card}");
        assert_eq!(coat, card.contains("Sunset today"), "{card}");
        assert!(!(resin && coat), "no day of it has both: {card}");
        assert_eq!(card.contains("Wind, rain"), !resin && !coat, "{card}");
    }
    assert!(kitchen.iter().any(|card| card.contains("\nTopcoat\nCatalyst")), "{kitchen:#?}");
    // A job with no start has no dates: whoever signs writes them.
    let dated = |name: &str| cards_of(name).iter().all(|card| card.contains("\nDate\n"));
    assert!(dated("parapet") && !dated("kitchen-extension"));
}

/// What differs from day to day stands in a table, on the crew's sheet for every day and on a card for its own; what is done is said
/// in short points.
#[test]
fn where_to_stop_is_told_in_points_and_in_a_table() {
    let (mut tables, mut points) = (0, 0);
    for (name, job) in jobs() {
        let document = of_part(MethodPart::Crew, &job);
        let divided: Vec<&Stop> = job.programme.stops.iter().filter(|stop| stop.divides_roof()).collect();
        let text = text_of(&document);
        assert_eq!(text.contains("\nLaminate to\n"), job.programme.stops.iter().any(|s| !s.box_gutters), "{name}");
        let Some((_, section)) = text.split_once("\nWhere to stop each day\n") else { continue };
        tables += 1;
        let section = section.split("\nLaminate to\n").next().unwrap();
        if divided.is_empty() {
            continue;
        }
        for line in section.lines() {
            points += 1;
            assert!(line.len() < 420, "{name}: {line}");
        }
        assert!(section.contains("Line: the edge of a strip. Laminate to it, no further."), "{name}: {section}");
    }
    assert!(tables > 5 && points > 30, "{tables} {points}");
}

/// The boards that line a parapet stand on the card of the day that fixes them, each on one.
#[test]
fn the_boards_of_a_lining_stand_on_one_card() {
    let cards = cards_of("parapet");
    let job = demo::work(&demo::request("parapet"));
    let mut marks = 0;
    for board in job.take_off.roofs[0].parapets.iter().flat_map(|lining| &lining.boards) {
        // What goes on past the line is told again below, and by name on the day that fixes it on.
        let is_it = |word: &str| word == board.mark;
        let begun =
            |line: &str| line.split("the rest of").next().unwrap().split(|c: char| !c.is_alphanumeric()).any(is_it);
        let done = |card: &&String| card.split("Where to stop").next().unwrap().lines().any(begun);
        assert_eq!(cards.iter().filter(done).count(), 1, "{}: {cards:#?}", board.mark);
        marks += 1;
    }
    assert!(marks > 3, "{marks}");
}

/// A trim that hung over a day's line is fixed on with the next part of its roof: that day's card names it among what is done.
#[test]
fn a_trim_that_hung_over_is_named_on_the_card_that_fixes_it_on() {
    let mut hung = 0;
    for (name, job) in jobs() {
        let cards = cards_of_job(&job);
        for stop in &job.programme.stops {
            let next = job.programme.stops.iter().filter(|next| next.roof == stop.roof && next.first_day > stop.day);
            let Some(next) = next.min_by_key(|next| next.first_day) else { continue };
            let rest = |card: &String| -> Vec<String> {
                let done = card.split("Where to stop").next().unwrap();
                let rest = done.lines().flat_map(|line| line.split("the rest of ").skip(1));
                rest.flat_map(|rest| rest.split(|c: char| !c.is_alphanumeric())).map(str::to_owned).collect()
            };
            for mark in &stop.trims_past {
                let days = next.first_day..=next.day;
                let told = days.clone().any(|day| rest(&cards[day as usize - 1]).contains(mark));
                assert!(told, "{name}, days {days:?}: {mark}");
                hung += 1;
            }
        }
    }
    assert!(hung > 10, "{hung}");
    let (kitchen, garage) = (cards_of("kitchen-extension"), cards_of("garage-utility"));
    assert!(kitchen[1].contains("K1, K2 and K4; the rest of R1 and R4"), "{}", kitchen[1]);
    assert!(
        kitchen[1].contains("Fix firrings and edge battens: the rest of the battens (right, left)"),
        "{}",
        kitchen[1]
    );
    assert!(garage[1].contains("the rest of W3 and R1"), "{}", garage[1]);
}

/// On a warm roof edge battens go on the face of the edge timber: they are done with the insulation, and no row before the deck is signed
/// for them; their hours are what they were.
#[test]
fn the_edge_battens_of_a_warm_roof_are_fixed_with_its_insulation() {
    let (garage, kitchen) =
        (demo::work(&demo::request("garage-utility")), demo::work(&demo::request("kitchen-extension")));
    let of = |job: &Demo, kind: WorkKind| -> Vec<Operation> {
        let done = job.programme.work.iter().filter(|labour| labour.parts.iter().any(|part| part.work == kind));
        done.map(|labour| labour.operation).collect()
    };
    assert_eq!(of(&garage, WorkKind::EdgeBattensOver), [Operation::Insulate]);
    assert_eq!((of(&garage, WorkKind::EdgeBattens), of(&kitchen, WorkKind::EdgeBattensOver)), (vec![], vec![]));
    assert_eq!(of(&kitchen, WorkKind::EdgeBattens), [Operation::Prepare]);
    let cards = cards_of("garage-utility");
    assert!(
        cards[0].contains("Fix firrings") && cards.iter().all(|card| !card.contains("Fix firrings and edge battens"))
    );
    assert!(cards[0].contains("fix edge battens on the timber"), "{}", cards[0]);
    let crew = text_of(&of_part(MethodPart::Crew, &garage));
    assert!(crew.contains("Edge battens on the face of the timber"), "{crew}");
}

/// What is fitted last on some of several roofs alone names them.
#[test]
fn what_is_fitted_last_names_its_roof_where_not_all_of_a_job_get_it() {
    let cards = cards_of("neighbours");
    let last = &cards[cards.len() - 1];
    assert!(last.contains("Fit the flashing: No. 12\n"), "{last}");
    assert!(last.contains("Refit the gutters\n") && last.contains("Fit rooflight for No. 14\n"), "{last}");
}

/// Cards are read on a ladder: all words of each in one size of type, by the firm's head and foot and the headings, and in one that a wet
/// hand at arm's length makes out; common practice, no source.
#[test]
fn a_card_is_set_in_one_size_of_type_that_is_read_on_a_ladder() {
    let least = |name: &str| match name {
        "garage-utility" => 9.5,
        "big_jobs/twelve-roofs.yaml" => 9.4,
        _ => 10.5,
    };
    let more = ["big_jobs/long-names.yaml", "big_jobs/tiny-beside-large.yaml"].map(|file| (file.to_owned(), job(file)));
    for (name, job) in jobs().into_iter().chain(more) {
        let least = if name.contains("long-names") || name.contains("tiny-beside") { 9.5 } else { least(&name) };
        for day in &job.programme.days {
            let paper = paper(&day_card::document(day, &job.worked(), &words()).unwrap());
            let mut sizes: BTreeMap<i64, usize> = BTreeMap::new();
            for (text, _) in texts(&paper.pages[0]) {
                *sizes.entry((text.size * 10.0).round() as i64).or_default() += text.words().chars().count();
            }
            let body = *sizes.iter().max_by_key(|(_, letters)| **letters).unwrap().0;
            assert!(body as f64 / 10.0 >= least, "{name}, day {}: {sizes:?}", day.number);
            // Smaller are the firm's head and foot alone, larger the headings and the title of a caution.
            assert!(sizes.range(..body).all(|(size, _)| *size == 85), "{name}, day {}: {sizes:?}", day.number);
            let larger: usize = sizes.range(body + 1..).map(|(_, letters)| letters).sum();
            assert!(larger < 150, "{name}, day {}: {sizes:?}", day.number);
        }
    }
}

/// What is promised beside the roof and has no hours of its own stands on one card: a fascia before the battens that stand on it.
#[test]
fn what_is_done_beside_the_roof_stands_on_one_card() {
    let mut found = 0;
    for (name, job) in jobs() {
        let cards = cards_of_job(&job);
        let extras = job.loaded.job.extras.iter().map(|extra| extra.title.to_lowercase());
        let goods = job.loaded.job.goods.iter().filter(|goods| goods.fitted().is_some());
        for title in extras.chain(goods.map(|goods| goods.title().to_lowercase())) {
            let on = cards.iter().filter(|card| card.to_lowercase().contains(&title)).count();
            let counted = job.loaded.job.goods.iter().any(|g| g.title().to_lowercase() == title && g.hours.is_some());
            assert!(on == 1 || counted && on == 0, "{name}: {title} on {on}");
            found += usize::from(!counted);
        }
    }
    assert!(found > 1, "{found}");
    let kitchen = &cards_of("kitchen-extension")[0];
    let at = |said: &str| kitchen.find(said).unwrap_or_else(|| panic!("{said}: {kitchen}"));
    assert!(at("fixing of the new fascia board") < at("Fix firrings and edge battens"), "{kitchen}");
}

/// A porch that is closed on the day on which the box gutter of another roof is lined: whoever signs for the bandage signs for both.
#[test]
fn the_bandage_of_a_gutter_lined_alone_stands_beside_that_of_another_roof() {
    let porch = "roofs:\n  - name: Porch\n    outline: {rectangle: {width: 2.0 m, depth: 1.2 m}}\n    edges:\n      \
        front: {finish: drip}\n      right: {finish: raised}\n      back: {finish: wall, upstand: 400 mm, flashing: lead}\n      \
        left: {finish: raised}\n    falls_to: front\n    fall: 1:40\n    joists: {run: front to back, spacing: 400 mm}\n    \
        measured_to: battens\n    deck: {action: new, board: osb3-18}\n    laminate: {mat: 450, layers: 1}\n    \
        topcoat: {colour: light grey, finish: smooth}\n";
    let text = include_str!("../jobs/parapet/job.yaml").replacen("roofs:\n", porch, 1) + "rules: {day_hours: 10}\n";
    let job = demo::work(&crate::support::asked(&text));
    let day = &job.programme.days[0];
    let card = text_of(&day_card::document(day, &job.worked(), &words()).unwrap());
    let at = |said: &str| card.find(said).unwrap_or_else(|| panic!("{said}: {card}"));
    assert!(day.strips.iter().any(|strip| strip.roof == "Porch"), "{:?}", day.strips);
    let gutter = at("the box gutter of Rear roof: arrises and joints, not the lip");
    let porch = &card[at("Bandage joints, flanges and corners")..];
    assert!(porch.starts_with("Bandage joints, flanges and corners: Porch"), "{porch}");
    assert!(gutter < at("Bandage joints, flanges and corners"), "{card}");
}

/// What is done where a day ends, by whom and when: in the order in which it can be done.
#[test]
fn nothing_is_asked_for_before_it_can_be_done() {
    let crew = |name: &str| text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request(name))));
    // The raised edges of the balcony reach a wall whose fillet comes on the second day.
    let (balcony, bay) = (crew("balcony"), crew("bay"));
    let later = "The fillet comes on a later day? Mark against its sample";
    assert!(balcony.contains(later) && !bay.contains(later), "{balcony}");
    // An old laminate sounds, and takes a mark, once it is clean.
    let patched = crew("patch-and-coat");
    let at = |said: &str| patched.find(said).unwrap_or_else(|| panic!("{said}: {patched}"));
    assert!(at("Wash → Tap and mark → Cut back and dry") < at("Wash the whole roof"), "{patched}");
    assert!(at("Wash the whole roof") < at("tap the whole roof and mark in chalk"), "{patched}");
    assert!(!patched.contains("crayon"), "{patched}");
    // The cover of an opening comes out once what closes it lies ready.
    let neighbours = crew("neighbours");
    let at = |said: &str| neighbours.find(said).unwrap_or_else(|| panic!("{said}: {neighbours}"));
    assert!(at("the opening is boarded over inside the kerb") < at("Then take the boarding out"), "{neighbours}");
    assert!(at("Then take the boarding out") < at("on at once, on its own seal"), "{neighbours}");
}

/// Two households own a roof each; one of the roofs keeps its fall, and only the joists of the other lie bare.
#[test]
fn what_holds_for_one_of_several_roofs_is_told_of_that_one() {
    let crew = |name: &str| text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request(name))));
    let neighbours = crew("neighbours");
    for said in [
        "Joists’ tops of No. 14 measured before a firring is fixed",
        "Screws for boards over the old deck: 191",
        // 15 more than without a joist along its right edge: five boards of 590 mm end on it, each with three screws across.
        "Nails or screws for the new deck: 284",
        "Signature of Mrs J. Ashdown (No. 12)",
        "Signature of Mr P. Lisle",
        "Fall, 1 in",
    ] {
        assert!(neighbours.replace('\u{a0}', " ").contains(said), "{said}: {neighbours}");
    }
    assert!(!neighbours.contains("Fall over the firrings") && !neighbours.contains("Customer's signature"));
    assert!(crew("kitchen-extension").contains("Customer's signature"));
}

/// The longest step of the neighbours' had ten acts: props, doubled joists, cuts and hangers in eight lines.
#[test]
fn cutting_joists_is_one_act_a_step() {
    let crew = |name: &str| text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request(name))));
    let steps = crew("neighbours");
    let starts =
        ["Prop the joists", "Double the joist", "Cut the joists square", "Props out last", "Until what goes on it"];
    for act in starts {
        let lines: Vec<&str> = steps.lines().filter(|line| line.contains(act)).collect();
        assert!(lines.iter().any(|line| line.trim_start().starts_with(act)), "{act}: {lines:?}");
    }
}

/// A day that decks alone has no laminate that a sheet could stick to, but that of the day before, which may be soft in the cold.
#[test]
fn a_card_speaks_of_soft_laminate_where_some_can_be_soft() {
    let soft = "Laminate still soft (a coin marks it)";
    let text = fs::read_to_string("tests/big_jobs/tiny-beside-large.yaml").unwrap();
    let cold = cards_of_job(&demo::work(&asked(&text)));
    assert!(cold[0].contains("no laminate today") && !cold[0].contains(soft), "{}", cold[0]);
    assert!(cold[2].contains("no laminate today") && cold[2].contains(soft), "{}", cold[2]);
    let warm = text.replace("air: 5 C to 12 C", "air: 18 C").replace("surface: 9 C", "surface: 18 C");
    assert_ne!(warm, text);
    let job = demo::work(&asked(&warm));
    let (mut decks, mut lays) = (0, 0);
    for (day, card) in job.programme.days.iter().zip(cards_of_job(&job)) {
        let wets = |i: &usize| matches!(job.programme.work[*i].operation, Operation::Laminate | Operation::Topcoat);
        let is_wet = day.work.iter().any(|(i, _)| wets(i));
        decks += usize::from(card.contains("no laminate today") && !is_wet);
        lays += usize::from(card.contains(soft));
        assert!(is_wet || !card.contains(soft), "{card}");
    }
    assert!(decks > 0 && lays > 0, "{decks} {lays}");
}

/// Edge timber and the battens on its face are cut where they are fixed, with the insulation.
#[test]
fn the_edge_timber_of_a_warm_roof_is_listed_where_it_is_fixed() {
    let crew =
        text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request("garage-utility")))).replace('\u{a0}', " ");
    let places = ["\nInsulation: vapour layer", "\nEdge timber and battens to cut\n", "\nInsulation to cut\n"]
        .map(|heading| crew.find(heading).unwrap_or_else(|| panic!("{heading}: {crew}")));
    assert!(places.is_sorted(), "{places:?}");
    // Along the front of 3.125 m the timber stands behind one batten; two layers of battens run on over the corner.
    assert!(crew[places[1]..places[2]].contains("\nFront\n3100\n3125, 1675 + 1450\n"), "{crew}");
    let (prepare, _) = crew.split_once("\nFirrings to cut\n").unwrap();
    assert!(!prepare.contains("Edge timber to cut") && !prepare.contains("Battens to cut"), "{prepare}");
}

/// Nothing comes off before the crew has read how far, and what lies bare is what the sheet is for.
#[test]
fn how_much_is_stripped_is_said_before_it_is_stripped() {
    let mut told = 0;
    for (name, job) in jobs() {
        let crew = text_of(&of_part(MethodPart::Crew, &job));
        let Some(strip) = crew.find(" in strips, from a sound edge") else { continue };
        let limit =
            crew.find("Strip no more than “Where to stop").or_else(|| crew.find("Strip only what you can close"));
        assert!(limit.is_some_and(|limit| limit < strip), "{name}: {crew}");
        told += 1;
    }
    assert!(told > 4, "{told}");
    let crew = text_of(&of_part(MethodPart::Crew, &demo::work(&demo::request("garage-utility"))));
    let said = "Strip no more than “Where to stop each day” says, old flashing no further than the boards go: what is bare \
        beyond the line is sheeted tonight.";
    assert!(crew.contains(said), "{crew}");
    assert!(crew.contains("day 4: strips 1 to 4; day 5: strip 5; day 6: strip 6; day 7: strip 7."), "{crew}");
}

/// What lies along the same sides of a roof and goes on past a line has their names once.
#[test]
fn battens_and_edge_timber_past_a_line_name_their_side_once() {
    let garage = demo::work(&demo::request("garage-utility"));
    let crew = text_of(&of_part(MethodPart::Crew, &garage));
    assert!(crew.contains("W3, R1, battens and edge timber (garage side)"), "{crew}");
    assert!(crew.contains("W2, R2 and edge timber (utility side)"), "{crew}");
    let cards = cards_of_job(&garage);
    assert!(cards[0].contains("W3, R1, battens and edge timber (garage side)"), "{}", cards[0]);
    for said in cards.iter().chain([&crew]) {
        assert!(!said.contains("(garage side) and edge timber") && !said.contains("(utility side) and edge timber"));
    }
}

/// Two gutters are gutters, over the whole job and on each card by those of its day.
#[test]
fn the_gutters_that_are_refitted_are_one_or_several() {
    let label = |name: &str| demo::work(&demo::request(name)).programme.fitted_last().unwrap();
    assert_eq!(label("kitchen-extension"), "Fit the flashing and refit the gutter");
    assert_eq!(label("garage-utility"), "Fit the flashing and refit the gutters");
    let twelve = job("big_jobs/twelve-roofs.yaml");
    let cards = cards_of_job(&twelve);
    assert!(cards[4].contains("Refit the gutters: Roof 1 and Roof 2"), "{}", cards[4]);
    assert!(cards[5].contains("Refit the gutter: Roof 3"), "{}", cards[5]);
}

/// Page one says where help is, wherever its card stands, and a click leads there; the office's part alone has no such card.
#[test]
fn page_one_says_on_which_page_the_emergency_card_stands() {
    let mut pages = BTreeSet::new();
    for (name, job) in jobs() {
        for part in [MethodPart::Crew, MethodPart::Whole] {
            let paper = paper(&of_part(part, &job));
            let card = paper.outline.iter().find(|entry| entry.title == "Emergency").unwrap();
            let pointers: Vec<&Text> = texts(&paper.pages[0])
                .map(|(text, _)| text)
                .filter(|t| t.link.as_deref() == Some("#Emergency"))
                .collect();
            assert!(pointers.len() == 1 && texts(&paper.pages[card.page]).any(|(text, _)| text.words() == "Emergency"));
            assert_eq!(
                pointers[0].words().replace('\u{a0}', " "),
                format!("Emergency: page {}", card.page + 1),
                "{name}"
            );
            pages.insert(card.page);
        }
        let office = paper(&of_part(MethodPart::Office, &job));
        assert!(office.pages.iter().flat_map(texts).all(|(text, _)| text.link.as_deref() != Some("#Emergency")));
    }
    assert!(pages.len() > 3, "{pages:?}");
}

/// A step is done with the page in one hand: it ends where it began.
#[test]
fn no_step_of_the_crew_goes_on_over_a_page() {
    let (mut steps, mut torn) = (0, Vec::new());
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Crew, &job));
        let mut lines: BTreeMap<NodeId, Vec<(usize, i64)>> = BTreeMap::new();
        for (page, number) in paper.pages.iter().zip(0..) {
            for (text, owner) in texts(page) {
                let list = |owner: NodeId| &paper.nodes[paper.nodes[paper.nodes[owner].parent].parent].role;
                let is_step = |owner: &NodeId| {
                    paper.nodes[*owner].role == NodeRole::Body && *list(*owner) == NodeRole::List { ordered: true }
                };
                let body = owner.filter(is_step);
                lines.entry(body.unwrap_or(0)).or_default().push((number, text.y.round() as i64));
            }
        }
        for (_, lines) in lines.into_iter().filter(|(node, _)| *node != 0) {
            let rows: BTreeSet<&(usize, i64)> = lines.iter().collect();
            let pages: BTreeSet<usize> = lines.iter().map(|(page, _)| *page).collect();
            if pages.len() > 1 && rows.len() <= 4 {
                torn.push((name.clone(), rows.len()));
            }
            steps += 1;
        }
    }
    assert!(steps > 300 && torn.is_empty(), "{steps}: {torn:?}");
}

/// What is said of a weight stands with the weights that were checked.
#[test]
fn the_cautions_about_lifting_begin_no_page() {
    for (name, job) in jobs() {
        let paper = paper(&of_part(MethodPart::Whole, &job));
        let caution = |text: &Text| text.words().starts_with("No structural check");
        let Some(page) = paper.pages.iter().find(|page| texts(page).any(|(text, _)| caution(text))) else { continue };
        let before: String = texts(page).take_while(|(text, _)| !caution(text)).map(|(text, _)| text.words()).collect();
        assert!(before.contains("Deliveries and loads"), "{name}: {before}");
    }
}

/// Two sections of unlike breadth stand one under the other, each with its parts named beside it.
#[test]
fn sections_of_a_patch_that_are_no_pair_have_their_parts_beside_them() {
    let document = of_part(MethodPart::Crew, &demo::work(&demo::request("patch-and-coat")));
    let figures = crate::clashes::figures(&document);
    let sections: Vec<_> = figures.iter().filter(|f| f.caption.starts_with("Section through the edge")).collect();
    let broad = |scene: &wetout::pages::scene::Scene| scene.width > 300.0 && scene.width > 2.5 * scene.height;
    assert!(sections.len() == 2 && sections.iter().all(|f| broad(&f.scene)), "{sections:?}");
}
