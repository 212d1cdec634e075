//! Fitting a document to its pages: the size of type that saves a page.
//!
//! Given a whole [`Document`]; gives its placed pages, or the same as text. Nothing is set smaller than a reader can
//! read: where no size that may be taken saves a page, the document stays in its own.

use super::block::{Block, Closer, CloserSetting, Document, Fitting};
use super::flow::Flow;
use super::fonts::Fonts;
use super::lesser::largest;
use super::listing;
use super::masthead::{bounds_of, dress, text_of, whole};
use super::page::{Entry, NodeId, NodeRole, Page, Paper};
use super::pager::{Paged, paginate};
use super::pointers;
use super::text::Faults;
use crate::model::limits::{self, Most};
use crate::model::{Problem, Whereabouts};
use std::cell::Cell;
use std::collections::BTreeMap;

/// Lays a document on pages, in its own size of type or one a little smaller, where that saves a page with a line or two
/// on it, or brings a list onto one page.
///
/// # Errors
/// Every character that no font has and every picture that cannot be read, all at once.
pub fn lay_out_in(fonts: Fonts, document: &Document) -> Result<Paper, Vec<Problem>> {
    laid_out(Faults::of(fonts), document)
}

/// The same for whoever asks what stands on which page: of its pictures no more is read than their sizes.
///
/// # Errors
/// As [`lay_out_in`], but for what only the pixels of a picture tell.
pub fn lay_out_sizes(fonts: Fonts, document: &Document) -> Result<Paper, Vec<Problem>> {
    laid_out(Faults::of_sizes(fonts), document)
}

fn laid_out(mut known: Faults, document: &Document) -> Result<Paper, Vec<Problem>> {
    let FittedPages { paper, problems, .. } = best(&mut known, document);
    match problems.is_empty() {
        true => too_long(paper.pages.len()).map_or(Ok(paper), |problem| Err(vec![problem])),
        false => Err(problems),
    }
}

/// A document that nobody reads, and that no printer is given.
fn too_long(pages: usize) -> Option<Problem> {
    let Most { what, most } = limits::PAGES;
    (pages > most).then(|| {
        let fault = format!("a document of this job would have {pages} pages: more than {most} {what} are not made");
        let cure = "split the job, or shorten its notes, lists and photographs and your own templates";
        Problem::fault(Whereabouts::WholeFile, fault, cure)
    })
}

/// The placed pages as text, for reading and for golden tests.
///
/// # Errors
/// As [`lay_out_in`].
pub fn describe(document: &Document) -> Result<String, Vec<Problem>> {
    Ok(listing::describe(&lay_out(document)?))
}

/// Lays a document on pages, in the built-in fonts.
///
/// # Errors
/// As [`lay_out_in`].
pub fn lay_out(document: &Document) -> Result<Paper, Vec<Problem>> {
    lay_out_in(Fonts::default(), document)
}

/// What is asked of several documents before one of them is made: on how many pages each would stand, by the heights of what
/// stands on them. A text that stands in several is measured once, and of pictures no more is read than their sizes.
#[derive(Debug)]
pub struct TriedDocuments {
    known: Faults,
}

impl TriedDocuments {
    /// None yet, in the fonts in which they will be set.
    pub fn in_fonts(fonts: Fonts) -> TriedDocuments {
        TriedDocuments { known: Faults::of_sizes(fonts) }
    }

    /// The pages of a document in its own type.
    pub fn pages(&mut self, document: &Document) -> usize {
        measured_at(&mut self.known, document, own_size(document)).pages
    }

    /// Whether a document takes more than so many pages in its own type, or in one a little smaller where that saves a page with a
    /// line or two on it.
    pub fn is_longer(&mut self, document: &Document, pages: usize) -> bool {
        let size = own_size(document);
        let first = measured_at(&mut self.known, document, size);
        let better = fewer_stubs(&mut self.known, document, size, first.stubs);
        better.map_or(first, |(measured, _)| measured).pages > pages
    }

    /// The pages of a document that is set closer, if it is, with no more on them than its drawings; it is told in which setting,
    /// which is then not sought again.
    pub fn set_closer(&mut self, document: &mut Document) -> Option<Vec<Page>> {
        let mut tried = TriedSizes::of(document)?;
        let found = tried.sought(&mut self.known, own_size(document))?;
        let size = smaller_by(document, found.step);
        let (paged, _) = paged_at(&mut self.known, tried.made(found.kind), size);
        document.closer.as_mut()?.found = Some(found);
        Some(paged.pages)
    }

