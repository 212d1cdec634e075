//! What stands round the text: the letterhead, the title, the running head and the foot of each page.
//!
//! Given the document and, once pages are known, their number; gives pieces and marks. Running heads and feet are
//! decoration: they are not read aloud.

use super::block::{Block, Document, Fitting, Span};
use super::cards;
use super::flow::Flow;
use super::lesser;
use super::links;
use super::page::{HEIGHT, Item, NodeId, NodeRole, Page, Placed, Rectangle, WIDTH, lowered};
use super::pager::TextBounds;
use super::pictures::ShownAs;
use super::piece::{Piece, Tie};
use super::scene::{Ink, Pen};
use super::setting::{GREY, HAIR, Measure, Setting, baseline};
use super::text::{Fit, Look, Shaped, shape};

/// Left and right margin, pt.
pub const MARGIN: f64 = 58.0;
/// Top of the text on the first page, pt.
pub const FIRST_TOP: f64 = 44.0;
/// The same where the head is set close, pt.
pub const CLOSE_TOP: f64 = 34.0;
/// Top of the text on further pages, pt.
pub const TOP: f64 = 68.0;
/// Bottom of the text, pt.
pub const BOTTOM: f64 = HEIGHT - 54.0;

/// The measure of the text.
pub const TEXT: Measure = Measure { x: MARGIN, width: WIDTH - 2.0 * MARGIN };

/// The same on the site's sheets: narrower margins, so that an operation stands on its sheet.
pub const WIDE_TEXT: Measure = Measure { x: WIDE_MARGIN, width: WIDTH - 2.0 * WIDE_MARGIN };
/// Left and right margin there, pt.
pub const WIDE_MARGIN: f64 = 38.0;

/// The same on a card for the pocket: as wide as any printer prints with ease.
pub const POCKET_TEXT: Measure = Measure { x: POCKET_MARGIN, width: WIDTH - 2.0 * POCKET_MARGIN };
/// All four margins there, pt.
pub const POCKET_MARGIN: f64 = 30.0;

/// Where the text of a document stands across the page.
pub fn text_of(fitting: Fitting) -> Measure {
    match fitting.is_for_the_pocket() {
        true => POCKET_TEXT,
        false if fitting.is_for_the_site() => WIDE_TEXT,
        false => TEXT,
    }
}

/// Where the text of a document begins and ends on its pages.
pub fn bounds_of(fitting: Fitting) -> TextBounds {
    match fitting {
        Fitting::OneSize | Fitting::TwoSizes | Fitting::CardFrom(_) => {
            TextBounds { first_top: CLOSE_TOP, top: TOP - SITE_HEAD - 8.0, bottom: BOTTOM + SITE_FOOT + 4.0 }
        }
        Fitting::PocketCardFrom(_) => TextBounds {
            first_top: POCKET_MARGIN,
            top: POCKET_MARGIN + SMALL,
            bottom: HEIGHT - 46.0 + POCKET_FOOT - 6.0,
        },
        Fitting::OnePageFrom(_) => TextBounds { first_top: CLOSE_TOP, top: TOP, bottom: BOTTOM },
        Fitting::AsSet => TextBounds { first_top: FIRST_TOP, top: TOP, bottom: BOTTOM },
    }
}

/// Running head and foot of the site's sheets stand so much nearer to the edge of the paper, pt.
const SITE_HEAD: f64 = 12.0;
const SITE_FOOT: f64 = 7.5;
/// The foot of a card for the pocket, pt.
const POCKET_FOOT: f64 = 11.0;

const SMALL: f64 = 8.5;
/// Between what stands beside one another at the foot, pt.
const GAP: f64 = 10.0;

