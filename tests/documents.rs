//! Pages and PDF: text, tables, tags, pictures, and the same bytes for the same document.

use lopdf::{Dictionary, Document as Pdf, Object};
use std::collections::BTreeMap;
use wetout::model::firm::{Accent, Picture};
use wetout::pages::block::{
    Align, Attachment, Block, Closer, Column, Document, Field, FieldRoom, Figure, Fitting, Letterhead, Row, RowKind,
    Span, Table, Tone,
};
use wetout::pages::blocks::SMALL;
use wetout::pages::fonts::{Fonts, Style};
use wetout::pages::page::{FaceRun, HEIGHT, Item, Paper, Taking, Text, WIDTH};
use wetout::pages::scene::{Anchor, Ink, Mark, Scene, Spot};
use wetout::pages::{fitting, links, markdown, masthead};

fn document(blocks: Vec<Block>) -> Document {
    Document {
        title: "Quote for a flat roof".into(),
        author: "Fernhill Roofing & Sons".into(),
        subject: "Glass-fibre flat roof".into(),
        date: time::macros::date!(2026 - 11 - 25),
        reference: "26-041 revision A".into(),
        by_hand: String::new(),
        footer: "Fernhill Roofing & Sons".into(),
        standing: String::new(),
        letterhead: Letterhead { logo: None, name: "Fernhill Roofing & Sons".into(), lines: vec!["ZZ9 9ZZ".into()] },
        accent: Accent { rgb: [20, 90, 110] },
        text_size: 10.0,
        fitting: Fitting::AsSet,
        blocks,
        attachments: Vec::new(),
        closer: None,
    }
}

fn paragraph(text: &str) -> Block {
    Block::Paragraph(vec![Span::plain(text)])
}

fn heading(level: u8, text: &str) -> Block {
    Block::Heading { level, text: vec![Span::plain(text)] }
}

fn row(cells: &[&str], kind: RowKind) -> Row {
    Row { cells: cells.iter().map(|cell| vec![Span::plain(*cell)]).collect(), kind }
}

fn table(rows: Vec<Row>) -> Table {
    let column = |heading: &str, align, stretch| Column { heading: heading.into(), align, stretch, big: false };
    let columns =
        vec![column("Code", Align::Left, 0), column("What", Align::Left, 1), column("Price", Align::Right, 0)];
    Table { columns, rows, header: true }
}

fn long_table(rows: usize) -> Table {
    table((0..rows).map(|number| row(&[&format!("row {number}"), "Raised edge", "£1.00"], RowKind::Plain)).collect())
}

/// What the site's sheets are set in: one size, and a lesser one for what is read at a desk; lines to write on with their
/// labels before them.
#[test]
fn a_document_of_one_size_has_two_sizes_of_running_text_and_stands_close() {
    let fields = vec![Field { label: "Checked by".into(), twelfths: 8, room: FieldRoom::Line }];
    let blocks = vec![
        heading(1, "Sheet"),
        paragraph("Large words"),
        Block::Small(vec![paragraph("Small words")]),
        Block::Fields(fields),
    ];
    let plain = document(blocks);
    let close = fitting::lay_out(&Document { fitting: Fitting::OneSize, text_size: 12.0, ..plain.clone() }).unwrap();
    let wide = fitting::lay_out(&Document { text_size: 12.0, ..plain }).unwrap();
    let found =
        |paper: &Paper, words: &str| texts(paper, 0).into_iter().find(|t| t.words().starts_with(words)).unwrap();
    for paper in [&close, &wide] {
        assert_eq!(found(paper, "Large").size, 12.0);
        assert!((found(paper, "Small").size - 12.0 * SMALL).abs() < 1e-9);
    }
    let field = |paper: &Paper| {
        let mut areas = paper.pages[0].marks.iter().filter_map(|mark| match &mark.item {
            Item::Field { area, .. } => Some(*area),
            _ => None,
        });
        areas.next().unwrap()
    };
    let label = found(&close, "Checked by");
    assert!(label.x + label.width <= field(&close).x, "the label stands before its line");
    assert!(found(&wide, "Checked by").y > field(&wide).y + field(&wide).height, "under it where there is room");
}

/// An operation begins on what is left of a page, where that is a fifth of it or so, and ends on the next; or is longer than two
/// pages, its sheets whole; else it begins a page of its own.
#[test]
fn an_operation_goes_over_one_leaf_and_not_over_two() {
    let leaf = |drawn: usize| {
        let mut blocks = vec![Block::Sheet(numbered("step", 12))];
        blocks.extend(numbered("drawn", drawn));
        Block::Leaf(blocks)
    };
    let begun = |above: usize, drawn: usize| {
        let mut blocks = numbered("above", above);
        blocks.push(leaf(drawn));
        let paper = lay_out(blocks);
        (0..paper.pages.len())
            .map(|page| (count_of(&paper, page, "step"), count_of(&paper, page, "drawn")))
            .collect::<Vec<_>>()
    };
    let over = begun(10, 25);
    assert!(over[0].0 == 12 && over[0].1 > 0 && over[1] == (0, 25 - over[0].1), "{over:?}");
    let parted = begun(24, 6);
    assert_eq!(parted, [(9, 0), (3, 6)], "much of the page is free: the steps begin on it");
    let moved = begun(30, 6);
    assert_eq!(moved, [(0, 0), (12, 6)], "little of the page is free");
    let long = begun(10, 60);
    assert!(long[0].0 == 12 && long[0].1 > 0, "one that takes more pages wherever it begins begins here: {long:?}");
    let sheet = |above: usize, steps: usize| {
        let mut blocks = numbered("above", above);
        blocks.push(Block::Leaf(vec![Block::Sheet(numbered("step", steps))]));
        count_of(&lay_out(blocks), 0, "step")
    };
    assert!(sheet(20, 120) > 0, "a sheet that takes more pages wherever it begins begins here");
    let apart = begun(16, 45);
    assert_eq!(apart[0], (0, 0), "one that fits two pages, not this one and the next, begins a page: {apart:?}");
}

/// Where a document has a part that should stand on pages of its own: it begins one, wherever a heading would stand above it,
/// whether the document takes more pages than it should or not; its type stays, where it fits.
#[test]
fn a_part_that_should_stand_alone_begins_a_page_where_a_heading_would_stand_above_it() {
    let law = |above: Vec<Block>, law: usize, pages: usize| {
        let mut blocks = vec![heading(1, "Quote")];
        blocks.extend(above);
        blocks.extend([Block::Room(63), heading(2, "The law")]);
        blocks.extend(numbered("law", law));
        let closer = Some(Closer { pages, least: 9.0, blocks: None, found: None });
        let paper = fitting::lay_out(&Document { closer, ..document(blocks) }).unwrap();
        let at = paper.outline.iter().find(|entry| entry.title == "The law").unwrap();
        let heads = paper.outline.iter().filter(|entry| entry.page == at.page && entry.y < at.y).count();
        let words =
            (0..paper.pages.len()).flat_map(|page| texts(&paper, page)).find(|t| t.words().starts_with("law 0"));
        (at.page, heads, paper.pages.len(), words.unwrap().size)
    };
    let terms = [vec![Block::PageBreak, heading(2, "Terms")], numbered("terms", 10)].concat();
    assert_eq!(law(terms.clone(), 10, 4), (2, 0, 3, 10.0), "on fewer pages than it may, but below another heading");
    assert_eq!(law(terms, 30, 2), (2, 0, 3, 10.0), "on more than it should, and no type mends that");
    let words = [vec![Block::PageBreak], numbered("words", 10)].concat();
    assert_eq!(law(words, 10, 4), (1, 0, 2, 10.0), "below words alone it stays where it is");
}

fn lay_out(blocks: Vec<Block>) -> Paper {
    fitting::lay_out(&document(blocks)).unwrap()
}

fn texts(paper: &Paper, page: usize) -> Vec<Text> {
    let marks = paper.pages[page].marks.iter();
    marks.filter_map(|mark| if let Item::Text(text) = &mark.item { Some(text.clone()) } else { None }).collect()
}

/// Text of the body of a page, line by line.
fn body(paper: &Paper, page: usize) -> Vec<String> {
    let mut lines: Vec<(f64, String)> = Vec::new();
    for text in texts(paper, page).into_iter().filter(|text| text.y > 60.0 && text.y < masthead::BOTTOM) {
        match lines.last_mut() {
            Some((y, line)) if *y == text.y => line.push_str(&text.words()),
            _ => lines.push((text.y, text.words())),
        }
    }
    lines.into_iter().map(|(_, line)| line.trim_end().to_owned()).collect()
}

fn problems(blocks: Vec<Block>) -> Vec<String> {
    wetout::pdf::print(&document(blocks)).unwrap_err().iter().map(ToString::to_string).collect()
}

fn pdf(document: &Document) -> Pdf {
    Pdf::load_mem(&wetout::pdf::print(document).unwrap()).unwrap()
}

fn catalog(pdf: &Pdf) -> &lopdf::Dictionary {
    pdf.catalog().unwrap()
}

fn text_string(object: &Object) -> String {
    lopdf::decode_text_string(object).unwrap()
}

const SENTENCE: &str = "The boards lie across the joists and their ends meet on the middle of a joist. ";

// Characters.

const BRITISH: &str = "Siân Ŵyn Ŷnys Llŷr Ïon Zoë Chloë Beyoncé François Łukasz Żaneta Şükrü Ångström Dvořák Ó Súilleabháin \
    Màiri ÆØÅ ß Œ ² ³ ° × – — ½ ¼ ¾ ⅓ ✓ € £ § • … “ ” ‘ ’ « » ± ≤ ≥ ≈ − ÷ µ Ω → ← ↑ ↓ ☐ ⚠ ■ № @ & # % ‰ †";