    /// The size of a document's running text where it is set closer, else its own, pt; it is told in which setting.
    pub fn size_set_closer(&mut self, document: &mut Document) -> f64 {
        let found = TriedSizes::of(document).and_then(|mut tried| tried.sought(&mut self.known, own_size(document)));
        if let Some(closer) = document.closer.as_mut() {
            closer.found = found;
        }
        found.map_or(own_size(document), |found| smaller_by(document, found.step))
    }
}

/// The size of a document's running text, pt.
const fn own_size(document: &Document) -> f64 {
    document.text_size.clamp(5.0, 40.0)
}

/// The pages in the size of type that suits them; in the first where something is wrong with them. What is `known` of
/// the texts is measured once for all sizes.
fn best(known: &mut Faults, document: &Document) -> FittedPages {
    let size = own_size(document);
    if let Some(fitted) = closer(known, document, size) {
        return fitted;
    }
    let first = lay_out_at(known, document, size);
    match document.fitting {
        _ if !first.problems.is_empty() => first,
        Fitting::OnePageFrom(least) => {
            let fitted = on_one_page(known, document, least.min(size), first);
            set_close(known, document, size, &fitted.paper).unwrap_or(fitted)
        }
        Fitting::CardFrom(least) | Fitting::PocketCardFrom(least) => {
            on_one_page(known, document, least.min(size), first)
        }
        Fitting::AsSet => without_stubs(known, document, size, first),
        Fitting::OneSize | Fitting::TwoSizes => first,
    }
}

/// A list in the largest type that brings it onto one page; as it was where none does.
fn on_one_page(known: &mut Faults, document: &Document, least: f64, first: FittedPages) -> FittedPages {
    let steps = ((document.text_size - least) / SIZE_STEP).round() as usize;
    let size = |smaller: usize| document.text_size - SIZE_STEP * (smaller + 1) as f64;
    let last = steps.checked_sub(1).filter(|_| first.paper.pages.len() > 1);
    let fits = |known: &mut Faults, step| Some(measured_at(known, document, size(step))).filter(|of| of.pages == 1);
    let found = last.and_then(|last| largest(last, |step| fits(known, step)));
    found.map_or(first, |(step, measured)| measured.laid_out(known, document, size(step)))
}

/// A document in another fitting and size, where it then takes fewer pages than it has.
fn refitted(known: &mut Faults, document: &Document, to: (Fitting, f64), has: usize) -> Option<FittedPages> {
    let (fitting, size) = to;
    let refitted = Document { fitting, ..document.with_blocks(document.blocks.clone()) };
    let measured = measured_at(known, &refitted, size);
    (measured.pages < has).then(|| measured.laid_out(known, &refitted, size))
}

/// A list that no type brings onto one page, in its own type, set as close as a card where that does.
fn set_close(known: &mut Faults, document: &Document, size: f64, fitted: &Paper) -> Option<FittedPages> {
    let pages = fitted.pages.len();
    if pages == 2 { refitted(known, document, (Fitting::CardFrom(size), size), pages) } else { None }
}

/// The pages of a document that takes more than it should, or whose last part begins below another on a page, in the largest type
/// that mends it: with its own drawings, with those at a smaller scale, or with what stands in two columns parted once; where nothing
/// brings it onto so few pages, onto the fewest, parted in pairs as well. None where it stays as it is.
fn closer(known: &mut Faults, document: &Document, size: f64) -> Option<FittedPages> {
    let mut tried = TriedSizes::of(document)?;
    let found = document.closer.as_ref()?.found;
    let CloserSetting { kind, step } = found.or_else(|| tried.sought(known, size))?;
    Some(lay_out_at(known, tried.made(kind), smaller_by(document, step)))
}

/// The size of a document's running text in so many steps of smaller type, pt.
fn smaller_by(document: &Document, step: usize) -> f64 {
    document.text_size - CLOSER_STEP * step as f64
}

