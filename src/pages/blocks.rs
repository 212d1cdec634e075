//! Blocks become pieces: headings, paragraphs, lists, figures, boxes, columns, fields.
//!
//! Given blocks, a left edge and a width; gives pieces with marks in place, by way of the flow, whose tree of meaning
//! grows. All spaces and sizes are shares of the document's text size, so that the site's sheet is the same design,
//! larger.

use super::block::{Block, Field, FieldRoom, Figure, Span, Tone};
use super::boxes::LINE_FIELD;
use super::flow::{Above, Flow};
use super::page::{Item, NodeId, NodeRole, Placed, Rectangle, Taking, lowered};
use super::pager::{TextBounds, paginate};
use super::pictures::ShownAs;
use super::piece::{BegunSheet, BoxFrame, Piece, SheetKind, Tie, as_decoration, tie_together};
use super::scene::{Ink, Mark, Pen, Scene};
use super::setting::{GREY, Measure, Setting, baseline, heading_setting, hold_ends, space};
use super::text::{Fit, shape};
use super::{boxes, table};
use crate::model::firm::Picture;
use std::ops::Range;

/// Share of the space between blocks that is left where a document is set close.
const CLOSE_AIR: f64 = 0.45;
/// The lesser size of running text as a share of the document's own, where none was chosen ([`super::lesser`]).
pub const SMALL: f64 = 0.86;
/// The shortest line to write on beside its label, as a multiple of the size: a name or a time.
const LEAST_LINE: f64 = 6.0;
/// The same in the head of a hold point.
const LEAST_LINE_IN_HEAD: f64 = 4.0;
/// The same there for a figure or a time, in a row that is shared out by what its labels leave.
const SHORT_LINE_IN_HEAD: f64 = 2.0;
/// The same in a row of its own.
const SHORT_LINE: f64 = 4.4;
/// Between fields side by side, as a multiple of the size.
const FIELD_GAP: f64 = 1.3;
/// The least items that a list has, and the narrowest measure, pt, for it to stand in two columns where it is set close.
const FEW_ITEMS: usize = 3;
/// So many items of a list without numbers stand in one pair of columns.
const TOGETHER: usize = 10;
/// So many items of a numbered one stand in two columns at most.
const MOST_NUMBERED: usize = 16;
/// Type below this size, pt, is small.
const SMALL_TYPE: f64 = 9.5;
/// The part of its height that a list in small type gains at least by standing in two columns.
const LEAST_GAIN: f64 = 0.05;
const WIDE_ENOUGH: f64 = 400.0;
/// How far a list's words stand in, as a multiple of the size.
pub(super) const INDENT: f64 = 1.7;
/// The same in small type that is set close.
const SMALL_INDENT: f64 = 1.2;
/// Part of a page up to which a section of a sheet is not parted.
const SHORT_SECTION: f64 = 0.15;

/// A row of fields beside a title: the fields, their shares, and where they stand.
type RowInHead<'a> = (Vec<&'a Field>, Vec<(f64, f64)>, Measure);

/// How many of the paragraphs before a block are never parted from where it begins: those under a heading that lead up to a table
/// or a list, and what is to be had at hand for the steps after a hold point.
fn leading_up(blocks: &[Block], place: usize) -> usize {
    let led = matches!(blocks[place], Block::Table(_) | Block::List { .. } | Block::ListFrom { .. });
    let words = blocks[..place].iter().rev().take_while(|block| matches!(block, Block::Paragraph(_))).count();
    match place.checked_sub(words + 1).map(|over| &blocks[over]) {
        Some(Block::Heading { .. }) if led && words <= FEW_WORDS => words,
        Some(hold) if is_hold(hold) && (led || matches!(blocks[place], Block::Heading { .. })) => words,
        _ => 0,
    }
}

fn is_hold(block: &Block) -> bool {
    matches!(block, Block::Callout { tone: Tone::Hold, .. })
}

/// So many rows of fields stay together.
const FEW_ROWS: usize = 5;

/// So many paragraphs under a heading still lead up to a list.
const FEW_WORDS: usize = 2;

impl Flow {
    /// The pieces of several blocks. What leads up to a table, to columns or to fields stays with them; columns that
    /// begin with a heading begin a matter of their own. Fields never begin a page: the last of a table goes with them.
    pub fn blocks(&mut self, blocks: &[Block], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = Vec::new();
        let mut ends: Vec<usize> = Vec::new();
        for (place, block) in blocks.iter().enumerate() {
            let words = |before: &Block| matches!(before, Block::Paragraph(_) | Block::List { .. });
            // A heading that is kept with its words leads up to what follows as one that is not.
            let kept =
                |before: &Block| matches!(before, Block::Keep(of) if matches!(of.first(), Some(Block::Heading { .. })));
            let headed = place.checked_sub(1).is_some_and(|before| kept(&blocks[before]));
            let led_up_to = match block {
                Block::Table(_) | Block::BoxTable(_) | Block::Fields(_) | Block::Days(_) | Block::Keep(_) => true,
                // What is signed side by side never begins a page without the last of what it is signed for.
                Block::Columns(columns) | Block::Balanced(columns) => {
                    columns.iter().any(|column| matches!(column.first(), Some(Block::Fields(_))))
                        || !columns.iter().flatten().any(|b| matches!(b, Block::Heading { .. }))
                }
                // A heading and a few words are no page's last: what follows is what they are there for.
                Block::Figure(_) | Block::Heading { .. } | Block::Boxes(_) => {
                    headed || place.checked_sub(2).is_some_and(|two| matches!(blocks[two], Block::Heading { .. }))
                }
                _ => false,
            };
            let before = place.checked_sub(1).map(|before| &blocks[before]);
            let filled_in = matches!(block, Block::Fields(_) | Block::Days(_));
            let announced = before.and_then(announcement).filter(|_| filled_in);
            let led = self.led.len();
            self.led.extend(announced);
            let next = self.block(block, measure, parent);
            self.led.truncate(led);
            let leads = led_up_to && !next.is_empty() && (headed || before.is_some_and(words));
            let ended = matches!(before, Some(Block::Table(_) | Block::Keep(_) | Block::Days(_)));
            let leads = leads || ended && filled_in;
            if let Some(last) = pieces.last_mut().filter(|_| leads) {
                last.tie = last.tie.max(Tie::Firm);
            }
            // What stands in columns is one piece, which may begin a page.
            let in_columns = next.len() == 1 && matches!(block, Block::List { .. } | Block::ListFrom { .. });
            // What is checked is read with what it is signed by.
            let checked =
                matches!(before, Some(Block::Paragraph(_))).then(|| place.checked_sub(2).map_or(0, |two| ends[two]));
            if let Some(first) = checked.filter(|_| self.close && filled_in) {
                pieces[first..].iter_mut().for_each(|piece| piece.tie = piece.tie.max(Tie::Wish));
            }
            let held = if next.is_empty() || in_columns { 0 } else { leading_up(blocks, place) };
            if let Some(over) = place.checked_sub(held + 1).filter(|_| held > 0) {
                let first = ends[over].saturating_sub(1);
                pieces[first..].iter_mut().for_each(|piece| piece.tie = piece.tie.max(Tie::Wish));
            }
            pieces.extend(next);
            ends.push(pieces.len());
        }
        pieces
    }

