//! Fitting a document to its pages: the size of type that saves a page, and the sheets that have room for larger type.
//!
//! Given a whole [`Document`]; gives its placed pages, or the same as text. Nothing is set smaller than a reader can
//! read: where no size that may be taken saves a page, the document stays in its own.

use super::block::{Document, Fitting};
use super::flow::Flow;
use super::fonts::Fonts;
use super::masthead::{BOTTOM, CLOSE_TOP, FIRST_TOP, TEXT, TOP, dress, whole};
use super::page::Paper;
use super::pager::{Stands, TextBounds, paginate};
use super::text::Faults;
use super::{listing, pictures};
use crate::model::Problem;
use std::collections::{BTreeMap, BTreeSet};

/// Lays a document on pages, in its own size of type or one a little smaller, where that saves a page with a line or two
/// on it, or brings a list onto one page.
///
/// # Errors
/// Every character that no font has and every picture that cannot be read, all at once.
pub fn lay_out_in(fonts: Fonts, document: &Document) -> Result<Paper, Vec<Problem>> {
    let FittedPages { mut paper, mut problems, .. } = best(&mut Faults::of(fonts), document);
    pictures::fit_all(&mut paper.pages, &mut problems);
    if problems.is_empty() { Ok(paper) } else { Err(problems) }
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
    match document.fitting {
        _ if !first.problems.is_empty() => first,
        Fitting::OnePageFrom(least) => on_one_page(known, document, least.min(size), first),
        Fitting::AsSet => without_stubs(known, document, size, first),
        Fitting::SheetsUpTo(most) => {
            let laid = without_stubs(known, document, size, first);
            with_larger_sheets(known, document, most, laid)
        }
    }
}

/// A list in the largest type that brings it onto one page; as it was where none does.
fn on_one_page(known: &mut Faults, document: &Document, least: f64, first: FittedPages) -> FittedPages {
    let steps = ((document.text_size - least) / SIZE_STEP).round() as usize;
    let (mut too_few, mut found) = (0, None);
    let mut enough = steps + 1;
    while first.paper.pages.len() > 1 && enough - too_few > 1 {
        // The first try is the smallest type: a list that does not fit then is laid out once more, not many times.
        let step = if found.is_none() { steps } else { (too_few + enough) / 2 };
        let laid = lay_out_at(known, document, document.text_size - SIZE_STEP * step as f64);
        if laid.paper.pages.len() > 1 {
            too_few = step;
        } else {
            (enough, found) = (step, Some(laid));
        }
    }
    found.unwrap_or(first)
}

/// The pages with the fewest stubs among a few sizes of type, the largest first.
fn without_stubs(known: &mut Faults, document: &Document, size: f64, first: FittedPages) -> FittedPages {
    let mut best = first;
    for share in SHARES {
        if best.stubs == 0 {
            break;
        }
        let laid = lay_out_at(known, document, size * share);
        if laid.stubs < best.stubs {
            best = laid;
        }
    }
    best
}

/// The same pages, their sheets of words in larger type where there is the room for it.
fn with_larger_sheets(known: &mut Faults, document: &Document, most: f64, laid: FittedPages) -> FittedPages {
    let mut scales = larger(&laid.stands, most / laid.size);
    for round in 0..LARGER_TRIES {
        if scales.is_empty() {
            break;
        }
        let tried = lay_out_scaled(known, document, laid.size, scales.clone());
        if alike(&laid.stands, &tried.stands) {
            return tried;
        }
        for sheet in parted(&laid.stands, &tried.stands) {
            match scales.get_mut(&sheet) {
                Some(scale) if round == 0 => *scale = f64::midpoint(*scale, 1.0),
                _ => _ = scales.remove(&sheet),
            }
        }
    }
    laid
}

/// Whether the same sheets stand on each page.
fn alike(one: &[Stands], other: &[Stands]) -> bool {
    one.iter().map(|page| &page.sheets).eq(other.iter().map(|page| &page.sheets))
}

/// The sheets of every page that stands once more or once less often than it did, as it was and as it is: a sheet that
/// runs over onto the page of the next one is among them.
fn parted(was: &[Stands], is: &[Stands]) -> BTreeSet<usize> {
    let pages = |of: &[Stands], page: &Stands| of.iter().filter(|other| other.sheets == page.sheets).count();
    let parted = was.iter().chain(is).filter(|page| pages(is, page) != pages(was, page));
    parted.flat_map(|page| &page.sheets).flatten().copied().collect()
}

/// How many times as large some sheets may be, by what stands on their page: sheets that share a page grow alike.
fn larger(stands: &[Stands], most: f64) -> BTreeMap<usize, f64> {
    let pages = |sheet: &Option<usize>| stands.iter().filter(|page| page.sheets.contains(sheet)).count();
    let mut scales = BTreeMap::new();
    for page in stands.iter().skip(1) {
        let whole = page.sheets.iter().all(|sheet| sheet.is_some() && pages(sheet) == 1);
        // Larger letters make lines both higher and more.
        let room = ((BOTTOM - TOP) / page.taken.max(1.0)).sqrt().min(most);
        if whole && room > 1.0 {
            scales.extend(page.sheets.iter().flatten().map(|sheet| (*sheet, room)));
        }
    }
    scales
}

/// How often larger type is tried.
const LARGER_TRIES: usize = 6;
/// Steps in which a list's type is made smaller, pt.
const SIZE_STEP: f64 = 0.1;
/// Running text may be set in these parts of its size to save a page.
const SHARES: [f64; 2] = [0.98, 0.96];

/// Pages, how many of them are stubs, and what was found wrong.
struct FittedPages {
    size: f64,
    paper: Paper,
    stubs: usize,
    stands: Vec<Stands>,
    problems: Vec<Problem>,
}

/// The pages in one size of type.
fn lay_out_at(known: &mut Faults, document: &Document, size: f64) -> FittedPages {
    lay_out_scaled(known, document, size, BTreeMap::new())
}

/// The pages in one size of type, some sheets so many times as large.
fn lay_out_scaled(known: &mut Faults, document: &Document, size: f64, scales: BTreeMap<usize, f64>) -> FittedPages {
    let mut flow = Flow::new(size, BOTTOM - TOP);
    flow.faults = std::mem::take(known).anew();
    flow.scales = scales;
    let pieces = whole(&mut flow, document);
    let feet = flow.feet(TEXT, 0);
    let first_top = if document.fitting.is_close() { CLOSE_TOP } else { FIRST_TOP };
    let mut paged = paginate(pieces, feet, TextBounds { first_top, top: TOP, bottom: BOTTOM });
    dress(&mut flow, document, &mut paged.pages);
    let (problems, fonts) = (flow.faults.problems(), flow.faults.fonts);
    *known = flow.faults;
    let paper = Paper { pages: paged.pages, nodes: flow.nodes, outline: paged.outline, tells: flow.tells, fonts };
    FittedPages { size, paper, stubs: paged.stubs, stands: paged.stands, problems }
}
