//! The press: a document in, the bytes of a PDF out, or the same pages as text.
//!
//! Given a whole [`Document`]; gives bytes that depend on it alone: the same document gives the same bytes whatever
//! else the process has made. Every fault is found before anything is written.

use super::block::Document;
use super::flow::Flow;
use super::fonts::Fonts;
use super::masthead::{BOTTOM, FIRST_TOP, TOP, dress, whole};
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

/// Lays a document on pages.
///
/// # Errors
/// As [`print`].
pub fn lay_out_in(fonts: Fonts, document: &Document) -> Result<Paper, Vec<Problem>> {
    let mut flow = Flow::new(document.text_size.clamp(5.0, 40.0), BOTTOM - TOP);
    flow.faults.fonts = fonts;
    let pieces = whole(&mut flow, document);
    let mut paged = paginate(pieces, Body { first_top: FIRST_TOP, top: TOP, bottom: BOTTOM });
    dress(&mut flow, document, &mut paged.pages);
    pictures::fit_all(&mut paged.pages, &mut flow.faults.others);
    let problems = flow.faults.problems();
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(Paper { pages: paged.pages, nodes: flow.nodes, outline: paged.outline, fonts })
}
