//! Fitting a document to its pages: the size of type that saves a page.
//!
//! Given a whole [`Document`]; gives its placed pages, or the same as text. Nothing is set smaller than a reader can
//! read: where no size that may be taken saves a page, the document stays in its own.

use super::block::{Block, Document, Fitting};
use super::flow::Flow;
use super::fonts::Fonts;
use super::listing;
use super::masthead::{bounds_of, dress, text_of, whole};
use super::page::Paper;
use super::pager::{Paged, paginate};
use super::text::Faults;
use crate::model::limits::{self, Most};
use crate::model::{Problem, Whereabouts};

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

/// The pages in the size of type that suits them; in the first where something is wrong with them. What is `known` of
/// the texts is measured once for all sizes.
fn best(known: &mut Faults, document: &Document) -> FittedPages {
    let size = document.text_size.clamp(5.0, 40.0);
    let first = lay_out_at(known, document, size);
    if first.problems.is_empty()
        && let Some(fitted) = closer(known, document, &first.paper)
    {
        return fitted;
    }
    match document.fitting {
        _ if !first.problems.is_empty() => first,
        Fitting::OnePageFrom(least) | Fitting::CardFrom(least) => on_one_page(known, document, least.min(size), first),
        Fitting::AsSet => without_stubs(known, document, size, first),
        Fitting::OneSize | Fitting::TwoSizes => first,
    }
}

/// A list in the largest type that brings it onto one page; as it was where none does.
fn on_one_page(known: &mut Faults, document: &Document, least: f64, first: FittedPages) -> FittedPages {
    let steps = ((document.text_size - least) / SIZE_STEP).round() as usize;
    let size = |step: usize| document.text_size - SIZE_STEP * step as f64;
    let (mut too_few, mut found) = (0, None);
    let mut enough = steps + 1;
    while first.paper.pages.len() > 1 && enough - too_few > 1 {
        // The first try is the smallest type: a list that does not fit then is measured once more, not many times.
        let step = if found.is_none() { steps } else { (too_few + enough) / 2 };
        let measured = measured_at(known, document, size(step));
        if measured.pages > 1 {
            too_few = step;
        } else {
            (enough, found) = (step, Some(measured));
        }
    }
    found.map_or(first, |measured| measured.laid_out(known, document, size(enough)))
}

/// The pages of a document that takes more than it should, or whose last part begins below another on a page, in the largest type
/// that mends it, with its own drawings before those at a smaller scale; none where nothing does.
fn closer(known: &mut Faults, document: &Document, taken: &Paper) -> Option<FittedPages> {
    let closer = document.closer.as_ref()?;
    if taken.pages.len() <= closer.pages && !parts(&document.blocks).any(|heading| shares_a_page(taken, &heading)) {
        return None;
    }
    let apart = |blocks: &Vec<Block>| Document { blocks: apart(blocks), closer: None, ..document.clone() };
    let smaller = closer.blocks.as_ref().map(apart);
    let document = &apart(&document.blocks);
    let steps = ((document.text_size - closer.least) / CLOSER_STEP).round() as usize;
    let size = |step: usize| document.text_size - CLOSER_STEP * step as f64;
    let fits = |known: &mut Faults, document: &Document, step: usize| {
        let measured = measured_at(known, document, size(step));
        (measured.stubs == 0 && measured.pages <= closer.pages).then_some(measured)
    };
    let closest = smaller.as_ref().unwrap_or(document);
    fits(known, closest, steps)?;
    let tries = (0..=steps).flat_map(|step| std::iter::once(document).chain(&smaller).map(move |d| (step, d)));
    let (step, document, measured) = tries.into_iter().find_map(|(step, d)| Some((step, d, fits(known, d, step)?)))?;
    Some(measured.laid_out(known, document, size(step)))
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
fn shares_a_page(paper: &Paper, heading: &str) -> bool {
    let known = paper.outline.iter().find(|entry| entry.title == heading);
    known.is_some_and(|known| paper.outline.iter().any(|entry| entry.page == known.page && entry.y < known.y))
}

/// The same blocks, in which what asks for more than half a page begins a page of its own.
fn apart(blocks: &[Block]) -> Vec<Block> {
    blocks.iter().map(|block| if is_much(block) { Block::Room(100) } else { block.clone() }).collect()
}

/// Steps in which a document's type is made smaller to bring it onto its pages, pt.
const CLOSER_STEP: f64 = 0.2;

/// The pages with the fewest stubs among a few sizes of type, the largest first.
fn without_stubs(known: &mut Faults, document: &Document, size: f64, first: FittedPages) -> FittedPages {
    let (mut stubs, mut best) = (first.stubs, None);
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
    best.map_or(first, |(measured, share)| measured.laid_out(known, document, size * share))
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
    let mut flow = begun(known, document, size);
    flow.measuring = true;
    let paged = paged(&mut flow, document);
    *known = flow.faults;
    MeasuredPages { pages: paged.pages.len(), stubs: paged.stubs }
}

fn begun(known: &mut Faults, document: &Document, size: f64) -> Flow {
    let bounds = bounds_of(document.fitting);
    let mut flow = Flow::new(size, bounds.bottom - bounds.top);
    flow.faults = std::mem::take(known).anew();
    flow.close = document.fitting.is_for_the_site();
    flow
}

fn paged(flow: &mut Flow, document: &Document) -> Paged {
    let pieces = whole(flow, document);
    let feet = flow.feet(text_of(document.fitting), 0);
    paginate(pieces, feet, bounds_of(document.fitting))
}

/// The pages in one size of type.
fn lay_out_at(known: &mut Faults, document: &Document, size: f64) -> FittedPages {
    let mut flow = begun(known, document, size);
    let mut paged = paged(&mut flow, document);
    dress(&mut flow, document, &mut paged.pages);
    let (problems, fonts) = (flow.faults.problems(), flow.faults.fonts);
    *known = flow.faults;
    let paper = Paper { pages: paged.pages, nodes: flow.nodes, outline: paged.outline, tells: flow.tells, fonts };
    FittedPages { paper, stubs: paged.stubs, problems }
}
