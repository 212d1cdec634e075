//! Words beside a drawing, and matters in two columns: what saves the paper that a narrow drawing or short lines leave.
//!
//! Given blocks, a left edge and a width; gives pieces with marks in place, by way of the flow. How much of the words
//! stands beside the drawing, and which matter begins the second column, is what takes the least height.

use super::block::{Block, Span};
use super::blocks::{INDENT, bullet, unbroken};
use super::flow::Flow;
use super::page::{NodeId, NodeRole, Placed};
use super::pager::{TextBounds, paginate};
use super::piece::{Piece, Tie};
use super::setting::{Measure, hold_ends};

/// Between a drawing and the words on its left, as a multiple of the size.
const GAP: f64 = 1.8;
/// The narrowest words beside a drawing, as a share of the whole width.
const NARROWEST: f64 = 0.4;

/// What stands whole beside a drawing or below it.
#[derive(Clone, Copy)]
enum Part<'a> {
    /// An item of the list of this number.
    Item(usize, &'a [Block]),
    /// Any other block.
    Whole(&'a Block),
}

impl Flow {
    /// Words with the drawings of the last part on their right; below the drawing where they would be too narrow, before it where a
    /// page could not hold both.
    pub(super) fn beside(&mut self, parts: &[Vec<Block>], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let in_turn = |flow: &mut Flow| parts.iter().flat_map(|blocks| flow.blocks(blocks, measure, parent)).collect();
        let [words, drawings] = parts else { return in_turn(self) };
        let ([Block::Figure(figure)], false) = (drawings.as_slice(), words.is_empty()) else { return in_turn(self) };
        let beside = figure.scene.width.max(1.0);
        let narrow = Measure { width: measure.width - beside - GAP * self.size, ..measure };
        if narrow.width < NARROWEST * measure.width {
            // First of all the drawing, so that its heading leads to it and the words may go on over the page.
            let mut pieces = self.figure(figure, measure, parent);
            pieces.iter_mut().for_each(|piece| piece.floats = false);
            pieces.extend(self.blocks(words, measure, parent));
            return pieces;
        }
        let start = self.nodes.len();
        let right = Measure { x: measure.x + measure.width - beside, width: beside };
        let drawn: f64 =
            self.measured(|flow| flow.figure(figure, right, parent).iter().map(|piece| piece.height).sum());
        let units = units(words);
        let heights = [narrow, measure].map(|measure| self.heights(&units, measure, parent));
        let beside: Vec<f64> = (0..=units.len()).map(|held| heights[0][..held].iter().sum()).collect();
        let height = |held: usize| drawn.max(beside[held]) + heights[1][held..].iter().sum::<f64>();
        let mut held = (1..=units.len()).rev().min_by(|a, b| height(*a).total_cmp(&height(*b))).unwrap_or(0);
        if beside[held].max(drawn) > self.tallest() {
            return in_turn(self);
        }
        let lists = self.lists_of(&units, parent);
        let outer = std::mem::take(&mut self.within);
        // What of the words stands beside the drawing, down to its foot, and what goes on below it.
        let fits = (0..=units.len()).rev().find(|held| beside[*held] <= drawn).unwrap_or(0);
        let room = drawn - beside[fits];
        let (mut pieces, mut rest) = (Vec::new(), Vec::new());
        let parted = units.get(fits).and_then(|unit| {
            let before = self.units(&units[..fits], &lists, narrow, parent);
            let parted = self.unit_in_two(unit, &lists, (room, narrow), measure, parent)?;
            Some((before, parted))
        });
        match parted {
            Some((before, (above, below))) => {
                held = fits + 1;
                pieces.extend(before.into_iter().chain(above));
                rest.extend(below);
            }
            None => {
                self.forget_from(lists.last().map_or(start, |last| last + 1));
                pieces = self.units(&units[..held], &lists, narrow, parent);
            }
        }
        let above = pieces.first().map_or(0.0, |first| first.above);
        let notes = pieces.iter().flat_map(|piece| piece.notes.iter().copied()).collect();
        let (mut marks, end) = on_one(pieces);
        for piece in self.figure(figure, right, parent) {
            marks.extend(piece.marks);
        }
        self.within = outer;
        for piece in &mut rest {
            piece.within = self.within.clone();
        }
        let below = match (rest.is_empty(), held == units.len()) {
            (false, _) => 0.0,
            (true, true) => self.air(0.55),
            (true, false) => self.air(0.22),
        };
        let tie = if rest.is_empty() { Tie::Free } else { Tie::Firm };
        let whole = Piece { above, below, notes, tie, ..self.piece(end.max(drawn), marks) };
        let mut all: Vec<Piece> = std::iter::once(whole).chain(rest).collect();
        all.extend(self.units(&units[held..], &lists, measure, parent));
        if let Some(last) = all.last_mut() {
            last.below = self.air(0.55);
        }
        all
    }

    /// A paragraph, alone or an item of a list, of which so much stands beside the drawing as there is room for, and at
    /// least two lines below it; none where it cannot be parted so.
    fn unit_in_two(
        &mut self,
        unit: &Part<'_>,
        lists: &[NodeId],
        (room, narrow): (f64, Measure),
        measure: Measure,
        parent: NodeId,
    ) -> Option<(Vec<Piece>, Vec<Piece>)> {
        let line = self.running();
        let first = (room / (line.size * line.leading)) as usize;
        let (spans, list) = match unit {
            Part::Item(list, [Block::Paragraph(spans)]) => (spans, Some(lists[*list])),
            Part::Whole(Block::Paragraph(spans)) => (spans, None),
            _ => return None,
        };
        if first < 2 {
            return None;
        }
        let (mut label, body, indent) = match list {
            Some(list) => {
                let item = self.node(list, NodeRole::ListItem);
                let named = self.node(item, NodeRole::Label);
                let label = self.set(&[Span::plain(bullet(1))], line, narrow, Some(named));
                (label, self.node(item, NodeRole::Body), INDENT * self.size)
            }
            None => (Vec::new(), self.node(parent, NodeRole::Paragraph), 0.0),
        };
        let (narrow, measure) = (narrow.indented(indent), measure.indented(indent));
        let mut above = self.set_in_two(spans, (first, narrow), measure, Some(body))?;
        if let (Some(label), Some(first)) = (label.pop(), above.first_mut()) {
            first.marks.splice(0..0, label.marks);
        }
        let mut below = above.split_off(first);
        hold_ends(&mut below);
        let air = if list.is_some() { self.air(0.22) } else { self.air(0.55) };
        above[0].above = air;
        if let Some(last) = below.last_mut() {
            last.below = air;
        }
        Some((above, below))
    }

    /// The node of each list among some units.
    fn lists_of(&mut self, units: &[Part<'_>], parent: NodeId) -> Vec<NodeId> {
        let lists = units.iter().filter_map(|unit| if let Part::Item(list, _) = unit { Some(list + 1) } else { None });
        let lists = lists.max().unwrap_or(0);
        (0..lists).map(|_| self.node(parent, NodeRole::List { ordered: false })).collect()
    }

    fn units(&mut self, units: &[Part<'_>], lists: &[NodeId], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for unit in units {
            pieces.extend(match unit {
                Part::Item(list, blocks) => {
                    self.depth += 1;
                    let item = self.item(bullet(self.depth), blocks, measure, lists[*list]);
                    self.depth -= 1;
                    item
                }
                Part::Whole(block) => self.block(block, measure, parent),
            });
        }
        pieces
    }

    /// How high each unit stands in a measure, the space below it included.
    fn heights(&mut self, units: &[Part<'_>], measure: Measure, parent: NodeId) -> Vec<f64> {
        let height = |piece: &Piece| piece.height + piece.below;
        self.measured(|flow| {
            flow.within.clear();
            let lists = flow.lists_of(units, parent);
            let mut of =
                |unit| flow.units(std::slice::from_ref(unit), &lists, measure, parent).iter().map(height).sum();
            units.iter().map(&mut of).collect()
        })
    }

    /// Matters in two columns; one after another where there is but one, where that takes less, or where a page could not hold them
    /// side by side.
    pub(super) fn balanced(&mut self, matters: &[Vec<Block>], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let matters: Vec<&Vec<Block>> = matters.iter().filter(|blocks| !blocks.is_empty()).collect();
        let one_by_one = |flow: &mut Flow| -> Vec<Piece> {
            matters.iter().flat_map(|blocks| flow.blocks(blocks, measure, parent)).collect()
        };
        if matters.len() < 2 {
            return one_by_one(self);
        }
        let gap = GAP * self.size;
        let both = measure.width - gap;
        let half = Measure { width: both / 2.0, ..measure };
        let heights: Vec<f64> = matters.iter().map(|blocks| self.height_of(blocks, half, parent)).collect();
        let on_the_right = parted(&heights);
        let column = |right: bool| {
            let of = matters.iter().zip(&on_the_right).filter(|(_, on_right)| **on_right == right);
            of.flat_map(|(blocks, _)| (*blocks).clone()).collect::<Vec<Block>>()
        };
        let columns = [column(false), column(true)];
        let mut heights = |share: f64| {
            let mut of = |blocks: &[Block], share: f64| {
                self.height_of(blocks, Measure { width: share * both, ..measure }, parent)
            };
            (of(&columns[0], share), of(&columns[1], 1.0 - share))
        };
        // The higher column is given more of the width, step by step, until it is the lower one. A table of many columns has more of it
        // to begin with, so that its words are not broken beside its figures.
        let begun = match columns.each_ref().map(|blocks| has_wide_table(blocks)) {
            [true, false] => 0.5 + FOR_A_WIDE_TABLE,
            [false, true] => 0.5 - FOR_A_WIDE_TABLE,
            _ => 0.5,
        };
        let even = heights(begun);
        let left_is_higher = even.0 > even.1;
        let (mut best, mut least) = (begun, even.0.max(even.1));
        let gives_way = begun != 0.5 && left_is_higher != (begun > 0.5);
        for step in WIDER.into_iter().filter(|_| !gives_way) {
            let share = if left_is_higher { begun + step } else { begun - step };
            let (left, right) = heights(share);
            if left.max(right) < least {
                (best, least) = (share, left.max(right));
            }
            if (left > right) != left_is_higher {
                break;
            }
        }
        if self.height_with(one_by_one) < least {
            return one_by_one(self);
        }
        self.columns_of(&columns, (vec![best * both, (1.0 - best) * both], gap), measure, parent)
    }

    /// How high blocks stand in a measure, one below another.
    pub(super) fn height_of(&mut self, blocks: &[Block], measure: Measure, parent: NodeId) -> f64 {
        self.height_with(|flow| flow.blocks(blocks, measure, parent))
    }

    /// How high pieces stand, one below another.
    fn height_with(&mut self, pieces: impl FnOnce(&mut Flow) -> Vec<Piece>) -> f64 {
        self.measured(|flow| {
            flow.within.clear();
            on_one(pieces(flow)).1
        })
    }
}

/// What the higher of two columns may take of the width beyond what it has.
const WIDER: [f64; 2] = [0.03, 0.06];
/// A table of so many columns is wide, and what one has of the width beyond its half.
const WIDE_TABLE: usize = 4;
const FOR_A_WIDE_TABLE: f64 = 0.08;

/// Whether a table of many columns stands among some blocks.
fn has_wide_table(blocks: &[Block]) -> bool {
    blocks.iter().any(|block| matches!(block, Block::Table(table) if table.columns.len() >= WIDE_TABLE))
}

/// Which of some matters, by their heights, stand in the second column, so that the two take the least height; the first
/// stands in the first. Where it makes little difference they are read in their order.
fn parted(heights: &[f64]) -> Vec<bool> {
    let sets = 1_usize << (heights.len() - 1).min(MOST_PARTED);
    let on_the_right = |set: usize| -> Vec<bool> {
        (0..heights.len()).map(|n| n > 0 && (n > MOST_PARTED || set >> (n - 1) & 1 == 1)).collect()
    };
    let cost = |right: &[bool]| {
        let of = |side: bool| heights.iter().zip(right).filter(|(_, on)| **on == side).map(|(h, _)| h).sum::<f64>();
        let turns = right.windows(2).filter(|pair| pair[0] && !pair[1]).count();
        of(false).max(of(true)) + OUT_OF_TURN * turns as f64
    };
    (1..sets.max(2)).map(on_the_right).min_by(|a, b| cost(a).total_cmp(&cost(b))).unwrap_or_default()
}

/// So many matters after the first are tried in either column.
const MOST_PARTED: usize = 6;
/// Height that must be gained for a matter of the first column to stand before one of the second that it follows, pt.
const OUT_OF_TURN: f64 = 20.0;

/// The parts of some words that are never parted: the items of lists without numbers, and each other block.
fn units(words: &[Block]) -> Vec<Part<'_>> {
    let mut units = Vec::new();
    let mut lists = 0;
    for block in words {
        match block {
            Block::List { ordered: false, items } => {
                units.extend(items.iter().map(|item| Part::Item(lists, item)));
                lists += 1;
            }
            other => units.push(Part::Whole(other)),
        }
    }
    units
}

/// The marks of some pieces one below another, and where they end.
fn on_one(pieces: Vec<Piece>) -> (Vec<Placed>, f64) {
    let endless = TextBounds { first_top: 0.0, top: 0.0, bottom: f64::INFINITY };
    let stacked = paginate(unbroken(pieces), Vec::new(), endless);
    (stacked.pages.into_iter().flat_map(|page| page.marks).collect(), stacked.end)
}
