//! A box for each day where something is checked or signed of what is done on several days, so that none is signed for a day that is past.
//!
//! Given what was worked; gives the days of each operation, as they are headed; none where it is done on one day.

use super::super::WholeJob;
use super::super::words::Vocabulary;
use crate::programme::{Day, Stop};
use crate::works::Operation;

/// The operations of the crew's sheets, and the names of their days.
const OPERATIONS: [(&str, Operation); 12] = [
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
    ("topcoat_days", Operation::Topcoat),
    ("finish_days", Operation::Finish),
];

pub(super) fn day_boxes(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    for (name, operation) in OPERATIONS {
        let days: Vec<String> = days_of(operation, worked).iter().map(|day| format!("Day {}", day.number)).collect();
        v.text(name, if days.len() > 1 { days.join(", ") } else { String::new() });
    }
}

/// The days on which something of an operation is done. A box gutter that is lined alone is bandaged with its lining.
fn days_of<'a>(operation: Operation, worked: &WholeJob<'a>) -> Vec<&'a Day> {
    let programme = worked.programme;
    let is_of = |i: &usize| programme.work.get(*i).is_some_and(|work| work.operation == operation);
    let bandages = |day: &Day| operation == Operation::Bandage && gutters_lined_alone(day, worked).next().is_some();
    programme.days.iter().filter(|day| day.work.iter().any(|(i, _)| is_of(i)) || bandages(day)).collect()
}

/// The roofs whose box gutters are lined on a day before the roof behind them: their bandage has no hours of its own.
pub(super) fn gutters_lined_alone<'a>(day: &Day, worked: &WholeJob<'a>) -> impl Iterator<Item = &'a Stop> {
    let number = day.number;
    worked.programme.stops.iter().filter(move |stop| stop.box_gutters && stop.is_on(number))
}