    pub(super) fn block(&mut self, block: &Block, measure: Measure, parent: NodeId) -> Vec<Piece> {
        match block {
            Block::Heading { level, text } => self.heading(*level, text, measure, parent),
            Block::Paragraph(spans) => self.paragraph(spans, measure, parent),
            Block::List { ordered, items } => self.list(ordered.then_some(1), items, measure, parent),
            Block::ListFrom { first, items } => self.list(Some(*first), items, measure, parent),
            Block::Table(table) => table::pieces(self, table, measure, parent),
            Block::Figure(figure) => self.figure(figure, measure, parent),
            Block::Photo { picture, caption, alt } => self.photo(picture, caption, alt, measure, parent),
            Block::Callout { tone, title, blocks } => self.callout(*tone, title, blocks, measure, parent),
            Block::Columns(columns) => self.columns(columns, measure, parent),
            Block::Beside(parts) => self.beside(parts, measure, parent),
            Block::Balanced(matters) => self.balanced(matters, measure, parent),
            Block::Facts(facts) => table::facts(self, facts, measure, parent),
            Block::Headline { label, figure, note } => self.headline([label, figure, note], measure, parent),
            Block::Fields(fields) => self.fields(fields, measure, parent),
            Block::Days(of) => boxes::days(self, of, measure, parent),
            Block::Boxes(boxes) => boxes::rows(self, boxes, measure, parent),
            Block::BoxTable(table) => boxes::table(self, table, measure, parent),
            Block::Ticks(ticks) => self.ticks(ticks, false, measure, parent),
            Block::Choices(ticks) => self.ticks(ticks, true, measure, parent),
            Block::PageBreak => vec![Piece { new_page: true, ..self.piece(0.0, Vec::new()) }],
            Block::Room(percent) => {
                let room = self.page * f64::from(*percent) / 100.0;
                vec![Piece { room, tie: Tie::Firm, ..self.piece(0.0, Vec::new()) }]
            }
            Block::Keep(blocks) => {
                let mut pieces = self.blocks(blocks, measure, parent);
                tie_together(&mut pieces, Tie::Wish);
                pieces
            }
            Block::Sheet(blocks) => {
                self.begun(SheetKind::Sheet, blocks, |flow, blocks| flow.sheet(blocks, measure, parent))
            }
            Block::Card(blocks) => {
                self.begun(SheetKind::Card, blocks, |flow, blocks| flow.sheet(blocks, measure, parent))
            }
            Block::Leaf(blocks) => {
                self.begun(SheetKind::Operation, blocks, |flow, blocks| flow.leaf(blocks, measure, parent))
            }
            Block::Named(_) => Vec::new(),
            Block::Small(blocks) => {
                let size = self.size;
                self.size = self.lesser.unwrap_or(size * SMALL);
                let pieces = self.blocks(blocks, measure, parent);
                self.size = size;
                pieces
            }
        }
    }

    /// Pieces of which the first knows what begins with it.
    fn begun(
        &mut self,
        kind: SheetKind,
        blocks: &[Block],
        fill: impl FnOnce(&mut Flow, &[Block]) -> Vec<Piece>,
    ) -> Vec<Piece> {
        let from = self.nodes.len();
        let (name, blocks) = match blocks.split_first() {
            Some((Block::Named(name), rest)) => (Some(name.as_str().into()), rest),
            _ => (None, blocks),
        };
        let mut pieces = fill(self, blocks);
        let nodes = from..self.nodes.len();
        if let Some(first) = pieces.first_mut() {
            first.begins = Some(BegunSheet { kind, name, nodes });
        }
        pieces
    }

    /// An operation with its drawings.
    fn leaf(&mut self, blocks: &[Block], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let mut pieces = self.blocks(blocks, measure, parent);
        for piece in pieces.iter_mut().filter(|piece| piece.tie == Tie::Sheet) {
            piece.tie = Tie::Part;
        }
        tie_together(&mut pieces, Tie::Leaf);
        pieces
    }

    /// A sheet; what stands under one of its lesser headings stays together where it is short.
    fn sheet(&mut self, blocks: &[Block], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for section in blocks.chunk_by(|_, next| !matches!(next, Block::Heading { level: 3.., .. })) {
            let mut of_section = self.blocks(section, measure, parent);
            let height: f64 = of_section.iter().map(|piece| piece.height + piece.below).sum();
            let lesser = matches!(section.first(), Some(Block::Heading { level: 3.., .. }));
            // A hold point holds on to the steps that it is signed for, under a heading of their own too.
            if let [.., hold, words @ Block::Paragraph(_)] = section
                && is_hold(hold)
            {
                let lines = self.measured(|flow| flow.block(words, measure, parent).len());
                of_section.iter_mut().rev().take(lines).for_each(|piece| piece.tie = piece.tie.max(Tie::Wish));
            }
            if lesser && height < SHORT_SECTION * self.page {
                tie_together(&mut of_section, Tie::Wish);
            }
            pieces.extend(of_section);
        }
        tie_together(&mut pieces, Tie::Sheet);
        pieces
    }

    /// Space above or below, so many times the size of running text: less where a document is set close.
    pub(super) fn air(&self, times: f64) -> f64 {
        times * self.size * if self.close { CLOSE_AIR } else { 1.0 }
    }

