//! Texts that stay measured from one document to the next where a thread makes many jobs, most of whose sentences are the same.
//!
//! Given a text by its letters and styles; gives it measured, where it was measured before in the same fonts. What is kept has a
//! limit in letters: when half of it is new, what was not asked for since the last such time is let go.

use super::fonts::Fonts;
use super::text::Shaped;
use crate::model::hands;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// Letters that a thread keeps, some 30 bytes each.
const MOST_LETTERS: usize = 300_000;

/// What a text is found by: its length (few are of one), letters and styles.
pub(super) type TextKey = (usize, String);

#[derive(Default)]
struct KeptTexts {
    new: BTreeMap<TextKey, Shaped>,
    old: BTreeMap<TextKey, Shaped>,
    /// Letters of those that are new.
    letters: usize,
}

thread_local! {
    static KEPT: RefCell<KeptTexts> = RefCell::default();
}

impl KeptTexts {
    fn keep(&mut self, key: TextKey, shaped: Shaped) {
        self.letters += key.0;
        self.new.insert(key, shaped);
        if self.letters > MOST_LETTERS / 2 {
            self.old = std::mem::take(&mut self.new);
            self.letters = 0;
        }
    }

    fn known(&mut self, key: &TextKey) -> Option<Shaped> {
        if let Some(shaped) = self.new.get(key) {
            return Some(shaped.clone());
        }
        let (key, shaped) = self.old.remove_entry(key)?;
        self.keep(key, shaped.clone());
        Some(shaped)
    }
}

/// A text that this thread measured for a document before, in the same fonts.
pub(super) fn known(fonts: &Fonts, key: &TextKey) -> Option<Shaped> {
    if hands::are_free() {
        return None;
    }
    KEPT.with_borrow_mut(|kept| kept.known(key)).filter(|shaped| shaped.is_set_in(fonts))
}

/// Keeps a text, every letter of which its fonts have.
pub(super) fn keep(key: &TextKey, shaped: &Shaped) {
    if !hands::are_free() {
        KEPT.with_borrow_mut(|kept| kept.keep(key.clone(), shaped.clone()));
    }
}
