//! The flow: text becomes pieces that the pager can stack, and nodes that say what each piece means.
//!
//! Given spans, a left edge and a width; gives pieces with marks in place and grows the tree of meaning. Blocks are taken
//! apart in `blocks` and `table`, which set their text here.

use super::block::Span;
use super::cards::MovedCard;
use super::page::{Node, NodeId, NodeRole, Placed, lowered};
use super::piece::{BoxFrame, Piece, Surround};
use super::scene::Ink;
use super::setting::{Measure, Setting, baseline};
use super::text::{Faults, Fit, Look, Shaped, TextLine, shape};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Makes pieces of blocks.
pub struct Flow {
    /// The tree of meaning; the first node is the document.
    pub nodes: Vec<Node>,
    /// What was found wrong.
    pub faults: Faults,
    /// Size of running text, pt.
    pub size: f64,
    /// Size of the lesser running text, pt; a share of the size where none was chosen.
    pub(super) lesser: Option<f64>,
    /// What is told where: a name, and the node whose words tell it.
    pub tells: Vec<(String, NodeId)>,
    /// The cards that come before their places.
    pub(super) moved: Vec<MovedCard>,
    /// Words of the notes met so far, in the order of their figures, each with the size of the text that first points to it.
    notes: Vec<(Vec<Span>, f64)>,
    /// The node in whose words each note is first pointed to, by the note's place.
    pointers: BTreeMap<usize, NodeId>,
    /// Set close: lines, tables and lines to write on take less height.
    pub close: bool,
    /// Set for the pocket: one size of type for text, tables and the words at lines.
    pub(super) pocket: bool,
    /// Height of a page's text, pt.
    pub(super) page: f64,
    pub(super) within: Vec<Rc<Surround>>,
    pub(super) surrounds: usize,
    /// Only heights are asked for: text is set as lines without marks, and nothing is told.
    pub(super) measuring: bool,
    pub(super) depth: usize,
    /// The headings that the text stands under.
    pub(super) under: Vec<Above>,
    /// The titles of the boxes that the text stands in, and the words that lead up to it.
    pub(super) led: Vec<String>,
}

/// A heading that text stands under.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Above {
    /// Its level as the text has it, 1 to 3.
    pub(super) level: u8,
    /// The level that it is tagged with: one below the heading that it stands under, so that none is left out.
    pub(super) tagged: u8,
    /// Its words.
    pub(super) words: String,
}

impl Flow {
    /// An empty flow.
    pub fn new(size: f64, page: f64) -> Flow {
        Flow {
            nodes: vec![Node { parent: 0, role: NodeRole::Document }],
            faults: Faults::default(),
            size,
            lesser: None,
            tells: Vec::new(),
            moved: Vec::new(),
            notes: Vec::new(),
            pointers: BTreeMap::new(),
            close: false,
            pocket: false,
            page,
            within: Vec::new(),
            surrounds: 0,
            measuring: false,
            depth: 0,
            under: Vec::new(),
            led: Vec::new(),
        }
    }

    /// A new node under another.
    pub fn node(&mut self, parent: NodeId, role: NodeRole) -> NodeId {
        self.nodes.push(Node { parent, role });
        self.nodes.len() - 1
    }

    /// Takes back the nodes from one on, with what they tell.
    pub(super) fn forget_from(&mut self, node: NodeId) {
        self.nodes.truncate(node);
        self.tells.retain(|(_, teller)| *teller < node);
        self.pointers.retain(|_, pointer| *pointer < node);
    }

    /// A piece inside the frames that are open.
    pub fn piece(&self, height: f64, marks: Vec<Placed>) -> Piece {
        Piece { height, marks, within: self.within.clone(), ..Piece::default() }
    }

    /// Tallest that a piece may be inside the frames that are open, pt.
    pub fn tallest(&self) -> f64 {
        let taken: f64 = self.within.iter().map(|surround| surround.height()).sum();
        (self.page - taken).max(self.size)
    }

