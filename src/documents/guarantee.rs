//! What the quote and the certificate say alike of a guarantee beside its years: from when it runs, what ends it, how it is
//! claimed, and what a new owner has of it.

use super::wording;
use super::words::Vocabulary;
use crate::model::firm::{GuaranteeFrom, GuaranteeTerms};

/// The names that `guarantee-start.md` and `guarantee-claim.md` read, and those of the rest.
pub(super) fn terms(v: &mut Vocabulary, terms: &GuaranteeTerms) {
    v.yes("from_payment", terms.from == GuaranteeFrom::Payment)
        .yes("from_handover", terms.from == GuaranteeFrom::Handover)
        .texts("void", &terms.void.iter().map(|line| wording::sentence(line)).collect::<Vec<_>>())
        .maybe("claim", terms.claim.as_ref().map(|words| wording::sentence(words)))
        .maybe("transfer", terms.transfer.as_ref().map(|words| wording::sentence(words)));
}