    fn heading(&mut self, level: u8, text: &[Span], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let level = level.clamp(1, 3);
        let over = self.under.iter().rposition(|above| above.level < level);
        let tagged = over.map_or(0, |place| self.under[place].tagged) + 1;
        let node = self.node(parent, NodeRole::Heading(tagged));
        let setting = self.title_setting(level, text, measure);
        let mut pieces = self.set(text, setting, measure, Some(node));
        if pieces.is_empty() {
            self.forget_from(node);
            return pieces;
        }
        let words: String = text.iter().map(|span| span.text.replace(['\n', '\u{ad}'], " ")).collect();
        self.under.truncate(over.map_or(0, |place| place + 1));
        self.under.push(Above { level, tagged, words: words.clone() });
        pieces.iter_mut().for_each(|piece| piece.tie = Tie::Firm);
        let (above, below) = match level {
            1 => (2.2, 0.7),
            2 if self.pocket => (0.9, 0.15),
            2 => (1.75, 0.45),
            _ => (1.25, 0.3),
        };
        pieces[0].above = self.air(above);
        pieces[0].entry = Some((tagged, words));
        if let Some(last) = pieces.last_mut() {
            last.below = self.air(below);
        }
        pieces
    }

    /// How a heading is set: a title that would take more lines than two in type a quarter smaller, which says as much in less room.
    fn title_setting(&mut self, level: u8, text: &[Span], measure: Measure) -> Setting {
        let usual = heading_setting(level, self.size, self.pocket);
        let long = level == 1 && self.measured(|flow| flow.set(text, usual, measure, None).len()) > TITLE_LINES;
        if long { Setting { size: usual.size * LONG_TITLE, ..usual } } else { usual }
    }

    fn paragraph(&mut self, spans: &[Span], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let node = self.node(parent, NodeRole::Paragraph);
        let mut pieces = self.set(spans, self.running(), measure, Some(node));
        if pieces.is_empty() {
            self.forget_from(node);
        }
        hold_ends(&mut pieces);
        space(&mut pieces, self.air(0.55), self.air(0.55));
        pieces
    }

    /// A list; a numbered one begins with the number of its first item.
    fn list(&mut self, first: Option<usize>, items: &[Vec<Block>], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let node = self.node(parent, NodeRole::List { ordered: first.is_some() });
        self.depth += 1;
        let set = |flow: &mut Flow, place: usize, measure: Measure| {
            let label = match first {
                Some(first) => ordinal(first.saturating_add(place), flow.depth),
                None => bullet(flow.depth).to_owned(),
            };
            flow.item(&label, &items[place], measure, node)
        };
        let plain = |item: &Vec<Block>| item.iter().all(|block| matches!(block, Block::Paragraph(_)));
        // A long list without numbers is parted among several pairs of columns: none of them is parted between two pages.
        let pairs = if first.is_some() { 1 } else { items.len().div_ceil(TOGETHER) };
        // In large type it is read on down one column: there would be too few words in a line, and one too many pairs to follow.
        // A numbered one that long takes most of a page in one piece, and would leave the one before bare.
        let too_long = first.is_some() && items.len() > MOST_NUMBERED;
        let parted = self.depth == 1 && items.iter().all(plain) && (pairs < 2 || self.size < SMALL_TYPE) && !too_long;
        let mut pieces: Vec<Piece> = Vec::new();
        for part in parts(items.len(), pairs) {
            let columns = parted.then(|| self.in_two_columns(part.clone(), measure, set)).flatten();
            if let Some(columns) = columns {
                pieces.push(columns);
                continue;
            }
            for place in part {
                // The first two items of a list stand together where the first is but a line, and the last two.
                let first_line = place == 1 && pieces.len() == 1;
                if let Some(before) = pieces.last_mut().filter(|_| first_line || place + 1 == items.len()) {
                    before.tie = before.tie.max(Tie::Firm);
                }
                pieces.extend(set(self, place, measure));
            }
        }
        self.depth -= 1;
        let around = if self.depth == 0 { 0.55 } else { 0.2 };
        space(&mut pieces, self.air(around), self.air(around));
        pieces
    }

    /// The items of a list in two columns, the left one first, where the list is set close and that takes at least a line
    /// less; as one piece.
    fn in_two_columns(
        &mut self,
        items: Range<usize>,
        measure: Measure,
        set: impl Fn(&mut Flow, usize, Measure) -> Vec<Piece>,
    ) -> Option<Piece> {
        if !self.close || items.len() < FEW_ITEMS || measure.width < WIDE_ENOUGH {
            return None;
        }
        let outer = std::mem::take(&mut self.within);
        let gap = 1.8 * self.size;
        let half = Measure { x: measure.x, width: (measure.width - gap) / 2.0 };
        let heights = |flow: &mut Flow, measure: Measure| {
            flow.measured(|flow| items.clone().map(|place| stacked(set(flow, place, measure)).1).collect::<Vec<f64>>())
        };
        let whole: f64 = heights(self, measure).iter().sum();
        let narrow = heights(self, half);
        let split = |left: usize| {
            let (left, right) = narrow.split_at(left);
            left.iter().sum::<f64>().max(right.iter().sum())
        };
        let best = (1..items.len()).rev().min_by(|a, b| split(*a).total_cmp(&split(*b)));
        // Small type is read with more ease in short lines; but a list in one piece may leave room at the foot of a page.
        let gain = if self.size < SMALL_TYPE { LEAST_GAIN * whole } else { self.size };
        let best = best.filter(|left| split(*left) + gain < whole);
        let piece = best.map(|left| {
            let beside = Measure { x: measure.x + half.width + gap, ..half };
            let (mut marks, mut notes) = (Vec::new(), Vec::new());
            for (places, column) in [(items.start..items.start + left, half), (items.start + left..items.end, beside)] {
                let mut y = 0.0;
                for place in places {
                    let pieces = set(self, place, column);
                    notes.extend(pieces.iter().flat_map(|piece| piece.notes.iter().copied()));
                    let (item, height) = stacked(pieces);
                    marks.extend(lowered(item, y));
                    y += height;
                }
            }
            (marks, notes, split(left))
        });
        self.within = outer;
        piece.map(|(marks, notes, height)| Piece { notes, ..self.piece(height, marks) })
    }

    pub(super) fn item(&mut self, label: &str, blocks: &[Block], measure: Measure, list: NodeId) -> Vec<Piece> {
        let item = self.node(list, NodeRole::ListItem);
        let label_node = self.node(item, NodeRole::Label);
        let indent = self.size * if self.close && self.size < SMALL_TYPE { SMALL_INDENT } else { INDENT };
        let mut label_pieces = self.set(&[Span::plain(label)], self.running(), measure, Some(label_node));
        let body = self.node(item, NodeRole::Body);
        let mut pieces = self.item_body(blocks, measure.indented(indent), body);
        let Some(mut marker) = label_pieces.pop() else { return pieces };
        match pieces.first_mut() {
            Some(first) => first.marks.splice(0..0, marker.marks).for_each(drop),
            None => {
                marker.below = 0.25 * self.size;
                pieces.push(marker);
            }
        }
        pieces
    }

