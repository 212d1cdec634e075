//! A signed quote that came back as a file: which revision it is, whether it is unaltered, and what it says.
//!
//! Given the file's bytes and the quotes that were issued; gives what was filled in and what speaks against it. Each page that
//! came back must show what a page of that revision shows; that some pages were kept at home speaks against nothing, for the
//! quote itself asks for the page with the signature alone.

use super::kept::Quoted;
use crate::pdf::returned::{self, FieldAnswer, ReturnedField, ReturnedPage, ReturnedPdf};
use std::fs;

/// The fields in which the customer's name and the day stand.
const NAME: &str = "Acceptance: Name";
const DATE: &str = "Acceptance: Date";
/// By how much a field may have moved, pt: programs round.
const ROUNDED: f32 = 1.0;

/// What a returned file says.
#[derive(Debug, Clone)]
pub(crate) struct SaidInFile<'a> {
    /// The revision that it is.
    pub(crate) quote: Quoted<'a>,
    /// The boxes that are ticked by which something is chosen, by their places from 0.
    pub(crate) chosen: Vec<usize>,
    /// The words of further boxes that are ticked.
    pub(crate) consents: Vec<String>,
    /// The customer's name.
    pub(crate) name: Option<String>,
    /// The day, as it was written.
    pub(crate) day: Option<String>,
    /// Everything else that was written: the field and the words.
    pub(crate) written: Vec<(String, String)>,
    /// How the file came to be filled in.
    pub(crate) stored: String,
    /// What speaks against it.
    pub(crate) against: Vec<String>,
}

/// Reads a returned file and holds it against the quotes that were issued, the newest first.
///
/// # Errors
/// Why it is not read, and what to do instead.
pub(crate) fn read<'a>(bytes: &[u8], quotes: &[Quoted<'a>]) -> Result<SaidInFile<'a>, String> {
    let told = |(fault, cure): returned::NotTaken| format!("{fault}; {cure}");
    let came = returned::read(bytes).map_err(told)?;
    let best = quotes.iter().rev().map(|quote| (matched(&came.pages, &quote.paper.pages), quote));
    let best = best.max_by_key(|(pages, _)| pages.iter().flatten().count());
    let Some((pages, &quote)) = best else { return Err("no quote of this job was issued yet: issue it first".into()) };
    let place = quote.at.folder.join("quote.pdf");
    let ours = fs::read(&place).map_err(|error| format!("{} cannot be read: {error}", place.display()))?;
    let mut said = SaidInFile {
        quote,
        chosen: Vec::new(),
        consents: Vec::new(),
        name: None,
        day: None,
        written: Vec::new(),
        stored: stored(bytes, &ours, came.pages.len(), quote.paper.pages.len()),
        against: Vec::new(),
    };
    let ours = returned::read(&ours).map_err(told)?;
    if came.fields.is_empty() {
        return Err(without_fields(&came, &ours, &pages));
    }
    altered(&mut said, &came, &ours, &pages)?;
    take_fields(&mut said, &came, &ours)?;
    Ok(said)
}

/// Which page of ours each page that came back is; `None` where it is none. Pages come back in their order.
fn matched(came: &[ReturnedPage], ours: &[String]) -> Vec<Option<usize>> {
    let mut from = 0;
    let mut one = |page: &ReturnedPage| {
        let at = ours.iter().skip(from).position(|digest| *digest == page.digest)? + from;
        from = at + 1;
        Some(at)
    };
    came.iter().map(&mut one).collect()
}

fn stored(bytes: &[u8], ours: &[u8], came: usize, of: usize) -> String {
    let how = match () {
        () if bytes == ours => "the very file that was issued",
        () if bytes.starts_with(ours) => "the file that was issued, with what was filled in added behind it",
        () => "stored anew by another program",
    };
    if came == of { how.to_owned() } else { format!("{how}; {came} of its {of} pages came back") }
}

