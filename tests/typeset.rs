//! How the pages are set: where lines end, which marks of quotation stand, what is left alone at a page's head or foot, in which
//! ink and size.
//!
//! `tests/outside/typeset.json` holds paragraphs of the demo documents with the lines that typst (PyPI `typst`) gives them, made
//! by `tests/outside/typeset.py` from what `WETOUT_PARAGRAPHS=FILE` writes here.

#![allow(clippy::print_stdout, reason = "how lines end is told to whoever asks with --nocapture")]

use crate::demo::{self, Demo, KINDS};
use crate::replay::job::random_job;
use crate::replay::roofs::{self, Dice};
use crate::support::asked;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::words::Words;
use wetout::documents::{DocumentKind, Overrides, method, order, quote};
use wetout::model::hands;
use wetout::pages::block::{Block, Document, Span};
use wetout::pages::fitting;
use wetout::pages::fonts::{Face, Fonts, LoadedFace};
use wetout::pages::listing;
use wetout::pages::page::{Item, NodeId, NodeRole, Page, Paper, Text};
use wetout::pages::scene::Ink;
use wetout::pages::text::{Faults, Fit, Look, TextLine, shape};

pub fn documents(job: &Demo) -> Vec<Document> {
    let words = Words::new(&Overrides::default()).unwrap();
    let worked = job.worked();
    let of = |kind: &DocumentKind| match kind {
        DocumentKind::Quote => vec![quote::document(&QuoteView::of(&worked), &words).unwrap()],
        DocumentKind::Method => vec![method::document(&worked, &words).unwrap()],
        DocumentKind::Order => orders(job, &words),
    };
    KINDS.iter().flat_map(of).collect()
}

fn orders(job: &Demo, words: &Words) -> Vec<Document> {
    let worked = job.worked();
    OrderView::all(&worked).iter().map(|view| order::document(view, words).unwrap()).collect()
}

fn demos() -> Vec<(String, Demo)> {
    demo::names().into_iter().map(|name| (name.clone(), demo::work(&demo::request(&name)))).collect()
}

/// The demo jobs, the big ones and those on which every key is turned.
pub fn all_jobs() -> Vec<(String, Demo)> {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let files = ["big_jobs", "jobs_for_sweep"].into_iter().flat_map(|f| fs::read_dir(tests.join(f)).unwrap());
    let mut files: Vec<_> = files.map(|f| f.unwrap().path()).collect();
    files.sort();
    let name = |f: &Path| f.file_stem().unwrap().to_str().unwrap().to_owned();
    let others = files.iter().map(|f| (name(f), demo::work(&asked(&fs::read_to_string(f).unwrap()))));
    demos().into_iter().chain(others).collect()
}

// ---- Lines --------------------------------------------------------------------------------------------------------

fn gather(blocks: &[Block], found: &mut Vec<Vec<Span>>) {
    for block in blocks {
        match block {
            Block::Paragraph(spans) => found.push(spans.clone()),
            Block::Columns(parts)
            | Block::Beside(parts)
            | Block::Balanced(parts)
            | Block::List { items: parts, .. }
            | Block::ListFrom { items: parts, .. } => {
                parts.iter().for_each(|part| gather(part, found));
            }
            Block::Callout { blocks, .. }
            | Block::Keep(blocks)
            | Block::Sheet(blocks)
            | Block::Leaf(blocks)
            | Block::Card(blocks)
            | Block::Small(blocks) => gather(blocks, found),
            _ => {}
        }
    }
}

/// Every paragraph and item of the demo documents, each once, with the size of its document.
fn paragraphs() -> Vec<(Vec<Span>, f64)> {
    let (mut all, mut known) = (Vec::new(), BTreeSet::new());
    for (_, job) in demos() {
        for document in documents(&job) {
            let mut found = Vec::new();
            gather(&document.blocks, &mut found);
            for spans in found {
                let plain: Vec<Span> = spans.into_iter().filter(|span| span.note.is_empty()).collect();
                let words: String = plain.iter().map(|span| span.text.as_str()).collect();
                if !words.contains('\n') && known.insert(words) {
                    all.push((plain, document.text_size));
                }
            }
        }
    }
    all
}

/// The measures of pages and of two columns, pt.
const WIDTHS: [f64; 3] = [479.0, 440.0, 225.0];

