//! A box for each day where something is checked or signed of what is done on several days, so that none is signed for a day that is past.
//!
//! Given what was worked; gives the days of each operation, as they are headed; none where it is done on one day. New roofs and old
//! laminates are coated by one operation and signed for apart, each on its own days.

use super::super::WholeJob;
use super::super::words::Vocabulary;
use super::open_slopes::open_slopes;
use crate::programme::{Day, Labour, Stop};
use crate::works::Operation;
use std::collections::BTreeSet;

/// The operations of the crew's sheets, and the names of their days.
const OPERATIONS: [(&str, Operation); 11] = [
    ("strip_days", Operation::Strip),
    ("prepare_days", Operation::Prepare),
    ("deck_days", Operation::Deck),
    ("insulation_days", Operation::Insulate),
    ("trims_days", Operation::Trims),
    ("bandage_days", Operation::Bandage),
    ("laminate_days", Operation::Laminate),
    ("wash_days", Operation::Wash),
    ("patch_days", Operation::Repair),
    ("clean_days", Operation::Renew),
    ("finish_days", Operation::Finish),
];

pub(super) fn day_boxes(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    for (name, operation) in OPERATIONS {
        v.text(name, several(days_of(operation, worked).iter().map(|day| day.number)));
    }
    let coated = topcoat_days(OnRoof::New, worked);
    let open: Vec<u32> = coated.intersection(&open_slopes(worked)).copied().collect();
    v.text("topcoat_days", several(coated.iter().copied()))
        .text("old_topcoat_days", several(topcoat_days(OnRoof::Old, worked)))
        .text("slope_days", if coated.len() > 1 { headed(open.iter().copied()) } else { String::new() })
        .yes("slope_open_coated", !open.is_empty());
}

/// Days as they are headed.
fn headed(days: impl IntoIterator<Item = u32>) -> String {
    days.into_iter().map(|day| format!("Day {day}")).collect::<Vec<_>>().join(", ")
}

/// The same of several days; nothing of one.
fn several(days: impl IntoIterator<Item = u32>) -> String {
    let days: Vec<u32> = days.into_iter().collect();
    if days.len() > 1 { headed(days) } else { String::new() }
}

/// A roof that is laid anew, or one whose laminate stays.
#[derive(Clone, Copy, PartialEq, Eq)]
enum OnRoof {
    New,
    Old,
}

/// The days on which a roof of a kind is coated: those of its coats, and those on which the last of them is finished.
fn topcoat_days(on: OnRoof, worked: &WholeJob<'_>) -> BTreeSet<u32> {
    let WholeJob { job, programme, .. } = *worked;
    let is_of = |roof: &str| job.roofs.iter().any(|new| new.name == roof) == (on == OnRoof::New);
    let coats = |labour: &&Labour| {
        let parts = || labour.parts.iter().filter_map(|part| part.roof.as_deref());
        labour.operation == Operation::Topcoat && (parts().any(is_of) || parts().next().is_none() && on == OnRoof::New)
    };
    let last = programme.coats.iter().map(|coat| coat.day).max();
    let planned = |day: u32| programme.coats.iter().any(|coat| coat.day == day && is_of(&coat.roof));
    let is_its = |labour: &Labour, day: u32| match last {
        Some(last) if !labour.is_on_topcoat() => planned(day) || day > last && planned(last),
        _ => true,
    };
    let works = |day: &&Day| programme.works_on(day).filter(coats).any(|labour| is_its(labour, day.number));
    programme.days.iter().filter(works).map(|day| day.number).collect()
}

/// The days on which something of an operation is done. A box gutter that is lined alone is bandaged with its lining.
fn days_of<'a>(operation: Operation, worked: &WholeJob<'a>) -> Vec<&'a Day> {
    let programme = worked.programme;
    let bandages = |day: &Day| operation == Operation::Bandage && gutters_lined_alone(day, worked).next().is_some();
    programme.days.iter().filter(|day| programme.is_worked_on(operation, day) || bandages(day)).collect()
}

/// The roofs whose box gutters are lined on a day before the roof behind them: their bandage has no hours of its own.
pub(super) fn gutters_lined_alone<'a>(day: &Day, worked: &WholeJob<'a>) -> impl Iterator<Item = &'a Stop> {
    let number = day.number;
    worked.programme.stops.iter().filter(move |stop| stop.box_gutters && stop.is_on(number))
}