    /// What is asked of blocks of which only the height matters: they are set as lines without marks, and nothing of them
    /// stays in the tree.
    pub(super) fn measured<T>(&mut self, of: impl FnOnce(&mut Flow) -> T) -> T {
        let (nodes, under, outer) = (self.nodes.len(), self.under.clone(), self.within.clone());
        let before = std::mem::replace(&mut self.measuring, true);
        let measure = of(self);
        self.forget_from(nodes);
        (self.under, self.within, self.measuring) = (under, outer, before);
        measure
    }

    /// The same with a size of the lesser type; no note that was met meanwhile is known afterwards.
    pub(super) fn measured_with<T>(&mut self, lesser: Option<f64>, of: impl FnOnce(&mut Flow) -> T) -> T {
        let (notes, before) = (self.notes.len(), std::mem::replace(&mut self.lesser, lesser));
        let measure = self.measured(of);
        self.notes.truncate(notes);
        self.lesser = before;
        measure
    }

    /// The ordinary setting of running text.
    pub fn running(&self) -> Setting {
        // Larger type needs less air between its lines, and so do the short lines of small type.
        let leading = match (self.size > 11.0, self.close) {
            (true, true) => 1.22,
            (false, true) if self.size < 9.0 => 1.16,
            (false, true) => 1.18,
            (true, false) => 1.3,
            (false, false) => 1.42,
        };
        Setting { size: self.size, leading, ink: Ink::Black, bold: false, fit: Fit::Paragraph }
    }

    /// Text as lines, a piece each; links get nodes of their own.
    pub fn set(&mut self, spans: &[Span], setting: Setting, measure: Measure, owner: Option<NodeId>) -> Vec<Piece> {
        let shaped = self.shaped(spans, setting.bold);
        self.set_shaped(&shaped, spans, setting, measure, owner)
    }

    /// Text with its letters measured, a raised figure for each note.
    pub fn shaped(&mut self, spans: &[Span], bold: bool) -> Shaped {
        if none_pointed_to(spans) {
            return shape(spans, bold, &mut self.faults);
        }
        let mut marked = spans.to_vec();
        for span in marked.iter_mut().filter(|span| !span.note.is_empty()) {
            span.text = raised(self.number_of(&span.note) + 1);
        }
        shape(&marked, bold, &mut self.faults)
    }

    /// The place of a note among the notes; the same words stand there once.
    fn number_of(&mut self, note: &[Span]) -> usize {
        let known = self.notes.iter().position(|(other, _)| other == note);
        known.unwrap_or_else(|| {
            self.notes.push((note.to_vec(), self.size));
            self.notes.len() - 1
        })
    }

