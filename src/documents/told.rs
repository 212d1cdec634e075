//! The works of a job as templates ask for them, and whether the pages tell of them.
//!
//! Given the works; gives each template two names for a kind of work (`does_firrings`, `others_flashing`). A template
//! marks the words that tell of a work with its key between backticks, `` `work firrings` ``; the mark itself is not
//! printed. A work that is not told where its table promises it is a warning.

use super::DocumentKind;
use super::words::Vocabulary;
use crate::model::{Problem, Warned, Whereabouts};
use crate::works::{WorkKind, Works};
use std::collections::BTreeSet;

/// The names of every kind of work, on one roof or on the whole job.
pub fn works(v: &mut Vocabulary, works: &Works, roof: Option<usize>) {
    named(v, works, |kind| roof.map_or_else(|| works.has(kind), |roof| works.has_on(kind, roof)));
}

/// The same on a roof whose laminate stays.
pub fn works_on_old(v: &mut Vocabulary, works: &Works, roof: usize) {
    named(v, works, |kind| works.has_on_old(kind, roof));
}

fn named(v: &mut Vocabulary, works: &Works, does: impl Fn(WorkKind) -> bool) {
    for &kind in WorkKind::ALL {
        let does = does(kind);
        v.yes(kind.does(), does).yes(kind.others(), works.by_others(kind));
    }
}

/// A warning for each work of the firm's that a document should tell of and does not. `told` holds what it tells.
pub fn untold(kind: DocumentKind, works: &Works, told: &BTreeSet<String>) -> Vec<Problem> {
    let promised = |work: &WorkKind| match kind {
        DocumentKind::Quote => work.faces().quote.get().is_some(),
        DocumentKind::Method => work.faces().crew.get().is_some(),
        DocumentKind::Order => false,
    };
    let missing = works.kinds().into_iter().filter(promised).filter(|w| !told.contains(w.key()));
    missing.map(|work| warning(kind, work)).collect()
}

fn warning(kind: DocumentKind, work: WorkKind) -> Problem {
    let (document, template) = match kind {
        DocumentKind::Quote => ("quote", "quote-roof.md"),
        DocumentKind::Method => ("method statement", "method.md"),
        DocumentKind::Order => ("order", "order.md"),
    };
    Problem::warning(
        Warned::Untold,
        Whereabouts::WholeFile,
        format!("the {document} does not tell of a work that this job has: {}", work.name()),
        format!("in your own {template}, mark the words that tell of it with `work {}` between backticks", work.key()),
    )
}
