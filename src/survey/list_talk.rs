//! What is asked about a merchant's list at a terminal: which column is which, which article a row is, whether a price is right.
//!
//! Given what is open; gives the answers. What was said of a row is kept at once and never asked again; nothing else is.

use super::list_columns::OpenColumn;
use super::list_memory::ListMemory;
use super::merchant_list::{NONE_OF_THESE, UnsureRow};
use super::talk::{BACK, OPEN, TakenLine, Talk};
use std::collections::{BTreeMap, BTreeSet};

/// Breaks a talk off, to go on another day.
const STOP: &str = "stop";

fn said(words: &str) -> TakenLine {
    TakenLine { words: words.to_owned(), changed: false }
}

/// One of so many, by its number from 1.
fn nth<T>(all: &[T], line: &str) -> Option<usize> {
    line.parse::<usize>().ok().and_then(|n| n.checked_sub(1)).filter(|n| *n < all.len())
}

/// Which column is meant.
pub struct ColumnTalk<'a> {
    open: &'a OpenColumn,
    /// The heading that was chosen.
    pub chosen: Option<String>,
    /// Whether it was broken off.
    pub stopped: bool,
}

impl ColumnTalk<'_> {
    /// Asks for a column.
    pub fn new(open: &OpenColumn) -> ColumnTalk<'_> {
        ColumnTalk { open, chosen: None, stopped: false }
    }
}

impl Talk for ColumnTalk<'_> {
    fn prompt(&self) -> Option<String> {
        if self.chosen.is_some() || self.stopped {
            return None;
        }
        let lines: String =
            self.open.headings.iter().zip(1..).map(|(heading, n)| format!("    {n:>2}  {heading}\n")).collect();
        Some(format!(
            "The headings stand in {}.\n{lines}  Which of them is the {}? Its number, or `stop`: ",
            self.open.place, self.open.key
        ))
    }

    fn take(&mut self, line: &str) -> TakenLine {
        let line = line.trim();
        if line == STOP {
            self.stopped = true;
            return said("");
        }
        let named = self.open.headings.iter().position(|heading| heading.eq_ignore_ascii_case(line));
        match nth(&self.open.headings, line).or(named) {
            Some(n) => {
                self.chosen = Some(self.open.headings[n].clone());
                said("")
            }
            None => said(&format!("  `{line}` is none of them\n")),
        }
    }

    fn kept(&self) -> String {
        String::new()
    }
}

/// Which article, or which role, each row is that is not sure.
pub struct RowTalk<'a> {
    rows: &'a [UnsureRow],
    /// What may be answered, each with what it is.
    names: &'a BTreeMap<String, String>,
    /// What was said, with what was said before.
    pub memory: ListMemory,
    at: usize,
    /// Whether it was broken off.
    pub stopped: bool,
}

impl<'a> RowTalk<'a> {
    /// Asks about these rows.
    pub fn new(rows: &'a [UnsureRow], names: &'a BTreeMap<String, String>, memory: ListMemory) -> RowTalk<'a> {
        RowTalk { rows, names, memory, at: 0, stopped: false }
    }
}

impl Talk for RowTalk<'_> {
    fn prompt(&self) -> Option<String> {
        let unsure = self.rows.get(self.at).filter(|_| !self.stopped)?;
        let row = &unsure.row;
        let parts: Vec<&str> =
            [&row.code, &row.description, &row.pack, &row.price].into_iter().map(String::as_str).collect();
        let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        let guess = |(name, n): (&String, usize)| {
            format!("    {n:>2}  {name}: {}\n", self.names.get(name).map_or("", String::as_str))
        };
        let guesses: String = unsure.guesses.iter().zip(1..).map(guess).collect();
        Some(format!(
            "{}: {}\n  {}\n{guesses}  Which is it? [ask again next time]: ",
            row.place,
            parts.join(", "),
            unsure.why
        ))
    }

    fn take(&mut self, line: &str) -> TakenLine {
        let Some(unsure) = self.rows.get(self.at) else { return said("") };
        let key = unsure.row.key().to_owned();
        let mut answer = |name: String| {
            self.memory.rows.insert(key.clone(), name);
            self.at += 1;
            TakenLine { words: String::new(), changed: true }
        };
        match line.trim() {
            "" => {
                self.at += 1;
                said("")
            }
            BACK => {
                self.at = self.at.saturating_sub(1);
                said("")
            }
            STOP => {
                self.stopped = true;
                said("")
            }
            OPEN => answer(NONE_OF_THESE.to_owned()),
            line => match nth(&unsure.guesses, line) {
                Some(n) => answer(unsure.guesses[n].clone()),
                None if self.names.contains_key(line) => answer(line.to_owned()),
                None => said(&format!("  `{line}` is none of them\n")),
            },
        }
    }

    fn kept(&self) -> String {
        self.memory.text()
    }
}

/// Whether prices are right that moved much.
pub struct SlipTalk<'a> {
    /// Each by its code, and in words.
    slips: &'a [(String, String)],
    at: usize,
    /// The codes of those that are right.
    pub taken: BTreeSet<String>,
    /// Whether it was broken off.
    pub stopped: bool,
}

impl SlipTalk<'_> {
    /// Asks about these.
    pub fn new(slips: &[(String, String)]) -> SlipTalk<'_> {
        SlipTalk { slips, at: 0, taken: BTreeSet::new(), stopped: false }
    }
}

impl Talk for SlipTalk<'_> {
    fn prompt(&self) -> Option<String> {
        let (_, words) = self.slips.get(self.at).filter(|_| !self.stopped)?;
        Some(format!("{words}\n  Is that right? yes or no [no]: "))
    }

    fn take(&mut self, line: &str) -> TakenLine {
        let Some((code, _)) = self.slips.get(self.at) else { return said("") };
        match line.trim() {
            "" | "no" | "n" => {}
            "yes" | "y" => drop(self.taken.insert(code.clone())),
            BACK => {
                self.at = self.at.saturating_sub(1);
                return said("");
            }
            STOP => {
                self.stopped = true;
                return said("");
            }
            line => return said(&format!("  write yes or no, not `{line}`\n")),
        }
        self.at += 1;
        said("")
    }

    fn kept(&self) -> String {
        String::new()
    }
}
