//! The three documents: words, tables, drawings and pages, down to the bytes of a PDF.
//!
//! Given finished values (take-off, programme, price); gives PDF files and the order's CSV. Computes no quantity and
//! no price. `templates → Markdown → blocks → placed pages → PDF`; only `pdf.rs` names printpdf.

pub mod block;
pub mod colour;
pub mod finish;
pub mod flow;
pub mod fonts;
pub mod listing;
pub mod markdown;
pub mod masthead;
pub mod object_order;
pub mod page;
pub mod pager;
pub mod pdf;
pub mod pictures;
pub mod piece;
pub mod press;
pub mod scene;
pub mod table;
pub mod text;

use crate::model::{Firm, Job, Problem, Products, Rules};
use crate::pricing::{Pricing, Terms};
use crate::programme::Programme;
use crate::takeoff::TakeOff;
use time::Date;

/// Which document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// To the householder.
    Quote,
    /// To the merchant.
    Order,
    /// To the site.
    Method,
}

/// Everything that a document may speak of.
#[derive(Debug, Clone, Copy)]
pub struct Worked<'a> {
    /// The job.
    pub job: &'a Job,
    /// The firm.
    pub firm: &'a Firm,
    /// Its rules.
    pub rules: &'a Rules,
    /// Sizes of products.
    pub products: &'a Products,
    /// Its terms: the documents read only what a householder may see (rates for rot, stages).
    pub terms: &'a Terms,
    /// The layout.
    pub take_off: &'a TakeOff,
    /// The programme.
    pub programme: &'a Programme,
    /// The price.
    pub pricing: &'a Pricing,
    /// The date printed.
    pub date: Date,
}

/// A finished file: its name and its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finished {
    /// File name: `quote.pdf`, `order.pdf`, `order.csv`, `method.pdf`.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The words: built-in templates with the firm's overrides, by name (`quote.md`).
#[derive(Debug, Clone, Default)]
pub struct Overrides {
    /// Name and text of each overriding template.
    pub templates: Vec<(String, String)>,
}

/// Makes one document (an order also gives its CSV; several merchants give several orders).
///
/// # Errors
/// A character that no font has, a picture that cannot be read, an unknown name in a template: all at once, before
/// anything is written.
pub fn make(kind: Kind, worked: &Worked<'_>, overrides: &Overrides) -> Result<Vec<Finished>, Vec<Problem>> {
    let _ = (kind, worked, overrides);
    Err(Vec::new())
}