    /// The blocks of a list item, closer together than at large; a paragraph's words belong to the item itself.
    fn item_body(&mut self, blocks: &[Block], measure: Measure, body: NodeId) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for block in blocks {
            let mut part = match block {
                Block::Paragraph(spans) => {
                    let mut lines = self.set(spans, self.running(), measure, Some(body));
                    hold_ends(&mut lines);
                    lines
                }
                other => self.block(other, measure, body),
            };
            space(&mut part, self.air(0.22), self.air(0.22));
            pieces.extend(part);
        }
        pieces
    }

    fn ticks(&mut self, ticks: &[Vec<Span>], on_screen: bool, measure: Measure, parent: NodeId) -> Vec<Piece> {
        let list = self.node(parent, NodeRole::List { ordered: false });
        let set = |flow: &mut Flow, place: usize, measure: Measure| {
            let spans = &ticks[place];
            let item = flow.node(list, NodeRole::ListItem);
            let label = flow.node(item, NodeRole::Label);
            let body = flow.node(item, NodeRole::Body);
            let indent = flow.size * 1.9;
            let setting = flow.running();
            let mut lines = flow.set(spans, setting, measure.indented(indent), Some(body));
            hold_ends(&mut lines);
            let marks = match on_screen {
                false => vec![flow.tick_box(setting, measure.x, label)],
                true => flow.tick_field(spans, setting, measure.x, label),
            };
            match lines.first_mut() {
                Some(first) => drop(first.marks.splice(0..0, marks)),
                None => lines.push(flow.piece(flow.size * setting.leading, marks)),
            }
            space(&mut lines, flow.air(0.32), flow.air(0.32));
            lines
        };
        let parted = self.in_two_columns(0..ticks.len(), measure, set);
        let mut pieces: Vec<Piece> = parted.into_iter().collect();
        if pieces.is_empty() {
            pieces = (0..ticks.len()).flat_map(|place| set(self, place, measure)).collect();
        }
        space(&mut pieces, self.air(0.55), self.air(0.55));
        pieces
    }

    /// The sign of an empty box.
    fn tick_box(&mut self, setting: Setting, x: f64, owner: NodeId) -> Placed {
        let shaped = shape(&[Span::plain("☐")], false, &mut self.faults);
        let sign = shaped.single(self.size * 1.3, setting.ink, x, baseline(setting) + 0.1 * self.size);
        Placed { owner: Some(owner), item: Item::Text(sign) }
    }

    /// The same sign, and a field over it.
    fn tick_field(&mut self, spans: &[Span], setting: Setting, x: f64, parent: NodeId) -> Vec<Placed> {
        let label: String = spans.iter().map(|span| span.text.as_str()).collect();
        let owner = self.node(parent, NodeRole::Form { label: label.clone() });
        let sign = self.tick_box(setting, x, parent);
        let side = 1.1 * self.size;
        let area = Rectangle { x, y: baseline(setting) - 0.9 * self.size, width: side, height: side };
        vec![sign, Placed { owner: Some(owner), item: Item::Field { area, label, taking: Taking::Tick } }]
    }

    pub(super) fn figure(&mut self, figure: &Figure, measure: Measure, parent: NodeId) -> Vec<Piece> {
        let node = self.node(parent, NodeRole::Figure { alt: figure.alt.clone() });
        let caption = self.caption(&figure.caption, measure, parent);
        let caption_height: f64 = caption.iter().map(|piece| piece.height).sum();
        let room = (self.tallest() - caption_height - self.size).max(self.size);
        let (width, height) = (figure.scene.width.max(1.0), figure.scene.height.max(1.0));
        let scale = (measure.width / width).min(room / height).min(1.0);
        let area = Rectangle { x: measure.x, y: 0.0, width: width * scale, height: height * scale };
        // Where it stands is seen where only heights are measured too.
        let texts = if self.measuring { Vec::new() } else { self.scene_texts(&figure.scene) };
        let item = Item::Drawing { area, scale, scene: figure.scene.clone(), texts };
        let piece = self.piece(area.height, vec![Placed { owner: Some(node), item }]);
        self.pictured(piece, caption)
    }

    fn scene_texts(&mut self, scene: &Scene) -> Vec<(usize, crate::pages::page::Text)> {
        let mut texts = Vec::new();
        for (place, mark) in scene.marks.iter().enumerate() {
            let Mark::Text { text, size, bold, ink, .. } = mark else { continue };
            let shaped = shape(&[Span::plain(text.as_str())], *bold, &mut self.faults);
            texts.push((place, shaped.single(*size, *ink, 0.0, 0.0)));
        }
        texts
    }

    fn photo(&mut self, picture: &Picture, caption: &str, alt: &str, measure: Measure, parent: NodeId) -> Vec<Piece> {
        let room = (self.tallest() * 0.42).min(measure.width * 0.75);
        let place = |(width, height): (f64, f64)| {
            let scale = (measure.width / width).min(room / height).min(1.0);
            (width * scale, height * scale)
        };
        let (image, (width, height)) = match self.faults.gallery.show(picture, ShownAs::Photograph, place) {
            Ok(shown) => shown,
            Err(problem) => {
                self.faults.others.push(problem);
                return Vec::new();
            }
        };
        let node = self.node(parent, NodeRole::Figure { alt: alt.to_owned() });
        let caption = self.caption(caption, measure, parent);
        let area = Rectangle { x: measure.x, y: 0.0, width, height };
        let item = Item::Picture { area, image };
        let piece = self.piece(area.height, vec![Placed { owner: Some(node), item }]);
        self.pictured(piece, caption)
    }

    fn caption(&mut self, words: &str, measure: Measure, parent: NodeId) -> Vec<Piece> {
        if words.trim().is_empty() {
            return Vec::new();
        }
        let node = self.node(parent, NodeRole::Caption);
        let setting = Setting { size: self.size * 0.88, ink: GREY, fit: Fit::Balanced, ..self.running() };
        self.set(&[Span::plain(words)], setting, measure, Some(node))
    }

    /// A picture and its caption as one piece.
    fn pictured(&self, mut piece: Piece, caption: Vec<Piece>) -> Vec<Piece> {
        let mut y = piece.height + if caption.is_empty() { 0.0 } else { 0.45 * self.size };
        for line in caption {
            piece.marks.extend(lowered(line.marks, y));
            y += line.height;
        }
        piece.height = y;
        piece.above = self.air(0.9);
        piece.below = self.air(1.1);
        piece.floats = true;
        vec![piece]
    }

    fn callout(&mut self, tone: Tone, title: &str, blocks: &[Block], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let size = self.size;
        let led = self.led.len();
        let node = self.node(parent, NodeRole::Division);
        let inner = Measure { x: measure.x + 1.3 * size, width: (measure.width - 2.3 * size).max(1.0) };
        let title_node = self.node(node, NodeRole::Paragraph);
        let setting = Setting { bold: true, size: size * 1.04, ink: Ink::Black, ..self.running() };
        let words = tone_words(tone, title);
        let again = self.set(&[Span::plain(format!("{words} (continued)"))], setting, inner, None);
        let mut repeated = as_decoration(&again);
        space(&mut repeated, 0.0, 0.3 * size);
        let mut pieces =
            self.framed(Some(BoxFrame { padding: self.air(0.75), ..frame(tone, measure, size) }), repeated, |flow| {
                flow.led.extend(Some(title.trim().to_owned()).filter(|title| !title.is_empty()));
                let mut head = flow.set(&[Span::plain(words)], setting, inner, Some(title_node));
                let (blocks, signed) = flow.signed_in_its_head(tone, &head, blocks, inner);
                head.iter_mut().for_each(|piece| piece.tie = Tie::Firm);
                space(&mut head, 0.0, 0.25 * size);
                let checked = flow.blocks(blocks, inner, node);
                if let (Some((row, shares, beside)), Some(first)) = (signed, head.first_mut()) {
                    let signed = flow.row_of_lines(&row, &shares, beside, node);
                    let title = lowered(std::mem::take(&mut first.marks), signed.height - first.height);
                    first.marks = title.into_iter().chain(signed.marks).collect();
                    first.height = signed.height;
                }
                head.extend(checked);
                flow.led.truncate(led);
                head
            });
        if self.close && tone == Tone::Hold {
            // What is to be ticked first is not parted, nor from what leads on from it.
            pieces.iter_mut().for_each(|piece| piece.tie = piece.tie.max(Tie::Wish));
        }
        space(&mut pieces, self.air(0.9), self.air(0.9));
        pieces
    }

    /// What stands in a hold point under its title, and the row of fields with which it ends where that has room beside the
    /// title: its shares, and where it stands.
    fn signed_in_its_head<'a>(
        &mut self,
        tone: Tone,
        head: &[Piece],
        blocks: &'a [Block],
        inner: Measure,
    ) -> (&'a [Block], Option<RowInHead<'a>>) {
        let ([before @ .., Block::Fields(fields)], [line], Tone::Hold) = (blocks, head, tone) else {
            return (blocks, None);
        };
        let ends = line.marks.iter().filter_map(|mark| match &mark.item {
            Item::Text(text) => Some(text.x + text.width - inner.x),
            _ => None,
        });
        let beside = inner.indented(ends.fold(0.0, f64::max) + FIELD_GAP * self.size);
        let row = match field_rows(fields).as_slice() {
            [row] => row.clone(),
            _ => return (blocks, None),
        };
        match self.row_shares(&row, beside, (LEAST_LINE_IN_HEAD, SHORT_LINE_IN_HEAD)) {
            Some(shares) => (before, Some((row, shares, beside))),
            None => (blocks, None),
        }
    }

    fn headline(&mut self, words: [&String; 3], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let size = self.size;
        let [label, figure, note] = words;
        let node = self.node(parent, NodeRole::Division);
        let frame = BoxFrame {
            x: measure.x,
            width: measure.width,
            padding: 0.95 * size,
            fill: Some(Ink::AccentTint(0.92)),
            pen: None,
            bar: Some((Ink::Accent, 0.35 * size)),
        };
        let inner = Measure { x: measure.x + 1.5 * size, width: (measure.width - 2.5 * size).max(1.0) };
        let running = self.running();
        let settings = [
            (label, Setting { size: size * 0.95, ink: GREY, ..running }),
            (figure, Setting { size: size * 2.4, leading: 1.2, ink: Ink::Accent, bold: true, fit: Fit::Balanced }),
            (note, Setting { size: size * 0.92, ink: Ink::Grey(0.2), ..running }),
        ];
        let mut pieces = self.framed(Some(frame), Vec::new(), |flow| {
            let mut lines = Vec::new();
            for (text, setting) in settings.into_iter().filter(|(text, _)| !text.trim().is_empty()) {
                let paragraph = flow.node(node, NodeRole::Paragraph);
                lines.extend(flow.set(&[Span::plain(text.as_str())], setting, inner, Some(paragraph)));
            }
            lines
        });
        tie_together(&mut pieces, Tie::Wish);
        space(&mut pieces, size, 1.1 * size);
        pieces
    }

    /// Columns side by side as one piece; one under another where a page could not hold them.
    fn columns(&mut self, columns: &[Vec<Block>], measure: Measure, parent: NodeId) -> Vec<Piece> {
        if columns.is_empty() {
            return Vec::new();
        }
        let size = self.size;
        let usual = || shares(columns, measure.width - USUAL_GAP * size * (columns.len() - 1) as f64);
        let close = measure.width - CLOSE_GAP * size * (columns.len() - 1) as f64;
        let words = |blocks: &Vec<Block>| matches!(blocks.as_slice(), [Block::Heading { .. }, Block::Paragraph(_)]);
        let facts = |blocks: &Vec<Block>| matches!(blocks.as_slice(), [Block::Facts(_)]);
        let (widths, gap) = match wide_figures(columns, usual().first().copied().unwrap_or(0.0), close) {
            Some(widths) => (widths, CLOSE_GAP),
            None if has_words_beside(columns) || has_list_beside(columns) => (shares(columns, close), CLOSE_GAP),
            None if has_wide_drawing(columns, usual()[0]) => {
                (for_drawings(columns, measure.width - USUAL_GAP * size), USUAL_GAP)
            }
            None if columns.len() == 3 && columns.iter().all(words) => {
                (self.lowest(columns, usual(), &WORDS_SHARES), USUAL_GAP)
            }
            None if columns.len() == 2 && columns.iter().all(facts) => {
                (self.lowest(columns, usual(), &FACTS_SHARES), USUAL_GAP)
            }
            None => (usual(), USUAL_GAP),
        };
        let gap = gap * size;
        self.columns_of(columns, (widths, gap), measure, parent)
    }

    /// The widths of columns: alike, or by those of some shares that make them the lowest, where that is lower by more than a line.
    fn lowest<const N: usize>(&mut self, columns: &[Vec<Block>], alike: Vec<f64>, shares: &[[f64; N]]) -> Vec<f64> {
        let all: f64 = alike.iter().sum();
        let line = 1.2 * self.running().size * self.running().leading;
        let mut height = |widths: &[f64]| {
            let of_each =
                columns.iter().zip(widths).map(|(of, width)| self.height_of(of, Measure { x: 0.0, width: *width }, 0));
            of_each.fold(0.0, f64::max)
        };
        let mut least = height(&alike) - line;
        let mut best = alike;
        for shares in shares {
            let widths = shares.map(|share| share * all).to_vec();
            let of = height(&widths);
            if of < least - 0.1 {
                (best, least) = (widths, of);
            }
        }
        best
    }

    /// Columns of these widths with this gap between them.
    pub(super) fn columns_of(
        &mut self,
        columns: &[Vec<Block>],
        (widths, gap): (Vec<f64>, f64),
        measure: Measure,
        parent: NodeId,
    ) -> Vec<Piece> {
        let (nodes, under, outer) = (self.nodes.len(), self.under.clone(), std::mem::take(&mut self.within));
        let mut left = measure.x;
        let (mut marks, mut notes, mut boxes) = (Vec::new(), Vec::new(), Vec::new());
        let mut entries: Vec<(u8, String)> = Vec::new();
        let mut height: f64 = 0.0;
        let mut above = 0.55 * self.size;
        for (blocks, width) in columns.iter().zip(widths) {
            let column = Measure { x: left, width: width.max(1.0) };
            left += width + gap;
            let pieces = self.blocks(blocks, column, parent);
            above = pieces.first().map_or(above, |first| above.max(first.above));
            notes.extend(pieces.iter().flat_map(|piece| piece.notes.iter().copied()));
            entries.extend(pieces.iter().filter_map(|piece| piece.entry.clone()));
            let stacked =
                paginate(unbroken(pieces), Vec::new(), TextBounds { first_top: 0.0, top: 0.0, bottom: f64::INFINITY });
            height = height.max(stacked.end);
            let boxed = matches!(blocks.as_slice(), [Block::Facts(_) | Block::Callout { .. } | Block::Headline { .. }]);
            boxes.push((marks.len(), stacked.end, boxed));
            marks.extend(stacked.pages.into_iter().flat_map(|page| page.marks));
        }
        if boxes.iter().all(|(.., boxed)| *boxed) {
            as_tall(&mut marks, &boxes, height);
        }
        self.within = outer;
        if height > self.tallest() {
            self.forget_from(nodes);
            self.under = under;
            return columns.iter().flat_map(|blocks| self.blocks(blocks, measure, parent)).collect();
        }
        let body = Piece { below: 0.55 * self.size, notes, ..self.piece(height, marks) };
        self.headed(entries, above, body)
    }

    /// A piece and, before it, what it has for the outline: a piece without height for each heading.
    fn headed(&self, entries: Vec<(u8, String)>, above: f64, body: Piece) -> Vec<Piece> {
        let head = |entry| Piece { entry: Some(entry), tie: Tie::Firm, ..self.piece(0.0, Vec::new()) };
        let mut pieces: Vec<Piece> = entries.into_iter().map(head).chain([body]).collect();
        pieces[0].above = above;
        pieces
    }

    fn fields(&mut self, fields: &[Field], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let rows = field_rows(fields);
        let mut pieces: Vec<Piece> = rows.iter().map(|row| self.field_row(row, measure, parent)).collect();
        // A long form goes on over a page between two rows; none of its first or last two stands alone.
        match pieces.len() {
            0..=FEW_ROWS => tie_together(&mut pieces, Tie::Wish),
            _ => hold_ends(&mut pieces),
        }
        space(&mut pieces, self.air(0.6), self.air(0.9));
        pieces
    }

    /// A row of fields, each with its label under it.
    fn field_row(&mut self, row: &[&Field], measure: Measure, parent: NodeId) -> Piece {
        if let Some(piece) = self.close_row(row, measure, parent) {
            return piece;
        }
        let line = if self.size > 11.0 { 2.4 } else { 2.7 };
        let lines = |room| match room {
            FieldRoom::Line => line,
            _ if self.close => 3.6,
            FieldRoom::Signature => 5.0,
            FieldRoom::Tall => 8.0,
        };
        let height = row.iter().map(|field| lines(field.room)).fold(line, f64::max) * self.size;
        let gap = FIELD_GAP * self.size;
        let twelfth = (measure.width + gap) / 12.0;
        let mut marks = Vec::new();
        let mut left = measure.x;
        let mut bottom = height;
        for field in row {
            let share = twelfth * f64::from(field.twelfths.clamp(1, 12));
            let width = (share - gap).max(self.size);
            let named = self.node(parent, NodeRole::Paragraph);
            let label = self.spoken(&field.label);
            let signed = field.room == FieldRoom::Signature;
            let node = if signed { named } else { self.node(parent, NodeRole::Form { label: label.clone() }) };
            let top = 0.2 * self.size;
            let area = Rectangle { x: left, y: top, width, height: height - top };
            marks.extend(field_marks(field.room, label, node, area));
            let (label, end) = self.field_label(&field.label, named, Measure { x: left, width }, height);
            marks.extend(label);
            bottom = bottom.max(end);
            left += share;
        }
        Piece { below: 0.5 * self.size, ..self.piece(bottom, marks) }
    }

    /// A row of lines set close, each with its label before it, where every label leaves its line room enough.
    fn close_row(&mut self, row: &[&Field], measure: Measure, parent: NodeId) -> Option<Piece> {
        let shares = self.row_shares(row, measure, (LEAST_LINE, SHORT_LINE))?;
        Some(self.row_of_lines(row, &shares, measure, parent))
    }

    /// Of each field of a row set close its width, and what of that its label takes: by its twelfths where they leave each
    /// line the first so many times the size, else by what all labels leave, if that is the second for each.
    fn row_shares(&mut self, row: &[&Field], measure: Measure, least: (f64, f64)) -> Option<Vec<(f64, f64)>> {
        let gap = FIELD_GAP * self.size;
        let lines = row.iter().all(|field| field.room == FieldRoom::Line);
        if !self.close || !lines || row.is_empty() {
            return None;
        }
        let label_of = |flow: &mut Flow, field: &Field| {
            let label = shape(&[Span::plain(field.label.as_str())], false, &mut flow.faults);
            label.natural_width(flow.label_size()) + 0.5 * flow.size
        };
        let labels: Vec<f64> = row.iter().map(|field| label_of(self, field)).collect();
        let parts: Vec<f64> = row.iter().map(|field| f64::from(field.twelfths.clamp(1, 12))).collect();
        let long =
            |shares: &[(f64, f64)], least: f64| shares.iter().all(|(width, taken)| width - taken >= least * self.size);
        let twelfth = (measure.width + gap) / 12.0;
        let by_twelfths = parts.iter().zip(&labels).map(|(part, label)| (twelfth * part - gap, *label)).collect();
        let free = measure.width - gap * (row.len() - 1) as f64 - labels.iter().sum::<f64>();
        let line = free / parts.iter().sum::<f64>();
        let by_labels = parts.iter().zip(&labels).map(|(part, label)| (label + line * part, *label)).collect();
        let tried: [(Vec<(f64, f64)>, f64); 2] = [(by_twelfths, least.0), (by_labels, least.1)];
        tried.into_iter().find(|(shares, least)| long(shares, *least)).map(|(shares, _)| shares)
    }

    fn row_of_lines(&mut self, row: &[&Field], shares: &[(f64, f64)], measure: Measure, parent: NodeId) -> Piece {
        let gap = FIELD_GAP * self.size;
        let setting = Setting { size: self.label_size(), ink: GREY, ..self.running() };
        let height = 2.1 * self.size;
        let (mut marks, mut left) = (Vec::new(), measure.x);
        for (field, &(width, taken)) in row.iter().zip(shares) {
            let named = self.node(parent, NodeRole::Paragraph);
            let spoken = self.spoken(&field.label);
            let node = self.node(parent, NodeRole::Form { label: spoken.clone() });
            let top = 0.2 * self.size;
            let area = Rectangle { x: left + taken, y: top, width: width - taken, height: height - top };
            marks.extend(field_marks(field.room, spoken, node, area));
            let lowest = height - setting.size * setting.leading;
            for line in self.set(&[Span::plain(field.label.as_str())], setting, Measure { x: left, width }, Some(named))
            {
                marks.extend(lowered(line.marks, lowest));
            }
            left += width + gap;
        }
        Piece { below: 0.4 * self.size, ..self.piece(height, marks) }
    }

    /// The size of the words at a line to write on: less than the running text's, and no less than is read with ease; in the pocket the
    /// same.
    fn label_size(&self) -> f64 {
        if self.pocket { self.size } else { (self.size * 0.85).max(f64::min(self.size, 8.5)) }
    }

    /// What a field is called to somebody who hears it: the headings that it stands under, and what leads up to it, tell
    /// whose name and which time.
    pub(super) fn spoken(&self, label: &str) -> String {
        let headings = self.under.iter().filter(|above| above.tagged > 1).map(|above| above.words.trim());
        let under: Vec<&str> = headings.chain(self.led.iter().map(String::as_str)).collect();
        if under.is_empty() { label.to_owned() } else { format!("{}: {label}", under.join(", ")) }
    }

    /// The marks of a label below a height, and where they end.
    fn field_label(&mut self, label: &str, node: NodeId, measure: Measure, height: f64) -> (Vec<Placed>, f64) {
        let setting = Setting { size: self.label_size(), ink: GREY, ..self.running() };
        let mut y = height + 0.1 * self.size;
        let mut marks = Vec::new();
        for line in self.set(&[Span::plain(label)], setting, measure, Some(node)) {
            marks.extend(lowered(line.marks, y));
            y += line.height;
        }
        (marks, y)
    }
}

