//! Documents of jobs that are long, many and tiny, as they stand on their pages: nothing leaves its place, nothing stands
//! on anything else, no heading ends a page, and no page is nearly empty but the last.
//!
//! The jobs stand in `tests/big_jobs`; `wetout make` makes them too, with the demo firm and price book.

use crate::demo::{self, Demo, KINDS};
use crate::support::asked;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::words::Words;
use wetout::documents::{DocumentKind, Overrides, method, order, quote};
use wetout::pages::block::{Block, Document, Fitting, Span, Tone};
use wetout::pages::page::{HEIGHT, Item, NodeId, NodeRole, Page, Paper, Placed, Rectangle, Text};
use wetout::pages::setting::Measure;
use wetout::pages::{fitting, masthead};

/// A job of `tests/big_jobs`, worked.
fn job(name: &str) -> Demo {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs").join(name);
    demo::work(&asked(&fs::read_to_string(file).unwrap()))
}

/// The kitchen with an order of sixty lines.
fn sixty_lines() -> Demo {
    let mut job = demo::work(&demo::request("kitchen-extension"));
    let lines = job.pricing.orders[0].lines.clone();
    job.pricing.orders[0].lines = (0..60)
        .map(|n| {
            let mut line = lines[n * lines.len() / 60].clone();
            line.code = format!("{}-and-more-{n}", line.code);
            line.description =
                format!("{}, as long as descriptions get where one says all", line.description).repeat(1 + n % 2);
            line
        })
        .collect();
    job
}

fn documents(job: &Demo) -> Vec<(DocumentKind, Document)> {
    let words = Words::new(&Overrides::default()).unwrap();
    let worked = job.worked();
    let one = |kind: &DocumentKind| match kind {
        DocumentKind::Quote => quote::document(&QuoteView::of(&worked), &words).unwrap(),
        DocumentKind::Method => method::document(&worked, &words).unwrap(),
        DocumentKind::Order => order::document(&OrderView::all(&worked)[0], &words).unwrap(),
    };
    KINDS.iter().map(|kind| (*kind, one(kind))).collect()
}

/// What is wrong with the pages of every document of a job.
fn faults(job: &Demo) -> Vec<String> {
    let mut faults = Vec::new();
    for (kind, document) in documents(job) {
        let paper = fitting::lay_out(&document).unwrap();
        for (number, page) in paper.pages.iter().enumerate() {
            // An operation of the site's sheets is not parted to fill the page before it: that page may end early.
            let last =
                paper.pages.get(number + 1).is_none_or(|next| kind == DocumentKind::Method && begins(&paper, next));
            let found = [
                outside(page, masthead::text_of(document.fitting)),
                overlaps(page),
                overflows(page),
                heading_at_foot(&paper, page),
                empty(page, last),
            ];
            faults.extend(found.into_iter().flatten().map(|fault| format!("{kind:?}, page {}: {fault}", number + 1)));
        }
    }
    faults
}

/// The ground that a mark covers, and what it is.
fn ground(item: &Item) -> Option<(Rectangle, String)> {
    match item {
        // From the height of small letters to the line they stand on: neighbours may share the rest.
        Item::Text(t) if t.turn == 0.0 && !t.words().trim().is_empty() => {
            Some((Rectangle { x: t.x, y: t.y - 0.55 * t.size, width: t.width, height: 0.55 * t.size }, t.words()))
        }
        Item::Drawing { area, .. } => Some((*area, "a drawing".into())),
        Item::Picture { area, image } => Some((*area, image.name.clone())),
        _ => None,
    }
}

fn boxed(item: &Item) -> Option<Rectangle> {
    match item {
        Item::Panel { area, .. } | Item::Field { area, .. } => Some(*area),
        Item::Rule { from, to, .. } => {
            let (x, y) = (from.0.min(to.0), from.1.min(to.1));
            Some(Rectangle { x, y, width: (from.0 - to.0).abs(), height: (from.1 - to.1).abs() })
        }
        other => ground(other).map(|(area, _)| area),
    }
}