struct SetLine {
    words: String,
    width: f64,
}

fn lines(spans: &[Span], size: f64, width: f64, faults: &mut Faults) -> Vec<SetLine> {
    let shaped = shape(spans, false, faults);
    let owners = vec![None; spans.len()];
    let links = vec![None; spans.len()];
    let look = Look { size, ink: Ink::Black, owners: &owners, links: &links };
    let words = |line| {
        let marks = shaped.place(line, look, 0.0, 0.0);
        let texts = marks.iter().filter_map(|mark| if let Item::Text(t) = &mark.item { Some(t.words()) } else { None });
        texts.collect::<String>().trim_end().to_owned()
    };
    let set = |line: &TextLine| SetLine { words: words(*line), width: f64::from(line.width) * size / 1000.0 };
    shaped.lines(size, width, Fit::Paragraph).iter().map(set).collect()
}

/// What tables trade width by: so many lines, counted without choosing their edges.
#[test]
fn a_text_takes_as_many_lines_as_are_counted_before_they_are_chosen() {
    let mut faults = Faults::default();
    let mut parted = 0;
    for (spans, size) in &paragraphs() {
        let shaped = shape(spans, false, &mut faults);
        for width in [8.0, 20.0, 31.0, 47.5, 60.0, 83.0, 110.0, 160.0, 225.0, 440.0] {
            let lines = shaped.lines(*size, width, Fit::Paragraph);
            assert_eq!(shaped.line_count(*size, width), lines.len(), "{spans:?} at {size} pt in {width} pt");
            parted += usize::from(lines.len() > 1);
        }
    }
    assert!(parted > 1000, "{parted}");
}

/// How many paragraphs end in a line that is hardly seen as one, narrower than four letters.
/// A number stays with what it counts, and a range in one piece, wherever a line ends.
#[test]
fn a_number_stays_with_what_it_counts() {
    let together = [
        "Mr P.",
        "P. Lisle",
        "(Mrs Vale",
        "Dr Kay,",
        "28 days",
        "(12 boards)",
        "4 working",
        "72 to",
        "to 73",
        "0.5 ppm",
        "2 people.",
        "No. 14",
        "(No. 12)",
        "17 02",
        "02 04*:",
        "(17 02",
    ];
    let apart = ["days on", "and 28", "12 Fuller", "B2 days", "Mr and", "P. in", "roof A"];
    let stay = |words: &str| words.split_once(' ').is_some_and(|(a, b)| wetout::pages::unparted::stay(a, b));
    assert!(together.iter().all(|words| stay(words)) && !apart.iter().any(|words| stay(words)));
    let text = "The right to cancel ends at the end of the 28 days that follow.";
    let mut faults = Faults::default();
    for width in 60..300 {
        let ends = lines(&[Span::plain(text)], 10.0, f64::from(width), &mut faults);
        assert!(ends.iter().all(|line| !line.words.ends_with("28")), "{width} pt");
    }
}

#[test]
fn few_paragraphs_end_in_a_line_of_a_few_letters() {
    let mut faults = Faults::default();
    let paragraphs = paragraphs();
    for width in WIDTHS {
        let (mut stubs, mut all) = (0, 0);
        for (spans, size) in &paragraphs {
            let set = lines(spans, *size, width, &mut faults);
            if let [.., last] = set.as_slice()
                && set.len() > 1
            {
                all += 1;
                stubs += usize::from(last.width < 2.5 * size);
            }
        }
        println!("{width} pt: {stubs} of {all} paragraphs end in a few letters");
        assert!(all > 200 && 100 * stubs < 3 * all, "{width} pt: {stubs} of {all}");
    }
}

#[test]
fn few_lines_of_the_demo_documents_end_before_a_word_that_would_fit() {
    let mut faults = Faults::default();
    let paragraphs = paragraphs();
    assert!(paragraphs.len() > 300, "{}", paragraphs.len());
    for width in WIDTHS {
        let counts = paragraphs.iter().map(|(p, size)| shape(p, false, &mut faults).ending_early(*size, width));
        let (early, all) = counts.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        let share = 100.0 * early as f64 / all as f64;
        println!("{width} pt: {early} of {all} lines end early, {share:.1} %");
        assert!(all > 200 && share < 6.0, "{width} pt: {early} of {all} lines, {share:.1} %");
    }
}

