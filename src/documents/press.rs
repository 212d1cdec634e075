//! The press: a document in, the bytes of a PDF out, or the same pages as text.
//!
//! Given a whole [`Document`]; gives bytes that depend on it alone: the same document gives the same bytes whatever
//! else the process has made. Every fault is found before anything is written.

use super::block::Document;
use super::flow::Flow;
use super::masthead::{BOTTOM, CLOSE_TOP, FIRST_TOP, TEXT, TOP, dress, whole};
use super::page::Paper;
use super::pager::{Body, paginate};
use super::{listing, pdf};
use crate::model::Problem;

/// Prints a document.
///
/// # Errors
/// Every character that no font has and every picture that cannot be read, all at once.
pub fn print(document: &Document) -> Result<Vec<u8>, Vec<Problem>> {
    Ok(pdf::write(document, &lay_out(document)?))
}

/// The placed pages as text, for reading and for golden tests.
///
/// # Errors
/// As [`print`].
pub fn describe(document: &Document) -> Result<String, Vec<Problem>> {
    Ok(listing::describe(&lay_out(document)?))
}

/// Lays a document on pages.
///
/// # Errors
/// As [`print`].
pub fn lay_out(document: &Document) -> Result<Paper, Vec<Problem>> {
    let size = document.text_size.clamp(5.0, 40.0);
    let smaller = (1..).map(|step| size - SIZE_STEP * f64::from(step));
    let least = document.one_page_from.unwrap_or(size);
    let on_one_page = |paper: &Paper| paper.pages.len() < 2;
    let first = lay_out_at(document, size)?;
    if on_one_page(&first) {
        return Ok(first);
    }
    for size in smaller.take_while(|size| *size >= least - 1e-9) {
        let paper = lay_out_at(document, size)?;
        if on_one_page(&paper) {
            return Ok(paper);
        }
    }
    Ok(first)
}

/// Steps in which a list's type is made smaller until it stands on one page, pt.
const SIZE_STEP: f64 = 0.1;

fn lay_out_at(document: &Document, size: f64) -> Result<Paper, Vec<Problem>> {
    let mut flow = Flow::new(size, BOTTOM - TOP);
    let pieces = whole(&mut flow, document);
    let feet = flow.feet(TEXT, 0);
    let first_top = if document.one_page_from.is_some() { CLOSE_TOP } else { FIRST_TOP };
    let mut paged = paginate(pieces, feet, Body { first_top, top: TOP, bottom: BOTTOM });
    dress(&mut flow, document, &mut paged.pages);
    let problems = flow.faults.problems();
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(Paper { pages: paged.pages, nodes: flow.nodes, outline: paged.outline })
}