/// Between columns, in the size of the type: between those that belong to each other, and between others.
const CLOSE_GAP: f64 = 0.9;
const USUAL_GAP: f64 = 1.8;
/// What the left of two columns of facts may take of the width.
const FACTS_SHARES: [[f64; 2]; 2] = [[0.56, 0.44], [0.6, 0.4]];
/// What three columns of words may have of it.
const WORDS_SHARES: [[f64; 3]; 5] =
    [[0.4, 0.28, 0.32], [0.44, 0.26, 0.3], [0.4, 0.25, 0.35], [0.3, 0.22, 0.48], [0.3, 0.3, 0.4]];
/// A title of more lines than these is set in this part of its size.
const TITLE_LINES: usize = 2;
const LONG_TITLE: f64 = 0.75;

/// The widths of columns: alike, but a drawing with words or a list beside it takes its own width.
fn shares(columns: &[Vec<Block>], width: f64) -> Vec<f64> {
    let alike = width / columns.len() as f64;
    match columns.first().map(Vec::as_slice) {
        Some([Block::Figure(figure)]) if has_words_beside(columns) || has_list_beside(columns) => {
            let own = figure.scene.width.clamp(0.4 * width, 0.69 * width);
            vec![own, width - own]
        }
        _ => vec![alike; columns.len()],
    }
}

