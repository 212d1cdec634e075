//! Turns bytes into text that is fit to be parsed.
//!
//! Given the bytes of one file; gives its text, or the one reason why it cannot be read. Nothing here looks at more
//! than [`LARGEST`] bytes: a file of 50 MB is refused by its length alone. Lines may end as any system ends them (YAML 1.2,
//! 5.4: CR, LF, or both).

use crate::model::{Problem, Whereabouts};

/// No job file, firm file or price book is larger than this, in bytes.
pub(crate) const LARGEST: usize = 1_000_000;

/// The text of a file.
///
/// # Errors
/// The one fault that makes it unreadable: too large, not UTF-8, a NUL or another control character, a tab in the
/// indentation, a mark of byte order within it, or nothing in it.
pub(crate) fn text(bytes: &[u8]) -> Result<String, Box<Problem>> {
    if bytes.len() > LARGEST {
        return Err(whole(
            "this file is larger than a file of this kind can be".to_owned(),
            format!("give a file of at most {} kB", LARGEST / 1000),
        ));
    }
    // Each program that saves a file may put its mark in front of another's.
    let mut bytes = bytes;
    while let Some(rest) = bytes.strip_prefix(b"\xEF\xBB\xBF") {
        bytes = rest;
    }
    let text = std::str::from_utf8(bytes).map_err(|e| not_text(bytes, e.valid_up_to()))?;
    let text = &line_ends(text);
    if let Some(at) = text.find(|c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t')) {
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
fn line_ends(text: &str) -> String {
    let mut letters = text.chars().peekable();
    let mut out = String::with_capacity(text.len());
    while let Some(c) = letters.next() {
        out.push(if c == '\r' && letters.peek() != Some(&'\n') { '\n' } else { c });
    }
    out
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