/// The whole document: letterhead, reference, title where the blocks do not begin with a first heading, blocks.
pub fn whole(flow: &mut Flow, document: &Document) -> Vec<Piece> {
    if document.fitting.is_for_the_pocket() {
        return for_the_pocket(flow, document);
    }
    let (close, text) = (document.fitting.is_close(), text_of(document.fitting));
    let mut pieces = vec![letterhead(flow, document, 0)];
    if close {
        pieces[0].below = 0.6 * flow.size;
    } else {
        pieces.extend(reference(flow, document, 0));
    }
    let first_of_text = pieces.len();
    let titled = matches!(document.blocks.first(), Some(Block::Heading { level: 1, .. }));
    if !titled {
        let title = Block::Heading { level: 1, text: vec![Span::plain(document.title.as_str())] };
        pieces.extend(flow.blocks(&[title], text, 0));
    }
    let two_sizes = document.fitting.has_two_sizes();
    let (large, small) =
        document.blocks.split_at(if two_sizes { lesser::before(&document.blocks) } else { document.blocks.len() });
    pieces.extend(flow.blocks(large, text, 0));
    if let Some(first) = pieces.get_mut(first_of_text) {
        first.above = 0.4 * flow.size;
    }
    if two_sizes {
        let bounds = bounds_of(document.fitting);
        let feet = flow.measured(|flow| flow.feet(text, 0));
        flow.moved = cards::arrange(&mut pieces, feet, bounds);
        lesser::add(&mut pieces, flow, small, (text, bounds));
    }
    pieces
}

/// A card: its first heading with the firm's name and lines, small, beside it, and blocks.
fn for_the_pocket(flow: &mut Flow, document: &Document) -> Vec<Piece> {
    let text = text_of(document.fitting);
    let own = [Block::Heading { level: 1, text: vec![Span::plain(document.title.as_str())] }];
    let (title, blocks) = match document.blocks.split_first() {
        Some((title @ Block::Heading { level: 1, .. }, rest)) => (std::slice::from_ref(title), rest),
        _ => (own.as_slice(), document.blocks.as_slice()),
    };
    let mut pieces = flow.blocks(title, Measure { width: text.width * HEADING_SHARE, ..text }, 0);
    let beside = Measure { x: text.x + text.width * HEADING_SHARE, width: text.width * (1.0 - HEADING_SHARE) };
    let firm = Setting { size: SMALL, leading: 1.3, ink: Ink::Accent, bold: true, fit: Fit::Balanced };
    let (mut marks, mut height) = (Vec::new(), 0.0);
    let (name, lines) = (&document.letterhead.name, &document.letterhead.lines);
    for (line, setting) in [(name, firm)]
        .into_iter()
        .chain(lines.iter().map(|l| (l, Setting { bold: false, ink: Ink::Grey(0.3), ..firm })))
    {
        let node = flow.node(0, NodeRole::Paragraph);
        height = ranged_right(flow, line, setting, beside, height, node, &mut marks);
    }
    let heading: f64 = pieces.iter().map(|piece| piece.height).sum();
    if let Some(last) = pieces.last_mut() {
        let top = heading - last.height;
        last.height = heading.max(height) - top + 2.0;
        last.marks.extend(lowered(marks, -top));
        let (from, to) = ((text.x, last.height), (text.x + text.width, last.height));
        last.marks.push(Placed::bare(Item::Rule { from, to, pen: Pen { ink: Ink::Accent, width: 1.4, dash: None } }));
        last.below = 0.3 * flow.size;
    }
    pieces.extend(flow.blocks(blocks, text, 0));
    pieces
}

/// The share of a card's width that its heading takes.
const HEADING_SHARE: f64 = 0.7;