/// Boxes side by side, each from a mark on and with its own end, all reach as far down as the tallest of them.
fn as_tall(marks: &mut [Placed], boxes: &[(usize, f64, bool)], height: f64) {
    for (number, &(first, end, _)) in boxes.iter().enumerate() {
        let after = boxes.get(number + 1).map_or(marks.len(), |(next, ..)| *next);
        for mark in &mut marks[first..after] {
            if let Item::Panel { area, .. } = &mut mark.item
                && area.y + area.height > end - 0.1
            {
                area.height = height - area.y;
            }
        }
    }
}

/// The columns of drawings side by side of which one needs more than its share, where a width holds all of them.
fn wide_figures(columns: &[Vec<Block>], share: f64, width: f64) -> Option<Vec<f64>> {
    let wide = |blocks: &Vec<Block>| match blocks.as_slice() {
        [Block::Figure(figure)] => Some(figure.scene.width),
        _ => None,
    };
    let widths: Vec<f64> = columns.iter().map(wide).collect::<Option<_>>().filter(|all: &Vec<f64>| all.len() > 1)?;
    let air = (width - widths.iter().sum::<f64>()) / widths.len() as f64;
    (widths.iter().any(|one| *one > share) && air >= 0.0).then(|| widths.iter().map(|one| one + air).collect())
}