fn outside(page: &Page, text: Measure) -> Vec<String> {
    // A blank at a line's end hangs over: in the largest type that sheets are set in it is 3.4 pt wide.
    let (left, right) = (text.x - 0.3, text.x + text.width + 3.5);
    let stands = |a: &Rectangle| a.x >= left && a.x + a.width <= right && a.y > 20.0 && a.y + a.height < HEIGHT - 24.0;
    let marks = page.marks.iter().filter_map(|mark| Some((boxed(&mark.item)?, &mark.item)));
    let strays = marks.filter(|(area, _)| !stands(area));
    strays.map(|(area, item)| format!("outside the margins: {area:?} {:?}", ground(item).map(|g| g.1))).collect()
}

fn overlaps(page: &Page) -> Vec<String> {
    let grounds: Vec<(Rectangle, String)> = page.marks.iter().filter_map(|mark| ground(&mark.item)).collect();
    let mut found = Vec::new();
    for (n, (a, what)) in grounds.iter().enumerate() {
        for (b, other) in &grounds[n + 1..] {
            let across = (a.x + a.width).min(b.x + b.width) - a.x.max(b.x);
            let down = (a.y + a.height).min(b.y + b.height) - a.y.max(b.y);
            if across > 1.0 && down > 0.5 {
                found.push(format!("“{what}” and “{other}” stand on each other"));
            }
        }
    }
    found
}

/// Words that begin inside a panel end inside it.
fn overflows(page: &Page) -> Vec<String> {
    let panels = page.marks.iter().filter_map(|mark| match &mark.item {
        Item::Panel { area, .. } => Some(*area),
        _ => None,
    });
    let mut found = Vec::new();
    for panel in panels.filter(|p| p.width > 20.0) {
        for (text, words) in page.marks.iter().filter_map(|mark| ground(&mark.item)) {
            let inside = text.x >= panel.x && text.x < panel.x + panel.width - 1.0;
            let level = text.y >= panel.y && text.y < panel.y + panel.height;
            let ends = text.x + text.width <= panel.x + panel.width + 0.5
                && text.y + text.height <= panel.y + panel.height + 0.5;
            if inside && level && !ends {
                found.push(format!("“{words}” leaves its panel"));
            }
        }
    }
    found
}

/// The roles of a node and of all above it.
fn roles(paper: &Paper, node: NodeId) -> Vec<&NodeRole> {
    let (mut node, mut found) = (node, Vec::new());
    while node != 0 {
        found.push(&paper.nodes[node].role);
        node = paper.nodes[node].parent;
    }
    found
}

/// A heading, or a row of column headings, that nothing follows on its page: no words, no drawing, no line to write on.
fn heading_at_foot(paper: &Paper, page: &Page) -> Vec<String> {
    let bottom = |area: &Rectangle| area.y + area.height;
    let marks = page.marks.iter().filter_map(|mark| Some((mark.owner, boxed(&mark.item)?, &mark.item)));
    let body: Vec<_> =
        marks.filter(|(_, area, _)| bottom(area) < masthead::bounds_of(Fitting::OneSize).bottom).collect();
    let last = body.iter().filter(|mark| mark.0.is_some()).max_by(|a, b| bottom(&a.1).total_cmp(&bottom(&b.1)));
    let Some((Some(node), area, item)) = last else { return Vec::new() };
    let headed = |role: &&NodeRole| matches!(role, NodeRole::Heading(_) | NodeRole::HeadingCell { of_row: false, .. });
    let heading = roles(paper, *node).iter().any(headed);
    let followed = body.iter().any(|mark| bottom(&mark.1) > bottom(area) + 14.0);
    let alone = heading && !followed;
    alone.then(|| format!("“{}” stands last", ground(item).map(|g| g.1).unwrap_or_default())).into_iter().collect()
}

