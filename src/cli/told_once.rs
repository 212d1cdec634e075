//! What is told of many jobs is told once: a fault of the firm file or an old price book is the same for each of them.
//!
//! Given what is to be told of one job after the other; gives it without what was told in the same words before, and says how much that
//! was. What is of a job's own file names that file, and so is never left out.

use crate::model::words::plural;
use std::collections::BTreeSet;

/// So many are remembered; what comes later may be told again.
const REMEMBERED: usize = 1000;

/// What was told before.
#[derive(Debug, Default)]
pub(super) struct ToldOnce(BTreeSet<String>);

impl ToldOnce {
    /// What is new in a text of parts with an empty line between them, of which the last says how many there are.
    pub(super) fn of(&mut self, words: &str) -> String {
        let Some((parts, count)) = words.trim_end_matches('\n').rsplit_once("\n\n") else { return words.to_owned() };
        let parts: Vec<&str> = parts.split("\n\n").collect();
        let new: Vec<&str> = parts.iter().copied().filter(|part| !self.0.contains(*part)).collect();
        let before = parts.len() - new.len();
        let room = REMEMBERED.saturating_sub(self.0.len());
        self.0.extend(new.iter().take(room).map(|part| (*part).to_owned()));
        if before == 0 {
            return words.to_owned();
        }
        let mut text: String = new.iter().map(|part| format!("{part}\n\n")).collect();
        text += &format!("{count}\n{} told above\n\n", plural(before, "of these is", "of these are"));
        text
    }
}