/// Whether one of two columns has, among other blocks, a drawing wider than its share.
fn has_wide_drawing(columns: &[Vec<Block>], share: f64) -> bool {
    columns.len() == 2 && columns.iter().any(|blocks| widest_drawing(blocks) > share)
}

/// The widths of two columns of which one has a drawing wider than its half: it stands in its own size, and the other column keeps
/// what words can be read in.
fn for_drawings(columns: &[Vec<Block>], width: f64) -> Vec<f64> {
    let [left, right] = [0, 1].map(|column| widest_drawing(&columns[column]));
    let most = (1.0 - FEWEST_WORDS) * width;
    match left > right {
        true => vec![left.min(most), width - left.min(most)],
        false => vec![width - right.min(most), right.min(most)],
    }
}

/// The part of the width that words beside a wide drawing keep.
const FEWEST_WORDS: f64 = 0.38;

fn widest_drawing(blocks: &[Block]) -> f64 {
    let width = |block: &Block| if let Block::Figure(figure) = block { figure.scene.width } else { 0.0 };
    blocks.iter().map(width).fold(0.0, f64::max)
}

fn has_words_beside(columns: &[Vec<Block>]) -> bool {
    let [drawing, words] = columns else { return false };
    matches!((drawing.as_slice(), words.as_slice()), ([Block::Figure(_)], [Block::Paragraph(_)]))
}

