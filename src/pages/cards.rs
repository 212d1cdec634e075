//! Where cards stand: sheets that are pinned up or carried and hang on no work. Each has a place after all work; it may come sooner, so
//! that an operation lies on the front and the back of one leaf, or where a page would else stay empty.
//!
//! Given a document's pieces; gives them in the order in which they are stacked. Orders are tried by where things would end, the
//! better ones kept from one operation to the next.

use super::page::NodeId;
use super::pager::{Pager, PlaceReached, TextBounds, kind_of, next_chunk};
use super::piece::{Piece, SheetKind, Tie};
use std::collections::{BTreeMap, VecDeque};
use std::ops::Range;
use std::rc::Rc;

/// So many orders are kept from one operation to the next.
const KEPT: usize = 40;
/// Cards are tried where at least this part of a page would stay free without them.
const FREE: f64 = 0.12;
/// What they may be higher than that, since part of it is space between things, in pages.
const MORE: f64 = 0.1;
/// What an operation on more than one leaf counts, in pages; what lists and drawings alone, which nobody signs; and a part of what no
/// leaf holds.
const OVER_A_LEAF: f64 = 4.0;
const LISTS_OVER_A_LEAF: f64 = 1.2;
const PART_OVER_A_LEAF: f64 = 0.2;
/// What a card counts for each sheet that it comes before its place, in pages.
const EARLY: f64 = 0.01;

/// What is stacked together, as pieces of the document.
struct Part {
    pieces: Vec<Piece>,
    is_card: bool,
    /// A part of an operation that no leaf holds.
    is_parted: bool,
}

/// A part, and where it begins: the bits of the place and of the space wanted there, whether the page is blank, and which it is.
type PartAt = (usize, [u64; 2], bool, usize);

/// An order that is tried, up to some part.
#[derive(Clone)]
struct TriedOrder {
    at: PlaceReached,
    /// Which cards stand already.
    placed: Vec<bool>,
    /// What was put, by place among the parts.
    order: Vec<usize>,
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
        let is_card = kind_of(&pieces) == Some(SheetKind::Card);
        let leaves = pager.leaves_of(pieces);
        let is_parted = leaves.len() > 1;
        parts.extend(leaves.into_iter().map(|pieces| Part { pieces, is_card, is_parted }));
    }
    let order = best_order(&parts, &pager);
    let mut moved = Vec::new();
    let nodes = |part: usize| nodes_of(&parts[part].pieces);
    for (place, &part) in order.iter().enumerate().filter(|(_, part)| parts[**part].is_card) {
        let before = order[place..].iter().find(|next| **next < part);
        moved.extend(nodes(part).zip(before.and_then(|before| nodes(*before)).map(|nodes| nodes.start)));
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

/// Cards that may stand before a part: one or two of those that come after it.
fn choices(open: &[usize]) -> impl Iterator<Item = Vec<usize>> {
    let pairs = open.iter().enumerate().flat_map(|(at, one)| open[at + 1..].iter().map(|two| vec![*one, *two]));
    open.iter().map(|one| vec![*one]).chain(pairs)
}

/// The order of the parts that leaves the least paper free, every operation on one leaf where that can be.
fn best_order(parts: &[Part], pager: &Pager) -> Vec<usize> {
    let heights: Vec<f64> =
        parts.iter().map(|part| part.pieces.iter().map(|piece| piece.height).sum::<f64>()).collect();
    let bare: Vec<Vec<Piece>> = parts.iter().map(|part| part.pieces.iter().map(Piece::bare).collect()).collect();
    let mut known: BTreeMap<PartAt, (PlaceReached, bool)> = BTreeMap::new();
    let mut at_heads: Vec<Option<PlaceReached>> = vec![None; parts.len()];
    let mut after = |at: PlaceReached, part: usize| {
        // Where it ends depends on the front or the back of a leaf alone, and on whether it is the first page.
        let base = if at.pages < 2 { 0 } else { at.pages - at.pages % 2 };
        let from = PlaceReached { pages: at.pages - base + if base > 0 { 2 } else { 0 }, ..at };
        let key = (part, [from.y.to_bits(), from.below.to_bits()], from.blank, from.pages);
        let (to, on_one_leaf) =
            *known.entry(key).or_insert_with(|| pager.after(from, &bare[part], &mut at_heads[part]));
        (PlaceReached { pages: at.pages + to.pages - from.pages, ..to }, on_one_leaf)
    };
    let page = pager.height();
    let mut put = |tried: &TriedOrder, part: usize, early: usize| {
        let (at, on_one_leaf) = after(tried.at, part);
        let taken = (at.pages as f64 - tried.at.pages as f64) * page + at.y - tried.at.y;
        let over = match on_one_leaf {
            true => 0.0,
            false if parts[part].is_parted => PART_OVER_A_LEAF,
            false if parts[part].pieces.iter().any(|piece| piece.tie == Tie::Part) => OVER_A_LEAF,
            false => LISTS_OVER_A_LEAF,
        };
        let against = tried.against + (taken - heights[part]) / page + over + EARLY * early as f64;
        let mut next = TriedOrder { at, against, ..tried.clone() };
        next.order.push(part);
        next.placed[part] = true;
        (next, on_one_leaf)
    };
    let mut tried =
        vec![TriedOrder { at: pager.begins(), placed: vec![false; parts.len()], order: Vec::new(), against: 0.0 }];
    for part in 0..parts.len() {
        let mut next: Vec<TriedOrder> = Vec::new();
        for before in &tried {
            if before.placed[part] {
                next.push(before.clone());
                continue;
            }
            let (plain, on_one_leaf) = put(before, part, 0);
            let free = plain.against - before.against;
            let turned = plain.at.pages > before.at.pages && free >= FREE;
            next.push(plain);
            let whole = nodes_of(&parts[part].pieces).is_some() && !parts[part].is_card;
            if before.at.pages == 0 || !whole || on_one_leaf && !turned {
                continue;
            }
            let may_come = |later: &usize| parts[*later].is_card && heights[*later] <= page && !before.placed[*later];
            let open: Vec<usize> = (part + 1..parts.len()).filter(may_come).collect();
            let high = |cards: &[usize]| cards.iter().map(|card| heights[*card]).sum::<f64>() / page;
            for cards in choices(&open).filter(|cards| !on_one_leaf || high(cards) <= free + MORE) {
                let with = cards.iter().fold(before.clone(), |so_far, card| {
                    let sheets = (part..*card).filter(|between| !parts[*between].is_card).count();
                    put(&so_far, *card, sheets).0
                });
                next.push(put(&with, part, 0).0);
            }
        }
        next.sort_by(|a, b| a.against.total_cmp(&b.against));
        next.dedup_by(|a, b| a.placed == b.placed && a.at == b.at);
        next.truncate(KEPT);
        tried = next;
    }
    // What follows begins a page of its own.
    let whole = |tried: &TriedOrder| tried.against + (page - (tried.at.y - pager.top())) / page;
    let best = tried.into_iter().min_by(|a, b| whole(a).total_cmp(&whole(b)));
    best.map(|tried| tried.order).unwrap_or_default()
}
