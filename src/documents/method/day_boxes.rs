//! A box for each day at the hold points of what is done on several days, so that none is signed for a day that is past.
//!
//! Given what was worked; gives the fields of each operation's hold point, in one row where they fit; none where it is done on
//! one day.

use super::super::WholeJob;
use super::super::words::Vocabulary;
use crate::works::Operation;

/// The hold points of the crew's sheets: the names of their days and of a box’s share of its row, the operation, and what is written down beside the name.
const HOLDS: [([&str; 2], Operation, &str); 8] = [
    (["strip_days", "strip_share"], Operation::Strip, ""),
    (["prepare_days", "prepare_share"], Operation::Prepare, ""),
    (["deck_days", "deck_share"], Operation::Deck, ": %"),
    (["insulation_days", "insulation_share"], Operation::Insulate, ": %"),
    (["trims_days", "trims_share"], Operation::Trims, ""),
    (["bandage_days", "bandage_share"], Operation::Bandage, ""),
    (["laminate_days", "laminate_share"], Operation::Laminate, ": go"),
    (["topcoat_days", "topcoat_share"], Operation::Topcoat, ""),
];

/// So many boxes stand in a row at most.
const IN_A_ROW: usize = 6;

/// A row is so wide, in the template's units.
const ROW: usize = 12;

pub(super) fn day_boxes(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    for ([names, share], operation, beside) in HOLDS {
        let days = days_of(operation, worked);
        let boxes = days.iter().filter(|_| days.len() > 1).map(|day| format!("Day {day}{beside}"));
        v.texts(names, &boxes.collect::<Vec<_>>()).text(share, share_of(days.len()).to_string());
    }
}

/// The days on which something of an operation is done where roofs are laid anew.
fn days_of(operation: Operation, worked: &WholeJob<'_>) -> Vec<u32> {
    let programme = worked.programme;
    let is_of = |i: &usize| programme.work.get(*i).is_some_and(|work| work.operation == operation);
    programme.days.iter().filter(|day| day.work.iter().any(|(i, _)| is_of(i))).map(|day| day.number).collect()
}

/// What a box takes of its row, where so many stand as evenly as they can: seven as four and three.
fn share_of(boxes: usize) -> usize {
    let rows = boxes.div_ceil(IN_A_ROW).max(1);
    ROW / boxes.div_ceil(rows).max(1)
}