/// In which step of smaller type a document is likely to take so few pages, by what stands before its last parts in its own type, as
/// one column that no page ends: text takes less by the square of its size.
fn expected(document: &Document, (taken, column): (&Paged, f64), pages: usize) -> usize {
    let mut parts = parts(&document.blocks);
    let first = parts.next().and_then(|heading| taken.outline.iter().find(|entry| entry.title == heading));
    let after = first.map_or(0, |part| taken.pages.len() - part.page);
    let bounds = bounds_of(document.fitting);
    let room = (bounds.bottom - bounds.top) * pages.saturating_sub(after).max(1) as f64 * FILLED;
    let over = column / room;
    let step = 2.0 * CLOSER_STEP / document.text_size;
    ((over - 1.0).max(0.0) / step).ceil() as usize
}

/// The part of its pages that what is kept together lets a document fill.
const FILLED: f64 = 0.96;

/// The first of the steps from 0 to `last` in which something fits, sought from one that is likely: the later the step, the smaller
/// the type, and what fits in one fits in all after it.
fn first_from(begun: usize, last: usize, mut fits: impl FnMut(usize) -> bool) -> Option<usize> {
    if fits(begun) {
        let larger = (0..begun).rev().take_while(|step| fits(*step)).last();
        return Some(larger.unwrap_or(begun));
    }
    (begun + 1..=last).find(|step| fits(*step))
}

/// How blocks are set closer.
#[derive(Debug, Clone, Copy)]
enum CloserKind {
    /// As they are, what asks for more than half a page on a page of its own.
    Apart,
    /// Of the matters of the block at that place so many stand above the others.
    InTwoParts { place: usize, first: usize },
    /// No more than two matters side by side.
    InPairs,
    /// The same, and lists one below the other.
    ListsInTurn,
}

/// The kinds of a document that is set closer, each made once it is asked for, and what was measured of each in steps of type: each is
/// measured once.
struct TriedSizes<'a> {
    document: &'a Document,
    closer: &'a Closer,
    /// How many kinds of drawings there are, and how many kinds are tried first.
    drawn: usize,
    first: usize,
    kinds: Vec<(&'a [Block], CloserKind)>,
    made: Vec<Option<Document>>,
    measured: BTreeMap<(usize, usize), MeasuredPages>,
}