#[test]
fn characters_of_names_addresses_and_measures_are_all_printed_and_can_be_copied() {
    let source = document(vec![paragraph(BRITISH)]);
    let text = pdf(&source).extract_text(&[1]).unwrap();
    for character in BRITISH.chars().filter(|character| !character.is_whitespace()) {
        assert!(text.contains(character), "{character} is not in {text}");
    }
}

#[test]
fn a_character_that_no_font_has_is_named_with_its_code_and_the_words_around_it() {
    assert_eq!(
        problems(vec![paragraph("The lead is 漢 and so on")]),
        [
            "the character “漢” (U+6F22) in “The lead is 漢 and so on” cannot be printed: no font of the documents has it; \
          write it with other characters, or leave it out"
        ]
    );
}

#[test]
fn every_missing_character_is_reported_at_once_wherever_it_stands() {
    let scene = Scene {
        width: 50.0,
        height: 20.0,
        marks: vec![Mark::Text {
            at: Spot { x: 0.0, y: 10.0 },
            text: "drawn 字".into(),
            size: 8.0,
            bold: false,
            ink: Ink::Black,
            anchor: Anchor::Start,
            turn: 0.0,
            ground: false,
        }],
        ..Scene::default()
    };
    let figure = Block::Figure(Figure { scene: scene.into(), caption: "caption 図".into(), alt: String::new() });
    let found =
        problems(vec![paragraph("漢"), figure, Block::Table(table(vec![row(&["表", "", ""], RowKind::Plain)]))]);
    assert_eq!(found.len(), 4, "{found:?}");
}

#[test]
fn a_control_character_is_a_problem_and_not_a_box() {
    let found = problems(vec![paragraph("bell\u{7}here")]);
    assert!(found[0].contains("control character (U+0007)") && found[0].contains("bell here"), "{found:?}");
    assert!(problems(vec![paragraph("a\tb")])[0].contains("U+0009"));
}

#[test]
fn accents_typed_apart_from_their_letters_are_joined() {
    let paper = lay_out(vec![paragraph("Sia\u{302}n")]);
    assert!(body(&paper, 0).contains(&"Siân".to_owned()));
}

// Lines.

fn lines_of(text: &str) -> Vec<String> {
    body(&lay_out(vec![heading(1, "T"), paragraph(text)]), 0).split_off(2)
}

#[test]
fn a_non_breaking_space_is_never_the_end_of_a_line() {
    let text = "wide words ".repeat(20) + &"one\u{a0}two\u{a0}three\u{a0}four ".repeat(20);
    for line in lines_of(&text) {
        let parted = line.ends_with("one") || line.ends_with("two") || line.ends_with("three");
        assert!(!parted, "{line}");
    }
}

#[test]
fn a_soft_hyphen_shows_only_where_a_line_ends() {
    let lines = lines_of(&"water\u{ad}".repeat(60));
    assert!(lines.len() > 2);
    let (last, before) = lines.split_last().unwrap();
    assert!(before.iter().all(|line| line.ends_with("water-") && line.starts_with("waterwater")), "{lines:?}");
    assert!(!last.contains('-'));
    assert_eq!(lines.concat().replace('-', ""), "water".repeat(60));
}

#[test]
fn a_figure_stays_with_its_unit() {
    let text = (0..200).map(|number| format!("a {} mm ", 100 + number)).collect::<String>();
    assert!(lines_of(&text).iter().all(|line| !line.starts_with("mm")));
}

#[test]
fn a_size_by_a_size_is_not_parted() {
    let text = (0..200).map(|number| format!("a {} × 590 mm ", 2000 + number)).collect::<String>();
    assert!(
        lines_of(&text).iter().all(|line| !line.ends_with('×') && !line.starts_with('×') && !line.starts_with("590"))
    );
}

/// What is read as one: addresses, references, measures, dates, numbers of telephones and houses, postcodes.
const READ_AS_ONE: [&str; 20] = [
    "office@harrow-teal.example",
    "https://harrow-teal.example/cancel-it",
    "www.harrow-teal.example",
    "26-041-B/2",
    "01632 960114",
    "GB 000 0000 00",
    "1.2 m",
    "0.392 l/s",
    "450 g/m²",
    "230 V",
    "0.16 W/m²K",
    "1.00 × 1.20 m",
    "24 December 2026",
    "Table 12.1",
    "EN 12056-3",
    "ZZ9 9ZZ",
    "ZZ9A 9ZZ",
    "10–16 °C",
    "e-mail",
    "U-value",
];

#[test]
fn what_is_read_as_one_is_never_parted_where_it_fits_on_a_line() {
    for one in READ_AS_ONE {
        let wanted = if let Some(number) = one.strip_prefix("GB ") { number } else { one };
        for before in 0..110 {
            let lines = lines_of(&format!("{} ({one}), and so on.", "a".repeat(before)));
            assert!(lines.iter().any(|line| line.contains(wanted)), "{lines:?}");
        }
    }
}

#[test]
fn what_is_read_as_one_and_is_longer_than_the_line_is_parted_where_it_may_be() {
    let lines = lines_of(&format!("a {}", "26-41-Ab-".repeat(40)));
    assert!(lines.len() > 2 && lines[2..].iter().all(|line| line.starts_with("Ab-")), "{lines:?}");
}

#[test]
fn a_paragraph_of_a_hundred_thousand_letters_is_set() {
    let paper = lay_out(vec![paragraph(&"ab ".repeat(40_000)), paragraph(&"x\u{ad}".repeat(5_000))]);
    let letters: usize =
        (0..paper.pages.len()).flat_map(|page| body(&paper, page)).map(|line| line.matches('b').count()).sum();
    assert!(letters >= 40_000);
}

#[test]
fn a_word_longer_than_the_line_is_broken_and_loses_nothing() {
    let word = "abcdefghij".repeat(500);
    let paper = lay_out(vec![paragraph(&word)]);
    let whole: String = (0..paper.pages.len()).flat_map(|page| body(&paper, page)).collect();
    assert!(whole.contains(&word));
}

#[test]
fn a_hard_break_ends_its_line() {
    assert_eq!(lines_of("one\ntwo\n\nfour"), ["one", "two", "", "four"]);
}

#[test]
fn a_heading_over_two_lines_has_lines_of_about_the_same_length() {
    let title = "A rather long title that does not fit on a single line of the page at this size";
    let paper = lay_out(vec![heading(1, title)]);
    let widths: Vec<f64> = texts(&paper, 0).iter().filter(|text| text.size == 20.0).map(|text| text.width).collect();
    assert_eq!(widths.len(), 2);
    assert!((widths[0] - widths[1]).abs() < 0.2 * widths[0], "{widths:?}");
}

#[test]
fn letters_are_kerned() {
    let glyph = |letter| Fonts::default().glyph(Style::default(), letter).unwrap();
    assert!(Fonts::default().kern(glyph('A').face, glyph('A').id, glyph('V').id) < 0);
    assert_eq!(Fonts::default().kern(glyph('H').face, glyph('H').id, glyph('I').id), 0);
}

#[test]
fn every_line_stays_between_the_margins_whatever_the_content() {
    let nested = (0..6).fold(vec![paragraph(SENTENCE)], |inner, _| {
        vec![Block::List { ordered: true, items: vec![inner.clone(), vec![], inner] }]
    });
    let blocks = vec![
        heading(1, &"Supercalifragilistic".repeat(8)),
        heading(2, ""),
        paragraph(&SENTENCE.repeat(200)),
        paragraph(&"x".repeat(10_000)),
        Block::Table(table(vec![row(&[&"W".repeat(300), SENTENCE, &"9".repeat(90)], RowKind::Plain)])),
        Block::Facts(vec![("L".repeat(200), vec![Span::plain("V".repeat(200))]), (String::new(), Vec::new())]),
        Block::Headline { label: SENTENCE.repeat(3), figure: "£".repeat(80), note: String::new() },
        Block::Callout { tone: Tone::Caution, title: "T".repeat(200), blocks: nested.clone() },
        Block::Columns(vec![nested, vec![paragraph(&"y".repeat(200))], vec![]]),
        Block::Ticks(vec![vec![Span::plain("z".repeat(300))], Vec::new()]),
        Block::Fields(vec![Field { label: "f".repeat(200), twelfths: 3, room: FieldRoom::Line }]),
    ];
    let paper = lay_out(blocks);
    for page in 0..paper.pages.len() {
        for text in texts(&paper, page) {
            let right = text.x + text.width;
            assert!(text.x >= masthead::MARGIN - 0.1, "{} starts at {}", text.words(), text.x);
            assert!(right <= WIDTH - masthead::MARGIN + 3.0, "{} ends at {right}", text.words());
            assert!(text.y > 30.0 && text.y < HEIGHT - 30.0);
        }
    }
}

// Pages.

#[test]
fn each_page_says_which_of_how_many_it_is() {
    let paper = lay_out(vec![paragraph(&SENTENCE.repeat(120))]);
    let count = paper.pages.len();
    assert!(count > 1);
    for page in 0..count {
        let expected = format!("page {} of {count}", page + 1);
        assert!(texts(&paper, page).iter().any(|text| text.words() == expected));
    }
}

#[test]
fn reference_and_title_stand_at_the_head_of_every_further_page() {
    let paper = lay_out(vec![Block::PageBreak, paragraph("two"), Block::PageBreak, paragraph("three")]);
    assert_eq!(paper.pages.len(), 3);
    for page in 1..3 {
        let words: Vec<String> = texts(&paper, page).iter().map(Text::words).collect();
        assert!(words.contains(&"26-041 revision A".into()) && words.contains(&"Quote for a flat roof".into()));
    }
}

#[test]
fn page_breaks_that_follow_each_other_or_end_the_text_leave_no_empty_page() {
    let paper = lay_out(vec![paragraph("one"), Block::PageBreak, Block::PageBreak, paragraph("two"), Block::PageBreak]);
    assert_eq!(paper.pages.len(), 2);
}

