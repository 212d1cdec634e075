//! What stands together on the pages of every job, and on how many pages its papers stand.
//!
//! Read from the placed pages: on which of them each mark stands, and what it belongs to.

use crate::demo::{self, Demo};
use crate::support::built_in_words;
use crate::works::every_job;
use std::collections::{BTreeMap, BTreeSet};
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::{method, order, quote, wording};
use wetout::model::Finish;
use wetout::pages::block::{Block, Document, Figure};
use wetout::pages::fitting;
use wetout::pages::page::{Item, NodeId, NodeRole, Paper};
use wetout::pages::scene::{Ink, Mark};

fn paper(document: &Document) -> Paper {
    fitting::lay_out(document).unwrap()
}

fn quote_of(job: &Demo) -> Paper {
    paper(&quote::document(&QuoteView::of(&job.worked()), &built_in_words()).unwrap())
}

fn method_of(job: &Demo) -> Paper {
    paper(&method::document(&job.worked(), &built_in_words()).unwrap())
}

fn orders_of(job: &Demo) -> Vec<Paper> {
    let worked = job.worked();
    let views = OrderView::all(&worked);
    views.iter().map(|view| paper(&order::document(view, &built_in_words()).unwrap())).collect()
}

/// The first page on which a heading stands.
fn page_of(paper: &Paper, heading: &str) -> Option<usize> {
    paper.outline.iter().find(|entry| entry.title == heading).map(|entry| entry.page)
}

/// The jobs whose offer takes more than four pages, and how many it takes; common practice, no source: what is read at the kitchen
/// table is short. They stand in a file, a job a line; one whose offer gets shorter is to be entered so.
fn longer_offers() -> Vec<(String, usize)> {
    let told = std::fs::read_to_string("tests/longer_offers.txt").unwrap();
    let lines = told.lines().filter(|line| !line.starts_with('#'));
    lines
        .map(|line| line.split_once(' ').map(|(job, pages)| (job.to_owned(), pages.parse().unwrap())).unwrap())
        .collect()
}

/// The offer comes first; what the law wants begins a page after it, and takes three.
#[test]
fn an_offer_takes_four_pages_and_that_of_many_roofs_as_few_as_its_plans_leave() {
    let (mut longer, entered) = (0, longer_offers());
    for (name, job) in every_job() {
        let paper = quote_of(&job);
        let named = |(of, _): &&(String, usize)| name.ends_with(&format!("/{of}.yaml"));
        let most = entered.iter().find(named).map_or(4, |(_, most)| *most);
        longer += usize::from(most > 4);
        let Some(law) = page_of(&paper, "What the law says we must tell you") else {
            let accepted = page_of(&paper, "Acceptance").unwrap();
            assert!(accepted <= most && paper.pages.len() == accepted + 1, "{name}: no law, {accepted} pages");
            continue;
        };
        assert!(most == 4 || law >= most, "{name}: its offer takes no more than {law} pages, and may be entered so");
        assert!(law <= most && paper.pages.len() == law + 3, "{name}: {law} of {} pages", paper.pages.len());
        let before = paper.outline.iter().filter(|entry| entry.page == law).map(|entry| entry.title.as_str()).next();
        assert_eq!(before, Some("What the law says we must tell you"), "{name}: it begins below something else");
    }
    assert_eq!(longer, entered.len());
}

/// What others must do before the start is asked for once, with the roofs that wait for it; an address is not told twice.
#[test]
fn what_several_roofs_wait_for_is_asked_for_once() {
    let jobs = every_job();
    let said = |of: &str| {
        let (_, job) = jobs.iter().find(|(name, _)| name.ends_with(of)).unwrap();
        spaced(&words_of(&quote_of(job)).collect::<Vec<_>>().join(" "))
    };
    let parapet = said("jobs_for_sweep/parapet.yaml");
    let engineer = "An engineer’s word in writing that the opening for the overflow may be cut";
    assert_eq!(parapet.matches(engineer).count(), 1, "{parapet}");
    assert!(parapet.contains(&format!("{engineer} (Terrace and Gutter roof), before we start")), "{parapet}");
    assert!(said("big_jobs/long-names.yaml").contains("Work at The same address"));
}