/// The share of a page that is used, counted from its head.
fn used(page: &Page) -> f64 {
    // Rows that are left empty to be written in have their rules alone; so have the head and the foot of the page.
    let in_text = |rule: &Rectangle| rule.y > masthead::TOP && rule.y < masthead::BOTTOM;
    let counts = |mark: &&Placed| mark.owner.is_some() || boxed(&mark.item).is_some_and(|area| in_text(&area));
    let owned = page.marks.iter().filter(counts).filter_map(|mark| boxed(&mark.item));
    let end = owned.map(|a| a.y + a.height).fold(masthead::TOP, f64::max);
    (end - masthead::TOP) / (masthead::BOTTOM - masthead::TOP)
}

/// Whether a page begins with a heading of the second level or above.
fn begins(paper: &Paper, page: &Page) -> bool {
    let first = page.marks.iter().find_map(|mark| mark.owner);
    first.is_some_and(|owner| roles(paper, owner).iter().any(|role| matches!(role, NodeRole::Heading(1 | 2))))
}

/// Less than a fifth of the page is used, and another page follows.
fn empty(page: &Page, last: bool) -> Vec<String> {
    let used = used(page);
    (!last && used < 0.2).then(|| format!("only {:.0} % of it is used", used * 100.0)).into_iter().collect()
}

