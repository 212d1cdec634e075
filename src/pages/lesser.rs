//! The lesser size of running text: the largest of a short row in which what is read at a desk takes no more pages than it may,
//! and does not end with a page on which little stands, where some size leaves none such.
//!
//! Given what stands before it, as pieces, and its blocks; gives a size, pt. Each size that is tried is measured, not set: lines
//! are counted, and nothing is placed.

use super::block::Block;
use super::flow::Flow;
use super::pager::{TextBounds, paginate};
use super::piece::Piece;
use super::setting::Measure;
use std::collections::BTreeMap;

/// The sizes, the largest first, pt. At a desk none is read with ease below the last; common practice, no source.
pub const LESSER_SIZES: [f64; 5] = [9.5, 9.0, 8.5, 8.2, 8.0];
/// What is read at a desk takes at most one page for so many of those before it, and no fewer than [`FEWEST`].
const PAGES_FOR_ONE: usize = 5;
/// So many pages it may always take.
const FEWEST: usize = 2;

/// How many blocks come before what is read at a desk.
pub(super) fn before(blocks: &[Block]) -> usize {
    blocks.iter().position(|block| matches!(block, Block::Small(_))).unwrap_or(blocks.len())
}

/// Adds the pieces of blocks that are read at a desk, with the type that suits them, to those above them.
pub(super) fn add(pieces: &mut Vec<Piece>, flow: &mut Flow, blocks: &[Block], pages: (Measure, TextBounds)) {
    if !blocks.is_empty() {
        flow.lesser = Some(size(flow, pieces, blocks, pages));
        pieces.extend(flow.blocks(blocks, pages.0, 0));
    }
}

/// The part of its last page that what is read at a desk takes at least, where some size of the row lets it: signatures alone are
/// no page.
const LAST_PAGE: f64 = 0.3;

/// Pages in one size of type, and whether the last of several has little on it.
#[derive(Clone, Copy)]
struct DeskPages {
    count: usize,
    ends_short: bool,
}

/// The largest size in which these blocks take no more pages than they may, of those that fill the last page enough where there are
/// such; where even the smallest takes more, no more than that takes.
fn size(flow: &mut Flow, before: &[Piece], blocks: &[Block], (text, bounds): (Measure, TextBounds)) -> f64 {
    let mut taken = BTreeMap::new();
    let mut pages = |flow: &mut Flow, size: usize| {
        *taken.entry(size).or_insert_with(|| {
            flow.measured_with(Some(LESSER_SIZES[size]), |flow| {
                let pieces = flow.blocks(blocks, text, 0);
                taken_by(flow, (text, TextBounds { first_top: bounds.top, ..bounds }), pieces)
            })
        })
    };
    let before =
        flow.measured_with(None, |flow| taken_by(flow, (text, bounds), before.iter().map(Piece::bare).collect()));
    let most = before.count.div_ceil(PAGES_FOR_ONE).max(FEWEST);
    let least = LESSER_SIZES.len() - 1;
    let most = most.max(pages(flow, least).count);
    let fits = |of: DeskPages| (of.count <= most).then_some(());
    let found = largest(least, |size| fits(pages(flow, size))).map_or(least, |(size, ())| size);
    LESSER_SIZES[(found..=least).find(|size| !pages(flow, *size).ends_short).unwrap_or(found)]
}

/// The first of the steps from 0 to `last` in which something fits, and what it has there; none where not even the last does. That
/// one is tried first, the others by halving: the later the step, the smaller the type.
pub(super) fn largest<T>(last: usize, mut fitted: impl FnMut(usize) -> Option<T>) -> Option<(usize, T)> {
    let (mut from, mut found) = (0, (last, fitted(last)?));
    while from < found.0 {
        let tried = usize::midpoint(from, found.0);
        match fitted(tried) {
            Some(has) => found = (tried, has),
            None => from = tried + 1,
        }
    }
    Some(found)
}

/// The pages that some pieces take, with the notes at their feet.
fn taken_by(flow: &mut Flow, (text, bounds): (Measure, TextBounds), pieces: Vec<Piece>) -> DeskPages {
    let feet = flow.feet(text, 0);
    let paged = paginate(pieces, feet, bounds);
    let last = paged.end - bounds.top;
    DeskPages {
        count: paged.pages.len(),
        ends_short: paged.pages.len() > 1 && last < LAST_PAGE * (bounds.bottom - bounds.top),
    }
}
