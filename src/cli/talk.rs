//! A talk at the terminal: one question, one line, each answer kept at once.
//!
//! Given something that asks; reads lines from standard input until all is asked or nothing more comes. What was broken off lies
//! in the folder and goes on where it stopped.

use super::terminal;
use super::work::Stopped;
use crate::records;
use crate::survey::Talk;
use std::io::{self, BufRead, IsTerminal};
use std::path::Path;

/// The longest line that is read, in bytes.
const LONGEST: u64 = 20_000;

/// Whether somebody sits at a terminal who can be asked.
pub(super) fn is_answered() -> bool {
    io::stdin().is_terminal()
}

/// Leads a talk; gives whether it came to its end. What is answered is kept in a file of that name.
///
/// # Errors
/// What cannot be read or kept.
pub(super) fn lead(talk: &mut dyn Talk, folder: &Path, name: &str) -> Result<bool, Stopped> {
    let mut input = io::stdin().lock();
    while let Some(prompt) = talk.prompt() {
        terminal::say(&prompt)?;
        let mut line = Vec::new();
        let read = io::Read::take(&mut input, LONGEST).read_until(b'\n', &mut line)?;
        if read == 0 {
            terminal::say("\n")?;
            return Ok(false);
        }
        // Whoever types sees the line end; a pipe shows nothing.
        if !io::stdin().is_terminal() {
            terminal::say("\n")?;
        }
        let line = String::from_utf8_lossy(&line).into_owned();
        let taken = talk.take(line.trim_end_matches(['\n', '\r']));
        if taken.changed {
            let text = talk.kept();
            records::write_all(folder, [(name, text.as_bytes())], |_| false)
                .map_err(|fault| Stopped::Unwritten(fault, "after `new`"))?;
        }
        terminal::say(&taken.words)?;
    }
    Ok(true)
}
