//! Texts that stay measured from one document to the next where a thread makes many jobs, most of whose sentences are the same.
//!
//! Given a text by its letters and styles; gives it as it was measured before. What is kept has a
//! limit in letters: when half of it is new, what was not asked for since the last such time is let go.

use std::collections::BTreeMap;

/// Letters that a thread keeps, some 30 bytes each.
const MOST_LETTERS: usize = 300_000;

/// What a text is found by: its length (few are of one), letters and styles.
pub(super) type TextKey = (usize, String);

/// Texts as they were measured.
pub(super) struct KeptTexts<T> {
    new: BTreeMap<TextKey, T>,
    old: BTreeMap<TextKey, T>,
    /// Letters of those that are new.
    letters: usize,
}

impl<T: Clone> KeptTexts<T> {
    /// None.
    pub(super) const fn none() -> KeptTexts<T> {
        KeptTexts { new: BTreeMap::new(), old: BTreeMap::new(), letters: 0 }
    }

    /// Keeps one.
    pub(super) fn keep(&mut self, key: TextKey, text: T) {
        self.letters += key.0;
        self.new.insert(key, text);
        if self.letters > MOST_LETTERS / 2 {
            self.old = std::mem::take(&mut self.new);
            self.letters = 0;
        }
    }

    /// One that is kept.
    pub(super) fn known(&mut self, key: &TextKey) -> Option<T> {
        if let Some(text) = self.new.get(key) {
            return Some(text.clone());
        }
        let (key, text) = self.old.remove_entry(key)?;
        self.keep(key, text.clone());
        Some(text)
    }
}
