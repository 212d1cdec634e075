//! All that knows PDF: printpdf, lopdf and the format's own syntax.
//!
//! Given a whole document, or its placed pages; gives the bytes of a tagged PDF, which depend on it alone: the same
//! document gives the same bytes whatever else the process has made. Only `writer.rs` names printpdf.

pub mod finish;
pub mod marks;
pub mod object_streams;
pub mod operators;
mod planes;
pub mod returned;
mod spelt;
pub mod syntax;
mod tree;
pub mod writer;

use crate::model::Problem;
use crate::pages::block::Document;
use crate::pages::fitting::lay_out_in;
use crate::pages::fonts::Fonts;

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
/// As [`print()`].
pub fn print_in(fonts: Fonts, document: &Document) -> Result<Vec<u8>, Vec<Problem>> {
    Ok(writer::write(document, &lay_out_in(fonts, document)?))
}
