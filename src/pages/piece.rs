//! Pieces: the parts of a document that are never cut, stacked down a page.
//!
//! Given by the flow (a line of text, a row of a table, a drawing); read by the pager. A piece knows how firmly it
//! holds on to the next one and which frames it stands in; it does not know its page.

use super::page::{Item, NodeId, Placed, Rectangle};
use super::scene::{Ink, Pen};
use std::ops::Range;
use std::rc::Rc;

/// How firmly a piece holds on to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Tie {
    /// A page may end here.
    #[default]
    Free,
    /// One operation: kept on a page and the next, where these are large enough.
    Leaf,
    /// One sheet of an operation that may be parted to fill a page; else like a sheet.
    Part,
    /// One sheet: kept together where a page is long enough, else begun on a new page and parted here.
    Sheet,
    /// Kept together where a page is long enough for it.
    Wish,
    /// A heading and its text, the first and the last two lines of a paragraph.
    Firm,
}

/// A part that is never cut.
#[derive(Debug, Clone, Default)]
pub struct Piece {
    /// Its height.
    pub height: f64,
    /// Space wanted above it; the larger of this and the space below the piece before counts, none at a page's head.
    pub above: f64,
    /// Space wanted below it.
    pub below: f64,
    /// Its marks: x on the page, y from its own top.
    pub marks: Vec<Placed>,
    /// How firmly it holds on to the next piece.
    pub tie: Tie,
    /// What it stands in, from the outermost.
    pub within: Vec<Rc<Surround>>,
    /// A drawing or picture that may be carried to the next page while text fills this one.
    pub floats: bool,
    /// Starts a new page.
    pub new_page: bool,
    /// Starts a new page unless this much of the page is free, pt. Such a piece has no marks.
    pub room: f64,
    /// Notes that its words point to, by their place among the notes.
    pub notes: Vec<usize>,
    /// A heading for the outline: level and words.
    pub entry: Option<(u8, String)>,
    /// What begins with it, where that is a sheet.
    pub begins: Option<BegunSheet>,
}

/// A sheet, an operation, or a card that may stand before those.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BegunSheet {
    /// Which it is.
    pub kind: SheetKind,
    /// Its name: a card should come before the first operation of the same.
    pub name: Option<Rc<str>>,
    /// Its nodes in the tree of meaning.
    pub nodes: Range<NodeId>,
}

/// What goes round pieces: a frame drawn about them on each page, and what is repeated when they go on over a page.
#[derive(Debug, Clone)]
pub struct Surround {
    /// Number in the document, from 0.
    pub number: usize,
    /// The frame's look.
    pub frame: Option<BoxFrame>,
    /// Pieces repeated at the head of each further page; decoration.
    pub repeated: Vec<Piece>,
}

impl Surround {
    /// What it takes from each further page: its padding and what it repeats.
    pub fn height(&self) -> f64 {
        let padding = self.frame.map_or(0.0, |frame| 2.0 * frame.padding);
        padding + self.repeated.iter().map(|piece| piece.height + piece.below).sum::<f64>()
    }
}

/// A frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoxFrame {
    /// Left edge.
    pub x: f64,
    /// Width.
    pub width: f64,
    /// Space inside, above and below.
    pub padding: f64,
    /// Ground.
    pub fill: Option<Ink>,
    /// Outline.
    pub pen: Option<Pen>,
    /// A bar down the left edge: its colour and width.
    pub bar: Option<(Ink, f64)>,
}

impl BoxFrame {
    /// The marks of a frame between two heights.
    pub fn marks(&self, top: f64, bottom: f64) -> Vec<Placed> {
        let area = Rectangle { x: self.x, y: top, width: self.width, height: bottom - top };
        let mut marks = vec![Placed::bare(Item::Panel { area, fill: self.fill, pen: self.pen })];
        if let Some((ink, width)) = self.bar {
            let bar = Rectangle { width, ..area };
            marks.push(Placed::bare(Item::Panel { area: bar, fill: Some(ink), pen: None }));
        }
        marks
    }
}

/// What stands on the leaves as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetKind {
    /// What is read at one go.
    Sheet,
    /// An operation with its drawings: on one leaf where it can.
    Operation,
    /// What may stand before a sheet or an operation that comes before it.
    Card,
}

impl Piece {
    /// The same without its marks, for whoever only asks where it would stand.
    #[must_use]
    pub fn bare(&self) -> Piece {
        Piece {
            height: self.height,
            above: self.above,
            below: self.below,
            marks: Vec::new(),
            tie: self.tie,
            within: self.within.clone(),
            floats: self.floats,
            new_page: self.new_page,
            room: self.room,
            notes: self.notes.clone(),
            entry: self.entry.clone(),
            begins: self.begins.clone(),
        }
    }
}

/// Ties all pieces but the last at least this firmly.
pub fn tie_together(pieces: &mut [Piece], tie: Tie) {
    if let Some((_, held)) = pieces.split_last_mut() {
        held.iter_mut().for_each(|piece| piece.tie = piece.tie.max(tie));
    }
}

/// The same pieces as decoration: repeated headings are not read twice.
pub fn as_decoration(pieces: &[Piece]) -> Vec<Piece> {
    let mut copies = pieces.to_vec();
    for piece in &mut copies {
        piece.entry = None;
        piece.within.clear();
        piece.marks.iter_mut().for_each(|mark| mark.owner = None);
        for mark in &mut piece.marks {
            if let Item::Text(text) = &mut mark.item {
                text.link = None;
            }
        }
    }
    copies
}