/// The sum of the squares of what lines leave of their width, the last one left out: what ragged setting makes least.
fn unevenness(widths: &[f64], width: f64) -> f64 {
    let all = widths.split_last().map_or(&[][..], |(_, before)| before);
    all.iter().map(|w| ((width - w) / width).powi(2)).sum()
}

/// Paragraphs for typst, where `WETOUT_PARAGRAPHS` names a file for them.
#[test]
fn lines_are_as_even_as_those_of_another_total_fit() {
    let mut faults = Faults::default();
    if let Ok(file) = std::env::var("WETOUT_PARAGRAPHS") {
        let long = |(spans, size): &(Vec<Span>, f64)| {
            let plain: Vec<Span> = spans.iter().map(|span| Span::plain(span.text.clone())).collect();
            let words: String = plain.iter().map(|span| span.text.as_str()).collect();
            let set = lines(&[Span::plain(words.clone())], *size, WIDTHS[2], &mut Faults::default());
            (set.len() > 3).then(|| json!({"words": words, "size": size, "width": WIDTHS[2]}))
        };
        let all: Vec<Value> = paragraphs().iter().filter_map(long).collect();
        fs::write(file, serde_json::to_string_pretty(&all).unwrap()).unwrap();
    }
    let recorded: Vec<Value> = serde_json::from_str(include_str!("outside/typeset.json")).unwrap();
    assert!(recorded.len() > 50);
    let (mut ours, mut theirs, mut longer) = (0.0, 0.0, 0);
    for one in &recorded {
        let (size, width) = (one["size"].as_f64().unwrap(), one["width"].as_f64().unwrap());
        let set = lines(&[Span::plain(one["words"].as_str().unwrap())], size, width, &mut faults);
        let other: Vec<(String, f64)> = one["lines"]
            .as_array()
            .unwrap()
            .iter()
            .map(|l| (l[0].as_str().unwrap().to_owned(), l[1].as_f64().unwrap()))
            .collect();
        let widths: Vec<f64> = set.iter().map(|line| line.width).collect();
        let other_widths: Vec<f64> = other.iter().map(|line| line.1).collect();
        // Figures are never parted from their units here: that may take a line.
        assert!(set.len() <= other.len() + 1, "{} lines, {} of another: {}", set.len(), other.len(), one["words"]);
        longer += usize::from(set.len() > other.len());
        ours += unevenness(&widths, width);
        theirs += unevenness(&other_widths, width);
    }
    assert!(longer * 30 <= recorded.len(), "{longer} of {} paragraphs take a line more", recorded.len());
    println!("unevenness {ours:.3}, of typst {theirs:.3}; a line more in {longer} of {}", recorded.len());
    assert!(ours <= 1.15 * theirs, "unevenness {ours:.3}, of typst {theirs:.3}");
}

// ---- Marks of quotation -------------------------------------------------------------------------------------------

fn texts(page: &Page) -> Vec<String> {
    let of = |item: &Item| match item {
        Item::Text(text) => vec![text.words()],
        Item::Drawing { texts, .. } => texts.iter().map(|(_, text)| text.words()).collect(),
        _ => Vec::new(),
    };
    page.marks.iter().flat_map(|mark| of(&mark.item)).collect()
}

/// The straight marks of a text that are no inches and no feet.
pub fn straight(text: &str) -> bool {
    let letters: Vec<char> = text.chars().collect();
    let alone = |i: usize| i == 0 || !letters[i - 1].is_ascii_digit();
    (0..letters.len()).any(|i| matches!(letters[i], '\'' | '"') && alone(i))
}

#[test]
fn no_straight_mark_of_quotation_stands_on_a_page() {
    for (name, job) in demos() {
        for document in documents(&job) {
            for page in fitting::lay_out(&document).unwrap().pages {
                let found: Vec<String> = texts(&page).into_iter().filter(|text| straight(text)).collect();
                assert!(found.is_empty(), "{name}, {}: {found:?}", document.title);
            }
        }
    }
}