/// Why nothing can be read where there is nothing to fill in any more.
fn without_fields(came: &ReturnedPdf, ours: &ReturnedPdf, pages: &[Option<usize>]) -> String {
    let pressed = came.pages.iter().enumerate().filter(|(n, _)| pages[*n].is_none());
    let pressed: Vec<bool> =
        pressed.map(|(_, page)| ours.pages.iter().any(|our| is_within(&our.marks, &page.marks))).collect();
    let what = match () {
        () if pages.iter().all(Option::is_some) => "its pages are ours, and its fields were taken out of it",
        () if pressed.iter().all(|yes| *yes) => {
            "its fields were pressed into its pages: what we wrote still stands there, and what was filled in is only drawn"
        }
        () => "it is no file of ours, or a scan or photograph of one",
    };
    format!("{what}; look at it with your own eyes, and record what it says with `--options`, `--on` and `--name`")
}

fn is_within(part: &[u8], whole: &[u8]) -> bool {
    let part = part.trim_ascii();
    !part.is_empty() && whole.windows(part.len()).any(|w| w == part)
}

/// What was altered: pages, notes over them, fields that are not ours or stand elsewhere.
fn altered(
    said: &mut SaidInFile<'_>,
    came: &ReturnedPdf,
    ours: &ReturnedPdf,
    pages: &[Option<usize>],
) -> Result<(), String> {
    let strange: Vec<usize> = (0..pages.len()).filter(|n| pages[*n].is_none()).collect();
    if strange.len() == pages.len() {
        return Err("none of its pages is a page of a quote that was issued for this job".into());
    }
    for n in strange {
        let added = ours.pages.iter().any(|our| is_within(&our.marks, &came.pages[n].marks));
        let what = if added { "has more on it than what was issued" } else { "is not as it was issued" };
        said.against.push(format!("page {} of the file {what}", n + 1));
    }
    let signed: Vec<usize> = ours.fields.iter().map(|field| field.page).collect();
    for (n, page) in came.pages.iter().enumerate() {
        // Where one signs, what is drawn by hand may be the signature; words and stamps are not.
        let signing = pages[n].is_some_and(|at| signed.contains(&at));
        let drawn = |note: &String| matches!(note.as_str(), "Ink" | "Line" | "PolyLine");
        if page.notes.iter().all(|note| signing && drawn(note)) {
            continue;
        }
        said.against.push(format!("something was laid over page {}: {}", n + 1, page.notes.join(", ")));
    }
    for field in &came.fields {
        match ours.fields.iter().find(|our| our.name == field.name) {
            None => said.against.push(format!("`{}` is a field that was not in what was issued", field.name)),
            Some(our) if !stands_there(field, our, pages) => {
                said.against.push(format!("the field `{}` does not stand where it stood", field.name));
            }
            Some(_) => {}
        }
    }
    Ok(())
}

fn stands_there(field: &ReturnedField, our: &ReturnedField, pages: &[Option<usize>]) -> bool {
    let near = field.area.iter().zip(our.area).all(|(a, b)| (a - b).abs() <= ROUNDED);
    near && pages.get(field.page).copied().flatten().is_none_or(|at| at == our.page)
}

/// Takes what was filled in. What a box says is read in what was issued, never in what came back.
fn take_fields(said: &mut SaidInFile<'_>, came: &ReturnedPdf, ours: &ReturnedPdf) -> Result<(), String> {
    let boxes = &said.quote.paper.boxes;
    for our in &ours.fields {
        let Some(field) = came.fields.iter().find(|field| field.name == our.name) else { continue };
        match &field.answer {
            FieldAnswer::Contradictory => {
                return Err(format!(
                    "the box “{}” is ticked by its value and not by its look, or the other way round; ask the customer which \
                     is meant",
                    our.label
                ));
            }
            FieldAnswer::Tick(true) => match boxes.iter().position(|b| b.field.as_deref() == Some(&our.name)) {
                Some(n) => said.chosen.push(n),
                None => said.consents.push(our.label.clone()),
            },
            FieldAnswer::Tick(false) => {}
            FieldAnswer::Text(words) if words.trim().is_empty() => {}
            FieldAnswer::Text(words) => match our.name.as_str() {
                NAME => said.name = Some(words.trim().to_owned()),
                DATE => said.day = Some(words.trim().to_owned()),
                _ => said.written.push((our.label.clone(), words.trim().to_owned())),
            },
        }
    }
    said.chosen.sort_unstable();
    Ok(())
}