/// However long the key of a plan and the names of a chart's rows are, the roof is drawn large enough to read and the days wide
/// enough to see.
#[test]
fn the_drawings_of_an_offer_are_large_enough_to_read() {
    let (mut plans, mut bars) = (0, 0);
    for (name, job) in every_job() {
        let document = quote::document(&QuoteView::of(&job.worked()), &built_in_words()).unwrap();
        for figure in figures(&document.blocks) {
            if let Some(scale) = figure.scene.scale {
                plans += 1;
                assert!(scale <= 200.0, "{name}: 1:{scale}: {}", figure.alt);
            }
            if !figure.alt.starts_with("Day 1") || job.programme.days.len() > 8 {
                continue;
            }
            for mark in &figure.scene.marks {
                let Mark::Area { rings, fill: Some(Ink::Accent), .. } = mark else { continue };
                let across = rings.iter().flatten().map(|spot| spot.x);
                let wide = across.clone().fold(f64::NEG_INFINITY, f64::max) - across.fold(f64::INFINITY, f64::min);
                bars += 1;
                assert!(wide > 7.5, "{name}: a bar of {wide} pt");
            }
        }
    }
    assert!(plans > 20 && bars > 50, "{plans} {bars}");
}

/// Where the matters of the price do not fit below what is before them, the first of them stand there and the others on the next
/// page, if that saves a page or some type.
#[test]
fn the_price_begins_on_a_page_that_has_room_for_its_table() {
    let (_, hall) = every_job().into_iter().find(|(name, _)| name.ends_with("tiny-beside-large.yaml")).unwrap();
    let paper = quote_of(&hall);
    let begun = ["The price", "When you pay", "If we find rot"].map(|heading| page_of(&paper, heading).unwrap());
    assert_eq!(begun, [2, 2, 3], "{:?}", paper.outline);
}

/// The figures of some blocks and of all that stands in them.
fn figures(blocks: &[Block]) -> Vec<&Figure> {
    let mut all = Vec::new();
    for block in blocks {
        match block {
            Block::Figure(figure) => all.push(figure),
            Block::Columns(parts) | Block::Balanced(parts) | Block::Beside(parts) => {
                all.extend(parts.iter().flat_map(|blocks| figures(blocks)));
            }
            _ => {}
        }
    }
    all
}

/// What is said of many roofs alike stands once, with the names of those that it is said of; what differs stands in a row for
/// each roof, and nothing of it is lost.
#[test]
fn what_is_done_alike_to_many_roofs_stands_once() {
    let mut several = 0;
    for (name, job) in every_job().into_iter().filter(|(_, job)| job.loaded.job.roof_names().count() > 3) {
        several += 1;
        let paper = quote_of(&job);
        let said = spaced(&words_of(&paper).chain(drawn_words(&paper)).collect::<Vec<_>>().join(" "));
        let roofs = &job.take_off.roofs;
        for once in
            ["We bandage every joint and corner", "It covers the edges too", "We fix tapered timbers (firrings)"]
        {
            assert!(said.matches(once).count() < roofs.len(), "{name}: {once}");
        }
        for side in roofs.iter().flat_map(|roof| &roof.shape.sides) {
            // In the words, or on a plan, which has the length of one of two sides that are alike.
            let told = spaced(&wording::metres(side.run));
            let is_open = matches!(side.finish, Finish::Drip | Finish::Raised);
            assert!(!is_open || side.coped.is_some() || said.contains(&told), "{name}: {} {told}", side.label);
        }
        if name.contains("twelve") {
            assert_eq!(said.matches("We take off the old felt").count(), 1, "{said}");
            // Gutters that differ in figures alone are told in one line.
            assert_eq!(said.matches("at the design rain").count(), 1, "{said}");
            // From the smallest roof to the largest; the gutter carries least where it is longest.
            assert!(said.contains("rain 0.048 to 0.574 l/s comes"), "{said}");
            assert!(said.contains("it carries 0.900 to 1.033 l/s"), "{said}");
            assert!(
                said.contains("(2.30 to 27.33 m² × 0.021 l/s)")
                    && said.contains("Roofs 1 to 12, from the least to the most. It copes: at the design rain"),
                "{said}"
            );
            // Three ways of laying a deck, one below the other.
            let decks: Vec<usize> = said.match_indices(" Deck (").map(|(at, _)| at).collect();
            let fascia = said.find(" Old fascia (").unwrap();
            assert!(decks.len() == 3 && (fascia < decks[0] || fascia > decks[2]), "{decks:?} {fascia}: {said}");
            // The plans have one key and one scale, and each its name, its area and the lengths of its two ways.
            assert_eq!(said.matches("Scale 1:").count(), 1, "{said}");
            for told in ["Roof 9, 15.4 m²", "Front 6.30 m", "Right 2.44 m"] {
                assert_eq!(said.matches(told).count(), 1, "{told}: {said}");
            }
            assert!(!said.contains("Back 6.30 m") && !said.contains("Left 2.44 m"), "{said}");
            // By hand from the job: a row for each roof.
            for roof in 1..=12 {
                assert!(said.contains(&format!("Roof {roof} ")), "Roof {roof}");
            }
            for (mat, roofs) in [("1 layer of 600 g/m² mat", 3), ("1 layer of 450 g/m² mat", 9)] {
                assert_eq!(said.matches(mat).count(), roofs, "{mat}: in a row for each roof");
            }
        }
    }
    assert!(several > 1, "{several}");
}

