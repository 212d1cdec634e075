//! A signed paper that came back as a file, a quote or a variation order: which one it is, whether it is unaltered, and what it says.
//!
//! Given the file's bytes and what was issued to be signed; gives what was filled in and what speaks against it. Each page that
//! came back must show what a page of that paper shows; that some pages were kept at home speaks against nothing, for the
//! quote itself asks for the page with the signature alone.

use super::kept::{Frozen, IssuedVariation, Quoted, unread};
use super::manifest::BoxToTick;
use crate::cli::work::Stopped;
use crate::documents::wording;
use crate::model::limits;
use crate::model::written_day::written_day;
use crate::pdf::returned::{self, FieldAnswer, ReturnedField, ReturnedPage, ReturnedPdf};
use std::borrow::Cow;
use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use time::Date;

/// By how much a field may have moved, pt: programs round.
const ROUNDED: f32 = 1.0;

/// A kind of paper that is issued to be signed.
#[derive(Debug)]
struct KindToSign {
    /// What it is called.
    word: &'static str,
    /// Its file in the frozen folder.
    file: &'static str,
    /// The fields in which the customer's name and the day stand.
    name: &'static str,
    date: &'static str,
    /// How it is recorded by hand.
    by_hand: &'static str,
}

const QUOTE: KindToSign = KindToSign {
    word: "quote",
    file: "quote.pdf",
    name: "Acceptance: Name",
    date: "Acceptance: Date",
    by_hand: "look at it with your own eyes, and record what it says with `--options`, `--on` and `--name`",
};
const VARIATION: KindToSign = KindToSign {
    word: "variation order",
    file: "variation.pdf",
    name: "Agreed: Name",
    date: "Agreed: Date",
    by_hand: "look at it with your own eyes, and record what it says with `--agreed`, `--on` and `--name`",
};

/// A paper that was issued to be signed.
#[derive(Debug, Clone)]
pub(crate) struct ToSign<'a> {
    at: &'a Frozen,
    kind: &'static KindToSign,
    /// The digests of its pages.
    pages: Cow<'a, [String]>,
    /// The boxes by which something is chosen.
    boxes: &'a [BoxToTick],
}

impl<'a> ToSign<'a> {
    /// A quote.
    pub(crate) fn quote(quote: Quoted<'a>) -> ToSign<'a> {
        ToSign { at: quote.at, kind: &QUOTE, pages: Cow::Borrowed(&quote.paper.pages), boxes: &quote.paper.boxes }
    }

    /// A variation order; its pages are those of its file, which is looked at by whoever takes the answer.
    ///
    /// # Errors
    /// What cannot be read any more.
    pub(crate) fn variation(varied: IssuedVariation<'a>) -> Result<ToSign<'a>, Stopped> {
        let place = varied.at.folder.join(VARIATION.file);
        let bytes = fs::read(&place).map_err(|error| unread(&place, &error))?;
        let read = returned::read(&bytes)
            .map_err(|(fault, _)| Stopped::Usage(format!("{} is not as it was issued: {fault}", place.display())))?;
        let pages = read.pages.into_iter().map(|page| page.digest).collect();
        Ok(ToSign { at: varied.at, kind: &VARIATION, pages: Cow::Owned(pages), boxes: &[] })
    }
}

/// As much of a file as is ever read.
///
/// # Errors
/// What cannot be read.
pub(crate) fn bytes_of(path: &Path) -> Result<Vec<u8>, Stopped> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(limits::RETURNED.most as u64 * 1_000_000 + 1).read_to_end(&mut bytes))
        .map_err(|error| unread(path, &error))?;
    Ok(bytes)
}