#[test]
fn no_heading_stands_alone_at_the_foot_of_a_page() {
    for lines in 0..70 {
        let mut blocks: Vec<Block> = (0..lines).map(|number| paragraph(&format!("line {number}"))).collect();
        blocks.extend([heading(2, "The heading"), paragraph(&SENTENCE.repeat(4))]);
        let paper = lay_out(blocks);
        for page in 0..paper.pages.len() {
            assert_ne!(body(&paper, page).last().map(String::as_str), Some("The heading"), "after {lines} lines");
        }
    }
}

#[test]
fn a_heading_and_its_sentence_stay_with_the_headed_list_that_follows() {
    // So many lines above it that heading and sentence still fit on the page, and the next heading does not.
    for lines in 30..60 {
        let above = (0..lines).map(|n| paragraph(&format!("Line {n}")));
        let headed = [heading(2, "Corners"), paragraph("Numbers as on the plan."), heading(3, "Main roof")];
        let paper = lay_out(above.chain(headed).chain([paragraph("Mitre it."), paragraph("Bond it.")]).collect());
        let page = |words: &str| {
            (0..paper.pages.len()).find(|page| body(&paper, *page).iter().any(|line| line.contains(words))).unwrap()
        };
        assert_eq!(page("Corners"), page("Main roof"), "after {lines} lines");
        assert_eq!(page("Main roof"), page("Mitre it."), "after {lines} lines");
    }
}

#[test]
fn two_lines_of_a_paragraph_at_least_stand_on_either_side_of_a_page_break() {
    for lines in 0..12 {
        let mut blocks: Vec<Block> = (0..24 + lines).map(|number| paragraph(&format!("line {number}"))).collect();
        blocks.push(paragraph(&SENTENCE.repeat(7)));
        let paper = lay_out(blocks);
        let long = |page: usize| body(&paper, page).iter().filter(|line| line.len() > 60).count();
        if paper.pages.len() == 2 {
            assert_ne!((long(0), long(1)), (1, long(1)), "one line left behind after {lines}");
            assert_ne!(body(&paper, 1).len(), 1, "one line alone after {lines}");
        }
    }
}

#[test]
fn a_table_repeats_its_headings_on_each_page_and_loses_no_row() {
    let paper = lay_out(vec![Block::Table(long_table(400))]);
    let mut rows = 0;
    for page in 0..paper.pages.len() {
        let lines = body(&paper, page);
        assert_eq!(lines.iter().filter(|line| line.starts_with("Code")).count(), 1, "page {page}");
        rows += lines.iter().filter(|line| line.starts_with("row ")).count();
    }
    assert_eq!(rows, 400);
    assert!(paper.pages.len() > 5);
}

#[test]
fn a_repeated_heading_is_decoration_and_the_first_is_not() {
    let paper = lay_out(vec![Block::Table(long_table(100))]);
    let owned = |page: usize| {
        let marks = paper.pages[page].marks.iter();
        let mut codes = marks.filter(|mark| matches!(&mark.item, Item::Text(text) if text.words() == "Code"));
        codes.next().unwrap().owner.is_some()
    };
    assert!(owned(0) && !owned(1));
}

#[test]
fn a_group_row_is_kept_with_the_next_row_and_a_total_with_the_row_before() {
    for lines in 0..70 {
        let mut rows: Vec<Row> = (0..lines).map(|n| row(&[&format!("row {n}"), "", ""], RowKind::Plain)).collect();
        rows.push(row(&["Group", "", ""], RowKind::Group));
        rows.push(row(&["member", "", ""], RowKind::Plain));
        rows.push(row(&["Total", "", ""], RowKind::Total));
        let paper = lay_out(vec![Block::Table(table(rows))]);
        for page in 0..paper.pages.len() {
            let lines = body(&paper, page);
            assert_ne!(lines.last().map(String::as_str), Some("Group"));
            let place = lines.iter().position(|line| line == "Total");
            assert!(place.is_none_or(|place| lines[place - 1] == "member"), "{lines:?}");
        }
    }
}

#[test]
fn a_row_taller_than_a_page_goes_on_over_pages() {
    let paper = lay_out(vec![Block::Table(table(vec![row(&["tall", &SENTENCE.repeat(150), ""], RowKind::Plain)]))]);
    assert!(paper.pages.len() >= 2);
    let whole: String = (0..paper.pages.len()).flat_map(|page| body(&paper, page)).collect::<Vec<_>>().join(" ");
    assert_eq!(whole.matches("middle of a joist").count(), 150);
}

#[test]
fn figures_in_a_right_hand_column_end_at_the_same_edge() {
    let rows = ["£1.00", "£1,234.50", "£99.99"].map(|price| row(&["a", "b", price], RowKind::Plain));
    let paper = lay_out(vec![Block::Table(table(rows.to_vec()))]);
    let ends: Vec<f64> =
        texts(&paper, 0).iter().filter(|text| text.words().starts_with('£')).map(|text| text.x + text.width).collect();
    assert_eq!(ends.len(), 3);
    assert!(ends.iter().all(|end| (end - ends[0]).abs() < 0.01), "{ends:?}");
}

#[test]
fn a_long_callout_says_on_the_next_page_that_it_goes_on() {
    let blocks = vec![paragraph(&SENTENCE.repeat(90))];
    let paper = lay_out(vec![Block::Callout { tone: Tone::Hold, title: "Deck".into(), blocks }]);
    assert!(paper.pages.len() >= 2);
    assert!(body(&paper, 0).contains(&"■ Hold point: Deck".into()));
    assert_eq!(body(&paper, 1)[0], "■ Hold point: Deck (continued)");
}

#[test]
fn blocks_that_are_kept_together_move_to_the_next_page_together() {
    let mut blocks: Vec<Block> = (0..30).map(|number| paragraph(&format!("line {number}"))).collect();
    blocks.push(Block::Keep((0..20).map(|number| paragraph(&format!("kept {number}"))).collect()));
    let paper = lay_out(blocks);
    assert!(body(&paper, 0).iter().all(|line| !line.starts_with("kept")));
    assert_eq!(body(&paper, 1).iter().filter(|line| line.starts_with("kept")).count(), 20);
}

fn numbered(word: &str, count: usize) -> Vec<Block> {
    (0..count).map(|number| paragraph(&format!("{word} {number}"))).collect()
}

fn count_of(paper: &Paper, page: usize, word: &str) -> usize {
    body(paper, page).iter().filter(|line| line.starts_with(word)).count()
}

#[test]
fn sheets_share_a_page_where_they_fit_and_are_not_cut_where_they_do_not() {
    let paper = lay_out(vec![
        Block::Sheet(numbered("first", 10)),
        Block::Sheet(numbered("second", 10)),
        Block::Sheet(numbered("third", 20)),
    ]);
    assert_eq!((count_of(&paper, 0, "first"), count_of(&paper, 0, "second")), (10, 10));
    assert_eq!((count_of(&paper, 0, "third"), count_of(&paper, 1, "third")), (0, 20));
}

#[test]
fn a_sheet_longer_than_a_page_begins_one_and_is_parted_before_a_lesser_heading() {
    let sheet = |fixes, corners| {
        let mut long = vec![heading(2, "Trims")];
        long.extend(numbered("fix", fixes));
        long.push(heading(3, "Corners"));
        long.extend(numbered("corner", corners));
        lay_out(vec![paragraph("before"), Block::Sheet(long)])
    };
    let paper = sheet(24, 15);
    assert_eq!(count_of(&paper, 0, "before") + count_of(&paper, 0, "fix"), 1, "{:?}", body(&paper, 0));
    assert_eq!((count_of(&paper, 1, "fix"), count_of(&paper, 1, "Corners")), (24, 1));
    assert_eq!((count_of(&paper, 1, "corner"), count_of(&paper, 2, "corner")), (6, 9), "a long section fills the page");
    let paper = sheet(33, 3);
    assert_eq!((count_of(&paper, 1, "Corners"), count_of(&paper, 2, "Corners")), (0, 1), "a short one is not parted");
    assert_eq!(count_of(&paper, 2, "corner"), 3);
}

#[test]
fn a_sheet_a_little_longer_than_a_page_leaves_no_page_with_a_line_or_two() {
    let fits = count_of(&lay_out(numbered("line", 200)), 1, "line");
    // More than type a twenty-fifth smaller would save.
    for over in 3..7 {
        let paper = lay_out(vec![paragraph("before"), Block::Sheet(numbered("line", fits + over))]);
        let last = count_of(&paper, 2, "line");
        assert!(last * 5 >= fits, "{over} over: {last} of {fits} lines on the last page");
    }
}

#[test]
fn what_is_kept_together_and_longer_than_a_page_is_parted() {
    let blocks = (0..100).map(|number| paragraph(&format!("kept {number}"))).collect();
    let paper = lay_out(vec![Block::Keep(blocks)]);
    assert_eq!(
        (0..paper.pages.len()).flat_map(|page| body(&paper, page)).filter(|l| l.starts_with("kept")).count(),
        100
    );
}

fn figure(width: f64, height: f64) -> Block {
    let scene = Scene { width, height, ..Scene::default() };
    Block::Figure(Figure { scene: scene.into(), caption: "The plan".into(), alt: "A plan".into() })
}

fn drawings(paper: &Paper) -> Vec<(usize, f64, f64)> {
    let marks =
        paper.pages.iter().enumerate().flat_map(|(page, marks)| marks.marks.iter().map(move |mark| (page, mark)));
    marks
        .filter_map(|(page, mark)| match &mark.item {
            Item::Drawing { area, scale, .. } => Some((page, area.width, *scale)),
            _ => None,
        })
        .collect()
}