fn check(job: &Demo) {
    let faults = faults(job);
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn documents_of_very_long_names_keep_everything_in_its_place() {
    check(&job("long-names.yaml"));
}

#[test]
fn documents_of_twelve_roofs_keep_everything_in_its_place() {
    check(&job("twelve-roofs.yaml"));
}

#[test]
fn documents_of_one_tiny_roof_keep_everything_in_its_place() {
    check(&job("tiny-roof.yaml"));
}

/// A plan of the porch at the hall's scale is a few millimetres wide; what is written on it still finds room.
#[test]
fn documents_of_a_tiny_roof_beside_a_large_one_keep_everything_in_its_place() {
    let job = job("tiny-beside-large.yaml");
    check(&job);
    let method = lines(&job, DocumentKind::Method);
    for roof in ["Hall", "Porch"] {
        assert!(method.contains(roof), "{roof} is not in the method statement");
    }
}

#[test]
fn no_document_without_photographs_takes_300_kb() {
    let mut jobs: Vec<Demo> = demo::names().iter().map(|name| demo::work(&demo::request(name))).collect();
    jobs.extend(["twelve-roofs.yaml", "long-names.yaml", "tiny-roof.yaml"].map(job));
    jobs.push(sixty_lines());
    for job in jobs {
        for (kind, document) in documents(&job) {
            let bytes = wetout::pdf::print(&document).unwrap().len();
            let photographs: usize =
                job.loaded.photos.iter().map(|photo| photo.picture.bytes.whole().unwrap().len()).sum();
            assert!(bytes < 300_000 + photographs, "{}: {kind:?} takes {bytes} bytes", job.loaded.job.reference);
        }
    }
}

#[test]
fn an_order_of_sixty_lines_keeps_everything_in_its_place() {
    check(&sixty_lines());
}

#[test]
fn documents_of_every_demo_job_keep_everything_in_its_place() {
    let faults: BTreeMap<String, Vec<String>> =
        demo::names().into_iter().map(|name| (name.clone(), faults(&demo::work(&demo::request(&name))))).collect();
    assert!(faults.values().all(Vec::is_empty), "{faults:#?}");
}

/// A document of a job as its placed lines of text.
fn lines(job: &Demo, kind: DocumentKind) -> String {
    wetout::documents::describe(kind, &job.worked(), &Overrides::default()).unwrap()
}

/// What is chosen for each of many roofs stands in one table, a row for each; what is alike for all of them stands in a heading of it,
/// or in what is done on every roof, once. Every third roof has mat of 600 g/m², and every third the same colour.
#[test]
fn what_is_chosen_alike_for_many_roofs_stands_once() {
    let quote = lines(&job("twelve-roofs.yaml"), DocumentKind::Quote);
    assert_eq!(quote.matches("What you have chosen").count(), 1, "{quote}");
    let (said, chosen) = quote.split_once("What you have chosen\n").unwrap();
    let (chosen, _) = chosen.split_once("\n  figure ").unwrap();
    let cells: Vec<&str> = chosen.lines().filter(|line| line.starts_with("  cell ")).collect();
    let count = |words: &str| cells.iter().filter(|cell| cell.ends_with(&format!("  {words}"))).count();
    for roof in 1..=12 {
        assert_eq!(count(&format!("Roof {roof}")), 1, "{chosen}");
    }
    let told = ["Dark grey", "Brick red", "Green", "1 layer of 600 g/m² mat", "1 layer of 450 g/m² mat"].map(count);
    assert_eq!((told, cells.len()), ([4, 4, 4, 3, 9], 4 * 12), "{chosen}");
    // The table is set in two halves, each with its headings.
    let heads = chosen.lines().filter(|line| line.starts_with("  head ") && line.ends_with("  smooth")).count();
    assert_eq!((heads, chosen.matches("smooth").count()), (2, 2), "{chosen}");
    for alike in
        ["Strip. We take off the old felt", "Fall: 1:40 towards the front.", "Topcoat. It covers the edges too."]
    {
        assert_eq!(said.matches(alike).count(), 1, "{alike}: {quote}");
    }
}

#[test]
fn a_quote_has_no_page_that_is_half_empty_before_the_pages_that_stand_alone() {
    for (name, least) in [("twelve-roofs.yaml", 0.5), ("long-names.yaml", 0.5), ("tiny-roof.yaml", 0.5)] {
        let (_, quote) = documents(&job(name)).swap_remove(0);
        let paper = fitting::lay_out(&quote).unwrap();
        // The last page of the offer ends where the offer ends.
        let running = &paper.pages[..paper.pages.len() - 4];
        let share: Vec<f64> = running.iter().map(used).collect();
        assert!(share.iter().all(|used| *used > least), "{name}: {share:?}");
    }
}

/// What is offered comes first, on four pages. What the law wants comes after it, on three: its list, the acceptance, the right
/// to cancel. A long offer is set a little smaller for that, in 9 pt at least; that of several roofs with
/// its plans at the next smaller scale, none of them narrower than 60 mm.
#[test]
fn the_offer_of_every_demo_job_stands_on_four_pages_and_what_the_law_wants_on_three() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        let (_, quote) = documents(&job).swap_remove(0);
        let paper = fitting::lay_out(&quote).unwrap();
        let offer = paper.pages.len() - 3;
        assert!(offer <= 4, "{name}: an offer of {offer} pages");
        let starts =
            |heading: &str| *page_of(&paper, heading).first().unwrap_or_else(|| panic!("{name}: no {heading}"));
        for heading in ["What we will do", "How the work goes", "The price", "When you pay", "If we find rot"] {
            assert!(starts(heading) < offer, "{name}: {heading} on page {}", starts(heading) + 1);
        }
        for heading in ["What is not included", "What we need from you", "Guarantee, care and terms", "Terms"] {
            assert!(starts(heading) < offer, "{name}: {heading} on page {}", starts(heading) + 1);
        }
        let law = ["What the law says we must tell you", "Acceptance", "Your right to cancel"].map(starts);
        assert_eq!(law, [offer, offer + 1, offer + 2], "{name}");
        assert_eq!(paper.pages.len(), offer + 3, "{name}");
        let short = ["bay", "dormer", "patch-and-coat"].contains(&name.as_str());
        let least = if short { quote.text_size } else { quote.text_size * 0.9 } - 0.001;
        let running = texts(&paper.pages[1]).filter(|text| (least..=quote.text_size).contains(&text.size)).count();
        assert!(quote.text_size == 10.0 && running > 20, "{name} is set in smaller type to save a page");
    }
}

