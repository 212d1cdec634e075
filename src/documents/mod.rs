//! The three documents: words, tables, drawings and pages, down to the bytes of a PDF.
//!
//! Given finished values (take-off, programme, price); gives PDF files and the order's CSV. Computes no quantity and
//! no price. `templates → Markdown → blocks → placed pages → PDF`; `pages` sets them and `pdf` writes them.

pub mod account;
pub mod box_gutters;
pub mod built_edges;
pub mod cells;
pub mod csv;
pub mod drawings;
pub mod drawn;
pub mod edge_words;
pub mod findings;
mod guarantee;
pub mod handover;
pub mod invoice;
mod kerb_goods;
pub mod left_out;
pub mod letterhead;
pub mod mail_text;
pub mod method;
pub mod offers;
mod old_roof_words;
pub mod opening_words;
pub mod order;
mod overrides;
pub mod paid_back;
pub mod private;
pub mod quote;
mod quote_foot;
pub mod receipt;
pub mod said;
pub mod said_once;
pub mod site_words;
pub mod standing;
mod template_signs;
pub mod told;
mod told_length;
pub mod ubl;
pub mod ubl_invoice;
pub mod unlaid;
pub mod variation;
pub mod views;
pub mod whole_job;
pub mod wording;
pub mod words;

pub use overrides::Overrides;
pub use standing::IssueStanding;
pub use whole_job::WholeJob;

use crate::model::{Problem, hands};
use crate::pages::fonts::Fonts;
use crate::pages::page::Paper;
use crate::pages::{block, fitting, listing, own_fonts};
use crate::pdf;
use crate::programme::Day;
use std::collections::{BTreeMap, BTreeSet};
use std::thread;
use views::{OrderView, QuoteView};
use words::Words;

/// Which document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DocumentKind {
    /// To the householder.
    Quote,
    /// To the merchant.
    Order,
    /// To the site.
    Method,
}

impl DocumentKind {
    /// Whether a file of this name is one that this kind of document gives, with one merchant or with several.
    pub fn gives(self, name: &str) -> bool {
        let order = || {
            let stem = [".pdf", ".csv", ".xml"].iter().find_map(|ending| name.strip_suffix(ending));
            let number = stem.and_then(|stem| stem.strip_prefix("order"));
            let counted =
                |n: &str| n.strip_prefix('-').is_some_and(|n| n.parse::<u16>().is_ok_and(|m| m.to_string() == n));
            number.is_some_and(|n| n.is_empty() || counted(n))
        };
        match self {
            DocumentKind::Quote => name == "quote.pdf",
            DocumentKind::Order => order(),
            DocumentKind::Method => name == "method.pdf",
        }
    }
}

/// Does the same for each kind of document, on two threads where they are free; results in the order of the kinds.
pub fn side_by_side<T: Send>(kinds: &[DocumentKind], work: impl Fn(DocumentKind) -> T + Sync) -> Vec<T> {
    // The last document is the longest: it is made here, the others on one thread beside it.
    if !hands::are_free() {
        return kinds.iter().map(|&kind| work(kind)).collect();
    }
    let (before, last) = kinds.split_at(kinds.len().saturating_sub(1));
    let of = |kinds: &[DocumentKind]| kinds.iter().map(|&kind| work(kind)).collect::<Vec<_>>();
    thread::scope(|scope| {
        let aside = (!before.is_empty()).then(|| scope.spawn(|| of(before)));
        let here = of(last);
        let mut made = aside.map(|t| t.join().expect("a document never panics")).unwrap_or_default();
        made.extend(here);
        made
    })
}

/// A finished file: its name and its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finished {
    /// File name: `quote.pdf`, `order.pdf`, `order.csv`, `method.pdf`.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The firm's words and fonts, or what stands in for them, with every problem of either.
fn words_and_fonts(own: &Overrides) -> Result<(Words, Fonts), Vec<Problem>> {
    match (Words::new(own), own_fonts::fonts(&own.fonts, own.templates.len())) {
        (Ok(words), Ok(fonts)) => Ok((words.set_in(fonts), fonts)),
        (words, fonts) => Err(words.err().into_iter().chain(fonts.err()).flatten().collect()),
    }
}

/// Finished files of one kind, and what the firm's own words leave out of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MadeDocuments {
    /// The files.
    pub files: Vec<Finished>,
    /// A warning for what is left out.
    pub left_out: Vec<Problem>,
}

/// Makes one document (an order also gives its CSV; several merchants give several orders).
///
/// # Errors
/// A character that no font has, a picture that cannot be read, an unknown name in a template: all at once, before
/// anything is written.
pub fn make(kind: DocumentKind, worked: &WholeJob<'_>, overrides: &Overrides) -> Result<Vec<Finished>, Vec<Problem>> {
    Ok(make_and_look(kind, worked, overrides)?.files)
}

/// The same, and looks in the words that it was filled with for what the firm's own leave out.
///
/// # Errors
/// As [`make`].
pub fn make_and_look(
    kind: DocumentKind,
    worked: &WholeJob<'_>,
    overrides: &Overrides,
) -> Result<MadeDocuments, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    let made = documents(kind, worked, &words)?;
    let left_out = left_out::by_own_words(kind, worked, overrides, &made);
    let mut files = Vec::new();
    for (name, document, csv) in made {
        files.push(Finished { name: format!("{name}.pdf"), bytes: pdf::print_in(fonts, &document)? });
        files.extend(csv.map(|bytes| Finished { name: format!("{name}.csv"), bytes }));
    }
    Ok(MadeDocuments { files, left_out })
}