#[test]
fn a_drawing_is_made_smaller_only_when_it_is_larger_than_the_text() {
    assert_eq!(drawings(&lay_out(vec![figure(200.0, 100.0)])), [(0, 200.0, 1.0)]);
    let (_, width, scale) = drawings(&lay_out(vec![figure(2000.0, 100.0)]))[0];
    assert!((width - masthead::TEXT.width).abs() < 0.01 && scale < 1.0);
    let (_, _, scale) = drawings(&lay_out(vec![figure(100.0, 5000.0)]))[0];
    assert!(scale < 0.15);
}

#[test]
fn text_fills_the_page_that_a_drawing_does_not_fit_on() {
    let mut blocks: Vec<Block> = (0..20).map(|number| paragraph(&format!("line {number}"))).collect();
    blocks.push(figure(400.0, 400.0));
    blocks.push(paragraph(&SENTENCE.repeat(3)));
    let paper = lay_out(blocks);
    assert_eq!(drawings(&paper)[0].0, 1);
    assert!(body(&paper, 0).last().unwrap().contains("joist"), "{:?}", body(&paper, 0));
}

#[test]
fn empty_blocks_print() {
    let blocks = vec![
        paragraph(""),
        heading(2, "  "),
        Block::List { ordered: false, items: vec![vec![], vec![paragraph("")]] },
        Block::Table(Table { columns: Vec::new(), rows: Vec::new(), header: true }),
        Block::Table(table(Vec::new())),
        Block::Columns(Vec::new()),
        Block::Columns(vec![Vec::new(), Vec::new()]),
        Block::Facts(Vec::new()),
        Block::Fields(Vec::new()),
        Block::Ticks(Vec::new()),
        Block::Keep(Vec::new()),
        Block::Callout { tone: Tone::Note, title: String::new(), blocks: Vec::new() },
        figure(0.0, 0.0),
    ];
    assert!(wetout::pdf::print(&document(blocks)).is_ok());
    assert!(
        wetout::pdf::print(&Document { title: String::new(), reference: String::new(), ..document(Vec::new()) })
            .is_ok()
    );
}

#[test]
fn the_pages_as_text_show_place_size_and_meaning() {
    let told = fitting::describe(&document(vec![heading(2, "Price"), paragraph("Nothing.")])).unwrap();
    let lines: Vec<&str> = told.lines().collect();
    assert_eq!(lines[0], "page 1 of 1");
    assert!(lines.iter().any(|line| line.trim_start().starts_with("h2 ") && line.ends_with("14.0  Price")), "{told}");
    assert!(lines.iter().any(|line| line.trim_start().starts_with("p ") && line.ends_with("10.0  Nothing.")), "{told}");
}

/// Random blocks from a fixed beginning; each word is a number of its own, so that none can be lost or doubled.
struct Dice {
    state: u64,
    words: usize,
}

impl Dice {
    fn below(&mut self, limit: u64) -> u64 {
        self.state = self.state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.state >> 33) % limit
    }

    fn spans(&mut self, most: u64) -> Vec<Span> {
        let count = self.below(most);
        let mut word = || {
            self.words += 1;
            format!("w{} ", self.words)
        };
        let text = (0..count).map(|_| word()).collect::<String>();
        vec![Span::plain(text), Span::bold(word())]
    }

    fn several(&mut self, most: u64, depth: u64) -> Vec<Block> {
        (0..self.below(most)).map(|_| self.block(depth)).collect()
    }

    fn table(&mut self) -> Block {
        let kinds = [RowKind::Plain, RowKind::Plain, RowKind::Plain, RowKind::Marked, RowKind::Total];
        let mut one = || {
            let kind = kinds[self.below(5) as usize];
            let long = if self.below(12) == 0 { 900 } else { 12 };
            Row { cells: vec![self.spans(3), self.spans(long), self.spans(2)], kind }
        };
        let rows = (0..30).map(|_| one()).collect();
        Block::Table(table(rows))
    }

    fn block(&mut self, depth: u64) -> Block {
        match self.below(if depth == 0 { 6 } else { 14 }) {
            0 => Block::Heading { level: 1 + self.below(3) as u8, text: self.spans(9) },
            1 | 2 => Block::Paragraph(self.spans(200)),
            3 => figure(50.0 + self.below(900) as f64, 20.0 + self.below(900) as f64),
            4 => Block::Ticks((0..self.below(6)).map(|_| self.spans(30)).collect()),
            5 => Block::Facts((0..self.below(6)).map(|_| (String::new(), self.spans(30))).collect()),
            6 => self.table(),
            7 => Block::Callout { tone: Tone::Caution, title: "Mind".into(), blocks: self.several(7, depth - 1) },
            8 => Block::List { ordered: true, items: (0..self.below(5)).map(|_| self.several(3, depth - 1)).collect() },
            9 => Block::Columns((0..self.below(4)).map(|_| self.several(3, depth - 1)).collect()),
            10 => Block::Sheet(self.several(9, depth - 1)),
            11 => Block::Leaf(self.several(9, depth - 1)),
            12 => Block::Small(self.several(9, depth - 1)),
            _ => Block::Keep(self.several(6, depth - 1)),
        }
    }
}

#[test]
fn any_mixture_of_blocks_is_set_inside_the_page_and_no_word_is_lost_or_doubled() {
    for seed in 0..25 {
        let mut dice = Dice { state: seed, words: 0 };
        let blocks: Vec<Block> = (0..14).map(|_| dice.block(3)).collect();
        let paper = lay_out(blocks);
        let mut words: Vec<usize> = Vec::new();
        for mark in paper.pages.iter().flat_map(|page| &page.marks).filter(|mark| mark.owner.is_some()) {
            let Item::Text(text) = &mark.item else { continue };
            assert!(text.y < masthead::BOTTOM, "{} stands at {} with seed {seed}", text.words(), text.y);
            let found = text.words();
            words.extend(found.split(' ').filter_map(|word| word.strip_prefix('w')?.parse::<usize>().ok()));
        }
        words.sort_unstable();
        assert!(words.iter().copied().eq(1..=dice.words), "seed {seed}: {} of {}", words.len(), dice.words);
    }
}

// Pictures.

fn png() -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 40, 20);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let pixels: Vec<u8> =
        (0..40 * 20).flat_map(|n: u32| [(n % 251) as u8, (n * 7 % 253) as u8, 80, (n % 256) as u8]).collect();
    encoder.write_header().unwrap().write_image_data(&pixels).unwrap();
    bytes
}

fn logo() -> Picture {
    Picture { name: "logo.png".into(), bytes: png().into(), ..Picture::default() }
}

/// A JPEG of 32 × 16 pixels with 1, 3 or 4 planes and an EXIF orientation.
pub fn jpeg(colours: u8, orientation: u8) -> Vec<u8> {
    let kind = match colours {
        1 => jpeg_encoder::ColorType::Luma,
        3 => jpeg_encoder::ColorType::Rgb,
        _ => jpeg_encoder::ColorType::Cmyk,
    };
    let pixels: Vec<u8> = (0..32 * 16 * usize::from(colours)).map(|n| (n % 251) as u8).collect();
    crate::photographs::encoded(&pixels, 32, 16, kind, orientation)
}

/// A JPEG from its first quantisation table on (ITU-T T.81, B.2.4.1): what the camera writes of itself stands before.
pub fn image_of(jpeg: &[u8]) -> Vec<u8> {
    let at = jpeg.windows(2).position(|marker| marker == [0xFF, 0xDB]).unwrap();
    jpeg[at..].to_vec()
}

fn photo(name: &str, bytes: Vec<u8>) -> Block {
    Block::Photo {
        picture: Picture { name: name.into(), bytes: bytes.into(), ..Picture::default() },
        caption: "c".into(),
        alt: "a".into(),
    }
}

#[test]
fn a_broken_or_cut_picture_is_a_problem_that_names_the_file() {
    for length in [12, 40, 80, png().len() - 14, png().len() - 5] {
        let found = problems(vec![photo("logo.png", png()[..length].to_vec())]);
        assert_eq!(found, ["the picture logo.png is broken or cut short; save or copy it again"], "cut at {length}");
    }
    for length in [3, 10, 50, jpeg(3, 1).len() - 1] {
        let found = problems(vec![photo("roof.jpg", jpeg(3, 1)[..length].to_vec())]);
        assert_eq!(found, ["the picture roof.jpg is broken or cut short; save or copy it again"], "cut at {length}");
    }
    assert!(problems(vec![photo("roof.gif", b"GIF89a".to_vec())])[0].contains("neither a PNG nor a JPEG"));
    assert!(problems(vec![photo("roof.jpg", jpeg(4, 1))])[0].contains("print colours"));
}

#[test]
fn a_jpeg_goes_into_the_file_byte_for_byte_but_for_what_the_camera_wrote_of_itself() {
    let pdf = pdf(&document(vec![photo("roof.jpg", jpeg(3, 1))]));
    let image = image_of(&jpeg(3, 1));
    let mut streams = pdf.objects.values().filter_map(|object| object.as_stream().ok());
    let kept = streams.find(|stream| stream.content.ends_with(&image)).unwrap();
    assert!(!kept.content.windows(4).any(|w| w == b"Exif"));
}

#[test]
fn a_picture_taken_on_its_side_stands_upright() {
    let size = |orientation| {
        let paper = lay_out(vec![photo("roof.jpg", jpeg(3, orientation))]);
        let mut areas = paper.pages[0].marks.iter().filter_map(|mark| match &mark.item {
            Item::Picture { area, .. } => Some(area.width / area.height),
            _ => None,
        });
        areas.next().unwrap()
    };
    assert!((size(1) - 2.0).abs() < 1e-9 && (size(6) - 0.5).abs() < 1e-9);
}

#[test]
fn a_logo_with_transparent_parts_keeps_them() {
    let mut source = document(Vec::new());
    source.letterhead.logo = Some(logo());
    let pdf = pdf(&source);
    let masked =
        pdf.objects.values().filter_map(|object| object.as_stream().ok()).any(|stream| stream.dict.has(b"SMask"));
    assert!(masked);
}

