//! Turns bytes into text that is fit to be parsed.
//!
//! Given the bytes of one file; gives its text, or the one reason why it cannot be read. Nothing here looks at more
//! than [`LARGEST`] bytes: a file of 50 MB is refused by its length alone. Lines may end as any system ends them (YAML 1.2,
//! 5.4: CR, LF, or both).

use crate::model::{Problem, Whereabouts};
use std::borrow::Cow;

/// Deepest nesting of groups and lists.
pub(crate) const DEEPEST: usize = 32;
/// No job file, firm file or price book is larger than this, in bytes.
pub(crate) const LARGEST: usize = 1_000_000;

/// The text of a file.
///
/// # Errors
/// The one fault that makes it unreadable: too large, another kind of file, not UTF-8, a NUL or another control character, a tab in the
/// indentation, a mark of byte order within it, or nothing in it.
pub(crate) fn text(bytes: &[u8]) -> Result<String, Box<Problem>> {
    if bytes.len() > LARGEST {
        return Err(whole(
            "this file is larger than a file of this kind can be".to_owned(),
            format!("give a file of at most {} kB", LARGEST / 1000),
        ));
    }
    if let Some(what) = saved_as(bytes) {
        return Err(whole(
            format!("this file was saved as {what}"),
            "save it again from a text editor, as plain text with the encoding UTF-8".to_owned(),
        ));
    }
    // Each program that saves a file may put its mark in front of another's.
    let mut bytes = bytes;
    while let Some(rest) = bytes.strip_prefix(b"\xEF\xBB\xBF") {
        bytes = rest;
    }
    let text = std::str::from_utf8(bytes).map_err(|e| not_text(bytes, e.valid_up_to()))?;
    let text = line_ends(text);
    let text = text.as_ref();
    if let Some(at) = control_at(text) {
        return Err(control(text, at));
    }
    if let Some(at) = indenting_tab(text) {
        return Err(Box::new(Problem::fault(
            Whereabouts::of_byte(text, at),
            "there is a tab in the indentation",
            "indent with spaces, two for each step",
        )));
    }
    if let Some(at) = text.find("\n\u{feff}") {
        return Err(Box::new(Problem::fault(
            Whereabouts::of_byte(text, at + 1),
            "this line begins with a sign that no program shows (U+FEFF, a mark of byte order)",
            "delete the beginning of the line and type it anew; where files were put together, it stood first in one of them",
        )));
    }
    match text.lines().all(|l| l.trim().is_empty() || l.trim_start().starts_with('#')) {
        true => Err(whole("there is nothing in this file".into(), "write the settings into it".into())),
        false => Ok(text.to_owned()),
    }
}

/// The same text, byte for byte as long, in which no line ends with a CR alone.
fn line_ends(text: &str) -> Cow<'_, str> {
    if !text.contains('\r') {
        return text.into();
    }
    let mut letters = text.chars().peekable();
    let mut out = String::with_capacity(text.len());
    while let Some(c) = letters.next() {
        out.push(if c == '\r' && letters.peek() != Some(&'\n') { '\n' } else { c });
    }
    out.into()
}

/// What kind of file it is, where its first bytes say that it is not one of text in UTF-8: the mark of byte order of Unicode 15.0,
/// section 23.8, or UTF-16 without one, and what other formats begin with (from memory).
fn saved_as(bytes: &[u8]) -> Option<&'static str> {
    let pairs = bytes.get(..8).unwrap_or_default().chunks_exact(2);
    let in_pairs = |nul: usize| pairs.len() == 4 && pairs.clone().all(|pair| pair[nul] == 0 && pair[1 - nul] != 0);
    match bytes {
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => Some("UTF-16, which some editors call “Unicode”"),
        _ if in_pairs(0) || in_pairs(1) => Some("UTF-16, which some editors call “Unicode”"),
        _ if bytes.starts_with(b"{\\rtf") => Some("a document of a word processor (RTF)"),
        _ if bytes.starts_with(b"PK\x03\x04") => Some("a document of a word processor, or a packed folder"),
        _ if bytes.starts_with(b"\xD0\xCF\x11\xE0") => Some("a document of a word processor"),
        _ if bytes.starts_with(b"%PDF-") => Some("a PDF"),
        _ => None,
    }
}

fn whole(fault: String, cure: String) -> Box<Problem> {
    Box::new(Problem::fault(Whereabouts::WholeFile, fault, cure))
}

fn not_text(bytes: &[u8], valid: usize) -> Box<Problem> {
    let before = std::str::from_utf8(&bytes[..valid]).unwrap_or_default();
    Box::new(Problem::fault(
        Whereabouts::of_byte(before, valid),
        "this file is not UTF-8 text from here on",
        "save it again from a text editor with the encoding UTF-8",
    ))
}

/// Where the first control character stands that no text has. Those beyond ASCII begin with one byte, U+0080 to U+009F (C2).
fn control_at(text: &str) -> Option<usize> {
    let may_be = |byte: &u8| matches!(byte, 0..=8 | 11 | 12 | 14..=31 | 127 | 0xC2);
    let from = text.bytes().position(|byte| may_be(&byte))?;
    text[from..].find(|c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t')).map(|at| from + at)
}

fn control(text: &str, at: usize) -> Box<Problem> {
    let found = text[at..].chars().next().unwrap_or_default();
    let what = match found {
        '\0' => "a NUL character".to_owned(),
        c => format!("a control character (U+{:04X})", u32::from(c)),
    };
    Box::new(Problem::fault(Whereabouts::of_byte(text, at), format!("there is {what} here"), "take it out"))
}

/// Where a line that says something is indented with a tab. YAML readers blame the line above, so it is looked for
/// first.
fn indenting_tab(text: &str) -> Option<usize> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let indent = line.len() - line.trim_start_matches([' ', '\t']).len();
        if let Some(tab) = line[..indent].find('\t')
            && !line.trim().is_empty()
        {
            return Some(start + tab);
        }
        start += line.len();
    }
    None
}