    /// The notes of some spans, by their place among the notes.
    pub fn notes_of<'a>(&mut self, spans: impl IntoIterator<Item = &'a Span>) -> Vec<usize> {
        spans.into_iter().filter(|span| !span.note.is_empty()).map(|span| self.number_of(&span.note)).collect()
    }

    /// The notes as pieces for the foot of pages, in small type, each with its number.
    pub fn feet(&mut self, measure: Measure, parent: NodeId) -> Vec<Piece> {
        let notes = self.notes.clone();
        if notes.is_empty() {
            return Vec::new();
        }
        let setting = Setting { leading: 1.3, ink: Ink::Grey(0.25), ..self.running() };
        let pointers = self.pointers.clone();
        let feet = notes.iter().enumerate().map(|(place, (words, pointed_at))| {
            let setting = Setting { size: (pointed_at * 0.82).max(7.5), ..setting };
            let node = self.node(pointers.get(&place).copied().unwrap_or(parent), NodeRole::Note);
            self.foot(place + 1, words, setting, measure, node)
        });
        feet.collect()
    }

    /// A note is read where it is first pointed to.
    fn foot(&mut self, number: usize, words: &[Span], setting: Setting, measure: Measure, body: NodeId) -> Piece {
        let label = self.node(body, NodeRole::Label);
        let mut marks = Vec::new();
        for line in self.set(&[Span::plain(format!("{number}."))], setting, measure, Some(label)) {
            marks.extend(line.marks);
        }
        let mut height = 0.0;
        for line in self.set(words, setting, measure.indented(2.0 * setting.size), Some(body)) {
            marks.extend(lowered(line.marks, height));
            height += line.height;
        }
        self.piece(height, marks)
    }

    fn set_shaped(
        &mut self,
        shaped: &Shaped,
        spans: &[Span],
        setting: Setting,
        measure: Measure,
        owner: Option<NodeId>,
    ) -> Vec<Piece> {
        // Which line points to a note is seen only where the lines are known.
        if self.measuring && setting.fit == Fit::Paragraph && none_pointed_to(spans) {
            let (height, lines) = (setting.size * setting.leading, shaped.line_count(setting.size, measure.width));
            return std::iter::repeat_with(|| self.piece(height, Vec::new())).take(lines).collect();
        }
        let lines = shaped.lines(setting.size, measure.width, setting.fit);
        self.place_lines((shaped, &lines), spans, setting, measure.x, owner)
    }

    /// A paragraph of which the first so many lines have a measure of their own, a piece for each line; none where it cannot
    /// be parted there.
    pub fn set_in_two(
        &mut self,
        spans: &[Span],
        (first, narrow): (usize, Measure),
        wide: Measure,
        owner: Option<NodeId>,
    ) -> Option<Vec<Piece>> {
        let setting = self.running();
        let shaped = self.shaped(spans, setting.bold);
        let lines = shaped.lines_of_two_widths(setting.size, (first, narrow.width), wide.width)?;
        Some(self.place_lines((&shaped, &lines), spans, setting, wide.x, owner))
    }

    fn place_lines(
        &mut self,
        (shaped, lines): (&Shaped, &[TextLine]),
        spans: &[Span],
        setting: Setting,
        x: f64,
        owner: Option<NodeId>,
    ) -> Vec<Piece> {
        let owners = self.owners(spans, owner);
        let links: Vec<Option<String>> = spans.iter().map(|span| span.link.clone()).collect();
        let look = Look { size: setting.size, ink: setting.ink, owners: &owners, links: &links };
        let height = setting.size * setting.leading;
        let baseline = baseline(setting);
        let mut pieces = Vec::new();
        for &line in lines {
            let notes = self.notes_of(shaped.spans_in(line).into_iter().map(|place| &spans[place]));
            pieces.push(Piece { notes, ..self.piece(height, shaped.place(line, look, x, baseline)) });
        }
        pieces
    }

    /// The node of each span: the owner, or a link or the figure of a note under it.
    pub fn owners(&mut self, spans: &[Span], owner: Option<NodeId>) -> Vec<Option<NodeId>> {
        let Some(owner) = owner else { return vec![None; spans.len()] };
        self.tells.extend(spans.iter().flat_map(|span| &span.tells).map(|name| (name.clone(), owner)));
        let mut last: Option<(&str, NodeId)> = None;
        let mut owners = Vec::with_capacity(spans.len());
        for span in spans {
            last = match (&span.link, last) {
                (Some(target), Some((same, node))) if target == same => Some((target, node)),
                (Some(target), _) => Some((target, self.node(owner, NodeRole::Link { words: span.text.clone() }))),
                (None, _) => None,
            };
            let own = match span.note.as_slice() {
                [] => last.map_or(owner, |(_, node)| node),
                note => {
                    let number = self.number_of(note);
                    self.pointers.entry(number).or_insert(owner);
                    self.node(owner, NodeRole::Reference)
                }
            };
            owners.push(Some(own));
        }
        owners
    }

    /// Sets blocks inside a frame; `repeated` stands at the head of each further page.
    pub fn framed(
        &mut self,
        frame: Option<BoxFrame>,
        repeated: Vec<Piece>,
        fill: impl FnOnce(&mut Flow) -> Vec<Piece>,
    ) -> Vec<Piece> {
        let surround = Rc::new(Surround { number: self.surrounds, frame, repeated });
        self.surrounds += 1;
        self.within.push(surround);
        let pieces = fill(self);
        self.within.pop();
        pieces
    }
}

/// A number in small raised figures.
fn raised(number: usize) -> String {
    let figures = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    number.to_string().bytes().map(|digit| figures[usize::from(digit - b'0')]).collect()
}

/// Whether no span points to a note.
fn none_pointed_to(spans: &[Span]) -> bool {
    spans.iter().all(|span| span.note.is_empty())
}