// The file.

/// A document with something of everything.
fn everything() -> Document {
    let mut source = document(vec![
        heading(2, "Scope"),
        Block::Paragraph(vec![
            Span::plain("See "),
            Span { link: Some("https://fernhill.example/care".into()), ..Span::plain("the guide") },
            Span::plain(" first."),
        ]),
        heading(3, "Detail"),
        Block::List { ordered: true, items: vec![vec![paragraph("one")], vec![paragraph("two")]] },
        figure(100.0, 50.0),
        heading(2, "Price"),
        Block::Table(table(vec![
            row(&["Group", "", ""], RowKind::Group),
            row(&["a", "b", "£1.00"], RowKind::Plain),
            row(&["", "Total", "£1.00"], RowKind::Total),
        ])),
        Block::Choices(vec![vec![Span::plain("In green: £12.50 more")], vec![Span::plain("I have read it.")]]),
        Block::Fields(vec![
            Field { label: "Name".into(), twelfths: 6, room: FieldRoom::Line },
            Field { label: "Name".into(), twelfths: 6, room: FieldRoom::Line },
            Field { label: "Signature".into(), twelfths: 12, room: FieldRoom::Signature },
        ]),
    ]);
    source.attachments = vec![Attachment {
        name: "order.csv".into(),
        mime: "text/csv".into(),
        description: "The lines of the order".into(),
        bytes: b"code,quantity\n".to_vec(),
    }];
    source
}

/// The tags below an element, as `Tag(children)`.
fn tags(pdf: &Pdf, element: &Object) -> String {
    let dictionary = match element {
        Object::Reference(id) => pdf.get_dictionary(*id).unwrap(),
        Object::Dictionary(dictionary) => dictionary,
        _ => return String::new(),
    };
    let Ok(name) = dictionary.get(b"S").and_then(Object::as_name) else { return String::new() };
    let name = String::from_utf8_lossy(name);
    let kids = match dictionary.get(b"K") {
        Ok(Object::Array(kids)) => kids.as_slice(),
        Ok(kid) => std::slice::from_ref(kid),
        Err(_) => &[],
    };
    let kids: Vec<String> = kids.iter().map(|kid| tags(pdf, kid)).filter(|kid| !kid.is_empty()).collect();
    if kids.is_empty() { name.into_owned() } else { format!("{name}({})", kids.join(" ")) }
}

#[test]
fn the_tags_say_what_everything_is_in_reading_order() {
    let pdf = pdf(&everything());
    let root = pdf.get_dictionary(catalog(&pdf).get(b"StructTreeRoot").unwrap().as_reference().unwrap()).unwrap();
    let found = tags(&pdf, &root.get(b"K").unwrap().as_array().unwrap()[0]);
    assert_eq!(
        found,
        "Document(P P P H1 H2 P(Link) H3 L(LI(Lbl LBody) LI(Lbl LBody)) Figure P H2 \
         Table(THead(TR(TH TH TH)) TBody(TR(TH) TR(TD TD TD) TR(TD TD TD))) \
         L(LI(Lbl(Form) LBody) LI(Lbl(Form) LBody)) P Form P Form P)"
    );
}

#[test]
fn every_mark_that_means_something_leads_back_to_its_tag() {
    let pdf = pdf(&everything());
    let root = pdf.get_dictionary(catalog(&pdf).get(b"StructTreeRoot").unwrap().as_reference().unwrap()).unwrap();
    let tree = pdf.get_dictionary(root.get(b"ParentTree").unwrap().as_reference().unwrap()).unwrap();
    let numbers = tree.get(b"Nums").unwrap().as_array().unwrap();
    for (place, page) in pdf.get_pages().into_values().enumerate() {
        let content = lopdf::content::Content::decode(&pdf.get_page_content(page)).unwrap();
        let marked = content.operations.iter().filter(|operation| operation.operator == "BDC");
        let with_number = marked.filter(|operation| operation.operands[1].as_dict().unwrap().has(b"MCID")).count();
        let back = pdf.get_object(numbers[2 * place + 1].as_reference().unwrap()).unwrap().as_array().unwrap();
        assert_eq!(with_number, back.len());
    }
}

#[test]
fn the_outline_nests_headings_under_headings() {
    let pdf = pdf(&everything());
    let read = |id: &Object| pdf.get_dictionary(id.as_reference().unwrap()).unwrap();
    let title = read(read(catalog(&pdf).get(b"Outlines").unwrap()).get(b"First").unwrap());
    let scope = read(title.get(b"First").unwrap());
    let detail = read(scope.get(b"First").unwrap());
    let price = read(scope.get(b"Next").unwrap());
    let names = [title, scope, detail, price].map(|item| text_string(item.get(b"Title").unwrap()));
    assert_eq!(names, ["Quote for a flat roof", "Scope", "Detail", "Price"]);
}

#[test]
fn language_title_and_profile_are_set() {
    let pdf = pdf(&everything());
    assert_eq!(text_string(catalog(&pdf).get(b"Lang").unwrap()), "en-GB");
    assert_eq!(pdf.version, "1.7");
    let intents = catalog(&pdf).get(b"OutputIntents").unwrap().as_array().unwrap();
    let intent = pdf.get_dictionary(intents[0].as_reference().unwrap()).unwrap();
    let profile = pdf.get_object(intent.get(b"DestOutputProfile").unwrap().as_reference().unwrap()).unwrap();
    let profile = profile.as_stream().unwrap().decompressed_content().unwrap();
    assert_eq!(&profile[36..40], b"acsp");
    assert_eq!(u32::from_be_bytes(profile[0..4].try_into().unwrap()) as usize, profile.len());
}

#[test]
fn metadata_and_information_say_the_same() {
    let mut source = everything();
    source.title = "Siân & Co <roof> – ½ “new”".into();
    let pdf = pdf(&source);
    let information = pdf.get_dictionary(pdf.trailer.get(b"Info").unwrap().as_reference().unwrap()).unwrap();
    assert_eq!(text_string(information.get(b"Title").unwrap()), source.title);
    assert_eq!(text_string(information.get(b"Author").unwrap()), source.author);
    assert_eq!(text_string(information.get(b"CreationDate").unwrap()), "D:20261125000000Z");
    let packet = pdf.get_object(catalog(&pdf).get(b"Metadata").unwrap().as_reference().unwrap()).unwrap();
    let packet = String::from_utf8(packet.as_stream().unwrap().content.clone()).unwrap();
    assert!(packet.contains("<rdf:li xml:lang=\"x-default\">Siân &amp; Co &lt;roof&gt; – ½ “new”</rdf:li>"));
    assert!(packet.contains("<rdf:li>Fernhill Roofing &amp; Sons</rdf:li>"));
    assert!(packet.contains("<xmp:CreateDate>2026-11-25T00:00:00Z</xmp:CreateDate>"));
}

#[test]
fn an_attachment_is_in_the_file_whole_and_associated() {
    let pdf = pdf(&everything());
    let associated = catalog(&pdf).get(b"AF").unwrap().as_array().unwrap();
    let specification = pdf.get_dictionary(associated[0].as_reference().unwrap()).unwrap();
    assert_eq!(text_string(specification.get(b"UF").unwrap()), "order.csv");
    assert_eq!(specification.get(b"AFRelationship").unwrap().as_name().unwrap(), b"Data");
    let file = specification.get(b"EF").unwrap().as_dict().unwrap().get(b"F").unwrap().as_reference().unwrap();
    assert_eq!(pdf.get_object(file).unwrap().as_stream().unwrap().content, b"code,quantity\n");
}

#[test]
fn fields_can_be_filled_in_and_have_names_of_their_own() {
    let pdf = pdf(&everything());
    let form = catalog(&pdf).get(b"AcroForm").unwrap().as_dict().unwrap();
    let fields = form.get(b"Fields").unwrap().as_array().unwrap();
    let name = |id: &Object| text_string(pdf.get_dictionary(id.as_reference().unwrap()).unwrap().get(b"T").unwrap());
    assert_eq!(fields.iter().map(name).collect::<Vec<_>>(), ["Tick", "Tick 2", "Price: Name", "Price: Name 2"]);
}

/// A program that fills a field may write over what the field had: fields that share it would all show the same.
#[test]
fn no_two_fields_share_what_they_look_like() {
    fn looks(object: &Object) -> Vec<lopdf::ObjectId> {
        match object {
            Object::Reference(id) => vec![*id],
            Object::Dictionary(states) => states.iter().flat_map(|(_, object)| looks(object)).collect(),
            _ => Vec::new(),
        }
    }
    let pdf = pdf(&everything());
    let fields = pdf.objects.values().filter_map(|object| object.as_dict().ok()?.get(b"AP").ok());
    let mut all: Vec<lopdf::ObjectId> = fields.flat_map(looks).collect();
    let count = all.len();
    all.sort_unstable();
    all.dedup();
    assert_eq!((count, all.len()), (4, 4), "two boxes to tick and two to write in have a look each");
}

/// ISO 32000-1, 12.7.4.2.3: the states of a check box are the names of its appearances; that of `Off` may be left out, and is
/// then nothing.
#[test]
fn a_choice_can_be_ticked_on_a_screen_and_is_not_ticked_yet() {
    let pdf = pdf(&everything());
    let form = catalog(&pdf).get(b"AcroForm").unwrap().as_dict().unwrap();
    let first = form.get(b"Fields").unwrap().as_array().unwrap()[0].as_reference().unwrap();
    let field = pdf.get_dictionary(first).unwrap();
    let name = |key: &[u8]| field.get(key).unwrap().as_name().unwrap();
    assert_eq!([name(b"FT"), name(b"V"), name(b"AS")], [b"Btn".as_slice(), b"Off", b"Off"]);
    assert_eq!(text_string(field.get(b"TU").unwrap()), "In green: £12.50 more");
    let looks = field.get(b"AP").unwrap().as_dict().unwrap().get(b"N").unwrap().as_dict().unwrap();
    let ticked = pdf.get_object(looks.get(b"Yes").unwrap().as_reference().unwrap()).unwrap().as_stream().unwrap();
    assert!(looks.len() == 1 && ticked.get_plain_content().unwrap().ends_with(b"S"));
}

