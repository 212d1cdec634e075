//! The three documents: words, tables, drawings and pages, down to the bytes of a PDF.
//!
//! Given finished values (take-off, programme, price); gives PDF files and the order's CSV. Computes no quantity and
//! no price. `templates → Markdown → blocks → placed pages → PDF`; only `pdf.rs` names printpdf.

pub mod block;
pub mod cells;
pub mod colour;
pub mod csv;
pub mod drawings;
pub mod findings;
pub mod finish;
pub mod flow;
pub mod fonts;
pub mod letterhead;
pub mod listing;
pub mod markdown;
pub mod masthead;
pub mod method;
pub mod object_order;
pub mod offers;
pub mod order;
pub mod page;
pub mod pager;
pub mod pdf;
pub mod pictures;
pub mod piece;
pub mod press;
pub mod private;
pub mod quote;
pub mod scene;
pub mod table;
pub mod text;
pub mod wording;
pub mod words;

use crate::model::{Firm, Job, Photo, Problem, Products, Rules};
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
    /// Photographs for the householder, in their order.
    pub photos: &'a [Photo],
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
    let words = words::Words::new(overrides)?;
    match kind {
        Kind::Quote => Ok(vec![pdf("quote", &quote::document(worked, &words)?)?]),
        Kind::Method => Ok(vec![pdf("method", &method::document(worked, &words)?)?]),
        Kind::Order => orders(worked, &words),
    }
}

/// The placed pages of a document as text, for reading and for tests: one document after the other where several
/// merchants give several orders.
///
/// # Errors
/// As [`make`].
pub fn describe(kind: Kind, worked: &Worked<'_>, overrides: &Overrides) -> Result<String, Vec<Problem>> {
    let words = words::Words::new(overrides)?;
    match kind {
        Kind::Quote => press::describe(&quote::document(worked, &words)?),
        Kind::Method => press::describe(&method::document(worked, &words)?),
        Kind::Order => {
            order::named(worked).iter().map(|o| press::describe(&order::document(worked, &words, o)?)).collect()
        }
    }
}

fn pdf(name: &str, document: &block::Document) -> Result<Finished, Vec<Problem>> {
    Ok(Finished { name: format!("{name}.pdf"), bytes: press::print(document)? })
}

/// A PDF and a CSV for each merchant; their names carry the order's letter where there are several.
fn orders(worked: &Worked<'_>, words: &words::Words) -> Result<Vec<Finished>, Vec<Problem>> {
    let named = order::named(worked);
    let mut files = Vec::new();
    for (i, order) in named.iter().enumerate() {
        let name = if named.len() == 1 { "order".to_owned() } else { format!("order-{}", i + 1) };
        files.push(pdf(&name, &order::document(worked, words, order)?)?);
        files.push(Finished { name: format!("{name}.csv"), bytes: csv::of_order(order) });
    }
    Ok(files)
}