/// What a returned file says.
#[derive(Debug, Clone)]
pub(crate) struct SaidInFile {
    /// Which of the papers it is, from 0.
    pub(crate) which: usize,
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

/// Reads a returned file and holds it against what was issued, the newest first.
///
/// # Errors
/// Why it is not read, and what to do instead.
pub(crate) fn read(bytes: &[u8], papers: &[ToSign<'_>]) -> Result<SaidInFile, String> {
    let Some(kind) = papers.first().map(|paper| paper.kind) else {
        return Err("nothing of this job was issued yet that could be signed: issue it first".into());
    };
    let told = |(fault, _): returned::NotTaken| format!("{fault}; {}", kind.by_hand);
    let came = returned::read(bytes).map_err(told)?;
    let all = papers.iter().enumerate().rev().map(|(n, paper)| (matched(&came.pages, &paper.pages), n));
    let best = all.max_by_key(|(pages, _)| pages.iter().flatten().count());
    let (pages, which) = best.unwrap_or_default();
    let paper = &papers[which];
    let place = paper.at.folder.join(kind.file);
    let ours = fs::read(&place).map_err(|error| format!("{} cannot be read: {error}", place.display()))?;
    let mut said = SaidInFile {
        which,
        chosen: Vec::new(),
        consents: Vec::new(),
        name: None,
        day: None,
        written: Vec::new(),
        stored: stored(bytes, &ours, came.pages.len(), paper.pages.len()),
        against: Vec::new(),
    };
    let ours = returned::read(&ours).map_err(told)?;
    if came.fields.is_empty() {
        return Err(format!("{}; {}", without_fields(&came, &ours, &pages), kind.by_hand));
    }
    altered(&mut said, &came, &ours, (&pages, kind))?;
    take_fields(&mut said, &came, &ours, paper)?;
    Ok(said)
}

impl SaidInFile {
    /// The day on which it was signed: as it was typed, else as it is written in the file.
    ///
    /// # Errors
    /// None can be read.
    pub(crate) fn signed_on(&self, typed: Option<Date>) -> Result<Date, String> {
        match (typed, &self.day) {
            (Some(on), _) => Ok(on),
            (None, Some(words)) => written_day(words)
                .ok_or_else(|| format!("its date, “{words}”, is not a day that can be read; say it with `--on`")),
            (None, None) => self.last_signed_on(),
        }
    }

    /// The day on which the last of several signed.
    fn last_signed_on(&self) -> Result<Date, String> {
        let day = |(signer, words): (&str, &str)| {
            let unread =
                || format!("the date of {signer}, “{words}”, is not a day that can be read; say it with `--on`");
            written_day(words).ok_or_else(unread)
        };
        let days = self.dated().map(day).collect::<Result<Vec<_>, _>>()?;
        match days.into_iter().max() {
            Some(last) => Ok(last),
            None => Err("no date is written in it; say on which day it was signed with `--on`".into()),
        }
    }

    /// Who of several has written a day beside the signature, and what.
    fn dated(&self) -> impl Iterator<Item = (&str, &str)> {
        self.written.iter().filter_map(|(field, words)| Some((field.split_once(SIGNED_ON)?.1, words.as_str())))
    }

    /// Who has signed it: as it was typed, else as it is written in the file: one by his name, each of several by the day beside
    /// the signature.
    ///
    /// # Errors
    /// Nobody is named.
    pub(crate) fn signed_by(&self, typed: &[String], signers: &[String], who: &str) -> Result<Vec<String>, String> {
        let typed = named(typed);
        if !typed.is_empty() {
            return Ok(typed);
        }
        let has_dated = |name: &&String| self.dated().any(|(signer, _)| signer == name.as_str());
        let dated: Vec<String> = signers.iter().filter(has_dated).cloned().collect();
        match (&self.name, dated.is_empty()) {
            (_, false) => Ok(dated),
            (Some(name), true) => Ok(vec![name.clone()]),
            (None, true) => Err(format!("nobody's name is written in it; say who {who} with `--name`")),
        }
    }

    /// What else was written, a line each.
    pub(crate) fn told(&self) -> String {
        self.written.iter().map(|(field, words)| format!("  {field}: {words}\n")).collect()
    }
}

/// What stands before the name in the field in which one of several dates the signature.
const SIGNED_ON: &str = ": Date, ";

/// The names that were typed, without what is blank.
pub(crate) fn named(typed: &[String]) -> Vec<String> {
    typed.iter().map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()).collect()
}

/// What speaks against an answer that fewer have signed than must: each owes the whole of the price.
pub(crate) fn unsigned(signers: &[String], named: &[String]) -> Option<String> {
    (named.len() < signers.len()).then(|| {
        format!(
            "{} sign it, and {} alone {} named: name each who has signed with a `--name` of their own",
            wording::list(signers),
            wording::list(named),
            if named.len() == 1 { "is" } else { "are" }
        )
    })
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
fn without_fields(came: &ReturnedPdf, ours: &ReturnedPdf, pages: &[Option<usize>]) -> &'static str {
    let pressed = came.pages.iter().enumerate().filter(|(n, _)| pages[*n].is_none());
    let pressed: Vec<bool> =
        pressed.map(|(_, page)| ours.pages.iter().any(|our| is_within(&our.marks, &page.marks))).collect();
    match () {
        () if pages.iter().all(Option::is_some) => "its pages are ours, and its fields were taken out of it",
        () if pressed.iter().all(|yes| *yes) => {
            "its fields were pressed into its pages: what we wrote still stands there, and what was filled in is only drawn"
        }
        () => "it is no file of ours, or a scan or photograph of one",
    }
}

fn is_within(part: &[u8], whole: &[u8]) -> bool {
    let part = part.trim_ascii();
    !part.is_empty() && whole.windows(part.len()).any(|w| w == part)
}

/// What was altered: pages, notes over them, fields that are not ours or stand elsewhere.
fn altered(
    said: &mut SaidInFile,
    came: &ReturnedPdf,
    ours: &ReturnedPdf,
    (pages, kind): (&[Option<usize>], &KindToSign),
) -> Result<(), String> {
    let strange: Vec<usize> = (0..pages.len()).filter(|n| pages[*n].is_none()).collect();
    if strange.len() == pages.len() {
        return Err(format!("none of its pages is a page of a {} that was issued for this job", kind.word));
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
fn take_fields(
    said: &mut SaidInFile,
    came: &ReturnedPdf,
    ours: &ReturnedPdf,
    &ToSign { kind, boxes, .. }: &ToSign<'_>,
) -> Result<(), String> {
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
                name if name == kind.name => said.name = Some(words.trim().to_owned()),
                name if name == kind.date => said.day = Some(words.trim().to_owned()),
                _ => said.written.push((our.label.clone(), words.trim().to_owned())),
            },
        }
    }
    said.chosen.sort_unstable();
    Ok(())
}