/// The box is printed on the page, so that it is there on paper too; the field lies over it.
#[test]
fn the_field_of_a_choice_lies_over_its_printed_box() {
    let paper = lay_out(vec![Block::Choices(vec![vec![Span::plain("words ".repeat(60))]])]);
    let marks = &paper.pages[0].marks;
    let area = marks
        .iter()
        .find_map(|m| if let Item::Field { area, taking: Taking::Tick, .. } = &m.item { Some(*area) } else { None });
    let area = area.unwrap();
    let sign = texts(&paper, 0).into_iter().find(|text| text.words() == "☐").unwrap();
    assert!((sign.x - area.x).abs() < 0.1 && sign.width < area.width + 4.0, "{sign:?} {area:?}");
    assert!(sign.y > area.y + 0.6 * area.height && sign.y < area.y + area.height + 2.0, "{sign:?} {area:?}");
}

#[test]
fn the_widths_that_the_file_states_are_those_of_its_fonts() {
    use allsorts::binary::read::ReadScope;
    use allsorts::tables::cmap::{Cmap, CmapSubtable, EncodingId, PlatformId};
    use allsorts::tables::{FontTableProvider, HeadTable, HheaTable, HmtxTable, MaxpTable};
    use allsorts::tag;
    let pdf = pdf(&document(vec![paragraph(BRITISH), Block::Paragraph(vec![Span::bold("Bold Text 0123456789")])]));
    let mut checked = 0;
    let fonts = pdf.objects.values().filter_map(|object| object.as_dict().ok());
    for font in fonts.filter(|font| font.has(b"Widths")) {
        let descriptor = pdf.get_dictionary(font.get(b"FontDescriptor").unwrap().as_reference().unwrap()).unwrap();
        let file = pdf.get_object(descriptor.get(b"FontFile2").unwrap().as_reference().unwrap()).unwrap();
        let file = file.as_stream().unwrap().decompressed_content().unwrap();
        let data = ReadScope::new(&file).read::<allsorts::font_data::FontData<'_>>().unwrap();
        let tables = data.table_provider(0).unwrap();
        let [head, hhea, maxp, hmtx, cmap] =
            [tag::HEAD, tag::HHEA, tag::MAXP, tag::HMTX, tag::CMAP].map(|tag| tables.read_table_data(tag).unwrap());
        let units = i64::from(ReadScope::new(&head).read::<HeadTable>().unwrap().units_per_em);
        let glyphs = usize::from(ReadScope::new(&maxp).read::<MaxpTable>().unwrap().num_glyphs);
        let metrics = usize::from(ReadScope::new(&hhea).read::<HheaTable>().unwrap().num_h_metrics);
        let whole = ReadScope::new(&hmtx).read_dep::<HmtxTable<'_>>((glyphs, metrics)).unwrap();
        // By the table that a PDF's reader looks a letter up in (ISO 32000-1, 9.6.6.4).
        let cmap = ReadScope::new(&cmap).read::<Cmap<'_>>().unwrap();
        let record = cmap.find_subtable(PlatformId::WINDOWS, EncodingId::WINDOWS_UNICODE_BMP_UCS2).unwrap();
        let letters = cmap.scope.offset(record.offset as usize).read::<CmapSubtable<'_>>().unwrap();
        let first = font.get(b"FirstChar").unwrap().as_i64().unwrap();
        for (place, width) in font.get(b"Widths").unwrap().as_array().unwrap().iter().enumerate() {
            // Codes of ASCII are the letters' own; those that are not printed have no glyph and no width.
            let code = first as u32 + place as u32;
            let glyph = letters.map_glyph(code).unwrap().filter(|_| code < 0x7f).unwrap_or(0);
            if glyph > 0 {
                let real = i64::from(whole.horizontal_advance(glyph).unwrap()) * 1000 / units;
                assert_eq!(width.as_i64().unwrap(), real);
                checked += 1;
            }
        }
    }
    assert!(checked > 40, "{checked}");
}

#[test]
fn a_letter_is_measured_as_the_file_will_state_it() {
    for character in BRITISH.chars() {
        let glyph = Fonts::default().glyph(Style::default(), character).unwrap();
        let cut = Fonts::default().cut_down(glyph.face, &[glyph.shown].into());
        let units = i32::from(cut.widths[&cut.glyphs[&glyph.shown]]);
        assert_eq!(glyph.advance, units * 1000 / i32::from(cut.measures.units), "{character}");
    }
}

#[test]
fn a_line_is_as_wide_as_its_letters_and_the_shifts_between_them() {
    let paper = lay_out(vec![paragraph(&"AVATAR To We, Types of Yew. ".repeat(12))]);
    let lines = texts(&paper, 0).into_iter().filter(|text| text.words().contains("AVATAR"));
    let mut checked = 0;
    for line in lines {
        let advance = |letter| Fonts::default().glyph(Style::default(), letter).unwrap().advance;
        let of_run = |run: &FaceRun| {
            run.text.chars().map(advance).sum::<i32>() + run.shifts.iter().map(|(_, shift)| shift).sum::<i32>()
        };
        let thousandths: i32 = line.runs.iter().map(of_run).sum();
        let after_it = f64::from(thousandths) * line.size / 1000.0 - line.width;
        assert!(after_it.abs() < 0.02 * line.size, "{} is off by {after_it}", line.words());
        assert!(line.runs[0].shifts.len() > 4);
        checked += 1;
    }
    assert!(checked >= 3);
}

#[test]
fn fonts_are_cut_down_and_the_file_is_small() {
    let bytes = wetout::pdf::print(&document(vec![Block::Table(long_table(200)), paragraph(BRITISH)])).unwrap();
    assert!(bytes.len() < 250_000, "{}", bytes.len());
    let pdf = Pdf::load_mem(&bytes).unwrap();
    let names = pdf.objects.values().filter_map(|object| object.as_dict().ok()?.get(b"BaseFont").ok()?.as_name().ok());
    assert!(names.clone().count() > 0);
    let not_cut = |name: &&[u8]| *name != b"Helvetica" && name.get(6) != Some(&b'+');
    assert_eq!(names.filter(not_cut).count(), 0);
}

/// Contrast of a colour with white (WCAG 2.1, 1.4.3).
fn contrast(rgb: &[f64]) -> f64 {
    let linear = |part: f64| if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) };
    1.05 / (0.2126 * linear(rgb[0]) + 0.7152 * linear(rgb[1]) + 0.0722 * linear(rgb[2]) + 0.05)
}

#[test]
fn words_can_be_read_on_white_whatever_the_accent() {
    let source = Document { accent: Accent { rgb: [255, 238, 0] }, ..everything() };
    let pdf = pdf(&source);
    let page = pdf.get_pages()[&1];
    let content = lopdf::content::Content::decode(&pdf.get_page_content(page)).unwrap();
    let mut colour = vec![0.0; 3];
    let mut seen = 0;
    for operation in content.operations {
        match operation.operator.as_str() {
            "rg" => colour = operation.operands.iter().map(|part| f64::from(part.as_float().unwrap())).collect(),
            "Tj" | "TJ" => {
                assert!(contrast(&colour) > 4.4, "{colour:?}");
                seen += 1;
            }
            _ => {}
        }
    }
    assert!(seen > 20);
}

