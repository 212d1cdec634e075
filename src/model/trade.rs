//! The words of the trade that a job may use where each stands for figures: old coverings, ways to tip, surfaces.
//!
//! Given nothing, or what a firm adds; gives the lists in which the reader looks a word up. An entry of the firm with a
//! key that is there already stands in its place.

use super::covering::{self, Covering};
use super::surface::{self, Surface};
use super::tipping::{self, Tipping};

/// Everything that a job may name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trade {
    /// Old coverings.
    pub coverings: Vec<Covering>,
    /// Ways to tip.
    pub tips: Vec<Tipping>,
    /// Surfaces.
    pub surfaces: Vec<Surface>,
}

impl Default for Trade {
    fn default() -> Trade {
        Trade { coverings: covering::built_in(), tips: tipping::built_in(), surfaces: surface::built_in() }
    }
}

/// An entry that a job names by its key.
pub trait Keyed {
    /// The key.
    fn key(&self) -> &str;
}

impl Keyed for Covering {
    fn key(&self) -> &str {
        &self.key
    }
}

impl Keyed for Tipping {
    fn key(&self) -> &str {
        &self.key
    }
}

impl Keyed for Surface {
    fn key(&self) -> &str {
        &self.key
    }
}

/// Looks an entry up.
pub fn find<'a, T: Keyed>(list: &'a [T], key: &str) -> Option<&'a T> {
    list.iter().find(|entry| entry.key() == key)
}

/// Puts an entry into a list, in the place of one with its key where there is one.
pub fn put<T: Keyed>(list: &mut Vec<T>, entry: T) {
    match list.iter_mut().find(|e| e.key() == entry.key()) {
        Some(there) => *there = entry,
        None => list.push(entry),
    }
}
