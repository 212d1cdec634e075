//! All that knows PDF: printpdf, lopdf and the format's own syntax.
//!
//! Given placed pages; gives the bytes of a tagged PDF. Only `writer.rs` names printpdf.

pub mod finish;
pub mod object_streams;
pub mod syntax;
pub mod writer;