#[test]
fn what_is_typed_with_straight_marks_is_printed_with_curled_ones() {
    for (typed, printed) in [
        ("it's", "it’s"),
        ("the neighbours' wall", "the neighbours’ wall"),
        ("'Rear', she said", "‘Rear’, she said"),
        ("the \"old\" deck", "the “old” deck"),
        ("(\"so\")", "(“so”)"),
        ("built in the '90s", "built in the ’90s"),
        ("a 4\" pipe", "a 4\" pipe"),
        ("6' by 4'", "6' by 4'"),
        ("\"No. 3\" and 'No. 4'", "“No. 3” and ‘No. 4’"),
        ("Siân's \"it's 'here'\"", "Siân’s “it’s ‘here’”"),
    ] {
        let mut faults = Faults::default();
        let set = lines(&[Span::plain(typed)], 10.0, 500.0, &mut faults);
        assert_eq!(set[0].words, printed);
    }
    // Over the border of two spans.
    let set =
        lines(&[Span::plain("the "), Span::bold("deck"), Span::plain("'s edge")], 10.0, 500.0, &mut Faults::default());
    assert_eq!(set[0].words, "the deck’s edge");
}

// ---- Lines left alone ---------------------------------------------------------------------------------------------

/// The paragraph or item that a mark's words belong to.
fn paragraph_of(paper: &Paper, owner: Option<NodeId>) -> Option<NodeId> {
    let mut node = owner?;
    while node != 0 {
        match paper.nodes[node].role {
            NodeRole::Paragraph | NodeRole::Body => return Some(node),
            NodeRole::Cell { .. } | NodeRole::HeadingCell { .. } | NodeRole::Caption | NodeRole::Note => return None,
            _ => node = paper.nodes[node].parent,
        }
    }
    None
}

/// Paragraphs of which one line stands alone on a page and others on another.
fn alone(paper: &Paper) -> Vec<String> {
    let mut parted: BTreeMap<NodeId, BTreeMap<usize, BTreeSet<i64>>> = BTreeMap::new();
    let mut begins: BTreeMap<NodeId, String> = BTreeMap::new();
    for (number, page) in paper.pages.iter().enumerate() {
        for mark in &page.marks {
            let (Item::Text(text), Some(node)) = (&mark.item, paragraph_of(paper, mark.owner)) else { continue };
            let lines = parted.entry(node).or_default().entry(number).or_default();
            lines.insert((text.y * 10.0).round() as i64);
            begins.entry(node).or_insert_with(|| text.words());
        }
    }
    let split = parted.into_iter().filter(|(_, pages)| pages.len() > 1 && pages.values().any(|lines| lines.len() == 1));
    split.map(|(node, pages)| format!("“{}” on pages {:?}", begins[&node], pages.keys().collect::<Vec<_>>())).collect()
}

#[test]
fn no_line_of_a_paragraph_stands_alone_at_the_head_or_the_foot_of_a_page() {
    for (name, job) in all_jobs() {
        for document in documents(&job) {
            let found = alone(&fitting::lay_out(&document).unwrap());
            assert!(found.is_empty(), "{name}, {}: {found:?}", document.title);
        }
    }
}

/// A random job has no options: their words would be another job's.
#[test]
fn random_jobs_leave_no_line_of_a_paragraph_alone() {
    let count = std::env::var("WETOUT_TYPESET").ok().and_then(|n| n.parse().ok()).unwrap_or(12);
    let wrong = roofs::wrong(0..count, |seed| {
        let mut loaded = demo::work(&demo::request("bay")).loaded;
        loaded.job = random_job(&mut Dice::new(seed), &loaded.job);
        let Ok(job) = demo::worked(loaded) else { return Vec::new() };
        documents(&job).iter().flat_map(|document| alone(&fitting::lay_out(document).unwrap())).collect()
    });
    roofs::assert_none_wrong(&wrong, count);
}

// ---- Figures under one another --------------------------------------------------------------------------------------

/// What stands before the point of a figure of money or weight, or of any other with decimals; nothing stands behind them.
fn before_point(text: &str) -> Option<&str> {
    let (whole, decimals) = text.trim().split_once('.')?;
    let digits = whole.trim_start_matches(['£', '−', '+', '-']);
    let figures = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit() || b == b',');
    (figures(digits) && figures(decimals)).then_some(whole)
}