#[test]
fn the_same_document_gives_the_same_bytes_whatever_else_is_made() {
    let sources: Vec<Document> = (0..6)
        .map(|number| {
            let mut source = everything();
            source.blocks.push(paragraph(&SENTENCE.repeat(number * 9)));
            source.letterhead.logo = (number % 2 == 0).then(logo);
            source
        })
        .collect();
    let forwards: Vec<Vec<u8>> = sources.iter().map(|source| wetout::pdf::print(source).unwrap()).collect();
    let mut backwards: Vec<Vec<u8>> = sources.iter().rev().map(|source| wetout::pdf::print(source).unwrap()).collect();
    backwards.reverse();
    let at_once: Vec<Vec<u8>> = std::thread::scope(|scope| {
        let threads: Vec<_> =
            sources.iter().map(|source| scope.spawn(|| wetout::pdf::print(source).unwrap())).collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    assert!(forwards == backwards && forwards == at_once);
}

#[test]
fn different_documents_have_different_identifiers() {
    let identifier =
        |source: &Document| pdf(source).trailer.get(b"ID").unwrap().as_array().unwrap()[0].as_str().unwrap().to_vec();
    let other = Document { author: "Someone else".into(), ..everything() };
    assert_ne!(identifier(&everything()), identifier(&other));
    assert_eq!(identifier(&everything()), identifier(&everything()));
}

#[test]
fn text_is_read_out_in_the_order_of_the_page() {
    let text = pdf(&everything()).extract_text(&[1]).unwrap();
    let order =
        ["Fernhill", "26-041", "Quote for", "Scope", "the guide", "Detail", "one", "two", "The plan", "Price", "Total"];
    let places: Vec<usize> =
        order.iter().map(|words| text.find(words).unwrap_or_else(|| panic!("no {words} in {text}"))).collect();
    assert!(places.is_sorted(), "{places:?}\n{text}");
}

// Markdown.

fn read(text: &str) -> Vec<Block> {
    markdown::blocks(text, &BTreeMap::new()).unwrap()
}

fn complaint(text: &str) -> String {
    let places = BTreeMap::from([("roof-plan".to_owned(), vec![paragraph("p")]), ("price".to_owned(), Vec::new())]);
    markdown::blocks(text, &places).unwrap_err()[0].problem.to_string()
}

#[test]
fn markdown_gives_headings_paragraphs_and_emphasis() {
    let italic = Span { italic: true, ..Span::plain("soon") };
    let link = Span { link: Some("https://a.example".into()), ..Span::plain("here") };
    assert_eq!(
        read("## Price\n\nPay **now** or *soon*,\n[here](https://a.example)\\\nthen."),
        [
            heading(2, "Price"),
            Block::Paragraph(vec![
                Span::plain("Pay "),
                Span::bold("now"),
                Span::plain(" or "),
                italic,
                Span::plain(", "),
                link,
                Span::plain("\nthen."),
            ]),
        ]
    );
}

#[test]
fn markdown_lists_nest() {
    let inner = Block::List { ordered: true, items: vec![vec![paragraph("b")], vec![paragraph("c")]] };
    let items = vec![vec![paragraph("a"), inner], vec![paragraph("d")]];
    assert_eq!(read("- a\n  1. b\n  2. c\n- d\n"), [Block::List { ordered: false, items }]);
}

#[test]
fn a_list_that_goes_on_keeps_its_numbers() {
    let blocks = read("1. one\n\n```keep\nbetween\n```\n\n2. two\n3. three\n");
    assert_eq!(blocks[2], Block::ListFrom { first: 2, items: vec![vec![paragraph("two")], vec![paragraph("three")]] });
    let lines = body(&lay_out(blocks), 0);
    assert!(lines.contains(&"1.one".into()) && lines.contains(&"2.two".into()) && lines.contains(&"3.three".into()));
}

#[test]
fn lists_in_lists_without_end_are_refused() {
    assert!(complaint(&("- ".repeat(3000) + "x")).contains("too deeply"));
}

#[test]
fn a_note_is_read_with_its_mark_and_stands_numbered_at_the_foot_of_its_page() {
    let text = "Limit[^a] here.\n\n````note N\nInside[^b].\n\n[^b]: Second *source*.\n````\n\nAgain[^a].\n\n---\n\n\
                Over[^c].\n\nOnce more[^a].\n\n[^a]: First.\n\n[^c]: Third.\n";
    let blocks = read(text);
    let first = Span::note(vec![Span::plain("First.")]);
    assert_eq!(blocks[0], Block::Paragraph(vec![Span::plain("Limit"), first, Span::plain(" here.")]));
    assert_eq!(blocks.len(), 6, "the notes themselves are no blocks");
    let paper = lay_out(blocks);
    let (one, two) = (body(&paper, 0), body(&paper, 1));
    assert_eq!(
        one[one.len() - 5..],
        ["Limit¹ here.", "Note: N", "Inside².", "Again¹.", "1.First.", "2.Second source."][1..]
    );
    assert_eq!(two, ["Over³.", "Once more¹.", "1.First.", "3.Third."], "a note stands on each page that points to it");
    let tagged = |page: usize| paper.pages[page].marks.iter().filter(|m| m.owner.is_some()).count();
    assert!(tagged(1) < paper.pages[1].marks.len(), "and is read once");
    let last =
        |page: usize| texts(&paper, page).iter().filter(|t| t.y < masthead::BOTTOM).map(|t| t.y).fold(0.0, f64::max);
    assert!(masthead::BOTTOM - last(0) < 8.0 && masthead::BOTTOM - last(1) < 8.0, "at the foot");
    assert_eq!(read("Limit[^z] here."), [paragraph("Limit[^z] here.")], "a note that nobody wrote stays in sight");
}

#[test]
fn a_page_keeps_room_for_its_notes() {
    let many = |n: usize| vec![Span::plain(format!("Line {n}")), Span::note(vec![Span::plain(format!("Source {n}"))])];
    let blocks: Vec<Block> = (0..120).map(|n| Block::Paragraph(many(n))).collect();
    let paper = lay_out(blocks);
    for page in 0..paper.pages.len() {
        let lines = body(&paper, page);
        let told = lines.iter().filter(|l| l.contains("Source")).count();
        let pointed = lines.iter().filter(|l| l.starts_with("Line")).count();
        assert_eq!(told, pointed, "page {page}");
        let heights: Vec<f64> = texts(&paper, page).iter().filter(|t| t.y > 60.0).map(|t| t.y).collect();
        let foot = lines.iter().position(|l| l.contains("Source")).unwrap();
        assert!(lines[foot..].iter().all(|l| l.contains("Source")), "notes stand below the text on page {page}");
        assert!(heights.windows(2).all(|w| w[1] >= w[0] - 0.01), "nothing overlaps on page {page}");
    }
}

#[test]
fn type_is_set_a_little_smaller_where_that_saves_a_page_with_one_line() {
    let (mut saved, mut sizes) = (0, std::collections::BTreeSet::new());
    for count in 40..80 {
        let paper = lay_out((0..count).map(|n| paragraph(&format!("Line {n}"))).collect());
        let last = paper.pages.len() - 1;
        assert!(last == 0 || body(&paper, last).len() > 2, "{count} lines");
        let size = texts(&paper, 0).iter().find(|t| t.words().starts_with("Line")).unwrap().size;
        assert!((9.6 - 1e-9..=10.0).contains(&size), "{size}");
        saved += usize::from(size < 10.0);
        sizes.insert((size * 10.0).round() as i64);
    }
    assert!(saved > 0 && sizes.len() > 1, "some were saved: {sizes:?}");
}

#[test]
fn a_short_table_is_not_split_and_a_long_one_leaves_no_row_alone() {
    let table = |rows: usize| {
        let columns = vec![Column { heading: "Row".into(), align: Align::Left, stretch: 0, big: false }];
        let rows = (0..rows).map(|n| row(&[&format!("row {n}")], RowKind::Plain)).collect();
        Block::Table(Table { columns, rows, header: true })
    };
    for above in 20..34 {
        let mut blocks: Vec<Block> = (0..above).map(|n| paragraph(&format!("Line {n}"))).collect();
        blocks.push(table(6));
        let paper = lay_out(blocks);
        let on: Vec<usize> = (0..paper.pages.len())
            .map(|page| body(&paper, page).iter().filter(|l| l.starts_with("row")).count())
            .collect();
        assert!(on.iter().all(|count| [0, 6].contains(count)), "{above}: {on:?}");
        let mut blocks: Vec<Block> = (0..above).map(|n| paragraph(&format!("Line {n}"))).collect();
        blocks.push(table(30));
        let paper = lay_out(blocks);
        for page in 0..paper.pages.len() {
            let rows = body(&paper, page).iter().filter(|l| l.starts_with("row")).count();
            assert_ne!(rows, 1, "{above}, page {page}");
        }
    }
}

#[test]
fn three_hyphens_start_a_page() {
    assert_eq!(read("a\n\n---\n\nb"), [paragraph("a"), Block::PageBreak, paragraph("b")]);
}

#[test]
fn a_named_place_is_filled_and_an_unknown_one_names_the_nearest() {
    let places = BTreeMap::from([("price".to_owned(), vec![paragraph("x"), paragraph("y")])]);
    assert_eq!(markdown::blocks("```table price\n```", &places).unwrap(), [paragraph("x"), paragraph("y")]);
    assert_eq!(
        complaint("```figure rof-plan\n```"),
        "the text asks for `figure rof-plan`, and there is no place of that name; write `figure roof-plan`, or leave the \
         block out"
    );
}

#[test]
fn an_unknown_fence_names_the_nearest() {
    assert!(complaint("```causion X\n```").contains("write `caution`"));
}

#[test]
fn callouts_ticks_fields_keep_and_columns_are_read() {
    let text = "````hold Deck \\*dry\\*\nStop.\n\n```ticks\n- one\n- two\n```\n````";
    let ticks = Block::Ticks(vec![vec![Span::plain("one")], vec![Span::plain("two")]]);
    let blocks = vec![paragraph("Stop."), ticks];
    assert_eq!(read(text), [Block::Callout { tone: Tone::Hold, title: "Deck *dry*".into(), blocks }]);
    let field = |label: &str, twelfths, room| Field { label: label.into(), twelfths, room };
    let fields = vec![
        field("Name", 6, FieldRoom::Line),
        field("Signature", 12, FieldRoom::Signature),
        field("Left to do", 8, FieldRoom::Tall),
        field("Date", 12, FieldRoom::Line),
    ];
    let text = "```fields\nName | 6\nSignature | 12 | sign\nLeft to do | 8 | tall\nDate\n```";
    assert_eq!(read(text), [Block::Fields(fields)]);
    assert_eq!(read("```keep\na\n```"), [Block::Keep(vec![paragraph("a")])]);
    assert_eq!(read("```sheet\na\n```"), [Block::Sheet(vec![paragraph("a")])]);
    assert_eq!(read("```leaf\na\n```"), [Block::Leaf(vec![paragraph("a")])]);
    assert_eq!(read("```small\na\n```"), [Block::Small(vec![paragraph("a")])]);
    assert_eq!(
        read("```columns\na\n\n===\n\nb\n```"),
        [Block::Columns(vec![vec![paragraph("a")], vec![paragraph("b")]])]
    );
    assert!(complaint("```fields\nName | 13\n```").contains("`Name | 13` cannot be read"));
}

#[test]
fn html_is_shown_and_never_obeyed() {
    assert_eq!(read("a <b>c</b>"), [paragraph("a <b>c</b>")]);
    assert_eq!(read("<script>\nx\n</script>"), [paragraph("<script>\nx\n</script>")]);
}

#[test]
fn fences_in_fences_without_end_are_refused() {
    let mut text = "a".to_owned();
    for depth in 3..40 {
        let ticks = "`".repeat(depth);
        text = format!("{ticks}keep\n{text}\n{ticks}");
    }
    assert!(complaint(&text).contains("too deeply"));
}

/// The elements of one tag in the whole tree, in order.
fn elements<'a>(pdf: &'a Pdf, tag: &str) -> Vec<&'a Dictionary> {
    let all = pdf.objects.values().filter_map(|object| object.as_dict().ok());
    all.filter(|d| d.get(b"S").and_then(Object::as_name).is_ok_and(|name| name == tag.as_bytes())).collect()
}