/// What is the same for two or three roofs stands before them; what a roof has as one before it is not explained again. Every edge is
/// told with its length all the same.
#[test]
fn what_a_few_roofs_have_alike_is_explained_once() {
    let (mut several, mut pointed) = (0, 0);
    for (name, job) in every_job() {
        let roofs = &job.take_off.roofs;
        if !(2..=3).contains(&roofs.len()) {
            continue;
        }
        several += 1;
        let paper = quote_of(&job);
        let said = spaced(&words_of(&paper).collect::<Vec<_>>().join(" "));
        for once in [
            "We bandage every joint and corner",
            "It keeps rain on the roof until it runs off",
            "Their ends lie on joists",
        ] {
            assert!(said.matches(once).count() <= 1, "{name}: {once}: {said}");
        }
        pointed += said.matches(" As on ").count();
        for side in roofs.iter().flat_map(|roof| &roof.shape.sides) {
            let told = spaced(&wording::metres(side.run));
            let is_open = matches!(side.finish, Finish::Drip | Finish::Raised) && side.coped.is_none();
            assert!(!is_open || said.contains(&format!("({told})")), "{name}: {} {told}", side.label);
        }
        if name.ends_with("wedge.yaml") {
            let (_, done) = said.split_once("What we will do").unwrap();
            assert!(done.trim_start().starts_with("On all roofs:"), "{said}");
            assert!(
                said.contains("Raised edge: right (2.90 m), back (6.20 m) and left (2.90 m). As on Wedge."),
                "{said}"
            );
        }
    }
    assert!(several > 3 && pointed > 8, "{several} {pointed}");
}

/// A title of more than two lines is set smaller than one of two, and a long address has the whole width, with the dates below it.
#[test]
fn long_names_take_no_more_of_page_one_than_they_need() {
    let of = |name: &str| {
        let (_, job) = every_job().into_iter().find(|(of, _)| of.ends_with(name)).unwrap();
        quote_of(&job)
    };
    let first = |paper: &Paper, words: &str| {
        let mut texts = paper.pages[0].marks.iter().filter_map(|mark| match &mark.item {
            Item::Text(text) if text.words().starts_with(words) => Some((text.size, text.x)),
            _ => None,
        });
        texts.next().unwrap()
    };
    let (long, short) = (of("big_jobs/long-names.yaml"), of("kitchen-extension"));
    let ([title, dates], [usual, halfway]) = (
        [first(&long, "Kitchen extension"), first(&long, "Work at")],
        [first(&short, "Kitchen extension"), first(&short, "Work at")],
    );
    assert!(title.0 < 0.85 * usual.0 && title.0 > 1.2 * quote::LEAST_SIZE, "{title:?} {usual:?}");
    assert!(dates.1 < halfway.1 - 100.0, "{dates:?} {halfway:?}");
}