/// Where the points of each column's figures stand, in tenths of a point; columns of fewer than two such figures left out.
fn points_by_column(paper: &Paper) -> BTreeMap<(NodeId, usize), BTreeMap<i64, String>> {
    let cell = |node: &NodeId| matches!(paper.nodes[*node].role, NodeRole::Cell { .. } | NodeRole::HeadingCell { .. });
    let mut columns: BTreeMap<NodeId, usize> = BTreeMap::new();
    let mut met: BTreeMap<NodeId, usize> = BTreeMap::new();
    for node in (0..paper.nodes.len()).filter(cell) {
        let next = met.entry(paper.nodes[node].parent).or_default();
        columns.insert(node, *next);
        *next += 1;
    }
    let table = |mut node: NodeId| {
        while !matches!(paper.nodes[node].role, NodeRole::Table) {
            node = paper.nodes[node].parent;
        }
        node
    };
    let mut found: BTreeMap<(NodeId, usize), BTreeMap<i64, String>> = BTreeMap::new();
    let mut counts: BTreeMap<(NodeId, usize), usize> = BTreeMap::new();
    for (text, node) in owned(paper) {
        let words = text.words();
        let (Some(whole), true) = (before_point(&words), matches!(paper.nodes[node].role, NodeRole::Cell { .. }))
        else {
            continue;
        };
        // A total stands in bold, whose figures are wider.
        let bold = text.runs.iter().all(|run| run.face == Face::Bold);
        let before = shape(&[Span::plain(whole)], bold, &mut Faults::default()).natural_width(text.size);
        let place = (table(node), columns[&node]);
        *counts.entry(place).or_default() += 1;
        found.entry(place).or_default().insert(((text.x + before) * 10.0).round() as i64, words);
    }
    found.retain(|place, _| counts[place] > 1);
    found
}

/// Bold decimals are a little wider than others, and end at one place with them: a point may stand so much to the left.
const AMONG_BOLD: i64 = 15;

#[test]
fn the_points_of_a_columns_figures_stand_under_one_another() {
    let mut seen = 0;
    for (name, job) in all_jobs() {
        for document in documents(&job) {
            let paper = fitting::lay_out(&document).unwrap();
            for ((_, column), points) in points_by_column(&paper) {
                seen += 1;
                let (first, last) = (points.keys().next().unwrap(), points.keys().next_back().unwrap());
                assert!(last - first <= AMONG_BOLD, "{name}, {}: column {column}: {points:?}", document.title);
            }
        }
    }
    assert!(seen > 60, "{seen}");
}

// ---- Ink and size -------------------------------------------------------------------------------------------------

fn owned(paper: &Paper) -> impl Iterator<Item = (&Text, NodeId)> {
    let marks = paper.pages.iter().flat_map(|page| &page.marks);
    marks.filter_map(|mark| match &mark.item {
        Item::Text(text) => Some((text, mark.owner?)),
        _ => None,
    })
}

/// All but the letterhead, labels and notes of boxes, which are few.
#[test]
fn running_text_is_black() {
    for (name, job) in demos() {
        for document in documents(&job) {
            let paper = fitting::lay_out(&document).unwrap();
            let running = owned(&paper).filter(|(text, node)| {
                paragraph_of(&paper, Some(*node)).is_some() && text.link.is_none() && text.size > 8.5
            });
            let (mut black, mut other) = (0, 0);
            for (text, _) in running {
                let count = if text.ink == Ink::Black { &mut black } else { &mut other };
                *count += text.words().len();
            }
            assert!(black > 400 && 12 * other < black, "{name}, {}: {black} black, {other} not", document.title);
        }
    }
}

#[test]
fn an_order_is_read_at_arms_length() {
    let words = Words::new(&Overrides::default()).unwrap();
    for (name, job) in all_jobs() {
        let worked = job.worked();
        for view in OrderView::all(&worked) {
            let paper = fitting::lay_out(&order::document(&view, &words).unwrap()).unwrap();
            let all = paper.pages.iter().flat_map(|page| &page.marks);
            for text in all.filter_map(|mark| if let Item::Text(t) = &mark.item { Some(t) } else { None }) {
                assert!(
                    text.size >= 8.5 || text.words().trim().is_empty(),
                    "{name}: {} pt, {}",
                    text.size,
                    text.words()
                );
            }
            for code in view.needed().map(|line| line.code) {
                let set = owned(&paper).find(|(text, _)| text.words().trim() == code);
                assert!(set.is_none_or(|(text, _)| text.size >= 10.0), "{name}: {code}");
            }
            let weights = view.needed().filter_map(|line| line.mass);
            for mass in weights {
                let printed = wetout::documents::wording::kilograms_bare(mass.as_kg());
                let points: BTreeSet<i64> = points(&paper, &printed);
                assert_eq!(points.len(), 1, "{name}: the point of {printed} stands at {points:?}");
            }
        }
    }
}