#[test]
fn lesser_headings_under_one_heading_are_tagged_alike() {
    let paper = lay_out(vec![
        heading(1, "Roof"),
        heading(3, "First"),
        paragraph("a"),
        heading(3, "Second"),
        paragraph("b"),
        heading(2, "Price"),
        heading(3, "Third"),
        paragraph("c"),
    ]);
    let levels: Vec<u8> = paper.outline.iter().map(|entry| entry.level).collect();
    assert_eq!(levels, [1, 2, 2, 2, 3], "no level is left out, and siblings have one");
}

#[test]
fn a_cell_under_a_group_names_its_column_and_its_group() {
    let pdf = pdf(&everything());
    let name = |d: &Dictionary| d.get(b"ID").and_then(Object::as_str).ok().map(<[u8]>::to_vec);
    let headings: Vec<Vec<u8>> = elements(&pdf, "TH").into_iter().filter_map(name).collect();
    assert_eq!(headings.len(), 4, "three columns and a group");
    let heard: Vec<Vec<Vec<u8>>> = elements(&pdf, "TD")
        .into_iter()
        .filter_map(|cell| {
            cell.get(b"A").and_then(Object::as_dict).ok()?.get(b"Headers").and_then(Object::as_array).ok()
        })
        .map(|names| names.iter().map(|name| name.as_str().unwrap().to_vec()).collect())
        .collect();
    assert_eq!(heard.len(), 6, "each cell of both rows");
    assert!(heard.iter().all(|names| names.len() == 2 && names.iter().all(|name| headings.contains(name))));
    assert!(heard.iter().all(|names| names[1] == heard[0][1]), "one group speaks for all");
    let tree = catalog(&pdf).get(b"StructTreeRoot").unwrap().as_reference().unwrap();
    assert!(pdf.get_dictionary(tree).unwrap().has(b"IDTree"), "names can be looked up (ISO 32000-1, table 322)");
}

#[test]
fn a_note_is_tagged_where_it_is_pointed_to() {
    let mut source = everything();
    source.blocks = read("Limit[^a] here.\n\nAgain[^a].\n\n[^a]: Source.\n");
    let pdf = pdf(&source);
    let tree = pdf.get_dictionary(catalog(&pdf).get(b"StructTreeRoot").unwrap().as_reference().unwrap()).unwrap();
    let tags = tags(&pdf, &tree.get(b"K").unwrap().as_array().unwrap()[0]);
    assert!(tags.contains("P(Reference Note(Lbl))") && tags.contains("P(Reference)"), "{tags}");
    assert_eq!(elements(&pdf, "Note").len(), 1);
    assert!(elements(&pdf, "Note")[0].has(b"ID"), "ISO 14289-1, 7.9");
}

#[test]
fn an_address_in_the_text_is_a_link_and_words_with_a_full_stop_are_not() {
    let text = "Write to office@roof.example, see www.roof.example/care or https://roof.example. Not e.g.this or 12.5.";
    let spans: Vec<Vec<Span>> = links::blocks(read(text))
        .into_iter()
        .map(|block| match block {
            Block::Paragraph(spans) => spans,
            other => panic!("{other:?}"),
        })
        .collect();
    let found: Vec<(&str, &str)> =
        spans[0].iter().filter_map(|span| Some((span.text.as_str(), span.link.as_deref()?))).collect();
    assert_eq!(
        found,
        [
            ("office@roof.example", "mailto:office@roof.example"),
            ("www.roof.example/care", "https://www.roof.example/care"),
            ("https://roof.example", "https://roof.example"),
        ]
    );
    let all: String = spans[0].iter().map(|span| span.text.as_str()).collect();
    assert_eq!(all, text, "no word is lost");
    assert_eq!(spans[0].len(), 7, "plain words stay in one piece");
}

#[test]
fn a_field_tells_whose_name_and_which_time_and_a_signature_takes_no_typing() {
    let mut source = everything();
    source.blocks = read(
        "# Deck\n\n## Acceptance\n\n```fields\nName | 6\nSignature | 6 | sign\n```\n\nFor the firm:\n\n\
         ```fields\nName | 6\nLeft to do | 6 | tall\n```\n\n````hold Before you start\n```fields\nTime | 6\n```\n````\n",
    );
    let pdf = pdf(&source);
    let form = catalog(&pdf).get(b"AcroForm").unwrap().as_dict().unwrap();
    let fields = form.get(b"Fields").unwrap().as_array().unwrap();
    let fields: Vec<&Dictionary> =
        fields.iter().map(|id| pdf.get_dictionary(id.as_reference().unwrap()).unwrap()).collect();
    let names: Vec<String> = fields.iter().map(|field| text_string(field.get(b"TU").unwrap())).collect();
    assert_eq!(
        names,
        [
            "Acceptance: Name",
            "Acceptance, For the firm: Name",
            "Acceptance, For the firm: Left to do",
            "Acceptance, Before you start: Time",
        ]
    );
    let lines: Vec<i64> = fields.iter().map(|field| field.get(b"Ff").unwrap().as_i64().unwrap()).collect();
    assert_eq!(lines, [0, 0, 1 << 12, 0], "several lines where there is room for them (ISO 32000-1, table 228)");
    let sizes: Vec<String> = fields
        .iter()
        .map(|field| text_string(field.get(b"DA").unwrap()).split(' ').nth(1).unwrap().to_owned())
        .collect();
    assert_eq!(sizes, ["0", "0", "9", "0"], "a line is as large as fits");
}

/// Held against `Default_Ignorable_Code_Point` of the Unicode Character Database 16.0 (`DerivedCoreProperties.txt`), as the tables of the
/// crate `regex-syntax` 0.8 have it.
#[test]
fn a_formula_behind_any_sign_that_shows_nothing_is_guarded_and_behind_its_neighbours_is_not() {
    let class = regex_syntax::parse(r"\p{Default_Ignorable_Code_Point}").unwrap();
    let regex_syntax::hir::HirKind::Class(regex_syntax::hir::Class::Unicode(class)) = class.kind() else {
        panic!("a class of signs: {class:?}")
    };
    let shows_nothing = |c: char| class.iter().any(|range| (range.start()..=range.end()).contains(&c));
    let nothing: Vec<char> = class.iter().flat_map(|range| range.start()..=range.end()).collect();
    assert!(nothing.len() > 4_000 && shows_nothing('\u{200b}') && !shows_nothing('a'), "{}", nothing.len());
    let beside = |c: char, by: i64| u32::try_from(i64::from(u32::from(c)) + by).ok().and_then(char::from_u32);
    let neighbours = class.iter().flat_map(|range| [beside(range.start(), -1), beside(range.end(), 1)]).flatten();
    // The marks of annotation are formatting, though not ignorable.
    let seen = |c: &char| {
        !shows_nothing(*c) && !c.is_whitespace() && !c.is_control() && !('\u{fff9}'..='\u{fffb}').contains(c)
    };
    let seen: Vec<char> = neighbours.filter(seen).collect();
    assert!(seen.len() > 20, "{seen:?}");
    let mut demo = crate::demo::work(&crate::demo::request("kitchen-extension"));
    let lines = &mut demo.pricing.orders[0].lines;
    let one = lines[0].clone();
    *lines = nothing
        .iter()
        .chain(&seen)
        .map(|c| wetout::pricing::OrderLine { code: format!("{c}=1"), ..one.clone() })
        .collect();
    let order = &wetout::documents::views::OrderView::all(&demo.worked())[0];
    let table = wetout::documents::csv::of_order(order);
    let mut guarded: Vec<char> = Vec::new();
    for row in csv::Reader::from_reader(&table["\u{feff}".len()..]).records() {
        let code = row.unwrap()[5].to_owned();
        match code.strip_prefix('\'') {
            Some(code) => guarded.extend(code.strip_suffix("=1").unwrap().chars()),
            None => assert!(seen.iter().any(|c| code == format!("{c}=1")), "{code:?} begins with what is not seen"),
        }
    }
    guarded.sort_unstable();
    assert!(guarded == nothing, "{} of {}", guarded.len(), nothing.len());
}

/// Words that point to a heading say its page once that is known, and lead to it.
#[test]
fn a_pointer_to_a_heading_says_its_page_and_leads_there() {
    let far = |n: usize| [Block::PageBreak, Block::Paragraph(vec![Span::plain(format!("Page {n}"))])];
    let pointer = |heading: &str| Block::Paragraph(vec![wetout::pages::pointers::page_of(heading, "Help: page")]);
    let mut blocks = vec![pointer("Here"), pointer("Nowhere")];
    blocks.extend((2..=11).flat_map(far));
    blocks.push(Block::Heading { level: 2, text: vec![Span::plain("Here")] });
    let source = document(blocks);
    let said = fitting::describe(&source).unwrap().replace('\u{a0}', " ");
    assert!(said.contains("Help: page 11") && said.contains("Help: page –"), "{said}");
    let pdf = pdf(&source);
    let pages: Vec<_> = pdf.get_pages().into_values().collect();
    let annotations = pdf.get_dictionary(pages[0]).unwrap().get(b"Annots").unwrap();
    let annotations = pdf.dereference(annotations).unwrap().1.as_array().unwrap().clone();
    let link = |place: usize| pdf.get_dictionary(annotations[place].as_reference().unwrap()).unwrap().clone();
    let dest = link(0).get(b"Dest").unwrap().as_array().unwrap().clone();
    assert_eq!(dest[0].as_reference().unwrap(), pages[10]);
    assert!(link(0).get(b"A").is_err() && text_string(link(0).get(b"Contents").unwrap()) == "Here, page 11");
}