/// The firm: its logo or name at the left, its lines at the right, a rule under both.
fn letterhead(flow: &mut Flow, document: &Document, parent: NodeId) -> Piece {
    let head = &document.letterhead;
    let (mut marks, text) = (Vec::new(), text_of(document.fitting));
    let logo_height =
        head.logo.as_ref().map_or(0.0, |picture| logo(flow, picture, &head.name, (text, parent), &mut marks));
    let right = Measure { x: text.x + text.width * 0.46, width: text.width * 0.54 };
    let left = Measure { x: text.x, width: text.width * 0.44 };
    let name = Setting { size: 15.0, leading: 1.2, ink: Ink::Accent, bold: true, fit: Fit::Balanced };
    let mut left_height = logo_height;
    let mut right_height = 0.0;
    let name_node = flow.node(parent, NodeRole::Paragraph);
    if head.logo.is_some() {
        let smaller = Setting { size: 10.5, ..name };
        right_height = ranged_right(flow, &head.name, smaller, right, 0.0, name_node, &mut marks);
    } else {
        for line in flow.set(&[Span::plain(head.name.as_str())], name, left, Some(name_node)) {
            marks.extend(lowered(line.marks, left_height));
            left_height += line.height;
        }
    }
    let small = Setting { size: SMALL, leading: 1.36, ink: Ink::Grey(0.3), bold: false, fit: Fit::Balanced };
    for line in head.lines.iter().filter(|line| !line.trim().is_empty()) {
        let node = flow.node(parent, NodeRole::Paragraph);
        right_height = ranged_right(flow, line, small, right, right_height, node, &mut marks);
    }
    let height = left_height.max(right_height) + 9.0;
    let pen = Pen { ink: Ink::Accent, width: 1.4, dash: None };
    marks.push(Placed::bare(Item::Rule { from: (text.x, height), to: (text.x + text.width, height), pen }));
    Piece { below: 20.0, tie: Tie::Wish, ..flow.piece(height, marks) }
}

/// Places the logo, no larger than 160 × 54 pt, or 160 × 30 pt in small type; gives its height.
fn logo(
    flow: &mut Flow,
    picture: &crate::model::firm::Picture,
    name: &str,
    (text, parent): (Measure, NodeId),
    marks: &mut Vec<Placed>,
) -> f64 {
    // A list in small type and a sheet set close have little room: their logo is smaller too.
    let most = if flow.size < 9.5 || flow.close { 30.0 } else { 54.0 };
    let place = |(width, height): (f64, f64)| {
        let scale = (160.0 / width).min(most / height);
        (width * scale, height * scale)
    };
    let (image, (width, height)) = match flow.faults.gallery.show(picture, ShownAs::Logo, place) {
        Ok(shown) => shown,
        Err(problem) => {
            flow.faults.others.push(problem);
            return 0.0;
        }
    };
    let area = Rectangle { x: text.x, y: 0.0, width, height };
    let node = flow.node(parent, NodeRole::Figure { alt: format!("Logo of {name}") });
    marks.push(Placed { owner: Some(node), item: Item::Picture { area, image } });
    area.height
}

/// Sets words ranged right from a height; gives the height below them. An address becomes a link.
fn ranged_right(
    flow: &mut Flow,
    words: &str,
    setting: Setting,
    measure: Measure,
    top: f64,
    node: NodeId,
    marks: &mut Vec<Placed>,
) -> f64 {
    let spans = links::spans(words);
    let shaped = shape(&spans, setting.bold, &mut flow.faults);
    let owners = flow.owners(&spans, Some(node));
    let targets: Vec<Option<String>> = spans.into_iter().map(|span| span.link).collect();
    let look = Look { size: setting.size, ink: setting.ink, owners: &owners, links: &targets };
    let mut y = top;
    for line in shaped.lines(setting.size, measure.width, setting.fit).iter() {
        let x = measure.x + measure.width - f64::from(line.width) * setting.size / 1000.0;
        marks.extend(shaped.place(*line, look, x, y + baseline(setting)));
        y += setting.size * setting.leading;
    }
    y
}

fn reference(flow: &mut Flow, document: &Document, parent: NodeId) -> Vec<Piece> {
    let node = flow.node(parent, NodeRole::Paragraph);
    let setting = Setting { size: flow.size * 0.95, ink: GREY, bold: true, ..flow.running() };
    let told = [&document.reference, &document.standing].map(String::as_str);
    let told: Vec<&str> = told.into_iter().filter(|words| !words.is_empty()).collect();
    let mut pieces = flow.set(&[Span::plain(told.join(" · "))], setting, text_of(document.fitting), Some(node));
    pieces.iter_mut().for_each(|piece| piece.tie = Tie::Firm);
    if let Some(last) = pieces.last_mut() {
        last.below = 0.0;
    }
    pieces
}

