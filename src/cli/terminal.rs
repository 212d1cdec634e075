//! What reaches the terminal, and how: the one place that prints.
//!
//! Plain text when it is not a terminal or `NO_COLOR` is set. A reader that goes away (`| head`) is no fault.

use std::env;
use std::io::{self, IsTerminal, Write};

/// Prints to standard output.
pub(super) fn say(text: &str) {
    let mut out = io::stdout().lock();
    // A closed pipe is the reader's wish, not a fault.
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Writes bytes to standard output.
///
/// # Errors
/// What the system said.
pub(super) fn pour(bytes: &[u8]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)?;
    out.flush()
}

/// Prints to standard error.
pub(super) fn warn(text: &str) {
    let mut err = io::stderr().lock();
    let _ = err.write_all(text.as_bytes()).and_then(|()| err.flush());
}

/// Whether messages may be coloured.
pub(super) fn in_colour() -> bool {
    io::stderr().is_terminal() && env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
}

/// How far a long run has come, on one line of a terminal; silent elsewhere.
pub(super) struct Progress {
    total: usize,
    shown: bool,
}

impl Progress {
    /// Progress over so many jobs; shown from two jobs on, and only on a terminal.
    pub(super) fn over(total: usize) -> Progress {
        Progress { total, shown: total > 1 && io::stderr().is_terminal() }
    }

    /// So many are done.
    pub(super) fn at(&self, done: usize) {
        if self.shown {
            warn(&format!("\r{done} of {} jobs", self.total));
        }
    }

    /// Clears the line.
    pub(super) fn end(&self) {
        if self.shown {
            warn("\r\x1b[K");
        }
    }
}
