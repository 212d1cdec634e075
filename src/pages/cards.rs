//! Where cards stand: sheets that are pinned up or carried and hang on no work. Each has a place after all work; it may come sooner, so
//! that an operation lies on the front and the back of one leaf, that it is at hand before the operations of its name, or where a page
//! would else stay empty.
//!
//! Given a document's pieces; gives them in the order in which they are stacked. Orders are tried by where things would end, the
//! better ones kept from one operation to the next.

use super::page::NodeId;
use super::pager::{Pager, PlaceReached, TextBounds, kind_of, next_chunk};
use super::piece::{Piece, SheetKind, Surround, Tie};
use std::collections::{BTreeMap, VecDeque};
use std::ops::Range;
use std::rc::Rc;

/// So many orders are kept from one operation to the next.
const KEPT: usize = 40;
/// So many of them with the same cards.
const ALIKE: usize = 3;
/// A card that does not stand on what is left of a page turns it where less than this part of it stays free.
const FREE: f64 = 0.4;
/// So many cards are tried before one operation.
const TOGETHER: usize = 3;
/// What an operation, or its lists and drawings, on more than one leaf counts, in pages; and a part of what no leaf holds.
const OVER_A_LEAF: f64 = 4.0;
const PART_OVER_A_LEAF: f64 = 0.2;
/// What a card counts for each sheet that it comes before its place, or before the operation that it is wanted for, in pages; and for
/// each operation of its name that comes before it: cards that come late cost no page more.
const EARLY: f64 = 0.01;
const LATE: f64 = 0.15;
/// The same for each other operation from the first of its name on.
const LATER: f64 = 0.02;
/// What it counts, in pages, that what follows begins on the back of the last leaf.
const ON_A_BACK: f64 = 0.3;

/// What is stacked together, as pieces of the document.
struct Part {
    pieces: Vec<Piece>,
    kind: Option<SheetKind>,
    /// A part of an operation that no leaf holds.
    is_parted: bool,
    /// Its nodes; none where it is only a part of something.
    nodes: Option<Range<NodeId>>,
    height: f64,
}

impl Part {
    fn is_card(&self) -> bool {
        self.kind == Some(SheetKind::Card)
    }

    fn name(&self) -> Option<&Rc<str>> {
        self.pieces.iter().find_map(|piece| piece.begins.as_ref())?.name.as_ref()
    }
}

/// A part, and where it begins: the bits of the place and of the space wanted there, whether the page is blank, and which it is.
type PartAt = (usize, [u64; 2], bool, usize);

/// An order that is tried, up to some part.
#[derive(Clone, Copy)]
struct TriedOrder {
    at: PlaceReached,
    /// Which cards stand already: a bit for each.
    placed: u64,
    /// The last step of those that were made to it.
    last: Option<usize>,
    /// What stays free and what else speaks against it, in pages.
    against: f64,
}

/// The nodes of a card that comes before its place, and the first node of what it stands before.
pub(super) type MovedCard = (Range<NodeId>, NodeId);

/// Puts the pieces into the order in which they are stacked, `feet` being the notes at the foot of pages; gives the cards that come
/// before their places.
pub(super) fn arrange(pieces: &mut Vec<Piece>, feet: Vec<Piece>, body: TextBounds) -> Vec<MovedCard> {
    let is_card = |piece: &Piece| piece.begins.as_ref().is_some_and(|whole| whole.kind == SheetKind::Card);
    if !pieces.iter().any(is_card) {
        return Vec::new();
    }
    let pager = Pager::new(body, Rc::new(feet));
    let mut rest: VecDeque<Piece> = std::mem::take(pieces).into();
    let mut parts: Vec<Part> = Vec::new();
    while rest.iter().any(is_card) {
        let Some(pieces) = next_chunk(&mut rest, Tie::Leaf) else { break };
        let kind = kind_of(&pieces);
        let leaves = pager.leaves_of(pieces);
        let is_parted = leaves.len() > 1;
        parts.extend(leaves.into_iter().map(|pieces| {
            let nodes = nodes_of(&pieces);
            let height = pieces.iter().map(|piece| piece.height).sum();
            Part { pieces, kind, is_parted, nodes, height }
        }));
    }
    let order = Orders::new(&parts, &pager).best();
    let mut moved = Vec::new();
    for (place, &part) in order.iter().enumerate().filter(|(_, part)| parts[**part].is_card()) {
        let before = order[place..].iter().find(|next| **next < part && !parts[**next].is_card());
        let before = before.and_then(|before| parts[*before].nodes.as_ref());
        moved.extend(parts[part].nodes.clone().zip(before.map(|nodes| nodes.start)));
    }
    let mut parts: Vec<Vec<Piece>> = parts.into_iter().map(|part| part.pieces).collect();
    pieces.extend(order.into_iter().flat_map(|part| std::mem::take(&mut parts[part])).chain(rest));
    moved
}

