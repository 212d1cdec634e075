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
    let (least, as_wished): (f64, fn(&Laid) -> bool) = match document.one_page_from {
        Some(least) => (least, |laid| laid.paper.pages.len() < 2),
        None => (size * LEAST_SHARE, |laid| laid.stubs == 0),
    };
    if as_wished(&first) || !first.problems.is_empty() {
        return first;
    }
    let smaller = (1..).map(|step| size - SIZE_STEP * f64::from(step)).take_while(|size| *size >= least - 1e-9);
    smaller.map(|size| lay_out_at(fonts, document, size)).find(as_wished).unwrap_or(first)
}

/// Steps in which type is made smaller, pt.
const SIZE_STEP: f64 = 0.1;
/// Running text is set no smaller than this part of its size to save a page.
const LEAST_SHARE: f64 = 0.96;

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
