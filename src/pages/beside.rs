//! Words beside a drawing, and matters in two columns: what saves the paper that a narrow drawing or short lines leave.
//!
//! Given blocks, a left edge and a width; gives pieces with marks in place, by way of the flow. How much of the words
//! stands beside the drawing, and which matter begins the second column, is what takes the least height.

use super::block::{Block, Figure};
use super::blocks::{bullet, unbroken};
use super::flow::Flow;
use super::page::{NodeId, NodeRole, Placed, lowered};
use super::pager::{TextBounds, paginate};
use super::piece::Piece;
use super::setting::Measure;

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
    /// Words with the drawings of the last part on their right; below each other where the words would be too narrow, or a
    /// page could not hold both.
    pub(super) fn beside(&mut self, parts: &[Vec<Block>], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let in_turn = |flow: &mut Flow| parts.iter().flat_map(|blocks| flow.blocks(blocks, measure, parent)).collect();
        let [words, drawings] = parts else { return in_turn(self) };
        let ([Block::Figure(figure)], false) = (drawings.as_slice(), words.is_empty()) else { return in_turn(self) };
        let beside = figure.scene.width.max(1.0);
        let narrow = Measure { width: measure.width - beside - GAP * self.size, ..measure };
        if narrow.width < NARROWEST * measure.width {
            return in_turn(self);
        }
        let start = self.nodes.len();
        let right = Measure { x: measure.x + measure.width - beside, width: beside };
        let drawn: f64 = self.figure_in(figure, right, parent).iter().map(|piece| piece.height).sum();
        self.forget_from(start);
        let units = units(words);
        let heights = [narrow, measure].map(|measure| self.heights(&units, measure, parent));
        let height = |held: usize| {
            let [narrow, wide] = &heights;
            drawn.max(narrow[..held].iter().sum()) + wide[held..].iter().sum::<f64>()
        };
        let held = (1..=units.len()).rev().min_by(|a, b| height(*a).total_cmp(&height(*b))).unwrap_or(0);
        if heights[0][..held].iter().sum::<f64>().max(drawn) > self.tallest() {
            return in_turn(self);
        }
        let lists = self.lists_of(&units, parent);
        let outer = std::mem::take(&mut self.within);
        let pieces = self.units(&units[..held], &lists, narrow, parent);
        let above = pieces.first().map_or(0.0, |first| first.above);
        let notes = pieces.iter().flat_map(|piece| piece.notes.iter().copied()).collect();
        let (mut marks, end) = on_one(pieces);
        for piece in self.figure_in(figure, right, parent) {
            marks.extend(lowered(piece.marks, 0.0));
        }
        self.within = outer;
        let below = if held == units.len() { self.air(0.55) } else { self.air(0.22) };
        let mut all = vec![Piece { above, below, notes, ..self.piece(end.max(drawn), marks) }];
        let mut rest = self.units(&units[held..], &lists, measure, parent);
        if let Some(last) = rest.last_mut() {
            last.below = self.air(0.55);
        }
        all.extend(rest);
        all
    }

    /// A drawing with its caption at once, which floats nowhere.
    fn figure_in(&mut self, figure: &Figure, measure: Measure, parent: NodeId) -> Vec<Piece> {
        self.block(&Block::Figure(figure.clone()), measure, parent)
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
        let (start, outer, under) = (self.nodes.len(), std::mem::take(&mut self.within), self.under.clone());
        let lists = self.lists_of(units, parent);
        let height = |piece: &Piece| piece.height + piece.below;
        let of = |flow: &mut Flow, unit: &Part<'_>| {
            flow.units(std::slice::from_ref(unit), &lists, measure, parent).iter().map(height).sum()
        };
        let heights = units.iter().map(|unit| of(self, unit)).collect();
        self.forget_from(start);
        (self.within, self.under) = (outer, under);
        heights
    }

    /// Matters in two columns; one after another where there is but one, or a page could not hold them side by side.
    pub(super) fn balanced(&mut self, matters: &[Vec<Block>], measure: Measure, parent: NodeId) -> Vec<Piece> {
        let matters: Vec<&Vec<Block>> = matters.iter().filter(|blocks| !blocks.is_empty()).collect();
        if matters.len() < 2 {
            return matters.into_iter().flat_map(|blocks| self.blocks(blocks, measure, parent)).collect();
        }
        let half = Measure { width: (measure.width - GAP * self.size) / 2.0, ..measure };
        let (start, under, outer) = (self.nodes.len(), self.under.clone(), std::mem::take(&mut self.within));
        let whole = |pieces: Vec<Piece>| pieces.iter().map(|p| p.height + p.below.max(p.above)).sum();
        let heights: Vec<f64> = matters.iter().map(|blocks| whole(self.blocks(blocks, half, parent))).collect();
        self.forget_from(start);
        (self.under, self.within) = (under, outer);
        let on_the_right = parted(&heights);
        let column = |right: bool| {
            let of = matters.iter().zip(&on_the_right).filter(|(_, on_right)| **on_right == right);
            of.flat_map(|(blocks, _)| (*blocks).clone()).collect()
        };
        self.columns(&[column(false), column(true)], measure, parent)
    }
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
