//! The works of a job as templates ask for them, and where the pages tell of them.
//!
//! Given the works; gives each template two names for a kind of work (`does_firrings`, `others_flashing`). A template
//! marks the words that tell of a work with its key between backticks, `` `work firrings` ``; the mark itself is not
//! printed.

use super::words::Vocabulary;
use crate::works::{WorkKind, Works};

/// The names of every kind of work, on one roof or on the whole job.
pub fn works(v: &mut Vocabulary, works: &Works, roof: Option<usize>) {
    for &kind in WorkKind::ALL {
        let does = roof.map_or_else(|| works.has(kind), |roof| works.has_on(kind, roof));
        v.yes(kind.does(), does).yes(kind.others(), works.by_others(kind));
    }
}