/// The nodes of what begins with these pieces; none where it is only a part of something.
fn nodes_of(pieces: &[Piece]) -> Option<Range<NodeId>> {
    let begins = pieces.iter().find_map(|piece| piece.begins.as_ref());
    begins.map(|whole| whole.nodes.clone()).filter(|nodes| !nodes.is_empty())
}

/// What some pieces stand in that those before them stand in too.
fn goes_on(before: &[Piece], pieces: &[Piece]) -> Vec<Rc<Surround>> {
    let (Some(before), Some(first)) = (before.last(), pieces.first()) else { return Vec::new() };
    let both = before.within.iter().zip(&first.within);
    both.take_while(|(one, other)| one.number == other.number).map(|(one, _)| Rc::clone(one)).collect()
}

/// The search for the order of the parts.
struct Orders<'a> {
    parts: &'a [Part],
    pager: &'a Pager,
    bare: Vec<Vec<Piece>>,
    /// What each part goes on with that began in the part before it, as a table.
    held: Vec<Vec<Rc<Surround>>>,
    /// The cards that may come sooner, by the bit that stands for each, and the operation that it is wanted for.
    cards: Vec<(usize, Option<usize>)>,
    known: BTreeMap<PartAt, (PlaceReached, bool)>,
    at_heads: Vec<Option<PlaceReached>>,
    /// Each part that was put, and the step before.
    steps: Vec<(usize, Option<usize>)>,
}