impl<'a> TriedSizes<'a> {
    /// The kinds of a document that may be set closer, none of them tried.
    fn of(document: &'a Document) -> Option<TriedSizes<'a>> {
        let closer = document.closer.as_ref()?;
        // Those of the first pass: with its own drawings, with the smaller ones, and each of them parted where a page may end.
        let drawn: Vec<&[Block]> = std::iter::once(&document.blocks[..]).chain(closer.blocks.as_deref()).collect();
        let mut kinds: Vec<(&[Block], CloserKind)> = drawn.iter().map(|blocks| (*blocks, CloserKind::Apart)).collect();
        kinds.extend(drawn.iter().flat_map(|blocks| in_two_parts(blocks).map(|parted| (*blocks, parted))));
        let first = kinds.len();
        kinds.extend(drawn.iter().map(|blocks| (*blocks, CloserKind::InPairs)));
        kinds.extend(drawn.iter().map(|blocks| (*blocks, CloserKind::ListsInTurn)));
        let made = vec![None; kinds.len()];
        Some(TriedSizes { document, closer, drawn: drawn.len(), first, kinds, made, measured: BTreeMap::new() })
    }

    /// In which kind and in how small a type the document takes so few pages as it should; none where it stays as it is.
    fn sought(&mut self, known: &mut Faults, size: f64) -> Option<CloserSetting> {
        let TriedSizes { document, closer, drawn, first: all, .. } = *self;
        let (taken, column) = paged_at(known, document, size);
        let shares = parts(&document.blocks).any(|heading| shares_a_page(&taken.outline, &heading));
        if taken.pages.len() <= closer.pages && !shares {
            return None;
        }
        let (own, closest) = (0, drawn - 1);
        let steps = ((document.text_size - closer.least) / CLOSER_STEP).round() as usize;
        let mut measured = |tried: &mut TriedSizes<'_>, kind: usize, step: usize| tried.at(known, (kind, step));
        let fits = |of: MeasuredPages| of.stubs == 0 && of.pages <= closer.pages;
        let begun = expected(document, (&taken, column), closer.pages).min(steps);
        // With its own drawings first where it is expected to fit: those are kept where they do.
        let begins = fits(measured(self, own, begun));
        let mut whole = |step: usize| step == begun && begins || fits(measured(self, closest, step));
        let found = first_from(begun, steps, &mut whole);
        let found = found.or_else(|| {
            // What is parted ends a page fuller, and saves no more than the one that it goes over by.
            let mut parted = |step: usize| {
                let near = measured(self, closest, step).pages <= closer.pages + 1;
                near && (drawn..all).any(|kind| fits(measured(self, kind, step)))
            };
            first_from(begun, steps, &mut parted)
        });
        let Some(step) = found else {
            let most = WantedPages { taken: taken.pages.len(), wanted: closer.pages, shares };
            return fewest(self, most, steps, measured);
        };
        (0..all).find(|kind| fits(measured(self, *kind, step))).map(|kind| CloserSetting { kind, step })
    }

    fn made(&mut self, kind: usize) -> &Document {
        let TriedSizes { document, kinds, made, .. } = self;
        made[kind].get_or_insert_with(|| {
            let (blocks, of) = kinds[kind];
            let blocks = match of {
                CloserKind::Apart => apart(blocks),
                CloserKind::InTwoParts { place, first } => apart(&parted_after(blocks, place, first)),
                CloserKind::InPairs => apart(&in_pairs(blocks)),
                CloserKind::ListsInTurn => apart(&lists_in_turn(&in_pairs(blocks))),
            };
            document.with_blocks(blocks)
        })
    }

    /// What one kind measures in one step of smaller type.
    fn at(&mut self, known: &mut Faults, (kind, step): (usize, usize)) -> MeasuredPages {
        if let Some(measured) = self.measured.get(&(kind, step)) {
            return *measured;
        }
        let size = smaller_by(self.document, step);
        let measured = measured_at(known, self.made(kind), size);
        self.measured.insert((kind, step), measured);
        measured
    }
}

/// Pages that a document takes in its own type and those that it should take at most; whether its last part begins below another.
#[derive(Clone, Copy)]
struct WantedPages {
    taken: usize,
    wanted: usize,
    shares: bool,
}

/// Where no type brings a document onto so few pages as it should take: the largest that brings it onto the fewest that can be had,
/// without stubs where there is a way, and with which of its kinds.
fn fewest(
    tried: &mut TriedSizes<'_>,
    pages: WantedPages,
    steps: usize,
    mut measured: impl FnMut(&mut TriedSizes<'_>, usize, usize) -> MeasuredPages,
) -> Option<CloserSetting> {
    let count = tried.kinds.len();
    let most = (0..count).map(|kind| measured(tried, kind, steps).pages).min().unwrap_or(0).max(pages.wanted);
    if most >= pages.taken && !pages.shares {
        return None;
    }
    // The smaller the type, the fewer the pages: no larger type is tried than the first in which none of them fits.
    let mut fits = |step: &usize| (0..count).any(|kind| measured(tried, kind, *step).pages <= most);
    let from = (0..steps).rev().take_while(&mut fits).last().unwrap_or(steps);
    let mut with_stubs = None;
    for (step, kind) in (from..=steps).flat_map(|step| (0..count).map(move |kind| (step, kind))) {
        let of = measured(tried, kind, step);
        if of.pages <= most && of.stubs == 0 {
            return Some(CloserSetting { kind, step });
        }
        // Where the last part shares a page, a stub is better than that.
        if of.pages <= most && (of.pages < pages.taken || pages.shares) {
            with_stubs.get_or_insert(CloserSetting { kind, step });
        }
    }
    with_stubs
}

/// The same blocks, of which no more than two matters stand side by side: between two pairs a page may end.
fn in_pairs(blocks: &[Block]) -> Vec<Block> {
    let parted = |block: &Block| match block {
        Block::Balanced(matters) => {
            let some: Vec<&Vec<Block>> = matters.iter().filter(|blocks| !blocks.is_empty()).collect();
            some.chunks(2).map(|pair| Block::Balanced(pair.iter().map(|blocks| (*blocks).clone()).collect())).collect()
        }
        other => vec![other.clone()],
    };
    blocks.iter().flat_map(parted).collect()
}

/// The same blocks, in which two lists that stand side by side stand one below the other, so that a page may end in them.
fn lists_in_turn(blocks: &[Block]) -> Vec<Block> {
    let is_list = |matter: &Vec<Block>| {
        let rest = matter
            .iter()
            .all(|block| matches!(block, Block::Heading { .. } | Block::List { .. } | Block::Paragraph(_)));
        rest && matter.iter().any(|block| matches!(block, Block::List { .. }))
    };
    let in_turn = |block: &Block| match block {
        Block::Balanced(matters) if matters.iter().all(is_list) => matters.concat(),
        other => vec![other.clone()],
    };
    blocks.iter().flat_map(in_turn).collect()
}

/// Every way in which the first of the most matters that stand in two columns stand above the others, as many of them as may be first:
/// between the two parts a page may end.
fn in_two_parts(blocks: &[Block]) -> impl Iterator<Item = CloserKind> + use<> {
    let counts: Vec<usize> = blocks.iter().map(|block| matters(block).count()).collect();
    let most = counts.iter().copied().max().unwrap_or(0);
    let place = counts.iter().position(|count| *count == most && most > 2);
    place.into_iter().flat_map(move |place| (1..most).rev().map(move |first| CloserKind::InTwoParts { place, first }))
}

/// The matters of a block that stand in two columns.
fn matters(block: &Block) -> impl Iterator<Item = &Vec<Block>> {
    let all: &[Vec<Block>] = if let Block::Balanced(matters) = block { matters } else { &[] };
    all.iter().filter(|blocks| !blocks.is_empty())
}

/// The same blocks, of which the first so many matters of that at a place stand above its others.
fn parted_after(blocks: &[Block], place: usize, first: usize) -> Vec<Block> {
    let all: Vec<&Vec<Block>> = matters(&blocks[place]).collect();
    let (above, below) = all.split_at(first);
    let parts = [above, below].map(|matters| Block::Balanced(matters.iter().map(|blocks| (*blocks).clone()).collect()));
    [&blocks[..place], &parts, &blocks[place + 1..]].concat()
}

/// The headings of the parts that should stand on pages of their own: more than half a page is asked for before them.
fn parts(blocks: &[Block]) -> impl Iterator<Item = String> {
    blocks.windows(2).filter_map(|pair| match pair {
        [room, Block::Heading { text, .. }] if is_much(room) => {
            Some(text.iter().map(|span| span.text.as_str()).collect())
        }
        _ => None,
    })
}

/// Whether a block asks for more than half a page.
const fn is_much(block: &Block) -> bool {
    matches!(block, Block::Room(percent) if *percent > 50)
}

/// Whether a heading stands below another one on a page.
fn shares_a_page(outline: &[Entry], heading: &str) -> bool {
    let known = outline.iter().find(|entry| entry.title == heading);
    known.is_some_and(|known| outline.iter().any(|entry| entry.page == known.page && entry.y < known.y))
}

/// The same blocks, in which what asks for more than half a page begins a page of its own.
fn apart(blocks: &[Block]) -> Vec<Block> {
    blocks.iter().map(|block| if is_much(block) { Block::Room(100) } else { block.clone() }).collect()
}

/// Steps in which a document's type is made smaller to bring it onto its pages, pt.
const CLOSER_STEP: f64 = 0.2;

/// The pages with the fewest stubs among a few sizes of type, the largest first.
fn without_stubs(known: &mut Faults, document: &Document, size: f64, first: FittedPages) -> FittedPages {
    let better = fewer_stubs(known, document, size, first.stubs);
    better.map_or(first, |(measured, share)| measured.laid_out(known, document, size * share))
}

/// Which of a few smaller sizes of type, as a part of the own one, leaves fewer stubs than so many.
fn fewer_stubs(known: &mut Faults, document: &Document, size: f64, mut stubs: usize) -> Option<(MeasuredPages, f64)> {
    let mut best = None;
    for share in SHARES {
        if stubs == 0 {
            break;
        }
        let measured = measured_at(known, document, size * share);
        if measured.stubs < stubs {
            stubs = measured.stubs;
            best = Some((measured, share));
        }
    }
    best
}

/// Steps in which a list's type is made smaller, pt.
const SIZE_STEP: f64 = 0.1;
/// Running text may be set in these parts of its size to save a page.
const SHARES: [f64; 2] = [0.98, 0.96];

/// Pages, how many of them are stubs, and what was found wrong.
struct FittedPages {
    paper: Paper,
    stubs: usize,
    problems: Vec<Problem>,
}

/// Pages in one size of type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct MeasuredPages {
    /// All of them.
    pages: usize,
    /// How many are stubs.
    stubs: usize,
}

impl MeasuredPages {
    /// The pages themselves, which have what was measured.
    fn laid_out(self, known: &mut Faults, document: &Document, size: f64) -> FittedPages {
        let laid = lay_out_at(known, document, size);
        debug_assert_eq!(self, MeasuredPages { pages: laid.paper.pages.len(), stubs: laid.stubs });
        laid
    }
}

/// How many pages there would be, by the heights of what stands on them.
fn measured_at(known: &mut Faults, document: &Document, size: f64) -> MeasuredPages {
    let (paged, _) = paged_at(known, document, size);
    MeasuredPages { pages: paged.pages.len(), stubs: paged.stubs }
}

/// The pages by the heights of what stands on them, without their marks; and how high all is that stands before the first block that
/// asks for more than half a page, as one column.
fn paged_at(known: &mut Faults, document: &Document, size: f64) -> (Paged, f64) {
    let mut flow = begun(known, document, size);
    flow.measuring = true;
    let paged = paged(&mut flow, document);
    *known = flow.faults;
    paged
}

thread_local! {
    static LAYOUTS: Cell<usize> = const { Cell::new(0) };
}

/// How often this thread has laid a document on pages or measured it on them, for whoever counts the work.
pub fn layouts() -> usize {
    LAYOUTS.get()
}

fn begun(known: &mut Faults, document: &Document, size: f64) -> Flow {
    LAYOUTS.set(layouts() + 1);
    let bounds = bounds_of(document.fitting);
    let mut flow = Flow::new(size, bounds.bottom - bounds.top);
    flow.faults = std::mem::take(known).anew();
    flow.close = document.fitting.is_for_the_site();
    flow.pocket = document.fitting.is_for_the_pocket();
    flow
}

fn paged(flow: &mut Flow, document: &Document) -> (Paged, f64) {
    let (pieces, bounds) = (whole(flow, document), bounds_of(document.fitting));
    let feet = flow.feet(text_of(document.fitting), 0);
    let half = (bounds.bottom - bounds.top) / 2.0;
    let mut below: f64 = 0.0;
    let column = pieces.iter().take_while(|piece| piece.room <= half).map(|piece| {
        let gap = below.max(piece.above);
        below = piece.below;
        gap + piece.height
    });
    let column = column.sum();
    (paginate(pieces, feet, bounds), column)
}

/// Cards that stand before an operation that they came after are read before it.
fn read_where_they_stand(flow: &mut Flow, paged: &mut Paged) {
    let moved = std::mem::take(&mut flow.moved);
    if moved.is_empty() {
        return;
    }
    let mut order: Vec<NodeId> = (0..flow.nodes.len()).collect();
    for (card, operation) in moved {
        let place = |node: NodeId| order.iter().position(|known| *known == node);
        // The operation stands before the card.
        if let (Some(from), Some(to)) = (place(card.start), place(operation)) {
            order[to..from + card.len()].rotate_right(card.len());
        }
    }
    let mut new = vec![0; order.len()];
    order.iter().enumerate().for_each(|(place, node)| new[*node] = place);
    flow.nodes = order.iter().map(|node| flow.nodes[*node].clone()).collect();
    for node in &mut flow.nodes {
        node.parent = new[node.parent];
        if let NodeRole::Cell { headers } = &mut node.role {
            headers.iter_mut().for_each(|header| *header = new[*header]);
        }
    }
    flow.tells.iter_mut().for_each(|(_, node)| *node = new[*node]);
    let marks = paged.pages.iter_mut().flat_map(|page| &mut page.marks);
    marks.filter_map(|mark| mark.owner.as_mut()).for_each(|owner| *owner = new[*owner]);
}

/// The pages in one size of type.
fn lay_out_at(known: &mut Faults, document: &Document, size: f64) -> FittedPages {
    let mut flow = begun(known, document, size);
    let (mut paged, _) = paged(&mut flow, document);
    read_where_they_stand(&mut flow, &mut paged);
    pointers::fill(&mut flow, &mut paged.pages, &paged.outline);
    dress(&mut flow, document, &mut paged.pages);
    let (problems, fonts) = (flow.faults.problems(), flow.faults.fonts);
    *known = flow.faults;
    let paper = Paper { pages: paged.pages, nodes: flow.nodes, outline: paged.outline, tells: flow.tells, fonts };
    FittedPages { paper, stubs: paged.stubs, problems }
}
