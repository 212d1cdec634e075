//! On which evenings the roof above may lie open, where tiles or slates are lifted and laid again.
//!
//! Given what was worked; gives days: from that which opens the roof below to that before the one on which they are back. On an evening
//! before the first nobody looks for a sheet that is not needed yet.

use super::super::WholeJob;
use super::day_pieces::DayPieces;
use crate::programme::{Day, Labour};
use crate::works::WorkKind;
use std::collections::BTreeSet;

/// The days at whose end it may lie open on any roof.
pub(super) fn open_slopes(worked: &WholeJob<'_>) -> BTreeSet<u32> {
    let lifted = roofs_of(WorkKind::TilesOff, worked);
    lifted.into_iter().filter_map(|roof| Some(opened(roof, worked)?..back(roof, worked)?)).flatten().collect()
}

/// The roofs on which a work is done.
fn roofs_of<'a>(kind: WorkKind, worked: &WholeJob<'a>) -> BTreeSet<&'a str> {
    let parts = worked.programme.work.iter().flat_map(|labour| &labour.parts);
    parts.filter(|part| part.work == kind).filter_map(|part| part.roof.as_deref()).collect()
}

/// The days on which an operation is worked that a work on a roof is part of.
fn worked_on<'a>(kind: WorkKind, roof: &'a str, worked: &WholeJob<'a>) -> impl DoubleEndedIterator<Item = u32> {
    let programme = worked.programme;
    let is_of =
        move |labour: &Labour| labour.parts.iter().any(|part| part.work == kind && part.roof.as_deref() == Some(roof));
    let does = move |day: &&Day| programme.works_on(day).any(is_of);
    programme.days.iter().filter(does).map(|day| day.number)
}

/// The day that lifts them: the first that opens the roof up to them, or, where its boards reach there before its mat, the last that
/// strips.
fn opened(roof: &str, worked: &WholeJob<'_>) -> Option<u32> {
    let mut days: Vec<u32> = worked.programme.stops.iter().filter(|s| s.roof == roof).map(|s| s.first_day).collect();
    days.sort_unstable();
    let lifts = |day: &u32| DayPieces::of(*day, worked).has(WorkKind::TilesOff, roof);
    let mut strips = worked_on(WorkKind::TilesOff, roof, worked);
    match days.iter().copied().find(lifts) {
        Some(day) => Some(day),
        None if days.is_empty() => strips.next(),
        None => strips.next_back(),
    }
}

/// The day on which they are back.
fn back(roof: &str, worked: &WholeJob<'_>) -> Option<u32> {
    let finished = worked.programme.finishes.iter().find(|part| part.roof == roof).map(|part| part.day);
    finished.or_else(|| worked_on(WorkKind::TilesBack, roof, worked).next_back())
}
