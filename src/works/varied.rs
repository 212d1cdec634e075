//! What was agreed after the quote was accepted, as it is handed over with the roof.
//!
//! Given by the variation orders that both have signed; says what the record calls them, and what of them was to be done.

use time::Date;

/// A variation order that was agreed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VariedWork {
    /// Its place in the series of the job, from 1.
    pub sequence: u32,
    /// Its number, as printed.
    pub number: String,
    /// On which day it was agreed.
    pub on: Date,
    /// What it has done besides, each with how much where that was counted.
    pub done: Vec<String>,
    /// What it leaves out.
    pub left_out: Vec<String>,
}

impl VariedWork {
    /// Whether it is called so: by its number, or by its place in the series.
    pub fn is_called(&self, name: &str) -> bool {
        self.number.eq_ignore_ascii_case(name) || self.sequence.to_string() == name
    }
}