fn has_list_beside(columns: &[Vec<Block>]) -> bool {
    let [drawing, list] = columns else { return false };
    matches!((drawing.as_slice(), list.as_slice()), ([Block::Figure(_)], [Block::Table(_)]))
}

/// The marks of some pieces, one under another, and the height that they take with the space below each.
fn stacked(pieces: Vec<Piece>) -> (Vec<Placed>, f64) {
    let (mut marks, mut y) = (Vec::new(), 0.0);
    for piece in pieces {
        marks.extend(lowered(piece.marks, y));
        y += piece.height + piece.below;
    }
    (marks, y)
}

/// Columns are one piece: nothing in them asks for a page of its own, floats or stands in the outline.
pub(super) fn unbroken(mut pieces: Vec<Piece>) -> Vec<Piece> {
    for piece in &mut pieces {
        piece.new_page = false;
        piece.room = 0.0;
        piece.floats = false;
        piece.entry = None;
        piece.notes.clear();
    }
    pieces
}

fn field_rows(fields: &[Field]) -> Vec<Vec<&Field>> {
    let mut rows: Vec<Vec<&Field>> = Vec::new();
    let mut taken = 12;
    for field in fields {
        let twelfths = field.twelfths.clamp(1, 12);
        if taken + twelfths > 12 {
            rows.push(Vec::new());
            taken = 0;
        }
        taken += twelfths;
        if let Some(row) = rows.last_mut() {
            row.push(field);
        }
    }
    rows
}

/// The title that a paragraph gives to what follows it, as `For the firm:` does.
fn announcement(block: &Block) -> Option<String> {
    let Block::Paragraph(spans) = block else { return None };
    let words: String = spans.iter().map(|span| span.text.as_str()).collect();
    words.trim().strip_suffix(':').map(str::to_owned)
}

/// A rule to write on, or a ruled box for several lines or a signature.
fn field_marks(room: FieldRoom, label: String, node: NodeId, area: Rectangle) -> Vec<Placed> {
    let bottom = area.y + area.height;
    let pen = Pen { ink: Ink::Grey(0.35), width: 0.6, dash: None };
    let field = |area, taking| Placed { owner: Some(node), item: Item::Field { area, label, taking } };
    let frame = Placed::bare(Item::Panel { area, fill: Some(Ink::White), pen: Some(pen) });
    let rule = Item::Rule { from: (area.x, bottom), to: (area.x + area.width, bottom), pen };
    match room {
        FieldRoom::Line => {
            // What is typed stands on the rule, however high the row is.
            let height = area.height.min(LINE_FIELD);
            let lowest = Rectangle { y: bottom - height, height, ..area };
            vec![field(lowest, Taking::Line), Placed::bare(rule)]
        }
        FieldRoom::Tall => vec![frame, field(area, Taking::Lines)],
        FieldRoom::Signature => vec![frame],
    }
}

pub(super) fn bullet(depth: usize) -> &'static str {
    if depth % 2 == 1 { "•" } else { "–" }
}

/// `3.` at the first depth, `c.` at the second, and so on in turn.
fn ordinal(number: usize, depth: usize) -> String {
    if depth % 2 == 1 || !(1..=26).contains(&number) {
        return format!("{number}.");
    }
    format!("{}.", char::from(b'a' + (number - 1) as u8))
}

/// A callout's heading: its sign and word, then its title.
fn tone_words(tone: Tone, title: &str) -> String {
    let word = match tone {
        Tone::Note => "Note",
        Tone::Hold => "■ Hold point",
        Tone::Caution => "⚠ Caution",
    };
    if title.trim().is_empty() { word.to_owned() } else { format!("{word}: {title}") }
}

/// A callout's frame: a note is tinted, a hold point stands in a heavy box, a caution in a box with a broad bar.
fn frame(tone: Tone, measure: Measure, size: f64) -> BoxFrame {
    let full = |ink, width| Some(Pen { ink, width, dash: None });
    let plain = BoxFrame { x: measure.x, width: measure.width, padding: 0.75 * size, fill: None, pen: None, bar: None };
    match tone {
        Tone::Note => BoxFrame { fill: Some(Ink::Grey(0.955)), bar: Some((Ink::Grey(0.6), 0.22 * size)), ..plain },
        Tone::Hold => BoxFrame { fill: Some(Ink::White), pen: full(Ink::Black, 1.6), ..plain },
        Tone::Caution => BoxFrame {
            fill: Some(Ink::Grey(0.97)),
            pen: full(Ink::Grey(0.15), 0.8),
            bar: Some((Ink::Grey(0.15), 0.6 * size)),
            ..plain
        },
    }
}

/// So many things in a row, shared out evenly.
fn parts(things: usize, among: usize) -> impl Iterator<Item = Range<usize>> {
    let among = among.max(1);
    (0..among).map(move |part| part * things / among..(part + 1) * things / among)
}
