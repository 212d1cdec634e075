//! A record of the work to fill in: the checks, materials and works that a job has, in the form of `record.yaml`.
//!
//! Given a job; gives text that is read as a record once its signs `…` are written over.

use super::issued::PacksOrdered;
use super::work::PricedJob;
use crate::works::record::Batched;
use crate::works::{RoofCheck, VariedWork};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The record of a job and of what was agreed since, to be filled in.
pub(super) fn of(priced: &PricedJob, varied: &[VariedWork], packs: &[PacksOrdered]) -> String {
    let works = &priced.laid.layout.take_off.works;
    let mut text = format!(
        "# What happened on site: {}. Write over every `…`; take out what you do not need.\n\
         finished: … # the day on which all was done, as 2027-01-21\n\
         weather: # an entry for each reading; a range is written as 5 C to 9 C\n  \
         - {{day: …, air: … C, humidity: … %, surface: … C, words: …}}\n",
        priced.laid.loaded.job.title
    );
    let _ = writeln!(text, "batches: # the number on the tin, drum or roll; several as [one, other]");
    for material in Batched::of(works) {
        let _ = writeln!(text, "  {}: …", material.key());
    }
    let _ = writeln!(text, "checks: # yes, or {{passed: no, words: what is done about it}}");
    for check in RoofCheck::of(works) {
        let _ = writeln!(text, "  {}: … # {}", check.key(), check.words());
    }
    let done: Vec<&VariedWork> = varied.iter().filter(|varied| !varied.done.is_empty()).collect();
    if !done.is_empty() {
        let _ = writeln!(text, "variations: # that were agreed since, as checks are answered");
    }
    for varied in done {
        let _ = writeln!(text, "  {}: … # {}: {}", varied.sequence, varied.number, varied.done.join("; "));
    }
    text += "# photos: # PNG or JPEG beside this file\n#   - {file: deck.jpg, caption: The new deck}\n\
             # left: # to do, by whom, by when\n#   - The electrician puts the aerial back in February\n";
    let _ = writeln!(text, "hours: # of all who did it; the plan stands beside it");
    for (work, planned) in hours(priced) {
        let _ = writeln!(text, "  {work}: … h # {} h", planned.round_dp(1).normalize());
    }
    let _ = writeln!(
        text,
        "packs: # that were used, by the codes of the order; what was ordered, for variations too, stands beside it"
    );
    for packs in packs.iter().filter(|packs| !packs.optional) {
        let _ = writeln!(text, "  {}: … # {} × {}, {}", packs.code, packs.ordered, packs.pack, packs.description);
    }
    text
}

/// The planned hours of each work, in the order of the work.
pub(super) fn hours(priced: &PricedJob) -> Vec<(&'static str, Decimal)> {
    let mut found: BTreeMap<_, Decimal> = BTreeMap::new();
    for part in priced.programme.work.iter().flat_map(|labour| &labour.parts) {
        *found.entry(part.work).or_default() += part.hours;
    }
    found.into_iter().map(|(kind, hours)| (kind.key(), hours)).collect()
}
