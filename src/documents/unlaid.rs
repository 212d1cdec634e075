//! What can be said of documents without laying them on pages.
//!
//! Given a job, and whether all that was read of it can be printed; gives what its documents tell, read off their words
//! alone. That is enough where nothing but a picture could keep them from being made: the firm has no words and no fonts of
//! its own, every sign that was read is in every face, and the job is no larger than jobs are. A test holds that both ways
//! of looking find the same.

use super::told_length::rows;
use super::views::QuoteView;
use super::words::Words;
use super::{DocumentKind, Overrides, WholeJob, method, quote};
use crate::model::Problem;
use crate::pages::fonts::Fonts;
use crate::pages::{markdown, pictures};
use std::collections::BTreeSet;

/// Whether documents of a job in the program's own words are surely made but for a picture that cannot be shown. `read` is every
/// text that was read for it.
pub fn is_plain<'a>(worked: &WholeJob<'_>, overrides: &Overrides, read: impl IntoIterator<Item = &'a str>) -> bool {
    let own = !overrides.templates.is_empty() || !overrides.fonts.is_empty();
    !own && is_short(worked) && read.into_iter().all(is_printable)
}

/// Pieces and lines of a job whose documents have some 300 pages at most, of the 1,000 that are made.
const FEW: usize = 8_000;
const FEW_ROOFS: usize = 50;

/// Whether its documents are surely no longer than documents are: a piece takes a row at most, a roof some twenty pages.
fn is_short(worked: &WholeJob<'_>) -> bool {
    let laid = worked.take_off;
    rows(worked) <= FEW && laid.roofs.len() + laid.old_roofs.len() <= FEW_ROOFS
}

/// Whether a file holds nothing that might stand for a sign that no face has.
fn is_printable(text: &str) -> bool {
    // Behind a backslash YAML takes any sign by its number.
    text.len() <= LONG && !text.contains('\\') && Fonts::default().has_all(text)
}

/// A longer file is no job of one roof or of a few, bytes.
const LONG: usize = 1_000_000;

/// What a document of a plain job tells of, by the keys of works.
///
/// # Errors
/// A picture that cannot be shown.
pub fn told(kind: DocumentKind, worked: &WholeJob<'_>) -> Result<BTreeSet<String>, Vec<Problem>> {
    let words = Words::new(&Overrides::default())?;
    let (text, photos) = match kind {
        DocumentKind::Quote => {
            let view = QuoteView::of(worked);
            (words.fill("quote.md", &quote::vocabulary(&view, &words)?)?, worked.photos)
        }
        DocumentKind::Method => (method::text(worked, &words)?, [].as_slice()),
        // It promises to tell of no work; what is wrong with the logo is told with the other two.
        DocumentKind::Order => return Ok(BTreeSet::new()),
    };
    let unfit = pictures::unfit(worked.firm.logo.as_ref(), photos.iter().map(|photo| &photo.picture));
    match unfit.is_empty() {
        true => Ok(markdown::told(&text).map(str::to_owned).collect()),
        false => Err(unfit),
    }
}
