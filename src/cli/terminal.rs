//! What reaches the terminal, and how: the one place that prints.
//!
//! Plain text when it is not a terminal or `NO_COLOR` is set. A reader that goes away (`| head`) is no fault; whatever else
//! keeps words from arriving is told. What a file or its name holds cannot steer the terminal.

use super::arguments::Loudness;
use std::borrow::Cow;
use std::env;
use std::io::{self, IsTerminal, Write};
use std::sync::OnceLock;

/// How much is told, once the arguments are read; as usual before.
static LOUDNESS: OnceLock<Loudness> = OnceLock::new();

/// Sets how much is told, once for the run.
pub(super) fn be(loudness: Loudness) {
    LOUDNESS.get_or_init(|| loudness);
}

fn is_quiet() -> bool {
    LOUDNESS.get().is_some_and(|l| l.quiet)
}

/// Whether all that was noticed is to be told.
pub(super) fn is_verbose() -> bool {
    LOUDNESS.get().is_some_and(|l| l.verbose)
}

/// Prints to standard output what was done, unless nothing of it is to be told.
///
/// # Errors
/// As [`say`].
pub(super) fn note(text: &str) -> io::Result<()> {
    if is_quiet() { Ok(()) } else { say(text) }
}

/// Prints to standard error what should be known, unless nothing of it is to be told.
///
/// # Errors
/// As [`say`].
pub(super) fn remark(text: &str) -> io::Result<()> {
    if is_quiet() { Ok(()) } else { warn(text) }
}

/// Prints to standard output.
///
/// # Errors
/// What the system said, unless the reader has gone.
pub(super) fn say(text: &str) -> io::Result<()> {
    sent(io::stdout().lock(), harmless(text, out_in_colour()).as_bytes())
}

/// Prints to standard output; gives whether anybody still reads it.
///
/// # Errors
/// As [`say`].
pub(super) fn heard(text: &str) -> io::Result<bool> {
    let text = harmless(text, out_in_colour());
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(false),
        done => done.map(|()| true),
    }
}

/// How many signs stand on a line: of a terminal as it says, else as the environment says (`COLUMNS`). Elsewhere lines have no end.
pub(super) fn width() -> Option<usize> {
    let said = env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let asked = || terminal_size::terminal_size_of(io::stdout()).map(|(width, _)| usize::from(width.0));
    said.or_else(asked).filter(|width| *width > 0)
}

/// Begins anew at the top of the screen; nothing where there is none.
///
/// # Errors
/// As [`say`].
pub(super) fn begin_page() -> io::Result<()> {
    let screen = io::stdout().is_terminal() && env::var_os("TERM").is_none_or(|term| term != "dumb");
    // ECMA-48: all of the page is erased, the cursor goes to its first line.
    if screen { pour(b"\x1b[2J\x1b[H") } else { Ok(()) }
}

/// Writes bytes to standard output.
///
/// # Errors
/// As [`say`].
pub(super) fn pour(bytes: &[u8]) -> io::Result<()> {
    sent(io::stdout().lock(), bytes)
}

/// Prints to standard error.
///
/// # Errors
/// As [`say`].
pub(super) fn warn(text: &str) -> io::Result<()> {
    sent(io::stderr().lock(), harmless(text, in_colour()).as_bytes())
}

/// Prints help, the version, or what is wrong with what was typed, whose words are those of whoever typed them.
///
/// # Errors
/// As [`say`].
pub(super) fn tell_of_arguments(words: &clap::Error) -> io::Result<()> {
    let wrong = words.use_stderr();
    let coloured = if wrong { in_colour() } else { out_in_colour() };
    let words = words.render();
    let text = if coloured { words.ansi().to_string() } else { words.to_string() };
    if wrong { warn(&text) } else { say(&text) }
}

fn sent(mut out: impl Write, bytes: &[u8]) -> io::Result<()> {
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        done => done,
    }
}

/// A text that no terminal obeys: signs that steer one, and those that turn the order of letters round, are shown as what
/// they are. Only colours pass, where colours are wanted.
fn harmless(text: &str, coloured: bool) -> Cow<'_, str> {
    if !text.contains(steers) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(steers) {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        let colour = if coloured { colour(rest) } else { 0 };
        if colour > 0 {
            out.push_str(&rest[..colour]);
            rest = &rest[colour..];
            continue;
        }
        let mut letters = rest.chars();
        if let Some(sign) = letters.next() {
            out.extend(sign.escape_unicode());
        }
        rest = letters.as_str();
    }
    out.push_str(rest);
    out.into()
}

fn steers(c: char) -> bool {
    c.is_control() && !matches!(c, '\n' | '\t') || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The length of the colour (ECMA-48, 8.3.117: SGR) with which a text begins; 0 where it begins with none.
fn colour(text: &str) -> usize {
    let Some(rest) = text.strip_prefix("\x1b[") else { return 0 };
    let figures = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';').len();
    if rest[figures..].starts_with('m') { 2 + figures + 1 } else { 0 }
}

/// Whether what goes to standard output may be coloured.
pub(super) fn out_in_colour() -> bool {
    wanted(&io::stdout())
}

/// Whether messages may be coloured.
pub(super) fn in_colour() -> bool {
    wanted(&io::stderr())
}

fn wanted(stream: &impl IsTerminal) -> bool {
    stream.is_terminal() && env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
}

/// How far a long run has come, on one line of a terminal; silent elsewhere.
pub(super) struct Progress {
    total: usize,
    shown: bool,
}

impl Progress {
    /// Progress over so many jobs; shown from two jobs on, and only on a terminal.
    pub(super) fn over(total: usize) -> Progress {
        Progress { total, shown: total > 1 && io::stderr().is_terminal() && !is_quiet() }
    }

    /// So many are done.
    pub(super) fn at(&self, done: usize) {
        if self.shown {
            line(&format!("\r{done} of {} jobs", self.total));
        }
    }

    /// Clears the line.
    pub(super) fn end(&self) {
        if self.shown {
            line("\r\x1b[K");
        }
    }
}

/// Words that come and go: nobody misses them who does not see them.
fn line(text: &str) {
    let _ = sent(io::stderr().lock(), text.as_bytes());
}
