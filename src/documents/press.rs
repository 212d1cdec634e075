//! The press: a document in, the bytes of a PDF out, or the same pages as text.
//!
//! Given a whole [`Document`]; gives bytes that depend on it alone: the same document gives the same bytes whatever
//! else the process has made. Every fault is found before anything is written.

use super::block::Document;
use super::flow::Flow;
use super::fonts::Fonts;
use super::masthead::{BOTTOM, CLOSE_TOP, FIRST_TOP, TEXT, TOP, dress, whole};
use super::page::Paper;
use super::pager::{Body, paginate};
use super::{listing, pdf, pictures};
use crate::model::Problem;

/// Prints a document in the built-in fonts.
///
/// # Errors
/// Every character that no font has and every picture that cannot be read, all at once.
pub fn print(document: &Document) -> Result<Vec<u8>, Vec<Problem>> {
    print_in(Fonts::default(), document)
}

/// Prints a document in some fonts.
///
/// # Errors
/// As [`print`].
pub fn print_in(fonts: Fonts, document: &Document) -> Result<Vec<u8>, Vec<Problem>> {
    Ok(pdf::write(document, &lay_out_in(fonts, document)?))
}

/// The placed pages as text, for reading and for golden tests.
///
/// # Errors
/// As [`print`].
pub fn describe(document: &Document) -> Result<String, Vec<Problem>> {
    Ok(listing::describe(&lay_out(document)?))
}

/// Lays a document on pages, in the built-in fonts.
///
/// # Errors
/// As [`print`].
pub fn lay_out(document: &Document) -> Result<Paper, Vec<Problem>> {
    lay_out_in(Fonts::default(), document)
}

/// Lays a document on pages, in its own size of type or one a little smaller, where that saves a page with a line or two
/// on it, or brings a list onto one page.
///
/// # Errors
/// As [`print`].
pub fn lay_out_in(fonts: Fonts, document: &Document) -> Result<Paper, Vec<Problem>> {
    let Laid { mut paper, mut problems, .. } = best(fonts, document);
    pictures::fit_all(&mut paper.pages, &mut problems);
    if problems.is_empty() { Ok(paper) } else { Err(problems) }
}

/// The pages in the size of type that suits them; in the first where something is wrong with them.
fn best(fonts: Fonts, document: &Document) -> Laid {
    let size = document.text_size.clamp(5.0, 40.0);
    let first = lay_out_at(fonts, document, size);
    match document.one_page_from {
        _ if !first.problems.is_empty() => first,
        Some(least) => on_one_page(fonts, document, least.min(size), first),
        None => without_stubs(fonts, document, size, first),
    }
}

/// A list in the largest type that brings it onto one page; as it was where none does.
fn on_one_page(fonts: Fonts, document: &Document, least: f64, first: Laid) -> Laid {
    let steps = ((document.text_size - least) / SIZE_STEP).round() as usize;
    let (mut too_few, mut found) = (0, None);
    let mut enough = steps + 1;
    while first.paper.pages.len() > 1 && enough - too_few > 1 {
        // The first try is the smallest type: a list that does not fit then is laid out once more, not many times.
        let step = if found.is_none() { steps } else { (too_few + enough) / 2 };
        let laid = lay_out_at(fonts, document, document.text_size - SIZE_STEP * step as f64);
        if laid.paper.pages.len() > 1 {
            too_few = step;
        } else {
            (enough, found) = (step, Some(laid));
        }
    }
    found.unwrap_or(first)
}

/// The pages with the fewest stubs among a few sizes of type, the largest first.
fn without_stubs(fonts: Fonts, document: &Document, size: f64, first: Laid) -> Laid {
    let mut best = first;
    for share in SHARES {
        if best.stubs == 0 {
            break;
        }
        let laid = lay_out_at(fonts, document, size * share);
        if laid.stubs < best.stubs {
            best = laid;
        }
    }
    best
}

/// Steps in which a list's type is made smaller, pt.
const SIZE_STEP: f64 = 0.1;
/// Running text may be set in these parts of its size to save a page.
const SHARES: [f64; 2] = [0.98, 0.96];

/// Pages, how many of them are stubs, and what was found wrong.
struct Laid {
    paper: Paper,
    stubs: usize,
    problems: Vec<Problem>,
}

/// The pages in one size of type.
fn lay_out_at(fonts: Fonts, document: &Document, size: f64) -> Laid {
    let mut flow = Flow::new(size, BOTTOM - TOP);
    flow.faults.fonts = fonts;
    let pieces = whole(&mut flow, document);
    let feet = flow.feet(TEXT, 0);
    let first_top = if document.one_page_from.is_some() { CLOSE_TOP } else { FIRST_TOP };
    let mut paged = paginate(pieces, feet, Body { first_top, top: TOP, bottom: BOTTOM });
    dress(&mut flow, document, &mut paged.pages);
    let problems = flow.faults.problems();
    let paper = Paper { pages: paged.pages, nodes: flow.nodes, outline: paged.outline, fonts };
    Laid { paper, stubs: paged.stubs, problems }
}