impl<'a> Orders<'a> {
    fn new(parts: &'a [Part], pager: &'a Pager) -> Orders<'a> {
        let wanted = |card: &Part| {
            let is_for = |part: &Part| part.kind == Some(SheetKind::Operation) && part.name() == card.name();
            card.name().and_then(|_| parts.iter().position(is_for))
        };
        let held =
            |part: usize| match part.checked_sub(1).filter(|_| parts[part].is_parted && parts[part].nodes.is_none()) {
                Some(before) => goes_on(&parts[before].pieces, &parts[part].pieces),
                None => Vec::new(),
            };
        let cards = (0..parts.len()).filter(|part| parts[*part].is_card());
        Orders {
            parts,
            pager,
            bare: parts.iter().map(|part| part.pieces.iter().map(Piece::bare).collect()).collect(),
            held: (0..parts.len()).map(held).collect(),
            cards: cards.take(u64::BITS as usize).map(|card| (card, wanted(&parts[card]))).collect(),
            known: BTreeMap::new(),
            at_heads: vec![None; parts.len()],
            steps: Vec::new(),
        }
    }

    /// The bit that stands for a part, where that is a card that may come sooner.
    fn bit_of(&self, part: usize) -> Option<usize> {
        self.cards.iter().position(|(card, _)| *card == part)
    }

    /// Where a part ends that is put there, and whether it lies on one leaf.
    fn after(&mut self, at: PlaceReached, part: usize) -> (PlaceReached, bool) {
        // Where it ends depends on the front or the back of a leaf alone, and on whether it is the first page.
        let base = if at.pages < 2 { 0 } else { at.pages - at.pages % 2 };
        let from = PlaceReached { pages: at.pages - base + if base > 0 { 2 } else { 0 }, ..at };
        let key = (part, [from.y.to_bits(), from.below.to_bits()], from.blank, from.pages);
        let (bare, held, next) = (&self.bare[part], &self.held[part], &mut self.at_heads[part]);
        let (to, on_one_leaf) = *self.known.entry(key).or_insert_with(|| self.pager.after(from, bare, held, next));
        (PlaceReached { pages: at.pages + to.pages - from.pages, ..to }, on_one_leaf)
    }

    /// A tried order with one part more, and whether that lies on one leaf.
    fn with(&mut self, tried: TriedOrder, part: usize, early: usize) -> (TriedOrder, bool) {
        let (at, on_one_leaf) = self.after(tried.at, part);
        let (page, of) = (self.pager.height(), &self.parts[part]);
        let taken = (at.pages as f64 - tried.at.pages as f64) * page + at.y - tried.at.y;
        let over = match on_one_leaf {
            true => 0.0,
            false if of.is_parted => PART_OVER_A_LEAF,
            false => OVER_A_LEAF,
        };
        let counts = |(bit, (card, wanted)): (usize, &(usize, Option<usize>))| match wanted {
            Some(wanted) if *wanted <= part && tried.placed >> bit & 1 == 0 => {
                if of.name() == self.parts[*card].name() { LATE } else { LATER }
            }
            _ => 0.0,
        };
        let is_operation = of.kind == Some(SheetKind::Operation) && of.nodes.is_some();
        let late: f64 = if is_operation { self.cards.iter().enumerate().map(counts).sum() } else { 0.0 };
        let against = tried.against + (taken - of.height) / page + over + EARLY * early as f64 + late;
        self.steps.push((part, tried.last));
        let placed = tried.placed | self.bit_of(part).map_or(0, |bit| 1 << bit);
        (TriedOrder { at, placed, last: Some(self.steps.len() - 1), against }, on_one_leaf)
    }

    /// Orders in which one card more stands before a part; where the part would not lie on one leaf, or there is no
    /// room for the card, wherever the page is nearly full.
    fn with_a_card(&mut self, tried: TriedOrder, part: usize, anywhere: bool) -> Vec<TriedOrder> {
        let (page, at) = (self.pager.height(), tried.at);
        let free = self.pager.top() + page - at.y;
        let mut found = Vec::new();
        for bit in (0..self.cards.len()).filter(|bit| tried.placed >> bit & 1 == 0) {
            let (card, wanted) = self.cards[bit];
            let fits = at.blank || self.parts[card].height + at.below <= free;
            let may_stand = if at.pages == 0 { !fits } else { fits || anywhere || free < FREE * page };
            if card < part || !may_stand {
                continue;
            }
            let place = wanted.map_or(card, |wanted| wanted.min(card)).max(part);
            let sheets = self.parts[part..place].iter().filter(|between| !between.is_card()).count();
            found.push(self.with(tried, card, sheets).0);
        }
        found
    }

    /// The order of the parts that leaves the least paper free, every operation on one leaf where that can be.
    fn best(mut self) -> Vec<usize> {
        let page = self.pager.height();
        let mut tried = vec![TriedOrder { at: self.pager.begins(), placed: 0, last: None, against: 0.0 }];
        for part in 0..self.parts.len() {
            let bit = self.bit_of(part);
            let stands = |before: &TriedOrder| bit.is_some_and(|bit| before.placed >> bit & 1 == 1);
            let is_whole = self.parts[part].nodes.is_some() && !self.parts[part].is_card();
            let is_operation = self.parts[part].kind == Some(SheetKind::Operation);
            let mut next: Vec<TriedOrder> = tried.iter().copied().filter(stands).collect();
            let mut before: Vec<TriedOrder> = tried.into_iter().filter(|before| !stands(before)).collect();
            for _ in 0..=TOGETHER {
                let mut with_cards = Vec::new();
                for order in before {
                    let (with, on_one_leaf) = self.with(order, part, 0);
                    next.push(with);
                    if is_whole && (order.at.pages > 0 || is_operation) {
                        with_cards.extend(self.with_a_card(order, part, !on_one_leaf));
                    }
                }
                before = best_of(with_cards);
            }
            tried = best_of(next);
        }
        // What follows begins a page of its own, and is filed apart.
        let whole = |tried: &TriedOrder| {
            let on_a_back = if tried.at.taken() % 2 == 1 { ON_A_BACK } else { 0.0 };
            tried.against + (page - (tried.at.y - self.pager.top())) / page + on_a_back
        };
        let best = tried.into_iter().min_by(|a, b| whole(a).total_cmp(&whole(b)));
        let mut step = best.and_then(|best| best.last);
        let mut order = Vec::new();
        while let Some((part, before)) = step.map(|step| self.steps[step]) {
            order.push(part);
            step = before;
        }
        order.reverse();
        order
    }
}

/// The best of some orders, of those that end in the same place with the same cards one.
fn best_of(mut tried: Vec<TriedOrder>) -> Vec<TriedOrder> {
    let place = |order: &TriedOrder| (order.placed, order.at.pages, order.at.y.to_bits());
    tried.sort_by(|a, b| place(a).cmp(&place(b)).then(a.against.total_cmp(&b.against)));
    tried.dedup_by(|a, b| place(a) == place(b));
    tried.sort_by(|a, b| a.against.total_cmp(&b.against));
    let mut of_cards: BTreeMap<u64, usize> = BTreeMap::new();
    tried.retain(|order| {
        let alike = of_cards.entry(order.placed).or_default();
        *alike += 1;
        *alike <= ALIKE
    });
    tried.truncate(KEPT);
    tried
}