/// A table with the VAT of each line has more than half of the width: its words stand in no more than two lines.
#[test]
fn what_is_priced_with_its_vat_beside_it_is_not_broken_word_by_word() {
    let paper = quote_of(&demo::work(&demo::request("neighbours")));
    let lines: Vec<String> = words_of(&paper).collect();
    let begun = lines.iter().position(|line| line == "Before VAT").unwrap();
    let at = begun + lines[begun..].iter().position(|line| line.starts_with("Scaffold along")).unwrap();
    let cell = lines[at..].iter().take_while(|line| !line.starts_with('£')).count();
    assert!(cell <= 2, "{:?}", &lines[at..at + 4]);
}

/// Words with one plain space between them, as a reader sees them, wherever a line ends.
fn spaced(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_words_of_an_offer_are_large_enough() {
    for (name, job) in every_job() {
        let paper = quote_of(&job);
        let texts = paper.pages.iter().take(4).flat_map(|page| &page.marks).filter_map(|mark| match &mark.item {
            Item::Text(text) if mark.owner.is_some() => Some(text),
            _ => None,
        });
        let mut letters: BTreeMap<i64, usize> = BTreeMap::new();
        for text in texts {
            *letters.entry((text.size * 100.0).round() as i64).or_default() += text.words().len();
        }
        let most = letters.iter().max_by_key(|(_, count)| **count).map(|(size, _)| *size as f64 / 100.0);
        assert!(most.is_some_and(|size| size >= quote::LEAST_SIZE), "{name}: {most:?} of {letters:?}");
    }
}

fn words_of(paper: &Paper) -> impl Iterator<Item = String> {
    paper.pages.iter().flat_map(|page| &page.marks).filter_map(|mark| match &mark.item {
        Item::Text(text) => Some(text.words()),
        _ => None,
    })
}

/// The words of its drawings.
fn drawn_words(paper: &Paper) -> impl Iterator<Item = String> {
    let texts = |item: &Item| match item {
        Item::Drawing { texts, .. } => texts.iter().map(|(_, text)| text.words()).collect(),
        _ => Vec::new(),
    };
    paper.pages.iter().flat_map(|page| &page.marks).flat_map(move |mark| texts(&mark.item))
}

/// For every node, the pages on which something of it stands.
fn pages_of(paper: &Paper) -> Vec<BTreeSet<usize>> {
    let mut pages = vec![BTreeSet::new(); paper.nodes.len()];
    for (number, page) in paper.pages.iter().enumerate() {
        for mut node in page.marks.iter().filter_map(|mark| mark.owner) {
            while node != 0 {
                pages[node].insert(number);
                node = paper.nodes[node].parent;
            }
        }
    }
    pages
}

/// Whether the items of a list stand in two columns.
fn is_in_columns(paper: &Paper, list: NodeId) -> bool {
    let of_list = |node: NodeId| {
        paper.nodes[node].role == NodeRole::Label && paper.nodes[paper.nodes[node].parent].parent == list
    };
    let marks = paper.pages.iter().flat_map(|page| &page.marks).filter(|mark| mark.owner.is_some_and(of_list));
    let left =
        marks.filter_map(|mark| if let Item::Text(text) = &mark.item { Some(text.x.round() as i64) } else { None });
    left.collect::<BTreeSet<i64>>().iter().any(|x| *x > 200)
}

/// The nodes under the same node as this one that come after it, in their order.
fn after(paper: &Paper, node: NodeId) -> impl Iterator<Item = NodeId> {
    let parent = paper.nodes[node].parent;
    (node + 1..paper.nodes.len()).filter(move |next| paper.nodes[*next].parent == parent)
}

/// A hold point is signed for the steps after it: the first of them stand on its page. Steps in two columns are one piece,
/// which may begin the next page.
#[test]
fn no_hold_point_is_parted_from_the_first_of_its_steps() {
    let mut held = 0;
    for (name, job) in every_job() {
        let paper = method_of(&job);
        let pages = pages_of(&paper);
        let words = |node: NodeId| -> String {
            let of = |owner: NodeId| owner == node || paper.nodes[owner].parent == node;
            let marks = paper.pages.iter().flat_map(|page| &page.marks).filter(|mark| mark.owner.is_some_and(of));
            let texts =
                marks.filter_map(|mark| if let Item::Text(text) = &mark.item { Some(text.words()) } else { None });
            texts.collect()
        };
        let divisions = (1..paper.nodes.len()).filter(|node| paper.nodes[*node].role == NodeRole::Division);
        for hold in divisions.filter(|node| words(*node).contains("Before you start")) {
            let rest = after(&paper, hold).take_while(|node| paper.nodes[*node].role != NodeRole::Division);
            let steps = rest.into_iter().find(|node| paper.nodes[*node].role == NodeRole::List { ordered: true });
            let Some(steps) = steps.filter(|steps| !is_in_columns(&paper, *steps)) else { continue };
            held += 1;
            assert_eq!(pages[hold].last(), pages[steps].first(), "{name}: {} on page {:?}", words(hold), pages[hold]);
        }
    }
    assert!(held > 100, "{held} hold points were looked at");
}

/// A heading stands where the table or the list that it leads up to begins.
#[test]
fn no_heading_is_parted_from_the_table_or_the_list_under_it() {
    let mut led = 0;
    for (name, job) in every_job() {
        let paper = method_of(&job);
        let pages = pages_of(&paper);
        let role = |node: NodeId| &paper.nodes[node].role;
        for heading in (1..paper.nodes.len()).filter(|node| matches!(role(*node), NodeRole::Heading(_))) {
            let first = after(&paper, heading).take(3).find(|node| *role(*node) != NodeRole::Paragraph);
            let listed = |node: &NodeId| match role(*node) {
                NodeRole::Table => true,
                NodeRole::List { .. } => !is_in_columns(&paper, *node),
                _ => false,
            };
            let Some(list) = first.filter(listed) else { continue };
            led += 1;
            let title = paper.outline.iter().find(|entry| Some(&entry.page) == pages[heading].first());
            let title = title.map(|entry| &entry.title);
            assert_eq!(pages[heading].last(), pages[list].first(), "{name}: a heading on the page of {title:?}");
        }
    }
    assert!(led > 200, "{led} headings were looked at");
}

/// Days are read on down one column: in pairs of columns one would go back up the page to find the next. Of each stop the table has a
/// row, in the order of the days.
#[test]
fn the_stops_of_many_days_stand_in_one_column() {
    let mut many = 0;
    for (name, job) in every_job().into_iter().filter(|(_, job)| job.programme.days.len() > 11) {
        let stops = &job.programme.stops;
        if stops.len() <= 10 {
            continue;
        }
        let paper = method_of(&job);
        let above = |node: NodeId| paper.nodes[node].parent;
        let cell_of = |mut node: NodeId| {
            while node != 0 && paper.nodes[above(node)].role != NodeRole::TableRow {
                node = above(node);
            }
            node
        };
        let table_of = |mut node: NodeId| {
            while node != 0 && paper.nodes[node].role != NodeRole::Table {
                node = above(node);
            }
            node
        };
        let is_first = |cell: NodeId| (above(cell) + 1..cell).all(|other| above(other) != above(cell));
        let is_head = |cell: NodeId| matches!(paper.nodes[cell].role, NodeRole::HeadingCell { .. });
        let mut tables = BTreeSet::new();
        let mut first: BTreeMap<NodeId, (usize, i64, i64, Vec<String>)> = BTreeMap::new();
        for (number, page) in paper.pages.iter().enumerate() {
            for mark in &page.marks {
                let (Some(owner), Item::Text(text)) = (mark.owner, &mark.item) else { continue };
                let cell = cell_of(owner);
                if cell == 0 {
                    continue;
                }
                let words = text.words().trim().to_owned();
                if is_head(cell) && words == "Laminate to" {
                    tables.insert(table_of(cell));
                }
                if !is_head(cell) && is_first(cell) {
                    let at = (number, text.x.round() as i64, text.y.round() as i64, Vec::new());
                    first.entry(cell).or_insert(at).3.push(words);
                }
            }
        }
        assert_eq!(tables.len(), 1, "{name}");
        let rows = first.iter().filter(|(cell, _)| tables.contains(&table_of(**cell)));
        let rows: Vec<_> = rows.map(|(_, at)| at).collect();
        let days = stops.iter().map(|stop| match stop.day - stop.first_day {
            0 => stop.day.to_string(),
            1 => format!("{} and {}", stop.first_day, stop.day),
            _ => format!("{} to {}", stop.first_day, stop.day),
        });
        let told: Vec<String> = rows.iter().map(|(.., words)| words.join(" ")).collect();
        assert_eq!(told, days.collect::<Vec<_>>(), "{name}");
        let left: BTreeSet<i64> = rows.iter().map(|(_, x, ..)| *x).collect();
        assert_eq!(left.len(), 1, "{name}: {left:?}");
        assert!(rows.is_sorted_by_key(|(page, _, y, _)| (*page, *y)), "{name}: {rows:?}");
        many += 1;
    }
    assert!(many > 0);
}

/// Orders that stand on one page; all others take two, that of every work three.
const ONE_PAGE: [&str; 1] = ["patch-and-coat"];

/// Where only a few lines would go over, an order is set closer; its type is not smaller for that.
#[test]
fn an_order_of_a_few_lines_too_many_is_set_close_on_one_page() {
    let mut on_one = 0;
    for (name, job) in every_job() {
        let alone = ONE_PAGE.iter().any(|of| name == **of || name.ends_with(&format!("/{of}.yaml")));
        for paper in orders_of(&job) {
            let most = if alone { 1 } else { 3 };
            assert!(paper.pages.len() <= most, "{name}: {} pages", paper.pages.len());
            on_one += usize::from(alone);
            let ordered: BTreeSet<&str> =
                job.pricing.orders.iter().flat_map(|order| &order.lines).map(|line| line.code.as_str()).collect();
            let texts = paper.pages.iter().flat_map(|page| &page.marks).filter_map(|mark| match &mark.item {
                Item::Text(text) if mark.owner.is_some() => Some(text),
                _ => None,
            });
            let codes: Vec<f64> = texts.filter(|t| ordered.contains(t.words().trim())).map(|t| t.size).collect();
            assert!(codes.len() > 5 && codes.iter().all(|size| *size >= 9.99), "{name}: {codes:?}");
        }
    }
    assert!(on_one >= ONE_PAGE.len());
}

/// Where the old laminate stays, its plan stands on page one under what the job is, and each operation keeps a page for itself.
#[test]
fn the_plan_of_an_old_roof_stands_on_page_one() {
    let old = every_job().into_iter().filter(|(_, job)| job.loaded.job.roofs.is_empty());
    let pages: Vec<_> = old.map(|(name, job)| (page_of(&method_of(&job), "The roof"), name)).collect();
    assert!(pages.len() > 1 && pages.iter().all(|(page, _)| *page == Some(0)), "{pages:?}");
}

/// Plans that wait for the next page do not come between the words for an old roof and its plan.
#[test]
fn the_plan_of_an_old_roof_beside_new_ones_stands_under_its_words() {
    let mixed = |job: &Demo| !job.loaded.job.roofs.is_empty() && !job.loaded.job.old_roofs.is_empty();
    let mut told = 0;
    for (name, job) in every_job().into_iter().filter(|(_, job)| mixed(job)) {
        let paper = method_of(&job);
        let headed = paper.outline.iter().find(|entry| entry.title.ends_with("the old laminate stays"));
        let headed = headed.unwrap_or_else(|| panic!("{name}: no heading"));
        let roof = &job.take_off.old_roofs[0].name;
        let plan = |node: &NodeId| matches!(&paper.nodes[*node].role, NodeRole::Figure { alt } if alt.contains(roof));
        let pages = pages_of(&paper);
        let plan = (1..paper.nodes.len()).find(plan).unwrap_or_else(|| panic!("{name}: no plan of {roof}"));
        assert_eq!(pages[plan].first(), Some(&headed.page), "{name}");
        told += 1;
    }
    assert!(told > 0);
}

/// Roofs that are numbered alone are told by their numbers, those that follow one another as one run.
#[test]
fn numbered_roofs_are_told_by_their_numbers() {
    let told =
        |names: &[&str]| wording::list_of_roofs(&names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>());
    assert_eq!(told(&["Roof 2", "Roof 3", "Roof 5"]), "Roofs 2, 3 and 5");
    assert_eq!(told(&["Roof 1", "Roof 4", "Roof 5", "Roof 6", "Roof 12"]), "Roofs 1, 4 to 6 and 12");
    assert_eq!(told(&["Roof 7"]), "Roof 7");
    assert_eq!(told(&["Roof 1", "Bay"]), "Roof 1 and Bay");
}