/// Sets the running head (from the second page) and the foot of every page.
pub fn dress(flow: &mut Flow, document: &Document, pages: &mut [Page]) {
    let count = pages.len();
    let text = text_of(document.fitting);
    let (up, down) = match document.fitting.is_for_the_site() {
        true if document.fitting.is_for_the_pocket() => (SITE_HEAD, POCKET_FOOT),
        true => (SITE_HEAD, SITE_FOOT),
        false => (0.0, 0.0),
    };
    let half = text.width * 0.48;
    // The number that others are to quote is whole; what the work is gets what is left beside it.
    let reference = match document.by_hand.is_empty() {
        true => fitted(flow, &document.reference, text.width * 0.8, true),
        false => fitted(flow, &document.by_hand, text.width * 0.8, false),
    };
    let beside = (text.width - reference.natural_width(SMALL) - GAP).min(half);
    let title = fitted(flow, &document.title, beside, false);
    let standing = fitted(flow, &document.standing, half, true);
    let aside = if standing.is_empty() { 0.0 } else { standing.natural_width(SMALL) + GAP };
    let footer = foot(flow, &document.footer, text.width * 0.9 - aside);
    for (number, page) in pages.iter_mut().enumerate() {
        if number > 0 {
            put(page, &reference, text.x, 45.0 - up);
            put(page, &title, text.x + text.width - title.natural_width(SMALL), 45.0 - up);
            put_rule(page, text, 53.0 - up);
        }
        let of = format!("page {} of {count}", number + 1);
        let of = shape(&[Span::plain(of)], false, &mut flow.faults);
        put_rule(page, text, HEIGHT - 46.0 + down);
        put(page, &footer, text.x, HEIGHT - 33.0 + down);
        let number = text.x + text.width - of.natural_width(SMALL);
        put(page, &of, number, HEIGHT - 33.0 + down);
        put(page, &standing, number - aside, HEIGHT - 33.0 + down);
    }
}

/// The foot in what a width holds: where it is too long it goes without the firm, then without the day, before its number is cut.
fn foot(flow: &mut Flow, words: &str, width: f64) -> Shaped {
    let parts: Vec<&str> = words.split(PART).collect();
    let shorter = [parts.get(1..), parts.get(1..2)].into_iter().flatten().map(|parts| parts.join(PART));
    let mut kept = words.to_owned();
    for shorter in shorter.filter(|words| !words.is_empty()) {
        let whole = fitted(flow, &kept, f64::INFINITY, false);
        if whole.natural_width(SMALL) <= width {
            return whole;
        }
        kept = shorter;
    }
    fitted(flow, &kept, width, false)
}

/// What stands between the parts of a foot.
const PART: &str = " \u{b7} ";

/// Words cut to what a width holds, with an ellipsis where something was cut.
fn fitted(flow: &mut Flow, words: &str, width: f64, bold: bool) -> Shaped {
    let words = words.replace(['\r', '\n'], " ");
    let whole = shape(&[Span::plain(words.as_str())], bold, &mut flow.faults);
    if whole.natural_width(SMALL) <= width {
        return whole;
    }
    let room = width - 1.2 * SMALL;
    let kept = words.char_indices().map(|(place, letter)| place + letter.len_utf8()).take(200);
    let fonts = flow.faults.fonts;
    let cut = |end: usize| format!("{}…", words[..end].trim_end());
    let fits = |end: &usize| {
        let mut aside = crate::pages::text::Faults::of(fonts);
        let trial = shape(&[Span::plain(&words[..*end])], bold, &mut aside);
        trial.natural_width(SMALL) <= room
    };
    let end = kept.take_while(fits).last().unwrap_or(0);
    shape(&[Span::plain(cut(end))], bold, &mut flow.faults)
}

fn put(page: &mut Page, words: &Shaped, x: f64, y: f64) {
    if !words.is_empty() {
        page.marks.push(Placed::bare(Item::Text(words.single(SMALL, GREY, x, y))));
    }
}

fn put_rule(page: &mut Page, text: Measure, y: f64) {
    let item = Item::Rule { from: (text.x, y), to: (text.x + text.width, y), pen: HAIR };
    page.marks.push(Placed::bare(item));
}
