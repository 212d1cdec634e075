//! Every key of every file on one page, in Markdown, for whoever would rather look it up than ask.
//!
//! Given nothing; gives the page from the tables by which `help` tells one key, a table for each group in the order of the
//! files.

use super::help::{limits, written};
use super::work::Stopped;
use super::{Outcome, terminal};
use crate::job_file::reference::{Explained, FileKind, all};
use crate::model::words::capital;
use std::fmt::Write as _;

const HEAD: &str = "\
# Every key of your files

Written by the program from its own tables: `wetout help --page > jobs/schema/KEYS.md`. `wetout help KEY` tells the same of one key, with what
it changes. A star marks what its group needs. Where a thing can be written short or long, the short form stands first. The column
“left out” says what is taken where a key does not stand.
";

/// Prints the page.
///
/// # Errors
/// What the system refused.
pub(super) fn tell() -> Result<Outcome, Stopped> {
    terminal::say(&page())?;
    Ok(Outcome::Done)
}

fn page() -> String {
    let mut text = HEAD.to_owned();
    text.push('\n');
    text.extend(FileKind::ALL.map(|file| format!("- [{}](#{})\n", capital(file.about()), file.word())));
    for file in FileKind::ALL {
        let _ = write!(text, "\n## {}\n\n{}.\n", capital(file.word()), capital(file.about()));
        groups(&mut text, file);
    }
    text
}

/// A table for each group of a file.
fn groups(text: &mut String, file: FileKind) {
    // The rules stand in the firm file; a job may name any of them anew.
    let keys =
        all(file).into_iter().filter(|key| file == FileKind::Firm || key.path[0] != "rules" || key.path.len() == 1);
    let keys: Vec<Explained> = keys.collect();
    let mut heads: Vec<&[&str]> = Vec::new();
    for key in &keys {
        let head = &key.path[..key.path.len() - 1];
        if !heads.contains(&head) {
            heads.push(head);
        }
    }
    for head in heads {
        match head.is_empty() {
            true => text.push_str("\n### At the left margin\n\n"),
            false => drop(write!(text, "\n### `{}`\n\n", head.join("."))),
        }
        text.push_str("| key | what it is for | how it is written | left out | example |\n|---|---|---|---|---|\n");
        keys.iter().filter(|key| key.path[..key.path.len() - 1] == *head).for_each(|key| row(text, key));
    }
}

fn row(text: &mut String, key: &Explained) {
    let name = format!("`{}`{}", key.path.last().unwrap_or(&""), if key.needed { " *" } else { "" });
    let usual = key.usual.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
    let how = [written(&key.form), usual, limits(key)].into_iter().filter(|part| !part.is_empty());
    let example = if key.example.is_empty() { String::new() } else { format!("`{}`", key.example) };
    let cells = [name, key.purpose.clone(), how.collect::<Vec<_>>().join("; "), key.without.clone(), example];
    let cells = cells.map(|cell| cell.replace('|', "\\|").replace('\n', " "));
    let _ = writeln!(text, "| {} |", cells.join(" | "));
}