/// The orders in a form that a merchant's computer carries out, beside their PDFs; `None` where they are held, which no computer
/// would heed.
pub fn orders_for_computers(worked: &WholeJob<'_>) -> Option<Vec<Finished>> {
    let orders = OrderView::all(worked);
    if orders.iter().any(OrderView::held) {
        return None;
    }
    let name = |n: usize| if orders.len() == 1 { "order.xml".to_owned() } else { format!("order-{n}.xml") };
    Some(orders.iter().zip(1..).map(|(o, n)| Finished { name: name(n), bytes: ubl::of_order(o) }).collect())
}

/// Looks for everything that would keep documents from being made, without making them; gives a warning for what the firm's own
/// words leave out of them, and for each work that they should tell of and do not. `read` is every text that was read for the job.
///
/// # Errors
/// As [`make`]; those of each kind by themselves.
pub fn check<'a>(
    kinds: &[DocumentKind],
    worked: &WholeJob<'_>,
    overrides: &Overrides,
    read: impl IntoIterator<Item = &'a str>,
) -> Vec<Result<Vec<Problem>, Vec<Problem>>> {
    let plain = unlaid::is_plain(worked, overrides, read);
    side_by_side(kinds, |kind| {
        let (told, mut found): (BTreeSet<String>, Vec<Problem>) = match plain {
            true => (unlaid::told(kind, worked)?, Vec::new()),
            false => {
                let (told, left_out) = told_on(kind, worked, overrides, fitting::lay_out_in)?;
                (told.into_keys().collect(), left_out)
            }
        };
        found.extend(told::untold(kind, &worked.take_off.works, &told));
        Ok(found)
    })
}

/// What a document tells of, by the keys of works, each with the page on which it is first told. Of its photographs no more is
/// read than their sizes.
///
/// # Errors
/// As [`make`].
pub fn told(
    kind: DocumentKind,
    worked: &WholeJob<'_>,
    overrides: &Overrides,
) -> Result<BTreeMap<String, usize>, Vec<Problem>> {
    told_on(kind, worked, overrides, fitting::lay_out_sizes).map(|(told, _)| told)
}

/// On which page each work is told, by its name.
type ToldOn = BTreeMap<String, usize>;

/// The same on pages that are laid out so; and what the firm's own words leave out.
fn told_on(
    kind: DocumentKind,
    worked: &WholeJob<'_>,
    overrides: &Overrides,
    laid_out: fn(Fonts, &block::Document) -> Result<Paper, Vec<Problem>>,
) -> Result<(ToldOn, Vec<Problem>), Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    let made = documents(kind, worked, &words)?;
    let mut pages = BTreeMap::new();
    for (_, document, _) in &made {
        let paper = laid_out(fonts, document)?;
        pages.extend(paper.told().into_iter().map(|(name, page)| (name.to_owned(), page)));
    }
    Ok((pages, left_out::by_own_words(kind, worked, overrides, &made)))
}

/// The placed pages of a document as text, for reading and for tests: one document after the other where several
/// merchants give several orders.
///
/// # Errors
/// As [`make`].
pub fn describe(kind: DocumentKind, worked: &WholeJob<'_>, overrides: &Overrides) -> Result<String, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    let made = documents(kind, worked, &words)?;
    made.iter().map(|(_, d, _)| Ok(listing::describe(&fitting::lay_out_in(fonts, d)?))).collect()
}

/// A part of the method statement, or the card of a day, as a file of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SiteSheet<'a> {
    /// The crew's set: `method-crew.pdf`.
    Crew,
    /// The office's part: `method-office.pdf`.
    Office,
    /// The card of a day of the programme: `day-2.pdf`.
    Day(&'a Day),
}

/// Makes a part of the method statement, or the card of a day.
///
/// # Errors
/// As [`make`].
pub fn make_site_sheet(
    sheet: SiteSheet<'_>,
    worked: &WholeJob<'_>,
    overrides: &Overrides,
) -> Result<Finished, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    let (name, document) = match sheet {
        SiteSheet::Crew => ("method-crew.pdf".into(), method::part(method::MethodPart::Crew, worked, &words)?),
        SiteSheet::Office => ("method-office.pdf".into(), method::part(method::MethodPart::Office, worked, &words)?),
        SiteSheet::Day(day) => (format!("day-{}.pdf", day.number), method::day_card::document(day, worked, &words)?),
    };
    Ok(Finished { name, bytes: pdf::print_in(fonts, &document)? })
}

/// A document with its file's name, and its CSV where it has one.
type NamedDocument = (String, block::Document, Option<Vec<u8>>);

/// The documents of a kind: an order for each merchant; their names are numbered where there are several.
fn documents(kind: DocumentKind, worked: &WholeJob<'_>, words: &Words) -> Result<Vec<NamedDocument>, Vec<Problem>> {
    match kind {
        DocumentKind::Quote => Ok(vec![("quote".into(), quote::document(&QuoteView::of(worked), words)?, None)]),
        DocumentKind::Method => Ok(vec![("method".into(), method::document(worked, words)?, None)]),
        DocumentKind::Order => {
            let orders = OrderView::all(worked);
            let name = |i: usize| if orders.len() == 1 { "order".to_owned() } else { format!("order-{}", i + 1) };
            let one =
                |(i, o): (usize, &OrderView<'_>)| Ok((name(i), order::document(o, words)?, Some(csv::of_order(o))));
            orders.iter().enumerate().map(one).collect()
        }
    }
}