/// However many days a job takes, its chart stands on the page of the words that lead up to it.
#[test]
fn the_chart_of_the_days_is_not_parted_from_its_heading() {
    let large = asked(&fs::read_to_string("tests/big_jobs/tiny-beside-large.yaml").unwrap());
    let with = |rules: &str| {
        let text = String::from_utf8(large.bytes.clone()).unwrap() + rules;
        demo::work(&asked(&text))
    };
    let mut seen = Vec::new();
    for job in [job("twelve-roofs.yaml"), with(""), with("rules: {day_hours: 5 h}\n"), job("long-names.yaml")] {
        let text = lines(&job, DocumentKind::Quote);
        let page_of = |words: &str| text[..text.find(words).unwrap()].matches("\npage ").count();
        assert_eq!(page_of("How the work goes"), page_of("The chart shows what is done"), "{text}");
        seen.push(job.programme.days.len());
    }
    assert!(seen.iter().any(|days| *days > 10) && seen.iter().any(|days| *days < 8), "{seen:?}");
}

#[test]
fn page_one_of_a_quote_holds_all_that_is_said_in_short() {
    let quote = lines(&job("twelve-roofs.yaml"), DocumentKind::Quote);
    let (first, _) = quote.split_once("\npage 2 of").unwrap();
    // Which roof has which colour stands on page 2, in the table of the roofs.
    for said in [
        "Total price, VAT included",
        "36 working days",
        "Guaranteed by",
        "How to accept",
        "Each is one skin",
        "in dark grey, brick red and green",
        "Site left clean, roofs handed over",
        "Please read it.",
    ] {
        assert!(first.contains(said), "{said}: {first}");
    }
}

#[test]
fn a_list_of_one_board_has_its_headings_once() {
    let headings = |job: &str| lines(&self::job(job), DocumentKind::Method).matches("Size, mm").count();
    assert_eq!(headings("tiny-roof.yaml"), 1);
    assert!(headings("twelve-roofs.yaml") >= 2);
}

#[test]
fn where_to_stop_on_a_day_is_told_once() {
    let twelve = job("twelve-roofs.yaml");
    let method = lines(&twelve, DocumentKind::Method);
    let count = |start: &str, end: &str| {
        method.lines().filter(|line| line.starts_with(start) && line.ends_with(&format!("  {end}"))).count()
    };
    assert_eq!((count("  h2 ", "Where to stop each day"), count("  head ", "Laminate to")), (1, 1), "{method}");
    // Roof 11 lies open for a night: that is said once, and nowhere that each day closes what it opens.
    let open = twelve.programme.stops.iter().filter(|stop| stop.first_day < stop.day).count();
    assert_eq!((open, method.matches("cannot be opened and laminated in one day").count()), (1, 1), "{method}");
    assert_eq!(method.matches("Open no more than").count(), 0, "{method}");
    let garage = demo::work(&demo::request("garage-utility"));
    assert!(garage.programme.stops.iter().all(|stop| stop.first_day == stop.day));
    let closed = lines(&garage, DocumentKind::Method);
    assert_eq!(closed.matches("Open no more than").count(), 1, "{closed}");
}

#[test]
fn letters_that_stand_for_words_stay_large_among_the_hazardous_goods() {
    let order = lines(&job("tiny-roof.yaml"), DocumentKind::Order);
    assert!(order.contains("PU adhesive;") && order.contains("laminating resin and topcoat"), "{order}");
}

/// The operations of a method statement: its sheets that have a hold point, alone or with their drawings.
fn operations(document: &Document) -> Vec<&[Block]> {
    let held = |block: &Block| matches!(block, Block::Callout { tone: Tone::Hold, .. });
    let whole = |block: &&Block| matches!(block, Block::Sheet(blocks) if blocks.iter().any(held));
    let within = document.blocks.iter().flat_map(|block| match block {
        Block::Leaf(blocks) => blocks.iter().collect::<Vec<_>>(),
        other => vec![other],
    });
    let sheets = within.filter(whole).filter_map(|block| match block {
        Block::Sheet(blocks) => Some(blocks.as_slice()),
        _ => None,
    });
    sheets.collect()
}