/// Where the decimal points of the figures of a column stand that read so, in tenths of a point.
fn points(paper: &Paper, figure: &str) -> BTreeSet<i64> {
    let (whole, _) = figure.split_once('.').unwrap();
    let cells = owned(paper).filter(|(text, node)| {
        text.words().trim() == figure && matches!(paper.nodes[*node].role, NodeRole::Cell { .. })
    });
    let at = |text: &Text| {
        let before = shape(&[Span::plain(whole)], false, &mut Faults::default()).natural_width(text.size);
        ((text.x + before) * 10.0).round() as i64
    };
    cells.map(|(text, _)| at(text)).collect()
}

/// Whoever signs sees what it is for: the lines to write on never stand alone on a page.
#[test]
fn no_page_of_an_order_holds_the_lines_to_write_on_alone() {
    let words = Words::new(&Overrides::default()).unwrap();
    for (name, job) in all_jobs() {
        let worked = job.worked();
        for view in OrderView::all(&worked) {
            // With ever fewer lines each job is caught with its table ending at the foot of a page.
            for fewer in 0..8 {
                let mut view = view.clone();
                view.lines.truncate(view.lines.len() - fewer.min(view.lines.len() - 1));
                let paper = fitting::lay_out(&order::document(&view, &words).unwrap()).unwrap();
                let codes: BTreeSet<&str> = view.needed().map(|line| line.code).collect();
                let last = texts(paper.pages.last().unwrap());
                let told = last.iter().any(|text| codes.contains(text.trim()) || text.starts_with("Only if we say so"));
                assert!(told, "{name}, {fewer} lines fewer: {last:?}");
            }
        }
    }
}

#[test]
fn a_group_of_an_order_is_named_again_on_the_page_on_which_it_goes_on() {
    let words = Words::new(&Overrides::default()).unwrap();
    let mut seen = 0;
    for (name, job) in all_jobs() {
        let worked = job.worked();
        for view in OrderView::all(&worked) {
            let paper = fitting::lay_out(&order::document(&view, &words).unwrap()).unwrap();
            let group_of: BTreeMap<&str, &str> = view.needed().map(|line| (line.code, line.group)).collect();
            for page in paper.pages.iter().skip(1) {
                let on_page = texts(page);
                let first = on_page.iter().find_map(|text| group_of.get(text.trim()));
                let Some(group) = first else { continue };
                let at = |words: &str| on_page.iter().position(|text| text.trim() == words);
                let code = on_page.iter().position(|text| group_of.contains_key(text.trim())).unwrap();
                assert!(at(group).is_some_and(|place| place < code), "{name}: {group} is not named: {on_page:?}");
                seen += 1;
            }
        }
    }
    assert!(seen > 5, "{seen}");
}

/// Of many jobs a thread keeps what it measured: it sets the same pages as one that begins anew, and another font's as that font's.
#[test]
fn what_a_thread_measured_before_changes_no_page() {
    let bold: &'static [u8] = include_bytes!("../fonts/NotoSans-Bold.ttf");
    let face = LoadedFace::of_a_firm(bold).unwrap_or_else(|unfit| panic!("{unfit:?}"));
    let mut own = Fonts::default();
    own.replace(Face::Regular, Box::leak(Box::new(face)));
    let all: Vec<Document> =
        ["bay", "dormer"].iter().flat_map(|name| documents(&demo::work(&demo::request(name)))).collect();
    let set = |fonts: Fonts| -> Vec<String> {
        all.iter().map(|document| listing::describe(&fitting::lay_out_in(fonts, document).unwrap())).collect()
    };
    let anew = [set(Fonts::default()), set(own)];
    assert_ne!(anew[0], anew[1]);
    let kept = hands::alone(|| [set(Fonts::default()), set(own), set(Fonts::default()), set(own)]);
    assert_eq!(kept[..2], anew);
    assert_eq!(kept[2..], anew);
}