fn words(spans: &[Span]) -> String {
    spans.iter().map(|span| span.text.as_str()).collect()
}

/// The words with which an operation begins and under which it is signed.
fn ends(operation: &[Block]) -> (String, String) {
    match (operation.first(), operation.last()) {
        (Some(Block::Heading { level: 2, text }), Some(Block::Fields(fields))) => {
            (words(text), fields[0].label.clone())
        }
        (Some(Block::Heading { level: 2, text }), Some(Block::Days(boxes))) => {
            (words(text), boxes.rows[0].words.clone())
        }
        (first, last) => panic!("an operation goes from its heading to its signature: {first:?} … {last:?}"),
    }
}

/// The method statements of the demo jobs and of the tiny roof.
fn method_statements() -> Vec<Document> {
    let demos = demo::names().into_iter().map(|name| demo::work(&demo::request(&name)));
    let words = Words::new(&Overrides::default()).unwrap();
    demos.chain([job("tiny-roof.yaml")]).map(|job| method::document(&job.worked(), &words).unwrap()).collect()
}

/// What is set as text on a page, in the order of its marks.
pub fn texts(page: &Page) -> impl Iterator<Item = &Text> {
    page.marks.iter().filter_map(|mark| if let Item::Text(text) = &mark.item { Some(text) } else { None })
}

fn page_of(paper: &Paper, line: &str) -> Vec<usize> {
    // A signature of several days stands in a column, where it takes more than a line.
    let all = |page: &Page| texts(page).map(|text| text.words().trim().to_owned()).collect::<Vec<_>>();
    let joined = |lines: &[String]| lines.join(" ") == line;
    let has = |page: &Page| (1..=4).any(|long| all(page).windows(long).any(joined));
    (0..paper.pages.len()).filter(|number| has(&paper.pages[*number])).collect()
}

#[test]
fn every_operation_stands_on_one_sheet_from_its_heading_to_its_signature() {
    for document in method_statements() {
        let paper = fitting::lay_out(&document).unwrap();
        for (heading, signature) in operations(&document).into_iter().map(ends) {
            let page = page_of(&paper, &signature);
            assert_eq!(page.len(), 1, "{signature}");
            // On one page, or on the front and the back of one sheet where there is more to it than usual.
            let near = page_of(&paper, &heading).iter().any(|&first| page[0] == first || page[0] == first + 1);
            assert!(near, "{heading} is signed on page {}", page[0] + 1);
        }
    }
}

/// What every operation says, in these words; common practice, no source.
const SAYS: [&str; 4] = ["Tools.", "Limits.", "Check.", "What goes wrong."];

#[test]
fn every_operation_has_tools_steps_limits_a_check_and_what_goes_wrong() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        let document = method::document(&job.worked(), &Words::new(&Overrides::default()).unwrap()).unwrap();
        let all = operations(&document);
        // Where an old laminate stays nothing is stripped, boarded or trimmed.
        let least = if job.loaded.job.roofs.is_empty() { 3 } else { 7 };
        assert!(all.len() >= least, "{name}: {} operations", all.len());
        for operation in all {
            let bold: Vec<&str> = operation
                .iter()
                .filter_map(|block| if let Block::Paragraph(spans) = block { Some(spans) } else { None })
                .flatten()
                .filter(|span| span.bold)
                .map(|span| span.text.as_str())
                .collect();
            let (heading, _) = ends(operation);
            assert!(SAYS.iter().all(|says| bold.contains(says)), "{name}, {heading}: {bold:?}");
            assert!(operation.iter().any(|block| matches!(block, Block::List { ordered: true, .. })), "{heading}");
        }
    }
}
